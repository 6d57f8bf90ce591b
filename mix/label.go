package mix

import (
	"fmt"
	"math"

	"raftwright/chem"
	"raftwright/finding"
	"raftwright/source"
	"raftwright/unit"
)

// Stated is a share that a label states; 0 % is also a statement.
type Stated struct {
	Share unit.Fraction
	Given bool
}

// States gives a share as stated.
func States(share unit.Fraction) Stated { return Stated{share, true} }

// Label is what is printed on a fertiliser, in shares of its mass. The grade is
// N, P2O5 and K2O, the way labels count; the others count elements.
type Label struct {
	Grade      Grade
	Nitrate    Stated // of the nitrogen, as N
	Ammonium   Stated
	Urea       Stated
	Phosphorus Stated // P, not P2O5, in place of the grade
	Potassium  Stated // K, not K2O
	Calcium    unit.Fraction
	Magnesium  unit.Fraction
	Sulfur     unit.Fraction
	Sodium     unit.Fraction
	Chloride   unit.Fraction
	Iron       unit.Fraction
	Manganese  unit.Fraction
	Zinc       unit.Fraction
	Copper     unit.Fraction
	Boron      unit.Fraction
	Molybdenum unit.Fraction
	Silicon    unit.Fraction
	// ChelatedIron is the share of the mass that is chelated iron, where the
	// label tells it from all iron.
	ChelatedIron Stated
}

// Grade is the three numbers of a label: N, P2O5 and K2O. Given tells 0-0-0
// from no grade.
type Grade struct {
	N, P2O5, K2O unit.Fraction
	Given        bool
}

// Bounds of a label.
const (
	formSlack  = 0.0015  // by which forms may miss the total: three figures rounded to 0.1 %
	plainAcid  = 0.25    // meq/g: more acid than this is more than rounding
	oxideSlack = 0.00251 // by which P and P2O5 of one label may differ
	// mostSulfatePotassium is the potassium of pure potassium sulfate, 44.9 %;
	// what holds more and has no nitrate or phosphate is the chloride.
	mostSulfatePotassium = 0.4488
)

func (m Material) labelContents() (Contents, error) {
	var c Contents
	fail := func(field, what string) (Contents, error) { return Contents{}, &MaterialError{m.Name, field, what} }
	l := *m.Label
	for _, s := range l.stated() {
		if math.IsNaN(float64(s.share)) || s.share < 0 || s.share > 1 {
			return fail(s.field, fmt.Sprintf("%.4g %% cannot be on a label; shares run from 0 to 100 %%", s.share.Percents()))
		}
	}
	if field, what := l.nitrogenFault(); what != "" {
		return fail(field, what)
	}
	p, what := oxide{"P2O5", "P", chem.PhosphorusInP2O5}.orElement(l.Grade.P2O5, l.Grade.Given, l.Phosphorus)
	if what != "" {
		return fail("phosphorus", what)
	}
	k, what := oxide{"K2O", "K", chem.PotassiumInK2O}.orElement(l.Grade.K2O, l.Grade.Given, l.Potassium)
	if what != "" {
		return fail("potassium", what)
	}
	s := &c.Shares
	s[Phosphorus], s[Potassium] = p, k
	s[Calcium], s[Magnesium], s[Sulfur], s[Sodium], s[Chlorine], s[Silicon] = l.Calcium, l.Magnesium, l.Sulfur, l.Sodium, l.Chloride, l.Silicon
	s[Iron], s[Manganese], s[Zinc], s[Copper], s[Boron], s[Molybdenum] = l.Iron, l.Manganese, l.Zinc, l.Copper, l.Boron, l.Molybdenum
	m.splitNitrogen(&c, l)
	if l.ChelatedIron.Given && l.ChelatedIron.Share > l.Iron {
		if l.Iron > 0 {
			return fail("iron", "more chelated iron is stated than iron in all; the label's iron counts both")
		}
		s[Iron] = l.ChelatedIron.Share
	}
	if field, what := overfull(l, c.Shares); what != "" {
		return fail(field, what)
	}
	m.chelateLabel(&c, l)
	m.labelIons(&c)
	c.Hazards = hazardsOfLabel(c.Shares)
	return c, nil
}

type statedShare struct {
	field string
	share unit.Fraction
}

func (l Label) stated() []statedShare {
	return []statedShare{
		{"label", l.Grade.N}, {"label", l.Grade.P2O5}, {"label", l.Grade.K2O}, {"nitrate-n", l.Nitrate.Share}, {"ammonium-n", l.Ammonium.Share},
		{"urea-n", l.Urea.Share}, {"phosphorus", l.Phosphorus.Share}, {"potassium", l.Potassium.Share}, {"calcium", l.Calcium},
		{"magnesium", l.Magnesium}, {"sulfur", l.Sulfur}, {"sodium", l.Sodium}, {"chloride", l.Chloride}, {"iron", l.Iron},
		{"manganese", l.Manganese}, {"zinc", l.Zinc}, {"copper", l.Copper}, {"boron", l.Boron}, {"molybdenum", l.Molybdenum},
		{"silicon", l.Silicon}, {"iron", l.ChelatedIron.Share},
	}
}

// nitrogenFault says what is wrong with the forms of nitrogen beside the total.
func (l Label) nitrogenFault() (field, what string) {
	sum := l.Nitrate.Share + l.Ammonium.Share + l.Urea.Share
	if !l.Grade.Given {
		return "", ""
	}
	given := 0
	for _, f := range []Stated{l.Nitrate, l.Ammonium, l.Urea} {
		if f.Given {
			given++
		}
	}
	field = "nitrate-n"
	if l.Urea.Given {
		field = "urea-n"
	} else if l.Ammonium.Given {
		field = "ammonium-n"
	}
	total := l.Grade.N
	if sum > total+formSlack || given == 3 && sum < total-formSlack {
		return field, fmt.Sprintf("nitrate, ammonium and urea nitrogen sum to %.4g %%, but the grade says %.4g %% nitrogen; they must be equal", sum.Percents(), total.Percents())
	}
	return "", ""
}

