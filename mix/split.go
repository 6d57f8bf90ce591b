package mix

import (
	"raftwright/chem"
	"raftwright/finding"
	"raftwright/source"
	"raftwright/unit"
)

// split is a usual division of the nitrogen of a kind of fertiliser.
type split struct {
	nitrate, ammonium, urea float64
	fits                    func(n, p2o5, k2o, ca float64) bool // percent
	source                  source.ID
}

// splits are tried in turn; the last fits all. What a salt is made of decides
// where the grade names it; a complete powder is taken at the common split.
var splits = []split{
	{12. / 13, 1. / 13, 0, func(n, p, k, ca float64) bool { return ca >= 10 && p == 0 && k == 0 }, source.OwnChoice},           // calcium nitrate double salt, 5 Ca(NO3)2 . NH4NO3 with 11:1, sold as 14.4 + 1.1
	{0, 0, 1, func(n, p, k, ca float64) bool { return n >= 44 && p == 0 && k == 0 }, source.OwnChoice},                         // urea
	{0, 1, 0, func(n, p, k, ca float64) bool { return n >= 20 && n <= 22 && p == 0 && k == 0 && ca == 0 }, source.OwnChoice},   // ammonium sulfate
	{.5, .5, 0, func(n, p, k, ca float64) bool { return n >= 32 && n <= 35 && p == 0 && k == 0 && ca == 0 }, source.OwnChoice}, // ammonium nitrate
	{1, 0, 0, func(n, p, k, ca float64) bool { return k >= 40 && p == 0 }, source.OwnChoice},                                   // potassium nitrate
	{0, 1, 0, func(n, p, k, ca float64) bool { return p >= 44 && k == 0 }, source.OwnChoice},                                   // ammonium phosphates
	{1, 0, 0, func(n, p, k, ca float64) bool { return n <= 10 && k >= 2*n && k > p }, source.CommonPractice},                   // base powders sold to go with calcium nitrate
	{.3, .2, .5, func(n, p, k, ca float64) bool { return true }, source.CommonPractice},
}

// splitNitrogen fills in the nitrogen forms: as stated; what one missing form
// must be; else the usual split, which is returned as an assumption.
func (m Material) splitNitrogen(c *Contents, l Label) {
	s := &c.Shares
	at := nitrogenForms
	sum, missing := unit.Fraction(0), []int{}
	for i, n := range at {
		sum += l.Stated[n].Share
		if !l.Stated[n].Given {
			missing = append(missing, i)
		}
	}
	s[Nitrogen] = sum
	if !l.Grade.Given {
		return
	}
	total := max(0, l.Grade.N-c.Organic) // roots can eat what is mineral
	s[Nitrogen] = total
	rest := total - sum
	switch {
	case len(missing) == 0 || rest <= 1e-9:
		for _, n := range at { // take the label's rounding out, so that the forms sum to the grade
			if sum > 0 {
				s[n] *= total / sum
			}
		}
	case len(missing) == 1:
		s[at[missing[0]]] = rest
		if rest > formSlack {
			c.Assumptions = append(c.Assumptions, finding.Assumption{ID: AssumeRest, Args: finding.Args{
				"Product": m.Name, "Share": rest, "Form": at[missing[0]].form()}, Source: source.OwnChoice})
		}
	default:
		m.assumeSplit(c, l, missing)
	}
}

// nitrogenForms in the order of Label.
var nitrogenForms = [3]Nutrient{NitrateN, AmmoniumN, UreaN}

// assumeSplit divides what the stated forms leave over the missing ones.
func (m Material) assumeSplit(c *Contents, l Label, missing []int) {
	g := l.Grade
	rest := g.N - c.Organic - l.Stated[NitrateN].Share - l.Stated[AmmoniumN].Share - l.Stated[UreaN].Share
	for _, usual := range splits {
		if !usual.fits(g.N.Percents(), g.P2O5.Percents(), g.K2O.Percents(), l.Stated[Calcium].Share.Percents()) {
			continue
		}
		shares := [3]float64{usual.nitrate, usual.ammonium, usual.urea}
		whole := 0.0
		for _, i := range missing {
			whole += shares[i]
		}
		for _, i := range missing {
			part := shares[i] / max(whole, 1e-12)
			if whole == 0 {
				part = 1 / float64(len(missing))
			}
			c.Shares[nitrogenForms[i]] = unit.Fraction(float64(rest) * part)
		}
		if len(missing) == len(nitrogenForms) && c.Shares[UreaN] > 0 {
			m.balance(c)
		}
		c.Assumptions = append(c.Assumptions, finding.Assumption{ID: AssumeSplit, Args: finding.Args{"Product": m.Name,
			"Nitrate": c.Shares[NitrateN], "Ammonium": c.Shares[AmmoniumN], "Urea": c.Shares[UreaN]}, Source: usual.source})
		return
	}
}

// balance takes more of the nitrogen as ammonium, out of urea first, where the usual split
// leaves the phosphate of a powder as acid: such powders are made of ammonium phosphates.
// What the label leaves open is told all the same.
func (m Material) balance(c *Contents) {
	ions := c.shareIons()
	open := -float64(ions.ReferenceCharge()) // meq/g
	if open <= plainAcid {
		return
	}
	m.leavesAcid(c, open)
	for _, from := range []struct {
		form  Nutrient
		gains float64 // cations and lost anions for each mole of nitrogen
	}{{UreaN, 1}, {NitrateN, 2}} {
		moves := min(c.Shares[from.form], unit.Fraction(open/from.gains*1e-3*chem.Nitrogen.Weight()))
		c.Shares[from.form] -= moves
		c.Shares[AmmoniumN] += moves
		open -= from.gains * float64(moves) * 1e3 / chem.Nitrogen.Weight()
	}
}

// leavesAcid tells that the figures of a label leave so much acid open, meq/g.
func (m Material) leavesAcid(c *Contents, acid float64) {
	if !c.Unbalanced {
		c.Findings = append(c.Findings, finding.Finding{ID: FindLabelAcid, Severity: finding.Caution,
			Args: finding.Args{"Product": m.Name, "Acid": acid}, Figure: acid, Source: source.OwnChoice})
	}
	c.Unbalanced = true
}

// form names a form of nitrogen in a sentence.
func (n Nutrient) form() finding.Word { return finding.Word("word." + nutrients[n].word) }
