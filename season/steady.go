package season

import (
	"math"
	"slices"
	"sort"
	"time"

	"raftwright/crop"
	"raftwright/finding"
	"raftwright/sky"
	"raftwright/source"
	"raftwright/unit"
)

// Schedule is the harvest that is wanted.
type Schedule struct {
	HeadsPerWeek float64        // of all beds together
	Beds         int            // alike, which share the harvest; 0: one
	First, Last  time.Time      // first and last day of harvest; zero: as early and late as the windows allow
	Whole        bool           // the whole raft at once; else each batch has its own holes
	Days         []time.Weekday // on which harvest is possible; empty: the weekday of First
	Breaks       []Break
}

// Break is a time when nobody comes, both days included.
type Break struct{ From, To time.Time }

// Given says whether anything was wanted at all.
func (s Schedule) Given() bool {
	return s.HeadsPerWeek > 0 || !s.First.IsZero() || !s.Last.IsZero()
}

// away says whether a day lies in a break, and gives the last day before it.
func (s Schedule) away(d time.Time) (time.Time, bool) {
	in := false
	for moved := true; moved; {
		moved = false
		for _, b := range s.Breaks {
			if !d.Before(b.From) && !d.After(b.To) {
				d, in, moved = addDays(b.From, -1), true, true
			}
		}
	}
	return d, in
}

// back gives the first day from d on that lies in no break.
func (s Schedule) back(d time.Time) time.Time {
	for moved := true; moved; {
		moved = false
		for _, b := range s.Breaks {
			if !d.Before(b.From) && !d.After(b.To) {
				d, moved = addDays(b.To, 1), true
			}
		}
	}
	return d
}

// week lists the days of one week, from a day on, on which harvest is possible.
func (s Schedule) week(from time.Time) []time.Time {
	var out []time.Time
	for i := range 7 {
		d := addDays(from, i)
		if _, away := s.away(d); away || d.After(s.Last) || !slices.Contains(s.Days, d.Weekday()) {
			continue
		}
		out = append(out, d)
	}
	return out
}

// Steady is how the wanted harvest fits the raft. Each harvest is planned back
// from its day, each batch set out as late as its day allows, so that it takes
// its holes for the shortest time. Beds alike are planted alike, so holes are
// those of one of them; heads are those of all.
type Steady struct {
	HeadsPerWeek float64   // wanted; without a wish, what the rafts carry
	Carries      float64   // heads a week that one raft carries on these days
	Count        int       // beds alike that there are
	Peak         int       // holes in use at once, most
	NurseryPeak  int       // nursery holes in use at once, most
	Bound        int       // no plan with these harvests has a lower Peak
	Proven       bool      // Peak is Bound: nothing can be set out later
	Least        unit.Mass // lightest head planned for; below the target only so that the harvest fits
	Holes        int       // holes there are
	Area         unit.Area
	Beds         int           // beds alike that it takes in all
	Chance       unit.Fraction // that a harvest brings the heads promised
	Harvests     int
	Skipped      int // weeks without a day on which harvest is possible
	Missed       int // harvests that no planting reaches
	FirstMissed  time.Time
	Spare        int // plants set out beyond the heads promised, all batches and beds
}

// A plant that is set out becomes a head with this chance; a harvest keeps its
// promise with the other (common practice: one in ten is lost or too small).
const (
	plantChance   = 0.90
	promiseChance = 0.90
)

// Codes of a steady harvest.
const (
	AssumeLosses finding.ID = "season.losses"
	AssumeDay    finding.ID = "season.harvest_day"

	FindHoles  finding.ID = "season.too_few_holes"
	FindNoDays finding.ID = "season.no_harvest_days"
	FindBreak  finding.ID = "season.break_skipped"
	FindMissed finding.ID = "season.missed"
	FindLong   finding.ID = "season.too_long"
	// FindLighter says that heads are cut lighter than wanted so that they fit.
	FindLighter finding.ID = "season.lighter"
)

// PlantsFor gives the least number of plants of which, with the chance that each
// becomes a head, at least so many do in the promised share of harvests: the
// exact tail of the binomial distribution.
func PlantsFor(heads int, each, promised unit.Fraction) int {
	if heads <= 0 {
		return 0
	}
	p := math.Min(0.9999, math.Max(0.01, float64(each)))
	lo, hi := heads-1, heads
	for tail(hi, heads, p) < float64(promised) && hi < 1<<24 {
		lo, hi = hi, 2*hi
	}
	for hi-lo > 1 {
		if mid := (lo + hi) / 2; tail(mid, heads, p) >= float64(promised) {
			hi = mid
		} else {
			lo = mid
		}
	}
	return hi
}

