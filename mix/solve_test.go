package mix

import (
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"raftwright/chem"
	"raftwright/finding"
	"raftwright/unit"
)

func fiveSalts(t testing.TB) []Material {
	return shelfOf(t, "calcium nitrate", "potassium nitrate", "monopotassium phosphate", "Epsom salt", "iron EDTA")
}

func solve(t testing.TB, j Job) Mix {
	t.Helper()
	m, err := Solve(j, library)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

const mS = unit.MillisiemensPerCentimetre

func TestRecipeFromSaltsInPureWater(t *testing.T) {
	m := solve(t, Job{Shelf: fiveSalts(t), Target: Target{Recipe: "lettuce"}})
	for _, w := range m.Wishes {
		if !w.Nutrient.IsMicro() && (w.Miss() < -0.01 || w.Fit() != fine) || w.Nutrient == Iron && math.Abs(w.Miss()) > 1e-4 {
			t.Errorf("%s misses by %.3f", w.Nutrient, w.Miss())
		}
	}
	if !m.Proven || !m.GridProven || m.Recipe.Key != "modified_sonneveld_lettuce" {
		t.Errorf("proven %v, recipe %s", m.Proven, m.Recipe.Key)
	}
	if f, ok := hasFinding(m.Findings, FindFromMemory); !ok || f.Severity != finding.Note {
		t.Error("the recipe's figures are from memory; it is not said")
	}
	if m.TopUp.Nitrogen.MilligramsPerLitre() > 135+1e-9 || m.TopUp.Share <= 0 || m.TopUp.Share > 1 { // 45 mg/g x 3.0 g/L
		t.Errorf("top up %+v", m.TopUp)
	}
}

func TestECScalesARecipe(t *testing.T) {
	for _, want := range []float64{0.9, 1.2, 1.6, 2.4} {
		for _, w := range []Water{{}, hardWell()} {
			m := solve(t, Job{Water: w, Shelf: fiveSalts(t), Target: Target{Recipe: "lettuce", EC: unit.Conductivity(want) * mS}})
			if math.Abs(m.EC.MillisiemensPerCentimetre()-want) > 1e-5 {
				t.Errorf("EC %.6f, want %.1f", m.EC.MillisiemensPerCentimetre(), want)
			}
			if !m.StrengthSet || m.Strength <= 0 {
				t.Errorf("strength %v", m.Strength)
			}
		}
	}
	ratio := solve(t, Job{Shelf: fiveSalts(t), Target: Target{EC: 1.5 * mS, Figures: []Figure{
		{Nutrient: Nitrogen, Level: 1e-3, Given: true}, {Nutrient: Phosphorus, Level: 0.2e-3, Given: true}, {Nutrient: Potassium, Level: 1.4e-3, Given: true},
		{Nutrient: Calcium, Level: 0.6e-3, Given: true}, {Nutrient: Magnesium, Level: 0.16e-3, Given: true}}}})
	if math.Abs(ratio.EC.MillisiemensPerCentimetre()-1.5) > 1e-5 || !near(float64(ratio.Achieved[Magnesium]/ratio.Achieved[Calcium]), 0.16/0.6, 0.15) {
		t.Errorf("a ratio at an EC: %.4f mS/cm", ratio.EC.MillisiemensPerCentimetre())
	}
	// two sets of products take turns here: one is kept, and the EC is had
	turns := solve(t, Job{Water: hardWell(), Shelf: fifteen(t), MostProducts: 4, Target: Target{Recipe: "lettuce", EC: 1.8 * mS}, Acid: &AcidAsk{Name: "a", Reagent: chem.Composition{SO4: 1}, PH: 5.8}})
	if math.Abs(turns.EC.MillisiemensPerCentimetre()-1.8) > 1e-4 || math.Abs(turns.PH-5.8) > 1e-3 {
		t.Errorf("EC %.5f, pH %.4f, proven %v", turns.EC.MillisiemensPerCentimetre(), turns.PH, turns.Proven)
	}
	weighed := solve(t, Job{Water: hardWell(), Shelf: fifteen(t), MostProducts: 4, Measure: Measure{Scale, unit.Gram}, Target: Target{Recipe: "lettuce", EC: 1.8 * mS}})
	if math.Abs(weighed.EC.MillisiemensPerCentimetre()-1.8) > 0.1 {
		t.Errorf("weighed on a scale of 1 g: EC %.3f", weighed.EC.MillisiemensPerCentimetre())
	}
	low := solve(t, Job{Water: hardWell(), Shelf: fiveSalts(t), Target: Target{Recipe: "lettuce", EC: 0.3 * mS}})
	if _, ok := hasFinding(low.Findings, FindNoEC); !ok {
		t.Errorf("a hard well cannot make 0.3 mS/cm; got %v and no word", low.EC)
	}
}

func TestAcidGoesInBeforeTheRest(t *testing.T) {
	ask := &AcidAsk{Name: "phosphoric acid", Reagent: chem.Composition{P: 1}, PH: 5.8}
	m := solve(t, Job{Water: hardWell(), Shelf: fiveSalts(t), Target: Target{Recipe: "lettuce"}, Acid: ask})
	if math.Abs(m.PH-5.8) > 1e-3 || m.Acid.Dose <= 1 {
		t.Errorf("pH %.4f with %v mmol/L", m.PH, m.Acid.Dose)
	}
	brought := m.Acid.Brings[Phosphorus].MilligramsPerLitre()
	if !near(brought, float64(m.Acid.Dose)*30.974, 1e-9) {
		t.Errorf("the acid brings %.2f mg/L P", brought)
	}
	// the acid alone is beyond the recipe's phosphorus, so no phosphate goes in
	if _, used := slices.BinarySearch([]string{}, ""); used || slices.ContainsFunc(m.Doses, func(d Dose) bool { return d.Product == "monopotassium phosphate" }) {
		t.Errorf("phosphate beside %.0f mg/L from the acid", brought)
	}
	open := *ask
	open.Reagent, open.CO2 = chem.Composition{SO4: 1}, chem.AirCO2
	o := solve(t, Job{Water: hardWell(), Shelf: fiveSalts(t), Target: Target{Recipe: "lettuce"}, Acid: &open})
	if math.Abs(o.PH-5.8) > 1e-3 || math.Abs(o.Meters.Day.PH-5.8) > 1e-3 {
		t.Errorf("in air: pH %.4f, after a day %.4f", o.PH, o.Meters.Day.PH)
	}
	closed := open
	closed.CO2 = 0
	c := solve(t, Job{Water: hardWell(), Shelf: fiveSalts(t), Target: Target{Recipe: "lettuce"}, Acid: &closed})
	if !(c.Acid.Dose < o.Acid.Dose) || !(c.Meters.Day.PH > 6.5) {
		t.Errorf("closed %v, open %v mmol/L; after a day pH %.2f: it climbs as the CO2 leaves", c.Acid.Dose, o.Acid.Dose, c.Meters.Day.PH)
	}
	wrong := *ask
	wrong.Reagent = chem.Composition{K: 1}
	w := solve(t, Job{Water: hardWell(), Shelf: fiveSalts(t), Target: Target{Recipe: "lettuce"}, Acid: &wrong})
	if _, ok := hasFinding(w.Findings, FindNoAcid); !ok || w.Acid.Dose != 0 || w.Acid.Err == nil {
		t.Errorf("a base does not lower the pH: %+v", w.Acid)
	}
}

func TestStandingLimits(t *testing.T) {
	m := solve(t, Job{Shelf: []Material{general2020(), epsom()}, Target: Target{Recipe: "lettuce"}})
	if a := m.Achieved[AmmoniumN].MilligramsPerLitre(); a > 20+1e-6 {
		t.Errorf("ammonium nitrogen stands at %.2f mg/L", a)
	}
	free := Limit{Nutrient: AmmoniumN, Most: 1, MostGiven: true}
	strict := Limit{Nutrient: AmmoniumN, Most: 5 * unit.MilligramPerLitre, MostGiven: true}
	looser := solve(t, Job{Shelf: []Material{general2020(), epsom()}, Target: Target{Recipe: "hoagland", Limits: []Limit{free, {Nutrient: UreaN, Most: 1, MostGiven: true}}}})
	tighter := solve(t, Job{Shelf: []Material{general2020(), epsom()}, Target: Target{Recipe: "hoagland", Limits: []Limit{strict}}})
	if !(tighter.Achieved[AmmoniumN] <= 5.0001*unit.MilligramPerLitre && looser.Achieved[AmmoniumN] > tighter.Achieved[AmmoniumN] && looser.Misfit < tighter.Misfit) {
		t.Errorf("limits %v and %v: misfit %v and %v", looser.Achieved[AmmoniumN], tighter.Achieved[AmmoniumN], looser.Misfit, tighter.Misfit)
	}
	held := solve(t, Job{Shelf: []Material{general2020(), epsom()}, Target: Target{Recipe: "sonneveld_straver_lettuce"}})
	if _, ok := hasFinding(held.Findings, FindHeldBack); !ok {
		t.Error("the ammonium limit holds the powder back; it is not said")
	}
	none := solve(t, Job{Shelf: []Material{general2020(), fiveSalts(t)[0]}, Target: Target{Recipe: "lettuce", Figures: []Figure{{Nutrient: UreaN, Given: true}}}})
	if none.Achieved[UreaN] > 0 {
		t.Errorf("no urea is wanted, %v is in", none.Achieved[UreaN])
	}
}

func TestHardLimitsThatCannotBeKept(t *testing.T) {
	shelf := shelfOf(t, "potassium nitrate", "Epsom salt")
	least := solve(t, Job{Shelf: shelf, Target: Target{Recipe: "lettuce", Limits: []Limit{{Nutrient: Calcium, Least: 60 * unit.MilligramPerLitre}}}})
	f, ok := hasFinding(least.Findings, FindLimitBroken)
	if !ok || f.Severity != finding.Stop || f.Args["Nutrient"] != finding.Word("nutrient.ca") {
		t.Errorf("no calcium on the shelf and 60 mg/L demanded: %v", least.Findings)
	}
	if len(least.Doses) == 0 {
		t.Error("the best that can be done is still told")
	}
	salty := hardWell()
	salty.Ions.Na, salty.Ions.Cl = 6, 6
	given := solve(t, Job{Water: salty, Shelf: shelf, Target: Target{Recipe: "lettuce", Limits: []Limit{{Nutrient: Sodium, Most: 50 * unit.MilligramPerLitre, MostGiven: true}}}})
	if f, ok := hasFinding(given.Findings, FindLimitBroken); !ok || f.Severity != finding.Stop {
		t.Error("the water alone breaks a limit that was set; it is not a stop")
	}
	usual := solve(t, Job{Water: salty, Shelf: fiveSalts(t), Target: Target{Recipe: "lettuce"}})
	if finding.Worst(usual.Findings) == finding.Stop {
		t.Error("a standing limit that the water breaks is a caution, not a stop")
	}
	if _, ok := hasFinding(usual.Findings, FindWaterBeyond); !ok {
		t.Error("138 mg/L sodium in the water: nothing said")
	}
	kept := solve(t, Job{Shelf: fiveSalts(t), Target: Target{Recipe: "yamazaki_lettuce", Limits: []Limit{{Nutrient: Calcium, Least: 60 * unit.MilligramPerLitre}, {Nutrient: Magnesium, Least: 20 * unit.MilligramPerLitre}}}})
	if kept.Achieved[Calcium] < 60*unit.MilligramPerLitre*(1-1e-9) || kept.Achieved[Magnesium] < 20*unit.MilligramPerLitre*(1-1e-9) || finding.Worst(kept.Findings) == finding.Stop {
		t.Errorf("calcium %v, magnesium %v", kept.Achieved[Calcium], kept.Achieved[Magnesium])
	}
}

func TestProductLimitAndBudget(t *testing.T) {
	shelf := fiveSalts(t)
	shelf[1].Limit = 0.1 // g/L of potassium nitrate
	for i := range shelf {
		shelf[i].Price, shelf[i].Pack, shelf[i].Currency = 10, unit.Kilogram, "USD"
	}
	free := solve(t, Job{Shelf: shelf, Target: Target{Recipe: "lettuce"}, Bed: 400 * unit.Litre, Heads: 32})
	for _, d := range free.Doses {
		if d.Product == "potassium nitrate" && d.Strength > 0.1+1e-12 {
			t.Errorf("%v g/L beyond the product's limit", d.Strength)
		}
	}
	sum := 0.0
	for _, d := range free.Doses {
		sum += 10 * d.Strength.GramsPerLitre() // 0.01 USD a gram, 1000 L
	}
	if !near(free.Cost.Per1000L, sum, 1e-12) || free.Cost.Currency != "USD" || !near(free.Cost.PerHead*32, free.Cost.PerBed, 1e-12) || !near(free.Cost.PerBed, sum*0.4, 1e-12) {
		t.Errorf("cost %+v, want %v for 1000 L", free.Cost, sum)
	}
	tight := solve(t, Job{Shelf: shelf, Target: Target{Recipe: "lettuce"}, Budget: sum / 2})
	if tight.Cost.Per1000L > sum/2*(1+1e-9) || tight.Misfit <= free.Misfit {
		t.Errorf("half the money buys %v for %v, misfit %v", tight.Cost.Per1000L, sum/2, tight.Misfit)
	}
}

// Two bags of the same salt: the cheaper one is taken.
func TestCostDecidesBetweenEquals(t *testing.T) {
	shelf := fiveSalts(t)
	for i := range shelf {
		shelf[i].Price, shelf[i].Pack = 10, unit.Kilogram
	}
	dear, cheap := shelf[3], shelf[3]
	dear.Name, dear.Price, cheap.Name, cheap.Price = "dear", 30, "cheap", 5
	for _, order := range [][]Material{{dear, cheap}, {cheap, dear}} {
		m := solve(t, Job{Shelf: append(slices.Clone(shelf[:3]), order...), Target: Target{Recipe: "lettuce"}})
		for _, d := range m.Doses {
			if d.Product == "dear" {
				t.Errorf("%v g/L of the dear one", d.Strength)
			}
		}
	}
	one := solve(t, Job{Shelf: append(slices.Clone(shelf[:3]), dear, cheap), Target: Target{Recipe: "lettuce"}, Measure: Measure{Scale, unit.Gram}, MostProducts: 4})
	if slices.ContainsFunc(one.Doses, func(d Dose) bool { return d.Product == "dear" }) {
		t.Error("rounded to steps, the dear one is taken")
	}
}

func TestUnpricedIsSaid(t *testing.T) {
	shelf := fiveSalts(t)
	shelf[0].Price, shelf[0].Pack = 10, unit.Kilogram
	m := solve(t, Job{Shelf: shelf, Target: Target{Recipe: "lettuce"}})
	if len(m.Cost.Unpriced) != 4 || !m.Cost.PricedPart {
		t.Errorf("cost %+v", m.Cost)
	}
	if _, ok := hasFinding(m.Findings, FindNoPrice); !ok {
		t.Error("part of the cost is missing; it is not said")
	}
}

func TestShelvesThatCannotReach(t *testing.T) {
	empty := solve(t, Job{Target: Target{Recipe: "lettuce"}})
	if _, ok := hasFinding(empty.Findings, FindEmptyShelf); !ok || len(empty.Doses) != 0 || math.Abs(empty.Misfit-1) > 1e-9 {
		t.Errorf("empty shelf: misfit %v, %v", empty.Misfit, empty.Findings)
	}
	one := solve(t, Job{Shelf: shelfOf(t, "Epsom salt"), Target: Target{Recipe: "lettuce"}, Measure: Measure{Kind: Spoons}})
	for _, id := range []finding.ID{FindMissing, FindNoCalcium} {
		if _, ok := hasFinding(one.Findings, id); !ok {
			t.Errorf("Epsom salt alone: %s is not said", id)
		}
	}
	acid := solve(t, Job{Shelf: append(fiveSalts(t), Material{Name: "nitric acid", Formula: "HNO3", Purity: 0.67, Density: 1400}), Target: Target{Recipe: "lettuce"}})
	if _, ok := hasFinding(acid.Findings, FindAcidOnShelf); !ok || slices.ContainsFunc(acid.Doses, func(d Dose) bool { return d.Product == "nitric acid" }) {
		t.Error("an acid is dosed to a recipe")
	}
}

func TestJobsThatAreWrong(t *testing.T) {
	ok := Job{Shelf: fiveSalts(t), Target: Target{Recipe: "lettuce"}}
	cases := []struct {
		edit func(*Job)
		says string
	}{
		{func(j *Job) { j.Target = Target{} }, "mix.fault.no_target at target"},
		{func(j *Job) { j.Target.Recipe = "letuce" }, "mix.fault.recipe at target.recipe"},
		{func(j *Job) { j.Target.Recipe = "zzzzzzzz" }, "mix.fault.recipe at target.recipe"},
		{func(j *Job) { j.Target.Strength = -1 }, "fault.range at target.strength"},
		{func(j *Job) { j.Target.EC = unit.Conductivity(math.NaN()) }, "fault.range at target.ec"},
		{func(j *Job) { j.Target.EC = 50 * mS }, "fault.range at target.ec"},
		{func(j *Job) { j.Target.Figures = []Figure{{Nutrient: Nitrogen, Level: 1e9, Given: true}} }, "fault.range at target.nitrogen"},
		{func(j *Job) { j.Target.Figures = []Figure{{Nutrient: 99, Level: 1, Given: true}} }, "fault.range at target"},
		{func(j *Job) { j.Target.Figures = []Figure{{Nutrient: Nitrogen, Weight: -1, Weighed: true}} }, "fault.range at target.weights.nitrogen"},
		{func(j *Job) { j.Target.Limits = []Limit{{Nutrient: Calcium, Least: 2, Most: 1, MostGiven: true}} }, "mix.fault.least_most at target.most.calcium"},
		{func(j *Job) {
			j.Target.Limits = []Limit{{Nutrient: Calcium, Least: unit.MassConcentration(math.Inf(1))}}
		}, "fault.range at target.least.calcium"},
		{func(j *Job) { j.Bucket = unit.Volume(math.NaN()) }, "fault.range at mix.bucket"},
		{func(j *Job) { j.Bed = -1 }, "fault.range at bed"},
		{func(j *Job) { j.Stock.Volume = 1 }, "mix.fault.stock at mix.stock"},
		{func(j *Job) { j.Measure = Measure{Kind: Scale} }, "fault.range at mix.measure"},
		{func(j *Job) { j.Measure.Kind = 9 }, "fault.range at mix.measure"},
		{func(j *Job) { j.MostProducts = -2 }, "fault.range at mix.most products"},
		{func(j *Job) { j.Shelf = append(j.Shelf, j.Shelf[0]) }, "mix.fault.same_name at name"},
		{func(j *Job) { j.Shelf = make([]Material, 500) }, "fault.range at shelf"},
	}
	for _, c := range cases {
		j := ok
		j.Shelf = slices.Clone(ok.Shelf)
		c.edit(&j)
		if _, err := Solve(j, library); err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%v, want %q", err, c.says)
		}
	}
	two := ok
	two.Bucket, two.Target.Strength = -1, -1
	if _, err := Solve(two, library); err == nil || !strings.Contains(err.Error(), "bucket") || !strings.Contains(err.Error(), "strength") {
		t.Errorf("not every fault is told: %v", err)
	}
}

