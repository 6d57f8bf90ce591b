package mix

import (
	"slices"
	"testing"

	"raftwright/unit"
)

// organicLabel is a label of a feed of which so much of the mass is nitrogen, with so much of that in each stated form (negative: not stated).
func organicLabel(name string, n, nitrate, ammonium, organic float64) Material {
	l := Label{Grade: Grade{percent(n), percent(1), percent(1), true}}
	for form, x := range map[Nutrient]float64{NitrateN: nitrate, AmmoniumN: ammonium} {
		if x >= 0 {
			l.Stated[form] = States(percent(x))
		}
	}
	if organic >= 0 {
		l.OrganicN = States(percent(organic))
	}
	return Material{Name: name, Label: &l, Density: 1150}
}

// What lived is told by its name, in either language, or by its label; a mined salt that is called organic is not, nor is a feed whose label
// explains all of its nitrogen. What has to rot counts as no form of nitrogen (common practice, no source: roots take up nitrate and ammonium).
func TestOrganicFeeds(t *testing.T) {
	for _, c := range []struct {
		of      Material
		rots    bool
		mineral float64 // percent
	}{
		{organicLabel("fish emulsion", 5, -1, -1, -1), true, 0},
		{organicLabel("Emulsión de pescado", 5, -1, -1, -1), true, 0},
		{organicLabel("Té de lombriz", 1, -1, -1, -1), true, 0},
		{organicLabel("fish feed", 5, 0, 0.4, -1), true, 0.4},
		{organicLabel("liquid 5-1-1", 5, 0, 0.4, 4.6), true, 0.4},
		{organicLabel("kelp extract", 0, -1, -1, -1), true, 0},
		{organicLabel("organic all-purpose", 8, -1, -1, -1), true, 0},
		{organicLabel("organic sulfate of potash", 0, -1, -1, -1), false, 0},
		{organicLabel("organic soda niter", 15, 15, 0, -1), false, 15},
		{organicLabel("non-organic feed", 20, -1, -1, -1), false, 20},
		{organicLabel("inorganic feed", 20, -1, -1, -1), false, 20},
		{organicLabel("complete feed", 20, -1, -1, 1.1), true, 18.9},
		{organicLabel("complete feed", 20, -1, -1, 0.9), false, 19.1},
	} {
		got := contents(t, c.of)
		forms := got.Shares[NitrateN] + got.Shares[AmmoniumN] + got.Shares[UreaN]
		if got.Rots != c.rots || !near(got.Shares[Nitrogen].Percents(), c.mineral, 1e-9) || !near(forms.Percents(), c.mineral, 1e-9) || c.of.Rots() != c.rots {
			t.Errorf("%s: rots %v, %.2f %% of mineral nitrogen, %.2f %% in forms", c.of.Name, got.Rots, got.Shares[Nitrogen].Percents(), forms.Percents())
		}
	}
	// forms that leave nitrogen open are still wrong where nothing says that it is organic
	wrong := organicLabel("powder", 5, 0, 0.4, -1)
	wrong.Label.Stated[UreaN] = States(0)
	if _, faults := wrong.Contents(); faults == nil {
		t.Error("4.6 % of nitrogen is in no form, and that is no fault")
	}
}

// No mix has an organic feed in it: neither one that is chosen nor one whose doses were given, and no change to a recipe as found keeps it.
func TestOrganicFeedsAreNotDosed(t *testing.T) {
	shelf := append(fiveSalts(t), organicLabel("fish emulsion", 5, -1, -1, -1))
	pinned := make([]unit.MassConcentration, len(shelf))
	pinned[0], pinned[len(shelf)-1] = 0.5, 2
	for name, m := range map[string]Mix{"chosen": solve(t, Job{Shelf: shelf, Target: Target{Recipe: "lettuce"}}),
		"given": solve(t, Job{Shelf: shelf, Target: Target{Recipe: "lettuce"}, Pinned: pinned})} {
		f, told := hasFinding(m.Findings, FindOrganic)
		if !told || f.Args["Product"] != "fish emulsion" || len(m.Doses) == 0 || slices.ContainsFunc(m.Doses, func(d Dose) bool { return d.Product == "fish emulsion" }) {
			t.Errorf("%s: told %v, doses %+v", name, told, m.Doses)
		}
	}
	c, err := RecipeJob{Portions: []Portion{{Material: shelf[len(shelf)-1], Mass: 20 * unit.Gram}, {Material: epsom(), Mass: 2 * unit.Gram}}, Per: unit.Gallon}.Judge(library)
	if err != nil {
		t.Fatal(err)
	}
	if f, told := hasFinding(c.Findings, FindOrganic); !told || f.Args["Found"] != true || c.Achieved[Nitrogen] > unit.MilligramPerLitre {
		t.Errorf("of a recipe with it %v is told, and %v of nitrogen counted", f.Args, c.Achieved[Nitrogen])
	}
	for _, m := range c.Mends {
		if slices.ContainsFunc(m.Doses, func(d Amount) bool { return d.Product == "fish emulsion" }) {
			t.Errorf("%v keeps it: %+v", m.Kind, m.Doses)
		}
	}
}
