package tend

import (
	"math"
	"slices"
	"time"

	"raftwright/bed"
	"raftwright/brief"
	"raftwright/finding"
	"raftwright/source"
	"raftwright/unit"
)

// lookDays is how far ahead a bed is looked at that is left alone.
const lookDays = 7

// look is the drawn beds left alone for some days.
type look struct{ *adviser }

// anewLooked is in how many days at the soonest a bed that is filled anew is looked at (own judgement).
const anewLooked = 2

// anew is the drawn beds with a remedy done, lived through the same days: what was out is out no more.
func (a *adviser) anew(r remedy) *look {
	out := *a
	out.idle = make([][]point, len(a.beds))
	a.h.hands(len(a.beds), func(_, i int) {
		w, H := r.on(&a.beds[i])
		out.idle[i] = a.beds[i].through(w, H, nil, len(a.future.days))
	})
	return &look{&out}
}

// forecast tells the days ahead.
func (l *look) forecast() []Forecast { return l.adviser.forecast(l.idle) }

// out gives, by limit, the share of the beds that are out at the end of a day.
func (l *look) out(day int) (shares [len(watched)]float64) {
	for i := range l.idle {
		for k, x := range l.figures(&l.idle[i][day], l.beds[i].near) {
			if l.bounds[k].side(x) != 0 {
				shares[k] += 1 / float64(len(l.idle))
			}
		}
	}
	return shares
}

// ifNothing gives the limit that most of the beds pass first; the level where it is past by then, since what is missing has neither strength nor pH.
func (l *look) ifNothing() IfNothing {
	for d := range len(l.future.days) + 1 {
		shares := l.out(d)
		k := bestOf(shares[:])
		if shares[onLevel] > actAt {
			k = onLevel
		}
		if shares[k] > actAt {
			return IfNothing{watched[k], l.future.at.AddDate(0, 0, d)}
		}
	}
	return IfNothing{}
}

// Shares of the beds that are out at which the way there is halved for the next look, and of the planned depth
// at which it is due (reference methods, section 12).
const (
	someOut  = 0.1
	lowLevel = 0.85
)

// nextCheck gives the day by which to look again: within a week, half the way to where one bed in ten is out,
// and before the level is low; tomorrow at the earliest; on a day on which the grower comes, where there is one.
func (l *look) nextCheck() time.Time {
	days := float64(lookDays)
	began := l.out(0)
	for d := 1; d <= min(lookDays, len(l.future.days)); d++ {
		now := l.out(d)
		for k := range now {
			if now[k] > someOut && began[k] <= someOut {
				days = math.Min(days, math.Max(1, float64(d)/2))
			}
			if began[k] > actAt { // what is out now is looked at soon, whatever was done
				days = math.Min(days, 2)
			}
		}
		low := 0
		for i := range l.idle {
			if l.idle[i][d].volume < lowLevel*l.h.area*l.h.depth {
				low++
			}
		}
		if low*2 > len(l.idle) {
			days = math.Min(days, math.Max(1, float64(d)))
		}
	}
	n := int(math.Floor(days))
	if kept := l.h.kept(); len(kept) > 0 {
		for d := n; d >= 1; d-- {
			if slices.Contains(kept, l.future.at.AddDate(0, 0, d).Weekday()) {
				n = d
				break
			}
		}
	}
	return l.future.at.AddDate(0, 0, max(1, n))
}

// kept gives the days of the week on which this grower comes: those with two visits or more of at least four.
func (h *history) kept() (out []time.Weekday) {
	var count [7]int
	for _, v := range h.visits[:len(h.visits)-1] {
		count[v.at.Weekday()]++
	}
	if len(h.visits)-1 < 4 {
		return nil
	}
	for d, n := range count {
		if n >= 2 {
			out = append(out, time.Weekday(d))
		}
	}
	return out
}

