package programme

import (
	"cmp"
	"slices"
)

// Rated is a rate with the hours that it was put on.
type Rated struct {
	Rate
	Hours Decimal
	Late  bool // some of these hours fell in a year of which no figure was out
}

// rateFor gives the row of the rate of an hour's year: among the figures of one name and scope that were out on the as-of day, that of the year,
// else the last before it, else the one that the funder names. -1: it is not out yet.
func (s *standing) rateFor(named, year int) int {
	base, best := s.Rates[named], -1
	for i, x := range s.Rates {
		if x.Released > s.day || i != named && (base.Name == "" || x.Name != base.Name || x.Scope != base.Scope) || x.Year > year {
			continue
		}
		if best < 0 || cmp.Or(cmp.Compare(x.Year, s.Rates[best].Year), cmp.Compare(x.Released, s.Rates[best].Released), cmp.Compare(x.ID, s.Rates[best].ID)) > 0 {
			best = i
		}
	}
	if best < 0 && base.Released <= s.day {
		return named
	}
	return best
}

// worth gives hours of service their value: those of a year times the rate of that year, one multiplication for a rate, the sum half up to the
// cent. It gives the rates in the order of their years; nil where there is none.
func (r *Report) worth(measure, id string, served []Ref) (used []Rated) {
	s := &r.stood
	named := slices.IndexFunc(s.Rates, func(x Rate) bool { return id != "" && x.ID == id })
	if named < 0 || len(served) == 0 && s.Rates[named].Released > s.day {
		return nil
	}
	at, sum, from := map[int]*Rated{}, Decimal{Given: true}, slices.Clip(served)
	add := func(i int) *Rated {
		if at[i] == nil {
			at[i] = &Rated{Rate: s.Rates[i], Hours: Decimal{Given: true}}
		}
		return at[i]
	}
	if len(served) == 0 {
		add(named)
	}
	for _, ref := range served {
		h := s.Hours[ref.Row()]
		year := h.Date.Time().Year()
		i := s.rateFor(named, year)
		if i < 0 {
			return nil
		}
		x := add(i)
		x.Hours = x.Hours.Add(h.Hours)
		x.Late = x.Late || s.Rates[i].Year != year
	}
	for i := range s.Rates {
		if x := at[i]; x != nil {
			used, from = append(used, *x), append(from, inRates(i))
			sum = sum.Add(x.Hours.Times(x.Dollars))
		}
	}
	r.exact("H", measure, "", Dollars, sum.Cents(), from)
	slices.SortStableFunc(used, func(a, b Rated) int { return cmp.Compare(a.Year, b.Year) })
	return used
}
