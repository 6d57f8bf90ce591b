package frame

import (
	"testing"

	"raftwright/unit"
)

// The search finds what trying every frame finds.
func TestSearchAgainstBruteForce(t *testing.T) {
	l, p := DefaultYard(), yard()
	for _, c := range []struct{ length, width, depth unit.Length }{{97, 49, 6}, {49, 25, 4}, {193, 49, 6}, {241, 97, 10}, {97, 49, 12}} {
		j := full()
		j.Liner.Thickness = 0
		j.Vessel, j.Depth = Vessel{Length: c.length * unit.Inch, Width: c.width * unit.Inch}, c.depth*unit.Inch
		best, n := 0.0, 0
		for _, side := range BoardSizes()[:5] {
			for _, end := range BoardSizes()[:5] {
				for courses := 1; courses <= 3; courses++ {
					for _, kind := range []HoldKind{FloorTie, Stake} {
						for holds := 0; holds <= 6; holds++ {
							k := j
							k.SideBoard, k.EndBoard, k.Courses, k.HoldBy, k.Holds = side, end, courses, kind, HoldsASide(holds)
							k.Longest = 16 * unit.Foot
							b, err := design(k, l)
							if err != nil || b.Brim < b.Job.Depth+b.Job.LevelError/2+unit.Inch || !b.strong() {
								continue
							}
							if cost, ok := p.Of(b); ok && (n == 0 || cost < best) {
								best, n = cost, n+1
							}
						}
					}
				}
			}
		}
		found, err := Search(j, l, p)
		if err != nil || len(found) == 0 {
			t.Fatal(err, c)
		}
		if n == 0 || found[0].Cost > best+1e-9 {
			t.Errorf("%v: search finds %.2f, trying all finds %.2f", c, found[0].Cost, best)
		}
		for i, o := range found {
			b, _ := Design(o.Job, l)
			if b.Verdict == NotHolding || !b.strong() || b.Side.Holds != o.Holds || i > 0 && o.Cost < found[i-1].Cost {
				t.Errorf("%v, place %d: %v with %d holds at %.2f", c, i, b.Verdict, b.Side.Holds, o.Cost)
			}
			if cost, _ := p.Of(b); cost != o.Cost {
				t.Errorf("cost %.2f, again %.2f", o.Cost, cost)
			}
		}
	}
}

// From 2 x 2 to 8 x 40 ft and 3 to 14 in of water there is a frame of every
// species in the table, and dear ties turn the search to stakes.
func TestTheWholeRangeCanBeBuilt(t *testing.T) {
	l, p := DefaultYard(), yard()
	for _, species := range l.Keys() {
		for _, length := range []unit.Length{24, 97, 241, 481} {
			for _, width := range []unit.Length{24, 49, 97} {
				for _, depth := range []unit.Length{3, 6, 14} {
					if testing.Short() && (depth == 6 || width == 49) {
						continue // the check builds each
					}
					j := full()
					j.Species, j.Incised = species, species != "southern-pine-2"
					j.Vessel, j.Depth = Vessel{Length: length * unit.Inch, Width: width * unit.Inch}, depth*unit.Inch
					found, err := Search(j, l, p)
					if b, _ := Design(append(found, Option{})[0].Job, l); err != nil || len(found) == 0 || b.Verdict == NotHolding {
						t.Errorf("%s %g x %g x %g in: %d found, %v", species, float64(length), float64(width), float64(depth), len(found), err)
					}
				}
			}
		}
	}
	j := full()
	p.Tie = 500
	if found, _ := Search(j, l, p); must(t, found[0].Job).SideHold.Kind != Stake {
		t.Error("a tie of 500 was bought")
	}
	p.Stake = 900
	if found, _ := Search(j, l, p); must(t, found[0].Job).SideHold.Kind != FloorTie {
		t.Error("a stake of 900 was bought")
	}
}

func TestSearchRefuses(t *testing.T) {
	l := DefaultYard()
	j := full()
	j.Vessel.Width = -1
	if _, err := Search(j, l, yard()); err == nil {
		t.Error("a negative width was searched")
	}
	if found, err := Search(full(), l, Prices{}); err != nil || len(found) != 0 {
		t.Errorf("without prices: %d, %v", len(found), err)
	}
	tub := Job{Vessel: Vessel{Shape: RoundShape, Diameter: 2}, Depth: 0.2}
	if found, err := Search(tub, l, yard()); err != nil || found != nil {
		t.Errorf("a tank was framed: %v, %v", found, err)
	}
}

// Remedies hold, are the least of their kind, and are named in the findings.
func TestRemedies(t *testing.T) {
	l := DefaultYard()
	weak := pine()
	weak.Vessel.Length = 16 * unit.Foot
	b := must(t, weak)
	list := b.Remedies(l)
	if len(list) == 0 || list[0].ID != FindRemedyHolds || list[0].Bed.Side.Holds != 3 || !has(b, FindRemedyHolds) {
		t.Fatalf("%d remedies", len(list))
	}
	for _, r := range list {
		if again := must(t, r.Job); again.Verdict == NotHolding || !again.strong() {
			t.Errorf("%s does not hold", r.ID)
		}
	}
	fewer := list[0].Job
	fewer.Holds = HoldsASide(2)
	if again := must(t, fewer); again.strong() {
		t.Error("one hold fewer would do")
	}
	low := pine()
	low.Depth, low.Holds = 9*unit.Inch, AutoHolds()
	b = must(t, low)
	if !has(b, FindRemedyBoard) || !has(b, FindRemedyDepth) {
		t.Errorf("water over the wall: %v", b.Findings)
	}
	for _, r := range b.Remedies(l) {
		if r.ID == FindRemedyBoard && r.Job.SideBoard != (Size{2, 12}) && r.Job.SideBoard != (Size{2, 10}) {
			t.Errorf("next board %v", r.Job.SideBoard)
		}
		if r.ID == FindRemedyDepth && r.Job.Depth != 6.25*unit.Inch {
			t.Errorf("depth %v", r.Job.Depth.Inches())
		}
	}
	slats := pine()
	slats.SideBoard, slats.EndBoard = Size{1, 8}, Size{1, 8}
	if b = must(t, slats); !has(b, FindRemedyBoard) {
		t.Errorf("slats: %v", b.Findings)
	}
	held := pine()
	held.Holds = AutoHolds()
	if b = must(t, held); b.Remedies(l) != nil {
		t.Error("a bed that holds was mended")
	}
}
