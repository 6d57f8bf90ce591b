package water

import (
	"testing"

	"raftwright/finding"
	"raftwright/unit"
)

// Hardness alone, as a town or a strip tells it, is a typical hard water as strong as
// it says, until somebody tests it, and no lime water of pH 11.
func TestHardnessAlone(t *testing.T) {
	for _, pH := range []float64{0, 7.5} {
		r := assess(t, Job{Test: Test{PH: pH, Readings: map[Analyte]unit.Reading{Hardness: mg(250)}}, Acid: &Want{Product: products["sulfuric"], PH: 5.8}})
		within(t, "alkalinity", r.Alkalinity.AsCaCO3(), 250*220/(100.086*(80/40.078+15/24.305)), 0.5) // in the proportion of typical.csv
		if r.PH < 7 || r.PH > 8.6 {
			t.Errorf("pH %v", r.PH)
		}
		// a calcium bicarbonate water conducts 0.098 and 0.092 mS/cm a meq/L (table c, W04 and W05)
		cations := 2*float64(r.Solution.Totals.Ca+r.Solution.Totals.Mg) + float64(r.Solution.Totals.Na+r.Solution.Totals.K)
		within(t, "EC", r.EC.MillisiemensPerCentimetre()/cations, 0.095, 0.005)
		wants(t, &r, FindAskAlkalinity, FindNextTest)
		lacks(t, &r, FindPHUnsure)
		if a, ok := assumed(&r, AssumeRestTypical); !ok || a.Args["By"] != Hardness.Word() || r.Standing(Alkalinity) != Guessed || r.Standing(Calcium) != Filled {
			t.Errorf("alkalinity %v, calcium %v, assumed %v", r.Standing(Alkalinity), r.Standing(Calcium), a)
		}
		for _, x := range r.Ranges {
			if x.Analyte == Alkalinity && !x.IsConductivity && (x.Low > 0 || x.High < 250) {
				t.Errorf("alkalinity from %v to %v", x.Low, x.High)
			}
			if x.IsConductivity && x.High > 1.1 {
				t.Errorf("EC up to %v", x.High)
			}
		}
		speaks(t, &r)
	}
	// every major ion but the alkalinity, and no pH: the balance tells it
	test := wholeTest()
	test.PH, test.EC = 0, 0
	delete(test.Readings, Alkalinity)
	r := assess(t, Job{Test: test})
	within(t, "alkalinity of a whole test", r.Alkalinity.AsCaCO3(), 240, 3)
	lacks(t, &r, FindAskAlkalinity, FindPHUnsure)
	// a solution that balances needs none
	r = assess(t, Job{Test: Test{Readings: map[Analyte]unit.Reading{Potassium: {Value: 10, Scale: unit.MoleScale}, Chloride: {Value: 10, Scale: unit.MoleScale}, Sodium: mg(0), Sulfate: mg(0)}}})
	within(t, "alkalinity of a salt", float64(r.Alkalinity), 0, 1e-6)
	within(t, "pH of a salt", r.PH, 7, 0.02)
}

// Water below the end of an alkalinity titration holds strong acid: a pinch of
// base mends it, not grams against carbon dioxide that is not there. 10^-4.2
// mol/L of acid and as much as the bicarbonate then holds of CO2.
func TestStrongAcid(t *testing.T) {
	for pH, most := range map[float64]float64{4.2: 20, 3.5: 100} {
		r := assess(t, Job{Test: Test{PH: pH, Readings: map[Analyte]unit.Reading{Alkalinity: mg(0), Sulfate: mg(50), Sodium: mg(10)}}, Acid: &Want{Product: products["citric"], PH: 5.8}})
		if r.CO2 > 1e-3*unit.Atmosphere {
			t.Errorf("pH %v: CO2 of %v atm", pH, float64(r.CO2/unit.Atmosphere))
		}
		if r.Base == nil || r.Base.Mass.MilligramsPerLitre() > most || r.Base.Mass <= 0 {
			t.Errorf("pH %v: base %+v", pH, r.Base)
		}
		if _, ok := assumed(&r, AssumeStrongAcid); !ok {
			t.Error("it is not listed")
		}
		speaks(t, &r)
	}
	// gas that cannot be: no base is worked out against it
	r := assess(t, Job{Test: Test{PH: 4.2, Readings: map[Analyte]unit.Reading{Alkalinity: mg(20)}}, Acid: &Want{Product: products["citric"], PH: 5.8}})
	wants(t, &r, FindFizz)
	lacks(t, &r, FindBase)
}

