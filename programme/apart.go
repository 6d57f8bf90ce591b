package programme

import (
	"slices"
	"strconv"
	"strings"
)

// wentOut is an amount of an edition that went out: what each giver has in it by the records as they stand now, with the corrections of its day, and by how much that is
// more than what went out. That much was written late, nobody knows whose.
type wentOut struct {
	edition
	gave map[string]float64
	late float64
}

// mostApart bounds how many ways to subtract are looked at of one amount. Those that leave the least time come first.
const mostApart = 4096

// apart tells whether somebody who adds and subtracts an amount of a time and what went out before is left with what too few gave; and the day of the edition that was
// taken last. Each edition is held against the amount by itself; then several, each of which leaves less time open than there was, or covers all that is open: a year less its two
// halves is what was written late.
func apart(now Range, gives map[string]float64, out []wentOut, least int) (Day, bool) {
	s := subtraction{out: out, least: least, seen: map[string]bool{}}
	for _, w := range out {
		s.days = append(s.days, w.in.From, w.in.To+1)
	}
	s.days = append(s.days, now.From, now.To+1)
	slices.Sort(s.days)
	s.days = slices.Compact(s.days)
	for _, w := range out {
		s.open = append(s.open, s.over(w.in))
	}
	for i, w := range out {
		if s.tells(s.less(gives, i, 1), max(0, w.late), max(0, -w.late)) {
			return w.asOf, true
		}
	}
	return s.try(make([]int, len(out)), s.over(now), gives, 0, 0)
}

// subtraction looks at what is left of an amount.
type subtraction struct {
	out   []wentOut
	least int
	days  []Day           // between which editions begin and end
	open  [][]int         // of each edition, the times that it covers
	seen  map[string]bool // which were subtracted and added
}

// over tells which of the times between the days a range covers.
func (s *subtraction) over(r Range) []int {
	out := make([]int, len(s.days)-1)
	for i := range out {
		if r.From <= s.days[i] && s.days[i] <= r.To {
			out[i] = 1
		}
	}
	return out
}

// long is how many days are open, each as often as it is.
func (s *subtraction) long(open []int) (n int) {
	for i, times := range open {
		n += max(times, -times) * int(s.days[i+1]-s.days[i])
	}
	return n
}

// try subtracts (by 1) or adds (by -1) one more edition, what leaves the least time open first. up is what came late that was subtracted, down what was added.
func (s *subtraction) try(used, open []int, gives map[string]float64, up, down float64) (Day, bool) {
	type step struct{ of, by, long int }
	var steps []step
	for i := range s.out {
		for _, by := range []int{1, -1} {
			left, within := make([]int, len(open)), true
			for j := range open {
				left[j] = open[j] - by*s.open[i][j]
				within = within && (open[j] == 0 || s.open[i][j]*by == open[j])
			}
			if n := s.long(left); used[i] == 0 && (n < s.long(open) || within) {
				steps = append(steps, step{i, by, n})
			}
		}
	}
	slices.SortStableFunc(steps, func(a, b step) int { return a.long - b.long })
	for _, x := range steps {
		used[x.of] = x.by
		key := chosen(used)
		if !s.seen[key] && len(s.seen) < mostApart {
			s.seen[key] = true
			left, w := s.less(gives, x.of, x.by), s.out[x.of]
			late := float64(x.by) * w.late
			up, down := up+max(0, late), down+max(0, -late)
			if s.tells(left, up, down) {
				return w.asOf, true
			}
			still := make([]int, len(open))
			for j := range open {
				still[j] = open[j] - x.by*s.open[x.of][j]
			}
			if x.long > 0 {
				if day, found := s.try(used, still, left, up, down); found {
					return day, true
				}
			}
		}
		used[x.of] = 0
	}
	return 0, false
}

// chosen writes which editions are used, and how.
func chosen(used []int) string {
	var b strings.Builder
	for _, by := range used {
		b.WriteString(strconv.Itoa(by))
	}
	return b.String()
}

// less gives what each giver has left.
func (s *subtraction) less(gives map[string]float64, of, by int) map[string]float64 {
	out := make(map[string]float64, len(gives))
	for giver, v := range gives {
		out[giver] = v
	}
	for giver, v := range s.out[of].gave {
		out[giver] -= float64(by) * v
	}
	return out
}

// tells tells whether what is left is of too few. What came late may undo what was counted the other way, of as many as it can; the rest of it is taken as the
// largest giver's.
func (s *subtraction) tells(left map[string]float64, up, down float64) bool {
	var more, fewer []float64
	for _, v := range left {
		switch {
		case v > tiny:
			more = append(more, v)
		case v < -tiny:
			fewer = append(fewer, -v)
		}
	}
	if len(more)+len(fewer) == 0 && up+down <= tiny {
		return false
	}
	parts := slices.Concat(undone(more, down), undone(fewer, up))
	if len(parts) > 0 {
		slices.Sort(parts)
		parts[len(parts)-1] += up + down
	}
	return !amount(parts, s.least)
}

// tiny is what adding in another order may leave of pounds, hours or dollars, which have hundredths.
const tiny = 1e-6

// undone leaves out the smallest, as many as so much can undo.
func undone(parts []float64, by float64) []float64 {
	slices.Sort(parts)
	for len(parts) > 0 && parts[0] <= by+tiny && by > tiny {
		by, parts = by-parts[0], parts[1:]
	}
	return slices.Clone(parts)
}
