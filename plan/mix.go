package plan

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"raftwright/brief"
	"raftwright/cost"
	"raftwright/finding"
	"raftwright/mix"
	"raftwright/source"
	"raftwright/unit"
	"raftwright/usual"
)

// Assumptions of the mix that the plan makes.
const (
	AssumeShelf   finding.ID = "plan.shelf"
	AssumeRecipe  finding.ID = "plan.recipe"
	AssumeMeasure finding.ID = "plan.measure"
	// AssumeGrade stands for the rest of a label of which three numbers are known.
	AssumeGrade finding.ID = "mix.assume_grade"
	// AssumeNursery stands for the strength that young plants are given.
	AssumeNursery finding.ID = "plan.nursery"
)

// Faults of the shelf, the target and the amounts that the plan sees before the mix is asked.
const (
	FaultProduct      finding.ID = "plan.fault.product"
	FaultAmountOf     finding.ID = "plan.fault.amount_of"
	FaultBudgetBed    finding.ID = "plan.fault.budget_bed"
	FaultBudgetNone   finding.ID = "plan.fault.budget_none"
	FaultShareOfNone  finding.ID = "plan.fault.share_of_none"
	FaultTwoStrengths finding.ID = "plan.fault.two_strengths"
	FaultDoseOf       finding.ID = "plan.fault.dose_of"
	FaultDoseVolume   finding.ID = "plan.fault.dose_volume"
	FaultAmissVolume  finding.ID = "plan.fault.amiss_volume"
)

// mixFeed works out what to put into the water.
func (m *maker) mixFeed() {
	b := m.Brief
	j := mix.Job{Target: m.target, Shelf: m.Shelf, Bucket: b.Mix.Bucket.Value, MostProducts: b.Mix.MostProducts.Value,
		Stock: mix.Stock{Volume: b.Mix.Stock.Volume.Value, Ratio: float64(b.Mix.Stock.Ratio.Value)}, Bed: m.volume, Heads: m.holes, Crop: m.feedCrop()}
	switch j.Measure = m.Measure(); {
	case b.Mix.Measure.Given:
	case m.volume <= 0: // a bucket alone may want less than a scale shows: exact, and the mix says so
		j.Measure = mix.Measure{}
	default:
		m.assume(finding.Assumption{ID: AssumeMeasure, Source: source.CommonPractice})
	}
	j.Budget = m.budget(j.Bed)
	if m.goods[0] > 0 {
		j.Prices = m.goods[:]
	}
	j.Pinned = m.givenDoses()
	m.intoWater(&j)
	if len(m.faults) > 0 {
		return
	}
	answer, faults := mix.Solve(j, m.book.Library)
	if faults != nil {
		m.wrong(faults...)
		return
	}
	m.Mix = &answer
	for i, f := range answer.Findings {
		if f.ID == mix.FindBuy {
			answer.Findings[i].Mend, answer.Findings[i].Paths = m.buying(), paths("shelf")
		}
		if f.ID == mix.FindAllow || f.ID == mix.FindStarves && answer.Allow != nil {
			answer.Findings[i].Mend, answer.Findings[i].Paths = way{{Path: "mix.most products", Value: strconv.Itoa(answer.Allow.Most)}}, paths("mix.most products")
		}
		if j.Pinned != nil && (f.Severity == finding.Stop || f.ID == mix.FindPinned) {
			answer.Findings[i].Mend, answer.Findings[i].Paths = without("mix.doses"), paths("mix.doses")
		}
	}
	m.find(answer.Findings...)
	m.tellBudget()
	m.assume(answer.Assumptions...)
	if s := m.strong.water; s != nil { // once more with the acid that may not be printed
		j.Acid = askedOf(s.Acid)
		asked, faults := mix.Solve(j, m.book.Library)
		if faults != nil {
			m.wrong(faults...)
			return
		}
		m.strong.mix = &asked
	}
}

// tellAmmonia tells of free ammonia in a bed of which the warmth is not known: as warm as
// conductivity is told at.
func (m *maker) tellAmmonia() { m.find(m.Mix.JudgeAmmonia(usual.Warmth)...) }

