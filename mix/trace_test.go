package mix

import (
	"testing"

	"pgregory.net/rapid"

	"raftwright/chem"
	"raftwright/unit"
)

// Zinc and copper sulfate would bring a recipe without zinc and copper its
// sulfur, and 12 mg/L of each metal: FAO Paper 29 holds 2 and 0.2 for the most.
func TestTraceSaltsAreNoSulfur(t *testing.T) {
	shelf := shelfOf(t, "calcium nitrate", "potassium nitrate", "monopotassium phosphate", "magnesium nitrate", "zinc sulfate heptahydrate", "copper sulfate")
	m := solve(t, Job{Shelf: shelf, Target: Target{Recipe: "yamazaki_lettuce"}})
	if m.Achieved[Zinc] != 0 || m.Achieved[Copper] != 0 {
		t.Errorf("zinc %v, copper %v that nobody asked for", m.Achieved[Zinc].MilligramsPerLitre(), m.Achieved[Copper].MilligramsPerLitre())
	}
	told := 0
	for _, f := range m.Findings {
		if f.ID == FindNotAsked {
			told++
		}
	}
	if told != 2 {
		t.Errorf("%d products are said to be left out, want 2", told)
	}
	// Wished for, they come back, but not as sulfur.
	m = solve(t, Job{Shelf: shelf, Target: Target{Recipe: "steiner_1984"}})
	if z, c := m.Achieved[Zinc].MilligramsPerLitre(), m.Achieved[Copper].MilligramsPerLitre(); z <= 0 || z > 2*(1+1e-9) || c <= 0 || c > 0.2*(1+1e-9) {
		t.Errorf("zinc %v, copper %v", z, c)
	}
}

// A salt of the trade that is asked for by its element reaches the wish, even
// where that is more than harms: a wish is the grower's own.
func TestWishedTracesAreReached(t *testing.T) {
	for _, mgL := range []float64{0.05, 3} {
		m := solve(t, Job{Shelf: shelfOf(t, "zinc sulfate heptahydrate"), Target: Target{Figures: []Figure{{Nutrient: Zinc, Level: unit.MassConcentration(mgL) * unit.MilligramPerLitre, Given: true}}}})
		if !near(m.Achieved[Zinc].MilligramsPerLitre(), mgL, 1e-4) {
			t.Errorf("zinc %v, want %v", m.Achieved[Zinc].MilligramsPerLitre(), mgL)
		}
	}
}

// What a powder brings by the way is weighed as harm and told of, where nobody asked
// for it: 60 mg/L of phosphorus would bring 0.34 mg/L of copper, and 0.2 harms (basin
// plan, table 3-6). What a recipe as found brings is told.
func TestHarmfulTracesAreTold(t *testing.T) {
	powder := general2020()
	label := *powder.Label
	label.Stated[Copper] = States(percent(0.05))
	powder.Label = &label
	m := solve(t, Job{Shelf: []Material{powder}, Target: Target{Figures: []Figure{{Nutrient: Phosphorus, Level: 60 * unit.MilligramPerLitre, Given: true}}}})
	f, ok := hasFinding(m.Findings, FindHarm)
	if !ok || f.Args["Nutrient"] != Copper.Word() || m.Achieved[Copper].MilligramsPerLitre() > 0.21 || m.Achieved[Phosphorus].MilligramsPerLitre() < 30 {
		t.Errorf("copper %v: %v", m.Achieved[Copper].MilligramsPerLitre(), f)
	}
	zinc := shelfOf(t, "zinc sulfate heptahydrate")[0]
	c, err := RecipeJob{Portions: []Portion{{Material: general2020(), Spoons: 1}, {Material: zinc, Spoons: 1}}, Per: 5 * unit.Gallon, Target: Target{Recipe: "yamazaki_lettuce"}}.Judge(library)
	if err != nil {
		t.Fatal(err)
	}
	if _, ok := hasFinding(c.Findings, FindHarm); !ok || c.Achieved[Zinc].MilligramsPerLitre() < 50 {
		t.Errorf("a spoon of zinc sulfate in 5 gal, zinc %v: not told", c.Achieved[Zinc].MilligramsPerLitre())
	}
	if _, ok := hasFinding(c.Findings, FindNotAsked); ok {
		t.Error("what is in a recipe as found is not left out")
	}
}

