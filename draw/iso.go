package draw

import (
	"slices"

	"raftwright/unit"
)

// Space is a place in the room that a drawing shows: x along the bed, y across it, z up.
type Space struct{ X, Y, Z unit.Length }

// In3 gives the place (x, y, z).
func In3(x, y, z unit.Length) Space { return Space{x, y, z} }

// Plus gives the place moved by (dx, dy, dz).
func (p Space) Plus(dx, dy, dz unit.Length) Space { return Space{p.X + dx, p.Y + dy, p.Z + dz} }

// Seen gives where a place in space stands in a drawing of the usual view: from above
// in front, turned by 30 degrees and looked down on by 30 degrees. x runs to the right and
// down, y to the right and up.
func (p Space) Seen() Spot {
	const cos, sin = 0.8660254037844387, 0.5
	return Spot{p.X*cos + p.Y*sin, -p.X*sin*sin + p.Y*cos*sin + p.Z*cos}
}

// Face gives the flat shape through places in space, as it is seen.
func Face(corners ...Space) Path { return Polygon(seen(corners)...) }

// Edge gives the line through places in space, as it is seen.
func Edge(through ...Space) Path { return Polyline(seen(through)...) }

func seen(at []Space) []Spot {
	out := make([]Spot, len(at))
	for i, p := range at {
		out[i] = p.Seen()
	}
	return out
}

// Box is a body with square corners: its lowest corner and its size.
type Box struct {
	At, Size Space
	ID       string
	Title    string
	Front    Fill // of the face in front; the zero value is white
	Top      Fill
}

// end gives the corner farthest from At.
func (b Box) end() Space { return b.At.Plus(b.Size.X, b.Size.Y, b.Size.Z) }

// behind tells whether b can be painted before c: it lies left of it, farther back or below.
func (b Box) behind(c Box) bool {
	const touch = unit.Length(1e-9)
	e, f := b.end(), c.end()
	return e.X <= c.At.X+touch || b.At.Y >= f.Y-touch || e.Z <= c.At.Z+touch
}

// Boxes draws bodies as they hide each other, those farthest from the eye first. They must
// not cut into each other.
func Boxes(list ...Box) []Item {
	rest := slices.Clone(list)
	var out []Item
	for len(rest) > 0 {
		next := slices.IndexFunc(rest, func(b Box) bool {
			return !slices.ContainsFunc(rest, func(c Box) bool { return c != b && !b.behind(c) && c.behind(b) })
		})
		next = max(next, 0) // a ring of three that hide each other: any goes first
		out = append(out, rest[next].drawn())
		rest = slices.Delete(rest, next, next+1)
	}
	return out
}

// drawn gives the three faces that are seen.
func (b Box) drawn() Group {
	a, e := b.At, b.end()
	fill := func(f Fill) Fill { return max(f, White) }
	return Group{ID: b.ID, Title: b.Title, Items: []Item{
		Face(a, In3(e.X, a.Y, a.Z), In3(e.X, a.Y, e.Z), In3(a.X, a.Y, e.Z)).Filled(fill(b.Front)),
		Face(In3(e.X, a.Y, a.Z), In3(e.X, e.Y, a.Z), e, In3(e.X, a.Y, e.Z)).Filled(White),
		Face(In3(a.X, a.Y, e.Z), In3(e.X, a.Y, e.Z), e, In3(a.X, e.Y, e.Z)).Filled(fill(b.Top))}}
}
