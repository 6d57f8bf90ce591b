package cut

// lister writes out every pattern that a better solution could still use.
type lister struct {
	t      *task
	work   *effort
	fill   *filler // for the order of kinds by value per width
	least  int64   // value that a pattern must reach
	most   int
	out    []pattern
	suffix [][]int64 // best value of kinds from here on, by room; nil when too large
	nodes  int64
	stop   int64
}

const suffixCells = 1_500_000

// list gives all maximal patterns whose cost beyond the worth of their pieces (at whole-number
// prices, boards costing board[k]) is no more than gap. A solution that costs no more than
// bound + gap can be made from these alone: an unused gap in a pattern can be filled
// without making the solution dearer. It reports false when there are more than
// most patterns or the work ran out.
func (m *master) list(board []int64, gap int64, most int) ([]pattern, bool) {
	l := &lister{t: m.t, work: m.work, fill: newFiller(m.t, m.work), most: most, stop: min(m.work.left()/8, 40_000_000)}
	ones := make([]int64, len(m.price))
	for i, p := range m.price {
		ones[i] = max(p, 1) // kinds without a price can fill a pattern up too
	}
	l.fill.set(ones, m.t.need)
	l.tabulate()
	for k, room := range m.t.room {
		if m.t.limit[k] == 0 {
			continue
		}
		l.least = board[k] - gap
		if !l.walk(k, 0, room, 0) {
			return nil, false
		}
	}
	m.work.add(l.nodes * 8)
	return l.out, true
}

// tabulate fills the suffix table, by which no branch without an end is entered.
func (l *lister) tabulate() {
	n := len(l.fill.order)
	room := l.fill.widest()
	if room > suffixCells || int64(n+1)*(room+1) > suffixCells {
		return
	}
	l.suffix = make([][]int64, n+1)
	l.suffix[n] = make([]int64, room+1)
	for i := n - 1; i >= 0; i-- {
		k := l.fill.order[i]
		w, v := l.t.width[k], l.fill.value[k]
		row := append([]int64(nil), l.suffix[i+1]...)
		for left, part := min(l.t.need[k], room/w), int64(1); left > 0; part *= 2 {
			part = min(part, left)
			left -= part
			for c := room; c >= part*w; c-- {
				row[c] = max(row[c], row[c-part*w]+part*v)
			}
		}
		l.suffix[i] = row
	}
	l.work.add(int64(n) * room * 2)
}

func (l *lister) walk(board, i int, room, value int64) bool {
	f := l.fill
	if l.nodes++; l.nodes > l.stop {
		return false
	}
	if i == len(f.order) {
		if value >= l.least && value > 0 && l.maximal(room) {
			if len(l.out) >= l.most {
				return false
			}
			f.found = f.found[:0]
			f.record(board)
			l.out = append(l.out, f.found[0])
		}
		return true
	}
	if l.suffix != nil {
		if value+l.suffix[i][room] < l.least {
			return true
		}
	} else if float64(l.least-value) > float64(room)*f.ratio[i] {
		return true
	}
	k := f.order[i]
	w := l.t.width[k]
	for n := min(f.most[k], room/w); n >= 0; n-- {
		f.count[i] = n
		if !l.walk(board, i+1, room-n*w, value+n*f.value[k]) {
			f.count[i] = 0
			return false
		}
	}
	f.count[i] = 0
	return true
}

// maximal says that no piece left over would fit into the room left.
func (l *lister) maximal(room int64) bool {
	for i, k := range l.fill.order {
		if l.t.width[k] <= room && l.fill.count[i] < l.fill.most[k] {
			return false
		}
	}
	return true
}
