package packet

import (
	"fmt"
	"math"

	"raftwright/draw"
	"raftwright/finding"
	"raftwright/frame"
	"raftwright/page"
	"raftwright/unit"
)

// drawing begins a drawing with its title and its description in words.
func (w writer) drawing(id, title, alt string, args finding.Args) draw.Drawing {
	return draw.Drawing{ID: id, Title: w.say(title, args), Alt: w.say(alt, args)}
}

// figure gives a drawing its caption, which is its title, and the most height.
func figure(g draw.Drawing, height draw.Points) page.Figure {
	return page.Figure{Drawing: g, Caption: page.Text(g.Title), Height: height}
}

// measure gives the dimension from one spot to another.
func (w writer) measure(from, to draw.Spot, offset draw.Points) draw.Dimension {
	return draw.Dimension{From: from, To: to, Offset: offset, Label: w.label(unit.Length(math.Hypot(float64(to.X-from.X), float64(to.Y-from.Y))))}
}

// part names a part of a drawing.
func (w writer) part(p draw.Path, id, word string) draw.Path {
	return p.Named(id, w.say(word, nil))
}

// wood, pool and soil are parts that most drawings of the bed have.
func (w writer) wood(at draw.Spot, width, height unit.Length, id, word string) draw.Path {
	return w.part(draw.Rect(at, width, height).Filled(draw.Wood), id, word)
}

func (w writer) pool(p draw.Path) draw.Path {
	return w.part(p.Filled(draw.Water), "water", "word.water")
}

func (w writer) soil(from, width, deep unit.Length) draw.Path {
	return w.part(draw.Rect(draw.At(from, -deep), width, deep).Filled(draw.Soil).In(draw.Thin, draw.Solid), "soil", "word.ground")
}

// floats gives the foam of the raft as it floats with grown plants.
func (w writer) floats(from, width unit.Length) draw.Path {
	r := w.p.Raft
	return w.part(draw.Rect(draw.At(from, w.p.Frame.Job.Depth-r.Float.DraftGrown), width, r.Job.Thickness).Filled(draw.Foam), "raft", "word.raft")
}

// note is a small callout.
func note(tip draw.Spot, dx, dy draw.Points, text string) draw.Callout {
	return draw.Callout{Tip: tip, Dx: dx, Dy: dy, Text: text, Size: 9}
}

// inside is a text that stands in a part.
func inside(at draw.Spot, text string, size draw.Points) draw.Text {
	return draw.Text{At: at, Text: text, Size: size, Anchor: draw.Middle, Level: draw.Centred, Halo: true}
}