// An EC and nothing else: a typical water of that strength, not a salt water.
func TestOnlyEC(t *testing.T) {
	for _, c := range []struct{ ec, pH, least, most float64 }{{0.03, 0, 3, 15}, {0.2, 0, 40, 90}, {0.6, 0, 200, 260}, {0.6, 7.9, 200, 260}, {2.5, 0, 350, 450}} {
		r := assess(t, Job{Test: Test{PH: c.pH, EC: unit.Conductivity(c.ec) * unit.MillisiemensPerCentimetre}})
		within(t, "EC", r.EC.MillisiemensPerCentimetre(), c.ec, 1e-3*c.ec)
		if a := r.Alkalinity.AsCaCO3(); a < c.least || a > c.most {
			t.Errorf("EC %v: alkalinity %v", c.ec, a)
		}
		if c.pH != 0 && r.PH != c.pH {
			t.Errorf("pH %v", r.PH)
		}
		wants(t, &r, FindAskTest)
		if _, ok := assumed(&r, AssumeTypicalEC); !ok {
			t.Error("it is not listed")
		}
		for _, x := range r.Ranges {
			v, ok := r.figure(Limit{Analyte: x.Analyte, IsConductivity: x.IsConductivity})
			if !ok || v < x.Low*(1-1e-9) || v > x.High*(1+1e-9) {
				t.Errorf("EC %v: %v is not within %+v", c.ec, v, x)
			}
		}
		speaks(t, &r)
	}
}

// An alkalinity alone leaves the cations out; they are most likely lime, as in a
// typical water, and no sodium is told of that nobody measured. With a hardness that
// is too small the rest is sodium, as in softened water.
func TestAlkalinityAlone(t *testing.T) {
	r := assess(t, Job{Test: Test{PH: 7.4, Readings: map[Analyte]unit.Reading{Alkalinity: mg(180)}}})
	within(t, "hardness", r.Hardness.MilligramsPerLitre(), 180*100.086*(80/40.078+15/24.305)/220, 0.5)
	within(t, "sodium", Sodium.Mass(r.Solution.Totals.Na).MilligramsPerLitre(), 15*180./220, 0.01)
	within(t, "charge error", float64(r.ChargeError), 0, 0.01)
	if _, ok := assumed(&r, AssumeRestTypical); !ok || r.Rain > 0 {
		t.Errorf("listed: %v, rain %v", ok, r.Rain)
	}
	for _, x := range r.Ranges { // 3.6 meq/L conduct 0.3 mS/cm and more, whatever the cation is
		if x.IsConductivity && x.Low < 0.29 || x.Analyte == Sodium && !x.IsConductivity && x.High < 3.3*22.99 {
			t.Errorf("%+v", x)
		}
	}
	speaks(t, &r)
	soft := assess(t, Job{Test: Test{PH: 7.4, Readings: map[Analyte]unit.Reading{Alkalinity: mg(180), Hardness: mg(20)}}})
	anions := soft.Solution.Totals
	within(t, "sodium of softened water", float64(anions.Na), 160/50.043+float64(anions.Cl+2*anions.SO4+anions.NO3-anions.K), 0.01)
	wants(t, &soft, FindSoftened)
	some := assess(t, Job{Test: Test{PH: 7.4, Readings: map[Analyte]unit.Reading{Alkalinity: mg(180), Magnesium: mg(2)}}})
	for _, j := range some.Judgements {
		if j.Limit.Analyte == Sodium && !j.Limit.IsConductivity && j.From == Measured {
			t.Errorf("sodium that nobody measured is %s", j.From)
		}
	}
}

// Ammonium in a source is a sign of sewage until it is tested.
func TestFouledWater(t *testing.T) {
	test := wholeTest()
	for level, told := range map[float64]bool{0.4: false, 30: true} {
		test.Readings[Ammonium] = mg(level)
		r := assess(t, Job{Test: test})
		if _, ok := raised(&r, FindFouled); ok != told {
			t.Errorf("%v mg/L of ammonium nitrogen: told %v", level, ok)
		}
		speaks(t, &r)
	}
}

// Names that people give to pure water.
func TestNamesOfPureWater(t *testing.T) {
	for name, want := range map[string]Kind{"RO": Rain, "RO-water": Rain, "DI water": Rain, "pure": Rain, "demineralised": Rain, "agua de lluvia": Rain, "reading room": Hard, "garden": Hard,
		"softened": Hard, "Soft": Soft, "iron well": Hard} {
		if got := KindOf(name); got != want {
			t.Errorf("%q is %v, want %v", name, got, want)
		}
	}
}

// Rain reads 0.01 or 0.02 mS/cm; that is no contradiction.
func TestFaintConductivity(t *testing.T) {
	r := assess(t, Job{Test: Test{PH: 5.8, EC: 0.02 * unit.MillisiemensPerCentimetre, Readings: map[Analyte]unit.Reading{Alkalinity: mg(0), Calcium: mg(0), Magnesium: mg(0), Sodium: mg(0.5),
		Potassium: mg(0), Chloride: mg(0.8), Sulfate: mg(1), Nitrate: mg(0)}}})
	lacks(t, &r, FindECIons, FindECUnit)
}

// A water whose name says that it lies open can carry germs, whatever its salts say (from memory); a well, a tap and rain in a
// tank are none of these.
func TestOpenWaterIsNamed(t *testing.T) {
	for name, open := range map[string]bool{"creek water": true, "Our Pond": true, "irrigation ditch": true, "agua del río": true, "acequia": true, "two lakes": true,
		"well": false, "town water": false, "rain barrel": false, "Lakeside town tap": false, "Rivera's well": false, "": false} {
		test := wholeTest()
		test.Name = name
		r := assess(t, Job{Test: test})
		f, told := raised(&r, FindOpenWater)
		if told != open || told && f.Hurts != finding.Person {
			t.Errorf("%q: told %v, of %v", name, told, f.Hurts)
		}
		speaks(t, &r)
	}
}
