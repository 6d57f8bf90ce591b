package chem

import (
	"math"

	"raftwright/source"
	"raftwright/unit"
)

// Sources of the two conductivity forms.
const (
	diffusionSource source.ID = "phreeqc373"
	mccleskeySource source.ID = "mccleskey2012"
	viscositySource source.ID = "crcviscosity"
	limitingSource  source.ID = "crclimiting"
)

// The conductivity is the mean of two forms, because they err to opposite
// sides: against 40 measured single salts (0.001 to 0.015 mol/kg, 10 and 25 °C)
// the mean is off by 0.9 % on average, each alone by 1.3 and 1.4 %.
//
// Form A: diffusion coefficients with an ionic strength correction, the
// equation and parameters of edition 3.7.3 of a public geochemical code. Its
// successor's equation does not add up for mixtures at infinite dilution (a
// trace of NaCl and CaSO4 together must give the sum of both; it gives 3 %
// less), so it is not used.
//
// Form B: McCleskey, Nordstrom, Ryan & Ball 2012, Geochim. Cosmochim. Acta
// 77:369: molal conductivity l0 - S sqrt(I)/(1 + B sqrt(I)) with l0 and S
// quadratic in temperature.
//
// Ions that a form does not list conduct by limiting conductivities (plainA,
// plainB).
type formA struct {
	species Species
	d25     float64 // diffusion coefficient at 25 °C, 1e-9 m2/s
	dT      float64 // its temperature factor, K
	a, a2   float64 // ionic strength parameters; a2 0: no denominator
}

var formsA = []formA{
	{FreeH, 9.31, 1000, 0.46, 0}, {FreeOH, 5.27, 548, 0.52, 0}, {FreeCa, 0.793, 97, 3.4, 24.6}, {FreeMg, 0.705, 111, 2.4, 13.7},
	{FreeNa, 1.33, 122, 1.52, 3.70}, {FreeK, 1.96, 395, 2.5, 21}, {FreeNH4, 1.98, 312, 0.95, 4.53}, {FreeFe, 0.719, 0, 1.6, 4.73},
	{FreeCl, 2.03, 194, 1.6, 6.9}, {FreeNO3, 1.90, 184, 1.85, 3.85}, {FreeSO4, 1.07, 34, 2.08, 13.4}, {FreeHCO3, 1.18, 0, 1.43, 0},
	{FreeCO3, 0.955, 0, 1.12, 2.84}, {FreeH2PO4, 0.846, 0, 1.6, 4.73}, {FreeHPO4, 0.69, 0, 1.6, 4.73}, {FreePO4, 0.612, 0, 1.6, 4.73},
	{PairCaHCO3, 0.506, 0, 1.6, 4.73}, {PairMgHCO3, 0.478, 0, 1.6, 4.73}, {FreeHSO4, 1.33, 0, 1.6, 4.73}, {PairKSO4, 1.5, 0, 0, 0},
	{PairNaSO4, 1.33, 0, 0.57, 0}, {FreeF, 1.46, 0, 1.6, 4.73},
}

type formB struct {
	species    Species
	c2, c1, c0 float64 // limiting molal conductivity, S cm2/mol, by t in °C
	s2, s1, s0 float64
	b          float64
}

