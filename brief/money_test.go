package brief

import (
	"testing"

	"raftwright/cost"
)

// A rate leads between the currency of the prices and that of our guesses; whatever else
// it is, it is told at its place.
func TestRateOfExchange(t *testing.T) {
	for text, want := range map[string]string{
		"prices: {currency: MXN, rate: 17.1 MXN per USD on 2027-03-01}": "",
		"prices: {rate: 17.1 mxn per usd}":                              "",
		"prices: {head: 25 MXN, rate: 0.0585 USD per MXN}":              "",
		"prices: {head: 25 MXN, rate: 17.1 MXN per EUR}":                "brief.fault.rate_leads",
		"prices: {head: 25 EUR, rate: 17.1 MXN per USD}":                "brief.fault.rate_leads",
		"prices: {head: 2.50 USD, rate: 17.1 MXN per USD}":              "brief.fault.rate_leads",
		"prices: {rate: 17.1 MXN per EUR}":                              "brief.fault.rate_leads",
		"prices: {rate: 17.1 MXN per MXN}":                              "brief.fault.rate",
		"prices: {rate: 0 MXN per USD}":                                 "brief.fault.rate",
		"prices: {rate: 17.1 MXN}":                                      "brief.fault.not",
		"prices: {rate: 17.1 MXN per dollar}":                           "brief.fault.not",
		"prices: {rate: 17.1 MXN/h per USD}":                            "brief.fault.not",
		"prices: {rate: seventeen MXN per USD}":                         "cost.fault.no_amount",
		"prices: {rate: 17.1 MXN per USD on 2027-02-30}":                "brief.fault.day",
	} {
		b, faults := Parse("rate.yaml", []byte("title: A bed\n"+text+"\n"))
		got := ""
		for _, f := range faults {
			got = string(f.ID)
			if f.Path != "prices.rate" || f.Line != 2 {
				t.Errorf("%s: %v at %s, line %d", text, f.ID, f.Path, f.Line)
			}
		}
		if got != want {
			t.Errorf("%s: %q, want %q", text, got, want)
		}
		if want == "" && b.Prices.Currency.Value != "MXN" {
			t.Errorf("%s: in %q", text, b.Prices.Currency.Value)
		}
	}
	b, _ := Parse("rate.yaml", []byte("prices: {rate: 17.1 MXN per USD on 2027-03-01}"))
	want := Rate{Paid: cost.Money{Amount: 17_10000000, Currency: "MXN"}, For: "USD", On: Date{2027, 3, 1}}
	if got := b.Prices.Rate.Value; got != want {
		t.Errorf("%+v", got)
	}
}
