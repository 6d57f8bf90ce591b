package tend

import (
	"math"
	"slices"
	"time"

	"raftwright/bed"
	"raftwright/brief"
	"raftwright/crop"
	"raftwright/mix"
	"raftwright/plan"
	"raftwright/sky"
	"raftwright/unit"
)

// history is a log made ready for the sums: at each visit what was read and what was
// done to the water, and between them the days.
type history struct {
	area    float64   // m2 of water, as planned
	depth   float64   // mm, as planned
	brim    float64   // mm over the floor at which it spills
	source  amounts   // a litre of the fill water
	guessed bool      // of which no test tells
	planned amounts   // a litre of the planned mix, with its acid, and without what rots: what is poured from now on
	steeps  amounts   // the same with what rots: what was poured so far
	organic []float64 // share of each of portion that is nitrogen which has to rot
	rots    []bool    // which of them are organic feeds
	portion []amounts
	names   []string // of portion
	spread  []float64
	pinned  []float64 // g/L of each in the planned mix
	sours   amounts   // of a mmol of the acid that may be used
	visits  []visit
	spans   []span // spans[i] ends at visits[i]
	crop    uptake
	start   time.Time

	offsets   []float64 // °C by which the solution was read over the model, by reading
	filled    float64   // days from the start to the last filling
	rooted    float64   // the same to the last in which no roots stood: what turns urea and ammonium lives on them and on the liner, and stays with both (reference methods, section 5: an old bed turns them sooner)
	emptied   int       // the visit at which the bed was filled last before anything was read: what was in it before shows in no reading
	again     []string  // keys of what is to be read before anything is poured for it
	sought    []sought  // when a leak was looked for, the first first
	apart     *apart    // two readings of pH of now that cannot both be right; nil where there are none
	dawns     *dawns
	plan      *plan.Plan
	plantings []planting
	alone     bool // one thing is done after the other

	workroom
	other *workroom // of whoever works beside
}

// visit is one time that somebody was there, in sums.
type visit struct {
	at    time.Time
	from  *bed.Visit
	acts  []act
	first int // number of the first act, over the whole log
	// heads on the raft afterwards
	heads int
}

// act is one thing done to the water.
type act struct {
	kind   actKind
	volume float64   // L
	what   amounts   // mmol/L of what is poured, mmol of what is dissolved
	by     []portion // of what a dry dose is made; nil where its error is not its own
	free   float64   // share that an unknown of its own may change it by; 0: none
}

type actKind int

const (
	dumps actKind = iota
	fills
	pours
	dissolves
)

// portion is so much of a product.
type portion struct {
	product int
	mmol    amounts
}

// span is the time between two visits.
type span struct {
	from  float64 // days from the start of the log
	days  float64
	steps []day
	rain  rainNote
}

// rainNote is what is known of the rain of a span, L on the frame.
type rainNote struct {
	litres float64
	noted  bool
	usual  float64
}

// uptake is what a gram of dry mass takes up, mmol; the factor on the calcium that comes with the water; and how much less is known of it than of lettuce.
type uptake struct {
	content amounts
	lime    float64
	other   float64
}

// sdLeaves is how far the factors of another crop may be off, of the logarithm (reference tables of crops: judgement).
const sdLeaves = 0.20

// Whole plants of lettuce, mg for each g dry (start values of the reference; judgement
// from tissue tables). Of calcium half comes with growth, the rest with the water.
var tissue = [ions]float64{nitrate: 46, phosphate: 6.2, potassium: 66, calcium: 11.5 / 2, magnesium: 4.2, sulfate: 2.9}

// leaves are factors on tissue for other crops (judgement; reference tables of crops): N, P, K, Ca, Mg. They have 0.7 for the potassium of basil, while seven of the nine simulated basil beds
// of the reference take as much as lettuce or more: it stays there, and how far factors may be off covers both.
var leaves = map[string][5]float64{
	"pak_choi": {1.1, 1.1, 0.9, 1.8, 1.2}, "kale": {1.05, 0.9, 0.6, 2.0, 1.2}, "arugula": {1.15, 1, 0.8, 2.2, 1.2},
	"mustard_mizuna": {1.1, 1, 0.8, 1.8, 1.1}, "spinach": {1.1, 1, 1.1, 0.9, 2.2}, "swiss_chard": {0.95, 0.9, 1, 1.1, 2.2},
	"basil_sweet": {1, 1.1, 1, 1.6, 1.5}, "cilantro": {1, 1, 1, 1.2, 1}, "parsley": {0.95, 1, 0.9, 1.2, 0.9}, "dill": {1, 1, 1, 1.3, 0.9},
	"watercress": {1.1, 1.1, 0.9, 1.3, 1},
}

