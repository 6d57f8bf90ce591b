package chem

import "math"

// guess sets starting values: every pair left out, the ionic strength from the
// totals, the hydrogen ion by halving the interval of its balance. It is within
// a few tenths of a pH unit, so that Newton's steps need no luck.
func (y *system) guess() {
	if y.proton == noSlot {
		y.strength = min(y.strength+y.hydrogen+y.k.stability[FreeOH]/y.hydrogen, mostIonic)
	}
	// The coefficients of an ion of 5 ångström: the others lie near.
	root := math.Sqrt(y.strength)
	e := y.k.debyeA * root / (1 + 5*y.k.debyeB*root)
	one := math.Exp(e)
	four := one * one * one * one
	inverse := [...]float64{1, one, four, four * four * one}
	for i, f := range shapes {
		z := f.charge
		y.exponent[i], y.inverse[i] = z*z*e, inverse[int(z)]
	}
	y.activities(y.strength)
	if y.proton != noSlot {
		y.guessHydrogen()
	}
	var all [slots]float64
	y.rough(&all)
	for j := range y.ligands {
		y.activity[j] = y.wanted[j] / all[j]
	}
	y.pairUp()
}

func (y *system) guessHydrogen() {
	low, high, atLow, atHigh := 1e-14, 1., 0., 0.
	var all [slots]float64
	for high > 4*low {
		y.hydrogen = math.Sqrt(low * high)
		if sum := y.rough(&all); sum > 0 {
			high, atHigh = y.hydrogen, sum
		} else {
			low, atLow = y.hydrogen, sum
		}
	}
	y.hydrogen = low + (high-low)/2
	if atLow < 0 && atHigh > 0 {
		y.hydrogen = low - (high-low)*atLow/(atHigh-atLow)
	}
}

// rough is the proton balance without pairs, which rises with hydrogen; all is filled
// with how much there is of each slot's ligand over its activity.
func (y *system) rough(all *[slots]float64) (sum float64) {
	h := powersOf(y.hydrogen)
	var held [slots]float64
	*all = held
	for i := range y.ends[0] {
		s := &y.parts[i]
		c := s.stability * y.inverse[s.shape%shapeCount] * h[s.power%4]
		all[s.slot%slots] += c
		held[s.slot%slots] += s.protons * c
	}
	sum = held[noSlot] + held[airSlot]*y.activity[airSlot] - y.protons
	for j := range y.ligands {
		sum += held[j] / all[j] * y.wanted[j]
	}
	for _, b := range [...]base{baseNH4, baseB, baseSi} {
		if total := y.held[b+1]; total > 0 {
			acid, basic := &y.parts[y.ends[b]], &y.parts[y.ends[b]+1]
			c := basic.stability * y.inverse[basic.shape%shapeCount] * h[1]
			sum -= total * c / (c + y.inverse[acid.shape%shapeCount])
		}
	}
	return sum
}

// pairUp brings the ligands nearer to their totals by what the pairs hold of
// them now: that is less work than the Newton step it saves.
func (y *system) pairUp() {
	h, a := powersOf(y.hydrogen), &y.activity
	var held [slots]float64
	first := 0
	for b, end := range y.ends {
		var n [slots]float64
		sum := 0.0
		for i := first; i < end; i++ {
			s := &y.parts[i]
			c := s.stability * y.inverse[s.shape%shapeCount] * h[s.power%4] * a[s.slot%slots]
			n[s.slot%slots] += c
			sum += c
		}
		scale := 1.0
		if b > 0 && sum > 0 {
			scale = y.held[b] / sum
		}
		for j := range y.ligands {
			held[j] += scale * n[j]
		}
		first = end
	}
	for j := range y.ligands {
		a[j] *= y.wanted[j] / held[j]
	}
}
