package sky

import (
	"math"

	"raftwright/unit"
)

// The soil under a bed: how deep it is looked at, how fast warmth goes down in moist loam,
// 0.05 to 0.08 m2 a day (hillel1982), and what it conducts, with 2.1 MJ/m3/K.
const (
	soilDepth       = 0.5   // m
	soilDiffusivity = 0.065 // m2 a day
	soilConducts    = soilDiffusivity / 86400 * 2.1e6
)

// SoilConductance is that of the soil above the depth at which its warmth is told, W/m2/K.
const SoilConductance = soilConducts / soilDepth

// warmSoil fills the warmth of the soil: the year of the air goes down as a damped wave
// (hillel1982), exp(-z/d) as wide and z/d later, with d = sqrt(2 D/w). The year and the
// half year are taken of the air's course; what is shorter hardly reaches so deep.
func (y *Year) warmSoil() {
	mean := 0.0
	for _, m := range y.Months {
		mean += m.Mean.Celsius() / 12
	}
	var soil [12]float64
	for wave := 1; wave <= 2; wave++ {
		a, b := 0.0, 0.0
		for i, m := range y.Months {
			at := float64(wave) * 2 * math.Pi * (float64(i) + 0.5) / 12
			a += m.Mean.Celsius() * math.Cos(at) / 6
			b += m.Mean.Celsius() * math.Sin(at) / 6
		}
		late := soilDepth / math.Sqrt(2*soilDiffusivity/(float64(wave)*2*math.Pi/365))
		for i := range soil {
			at := float64(wave)*2*math.Pi*(float64(i)+0.5)/12 - late
			soil[i] += math.Exp(-late) * (a*math.Cos(at) + b*math.Sin(at))
		}
	}
	for i := range y.Months {
		y.Months[i].Soil = unit.Temperature(mean + soil[i])
	}
}
