package packet

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"raftwright/draw"
	"raftwright/finding"
	"raftwright/page"
	"raftwright/raft"
	"raftwright/unit"
)

// raftPlan draws one kind of sheet with its holes; the distances run on from the
// lower left corner, as on a tape that stays hooked there. It takes at most so much of the
// height of the paper.
func (w writer) raftPlan(l raft.Layout, kind int, high draw.Points) page.Figure {
	return w.both(func(w writer) page.Figure { return w.raftDrawn(l, kind, high) })
}

func (w writer) raftDrawn(l raft.Layout, kind int, high draw.Points) page.Figure {
	r := w.p.Raft
	id, title := "raft", "packet.raft.caption"
	if len(r.Layouts) > 1 {
		id, title = fmt.Sprintf("raft-%d", kind+1), "packet.raft.caption_kind"
	}
	g := w.drawing(id, title, "alt.raft", finding.Args{"Count": len(l.Positions), "Width": l.Size.X, "Length": l.Size.Y, "Kind": kindName(kind), "Unit": w.tapeUnit()})
	guide := l.Guide(r.Job.Spacing, r.Job.Edge)
	w.sheet(&g, w.kindOfSheet(kind), r.Job.Hole, !guide.ByRows)
	under, beside := draw.Points(14), draw.Points(22)
	if guide.ByRows {
		under, beside = w.running(&g, l, guide, high)
	}
	w.sides(&g, l.Size.X, l.Size.Y, under, beside)
	return figure(g, high)
}

// sides measures from the lower left corner to the right and up.
func (w writer) sides(g *draw.Drawing, x, y unit.Length, under, beside draw.Points) {
	g.Add(w.measure(draw.At(x, 0), draw.At(0, 0), under), w.measure(draw.At(0, 0), draw.At(0, y), beside))
}

// kindName names the kinds of sheets A, B, C, ...
func kindName(i int) string { return string(rune('A' + i%26)) }

// sheet draws foam, obstacles and holes.
func (w writer) sheet(g *draw.Drawing, l sheetOf, hole unit.Length, numbered bool) {
	foam := draw.Rect(draw.At(0, 0), l.Size.X, l.Size.Y)
	if l.Round {
		foam = draw.Circle(draw.At(l.Size.X/2, l.Size.Y/2), l.Size.X/2)
		g.Add(draw.Rect(draw.At(0, 0), l.Size.X, l.Size.Y).In(draw.Thin, draw.Dashed))
	}
	g.Add(foam.In(draw.Heavy, draw.Solid).Filled(draw.White).Named("foam", w.say("word.raft", nil)))
	for _, o := range l.Obstacles() {
		g.Add(draw.Rect(draw.At(o.At.X, o.At.Y), o.Size.X, o.Size.Y).Filled(draw.Crossed).In(draw.Normal, draw.Dashed).Named("", w.say("word.obstacle", nil)))
	}
	size := leastType
	if w.large && w.narrow {
		size /= w.grow() // the holes stand as close as in ordinary print
	}
	marked := make([]raft.GuideHole, len(l.Positions))
	if w.doors != nil {
		marked = l.Guide(l.spacing, l.edge).Holes
	}
	for i, q := range l.Positions {
		var sign draw.Item = draw.Marker{At: draw.At(q.X, q.Y), Shape: draw.Plus, Size: 4}
		if numbered {
			sign = draw.Text{At: draw.At(q.X, q.Y+hole/2), Dy: 3.2, Text: fmt.Sprint(i + 1), Size: size, Anchor: draw.Middle, Halo: true}
		}
		g.Add(w.holeDoor(l, marked[i], hole, draw.Circle(draw.At(q.X, q.Y), hole/2).Named(fmt.Sprintf("%s-hole-%d", g.ID, i+1), ""), sign)...)
	}
}

