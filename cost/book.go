package cost

import (
	_ "embed" // the table of assumed prices
	"slices"
	"sort"
	"strconv"
	"strings"
	"time"

	"raftwright/finding"
	"raftwright/internal/table"
	"raftwright/unit"
)

//go:embed prices.csv
var assumedPrices string

// Price is what one unit of a thing costs, where and when.
type Price struct {
	Amount Money
	Unit   string    // what one is: "each", "foot", "kilogram"
	Year   int       // of an assumed price
	On     time.Time // day of the user's own price; zero for an assumed one
	Place  string    // where the user's own price was seen
	Own    bool      // the user's, not assumed
	Life   float64   // years the thing lasts; 0: used up by a crop
}

// Book holds prices by key. The user's own stand on top of the assumed ones.
type Book struct {
	assumed  map[string]Price // in Tabled
	own      map[string]Price
	used     map[string]string // normal form to the name as written
	currency string            // that the assumed prices are given in
	worth    float64           // of one of Tabled in it; 0: not known, so that no assumed price is given
}

// Tabled is the currency of the table of assumed prices.
const Tabled = "USD"

// Rate is what was paid in one currency for one of another on a day.
type Rate struct {
	Paid Money // 17.1 MXN
	For  string
	On   time.Time // zero: not known
}

// In gives the book with its assumed prices in a currency. Where the rate does not
// lead there from Tabled, the book gives none: an amount in another currency is never
// passed off as one in this.
func (b Book) In(currency string, r Rate) Book {
	b.currency, b.worth = currency, 0
	switch paid := r.Paid.Float(); {
	case currency == Tabled:
		b.worth = 1
	case paid <= 0:
	case r.For == Tabled && r.Paid.Currency == currency:
		b.worth = paid
	case r.For == currency && r.Paid.Currency == Tabled:
		b.worth = 1 / paid
	}
	return b
}

// Guesses says whether the book has assumed prices in its currency.
func (b Book) Guesses() bool { return b.worth > 0 }

// Tables is the embedded table of assumed prices.
func Tables() table.Texts {
	return table.Texts{{File: "prices.csv", Text: assumedPrices, Key: []string{"key"}}}
}

// DefaultBook reads the embedded table.
func DefaultBook() Book { return table.Must(ReadBook(Tables())) }

// ReadBook reads a table of assumed prices with the columns of prices.csv, in US
// dollars.
func ReadBook(t table.Texts) (Book, finding.Faults) {
	b := Book{assumed: map[string]Price{}, currency: Tabled, worth: 1}
	faults := t.Read("prices.csv", func(r *table.Row) {
		r.Number("usd", 0, 1e6)
		amount, _, _ := ParseMoney(r.Text("usd") + " " + Tabled) // exactly; what is no number was told
		b.assumed[normal(r.Need("key"))] = Price{Amount: amount, Unit: r.Text("unit"), Life: r.Maybe("life_years", 0, 100), Year: int(r.Maybe("year", 1900, 2200))}
	})
	return b, faults
}

// normal folds a name as people write it: case, spaces, a plural s, and the
// British spelling of fertilizer.
func normal(name string) string {
	n := name
	if !folded(n) {
		n = strings.Join(strings.Fields(strings.ToLower(n)), " ")
	}
	n = strings.ReplaceAll(n, "fertiliser", "fertilizer")
	if len(n) > 3 {
		n = strings.TrimSuffix(n, "s")
	}
	return n
}

// folded says that a name has no capitals and no spaces but single ones between its words, as
// those that we write.
func folded(name string) bool {
	space := true
	for i := range len(name) {
		switch c := name[i]; {
		case c == ' ' && !space:
			space = true
		case c > ' ' && c < 0x7f && (c < 'A' || c > 'Z'):
			space = false
		default:
			return false
		}
	}
	return !space
}

// With gives a book with the user's own prices on top. The maps are copied, so
// the first book stays as it was.
func (b Book) With(own map[string]Price) Book {
	out := b
	out.own, out.used = map[string]Price{}, map[string]string{}
	for k, p := range b.own {
		out.own[k], out.used[k] = p, b.used[k]
	}
	for name, p := range own {
		p.Own = true
		out.own[normal(name)], out.used[normal(name)] = p, name
	}
	return out
}

// Own finds the user's own price of a key.
func (b Book) Own(key string) (Price, bool) {
	p, ok := b.own[normal(key)]
	if ok && p.Life == 0 {
		p.Life = b.Life(key)
	}
	return p, ok
}

// Life gives the years that a thing usually lasts; 0 where that is not known or it is
// used up by a crop.
func (b Book) Life(key string) float64 { return b.assumed[normal(key)].Life }

// Assumed finds the assumed price of a key, in the currency of the book.
func (b Book) Assumed(key string) (Price, bool) {
	p, ok := b.assumed[normal(key)]
	if !ok || !b.Guesses() {
		return Price{}, false
	}
	p.Amount = Money{parts(float64(p.Amount.Amount) * b.worth), b.currency}
	return p, true
}

// Find gives the price of the first of the keys that has one of the user's own, else
// of the first that has an assumed one, and its place among the keys.
func (b Book) Find(keys ...string) (p Price, at int, ok bool) {
	for _, look := range []func(string) (Price, bool){b.Own, b.Assumed} {
		for i, k := range keys {
			if p, ok := look(k); ok {
				return p, i, true
			}
		}
	}
	return Price{}, 0, false
}

// Names lists the assumed keys, sorted: the names a user can price.
func (b Book) Names() []string {
	out := make([]string, 0, len(b.assumed))
	for k := range b.assumed {
		out = append(out, k)
	}
	sort.Strings(out)
	return out
}

// nearest gives the name that is spelled most like the written one. Boards of the same
// section are all meant before one of another: a 2x8x8 is no 2x2x8.
func nearest(written string, names []string) string {
	if part := strings.Split(written, "x"); len(part) >= 2 {
		section := part[0] + "x" + part[1]
		same := slices.DeleteFunc(slices.Clone(names), func(n string) bool { return n != section && !strings.HasPrefix(n, section+"x") })
		if slices.Sort(same); len(same) > 0 {
			return strings.Join(slices.Compact(same), ", ")
		}
		if _, err := strconv.Atoi(part[0]); err == nil { // no board of this section is on the list
			return ""
		}
	}
	return unit.Near(written, names)
}

// Unused lists the user's own prices that no need asked for, as written, each
// with the nearest name that was needed.
func (b Book) Unused(needs []Need) map[string]string {
	known, names := map[string]bool{}, []string{}
	for _, n := range needs {
		for _, k := range n.Keys {
			known[normal(k)] = true
			names = append(names, k)
		}
	}
	out := map[string]string{}
	for k, name := range b.used {
		if !known[k] {
			out[name] = nearest(normal(name), names)
		}
	}
	return out
}
