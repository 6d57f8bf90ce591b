package mix

import (
	"math"
	"slices"
	"strings"
	"testing"

	"raftwright/chem"
	"raftwright/finding"
	"raftwright/unit"
)

func hasFinding(list []finding.Finding, id finding.ID) (finding.Finding, bool) {
	for _, f := range list {
		if f.ID == id {
			return f, true
		}
	}
	return finding.Finding{}, false
}

// tradeRecipe is the trade's two measures a gallon, with spoons of 4.93 g
// (common practice, no source; arithmetic in the horticulture reference, row
// trade_202020).
func tradeRecipe() []Portion {
	powder := Material{Name: "complete fertiliser", Label: &Label{Grade: Grade{percent(20), percent(20), percent(20), true}}, LevelTeaspoon: 4.93 * unit.Gram}
	salt := epsom()
	salt.LevelTeaspoon = 4.93 * unit.Gram
	return []Portion{{Material: powder, Spoons: 2}, {Material: salt, Spoons: 1}}
}

func TestTradeRecipeComesOutRight(t *testing.T) {
	c, err := RecipeJob{Portions: tradeRecipe(), Per: unit.Gallon}.Judge(library)
	if err != nil {
		t.Fatal(err)
	}
	for n, want := range map[Nutrient]float64{Nitrogen: 521, Phosphorus: 227, Potassium: 432, Calcium: 0, Magnesium: 128, Sulfur: 169, NitrateN: 156, AmmoniumN: 104, UreaN: 260} {
		if got := c.Achieved[n].MilligramsPerLitre(); math.Abs(got-want) > 1 {
			t.Errorf("%s is %.1f mg/L, want %.0f", n, got, want)
		}
	}
	times := map[Nutrient][2]float64{Nitrogen: {3.4, 3.6}, Phosphorus: {7, 7.5}, Magnesium: {5, 5.6}, Calcium: {0, 0}}
	for _, w := range c.Wishes {
		if r, ok := times[w.Nutrient]; ok {
			if x := float64(w.Achieved / w.Level); x < r[0] || x > r[1] {
				t.Errorf("%s is %.2f times the lettuce recipe, want %v", w.Nutrient, x, r)
			}
		}
	}
	if math.Abs(float64(c.Nitrogen.Urea)-0.5) > 0.01 {
		t.Errorf("urea is %.3f of the nitrogen", c.Nitrogen.Urea)
	}
	// 2.604 g/L at 890 uS/cm a g/L (chemistry reference, section 9: the first
	// gram), less some for strength, and 1.30 g/L Epsom salt
	if ec := c.EC.MillisiemensPerCentimetre(); ec < 2.5 || ec > 3.1 {
		t.Errorf("EC %.2f mS/cm, want 2.5 to 3.1", ec)
	}
	for _, id := range []finding.ID{FindNoCalcium, FindStrong, FindAmmonium, FindUrea, FindUreaLater, FindBlindEC, FindSalty, FindSpoonDoubt, FindOverLimit} {
		if _, ok := hasFinding(c.Findings, id); !ok {
			t.Errorf("nothing is said of %s", id)
		}
	}
	for _, id := range []finding.ID{AssumeSplit, AssumeTarget} {
		if !slices.ContainsFunc(c.Assumptions, func(a finding.Assumption) bool { return a.ID == id }) {
			t.Errorf("the assumption %s is not listed", id)
		}
	}
	if c.NBand.Low > 500 || c.NBand.High < 540 {
		t.Errorf("spoons are not exact, but N is %v", c.NBand)
	}
	if c.Mend == nil || c.Mend.Misfit >= c.Misfit {
		t.Fatalf("no mend is better than %.2f: %+v", c.Misfit, c.Mend)
	}
	hard, err := RecipeJob{Water: hardWell(), Portions: tradeRecipe(), Per: unit.Gallon}.Judge(library)
	if err != nil {
		t.Fatal(err)
	}
	if _, ok := hasFinding(hard.Findings, FindNoCalcium); ok {
		t.Error("the hard well brings 88 mg/L calcium; there is enough")
	}
	if f, ok := hasFinding(hard.Findings, FindClouds); !ok || f.Args["Solid"] != finding.Word("word.calcium_phosphate") {
		t.Errorf("in hard water calcium phosphate can fall out (chemistry reference, table e, SI_DCPD above 0): %v", f)
	}
}

