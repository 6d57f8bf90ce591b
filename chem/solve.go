package chem

import (
	"math"

	"raftwright/finding"
)

// waterPerLitre is the kilograms of water in a litre of dilute solution. Below
// 3 mS/cm it is right within 0.1 %.
const waterPerLitre = 0.997

var errNoBalance error = finding.Faults{{ID: FaultBalance}}

// system is one speciation being solved: who takes part and how much of it
// there is (mol/kg water), what is held fixed, and the unknowns.
//
// The unknowns are the logarithms of the activities of the ligands and of
// hydrogen, and the ionic strength. With the activity coefficients held, the
// mass balances and the proton balance are the gradient of a convex function of
// the logarithms (a sum of exponentials less a linear form; the bases are
// minimised out exactly), so that a Newton step that is cut back where it
// overshoots comes down to the one solution. The ionic strength is an unknown
// of its own only to make the steps quadratic.
type system struct {
	k        *Equilibria
	parts    [partCount]part
	ends     [baseCount + 1]int     // where the parts of each base end; first those without one
	held     [baseCount + 1]float64 // the totals of the bases, 0 before
	wanted   [slots]float64         // the totals of the ligands, by slot
	ligands  int                    // how many are unknown: slots 0 up to here
	proton   int                    // row of the proton balance: noSlot where the pH is given
	ionic    int                    // row of the ionic strength, the last
	protons  float64                // total proton, minus the alkalinity
	nitrate  float64                // and
	chloride float64                // pair with nothing

	activity [slots]float64      // of the ligands, by slot: 1 where there is none
	hydrogen float64             // its activity
	strength float64             // ionic strength
	exponent [shapeCount]float64 // minus the logarithm of the activity coefficients,
	inverse  [shapeCount]float64 // one over them,
	thinning [shapeCount]float64 // and the exponent's slope with the ionic strength

	gradient   [slots]float64
	jacobian   [slots][slots]float64
	iterations int
	lastIonic  float64 // the last step of the ionic strength
}

// part is a species that takes part.
type part struct {
	stability, protons, half float64 // half: of its squared charge
	species, base, ligand    int8
	power, slot, shape       uint8 // power: protons + 2
}

// order lists the species by base, those without a base first; of each base
// those without a ligand come first, as in rows.
var order = func() (list []Species) {
	for b := noBase; b < baseCount; b++ {
		for s, r := range rows {
			if r.base == b && Species(s) != FreeNO3 && Species(s) != FreeCl {
				list = append(list, Species(s))
			}
		}
	}
	return list
}()

const (
	partCount  = SpeciesCount - 2 // nitrate and chloride pair with nothing
	slots      = 8
	airSlot    = 6    // of the carbon that the air holds
	noSlot     = 7    // of what has no ligand
	absentSlot = 8    // of a ligand that is not there
	tolerance  = 5e-6 // of the logarithms and of the relative ionic strength; the step taken squares it
	longest    = 2.5  // step, in logarithms
	shortest   = 0.3  // step that is still cut back; below, the moving activity coefficients blur the sign
)

// solve iterates from the start given. It allocates nothing.
func (y *system) solve() error {
	var step [slots]float64
	slope := 0.0
	for y.iterations < MaxIterations {
		y.iterations++
		y.balance()
		if slope < 0 && y.overshot(&step, slope) {
			for j := range step {
				step[j] /= 2
			}
			y.move(&step, -1)
			slope /= 2
			continue
		}
		if !y.newton(&step) {
			return errNoBalance
		}
		largest := y.shorten(&step)
		slope = y.along(&step)
		y.move(&step, 1)
		if largest < tolerance {
			return nil
		}
	}
	return errNoBalance
}

// move takes a step, 1 forward and -1 back, and the activity coefficients along.
func (y *system) move(step *[slots]float64, way float64) {
	for j := range y.ligands % slots {
		y.activity[j] *= grown(way * step[j])
	}
	if y.proton != noSlot {
		y.hydrogen *= grown(way * step[y.proton])
	}
	y.strength += way * step[y.ionic]
	y.activities(way * step[y.ionic])
}

// shorten bounds a step and gives its largest part, that of the ionic strength
// taken relative.
func (y *system) shorten(step *[slots]float64) float64 {
	largest := 0.0
	for _, s := range step[:y.ionic] {
		largest = max(largest, math.Abs(s))
	}
	if largest > longest {
		for j := range y.ionic {
			step[j] *= longest / largest
		}
	}
	// Far off, the root of the ionic strength bends too much for Newton: go
	// where the ions point instead.
	i, ionic := &step[y.ionic], y.strength
	if g := y.gradient[y.ionic]; g**i < 0 && math.Abs(g) > 0.2*ionic {
		*i = g
	}
	if y.iterations > 10 && *i*y.lastIonic < 0 { // it swings: come down between
		*i /= 2
	}
	y.lastIonic = *i
	*i = min(max(*i, -0.7*ionic), 2*ionic+1e-6)
	return max(largest, math.Abs(*i)/ionic)
}

// along gives the slope of the convex function along a step.
func (y *system) along(step *[slots]float64) float64 {
	sum := 0.0
	for j, s := range step[:y.ionic] {
		sum += y.gradient[j] * s
	}
	return sum
}

// overshot says that the last step went past the least point along its line,
// farther than it had to come.
func (y *system) overshot(step *[slots]float64, slope float64) bool {
	largest := 0.0
	for _, s := range step[:y.ionic] {
		largest = max(largest, math.Abs(s))
	}
	return largest > shortest && y.along(step) > -slope
}

