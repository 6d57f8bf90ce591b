package frame

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"raftwright/unit"
)

// A corner by hand, southern pine, 8 ft sides unheld, brim 7.25 in (NDS 2018):
// the side pushes 11.39 x 8/2 = 45.6 lb across the end-grain screws, 54 lb each:
// 1 needed; the end pulls 11.39 x 4/2 = 22.8 lb along the side, which the block
// takes: 155 lb a screw pulled, 80 lb a screw across: 1 needed each. Practice
// adds a spare and asks for 3 a face.
func TestCornerByHand(t *testing.T) {
	c := must(t, pine()).Corner
	rounds(t, "side pull", c.SidePull.PoundsForce(), 45.6, 0.1)
	rounds(t, "end pull", c.EndPull.PoundsForce(), 22.8, 0.1)
	if c.Needed != 3 || c.Butt != 3 || c.BlockToEnd != 3 || c.BlockToSide != 3 || c.Screws != 9 {
		t.Errorf("%+v", c)
	}
	near(t, "use", float64(c.Use), 45.56/(3*53.8), 0.5)
	if c.Block != twoByTwo || c.Pull != must(t, pine()).Side.EndForce {
		t.Errorf("%+v", c)
	}
}

// Tall boards take four screws a face into a 4x4 (structure methods section 2).
func TestTallCorners(t *testing.T) {
	j := pine()
	j.SideBoard, j.EndBoard, j.Depth, j.Holds = Size{2, 12}, Size{2, 12}, 10*unit.Inch, AutoHolds()
	c := must(t, j).Corner
	if c.Butt != 4 || c.BlockToEnd != 4 || c.BlockToSide != 4 || c.Block != fourByFour {
		t.Errorf("%+v", c)
	}
	j.SideBoard, j.EndBoard, j.Courses = Size{2, 8}, Size{2, 8}, 2
	if c := must(t, j).Corner; c.Butt < 6 || c.Screws < 18 {
		t.Errorf("stacked boards need screws in each: %+v", c)
	}
}

// Corner capacity never falls short of the demand unless the plan stops, and a
// deeper brim never needs fewer screws.
func TestCornersCarryTheirPull(t *testing.T) {
	l := DefaultYard()
	rapid.Check(t, func(t *rapid.T) {
		b, err := Design(anyJob(t), l)
		if err != nil || b.Job.Vessel.Shape != FrameShape || !b.Side.rated || !b.End.rated || b.Corner.Plain {
			return
		}
		c := b.Corner
		carries := float64(c.PerButt)*float64(c.Butt) >= float64(c.SidePull) &&
			float64(c.PerPull)*float64(c.BlockToEnd) >= float64(c.EndPull) && float64(c.PerLateral)*float64(c.BlockToSide) >= float64(c.EndPull)
		if !carries && !(c.Use > 1 && b.Verdict == NotHolding) {
			t.Fatalf("%+v", c)
		}
		if c.Butt < 3 || c.BlockToEnd < 3 || c.BlockToSide < 3 {
			t.Fatalf("fewer than three screws: %+v", c)
		}
	})
}

// The block stays under the raft, and is as high as the wall without one.
func TestBlockHeight(t *testing.T) {
	j := pine()
	if l := must(t, j).Corner.BlockLength; l != 7.25*unit.Inch {
		t.Errorf("no raft: %v in", l.Inches())
	}
	j.Raft.Thickness = 1.5 * unit.Inch
	if l := must(t, j).Corner.BlockLength; math.Abs(l.Inches()-4.5) > 1e-9 {
		t.Errorf("with a raft: %v in", l.Inches())
	}
	j.Raft.Rest = 3 * unit.Inch // the raft's own blocks: these are as high
	if b := must(t, j); b.Corner.BlockLength != 3*unit.Inch || !has(b, FindBlockRest) || has(b, FindBlockRaft) {
		t.Errorf("with blocks of 3 in: %v in", b.Corner.BlockLength.Inches())
	}
	j.Raft.Rest = 2 * unit.Inch // too short for screws
	if b := must(t, j); b.Corner.BlockLength != b.Brim {
		t.Errorf("with blocks of 2 in: %v in", b.Corner.BlockLength.Inches())
	}
	j.Raft.Rest, j.Depth = 0, 2*unit.Inch
	b := must(t, j) // a 1/2 in block takes no screws: full height, and the raft passes it
	if l := b.Corner.BlockLength; l != b.Brim || !has(b, FindBlockHigh) {
		t.Errorf("shallow: %v in", l.Inches())
	}
	if f := must(t, func() Job { j.LevelError = 5 * unit.Inch; return j }()); !has(f, FindDryEnd) || f.Verdict != NotHolding {
		t.Error("a dry end was passed")
	}
}

