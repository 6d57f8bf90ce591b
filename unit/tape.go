package unit

import (
	"math"
	"strconv"
)

// Rounding says which way a tape mark is chosen: pieces that go between others
// are rounded down, liners and clearances up.
type Rounding int

// Ways to round to a tape mark.
const (
	Nearest Rounding = iota
	Down
	Up
)

// snap keeps a value that is a tape mark but for floating-point dust on it.
const snap = 1e-6

// ToMark moves the length to a whole number of 1/parts inch.
func (l Length) ToMark(parts int, way Rounding) Length {
	return Length(float64(l.marks(parts, way)) / float64(parts) * float64(Inch))
}

func (l Length) marks(parts int, way Rounding) int64 {
	x := l.Inches() * float64(parts)
	switch way {
	case Down:
		return int64(math.Floor(x + snap))
	case Up:
		return int64(math.Ceil(x - snap))
	}
	return int64(math.Round(x))
}

// Tape prints the length as a carpenter reads it: whole inches and a reduced
// fraction to the nearest 1/parts inch ("49-1/2 in", "5/8 in", "97 in"). parts
// is a power of two from 1 to 64. Lengths beyond a thousand miles print in
// metres; they are on no tape.
func (l Length) Tape(parts int, way Rounding) string {
	if math.IsNaN(float64(l)) || math.Abs(float64(l)) > 1.6e6 {
		return strconv.FormatFloat(float64(l), 'g', 4, 64) + " m"
	}
	n := l.marks(parts, way)
	sign := ""
	if n < 0 {
		sign, n = "-", -n
	}
	whole, rest, den := n/int64(parts), n%int64(parts), int64(parts)
	for rest > 0 && rest%2 == 0 {
		rest, den = rest/2, den/2
	}
	switch {
	case rest == 0:
		return sign + strconv.FormatInt(whole, 10) + " in"
	case whole == 0:
		return sign + strconv.FormatInt(rest, 10) + "/" + strconv.FormatInt(den, 10) + " in"
	}
	return sign + strconv.FormatInt(whole, 10) + "-" + strconv.FormatInt(rest, 10) + "/" + strconv.FormatInt(den, 10) + " in"
}

// FeetTape prints the length in feet and inches ("8 ft 1 in", "4 ft", "5-1/2 in").
func (l Length) FeetTape(parts int, way Rounding) string {
	m := l.ToMark(parts, way)
	feet := math.Floor(math.Abs(m.Feet()) + 1e-9)
	if feet < 1 || math.Abs(float64(l)) > 1.6e6 {
		return l.Tape(parts, way)
	}
	sign := ""
	if m < 0 {
		sign, m = "-", -m
	}
	rest := m - Length(feet)*Foot
	out := sign + strconv.FormatFloat(feet, 'f', -1, 64) + " ft"
	if rest > Inch/Length(2*parts) {
		out += " " + rest.Tape(parts, Nearest)
	}
	return out
}
