package brief

import (
	"errors"
	"fmt"
	"math"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"time"

	"raftwright/cost"
	"raftwright/unit"
)

// form is how values of one type are written: how to read one, the figure that
// the range applies to, how to read an end of the range, and what the JSON
// Schema says.
type form struct {
	wanted  string // "a length"
	read    func(s *spec, text string) (any, *wrong)
	measure func(v any) float64 // nil where there is no range
	bound   func(text string) (float64, error)
	schema  func(s *spec) object
}

// wrong is a fault without its place.
type wrong struct{ what, right string }

func wrongf(right, what string, args ...any) *wrong {
	return &wrong{what: fmt.Sprintf(what, args...), right: right}
}

// clip shortens what is quoted in a message.
func clip(s string) string {
	r := []rune(strings.TrimSpace(s))
	if len(r) > 40 {
		return string(r[:40]) + "..."
	}
	return string(r)
}

func forExample(s *spec) string { return "write for example " + s.example() }

// unread turns a complaint of package unit into a fault of this key.
func unread(s *spec, text string, err error) *wrong {
	var p *unit.ParseError
	if !errors.As(err, &p) {
		return wrongf(forExample(s), "%s %q cannot be read", s.key, clip(text))
	}
	return wrongf(forExample(s), "%s %q %s", s.key, clip(text), unitWords(p))
}

// formOf gives the form of a type, nil read for a type that the format does not
// know (the definition panics on it).
func formOf(t reflect.Type) form {
	if f, ok := forms()[t]; ok {
		return f
	}
	if t.Kind() == reflect.String {
		return wordForm(t)
	}
	panic("the definition of the brief: no form for " + t.String())
}

func forms() map[reflect.Type]form {
	return map[reflect.Type]form{
		reflect.TypeFor[unit.Length]():            quantity[unit.Length](unit.LengthKind),
		reflect.TypeFor[unit.Volume]():            quantity[unit.Volume](unit.VolumeKind),
		reflect.TypeFor[unit.Mass]():              quantity[unit.Mass](unit.MassKind),
		reflect.TypeFor[unit.Density]():           quantity[unit.Density](unit.DensityKind),
		reflect.TypeFor[unit.MassConcentration](): quantity[unit.MassConcentration](unit.ConcentrationKind),
		reflect.TypeFor[unit.Conductivity]():      quantity[unit.Conductivity](unit.ConductivityKind),
		reflect.TypeFor[unit.Temperature]():       quantity[unit.Temperature](unit.TemperatureKind),
		reflect.TypeFor[unit.TemperatureStep]():   quantity[unit.TemperatureStep](unit.TemperatureStepKind),
		reflect.TypeFor[unit.Fraction]():          quantity[unit.Fraction](unit.FractionKind),
		reflect.TypeFor[unit.Speed]():             quantity[unit.Speed](unit.SpeedKind),
		reflect.TypeFor[unit.Flow]():              quantity[unit.Flow](unit.FlowKind),
		reflect.TypeFor[unit.PhotonFlux]():        quantity[unit.PhotonFlux](unit.PhotonFluxKind),
		reflect.TypeFor[unit.PhotonEfficacy]():    quantity[unit.PhotonEfficacy](unit.PhotonEfficacyKind),
		reflect.TypeFor[unit.Power]():             quantity[unit.Power](unit.PowerKind),
		reflect.TypeFor[unit.Duration]():          quantity[unit.Duration](unit.DurationKind),
		reflect.TypeFor[unit.DailyRadiation]():    quantity[unit.DailyRadiation](unit.RadiationKind),
		reflect.TypeFor[unit.Angle]():             angleForm(),
		reflect.TypeFor[unit.Reading]():           readingForm(),
		reflect.TypeFor[string]():                 textForm(),
		reflect.TypeFor[bool]():                   yesForm(),
		reflect.TypeFor[int]():                    wholeForm(),
		reflect.TypeFor[float64]():                numberForm(),
		reflect.TypeFor[Date]():                   dateForm(),
		reflect.TypeFor[Moment]():                 momentForm(),
		reflect.TypeFor[time.Weekday]():           weekdayForm(),
		reflect.TypeFor[Size]():                   sizeForm(),
		reflect.TypeFor[Holds]():                  holdsForm(),
		reflect.TypeFor[Board]():                  boardForm(),
		reflect.TypeFor[AcidProduct]():            acidForm(),
		reflect.TypeFor[Grade]():                  gradeForm(),
		reflect.TypeFor[Amount]():                 amountForm(),
		reflect.TypeFor[Dose]():                   doseForm(),
		reflect.TypeFor[Measure]():                measureForm(),
		reflect.TypeFor[Ratio]():                  ratioForm(),
		reflect.TypeFor[Price]():                  priceForm(),
	}
}

