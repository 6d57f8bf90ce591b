package tend

import (
	"cmp"
	"math"
	"slices"
	"time"

	"raftwright/brief"
	"raftwright/chem"
	"raftwright/finding"
	"raftwright/source"
	"raftwright/unit"
)

// Action is one thing to do, for the whole bed; one without figures is something to do or to look at.
type Action struct {
	Do       Deed
	Product  string        // of the shelf, an acid, or the key of a reading
	Mass     unit.Mass     // of a powder
	Liquid   unit.Volume   // of an acid
	Volume   unit.Volume   // of water, or of solution
	Strength unit.Fraction // of the planned mix in it; 0: plain water
	Why      finding.ID
	Args     finding.Args
	Source   source.ID
	First    bool // of a reading: it was never taken in this log
}

// Deed is what is done.
type Deed string

// The deeds.
const (
	DoNothing  Deed = "nothing"
	DoWater    Deed = "add_water"
	DoFeed     Deed = "add_feed"
	DoAcid     Deed = "add_acid"
	DoBase     Deed = "add_base"
	DoDump     Deed = "dump"
	DoRefill   Deed = "refill"
	DoRead     Deed = "read_again"
	DoSetMeter Deed = "set_meter"
	DoRinse    Deed = "rinse"
	DoAerate   Deed = "aerate"
	DoCool     Deed = "cool"
	DoWarm     Deed = "warm"
	DoShade    Deed = "shade"
	DoCover    Deed = "cover"
	DoLook     Deed = "look_for_leak"
	DoHarvest  Deed = "harvest"
	DoCall     Deed = "call_for_help"
)

// After is what good meters read once all is done and stirred.
type After struct {
	Volume unit.Volume
	EC     unit.Conductivity
	PH     float64
}

// IfNothing is the limit that is passed first if nothing is done; "" where none is in sight.
type IfNothing struct {
	Limit Limit
	At    time.Time
}

const (
	drawn  = 64   // drawn beds on which an action is tried
	actAt  = 0.5  // chance of being out before the next visit from which on it is acted
	stopAt = 0.2  // the same where it could not wait
	phAt   = 0.35 // of a pH, which pens read badly: a bed thought good with a pen 0.2 off is often out (own judgement; the reference leaves 0.31)
	slowAt = 0.8  // and for what changes over weeks, where a visit more costs little (own judgement)
	alike  = 0.1  // losses that differ by less count as the same

	// Chances of a leak. To look for one takes three tenths of what one costs that goes on to the next visit, so that one of a gallon a day or more is looked for from lookAt on;
	// but a ruler slips, and another reading takes a minute: from a chance of such a one of mayLeak on the depth is measured again before anything is told, up to where it would
	// change nothing (own judgement). A leak of any size has a chance of a tenth before anything was read.
	lookAt   = 0.30
	mayLeak  = 0.10
	sureLeak = 0.985
)

// slow are the limits that are passed over weeks.
var slow = [len(watched)]bool{onAmmonium: true, onSodium: true, onChloride: true, onSulfate: true, onBlind: true, onImbalance: true}

// adviser weighs what may be done to a bed.
type adviser struct {
	e          *estimate
	h          *history
	supposed   If
	future     future // a week, or to the next visit where that is farther
	rest       int    // days to the next visit
	beds       []lived
	idle       [][]point // what becomes of each bed that is left alone, through the future
	climbing   []float64 // and what climbs in it over weeks costs, to the next visit
	middle     lived
	mild       [len(watched)]mild
	bounds     [len(watched)]bounds
	heads      int
	perPlanned [len(mains)]float64
	wanted     map[trouble]bool
	doubt      bool // a reading of this moment was set aside, or the last is too old
	unsure     bool // and another than one of pH
	overSums   bool // too strong for any crop by what went in, which nobody read after
	noEC       bool // it is too vague to act on
	noPH       bool
	lacks      []lack // what neither mix nor shelf brings
	sumsPH     bool   // it should be turned by the sums, but nobody read it since it last was
	rim        bool   // the depth of this moment may have been measured down from the rim
	aside      bool   // most of the last EC readings were set aside
	waits      bool   // all but its water waits until a depth is read again or a hole is shut
}

// trouble is a limit that is likely passed, and on which side.
type trouble struct {
	limit Limit
	side  int
}

