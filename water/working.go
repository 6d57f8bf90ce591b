package water

import (
	"fmt"
	"math"

	"raftwright/chem"
	"raftwright/finding"
	"raftwright/source"
	"raftwright/unit"
)

// conversion is the step from a printed figure to moles.
func conversion(x Analyte, r unit.Reading, c unit.MolarConcentration) finding.Step {
	l := &lines[x]
	f, _ := l.find(r.Form)
	s := finding.Step{Symbol: "c(" + l.key + ")", Name: "figure of the test in moles", Value: float64(c), Unit: "mmol/L", Source: givenSource}
	switch r.Scale {
	case unit.MassScale:
		s.Formula = "c = figure / M * n"
		s.Inputs = []finding.Input{{Symbol: "figure as " + f.name, Value: r.Value, Unit: "mg/L"}, {Symbol: "M", Value: f.mass, Unit: "g/mol"}, {Symbol: "n", Value: f.count, Unit: "mol/mol"}}
	case unit.EquivalentScale:
		s.Formula = "c = figure / z"
		s.Inputs = []finding.Input{{Symbol: "figure", Value: r.Value, Unit: "meq/L"}, {Symbol: "z", Value: l.charge, Unit: "eq/mol"}}
	case unit.MoleScale:
		s.Formula = "c = figure * n"
		s.Inputs = []finding.Input{{Symbol: "figure", Value: r.Value, Unit: "mmol/L"}, {Symbol: "n", Value: float64(c) / max(r.Value, 1e-300), Unit: "mol/mol"}}
	default:
		s.Formula = "c = figure / 100.086 * n"
		s.Inputs = []finding.Input{{Symbol: "figure as CaCO3", Value: r.Value, Unit: "mg/L"}, {Symbol: "n", Value: float64(c) / max(r.Value, 1e-300) * unit.CalciumCarbonateGramsPerMole, Unit: "mol/mol"}}
	}
	return s
}

// work gives the steps after the conversions: charge, carbon, activity,
// conductivity ion by ion, scale, acid.
func (r *Assessment) work(k, k25 *chem.Equilibria) []finding.Step {
	s := &r.Solution
	in := func(symbol string, value float64, unit string) finding.Input {
		return finding.Input{Symbol: symbol, Value: value, Unit: unit}
	}
	c := s.Totals
	steps := []finding.Step{
		{Symbol: "A", Name: "alkalinity", Formula: "A = Na + K + NH4 + 2 (Ca + Mg + Fe) - NO3 - Cl - 2 SO4 - P - F + inert charge",
			Inputs: []finding.Input{in("Ca", float64(c.Ca), "mmol/L"), in("Mg", float64(c.Mg), "mmol/L"), in("Na", float64(c.Na), "mmol/L"),
				in("K", float64(c.K), "mmol/L"), in("NH4", float64(c.NH4), "mmol/L"), in("Fe", float64(c.Fe), "mmol/L"), in("NO3", float64(c.NO3), "mmol/L"),
				in("Cl", float64(c.Cl), "mmol/L"), in("SO4", float64(c.SO4), "mmol/L"), in("P", float64(c.P), "mmol/L"), in("F", float64(c.F), "mmol/L"),
				in("inert charge", float64(c.Inert), "meq/L")},
			Value: float64(r.Alkalinity), Unit: "meq/L", Source: labSource},
		{Symbol: "H", Name: "hardness", Formula: "H = (Ca + Mg) * 100.086", Inputs: []finding.Input{in("Ca", float64(c.Ca), "mmol/L"), in("Mg", float64(c.Mg), "mmol/L")},
			Value: r.Hardness.MilligramsPerLitre(), Unit: "mg/L CaCO3", Source: labSource},
		{Symbol: "I", Name: "ionic strength, half the sum of z^2 m over all ions", Formula: "I = 1/2 sum z^2 m * 0.997", Inputs: ions(s), Value: float64(r.IonicStrength) / 1e3, Unit: "mol/L", Source: "truesdell1974"},
		{Symbol: "TIC", Name: "carbon dioxide, bicarbonate and carbonate together", Formula: "TIC = CO2 + HCO3 + CO3 + their pairs",
			Inputs: []finding.Input{in("CO2", float64(s.Molar(chem.FreeCO2)), "mmol/L"), in("HCO3", float64(s.Molar(chem.FreeHCO3)), "mmol/L"), in("CO3", float64(s.Molar(chem.FreeCO3)), "mmol/L")},
			Value:  float64(c.TIC), Unit: "mmol/L", Source: "plummer1982"},
		{Symbol: "pCO2", Name: "carbon dioxide pressure in balance with the water", Formula: "pCO2 = m(CO2) gamma / K_H",
			Inputs: []finding.Input{in("m(CO2)", s.Molality(chem.FreeCO2), "mol/kg"), in("gamma", s.Gamma(chem.FreeCO2), ""), in("K_H", k.Henry(), "mol/kg/atm")},
			Value:  float64(s.CO2 / unit.Atmosphere), Unit: "atm", Source: "plummer1982"},
	}
	steps = append(steps, r.workConductivity(k25)...)
	steps = append(steps, r.workScale(k)...)
	return append(steps, r.workAcid()...)
}

