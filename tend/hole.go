package tend

import (
	"math"

	"raftwright/finding"
	"raftwright/source"
	"raftwright/unit"
)

// What a hole asks for (own judgement).
const (
	fastFall   = inch     // a day by which a leak lowers the bed that cannot wait: of five inches two days leave the roots dry
	drains     = 0.5      // share of the planned water a day: what is poured into such a bed is gone before anybody comes again
	lowBy      = inch / 2 // by which a depth that was set aside lies lower than was expected, from which on a leak is spoken of
	doseByRead = 3. / 4   // of the depth that was expected: where less was read nothing is dosed for all of it before it is read again
)

// runsOut says whether a leak that is believed lowers the bed so fast that it cannot wait.
func (a *adviser) runsOut(l Leak) bool {
	return l.Probability >= actAt && l.Rate.Value >= fastFall*a.h.area
}

// drained says whether so much of it leaks that what is poured in does not last.
func (a *adviser) drained(l Leak) bool {
	return a.runsOut(l) && l.Rate.Value >= drains*a.h.area*a.h.depth
}

// patch is what is poured, and says whether all else waits. Into a bed that runs out only water that keeps the roots wet until the hole is found, and none
// where it would not last: feed and acid would be gone with it. Nothing is dosed for a full bed where the depth of this moment, which was set aside, tells of far less.
func (a *adviser) patch(l Leak) (r remedy, waits bool) {
	read, told, is := a.low()
	switch doubt := is && read < doseByRead*told; {
	case a.runsOut(l):
		a.wanted = map[trouble]bool{{LimitLevel, -1}: true}
		if !a.drained(l) {
			r = a.waterTo(a.mark())
		}
	case doubt:
		a.doubt, a.unsure = true, true
		clear(a.wanted)
	default:
		return remedy{}, false
	}
	a.waits = true
	return r, true
}

// low gives the depth of this moment that was set aside though it lies far lower than was expected: the ruler may have slipped, or the bed may have a hole.
func (a *adviser) low() (read, told float64, is bool) {
	if a.read("depth") {
		return 0, 0, false
	}
	for _, r := range a.e.best.reads {
		if r.kind != readDepth || a.future.at.Sub(a.h.visits[r.visit].at).Hours() >= 12 {
			continue
		}
		read, told = r.value, r.value-r.off
		is = r.good < 0.5 && r.off < -lowBy
	}
	return read, told, is
}

// reads is how a reading that was set aside is read again: a depth that lies far lower tells what it means if it is so.
func (a *adviser) reads(kind string) Action {
	out := Action{Do: DoRead, Product: kind, Why: WhySlip, Source: source.OwnChoice}
	if read, _, is := a.low(); kind == keyOf[readDepth] && is {
		steps := math.Floor((a.mark() - read*a.h.area) / a.step())
		out.Why, out.Args = WhyLow, finding.Args{"Volume": unit.Volume(max(0, steps)*a.step()) * unit.Litre}
	}
	return out
}

// search is how a leak is looked for.
func (a *adviser) search(l Leak) Action {
	rate := unit.Volume(l.Rate.Value) * unit.Litre
	out := Action{Do: DoLook, Why: WhyLeak, Source: source.OwnChoice}
	switch {
	case a.drained(l):
		out.Why, out.Args = WhyDrained, finding.Args{"Rate": rate}
	case a.runsOut(l):
		out.Why, out.Args = WhyHole, finding.Args{"Rate": rate, "Fall": unit.Length(l.Rate.Value/a.h.area) * unit.Millimetre}
	default:
		if a.h.soughtLately() {
			out.Why = WhyLeakStill
		}
		out.Args = finding.Args{"Share": unit.Fraction(math.Min(0.99, l.Probability)), "Rate": rate}
	}
	return out
}
