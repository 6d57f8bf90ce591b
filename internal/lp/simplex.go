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
		if m.age >= refactor {
			m.renew(true)
		}
		if !math.IsInf(cutoff, 1) && m.Pivots%4 == 0 && m.Objective() > cutoff {
			return Cutoff
		}
		p, up := m.leaving()
		if p < 0 {
			return m.confirm()
		}
		q := m.entering(p, up)
		if q < 0 {
			if m.age > 0 {
				m.renew(true)
				if p, up = m.leaving(); p < 0 {
					return m.confirm()
				}
				if q = m.entering(p, up); q < 0 {
					m.keepRay(p, up)
					return Infeasible
				}
			} else {
				m.keepRay(p, up)
				return Infeasible
			}
		}
		m.column(q, col)
		if math.Abs(col[p]) < pivotTol {
			if m.age == 0 {
				return Stuck
			}
			m.renew(true)
			continue
		}
		m.dualStep(p, q, up, col)
	}
	return Stuck
}

// confirm ends a dual solve: with a fresh inverse where the old one was worn.
func (m *Model) confirm() Status {
	m.fresh()
	m.settle()
	if p, _ := m.leaving(); p >= 0 {
		return Stuck
	}
	return Optimal
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
// variable of row p moves to its bound; among near ties the largest pivot.
func (m *Model) entering(p int, above bool) int {
	copy(m.rho, m.inv[p])
	sign := 1.0
	if above {
		sign = -1
	}
	best, bestRatio, bestPivot := -1, math.Inf(1), 0.0
	for j := range m.vars {
		v := &m.vars[j]
		if v.place >= 0 || v.lo == v.up {
			m.alpha[j] = 0
			if v.place < 0 {
				m.alpha[j] = m.dot(m.rho, j)
			}
			continue
		}
		a := m.dot(m.rho, j)
		m.alpha[j] = a
		a *= sign
		// raising the basic value needs x_j up with a<0, or down with a>0
		if v.place == atLower && a > -pivotTol || v.place == atUpper && a < pivotTol {
			continue
		}
		ratio := math.Abs(m.d[j]) / math.Abs(a)
		if m.d[j] > -costTol && m.d[j] < costTol {
			ratio = 0
		}
		if ratio < bestRatio-1e-10 || ratio < bestRatio+1e-10 && math.Abs(a) > bestPivot {
			best, bestPivot = j, math.Abs(a)
			bestRatio = min(bestRatio, ratio)
		}
	}
	return best
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
			if m.stalled > 400 {
				return q, dir
			}
		}
	}
	return q, dir
}

// ratio finds how far the entering variable can move and who stops it
// (p = -1: its own other bound).
func (m *Model) ratio(q int, dir float64, col []float64) (p int, step float64, leave int) {
	p, step, leave = -1, m.vars[q].up-m.vars[q].lo, 0
	pivot := 0.0
	for i, j := range m.basis {
		a := -dir * col[i] // change of basic value per unit of step
		v := &m.vars[j]
		var room float64
		var to int
		switch {
		case a > pivotTol && !math.IsInf(v.up, 1):
			room, to = (v.up-m.xb[i])/a, atUpper
		case a < -pivotTol && !math.IsInf(v.lo, -1):
			room, to = (v.lo-m.xb[i])/a, atLower
		default:
			continue
		}
		room = max(room, 0)
		better := room < step-1e-12 || room < step+1e-12 && p >= 0 && math.Abs(a) > pivot
		if m.stalled > 400 && p >= 0 && room < step+1e-12 && room > step-1e-12 {
			better = j < m.basis[p]
		}
		if better {
			p, step, leave, pivot = i, room, to, math.Abs(a)
		}
	}
	return p, step, leave
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