// quantity is a number with a unit.
func quantity[Q ~float64](k *unit.Kind) form {
	return form{
		wanted: "a " + strings.ReplaceAll(k.Name, "_", " "),
		read: func(s *spec, text string) (any, *wrong) {
			all, err := k.Senses(text)
			v, bad := oneSense(s, text, all, err, func(v float64) any { return Q(v) })
			if bad != nil {
				return nil, bad
			}
			return Q(v), nil
		},
		measure: func(v any) float64 { return float64(v.(Q)) },
		bound:   k.Parse,
		schema:  func(s *spec) object { return quantitySchema() },
	}
}

func angleForm() form {
	return form{
		wanted: "a number of degrees",
		read: func(s *spec, text string) (any, *wrong) {
			if v, err := unit.ParseNumber(text); err == nil {
				return unit.Angle(v) * unit.Degree, nil
			}
			v, err := unit.AngleKind.Parse(text)
			if err != nil {
				return nil, wrongf(forExample(s), "%s %q is not a number of degrees", s.key, clip(text))
			}
			return unit.Angle(v), nil
		},
		measure: func(v any) float64 { return v.(unit.Angle).Degrees() },
		bound:   unit.ParseNumber,
		schema: func(s *spec) object {
			return object{{"type", []string{"number", "string", "null"}}, {"pattern", number + `( *(deg|°))?$`},
				{"minimum", s.least.value}, {"maximum", s.most.value}}
		},
	}
}

func readingForm() form {
	return form{
		wanted: "a figure with a unit",
		read: func(s *spec, text string) (any, *wrong) {
			all, err := unit.ReadingSenses(text)
			v, bad := oneSense(s, text, all, err, func(v unit.Reading) any { return v })
			if bad != nil {
				return nil, bad
			}
			if v.IsRange() && !s.ranges {
				return nil, wrongf(forExample(s), "%s %q is a range; one figure is wanted here", s.key, clip(text))
			}
			hard := v.Scale == unit.HardnessScale
			if hard && (!slices.Contains(s.forms, "CaCO3") || v.Form != "" && !strings.EqualFold(v.Form, "CaCO3")) {
				return nil, wrongf(forExample(s), "%s %q has a unit of hardness, which counts as CaCO3", s.key, clip(text))
			}
			if s.noMeq && v.Scale == unit.EquivalentScale {
				return nil, wrongf(forExample(s), "%s %q is in equivalents, but its charge is not fixed", s.key, clip(text))
			}
			if v.Form == "" {
				return v, nil
			}
			for _, f := range s.forms {
				if strings.EqualFold(f, plainForm(v.Form)) {
					v.Form = f
					return v, nil
				}
			}
			return nil, wrongf("the forms of "+s.key+" are "+list(s.forms), "%s is not counted as %q", s.key, clip(v.Form))
		},
		measure: func(v any) float64 { return v.(unit.Reading).Value },
		bound:   unit.ParseNumber,
		schema:  func(s *spec) object { return quantitySchema() },
	}
}

// plainForm takes charges and small digits off a written form: "SO₄²⁻", "NO3-".
func plainForm(written string) string {
	return strings.TrimRight(strings.Map(func(r rune) rune {
		switch {
		case r >= '₀' && r <= '₉':
			return '0' + r - '₀'
		case strings.ContainsRune(" ⁺⁻⁰¹²³⁴⁵⁶⁷⁸⁹+", r):
			return -1
		}
		return r
	}, written), "-")
}