// newAdviser draws the beds and lives through their days, left alone.
func newAdviser(e *estimate, supposed If, days int) *adviser {
	h := e.h
	now := h.visits[len(h.visits)-1].at
	a := &adviser{e: e, h: h, supposed: supposed, heads: h.visits[len(h.visits)-1].heads, perPlanned: h.perPlanned(), rest: days}
	a.future = h.ahead(now, max(lookDays, days), supposed)
	if e.drawn == nil {
		e.drawn = e.draws(drawn)
	}
	n := len(a.future.days)
	days1, points := make([]day, drawn*n), make([]point, drawn*(n+1))
	a.beds, a.idle, a.climbing = make([]lived, len(e.drawn)), make([][]point, len(e.drawn)), make([]float64, len(e.drawn))
	h.hands(len(e.drawn), func(_, i int) {
		b := h.prepare(e.drawn[i], &a.future, i+1, days1[i*n:i*n:(i+1)*n])
		a.beds[i], a.idle[i] = b, b.through(b.water, b.h, points[i*(n+1):i*(n+1):(i+1)*(n+1)], n)
	})
	a.middle = h.prepare(e.middle(), &a.future, 0, nil)
	low, high := h.strengths()
	for i, l := range watched {
		b := limits()[l]
		switch l {
		case LimitBand:
			b = b.times(low, high)
		case LimitLevel:
			b = b.times(h.depth*h.area, h.depth*h.area)
		case LimitSodium, LimitChloride, LimitSulfate:
			b = a.soften(l, b)
		case LimitPH:
			if pHof(a.middle.h)+a.middle.tilt >= b.stopBelow { // what sums have come only is no stop: of pH they are too unsure
				b.stopBelow = math.Inf(-1)
			}
		}
		a.bounds[i], a.mild[i] = b, b.mild()
	}
	for i := range a.beds {
		_, a.climbing[i] = a.loss(a.idle[i][:days+1], a.beds[i].near)
	}
	return a
}

// strengths gives the EC between which the crop is at its best, widened to the planned mix.
func (h *history) strengths() (low, high float64) {
	band := h.plan.Crop.EC
	low, high = band.Min.MillisiemensPerCentimetre(), band.Max.MillisiemensPerCentimetre()
	if m := h.plan.Mix; m != nil && m.EC > 0 {
		low, high = min(low, m.EC.MillisiemensPerCentimetre()), max(high, m.EC.MillisiemensPerCentimetre())
	}
	return low, high
}

// figures gives what each of the watched limits looks at, in the unit of its table.
func (a *adviser) figures(p *point, n *near) [len(watched)]float64 {
	mg := func(i ion) float64 { return p.in[i] * weight[i] }
	return [len(watched)]float64{
		onLevel: p.volume, onBand: p.ec, onEC: p.ec, onPH: p.pH,
		onAmmonium: mg(ammonium), onAmmonia: mg(ammonium) * n.n / (p.h + n.n), onNitrate: mg(nitrate) + mg(ammonium) + mg(urea),
		onPotassium: mg(potassium), onCalcium: mg(calcium), onSodium: mg(sodium), onChloride: mg(chloride), onSulfate: p.in[sulfate] * sulfateWeight,
		onBlind: a.h.blind(p, n), onImbalance: a.imbalance(p, uneven),
	}
}

// figure gives the one of a limit.
func (a *adviser) figure(l Limit, p *point, n *near) float64 {
	if l == LimitImbalance {
		return a.imbalance(p, 1)
	}
	return a.figures(p, n)[indexOf(l)]
}

// sulfateWeight is g/mol of SO4.
var sulfateWeight = chem.Sulfur.Weight() + 4*chem.Oxygen.Weight()

// blind gives the share of EC by what plants leave: sodium, chloride, and sulfate over what they ask for
// beside their nitrogen (reference methods, section 6).
func (h *history) blind(p *point, n *near) float64 {
	eaten := h.crop.content[sulfate] / h.crop.content[nitrate] * (p.in[nitrate] + p.in[ammonium] + p.in[urea])
	left := n.slope[sodium]*p.in[sodium] + n.slope[chloride]*p.in[chloride] + n.slope[sulfate]*max(0, p.in[sulfate]-eaten)
	return left / max(0.1, p.ec)
}

// mains are the main elements; of nitrogen all forms are added up.
var mains = [...]ion{nitrate, phosphate, potassium, calcium, magnesium}

// perPlanned gives one over what was planned of each main element, mmol/L; zero where one of them was not planned.
func (h *history) perPlanned() (out [len(mains)]float64) {
	for k, i := range mains {
		planned := h.planned[i]
		if i == nitrate {
			planned += h.planned[ammonium] + h.planned[urea]
		}
		if planned < 0.05 {
			return [len(mains)]float64{}
		}
		out[k] = 1 / planned
	}
	return out
}

