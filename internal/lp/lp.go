// Package lp solves small linear programmes again and again, as column
// generation and branch and bound need: columns and rows can be added, bounds
// changed, and the last basis is always the next start.
//
// The method is the bounded revised simplex (primal and dual) on a dense inverse
// of the basis (Dantzig 1963; Lemke 1954), in float64. Its answers steer a search and must
// not be taken as proof: a caller that proves something takes the duals, rounds
// them to integers and evaluates the bound exactly.
package lp

import "math"

// Status says how a solve ended.
type Status int

// Ways in which a solve ends.
const (
	Optimal    Status = iota
	Infeasible        // no point keeps every bound; Ray holds a proof to be checked
	Cutoff            // the dual objective passed the cutoff
	Stuck             // iteration limit or numerical trouble
)

const (
	feasible = 1e-8  // a bound may be overstepped by this much
	costTol  = 1e-9  // a reduced cost within this is zero
	harris   = 1e-8  // by how much a ratio test may overstep for a better pivot
	pivotTol = 1e-7  // smaller pivots are not trusted
	refactor = 100   // pivots between two fresh inverses
	stall    = 400   // pivots without gain after which Bland's rule begins
	maxPivot = 40000 // pivots of one solve
)

// Places of a variable outside the basis.
const (
	atLower = -1
	atUpper = -2
)

type variable struct {
	rows   []int32
	vals   []float64
	cost   float64
	lo, up float64
	place  int // row of the basis, atLower or atUpper
}

// Model is a linear programme: minimise cost over columns, each within its
// bounds, with every row's activity within the row's bounds.
// The zero value is an empty programme.
type Model struct {
	vars    []variable
	rowVar  []int // the logical variable of a row: its activity
	colVar  []int // the variable of a column
	basis   []int
	inv     [][]float64
	xb      []float64
	y       []float64
	d       []float64 // reduced cost by variable
	age     int
	stalled int
	// Pivots counts the pivots of all solves so far, fresh inverses as several: a measure of work done.
	Pivots int64
	// Limit stops every solve once Pivots has reached it; 0: no limit.
	Limit int64
	// Ray holds multipliers of rows after Infeasible: added to the duals any
	// number of times, they raise the dual objective without end.
	Ray []float64

	alpha []float64
	rho   []float64
	list  []int
}

// Rows gives the number of rows.
func (m *Model) Rows() int { return len(m.rowVar) }

// Cols gives the number of columns.
func (m *Model) Cols() int { return len(m.colVar) }

// AddRow adds a row lo <= activity <= up over columns already there
// (cols and vals in step) and gives its index.
func (m *Model) AddRow(lo, up float64, cols []int, vals []float64) int {
	row := len(m.rowVar)
	n := len(m.basis)
	last := make([]float64, n+1)
	for i, c := range cols {
		v := &m.vars[m.colVar[c]]
		v.rows = append(v.rows, int32(row))
		v.vals = append(v.vals, vals[i])
		if v.place >= 0 {
			for k, b := range m.inv[v.place] {
				last[k] += vals[i] * b
			}
		}
	}
	last[n] = -1
	for i := range m.inv {
		m.inv[i] = append(m.inv[i], 0)
	}
	m.inv = append(m.inv, last)
	m.vars = append(m.vars, variable{rows: []int32{int32(row)}, vals: []float64{-1}, lo: lo, up: up, place: n})
	m.rowVar = append(m.rowVar, len(m.vars)-1)
	m.basis = append(m.basis, len(m.vars)-1)
	m.xb = append(m.xb, 0)
	m.y = append(m.y, 0)
	m.rho = append(m.rho, 0)
	m.d = append(m.d, 0)
	m.alpha = append(m.alpha, 0)
	return row
}

// AddCol adds a column with its cost, bounds and entries and gives its index.
// It starts outside the basis at its lower bound.
func (m *Model) AddCol(cost, lo, up float64, rows []int32, vals []float64) int {
	v := variable{rows: rows, vals: vals, cost: cost, lo: lo, up: up, place: atLower}
	m.vars = append(m.vars, v)
	m.colVar = append(m.colVar, len(m.vars)-1)
	m.d = append(m.d, 0)
	m.alpha = append(m.alpha, 0)
	return len(m.colVar) - 1
}

// SetColBounds changes the bounds of a column.
func (m *Model) SetColBounds(col int, lo, up float64) { m.setBounds(m.colVar[col], lo, up) }

// SetRowBounds changes the bounds of a row's activity.
func (m *Model) SetRowBounds(row int, lo, up float64) { m.setBounds(m.rowVar[row], lo, up) }

func (m *Model) setBounds(j int, lo, up float64) { m.vars[j].lo, m.vars[j].up = lo, up }

// ColBounds gives the bounds of a column.
func (m *Model) ColBounds(col int) (lo, up float64) {
	v := &m.vars[m.colVar[col]]
	return v.lo, v.up
}

// Value gives a column's value in the last solution.
func (m *Model) Value(col int) float64 { return m.value(m.colVar[col]) }

// Activity gives a row's activity in the last solution.
func (m *Model) Activity(row int) float64 { return m.value(m.rowVar[row]) }

// Basic says whether a column is in the basis.
func (m *Model) Basic(col int) bool { return m.vars[m.colVar[col]].place >= 0 }

func (m *Model) value(j int) float64 {
	v := &m.vars[j]
	switch {
	case v.place >= 0:
		return m.xb[v.place]
	case v.place == atUpper:
		return v.up
	}
	return v.lo
}

