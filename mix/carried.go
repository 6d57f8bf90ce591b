package mix

import (
	"raftwright/chem"
	"raftwright/unit"
)

// farAbove is how far above the strength at which the target's own elements have an EC a shelf may stand to have it, before
// that says that the shelf lacks something: forms of nitrogen, sulfate and chloride that come with the products make
// less (own choice).
const farAbove = 1.15

// carriedAt gives the strength at which the elements that are wished for have the EC that is asked for in this water, where
// the mix has it only far above: one that lacks an element, or has urea, which carries no current, makes up for it with
// the others, and what is wanted of them is no more for it. It is false where the strength of the mix is its own.
func (s *solver) carriedAt() (times float64, ok bool) {
	want := s.job.Target.EC
	if want == 0 || s.found != nil {
		return 0, false
	}
	a, err := s.aimAt(1)
	if err != nil {
		return 0, false
	}
	off := func(times float64) (float64, error) {
		const pH = 6 // of a leaf crop; the rest of the charge, which the target leaves open, carries nothing
		sol, err := s.ions.AtPH(a.ions(s.job.Water.Ions, times), pH)
		return float64(sol.Conductivity - want), err
	}
	high := s.scale / farAbove
	if more, err := off(high); err != nil || more <= 0 {
		return 0, false
	}
	if more, err := off(0); err != nil || more >= 0 { // the water alone
		return 0, false
	}
	times, beyond, err := crossing{off, 0, high, high / widely, widely, 1e-9}.find()
	return times, err == nil && !beyond
}

// ions are the elements that are wished for, so many times over, in a water: nitrogen as nitrate, and of each what is
// there already where that is more.
func (a aim) ions(water chem.Composition, times float64) chem.Composition {
	c := water
	for _, w := range a.wishes {
		mmol := unit.MolarConcentration(times * w.Level.MilligramsPerLitre() / w.Nutrient.Element().Weight())
		switch w.Nutrient {
		case Nitrogen:
			c.NO3 = max(c.NO3, mmol)
		case Phosphorus:
			c.P = max(c.P, mmol)
		case Potassium:
			c.K = max(c.K, mmol)
		case Calcium:
			c.Ca = max(c.Ca, mmol)
		case Magnesium:
			c.Mg = max(c.Mg, mmol)
		case Sulfur:
			c.SO4 = max(c.SO4, mmol)
		case Chlorine:
			c.Cl = max(c.Cl, mmol)
		case Sodium:
			c.Na = max(c.Na, mmol)
		case Silicon:
			c.Si = max(c.Si, mmol)
		}
	}
	return c
}
