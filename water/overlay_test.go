package water

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"raftwright/unit"
)

// One reading beside a kind of water does not make it distilled water: the typical
// figures stay for what was not measured (typical.csv: hard 220 mg/L, calcium 80).
func TestOneReadingKeepsTheTypicalWater(t *testing.T) {
	hard, soft := Hard, Soft
	for name, test := range map[string]Test{
		"chloramine": {Kind: &hard, Readings: map[Analyte]unit.Reading{Chloramine: mg(2)}},
		"nothing":    {Kind: &hard},
		"pH":         {PH: 7.8},
		"iron":       {Readings: map[Analyte]unit.Reading{Iron: mg(0.4)}},
	} {
		r := assess(t, Job{Test: test})
		within(t, name+" alkalinity", r.Alkalinity.AsCaCO3(), 220, 0.1)
		within(t, name+" calcium", Calcium.Mass(r.Solution.Totals.Ca).MilligramsPerLitre(), 80, 0.01)
		if r.Standing(Calcium) != Guessed || r.Standing(Alkalinity) != Guessed || !r.Guess() {
			t.Errorf("%s: calcium is %s", name, r.Standing(Calcium))
		}
		for _, f := range r.Findings {
			if f.ID == FindSevere || f.ID == FindWatch && f.Args["Analyte"] != Iron.Word() && f.Args["Analyte"] != Chloramine.Word() {
				if f.Args["Analyte"] != Chloramine.Word() {
					t.Errorf("%s: a guess is told of as a test: %v", name, f.Args)
				}
			}
		}
		wants(t, &r, FindAskTest)
		speaks(t, &r)
	}
	r := assess(t, Job{Test: Test{PH: 7.8}})
	within(t, "pH", r.PH, 7.8, 1e-9)
	r = assess(t, Job{Test: Test{Kind: &soft, Readings: map[Analyte]unit.Reading{Sodium: mg(40), Chloride: mg(60)}}})
	within(t, "soft with salt", r.Alkalinity.AsCaCO3(), 40, 0.1)
	if r.Standing(Sodium) != Measured || math.Abs(Sodium.Mass(r.Solution.Totals.Na).MilligramsPerLitre()-40) > 1e-9 {
		t.Errorf("sodium %s", r.Standing(Sodium))
	}
}

// Dissolved solids say how strong the water is: 650 mg/L for each mS/cm, the middle
// of Standard Methods 1030 E.
func TestDissolvedSolidsTellTheStrength(t *testing.T) {
	for _, tds := range []float64{26, 130, 325} {
		r := assess(t, Job{Test: Test{TDS: unit.MassConcentration(tds) * unit.MilligramPerLitre}})
		within(t, "EC", r.EC.MillisiemensPerCentimetre(), tds/650, 1e-3*tds/650)
		if r.ECMeasured != 0 {
			t.Error("the EC was not measured")
		}
		if _, ok := assumed(&r, AssumeTypicalEC); !ok {
			t.Error("it is not listed")
		}
	}
}

// Where it is named that the water is another kind than its figures say, the figures
// are believed: fourfold off is told of, threefold is not.
func TestKindThatTheTestIsNotLike(t *testing.T) {
	hard := Hard
	for alkalinity, told := range map[float64]bool{50: true, 60: false, 400: false} {
		r := assess(t, Job{Test: Test{Kind: &hard, Readings: map[Analyte]unit.Reading{Alkalinity: mg(alkalinity)}}})
		if f, ok := raised(&r, FindKindUnused); ok != told || ok && f.Args["Other"] != Soft.Word() {
			t.Errorf("alkalinity %v: %v %v", alkalinity, ok, f.Args)
		}
		within(t, "alkalinity", r.Alkalinity.AsCaCO3(), alkalinity, 1e-6)
	}
}

// A low pH holds little alkalinity: with the carbon dioxide of the deepest ground
// waters (1 mmol/L) pH 6.0 holds 10^(6.0-6.35) meq/L, 22 mg/L as CaCO3 (first
// dissociation of carbonic acid, pK 6.35).
func TestLowPHHoldsLittle(t *testing.T) {
	r := assess(t, Job{Test: Test{PH: 6}})
	within(t, "alkalinity", r.Alkalinity.AsCaCO3(), 50.04*math.Pow(10, -0.35), 0.1)
	lacks(t, &r, FindFizz)
}

// Four of the ions that make a water are read as a test, three as a hint (own choice).
func TestWhatIsSparse(t *testing.T) {
	four := Test{PH: 7, Readings: map[Analyte]unit.Reading{Bicarbonate: mg(100), Calcium: mg(30), Chloride: mg(9), Sulfate: mg(9)}}
	if four.Sparse() {
		t.Error("four ions are a test")
	}
	delete(four.Readings, Sulfate)
	if !four.Sparse() {
		t.Error("three ions are a hint")
	}
	if four.PH = 4.4; four.Sparse() {
		t.Error("no typical water has a pH below 4.5")
	}
}

// Whatever few figures a test has: they stand, the charge closes on guesses of
// chloride, sulfate and sodium alone, and each of these is listed.
func TestOverlayClosesOnGuesses(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		test := Test{PH: rapid.SampledFrom([]float64{0, 6.5, 7.4, 8.2}).Draw(rt, "pH"), Readings: map[Analyte]unit.Reading{}}
		for range rapid.IntRange(0, 3).Draw(rt, "readings") {
			x := rapid.SampledFrom(append([]Analyte{Alkalinity, Hardness}, majors...)).Draw(rt, "of")
			test.Readings[x] = mg(rapid.Float64Range(0, 300).Draw(rt, x.String()))
		}
		r := assessed(rt, test)
		for x, given := range test.Readings {
			c, _ := Convert(x, given)
			if r.Standing(x) != Measured {
				rt.Fatalf("%s is %s", x, r.Standing(x))
			}
			if x == Sodium && math.Abs(float64(c-r.Solution.Totals.Na)) > 1e-9 {
				rt.Fatalf("sodium became %v", r.Solution.Totals.Na)
			}
		}
		balanced := 0
		for _, a := range r.Assumptions {
			if a.ID == AssumeBalance {
				balanced++
			}
		}
		filled := 0
		for _, x := range []Analyte{Chloride, Sulfate, Sodium} {
			if r.Standing(x) == Filled {
				filled++
			}
		}
		for _, x := range []Analyte{Alkalinity, Nitrate, Potassium} {
			if r.Standing(x) == Filled {
				rt.Fatalf("%s was filled", x)
			}
		}
		if filled != balanced {
			rt.Fatalf("%d filled, %d listed", filled, balanced)
		}
	})
}
