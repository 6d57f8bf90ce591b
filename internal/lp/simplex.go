package lp

import "math"

// SolveDual restores the bounds by the dual simplex, keeping reduced costs of the right sign.
// The present basis must be dual feasible (as after an optimal solve followed by changed
// bounds or added rows, or at the start when no cost is negative). It stops early once the
// objective passes the cutoff (math.Inf(1): never).
func (m *Model) SolveDual(cutoff float64) Status {
	m.renew(false)
	col := make([]float64, len(m.basis))
	for range maxPivot {
		if m.spent() {
			return Stuck
		}
		if m.age >= refactor {
			m.renew(true)
		}
		if !math.IsInf(cutoff, 1) && m.Pivots%4 == 0 && m.Objective() > cutoff {
			return Cutoff
		}
		p, above := m.leaving()
		q := -1
		if p >= 0 {
			q = m.entering(p, above)
		}
		if q >= 0 {
			m.column(q, col)
		}
		switch {
		case q >= 0 && math.Abs(col[p]) > pivotTol && math.Abs(col[p]-m.alpha[q]) < 1e-6*(1+math.Abs(col[p])):
			m.dualStep(p, q, above, col)
		case p < 0 && (m.age == 0 || m.sound()):
			return Optimal
		case m.age > 0: // an end, or a doubtful pivot: look again with a fresh inverse
			m.renew(true)
		case q < 0:
			m.keepRay(p, above)
			return Infeasible
		default:
			return Stuck
		}
	}
	return Stuck
}

// sound recomputes the solution and checks it against the rows themselves: a worn inverse shows there.
func (m *Model) sound() bool {
	m.fresh()
	m.settle()
	clear(m.rho)
	for j := range m.vars {
		if x := m.value(j); x != 0 {
			for k, r := range m.vars[j].rows {
				m.rho[r] += m.vars[j].vals[k] * x
			}
		}
	}
	for _, e := range m.rho {
		if math.Abs(e) > feasible {
			return false
		}
	}
	p, _ := m.leaving()
	return p < 0
}

// leaving picks the basic variable furthest outside its bounds, and whether it is above.
func (m *Model) leaving() (row int, above bool) {
	row = -1
	worst := feasible
	for p, j := range m.basis {
		v := &m.vars[j]
		x := m.xb[p]
		if e := v.lo - x; e > worst {
			row, above, worst = p, false, e
		}
		if e := x - v.up; e > worst {
			row, above, worst = p, true, e
		}
	}
	return row, above
}

// entering picks the variable whose reduced cost reaches zero first when the basic
// variable of row p moves to its bound. Among those that do so within a small tolerance the one with
// the largest pivot is taken (Harris 1973), which keeps the inverse sound.
func (m *Model) entering(p int, above bool) int {
	copy(m.rho, m.inv[p])
	sign := 1.0
	if above {
		sign = -1
	}
	limit := math.Inf(1)
	m.list = m.list[:0]
	for j := range m.vars {
		v := &m.vars[j]
		if v.place >= 0 {
			m.alpha[j] = 0
			continue
		}
		m.alpha[j] = m.dot(m.rho, j)
		a := m.alpha[j] * sign
		// raising the basic value needs x_j up with a<0, or down with a>0
		if v.lo == v.up || v.place == atLower && a > -pivotTol || v.place == atUpper && a < pivotTol {
			continue
		}
		m.list = append(m.list, j)
		limit = min(limit, (m.gap(j)+harris)/math.Abs(a))
	}
	best, bestPivot := -1, 0.0
	for _, j := range m.list {
		if a := math.Abs(m.alpha[j]); a > bestPivot && m.gap(j)/a <= limit {
			best, bestPivot = j, a
		}
	}
	return best
}

// gap is how far a reduced cost is from zero on its right side.
func (m *Model) gap(j int) float64 {
	if m.vars[j].place == atUpper {
		return max(0, -m.d[j])
	}
	return max(0, m.d[j])
}

func (m *Model) keepRay(p int, above bool) {
	m.Ray = append(m.Ray[:0], m.inv[p]...)
	// the basic variable is -row*(nonbasic part): raising a too low one moves duals along -row
	if !above {
		for i := range m.Ray {
			m.Ray[i] = -m.Ray[i]
		}
	}
}

