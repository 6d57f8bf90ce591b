package raft

import (
	"math"

	"raftwright/unit"
)

// Lift is what it takes to carry one sheet with grown heads: its mass, and how
// the foam bends when two people take it by its ends.
type Lift struct {
	Mass     unit.Mass     // foam, the water it took up, pots and heads; water that clings not counted
	OneLimit unit.Mass     // what one person should lift at arm's length (NIOSH 1994)
	Span     unit.Length   // between the hands
	Stress   unit.Pressure // in the foam across the weakest row of holes
	Strength unit.Pressure // least flexural strength of the type
	Use      unit.Fraction // stress over strength
}

// LoadConstant is the most that one person lifts where all else is at its best: the load
// constant of the revised NIOSH lifting equation (1994), 51 lb.
const LoadConstant = 51 * unit.Pound

// liftLimit is the recommended weight limit of the revised NIOSH equation (1994),
// 23 kg x HM x VM x DM, for hands 25 in ahead of the ankles (a raft is wide),
// 10 in above the ground (the rim of the frame), lifted 20 in, no twist:
// 51 lb x 10/25 x (1 - 0.0075 x 20) x (0.82 + 1.8/20).
const liftLimit = LoadConstant * 10 / 25 * (1 - 0.0075*20) * (0.82 + 1.8/20)

// lifts computes the lifting of the fullest piece by its two ends: a beam on two
// supports under its own even weight, M = w g L^2 / 8, S = b t^2 / 6 over the
// width that the weakest row of holes leaves.
func (r Raft) lifts() Lift {
	l, j := r.fullest(), r.Job
	soaked := freshWater.Of(l.netArea(j.Hole).Deep(j.Thickness) * unit.Volume(r.Foam.Uptake))
	lift := Lift{Mass: r.grownMass(l) + soaked, OneLimit: liftLimit, Strength: r.Foam.Flexural}
	lift.Span = max(l.Size.X, l.Size.Y)
	moment := lift.Mass.Weight().Newtons() * lift.Span.Metres() / 8
	t := j.Thickness.Metres()
	section := l.weakestWidth(j.Hole) * t * t / 6
	lift.Stress = unit.Pressure(moment / section)
	lift.Use = unit.Fraction(float64(lift.Stress) / float64(lift.Strength))
	return lift
}

// weakestWidth gives the least width of foam across the longer side, over the
// middle half of the piece, where it bends most.
func (l Layout) weakestWidth(hole unit.Length) float64 {
	p, holes := l.plot, l.Positions
	along := func(q Point) float64 { return q.Y.Metres() }
	length, width := p.h, p.w
	if p.w > p.h {
		along = func(q Point) float64 { return q.X.Metres() }
		length, width = p.w, p.h
	}
	radius, least := hole.Metres()/2, width
	const cuts = 96
	for i := range cuts {
		u := length * (0.25 + 0.5*float64(i)/(cuts-1))
		left := width
		if p.round {
			left = 2 * math.Sqrt(max(0, length*length/4-(u-length/2)*(u-length/2)))
		}
		for _, q := range holes {
			if d := along(q) - u; d > -radius && d < radius {
				left -= 2 * math.Sqrt(radius*radius-d*d)
			}
		}
		least = min(least, left)
	}
	return max(least, 0.02*width)
}
