package mix

import (
	"testing"

	"raftwright/internal/table"
)

// A user's own rows stand in place of ours of the same name; ours stays as it was.
func TestLibraryOver(t *testing.T) {
	texts := Tables()
	mine, faults := ReadLibrary(texts.With(texts.Of("salts.csv").Over("name,formula,purity_percent,teaspoon_low_g,teaspoon_g,teaspoon_high_g,solubility20_g_L,solubility10_g_L,spoon_source\n" +
		"Epsom SALT,MgSO4.7H2O,90,4,5,6,700,600,given\nbitter salt,MgSO4.7H2O,95,,,,,,\n")).
		With(texts.Of("recipes.csv").Over("key,name,crop,N,K,ec,source,read,also,note\nmine,My own,lettuce,120,160,1.4,given,memory,,\n")))
	if faults != nil {
		t.Fatal(faults)
	}
	m, _ := mine.Material("Epsom salt")
	was, _ := library.Material("Epsom salt")
	if m.Purity != 0.9 || was.Purity == 0.9 || len(mine.Materials()) != len(library.Materials())+1 {
		t.Errorf("%v, %v, %d materials", m.Purity, was.Purity, len(mine.Materials()))
	}
	got, missing := mine.Recipe("target.recipe", "mine")
	if missing != nil || got.Levels[Potassium].MilligramsPerLitre() != 160 || got.Levels[Calcium] != 0 {
		t.Errorf("%v %v", got, missing)
	}
}

func TestLibraryFaults(t *testing.T) {
	_, faults := ReadGrades("g.csv", "name,n,p2o5,k2o,nitrate\n,20,20,120,6\n")
	if len(faults) != 2 || faults[0].ID != table.FaultNumber && faults[1].ID != table.FaultNumber {
		t.Error(faults)
	}
	if _, faults := library.Recipe("target.recipe", "nursery_half"); len(faults) != 1 || faults[0].ID != FaultNoRecipe || faults[0].Right != rightNursery {
		t.Error(faults)
	}
}

func FuzzReadTables(f *testing.F) {
	for i, text := range []string{saltsText, gradesText, recipesText, "", "name,formula\na,KNO3\n"} {
		f.Add(uint8(i), text)
	}
	f.Fuzz(func(t *testing.T, which uint8, text string) {
		read := ReadSalts
		switch which % 3 {
		case 1:
			read = ReadGrades
		case 2:
			recipes, _ := ReadRecipes("", text)
			for _, r := range recipes.All() {
				r.Unbalanced()
			}
			return
		}
		materials, faults := read("", text)
		for _, m := range materials.list {
			if faults == nil && m.Name == "" {
				t.Fatal("a material without a name")
			}
			m.Contents()
		}
	})
}
