package packet_test

import (
	"slices"
	"testing"

	"raftwright/draw"
	"raftwright/lang"
	"raftwright/packet"
	"raftwright/page"
	"raftwright/unit"
)

// The sheet on the drawing is as large as the one that is bought: the floor, the
// walls folded down round it and what turns over the rim (published rule of pond
// liners: length + 2 depth + 2 overlap, and so across), written beside it.
func TestLinerIsDrawnFlat(t *testing.T) {
	_, _, p := printed(t, "bed: {length: 100 in, width: 50 in, depth: 6 in, side board: 2x8, end board: 2x10, turn over: 8 in}\n")
	var g *draw.Drawing
	walk(accounts(p, words(t, lang.US), packet.Options{}), func(_ page.Section, b page.Block) {
		if f, ok := b.(page.Figure); ok && f.Drawing.ID == "liner-flat" {
			g = &f.Drawing
		}
	})
	if g == nil {
		t.Fatal("no drawing of the liner")
	}
	in := func(x float64) unit.Length { return unit.Length(x) * unit.Inch }
	long, across := in(100+2*9.25+2*8), in(50+2*7.25+2*8)
	var labels []string
	var box [2]unit.Length
	for _, i := range g.Items {
		if d, ok := i.(draw.Dimension); ok {
			labels = append(labels, d.Label)
			box[0], box[1] = max(box[0], d.From.X), max(box[1], d.From.Y)
		}
	}
	if box[0]-long > 1e-6 || long-box[0] > 1e-6 || box[1]-across > 1e-6 || across-box[1] > 1e-6 {
		t.Errorf("the sheet is drawn %v by %v, not %v by %v", box[0].Inches(), box[1].Inches(), long.Inches(), across.Inches())
	}
	for _, want := range []string{"134-1/2 in", "80-1/2 in", "100 in", "50 in"} {
		if !slices.Contains(labels, want) {
			t.Errorf("%s is not written: %v", want, labels)
		}
	}
}
