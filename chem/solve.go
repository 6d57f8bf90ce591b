package chem

import (
	"errors"
	"math"
)

// waterPerLitre is the kilograms of water in a litre of dilute solution. Below
// 3 mS/cm it is right within 0.1 %.
const waterPerLitre = 0.997

// ErrNoBalance is returned when Newton's steps do not settle. No analysis tried
// in the tests raises it.
var ErrNoBalance = errors.New("the solution does not come to a balance: the figures of the analysis are too far apart; check the units")

// system is one speciation being solved: the totals (mol/kg water), what is
// held fixed, and the unknowns.
//
// The unknowns are the logarithms of the activities of the ligands and of
// hydrogen, and the ionic strength. With the activity coefficients held, the
// mass balances and the proton balance are the gradient of a convex function of
// the logarithms (a sum of exponentials less a linear form; the bases are
// minimised out exactly), so that a Newton step that is cut back where it
// overshoots comes down to the one solution. The ionic strength is an unknown
// of its own only to make the steps quadratic.
type system struct {
	stability *table
	base      [baseCount]float64
	ligand    [ligandCount]float64
	nitrate   float64
	chloride  float64
	proton    float64 // total proton, minus the alkalinity
	fixedPH   bool    // hydrogen is given; its balance is an answer
	fixedC    bool    // CO2 is given; total carbon is an answer
	titrated  bool    // with fixedPH: carbon follows from the proton total
	missing   float64 // with titrated: the first guess of bicarbonate

	x          [unknowns]float64 // the last is the ionic strength
	factor     table             // stability over activity coefficient
	gamma      table
	slope      table // d ln gamma / d I
	molal      table
	fresh      bool // factor belongs to x
	iterations int
	lastIonic  float64 // the last step of the ionic strength

	gradient [unknowns]float64
	jacobian [unknowns][unknowns]float64
}

const (
	tolerance = 1e-7 // of the logarithms and of the relative ionic strength; the step taken squares it
	longest   = 2.5  // step, in logarithms
	shortest  = 0.3  // step that is still cut back; below, the moving activity coefficients blur the sign
)

// solve iterates from the x given. It allocates nothing.
func (k *Equilibria) solve(y *system) error {
	var eqIndex, colIndex [unknowns]int
	n := y.active(&eqIndex, &colIndex)
	eqs, cols := eqIndex[:n], colIndex[:n]
	var step [unknowns]float64
	slope := 0.0
	for y.iterations < MaxIterations {
		y.iterations++
		if !y.fresh {
			k.factors(y)
		}
		y.fresh = false
		k.amounts(y)
		if slope < 0 && y.overshot(&step, cols, slope) {
			for _, j := range cols {
				step[j] /= 2
				y.x[j] -= step[j]
			}
			slope /= 2
			continue
		}
		if !y.newton(eqs, cols, &step) {
			return ErrNoBalance
		}
		largest := y.shorten(&step, cols)
		slope = 0
		for _, j := range cols {
			y.x[j] += step[j]
			if !y.titrated && j != ionRow {
				slope += y.gradient[j] * step[j]
			}
		}
		if largest < tolerance { // the activity coefficients are settled
			k.amounts(y)
			return nil
		}
	}
	return ErrNoBalance
}

// shorten bounds a step and gives its largest part, that of the ionic strength
// taken relative.
func (y *system) shorten(step *[unknowns]float64, cols []int) float64 {
	largest := 0.0
	for _, j := range cols {
		if j != ionRow {
			largest = max(largest, math.Abs(step[j]))
		}
	}
	if largest > longest {
		for _, j := range cols {
			if y.titrated { // no function to descend: hold each part by itself
				step[j] = min(max(step[j], -longest), longest)
			} else {
				step[j] *= longest / largest
			}
		}
	}
	// Far off, the root of the ionic strength bends too much for Newton: go
	// where the ions point instead.
	if g := y.gradient[ionRow]; g*step[ionRow] < 0 && math.Abs(g) > 0.2*y.x[ionRow] {
		step[ionRow] = g
	}
	if y.iterations > 10 && step[ionRow]*y.lastIonic < 0 { // it swings: come down between
		step[ionRow] /= 2
	}
	y.lastIonic = step[ionRow]
	step[ionRow] = min(max(step[ionRow], -0.7*y.x[ionRow]), 2*y.x[ionRow]+1e-6)
	return max(largest, math.Abs(step[ionRow])/y.x[ionRow])
}

// overshot says that the last step went past the least point along its line,
// farther than it had to come.
func (y *system) overshot(step *[unknowns]float64, cols []int, slope float64) bool {
	now, largest := 0.0, 0.0
	for _, j := range cols {
		if j != ionRow {
			now += y.gradient[j] * step[j]
			largest = max(largest, math.Abs(step[j]))
		}
	}
	return now > -slope && largest > shortest
}

// active lists the equations and the unknowns that take part.
func (y *system) active(eqs, cols *[unknowns]int) int {
	n := 0
	for j := range int(ligandCount) {
		if ligand(j) == ligandC && (y.fixedC || y.titrated) || y.ligand[j] <= 0 {
			continue
		}
		eqs[n], cols[n] = j, j
		n++
	}
	switch {
	case y.titrated:
		eqs[n], cols[n] = protonRow, int(ligandC)
		n++
	case !y.fixedPH:
		eqs[n], cols[n] = protonRow, protonRow
		n++
	}
	eqs[n], cols[n] = ionRow, ionRow
	return n + 1
}

