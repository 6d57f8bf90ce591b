package frame

import (
	"fmt"
	"math"
	"testing"

	"raftwright/finding"
	"raftwright/unit"
)

func has(b Bed, id finding.ID) bool {
	for _, f := range b.Findings {
		if f.ID == id {
			return true
		}
	}
	return false
}

func rounds(t *testing.T, what string, got, want, step float64) {
	t.Helper()
	if math.Abs(got-want) > step/2+1e-9 {
		t.Errorf("%s: got %.4g, want %.4g to the nearest %g", what, got, want, step)
	}
}

// The table at the head of the structure methods: 4 by 8 ft, 2x8 sides, 2x10
// ends, 6 in (computed from NDS 2018 and AWC Design Aid 6 there).
func TestTheUsualBed(t *testing.T) {
	b := must(t, pine())
	side, end, full := b.Boards[0], b.Boards[1], b.BrimBoards[0]
	rounds(t, "thrust lb/ft", side.Load.PoundsForcePerFoot(), 7.80, 0.01)
	rounds(t, "brim thrust lb/ft", full.Load.PoundsForcePerFoot(), 11.39, 0.01)
	rounds(t, "side psi", side.Bending.PoundsPerSquareInch(), 275, 1)
	rounds(t, "side brim psi", full.Bending.PoundsPerSquareInch(), 402, 1)
	rounds(t, "side allowed psi", side.BendingAllow.PoundsPerSquareInch(), 957, 1)
	rounds(t, "end psi", end.Bending.PoundsPerSquareInch(), 54, 1)
	rounds(t, "end allowed psi", end.BendingAllow.PoundsPerSquareInch(), 864, 1)
	rounds(t, "side bulge now in", side.DeflectionShort.Inches(), 0.28, 0.01)
	rounds(t, "side bulge long in", side.DeflectionLong.Inches(), 0.56, 0.01)
	rounds(t, "brim bulge long in", full.DeflectionLong.Inches(), 0.82, 0.01)
	rounds(t, "end bulge now in", end.DeflectionShort.Inches(), 0.014, 0.001)
	rounds(t, "side shear use", float64(side.Shear/side.ShearAllow), 0.03, 0.01)
	rounds(t, "corner, side, lb", b.Side.EndForce.PoundsForce(), 31, 1)
	rounds(t, "corner, side, brim, lb", b.Side.EndForceBrim.PoundsForce(), 46, 1)
	rounds(t, "corner, end, lb", b.End.EndForce.PoundsForce(), 16, 1)
	long := pine()
	long.Vessel.Length = 16 * unit.Foot
	lb := must(t, long)
	rounds(t, "16 ft psi", lb.Boards[0].Bending.PoundsPerSquareInch(), 1102, 1)
	rounds(t, "16 ft use", float64(lb.Boards[0].StrengthUse()), 1.15, 0.01)
	rounds(t, "16 ft bulge in", lb.Boards[0].DeflectionShort.Inches(), 4.5, 0.1)
	rounds(t, "16 ft corner lb", lb.Side.EndForce.PoundsForce(), 62, 1)
	if lb.Verdict != NotHolding || !has(lb, FindBending) {
		t.Error("16 ft without a hold was passed")
	}
	held := pine()
	held.Holds = AutoHolds()
	hb := must(t, held)
	rounds(t, "held bulge in", hb.Boards[0].DeflectionShort.Inches(), 0.007, 0.001)
	rounds(t, "hold lb", hb.Side.HoldForce.PoundsForce(), 39, 1)
	rounds(t, "hold brim lb", hb.Side.HoldForceBrim.PoundsForce(), 57, 1)
}

