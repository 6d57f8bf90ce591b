package mix

import (
	"math"
	"strings"
	"testing"

	"raftwright/chem"
	"raftwright/finding"
	"raftwright/lang"
	"raftwright/unit"
)

// The working can be followed: what is printed is what its inputs give.
func TestWorkingAddsUp(t *testing.T) {
	shelf := append(fiveSalts(t), general2020())
	for i := range shelf {
		shelf[i].Price, shelf[i].Pack, shelf[i].Currency = 10, unit.Kilogram, "USD"
	}
	m := solve(t, Job{Water: hardWell(), Shelf: shelf, Target: Target{Recipe: "lettuce"}, Measure: Measure{Scale, unit.Gram}})
	steps := m.Working()
	words, err := lang.For("en", lang.US)
	if err != nil {
		t.Fatal(err)
	}
	seen := map[string]int{}
	for _, s := range steps {
		s = words.Step(s)
		formula := s.Formula
		in := func(symbol string) float64 {
			for _, i := range s.Inputs {
				if i.Symbol == symbol {
					return i.Value
				}
			}
			t.Fatalf("%s: no input %s", s.Name, symbol)
			return 0
		}
		var want float64
		switch formula {
		case "atoms x atomic weight / molar mass x purity":
			want = in("atoms") * in("atomic weight") / in("molar mass") * in("purity")
		case "P2O5 on the label x 2 P / P2O5":
			want = in("P2O5") / 100 * in("factor")
		case "K2O on the label x 2 K / K2O":
			want = in("K2O") / 100 * in("factor")
		case "mass in a bucket / volume of the bucket":
			want = in("mass") / in("volume")
		case "water + acid + sum of dose x share":
			want = 0
			for _, i := range s.Inputs {
				want += i.Value
			}
		case "achieved / wanted - 1":
			want = in("achieved")/in("wanted") - 1
		case "form / all nitrogen x 100":
			want = 100 * in(s.Symbol) / in("N")
		case "weight x (short^2 + 0.01 surplus^2 + 0.1 over^2) + 10 harm^2; short and surplus of wanted, over of high, harm of harm":
			above := func(line float64) float64 {
				if line == 0 {
					return 0
				}
				return sq(math.Max(0, in("achieved")/line-1))
			}
			want = 10 * above(in("harm"))
			if in("wanted") > 0 {
				want += in("weight") * (sq(math.Max(0, 1-in("achieved")/in("wanted"))) + 0.01*above(in("wanted")) + 0.1*above(in("high")))
			}
		case "square root of the sum of costs over the sum of weights":
			top, bottom := 0.0, 0.0
			for i := 0; i < len(s.Inputs); i += 2 {
				top += s.Inputs[i+1].Value
				bottom += s.Inputs[i].Value
			}
			want = math.Sqrt(top / bottom)
		case "2 Ca + 2 Mg + Na + K + NH4 - NO3 - Cl - 2 SO4 - P + inert":
			want = 2*in("Ca") + 2*in("Mg") + in("Na") + in("K") + in("NH4") - in("NO3") - in("Cl") - 2*in("SO4") - in("P") + in("inert")
		case "sum of dose x 1000 L x price / pack":
			want = 0
			for i := 0; i < len(s.Inputs); i += 2 {
				want += s.Inputs[i].Value * 1000 * s.Inputs[i+1].Value
			}
		default:
			continue
		}
		seen[formula]++
		if math.Abs(s.Value-want) > 1e-9*(1+math.Abs(want)) {
			t.Errorf("%s: %v printed, %v by hand", s.Name, s.Value, want)
		}
	}
	if len(seen) < 9 {
		t.Errorf("only %d kinds of step were followed: %v", len(seen), seen)
	}
	for _, s := range steps {
		if s.Name == "" || s.Symbol == "" || s.Formula == "" || s.Source == "" {
			t.Errorf("a step is not whole: %+v", s)
		}
	}
}

// Every sentence that a wide choice of jobs raises is printed in full.
func TestSentencesArePrinted(t *testing.T) {
	said := map[finding.ID]bool{}
	for _, language := range []lang.Units{lang.US, lang.Metric} {
		p, err := lang.For("en", language)
		if err != nil {
			t.Fatal(err)
		}
		hear := func(m Mix) {
			for _, f := range m.Findings {
				said[f.ID] = true
				if s := p.Finding(f); strings.Contains(s, "<no value>") || strings.Contains(s, "mix.") || strings.Contains(s, "word.") || strings.Contains(s, "nutrient.") || len(s) < 20 {
					t.Errorf("%s prints %q", f.ID, s)
				}
			}
			for _, a := range m.Assumptions {
				said[a.ID] = true
				text, replace := p.Assumption(a)
				if strings.Contains(text+replace, "<no value>") || len(text) < 15 || len(replace) < 10 {
					t.Errorf("%s prints %q, %q", a.ID, text, replace)
				}
			}
		}
		lettuce := Target{Recipe: "lettuce"}
		soda, _ := library.Material("baking soda")
		trade := tradeRecipe()
		for _, j := range []Job{
			{Target: lettuce}, {Shelf: []Material{general2020(), {Name: "salt", Formula: "MgSO4.7H2O"}, {Name: "acid", Formula: "HNO3"}, {Name: "al", Formula: "AlCl3"}}, Target: lettuce, Measure: Measure{Kind: Spoons}},
			{Water: hardWell(), Shelf: append(fiveSalts(t), shelfOf(t, "iron sulfate", "boric acid")...), Target: Target{Recipe: "vera_standard"}, Measure: Measure{Scale, unit.Gram}, Bed: 1, Stock: Stock{1e-3, 900}},
			{Shelf: shelfOf(t, "potassium nitrate"), Target: Target{Recipe: "lettuce", EC: 0.001 * mS, Limits: []Limit{{Nutrient: Calcium, Least: .05}}}, Acid: &AcidAsk{Name: "lye", Reagent: chem.Composition{SO4: 1}, PH: 9}},
			{Shelf: []Material{{Name: "p", Label: &Label{Grade: Grade{.05, .12, .26, true}}}, {Name: "c", Label: &Label{Grade: Grade{0, 0, .6, true}}}, {Name: "u", Label: &Label{Grade: Grade{.17, .44, 0, true}, Stated: Statements{UreaN: States(.17)}}}, general2020()}, Target: lettuce},
		} {
			hear(solve(t, j))
		}
		for _, r := range []RecipeJob{{Portions: trade, Per: unit.Gallon}, {Water: hardWell(), Portions: append(trade, Portion{Material: soda, Spoons: 2}), Per: unit.Gallon}} {
			c, err := r.Judge(library)
			if err != nil {
				t.Fatal(err)
			}
			hear(c.Mix)
		}
	}
	if len(said) < 35 {
		t.Errorf("only %d sentences were heard: %v", len(said), said)
	}
}
