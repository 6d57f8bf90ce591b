package packet

import (
	"raftwright/draw"
	"raftwright/finding"
	"raftwright/frame"
	"raftwright/page"
	"raftwright/unit"
)

// figure gives a drawing its caption, which is its title.
func figure(g draw.Drawing) page.Figure {
	return page.Figure{Drawing: g, Caption: page.Text(g.Title)}
}

// framePlan draws the frame from above: the ends cap the sides, holds are
// marked, the raft floats inside.
func (w writer) framePlan() page.Figure {
	d := w.p.Frame
	v := d.Job.Vessel
	ts, te := d.Side.Section.Thick, d.End.Section.Thick
	l, b := v.Length, v.Width
	g := draw.Drawing{ID: "frame-plan", Title: w.say("packet.frame.caption.plan", nil),
		Alt: w.say("alt.frame.plan", finding.Args{"Length": l, "Width": b, "Count": d.Side.Holds})}
	g.Add(
		draw.Rect(draw.At(0, 0), l, b).Filled(draw.Water).In(draw.Normal, draw.Solid).Named("water", w.say("word.water", nil)),
		draw.Rect(draw.At(0, -ts), l, ts).Filled(draw.Wood).Named("side-near", w.say("word.piece_side", nil)),
		draw.Rect(draw.At(0, b), l, ts).Filled(draw.Wood).Named("side-far", w.say("word.piece_side", nil)),
		draw.Rect(draw.At(-te, -ts), te, b+2*ts).Filled(draw.Wood).Named("end-left", w.say("word.piece_end", nil)),
		draw.Rect(draw.At(l, -ts), te, b+2*ts).Filled(draw.Wood).Named("end-right", w.say("word.piece_end", nil)),
	)
	w.raftInPlan(&g, l, b)
	w.holdsInPlan(&g)
	g.Add(
		draw.Dimension{From: draw.At(l, -ts), To: draw.At(0, -ts), Offset: 14, Label: w.label(l)},
		draw.Dimension{From: draw.At(l+te, -ts), To: draw.At(-te, -ts), Offset: 32, Label: w.label(l + 2*te)},
		draw.Dimension{From: draw.At(-te, 0), To: draw.At(-te, b), Offset: 16, Label: w.label(b)},
		draw.Dimension{From: draw.At(l+te, b+ts), To: draw.At(l+te, -ts), Offset: 16, Label: w.label(b + 2*ts)},
	)
	f := figure(g)
	f.Height = 250
	return f
}

// raftInPlan draws the sheets of the raft where they float.
func (w writer) raftInPlan(g *draw.Drawing, l, b unit.Length) {
	r := w.p.Raft
	if r == nil || r.Round {
		return
	}
	turn := (r.Size.X < r.Size.Y) == (l >= b) // the raft's long side lies along the long side of the bed
	size := r.Size
	if turn {
		size = size.Turned()
	}
	at := draw.At((l-size.X)/2, (b-size.Y)/2)
	for _, p := range r.Pieces {
		x, y, s := p.At.X, p.At.Y, r.Layouts[p.Layout].Size
		if turn {
			x, y, s = p.At.Y, p.At.X, s.Turned()
		}
		g.Add(draw.Rect(at.Plus(x, y), s.X, s.Y).Filled(draw.White).In(draw.Normal, draw.Dashed).Named("", w.say("word.raft", nil)))
	}
	at.X = l / 2
	if w.p.Frame.Side.Holds > 0 {
		at.X = w.p.Frame.Side.Spacing / 2 // clear of the ties
	}
	g.Add(draw.Text{At: draw.At(at.X, b*0.75), Text: w.say("word.raft", nil), Anchor: draw.Middle, Level: draw.Centred, Halo: true})
}

