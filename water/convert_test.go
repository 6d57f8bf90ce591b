package water

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"raftwright/finding"
	"raftwright/internal/table"
	"raftwright/source"
	"raftwright/unit"
)

// Factors that leaflets print: 1 meq/L alkalinity = 50 mg/L CaCO3 = 61 mg/L
// HCO3; S = 0.334 SO4, N = 0.226 NO3, P = 0.436 P2O5, K = 0.830 K2O; hardness =
// 2.497 Ca + 4.118 Mg (Standard Methods 2340 B); 17.1 mg/L a grain, 17.8 a
// German degree.
func TestLeafletFactors(t *testing.T) {
	for _, c := range []struct {
		analyte  Analyte
		a, b     unit.Reading
		relative float64
	}{
		{Alkalinity, mg(50.04, "CaCO3"), unit.Reading{Value: 1, Scale: unit.EquivalentScale}, 1e-3},
		{Alkalinity, mg(61.02, "HCO3"), mg(50.04, "CaCO3"), 1e-3},
		{Alkalinity, unit.Reading{Value: 1, Scale: unit.MoleScale, Form: "CaCO3"}, mg(100.09), 1e-3},
		{Bicarbonate, mg(61.02), unit.Reading{Value: 1, Scale: unit.MoleScale}, 1e-3},
		{Carbonate, mg(60.01), unit.Reading{Value: 2, Scale: unit.EquivalentScale}, 1e-3},
		{Sulfate, mg(10, "SO4"), mg(3.34, "S"), 2e-3},
		{Sulfate, mg(48.03), unit.Reading{Value: 1, Scale: unit.EquivalentScale}, 1e-3},
		{Nitrate, mg(10, "NO3"), mg(2.26, "N"), 2e-3},
		{Nitrate, mg(14.01, "NO3-N"), unit.Reading{Value: 1, Scale: unit.EquivalentScale}, 1e-3},
		{Ammonium, mg(18.04, "NH4"), mg(14.01), 1e-3},
		{Phosphorus, mg(10, "P2O5"), mg(4.36, "P"), 2e-3},
		{Phosphorus, mg(94.97, "PO4"), mg(30.97), 1e-3},
		{Potassium, mg(10, "K2O"), mg(8.30, "K"), 2e-3},
		{Calcium, mg(100.09, "CaCO3"), mg(40.08), 1e-3},
		{Calcium, mg(20.04), unit.Reading{Value: 1, Scale: unit.EquivalentScale}, 1e-3},
		{Magnesium, mg(12.15), unit.Reading{Value: 1, Scale: unit.EquivalentScale}, 1e-3},
		{Hardness, unit.Reading{Value: 17.118, Scale: unit.HardnessScale}, mg(17.118, "CaCO3"), 1e-9},
		{Hardness, unit.Reading{Value: 17.848, Scale: unit.HardnessScale}, mg(10, "CaO"), 1e-3},
		{Hardness, mg(2.497), mg(1, "Ca"), 1e-3},
		{Calcium, unit.Reading{Value: 100.09, Scale: unit.HardnessScale}, mg(40.08), 1e-3},
		{Magnesium, mg(4.118, "CaCO3"), mg(1), 1e-3},
		{Boron, mg(5.72, "H3BO3"), mg(1), 1e-3},
		{Silicon, mg(60.08, "SiO2"), mg(28.09), 1e-3},
		{Chloride, mg(58.44, "NaCl"), mg(35.45), 1e-3},
		{Chloramine, mg(51.48, "NH2Cl"), mg(70.9, "Cl2"), 1e-3},
	} {
		a, err := Convert(c.analyte, c.a)
		b, err2 := Convert(c.analyte, c.b)
		if err != nil || err2 != nil || math.Abs(float64(a/b)-1) > c.relative {
			t.Errorf("%s: %+v is %v mmol/L, %+v is %v (%v, %v)", c.analyte, c.a, a, c.b, b, err, err2)
		}
	}
}

func TestWrittenForms(t *testing.T) {
	for _, written := range []string{"NO3", "NO3-", "no3", "as NO3", "NO₃⁻", "NO3 -"} {
		if c, err := Convert(Nitrate, mg(62.004, written)); err != nil || math.Abs(float64(c)-1) > 1e-4 {
			t.Errorf("%q: %v, %v", written, c, err)
		}
	}
	for _, written := range []string{"N", "NO3-N", "N-NO3", "as N"} {
		if c, err := Convert(Nitrate, mg(14.007, written)); err != nil || math.Abs(float64(c)-1) > 1e-4 {
			t.Errorf("%q: %v, %v", written, c, err)
		}
	}
}

func TestReadingsThatCannotBe(t *testing.T) {
	for _, c := range []struct {
		analyte Analyte
		r       unit.Reading
		id      finding.ID
	}{
		{Calcium, mg(20, "NO3"), FaultForm}, {Nitrate, mg(20, "CaCO3"), FaultForm}, {Sodium, unit.Reading{Value: 10, Scale: unit.HardnessScale}, FaultScale},
		{Phosphorus, unit.Reading{Value: 1, Scale: unit.EquivalentScale}, FaultCharge}, {Chloride, mg(-1), FaultMuch}, {Chloride, mg(math.NaN()), FaultMuch},
		{Chloride, mg(math.Inf(1)), FaultMuch}, {Calcium, mg(1e9), FaultMuch}, {AnalyteCount, mg(1), FaultUnit}, {-1, mg(1), FaultUnit},
		{Calcium, unit.Reading{Value: 1, Scale: 77}, FaultUnit}, {Calcium, unit.Reading{Value: 4, Scale: unit.HardnessScale, Form: "MgCO3"}, FaultForm}, {Calcium, unit.Reading{Value: 4, Scale: unit.HardnessScale, Form: "CaO"}, FaultScale},
	} {
		got, faults := Convert(c.analyte, c.r)
		if len(faults) != 1 || faults[0].ID != c.id || c.analyte >= 0 && c.analyte < AnalyteCount && faults[0].Path != finding.Path("water."+c.analyte.String()) {
			t.Errorf("%s %+v: %v, %v; want %s", c.analyte, c.r, got, faults, c.id)
		}
	}
}

