package programme

import (
	"cmp"
	"slices"
)

// leastTopic is how many questions on a topic there are at least before it is named; mostTopics how many are named.
const leastTopic, mostTopics = 5, 3

// Topics gives what was asked most in these months (1 to 12) of any year, in a county or, with none, in all: educational
// questions. A topic with fewer than five questions is not named.
func (r Records) Topics(county string, months []int) []string {
	count := map[string]int{}
	for _, q := range r.Inquiries {
		if q.Education && q.Topic != "" && (county == "" || q.County == county) && slices.Contains(months, int(q.Date.Time().Month())) {
			count[q.Topic]++
		}
	}
	var out []string
	for topic, n := range count {
		if n >= leastTopic {
			out = append(out, topic)
		}
	}
	slices.SortFunc(out, func(a, b string) int { return cmp.Or(cmp.Compare(count[b], count[a]), cmp.Compare(a, b)) })
	return out[:min(mostTopics, len(out))]
}
