package cut

import "raftwright/internal/lp"

// answer is the solution of a task: the uses, their cost, and a cost that no solution undercuts.
type answer struct {
	uses   []use
	cost   int64
	bound  int64
	proven bool // cost equals bound, or every other branch was closed by proof
	found  bool // there are uses; when not and proven, there is no solution
	// worth of each kind of piece that gives the bound of the linear programme, and that bound unrounded.
	worth   []float64
	relaxed float64
}

const (
	largeList = 60_000
)

// solve finds the least cost of a task, with proof where the work allows.
func (t *task) solve(work *effort) answer {
	uses, _ := t.first(work)
	return t.below(none, uses, work)
}

// below finds the least cost of a task, as far as it is below a ceiling: proven and not found means
// that no solution is cheaper than the ceiling. The search starts from uses, which need not be a solution.
func (t *task) below(ceiling int64, uses []use, work *effort) answer {
	a := answer{cost: ceiling}
	if t.holds(uses) && t.total(uses) < ceiling {
		a = answer{uses: uses, found: true, cost: t.total(uses)}
	}
	m := newMaster(t, work)
	m.start(uses)
	m.under(a.cost)
	bound, end := m.solve()
	bound = min(max(bound, t.lengthBound()), a.cost)
	a.bound = bound
	a.worth, a.relaxed = m.worth()
	if a.cost <= bound || end == hopeless {
		a.proven = true // the programme itself has nothing cheaper
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

// search closes the gap between a and its bound. Where all patterns that a better plan could use are few
// enough, they are written out and searched, with restarts; else dives look for better plans.
func (m *master) search(a answer) answer {
	for round := range uint64(maxRounds) {
		if m.work.over() {
			return a
		}
		pats, all := m.within(a)
		if all {
			a = m.branch(a, pats, true, treeNodes<<min(round, 40), round)
		}
		for d := range uint64(divesARound) {
			if a.proven || a.cost <= a.bound || all && round != 1 {
				break
			}
			a = m.dive(a, round*divesARound+d)
		}
		if !all && a.cost > a.bound {
			a = m.branch(a, m.pats, false, treeNodes, round)
		}
		if a.proven || a.cost <= a.bound {
			a.proven = true
			return a
		}
	}
	return a
}

const (
	maxRounds   = 50
	divesARound = 4
	treeNodes   = 150
)

// within lists all patterns that a plan cheaper than a could use.
func (m *master) within(a answer) ([]pattern, bool) {
	if m.relax() != lp.Optimal {
		return nil, false
	}
	m.under(a.cost)
	board, _ := m.round(false)
	_, bound := m.pricing(m.t.need)
	gap := int64(1) << 61
	if a.cost != none {
		gap = (a.cost-m.t.costStep())*int64(m.scale) - bound
	}
	return m.list(board, gap, min(largeList, 6_000_000/len(m.t.need)))
}

// branch searches the tree over patterns; when these are all that a better plan could use,
// a search that ends proves a.
func (m *master) branch(a answer, pats []pattern, all bool, nodes int64, seed uint64) answer {
	b := newTree(m.t, m.work, pats)
	b.floor, b.seed = a.bound, seed
	b.best, b.cost = a.uses, a.cost
	b.slicing = all && (seed > 0 || len(m.t.need) <= 2*smallKinds)
	b.run(nodes)
	a.uses, a.cost, a.found = b.best, b.cost, b.best != nil
	a.proven = all && b.proven || a.cost <= a.bound
	if a.proven && a.found {
		a.bound = a.cost
	}
	return a
}
