package chem

import (
	"fmt"
	"math"
	"math/bits"

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

// AtPH gives the solution of a composition at a pH, closed. Totals.Inert of the
// answer is the inert charge that this pH needs; what stood in c.Inert does not
// matter.
func (k *Equilibria) AtPH(c Composition, pH float64) (Solution, error) {
	return k.speciate(question{totals: c, fixed: true, pH: pH})
}

// OpenAtPH is AtPH in balance with air.
func (k *Equilibria) OpenAtPH(c Composition, pH float64, co2 unit.Pressure) (Solution, error) {
	return k.speciate(question{totals: c, fixed: true, pH: pH, open: true, co2: co2})
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
		return Solution{}, &RangeError{"an alkalinity", float64(alkalinity), -mostTotal, mostTotal, "meq/L"}
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
	_, s, err = k.dose(&Dosing{Into: c, Reagent: Composition{TIC: 1}, PH: pH}, mostTotal)
	return s, err
}

// mostCO2 bounds what carbon a pH and an alkalinity may ask for: it dissolves to
// less than mostTotal.
const mostCO2 = 20 * unit.Atmosphere

// AlkalinityError says that a pH and an alkalinity exclude each other.
type AlkalinityError struct {
	PH         float64
	Alkalinity unit.Equivalents
	Without    unit.Equivalents // alkalinity that the rest has at this pH, with no carbon at all
	CO2        unit.Pressure    // that they would take, where that is beyond reason; else 0
}

// Error says so in words.
func (e *AlkalinityError) Error() string {
	if e.CO2 > 0 {
		return fmt.Sprintf("an alkalinity of %.4g meq/L at pH %.2f would take carbon dioxide of %.3g atm; one of the two is wrong",
			float64(e.Alkalinity), e.PH, float64(e.CO2/unit.Atmosphere))
	}
	return fmt.Sprintf("an alkalinity of %.4g meq/L cannot be at pH %.2f: what is dissolved holds %.4g meq/L there even without carbonate",
		float64(e.Alkalinity), e.PH, float64(e.Without))
}

// question is what is asked of a composition.
type question struct {
	totals Composition
	fixed  bool
	pH     float64
	open   bool
	co2    unit.Pressure
	plain  bool // no conductivity and no solids: for the steps of a search
}

// Bounds of what is computed: beyond 2 mol/L no activity model here holds.
const (
	mostTotal = 2000. // mmol/L
	leastPH   = 0.
	mostPH    = 14.
	traceless = 1e-12 // mmol/L; less is none
)

func (q *question) check() error {
	for _, f := range q.totals.totals() {
		if !(f.value >= 0 && f.value <= mostTotal) {
			return &RangeError{f.name, f.value, 0, mostTotal, "mmol/L"}
		}
	}
	if v := float64(q.totals.Inert); !(math.Abs(v) <= 2*mostTotal) {
		return &RangeError{"an inert charge", v, -2 * mostTotal, 2 * mostTotal, "meq/L"}
	}
	if q.fixed && !(q.pH >= leastPH && q.pH <= mostPH) {
		return &RangeError{"a pH", q.pH, leastPH, mostPH, ""}
	}
	if q.open && !(q.co2 > 0 && q.co2 <= 2*unit.Atmosphere) {
		return &RangeError{"a CO2 pressure", float64(q.co2 / unit.Atmosphere), 0, 2, "atm"}
	}
	return nil
}

type total struct {
	name  string
	value float64
}

func (c *Composition) totals() [15]total {
	return [15]total{
		{"calcium", float64(c.Ca)}, {"magnesium", float64(c.Mg)}, {"sodium", float64(c.Na)}, {"potassium", float64(c.K)},
		{"ammonium", float64(c.NH4)}, {"iron", float64(c.Fe)}, {"nitrate", float64(c.NO3)}, {"chloride", float64(c.Cl)},
		{"sulfate", float64(c.SO4)}, {"phosphate", float64(c.P)}, {"boron", float64(c.B)}, {"silicon", float64(c.Si)},
		{"fluoride", float64(c.F)}, {"inorganic carbon", float64(c.TIC)}, {"citrate", float64(c.Citrate)},
	}
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
	need := uint64(1<<shapeOf[FreeNO3] | 1<<shapeOf[FreeCl])
	for i := range k.parts {
		s := &k.parts[i]
		slot := uint8(noSlot)
		if ligand(s.ligand) != noLigand {
			slot = slots[s.ligand]
		}
		if slot != absentSlot && (base(s.base) == noBase || y.held[s.base+1] > 0) {
			y.parts[n] = *s
			y.parts[n].slot = slot
			need |= 1 << s.shape
			n++
		}
		y.ends[s.base+1] = n
	}
	for ; need != 0; need &= need - 1 {
		y.shapes[y.used] = uint8(bits.TrailingZeros64(need))
		y.used++
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
