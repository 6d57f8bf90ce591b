package chem

import (
	"math"

	"raftwright/source"
	"raftwright/unit"
)

const oxygenSource source.ID = "benson1984"

// OxygenSaturation gives the dissolved oxygen of fresh water in balance with
// water-saturated air at the temperature and the pressure of the place.
// Benson & Krause 1984, as printed in Standard Methods
// 4500-O: formula in log form, vapour pressure and pressure factor. Range 0 to
// 40 °C and 50 to 110 kPa; outside it the nearest end is taken. Accuracy about
// 0.1 % of the published tables.
func OxygenSaturation(t unit.Temperature, p unit.Pressure) unit.MassConcentration {
	return OxygenSaturationSalt(t, p, 0)
}

// OxygenSaturationSalt is OxygenSaturation for water with a salinity in grams
// of salt in a kilogram (0 to 40). A nutrient solution at 2 mS/cm is near
// 1 g/kg and loses 0.6 %.
func OxygenSaturationSalt(t unit.Temperature, p unit.Pressure, gramsPerKilogram float64) unit.MassConcentration {
	t = min(max(t, 0), 40)
	atm := min(max(float64(p/unit.Atmosphere), 0.49), 1.1)
	salt := min(max(gramsPerKilogram, 0), 40)
	kelvin := t.Kelvin()
	x := 1 / kelvin
	ln := -139.34411 + x*(1.575701e5+x*(-6.642308e7+x*(1.243800e10-x*8.621949e11)))
	ln -= salt * (0.017674 + x*(-10.754+x*2140.7))
	// Partial pressure factor: vapour u in atm, theta the second virial term.
	u := math.Exp(11.8571 - 3840.70*x - 216961*x*x)
	c := t.Celsius()
	theta := 0.000975 - 1.426e-5*c + 6.436e-8*c*c
	factor := atm * (1 - u/atm) * (1 - theta*atm) / ((1 - u) * (1 - theta))
	return unit.MassConcentration(math.Exp(ln) * factor * 1e-3)
}
