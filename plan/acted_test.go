package plan

import (
	"math"
	"strings"
	"testing"

	"raftwright/brief"
	"raftwright/finding"
	"raftwright/unit"
)

// The figures of a plan that a person acts on, each by a sum of one's own.

// Of 8 ft boards at 9 dollars two pieces of 45 in come: three boards for five pieces, one
// piece's length and the rest of two boards are lost (no kerf, no trim).
func TestBoardsAddUp(t *testing.T) {
	p := made(t, Cut, "cut: {kerf: 0 in, trim: 0 in, stock: [{length: 8 ft, price: 9 USD}], pieces: [{name: side, length: 45 in, count: 5}]}\n")
	b := p.Boards
	if b.Bought() != 3 || !b.Optimal() || b.Price().Float() != 27 || b.Price().Currency != "USD" || !b.Priced() {
		t.Errorf("%d boards for %v", b.Bought(), b.Price())
	}
	if want := 1 - 5*45.0/(3*96); math.Abs(float64(b.Waste())-want) > 1e-9 {
		t.Errorf("waste %v, not %v", b.Waste(), want)
	}
	if none := (Boards{}); none.Optimal() || none.Waste() != 0 || none.Priced() || none.Bought() != 0 {
		t.Error("no boards are proven, priced or wasted")
	}
}

// Water in an inch: 97 by 49 in by 1 in is 4,753 cubic inches, and 231 are a gallon.
// Top up before an inch is gone, in a bed under two inches before half is.
func TestInchesOfWater(t *testing.T) {
	p := made(t, Frame, "bed: {length: 97 in, width: 49 in, depth: 6 in}\n")
	if got, want := p.PerInch().Gallons(), 97*49/231.0; math.Abs(got-want) > 1e-6 {
		t.Errorf("%v gal in an inch, not %v", got, want)
	}
	if math.Abs(p.Depth().Inches()-6) > 1e-9 || math.Abs(p.TopUpAt().Inches()-5) > 1e-9 {
		t.Errorf("%v deep, top up at %v", p.Depth(), p.TopUpAt())
	}
	var none Plan
	if none.PerInch() != 0 || none.Depth() != 0 || none.PrintedAcid() != nil {
		t.Error("a plan without a bed has water")
	}
}

// The bed drinks most in its thirstiest month; half of the depth is gone after so many
// days as its fall goes into it.
func TestThirst(t *testing.T) {
	p := made(t, Everything, "bed: {length: 97 in, width: 49 in, depth: 6 in}\nsite: {latitude: 42, months: ["+
		strings.Repeat("{tmax: 15 C, tmin: 5 C}, ", 6)+"{tmax: 33 C, tmin: 20 C}, "+strings.Repeat("{tmax: 15 C, tmin: 5 C}, ", 5)+"]}\n")
	daily, drop, days, ok := p.Thirst()
	if july := p.Season.Months[6].Water; !ok || daily != july.Full || drop != july.Drop || days != int(3*unit.Inch/drop) {
		t.Errorf("%v a day, %v, %d days; July %+v", daily, drop, days, july)
	}
	if _, _, _, ok := made(t, Everything, "bed: {}\n").Thirst(); ok {
		t.Error("a bed without a season drinks")
	}
}

// 467 L at 150 mg/L hold 70 g of nitrogen, and a pound of it is for 1000 square feet of lawn.
func TestSpentSolution(t *testing.T) {
	p := made(t, Everything, "bed: {length: 97 in, width: 49 in, depth: 6 in}\n")
	n, lawn, ok := p.Spent()
	grams := p.Mix.Achieved[0].MilligramsPerLitre() * p.Frame.Volume.Litres() / 1000
	if !ok || math.Abs(n.Grams()-grams) > 1e-9 || math.Abs(lawn.SquareFeet()-grams/453.59237*1000) > 1e-6 {
		t.Errorf("%v on %v", n, lawn)
	}
	if _, _, ok := made(t, Frame, "bed: {}\n").Spent(); ok {
		t.Error("without a mix there is nitrogen")
	}
}

// Lamps: a month without sun enough is lit, and it is said where they bring too little;
// where every month with a crop is bright they stay off.
func TestLampsAreTold(t *testing.T) {
	months := func(solar string) string {
		return "months: [" + strings.Repeat("{tmax: 22 C, tmin: 14 C, solar: "+solar+" MJ/m2}, ", 12) + "]"
	}
	for _, c := range []struct {
		lamp, solar string
		want        []finding.ID
	}{
		{"level: 40 umol/m2/s, hours: 6 h", "2", []finding.ID{FindLamps, FindDimLamps}},
		{"level: 400 umol/m2/s, hours: 16 h", "5", []finding.ID{FindLamps}},
		{"level: 200 umol/m2/s", "14", []finding.ID{FindSunless}},
	} {
		p := made(t, Everything, "bed: {length: 97 in, width: 49 in, depth: 6 in}\nsite: {latitude: 10, lamp: {"+c.lamp+"}, "+months(c.solar)+"}\n")
		for _, id := range []finding.ID{FindLamps, FindDimLamps, FindSunless} {
			wanted := false
			for _, w := range c.want {
				wanted = wanted || w == id
			}
			if has(p, id) != wanted {
				t.Errorf("%s under %s MJ/m2: %s is told: %v", c.lamp, c.solar, id, has(p, id))
			}
		}
	}
}

// A budget is for one fill of one bed: without a bed, or of nothing, it is a fault.
func TestBudgetNeedsABed(t *testing.T) {
	const mixed = pure + tradeShelf + "target: {recipe: lettuce}\n"
	for text, want := range map[string]finding.ID{
		mixed + "mix: {budget: 5 USD}\n":                        FaultBudgetBed,
		mixed + "bed: {}\nmix: {budget: 0 USD}\n":               FaultBudgetNone,
		mixed + "bed: {}\nmix: {budget: 5 USD}\n":               "",
		mixed + "bed: {length: 97 in, width: 49 in}\nmix: {}\n": "",
	} {
		b, faults := brief.Parse("bed.yaml", []byte(text))
		if len(faults) == 0 {
			_, faults = Make(b, DefaultBook(), Files{}, Mix)
		}
		if (len(faults) > 0) != (want != "") || want != "" && faults[0].ID != want {
			t.Errorf("%v, not %q", faults, want)
		}
	}
}

// A market sells its heads, a school with a price of a head too; a home saves them.
func TestWhoSells(t *testing.T) {
	for text, want := range map[string]bool{
		"site: {kind: market}\n": true, "site: {kind: home}\nprices: {head: 2 USD}\n": false, "site: {kind: school}\nprices: {head: 2 USD}\n": true, "site: {kind: school}\n": false,
	} {
		if got := made(t, Frame, "bed: {}\n"+text).Sells(); got != want {
			t.Errorf("%q sells: %v", text, got)
		}
	}
}
