package cut

import (
	"slices"
)

// Work for the largest offcut: in all, and for one question.
const (
	offcutWork   = 150_000_000
	questionWork = 30_000_000
	mostSums     = 60_000
)

// largest makes the largest single offcut as large as it can be without a dearer plan or more boards, by halving: is
// there a plan as good in which one board keeps at least so much?
func (s *saw) largest() {
	if !s.answer.found {
		return
	}
	sums, whole := s.t.sums(mostSums)
	if !whole {
		return
	}
	sizes := s.offcuts(sums)
	lo, _ := slices.BinarySearch(sizes, s.leftOver(s.answer.uses))
	hi := len(sizes) // sizes[lo] can be had, sizes[hi] cannot
	work := s.work.upTo(offcutWork)
	sure := s.answer.proven && s.fewest
	for lo+1 < hi {
		mid := (lo + hi) / 2
		q := work.upTo(questionWork)
		uses, proven := s.keeping(sizes[mid], q)
		work.add(q.spent)
		if uses == nil {
			sure = sure && proven
			hi = mid
			continue
		}
		s.answer.uses = uses
		lo, _ = slices.BinarySearch(sizes, s.leftOver(uses))
	}
	s.work.add(work.spent)
	s.offcut = sure
}

// sums gives all lengths that pieces can add up to, ascending, no more than most of them.
func (t *task) sums(most int) ([]int64, bool) {
	top := slices.Max(t.room)
	sums := []int64{0}
	for i, w := range t.width {
		base := sums
		for n := int64(1); n <= t.need[i] && n*w <= top; n++ {
			more := make([]int64, 0, len(base))
			for _, s := range base {
				if s+n*w <= top {
					more = append(more, s+n*w)
				}
			}
			sums = append(sums, more...)
			if len(sums) > 8*most {
				slices.Sort(sums)
				sums = slices.Compact(sums)
			}
			if len(sums) > 8*most {
				return nil, false
			}
		}
		slices.Sort(sums)
		if sums = slices.Compact(sums); len(sums) > most {
			return nil, false
		}
	}
	return sums[1:], true
}

// offcuts gives all lengths that can be left on a board that is cut, in nanometres, ascending.
func (s *saw) offcuts(sums []int64) []int64 {
	var out []int64
	for k := range s.t.room {
		if s.t.limit[k] == 0 {
			continue
		}
		for _, f := range sums {
			if f <= s.t.room[k] {
				out = append(out, s.exact[k]-f*s.grid)
			}
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// leftOver gives the most that one board keeps, in nanometres (its last saw cut included).
func (s *saw) leftOver(uses []use) int64 {
	most := int64(0)
	for _, u := range uses {
		most = max(most, s.exact[u.board]-s.t.filled(u.takes)*s.grid)
	}
	return most
}

// keeping looks for a plan that costs no more, with no more boards, in which one board keeps
// at least rest nanometres. No uses and proven: there is none.
//
// The task: every kind of board again with its room cut down by rest, one of which must be
// used; and boards out of thin air that cost 1, when all others cost nothing.
func (s *saw) keeping(rest int64, work *effort) (uses []use, proven bool) {
	t := s.t
	n := len(t.room)
	boards := int64(0)
	for _, u := range s.answer.uses {
		boards += u.times
	}
	q := &task{width: t.width, need: t.need, room: slices.Clone(t.room), limit: slices.Clone(t.limit), cost: make([]int64, n, 2*n+1)}
	money := sideRow{by: slices.Clone(t.cost), most: s.answer.cost}
	count := sideRow{by: slices.Repeat([]int64{1}, n), most: boards}
	one := sideRow{by: make([]int64, n, 2*n+1), most: -1}
	for k := range n {
		limit := min(1, t.limit[k])
		room := max(0, s.exact[k]-rest) / s.grid
		if room < slices.Min(t.width) {
			limit = 0
		}
		q.room = append(q.room, room)
		q.cost, q.limit = append(q.cost, 0), append(q.limit, limit)
		money.by, count.by, one.by = append(money.by, t.cost[k]), append(count.by, 1), append(one.by, -1)
	}
	q.room = append(q.room, slices.Max(t.room))
	q.cost, q.limit = append(q.cost, 1), append(q.limit, t.pieces())
	money.by, count.by, one.by = append(money.by, 0), append(count.by, 0), append(one.by, 0)
	q.side = []sideRow{count, one}
	if !t.sameCost() {
		q.side = append(q.side, money)
	}
	for k, l := range t.limit {
		if l < t.pieces() && l > 0 {
			both := sideRow{by: make([]int64, 2*n+1), most: l}
			both.by[k], both.by[n+k] = 1, 1
			q.side = append(q.side, both)
		}
	}
	a := q.below(1, s.answer.uses, work)
	if !a.found {
		return nil, a.proven
	}
	for i := range a.uses {
		a.uses[i].board %= n
	}
	return t.trimmed(a.uses), true
}
