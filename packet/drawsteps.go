package packet

import (
	"math"

	"raftwright/draw"
	"raftwright/finding"
	"raftwright/frame"
	"raftwright/unit"
)

// trench gives how deep the trench of a tie is: the tie stands on edge, its top at the
// level of the floor or under the ties that it crosses.
func (w writer) trench() unit.Length {
	h := w.p.Frame.SideHold
	s, _ := h.Wood.Dry()
	return s.Wide + h.Under
}

// levelPicture draws the ground made level, and the trench of a tie.
func (w writer) levelPicture(n int) *picture {
	d := w.p.Frame
	p := w.picture(n, "level", finding.Args{"Level": w.levelTo()})
	p.symbol("level-board", 10, 1, 30)
	if !w.trenched() {
		l, b := d.Job.Vessel.Length+2*d.End.Section.Thick, d.Job.Vessel.Width+2*d.Side.Section.Thick
		p.Add(draw.Rect(p.at(54, 12), 23*p.mm, 14*p.mm).In(draw.Normal, draw.Dashed))
		p.measure(p.at(77, 12), p.at(54, 12), 8, w.label(l))
		p.measure(p.at(54, 26), p.at(77, 26), 6, w.label(b))
		return p
	}
	x0, x1, top, bottom := 56.0, 70.0, 24.0, 10.0
	p.Add(draw.Polygon(p.at(50, top), p.at(x0, top), p.at(x0, bottom), p.at(x1, bottom), p.at(x1, top), p.at(75, top), p.at(75, 5), p.at(50, 5)).Filled(draw.Soil).In(draw.NoLine, draw.Solid),
		draw.Polyline(p.at(50, top), p.at(x0, top), p.at(x0, bottom), p.at(x1, bottom), p.at(x1, top), p.at(75, top)))
	p.Add(draw.Dimension{From: p.at(64, bottom), To: p.at(64, top)}, draw.Text{At: p.at(63, top+3), Text: w.label(w.trench()), Size: 10 * p.grow, Anchor: draw.Middle, Bold: true})
	return p
}

// tiePicture draws the cut across the bed at a tie.
func (w writer) tiePicture(n int) *picture {
	d := w.p.Frame
	p := w.picture(n, "tie", finding.Args{"Depth": w.trench(), "Screws": d.SideHold.Screws})
	k := 54 / 55.0
	x0, x1, floor := 16.0, 68.0, 15.5 // of the boards' inner faces, and of the floor
	t, u, deep, high := 3.0*k, 3.0*k, 6.0, 13.0
	p.Add(draw.Polygon(p.at(2, floor), p.at(x0-t-u-1, floor), p.at(x0-t-u-1, floor-deep-0.6), p.at(x1+t+u+1, floor-deep-0.6), p.at(x1+t+u+1, floor), p.at(82, floor), p.at(82, 7.5), p.at(2, 7.5)).
		Filled(draw.Soil).In(draw.NoLine, draw.Solid),
		draw.Polyline(p.at(2, floor), p.at(x0-t-u-1, floor), p.at(x0-t-u-1, floor-deep-0.6), p.at(x1+t+u+1, floor-deep-0.6), p.at(x1+t+u+1, floor), p.at(82, floor)),
		draw.Rect(p.at(x0-t-u, floor-deep), unit.Length(x1-x0+2*t+2*u)*p.mm, unit.Length(deep)*p.mm).Filled(draw.White))
	for _, x := range []float64{x0 - t, x1} {
		p.Add(draw.Rect(p.at(x, floor), unit.Length(t)*p.mm, unit.Length(high)*p.mm).Filled(draw.Wood).In(draw.Thin, draw.Dashed))
	}
	for i, x := range []float64{x0 - t - u, x1 + t} {
		p.Add(draw.Rect(p.at(x, floor-deep), unit.Length(u)*p.mm, unit.Length(deep+high-1)*p.mm).Filled(draw.White))
		for s := range min(max(d.SideHold.Screws, 1), 6) {
			dx, dy := 0.9+1.2*float64(s%2), 1.2+1.7*float64(s/2)
			p.Add(draw.Circle(p.at(x+dx, floor-deep+dy), 0.4*p.mm).Filled(draw.White).In(draw.Thin, draw.Solid))
		}
		if i == 1 {
			p.tag(p.at(x+u/2, floor+high-4), letters[frame.UprightPiece], 180)
		}
	}
	p.tag(p.at((x0+x1)/2, floor-deep/2), letters[frame.TiePiece], 90)
	for _, q := range d.Pieces {
		if q.Role == frame.TiePiece {
			p.measure(p.at(x1+t+u, floor-deep), p.at(x0-t-u, floor-deep), 22, w.label(q.Length))
			break
		}
	}
	return p
}

