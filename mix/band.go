package mix

import (
	"cmp"

	"raftwright/finding"
	"raftwright/internal/table"
	"raftwright/source"
	"raftwright/unit"
)

// Bounds are the upper lines of a nutrient in a solution. Zero: none is published.
type Bounds struct {
	High, Harm         unit.MassConcentration // fine up to High; above Harm it harms
	HighFrom, HarmFrom source.ID
}

// Harms is a table of the levels above which a nutrient harms, of crops in
// general and of those that bear less.
type Harms struct{ list []harmRow }

type harmRow struct {
	nutrient Nutrient
	crop     string // "" for all
	level    unit.MassConcentration
	from     source.ID
}

// ReadHarms reads a table with the columns of harms.csv.
func ReadHarms(file, text string) (t Harms, _ finding.Faults) {
	faults := table.Read(file, text, func(r *table.Row) {
		h := harmRow{crop: r.Text("crop"), from: r.Source("source"), level: unit.MassConcentration(r.Number("harm_mg_L", 0.001, 10000)) * unit.MilligramPerLitre}
		symbols := make([]string, NutrientCount)
		for n := range NutrientCount {
			symbols[n] = n.Symbol()
		}
		h.nutrient = Nutrient(max(0, r.Word("element", symbols...)))
		t.list = append(t.list, h)
	})
	return t, faults
}

// of gives the row of a nutrient for a crop.
func (t Harms) of(n Nutrient, crop string) (harmRow, bool) {
	var out harmRow
	known := false
	for _, h := range t.list {
		if h.nutrient == n && (h.crop == "" && !known || h.crop == crop && crop != "") {
			out, known = h, true
		}
	}
	return out, known
}

// Bounds gives the upper lines of a nutrient for a crop (its ID; "" for any): the
// most that a recipe for leaf crops on a bed holds, and the level that harms.
func (l Library) Bounds(n Nutrient, crop string) Bounds {
	var b Bounds
	for _, r := range l.Recipes.list {
		if r.spans && r.Levels[n] > b.High {
			b.High, b.HighFrom = r.Levels[n], r.Source
		}
	}
	if h, known := l.Harms.of(n, crop); known {
		b.Harm, b.HarmFrom = h.level, h.from
		b.High = min(b.High, b.Harm)
	}
	return b
}

// Weights of what lies above a wish, beside the wish's own for what lies below.
const (
	surplusWeight = 0.01 // inside the band: it feeds nobody and harms nobody
	overWeight    = 0.1  // above what recipes hold, of that level
	harmWeight    = 10   // above what harms, of that level; whatever the wish weighs
	// weakBelow is the share of a wish from which nothing is short (own choice).
	weakBelow = 0.80
)

// Wish is one row of the target beside what came of it, with its band: short below
// Low, fine up to High, over above it, harmful above Harm.
type Wish struct {
	Nutrient Nutrient
	Level    unit.MassConcentration // 0: not asked for, told for its harm
	Weight   float64
	Achieved unit.MassConcentration
	Bounds
	Given   unit.MassConcentration // what water and acid bring alone, which no product can take out
	Usual   unit.MassConcentration // the part that only the usual label of a grade tells of, from memory
	Unknown bool                   // a product in use does not tell of it

	strength float64 // of the level, that the sum goes by; 0: 1
}

// banded gives a wish its band. What is asked for is fine.
func (l Library) banded(w Wish, crop string) Wish {
	w.Bounds = l.Bounds(w.Nutrient, crop)
	if w.Level > w.High && w.High > 0 {
		w.High, w.HighFrom = w.Level, source.Given
	}
	if w.Level > w.Harm && w.Harm > 0 {
		w.Harm, w.HarmFrom = w.Level, source.Given
	}
	return w
}

// Low is the level below which the nutrient is short.
func (w Wish) Low() unit.MassConcentration { return w.Level * weakBelow }

// Main tells what plants eat by the gram and a recipe asks for.
func (w Wish) Main() bool { return w.Level > 0 && !w.Nutrient.IsMicro() && !w.Nutrient.IsForm() }

// Short says whether less than the band's low end came of the wish.
func (w Wish) Short() bool { return w.Achieved < w.Low()*(1-1e-9) }

// onTheLine is how far over a line a level still stands on it: lines are told in one or two
// digits, and labels and scales tell a dose no finer (own choice).
const onTheLine = 1.02

// Harms says whether more came of it than harms nothing.
// What is only usual for a grade is no ground to say so.
func (w Wish) Harms() bool { return w.Harm > 0 && w.Achieved-w.Usual > w.Harm*onTheLine }

// MayHarm says whether more than harms nothing came of it where the bag's own label
// says what is usual for its grade.
func (w Wish) MayHarm() bool { return w.Harm > 0 && w.Achieved > w.Harm*onTheLine && !w.Harms() }

// IsOver says whether more came of it than recipes hold.
func (w Wish) IsOver() bool { return w.High > 0 && w.Achieved > w.High*onTheLine }

// fine is the word for a level inside its band.
const fine = "fine"

// Fit gives the word of the JSON for how a level stands in its band.
func (w Wish) Fit() string {
	switch {
	case w.Harms():
		return "harm"
	case w.MayHarm():
		return "unknown"
	case w.IsOver():
		return "over"
	case w.Short() && w.Unknown:
		return "unknown"
	case w.Short():
		return "short"
	}
	return fine
}

// term is what the wish costs in a program: row holds what the products bring, of
// the unit that the level is counted in.
func (w Wish) term() (t term, of unit.MassConcentration) {
	t.bends = make([]bend, 0, 4)
	of = cmp.Or(w.Level, w.Harm)
	share := func(c unit.MassConcentration) float64 { return float64(c / of) }
	add := func(from, weight float64, below bool) {
		if weight > 0 {
			t.bends = append(t.bends, bend{from, weight, below})
		}
	}
	if w.Level > 0 {
		at := cmp.Or(w.strength, 1)
		add(at, w.Weight, true)
		add(at, w.Weight*surplusWeight, false)
	}
	if high := above(w.High, w.Given); high > 0 {
		add(share(high), w.Weight*overWeight/sq(share(high)), false)
	}
	if harm := above(w.Harm, w.Given); harm > 0 {
		add(share(harm), harmWeight/sq(share(harm)), false)
	}
	return t, of
}

// above gives a line where water and acid bring less, else what they bring: that is
// there whatever is done, and pushes nothing else out. 0 where there is no line.
func above(line, given unit.MassConcentration) unit.MassConcentration {
	if line <= 0 {
		return 0
	}
	return max(line, given)
}

// misfit is what a level costs, twice the program's.
func (w Wish) misfit(level unit.MassConcentration) float64 {
	t, of := w.term()
	return 2 * t.cost(float64(level/of))
}
