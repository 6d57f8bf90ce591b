package mix

import (
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
	Grade  Grade
	Stated Statements
	// ChelatedIron is the share of the mass that is chelated iron, where the
	// label tells it from all iron.
	ChelatedIron Stated
	// OrganicN is the share of the mass that is nitrogen bound in what has to rot first: organic, protein or
	// water-insoluble nitrogen on a label.
	OrganicN Stated
	// Usual says that what stands beside the grade was not read off this bag: it is
	// what labels of that grade usually say, from memory.
	Usual bool
}

// Empty tells a label on which nothing stands.
func (l Label) Empty() bool {
	for _, s := range l.Stated {
		if s.Share != 0 {
			return false
		}
	}
	return !l.Grade.Given && l.ChelatedIron.Share == 0
}

// silent lists the trace elements of which the label of a complete powder says nothing.
// Single salts have none, and a label that is no grade of all three is of such a salt.
func (m Material) silent() []Nutrient {
	if m.Label == nil || m.Label.Grade.N <= 0 || m.Label.Grade.P2O5 <= 0 || m.Label.Grade.K2O <= 0 {
		return nil
	}
	var out []Nutrient
	for n := Iron; n <= Molybdenum; n++ {
		if !m.Label.Stated[n].Given && !(n == Iron && m.Label.ChelatedIron.Given) {
			out = append(out, n)
		}
	}
	return out
}

// Statements are the shares that a label states beside its grade, by nutrient:
// phosphorus as P, not P2O5, potassium as K, and the forms of nitrogen as N.
type Statements [NutrientCount]Stated

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

func (m Material) labelContents() (c Contents, faults finding.Faults) {
	l := *m.Label
	share := func(key string, x unit.Fraction) {
		faults = append(faults, finding.Within(m.Path.Key(key), x, 0, 1, 0.05)...)
	}
	share("label", l.Grade.N)
	share("label", l.Grade.P2O5)
	share("label", l.Grade.K2O)
	for n, stated := range l.Stated {
		share(Nutrient(n).Key(), stated.Share)
	}
	share("chelated iron", l.ChelatedIron.Share)
	share("organic-n", l.OrganicN.Share)
	if faults != nil {
		return Contents{}, faults
	}
	s := &c.Shares
	for n := range s {
		s[n] = l.Stated[n].Share
	}
	m.organic(&c, l)
	faults = m.nitrogenFault(l, c.Organic)
	if l.Grade.Given {
		for _, o := range []struct {
			n     Nutrient
			oxide string
			share unit.Fraction
		}{{Phosphorus, "P2O5", l.Grade.P2O5 * chem.PhosphorusInP2O5}, {Potassium, "K2O", l.Grade.K2O * chem.PotassiumInK2O}} {
			if l.Stated[o.n].Given && math.Abs(float64(s[o.n]-o.share)) > oxideSlack {
				faults = append(faults, m.wrong(FaultTwice, o.n.Key(), finding.Args{"Oxide": o.oxide, "Symbol": o.n.Symbol(), "Graded": o.share, "Stated": s[o.n]})...)
			}
			s[o.n] = o.share
		}
	}
	m.splitNitrogen(&c, l)
	if l.ChelatedIron.Given && l.ChelatedIron.Share > s[Iron] {
		if s[Iron] > 0 {
			faults = append(faults, m.wrong(FaultChelated, "chelated iron", nil)...)
		}
		s[Iron] = l.ChelatedIron.Share
	}
	if faults = append(faults, m.overfull(*s)...); faults != nil {
		return Contents{}, faults
	}
	m.chelateLabel(&c, l)
	m.labelIons(&c)
	c.Hazards = hazardsOfLabel(c.Shares)
	return c, nil
}

// nitrogenFault says what is wrong with the forms of nitrogen beside the total, of which so much is organic.
func (m Material) nitrogenFault(l Label, organic unit.Fraction) finding.Faults {
	if !l.Grade.Given {
		return nil
	}
	sum, given, key := organic, 0, NitrateN.Key()
	for _, n := range nitrogenForms {
		sum += l.Stated[n].Share
		if l.Stated[n].Given {
			given++
			key = n.Key()
		}
	}
	if total := l.Grade.N; sum > total+formSlack || given == 3 && sum < total-formSlack {
		return m.wrong(FaultForms, key, finding.Args{"Sum": sum, "Total": total})
	}
	return nil
}

// perNitrogen gives the mass of a molecule for that of its nitrogen, from its atoms.
func perNitrogen(nitrogen, hydrogen, oxygen, carbon float64) unit.Fraction {
	n := nitrogen * chem.Nitrogen.Weight()
	return unit.Fraction((n + hydrogen*chem.Hydrogen.Weight() + oxygen*chem.Oxygen.Weight() + carbon*chem.Carbon.Weight()) / n)
}

// overfull finds a label that holds more than its whole mass. Nutrients are
// weighed as the least molecule that can carry them.
func (m Material) overfull(s Shares) finding.Faults {
	if s[Nitrogen] > 0.8225 {
		return m.wrong(FaultNitrogen, "label", nil)
	}
	least := s[Phosphorus]/chem.PhosphorusInP2O5 + s[Potassium] + s[NitrateN]*perNitrogen(1, 0, 3, 0) + s[AmmoniumN]*perNitrogen(1, 3, 0, 0) + s[UreaN]*perNitrogen(2, 4, 1, 1)
	for n := Calcium; n <= Silicon; n++ {
		least += s[n]
	}
	// a mass that is all hydrogen phosphate and potassium still weighs its oxide
	if least > 1.03 {
		return m.wrong(FaultOverfull, "label", finding.Args{"Share": least})
	}
	return nil
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
	ions := c.shareIons()
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
			m.leavesAcid(c, c.Acid)
		}
	}
	c.Ions = ions
}

// shareIons gives the ions of the shares as they stand, mmol in a gram.
func (c Contents) shareIons() chem.Composition {
	mmol := func(n Nutrient) unit.MolarConcentration {
		return unit.MolarConcentration(float64(c.Shares[n]) * 1e3 / n.Element().Weight())
	}
	return chem.Composition{
		Ca: mmol(Calcium), Mg: mmol(Magnesium), Na: mmol(Sodium), K: mmol(Potassium), NH4: mmol(AmmoniumN), NO3: mmol(NitrateN),
		Cl: mmol(Chlorine), SO4: mmol(Sulfur), P: mmol(Phosphorus), B: mmol(Boron), Si: mmol(Silicon),
	}
}
