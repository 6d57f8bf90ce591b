package cut

import (
	"cmp"
	"slices"

	"raftwright/internal/inorder"
)

// filler finds the most valuable filling of a board: a bounded knapsack with whole
// values, by depth-first search (Horowitz & Sahni 1974) where that ends soon, else by dynamic
// programming over lengths.
type filler struct {
	t     *task
	work  *effort
	order []int     // kinds with a value, best value per width first
	ratio []float64 // value per width, in that order, raised above rounding
	small []int64   // least width from here on, in that order
	most  []int64   // pieces of a kind that may be taken, by kind
	value []int64   // by kind

	count []int64 // of the present node, by place in order
	best  int64
	found []pattern // better and better fillings, the last is the best
	nodes int64
	stop  int64
	used  int64
	light bool // a good filling will do: no table is made, and bounds mean nothing

	table []int64 // best value by room (dynamic programming)
	from  [][]uint64
	parts []take
}

const (
	soonNodes  = 3000    // nodes after which dynamic programming may take over
	lateNodes  = 400_000 // nodes when the table would be too large
	tableCells = 60_000_000
	tableRoom  = 4_000_000
	// directCells is the size of table that is made without a search before.
	directCells = 1_000_000
	severalMost = 12
	// slackUp raises float ratios so that a bound never falls short of the true one.
	slackUp = 1 + 1e-12
)

func newFiller(t *task, work *effort) *filler {
	return &filler{t: t, work: work, count: make([]int64, len(t.width)), ratio: make([]float64, len(t.width)), small: make([]int64, len(t.width))}
}

// set prepares the filler for values and limits by kind (both kept, not copied).
func (f *filler) set(value, most []int64) {
	f.value, f.most = value, most
	f.order = f.order[:0]
	for i, v := range value {
		if v > 0 && most[i] > 0 {
			f.order = append(f.order, i)
		}
	}
	slices.SortStableFunc(f.order, func(a, b int) int {
		return cmp.Compare(float64(value[b])/float64(f.t.width[b]), float64(value[a])/float64(f.t.width[a]))
	})
	least := int64(1) << 62
	for i, k := range slices.Backward(f.order) {
		least = min(least, f.t.width[k])
		f.small[i] = least
		f.ratio[i] = float64(value[k]) / float64(f.t.width[k]) * slackUp
		f.count[i] = 0
	}
	f.table = f.table[:0]
}

// over finds fillings of a board worth more than floor. bound is never less than the
// greatest value there is (floor at least); exact says that it is that value.
func (f *filler) over(board int, floor int64) (found []pattern, bound int64, exact bool) {
	if floor >= 0 {
		return f.within(board, f.t.room[board], floor)
	}
	found, bound, exact = f.within(board, f.t.room[board], 0)
	if len(found) == 0 { // any piece at all is worth more than a floor below zero
		for i, w := range slices.Backward(f.t.width) {
			if w <= f.t.room[board] && f.most[i] > 0 {
				return []pattern{{board, []take{{i, 1}}}}, bound, exact
			}
		}
	}
	return found, bound, exact
}

// within is over for a part of a board.
func (f *filler) within(board int, room, floor int64) (found []pattern, bound int64, exact bool) {
	if f.light {
		f.stop = soonNodes
		if f.used > f.work.limit/20 {
			f.stop = 60 // the job is too large for care with every board
		}
		whole := f.search(board, room, floor)
		return f.found, f.best, whole
	}
	cells := f.cells(room)
	f.stop = soonNodes
	if len(f.order) > 12 && cells < directCells {
		f.stop = 0
	}
	if cells > tableCells || cells > f.work.left() {
		f.stop = lateNodes
	}
	if len(f.table) == 0 {
		if f.stop > 0 && f.search(board, room, floor) {
			return f.found, f.best, true
		}
		if cells > tableCells || cells > f.work.left() {
			return f.found, max(f.best, f.coarse(room)), false
		}
		f.tabulate(f.widest())
	}
	best := f.table[room]
	if best <= floor {
		return nil, floor, true
	}
	return f.several(board, room, floor), best, true
}

// several reads good fillings off the table: for each kind the best one that has it, the most
// valuable of these, the best of all last.
func (f *filler) several(board int, room, floor int64) []pattern {
	type start struct {
		kind  int
		worth int64
	}
	var starts []start
	for _, k := range f.order {
		if w := f.t.width[k]; w <= room && f.value[k]+f.table[room-w] > floor {
			starts = append(starts, start{k, f.value[k] + f.table[room-w]})
		}
	}
	inorder.Put(starts, func(a, b start) int { return cmp.Compare(b.worth, a.worth) })
	starts = starts[:min(len(starts), severalMost)]
	f.found = f.found[:0]
	for _, s := range slices.Backward(starts) {
		takes := f.trace(room - f.t.width[s.kind])
		at, has := slices.BinarySearchFunc(takes, s.kind, func(x take, k int) int { return cmp.Compare(x.kind, k) })
		switch {
		case !has:
			takes = slices.Insert(takes, at, take{s.kind, 1})
		case takes[at].n < f.most[s.kind]:
			takes[at].n++
		default:
			continue
		}
		f.found = append(f.found, pattern{board, takes})
	}
	f.work.add(int64(len(starts) * len(f.parts)))
	f.found = append(f.found, pattern{board, f.trace(room)})
	return f.found
}

