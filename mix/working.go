package mix

import (
	"math"

	"raftwright/chem"
	"raftwright/finding"
	"raftwright/source"
	"raftwright/unit"
)

// Working gives the derivation of every figure of the mix, in order: shares of
// each product, doses, levels, misses, nitrogen, ions, readings, cost.
func (m Mix) Working() []finding.Step {
	var out []finding.Step
	for _, d := range m.Doses {
		out = append(out, m.shareSteps(d)...)
	}
	for _, d := range m.Doses {
		out = append(out, m.doseStep(d))
	}
	for _, w := range m.Wishes {
		out = append(out, m.levelStep(w), missStep(w))
	}
	out = append(out, m.misfitStep())
	out = append(out, m.nitrogenSteps()...)
	out = append(out, m.ionSteps()...)
	return append(out, m.costSteps()...)
}

func (m Mix) contentsOf(d Dose) (product, bool) {
	for _, q := range m.contents {
		if q.index == d.Shelf {
			return q, true
		}
	}
	return product{}, false
}

// shareSteps shows where the share of each wished nutrient in a product comes
// from: the formula, or the label with its oxide factors.
func (m Mix) shareSteps(d Dose) []finding.Step {
	q, ok := m.contentsOf(d)
	if !ok {
		return nil
	}
	var out []finding.Step
	formula, err := chem.ParseFormula(q.material.Formula)
	for _, w := range m.Wishes {
		n := w.Nutrient
		share := q.contents.Shares[n]
		if share == 0 {
			continue
		}
		step := finding.Step{Symbol: n.Symbol(), Name: "work.mix.share", Args: finding.Args{"Nutrient": n.Word(), "Product": d.Product}, Value: float64(share), Unit: "g/g", Source: source.Given}
		if q.material.Label == nil && err == nil {
			purity := float64(q.material.Purity)
			if purity == 0 {
				purity = 1
			}
			weight := n.Element().Weight()
			step.Formula = "work.mix.formula_how"
			step.Inputs = []finding.Input{{Symbol: "atoms", Value: float64(share) / purity * formula.Mass() / weight},
				{Symbol: "atomic weight", Value: weight, Unit: "g/mol"}, {Symbol: "molar mass", Value: formula.Mass(), Unit: "g/mol"}, {Symbol: "purity", Value: purity}}
			step.Source = chem.AtomicWeightSource
		} else if q.material.Label != nil {
			step.Formula, step.Inputs = labelShare(n, share, *q.material.Label)
		}
		out = append(out, step)
	}
	return out
}

func labelShare(n Nutrient, share unit.Fraction, l Label) (string, []finding.Input) {
	switch {
	case n == Phosphorus && l.Grade.Given:
		return "work.mix.p2o5_how", []finding.Input{{Symbol: "P2O5", Value: l.Grade.P2O5.Percents(), Unit: "%"}, {Symbol: "factor", Value: chem.PhosphorusInP2O5}}
	case n == Potassium && l.Grade.Given:
		return "work.mix.k2o_how", []finding.Input{{Symbol: "K2O", Value: l.Grade.K2O.Percents(), Unit: "%"}, {Symbol: "factor", Value: chem.PotassiumInK2O}}
	}
	return "work.mix.label_how", []finding.Input{{Symbol: n.Symbol(), Value: share.Percents(), Unit: "%"}}
}

func (m Mix) doseStep(d Dose) finding.Step {
	return finding.Step{Symbol: "dose", Name: "work.mix.dose", Args: finding.Args{"Product": d.Product}, Formula: "work.mix.dose_how",
		Inputs: []finding.Input{{Symbol: "mass", Value: d.PerBucket.Grams(), Unit: "g"}, {Symbol: "volume", Value: m.Bucket.Litres(), Unit: "L"}},
		Value:  d.Strength.GramsPerLitre(), Unit: "g/L", Source: source.OwnChoice}
}

func (m Mix) levelStep(w Wish) finding.Step {
	step := finding.Step{Symbol: w.Nutrient.Symbol(), Name: "work.mix.level", Args: finding.Args{"Nutrient": w.Nutrient.Word()}, Formula: "work.mix.level_how",
		Inputs: []finding.Input{{Symbol: "water", Value: m.Water[w.Nutrient].MilligramsPerLitre(), Unit: "mg/L"}},
		Value:  w.Achieved.MilligramsPerLitre(), Unit: "mg/L", Source: source.OwnChoice}
	if a := m.Acid.Brings[w.Nutrient]; a != 0 {
		step.Inputs = append(step.Inputs, finding.Input{Symbol: "acid", Value: a.MilligramsPerLitre(), Unit: "mg/L"})
	}
	for _, d := range m.Doses {
		if b := d.Brings[w.Nutrient]; b != 0 {
			step.Inputs = append(step.Inputs, finding.Input{Symbol: d.Product, Value: b.MilligramsPerLitre(), Unit: "mg/L"})
		}
	}
	return step
}

