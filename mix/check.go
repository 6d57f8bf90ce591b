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

// Portion is one line of a recipe as found: so much of a product.
type Portion struct {
	Material Material
	Spoons   float64     // level teaspoons (3 to a tablespoon); 0 where Mass or Liquid is given
	Mass     unit.Mass   // weighed
	Liquid   unit.Volume // poured; needs the density of the material
}

// RecipeJob is anybody's recipe in this water.
type RecipeJob struct {
	Water    Water
	Portions []Portion
	Per      unit.Volume // of water that the portions go into: 1 gal, 5 gal
	Target   Target      // to compare with; zero: the lettuce recipe, and said so
	Bed      unit.Volume // 0: unknown
}

// Check is what a recipe really gives.
type Check struct {
	Mix          // doses, levels, EC, pH, solids, readings and findings, as of a mix
	Mends []Mend // changes that bring it nearer to the target, the smallest first
	Mend  *Mend  // the smallest that mends it, or the best where none does; nil where nothing needs mending
}

// Mend is a change to a recipe.
type Mend struct {
	Kind    MendKind
	Product string      // that is changed or added, "" where all are
	Factor  float64     // of the old amounts, where they change
	Add     unit.Mass   // of the product, for the recipe's volume
	Spoons  float64     // of Add, level teaspoons
	Misfit  float64     // after it
	Mends   bool        // every main element then lies within a third of the wish
	After   []Wish      // the wishes with what they then get
	Doses   []MendDose  // the whole recipe after the change
	Changes int         // products that change
	Per     unit.Volume // the recipe's volume
}

// MendDose is a line of the mended recipe.
type MendDose struct {
	Product string
	Mass    unit.Mass
	Spoons  float64
}

// MendKind is a kind of change.
type MendKind int

// Kinds of change, the smallest first.
const (
	MendStrength MendKind = iota // all amounts times one factor
	MendOne                      // another amount of one product (none at all: leave it out)
	MendAdd                      // one product more
	MendAll                      // other amounts, and products added
)

// String gives the plain name.
func (k MendKind) String() string {
	return [...]string{"other strength", "other amount of one product", "one product more", "another recipe"}[min(max(k, 0), MendAll)]
}

// Assumptions and findings about recipes as found.
const (
	AssumeTarget   finding.ID = "mix.assume_target"
	FindSodiumBase finding.ID = "mix.sodium_base"
	FindBlindEC    finding.ID = "mix.blind_ec"
)

// mendedWithin is how far every main element may be off in a recipe that needs
// no mending.
const mendedWithin = 1. / 3

// Judge works out what a recipe gives in this water, what is wrong with it, and
// the smallest change that mends it. The error joins every fault.
func (r RecipeJob) Judge() (Check, error) {
	job, doses, err := r.job()
	if err != nil {
		return Check{}, err
	}
	s, err := r.solver(job)
	if err != nil {
		return Check{}, err
	}
	s.exact = answer{doses: doses, misfit: missed(s.blend.wishes, s.blend.achieved(doses)), proven: true}
	s.rounded = s.exact
	m, err := s.recipeMix()
	if err != nil {
		return Check{}, err
	}
	c := Check{Mix: m}
	if r.Target.isZero() {
		c.Assumptions = append(c.Assumptions, finding.Assumption{ID: AssumeTarget, Args: finding.Args{"Recipe": s.aim.recipe.Name}, Source: s.aim.recipe.Source})
	}
	c.Findings = append(c.Findings, s.judgeRecipe(&c)...)
	finding.Sort(c.Findings)
	if worstMiss(m.Wishes) > mendedWithin {
		c.Mends, err = r.mends(s, doses)
		c.Mend = pickMend(c.Mends)
	}
	return c, err
}

func (t Target) isZero() bool {
	return t.Recipe == "" && t.EC == 0 && len(t.Figures) == 0 && len(t.Limits) == 0
}

// job turns the portions into a shelf with grams per litre.
func (r RecipeJob) job() (Job, []float64, error) {
	var faults []error
	j := Job{Water: r.Water, Target: r.Target, Bucket: r.Per, Bed: r.Bed, Measure: Measure{Kind: Spoons}}
	if r.Target.isZero() {
		j.Target = Target{Recipe: "lettuce"}
	}
	if v := r.Per.Litres(); !(v > 0 && v <= 1e6) {
		faults = append(faults, errors.New("say how much water the recipe is for; write for example 1 gal or 5 gal"))
	}
	if len(r.Portions) == 0 {
		faults = append(faults, errors.New("the recipe is empty; write for example 2 teaspoons of a product"))
	}
	weighed := true
	var doses []float64
	for _, p := range r.Portions {
		mass, err := p.mass()
		if err != nil {
			faults = append(faults, err)
			continue
		}
		weighed = weighed && p.Spoons == 0
		j.Shelf = append(j.Shelf, p.Material)
		doses = append(doses, mass.Per(max(r.Per, 1e-9)).GramsPerLitre())
	}
	if weighed {
		j.Measure = Measure{}
	}
	return j, doses, errors.Join(faults...)
}