// before is what comes before anything is poured: a reading that was set aside, a pen that is off.
func (a *adviser) before(t *Tending, chosen trial, tried []trial) []Action {
	out := a.reread(&t.State)
	if a.rim {
		steps := math.Floor((a.mark() - a.lastDepth()*a.h.area) / a.step())
		out = append(out, Action{Do: DoRead, Product: "depth", Why: WhyRim, Args: finding.Args{"Volume": unit.Volume(max(0, steps)*a.step()) * unit.Litre}, Source: source.OwnChoice})
	}
	told := func(key string) bool {
		return slices.ContainsFunc(out, func(x Action) bool { return x.Product == key })
	}
	last := time.Time{}
	for _, r := range t.Readings {
		if r.At.After(last) {
			last = r.At
		}
	}
	for _, r := range t.Readings {
		if r.At.Equal(last) && !r.Used && !told(r.Kind) {
			out = append(out, a.reads(r.Kind))
		}
	}
	for _, key := range a.h.again {
		if !told(key) {
			out = append(out, Action{Do: DoRead, Product: key, Why: WhyLeftOut, Source: source.OwnChoice})
		}
	}
	if a.aside {
		out = slices.DeleteFunc(out, func(x Action) bool { return x.Product == "ec" })
		out = append(out, Action{Do: DoRead, Product: "ec", Why: WhyScales, Source: source.OwnChoice})
	}
	if a.overSums {
		out = slices.DeleteFunc(out, func(x Action) bool { return x.Product == "ec" })
		p := a.middle.point(&a.middle.water, a.middle.h, pHof(a.middle.h))
		out = append([]Action{{Do: DoRead, Product: "ec", Why: WhyOverSums, Args: finding.Args{"Now": a.h.typed(LimitEC, p.ec)}, Source: source.OwnChoice}}, out...)
	}
	if a.sumsPH && !told("ph") {
		out = append(out, Action{Do: DoRead, Product: "ph", Why: WhySums, Source: source.OwnChoice})
	}
	if x := a.h.apart; x != nil {
		out = slices.DeleteFunc(out, func(y Action) bool { return y.Product == "ph" })
		return append(out, x.ask())
	}
	f := a.e.best
	pen := 0 // the one that is held now
	if !a.e.pens.set.IsZero() {
		pen = 1
	}
	for i, u := range f.list {
		if u.index != pen {
			continue
		}
		if kind := map[unknownKind]string{unGain: "ec", unBias: "ph"}[u.kind]; kind != "" && math.Abs(f.x[i]) > penOff {
			out = append(out, Action{Do: DoSetMeter, Product: kind, Why: WhyPen, Source: source.OwnChoice})
		}
	}
	if !slices.ContainsFunc(out, func(x Action) bool { return x.Product == "ph" }) && !a.waits && a.settingPays(chosen, tried) {
		out = append(out, Action{Do: DoSetMeter, Product: "ph", Why: WhySetFirst, Source: source.OwnChoice})
	}
	return out
}

const (
	penOff    = 2.0 // standard deviations
	penAge    = 60  // days after which a pen is to be set again before its reading is acted on
	penFresh  = 30  // days for which a pen that was set is trusted as one (shared reference, meter errors: "set within a month")
	ripeAfter = 1.0 // of the mass at which a head is full
)

// penAge gives the days since the pens were set in known solutions, where that was said.
func (a *adviser) penAge() (days float64, given bool) {
	f := a.h.plan.Brief.Meter.Checked
	day := time.Date(f.Value.Year, f.Value.Month, f.Value.Day, 0, 0, 0, 0, time.UTC)
	return a.future.at.Sub(day).Hours() / 24, f.Given
}