func missStep(w Wish) finding.Step {
	return finding.Step{Symbol: "miss " + w.Nutrient.Symbol(), Name: "work.mix.miss", Args: finding.Args{"Nutrient": w.Nutrient.Word()}, Formula: "work.mix.miss_how",
		Inputs: []finding.Input{{Symbol: "achieved", Value: w.Achieved.MilligramsPerLitre(), Unit: "mg/L"}, {Symbol: "wanted", Value: w.Level.MilligramsPerLitre(), Unit: "mg/L"}},
		Value:  w.Miss(), Unit: "", Source: source.OwnChoice}
}

func (m Mix) misfitStep() finding.Step {
	step := finding.Step{Symbol: "misfit", Name: "work.mix.misfit", Formula: "work.mix.misfit_how", Value: m.Misfit, Source: source.OwnChoice}
	for _, w := range m.Wishes {
		step.Inputs = append(step.Inputs, finding.Input{Symbol: "weight " + w.Nutrient.Symbol(), Value: w.Weight}, finding.Input{Symbol: "miss " + w.Nutrient.Symbol(), Value: w.Miss()})
	}
	return step
}

func (m Mix) nitrogenSteps() []finding.Step {
	var out []finding.Step
	total := m.Achieved[Nitrogen]
	if total == 0 {
		return nil
	}
	for _, n := range []Nutrient{NitrateN, AmmoniumN, UreaN} {
		out = append(out, finding.Step{Symbol: n.Symbol(), Name: "work.mix.form", Args: finding.Args{"Nutrient": n.Word()}, Formula: "work.mix.form_how",
			Inputs: []finding.Input{{Symbol: n.Symbol(), Value: m.Achieved[n].MilligramsPerLitre(), Unit: "mg/L"}, {Symbol: "N", Value: total.MilligramsPerLitre(), Unit: "mg/L"}},
			Value:  100 * float64(m.Achieved[n]/total), Unit: "%", Source: source.OwnChoice})
	}
	return out
}

// ionSteps counts the charges and gives the readings that the equilibrium of
// package chem finds for these ions.
func (m Mix) ionSteps() []finding.Step {
	c := m.ions
	mmol := func(symbol string, v unit.MolarConcentration) finding.Input {
		return finding.Input{Symbol: symbol, Value: float64(v), Unit: "mmol/L"}
	}
	inputs := []finding.Input{mmol("Ca", c.Ca), mmol("Mg", c.Mg), mmol("Na", c.Na), mmol("K", c.K), mmol("NH4", c.NH4), mmol("NO3", c.NO3), mmol("Cl", c.Cl),
		mmol("SO4", c.SO4), mmol("P", c.P), mmol("TIC", c.TIC), {Symbol: "inert", Value: float64(c.Inert), Unit: "meq/L"}}
	strong := finding.Step{Symbol: "Alk", Name: "work.mix.alkalinity", Formula: "2 Ca + 2 Mg + Na + K + NH4 - NO3 - Cl - 2 SO4 - P + inert",
		Inputs: inputs, Value: float64(c.ReferenceCharge()), Unit: "meq/L", Source: source.OwnChoice}
	ec := finding.Step{Symbol: "EC", Name: "work.mix.ec", Formula: "work.mix.ec_how",
		Inputs: inputs, Value: m.EC.MillisiemensPerCentimetre(), Unit: "mS/cm", Source: "mccleskey2012"}
	ph := finding.Step{Symbol: "pH", Name: "work.mix.ph", Formula: "work.mix.ph_how", Inputs: inputs, Value: m.PH, Source: "phreeqc388"}
	out := []finding.Step{strong, ec, ph}
	for _, s := range m.Solids {
		out = append(out, finding.Step{Symbol: "SI", Name: "work.mix.saturation", Args: finding.Args{"Mineral": s.Mineral.String()}, Formula: "work.mix.saturation_how", Value: s.Index, Source: "phreeqc388"})
	}
	return out
}

func (m Mix) costSteps() []finding.Step {
	if !m.Cost.PricedPart {
		return nil
	}
	step := finding.Step{Symbol: "cost", Name: "work.mix.cost", Formula: "work.mix.cost_how", Value: m.Cost.Per1000L, Unit: m.Cost.Currency, Source: source.Given}
	for _, d := range m.Doses {
		if q, ok := m.contentsOf(d); ok && q.cost > 0 {
			step.Inputs = append(step.Inputs, finding.Input{Symbol: "dose of " + d.Product, Value: d.Strength.GramsPerLitre(), Unit: "g/L"},
				finding.Input{Symbol: "price of a gram", Value: q.cost, Unit: m.Cost.Currency + "/g"})
		}
	}
	return []finding.Step{step}
}

// Range gives the strength, g/L, that the measured dose has nine times in ten.
func (d Dose) Range() Band {
	half := ninetyPercent * float64(d.Spread) * d.Strength.GramsPerLitre()
	return Band{math.Max(0, d.Strength.GramsPerLitre()-half), d.Strength.GramsPerLitre() + half}
}