// powers of the hydrogen ion activity from -2 to +1, found at index+2.
type powers [4]float64

func powersOf(h float64) powers {
	inv := 1 / h
	return powers{inv * inv, inv, 1, h}
}

// grown is the exponential, sooner where its power series ends within rounding: of
// a sixteenth, squared four times.
func grown(x float64) float64 {
	if x*x > 1 {
		return math.Exp(x)
	}
	x *= 1. / 16
	x2 := x * x
	x4 := x2 * x2
	y := 1 + (x + x2*(1./2+x*(1./6)) + x4*((1./24+x*(1./120))+x2*(1./720+x*(1./5040))+x4*(1./40320)))
	y *= y
	y *= y
	y *= y
	return y * y
}

// balance works out what each balance lacks of zero, and the derivatives. The
// total of a base is shared among its species; what it holds back is taken off
// the derivatives.
func (y *system) balance() {
	h, a := powersOf(y.hydrogen), &y.activity
	g, m, first := &y.gradient, &y.jacobian, 0
	*g = [slots]float64{}
	*m = [slots][slots]float64{}
	ligands, proton, ionic := y.ligands%slots, y.proton%slots, y.ionic%slots
	// The rows and columns of the proton and of the ionic strength, until all is summed.
	var rowP, columnT, rowQ [slots]float64
	var sum struct{ p, q, pp, pt, qp, qt float64 }
	for b, end := range y.ends {
		if first == end {
			continue
		}
		// By slot: amounts, and amounts times protons, half the squared charge,
		// thinning; then the sums over the slots and the products of these.
		var by [slots]struct{ n, p, q, t float64 }
		var sn, sp, sq, st, pp, pq, pt, qt float64
		parts := y.parts[first:end]
		for i := range parts {
			s := &parts[i]
			c := s.stability * y.inverse[s.shape%shapeCount] * h[s.power%4] * a[s.slot%slots]
			cp, cq, ct := c*s.protons, c*s.half, c*y.thinning[s.shape%shapeCount]
			of := &by[s.slot%slots]
			of.n += c
			of.p += cp
			of.q += cq
			of.t += ct
			sn += c
			sp += cp
			sq += cq
			st += ct
			pp += cp * s.protons
			pq += cp * s.half
			pt += ct * s.protons
			qt += ct * s.half
		}
		first = end
		scale, share := 1.0, 0.0
		if b > 0 {
			share = 1 / sn
			scale = y.held[b] * share
		}
		for j := range ligands {
			of := &by[j]
			if of.n == 0 {
				continue
			}
			whole := scale * of.n
			part := share * whole
			row := &m[j]
			for l := range j {
				row[l] -= part * by[l].n
			}
			g[j] += whole
			row[j] += whole - part*of.n
			rowP[j] += scale*of.p - part*sp
			columnT[j] += scale*of.t - part*st
			rowQ[j] += scale*of.q - part*sq
		}
		sum.p += scale * sp
		sum.q += scale * sq
		sum.pp += scale * (pp - share*sp*sp)
		sum.pt += scale * (pt - share*sp*st)
		sum.qp += scale * (pq - share*sp*sq)
		sum.qt += scale * (qt - share*sq*st)
	}
	for j := range ligands {
		g[j] -= y.wanted[j]
		m[j][proton], m[proton][j] = rowP[j], rowP[j]
		m[j][ionic], m[ionic][j] = columnT[j], rowQ[j]
		for l := range j {
			m[l][j] = m[j][l]
		}
	}
	g[proton], m[proton][proton], m[proton][ionic] = sum.p-y.protons, sum.pp, sum.pt
	g[ionic], m[ionic][proton], m[ionic][ionic] = sum.q+(y.nitrate+y.chloride)/2-y.strength, sum.qp, sum.qt-1
}

// newton solves for the step by elimination. Ligands and proton come first: they
// are the curvature of a convex function, which needs no pivots.
func (y *system) newton(step *[slots]float64) bool {
	m, last := &y.jacobian, y.ionic%slots
	var inverse [slots]float64
	for i := range last + 1 {
		step[i] = -y.gradient[i]
	}
	for p := range last + 1 {
		pivot := &m[p]
		inv := 1 / pivot[p]
		inverse[p] = inv
		for i := p + 1; i <= last; i++ {
			row := &m[i]
			f := row[p] * inv
			for j := p + 1; j <= last; j++ {
				row[j] -= f * pivot[j]
			}
			step[i] -= f * step[p]
		}
	}
	sum := 0.0
	for i := last; i >= 0; i-- {
		x := step[i]
		for j := i + 1; j <= last; j++ {
			x -= m[i][j] * step[j]
		}
		step[i] = x * inverse[i]
		sum += math.Abs(step[i])
	}
	return sum <= math.MaxFloat64 // false for what is no number, too
}

// amounts fills in every species, mol/kg.
func (y *system) amounts(molal *table) {
	h, a, first := powersOf(y.hydrogen), &y.activity, 0
	molal[FreeNO3], molal[FreeCl] = y.nitrate, y.chloride
	for b, end := range y.ends {
		sum := 0.0
		for i := first; i < end; i++ {
			s := &y.parts[i]
			c := s.stability * y.inverse[s.shape%shapeCount] * h[s.power%4] * a[s.slot%slots]
			molal[s.species] = c
			sum += c
		}
		for i := first; i < end && b > 0; i++ {
			molal[y.parts[i].species] *= y.held[b] / sum
		}
		first = end
	}
}
