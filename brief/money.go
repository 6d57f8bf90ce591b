package brief

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"raftwright/cost"
	"raftwright/finding"
)

func priceForm() form {
	return form{
		kind: "money",
		read: func(s *spec, text string) ([]sense, *finding.Fault) {
			m, per, err := cost.ParseMoney(text)
			switch {
			case err != nil:
				return nil, unread(s, text, err)
			case m.Float() > 1e7:
				return nil, fault("brief.fault.dear", "Text", clip(text), "Most", 10_000_000)
			case s.per == "h" && per != "h" && per != "hour":
				return nil, fault("brief.fault.hour", "Text", clip(text), "Example", s.examples())
			case s.per == "" && per != "":
				return nil, fault("brief.fault.per", "Text", clip(text), "Per", clip(per), "Example", s.examples())
			}
			if s.per == "h" {
				per = "h"
			}
			return only(Price{Money: m, Per: per}, nil)
		},
		figure: func(v any) (any, string) {
			p := v.(Price)
			return p.Float(), strings.TrimSuffix(p.Currency+"/"+p.Per, "/")
		},
		schema: texts(`^[ ]*[0-9.]+ +[A-Za-z]{3}( */.*)?[ ]*$`),
	}
}

// rateForm reads "17.1 MXN per USD", with or without " on 2027-03-01".
func rateForm() form {
	return form{
		kind: "rate", as: []string{"17.1 MXN per USD", "17.1 MXN per USD on 2027-03-01"},
		read: func(s *spec, text string) ([]sense, *finding.Fault) {
			plain := strings.Join(strings.Fields(text), " ")
			paid, rest, split := strings.Cut(plain, " per ")
			if !split {
				return nil, isNot(s, text)
			}
			other, date, dated := strings.Cut(rest, " on ")
			r := Rate{For: strings.ToUpper(other)}
			var per string
			var err error
			if r.Paid, per, err = cost.ParseMoney(paid); err != nil {
				return nil, unread(s, text, err)
			}
			if per != "" || !isCurrency(r.For) {
				return nil, isNot(s, text)
			}
			if r.Paid.Amount <= 0 || r.Paid.Float() > mostRate || r.Paid.Currency == r.For {
				return nil, fault("brief.fault.rate", "Text", clip(text), "Example", s.examples())
			}
			if dated {
				var bad *finding.Fault
				if r.On, bad = readDay(s, date); bad != nil {
					return nil, bad
				}
			}
			return only(r, nil)
		},
		figure: func(v any) (any, string) {
			r := v.(Rate)
			return r.Paid.Float(), fmt.Sprint(r.Paid.Currency, "/", r.For)
		},
		schema: texts(`^ *[0-9.,]+ +[A-Za-z]{3} +per +[A-Za-z]{3}( +on +[0-9]{4}-[0-9]{2}-[0-9]{2})? *$`),
	}
}

// mostRate is more than any currency pays for one of another (from memory: a US dollar
// has cost about a million of the smallest in use).
const mostRate = 10_000_000

// isCurrency tells whether a text is the three letters of a currency.
func isCurrency(s string) bool {
	return len(s) == 3 && strings.Trim(s, "ABCDEFGHIJKLMNOPQRSTUVWXYZ") == ""
}

// settleCurrency takes the currency of the first price, or the one that the rate leads
// to, where none is stated: all prices of a brief are in one.
func (b *Brief) settleCurrency() {
	into := func(currency string) {
		if to := &b.Prices.Currency; to.At.Line == 0 {
			to.Value, to.Given = currency, true
		}
	}
	if b.Prices.Currency.At.Line == 0 {
		b.Prices.Currency = Field[string]{}
	}
	for _, f := range b.money() {
		if f.Given {
			into(f.Value.Currency)
			return
		}
	}
	switch r := b.Prices.Rate; {
	case !r.Given:
	case r.Value.For == cost.Tabled:
		into(r.Value.Paid.Currency)
	case r.Value.Paid.Currency == cost.Tabled:
		into(r.Value.For)
	}
}

// priced is a price of the brief and its key.
type priced struct {
	Field[Price]
	path finding.Path
}

// money lists the prices of a brief.
func (b *Brief) money() []priced {
	var out []priced
	for i, p := range b.Shelf {
		out = append(out, priced{p.Price, finding.Path("shelf").Item(i).Key("price")})
	}
	out = append(out, priced{b.Mix.Budget, "mix.budget"}, priced{b.Prices.Head, "prices.head"}, priced{b.Prices.Labor, "prices.labor"})
	for _, e := range b.Prices.Items {
		out = append(out, priced{e.Field, finding.Path("prices.items").Key(e.Name)})
	}
	for i, s := range b.Cut.Stock {
		out = append(out, priced{s.Price, finding.Path("cut.stock").Item(i).Key("price")})
	}
	for i, s := range b.Cut.OnHand {
		out = append(out, priced{s.Price, finding.Path("cut.on hand").Item(i).Key("price")})
	}
	return out
}

// checkMoney wants one currency in the whole brief.
func (r *reader) checkMoney() {
	currency, first := "", finding.Path("prices.currency")
	if c := r.brief.Prices.Currency; c.Given && c.At.Line > 0 {
		currency = c.Value
	}
	for _, f := range r.brief.money() {
		switch {
		case !f.Given:
		case currency == "":
			currency, first = f.Value.Currency, f.path
		case f.Value.Currency != currency:
			r.tell(f.path, f.At, fault("brief.fault.currencies", "This", f.Value.Currency, "First", string(first), "Other", currency))
		}
	}
	rate, settled := r.brief.Prices.Rate, r.brief.Prices.Currency.Value
	if pair := []string{rate.Value.Paid.Currency, rate.Value.For}; rate.Given && (settled == cost.Tabled || !slices.Contains(pair, settled) || !slices.Contains(pair, cost.Tabled)) {
		bad := fault("brief.fault.rate_leads", "From", rate.Value.For, "To", rate.Value.Paid.Currency, "Tabled", cost.Tabled, "Currency", cmp.Or(settled, cost.Tabled))
		if settled == cost.Tabled {
			bad.Right = "right.brief.fault.rate_idle"
		}
		r.tell("prices.rate", rate.At, bad)
	}
}
