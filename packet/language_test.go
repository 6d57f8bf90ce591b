package packet_test

import (
	"slices"
	"testing"

	"raftwright/brief"
	"raftwright/finding"
	"raftwright/lang"
	"raftwright/plan"
)

// A reader is told that a language is printed in English exactly where it has no
// sentences.
func TestEveryLanguageIsSpokenOrSaid(t *testing.T) {
	for _, l := range []brief.Language{brief.English, brief.Spanish} {
		words, err := lang.For(string(l), lang.US)
		if err != nil {
			t.Fatal(err)
		}
		said := slices.ContainsFunc(plan.Plan{}.In(string(l)).Findings, func(f finding.Finding) bool { return f.ID == plan.FindLanguage })
		if spoken := words.Language == string(l); spoken == said {
			t.Errorf("%s: spoken %v, but the caution that it is not is %v", l, spoken, said)
		}
	}
}
