package mix

import (
	"math"

	"raftwright/source"
	"raftwright/unit"
)

// Recipe is a published nutrient solution.
type Recipe struct {
	Key, Name, Crop string
	Levels          Levels // 0 where the source says nothing
	EC              unit.Conductivity
	Source          source.ID
	Read            bool // the figures were seen in print; else they are from memory
	Note            string
	also, spanish   string
	spans           bool // the most it holds of a nutrient counts as fine
}

func clip(s string) string {
	if r := []rune(s); len(r) > 40 {
		return string(r[:40]) + "..."
	}
	return s
}

// Balance gives the cations and anions of the recipe in meq/L, and whether the
// source tells enough to count them: the forms of nitrogen, phosphorus,
// potassium, calcium, magnesium and sulfur. Phosphorus counts as H2PO4.
func (r Recipe) Balance() (cations, anions unit.Equivalents, known bool) {
	l := r.Levels
	meq := func(n Nutrient, charge float64) float64 {
		return l[n].MilligramsPerLitre() / n.Element().Weight() * charge
	}
	cations = unit.Equivalents(meq(Potassium, 1) + meq(Calcium, 2) + meq(Magnesium, 2) + meq(AmmoniumN, 1) + meq(Sodium, 1))
	anions = unit.Equivalents(meq(NitrateN, 1) + meq(Phosphorus, 1) + meq(Sulfur, 2) + meq(Chlorine, 1))
	known = l[NitrateN] > 0 && l[Sulfur] > 0 && l[Phosphorus] > 0 && l[Potassium] > 0 && l[Calcium] > 0 && l[Magnesium] > 0
	return cations, anions, known
}

// unbalancedAbove is the charge error, of the mean, from which a published
// recipe is called unbalanced: rounding to 1 mg/L leaves less than 1 %.
const unbalancedAbove = 0.03

// Unbalanced says whether the recipe cannot be made as published, because no
// set of salts has its ions.
func (r Recipe) Unbalanced() bool {
	c, a, known := r.Balance()
	return known && math.Abs(float64(c-a)) > unbalancedAbove*float64(c+a)/2
}
