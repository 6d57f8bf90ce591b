package mix

import (
	"errors"
	"fmt"
	"math"

	"raftwright/chem"
	"raftwright/finding"
	"raftwright/source"
	"raftwright/unit"
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
	CO2     unit.Pressure // of the air it stays in balance with; 0: closed
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
	Heads        int // plants in the bed, for the cost of each; 0: unknown
}

// Bounds of a job.
const (
	mostShelf    = 200
	usualBucket  = 5 * unit.Gallon
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

// check gives every fault of the job at once, joined.
func (j Job) check() error {
	var faults []error
	if len(j.Shelf) > mostShelf {
		faults = append(faults, fmt.Errorf("the shelf holds %d products; at most %d are worked with", len(j.Shelf), mostShelf))
	}
	names := map[string]bool{}
	for _, m := range j.Shelf {
		if names[m.Name] {
			faults = append(faults, &MaterialError{m.Name, "name", "two products have this name; give each its own"})
		}
		names[m.Name] = true
	}
	for _, v := range []struct {
		what        string
		value, most float64
		right       string
	}{
		{"bucket", j.Bucket.Litres(), 1e5, "5 gal"}, {"bed", j.Bed.Litres(), 1e7, "100 gal"}, {"stock tank", j.Stock.Volume.Litres(), 1e5, "5 gal"},
		{"injector ratio", j.Stock.Ratio, 5000, "100"}, {"number of products", float64(j.MostProducts), 1000, "4"}, {"budget", j.Budget, 1e9, "20"},
	} {
		if math.IsNaN(v.value) || v.value < 0 || v.value > v.most {
			faults = append(faults, fmt.Errorf("the %s cannot be %.4g; write for example %s", v.what, v.value, v.right))
		}
	}
	if (j.Stock.Volume > 0) != (j.Stock.Ratio > 0) {
		faults = append(faults, errors.New("concentrate tanks need a volume and a ratio; write for example stock: {volume: 5 gal, ratio: 100}"))
	}
	if err := j.Measure.check(); err != nil {
		faults = append(faults, err)
	}
	return errors.Join(faults...)
}

// prepared is a job whose shelf and target are read.
type prepared struct {
	job         Job
	base        Levels // of the water
	products    []product
	spoons      []SpoonMass
	bucket      unit.Volume
	grid        []unit.MassConcentration
	forBed      []bool // weighed once for the whole bed
	assumptions []finding.Assumption
	findings    []finding.Finding
}

func (j Job) prepare() (prepared, error) {
	p := prepared{job: j, base: j.Water.Levels(), bucket: j.Bucket}
	faults := []error{j.check()}
	if p.bucket == 0 {
		p.bucket = usualBucket
		p.assumptions = append(p.assumptions, finding.Assumption{ID: AssumeBucket, Args: finding.Args{"Volume": p.bucket}, Source: source.CommonPractice})
	}
	if j.Measure.Kind == Exact {
		p.assumptions = append(p.assumptions, finding.Assumption{ID: AssumeExact, Source: source.OwnChoice})
	}
	for i, m := range j.Shelf {
		c, err := m.Contents()
		if err != nil {
			faults = append(faults, err)
			continue
		}
		if corrosive(c) {
			p.findings = append(p.findings, finding.Finding{ID: FindAcidOnShelf, Severity: finding.Note, Args: finding.Args{"Product": m.Name}, Source: source.OwnChoice})
			continue
		}
		spoon, assumed := m.Spoon()
		p.assumptions = append(p.assumptions, c.Assumptions...)
		if j.Measure.Kind == Spoons {
			p.assumptions = append(p.assumptions, assumed...)
		}
		p.findings = append(p.findings, c.Findings...)
		p.products = append(p.products, product{index: i, material: m, contents: c, cost: m.costOfGram(), limit: m.Limit})
		p.spoons = append(p.spoons, spoon)
		batch := p.bucket
		if j.Measure.Kind == Packs {
			batch = j.Bed
		}
		p.grid, p.forBed = append(p.grid, j.Measure.gridOf(m, batch, spoon.Mass)), append(p.forBed, false)
	}
	if j.Measure.Kind == Packs {
		faults = append(faults, p.packFaults()...)
	}
	return p, errors.Join(faults...)
}

func (p prepared) packFaults() []error {
	var out []error
	if p.job.Bed <= 0 {
		out = append(out, errors.New("whole packs need the volume of the bed"))
	}
	for _, q := range p.products {
		if q.material.packMass() <= 0 {
			out = append(out, &MaterialError{q.material.Name, "pack", "whole packs are asked for, but the size of this pack is not known; write for example 4 lb"})
		}
	}
	return out
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
