package mix

import (
	"slices"
	"testing"

	"raftwright/finding"
	"raftwright/unit"
)

// Each line by which somebody acts has a test of its own: one step of the figure
// away, and the test fails.

func told(list []finding.Finding, id finding.ID) (finding.Finding, bool) {
	i := slices.IndexFunc(list, func(f finding.Finding) bool { return f.ID == id })
	if i < 0 {
		return finding.Finding{}, false
	}
	return list[i], true
}

// Boron: 0.5 mg/L asks for care (threshold of the basin plan's table 3-6), 1 mg/L
// harms (USDA ARS, boron tolerance: sensitive crops 0.75 to 1.0).
func TestLineBoron(t *testing.T) {
	dose := Dose{Product: "borax"}
	dose.Brings[Boron] = 0.1 * unit.MilligramPerLitre
	for mg, want := range map[unit.MassConcentration]finding.ID{0.49: FindBoronMargin, 0.51: FindBoron} {
		m := Mix{PH: 6, Doses: []Dose{dose}}
		m.Achieved[Boron] = mg * unit.MilligramPerLitre
		f, ok := told(judgeChemistry(&m, library.Bounds(Boron, "")), want)
		if !ok || f.Args["Harm"] != unit.MilligramPerLitre {
			t.Errorf("%v mg/L: %v", mg, f)
		}
	}
}

// Below pH 5 roots suffer, above 6.5 iron and phosphate leave (from memory; a head
// loses 26 % at pH 7.0 against 5.8: anderson2017).
func TestLinePH(t *testing.T) {
	for ph, want := range map[float64]finding.ID{4.95: FindLowPH, 5.05: FindLowPH, 5.55: "", 6.45: "", 6.55: FindHighPH} {
		m := Mix{PH: ph, Meters: Meters{Day: MeterReading{PH: ph}}, Doses: []Dose{{}}}
		list := judgeChemistry(&m, library.Bounds(Boron, ""))
		for _, id := range []finding.ID{FindLowPH, FindHighPH} {
			f, ok := told(list, id)
			if ok != (id == want) || ok && (f.Severity == finding.Note) != (ph > 5 && ph < 5.5) {
				t.Errorf("pH %v: %v, want %q", ph, list, want)
			}
		}
	}
	if LeastWellPH != 5.5 || MostWellPH != 6.5 {
		t.Errorf("the pH in which all is well is %v to %v", LeastWellPH, MostWellPH)
	}
}

// Less than a quarter of a wish is missing, less than four fifths weak (of a main
// element a caution; own choice). Above the wish is fine up to the most that a
// recipe holds, too strong beyond (a caution from 1.3 times it), and harm above the
// published level, each from a fiftieth over its line, which no label tells: words, findings and the JSON go by the same lines.
func TestLineWords(t *testing.T) {
	for _, c := range []struct {
		share    unit.MassConcentration
		verdict  Verdict
		id       finding.ID
		severity finding.Severity
	}{{0.24, Missing, FindMissing, finding.Caution}, {0.26, Weak, FindWeak, finding.Caution}, {0.49, Weak, FindWeak, finding.Caution},
		{0.79, Weak, FindWeak, finding.Caution}, {0.81, Right, "", 0}, {2.03, Right, "", 0}, {2.05, TooStrong, FindStrong, finding.Note},
		{2.59, TooStrong, FindStrong, finding.Note}, {2.61, TooStrong, FindStrong, finding.Caution}, {3.05, TooStrong, FindStrong, finding.Caution}, {3.07, TooStrong, FindHarm, finding.Caution}} {
		w := Wish{Nutrient: Potassium, Level: 100, Weight: 1, Achieved: 100 * c.share, Bounds: Bounds{High: 200, Harm: 300}}
		list := judgeWishes([]Wish{w})
		if w.Verdict() != c.verdict || len(list) > 1 || (len(list) == 1) != (c.id != "") || c.id != "" && (list[0].ID != c.id || list[0].Severity != c.severity) {
			t.Errorf("%v of a wish: %v, %v", c.share, w.Verdict(), list)
		}
	}
}

// Whole packs: 25 lb (11.34 kg) in 100 L is 113.4 g/L, and nothing between whole
// packs is offered.
func TestLineWholePacks(t *testing.T) {
	m := Material{Name: "x", Formula: "KNO3", Pack: 25 * unit.Pound}
	if got := (Measure{Kind: Packs}).gridOf(m, 100*unit.Litre, 0).GramsPerLitre(); got < 113.39 || got > 113.41 {
		t.Errorf("a pack is %v g/L", got)
	}
	salts := shelfOf(t, "potassium nitrate", "calcium nitrate", "monopotassium phosphate", "Epsom salt")
	for i := range salts {
		salts[i].Pack = 100 * unit.Gram
	}
	got := solve(t, Job{Shelf: salts, Target: Target{Recipe: "lettuce"}, Measure: Measure{Kind: Packs}, Bed: 400 * unit.Litre})
	for _, d := range got.Doses {
		packs := d.Strength.In(400*unit.Litre) / (100 * unit.Gram)
		if d.Packs != float64(d.Steps) || d.Packs < 1 || packs < unit.Mass(d.Packs)-1e-6 || packs > unit.Mass(d.Packs)+1e-6 {
			t.Errorf("%s: %v packs, %v by its strength", d.Product, d.Packs, packs)
		}
	}
	if len(got.Doses) == 0 {
		t.Error("no packs at all")
	}
}
