package mix

import (
	_ "embed"
	"encoding/csv"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"sync"

	"raftwright/source"
	"raftwright/unit"
)

//go:embed tables/salts.csv
var saltsText string

//go:embed tables/grades.csv
var gradesText string

//go:embed tables/recipes.csv
var recipesText string

// sheet is a table with a head line, read once.
type sheet struct {
	columns map[string]int
	rows    [][]string
}

func readSheet(text string) (sheet, error) {
	r := csv.NewReader(strings.NewReader(text))
	r.Comment = '#'
	all, err := r.ReadAll()
	if err != nil {
		return sheet{}, err
	}
	if len(all) < 2 {
		return sheet{}, fmt.Errorf("a table needs a head line and rows")
	}
	s := sheet{columns: map[string]int{}, rows: all[1:]}
	for i, name := range all[0] {
		s.columns[name] = i
	}
	return s, nil
}

func (s sheet) text(row int, column string) string {
	i, ok := s.columns[column]
	if !ok {
		return ""
	}
	return strings.TrimSpace(s.rows[row][i])
}

// number gives a figure of the table and whether there is one.
func (s sheet) number(row int, column string) (float64, bool) {
	x, err := strconv.ParseFloat(s.text(row, column), 64)
	return x, err == nil
}

func (s sheet) share(row int, column string) unit.Fraction {
	x, _ := s.number(row, column)
	return unit.Fraction(x) * unit.Percent
}

// ours reads a table of this package; a test reads each, so that it cannot fail.
func ours(text string) func() sheet {
	return sync.OnceValue(func() sheet {
		s, err := readSheet(text)
		if err != nil {
			return sheet{}
		}
		return s
	})
}

var (
	saltSheet   = ours(saltsText)
	gradeSheet  = ours(gradesText)
	recipeSheet = ours(recipesText)
)

// saltEntry is what the table knows of one salt.
type saltEntry struct {
	name, formula              string
	purity                     unit.Fraction
	lowSpoon, spoon, highSpoon unit.Mass
	solubility20, solubility10 unit.MassConcentration
	spoonSource                source.ID
}

// salts is the table of salts, read once.
var salts = sync.OnceValue(func() []saltEntry {
	var out []saltEntry
	for row := range saltSheet().rows {
		out = append(out, saltAt(row))
	}
	return out
})

func saltAt(row int) saltEntry {
	s := saltSheet()
	grams := func(c string) unit.Mass { x, _ := s.number(row, c); return unit.Mass(x) * unit.Gram }
	strength := func(c string) unit.MassConcentration { x, _ := s.number(row, c); return unit.MassConcentration(x) }
	return saltEntry{
		name: s.text(row, "name"), formula: s.text(row, "formula"), purity: s.share(row, "purity_percent"),
		lowSpoon: grams("teaspoon_low_g"), spoon: grams("teaspoon_g"), highSpoon: grams("teaspoon_high_g"),
		solubility20: strength("solubility20_g_L"), solubility10: strength("solubility10_g_L"), spoonSource: source.ID(s.text(row, "spoon_source")),
	}
}

// Library lists the generic salts and graded fertilisers, salts first, in the
// order of their tables. None has a maker or a price.
func Library() []Material { return slices.Clone(library()) }

var library = sync.OnceValue(func() []Material {
	var out []Material
	for _, e := range salts() {
		out = append(out, Material{Name: e.name, Formula: e.formula, Purity: e.purity, Solubility: e.solubility20})
	}
	g := gradeSheet()
	for row := range g.rows {
		out = append(out, Material{Name: g.text(row, "name"), Label: &Label{
			Grade:   Grade{N: g.share(row, "n"), P2O5: g.share(row, "p2o5"), K2O: g.share(row, "k2o"), Given: true},
			Nitrate: States(g.share(row, "nitrate")), Ammonium: States(g.share(row, "ammonium")), Urea: States(g.share(row, "urea")),
			Calcium: g.share(row, "calcium"), Magnesium: g.share(row, "magnesium"), Sulfur: g.share(row, "sulfur"),
			Iron: g.share(row, "iron"), Manganese: g.share(row, "manganese"), Zinc: g.share(row, "zinc"), Copper: g.share(row, "copper"),
			Boron: g.share(row, "boron"), Molybdenum: g.share(row, "molybdenum"),
		}})
	}
	return out
})

// LibraryMaterial gives a material of the library by name, and whether there is
// one.
func LibraryMaterial(name string) (Material, bool) {
	for _, m := range library() {
		if strings.EqualFold(m.Name, strings.TrimSpace(name)) {
			return m, true
		}
	}
	return Material{}, false
}
