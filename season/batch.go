package season

import (
	"cmp"
	"math"
	"slices"
	"time"

	"raftwright/crop"
	"raftwright/finding"
	"raftwright/internal/inorder"
	"raftwright/pool"
	"raftwright/sky"
	"raftwright/source"
	"raftwright/unit"
)

// Batch is plants that are sown, set out and cut together.
type Batch struct {
	Number   int
	Sow      time.Time // equal to SetOut for a crop set out as a plant, or for seedlings that are fetched
	Fetched  bool      // its seedlings are bought or raised elsewhere: nobody is there to sow them in time
	SetOut   time.Time // from the tray to the raft
	Move     time.Time // from the nursery spacing to the last one; zero without a nursery
	Harvest  time.Time
	Earliest time.Time // of the harvest's band
	Latest   time.Time
	Plants   int       // set out, in one bed
	Heads    int       // promised by all beds; 0 without a schedule
	Fresh    unit.Mass // of one plant at harvest
	Ready    bool      // it reaches the target by then
	Water    Water
	Holes    []Span    // where on the raft, by hole number from 1
	Nursery  []Span    // where in the nursery part of it, from 1
	least    time.Time // on which it would be set out if somebody came every day
	run      []crop.Standing
}

// Span is a run of holes, both ends included.
type Span struct{ From, To int }

const turnaroundDays = 3

// nurseryDays is the time from sowing to the raft: emergence and the middle of
// the crop's nursery days.
func (m *maker) nurseryDays() int {
	if !m.Crop.Germination.Given {
		return 0
	}
	return int(math.Round(m.Crop.Nursery.Middle().Days() + m.Emerge.After.Days()))
}

// stand makes the batch of plants that stand from a day until their cut; ready says
// whether they have a weight of the model by then.
func (m *maker) stand(setOut, cut, plants int, weight unit.Mass) Batch {
	r := &m.roster
	n := cut - setOut
	run := m.ground.growth.standing(r.year[setOut], n)
	sown, ok := m.sow(setOut)
	if !ok {
		sown = setOut
	}
	band := int(math.Max(3, math.Round(m.Calendar.Harvest.Days()*float64(n)/35)))
	b := Batch{
		Sow: r.date(sown), Fetched: !ok, SetOut: r.date(setOut), Harvest: r.date(cut), Plants: plants, Water: m.water(r.year[setOut], run, plants),
		Fresh: last(run).Fresh * unit.Mass(m.job.Fit), Ready: last(run).Fresh >= 0.999*weight, least: r.date(setOut), run: run,
	}
	b.Earliest, b.Latest = addDays(b.Harvest, -band), addDays(b.Harvest, band)
	if m.job.Nursery > 0 {
		b.Move = r.date(m.moved(setOut, cut))
	}
	return b
}

// sequence fills the raft at once, again and again, as long as the crop's windows
// are open: the crops of a year without a schedule.
func (m *maker) sequence() {
	r := &m.roster
	for _, w := range m.own {
		if !w.Open() {
			continue
		}
		day := r.day(m.date(w.From))
		end := day + w.Days() - 1
		if n := len(m.Batches); n > 0 { // the raft may still be full from the window before
			day = max(day, r.day(m.Batches[n-1].Harvest)+turnaroundDays)
		}
		for day <= end && len(m.Batches) < 60 {
			if _, sown := m.sow(day); !sown || !r.open[day] {
				day++
				continue
			}
			n, ok := m.ground.growth.until(r.year[day], m.wanted())
			if !ok { // too dark or cold by then: a week later
				day += 7
				continue
			}
			cut := r.after[day+n]
			if cut == len(r.open) || !m.may(day, cut, false) || m.fresh(cut, cut-day) > m.heaviest() {
				day++
				continue
			}
			b := m.stand(day, cut, m.Holes, m.wanted())
			b.Number, b.Holes = len(m.Batches)+1, []Span{{1, m.Holes}}
			m.Batches = append(m.Batches, b)
			day = cut + turnaroundDays
		}
	}
	m.CropsPerYear = float64(len(m.Batches))
}

