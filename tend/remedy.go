package tend

import (
	"cmp"
	"math"

	"raftwright/mix"
	"raftwright/unit"
	acids "raftwright/water"
)

// remedy is one way of acting, in the order in which it is done: dump, water or solution, products, acid
// or base; or a refill alone.
type remedy struct {
	refill   bool
	plain    bool    // with water alone
	dump     float64 // L
	water    float64 // L
	solution float64 // L
	strength float64
	products []weighed
	acid     float64 // mmol
	base     float64 // mmol of potassium bicarbonate
	cost     float64
	volumes  trouble // why the volume is changed
	doses    trouble // why a product is dosed
	turns    trouble // why an acid or a base is
}

// nothing says whether a remedy leaves the water as it is.
func (r *remedy) nothing() bool {
	return !r.refill && r.dump == 0 && r.water == 0 && r.solution == 0 && len(r.products) == 0 && r.acid == 0 && r.base == 0
}

// pours says whether a remedy changes the water itself.
func (r *remedy) pours() bool { return r.refill || r.dump > 0 || r.water > 0 || r.solution > 0 }

// dosed says whether a remedy puts feed, acid or base into the water that is there.
func (r *remedy) dosed() bool {
	return !r.refill && (r.solution > 0 || len(r.products) > 0 || r.acid > 0 || r.base > 0)
}

// weighed is a mass of a product of the shelf.
type weighed struct {
	product int
	grams   float64
}

// What doing costs beside days that are out (reference methods, section 12: judgement).
const (
	costRead   = 0.05
	costWater  = 0.1
	costDose   = 0.2
	costMore   = 0.1 // each product beside the first
	costDump   = 0.5 // and the share that is dumped
	costRefill = 2.0
)

// on does a remedy on a drawn bed.
func (r *remedy) on(b *lived) (water, float64) {
	w, H := b.water, b.h
	h := b.of
	var l ledger
	changed := r.dump > 0
	if r.refill {
		w.dump(&l, w.volume)
		with := h.planned
		if r.plain {
			with = h.source
		}
		w.pour(&l, h.area*b.area*h.depth, with)
		changed = true
	}
	w.dump(&l, r.dump)
	if r.water > 0 {
		w.pour(&l, r.water, h.source)
		changed = true
	}
	if r.solution > 0 {
		w.pour(&l, r.solution, h.source.plus(h.planned.plus(h.source, -1), r.strength))
		changed = true
	}
	for _, p := range r.products {
		w.add(&l, h.portion[p.product].times(p.grams))
		changed = true
	}
	if r.acid > 0 {
		w.add(&l, h.sours.times(r.acid))
		changed = true
	}
	if r.base > 0 {
		w.add(&l, bicarbonate.times(r.base))
		changed = true
	}
	if changed {
		c := w.litre()
		H = b.near.hydrogen(&c, H, -1)
	}
	return w, H
}

var bicarbonate = amounts{potassium: 1, carbon: 1}

// bicarbonateOfPotassium is what it is called in a log.
var bicarbonateOfPotassium = acids.PotassiumBicarbonate.String()

// gramsOfBicarbonate is the mass of a mmol of potassium bicarbonate.
var gramsOfBicarbonate = acids.PotassiumBicarbonate.MolarMass() / 1e3

// bottle gives the acid that may be used at this bed: the brief's, else the one proposed; never a strong one
// where children come.
func (h *history) bottle() (acids.Product, bool) {
	p := h.plan
	may := func(x acids.Product) bool { return !(x.Strong() && p.WithChildren()) }
	if b := p.Bottle; b != nil && may(*b) {
		return *b, true
	}
	if s := p.Safer; s != nil && s.Dose != nil && may(s.Dose.Want.Product) {
		return s.Dose.Want.Product, true
	}
	if d := p.PrintedAcid(); d != nil && d.Want.Product.Reagent != acids.PotassiumBicarbonate && may(d.Want.Product) {
		return d.Want.Product, true
	}
	return acids.Product{}, false
}

