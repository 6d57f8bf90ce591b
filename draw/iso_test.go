package draw

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"raftwright/unit"
)

// A plan turned by 30 degrees and looked down on by 30 degrees: x cos 30, -x sin 30 sin 30;
// y sin 30, y cos 30 sin 30; z cos 30 (rotation matrices, any text on descriptive geometry).
func TestSeen(t *testing.T) {
	for _, c := range []struct {
		p    Space
		x, y float64
	}{
		{In3(1, 0, 0), math.Cos(math.Pi / 6), -0.25}, {In3(0, 1, 0), 0.5, math.Cos(math.Pi/6) / 2}, {In3(0, 0, 1), 0, math.Cos(math.Pi / 6)},
	} {
		if s := c.p.Seen(); math.Abs(float64(s.X)-c.x) > 1e-12 || math.Abs(float64(s.Y)-c.y) > 1e-12 {
			t.Errorf("%v is seen at %v, not %v, %v", c.p, s, c.x, c.y)
		}
	}
}

// Whatever hides a box is drawn after it: no box is painted over one in front of it.
func TestBoxesHideEachOther(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 9).Draw(t, "n")
		var list []Box
		for range n { // cells of a grid, so that none cuts into another
			c := func(name string) unit.Length { return unit.Length(rapid.IntRange(0, 3).Draw(t, name)) }
			b := Box{At: In3(c("x"), c("y"), c("z")), Size: In3(1, 1, 1)}
			b.ID = string(rune('a' + len(list)))
			same := false
			for _, o := range list {
				same = same || o.At == b.At
			}
			if !same {
				list = append(list, b)
			}
		}
		at := map[string]Box{}
		for _, b := range list {
			at[b.ID] = b
		}
		drawn := Boxes(list...)
		if len(drawn) != len(list) {
			t.Fatalf("%d of %d boxes", len(drawn), len(list))
		}
		for i := range drawn {
			for j := i + 1; j < len(drawn); j++ {
				if first, then := at[drawn[i].(Group).ID], at[drawn[j].(Group).ID]; then.behind(first) && !first.behind(then) {
					t.Fatalf("%v is painted over %v, which is in front", then.At, first.At)
				}
			}
		}
	})
}

// Rings of tags cover neither each other nor words nor lines, where there is room.
func TestTagsCoverNothing(t *testing.T) {
	d := Drawing{Loose: true, Bare: true}
	d.Add(Boxes(Box{At: In3(0, 0, 0), Size: In3(unit.Foot, unit.Inch, 3*unit.Inch)}, Box{At: In3(0, 6*unit.Inch, 0), Size: In3(unit.Foot, unit.Inch, 3*unit.Inch)})...)
	d.Add(Text{At: At(0, unit.Foot), Text: "words over it"})
	for i, s := range []Space{In3(unit.Inch, 0, unit.Inch), In3(3*unit.Inch, 0, unit.Inch), In3(5*unit.Inch, 6*unit.Inch, 2*unit.Inch), In3(unit.Foot, 6*unit.Inch, unit.Inch)} {
		d.Add(Tag{Tip: s.Seen(), Text: string(rune('A' + i)), Toward: 90})
	}
	in := &inker{scale: 0.3, grow: 1}
	in.items(d.Items, Spot{})
	before := len(in.marks)
	ink, words := inked(in.marks)
	in.setTags(in.tagRoom())
	var rings []area
	for _, m := range in.marks[before:] {
		if m.Kind == Outline && m.Fill == White {
			rings = append(rings, bounds([]Mark{m}))
		}
	}
	if len(rings) != 4 {
		t.Fatalf("%d rings", len(rings))
	}
	for i, r := range rings {
		c, half := Place{(r.x0 + r.x1) / 2, (r.y0 + r.y1) / 2}, (r.x1-r.x0)/2
		for _, s := range ink {
			if s.off(c) < half {
				t.Errorf("ring %d lies on a line", i)
			}
		}
		for _, b := range words {
			if b.near(c, half) {
				t.Errorf("ring %d lies on words", i)
			}
		}
		for j, o := range rings[:i] {
			if math.Hypot(float64(c.X-(o.x0+o.x1)/2), float64(c.Y-(o.y0+o.y1)/2)) < float64(2*half) {
				t.Errorf("rings %d and %d overlap", i, j)
			}
		}
	}
	sheet := Lay(d, Fitting{Width: 300, Height: 200})
	if sheet.Width > 300.01 || sheet.Height > 200.01 {
		t.Errorf("with its tags the drawing is %v by %v", sheet.Width, sheet.Height)
	}
}

// Every symbol has ink, inside its own box.
func TestSymbols(t *testing.T) {
	names := Symbols()
	if len(names) < 50 {
		t.Fatalf("only %d symbols", len(names))
	}
	for _, n := range names {
		g, w, h, ok := Symbol(n)
		if !ok || len(g.Items) == 0 || w < 15*unit.Millimetre || h < 20*unit.Millimetre {
			t.Errorf("%s: %v, %d items, %v by %v mm", n, ok, len(g.Items), w.Millimetres(), h.Millimetres())
			continue
		}
		in := &inker{scale: Full, grow: 1}
		in.items(g.Items, Spot{})
		if b := bounds(in.marks); b.x0 < -6 || b.y0 < -6 || b.x1 > OnPaper(w)+6 || b.y1 > OnPaper(h)+6 {
			t.Errorf("%s leaves its box: %v", n, b)
		}
	}
	if _, _, _, ok := Symbol("nothing"); ok {
		t.Error("a symbol that is not there")
	}
}
