package chem

import (
	"math"

	"raftwright/unit"
)

// Share is what one ion carries of the conductivity.
type Share struct {
	Species Species
	Molal   float64           // mol/kg, with the constants of the conductivity form
	A, B    unit.Conductivity // by the two forms; their means add up to the solution's
}

// Shares tells which ion carries how much of the conductivity, in the order of
// Species, so that the sum can be followed by hand.
func (k *Equilibria) Shares(s Solution) ([]Share, error) {
	q := question{totals: s.Totals, fixed: true, pH: s.PH, key: waterKey}
	if err := q.check(); err != nil {
		return nil, err
	}
	var y system
	k.set(&y, &q)
	for i := range y.parts {
		y.parts[i].stability = k.conduct[y.parts[i].species]
	}
	y.guess()
	if err := y.solve(); err != nil {
		return nil, err
	}
	var out []Share
	var molal table
	y.amounts(&molal)
	m := mediumOf(y.strength)
	for p, n := range molal {
		if a, b := k.conductors[p].conducts(&m); n >= 1e-9 && n*math.Abs(a+b) > 1e-6 {
			out = append(out, Share{Species(p), n, unit.Conductivity(n*a) * unit.MicrosiemensPerCentimetre, unit.Conductivity(n*b) * unit.MicrosiemensPerCentimetre})
		}
	}
	return out, nil
}
