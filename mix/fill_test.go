package mix

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"raftwright/chem"
	"raftwright/unit"
)

// What is ticked is what the bed gets, whatever its size, its measure and its shelf:
// within 1 % where a last bucket is rounded, no step below the least that the measure
// can tell, at most ten strong buckets, and the mass of every element conserved.
func TestFillingAddsUp(t *testing.T) {
	lib := library.Materials()
	rapid.Check(t, func(t *rapid.T) {
		j := Job{Shelf: rapid.Permutation(lib).Draw(t, "shelf")[:rapid.IntRange(1, 6).Draw(t, "n")], Target: Target{Recipe: "lettuce"},
			Measure:  rapid.SampledFrom([]Measure{{}, {Scale, unit.Gram}, {Scale, 0.1 * unit.Gram}, {Scale, 5 * unit.Gram}, {Kind: Spoons}}).Draw(t, "measure"),
			Bucket:   unit.Volume(rapid.Float64Range(5, 25).Draw(t, "bucket")) * unit.Litre,
			Bed:      unit.Volume(math.Exp(rapid.Float64Range(math.Log(5), math.Log(80000)).Draw(t, "bed"))) * unit.Litre,
			Chlorine: rapid.Bool().Draw(t, "chlorine")}
		if rapid.Bool().Draw(t, "injector") {
			j.Stock = Stock{Volume: 5 * unit.Gallon, Ratio: rapid.SampledFrom([]float64{50, 100, 200}).Draw(t, "ratio")}
		}
		m, faults := Solve(j, library)
		if faults != nil {
			t.Fatal(faults)
		}
		checkFilling(t, j, m)
	})
}

func checkFilling(t *rapid.T, j Job, m Mix) {
	f := m.Fill
	if made := float64(f.Makes) * f.Batches(); math.Abs(made/float64(j.Bed)-1) > 1e-6 {
		t.Fatalf("%+v makes %v m3 of %v", f, made, j.Bed)
	}
	if (f.Method == Injected) != (j.Stock.Volume > 0) {
		t.Fatalf("an injector of %v is not used: %v", j.Stock, f.Method)
	}
	if f.Method == Stirred && (f.Full > mostBatches || f.Last != 0) || f.Method == Carried && (f.Full > mostCarried || j.Chlorine) {
		t.Fatalf("too many buckets, or chlorine in them: %+v", f)
	}
	for _, d := range m.Doses {
		ticked := d.PerBucket*unit.Mass(f.Full) + d.Last
		if f.Method != Injected && math.Abs(float64(ticked/d.PerBed)-1) > 0.01 {
			t.Fatalf("%s: %v ticked, %v for the bed (%+v)", d.Product, ticked, d.PerBed, f)
		}
		if sum := float64(d.PerBucket) * f.Batches(); math.Abs(sum/float64(d.PerBed)-1) > 1e-6 {
			t.Fatalf("%s: %v in all batches, %v for the bed", d.Product, sum, d.PerBed)
		}
		least := j.Measure.Step
		switch {
		case d.Jug.Take > 0:
			least = d.Jug.step()
			if d.Jug.Take > d.Jug.Water || d.Jug.Mass < j.Measure.Step || math.Abs(float64(d.Jug.Mass)*float64(d.Jug.Take/d.Jug.Water)/float64(d.PerBucket)-1) > 1e-9 {
				t.Fatalf("%s: %+v gives %v", d.Product, d.Jug, d.PerBucket)
			}
		case j.Measure.Kind == Spoons:
			least = d.Spoon.Mass * quarter
			if math.Abs(d.Spoons*float64(d.Spoon.Mass)/float64(d.PerBucket)-1) > 1e-9 {
				t.Fatalf("%s: %v spoons for %v", d.Product, d.Spoons, d.PerBucket)
			}
		}
		if d.PerBucket < least*(1-1e-9) || d.Last > 0 && d.Last < least*(1-1e-9) {
			t.Fatalf("%s: %v and %v, the measure tells %v", d.Product, d.PerBucket, d.Last, least)
		}
		if f.Method == Stirred {
			material := library.know(j.Shelf[d.Shelf])
			if _, cold := material.dissolves(); cold > 0 && d.PerBucket > (cold*strongest).In(f.Vessel)*1.05+least { // the measure rounds
				t.Fatalf("%s: %v in %v of water, of which %v dissolves", d.Product, d.PerBucket, f.Vessel, cold)
			}
		}
	}
}

