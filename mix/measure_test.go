package mix

import (
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"raftwright/finding"
	"raftwright/unit"
)

// A reading of 1.6 mS/cm on every scale (project's user notes: 800, 1024, 1120
// ppm).
func TestPens(t *testing.T) {
	for pen, shown := range map[Pen]float64{MilliSiemens: 1.6, MicroSiemens: 1600, ConductivityFactor: 16, TDS500: 800, TDS640: 1024, TDS700: 1120} {
		if got := pen.Shows(1.6 * unit.MillisiemensPerCentimetre); math.Abs(got-shown) > 1e-9 {
			t.Errorf("%s shows %v, want %v", pen, got, shown)
		}
	}
	if UnknownPen.Shows(1) != 0 {
		t.Error("an unknown scale is guessed")
	}
}

func TestInferPen(t *testing.T) {
	standard := 1.413 * unit.MillisiemensPerCentimetre // 0.01 mol/L potassium chloride
	for _, c := range []struct {
		shown float64
		want  []Pen
	}{
		{1.41, []Pen{MilliSiemens}}, {1413, []Pen{MicroSiemens}}, {14.1, []Pen{ConductivityFactor}}, {706, []Pen{TDS500}},
		{904, []Pen{TDS640, TDS700}}, {989, []Pen{TDS700, TDS640}}, {2800, nil},
	} {
		got := InferPen(standard, c.shown, 0)
		var names []Pen
		for _, g := range got {
			names = append(names, g.Pen)
		}
		if !slices.Equal(names, c.want) {
			t.Errorf("%v in the standard: %v, want %v", c.shown, names, c.want)
		}
	}
	if got := InferPen(standard, 904, 0.04); len(got) != 1 || got[0].Pen != TDS640 {
		t.Errorf("a close reading tells 640 from 700: %v", got)
	}
	if got := InferPen(0, 5, 0); got != nil {
		t.Error("an unknown solution tells nothing")
	}
}

func TestOwnSpoon(t *testing.T) {
	m := general2020()
	usual, assumed := m.Spoon()
	if len(assumed) != 1 || assumed[0].ID != AssumeTeaspoon || math.Abs(usual.Mass.Grams()-4.929) > 0.01 {
		t.Errorf("usual spoon %v, assumed %v", usual, assumed)
	}
	each := []unit.Mass{4.6, 4.8, 4.7, 4.9, 4.5, 4.7, 4.7, 4.8, 4.6, 4.7} // grams
	for i := range each {
		each[i] *= unit.Gram
	}
	own, err := m.WeighSpoons("", 0, 0, each)
	if err != nil {
		t.Fatal(err)
	}
	s, assumed := own.Spoon()
	// mean 4.70 g, sample standard deviation 0.1155 g (hand sum: squares .01 .01 0 .04 .04 0 0 .01 .01 0 = .12 over 9)
	if len(assumed) != 0 || !s.Own || math.Abs(s.Mass.Grams()-4.70) > 1e-9 || math.Abs(float64(s.Each)-0.1155/4.70) > 1e-4 {
		t.Errorf("own spoon %+v", s)
	}
	if math.Abs(float64(s.Lot)-float64(s.Each)/math.Sqrt(10)) > 1e-9 || s.Lot >= usual.Lot {
		t.Errorf("ten spoons give the mean to %v, the usual is %v", s.Lot, usual.Lot)
	}
	heap, err := m.WeighSpoons("", 10, 47*unit.Gram, nil)
	if err != nil || math.Abs(heap.LevelTeaspoon.Grams()-4.7) > 1e-9 {
		t.Errorf("a heap of ten: %v, %v", heap.LevelTeaspoon.Grams(), err)
	}
	for _, bad := range []struct {
		n     int
		total unit.Mass
	}{{0, 1}, {10, 0}, {10, unit.Mass(math.NaN())}, {1, 1}, {5000, 1}} {
		if _, err := m.WeighSpoons("", bad.n, bad.total, nil); err == nil {
			t.Errorf("%d spoons of %v kg pass", bad.n, bad.total)
		}
	}
}

