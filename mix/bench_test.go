package mix

import (
	"math/rand/v2"
	"strings"
	"testing"

	"raftwright/chem"
	"raftwright/unit"
)

func shelfOf(t testing.TB, names ...string) []Material {
	t.Helper()
	var out []Material
	for _, n := range names {
		m, ok := library.Material(n)
		if !ok {
			t.Fatalf("no %q in the library", n)
		}
		out = append(out, m)
	}
	return out
}

// fifteen is a well stocked store.
func fifteen(t testing.TB) []Material {
	return shelfOf(t, "calcium nitrate", "potassium nitrate", "monopotassium phosphate", "Epsom salt", "potassium sulfate", "ammonium sulfate",
		"monoammonium phosphate", "magnesium nitrate", "calcium chloride", "urea", "complete fertiliser 20-20-20", "complete fertiliser 20-10-20",
		"calcium-magnesium fertiliser 15-5-15", "hydroponic base powder 5-12-26", "iron EDTA")
}

// hardWell is a limestone well, 240 mg/L alkalinity.
func hardWell() Water {
	return Water{Ions: chem.Composition{Ca: 2.2, Mg: 0.6, Na: 0.5, K: 0.05, NO3: 0.1, Cl: 0.6, SO4: 0.25, TIC: 5.1, Inert: -0.2}}
}

func BenchmarkSolveFifteen(b *testing.B) {
	for _, c := range []struct {
		name string
		most int
		m    Measure
	}{
		{"four, scale", 4, Measure{Scale, unit.Gram}},
		{"four, spoons", 4, Measure{Kind: Spoons}},
		{"six, scale 0.1 g", 6, Measure{Scale, unit.Gram / 10}},
		{"any, scale", 0, Measure{Scale, unit.Gram}},
		{"any, exact", 0, Measure{}},
		{"four, scale, EC", 4, Measure{Scale, unit.Gram}},
		{"four, scale, kale", 4, Measure{Scale, unit.Gram}},
	} {
		b.Run(c.name, func(b *testing.B) {
			j := Job{Water: hardWell(), Shelf: fifteen(b), Target: Target{Recipe: "lettuce"}, Measure: c.m, MostProducts: c.most, Bed: 100 * unit.Gallon,
				Stock: Stock{5 * unit.Gallon, 100}, Acid: &AcidAsk{Name: "sulfuric acid", Reagent: chem.Composition{SO4: 1}, PH: 5.8}}
			if strings.HasSuffix(c.name, "EC") {
				j.Target.EC = 1.8 * mS
			}
			if strings.HasSuffix(c.name, "kale") { // whose range of EC steers the mix
				j.Crop = Crop{ID: "kale", EC: Band{1.8, 2.1}}
			}
			b.ReportAllocs()
			for b.Loop() {
				if _, err := Solve(j, library); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkSubsets(b *testing.B) {
	r := rand.New(rand.NewPCG(1, 2))
	blends := make([]*blend, 20)
	for i := range blends {
		blends[i] = randomBlend(r, 15)
	}
	b.ResetTimer()
	nodes := 0
	for i := 0; b.Loop(); i++ {
		bl := blends[i%len(blends)]
		w := &search{p: bl.p, products: 15, most: 4, least: make([]float64, 15), maxNodes: mostNodes}
		w.run(make([]float64, bl.p.n), bl.upper)
		nodes += w.nodes
		if !w.proven {
			b.Fatal("not proven")
		}
	}
	b.ReportMetric(float64(nodes)/float64(b.N), "nodes/op")
}

// randomBlend is a shelf of invented products: each brings one to five nutrients.
func randomBlend(r *rand.Rand, n int) *blend {
	b := &blend{wishes: plainWishes()}
	for i := range n {
		var s Shares
		for range 1 + r.IntN(5) {
			k := []Nutrient{Nitrogen, Phosphorus, Potassium, Calcium, Magnesium, Sulfur, Iron}[r.IntN(7)]
			s[k] = unit.Fraction(r.Float64() * 0.3)
			if k == Iron {
				s[k] /= 50
			}
		}
		b.products = append(b.products, product{index: i, contents: Contents{Shares: s}, cost: 0.001 + 0.01*r.Float64()})
	}
	b.build()
	return b
}

// BenchmarkSolveUsual is the shelf of a small store: five salts, a scale.
func BenchmarkSolveUsual(b *testing.B) {
	j := Job{Water: hardWell(), Shelf: fiveSalts(b), Target: Target{Recipe: "lettuce"}, Measure: Measure{Scale, unit.Gram}, MostProducts: 4, Bed: 100 * unit.Gallon}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Solve(j, library); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkJudge(b *testing.B) {
	r := RecipeJob{Water: hardWell(), Portions: tradeRecipe(), Per: unit.Gallon}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := r.Judge(library); err != nil {
			b.Fatal(err)
		}
	}
}
