package plan

import (
	"cmp"

	"raftwright/brief"
	"raftwright/chem"
	"raftwright/cost"
	"raftwright/finding"
	"raftwright/mix"
	"raftwright/source"
	"raftwright/unit"
	"raftwright/usual"
	"raftwright/water"
)

// Findings and assumptions of the water that the plan raises.
const (
	FindStrongAcid   finding.ID = "plan.strong_acid"
	AssumeChildren   finding.ID = "plan.children"
	AssumeWater      finding.ID = "plan.water"
	AssumeAcid       finding.ID = "plan.acid_product"
	AssumeAcidTarget finding.ID = "plan.acid_target"
	AssumeAcidClosed finding.ID = "plan.acid_closed"
)

// assessWater reads the water test and doses the acid.
func (m *maker) assessWater() {
	b := m.Brief.Water
	j := water.Job{Test: waterTest(b), Book: m.book.Water}
	m.nameKind(&j.Test)
	if m.Brief.Acid.Given && m.Brief.Acid.Product.Value.Name != brief.NoAcid {
		j.Acid = m.wantedAcid()
		m.Bottle = &j.Acid.Product
		j.Acid.Dose = m.givenAcid()
	}
	a, faults := water.Assess(j)
	if faults != nil {
		m.wrong(faults...)
		return
	}
	for i, f := range a.Findings {
		if f.ID == water.FindMuchPhosphorus {
			a.Findings[i].Mend = append(without("acid.label"), to("acid.product", string(brief.Citric))...)
		}
	}
	m.Water = &a
	if a.Acid != nil && a.Acid.Want.Product.Strong() && m.WithChildren() {
		m.Water, m.strong.water = m.saferAcid(j), &a
		if !m.Brief.Site.Children.Given && m.Brief.Site.Kind.Value != brief.School {
			m.assume(finding.Assumption{ID: AssumeChildren, Source: ownChoice})
		}
	}
	m.find(m.Water.Findings...)
	m.assume(m.Water.Assumptions...)
	if !b.Given {
		m.assume(finding.Assumption{ID: AssumeWater, Source: ownChoice})
	}
}

// givenAcid gives the pure acid of the dose that the brief pins, 0 where it pins none.
func (m *maker) givenAcid() unit.MolarConcentration {
	d, bottle := m.Brief.Acid.Dose.Value, m.Bottle
	switch {
	case d.Volume > 0:
		return bottle.Molarity() * unit.MolarConcentration(d.Volume)
	case d.Mass > 0:
		pure := d.Mass.GramsPerLitre() * float64(cmp.Or(bottle.Strength, 1))
		return unit.MolarConcentration(pure/bottle.Reagent.MolarMass()*1000) * unit.MillimolePerLitre
	}
	return d.Moles
}

// WithChildren says whether strong acid must stay off the paper: a school, or a
// home or garden where small children live or come.
func (p Plan) WithChildren() bool {
	s := p.Brief.Site
	if s.Kind.Value == brief.School {
		return true
	}
	if !s.Children.Given { // nothing said: at a market grown-ups work, elsewhere children may come
		return s.Kind.Value != brief.Market
	}
	switch s.Children.Value {
	case brief.ChildrenVisit:
		return s.Kind.Value != brief.Market
	case brief.ChildrenLive:
		return true
	}
	return false
}

// PrintedAcid gives the acid dose that may be printed, nil where there is none.
func (p Plan) PrintedAcid() *water.Dose {
	switch {
	case p.Proposed != nil:
		return p.Proposed
	case p.Water != nil:
		return p.Water.Acid
	}
	return nil
}

// wantedAcid reads the acid of the brief.
func (m *maker) wantedAcid() *water.Want {
	b := m.Brief.Acid
	w := &water.Want{PH: b.TargetPH.Value, Open: b.Air.Value == brief.OpenAir}
	w.Product = m.book.Water.Product(reagents[b.Product.Value.Name], b.Product.Value.Strength)
	switch {
	case b.Label.Given:
		w.Product, w.Path = m.labelledAcid(b), "acid.label"
	case !b.Product.Given:
		w.Product = m.book.Water.Product(water.Citric, 0)
		m.assume(finding.Assumption{ID: AssumeAcid, Source: ownChoice}) // the mildest of them
	}
	if !b.TargetPH.Given {
		w.PH = usual.PH
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
		{water.Alkalinity, a.Alkalinity}, {water.Bicarbonate, a.Bicarbonate}, {water.Carbonate, a.Carbonate}, {water.Hardness, a.Hardness}, {water.Calcium, a.Calcium},
		{water.Magnesium, a.Magnesium}, {water.Sodium, a.Sodium}, {water.Potassium, a.Potassium}, {water.Chloride, a.Chloride},
		{water.Sulfate, a.Sulfate}, {water.Nitrate, a.Nitrate}, {water.Ammonium, a.Ammonium}, {water.Phosphorus, a.Phosphorus},
		{water.Iron, a.Iron}, {water.Manganese, a.Manganese}, {water.Zinc, a.Zinc}, {water.Copper, a.Copper}, {water.Boron, a.Boron},
		{water.Molybdenum, a.Molybdenum}, {water.Fluoride, a.Fluoride}, {water.Silicon, a.Silicon}, {water.FreeChlorine, a.FreeChlorine},
		{water.Chloramine, a.Chloramine},
	}
}

// intoWater hands the water to the mix, and the acid that brings the finished
// mix to its pH.
func (m *maker) intoWater(j *mix.Job) {
	if m.Water == nil {
		return
	}
	j.Water = m.mixWater()
	j.Acid = askedOf(m.PrintedAcid())
	j.Chlorine, j.Jug = m.Water.MayHoldChlorine(), m.Jug()
}

// askedOf asks the mix for the acid that the water was dosed with.
func askedOf(d *water.Dose) *mix.AcidAsk {
	if d == nil || d.Away {
		return nil
	}
	want := d.Want
	out := &mix.AcidAsk{Name: want.Product.Reagent.String(), Reagent: want.Product.Adds(), PH: want.PH, Dose: want.Dose}
	if want.Open {
		out.CO2 = chem.AirCO2
	}
	return out
}

// levelOf gives a figure of the target as mg/L of what is counted.
func levelOf(path finding.Path, n mix.Nutrient, r unit.Reading) (unit.MassConcentration, finding.Faults) {
	if a, ok := counted[n]; ok {
		c, faults := water.Convert(a, r)
		if faults != nil {
			faults[0].Path = path
			return 0, faults
		}
		return a.Mass(c), nil
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
	whole := m.Frame.Volume
	if m.Mix != nil { // the card's dose, and fresh water needs as much
		used := d.Scaled(m.Mix.Acid.Dose)
		d, whole = &used, whole+m.drunk()
	}
	if d.Amount <= 0 {
		return nil
	}
	keys, per, quantity := acidNeed(d, whole)
	args := finding.Args{"Product": d.Want.Product.Word()}
	if p := d.Want.Product; !p.Solid() { // a bottle of another strength is another dose
		args["Strength"] = p.Strength
	}
	need := cost.Need{Keys: keys, Name: "need.acid", Args: args, Group: "feed", Unit: per, Quantity: quantity * n}
	return []cost.Need{need}
}