func TestBakingSodaDoesNotSoften(t *testing.T) {
	soda, _ := library.Material("baking soda")
	powder := tradeRecipe()[0]
	powder.Spoons = 1
	with, err := RecipeJob{Water: hardWell(), Portions: []Portion{powder, {Material: soda, Mass: 4.6 * unit.Gram}}, Per: unit.Gallon}.Judge(library)
	if err != nil {
		t.Fatal(err)
	}
	without, err := RecipeJob{Water: hardWell(), Portions: []Portion{powder}, Per: unit.Gallon}.Judge(library)
	if err != nil {
		t.Fatal(err)
	}
	f, ok := hasFinding(with.Findings, FindSodiumBase)
	if !ok {
		t.Fatal("nothing is said of the soda")
	}
	// 4.6 g x 99 % NaHCO3 in 3.785 L: 14.32 mmol/L; Na 329 mg/L, 717 mg/L CaCO3 (hand sum)
	if na := f.Args["Sodium"].(unit.MassConcentration).MilligramsPerLitre(); !near(na, 329, 0.01) {
		t.Errorf("soda adds %.0f mg/L sodium, want 329", na)
	}
	if a := f.Args["Alkalinity"].(unit.MassConcentration).MilligramsPerLitre(); !near(a, 717, 0.01) {
		t.Errorf("soda adds %.0f mg/L alkalinity, want 717", a)
	}
	if with.Achieved[Calcium] != without.Achieved[Calcium] || with.PH <= without.PH {
		t.Errorf("calcium %v and %v, pH %.2f and %.2f", with.Achieved[Calcium], without.Achieved[Calcium], with.PH, without.PH)
	}
}

func TestRecipesThatAreRightAreLeftAlone(t *testing.T) {
	shelf := shelfOf(t, "calcium nitrate", "potassium nitrate", "monopotassium phosphate", "Epsom salt", "iron EDTA")
	m, err := Solve(Job{Shelf: shelf, Target: Target{Recipe: "lettuce"}}, library)
	if err != nil {
		t.Fatal(err)
	}
	r := RecipeJob{Per: 5 * unit.Gallon}
	for _, d := range m.Doses {
		r.Portions = append(r.Portions, Portion{Material: shelf[d.Shelf], Mass: d.Strength.In(r.Per)})
	}
	c, err := r.Judge(library)
	if err != nil {
		t.Fatal(err)
	}
	if c.Mend != nil || len(c.Mends) > 0 || math.Abs(c.Misfit-m.Misfit) > 1e-9 || math.Abs(float64(c.EC-m.EC)) > 1e-9 {
		t.Errorf("misfit %v and %v, mend %+v", c.Misfit, m.Misfit, c.Mend)
	}
	for _, d := range c.Doses {
		if d.Spread != 0 {
			t.Errorf("%s was weighed, its spread is %v", d.Product, d.Spread)
		}
	}
}

