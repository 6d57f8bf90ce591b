package frame

import (
	"math"
	"testing"

	"raftwright/unit"
	"raftwright/usual"
)

// dowel is what a screw without a gap carries by the general equations for dowels of AWC Technical Report 12 (from memory), which solve
// the same equilibrium in another form, a quadratic for each mode: q presses along the pieces, m is the moment at which the screw yields.
// It tells which mode governs as well.
func dowel(q, ls, lm, m, kd float64) (float64, string) {
	root := func(a, b, c float64) float64 { return (math.Sqrt(b*b-4*a*c) - b) / (2 * a) }
	modes := map[string]float64{
		"Im": q * lm, "Is": q * ls,
		"II":   root(1/(4*q)+1/(4*q), (ls+lm)/2, -q*ls*ls/4-q*lm*lm/4),
		"IIIm": root(1/(2*q)+1/(4*q), lm/2, -m-q*lm*lm/4),
		"IIIs": root(1/(4*q)+1/(2*q), ls/2, -m-q*ls*ls/4),
		"IV":   root(1/(2*q)+1/(2*q), 0, -2*m),
	}
	least, governs := math.Inf(1), ""
	for mode, p := range modes {
		if p < least {
			least, governs = p, mode
		}
	}
	return least / kd, governs
}

// Each of the yield modes that can govern between two pieces of one wood: II, IIIm, IIIs and IV (I never does: a shorter piece turns before it crushes).
func TestYieldModesAgainstTheGeneralEquations(t *testing.T) {
	seen := map[string]int{}
	for _, gauge := range []int{8, 10, 12} {
		s, ok := DefaultYard().Screw(gauge)
		if !ok {
			t.Fatal(gauge)
		}
		d := s.Root.Inches()
		kd := 2.2 // D up to 0.17 in; 10 D + 0.5 beyond (NDS 2018 table 12.3.1B)
		if d > 0.17 {
			kd = 10*d + 0.5
		}
		for _, g := range []float64{0.36, 0.55} {
			q := 16600 * math.Pow(g, 1.84) * d
			for _, ls := range []float64{0.1, 0.25, 0.5, 0.75, 1.5} {
				for _, lm := range []float64{0.1, 0.25, 0.5, 0.75, 1.5} {
					want, governs := dowel(q, ls, lm, s.Yield.PoundsPerSquareInch()*d*d*d/6, kd)
					seen[governs]++
					near(t, governs, s.Lateral(g, unit.Length(ls)*unit.Inch, unit.Length(lm)*unit.Inch).PoundsForce(), want, 1e-6)
				}
			}
		}
	}
	for _, mode := range []string{"II", "IIIm", "IIIs", "IV"} {
		if seen[mode] == 0 {
			t.Errorf("mode %s never governs: this proves nothing of it", mode)
		}
	}
}

// Ties are made of what is sold, the least first: one or two uprights of 2x4, then of 2x6, then two of 2x8.
func TestTiesAreTriedFromTheLeast(t *testing.T) {
	type wood struct {
		size     Size
		uprights int
	}
	order := []wood{{Size{2, 4}, 1}, {Size{2, 4}, 2}, {Size{2, 6}, 1}, {Size{2, 6}, 2}, {Size{2, 8}, 2}}
	met := map[wood]bool{}
	for _, board := range []Size{{2, 6}, {2, 8}, {2, 12}} {
		at := 0
		for feet := unit.Length(4); feet <= 40; feet++ { // one hold for a longer side carries more
			j := pine()
			j.Vessel.Length, j.SideBoard, j.EndBoard, j.Depth = feet*unit.Foot, board, board, 5*unit.Inch
			j.Holds, j.HoldBy = HoldsASide(1), FloorTie
			m := must(t, j).SideHold
			w := wood{m.Wood, m.Uprights}
			for at < len(order) && order[at] != w {
				at++
			}
			if m.Use > nearLimit { // then the first that is possible is told of as near its limit
				break
			}
			if at == len(order) {
				t.Fatalf("%v, %v ft: %d uprights of %v after a stronger make", board, feet, m.Uprights, m.Wood)
			}
			met[w] = true
		}
	}
	if len(met) < 4 { // one upright of 2x6 passes nowhere here that two of 2x4 do not
		t.Errorf("only %v are met", met)
	}
}

// Where a block is as high as the wall the raft's corner is cut: the block's 1-1/2 in less the raft's play, and half an inch to pass it, or the play
// where that is more (own rule); up to the next quarter inch, which a tape shows.
func TestLineCutOfARaftsCorner(t *testing.T) {
	for gap, want := range map[float64]float64{0.125: 2, 0.25: 1.75, 0.5: 1.5, 1: 1.5} {
		j := full()
		j.Depth, j.Raft.Gap = 4*unit.Inch, unit.Length(gap)*unit.Inch
		b := must(t, j)
		told := false
		for _, f := range b.Findings {
			if f.ID == FindBlockHigh {
				told = true
				near(t, "the cut", f.Args["Cut"].(unit.Length).Inches(), want, 1e-9)
			}
		}
		if !told {
			t.Errorf("a gap of %v in: nothing is told of the corner; the block is %v in of %v", gap, b.Corner.BlockLength.Inches(), b.Brim.Inches())
		}
	}
}

