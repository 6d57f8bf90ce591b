package draw

import (
	"math"

	"raftwright/unit"
)

// Line gives the line from a to b.
func Line(a, b Spot) Path { return Polyline(a, b) }

// Polyline gives an open line through the spots.
func Polyline(spots ...Spot) Path {
	steps := make([]Step, 0, len(spots)+1)
	for i, s := range spots {
		kind := LineTo
		if i == 0 {
			kind = MoveTo
		}
		steps = append(steps, Step{Kind: kind, To: s})
	}
	return Path{Steps: steps}
}

// Polygon gives the closed shape through the spots.
func Polygon(spots ...Spot) Path {
	p := Polyline(spots...)
	p.Steps = append(p.Steps, Step{Kind: Close})
	return p
}

// Rect gives the rectangle with its lower left corner at a.
func Rect(a Spot, width, height unit.Length) Path {
	return Polygon(a, a.Plus(width, 0), a.Plus(width, height), a.Plus(0, height))
}

// Circle gives the circle about c.
func Circle(c Spot, radius unit.Length) Path {
	p := Arc(c, radius, 0, 360)
	p.Steps = append(p.Steps, Step{Kind: Close})
	return p
}

// Arc gives the part of a circle about c from one angle to another, in degrees
// counter-clockwise from the x axis. The curve is off by less than 0.03 % of
// the radius (four cubic pieces a turn).
func Arc(c Spot, radius unit.Length, from, to float64) Path {
	n := int(math.Ceil(math.Abs(to-from)/90 - 1e-9))
	n = max(1, min(n, 8))
	step := (to - from) / float64(n) * math.Pi / 180
	k := unit.Length(4. / 3 * math.Tan(step/4))
	on := func(t float64) (Spot, unit.Length, unit.Length) {
		cos, sin := unit.Length(math.Cos(t)), unit.Length(math.Sin(t))
		return c.Plus(radius*cos, radius*sin), -radius * sin, radius * cos
	}
	t := from * math.Pi / 180
	here, dx, dy := on(t)
	steps := []Step{{Kind: MoveTo, To: here}}
	for range n {
		next, ex, ey := on(t + step)
		steps = append(steps, Step{Kind: CurveTo, C1: here.Plus(k*dx, k*dy), C2: next.Plus(-k*ex, -k*ey), To: next})
		here, dx, dy, t = next, ex, ey, t+step
	}
	return Path{Steps: steps}
}

// In gives the path drawn with another weight and dash.
func (p Path) In(w Weight, d Dash) Path {
	p.Stroke.Weight, p.Stroke.Dash = w, d
	return p
}

// Filled gives the path with a fill.
func (p Path) Filled(f Fill) Path {
	p.Fill = f
	return p
}

// Named gives the path with an id and a title.
func (p Path) Named(id, title string) Path {
	p.ID, p.Title = id, title
	return p
}

// Shaded gives the path with its line in a gray from 0 (black) to 1 (white).
func (p Path) Shaded(gray float64) Path {
	p.Stroke.Gray = gray
	return p
}
