// Package answer turns results into the JSON documents that the commands
// promise (docs/contract): names that do not change, SI units or the unit in
// the key, nothing rounded, lists and maps never null.
package answer

import (
	"cmp"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"slices"

	"raftwright/finding"
	"raftwright/lang"
	"raftwright/source"
)

// Finding is a finding in words.
type Finding struct {
	ID       string `json:"id"`
	Severity string `json:"severity"` // note, caution or stop
	Text     string `json:"text"`
	Figure   string `json:"figure"` // the figure that raised it, in the reader's units; "" where there is none
	Source   string `json:"source"` // ID of an entry of sources
}

// Assumption is a value that was taken for the user.
type Assumption struct {
	ID      string `json:"id"`
	Text    string `json:"text"`
	Replace string `json:"replace"` // what would replace it
	Source  string `json:"source"`
}

// Source is an entry of the bibliography that the document cites.
type Source struct {
	ID       string `json:"id"`
	Author   string `json:"author"`
	Title    string `json:"title"`
	Year     string `json:"year"`
	Where    string `json:"where"`
	Standing string `json:"standing"` // published, common practice, from memory, own
	Note     string `json:"note"`
}

// Step is a line of the working.
type Step struct {
	Symbol  string          `json:"symbol"`
	Name    string          `json:"name"`
	Formula string          `json:"formula"`
	Inputs  []finding.Input `json:"inputs"`
	Value   Number          `json:"value"`
	Unit    string          `json:"unit"`
	Source  string          `json:"source"`
}

// Told is the part that every document shares: what was noticed, what was
// assumed, what is cited, and the working where it was asked for.
type Told struct {
	Findings    []Finding    `json:"findings"`
	Assumptions []Assumption `json:"assumptions"`
	Sources     []Source     `json:"sources"`
	Working     []Step       `json:"working,omitzero"` // where it was asked for, even if there is none
}

// Tell puts findings, assumptions and steps into words, and lists the sources
// that they cite.
func Tell(p *lang.Printer, findings []finding.Finding, assumptions []finding.Assumption, steps []finding.Step) Told {
	t := Told{Findings: []Finding{}, Assumptions: []Assumption{}, Sources: []Source{}}
	cited := map[source.ID]bool{}
	cite := func(id source.ID) string {
		if id != "" {
			cited[id] = true
		}
		return string(id)
	}
	sorted := slices.Clone(findings)
	finding.Sort(sorted)
	for _, f := range sorted {
		figure := ""
		if f.Figure != nil {
			figure = fmt.Sprint(p.Value(f.Figure))
		}
		t.Findings = append(t.Findings, Finding{string(f.ID), f.Severity.String(), p.Finding(f), figure, cite(f.Source)})
	}
	for _, a := range assumptions {
		text, replace := p.Assumption(a)
		t.Assumptions = append(t.Assumptions, Assumption{string(a.ID), text, replace, cite(a.Source)})
	}
	for _, s := range steps {
		inputs := s.Inputs
		if inputs == nil {
			inputs = []finding.Input{}
		}
		name, formula := p.Step(s)
		t.Working = append(t.Working, Step{s.Symbol, name, formula, inputs, Number(s.Value), s.Unit, cite(s.Source)})
	}
	for id := range cited {
		t.cite(id)
	}
	return t
}

// cite adds a source to the list, in its place, unless it is there.
func (t *Told) cite(id source.ID) {
	at, there := slices.BinarySearchFunc(t.Sources, string(id), func(s Source, id string) int { return cmp.Compare(s.ID, id) })
	if e, ok := source.Find(id); ok && !there {
		t.Sources = slices.Insert(t.Sources, at, Source{string(e.ID), e.Author, e.Title, e.Year, e.Where, e.Standing.String(), e.Note})
	}
}

// Number is a figure that prints as null when it is not a finite number, since
// JSON has no word for "never".
type Number float64

// MarshalJSON writes the number, or null.
func (n Number) MarshalJSON() ([]byte, error) {
	if math.IsNaN(float64(n)) || math.IsInf(float64(n), 0) {
		return []byte("null"), nil
	}
	return json.Marshal(float64(n))
}

// Write prints one document, indented, with a newline at its end.
func Write(w io.Writer, document any) error {
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	return e.Encode(document)
}