var formsB = []formB{
	{FreeK, .003046, 1.261, 40.70, .00535, .9316, 22.59, 1.5}, {FreeNa, .003763, .8770, 26.23, .00027, 1.141, 32.07, 1.7},
	{FreeNH4, .003341, 1.285, 39.04, .00132, .6070, 11.19, 0.3}, {FreeCa, .009645, 1.984, 62.28, .03174, 2.334, 132.3, 2.8},
	{FreeMg, .01068, 1.695, 57.16, .02453, 1.915, 80.50, 2.1}, {FreeH, -.01414, 5.355, 224.2, -.00918, 1.842, 39.23, 0.3},
	{FreeFe, .009939, 1.878, 54.80, .03997, 3.217, 164.5, 4.0}, {FreeCl, .003817, 1.337, 40.99, .00613, .9469, 22.01, 1.5},
	{FreeNO3, .001925, 1.214, 39.90, .00118, .5045, 23.31, 0.1}, {FreeSO4, .01037, 2.838, 82.37, .03324, 5.889, 193.5, 2.6},
	{FreeHCO3, .000614, .9048, 21.14, -.00503, .8957, 10.97, 0.1}, {FreeCO3, -.000326, 2.998, 64.03, -.00181, 5.542, 120.2, 2.3},
	{FreeOH, .003396, 2.925, 121.3, .00933, .1086, 35.90, 0.01}, {PairKSO4, .002439, 4.253, 129.7, .01576, 6.210, 146.8, 1.3},
	{PairNaSO4, .002309, 5.459, 219.2, .01454, 5.193, 253.6, 0.5},
}

// limiting is the molar conductivity of an ion at infinite dilution, 25 °C,
// S cm2/mol.
type limiting struct {
	species Species
	molar   float64
}

// citrates: three times 70.2 for Cit--- (CRC handbook); the others from memory,
// near what a fit to the reference tables gives (30, 105, 204, pairs 30).
var citrates = []limiting{
	{FreeH2Citrate, 30}, {FreeHCitrate, 104}, {FreeCitrate, 210.6}, {PairCaCitrate, 30}, {PairMgCitrate, 30},
	{PairCaH2Citrate, 20}, {PairMgH2Citrate, 20}, {PairNaCitrate, 100}, {PairKCitrate, 100}, {PairNaHCitrate, 30},
}

// plainB are ions outside form B, times 1 - 0.72 z sqrt(I)/(1 + 1.5 sqrt(I)) and
// 2 % a kelvin.
var plainB = append([]limiting{
	{FreeH2PO4, 33}, {FreeHPO4, 114}, {FreePO4, 207}, {FreeHSO4, 50}, {FreeH2BO3, 35}, {FreeF, 55.4},
	{PairCaHCO3, 19}, {PairMgHCO3, 19}, {PairCaH2PO4, 19}, {PairMgH2PO4, 19}, {PairNH4SO4, 45},
}, citrates...)

// conductor is an ion in the two forms at one temperature: of form A its
// mobility (uS/cm per mol/kg) and how the ionic strength slows it, of form B its
// limit and slope (uS/cm per mol/kg).
type conductor struct {
	mobility        float64
	slowing, size   float64
	limit, slope, b float64
}

// viscosity gives that of water over its value at 20 °C, the CRC formula for
// above 20 °C, also good to 0.2 % down to 5 °C.
func viscosity(t unit.Temperature) float64 {
	d := t.Celsius() - 20
	return pow10((1.3272*-d - 0.001053*d*d) / (t.Celsius() + 105))
}

func (k *Equilibria) conductorsAt(t unit.Temperature) {
	const (
		faraday = 96485.33212
		gas     = 8.314462618
	)
	all := &k.conductors
	thin := viscosity(25) / viscosity(t)
	a := func(s Species, mobility, a, a2 float64) {
		// k.debyeA holds ln 10 times the constant, the form wants the constant.
		all[s].mobility = thin * mobility
		all[s].slowing, all[s].size = a*k.debyeA/math.Ln10*math.Abs(rows[s].charge), a2*k.debyeB
	}
	for _, f := range formsA {
		z := rows[f.species].charge
		d := f.d25 * 1e-9 * math.Exp(f.dT*(1/t.Kelvin()-1/298.15))
		a(f.species, 1e7*faraday*faraday/(gas*298.15)*z*z*d, f.a, f.a2)
	}
	for _, ion := range citrates {
		a(ion.species, ion.molar*1e3, 1.6, 4.73)
	}
	c := t.Celsius()
	for _, f := range formsB {
		s := &all[f.species]
		s.limit, s.slope, s.b = 1e3*(f.c2*c*c+f.c1*c+f.c0), 1e3*(f.s2*c*c+f.s1*c+f.s0), f.b
	}
	for _, p := range plainB {
		s := &all[p.species]
		s.limit = 1e3 * p.molar * (1 + 0.02*(c-25))
		s.slope, s.b = s.limit*0.72*math.Abs(rows[p.species].charge), 1.5
	}
}

