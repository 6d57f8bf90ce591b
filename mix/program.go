package mix

import "math"

// program is a convex program, quadratic in pieces: least  c'x + slacks + terms
// with lower <= x <= upper and rows·x <= most. Its curvature H is positive
// semidefinite, so that a shelf with more products than elements has a flat floor;
// the linear part then decides (cost). Variables are scaled so that H has ones on
// its diagonal where everything is short.
//
// Method: primal active set (Nocedal & Wright, Numerical Optimization, 2nd ed.
// 2006, section 16.5) with a proximal term that makes each step's system
// definite and leaves the minimum where it is. Each step is Newton's with the
// pieces that hold at its start, and goes as far as the program falls, over the
// bends: it never rises, and there are finitely many pieces.
type program struct {
	n          int
	firstSlack int // from here on the variables are slacks of rows; n: none
	terms      []term
	h          []float64 // n x n, at the pieces that hold
	c          []float64
	rows       [][]float64
	most       []float64

	slope  []float64   // gradient at x
	step   []float64   // of x
	chol   []float64   // factor of H on the loose variables
	drive  []float64   // step before the rows bend it
	cols   [][]float64 // H⁻¹ row, on the loose variables, for each active row
	schur  []float64   // rows H⁻¹ rows'
	price  []float64   // multipliers of the active rows
	off    []float64   // what the step leaves of them
	loose  []int       // variables between their bounds
	place  []place
	active []int // rows held at their limit
	ahead  []corner
	taken  int  // steps of this minimum
	gaveUp bool // the steps ran out

	// A release that only falls back onto its bound came from the noise of a
	// multiplier; it is not tried again before something has been gained.
	lastOut, lastRow int
	stuck            []bool // by variable, then by row
}

type place int8

const (
	between place = iota
	atLower
	atUpper
	pinned
)

const (
	proximal  = 1e-9  // added to the diagonal of ones in each step
	stillness = 1e-15 // a promised gain below this is none
	sloppy    = 1e-11 // a multiplier this far on the wrong side is right
	rowSlack  = 1e-11 // by which a row may be overstepped, of its limit
)

// prepare makes room for the work.
func (p *program) prepare() {
	n, m := p.n, len(p.rows)
	p.slope, p.step, p.drive = make([]float64, n), make([]float64, n), make([]float64, n)
	p.chol, p.schur, p.price, p.off = make([]float64, n*n), make([]float64, m*m), make([]float64, m), make([]float64, m)
	p.loose, p.place, p.active = make([]int, 0, n), make([]place, n), make([]int, 0, m)
	p.cols = make([][]float64, m)
	for i := range p.cols {
		p.cols[i] = make([]float64, n)
	}
	p.stuck = make([]bool, n+m)
	for i := range p.terms {
		t := &p.terms[i]
		for j, r := range t.row {
			if r != 0 {
				t.on = append(t.on, j)
			}
		}
	}
}

// value gives the objective at x.
func (p *program) value(x []float64) float64 {
	sum := dot(p.c, x)
	for j := p.firstSlack; j < p.n; j++ {
		sum += p.h[j*p.n+j] * sq(x[j]) / 2
	}
	for i := range p.terms {
		sum += p.terms[i].cost(p.terms[i].at + p.terms[i].along(x))
	}
	return sum
}

func dot(a, b []float64) float64 {
	sum := 0.0
	b = b[:len(a)]
	for i, v := range a {
		sum += v * b[i]
	}
	return sum
}

// minimise moves x, which it first pushes inside the bounds, to the minimum. It
// is false where no point keeps rows and bounds, or where the steps ran out.
func (p *program) minimise(lower, upper, x []float64) bool {
	if !p.begin(lower, upper, x) {
		return false
	}
	for p.taken = 0; p.taken < 50*(p.n+len(p.rows)+2); p.taken++ {
		p.bendTo(x)
		gain, ok := p.direction()
		switch {
		case !ok:
			return false
		case gain > stillness:
			p.advance(lower, upper, x, gain)
		case !p.release():
			return true
		}
	}
	p.gaveUp = true
	return false
}

