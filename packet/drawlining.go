package packet

import (
	"math"

	"raftwright/draw"
	"raftwright/finding"
	"raftwright/frame"
	"raftwright/page"
	"raftwright/unit"
)

// small gives the bed small enough for a picture, and where it stands in it.
func (w writer) small(p *picture, across float64) (model, draw.Spot) {
	m := w.model(p.mm, across, 1)
	if tall := m.long*0.25 + m.wide*0.433 + m.high*0.866; tall > 22*p.mm {
		k := 22 * p.mm / tall
		m.long, m.wide, m.high, m.scale = m.long*k, m.wide*k, m.high*k, m.scale*k
		for i := range m.xs {
			m.xs[i] *= k
		}
	}
	wide, tall := m.long*0.866+m.wide*0.5, m.long*0.25+m.wide*0.433+m.high*0.866
	return m, draw.At((p.wide64()-wide)/2, (p.high()-tall)/2+m.long*0.25)
}

// underlayPicture draws the frame with a soft sheet on its floor.
func (w writer) underlayPicture(n int) *picture {
	p := w.picture(n, "underlay", nil)
	m, at := w.small(p, 70)
	boxes := append(m.walls(0), draw.Box{At: draw.In3(0, 0, -0.5*p.mm), Size: draw.In3(m.long, m.wide, 0.5*p.mm), Top: draw.Dots})
	boxes = append(boxes, m.uprights(0, 0)...)
	p.Add(draw.Group{Items: draw.Boxes(boxes...), Shift: at})
	return p
}

// drapePicture draws the sheet spread flat, with the floor that it covers.
func (w writer) drapePicture(n int) *picture {
	d := w.p.Frame
	p := w.picture(n, "drape", finding.Args{"Length": d.Liner.Length, "Width": d.Liner.Width})
	v := d.Job.Vessel
	k := min(52*p.mm/d.Liner.Length, 21*p.mm/d.Liner.Width)
	l, b := d.Liner.Length*k, d.Liner.Width*k
	at := draw.At((p.wide64()-l)/2-8*p.mm, 8.5*p.mm+(21*p.mm-b)/2)
	floor := at.Plus((l-v.Length*k)/2, (b-v.Width*k)/2)
	p.Add(draw.Rect(at, l, b).Filled(draw.White), draw.Rect(floor, v.Length*k, v.Width*k).In(draw.Thin, draw.Dashed))
	for _, c := range [][2]draw.Spot{{floor, at}, {floor.Plus(v.Length*k, 0), at.Plus(l, 0)}, {floor.Plus(0, v.Width*k), at.Plus(0, b)}, {floor.Plus(v.Length*k, v.Width*k), at.Plus(l, b)}} {
		p.Add(draw.Line(c[0], c[1]).In(draw.Thin, draw.Solid))
	}
	p.measure(at.Plus(l, 0), at, 14, w.label(d.Liner.Length))
	p.measure(at.Plus(l, b), at.Plus(l, 0), 16, w.label(d.Liner.Width))
	p.tag(floor.Plus(v.Length*k*0.3, v.Width*k*0.5), linerLetter, 0)
	return p
}

// foldPicture draws the folding of a corner.
func (w writer) foldPicture(n int) *picture {
	p := w.picture(n, "fold", nil)
	for i, name := range []string{"fold-1", "fold-2", "fold-3"} {
		p.symbol(name, 4+26*float64(i), 2, 24)
	}
	p.tag(p.at(12, 12), linerLetter, 90)
	return p
}

// rimPicture draws the sheet over the rim, and where a staple may sit.
func (w writer) rimPicture(n int) *picture {
	p := w.picture(n, "rim", nil)
	p.symbol("over-rim", 8, 1.5, 29)
	p.symbol("staple-high", 38, 7, 21)
	p.tick(47, 1.5)
	p.symbol("staple-low", 60, 7, 21)
	p.cross(60, 7, 20, 21)
	return p
}

// battenPicture draws the battens on the rim, clear of the uprights.
func (w writer) battenPicture(n int) *picture {
	p := w.picture(n, "batten", finding.Args{"Count": w.pieces(frame.BattenPiece), "Uprights": w.p.Frame.Side.Holds > 0})
	m, at := w.small(p, 70)
	boxes := append(m.walls(0), draw.Box{At: draw.In3(0, 0, -0.5*p.mm), Size: draw.In3(m.long, m.wide, 0.5*p.mm), Top: draw.Liner})
	boxes = append(boxes, m.uprights(0, 0)...)
	p.Add(draw.Group{Items: append(draw.Boxes(boxes...), draw.Boxes(m.battens(m.high)...)...), Shift: at})
	tip := func(s draw.Space) draw.Spot { q := s.Seen(); return q.Plus(at.X, at.Y) }
	p.tag(tip(draw.In3(m.long*0.3, 0, m.high+0.6*p.mm)), letters[frame.BattenPiece], 250)
	if len(m.xs) > 0 {
		p.tag(tip(draw.In3(m.xs[0], -m.thick-1.6*p.mm, m.high*0.5)), letters[frame.UprightPiece], 270)
	}
	return p
}