// oxide is a form in which grades count, and the element's share of it.
type oxide struct {
	name, element string
	share         float64
}

// orElement joins the grade's oxide with a stated element.
func (o oxide) orElement(grade unit.Fraction, graded bool, stated Stated) (unit.Fraction, string) {
	fromGrade := unit.Fraction(float64(grade) * o.share)
	switch {
	case !stated.Given:
		return fromGrade, ""
	case graded && math.Abs(float64(stated.Share-fromGrade)) > oxideSlack:
		return 0, fmt.Sprintf("the grade's %s is %.4g %% %s, but %.4g %% is stated; keep one", o.name, fromGrade.Percents(), o.element, stated.Share.Percents())
	case graded:
		return fromGrade, ""
	}
	return stated.Share, ""
}

// overfull finds a label that holds more than its whole mass. Nutrients are
// weighed as the least molecule that can carry them.
func overfull(l Label, s Shares) (field, what string) {
	if s[Nitrogen] > 0.8225 {
		return "label", "no compound is more than 82 % nitrogen; check the first number"
	}
	least := float64(s[Phosphorus])/chem.PhosphorusInP2O5 + float64(s[Potassium]) + float64(s[NitrateN])*62.004/14.007 +
		float64(s[AmmoniumN])*17.031/14.007 + float64(s[UreaN])/0.46647 + float64(s[Sulfur]) + float64(s[Boron])
	for _, n := range []Nutrient{Calcium, Magnesium, Iron, Manganese, Zinc, Copper, Molybdenum, Chlorine, Sodium, Silicon} {
		least += float64(s[n])
	}
	// a mass that is all hydrogen phosphate and potassium still weighs its oxide
	if least > 1.03 {
		return "label", fmt.Sprintf("what the label lists weighs %.0f %% of the bag; a figure is wrong, or counts something else (P2O5 and K2O in the grade, elements beside it)", 100*least)
	}
	return "", ""
}

// chelateLabel decides whether the iron of a label is chelated.
func (m Material) chelateLabel(c *Contents, l Label) {
	if c.Shares[Iron] == 0 {
		return
	}
	c.Chelate = m.Chelate
	switch {
	case m.Chelate != NoChelate:
	case l.ChelatedIron.Given && l.ChelatedIron.Share == 0:
	default:
		c.Chelate = EDTA
		c.Assumptions = append(c.Assumptions, finding.Assumption{ID: AssumeChelated,
			Args: finding.Args{"Product": m.Name, "Chelate": EDTA.String()}, Source: source.CommonPractice})
	}
	switch {
	case c.Chelate == NoChelate:
	case l.ChelatedIron.Given:
		c.Chelated = min(1, l.ChelatedIron.Share/c.Shares[Iron])
	default:
		c.Chelated = 1
	}
}

// labelIons gives the ions that a gram of the material brings. Trace elements
// are left out (their charge is below a label's rounding). Cations beyond the
// stated anions are taken as sulfates, since labels need not state sulfur;
// anions beyond the cations come out as acid, as hydrogen phosphate does.
func (m Material) labelIons(c *Contents) {
	mmol := func(n Nutrient) unit.MolarConcentration {
		return unit.MolarConcentration(float64(c.Shares[n]) * 1e3 / n.Element().Weight())
	}
	ions := chem.Composition{
		Ca: mmol(Calcium), Mg: mmol(Magnesium), Na: mmol(Sodium), K: mmol(Potassium), NH4: mmol(AmmoniumN), NO3: mmol(NitrateN),
		Cl: mmol(Chlorine), SO4: mmol(Sulfur), P: mmol(Phosphorus), B: mmol(Boron), Si: mmol(Silicon),
	}
	excess := float64(ions.ReferenceCharge())
	switch {
	case excess > plainAcid && c.Shares[Potassium] > mostSulfatePotassium && c.Shares[NitrateN] == 0 && c.Shares[Phosphorus] == 0:
		ions.Cl += unit.MolarConcentration(excess)
		chloride := unit.Fraction(excess * 1e-3 * chem.Chlorine.Weight())
		c.Shares[Chlorine] += chloride
		c.Assumptions = append(c.Assumptions, finding.Assumption{ID: AssumeChloride,
			Args: finding.Args{"Product": m.Name, "Chloride": chloride}, Source: source.OwnChoice})
	case excess > 0 && c.Shares[Silicon] < 0.01: // a silicate is a base and stays one
		ions.SO4 += unit.MolarConcentration(excess / 2)
		c.Assumed = unit.Fraction(excess / 2 * 1e-3 * chem.Sulfur.Weight())
		if excess > plainAcid {
			c.Assumptions = append(c.Assumptions, finding.Assumption{ID: AssumeSulfate,
				Args: finding.Args{"Product": m.Name, "Sulfur": c.Assumed}, Source: source.OwnChoice})
		}
	case excess < 0:
		c.Acid = -excess
		if c.Acid > plainAcid {
			c.Findings = append(c.Findings, finding.Finding{ID: FindLabelAcid, Severity: finding.Caution,
				Args: finding.Args{"Product": m.Name, "Acid": c.Acid}, Figure: c.Acid, Source: source.OwnChoice})
		}
	}
	c.Ions = ions
}
