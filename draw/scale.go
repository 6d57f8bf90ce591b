package draw

import (
	"cmp"
	"math"
	"strconv"
	"strings"

	"raftwright/unit"
)

// System is the system of measure of the reader.
type System int

// Systems.
const (
	US     System = iota // feet and inches
	Metric               // metres and millimetres
)

// Scale is paper to real: 0.1 draws ten inches as one. The zero value is "not
// given".
type Scale float64

// Full draws at real size.
const Full Scale = 1

// OneTo gives the scale 1 : n.
func OneTo(n float64) Scale { return Scale(1 / n) }

// step is one engineering scale with its name where it has one.
type step struct {
	n    float64 // real to paper
	inch string  // inches of paper to one foot, for the US scales
}

// Scales that a ruler of the trade carries (from memory: ISO 5455 and, between
// its steps, those of the metric scale rule; the architect's rule for the others).
var (
	metricSteps = []step{{n: 0.2}, {n: 0.5}, {n: 1}, {n: 2}, {n: 5}, {n: 10}, {n: 15}, {n: 20}, {n: 25}, {n: 30}, {n: 40}, {n: 50}, {n: 75}, {n: 100}, {n: 200}, {n: 500}, {n: 1000}}
	usSteps     = []step{{n: 0.25}, {n: 0.5}, {n: 1}, {n: 2, inch: "6"}, {n: 4, inch: "3"}, {n: 8, inch: "1-1/2"}, {n: 12, inch: "1"},
		{n: 16, inch: "3/4"}, {n: 24, inch: "1/2"}, {n: 32, inch: "3/8"}, {n: 48, inch: "1/4"}, {n: 64, inch: "3/16"},
		{n: 96, inch: "1/8"}, {n: 128, inch: "3/32"}, {n: 192, inch: "1/16"}, {n: 384, inch: "1/32"}, {n: 768, inch: "1/64"}}
)

// Steps lists the engineering scales of a system, the largest drawing first.
func Steps(sys System) []Scale {
	from := usSteps
	if sys == Metric {
		from = metricSteps
	}
	out := make([]Scale, len(from))
	for i, s := range from {
		out[i] = OneTo(s.n)
	}
	return out
}

// Words are the few words that Lay prints itself; an empty one is left out, but
// the signs of foot and inch then stand as ft and in.
type Words struct{ Scale, NotToScale, FullSize, Foot, Feet, Inch string }

// Name prints the scale: "1/2 in = 1 ft", "1 : 20", "Full size".
func (s Scale) Name(sys System, w Words) string {
	n := 1 / float64(s)
	if near(n, 1) {
		if w.FullSize == "" {
			return "1 : 1"
		}
		return w.FullSize + " (1 : 1)"
	}
	if sys == US {
		for _, u := range usSteps {
			if near(u.n, n) && u.inch != "" {
				return u.inch + " " + cmp.Or(w.Inch, "in") + " = 1 " + cmp.Or(w.Foot, "ft")
			}
		}
	}
	if n < 1 {
		return trim(float64(s)) + " : 1"
	}
	return "1 : " + trim(n)
}

func near(a, b float64) bool { return math.Abs(a-b) < 1e-6*math.Abs(b) }

func trim(x float64) string {
	s := strconv.FormatFloat(x, 'f', 2, 64)
	return strings.TrimSuffix(strings.TrimRight(s, "0"), ".")
}

// bar is the length a scale bar stands for, and its name.
type bar struct {
	length unit.Length
	name   string
}

// barFor chooses the scale bar that is nearest to 1.4 in on paper.
func barFor(s Scale, sys System, w Words) bar {
	in := " " + cmp.Or(w.Inch, "in")
	var from []bar
	if sys == US {
		for _, n := range []float64{0.25, 0.5, 1, 2, 3, 6} {
			from = append(from, bar{unit.Length(n) * unit.Inch, fractionName(n) + in})
		}
		for _, n := range []float64{1, 2, 4, 8, 10, 20, 40, 100, 200} {
			ft := w.Feet
			if n == 1 {
				ft = w.Foot
			}
			from = append(from, bar{unit.Length(n) * unit.Foot, trim(n) + " " + cmp.Or(ft, "ft")})
		}
	} else {
		for _, n := range []float64{5, 10, 20, 50} {
			from = append(from, bar{unit.Length(n) * unit.Millimetre, trim(n) + " mm"})
		}
		for _, n := range []float64{10, 20, 50} {
			from = append(from, bar{unit.Length(n) * unit.Centimetre, trim(n) + " cm"})
		}
		for _, n := range []float64{1, 2, 5, 10, 20, 50, 100} {
			from = append(from, bar{unit.Length(n) * unit.Metre, trim(n) + " m"})
		}
	}
	best, least := from[0], math.Inf(1)
	for _, b := range from {
		if off := math.Abs(math.Log(float64(OnPaper(b.length)) * float64(s) / 100)); off < least {
			best, least = b, off
		}
	}
	return best
}

func fractionName(n float64) string {
	switch n {
	case 0.25:
		return "1/4"
	case 0.5:
		return "1/2"
	}
	return trim(n)
}
