package tend

import (
	"math"
	"slices"

	"raftwright/finding"
	"raftwright/source"
	"raftwright/unit"
)

// How near a depth must be to what was expected once it is taken as measured down from the rim, and how far off as it is written, mm (own judgement: three eighths of an inch
// and an inch); and within which hours one that was asked for is believed.
const (
	rimNear    = 9.5
	rimFar     = inch
	rimStood   = inch / 2 // of the last depth that was measured up from the liner
	readsAgain = 30.0
)

// fromTheRim says whether the depth of this moment tells of a bed that runs dry as it is written, and of a full one if it was measured down from the rim: then it is read again
// before a hole is believed. Where a depth of the last day read as low, it was, and is believed.
func (a *adviser) fromTheRim() bool {
	h := a.h
	wall := h.plan.Frame.Brim.Millimetres()
	stood := a.e.unleaking()
	rims := func(mm float64) bool { return stood-mm >= rimFar && math.Abs(wall-mm-stood) <= rimNear }
	first := true
	for i := len(h.visits) - 1; i >= 0; i-- {
		v := &h.visits[i]
		f := v.from.Read.Depth
		if !f.Given {
			continue
		}
		mm, ago := f.Value.Millimetres(), a.future.at.Sub(v.at).Hours()
		switch {
		case first && (ago >= 12 || !rims(mm)):
			return false
		case first:
			first = false
		case ago < readsAgain && stood-mm >= rimFar: // asked for again, and the same
			return false
		case !rims(mm): // a bed that runs out came down to here by way of others
			return math.Abs(stood-mm) <= rimStood
		}
	}
	return false
}

// lastDepth gives the depth that was read last, mm.
func (a *adviser) lastDepth() float64 {
	for i := len(a.h.visits) - 1; i >= 0; i-- {
		if f := a.h.visits[i].from.Read.Depth; f.Given {
			return f.Value.Millimetres()
		}
	}
	return 0
}

// unleaking gives the depth at the end of the log in the likeliest story without a leak, mm; none where each has one.
func (e *estimate) unleaking() float64 {
	for _, f := range e.stories { // the likeliest first, of each kind
		if f.leakFrom < 0 {
			return f.run.moments[len(f.run.moments)-1].before.volume / e.h.area
		}
	}
	return math.NaN()
}

// dryDays says whether a leak may be nothing but days without the rain that is usual: none was written since it began, and it loses no more than that brings.
func (a *adviser) dryDays(l Leak) bool {
	h := a.h
	usual, days := 0.0, 0.0
	for i := range h.spans {
		s := &h.spans[i]
		if s.days <= 0 || i == len(h.spans)-1 && s.days < 0.5 {
			continue
		}
		if s.rain.noted {
			return false
		}
		usual, days = usual+s.rain.usual, days+s.days
	}
	return days > 0 && l.Rate.Low < usual/days
}

// mostAside says whether most of the last EC readings were set aside, two at least: one pen may be on another scale than the other, or the story is wrong.
func (a *adviser) mostAside() bool {
	const last = 4
	aside, all := 0, 0
	reads := a.e.best.reads
	for i := len(reads) - 1; i >= 0 && all < last; i-- {
		r := &reads[i]
		if r.kind != readEC || a.h.after(a.h.visits[r.visit].at) < a.h.filled {
			continue
		}
		if all++; r.good < 0.5 {
			aside++
		}
	}
	return aside >= 2 && 2*aside > all
}

// looked gives what is done about a leak that is likely: it is looked for, unless what falls may be dry days or the bed does not stand in the weather that it is
// reckoned with.
func (a *adviser) looked(l Leak) (Action, bool) {
	switch _, _, elsewhere, _ := a.e.overModel(); {
	case a.runsOut(l):
	case elsewhere:
		return Action{}, false
	case a.dryDays(l):
		return Action{Do: DoRead, Product: "rain", Why: WhyDryDays, Args: finding.Args{"Rate": unit.Volume(l.Rate.Value) * unit.Litre}, Source: source.OwnChoice}, true
	}
	return a.search(l), true
}

// open says whether one more reading of the depth is to tell whether it leaks: the last one was taken once, and may have slipped.
func (a *adviser) open(l Leak) bool {
	return l.Worth >= mayLeak && l.Probability < sureLeak && !a.runsOut(l) && !a.rim && !a.h.depthTwice()
}

// again asks for that reading before anything is poured, where a leak would be looked for.
func (a *adviser) again(l Leak, list []Action) []Action {
	if !a.open(l) || slices.ContainsFunc(list, func(x Action) bool { return x.Do == DoRead && x.Product == keyOf[readDepth] }) {
		return list
	}
	x, is := a.looked(l)
	if !is || x.Do != DoLook {
		return list
	}
	x.Do, x.Product, x.Why = DoRead, keyOf[readDepth], WhyMayLeak
	at := slices.IndexFunc(list, func(y Action) bool { return y.Do != DoRead })
	if at < 0 {
		at = len(list)
	}
	return slices.Insert(list, at, x)
}

// depthTwice says whether the last depth was measured twice on one day, and the same, or three times: whoever does so in the afternoon is not asked once more.
func (h *history) depthTwice() bool {
	var last *visit
	n := 0
	for i := len(h.visits) - 1; i >= 0; i-- {
		v := &h.visits[i]
		f := v.from.Read.Depth
		switch {
		case !f.Given:
		case n == 0:
			last, n = v, 1
		case last.at.Sub(v.at).Hours() > twiceWithin || !last.at.After(v.at):
			return false
		case n == 2 || math.Abs(f.Value.Millimetres()-last.from.Read.Depth.Value.Millimetres()) <= twiceApart:
			return true
		default:
			n++
		}
	}
	return false
}

// twiceApart is how far two readings of one depth lie from each other at most, mm: further apart one of them slipped, and a third tells which (a quarter inch: two good readings to an
// eighth do so in one of sixty cases; own judgement).
const twiceApart = 6.4

// againWithin is how many hours lie at most between a reading and the same once more.
const againWithin = 3

// twiceWithin is how many hours after a reading another one shows that the ruler did not slip: a drip lowers a bed by a millimetre or two till then (own judgement).
const twiceWithin = 12
