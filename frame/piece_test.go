package frame

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"raftwright/unit"
)

func count(b Bed, r Role) (n int, length unit.Length) {
	for _, p := range b.Pieces {
		if p.Role == r {
			n += p.Count
			length += p.Length * unit.Length(p.Count)
		}
	}
	return n, length
}

// A 40 ft side is made of two 20 ft boards joined at a hold with a scab; its
// pieces add up to the side.
func TestLongSidesAreSplicedAtHolds(t *testing.T) {
	j := pine()
	j.Vessel.Length, j.Holds = 40*unit.Foot, HoldsASide(9)
	b := must(t, j)
	n, l := count(b, SideBoard)
	scabs, _ := count(b, ScabPiece)
	if n != 4 || scabs != 2 || math.Abs(float64(l-80*unit.Foot)) > 1e-9 || !has(b, FindSplice) || !has(b, FindLongBoard) {
		t.Errorf("%d pieces of %v ft, %d scabs", n, l.Feet(), scabs)
	}
	j.Longest = 16 * unit.Foot
	b = must(t, j)
	if n, _ := count(b, SideBoard); n != 6 || has(b, FindLongBoard) {
		t.Errorf("%d pieces of 16 ft boards", n)
	}
}

// Boards are joined where the yard's longest of their size ends: the sides by
// their own size, the caps of an end counted, ties and cleats by theirs.
func TestLongestBySize(t *testing.T) {
	j := pine()
	j.Vessel, j.Holds = Vessel{Length: 193 * unit.Inch, Width: 96 * unit.Inch}, AutoHolds()
	j.SideBoard, j.EndBoard = Size{2, 8}, Size{2, 10}
	j.Longest, j.LongestElse = 16*unit.Foot, 8*unit.Foot
	b := must(t, j)
	if n, _ := count(b, SideBoard); n != 4 {
		t.Errorf("%d pieces of side, 193 in from 192 in boards", n)
	}
	if n, l := count(b, EndBoard); n != 4 || math.Abs(l.Inches()-2*99) > 1e-6 {
		t.Errorf("%d pieces of end, 99 in from 96 in boards: %v", n, l.Inches())
	}
	for _, p := range b.Pieces {
		if p.Role == TiePiece && p.Length > 8*unit.Foot {
			t.Errorf("a tie of %v in from 96 in boards", p.Length.Inches())
		}
	}
	j.Longest = 20 * unit.Foot
	if n, _ := count(must(t, j), SideBoard); n != 2 {
		t.Errorf("%d pieces of side from 20 ft boards", n)
	}
}

// The tie of a wide end passes under the ties of the sides: its uprights reach
// deeper, and the lap bends by the longer arm.
func TestTiesCrossOneUnderTheOther(t *testing.T) {
	j := pine()
	j.Vessel, j.Holds, j.HoldBy = Vessel{Length: 20 * unit.Foot, Width: 8 * unit.Foot}, AutoHolds(), FloorTie
	b := must(t, j)
	deep := j.section(b.SideHold.Wood).Wide
	if b.End.Holds == 0 || b.EndHold.Under != deep || !has(b, FindTieUnder) {
		t.Fatalf("%d holds an end, %v deeper", b.End.Holds, b.EndHold.Under)
	}
	long := b.End.Height + deep + j.section(b.EndHold.Wood).Wide
	ok := false
	for _, p := range b.Pieces {
		ok = ok || p.Role == UprightPiece && p.Length == long
	}
	if !ok {
		t.Errorf("no upright is %v in long: %+v", long.Inches(), b.Pieces)
	}
	if b.SideHold.Under != 0 {
		t.Error("the sides' ties go under as well")
	}
	j.Vessel.Width = 4 * unit.Foot
	if b := must(t, j); has(b, FindTieUnder) {
		t.Error("no tie crosses another here")
	}
}

// Filling by hand: 123.45 gal are 25 buckets of 5 gal; rain leaves strength to
// the boards, least at the brim.
func TestFillAndRain(t *testing.T) {
	b := must(t, full())
	if b.Buckets != 25 || !has(b, FindFill) {
		t.Errorf("%d buckets", b.Buckets)
	}
	near(t, "minutes", float64(b.HoseTime/unit.Minute), 97*49*6/231.0/5, 1e-6)
	if u := b.Rain[0].Use; u <= b.Boards[0].StrengthUse() || u >= max(b.BrimBoards[0].StrengthUse(), b.BrimBoards[1].StrengthUse()) || b.Rain[1].Use < u {
		t.Errorf("%v after rain", u)
	}
}

