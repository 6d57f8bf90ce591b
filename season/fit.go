package season

import (
	"time"

	"raftwright/unit"
)

// wanted is the weight at which the model stops: the target, before the grower's
// own factor.
func (m *maker) wanted() unit.Mass { return m.Target / unit.Mass(m.job.Fit) }

// lightest is the least weight at which a head may be cut: that of the crop's
// range, unless the grower gave a weight of their own.
func (m *maker) lightest() unit.Mass {
	if m.job.Target > 0 {
		return m.wanted()
	}
	return min(m.wanted(), m.Crop.Mass.Min/unit.Mass(m.job.Fit))
}

// fits says whether a run has room on the raft.
func (m *maker) fits(r run) bool { return m.area(r) <= m.Bed.Area*(1+1e-9) }

// fitted plans the wanted heads on the raft. When heads of the wanted weight do
// not fit, they are cut lighter, down to the least of the crop's range: the
// weight of the lightest head is the greatest that fits (a run with heads of at
// least some weight fits if and only if the run that sets each batch out on its
// latest day for that weight does; so bisection finds it), and then each batch is
// set out as much earlier as the free holes allow. When nothing fits, the run
// with the wanted weight says how many beds it takes.
func (m *maker) fitted(s Schedule) run {
	full := m.staged(s, m.wanted())
	least := m.lightest()
	if least >= m.wanted() || m.fits(full) {
		return full
	}
	best := m.staged(s, least)
	if !m.fits(best) {
		return full
	}
	lo, hi := least, m.wanted()
	for hi-lo > unit.Gram/2 {
		mid := (lo + hi) / 2
		if r := m.staged(s, mid); m.fits(r) {
			lo, best = mid, r
		} else {
			hi = mid
		}
	}
	if m.job.Nursery <= 0 {
		m.earlier(&best, s)
	}
	return best
}

// earlier sets each batch out earlier, towards its wanted weight, where holes are
// free: in the order of the batches, day by day.
func (m *maker) earlier(r *run, s Schedule) {
	if len(r.batches) == 0 {
		return
	}
	start := addDays(r.batches[0].SetOut, -400)
	used := make([]int, daysBetween(start, r.batches[len(r.batches)-1].Harvest)+1)
	day := func(t time.Time) int { return daysBetween(start, t) }
	for _, b := range r.batches {
		for d := day(b.SetOut); d < day(b.Harvest); d++ {
			used[d] += b.Plants
		}
	}
	for i := range r.batches {
		b := &r.batches[i]
		goal, ok := m.latest(b.Harvest, m.wanted())
		if !ok {
			goal = b.SetOut
		}
		from := b.SetOut
		for from.After(goal) {
			d := addDays(from, -1)
			if _, away := s.away(d); away || used[day(d)]+b.Plants > m.Holes {
				break
			}
			used[day(d)] += b.Plants
			from = d
		}
		if from.Before(b.SetOut) {
			heads, least := b.Heads, b.Least
			*b = m.stand(from, b.Harvest, b.Plants, s, r.weight)
			b.Heads, b.Least = heads, least
		}
	}
	r.seat()
}