// holdsInPlan marks the holds, the ties between them and their spacing.
func (w writer) holdsInPlan(g *draw.Drawing) {
	d := w.p.Frame
	l, b := d.Job.Vessel.Length, d.Job.Vessel.Width
	ts, te := d.Side.Section.Thick, d.End.Section.Thick
	for _, row := range []frame.Row{d.Side, d.End} {
		kind := d.SideHold.Kind
		if row.Part == frame.End {
			kind = d.EndHold.Kind
		}
		for i := 1; i <= row.Holds; i++ {
			at := row.Spacing * unit.Length(i)
			from, to := draw.At(at, -ts), draw.At(at, b+ts)
			if row.Part == frame.End {
				from, to = draw.At(-te, at), draw.At(l+te, at)
			}
			if kind == frame.FloorTie {
				g.Add(draw.Line(from, to).In(draw.Heavy, draw.DashDot))
			}
			for _, s := range []draw.Spot{from, to} {
				g.Add(draw.Marker{At: s, Shape: draw.BoxFull, Size: 6, Title: w.say("word.hold", nil)})
			}
		}
	}
	n := d.Side.Holds
	if n == 0 {
		return
	}
	for i := range min(n+1, 12) {
		at := d.Side.Spacing * unit.Length(i)
		g.Add(draw.Dimension{From: draw.At(at, b+ts), To: draw.At(min(at+d.Side.Spacing, l), b+ts), Offset: 14, Label: w.label(d.Side.Spacing)})
	}
	if d.SideHold.Kind == frame.FloorTie {
		g.Add(draw.Callout{Tip: draw.At(d.Side.Spacing, b*0.3), Dx: 22, Dy: -14, Text: w.say("word.tie", nil)})
	} else {
		g.Add(draw.Callout{Tip: draw.At(d.Side.Spacing, ts/2), Dx: 22, Dy: 26, Text: w.say("word.stake", nil)})
	}
}

// sectionThrough draws the cut through the bed, across its width.
func (w writer) sectionThrough() page.Figure {
	d := w.p.Frame
	v, depth := d.Job.Vessel, d.Job.Depth
	t, h, b := d.Side.Section.Thick, d.Side.Height, v.Width
	soil := 1.5 * unit.Inch
	g := draw.Drawing{ID: "frame-section", Title: w.say("packet.frame.caption.section", nil),
		Alt: w.say("alt.frame.section", finding.Args{"Depth": depth, "Height": h})}
	g.Add(
		draw.Rect(draw.At(-t-4*unit.Inch, -soil), b+2*t+8*unit.Inch, soil).Filled(draw.Soil).In(draw.Thin, draw.Solid).Named("soil", w.say("word.ground", nil)),
		draw.Rect(draw.At(-t, 0), t, h).Filled(draw.Wood).In(draw.Normal, draw.Solid).Named("wall-left", w.say("word.piece_side", nil)),
		draw.Rect(draw.At(b, 0), t, h).Filled(draw.Wood).In(draw.Normal, draw.Solid).Named("wall-right", w.say("word.piece_side", nil)),
		draw.Rect(draw.At(0, 0), b, depth).Filled(draw.Water).In(draw.NoLine, draw.Solid).Named("water", w.say("word.water", nil)),
		draw.Polyline(draw.At(-t, h), draw.At(0, h), draw.At(0, 0), draw.At(b, 0), draw.At(b, h), draw.At(b+t, h)).In(draw.Heavy, draw.Solid).Named("liner", w.say("word.liner", nil)),
	)
	if r := w.p.Raft; r != nil {
		short := min(r.Size.X, r.Size.Y, b)
		g.Add(draw.Rect(draw.At((b-short)/2, depth-r.Float.DraftGrown), short, r.Job.Thickness).Filled(draw.Foam).Named("raft", w.say("word.raft", nil)))
	}
	g.Add(
		draw.Dimension{From: draw.At(-t, 0), To: draw.At(-t, h), Offset: 16, Label: w.label(h)},
		draw.Dimension{From: draw.At(b+t, depth), To: draw.At(b+t, 0), Offset: 16, Label: w.label(depth)},
		draw.Dimension{From: draw.At(b, -soil), To: draw.At(0, -soil), Offset: 12, Label: w.label(b)},
	)
	f := figure(g)
	f.Height = 150
	return f
}