// Whatever the bed, no piece of a buildable frame is longer than the longest
// board of its size, boards add up to the walls, and counts
// and lengths are positive.
func TestPiecesAddUp(t *testing.T) {
	l := DefaultYard()
	rapid.Check(t, func(t *rapid.T) {
		b, err := Design(anyJob(t), l)
		if err != nil || b.Job.Vessel.Shape != FrameShape {
			return
		}
		_, sides := count(b, SideBoard)
		_, ends := count(b, EndBoard)
		walls := 2 * unit.Length(b.Job.Courses)
		if math.Abs(float64(sides-walls*b.Side.Length)) > 1e-9 {
			t.Fatalf("sides %v, walls %v", sides, walls*b.Side.Length)
		}
		if math.Abs(float64(ends-walls*(b.End.Length+2*b.Side.Section.Thick))) > 1e-9 {
			t.Fatalf("ends %v", ends)
		}
		for _, p := range b.Pieces {
			if p.Count <= 0 || !(p.Length > 0) {
				t.Fatalf("%+v", p)
			}
			if p.Length > b.Job.longest(p.Size)+1e-9 && p.Role != StakePiece && b.Side.Segments != nil && b.End.Segments != nil {
				t.Fatalf("%+v is longer than a board", p)
			}
		}
		for _, f := range b.Fasteners {
			if f.Count <= 0 || f.Gauge == 0 || !(f.Length > 0) {
				t.Fatalf("%+v", f)
			}
		}
		if b.FrameMass <= 0 {
			t.Fatal("a frame without mass")
		}
	})
}

// Stacked boards get a cleat every 2 ft, ends included (common practice).
func TestCleats(t *testing.T) {
	j := pine()
	j.Courses, j.SideBoard, j.EndBoard, j.Depth, j.Holds = 2, Size{2, 8}, Size{2, 8}, 12*unit.Inch, AutoHolds()
	b := must(t, j)
	n, l := count(b, CleatPiece)
	if n != 2*(4+1)+2*(2+1) || math.Abs(float64(l)-float64(n)*14.5*0.0254) > 1e-9 || !has(b, FindCleats) {
		t.Errorf("%d cleats of %v in", n, l.Inches())
	}
}

// The usual frame by hand: boards 2 x 97 in of 2x8 and 2 x 52 in of 2x10 at 37.33
// lb/ft3 weigh 74.8 lb.
func TestFrameMassByHand(t *testing.T) {
	j := pine()
	j.Vessel = Vessel{Length: 97 * unit.Inch, Width: 49 * unit.Inch}
	b := must(t, j)
	volume := (2*97*1.5*7.25 + 2*52*1.5*9.25) / 1728
	near(t, "pounds", b.FrameMass.Pounds(), volume*37.33, 0.1)
	if e := b.Floor.Extra; math.Abs(e.PoundsPerSquareFoot()-4) > 1e-9 { // 2.3 psf of frame: the 4 psf rule stands
		t.Errorf("extra %v psf", e.PoundsPerSquareFoot())
	}
	j.ExtraMass = 100 * unit.Kilogram
	if e := must(t, j).Floor.Extra.PoundsPerSquareFoot(); e < 8 {
		t.Errorf("extra %v psf with 100 kg", e)
	}
}

// A long tie is lapped from boards that exist.
func TestLongTies(t *testing.T) {
	j := pine()
	j.Vessel, j.Holds, j.HoldBy = Vessel{Length: 40 * unit.Foot, Width: 8 * unit.Foot}, AutoHolds(), FloorTie
	b := must(t, j)
	for _, p := range b.Pieces {
		if p.Role == TiePiece && p.Length > b.Job.Longest {
			t.Errorf("a tie of %v ft", p.Length.Feet())
		}
	}
	if b.End.Holds != 1 {
		t.Errorf("%d holds an end", b.End.Holds)
	}
}

// Bulge volume by hand: 8 ft unheld at 6 in: 0.64 x 0.560 in x 96 in x 6 in x 2
// sides and 0.64 x 0.0274 x 48 x 6 x 2 ends = 423 in3.
func TestBulgeVolumeByHand(t *testing.T) {
	b := must(t, pine())
	side, end := b.Boards[0].DeflectionLong.Inches(), b.Boards[1].DeflectionLong.Inches()
	near(t, "gallons", b.BulgeVolume.Gallons(), 2*6*0.64*(side*96+end*48)/231, 1e-6)
}
