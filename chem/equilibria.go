package chem

import (
	"fmt"
	"math"

	"raftwright/unit"
)

// Equilibria holds every constant at one temperature, worked out once. It is
// never changed after At and may be shared.
type Equilibria struct {
	temperature unit.Temperature
	debyeA      float64 // ln units, (kg/mol)^1/2
	debyeB      float64 // 1/ångström, (kg/mol)^1/2
	stability   table   // species over their components, linear
	conduct     table   // the same with the constants of the conductivity form
	protons     [speciesCount]int8
	henry       float64 // mol/kg/atm
	solubility  [MineralCount]float64
	ferric      [5]float64 // Fe+++ and its hydroxo ions over fresh ferric hydroxide, by a power of H
	mobility    mobilities
}

type table [speciesCount]float64

// LowestTemperature and HighestTemperature bound the model.
const (
	LowestTemperature  unit.Temperature = 0
	HighestTemperature unit.Temperature = 40
)

// RangeError tells which input is outside what the model can do.
type RangeError struct {
	What        string
	Value       float64
	Least, Most float64
	Unit        string
}

// Error joins the parts into one line.
func (e *RangeError) Error() string {
	return fmt.Sprintf("%s of %.4g %s is outside what can be computed, %.4g to %.4g %s",
		e.What, e.Value, e.Unit, e.Least, e.Most, e.Unit)
}

// At works out the constants at a temperature of 0 to 40 °C; the error is a
// *RangeError. Debye-Hückel A and B are linear fits to within 0.2 % of the
// usual tables (Truesdell & Jones 1974 use 0.5085 and 0.3285 at 25 °C).
func At(t unit.Temperature) (*Equilibria, error) {
	if !(t >= LowestTemperature && t <= HighestTemperature) {
		return nil, &RangeError{"a temperature", t.Celsius(), float64(LowestTemperature), float64(HighestTemperature), "°C"}
	}
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
		k.protons[s] = int8(r.protons)
		if r.with != noSpecies {
			log[s] += log[r.with]
			k.protons[s] += k.protons[r.with]
		}
		k.stability[s] = pow10(log[s])
	}
	k.conduct = k.stability
	for _, c := range conductLaws {
		k.conduct[c.species] = pow10(c.law.at(kelvin) + log[c.with])
	}
	k.solids(kelvin)
	k.mobility = mobilitiesAt(t)
	return k, nil
}

// Temperature gives the temperature of the constants.
func (k *Equilibria) Temperature() unit.Temperature { return k.temperature }

// Henry gives the solubility of carbon dioxide, mol/kg of water and atmosphere
// (Plummer & Busenberg 1982).
func (k *Equilibria) Henry() float64 { return k.henry }

func pow10(x float64) float64 { return math.Exp(x * math.Ln10) }

// activities fills in the activity coefficients at an ionic strength and the
// slopes of their natural logarithms with it: Truesdell & Jones 1974 where
// sizes are known, else Davies; 0.1 I for neutral molecules. The ionic strength
// is bent towards mostIonic on its way: no formula of this kind holds above, and
// one that keeps rising would have no balance. At 0.1 mol/kg the bend is 2e-5.
func (k *Equilibria) activities(ionic float64, gamma, slope *table) {
	u := ionic / mostIonic
	bend := 1 + u*u*u*u
	fourth := math.Sqrt(math.Sqrt(bend))
	ionic /= fourth
	thin := 1 / (bend * fourth) // d bent / d ionic strength
	root := math.Sqrt(ionic)
	pairs := k.ion(1, 5.4, 0, ionic, root) // the size of most pairs
	davies := coefficient{
		math.Exp(-k.debyeA * (root/(1+root) - 0.3*ionic)),
		-k.debyeA * (1/(2*root*(1+root)*(1+root)) - 0.3),
	}
	neutral := coefficient{math.Exp(0.1 * math.Ln10 * ionic), 0.1 * math.Ln10}
	for s := range rows {
		r := &rows[s]
		var g coefficient
		switch {
		case r.charge == 0:
			g = neutral
		case r.size == 5.4 && r.linear == 0:
			g = pairs.charged(r.charge)
		case r.size == 0:
			g = davies.charged(r.charge)
		default:
			g = k.ion(r.charge, r.size, r.linear, ionic, root)
		}
		gamma[s], slope[s] = g.gamma, g.slope*thin
	}
}

// mostIonic is where the activity model ends, mol/kg. Davies is trusted to 0.5,
// Truesdell-Jones to about 1.
const mostIonic = 1.

// coefficient is an activity coefficient and the slope of its logarithm.
type coefficient struct{ gamma, slope float64 }

// ion is the Truesdell-Jones formula.
func (k *Equilibria) ion(charge, size, linear, ionic, root float64) coefficient {
	d := 1 + k.debyeB*size*root
	az := k.debyeA * charge * charge
	return coefficient{math.Exp(-az*root/d + linear*math.Ln10*ionic), -az/(2*root*d*d) + linear*math.Ln10}
}

// charged turns the coefficient of a single charge into that of more.
func (c coefficient) charged(charge float64) coefficient {
	z2 := charge * charge
	c.slope *= z2
	g := c.gamma
	switch z2 {
	case 4:
		g *= g
		c.gamma = g * g
	case 9:
		g = g * g * g
		c.gamma = g * g * g
	}
	return c
}
