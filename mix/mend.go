package mix

import (
	"cmp"
	"math"
	"slices"

	"raftwright/internal/inorder"
	"raftwright/unit"
)

// mendPantry is what a mended recipe may add: one salt for each main element
// that a store has, and chelated iron.
var mendPantry = []string{"calcium nitrate", "Epsom salt", "potassium nitrate", "monopotassium phosphate", "iron EDTA"}

// mends finds the changes, the smallest first: another strength, another amount
// of one product, one product more, and the best recipe from what there is and
// the pantry.
func (r RecipeJob) mends(s *solver, doses []float64) []Mend {
	b := s.blend
	var out []Mend
	add := func(m Mend, blend *blend, doses []float64) {
		out = append(out, r.finishMend(m, blend, doses))
	}
	doses, rotten := b.withoutRotten(doses)
	if len(rotten) == 1 { // with more to leave out it is another recipe
		add(Mend{Kind: MendOne, Product: rotten[0]}, b, doses)
	}
	if f := bestFactor(b, doses); math.Abs(f-1) > 0.02 && len(rotten) == 0 {
		add(Mend{Kind: MendStrength, Factor: f}, b, scaledBy(doses, f))
	}
	for j := range doses {
		x := bestOne(b, doses, j)
		if len(rotten) == 0 && math.Abs(x-doses[j]) > 0.02*doses[j] {
			changed := slices.Clone(doses)
			changed[j] = x
			add(Mend{Kind: MendOne, Product: b.products[j].material.Name, Factor: x / doses[j]}, b, changed)
		}
	}
	wide := b.with(s.library, mendPantry)
	n := len(doses)
	for j := n; j < len(wide.products) && len(rotten) == 0; j++ {
		all := append(slices.Clone(doses), make([]float64, len(wide.products)-n)...)
		if all[j] = bestOne(wide, all, j); all[j] > 0 {
			add(Mend{Kind: MendAdd, Product: wide.products[j].material.Name}, wide, all)
		}
	}
	for most := 1; most <= min(n+2, len(wide.products)); most++ {
		w := &search{p: wide.p, products: len(wide.products), most: most, least: make([]float64, len(wide.products)), maxNodes: mostNodes}
		w.run(make([]float64, wide.p.n), wide.fresh())
		if w.found {
			add(Mend{Kind: MendAll}, wide, wide.doses(w.best))
		}
	}
	inorder.Put(out, func(a, b Mend) int {
		if c := cmp.Compare(a.Kind, b.Kind); c != 0 || a.Kind == MendAll {
			return c
		}
		return cmp.Compare(a.Misfit, b.Misfit)
	})
	return out
}

// pickMend gives the smallest change after which every main element is near its
// wish; where none does it, the change with the least misfit.
func pickMend(mends []Mend) *Mend {
	var best *Mend
	for i := range mends {
		m := &mends[i]
		if m.Mends {
			return m
		}
		if best == nil || m.Misfit < best.Misfit {
			best = m
		}
	}
	return best
}

// with is the blend with goods of the library beside its products.
func (b *blend) with(lib Library, names []string) *blend {
	products := slices.Clone(b.products)
	for _, name := range names {
		m, _ := lib.Material(name)
		if slices.ContainsFunc(products, func(q product) bool {
			return q.material.Name == m.Name || m.Formula != "" && q.material.Formula == m.Formula
		}) {
			continue
		}
		if c, faults := m.Contents(); faults == nil {
			products = append(products, product{index: len(products), material: m, contents: c})
		}
	}
	out := &blend{base: b.base, products: products, wishes: b.wishes, unasked: b.unasked, given: b.given, limits: b.limits}
	out.build()
	return out
}

func scaledBy(doses []float64, f float64) []float64 {
	out := slices.Clone(doses)
	for j := range out {
		out[j] *= f
	}
	return out
}

// along gives how far to go from one solution along what a step brings, with the
// least misfit. ok is false where the step brings nothing wished for.
func (b *blend) along(from, brings Levels) (x float64, ok bool) {
	p := program{n: 1, firstSlack: 1, h: make([]float64, 1), c: make([]float64, 1)}
	for _, list := range [2][]Wish{b.wishes, b.unasked} {
		for _, w := range list {
			t, of := w.term()
			t.at, t.row = float64(from[w.Nutrient]/of), []float64{float64(brings[w.Nutrient] / of)}
			p.terms = append(p.terms, t)
			ok = ok || w.Level > 0 && w.Weight > 0 && brings[w.Nutrient] > 0
		}
	}
	p.prepare()
	at := make([]float64, 1)
	ok = ok && p.minimise([]float64{0}, []float64{mostTimes}, at)
	return at[0], ok
}

// mostTimes is the longest step looked at: thousands of g/L, or times a recipe.
const mostTimes = 1e4

// bestFactor is the factor on all doses with the least misfit.
func bestFactor(b *blend, doses []float64) float64 {
	if x, ok := b.along(b.base, b.achieved(doses).Add(b.base.Times(-1))); ok {
		return x
	}
	return 1
}

// bestOne is the dose of one product with the least misfit, the others kept.
func bestOne(b *blend, doses []float64, j int) float64 {
	others := slices.Clone(doses)
	others[j] = 0
	x, ok := b.along(b.achieved(others), b.products[j].contents.Shares.At(1))
	if !ok {
		return 0
	}
	return x
}

func (r RecipeJob) finishMend(m Mend, b *blend, doses []float64) Mend {
	m.After, m.Misfit = b.told(b.achieved(doses))
	m.Mends = fed(m.After)
	for j, d := range doses {
		if d <= 0 {
			continue
		}
		q := b.products[j]
		spoon, _ := q.material.Spoon()
		mass := unit.MassConcentration(d).In(r.Per)
		m.Doses = append(m.Doses, amountOf(q.material.Name, mass, spoon))
	}
	return m
}

// withoutRotten gives doses without the organic feeds among them, and those by name.
func (b *blend) withoutRotten(doses []float64) (out []float64, names []string) {
	out = slices.Clone(doses)
	for j := range doses {
		if q := &b.products[j]; q.contents.Rots && doses[j] > 0 {
			out[j], names = 0, append(names, q.material.Name)
		}
	}
	return out, names
}

// fresh gives the upper ends of a blend of which no organic feed is a part.
func (b *blend) fresh() []float64 {
	out := slices.Clone(b.upper)
	for j := range b.products {
		if b.products[j].contents.Rots {
			out[j] = 0
		}
	}
	return out
}
