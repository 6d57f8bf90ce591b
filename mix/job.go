package mix

import (
	"slices"

	"raftwright/chem"
	"raftwright/finding"
	"raftwright/source"
	"raftwright/unit"
	"raftwright/usual"
)

// Water is what the fertilisers go into. The zero value is pure water.
type Water struct {
	Ions   chem.Composition // with its carbon and inert charge, as package water finds them
	Traces Levels           // what ions do not count: manganese, zinc, copper, molybdenum, urea
}

// Levels counts the nutrients of the water.
func (w Water) Levels() Levels {
	l := LevelsOf(w.Ions)
	for _, n := range []Nutrient{Manganese, Zinc, Copper, Molybdenum, UreaN} {
		l[n] += w.Traces[n]
	}
	l[Nitrogen] += w.Traces[UreaN]
	return l
}

// AcidAsk asks for an acid (or a base) that brings the finished mix to a pH.
type AcidAsk struct {
	Name    string
	Reagent chem.Composition // one mmol/L of it: {SO4: 1}, {NO3: 1}, {P: 1}, {Citrate: 1}, {K: 1}
	PH      float64
	CO2     unit.Pressure           // of the air it stays in balance with; 0: closed
	Dose    unit.MolarConcentration // that was given; 0: what reaches the PH
}

// Stock asks for two concentrate tanks with an injector.
type Stock struct {
	Volume unit.Volume // of each tank
	Ratio  float64     // 100: one part in a hundred
}

// Job is the question: this water, this shelf, this target.
type Job struct {
	Water        Water
	Shelf        []Material
	Target       Target
	Bucket       unit.Volume // in which a batch is mixed; 0: 5 gallons, and said so
	Bed          unit.Volume // of the whole bed; 0: unknown
	Measure      Measure
	MostProducts int     // 0: any number
	Budget       float64 // most to spend on 1000 L, in the shelf's currency; 0: none
	Stock        Stock   // zero: none
	Acid         *AcidAsk
	Chlorine     bool        // that has to be out of the water before any feed goes in
	Jug          unit.Volume // of water in a stock jug; 0: 1 L
	Prices       []float64   // of a kilogram of each of Pantry, in one currency; nil: all cost alike
	Heads        int         // plants in the bed, for the cost of each; 0: unknown
	Crop         Crop
	Pinned       []unit.MassConcentration // doses that were given, by the shelf; nil: they are chosen
	aside        bool                     // asked to see what a purchase would do
}

// Crop is what a mix knows of what grows in it. The zero value is any leaf crop.
type Crop struct {
	ID string
	EC Band // mS/cm, of the whole solution; zero: not known
}

// word names the crop, or leaf crops where none is known.
func (c Crop) word() finding.Word {
	if c.ID == "" {
		return "word.leaf_crops"
	}
	return finding.Word("crop.name." + c.ID)
}

// Bounds of a job.
const (
	mostShelf    = 200
	measuredAt   = unit.Temperature(25)
	mostNodes    = 30000
	mostGridWork = 1100
	wideShelf    = 40 // beyond, only the products of the exact answer are rounded
)

// Findings about what may go in.
const (
	FindAcidOnShelf finding.ID = "mix.acid_on_shelf"
	FindEmptyShelf  finding.ID = "mix.empty_shelf"
)

// check gives every fault of the job at once.
func (j Job) check() finding.Faults {
	faults := finding.Within("shelf", len(j.Shelf), 0, mostShelf, 5)
	names := map[string]bool{}
	for _, m := range j.Shelf {
		if names[m.Name] {
			faults = append(faults, m.wrong(FaultSameName, "name", nil)...)
		}
		names[m.Name] = true
	}
	for _, more := range []finding.Faults{
		finding.Within("mix.bucket", j.Bucket, 0, 1e5*unit.Litre, usual.Bucket), finding.Within("bed", j.Bed, 0, 1e7*unit.Litre, 100*unit.Gallon),
		finding.Within("mix.stock.volume", j.Stock.Volume, 0, 1e5*unit.Litre, 5*unit.Gallon), finding.Within("mix.stock.ratio", j.Stock.Ratio, 0, 5000, 100),
		finding.Within("mix.most products", j.MostProducts, 0, 1000, 4), finding.Within("mix.budget", j.Budget, 0, 1e9, 20),
	} {
		faults = append(faults, more...)
	}
	if (j.Stock.Volume > 0) != (j.Stock.Ratio > 0) {
		faults = append(faults, finding.Fault{ID: FaultStock, Path: "mix.stock"})
	}
	faults = append(faults, finding.Within("mix.measure", int(j.Measure.Kind), int(Exact), int(Packs), int(Scale))...)
	if j.Measure.Kind == Scale {
		faults = append(faults, finding.Within("mix.measure", j.Measure.Step, 1e-9, 1, unit.Gram)...)
	}
	return faults
}