// mark gives the volume to which the bed is filled up, L: the planned one, or less where rain is foretold.
func (a *adviser) mark() float64 {
	most := a.h.area * (a.h.brim - 1)
	if a.supposed.RainKnown {
		most -= a.supposed.Rain.Millimetres() * a.h.area
	}
	return max(0, min(a.h.area*a.h.depth, most))
}

// step is the least volume that is measured out: the marks of a bucket.
func (a *adviser) step() float64 {
	if a.h.plan.Metric() {
		return 1
	}
	return unit.Gallon.Litres()
}

func (a *adviser) bucket() float64 {
	if f := a.h.plan.Brief.Mix.Bucket; f.Given {
		return f.Value.Litres()
	}
	return (5 * unit.Gallon).Litres()
}

// waterTo is plain water up to a volume, in whole steps and never over it.
func (a *adviser) waterTo(volume float64) remedy {
	n := math.Floor((volume-a.middle.water.volume)/a.step() + 1e-9)
	if n < 1 {
		return remedy{}
	}
	return remedy{water: n * a.step(), cost: costWater, volumes: trouble{LimitLevel, -1}}
}

// feeds, dumps: the troubles that more feed, or less solution, answers.
var (
	feeds   = [...]trouble{{LimitBand, -1}, {LimitNitrate, -1}, {LimitPotassium, -1}, {LimitCalcium, -1}, {LimitImbalance, -1}}
	dilutes = [...]trouble{{LimitEC, 1}, {LimitBand, 1}, {LimitAmmonium, 1}, {LimitAmmonia, 1}, {LimitSodium, 1}, {LimitChloride, 1}, {LimitSulfate, 1}, {LimitBlind, 1}, {LimitImbalance, 1}}
)

func (a *adviser) first(list []trouble) (trouble, bool) {
	for _, t := range list {
		if a.wanted[t] {
			return t, true
		}
	}
	return trouble{}, false
}

// remedies lists what may be tried: a volume, a dose, or a volume and a dose.
func (a *adviser) remedies() []remedy {
	out := []remedy{{}}
	filled := a.waterTo(a.mark())
	volumes := []remedy{{}}
	if filled.water > 0 {
		volumes = append(volumes, filled)
		out = append(out, filled)
	}
	low, hungry := a.first(feeds[:])
	if hungry && filled.water > 0 {
		for _, s := range [...]float64{0.5, 1, 1.5} {
			r := remedy{solution: filled.water, strength: s, cost: costDose, volumes: low}
			out, volumes = append(out, r), append(volumes, r)
		}
	}
	if high, full := a.first(dilutes[:]); full {
		for _, r := range a.lessened(high) {
			out = append(out, r)
			if !r.refill {
				volumes = append(volumes, r)
			}
		}
	} else if len(a.wanted) > 0 && !a.doubt {
		out = append(out, a.refill(a.any()))
	}
	for _, v := range volumes {
		if hungry && v.solution == 0 && v.dump == 0 {
			fed := a.fed(v, low)
			out = append(out, fed...)
			if t := (trouble{LimitPH, 1}); a.wanted[t] && len(fed) > 0 { // fed, and soured at once
				out = append(out, a.soured(fed[0], t)...)
			}
		}
		if t := (trouble{LimitPH, 1}); a.wanted[t] {
			out = append(out, a.soured(v, t)...)
		}
		if t := (trouble{LimitPH, -1}); a.wanted[t] {
			out = append(out, a.sweetened(v, t)...)
		}
	}
	return out
}

// any gives what a bed is filled anew for: a low level only where there is nothing else, for water alone mends that.
func (a *adviser) any() trouble {
	low := trouble{LimitLevel, -1}
	for _, l := range watched {
		for _, side := range [...]int{-1, 1} {
			if t := (trouble{l, side}); a.wanted[t] && t != low {
				return t
			}
		}
	}
	return low
}

