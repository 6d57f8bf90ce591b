package mix

import (
	_ "embed"
	"slices"
	"strings"

	"raftwright/finding"
	"raftwright/internal/table"
	"raftwright/source"
	"raftwright/unit"
)

//go:embed tables/salts.csv
var saltsText string

//go:embed tables/grades.csv
var gradesText string

//go:embed tables/recipes.csv
var recipesText string

//go:embed tables/harms.csv
var harmsText string

// Library is what a mix looks up: recipes, and materials of the trade by their
// common names. None has a maker or a price.
type Library struct {
	Recipes Recipes
	Salts   Materials
	Grades  Materials
	Harms   Harms
}

// Tables are the embedded tables.
func Tables() table.Texts {
	return table.Texts{{File: "recipes.csv", Text: recipesText, Key: []string{"key"}}, {File: "salts.csv", Text: saltsText, Key: []string{"name"}},
		{File: "grades.csv", Text: gradesText, Key: []string{"name"}}, {File: "harms.csv", Text: harmsText, Key: []string{"element", "crop"}}}
}

// ReadLibrary reads tables with the columns of the embedded ones.
func ReadLibrary(t table.Texts) (l Library, faults finding.Faults) {
	var salts, grades, harms finding.Faults
	l.Recipes, faults = ReadRecipes("recipes.csv", t.Of("recipes.csv").Text)
	l.Salts, salts = ReadSalts("salts.csv", t.Of("salts.csv").Text)
	l.Grades, grades = ReadGrades("grades.csv", t.Of("grades.csv").Text)
	l.Harms, harms = ReadHarms("harms.csv", t.Of("harms.csv").Text)
	return l, slices.Concat(faults, salts, grades, harms)
}

// DefaultLibrary gives the embedded tables.
func DefaultLibrary() Library { return table.Must(ReadLibrary(Tables())) }

// Materials is a table of materials.
type Materials struct{ list []Material }

// salt is what the table of salts knows beside a material's own figures.
type salt struct {
	lowSpoon, spoon, highSpoon unit.Mass
	solubility20, solubility10 unit.MassConcentration
	spoonSource                source.ID
}

// ReadSalts reads a table of salts with the columns of salts.csv.
func ReadSalts(file, text string) (t Materials, _ finding.Faults) {
	faults := table.Read(file, text, func(r *table.Row) {
		grams := func(column string) unit.Mass { return unit.Mass(r.Maybe(column, 0.1, 50)) * unit.Gram }
		strength := func(column string) unit.MassConcentration {
			return unit.MassConcentration(r.Maybe(column, 0.01, 5000)) * unit.GramPerLitre
		}
		s := salt{lowSpoon: grams("teaspoon_low_g"), spoon: grams("teaspoon_g"), highSpoon: grams("teaspoon_high_g"),
			solubility20: strength("solubility20_g_L"), solubility10: strength("solubility10_g_L"), spoonSource: r.Source("spoon_source")}
		t.list = append(t.list, Material{Name: r.Need("name"), Formula: r.Text("formula"), Purity: unit.Fraction(r.Number("purity_percent", 1, 100)) * unit.Percent,
			Solubility: s.solubility20, spanish: unit.Fold(optional(r, "spanish")), kin: &s})
	})
	return t, faults
}

// ReadGrades reads a table of labels with the columns of grades.csv.
func ReadGrades(file, text string) (t Materials, _ finding.Faults) {
	faults := table.Read(file, text, func(r *table.Row) {
		share := func(column string) unit.Fraction { return unit.Fraction(r.Maybe(column, 0, 100)) * unit.Percent }
		l := Label{Grade: Grade{N: share("n"), P2O5: share("p2o5"), K2O: share("k2o"), Given: true}, Usual: true}
		for n := range NutrientCount {
			if column := strings.TrimSuffix(n.Key(), "-n"); column != "" && r.Has(column) {
				l.Stated[n] = States(share(column))
			}
		}
		t.list = append(t.list, Material{Name: r.Need("name"), Label: &l, spanish: unit.Fold(optional(r, "spanish"))})
	})
	return t, faults
}