// prepared is a job whose shelf and target are read.
type prepared struct {
	library     Library
	job         Job
	found       *RecipeJob // the doses are given, not chosen; nil: they are chosen
	base        Levels     // of the water
	products    []product
	spoons      []SpoonMass
	bucket      unit.Volume
	grid        []unit.MassConcentration
	jugs        []Jug // for what is too little to measure
	fill        Filling
	assumptions []finding.Assumption
	findings    []finding.Finding
}

// prepare reads the shelf. What is as found is in the recipe already: corrosive
// products too, and nothing is rounded.
func (j Job) prepare(lib Library, found *RecipeJob) (prepared, finding.Faults) {
	p := prepared{library: lib, job: j, base: j.Water.Levels(), bucket: j.Bucket, found: found}
	faults := j.check()
	if p.bucket == 0 {
		p.bucket = usual.Bucket
		p.assumptions = append(p.assumptions, finding.Assumption{ID: AssumeBucket, Args: finding.Args{"Volume": p.bucket}, Source: source.CommonPractice})
	}
	p.fill = j.startFilling(p.bucket, found != nil)
	if j.Measure.Kind == Exact && found == nil {
		p.assumptions = append(p.assumptions, finding.Assumption{ID: AssumeExact, Source: source.OwnChoice})
	}
	if j.Measure.Kind == Packs && j.Bed <= 0 {
		faults = append(faults, finding.Fault{ID: FaultPacksBed, Path: "mix.measure"})
	}
	p.job.Shelf = slices.Clone(j.Shelf)
	for i, m := range p.job.Shelf {
		m = lib.know(m)
		p.job.Shelf[i] = m
		c, wrong := m.Contents()
		if wrong != nil {
			faults = append(faults, wrong...)
			continue
		}
		if corrosive(c) && found == nil {
			p.findings = append(p.findings, finding.Finding{ID: FindAcidOnShelf, Severity: finding.Note, Args: finding.Args{"Product": m.Name}, Source: source.OwnChoice})
			continue
		}
		if c.Rots {
			if p.findings = append(p.findings, m.leftOut(found != nil)); found == nil {
				continue
			}
		}
		if j.Measure.Kind == Packs && m.packMass() <= 0 {
			faults = append(faults, m.wrong(FaultPackSize, "pack", nil)...)
		}
		p.add(i, m, c)
	}
	return p, faults
}

// add takes a product up.
func (p *prepared) add(i int, m Material, c Contents) {
	spoon, assumed := m.Spoon()
	p.assumptions = append(p.assumptions, c.Assumptions...)
	if p.job.Measure.Kind == Spoons && (p.found == nil || p.found.Portions[i].Spoons != 0) {
		p.assumptions = append(p.assumptions, assumed...)
	}
	q, grid := product{index: i, material: m, contents: c, cost: m.costOfGram()}, unit.MassConcentration(0)
	if p.found == nil {
		q.limit, grid = m.Limit, p.job.Measure.gridOf(m, p.fill.Makes, spoon.Mass)
	}
	p.products, p.spoons = append(p.products, q), append(p.spoons, spoon)
	p.grid, p.jugs = append(p.grid, grid), append(p.jugs, Jug{})
}

// corrosive tells the acids and bases: they are dosed to a pH, not to a recipe.
func corrosive(c Contents) bool {
	for _, h := range c.Hazards {
		if h == StrongAcid || h == StrongBase {
			return true
		}
	}
	return false
}
