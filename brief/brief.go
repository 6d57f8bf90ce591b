// Package brief reads what a grower and an educator say about one bed: facts
// and wishes, each with its place in the file. It computes nothing.
//
// The Go structs of this package are the single definition of the format: their
// field tags give the key, what it means, an example in US and in metric units,
// the allowed words and the sensible range. The parser, the JSON Schema, the
// commented first brief and the list of keys are all made from them.
//
// Tags of a field: key (its name in the file), help (what it means), eg and si
// (an example as it would be written, US and metric), words (the allowed words,
// apart by |), range (least..most, ">" before the least when it is not allowed
// itself), forms (the chemical forms a reading may be counted as), meq (no: a reading is
// never in meq/L, for its charge is not fixed), max (the most
// items of a list), short (the key that an item of a list fills when it is
// written as a bare value), need (the key that its group cannot do without), per
// (what a price may be for: h, or * for anything), first (the key is filled in a
// first brief).
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

// Fault makes a fault in English words. It goes once every fault has a code.
func (b *Brief) Fault(at Place, what, right string) finding.Fault {
	return finding.Fault{ID: finding.FaultWords, Args: finding.Args{"What": what, "Right": right},
		File: b.File, Line: max(1, at.Line), Column: max(1, at.Column)}
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

	Version   Field[int]      `key:"raftwright" range:"1..1" eg:"1" first:"yes" help:"version of this format"`
	Title     Field[string]   `key:"title" eg:"Library terrace bed" first:"yes" help:"what you call this bed"`
	Units     Field[Units]    `key:"units" words:"us|metric" eg:"us" si:"metric" first:"yes" help:"how results are printed; what you type may be in either"`
	Language  Field[Language] `key:"language" words:"en|es" eg:"en" first:"yes" help:"language of the results"`
	ShelfFile Field[string]   `key:"shelf file" eg:"our-store.yaml" help:"a file beside this one with a shelf of its own, for many briefs; what stands under shelf here comes first"`

	Site     Site      `key:"site" help:"where the bed stands, and who comes near it"`
	Bed      Bed       `key:"bed" help:"the vessel that holds the water; all lengths are inside"`
	Raft     Raft      `key:"raft" help:"the floating foam board and its holes"`
	Water    Water     `key:"water" help:"a test of the water that fills the bed, as the laboratory printed it; a figure may be a range, 40-60 mg/L"`
	Acid     Acid      `key:"acid" help:"the acid that takes alkalinity out of the water, if one is used"`
	Shelf    []Product `key:"shelf" max:"200" help:"what can be bought here; each has a label or a formula, or a name that everybody knows"`
	Target   Target    `key:"target" help:"what the solution shall hold: a recipe, or figures by element"`
	Mix      Mix       `key:"mix" help:"how the solution is mixed and measured"`
	Meter    Meter     `key:"meter" help:"your own conductivity meter, so that the plan prints what it will show"`
	Found    Found     `key:"found" help:"a recipe that you found, to be judged in this water"`
	Amiss    Amiss     `key:"amiss" help:"a bed that was given a wrong dose, to be put right"`
	Crop     Crop      `key:"crop" help:"what is grown"`
	Schedule Schedule  `key:"schedule" help:"how much is wanted, and when"`
	Prices   Prices    `key:"prices" help:"what things cost here; say where and when"`
	Cut      Cut       `key:"cut" help:"boards to buy and pieces to cut, where they differ from the bed's own"`
	Log      []Record  `key:"log" max:"5000" help:"what was measured, added and harvested since the bed was filled"`
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
