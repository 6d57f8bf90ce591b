package tend

import (
	"cmp"
	"math"
	"slices"
	"sync"
	"sync/atomic"
	"time"

	"raftwright/bed"
	"raftwright/brief"
	"raftwright/chem"
	"raftwright/finding"
	"raftwright/plan"
	"raftwright/unit"
)

// penOf reads the grower's instruments off a brief and the steps in which they show off
// the log itself.
func penOf(p *plan.Plan, log bed.Log) pens {
	m := p.Brief.Meter
	out := pens{ecGain: float64(m.ECError.Or(0.05)), ecNoise: 0.02, phBias: m.PHError.Or(0.2), phNoise: 0.08, rule: 1.6}
	var ec, ph, depth []float64
	for _, v := range log {
		if v.Read.EC.Given {
			ec = append(ec, v.Read.EC.Value.MillisiemensPerCentimetre())
		}
		if v.Read.PH.Given {
			ph = append(ph, v.Read.PH.Value)
		}
		if v.Read.Depth.Given {
			depth = append(depth, v.Read.Depth.Value.Inches())
		}
	}
	factor := max(1, m.Shows.Value.PPM())
	if d := m.Checked.Value; m.Checked.Given && len(log) > 0 {
		day := time.Date(d.Year, d.Month, d.Day, 0, 0, 0, 0, time.UTC)
		if !afterSet(log, 0, day) && afterSet(log, len(log)-1, day) {
			out.set = day
		}
	}
	out.ecSet, out.phSet = min(out.ecGain, sdSetEC), min(out.phBias, sdSetPH)
	out.ecStep = stepOf(ec, factor, []float64{0.1 * factor, 10, 0.01})
	out.phStep = stepOf(ph, 1, []float64{0.5, 0.1, 0.01})
	out.ruleStep = stepOf(depth, 1, []float64{0.25, 0.125}) * inch
	if out.ruleStep == 0 {
		out.ruleStep = 1
	}
	return out
}

// afterSet says whether a visit came after the pens were set on a day: of the visits of that day itself the last did.
func afterSet(log bed.Log, visit int, day time.Time) bool {
	at, next := log[visit].At, day.AddDate(0, 0, 1)
	if at.Before(day) {
		return false
	}
	return !at.Before(next) || visit == len(log)-1 || !log[visit+1].At.Before(next)
}

// stepOf gives the coarsest of some steps of which all values are whole numbers, in the
// unit of the values; 0 where none is.
func stepOf(values []float64, factor float64, steps []float64) float64 {
	if len(values) < 2 {
		return 0
	}
next:
	for _, s := range steps {
		for _, v := range values {
			if x := v * factor / s; math.Abs(x-math.Round(x)) > 0.02 {
				continue next
			}
		}
		return s / factor
	}
	return 0
}

// sdBreathing is how far the pH of a bed moves with the CO2 of the hour (own judgement).
const sdBreathing = 0.12

const root12 = 3.4641016 // a value rounded to steps is off by a step over this

// readingsOf takes the readings of a log.
func readingsOf(log bed.Log, p pens) []reading {
	var out []reading
	for i, v := range log {
		pen := 0
		if !p.set.IsZero() && afterSet(log, i, p.set) {
			pen = 1
		}
		if f := v.Read.EC; f.Given && f.Value > 0 {
			ec := f.Value.MillisiemensPerCentimetre()
			out = append(out, reading{visit: i, kind: readEC, pen: pen, value: math.Log(ec), sd: math.Hypot(p.ecNoise, p.ecStep/root12/ec)})
		}
		if f := v.Read.PH; f.Given {
			out = append(out, reading{visit: i, kind: readPH, pen: pen, value: f.Value, sd: math.Hypot(math.Hypot(p.phNoise, sdBreathing), p.phStep/root12)})
		}
		if f := v.Read.Depth; f.Given {
			out = append(out, reading{visit: i, kind: readDepth, value: f.Value.Millimetres(), sd: math.Hypot(p.rule, p.ruleStep/root12)})
		}
		out = append(out, stripOf(v.Read.Nitrate, readNitrate, i)...)
		out = append(out, stripOf(v.Read.Ammonium, readAmmonium, i)...)
	}
	return out
}

// leastStrip is the least nitrogen (mmol/L) that a strip or a kit tells from none.
const leastStrip = 0.07