func (a *adviser) refill(why trouble) remedy {
	return remedy{refill: true, cost: costRefill, volumes: why}
}

// mostDumped is the share from which on a refill is better than a part.
const mostDumped = 0.6

// lessened dumps the least part that holds, in whole buckets, and fills up with water; or refills.
func (a *adviser) lessened(why trouble) []remedy {
	var out []remedy
	if p := a.middle.point(&a.middle.water, a.middle.h, pHof(a.middle.h)); !a.doubt || !a.unsure && why.limit == LimitEC && a.bounds[onEC].stops(p.ec) { // nothing is emptied for a reading that is yet to be read again; a pH is none for a strength that kills
		out = append(out, a.refill(why))
	}
	full := max(a.middle.water.volume, a.mark())
	for _, goal := range [...]float64{1, 0.85} { // of the end of what is good, or of the limit where 21 days are looked at
		for n := 1.0; ; n++ {
			r := remedy{dump: n * a.bucket(), volumes: why}
			if r.dump > mostDumped*full {
				break
			}
			left := a.middle.water.volume - r.dump
			r.water = max(0, math.Floor((a.mark()-left)/a.step())*a.step())
			r.cost = costDump + r.dump/full
			w, H := r.on(&a.middle)
			p := a.middle.point(&w, H, pHof(H))
			if a.holds(why.limit, &p, goal) {
				out = append(out, r)
				break
			}
		}
	}
	return out
}

// lasts is for how many days what is dumped must be enough.
const lasts = 21

// holds says whether a limit is kept for long enough after a dump.
func (a *adviser) holds(l Limit, p *point, goal float64) bool {
	k := indexOf(l)
	x := a.figure(l, p, a.middle.near)
	switch l {
	case LimitBand, LimitEC:
		return x <= a.bounds[onBand].goodTo*goal
	case LimitSodium, LimitChloride, LimitSulfate:
		return x+a.rise(l)*lasts <= a.bounds[k].actAbove*goal
	}
	return x <= max(a.bounds[k].goodTo, a.bounds[k].actAbove*0.7)*goal
}

// rise gives by how much a salt climbs in a day with the level held by the fill water, mg/L.
func (a *adviser) rise(l Limit) float64 {
	if len(a.middle.days) == 0 {
		return 0
	}
	d := &a.middle.days[0]
	p := point{in: a.h.source}
	return max(0, a.figure(l, &p, a.middle.near)*(d.drinks+d.dries)/max(1, a.middle.water.volume))
}

func indexOf(l Limit) int {
	for k, x := range watched {
		if x == l {
			return k
		}
	}
	return 0
}

// grams gives an amount as the measure at hand gives it; 0 where that is nothing.
func (a *adviser) grams(product int, grams float64) float64 {
	p := a.h.plan
	m := p.Shelf[product]
	spoon, _ := m.Spoon()
	x := p.Measure().Helping(unit.Mass(grams)*unit.Gram, spoon.Mass, p.Jug(), false).Mass.Grams()
	if k := p.Measure().Kind; k == mix.Exact || k == mix.Packs { // nothing was said that part of a pack is measured with
		x = math.Round(x)
	}
	return x
}