func TestSmallestMendComesFirst(t *testing.T) {
	shelf := shelfOf(t, "calcium nitrate", "potassium nitrate", "monopotassium phosphate", "Epsom salt")
	m, err := Solve(Job{Shelf: shelf, Target: Target{Recipe: "lettuce"}}, library)
	if err != nil {
		t.Fatal(err)
	}
	portions := func(change func(i int, mass unit.Mass) unit.Mass) []Portion {
		var out []Portion
		for i, d := range m.Doses {
			if mass := change(i, d.Strength.In(unit.Gallon)); mass > 0 {
				out = append(out, Portion{Material: shelf[d.Shelf], Mass: mass})
			}
		}
		return out
	}
	cases := []struct {
		name     string
		portions []Portion
		kind     MendKind
		factor   float64
		product  string
	}{
		{"twice as strong", portions(func(_ int, g unit.Mass) unit.Mass { return 2 * g }), MendStrength, 0.5, ""},
		{"five times the Epsom salt", portions(func(i int, g unit.Mass) unit.Mass {
			if i == 3 {
				return 5 * g
			}
			return g
		}), MendOne, 0.2, "Epsom salt"},
		{"no calcium nitrate", portions(func(i int, g unit.Mass) unit.Mass {
			if i == 0 {
				return 0
			}
			return g
		}), MendAdd, 0, "calcium nitrate"},
	}
	for _, c := range cases {
		got, err := RecipeJob{Portions: c.portions, Per: unit.Gallon}.Judge(library)
		if err != nil {
			t.Fatal(err)
		}
		if got.Mend == nil || got.Mend.Kind != c.kind || got.Mend.Product != c.product || !got.Mend.Mends {
			t.Errorf("%s: mended by %+v", c.name, got.Mend)
			continue
		}
		if c.factor > 0 && math.Abs(got.Mend.Factor-c.factor) > 0.01 {
			t.Errorf("%s: factor %.3f, want %.2f", c.name, got.Mend.Factor, c.factor)
		}
		for _, d := range got.Mend.Doses {
			if c.kind == MendAdd && d.Product == c.product && !(d.Mass.Grams() > 1.5 && d.Mass.Grams() < 2.5) {
				t.Errorf("%s: add %.2f g a gallon, want about 1.9", c.name, d.Mass.Grams())
			}
		}
	}
}

func TestRecipesThatCannotBeRead(t *testing.T) {
	ok := tradeRecipe()
	cases := []struct {
		job  RecipeJob
		says string
	}{
		{RecipeJob{}, "fault.range at found.per"},
		{RecipeJob{Per: unit.Gallon}, "mix.fault.no_amounts at found"},
		{RecipeJob{Per: unit.Gallon, Portions: []Portion{{Material: epsom()}}}, "mix.fault.amount at found.amounts.a"},
		{RecipeJob{Per: unit.Gallon, Portions: []Portion{{Material: epsom(), Spoons: 1, Mass: unit.Gram}}}, "mix.fault.amount at found.amounts.a"},
		{RecipeJob{Per: unit.Gallon, Portions: []Portion{{Material: epsom(), Liquid: unit.Litre}}}, "mix.fault.density at shelf[0].density"},
		{RecipeJob{Per: unit.Gallon, Portions: []Portion{{Material: epsom(), Spoons: math.NaN()}}}, "fault.range at found.amounts.a"},
		{RecipeJob{Per: unit.Gallon, Portions: []Portion{{Material: epsom(), Mass: -1}}}, "fault.range at found.amounts.a"},
		{RecipeJob{Per: unit.Gallon, Portions: []Portion{{Material: Material{Name: "x"}, Mass: unit.Gram}}}, "mix.fault.nothing at shelf[0].label"},
		{RecipeJob{Per: unit.Gallon, Portions: ok, Target: Target{Recipe: "letuce"}}, "mix.fault.recipe at target.recipe"},
	}
	for _, c := range cases {
		c.job.Path = "found"
		for i := range c.job.Portions {
			c.job.Portions[i].Path, c.job.Portions[i].Material.Path = "found.amounts.a", "shelf[0]"
		}
		_, err := c.job.Judge(library)
		if err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%v, want %q", err, c.says)
		}
	}
}

