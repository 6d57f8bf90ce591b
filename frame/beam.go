package frame

import (
	"math"
	"strings"

	"raftwright/unit"
)

// beam holds the coefficients of a board over equal spans l under a uniform
// load w: reactions and shear times w l, moment times w l2, deflection times
// w l4/(E I). American Wood Council, Design Aid No. 6, 2005.
type beam struct {
	end, inner, shear, moment, deflection float64
}

// beams is indexed by the number of spans, as the design aid prints them.
var beams = [5]beam{
	1: {end: 0.5, inner: 0, shear: 0.5, moment: 0.125, deflection: 5.0 / 384},
	2: {end: 0.375, inner: 1.25, shear: 0.625, moment: 0.125, deflection: 1.0 / 185},
	3: {end: 0.4, inner: 1.1, shear: 0.6, moment: 0.100, deflection: 0.0069},
	4: {end: 0.393, inner: 1.143, shear: 0.607, moment: 0.107, deflection: 0.0065},
}

// moreSpans bounds five spans and more (the largest: end 0.3947, inner 1.1346,
// shear 0.6058, moment 0.1058, deflection 0.00657 by the three-moment equations,
// which a test solves for up to forty spans).
var moreSpans = beam{end: 0.395, inner: 1.143, shear: 0.607, moment: 0.107, deflection: 0.0066}

func beamOf(spans int) beam {
	if spans < len(beams) {
		return beams[spans]
	}
	return moreSpans
}

// segmentsOf splits a wall of equal spans into boards no longer than longest,
// joined at holds only: the number of spans of each board, as even as can be.
// nil when even one span is longer than a board.
func segmentsOf(spans int, span, longest unit.Length) []int {
	most := int(float64(longest)/float64(span) + 1e-9)
	if most < 1 {
		return nil
	}
	n := (spans + most - 1) / most
	segments := make([]int, n)
	for i := range segments {
		segments[i] = spans / n
		if i < spans%n {
			segments[i]++
		}
	}
	return segments
}

// Part names a wall.
type Part int

// The walls of a frame. The ends cap the sides.
const (
	Side Part = iota
	End
)

// String gives the word of the JSON.
func (p Part) String() string {
	if p == End {
		return "end"
	}
	return "side"
}

// Limit names what limits a board.
type Limit int

// Limits of a board.
const (
	ByBending Limit = iota
	ByShear
	ByDeflection
)

// String gives the limit in a word.
func (l Limit) String() string {
	return [...]string{"bending", "shear", "deflection"}[l]
}

// Board is one board of a wall under one depth of water.
type Board struct {
	Part            Part
	Course, Courses int // 0 is the lowest
	Size            Size
	Depth           unit.Length   // water in the bed
	Load            unit.LineLoad // on this board
	Span            unit.Length   // clear, between holds
	Spans           int
	Bending         unit.Pressure
	BendingAllow    unit.Pressure // 0 when the board carries no design value
	Shear           unit.Pressure
	ShearAllow      unit.Pressure // 0 when the board carries no design value
	DeflectionShort unit.Length   // when filled; 0 when the board carries no design value
	DeflectionLong  unit.Length   // after years
	DeflectionLimit unit.Length   // on DeflectionLong
	Use             unit.Fraction // the largest share of any limit; MostUse at most
	Governs         Limit
	Rated           bool // has published design values
}

// Name gives the board's name in the JSON: "side", "end", or with the course
// when boards are stacked: "side, lower".
func (b Board) Name() string { return b.Part.String() + strings.Replace(b.suffix(), "_", ", ", 1) }

// suffix tells the courses apart in a word of lang; "" where boards are not stacked.
func (b Board) suffix() string {
	switch {
	case b.Courses < 2:
		return ""
	case b.Course == 0:
		return "_lower"
	case b.Course == b.Courses-1:
		return "_upper"
	}
	return "_middle"
}

// StrengthUse gives the larger share of the two strengths, bending and shear.
func (b Board) StrengthUse() unit.Fraction {
	return max(share(float64(b.Bending), float64(b.BendingAllow)), share(float64(b.Shear), float64(b.ShearAllow)))
}

// MostUse is the largest share reported. It stands where nothing is allowed at
// all (a board without design values), as a share of zero has no value.
const MostUse unit.Fraction = 1000

func share(demand, allowed float64) unit.Fraction {
	if demand <= 0 {
		return 0
	}
	if !(allowed > 0) {
		return MostUse
	}
	return min(MostUse, unit.Fraction(demand/allowed))
}

