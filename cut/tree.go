package cut

import (
	"math"
	"slices"

	"raftwright/internal/lp"
)

// tree is branch and bound over patterns that are all written out: first on the number of
// boards of each kind, then on how often a pattern is cut. A branch is closed only by a bound
// computed in whole numbers from rounded duals.
type tree struct {
	t      *task
	work   *effort
	lp     *lp.Model
	pats   []pattern
	rows   []row
	cols   [][]entry // whole-number entries by column
	unit   float64
	step   int64
	best   []use
	cost   int64 // of best; math.MaxInt64 when there is none
	floor  int64 // no solution is cheaper
	proven bool  // no branch was left without proof
	nodes  int64
	stop   int64
	seed   uint64
	// slicing adds rules to the root that whole solutions keep.
	slicing bool
	rigid   bool // patterns are more than sums of widths: none may be made up on the way
	broken  []int
}

// row is a rule lo <= activity <= up in whole numbers (-none and none: no bound); in the linear programme it is divided by unit.
type row struct {
	lo, up int64
	unit   float64
}

type entry struct {
	row int32
	val int64
}

const none = math.MaxInt64

func newTree(t *task, work *effort, pats []pattern) *tree {
	b := &tree{t: t, work: work, lp: &lp.Model{}, pats: pats, unit: 1, step: t.costStep(), cost: none, proven: true}
	for _, c := range t.cost {
		b.unit = max(b.unit, float64(c))
	}
	for _, d := range t.need {
		b.addRow(row{d, none, 1})
	}
	for _, n := range t.limit {
		b.addRow(row{0, n, 1})
	}
	for _, s := range t.side {
		u := int64(1)
		for _, v := range s.by {
			u = max(u, v, -v)
		}
		b.addRow(row{-none, s.most, float64(u)})
	}
	for _, p := range pats {
		b.addPattern(p)
	}
	return b
}

func (b *tree) addRow(r row) int {
	b.rows = append(b.rows, r)
	return b.lp.AddRow(r.floatLo(), r.floatUp(), nil, nil)
}

func (r row) floatLo() float64 {
	if r.lo == -none {
		return -inf()
	}
	return float64(r.lo) / r.unit
}

func (r row) floatUp() float64 {
	if r.up == none {
		return inf()
	}
	return float64(r.up) / r.unit
}

func (b *tree) addPattern(p pattern) {
	t := b.t
	var es []entry
	up := int64(1)
	for _, k := range p.takes {
		es = append(es, entry{int32(k.kind), k.n})
		up = max(up, (t.need[k.kind]+k.n-1)/k.n)
	}
	es = append(es, entry{int32(len(t.need) + p.board), 1})
	for r, s := range t.side {
		if s.by[p.board] != 0 {
			es = append(es, entry{int32(len(t.need) + len(t.room) + r), s.by[p.board]})
		}
	}
	rows, vals := make([]int32, len(es)), make([]float64, len(es))
	for i, e := range es {
		rows[i], vals[i] = e.row, float64(e.val)/b.rows[e.row].unit
	}
	b.cols = append(b.cols, es)
	b.lp.AddCol(float64(t.cost[p.board])/b.unit, 0, float64(min(up, t.limit[p.board])), rows, vals)
}

// offer takes a solution as the best so far when it is valid and cheaper.
func (b *tree) offer(uses []use) {
	if c := b.t.total(uses); c < b.cost && b.t.holds(uses) {
		b.best, b.cost = uses, c
	}
}

// cutoff is the cost in the linear programme beyond which a branch holds nothing better.
func (b *tree) cutoff() float64 {
	if b.cost == none {
		return inf()
	}
	return float64(b.cost-b.step)/b.unit + 1e-6
}

func (b *tree) done() bool {
	return b.cost <= b.floor || b.nodes >= b.stop || b.work.over()
}

// run searches the tree, no more than stop nodes of it.
func (b *tree) run(stop int64) {
	b.stop = b.nodes + stop
	b.node()
	if b.cost > b.floor && (b.nodes >= b.stop || b.work.over()) {
		b.proven = false
	}
}