func TestBedsAreMended(t *testing.T) {
	shelf := shelfOf(t, "calcium nitrate", "potassium nitrate", "monopotassium phosphate", "Epsom salt")
	volume := 100 * unit.Gallon
	m, err := Solve(Job{Shelf: shelf, Target: Target{Recipe: "lettuce"}, Bed: volume}, library)
	if err != nil {
		t.Fatal(err)
	}
	added := func(factor float64, skip int) []Portion {
		var out []Portion
		for i, d := range m.Doses {
			if i != skip {
				out = append(out, Portion{Material: shelf[d.Shelf], Mass: unit.Mass(factor) * d.PerBed})
			}
		}
		return out
	}
	double, err := BedJob{Volume: volume, Added: added(2, -1), Shelf: shelf, Target: Target{Recipe: "lettuce"}}.Mend(library)
	if err != nil {
		t.Fatal(err)
	}
	// a double dose: half of the bed for plain water, and the meter reads as the right mix
	// does; iron and traces, of which there are none, keep the rest of the misfit
	if math.Abs(float64(double.Share)-0.5) > 0.03 || math.Abs(float64(double.Right/m.EC)-1) > 0.06 || double.MisfitAfter > 0.8*double.MisfitBefore {
		t.Errorf("double dose: replace %.3f, EC %v after, %v right, misfit %v to %v", double.Share, double.Right, m.EC, double.MisfitBefore, double.MisfitAfter)
	}
	forgot, err := BedJob{Volume: volume, Added: added(1, 0), Shelf: shelf, Target: Target{Recipe: "lettuce"}}.Mend(library)
	if err != nil {
		t.Fatal(err)
	}
	if forgot.Share > 0.01 || len(forgot.Add) == 0 || forgot.Add[0].Product != "calcium nitrate" || !near(float64(forgot.Add[0].Mass), float64(m.Doses[0].PerBed), 0.02) {
		t.Errorf("calcium nitrate was forgotten: replace %.3f, add %+v", forgot.Share, forgot.Add)
	}
	// what is in the bed afterwards is what is left, fresh water, and what is added
	sum := double.Before.Times(1 - float64(double.Share))
	for _, a := range double.Add {
		lib, _ := library.Material(a.Product)
		sum = sum.Add(contents(t, lib).Shares.At(a.Mass.Per(volume)))
	}
	for n := range NutrientCount {
		if math.Abs(float64(sum[n]-double.After[n])) > 1e-12 {
			t.Errorf("%s: %v by hand, %v said", n, sum[n], double.After[n])
		}
	}
	if _, err := (BedJob{Volume: volume}).Mend(library); err == nil {
		t.Error("an empty bed has nothing to mend")
	}
}

func TestReplaceForEC(t *testing.T) {
	mS := unit.MillisiemensPerCentimetre
	v, err := ReplaceForEC("amiss.wanted", 3*mS, 1.6*mS, 0.2*mS, 100*unit.Gallon)
	if err != nil || math.Abs(v.Gallons()-50) > 1e-9 { // (3 - 1.6) / (3 - 0.2)
		t.Errorf("replace %.2f gal, %v", v.Gallons(), err)
	}
	if v, err := ReplaceForEC("amiss.wanted", 1.5*mS, 1.6*mS, 0.2*mS, 100*unit.Gallon); v != 0 || err != nil {
		t.Errorf("a weak bed: %v, %v", v, err)
	}
	if _, err := ReplaceForEC("amiss.wanted", 3*mS, 0.4*mS, 0.5*mS, 100*unit.Gallon); err == nil || err[0].ID != FaultThin {
		t.Errorf("salty water: %v", err)
	}
	// against the chemistry: half a strong mix and half water
	k, _ := chem.At(25)
	strong := chem.Composition{Ca: 4.5, Mg: 2, K: 14, NO3: 20, P: 2, SO4: 2.5}
	a, _ := k.Closed(strong)
	b, _ := k.Closed(chem.Composition{})
	half, _ := k.Closed(strong.Times(0.5))
	v, err = ReplaceForEC("amiss.wanted", a.Conductivity, half.Conductivity, b.Conductivity, 1)
	if err != nil || math.Abs(float64(v)-0.5) > 0.05 {
		t.Errorf("a blend of halves: replace %.3f", v)
	}
}
