package programme

import (
	"cmp"
	"slices"
	"strings"
)

// notice tells what else of the year a person should look at, and changes no count: hours that are not in quarters, an item of a form whose wording
// changed while it was asked, who served at an event and signed its sheet too, staff named as who was taught, a story that speaks of a cause, and rows
// that stand twice.
func (r *Report) notice(x *reach, doubles []double) {
	r.quarters()
	r.reworded()
	r.servedAndSigned(x)
	r.staffMet(x)
	r.early()
	r.causes()
	r.tellDoubles(doubles)
	slices.SortStableFunc(r.Noticed, func(a, b Exception) int { return cmp.Or(cmp.Compare(a.What, b.What), cmp.Compare(a.ID, b.ID)) })
	seen := map[Exception]bool{}
	r.Noticed = slices.DeleteFunc(r.Noticed, func(e Exception) bool {
		before := seen[e]
		seen[e] = true
		return before
	})
}

func (r *Report) noticed(what, id string, ref Ref) {
	r.Noticed = append(r.Noticed, Exception{what, ref, id})
}

// inQuarters tells whether hours are written in quarters of an hour (our rule for volunteers, no source).
func (d Decimal) inQuarters() bool { return 4*d.units%tens[d.places] == 0 }

func (r *Report) quarters() {
	odd := &tally{}
	for i, h := range r.stood.Hours {
		if r.covers.Has(h.Date) && !h.Hours.inQuarters() {
			odd.add(1, inHours(i))
			r.noticed("quarters", h.ID, inHours(i))
		}
	}
	r.count("K", "hours_not_in_quarters", "", All, Count, odd.n, odd.from)
}

// designOf is the design that a form belongs to: before and after are two forms of one.
func designOf(kind string) string {
	if kind == "before" || kind == "after" {
		return kindNames[0]
	}
	return kind
}

// sameWords tells whether two items ask the same: the text in both languages, and what may be answered. How it is spaced does not matter.
func (a Asked) sameWords(b Asked) bool {
	plain := func(q Asked) [4]string {
		return [4]string{strings.Join(strings.Fields(q.English), " "), strings.Join(strings.Fields(q.Spanish), " "), q.Answer, q.Choices}
	}
	return plain(a) == plain(b)
}

// reworded tells of the items that were answered in this time and that two forms of one design ask in other words: what was said before and after is
// then not said to the same (wording is not changed in mid year, or the item gets a new name).
func (r *Report) reworded() {
	s := &r.stood
	first, words := map[[2]string]int{}, &tally{}
	told := map[[2]string]bool{}
	for i, q := range s.Questions {
		of := [2]string{designOf(q.Kind), q.Item}
		if !r.answered[of] {
			continue
		}
		j, there := first[of]
		switch {
		case !there:
			first[of] = i
		case !q.sameWords(s.Questions[j]):
			if !told[of] {
				told[of] = true
				words.add(1, inQuestions(j))
				r.noticed("wording", q.Item, inQuestions(j))
			}
			words.add(0, inQuestions(i))
		}
	}
	r.count("K", "items_reworded", "", All, Count, words.n, once(words.from))
}

// servedAndSigned tells of those with hours of service at an event who stand on its list too. The list says that they came, and they count so
// (rule 7 of the practice year leaves out staff alone); who teaches counts as a teacher. So how many people are known without them is told beside it.
func (r *Report) servedAndSigned(x *reach) {
	type at struct{ person, event string }
	hours := r.stood.Hours
	last, before := map[at]int{}, make([]int, len(hours)) // entries by their number from 1: the last of one at an event, and that before each
	for i, h := range hours {
		if h.Kind == "service" && h.Event != "" {
			k := at{h.Person, h.Event}
			before[i], last[k] = last[k], i+1
		}
	}
	both, rest := &tally{}, map[string]bool{}
	var from []Ref
	for _, c := range x.known {
		entry := last[at{c.person, c.id}]
		if c.order != 0 || entry == 0 {
			rest[c.person] = true
			from = append(from, c.ref)
			continue
		}
		both.n++
		for ; entry > 0; entry = before[entry-1] {
			both.from = append(both.from, inHours(entry-1))
		}
		both.from = append(both.from, c.ref)
		r.noticed("served", c.id, c.ref)
	}
	r.count("K", "served_and_signed", "", All, People, both.n, once(both.from))
	if both.n > 0 {
		r.count("K", "people_known_without_who_served", "", All, People, len(rest), once(from))
	}
}

// staffMet tells of visits and questions that name staff as who was taught. Staff never count (our rule); such a record counts as written until the
// code is taken off, since who else was met is not known. How many people are known without them is told beside it.
func (r *Report) staffMet(x *reach) {
	staff, met := map[string]bool{}, &tally{}
	for _, p := range r.stood.People {
		staff[p.ID] = staff[p.ID] || p.Role == "staff"
	}
	isStaff := func(c contact) bool { return c.order != 0 && staff[c.person] }
	for _, c := range x.known {
		if isStaff(c) {
			met.add(1, c.ref)
			r.noticed("staff_met", c.id, c.ref)
		}
	}
	r.count("K", "staff_met", "", All, Count, met.n, met.from)
	if met.n == 0 {
		return
	}
	rest := map[string]bool{}
	var from []Ref
	for _, c := range x.known {
		if !isStaff(c) {
			rest[c.person] = true
			from = append(from, c.ref)
		}
	}
	r.count("K", "people_known_without_staff", "", All, People, len(rest), once(from))
}

// early tells of replies that are dated before their wave was sent: one of the two days is wrong. They count as written.
func (r *Report) early() {
	sent, found := map[string]Day{}, &tally{}
	for _, w := range r.stood.Waves {
		sent[w.ID] = w.Sent
	}
	for i, x := range r.stood.Replies {
		if x.Returned != 0 && x.Returned < sent[x.Wave] && r.covers.Has(sent[x.Wave]) {
			found.add(1, inReplies(i))
			r.noticed("replies_early", x.ID, inReplies(i))
		}
	}
	r.count("K", "replies_early", "", All, Count, found.n, found.from)
}

// causalNames are words by which a story claims a cause, in the languages of stories. What is told before and after shows none (our
// rule, no source).
var causalNames = []string{"led to", "leads to", "because of the", "caused", "thanks to", "due to", "resulted in", "as a result of",
	"gracias a", "debido a", "a causa de", "causó", "provocó", "llevó a", "resultó en", "como resultado de"}

// Causal tells whether a text speaks of a cause.
func Causal(text string) bool {
	text = strings.Join(strings.Fields(strings.ToLower(text)), " ")
	return slices.ContainsFunc(causalNames, func(words string) bool { return word(text, words) })
}

// causes tells of the parts of the funder's story that speak of a cause.
func (r *Report) causes() {
	found := &tally{}
	for i, s := range r.stood.Stories {
		if s.Funder == r.Funder.ID && Causal(s.Text) {
			found.add(1, inStories(i))
			r.noticed("cause", s.Funder+" "+s.Language+" "+s.Part, inStories(i))
		}
	}
	r.count("K", "story_causes", "", All, Count, found.n, found.from)
}
