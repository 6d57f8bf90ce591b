package packet_test

import (
	"regexp"
	"testing"

	"raftwright/lang"
)

// What a comparison says never claims that two treatments are alike, nor that a difference was nearly shown, in either language.
func TestNoVerdictSaysTheSame(t *testing.T) {
	forbidden := regexp.MustCompile(`(?i)\b(same|equal|equals|no effect|significant|iguales?|lo mismo|mismas?|sin efecto|ningún efecto|significativ[oa]s?)\b`)
	args := map[string]any{"Name": "T", "A": "a", "B": "b", "First": "a", "Other": "b", "More": "a", "Less": "b", "Plots": 8, "Others": 8, "Left": 0, "Difference": "1", "Low": "0", "High": "2",
		"Least": "3", "Level": "95 %", "Usual": true, "Power": "0.80", "T": "2", "DF": "7", "P": "0.05", "All": "256", "Count": 2}
	for _, language := range []string{"en", "es"} {
		words, err := lang.For(language, lang.US)
		if err != nil {
			t.Fatal(err)
		}
		for _, id := range []string{"report.i_pairs", "report.i_sites", "report.i_shown", "report.i_not_shown", "report.i_least", "report.i_lead", "trial.verdict.shown", "trial.verdict.notshown",
			"trial.verdict.toofew", "trial.sites", "trial.interval.pairs", "trial.interval.groups", "trial.signs", "trial.meaning"} {
			if text := words.Say(id, args); forbidden.MatchString(text) || len(text) < 5 {
				t.Errorf("%s, %s: %q", language, id, text)
			}
		}
	}
}
