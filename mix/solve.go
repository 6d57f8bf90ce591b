package mix

import (
	"cmp"
	"errors"
	"math"
	"slices"

	"raftwright/chem"
	"raftwright/finding"
	"raftwright/unit"
)

// answer is a set of doses with its proof.
type answer struct {
	doses  []float64 // g/L, by product
	misfit float64   // weighted sum of squares
	value  float64   // of the program, which nothing of the search is below
	proven bool
	least  bool // the least amounts in use decided something
	broken []brokenLimit
}

// brokenLimit is a least limit or a budget that no mix of the shelf keeps.
type brokenLimit struct {
	limit Limit
	got   unit.MassConcentration
}

// Solve finds the mix. A shelf that cannot reach the target is no fault but the
// best mix with findings.
func Solve(j Job, lib Library) (Mix, finding.Faults) {
	m, err := j.solve(lib)
	return m, finding.FaultsOf(err, "mix", chem.FaultBalance)
}

func (j Job) solve(lib Library) (Mix, error) {
	p, faults := j.prepare(lib, nil)
	whole, wrong := j.Target.aim(lib, j.Crop.ID, 1)
	if faults = append(faults, wrong...); faults != nil {
		return Mix{}, faults
	}
	k, err := chem.At(measuredAt)
	if err != nil {
		return Mix{}, err
	}
	s := &solver{prepared: p, ions: k, whole: &whole}
	find := s.fit
	if j.Pinned != nil {
		find = s.pin
	}
	if err := find(); err != nil {
		return Mix{}, err
	}
	return s.report()
}

// solver holds a job on its way from question to answer.
type solver struct {
	prepared
	ions   *chem.Equilibria
	blend  *blend
	aim    aim
	whole  *aim    // what the target asks for, as it is; nil: not read
	scale  float64 // of the target, where an EC is asked for, or the crop wants another
	ec     *rising // where the crop's range counts
	wanted Band    // that range, mS/cm

	acid     chem.Composition // what the acid brings
	acidDose unit.MolarConcentration
	acidErr  error
	ecMissed bool
	rounds   int
	spread   float64 // of the first strengths tried around a guess

	sets  map[int]answer // the best ones of so many products at this strength and measure
	loose map[int]answer // those of them that no least amount touched

	exact   answer // at least one step of the measure of each product
	free    answer // any amount
	rounded answer
}

// fit finds the exact doses, with the acid that they need and the strength that
// the EC asks for, and then the doses that can be measured. Acid, strength and
// doses answer to each other weakly: each round brings the rest down about a
// hundredfold. A search over all sets of products is dear, so what follows from a
// set is settled before the next search asks whether it is still the best.
func (s *solver) fit() error {
	scale, err := s.start()
	if err != nil {
		return err
	}
	s.spread = widely
	var tried []matched
	for ; s.rounds < mostRounds; s.rounds++ {
		if err := s.pose(scale); err != nil {
			return err
		}
		held := s.exact.doses
		s.exact = s.best(s.most(), held)
		next, settled, err := s.follow(scale)
		if err != nil {
			return err
		}
		if settled {
			return s.measureOut()
		}
		scale = next
		if sameProducts(held, s.exact.doses) {
			continue
		}
		if slices.ContainsFunc(tried, func(m matched) bool { return sameProducts(m.answer.doses, s.exact.doses) }) {
			break
		}
		m, err := s.settle(matched{scale, s.exact})
		if err != nil {
			return err
		}
		scale, tried = m.scale, append(tried, m)
	}
	// sets of products can take turns, each the better one at the other's acid or
	// strength: then the one with the smallest misfit at its own stays
	m, err := s.settle(slices.MinFunc(tried, func(a, b matched) int { return cmp.Compare(a.answer.misfit, b.answer.misfit) }))
	if err != nil {
		return err
	}
	if err := s.pose(m.scale); err != nil {
		return err
	}
	return s.measureOut()
}

