package season

import (
	"math"
	"slices"

	"raftwright/unit"
)

// harvest is one day on which heads are cut.
type harvest struct {
	day    int
	share  float64 // of its week's heads
	asked  int     // heads wanted of all beds
	heads  int     // promised
	plants int     // set out for them, in one bed
	days   int     // on the raft; 0 where no planting can be had
	latest int     // days on the raft if somebody came every day
}

// fit is the search for the calendar that can be had. Each harvest is planned back
// from its day, each batch set out as late as it may be for its weight, so that it
// takes its holes for the shortest time.
type fit struct {
	*maker
	list    []harvest
	weight  unit.Mass // of the model, that every head has where any day lets it
	plants  map[int]int
	ideal   []int // days of each harvest for the wanted weight
	use     []int // holes taken and given back, day by day
	nursery []int
}

// newFit lists the harvest days of a schedule.
func (m *maker) newFit(s Schedule) *fit {
	r := &m.roster
	from, to := r.day(s.First), r.day(s.Last)
	f := &fit{maker: m, plants: map[int]int{}, list: make([]harvest, 0, len(s.Days)*((to-from)/7+1))}
	for week := from; week <= to; week += 7 {
		n := len(f.list)
		for d := week; d <= min(to, week+6); d++ {
			if r.open[d] && slices.Contains(s.Days, r.date(d).Weekday()) {
				f.list = append(f.list, harvest{day: d})
			}
		}
		if n == len(f.list) {
			m.Steady.Skipped++
		}
		for i := n; i < len(f.list); i++ {
			f.list[i].share = 1 / float64(len(f.list)-n)
		}
	}
	f.use, f.nursery = make([]int, len(r.open)+1), make([]int, len(r.open)+1)
	return f
}

// steadily fits the wanted heads to the raft. Where heads of the wanted weight have no
// room they are cut lighter, down to the least of the crop's range, then fewer: as many
// a week as every harvest can have, and one more where holes are free. The weight of the
// lightest is the greatest that has room, which halving finds: what is set out later
// takes its holes for a shorter time. Then each batch goes on as much earlier, towards
// its wanted weight, as free holes allow. Without a wish, it is as many heads of the
// wanted weight as every week can have.
func (f *fit) steadily() []Batch {
	s := f.job.Schedule
	perWeek := s.HeadsPerWeek
	f.at(f.wanted())
	for _, h := range f.list {
		f.ideal = append(f.ideal, h.days)
	}
	if perWeek <= 0 {
		perWeek = max(1, f.rate(float64(f.Holes*s.Beds*7)))
	}
	f.ask(perWeek)
	f.Steady.HeadsPerWeek, f.Steady.Rate = perWeek, perWeek
	if least := f.lightest(); !f.fits() && least < f.wanted() {
		f.at(least)
	}
	f.fewer(perWeek)
	if f.weight < f.wanted() {
		f.heavier()
	}
	f.count(perWeek)
	if f.job.Nursery <= 0 && f.weight < f.wanted() {
		f.earlier()
	}
	return f.batches()
}

// fewer promises fewer heads than are wanted a week where these have no room.
func (f *fit) fewer(perWeek float64) {
	if f.fits() {
		return
	}
	f.Steady.Rate = f.rate(perWeek)
	f.share(f.Steady.Rate)
	f.peaks() // the holes of these, not of what was tried last
	f.more()
}

// count gives the holes and the beds that the asked heads take at the weight of the
// calendar.
func (f *fit) count(perWeek float64) {
	kept := slices.Clone(f.list)
	f.share(perWeek)
	peak, nursery := f.peaks()
	f.Steady.Needs = peak
	f.Steady.Beds = max(1, int(math.Ceil(float64(f.area(peak, nursery)/f.Bed.Area)*float64(f.beds())-1e-9)))
	f.list = kept
}

func (m *maker) beds() int { return max(1, m.job.Schedule.Beds) }