func TestOwnSpoonFlowsIntoDosesAndBand(t *testing.T) {
	salt, _ := library.Material("Epsom salt")
	shelf := []Material{general2020(), salt}
	j := Job{Shelf: shelf, Target: Target{Recipe: "lettuce", Limits: []Limit{{Nutrient: AmmoniumN, Most: 1, MostGiven: true}, {Nutrient: UreaN, Most: 1, MostGiven: true}}}, Measure: Measure{Kind: Spoons}}
	usual, err := Solve(j, library)
	if err != nil {
		t.Fatal(err)
	}
	own, err := shelf[0].WeighSpoons("", 10, 42*unit.Gram, nil)
	if err != nil {
		t.Fatal(err)
	}
	j.Shelf = []Material{own, salt}
	weighed, err := Solve(j, library)
	if err != nil {
		t.Fatal(err)
	}
	if s := weighed.Doses[0].PerBucket.Grams() / 4.2; math.Abs(s/quarter-math.Round(s/quarter)) > 1e-9 {
		t.Errorf("%v spoons of 4.2 g", s)
	}
	width := func(m Mix) float64 { return (m.NBand.High - m.NBand.Low) / m.Achieved[Nitrogen].MilligramsPerLitre() }
	if !(width(weighed) < width(usual)/2) {
		t.Errorf("the band of N is %.3f wide with the own spoon, %.3f without", width(weighed), width(usual))
	}
	ec := usual.Meters.Fresh
	if !(ec.ECBand.Low < ec.EC.MillisiemensPerCentimetre() && ec.EC.MillisiemensPerCentimetre() < ec.ECBand.High) {
		t.Errorf("the EC band is %v", ec.ECBand)
	}
}

func TestSpoonOfALiquidAndOfALoosePowder(t *testing.T) {
	liquid := Material{Name: "x", Formula: "KNO3", Density: 1300}
	s, _ := liquid.Spoon()
	if math.Abs(s.Mass.Grams()-1.3*4.92892159375) > 1e-9 {
		t.Errorf("a teaspoon of liquid weighs %v g", s.Mass.Grams())
	}
	loose := Material{Name: "x", Formula: "K2O", BulkDensity: 900}
	if s, a := loose.Spoon(); math.Abs(s.Mass.Grams()-0.9*4.92892159375) > 1e-9 || len(a) != 1 {
		t.Errorf("a teaspoon of powder weighs %v g, %v", s.Mass.Grams(), a)
	}
	spelled := library.know(Material{Name: "x", Formula: "MgSO4·7H2O"})
	if s, a := spelled.Spoon(); math.Abs(s.Mass.Grams()-5) > 1e-9 || a[0].ID != AssumeTeaspoonOfKin { // drug labels: 5 g
		t.Errorf("Epsom salt weighs %v g a teaspoon, %v", s.Mass.Grams(), a)
	}
}

// A scale of 1 g: an even error of a step has a standard deviation of step/√12.
func TestSpread(t *testing.T) {
	b := Measure{Scale, unit.Gram}
	if got := b.spread(10*unit.Gram, SpoonMass{}); math.Abs(got-0.1/math.Sqrt(12)) > 1e-12 {
		t.Errorf("spread of 10 g is %v", got)
	}
	if (Measure{}).spread(1, SpoonMass{}) != 0 || b.spread(0, SpoonMass{}) != 0 {
		t.Error("exact doses and no dose have no spread")
	}
}

