package plan_test

import (
	"fmt"
	"strings"
	"testing"

	"raftwright/brief"
	"raftwright/finding"
	"raftwright/frame"
	"raftwright/plan"
	"raftwright/unit"
)

// built plans frame, raft and boards of a brief without faults.
func built(t *testing.T, text string) plan.Plan {
	t.Helper()
	b, faults := brief.Parse("bed.yaml", []byte("raftwright: 1\n"+text))
	if len(faults) > 0 {
		t.Fatalf("%s: %v", text, faults)
	}
	p, faults := plan.Make(b, plan.DefaultBook(), plan.Files{}, plan.Frame|plan.Raft|plan.Cut)
	if len(faults) > 0 {
		t.Fatalf("%s: %v", text, faults)
	}
	return p
}

func told(p plan.Plan, id finding.ID) *finding.Finding {
	for i, f := range p.Findings {
		if f.ID == id {
			return &p.Findings[i]
		}
	}
	return nil
}

// From 2 x 2 to 8 x 40 ft and 3 to 14 in of water the plan finds a frame that
// holds, every piece of it comes from boards that the yard sells, and the cost of
// the cutting is no lower than its bound.
func TestEverySensibleRectangleHoldsAndCanBeCut(t *testing.T) {
	for k, lumber := range []string{"southern-pine-2", "northern-white-cedar-2"} {
		for i, length := range []int{24, 49, 97, 120, 193, 241, 480} {
			if testing.Short() && i%2 != k {
				continue // the check makes each of each
			}
			for _, width := range []int{24, 49, 96} {
				for _, depth := range []int{3, 7, 11, 14} {
					if width > length || testing.Short() && depth != 3 && depth != 14 { // the check makes each
						continue
					}
					text := fmt.Sprintf("bed: {length: %d in, width: %d in, depth: %d in, lumber: %s}", length, width, depth, lumber)
					p := built(t, text)
					if p.Worst() == finding.Stop || p.Frame.Verdict == frame.NotHolding || p.Boards == nil {
						t.Errorf("%s: %v", text, p.Findings)
						continue
					}
					if len(p.FrameChoices) == 0 || told(p, plan.FindFrameCost) == nil {
						t.Errorf("%s: no costs", text)
					}
					for _, j := range p.Boards.Jobs {
						if len(j.Plan.Missing) > 0 || j.Plan.LowerBound > j.Plan.Price {
							t.Errorf("%s: %s misses %v, bound %d of %d", text, j.Size, j.Plan.Missing, j.Plan.LowerBound, j.Plan.Price)
						}
					}
				}
			}
		}
	}
}

// The boards that the brief names for sale bound the sides: 12 ft sides from 8 ft
// boards are joined at a hold.
func TestOwnStockJoinsTheSides(t *testing.T) {
	p := built(t, "bed: {length: 12 ft, width: 4 ft, depth: 6 in, side board: 2x8}\ncut: {trim: 1 in, stock: [{length: 8 ft, price: 9 USD}]}")
	if told(p, frame.FindSplice) == nil || p.Worst() == finding.Stop {
		t.Errorf("%v", p.Findings)
	}
	for _, piece := range p.Frame.Pieces {
		if piece.Role == frame.SideBoard && piece.Length > 95*unit.Inch {
			t.Errorf("a side of %v in from 95 in", piece.Length.Inches())
		}
	}
}

// What does not hold is told what would, and what that costs; where no board can
// help, no frame is offered.
func TestRemediesArePriced(t *testing.T) {
	p := built(t, "bed: {length: 16 ft, width: 4 ft, depth: 6 in, side board: 2x8, holds: none}")
	if told(p, frame.FindRemedyHolds) == nil || told(p, plan.FindRemedyAdds) == nil {
		t.Errorf("%v", p.Findings)
	}
	p = built(t, "bed: {length: 97 in, width: 49 in, depth: 6 in}")
	if f := told(p, plan.FindFrameOther); f == nil {
		t.Error("no runner-up")
	}
	p = built(t, "bed: {length: 97 in, width: 49 in, depth: 6 in, support: deck}")
	if told(p, frame.FindDeckStop) == nil || told(p, plan.FindFrameOther) != nil || told(p, plan.FindFrameCost) != nil || len(p.FrameChoices) > 0 {
		t.Errorf("%v", p.Findings)
	}
}

// Boards without a price are named, and count neither in the price nor in its bound.
func TestUnpricedBoards(t *testing.T) {
	p := built(t, "bed: {length: 97 in, width: 49 in, depth: 6 in, side board: 1x8}")
	if told(p, plan.FindUnpriced) == nil || !p.Boards.Priced() {
		t.Errorf("%v", p.Findings)
	}
	p = built(t, "bed: {length: 97 in, width: 49 in, depth: 6 in, side board: 1x8}\nprices: {currency: USD, on: 2027-03-01, items: {1x8: 1.10 USD/ft}}")
	if told(p, plan.FindUnpriced) != nil {
		t.Error("1x8 has a price of the brief's own")
	}
}

// Of a board that the store has none of, none is bought; no count is no limit.
func TestBoardsOutOfStock(t *testing.T) {
	const cut = `cut: {kerf: 0 in, stock: [{length: 96 in, price: 5 USD, count: 0}, {length: 120 in, price: 9 USD}],
  pieces: [{name: a, length: 90 in, count: 3}]}`
	b, faults := brief.Parse("bed.yaml", []byte("raftwright: 1\n"+cut))
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	p, faults := plan.Make(b, plan.DefaultBook(), plan.Files{}, plan.Cut)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	for _, b := range p.Boards.Jobs[0].Plan.Boards {
		if b.Stock != 120*unit.Inch {
			t.Errorf("a board of %v in is cut that the store has not", b.Stock.Inches())
		}
	}
}

// Every fault of a cutting job is one line with its place; a store without boards is one.
func TestCutFaultsAreOneALine(t *testing.T) {
	for text, want := range map[string]int{
		"cut: {stock: [{length: 8 ft}], pieces: [{name: a, length: 20 in, count: 0}, {name: b, length: 21 in, count: 0}]}": 2,
		"cut: {stock: [{length: 8 ft, count: 0}], pieces: [{name: a, length: 20 in}]}":                                     1,
	} {
		b, faults := brief.Parse("bed.yaml", []byte("raftwright: 1\n"+text))
		if len(faults) > 0 {
			t.Fatal(faults)
		}
		_, faults = plan.Make(b, plan.DefaultBook(), plan.Files{}, plan.Cut)
		if len(faults) != want {
			t.Errorf("%d faults, want %d: %v", len(faults), want, faults)
		}
		for _, f := range faults {
			if strings.Contains(f.Error(), "\n") || !strings.HasPrefix(f.Error(), "bed.yaml:2:") {
				t.Errorf("fault %q", f.Error())
			}
		}
	}
}

// A bed is filled up again once it has lost an inch, which keeps the pots wet, a very
// shallow one at half of its depth (common practice, no source).
func TestTopUpAt(t *testing.T) {
	for depth, want := range map[unit.Length]unit.Length{6 * unit.Inch: 5 * unit.Inch, 1.5 * unit.Inch: 0.75 * unit.Inch} {
		if got := (plan.Plan{Frame: &frame.Bed{Job: frame.Job{Depth: depth}}}).TopUpAt(); got-want > 1e-9 || want-got > 1e-9 {
			t.Errorf("%v in deep: filled up at %v in", depth.Inches(), got.Inches())
		}
	}
}
