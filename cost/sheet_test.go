package cost

import (
	"math"
	"slices"
	"testing"

	"raftwright/finding"
	"raftwright/unit"
)

func ids(s Sheet) (out []finding.ID) {
	for _, f := range s.Findings {
		out = append(out, f.ID)
	}
	for _, a := range s.Assumptions {
		out = append(out, a.ID)
	}
	return out
}

// By hand: 12 ft of 2x8 at 1.15 a foot is 13.80; a fixed bag of 48.00; what the
// grower has is listed and not paid; power is 100 kWh at 0.17, a crop's and not on
// the first bill; 3 h to build at 15.00 are 45.00, 2 h a crop 30.00.
func TestSheetOfEverything(t *testing.T) {
	bag, pay := Cents(4800, "USD"), Cents(1500, "USD")
	s := Reckon(Job{
		Book: DefaultBook(), Currency: "USD", Heads: 40, Sold: 0.5, CropsPerYear: 2, LaborRate: &pay, LaborPerCrop: 2 * unit.Hour, LaborToBuild: 3 * unit.Hour,
		Needs: []Need{{Keys: []string{"2x8"}, Quantity: 12, Once: true, Unit: "foot"}, {Keys: []string{"fertiliser"}, Quantity: 1, Fixed: &bag},
			{Keys: []string{"bucket"}, Quantity: 2, Once: true, Have: true}},
		PerCropExtras: []Need{{Keys: []string{"electricity"}, Quantity: 100}},
	})
	for what, c := range map[string][2]int64{
		"first cost": {s.FirstCost.Cents(), 1380 + 4500}, "cash": {s.CashPerCrop.Cents(), 4800 + 1700 + 3000}, "labour": {s.Labor.Cents(), 3000},
		"a crop": {s.PerCrop.Cents(), 4800 + 1700 + 3000 + 138}, // the boards last 5 years, two crops each
		"a head": {s.PerHead.Cents(), 241}, "break-even": {s.BreakEven.Cents(), 482}, "what is there": {s.Lines[2].Price.Cents(), 0},
	} {
		if c[0] != c[1] {
			t.Errorf("%s: %d cents, want %d", what, c[0], c[1])
		}
	}
	if !math.IsInf(s.PaybackCrops, 1) || !slices.Contains(ids(s), AssumeLabor) || slices.Contains(ids(s), AssumeNoLabor) || s.HeadsSold != 20 {
		t.Error(s.PaybackCrops, ids(s))
	}
}

// A head that brings less than it costs is told, and is never earned back; one that
// brings more is not.
func TestLossIsTold(t *testing.T) {
	for cents, loss := range map[int64]bool{100: true, 199: true, 200: true, 201: false} { // 20 heads take 40.00
		head := Cents(cents, "USD")
		s := Reckon(Job{Book: DefaultBook().With(map[string]Price{"plug": {Amount: Cents(200, "USD")}}), Needs: []Need{need("plug", 20, false, 0)}, Heads: 20, Sold: 1, HeadPrice: &head})
		if got := slices.Contains(ids(s), FindLoss); got != loss || math.IsInf(s.PaybackCrops, 1) != loss {
			t.Errorf("%d cents: told %v, payback %v", cents, got, s.PaybackCrops)
		}
	}
}

// Prices in two currencies cannot be added up, and that is told.
func TestTwoCurrenciesAreTold(t *testing.T) {
	b := DefaultBook().With(map[string]Price{"tank": {Amount: Cents(100, "EUR")}}).With(map[string]Price{"plug": {Amount: Cents(100, "USD")}})
	s := Reckon(Job{Book: b, Needs: []Need{need("tank", 1, true, 1), need("plug", 1, false, 0)}, Heads: 1, Sold: 1})
	i := slices.IndexFunc(s.Findings, func(f finding.Finding) bool { return f.ID == FindCurrency })
	if i < 0 || s.Findings[i].Args["First"] != "EUR" || s.Findings[i].Args["Second"] != "USD" {
		t.Errorf("%v", s.Findings)
	}
}

// An empty list costs nothing, in the currency of the job.
func TestNothingCostsNothing(t *testing.T) {
	s := Reckon(Job{Book: DefaultBook(), Currency: "CAD"})
	if s.FirstCost != Cents(0, "CAD") || s.PerCrop != Cents(0, "CAD") || s.PerHead.Amount != 0 {
		t.Error(s.FirstCost, s.PerCrop, s.PerHead)
	}
}

// The lines of the working come out by their formulas, reckoned here again.
func TestWorkingOfTheSheet(t *testing.T) {
	head, pay := Cents(500, "USD"), Cents(1500, "USD")
	s := Reckon(Job{Book: DefaultBook(), Currency: "USD", Heads: 32, Sold: 0.9, CropsPerYear: 4, HeadPrice: &head, LaborRate: &pay, LaborPerCrop: unit.Hour, LaborToBuild: 2 * unit.Hour,
		Needs: []Need{need("stock tank", 1, true, 0), need("peat plug", 36, false, 0)}})
	steps := map[string]finding.Step{}
	for _, st := range s.Working() {
		steps[st.Symbol] = st
	}
	in := func(step, symbol string) float64 {
		i := slices.IndexFunc(steps[step].Inputs, func(x finding.Input) bool { return x.Symbol == symbol })
		if i < 0 {
			t.Fatalf("%s has no %s", step, symbol)
		}
		return steps[step].Inputs[i].Value
	}
	for symbol, want := range map[string]float64{
		"C1": in("C1", "O") + in("C1", "B"), "Cc": in("Cc", "U") + in("Cc", "L") + in("Cc", "S"), "Ch": in("Ch", "Cc") / in("Ch", "n"),
		"Pb": in("Pb", "Cc") / (in("Pb", "n") * in("Pb", "s")), "N": in("N", "C1") / (in("N", "n")*in("N", "s")*in("N", "P") - in("N", "M")),
	} {
		if got := steps[symbol].Value; math.Abs(got-want) > 1e-7*want || got <= 0 {
			t.Errorf("%s is %v, by its formula %v", symbol, got, want)
		}
	}
	if len(steps) != 5 || steps["C1"].Value != 120+30 {
		t.Errorf("%d steps, C1 %v", len(steps), steps["C1"].Value)
	}
}
