package mix

import (
	"cmp"
	"math"

	"raftwright/chem"
	"raftwright/finding"
	"raftwright/source"
	"raftwright/unit"
)

// Working gives the derivation of every figure of the mix, in order: shares of
// each product, doses, levels, misses, nitrogen, ions, readings, cost.
func (m Mix) Working() []finding.Step {
	w := &finding.Working{}
	for _, d := range m.Doses {
		m.workShares(w, d)
	}
	for _, d := range m.Doses {
		w.Of = []any{d.Product}
		w.Add("dose", "work.mix.dose", "work.mix.dose_how", d.Strength.GramsPerLitre(), "g/L", source.OwnChoice,
			finding.In("mass", d.PerBucket.Grams(), "g"), finding.In("volume", m.Fill.Makes.Litres(), "L"))
	}
	var misses []finding.Input
	for _, x := range m.Wishes {
		w.Of = []any{x.Nutrient.Word()}
		m.workLevel(w, x)
		w.Add("miss", "work.mix.miss", "work.mix.miss_how", x.Miss(), "", source.OwnChoice,
			mgL("achieved", x.Achieved), mgL("wanted", x.Level))
	}
	for _, x := range m.Fit {
		cost := dusted(x.misfit(x.Achieved))
		w.Of = []any{x.Nutrient.Word()}
		w.Add("cost", "work.mix.off", "work.mix.off_how", cost, "", source.OwnChoice, mgL("achieved", x.Achieved), mgL("wanted", x.Level*unit.MassConcentration(cmp.Or(x.strength, 1))),
			mgL("high", above(x.High, x.Given)), mgL("harm", above(x.Harm, x.Given)), finding.In("weight", x.Weight, ""))
		misses = append(misses, finding.In("weight "+x.Nutrient.Symbol(), x.Weight, ""), finding.In("cost "+x.Nutrient.Symbol(), cost, ""))
	}
	w.Of = nil
	if r := m.ec; r != nil {
		doses := make([]float64, len(m.contents))
		for j, q := range m.contents {
			for _, d := range m.Doses {
				if d.Shelf == q.index {
					doses[j] = d.Strength.GramsPerLitre()
				}
			}
		}
		cost := dusted(r.cost(doses))
		w.Add("cost EC", "work.mix.off_ec", "work.mix.off_ec_how", cost, "", source.OwnChoice, finding.In("EC", r.at(doses), "mS/cm"), finding.In("low", r.low, "mS/cm"), finding.In("high", r.high, "mS/cm"))
		misses = append(misses, finding.In("cost EC", cost, ""))
	}
	w.Add("misfit", "work.mix.misfit", "work.mix.misfit_how", m.Misfit, "", source.OwnChoice, misses...)
	for _, n := range nitrogenForms {
		if total := m.Achieved[Nitrogen]; total != 0 {
			w.Of = []any{n.Word()}
			w.Add(n.Symbol(), "work.mix.form", "100 f/N", 100*float64(m.Achieved[n]/total), "%", source.OwnChoice, mgL("f", m.Achieved[n]), mgL("N", total))
		}
	}
	m.workIons(w)
	m.workCost(w)
	return w.Steps
}

// dusted leaves out of a cost what is only rounding: it is the square of a difference of
// two nearly equal figures.
func dusted(cost float64) float64 {
	const dust = 1e-12
	return math.Round(cost/dust) * dust
}

func mgL(symbol string, c unit.MassConcentration) finding.Input {
	return finding.In(symbol, c.MilligramsPerLitre(), "mg/L")
}

func (m Mix) contentsOf(d Dose) (product, bool) {
	for _, q := range m.contents {
		if q.index == d.Shelf {
			return q, true
		}
	}
	return product{}, false
}