// Limits of the long-term bulge. Codes set none for planters: the quarter inch
// and half the raft's gap are ours; a board past span/120 stops the plan.
const (
	mostBulge  = unit.Inch / 4
	stopOfSpan = 120
)

// bulgeLimit gives the limit that counts in Use: a quarter inch, or half the
// raft's gap where that is less.
func bulgeLimit(gap unit.Length) unit.Length {
	if gap > 0 {
		return min(mostBulge, gap/2)
	}
	return mostBulge
}

// Row is one wall, of which a bed has two alike.
type Row struct {
	Part          Part
	Size          Size
	Section       Section
	Height        unit.Length // top above the floor
	Length        unit.Length // inside, between the corners
	Holds         int
	Spacing       unit.Length // of the holds and corners
	Segments      []int       // spans of each board of a course
	Scab          Scab        // over each splice
	HoldForce     unit.Force  // the most that one hold carries, at the water line
	HoldForceBrim unit.Force
	EndForce      unit.Force // at a corner, at the water line
	EndForceBrim  unit.Force
	caps          unit.Length // how much longer than the inside the wall is: the ends cap the sides
	under         unit.Length // how far the ties of this wall pass below those of the other
	grade         Grade
	rated         bool
	screw         Screw
	allowed       Values
}

// newRow describes a wall before its holds are chosen.
func newRow(j Job, l Yard, p Part) Row {
	r := Row{Part: p, Size: j.SideBoard, Length: j.Vessel.Length}
	if p == End {
		r.Size, r.Length = j.EndBoard, j.Vessel.Width
		r.caps = 2 * j.section(j.SideBoard).Thick
	}
	r.Section = j.section(r.Size)
	r.Height = r.Section.Wide * unit.Length(j.Courses)
	r.grade, r.rated = l.Grade(j.Species, r.Size)
	r.screw, _ = l.Screw(frameScrew)
	if j.Wall != LumberWall {
		r.rated = false
	}
	if r.rated {
		r.allowed = r.grade.Allowed(r.Size, j.service(true))
	}
	return r
}

// held gives the row with n holds at equal spacing.
func (r Row) held(j Job, n int, brim unit.Length) Row {
	r.Holds = n
	r.Spacing = r.Length / unit.Length(n+1)
	r.Segments = segmentsOf(n+1, r.Spacing, j.longest(r.Size)-r.caps)
	r.Scab = r.scab(brim)
	b := r.beam()
	at := func(h unit.Length, c float64) unit.Force {
		return unit.Force(c * float64(Thrust(h)) * float64(r.Spacing))
	}
	r.HoldForce, r.HoldForceBrim = at(j.Depth, b.inner), at(brim, b.inner)
	r.EndForce, r.EndForceBrim = at(j.Depth, b.end), at(brim, b.end)
	return r
}

// beam gives the coefficients of the wall. Its boards run through over all holds:
// the scabs of its splices carry the moment there, or a stop says that they cannot.
func (r Row) beam() beam { return beamOf(r.Holds + 1) }

// board computes one course of the wall with water of depth h.
func (r Row) board(j Job, course int, h unit.Length) Board {
	w := float64(r.Section.Wide)
	q := bandThrust(float64(h), float64(course)*w, float64(course+1)*w)
	area, modulus, inertia := r.Section.flat()
	b, span := r.beam(), float64(r.Spacing)
	d := Board{Part: r.Part, Course: course, Courses: j.Courses, Size: r.Size, Depth: h, Load: unit.LineLoad(q),
		Span: r.Spacing, Spans: r.Holds + 1, Rated: r.rated, DeflectionLimit: bulgeLimit(j.Raft.Gap)}
	d.Bending = unit.Pressure(b.moment * q * span * span / modulus)
	d.Shear = unit.Pressure(1.5 * b.shear * q * span / area)
	if r.rated {
		d.BendingAllow, d.ShearAllow = r.allowed.Fb, r.allowed.Fv
		d.DeflectionShort = unit.Length(b.deflection * q * math.Pow(span, 4) / (float64(r.allowed.E) * inertia))
		d.DeflectionLong = wetCreep * d.DeflectionShort
	}
	for i, s := range []unit.Fraction{share(float64(d.Bending), float64(d.BendingAllow)),
		share(float64(d.Shear), float64(d.ShearAllow)), share(float64(d.DeflectionLong), float64(d.DeflectionLimit))} {
		if s > d.Use {
			d.Use, d.Governs = s, Limit(i)
		}
	}
	return d
}