// wallsPicture draws the sides between the ends.
func (w writer) wallsPicture(n int) *picture {
	p := w.picture(n, "walls", nil)
	m := w.model(p.mm, 76, 3)
	if tall := m.long*0.25 + m.wide*0.433 + m.high; tall > 22*p.mm { // a wide bed is drawn smaller
		k := 22 * p.mm / tall
		m.long, m.wide, m.high, m.scale = m.long*k, m.wide*k, m.high*k, m.scale*k
		for i := range m.xs {
			m.xs[i] *= k
		}
	}
	gap := 2.6 * p.mm
	boxes := m.walls(gap)
	if w.tied() {
		boxes = append(boxes, m.ties(0)...)
		boxes = append(boxes, m.uprights(gap, 2.8*p.mm)...)
	}
	wide := m.long*0.866 + m.wide*0.5
	g := draw.Group{Items: draw.Boxes(boxes...), Shift: draw.At((p.wide64()-wide)/2, 5*p.mm+m.long*0.25)}
	p.Add(g)
	tip := func(s draw.Space) draw.Spot { q := s.Seen(); return q.Plus(g.Shift.X, g.Shift.Y) }
	p.tag(tip(draw.In3(m.long*0.3, -m.thick-gap, m.high/2)), letters[frame.SideBoard], 250)
	p.tag(tip(draw.In3(m.long+gap+m.thick, m.wide*0.5, m.high/2)), letters[frame.EndBoard], 330)
	if len(m.xs) > 0 && w.tied() {
		p.tag(tip(draw.In3(m.xs[0], -m.thick-gap-1.6*p.mm, m.high*0.7)), letters[frame.UprightPiece], 240)
	}
	return p
}

// screwHeights gives the heights of the screws of a corner: through the end into the
// side, through the end into the block, and through the side into the block, between them.
func (w writer) screwHeights() (butt, end, side []unit.Length) {
	c, high := w.p.Frame.Corner, w.p.Frame.Side.Height
	const low = 1.5 * unit.Inch
	spread := func(n int, from, to unit.Length) []unit.Length {
		out := make([]unit.Length, n)
		for i := range out {
			out[i] = from
			if n > 1 {
				out[i] += (to - from) * unit.Length(i) / unit.Length(n-1)
			}
		}
		return out
	}
	butt = spread(c.Butt, low, high-low)
	if c.Plain || c.Block == (frame.Size{}) {
		return butt, nil, nil
	}
	from, to := unit.Inch, c.BlockLength-0.75*unit.Inch
	half := (to - from) / unit.Length(2*max(c.BlockToEnd, 1))
	return butt, spread(c.BlockToEnd, from, to), spread(c.BlockToSide, from+half, to-half)
}

