package frame

import (
	"math"
	"slices"
	"testing"

	"raftwright/finding"
	"raftwright/unit"
)

// Each line by which somebody acts has a test of its own: one step of the figure
// away, and the test fails.

func told(list []finding.Finding, id finding.ID) bool {
	return slices.ContainsFunc(list, func(f finding.Finding) bool { return f.ID == id })
}

// Three quarters of a strength raises a caution, all of it a stop (own choice: the
// quarter is for knots, splits and a helper who leans on the rim).
func TestLineNearLimit(t *testing.T) {
	for use, want := range map[unit.Pressure]finding.ID{0.74: "", 0.76: FindNearLimit, 0.99: FindNearLimit, 1.01: FindBending} {
		var b Bed
		var out report
		b.judgeBoard(&out, Board{Span: unit.Metre}, Board{Bending: use, BendingAllow: 1, ShearAllow: 1})
		if want == "" && out != nil || want != "" && !told(out, want) {
			t.Errorf("%v of the strength: %v, want %q", use, out, want)
		}
	}
	for use, want := range map[unit.Fraction]bool{0.74: false, 0.76: true} {
		b := Bed{Job: Job{Support: Ground}, Corner: Corner{Block: twoByTwo, Use: use}}
		var corner, hold report
		b.judgeCorner(&corner)
		b.judgeHold(&hold, Row{Holds: 1, rated: true}, HoldMake{Kind: FloorTie, Possible: true, Use: use, Wood: twoByFour})
		if told(corner, FindCornerNear) != want || told(hold, FindHoldNear) != want {
			t.Errorf("%v of corner and hold: %v, %v", use, corner, hold)
		}
	}
}

// Half an inch of wall above the water at the low end, else a splash wets the boards
// (common practice asks for an inch; half of it raises the caution).
func TestLineFreeboard(t *testing.T) {
	for free, want := range map[unit.Length]bool{0.45 * unit.Inch: true, 0.55 * unit.Inch: false} {
		b := Bed{Job: Job{Depth: 6 * unit.Inch, LevelError: unit.Inch}, Brim: 6.5*unit.Inch + free}
		var out report
		b.judgeWalls(&out)
		if told(out, FindFreeboard) != want {
			t.Errorf("%v of wall at the low end: %v", free, out)
		}
	}
}

// Two screws in every board of a stack hold it to its stake: none of the boards may
// hang by its neighbour (common practice).
func TestLineStakeScrews(t *testing.T) {
	for courses := 1; courses <= 3; courses++ {
		j := pine()
		j.Courses, j.HoldBy, j.Soil, j.Holds, j.SideBoard, j.EndBoard = courses, Stake, Gravel, HoldsASide(2), Size{2, 4}, Size{2, 4}
		j.Depth = 3 * unit.Inch
		b := must(t, j)
		if b.SideHold.Screws != 2*courses {
			t.Errorf("%d boards: %d screws in a stake", courses, b.SideHold.Screws)
		}
		stakes := 2 * (b.Side.Holds + b.End.Holds)
		for _, f := range b.Fasteners {
			if f.Kind == HoldScrews && f.Count != stakes*2*courses {
				t.Errorf("%d boards and %d stakes: %d screws to buy", courses, stakes, f.Count)
			}
		}
	}
}

// NDS 2018 3.10.2: bearing across the grain is the force over the area that bears,
// here the edge of the uprights (1-1/2 in each, PS 20) as high as the water.
func TestLineHoldBearing(t *testing.T) {
	r := Row{Height: 7.25 * unit.Inch, allowed: Values{FcPerp: 378.55 * unit.PoundPerSquareInch}} // 565 psi x 0.67, wet (Supplement table 4B)
	force := 1000 * unit.PoundForce
	for _, c := range []struct {
		uprights int
		brim     unit.Length
		area     float64 // in2
	}{{1, 6 * unit.Inch, 9}, {2, 6 * unit.Inch, 18}, {1, 9 * unit.Inch, 10.875}} {
		got := bearingUse(r, HoldMake{Force: force, Wood: twoByFour, Uprights: c.uprights}, c.brim)
		if want := 1000 / (378.55 * c.area); math.Abs(float64(got)-want) > 1e-9 {
			t.Errorf("%d uprights in %v: %v of the bearing, want %v", c.uprights, c.brim, got, want)
		}
	}
	j := pine()
	if got := j.service(false); !got.Wet || got.Duration != 0.9 {
		t.Errorf("boards of a bed are wet and loaded for good: %+v", got)
	}
}

