package water

import (
	"math"
	"strconv"

	"raftwright/chem"
	"raftwright/finding"
	"raftwright/source"
	"raftwright/unit"
)

// perCaCO3 is the molar mass of calcium carbonate as a formula writes it.
var perCaCO3 = strconv.FormatFloat(unit.CalciumCarbonateGramsPerMole, 'f', 3, 64)

// conversion is the step from a printed figure to moles.
func conversion(w *finding.Working, x Analyte, r unit.Reading, c unit.MolarConcentration) {
	l := &lines[x]
	f, _ := l.find(r.Form)
	formula := "x n/" + perCaCO3
	inputs := []finding.Input{finding.In("x", r.Value, "mg/L"), finding.In("n", float64(c)/max(r.Value, 1e-300)*unit.CalciumCarbonateGramsPerMole, "mol/mol")}
	switch r.Scale {
	case unit.MassScale:
		formula, inputs = "x n/M", []finding.Input{finding.In("x", r.Value, "mg/L"), finding.In("M", f.mass, "g/mol"), finding.In("n", f.count, "mol/mol")}
	case unit.EquivalentScale:
		formula, inputs = "x/z", []finding.Input{finding.In("x", r.Value, "meq/L"), finding.In("z", l.charge, "eq/mol")}
	case unit.MoleScale:
		formula, inputs = "x n", []finding.Input{finding.In("x", r.Value, "mmol/L"), finding.In("n", float64(c)/max(r.Value, 1e-300), "mol/mol")}
	}
	w.Of = []any{x.Word(), f.name}
	w.Add("c", "work.water.moles", formula, float64(c), "mmol/L", givenSource, inputs...)
}

// work gives the steps after the conversions: charge, carbon, activity,
// conductivity ion by ion, scale, acid.
func (r *Assessment) work(w *finding.Working, k, k25 *chem.Equilibria) {
	s := &r.Solution
	c := s.Totals
	mmol := func(symbol string, x unit.MolarConcentration) finding.Input {
		return finding.In(symbol, float64(x), "mmol/L")
	}
	w.Of = nil
	w.Add("A", "work.water.alkalinity", "A = Na + K + NH4 + 2 (Ca + Mg + Fe) - NO3 - Cl - 2 SO4 - P - F + q", float64(r.Alkalinity), "meq/L", labSource,
		mmol("Ca", c.Ca), mmol("Mg", c.Mg), mmol("Na", c.Na), mmol("K", c.K), mmol("NH4", c.NH4), mmol("Fe", c.Fe), mmol("NO3", c.NO3), mmol("Cl", c.Cl),
		mmol("SO4", c.SO4), mmol("P", c.P), mmol("F", c.F), finding.In("q", float64(c.Inert), "meq/L"))
	w.Add("H", "work.water.hardness", "H = (Ca + Mg) * "+perCaCO3, r.Hardness.MilligramsPerLitre(), "mg/L CaCO3", labSource, mmol("Ca", c.Ca), mmol("Mg", c.Mg))
	w.Add("I", "work.water.strength", "I = 1/2 sum z^2 m * 0.997", float64(r.IonicStrength)/1e3, "mol/L", "truesdell1974", ions(s)...)
	w.Add("TIC", "work.water.carbon", "work.water.carbon_how", float64(c.TIC), "mmol/L", "plummer1982",
		mmol("CO2", s.Molar(chem.FreeCO2)), mmol("HCO3", s.Molar(chem.FreeHCO3)), mmol("CO3", s.Molar(chem.FreeCO3)))
	w.Add("pCO2", "work.water.gas", "pCO2 = m(CO2) gamma / K_H", float64(s.CO2/unit.Atmosphere), "atm", "plummer1982",
		finding.In("m(CO2)", s.Molality(chem.FreeCO2), "mol/kg"), finding.In("gamma", s.Gamma(chem.FreeCO2), ""), finding.In("K_H", k.Henry(), "mol/kg/atm"))
	r.workConductivity(w, k25)
	r.workScale(w, k)
	r.workAcid(w)
}