// uneven is how many times the least share of a main element the greatest may be before one can be out: a share over their mean is
// never farther off than that.
const uneven = 2

// imbalance gives, of the main elements, the one that is farthest from the others: its share of what
// was planned over the mean share. It is 1 where the greatest share is not more than from times the least.
func (a *adviser) imbalance(p *point, from float64) float64 {
	least, most, product := math.Inf(1), 0.0, 1.0
	for k, i := range mains {
		s := p.in[i]
		if i == nitrate {
			s += p.in[ammonium] + p.in[urea]
		}
		if s *= a.perPlanned[k]; s < 0.01 {
			s = 0.01
		}
		if product *= s; s > most {
			most = s
		}
		if s < least {
			least = s
		}
	}
	if most <= from*least || a.perPlanned[0] == 0 {
		return 1
	}
	mean := math.Exp(math.Log(product) * (1. / float64(len(mains))))
	if most*least > mean*mean { // the greatest is farther off
		return most / mean
	}
	return least / mean
}

// loss is what a course of days costs, and beside it what climbs over weeks.
func (a *adviser) loss(course []point, n *near) (sum, climbs float64) {
	for i := range course {
		part := 1.0
		if i == 0 || i == len(course)-1 { // the ends of the days count half
			part = 0.5
		}
		strong, figures := course[i].ec > a.bounds[onBand].goodTo, a.figures(&course[i], n)
		for k := range figures {
			x := figures[k]
			if x >= a.mild[k].from && x <= a.mild[k].to || strong && (k == onNitrate || k == onImbalance) { // with EC above the band the cure is another
				continue
			}
			switch cost := a.bounds[k].cost(x); {
			case !slow[k]:
				sum += part * cost
			case cost >= costAct: // it waits until it is acted on
				climbs += part * cost
			}
		}
	}
	days := max(1, float64(len(course)-1))
	return sum / days, climbs / days
}

// trial is a way of acting and what came of it on the drawn beds.
type trial struct {
	remedy
	number int       // in the list of what is tried
	losses []float64 // by bed
	total  float64   // mean, with what the doing costs
}

// course lives through the days to the next visit with a remedy done on a bed, in the room given where there is enough.
func (a *adviser) course(r *remedy, i int, room []point) []point {
	if r.nothing() {
		return a.idle[i][:a.rest+1]
	}
	b := &a.beds[i]
	w, H := r.on(b)
	return b.through(w, H, room, a.rest)
}

// try does a remedy on every bed, or on every so many of them; on no more than are needed to see that its total is over the most.
func (a *adviser) try(r remedy, every int, most float64) trial {
	n := (len(a.beds) + every - 1) / every
	t := trial{remedy: r, losses: make([]float64, 0, n)}
	sum, room := 0.0, make([]point, a.rest+1)
	for i := 0; i < len(a.beds) && t.total <= most; i += every {
		x, climbs := a.loss(a.course(&r, i, room), a.beds[i].near)
		if !r.pours() { // what climbs is answered by other water: no acid is spared so that ammonium turns sooner
			climbs = a.climbing[i]
		}
		t.losses = append(t.losses, x+climbs)
		sum += x + climbs
		t.total = sum/float64(n) + r.cost
	}
	return t
}

// Of what is tried on every ninth bed (a step that shares no factor with their number, so that each story has its
// part) so many of the best are tried on all.
const (
	screened = 9
	finals   = 3
)

// screen tries remedies, the first of which is to do nothing, and gives that and the best.
func (a *adviser) screen(list []remedy) []trial {
	var halves [2][]trial
	a.h.hands(len(halves), func(_, i int) { halves[i] = a.ranked(list, 1+i) })
	best := slices.Concat(halves[0], halves[1])
	slices.SortFunc(best, func(x, y trial) int { return cmp.Or(cmp.Compare(x.total, y.total), cmp.Compare(x.number, y.number)) })
	tried := append([]trial{{}}, best[:min(len(best), finals)]...)
	a.h.hands(len(tried), func(_, i int) { tried[i] = a.try(list[tried[i].number], 1, math.Inf(1)) })
	return tried
}

// ranked tries every second remedy of a list roughly and gives the best of them.
func (a *adviser) ranked(list []remedy, from int) (best []trial) {
	for k := from; k < len(list); k += 2 {
		most := math.Inf(1)
		if len(best) == finals {
			most = best[finals-1].total
		}
		t := a.try(list[k], screened, most)
		t.number = k
		at := 0
		for at < len(best) && best[at].total <= t.total {
			at++
		}
		best = slices.Insert(best, at, t)
		best = best[:min(len(best), finals)]
	}
	return best
}

