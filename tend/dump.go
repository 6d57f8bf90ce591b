package tend

import (
	"slices"
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

// dumpBand is how many of the drawn beds are followed for the ends of the day on which a bed has to be emptied.
const dumpBand = 16

// dumpBy tells when the likeliest bed has to be emptied, and why, and between which days nine of ten beds have to be that the log allows:
// no time where it is not within three months.
func (a *adviser) dumpBy() (day, from, to time.Time, why DumpReason) {
	at := a.future.at
	if a.h.roots() == brief.SlimyRoots {
		return at, at, at, DumpRoots
	}
	end, ends := a.h.endOfCrop()
	if ends && !end.After(at) {
		return at, at, at, DumpEnd
	}
	var days []day90
	far := a.h.ahead(at, farDays/farStep, If{RainKnown: true})
	for i := range far.days {
		d := day90{at: at.AddDate(0, 0, farStep*i)}
		d.day = a.h.ahead(d.at, 1, If{RainKnown: true}).days[0]
		d.since = far.since + float64(farStep*i)
		days = append(days, d)
	}
	last := at.AddDate(0, 0, farDays)
	if ends && end.Before(last) {
		last = end
	}
	day, why = a.lasts(&a.middle, days, last)
	if why == "" && ends && !end.After(last) {
		day, why = end, DumpEnd
	}
	if why == "" {
		return time.Time{}, time.Time{}, time.Time{}, ""
	}
	each := make([]time.Time, dumpBand)
	a.h.hands(dumpBand, func(_, i int) { each[i], _ = a.lasts(&a.beds[i*len(a.beds)/dumpBand], days, last) })
	slices.SortFunc(each, time.Time.Compare)
	from, to = each[dumpBand/20], each[dumpBand-1-dumpBand/20]
	if day.Before(from) {
		from = day
	}
	if day.After(to) {
		to = day
	}
	return day, from, to, why
}

// day90 is a day of the three months that are looked ahead.
type day90 struct {
	day
	at time.Time
}

// lasts follows a bed, held at its mark with what this grower fills up with, to the day on which it passes a limit that a dump answers:
// the last day and no reason where it passes none.
func (a *adviser) lasts(b *lived, days []day90, last time.Time) (time.Time, DumpReason) {
	w, H := b.water, b.h
	n := b.near
	share, mark := a.h.habit(), a.mark()
	top := a.h.source.plus(a.h.planned.plus(a.h.source, -1), share)
	var l ledger
	var on way
	for i := range days {
		if !last.After(days[i].at) {
			break
		}
		p := b.point(&w, H, pHof(H))
		for k, x := range a.figures(&p, n) {
			if a.bounds[k].side(x) != 0 && dumpReasons[watched[k]] != "" {
				return days[i].at, dumpReasons[watched[k]]
			}
		}
		d := days[i].day
		d.days *= farStep
		d.lively(&b.habits)
		d.gains, d.drinks, d.dries = d.gains*farStep, d.drinks*farStep, d.dries*farStep
		H = w.step(&l, &d, &b.habits, b.brim, n, H, &on)
		if room := mark - w.volume; room > 0 {
			w.pour(&l, room, top)
			c := w.litre()
			H = n.hydrogen(&c, H, -1)
		}
	}
	return last, ""
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
