package frame

import (
	"strings"
	"testing"

	"pgregory.net/rapid"

	"raftwright/finding"
	"raftwright/lang"
)

// Every sentence, word and phrase that a bed can raise is there, and its figures
// fill it.
func TestSentencesAreFilled(t *testing.T) {
	p, err := lang.For("en", lang.US)
	if err != nil {
		t.Fatal(err)
	}
	l := DefaultYard()
	seen := map[finding.ID]bool{}
	filled := func(t *rapid.T, text string) {
		if text == "" || strings.Contains(text, "<no value>") || strings.Contains(text, "[") {
			t.Fatal(text)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		b, faults := Design(anyJob(t), l)
		for _, f := range faults {
			what, right := p.Fault(f)
			filled(t, what)
			filled(t, right)
		}
		for _, f := range b.Findings {
			seen[f.ID] = true
			filled(t, p.Finding(f))
		}
		for _, a := range b.Assumptions {
			text, replace := p.Assumption(a)
			filled(t, text)
			filled(t, replace)
		}
		for _, s := range b.Working() {
			s = p.Step(s)
			filled(t, s.Name)
			filled(t, s.Formula)
		}
		words := []finding.Word{}
		for _, c := range b.Checks {
			words = append(words, c.Name)
		}
		for _, p := range b.Pieces {
			words = append(words, p.Role.Word())
		}
		for _, f := range b.Fasteners {
			words = append(words, f.Kind.Word())
		}
		for _, o := range b.Liner.Options {
			words = append(words, o.Sheet.Word())
		}
		for _, w := range words {
			filled(t, p.Say(string(w), nil))
		}
	})
	if len(seen) < 25 {
		t.Errorf("only %d findings seen", len(seen))
	}
}
