package packet

import (
	"math"

	"raftwright/draw"
	"raftwright/finding"
	"raftwright/frame"
	"raftwright/page"
	"raftwright/unit"
)

// mostDrawn bounds how many ties or uprights of a side a picture shows.
const mostDrawn = 12

// model is the frame with its parts as thick as they can be seen, in the lengths of a
// picture: thicker than it is where a board would be a hair.
type model struct {
	scale      unit.Length // of the picture to the bed
	mm         unit.Length
	long, wide unit.Length // inside
	high       unit.Length
	thick      unit.Length
	xs         []unit.Length // of the ties or stakes along a side
}

// model fits the bed into a picture so many mm wide, its parts a gap of so many mm apart.
func (w writer) model(mm unit.Length, across, gap float64) model {
	d := w.p.Frame
	v := d.Job.Vessel
	room := unit.Length(across-2*gap*1.366-6) * mm
	m := model{mm: mm, scale: room / (v.Length*0.866 + v.Width*0.5)}
	m.long, m.wide = v.Length*m.scale, v.Width*m.scale
	m.high = max(d.Side.Height*m.scale, 5*mm)
	m.thick = m.least(d.Side.Section.Thick, 1.8)
	n := d.Side.Holds
	for i := range min(n, mostDrawn) {
		m.xs = append(m.xs, m.long*unit.Length(i+1)/unit.Length(min(n, mostDrawn)+1))
	}
	return m
}

// least gives a length of the bed in the picture, so many mm at least.
func (m model) least(l unit.Length, mm float64) unit.Length {
	return max(l*m.scale, unit.Length(mm)*m.mm)
}

// walls gives sides and ends, moved out of each other.
func (m model) walls(gap unit.Length) []draw.Box {
	t := m.thick
	return []draw.Box{
		{At: draw.In3(0, m.wide+gap, 0), Size: draw.In3(m.long, t, m.high), ID: "side-far"}, {At: draw.In3(0, -t-gap, 0), Size: draw.In3(m.long, t, m.high), ID: "side-near"},
		{At: draw.In3(-t-gap, -t, 0), Size: draw.In3(t, m.wide+2*t, m.high), ID: "end-left"}, {At: draw.In3(m.long+gap, -t, 0), Size: draw.In3(t, m.wide+2*t, m.high), ID: "end-right"}}
}

// uprights gives what holds the sides, so far outside of them and down below the floor.
func (m model) uprights(out, down unit.Length) []draw.Box {
	var list []draw.Box
	wide, t := 2.2*m.mm, 1.6*m.mm
	for _, x := range m.xs {
		for _, y := range []unit.Length{-m.thick - out - t, m.wide + m.thick + out} {
			list = append(list, draw.Box{At: draw.In3(x-wide/2, y, -down), Size: draw.In3(wide, t, m.high+down)})
		}
	}
	return list
}

// ties gives the ties under the floor.
func (m model) ties(top unit.Length) []draw.Box {
	var list []draw.Box
	wide, high := 1.8*m.mm, 2.8*m.mm
	for _, x := range m.xs {
		list = append(list, draw.Box{At: draw.In3(x-wide/2, -m.thick-1.6*m.mm, top-high), Size: draw.In3(wide, m.wide+2*m.thick+3.2*m.mm, high)})
	}
	return list
}

// tied tells whether ties under the liner hold the sides.
func (w writer) tied() bool {
	d := w.p.Frame
	return d.Side.Holds > 0 && d.SideHold.Kind == frame.FloorTie
}

// trenched tells whether those ties lie in a trench: on a deck nothing is dug.
func (w writer) trenched() bool { return w.tied() && w.onGround() }

