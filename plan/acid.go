package plan

import (
	"raftwright/brief"
	"raftwright/chem"
	"raftwright/cost"
	"raftwright/finding"
	"raftwright/mix"
	"raftwright/unit"
	"raftwright/water"
)

// SaferAcid is what stands on paper in place of a strong acid, where children
// come.
type SaferAcid struct {
	Asked water.Product
	// Dose is that of the safer acid: for the finished mix where there is one, else
	// for the water alone. Nil where none reaches the pH.
	Dose *water.Dose
	// Rain is the share of rain water that does without acid: it leaves as much
	// alkalinity as an acid should; 0 where there is little to take out.
	Rain unit.Fraction
	// Cost and AskedCost are what a fill of the bed takes; zero where the size of
	// the bed is not known.
	Cost, AskedCost cost.Money

	water *water.Assessment
	mix   *mix.Mix
}

// What is said where a strong acid stays off the paper.
const (
	FindStrongNone  finding.ID = "plan.strong_acid_none"
	FindRainInstead finding.ID = "plan.rain_instead"
	FindSaferCosts  finding.ID = "plan.safer_costs"
)

// AssumeLabelAcid stands for the acid that the label of a bottle of pH-down tells.
const AssumeLabelAcid finding.ID = "plan.label_acid"

// Grams of the acid that bring a gram of what the label counts: P2O5 is half a
// mole of it for each mole of phosphorus, nitrogen is that of nitrate (IUPAC
// atomic weights).
var (
	phosphoricOfP2O5 = 2 * (water.Product{Reagent: water.Phosphoric}).MolarMass() / (2*chem.Phosphorus.Weight() + 5*chem.Oxygen.Weight())
	nitricOfN        = (water.Product{Reagent: water.Nitric}).MolarMass() / chem.Nitrogen.Weight()
)

// labelledAcid reads the acid off the label of a bottle of pH-down: one with
// phosphorus alone is phosphoric acid, one with nitrogen alone nitric acid.
func (m *maker) labelledAcid(b brief.Acid) water.Product {
	l := b.Label.Value
	p := water.Product{Reagent: water.Citric} // where there is a fault, so that no other follows from it
	switch {
	case b.Product.Given:
		m.fault(b.Label.At, "acid.product and acid.label both say what the acid is", "keep one of them")
	case l.K2O > 0 || l.N > 0 && l.P2O5 > 0 || l.N+l.P2O5 == 0:
		m.fault(b.Label.At, "acid.label "+l.String()+" does not tell one acid", "name the acid and its strength as on the bottle, for example product: phosphoric 30 %")
	case l.P2O5 > 0:
		p = water.Product{Reagent: water.Phosphoric, Strength: l.P2O5 * unit.Fraction(phosphoricOfP2O5)}
	default:
		p = water.Product{Reagent: water.Nitric, Strength: l.N * unit.Fraction(nitricOfN)}
	}
	m.assume(finding.Assumption{ID: AssumeLabelAcid, Source: ownChoice,
		Args: finding.Args{"Label": l.String(), "Product": p.Word(), "Strength": p.Strength}})
	return p
}

// safer lists what a home with children or a school may handle, the best first:
// crystals that burn nobody, then phosphoric acid as weak as a leaflet allows.
var safer = []water.Product{{Reagent: water.Citric, Strength: 1}, {Reagent: water.Phosphoric, Strength: 0.30}}

// mostSafer is the most of a weak acid that makes sense in a bed (own choice):
// twice what the hardest usual water takes.
const mostSafer = 5 * unit.MillimolePerLitre

// saferAcid looks for what may be printed in place of a strong acid.
func (m *maker) saferAcid(j water.Job) {
	out := SaferAcid{Asked: j.Acid.Product}
	for _, p := range safer {
		want := *j.Acid
		want.Product = p
		a, err := water.Assess(water.Job{Test: j.Test, Limits: j.Limits, Acid: &want})
		if err == nil && a.Acid != nil && !a.Acid.Away && a.Acid.Amount <= mostSafer {
			out.Dose, out.water = a.Acid, &a
			break
		}
	}
	if out.water == nil {
		a, err := water.Assess(water.Job{Test: j.Test, Limits: j.Limits})
		if err != nil {
			return // the asked one was assessed just before, so this cannot be
		}
		out.water = &a
	}
	if kept := water.KeptAlkalinity; water.Alkalinity.Mass(unit.MolarConcentration(m.Water.Alkalinity)) > kept {
		out.Rain = 1 - unit.Fraction(kept/water.Alkalinity.Mass(unit.MolarConcentration(m.Water.Alkalinity)))
	}
	m.Safer = &out
}

