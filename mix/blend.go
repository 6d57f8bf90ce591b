package mix

import (
	"math"
	"slices"

	"raftwright/chem"
	"raftwright/unit"
)

// product is a material ready for the sum: what a gram of it brings.
type product struct {
	index    int // on the shelf
	material Material
	contents Contents
	cost     float64 // of a gram; 0: unknown
	limit    unit.MassConcentration
}

// blend is the question as linear algebra: which doses of the products bring
// the base nearest to the wishes within the limits.
type blend struct {
	base     Levels
	products []product
	wishes   []Wish
	limits   []Limit
	budget   float64 // most to spend on a litre; 0: none

	scale  []float64 // scaled dose = g/L x scale
	upper  []float64
	p      *program
	slacks int
	held   []heldLimit // the rows of the program
}

// heldLimit is a limit with its row.
type heldLimit struct {
	limit   Limit
	least   bool // the lower end
	budget  bool
	byWater bool // the water alone is beyond it
	sources bool // only what trace sources bring counts
}

const (
	tieWeight   = 1e-7 // of the cost beside the misfit: decides between equals only
	breachPrice = 1e4  // of missing a least limit, in misfit
	tallest     = 50.0 // g/L, above any dose of a nutrient solution
)

// build sets the program up.
func (b *blend) build() {
	n := len(b.products)
	b.held = b.rowsOf()
	for _, h := range b.held {
		if h.least {
			b.slacks++
		}
	}
	size := n + b.slacks
	p := &program{n: size, firstSlack: n, h: make([]float64, size*size), c: make([]float64, size)}
	b.scale, b.upper = make([]float64, size), make([]float64, size)
	pull := make([][]float64, len(b.wishes))
	for i, w := range b.wishes {
		pull[i] = make([]float64, n)
		root := math.Sqrt(w.Weight) / float64(w.Level)
		for j, q := range b.products {
			pull[i][j] = root * float64(q.contents.Shares[w.Nutrient])
		}
	}
	for j := range n {
		sum := 0.0
		for i := range pull {
			sum += pull[i][j] * pull[i][j]
		}
		b.scale[j] = 1
		if sum > 1e-12 {
			b.scale[j] = math.Sqrt(sum)
		}
		most := tallest
		if l := b.products[j].limit; l > 0 {
			most = min(most, float64(l))
		}
		if _, ok := b.notAsked(b.products[j]); ok {
			most = 0
		}
		b.upper[j] = most * b.scale[j]
	}
	for i, w := range b.wishes {
		gap := math.Sqrt(w.Weight) * float64(w.Level-b.base[w.Nutrient]) / float64(w.Level)
		p.constant += gap * gap / 2
		for j := range n {
			aj := pull[i][j] / b.scale[j]
			p.c[j] -= aj * gap
			for k := range n {
				p.h[j*size+k] += aj * pull[i][k] / b.scale[k]
			}
		}
	}
	for z := range b.slacks {
		j := n + z
		b.scale[j], b.upper[j] = 1, 1 // nothing at all breaches a limit by 1
		p.h[j*size+j], p.c[j] = 1, breachPrice
	}
	b.addTies(p)
	b.addRows(p, n)
	p.prepare()
	b.p = p
}

// addTies adds the cost, small enough only to decide between equals. Where no
// price is known the mass takes its place; an unknown price counts as the
// dearest known.
func (b *blend) addTies(p *program) {
	dearest := 0.0
	for _, q := range b.products {
		dearest = max(dearest, q.cost)
	}
	most := 0.0
	costs := make([]float64, len(b.products))
	for j, q := range b.products {
		c := q.cost
		if c == 0 {
			c = max(dearest, 1e-9)
		}
		costs[j] = c / b.scale[j]
		most = max(most, costs[j])
	}
	for j := range costs {
		p.c[j] += tieWeight * costs[j] / most
	}
}

