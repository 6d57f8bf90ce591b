package frame

import (
	"math"

	"raftwright/finding"
	"raftwright/unit"
)

// Shape is the kind of vessel.
type Shape int

// Shapes. A frame is a rectangle of boards with a liner; round is a pool or
// tank; a tub is a ready-made rectangle. Round vessels and tubs may taper.
const (
	FrameShape Shape = iota
	RoundShape
	TubShape
)

// String gives the word of the brief.
func (s Shape) String() string {
	switch s {
	case RoundShape:
		return "round"
	case TubShape:
		return "tub"
	}
	return "frame"
}

// Vessel is the inside of a bed. A base measure of 0 means straight walls.
type Vessel struct {
	Shape         Shape
	Length, Width unit.Length // frame and tub, inside; of a tub at the height TopAt
	BaseLength    unit.Length // tub, at the floor
	BaseWidth     unit.Length // tub, at the floor
	Diameter      unit.Length // round, inside, at the height TopAt
	BaseDiameter  unit.Length // round, at the floor
	TopAt         unit.Length // height above the floor of the upper measures; Design takes the water line when 0
	Wall          unit.Length // height of a round wall or a tub; of a frame it follows from the boards
}

// sides gives the two plan measures at the top and at the floor and the share
// of their rectangle that the shape fills (pi/4 for a circle).
func (v Vessel) sides() (a1, b1, a0, b0, share float64) {
	or := func(base, top unit.Length) float64 {
		if base == 0 {
			return float64(top)
		}
		return float64(base)
	}
	switch v.Shape {
	case RoundShape:
		d := or(v.BaseDiameter, v.Diameter)
		return float64(v.Diameter), float64(v.Diameter), d, d, math.Pi / 4
	case TubShape:
		return float64(v.Length), float64(v.Width), or(v.BaseLength, v.Length), or(v.BaseWidth, v.Width), 1
	}
	return float64(v.Length), float64(v.Width), float64(v.Length), float64(v.Width), 1
}

// Tapered tells whether the walls lean.
func (v Vessel) Tapered() bool {
	a1, b1, a0, b0, _ := v.sides()
	return a1 != a0 || b1 != b0
}

// slopes gives the plan measures at the floor and their gain a metre of height.
func (v Vessel) slopes() (a0, b0, ka, kb, share float64) {
	a1, b1, a0, b0, share := v.sides()
	if v.TopAt > 0 {
		ka, kb = (a1-a0)/float64(v.TopAt), (b1-b0)/float64(v.TopAt)
	}
	return a0, b0, ka, kb, share
}

// highest gives the height at which walls that lean inwards would meet.
func (v Vessel) highest() float64 {
	a0, b0, ka, kb, _ := v.slopes()
	top := math.Inf(1)
	if ka < 0 {
		top = min(top, -a0/ka)
	}
	if kb < 0 {
		top = min(top, -b0/kb)
	}
	return top
}

// wet keeps a depth between the floor and the height at which walls that lean
// inwards would meet.
func (v Vessel) wet(depth unit.Length) float64 { return max(0, min(float64(depth), v.highest())) }

// SidesAt gives the two plan measures at a depth; both are the diameter of a circle.
func (v Vessel) SidesAt(depth unit.Length) (long, wide unit.Length) {
	a0, b0, ka, kb, _ := v.slopes()
	z := v.wet(depth)
	return unit.Length(a0 + ka*z), unit.Length(b0 + kb*z)
}

// SurfaceAt gives the area of the water surface at a depth. The taper goes on
// above TopAt. A tapered vessel needs its TopAt.
func (v Vessel) SurfaceAt(depth unit.Length) unit.Area {
	a0, b0, ka, kb, share := v.slopes()
	z := v.wet(depth)
	return unit.Area(share * (a0 + ka*z) * (b0 + kb*z))
}

// BaseArea gives the area of the floor.
func (v Vessel) BaseArea() unit.Area { return v.SurfaceAt(0) }