// running marks the columns at the near edge and the rows at the left edge, all
// from the same corner; a second set of columns stands at the far edge. It gives how far under
// the sheet and beside it the marks reach. Those that find no room in large print stand in a list.
func (w writer) running(g *draw.Drawing, l raft.Layout, guide raft.Guide, high draw.Points) (under, beside draw.Points) {
	under, beside = 14, 22
	long := min(440/l.Size.X, unit.Length(high-90)/l.Size.Y) // points of paper that a length of the sheet takes, about
	if w.narrow {
		long = min(unit.Length(phoneWide-60)/l.Size.X, unit.Length(430)/l.Size.Y)
	}
	roomY := long * l.Size.Y
	size := draw.Points(9)
	paper := size * w.grow() // as it comes out
	mark := func(t draw.Text) {
		t.Size = size
		g.Add(draw.Marker{At: t.At, Shape: draw.Plus, Size: 6}, t)
	}
	for i, set := range guide.Settings[:min(len(guide.Settings), 2)] {
		y, dy, anchor, level := unit.Length(0), draw.Points(-10), draw.End, draw.Hanging
		if i == 1 {
			y, dy, anchor, level = l.Size.Y, 10, draw.Start, draw.Baseline
		}
		turn := 0.
		if w.large && 0.66*draw.Points(long*l.LeastSpacing) < 1.2*paper && w.crowded(set, long, paper) {
			continue // a list says them
		}
		if w.crowded(set, long, paper) {
			turn, level = 90, draw.Centred
			for _, m := range set {
				if i == 0 {
					under = max(under, 26+draw.TextWidth(w.short(m), size, false))
				}
			}
		} else {
			anchor = draw.Middle
			if i == 0 {
				under = 36
			}
		}
		for _, m := range set {
			mark(draw.Text{At: draw.At(m.Exact, y), Dy: dy, Text: w.short(m), Anchor: anchor, Level: level, Turn: turn})
		}
	}
	lead := paper
	if w.large {
		lead *= 1.55 // a scale of a rule is up to a third smaller than there would be room for
	}
	if len(guide.Rows) <= int(roomY/unit.Length(lead)) {
		widest := draw.Points(0)
		for _, row := range guide.Rows {
			mark(draw.Text{At: draw.At(0, row.Y.Exact), Dx: -8, Text: w.short(row.Y), Anchor: draw.End, Level: draw.Centred})
			widest = max(widest, draw.TextWidth(w.short(row.Y), size, false))
		}
		beside = max(44, 14+widest)
	}
	return under, beside
}

// crowded tells whether the labels of marks do not fit side by side. A scale of a rule is up to
// a third smaller than there would be room for.
func (w writer) crowded(set []raft.Mark, long unit.Length, size draw.Points) bool {
	for i := 1; i < len(set); i++ {
		if 0.66*draw.Points(long*(set[i].Exact-set[i-1].Exact)) < draw.TextWidth(w.short(set[i]), size, false)+4 {
			return true
		}
	}
	return false
}

// tapeUnit names what the numbers on the drawings of the raft are in.
func (w writer) tapeUnit() string {
	if w.metric() {
		return w.say("word.unit.millimetres", nil)
	}
	return w.say("word.unit.inches", nil)
}

// short prints a mark without its unit: the caption names the unit.
func (w writer) short(m raft.Mark) string {
	return strings.TrimSuffix(strings.TrimSuffix(w.mark(m), " "+w.say("word.unit.inch", nil)), " "+w.say("word.unit.millimeter", nil))
}

// assembly draws how the sheets of a raft lie beside each other.
func (w writer) assembly() page.Figure {
	r := w.p.Raft
	g := w.drawing("raft-sheets", "packet.raft.caption_sheets", "alt.raft_sheets", finding.Args{"Count": len(r.Pieces)})
	g.Plan = true
	size, lie := r.Size, func(x, y unit.Length) draw.Spot { return draw.At(x, y) }
	if r.Size.Y > r.Size.X { // the long side along the paper
		size, lie = r.Size.Turned(), func(x, y unit.Length) draw.Spot { return draw.At(y, r.Size.X-x) }
	}
	turned := false
	for _, q := range r.Positions {
		g.Add(draw.Circle(lie(q.X, q.Y), r.Job.Hole/2).In(draw.Thin, draw.Solid))
	}
	for i, p := range r.Pieces {
		l := r.Layouts[p.Layout]
		name := fmt.Sprint(i + 1)
		if len(r.Layouts) > 1 {
			name += " " + kindName(p.Layout)
		}
		if p.HalfTurned {
			name += "*"
			turned = true
		}
		x, y := p.At.X, p.At.Y
		g.Add(draw.Polygon(lie(x, y), lie(x+l.Size.X, y), lie(x+l.Size.X, y+l.Size.Y), lie(x, y+l.Size.Y)).In(draw.Heavy, draw.Solid),
			draw.Text{At: lie(x+l.Size.X/2, y+l.Size.Y/2), Text: name, Size: leastType, Bold: true, Anchor: draw.Middle, Level: draw.Centred, Halo: true})
	}
	w.sides(&g, size.X, size.Y, 14, 14)
	f := figure(g, 125*w.grow())
	if turned {
		f.Caption += " " + w.text("packet.raft.turned", nil)
	}
	return f
}

