package packet_test

import (
	"fmt"
	"regexp"
	"strings"
	"testing"

	"raftwright/lang"
	"raftwright/packet"
	"raftwright/page"
	"raftwright/plan"
	"raftwright/trial"
)

// laid lays a trial out in the raft of a plan.
func laid(t *testing.T, p plan.Plan) trial.Trial {
	t.Helper()
	var holes [][2]float64
	for _, q := range p.Raft.Positions {
		holes = append(holes, [2]float64{float64(q.X), float64(q.Y)})
	}
	l, faults := trial.Lay(holes, 42, 0)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	return trial.Trial{Of: trial.Variety, First: "Romaine **7**", Other: "Butterhead", Layout: &l, Spread: 18}
}

// neverSaid are the words that no trial may use of two treatments (reference methods, section 6).
var neverSaid = regexp.MustCompile(`(?i)\b(the same as|equal|no effect|almost|nearly significant|significant|iguales?|sin efecto|casi|significativ\w+)\b`)

// The paper of a trial is whole in both languages; who weighs does not learn what a plant had; and no sentence says
// that two treatments are the same.
func TestThePaperOfATrial(t *testing.T) {
	p := planOf(t, "../examples/demo.yaml")
	for _, language := range []string{"en", "es"} {
		words, err := lang.For(language, lang.US)
		if err != nil {
			t.Fatal(err)
		}
		of := laid(t, p)
		beds, _ := trial.Over(6, 9)
		over := trial.Trial{Of: trial.Feed, First: "Weak", Other: "Strong", Beds: &beds}
		for _, large := range []bool{false, true} {
			for i, tr := range []trial.Trial{of, over} {
				d := packet.Trial(p, tr, words, packet.Options{Large: large})
				all := allWords(d)
				if len(d.Sections) != 3 || strings.Contains(all, "[trial.") || strings.Contains(all, "<no value>") || neverSaid.MatchString(all) {
					t.Errorf("%s: %d sections, %q\n%s", language, len(d.Sections), neverSaid.FindString(all), all)
				}
				for _, s := range d.Sections { // of a raft: of beds the sheet holds their numbers only
					told := regexp.MustCompile(`Text:[AB] |Romaine|Butterhead`).MatchString(fmt.Sprintf("%+v", s.Blocks))
					if i == 0 && (s.ID == "weigh" && told || s.ID == "plant" && !told) {
						t.Errorf("%s: the section %s tells the treatment: %t", language, s.ID, told)
					}
				}
			}
		}
		for _, v := range []trial.Verdict{trial.Shown, trial.NotShown, trial.TooFew, trial.NoSpread} {
			c := trial.Comparison{Verdict: v, Paired: true, A: 3, B: 3, MeanA: 150, MeanB: 140, Difference: -10, Low: -15, High: -5, T: -4, DF: 2, P: 0.0004, Least: 7}
			for _, subject := range []trial.Subject{trial.Variety, trial.Site} {
				r := trial.Result{Comparison: c, Plants: 12, Left: 1, Not: []string{"1-2"}}
				all := allWords(packet.Trial(p, trial.Trial{Of: subject, First: "one", Other: "two", Result: &r}, words, packet.Options{}))
				if strings.Contains(all, "[trial.") || strings.Contains(all, "<no value>") || neverSaid.MatchString(all) {
					t.Errorf("%s: %q\n%s", language, neverSaid.FindString(all), all)
				}
				if v == trial.Shown && !strings.Contains(all, fmt.Sprintf("5 g %s 15 g", map[string]string{"en": "to", "es": "a"}[language])) {
					t.Errorf("a difference is told from the smaller to the larger: %s", all)
				}
			}
		}
	}
}

// Each hole that counts stands once on the plan for planting, with the treatment that the lot gave it.
func TestThePlanForPlantingIsTheLot(t *testing.T) {
	p := planOf(t, "../examples/market.yaml")
	tr := laid(t, p)
	words, _ := lang.For("en", lang.Metric)
	var table page.Table
	walk(packet.Trial(p, tr, words, packet.Options{}), func(s page.Section, b page.Block) {
		if x, ok := b.(page.Table); ok && s.ID == "plant" {
			table = x
		}
	})
	for _, plot := range tr.Layout.Plots() {
		var strip, hole int
		fmt.Sscanf(plot.Name, "%d-%d", &strip, &hole)
		signs := strings.Fields(table.Rows[strip-1].Cells[1].Plain())
		if (signs[hole-1] == "A") != plot.First {
			t.Errorf("%s: %v", plot.Name, signs)
		}
	}
}