// findWarmest finds how warm the bed is in its warmest month with a crop.
func (m *maker) findWarmest() {
	m.warmest = usual.Warmth
	if s := m.Season; s != nil {
		m.warmest = s.Pool[s.Warmest-1].Usual.Mean
	}
}

// tellBedsAmmonia tells of it as warm as that.
func (m *maker) tellBedsAmmonia() { m.find(m.Mix.JudgeAmmonia(m.warmest)...) }

// givenDoses gives the doses that the brief pins, by the shelf; nil where it pins none.
func (m *maker) givenDoses() []unit.MassConcentration {
	list := m.Brief.Mix.Doses
	if len(list) == 0 {
		return nil
	}
	out := make([]unit.MassConcentration, len(m.Shelf))
	var names []string
	for _, p := range m.Shelf {
		names = append(names, p.Name)
	}
	for _, e := range list {
		path := finding.Path("mix.doses").Key(e.Name)
		i := slices.Index(names, e.Name)
		switch {
		case i < 0:
			m.wrong(finding.Unknown(FaultDoseOf, path, e.Name, names))
		case e.Value.Volume > 0 && m.Shelf[i].Density == 0:
			m.wrong(finding.Fault{ID: FaultDoseVolume, Path: path, Args: finding.Args{"Product": e.Name}})
		case e.Value.Volume > 0:
			out[i] = unit.MassConcentration(float64(m.Shelf[i].Density) * float64(e.Value.Volume))
		default:
			out[i] = e.Value.Mass
		}
	}
	return out
}

// buying puts on the shelf what makes it feed the crop.
func (m *maker) buying() way {
	b := m.Mix.Buy
	if b == nil || m.Shelf[0].Path == "" { // the usual shelf, which the brief does not hold
		return nil
	}
	var out way
	for i, d := range b.Goods {
		out = append(out, finding.Change{Path: finding.Path("shelf").Item(m.listed + i), Value: "{name: " + d.Product + "}"})
	}
	if b.Loose {
		out = append(out, without("mix.most products")...)
	}
	if b.Weigh {
		out = append(out, without("mix.measure")...)
	}
	if m.Brief.Mix.Budget.Given {
		out = append(out, without("mix.budget")...)
	}
	return out
}

// FindBudget is a budget that keeps back what the crop would miss and the shelf has.
const FindBudget finding.ID = "plan.budget"

// tellBudget says what the shelf would give, and what that costs, where the budget is what the crop falls short for.
func (m *maker) tellBudget() {
	free := m.Mix.Free
	if free == nil {
		return
	}
	worst, _, _ := m.Mix.Missed()
	got := free.Achieved[worst.Nutrient]
	budget := m.Brief.Mix.Budget.Value
	m.find(finding.Finding{ID: FindBudget, Act: finding.AtMix, Severity: finding.Caution, Hurts: finding.Harvest, Figure: got, Source: source.OwnChoice,
		Paths: paths("mix.budget"), Mend: without("mix.budget"), Args: finding.Args{"Budget": budget.Money, "Cost": cost.Cents(int64(math.Ceil(free.Cost.PerBed*100)), budget.Currency),
			"Nutrient": worst.Nutrient.Word(), "Now": m.Mix.Achieved[worst.Nutrient], "Got": got, "Share": unit.Fraction(got / worst.Level)}})
}

// Starves says that the feed of the plan is too little for any forecast of a harvest.
func (p Plan) Starves() bool {
	if p.Mix == nil {
		return false
	}
	_, starves := p.Mix.Starved()
	return starves
}

// feedCrop is what the mix knows of the crop.
func (m *maker) feedCrop() mix.Crop {
	ec := m.Crop.EC
	return mix.Crop{ID: m.Crop.ID, EC: mix.Band{Low: ec.Min.MillisiemensPerCentimetre(), High: ec.Max.MillisiemensPerCentimetre()}}
}