func TestWeights(t *testing.T) {
	shelf := shelfOf(t, "complete fertiliser 20-20-20")
	weigh := func(n Nutrient, w float64) float64 {
		m := solve(t, Job{Shelf: shelf, Target: Target{Recipe: "lettuce", Figures: []Figure{{Nutrient: n, Weight: w, Weighed: true}}, Limits: []Limit{{Nutrient: AmmoniumN, Most: 1, MostGiven: true}, {Nutrient: UreaN, Most: 1, MostGiven: true}}}})
		return float64(m.Doses[0].Strength)
	}
	if !(weigh(Potassium, 50) > weigh(Potassium, 1) && weigh(Phosphorus, 50) < weigh(Phosphorus, 1)) {
		t.Error("weight pulls towards its element")
	}
	// phosphorus alone: 0.31 g/L... 31 mg/L / (0.2 x 0.4364)
	only := solve(t, Job{Shelf: shelf, Target: Target{Figures: []Figure{{Nutrient: Phosphorus, Level: 31 * unit.MilligramPerLitre, Given: true}, {Nutrient: Nitrogen, Level: 1, Given: true, Weight: 0, Weighed: true}}}})
	if !near(float64(only.Doses[0].Strength), 0.031/(0.2*0.43643), 1e-3) {
		t.Errorf("dose for phosphorus alone is %v", only.Doses[0].Strength)
	}
}