// workShares shows where the share of each wished nutrient in a product comes
// from: the formula, or the label with its oxide factors.
func (m Mix) workShares(w *finding.Working, d Dose) {
	q, _ := m.contentsOf(d)
	formula, err := chem.ParseFormula(q.material.Formula)
	for _, x := range m.Wishes {
		n, from := x.Nutrient, source.Given
		share := q.contents.Shares[n]
		if share == 0 {
			continue
		}
		var rule string
		var inputs []finding.Input
		if l := q.material.Label; l != nil {
			rule, inputs = labelShare(n, share, *l)
		} else if err == nil {
			purity, weight := float64(q.material.Purity), n.Element().Weight()
			if purity == 0 {
				purity = 1
			}
			rule, from = "work.mix.formula_how", chem.AtomicWeightSource
			inputs = []finding.Input{finding.In("atoms", float64(share)/purity*formula.Mass()/weight, ""), finding.In("work.mix.atomic_weight", weight, "g/mol"),
				finding.In("work.mix.molar_mass", formula.Mass(), "g/mol"), finding.In("purity", purity, "")}
		}
		w.Of = []any{d.Product, n.Word()}
		w.Add(n.Symbol(), "work.mix.share", rule, float64(share), "g/g", from, inputs...)
	}
}

func labelShare(n Nutrient, share unit.Fraction, l Label) (string, []finding.Input) {
	switch {
	case n == Phosphorus && l.Grade.Given:
		return "work.mix.p2o5_how", []finding.Input{finding.In("P2O5", l.Grade.P2O5.Percents(), "%"), finding.In("factor", chem.PhosphorusInP2O5, "")}
	case n == Potassium && l.Grade.Given:
		return "work.mix.k2o_how", []finding.Input{finding.In("K2O", l.Grade.K2O.Percents(), "%"), finding.In("factor", chem.PotassiumInK2O, "")}
	}
	return "work.mix.label_how", []finding.Input{finding.In("x", share.Percents(), "%")}
}

func (m Mix) workLevel(w *finding.Working, x Wish) {
	inputs := []finding.Input{mgL("water", m.Water[x.Nutrient])}
	if a := m.Acid.Brings[x.Nutrient]; a != 0 {
		inputs = append(inputs, mgL("acid", a))
	}
	for _, d := range m.Doses {
		if b := d.Brings[x.Nutrient]; b != 0 {
			inputs = append(inputs, mgL(d.Product, b))
		}
	}
	w.Add(x.Nutrient.Symbol(), "work.mix.level", "work.mix.level_how", x.Achieved.MilligramsPerLitre(), "mg/L", source.OwnChoice, inputs...)
}

// workIons counts the charges and gives the readings that the equilibrium of
// package chem finds for these ions.
func (m Mix) workIons(w *finding.Working) {
	c := m.ions
	mmol := func(symbol string, v unit.MolarConcentration) finding.Input {
		return finding.In(symbol, float64(v), "mmol/L")
	}
	inputs := []finding.Input{mmol("Ca", c.Ca), mmol("Mg", c.Mg), mmol("Na", c.Na), mmol("K", c.K), mmol("NH4", c.NH4), mmol("NO3", c.NO3), mmol("Cl", c.Cl),
		mmol("SO4", c.SO4), mmol("P", c.P), mmol("TIC", c.TIC), finding.In("inert", float64(c.Inert), "meq/L")}
	w.Of = nil
	w.Add("Alk", "work.mix.alkalinity", "2 Ca + 2 Mg + Na + K + NH4 - NO3 - Cl - 2 SO4 - P + inert", float64(c.ReferenceCharge()), "meq/L", source.OwnChoice, inputs...)
	w.Add("EC", "work.mix.ec", "work.mix.ec_how", m.EC.MillisiemensPerCentimetre(), "mS/cm", "mccleskey2012", inputs...)
	w.Add("pH", "work.mix.ph", "work.mix.ph_how", m.PH, "", "phreeqc388", inputs...)
	for _, s := range m.Solids {
		w.Of = []any{s.Mineral.String()}
		w.Add("SI", "work.mix.saturation", "work.mix.saturation_how", s.Index, "", "phreeqc388")
	}
}

func (m Mix) workCost(w *finding.Working) {
	if !m.Cost.PricedPart {
		return
	}
	var inputs []finding.Input
	for _, d := range m.Doses {
		if q, ok := m.contentsOf(d); ok && q.cost > 0 {
			inputs = append(inputs, finding.In(d.Product, d.Strength.GramsPerLitre(), "g/L"), finding.In("work.mix.price", q.cost, m.Cost.Currency+"/g"))
		}
	}
	w.Of = nil
	w.Add("cost", "work.mix.cost", "work.mix.cost_how", m.Cost.Per1000L, m.Cost.Currency, source.Given, inputs...)
}
