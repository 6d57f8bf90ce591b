package raft

import (
	"math"

	"raftwright/unit"
)

// List is how one sheet leans when one half carries grown heads and the other
// half has just been cleared: the worse of its two directions.
type List struct {
	LowDraft  unit.Length // at the low rim
	HighDraft unit.Length // at the high rim, negative where that rim hangs above the water
	Rise      unit.Length // high rim above low rim
}

// lists computes the list of the fullest piece. The waterplane is a plane
// wedge; the foam's holes are spread evenly over it; the height of the heads is
// left out, which at these angles is less than one part in a hundred.
func (r Raft) lists() List {
	l := r.fullest()
	x := r.listAlong(l, func(p Point) float64 { return p.X.Metres() - l.plot.w/2 }, l.plot.w)
	y := r.listAlong(l, func(p Point) float64 { return p.Y.Metres() - l.plot.h/2 }, l.plot.h)
	if y.Rise > x.Rise*(1+tolerance) {
		return y
	}
	return x
}

func (r Raft) listAlong(l Layout, from func(Point) float64, length float64) List {
	j := r.Job
	net := l.netArea(j.Hole)
	foam := r.Foam.Density.Of(net.Deep(j.Thickness)).Kilograms()
	each := (j.PotMass + j.HeadMass).Kilograms()
	mass, moment := foam, 0.0
	for _, p := range l.Positions {
		if d := from(p); d > tolerance*length {
			mass += each
			moment += each * d
		}
	}
	flat := draft(unit.Mass(mass), net).Metres() // draft if the load stood in the middle
	low, high := wedge(flat, moment/mass, length)
	if l.Round {
		low, high = discWedge(flat, moment/mass, length/2)
	}
	return List{LowDraft: unit.Length(low), HighDraft: unit.Length(high), Rise: unit.Length(low - high)}
}

// wedge gives the drafts at the low and high rim of a box of this length whose
// load stands off the middle. Within a sixth of the length the whole underside
// stays wet; beyond it the wet part is three times the distance of the load
// from the low rim (statics of a footing on a linear bed, the same equations).
func wedge(flat, off, length float64) (low, high float64) {
	if off <= length/6 {
		return flat * (1 + 6*off/length), flat * (1 - 6*off/length)
	}
	wet := 3 * (length/2 - off)
	low = 2 * flat * length / wet
	return low, -low / wet * (length - wet)
}

// discStrips is the number of strips a disc's waterplane is summed over.
const discStrips = 256

// discWedge does the same for a disc of radius R. Within a quarter of the radius
// all of it stays wet; beyond, the water's edge lies across the disc where the
// wedge's own middle is as far off as the load, found by bisection.
func discWedge(flat, off, radius float64) (low, high float64) {
	if off <= radius/4 {
		return flat * (1 + 4*off/radius), flat * (1 - 4*off/radius)
	}
	dry, wet := 1.0, -1.0 // the water's edge, in radii from the middle
	for range 50 {
		c := (dry + wet) / 2
		if v, m := discVolume(-c, 1, 1); v == 0 || m/v > off/radius {
			dry = c
		} else {
			wet = c
		}
	}
	v, _ := discVolume(-wet, 1, 1)
	slope := flat * math.Pi / v // depth gained in a radius
	return slope * (1 - wet), slope * (-1 - wet)
}

// discVolume gives the volume under a disc whose underside is a tilted plane,
// and its moment about the middle.
func discVolume(middle, slope, radius float64) (volume, moment float64) {
	dx := 2 * radius / discStrips
	for i := range discStrips {
		x := -radius + (float64(i)+0.5)*dx
		if d := middle + slope*x; d > 0 {
			v := d * 2 * math.Sqrt(radius*radius-x*x) * dx
			volume += v
			moment += v * x
		}
	}
	return volume, moment
}

// Sink is the weight that brings the top of one grown sheet to the water.
type Sink struct {
	Evenly   unit.Mass // laid evenly over the sheet
	OnRim    unit.Mass // at the middle of a side (anywhere on the rim of a disc)
	OnCorner unit.Mass // at a corner; of a disc the same as on the rim
}

// sinks computes the weights for the fullest piece with a grown head in every
// hole. A negative figure never occurs: a raft that sinks by itself gives 0.
func (r Raft) sinks() Sink {
	l := r.fullest()
	own := r.grownMass(l).Kilograms()
	full := freshWater.Of(l.netArea(r.Job.Hole).Deep(r.Job.Thickness)).Kilograms()
	if full <= own {
		return Sink{}
	}
	s := Sink{Evenly: unit.Mass(full - own)}
	if l.Round {
		s.OnRim = unit.Mass(discRim(own, full))
		s.OnCorner = s.OnRim
		return s
	}
	s.OnRim, s.OnCorner = unit.Mass(boxRim(own, full)), unit.Mass(boxCorner(own, full))
	return s
}

// boxRim gives the weight at the middle of a side that brings that side's top to
// the water: own is the box's mass, full what its whole volume displaces. While
// all of the underside is wet W + 4P = full; beyond that the wedge gives
// (W + P)^2 = 3/4 full W.
func boxRim(own, full float64) float64 {
	if p := (full - own) / 4; p <= own/2 {
		return p
	}
	return math.Sqrt(0.75*full*own) - own
}

// boxCorner gives the weight at a corner. By an affine map every box is a unit
// square and the water line runs at 45 degrees, c from the corner along both
// sides; moments about the corner give c: a triangle for c <= 1, a triangle less
// two for c <= 2, all wet beyond (then W + 7P = full).
func boxCorner(own, full float64) float64 {
	if p := (full - own) / 7; p <= own/5 {
		return p
	}
	lo, hi := 0.0, 2.0
	for range 80 {
		c := (lo + hi) / 2
		if _, moment := cornerWedge(c); full*moment < own/2 {
			lo = c
		} else {
			hi = c
		}
	}
	volume, _ := cornerWedge(hi)
	return max(0, full*volume-own)
}

// cornerWedge gives the volume of the wedge at a unit square's corner, one deep
// at the corner and dry c from it along both sides, and its moment about a side
// through the corner.
func cornerWedge(c float64) (volume, moment float64) {
	volume, moment = c*c*c/6, c*c*c*c/24
	if q := c - 1; q > 0 {
		cut := q * q * q / 6
		volume -= 2 * cut
		moment -= cut * (1 + q/4 + q/4)
	}
	return volume / c, moment / c
}

// discRim gives the weight on a disc's rim: moments about the loaded rim point,
// on the unit disc with depth 1 at the rim and slope k; own and full as before.
func discRim(own, full float64) float64 {
	lo, hi := 1e-6, 1e6
	wedge := func(k float64) (volume, moment float64) {
		v, m := discVolume(1-k, k, 1)
		return v / math.Pi, (v - m) / math.Pi
	}
	for range 80 {
		k := math.Sqrt(lo * hi)
		if _, moment := wedge(k); full*moment > own {
			lo = k
		} else {
			hi = k
		}
	}
	volume, _ := wedge(lo)
	return max(0, full*volume-own)
}