// Use of the strength of a 2x8 over 8 ft, 6 in of water to brim-full: SPF 25-37 %,
// DF-L 25-36 %, hem-fir 26-38 %, cedar 32-46 % (structure methods, computed).
func TestNoUsualSpeciesPassesHalf(t *testing.T) {
	for species, want := range map[string][2]float64{
		"spruce-pine-fir-2": {0.25, 0.37}, "douglas-fir-larch-2": {0.25, 0.36}, "hem-fir-2": {0.26, 0.38}, "western-cedar-2": {0.32, 0.46}} {
		j := pine()
		j.Species = species
		b := must(t, j)
		rounds(t, species+" at 6 in", float64(b.Boards[0].StrengthUse()), want[0], 0.01)
		rounds(t, species+" brim-full", float64(b.BrimBoards[0].StrengthUse()), want[1], 0.011)
	}
	j := pine()
	j.Species, j.Incised = "spruce-pine-fir-2", true
	rounds(t, "incised SPF 2x8, 6 in", float64(must(t, j).Boards[0].StrengthUse()), 0.32, 0.01)
}

// Thrust of 3 to 12 in of water, lb/ft, and floor load, psf (structure methods
// sections 2 and 5, computed from 62.4 lb/ft3).
func TestThrustAndFloorLoadByDepth(t *testing.T) {
	for _, c := range []struct{ in, thrust, step, psf float64 }{{3, 1.95, 0.01, 15.6}, {4, 3.47, 0.01, 20.8}, {6, 7.80, 0.01, 31.2},
		{8, 13.9, 0.1, 41.6}, {10, 21.7, 0.1, 52}, {12, 31.2, 0.1, 62.4}} {
		h := unit.Length(c.in) * unit.Inch
		rounds(t, fmt.Sprintf("thrust of %g in", c.in), Thrust(h).PoundsForcePerFoot(), c.thrust, c.step)
		rounds(t, fmt.Sprintf("load of %g in", c.in), PressureAt(h).PoundsPerSquareFoot(), c.psf, 0.1)
	}
	// 4 x 8 ft x 6 in: 119.7 gal, 998 lb, 31.2 psf (users' acceptance case).
	b := must(t, pine())
	rounds(t, "gallons", b.Volume.Gallons(), 119.7, 0.1)
	rounds(t, "pounds", b.Mass.Pounds(), 998, 1)
	// Hoop tension: 12 in deep, 4 ft radius, 250 lb/ft (structure methods 5).
	rounds(t, "hoop lb/ft", HoopTension(12*unit.Inch, 8*unit.Foot).PoundsForcePerFoot(), 250, 1)
}

// Greatest support spacing, inches, brim-full, simple spans: strength and 1/4 in
// bulge (structure methods section 2, computed from NDS 2018).
func TestGreatestSpacing(t *testing.T) {
	l := DefaultYard()
	for species, rows := range map[string][4][2]float64{
		"southern-pine-2":     {{177, 77}, {148, 71}, {125, 67}, {109, 64}},
		"spruce-pine-fir-2":   {{189, 77}, {158, 71}, {137, 67}, {118, 64}},
		"douglas-fir-larch-2": {{176, 79}, {160, 74}, {139, 69}, {120, 66}},
		"western-cedar-2":     {{169, 70}, {141, 66}, {122, 62}, {106, 59}},
	} {
		for i, wide := range []int{6, 8, 10, 12} {
			s := Size{2, wide}
			dry, _ := s.Dry()
			strength, bulge, ok := l.Reach(Job{Species: species}, s, dry.Wide, unit.Inch/4)
			if !ok {
				t.Fatal(species, s)
			}
			rounds(t, species+" "+s.String()+" strength", strength.Inches(), rows[i][0], 1.02)
			rounds(t, species+" "+s.String()+" bulge", bulge.Inches(), rows[i][1], 1.02)
		}
	}
	for i, want := range []float64{33, 57, 93, 137} { // reaction of a stake at 48 in, brim-full
		j := pine()
		j.SideBoard, j.EndBoard, j.Holds = Size{2, []int{6, 8, 10, 12}[i]}, Size{2, 12}, HoldsASide(1)
		rounds(t, j.SideBoard.String()+" stake", must(t, j).Side.HoldForceBrim.PoundsForce(), want, 1)
	}
}