// wanted is the weight at which the model stops: the target, before the grower's
// own factor.
func (m *maker) wanted() unit.Mass { return m.Target / unit.Mass(m.job.Fit) }

// lightest is the least weight at which a head may be cut: that of the crop's
// range.
func (m *maker) lightest() unit.Mass {
	return min(m.wanted(), m.Crop.Mass.Min/unit.Mass(m.job.Fit))
}

// heaviest is the most that a head may weigh: what the raft floats.
func (m *maker) heaviest() unit.Mass { return m.job.Head / unit.Mass(m.job.Fit) }

// mostDays is the longest that a crop may stand before a cut.
func (m *maker) mostDays() int { return mostDays(m.Crop) }

// fresh gives what a plant weighs in the model after so many days up to a cut.
func (m *maker) fresh(cut, days int) unit.Mass {
	return m.ground.growth.fresh(m.roster.year[cut-days], days)
}

// at looks for the days that each harvest's plants stand for a weight.
func (f *fit) at(weight unit.Mass) {
	f.weight = weight
	guess := int(f.Crop.Raft.Middle().Days())
	for i := range f.list {
		h := &f.list[i]
		if h.latest > 0 {
			guess = h.latest
		}
		h.latest, h.days = f.daysFor(h.day, weight, guess)
		if h.latest > 0 {
			guess = h.latest
		}
	}
}

// daysFor gives the fewest days on the raft, in an open window, that bring plants to a
// weight by a cut: if somebody came every day, and as it is. Where none does, it is the
// days that bring the heaviest head that may be cut, and 0 where there are none. Seedlings are
// fetched only where nobody can sow them in time.
func (m *maker) daysFor(cut int, weight unit.Mass, guess int) (latest, days int) {
	open := func(n int) bool { return m.limit[m.roster.year[cut-n]] == None }
	lo, hi := 1, min(m.mostDays(), cut)
	for lo <= hi && !open(lo) {
		lo++
	}
	for hi >= lo && !open(hi) {
		hi--
	}
	if lo > hi {
		return 0, 0
	}
	n := max(lo, min(hi, guess))
	if m.fresh(cut, n) >= weight {
		for n > lo && m.fresh(cut, n-1) >= weight {
			n--
		}
	} else {
		for n <= hi && m.fresh(cut, n) < weight {
			n++
		}
	}
	heaviest, least := m.heaviest(), m.lightest()
	for _, fetched := range []bool{false, true} {
		for i := n; i <= hi && m.fresh(cut, i) <= heaviest; i++ {
			if m.may(cut-i, cut, fetched) {
				return n, i
			}
		}
		for i := min(n-1, hi); i >= lo && m.fresh(cut, i) >= least; i-- {
			if m.may(cut-i, cut, fetched) {
				return min(n, hi), i
			}
		}
	}
	return 0, 0
}

// ask shares so many heads a week among the harvests as what is wanted.
func (f *fit) ask(perWeek float64) {
	f.share(perWeek)
	for i := range f.list {
		f.list[i].asked = f.list[i].heads
	}
}

// share shares so many heads a week among the harvests; parts of a head are carried to
// the next.
func (f *fit) share(perWeek float64) {
	carry := 0.0
	for i := range f.list {
		h := &f.list[i]
		carry += perWeek * h.share
		h.heads = int(carry + 1e-9)
		carry -= float64(h.heads)
		h.plants = f.plantsFor(h.heads)
	}
}

// plantsFor gives the plants of one bed for heads that all beds promise together.
func (f *fit) plantsFor(heads int) int {
	n, known := f.plants[heads]
	if !known {
		n = (PlantsFor(heads, plantChance, promiseChance) + f.beds() - 1) / f.beds()
		f.plants[heads] = n
	}
	return n
}

// peaks gives the most holes in use at once, and the most of the nursery.
func (f *fit) peaks() (peak, nursery int) {
	clear(f.use)
	clear(f.nursery)
	for _, h := range f.list {
		if h.days > 0 {
			f.take(h, h.plants)
		}
	}
	return most(f.use), most(f.nursery)
}

