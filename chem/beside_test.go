package chem

import (
	"math"
	"testing"

	"raftwright/unit"
)

// TestConductivities: what is solved from its neighbor conducts as what is solved from the start, also where an acid comes in that
// the first of the list has not, and the same for the forms.
func TestConductivities(t *testing.T) {
	k, err := At(25)
	if err != nil {
		t.Fatal(err)
	}
	const mmol = unit.MillimolePerLitre
	base := Composition{Ca: 3 * mmol, Mg: 1.2 * mmol, K: 5 * mmol, Na: 0.6 * mmol, NO3: 9 * mmol, SO4: 1.5 * mmol, Cl: 0.4 * mmol, TIC: 0.5 * mmol}
	list := []Composition{base}
	for _, d := range []Composition{{Ca: 0.06 * mmol}, {P: 0.02 * mmol}, {Citrate: 1 * mmol}, {SO4: 10 * mmol}, {NH4: 0.02 * mmol}, {NO3: -9 * mmol, Ca: -2.5 * mmol, K: -4.9 * mmol}} {
		list = append(list, base.Add(d))
	}
	for _, pH := range []float64{4.5, 6, 8.2} {
		got, err := k.Conductivities(pH, list)
		if err != nil {
			t.Fatal(err)
		}
		for i, c := range list {
			s, err := k.AtPH(c, pH)
			if err != nil {
				t.Fatal(err)
			}
			if math.Abs(float64(got[i]/s.Conductivity)-1) > 1e-9 {
				t.Errorf("pH %.1f: composition %d conducts %v, begun from the first %v", pH, i, s.Conductivity, got[i])
			}
			if f, err := k.FormsAtPH(c, pH); err != nil || f.molal != s.molal || f.Conductivity != 0 {
				t.Errorf("pH %.1f: composition %d has other forms: %v", pH, i, err)
			}
		}
	}
	if _, err := k.Conductivities(20, list); err == nil {
		t.Error("a pH of 20 has no fault")
	}
}