// VolumeAt gives the water that fills the vessel to a depth: the prismatoid (for
// a circle the frustum of a cone), exact for straight leaning walls. The floor
// is taken level; the error of an unlevel floor is nil while all of it is wet.
func (v Vessel) VolumeAt(depth unit.Length) unit.Volume {
	a0, b0, ka, kb, share := v.slopes()
	z := v.wet(depth)
	return unit.Volume(share * z * (a0*b0 + z*((a0*kb+b0*ka)/2+z*ka*kb/3)))
}

// PerDepth gives the water in a layer of the given thickness at a depth, the
// layer centred there (gallons an inch on a dipstick).
func (v Vessel) PerDepth(depth, layer unit.Length) unit.Volume {
	return v.VolumeAt(depth+layer/2) - v.VolumeAt(depth-layer/2)
}

// DepthOf gives the depth that a volume fills: the inverse of VolumeAt, to
// rounding. A volume that is none, or that walls which lean inwards cannot hold, is
// a fault.
func (v Vessel) DepthOf(volume unit.Volume) (unit.Length, finding.Faults) {
	want := float64(volume)
	if f := append(v.check(), finding.Within("bed", volume, 0, math.MaxFloat64, 100*unit.Gallon)...); f != nil {
		return 0, f
	}
	lo, hi := 0.0, want/float64(v.BaseArea())
	top := v.highest()
	for hi < top && float64(v.VolumeAt(unit.Length(hi))) < want {
		hi *= 2
	}
	hi = min(hi, top)
	if float64(v.VolumeAt(unit.Length(hi))) < want*(1-1e-12) {
		return 0, finding.Faults{{ID: FaultVolume, Path: "bed", Args: finding.Args{"Volume": volume, "Most": v.VolumeAt(unit.Length(hi))}}}
	}
	z := hi
	for range 200 {
		f := float64(v.VolumeAt(unit.Length(z))) - want
		if f > 0 {
			hi = z
		} else {
			lo = z
		}
		next := z - f/float64(v.SurfaceAt(unit.Length(z)))
		if !(next > lo && next < hi) {
			next = (lo + hi) / 2
		}
		if math.Abs(next-z) <= 1e-15*(1+z) {
			break
		}
		z = next
	}
	return unit.Length(z), nil
}

// Mark is one line of a dipstick.
type Mark struct {
	Depth  unit.Length
	Volume unit.Volume // from the floor to this mark
	Step   unit.Volume // from the mark below to this one
}

// mostMarks bounds a dipstick: nobody reads a longer one.
const mostMarks = 1000

// Dipstick lists the water at every mark from the first step to the depth top,
// which is always the last mark. step is 1 in or 1 cm as a rule.
func (v Vessel) Dipstick(step, top unit.Length) ([]Mark, finding.Faults) {
	if f := v.check(); f != nil {
		return nil, f
	}
	if !(step > 0) || !(top > 0) || float64(top/step) > mostMarks {
		return nil, finding.Faults{{ID: FaultMarks, Path: "bed.depth", Args: finding.Args{"Step": step, "Top": top}}}
	}
	var marks []Mark
	below := unit.Volume(0)
	for i := 1; ; i++ {
		z := unit.Length(i) * step
		if z > top-step/1e6 {
			z = top
		}
		vol := v.VolumeAt(z)
		marks = append(marks, Mark{Depth: z, Volume: vol, Step: vol - below})
		if below = vol; z == top {
			return marks, nil
		}
	}
}

// FillTime gives how long a flow takes to fill a volume.
func FillTime(volume unit.Volume, flow unit.Flow) unit.Duration {
	if !(flow > 0) {
		return 0
	}
	return unit.Duration(float64(volume) / float64(flow))
}

// Buckets gives how many buckets a volume takes, the last one not full.
func Buckets(volume, bucket unit.Volume) int {
	if !(bucket > 0) || !(volume > 0) {
		return 0
	}
	return int(math.Ceil(min(float64(volume)/float64(bucket)-1e-9, 1e9)))
}
