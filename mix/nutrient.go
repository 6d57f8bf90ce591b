package mix

import (
	"raftwright/chem"
	"raftwright/finding"
	"raftwright/unit"
)

// Nutrient is one thing that recipes, labels and tests count: an element by its
// mass, or nitrogen in one of its forms (as N).
type Nutrient int

// The nutrients counted. Nitrogen is nitrate, ammonium and urea together;
// nitrogen bound in a chelate is no food and stands apart as BoundN.
const (
	Nitrogen Nutrient = iota
	NitrateN
	AmmoniumN
	UreaN
	Phosphorus
	Potassium
	Calcium
	Magnesium
	Sulfur
	Iron
	Manganese
	Zinc
	Copper
	Boron
	Molybdenum
	Chlorine
	Sodium
	Silicon
	BoundN
	NutrientCount
)

type nutrientEntry struct {
	symbol, name string
	key          string // in a brief and in tables
	word         string // of its name in lang, after "nutrient."
	element      chem.Element
}

var nutrients = [NutrientCount]nutrientEntry{
	Nitrogen: {"N", "nitrogen", "nitrogen", "n", chem.Nitrogen}, NitrateN: {"NO3-N", "nitrate nitrogen", "nitrate-n", "nitrate", chem.Nitrogen},
	AmmoniumN: {"NH4-N", "ammonium nitrogen", "ammonium-n", "ammonium", chem.Nitrogen}, UreaN: {"urea-N", "urea nitrogen", "urea-n", "urea", chem.Nitrogen},
	Phosphorus: {"P", "phosphorus", "phosphorus", "p", chem.Phosphorus}, Potassium: {"K", "potassium", "potassium", "k", chem.Potassium},
	Calcium: {"Ca", "calcium", "calcium", "ca", chem.Calcium}, Magnesium: {"Mg", "magnesium", "magnesium", "mg", chem.Magnesium},
	Sulfur: {"S", "sulfur", "sulfur", "s", chem.Sulfur}, Iron: {"Fe", "iron", "iron", "fe", chem.Iron},
	Manganese: {"Mn", "manganese", "manganese", "mn", chem.Manganese}, Zinc: {"Zn", "zinc", "zinc", "zn", chem.Zinc},
	Copper: {"Cu", "copper", "copper", "cu", chem.Copper}, Boron: {"B", "boron", "boron", "b", chem.Boron},
	Molybdenum: {"Mo", "molybdenum", "molybdenum", "mo", chem.Molybdenum}, Chlorine: {"Cl", "chloride", "chloride", "cl", chem.Chlorine},
	Sodium: {"Na", "sodium", "sodium", "na", chem.Sodium}, Silicon: {"Si", "silicon", "silicon", "si", chem.Silicon},
	BoundN: {"chelate-N", "nitrogen in a chelate", "", "bound", chem.Nitrogen},
}

// Symbol gives the short name in tables: "N", "NO3-N", "Ca".
func (n Nutrient) Symbol() string { return nutrients[n].symbol }

// String gives the English name in small letters.
func (n Nutrient) String() string { return nutrients[n].name }

// Key gives the name in a brief: "nitrate-n", "calcium".
func (n Nutrient) Key() string { return nutrients[n].key }

// Word gives the name for translation.
func (n Nutrient) Word() finding.Word { return finding.Word("nutrient." + nutrients[n].word) }

// Element gives the chemical element that is counted.
func (n Nutrient) Element() chem.Element { return nutrients[n].element }

// IsForm tells the forms of nitrogen from the elements.
func (n Nutrient) IsForm() bool {
	return n == NitrateN || n == AmmoniumN || n == UreaN || n == BoundN
}

// IsMicro tells the elements that are wanted in a few mg/L or less.
func (n Nutrient) IsMicro() bool { return n >= Iron && n <= Molybdenum }

// NutrientOf finds a nutrient by its key in a brief.
func NutrientOf(key string) (Nutrient, bool) {
	for n := range NutrientCount {
		if key == nutrients[n].key && key != "" {
			return n, true
		}
	}
	return 0, false
}

// Elements lists what a table of a solution shows: the elements, without the
// forms of nitrogen.
func Elements() []Nutrient {
	var out []Nutrient
	for n := range NutrientCount {
		if !n.IsForm() {
			out = append(out, n)
		}
	}
	return out
}

// Levels is how much of each nutrient a litre of solution holds.
type Levels [NutrientCount]unit.MassConcentration

// Add gives the sum of two Levels.
func (l Levels) Add(m Levels) Levels {
	for n := range l {
		l[n] += m[n]
	}
	return l
}

// Times gives every level multiplied by x.
func (l Levels) Times(x float64) Levels {
	for n := range l {
		l[n] *= unit.MassConcentration(x)
	}
	return l
}

// Shares is how much of the mass of a material each nutrient is.
type Shares [NutrientCount]unit.Fraction

// At gives what a dose of the material brings into a litre.
func (s Shares) At(dose unit.MassConcentration) Levels {
	var out Levels
	for n := range s {
		out[n] = unit.MassConcentration(float64(dose) * float64(s[n]))
	}
	return out
}

// NitrogenForms says in which forms a nitrogen comes; the three sum to 1, or
// are all 0 where there is no nitrogen.
type NitrogenForms struct{ Nitrate, Ammonium, Urea unit.Fraction }

// NitrogenForms gives the forms of the nitrogen in a solution.
func (l Levels) NitrogenForms() NitrogenForms {
	total := l[NitrateN] + l[AmmoniumN] + l[UreaN]
	if total <= 0 {
		return NitrogenForms{}
	}
	return NitrogenForms{
		Nitrate: unit.Fraction(l[NitrateN] / total), Ammonium: unit.Fraction(l[AmmoniumN] / total), Urea: unit.Fraction(l[UreaN] / total),
	}
}

// LevelsOf counts the nutrients in a composition of ions: a source water, a
// dose of acid. Trace metals are not part of a composition.
func LevelsOf(c chem.Composition) Levels {
	var l Levels
	set := func(n Nutrient, m unit.MolarConcentration) {
		l[n] = unit.MassConcentration(float64(m) * n.Element().Weight() * 1e-3)
	}
	set(NitrateN, c.NO3)
	set(AmmoniumN, c.NH4)
	set(Phosphorus, c.P)
	set(Potassium, c.K)
	set(Calcium, c.Ca)
	set(Magnesium, c.Mg)
	set(Sulfur, c.SO4)
	set(Iron, c.Fe)
	set(Boron, c.B)
	set(Chlorine, c.Cl)
	set(Sodium, c.Na)
	set(Silicon, c.Si)
	l[Nitrogen] = l[NitrateN] + l[AmmoniumN]
	return l
}
