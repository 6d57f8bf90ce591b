// Package source is the bibliography: every published value, rule and formula
// that the project uses cites an entry here by ID. Three standings exist and
// print differently: published, common practice (no source), from memory.
package source

import (
	"cmp"
	_ "embed"
	"encoding/csv"
	"fmt"
	"slices"
	"strings"
	"sync"
)

//go:embed sources.csv
var table string

// ID names an entry: "fao56", "nds2018". The empty ID means that nothing is cited.
type ID string

// Standing says how far an entry can be trusted.
type Standing int

// Standings.
const (
	Published Standing = iota // author, year and table are known
	Practice                  // common practice of the trade, no source
	Memory                    // written down from memory, to be checked
	Own                       // the project's own choice, derivation or judgement
)

var standings = []string{"published", "common practice", "from memory", "own"}

// String gives the word used in print and in the JSON.
func (s Standing) String() string { return standings[s] }

// MarshalText writes the word into the JSON.
func (s Standing) MarshalText() ([]byte, error) { return []byte(s.String()), nil }

// UnmarshalText reads the word back.
func (s *Standing) UnmarshalText(text []byte) error {
	i := slices.Index(standings, string(text))
	if i < 0 {
		return fmt.Errorf("no standing of a source is called %q: %s would be right", text, strings.Join(standings, ", "))
	}
	*s = Standing(i)
	return nil
}

// Entry is one item of the bibliography.
type Entry struct {
	ID       ID       `json:"id"`
	Author   string   `json:"author"`
	Title    string   `json:"title"`
	Year     string   `json:"year"`  // "" when undated
	Where    string   `json:"where"` // table, equation, page
	Standing Standing `json:"standing"`
	Note     string   `json:"note"` // how it was read: original, second-hand, values from memory
}

// The general entries that any room may cite.
const (
	CommonPractice ID = "practice"
	FromMemory     ID = "memory"
	OwnChoice      ID = "own"
	Given          ID = "given" // the user's own figure
)

// All lists the whole bibliography, sorted by ID.
func All() []Entry { return slices.Clone(all()) }

// all is read once: it never changes. A mistake in our own table stops the program.
var all = sync.OnceValue(func() []Entry {
	in := csv.NewReader(strings.NewReader(table))
	in.Comment = '#'
	rows, err := in.ReadAll()
	if err != nil {
		panic(err)
	}
	var all []Entry
	for _, row := range rows[1:] { // by ID
		standing := max(0, slices.Index(standings, row[5]))
		all = append(all, Entry{ID(row[0]), row[1], row[2], row[3], row[4], Standing(standing), row[6]})
	}
	return all
})

// Find gives the entry with an ID, and whether there is one.
func Find(id ID) (Entry, bool) {
	at, ok := slices.BinarySearchFunc(all(), id, func(e Entry, id ID) int { return cmp.Compare(e.ID, id) })
	if !ok {
		return Entry{}, false
	}
	return all()[at], true
}