// 12 in of water on two 2x8 (structure methods section 2, computed).
func TestStackedBoards(t *testing.T) {
	j := pine()
	j.Depth, j.Courses, j.EndBoard = 12*unit.Inch, 2, Size{2, 8}
	j.Vessel.Length = 48 * unit.Inch
	b := must(t, j)
	if len(b.Boards) != 4 || b.Boards[0].Name() != "side, lower" || b.Boards[1].Name() != "side, upper" {
		t.Fatalf("boards %v", b.Boards)
	}
	rounds(t, "lower lb/ft", b.Boards[0].Load.PoundsForcePerFoot(), 26.3, 0.1)
	rounds(t, "upper lb/ft", b.Boards[1].Load.PoundsForcePerFoot(), 4.9, 0.1)
	rounds(t, "lower psi at 48 in", b.Boards[0].Bending.PoundsPerSquareInch(), 232, 1)
	rounds(t, "lower bulge at 48 in", b.Boards[0].DeflectionShort.Inches(), 0.06, 0.01)
	j.Vessel.Length = 96 * unit.Inch
	b = must(t, j)
	rounds(t, "lower psi at 96 in", b.Boards[0].Bending.PoundsPerSquareInch(), 929, 1)
	rounds(t, "lower use at 96 in", float64(b.Boards[0].StrengthUse()), 0.97, 0.01)
	rounds(t, "lower bulge at 96 in", b.Boards[0].DeflectionShort.Inches(), 0.94, 0.01)
}

// Stakes: IBC 1807.3.2.1, 39 lb at 2 in on a 2x4 (structure methods section 2).
func TestStakeDepths(t *testing.T) {
	dry, _ := twoByFour.Dry()
	diagonal := unit.Length(math.Hypot(float64(dry.Thick), float64(dry.Wide)))
	for _, c := range []struct {
		soil         Soil
		factor, want float64
	}{{Clay, 1, 3.0}, {Clay, 2, 2.2}, {Sand, 1, 2.5}, {Sand, 2, 1.8}} {
		d, ok := DefaultYard().Of(c.soil).StakeDepth(39*unit.PoundForce, 2*unit.Inch, diagonal, c.factor)
		if !ok {
			t.Fatal(c)
		}
		rounds(t, fmt.Sprint("stake ", c.soil, c.factor), d.Feet(), c.want, 0.1)
	}
	if _, ok := DefaultYard().Of(SoftSoil).StakeDepth(39*unit.PoundForce, 2*unit.Inch, diagonal, 1); ok {
		t.Error("soft soil was given credit")
	}
}

// Screws: withdrawal lb/in and lateral lb (structure methods section 2, from NDS
// 2018 12.2-2 and 12.3.1; the inputs of the latter from memory).
func TestScrewTables(t *testing.T) {
	for i, gauge := range []int{8, 10, 12} {
		s, ok := DefaultYard().Screw(gauge)
		if !ok {
			t.Fatal(gauge)
		}
		for _, c := range []struct {
			g                   float64
			withdrawal, lateral [3]float64
		}{{0.55, [3]float64{141, 164, 186}, [3]float64{100, 127, 161}}, {0.50, [3]float64{117, 135, 154}, [3]float64{92, 117, 147}},
			{0.42, [3]float64{82, 96, 109}, [3]float64{78, 99, 125}}, {0.36, [3]float64{61, 70, 80}, [3]float64{68, 86, 109}}} { // the methods print 106; mode IV of 12.3.1 gives 108.8
			rounds(t, fmt.Sprintf("No.%d G %g withdrawal", gauge, c.g), s.Withdrawal(c.g).PoundsForcePerFoot()/12, c.withdrawal[i], 1.02)
			rounds(t, fmt.Sprintf("No.%d G %g lateral", gauge, c.g), s.Lateral(c.g, 1.5*unit.Inch, 1.5*unit.Inch).PoundsForce(), c.lateral[i], 2)
		}
	}
	// Per screw, southern pine, No.10, wet, long term: lateral into end grain 54,
	// into side grain 80, withdrawal 103 lb an inch.
	three := tenth()
	three.Length = 3 * unit.Inch
	s := screwingOf(three, 0.55, 1.5*unit.Inch)
	rounds(t, "end grain lateral", s.endLateral.PoundsForce(), 54, 1)
	rounds(t, "side grain lateral", s.lateral.PoundsForce(), 80, 1)
	rounds(t, "withdrawal of 1-1/2 in", s.withdrawal.PoundsForce(), 1.5*103.2, 1)
	if _, ok := DefaultYard().Screw(9); ok {
		t.Error("an unknown gauge was given")
	}
}

