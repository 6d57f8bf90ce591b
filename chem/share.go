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
	var y system
	q := question{totals: s.Totals, fixed: true, pH: s.PH}
	if err := q.check(); err != nil {
		return nil, err
	}
	k.set(&y, &q)
	y.stability = &k.conduct
	k.guess(&y)
	if err := k.solve(&y); err != nil {
		return nil, err
	}
	var out []Share
	one := y
	for p := range y.molal {
		if y.molal[p] < 1e-9 {
			continue
		}
		one.molal = table{}
		one.molal[p] = y.molal[p]
		if a, b := k.forms(&one); math.Abs(a+b) > 1e-6 {
			out = append(out, Share{Species(p), y.molal[p], unit.Conductivity(a) * unit.MicrosiemensPerCentimetre, unit.Conductivity(b) * unit.MicrosiemensPerCentimetre})
		}
	}
	return out, nil
}
