package cut

import (
	"math"
	"slices"

	"raftwright/internal/lp"
)

// master is the linear programme over cutting patterns (Gilmore & Gomory 1961): least cost of boards
// so that every piece is cut at least as often as wanted. Patterns are made when they pay.
// Rows: the pieces, then the numbers of each board, then the side rules.
type master struct {
	t     *task
	work  *effort
	lp    *lp.Model
	pats  []pattern
	known map[string]int
	most  []int64 // boards of each kind in any solution below the ceiling
	fill  *filler
	spare *filler // for filling boards greedily
	unit  float64 // cost that counts as 1 in the linear programme
	price []int64 // whole-number duals of the pieces at scale
	scale float64
	// shrink makes the prices of the last pricing so low that no board holds more than it costs; base is
	// what limited boards take off, at scale.
	shrink, base float64
}

func newMaster(t *task, work *effort) *master {
	m := &master{t: t, work: work, lp: &lp.Model{}, known: map[string]int{}, fill: newFiller(t, work), spare: lightFiller(t, work), unit: 1,
		price: make([]int64, len(t.need))}
	m.most = slices.Clone(t.limit)
	for _, c := range t.cost {
		m.unit = max(m.unit, float64(c))
	}
	for _, d := range t.need {
		m.lp.AddRow(float64(d), inf(), nil, nil)
	}
	for _, n := range t.limit {
		m.lp.AddRow(0, float64(n), nil, nil)
	}
	for _, s := range t.side {
		m.lp.AddRow(-inf(), float64(s.most)/m.sideUnit(s), nil, nil)
	}
	return m
}

// sideUnit scales a side rule to numbers near one.
func (m *master) sideUnit(s sideRow) float64 {
	u := int64(1)
	for _, b := range s.by {
		u = max(u, b, -b)
	}
	return float64(u)
}

func (m *master) pieceRow(i int) int { return i }
func (m *master) boardRow(k int) int { return len(m.t.need) + k }
func (m *master) sideRow(r int) int  { return len(m.t.need) + len(m.t.room) + r }

// add puts a pattern into the programme once and gives its column.
func (m *master) add(p pattern) (col int, fresh bool) {
	key := p.key()
	if c, ok := m.known[key]; ok {
		return c, false
	}
	var rows []int32
	var vals []float64
	for _, k := range p.takes {
		rows = append(rows, int32(k.kind))
		vals = append(vals, float64(k.n))
	}
	rows = append(rows, int32(m.boardRow(p.board)))
	vals = append(vals, 1)
	for r, s := range m.t.side {
		if b := s.by[p.board]; b != 0 {
			rows = append(rows, int32(m.sideRow(r)))
			vals = append(vals, float64(b)/m.sideUnit(s))
		}
	}
	col = m.lp.AddCol(float64(m.t.cost[p.board])/m.unit, 0, inf(), rows, vals)
	m.known[key] = col
	m.pats = append(m.pats, p)
	return col, true
}

// round turns the duals into whole numbers at a scale that cannot overflow: prices of pieces (kept in
// m.price), and what each board costs once the duals of its rows are counted in. Any non-negative
// prices give a valid bound; good ones give a good bound. With a ray in place of duals,
// boards cost nothing, and a bound above zero proves that there is no solution (Farkas 1902).
func (m *master) round(ray bool) (board []int64, base int64) {
	y := m.lp.Ray
	if !ray {
		y = make([]float64, m.lp.Rows())
		for r := range y {
			y[r] = m.lp.Dual(r)
		}
	}
	top := 1.0
	for i, d := range m.t.need {
		top += math.Abs(y[i]) * float64(d)
	}
	for k, n := range m.t.limit {
		top += math.Abs(y[m.boardRow(k)])*float64(n) + float64(m.t.cost[k])/m.unit
	}
	for r, s := range m.t.side {
		top += math.Abs(y[m.sideRow(r)]) * math.Abs(float64(s.most)) / m.sideUnit(s)
	}
	m.scale = min(math.Exp2(math.Floor(58-math.Log2(top*m.unit))), math.Exp2(40))
	for i := range m.price {
		m.price[i] = int64(math.Max(0, y[i]) * m.unit * m.scale)
	}
	board = make([]int64, len(m.t.room))
	for k := range board {
		w := int64(math.Min(0, y[m.boardRow(k)]) * m.unit * m.scale)
		board[k] = -w
		if !ray {
			board[k] += m.t.cost[k] * int64(m.scale)
		}
		base += w * m.t.limit[k]
	}
	for r, s := range m.t.side {
		w := int64(math.Min(0, y[m.sideRow(r)]) * m.unit / m.sideUnit(s) * m.scale)
		base += w * s.most
		for k, b := range s.by {
			board[k] -= w * b
		}
	}
	return board, base
}

// pricing asks for patterns worth more than their board under the present duals, with no more of a kind
// than most, and adds them. bound is a safe lower bound of the cost at m.scale
// (Farley 1990 in whole numbers; it uses that no more boards of a kind are used than there are);
// it holds only when most is what the whole task needs and no column is held down, and for solutions cheaper than the ceiling.
func (m *master) pricing(most []int64) (added int, bound int64) { return m.priced(most, false) }