func (k *Equilibria) factors(y *system) {
	k.activities(y.x[ionRow], &y.gamma, &y.slope)
	y.combine()
}

func (y *system) combine() {
	for s := range y.factor {
		y.factor[s] = y.stability[s] / y.gamma[s]
	}
}

// powers of the hydrogen ion activity from -2 to +1, found at index+2.
type powers [4]float64

func hydrogen(x float64) powers {
	h := math.Exp(x)
	inv := 1 / h
	return powers{inv * inv, inv, 1, h}
}

// amounts works out every species from the unknowns, the balances that should
// be zero, and their derivatives.
func (k *Equilibria) amounts(y *system) {
	y.gradient = [unknowns]float64{}
	y.jacobian = [unknowns][unknowns]float64{}
	h := hydrogen(y.x[protonRow])
	var activity [ligandCount]float64
	for j := range activity {
		if y.ligand[j] > 0 || ligand(j) == ligandC && (y.fixedC || y.titrated) {
			activity[j] = math.Exp(y.x[j])
		}
	}
	y.molal[FreeNO3], y.molal[FreeCl] = y.nitrate, y.chloride
	y.gradient[ionRow] = (y.nitrate+y.chloride)/2 - y.x[ionRow]
	y.jacobian[ionRow][ionRow] = -1
	for _, s := range [...]Species{FreeH, FreeOH} {
		y.molal[s] = y.factor[s] * h[k.protons[s]+2]
		k.count(y, s, noLigand)
	}
	for j, list := range ligands {
		if activity[j] > 0 {
			for _, s := range list {
				y.molal[s] = y.factor[s] * activity[j] * h[k.protons[s]+2]
				k.count(y, s, ligand(j))
			}
		}
	}
	for b := range bases {
		if y.base[b] > 0 {
			k.spread(y, base(b), &activity, &h)
		}
	}
	for j := range y.ligand {
		y.gradient[j] -= y.ligand[j]
		y.jacobian[protonRow][j] = y.jacobian[j][protonRow]
	}
	y.gradient[protonRow] -= y.proton
}

// count adds one species to the balances and their derivatives.
func (k *Equilibria) count(y *system, s Species, j ligand) {
	c := y.molal[s]
	nu := float64(k.protons[s]) * c
	half := rows[s].charge * rows[s].charge / 2
	thin := -y.slope[s]
	g, m := &y.gradient, &y.jacobian
	g[protonRow] += nu
	g[ionRow] += half * c
	m[protonRow][protonRow] += nu * float64(k.protons[s])
	m[protonRow][ionRow] += nu * thin
	m[ionRow][protonRow] += half * nu
	m[ionRow][ionRow] += half * c * thin
	if j != noLigand {
		g[j] += c
		m[j][j] += c
		m[j][protonRow] += nu
		m[j][ionRow] += c * thin
		m[ionRow][j] += half * c
	}
}

// spread shares a base's total among its species and adds them to the balances;
// what its total holds back is taken off the derivatives.
func (k *Equilibria) spread(y *system, b base, activity *[ligandCount]float64, h *powers) {
	list := bases[b]
	sum := 0.0
	for _, s := range list {
		c := y.factor[s] * h[k.protons[s]+2]
		if j := rows[s].ligand; j != noLigand {
			c *= activity[j]
		}
		y.molal[s] = c
		sum += c
	}
	scale := y.base[b] / sum
	var v [unknowns]float64 // what the base's species hold of each unknown
	thinning := 0.0
	for _, s := range list {
		c := y.molal[s] * scale
		y.molal[s] = c
		j := rows[s].ligand
		k.count(y, s, j)
		v[protonRow] += float64(k.protons[s]) * c
		v[ionRow] += rows[s].charge * rows[s].charge / 2 * c
		thinning -= y.slope[s] * c
		if j != noLigand {
			v[j] += c
		}
	}
	for i := range v {
		if v[i] == 0 {
			continue
		}
		share := v[i] / y.base[b]
		for j := range ionRow {
			y.jacobian[i][j] -= share * v[j]
		}
		y.jacobian[i][ionRow] -= share * thinning
	}
}

// newton solves the chosen equations for the step, by elimination with pivots.
func (y *system) newton(eqs, cols []int, step *[unknowns]float64) bool {
	var m [unknowns][unknowns + 1]float64
	n := len(eqs)
	for i, e := range eqs {
		for j, c := range cols {
			m[i][j] = y.jacobian[e][c]
		}
		m[i][n] = -y.gradient[e]
	}
	for p := range n {
		best := p
		for i := p + 1; i < n; i++ {
			if math.Abs(m[i][p]) > math.Abs(m[best][p]) {
				best = i
			}
		}
		if m[best][p] == 0 || math.IsNaN(m[best][p]) {
			return false
		}
		m[p], m[best] = m[best], m[p]
		for i := p + 1; i < n; i++ {
			f := m[i][p] / m[p][p]
			for j := p + 1; j <= n; j++ {
				m[i][j] -= f * m[p][j]
			}
		}
	}
	for i := n - 1; i >= 0; i-- {
		d := m[i][n]
		for j := i + 1; j < n; j++ {
			d -= m[i][j] * step[cols[j]]
		}
		step[cols[i]] = d / m[i][i]
		if math.IsNaN(step[cols[i]]) || math.IsInf(step[cols[i]], 0) {
			return false
		}
	}
	return true
}
