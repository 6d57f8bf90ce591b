package mix

import (
	"cmp"
	"math"
	"slices"

	"raftwright/chem"
	"raftwright/finding"
	"raftwright/internal/inorder"
	"raftwright/unit"
)

// Mix is the answer to a Job: what to put in, and what comes of it.
type Mix struct {
	Doses    []Dose // in the order of the shelf; only products in use
	Wishes   []Wish // what was asked for, in the order of Nutrient
	Fit      []Wish // the same, with what nobody asked for and harms
	Water    Levels // of the source water
	Achieved Levels // water, acid and doses together
	// Misfit is the square root of the weighted mean of what is short of the wishes,
	// squared, with a hundredth of what is above them inside their bands and ten
	// times what harms: 0 is the target, 0.1 is short by a tenth on the whole.
	Misfit float64
	// Best is the misfit of the exact doses, before they were rounded to the
	// measure.
	Best        float64
	Proven      bool // no mix of this shelf within the limits has a smaller Best
	GridProven  bool // no measurable mix has a smaller Misfit; with an EC asked for, none of the same products
	Strength    float64
	StrengthSet bool // the target was scaled to an EC
	Recipe      Recipe
	Bucket      unit.Volume
	Fill        Filling

	EC       unit.Conductivity // at 25 °C, just mixed
	PH       float64           // just mixed, with the acid in
	Nitrogen NitrogenForms
	Solids   []Saturation
	Acid     AcidDose
	Meters   Meters
	NBand    Band // of the nitrogen, mg/L, nine times in ten
	Cost     Cost

	Alternatives []Alternative
	Allow        *Allow // what more products than allowed would give; nil where the limit costs nothing
	Free         *Mix   // what the same shelf gives where the budget does not hold; nil where it costs nothing that is missed
	Buy          *Buy   // what makes it work; nil where it works, or nothing of the trade does
	Stock        *StockPlan
	Order        []OrderStep
	TopUp        TopUp
	Urea         []UreaStage
	Handling     []Handling

	Findings    []finding.Finding
	Assumptions []finding.Assumption

	ions     chem.Composition
	ec       *rising
	contents []product
	measure  Measure
	// PHOpen says that the label of a product in use tells no pH, so that PH is a guess
	// which is not to be printed.
	PHOpen bool

	usual   Levels // what only the usual label of a grade tells of
	usualOf string // whose it is; "" where there is none
}

// Dose is how much of a product goes in.
type Dose struct {
	Product      string
	Shelf        int // index on the shelf of the job
	Strength     unit.MassConcentration
	PerBucket    unit.Mass // in each batch of the filling
	Last         unit.Mass // in its last one, as measured; 0: there is none, or too little
	PerGallon    unit.Mass
	Per100Gallon unit.Mass
	PerBed       unit.Mass   // 0 where the bed's volume is not known
	Liquid       unit.Volume // per batch, of a liquid
	Spoons       float64     // level teaspoons a batch, to a quarter
	LastSpoons   float64     // in the last one
	Jug          Jug         // that it is taken from, where it is too little to measure
	Spoon        SpoonMass
	Spread       unit.Fraction // one standard deviation of the measured amount
	Steps        int           // of the measure, 0 where it measures exactly
	ForBed       bool          // measured once for the whole bed
	Packs        float64       // whole packs into the bed; 0 where no packs are counted
	Tank         string        // "A" or "B" with concentrates
	Brings       Levels
}

// Poured gives the volume of so much of a liquid; 0 of a powder, which is weighed.
func (d Dose) Poured(m unit.Mass) unit.Volume {
	if d.Liquid <= 0 || d.PerBucket <= 0 {
		return 0
	}
	return d.Liquid * unit.Volume(m/d.PerBucket)
}

// Miss gives the relative miss: 0.1 is a tenth too much.
func (w Wish) Miss() float64 { return float64(w.Achieved/w.Level) - 1 }

// Saturation says how near the mix is to dropping a solid: above 0 it can.
type Saturation struct {
	Mineral chem.Mineral
	Index   float64
	Open    float64 // after a day in open air
}

// AcidDose is the acid that brings the mix to its pH. The zero value is none.
type AcidDose struct {
	Name   string
	Dose   unit.MolarConcentration
	PH     float64 // that it was asked for
	Brings Levels
	Err    error // why the pH cannot be had
}

// Band is a range that holds nine times in ten.
type Band struct{ Low, High float64 }

// Cost is what the products used up cost, at the prices of their packs.
type Cost struct {
	Per1000L   float64
	Per100Gal  float64
	PerBed     float64
	PerHead    float64
	Currency   string
	Unpriced   []string // products in use whose price or pack is not known
	PricedPart bool     // some are priced
}

