package mix

import (
	"errors"
	"fmt"
	"math"

	"raftwright/source"
	"raftwright/unit"
)

// Target is what the solution shall hold: a recipe of the library, figures by
// element, or a recipe with some figures replaced. An EC scales all of it. To
// ask for ratios only, give figures in that ratio and an EC.
type Target struct {
	Recipe   string            // key or short name; "" for figures alone
	Strength unit.Fraction     // of the recipe; 0: full, 50 % for a nursery
	EC       unit.Conductivity // wanted reading at 25 °C, the water's share included; 0: as the figures are
	Figures  []Figure
	Limits   []Limit // beside the standing limits, or in their place
}

// Figure is a wish for one nutrient. With Given false it only weighs the
// recipe's wish. A wish of 0 is a limit: none shall be added.
type Figure struct {
	Nutrient Nutrient
	Level    unit.MassConcentration
	Given    bool
	Weight   float64 // how much a miss matters; 0 shows the wish and does not mind a miss
	Weighed  bool    // false: the usual weight, 1 (iron 0.1, trace elements 0.001)
}

// Limit holds a nutrient between bounds. Zero means no bound, but for Most with
// MostGiven.
type Limit struct {
	Nutrient  Nutrient
	Least     unit.MassConcentration
	Most      unit.MassConcentration
	MostGiven bool
	Source    source.ID
}

// Standing limits for leaf crops in still beds. Ammonium: about 1 to 1.5 mmol/L
// may stand in the bed (14 to 20 mg/L N). Urea: half of the nitrogen wanted, the
// share advised in a trial in which lettuce bore 60 %. Sodium and chloride: the
// good limits of source water.
const (
	StandingAmmonium = 20 * unit.MilligramPerLitre
	StandingSodium   = 50 * unit.MilligramPerLitre
	StandingChloride = 70 * unit.MilligramPerLitre
	ureaOfNitrogen   = 0.5
)

// wish is one row of the misfit.
type wish struct {
	nutrient Nutrient
	level    unit.MassConcentration
	weight   float64
}

// aim is a target worked out.
type aim struct {
	recipe Recipe // zero for figures alone
	wishes []wish
	limits []Limit
}

// aim works a target out, at so many times its strength. The error joins every
// fault.
func (t Target) aim(times float64) (aim, error) {
	var a aim
	var faults []error
	var levels Levels
	if t.Recipe != "" {
		r, err := RecipeNamed(t.Recipe)
		if err != nil {
			faults = append(faults, err)
		}
		a.recipe, levels = r, r.Levels
	}
	strength := float64(t.Strength)
	if strength == 0 {
		strength = 1
	}
	if math.IsNaN(strength) || strength < 0 || strength > 10 {
		faults = append(faults, fmt.Errorf("a strength of %.4g %% cannot be; write for example 50 %%", 100*strength))
	}
	if ec := float64(t.EC.MillisiemensPerCentimetre()); math.IsNaN(ec) || ec < 0 || ec > 20 {
		faults = append(faults, fmt.Errorf("an EC of %.4g mS/cm cannot be wanted; write for example 1.6 mS/cm", ec))
	}
	// the forms of a published recipe describe it; they are no wishes
	levels[NitrateN], levels[AmmoniumN], levels[UreaN] = 0, 0, 0
	levels = levels.Times(strength)
	weights, none := [NutrientCount]float64{}, [NutrientCount]bool{}
	for n := range NutrientCount {
		weights[n] = usualWeight(n)
	}
	for _, f := range t.Figures {
		if err := f.check(); err != nil {
			faults = append(faults, err)
			continue
		}
		if f.Weighed {
			weights[f.Nutrient] = f.Weight
		}
		if f.Given {
			levels[f.Nutrient], none[f.Nutrient] = f.Level, f.Level == 0
		}
	}
	levels = levels.Times(times)
	for n := range NutrientCount {
		if levels[n] <= 0 || n == BoundN {
			continue
		}
		a.wishes = append(a.wishes, wish{n, levels[n], weights[n]})
	}
	if len(a.wishes) == 0 && len(faults) == 0 {
		faults = append(faults, errors.New("the target asks for nothing; write for example recipe: lettuce, or nitrogen: 150 mg/L"))
	}
	a.limits = t.standing(levels, none)
	for _, l := range a.limits {
		if err := l.check(); err != nil {
			faults = append(faults, err)
		}
	}
	return a, errors.Join(faults...)
}

// usualWeight is 1 for what plants eat by the gram. Trace elements weigh little,
// so that they are met where a product is there for them, and cannot hold back
// the powder that brings them by the way: a label's copper is ten times a
// recipe's. Iron, which a crop misses first, weighs a tenth.
func usualWeight(n Nutrient) float64 {
	switch {
	case n == Iron:
		return 0.1
	case n.IsMicro():
		return 0.001
	}
	return 1
}

func (f Figure) check() error {
	switch v := f.Level.MilligramsPerLitre(); {
	case f.Nutrient < 0 || f.Nutrient >= NutrientCount:
		return errors.New("a figure is for no nutrient that is known")
	case math.IsNaN(v) || v < 0 || v > 10000:
		return fmt.Errorf("%.4g mg/L of %s cannot be wanted; write for example 150 mg/L", v, f.Nutrient)
	case math.IsNaN(f.Weight) || f.Weight < 0 || f.Weight > 1000:
		return fmt.Errorf("a weight of %.4g for %s cannot be; 1 is usual, 2 matters twice as much", f.Weight, f.Nutrient)
	}
	return nil
}

func (l Limit) check() error {
	least, most := l.Least.MilligramsPerLitre(), l.Most.MilligramsPerLitre()
	switch {
	case l.Nutrient < 0 || l.Nutrient >= NutrientCount:
		return errors.New("a limit is for no nutrient that is known")
	case math.IsNaN(least) || math.IsNaN(most) || least < 0 || most < 0 || least > 1e5 || most > 1e5:
		return fmt.Errorf("the limits of %s cannot be; write for example at most 70 mg/L", l.Nutrient)
	case l.MostGiven && least > most:
		return fmt.Errorf("%s shall be at least %.4g and at most %.4g mg/L; both cannot be", l.Nutrient, least, most)
	}
	return nil
}

// standing joins the standing limits with the target's own, which take their
// place. A nutrient that is wished for may go where the wish is.
func (t Target) standing(levels Levels, none [NutrientCount]bool) []Limit {
	out := []Limit{
		{Nutrient: AmmoniumN, Most: max(StandingAmmonium, levels[AmmoniumN]), MostGiven: true, Source: "nh4_study"},
		{Nutrient: UreaN, Most: max(levels[Nitrogen]*ureaOfNitrogen, levels[UreaN]), MostGiven: levels[Nitrogen] > 0, Source: "urea_ratio_study"},
		{Nutrient: Sodium, Most: max(StandingSodium, levels[Sodium]), MostGiven: true, Source: "mattson_peters"},
		{Nutrient: Chlorine, Most: max(StandingChloride, levels[Chlorine]), MostGiven: true, Source: "mattson_peters"},
	}
	for n := range NutrientCount {
		if none[n] {
			out = replaceLimit(out, Limit{Nutrient: n, MostGiven: true, Source: source.Given})
		}
	}
	for _, l := range t.Limits {
		if l.Source == "" {
			l.Source = source.Given
		}
		out = replaceLimit(out, l)
	}
	return out
}

func replaceLimit(list []Limit, l Limit) []Limit {
	for i := range list {
		if list[i].Nutrient == l.Nutrient {
			list[i] = l
			return list
		}
	}
	return append(list, l)
}
