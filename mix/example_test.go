package mix_test

import (
	"fmt"

	"raftwright/mix"
	"raftwright/unit"
)

// Four salts for a hundred gallons of rain water, weighed for the bed.
func ExampleSolve() {
	var shelf []mix.Material
	for _, name := range []string{"calcium nitrate", "potassium nitrate", "monopotassium phosphate", "Epsom salt"} {
		m, _ := mix.DefaultLibrary().Material(name)
		shelf = append(shelf, m)
	}
	m, err := mix.Solve(mix.Job{
		Shelf: shelf, Target: mix.Target{Recipe: "lettuce"},
		Bucket: 5 * unit.Gallon, Bed: 100 * unit.Gallon, Measure: mix.Measure{Kind: mix.Scale, Step: unit.Gram},
	}, mix.DefaultLibrary())
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, d := range m.Doses {
		fmt.Printf("%s: %.0f g for the bed\n", d.Product, d.PerBed.Grams())
	}
	fmt.Printf("EC %.2f mS/cm, calcium %.0f mg/L\n", m.EC.MillisiemensPerCentimetre(), m.Achieved[mix.Calcium].MilligramsPerLitre())
	// Output:
	// calcium nitrate: 203 g for the bed
	// potassium nitrate: 188 g for the bed
	// monopotassium phosphate: 52 g for the bed
	// Epsom salt: 94 g for the bed
	// EC 1.54 mS/cm, calcium 97 mg/L
}

// The trade's two measures: two level teaspoons of a 20-20-20 and one of Epsom
// salt in a gallon of water without calcium.
func ExampleRecipeJob_Judge() {
	label := mix.Label{Grade: mix.Grade{N: 0.20, P2O5: 0.20, K2O: 0.20, Given: true},
		Stated: mix.Statements{mix.NitrateN: mix.States(0.060), mix.AmmoniumN: mix.States(0.039), mix.UreaN: mix.States(0.101)}}
	salt, _ := mix.DefaultLibrary().Material("Epsom salt")
	c, err := mix.RecipeJob{
		Portions: []mix.Portion{
			{Material: mix.Material{Name: "complete fertiliser", Label: &label, LevelTeaspoon: 4.93 * unit.Gram}, Spoons: 2},
			{Material: salt, Spoons: 1},
		},
		Per: unit.Gallon,
	}.Judge(mix.DefaultLibrary())
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, n := range []mix.Nutrient{mix.Nitrogen, mix.Phosphorus, mix.Potassium, mix.Calcium} {
		fmt.Printf("%s %.0f mg/L\n", n.Symbol(), c.Achieved[n].MilligramsPerLitre())
	}
	fmt.Printf("%.0f %% of the nitrogen is urea\n", c.Nitrogen.Urea.Percents())
	// Output:
	// N 521 mg/L
	// P 227 mg/L
	// K 432 mg/L
	// Ca 0 mg/L
	// 50 % of the nitrogen is urea
}
