package plan_test

import (
	"testing"

	"raftwright/frame"
	"raftwright/plan"
	"raftwright/unit"
)

// The cheapest liner that covers is bought: of a bed for one common sheet no piece twice
// as wide where a smaller one is sold, and no roll of 100 ft. What costs less to begin
// with is named with its price. Prices by hand: 10 x 13 ft at 0.75 a square foot over
// the 5 years that boards last is 19.50 a year, 20 x 25 ft of film at 0.20 over 4.5
// years 22.22.
func TestCheapestLiner(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"bed: {length: 97 in, width: 49 in, depth: 6 in}\n", "1 of 10 x 13 ft"},
		{"bed: {length: 97 in, width: 49 in, depth: 6 in, liner: 6 mil}\n", "1 of 10 x 13 ft"},
		{"bed: {length: 97 in, width: 49 in, depth: 6 in, liner: 0.2 mm}\nprices: {currency: MXN, rate: 18 MXN per USD on 2027-01-01}\n", "1 of 10 x 13 ft"},
		{"bed: {length: 97 in, width: 49 in, depth: 6 in}\nprices: {currency: MXN}\n", "1 of 10 x 13 ft"},
		{"bed: {length: 97 in, width: 49 in, depth: 6 in, count: 6}\n", "1 of 20 x 25 ft"},
		{"bed: {length: 97 in, width: 49 in, depth: 6 in}\nprices: {currency: USD, items: {pond liner: 2 USD/square foot, greenhouse film: 0.1 USD/square foot}}\n", "1 of 20 x 25 ft"},
	} {
		p := planned(t, c.text, plan.Frame)
		n := p.Frame.Liner
		if n.Buy() != c.want {
			t.Errorf("%s: %s, want %s", c.text, n.Buy(), c.want)
		}
		for _, o := range n.Options {
			if o.Sheet.Length > 26*unit.Foot && n.Options[0] == o {
				t.Errorf("%s: a roll for one bed", c.text)
			}
		}
		cheap, ok := n.Cheaper()
		if f := told(p, plan.FindLinerCheaper); ok && p.Currency() == "USD" && (f == nil || f.Args["Cost"].(interface{ Float() float64 }).Float() != cheap.Cost) {
			t.Errorf("%s: the cheaper liner is not told: %v", c.text, f)
		}
	}
	n := planned(t, "bed: {length: 97 in, width: 49 in, depth: 6 in}\n", plan.Frame).Frame.Liner
	if best := n.Options[0]; best.Cost != 97.5 || best.Sheet.Material != "pond_sheet" || best.Sheet.Life() < 5 {
		t.Errorf("%+v", best)
	}
	if cheap, ok := n.Cheaper(); !ok || cheap.Cost != 30 || cheap.Sheet.Material != "construction_film" {
		t.Errorf("%+v", cheap)
	}
	if _, ok := (frame.Liner{}).Cheaper(); ok {
		t.Error("no liner has a cheaper one")
	}
}