// cornerPicture draws a corner from outside, and the end's face with the heights of its
// screws.
func (w writer) cornerPicture(n int) *picture {
	d := w.p.Frame
	p := w.picture(n, "corner", finding.Args{"Count": d.Corner.Screws})
	butt, end, side := w.screwHeights()
	k := 19 * p.mm / d.Side.Height
	high, t := 19*p.mm, max(d.End.Section.Thick*k, 2*p.mm)
	long := func(zs []unit.Length) unit.Length { // of the words beside the face of the end
		most := unit.Length(0)
		for _, z := range zs {
			most = max(most, draw.TextWidth(w.label(z), 10*p.grow, false).Length())
		}
		return most
	}
	more := max(0, long(butt)-16*p.mm) // they stand clear of the end, and of the frame
	left := max(0, more+long(end)-13*p.mm)
	at := draw.At(26*p.mm-left, 6.5*p.mm)
	var view draw.Group
	view.Shift = at
	view.Items = draw.Boxes(draw.Box{At: draw.In3(-15*p.mm, 0, 0), Size: draw.In3(15*p.mm, t, high)}, draw.Box{At: draw.In3(0, 0, 0), Size: draw.In3(t, 18*p.mm, high)})
	head := func(s draw.Space) draw.Item {
		return draw.Circle(s.Seen(), 0.75*p.mm).Filled(draw.White)
	}
	block := t
	for _, z := range butt {
		view.Items = append(view.Items, head(draw.In3(t, t/2, z*k)))
	}
	for _, z := range end {
		view.Items = append(view.Items, head(draw.In3(t, t+block/2, z*k)))
	}
	for _, z := range side {
		view.Items = append(view.Items, head(draw.In3(-block/2, 0, z*k)))
	}
	p.Add(view)
	tip := func(s draw.Space) draw.Spot { q := s.Seen(); return q.Plus(at.X, at.Y) }
	p.tag(tip(draw.In3(-10*p.mm, 0, high*0.5)), letters[frame.SideBoard], 180)
	p.tag(tip(draw.In3(t, 13*p.mm, high*0.5)), letters[frame.EndBoard], 0)
	// the face of the end, with heights from its bottom
	x0, y0 := 58*p.mm+more-left, 3*p.mm
	g := 26 * p.mm / d.Side.Height
	p.Add(draw.Rect(draw.At(x0, y0), 10*p.mm, 26*p.mm))
	if len(end) > 0 {
		p.Add(draw.Rect(draw.At(x0+4*p.mm, y0), 4.5*p.mm, d.Corner.BlockLength*g).In(draw.Thin, draw.Dashed))
	}
	p.Add(draw.Line(draw.At(x0+4*p.mm, y0), draw.At(x0+4*p.mm, y0+26*p.mm)).In(draw.Thin, draw.Dashed))
	heights := func(zs []unit.Length, x unit.Length, to, anchor float64) {
		last := unit.Length(math.Inf(-1))
		for _, z := range zs {
			y := y0 + z*g
			text := max(y, last+4*p.mm)
			last = text
			p.Add(draw.Circle(draw.At(x, y), 0.7*p.mm).Filled(draw.White), draw.Polyline(draw.At(x+unit.Length(anchor)*0.9*p.mm, y), draw.At(x0+unit.Length(to)*p.mm, text)).In(draw.Thin, draw.Solid))
			a := draw.Start
			if anchor < 0 {
				a = draw.End
			}
			p.Add(draw.Text{At: draw.At(x0+unit.Length(to+anchor*0.7)*p.mm, text), Text: w.label(z), Size: 10 * p.grow, Anchor: a, Level: draw.Centred})
		}
	}
	heights(butt, x0+2*p.mm, -1.8, -1)
	heights(end, x0+6.2*p.mm, 11, 1)
	return p
}

// squarePicture draws the frame from above with its two diagonals.
func (w writer) squarePicture(n int) *picture {
	v := w.p.Frame.Job.Vessel
	p := w.picture(n, "square", finding.Args{"Diagonal": w.diagonal()})
	k := min(62*p.mm/v.Length, 24*p.mm/v.Width)
	l, b, t := v.Length*k, v.Width*k, 1.6*p.mm
	at := draw.At((p.wide64()-l)/2, (p.high()-b)/2)
	p.Add(draw.Rect(at.Plus(-t, -t), l+2*t, b+2*t).Filled(draw.Wood), draw.Rect(at, l, b).Filled(draw.White))
	p.Add(draw.Line(at, at.Plus(l, b)).In(draw.Normal, draw.Dashed), draw.Line(at.Plus(0, b), at.Plus(l, 0)).In(draw.Normal, draw.Dashed))
	mid := at.Plus(l/2, b/2)
	p.Add(draw.Text{At: mid, Text: w.label(w.diagonal()), Size: 11 * p.grow, Bold: true, Anchor: draw.Middle, Level: draw.Centred, Halo: true})
	return p
}