func TestAlternatives(t *testing.T) {
	m := solve(t, Job{Shelf: fiveSalts(t), Target: Target{Recipe: "lettuce"}, Measure: Measure{Scale, unit.Gram}, MostProducts: 4})
	if len(m.Alternatives) != 2 || len(m.Alternatives[0].Doses) > 3 || len(m.Alternatives[1].Doses) > 2 {
		t.Fatalf("%d alternatives", len(m.Alternatives))
	}
	for _, a := range m.Alternatives {
		if a.Misfit < m.Misfit-1e-9 || len(a.Lost) == 0 {
			t.Errorf("an alternative of %d products with misfit %v loses %v", len(a.Doses), a.Misfit, a.Lost)
		}
	}
}

func TestOrderOfMixing(t *testing.T) {
	m := solve(t, Job{Water: hardWell(), Shelf: fiveSalts(t), Target: Target{Recipe: "sonneveld_straver_lettuce"}, Acid: &AcidAsk{Name: "sulfuric acid", Reagent: chem.Composition{SO4: 1}, PH: 5.8}})
	at := func(do OrderAction) int {
		return slices.IndexFunc(m.Order, func(s OrderStep) bool { return s.Do == do })
	}
	if !(at(FillMost) == 0 && at(AddAcid) == 1 && at(Dissolve) == 2 && at(DissolveApart) > at(Dissolve) && at(FillUp) > at(DissolveApart) && at(ReadMeters) == len(m.Order)-1) {
		t.Errorf("order %v", m.Order)
	}
	if f, ok := hasFinding(m.Findings, FindApart); !ok || f.Args["First"] != "calcium nitrate" {
		t.Errorf("nothing is said of what must not meet: %v", f)
	}
	if m.Order[at(DissolveApart)].Product != "calcium nitrate" {
		t.Errorf("apart stands %s", m.Order[at(DissolveApart)].Product)
	}
}

