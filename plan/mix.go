package plan

import (
	"cmp"
	"math"
	"strings"

	"raftwright/brief"
	"raftwright/cost"
	"raftwright/finding"
	"raftwright/mix"
	"raftwright/source"
	"raftwright/unit"
)

// Assumptions of the mix that the plan makes.
const (
	AssumeShelf  finding.ID = "plan.shelf"
	AssumeRecipe finding.ID = "plan.recipe"
	// AssumeNursery stands for the strength that young plants are given.
	AssumeNursery finding.ID = "plan.nursery"
)

// mixFeed works out what to put into the water.
func (m *maker) mixFeed() {
	m.notUsed("mix.doses", len(m.Brief.Mix.Doses) > 0)
	b := m.Brief
	j := mix.Job{Target: m.target(), Bucket: b.Mix.Bucket.Value, MostProducts: b.Mix.MostProducts.Value,
		Stock: mix.Stock{Volume: b.Mix.Stock.Volume.Value, Ratio: float64(b.Mix.Stock.Ratio.Value)}, Bed: m.volume, Heads: m.holes}
	j.Shelf = m.shelf()
	switch f := b.Mix.Measure; {
	case f.Given && f.Value.Spoons:
		j.Measure = mix.Measure{Kind: mix.Spoons}
	case f.Given && f.Value.Packs:
		j.Measure = mix.Measure{Kind: mix.Packs}
	case f.Given:
		j.Measure = mix.Measure{Kind: mix.Scale, Step: f.Value.Step}
	} // without a measure doses are exact, and the mix says so
	j.Budget = m.budget(j.Bed)
	m.intoWater(&j)
	if len(m.faults) > 0 {
		return
	}
	answer, err := mix.Solve(j)
	if err != nil {
		m.mixFaults(err)
		return
	}
	m.Mix = &answer
	m.find(answer.Findings...)
	m.assume(answer.Assumptions...)
	if s := m.strong.water; s != nil { // once more with the acid that may not be printed
		j.Acid = askedOf(s.Acid)
		asked, err := mix.Solve(j)
		if err != nil {
			m.mixFaults(err)
			return
		}
		m.strong.mix = &asked
	}
}

// budget gives the most to spend on 1000 L of solution, 0 where no budget is set.
func (m *maker) budget(bed unit.Volume) float64 {
	f := m.Brief.Mix.Budget
	if !f.Given {
		return 0
	}
	if bed <= 0 {
		m.fault(f.At, "mix.budget is for one fill, but the size of the bed is not known", "give the bed, for example bed: {length: 97 in, width: 49 in, depth: 6 in}")
		return 0
	}
	amount := f.Value.Float()
	if amount <= 0 {
		m.fault(f.At, "mix.budget of nothing buys nothing", "write what a fill may cost, for example 1.50 USD, or leave the line out")
		return 0
	}
	return amount / float64(bed/unit.CubicMetre)
}

// usualShelf is what a plan takes when the brief names nothing that can be bought.
var usualShelf = []string{"hydroponic base powder 5-12-26", "calcium nitrate 15.5-0-0", "potassium nitrate", "monopotassium phosphate", "Epsom salt"}

// target reads what the solution shall hold.
func (m *maker) target() mix.Target {
	b := m.Brief.Target
	t := mix.Target{Recipe: b.Recipe.Value, EC: b.EC.Value, Strength: b.Strength.Value}
	add := func(n mix.Nutrient, f brief.Field[unit.Reading], w brief.Field[float64]) {
		if !f.Given && !w.Given {
			return
		}
		fig := mix.Figure{Nutrient: n, Given: f.Given, Weight: w.Value, Weighed: w.Given}
		if f.Given {
			level, err := levelOf(n, f.Value)
			if err != nil {
				m.fault(f.At, err.Error(), "write for example 150 mg/L")
				return
			}
			fig.Level = level
		}
		t.Figures = append(t.Figures, fig)
	}
	f, w := b.Figures, b.Weights
	add(mix.Nitrogen, f.Nitrogen, w.Nitrogen)
	add(mix.NitrateN, f.Nitrate, w.Nitrate)
	add(mix.AmmoniumN, f.Ammonium, w.Ammonium)
	add(mix.UreaN, f.Urea, w.Urea)
	add(mix.Phosphorus, f.Phosphorus, w.Phosphorus)
	add(mix.Potassium, f.Potassium, w.Potassium)
	add(mix.Calcium, f.Calcium, w.Calcium)
	add(mix.Magnesium, f.Magnesium, w.Magnesium)
	add(mix.Sulfur, f.Sulfur, w.Sulfur)
	add(mix.Iron, f.Iron, w.Iron)
	add(mix.Manganese, f.Manganese, w.Manganese)
	add(mix.Zinc, f.Zinc, w.Zinc)
	add(mix.Copper, f.Copper, w.Copper)
	add(mix.Boron, f.Boron, w.Boron)
	add(mix.Molybdenum, f.Molybdenum, w.Molybdenum)
	add(mix.Chlorine, f.Chloride, w.Chloride)
	add(mix.Sodium, f.Sodium, w.Sodium)
	add(mix.Silicon, f.Silicon, w.Silicon)
	t.Limits = m.limits(b)
	if t.Recipe == "" && !hasFigures(t) {
		t.Recipe = usualRecipe
		m.assume(finding.Assumption{ID: AssumeRecipe, Source: source.CommonPractice})
	} else if t.Recipe != "" {
		if _, err := mix.RecipeNamed(t.Recipe); err != nil {
			what, right := err.Error(), "name a recipe of the catalogue, for example lettuce"
			if instead := mix.InPlaceOfRecipe(t.Recipe); instead != "" {
				what, right = t.Recipe+" tells no figures that a bed could be filled with", instead
			}
			m.fault(b.Recipe.At, what, right)
		}
	}
	m.atStage(&t)
	return t
}

