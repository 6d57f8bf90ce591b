package packet_test

import (
	"strings"
	"testing"

	"raftwright/draw"
	"raftwright/lang"
	"raftwright/packet"
	"raftwright/page"
	"raftwright/unit"
)

// Whoever has the paper alone learns from the shopping face what to buy beside the shelf, and from the
// card at the bed the acid of a top-up, as the plan has it.
func TestThePaperTellsWhatToBuyAndTheAcidOfATopUp(t *testing.T) {
	const brief = "site: {place: 14850}\nbed: {length: 8 ft, width: 4 ft}\nwater: {kind: hard}\n"
	_, _, p := printed(t, brief+"shelf: [{name: one bag, label: 5-12-26, nitrate-n: 5 %}]\n")
	w := words(t, lang.US)
	buy := flat(told(t, packet.Faces(p, w, packet.Options{}, "buy")))
	if p.Mix.Buy == nil || !strings.Contains(buy, "Buy calcium nitrate") && !strings.Contains(buy, "Buy "+p.Mix.Buy.Goods[0].Product) {
		t.Errorf("the face does not say what to buy: %s", buy)
	}
	if card := flat(told(t, packet.Faces(p, w, packet.Options{}, "card"))); p.Mix.Acid.Dose <= 0 || !strings.Contains(card, "citric acid") {
		t.Errorf("the card at the bed has no acid: %s", card)
	}
}

// The line to fill to strikes no word of the dipstick: words of 9 and 9.5 points stand from
// their foot to 7 points above it, with tails of 2 below.
func TestFillLineStrikesNoWord(t *testing.T) {
	for _, depth := range []string{"6 in", "5-1/16 in", "5-1/8 in", "152 mm", "150 mm", "148 mm"} {
		_, _, p := printed(t, "bed: {length: 97 in, width: 49 in, depth: "+depth+"}\n")
		for _, u := range []lang.Units{lang.US, lang.Metric} {
			walk(packet.Faces(p, words(t, u), packet.Options{}, "card"), func(_ page.Section, b page.Block) {
				f, ok := b.(page.Figure)
				if !ok || f.Drawing.ID != "dipstick" {
					return
				}
				line := p.Frame.Job.Depth
				for _, x := range f.Drawing.Items {
					if s, ok := x.(draw.Text); ok {
						foot := float64((s.At.Y-line)/unit.Inch)*72 + float64(s.Dy)
						if foot < 2.5 && foot > -7.5 {
							t.Errorf("%s: the line strikes %q, %.1f points above it", depth, s.Text, foot)
						}
					}
				}
			})
		}
	}
}
