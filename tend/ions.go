package tend

import (
	"math"

	"raftwright/chem"
	"raftwright/unit"
)

// ion is one thing dissolved in the bed that is followed by amount.
type ion int

// What is followed. Inert is the charge (meq) of everything else, which keeps a
// water's alkalinity what it is; carbon is dissolved carbon dioxide in all its forms.
const (
	nitrate ion = iota
	ammonium
	urea // as N
	phosphate
	potassium
	calcium
	magnesium
	sulfate
	sodium
	chloride
	citrate
	inert
	carbon
	ions
)

// amounts are of the whole bed in mmol, or of a litre in mmol/L.
type amounts [ions]float64

func (a amounts) plus(b amounts, times float64) amounts {
	for i := range a {
		a[i] += b[i] * times
	}
	return a
}

func (a amounts) times(x float64) amounts {
	for i := range a {
		a[i] *= x
	}
	return a
}

// amountsOf takes the ions of a composition; what is not followed by itself leaves
// its charge.
func amountsOf(c chem.Composition) amounts {
	mmol := func(x unit.MolarConcentration) float64 { return x.MillimolesPerLitre() }
	return amounts{nitrate: mmol(c.NO3), ammonium: mmol(c.NH4), phosphate: mmol(c.P), potassium: mmol(c.K), calcium: mmol(c.Ca), magnesium: mmol(c.Mg),
		sulfate: mmol(c.SO4), sodium: mmol(c.Na), chloride: mmol(c.Cl), citrate: mmol(c.Citrate), carbon: mmol(c.TIC),
		inert: float64(c.Inert) + 2*mmol(c.Fe) - mmol(c.F)}
}

// composition is the reverse of amountsOf, for a litre.
func (a amounts) composition() chem.Composition {
	m := func(i ion) unit.MolarConcentration {
		return unit.MolarConcentration(math.Max(0, a[i])) * unit.MillimolePerLitre
	}
	return chem.Composition{NO3: m(nitrate), NH4: m(ammonium), P: m(phosphate), K: m(potassium), Ca: m(calcium), Mg: m(magnesium), SO4: m(sulfate),
		Na: m(sodium), Cl: m(chloride), Citrate: m(citrate), TIC: m(carbon), Inert: unit.Equivalents(a[inert])}
}

// weight gives g/mol of what an ion is reported as: nitrogen, phosphorus, sulfur by
// the element.
var weight = amounts{nitrate: chem.Nitrogen.Weight(), ammonium: chem.Nitrogen.Weight(), urea: chem.Nitrogen.Weight(), phosphate: chem.Phosphorus.Weight(),
	potassium: chem.Potassium.Weight(), calcium: chem.Calcium.Weight(), magnesium: chem.Magnesium.Weight(), sulfate: chem.Sulfur.Weight(),
	sodium: chem.Sodium.Weight(), chloride: chem.Chlorine.Weight(), citrate: 189.1, carbon: chem.Carbon.Weight()}

// strong is the charge that sets alkalinity, meq: strong cations less strong anions.
func (a *amounts) strong() float64 {
	return a[sodium] + a[potassium] + 2*a[calcium] + 2*a[magnesium] + a[ammonium] + a[inert] - a[nitrate] - a[chloride] - 2*a[sulfate]
}