// rowsOf turns limits into rows. A most that the water alone is beyond becomes
// what the water has: nothing may be added.
func (b *blend) rowsOf() []heldLimit {
	var out []heldLimit
	for _, l := range b.limits {
		if l.MostGiven && b.anyHas(l.Nutrient) || l.MostGiven && b.base[l.Nutrient] > l.Most {
			out = append(out, heldLimit{limit: l, byWater: b.base[l.Nutrient] > l.Most*(1+1e-9)})
		}
		if l.Least > 0 && b.base[l.Nutrient] < l.Least {
			out = append(out, heldLimit{limit: l, least: true})
		}
	}
	if b.budget > 0 {
		out = append(out, heldLimit{budget: true})
	}
	return append(out, b.traceRows()...)
}

func (b *blend) anyHas(n Nutrient) bool {
	for _, q := range b.products {
		if q.contents.Shares[n] > 0 {
			return true
		}
	}
	return false
}

func (b *blend) addRows(p *program, n int) {
	slack := n
	for _, h := range b.held {
		row, nutrient := make([]float64, p.n), h.limit.Nutrient
		switch {
		case h.budget:
			for j, q := range b.products {
				row[j] = q.cost / b.scale[j] / b.budget
			}
			p.rows, p.most = append(p.rows, row), append(p.most, 1)
		case h.least:
			for j, q := range b.products {
				row[j] = -float64(q.contents.Shares[nutrient]) / b.scale[j] / float64(h.limit.Least)
			}
			row[slack] = -1
			slack++
			p.rows, p.most = append(p.rows, row), append(p.most, float64(b.base[nutrient]-h.limit.Least)/float64(h.limit.Least))
		default:
			unitOf := max(float64(h.limit.Most), 1e-3)
			for j, q := range b.products {
				if !h.sources || q.isTraceSource() {
					row[j] = float64(q.contents.Shares[nutrient]) / b.scale[j] / unitOf
				}
			}
			p.rows, p.most = append(p.rows, row), append(p.most, max(0, float64(h.limit.Most-b.base[nutrient]))/unitOf)
		}
	}
}

// work cuts the nodes of a search down on shelves so wide that each node costs
// much more than on a store's.
func (b *blend) work(nodes int) int {
	const store = 20
	if n := len(b.products); n > store {
		return max(50, nodes*store*store/(n*n))
	}
	return nodes
}

// doses turns scaled variables into grams per litre.
func (b *blend) doses(x []float64) []float64 {
	out := make([]float64, len(b.products))
	for j := range out {
		if x[j] > unused {
			out[j] = x[j] / b.scale[j]
		}
	}
	return out
}

// scaled is the inverse of doses, the slacks just large enough.
func (b *blend) scaled(doses []float64) []float64 {
	x := make([]float64, b.p.n)
	for j, d := range doses {
		x[j] = d * b.scale[j]
	}
	slack := len(b.products)
	for i, h := range b.held {
		if h.least {
			x[slack] = max(0, dot(b.p.rows[i], x)-b.p.most[i])
			slack++
		}
	}
	return x
}

// achieved is the base and what the doses bring, exactly.
func (b *blend) achieved(doses []float64) Levels {
	out := b.base
	for j, d := range doses {
		out = out.Add(b.products[j].contents.Shares.At(unit.MassConcentration(d)))
	}
	return out
}

// ions is what the doses bring, as ions.
func (b *blend) ions(doses []float64) chem.Composition {
	var c chem.Composition
	for j, d := range doses {
		c = c.Add(b.products[j].contents.Ions.Times(d))
	}
	return c
}

// told gives the wishes with what a solution has of them, and the misfit of the
// whole.
func (b *blend) told(l Levels) ([]Wish, float64) {
	wishes := slices.Clone(b.wishes)
	for i, w := range wishes {
		wishes[i].Achieved = l[w.Nutrient]
	}
	return wishes, b.norm(missed(wishes, l))
}

// norm gives the misfit of a weighted sum of squares.
func (b *blend) norm(sum float64) float64 {
	weight := 0.0
	for _, w := range b.wishes {
		weight += w.Weight
	}
	return math.Sqrt(sum / max(weight, 1e-300))
}

// missed gives the weighted sum of squares of the relative misses.
func missed(wishes []Wish, l Levels) float64 {
	sum := 0.0
	for _, w := range wishes {
		r := float64(l[w.Nutrient]/w.Level) - 1
		sum += w.Weight * r * r
	}
	return sum
}