// tail gives P(X >= k) of a binomial with n and p, by its logs.
func tail(n, k int, p float64) float64 {
	sum := 0.0
	for i := k; i <= n; i++ {
		a, _ := math.Lgamma(float64(n + 1))
		b, _ := math.Lgamma(float64(i + 1))
		c, _ := math.Lgamma(float64(n - i + 1))
		sum += math.Exp(a - b - c + float64(i)*math.Log(p) + float64(n-i)*math.Log1p(-p))
	}
	return math.Min(1, sum)
}

// run is one way to plan a schedule, with heads of at least a weight.
type run struct {
	weight      unit.Mass // of the model, before the grower's own factor
	batches     []Batch
	skipped     int
	missed      int
	firstMissed time.Time
	peak        int
	nursery     int
	bound       int
}

// miss notes a harvest day that no planting reaches.
func (r *run) miss(d time.Time) {
	if r.missed == 0 {
		r.firstMissed = d
	}
	r.missed++
}

// steady plans the batches of a wanted harvest, each back from its day.
func (m *maker) steady() {
	s := m.limits(m.job.Schedule)
	m.Steady = &Steady{HeadsPerWeek: s.HeadsPerWeek, Holes: m.Holes, Chance: promiseChance, Beds: s.Beds, Count: s.Beds}
	if s.First.IsZero() || s.Last.Before(s.First) {
		m.find(finding.Finding{ID: FindNoDays, Severity: finding.Caution, Source: source.OwnChoice})
		return
	}
	m.assume(AssumeLosses, source.CommonPractice, finding.Args{"Lost": unit.Fraction(1 - plantChance), "Chance": unit.Fraction(promiseChance)})
	if len(s.Days) == 0 {
		s.Days = []time.Weekday{s.First.Weekday()}
		m.assume(AssumeDay, source.OwnChoice, finding.Args{"Day": finding.Word("weekday." + digit(int(s.Days[0])))})
	}
	var r run
	switch {
	case s.Whole:
		r = m.whole(s)
	case s.HeadsPerWeek > 0:
		r = m.fitted(s)
	default:
		s.HeadsPerWeek = m.carries(s, float64(m.Holes*s.Beds*7), m.wanted())
		m.Steady.HeadsPerWeek = s.HeadsPerWeek
		r = m.staged(s, m.wanted())
	}
	m.Batches = r.batches
	for i := range m.Batches {
		m.Batches[i].Holes = within(m.Batches[i].Holes, m.Holes)
	}
	m.settleSteady(s, r)
	m.tellSteady()
}

func (m *maker) settleSteady(s Schedule, r run) {
	t := m.Steady
	t.Peak, t.NurseryPeak, t.Bound, t.Proven = r.peak, r.nursery, r.bound, r.peak == r.bound
	t.Skipped, t.Missed, t.FirstMissed, t.Harvests = r.skipped, r.missed, r.firstMissed, len(r.batches)
	t.Area = m.area(r)
	t.Beds = max(1, int(math.Ceil(float64(t.Area/m.Bed.Area)*float64(s.Beds)-1e-9)))
	carried := t.HeadsPerWeek
	if t.Beds > s.Beds && !s.Whole {
		carried = m.carries(s, s.HeadsPerWeek, m.lightest())
	}
	t.Least = m.Target
	for _, b := range m.Batches {
		if !s.Whole && r.weight < m.wanted() {
			t.Least = min(t.Least, b.Fresh)
		}
	}
	weeks := float64(daysBetween(s.First, s.Last))/7 + 1
	heads := 0
	for _, b := range m.Batches {
		m.CropsPerYear += float64(b.Plants) / float64(m.Holes)
		t.Spare += max(0, b.Plants*s.Beds-b.Heads)
		heads += b.Heads
	}
	if s.Whole {
		carried = float64(heads) / weeks
	}
	if t.HeadsPerWeek == 0 {
		t.HeadsPerWeek = carried
	}
	t.Carries = carried / float64(s.Beds)
}

// area gives the part of raft that a run takes at its peaks.
func (m *maker) area(r run) unit.Area {
	a := float64(r.peak) / float64(m.Plants)
	if m.job.Nursery > 0 {
		a += float64(r.nursery) / float64(m.job.Nursery)
	}
	return unit.Area(a)
}

// carries gives the most heads a week of a weight, in whole heads up to a limit,
// that the rafts carry on the days of the schedule.
func (m *maker) carries(s Schedule, limit float64, weight unit.Mass) float64 {
	lo, hi := 0, int(math.Ceil(limit))
	for hi-lo > 1 {
		mid := (lo + hi) / 2
		s.HeadsPerWeek = float64(mid)
		if m.fits(m.staged(s, weight)) {
			lo = mid
		} else {
			hi = mid
		}
	}
	return float64(lo)
}

