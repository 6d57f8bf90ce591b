package plan

import (
	"reflect"
	"strings"
	"testing"

	"raftwright/brief"
	"raftwright/cost"
	"raftwright/finding"
)

// foreign briefs tell prices in another currency than that of our own guesses, in every
// place where a price may stand.
var foreign = map[string]string{
	"stated":     "prices: {currency: MXN, head: 25 MXN, labor: 60 MXN/h, items: {2x8: 30 MXN/ft, net pot: 8 MXN}}",
	"by a head":  "prices: {head: 25 MXN}",
	"by a board": "cut: {stock: [{length: 10 ft, price: 300 MXN}]}",
	"by a bag":   "shelf: [{name: complete fertiliser, label: 20-20-20, pack: 5 lb, price: 400 MXN}]",
	"all priced": "prices: {items: {electricity: 2 MXN, structural screw: 3 MXN, 2x8: 30 MXN/ft}}\nbed: {heat to: 20 C}\nsite: {latitude: 10, longitude: -76, elevation: 300 m, months: [" +
		strings.TrimSuffix(strings.Repeat("{tmax: 20 C, tmin: 8 C, solar: 15 MJ/m2}, ", 12), ", ") + "]}",
}

// A plan speaks one currency: that of the brief, in every row, figure and sentence, with
// a rate and without.
func TestOneCurrency(t *testing.T) {
	for name, text := range foreign {
		for _, rate := range []string{"", "17.1 MXN per USD on 2027-03-01", "0.0585 USD per MXN"} {
			b, _ := brief.Parse("money.yaml", []byte(text))
			var faults any = nil
			for path, value := range map[string]string{"prices.rate": rate, "bed.length": "97 in", "bed.width": "49 in", "bed.depth": "6 in"} {
				if value != "" {
					b, faults = b.Set(finding.Path(path), value)
				}
			}
			p, wrong := Make(b, DefaultBook(), nil, Everything)
			if len(wrong) > 0 || p.Cost == nil {
				t.Fatalf("%s, rate %q: %v, %v", name, rate, wrong, faults)
			}
			seen := 0
			walkMoney(reflect.ValueOf(p), map[uintptr]bool{}, func(m cost.Money) {
				seen++
				if m.Currency != "MXN" {
					t.Errorf("%s, rate %q: an amount of %v", name, rate, m)
				}
			})
			if seen < 60 || p.Currency() != "MXN" {
				t.Errorf("%s, rate %q: %d amounts, in %s", name, rate, seen, p.Currency())
			}
			if complete := p.Cost.Unpriced == 0; complete != (rate != "") {
				t.Errorf("%s, rate %q: %d things have no price", name, rate, p.Cost.Unpriced)
			}
		}
	}
}

// walkMoney visits every amount of money that can be reached in a value, but for those
// of nothing in no currency.
func walkMoney(v reflect.Value, seen map[uintptr]bool, visit func(cost.Money)) {
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() && !seen[v.Pointer()] && v.Type() != reflect.TypeFor[*brief.Brief]() {
			seen[v.Pointer()] = true
			walkMoney(v.Elem(), seen, visit)
		}
	case reflect.Interface:
		walkMoney(v.Elem(), seen, visit)
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			walkMoney(v.Index(i), seen, visit)
		}
	case reflect.Map:
		for _, k := range v.MapKeys() {
			walkMoney(v.MapIndex(k), seen, visit)
		}
	case reflect.Struct:
		if v.Type().ConvertibleTo(reflect.TypeFor[cost.Money]()) {
			m := cost.Money{Amount: v.Field(0).Int(), Currency: v.Field(1).String()}
			if m != (cost.Money{}) {
				visit(m)
			}
			return
		}
		if v.Type() == reflect.TypeFor[cost.Book]() || v.Type() == reflect.TypeFor[cost.Rate]() {
			return // the table is in its own
		}
		for i := range v.NumField() {
			walkMoney(v.Field(i), seen, visit)
		}
	}
}
