package frame

import (
	"math"
	"strconv"
	"strings"

	"raftwright/unit"
)

// Fault is one thing in a job with which nothing can be computed.
type Fault struct {
	Field string // as the brief names it: "length", "side board"
	What  string // what is wrong
	Right string // what would be right
}

// Error joins the parts into one line.
func (f Fault) Error() string { return f.Field + " " + f.What + "; right would be " + f.Right }

// Faults are all the faults of a job.
type Faults []Fault

// Error joins the faults, one a line.
func (f Faults) Error() string {
	lines := make([]string, len(f))
	for i, one := range f {
		lines[i] = one.Error()
	}
	return strings.Join(lines, "\n")
}

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }

func gallons(v unit.Volume) string { return strconv.FormatFloat(v.Gallons(), 'f', 0, 64) + " gal" }

// absurd is a length that no bed reaches: beyond it nothing is computed.
const absurd = 100 * unit.Metre

// measure gives the fault of a length that must be above zero.
func measure(field string, l unit.Length, right string) Faults {
	switch x := float64(l); {
	case !finite(x):
		return Faults{{field, "is not a number", right}}
	case x <= 0:
		return Faults{{field, "must be more than zero", right}}
	case l < unit.Mil:
		return Faults{{field, "is smaller than can be measured", right}}
	case l > absurd:
		return Faults{{field, "is longer than any bed (" + strconv.FormatFloat(l.Feet(), 'f', 0, 64) + " ft)", right}}
	}
	return nil
}

// optional gives the fault of a length that may be left out (0).
func optional(field string, l unit.Length, right string) Faults {
	if l == 0 {
		return nil
	}
	return measure(field, l, right)
}

// plan gives the fault of an inside measure of a vessel.
func plan(field string, l unit.Length, right string) Faults {
	f := measure(field, l, right)
	if f == nil && l < leastInside {
		return Faults{{field, "is smaller than any bed", right}}
	}
	return f
}

// leastInside is the smallest inside that is computed: a jar.
const leastInside = 2 * unit.Inch

// check gives the faults of a vessel as Faults, or nil.
func (v Vessel) check() error {
	var f Faults
	if v.Shape == RoundShape {
		f = append(f, plan("diameter", v.Diameter, "the inside from rim to rim, such as 6 ft")...)
		f = append(f, optional("base diameter", v.BaseDiameter, "the inside at the floor, such as 5 ft")...)
	} else {
		f = append(f, plan("length", v.Length, "the inside, such as 97 in")...)
		f = append(f, plan("width", v.Width, "the inside, such as 49 in")...)
		f = append(f, optional("base length", v.BaseLength, "the inside at the floor, such as 30 in")...)
		f = append(f, optional("base width", v.BaseWidth, "the inside at the floor, such as 20 in")...)
	}
	f = append(f, optional("wall height", v.Wall, "the height of the rim above the floor, such as 12 in")...)
	f = append(f, optional("height of the upper measures", v.TopAt, "the height above the floor at which the top was measured")...)
	if f == nil && v.TopAt > 0 && float64(max(v.Wall, v.TopAt)) > v.highest() {
		f = Faults{{"wall height", "is above the point where walls that lean inwards would meet", "less than " + unit.Length(v.highest()).Tape(4, unit.Down)}}
	}
	if f == nil && v.Tapered() && v.TopAt == 0 {
		f = Faults{{"height of the upper measures", "is missing for walls that lean", "the height above the floor at which the top was measured"}}
	}
	if f == nil {
		return nil
	}
	return f
}