func uptakeOf(crop string) uptake {
	u := uptake{lime: 1}
	for i := range ions {
		if weight[i] > 0 {
			u.content[i] = tissue[i] / weight[i]
		}
	}
	if f, ok := leaves[crop]; ok {
		for k, i := range [...]ion{nitrate, phosphate, potassium, calcium, magnesium} {
			u.content[i] *= f[k]
		}
		u.lime, u.other = f[3], sdLeaves
	}
	return u
}

// planting is heads that were set on the raft together, and how they grow by the model.
type planting struct {
	at       float64                // days from the start
	day      sky.DayOfYear          // on which they were set
	set      int                    // heads
	heads    int                    // that are left
	grown    [sizes][]crop.Standing // by day
	seedling float64                // g dry
	crop     crop.Crop
}

// starts are the sizes of seedling that plantings are grown from: what the model begins with,
// and so much more or less. Between them the logarithm of what grows is a parabola.
var starts = [sizes]float64{1 / startStep, 1, startStep}

const sizes, startStep = 3, 2.5

// dry gives the dry mass of a plant (g) so many days after the start of the log.
func (p *planting) dry(size int, at float64) float64 {
	x, grown := at-p.at, p.grown[size]
	if x < 0 || len(grown) == 0 {
		return 0
	}
	of := func(k int) float64 {
		if k <= 0 {
			return p.seedling * starts[size]
		}
		s := grown[min(k, len(grown))-1]
		return s.Dry / float64(s.Plants)
	}
	k := int(x)
	return of(k) + (of(k+1)-of(k))*(x-float64(k))
}

// leaf gives the leaf over a bed, as the exponent of the light that it lets through.
func (p *planting) leaf(size int, at float64) float64 {
	x, grown := int(at-p.at), p.grown[size]
	if x < 0 || len(grown) == 0 || p.set == 0 {
		return 0
	}
	cover := min(0.999, float64(grown[min(x, len(grown)-1)].Cover))
	return -math.Log(1-cover) * float64(p.heads) / float64(p.set)
}

// newHistory makes a log ready. The moment for which it is wanted stands at its end as a visit at which
// nothing was read or done; what is written for later is left out.
func newHistory(p *plan.Plan, log bed.Log, now time.Time) *history {
	return historyOf(p, log, now, nil)
}

// historyOf does so where the plantings of the log were grown before; nil: they were not.
func historyOf(p *plan.Plan, log bed.Log, now time.Time, grown []planting) *history {
	h := &history{plan: p, other: &workroom{}, dawns: &dawns{of: map[supposal]*dawn{}}, area: p.Frame.Surface.SquareMetres(), depth: p.Depth().Millimetres(), crop: uptakeOf(p.Crop.ID)}
	h.area = p.Frame.Volume.Litres() / h.depth // L in a mm
	h.brim = p.Frame.Brim.Millimetres()
	if n := p.Frame.Notch; n.Possible {
		h.brim = n.Sill.Millimetres()
	}
	h.source = amountsOf(p.Water.Solution.Totals)
	h.guessed = p.Water.Guess()
	h.takeShelf(p)
	h.start = log[0].At
	for len(log) > 1 && log[len(log)-1].At.After(now) {
		log = log[:len(log)-1]
	}
	h.plantings = h.readVisits(p, log, grown)
	last := &h.visits[len(h.visits)-1]
	if now.Before(last.at) {
		now = last.at
	}
	h.visits = append(h.visits, visit{at: now, from: &bed.Visit{At: now}, heads: last.heads})
	acts := 0
	for i := range h.visits {
		h.visits[i].first = acts
		acts += len(h.visits[i].acts)
		if i > 0 {
			s := h.between(h.visits[i-1].at, h.visits[i].at, &h.visits[i].from.Read)
			if len(log) == followed+gathered && i < gathered {
				s.coarsen()
			}
			h.spans = append(h.spans, s)
		} else {
			h.spans = append(h.spans, span{})
		}
	}
	h.settle()
	h.emptied = h.lastEmptied()
	if p.Season != nil {
		h.offsets = offsets(p, log, p.Season.Offset)
	}
	return h
}

// lastEmptied finds that visit; the first one where there is none.
func (h *history) lastEmptied() (at int) {
	for i := range h.visits {
		if r := &h.visits[i].from.Read; r.EC.Given || r.PH.Given || r.Depth.Given || r.Nitrate.Given || r.Ammonium.Given {
			break
		}
		if h.visits[i].filledBy() >= 0 {
			at = i
		}
	}
	return at
}

