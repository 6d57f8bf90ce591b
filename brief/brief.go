// Package brief reads what a grower and an educator say about one bed: facts
// and wishes, each with its place in the file. It computes nothing.
//
// The Go structs of this package are the single definition of the format: their
// field tags give the key, an example in US and in metric units, the allowed words
// and the sensible range; what a key means stands in package lang. The parser, the
// JSON Schema, the commented first brief and the list of keys are made from them.
//
// Tags of a field: key (its name in the file), eg and si (an example as it would
// be written, US and metric), words (the allowed words, apart by |), range
// (least..most, ">" before the least when it is not allowed itself), forms (the
// chemical forms a reading may be counted as), meq (no: a reading is never in
// meq/L, for its charge is not fixed), span (a reading may be a range), moles (a
// dose may be in moles), max (the most items of a list), short (the key that a
// group fills when it is written as a bare value), need (the key that its group
// cannot do without), per (what a price may be for: h, or * for anything), first
// (the key is filled in a first brief), like (the path of the group at which the
// meaning of its keys stands), else (the assumption that is made when it is left out).
package brief

import (
	"raftwright/finding"
	"raftwright/unit"
)

// Version is the number of the format that this package reads.
const Version = 1

// Place is a position in the file: line and column count characters from 1. The
// zero Place means nowhere, for things that were not written.
type Place struct{ Line, Column int }

// Field is one value of the brief: what was said, whether it was said at all,
// and where. The zero Field means not given.
type Field[T any] struct {
	Value T
	Given bool
	At    Place
}

// Or gives the value, or the stand-in where none was given. The caller lists the
// stand-in as an assumption.
func (f Field[T]) Or(standIn T) T {
	if f.Given {
		return f.Value
	}
	return standIn
}

// Section says whether a group of keys was written, and where it starts.
type Section struct {
	Given bool
	At    Place
}

// Entry is one line of a Table: a name and what stands behind it.
type Entry[T any] struct {
	Name string
	Field[T]
}

// Table is a mapping whose keys are names of the user's own, in the order written.
type Table[T any] []Entry[T]

// Find gives the entry of that name.
func (t Table[T]) Find(name string) (Field[T], bool) {
	for _, e := range t {
		if e.Name == name {
			return e.Field, true
		}
	}
	return Field[T]{}, false
}

// Units says how results are printed.
type Units string

// Unit systems.
const (
	US     Units = "us"
	Metric Units = "metric"
)

// Language is the language of the results.
type Language string

// Languages.
const (
	English Language = "en"
	Spanish Language = "es"
)

// Brief is everything that was said about one bed. Every part is optional.
type Brief struct {
	File string // its name in messages, "-" for standard input

	doc  *node          // as it was typed; nil where the file cannot be read
	file finding.Faults // of the file itself
	keys finding.Faults // of its keys, each by itself

	Version   Field[int]      `key:"raftwright" range:"1..1" eg:"1" first:"yes"`
	Title     Field[string]   `key:"title" eg:"Library terrace bed" first:"yes"`
	Units     Field[Units]    `key:"units" words:"us|metric" eg:"us" si:"metric" first:"yes"`
	Language  Field[Language] `key:"language" words:"en|es" eg:"en" first:"yes"`
	ShelfFile Field[string]   `key:"shelf file" eg:"our-store.yaml"`

	Site     Site      `key:"site"`
	Bed      Bed       `key:"bed" else:"season.bed"`
	Raft     Raft      `key:"raft" else:"season.holes"`
	Water    Water     `key:"water" else:"plan.water|water.typical|water.none|water.others_none|water.balance|water.salt|water.rest_typical|water.middle"`
	Acid     Acid      `key:"acid"`
	Shelf    []Product `key:"shelf" max:"200" short:"name" else:"plan.shelf"`
	Target   Target    `key:"target"`
	Mix      Mix       `key:"mix"`
	Meter    Meter     `key:"meter"`
	Found    Found     `key:"found"`
	Amiss    Amiss     `key:"amiss"`
	Crop     Crop      `key:"crop"`
	Schedule Schedule  `key:"schedule"`
	Prices   Prices    `key:"prices"`
	Cut      Cut       `key:"cut"`
	Log      []Record  `key:"log" max:"5000"`
}

// Size is a width and a height, or a point: along the length first.
type Size struct{ X, Y unit.Length }

// Named lists the files that the brief names.
func (b *Brief) Named() []string {
	var all []string
	for _, f := range b.Site.Climate {
		all = append(all, f.Value)
	}
	if b.ShelfFile.Given {
		all = append(all, b.ShelfFile.Value)
	}
	return all
}
