package raft

import (
	"math"
	"testing"

	"raftwright/unit"
)

// A round raft lifted by two opposite sides bends over a width that is that of the disc, by hand: with one hole in the middle the least in the middle half is at its
// ends, sqrt(3)/2 of the diameter. M = m g D/8, S = b t^2/6.
func TestLiftOfARoundRaftByHand(t *testing.T) {
	r := must(t, Job{Diameter: inches(30), InsideDiameter: inches(31), Spacing: inches(24), Edge: inches(6), Thickness: inches(1.5)})
	if r.Holes != 1 {
		t.Fatal(r.Holes, "holes")
	}
	d, thick := 30*0.0254, 1.5*0.0254
	want := r.Lift.Mass.Kilograms() * 9.80665 * d / 8 / (d * math.Sqrt(3) / 2 * thick * thick / 6)
	if got := r.Lift.Stress.Pascals(); math.Abs(got/want-1) > 0.005 {
		t.Errorf("stress %v Pa, want %v", got, want)
	}
}

// What is lifted is foam, pots, heads and the water that the foam took up, by ASTM C578: type II holds 3 % of its volume, type IV 0.3 %.
func TestSoakedFoamByHand(t *testing.T) {
	for kind, share := range map[string]float64{"II": 0.03, "IV": 0.003} {
		r := must(t, Job{Sheet: sheet(48, 96), Spacing: inches(12), Edge: inches(6), Thickness: inches(2), Foam: kind})
		j := r.Job
		volume := (48*96 - float64(r.Holes)*math.Pi/4*math.Pow(j.Hole.Inches(), 2)) * 2 * math.Pow(0.0254, 3)
		want := volume*(float64(r.Foam.Density)+1000*share) + float64(r.Holes)*(j.PotMass+j.HeadMass).Kilograms()
		if got := r.Lift.Mass.Kilograms(); math.Abs(got/want-1) > 0.004 { // water of 998 kg/m3 at 20 °C
			t.Errorf("type %s: %v kg, want %v", kind, got, want)
		}
	}
}

// What a raft is too large by is told as what is to be sawn off, not as the play of one side; where rafts meet, half of the spacing is the edge that keeps
// the rows.
func TestLinesOfRoom(t *testing.T) {
	r := must(t, Job{Diameter: inches(58), InsideDiameter: inches(57)})
	over := unit.Length(0)
	for _, f := range r.Findings {
		if f.ID == FindTooBig {
			over = f.Args["Over"].(unit.Length)
		}
	}
	if math.Abs(over.Inches()-1) > 1e-9 {
		t.Errorf("a disc of 58 in in 57 in is told to be too large by %v in", over.Inches())
	}
	for _, two := range []Job{{Across: 2, Along: 1}, {Across: 1, Along: 2}} {
		two.Sheet, two.Spacing, two.Edge = sheet(48, 48), inches(8), inches(3)
		half := unit.Length(0)
		for _, f := range must(t, two).Findings {
			if f.ID == FindSeam {
				half = f.Args["Half"].(unit.Length)
			}
		}
		if math.Abs(half.Inches()-4) > 1e-9 {
			t.Errorf("%d by %d rafts: half of the spacing is told as %v in", two.Across, two.Along, half.Inches())
		}
	}
}