// limits fills the ends of the schedule from the crop's windows.
func (m *maker) limits(s Schedule) Schedule {
	s.Beds = max(1, s.Beds)
	w := m.own()
	if w[0].Open() {
		if s.First.IsZero() {
			day := m.date(w[0].From)
			s.First = addDays(day, len(m.grow(index(day)).days))
		}
		if s.Last.IsZero() {
			end := w[len(w)-1]
			opens := m.date(w[0].From)
			day := addDays(opens, (int(end.To)-int(w[0].From)+365)%365)
			for day.After(opens) && m.kills(day, len(m.grow(index(day)).days)) {
				day = addDays(day, -1) // the last that is cut before the freeze
			}
			s.Last = addDays(day, len(m.grow(index(day)).days))
		}
	}
	if limit := s.First.AddDate(mostYears, 0, 0); s.Last.After(limit) {
		s.Last = limit
		m.find(finding.Finding{ID: FindLong, Severity: finding.Note, Source: source.OwnChoice, Args: finding.Args{"Last": limit}})
	}
	return s
}

// mostYears bounds a schedule: more than any forecast bears.
const mostYears = 3

func (m *maker) tellSteady() {
	t := m.Steady
	if t.Beds > t.Count {
		m.find(finding.Finding{ID: FindHoles, Severity: finding.Caution, Figure: t.Peak, Source: source.OwnChoice,
			Args: finding.Args{"Peak": t.Peak * t.Count, "Holes": m.Holes * t.Count, "Beds": t.Beds, "Count": t.Count,
				"Carries": t.Carries, "Least": m.lightest() * unit.Mass(m.job.Fit)}})
	}
	if t.Least < m.Target && t.Beds <= t.Count {
		m.find(finding.Finding{ID: FindLighter, Severity: finding.Note, Figure: t.Least, Source: source.OwnChoice,
			Args: finding.Args{"Least": t.Least, "Wanted": m.Target, "Holes": m.Holes * t.Count, "Heads": t.HeadsPerWeek}})
	}
	if t.Skipped > 0 {
		m.find(finding.Finding{ID: FindBreak, Severity: finding.Note, Figure: t.Skipped, Source: source.Given, Args: finding.Args{"Count": t.Skipped}})
	}
	if t.Missed > 0 {
		args := finding.Args{"Count": t.Missed, "First": t.FirstMissed, "Mass": m.Target, "Some": false}
		for _, b := range m.Batches {
			if b.Harvest.After(t.FirstMissed) {
				args["Reached"], args["Some"] = b.Harvest, true
				break
			}
		}
		// what the days before that harvest lack
		args["Limit"] = m.limitOn(sky.DayOf(addDays(t.FirstMissed, -int(m.Crop.Raft.Middle().Days())))).Word()
		m.find(finding.Finding{ID: FindMissed, Severity: finding.Caution, Figure: t.Missed, Source: m.model(), Args: args})
	}
	if len(m.Batches) == 0 {
		m.find(finding.Finding{ID: FindNoDays, Severity: finding.Caution, Source: source.Given})
	}
}

// staged gives each harvest day its own batch. The heads of a week are shared by
// its days; parts of a head are carried to the next.
func (m *maker) staged(s Schedule, weight unit.Mass) run {
	r := run{weight: weight}
	carry := 0.0
	plants := map[int]int{}
	for week := s.First; !week.After(s.Last); week = addDays(week, 7) {
		days := s.week(week)
		if len(days) == 0 {
			r.skipped++
			continue
		}
		for _, d := range days {
			carry += s.HeadsPerWeek / float64(len(days))
			heads := int(carry + 1e-9)
			carry -= float64(heads)
			if heads == 0 {
				continue
			}
			if plants[heads] == 0 { // the beds make the promise together and share the plants
				plants[heads] = (PlantsFor(heads, plantChance, promiseChance) + s.Beds - 1) / s.Beds
			}
			b, ok := m.backFrom(d, plants[heads], s, weight)
			if !ok {
				r.miss(d)
				continue
			}
			b.Heads = heads
			r.batches = append(r.batches, b)
		}
	}
	r.seat()
	return r
}

// whole plants the raft at once and cuts it on the first day that is possible.
func (m *maker) whole(s Schedule) run {
	r := run{weight: m.wanted()}
	for day := s.First; !day.After(s.Last); day = addDays(day, 1) {
		if _, away := s.away(day); away || !slices.Contains(s.Days, day.Weekday()) {
			continue
		}
		if n := len(r.batches); n > 0 && day.Before(addDays(r.batches[n-1].Harvest, turnaroundDays+1)) {
			continue
		}
		b, ok := m.backFrom(day, m.Holes, s, r.weight)
		if !ok {
			r.miss(day)
			continue
		}
		if n := len(r.batches); n > 0 && b.SetOut.Before(addDays(r.batches[n-1].Harvest, turnaroundDays)) {
			continue
		}
		b.Heads = int(float64(m.Holes*s.Beds) * plantChance)
		r.batches = append(r.batches, b)
	}
	r.seat()
	return r
}

