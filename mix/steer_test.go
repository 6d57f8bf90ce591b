package mix

import (
	"math"
	"testing"

	"raftwright/crop"
	"raftwright/unit"
)

// cropOf gives a crop with the range of EC of its row.
func cropOf(t *testing.T, name string) Crop {
	t.Helper()
	for _, c := range crop.Default().Crops() {
		if c.ID == name {
			return Crop{ID: c.ID, EC: Band{c.EC.Min.MillisiemensPerCentimetre(), c.EC.Max.MillisiemensPerCentimetre()}}
		}
	}
	t.Fatalf("no crop %q", name)
	return Crop{}
}

// The mix lies in the crop's own range of EC (the rows of crops.csv with their
// sources): the recipe for lettuce was made alike for all. Every main element stays in
// its band, and the elements keep their ratio.
func TestTheCropsRangeSteers(t *testing.T) {
	salts := append(fiveSalts(t), shelfOf(t, "potassium sulfate")...)
	bags := shelfOf(t, "hydroponic base powder 5-12-26", "calcium nitrate 15.5-0-0")
	for _, name := range []string{"kale", "arugula", "swiss_chard", "spinach", "lettuce_leaf", "basil_sweet", "parsley", "celery", "cilantro"} {
		for i, shelf := range [][]Material{salts, bags} {
			c := cropOf(t, name)
			j := Job{Water: softTap(), Shelf: shelf, Target: Target{Recipe: "lettuce"}, Crop: c, Bed: 360 * unit.Litre, Measure: Measure{Scale, unit.Gram}}
			m := solve(t, j)
			ec := m.EC.MillisiemensPerCentimetre()
			if ec < c.EC.Low || ec > c.EC.High {
				t.Errorf("%s, shelf %d: EC %.3f, the range is %v", name, i, ec, c.EC)
			}
			if !m.Works() || !m.Proven {
				t.Errorf("%s, shelf %d: works %v, proven %v", name, i, m.Works(), m.Proven)
			}
			for _, w := range m.Wishes {
				if w.Main() && (w.Short() || w.Harms()) {
					t.Errorf("%s, shelf %d: %s is %s", name, i, w.Nutrient, w.Fit())
				}
			}
			if _, told := hasFinding(m.Findings, FindSteered); told != (math.Abs(m.Strength-1) >= 0.02) {
				t.Errorf("%s, shelf %d: strength %v, told %v", name, i, m.Strength, told)
			}
			if i == 0 { // salts can keep the ratio
				n, k := reachedOf(m, Nitrogen), reachedOf(m, Potassium)
				if r := float64(n.Achieved / n.Level / (k.Achieved / k.Level)); r < 0.85 || r > 1.2 {
					t.Errorf("%s: nitrogen to potassium is %.2f of the recipe's", name, r)
				}
			}
		}
	}
}

// What was asked for is not steered: an EC, figures, a strength.
func TestWhatIsAskedForIsNotSteered(t *testing.T) {
	kale := cropOf(t, "kale")
	for what, target := range map[string]Target{"an EC": {Recipe: "lettuce", EC: 1.2 * mS}, "a strength": {Recipe: "lettuce", Strength: 0.5},
		"figures": {Figures: []Figure{{Nutrient: Nitrogen, Level: 0.1 * unit.GramPerLitre, Given: true}, {Nutrient: Potassium, Level: 0.1 * unit.GramPerLitre, Given: true}}}} {
		with, without := Job{Water: softTap(), Shelf: fiveSalts(t), Target: target, Crop: kale}, Job{Water: softTap(), Shelf: fiveSalts(t), Target: target}
		if a, b := solve(t, with), solve(t, without); a.EC != b.EC {
			t.Errorf("%s: EC %v for kale, %v for any", what, a.EC, b.EC)
		}
	}
}

// The straight line that the sum goes by is the conductivity of the chemistry room at
// the doses that come out, within a tenth of a pen's doubt.
func TestTheLineOfTheECHolds(t *testing.T) {
	for _, name := range []string{"kale", "basil_sweet"} {
		for _, water := range []Water{{}, softTap(), hardWell()} {
			m := solve(t, Job{Water: water, Shelf: fifteen(t), Target: Target{Recipe: "lettuce"}, Crop: cropOf(t, name), MostProducts: 4})
			doses := make([]float64, len(m.contents))
			for _, d := range m.Doses {
				doses[d.Shelf] = d.Strength.GramsPerLitre()
			}
			if ec := m.EC.MillisiemensPerCentimetre(); math.Abs(m.ec.at(doses)-ec) > 0.004*ec {
				t.Errorf("%s: the line says %.4f, the chemistry %.4f", name, m.ec.at(doses), ec)
			}
		}
	}
}

// A range that the water leaves little room in costs no crop a main element: what feeds
// it without a range feeds it with one.
func TestSteeringStarvesNoCrop(t *testing.T) {
	hard := hardWell()
	hard.Ions.Na, hard.Ions.Cl = hard.Ions.Na+2, hard.Ions.Cl+2
	for _, shelf := range [][]string{{"hydroponic base powder 5-12-26", "calcium nitrate 15.5-0-0"}, {"complete fertilizer 20-10-20", "calcium nitrate", "potassium nitrate", "Epsom salt"},
		{"calcium-magnesium fertilizer 15-5-15", "potassium nitrate", "monopotassium phosphate"}} {
		for _, water := range []Water{softTap(), hardWell(), hard} {
			for _, name := range []string{"basil_sweet", "parsley", "cilantro", "strawberry", "kale"} {
				j := Job{Water: water, Shelf: shelfOf(t, shelf...), Target: Target{Recipe: "lettuce"}, Bed: 430 * unit.Litre, Measure: Measure{Scale, unit.Gram}}
				before := solve(t, j)
				j.Crop = cropOf(t, name)
				if m := solve(t, j); before.Works() && !m.Works() {
					t.Errorf("%v for %s at strength %v: %v", shelf, name, m.Strength, m.Wishes)
				}
			}
		}
	}
}

// Water that brings most of the range by itself pushes no main element out.
func TestSaltyWaterDoesNotStarve(t *testing.T) {
	water := hardWell()
	water.Ions.Na, water.Ions.Cl = water.Ions.Na+5, water.Ions.Cl+5
	m := solve(t, Job{Water: water, Shelf: fiveSalts(t), Target: Target{Recipe: "lettuce"}, Crop: cropOf(t, "basil_sweet")})
	if !m.Works() {
		t.Errorf("at EC %v: %v", m.EC.MillisiemensPerCentimetre(), m.Wishes)
	}
}