// breathe gives the oxygen of the bed at its warmest with a grown crop, in the
// months that have one.
func (m *maker) breathe() {
	counts := m.planted()
	asked := counts
	if counts == [12]bool{} {
		asked = m.askedFor()
	}
	m.Warmest = 0
	for i, p := range m.Pool {
		if (asked == [12]bool{} || asked[i]) && (m.Warmest == 0 || p.Usual.Mean > m.Pool[m.Warmest-1].Usual.Mean) {
			m.Warmest = i + 1
		}
	}
	t := m.Pool[m.Warmest-1].Usual.Max
	crowd := m.crowd()
	m.Breath = m.Bed.Breathe(crowd, t, m.Sky.Pressure)
	stands, roots, air := m.stands(), m.roots(), unit.Flow(0)
	if m.job.Pump {
		air = m.Breath.Fine.Wanted()
	}
	for i := range m.Months {
		m.Months[i].Planted, m.Months[i].Stands = counts[i], stands[i]
		m.Months[i].Breath = m.Bed.Breathe(crowd, m.Pool[i].Usual.Max, m.Sky.Pressure)
		m.Months[i].Held = m.Bed.Held(roots[i], m.Pool[i].Usual.Mean, m.Sky.Pressure, air, m.job.AirGap)
	}
	m.find(pool.Tell(m.Pool, asked, m.Crop)...)
	low, starved := m.lowOxygen(roots, air)
	switch {
	case m.job.AirGap:
		m.find(pool.TellGap(m.Breath)...)
	case m.job.Pump || !starved: // else the same is told with what keeps it
		m.find(pool.TellStill(m.Breath, t, m.job.Pump)...)
	}
	m.find(low...)
	if m.Pool[m.Warmest-1].HotMax > m.Crop.Watch() {
		m.Changes = m.still[m.Warmest-1].ways()
	}
	m.tellChanges()
}

// roots gives the most fresh roots that the batches have in each month of the year.
func (m *maker) roots() [12]unit.Mass {
	r := &m.roster
	days := make([]unit.Mass, len(r.year))
	for _, b := range m.Batches {
		out := r.day(b.SetOut)
		for i, s := range b.run {
			days[out+i] += pool.Roots(s.Fresh, m.Crop.Growth.DryMatter) * unit.Mass(m.job.Fit*float64(b.Plants))
		}
	}
	var most [12]unit.Mass
	for d, x := range days {
		month := monthOf(sky.DayOfYear(r.year[d]+1)) - 1
		most[month] = max(most[month], x)
	}
	return most
}

// crowd is what breathes in a full bed: grown plants, or batches of all ages,
// which are taken as half grown.
func (s Season) crowd() pool.Crowd {
	c := pool.Crowd{Plants: s.Holes, Head: s.Target, DryMatter: s.Crop.Growth.DryMatter}
	if s.Steady != nil && !s.Whole {
		c.Head /= 2
	}
	return c
}

// tellChanges names the two things that cool the bed most, where a hot spell
// makes the solution too warm.
func (m *maker) tellChanges() {
	hot := m.Pool[m.Warmest-1].HotMax
	if hot <= m.Crop.Act() || len(m.Changes) < 2 {
		return
	}
	best := slices.Clone(m.Changes)
	inorder.Put(best, func(a, b pool.Change) int { return cmp.Compare(a.HotMax, b.HotMax) })
	if best[0].HotMax > -0.5 {
		return
	}
	args := finding.Args{"Month": monthWord(m.Warmest), "Best": best[0].Way, "ByBest": -best[0].HotMax, "Two": best[1].HotMax <= -0.5}
	args["Second"], args["BySecond"] = best[1].Way, -best[1].HotMax
	m.find(finding.Finding{ID: FindCooler, Severity: finding.Note, Figure: best[0].HotMax, Source: "lump", Args: args})
}

// stands gives the share of each month's days on which a batch stands on the
// raft, in the year with most of them.
func (m *maker) stands() (out [12]unit.Fraction) {
	r := &m.roster
	stood := make([]bool, len(r.year))
	for _, b := range m.Batches {
		for d := r.day(b.SetOut); d <= r.day(b.Harvest); d++ {
			stood[d] = true
		}
	}
	month, days := -1, 0
	for d, day := range r.year {
		if now := monthOf(sky.DayOfYear(day+1)) - 1; now != month {
			month, days = now, 0
		}
		if stood[d] {
			days++
			out[month] = max(out[month], unit.Fraction(min(1, float64(days)/float64(sky.DaysIn(month+1)))))
		}
	}
	return out
}

// beforeHarvest is how long before the first harvest that is wanted the months count in which nothing can stand after all (common practice,
// no source: leaf crops stand four to six weeks on a raft).
const beforeHarvest = 42