// until gives the days that plants set out on a day take to a weight, at most the
// wanted one; ok is false when they do not get there.
func (m *maker) until(from int, weight unit.Mass) (days int, ok bool) {
	run, _ := m.ground.until(from, weight)
	return len(run), len(run) > 0 && last(run).Fresh >= weight
}

// latest gives the latest day to set out for a cut at a weight; ok is false when
// there is none in the time that a crop may stand. Plants set out earlier are
// never behind those set out later, so the day can be found by halving.
func (m *maker) latest(cut time.Time, weight unit.Mass) (time.Time, bool) {
	most := int(1.6 * m.Crop.Raft.Max.Days())
	early := func(n int) bool { // set out so many days before the cut, they are ready for it
		need, ok := m.until(index(addDays(cut, -n)), weight)
		return ok && need <= n
	}
	n, known := m.apart[weight]
	if !known {
		n = 1 + sort.Search(most, func(i int) bool { return early(i + 1) })
	} else { // the days from set-out to cut change slowly from one cut to the next
		for ; n > 1 && early(n-1); n-- {
		}
		for ; n <= most && !early(n); n++ {
		}
	}
	if n <= most {
		m.apart[weight] = n
	}
	return addDays(cut, -n), n <= most
}

// backFrom gives the batch that has a weight on a harvest day, set out as late as
// that allows; ok is false when none has. Where the work would fall on days on
// which nobody comes, it moves to the day before them or to the first after,
// whichever brings the heads nearer to their weight.
func (m *maker) backFrom(cut time.Time, plants int, s Schedule, weight unit.Mass) (Batch, bool) {
	least, ok := m.latest(cut, weight)
	if !ok {
		return Batch{}, false
	}
	setOut := least
	if before, away := s.away(setOut); away {
		setOut = m.aside(before, s.back(setOut), cut, weight)
	}
	b := m.stand(setOut, cut, plants, s, weight)
	b.Least = least
	return b, true
}

// stand makes the batch of plants that stand from a day until their cut.
func (m *maker) stand(setOut, cut time.Time, plants int, s Schedule, weight unit.Mass) Batch {
	g := m.grow(index(setOut))
	g.days = m.ground.standing(index(setOut), daysBetween(setOut, cut))
	g.nursery = min(g.nursery, len(g.days))
	b := m.batch(setOut, plants, g)
	b.Ready = float64(b.Fresh) >= 0.999*float64(weight)*m.job.Fit
	if before, away := s.away(b.Sow); away {
		b.Sow = m.sowAside(b, before, s.back(b.Sow))
	}
	if !b.Move.IsZero() {
		if before, away := s.away(b.Move); away && !before.Before(b.SetOut) {
			b.Move = before
		} else if away {
			b.Move = b.SetOut
		}
	}
	return b
}

// sowAside chooses between two days to sow: the nearer to the ideal one of those
// that leave the seedlings the crop's least and most days in the tray; the day
// before the break where neither does.
func (m *maker) sowAside(b Batch, before, after time.Time) time.Time {
	up := m.Emerge.After.Days()
	least, most := m.Crop.Nursery.Min.Days()+up, m.Crop.Nursery.Max.Days()+up
	fits := func(d time.Time) bool {
		n := float64(daysBetween(d, b.SetOut))
		return n >= least && n <= most
	}
	early, late := daysBetween(before, b.Sow), daysBetween(b.Sow, after)
	if fits(after) && (!fits(before) || late < early) {
		return after
	}
	return before
}

// aside chooses between two days to set out for a cut: the one whose heads come
// nearer to the weight, as a ratio; never the later one where its heads would be
// lighter than the least that may be cut.
func (m *maker) aside(before, after, cut time.Time, weight unit.Mass) time.Time {
	heads := func(d time.Time) unit.Mass {
		n := daysBetween(d, cut)
		if n < 1 {
			return 0
		}
		return last(m.ground.standing(index(d), n)).Fresh
	}
	late := heads(after)
	if late < m.lightest() {
		return before
	}
	if math.Log(float64(weight/late)) < math.Log(float64(heads(before)/weight)) {
		return after
	}
	return before
}

func last(days []crop.Standing) crop.Standing { return days[len(days)-1] }

func daysBetween(from, to time.Time) int { return int(math.Round(to.Sub(from).Hours() / 24)) }