// start finds a strength to begin with, and an acid near what all products
// together want.
func (s *solver) start() (scale float64, err error) {
	if s.steers() {
		return s.steer()
	}
	if s.job.Acid == nil {
		return 1, nil
	}
	if err := s.pose(1); err != nil {
		return 0, err
	}
	_, err = s.settleAcid(s.relaxed())
	return 1, err
}

// matched is a set of products with the strength at which it has the EC.
type matched struct {
	scale  float64
	answer answer
}

// settle finds the doses, the strength and the acid of one set of products.
func (s *solver) settle(m matched) (matched, error) {
	for settled, rounds := false, 0; !settled && rounds < mostRounds; rounds++ {
		if err := s.pose(m.scale); err != nil {
			return m, err
		}
		a, ok := s.blend.onProducts(m.answer.doses)
		if !ok {
			return m, nil
		}
		s.exact, m.answer = a, a
		var err error
		if m.scale, settled, err = s.follow(m.scale); err != nil {
			return m, err
		}
	}
	return m, nil
}

// follow finds the acid, the line of the EC and the strength that the exact doses
// call for, and says whether they stood.
func (s *solver) follow(scale float64) (next float64, settled bool, err error) {
	still, err := s.settleAcid(s.exact.doses)
	if err != nil {
		return 0, false, err
	}
	line, err := s.straight()
	if err != nil || s.job.Target.EC == 0 {
		return scale, still && line, err
	}
	next, err = s.strengthFor(scale, s.exact.doses)
	return next, still && line && math.Abs(next-scale) <= 1e-7*scale, err
}

// sameProducts says whether two mixes use the same products.
func sameProducts(a, b []float64) bool {
	return slices.EqualFunc(a, b, func(x, y float64) bool { return (x == 0) == (y == 0) })
}

// settleAcid finds the acid of these doses, and says whether it stood.
func (s *solver) settleAcid(doses []float64) (bool, error) {
	if s.job.Acid == nil {
		return true, nil
	}
	before := s.acidDose
	err := s.neutralise(doses)
	return math.Abs(float64(s.acidDose-before)) <= 1e-5*float64(s.acidDose), err
}

// onProducts finds the best doses of the products that are in use, at the
// strength that stands. They are not proven best: other products may do better
// at this strength, with another EC.
func (b *blend) onProducts(doses []float64) (answer, bool) {
	upper := append([]float64(nil), b.upper...)
	for j, d := range doses {
		if d == 0 {
			upper[j] = 0
		}
	}
	x := b.scaled(doses)
	if !b.p.minimise(make([]float64, b.p.n), upper, x) {
		return answer{}, false
	}
	w := search{p: b.p, products: len(b.products)}
	w.offer(x, b.p.value(x))
	return b.answerOf(&w), true
}

// measureOut rounds the exact doses to the measure, and gives them their acid.
func (s *solver) measureOut() error {
	s.rounded = s.exact
	switch {
	case s.job.Measure.Kind != Exact:
		if s.free = s.best(s.most(), s.exact.doses); s.free.least || !s.free.proven {
			s.free = s.bestOf(s.most(), make([]float64, len(s.products)), s.free.doses)
		}
		s.fillFor(s.free.doses)
	case s.fill.Method == Stirred && !s.carries(s.exact.doses):
		s.fill = s.stirred(s.fill, s.exact.doses)
	case s.fill.Method == Stirred:
		s.fill = Filling{Method: Carried, Vessel: s.bucket, Makes: s.bucket}
		s.fill.share(s.job.Bed)
	}
	if s.job.Acid != nil {
		return s.neutralise(s.rounded.doses)
	}
	return nil
}

// mostRounds bounds the rounds of fit.
const mostRounds = 12

// widely and closely are how far a strength is looked for around a first guess, and
// around one that was found before.
const widely, closely = 1.3, 1.01

