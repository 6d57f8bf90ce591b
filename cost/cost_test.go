package cost

import (
	"math"
	"testing"
	"time"

	"pgregory.net/rapid"

	"raftwright/finding"
)

// The embedded table is pinned, so that a slipped digit fails here.
func TestAssumedPrices(t *testing.T) {
	b := DefaultBook()
	sum := Money{}
	for _, n := range b.Names() {
		p, ok := b.Assumed(n)
		if !ok || p.Year < 2024 || p.Unit == "" || p.Amount.Amount <= 0 || p.Amount.Currency != "USD" {
			t.Errorf("%s: %+v", n, p)
		}
		sum = sum.Add(p.Amount)
	}
	if len(b.Names()) != 59 || sum.Amount != 533_40150000 {
		t.Errorf("%d rows, sum %d parts", len(b.Names()), sum.Amount)
	}
}

func need(key string, q float64, once bool, life float64) Need {
	return Need{Keys: []string{key}, Quantity: q, Unit: "each", Once: once, Life: life}
}

// A worked sheet, by hand: 100 once over 5 years at 4 crops a year is 5 a crop;
// 20 used up; 2 h at 15 is 30. Cost of a crop 55; 32 heads, 90 % sold is 28.8:
// break-even 1.9097; at 2.50 a head 72 comes in, 22 is left, 100/22 = 4.545 crops.
func TestWorkedSheet(t *testing.T) {
	own := map[string]Price{"tank": {Amount: Cents(10000, "USD")}, "plug": {Amount: Cents(100, "USD")}}
	head, pay := Cents(250, "USD"), Cents(1500, "USD")
	s := Reckon(Job{
		Needs: []Need{need("tank", 1, true, 5), need("plug", 20, false, 0)}, Book: DefaultBook().With(own), Currency: "USD",
		Heads: 32, Sold: 0.9, CropsPerYear: 4, HeadPrice: &head, LaborRate: &pay, LaborPerCrop: 2 * 3600,
	})
	check := func(what string, got, want float64) {
		if math.Abs(got-want) > 5e-4 {
			t.Errorf("%s %v, want %v", what, got, want)
		}
	}
	check("first cost", s.FirstCost.Float(), 100)
	check("crop", s.PerCrop.Float(), 55)
	check("cash", s.CashPerCrop.Float(), 50)
	check("head", s.PerHead.Float(), 55./32)
	check("break-even", s.BreakEven.Float(), 55/28.8)
	check("payback", s.PaybackCrops, 100/22.)
}

func TestOwnPriceBeatsAssumed(t *testing.T) {
	b := DefaultBook().With(map[string]Price{"2x8x10": {Amount: Cents(1250, "USD")}})
	n := Need{Keys: []string{"2x8x10", "2x8"}, PerKey: []float64{1, 10}, Quantity: 2, Unit: "each", Once: true}
	if got := Reckon(Job{Needs: []Need{n}, Book: b, Heads: 1, Sold: 1}).FirstCost.String(); got != "25.00 USD" {
		t.Error(got)
	}
	if got := Reckon(Job{Needs: []Need{n}, Book: DefaultBook(), Heads: 1, Sold: 1}).FirstCost.String(); got != "23.00 USD" {
		t.Error(got)
	}
}

func TestStaleAfter180Days(t *testing.T) {
	day := func(s string) time.Time { d, _ := time.Parse("2006-01-02", s); return d }
	for on, want := range map[string]bool{"2027-01-01": false, "2026-07-01": true} {
		b := DefaultBook().With(map[string]Price{"tank": {Amount: Cents(1, "USD"), On: day(on)}})
		s := Reckon(Job{Needs: []Need{need("tank", 1, true, 1)}, Book: b, Day: day("2027-03-01"), Heads: 1, Sold: 1})
		got := false
		for _, f := range s.Findings {
			got = got || f.ID == FindStale
		}
		if got != want {
			t.Errorf("%s stale %v", on, got)
		}
	}
}

