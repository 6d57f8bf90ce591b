package packet

import (
	"fmt"

	"raftwright/draw"
	"raftwright/finding"
	"raftwright/frame"
	"raftwright/page"
	"raftwright/plan"
	"raftwright/raft"
	"raftwright/unit"
)

// label prints a length for a drawing.
func (w writer) label(l unit.Length) string { return fmt.Sprint(w.words.Value(l)) }

// framePlan draws the frame from above: the ends cap the sides, holds are
// marked, the raft floats inside.
func (w writer) framePlan() page.Figure {
	d := w.p.Frame
	v := d.Job.Vessel
	ts, te := d.Side.Section.Thick, d.End.Section.Thick
	l, b := v.Length, v.Width
	g := draw.Drawing{ID: "frame-plan", Title: w.say("packet.frame.caption.plan", nil),
		Alt: w.say("alt.frame.plan", finding.Args{"Length": l, "Width": b, "Holds": d.Side.Holds})}
	g.Add(
		draw.Rect(draw.At(0, 0), l, b).Filled(draw.Water).In(draw.Normal, draw.Solid).Named("water", w.say("word.water", nil)),
		draw.Rect(draw.At(0, -ts), l, ts).Filled(draw.Wood).Named("side-near", w.say("word.piece_side", nil)),
		draw.Rect(draw.At(0, b), l, ts).Filled(draw.Wood).Named("side-far", w.say("word.piece_side", nil)),
		draw.Rect(draw.At(-te, -ts), te, b+2*ts).Filled(draw.Wood).Named("end-left", w.say("word.piece_end", nil)),
		draw.Rect(draw.At(l, -ts), te, b+2*ts).Filled(draw.Wood).Named("end-right", w.say("word.piece_end", nil)),
	)
	if r := w.p.Raft; r != nil && !r.Round {
		long, short := max(r.Size.X, r.Size.Y), min(r.Size.X, r.Size.Y)
		g.Add(draw.Rect(draw.At((l-long)/2, (b-short)/2), long, short).Filled(draw.White).In(draw.Normal, draw.Dashed).Named("raft", w.say("word.raft", nil)),
			draw.Text{At: draw.At(l/2, b/2), Text: w.say("word.raft", nil), Anchor: draw.Middle, Level: draw.Centred, Halo: true})
	}
	for _, row := range []frame.Row{d.Side, d.End} {
		for i := 1; i <= row.Holds; i++ {
			at := row.Spacing * unit.Length(i)
			spots := []draw.Spot{draw.At(at, -ts), draw.At(at, b+ts)}
			if row.Part == frame.End {
				spots = []draw.Spot{draw.At(-te, at), draw.At(l+te, at)}
			}
			for _, s := range spots {
				g.Add(draw.Marker{At: s, Shape: draw.BoxFull, Size: 6, Title: w.say("word.hold", nil)})
			}
			if d.SideHold.Kind == frame.FloorTie && row.Part == frame.Side {
				g.Add(draw.Line(spots[0], spots[1]).In(draw.Thin, draw.DashDot))
			}
			if d.EndHold.Kind == frame.FloorTie && row.Part == frame.End {
				g.Add(draw.Line(spots[0], spots[1]).In(draw.Thin, draw.DashDot))
			}
		}
	}
	if d.Side.Holds > 0 {
		s := d.Side.Spacing
		g.Add(draw.Dimension{From: draw.At(0, b+ts), To: draw.At(s, b+ts), Offset: 14, Label: w.label(s)},
			draw.Callout{Tip: draw.At(s, -ts), Dx: 34, Dy: -24, Text: w.say("word.hold", nil)})
	}
	g.Add(
		draw.Dimension{From: draw.At(l, 0), To: draw.At(0, 0), Offset: 30, Label: w.label(l)},
		draw.Dimension{From: draw.At(l+te, -ts), To: draw.At(-te, -ts), Offset: 48, Label: w.label(l + 2*te)},
		draw.Dimension{From: draw.At(-te, 0), To: draw.At(-te, b), Offset: 18, Label: w.label(b)},
		draw.Dimension{From: draw.At(l+te, b+ts), To: draw.At(l+te, -ts), Offset: 18, Label: w.label(b + 2*ts)},
	)
	return page.Figure{Drawing: g, Caption: page.Text(g.Title)}
}

