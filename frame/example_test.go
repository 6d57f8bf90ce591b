package frame_test

import (
	"fmt"

	"raftwright/frame"
	"raftwright/unit"
)

// The bed at the head of the structure methods: 4 by 8 ft inside, 2x8 sides of
// southern pine No.2, 2x10 ends, 6 in of water (NDS 2018; AWC Design Aid 6).
// Strong enough, too limp: it needs one hold at the middle of each side.
func ExampleDesign() {
	j := frame.Job{
		Vessel:    frame.Vessel{Length: 96 * unit.Inch, Width: 48 * unit.Inch},
		Depth:     6 * unit.Inch,
		SideBoard: frame.Size{Thick: 2, Wide: 8},
		EndBoard:  frame.Size{Thick: 2, Wide: 10},
		Species:   "southern-pine-2",
		Raft:      frame.Raft{Gap: unit.Inch / 2},
	}
	for _, holds := range []frame.Holds{frame.NoHolds(), frame.AutoHolds()} {
		j.Holds = holds
		bed, err := frame.Design(j, frame.DefaultYard())
		if err != nil {
			fmt.Println(err)
			return
		}
		side := bed.Boards[0]
		fmt.Printf("%d held: strength %.0f %%, bulge of years %s, %s\n", bed.Side.Holds,
			side.StrengthUse().Percents(), side.DeflectionLong.Tape(64, unit.Nearest), bed.Verdict)
	}
	// Output:
	// 0 held: strength 29 %, bulge of years 9/16 in, holds with care
	// 1 held: strength 7 %, bulge of years 1/64 in, holds
}

// A round tank of 6 ft over 5 ft, measured at the water line 12 in up.
func ExampleVessel_Dipstick() {
	tank := frame.Vessel{Shape: frame.RoundShape, Diameter: 6 * unit.Foot, BaseDiameter: 5 * unit.Foot, TopAt: 12 * unit.Inch}
	marks, err := tank.Dipstick(4*unit.Inch, 12*unit.Inch)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, m := range marks {
		fmt.Printf("%s: %.1f gal\n", m.Depth.Tape(8, unit.Nearest), m.Volume.Gallons())
	}
	// Output:
	// 4 in: 52.3 gal
	// 8 in: 111.6 gal
	// 12 in: 178.2 gal
}