func (b *tree) node() {
	if b.done() {
		return
	}
	b.nodes++
	status := b.relax()
	switch {
	case status == lp.Stuck:
		b.proven = false
		return
	case status != lp.Optimal || b.lp.Objective() > b.cutoff():
		if !b.closed(status) {
			b.proven = false
		}
		return
	}
	if !b.rigid {
		b.finish()
	}
	if b.nodes == 1 && b.slicing && b.lp.Objective() <= b.cutoff() {
		b.strengthen()
		if status = b.relax(); status == lp.Stuck {
			b.proven = false
			return
		}
	}
	if status != lp.Optimal || b.lp.Objective() > b.cutoff() {
		if !b.closed(status) {
			b.proven = false
		}
		return
	}
	if k, x := b.splitBoards(); k >= 0 {
		b.branchBoards(k, x)
		return
	}
	if c, x := b.splitPattern(); c >= 0 {
		b.branchPattern(c, x)
		return
	}
	b.offer(b.rounded())
}

// relax solves the linear programme of the branch, as far as the work allows.
func (b *tree) relax() lp.Status {
	before := b.lp.Pivots
	rows := int64(b.lp.Rows())
	pivot := rows*rows + 20*int64(b.lp.Cols())
	b.lp.Limit = before + b.work.left()/pivot + 1
	status := b.lp.SolveDual(b.cutoff())
	b.work.add((b.lp.Pivots-before+1)*pivot + 1000)
	return status
}

const whole = 1e-6

// splitBoards finds a kind of board whose number is furthest from whole.
func (b *tree) splitBoards() (kind int, x float64) {
	kind = -1
	worst := whole
	for k := range b.t.room {
		v := b.lp.Activity(len(b.t.need) + k)
		if e := math.Abs(v - math.Round(v)); e > worst {
			kind, x, worst = k, v, e
		}
	}
	return kind, x
}

// splitPattern finds the pattern with the largest broken part; with a seed, one of the largest.
func (b *tree) splitPattern() (col int, x float64) {
	b.broken = b.broken[:0]
	best := 0.0
	for c := range b.pats {
		if !b.lp.Basic(c) {
			continue
		}
		v := b.lp.Value(c)
		if math.Abs(v-math.Round(v)) <= whole {
			continue
		}
		b.broken = append(b.broken, c)
		best = max(best, v-math.Floor(v))
	}
	if len(b.broken) == 0 {
		return -1, 0
	}
	if b.seed == 0 {
		best -= 1e-9
	} else {
		best -= 0.15
	}
	b.broken = slices.DeleteFunc(b.broken, func(c int) bool {
		v := b.lp.Value(c)
		return v-math.Floor(v) < best
	})
	col = b.broken[next(&b.seed)%uint64(len(b.broken))]
	return col, b.lp.Value(col)
}

func (b *tree) branchBoards(k int, x float64) {
	r := len(b.t.need) + k
	old := b.rows[r]
	set := func(lo, up int64) {
		b.rows[r].lo, b.rows[r].up = lo, up
		b.lp.SetRowBounds(r, float64(lo), float64(up))
	}
	down, up := int64(math.Floor(x)), int64(math.Ceil(x))
	tryUp := func() { set(up, old.up); b.node() }
	if x-math.Floor(x) > 0.5 {
		tryUp()
	}
	set(old.lo, down)
	b.node()
	if x-math.Floor(x) <= 0.5 {
		tryUp()
	}
	set(old.lo, old.up)
}

func (b *tree) branchPattern(c int, x float64) {
	lo, up := b.lp.ColBounds(c)
	b.lp.SetColBounds(c, math.Ceil(x), up)
	b.node()
	b.lp.SetColBounds(c, lo, math.Floor(x))
	b.node()
	b.lp.SetColBounds(c, lo, up)
}

// rounded reads the solution of the linear programme as whole uses.
func (b *tree) rounded() []use {
	var out []use
	for c, p := range b.pats {
		if n := int64(math.Round(b.lp.Value(c))); n > 0 {
			out = append(out, use{p, n})
		}
	}
	return out
}

// finish completes the whole part of the present solution greedily.
func (b *tree) finish() {
	need := append([]int64(nil), b.t.need...)
	limit := append([]int64(nil), b.t.limit...)
	var out []use
	for c, p := range b.pats {
		n := int64(b.lp.Value(c) + whole)
		n = min(n, limit[p.board])
		if n <= 0 {
			continue
		}
		out = append(out, use{p, n})
		limit[p.board] -= n
		for _, k := range p.takes {
			need[k.kind] = max(0, need[k.kind]-k.n*n)
		}
	}
	rest, ok := b.t.greedy(need, limit, nil)
	b.work.add(int64(len(b.pats) + 10*len(b.t.need)))
	if ok {
		b.offer(append(out, rest...))
	}
}