// workScale gives the saturation indices, each with the activities that go in.
func (r *Assessment) workScale(k *chem.Equilibria) []finding.Step {
	s := &r.Solution
	activity := func(p chem.Species) finding.Input {
		return finding.Input{Symbol: "a(" + p.String() + ")", Value: s.Molality(p) * s.Gamma(p)}
	}
	var steps []finding.Step
	for _, line := range []struct {
		mineral chem.Mineral
		formula string
		ions    []chem.Species
	}{
		{chem.Calcite, "SI = log10(a(Ca++) a(CO3--)) - log K", []chem.Species{chem.FreeCa, chem.FreeCO3}},
		{chem.Gypsum, "SI = log10(a(Ca++) a(SO4--)) - log K", []chem.Species{chem.FreeCa, chem.FreeSO4}},
		{chem.Brushite, "SI = log10(a(Ca++) a(H+) a(PO4---)) - log K", []chem.Species{chem.FreeCa, chem.FreeH, chem.FreePO4}},
		{chem.Hydroxyapatite, "SI = log10(a(Ca++)^5 a(HPO4--)^3 / a(H+)^4) - log K", []chem.Species{chem.FreeCa, chem.FreeHPO4, chem.FreeH}},
	} {
		si, ok := s.SI(line.mineral)
		if !ok {
			continue
		}
		step := finding.Step{Symbol: "SI(" + line.mineral.String() + ")", Name: "saturation index: above 0 the solid can form", Formula: line.formula, Value: si, Source: "phreeqc388"}
		for _, p := range line.ions {
			step.Inputs = append(step.Inputs, activity(p))
		}
		step.Inputs = append(step.Inputs, finding.Input{Symbol: "log K", Value: k.LogSolubility(line.mineral)})
		steps = append(steps, step)
	}
	return steps
}

// ions lists the molalities of every ion, with its charge in its name.
func ions(s *chem.Solution) []finding.Input {
	var out []finding.Input
	for p := chem.FreeH; p.String() != "unknown species"; p++ {
		if m := s.Molality(p); m > 1e-8 && p.Charge() != 0 {
			out = append(out, finding.Input{Symbol: "m(" + p.String() + ")", Value: m, Unit: "mol/kg"})
		}
	}
	return out
}

