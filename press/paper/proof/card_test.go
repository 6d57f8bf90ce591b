package proof

import (
	"os"
	"strings"
	"testing"

	"raftwright/brief"
	"raftwright/lang"
	"raftwright/packet"
	"raftwright/page"
	"raftwright/plan"
)

// A mixing card of four products and an acid, all by spoons, that is dissolved in buckets dipped out of the bed stands on one sheet:
// the step that is the same for each product is told in full once, each product and each caution stays. It took two.
func TestMixingCardOfFourBySpoonsIsOneSheet(t *testing.T) {
	text, err := os.ReadFile("../../../examples/demo.yaml")
	if err != nil {
		t.Fatal(err)
	}
	b, faults := brief.Parse("demo", []byte(strings.Replace(string(text), "measure: scale 1 g, stock: {volume: 5 gal, ratio: 100}", "measure: spoons", 1)))
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	p, faults := plan.Make(b, plan.DefaultBook(), plan.Files{}, plan.Everything)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	if len(p.Mix.Doses) != 4 || p.PrintedAcid() == nil {
		t.Fatal("no card of four products and an acid")
	}
	for _, language := range languages {
		words, err := lang.For(language, lang.US)
		if err != nil {
			t.Fatal(err)
		}
		doc := packet.Faces(p.In(language), words, packet.Options{}, "mix")
		c := proven(t, language, doc, 12)
		if len(c.pages) != 1 {
			t.Errorf("%s: %d sheets", language, len(c.pages))
		}
		var told strings.Builder
		for _, l := range c.lines {
			told.WriteString(l.words + " ")
		}
		card, cautions := strings.Join(strings.Fields(told.String()), " "), 0
		each(doc.Sections[0].Blocks, func(b page.Block) {
			if b, ok := b.(page.Caution); ok {
				for _, x := range b.Text {
					if cautions++; !strings.Contains(card, x.Plain()) {
						t.Errorf("%s: not on the card: %s", language, x.Plain())
					}
				}
			}
		})
		if cautions < 5 { // what is kept apart, powders, acid into water, bleach, ammonia
			t.Errorf("%s: %d cautions", language, cautions)
		}
		for _, d := range p.Mix.Doses {
			if n := strings.Count(card, words.Product(d.Product)); n < 3 { // weighed, drawn, stirred in
				t.Errorf("%s: %s is told %d times", language, d.Product, n)
			}
		}
	}
}