// rim draws the edge of the bed large: board, batten, liner, gap, raft, and the
// water today, after an inch of rain and at the brim.
func (w writer) rim() page.Figure {
	d := w.p.Frame
	depth, t, h := d.Job.Depth, d.Side.Section.Thick, d.Side.Height
	inner := max(9*unit.Inch, 1.1*h)
	g := draw.Drawing{ID: "rim", Title: w.say("packet.frame.caption.rim", nil), Alt: w.say("alt.frame.rim", finding.Args{"Depth": depth, "Brim": d.Brim})}
	batten, _ := frame.Size{Thick: 1, Wide: 2}.Dry()
	turn := min(d.Liner.Turn, 0.4*h)
	g.Add(
		draw.Rect(draw.At(-t-2*unit.Inch, -unit.Inch), inner+t+2*unit.Inch, unit.Inch).Filled(draw.Soil).In(draw.Thin, draw.Solid).Named("soil", w.say("word.ground", nil)),
		draw.Rect(draw.At(-t, 0), t, h).Filled(draw.Wood).In(draw.Normal, draw.Solid).Named("board", w.say("word.piece_side", nil)),
		draw.Rect(draw.At(0, 0), inner, depth).Filled(draw.Water).In(draw.NoLine, draw.Solid).Named("water", w.say("word.water", nil)),
		draw.Line(draw.At(0, depth), draw.At(inner, depth)),
	)
	if d.Liner.Wanted {
		g.Add(draw.Polyline(draw.At(-t, h-turn), draw.At(-t, h), draw.At(0, h), draw.At(0, 0), draw.At(inner, 0)).In(draw.Heavy, draw.Solid).Named("liner", w.say("word.liner", nil)),
			draw.Rect(draw.At(-t-batten.Thick, h-batten.Wide), batten.Thick, batten.Wide).Filled(draw.Crossed).Named("batten", w.say("word.piece_batten", nil)),
			draw.Callout{Tip: draw.At(0, h), Dx: 14, Dy: 16, Text: w.say("word.liner", nil)},
			draw.Callout{Tip: draw.At(-t-batten.Thick/2, h), Dx: -12, Dy: 16, Text: w.say("word.piece_batten", nil)})
	}
	if r := w.p.Raft; r != nil && !r.Round {
		gap := max(0, (d.Job.Vessel.Width-min(r.Size.X, r.Size.Y))/2)
		low := depth - r.Float.DraftGrown
		g.Add(draw.Rect(draw.At(gap, low), inner-gap, r.Job.Thickness).Filled(draw.Foam).Named("raft", w.say("word.raft", nil)),
			draw.Text{At: draw.At((inner+gap)/2, low+r.Job.Thickness/2), Text: w.say("word.raft", nil), Anchor: draw.Middle, Level: draw.Centred, Size: 9, Halo: true},
			draw.Dimension{From: draw.At(0, low), To: draw.At(gap, low), Offset: -12, Label: w.label(gap), Tip: draw.Ticks})
	}
	w.waterLines(&g, inner)
	f := figure(g)
	f.Height = 230
	return f
}

// waterLines marks the levels of the water at the right of a cut: today, after
// an inch of rain, brim full; the text of close lines is spread.
func (w writer) waterLines(g *draw.Drawing, right unit.Length) {
	d := w.p.Frame
	type line struct {
		at   unit.Length
		text string
	}
	lines := []line{{d.Job.Depth, w.say("packet.level.today", finding.Args{"Depth": d.Job.Depth})}}
	if d.Job.OpenToRain && d.Rain[0].Depth > d.Job.Depth {
		lines = append(lines, line{d.Rain[0].Depth, w.say("packet.level.rain", finding.Args{"Depth": d.Rain[0].Depth})})
	}
	if n := len(lines); d.Brim > lines[n-1].at+unit.Millimetre {
		lines = append(lines, line{d.Brim, w.say("packet.level.brim", finding.Args{"Depth": d.Brim})})
	}
	for i, x := range lines {
		if i > 0 {
			g.Add(draw.Line(draw.At(0, x.at), draw.At(right, x.at)).In(draw.Thin, draw.Dashed))
		}
		g.Add(draw.Callout{Tip: draw.At(right, x.at), Dx: 18, Dy: draw.Points(-8 + 13*(i-(len(lines)-1)/2)), Text: x.text, Size: 9})
	}
}