// stripOf takes what a strip or a kit read: its colors are steps, so that it tells the logarithm badly, and less than
// it can show not at all.
func stripOf(f brief.Field[unit.Reading], kind readingKind, visit int) []reading {
	if !f.Given || f.Value.Value < 0 || f.Value.Scale != unit.MassScale {
		return nil
	}
	weight, sd := chem.Nitrogen.Weight(), map[readingKind]float64{readNitrate: sdNitrateStrip, readAmmonium: sdAmmoniumKit}[kind]
	switch f.Value.Form {
	case "NO3":
		weight += 3 * chem.Oxygen.Weight()
	case "NH4":
		weight += 4 * chem.Hydrogen.Weight()
	case "NH3":
		weight += 3 * chem.Hydrogen.Weight()
	}
	x := f.Value.Value / weight
	if x < leastStrip {
		x, sd = leastStrip, 1
	}
	return []reading{{visit: visit, kind: kind, value: math.Log(x), sd: sd}}
}

// estimate is what a log says of a bed: the likeliest stories with their shares.
type estimate struct {
	h       *history
	pens    pens
	best    *fitted
	stories []*fitted
	shares  []float64
	drawn   []draw    // for advice; nil until they are needed
	until   *estimate // what the log told up to its last visit, where this is of a later moment
}

// mostLooked is how many leaks, and how many wrong doses, are looked into: the likeliest by their hints.
const mostLooked = 3

// doubtful says whether readings may have been set aside too early: two of them, or one of the last two visits.
func (f *fitted) doubtful() bool {
	n := 0
	for _, r := range f.reads {
		if r.good < 0.5 {
			n++
			if r.visit >= len(f.nears)-3 { // the last of these is the moment itself
				n++
			}
		}
	}
	return n > 1
}

// strained says whether a story is told with habits so far from usual that another should be begun from the start, whatever is
// thought of it from there.
func (f *fitted) strained() bool {
	for i, u := range f.list {
		switch u.kind {
		case unGrowth, unThirst, unSize, unTrend, unBrim, unRain:
			if math.Abs(f.x[i]) > farHabit {
				return true
			}
		}
	}
	return false
}

// farHabit is that far, in standard deviations.
const farHabit = 1.7

// leastOnset is the shortest time between two visits in which a leak is looked for to begin, days.
const leastOnset = 0.25

// unlikely is the hint below which a supposal is not looked into.
const unlikely = -3.5

// rival is by how much less a wrong dose may be likely, as a logarithm, for a leak to be looked into beside it.
const rival = 2.0

const (
	priorLeak  = 0.10 // that a bed leaks, however long its log is: one of long ago was found (reference methods, section 8)
	priorWrong = 0.07
	holes      = 0.2 // of leaks, that lose far more than drips (own judgement)
)

// tell adds stories of one supposal, of which so much is thought beforehand.
func (e *estimate) tell(list []*fitted, prior float64) {
	for _, f := range list {
		if f.evidence += math.Log(prior); !math.IsNaN(f.evidence) {
			e.stories = append(e.stories, f)
		}
	}
}

func (h *history) estimate(k *chem.Equilibria, p pens, reads []reading) (*estimate, error) {
	e := &estimate{h: h, pens: p}
	h.agreeing(reads)
	none := supposal{leakFrom: -1, wrong: noProduct}
	first, err := h.fit(k, p, none, reads, nil, opening{stops: true})
	if err == nil && first.stopped {
		if told, err := e.drips(k, none, reads); err != nil || told {
			return e, err
		}
		if told, err := e.gapes(k, first, reads); err != nil || told {
			return e, err
		}
		first, err = h.fit(k, p, none, reads, nil, opening{})
	}
	if err != nil {
		return nil, err
	}
	plain, far, err := h.plain(k, p, first)
	if err != nil {
		return nil, err
	}
	a := plain[0]
	a.settle(h)
	e.tell(plain, (1-priorLeak)*(1-priorWrong))
	looked := h.leaky(a, far, 1-priorWrong)
	doses := h.firstDoses()
	eachWrong := priorWrong / float64(max(1, len(doses)))
	rest := func() []guess {
		return append(h.torn(a, 1-priorWrong), h.wrongs(a, far, doses, eachWrong)...)
	}
	hasty := far != nil && far.drips(h)
	if !hasty {
		looked = append(looked, rest()...)
	}
	if err := e.look(k, looked, reads, a); err != nil {
		return nil, err
	}
	if hasty && !e.explained() { // it was foreseen wrongly, or is more than a drip
		more, err := h.several(k, p, none, reads, a.openings())
		if err != nil {
			return nil, err
		}
		e.tell(slices.DeleteFunc(more, a.alike), (1-priorLeak)*(1-priorWrong))
		if err := e.look(k, rest(), reads, a); err != nil {
			return nil, err
		}
	}
	if err := e.sound(k, noProduct, (1-priorLeak)*(1-priorWrong), reads, far); err != nil {
		return nil, err
	}
	top := e.top()
	for _, f := range slices.Clone(e.stories) {
		if f.wrong != noProduct && f.evidence > top-rival { // it may leak as well
			f.settle(h)
			far, err := h.foresight(k, p, f)
			if err != nil {
				return nil, err
			}
			if err := e.look(k, append(h.leaky(f, far, eachWrong), h.torn(f, eachWrong)...), reads, f); err != nil {
				return nil, err
			}
			if err := e.sound(k, f.wrong, eachWrong*(1-priorLeak), reads, far); err != nil {
				return nil, err
			}
		}
	}
	if len(e.stories) == 0 {
		return nil, finding.Faults{{ID: FaultChemistry, Path: "log"}} // nothing that could have happened gives these readings
	}
	e.conclude()
	return e, nil
}