// Work of stakes and ties is part of what a frame costs: two stakes a hold, one a
// wall; one tie for both walls.
func TestLineHoldWork(t *testing.T) {
	for kind, want := range map[HoldKind]float64{Stake: 2 * 3 * 6, FloorTie: 3 * 2} {
		b := Bed{Side: Row{Holds: 3}, SideHold: HoldMake{Kind: kind}}
		if got, ok := (Prices{Tie: 2, Stake: 6}).Of(b); !ok || got != want {
			t.Errorf("kind %v: %v, want %v", kind, got, want)
		}
	}
}

// Depths from 3 to 14 in were tried, a hundredth of an inch of play on either side, as
// metric depths are rounded (own choice).
func TestLineDepthRange(t *testing.T) {
	for depth, want := range map[unit.Length]bool{2.9895: true, 2.9905: false, 14.0095: false, 14.0105: true} {
		b := Bed{Job: Job{Vessel: Vessel{Length: 97 * unit.Inch, Width: 49 * unit.Inch}, Depth: depth * unit.Inch}}
		if out := b.judgeSize(); told(out, FindDepthRange) != want {
			t.Errorf("%v in deep: %v", float64(depth), out)
		}
	}
}

// Beyond 40 ft by 8 ft, with two inches for a raft's play, the methods were not tried
// (own choice).
func TestLineRange(t *testing.T) {
	for _, c := range []struct {
		length, width unit.Length
		want          bool
	}{{40.1 * unit.Foot, 8.1 * unit.Foot, false}, {40.2 * unit.Foot, 4 * unit.Foot, true}, {9 * unit.Foot, 8.2 * unit.Foot, true}} {
		b := Bed{Job: Job{Vessel: Vessel{Length: c.length, Width: c.width}, Depth: 6 * unit.Inch}}
		if out := b.judgeSize(); told(out, FindRange) != c.want {
			t.Errorf("%v by %v: %v", c.length, c.width, out)
		}
	}
}

// A quarter inch of bulge, or half of the raft's gap where that is less, is told; the
// 120th of a span stops (own choice: no code has a limit for planters).
func TestLineBulge(t *testing.T) {
	span := 48 * unit.Inch
	for _, c := range []struct {
		bulge, gap unit.Length
		want       finding.ID
	}{{0.24, 0, ""}, {0.26, 0, FindBulge}, {0.24, 0.46, FindBulgeGap}, {0.39, 0, FindBulge}, {0.41, 0, FindBulgeStop}} {
		b := Bed{Job: Job{Raft: Raft{Gap: c.gap * unit.Inch}}}
		var out report
		d := Board{Span: span, DeflectionLong: c.bulge * unit.Inch, BendingAllow: 1, ShearAllow: 1}
		if b.judgeBoard(&out, d, d); c.want == "" && out != nil || c.want != "" && !told(out, c.want) {
			t.Errorf("a bulge of %v in: %v, want %q", float64(c.bulge), out, c.want)
		}
	}
	if got := bulgeLimit(0); got != 0.25*unit.Inch {
		t.Errorf("the limit is %v", got)
	}
}

// Holds stand less than five feet apart; of stacked boards four, and an inch for the
// raft's play; none nearer than half a foot is tried (common practice).
func TestLineHoldSpacing(t *testing.T) {
	for _, c := range []struct {
		spacing unit.Length
		courses int
		want    bool
	}{{59.9, 1, false}, {60, 1, true}, {48.9, 2, false}, {49, 2, true}} {
		if got := tooWide(c.spacing*unit.Inch, c.courses); got != c.want {
			t.Errorf("%v in of %d boards is too wide: %v", float64(c.spacing), c.courses, got)
		}
	}
}