func (r *Assessment) workConductivity(k25 *chem.Equilibria) []finding.Step {
	at25, err := k25.Closed(r.Solution.Totals)
	if err != nil {
		return nil
	}
	shares, err := k25.Shares(at25)
	if err != nil {
		return nil
	}
	sum := finding.Step{Symbol: "EC", Name: "conductivity at 25 C, the sum over the ions", Formula: "EC = sum of the ions' parts", Unit: "mS/cm", Source: "mccleskey2012"}
	var steps []finding.Step
	for _, x := range shares {
		part := (x.A + x.B) / 2
		if math.Abs(float64(part)) < 1e-4*float64(r.EC) {
			sum.Value += part.MillisiemensPerCentimetre()
			continue
		}
		steps = append(steps, finding.Step{Symbol: "EC(" + x.Species.String() + ")", Name: "part of one ion, the mean of two published forms", Formula: "(A + B) / 2",
			Inputs: []finding.Input{{Symbol: "m", Value: x.Molal, Unit: "mol/kg"}, {Symbol: "A", Value: x.A.MillisiemensPerCentimetre(), Unit: "mS/cm"}, {Symbol: "B", Value: x.B.MillisiemensPerCentimetre(), Unit: "mS/cm"}},
			Value:  part.MillisiemensPerCentimetre(), Unit: "mS/cm", Source: "phreeqc373"})
		sum.Inputs = append(sum.Inputs, finding.Input{Symbol: x.Species.String(), Value: part.MillisiemensPerCentimetre(), Unit: "mS/cm"})
		sum.Value += part.MillisiemensPerCentimetre()
	}
	return append(steps, sum)
}

func (r *Assessment) workAcid() []finding.Step {
	d := r.Acid
	if d == nil || d.Amount == 0 {
		return nil
	}
	p := d.Want.Product
	after := &d.Solution
	left, carbonate := float64(after.Alkalinity()), float64(after.CarbonateAlkalinity())
	equivalents := float64(r.composition.ReferenceCharge()) - left
	z := equivalents / float64(d.Amount)
	steps := []finding.Step{
		{Symbol: "A left", Name: "alkalinity that the water holds at the pH wanted", Formula: "A left = carbonate part + phosphate, citrate, borate and free acid",
			Inputs: []finding.Input{{Symbol: "pH", Value: d.PH}, {Symbol: "carbonate part", Value: carbonate, Unit: "meq/L"}, {Symbol: "the rest", Value: left - carbonate, Unit: "meq/L"}},
			Value:  left, Unit: "meq/L", Source: "plummer1982"},
		{Symbol: "n", Name: "acid that takes the alkalinity down to what is left", Formula: "n = (A - A left) / z",
			Inputs: []finding.Input{{Symbol: "A", Value: float64(r.composition.ReferenceCharge()), Unit: "meq/L"}, {Symbol: "A left", Value: left, Unit: "meq/L"}, {Symbol: "z", Value: z, Unit: "meq/mmol"}},
			Value:  float64(d.Amount), Unit: "mmol/L", Source: "phreeqc388"},
		{Symbol: "g", Name: "mass of the product", Formula: "g = n M / 1000 / strength",
			Inputs: []finding.Input{{Symbol: "n", Value: float64(d.Amount), Unit: "mmol/L"}, {Symbol: "M", Value: p.Reagent.MolarMass(), Unit: "g/mol"}, {Symbol: "strength", Value: float64(p.strength())}},
			Value:  d.Mass.GramsPerLitre(), Unit: "g/L", Source: source.Given},
	}
	if !p.Solid() {
		steps = append(steps, finding.Step{Symbol: "v", Name: "volume of the product", Formula: "v = g / density",
			Inputs: []finding.Input{{Symbol: "g", Value: d.Mass.GramsPerLitre(), Unit: "g/L"}, {Symbol: "density", Value: float64(p.Density()) / 1e3, Unit: "g/mL"}},
			Value:  d.MillilitresPerLitre(), Unit: "mL/L", Source: "acidtables"})
	}
	for _, e := range []struct {
		symbol string
		amount unit.MassConcentration
	}{{"S", d.S}, {"N", d.N}, {"P", d.P}, {"K", d.K}} {
		if e.amount > 0 {
			steps = append(steps, finding.Step{Symbol: e.symbol, Name: fmt.Sprintf("%s added with the acid", e.symbol), Formula: "n * atomic weight",
				Inputs: []finding.Input{{Symbol: "n", Value: float64(d.Amount), Unit: "mmol/L"}}, Value: e.amount.MilligramsPerLitre(), Unit: "mg/L", Source: chem.AtomicWeightSource})
		}
	}
	return steps
}