// begin finds a feasible start: x inside the bounds, or else the lower bounds,
// and the upper ones of the slacks.
func (p *program) begin(lower, upper, x []float64) bool {
	for j := range x {
		if lower[j] > upper[j] {
			return false
		}
		x[j] = min(max(x[j], lower[j]), upper[j])
	}
	if !p.keepsRows(x) {
		for j := range x {
			x[j] = lower[j]
			if j >= p.firstSlack {
				x[j] = upper[j]
			}
		}
		if !p.keepsRows(x) {
			return false
		}
	}
	p.active, p.gaveUp, p.lastOut, p.lastRow = p.active[:0], false, -1, -1
	clear(p.stuck)
	for j, v := range x {
		switch {
		case lower[j] == upper[j]:
			p.place[j] = pinned
		case v == lower[j]:
			p.place[j] = atLower
		case v == upper[j]:
			p.place[j] = atUpper
		default:
			p.place[j] = between
		}
	}
	return true
}

func (p *program) keepsRows(x []float64) bool {
	for i, row := range p.rows {
		if dot(row, x) > p.most[i]+rowSlack*(1+math.Abs(p.most[i])) {
			return false
		}
	}
	return true
}

// direction solves for the step of the loose variables along the active rows,
// and gives the gain that it promises.
func (p *program) direction() (gain float64, ok bool) {
	p.loose = p.loose[:0]
	for j, s := range p.place {
		p.step[j] = 0
		if s == between {
			p.loose = append(p.loose, j)
		}
	}
	p.dropIdleRows()
	f := len(p.loose)
	if !p.factor() {
		return 0, false
	}
	u := p.drive[:f]
	for a, j := range p.loose {
		u[a] = -p.slope[j]
	}
	p.solve(u)
	for r, i := range p.active {
		v := p.cols[r][:f]
		for a, j := range p.loose {
			v[a] = p.rows[i][j]
		}
		p.solve(v)
	}
	if !p.rowPrices() {
		return 0, false
	}
	for a, j := range p.loose {
		p.step[j] = u[a]
		for r := range p.active {
			p.step[j] -= p.price[r] * p.cols[r][a]
		}
	}
	p.refine()
	for _, j := range p.loose {
		gain -= p.slope[j] * p.step[j] / 2
	}
	return gain, true
}

// refine takes out what rounding leaves of the step across the active rows:
// along flat directions H⁻¹ is large, and its digits cancel.
func (p *program) refine() {
	m := len(p.active)
	for range 3 {
		if m == 0 {
			return
		}
		off := p.off[:m]
		for r, i := range p.active {
			off[r] = dot(p.rows[i], p.step)
		}
		p.fillSchur()
		if !eliminate(p.schur[:m*m], off) {
			return
		}
		for r := range p.active {
			p.price[r] += off[r]
			for a, j := range p.loose {
				p.step[j] -= off[r] * p.cols[r][a]
			}
		}
	}
}

// dropIdleRows lets go of active rows that no loose variable touches; should one
// matter again, it will stand in the way again.
func (p *program) dropIdleRows() {
	kept := p.active[:0]
	for _, i := range p.active {
		for _, j := range p.loose {
			if p.rows[i][j] != 0 {
				kept = append(kept, i)
				break
			}
		}
	}
	p.active = kept
}

// factor is the Cholesky factor of H on the loose variables, its diagonal inverted.
func (p *program) factor() bool {
	f := len(p.loose)
	for a, j := range p.loose {
		h, la := p.h[j*p.n:][:p.n], p.chol[a*f:][:f]
		for b := range a {
			lb := p.chol[b*f:][:f]
			la[b] = (h[p.loose[b]] - dot(la[:b], lb[:b])) * lb[b]
		}
		v := h[j] + proximal - dot(la[:a], la[:a])
		if v <= 0 {
			return false
		}
		la[a] = 1 / math.Sqrt(v)
	}
	return true
}

// solve overwrites u by H⁻¹ u on the loose variables.
func (p *program) solve(u []float64) {
	f := len(u)
	for a := range f {
		l := p.chol[a*f:][:f]
		u[a] = (u[a] - dot(l[:a], u[:a])) * l[a]
	}
	for a := f - 1; a >= 0; a-- {
		l := p.chol[a*f:][:f]
		u[a] *= l[a]
		for k, v := range l[:a] {
			u[k] -= v * u[a]
		}
	}
}

// rowPrices finds the multipliers of the active rows, for which the step keeps
// them at their limits.
func (p *program) rowPrices() bool {
	m := len(p.active)
	p.fillSchur()
	for r, i := range p.active {
		p.price[r] = 0
		for a, j := range p.loose {
			p.price[r] += p.rows[i][j] * p.drive[a]
		}
	}
	return eliminate(p.schur[:m*m], p.price[:m])
}