// nurseryShare is the strength of a raft recipe that young plants are given.
const nurseryShare = 50 * unit.Percent

// atStage makes a recipe as strong as the plants are old.
func (m *maker) atStage(t *mix.Target) {
	b := m.Brief.Target
	young := b.Stage.Value == brief.Nursery
	at, key := b.Strength.At, "target.strength"
	if young {
		at, key = b.Stage.At, "target.stage nursery"
	}
	switch {
	case !b.Strength.Given && !young:
	case t.Recipe == "":
		m.fault(at, key+" is a share of a recipe, and the target has figures only", "write the figures as strong as you want them, or name a recipe, for example recipe: lettuce")
	case b.EC.Given:
		m.fault(at, key+" and target.ec both say how strong the solution is", "keep one of them")
	case young && !b.Strength.Given:
		t.Strength = nurseryShare
		m.assume(finding.Assumption{ID: AssumeNursery, Args: finding.Args{"Share": nurseryShare}, Source: source.CommonPractice})
	}
}

// usualRecipe is taken where a brief has no target.
const usualRecipe = "lettuce"

func hasFigures(t mix.Target) bool {
	for _, f := range t.Figures {
		if f.Given {
			return true
		}
	}
	return false
}

// product reads a product of the shelf; one that is only named is looked up in
// the library of generic salts and grades.
func (m *maker) product(p brief.Product) mix.Material {
	out := m.weighed(material(p), p)
	if p.Formula.Given && !p.Label.Given {
		if _, err := out.Contents(); err != nil {
			what, right, _ := strings.Cut(err.Error(), "; ")
			m.fault(p.Formula.At, what, cmp.Or(right, "write for example MgSO4.7H2O"))
		}
	}
	if p.Formula.Given || p.Label.Given || !emptyLabel(out.Label) {
		return out
	}
	if none := (brief.Place{}); p.Formula.At != none || p.Label.At != none {
		return out // one that cannot be read is a fault already
	}
	known, ok := mix.LibraryMaterial(p.Name.Value)
	if !ok {
		var names []string
		for _, l := range mix.Library() {
			names = append(names, l.Name)
		}
		right := "give its label, for example label: 20-20-20, or its formula, for example formula: MgSO4.7H2O"
		if near := unit.Near(p.Name.Value, names); near != "" {
			right = "did you mean " + near + "? Or " + right
		}
		m.fault(p.Name.At, "the product \""+p.Name.Value+"\" has no label and no formula, and is not in the library", right)
		return out
	}
	out.Label, out.Formula = known.Label, known.Formula
	if out.Purity == 0 {
		out.Purity = known.Purity
	}
	if out.Solubility == 0 {
		out.Solubility = known.Solubility
	}
	return out
}

func emptyLabel(l *mix.Label) bool { return l != nil && *l == mix.Label{} }