// filledBy tells which of the acts of a visit filled the bed last: what was done before it there is undone; -1 where none did.
func (v *visit) filledBy() int {
	for k := len(v.acts) - 1; k >= 0; k-- {
		if v.acts[k].kind == fills {
			return k
		}
	}
	return -1
}

// settle gives the days what follows from when the bed was filled and from the middle of the log.
func (h *history) settle() {
	end := h.after(h.visits[max(0, len(h.visits)-2)].at) // of the visits: the moment that is asked for moves nothing that was
	for i := range h.visits {
		at := h.spans[i].from
		for k := range h.spans[i].steps {
			d := &h.spans[i].steps[k]
			d.since, d.passing = at+d.days/2-h.rooted, (at-end/2)/7
			at += d.days
		}
		for _, a := range h.visits[i].acts {
			if a.kind != fills {
				continue
			}
			h.filled = h.after(h.visits[i].at)
			if i == 0 || h.visits[i-1].heads == 0 { // else what turns urea and ammonium stays with roots and liner
				h.rooted = h.filled
			}
		}
	}
}

// takeShelf works out what a gram of each product brings, and the planned mix.
func (h *history) takeShelf(p *plan.Plan) {
	kind := p.Measure().Kind
	pinned := map[string]float64{}
	for _, e := range p.Brief.Mix.Doses {
		pinned[e.Name] = e.Value.Mass.GramsPerLitre()
		if at := slices.IndexFunc(p.Shelf, func(m mix.Material) bool { return m.Name == e.Name }); at >= 0 && e.Value.Volume > 0 { // a liquid
			pinned[e.Name] = unit.MassConcentration(float64(p.Shelf[at].Density) * float64(e.Value.Volume)).GramsPerLitre()
		}
	}
	if len(pinned) == 0 && p.Mix != nil {
		for _, d := range p.Mix.Doses {
			pinned[d.Product] = d.Strength.GramsPerLitre()
		}
	}
	h.planned, h.steeps = h.source, h.source
	for _, m := range p.Shelf {
		c, _ := m.Contents()
		a := amountsOf(c.Ions)
		a[urea] = float64(c.Shares[mix.UreaN]) * 1000 / weight[urea]
		h.portion, h.names, h.pinned = append(h.portion, a), append(h.names, m.Name), append(h.pinned, pinned[m.Name])
		sd := 0.02
		if kind == mix.Spoons {
			sd = 0.075
		}
		h.spread = append(h.spread, sd)
		h.organic, h.rots = append(h.organic, float64(c.Organic)), append(h.rots, c.Rots)
		h.steeps = h.steeps.plus(a, pinned[m.Name])
		if !c.Rots {
			h.planned = h.planned.plus(a, pinned[m.Name])
		}
	}
	h.planned, h.steeps = h.planned.plus(h.acid(p), 1), h.steeps.plus(h.acid(p), 1)
	if b, ok := h.bottle(); ok {
		h.sours = amountsOf(b.Adds())
	}
}

// acid gives what the planned acid brings to a litre: the dose that the brief pins, since that was poured, else the
// acid that is printed.
func (h *history) acid(p *plan.Plan) amounts {
	if d := p.Brief.Acid.Dose; d.Given && p.Bottle != nil {
		return amountsOf(p.Bottle.Adds()).times(moles(p, brief.Amount{Mass: unit.Mass(d.Value.Mass) * unit.Mass(unit.Litre), Volume: unit.Volume(d.Value.Volume) * unit.Litre}) +
			d.Value.Moles.MillimolesPerLitre())
	}
	w := p.PrintedAcid()
	if w == nil {
		return amounts{}
	}
	a := amountsOf(w.Want.Product.Adds())
	if p.Mix != nil && p.Mix.Acid.Dose > 0 {
		return a.times(p.Mix.Acid.Dose.MillimolesPerLitre())
	}
	return a.times(w.Amount.MillimolesPerLitre())
}

// poured gives what an acid of the log brings: the brief's, or what the paper has in its place where a strong
// one must stay off it and what was written can be of that: crystals are not poured by volume.
func (h *history) poured(p *plan.Plan, a brief.Amount) amounts {
	b := p.Bottle
	if may, ok := h.bottle(); ok && (b == nil || a.Volume == 0 || !may.Solid()) {
		b = &may
	}
	if b == nil {
		return amounts{}
	}
	of := *p
	of.Bottle = b
	return amountsOf(b.Adds()).times(moles(&of, a))
}

