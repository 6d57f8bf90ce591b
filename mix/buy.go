package mix

import (
	"cmp"
	"slices"

	"raftwright/finding"
	"raftwright/internal/inorder"
	"raftwright/source"
	"raftwright/unit"
)

// Buy is the least that makes a shelf feed its crop: one or two goods of the trade.
type Buy struct {
	Goods []Dose // to buy, with what the first fill takes
	Mix   Mix    // the whole with them
	Loose bool   // it takes more products than the job allows
	Weigh bool   // it is weighed, where the job opens whole packs: of goods to buy no pack is known
}

// Findings about a shelf that does not feed the crop.
const (
	FindStarves finding.ID = "mix.starves"
	FindBuy     finding.ID = "mix.buy"
)

// starvesBelow is the share of a main element under which nothing is forecast: half of
// them cost arugula on a raft no yield that was significant.
const (
	starvesBelow = 0.50
	starvesFrom  = source.ID("rocket_trial")
)

// mostGoods is how many goods are bought at most, mostTried how many purchases are
// measured out before it is said that none helps (own choice).
const (
	mostGoods = 2
	mostTried = 4
)

// Pantry are the goods of the trade that a suggestion is made of.
var Pantry = [...]string{"calcium nitrate", "hydroponic base powder 5-12-26", "potassium nitrate", "monopotassium phosphate", "Epsom salt", "iron EDTA"}

// eaten says that the wish is for what plants eat by the gram and somebody minds.
func (w Wish) eaten() bool { return w.Main() && w.Nutrient <= Sulfur && w.Weight > 0 }

// lacks says that the crop would miss it: a main element below its band, or hardly any
// iron.
func (w Wish) lacks() bool {
	return w.eaten() && w.Short() || w.Nutrient == Iron && w.Weight > 0 && !w.Unknown && w.Achieved < w.Level*missingBelow
}

// Works says whether the mix feeds the crop: at least four fifths of every main element
// that is wished for, and iron.
func (m Mix) Works() bool { return !slices.ContainsFunc(m.Wishes, Wish.lacks) }

// Starved gives the main element of which the least came, and whether it is too little
// for any forecast.
func (m Mix) Starved() (worst Wish, starves bool) {
	least := starvesBelow * (1 - 1e-9)
	for _, w := range m.Wishes {
		if share := float64(w.Achieved / max(w.Level, 1e-300)); w.eaten() && share < least {
			worst, least, starves = w, share, true
		}
	}
	return worst, starves
}

// purchase is one choice of goods.
type purchase struct {
	goods []int // of the wide blend
	cost  float64
}

// buy finds the least purchase after which the mix works; nil where there is none, or
// none is needed.
func (s *solver) buy(m *Mix) *Buy {
	if s.found != nil || s.job.Pinned != nil || s.job.aside || m.Works() {
		return nil
	}
	own := len(s.products)
	wide := s.blend.with(s.library, Pantry[:])
	var all []purchase
	for i := own; i < len(wide.products); i++ {
		for k := i; k < len(wide.products); k++ {
			if p, doses, ok := wide.bought(own, slices.Compact([]int{i, k})); ok {
				for _, g := range p.goods {
					p.cost += doses[g] * s.job.priceOf(wide.products[g].material.Name)
				}
				all = append(all, p)
			}
		}
	}
	inorder.Put(all, func(a, b purchase) int {
		return cmp.Or(cmp.Compare(len(a.goods), len(b.goods)), cmp.Compare(a.cost, b.cost))
	})
	for _, loose := range [2]bool{false, true} {
		if loose && s.job.MostProducts == 0 {
			break
		}
		for _, p := range all[:min(len(all), mostTried)] {
			if b, ok := s.buying(wide, p, loose); ok {
				return b
			}
		}
	}
	return nil
}

// priceOf gives what a kilogram of goods costs; 1 where no prices are known.
func (j Job) priceOf(name string) float64 {
	if i := slices.Index(Pantry[:], name); i >= 0 && i < len(j.Prices) {
		return j.Prices[i]
	}
	return 1
}

// bought says whether goods beside the shelf feed the crop in some amounts, and in which.
func (b *blend) bought(own int, goods []int) (p purchase, doses []float64, ok bool) {
	upper := slices.Clone(b.upper)
	for j := own; j < len(b.products); j++ {
		if !slices.Contains(goods, j) {
			upper[j] = 0
		}
	}
	x := make([]float64, b.p.n)
	if !b.p.minimise(make([]float64, b.p.n), upper, x) {
		return p, nil, false
	}
	doses = b.doses(x)
	for _, j := range goods {
		if doses[j] == 0 { // the rest of them does it
			return p, nil, false
		}
	}
	return purchase{goods: goods}, doses, !slices.ContainsFunc(reached(b.wishes, b.achieved(doses)), Wish.lacks)
}

// buying measures the mix out with what would be bought.
func (s *solver) buying(wide *blend, p purchase, loose bool) (*Buy, bool) {
	j := s.job
	j.aside = true
	if loose {
		j.MostProducts = 0
	}
	weigh := j.Measure.Kind == Packs
	if weigh {
		j.Measure = Measure{}
	}
	j.Budget = 0 // what is bought is paid beside it
	j.Shelf = slices.Clone(s.job.Shelf)
	for _, i := range p.goods {
		j.Shelf = append(j.Shelf, wide.products[i].material)
	}
	then, err := j.solve(s.library)
	if err != nil || !then.Works() {
		return nil, false
	}
	b := &Buy{Mix: then, Loose: loose, Weigh: weigh}
	for _, d := range then.Doses {
		if d.Shelf >= len(s.job.Shelf) {
			b.Goods = append(b.Goods, d)
		}
	}
	return b, len(b.Goods) > 0
}

// judgeFeed says that a shelf does not feed the crop, and what would.
func (s *solver) judgeFeed(m *Mix) []finding.Finding {
	var out []finding.Finding
	severity := finding.Note
	if w, starves := m.Starved(); starves {
		severity = finding.Caution
		out = append(out, finding.Finding{ID: FindStarves, Severity: finding.Stop, Figure: w.Achieved, Source: starvesFrom,
			Args: finding.Args{"Element": w.Nutrient.Word(), "Got": w.Achieved, "Wanted": w.Level, "Half": unit.Fraction(starvesBelow),
				"Pinned": s.job.Pinned != nil, "Alone": m.Buy == nil && s.job.Pinned == nil && s.found == nil}})
	}
	if m.Buy != nil {
		g, fill := m.Buy.Goods, cmp.Or(s.job.Bed, 100*unit.Gallon)
		args := finding.Args{"First": g[0].Product, "Amount": unit.Bought(g[0].Strength.In(fill)), "EC": m.Buy.Mix.EC, "Least": unit.Fraction(weakBelow), "More": len(g) > 1, "Volume": fill, "Weigh": m.Buy.Weigh}
		if len(g) > 1 {
			args["Second"], args["Also"] = g[1].Product, unit.Bought(g[1].Strength.In(fill))
		}
		out = append(out, finding.Finding{ID: FindBuy, Severity: severity, Args: args, Figure: g[0].Strength.In(fill), Source: ownRule})
	}
	return out
}