// Every line of the table is whole, and its masses are those of its formulas.
func TestAnalyteTable(t *testing.T) {
	keys := map[string]bool{}
	for a := Analyte(0); a < AnalyteCount; a++ {
		l := lines[a]
		if l.key == "" || l.word == "" || len(l.forms) == 0 || keys[l.key] || len(a.Forms()) != len(l.forms) {
			t.Errorf("line %d is not whole: %+v", a, l)
		}
		keys[l.key] = true
		for _, f := range l.forms {
			if !(f.mass > 1 && f.mass < 250 && f.count >= 1 && f.count <= 2) {
				t.Errorf("%s as %s: %v g/mol, %v", a, f.name, f.mass, f.count)
			}
		}
	}
	if (Analyte(99)).String() != "" || Analyte(99).Forms() != nil || Analyte(99).Word() != "" {
		t.Error("an unknown analyte has a name")
	}
}

// What was read as a mass prints as the same mass.
func TestMassRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := Analyte(rapid.IntRange(0, int(AnalyteCount)-1).Draw(t, "analyte"))
		x := rapid.Float64Range(0, 1000).Draw(t, "figure")
		c, err := Convert(a, mg(x))
		if err != nil {
			t.Fatal(err)
		}
		if got := a.Mass(c).MilligramsPerLitre(); math.Abs(got-x) > 1e-9*(1+x) {
			t.Fatalf("%s: %v mg/L came back as %v", a, x, got)
		}
	})
}

// The limits table: rows and sums pin its figures; sources are known.
func TestLimitsTable(t *testing.T) {
	l := book.Limits.list
	good, severe := 0.0, 0.0
	for _, x := range l {
		good += x.Good
		severe += x.Severe
		if _, ok := source.Find(x.Source); !ok {
			t.Errorf("%v: source %q is not known", x, x.Source)
		}
	}
	if len(l) != 16 {
		t.Errorf("%d rows", len(l))
	}
	within(t, "sum of good", good, 632.55, 1e-9)
	within(t, "sum of severe", severe, 1734.2, 1e-9)
	const head = "analyte,unit,good,severe,source,other,other_for\n"
	for bad, id := range map[string]finding.ID{"x,mg/L,1,2,memory,,": table.FaultWord, "sodium,mg/L,5,2,memory,,": FaultGood, "sodium,mg/L,x,2,memory,,": table.FaultNumber,
		"sodium,mg/L,1,2": table.FaultFile, "sodium,mg/L,-1,2,memory,,": table.FaultNumber, "\"x": table.FaultFile, "": table.FaultEmpty} {
		if got, faults := ReadLimits("x.csv", head+bad); len(faults) != 1 || faults[0].ID != id {
			t.Errorf("%q read as %v, %v", bad, got, faults)
		}
	}
	over, faults := ReadLimits("limits.csv", Tables().Of("limits.csv").Over(head+"ec,mS/cm,0.4,1,memory,,\nsodium,mg/L,9,10,memory,,\n").Text)
	if faults != nil || len(over.list) != 16 || over.list[15].Good != 9 {
		t.Errorf("%v, %v", over, faults)
	}
}

// The tables of typical waters and of reagents: rows and sums pin their figures.
func TestOtherTables(t *testing.T) {
	rows, usual, low, high := 0, 0.0, 0.0, 0.0
	for _, w := range book.Waters.of {
		usual += w.pH
		for _, r := range w.readings {
			rows++
			usual += r.value
		}
		for _, b := range w.bands {
			rows++
			low, high = low+b.Low, high+b.High
		}
	}
	if rows != 39 {
		t.Errorf("%d rows", rows)
	}
	within(t, "usual", usual, 504.2, 1e-9)
	within(t, "low", low, 181.935, 1e-9)
	within(t, "high", high, 803.36, 1e-9)
	sum := 0.0
	for _, s := range book.Reagents.sold {
		sum += 100*float64(s.solid+s.solution) + float64(s.strong)
	}
	within(t, "reagents", sum, 625.47, 1e-9)
}

func FuzzReadLimits(f *testing.F) {
	f.Add(limitsText)
	f.Add("analyte,unit,good,severe,source,other,other_for\nec,mS/cm,0.5,1.5,memory,,\n")
	f.Fuzz(func(t *testing.T, s string) {
		l, faults := ReadLimits("x.csv", s)
		for _, x := range l.list {
			if faults == nil && !(x.Good <= x.Severe) {
				t.Fatalf("%+v", x)
			}
		}
	})
}

func FuzzConvert(f *testing.F) {
	f.Add(4, 78.0, 0, "CaCO3")
	f.Add(10, 1e300, 1, "as NO₃⁻")
	f.Fuzz(func(t *testing.T, a int, x float64, scale int, written string) {
		c, err := Convert(Analyte(a), unit.Reading{Value: x, Scale: unit.Scale(scale), Form: written})
		if err == nil && !(c >= 0 && c <= mostReading) {
			t.Fatalf("%v", c)
		}
	})
}
