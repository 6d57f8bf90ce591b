package cut

import (
	"context"
	"math"
	"slices"
)

// task is a cutting job in whole numbers: every width is a piece plus one kerf,
// every room a usable board length plus one kerf, so that a pattern fits when its
// widths add up to no more than the room. All are divided by their common factor.
type task struct {
	width []int64 // by kind of piece, largest first, all different
	need  []int64 // pieces wanted, by kind
	room  []int64 // by kind of board, all pairs (room, cost, limit) useful
	cost  []int64 // by kind of board, none negative
	limit []int64 // boards there are, by kind; never more than pieces
	side  []sideRow
}

// sideRow is a rule on the numbers of boards: sum of by[k] * boards of kind k is at most most.
type sideRow struct {
	by   []int64
	most int64
}

// take is n pieces of one kind.
type take struct {
	kind int
	n    int64
}

// pattern is one way to cut a board of kind board.
type pattern struct {
	board int
	takes []take // by kind, ascending
}

// use is a pattern cut times over.
type use struct {
	pattern
	times int64
}

// pieces gives the number of pieces wanted.
func (t *task) pieces() int64 {
	n := int64(0)
	for _, d := range t.need {
		n += d
	}
	return n
}

// costStep gives the greatest common divisor of the costs: every total is a multiple of it.
func (t *task) costStep() int64 {
	g := int64(0)
	for _, c := range t.cost {
		g = gcd(g, c)
	}
	return max(g, 1)
}

func gcd(a, b int64) int64 {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// total gives the cost of a set of uses.
func (t *task) total(uses []use) int64 {
	sum := int64(0)
	for _, u := range uses {
		sum += u.times * t.cost[u.board]
	}
	return sum
}

// holds checks in whole numbers that the uses are a solution: every piece is cut, every
// pattern fits, no more boards are used than there are, every side rule is kept.
func (t *task) holds(uses []use) bool {
	got := make([]int64, len(t.need))
	boards := make([]int64, len(t.room))
	for _, u := range uses {
		boards[u.board] += u.times
		if t.filled(u.takes) > t.room[u.board] {
			return false
		}
		for _, k := range u.takes {
			got[k.kind] += k.n * u.times
		}
	}
	for i, d := range t.need {
		if got[i] < d {
			return false
		}
	}
	for k, n := range boards {
		if n > t.limit[k] {
			return false
		}
	}
	return t.sidesHold(boards)
}

func (t *task) sidesHold(boards []int64) bool {
	for _, s := range t.side {
		sum := int64(0)
		for k, n := range boards {
			sum += s.by[k] * n
		}
		if sum > s.most {
			return false
		}
	}
	return true
}

// filled gives the sum of the widths of takes.
func (t *task) filled(takes []take) int64 {
	sum := int64(0)
	for _, k := range takes {
		sum += k.n * t.width[k.kind]
	}
	return sum
}

// trimmed drops pieces beyond those wanted, from the last uses first, and merges equal patterns,
// so that every piece is cut exactly as often as wanted.
func (t *task) trimmed(uses []use) []use {
	extra := make([]int64, len(t.need))
	for i, d := range t.need {
		extra[i] = -d
	}
	for _, u := range uses {
		for _, k := range u.takes {
			extra[k.kind] += k.n * u.times
		}
	}
	var out []use
	for _, u := range slices.Backward(uses) {
		for u.times > 0 {
			takes, times := dropExtra(u, extra)
			u.times -= times
			if len(takes) > 0 {
				out = append(out, use{pattern{u.board, takes}, times})
			}
		}
	}
	slices.Reverse(out)
	return merged(out)
}

// dropExtra takes surplus pieces off as many boards of one use as can lose the same ones.
func dropExtra(u use, extra []int64) (takes []take, times int64) {
	times = u.times
	for _, k := range u.takes {
		n := k.n
		if drop := min(extra[k.kind], k.n); drop > 0 {
			n -= drop
			times = min(times, extra[k.kind]/drop)
		}
		if n > 0 {
			takes = append(takes, take{k.kind, n})
		}
	}
	for _, k := range u.takes {
		if drop := min(extra[k.kind], k.n); drop > 0 {
			extra[k.kind] -= drop * times
		}
	}
	return takes, times
}

func merged(uses []use) []use {
	at := map[string]int{}
	var out []use
	for _, u := range uses {
		key := u.key()
		if i, ok := at[key]; ok {
			out[i].times += u.times
			continue
		}
		at[key] = len(out)
		out = append(out, u)
	}
	return out
}

// key names a pattern uniquely.
func (p pattern) key() string {
	b := make([]byte, 0, 4+6*len(p.takes))
	put := func(x int64) {
		for x >= 0x80 {
			b = append(b, byte(x)|0x80)
			x >>= 7
		}
		b = append(b, byte(x))
	}
	put(int64(p.board))
	for _, k := range p.takes {
		put(int64(k.kind))
		put(k.n)
	}
	return string(b)
}

// effort counts the work of a search in rough elementary operations. It stands in
// for a clock, so that the same job always ends at the same place.
type effort struct {
	ctx          context.Context // that may stop it
	spent, limit int64
}

func (e *effort) add(n int64) { e.spent += n }
func (e *effort) over() bool  { return e.spent >= e.limit || e.ctx.Err() != nil }
func (e *effort) left() int64 { return max(0, e.limit-e.spent) }

// upTo gives an effort of its own within what is left.
func (e *effort) upTo(limit int64) *effort { return &effort{ctx: e.ctx, limit: min(e.left(), limit)} }

// inf is a shorthand for an absent bound.
func inf() float64 { return math.Inf(1) }