// search runs the depth-first search and says whether it came to its end.
func (f *filler) search(board int, room, floor int64) bool {
	f.best, f.nodes = floor, 0
	f.found = f.found[:0]
	f.walk(board, 0, room, 0)
	f.work.add(f.nodes * 8)
	f.used += f.nodes * 8
	for i := range f.order {
		f.count[i] = 0
	}
	return f.nodes < f.stop
}

func (f *filler) walk(board, i int, room, value int64) {
	for ; i < len(f.order); i++ {
		if f.nodes++; f.nodes >= f.stop || room < f.small[i] {
			return
		}
		if float64(f.best-value) >= float64(room)*f.ratio[i] {
			return
		}
		k := f.order[i]
		w := f.t.width[k]
		for n := min(f.most[k], room/w); n > 0; n-- {
			f.count[i] = n
			v := value + n*f.value[k]
			if v > f.best {
				f.best = v
				f.record(board)
			}
			f.walk(board, i+1, room-n*w, v)
			if f.nodes >= f.stop {
				break
			}
		}
		f.count[i] = 0
	}
}

func (f *filler) record(board int) {
	var takes []take
	for i, k := range f.order {
		if f.count[i] > 0 {
			takes = append(takes, take{k, f.count[i]})
		}
	}
	inorder.Put(takes, func(a, b take) int { return cmp.Compare(a.kind, b.kind) })
	if len(f.found) == 6 {
		f.found = slices.Delete(f.found, 0, 1)
	}
	f.found = append(f.found, pattern{board, takes})
}

func (f *filler) widest() int64 {
	return slices.Max(f.t.room)
}

func (f *filler) split(room int64) []take {
	f.parts = f.parts[:0]
	for _, k := range f.order {
		left := min(f.most[k], room/f.t.width[k])
		for n := int64(1); left > 0; n *= 2 {
			n = min(n, left)
			f.parts = append(f.parts, take{k, n})
			left -= n
		}
	}
	return f.parts
}

func (f *filler) cells(room int64) int64 {
	if room > tableRoom {
		return tableCells + 1
	}
	return int64(len(f.split(max(room, f.widest())))) * room
}

// tabulate computes the best value for every room up to the widest board.
func (f *filler) tabulate(room int64) {
	parts := f.split(room)
	f.table = slices.Grow(f.table[:0], int(room)+1)[:room+1]
	clear(f.table)
	words := int(room)/64 + 1
	for len(f.from) < len(parts) {
		f.from = append(f.from, nil)
	}
	f.work.add(int64(len(parts)) * room / 3)
	for p, part := range parts {
		if len(f.from[p]) < words {
			f.from[p] = make([]uint64, words)
		}
		bits := f.from[p]
		clear(bits)
		w, v := part.n*f.t.width[part.kind], part.n*f.value[part.kind]
		low := f.table[:len(f.table)-int(w)]
		high := f.table[w:]
		for c := len(low) - 1; c >= 0; c-- {
			if x := low[c] + v; x > high[c] {
				high[c] = x
				at := c + int(w)
				bits[at/64] |= 1 << (at % 64)
			}
		}
	}
}

// trace reads the filling behind the table's value for a room.
func (f *filler) trace(room int64) []take {
	n := make(map[int]int64, 8)
	at := room
	for p := len(f.parts) - 1; p >= 0; p-- {
		if f.from[p][at/64]&(1<<(at%64)) != 0 {
			n[f.parts[p].kind] += f.parts[p].n
			at -= f.parts[p].n * f.t.width[f.parts[p].kind]
		}
	}
	var takes []take
	for k, c := range n {
		takes = append(takes, take{k, c})
	}
	inorder.Put(takes, func(a, b take) int { return cmp.Compare(a.kind, b.kind) })
	return takes
}

// coarse gives a safe upper bound of the best value on a rougher grid of lengths:
// widths and room are rounded down, which only ever lets more fit.
func (f *filler) coarse(room int64) int64 {
	parts := f.split(room)
	grid := min(20_000, max(1_000, f.work.left()/int64(20*len(parts)+1)))
	step := room/grid + 1
	top := room / step
	table := make([]int64, top+1)
	for _, part := range parts {
		w := part.n * f.t.width[part.kind] / step
		v := part.n * f.value[part.kind]
		if w == 0 {
			for c := range table {
				table[c] += v
			}
			continue
		}
		for c := top; c >= w; c-- {
			table[c] = max(table[c], table[c-w]+v)
		}
	}
	f.work.add(int64(len(parts)) * top / 2)
	return table[top]
}
