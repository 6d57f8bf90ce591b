package plan_test

import (
	"testing"

	"raftwright/plan"
)

// A packet asked for in a language without sentences says so, whether the brief
// or the command asked for it.
func TestLanguageWithoutSentences(t *testing.T) {
	for text, want := range map[string][2]bool{"bed: {}\n": {true, false}, "language: es\nbed: {}\n": {true, false}, "language: en\nbed: {}\n": {true, false}} {
		p := planned(t, text, plan.Everything)
		if raised(p.In("es"), plan.FindLanguage) != want[0] || raised(p.In("en"), plan.FindLanguage) != want[1] {
			t.Errorf("%q: in Spanish %v, in English %v", text, raised(p.In("es"), plan.FindLanguage), raised(p.In("en"), plan.FindLanguage))
		}
		if raised(p, plan.FindLanguage) != (p.Language() == "es") {
			t.Errorf("%q: %v", text, raised(p, plan.FindLanguage))
		}
	}
}
