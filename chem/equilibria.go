package chem

import (
	"math"
	"slices"
	"sync"

	"raftwright/finding"
	"raftwright/unit"
)

// Equilibria holds every constant at one temperature, worked out once. It is
// never changed after At and may be shared.
type Equilibria struct {
	temperature unit.Temperature
	debyeA      float64 // ln units, (kg/mol)^1/2
	debyeB      float64 // 1/ångström, (kg/mol)^1/2
	shapes      [shapeCount]shape
	parts       [partCount]part // in the order of solving
	stability   table           // species over their components, linear
	conduct     table           // the same with the constants of the conductivity form
	henry       float64         // mol/kg/atm
	solubility  [MineralCount]float64
	ferric      [5]float64 // Fe+++ and its hydroxo ions over fresh ferric hydroxide, by a power of H
	conductors  [SpeciesCount]conductor
}

type table [SpeciesCount]float64

// LowestTemperature and HighestTemperature bound the model.
const (
	LowestTemperature  unit.Temperature = 0
	HighestTemperature unit.Temperature = 40
)

// At works out the constants at a temperature of 0 to 40 °C. Debye-Hückel A and B are linear fits to within 0.2 % of the
// usual tables (Truesdell & Jones 1974 use 0.5085 and 0.3285 at 25 °C).
func At(t unit.Temperature) (*Equilibria, error) {
	if !(t >= LowestTemperature && t <= HighestTemperature) {
		return nil, finding.Within("water.temperature", t, LowestTemperature, HighestTemperature, 25)
	}
	if known, ok := usual[t]; ok {
		return known(), nil
	}
	return worked(t), nil
}

// usual keeps the temperatures that are asked for again and again: of a meter, and of a
// stock tank, warm and cold.
var usual = map[unit.Temperature]func() *Equilibria{
	10: sync.OnceValue(func() *Equilibria { return worked(10) }),
	20: sync.OnceValue(func() *Equilibria { return worked(20) }),
	25: sync.OnceValue(func() *Equilibria { return worked(25) }),
}

// worked works the constants out.
func worked(t unit.Temperature) *Equilibria {
	c, kelvin := t.Celsius(), t.Kelvin()
	k := &Equilibria{
		temperature: t,
		debyeA:      math.Ln10 * (0.4883 + 8.074e-4*c),
		debyeB:      0.3241 + 1.6e-4*c,
		henry:       pow10(lawHenry.at(kelvin)),
	}
	var log table
	for s := range rows {
		r := &rows[s]
		log[s] = r.law.at(kelvin)
		if r.with != noSpecies {
			log[s] += log[r.with]
		}
		k.stability[s] = pow10(log[s])
	}
	for i, s := range order {
		r := &rows[s]
		k.parts[i] = part{k.stability[s], protonsHeld[s], r.charge * r.charge / 2, int8(s), int8(r.base), int8(r.ligand), uint8(protonsHeld[s]) + 2, noSlot, shapeOf[s]}
	}
	k.conduct = k.stability
	for _, c := range conductLaws {
		k.conduct[c.species] = pow10(c.law.at(kelvin) + log[c.with])
	}
	for i, f := range shapes {
		k.shapes[i] = f.at(k.debyeA, k.debyeB)
	}
	k.solids(kelvin)
	k.conductorsAt(t)
	return k
}

// Henry gives the solubility of carbon dioxide, mol/kg of water and atmosphere
// (Plummer & Busenberg 1982).
func (k *Equilibria) Henry() float64 { return k.henry }

func pow10(x float64) float64 { return math.Exp(x * math.Ln10) }

// shape is what an activity coefficient follows: Truesdell & Jones 1974 where
// sizes are known, else Davies; 0.1 I for neutral molecules.
type shape struct{ charge, size, linear float64 }

const shapeCount = 32

// shapes lists the distinct ones; shapeOf says which a species has.
var shapes, shapeOf = distinctShapes()

func distinctShapes() (list []shape, of [SpeciesCount]uint8) {
	for s, r := range rows {
		sh := shape{math.Abs(r.charge), r.size, r.linear}
		at := slices.Index(list, sh)
		if at < 0 {
			at, list = len(list), append(list, sh)
		}
		of[s] = uint8(at)
	}
	return list, of
}

// at gives the shape's factors at the Debye-Hückel constants of a temperature:
// minus the logarithm of the coefficient is charge sqrt(I) / (1 + size sqrt(I))
// - linear I.
func (f shape) at(a, b float64) shape {
	switch z2 := f.charge * f.charge; {
	case z2 == 0:
		return shape{0, 0, 0.1 * math.Ln10}
	case f.size == 0:
		return shape{a * z2, 1, 0.3 * a * z2}
	default:
		return shape{a * z2, b * f.size, math.Ln10 * f.linear}
	}
}

// activities works out the activity coefficients and their slopes after a change
// of the ionic strength. The ionic
// strength is bent towards mostIonic on its way: no formula of this kind holds
// above, and one that keeps rising would have no balance. At 0.1 mol/kg the bend
// is 2e-5.
func (y *system) activities(change float64) {
	if math.Abs(change) < 1e-7*y.strength { // the square is lost in rounding
		for i := range y.inverse[:len(shapes)] {
			x := change * y.thinning[i]
			y.exponent[i] += x
			y.inverse[i] += x * y.inverse[i]
		}
		return
	}
	u := y.strength / mostIonic
	bend := 1 + u*u*u*u
	fourth := math.Sqrt(math.Sqrt(bend))
	ionic := y.strength / fourth
	thin := 1 / (bend * fourth) // d bent / d ionic strength
	root := math.Sqrt(ionic)
	half := 0.5 / root
	most := 0.0
	var moves [shapeCount]float64
	moved := moves[:len(shapes)]
	for i := range moved {
		f := &y.k.shapes[i]
		d := 1 / (1 + f.size*root)
		e := f.charge*root*d - f.linear*ionic
		x := e - y.exponent[i]
		y.exponent[i], moved[i] = e, x
		y.thinning[i] = thin * (f.charge*half*d*d - f.linear)
		if x*x > most {
			most = x * x
		}
	}
	switch { // grown, sooner yet
	case most < 1e-6:
		for i, x := range moved {
			y.inverse[i] *= 1 + x*(1+x*(1./2+x*(1./6+x*(1./24))))
		}
	case most < 1e-2:
		for i, x := range moved {
			x2 := x * x
			y.inverse[i] *= 1 + x + x2*((1./2+x*(1./6))+x2*((1./24+x*(1./120))+x2*((1./720+x*(1./5040))+x2*(1./40320+x*(1./362880)))))
		}
	default:
		for i, x := range moved {
			y.inverse[i] *= grown(x)
		}
	}
}

// mostIonic is where the activity model ends, mol/kg. Davies is trusted to 0.5,
// Truesdell-Jones to about 1.
const mostIonic = 1.