// drips looks for a leak that is foreseen in place of a story without one that lacks so much that nobody would hear of it, and says whether it explains the log.
func (e *estimate) drips(k *chem.Equilibria, none supposal, reads []reading) (bool, error) {
	far, err := e.h.dripping(k, e.pens, none, reads)
	if err != nil || far == nil {
		return false, err
	}
	if err := e.look(k, e.h.leaky(nil, far, 1-priorWrong), reads, nil); err != nil {
		return false, err
	}
	if !e.explained() {
		e.stories = nil
		return false, nil
	}
	e.conclude()
	return true, nil
}

// gapes looks for a hole that the depths tell of by themselves in place of such a story, and says whether it explains the log and nobody would hear of a story without it.
func (e *estimate) gapes(k *chem.Equilibria, first *fitted, reads []reading) (bool, error) {
	list := e.h.torn(first, 1-priorWrong)
	if len(list) == 0 || list[0].hint < 0 {
		return false, nil
	}
	list = slices.DeleteFunc(list, func(g guess) bool { return g.hint < list[0].hint-beside })
	if err := e.look(k, list, reads, first); err != nil {
		return false, err
	}
	if !e.explained() || e.likeliest().open >= hopes || e.top() < e.h.dawns.none+unheard {
		e.stories = nil
		return false, nil
	}
	e.conclude()
	return true, nil
}

// conclude gives the stories their shares.
func (e *estimate) conclude() {
	sum, top := 0.0, e.top()
	e.stories = slices.DeleteFunc(e.stories, func(f *fitted) bool { return f.evidence < top-untold })
	e.h.twoAtOnce(len(e.stories), func(h *history, i int) { e.stories[i].settle(h) })
	for _, f := range e.stories {
		e.shares = append(e.shares, math.Exp(f.evidence-top))
		sum += e.shares[len(e.shares)-1]
	}
	for i := range e.shares {
		e.shares[i] /= sum
	}
	e.best = e.stories[bestOf(e.shares)]
}

// firstDoses lists the first doses that may have been wrong, all of them together and each: none where what the first fill held is gone.
func (h *history) firstDoses() []int {
	if h.emptied > 0 {
		return nil
	}
	doses := []int{allProducts}
	for _, x := range h.visits[0].acts {
		for _, b := range x.by {
			doses = append(doses, b.product)
		}
	}
	if len(doses) == 2 {
		doses = doses[1:]
	}
	return doses
}

// wrongs lists the wrong doses that are worth to be looked into beside a story without one; of each is thought so much beforehand.
func (h *history) wrongs(a *fitted, far *foresight, doses []int, each float64) (list []guess) {
	for _, d := range doses {
		g := guess{supposal: supposal{leakFrom: -1, wrong: d}, prior: each * (1 - priorLeak), hint: math.Log(each)}
		if far != nil {
			g.hint += far.dose(h, g.supposal)
		} else {
			g.hint += a.hintDose(h, g.supposal)
		}
		list = append(list, g)
	}
	return likeliest(list, false)
}

// unheard is by how much less likely than another a story is, as a logarithm, that moves no figure: a billionth of it counts.
const unheard = 20.0

// untold is by how much less likely than another a story is of which nothing is told: a ten-thousandth of it counts.
const untold = 9.2

// top is how likely the likeliest story is that was found so far.
func (e *estimate) top() float64 {
	top := math.Inf(-1)
	for _, f := range e.stories {
		top = max(top, f.evidence)
	}
	return top
}

// hopeless is by how much less likely than another a story is, as a logarithm, to which no other beginning is looked for: ten
// readings that it would set aside less make it no likelier than that, and at a millionth of it (14) nobody would hear of it.
const hopeless = 60.0