func TestTwoTanks(t *testing.T) {
	m := solve(t, Job{Shelf: append(fiveSalts(t), shelfOf(t, "potassium sulfate")...), Target: Target{Recipe: "steiner"}, Stock: Stock{5 * unit.Gallon, 100}})
	if m.Stock == nil || len(m.Stock.Tanks) != 2 || !m.Stock.Fits {
		t.Fatalf("stock %+v", m.Stock)
	}
	for _, tank := range m.Stock.Tanks {
		calcium, other := false, false
		for _, item := range tank.Items {
			calcium = calcium || strings.Contains(item.Product, "calcium")
			other = other || item.Product == "Epsom salt" || item.Product == "monopotassium phosphate" || item.Product == "potassium sulfate"
			// what the injector thins a hundredfold is the dose
			for _, d := range m.Doses {
				if d.Product == item.Product && (d.Tank != tank.Name || !near(float64(item.Strength), 100*float64(d.Strength), 1e-12) || !near(item.Mass.Grams(), 100*float64(d.Strength)*5*3.785411784, 1e-12)) {
					t.Errorf("%s: %+v in tank %s", d.Product, item, d.Tank)
				}
			}
		}
		if calcium && other || calcium != (tank.Name == "A") || tank.Clouds {
			t.Errorf("tank %s holds %+v", tank.Name, tank)
		}
	}
	// potassium sulfate dissolves to 93 g/L at 10 °C; 0.6 g/L a thousandfold does not go in
	strong := solve(t, Job{Shelf: append(fiveSalts(t), shelfOf(t, "potassium sulfate")...), Target: Target{Recipe: "steiner"}, Stock: Stock{5 * unit.Gallon, 400}})
	if _, ok := hasFinding(strong.Findings, FindTankFull); !ok || strong.Stock.Fits || strong.Stock.Most >= 400 {
		t.Errorf("ratio 400: fits %v, most %.0f", strong.Stock.Fits, strong.Stock.Most)
	}
	weaker := solve(t, Job{Shelf: append(fiveSalts(t), shelfOf(t, "potassium sulfate")...), Target: Target{Recipe: "steiner"}, Stock: Stock{5 * unit.Gallon, math.Floor(strong.Stock.Most)}})
	if !weaker.Stock.Fits {
		t.Errorf("the ratio that is said to fit does not: %+v", weaker.Stock)
	}
	both := solve(t, Job{Shelf: []Material{{Name: "calcium and sulfate", Label: &Label{Stated: Statements{NitrateN: States(percent(5)), Calcium: States(percent(8)), Sulfur: States(percent(6)), Magnesium: States(percent(2))}}}}, Target: Target{Recipe: "steiner"}, Stock: Stock{5 * unit.Gallon, 100}})
	if _, ok := hasFinding(both.Findings, FindTankClouds); !ok {
		t.Error("calcium and sulfate a hundredfold in one tank: nothing said")
	}
	simple := solve(t, Job{Shelf: shelfOf(t, "Epsom salt"), Target: Target{Recipe: "steiner"}, Stock: Stock{5 * unit.Gallon, 100}})
	if len(simple.Stock.Tanks) != 1 {
		t.Errorf("one salt needs %d tanks", len(simple.Stock.Tanks))
	}
}