// corner draws a corner from above with its screws.
func (w writer) corner() page.Figure {
	d := w.p.Frame
	ts, te := d.Side.Section.Thick, d.End.Section.Thick
	run := 6 * unit.Inch
	g := draw.Drawing{ID: "corner", Title: w.say("packet.frame.caption.corner", nil), Alt: w.say("alt.frame.corner", finding.Args{"Screws": d.Corner.Screws})}
	g.Add(
		draw.Rect(draw.At(-te, -ts), te, run).Filled(draw.Wood).In(draw.Normal, draw.Solid).Named("end", w.say("word.piece_end", nil)),
		draw.Rect(draw.At(0, -ts), run, ts).Filled(draw.Wood).In(draw.Normal, draw.Solid).Named("side", w.say("word.piece_side", nil)),
	)
	screw := func(from, to draw.Spot) {
		g.Add(draw.Line(from, to).In(draw.Heavy, draw.Solid), draw.Marker{At: from, Shape: draw.Disc, Size: 5})
	}
	count := func(n int, tip draw.Spot, dx, dy draw.Points) {
		if n > 0 {
			g.Add(draw.Callout{Tip: tip, Dx: dx, Dy: dy, Text: w.say("packet.frame.screws", finding.Args{"Count": n}), Size: 9})
		}
	}
	if d.Corner.Block != (frame.Size{}) && !d.Corner.Plain {
		s, _ := d.Corner.Block.Dry()
		g.Add(draw.Rect(draw.At(0, 0), s.Wide, s.Thick).Filled(draw.Crossed).Named("block", w.say("word.piece_corner_block", nil)))
		screw(draw.At(-te, s.Thick/2), draw.At(s.Wide*0.75, s.Thick/2))
		screw(draw.At(s.Wide/2, -ts), draw.At(s.Wide/2, s.Thick*0.75))
		g.Add(draw.Callout{Tip: draw.At(s.Wide, s.Thick), Dx: 12, Dy: 22, Text: w.say("word.piece_corner_block", nil) + " " + d.Corner.Block.String(), Size: 9})
		count(d.Corner.BlockToEnd, draw.At(-te, s.Thick/2), -10, 12)
		count(d.Corner.BlockToSide, draw.At(s.Wide/2, -ts), 16, -16)
	}
	screw(draw.At(-te, -ts/2), draw.At(1.5*unit.Inch, -ts/2))
	count(d.Corner.Butt, draw.At(-te, -ts/2), -10, -12)
	g.Add(
		draw.Text{At: draw.At(run*0.62, -ts/2), Text: w.say("word.piece_side", nil) + " " + d.Side.Size.String(), Size: 9, Anchor: draw.Middle, Level: draw.Centred, Halo: true},
		draw.Text{At: draw.At(-te/2, run*0.6), Text: w.say("word.piece_end", nil) + " " + d.End.Size.String(), Size: 9, Anchor: draw.Middle, Level: draw.Centred, Turn: 90, Halo: true},
	)
	return figure(g)
}

// vesselSection draws the cut through a tank or tub, straight or leaning.
func (w writer) vesselSection() page.Figure {
	d := w.p.Frame
	v, depth, top := d.Job.Vessel, d.Job.Depth, d.Brim
	wide := func(z unit.Length) unit.Length {
		upper, base := v.Length, v.BaseLength
		if v.Shape == frame.RoundShape {
			upper, base = v.Diameter, v.BaseDiameter
		}
		if base == 0 || v.TopAt <= 0 {
			return upper
		}
		return base + (upper-base)*z/v.TopAt
	}
	mid := max(wide(0), wide(top)) / 2
	at := func(side, z unit.Length) draw.Spot { return draw.At(mid+side*wide(z)/2, z) }
	g := draw.Drawing{ID: "vessel-section", Title: w.say("packet.vessel.caption", nil), Alt: w.say("alt.vessel", finding.Args{"Depth": depth, "Height": top})}
	soil := 2 * unit.Inch
	g.Add(
		draw.Rect(draw.At(-soil, -soil), 2*mid+2*soil, soil).Filled(draw.Soil).In(draw.Thin, draw.Solid).Named("soil", w.say("word.ground", nil)),
		draw.Polygon(at(-1, 0), at(1, 0), at(1, depth), at(-1, depth)).Filled(draw.Water).In(draw.NoLine, draw.Solid).Named("water", w.say("word.water", nil)),
	)
	if r := w.p.Raft; r != nil {
		size := min(max(r.Size.X, r.Size.Y), wide(depth))
		g.Add(draw.Rect(draw.At(mid-size/2, depth-r.Float.DraftGrown), size, r.Job.Thickness).Filled(draw.Foam).Named("raft", w.say("word.raft", nil)),
			draw.Callout{Tip: draw.At(mid, depth-r.Float.DraftGrown+r.Job.Thickness), Dx: 20, Dy: 22, Text: w.say("word.raft", nil) + ", " + w.label(r.Job.Thickness)})
	}
	name := w.label(wide(depth))
	if v.Shape == frame.RoundShape {
		name = "Ø " + name
	}
	g.Add(
		draw.Polyline(at(-1, top), at(-1, 0), at(1, 0), at(1, top)).In(draw.Heavy, draw.Solid).Named("wall", w.say("word.vessel."+v.Shape.String(), nil)),
		draw.Dimension{From: draw.At(0, 0), To: draw.At(0, top), Offset: 16, Label: w.label(top)},
		draw.Dimension{From: draw.At(2*mid, depth), To: draw.At(2*mid, 0), Offset: 16, Label: w.label(depth)},
		draw.Dimension{From: draw.At(mid+wide(0)/2, -soil), To: draw.At(mid-wide(0)/2, -soil), Offset: 12, Label: w.label(wide(0))},
		draw.Dimension{From: at(-1, depth), To: at(1, depth), Offset: -14, Label: name},
	)
	f := figure(g)
	f.Height = 220
	return f
}