func (s *solver) most() int {
	if s.job.MostProducts == 0 {
		return len(s.products)
	}
	return min(s.job.MostProducts, len(s.products))
}

// pose sets the blend up for a strength of the target.
func (s *solver) pose(scale float64) error {
	a, b, err := s.posed(scale)
	if err != nil {
		return err
	}
	s.aim, s.scale = a, scale
	s.take(b)
	return nil
}

// take makes this blend the question; what was found for another is forgotten.
func (s *solver) take(b *blend) {
	s.blend, s.sets, s.loose = b, map[int]answer{}, map[int]answer{}
}

func (s *solver) posed(scale float64) (aim, *blend, error) {
	times, strength := scale, 1.0
	if s.steers() { // the wishes stay the recipe's, to be judged by
		times, strength = 1, scale
	}
	a, err := s.aimAt(times)
	if err != nil {
		return aim{}, nil, err
	}
	for i := range a.wishes {
		a.wishes[i].strength = strength
	}
	b := &blend{base: s.base.Add(LevelsOf(s.acid)), products: s.products, wishes: a.wishes, unasked: a.unasked, limits: a.limits, budget: s.job.Budget / 1000, ec: s.ec}
	b.give(b.base)
	b.build()
	return a, b, nil
}

// aimAt gives what the target asks for so many times over, with wishes of its own: as it is, it was read before.
func (s *solver) aimAt(times float64) (aim, error) {
	if times == 1 && s.whole != nil {
		a := *s.whole
		a.wishes, a.unasked = slices.Clone(a.wishes), slices.Clone(a.unasked)
		return a, nil
	}
	a, faults := s.job.Target.aim(s.library, s.job.Crop.ID, times)
	return a, faults.Or()
}

// best is the proven best set of at most so many products, each at least one
// step of the measure.
func (s *solver) best(most int, start []float64) answer {
	if a, known := s.sets[most]; known {
		return a
	}
	least := make([]float64, len(s.products))
	for j := range least {
		least[j] = float64(s.grid[j])
	}
	a, known := s.loose[most]
	for j, d := range a.doses {
		known = known && (d == 0 || d >= least[j])
	}
	if !known {
		a = s.bestOf(most, least, start)
	}
	s.sets[most] = a
	return a
}

// bestOf is the same for given least amounts, g/L.
func (s *solver) bestOf(most int, least, start []float64) answer {
	b := s.blend
	w := &search{p: b.p, products: len(b.products), most: most, least: make([]float64, len(least)), maxNodes: b.work(mostNodes)}
	for j, l := range least {
		w.least[j] = l * b.scale[j]
	}
	if start != nil { // the best amounts of those products, as a bound
		upper := append([]float64(nil), b.upper...)
		for j, d := range start {
			if d == 0 {
				upper[j] = 0
			}
		}
		n := node{x: b.scaled(start), in: make([]bool, len(start))}
		if b.p.minimise(make([]float64, b.p.n), upper, n.x) {
			if j, _, _ := w.offGrid(n); j < 0 && w.tooMany(n) < 0 {
				w.offer(n.x, b.p.value(n.x))
			}
		}
	}
	w.run(make([]float64, b.p.n), b.upper)
	a := b.answerOf(w)
	if a.proven && !a.least {
		s.loose[most] = a
	}
	return a
}

func (b *blend) answerOf(w *search) answer {
	if !w.found {
		none := make([]float64, len(b.products))
		return answer{doses: none, misfit: b.missed(b.base) + b.ec.cost(none), proven: w.proven}
	}
	a := answer{doses: b.doses(w.best), value: w.value, proven: w.proven, least: w.cut}
	got := b.achieved(a.doses)
	a.misfit = b.missed(got) + b.ec.cost(a.doses)
	slack := len(b.products)
	for _, h := range b.held {
		if !h.least {
			continue
		}
		if w.best[slack] > 1e-6 {
			a.broken = append(a.broken, brokenLimit{h.limit, got[h.limit.Nutrient]})
		}
		slack++
	}
	return a
}

