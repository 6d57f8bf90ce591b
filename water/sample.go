// Package water reads a source water: a laboratory's figures in whatever units
// they came, what they contradict, what is missing, what the water is as a
// solution (pH, conductivity, carbon dioxide, scale), how it stands against the
// limits of a small closed bed, what can be done about it, and how much acid it
// takes. Chemistry: package chem. Limits: FAO Irrigation and Drainage Paper 29
// and leaflets for hydroponics, see limits.csv. Range: fresh and slightly
// brackish waters, 0 to 40 °C.
package water

import (
	"errors"
	"maps"
	"math"

	"raftwright/chem"
	"raftwright/finding"
	"raftwright/source"
	"raftwright/unit"
)

// Test is a water test as it was handed in. The zero value of a field means that
// the test does not say.
type Test struct {
	Name        string
	PH          float64
	EC          unit.Conductivity // at 25 °C
	TDS         unit.MassConcentration
	Temperature *unit.Temperature // at which the pH was read
	Readings    map[Analyte]unit.Reading
	Kind        *Kind // of typical water, for what the test leaves out; nil: guessed from the name and the figures
}

// analysis is a test in moles, with what was filled in.
type analysis struct {
	test        *Test
	given       [AnalyteCount]bool // on the test
	known       [AnalyteCount]bool // given or filled in
	guessed     [AnalyteCount]bool // of those known: from a typical water
	guessedPH   bool
	value       [AnalyteCount]unit.MolarConcentration
	pH          float64
	temperature unit.Temperature
	assumptions []finding.Assumption
	findings    []finding.Finding
	steps       finding.Working
	refused     error // why pH and alkalinity cannot both be
}

// Sources cited here.
const (
	labSource    source.ID = "labforms"
	limitSource  source.ID = "fao29"
	ownSource    source.ID = source.OwnChoice
	givenSource  source.ID = source.Given
	leafSource   source.ID = "umassalkalinity"
	lettuceTrial source.ID = "chlorinelettuce"
)

// Assumptions about a test.
const (
	AssumeTemperature   finding.ID = "water.temperature"
	AssumeTemperatureAt finding.ID = "water.temperature_clamped"
	AssumeSplit         finding.ID = "water.hardness_split"
	AssumeRest          finding.ID = "water.hardness_rest"
	AssumeAlkalinity    finding.ID = "water.alkalinity_balance"
	AssumeBalance       finding.ID = "water.balance"
	AssumeLime          finding.ID = "water.lime"
	AssumeSalt          finding.ID = "water.salt"
	AssumeNone          finding.ID = "water.none"
	AssumeOthers        finding.ID = "water.others_none"
	AssumePH            finding.ID = "water.ph_balance"
	AssumeTypical       finding.ID = "water.typical"
	AssumeTypicalEC     finding.ID = "water.typical_ec"
	AssumeRestTypical   finding.ID = "water.rest_typical"
	AssumeStrongAcid    finding.ID = "water.strong_acid"
	AssumeMiddle        finding.ID = "water.middle"
)

// read converts every figure, and gives all that cannot be.
func read(t *Test) (*analysis, finding.Faults) {
	a := &analysis{test: t, pH: t.PH}
	var faults finding.Faults
	for i := Analyte(0); i < AnalyteCount; i++ {
		r, ok := t.Readings[i]
		if !ok {
			continue
		}
		c, wrong := Convert(i, r)
		if wrong != nil {
			faults = append(faults, wrong...)
			continue
		}
		a.given[i], a.known[i], a.value[i] = true, true, c
		conversion(&a.steps, i, r, c)
		if r.IsRange() {
			low, high := ends(i, r)
			a.assume(AssumeMiddle, finding.Args{"Analyte": i.Word(), "Low": low, "High": high, "Middle": i.Mass(c)}, labSource)
		}
	}
	if t.PH != 0 {
		faults = append(faults, finding.Within("water.ph", t.PH, 1, 13.5, 7.6)...)
	}
	faults = append(faults, finding.Within("water.ec", t.EC, 0, 1000*unit.MillisiemensPerCentimetre, 0.5*unit.MillisiemensPerCentimetre)...)
	faults = append(faults, finding.Within("water.tds", t.TDS, 0, 1000*unit.GramPerLitre, 320*unit.MilligramPerLitre)...)
	a.settleTemperature()
	a.joinCarbonates()
	return a, faults
}

func (a *analysis) settleTemperature() {
	a.temperature = 25
	if t := a.test.Temperature; t != nil {
		a.temperature = min(max(*t, chem.LowestTemperature), chem.HighestTemperature)
		if math.IsNaN(float64(*t)) {
			a.temperature = 25
		}
		if a.temperature != *t {
			a.assume(AssumeTemperatureAt, finding.Args{"Temperature": a.temperature, "Given": *t}, ownSource)
		}
		return
	}
	a.assume(AssumeTemperature, finding.Args{"Temperature": a.temperature}, source.CommonPractice)
}