func TestWholePacks(t *testing.T) {
	shelf := shelfOf(t, "calcium nitrate", "Epsom salt")
	for i := range shelf {
		shelf[i].Pack = 100 * unit.Gram
	}
	j := Job{Shelf: shelf, Target: Target{Recipe: "lettuce"}, Measure: Measure{Kind: Packs}, Bed: 1000 * unit.Litre}
	m, err := Solve(j, library)
	if err != nil {
		t.Fatal(err)
	}
	for _, d := range m.Doses {
		if packs := d.PerBed.Grams() / 100; math.Abs(packs-math.Round(packs)) > 1e-9 || int(math.Round(packs)) != d.Steps {
			t.Errorf("%s: %v packs", d.Product, packs)
		}
	}
	j.Bed = 0
	if _, err := Solve(j, library); err == nil || !strings.Contains(err.Error(), "mix.fault.packs_bed at mix.measure") {
		t.Errorf("packs into no bed: %v", err)
	}
	j.Bed, j.Shelf[0].Pack = 1, 0
	if _, err := Solve(j, library); err == nil || !strings.Contains(err.Error(), "mix.fault.pack_size at") {
		t.Errorf("packs of no size: %v", err)
	}
}

// Doses are told in every measure, and the measures agree.
func TestMeasuresAgree(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		bucket := unit.Volume(rapid.Float64Range(1, 100).Draw(t, "bucket")) * unit.Litre
		bed := unit.Volume(rapid.Float64Range(100, 2000).Draw(t, "bed")) * unit.Litre
		lib := library.Materials()
		m, err := Solve(Job{Shelf: lib[:4], Target: Target{Recipe: "steiner"}, Bucket: bucket, Bed: bed}, library)
		if err != nil {
			t.Fatal(err)
		}
		for _, d := range m.Doses {
			for _, x := range []struct{ got, volume float64 }{{d.PerBucket.Grams(), m.Fill.Makes.Litres()}, {d.PerBed.Grams(), bed.Litres()}, {d.PerGallon.Grams(), 3.785411784}, {d.Per100Gallon.Grams(), 378.5411784}} {
				if !near(x.got/x.volume, d.Strength.GramsPerLitre(), 1e-12) {
					t.Fatalf("%v g in %v L is not %v g/L", x.got, x.volume, d.Strength)
				}
			}
			if q := d.Spoons / quarter; q != math.Round(q) {
				t.Fatalf("%v spoons", d.Spoons)
			}
		}
	})
}

func TestExactIsSaid(t *testing.T) {
	m, err := Solve(Job{Shelf: shelfOf(t, "Epsom salt"), Target: Target{Recipe: "lettuce"}}, library)
	if err != nil {
		t.Fatal(err)
	}
	for _, id := range []finding.ID{AssumeExact, AssumeBucket} {
		if !slices.ContainsFunc(m.Assumptions, func(a finding.Assumption) bool { return a.ID == id }) {
			t.Errorf("%s is not listed", id)
		}
	}
	if math.Abs(m.Bucket.Gallons()-5) > 1e-12 {
		t.Errorf("the bucket is %v gal", m.Bucket.Gallons())
	}
}

// Weighed spoons have doubts of their own, and the advice to weigh them is gone.
func TestWeighedSpoonsAreNotToldToBeWeighed(t *testing.T) {
	powder, err := tradeRecipe()[0].Material.WeighSpoons("", 0, 0, []unit.Mass{4.6 * unit.Gram, 4.7 * unit.Gram, 4.8 * unit.Gram})
	if err != nil {
		t.Fatal(err)
	}
	for count, own := range map[int]bool{0: false, 3: true} {
		m := tradeRecipe()[0].Material
		if own {
			m = powder
		}
		c, err := RecipeJob{Portions: []Portion{{Material: m, Spoons: 1}}, Per: unit.Gallon}.Judge(library)
		if err != nil {
			t.Fatal(err)
		}
		_, told := hasFinding(c.Findings, FindOwnSpoons)
		_, asked := hasFinding(c.Findings, FindSpoonDoubt)
		if told != own || asked == own || c.Doses[0].Spoon.Count != count {
			t.Errorf("%d spoons weighed: own %v, asked to weigh %v", count, told, asked)
		}
	}
}
