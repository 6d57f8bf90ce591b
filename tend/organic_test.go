package tend

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"raftwright/bed"
	"raftwright/brief"
	"raftwright/finding"
	"raftwright/plan"
)

// fishText is an invented bed of 119 gal that is given fish.
const fishText = `
raftwright: 1
title: An invented bed
site: {kind: home, children: none, latitude: 34, cover: greenhouse}
bed: {length: 8 ft, width: 4 ft, depth: 6 in}
water: {ph: 7.4, alkalinity: 80 mg/L CaCO3, calcium: 25 mg/L, magnesium: 6 mg/L}
shelf:
  - {name: fish emulsion, label: 5-1-1, density: 1.15 g/mL}
  - Epsom salt
SALTS
crop: {name: lettuce}
log:
  - {at: 2027-05-01T08:00, filled: FILL, planted: {heads: 32, age: 21 d}}
  - {at: 2027-05-05T08:00, depth: 5-7/8 in, ec: 1.6 mS/cm, ph: 6.5, WHAT}
  - {at: 2027-05-09T08:00, depth: 5-7/8 in, ec: 1.6 mS/cm, ph: 6.5, LATE}
`

const usualSalts = "  - hydroponic base powder 5-12-26\n  - calcium nitrate\n"

// fished tends that bed at a moment.
func fished(t *testing.T, salts, fill, what, late string, now time.Time) (*Tending, plan.Plan) {
	t.Helper()
	text := strings.NewReplacer("SALTS\n", salts, "FILL", fill, "WHAT", what, "LATE", late).Replace(fishText)
	b, faults := brief.Parse("", []byte(text))
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	p, faults := plan.Make(b, plan.DefaultBook(), nil, plan.Everything)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	log, _ := bed.FromBrief(b)
	got, faults := Make(Job{Plan: p, Log: log, Now: now})
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	return got, p
}

func ninth(hours float64) time.Time {
	return time.Date(2027, 5, 9, 8, 0, 0, 0, time.UTC).Add(time.Duration(hours * float64(time.Hour)))
}

// A dose of fish takes oxygen by its protein: C16H24O5N4 + 16.5 O2 gives 16 CO2, 4 NH3 and 6 H2O (counted by hand: 33 O2-atoms and 5 make 38, as 32 and 6 do), 9.4 mg for
// each mg of nitrogen. Half of it is gone in a week.
func TestWhatRots(t *testing.T) {
	got, _ := fished(t, usualSalts, "yes", "added: {fish emulsion: 200 mL}", "", ninth(72))
	r, litres := got.estimate.rotting(), got.State.Volume.Value
	nitrogen := 200 * 1.15 * 0.05 * 1000 / litres
	if want := nitrogen * 9.43 / 2; math.Abs(r.nitrogen/nitrogen-1) > 0.02 || math.Abs(r.oxygen/want-1) > 0.02 || r.product != "fish emulsion" {
		t.Errorf("%+v, and %.1f mg/L of nitrogen went in: %.0f mg/L of oxygen after a week", r, nitrogen, want)
	}
	var x finding.Finding
	for _, f := range got.Findings {
		if f.ID == FindOrganic {
			x = f
		}
	}
	if h := got.State.Holds[Ammonium]; x.ID == "" || h.High < nitrogen || h.Low > 10 {
		t.Errorf("told %v, ammonium %v", x.Args, h)
	}
	// half of the bed dumped leaves half of it, a bed filled anew nothing
	half, _ := fished(t, usualSalts, "yes", "added: {fish emulsion: 200 mL}", fmt.Sprintf("dumped: %.1f L, added water: %.1f L", litres/2, litres/2), ninth(72))
	if x := half.estimate.rotting().nitrogen; math.Abs(x/nitrogen-0.5) > 0.05 {
		t.Errorf("with half of it dumped %.1f of %.1f mg/L", x, nitrogen)
	}
	if anew, _ := fished(t, usualSalts, "yes", "added: {fish emulsion: 200 mL}", "filled: yes", ninth(72)); anew.estimate.rotting().nitrogen != 0 {
		t.Error("filled anew, and fish is left in it")
	}
}

