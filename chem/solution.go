// Package chem is the chemistry of dilute nutrient solutions: which ions and
// ion pairs a water holds, its pH, its electrical conductivity, how near it is
// to dropping a solid, and how much oxygen it can carry.
//
// The model is equilibrium speciation with the Truesdell-Jones (WATEQ) and
// Davies activity equations and the association constants of a public
// geochemical database; conductivity is the mean of two published forms (see
// conduct.go). Range: 0 to 40 °C, ionic strength up to about 0.2 mol/kg,
// pressure of the surface. Nothing reacts by redox: nitrate, ammonium and
// ferrous iron keep their own totals. Trace metals and chelates stay outside
// the model and only lend it their charge (Composition.Inert).
package chem

import (
	"math"

	"raftwright/unit"
)

// Composition is what is dissolved in one litre of solution, by totals: each
// field counts the component in all its forms (P is H3PO4 to PO4 and their
// pairs). Compositions add: a water plus 0.3 times a product is a Composition.
//
// Hydrogen has no field. The solution is electrically neutral, so acid and base
// follow from the rest: sulfuric acid adds SO4 and nothing else, potassium
// hydroxide adds K, potassium bicarbonate adds K and TIC, a label's phosphate
// that its cations do not balance comes out as acid. A neutral molecule like
// urea adds nothing; hydrolysed, it adds 2 NH4 and 1 TIC, and ammonium that
// nitrifies moves from NH4 to NO3.
type Composition struct {
	Ca, Mg, Na, K unit.MolarConcentration
	NH4           unit.MolarConcentration // ammonium and ammonia
	Fe            unit.MolarConcentration // ferrous iron, not chelated
	NO3, Cl       unit.MolarConcentration
	SO4           unit.MolarConcentration
	P             unit.MolarConcentration // phosphate
	B             unit.MolarConcentration // boric acid and borate
	Si            unit.MolarConcentration // silicic acid
	F             unit.MolarConcentration
	TIC           unit.MolarConcentration // carbon dioxide, bicarbonate, carbonate
	Citrate       unit.MolarConcentration

	// Inert is the net charge of ions outside the model, cations positive: two
	// for each Mn, Zn or Cu, minus one for each FeEDTA, minus two for molybdate,
	// and whatever charge an analysis lacks. It takes part in neutrality and in
	// nothing else.
	Inert unit.Equivalents
}

// Add gives the sum of two compositions, litre for litre: the ions of both in
// the same litre of solution.
func (c Composition) Add(d Composition) Composition {
	return Composition{
		Ca: c.Ca + d.Ca, Mg: c.Mg + d.Mg, Na: c.Na + d.Na, K: c.K + d.K, NH4: c.NH4 + d.NH4, Fe: c.Fe + d.Fe,
		NO3: c.NO3 + d.NO3, Cl: c.Cl + d.Cl, SO4: c.SO4 + d.SO4, P: c.P + d.P, B: c.B + d.B, Si: c.Si + d.Si,
		F: c.F + d.F, TIC: c.TIC + d.TIC, Citrate: c.Citrate + d.Citrate, Inert: c.Inert + d.Inert,
	}
}

// Times gives the composition with every total multiplied by x: a dose of a
// product, or a share in a blend.
func (c Composition) Times(x float64) Composition {
	m := unit.MolarConcentration(x)
	return Composition{
		Ca: c.Ca * m, Mg: c.Mg * m, Na: c.Na * m, K: c.K * m, NH4: c.NH4 * m, Fe: c.Fe * m,
		NO3: c.NO3 * m, Cl: c.Cl * m, SO4: c.SO4 * m, P: c.P * m, B: c.B * m, Si: c.Si * m,
		F: c.F * m, TIC: c.TIC * m, Citrate: c.Citrate * m, Inert: c.Inert * unit.Equivalents(x),
	}
}

// Blend gives the composition of a mixture with the share x of d, the rest c.
func (c Composition) Blend(d Composition, x unit.Fraction) Composition {
	return c.Times(1 - float64(x)).Add(d.Times(float64(x)))
}

