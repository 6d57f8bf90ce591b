package mix

import (
	"math"
	"testing"

	"raftwright/unit"
)

// A shelf without potassium comes to the EC that is asked for with more of the rest. What is wanted stays what the recipe
// holds where its own elements have that EC, so that nitrogen that is all there is not called short, and potassium that
// is not there is.
func TestAnECIsNoReasonToWantMore(t *testing.T) {
	shelf := append(shelfOf(t, "calcium nitrate"), general2020(), epsom())
	target := Target{Recipe: "lettuce", EC: 1.4 * unit.MillisiemensPerCentimetre}
	m := solve(t, Job{Water: hardWell(), Shelf: shelf, Target: target})
	if math.Abs(m.EC.MillisiemensPerCentimetre()-1.4) > 0.02 {
		t.Fatalf("the EC is %v", m.EC)
	}
	for _, w := range m.Wishes {
		share := float64(w.Achieved / w.Level)
		switch w.Nutrient {
		case Nitrogen:
			if w.Level > 170*unit.MilligramPerLitre || w.Short() {
				t.Errorf("nitrogen: %v of %v", w.Achieved, w.Level)
			}
		case Potassium:
			if w.Level > 240*unit.MilligramPerLitre || share > 0.5 {
				t.Errorf("potassium: %v of %v", w.Achieved, w.Level)
			}
		}
	}
	if w, starves := m.Starved(); !starves || w.Nutrient != Potassium || m.Buy == nil || m.Buy.Mix.Strength > m.Strength*farAbove {
		t.Errorf("starves of %v: %v, to buy %+v, strength %v", w.Nutrient, starves, m.Buy, m.Strength)
	}
	for _, f := range m.Findings {
		if n := f.Args["Nutrient"]; n == Nitrogen.Word() && (f.ID == FindWeak || f.ID == FindMissing) {
			t.Errorf("nitrogen is all there and called short: %v", f.Args)
		}
	}
	full := solve(t, Job{Water: hardWell(), Shelf: append(shelf, shelfOf(t, "potassium nitrate")...), Target: target})
	if full.Strength < m.Strength/farAbove || full.Strength > m.Strength*farAbove {
		t.Errorf("with all elements the EC comes at %v of the recipe, judged by %v without potassium", full.Strength, m.Strength)
	}
}

// What the label of a product leaves open matters where the product is in the mix, and nowhere else.
func TestOnlyWhatIsInTheMixIsDoubted(t *testing.T) {
	bloom := Material{Name: "bloom powder", Label: &Label{Grade: Grade{percent(10), percent(52), percent(10), true}}}
	for i, pinned := range [][]unit.MassConcentration{{0.4, 0.5}, {0, 0.5}} {
		m := solve(t, Job{Shelf: []Material{bloom, general2020()}, Target: Target{Recipe: "lettuce"}, Pinned: pinned})
		if _, told := hasFinding(m.Findings, FindLabelAcid); told != (i == 0) || m.PHOpen != told {
			t.Errorf("%v: told %v, the pH open: %v", pinned, told, m.PHOpen)
		}
	}
}