// passed finds the limits that are likely out before the next visit, with a remedy done.
func (a *adviser) passed(r remedy, into map[trouble]bool) {
	days := a.rest + 1
	out := make([][len(watched)][2]float64, days)
	stops := make([][len(watched)][2]float64, days)
	each, room := 1/float64(len(a.beds)), make([]point, days)
	for i := range a.beds {
		b := &a.beds[i]
		course := a.course(&r, i, room)
		for d := range course {
			figures := a.figures(&course[d], b.near)
			for k := range figures {
				x := figures[k]
				if x >= a.mild[k].from && x <= a.mild[k].to {
					continue
				}
				side := a.bounds[k].side(x)
				if side == 0 {
					continue
				}
				out[d][k][(side+1)/2] += each
				if a.bounds[k].stops(x) {
					stops[d][k][(side+1)/2] += each
				}
			}
		}
	}
	for d := range out {
		for k, l := range watched {
			from := actAt
			switch {
			case slow[k]:
				from = slowAt
			case l == LimitPH:
				from = phAt
			}
			for i, side := range [...]int{-1, 1} {
				if out[d][k][i] > from || stops[d][k][i] > stopAt {
					into[trouble{l, side}] = true
				}
			}
		}
	}
}

// best gives the smallest remedy that is good enough, and all that were tried.
func (a *adviser) best() (trial, []trial) {
	a.wanted = map[trouble]bool{}
	nothing := remedy{}
	a.passed(nothing, a.wanted)
	water := a.waterTo(a.mark())
	if water.water > 0 {
		a.passed(water, a.wanted)
	}
	a.withhold()
	a.hush()
	if a.rim = a.fromTheRim(); a.rim {
		a.doubt, a.unsure, a.waits = true, true, true
		clear(a.wanted)
		tried := []trial{a.try(nothing, 1, math.Inf(1))}
		return tried[0], tried
	}
	if r, waits := a.patch(a.e.leaks()); waits {
		tried := []trial{a.try(r, 1, math.Inf(1))}
		return tried[0], tried
	}
	a.summed()
	a.oversummed()
	if a.ending() { // water for the roots to the end, and nothing for water that goes with the crop
		for t := range a.wanted {
			if t.limit != LimitLevel {
				delete(a.wanted, t)
			}
		}
		tried := []trial{a.try(nothing, 1, math.Inf(1))}
		if water.water > 0 && a.wanted[trouble{LimitLevel, -1}] && !a.ended() {
			tried = append(tried, a.try(water, 1, math.Inf(1)))
		}
		return tried[len(tried)-1], tried
	}
	a.unmet()
	if a.h.roots() == brief.SlimyRoots { // where roots rot nothing is dosed, but all of it goes
		a.wanted = map[trouble]bool{{limitRoots, 1}: true}
		tried := []trial{a.try(a.refill(trouble{limitRoots, 1}), 1, math.Inf(1))}
		return tried[0], tried
	}
	if out, foul := a.fouled(); foul {
		return out, []trial{out}
	}
	if a.noEC && !a.read("depth") { // nobody knows how much is in the bed, nor of what
		tried := []trial{a.try(nothing, 1, math.Inf(1))}
		return tried[0], tried
	}
	tried := a.screen(a.remedies())
	least := slices.MinFunc(tried, func(x, y trial) int { return cmp.Compare(x.total, y.total) })
	for _, t := range tried {
		if t.total <= least.total+alike && (t.cost < least.cost || t.cost == least.cost && t.total < least.total) {
			least = t
		}
	}
	return least, tried
}

// withhold takes away what would be answered by a reading of this moment that was set aside, or bears on an entry
// that was left out: it is read again first.
func (a *adviser) withhold() {
	for t := range a.wanted {
		ec := t.limit != LimitPH && t.limit != LimitLevel
		if t.limit == LimitPH && (slices.Contains(a.h.again, "ph") || a.h.apart != nil) || ec && slices.Contains(a.h.again, "ec") {
			a.doubt, a.unsure = true, a.unsure || ec
			delete(a.wanted, t)
		}
	}
	if a.aside = a.mostAside(); a.aside {
		a.doubt, a.unsure = true, true
		for t := range a.wanted {
			if t.limit != LimitPH && t.limit != LimitLevel {
				delete(a.wanted, t)
			}
		}
	}
	for _, r := range a.e.best.reads {
		if r.good >= 0.5 || a.future.at.Sub(a.h.visits[r.visit].at).Hours() >= 12 || a.read(keyOf[r.kind]) { // since then it was read again
			continue
		}
		a.doubt, a.unsure = true, a.unsure || r.kind != readPH
		for t := range a.wanted {
			if ph := t.limit == LimitPH; r.kind == readPH && ph || r.kind == readEC && !ph && t.limit != LimitLevel || slow[indexOf(t.limit)] {
				delete(a.wanted, t)
			}
		}
	}
}