// Of the six yield modes the least governs: thin pieces crush before the screw
// bends, thick ones do not matter, and denser wood carries more (NDS 12.3.1).
func TestYieldModes(t *testing.T) {
	s, _ := DefaultYard().Screw(10)
	thick := s.Lateral(0.5, 1.5*unit.Inch, 1.5*unit.Inch)
	if s.Lateral(0.5, 6*unit.Inch, 6*unit.Inch) != thick {
		t.Error("mode IV changes with thickness")
	}
	thin := s.Lateral(0.5, unit.Inch/8, 1.5*unit.Inch)
	if thin >= thick {
		t.Error("an eighth of an inch carries as much as a board")
	}
	// Mode IV by hand: D2/Kd sqrt(2 Fe Fyb/6), Fe = 16600 x 0.5^1.84 = 4637 psi.
	near(t, "mode IV", thick.PoundsForce(), 0.152*0.152/2.2*math.Sqrt(2*4636.6*80000/6), 0.05)
	last := unit.Force(0)
	for _, g := range []float64{0.31, 0.36, 0.42, 0.43, 0.5, 0.55} {
		z := s.Lateral(g, 1.5*unit.Inch, 1.5*unit.Inch)
		if z <= last {
			t.Errorf("G %g: %v not above %v", g, z, last)
		}
		last = z
	}
	if got := screwingOf(tenth().through(4*unit.Inch, unit.Inch), 0.5, 4*unit.Inch); got != (screwing{}) {
		t.Errorf("a 3 in screw through 4 in: %+v", got)
	}
}

// A point ends at least a quarter inch inside the wood, and the next length that is sold does
// not; a screw carries nothing that is not six diameters deep in the second piece (1.14 in of
// a No. 10: NDS 2018 12.1.5.6, from memory).
func TestPointsStayInside(t *testing.T) {
	for _, c := range []struct{ side, main, want float64 }{{1.5, 1.5, 2.75}, {1.5, 3.5, 3}, {3.5, 3.5, 3}, {0.75, 1.5, 2}, {0.75, 0.75, 1.25}, {1.5, 1.499, 2.5}, {1.5, 1.25, 2.5}, {1.5, 6, 3}} {
		s := tenth().through(unit.Length(c.side)*unit.Inch, unit.Length(c.main)*unit.Inch)
		if math.Abs(s.Length.Inches()-c.want) > 1e-9 {
			t.Errorf("%v in on %v in: a screw of %v in, want %v", c.side, c.main, s.Length.Inches(), c.want)
		}
	}
	for in, holds := range map[float64]bool{1.13: false, 1.15: true} {
		s := tenth()
		s.Length = unit.Length(1.5+in) * unit.Inch
		if got := screwingOf(s, 0.55, 1.5*unit.Inch).lateral > 0; got != holds {
			t.Errorf("%v in deep: holds %v", in, got)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		b, err := Design(anyJob(t), DefaultYard())
		if err != nil || b.Job.Vessel.Shape != FrameShape {
			return
		}
		block := b.Job.section(b.Corner.Block).Thick
		for _, f := range b.Fasteners {
			if f.Kind == CornerScrews && b.Corner.Block != (Size{}) && f.Length > min(b.Side.Section.Thick, b.End.Section.Thick)+block-pointCover+1e-9 {
				t.Fatalf("corner screws of %v in: %+v", f.Length.Inches(), b.Corner)
			}
			if f.Kind == ScabScrews && f.Length > 2*max(b.Side.Section.Thick, b.End.Section.Thick)-pointCover+1e-9 {
				t.Fatalf("splice screws of %v in", f.Length.Inches())
			}
		}
	})
}

func tenth() Screw {
	s, _ := DefaultYard().Screw(10)
	return s
}
