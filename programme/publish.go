package programme

import (
	"cmp"
	"math"
	"slices"
	"strconv"
	"strings"

	"raftwright/finding"
	"raftwright/internal/lp"
)

// Why the public edition does not show a figure.
const (
	whySmall finding.ID = "programme.why.small"  // one to t - 1 people
	Covered  finding.ID = "programme.why.cover"  // a small group, or a figure that would give one away
	whyFewOf finding.ID = "programme.why.few_of" // an amount of too few sites or people, or nearly all of one
)

// Edition is a report as one kind of reader gets it. The public one shows no record by its name, and no small group.
type Edition struct {
	*Report
	Public  bool
	Figures []Figure // of the public edition, as they are shown
	Grid    Grid     // of single groups, counties and groups joined
	Hidden  Hidden   // nil where the table is not shown
	Secrets int      // small counts, shown or only worked out, that were attacked
	Held    int      // figures that are not shown
	Near    []Near   // what differs by little from what went out before
}

// Near is a figure that differs from one that was published by so little that subtracting them would show a small group.
type Near struct {
	County, Measure string
	AsOf            Day
	Amount          bool // of few givers, and not of few people
}

// Inside gives the edition for those who work with the records.
func (r *Report) Inside() *Edition {
	return &Edition{Report: r, Figures: r.Figures, Grid: r.Cells.Before}
}

// fact is a count of people that is shown, or that could be worked out from what is shown.
type fact struct {
	n      int
	shown  bool
	rank   int  // the higher, the later it is hidden
	linked bool // stands in a sum
	cover  bool // was hidden to cover a small one
	free   bool // no count of people: only closes a sum
}

// term is a fact of a sum, with its sign.
type term struct {
	fact int
	by   float64
}

// sum says that its terms add up to a figure that everybody knows.
type sum struct {
	terms []term
	is    float64
}

// facts are counts and what holds between them which is all that an attacker knows.
type facts struct {
	all  []fact
	sums []sum
	t    int
}

func (x *facts) add(f fact) int {
	x.all = append(x.all, f)
	return len(x.all) - 1
}

// latent is a count that no figure shows.
func (x *facts) latent(n int) int { return x.add(fact{n: n}) }

// slack closes an inequality.
func (x *facts) slack(n int) int { return x.add(fact{n: n, free: true}) }

// total says that a fact is the sum of others.
func (x *facts) total(whole int, parts ...int) {
	s := sum{terms: []term{{whole, -1}}}
	for _, p := range parts {
		s.terms = append(s.terms, term{p, 1})
	}
	x.link(s)
}

func (x *facts) link(s sum) {
	for _, t := range s.terms {
		x.all[t.fact].linked = true
	}
	x.sums = append(x.sums, s)
}

// uncover shows again what need not have been hidden after all, what matters most first: each only where every attack still fails.
func (x *facts) uncover() {
	var covers []int
	for i, f := range x.all {
		if f.cover {
			covers = append(covers, i)
		}
	}
	slices.SortFunc(covers, func(i, j int) int {
		if x.before(j, i) {
			return -1
		}
		return 1
	})
	for _, i := range covers {
		x.all[i].shown = true
		if x.attack(0, nil) >= 0 {
			x.all[i].shown = false
		}
	}
}

// hide hides what is small, then what would tell it, until no attack finds a small count.
func (x *facts) hide() (secrets int) {
	for i := range x.all {
		f := &x.all[i]
		if f.shown && small(f.n, x.t) {
			f.shown = false
		}
	}
	if m, _ := x.model(); m.SolveDual(math.Inf(1)) != lp.Optimal { // the records contradict themselves: nothing can be proven
		for i := range x.all {
			x.all[i].shown = false
		}
	}
	for k := 0; k < len(x.sums); k++ { // what one subtraction tells needs no attack to be seen
		if i := x.alone(x.sums[k]); i >= 0 && x.cover(i) {
			k = -1
		}
	}
	known := map[int]bool{}       // all is hidden that could be: what went out before tells it already
	for i := 0; i < len(x.all); { // hiding one more never gives another away
		if i = x.attack(i, known); i < 0 {
			break
		}
		if !x.cover(i) {
			known[i] = true
			i++
		}
	}
	if len(known) == 0 { // else what shows a little more may tell a little more of what is known too well already
		x.uncover()
	}
	for _, f := range x.all {
		if !f.shown && !f.free && small(f.n, x.t) {
			secrets++
		}
	}
	return secrets
}

// alone gives the small count of a sum of which all else is shown, -1 for none.
func (x *facts) alone(s sum) int {
	found := -1
	for _, t := range s.terms {
		if f := x.all[t.fact]; !f.shown {
			if found >= 0 || f.free || !small(f.n, x.t) {
				return -1
			}
			found = t.fact
		}
	}
	return found
}