// advise fills in what to do, what comes of it, and when to look again.
func (t *Tending) advise(supposed If) {
	t.Actions = nil
	e := t.estimate
	rest := e.h.rhythm()
	supposed = t.leaves(supposed, rest)
	if supposed.Away > 0 {
		rest = max(1, min(longestAway, int(math.Ceil(supposed.Away.Days()))))
	}
	a := newAdviser(e, supposed, rest)
	a.silent(&t.State)
	a.lives(&t.State)
	chosen, tried := a.best()
	chosen = a.freshened(a.emptying(t, chosen))
	if chosen.plain { // the next mix decides that
		t.DumpBy, t.DumpFrom, t.DumpTo, t.DumpReason = time.Time{}, time.Time{}, time.Time{}, ""
	}
	if !chosen.refill && !a.ending() { // what is thrown away need not be read again
		t.Actions = a.before(t, chosen, tried)
	}
	t.Actions = append(t.Actions, a.actions(chosen.remedy)...)
	t.Actions = append(t.Actions, a.besides(t, chosen.remedy)...)
	t.Actions = a.again(t.Leak, t.Actions)
	t.inOrder(chosen.refill)
	if len(t.Actions) == 0 {
		t.Actions = []Action{{Do: DoNothing, Why: WhyNothing, Source: source.OwnChoice}}
	}
	t.After = a.after(t.solver, chosen.remedy)
	long := look{a}
	t.IfNothing = long.ifNothing()
	t.NextCheck = long.nextCheck()
	if chosen.refill { // a fresh mix drifts, and is no trouble by tomorrow
		t.NextCheck = a.anew(chosen.remedy).nextCheck()
		if soon := a.future.at.AddDate(0, 0, anewLooked); t.NextCheck.Before(soon) {
			t.NextCheck = soon
		}
	}
	if a.waits || a.overSums {
		t.NextCheck = a.future.at.AddDate(0, 0, 1)
	}
	if supposed.Away > 0 {
		t.NextCheck = a.future.at.AddDate(0, 0, rest)
	}
	if supposed.Away == 0 && (chosen.acid > 0 || chosen.base > 0) { // what a pH comes to once it is aired is seen a day later
		t.NextCheck = a.future.at.AddDate(0, 0, 1)
	}
	told := rest
	if supposed.Away == 0 {
		told = min(lookDays, max(rest, int(math.Ceil(t.NextCheck.Sub(a.future.at).Hours()/24-0.01))))
	}
	t.Forecast = long.forecast()[:told]
	if !chosen.refill && t.DumpReason != "" && t.DumpReason != DumpRoots && t.DumpReason != DumpEnd && t.DumpBy.Before(t.NextCheck) { // not before somebody looks again
		t.DumpBy = t.NextCheck
		if t.DumpTo.Before(t.DumpBy) {
			t.DumpTo = t.DumpBy
		}
	}
	if !a.noEC && !a.noPH { // else the advice is to read the bed
		t.Ask = a.ask(chosen, tried)
	}
}

// rhythm gives the days from one visit to the next that this grower keeps, 2 to 7; 3 where the log does not tell.
func (h *history) rhythm() int {
	var gaps []float64
	for i := 1; i < len(h.visits)-1; i++ {
		if d := h.spans[i].days; d > 0.5 {
			gaps = append(gaps, d)
		}
	}
	if len(gaps) < 2 {
		return 3
	}
	slices.Sort(gaps)
	return max(2, min(7, int(math.Ceil(gaps[len(gaps)/2]-0.1))))
}

// after works out with the whole chemistry what good meters read once a remedy is done and stirred.
func (a *adviser) after(k *chem.Equilibria, r remedy) After {
	w, H := r.on(&a.middle)
	p := a.middle.point(&w, H, pHof(H))
	out := After{Volume: unit.Volume(p.volume) * unit.Litre, EC: unit.Conductivity(p.ec) * unit.MillisiemensPerCentimetre, PH: p.pH}
	if s, err := k.Closed(p.in.composition()); err == nil { // else the quick chemistry stands
		out.EC, out.PH = s.Conductivity, s.PH+a.middle.tilt
	}
	return out
}