// round finds the best doses on the grid of the measure: from the nearest steps
// uphill, and then by search over the whole grid.
func (s *solver) round(from answer, most, work int) answer {
	b := s.blend
	n := len(b.products)
	w := &search{p: b.p, products: n, most: most, least: make([]float64, n), grid: make([]float64, n), maxNodes: b.work(work)}
	upper := append([]float64(nil), b.upper...)
	start, floor := make([]float64, n), make([]float64, n)
	for j := range n {
		g := float64(s.grid[j])
		w.grid[j] = g * b.scale[j]
		upper[j] = math.Floor(upper[j]/w.grid[j]*(1+1e-12)) * w.grid[j]
		start[j] = math.Round(from.doses[j]/g) * g
		floor[j] = math.Floor(from.doses[j]/g) * g
	}
	narrow := append([]float64(nil), upper...)
	for j, d := range from.doses {
		if d == 0 {
			narrow[j] = 0
		}
	}
	whole := n <= wideShelf && s.job.Target.EC == 0 // other products would move the EC
	if !whole {
		upper = narrow
	}
	for _, doses := range [][]float64{start, floor, make([]float64, n)} {
		w.polish(b.scaled(doses), upper)
	}
	for fewer := min(most, 5); n > 6 && whole && fewer >= 3; fewer-- { // on a coarse grid fewer products often do better
		simple := s.best(fewer, nil).doses
		for j, g := range s.grid {
			simple[j] = math.Round(simple[j]/float64(g)) * float64(g)
		}
		w.polish(b.scaled(simple), upper)
	}
	// nothing measured is below the exact answer: one that comes to it is proven; else
	// first among the products of that answer, which is quick and gives a good bound,
	// then over the whole shelf
	if w.proven = whole && from.proven && w.found && w.value <= from.value+gridTie; !w.proven {
		w.run(make([]float64, b.p.n), narrow)
		if whole {
			w.nodes = 0
			w.run(make([]float64, b.p.n), upper)
		}
	}
	a := b.answerOf(w)
	a.proven = a.proven && n <= wideShelf
	for j, g := range s.grid { // take the dust off
		a.doses[j] = math.Round(a.doses[j]/float64(g)) * float64(g)
	}
	a.misfit = b.missed(b.achieved(a.doses)) + b.ec.cost(a.doses)
	return a
}

// composition gives all ions of the finished mix.
func (s *solver) composition(doses []float64) chem.Composition {
	return s.job.Water.Ions.Add(s.acid).Add(s.blend.ions(doses))
}

func (s *solver) conductivity(doses []float64) (unit.Conductivity, error) {
	c := s.composition(doses)
	if a := s.job.Acid; a != nil && a.CO2 > 0 {
		sol, err := s.ions.Open(c, a.CO2)
		return sol.Conductivity, err
	}
	sol, err := s.ions.Closed(c)
	return sol.Conductivity, err
}

// neutralise finds the acid that brings the mix to its pH.
func (s *solver) neutralise(doses []float64) error {
	ask := s.job.Acid
	if ask.Dose > 0 {
		s.acidDose, s.acid = ask.Dose, ask.Reagent.Times(float64(ask.Dose))
		return nil
	}
	into := s.job.Water.Ions.Add(s.blend.ions(doses))
	dose, err := s.ions.Amount(chem.Dosing{Into: into, Reagent: ask.Reagent, PH: ask.PH, CO2: ask.CO2})
	var refused *chem.DoseError
	switch {
	case errors.As(err, &refused):
		s.acidErr, s.acidDose, s.acid = refused, 0, chem.Composition{}
		return nil
	case err != nil:
		return finding.FaultsOf(err, "acid", chem.FaultBalance)
	}
	s.acidErr, s.acidDose, s.acid = nil, dose, ask.Reagent.Times(float64(dose))
	return nil
}

