package mix

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"

	"raftwright/chem"
	"raftwright/source"
	"raftwright/unit"
)

// Recipe is a published nutrient solution.
type Recipe struct {
	Key, Name, Crop string
	Levels          Levels // 0 where the source says nothing
	EC              unit.Conductivity
	Source          source.ID
	Read            bool // the figures were seen in the source; else they are from memory
	Note            string
	also            string
}

// Recipes lists the published solutions that a bed can be filled with.
func Recipes() []Recipe { return slices.Clone(recipes()) }

var recipes = sync.OnceValue(func() []Recipe {
	s := recipeSheet()
	var out []Recipe
	for row := range s.rows {
		r := Recipe{Key: s.text(row, "key"), Name: s.text(row, "name"), Crop: s.text(row, "crop"), Source: source.ID(s.text(row, "source")),
			Read: s.text(row, "read") == "read", Note: s.text(row, "note"), also: s.text(row, "also")}
		for n := range NutrientCount {
			x, _ := s.number(row, n.Symbol())
			r.Levels[n] = unit.MassConcentration(x) * unit.MilligramPerLitre
		}
		if ec, ok := s.number(row, "ec"); ok {
			r.EC = unit.Conductivity(ec) * unit.MillisiemensPerCentimetre
		}
		out = append(out, r)
	}
	return out
})

// RecipeNamed finds a recipe by key or by one of its short names ("lettuce" is
// modified_sonneveld_lettuce). The error names the nearest.
func RecipeNamed(name string) (Recipe, error) {
	want := strings.ToLower(strings.TrimSpace(name))
	var names []string
	for _, r := range recipes() {
		if want != "" && (want == r.Key || want == r.also) {
			return r, nil
		}
		names = append(names, r.Key)
		if r.also != "" {
			names = append(names, r.also)
		}
	}
	hint := "; known are " + strings.Join(names, ", ")
	if near := unit.Near(want, names); near != "" && want != "" {
		hint = "; did you mean " + near + "?"
	}
	return Recipe{}, fmt.Errorf("there is no recipe %q%s", clip(name), hint)
}

// InPlaceOfRecipe says what to write in place of a name that practice knows but
// that tells no figures to fill a bed with; "" for any other name.
func InPlaceOfRecipe(name string) string {
	switch strings.ToLower(strings.TrimSpace(name)) {
	case "nursery_half":
		return "write a recipe and the stage, for example {recipe: lettuce, stage: nursery}, which is half of it"
	case "seedling_feed":
		return "seedlings are fed 50 to 100 mg/L of nitrogen: write {nitrogen: 75 mg/L}, or {recipe: lettuce, stage: nursery} for all elements"
	case "strawberry_low":
		return "it is a range of EC, 0.8 to 1.0 mS/cm: write a recipe and the reading, for example {recipe: lettuce, ec: 0.9 mS/cm}"
	case "trade_202020":
		return "it is spoons of two products: judge it under found, for example found: {per: 1 gal, amounts: {complete fertiliser 20-20-20: 2 tsp, Epsom salt: 1 tsp}}"
	case "uptake_batavia_2024":
		return "it is what plants take up with a liter of water, not what a bed is filled with; name a recipe, for example lettuce"
	}
	return ""
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

// Composition gives the ions of the recipe, where enough is told: macros only,
// all nitrogen as nitrate where the forms are not told.
func (r Recipe) Composition() chem.Composition {
	return compositionOf(r.Levels)
}

// compositionOf turns levels into ions. Nitrogen without a form is nitrate;
// trace metals stay out.
func compositionOf(l Levels) chem.Composition {
	mmol := func(n Nutrient) unit.MolarConcentration {
		return unit.MolarConcentration(l[n].MilligramsPerLitre() / n.Element().Weight())
	}
	c := chem.Composition{Ca: mmol(Calcium), Mg: mmol(Magnesium), Na: mmol(Sodium), K: mmol(Potassium), NH4: mmol(AmmoniumN),
		NO3: mmol(NitrateN), Cl: mmol(Chlorine), SO4: mmol(Sulfur), P: mmol(Phosphorus), B: mmol(Boron), Si: mmol(Silicon)}
	if l[NitrateN]+l[AmmoniumN]+l[UreaN] == 0 {
		c.NO3 = mmol(Nitrogen)
	}
	return c
}