// D = 1 in on 6 in: low end thrust +17 %, mean depth lost at the brim D/2
// (structure methods section 5).
func TestLevelError(t *testing.T) {
	j := pine()
	j.LevelError = unit.Inch
	lv := must(t, j).Level
	rounds(t, "gain", float64(lv.ThrustGain), 0.17, 0.01)
	rounds(t, "least", lv.Least.Inches(), 5.5, 1e-6)
	rounds(t, "greatest", lv.Greatest.Inches(), 6.5, 1e-6)
	rounds(t, "brim lost", lv.BrimLost.Inches(), 0.5, 1e-6)
	if lv.Unbalanced.PoundsForce() < 10 || lv.Unbalanced.PoundsForce() > 11 { // 62.4 x 4 x 0.5 x 1/12 = 10.4 lb
		t.Errorf("unbalanced %.2f lb", lv.Unbalanced.PoundsForce())
	}
}

// The stop rules: 8 ft without a hold at 6 in is a caution (span/171), 10 ft and
// up stops; holds of a 4 by 16 three a side, of an 8 by 20 four a long side and
// one at mid of each end (structure methods section 2).
func TestStopRulesAndHolds(t *testing.T) {
	j := pine()
	b := must(t, j)
	if b.Verdict != HoldingWithCare || !has(b, FindBulge) || has(b, FindBulgeStop) {
		t.Errorf("8 ft: %v", b.Verdict)
	}
	rounds(t, "span over bulge", float64(b.Boards[0].Span/b.Boards[0].DeflectionLong), 171, 2)
	j.Vessel.Length = 10 * unit.Foot
	if b = must(t, j); b.Verdict != NotHolding || !has(b, FindBulgeStop) {
		t.Errorf("10 ft: %v", b.Verdict)
	}
	for _, c := range []struct {
		length, width unit.Length
		side, end     int
	}{{96, 48, 1, 0}, {97, 49, 1, 0}, {192, 48, 3, 0}, {193, 49, 3, 0}, {240, 96, 4, 1}, {241, 97, 4, 1}, {24, 24, 0, 0}, {48, 48, 0, 0}} {
		j := pine()
		j.Vessel = Vessel{Length: c.length * unit.Inch, Width: c.width * unit.Inch}
		j.Holds = AutoHolds()
		b := must(t, j)
		if b.Side.Holds != c.side || b.End.Holds != c.end {
			t.Errorf("%g x %g in: %d holds a side and %d an end, want %d and %d", float64(c.length), float64(c.width), b.Side.Holds, b.End.Holds, c.side, c.end)
		}
		if b.Verdict == NotHolding {
			t.Errorf("%g x %g in does not hold: %v", float64(c.length), float64(c.width), b.Findings)
		}
	}
}