// model is what an attacker knows: the sums, with what is shown put in. A column stands for each fact that is not.
func (x *facts) model() (*lp.Model, []int) {
	m := &lp.Model{}
	entries := make([][]int32, len(x.all))
	values := make([][]float64, len(x.all))
	for i, s := range x.sums {
		known := s.is
		for _, t := range s.terms {
			if f := x.all[t.fact]; f.shown {
				known -= t.by * float64(f.n)
			} else {
				entries[t.fact], values[t.fact] = append(entries[t.fact], int32(i)), append(values[t.fact], t.by)
			}
		}
		m.AddRow(known, known, nil, nil)
	}
	column := make([]int, len(x.all))
	for i, f := range x.all {
		column[i] = -1
		if !f.shown && len(entries[i]) > 0 {
			column[i] = m.AddCol(0, 0, math.Inf(1), entries[i], values[i])
		}
	}
	return m, column
}

// attack solves for each small hidden count from one on whether all that is shown still lets it be the threshold or more; it
// gives the first that cannot, -1 for none. Those known already are not asked about.
func (x *facts) attack(from int, known map[int]bool) int {
	m, column := x.model()
	for i := from; i < len(x.all); i++ {
		f := x.all[i]
		if column[i] < 0 || f.free || !small(f.n, x.t) || known[i] {
			continue
		}
		m.SetColBounds(column[i], float64(x.t), math.Inf(1))
		status := m.SolveDual(math.Inf(1))
		m.SetColBounds(column[i], 0, math.Inf(1))
		if status != lp.Optimal {
			return i
		}
	}
	return -1
}

// before tells which of two shown facts is hidden first as cover: none of zero while there is another.
func (x *facts) before(i, j int) bool {
	a, b := x.all[i], x.all[j]
	if (a.n == 0) != (b.n == 0) {
		return b.n == 0
	}
	return cmp.Or(cmp.Compare(a.rank, b.rank), cmp.Compare(a.n, b.n), cmp.Compare(i, j)) < 0
}

// cover hides the figure that matters least among those nearest to a count that could be found.
func (x *facts) cover(found int) bool {
	reached := map[int]bool{found: true}
	for {
		best := -1
		grown := len(reached)
		for _, s := range x.sums {
			if !slices.ContainsFunc(s.terms, func(t term) bool { return reached[t.fact] }) {
				continue
			}
			for _, t := range s.terms {
				f := x.all[t.fact]
				switch {
				case !f.shown:
					reached[t.fact] = true
				case best < 0 || x.before(t.fact, best):
					best = t.fact
				}
			}
		}
		if best >= 0 {
			x.all[best].shown, x.all[best].cover = false, true
			return true
		}
		if len(reached) == grown {
			return false
		}
	}
}

// code tells whether a text is so short and plain that it can only be a code: capital letters, then digits.
func code(text string, letters, least int) bool {
	digits := strings.TrimLeft(text, "ABCDEFGHIJKLMNOPQRSTUVWXYZ")
	n := len(text) - len(digits)
	return n > 0 && n <= letters && len(digits) >= least && len(digits) <= 3 && strings.Trim(digits, "0123456789") == ""
}

// Fit tells whether the public may read a text of the records: a person has read it, or it is one of our own words.
func (r *Report) Fit(text string) bool {
	if slices.Contains(fitNames, text) {
		return true
	}
	return slices.ContainsFunc(r.stood.Cleared, func(c Cleared) bool { return c.Text == text && c.On <= r.AsOf })
}

// others is the county of those that are joined for the public.
const others = "others"

// named gives names fit for the public to texts of one kind, in their order: the text itself where that may be read, else
// a number.
func (r *Report) named(kind string, texts []string, isCode func(string) bool) map[string]string {
	out := numbered(kind, texts)
	for text := range out {
		if r.Fit(text) || isCode(text) {
			out[text] = text
		}
	}
	return out
}

// numbered gives each text a number in their order.
func numbered(kind string, texts []string) map[string]string {
	out := map[string]string{}
	for _, text := range texts {
		if out[text] == "" {
			out[text] = kind + strconv.Itoa(len(out)+1)
		}
	}
	return out
}

// amount tells whether an amount may be shown: of at least so many givers, and what is left without the largest two is a tenth of
// the largest or more (the p-percent rule).
func amount(parts []float64, least int) bool {
	slices.Sort(parts)
	n, rest := len(parts), 0.0
	if n < least {
		return false
	}
	for _, x := range parts[:n-2] {
		rest += x
	}
	return rest >= parts[n-1]/10
}