// The method by hand: the size and the measure decide.
func TestMethodOfFilling(t *testing.T) {
	base := func() Job {
		return Job{Shelf: fiveSalts(t), Target: Target{Recipe: "lettuce"}, Bucket: 5 * unit.Gallon, Measure: Measure{Scale, unit.Gram}}
	}
	for _, x := range []struct {
		name string
		with func(*Job)
		want Filling
	}{
		// 20.2 gal of 5 gal buckets were five buckets, 24 % too much; now the bed is one dose
		{"20.2 gal", func(j *Job) { j.Bed = 20.2 * unit.Gallon }, Filling{Method: Stirred, Full: 1}},
		{"three and a half buckets, measured exactly", func(j *Job) { j.Bed, j.Measure = 17.5*unit.Gallon, Measure{} }, Filling{Method: Carried, Full: 3, Last: 0.5}},
		{"the same with chlorine in the water", func(j *Job) { j.Bed, j.Measure, j.Chlorine = 17.5*unit.Gallon, Measure{}, true }, Filling{Method: Stirred, Full: 1}},
		{"100 gal", func(j *Job) { j.Bed = 100 * unit.Gallon }, Filling{Method: Stirred, Full: 1}},
		// 37 level spoons of calcium nitrate are not counted into one bucket
		{"100 gal in spoons", func(j *Job) { j.Bed, j.Measure = 100*unit.Gallon, Measure{Kind: Spoons} }, Filling{Method: Stirred, Full: 2}},
		// 2000 gal at 1 to 100 take 20 gal of each concentrate: four tanks of 5 gal
		{"2000 gal with an injector", func(j *Job) { j.Bed, j.Stock = 2000*unit.Gallon, Stock{5 * unit.Gallon, 100} }, Filling{Method: Injected, Full: 4}},
		{"60,000 gal", func(j *Job) { j.Bed = 60000 * unit.Gallon }, Filling{Method: Stirred, Full: 5}},
		{"no bed", func(j *Job) {}, Filling{Method: OneBucket, Full: 1}},
	} {
		j := base()
		x.with(&j)
		f := solve(t, j).Fill
		if f.Method != x.want.Method || f.Full != x.want.Full || math.Abs(float64(f.Last-x.want.Last)) > 1e-9 {
			t.Errorf("%s: %+v, not %+v", x.name, f, x.want)
		}
	}
	big := base()
	big.Bed = 60000 * unit.Gallon
	if f := solve(t, big).Fill; f.Vessel < 10*5*unit.Gallon {
		t.Errorf("60,000 gal of feed do not dissolve in five vessels of %v", f.Vessel)
	}
}

// The order of mixing: water, chlorine out, acid, powders, calcium last.
func TestOrderOfFilling(t *testing.T) {
	j := Job{Shelf: fiveSalts(t), Target: Target{Recipe: "lettuce"}, Measure: Measure{Scale, unit.Gram}, Bed: 100 * unit.Gallon, Chlorine: true}
	m := solve(t, j)
	if m.Order[0].Do != FillBed || m.Order[1].Do != CureChlorine || m.Order[len(m.Order)-1].Do != ReadMeters {
		t.Errorf("order %v", m.Order)
	}
	for i, s := range m.Order[:len(m.Order)-1] {
		if (s.Do == DissolveApart) != (s.Product == "calcium nitrate") || s.Do == DissolveApart && i != len(m.Order)-2 {
			t.Errorf("step %d: %+v", i, s)
		}
	}
}

// What has to be in the water before the feed comes first, with an injector too:
// chlorine out, then the acid, then the concentrates.
func TestAcidGoesInBeforeTheFeed(t *testing.T) {
	for name, stock := range map[string]Stock{"stirred": {}, "injected": {5 * unit.Gallon, 100}} {
		m := solve(t, Job{Shelf: fiveSalts(t), Target: Target{Recipe: "lettuce"}, Bed: 300 * unit.Gallon, Stock: stock, Chlorine: true,
			Water: Water{Ions: chem.Composition{Ca: 1, TIC: 2}}, Acid: &AcidAsk{Name: "citric", Reagent: chem.Composition{Citrate: 1}, PH: 5.8}})
		at := func(do ...OrderAction) int {
			return slices.IndexFunc(m.Order, func(s OrderStep) bool { return slices.Contains(do, s.Do) })
		}
		cure, acid, feed := at(CureChlorine), at(AddAcid), at(Dissolve, DissolveApart, Inject)
		if cure < 0 || acid < cure || feed < acid {
			t.Errorf("%s: %v", name, m.Order)
		}
	}
}

// A liter of pure water holds 2.4 to 2.6 g of gypsum from 10 to 25 °C: its solubility product in this house's chemistry gives the
// same as the table, so a bucket is not asked to hold more.
func TestGypsumHardlyDissolves(t *testing.T) {
	known, ok := DefaultLibrary().Material("gypsum")
	if !ok {
		t.Fatal("no gypsum")
	}
	at20, at10 := DefaultLibrary().know(known).dissolves()
	for at, want := range map[unit.Temperature]unit.MassConcentration{20: at20, 10: at10} {
		k, err := chem.At(at)
		if err != nil {
			t.Fatal(err)
		}
		x := unit.MolarConcentration(want.GramsPerLitre()/172.17) * unit.MolePerLitre
		s, err := k.Closed(chem.Composition{Ca: x, SO4: x})
		if err != nil {
			t.Fatal(err)
		}
		if index, ok := s.SI(chem.Gypsum); !ok || math.Abs(index) > 0.04 {
			t.Errorf("%v °C: %v g/L has an index of %.3f", at, want.GramsPerLitre(), index)
		}
	}
}
