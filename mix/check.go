package mix

import (
	"slices"

	"raftwright/chem"
	"raftwright/finding"
	"raftwright/source"
	"raftwright/unit"
)

// Portion is one line of a recipe as found: so much of a product.
type Portion struct {
	Path     finding.Path // of the amount in the brief
	Material Material
	Spoons   float64     // level teaspoons (3 to a tablespoon); 0 where Mass or Liquid is given
	Mass     unit.Mass   // weighed
	Liquid   unit.Volume // poured; needs the density of the material
}

// RecipeJob is anybody's recipe in this water.
type RecipeJob struct {
	Path     finding.Path // of the section in the brief
	Water    Water
	Portions []Portion
	Per      unit.Volume // of water that the portions go into: 1 gal, 5 gal
	Target   Target      // to compare with; zero: the lettuce recipe, and said so
	Bed      unit.Volume // 0: unknown
	Crop     Crop
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
	Product string   // that is changed or added, "" where all are
	Factor  float64  // of the old amounts, where they change
	Misfit  float64  // after it
	Mends   bool     // every main element then lies in its band
	After   []Wish   // the wishes with what they then get
	Doses   []Amount // the whole recipe after the change
}

// Amount is so much of a product.
type Amount struct {
	Product string
	Mass    unit.Mass
	Spoons  float64 // level teaspoons
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

// Judge works out what a recipe gives in this water, what is wrong with it, and
// the smallest change that mends it.
func (r RecipeJob) Judge(lib Library) (Check, finding.Faults) {
	c, err := r.judge(lib)
	return c, finding.FaultsOf(err, r.Path, chem.FaultBalance)
}

func (r RecipeJob) judge(lib Library) (Check, error) {
	s, doses, err := r.solver(lib, "per")
	if err != nil {
		return Check{}, err
	}
	s.exact = answer{doses: doses, misfit: s.blend.missed(s.blend.achieved(doses)), proven: true}
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
	if !fed(m.Wishes) {
		c.Mends = r.mends(s, doses)
		c.Mend = pickMend(c.Mends)
	}
	return c, nil
}

func (t Target) isZero() bool {
	return t.Recipe == "" && t.EC == 0 && len(t.Figures) == 0 && len(t.Limits) == 0
}

// job turns the portions into a shelf with grams per litre.
func (r RecipeJob) job(lib Library, perKey string) (Job, []float64, finding.Faults) {
	j := Job{Water: r.Water, Target: r.Target, Crop: r.Crop, Bucket: r.Per, Bed: r.Bed, Measure: Measure{Kind: Spoons}}
	if r.Target.isZero() {
		j.Target = Target{Recipe: "lettuce"}
	}
	faults := finding.Within(r.Path.Key(perKey), r.Per, unit.Millilitre, 1e6*unit.Litre, unit.Gallon)
	if len(r.Portions) == 0 {
		faults = append(faults, finding.Fault{ID: FaultNoAmounts, Path: r.Path})
	}
	weighed := true
	var doses []float64
	for _, p := range r.Portions {
		p.Material = lib.know(p.Material)
		mass, wrong := p.mass()
		faults = append(faults, wrong...)
		weighed = weighed && p.Spoons == 0
		j.Shelf = append(j.Shelf, p.Material)
		doses = append(doses, mass.Per(max(r.Per, 1e-9)).GramsPerLitre())
	}
	if weighed {
		j.Measure = Measure{}
	}
	return j, doses, faults
}

func (p Portion) mass() (unit.Mass, finding.Faults) {
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
	switch {
	case given != 1:
		return 0, finding.Faults{{ID: FaultAmount, Path: p.Path, Args: finding.Args{"Product": p.Material.Name}}}
	case p.Liquid != 0 && p.Material.Density == 0:
		return 0, p.Material.wrong(FaultDensity, "density", nil)
	}
	return mass, finding.Within(p.Path, mass, 1e-9, 1e3, 10*unit.Gram)
}

// solver prepares the recipe's products and its doses.
func (r RecipeJob) solver(lib Library, perKey string) (*solver, []float64, error) {
	job, doses, faults := r.job(lib, perKey)
	p, more := job.prepare(lib, &r)
	_, wrong := job.Target.aim(lib, job.Crop.ID, 1)
	if faults = append(append(faults, more...), wrong...); faults != nil {
		return nil, nil, faults
	}
	k, err := chem.At(measuredAt)
	if err != nil {
		return nil, nil, err
	}
	s := &solver{prepared: p, ions: k}
	return s, doses, s.pose(1)
}

// recipeMix is the report without what only a plan needs.
func (s *solver) recipeMix() (Mix, error) {
	m, err := s.report()
	m.Alternatives, m.Proven, m.GridProven = nil, true, true
	return m, err
}

// fed says whether every main element lies in its band.
func fed(wishes []Wish) bool {
	return !slices.ContainsFunc(wishes, func(w Wish) bool { return w.Main() && w.Fit() != fine })
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