func TestIronAndPH(t *testing.T) {
	hard := solve(t, Job{Water: hardWell(), Shelf: fiveSalts(t), Target: Target{Recipe: "lettuce"}})
	if f, ok := hasFinding(hard.Findings, FindIronFalls); !ok {
		t.Errorf("EDTA at pH %.1f and %.1f: nothing said", hard.PH, hard.Meters.Day.PH)
	} else if later := f.Args["PH"].(float64) > hard.PH+0.05; f.Args["Later"] != later {
		t.Errorf("pH %v beside %.1f of the fresh mix: later %v", f.Args["PH"], hard.PH, f.Args["Later"])
	}
	soft := solve(t, Job{Shelf: fiveSalts(t), Target: Target{Recipe: "lettuce"}})
	if _, ok := hasFinding(soft.Findings, FindIronFalls); ok {
		t.Errorf("EDTA at pH %.1f is called unstable", soft.PH)
	}
	part := general2020()
	part.Label.Stated[Iron], part.Label.ChelatedIron = States(percent(0.1)), States(percent(0.02))
	if c := contents(t, part); math.Abs(float64(c.Chelated)-0.2) > 1e-9 {
		t.Errorf("a fifth of the iron is chelated, %v read", c.Chelated)
	}
	if m := solve(t, Job{Shelf: []Material{part}, Target: Target{Recipe: "lettuce"}}); !slices.ContainsFunc(m.Findings, func(f finding.Finding) bool { return f.ID == FindIronPlain }) {
		t.Error("most of the iron is not chelated; nothing said")
	}
	plain := solve(t, Job{Shelf: append(fiveSalts(t)[:4], shelfOf(t, "iron sulfate")...), Target: Target{Recipe: "lettuce"}})
	if _, ok := hasFinding(plain.Findings, FindIronPlain); !ok {
		t.Error("iron sulfate: nothing said")
	}
}