// budget gives the most to spend on 1000 L of solution, 0 where no budget is set.
func (m *maker) budget(bed unit.Volume) float64 {
	f := m.Brief.Mix.Budget
	if !f.Given {
		return 0
	}
	if bed <= 0 {
		m.wrong(finding.Fault{ID: FaultBudgetBed, Path: "mix.budget"})
		return 0
	}
	amount := f.Value.Float()
	if amount <= 0 {
		m.wrong(finding.Fault{ID: FaultBudgetNone, Path: "mix.budget"})
		return 0
	}
	return amount / float64(bed/unit.CubicMetre)
}

// usualShelf is what a plan takes when the brief names nothing that can be bought.
var usualShelf = strings.Split(usual.Shelf, ", ")

// readTarget reads what the solution shall hold.
func (m *maker) readTarget() {
	b, t := m.Brief.Target, &m.target
	*t = mix.Target{Recipe: b.Recipe.Value, EC: b.EC.Value, Strength: b.Strength.Value}
	at := finding.Path("target")
	for _, e := range b.Figures.Each() {
		if n, ok := mix.NutrientOf(e.Name); ok {
			level, faults := levelOf(at.Key(e.Name), n, e.Value)
			m.wrong(faults...)
			t.Figures = append(t.Figures, mix.Figure{Nutrient: n, Given: true, Level: level})
		}
	}
	for _, e := range b.Weights.Each() {
		if n, ok := mix.NutrientOf(e.Name); ok {
			t.Figures = append(t.Figures, mix.Figure{Nutrient: n, Weight: e.Value, Weighed: true})
		}
	}
	t.Limits = m.limits(b)
	if t.Recipe == "" && !hasFigures(*t) {
		t.Recipe = usual.Recipe
		m.assume(finding.Assumption{ID: AssumeRecipe, Source: source.CommonPractice})
	} else if t.Recipe != "" {
		_, faults := m.book.Library.Recipe("target.recipe", t.Recipe)
		m.wrong(faults...)
	}
	m.atStage(t)
}

