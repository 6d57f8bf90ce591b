package press

import (
	"bytes"
	"strings"
	"testing"

	"raftwright/draw"
	"raftwright/page"
	"raftwright/unit"
)

// A drawing that is remembered is written as one that is not, whatever was drawn before; another
// one is another.
func TestMemoryOfDrawings(t *testing.T) {
	var m Memory
	square := func(side unit.Length, words string, narrow func() draw.Drawing) page.Document {
		d := draw.Drawing{ID: "square", Title: words, Alt: words}
		d.Add(draw.Group{ID: "all", Items: []draw.Item{draw.Path{Steps: []draw.Step{{Kind: draw.MoveTo}, {Kind: draw.LineTo, To: draw.At(side, 0)}, {Kind: draw.LineTo, To: draw.At(side, side)}, {Kind: draw.Close}}},
			draw.Dimension{From: draw.At(0, 0), To: draw.At(side, 0), Label: words}}})
		return page.Document{Sections: []page.Section{{ID: "one", Blocks: []page.Block{page.Figure{Drawing: d, Narrow: narrow}, page.Figure{Drawing: d}}}}}
	}
	small := func() draw.Drawing {
		return draw.Drawing{ID: "square", Title: "small", Items: []draw.Item{draw.Marker{}}}
	}
	wide, large := square(9*unit.Metre, "wide", small), square(unit.Metre, "large", nil)
	large.Large = true
	met := map[string]bool{}
	for round := range 2 {
		for _, doc := range []page.Document{square(unit.Metre, "one", nil), square(2*unit.Metre, "one", nil), square(unit.Metre, "two", nil), wide, large} {
			var plain, known bytes.Buffer
			if _, err := Fragment(doc, "one", &plain); err != nil {
				t.Fatal(err)
			}
			if found, err := m.Fragment(doc, "one", &known); !found || err != nil || plain.String() != known.String() {
				t.Fatalf("%v, %v: it is written as\n%s\nnot as\n%s", found, err, known.String(), plain.String())
			}
			if strings.Count(known.String(), "<svg") < 2 || round == 0 && met[known.String()] {
				t.Errorf("two drawings became one:\n%s", known.String())
			}
			met[known.String()] = true
		}
	}
	if len(m.drawn) != 10 { // the second on a page has another name
		t.Errorf("%d are remembered", len(m.drawn))
	}
	for range 3 {
		m.keep(uint64(len(m.order)), strings.Repeat("x", mostDrawn/2))
	}
	if m.bytes > mostDrawn || len(m.drawn) != len(m.order) {
		t.Errorf("%d bytes, %d and %d", m.bytes, len(m.drawn), len(m.order))
	}
}
