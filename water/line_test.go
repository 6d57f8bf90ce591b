package water

import (
	"testing"

	"raftwright/unit"
)

// Each line by which somebody acts has a test of its own: one step of the figure
// away, and the test fails.

// Phosphoric acid that brings more than 58 mg/L of phosphorus is told of: so a leaflet
// counts the most that it allows, 2.25 fl oz of 75 % in 100 gal. (1 mmol is 30.974 mg.)
func TestLinePhosphorus(t *testing.T) {
	for mgP, want := range map[float64]bool{57.5: false, 58.5: true} {
		dose := unit.MolarConcentration(mgP/30.974) * unit.MillimolePerLitre
		r := assess(t, Job{Test: Test{Readings: map[Analyte]unit.Reading{Alkalinity: mg(300, "CaCO3"), Calcium: mg(100)}}, Acid: &Want{Product: products["phosphoric"], PH: 5.8, Dose: dose}})
		if _, told := raised(&r, FindMuchPhosphorus); told != want {
			t.Errorf("%v mg/L of phosphorus: told %v", mgP, told)
		}
	}
}

// No water holds 2 mol/L of anything (calcium 40.078 g/mol: 80.156 g/L). Drinking water
// may hold 4 mg/L of chlorine or chloramine (40 CFR 141.65), and none is taken for more
// than ten times as strong as the typical one (own choice).
func TestLineStrongWater(t *testing.T) {
	for x, want := range map[float64]bool{80_100: false, 80_200: true} {
		if _, faults := Convert(Calcium, mg(x)); (faults != nil) != want {
			t.Errorf("%v mg/L of calcium: %v", x, faults)
		}
	}
	if MostChlorine != 4*unit.MilligramPerLitre {
		t.Errorf("at most %v of chlorine", MostChlorine)
	}
	strong := func(times float64) float64 { // potassium, which is guessed
		hard := Hard // alkalinity 220 mg/L
		r := assess(t, Job{Test: Test{Kind: &hard, Readings: map[Analyte]unit.Reading{Alkalinity: mg(220*times, "CaCO3")}}})
		return float64(r.Solution.Totals.K)
	}
	for times, want := range map[float64]float64{9.5: 9.5, 12: 10} {
		within(t, "potassium", strong(times)/strong(1), want, 0.01)
	}
}

// Chlorine that was measured is thought of from 0.1 mg/L on, less than which no strip shows (common practice, no source): free and bound
// count together, and where nobody looked a town's water may hold it.
func TestLineMayHoldChlorine(t *testing.T) {
	for _, c := range []struct {
		free, bound float64
		want        bool
	}{{0.09, 0, false}, {0.105, 0, true}, {0.06, 0.045, true}, {0.05, 0.04, false}} {
		r := Assessment{FreeChlorine: unit.MassConcentration(c.free) * unit.MilligramPerLitre, Chloramine: unit.MassConcentration(c.bound) * unit.MilligramPerLitre}
		r.from[FreeChlorine], r.from[Chloramine] = Measured, Measured
		if got := r.MayHoldChlorine(); got != c.want {
			t.Errorf("%v and %v mg/L: %v", c.free, c.bound, got)
		}
	}
	if r := (Assessment{}); !r.MayHoldChlorine() {
		t.Error("a water that nobody tested is taken to hold none")
	}
}

// A strong acid is thinned to a twentieth before it is measured out, where a slip of the hand matters little (common practice, no source): sulfuric acid of 93 %
// and 1.83 g/mL, of which 1.70 g are acid in a milliliter, makes 34.0 g of that, and so takes 32.2 mL of water.
func TestLineThinnedAcid(t *testing.T) {
	r := assess(t, Job{Test: Test{Readings: map[Analyte]unit.Reading{Alkalinity: mg(200, "CaCO3")}}, Acid: &Want{Product: products["sulfuric"], PH: 5.8}})
	f, ok := raised(&r, FindDilute)
	if !ok || f.Args["Strength"] != unit.Fraction(0.05) {
		t.Fatalf("%+v", f)
	}
	parts, ok := f.Args["Parts"].(float64)
	if !ok || parts < 32.2-1 || parts > 32.2+1 {
		t.Errorf("%v parts of water", f.Args["Parts"])
	}
}
