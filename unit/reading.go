package unit

import (
	"math"
	"strings"
)

// Scale is the unit a laboratory prints a figure in.
type Scale int

// Scales of laboratory figures.
const (
	MassScale       Scale = iota // value is in mg/L
	EquivalentScale              // value is in meq/L
	MoleScale                    // value is in mmol/L
	HardnessScale                // value is in mg/L as CaCO3, whatever was printed (gr/gal, °dH, °fH)
)

// Reading is a figure of a water test as printed: a value on a scale, and the
// chemical form it is counted as where one is written ("CaCO3", "NO3", "HCO3").
// What it means for an analyte is the water room's business.
type Reading struct {
	Value float64
	Scale Scale
	Form  string // "" when none was written
	// Low and High are the ends where a range was printed, as towns do ("40-60
	// mg/L"); Value is then their middle. Both are 0 for a single figure.
	Low, High float64
}

// IsRange says that the figure was printed as a range.
func (r Reading) IsRange() bool { return r.High > 0 }

// Degrees of hardness as mg/L of CaCO3: a grain per US gallon (64.79891 mg a grain, exact, over
// 3.785411784 L); a German degree, 10 mg CaO a litre = 17.848 mg/L CaCO3; a French degree,
// 10 mg/L CaCO3 (definitions; CaO 56.077, CaCO3 100.086 g/mol).
const (
	GrainPerGallon = 64.79891 / 3.785411784
	GermanDegree   = 10 * CalciumCarbonateGramsPerMole / (40.078 + 15.999)
	frenchDegree   = 10
)

type readingUnit struct {
	name   string
	scale  Scale
	factor float64
}

var readingUnits = []readingUnit{
	{"mg/L", MassScale, 1}, {"ppm", MassScale, 1}, {"g/L", MassScale, 1e3}, {"g/m3", MassScale, 1},
	{"ug/L", MassScale, 1e-3}, {"ppb", MassScale, 1e-3},
	{"meq/L", EquivalentScale, 1}, {"me/L", EquivalentScale, 1}, {"mval/L", EquivalentScale, 1},
	{"mmolc/L", EquivalentScale, 1}, {"ueq/L", EquivalentScale, 1e-3}, {"epm", EquivalentScale, 1},
	{"mmol/L", MoleScale, 1}, {"mM", MoleScale, 1}, {"umol/L", MoleScale, 1e-3},
	{"gr/gal", HardnessScale, GrainPerGallon}, {"gpg", HardnessScale, GrainPerGallon},
	{"°dH", HardnessScale, GermanDegree}, {"dH", HardnessScale, GermanDegree},
	{"°fH", HardnessScale, frenchDegree}, {"fH", HardnessScale, frenchDegree},
}

// ParseReading reads "78 mg/L", "210 mg/L CaCO3", "40 mg/L as NO3",
// "4.2 meq/L", "12 gr/gal", "15 °dH", and the range "40-60 mg/L", where it can be
// meant in one way only. The error is a *ParseError.
func ParseReading(s string) (Reading, error) {
	all, err := ReadingSenses(s)
	return only(s, all, err)
}

// ReadingSenses is ParseReading with two senses as for Kind.Senses.
func ReadingSenses(s string) ([]Sense[Reading], error) { return senses(s, read) }

func read(text string) (Reading, error) {
	if text == "" {
		return Reading{}, Wrong("unit.fault.empty_reading", text)
	}
	below := strings.HasPrefix(text, "<")
	x, rest, bad := number(strings.TrimLeft(strings.TrimPrefix(text, "<"), " "))
	switch {
	case bad != "":
		return Reading{}, Wrong(bad, text, "Part", clip(rest))
	case below:
		return Reading{}, Wrong("unit.fault.below_limit", text)
	}
	rest = strings.TrimLeft(rest, " ")
	high := 0.0
	if after, is := rangeMark(rest); is {
		if high, rest, bad = number(strings.TrimLeft(after, " ")); bad != "" {
			return Reading{}, Wrong("unit.fault.range_end", text)
		}
		if !(x >= 0 && high >= x) {
			return Reading{}, Wrong("unit.fault.range_falls", text)
		}
		rest = strings.TrimLeft(rest, " ")
	}
	if rest == "" {
		return Reading{}, Wrong("unit.fault.no_unit_reading", text)
	}
	word, form, _ := strings.Cut(rest, " ")
	form = strings.TrimSpace(form)
	form = strings.TrimSpace(strings.TrimPrefix(strings.TrimPrefix(form, "as "), "of "))
	for _, u := range readingUnits {
		if !strings.EqualFold(u.name, word) {
			continue
		}
		v := Reading{Value: x * u.factor, Scale: u.scale, Form: form}
		if high > 0 {
			v.Value, v.Low, v.High = (x/2+high/2)*u.factor, x*u.factor, high*u.factor
		}
		if math.IsInf(x*u.factor, 0) || math.IsInf(high*u.factor, 0) {
			return Reading{}, Wrong(notFinite, text)
		}
		return v, nil
	}
	names := make([]string, 0, len(readingUnits))
	for _, u := range readingUnits {
		names = append(names, u.name)
	}
	if near := Near(word, names); near != "" {
		return Reading{}, Wrong("unit.fault.near_reading", text, "Word", clip(word), "Near", near)
	}
	return Reading{}, Wrong("unit.fault.not_reading", text, "Word", clip(word))
}

// rangeMark takes the mark off that stands between the ends of a range.
func rangeMark(s string) (rest string, is bool) {
	for _, mark := range []string{"-", "to "} {
		if rest, is = strings.CutPrefix(s, mark); is {
			return rest, true
		}
	}
	return s, false
}
