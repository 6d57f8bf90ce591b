package chem

import (
	"math"

	"raftwright/finding"
	"raftwright/unit"
)

// Closed gives the solution of a composition that exchanges nothing with the
// air: the pH closes the charge balance.
func (k *Equilibria) Closed(c Composition) (Solution, error) {
	return k.speciate(question{totals: c})
}

// Open gives the solution of a composition in balance with air of the given
// CO2 pressure (AirCO2 outdoors). Its total carbon is found; what stood in
// c.TIC does not matter.
func (k *Equilibria) Open(c Composition, co2 unit.Pressure) (Solution, error) {
	return k.speciate(question{totals: c, open: true, co2: co2})
}

// FormsInAir is Open where only pH and forms are wanted: without conductivity and solids, in half the time.
func (k *Equilibria) FormsInAir(c Composition, co2 unit.Pressure) (Solution, error) {
	return k.speciate(question{totals: c, open: true, co2: co2, plain: true})
}

// AtPH gives the solution of a composition at a pH, closed. Totals.Inert of the
// answer is the inert charge that this pH needs; what stood in c.Inert does not
// matter.
func (k *Equilibria) AtPH(c Composition, pH float64) (Solution, error) {
	return k.speciate(question{totals: c, fixed: true, pH: pH, key: waterKey})
}

// FormsAtPH is AtPH where only the forms are wanted: without conductivity and solids, in half the time.
func (k *Equilibria) FormsAtPH(c Composition, pH float64) (Solution, error) {
	return k.speciate(question{totals: c, fixed: true, pH: pH, key: waterKey, plain: true})
}

// Titrated gives the solution of a water whose pH and alkalinity were measured.
// Total carbon and inert charge are found and stand in Totals, ready for
// additions. An *AlkalinityError says that no carbon can explain the two.
func (k *Equilibria) Titrated(c Composition, pH float64, alkalinity unit.Equivalents) (Solution, error) {
	c.TIC = 0
	s, err := k.AtPH(c, pH)
	if err != nil {
		return Solution{}, err
	}
	const slack = 0.02 // meq/L, 1 mg/L as CaCO3: the titration is no better
	missing := float64(alkalinity - s.Alkalinity())
	switch {
	case math.IsNaN(float64(alkalinity)) || math.Abs(float64(alkalinity)) > mostTotal:
		return Solution{}, finding.Within("water.alkalinity", alkalinity, -mostTotal, mostTotal, 4)
	case missing < -slack:
		return Solution{}, &AlkalinityError{PH: pH, Alkalinity: alkalinity, Without: s.Alkalinity()}
	case missing <= 1e-9:
		return s, nil
	}
	// CO2 = H HCO3 / K1: a water under more than mostCO2 fizzes its pipes apart.
	if gas := missing * 1e-3 * pow10(-pH) / (k.stability[FreeHCO3] * k.henry); gas > float64(mostCO2/unit.Atmosphere) {
		return Solution{}, &AlkalinityError{PH: pH, Alkalinity: alkalinity, Without: s.Alkalinity(), CO2: unit.Pressure(gas) * unit.Atmosphere}
	}
	// The carbon dioxide that brings a water of this alkalinity to the pH.
	c.Inert += alkalinity - c.ReferenceCharge()
	d := Dosing{Into: c, Reagent: Composition{TIC: 1}, PH: pH}
	amount, err := k.amount(&d, mostTotal)
	if err != nil {
		return Solution{}, err
	}
	return k.dosed(&d, amount)
}

// mostCO2 bounds what carbon a pH and an alkalinity may ask for: it dissolves to
// less than mostTotal.
const mostCO2 = 20 * unit.Atmosphere

// waterKey is where the pH of a water stands in a brief.
const waterKey = "water.ph"

// question is what is asked of a composition.
type question struct {
	totals Composition
	fixed  bool
	pH     float64
	key    finding.Path // where the pH stands in a brief
	open   bool
	co2    unit.Pressure
	plain  bool // no conductivity and no solids: for the steps of a search
}

