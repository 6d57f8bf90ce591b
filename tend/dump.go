package tend

import (
	"time"

	"raftwright/brief"
)

// DumpReason is why a bed has to be emptied.
type DumpReason string

// The reasons.
const (
	DumpSodium    DumpReason = "sodium"
	DumpChloride  DumpReason = "chloride"
	DumpSulfate   DumpReason = "sulfate"
	DumpAmmonium  DumpReason = "ammonium"
	DumpImbalance DumpReason = "imbalance"
	DumpRoots     DumpReason = "roots"
	DumpEnd       DumpReason = "end_of_crop"
)

// dumpReasons are the limits that a dump answers; EC that no longer tells feed is told as imbalance.
var dumpReasons = map[Limit]DumpReason{LimitSodium: DumpSodium, LimitChloride: DumpChloride, LimitSulfate: DumpSulfate, LimitAmmonium: DumpAmmonium,
	LimitBlind: DumpImbalance, LimitImbalance: DumpImbalance}

// farDays is how far a bed is followed towards its dump, and farStep how many days are lived at once there.
const farDays, farStep = 90, 3

// dumpBy follows the likeliest bed, held at its mark with what this grower fills up with, to the day on which it has
// to be emptied: no time where that is not within three months.
func (a *adviser) dumpBy() (time.Time, DumpReason) {
	at := a.future.at
	if a.h.roots() == brief.SlimyRoots {
		return at, DumpRoots
	}
	end, ends := a.h.endOfCrop()
	if ends && !end.After(at) {
		return at, DumpEnd
	}
	far := a.h.ahead(at, farDays/farStep, If{RainKnown: true})
	w, H := a.middle.water, a.middle.h
	n := a.middle.near
	share, mark := a.h.habit(), a.mark()
	top := a.h.source.plus(a.h.planned.plus(a.h.source, -1), share)
	var l ledger
	var on way
	for i := range far.days {
		day := at.AddDate(0, 0, farStep*i)
		p := a.middle.point(&w, H)
		for k, x := range watched {
			if why, is := dumpReasons[x]; is && a.bounds[k].side(a.figure(x, &p, n)) != 0 {
				return day, why
			}
		}
		if ends && !end.After(day) {
			return end, DumpEnd
		}
		d := a.h.ahead(day, 1, If{RainKnown: true}).days[0]
		d.lively(&a.middle.habits)
		d.days *= farStep
		d.gains, d.drinks, d.dries = d.gains*farStep, d.drinks*farStep, d.dries*farStep
		d.since = far.since + float64(farStep*i)
		H = w.step(&l, &d, &a.middle.habits, a.middle.brim, n, H, &on)
		if room := mark - w.volume; room > 0 {
			w.pour(&l, room, top)
			c := w.litre()
			H = n.hydrogen(&c, H, -1)
		}
	}
	if ends && end.Before(at.AddDate(0, 0, farDays)) {
		return end, DumpEnd
	}
	return time.Time{}, ""
}

// endOfCrop gives the day on which the youngest heads that stand have been on the raft as long as the crop takes.
func (h *history) endOfCrop() (time.Time, bool) {
	last, any := 0.0, false
	for _, p := range h.plantings {
		if p.heads > 0 {
			if end := p.at + p.crop.Raft.Max.Days(); !any || end > last {
				last, any = end, true
			}
		}
	}
	return h.start.Add(time.Duration(last*24) * time.Hour), any
}
