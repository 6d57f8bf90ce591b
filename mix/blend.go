package mix

import (
	"math"
	"slices"

	"raftwright/chem"
	"raftwright/source"
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
	given    Levels // of the water and the acid: no product takes it out
	products []product
	wishes   []Wish
	unasked  []Wish // what nobody asked for and can harm
	limits   []Limit
	budget   float64 // most to spend on a litre; 0: none
	ec       *rising // where the crop's range of EC counts

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
	byWater bool                   // the water alone is beyond it
	most    unit.MassConcentration // what may stand in the end
	sources bool                   // only what trace sources bring counts
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
	for j, q := range b.products {
		sum := 0.0
		for _, w := range b.wishes {
			sum += w.Weight * sq(float64(q.contents.Shares[w.Nutrient])/float64(w.Level))
		}
		b.scale[j] = 1
		if sum > 1e-12 {
			b.scale[j] = math.Sqrt(sum)
		}
		most := tallest
		if l := q.limit; l > 0 {
			most = min(most, float64(l))
		}
		if _, ok := b.notAsked(q); ok {
			most = 0
		}
		b.upper[j] = most * b.scale[j]
	}
	for _, list := range [2][]Wish{b.wishes, b.unasked} {
		for _, w := range list {
			t, of := w.term()
			t.at, t.row = float64(b.base[w.Nutrient]/of), make([]float64, n)
			for j, q := range b.products {
				t.row[j] = float64(q.contents.Shares[w.Nutrient]) / float64(of) / b.scale[j]
			}
			p.terms = append(p.terms, t)
		}
	}
	if b.ec != nil {
		t := b.ec.term()
		t.row = make([]float64, n)
		for j, slope := range b.ec.slopes {
			t.row[j] = slope / b.scale[j]
		}
		p.terms = append(p.terms, t)
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

// give tells what water and acid bring, which pushes nothing else out.
func (b *blend) give(l Levels) {
	b.given = l
	for _, list := range [2][]Wish{b.wishes, b.unasked} {
		for i, w := range list {
			list[i].Given = l[w.Nutrient]
		}
	}
}

// feedShare is the part of a standing limit that the feed may add where the water
// alone comes near it or is beyond it, so that a trace of ammonium in a calcium
// nitrate does not cost the crop its calcium (own choice).
const feedShare = 0.25

// rowsOf turns limits into rows. A most of the brief's own that the water alone is
// beyond becomes what the water has: nothing may be added.
func (b *blend) rowsOf() []heldLimit {
	var out []heldLimit
	for _, l := range b.limits {
		if l.MostGiven && b.anyHas(l.Nutrient) || l.MostGiven && b.base[l.Nutrient] > l.Most {
			h := heldLimit{limit: l, byWater: b.given[l.Nutrient] > l.Most*(1+1e-9), most: l.Most}
			if l.Source != source.Given {
				h.most = max(l.Most, b.given[l.Nutrient]+feedShare*l.Most)
			}
			out = append(out, h)
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
			unitOf := max(float64(h.most), 1e-3)
			for j, q := range b.products {
				if !h.sources || q.isTraceSource() {
					row[j] = float64(q.contents.Shares[nutrient]) / b.scale[j] / unitOf
				}
			}
			p.rows, p.most = append(p.rows, row), append(p.most, max(0, float64(h.most-b.base[nutrient]))/unitOf)
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
	return reached(b.wishes, l), b.norm(b.missed(l))
}

func reached(wishes []Wish, l Levels) []Wish {
	out := slices.Clone(wishes)
	for i, w := range out {
		out[i].Achieved = l[w.Nutrient]
	}
	return out
}

// norm gives the misfit of a weighted sum of squares.
func (b *blend) norm(sum float64) float64 {
	weight := 0.0
	for _, w := range b.wishes {
		weight += w.Weight
	}
	return math.Sqrt(sum / max(weight, 1e-300))
}

// missed gives the weighted sum of squares of what lies off the wishes and above
// the bands.
func (b *blend) missed(l Levels) float64 {
	sum := 0.0
	for _, list := range [2][]Wish{b.wishes, b.unasked} {
		for _, w := range list {
			sum += w.misfit(l[w.Nutrient])
		}
	}
	return sum
}