func (p *program) fillSchur() {
	m := len(p.active)
	for r, i := range p.active {
		row := p.rows[i]
		for s := range m {
			v := 0.0
			for a, j := range p.loose {
				v += row[j] * p.cols[s][a]
			}
			p.schur[r*m+s] = v
		}
	}
}

// eliminate solves a small dense system in place, with pivoting. A row that
// repeats others (two limits that say the same) gets the price 0.
func eliminate(a, b []float64) bool {
	n := len(b)
	for k := range n {
		pivot := k
		for i := k + 1; i < n; i++ {
			if math.Abs(a[i*n+k]) > math.Abs(a[pivot*n+k]) {
				pivot = i
			}
		}
		if pivot != k {
			for j := range n {
				a[k*n+j], a[pivot*n+j] = a[pivot*n+j], a[k*n+j]
			}
			b[k], b[pivot] = b[pivot], b[k]
		}
		if math.Abs(a[k*n+k]) < 1e-14 {
			a[k*n+k], b[k] = math.Inf(1), 0
			continue
		}
		for i := k + 1; i < n; i++ {
			f := a[i*n+k] / a[k*n+k]
			for j := k; j < n; j++ {
				a[i*n+j] -= f * a[k*n+j]
			}
			b[i] -= f * b[k]
		}
	}
	for k := n - 1; k >= 0; k-- {
		for j := k + 1; j < n; j++ {
			b[k] -= a[k*n+j] * b[j]
		}
		b[k] /= a[k*n+k]
		if math.IsNaN(b[k]) {
			return false
		}
	}
	return true
}

// release lets the variable or row go whose multiplier is most on the wrong
// side; late in a long search the first one, so that it cannot run in circles.
// It is false where there is none: x is the minimum.
func (p *program) release() bool {
	worst, which, row := sloppy, -1, -1
	for j, s := range p.place {
		if s == between || s == pinned || p.stuck[j] {
			continue
		}
		m := p.slope[j]
		for r, i := range p.active {
			m += p.price[r] * p.rows[i][j]
		}
		if s == atLower {
			m = -m
		}
		if m > worst {
			worst, which = m, j
			if p.tired() {
				break
			}
		}
	}
	for r := range p.active {
		if -p.price[r] > worst && !p.stuck[p.n+p.active[r]] {
			worst, which, row = -p.price[r], -1, r
		}
	}
	p.lastOut, p.lastRow = which, -1
	switch {
	case row >= 0:
		p.lastRow = p.active[row]
		p.active = append(p.active[:row], p.active[row+1:]...)
	case which >= 0:
		p.place[which] = between
	default:
		return false
	}
	return true
}

func (p *program) tired() bool { return p.taken > 20*(p.n+2) }

// advance takes the step, or as much of it as bounds and rows allow.
func (p *program) advance(lower, upper, x []float64, gain float64) {
	length, bound, row := p.reach(), -1, -1
	for _, j := range p.loose {
		room := math.Inf(1)
		switch d := p.step[j]; {
		case d < 0:
			room = (lower[j] - x[j]) / d
		case d > 0:
			room = (upper[j] - x[j]) / d
		}
		if room < length {
			length, bound = max(room, 0), j
		}
	}
	for i, r := range p.rows {
		rise := dot(r, p.step)
		if rise <= 1e-13 || p.isActive(i) {
			continue
		}
		if room := max((p.most[i]-dot(r, x))/rise, 0); room < length {
			length, bound, row = room, -1, i
		}
	}
	for _, j := range p.loose {
		x[j] = min(max(x[j]+length*p.step[j], lower[j]), upper[j])
	}
	switch {
	case length*gain > 1e-13:
		clear(p.stuck)
	case row >= 0 && row == p.lastRow:
		p.stuck[p.n+row] = true
	case row < 0 && bound == p.lastOut && bound >= 0:
		p.stuck[bound] = true
	}
	switch {
	case row >= 0:
		p.active = append(p.active, row)
	case bound >= 0 && p.step[bound] < 0:
		x[bound], p.place[bound] = lower[bound], atLower
	case bound >= 0:
		x[bound], p.place[bound] = upper[bound], atUpper
	}
}

func (p *program) isActive(i int) bool {
	for _, a := range p.active {
		if a == i {
			return true
		}
	}
	return false
}
