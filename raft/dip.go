package raft

import (
	"math"

	"raftwright/unit"
)

// Dip is how the pots stand in the water. A pot hangs by its rim on the top of
// the foam, so that its bottom is its height below that.
type Dip struct {
	Asked      unit.Length // bottom below the raft's underside, as wished
	Below      unit.Length // bottom below the raft's underside, as it is; negative: inside the foam
	WetPlanted unit.Length // bottom below the water on the day of planting; negative: above it
	WetGrown   unit.Length // bottom below the water under full heads
	Deepest    unit.Length // wet depth beyond which the plug drowns: half the pot (our choice)
	SpreadDeep unit.Mass   // weight laid evenly on the grown raft that brings pots to Deepest

	FallsThrough bool   // the rim is not wider than the hole
	Remedy       Remedy // what would make the pots reach as asked; zero where they do
}

// Remedy lists ways to make pots reach that hang too high. Each alone is enough.
type Remedy struct {
	Short     unit.Length // what is lacking
	PotHeight unit.Length // a pot of this height
	Foam      unit.Length // a foam of this thickness, 0 where no usual one is thin enough
	Recess    unit.Length // sink the rims this deep into the top
	Ballast   unit.Mass   // or lay this much evenly on the raft
}

// dips computes how the pots stand.
func (r Raft) dips() Dip {
	j := r.Job
	d := Dip{Asked: j.PotDip, Below: j.Pot.Height - j.Thickness, Deepest: j.Pot.Height / 2}
	d.WetPlanted = d.Below + r.Float.Draft
	d.WetGrown = d.Below + r.Float.DraftGrown
	d.FallsThrough = j.Pot.Rim > 0 && j.Pot.Rim <= j.Hole
	if room := min(d.Deepest-d.WetGrown, r.Float.Freeboard); room > 0 {
		d.SpreadDeep = freshWater.Of(r.Float.NetArea.Deep(room))
	}
	const dust = 1e-9 * unit.Metre
	if short := d.Asked - d.Below; short > dust {
		d.Remedy = Remedy{Short: short, PotHeight: j.Thickness + j.PotDip, Recess: short,
			Ballast: freshWater.Of(r.Float.NetArea.Deep(short))}
		if short > r.Float.FreeboardPlanted { // it would sink first
			d.Remedy.Ballast = 0
		}
		for _, t := range stockThicknesses {
			if t <= j.Pot.Height-j.PotDip+dust {
				d.Remedy.Foam = t
			}
		}
	}
	return d
}

// Rest is how a raft comes down on blocks as the level falls and an air gap
// opens under it, in which roots take air (the non-circulating method). Levels
// are heights of the water above the floor.
type Rest struct {
	Block         unit.Length // height of the blocks: the underside rests at this level
	GroundsNew    unit.Length // level at which a newly planted raft touches down
	GroundsGrown  unit.Length // the same with grown heads
	PotsDry       unit.Length // level at which the pots' bottoms leave the water; 0: never
	FallToGround  unit.Length // from the first fill to GroundsGrown, negative: it never floats grown
	LitresToFall  unit.Volume // water used until then, over the inside of the frame
	below, weight float64
	area          float64
}

// rests computes the way down to the blocks, nil without blocks.
func (r Raft) rests() *Rest {
	j := r.Job
	if j.Block == 0 {
		return nil
	}
	rest := Rest{Block: j.Block, GroundsNew: j.Block + r.Float.Draft, GroundsGrown: j.Block + r.Float.DraftGrown,
		PotsDry: max(0, j.Block-r.Dip.Below), below: r.Dip.Below.Metres(), weight: r.Float.GrownMass.Kilograms(), area: float64(r.Float.NetArea)}
	if j.Depth > 0 {
		rest.FallToGround = j.Depth - rest.GroundsGrown
		inside := r.Inside.Area()
		if r.Round {
			inside *= math.Pi / 4
		}
		rest.LitresToFall = inside.Deep(max(0, rest.FallToGround))
	}
	return &rest
}

// Gap gives the air between the water and the underside at a level: none while
// the raft floats or still touches the water.
func (b Rest) Gap(level unit.Length) unit.Length { return max(0, b.Block-level) }

// Wet gives how deep the pots' bottoms stand in the water at a level under grown
// heads; negative when they hang above it. While the raft floats it is constant.
func (b Rest) Wet(level unit.Length) unit.Length {
	return unit.Length(b.below) + min(level, b.GroundsGrown) - b.Block
}

// OnBlocks gives the mass that the blocks carry at a level under grown heads.
func (b Rest) OnBlocks(level unit.Length) unit.Mass {
	wet := max(0, (level - b.Block).Metres())
	return unit.Mass(max(0, b.weight-float64(freshWater)*b.area*wet))
}

// stockThicknesses are the boards a store has, thinnest first (common practice).
var stockThicknesses = []unit.Length{0.75 * unit.Inch, 1 * unit.Inch, 1.5 * unit.Inch, 2 * unit.Inch}
