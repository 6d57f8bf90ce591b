package plan

import (
	"raftwright/brief"
	"raftwright/chem"
	"raftwright/cost"
	"raftwright/finding"
	"raftwright/mix"
	"raftwright/source"
	"raftwright/unit"
	"raftwright/water"
)

// Findings and assumptions of the water that the plan raises.
const (
	FindStrongAcid   finding.ID = "plan.strong_acid"
	AssumeWater      finding.ID = "plan.water"
	AssumeAcidTarget finding.ID = "plan.acid_target"
	AssumeAcidClosed finding.ID = "plan.acid_closed"
	usualTargetPH               = 5.8
)

// assessWater reads the water test and doses the acid.
func (m *maker) assessWater() {
	if len(m.faults) > 0 {
		return
	}
	b := m.Brief.Water
	j := water.Job{Test: waterTest(b), Limits: m.book.Limits}
	if m.Brief.Acid.Given {
		j.Acid = m.wantedAcid()
	}
	a, err := water.Assess(j)
	if err != nil {
		for _, e := range flatten(err) {
			m.fault(m.waterPlace(e), e.Error(), "write for example 78 mg/L")
		}
		return
	}
	m.Water = &a
	m.find(a.Findings...)
	m.assume(a.Assumptions...)
	if !b.Given {
		m.assume(finding.Assumption{ID: AssumeWater, Source: ownChoice})
	}
	if a.Acid != nil && j.Acid.Product.Strong() && m.withChildren() {
		m.find(finding.Finding{ID: FindStrongAcid, Severity: finding.Caution, Args: finding.Args{"Product": j.Acid.Product.Word()}, Source: "umassalkalinity"})
	}
}

// withChildren says whether strong acid must not be printed: a school, or a
// place where small children live or come.
func (m *maker) withChildren() bool { return m.WithChildren() }

// WithChildren says whether strong acid must stay off the paper: a school, or a
// home or garden where small children live or come.
func (p Plan) WithChildren() bool {
	s := p.Brief.Site
	if s.Kind.Value == brief.School {
		return true
	}
	near := s.Children.Given && s.Children.Value != brief.NoChildren
	return near && s.Kind.Value != brief.Market
}

// PrintedAcid gives the acid dose that may be printed, nil where there is none
// or where it is kept off the paper.
func (p Plan) PrintedAcid() *water.Dose {
	if p.Water == nil || p.Water.Acid == nil || p.Water.Acid.Want.Product.Strong() && p.WithChildren() {
		return nil
	}
	return p.Water.Acid
}

// wantedAcid reads the acid of the brief.
func (m *maker) wantedAcid() *water.Want {
	b := m.Brief.Acid
	w := &water.Want{PH: b.TargetPH.Value, Open: b.Air.Value == brief.OpenAir}
	w.Product = water.Product{Reagent: reagents[b.Product.Value.Name], Strength: b.Product.Value.Strength}
	if !b.Product.Given {
		w.Product = water.Product{Reagent: water.Citric}
	}
	if !b.TargetPH.Given {
		w.PH = usualTargetPH
		m.assume(finding.Assumption{ID: AssumeAcidTarget, Args: finding.Args{"PH": w.PH}, Source: source.CommonPractice})
	}
	if !b.Air.Given {
		m.assume(finding.Assumption{ID: AssumeAcidClosed, Source: ownChoice})
	}
	return w
}

var reagents = map[brief.AcidName]water.Reagent{
	brief.Sulfuric: water.Sulfuric, brief.Nitric: water.Nitric, brief.Phosphoric: water.Phosphoric, brief.Citric: water.Citric,
}

// waterTest gathers the readings of the brief.
func waterTest(b brief.Water) water.Test {
	t := water.Test{Name: b.Name.Value, PH: b.PH.Value, EC: b.EC.Value, TDS: b.TDS.Value, Readings: map[water.Analyte]unit.Reading{}}
	if b.Temperature.Given {
		temperature := b.Temperature.Value
		t.Temperature = &temperature
	}
	for _, a := range analytes(b) {
		if a.field.Given {
			t.Readings[a.analyte] = a.field.Value
		}
	}
	return t
}

type analyteField struct {
	analyte water.Analyte
	field   brief.Field[unit.Reading]
}