// nurseryPlan draws the sheet for young plants.
func (w writer) nurseryPlan() page.Figure {
	r := w.p.Raft
	l := w.youngSheet()
	g := w.drawing("nursery", "packet.raft.caption_nursery", "alt.raft",
		finding.Args{"Spacing": r.Job.NurserySpacing, "Count": len(l.Positions), "Width": l.Size.X, "Length": l.Size.Y})
	w.sheet(&g, l, min(r.Job.Hole, 0.8*r.Job.NurserySpacing), false)
	if len(l.Positions) > 1 {
		w.sides(&g, l.Positions[0].X, l.Positions[0].Y, 12, 12)
	}
	w.sides(&g, l.Size.X, l.Size.Y, 30, 30)
	return figure(g, 230)
}

// potFigure draws a pot in the foam on the day of planting and at harvest, with
// how deep its bottom stands in the water.
func (w writer) potFigure() page.Figure { return w.both(writer.potDrawn) }

func (w writer) potDrawn() page.Figure {
	r := w.p.Raft
	d, foam, pot := r.Dip, r.Job.Thickness, r.Job.Pot
	rim := pot.Rim
	if rim <= r.Job.Hole {
		rim = r.Job.Hole * 1.1
	}
	half := max(rim, r.Job.Hole)/2 + 0.6*unit.Inch
	g := w.drawing("pot", "packet.raft.caption_pot", "alt.pot", finding.Args{"Planted": d.WetPlanted, "Grown": d.WetGrown})
	deep := max(d.WetGrown, d.WetPlanted, 0) + r.Float.DraftGrown + unit.Inch/2
	for i, c := range []struct {
		draft, wet unit.Length
		name, of   string
	}{{r.Float.Draft, d.WetPlanted, "packet.raft.day_one", "raft.wet"}, {r.Float.DraftGrown, d.WetGrown, "packet.raft.day_last", "raft.wet_grown"}} {
		x, one := unit.Length(i)*(2*half+1.6*unit.Inch), draw.Group{}
		if w.narrow { // one under the other
			x, one.Shift.Y = 0, -unit.Length(i)*(deep+pot.Height+1.5*unit.Inch*unit.Length(w.grow()))
		}
		side, to := unit.Length(-1), draw.Start // measured outside, named from there inwards
		if i > 0 {
			side, to = 1, draw.End
		}
		// the water line is at 0
		low := -c.draft
		body := func(z unit.Length) unit.Length { // half of the pot's width at a height above its bottom
			return r.Job.Hole / 2 * (0.68 + 0.3*z/pot.Height)
		}
		bottom := low + foam - pot.Height
		plug := 0.3 * r.Job.Hole
		one.Items = append(one.Items,
			draw.Rect(draw.At(x-half, -deep), 2*half, deep).Filled(draw.Water).In(draw.NoLine, draw.Solid),
			draw.Line(draw.At(x-half, 0), draw.At(x+half, 0)).In(draw.Normal, draw.DashDot),
			draw.Rect(draw.At(x-half, low), half-r.Job.Hole/2, foam).Filled(draw.Foam).Named("", w.say("word.raft", nil)),
			draw.Rect(draw.At(x+r.Job.Hole/2, low), half-r.Job.Hole/2, foam).Filled(draw.Foam),
			draw.Polygon(draw.At(x-body(0), bottom), draw.At(x+body(0), bottom), draw.At(x+body(pot.Height), bottom+pot.Height), draw.At(x-body(pot.Height), bottom+pot.Height)).
				Filled(draw.White).In(draw.Heavy, draw.Solid).Named("", w.say("word.pot", nil)),
			draw.Rect(draw.At(x-plug, bottom), 2*plug, 0.8*pot.Height).Filled(draw.Dots).In(draw.Thin, draw.Solid).Named("", w.say("word.plug", nil)),
			draw.Line(draw.At(x-rim/2, low+foam), draw.At(x+rim/2, low+foam)).In(draw.Heavy, draw.Solid),
			draw.Text{At: draw.At(x+side*half, low+foam), Dy: 10, Text: w.say(c.name, nil), Anchor: to, Bold: true},
		)
		if math.Abs(float64(c.wet)) > float64(unit.Millimetre)/2 {
			ends := []draw.Spot{draw.At(x+side*half, 0), draw.At(x+side*half, -c.wet)}
			if i == 0 {
				slices.Reverse(ends)
			}
			one.Items = append(one.Items, draw.Dimension{Door: w.door(c.of), From: ends[0], To: ends[1], Offset: 14, Label: w.label(c.wet), Tip: draw.Ticks, Beside: w.narrow},
				draw.Line(draw.At(x, -c.wet), draw.At(x+side*half, -c.wet)).In(draw.Thin, draw.Dashed))
		}
		g.Add(one)
	}
	return figure(g, 210)
}
