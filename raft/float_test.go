package raft

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"raftwright/unit"
)

// plane integrates the water a tilted unit square displaces, cell by cell, and
// its moments about the sides through the loaded corner (or side): an answer
// that owes nothing to the formulas of the room.
func plane(depth func(u, v float64) float64) (volume, momentU, momentV float64) {
	const n = 600
	for a := range n {
		for b := range n {
			u, v := (float64(a)+0.5)/n, (float64(b)+0.5)/n
			d := max(0, depth(u, v)) / (n * n)
			volume, momentU, momentV = volume+d, momentU+d*u, momentV+d*v
		}
	}
	return volume, momentU, momentV
}

// The side weight: with the rim's top at the water, forces and moments balance.
func TestRimWeightBalances(t *testing.T) {
	owns := []float64{1, 5, 12, 30, 60, 95}
	if testing.Short() {
		owns = []float64{5, 60}
	}
	for _, own := range owns {
		const full = 100.
		p := boxRim(own, full)
		// slope from the moment balance: find k with depth 1 - k u, u from the rim
		lo, hi := 0.0, 1e4
		for range 60 {
			k := (lo + hi) / 2
			if _, m, _ := plane(func(u, _ float64) float64 { return 1 - k*u }); full*m > own/2 {
				lo = k
			} else {
				hi = k
			}
		}
		volume, _, _ := plane(func(u, _ float64) float64 { return 1 - lo*u })
		if want := full*volume - own; math.Abs(p-want) > 0.01*full {
			t.Errorf("own %v: %v, by cells %v", own, p, want)
		}
	}
}

func TestCornerWeightBalances(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	for _, own := range []float64{1, 5, 12, 30, 60, 90, 99} {
		const full = 100.
		p := boxCorner(own, full)
		lo, hi := 0.0, 1e3
		for range 50 {
			k := (lo + hi) / 2
			if _, m, _ := plane(func(u, v float64) float64 { return 1 - k*(u+v) }); full*m > own/2 {
				lo = k
			} else {
				hi = k
			}
		}
		volume, _, _ := plane(func(u, v float64) float64 { return 1 - lo*(u+v) })
		if want := full*volume - own; math.Abs(p-want) > 0.01*full {
			t.Errorf("own %v: %v, by cells %v", own, p, want)
		}
		if p > boxRim(own, full)+1e-9 || boxRim(own, full) > full-own+1e-9 {
			t.Errorf("own %v: corner %v, rim %v, evenly %v", own, p, boxRim(own, full), full-own)
		}
	}
}

// A disc's rim weight: a raft nearly without weight sinks its rim at once; a
// disc all wet obeys W + 5P = full (kern of a disc, R/4).
func TestDiscRim(t *testing.T) {
	if p := discRim(80, 100); math.Abs(p-4) > 0.02 {
		t.Errorf("all wet: %v, want (100 - 80)/5", p)
	}
	last := 0.0
	for _, own := range []float64{0.1, 1, 5, 10} {
		p := discRim(own, 100)
		if p < last || p > 100-own {
			t.Errorf("own %v: %v", own, p)
		}
		last = p
	}
}

// The tilted waterplane carries the load where it stands: volume and moment of
// the wedge give back the flat draft and the distance off the middle.
func TestWedgeBalances(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		length := rapid.Float64Range(0.3, 3).Draw(t, "L")
		flat := rapid.Float64Range(1e-4, 0.02).Draw(t, "flat")
		off := length * rapid.Float64Range(0, 0.45).Draw(t, "off")
		low, high := wedge(flat, off, length)
		volume, moment := 0.0, 0.0
		const n = 20000
		for i := range n {
			x := length * ((float64(i)+0.5)/n - 0.5)
			d := max(0, high+(low-high)*(x/length+0.5))
			volume, moment = volume+d*length/n, moment+d*x*length/n
		}
		if math.Abs(volume/(flat*length)-1) > 1e-3 || math.Abs(moment/volume-off) > 1e-3*length {
			t.Fatalf("volume %v, want %v; off %v, want %v", volume, flat*length, moment/volume, off)
		}
	})
	rapid.Check(t, func(t *rapid.T) {
		radius := rapid.Float64Range(0.2, 2).Draw(t, "R")
		flat := rapid.Float64Range(1e-4, 0.02).Draw(t, "flat")
		off := radius * rapid.Float64Range(0, 0.85).Draw(t, "off")
		low, high := discWedge(flat, off, radius)
		volume, moment := discVolume((low+high)/2, (low-high)/2/radius, radius)
		if math.Abs(volume/(flat*math.Pi*radius*radius)-1) > 5e-3 || math.Abs(moment/volume-off) > 5e-3*radius {
			t.Fatalf("volume %v, want %v; off %v, want %v", volume, flat*math.Pi*radius*radius, moment/volume, off)
		}
	})
}