// plain goes on from a first story without a leak, begun in each other way that may lead to a likely one, but where a leak is foreseen that makes it far likelier.
// Stories that set other readings aside are told beside each other, the likeliest first.
func (h *history) plain(k *chem.Equilibria, p pens, first *fitted) ([]*fitted, *foresight, error) {
	s, reads := first.supposal, first.reads
	found := []*fitted{first}
	far, err := h.foresight(k, p, first)
	if err != nil || far != nil && far.drips(h) {
		return found, far, err
	}
	more, err := h.several(k, p, s, reads, first.openings())
	found = sorted(append(found, more...))
	if best := found[0]; far == nil && err == nil {
		far, err = h.foresight(k, p, best)
	}
	return found, far, err
}

// several fits a log under a supposal, begun in some ways.
func (h *history) several(k *chem.Equilibria, p pens, s supposal, reads []reading, openings []opening) ([]*fitted, error) {
	found, faults := make([]*fitted, len(openings)), make([]error, len(openings))
	h.twoAtOnce(len(openings), func(h *history, i int) {
		found[i], faults[i] = h.fit(k, p, s, reads, openings[i].from, openings[i])
	})
	for _, err := range faults {
		if err != nil {
			return nil, err
		}
	}
	return sorted(found), nil
}

// sorted keeps of stories that set the same readings aside the likeliest one, the likeliest of all first.
func sorted(list []*fitted) []*fitted {
	out := list[:min(1, len(list))]
	for _, f := range list[len(out):] {
		if math.IsNaN(f.evidence) {
			continue
		}
		if at := slices.IndexFunc(out, f.alike); at < 0 {
			out = append(out, f)
		} else if f.evidence > out[at].evidence || math.IsNaN(out[at].evidence) {
			out[at] = f
		}
	}
	slices.SortStableFunc(out, func(x, y *fitted) int { return cmp.Compare(y.evidence, x.evidence) })
	return out
}

// alike says whether two stories set the same readings aside.
func (f *fitted) alike(g *fitted) bool {
	for i := range f.reads {
		if (f.reads[i].good < 0.5) != (g.reads[i].good < 0.5) {
			return false
		}
	}
	return true
}

// openings gives the other ways in which a search may begin, beside a story that was found.
func (f *fitted) openings() (out []opening) {
	if f.doubtful() {
		out = append(out, opening{late: true})
		if list := f.others(); len(list) > 0 {
			out = append(out, opening{mistrust: list})
		}
		if c := f.calm(); c != 0 {
			out = append(out, opening{calm: c})
		}
	}
	if k := f.jumped(); k >= 0 {
		out = append(out, opening{mistrust: []int{k}})
	}
	return out
}

// jump is the step of pH from one visit to the next that is looked at twice.
const jump = 0.6

// jumped gives the last reading of pH where it is believed and lies so far from the one before; else -1.
func (f *fitted) jumped() int {
	last, before := -1, -1
	for i := range f.reads {
		if r := &f.reads[i]; r.kind == readPH && r.good >= 0.5 {
			last, before = i, last
		}
	}
	if before < 0 || f.reads[last].twice || math.Abs(f.reads[last].value-f.reads[before].value) < jump {
		return -1
	}
	return last
}

// hands do so many things, two at a time or one after the other; hand says which of the two does it, 0 or 1.
// Which does what changes no figure.
func (h *history) hands(n int, do func(hand, i int)) {
	var next atomic.Int32
	work := func(hand int) {
		for i := int(next.Add(1)) - 1; i < n; i = int(next.Add(1)) - 1 {
			do(hand, i)
		}
	}
	if n < 2 || h.alone {
		work(0)
		return
	}
	var other sync.WaitGroup
	var broken any // our own mistake, met there
	other.Go(func() {
		defer func() { broken = recover() }()
		work(1)
	})
	work(0)
	if other.Wait(); broken != nil {
		panic(broken)
	}
}

// twoAtOnce does so with a history, each of the two with room of its own to work in.
func (h *history) twoAtOnce(n int, do func(h *history, i int)) {
	if n < 2 || h.alone {
		h.hands(n, func(_, i int) { do(h, i) })
		return
	}
	own := *h
	own.workroom, own.other, h.other = *h.other, &workroom{}, &workroom{}
	h.hands(n, func(hand, i int) { do([...]*history{h, &own}[hand], i) })
	h.other = &own.workroom
}

func bestOf(x []float64) int {
	b := 0
	for i := range x {
		if x[i] > x[b] {
			b = i
		}
	}
	return b
}