// conductivity gives the mean of both forms. It solves once more from what was
// found, at its pH and shut, with the constants that form A was fitted with.
func (k *Equilibria) conductivity(y *system) (unit.Conductivity, error) {
	if air := y.activity[airSlot]; air > 0 {
		var molal table
		y.amounts(&molal)
		y.activity[y.ligands], y.wanted[y.ligands] = air, molal.total(ligandC)
		y.ligands++
	}
	y.forConduct()
	y.pairUp()
	return y.conducts()
}

// forConduct gives a system the constants that form A was fitted with, at its pH and shut.
func (y *system) forConduct() {
	for i := range y.ends[baseCount] {
		s := &y.parts[i]
		s.stability = y.k.conduct[s.species]
		if s.slot == airSlot {
			s.slot = uint8(y.ligands - 1)
		}
	}
	y.proton, y.ionic, y.iterations = noSlot, y.ligands, 0
}

// Conductivities gives what AtPH tells of the conductivity of compositions that lie near the first of them, at one pH and in a
// third of the time: each is solved from the first.
func (k *Equilibria) Conductivities(pH float64, list []Composition) (out []unit.Conductivity, err error) {
	var first system
	for i, c := range list {
		q := question{totals: c, fixed: true, pH: pH, key: waterKey}
		if err := q.check(); err != nil {
			return nil, err
		}
		var y system
		k.set(&y, &q)
		y.forConduct()
		if i > 0 && y.ligands == first.ligands {
			y.activity, y.strength, y.exponent, y.inverse, y.thinning = first.activity, first.strength, first.exponent, first.inverse, first.thinning
		} else {
			y.guess()
		}
		ec, err := y.conducts()
		if err != nil {
			return nil, err
		}
		if out = append(out, ec); i == 0 {
			first = y
		}
	}
	return out, nil
}

// conducts solves a system that has these constants, and gives its conductivity.
func (y *system) conducts() (unit.Conductivity, error) {
	k := y.k
	if err := y.solve(); err != nil {
		return 0, err
	}
	h, m := powersOf(y.hydrogen), mediumOf(y.strength)
	through := func(n float64, s Species) float64 {
		a, b := k.conductors[s].conducts(&m)
		return n * (a + b) / 2
	}
	sum := through(y.nitrate, FreeNO3) + through(y.chloride, FreeCl)
	first := 0
	for b, end := range y.ends {
		held, all := 0.0, 0.0
		for i := first; i < end; i++ {
			s := &y.parts[i]
			n := s.stability * y.inverse[s.shape%shapeCount] * h[s.power%4] * y.activity[s.slot%slots]
			held += n
			if c := &k.conductors[s.species]; c.limit+c.mobility > 0 {
				all += through(n, Species(s.species))
			}
		}
		if first < end && b > 0 {
			all *= y.held[b] / held
		}
		sum += all
		first = end
	}
	return unit.Conductivity(sum) * unit.MicrosiemensPerCentimetre, nil
}

// medium is what the ionic strength does to every ion alike.
type medium struct{ root, slow float64 }

func mediumOf(ionic float64) medium {
	root := math.Sqrt(ionic)
	return medium{root, root / (1 + root*math.Sqrt(root))}
}

// conducts gives the molal conductivity by form A and by form B.
func (c *conductor) conducts(m *medium) (a, b float64) {
	if c.mobility > 0 {
		a = c.mobility * grown(-c.slowing*m.root/(1+c.size*m.slow))
	}
	return a, c.limit - c.slope*m.root/(1+c.b*m.root)
}