// What nobody builds is a slip of the keyboard: an inside under two inches (a jar), a
// hundred tonnes on a raft, ten thousand beds, a hold every two inches of 40 ft.
func TestLineSlips(t *testing.T) {
	for name, change := range map[string]func(j *Job, over float64){
		"bed.width": func(j *Job, over float64) { j.Vessel.Width = unit.Length(2/over) * unit.Inch },
		"raft":      func(j *Job, over float64) { j.ExtraMass = unit.Mass(100_000*over) * unit.Kilogram },
		"bed.count": func(j *Job, over float64) { j.Count = int(10_000 * over) },
		"bed.holds": func(j *Job, over float64) { j.Holds = HoldsASide(int(240 * over)) },
	} {
		for over, want := range map[float64]bool{0.99: false, 1.01: true} {
			j := pine()
			change(&j, over)
			if got := slices.ContainsFunc(j.faults(DefaultYard()), func(f finding.Fault) bool { return string(f.Path) == name }); got != want {
				t.Errorf("%s at %v of its bound: a fault is %v", name, over, got)
			}
		}
	}
	if share(3000, 1) != 1000 || share(999, 1) != 999 {
		t.Error("a use is told up to a thousand times what is allowed")
	}
}

// A stake is as good as the worst of three: how much it goes beyond the four feet that anybody drives by hand (common practice, no source), how much of its
// bending it uses at the depth where the soil holds it (b d²/6 of its sides, PS 20: 1-1/2 or 3-1/2 by 3-1/2 in), and how hard the board bears on it. It can be
// had where none of the three is beyond all of it.
func TestLineStakeUse(t *testing.T) {
	for _, soil := range []Soil{Clay, Sand, Gravel} {
		for _, wide := range []int{6, 8, 10, 12} {
			j := pine()
			j.Holds, j.HoldBy, j.Soil, j.SideBoard, j.EndBoard = HoldsASide(1), Stake, soil, Size{2, wide}, Size{2, wide}
			b := must(t, j)
			m, yard := b.SideHold, DefaultYard()
			g, _ := yard.Grade(b.Job.Species, m.Wood)
			modulus := map[Size]float64{twoByFour: 1.5 * 3.5 * 3.5 / 6, fourByFour: 3.5 * 3.5 * 3.5 / 6}[m.Wood] // in3
			bending := float64(m.Moment) / (modulus * math.Pow(float64(unit.Inch), 3)) / float64(g.Allowed(m.Wood, b.Job.service(false)).Fb)
			most, governs := m.Embed.Inches()/48, HoldByDepth
			for limit, use := range map[HoldLimit]float64{HoldByBending: bending, HoldByBearing: float64(bearingUse(b.Side, m, b.Brim))} {
				if use > most {
					most, governs = use, limit
				}
			}
			if math.Abs(float64(m.Use)-most) > 1e-6 || m.Governs != governs || m.Possible != (most <= 1) {
				t.Errorf("%v, a 2x%d: %v of it used by %v, want %v by %v", soil, wide, m.Use, m.Governs, most, governs)
			}
		}
	}
}

// A tie holds where no limit is beyond all of it: one that its screws, bending, tension or bearing use by a tenth more than they may is none (NDS 2018, all values allowed).
func TestLineTieHolds(t *testing.T) {
	b := must(t, pine())
	r := b.Side
	r.Holds, r.HoldForceBrim = 1, 100*unit.PoundForce
	for range 4 { // more force takes more screws: to the use that is wanted in a few steps
		r.HoldForceBrim *= unit.Force(1.1 / tieOf(b.Job, DefaultYard(), r, b.Brim, twoByFour, 1).Use)
	}
	if m := tieOf(b.Job, DefaultYard(), r, b.Brim, twoByFour, 1); m.Use < 1.05 || m.Use > 1.15 || m.Possible {
		t.Errorf("%v of a tie: possible %v", m.Use, m.Possible)
	}
	r.HoldForceBrim *= 0.99 / 1.1
	if m := tieOf(b.Job, DefaultYard(), r, b.Brim, twoByFour, 1); m.Use > 1 || !m.Possible {
		t.Errorf("%v of a tie: possible %v", m.Use, m.Possible)
	}
}