// section draws the cut through the bed, across its width.
func (w writer) sectionThrough() page.Figure {
	d := w.p.Frame
	v, depth := d.Job.Vessel, d.Job.Depth
	t, h, b := d.Side.Section.Thick, d.Side.Height, v.Width
	g := draw.Drawing{ID: "frame-section", Title: w.say("packet.frame.caption.section", nil),
		Alt: w.say("alt.frame.section", finding.Args{"Depth": depth, "Height": h})}
	g.Add(
		draw.Rect(draw.At(-t-4*unit.Inch, -1.5*unit.Inch), b+2*t+8*unit.Inch, 1.5*unit.Inch).Filled(draw.Soil).In(draw.Thin, draw.Solid).Named("soil", w.say("word.ground", nil)),
		draw.Rect(draw.At(-t, 0), t, h).Filled(draw.Wood).In(draw.Heavy, draw.Solid).Named("wall-left", w.say("word.piece_side", nil)),
		draw.Rect(draw.At(b, 0), t, h).Filled(draw.Wood).In(draw.Heavy, draw.Solid).Named("wall-right", w.say("word.piece_side", nil)),
		draw.Rect(draw.At(0, 0), b, depth).Filled(draw.Water).In(draw.NoLine, draw.Solid).Named("water", w.say("word.water", nil)),
	)
	turn := min(d.Job.Liner.Turn, h/3)
	g.Add(draw.Polyline(draw.At(-t, h-turn), draw.At(-t, h), draw.At(0, h), draw.At(0, 0), draw.At(b, 0), draw.At(b, h), draw.At(b+t, h), draw.At(b+t, h-turn)).
		In(draw.Heavy, draw.Dashed).Named("liner", w.say("word.liner", nil)))
	if r := w.p.Raft; r != nil {
		short := min(r.Size.X, r.Size.Y)
		low := depth - r.Float.DraftGrown
		g.Add(draw.Rect(draw.At((b-short)/2, low), short, r.Job.Thickness).Filled(draw.Foam).Named("raft", w.say("word.raft", nil)),
			draw.Callout{Tip: draw.At(b*0.72, low+r.Job.Thickness), Dx: 30, Dy: 26, Text: w.say("word.raft", nil) + ", " + w.label(r.Job.Thickness)})
	}
	g.Add(
		draw.Line(draw.At(0, depth), draw.At(b, depth)).In(draw.Normal, draw.DashDot),
		draw.Callout{Tip: draw.At(0, h*0.85), Dx: 40, Dy: 34, Text: w.say("word.liner", nil)},
		draw.Dimension{From: draw.At(-t, 0), To: draw.At(-t, h), Offset: 16, Label: w.label(h)},
		draw.Dimension{From: draw.At(b+t, depth), To: draw.At(b+t, 0), Offset: 16, Label: w.label(depth)},
		draw.Dimension{From: draw.At(b, -1.5*unit.Inch), To: draw.At(0, -1.5*unit.Inch), Offset: 14, Label: w.label(b)},
	)
	return page.Figure{Drawing: g, Caption: page.Text(g.Title)}
}

// corner draws a corner from above with its screws.
func (w writer) corner() page.Figure {
	d := w.p.Frame
	ts, te := d.Side.Section.Thick, d.End.Section.Thick
	run := 8 * unit.Inch
	g := draw.Drawing{ID: "corner", Title: w.say("packet.frame.caption.corner", nil),
		Alt: w.say("alt.frame.corner", finding.Args{"Screws": d.Corner.Screws})}
	g.Add(
		draw.Rect(draw.At(-te, -ts), te, run).Filled(draw.Wood).In(draw.Heavy, draw.Solid).Named("end", w.say("word.piece_end", nil)),
		draw.Rect(draw.At(0, -ts), run, ts).Filled(draw.Wood).In(draw.Heavy, draw.Solid).Named("side", w.say("word.piece_side", nil)),
	)
	screw := func(from, to draw.Spot) {
		g.Add(draw.Line(from, to).In(draw.Normal, draw.Solid), draw.Marker{At: from, Shape: draw.Disc, Size: 4})
	}
	screw(draw.At(-te, -ts/2), draw.At(1.5*unit.Inch, -ts/2))
	if d.Corner.Block != (frame.Size{}) && !d.Corner.Plain {
		s, _ := d.Corner.Block.Dry()
		g.Add(draw.Rect(draw.At(0, 0), s.Wide, s.Thick).Filled(draw.Crossed).Named("block", w.say("word.piece_corner_block", nil)))
		screw(draw.At(-te, s.Thick/2), draw.At(s.Wide*0.75, s.Thick/2))
		screw(draw.At(s.Wide/2, -ts), draw.At(s.Wide/2, s.Thick*0.75))
		g.Add(draw.Callout{Tip: draw.At(s.Wide, s.Thick), Dx: 26, Dy: 16, Text: w.say("word.piece_corner_block", nil) + " " + d.Corner.Block.String()})
	}
	g.Add(
		draw.Callout{Tip: draw.At(run*0.8, -ts/2), Dx: 16, Dy: 40, Text: w.say("word.piece_side", nil) + " " + d.Side.Size.String()},
		draw.Callout{Tip: draw.At(-te/2, run*0.6), Dx: -40, Dy: 16, Text: w.say("word.piece_end", nil) + " " + d.End.Size.String()},
	)
	return page.Figure{Drawing: g, Caption: page.Text(g.Title), Width: 260}
}

