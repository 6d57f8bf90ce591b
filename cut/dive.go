package cut

import (
	"math"
	"slices"

	"raftwright/internal/lp"
)

// dive looks for a solution cheaper than a by settling patterns of the linear programme one
// after the other, making new patterns for what is left as it goes. seed varies the choices; the
// same seed always gives the same dive. All bounds are as before when it ends.
func (m *master) dive(a answer, seed uint64) answer {
	var held []int
	defer func() {
		for _, c := range held {
			m.lp.SetColBounds(c, 0, inf())
		}
	}()
	need := slices.Clone(m.t.need)
	for !m.work.over() {
		if !m.settle(need, a) {
			return a
		}
		if a = m.complete(a, seed); a.cost <= a.bound {
			return a
		}
		if m.lp.Objective() > m.cutoff(a) {
			return a
		}
		cols := m.ripe(&seed)
		if len(cols) == 0 {
			return a // all whole: complete has seen it
		}
		for _, c := range cols {
			lo, up := m.lp.ColBounds(c)
			to := max(lo+1, math.Floor(m.lp.Value(c)+whole))
			if to == lo+1 && lo > 0 || lo == 0 {
				held = append(held, c)
			}
			m.lp.SetColBounds(c, to, up)
			for _, k := range m.pats[c].takes {
				need[k.kind] = max(0, need[k.kind]-k.n*int64(to-lo))
			}
		}
	}
	return a
}

func (m *master) cutoff(a answer) float64 {
	if a.cost == none {
		return inf()
	}
	return float64(a.cost-m.t.costStep())/m.unit + 1e-6
}

// settle solves the programme of a dive, with a few rounds of new patterns for the pieces left.
// It reports false when no cheaper solution lies below.
func (m *master) settle(need []int64, a answer) bool {
	const rounds = 40
	for range rounds {
		if m.relax() != lp.Optimal || m.work.over() {
			return false
		}
		if m.lp.Objective() <= float64(a.bound)/m.unit+1e-9 {
			return true // as low as it can get: no other patterns are wanted
		}
		if added, _ := m.pricing(need); added == 0 {
			break
		}
	}
	return m.lp.Objective() <= m.cutoff(a)
}

// ripe picks the columns to settle next: all that have grown by a whole board, else one with a large
// broken part, chosen among the largest by the seed.
func (m *master) ripe(seed *uint64) []int {
	var grown, broken []int
	best := 0.0
	for c := range m.pats {
		lo, _ := m.lp.ColBounds(c)
		x := m.lp.Value(c) - lo
		if x >= 1-whole {
			grown = append(grown, c)
		} else if x > whole {
			broken = append(broken, c)
			best = max(best, x)
		}
	}
	if len(grown) > 0 || len(broken) == 0 {
		return grown
	}
	broken = slices.DeleteFunc(broken, func(c int) bool {
		lo, _ := m.lp.ColBounds(c)
		return m.lp.Value(c)-lo < best-0.2*float64(min(*seed, 1))-1e-9
	})
	return []int{broken[next(seed)%uint64(len(broken))]}
}

// next steps a fixed sequence of numbers (Knuth's multiplier, MMIX); seed 0 stays 0, the plain choice.
func next(seed *uint64) uint64 {
	if *seed == 0 {
		return 0
	}
	*seed = *seed*6364136223846793005 + 1442695040888963407
	return *seed >> 33
}

// complete turns the whole part of the programme's solution into a plan by filling the rest greedily,
// once largest first and once as full as can be.
func (m *master) complete(a answer, seed uint64) answer {
	need := slices.Clone(m.t.need)
	limit := slices.Clone(m.t.limit)
	var out []use
	for c, p := range m.pats {
		n := min(int64(m.lp.Value(c)+whole), limit[p.board])
		if n <= 0 {
			continue
		}
		out = append(out, use{p, n})
		limit[p.board] -= n
		for _, k := range p.takes {
			need[k.kind] = max(0, need[k.kind]-k.n*n)
		}
	}
	m.work.add(int64(len(m.pats)))
	for _, fill := range []*filler{nil, m.spare} {
		rest, ok := m.t.greedy(slices.Clone(need), slices.Clone(limit), fill)
		uses := append(slices.Clone(out), rest...)
		if c := m.t.total(uses); ok && c < a.cost && m.t.holds(uses) {
			a.uses, a.cost, a.found = uses, c, true
		}
	}
	return a
}