// fed adds products to a volume: all of the planned mix in their proportion, or the one of which most is short.
func (a *adviser) fed(v remedy, why trouble) []remedy {
	w, H := v.on(&a.middle)
	p := a.middle.point(&w, H, pHof(H))
	n := a.middle.near
	conducts := func(x amounts) (ec float64) {
		for i := range ions {
			ec += n.slope[i] * x[i]
		}
		return ec
	}
	low, high := a.bounds[onBand].goodFrom, a.bounds[onBand].goodTo
	var out []remedy
	keep := func(list []weighed) {
		r := v
		r.doses = why
		r.products = nil
		for _, x := range list {
			if g := a.grams(x.product, x.grams); g > 0 && !a.h.rots[x.product] {
				r.products = append(r.products, weighed{x.product, g})
			}
		}
		if len(r.products) > 0 {
			r.cost += costDose + costMore*float64(len(r.products)-1)
			out = append(out, r)
		}
	}
	planned := a.h.pinned
	var whole amounts
	for k, g := range planned {
		if !a.h.rots[k] {
			whole = whole.plus(a.h.portion[k], g)
		}
	}
	if gain := conducts(whole); gain > 0 {
		for _, goal := range [...]float64{low, (low + high) / 2} {
			if x := (goal - p.ec) / gain * w.volume; x > 0 {
				var list []weighed
				for k, g := range planned {
					if g > 0 {
						list = append(list, weighed{k, g * x})
					}
				}
				keep(list)
			}
		}
	}
	for k := range a.h.portion {
		gain := conducts(a.h.portion[k])
		if gain <= 0 || a.h.rots[k] {
			continue
		}
		most := (high - p.ec) / gain * w.volume // grams
		need := (low - p.ec) / gain * w.volume
		for _, x := range [...]struct {
			l Limit
			i ion
		}{{LimitNitrate, nitrate}, {LimitPotassium, potassium}, {LimitCalcium, calcium}} {
			if brings := a.h.portion[k][x.i]; a.wanted[trouble{x.l, -1}] && brings > 0 {
				short := limits()[x.l].goodFrom/weight[x.i] - p.in[x.i]
				need = max(need, short*w.volume/brings)
			}
		}
		if g := min(need, most); g > 0 {
			keep([]weighed{{k, g}})
		}
	}
	return out
}

// goalPH is the middle of what roots like. Tried are shares of what that takes (reference methods, section 12: nine tenths of an
// acid; of a base half), more of an acid where what is aired rises again, and more of a base where microbes and roots go on
// making acid of ammonium: what comes of it on the drawn beds decides.
const goalPH = 6.0

// titrate gives the mmol of something that bring a water to a pH, closed (open < 0) or once its
// carbon is in balance with a pressure.
func titrate(n *near, w water, per amounts, down bool, goal, open float64) float64 {
	h, c := math.Pow(10, -goal), w.litre()
	most := 20 * w.volume
	over, _, _ := n.charge(&c, c.strong(), h, open) // charge there, mmol/L; it is shared by all that is dissolved
	if (over > 0) != down {
		return 0
	}
	c = w.in.plus(per, most).times(1 / w.volume)
	then, _, _ := n.charge(&c, c.strong(), h, open)
	if (then > 0) == down { // so much does not do it
		return most
	}
	return most * over / (over - then)
}

// soured adds acid to a volume.
func (a *adviser) soured(v remedy, why trouble) (out []remedy) {
	b, ok := a.h.bottle()
	if !ok {
		return nil
	}
	w, _ := v.on(&a.middle)
	breath := a.middle.habits.co2
	for _, to := range [...]aim{{0.5, goalPH, -1}, {0.9, goalPH, -1}, {1, 5.7, -1}, {1, 5.4, -1}, {0.5, goalPH, breath}, {0.9, goalPH, breath}} {
		r := v
		r.acid = a.measured(b, to.share*titrate(a.middle.near, w, a.h.sours, true, to.pH-a.middle.tilt, to.open))
		if r.acid > 0 {
			r.cost, r.turns = r.cost+costDose, why
			out = append(out, r)
		}
	}
	return out
}

// aim is a share of what brings a water to a pH, closed (open < 0) or aired.
type aim struct{ share, pH, open float64 }

// measured rounds so many mmol of an acid to what is weighed or measured.
func (a *adviser) measured(b acids.Product, mmol float64) float64 {
	if b.Solid() {
		of := crystal(b)
		return math.Round(mmol*of/a.crystals(b)) * a.crystals(b) / of
	}
	of := 1 / max(1e-6, b.Molarity().MillimolesPerLitre()/1000) // mL a mmol
	return halves(mmol*of) / of
}