// askedFor marks the months in which a crop would stand by the harvest that is wanted, where both of its days are told: of a bed in which nothing
// grows then, what other months bring is not told.
func (m *maker) askedFor() (out [12]bool) {
	s := m.job.Schedule
	if s.First.IsZero() || s.Last.IsZero() {
		return out
	}
	for d := addDays(s.First, -beforeHarvest); !d.After(s.Last); d = addDays(d, 1) {
		out[d.Month()-1] = true
	}
	return out
}

// planted marks the months in which a batch stands on the raft.
func (m *maker) planted() [12]bool {
	var out [12]bool
	for _, b := range m.Batches {
		for d := b.SetOut; !d.After(b.Harvest); d = addDays(d, 7) {
			out[d.Month()-1] = true
		}
		out[b.Harvest.Month()-1] = true
	}
	return out
}

// tell says what the windows, the batches and the forecast have to say.
func (m *maker) tell() {
	m.find(m.Crop.Suitability()...)
	open := false
	for _, w := range m.own {
		open = open || w.Open()
	}
	if !open && m.Short == nil { // else the shortfall says it, with the reason
		limit := m.own[0].Limit
		m.find(finding.Finding{ID: FindNoWindow, Severity: finding.Caution, Hurts: finding.Harvest, Figure: string(limit), Source: m.first(),
			Args: finding.Args{"Crop": m.Crop.Word(), "Limit": limit.Word()}})
	}
	m.tellUnused()
	m.tellFrost()
	m.tellBatches()
	m.tellWater()
	for _, r := range m.shaded() {
		if len(m.Batches) > 0 && !m.hangs(r) {
			continue // the calendar does not hang it
		}
		m.find(finding.Finding{ID: FindShade, Severity: finding.Note, Figure: r.Shade, Source: "both1997",
			Args: finding.Args{"From": monthWord(r.From), "To": monthWord(r.To), "Count": (r.To-r.From+12)%12 + 1, "Shade": r.Shade, "Light": r.Light, "Crop": m.Crop.Word()}})
	}
	m.find(finding.Finding{ID: FindForecast, Severity: finding.Note, Source: "own",
		Args: finding.Args{"Radiation": m.Calendar.Radiation, "Solution": m.Calendar.Solution, "Weight": m.Calendar.Weight,
			"Water": m.Calendar.DailyWater, "Harvest": m.Calendar.Harvest}})
}

// tellUnused says of each window in which nothing goes on the raft why not, where the harvest
// that is wanted reaches into it; what is missing of a wanted number is told as a whole.
func (m *maker) tellUnused() {
	if m.Short != nil {
		return
	}
	usual := int(m.Crop.Raft.Middle().Days())
	for _, w := range m.own {
		if !w.Open() || slices.ContainsFunc(m.Batches, func(b Batch) bool { return w.Holds(sky.DayOf(b.SetOut)) }) {
			continue
		}
		why, wanted := m.unused(w, usual)
		if !wanted {
			continue
		}
		from, fromDay := w.From.Month()
		to, toDay := w.To.Month()
		m.find(finding.Finding{ID: FindUnused, Severity: finding.Note, Figure: string(why), Source: m.model(), Args: finding.Args{"Crop": m.Crop.Word(),
			"FromMonth": monthWord(from), "FromDay": fromDay, "ToMonth": monthWord(to), "ToDay": toDay, "Why": why.Word()}})
	}
}

// unused gives why nothing goes on the raft in a window, of the cuts that its days would give;
// wanted is false where none of them is wanted.
func (m *maker) unused(w Window, usual int) (why Reason, wanted bool) {
	r, s := &m.roster, m.job.Schedule
	reasons := map[Reason]int{}
	for day := range r.year {
		cut := day + usual
		if !w.Holds(sky.DayOfYear(r.year[day]+1)) || cut >= len(r.year) || day < m.mostDays() {
			continue
		}
		if on := r.date(cut); on.Year() > m.Year+mostYears || s.Given() && (on.Before(s.First) || on.After(s.Last)) {
			continue
		}
		reasons[m.why(cut)]++
	}
	return mostOf(reasons), len(reasons) > 0
}

// shading is a run of months that want cloth; one cloth serves them all, as a
// grower buys one.
type shading struct {
	From, To int // months
	Shade    unit.Fraction
	Light    unit.DailyLight // the most, without the cloth
}

