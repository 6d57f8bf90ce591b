package brief

import (
	_ "embed"
	"slices"
	"strings"
	"sync"

	rows "raftwright/internal/table"
	"raftwright/unit"
)

//go:embed also.csv
var alsoText string

// also gives the other names of each word of a brief, as they are compared.
var also = sync.OnceValue(func() map[string][]string {
	out := map[string][]string{}
	faults := rows.Read("also.csv", alsoText, func(r *rows.Row) {
		for _, name := range strings.Split(r.Need("names"), ";") {
			word := unit.Fold(r.Need("word"))
			out[word] = append(out[word], unit.Fold(name))
		}
	})
	return rows.Must(out, faults)
})

// means tells whether a text is a word or one of its other names.
func means(text, word string) bool {
	text, word = unit.Fold(text), unit.Fold(word)
	return text == word || slices.Contains(also()[word], text)
}

// starts takes a word or one of its other names, the longest, from the front of a text.
func starts(text, word string) (rest string, ok bool) {
	fields := strings.Fields(text)
	for n := len(fields); n > 0; n-- {
		if means(strings.Join(fields[:n], " "), word) {
			return strings.Join(fields[n:], " "), true
		}
	}
	return text, false
}
