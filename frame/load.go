package frame

import (
	"math"

	"raftwright/source"
	"raftwright/unit"
)

type sourceID = source.ID

const (
	srcOwn      = source.OwnChoice
	srcPractice = source.CommonPractice
)

// WaterDensity is the usual design figure for fresh water, 62.4 lb/ft3
// (999.55 kg/m3): the weight of water in every load here. Real water is 0.2 %
// lighter at 20 C and as much heavier with its fertiliser.
const WaterDensity = unit.Density(62.4) * unit.PoundPerCubicFoot

// waterWeight is WaterDensity times standard gravity, N/m3.
const waterWeight = float64(WaterDensity) * unit.Gravity

// PressureAt gives the pressure of the water at a depth below its surface.
func PressureAt(depth unit.Length) unit.Pressure { return unit.Pressure(waterWeight * float64(depth)) }

// Thrust gives the push of the water on each metre of an upright wall:
// rho g h2/2, whatever the width of the bed. It acts at h/3 above the floor.
func Thrust(depth unit.Length) unit.LineLoad {
	h := float64(depth)
	return unit.LineLoad(waterWeight * h * h / 2)
}

// HoopTension gives the pull in each metre of height of a round wall at the
// floor: rho g h r, of a thin wall that alone carries the water.
func HoopTension(depth, diameter unit.Length) unit.LineLoad {
	return unit.LineLoad(waterWeight * float64(depth) * float64(diameter) / 2)
}

// bandThrust gives the push a metre on the part of a wall between two heights,
// with water of depth h: the share of one course of boards.
func bandThrust(h, from, to float64) float64 {
	if h <= from {
		return 0
	}
	low := h - from
	high := max(0, h-to)
	return waterWeight * (low*low - high*high) / 2
}

// Level is what ground out of level does to a bed.
type Level struct {
	Error           unit.Length   // from one end to the other
	Least, Greatest unit.Length   // depth of water, at the high and the low end
	ThrustGain      unit.Fraction // more push at the low end than on level ground
	BrimLost        unit.Length   // mean depth lost when filled to the low end's rim
	Unbalanced      unit.Force    // push of the water on the frame towards the low end
	Friction        float64       // coefficient of sliding: the least of the soils
	SlideUse        unit.Fraction // of the friction under the boards alone
	TipUse          unit.Fraction // tipping over the low end, of the boards' own weight
}

// levelOf gives the effect of a level error on a frame of the given mass. The
// volume keeps, so depth moves by half the error about the middle. Every soil holds
// the frame by the least coefficient of sliding listed.
func levelOf(j Job, n Soils, frameMass unit.Mass) Level {
	h, d := float64(j.Depth), float64(j.LevelError)
	lv := Level{Error: j.LevelError, Least: unit.Length(max(0, h-d/2)), Greatest: unit.Length(h + d/2), BrimLost: unit.Length(d / 2)}
	g, l := float64(lv.Greatest), float64(lv.Least)
	lv.ThrustGain = unit.Fraction(g*g/(h*h) - 1)
	if j.Vessel.Shape == FrameShape && frameMass > 0 {
		w := float64(j.Vessel.Width)
		lv.Unbalanced = unit.Force(waterWeight * w * (g*g - l*l) / 2)
		lv.Friction = n.least(func(b Bears) float64 { return b.Friction })
		lv.SlideUse = unit.Fraction(float64(lv.Unbalanced) / (lv.Friction * float64(frameMass.Weight())))
		tip := waterWeight * w * (g*g*g - l*l*l) / 6
		lv.TipUse = unit.Fraction(tip / (float64(frameMass.Weight()) * float64(j.Vessel.Length) / 2))
	}
	return lv
}

// Rain is the state of an open bed after rain on its water line.
type Rain struct {
	Fall    unit.Length
	Depth   unit.Length   // of the water after it
	Spilled unit.Volume   // over the lowest rim or through the notch
	Share   unit.Fraction // thrust, of the thrust at the brim
	Use     unit.Fraction // strength of the hardest worked board; frames only
}

