package season

import (
	"slices"
	"time"
)

// seat gives each batch its holes, by the days it stands on the raft, and finds
// the peak. Holes are numbered from 1; a batch gets one run where there is one
// long enough, and the fewest runs otherwise. The number of holes in use is the
// peak of the batches that stand at once, which no seating can beat.
func (m *maker) seat() {
	type event struct {
		day  time.Time
		cut  bool
		list int
	}
	var events []event
	for i, b := range m.Batches {
		events = append(events, event{b.SetOut, false, i}, event{b.Harvest, true, i})
	}
	// on one day the cut comes before the planting
	slices.SortStableFunc(events, func(a, b event) int {
		if c := a.day.Compare(b.day); c != 0 {
			return c
		}
		switch {
		case a.cut == b.cut:
			return a.list - b.list
		case a.cut:
			return -1
		}
		return 1
	})
	free := []Span{{1, 1 << 30}}
	used := 0
	for _, e := range events {
		b := &m.Batches[e.list]
		if e.cut {
			if b.SetOut.Before(b.Harvest) {
				free = release(free, b.Holes)
				used -= b.Plants
			}
			continue
		}
		b.Holes, free = take(free, b.Plants)
		if !b.SetOut.Before(b.Harvest) {
			free = release(free, b.Holes)
			continue
		}
		used += b.Plants
		m.Steady.Peak = max(m.Steady.Peak, used)
	}
}

// take takes n holes: the shortest run that is long enough below the end, else
// the lowest holes there are.
func take(free []Span, n int) (got, rest []Span) {
	best := -1
	for i, s := range free[:len(free)-1] {
		if size := s.To - s.From + 1; size >= n && (best < 0 || size < free[best].To-free[best].From+1) {
			best = i
		}
	}
	rest = slices.Clone(free)
	if best >= 0 {
		got = []Span{{rest[best].From, rest[best].From + n - 1}}
		rest[best].From += n
		if rest[best].From > rest[best].To {
			rest = slices.Delete(rest, best, best+1)
		}
		return got, rest
	}
	for n > 0 {
		s := &rest[0]
		k := min(n, s.To-s.From+1)
		got = append(got, Span{s.From, s.From + k - 1})
		s.From += k
		n -= k
		if s.From > s.To {
			rest = rest[1:]
		}
	}
	return got, rest
}

// release gives holes back and joins runs that touch.
func release(free, back []Span) []Span {
	all := append(slices.Clone(free), back...)
	slices.SortFunc(all, func(a, b Span) int { return a.From - b.From })
	out := all[:1]
	for _, s := range all[1:] {
		if last := &out[len(out)-1]; s.From <= last.To+1 {
			last.To = max(last.To, s.To)
		} else {
			out = append(out, s)
		}
	}
	return out
}