// A priced bag or board ages like the price list, and a price without a day is
// said.
func TestFixedPricesAge(t *testing.T) {
	day := func(s string) time.Time { d, _ := time.Parse("2006-01-02", s); return d }
	bag := Cents(4800, "USD")
	n := need("complete fertiliser", 1, true, 5)
	n.Fixed = &bag
	for _, c := range []struct {
		on   time.Time
		want finding.ID
	}{{day("2027-01-01"), ""}, {day("2023-01-01"), FindStale}, {time.Time{}, FindUndated}} {
		s := Reckon(Job{Needs: []Need{n}, Book: DefaultBook(), On: c.on, Place: "our county", Day: day("2027-03-01"), Heads: 1, Sold: 1})
		var got finding.ID
		for _, f := range s.Findings {
			got = f.ID
			if f.ID == FindStale && f.Args["Place"] != "our county" {
				t.Errorf("place %v", f.Args["Place"])
			}
		}
		if got != c.want {
			t.Errorf("%v: %q, want %q", c.on, got, c.want)
		}
	}
}

func TestUnusedPriceIsSaid(t *testing.T) {
	b := DefaultBook().With(map[string]Price{"net pott": {Amount: Cents(30, "USD")}})
	s := Reckon(Job{Needs: []Need{need("net pot", 32, true, 4)}, Book: b, Heads: 32, Sold: 1})
	for _, f := range s.Findings {
		if f.ID == FindUnused && f.Args["Near"] == "net pot" {
			return
		}
	}
	t.Error("the unused price was not said")
}

// A board of a length that the plan does not buy is answered by the lengths of its own
// section, not by a section that is spelled alike.
func TestUnusedBoardIsAnsweredByItsSection(t *testing.T) {
	names := []string{"2x2x8", "2x2", "2x8x12", "2x8x10", "2x8", "foam board", "2x8x10"}
	for written, want := range map[string]string{"2x8x8": "2x8, 2x8x10, 2x8x12", "2x8": "2x8, 2x8x10, 2x8x12", "2x6x8": "", "fome board": "foam board"} {
		if got := nearest(written, names); got != want {
			t.Errorf("%s: %q, not %q", written, got, want)
		}
	}
}

// Totals are the sums of their lines, whatever the list.
func TestTotalsAreSums(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var needs []Need
		for range rapid.IntRange(0, 12).Draw(t, "lines") {
			key := rapid.SampledFrom(DefaultBook().Names()).Draw(t, "key")
			n := need(key, float64(rapid.IntRange(0, 500).Draw(t, "q")), rapid.Bool().Draw(t, "once"), 0)
			n.Pack = float64(rapid.IntRange(0, 7).Draw(t, "pack"))
			needs = append(needs, n)
		}
		s := Reckon(Job{Needs: needs, Book: DefaultBook(), Heads: 32, Sold: 0.9, CropsPerYear: 5})
		var once, used Money
		for _, l := range s.Lines {
			if l.Buy < l.Quantity-1e-9 {
				t.Fatalf("bought %v of %v", l.Buy, l.Quantity)
			}
			if l.Once {
				once = once.Add(l.Price)
			} else {
				used = used.Add(l.Price)
			}
		}
		if once.Amount != s.FirstCost.Amount || used.Amount != s.CashPerCrop.Amount {
			t.Fatalf("sums %v %v, sheet %v %v", once, used, s.FirstCost, s.CashPerCrop)
		}
	})
}

// A price under the British spelling of a key counts as before.
func TestPriceOfBritishSpelling(t *testing.T) {
	b := DefaultBook().With(map[string]Price{"Fertiliser": {Unit: "kilogram"}})
	if _, ok := b.Own("fertilizer"); !ok {
		t.Error("a price of fertiliser is not one of fertilizer")
	}
}