func (m *Model) dualStep(p, q int, above bool, col []float64) {
	out := &m.vars[m.basis[p]]
	bound, leave := out.lo, atLower
	if above {
		bound, leave = out.up, atUpper
	}
	j0 := m.basis[p]
	step := (m.xb[p] - bound) / col[p]
	xq := m.value(q) + step
	theta := m.d[q] / col[p]
	for j := range m.vars {
		if m.vars[j].place < 0 && m.alpha[j] != 0 {
			m.d[j] -= theta * m.alpha[j]
		}
	}
	for k, b := range m.rho {
		m.y[k] += theta * b
	}
	m.d[q], m.d[j0] = 0, -theta
	for i := range m.xb {
		m.xb[i] -= step * col[i]
	}
	m.exchange(p, q, col, leave)
	m.xb[p] = xq
}

// SolvePrimal lowers the cost by the primal simplex from a basis that keeps all bounds
// (as after an optimal solve followed by added columns). From another basis it first runs SolveDual.
func (m *Model) SolvePrimal() Status {
	m.renew(false)
	if p, _ := m.leaving(); p >= 0 {
		if s := m.SolveDual(math.Inf(1)); s != Optimal {
			return s
		}
	}
	col := make([]float64, len(m.basis))
	m.stalled = 0
	for range maxPivot {
		if m.spent() {
			return Stuck
		}
		if m.age >= refactor {
			m.renew(true)
		}
		q, dir := m.candidate()
		if q < 0 {
			m.fresh()
			if q, dir = m.candidate(); q < 0 {
				return Optimal
			}
		}
		m.column(q, col)
		p, step, leave := m.ratio(q, dir, col)
		if math.IsInf(step, 1) {
			return Stuck // unbounded: no cost of a cutting problem is negative
		}
		if step < 1e-12 {
			m.stalled++
		} else {
			m.stalled = 0
		}
		m.primalStep(q, p, dir*step, leave, col)
	}
	return Stuck
}

// candidate picks the variable with the most negative reduced cost (the first one
// after a long stall: Bland's rule ends cycling), and the way it should move.
func (m *Model) candidate() (q int, dir float64) {
	q = -1
	best := costTol
	for j := range m.vars {
		v := &m.vars[j]
		if v.place >= 0 || v.lo == v.up {
			continue
		}
		gain, way := -m.d[j], 1.0
		if v.place == atUpper {
			gain, way = m.d[j], -1
		}
		if gain > best {
			q, dir, best = j, way, gain
			if m.stalled > stall {
				return q, dir
			}
		}
	}
	return q, dir
}

// ratio finds how far the entering variable can move and who stops it
// (p = -1: its own other bound), by the same two passes as entering.
func (m *Model) ratio(q int, dir float64, col []float64) (p int, step float64, leave int) {
	limit := math.Inf(1)
	for i := range m.basis {
		if room, _, a := m.room(i, dir, col); a > 0 {
			limit = min(limit, (room+harris)/a)
		}
	}
	p, step = -1, m.vars[q].up-m.vars[q].lo
	if step <= limit {
		return p, step, 0
	}
	pivot := 0.0
	for i := range m.basis {
		room, to, a := m.room(i, dir, col)
		if a == 0 || room/a > limit {
			continue
		}
		better := a > pivot
		if m.stalled > stall {
			better = p < 0 || m.basis[i] < m.basis[p]
		}
		if better {
			p, step, leave, pivot = i, room/a, to, a
		}
	}
	return p, step, leave
}

// room gives how far the basic variable of row i is from the bound it moves to, which bound
// that is, and how fast it moves (0: never reaches one).
func (m *Model) room(i int, dir float64, col []float64) (room float64, to int, speed float64) {
	a := -dir * col[i]
	v := &m.vars[m.basis[i]]
	switch {
	case a > pivotTol && !math.IsInf(v.up, 1):
		return max(0, v.up-m.xb[i]), atUpper, a
	case a < -pivotTol && !math.IsInf(v.lo, -1):
		return max(0, m.xb[i]-v.lo), atLower, -a
	}
	return 0, 0, 0
}

func (m *Model) primalStep(q, p int, step float64, leave int, col []float64) {
	if p < 0 {
		v := &m.vars[q]
		v.place = atLower + atUpper - v.place
		for i := range m.xb {
			m.xb[i] -= step * col[i]
		}
		return
	}
	xq := m.value(q) + step
	for i := range m.xb {
		m.xb[i] -= step * col[i]
	}
	theta := m.d[q] / col[p]
	copy(m.rho, m.inv[p])
	j0 := m.basis[p]
	for j := range m.vars {
		if m.vars[j].place < 0 {
			m.d[j] -= theta * m.dot(m.rho, j)
		}
	}
	for k, b := range m.rho {
		m.y[k] += theta * b
	}
	m.d[q], m.d[j0] = 0, -theta
	m.exchange(p, q, col, leave)
	m.xb[p] = xq
}