// ends gives the ends of a range in mg/L of what is counted.
func ends(x Analyte, r unit.Reading) (low, high unit.MassConcentration) {
	l, _ := Convert(x, unit.Reading{Value: r.Low, Scale: r.Scale, Form: r.Form})
	h, _ := Convert(x, unit.Reading{Value: r.High, Scale: r.Scale, Form: r.Form})
	return x.Mass(l), x.Mass(h)
}

// at gives the test with one of its ranges taken at an end.
func (t *Test) at(x Analyte, value float64) Test {
	out := *t
	out.Readings = maps.Clone(t.Readings)
	r := t.Readings[x]
	out.Readings[x] = unit.Reading{Value: value, Scale: r.Scale, Form: r.Form}
	return out
}

// joinCarbonates makes an alkalinity of bicarbonate and carbonate.
func (a *analysis) joinCarbonates() {
	if !a.given[Bicarbonate] && !a.given[Carbonate] {
		return
	}
	sum := a.value[Bicarbonate] + a.value[Carbonate]
	if a.given[Alkalinity] {
		if d := math.Abs(float64(sum - a.value[Alkalinity])); d > 0.1*float64(a.value[Alkalinity])+0.1 {
			a.find(FindBicarbonate, finding.Caution, finding.Args{"Alkalinity": Alkalinity.Mass(a.value[Alkalinity]), "Bicarbonate": Alkalinity.Mass(sum)}, labSource)
		}
		return
	}
	a.set(Alkalinity, sum)
	a.given[Alkalinity] = true
}

func (a *analysis) set(x Analyte, c unit.MolarConcentration) { a.known[x], a.value[x] = true, c }

func (a *analysis) assume(id finding.ID, args finding.Args, from source.ID) {
	a.assumptions = append(a.assumptions, finding.Assumption{ID: id, Args: args, Source: from})
}

func (a *analysis) find(id finding.ID, severity finding.Severity, args finding.Args, from source.ID) {
	f := finding.Finding{ID: id, Severity: severity, Args: args, Source: from}
	a.findings = append(a.findings, f)
}

// composition gives what is known as ions. Traces lend their charge.
func (a *analysis) composition() chem.Composition {
	v := &a.value
	return chem.Composition{
		Ca: v[Calcium], Mg: v[Magnesium], Na: v[Sodium], K: v[Potassium], NH4: v[Ammonium], Fe: v[Iron],
		NO3: v[Nitrate], Cl: v[Chloride], SO4: v[Sulfate], P: v[Phosphorus], B: v[Boron], Si: v[Silicon], F: v[Fluoride],
		Inert: unit.Equivalents(2 * (v[Manganese] + v[Zinc] + v[Copper] - v[Molybdenum])),
	}
}

// titrationEnd is the pH at which a titration of alkalinity ends (Standard
// Methods 2320 B: 4.5 for waters like these).
const titrationEnd = 4.5

// strongAcid says that the water is past the end of an alkalinity titration: its
// alkalinity of none is no measure of its carbon, and the acid is a strong one.
func (a *analysis) strongAcid() bool {
	return a.pH != 0 && a.pH < titrationEnd && a.known[Alkalinity] && a.value[Alkalinity] <= 0
}

// solve gives the water as a solution. Measured pH and alkalinity give its
// carbon and what charge it lacks; without a pH, total carbon equals the
// alkalinity and the pH closes the charge balance. Where pH and alkalinity
// exclude each other the alkalinity is believed.
func (a *analysis) solve(k *chem.Equilibria) (chem.Solution, error) {
	c := a.composition()
	alkalinity := unit.Equivalents(a.value[Alkalinity])
	switch {
	case a.pH == 0:
		c.TIC = unit.MolarConcentration(alkalinity)
		return k.Closed(c)
	case !a.known[Alkalinity], a.strongAcid():
		return k.AtPH(c, a.pH)
	}
	s, err := k.Titrated(c, a.pH, alkalinity)
	var exclude *chem.AlkalinityError
	if errors.As(err, &exclude) {
		a.refused = err
		c.TIC = unit.MolarConcentration(alkalinity)
		c.Inert = 0
		c.Inert = alkalinity - c.ReferenceCharge()
		return k.Closed(c)
	}
	return s, err
}

// conductivity at 25 °C of what is known so far; 0 where it has no balance.
func (a *analysis) conductivity(k25 *chem.Equilibria) unit.Conductivity {
	s, err := a.solve(k25)
	if err != nil {
		return 0
	}
	return s.Conductivity
}