func most(changes []int) int {
	now, most := 0, 0
	for _, n := range changes {
		now += n
		most = max(most, now)
	}
	return most
}

// take notes the holes that plants of a harvest take and give back.
func (f *fit) take(h harvest, plants int) {
	from := h.day - h.days
	if f.job.Nursery > 0 {
		move := f.moved(from, h.day)
		f.nursery[from] += plants
		f.nursery[move] -= plants
		from = move
	}
	f.use[from] += plants
	f.use[h.day] -= plants
}

// area gives the part of raft that plants take at their peaks.
func (m *maker) area(peak, nursery int) unit.Area {
	a := float64(peak) / float64(m.Plants)
	if m.job.Nursery > 0 {
		a += float64(nursery) / float64(m.job.Nursery)
	}
	return unit.Area(a)
}

// fits says whether all plants have room on the raft.
func (f *fit) fits() bool { return f.area(f.peaks()) <= f.Bed.Area*(1+1e-9) }

// rate gives the most heads a week, in whole heads up to a limit, that have room.
func (f *fit) rate(limit float64) float64 {
	lo, hi := 0, int(math.Ceil(limit))
	for hi-lo > 1 {
		mid := (lo + hi) / 2
		if f.share(float64(mid)); f.fits() {
			lo = mid
		} else {
			hi = mid
		}
	}
	return float64(lo)
}

// more promises a head more where there is room for its plants, to each harvest in
// turn until none has.
func (f *fit) more() {
	for raised := true; raised; {
		raised = false
		for i := range f.list {
			h := &f.list[i]
			if h.days == 0 || h.heads >= h.asked {
				continue
			}
			plants := f.plantsFor(h.heads + 1)
			if f.take(*h, plants-h.plants); f.area(most(f.use), most(f.nursery)) > f.Bed.Area*(1+1e-9) {
				f.take(*h, h.plants-plants)
				continue
			}
			h.heads, h.plants, raised = h.heads+1, plants, true
		}
	}
}

// heavier raises the weight of the lightest head as far as the plants have room, to
// half a gram.
func (f *fit) heavier() {
	lo, hi := f.weight, f.wanted()
	best := slices.Clone(f.list)
	for hi-lo > unit.Gram/2 {
		mid := (lo + hi) / 2
		if f.at(mid); f.fits() {
			lo = mid
			copy(best, f.list)
		} else {
			hi = mid
		}
	}
	f.weight, f.list = lo, best
}

// earlier sets each batch out earlier, towards its wanted weight, where holes are
// free: in the order of the batches, day by day.
func (f *fit) earlier() {
	f.peaks()
	used := make([]int, len(f.use))
	now := 0
	for d, n := range f.use {
		now += n
		used[d] = now
	}
	for i := range f.list {
		h := &f.list[i]
		if h.days == 0 {
			continue
		}
		best := h.days
		for n := h.days + 1; n <= f.ideal[i] && used[h.day-n]+h.plants <= f.Holes; n++ {
			if f.may(h.day-n, h.day, false) {
				best = n
			}
		}
		for n := h.days + 1; n <= best; n++ {
			used[h.day-n] += h.plants
		}
		h.days = best
	}
}

// batches makes the batches of the harvests.
func (f *fit) batches() []Batch {
	out := make([]Batch, 0, len(f.list))
	for i := range f.list {
		h := &f.list[i]
		switch {
		case h.days == 0:
			if h.heads, h.plants = 0, 0; h.asked > 0 {
				f.Steady.Missed++
			}
		case h.heads > 0:
			b := f.stand(h.day-h.days, h.day, h.plants, f.weight)
			b.Heads, b.least = h.heads, f.roster.date(h.day-min(h.latest, h.days))
			out = append(out, b)
		}
	}
	return out
}