// exploded draws the bed taken apart, with a letter for each part.
func (w writer) exploded() page.Figure {
	g := w.drawing("exploded", "face.make.caption", "alt.exploded", finding.Args{"Length": w.p.Frame.Job.Vessel.Length, "Width": w.p.Frame.Job.Vessel.Width})
	g.Bare = true
	mm := unit.Millimetre * unit.Length(w.grow())
	m := w.model(mm, 98, 9)
	gap := 9 * mm
	foot := m.long*0.25 + m.wide*0.433
	lift := max(foot*0.72, 12*mm) + m.high
	tag := func(at draw.Space, letter string, toward float64) {
		g.Add(draw.Tag{Tip: at.Seen(), Text: letter, Toward: toward, Size: 12 * w.grow()})
	}
	dash := func(path draw.Path) draw.Path { return path.In(draw.Thin, draw.Dashed) }
	boxes := m.walls(gap)
	if w.tied() {
		top := -11 * mm
		g.Add(draw.Boxes(m.ties(top)...)...)
		for _, x := range m.xs {
			g.Add(dash(draw.Edge(draw.In3(x, -m.thick-0.8*mm, top), draw.In3(x, -m.thick-0.8*mm, 0))))
		}
		tag(draw.In3(m.xs[len(m.xs)-1]+0.9*mm, m.wide*0.1, top-1.4*mm), letters[frame.TiePiece], 300)
	}
	boxes = append(boxes, m.uprights(gap+3*mm, m.high*0.2)...)
	up := m.high*0.9 + 4*mm
	if c := w.p.Frame.Corner; c.Block != (frame.Size{}) && !c.Plain {
		b, tall := 2.2*mm, max(min(m.high*0.62, c.BlockLength*m.scale), 3.4*mm)
		for _, x := range []unit.Length{0, m.long - b} {
			for _, y := range []unit.Length{0, m.wide - b} {
				boxes = append(boxes, draw.Box{At: draw.In3(x, y, up), Size: draw.In3(b, b, tall)})
			}
		}
		for _, s := range [][2]unit.Length{{b / 2, m.wide - b/2}, {m.long - b/2, m.wide - b/2}, {b / 2, b / 2}, {m.long - b/2, b / 2}} {
			g.Add(dash(draw.Edge(draw.In3(s[0], s[1], up), draw.In3(s[0], s[1], m.high*0.4))))
		}
		tag(draw.In3(m.long-b/2, 0, up+tall/2), letters[frame.CornerBlock], 20)
	}
	g.Add(draw.Boxes(boxes...)...)
	tag(draw.In3(m.long*0.22, -m.thick-gap, m.high*0.45), letters[frame.SideBoard], 240)
	tag(draw.In3(m.long+gap+m.thick, m.wide*0.45, m.high*0.45), letters[frame.EndBoard], 330)
	if len(m.xs) > 0 {
		tag(draw.In3(m.xs[0], -m.thick-gap-4.6*mm, m.high*0.3), letters[frame.UprightPiece], 250)
	}
	z := lift
	if w.p.Frame.Liner.Wanted {
		for _, s := range [][2]unit.Length{{0, 0}, {m.long, 0}, {m.long, m.wide}} {
			g.Add(dash(draw.Edge(draw.In3(s[0], s[1], z), draw.In3(s[0], s[1], m.high))))
		}
		w.bag(&g, m, z)
		tag(draw.In3(m.long, m.wide*0.55, z+m.high*0.5), linerLetter, 330)
		z += m.high + 4*mm
		g.Add(draw.Boxes(m.battens(z)...)...)
		tag(draw.In3(m.long*0.3, -1.5*mm, z+0.6*mm), letters[frame.BattenPiece], 240)
		z += 2 * mm
	}
	if r := w.p.Raft; r != nil && !r.Round {
		top := max(2*lift, z+6*mm)
		for _, s := range [][2]unit.Length{{0, 0}, {m.long, 0}, {m.long, m.wide}} {
			g.Add(dash(draw.Edge(draw.In3(s[0], s[1], top), draw.In3(s[0], s[1], z))))
		}
		w.slab(&g, m, top)
		tag(draw.In3(m.long*0.35, 0.5*mm, top+1.2*mm), raftLetter, 250)
	}
	return page.Figure{Drawing: g, Height: 400}
}