// analytes pairs the readings of the brief with those of the trade.
func analytes(b brief.Water) []analyteField {
	a := b.Analytes
	return []analyteField{
		{water.Alkalinity, a.Alkalinity}, {water.Bicarbonate, a.Bicarbonate}, {water.Hardness, a.Hardness}, {water.Calcium, a.Calcium},
		{water.Magnesium, a.Magnesium}, {water.Sodium, a.Sodium}, {water.Potassium, a.Potassium}, {water.Chloride, a.Chloride},
		{water.Sulfate, a.Sulfate}, {water.Nitrate, a.Nitrate}, {water.Ammonium, a.Ammonium}, {water.Phosphorus, a.Phosphorus},
		{water.Iron, a.Iron}, {water.Manganese, a.Manganese}, {water.Zinc, a.Zinc}, {water.Copper, a.Copper}, {water.Boron, a.Boron},
		{water.Molybdenum, a.Molybdenum}, {water.Fluoride, a.Fluoride}, {water.Silicon, a.Silicon}, {water.FreeChlorine, a.FreeChlorine},
		{water.Chloramine, a.Chloramine},
	}
}

// waterPlace finds where in the brief an error of the water belongs.
func (m *maker) waterPlace(err error) brief.Place {
	b := m.Brief.Water
	switch e := err.(type) {
	case *water.ReadingError:
		for _, a := range analytes(b) {
			if a.analyte == e.Analyte {
				return a.field.At
			}
		}
	case *water.ProductError:
		return m.Brief.Acid.Product.At
	case *chem.RangeError:
		if b.Temperature.Given {
			return b.Temperature.At
		}
	}
	return b.At
}

// intoWater hands the water to the mix, and the acid that brings the finished
// mix to its pH. Acid that must stay off the paper is not counted on.
func (m *maker) intoWater(j *mix.Job) {
	if m.Water == nil {
		return
	}
	w := m.Water
	j.Water.Ions = w.Solution.Totals
	j.Water.Traces[mix.Manganese], j.Water.Traces[mix.Zinc] = w.Traces.Manganese, w.Traces.Zinc
	j.Water.Traces[mix.Copper], j.Water.Traces[mix.Molybdenum] = w.Traces.Copper, w.Traces.Molybdenum
	if w.Acid == nil || w.Acid.Away {
		return
	}
	want := w.Acid.Want
	j.Acid = &mix.AcidAsk{Name: want.Product.Reagent.String(), Reagent: want.Product.Adds(), PH: want.PH}
	if want.Open {
		j.Acid.CO2 = chem.AirCO2
	}
}

// levelOf gives a figure of the target as mg/L of what is counted.
func levelOf(n mix.Nutrient, r unit.Reading) (unit.MassConcentration, error) {
	if a, ok := counted[n]; ok {
		c, err := water.Convert(a, r)
		return a.Mass(c), err
	}
	if r.Scale == unit.MassScale {
		return unit.MassConcentration(r.Value) * unit.MilligramPerLitre, nil
	}
	e := n.Element()
	return unit.MassConcentration(r.Value*e.Weight()) * unit.MilligramPerLitre, nil
}

// counted says which line of a water test counts a nutrient the same way.
var counted = map[mix.Nutrient]water.Analyte{
	mix.NitrateN: water.Nitrate, mix.AmmoniumN: water.Ammonium, mix.Phosphorus: water.Phosphorus, mix.Potassium: water.Potassium,
	mix.Calcium: water.Calcium, mix.Magnesium: water.Magnesium, mix.Iron: water.Iron, mix.Manganese: water.Manganese, mix.Zinc: water.Zinc,
	mix.Copper: water.Copper, mix.Boron: water.Boron, mix.Molybdenum: water.Molybdenum, mix.Chlorine: water.Chloride, mix.Sodium: water.Sodium,
	mix.Silicon: water.Silicon,
}

// acidNeeds is the acid of one crop, for all beds.
func (m *maker) acidNeeds(n float64) []cost.Need {
	d := m.PrintedAcid()
	if d == nil || d.Away || m.Frame == nil {
		return nil
	}
	need := cost.Need{Keys: []string{d.Want.Product.Reagent.String() + " acid", "acid"}, Name: "need.acid",
		Args: finding.Args{"Product": d.Want.Product.Word()}, Group: "feed", Unit: "litre", Quantity: float64(d.Volume) * m.Frame.Volume.Litres() * n}
	if d.Volume == 0 {
		need.Unit, need.Quantity = "kilogram", d.Mass.In(m.Frame.Volume).Kilograms()*n
	}
	return []cost.Need{need}
}
