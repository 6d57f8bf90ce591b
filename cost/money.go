// Package cost turns what a bed needs into a shopping list, a first cost, the
// cost of a crop and of a head, a break-even price and a payback. Money is
// decimal, never floating point. The shape of the budget (one crop of one bed as
// the unit, fixed parts spread over their life, labour paid, income on heads
// sold and not on heads grown) is the enterprise budget of farm management;
// source: common practice, no source.
package cost

import (
	"fmt"
	"strings"

	"github.com/shopspring/decimal"

	"raftwright/unit"
)

// Money is a decimal amount in a currency (ISO 4217 letters). The zero value is
// no money in no currency, and adds to any.
type Money struct {
	Amount   decimal.Decimal
	Currency string
}

// About is an amount in running text, where a forecast does not bear cents.
type About Money

// Cents makes an amount from hundredths of the currency.
func Cents(n int64, currency string) Money {
	return Money{decimal.New(n, -2), currency}
}

// ParseMoney reads "48 USD" or "2.50 USD"; a rate such as "15 USD/h" gives the
// part behind the slash too. A comma before three digits stands between thousands,
// since no price here has three decimals. Negative amounts and more than 12 digits
// are errors, each a *unit.ParseError.
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
	d, err := decimal.NewFromString(figure[0].Plain) // of two senses the first has thousands
	switch {
	case err != nil:
		return fail("cost.fault.no_amount")
	case d.IsNegative():
		return fail("cost.fault.negative")
	case rest == "":
		return fail("cost.fault.no_currency")
	}
	currency, per, _ := strings.Cut(rest, "/")
	currency = strings.ToUpper(strings.TrimSpace(currency))
	if len(currency) != 3 || strings.Trim(currency, "ABCDEFGHIJKLMNOPQRSTUVWXYZ") != "" {
		return fail("cost.fault.not_currency")
	}
	return Money{d, currency}, strings.TrimSpace(per), nil
}

// IsZero tells whether the amount is nothing.
func (m Money) IsZero() bool { return m.Amount.IsZero() }

// Add gives the sum. The caller keeps to one currency; the first one named wins.
func (m Money) Add(o Money) Money {
	if m.Currency == "" {
		m.Currency = o.Currency
	}
	m.Amount = m.Amount.Add(o.Amount)
	return m
}

// Sub gives the difference.
func (m Money) Sub(o Money) Money { return m.Add(Money{o.Amount.Neg(), o.Currency}) }

// Times gives the amount for a quantity, unrounded.
func (m Money) Times(q float64) Money {
	return Money{m.Amount.Mul(decimal.NewFromFloat(q)), m.Currency}
}

// Over gives the amount shared over q, to 8 decimals; zero where q is not positive.
func (m Money) Over(q float64) Money {
	if q <= 0 {
		return Money{Currency: m.Currency}
	}
	return Money{m.Amount.DivRound(decimal.NewFromFloat(q), 8), m.Currency}
}

// Rounded gives the amount to the cent.
func (m Money) Rounded() Money { return Money{m.Amount.Round(2), m.Currency} }

// Float gives the amount for JSON and charts.
func (m Money) Float() float64 { return m.Amount.InexactFloat64() }

// String prints the amount to the cent with its currency.
func (m Money) String() string {
	return strings.TrimSpace(fmt.Sprintf("%s %s", m.Amount.StringFixed(2), m.Currency))
}
