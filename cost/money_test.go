package cost

import (
	"errors"
	"math"
	"math/big"
	"testing"

	"pgregory.net/rapid"

	"raftwright/internal/table"
	"raftwright/unit"
)

func TestParseMoney(t *testing.T) {
	for _, c := range []struct {
		in, want, per string
		parts         int64
	}{
		{"48 USD", "48.00 USD", "", 48_00000000}, {"2.50 USD", "2.50 USD", "", 2_50000000}, {"15 USD/h", "15.00 USD", "h", 15_00000000},
		{"0 eur", "0.00 EUR", "", 0}, {".5 USD", "0.50 USD", "", 50000000}, {"0.0015 USD / L", "0.00 USD", "L", 150000},
		{"10000000000 USD", "10000000000.00 USD", "", 10_000_000_000_00000000}, {" 0.005  usd", "0.01 USD", "", 500000},
		{"1,200 USD", "1200.00 USD", "", 1200_00000000}, {"1,200.50 USD", "1200.50 USD", "", 1200_50000000}, {"2,50 EUR", "2.50 EUR", "", 2_50000000}, {"1\u00a0200\u00a0USD", "1200.00 USD", "", 1200_00000000},
	} {
		m, per, err := ParseMoney(c.in)
		if err != nil || m.String() != c.want || m.Amount != c.parts || per != c.per {
			t.Errorf("%q = %v (%d) %q %v", c.in, m, m.Amount, per, err)
		}
	}
	for in, want := range map[string]string{
		"": "cost.fault.empty", "48": "cost.fault.no_currency", "USD": "cost.fault.no_amount", "-2 USD": "cost.fault.negative", "$48": "cost.fault.no_amount",
		"1e9 USD": "cost.fault.no_amount", "48 DOLLARS": "cost.fault.not_currency", "99999999999999 USD": "cost.fault.no_amount",
		"10000000001 USD": "cost.fault.large", "-x USD": "cost.fault.no_amount", "Inf USD": "cost.fault.no_amount", "0x10 USD": "cost.fault.no_amount",
		"1_000 USD": "cost.fault.no_amount", "1.2.3 USD": "cost.fault.no_amount", ". USD": "cost.fault.no_amount", "NaN USD": "cost.fault.no_amount",
		"1,20,3 USD": "cost.fault.no_amount", "1/2 USD": "cost.fault.no_amount",
	} {
		m, _, err := ParseMoney(in)
		if p := (*unit.ParseError)(nil); !errors.As(err, &p) || p.Code != want {
			t.Errorf("%q = %v, %v; want %s", in, m, err, want)
		}
	}
}

func FuzzParseMoney(f *testing.F) {
	for _, s := range []string{"48 USD", "2.50 USD", "15 USD/h", "-1 USD", "0.00000001 eur", "9999999999999 USD"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		m, _, err := ParseMoney(s)
		if err != nil {
			return
		}
		if m.Amount < 0 || m.Amount > largest*one || len(m.Currency) != 3 {
			t.Fatalf("%q = %+v", s, m)
		}
		if again, _, err := ParseMoney(m.Rounded().String()); err != nil || again != m.Rounded() && m.Amount < 1<<53 {
			t.Fatalf("%q = %v, read again %v, %v", s, m, again, err)
		}
	})
}

// Half a cent goes away from nought, as the shop rounds it; by hand.
func TestRounding(t *testing.T) {
	for parts, want := range map[int64]int64{0: 0, 499_999: 0, 500_000: 1, 1_499_999: 1, 1_500_000: 2, -499_999: 0, -500_000: -1, -1_500_000: -2, math.MaxInt64: math.MaxInt64/cent + 1} {
		if got := (Money{Amount: parts}).Cents(); got != want {
			t.Errorf("%d parts are %d cents, not %d", parts, got, want)
		}
	}
	for x, want := range map[float64]int64{0.5: 1, 1.5: 2, 2.5: 3, -0.5: -1, -2.5: -3, 0.49: 0, math.Inf(1): math.MaxInt64, math.Inf(-1): -math.MaxInt64, math.NaN(): 0, 1e30: math.MaxInt64} {
		if got := parts(x); got != want {
			t.Errorf("%v rounds to %d, not %d", x, got, want)
		}
	}
	// 2.5 cents: 0.35 a foot for 1/14 foot; 0.35 USD for 0.7 of one is 24.5 cents
	for _, c := range []struct {
		cents int64
		times float64
		want  string
	}{{35, 1. / 14, "0.03 X"}, {35, 0.7, "0.25 X"}, {-35, 0.7, "-0.25 X"}, {115, 0.1, "0.12 X"}, {1, 0.5, "0.01 X"}, {1, 0.49, "0.00 X"}} {
		if got := Cents(c.cents, "X").Times(c.times).String(); got != c.want {
			t.Errorf("%d cents times %v: %s, want %s", c.cents, c.times, got, c.want)
		}
	}
}