func (m *master) priced(most []int64, ray bool) (added int, bound int64) {
	board, base := m.round(ray)
	bound = base
	for i, d := range m.t.need {
		bound += m.price[i] * d
	}
	eps := m.tolerance()
	m.shrink, m.base = 1, float64(base)
	m.fill.set(m.price, most)
	for k := range m.t.room {
		if m.t.limit[k] == 0 {
			continue
		}
		if m.work.over() {
			return added, 0
		}
		found, worth, _ := m.fill.over(k, board[k])
		if worth > board[k] {
			m.shrink = min(m.shrink, float64(board[k])/float64(worth))
			bound -= (worth - board[k]) * m.most[k]
		}
		if worth <= board[k]+eps {
			continue
		}
		best := found[max(0, len(found)-1):]
		for _, p := range found {
			if _, fresh := m.add(p); fresh {
				added++
			}
		}
		if len(best) > 0 && m.fill.cells(m.fill.widest()) < directCells {
			added += m.others(best[0], board[k]+eps, most)
		}
	}
	return added, bound
}

// others adds patterns that pay and share as little as can be with the best one and with each other: a round of
// such patterns moves the programme much further than variations of the best.
func (m *master) others(p pattern, floor int64, most []int64) (added int) {
	left := slices.Clone(most)
	defer func() { m.fill.set(m.price, most) }()
	for range otherRounds {
		for _, k := range p.takes {
			left[k.kind] = max(0, left[k.kind]-k.n)
		}
		m.fill.set(m.price, left)
		found, _, _ := m.fill.over(p.board, floor)
		if len(found) == 0 {
			return added
		}
		p = found[len(found)-1]
		if _, fresh := m.add(p); fresh {
			added++
		}
	}
	return added
}

const otherRounds = 25

// outcome says how column generation ended.
type outcome int

const (
	priced   outcome = iota // no pattern pays any more
	hopeless                // proven: there is no solution at all
	cutShort                // the work ran out, or numbers failed
)

// solve runs column generation to its end and gives the best safe bound seen, in units of cost
// rounded up to the next possible total.
func (m *master) solve() (bound int64, end outcome) {
	shaken := len(m.t.need) > fewKinds
	m.shake(shaken)
	defer m.shake(false)
	for {
		status := m.relax()
		switch {
		case status == lp.Infeasible:
			if added, b := m.priced(m.t.need, true); b > 0 {
				return bound, hopeless
			} else if added == 0 {
				return bound, cutShort
			}
		case status != lp.Optimal:
			return bound, cutShort
		case m.quick() == 0:
			added, b := m.pricing(m.t.need)
			bound = max(bound, m.roundUp(b))
			if added == 0 || bound >= m.roundUp(int64(m.lp.Objective()*m.unit*m.scale)-m.tolerance()) {
				if !shaken {
					return bound, priced // what is left of the gap cannot change the bound
				}
				shaken = false
				m.shake(false)
			}
		}
		if m.work.over() {
			return bound, cutShort
		}
	}
}

const (
	fewKinds = 30
	shakeBy  = 1e-4
)

// shake asks for a very little more of each kind, each differently much, so that the simplex method does not stand still
// at corners where many rules meet (Charnes 1952); or takes that back.
func (m *master) shake(on bool) {
	seed := uint64(1)
	for i, d := range m.t.need {
		more := 0.0
		if on {
			more = shakeBy * (1 + float64(next(&seed)%1000)/1000)
		}
		m.lp.SetRowBounds(m.pieceRow(i), float64(d)+more, inf())
	}
}

// quick adds patterns that pay without asking for the best ones, where the best are dear to find.
func (m *master) quick() (added int) {
	if m.fill.cells(m.fill.widest()) < directCells {
		return 0
	}
	board, _ := m.round(false)
	eps := m.tolerance()
	m.spare.set(m.price, m.t.need)
	for k := range m.t.room {
		if m.t.limit[k] == 0 {
			continue
		}
		found, _, _ := m.spare.over(k, board[k]+eps)
		for _, p := range found {
			if _, fresh := m.add(p); fresh {
				added++
			}
		}
	}
	return added
}

// tolerance is the reduced cost, at m.scale, within which a pattern does not pay.
func (m *master) tolerance() int64 {
	return int64(m.scale*m.unit*1e-9) + int64(len(m.price)) + 1
}

// relax solves the linear programme over the patterns there are, as far as the work allows.
func (m *master) relax() lp.Status {
	before := m.lp.Pivots
	m.lp.Limit = before + m.work.left()/m.pivotCost() + 1
	status := m.lp.SolvePrimal()
	m.work.add((m.lp.Pivots - before + 1) * m.pivotCost())
	return status
}

// pivotCost is the work of one pivot.
func (m *master) pivotCost() int64 {
	rows := int64(m.lp.Rows())
	return rows*rows + 12*int64(m.lp.Cols())
}

// roundUp turns a bound at m.scale into the least total cost not below it.
func (m *master) roundUp(b int64) int64 {
	s := int64(m.scale)
	if b <= 0 {
		return 0
	}
	whole := (b + s - 1) / s
	step := m.t.costStep()
	return (whole + step - 1) / step * step
}

// under tells the bound that only solutions cheaper than a ceiling matter: these have few boards.
func (m *master) under(ceiling int64) {
	if ceiling == none {
		return
	}
	for k, c := range m.t.cost {
		if c > 0 {
			m.most[k] = min(m.t.limit[k], (ceiling-m.t.costStep())/c)
		}
	}
}

// worth gives the prices of the last pricing, shrunk so that no board holds more worth than it costs, and the
// bound that they prove; nothing where the work was spent before any pricing.
func (m *master) worth() (each []float64, total float64) {
	if m.scale == 0 {
		return nil, 0
	}
	total = m.base / m.scale * m.shrink
	for i, p := range m.price {
		w := float64(p) / m.scale * m.shrink
		each = append(each, w)
		total += w * float64(m.t.need[i])
	}
	return each, total
}