// crystal is the mass of a mmol of an acid that is weighed, g. Crystals of which no strength was said are pure.
func crystal(b acids.Product) float64 {
	return b.Reagent.MolarMass() / 1000 / cmp.Or(float64(b.Strength), 1)
}

// crystals gives the least step of an acid that is weighed, g: a quarter of a level spoon where this grower has spoons.
func (a *adviser) crystals(b acids.Product) float64 {
	if b.Reagent == acids.Citric && a.h.plan.Measure().Kind == mix.Spoons {
		return acids.CitricSpoon.Grams() / 4
	}
	return 1
}

// halves rounds mL: to whole ones, under five to halves.
func halves(x float64) float64 {
	if x < 5 {
		return math.Round(2*x) / 2
	}
	return math.Round(x)
}

// sweetened adds potassium bicarbonate to a volume.
func (a *adviser) sweetened(v remedy, why trouble) (out []remedy) {
	w, _ := v.on(&a.middle)
	breath := a.middle.habits.co2
	for _, to := range [...]aim{{0.5, goalPH, -1}, {0.9, goalPH, -1}, {1.5, goalPH, -1}, {2.5, goalPH, -1}, {0.9, goalPH, breath}, {1, 6.5, breath}, {1, 6.8, breath}, {1.5, 6.8, breath}, {2.2, 6.8, breath}} {
		r := v
		r.base = to.share * titrate(a.middle.near, w, bicarbonate, false, to.pH-a.middle.tilt, to.open)
		r.base = math.Round(r.base*gramsOfBicarbonate) / gramsOfBicarbonate
		if r.base > 0 {
			r.cost, r.turns = r.cost+costDose, why
			out = append(out, r)
		}
	}
	return out
}

// actions tells a remedy step by step.
func (a *adviser) actions(r remedy) []Action {
	p := a.h.plan
	litres := func(x float64) unit.Volume { return unit.Volume(x) * unit.Litre }
	var out []Action
	add := func(x Action, t trouble) {
		x.Why, x.Args, x.Source = a.why(t)
		if r.refill && t.limit == LimitPH { // that of the water goes
			x.Why = WhySharpMix
		}
		out = append(out, x)
	}
	if r.refill {
		x := Action{Do: DoRefill, Volume: p.Frame.Volume, Strength: 1}
		if r.plain {
			x.Strength = 0
		}
		add(x, r.volumes)
	}
	if r.dump > 0 {
		add(Action{Do: DoDump, Volume: litres(r.dump)}, r.volumes)
	}
	if r.water > 0 {
		t := r.volumes
		if r.dump > 0 {
			t = trouble{LimitLevel, -1}
		}
		add(Action{Do: DoWater, Volume: litres(r.water)}, t)
	}
	if r.solution > 0 {
		add(Action{Do: DoFeed, Volume: litres(r.solution), Strength: unit.Fraction(r.strength)}, r.volumes)
	}
	for _, x := range r.products {
		add(Action{Do: DoFeed, Product: p.Shelf[x.product].Name, Mass: unit.Mass(x.grams) * unit.Gram}, r.doses)
	}
	if r.acid > 0 {
		b, _ := a.h.bottle()
		x := Action{Do: DoAcid, Product: b.Reagent.String()}
		if b.Solid() {
			x.Mass = unit.Mass(r.acid*crystal(b)) * unit.Gram
		} else {
			x.Liquid = unit.Volume(r.acid/b.Molarity().MillimolesPerLitre()) * unit.Litre
		}
		add(x, r.turns)
	}
	if r.base > 0 {
		add(Action{Do: DoBase, Product: acids.PotassiumBicarbonate.String(), Mass: unit.Mass(r.base*gramsOfBicarbonate) * unit.Gram}, r.turns)
	}
	return out
}