// Dual gives the multiplier of a row in the last solution.
func (m *Model) Dual(row int) float64 { return m.y[row] }

// InverseRow gives the row of the basis inverse that belongs to a basic column,
// nil for a column outside the basis. The slice is the model's own.
func (m *Model) InverseRow(col int) []float64 {
	if p := m.vars[m.colVar[col]].place; p >= 0 {
		return m.inv[p]
	}
	return nil
}

// Objective gives the cost of the last solution.
func (m *Model) Objective() float64 {
	sum := 0.0
	for j := range m.vars {
		if c := m.vars[j].cost; c != 0 {
			sum += c * m.value(j)
		}
	}
	return sum
}

func (m *Model) dot(mult []float64, j int) float64 {
	v := &m.vars[j]
	sum := 0.0
	for k, r := range v.rows {
		sum += mult[r] * v.vals[k]
	}
	return sum
}

// fresh recomputes everything that is derived from the basis.
func (m *Model) fresh() {
	for i := range m.y {
		m.y[i] = 0
	}
	for p, j := range m.basis {
		if c := m.vars[j].cost; c != 0 {
			for k, b := range m.inv[p] {
				m.y[k] += c * b
			}
		}
	}
	for j := range m.vars {
		if m.vars[j].place >= 0 {
			m.d[j] = 0
			continue
		}
		m.d[j] = m.vars[j].cost - m.dot(m.y, j)
	}
}

// settle puts every variable outside the basis on the bound its reduced cost asks for
// and recomputes the basic values.
func (m *Model) settle() {
	n := len(m.basis)
	rhs := make([]float64, n)
	for j := range m.vars {
		v := &m.vars[j]
		if v.place >= 0 {
			continue
		}
		if v.place == atUpper && (math.IsInf(v.up, 1) || m.d[j] > costTol && !math.IsInf(v.lo, -1)) ||
			v.place == atLower && !math.IsInf(v.up, 1) && m.d[j] < -costTol {
			v.place = atLower + atUpper - v.place
		}
		if v.place == atLower && math.IsInf(v.lo, -1) {
			v.place = atUpper
		}
		if x := m.value(j); x != 0 {
			for k, r := range v.rows {
				rhs[r] -= v.vals[k] * x
			}
		}
	}
	for p := range m.xb {
		sum := 0.0
		for k, b := range m.inv[p] {
			sum += b * rhs[k]
		}
		m.xb[p] = sum
	}
}

// invert computes the inverse anew from the basis by Gauss-Jordan elimination
// with row pivoting. It reports false when the basis is singular.
func (m *Model) invert() bool {
	n := len(m.basis)
	a := make([][]float64, n)
	for i := range a {
		a[i] = make([]float64, 2*n)
		a[i][n+i] = 1
	}
	for p, j := range m.basis {
		v := &m.vars[j]
		for k, r := range v.rows {
			a[r][p] = v.vals[k]
		}
	}
	for c := range n {
		best := c
		for i := c + 1; i < n; i++ {
			if math.Abs(a[i][c]) > math.Abs(a[best][c]) {
				best = i
			}
		}
		if math.Abs(a[best][c]) < 1e-11 {
			return false
		}
		a[c], a[best] = a[best], a[c]
		pivot := a[c]
		f := 1 / pivot[c]
		for k := c; k < 2*n; k++ {
			pivot[k] *= f
		}
		for i := range n {
			if i == c || a[i][c] == 0 {
				continue
			}
			g := a[i][c]
			row := a[i]
			for k := c; k < 2*n; k++ {
				row[k] -= g * pivot[k]
			}
		}
	}
	for i := range n {
		copy(m.inv[i], a[i][n:])
	}
	m.age = 0
	m.Pivots += int64(n / 4) // about as much work
	return true
}

func (m *Model) column(j int, out []float64) {
	v := &m.vars[j]
	for p := range m.inv {
		row := m.inv[p]
		sum := 0.0
		for k, r := range v.rows {
			sum += row[r] * v.vals[k]
		}
		out[p] = sum
	}
}

// exchange puts variable j into the basis at row p; col is its column in terms
// of the basis. The leaving variable goes to the place given.
func (m *Model) exchange(p, j int, col []float64, leave int) {
	f := 1 / col[p]
	pivot := m.inv[p]
	for k := range pivot {
		pivot[k] *= f
	}
	for i, row := range m.inv {
		g := col[i]
		if i == p || g == 0 {
			continue
		}
		for k, b := range pivot {
			row[k] -= g * b
		}
	}
	m.vars[m.basis[p]].place = leave
	m.basis[p] = j
	m.vars[j].place = p
	m.age++
	m.Pivots++
}

// reset goes back to the basis of all rows' own variables.
func (m *Model) reset() {
	n := len(m.basis)
	for j := range m.vars {
		if m.vars[j].place >= 0 {
			m.vars[j].place = atLower
		}
	}
	for i := range n {
		m.basis[i] = m.rowVar[i]
		m.vars[m.rowVar[i]].place = i
		for k := range n {
			m.inv[i][k] = 0
		}
		m.inv[i][i] = -1
	}
	m.age = 0
}

// spent says that the limit of pivots is reached.
func (m *Model) spent() bool { return m.Limit > 0 && m.Pivots >= m.Limit }

// renew refreshes the inverse when it is old and all derived values.
func (m *Model) renew(force bool) {
	if (force && m.age > 0 || m.age >= refactor) && !m.invert() {
		m.reset()
	}
	m.fresh()
	m.settle()
}
