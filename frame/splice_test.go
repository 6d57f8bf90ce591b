package frame

import (
	"math"
	"testing"

	"raftwright/unit"
)

// A wall of two boards is bent as one of as many spans: AWC Design Aid 6, four
// equal spans, as the structure methods table it (0.107 w l2, 0.0065 w l4/EI,
// inner reaction 1.143 w l). A spliced 193 in side and an unspliced 192 in one
// differ by their spans only.
func TestSplicedBoardsRunThrough(t *testing.T) {
	j := pine()
	j.Vessel.Length, j.Holds, j.Longest = 193*unit.Inch, HoldsASide(3), 16*unit.Foot
	b := must(t, j)
	if len(b.Side.Segments) != 2 || !has(b, FindSplice) || has(b, FindSpliceWeak) {
		t.Fatalf("segments %v, %v", b.Side.Segments, b.Findings)
	}
	w, l := float64(b.Thrust), float64(b.Side.Spacing)
	near(t, "bending", float64(b.Boards[0].Bending), 0.107*w*l*l/2.71875/16.387064e-6, 0.1)
	near(t, "hold", float64(b.Side.HoldForce), 1.143*w*l, 0.01)
	j.Vessel.Length = 192 * unit.Inch
	whole := must(t, j)
	near(t, "as a whole board", float64(b.Boards[0].Bending), float64(whole.Boards[0].Bending)*193*193/192/192, 1e-6)
}

// The screws of a scab carry the moment at the hold, each No. 10 screw by 1-1/4 in
// of thread at 103.2 lb/in (structure examples S4: 2850 G2 D, CD 0.9, CM 0.7), two
// rows eleven inches apart.
func TestScabScrews(t *testing.T) {
	j := pine()
	j.Vessel.Length, j.Holds, j.Longest = 32*unit.Foot, HoldsASide(3), 16*unit.Foot
	b := must(t, j)
	// brim-full 2x8: 11.39 lb/ft on 8 ft spans
	moment := 0.107 * 31.2 * (7.25 / 12) * (7.25 / 12) * 8 * 8 * 12
	near(t, "use", float64(b.Side.Scab.Use), moment/(2*103.2*1.25*11), 0.5)
	at := map[string]float64{}
	for _, s := range b.Working() {
		if s.Symbol == "U" {
			for _, i := range s.Inputs {
				at[i.Symbol] = i.Value
			}
			near(t, "the working's own figures", at["M"]/(at["n"]*at["W"]*at["x"]), s.Value, 1e-6)
		}
	}
	near(t, "moment, N mm", at["M"], moment*4.4482216*25.4, 0.1)
	screws := 0
	for _, f := range b.Fasteners {
		if f.Kind == ScabScrews {
			screws += f.Count
		}
	}
	if b.Side.Scab.Screws != 4 || screws != 2*2*4 {
		t.Errorf("%d screws a side, %d in all", b.Side.Scab.Screws, screws)
	}
}

// Whatever the boards themselves can carry, a scab of 2x6 to 2x12 can: more load
// stops the plan by the boards' own strength or by the scab's screws.
func TestScabsReachTheBoards(t *testing.T) {
	l := DefaultYard()
	for _, species := range []string{"southern-pine-2", "douglas-fir-larch-2", "spruce-pine-fir-2", "hem-fir-2", "western-cedar-2", "spf-south-2", "northern-white-cedar-2"} {
		for _, wide := range []int{6, 8, 10, 12} {
			j := pine()
			j.Species, j.SideBoard, j.EndBoard = species, Size{2, wide}, Size{2, wide}
			r := newRow(j, l, Side)
			r.Holds, r.Segments = 3, []int{2, 2}
			_, modulus, _ := r.Section.flat()
			brim := r.Section.Wide
			q := bandThrust(float64(brim), 0, float64(brim))
			r.Spacing = unit.Length(math.Sqrt(float64(r.allowed.Fb) * modulus / (0.107 * q)))
			if s := r.scab(brim); s.Use > 1 {
				t.Errorf("%s 2x%d at full bending: the scab's %d screws at %.2f", species, wide, s.Screws, s.Use)
			}
			r.Spacing *= 3
			if s := r.scab(brim); s.Use <= 1 {
				t.Errorf("%s 2x%d at nine times its bending: the scab at %.2f", species, wide, s.Use)
			}
		}
	}
}
