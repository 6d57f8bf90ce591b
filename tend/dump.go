package tend

import (
	"math"
	"slices"
	"time"

	"raftwright/brief"
	"raftwright/finding"
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
// no time where it is not within three months. What is done now, short of a refill, is done.
func (a *adviser) dumpBy(done *remedy) (day, from, to time.Time, why DumpReason) {
	at := a.future.at
	if a.h.roots() == brief.SlimyRoots {
		return at, at, at, DumpRoots
	}
	end, ends := a.cropEnds()
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
	day, why = a.lasts(&a.middle, done, days, last)
	if why == "" && ends && !end.After(last) {
		day, why = end, DumpEnd
	}
	if why == "" {
		return time.Time{}, time.Time{}, time.Time{}, ""
	}
	each := make([]time.Time, dumpBand)
	a.h.hands(dumpBand, func(_, i int) { each[i], _ = a.lasts(&a.beds[i*len(a.beds)/dumpBand], done, days, last) })
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
func (a *adviser) lasts(b *lived, done *remedy, days []day90, last time.Time) (time.Time, DumpReason) {
	w, H := b.water, b.h
	if done.dump > 0 {
		w, H = done.on(b)
	}
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

// staysOn is how long after its end a crop is taken to be ending that somebody came to since and left standing: who keeps it longer goes on
// with it, as with what is cut and grows again (own judgement).
const staysOn = 7

// longOver is how many days after its end a crop that nobody came to since is not told to be over before somebody is there: after such a silence
// the bed is read first (own judgement).
const longOver = 28

// cropEnds gives the day on which the crop ends; none where it has gone on long after it. A crop that nobody came to since is over.
func (a *adviser) cropEnds() (time.Time, bool) {
	end, ends := a.h.endOfCrop()
	over := a.future.at.Sub(end).Hours() / 24
	return end, ends && (over <= staysOn || !a.h.keptOn(end, a.future.at) && (over <= longOver || a.h.cameOn(a.future.at)))
}

// cameOn says whether somebody was there on the day of now.
func (h *history) cameOn(now time.Time) bool {
	n := len(h.visits)
	return n > 1 && now.Sub(h.visits[n-2].at).Hours() < 12
}

// keptOn says whether somebody goes on with a crop that had ended: came once it had, a day and more before now.
func (h *history) keptOn(end, now time.Time) bool {
	return slices.ContainsFunc(h.visits[:len(h.visits)-1], func(v visit) bool { return !v.at.Before(end) && now.Sub(v.at).Hours() >= 24 })
}

// endsSoon is how many days before a crop ends nothing is dosed any more, or filled anew, for water that goes with it (own judgement).
const endsSoon = 2

// ending says whether that is so.
func (a *adviser) ending() bool {
	end, ends := a.cropEnds()
	return ends && !end.After(a.future.at.AddDate(0, 0, endsSoon))
}

// ended says whether the day is there.
func (a *adviser) ended() bool {
	end, ends := a.cropEnds()
	return ends && !end.After(a.future.at)
}

// troublesOf are the limits that a bed may pass which is to be emptied for a reason.
var troublesOf = map[DumpReason][]trouble{DumpSodium: {{LimitSodium, 1}}, DumpChloride: {{LimitChloride, 1}}, DumpSulfate: {{LimitSulfate, 1}}, DumpAmmonium: {{LimitAmmonium, 1}},
	DumpImbalance: {{LimitBlind, 1}, {LimitImbalance, 1}, {LimitImbalance, -1}}}

// emptying settles what is done with when the bed has to be emptied, so that the two agree: where that is before the next visit
// nothing is dosed into it, but it is filled anew at once, unless only its pH is turned and the planned mix would by then hold nearly as much ammonium; where a reading of its strength or depth is in doubt it is only not fed
// until that was read again. What is not emptied now need not be before somebody looks again.
func (a *adviser) emptying(t *Tending, chosen trial) trial {
	t.DumpBy, t.DumpFrom, t.DumpTo, t.DumpReason = a.dumpBy(&chosen.remedy)
	if t.DumpReason == "" || t.DumpReason == DumpRoots || t.DumpReason == DumpEnd || chosen.refill {
		return chosen
	}
	if due := !t.DumpBy.After(a.future.at.AddDate(0, 0, a.rest)); due && chosen.dosed() {
		fresh := a.refill(a.passes(troublesOf[t.DumpReason]))
		if len(chosen.products) == 0 && chosen.solution == 0 && a.futile(fresh) {
			t.mixed(a.h)
			return chosen
		}
		if !a.strengthInDoubt() {
			return a.try(fresh, 1, math.Inf(1))
		}
		r := chosen.remedy // it may not have to go: its pH is kept, but it is not fed
		if r.solution > 0 {
			r.water, r.solution, r.strength, r.volumes = r.water+r.solution, 0, 0, trouble{LimitLevel, -1}
		}
		r.products = nil
		chosen = a.try(r, 1, math.Inf(1))
	}
	return chosen
}

// FindMixed tells that the planned mix brings the ammonium itself for which a bed would be emptied.
const FindMixed finding.ID = "tend.mixed_ammonium"

// futile says whether a bed filled anew would pass the ammonium for which it is before the next visit, and by then hold hardly less than if it were not: the mix brings it, and urea that
// turns on roots that stand.
func (a *adviser) futile(fresh remedy) bool {
	ammonium := trouble{LimitAmmonium, 1}
	if fresh.volumes != ammonium {
		return false
	}
	out := map[trouble]bool{}
	if a.passed(fresh, out); !out[ammonium] {
		return false
	}
	end := func(r remedy) float64 {
		w, H := r.on(&a.middle)
		course := a.middle.through(w, H, nil, min(a.rest, len(a.middle.days)))
		return a.figure(LimitAmmonium, &course[len(course)-1], a.middle.near)
	}
	return end(remedy{}) < climbs*end(fresh)
}

// mixed tells that of ammonium, and no day for a dump that brings the bed no lower.
func (t *Tending) mixed(h *history) {
	t.DumpBy, t.DumpFrom, t.DumpTo, t.DumpReason = time.Time{}, time.Time{}, time.Time{}, ""
	end := limits()[LimitAmmonium]
	brings := h.planned[ammonium] + h.planned[urea]
	t.Findings = append(slices.DeleteFunc(t.Findings, func(f finding.Finding) bool { return f.ID == FindMixed }), finding.Finding{ID: FindMixed, Severity: finding.Caution,
		Figure: milligrams(brings * weight[ammonium]), Source: end.source, Args: finding.Args{"Has": milligrams(brings * weight[ammonium]), "End": milligrams(end.actAbove), "Urea": h.planned[urea] > 0}})
}

// freshened sours what is filled anew where the planned mix, with this water, would likely rise out of the range of pH before the next visit: the plan doses a mix by its sums
// as well. Only for a grower who reads the pH, and will read it a day later. A mix that is thought to come out sour is read first.
func (a *adviser) freshened(chosen trial) trial {
	if !chosen.refill || chosen.plain || a.noPH || a.h.apart != nil || !a.readsPH() {
		return chosen
	}
	out, high := map[trouble]bool{}, trouble{LimitPH, 1}
	if a.passed(chosen.remedy, out); !out[high] {
		return chosen
	}
	rough := trial{total: math.Inf(1)}
	for _, r := range a.soured(chosen.remedy, high) {
		if t := a.try(r, screened, rough.total); t.total < rough.total {
			rough = t
		}
	}
	if rough.acid > 0 {
		if t := a.try(rough.remedy, 1, chosen.total); t.total < chosen.total {
			return t
		}
	}
	return chosen
}

// readsPH says whether a pH that stands was read in the last days.
func (a *adviser) readsPH() bool {
	return slices.ContainsFunc(a.e.best.reads, func(r reading) bool {
		return r.kind == readPH && r.good >= 0.5 && a.future.at.Sub(a.h.visits[r.visit].at) <= freshReading*24*time.Hour
	})
}

// passes gives the one of some limits that the likeliest bed is nearest to, or farthest beyond, at the next visit.
func (a *adviser) passes(list []trouble) (out trouble) {
	course := a.middle.through(a.middle.water, a.middle.h, nil, min(a.rest, len(a.middle.days)))
	p, most := course[len(course)-1], math.Inf(-1)
	for _, t := range list {
		x, b := a.figure(t.limit, &p, a.middle.near), a.bounds[indexOf(t.limit)]
		share := math.Log(max(x, 1e-6) / b.actAbove)
		if t.side < 0 {
			share = math.Log(b.actBelow / max(x, 1e-6))
		}
		if share > most {
			out, most = t, share
		}
	}
	return out
}

// strengthInDoubt says whether an EC or a depth of this moment is to be read again before it is believed.
func (a *adviser) strengthInDoubt() bool {
	doubted := a.noEC || slices.Contains(a.h.again, "ec") || slices.Contains(a.h.again, "depth")
	for _, r := range a.e.best.reads {
		recent := a.future.at.Sub(a.h.visits[r.visit].at).Hours() < 12
		doubted = doubted || r.good < 0.5 && recent && (r.kind == readEC || r.kind == readDepth) && !a.read(keyOf[r.kind])
	}
	return doubted
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
