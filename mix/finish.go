package mix

import (
	"math"
	"slices"

	"raftwright/crop"
	"raftwright/finding"
	"raftwright/source"
	"raftwright/unit"
)

// Alternative is a simpler mix of fewer products, and what it loses.
type Alternative struct {
	Doses  []Dose
	Misfit float64
	Proven bool
	Wishes []Wish // as in Mix, for these doses
	Lost   []Wish // those that come out worse by a tenth of the wish or more
	Cost   Cost
}

// TopUp is how strong the solution is with which water lost to the crop is made
// up, once the bed is filled.
type TopUp struct {
	Share    unit.Fraction          // of the first fill's strength; 0: no nitrogen is wished for
	Nitrogen unit.MassConcentration // in it
}

// tissueNitrogen is the nitrogen of dry lettuce (Langenfeld et al. 2022).
const tissueNitrogen = 4.5 * unit.Percent

// AssumeTopUp stands for the figures of the refill rule.
const AssumeTopUp finding.ID = "mix.assume_top_up"

// OrderStep is one step of mixing.
type OrderStep struct {
	Do      OrderAction
	Product string // "" where the step is not about a product
}

// OrderAction is what to do in a step of mixing.
type OrderAction int

// Steps of mixing, in their order.
const (
	FillMost      OrderAction = iota // three quarters of the water
	AddAcid                          // acid to water, never the other way
	Dissolve                         // stir until clear
	DissolveApart                    // in a jug of its own, then pour in: calcium
	FillUp                           // the rest of the water
	ReadMeters                       // after ten minutes
	FillBed                          // with plain water, by hose
	CureChlorine                     // until a strip reads 0
	FromJug                          // a part of a stock jug
	FillTanks                        // the concentrates of an injector
	Inject                           // fill the bed through it
)

// String gives the plain name.
func (a OrderAction) String() string {
	return [...]string{"fill most of the water", "add the acid", "dissolve", "dissolve apart", "fill up", "read the meters",
		"fill the bed", "take the chlorine out", "add from the stock jug", "make the concentrates", "fill through the injector"}[min(max(a, 0), Inject)]
}

// Handling is a danger of a product in use.
type Handling struct {
	Product string
	Hazard  Hazard
}

// finish adds what follows from the doses.
func (s *solver) finish(m *Mix) error {
	var err error
	if s.job.Stock.Volume > 0 {
		if m.Stock, err = s.stockPlan(m.Doses); err != nil {
			return err
		}
	}
	if urea := m.Achieved[UreaN]; urea > 0 {
		if m.Urea, err = UreaPath(m.ions, urea); err != nil {
			return err
		}
	}
	m.Order = s.order(m.Doses)
	m.TopUp = s.topUp(m)
	for _, d := range m.Doses {
		for _, h := range s.contentsOf(d).Hazards {
			m.Handling = append(m.Handling, Handling{d.Product, h})
		}
	}
	if s.found == nil && s.job.Pinned == nil {
		s.alternatives(m)
	}
	m.Assumptions = append(m.Assumptions, s.assumptions...)
	if s.job.Measure.Kind != Spoons { // the spoons beside the grams rest on a guess too
		for _, d := range m.Doses {
			if _, assumed := s.job.Shelf[d.Shelf].Spoon(); d.Spoons > 0 {
				m.Assumptions = append(m.Assumptions, assumed...)
			}
		}
	}
	if m.TopUp.Share > 0 {
		m.Assumptions = append(m.Assumptions, finding.Assumption{ID: AssumeTopUp, Source: "langenfeld2022",
			Args: finding.Args{"Tissue": tissueNitrogen.Percents() * 10, "Yield": float64(crop.OpenAirWaterUse)}})
	}
	switch m.Allow, m.Free = s.allow(m), s.unbounded(m); {
	case m.Free != nil:
		m.Buy = m.Free.Buy
	case m.Allow == nil || m.Works():
		m.Buy = s.buy(m)
	}
	m.Findings = slices.Concat(s.findings, s.judge(m))
	for _, d := range m.Doses { // of what is in the mix: what stands on the shelf beside it changes nothing
		m.Findings = append(m.Findings, s.contentsOf(d).Findings...)
	}
	m.contents, m.ec = s.products, s.ec
	finding.Hurting(m.Findings, finding.Person, FindOxidiser)
	finding.Hurting(m.Findings, finding.Harvest, losesHarvest...)
	finding.Sort(m.Findings)
	return nil
}

func (s *solver) topUp(m *Mix) TopUp {
	for _, w := range m.Wishes {
		if w.Nutrient == Nitrogen && w.Achieved > 0 {
			n := min(crop.Refill(tissueNitrogen, crop.OpenAirWaterUse), w.Achieved)
			return TopUp{Share: unit.Fraction(n / w.Achieved), Nitrogen: n}
		}
	}
	return TopUp{}
}

// alternatives finds the best mixes of one and of two products fewer.
func (s *solver) alternatives(m *Mix) {
	used := len(m.Doses)
	for fewer := 1; fewer <= 2 && used-fewer >= 1; fewer++ {
		a := s.best(used-fewer, nil)
		if s.job.Measure.Kind != Exact {
			a = s.round(a, used-fewer, mostGridWork/4)
		}
		alt := Alternative{Proven: a.proven}
		shell := Mix{Bucket: m.Bucket}
		s.list(&shell, a.doses)
		alt.Doses, alt.Cost = shell.Doses, s.cost(shell.Doses)
		alt.Wishes, alt.Misfit = reached(s.blend.wishes, s.blend.achieved(a.doses)), s.blend.norm(a.misfit)
		for i, w := range alt.Wishes {
			if math.Abs(w.Miss()) > math.Abs(m.Wishes[i].Miss())+0.1 {
				alt.Lost = append(alt.Lost, w)
			}
		}
		m.Alternatives = append(m.Alternatives, alt)
	}
}

// source of the checks that are ours.
const ownRule = source.OwnChoice