// Three lines of a bed with fish in it: what takes less oxygen than water holds is not told; more is; from what takes more than comes in it is emptied, and filled
// with the planned mix. By the reference methods 0.4 of 9.1 mg/L come in a day, and of what rots a tenth goes in a day: 37 mg/L.
func TestBedWithFish(t *testing.T) {
	litres := 450.0
	for _, c := range []struct {
		oxygen       float64
		told, refill bool
	}{{8.3, false, false}, {10, true, false}, {33, true, false}, {41, true, true}, {400, true, true}} {
		mL := c.oxygen / 9.43 * litres / 1000 / 1.15 / 0.05
		got, _ := fished(t, usualSalts, "yes", "roots: white", fmt.Sprintf("added: {fish emulsion: %.2f mL}", mL), ninth(0.5))
		told := slices.ContainsFunc(got.Findings, func(f finding.Finding) bool { return f.ID == FindOrganic })
		a, refill := got.does(DoRefill)
		if told != c.told || refill != c.refill || refill && (a.Why != WhyRotting || a.Strength != 1) {
			t.Errorf("at %.0f mg/L: told %v, %+v", c.oxygen, told, got.Actions)
		}
		neverDosed(t, got)
	}
}

func neverDosed(t *testing.T, got *Tending) {
	t.Helper()
	for _, a := range got.Actions {
		if a.Do == DoFeed && strings.Contains(a.Product, "fish") {
			t.Errorf("fish is dosed: %+v", a)
		}
	}
	c := got.Card(Span{1.2, 1.8}, Span{5.5, 6.5})
	for _, r := range c.EC {
		for _, a := range r.Actions {
			if strings.Contains(a.Product, "fish") {
				t.Errorf("the card doses fish: %+v", a)
			}
		}
	}
}

// Where the shelf has nothing else, the bed is filled with plain water, and what to buy stands beside it, with the amounts of the plan; with doses of fish
// in the brief they are to be taken out. What was in the planned mix was in the bed.
func TestBedWithNothingButFish(t *testing.T) {
	got, p := fished(t, "", "water", "added: {fish emulsion: 1 cup}", "", ninth(1))
	a, refill := got.does(DoRefill)
	buy, buys := got.does(DoCall)
	if !refill || a.Strength != 0 || !buys || buy.Why != WhyBuyFeed || buy.Args["First"] != p.Mix.Buy.Goods[0].Product || got.DumpReason != "" {
		t.Errorf("%+v, to be emptied for %q", got.Actions, got.DumpReason)
	}
	if done := Done(got.Actions, false); len(done) != 1 || done[0].Text != "water" {
		t.Errorf("it is logged as %v", done)
	}
	neverDosed(t, got)
	got, _ = fished(t, "mix: {doses: {fish emulsion: 2 mL/L, Epsom salt: 0.3 g/L}}\n", "yes", "roots: cream", "", ninth(1))
	a, refill = got.does(DoRefill)
	if call, calls := got.does(DoCall); !refill || a.Strength != 0 || !calls || call.Why != WhyNewMix {
		t.Errorf("with doses of it: %+v", got.Actions)
	}
	if n := got.estimate.rotting().nitrogen; math.Abs(n/115-1) > 0.03 { // 2 mL/L of 1.15 g/mL, a twentieth of it nitrogen
		t.Errorf("of the planned mix %.0f mg/L of nitrogen is organic", n)
	}
	neverDosed(t, got)
}

// What stands on no shelf is told at its place; what is organic by its name counts as such.
func TestUnlistedProducts(t *testing.T) {
	got, _ := fished(t, usualSalts, "yes", "added: {kelp juice: 1 cup, magic powder: 1 tsp, potassium bicarbonate: 5 g}", "", ninth(1))
	var told []string
	for _, f := range got.Findings {
		if f.ID == FindUnlisted {
			told = append(told, fmt.Sprint(f.Args["Product"], f.Args["Lived"], f.Args["Where"]))
		}
	}
	if want := []string{"kelp juicetruelog[1].added.kelp juice", "magic powderfalselog[1].added.magic powder"}; !slices.Equal(told, want) {
		t.Errorf("told %q", told)
	}
	if r := got.estimate.rotting(); r.product != "kelp juice" || r.nitrogen != 0 || r.oxygen < 50 {
		t.Errorf("%+v", r)
	}
}