// atStage makes a recipe as strong as the plants are old.
func (m *maker) atStage(t *mix.Target) {
	b := m.Brief.Target
	young := b.Stage.Value == brief.Nursery
	at := finding.Path("target.strength")
	if young {
		at = "target.stage"
	}
	switch {
	case !b.Strength.Given && !young:
	case t.Recipe == "":
		m.wrong(finding.Fault{ID: FaultShareOfNone, Path: at, Args: finding.Args{"Key": string(at)}})
	case b.EC.Given:
		m.wrong(finding.Fault{ID: FaultTwoStrengths, Path: at, Args: finding.Args{"Key": string(at)}})
	case young && !b.Strength.Given:
		t.Strength = usual.Nursery
		m.assume(finding.Assumption{ID: AssumeNursery, Args: finding.Args{"Share": usual.Nursery}, Source: source.CommonPractice})
	}
}

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
func (m *maker) product(i int) mix.Material {
	p, path := m.Brief.Shelf[i], finding.Path("shelf").Item(i)
	out := m.weighed(material(path, p), p)
	if p.Formula.Given && !p.Label.Given {
		_, faults := out.Contents()
		m.wrong(faults...)
	}
	if p.IsGrade() {
		return m.graded(out, p.Label.Value)
	}
	told := slices.ContainsFunc(m.known, func(f finding.Fault) bool { return f.Path.Under(path) })
	if told || out.Label == nil || !out.Label.Empty() {
		return out
	}
	known, ok := m.book.Library.Material(p.Name.Value)
	if !ok {
		m.wrong(finding.Unknown(FaultProduct, path.Key("name"), p.Name.Value, m.book.Library.Names()))
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

// graded gives a product of which only the grade is known the usual label of that
// grade, where the trade has one, whatever the grower calls it.
func (m *maker) graded(out mix.Material, grade brief.Grade) mix.Material {
	if known, ok := m.book.Library.Material(grade.String()); ok {
		out.Label = known.Label
		m.assume(finding.Assumption{ID: AssumeGrade, Path: out.Path.Key("label"), Args: finding.Args{"Product": out.Name}, Source: "label_usual"})
	}
	return out
}

// material reads what the brief says of a product.
func material(path finding.Path, p brief.Product) mix.Material {
	out := mix.Material{Path: path,
		Name: p.Name.Value, Formula: p.Formula.Value, Purity: p.Purity.Value, Chelate: chelates[p.Chelate.Value], Density: p.Density.Value,
		BulkDensity: p.BulkDensity.Value, LevelTeaspoon: p.LevelTeaspoon.Value, Solubility: p.Solubility.Value, Limit: p.Limit.Value,
		Pack: p.Pack.Value.Mass, PackVolume: p.Pack.Value.Volume, Price: p.Price.Value.Float(), Currency: p.Price.Value.Currency,
	}
	if p.Formula.Given {
		return out
	}
	c := p.Contents
	out.Label = &mix.Label{ChelatedIron: mix.Stated{Share: c.Chelated.Value, Given: c.Chelated.Given}, OrganicN: mix.Stated{Share: c.Organic.Value, Given: c.Organic.Given},
		Grade: mix.Grade{N: p.Label.Value.N, P2O5: p.Label.Value.P2O5, K2O: p.Label.Value.K2O, Given: p.Label.Given}}
	for _, e := range c.Each() {
		if n, ok := mix.NutrientOf(e.Name); ok {
			out.Label.Stated[n] = mix.States(e.Value)
		}
	}
	return out
}

var chelates = map[brief.Chelate]mix.Chelate{brief.EDTA: mix.EDTA, brief.DTPA: mix.DTPA, brief.EDDHA: mix.EDDHA, brief.HEDTA: mix.HEDTA}

// feedNeeds are the fertilizers and the acid of one crop: the first fill, and
// as much again of the top-up's strength for the water that is drunk.
func (m *maker) feedNeeds(n float64) []cost.Need {
	if m.Mix == nil || m.Frame == nil {
		return nil
	}
	var out []cost.Need
	drunk := m.drunk()
	for _, d := range m.Mix.Doses {
		mass := d.Strength.In(m.Frame.Volume) + d.Strength.In(drunk)*unit.Mass(m.Mix.TopUp.Share)
		need := cost.Need{Keys: feedKeys(d.Product), Name: "need.product", Args: finding.Args{"Bag": d.Product},
			Quantity: math.Max(mass.Kilograms()*n, 1e-6), Unit: "kilogram", Group: "feed", Mass: mass * unit.Mass(n)}
		if d.Shelf < len(m.Brief.Shelf) {
			need = m.byThePack(need, m.Brief.Shelf[d.Shelf])
		}
		out = append(out, need)
	}
	out = append(out, m.cureNeed()...)
	if c, ok := m.Cure(); ok && c.Filter && c.Chlorine > 0 {
		out = append(out, cost.Need{Keys: []string{"carbon filter"}, Name: "need.carbon", Group: "feed", Unit: "each", Quantity: 1, Once: true, Life: 1})
	}
	return append(out, m.acidNeeds(n)...)
}

// feedKeys are the names under which a fertilizer may be priced: its own, what it is without
// its grade, any.
func feedKeys(product string) []string {
	kind := product
	if i := strings.LastIndexByte(product, ' '); i > 0 && strings.Count(product[i:], "-") == 2 {
		kind = product[:i]
	}
	return []string{product, kind, "fertilizer"}
}

// priceGoods reads what the goods cost that may be bought to make a feed whole; none where
// no price is known.
func (m *maker) priceGoods() {
	m.goods = [len(mix.Pantry)]float64{}
	for i, name := range mix.Pantry {
		p, _, ok := m.prices.Find(feedKeys(name)...)
		if !ok {
			m.goods = [len(mix.Pantry)]float64{}
			return
		}
		m.goods[i] = p.Amount.Float()
	}
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
	need.Fixed, need.Name, need.Args = &price, "need.pack", finding.Args{"Bag": p.Name.Value, "Pack": pack}
	packs := need.Quantity / pack.Kilograms()
	need.Quantity, need.Unit = math.Ceil(packs-1e-9), "pack"
	if crops := need.Quantity / packs; crops >= 2 {
		need.Once, need.Life = true, math.Min(crops/m.cropsPerYear(), usual.Keeps)
	}
	return need
}