// workScale gives the saturation indices, each with the activities that go in.
func (r *Assessment) workScale(w *finding.Working, k *chem.Equilibria) {
	s := &r.Solution
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
		var inputs []finding.Input
		for _, p := range line.ions {
			inputs = append(inputs, finding.In("a("+p.String()+")", s.Molality(p)*s.Gamma(p), ""))
		}
		w.Of = []any{line.mineral.String()}
		w.Add("SI", "work.water.index", line.formula, si, "", "phreeqc388", append(inputs, finding.In("log K", k.LogSolubility(line.mineral), ""))...)
	}
}

// ions lists the molalities of every ion, with its charge in its name.
func ions(s *chem.Solution) []finding.Input {
	var out []finding.Input
	for p := chem.FreeH; p < chem.SpeciesCount; p++ {
		if m := s.Molality(p); m > 1e-8 && p.Charge() != 0 {
			out = append(out, finding.In("m("+p.String()+")", m, "mol/kg"))
		}
	}
	return out
}

func (r *Assessment) workConductivity(w *finding.Working, k25 *chem.Equilibria) {
	at25, err := k25.Closed(r.Solution.Totals)
	if err != nil {
		return
	}
	shares, err := k25.Shares(at25)
	if err != nil {
		return
	}
	sum, inputs := 0.0, []finding.Input(nil)
	ms := func(symbol string, x unit.Conductivity) finding.Input {
		return finding.In(symbol, x.MillisiemensPerCentimetre(), "mS/cm")
	}
	for _, x := range shares {
		part := (x.A + x.B) / 2
		sum += part.MillisiemensPerCentimetre()
		if math.Abs(float64(part)) < 1e-4*float64(r.EC) {
			continue
		}
		w.Of = []any{x.Species.String()}
		w.Add("EC", "work.water.ion", "(A + B) / 2", part.MillisiemensPerCentimetre(), "mS/cm", "phreeqc373",
			finding.In("m", x.Molal, "mol/kg"), ms("A", x.A), ms("B", x.B))
		inputs = append(inputs, ms(x.Species.String(), part))
	}
	w.Of = nil
	w.Add("EC", "work.water.ec", "work.water.ec_how", sum, "mS/cm", "mccleskey2012", inputs...)
}

func (r *Assessment) workAcid(w *finding.Working) {
	d := r.Acid
	if d == nil || d.Amount == 0 {
		return
	}
	w.Of = nil
	p := d.Want.Product
	after := &d.Solution
	before, left, carbonate := float64(r.composition.ReferenceCharge()), float64(after.Alkalinity()), float64(after.CarbonateAlkalinity())
	amount, grams := finding.In("n", float64(d.Amount), "mmol/L"), finding.In("g", d.Mass.GramsPerLitre(), "g/L")
	w.Add("A2", "work.water.left", "work.water.left_how", left, "meq/L", "plummer1982",
		finding.In("pH", d.PH, ""), finding.In("CO3", carbonate, "meq/L"), finding.In("P, B, H", left-carbonate, "meq/L"))
	w.Add("n", "work.water.acid", "n = (A - A2) / z", amount.Value, "mmol/L", "phreeqc388",
		finding.In("A", before, "meq/L"), finding.In("A2", left, "meq/L"), finding.In("z", (before-left)/amount.Value, "meq/mmol"))
	w.Add("g", "work.water.mass", "g = n M / 1000 / s", grams.Value, "g/L", source.Given,
		amount, finding.In("M", p.Reagent.MolarMass(), "g/mol"), finding.In("s", float64(p.strength()), ""))
	if !p.Solid() {
		w.Add("v", "work.water.volume", "v = g / d", d.MillilitresPerLitre(), "mL/L", "acidtables", grams, finding.In("d", float64(p.Density())/1e3, "g/mL"))
	}
	for _, e := range []struct {
		element chem.Element
		amount  unit.MassConcentration
	}{{chem.Sulfur, d.S}, {chem.Nitrogen, d.N}, {chem.Phosphorus, d.P}, {chem.Potassium, d.K}} {
		if e.amount > 0 {
			w.Add(e.element.Symbol(), "work.water.element", "n * M", e.amount.MilligramsPerLitre(), "mg/L", chem.AtomicWeightSource,
				amount, finding.In("M", e.element.Weight(), "g/mol"))
		}
	}
}