// raftPlan draws one piece of the raft with its holes and the distances of the
// first row and column from the lower left corner.
func (w writer) raftPlan(l raft.Layout) page.Figure {
	r := w.p.Raft
	g := draw.Drawing{ID: "raft", Title: w.say("packet.raft.caption", nil),
		Alt: w.say("alt.raft", finding.Args{"Holes": len(l.Positions), "Width": l.Size.X, "Length": l.Size.Y})}
	if l.Round {
		g.Add(draw.Circle(draw.At(l.Size.X/2, l.Size.Y/2), l.Size.X/2).In(draw.Heavy, draw.Solid).Filled(draw.White).Named("foam", w.say("word.raft", nil)))
	} else {
		g.Add(draw.Rect(draw.At(0, 0), l.Size.X, l.Size.Y).In(draw.Heavy, draw.Solid).Filled(draw.White).Named("foam", w.say("word.raft", nil)))
	}
	for _, o := range r.Job.Obstacles {
		g.Add(draw.Rect(draw.At(o.At.X, o.At.Y), o.Size.X, o.Size.Y).Filled(draw.Crossed).In(draw.Normal, draw.Dashed))
	}
	for i, q := range l.Positions {
		g.Add(draw.Circle(draw.At(q.X, q.Y), r.Job.Hole/2).Named(fmt.Sprintf("hole-%d", i+1), ""),
			draw.Marker{At: draw.At(q.X, q.Y), Shape: draw.Plus, Size: 4})
	}
	g.Add(
		draw.Dimension{From: draw.At(l.Size.X, 0), To: draw.At(0, 0), Offset: 30, Label: w.label(l.Size.X)},
		draw.Dimension{From: draw.At(0, 0), To: draw.At(0, l.Size.Y), Offset: 30, Label: w.label(l.Size.Y)},
	)
	if n := len(l.Positions); n > 0 {
		a := l.Positions[0]
		g.Add(draw.Dimension{From: draw.At(a.X, 0), To: draw.At(0, 0), Offset: 12, Label: w.label(a.X)},
			draw.Dimension{From: draw.At(0, 0), To: draw.At(0, a.Y), Offset: 12, Label: w.label(a.Y)})
		if n > 1 && l.Positions[1].Y == a.Y {
			q := l.Positions[1]
			g.Add(draw.Dimension{From: draw.At(q.X, 0), To: draw.At(a.X, 0), Offset: 12, Label: w.label(q.X - a.X)})
		}
		for _, q := range l.Positions {
			if q.Y > a.Y {
				g.Add(draw.Dimension{From: draw.At(0, a.Y), To: draw.At(0, q.Y), Offset: 12, Label: w.label(q.Y - a.Y)})
				break
			}
		}
	}
	return page.Figure{Drawing: g, Caption: page.Text(g.Title), Height: 430}
}

// cutFigure draws each way to cut a board as a bar; what is left is hatched.
func (w writer) cutFigure(b plan.Boards) page.Figure {
	longest := unit.Length(0)
	for _, j := range b.Jobs {
		for _, x := range j.Plan.Boards {
			longest = max(longest, x.Stock)
		}
	}
	bar, pitch := longest/26, longest/15
	g := draw.Drawing{ID: "cutting", Title: w.say("packet.cut.caption", nil), Alt: w.say("alt.cut", finding.Args{"Boards": b.Bought()}), Bare: true}
	y := unit.Length(0)
	for _, j := range b.Jobs {
		for _, x := range j.Plan.Boards {
			y -= pitch
			name := fmt.Sprintf("%d × %s %s", x.Repeat, j.Size, w.words.Feet(x.Stock))
			g.Add(draw.Text{At: draw.At(0, y+bar), Dy: 3, Text: name, Size: 8.5, Bold: true})
			at := unit.Length(0)
			for i, c := range x.Cuts {
				if i > 0 {
					at += j.Plan.Kerf
				}
				g.Add(draw.Rect(draw.At(at, y), c.Length, bar))
				text := w.label(c.Length)
				if c.Length > longest/7 {
					text = w.piece(c.Name) + " " + text
				}
				if c.Length > longest/22 {
					g.Add(draw.Text{At: draw.At(at+c.Length/2, y+bar/2), Text: text, Size: 7.5, Anchor: draw.Middle, Level: draw.Centred})
				}
				at += c.Length
			}
			if rest := x.Stock - at; rest > unit.Millimetre {
				g.Add(draw.Rect(draw.At(at, y), rest, bar).Filled(draw.Rising).In(draw.Thin, draw.Solid))
			}
			y -= bar / 2
		}
	}
	height := draw.Points(34 * len(g.Items) / 5)
	return page.Figure{Drawing: g, Caption: page.Text(g.Title), Height: min(560, max(120, height))}
}

// piece gives the translated name of a piece of wood, or the user's own.
func (w writer) piece(name string) string {
	for r := frame.SideBoard; r <= frame.BattenPiece; r++ {
		if r.String() == name {
			return w.say(string(r.Word()), nil)
		}
	}
	return name
}