// Notch is an overflow that spills before the brim does.
type Notch struct {
	Possible bool
	Sill     unit.Length // height of its bottom edge above the floor
	Width    unit.Length
	Head     unit.Length // water over the sill in rain of 2 in an hour
}

const (
	notchWidth = 4 * unit.Inch
	heavyRain  = 2 * unit.Inch // in an hour
	mostRise   = unit.Inch / 2 // the notch sits this much above the water line
)

// notchOf places the overflow between the water line and the lowest rim: half an
// inch up, or half way where there is less room than an inch. The head over the
// sill is by the weir formula q = 1.84 b H^1.5 (Francis, SI).
func notchOf(j Job, brim unit.Length) Notch {
	room := brim - j.Depth - j.LevelError/2
	if room < unit.Inch/4 {
		return Notch{}
	}
	rise := min(mostRise, room/2)
	flow := float64(j.Vessel.SurfaceAt(j.Depth)) * float64(heavyRain) / 3600
	return Notch{Possible: true, Sill: j.Depth + rise, Width: notchWidth, Head: weirHead(flow, float64(notchWidth))}
}

// rainOf gives the depth after rain on the open surface and the raft, which
// sheds into the bed. Water over the spill height is lost.
func rainOf(j Job, fall, spill, brim unit.Length) Rain {
	caught := j.Vessel.SurfaceAt(spill).Deep(fall)
	full := j.Vessel.VolumeAt(spill)
	after := j.Vessel.VolumeAt(j.Depth) + caught
	r := Rain{Fall: fall}
	if after > full {
		r.Spilled, after = after-full, full
	}
	r.Depth = spill
	if r.Spilled == 0 {
		r.Depth, _ = j.Vessel.DepthOf(after)
	}
	r.Share = unit.Fraction(float64(r.Depth) / float64(brim) * float64(r.Depth) / float64(brim))
	return r
}

// FloorLoad is what the bed weighs on what carries it.
type FloorLoad struct {
	Water   unit.Pressure // of the water at its line, on the floor of the vessel: rho g h
	Full    unit.Pressure // filled to the brim, with frame, raft and crop, over the base
	Extra   unit.Pressure // of that, frame, raft and crop; 4 psf at least
	Mass    unit.Mass     // of everything, filled to the brim
	Light   bool          // all beds together weigh less than a grown person, whom a deck or a room carries anywhere
	SoilUse unit.Fraction // Full of the weakest bearing listed
}

const (
	leastExtra = 4 * unit.PoundPerSquareFoot  // frame, raft and crop, at least
	deckLimit  = 20 * unit.PoundPerSquareFoot // half of what a deck carries; above it: stop
	onePerson  = 150 * unit.Pound             // less than most grown people weigh (own choice)
)

func floorOf(j Job, n Soils, brim unit.Length, frameMass unit.Mass) FloorLoad {
	base := j.Vessel.BaseArea()
	own := unit.Pressure(float64((j.ExtraMass + frameMass).Weight()) / float64(base))
	f := FloorLoad{Water: PressureAt(j.Depth), Extra: max(leastExtra, own)}
	water := WaterDensity.Of(j.Vessel.VolumeAt(brim))
	f.Full = unit.Pressure(float64(water.Weight())/float64(base)) + f.Extra
	f.Mass = unit.Mass(float64(f.Full) * float64(base) / unit.Gravity)
	f.Light = f.Mass*unit.Mass(j.Count) <= onePerson
	f.SoilUse = unit.Fraction(float64(f.Full) / n.least(func(b Bears) float64 { return float64(b.Bearing) }))
	return f
}

func weirHead(flow, width float64) unit.Length {
	return unit.Length(math.Pow(flow/(1.84*width), 2.0/3))
}
