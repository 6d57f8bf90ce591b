package season

import (
	"math"
	"time"

	"raftwright/crop"
	"raftwright/finding"
	"raftwright/source"
	"raftwright/unit"
)

// Steady is how the wanted harvest fits the raft. Each harvest is planned back
// from its day, each batch set out as late as its day allows, so that it takes
// its holes for the shortest time. Beds alike are planted alike, so holes are
// those of one of them; heads are those of all.
type Steady struct {
	HeadsPerWeek float64   // wanted; without a wish, what the rafts carry
	Rate         float64   // heads that every week can have which a planting reaches
	Carries      float64   // of them, those of one raft
	Count        int       // beds alike that there are
	Peak         int       // holes in use at once, most
	NurseryPeak  int       // nursery holes in use at once, most
	Bound        int       // no plan with these harvests has a lower Peak
	Proven       bool      // Peak is Bound: nothing can be set out later
	Least        unit.Mass // lightest head planned for; below the target only so that the harvest fits
	Holes        int       // holes there are
	Area         unit.Area
	Needs        int           // holes in use at once, most, with all the heads wanted
	Beds         int           // beds alike that all the heads wanted take, as heavy as these
	Chance       unit.Fraction // that a harvest brings the heads promised
	Harvests     int
	Skipped      int // weeks without a day on which harvest is possible
	Missed       int // harvests that no planting reaches
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

	FindNoDays finding.ID = "season.no_harvest_days"
	FindBreak  finding.ID = "season.break_skipped"
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

// steady plans the batches of a wanted harvest; nil where it has no day.
func (m *maker) steady() *fit {
	f := m.listed()
	switch {
	case f == nil:
	case m.Whole:
		m.Batches = f.whole()
	default:
		m.Batches = f.again()
	}
	return f
}

// listed lists the days of a wanted harvest; nil where it has none.
func (m *maker) listed() *fit {
	s := &m.job.Schedule
	m.limits(s)
	m.Steady = &Steady{HeadsPerWeek: s.HeadsPerWeek, Holes: m.Holes, Chance: promiseChance, Beds: s.Beds, Count: s.Beds}
	if s.First.IsZero() || s.Last.Before(s.First) {
		m.find(finding.Finding{ID: FindNoDays, Severity: finding.Caution, Hurts: finding.Harvest, Source: source.OwnChoice})
		return nil
	}
	m.fill(addDays(s.First, -m.mostDays()-int(m.Crop.Nursery.Max.Days())-40), addDays(s.Last, 40))
	m.assume(AssumeLosses, source.CommonPractice, finding.Args{"Lost": unit.Fraction(1 - plantChance), "Chance": unit.Fraction(promiseChance)})
	if len(s.Days) == 0 {
		s.Days = []time.Weekday{m.roster.next(s.First).Weekday()}
		m.assume(AssumeDay, source.OwnChoice, finding.Args{"Day": finding.Word("weekday." + digit(int(s.Days[0])))})
	}
	return m.newFit(*s)
}

// sumUp seats the batches and says how they fit what is wanted.
func (m *maker) sumUp(f *fit) {
	if m.Whole {
		m.seat()
	}
	m.settleSteady()
	m.fallShort(f)
	m.tellSteady()
}

// settleSteady sums up the batches.
func (m *maker) settleSteady() {
	t, beds := m.Steady, m.Steady.Count
	t.Harvests, t.Proven, t.Area = len(m.Batches), t.Peak == t.Bound, m.area(t.Peak, t.NurseryPeak)
	t.Least = m.Target
	heads := 0
	for _, b := range m.Batches {
		if !m.Whole {
			t.Least = min(t.Least, b.Fresh)
		}
		m.CropsPerYear += float64(b.Plants) / float64(m.Holes)
		t.Spare += max(0, b.Plants*beds-b.Heads)
		heads += b.Heads
	}
	if m.Whole {
		t.Rate = float64(heads) / (float64(daysBetween(m.job.Schedule.First, m.job.Schedule.Last))/7 + 1)
		t.Needs = t.Peak
	}
	if m.job.Schedule.HeadsPerWeek <= 0 {
		t.HeadsPerWeek = t.Rate
	}
	t.Carries = t.Rate / float64(beds)
}

// limits fills the ends of the schedule from the crop's windows.
func (m *maker) limits(s *Schedule) {
	s.Beds = max(1, s.Beds)
	w := m.own
	if w[0].Open() {
		opens := m.date(w[0].From)
		stands := func(day time.Time) int {
			n, _ := m.ground.growth.until(index(day), m.wanted())
			return n
		}
		if s.First.IsZero() {
			s.First = addDays(opens, stands(opens))
		}
		if s.Last.IsZero() {
			end := w[len(w)-1]
			day := addDays(opens, (int(end.To)-int(w[0].From)+365)%365)
			for day.After(opens) && m.kills(index(day), stands(day)) {
				day = addDays(day, -1) // the last that is cut before the freeze
			}
			s.Last = addDays(day, stands(day))
		}
	}
	if limit := s.First.AddDate(mostYears, 0, 0); s.Last.After(limit) {
		s.Last = limit
		m.find(finding.Finding{ID: FindLong, Severity: finding.Note, Source: source.OwnChoice, Args: finding.Args{"Last": limit}})
	}
}

// mostYears bounds a schedule: more than any forecast bears.
const mostYears = 3

func (m *maker) tellSteady() {
	t := m.Steady
	if t.Least < m.Target && t.Least < m.Target-unit.Gram/2 {
		m.find(finding.Finding{ID: FindLighter, Severity: finding.Note, Figure: t.Least, Source: source.OwnChoice,
			Args: finding.Args{"Least": unit.Head(t.Least), "Wanted": unit.Head(m.Target)}})
	}
	if t.Skipped > 0 {
		m.find(finding.Finding{ID: FindBreak, Severity: finding.Note, Figure: t.Skipped, Source: source.Given, Args: finding.Args{"Count": t.Skipped}})
	}
	if len(m.Batches) == 0 && m.Short == nil {
		m.find(finding.Finding{ID: FindNoDays, Severity: finding.Caution, Hurts: finding.Harvest, Source: source.Given})
	}
}

// whole plants the raft at once and cuts it on the first day that can be.
func (f *fit) whole() []Batch {
	var out []Batch
	free, beds := 0, f.beds()
	guess := int(f.Crop.Raft.Middle().Days())
	for i := range f.list {
		h := &f.list[i]
		if h.day <= free {
			continue
		}
		latest, days := f.daysFor(h.day, f.wanted(), guess)
		if latest > 0 {
			guess = latest
		}
		if days == 0 || h.day-days < free {
			continue
		}
		b := f.stand(h.day-days, h.day, f.Holes, f.wanted())
		b.Heads, b.least = int(float64(f.Holes*beds)*plantChance), f.roster.date(h.day-min(latest, days))
		h.days, h.heads = days, b.Heads
		out = append(out, b)
		free = h.day + turnaroundDays
	}
	return out
}

func last(days []crop.Standing) crop.Standing { return days[len(days)-1] }