// AirCO2 is the partial pressure of carbon dioxide in outdoor air, 420 millionths
// of an atmosphere (the round figure of the mid 2020s that the reference tables
// use). Crowded rooms and greenhouses hold more.
const AirCO2 unit.Pressure = 420e-6 * unit.Atmosphere

// Solution is a composition at equilibrium. It is a plain value.
type Solution struct {
	Totals        Composition       // what it holds; TIC and Inert as found when they were asked for
	Temperature   unit.Temperature  // at which it was solved
	PH            float64           // minus the logarithm of the hydrogen ion activity
	IonicStrength float64           // mol/kg water
	Conductivity  unit.Conductivity // at Temperature; a meter shows it at 25 °C: solve at 25 °C for that
	CO2           unit.Pressure     // partial pressure of CO2 with which it would be in balance
	Iterations    int               // Newton steps taken, at most MaxIterations

	molal   table                 // mol/kg water
	inverse [shapeCount]float64   // one over the activity coefficients, by shape
	solid   [MineralCount]float64 // log10 of ion product over solubility product
}

// balanceWithin is how near to zero a balance comes, as a share of what is in it.
const balanceWithin = 1e-10

// MaxIterations bounds the Newton steps of one speciation.
const MaxIterations = 50

// Molality gives a species in mol per kilogram of water.
func (s *Solution) Molality(p Species) float64 {
	if p < 0 || p >= SpeciesCount {
		return 0
	}
	return s.molal[p]
}

// Gamma gives the molal activity coefficient of a species, 1 for one that the
// solution does not hold.
func (s *Solution) Gamma(p Species) float64 {
	if s.Molality(p) == 0 {
		return 1
	}
	return 1 / s.inverse[shapeOf[p]]
}

func (s *Solution) activity(p Species) float64 { return s.molal[p] * s.Gamma(p) }

// Molar gives a species per litre of solution.
func (s *Solution) Molar(p Species) unit.MolarConcentration {
	return unit.MolarConcentration(s.Molality(p) * 1e3 * waterPerLitre)
}

// Alkalinity gives the acid that a titration to the forms CO2, H2PO4-, H3BO3,
// NH4+, H4SiO4, F-, H2Citrate- would use; negative where the water holds free
// acid instead.
func (s *Solution) Alkalinity() unit.Equivalents {
	sum := 0.0
	for i := range rows {
		sum -= protonsHeld[i] * s.molal[i]
	}
	return unit.Equivalents(sum * 1e3 * waterPerLitre)
}

// CarbonateAlkalinity counts HCO3- and twice CO3-- with their pairs only.
func (s *Solution) CarbonateAlkalinity() unit.Equivalents {
	sum := 0.0
	for i := range rows {
		if rows[i].ligand == ligandC {
			sum -= protonsHeld[i] * s.molal[i]
		}
	}
	return unit.Equivalents(sum * 1e3 * waterPerLitre)
}

// ChargeError gives the charge of the ions that the model knows over the sum of
// their charges, half the usual way of writing it: 100 (cations - anions) /
// (cations + anions), with every ion as it stands in the solution. Zero for
// water with nothing in it, and where the difference is less than the balance
// is solved to: what is left there is rounding, another on every machine.
func (s *Solution) ChargeError() unit.Fraction {
	net, all := 0.0, 0.0
	for i := range rows {
		q := rows[i].charge * s.molal[i]
		net += q
		all += math.Abs(q)
	}
	if math.Abs(net) <= balanceWithin*all {
		return 0
	}
	return unit.Fraction(net / all)
}

// protonsHeld is how many protons each species holds above the zero of an
// alkalinity titration.
var protonsHeld = heldProtons()

func heldProtons() (held table) {
	for i := range rows {
		held[i] = float64(rows[i].protons)
		if rows[i].with != noSpecies {
			held[i] += held[rows[i].with]
		}
	}
	return held
}