// framePlan draws the frame from above: the ends cap the sides, holds are
// marked, the raft floats inside.
func (w writer) framePlan() page.Figure {
	d := w.p.Frame
	v := d.Job.Vessel
	ts, te := d.Side.Section.Thick, d.End.Section.Thick
	l, b := v.Length, v.Width
	g := w.drawing("frame-plan", "packet.frame.caption.plan", "alt.frame.plan", finding.Args{"Length": l, "Width": b, "Count": d.Side.Holds})
	g.Plan = true
	g.Add(w.pool(draw.Rect(draw.At(0, 0), l, b)))
	g.Add(w.woodDoor(frame.SideBoard, w.wood(draw.At(0, -ts), l, ts, "side-near", "word.piece_side"))...)
	g.Add(w.woodDoor(frame.SideBoard, w.wood(draw.At(0, b), l, ts, "side-far", "word.piece_side"))...)
	g.Add(w.woodDoor(frame.EndBoard, w.wood(draw.At(-te, -ts), te, b+2*ts, "end-left", "word.piece_end"))...)
	g.Add(w.woodDoor(frame.EndBoard, w.wood(draw.At(l, -ts), te, b+2*ts, "end-right", "word.piece_end"))...)
	w.raftInPlan(&g, l, b)
	w.holdsInPlan(&g)
	g.Add(
		w.leads(w.measure(draw.At(l, -ts), draw.At(0, -ts), 14), "frame.surface"),
		w.measure(draw.At(l+te, -ts), draw.At(-te, -ts), 32),
		w.leads(w.measure(draw.At(-te, 0), draw.At(-te, b), 16), "frame.surface"),
		w.measure(draw.At(l+te, b+ts), draw.At(l+te, -ts), 16),
	)
	return figure(g, w.tall(250))
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
		g.Add(w.part(draw.Rect(at.Plus(x, y), s.X, s.Y).Filled(draw.White).In(draw.Normal, draw.Dashed), "", "word.raft"))
	}
	at.X = l / 2
	if w.p.Frame.Side.Holds > 0 {
		at.X = w.p.Frame.Side.Spacing / 2 // clear of the ties
	}
	g.Add(draw.Callout{Tip: draw.At(at.X*0.8, b*0.75), Dx: 16, Text: w.say("word.raft", nil)})
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
				g.Add(w.woodDoor(frame.TiePiece, draw.Line(from, to).In(draw.Heavy, draw.DashDot))...)
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
	bay := w.leads(w.measure(draw.At(0, b+ts), draw.At(min(d.Side.Spacing, l), b+ts), 14), "frame.spacing") // all are alike
	if n > 1 {
		bay.Label = fmt.Sprintf("%d × %s", n+1, bay.Label)
	}
	g.Add(bay)
	if d.SideHold.Kind == frame.FloorTie {
		tie := draw.Callout{Tip: draw.At(d.Side.Spacing, b*0.3), Dx: 22, Dy: -14, Text: w.say("word.tie", nil)}
		if w.large && n > 1 { // far from the word for the raft
			tie.Tip.X, tie.Dx = d.Side.Spacing*unit.Length(n), -22
		}
		g.Add(tie)
	} else {
		g.Add(draw.Callout{Tip: draw.At(d.Side.Spacing, ts/2), Dx: 22, Dy: 26, Text: w.say("word.stake", nil)})
	}
}

// sectionThrough draws the cut through the bed, across its width.
func (w writer) sectionThrough() page.Figure {
	d := w.p.Frame
	v, depth := d.Job.Vessel, d.Job.Depth
	t, h, b := d.Side.Section.Thick, d.Side.Height, v.Width
	const soil = 1.5 * unit.Inch
	g := w.drawing("frame-section", "packet.frame.caption.section", "alt.frame.section", finding.Args{"Depth": depth, "Height": h})
	g.Add(w.soil(-t-4*unit.Inch, b+2*t+8*unit.Inch, soil))
	g.Add(w.woodDoor(frame.SideBoard, w.wood(draw.At(-t, 0), t, h, "wall-left", "word.piece_side"))...)
	g.Add(w.woodDoor(frame.SideBoard, w.wood(draw.At(b, 0), t, h, "wall-right", "word.piece_side"))...)
	g.Add(
		w.pool(draw.Rect(draw.At(0, 0), b, depth).In(draw.NoLine, draw.Solid)),
		w.part(draw.Polyline(draw.At(-t, h), draw.At(0, h), draw.At(0, 0), draw.At(b, 0), draw.At(b, h), draw.At(b+t, h)).In(draw.Heavy, draw.Solid), "liner", "word.liner"),
	)
	if r := w.p.Raft; r != nil {
		short := min(r.Size.X, r.Size.Y, b)
		g.Add(w.floats((b-short)/2, short))
	}
	left, right := w.leads(w.measure(draw.At(-t, 0), draw.At(-t, h), 16), "frame.width"), w.leads(w.measure(draw.At(b+t, depth), draw.At(b+t, 0), 16), "frame.volume")
	left.Beside, right.Beside = true, true
	g.Add(left, right, w.leads(w.measure(draw.At(b, -soil), draw.At(0, -soil), 12), "frame.surface"))
	return figure(g, 150)
}

// rim draws the edge of the bed large: board, batten, liner, gap, raft, and the
// water today, after rain and at the brim.
func (w writer) rim() page.Figure { return w.both(writer.rimDrawn) }

