package draw

import (
	"cmp"
	"math"
)

// Tag is a short name in a ring, with a thin line to the part that it names. It is set
// where it covers no line and no words, and its line crosses as little as can be.
type Tag struct {
	ID, Title string
	Tip       Spot
	Text      string
	Size      Points  // of the words; 0 is 11 points
	Toward    float64 // degrees, where the ring should stand from the tip, counter-clockwise; it gives way
}

func (t Tag) moved(by Spot) Tag {
	t.Tip = t.Tip.Plus(by.X, by.Y)
	return t
}

// segment is a straight piece of ink.
type segment struct{ a, b Place }

// named tells whether there is a tag, a callout or a dimension among the items.
func named(items []Item) bool {
	for _, it := range items {
		switch v := it.(type) {
		case Tag, Callout, Dimension:
			return true
		case Group:
			if named(v.Items) {
				return true
			}
		}
	}
	return false
}

// tagRoom gives the room in which tags may stand: the figure, and a ring's width around it
// unless it has a frame of its own.
func (in *inker) tagRoom() area {
	room := bounds(in.marks)
	if len(in.tags) == 0 || room.empty() {
		return room
	}
	if first := in.marks[0]; first.Kind == Outline && bounds(in.marks[:1]) == room {
		return room
	}
	ring := 2 * 11 * in.grow
	return area{room.x0 - ring, room.y0, room.x1 + ring, room.y1}
}

// setTags finds a place for each tag in the room and inks it.
func (in *inker) setTags(room area) {
	if len(in.tags) == 0 {
		return
	}
	ink, words := inked(in.marks)
	var hatched []Mark
	for _, m := range in.marks {
		if m.Kind == Outline && m.Fill.Hatching() != nil {
			hatched = append(hatched, m)
		}
	}
	type ring struct {
		at, tip Place
		r       Points
	}
	var set []ring
	for _, t := range in.tags {
		size := cmp.Or(t.Size, 11) * in.grow
		r := max(0.78*size, TextWidth(t.Text, size, true)/2+0.28*size)
		tip := in.place(t.Tip, Spot{})
		best, least := ring{}, math.Inf(1)
		var near []segment // those that a ring or its line can reach
		for _, g := range ink {
			if g.off(tip) < 15*r {
				near = append(near, g)
			}
		}
		for _, far := range []Points{1.5, 1.9, 2.4, 3, 3.8, 4.8, 6, 8, 10, 13} {
			for k := range 36 {
				sin, cos := math.Sincos(float64(10*k) * math.Pi / 180)
				c := ring{Place{tip.X + far*r*Points(cos), tip.Y + far*r*Points(sin)}, tip, r}
				cost := float64(far)*0.6 + math.Abs(math.Remainder(float64(10*k)-t.Toward, 360))/45
				from := Place{c.at.X - r*Points(cos), c.at.Y - r*Points(sin)}
				line := segment{from, tip}
				if c.at.X-r < room.x0+1 || c.at.X+r > room.x1-1 || c.at.Y-r < room.y0+1 || c.at.Y+r > room.y1-1 {
					cost += 200
				}
				for _, b := range words {
					if b.near(c.at, r+1.5) || b.cut(line) {
						cost += 80
					}
				}
				for _, o := range set {
					other := segment{o.at, o.tip}
					if math.Hypot(float64(o.at.X-c.at.X), float64(o.at.Y-c.at.Y)) < float64(r+o.r+3) || line.off(o.at) < o.r+2 || other.off(c.at) < r+2 || other.crosses(line) {
						cost += 100
					}
				}
				for _, m := range hatched {
					if cost < least && m.holds(c.at) {
						cost += 4
					}
				}
				for _, s := range near {
					if cost >= least {
						break
					}
					if s.off(c.at) < r+1.5 {
						cost += 60
					}
					if s.crosses(line) {
						cost += 1.5
					}
				}
				if cost < least {
					best, least = c, cost
				}
			}
		}
		set = append(set, best)
		in.tag(t, best.at, tip, r, size)
	}
}