// optional gives the text of a column that a table may lack.
func optional(r *table.Row, column string) string {
	if !r.Has(column) {
		return ""
	}
	return r.Text(column)
}

// named finds a material, also by its name in Spanish or with the British spelling of
// fertilizer, and by its three numbers alone.
func (t Materials) named(name string) (Material, bool) {
	name = strings.ReplaceAll(unit.Fold(name), "fertiliser", "fertilizer")
	graded := strings.Count(name, "-") == 2 && !strings.Contains(name, " ")
	for _, m := range t.list {
		if unit.Fold(m.Name) == name || m.spanish != "" && m.spanish == name || graded && strings.HasSuffix(m.Name, " "+name) {
			return m, true
		}
	}
	return Material{}, false
}

// Materials lists the salts and then the graded fertilisers, in the order of
// their tables.
func (l Library) Materials() []Material { return append(slices.Clone(l.Salts.list), l.Grades.list...) }

// Names lists the names of the materials.
func (l Library) Names() []string {
	var names []string
	for _, m := range l.Materials() {
		names = append(names, m.Name)
	}
	return names
}

// Material gives a material by name, and whether there is one.
func (l Library) Material(name string) (Material, bool) {
	if m, ok := l.Salts.named(name); ok {
		return m, true
	}
	return l.Grades.named(name)
}

// know gives a material what the library knows of the same salt, however its
// formula is spelled.
func (l Library) know(m Material) Material {
	if m.Formula == "" {
		return m
	}
	mine := strings.NewReplacer("·", ".", "•", ".", " ", "").Replace(m.Formula)
	for _, s := range l.Salts.list {
		if s.Formula == mine {
			m.kin = s.kin
			break
		}
	}
	return m
}

// Recipes is a table of published nutrient solutions.
type Recipes struct{ list []Recipe }

// ReadRecipes reads a table of recipes with the columns of recipes.csv: an empty
// cell means that the source does not say.
func ReadRecipes(file, text string) (t Recipes, _ finding.Faults) {
	faults := table.Read(file, text, func(r *table.Row) {
		c := Recipe{Key: r.Need("key"), Name: r.Text("name"), Crop: r.Text("crop"), Source: r.Source("source"),
			Read: r.Word("read", "memory", "table", "abstract", "opening", "second-hand", "read") > 0, spans: r.Has("span") && r.Yes("span"), Note: r.Text("note"), also: r.Text("also"), spanish: unit.Fold(optional(r, "spanish")),
			EC: unit.Conductivity(r.Maybe("ec", 0, 20)) * unit.MillisiemensPerCentimetre}
		for n := range NutrientCount {
			if r.Has(n.Symbol()) {
				c.Levels[n] = unit.MassConcentration(r.Maybe(n.Symbol(), 0, 10000)) * unit.MilligramPerLitre
			}
		}
		t.list = append(t.list, c)
	})
	return t, faults
}

// All lists the recipes in the order of the table.
func (t Recipes) All() []Recipe { return slices.Clone(t.list) }

// Recipe finds a recipe by key or by one of its short names ("lettuce" is
// modified_sonneveld_lettuce). The fault names the nearest, or what to write in
// place of a name that practice knows but that tells no figures to fill a bed with.
func (l Library) Recipe(path finding.Path, name string) (Recipe, finding.Faults) {
	want := unit.Fold(name)
	var names []string
	for _, r := range l.Recipes.list {
		if want != "" && (want == r.Key || want == r.also || want == unit.Fold(r.Name) || want == r.spanish) {
			return r, nil
		}
		names = append(names, r.Key)
		if r.also != "" {
			names = append(names, r.also)
		}
	}
	if right, known := noRecipes[want]; known {
		return Recipe{}, finding.Faults{{ID: FaultNoRecipe, Path: path, Args: finding.Args{"Name": want}, Right: right}}
	}
	return Recipe{}, finding.Faults{finding.Unknown(FaultRecipe, path, clip(name), names)}
}

// noRecipes are names of practice that tell no figures to fill a bed with.
var noRecipes = map[string]finding.ID{"nursery_half": rightNursery, "seedling_feed": rightSeedling, "strawberry_low": rightStrawberry,
	"trade_202020": rightSpoons, "uptake_batavia_2024": rightUptake}
