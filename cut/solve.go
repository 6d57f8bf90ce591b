package cut

// answer is the solution of a task: the uses, their cost, and a cost that no solution undercuts.
type answer struct {
	uses   []use
	cost   int64
	bound  int64
	proven bool // cost equals bound, or every other branch was closed by proof
	found  bool // there are uses; when not and proven, there is no solution
}

const (
	smallList = 4000
	largeList = 60_000
)

// solve finds the least cost of a task, with proof where the work allows.
func (t *task) solve(work *effort) answer {
	uses, ok := t.first(work)
	a := answer{uses: uses, found: ok, cost: none}
	if ok {
		a.cost = t.total(uses)
	}
	m := newMaster(t, work)
	m.start(uses)
	bound, done := m.solve()
	a.bound = bound
	if a.found && a.cost <= bound {
		a.proven = true
		return a
	}
	if !done && !a.found && !work.over() {
		a.proven = true // the programme itself has no solution
		return a
	}
	return m.search(a)
}

// start gives the programme its first columns: the patterns of a first plan, and
// each kind alone on every board that takes it, so that a solution exists where there is one.
func (m *master) start(uses []use) {
	for _, u := range uses {
		m.add(u.pattern)
	}
	for k, room := range m.t.room {
		for i, w := range m.t.width {
			if n := min(room/w, m.t.need[i]); n > 0 && m.t.limit[k] > 0 {
				m.add(pattern{k, []take{{i, n}}})
			}
		}
	}
}

// search closes the gap between a and its bound.
func (m *master) search(a answer) answer {
	board, base := m.round()
	_, bound := m.pricing(m.t.need)
	_ = base
	gap := int64(1) << 61
	if a.found {
		gap = (a.cost-m.t.costStep())*int64(m.scale) - bound
	}
	pats, all := m.list(board, gap, largeList)
	if !all {
		pats = m.pats
	}
	b := newTree(m.t, m.work, pats)
	b.floor = a.bound
	b.proven = all
	if a.found {
		b.offer(a.uses)
	}
	b.run(200_000)
	a.proven = b.proven || b.cost <= a.bound
	if b.cost != none {
		a.uses, a.cost, a.found = b.best, b.cost, true
	}
	if a.proven && a.found {
		a.bound = a.cost
	}
	return a
}