// strengthFor finds the strength, near this one, at which the products of these
// doses give the EC that is asked for. The conductivity rises with the strength;
// where no strength within reason gives it, the nearest end is taken and it is
// said so.
func (s *solver) strengthFor(scale float64, doses []float64) (float64, error) {
	want := s.job.Target.EC
	off := func(scale float64) (float64, error) {
		_, b, err := s.posed(scale)
		if err != nil {
			return 0, err
		}
		a, ok := b.onProducts(doses)
		if !ok {
			return 0, finding.Faults{{ID: FaultSearch, Path: "target.ec"}}
		}
		ec, err := s.conductivity(a.doses)
		if err != nil {
			return beyondAny, nil // more salt than the chemistry reckons with: certainly too strong
		}
		return float64(ec - want), nil
	}
	weakest, strongest, err := s.reach()
	if err != nil {
		return 0, err
	}
	x, beyond, err := crossing{off, weakest, strongest, scale, s.spread, 1e-9}.find()
	s.ecMissed, s.spread = beyond, closely
	return x, err
}

// reach gives the strengths of the target within which the EC is looked for: up
// to four times what salts of a gram a litre for each mS/cm would hold, which no
// fertiliser comes near. A shelf that cannot carry the current, such as urea or
// table salt under its limit, ends there.
func (s *solver) reach() (weakest, strongest float64, err error) {
	a, err := s.aimAt(1)
	if err != nil {
		return 0, 0, err
	}
	var asked unit.MassConcentration
	for _, w := range a.wishes {
		asked += w.Level
	}
	salt := 4000 * s.job.Target.EC.MillisiemensPerCentimetre()
	return 1e-4, max(1, min(1e4, salt/max(asked.MilligramsPerLitre(), 1e-9))), nil
}

// beyondAny is more than any conductivity, S/m.
const beyondAny = 1e3

// crossing asks where a rising f crosses zero.
type crossing struct {
	f                func(float64) (float64, error)
	low, high, guess float64
	spread           float64 // of the first bracket around the guess, 1.3 is a third either way
	within           float64 // of f, from which it is crossed
}

// find brackets the crossing outwards from the guess, always the one way that a
// rising f has to go, and closes in by false position with the Illinois halving.
// Where f does not cross, beyond is true and the strength nearest to the guess
// comes back that none is better than: limits may hold f level for a long way.
func (c crossing) find() (x float64, beyond bool, err error) {
	best, miss := c.guess, math.Inf(1)
	try := func(x float64) (float64, error) {
		y, err := c.f(x)
		if math.Abs(y) < miss*(1-1e-9) {
			best, miss = x, math.Abs(y)
		}
		return y, err
	}
	a, b := max(c.low, c.guess/c.spread), min(c.high, c.guess*c.spread)
	fa, err := try(a)
	if err != nil {
		return 0, false, err
	}
	fb, err := try(b)
	for err == nil && fa*fb > 0 {
		switch {
		case fa > 0 && a > c.low:
			b, fb, a = a, fa, max(c.low, a/2)
			fa, err = try(a)
		case fa < 0 && b < c.high:
			a, fa, b = b, fb, min(c.high, b*2)
			fb, err = try(b)
		default:
			if y, err := c.f(c.guess); err != nil || math.Abs(y) <= miss*(1+1e-9) {
				return c.guess, true, err
			}
			return best, true, nil
		}
	}
	if err != nil || fa == fb { // both are zero
		return a, false, err
	}
	for range 80 {
		x := b - fb*(b-a)/(fb-fa)
		y, err := c.f(x)
		if err != nil {
			return 0, false, err
		}
		if math.Abs(y) < c.within || math.Abs(b-a) < 1e-9*b {
			return x, false, nil
		}
		if y*fb < 0 {
			a, fa = b, fb
		} else {
			fa /= 2
		}
		b, fb = x, y
	}
	return b, false, nil
}
