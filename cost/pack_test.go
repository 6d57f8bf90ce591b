package cost

import (
	"testing"
	"time"

	"raftwright/finding"
)

// What is sold in packs is bought and paid in whole ones; three packs of 0.9 that are needed to the last gram are three.
func TestLineWholePacks(t *testing.T) {
	price := Cents(1000, "USD")
	for _, c := range []struct{ quantity, pack, buy float64 }{{2.2, 1, 3}, {2, 1, 2}, {0.1, 2.5, 2.5}, {2.7, 0.9, 2.7}, {2.71, 0.9, 3.6}, {2.2, 0, 2.2}} {
		s := Reckon(Job{Book: DefaultBook(), Currency: "USD", Heads: 1, Sold: 1, Needs: []Need{{Keys: []string{"fertiliser"}, Quantity: c.quantity, Pack: c.pack, Fixed: &price}}})
		if l := s.Lines[0]; l.Buy < c.buy-1e-9 || l.Buy > c.buy+1e-9 || l.Price.Cents() != int64(c.buy*1000+0.5) {
			t.Errorf("%v in packs of %v: %v for %v", c.quantity, c.pack, l.Buy, l.Price)
		}
	}
}

// The years that are wanted for a check of sales are the three before it (21 CFR 112.4 and 112.5), and are told.
func TestYearsOfSalesAreTold(t *testing.T) {
	_, faults := CheckSales(2022, nil, limits)
	if len(faults) != 1 || faults[0].Args["From"] != 2019 || faults[0].Args["To"] != 2021 {
		t.Error(faults)
	}
}

// How old a price is stands in days, and the newest year of the guesses beside them.
func TestAgeOfPricesIsTold(t *testing.T) {
	b := DefaultBook().With(map[string]Price{"tank": {Amount: Cents(1, "USD"), On: day(2026, 7, 1), Place: "here"}})
	s := Reckon(Job{Needs: []Need{need("tank", 1, true, 1), need("peat plug", 1, false, 0)}, Book: b, Currency: "USD", Day: day(2027, 3, 1), Heads: 1, Sold: 1})
	told := map[finding.ID]finding.Args{}
	for _, f := range s.Findings {
		told[f.ID] = f.Args
	}
	for _, a := range s.Assumptions {
		told[a.ID] = a.Args
	}
	plug, _, _ := DefaultBook().Find("peat plug")
	if told[FindStale]["Days"] != 243 || told[FindStale]["Place"] != "here" {
		t.Error("stale:", told[FindStale])
	}
	if told[AssumePrices]["Count"] != 1 || told[AssumePrices]["Year"] != plug.Year || plug.Year < 2024 {
		t.Error("guessed:", told[AssumePrices], plug.Year)
	}
	if told[AssumeSold]["Share"] == nil {
		t.Error("the share that is sold is not told")
	}
	mexican := Rate{Paid: Cents(1710, "MXN"), For: "USD", On: day(2026, 7, 1)}
	s = Reckon(Job{Needs: []Need{need("peat plug", 1, false, 0)}, Book: DefaultBook().In("MXN", mexican), Rate: mexican, Currency: "MXN", Day: day(2027, 3, 1), Heads: 1, Sold: 1})
	for _, f := range s.Findings {
		if f.ID == FindOldRate && f.Args["Days"] == 243 {
			return
		}
	}
	t.Error("the age of the rate is not told:", s.Findings)
}

func day(year int, month time.Month, of int) time.Time {
	return time.Date(year, month, of, 0, 0, 0, 0, time.UTC)
}