// An evenly planted raft swims level whatever its holes; half planted it leans
// toward the plants and the mean draft carries the mass.
func TestList(t *testing.T) {
	r := must(t, Job{Sheet: sheet(48, 96), Spacing: inches(12), Edge: inches(6)})
	l := r.List
	if l.LowDraft <= l.HighDraft || math.Abs(float64(l.Rise-(l.LowDraft-l.HighDraft))) > 1e-12 {
		t.Errorf("%+v", l)
	}
	// by hand: foam 2.2975 kg, 16 places of 0.31 kg with their middle 24 in off,
	// mass 7.2575 kg, load 0.6835 x 24 = 16.40 in off, beyond 96/6 = 16 in: wet over
	// 3 (48 - 16.40) = 94.8 in; flat draft 2.527 mm, low rim 2 x 2.527 x 96/94.8
	if math.Abs(l.LowDraft.Millimetres()-5.119) > 0.01 || l.HighDraft >= 0 {
		t.Errorf("low rim %v mm", l.LowDraft.Millimetres())
	}
}

// The area that obstacles take: overlaps once, only on the raft.
func TestBlocked(t *testing.T) {
	p := plot{w: 2, h: 1, boxes: []box{{0, 0, 0.5, 0.5}, {0.25, 0.25, 0.75, 0.75}, {1.9, 0.9, 5, 5}, {-3, -3, -1, -1}}}
	if a := p.blocked(); math.Abs(a-(0.25+0.25-0.0625+0.01)) > 1e-12 {
		t.Error(a)
	}
	disc := plot{w: 2, h: 2, round: true, boxes: []box{{1, -5, 9, 9}}} // its right half
	if a := disc.blocked(); math.Abs(a/(math.Pi/2)-1) > 1e-3 {
		t.Error(a)
	}
}

// Pots: a 3 in pot in 1-1/2 in foam stands 1-1/2 in below the raft, plus the draft.
func TestDip(t *testing.T) {
	r := must(t, Job{Pot: Pot{inches(3), inches(3)}, Thickness: inches(1.5), PotDip: inches(1. / 16)})
	if d := r.Dip; math.Abs(d.Below.Inches()-1.5) > 1e-9 || d.WetPlanted != d.Below+r.Float.Draft || d.WetGrown <= d.WetPlanted || d.Remedy != (Remedy{}) {
		t.Errorf("%+v", r.Dip)
	}
	short := must(t, Job{Pot: Pot{inches(1.25), inches(3)}, Thickness: inches(1.5), PotDip: inches(1. / 16)}).Dip
	if m := short.Remedy; short.WetPlanted > 0 || math.Abs(m.Short.Inches()-0.3125) > 1e-9 || m.Foam != 1*unit.Inch ||
		math.Abs(m.PotHeight.Inches()-1.5625) > 1e-9 {
		t.Errorf("%+v", short)
	}
}

// A raft on 3 in blocks in 6 in of water grounds at the blocks and its draft; the pots,
// half an inch below it, leave the water at 2.5 in.
func TestRest(t *testing.T) {
	r := must(t, Job{Sheet: sheet(48, 96), Pot: Pot{inches(2), inches(3)}, Thickness: inches(1.5), Spacing: inches(12), Edge: inches(6), Block: inches(3), Depth: inches(6)})
	b := *r.Rest
	if b.GroundsGrown != inches(3)+r.Float.DraftGrown || math.Abs(b.PotsDry.Inches()-2.5) > 1e-9 {
		t.Errorf("%+v", b)
	}
	if b.FallToGround != inches(6)-b.GroundsGrown {
		t.Errorf("falls %v", b.FallToGround)
	}
}

