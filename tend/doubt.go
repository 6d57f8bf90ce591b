package tend

import (
	"math"

	"raftwright/finding"
	"raftwright/source"
	"raftwright/unit"
)

// How near a depth must be to what was expected once it is taken as measured down from the rim, and how far off as it is written, mm (own judgement: three eighths of an inch
// and an inch); and within which hours one that was asked for is believed.
const (
	rimNear    = 9.5
	rimFar     = 25.4
	rimStood   = 12.7 // of the last depth that was measured up from the liner
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
