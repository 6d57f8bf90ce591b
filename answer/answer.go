// Package answer turns results into the JSON documents that the commands
// promise (docs/contract): names that do not change, SI units or the unit in
// the key, nothing rounded, lists and maps never null.
package answer

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"slices"
	"unicode/utf16"
	"unicode/utf8"

	"raftwright/finding"
	"raftwright/internal/gate"
	"raftwright/lang"
	"raftwright/source"
)

// Finding is a finding in words.
type Finding struct {
	ID       finding.ID       `json:"id"`
	Severity string           `json:"severity"` // note, caution or stop
	Hurts    string           `json:"hurts"`    // what a caution or a stop is about: person, harvest, growth or purse; "" for a note
	Text     string           `json:"text"`
	Figure   string           `json:"figure"` // the figure that raised it, in the reader's units; "" where there is none
	Source   source.ID        `json:"source"` // ID of an entry of sources
	Paths    []finding.Path   `json:"paths"`  // what in the brief it rests on
	Mend     []finding.Change `json:"mend"`   // changes which, applied together, end it; empty where none is known
	MendCost string           `json:"mend_cost"`
}

// Assumption is a value that was taken for the user.
type Assumption struct {
	ID      finding.ID   `json:"id"`
	Text    string       `json:"text"`
	Replace string       `json:"replace"` // what would replace it
	Source  source.ID    `json:"source"`
	Path    finding.Path `json:"path"` // the key that would replace it
}

// Fault is what is wrong with a brief, in words.
type Fault struct {
	Code   finding.ID   `json:"code"`
	Path   finding.Path `json:"path"`
	File   string       `json:"file"`
	Line   int          `json:"line"`
	Column int          `json:"column"`
	What   string       `json:"what"`
	Right  string       `json:"right"` // what would be right
}

// Wait is a part of a plan that cannot be made until these keys are mended.
type Wait struct {
	Part string         `json:"part"`
	For  []finding.Path `json:"for"`
}

// Step is a line of the working.
type Step struct {
	Symbol  string          `json:"symbol"`
	Name    string          `json:"name"`
	Formula string          `json:"formula"`
	Inputs  []finding.Input `json:"inputs"`
	Value   Number          `json:"value"`
	Unit    string          `json:"unit"`
	Source  source.ID       `json:"source"`
}

// Told is the part that every document shares: what was noticed, what was
// assumed, what is cited, and the working where it was asked for.
type Told struct {
	Findings    []Finding      `json:"findings"`
	Assumptions []Assumption   `json:"assumptions"`
	Sources     []source.Entry `json:"sources"`
	Working     []Step         `json:"working,omitzero"` // where it was asked for, even if there is none
}

// Tell puts findings, assumptions and steps into words, and lists the sources
// that they cite and these others.
func Tell(p *lang.Printer, findings []finding.Finding, assumptions []finding.Assumption, steps []finding.Step, others ...source.ID) Told {
	sorted := slices.Clone(findings)
	finding.Sort(sorted)
	figure := func(v any) string {
		if v == nil {
			return ""
		}
		return fmt.Sprint(p.Value(v))
	}
	t := Told{
		Findings: each(sorted, func(f finding.Finding) Finding {
			hurts := ""
			if f.Severity > finding.Note {
				hurts = f.Hurts.String()
			}
			return Finding{ID: f.ID, Severity: f.Severity.String(), Hurts: hurts, Text: p.Finding(f), Figure: figure(f.Figure), Source: f.Source,
				Paths: never(f.Paths), Mend: never(f.Mend), MendCost: figure(f.MendCost)}
		}),
		Assumptions: each(assumptions, func(a finding.Assumption) Assumption {
			text, replace := p.Assumption(a)
			return Assumption{ID: a.ID, Text: text, Replace: replace, Source: a.Source, Path: a.Path}
		}),
		Sources: Cited(findings, assumptions, steps, others...),
	}
	if steps != nil {
		t.Working = each(steps, func(s finding.Step) Step {
			s = p.Step(s)
			return Step{Symbol: s.Symbol, Name: s.Name, Formula: s.Formula, Inputs: never(s.Inputs), Value: number(s.Value), Unit: s.Unit, Source: s.Source}
		})
	}
	return t
}

// Cited lists the sources of findings, assumptions, steps and others by ID.
func Cited(findings []finding.Finding, assumptions []finding.Assumption, steps []finding.Step, others ...source.ID) []source.Entry {
	ids := slices.Clone(others)
	for _, f := range findings {
		ids = append(ids, f.Source)
	}
	for _, a := range assumptions {
		ids = append(ids, a.Source)
	}
	for _, s := range steps {
		ids = append(ids, s.Source)
	}
	slices.Sort(ids)
	out := []source.Entry{}
	for _, id := range slices.Compact(ids) {
		if e, ok := source.Find(id); ok {
			out = append(out, e)
		}
	}
	return out
}

// Faults puts faults into words.
func Faults(p *lang.Printer, faults finding.Faults) []Fault {
	return each(faults, func(f finding.Fault) Fault {
		what, right := p.Fault(f)
		return Fault{Code: f.ID, Path: f.Path, File: f.File, Line: f.Line, Column: f.Column, What: what, Right: right}
	})
}

// each gives what becomes of every item; the list it gives is never nil.
func each[T, U any](list []T, one func(T) U) []U {
	out := make([]U, len(list))
	for i, x := range list {
		out[i] = one(x)
	}
	return out
}

// never gives the list, never nil.
func never[T any](list []T) []T {
	if list == nil {
		return []T{}
	}
	return list
}

// Number is a figure that may be missing: JSON has no word for "never", so it
// prints as null.
type Number *float64

// number gives a figure, or nil where it is "never" (+Inf). What is no number at all
// stays one, and cannot be written.
func number(x float64) Number {
	if math.IsInf(x, 1) {
		return nil
	}
	return &x
}

// Write prints one document on one line, with a newline at its end. What no text may hold, such as a sign that turns the
// direction of writing, is written as \u202e: it is read back as it was, and steers no terminal.
func Write(w io.Writer, document any) error {
	var out bytes.Buffer
	e := json.NewEncoder(&out)
	e.SetEscapeHTML(false)
	if err := e.Encode(document); err != nil {
		return err
	}
	_, err := w.Write(harmless(out.Bytes()))
	return err
}

// harmless escapes in JSON on one line each character that is seen nowhere: outside of texts JSON has none of them.
func harmless(line []byte) []byte {
	last := len(line) - 1 // the newline
	if _, at := gate.First(string(line[:last]), false); at < 0 {
		return line
	}
	var out []byte
	for _, r := range string(line[:last]) {
		switch {
		case !gate.Refused(r):
			out = utf8.AppendRune(out, r)
		case r > 0xffff:
			a, b := utf16.EncodeRune(r)
			out = fmt.Appendf(out, `\u%04x\u%04x`, a, b)
		default:
			out = fmt.Appendf(out, `\u%04x`, r)
		}
	}
	return append(out, '\n')
}