// moles gives the mmol of acid in an amount of the bottle.
func moles(p *plan.Plan, a brief.Amount) float64 {
	if p.Bottle == nil {
		return 0
	}
	if a.Volume > 0 {
		return a.Volume.Litres() * p.Bottle.Molarity().MillimolesPerLitre()
	}
	strength := float64(p.Bottle.Strength)
	if strength == 0 {
		strength = 1
	}
	return a.Mass.Grams() * strength / p.Bottle.Reagent.MolarMass() * 1000
}

func (h *history) after(at time.Time) float64 { return at.Sub(h.start).Hours() / 24 }

// readVisits turns what was done into acts on the water, and what was planted into
// plantings.
func (h *history) readVisits(p *plan.Plan, log bed.Log, grown []planting) []planting {
	var out []planting
	heads := 0
	for i := range log {
		v := visit{at: log[i].At, from: &log[i]}
		filled := false
		for _, done := range log[i].Done {
			switch d := done.(type) {
			case bed.Dumped:
				v.acts = append(v.acts, act{kind: dumps, volume: d.Volume.Litres()})
			case bed.Filled:
				filled = true
				v.acts = append(v.acts, act{kind: fills, what: h.source})
				if !d.Water {
					v.acts = append(v.acts, h.mixIn(h.area*h.depth))
				}
			case bed.AddedWater:
				v.acts = append(v.acts, act{kind: pours, volume: d.Volume.Litres(), what: h.source, free: 0.04})
			case bed.AddedSolution:
				what := h.source.plus(h.steeps.plus(h.source, -1), float64(d.Strength))
				v.acts = append(v.acts, act{kind: pours, volume: d.Volume.Litres(), what: what, free: 0.04})
			case bed.AddedProduct:
				v.acts = append(v.acts, h.product(d, filled))
			case bed.AddedAcid:
				v.acts = append(v.acts, act{kind: dissolves, what: h.poured(p, d.Amount)})
			case bed.Planted:
				heads += d.Heads
				x := h.sow(p, d, log[i].At)
				if n := len(out); n < len(grown) {
					x.grown = grown[n].grown
				} else {
					h.grow(p, &x)
				}
				out = append(out, x)
			case bed.Harvested:
				heads -= d.Heads
				cut(out, d.Heads)
			case bed.Lost:
				heads -= d.Heads
				cut(out, d.Heads)
			case bed.Sought:
				h.sought = append(h.sought, sought{h.after(v.at), d.Patched})
			}
		}
		v.heads, v.acts = max(0, heads), joined(v.acts)
		h.visits = append(h.visits, v)
	}
	return out
}

// joined makes one act of those of a visit that add the same thing, nothing having been taken out between them: what they add adds up, and
// of their errors, each its own, the squares. A long log has hundreds of such acts, and each has an unknown.
func joined(acts []act) []act {
	out, from := acts[:0:0], 0
next:
	for _, a := range acts {
		if a.kind == pours || a.kind == dissolves {
			for k := from; k < len(out); k++ {
				if out[k].join(&a) {
					continue next
				}
			}
		}
		out = append(out, a)
		if a.kind == dumps || a.kind == fills {
			from = len(out)
		}
	}
	return out
}

// join adds an act to this one where both add the same, and says whether it did.
func (a *act) join(b *act) bool {
	if a.kind != b.kind || a.by != nil || b.by != nil {
		return false
	}
	x, y := a.volume, b.volume
	if a.kind == dissolves {
		for i := range ions {
			x, y = x+math.Abs(a.what[i]), y+math.Abs(b.what[i])
		}
	}
	if x <= 0 || y <= 0 {
		return false
	}
	if a.kind == pours && a.what != b.what {
		return false
	}
	for i := range ions {
		if a.kind == dissolves && math.Abs(b.what[i]*x-a.what[i]*y) > 1e-9*x*y {
			return false
		}
	}
	a.free = math.Hypot(a.free*x, b.free*y) / (x + y)
	if a.kind == pours {
		a.volume += b.volume
	} else {
		a.what = a.what.plus(b.what, 1)
	}
	return true
}

// mixIn is the planned mix weighed out for a volume of water.
func (h *history) mixIn(volume float64) act {
	return act{kind: dissolves, what: h.steeps.plus(h.source, -1).times(volume), free: 0.075}
}

// product is a dose of one product; the first fill's error is the product's own.
func (h *history) product(d bed.AddedProduct, filled bool) act {
	for k, name := range h.names {
		if name != d.Product {
			continue
		}
		a := act{kind: dissolves, what: h.portion[k].times(h.grams(k, d.Amount)), free: 0.08}
		if filled {
			a.by, a.free = []portion{{k, a.what}}, 0
		}
		return a
	}
	if d.Product == bicarbonateOfPotassium { // what is advised where the pH is low need not stand on the shelf
		return act{kind: dissolves, what: bicarbonate.times(d.Amount.Mass.Grams() / gramsOfBicarbonate)}
	}
	return act{kind: dissolves}
}

