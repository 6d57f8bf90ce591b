package season

import (
	"slices"
	"time"

	"raftwright/internal/inorder"
)

// seat gives each batch its number and its holes, by the days it stands on the
// raft, and finds the peaks. Holes are numbered from 1; a batch gets one run where
// there is one long enough, and the fewest runs otherwise. No seating uses fewer
// holes than stand at once, and this one uses no more. The bound is the peak that
// the batches would have if each were set out on its latest day.
func (m *maker) seat() {
	n := len(m.Batches)
	last, least, close := make([]stay, 0, n), make([]stay, 0, n), []stay(nil)
	for i := range m.Batches {
		b := &m.Batches[i]
		b.Number = i + 1
		from := b.SetOut
		if !b.Move.IsZero() {
			from = b.Move
			close = append(close, stay{b.SetOut, b.Move, b.Plants, &b.Nursery})
		}
		last = append(last, stay{from, b.Harvest, b.Plants, &b.Holes})
		held := daysBetween(b.SetOut, from) // nursery days keep their number
		least = append(least, stay{addDays(maxTime(b.least, b.SetOut), held), b.Harvest, b.Plants, nil})
	}
	t := m.Steady
	t.Peak, t.NurseryPeak, t.Bound = seatAll(last), seatAll(close), seatAll(least)
}

func maxTime(a, b time.Time) time.Time {
	if a.After(b) {
		return a
	}
	return b
}

// stay is a number of plants in holes from a day until another.
type stay struct {
	from, to time.Time
	plants   int
	holes    *[]Span // where to write the holes; nil: only count
}

// seatAll seats the stays and gives the peak.
func seatAll(stays []stay) int {
	// an event is a number, its day first; on one day the cut comes before the planting
	const lists = 1 << 24
	event := func(day time.Time, planting, list int) int64 {
		return (dayNumber(day)*2+int64(planting))*lists + int64(list)
	}
	events := make([]int64, 0, 2*len(stays))
	for i, s := range stays {
		if s.from.Before(s.to) {
			events = append(events, event(s.from, 1, i), event(s.to, 0, i))
		}
	}
	slices.Sort(events)
	free := []Span{{1, 1 << 30}}
	used, peak := 0, 0
	for _, e := range events {
		s := stays[e%lists]
		if e/lists%2 == 0 {
			used -= s.plants
			if s.holes != nil {
				free = release(free, *s.holes)
			}
			continue
		}
		used += s.plants
		peak = max(peak, used)
		if s.holes != nil {
			*s.holes, free = take(free, s.plants)
		}
	}
	return peak
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
	inorder.Put(all, func(a, b Span) int { return a.From - b.From })
	out := all[:1]
	for _, s := range all[1:] {
		if end := &out[len(out)-1]; s.From <= end.To+1 {
			end.To = max(end.To, s.To)
		} else {
			out = append(out, s)
		}
	}
	return out
}
