package crop

import (
	"math"

	"raftwright/unit"
)

// Spare is the share of seedlings raised beyond the holes (common practice, no source).
const Spare unit.Fraction = 0.1

// Sowing is what to sow so that every hole gets its plants.
type Sowing struct {
	Trays int           // plugs to fill
	Each  int           // seeds in a plug
	Share unit.Fraction // of the seeds that are taken to come up
}

// Seeds is the number to buy.
func (s Sowing) Seeds() int { return s.Trays * s.Each }

// Sow gives the plugs and seeds for so many holes, with a share to spare, in a tray of a
// temperature. Of the seeds, the least share comes up with which they may be sold
// (7 CFR 201.31; 50 % of kinds not listed, Utah R68-8-9), or the share of normal seedlings
// at that warmth where it is less (Harrington & Minges 1954). A crop that stands alone is
// sown one seed a plug, and empty plugs are left out; where plants share a hole, a plug
// gets so many seeds that as many come up. A crop that is not sown has no seeds.
func (c Crop) Sow(holes int, spare unit.Fraction, tray unit.Temperature) Sowing {
	wanted := math.Ceil(float64(holes)*float64(1+spare) - 1e-9)
	if !c.Germination.Given {
		return Sowing{Trays: int(wanted)}
	}
	s := Sowing{Each: 1, Share: c.Germination.Sold}
	if e, ok := c.Emerge(tray); ok && e.NormalKnown && e.Normal > 0 {
		s.Share = min(s.Share, e.Normal)
	}
	if c.Together > 1 {
		s.Each = int(math.Ceil(float64(c.Together)/float64(s.Share) - 1e-9))
	} else {
		wanted = math.Ceil(float64(holes)*float64(1+spare)/float64(s.Share) - 1e-9)
	}
	s.Trays = int(wanted)
	return s
}

// HeadsPerPerson is how many plants a person eats in a week: the weight that is eaten
// (common practice) over that of a plant, to a tenth.
func (c Crop) HeadsPerPerson() float64 {
	return max(0.1, math.Round(float64(c.Week/c.Mass.Middle())*10)/10)
}

// usualTray is where seed trays stand when nothing is known of them.
const usualTray = unit.Temperature(20)

// Tray gives the temperature at which seed trays are taken to stand: the crop's best, but
// no warmer than a room.
func (c Crop) Tray() unit.Temperature { return min(c.Germination.Best, usualTray) }
