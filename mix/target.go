package mix

import (
	"raftwright/finding"
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

// aim is a target worked out.
type aim struct {
	recipe  Recipe // zero for figures alone
	wishes  []Wish
	unasked []Wish // what can harm and was not asked for
	limits  []Limit
}

// aim works a target out for a crop, at so many times its strength.
func (t Target) aim(lib Library, crop string, times float64) (a aim, faults finding.Faults) {
	var levels Levels
	if t.Recipe != "" {
		a.recipe, faults = lib.Recipe("target.recipe", t.Recipe)
		levels = a.recipe.Levels
	}
	strength := float64(t.Strength)
	if strength == 0 {
		strength = 1
	}
	faults = append(faults, finding.Within("target.strength", t.Strength, 0, 10, 0.5)...)
	faults = append(faults, finding.Within("target.ec", t.EC, 0, 20*unit.MillisiemensPerCentimetre, 1.6*unit.MillisiemensPerCentimetre)...)
	// the forms of a published recipe describe it; they are no wishes
	levels[NitrateN], levels[AmmoniumN], levels[UreaN] = 0, 0, 0
	levels = levels.Times(strength)
	weights, none := [NutrientCount]float64{}, [NutrientCount]bool{}
	for n := range NutrientCount {
		weights[n] = usualWeight(n)
	}
	for _, f := range t.Figures {
		if wrong := f.check(); wrong != nil {
			faults = append(faults, wrong...)
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
		switch {
		case n == BoundN:
		case levels[n] > 0:
			a.wishes = append(a.wishes, lib.banded(Wish{Nutrient: n, Level: levels[n], Weight: weights[n]}, crop))
		default:
			if w := (Wish{Nutrient: n, Bounds: lib.Bounds(n, crop)}); w.Harm > 0 {
				a.unasked = append(a.unasked, w)
			}
		}
	}
	if len(a.wishes) == 0 && len(faults) == 0 {
		faults = append(faults, finding.Fault{ID: FaultNoTarget, Path: "target"})
	}
	a.limits = t.standing(levels, none)
	for _, l := range a.limits {
		faults = append(faults, l.check()...)
	}
	return a, faults
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

// mostLevel is more than any solution holds of a nutrient.
const mostLevel = 100 * unit.GramPerLitre

func (f Figure) check() finding.Faults {
	if faults := f.Nutrient.known(); faults != nil {
		return faults
	}
	key := finding.Path("target").Key(f.Nutrient.Key())
	return append(finding.Within(key, f.Level, 0, mostLevel/10, 150*unit.MilligramPerLitre),
		finding.Within(finding.Path("target.weights").Key(f.Nutrient.Key()), f.Weight, 0, 1000, 2)...)
}

// known gives the fault of a nutrient that is none.
func (n Nutrient) known() finding.Faults {
	return finding.Within("target", int(n), 0, int(NutrientCount)-1, int(Nitrogen))
}

func (l Limit) check() finding.Faults {
	if faults := l.Nutrient.known(); faults != nil {
		return faults
	}
	least, most := finding.Path("target.least").Key(l.Nutrient.Key()), finding.Path("target.most").Key(l.Nutrient.Key())
	faults := append(finding.Within(least, l.Least, 0, mostLevel, 60*unit.MilligramPerLitre), finding.Within(most, l.Most, 0, mostLevel, 70*unit.MilligramPerLitre)...)
	if l.MostGiven && l.Least > l.Most {
		faults = append(faults, finding.Fault{ID: FaultLeastMost, Path: most, Args: finding.Args{"Nutrient": l.Nutrient.Word(), "Least": l.Least, "Most": l.Most}})
	}
	return faults
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
