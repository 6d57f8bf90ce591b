// Package cost turns what a bed needs into a shopping list, a first cost, the
// cost of a crop and of a head, a break-even price and a payback. Money is
// counted in whole parts of a cent, never in floating point. The shape of the budget (one crop of one bed as
// the unit, fixed parts spread over their life, labour paid, income on heads
// sold and not on heads grown) is the enterprise budget of farm management;
// source: common practice, no source.
package cost

import (
	"fmt"
	"math"
	"strings"

	"raftwright/unit"
)

// Money is an amount in a currency (ISO 4217 letters), in hundred-millionths: a
// head's share of a net pot is less than a cent and is kept, so that shares add
// up. It reaches 92,233,720,368 either way and stays at that end where a sum or a
// product would pass it. Sums are exact; products and shares are rounded half away
// from nought, right to one part below 40 million. The zero value is no money in
// no currency, and adds to any.
type Money struct {
	Amount   int64 // hundred-millionths of the currency
	Currency string
}

// About is an amount in running text, where a forecast does not bear cents.
type About Money

// Parts of an amount.
const (
	one     = 100_000_000
	cent    = one / 100
	largest = 10_000_000_000 // that is read; a slip of the pen above it
)

// Cents makes an amount from hundredths of the currency.
func Cents(n int64, currency string) Money {
	if n > math.MaxInt64/cent || n < -math.MaxInt64/cent {
		return Money{parts(float64(n) * cent), currency}
	}
	return Money{n * cent, currency}
}

// parts rounds to whole parts, half away from nought.
func parts(x float64) int64 {
	switch x = math.Round(x); {
	case x >= math.MaxInt64:
		return math.MaxInt64
	case x <= -math.MaxInt64:
		return -math.MaxInt64
	case math.IsNaN(x):
		return 0
	}
	return int64(x)
}

// ParseMoney reads "48 USD" or "2.50 USD"; a rate such as "15 USD/h" gives the
// part behind the slash too. A comma before three digits stands between thousands,
// since no price here has three decimals. Negative amounts and those above 10
// billion are errors, each a *unit.ParseError.
func ParseMoney(s string) (m Money, per string, err error) {
	fail := func(code string) (Money, string, error) {
		return Money{}, "", unit.Wrong(code, s)
	}
	number, rest, _ := strings.Cut(unit.Plain(s), " ")
	if number == "" {
		return fail("cost.fault.empty")
	}
	figure, err := unit.NumberSenses(number)
	if err != nil || len(number) > 13 || strings.ContainsAny(number, "eE") {
		return fail("cost.fault.no_amount")
	}
	plain := figure[0].Plain // of two senses the first has thousands
	switch {
	case strings.Trim(plain, "-0123456789.") != "":
		return fail("cost.fault.no_amount")
	case figure[0].Value < 0:
		return fail("cost.fault.negative")
	case figure[0].Value > largest:
		return fail("cost.fault.large")
	case rest == "":
		return fail("cost.fault.no_currency")
	}
	currency, per, _ := strings.Cut(rest, "/")
	currency = strings.ToUpper(strings.TrimSpace(currency))
	if len(currency) != 3 || strings.Trim(currency, "ABCDEFGHIJKLMNOPQRSTUVWXYZ") != "" {
		return fail("cost.fault.not_currency")
	}
	return Money{parts(figure[0].Value * one), currency}, strings.TrimSpace(per), nil
}

// Add gives the sum. The caller keeps to one currency; the first one named wins.
func (m Money) Add(o Money) Money {
	if m.Currency == "" {
		m.Currency = o.Currency
	}
	sum := m.Amount + o.Amount
	if sum < m.Amount != (o.Amount < 0) || sum == math.MinInt64 { // it passed the end
		sum = parts(float64(m.Amount) + float64(o.Amount))
	}
	m.Amount = sum
	return m
}

// Sub gives the difference.
func (m Money) Sub(o Money) Money { return m.Add(Money{-o.Amount, o.Currency}) }

// Times gives the amount for a quantity.
func (m Money) Times(q float64) Money {
	return Money{parts(float64(m.Amount) * q), m.Currency}
}

// Over gives the amount shared over q; zero where q is not positive.
func (m Money) Over(q float64) Money {
	if !(q > 0) {
		return Money{Currency: m.Currency}
	}
	return Money{parts(float64(m.Amount) / q), m.Currency}
}

// Cents gives the amount in whole hundredths, rounded half away from nought.
func (m Money) Cents() int64 {
	n := m.Amount / cent
	switch rest := m.Amount % cent; {
	case rest >= cent/2:
		n++
	case rest <= -cent/2:
		n--
	}
	return n
}

// Rounded gives the amount to the cent.
func (m Money) Rounded() Money { return Cents(m.Cents(), m.Currency) }

// Float gives the amount for JSON and charts.
func (m Money) Float() float64 { return float64(m.Amount) / one }

// String prints the amount to the cent with its currency.
func (m Money) String() string {
	return strings.TrimSpace(fmt.Sprintf("%.2f %s", m.Rounded().Float(), m.Currency))
}
