package frame

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"raftwright/unit"
)

// The embedment satisfies the code's equation: put back into it, it returns
// itself (IBC 1807.3.2.1).
func TestStakeDepthIsAFixedPoint(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := unit.Force(rapid.Float64Range(1, 500).Draw(t, "lb")) * unit.PoundForce
		h, b := inches(t, "arm", 0.5, 8), inches(t, "diagonal", 2, 8)
		soil := rapid.SampledFrom([]Soil{Clay, Sand, Gravel}).Draw(t, "soil")
		d, ok := DefaultYard().Of(soil).StakeDepth(p, h, b, 1)
		if !ok {
			t.Fatal("no depth")
		}
		psf := map[Soil]float64{Clay: 100, Sand: 150, Gravel: 200}[soil]
		a := 2.34 * p.PoundsForce() / (psf * d.Feet() / 3 * b.Feet())
		if again := a / 2 * (1 + math.Sqrt(1+4.36*h.Feet()/a)); math.Abs(again-d.Feet()) > 1e-6 {
			t.Fatalf("%g ft, put back %g ft", d.Feet(), again)
		}
		if twice, _ := DefaultYard().Of(soil).StakeDepth(p, h, b, 2); twice >= d {
			t.Fatal("double bearing asks for more depth")
		}
	})
}

// Stake bending by hand: 57 lb at 2.4 in, clay 100 psf a foot, 2x4 diagonal
// 3.81 in: x = sqrt(2 x 57/(100 x 0.3173)) = 1.896 ft, M = 57 (0.2 + 1.264) ft lb.
func TestStakeMomentByHand(t *testing.T) {
	m := DefaultYard().Of(Clay).stakeMoment(57*unit.PoundForce, 2.4*unit.Inch, 3.808*unit.Inch)
	near(t, "moment", float64(m)/(float64(unit.PoundForce)*float64(unit.Foot)), 57*(0.2+2.0/3*1.8955), 0.1)
}

// A stake of the usual bed: 57 lb brim-full, a 2x4 about 44 in deep in clay; sand
// and gravel need less, doubled bearing less again.
func TestStakesOfTheUsualBed(t *testing.T) {
	j := pine()
	j.Holds, j.HoldBy = HoldsASide(1), Stake
	last := unit.Length(math.Inf(1))
	for _, s := range []Soil{Clay, Sand, Gravel} {
		j.Soil = s
		b := must(t, j)
		m := b.SideHold
		if !m.Possible || m.Embed >= last || m.StakeLength < m.Embed+b.Side.Height {
			t.Errorf("%v: %+v", s, m)
		}
		last = m.Embed
	}
	j.Soil = Clay
	b := must(t, j)
	rounds(t, "clay", b.SideHold.Embed.Inches(), 44, 2)
	if !has(b, FindStake) || !has(b, FindDig) || !has(b, FindStakeDeep) {
		t.Errorf("%v", b.Findings)
	}
}

// A floor tie by hand: 57.0 lb at 7.25/3 in over the floor on one 2x4 upright
// with six screws an inch from the edges of a 3.5 in lap: M = 57 (2.417 + 1.75)
// = 237 lb in, J = 4 x 2 x 0.75^2 + 2 x 0.75^2 = 5.625 in2, M a/J = 31.6 lb,
// worst screw sqrt((9.5 + 31.6)^2 + 31.6^2) = 51.9 lb of 80.1 allowed.
func TestTieByHand(t *testing.T) {
	j := pine()
	j.Holds, j.HoldBy = HoldsASide(1), FloorTie
	m := must(t, j).SideHold
	if m.Wood != twoByFour || m.Uprights != 1 || m.Screws != 6 || !m.Possible {
		t.Fatalf("%+v", m)
	}
	rounds(t, "use", float64(m.Use), 51.9/80.1, 0.01)
}

// Heavier water takes a stronger make, never a weaker one than it needs; a make
// that cannot carry is not passed.
func TestTieMakes(t *testing.T) {
	last := 0.0
	for _, in := range []float64{3, 6, 8, 10} {
		j := pine()
		j.Depth = unit.Length(in) * unit.Inch
		j.SideBoard, j.EndBoard = Size{2, 12}, Size{2, 12}
		if in == 3 {
			j.SideBoard, j.EndBoard = Size{2, 6}, Size{2, 6}
		}
		j.Holds, j.HoldBy = HoldsASide(1), FloorTie
		b := must(t, j)
		rank := float64(b.SideHold.Wood.Wide * b.SideHold.Uprights)
		if rank < last || !b.SideHold.Possible {
			t.Errorf("%g in: %+v", in, b.SideHold)
		}
		last = rank
	}
}

// The chosen number of holds passes and one fewer does not.
func TestAutoIsTheLeast(t *testing.T) {
	l := DefaultYard()
	rapid.Check(t, func(t *rapid.T) {
		j := pine()
		j.Species = rapid.SampledFrom(l.Keys()).Draw(t, "species")
		j.Vessel = Vessel{Length: inches(t, "length", 24, 480), Width: inches(t, "width", 24, 97)}
		j.Depth, j.Holds = inches(t, "water", 3, 6), AutoHolds()
		b, err := Design(j, l)
		if err != nil {
			t.Fatal(err)
		}
		if !b.strong() {
			t.Fatalf("auto does not hold: %v", b.Findings)
		}
		if b.Side.Holds == 0 {
			return
		}
		fewer := b.Side.held(b.Job, b.Side.Holds-1, b.Brim)
		if fewer.passes(b.Job, l, b.Brim) {
			t.Fatalf("%d holds are chosen, %d pass", b.Side.Holds, b.Side.Holds-1)
		}
	})
}

// Holds and corners together carry the whole thrust of a wall (statics), but for
// the bounds taken for more than four spans.
func TestReactionsCarryTheThrust(t *testing.T) {
	for n := 1; n <= 3; n++ {
		j := pine()
		j.Holds = HoldsASide(n)
		b := must(t, j)
		inner := []float64{1.25, 1.1 * 2, 1.143*2 + 0.929}[n-1]
		total := 2*float64(b.Side.EndForce) + inner*float64(b.Thrust)*float64(b.Side.Spacing)
		near(t, "reactions", total, float64(b.Thrust.Over(b.Side.Length)), 0.1)
		if got := float64(b.Side.HoldForce); got < float64(b.Thrust.Over(b.Side.Length))/float64(n+1) {
			t.Errorf("%d holds: the most loaded carries %g, less than its share", n, got)
		}
	}
}