func TestBoronMargin(t *testing.T) {
	m := solve(t, Job{Shelf: shelfOf(t, "boric acid"), Target: Target{Figures: []Figure{{Nutrient: Boron, Level: 0.8 * unit.MilligramPerLitre, Given: true}}}})
	f, ok := hasFinding(m.Findings, FindBoron)
	if !ok || !near(f.Args["Margin"].(float64), 1/0.8, 1e-3) {
		t.Errorf("boron at 0.8 mg/L: %v", f)
	}
	// a recipe's 0.16 mg/L is a sixth of what harms, and nothing is said where no product brings any
	small := solve(t, Job{Shelf: shelfOf(t, "boric acid"), Target: Target{Figures: []Figure{{Nutrient: Boron, Level: 0.16 * unit.MilligramPerLitre, Given: true}}}})
	if f, ok := hasFinding(small.Findings, FindBoronMargin); !ok || f.Args["Times"] != 6.3 || f.Severity != finding.Note {
		t.Errorf("boron at 0.16 mg/L: %v", f)
	}
	for _, m := range []Mix{m, solve(t, Job{Shelf: fiveSalts(t), Target: Target{Recipe: "lettuce"}})} {
		if f, ok := hasFinding(m.Findings, FindBoronMargin); ok {
			t.Errorf("a margin is told: %v", f)
		}
	}
}