// tag inks one ring, its line and its words.
func (in *inker) tag(t Tag, at, tip Place, r, size Points) {
	in.marks = append(in.marks, Mark{Kind: Open, ID: t.ID, Title: t.Title})
	u, far := heading(at, tip)
	if far > r {
		in.line(u.from(at, r, 0), tip, Thin.Width()*in.grow)
		in.outline(Mark{Moves: discMoves(tip, 1.4*in.grow), Fill: Black})
	}
	in.outline(Mark{Moves: discMoves(at, r), Width: Normal.Width() * in.grow, Fill: White})
	in.words(Mark{Text: t.Text, At: Place{at.X, at.Y - capital/2*size}, Size: size, Anchor: Middle, Bold: true})
	in.marks = append(in.marks, Mark{Kind: Shut})
}

// inked gives the straight pieces of all outlines that show ink, and the boxes of all words.
func inked(marks []Mark) (ink []segment, words []area) {
	for _, m := range marks {
		if m.Kind == Lettering {
			words = append(words, bounds([]Mark{m}))
			continue
		}
		if m.Kind != Outline || m.Width <= 0 && m.Fill != Black {
			continue
		}
		var start, now Place
		for _, v := range m.Moves {
			switch v.Kind {
			case MoveTo:
				start = v.To
			case LineTo:
				ink = append(ink, segment{now, v.To})
			case CurveTo: // its chord and the ends of its controls hold it
				ink = append(ink, segment{now, v.C1}, segment{v.C1, v.C2}, segment{v.C2, v.To})
			case Close:
				ink = append(ink, segment{now, start})
				now = start
				continue
			}
			now = v.To
		}
	}
	return ink, words
}

// holds tells whether a place lies inside the shape, its curves taken as straight.
func (m Mark) holds(p Place) bool {
	in := false
	var start, now Place
	across := func(a, b Place) {
		if (a.Y > p.Y) != (b.Y > p.Y) && p.X < a.X+(p.Y-a.Y)/(b.Y-a.Y)*(b.X-a.X) {
			in = !in
		}
	}
	for _, v := range m.Moves {
		switch v.Kind {
		case MoveTo:
			start = v.To
		case Close:
			across(now, start)
			now = start
			continue
		default:
			across(now, v.To)
		}
		now = v.To
	}
	return in
}

// off gives how far a place is from the piece.
func (s segment) off(p Place) Points {
	dx, dy := s.b.X-s.a.X, s.b.Y-s.a.Y
	long := dx*dx + dy*dy
	t := Points(0)
	if long > 0 {
		t = max(0, min(1, ((p.X-s.a.X)*dx+(p.Y-s.a.Y)*dy)/long))
	}
	x, y := float64(p.X-s.a.X-t*dx), float64(p.Y-s.a.Y-t*dy)
	return Points(math.Sqrt(x*x + y*y))
}

// crosses tells whether two pieces cross each other, not counting ends that touch.
func (s segment) crosses(o segment) bool {
	side := func(a, b, c Place) Points { return (b.X-a.X)*(c.Y-a.Y) - (b.Y-a.Y)*(c.X-a.X) }
	return side(s.a, s.b, o.a)*side(s.a, s.b, o.b) < 0 && side(o.a, o.b, s.a)*side(o.a, o.b, s.b) < 0
}

// near tells whether a place is closer to the box than r.
func (a area) near(p Place, r Points) bool {
	return p.X > a.x0-r && p.X < a.x1+r && p.Y > a.y0-r && p.Y < a.y1+r
}

// cut tells whether a piece runs through the box.
func (a area) cut(s segment) bool {
	if a.near(s.a, 0) || a.near(s.b, 0) {
		return true
	}
	return s.crosses(segment{Place{a.x0, a.y0}, Place{a.x1, a.y1}}) || s.crosses(segment{Place{a.x0, a.y1}, Place{a.x1, a.y0}})
}