func (p Portion) mass() (unit.Mass, error) {
	spoon, _ := p.Material.Spoon()
	mass := p.Mass
	given := 0
	if p.Mass != 0 {
		given++
	}
	if p.Spoons != 0 {
		given, mass = given+1, spoon.Mass*unit.Mass(p.Spoons)
	}
	if p.Liquid != 0 {
		given, mass = given+1, p.Material.Density.Of(p.Liquid)
	}
	switch g := mass.Grams(); {
	case given != 1:
		return 0, &MaterialError{p.Material.Name, "amount", "give one amount: spoons, or grams, or the volume of a liquid"}
	case p.Liquid != 0 && p.Material.Density == 0:
		return 0, &MaterialError{p.Material.Name, "density", "a poured amount needs the density of the liquid; write for example 1.3 g/mL"}
	case !(g > 0 && g <= 1e6):
		return 0, &MaterialError{p.Material.Name, "amount", fmt.Sprintf("%.4g g cannot be; write for example 2 tsp or 10 g", g)}
	}
	return mass, nil
}

// solver prepares the recipe's products, corrosive ones too: here they are in.
func (r RecipeJob) solver(j Job) (*solver, error) {
	p := prepared{job: j, base: j.Water.Levels(), bucket: j.Bucket}
	faults := []error{j.check()}
	for i, m := range j.Shelf {
		c, err := m.Contents()
		if err != nil {
			faults = append(faults, err)
			continue
		}
		spoon, assumed := m.Spoon()
		p.assumptions = append(p.assumptions, c.Assumptions...)
		if r.Portions[i].Spoons != 0 {
			p.assumptions = append(p.assumptions, assumed...)
		}
		p.findings = append(p.findings, c.Findings...)
		p.products = append(p.products, product{index: i, material: m, contents: c, cost: m.costOfGram()})
		p.spoons = append(p.spoons, spoon)
		p.grid, p.forBed = append(p.grid, 0), append(p.forBed, false)
	}
	_, err := j.Target.aim(1)
	if err := errors.Join(append(faults, err)...); err != nil {
		return nil, err
	}
	k, err := chem.At(measuredAt)
	if err != nil {
		return nil, err
	}
	s := &solver{prepared: p, ions: k, asFound: true}
	return s, s.pose(1)
}

// recipeMix is the report without what only a plan needs.
func (s *solver) recipeMix() (Mix, error) {
	m, err := s.report()
	m.Alternatives, m.Proven, m.GridProven = nil, true, true
	return m, err
}

func worstMiss(wishes []Wish) float64 {
	worst := 0.0
	for _, w := range wishes {
		if !w.Nutrient.IsMicro() {
			worst = max(worst, math.Abs(w.Miss()))
		}
	}
	return worst
}

// judgeRecipe says what only recipes as found need to be told.
func (s *solver) judgeRecipe(c *Check) []finding.Finding {
	var out []finding.Finding
	for j, q := range s.products {
		ions := q.contents.Ions.Times(s.rounded.doses[j])
		if ions.Na > 0.2 && float64(ions.ReferenceCharge()) > 0.2 {
			args := finding.Args{"Product": q.material.Name, "Sodium": q.contents.Shares.At(unit.MassConcentration(s.rounded.doses[j]))[Sodium],
				"Alkalinity": unit.MassConcentration(ions.ReferenceCharge().AsCaCO3()) * unit.MilligramPerLitre,
				"Calcium":    c.Water[Calcium], "PH": c.PH}
			out = append(out, finding.Finding{ID: FindSodiumBase, Severity: finding.Caution, Args: args, Figure: ions.ReferenceCharge(), Source: source.OwnChoice})
		}
	}
	if share := c.Nitrogen.Urea; share > 0.05 {
		ionic := c.Achieved[NitrateN] + c.Achieved[AmmoniumN]
		out = append(out, finding.Finding{ID: FindBlindEC, Severity: finding.Caution, Args: finding.Args{"EC": c.EC, "Seen": ionic, "All": c.Achieved[Nitrogen]}, Figure: share, Source: "urea_ratio_study"})
	}
	return out
}
