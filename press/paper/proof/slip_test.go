package proof

import (
	"fmt"
	"os"
	"testing"
	"time"

	"raftwright/bed"
	"raftwright/brief"
	"raftwright/lang"
	"raftwright/packet"
	"raftwright/page"
	"raftwright/plan"
	"raftwright/tend"
)

// tended follows the log of the demonstration to a moment, with what is written behind its log.
func tended(t testing.TB, more string, now time.Time) (plan.Plan, *tend.Tending) {
	t.Helper()
	text, err := os.ReadFile("../../../examples/demo.yaml")
	if err != nil {
		t.Fatal(err)
	}
	b, faults := brief.Parse("demo", append(text, more...))
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	p, faults := plan.Make(b, plan.DefaultBook(), plan.Files{}, plan.Everything)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	log, faults := bed.FromBrief(b)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	of, faults := tend.Make(tend.Job{Plan: p, Log: log, Now: now})
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	return p, of
}

// slipText is the smallest type of a slip, as of a face.
const slipText = 12

// A sheet of slips is tagged as any other page, nothing on it covers other words or leaves the margins, on both papers, in both
// languages and units; six stand on a sheet, and in large print they stand one under another.
func TestSlipsAreSound(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	p, of := tended(t, "", time.Date(2027, 5, 18, 9, 0, 0, 0, time.UTC))
	for _, language := range languages {
		for _, u := range []lang.Units{lang.US, lang.Metric} {
			for _, o := range []packet.Options{{}, {Paper: page.A4}, {Large: true}} {
				words, err := lang.For(language, u)
				if err != nil {
					t.Fatal(err)
				}
				what := fmt.Sprintf("%s, units %d, %+v", language, u, o)
				in := p.In(language)
				var cells [][]page.Block
				for range 6 {
					cells = append(cells, packet.Slip(in, of, words))
				}
				doc := packet.Slips(in, cells, words, o, false)
				sound(t, what, doc)
				c := checked(opened(t, made(t, doc)))
				bad := append(c.covered(), c.outside(doc)...)
				bad = append(bad, small(c.top, slipText, 9, slipText)...)
				for _, b := range bad {
					t.Errorf("%s: %s", what, b)
				}
				if n := len(c.pages); !o.Large && n != 1 {
					t.Errorf("%s: six slips take %d sheets", what, n)
				}
			}
		}
	}
}

// On the back of a sheet each slip lies behind its own: the columns change sides, an empty place keeps its own.
func TestSlipsLieBackToBack(t *testing.T) {
	p, of := tended(t, "", time.Date(2027, 5, 18, 9, 0, 0, 0, time.UTC))
	words, err := lang.For("en", lang.US)
	if err != nil {
		t.Fatal(err)
	}
	mark := func(s string) []page.Block { return []page.Block{page.Para{Text: page.Text(s)}} }
	doc := packet.Slips(p, [][]page.Block{mark("one"), mark("two"), packet.Slip(p, of, words)}, words, packet.Options{}, true)
	cells := doc.Sections[0].Blocks[0].(page.Slips).Cells
	if len(cells) != 4 || cells[0][0].(page.Para).Text != "two" || cells[1][0].(page.Para).Text != "one" || cells[2] != nil || cells[3] == nil {
		t.Errorf("%d cells on the back: %v", len(cells), cells)
	}
}

// The card of a bed by its log, and the sums for a class, are tagged, their words cover nothing and stay on the page, in both languages and units and in large print.
func TestBedCardAndClassAreSound(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	p, of := tended(t, "", time.Date(2027, 5, 18, 9, 0, 0, 0, time.UTC))
	for _, language := range languages {
		for _, u := range []lang.Units{lang.US, lang.Metric} {
			for _, o := range []packet.Options{{}, {Paper: page.A4}, {Large: true}} {
				if testing.Short() && (u == lang.US) != (language == "en") {
					continue // the check makes each in both
				}
				words, err := lang.For(language, u)
				if err != nil {
					t.Fatal(err)
				}
				what := fmt.Sprintf("%s, units %d, %+v", language, u, o)
				for _, doc := range []page.Document{packet.BedCard(p.In(language), of, words, o), packet.ClassVisit(p.In(language), of, words, o)} {
					sound(t, what, doc)
					c := checked(opened(t, made(t, doc)))
					for _, b := range append(c.covered(), c.outside(doc)...) {
						t.Errorf("%s: %s", what, b)
					}
				}
			}
		}
	}
}
