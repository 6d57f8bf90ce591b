package tend

import (
	"math"
	"slices"
	"time"

	"raftwright/bed"
	"raftwright/chem"
	"raftwright/finding"
	"raftwright/source"
	acids "raftwright/water"
)

// TooVague is how wide the band of EC (as a ratio, by its logarithm) or of pH may be, as a share of the range within which it
// would be left alone. One that is wider says too little to act on: that the bed is too low is as likely as that it is too high, so
// it is read before anything is poured (own judgement: a band as wide as the range puts no answer on either side of it).
const TooVague = 1.0

// vague says whether a band is too wide to be acted on by these bounds.
func (b *bounds) vague(r Range, ratio bool) bool {
	low, high, from, to := r.Low, r.High, b.actBelow, min(b.actAbove, b.stopAbove)
	if ratio {
		low, high, from, to = math.Log(low), math.Log(high), math.Log(from), math.Log(to)
	}
	return !(high-low <= TooVague*(to-from)) // what is no number at all says nothing either
}

// silent finds of which readings the last one is so old, or was never taken, that the figure is too vague to act on. Where a pH is,
// an EC that was not read now is no surer: it is the pH that shows what the days did.
func (a *adviser) silent(s *State) {
	a.noPH = !a.read("ph") && a.bounds[indexOf(LimitPH)].vague(s.PH, false)
	a.noEC = !a.read("ec") && (a.noPH || a.bounds[indexOf(LimitBand)].vague(s.EC, true))
}

// lives holds the bands of a figure that is too vague within what the drawn beds hold: far from a reading a spread in proportion leads to strengths and a pH that no bed
// comes to, whatever was poured.
func (a *adviser) lives(s *State) {
	if !a.noEC && !a.noPH || s.Volume.Low <= 0 { // of one that may be dry nobody knows how what is left stands there
		return
	}
	within := func(r Range, of func(*point) float64) Range {
		low, high := r.Value, r.Value
		for i := range a.idle {
			x := of(&a.idle[i][0])
			low, high = math.Min(low, x), math.Max(high, x)
		}
		return Range{r.Value, math.Max(r.Low, low), math.Min(r.High, high)}
	}
	if a.noPH {
		s.PH = within(s.PH, func(p *point) float64 { return p.pH })
	}
	if !a.noEC {
		return
	}
	s.EC = within(s.EC, func(p *point) float64 { return p.ec })
	holds := map[Substance]Range{}
	for name, r := range s.Holds {
		i, of := ionOf[name], weight[ionOf[name]]
		all := func(p *point) float64 { return p.in[i] * of }
		if i == nitrogen {
			all = func(p *point) float64 { return (p.in[nitrate] + p.in[ammonium] + p.in[urea]) * chem.Nitrogen.Weight() }
		}
		r = within(r, all)
		r.High = math.Max(r.High, trace)
		holds[name] = r
	}
	s.Holds = holds
}

// hush takes away what would be answered by a figure that is too vague. Without a strength nothing is answered but a level that
// was read.
func (a *adviser) hush() {
	for t := range a.wanted {
		if a.noEC && (t.limit != LimitLevel || !a.read("depth")) || a.noPH && t.limit == LimitPH {
			a.doubt, a.unsure = true, a.unsure || a.noEC
			delete(a.wanted, t)
		}
	}
}

// summed takes away what would turn a pH that nobody read since it was last turned, or of which the last reading is old: that only sums say
// it is no ground to pour acid or base on, which go wrong by the whole dose where they are.
func (a *adviser) summed() {
	if a.noPH || !a.noneReadPH() {
		return
	}
	for _, side := range [...]int{-1, 1} {
		if t := (trouble{LimitPH, side}); a.wanted[t] {
			a.sumsPH, a.doubt = true, true
			delete(a.wanted, t)
		}
	}
}

// oversummed takes away what would be emptied or fed for a strength over what any crop bears that is only the sum of what the log says went in: a slip of the pen may stand there. One
// reading tells, and where the meter agrees the bed is emptied at once, which is said with it. Who has no meter goes by the sums.
func (a *adviser) oversummed() {
	p := a.middle.point(&a.middle.water, a.middle.h, pHof(a.middle.h))
	if !a.has(readEC) || !a.bounds[onEC].stops(p.ec) || !a.pouredSinceRead() {
		return
	}
	a.overSums, a.doubt, a.unsure = true, true, true
	for t := range a.wanted {
		if t.limit != LimitLevel {
			delete(a.wanted, t)
		}
	}
}

// pouredSinceRead says whether a product or solution went in, of which no reading of EC that stands was taken since: what is read at a visit was read before what is poured at it.
func (a *adviser) pouredSinceRead() bool {
	for i := len(a.h.visits) - 1; i >= 0; i-- {
		for _, done := range a.h.visits[i].from.Done {
			switch done.(type) {
			case bed.AddedProduct, bed.AddedSolution:
				return true
			}
		}
		if slices.ContainsFunc(a.e.best.reads, func(r reading) bool { return r.visit == i && r.kind == readEC && r.good >= 0.5 }) {
			return false
		}
	}
	return false
}

// noneReadPH says whether no reading of pH that stands was taken in the last days, after acid, base or a filling last turned it.
func (a *adviser) noneReadPH() bool {
	for i := len(a.h.visits) - 1; i >= 0; i-- {
		v := &a.h.visits[i]
		if a.future.at.Sub(v.at) > freshReading*24*time.Hour || v.turns() { // what was read at that visit was read before
			return true
		}
		if slices.ContainsFunc(a.e.best.reads, func(r reading) bool { return r.visit == i && r.kind == readPH && r.good >= 0.5 }) {
			return false
		}
	}
	return true
}

// turns says whether what was done at a visit turned the pH for sure: acid, base, or all of the water.
func (v *visit) turns() bool {
	return slices.ContainsFunc(v.from.Done, func(done bed.Happening) bool {
		switch d := done.(type) {
		case bed.AddedAcid, bed.Filled:
			return true
		case bed.AddedProduct:
			return d.Product == acids.PotassiumBicarbonate.String()
		}
		return false
	})
}

// reread is what is read before anything is poured, because the last reading is too old.
func (a *adviser) reread(s *State) (out []Action) {
	add := func(key string, why finding.ID, args finding.Args) {
		out = append(out, Action{Do: DoRead, Product: key, Why: why, Args: args, Source: source.OwnChoice})
	}
	span := func(l Limit, r Range) finding.Args {
		return finding.Args{"Low": a.h.typed(l, r.Low), "High": a.h.typed(l, r.High)}
	}
	if a.noEC && !a.read("depth") {
		add("depth", WhySilent, nil)
	}
	if s.Depth.Value < shallow && a.waits { // what is left in the folds of a bed with a hole, no pen reads
		return out
	}
	if a.noEC && a.bounds[indexOf(LimitBand)].vague(s.EC, true) {
		add("ec", WhyVague, span(LimitEC, s.EC))
	} else if a.noEC {
		add("ec", WhyAskValue, nil)
	}
	if a.noPH || a.noEC && a.has(readPH) && !a.read("ph") {
		add("ph", WhyVague, span(LimitPH, s.PH))
	}
	return out
}