func amounts(most int64) *rapid.Generator[int64] { return rapid.Int64Range(-most, most) }

// Sums are exact, in any order, and come back by subtraction; cents come back as
// they went in.
func TestSumsAreExact(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		list := rapid.SliceOfN(amounts(1e15), 0, 50).Draw(t, "parts")
		sum, exact := Money{}, new(big.Int)
		for _, x := range list {
			sum = sum.Add(Money{x, "USD"})
			exact.Add(exact, big.NewInt(x))
		}
		if !exact.IsInt64() || sum.Amount != exact.Int64() {
			t.Fatalf("%v sum to %d, not %v", list, sum.Amount, exact)
		}
		for _, x := range list {
			sum = sum.Sub(Money{x, "USD"})
		}
		if sum.Amount != 0 {
			t.Fatalf("%d is left", sum.Amount)
		}
		n := amounts(math.MaxInt64/cent).Draw(t, "cents")
		if got := Cents(n, "USD").Cents(); got != n {
			t.Fatalf("%d cents became %d", n, got)
		}
	})
}

// Products and shares are the exact ones (rational numbers) rounded to one part.
func TestProductsAndShares(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := Money{amounts(40_000_000*one/1000).Draw(t, "parts"), "USD"}
		q := rapid.Float64Range(1e-3, 1e3).Draw(t, "q")
		product := new(big.Rat).Mul(new(big.Rat).SetInt64(m.Amount), new(big.Rat).SetFloat64(q))
		share := new(big.Rat).Quo(new(big.Rat).SetInt64(m.Amount), new(big.Rat).SetFloat64(q))
		for got, exact := range map[int64]*big.Rat{m.Times(q).Amount: product, m.Over(q).Amount: share} {
			off, _ := new(big.Rat).Sub(new(big.Rat).SetInt64(got), exact).Float64()
			if math.Abs(off) > 0.75 {
				t.Fatalf("%d parts and %v: %d, off by %v", m.Amount, q, got, off)
			}
		}
		if m.Over(q).Amount != -(Money{-m.Amount, ""}).Over(q).Amount {
			t.Fatal("debts round otherwise")
		}
	})
	if got := Cents(100, "USD").Over(0); got.Amount != 0 || got.Currency != "USD" {
		t.Error(got)
	}
	if got := Cents(100, "USD").Over(math.NaN()); got.Amount != 0 {
		t.Error(got)
	}
}

// What passes the end stays there, and never turns round.
func TestEndOfMoney(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := amounts(math.MaxInt64).Draw(t, "a"), amounts(math.MaxInt64).Draw(t, "b")
		exact := new(big.Int).Add(big.NewInt(a), big.NewInt(b))
		got := Money{a, ""}.Add(Money{b, ""}).Amount
		switch {
		case exact.Cmp(big.NewInt(math.MaxInt64)) > 0:
			exact.SetInt64(math.MaxInt64)
		case exact.Cmp(big.NewInt(-math.MaxInt64)) < 0:
			exact.SetInt64(-math.MaxInt64)
		}
		if got != exact.Int64() {
			t.Fatalf("%d + %d = %d", a, b, got)
		}
	})
	if got := Cents(math.MaxInt64, "USD").Amount; got != math.MaxInt64 {
		t.Error(got)
	}
	if got := Cents(math.MinInt64, "USD").Amount; got != -math.MaxInt64 {
		t.Error(got)
	}
}

// The currency of a sum is the first one that was named.
func TestCurrencyOfASum(t *testing.T) {
	if got := (Money{}).Add(Cents(1, "EUR")).Add(Cents(1, "USD")); got.Currency != "EUR" || got.Amount != 2*cent {
		t.Error(got)
	}
}

// FuzzPrices reads a table of prices: what is read is a price that can be paid.
func FuzzPrices(f *testing.F) {
	for _, s := range []string{assumedPrices[:400], "key,usd,unit,life_years,year\nfoam board,30,sheet,5,2025\n", "key,usd\na,-1\n", "key;usd\na;1,5\n", "key,usd\n\"a"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		b, faults := ReadBook(table.Texts{{File: "prices.csv", Text: s, Key: []string{"key"}}})
		for _, x := range faults {
			if x.ID == "" {
				t.Fatalf("a fault without a name: %+v", x)
			}
		}
		for key, p := range b.assumed {
			if p.Amount.Amount < 0 || p.Amount.Amount > largest*one || !(p.Life >= 0 && p.Life <= 100) {
				t.Fatalf("%q costs %+v", key, p)
			}
		}
	})
}
