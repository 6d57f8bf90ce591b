package answer

import (
	"math"

	"raftwright/brief"
	"raftwright/finding"
	"raftwright/lang"
)

// ReadDocument is what was understood of a brief, what was assumed where it says
// nothing, and what is wrong with it.
type ReadDocument struct {
	Values []Understood `json:"values"`
	Faults []Fault      `json:"faults"`
}

// Understood is one text of a brief. An assumption has no text of its own and no
// place.
type Understood struct {
	Path    finding.Path `json:"path"`
	Text    string       `json:"text"`    // as typed; of an assumption, what was assumed
	ReadAs  string       `json:"read_as"` // how a text was read that can be read in two ways, else ""
	Value   any          `json:"value"`   // in the unit; null where it is not understood, or where the sentence of an assumption says it
	Unit    string       `json:"unit"`
	Line    int          `json:"line"`
	Column  int          `json:"column"`
	Assumed bool         `json:"assumed"`
}

// Read gives the document of a brief as it was read.
func Read(b *brief.Brief, assumptions []finding.Assumption, faults finding.Faults, words *lang.Printer) ReadDocument {
	d := ReadDocument{Values: []Understood{}, Faults: Faults(words, faults)}
	said := map[finding.Path]bool{}
	for _, v := range b.Values() {
		said[v.Path] = true
		d.Values = append(d.Values, Understood{Path: v.Path, Text: v.Text, ReadAs: v.Plain, Value: finite(v.Value), Unit: v.Unit, Line: v.At.Line, Column: v.At.Column})
	}
	for _, a := range assumptions {
		text, _ := words.Assumption(a)
		for _, v := range brief.Assumed(a) {
			if !said[v.Path] {
				d.Values = append(d.Values, Understood{Path: v.Path, Text: text, Value: finite(v.Value), Unit: v.Unit, Assumed: true})
			}
		}
	}
	return d
}

// finite leaves out what is no number.
func finite(v any) any {
	if x, is := v.(float64); is && (math.IsNaN(x) || math.IsInf(x, 0)) {
		return nil
	}
	return v
}