const longestText = 400

func textForm() form {
	return form{
		wanted: "a text",
		read: func(s *spec, text string) (any, *wrong) {
			text = strings.TrimSpace(text)
			switch n := len([]rune(text)); {
			case text == "":
				return nil, wrongf("write a text such as "+s.eg+", or leave the line out", "%s is empty", s.key)
			case n > longestText:
				return nil, wrongf(fmt.Sprintf("at most %d characters", longestText), "%s has %d characters", s.key, n)
			}
			if s.key == "currency" {
				return currency(s, text)
			}
			return text, nil
		},
		schema: func(s *spec) object {
			return object{{"type", []string{"string", "number", "null"}}, {"minLength", 1}, {"maxLength", longestText}}
		},
	}
}

func currency(s *spec, text string) (any, *wrong) {
	up := strings.ToUpper(text)
	if len(up) != 3 || strings.Trim(up, "ABCDEFGHIJKLMNOPQRSTUVWXYZ") != "" {
		return nil, wrongf("write its three letters, for example USD", "currency %q is not known", clip(text))
	}
	return up, nil
}

// list joins words: "a, b or c".
func list(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:len(words)-1], ", ") + " or " + words[len(words)-1]
}

// pick finds the allowed word, in any case.
func pick(s *spec, text string) (string, *wrong) {
	for _, w := range s.words {
		if strings.EqualFold(w, strings.TrimSpace(text)) {
			return w, nil
		}
	}
	right := "write " + list(s.words)
	if near := unit.Near(text, s.words); near != "" {
		right = "did you mean " + near + "? The words are " + list(s.words)
	}
	return "", wrongf(right, "%s %q is not one of its words", s.key, clip(text))
}

func wordForm(t reflect.Type) form {
	return form{
		wanted: "a word",
		read: func(s *spec, text string) (any, *wrong) {
			w, bad := pick(s, text)
			if bad != nil {
				return nil, bad
			}
			return reflect.ValueOf(w).Convert(t).Interface(), nil
		},
		schema: func(s *spec) object { return object{{"enum", append(anys(s.words), nil)}} },
	}
}

func yesForm() form {
	return form{
		wanted: "yes or no",
		read: func(s *spec, text string) (any, *wrong) {
			switch strings.ToLower(strings.TrimSpace(text)) {
			case "yes", "true":
				return true, nil
			case "no", "false":
				return false, nil
			}
			return nil, wrongf("write yes or no", "%s %q is neither yes nor no", s.key, clip(text))
		},
		schema: func(s *spec) object { return object{{"enum", []any{"yes", "no", true, false, nil}}} },
	}
}

func wholeForm() form {
	return form{
		wanted: "a whole number",
		read: func(s *spec, text string) (any, *wrong) {
			all, err := unit.NumberSenses(text)
			all = slices.DeleteFunc(all, func(v unit.Sense[float64]) bool { return v.Value != math.Trunc(v.Value) || math.Abs(v.Value) > 1e15 })
			if err != nil || len(all) == 0 {
				return nil, wrongf(forExample(s), "%s %q is not a whole number", s.key, clip(text))
			}
			v, bad := oneSense(s, text, all, nil, func(v float64) any { return int(v) })
			if bad != nil {
				return nil, bad
			}
			return int(v), nil
		},
		measure: func(v any) float64 { return float64(v.(int)) },
		bound:   unit.ParseNumber,
		schema: func(s *spec) object {
			return object{{"type", []string{"integer", "null"}}, {"minimum", s.least.value}, {"maximum", s.most.value}}
		},
	}
}

func numberForm() form {
	return form{
		wanted: "a number",
		read: func(s *spec, text string) (any, *wrong) {
			all, err := unit.NumberSenses(text)
			if err != nil {
				return nil, wrongf(forExample(s), "%s %q is not a plain number", s.key, clip(text))
			}
			v, bad := oneSense(s, text, all, nil, func(v float64) any { return v })
			if bad != nil {
				return nil, bad
			}
			return v, nil
		},
		measure: func(v any) float64 { return v.(float64) },
		bound:   unit.ParseNumber,
		schema:  numberSchema,
	}
}

