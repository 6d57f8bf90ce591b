package raft

import "raftwright/unit"

// Dip is how the pots stand in the water. A pot hangs by its rim on the top of
// the foam, so that its bottom is its height below that.
type Dip struct {
	Asked      unit.Length // bottom below the raft's underside, as wished
	Below      unit.Length // bottom below the raft's underside, as it is; negative: inside the foam
	WetPlanted unit.Length // bottom below the water on the day of planting; negative: above it
	WetGrown   unit.Length // bottom below the water under full heads
	Deepest    unit.Length // wet depth beyond which the plug drowns (our choice)
	SpreadDeep unit.Mass   // weight laid evenly on the grown raft that brings pots to Deepest

	FallsThrough bool   // the rim is not wider than the hole
	Remedy       Remedy // what would make the pots reach as asked; zero where they do
}

// deepest is the part of a pot that may stand in the water under full heads.
const deepest = 0.6

// Remedy lists ways to make pots reach that hang too high. Each alone is enough.
type Remedy struct {
	Short     unit.Length // what is lacking
	PotHeight unit.Length // a pot of this height
	Foam      unit.Length // a foam of this thickness, 0 where no usual one is thin enough
}

// dips computes how the pots stand.
func (r Raft) dips() Dip {
	j := r.Job
	d := Dip{Asked: j.PotDip, Below: j.Pot.Height - j.Thickness, Deepest: deepest * j.Pot.Height}
	d.WetPlanted = d.Below + r.Float.Draft
	d.WetGrown = d.Below + r.Float.DraftGrown
	d.FallsThrough = j.Pot.Rim > 0 && j.Pot.Rim <= j.Hole
	if room := min(d.Deepest-d.WetGrown, r.Float.Freeboard); room > 0 {
		d.SpreadDeep = freshWater.Of(r.Float.NetArea.Deep(room))
	}
	const dust = 1e-9 * unit.Metre
	if short := d.Asked - d.Below; short > dust {
		d.Remedy = Remedy{Short: short, PotHeight: j.Thickness + j.PotDip}
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
	Block        unit.Length // height of the blocks: the underside rests at this level
	GroundsGrown unit.Length // level at which the raft with grown heads touches down
	PotsDry      unit.Length // level at which the pots' bottoms leave the water; 0: never
	FallToGround unit.Length // from the first fill to GroundsGrown, negative: it never floats grown
}

// rests computes the way down to the blocks, nil without blocks.
func (r Raft) rests() *Rest {
	j := r.Job
	if j.Block == 0 {
		return nil
	}
	rest := Rest{Block: j.Block, GroundsGrown: j.Block + r.Float.DraftGrown, PotsDry: max(0, j.Block-r.Dip.Below)}
	if j.Depth > 0 {
		rest.FallToGround = j.Depth - rest.GroundsGrown
	}
	return &rest
}

// stockThicknesses are the boards a store has, thinnest first (common practice).
var stockThicknesses = []unit.Length{0.75 * unit.Inch, 1 * unit.Inch, 1.5 * unit.Inch, 2 * unit.Inch}
