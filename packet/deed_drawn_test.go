package packet

import (
	"math"
	"strings"
	"testing"

	"raftwright/brief"
	"raftwright/draw"
	"raftwright/lang"
	"raftwright/page"
	"raftwright/plan"
	"raftwright/tend"
	"raftwright/unit"
)

// What is poured at the bed is drawn in the order of its list: as many buckets as are told, up to four side by side; who pours acid sees what to
// wear. The words of the drawing are those of the list, and where nothing is poured nothing is drawn.
func TestWhatIsPouredIsDrawn(t *testing.T) {
	words, err := lang.For("en", lang.US)
	if err != nil {
		t.Fatal(err)
	}
	known, _ := brief.Parse("", []byte("raftwright: 1\n"))
	w := writer{words: words, p: plan.Plan{Brief: known}}
	groups := func(blocks []page.Block) (n int, texts []string, alt string) {
		for _, b := range blocks {
			f := b.(page.Figure)
			alt = f.Drawing.Alt
			for _, it := range f.Drawing.Items {
				switch x := it.(type) {
				case draw.Group:
					n++
				case draw.Text:
					texts = append(texts, x.Text)
				}
			}
		}
		return n, texts, alt
	}
	of := func(list ...tend.Action) []page.Block { return w.drawn(&tend.Tending{Actions: list}) }
	for gallons, want := range map[float64]int{1.25: 1, 5: 1, 10: 2, 16.25: 4, 20: 4, 25: 1, 200: 1} {
		n, texts, alt := groups(of(tend.Action{Do: tend.DoWater, Volume: unit.Volume(gallons) * unit.Gallon}))
		said := quarters(math.Round(gallons/5*4) / 4)
		if n != want || texts[0] != "1" || !strings.HasPrefix(texts[1], said+" × ") || alt == "" {
			t.Errorf("%v gallons: %d buckets, %q, %q", gallons, n, texts, alt)
		}
	}
	blocks := of(tend.Action{Do: tend.DoLook}, tend.Action{Do: tend.DoWater, Volume: 10 * unit.Gallon}, tend.Action{Do: tend.DoAcid, Product: "citric", Mass: 20 * unit.Gram})
	n, texts, alt := groups(blocks)
	if n != 2+4 || strings.Join(texts, "|") != "2|2 × 5.0 gal|3" || !strings.Contains(alt, "20 g") {
		t.Errorf("%d symbols, %q, %q", n, texts, alt)
	}
	w.doors = map[string]string{}
	deed := tend.Action{Do: tend.DoWater, Volume: 10 * unit.Gallon}
	var leads []draw.Door
	for _, it := range of(tend.Action{Do: tend.DoLook}, deed)[0].(page.Figure).Drawing.Items {
		if g, is := it.(draw.Group); is {
			leads = append(leads, g.Door)
		}
	}
	if len(leads) != 1 || leads[0].Of != "tend.deed_2" || leads[0].Name != string(w.deed(deed).Plain()) {
		t.Errorf("on a page the row leads to %v", leads)
	}
	if got := of(tend.Action{Do: tend.DoNothing}, tend.Action{Do: tend.DoDump, Volume: 100 * unit.Gallon}); got != nil {
		t.Errorf("nothing is poured in, and drawn: %v", got)
	}
}