// bag draws the liner as it hangs in the bed.
func (w writer) bag(g *draw.Drawing, m model, z unit.Length) {
	l, b, h, f := m.long, m.wide, m.high, 2.4*m.mm
	rim := draw.Face(draw.In3(-f, -f, z+h), draw.In3(l+f, -f, z+h), draw.In3(l+f, b+f, z+h), draw.In3(-f, b+f, z+h)).Filled(draw.White)
	g.Add(rim, draw.Face(draw.In3(0, 0, z), draw.In3(l, 0, z), draw.In3(l, 0, z+h), draw.In3(0, 0, z+h)).Filled(draw.White),
		draw.Face(draw.In3(l, 0, z), draw.In3(l, b, z), draw.In3(l, b, z+h), draw.In3(l, 0, z+h)).Filled(draw.White), w.part(rim, "liner", "word.liner"),
		draw.Face(draw.In3(0, 0, z+h), draw.In3(l, 0, z+h), draw.In3(l, b, z+h), draw.In3(0, b, z+h)).Filled(draw.Liner))
}

// battens gives the battens on the rim, with room for what holds the sides.
func (m model) battens(z unit.Length) []draw.Box {
	wide, t := 1.6*m.mm, 1.2*m.mm
	ends := append(append([]unit.Length{0}, m.xs...), m.long)
	var list []draw.Box
	for i := range len(ends) - 1 {
		from, to := ends[i]+0.5*m.mm, ends[i+1]-0.5*m.mm
		if i > 0 {
			from += 1.2 * m.mm
		}
		if i < len(ends)-2 {
			to -= 1.2 * m.mm
		}
		for _, y := range []unit.Length{m.wide, -wide} {
			list = append(list, draw.Box{At: draw.In3(from, y, z), Size: draw.In3(to-from, wide, t)})
		}
	}
	return append(list, draw.Box{At: draw.In3(-wide-0.5*m.mm, 0, z), Size: draw.In3(wide, m.wide, t)}, draw.Box{At: draw.In3(m.long+0.5*m.mm, 0, z), Size: draw.In3(wide, m.wide, t)})
}

// slab draws the raft with its holes.
func (w writer) slab(g *draw.Drawing, m model, z unit.Length) {
	r := w.p.Raft
	size, lie := r.Size, func(x, y unit.Length) (unit.Length, unit.Length) { return x, y }
	if (r.Size.X < r.Size.Y) == (m.long >= m.wide) {
		size, lie = r.Size.Turned(), func(x, y unit.Length) (unit.Length, unit.Length) { return y, x }
	}
	dx, dy := max(0, m.long-size.X*m.scale)/2, max(0, m.wide-size.Y*m.scale)/2
	t := m.least(r.Job.Thickness, 2.4)
	g.Add(draw.Boxes(draw.Box{At: draw.In3(dx, dy, z), Size: draw.In3(size.X*m.scale, size.Y*m.scale, t), ID: "raft", Title: w.say("word.raft", nil), Front: draw.Foam})...)
	for _, p := range r.Pieces {
		s := r.Layouts[p.Layout].Size
		x0, y0 := lie(p.At.X, p.At.Y)
		x1, y1 := lie(p.At.X+s.X, p.At.Y+s.Y)
		at := func(x, y unit.Length) draw.Space { return draw.In3(dx+x*m.scale, dy+y*m.scale, z+t) }
		if len(r.Pieces) > 1 {
			g.Add(draw.Face(at(x0, y0), at(x1, y0), at(x1, y1), at(x0, y1)).In(draw.Thin, draw.Solid))
		}
	}
	radius := max(r.Job.Hole/2*m.scale, 0.6*m.mm)
	for _, q := range r.Positions {
		x, y := lie(q.X, q.Y)
		var ring []draw.Space
		for k := range 12 {
			sin, cos := math.Sincos(float64(k) * math.Pi / 6)
			ring = append(ring, draw.In3(dx+x*m.scale+radius*unit.Length(cos), dy+y*m.scale+radius*unit.Length(sin), z+t))
		}
		g.Add(draw.Face(ring...).In(draw.Thin, draw.Solid).Filled(draw.White))
	}
}