func priceForm() form {
	return form{
		wanted: "an amount of money",
		read: func(s *spec, text string) (any, *wrong) {
			m, per, err := cost.ParseMoney(text)
			if err != nil {
				bad := unread(s, text, err)
				bad.right += "; the amount first, then the three letters of the currency"
				return nil, bad
			}
			switch {
			case m.Float() > 1e7:
				return nil, wrongf("write at most 10000000", "%s %q is out of all proportion", s.key, clip(text))
			case s.per == "h" && per != "h" && per != "hour":
				return nil, wrongf(forExample(s), "%s %q is not a price for an hour", s.key, clip(text))
			case s.per == "" && per != "":
				return nil, wrongf(forExample(s), "%s %q is a price for a %s, where the whole price is wanted", s.key, clip(text), clip(per))
			}
			if s.per == "h" {
				per = "h"
			}
			return Price{Money: m, Per: per}, nil
		},
		schema: func(s *spec) object {
			return object{{"type", []string{"string", "null"}}, {"pattern", `^[ ]*[0-9.]+ +[A-Za-z]{3}( */.*)?[ ]*$`}}
		},
	}
}

func ratioForm() form {
	f := numberForm()
	f.read = func(s *spec, text string) (any, *wrong) {
		v, err := unit.ParseNumber(strings.TrimPrefix(strings.ReplaceAll(text, " ", ""), "1:"))
		if err != nil {
			return nil, wrongf("write for example 100 or 1:100", "%s %q is not a strength", s.key, clip(text))
		}
		return Ratio(v), nil
	}
	f.measure = func(v any) float64 { return float64(v.(Ratio)) }
	f.schema = func(s *spec) object {
		return object{{"type", []string{"number", "string", "null"}}, {"pattern", `^[ ]*(1 *: *)?[0-9./ ½¼¾-]+$`},
			{"minimum", s.least.value}, {"maximum", s.most.value}}
	}
	return f
}

func holdsForm() form {
	f := wholeForm()
	f.wanted = "auto, none or a whole number"
	whole := f.read
	f.read = func(s *spec, text string) (any, *wrong) {
		switch strings.ToLower(strings.TrimSpace(text)) {
		case "auto":
			return Holds{Auto: true}, nil
		case "none":
			return Holds{}, nil
		}
		n, bad := whole(s, text)
		if bad != nil {
			return nil, wrongf("write auto, none or a whole number", "%s %q is not understood", s.key, clip(text))
		}
		return Holds{Count: n.(int)}, nil
	}
	f.measure = func(v any) float64 { return float64(v.(Holds).Count) }
	f.schema = func(s *spec) object {
		return object{{"anyOf", []object{
			{{"type", "integer"}, {"minimum", s.least.value}, {"maximum", s.most.value}},
			{{"enum", []any{"auto", "none", nil}}}}}}
	}
	return f
}

func boardForm() form {
	return form{
		wanted: "the name of a board",
		read: func(s *spec, text string) (any, *wrong) {
			name := strings.ToLower(strings.NewReplacer(" ", "", "×", "x").Replace(text))
			thick, wide, ok := strings.Cut(name, "x")
			if _, err := strconv.ParseUint(wide, 10, 8); !ok || err != nil || !boardThick(thick) {
				return nil, wrongf("write its name in the lumber yard, "+s.eg, "%s %q is not the name of a board", s.key, clip(text))
			}
			return Board(name), nil
		},
		schema: func(s *spec) object {
			return object{{"type", []string{"string", "null"}}, {"pattern", `^ *([1-9][0-9]?|5/4|6/4|8/4) *[xX×] *[1-9][0-9]? *$`}}
		},
	}
}

// boardThick tells whether a nominal thickness is one: whole inches, or quarters
// of decking.
func boardThick(s string) bool {
	if s == "5/4" || s == "6/4" || s == "8/4" {
		return true
	}
	n, err := strconv.ParseUint(s, 10, 8)
	return err == nil && n > 0
}
