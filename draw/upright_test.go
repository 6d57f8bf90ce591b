package draw

import (
	"testing"

	"raftwright/unit"
)

// A plan that lies is stood up: what was at the right is above, lengths stay, words stay level on
// the side that turned with them.
func TestUpright(t *testing.T) {
	d := Drawing{Plan: true}
	d.Add(Rect(At(0, 0), 10*in, 4*in), Text{At: At(10*in, 2*in), Dx: 5, Text: "end", Level: Centred}, Text{At: At(5*in, 0), Dy: -5, Text: "near", Anchor: Middle, Level: Hanging},
		Text{At: At(0, 0), Text: "up", Turn: 90}, Dimension{From: At(0, 4*in), To: At(10*in, 4*in), Offset: 10, Label: "10 in"}, Callout{Tip: At(10*in, 0), Dx: 3, Dy: 4},
		Group{Shift: At(in, 0), Items: []Item{Marker{At: At(in, 0)}}}, Tag{Tip: At(in, 0), Toward: 10})
	u := Upright(d)
	if w, h := Extent(u); w < 3.99*in || w > 4.01*in || h < 9.99*in || h > 10.01*in {
		t.Errorf("%v by %v", w.Inches(), h.Inches())
	}
	near := func(a, b Spot) bool { return max(a.X-b.X, b.X-a.X, a.Y-b.Y, b.Y-a.Y) < unit.Millimetre/100 }
	end, under, up := u.Items[1].(Text), u.Items[2].(Text), u.Items[3].(Text)
	if !near(end.At, At(-2*in, 10*in)) || end.Dy != 5 || end.Anchor != Middle || end.Level != Baseline || end.Turn != 0 {
		t.Errorf("%+v", end)
	}
	if !near(under.At, At(0, 5*in)) || under.Dx != 5 || under.Anchor != Start || under.Level != Centred {
		t.Errorf("%+v", under)
	}
	if up.Turn != 0 || up.Anchor != End {
		t.Errorf("%+v", up)
	}
	if m := u.Items[4].(Dimension); !near(m.From, At(-4*in, 0)) || !near(m.To, At(-4*in, 10*in)) || m.Offset != 10 {
		t.Errorf("%+v", m)
	}
	if c := u.Items[5].(Callout); !near(c.Tip, At(0, 10*in)) || c.Dx != -4 || c.Dy != 3 {
		t.Errorf("%+v", c)
	}
	if g := u.Items[6].(Group); !near(g.Shift, At(0, in)) || !near(g.Items[0].(Marker).At, At(0, in)) || u.Items[7].(Tag).Toward != 100 {
		t.Errorf("%+v", g)
	}
	d.Items = d.Items[:1]
	d.Plan = false
	if w, _ := Extent(Upright(d)); w < 9.9*in {
		t.Error("a cut was turned")
	}
	if w, _ := Extent(Upright(u)); w > 4.01*in {
		t.Error("one that stands was turned")
	}
}