// hangs says whether the calendar hangs the cloth of a run of months.
func (m *maker) hangs(r shading) bool {
	return slices.ContainsFunc(m.Tasks, func(t Task) bool {
		for i := r.From; t.Kind == TaskShade && t.Args["Shade"] == r.Shade; i = i%12 + 1 {
			if t.Args["Month"] == monthWord(i) {
				return true
			}
			if i == r.To {
				break
			}
		}
		return false
	})
}

// shaded gives the runs of months with a crop that want cloth, in the order of
// the year, a run over New Year being one.
func (m *maker) shaded() []shading {
	want := func(i int) bool { x := m.Months[i%12]; return x.Planted && x.Shade > 0 }
	start := 0
	for start < 12 && want(start+11) {
		start++ // a month that follows one without
	}
	var out []shading
	for i := start; i < start+12; i++ {
		x := m.Months[i%12]
		switch n := len(out); {
		case !want(i):
		case n > 0 && i > start && want(i-1):
			r := &out[n-1]
			r.To, r.Light, r.Shade = x.Number, max(r.Light, x.Light), max(r.Shade, x.Shade)
		default:
			out = append(out, shading{x.Number, x.Number, x.Shade, x.Light})
		}
	}
	inorder.Put(out, func(a, b shading) int { return a.From - b.From })
	return out
}

// first gives the first source of the crop's air limits.
func (m *maker) first() sourceID { return firstOf(m.Crop.Cited.Air) }

func firstOf(list []sourceID) sourceID {
	if len(list) > 0 {
		return list[0]
	}
	return source.OwnChoice
}

// tellFrost gives the freeze dates where there are any; where some winters have
// no freeze, only those of one year in ten.
func (m *maker) tellFrost() {
	f := m.Frost
	if f.Never || f.Always || f.Last10 == 0 || f.First10 == 0 {
		return
	}
	id := FindFrost
	if f.Last90 == 0 || f.First90 == 0 {
		id = FindRareFrost
	}
	args := finding.Args{}
	for name, d := range map[string]sky.DayOfYear{"Last50": f.Last50, "First50": f.First50, "Last10": f.Last10, "First10": f.First10} {
		if d == 0 {
			continue
		}
		mon, day := d.Month()
		args[name+"Month"], args[name+"Day"] = monthWord(mon), day
	}
	m.find(finding.Finding{ID: id, Severity: finding.Note, Figure: int(f.Last10), Source: "freeze-method", Args: args})
}

// tellBatches tells once of each kind what is risky in the batches.
func (m *maker) tellBatches() {
	slow := 0
	lightest := m.Target
	worst := map[finding.ID]int{}
	for _, b := range m.Batches {
		if !b.Ready {
			slow++
			lightest = min(lightest, b.Fresh)
		}
		for _, f := range m.Crop.Risks(m.went(b)) {
			if f.ID == crop.FindRoots && slices.ContainsFunc(m.Findings, func(g finding.Finding) bool { return g.ID == pool.FindWarmAct }) {
				continue // the solution of the month says it, with its own limit
			}
			if i, seen := worst[f.ID]; !seen {
				worst[f.ID] = len(m.Findings)
				m.find(f)
			} else if f.Severity > m.Findings[i].Severity {
				m.Findings[i] = f
			}
		}
	}
	if slow > 0 {
		m.find(finding.Finding{ID: FindSlow, Severity: finding.Caution, Figure: slow, Source: m.model(),
			Args: finding.Args{"Count": slow, "Mass": unit.Head(lightest), "Wanted": unit.Head(m.Target)}})
	}
}

// went gives what a batch goes through on the raft.
func (m *maker) went(b Batch) crop.Weather {
	w := crop.Weather{}
	n := daysBetween(b.SetOut, b.Harvest)
	from := index(b.SetOut)
	last := min(14, n)
	for i := range n {
		d := (from + i) % 365
		t := m.days.mean[d]
		w.DegreeDaysOverHeat += math.Max(0, t-m.Crop.HeatLimit.Celsius())
		w.Roots = max(w.Roots, unit.Temperature(m.days.pool[d]))
		if i >= n-last {
			w.LastLight += unit.DailyLight(m.days.light[d] / float64(last))
			w.LastAir += unit.Temperature(t / float64(last))
			w.LastWind += m.wind(monthOf(sky.DayOfYear(d+1))) / unit.Speed(last)
		}
		if i < 7 {
			w.FirstAir += unit.Temperature(t / float64(min(7, n)))
		}
		w.LongestDay = max(w.LongestDay, m.Sky.Sun(sky.DayOfYear(d+1)).Daylight)
	}
	return w
}