func TestTooSmallToWeigh(t *testing.T) {
	m := solve(t, Job{Shelf: fiveSalts(t), Target: Target{Recipe: "lettuce"}, Measure: Measure{Scale, unit.Gram}, Bed: 100 * unit.Gallon})
	// 1 mg/L iron from 13 % chelate: 7.7 mg/L, 0.15 g in 5 gal and 2.9 g in the bed,
	// which is weighed at once: 3 g
	iron := 0
	for _, d := range m.Doses {
		if d.Product == "iron EDTA" {
			iron++
			if !d.ForBed || !near(d.PerBed.Grams(), 3, 1e-9) || d.Jug.Take > 0 || !near(float64(d.Spread), 1/3.0/math.Sqrt(12), 1e-9) {
				t.Errorf("iron for the bed: %v g, %+v", d.PerBed.Grams(), d)
			}
		}
		if !d.ForBed || !near(d.PerBucket.Grams(), math.Round(d.PerBed.Grams()), 1e-9) {
			t.Errorf("%s: %v g at once", d.Product, d.PerBucket.Grams())
		}
	}
	if iron != 1 {
		t.Errorf("%d lines of iron; %v", iron, m.Order)
	}
	// in 5 gal it comes out of a stock jug; where the bed is not known, it is left out
	small := solve(t, Job{Shelf: fiveSalts(t), Target: Target{Recipe: "lettuce"}, Measure: Measure{Scale, unit.Gram}, Bed: 5 * unit.Gallon})
	i := slices.IndexFunc(small.Doses, func(d Dose) bool { return d.Product == "iron EDTA" })
	if i < 0 || small.Doses[i].Jug.Take == 0 || !near(small.Doses[i].PerBed.Grams(), 0.145, 0.15) {
		t.Fatalf("a bed of 5 gal: %+v", small.Doses)
	}
	if j := small.Doses[i].Jug; !near(j.Mass.Grams(), 10, 1e-9) || !near(j.Mass.Grams()*float64(j.Take/j.Water), small.Doses[i].PerBed.Grams(), 1e-9) {
		t.Errorf("the jug: %+v", j)
	}
	none := solve(t, Job{Shelf: fiveSalts(t), Target: Target{Recipe: "lettuce"}, Measure: Measure{Scale, unit.Gram}})
	if f, ok := hasFinding(none.Findings, FindTooSmall); !ok || f.Args["Bed"] != false || math.Abs(f.Figure.(unit.Mass).Grams()-0.145) > 0.02 {
		t.Errorf("no bed: iron was dropped: %v", f)
	}
}