func (w writer) rimDrawn() page.Figure {
	d := w.p.Frame
	depth, t, h := d.Job.Depth, d.Side.Section.Thick, d.Side.Height
	inner := max(9*unit.Inch, 1.1*h)
	g := w.drawing("rim", "packet.frame.caption.rim", "alt.frame.rim", finding.Args{"Depth": depth, "Brim": d.Brim})
	batten, _ := frame.Size{Thick: 1, Wide: 2}.Dry()
	turn := min(d.Liner.Turn, 0.4*h)
	g.Add(w.soil(-t-2*unit.Inch, inner+t+2*unit.Inch, unit.Inch))
	g.Add(w.woodDoor(frame.SideBoard, w.wood(draw.At(-t, 0), t, h, "board", "word.piece_side"))...)
	g.Add(
		w.pool(draw.Rect(draw.At(0, 0), inner, depth).In(draw.NoLine, draw.Solid)),
		draw.Line(draw.At(0, depth), draw.At(inner, depth)),
	)
	if d.Liner.Wanted {
		g.Add(w.part(draw.Polyline(draw.At(-t, h-turn), draw.At(-t, h), draw.At(0, h), draw.At(0, 0), draw.At(inner, 0)).In(draw.Heavy, draw.Solid), "liner", "word.liner"))
		g.Add(w.woodDoor(frame.BattenPiece, w.part(draw.Rect(draw.At(-t-batten.Thick, h-batten.Wide), batten.Thick, batten.Wide).Filled(draw.Crossed), "batten", "word.piece_batten"))...)
		g.Add(draw.Callout{Tip: draw.At(0, h), Dx: 14, Dy: 16, Text: w.say("word.liner", nil)},
			draw.Callout{Tip: draw.At(-t-batten.Thick/2, h), Dx: -12, Dy: 16, Text: w.say("word.piece_batten", nil)})
	}
	if r := w.p.Raft; r != nil && !r.Round {
		gap := max(0, (d.Job.Vessel.Width-min(r.Size.X, r.Size.Y))/2)
		low := depth - r.Float.DraftGrown
		play := w.measure(draw.At(0, low), draw.At(gap, low), -12)
		play.Tip = draw.Ticks
		g.Add(w.floats(gap, inner-gap), draw.Callout{Tip: draw.At((inner+gap)/2, low+r.Job.Thickness), Dx: 12, Dy: 14, Text: w.say("word.raft", nil)}, play)
	}
	w.waterLines(&g, inner)
	return figure(g, 230)
}

// waterLines marks the levels of the water at the right of a cut: today, after
// rain, brim full; the text of close lines is spread.
func (w writer) waterLines(g *draw.Drawing, right unit.Length) {
	d := w.p.Frame
	type line struct {
		at   unit.Length
		text string
		of   string
	}
	lines := []line{{d.Job.Depth, w.say("packet.level.today", finding.Args{"Depth": d.Job.Depth}), "frame.volume"}}
	if rain := d.Rain[0]; d.Job.OpenToRain && rain.Depth > d.Job.Depth {
		lines = append(lines, line{rain.Depth, w.say("packet.level.rain", finding.Args{"Fall": rain.Fall, "Depth": rain.Depth}), "frame.rain_depth"})
	}
	if n := len(lines); d.Brim > lines[n-1].at+unit.Millimetre {
		lines = append(lines, line{d.Brim, w.say("packet.level.brim", finding.Args{"Depth": d.Brim}), "frame.brim"})
	}
	for i, x := range lines {
		if i > 0 {
			g.Add(draw.Line(draw.At(0, x.at), draw.At(right, x.at)).In(draw.Thin, draw.Dashed))
		}
		dx, dy := draw.Points(18), draw.Points(-8+13*(i-(len(lines)-1)/2))
		if w.narrow { // over the water, not beside it
			dx, dy = -24, 34+13*draw.Points(i)
		}
		g.Add(w.points(note(draw.At(right, x.at), dx, dy, x.text), x.of))
	}
}