// cut takes heads off the oldest plantings.
func cut(list []planting, heads int) {
	for i := range list {
		n := min(heads, list[i].heads)
		list[i].heads -= n
		heads -= n
	}
}

const longest = 120 // days that a planting is followed

// seedlingGain is by how much the logarithm of a seedling's dry mass rises with each day of its age (own
// judgement: seven days double it).
const seedlingGain = 0.10

func (h *history) sow(p *plan.Plan, d bed.Planted, at time.Time) planting {
	k := p.Crop
	out := planting{at: h.after(at), day: sky.DayOf(at), set: d.Heads, heads: d.Heads, crop: k, seedling: k.Growth.Seedling.Grams()}
	if d.Age > 0 {
		usual := k.Nursery.Middle().Days() + 3
		out.seedling *= math.Exp(seedlingGain * math.Max(-15, math.Min(15, d.Age.Days()-usual)))
	}
	return out
}

// grow grows a planting from each size of seedling.
func (h *history) grow(p *plan.Plan, x *planting) {
	if p.Ground == nil || x.set <= 0 {
		return
	}
	for i, f := range starts {
		x.grown[i] = p.Ground.Grow(crop.Stand{Crop: &x.crop, Plants: crop.Density(float64(x.set) / p.Frame.Surface.SquareMetres()),
			From: int(x.day) - 1, Days: longest, Start: unit.Mass(x.seedling*f) * unit.Gram})
	}
}

// Rain that nobody wrote down: its mean is a share of the month's and some mm more (reference methods, section 8, of visits some days apart), less of that where
// no day lies between.
const unnotedShare, unnotedMore = 0.6, 1.8

// atOnce is how many days are lived at once between visits that were gathered: what was done stands weeks from its day there already.
const atOnce = 3

// coarsen joins the days of a span by so many.
func (s *span) coarsen() {
	var steps []day
	for part := range slices.Chunk(s.steps, atOnce) {
		d, each := day{}, 1/float64(len(part))
		for _, x := range part {
			d.days, d.drinks, d.dries = d.days+x.days, d.drinks+x.drinks, d.dries+x.dries
			d.warmth, d.warm = d.warmth+each*x.warmth, d.warm+each*x.warm
			for z := range sizes {
				d.grows.of[z] += x.grows.of[z]
				d.leaf.of[z] += each * x.leaf.of[z]
			}
		}
		d.grows.bends()
		d.leaf.bends()
		steps = append(steps, d)
	}
	s.steps = steps
}

// between makes the days of a span.
func (h *history) between(from, to time.Time, read *bed.Readings) span {
	p, list := h.plan, h.plantings
	s := span{from: h.after(from), days: to.Sub(from).Hours() / 24}
	if s.days <= 0 {
		return s
	}
	n := max(1, int(math.Ceil(s.days-0.01)))
	step := s.days / float64(n)
	for i := range n {
		mid := from.Add(time.Duration((float64(i) + 0.5) * step * 24 * float64(time.Hour)))
		a, b := h.after(from)+float64(i)*step, h.after(from)+float64(i+1)*step
		d := day{days: step}
		if p.Ground != nil {
			w := p.Ground.Daily(sky.DayOf(mid))
			for z := range sizes {
				for x := range list {
					q := &list[x]
					d.grows.of[z] += float64(q.heads) * math.Max(0, q.dry(z, b)-q.dry(z, math.Max(a, q.at)))
					d.leaf.of[z] += q.leaf(z, (a+b)/2)
				}
			}
			d.grows.bends()
			d.leaf.bends()
			leaves, open := p.Ground.Takes(p.Crop, w.ET0, 1)
			d.drinks, d.dries = leaves.Litres()*step, open.Litres()*step
			d.warmth = w.Solution.Celsius()
			s.rain.usual += w.Rain.Millimetres() * h.area * step
		} else {
			d.warmth = 20
		}
		d.warm = math.Exp2((d.warmth - 22) / doubling)
		s.steps = append(s.steps, d)
	}
	if s.rain.usual > 0 { // more than the mean falls between two visits whose rain nobody wrote, if any
		s.rain.usual = unnotedShare*s.rain.usual + unnotedMore*h.area*min(1, s.days)
	}
	if read.Rain.Given {
		s.rain.noted, s.rain.litres = true, read.Rain.Value.Millimetres()*h.area
	}
	return s
}
