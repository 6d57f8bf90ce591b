package plan_test

import (
	"maps"
	"math"
	"slices"
	"strings"
	"testing"

	"raftwright/cost"
	"raftwright/finding"
	"raftwright/frame"
	"raftwright/plan"
	"raftwright/season"
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

// Every board that a plan buys is sold: a 1x2 is 8 ft long. What is cut from it fits.
func TestBoardsAreSold(t *testing.T) {
	sold := plan.DefaultBook().Yard
	for _, text := range []string{
		"bed: {length: 97 in, width: 49 in, depth: 6 in}\n",
		"bed: {length: 16 ft, width: 4 ft, depth: 8 in}\ncut: {trim: 2 in}\n",
		"bed: {length: 30 ft, width: 6 ft, depth: 10 in, count: 3}\nprices: {currency: MXN}\n",
	} {
		p := planned(t, text, plan.Frame|plan.Cut)
		strips := 0
		for _, j := range p.Boards.Jobs {
			if len(j.Plan.Missing) > 0 {
				t.Errorf("%s: %s pieces that no board gives: %v", text, j.Size, j.Plan.Missing)
			}
			for _, b := range j.Plan.Purchase {
				if !slices.Contains(sold.Lengths(j.Size), b.Length) {
					t.Errorf("%s: no %s of %v ft is sold", text, j.Size, b.Length.Feet())
				}
				if j.Size == "1x2" {
					strips += b.Buy
					if b.Length != 8*unit.Foot {
						t.Errorf("%s: a 1x2 of %v ft", text, b.Length.Feet())
					}
				}
			}
		}
		if strips == 0 {
			t.Errorf("%s: no strips", text)
		}
	}
}

// Without prices the least wood is bought: no plan wastes two fifths to save a board.
// The bed of 97 in by 49 in cuts from priced boards with this share to spare; without
// prices it may waste no more wood.
func TestUnpricedBoardsWasteLittle(t *testing.T) {
	bed := "bed: {length: 97 in, width: 49 in, depth: 6 in, side board: 2x8, end board: 2x8}\n"
	length := func(p plan.Plan) (sum unit.Length) {
		for _, j := range p.Boards.Jobs {
			for _, b := range j.Plan.Purchase {
				sum += b.Length * unit.Length(b.Buy)
			}
		}
		return sum
	}
	priced, not := planned(t, bed, plan.Frame|plan.Cut), planned(t, bed+"prices: {currency: MXN}\n", plan.Frame|plan.Cut)
	if length(not) > length(priced)+unit.Inch/64 || not.Boards.Price().Amount != 0 || not.Boards.Priced() {
		t.Errorf("%v ft without prices, %v ft with; waste %v and %v", length(not).Feet(), length(priced).Feet(), not.Boards.Waste(), priced.Boards.Waste())
	}
}

// A pot and a tub are asked for as they are sold.
func TestPotsAreSold(t *testing.T) {
	for text, want := range map[string]unit.Length{
		"bed: {length: 97 in, width: 49 in, depth: 6 in}\n":                                  2 * unit.Inch,
		"units: metric\nbed: {length: 97 in, width: 49 in, depth: 6 in}\n":                   2 * unit.Inch,
		"bed: {length: 97 in, width: 49 in, depth: 6 in}\nraft: {pot: {height: 2-1/2 in}}\n": 2.5 * unit.Inch,
	} {
		found := false
		p := planned(t, text, plan.Everything)
		for _, l := range p.Cost.Lines {
			if l.Name == "need.pot" {
				found = true
				if got := l.Args["Height"].(unit.Length); math.Abs(float64(got-want)) > 1e-9 || got != p.Raft.Job.Pot.Height {
					t.Errorf("%s: %v in, drawn %v in", text, got.Inches(), p.Raft.Job.Pot.Height.Inches())
				}
			}
		}
		if !found {
			t.Error("no pots")
		}
	}
}

// A tub without its size is one that stores sell, large enough for the heads that are wanted, and
// stands so in the list.
func TestTubWithoutItsSize(t *testing.T) {
	for text, long := range map[string]float64{"bed: {vessel: tub, support: deck}\n": 26, "bed: {vessel: tub, depth: 5 in}\n": 36, "bed: {vessel: tub, depth: 5 in}\nschedule: {heads per week: 3}\n": 96} {
		p := planned(t, text, plan.Everything)
		if got := p.Frame.Job.Vessel.Length.Inches(); math.Abs(got-long) > 1e-9 {
			t.Errorf("%s: %v in long", text, got)
		}
		if !slices.ContainsFunc(p.Assumptions, func(a finding.Assumption) bool { return a.ID == plan.AssumeTub }) {
			t.Errorf("%s: the size is not told", text)
		}
		if !slices.ContainsFunc(p.Cost.Lines, func(l cost.Line) bool {
			x, ok := l.Args["Long"].(unit.Length)
			return l.Name == "need.tank" && ok && math.Abs(x.Inches()-long) < 1e-9
		}) {
			t.Errorf("%s: not in the list", text)
		}
		if long == 26 && slices.ContainsFunc(p.Findings, func(f finding.Finding) bool { return f.ID == frame.FindDeckStop }) {
			t.Error("no deck bears the smallest tub")
		}
	}
}

// A tub or a tank whose size and wall are known stands in the list with that size: one of the next size sold holds, and weighs on a deck, something else.
func TestTheTubOfTheBriefIsListed(t *testing.T) {
	for text, want := range map[string][2]float64{
		"bed: {vessel: tub, length: 40 in, width: 20 in, wall height: 14 in, depth: 9 in}\n": {40, 14},
		"bed: {vessel: round, diameter: 70 in, wall height: 20 in, depth: 12 in}\n":          {70, 20},
	} {
		p := planned(t, text, plan.Everything)
		seen := 0
		for _, l := range p.Cost.Lines {
			switch l.Name {
			case "need.tank":
				seen++
				if a, b := l.Args["Long"].(unit.Length).Inches(), l.Args["High"].(unit.Length).Inches(); math.Abs(a-want[0]) > 1e-9 || math.Abs(b-want[1]) > 1e-9 {
					t.Errorf("%s: %.1f in by %.1f in high is listed", text, a, b)
				}
			}
		}
		if seen != 1 {
			t.Errorf("%s: %d lines", text, seen)
		}
	}
}

// What brings air to the roots is listed with its price, in no sum: a pump for each bed, the
// stones of the season and 10 ft of line to each (usual); with a pump there is nothing to list.
func TestAirIsListedInNoSum(t *testing.T) {
	const bed = "site: {latitude: 42, elevation: 250 m, " + months + "}\ncrop: {name: leaf lettuce}\nbed: {length: 97 in, width: 49 in, depth: 6 in, count: 2}\nraft: {spacing: 12 in}\n"
	p := planned(t, bed, plan.Everything)
	f := told(p, plan.FindAirBuy)
	if f == nil {
		t.Fatal("a still bed lists no air")
	}
	stones := 2 * p.Season.Breath.Fine.Stones
	if f.Args["Pumps"] != 2 || f.Args["Count"] != stones || f.Args["Feet"] != 10*stones || f.Args["Guess"] != true || f.Args["Gap"] != true {
		t.Errorf("%+v", f.Args)
	}
	if got, want := cost.Money(f.Args["Cost"].(cost.About)).Float(), 2*35+float64(stones)*(4+10*0.30); math.Abs(got-want) > 1 {
		t.Errorf("%v, want %v (prices.csv)", got, want)
	}
	for _, l := range p.Cost.Lines {
		if l.Name == "need.air_pump" {
			t.Error("a pump nobody asked for is in the sum")
		}
	}
	if f := told(planned(t, strings.Replace(bed, "{", "{pump: mains, ", 1), plan.Everything), plan.FindAirBuy); f != nil {
		t.Errorf("with a pump: %+v", f)
	}
}

// The cloth for the shade that the calendar hangs is listed with its price (prices.csv: $0.30 a square foot), in no sum: for
// every bed, half as much again as its water for the sides. Where nothing is hung there is nothing to list.
func TestShadeIsListedInNoSum(t *testing.T) {
	const bed = "site: {latitude: 34, elevation: 250 m, " + months + "}\ncrop: {name: leaf lettuce}\nbed: {length: 12 ft, width: 4 ft, depth: 8 in, count: 2}\n"
	p := planned(t, bed, plan.Everything)
	hung := unit.Fraction(0)
	for _, m := range p.Season.Months {
		if m.Planted {
			hung = max(hung, m.Shade)
		}
	}
	f := told(p, plan.FindShadeBuy)
	if hung == 0 || f == nil {
		t.Fatalf("%v is hung, and this is listed: %+v", hung, f)
	}
	feet := 2 * 1.5 * 12 * 4.0
	if got := f.Args["Area"].(unit.Area).SquareFeet(); f.Args["Shade"] != hung || math.Abs(got-feet) > 1 || f.Args["Guess"] != true {
		t.Errorf("%+v, %v ft2, want %v", f.Args, got, feet)
	}
	if got, want := cost.Money(f.Args["Cost"].(cost.About)).Float(), feet*0.30; math.Abs(got-want) > 1 {
		t.Errorf("%v, want %v", got, want)
	}
	if f := told(planned(t, strings.Replace(bed, "{latitude", "{cover: shade, latitude", 1), plan.Everything), plan.FindShadeBuy); f != nil {
		t.Errorf("under a roof of cloth: %+v", f)
	}
}

// Where months want shade of two strengths, each cloth that the calendar hangs is listed, and no other.
func TestEachClothIsListed(t *testing.T) {
	two := false
	for _, at := range []string{"Phoenix, AZ", "Atlanta, GA", "Denver, CO"} {
		p, faults := made(t, withPlaces(t), "site: {place: \""+at+"\"}\ncrop: {name: leaf lettuce}\nbed: {length: 12 ft, width: 4 ft, depth: 8 in}\n")
		if len(faults) > 0 || p.Season == nil {
			t.Fatalf("%s: %v", at, faults)
		}
		hung, listed := map[any]bool{}, map[any]bool{}
		for _, f := range p.Season.Findings {
			if f.ID == season.FindShade {
				hung[f.Args["Shade"]] = true
			}
		}
		for _, f := range p.Findings {
			if f.ID == plan.FindShadeBuy {
				listed[f.Args["Shade"]] = true
			}
		}
		if !maps.Equal(hung, listed) {
			t.Errorf("at %s: %v are hung, %v are listed", at, hung, listed)
		}
		two = two || len(hung) > 1
	}
	if !two {
		t.Error("nowhere are two strengths hung")
	}
}

// The scale on the list is as fine as the doses go by (a tenth of a gram where the brief has such a one), and strips for chlorine
// are bought only for water that may hold some: rain and a well without a test of it do not.
func TestToolsAreThoseOfTheSteps(t *testing.T) {
	const bed = "bed: {length: 97 in, width: 49 in, depth: 6 in}\n"
	for text, want := range map[string]struct {
		step   unit.Mass
		strips bool
	}{
		bed + "mix: {measure: scale 0.1 g}\nwater: {kind: rain}\n": {0.1 * unit.Gram, false},
		bed + "mix: {measure: scale 5 g}\nwater: {kind: soft}\n":   {5 * unit.Gram, true},
		bed: {unit.Gram, true},
		bed + "water: {ph: 7, alkalinity: 80 mg/L CaCO3, free chlorine: 1 mg/L}\n": {unit.Gram, true},
	} {
		p := planned(t, text, plan.Everything)
		step, strips := unit.Mass(0), false
		for _, l := range p.Cost.Lines {
			switch l.Name {
			case "need.scale":
				step = l.Args["Step"].(unit.Mass)
			case "need.strips":
				strips = true
			}
		}
		if _, cure := p.Cure(); step != want.step || strips != want.strips || strips != cure {
			t.Errorf("%s: a scale of %v g, strips %v, cure %v", text, step.Grams(), strips, cure)
		}
	}
}

// A jar of 100 g of vitamin C outlasts many crops: it is bought once, not anew with each. 2.5 mg for each mg of chlorine (the water
// room's figure) in 32 L is 0.2 g, which nobody weighs on a kitchen scale: the calendar leaves it to the page on filling.
func TestAJarOutlastsACrop(t *testing.T) {
	p := planned(t, "bed: {vessel: tub, length: 24 in, width: 16 in, depth: 5 in}\nwater: {kind: soft, chloramine: 2.5 mg/L}\nsite: {place: 33101}\ncrop: {name: basil}\n", plan.Everything)
	for _, l := range p.Cost.Lines {
		if l.Name == "need.ascorbic" && (!l.Once || l.Buy != 1 || l.Life > 1) {
			t.Errorf("%+v", l)
		}
	}
	c, ok := p.Cure()
	if !ok || c.Dose.Jug.Take <= 0 {
		t.Fatalf("%+v", c)
	}
	for _, task := range p.Tasks() {
		if task.Kind == season.TaskCure && task.Args["Dose"] != nil {
			t.Errorf("%v are weighed", task.Args["Dose"])
		}
	}
}