// The working of a vessel that leans can be followed by hand too: a tub of 40 x 20 in over 36 x 16 in at 10 in, filled to 5 in, has a
// surface of 38 x 18 in and holds 5/6 (2 x 684 + 2 x 576 + 38 x 16 + 36 x 18) in3.
func TestWorkingOfATubCanBeFollowed(t *testing.T) {
	j := Job{Vessel: Vessel{Shape: TubShape, Length: 40 * unit.Inch, Width: 20 * unit.Inch, BaseLength: 36 * unit.Inch, BaseWidth: 16 * unit.Inch, TopAt: 10 * unit.Inch, Wall: 10 * unit.Inch},
		Depth: 5 * unit.Inch, Species: "southern-pine-2", Support: Ground}
	const inch = 0.0254
	want := map[string]float64{"A": 38 * 18 * inch * inch, "V": 5.0 / 6 * (2*684 + 2*576 + 38*16 + 36*18) * inch * inch * inch, "a": 38 * inch, "b": 18 * inch, "a0": 36 * inch, "b0": 16 * inch}
	for _, s := range must(t, j).Working() {
		if s.Formula != "k a b" && s.Formula != "k h (2 a b + 2 a0 b0 + a b0 + a0 b)/6" {
			continue
		}
		near(t, s.Symbol, s.Value, want[s.Symbol], 1e-6)
		for _, i := range s.Inputs {
			if w, is := want[i.Symbol]; is {
				near(t, s.Symbol+" from "+i.Symbol, i.Value, w, 1e-6)
			}
		}
		delete(want, s.Symbol)
	}
	if want["A"] != 0 || want["V"] != 0 {
		t.Error("surface and volume are not derived")
	}
}

// A board may bulge a quarter inch, and half of the raft's play where that is less, or the raft is caught (own rule).
func TestLineBulgeOfAPlay(t *testing.T) {
	for gap, want := range map[float64]float64{0: 0.25, 0.125: 0.0625, 0.375: 0.1875, 0.5: 0.25, 1: 0.25} {
		near(t, "bulge", bulgeLimit(unit.Length(gap)*unit.Inch).Inches(), want, 1e-9)
	}
}

// A tie of 22 ft is two boards of 12 ft that lap by 2 ft (own rule), with eight screws in the lap; an inch more takes a third board.
func TestLineTiesOfSeveralBoards(t *testing.T) {
	for length, want := range map[unit.Length]struct {
		boards int
		each   float64
		screws int
	}{12 * unit.Foot: {1, 12, 0}, 22 * unit.Foot: {2, 12, 8}, 22*unit.Foot + unit.Inch: {3, (22 + 1./12 + 4) / 3, 16}} {
		var c cutting
		c.tie(twoByFour, Screw{}, length, 12*unit.Foot, 1)
		n := 0
		for _, p := range c.pieces {
			n += p.Count
			near(t, "a board of a tie, ft", p.Length.Feet(), want.each, 1e-9)
		}
		screws := 0
		for _, s := range c.fasteners {
			screws += s.Count
		}
		if n != want.boards || screws != want.screws {
			t.Errorf("%v ft: %d boards and %d screws, want %v", length.Feet(), n, screws, want)
		}
	}
}

// A liner is paid by what is bought, and compared by what a year costs, which the bed outlives no sheet for: 40 USD over 4 years and over 2, but never over more
// than a liner is planned for.
func TestLineCostOfALiner(t *testing.T) {
	for life, want := range map[float64]float64{2: 20, 4: 10, 1000: 40 / usual.LinerYears} {
		p := Purchase{Sheet: Sheet{LifeLow: life / 2, LifeHigh: life * 3 / 2}, Cost: 40}
		near(t, "a year", p.costPerYear(), want, 1e-9)
	}
}

// Water over the rim of a tub stops, on a floor out of level too: half of the error stands higher at one end. What is told as the most leaves an inch to the rim.
func TestLineTubShort(t *testing.T) {
	for _, c := range []struct {
		depth, level float64
		short        bool
	}{{5.5, 1, false}, {5.6, 1, true}, {6, 0, false}, {6.1, 0, true}, {5, 1.9, false}, {5, 2.1, true}} {
		j := Job{Vessel: Vessel{Shape: TubShape, Length: 40 * unit.Inch, Width: 20 * unit.Inch, Wall: 6 * unit.Inch}, Depth: unit.Length(c.depth) * unit.Inch,
			LevelError: unit.Length(c.level) * unit.Inch, Support: Ground}
		b, told := must(t, j), false
		for _, f := range b.Findings {
			if f.ID == FindTubShort {
				told = true
				near(t, "the most", f.Args["Most"].(unit.Length).Inches(), 6-c.level/2-1, 1e-9)
			}
		}
		if told != c.short {
			t.Errorf("%v in of water, %v in out of level, in a tub of 6 in: stopped %v", c.depth, c.level, told)
		}
	}
}

// The search finds walls that stand an inch over the water at the low end of a floor out of level.
func TestLineWallsOverTheWater(t *testing.T) {
	for _, depth := range []unit.Length{4, 4.3, 4.6, 6, 6.1} {
		j := full()
		j.Depth, j.LevelError, j.Liner.Thickness = depth*unit.Inch, unit.Inch/2, 0
		found, err := Search(j, DefaultYard(), yard())
		if err != nil || len(found) == 0 {
			t.Fatal(depth, err)
		}
		least := math.Inf(1)
		for _, o := range found {
			b := must(t, o.Job)
			least = min(least, (b.Brim - j.Depth).Inches())
		}
		if least < 1.25-1e-9 {
			t.Errorf("%v in of water: walls of only %v in more", depth, least)
		}
	}
}

// Wood on wood at a corner by hand: the end's pull over 1-1/2 in of the side's end by its height; southern pine bears 565 psi across the grain, wet 0.67 of it (NDS
// supplement 2018, table 4B).
func TestCornerBearsByHand(t *testing.T) {
	j := pine()
	b := must(t, j)
	want := b.Corner.EndPull.PoundsForce() / (565 * 0.67 * 1.5 * min(7.25, b.Brim.Inches()))
	near(t, "bearing", float64(b.Corner.Bearing), want, 1e-6)
}
