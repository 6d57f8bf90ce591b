package tend

import (
	"math"

	"raftwright/finding"
	"raftwright/source"
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

// hush takes away what would be answered by a figure that is too vague. Without a strength nothing is answered but a level that
// was read.
func (a *adviser) hush() {
	for t := range a.wanted {
		if a.noEC && (t.limit != LimitLevel || !a.read("depth")) || a.noPH && t.limit == LimitPH {
			a.doubt = true
			delete(a.wanted, t)
		}
	}
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