// Southern pine values from before June 2013 are refused (AWC addenda).
func TestOldPineIsRefused(t *testing.T) {
	old := "h\n" + "southern-pine-2,Southern Pine,No.2,8,1200,650,175,565,1550,1600000,580000,0.55,no,M,memory\n"
	head := "key,species,grade,width,fb,ft,fv,fc_perp,fc,e,emin,g,size_factor,status,source\n"
	if _, err := ReadLumber("", head+old[2:]); err == nil {
		t.Error("old values were read")
	}
	for row, right := range map[string]bool{",925,525,175,565,1350,1400000,": true, ",925,525,175,565,1350,1500000,": false, ",1000,525,175,565,1350,1400000,": false} {
		if _, faults := ReadLumber("", head+"southern-pine-2,Southern Pine,No.2,8"+row+"510000,0.55,no,M,memory\n"); (len(faults) == 0) != right {
			t.Errorf("%s: %v", row, faults)
		}
	}
}

// Layout: 97 in sides and 52 in ends where the ends cap the sides (structure
// methods section 9).
func TestPieces(t *testing.T) {
	j := pine()
	j.Vessel = Vessel{Length: 97 * unit.Inch, Width: 49 * unit.Inch}
	j.Liner.Thickness, j.Holds, j.Raft = 6*unit.Mil, AutoHolds(), Raft{Gap: unit.Inch / 2, Thickness: 1.5 * unit.Inch, Draft: 4 * unit.Millimetre}
	b := must(t, j)
	want := map[string][2]float64{"side": {97, 2}, "end": {52, 2}, "corner block": {4.5, 4}, "floor tie": {59, 1}, "upright": {10.75, 2}}
	for _, p := range b.Pieces {
		if w, ok := want[p.Role.String()]; ok {
			near(t, p.Role.String(), p.Length.Inches(), w[0], 1e-6)
			near(t, p.Role.String()+" count", float64(p.Count), w[1], 1e-6)
			delete(want, p.Role.String())
		}
	}
	if len(want) > 0 {
		t.Errorf("missing pieces %v in %v", want, b.Pieces)
	}
}

// A bed of 96 by 48 in with 6 in of water on ground 1 in out of level: the ends
// feel 6.5 and 5.5 in of it, so 62.4 * 4 * (6.5^2 - 5.5^2)/144/2 = 10.4 lb push
// downhill, against a friction of 0.25 (IBC 1806.2, sand) under the boards.
func TestSlidingOnASlopeByHand(t *testing.T) {
	j := pine()
	j.LevelError = unit.Inch
	b := must(t, j)
	if got := b.Level.Unbalanced.PoundsForce(); math.Abs(got-10.4) > 0.03 {
		t.Errorf("%.2f lb push downhill, want 10.4", got)
	}
	if want := 10.4 / (0.25 * b.FrameMass.Weight().PoundsForce()); math.Abs(float64(b.Level.SlideUse)/want-1) > 0.005 {
		t.Errorf("%.3f of the friction, want %.3f", float64(b.Level.SlideUse), want)
	}
}

// Reach gives the greatest simple span of one board under water of the given
// depth: by strength (bending and shear) and by a long-term bulge of at most
// limit. The job gives species, courses and service; the board must be rated.
func (l Yard) Reach(j Job, s Size, depth, limit unit.Length) (strength, bulge unit.Length, ok bool) {
	j.SideBoard, j.Courses = s, max(1, j.Courses)
	r := newRow(j, l, Side)
	if !r.rated || !(depth > 0) || !(limit > 0) {
		return 0, 0, false
	}
	q := bandThrust(float64(depth), 0, float64(r.Section.Wide))
	area, modulus, inertia := r.Section.flat()
	byBending := math.Sqrt(8 * float64(r.allowed.Fb) * modulus / q)
	byShear := 2 * float64(r.allowed.Fv) * area / (1.5 * q)
	byBulge := math.Pow(384*float64(r.allowed.E)*inertia*float64(limit)/(5*wetCreep*q), 0.25)
	return unit.Length(min(byBending, byShear)), unit.Length(byBulge), true
}