// Each face of a corner has one screw more than its force takes, for a split (common practice), and three at least.
func TestLineSpareScrew(t *testing.T) {
	b := must(t, pine())
	for screws, want := range map[unit.Force]int{0.5: 3, 1.5: 3, 2.5: 4, 3.5: 5, 4.5: 6} {
		side, end := b.Side, b.End
		side.EndForceBrim, end.EndForceBrim = screws*b.Corner.PerButt, screws*b.Corner.PerLateral
		if c := cornerOf(b.Job, side, end, b.Brim); c.Butt != want || c.BlockToSide != want {
			t.Errorf("a force of %v screws: %d into the grain, %d into the block, want %d", float64(screws), c.Butt, c.BlockToSide, want)
		}
	}
}

// An overflow lies below the rim of the low end, which stands half of the error lower (geometry): of an inch of wall and an inch of error half an inch is left,
// and the notch half way up in it; of half an inch of wall nothing.
func TestLineNotch(t *testing.T) {
	j := pine()
	j.Depth, j.LevelError = 6*unit.Inch, unit.Inch
	if n := notchOf(j, 7*unit.Inch); !n.Possible || math.Abs(n.Sill.Inches()-6.25) > 1e-9 {
		t.Errorf("an inch of wall: %+v", n)
	}
	if n := notchOf(j, 6.5*unit.Inch); n.Possible {
		t.Errorf("half an inch of wall: %+v", n)
	}
}

// The push of the water on both ends, summed up from the floor in thin strips, tips the frame over its low end against its own weight at the middle (statics).
func TestLineTipping(t *testing.T) {
	j := pine()
	j.Depth, j.LevelError = 6*unit.Inch, 2*unit.Inch
	lv := levelOf(j, DefaultYard().Soils, 100*unit.Pound)
	tips := func(depth unit.Length) float64 {
		const strips = 2000
		sum, thick := 0.0, float64(depth)/strips
		for i := range strips {
			y := (float64(i) + 0.5) * thick
			sum += float64(PressureAt(depth-unit.Length(y))) * thick * float64(j.Vessel.Width) * y
		}
		return sum
	}
	want := (tips(7*unit.Inch) - tips(5*unit.Inch)) / (float64((100 * unit.Pound).Weight()) * float64(j.Vessel.Length) / 2)
	if math.Abs(float64(lv.TipUse)/want-1) > 1e-4 {
		t.Errorf("tipping %v, by strips %v", lv.TipUse, want)
	}
}

// A stake of more than two feet in the ground is told to be hard to drive (common practice, no source).
func TestLineDeepStake(t *testing.T) {
	for embed, want := range map[unit.Length]bool{23.5: false, 24.5: true} {
		b := Bed{Job: Job{Support: Ground, Soil: Sand}}
		var out report
		b.judgeHold(&out, Row{Holds: 1, rated: true}, HoldMake{Kind: Stake, Possible: true, Use: 0.5, Governs: HoldByDepth, Embed: embed * unit.Inch, Wood: twoByFour})
		if told(out, FindStakeDeep) != want {
			t.Errorf("%v in deep: %v", float64(embed), out)
		}
	}
}

// A batten has a screw each foot and one at its end, on both walls alike (common practice); a tie in two pieces laps two feet, as the working says.
func TestLineBattensAndLaps(t *testing.T) {
	for wall, want := range map[unit.Length]int{97: 18, 49: 10, 95: 16, 96: 18} {
		var c cutting
		j := pine()
		j.LongestStrip = 8 * unit.Foot
		c.battens(j, wall*unit.Inch)
		if n := len(c.fasteners); n != 1 || c.fasteners[0].Count != want {
			t.Errorf("%v in of two walls: %+v, want %d screws", float64(wall), c.fasteners, want)
		}
	}
	var c cutting
	c.tie(twoByFour, Screw{}, 10*unit.Foot, 8*unit.Foot, 3)
	if len(c.pieces) != 1 || c.pieces[0].Count != 6 || math.Abs(c.pieces[0].Length.Inches()-72) > 1e-9 { // 10 ft and a lap of 2, in two
		t.Errorf("%+v", c.pieces)
	}
}