// No shelf of single salts makes the mix bring more of a trace element than
// harms or is asked for.
func TestTraceSaltsNeverHarm(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		all := library.Salts.list
		var j Job
		seen := map[string]bool{}
		for _, i := range rapid.SliceOfN(rapid.IntRange(0, len(all)-1), 1, 8).Draw(t, "salts") {
			m := all[i]
			if !seen[m.Name] {
				seen[m.Name], j.Shelf = true, append(j.Shelf, m)
			}
		}
		list := library.Recipes.All()
		j.Target.Recipe = list[rapid.IntRange(0, len(list)-1).Draw(t, "recipe")].Key
		m, err := Solve(j, library)
		if err != nil {
			t.Fatal(err)
		}
		for n := Iron; n <= Molybdenum; n++ {
			most := library.Bounds(n, "").Harm.MilligramsPerLitre()
			if w := m.Recipe.Levels[n].MilligramsPerLitre(); w > most {
				most = w
			}
			if got := m.Achieved[n].MilligramsPerLitre(); got > most*(1+1e-6) {
				t.Errorf("%s: %v of %s", j.Target.Recipe, got, n)
			}
		}
	})
}

// Boron far beyond harm is told with the level that burns, not with a part of
// itself.
func TestBoronBeyondHarm(t *testing.T) {
	m := solve(t, Job{Water: Water{Ions: chem.Composition{B: 0.185}}, Shelf: fiveSalts(t), Target: Target{Recipe: "lettuce"}})
	f, ok := hasFinding(m.Findings, FindBoron)
	if !ok || f.Args["Harm"] != unit.MilligramPerLitre || f.Args["Got"].(unit.MassConcentration) < unit.MilligramPerLitre {
		t.Errorf("boron of 2 mg/L: %v", f)
	}
}

// Acid is called for where the pH stays high, not in water without a buffer
// that reads 7 and is at 5.6 the next day.
func TestAcidOnlyAgainstABuffer(t *testing.T) {
	nitrate := Job{Shelf: shelfOf(t, "potassium nitrate"), Target: Target{Figures: []Figure{{Nutrient: Potassium, Level: 100 * unit.MilligramPerLitre, Given: true}}}}
	m := solve(t, nitrate)
	if f, ok := hasFinding(m.Findings, FindHighPH); ok || m.PH < 6.9 {
		t.Errorf("pH %v: %v", m.PH, f)
	}
	nitrate.Water = hardWell()
	m = solve(t, nitrate)
	if _, ok := hasFinding(m.Findings, FindHighPH); !ok {
		t.Errorf("pH %v in hard water is not told", m.PH)
	}
}

// The readings that the mix itself gives are always well.
func TestOwnReadingsAreWell(t *testing.T) {
	ask := &AcidAsk{Name: "citric", Reagent: chem.Composition{Citrate: 1}, PH: 6, CO2: chem.AirCO2}
	for _, j := range []Job{
		{Water: hardWell(), Shelf: []Material{general2020(), epsom()}, Target: Target{Recipe: "lettuce"}, Acid: ask},
		{Water: hardWell(), Shelf: fiveSalts(t), Target: Target{Recipe: "lettuce"}},
		{Shelf: fiveSalts(t), Target: Target{Recipe: "lettuce"}},
	} {
		m := solve(t, j)
		for _, ec := range []unit.Conductivity{m.EC, m.Meters.Fresh.EC, m.Meters.Day.EC} {
			if x := ec.MillisiemensPerCentimetre(); x < m.Meters.Well.Low || x > m.Meters.Well.High {
				t.Errorf("%v mS/cm is not well: %v", x, m.Meters.Well)
			}
		}
	}
}
