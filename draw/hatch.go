package draw

import "math"

// Hatch is one family of parallel lines, the same over the whole sheet, so
// that neighbouring parts of one material join.
type Hatch struct {
	Angle   float64  // degrees, counter-clockwise from level
	Gap     Points   // between lines
	Width   Points   // of the line
	Dash    []Points // ink and gap; nil: unbroken. A dash of 0 with Round is a dot.
	Stagger Points   // every second line begins this much later
	Round   bool     // round ends
}

// Ground gives the gray under the hatching of a fill, and false where there is none.
func (f Fill) Ground() (gray float64, ok bool) {
	switch f {
	case Empty:
		return 0, false
	case MidGray:
		return 0.6, true
	case Black:
		return 0, true
	}
	return 1, true
}

// Hatching gives the lines of a fill; nil for the plain ones.
func (f Fill) Hatching() []Hatch {
	switch f {
	case Wood:
		return []Hatch{{Angle: 0, Gap: 3.2, Width: 0.45, Dash: []Points{22, 2, 9, 2}, Stagger: 13}}
	case Water:
		return []Hatch{{Angle: 0, Gap: 5, Width: 0.6, Dash: []Points{9, 6}, Stagger: 7.5}}
	case Foam:
		return []Hatch{{Angle: 0, Gap: 3.6, Width: 0.9, Dash: []Points{0, 6}, Stagger: 3, Round: true}}
	case Liner:
		return []Hatch{{Angle: 60, Gap: 1.8, Width: 0.6}}
	case Soil:
		return []Hatch{{Angle: 45, Gap: 6, Width: 0.6, Dash: []Points{5, 7}, Stagger: 6},
			{Angle: -45, Gap: 6, Width: 0.6, Dash: []Points{5, 7}, Stagger: 6}}
	case Rising:
		return []Hatch{{Angle: 45, Gap: 4.5, Width: 0.5}}
	case Falling:
		return []Hatch{{Angle: -45, Gap: 4.5, Width: 0.5}}
	case Crossed:
		return []Hatch{{Angle: 45, Gap: 5, Width: 0.5}, {Angle: -45, Gap: 5, Width: 0.5}}
	case Dots:
		return []Hatch{{Angle: 0, Gap: 2.6, Width: 0.8, Dash: []Points{0, 5}, Stagger: 2.5, Round: true}}
	case Powder:
		return []Hatch{{Angle: 0, Gap: 1.6, Width: 0.9, Dash: []Points{0, 3.2}, Stagger: 1.6, Round: true}}
	}
	return nil
}

// Period gives the length after which the dashes of a line repeat; 0 for an
// unbroken line.
func (h Hatch) Period() Points {
	sum := Points(0)
	for _, d := range h.Dash {
		sum += d
	}
	return sum
}

// Ray is one line of a hatching. Phase is where in the dashes it starts.
type Ray struct {
	From, To Place
	Phase    Points
}

// Rays gives the lines of the family that cross the box with the corners a
// (lower left) and b.
func (h Hatch) Rays(a, b Place) []Ray {
	if h.Gap <= 0 || b.X <= a.X || b.Y <= a.Y {
		return nil
	}
	sin, cos := math.Sincos(h.Angle * math.Pi / 180)
	s, c := Points(sin), Points(cos)
	u0, u1, v0, v1 := Points(math.Inf(1)), Points(math.Inf(-1)), Points(math.Inf(1)), Points(math.Inf(-1))
	for _, p := range [4]Place{a, {b.X, a.Y}, b, {a.X, b.Y}} {
		u, v := p.X*c+p.Y*s, p.Y*c-p.X*s
		u0, u1, v0, v1 = min(u0, u), max(u1, u), min(v0, v), max(v1, v)
	}
	period := h.Period()
	var out []Ray
	for k := math.Ceil(float64(v0 / h.Gap)); k*float64(h.Gap) <= float64(v1); k++ {
		v := Points(k) * h.Gap
		phase := Points(0)
		if period > 0 {
			start := u0
			if math.Mod(k, 2) != 0 {
				start -= h.Stagger
			}
			phase = Points(math.Mod(float64(start), float64(period)))
			if phase < 0 {
				phase += period
			}
		}
		out = append(out, Ray{From: Place{u0*c - v*s, u0*s + v*c}, To: Place{u1*c - v*s, u1*s + v*c}, Phase: phase})
	}
	return out
}

// Box gives the corners of the box around an outline.
func (m Mark) Box() (a, b Place) {
	box := bounds([]Mark{m})
	if box.empty() {
		return Place{}, Place{}
	}
	return Place{box.x0, box.y0}, Place{box.x1, box.y1}
}