// report turns the doses into the answer.
func (s *solver) report() (Mix, error) {
	doses := s.rounded.doses
	m := Mix{Water: s.base, Bucket: s.bucket, Fill: s.fill, Recipe: s.aim.recipe, Strength: s.scale, StrengthSet: s.job.Target.EC > 0, measure: s.job.Measure,
		Proven: s.exact.proven, GridProven: s.rounded.proven && s.exact.proven}
	m.ions = s.composition(doses)
	b := s.blend
	if at, ok := s.carriedAt(); ok {
		a, err := s.aimAt(at)
		if err != nil {
			return Mix{}, err
		}
		m.Strength, b.wishes, b.unasked = at, a.wishes, a.unasked
		s.exact.misfit = b.missed(b.achieved(s.exact.doses))
	}
	b.base = s.base.Add(LevelsOf(s.acid)) // the acid of the rounded doses
	m.Achieved = b.achieved(doses)
	m.Nitrogen = m.Achieved.NitrogenForms()
	b.give(b.base)
	m.Wishes, m.Misfit = reached(b.wishes, m.Achieved), b.norm(b.missed(m.Achieved)+b.ec.cost(doses))
	s.tellUntold(m.Wishes, doses)
	m.usual, m.usualOf = s.usual(doses)
	for j, q := range s.products {
		m.PHOpen = m.PHOpen || doses[j] > 0 && q.contents.Unbalanced
	}
	for i, w := range m.Wishes {
		m.Wishes[i].Usual = m.usual[w.Nutrient]
	}
	m.Fit = slices.Clone(m.Wishes)
	for _, w := range reached(b.unasked, m.Achieved) {
		w.Usual = m.usual[w.Nutrient]
		if w.Harms() || w.MayHarm() {
			m.Fit = append(m.Fit, w)
		}
	}
	m.Best = min(b.norm(s.exact.misfit), m.Misfit)
	s.list(&m, doses)
	if err := s.look(&m); err != nil {
		return Mix{}, err
	}
	if s.job.Acid != nil {
		m.Acid = AcidDose{Name: s.job.Acid.Name, Dose: s.acidDose, PH: s.job.Acid.PH, Brings: LevelsOf(s.acid), Err: s.acidErr}
	}
	m.Cost = s.cost(m.Doses)
	return m, s.finish(&m)
}

// list writes the doses out in every measure.
func (s *solver) list(m *Mix, doses []float64) {
	for j, d := range doses {
		if d <= 0 {
			continue
		}
		q, spoon := s.products[j], s.spoons[j]
		c, f := unit.MassConcentration(d), s.fill
		out := Dose{Product: q.material.Name, Shelf: q.index, Strength: c, PerBucket: c.In(f.Makes), PerGallon: c.In(unit.Gallon),
			Per100Gallon: c.In(100 * unit.Gallon), PerBed: c.In(s.job.Bed), Spoon: spoon, ForBed: f.Method == Stirred && f.Full == 1, Brings: q.contents.Shares.At(c)}
		out.Last = f.Measured(out.PerBucket, s.stepOf(j))
		if q.material.Density > 0 {
			out.Liquid = unit.Volume(float64(out.PerBucket) / float64(q.material.Density))
		}
		spoons := func(m unit.Mass) float64 { return math.Round(float64(m/spoon.Mass)/quarter) * quarter }
		out.Spoons, out.LastSpoons = spoons(out.PerBucket), spoons(out.Last)
		out.Spread = unit.Fraction(s.job.Measure.spread(out.PerBucket, spoon))
		if jug := s.jugs[j]; jug.Mass > 0 {
			out.Jug, out.Spoons, out.LastSpoons = jug.taking(out.PerBucket), 0, 0
			out.Spread = unit.Fraction(s.job.Measure.spread(jug.Mass, spoon))
		}
		if g := s.grid[j]; g > 0 {
			out.Steps = int(math.Round(d / float64(g)))
		}
		if s.job.Measure.Kind == Packs {
			out.Packs = float64(out.Steps)
		}
		m.Doses = append(m.Doses, out)
	}
	inorder.Put(m.Doses, func(a, b Dose) int { return cmp.Compare(a.Shelf, b.Shelf) })
}

// look asks the chemistry what the meters will read, and what may fall out.
func (s *solver) look(m *Mix) error {
	closed, err := s.ions.Closed(m.ions)
	if err != nil {
		return err
	}
	open, err := s.ions.Open(m.ions, chem.AirCO2)
	if err != nil {
		return err
	}
	m.EC, m.PH = closed.Conductivity, closed.PH
	if a := s.job.Acid; a != nil && a.CO2 > 0 { // the acid was asked for in air: the mix is told as it then stands
		aired := open
		if a.CO2 != chem.AirCO2 {
			if aired, err = s.ions.Open(m.ions, a.CO2); err != nil {
				return err
			}
		}
		m.EC, m.PH = aired.Conductivity, aired.PH
	}
	m.Solids = saturations(closed, open)
	m.Meters, err = s.meters(m, closed, open)
	return err
}

// watched are the solids that the answer names, the four of the contract first.
var watched = []chem.Mineral{chem.Calcite, chem.Gypsum, chem.Brushite, chem.Hydroxyapatite, chem.Struvite, chem.Ferrihydrite}

func saturations(closed, open chem.Solution) []Saturation {
	var out []Saturation
	for _, mineral := range watched {
		si, ok := closed.SI(mineral)
		if !ok {
			continue
		}
		later, ok := open.SI(mineral)
		if !ok {
			later = si
		}
		out = append(out, Saturation{mineral, si, later})
	}
	return out
}

func (s *solver) cost(doses []Dose) Cost {
	var c Cost
	for _, d := range doses {
		m := s.job.Shelf[d.Shelf]
		price := m.costOfGram()
		if price == 0 {
			c.Unpriced = append(c.Unpriced, d.Product)
			continue
		}
		if c.Currency == "" {
			c.Currency = m.Currency
		}
		c.PricedPart = true
		c.Per1000L += price * d.Strength.In(unit.CubicMetre).Grams()
		c.Per100Gal += price * d.Per100Gallon.Grams()
		c.PerBed += price * d.PerBed.Grams()
	}
	if s.job.Heads > 0 {
		c.PerHead = c.PerBed / float64(s.job.Heads)
	}
	return c
}