// More plants, heavier heads, denser foam: never a smaller draft.
func TestDraftGrowsWithLoad(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		head := unit.Mass(rapid.Float64Range(0.01, 1).Draw(t, "head"))
		a, errA := planned(Job{Sheet: sheet(48, 96), Edge: inches(4), Spacing: inches(8), HeadMass: head})
		b, errB := planned(Job{Sheet: sheet(48, 96), Edge: inches(4), Spacing: inches(8), HeadMass: 2 * head})
		if errA != nil || errB != nil || b.Float.DraftGrown <= a.Float.DraftGrown || a.Float.Draft != b.Float.Draft || b.Float.DraftOld < b.Float.DraftGrown {
			t.Fatalf("%+v %+v", a.Float, b.Float)
		}
		if a.Sink.OnRim < b.Sink.OnRim && a.Sink.Evenly < b.Sink.Evenly {
			t.Fatalf("a heavier raft takes more")
		}
	})
}

// The lifting limit by the revised NIOSH equation: 51 lb at arm's length from the
// rim of a frame comes to 15.8 lb; the foam's stress is M/S by hand.
func TestLift(t *testing.T) {
	r := must(t, Job{Sheet: sheet(48, 96), Spacing: inches(12), Edge: inches(6), Thickness: inches(1.5)})
	if math.Abs(r.Lift.OneLimit.Pounds()-15.78) > 0.01 {
		t.Errorf("%v lb", r.Lift.OneLimit.Pounds())
	}
	// net width 48 - 4 x 2.5 = 38 in = 0.9652 m; S = 0.9652 x 0.0381^2/6; M = m g 2.4384/8
	want := r.Lift.Mass.Kilograms() * 9.80665 * 2.4384 / 8 / (0.9652 * 0.0381 * 0.0381 / 6)
	if math.Abs(r.Lift.Stress.Pascals()/want-1) > 0.005 {
		t.Errorf("stress %v, want %v", r.Lift.Stress, want)
	}
	if !has(r, FindLift) || !has(r, FindLiftBreaks) {
		t.Errorf("use %v: no word of lifting", r.Lift.Use)
	}
}

// A nursery at 4 in before 8 in: four times the plants but for the edges.
func TestNursery(t *testing.T) {
	r := must(t, Job{Sheet: sheet(48, 96), Spacing: inches(8), Edge: inches(4), NurserySpacing: inches(4)})
	n := r.Nursery
	if n == nil || n.Fills < 3 || n.Fills > 4.5 || math.Abs(n.Fills-float64(len(n.Layout.Positions))/float64(r.Holes)) > 1e-12 {
		t.Fatalf("%+v", n)
	}
}

// The trade's spacing is sparser than every published density, 8 in is not
// (horticulture facts: 12 in makes 10.8 a square metre, 8 in 72 plants a sheet).
func TestAlternatives(t *testing.T) {
	r := must(t, Job{Sheet: sheet(48, 96), Spacing: inches(12), Edge: inches(4), Published: Range{13, 38, "practice"}})
	if !has(r, FindSparse) {
		t.Error("not told that it is sparse")
	}
	list := r.Alternatives()
	if len(list) < 5 || list[0].Spacing != 12*unit.Inch {
		t.Fatalf("%+v", list)
	}
	for i, a := range list {
		if a.Spacing == 8*unit.Inch && (a.Square != 72 || a.PerSquareMetre < 24) {
			t.Errorf("%+v", a)
		}
		if i > 0 && a.PerSquareMetre < list[i-1].PerSquareMetre {
			t.Errorf("closer but fewer: %+v", a)
		}
	}
}

// Foam is called thin where it prints thinner than 1-1/2 in or 38 mm, which is what is asked for (common practice, no source).
func TestThinFoamPrintsThinner(t *testing.T) {
	for thick, thin := range map[unit.Length]bool{38 * unit.Millimetre: false, 37.5 * unit.Millimetre: false, 36.9 * unit.Millimetre: true, 25 * unit.Millimetre: true} {
		if r := must(t, Job{Sheet: sheet(48, 96), Spacing: inches(12), Edge: inches(6), Thickness: thick}); has(r, FindThinFoam) != thin {
			t.Errorf("%v mm is thin: %v", thick.Millimetres(), !thin)
		}
	}
}