// Any water and any shelf give an answer without NaN.
func TestWildJobs(t *testing.T) {
	lib := library.Materials()
	rapid.Check(t, func(t *rapid.T) {
		conc := func(name string, most float64) unit.MolarConcentration {
			return unit.MolarConcentration(rapid.Float64Range(0, most).Draw(t, name))
		}
		w := Water{Ions: chem.Composition{Ca: conc("Ca", 10), Mg: conc("Mg", 5), Na: conc("Na", 50), K: conc("K", 5), Cl: conc("Cl", 50), SO4: conc("SO4", 10), NO3: conc("NO3", 5), TIC: conc("TIC", 10), NH4: conc("NH4", 2)}}
		shelf := rapid.Permutation(lib).Draw(t, "shelf")[:rapid.IntRange(0, 5).Draw(t, "n")]
		j := Job{Water: w, Shelf: shelf, Target: Target{Recipe: "lettuce", Strength: unit.Fraction(rapid.Float64Range(0.01, 9).Draw(t, "strength"))},
			Measure: rapid.SampledFrom([]Measure{{}, {Scale, unit.Mass(rapid.Float64Range(1e-6, 1).Draw(t, "step"))}, {Kind: Spoons}}).Draw(t, "measure")}
		m, err := Solve(j, library)
		if err != nil {
			t.Fatal(err)
		}
		for _, x := range []float64{m.Misfit, m.Best, m.PH, float64(m.EC), m.Cost.Per1000L, m.NBand.Low, m.NBand.High, m.Meters.Day.PH} {
			if math.IsNaN(x) || math.IsInf(x, 0) {
				t.Fatalf("not a number in %+v", m)
			}
		}
	})
}
