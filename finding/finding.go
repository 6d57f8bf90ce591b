// Package finding holds what a trade has to tell: coded findings, assumptions
// made for the user, reasons, and the working behind a figure. It holds codes
// and typed figures only; the words stand in package lang, one sentence an ID,
// so that each can be translated.
package finding

import (
	"slices"
	"time"

	"raftwright/source"
)

// ID is a stable code "room.subject" ("frame.bulge"). Each is declared once, as
// a typed constant beside the rule that raises it; lang holds its sentence and a
// test fails when one is missing.
type ID string

// Severity says how much a finding matters.
type Severity int

// Severities. A stop means that the plan cannot stand (exit status 2).
const (
	Note Severity = iota
	Caution
	Stop
)

// String gives the word used in the JSON.
func (s Severity) String() string {
	switch s {
	case Caution:
		return "caution"
	case Stop:
		return "stop"
	}
	return "note"
}

// Harm says what a caution or a stop is about: what may be hurt when it is not heeded.
type Harm int

// Harms, the least first. Growth is that of most: the crop grows less well.
const (
	Purse   Harm = iota - 1 // money or work is lost
	Growth                  // the crop suffers
	Harvest                 // the crop is lost, or there is none to be had
	Person                  // somebody can be hurt
)

// String gives the word used in the JSON.
func (h Harm) String() string {
	switch h {
	case Purse:
		return "purse"
	case Harvest:
		return "harvest"
	case Person:
		return "person"
	}
	return "growth"
}

// Hurting says of the findings with these IDs what they may hurt.
func Hurting(list []Finding, h Harm, ids ...ID) {
	for i, f := range list {
		if slices.Contains(ids, f.ID) {
			list[i].Hurts = h
		}
	}
}

// Args are the figures and names in a sentence, by placeholder. A figure is a
// typed quantity of package unit (printed in the reader's units), an int, a
// float64 (a bare number), or a string that is a name and needs no translation.
// A value of type Word is looked up in lang and translated.
type Args map[string]any

// Word is the ID of a word or short phrase in lang ("word.side", "crop.kale").
type Word string

// Entry is one of a log: its day, its path, and the line on which it stands; 0 where it stands in no file.
type Entry struct {
	Day  time.Time
	Path Path
	Line int
}

// Entries are those that a finding is about; a sentence names the first few of them.
type Entries []Entry

// Finding is one thing that a trade noticed.
type Finding struct {
	ID       ID
	Severity Severity
	Hurts    Harm // what a caution or a stop is about; of no meaning for a note
	Args     Args
	Figure   any       // the typed figure that raised it, or nil
	Source   source.ID // where the limit or the rule comes from
	Act      Act       // where it is told; "" where its room stands (Stands)
	Usual    bool      // every such work carries it: told at its act, not among what is special to this plan
	Paths    []Path    // what in the brief it rests on
	Mend     []Change  // changes of the brief that, applied together, end it; a stop always has some
	MendCost any       // what the mend adds to the cost, or nil where that is not known
}

// Assumption is a value that the user did not give and that was taken for them.
// Its sentence is ID; what would replace it is the sentence "replace." + ID.
type Assumption struct {
	ID     ID
	Args   Args
	Source source.ID
	Path   Path // the key that would replace it
}

// Input is one value that went into a step of the working.
type Input struct {
	Symbol string  `json:"symbol"`
	Value  float64 `json:"value"`
	Unit   string  `json:"unit"`
}

// Step is one line of the working behind a figure: enough to follow by hand.
// Name is the ID of a phrase in lang, "work." + room + a short code; so may be a
// formula, a unit or an input's symbol that is not the same in every language.
type Step struct {
	Symbol  string
	Of      []any // of which of several alike: a wall, a month, a size of board; none where there is one
	Name    string
	Formula string
	Inputs  []Input
	Value   float64
	Unit    string // SI, or the unit in the contract's key
	Source  source.ID
}

// Worst gives the highest severity in a list, Note for an empty one.
func Worst(list []Finding) Severity {
	worst := Note
	for _, f := range list {
		worst = max(worst, f.Severity)
	}
	return worst
}

// Sort orders findings for a reader: stops first, then cautions, then notes; of stops
// and cautions those that can hurt a person first, then those that lose the harvest.
// Else the order in which they were found is kept.
func Sort(list []Finding) {
	const places = 1 << 32
	order := make([]int64, len(list)) // numbers are lighter to move than findings
	for i := range list {
		f, rank := &list[i], int64(0)
		if f.Severity != Note {
			rank = -int64(f.Severity)<<8 - int64(f.Hurts)
		}
		order[i] = rank*places + int64(i)
	}
	slices.Sort(order)
	now := slices.Clone(list)
	for i, place := range order {
		list[i] = now[place&(places-1)]
	}
}
