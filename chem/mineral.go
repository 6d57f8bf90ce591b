package chem

import (
	"math"

	"raftwright/source"
	"raftwright/unit"
)

// Mineral names a solid whose saturation is watched.
type Mineral int

// The solids that cloud nutrient solutions and crust fittings.
const (
	Calcite              Mineral = iota // CaCO3, lime scale
	Gypsum                              // CaSO4.2H2O
	Brushite                            // CaHPO4.2H2O, the phosphate that clouds a mix first
	Hydroxyapatite                      // Ca5(PO4)3OH; its index over-warns, see Solution.SI
	OctacalciumPhosphate                // Ca4H(PO4)3.2.5H2O
	TricalciumPhosphate                 // beta-Ca3(PO4)2
	Struvite                            // MgNH4PO4.6H2O
	Ferrihydrite                        // fresh ferric hydroxide, were all ferrous iron oxidised
	MineralCount
)

var mineralNames = [MineralCount]string{"calcite", "gypsum", "brushite", "hydroxyapatite",
	"octacalcium phosphate", "beta tricalcium phosphate", "struvite", "ferric hydroxide"}

// String gives the usual name.
func (m Mineral) String() string {
	if m < 0 || m >= MineralCount {
		return ""
	}
	return mineralNames[m]
}

const (
	solidSource    source.ID = "phreeqc388" // solubility products
	struviteSource source.ID = "ohlinger1998"
)

// solidLaws are solubility products: calcite and gypsum as in the database,
// brushite Ca + H + PO4, octacalcium phosphate 4 Ca + H + 3 PO4, tricalcium
// phosphate 3 Ca + 2 PO4, struvite Mg + NH4 + PO4, hydroxyapatite by its
// reaction with 4 H to 5 Ca + 3 HPO4. The enthalpy of hydroxyapatite is from
// memory; octacalcium, tricalcium phosphate and struvite keep their 25 °C value.
// Gypsum's expression was fitted here, to 0.0003, to the values at 5 to 35 °C
// behind the reference tables: it belongs with the CaSO4 pair used here (-4.548
// at 25 °C; the edition before, with the weaker pair, has -4.58).
var solidLaws = [MineralCount]law{
	Calcite:              {analytic: &[6]float64{17.118, -0.046528, -3496, 0, 0, 0}},
	Gypsum:               {analytic: &[6]float64{119.15368, 0, -5211.2663, -42.928161, 0, 0}},
	Brushite:             {log25: -18.995, enthalpy: 23},
	Hydroxyapatite:       {log25: -3.421, enthalpy: -151.3},
	OctacalciumPhosphate: {log25: -47.08},
	TricalciumPhosphate:  {log25: -28.92},
	Struvite:             {log25: -13.26},
	Ferrihydrite:         {log25: 4.891}, // Fe(OH)3 + 3 H = Fe+++ + 3 H2O
}

// ferricLaws are the hydroxo ions of ferric iron from Fe+++ (from memory).
var ferricLaws = [4]law{{log25: -2.19, enthalpy: 43.5}, {log25: -5.67, enthalpy: 71.5}, {log25: -12.56, enthalpy: 103.8}, {log25: -21.6, enthalpy: 133.5}}

func (k *Equilibria) solids(kelvin float64) {
	for m := range solidLaws {
		k.solubility[m] = solidLaws[m].at(kelvin)
	}
	free := k.solubility[Ferrihydrite]
	k.ferric[0] = pow10(free)
	for i := range ferricLaws {
		k.ferric[i+1] = pow10(free + ferricLaws[i].at(kelvin))
	}
}

// absent marks an index that has no meaning because a component is missing.
const absent = -1e9

// saturate works out the saturation indices.
func (k *Equilibria) saturate(s *Solution) {
	log := func(p Species) float64 {
		if s.molal[p] <= 0 {
			return absent
		}
		return math.Log(s.activity(p)) * (1 / math.Ln10)
	}
	h := -s.PH
	ca, mg, po4, hpo4 := log(FreeCa), log(FreeMg), log(FreePO4), log(FreeHPO4)
	products := [MineralCount]float64{
		Calcite:              ca + log(FreeCO3),
		Gypsum:               ca + log(FreeSO4),
		Brushite:             ca + h + po4,
		Hydroxyapatite:       5*ca + 3*hpo4 - 4*h,
		OctacalciumPhosphate: 4*ca + h + 3*po4,
		TricalciumPhosphate:  3*ca + 2*po4,
		Struvite:             mg + log(FreeNH4) + po4,
		Ferrihydrite:         absent,
	}
	for m, product := range products {
		s.solid[m] = absent
		if product > absent/2 {
			s.solid[m] = product - k.solubility[m]
		}
	}
	if s.Totals.Fe > traceless {
		s.solid[Ferrihydrite] = math.Log10(float64(s.Totals.Fe / k.FerricSolubility(s.PH)))
	}
}

// FerricSolubility gives the ferric iron that stays dissolved over fresh ferric
// hydroxide at a pH (dilute, no chelate): what an aerated water keeps. Fe(OH)3
// with log K 4.891 and four hydroxo ions; ageing lowers it a hundredfold.
func (k *Equilibria) FerricSolubility(pH float64) unit.MolarConcentration {
	h := pow10(-min(max(pH, leastPH), mostPH))
	sum, power := 0.0, h*h*h
	for _, f := range k.ferric {
		sum += f * power
		power /= h
	}
	return unit.MolarConcentration(sum * 1e3 * waterPerLitre)
}

// SI gives the saturation index, the decimal logarithm of ion product over
// solubility product: above 0 the solid can form, below 0 it dissolves. It is
// false where a component is missing. Values agree within 0.06 between
// databases, except hydroxyapatite, whose constant differs by 3.9 units (this
// one is the more soluble) and which forms slowly: brushite above 0 is the sign
// of cloudiness.
func (s *Solution) SI(m Mineral) (float64, bool) {
	if m < 0 || m >= MineralCount || s.solid[m] == absent {
		return 0, false
	}
	return s.solid[m], true
}

// LogSolubility gives the decimal logarithm of the solubility product behind an
// index, as the reaction of solidLaws is written; 0 for an unknown solid.
func (k *Equilibria) LogSolubility(m Mineral) float64 {
	if m < 0 || m >= MineralCount {
		return 0
	}
	return k.solubility[m]
}