// pieces counts the pieces of one role.
func (w writer) pieces(r frame.Role) int {
	n := 0
	for _, q := range w.p.Frame.Pieces {
		if q.Role == r {
			n += q.Count
		}
	}
	return n
}

// leakPicture draws the full bed and a pan of water beside it, each with its mark.
func (w writer) leakPicture(n int) *picture {
	d := w.p.Frame
	p := w.picture(n, "leak", finding.Args{"Depth": d.Job.Depth})
	k := min(unit.Length(15*float64(p.mm))/d.Brim, 20*p.mm/d.Brim)
	y0, h, depth := 7*p.mm, d.Brim*k, d.Job.Depth*k
	x0, x1 := 10*p.mm, 54*p.mm
	p.Add(draw.Rect(draw.At(x0, y0), x1-x0, depth).Filled(draw.Water).In(draw.NoLine, draw.Solid), draw.Line(draw.At(x0, y0+depth), draw.At(x1, y0+depth)))
	for _, x := range []unit.Length{x0 - 3*p.mm, x1} {
		p.Add(draw.Rect(draw.At(x, y0), 3*p.mm, h).Filled(draw.Wood))
	}
	p.Add(draw.Polyline(draw.At(x0, y0+h), draw.At(x0, y0), draw.At(x1, y0), draw.At(x1, y0+h)).In(draw.Heavy, draw.Solid), draw.Line(p.at(3, 7), p.at(81, 7)),
		draw.Polygon(p.at(62, 7), p.at(76, 7), p.at(78, 15), p.at(60, 15)).Filled(draw.White), draw.Polygon(p.at(62, 7), p.at(76, 7), p.at(77.2, 12), p.at(60.8, 12)).Filled(draw.Water),
		draw.Line(p.at(59, 12), p.at(63, 12)).In(draw.Heavy, draw.Solid), draw.Line(draw.At(x0-2*p.mm, y0+depth), draw.At(x0+4*p.mm, y0+depth)).In(draw.Heavy, draw.Solid))
	p.Add(draw.Dimension{From: draw.At(x0+30*p.mm, y0), To: draw.At(x0+30*p.mm, y0+depth)})
	p.Add(inside(draw.At(x0+22*p.mm, y0+depth/2), w.label(d.Job.Depth), 11*p.grow))
	moon := p.at(68, 25)
	p.Add(draw.Circle(moon, 3.4*p.mm).Filled(draw.Black), draw.Circle(moon.Plus(1.6*p.mm, 1*p.mm), 2.9*p.mm).Filled(draw.White).In(draw.NoLine, draw.Solid))
	return p
}

// stripOf is a symbol in a row, with words under it, a tick, or a cross over it.
type stripOf struct {
	name  string
	wrong bool
	words string // under it
}

// row draws symbols in a row so many mm high, each with its tick, cross or words under it.
func (w writer) row(id, title string, args finding.Args, high, step float64, list []stripOf) page.Figure {
	return w.both(func(w writer) page.Figure { return w.oneRow(id, title, args, high, step, list) })
}

func (w writer) oneRow(id, title string, args finding.Args, high, step float64, list []stripOf) page.Figure {
	p := &picture{Drawing: w.drawing(id, title, title, args), grow: w.grow()}
	p.mm = unit.Millimetre * unit.Length(p.grow)
	p.Bare = true
	x, y, across := 0.0, 0.0, 174.0
	if w.large {
		across = 87 // of the width in large print
	}
	if w.narrow { // as many in a row as their words leave room for
		across = float64(phoneWide.Length() / p.mm)
		least := 18.0
		for _, s := range list {
			least = max(least, float64(draw.TextWidth(s.words, 10*p.grow, false).Length()/p.mm)+3)
		}
		step = across / max(1, math.Floor(across/least))
	}
	for _, s := range list {
		g, wide, tall, ok := draw.Symbol(s.name)
		if !ok {
			continue
		}
		if x+step > across+0.1 {
			x, y = 0, y-high-9
		}
		k := min(high/tall.Millimetres(), (step-3)/wide.Millimetres())
		g = legible(g.Scaled(k*float64(p.mm/unit.Millimetre)), p.grow)
		dx := (step - wide.Millimetres()*k) / 2
		g.Shift = p.at(x+dx, y)
		p.Add(g)
		if s.wrong {
			p.cross(x+dx, y, wide.Millimetres()*k, tall.Millimetres()*k)
		}
		if s.words != "" {
			p.words(x+step/2, y-3.5, s.words)
		} else if !s.wrong {
			p.tick(x+step/2-2, y-5.5)
		}
		x += step
	}
	return page.Figure{Drawing: p.Drawing, Height: 300 * w.grow()}
}