// speciate sets the system up, guesses, solves and reads the answer off.
func (k *Equilibria) speciate(q question) (s Solution, err error) {
	if err := q.check(); err != nil {
		return s, err
	}
	var y system
	k.set(&y, &q)
	y.guess()
	if err := y.solve(); err != nil {
		return s, err
	}
	k.answer(&s, &y, &q)
	if !q.plain {
		k.saturate(&s)
		s.Conductivity, err = k.conductivity(&y)
	}
	return s, err
}

// set says who takes part, from totals in mmol/L.
func (k *Equilibria) set(y *system, q *question) {
	const molal = 1e-3 / waterPerLitre
	c := &q.totals
	clean := func(m unit.MolarConcentration) float64 {
		if m < traceless {
			return 0
		}
		return float64(m) * molal
	}
	y.k, y.activity[noSlot] = k, 1
	y.held = [...]float64{0, clean(c.Ca), clean(c.Mg), clean(c.Na), clean(c.K), clean(c.NH4), clean(c.Fe), clean(c.B), clean(c.Si)}
	y.nitrate, y.chloride = clean(c.NO3), clean(c.Cl)
	y.protons = -float64(c.ReferenceCharge()) * molal
	var slots [ligandCount]uint8
	for j, total := range [ligandCount]float64{clean(c.SO4), clean(c.TIC), clean(c.P), clean(c.F), clean(c.Citrate)} {
		switch {
		case ligand(j) == ligandC && q.open:
			slots[j], y.activity[airSlot] = airSlot, k.henry*float64(q.co2/unit.Atmosphere)
		case total > 0:
			slots[j], y.wanted[y.ligands] = uint8(y.ligands), total
			y.ligands++
		default:
			slots[j] = absentSlot
		}
	}
	y.proton, y.ionic = y.ligands, y.ligands+1
	if q.fixed {
		y.proton, y.ionic, y.hydrogen = noSlot, y.ligands, pow10(-q.pH)
	}
	rough := 2*(c.Ca+c.Mg+c.Fe+c.SO4) + (c.Na+c.K+c.NH4+c.NO3+c.Cl+c.P)/2 + c.Citrate
	y.strength = min(float64(rough)*molal+math.Abs(y.protons)/2, 0.5) + 1e-7
	n := 0
	for i := range k.parts {
		s := &k.parts[i]
		slot := uint8(noSlot)
		if ligand(s.ligand) != noLigand {
			slot = slots[s.ligand]
		}
		if slot != absentSlot && (base(s.base) == noBase || y.held[s.base+1] > 0) {
			y.parts[n] = *s
			y.parts[n].slot = slot
			n++
		}
		y.ends[s.base+1] = n
	}
}

// ReferenceCharge is the charge of the composition were every family in the
// form on which an alkalinity titration ends (CO2, H2PO4-, H3BO3, NH4+, ...).
// In a neutral solution it is its alkalinity, whatever its pH: more cations
// than strong anions, more alkalinity.
func (c Composition) ReferenceCharge() unit.Equivalents {
	return unit.Equivalents(2*(c.Ca+c.Mg+c.Fe)+c.Na+c.K+c.NH4-c.NO3-c.Cl-2*c.SO4-c.P-c.F-c.Citrate) + c.Inert
}

// answer reads everything but the conductivity and the solids off.
func (k *Equilibria) answer(s *Solution, y *system, q *question) {
	s.Totals, s.Temperature, s.Iterations = q.totals, k.temperature, y.iterations
	s.PH, s.IonicStrength = -math.Log10(y.hydrogen), y.strength
	s.inverse = y.inverse
	y.amounts(&s.molal)
	if q.open {
		s.Totals.TIC = unit.MolarConcentration(s.molal.total(ligandC) * 1e3 * waterPerLitre)
	}
	if q.fixed {
		s.PH, s.Totals.Inert = q.pH, 0
		s.Totals.Inert = s.Alkalinity() - s.Totals.ReferenceCharge()
	}
	s.CO2 = unit.Pressure(s.activity(FreeCO2)/k.henry) * unit.Atmosphere
}

// total adds up a ligand in all its species, mol/kg.
func (molal *table) total(j ligand) float64 {
	sum := 0.0
	for s := range rows {
		if rows[s].ligand == j {
			sum += molal[s]
		}
	}
	return sum
}