// material reads what the brief says of a product.
func material(p brief.Product) mix.Material {
	out := mix.Material{
		Name: p.Name.Value, Formula: p.Formula.Value, Purity: p.Purity.Value, Chelate: chelates[p.Chelate.Value], Density: p.Density.Value,
		BulkDensity: p.BulkDensity.Value, LevelTeaspoon: p.LevelTeaspoon.Value, Solubility: p.Solubility.Value, Limit: p.Limit.Value,
		Pack: p.Pack.Value.Mass, PackVolume: p.Pack.Value.Volume, Price: p.Price.Value.Float(), Currency: p.Price.Value.Currency,
	}
	c := p.Contents
	if p.Formula.Given {
		return out
	}
	stated := func(f brief.Field[unit.Fraction]) mix.Stated { return mix.Stated{Share: f.Value, Given: f.Given} }
	out.Label = &mix.Label{
		Grade:   mix.Grade{N: p.Label.Value.N, P2O5: p.Label.Value.P2O5, K2O: p.Label.Value.K2O, Given: p.Label.Given},
		Nitrate: stated(c.Nitrate), Ammonium: stated(c.Ammonium), Urea: stated(c.Urea), Phosphorus: stated(c.Phosphorus), Potassium: stated(c.Potassium),
		Calcium: c.Calcium.Value, Magnesium: c.Magnesium.Value, Sulfur: c.Sulfur.Value, Sodium: c.Sodium.Value, Chloride: c.Chloride.Value,
		Iron: c.Iron.Value, ChelatedIron: stated(c.Chelated), Manganese: c.Manganese.Value, Zinc: c.Zinc.Value, Copper: c.Copper.Value, Boron: c.Boron.Value,
		Molybdenum: c.Molybdenum.Value, Silicon: c.Silicon.Value,
	}
	return out
}

var chelates = map[brief.Chelate]mix.Chelate{brief.EDTA: mix.EDTA, brief.DTPA: mix.DTPA, brief.EDDHA: mix.EDDHA, brief.HEDTA: mix.HEDTA}

// mixFaults gives each fault of the mix its place in the brief.
func (m *maker) mixFaults(err error) {
	for _, e := range flatten(err) {
		at := m.Brief.Mix.At
		if me, ok := e.(*mix.MaterialError); ok {
			for _, p := range m.Brief.Shelf {
				if p.Name.Value == me.Material {
					at = p.At
				}
			}
		}
		if at == (brief.Place{}) {
			at = m.Brief.Target.At
		}
		m.fault(at, e.Error(), "change this line")
	}
}

// flatten takes joined errors apart.
func flatten(err error) []error {
	if joined, ok := err.(interface{ Unwrap() []error }); ok {
		var out []error
		for _, e := range joined.Unwrap() {
			out = append(out, flatten(e)...)
		}
		return out
	}
	return []error{err}
}

// feedNeeds are the fertilisers and the acid of one crop: the first fill, and
// as much again of the top-up's strength for the water that is drunk.
func (m *maker) feedNeeds(n float64) []cost.Need {
	if m.Mix == nil || m.Frame == nil {
		return nil
	}
	var out []cost.Need
	drunk := m.drunk()
	for _, d := range m.Mix.Doses {
		mass := d.Strength.In(m.Frame.Volume) + d.Strength.In(drunk)*unit.Mass(m.Mix.TopUp.Share)
		need := cost.Need{Keys: []string{d.Product, "fertiliser"}, Name: "need.product", Args: finding.Args{"Product": d.Product},
			Quantity: math.Max(mass.Kilograms()*n, 1e-6), Unit: "kilogram", Group: "feed"}
		if d.Shelf < len(m.Brief.Shelf) {
			need = m.byThePack(need, m.Brief.Shelf[d.Shelf])
		}
		out = append(out, need)
	}
	return append(out, m.acidNeeds(n)...)
}

// byThePack turns a need of a product whose pack and price are known into whole
// packs: one that outlasts a crop is bought once and lasts as long as it does.
func (m *maker) byThePack(need cost.Need, p brief.Product) cost.Need {
	pack := p.Pack.Value.Mass
	if p.Density.Given && p.Pack.Value.Volume > 0 {
		pack = p.Density.Value.Of(p.Pack.Value.Volume)
	}
	if !p.Price.Given || pack <= 0 {
		return need
	}
	price := p.Price.Value.Money
	need.Fixed, need.Name, need.Args = &price, "need.pack", finding.Args{"Product": p.Name.Value, "Pack": pack}
	packs := need.Quantity / pack.Kilograms()
	need.Quantity, need.Unit = math.Ceil(packs-1e-9), "pack"
	if crops := need.Quantity / packs; crops >= 2 {
		need.Once, need.Life = true, math.Min(crops/m.cropsPerYear(), longestKept)
	}
	return need
}

// longestKept is how long a dry fertiliser keeps in its bag, years (common
// practice, no source).
const longestKept = 5.0