// diagonal gives how far apart opposite inner corners are when the frame is square.
func (w writer) diagonal() unit.Length {
	v := w.p.Frame.Job.Vessel
	return unit.Length(math.Hypot(float64(v.Length), float64(v.Width)))
}

// notchPicture draws the overflow in the end, with the liner lying through it.
func (w writer) notchPicture(n int) *picture {
	d := w.p.Frame
	p := w.picture(n, "notch", finding.Args{"Width": d.Notch.Width, "Sill": d.Notch.Sill})
	k := 20 * p.mm / d.End.Height
	y0, high := 5*p.mm, 20*p.mm
	left, right := 8*p.mm, 46*p.mm
	a := right - 6*p.mm - d.Notch.Width*k
	b, sill := right-6*p.mm, y0+d.Notch.Sill*k
	p.Add(draw.Polygon(draw.At(left, y0), draw.At(right, y0), draw.At(right, y0+high), draw.At(b, y0+high), draw.At(b, sill), draw.At(a, sill), draw.At(a, y0+high), draw.At(left, y0+high)).Filled(draw.White),
		draw.Line(draw.At(left-4*p.mm, y0), draw.At(right+4*p.mm, y0)))
	p.measure(draw.At(a, y0+high), draw.At(b, y0+high), 5, w.label(d.Notch.Width))
	p.measure(draw.At(a-4*p.mm, y0), draw.At(a-4*p.mm, sill), 0, w.label(d.Notch.Sill))
	p.tag(draw.At(left+7*p.mm, y0+8*p.mm), letters[frame.EndBoard], 90)
	// the cut through it: the liner lies down into the notch
	x := 64 * p.mm
	p.Add(draw.Rect(draw.At(x-6*p.mm, y0), 3*p.mm, sill-y0).Filled(draw.Wood),
		draw.Rect(draw.At(x-3*p.mm, y0), 16*p.mm, d.Job.Depth*k).Filled(draw.Water).In(draw.NoLine, draw.Solid),
		draw.Line(draw.At(x-3*p.mm, y0+d.Job.Depth*k), draw.At(x+13*p.mm, y0+d.Job.Depth*k)),
		draw.Polyline(draw.At(x-7.2*p.mm, sill-5*p.mm), draw.At(x-7.2*p.mm, sill+0.8*p.mm), draw.At(x-2.4*p.mm, sill+0.8*p.mm), draw.At(x-2.4*p.mm, y0+0.6*p.mm), draw.At(x+13*p.mm, y0+0.6*p.mm)).In(draw.Heavy, draw.Solid),
		draw.Line(draw.At(x-9*p.mm, y0), draw.At(x+14*p.mm, y0)))
	p.tag(draw.At(x-2.4*p.mm, sill-2*p.mm), linerLetter, 60)
	return p
}

// stakePicture draws a stake outside the board, and the call before it is driven.
func (w writer) stakePicture(n int) *picture {
	p := w.picture(n, "stake", finding.Args{"Depth": w.p.Frame.SideHold.Embed})
	p.symbol("phone", 14, 2, 28)
	p.symbol("stake", 40, 1, 30)
	return p
}

// smoothPicture draws the sheet that a splinter would cut.
func (w writer) smoothPicture(n int) *picture {
	p := w.picture(n, "smooth", nil)
	p.symbol("gloves", 16, 4, 26)
	p.symbol("batten", 48, 4, 26)
	return p
}
