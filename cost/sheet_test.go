package cost

import (
	"math"
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"

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

// By hand: 12 ft of 2x8 at 1.15 a foot is 13.80; a fixed bag of 48.00; power is 100 kWh at 0.18, a crop's and not on
// the first bill; 3 h to build at 15.00 are 45.00, 2 h a crop 30.00.
func TestSheetOfEverything(t *testing.T) {
	bag, pay := Cents(4800, "USD"), Cents(1500, "USD")
	s := Reckon(Job{
		Book: DefaultBook(), Currency: "USD", Heads: 40, Sold: 0.5, CropsPerYear: 2, LaborRate: &pay, LaborPerCrop: 2 * unit.Hour, LaborToBuild: 3 * unit.Hour,
		Needs:         []Need{{Keys: []string{"2x8"}, Quantity: 12, Once: true, Unit: "foot"}, {Keys: []string{"fertiliser"}, Quantity: 1, Fixed: &bag}},
		PerCropExtras: []Need{{Keys: []string{"electricity"}, Quantity: 100}},
	})
	for what, c := range map[string][2]int64{
		"first cost": {s.FirstCost.Cents(), 1380 + 4500}, "cash": {s.CashPerCrop.Cents(), 4800 + 1800 + 3000}, "labour": {s.Labor.Cents(), 3000},
		"a crop": {s.PerCrop.Cents(), 4800 + 1800 + 3000 + 138 + 450}, // boards and the work on them last 5 years, two crops each
		"a head": {s.PerHead.Cents(), 255}, "break-even": {s.BreakEven.Cents(), 509},
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

// Guesses of another currency are turned by the rate, either way round, or left out and
// told: 1 kg of a guessed 6.00 USD at 17.1 MXN per USD is 102.60 MXN.
func TestGuessesAreTurnedOrLeftOut(t *testing.T) {
	needs := []Need{need("plug", 3, false, 0), need("fertiliser", 1, false, 0)}
	own := map[string]Price{"plug": {Amount: Cents(200, "MXN")}}
	for _, c := range []struct {
		rate     Rate
		cents    int64
		unpriced int
	}{
		{Rate{Paid: Money{17_10000000, "MXN"}, For: "USD"}, 600 + 10260, 0},
		{Rate{Paid: Money{5000000, "USD"}, For: "MXN"}, 600 + 12000, 0}, // 0.05 USD for a peso
		{Rate{Paid: Money{17_10000000, "MXN"}, For: "EUR"}, 600, 1},
		{Rate{}, 600, 1},
	} {
		price := Cents(5000, "MXN")
		s := Reckon(Job{Book: DefaultBook().In("MXN", c.rate).With(own), Currency: "MXN", Rate: c.rate, Needs: needs, Heads: 20, Sold: 1, HeadPrice: &price})
		if s.CashPerCrop != Cents(c.cents, "MXN") || s.Unpriced != c.unpriced {
			t.Errorf("%v: %v, %d without a price", c.rate, s.CashPerCrop, s.Unpriced)
		}
		if slices.Contains(ids(s), FindNoRate) != (c.unpriced > 0) || slices.Contains(ids(s), AssumeRate) != (c.unpriced == 0) || math.IsInf(s.PaybackCrops, 1) != (c.unpriced > 0) {
			t.Errorf("%v: %v, payback %v", c.rate, ids(s), s.PaybackCrops)
		}
		for _, l := range s.Lines {
			if l.Price.Currency != "MXN" || l.UnitPrice.Currency != "MXN" || l.PerCrop.Currency != "MXN" {
				t.Errorf("%v: a line in %+v", c.rate, l)
			}
		}
	}
}

// A rate older than half a year is told.
func TestOldRateIsTold(t *testing.T) {
	day := time.Date(2027, 9, 1, 0, 0, 0, 0, time.UTC)
	for days, old := range map[int]bool{179: false, 181: true} {
		r := Rate{Paid: Money{17_10000000, "MXN"}, For: "USD", On: day.AddDate(0, 0, -days)}
		s := Reckon(Job{Book: DefaultBook().In("MXN", r), Currency: "MXN", Rate: r, Day: day, Needs: []Need{need("plug", 1, false, 0)}, Heads: 1, Sold: 1})
		if slices.Contains(ids(s), FindOldRate) != old {
			t.Errorf("%d days: %v", days, ids(s))
		}
	}
}

// Labor stands among the rows, and every sum is that of its rows to the last part of a
// cent, whatever the list, the currency and the hours.
func TestRowsAddUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var needs []Need
		for range rapid.IntRange(0, 12).Draw(t, "lines") {
			n := need(rapid.SampledFrom(DefaultBook().Names()).Draw(t, "key"), rapid.Float64Range(0, 500).Draw(t, "q"), rapid.Bool().Draw(t, "once"), 0)
			n.Pack = float64(rapid.IntRange(0, 7).Draw(t, "pack"))
			needs = append(needs, n)
		}
		rate := Rate{Paid: Money{rapid.Int64Range(1, 1e12).Draw(t, "rate"), "MXN"}, For: "USD"}
		pay := Money{rapid.Int64Range(0, 1e11).Draw(t, "pay"), "MXN"}
		hours := unit.Duration(rapid.Float64Range(0, 1e6).Draw(t, "seconds"))
		s := Reckon(Job{Needs: needs, PerCropExtras: needs, Book: DefaultBook().In("MXN", rate), Currency: "MXN", Heads: 32, Sold: 0.9, CropsPerYear: 5, LaborRate: &pay, LaborToBuild: hours, LaborPerCrop: hours})
		var first, cash, crop int64
		work := 0
		for _, l := range s.Lines {
			if l.Once {
				first += l.Price.Amount
			} else {
				cash += l.Price.Amount
			}
			crop += l.PerCrop.Amount
			if l.Price.Amount%1_000_000 != 0 {
				t.Fatalf("%s: %v is no whole cent", l.Name, l.Price)
			}
			if l.Group == Work {
				work++
			}
		}
		if first != s.FirstCost.Amount || cash != s.CashPerCrop.Amount || crop != s.PerCrop.Amount || work != 2 {
			t.Fatalf("rows %d %d %d, sheet %v %v %v; %d rows of labor", first, cash, crop, s.FirstCost, s.CashPerCrop, s.PerCrop, work)
		}
	})
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