// corner draws a corner from above with its screws.
func (w writer) corner() page.Figure {
	d := w.p.Frame
	ts, te := d.Side.Section.Thick, d.End.Section.Thick
	const run = 6 * unit.Inch
	g := w.drawing("corner", "packet.frame.caption.corner", "alt.frame.corner", finding.Args{"Screws": d.Corner.Screws})
	g.Add(w.woodDoor(frame.EndBoard, w.wood(draw.At(-te, -ts), te, run, "end", "word.piece_end"))...)
	g.Add(w.woodDoor(frame.SideBoard, w.wood(draw.At(0, -ts), run, ts, "side", "word.piece_side"))...)
	screws := func(n int, of string, from, to draw.Spot, dx, dy draw.Points) {
		g.Add(draw.Line(from, to).In(draw.Heavy, draw.Solid), draw.Marker{At: from, Shape: draw.Disc, Size: 5})
		if n > 0 {
			g.Add(w.points(note(from, dx, dy, w.say("packet.frame.screws", finding.Args{"Count": n})), of))
		}
	}
	named := func(word string, size frame.Size) string { return w.say(word, nil) + " " + size.String() }
	if c := d.Corner; c.Block != (frame.Size{}) && !c.Plain {
		s, _ := c.Block.Dry()
		g.Add(w.woodDoor(frame.CornerBlock, w.part(draw.Rect(draw.At(0, 0), s.Wide, s.Thick).Filled(draw.Crossed), "block", "word.piece_corner_block"))...)
		g.Add(note(draw.At(s.Wide, s.Thick), 12, 22, named("word.piece_corner_block", c.Block)))
		screws(c.BlockToEnd, "frame.screws_end", draw.At(-te, s.Thick/2), draw.At(s.Wide*0.75, s.Thick/2), -10, 12)
		screws(c.BlockToSide, "frame.screws_side", draw.At(s.Wide/2, -ts), draw.At(s.Wide/2, s.Thick*0.75), 16, -16)
	}
	screws(d.Corner.Butt, "frame.screws_butt", draw.At(-te, -ts/2), draw.At(1.5*unit.Inch, -ts/2), -10, -12)
	end := inside(draw.At(-te/2, run*0.6), named("word.piece_end", d.End.Size), 9)
	end.Turn = 90
	g.Add(inside(draw.At(run*0.62, -ts/2), named("word.piece_side", d.Side.Size), 9), end)
	return figure(g, 0)
}

// vesselSection draws the cut through a tank or tub, straight or leaning.
func (w writer) vesselSection() page.Figure {
	d := w.p.Frame
	v, depth, top := d.Job.Vessel, d.Job.Depth, d.Brim
	wide := func(z unit.Length) unit.Length {
		long, _ := v.SidesAt(z)
		return long
	}
	mid := max(wide(0), wide(top)) / 2
	at := func(side, z unit.Length) draw.Spot { return draw.At(mid+side*wide(z)/2, z) }
	const soil = 2 * unit.Inch
	g := w.drawing("vessel-section", "packet.vessel.caption", "alt.vessel", finding.Args{"Depth": depth, "Height": top})
	g.Add(w.soil(-soil, 2*mid+2*soil, soil), w.pool(draw.Polygon(at(-1, 0), at(1, 0), at(1, depth), at(-1, depth)).In(draw.NoLine, draw.Solid)))
	if r := w.p.Raft; r != nil {
		size := min(max(r.Size.X, r.Size.Y), wide(depth))
		g.Add(w.floats(mid-size/2, size), draw.Callout{Tip: draw.At(mid, depth-r.Float.DraftGrown+r.Job.Thickness), Dx: 20, Dy: 22,
			Text: w.say("word.raft", nil) + ", " + w.label(r.Job.Thickness)})
	}
	across := w.leads(w.measure(at(-1, depth), at(1, depth), -14), "frame.surface")
	left, right := w.leads(w.measure(draw.At(0, 0), draw.At(0, top), 16), "frame.brim"), w.leads(w.measure(draw.At(2*mid, depth), draw.At(2*mid, 0), 16), "frame.volume")
	left.Beside, right.Beside = !w.large, !w.large // large words leave no room there
	if v.Shape == frame.RoundShape {
		across.Label = "Ø " + across.Label
	}
	g.Add(
		w.part(draw.Polyline(at(-1, top), at(-1, 0), at(1, 0), at(1, top)).In(draw.Heavy, draw.Solid), "wall", "word.vessel."+v.Shape.String()),
		left, right,
		w.measure(draw.At(mid+wide(0)/2, -soil), draw.At(mid-wide(0)/2, -soil), 12),
		across,
	)
	return figure(g, 220)
}