// besides is what is done beside the water: warmth, air, roots, leaks, harvest, and help.
func (a *adviser) besides(t *Tending, r remedy) (out []Action) {
	add := func(d Deed, why Action) { why.Do = d; out = append(out, why) }
	if len(r.products) > 0 || r.acid > 0 || r.base > 0 || r.dump > 0 || r.refill {
		if age, given := a.penAge(); given && age > penAge {
			add(DoSetMeter, Action{Why: WhyUnchecked, Source: source.OwnChoice})
		}
	}
	if t.Leak.Worth >= lookAt && !a.rim {
		if x, is := a.looked(t.Leak); is && (x.Do == DoRead || !a.open(t.Leak)) { // another reading of the depth does not tell whether it rained
			out = append(out, x)
		}
	}
	warm, w := limits()[LimitWarmth], a.warmth()
	degrees := map[string]any{"Now": unit.Temperature(w)}
	switch {
	case warm.stops(w):
		add(DoCool, Action{Why: WhyHot, Args: degrees, Source: warm.source})
	case w > warm.actAbove:
		add(DoShade, Action{Why: WhyWarm, Args: degrees, Source: warm.source})
	case w < warm.actBelow:
		add(DoWarm, Action{Why: WhyCold, Args: degrees, Source: warm.source})
	case w < warm.actBelow+2:
		add(DoCover, Action{Why: WhyCool, Args: degrees, Source: warm.source})
	}
	if o, ok := a.oxygen(t, w); ok && o.MilligramsPerLitre() < limits()[LimitOxygen].actBelow {
		add(DoAerate, Action{Why: WhyAir, Args: map[string]any{"Now": o}, Source: limits()[LimitOxygen].source})
	}
	if a.h.roots() == brief.SlimyRoots {
		add(DoRinse, Action{Why: WhyRot, Source: source.CommonPractice})
	}
	switch full := a.h.plan.Crop.Mass.Max; {
	case a.heads > 0 && a.ended():
		add(DoHarvest, Action{Why: WhyEnds, Source: source.CommonPractice})
	case a.heads > 0 && full > 0 && t.State.Fresh >= ripeAfter*full:
		why := WhyRipe
		if !r.nothing() && a.e.allFull(ripeAfter*full) {
			why = WhyAllRipe
		}
		add(DoHarvest, Action{Why: why, Args: map[string]any{"Now": t.State.Fresh}, Source: source.OwnChoice})
	case a.heads > 0 && a.ending():
		add(DoHarvest, Action{Why: WhyEnds, Source: source.CommonPractice})
	}
	if r.plain {
		return append(out, a.feedFirst())
	}
	out = append(out, a.buys()...)
	if _, ok := a.h.bottle(); !ok && a.sharp(r) {
		add(DoCall, Action{Why: WhyNoAcid, Source: source.OwnChoice})
	}
	return out
}

// warmth gives the warmth of the solution now, or of the spell that is supposed, °C.
func (a *adviser) warmth() float64 {
	if x, read := a.e.readWarmth(); read && !a.supposed.Hot && !a.supposed.Cold {
		return x.Celsius()
	}
	return a.future.days[0].warmth + a.e.warmthIn(0)
}

// sharp says whether a pH that is likely too high stays so once a remedy is done: a refill or other water may treat it.
func (a *adviser) sharp(r remedy) bool {
	high := trouble{LimitPH, 1}
	if !a.wanted[high] || r.refill || r.acid > 0 || r.base > 0 {
		return false
	}
	left := map[trouble]bool{}
	a.passed(r, left)
	return left[high]
}

// oxygen gives what was read last at this moment, else what a bed with a pump holds; a bed without one is
// not told every day that roots hanging in its air gap have little in the water.
func (a *adviser) oxygen(t *Tending, warmth float64) (unit.MassConcentration, bool) {
	for i := len(a.h.visits) - 1; i >= 0 && a.future.at.Sub(a.h.visits[i].at) < 24*time.Hour; i-- {
		if f := a.h.visits[i].from.Read.Oxygen; f.Given {
			return f.Value, true
		}
	}
	p := a.h.plan.Brief.Site.Pump
	if a.heads == 0 || a.h.plan.Season == nil || !p.Given || p.Value == brief.NoPump {
		return 0, false
	}
	return a.h.breath(a.heads, t.State.Fresh, warmth, a.supposed), true
}

// roots gives how the roots looked last.
func (h *history) roots() brief.Roots {
	for i := len(h.visits) - 1; i >= 0; i-- {
		if r := h.visits[i].from.Read.Roots; r != "" {
			return r
		}
	}
	return ""
}

// habit gives what this grower fills up with: a share of the planned mix; 1 where the log does not tell.
func (h *history) habit() float64 {
	var plain, fed float64
	for _, v := range h.visits {
		for _, d := range v.from.Done {
			switch x := d.(type) {
			case bed.AddedWater:
				plain += x.Volume.Litres()
			case bed.AddedSolution:
				fed += x.Volume.Litres() * float64(x.Strength)
				plain += x.Volume.Litres() * (1 - float64(x.Strength))
			}
		}
	}
	if plain+fed < 1 {
		return 1
	}
	return math.Max(0, math.Min(1, fed/(plain+fed)))
}