// tellSafer says what is used in place of the strong acid, and what that costs.
func (m *maker) tellSafer() {
	s := m.Safer
	if s == nil {
		return
	}
	args := finding.Args{"Product": s.Asked.Word()}
	asked := *m.Water.Acid
	if s.mix != nil && s.Dose != nil { // the feed takes a part of the work
		used := s.Dose.Scaled(s.mix.Acid.Dose)
		s.Dose, asked = &used, m.Water.Acid.Scaled(m.Mix.Acid.Dose)
	}
	if d := s.Dose; d == nil {
		m.find(finding.Finding{ID: FindStrongNone, Act: finding.AtWater, Severity: finding.Caution, Args: args, Source: "umassalkalinity"})
	} else {
		args["Safer"], args["Volume"] = d.Want.Product.Word(), 100*unit.Gallon
		args["Dose"] = any(d.Mass.In(100 * unit.Gallon))
		if !d.Want.Product.Solid() {
			args["Dose"] = unit.Volume(d.Volume) * 100 * unit.Gallon
		}
		m.find(finding.Finding{ID: FindStrongAcid, Act: finding.AtWater, Severity: finding.Caution, Args: args, Figure: d.Amount, Source: "umassalkalinity"})
		if m.Frame != nil {
			s.Cost, s.AskedCost = m.acidCost(d, m.Frame.Volume), m.acidCost(&asked, m.Frame.Volume)
			m.find(finding.Finding{ID: FindSaferCosts, Act: finding.AtWater, Severity: finding.Note, Figure: s.Cost, Source: "umassalkalinity",
				Args: finding.Args{"Safer": d.Want.Product.Word(), "Cost": s.Cost, "Asked": s.AskedCost, "Product": s.Asked.Word(), "Volume": m.Frame.Volume}})
		}
	}
	if s.Rain > 0 {
		args := finding.Args{"Share": s.Rain, "Keep": water.KeptAlkalinity, "Calcium": water.Calcium.Mass(m.Water.Solution.Totals.Ca * unit.MolarConcentration(1-s.Rain))}
		m.find(finding.Finding{ID: FindRainInstead, Act: finding.AtWater, Severity: finding.Note, Args: args, Figure: s.Rain, Source: "umassalkalinity"})
	}
}

// acidCost prices the acid of one fill by the price book.
func (m *maker) acidCost(d *water.Dose, v unit.Volume) cost.Money {
	key, _, quantity := acidNeed(d, v)
	for _, k := range key {
		if p, ok := m.prices().Own(k); ok {
			return p.Amount.Times(quantity)
		}
		if p, ok := m.prices().Assumed(k); ok {
			return p.Amount.Times(quantity)
		}
	}
	return cost.Money{}
}

// acidNeed gives the price names, the unit and the quantity of an acid for a
// volume of water.
func acidNeed(d *water.Dose, v unit.Volume) (keys []string, per string, quantity float64) {
	keys = []string{d.Want.Product.Reagent.String() + " acid", "acid"}
	if d.Want.Product.Solid() {
		return keys, "kilogram", d.Mass.In(v).Kilograms()
	}
	return keys, "litre", float64(d.Volume) * v.Litres()
}

// OnPaper gives the plan as it may be printed. Where a strong acid must stay off
// the paper, its water and its mix are those of the safer acid, so that no dose
// of the strong one is in it at all: neither in the card, the order of mixing
// and the shopping list, nor in the working.
func (p Plan) OnPaper() Plan {
	if p.onPaper {
		return p
	}
	p.onPaper = true
	if f := p.Found; f != nil && len(f.Strong) > 0 && p.WithChildren() {
		quiet := *f
		quiet.quiet = true
		p.Found = &quiet
	}
	s := p.Safer
	if s == nil {
		return p
	}
	p.Water = s.water
	if s.mix != nil {
		p.Mix = s.mix
	}
	return p
}
