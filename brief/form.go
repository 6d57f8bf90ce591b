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

	"raftwright/finding"
	"raftwright/internal/gate"
	"raftwright/unit"
)

// form is how values of one type are written: how to read one, the figure that
// the range applies to, how to read an end of the range, what stands in JSON, and
// what the JSON Schema says.
type form struct {
	kind    string   // "length"; what is wanted is a word of it in lang
	as      []string // examples, where those of the key do not show every way
	read    func(s *spec, text string) ([]sense, *finding.Fault)
	measure func(v any) float64 // nil where there is no range
	bound   func(text string) (float64, error)
	figure  func(v any) (value any, unit string) // nil where the text says it
	schema  func(s *spec) object
}

// sense is one way to read what was written.
type sense = unit.Sense[any]

// wanted is the word for what a key wants: a kind of quantity has its own.
func (f form) wanted() any {
	for _, k := range unit.Kinds() {
		if k.Name == f.kind {
			return k
		}
	}
	return finding.Word("brief.word." + f.kind)
}

// fault makes a fault that does not know its place yet: an ID of lang, and pairs
// of a name and a figure.
func fault(id finding.ID, pairs ...any) *finding.Fault {
	f := &finding.Fault{ID: id, Args: finding.Args{}}
	for i := 0; i+1 < len(pairs); i += 2 {
		f.Args[pairs[i].(string)] = pairs[i+1]
	}
	return f
}

// isNot is the fault of a text that is not what a key wants.
func isNot(s *spec, text string) *finding.Fault {
	return fault("brief.fault.not", "Text", clip(text), "Wanted", s.form.wanted(), "Example", s.examples())
}

// clip shortens what is quoted in a message.
func clip(s string) string {
	r := []rune(strings.TrimSpace(s))
	if len(r) > 40 {
		return string(r[:40]) + "..."
	}
	return string(r)
}

// unread turns a complaint of package unit or cost into a fault of this key.
func unread(s *spec, text string, err error) *finding.Fault {
	var p *unit.ParseError
	if !errors.As(err, &p) {
		return isNot(s, text)
	}
	args := finding.Args{"Example": s.examples()}
	for k, v := range p.Args {
		args[k] = v
	}
	return &finding.Fault{ID: finding.ID(p.Code), Args: args}
}

// only gives the one sense of a text.
func only(v any, bad *finding.Fault) ([]sense, *finding.Fault) { return []sense{{Value: v}}, bad }

// each makes values of all senses of a text; those that cannot be meant drop out.
func each[V any](s *spec, text string, all []unit.Sense[V], err error, value func(V) (any, *finding.Fault)) ([]sense, *finding.Fault) {
	if err != nil {
		return nil, unread(s, text, err)
	}
	var out []sense
	var first *finding.Fault
	for _, a := range all {
		if v, bad := value(a.Value); bad == nil {
			out = append(out, sense{Value: v, Plain: a.Plain, Foot: a.Foot})
		} else if first == nil {
			first = bad
		}
	}
	if len(out) > 0 {
		return out, nil
	}
	return nil, first
}

// understood gives what is meant by a text of a key: of two senses the one within
// the key's range, whose Plain then says how it was read. Where both are, the fault
// offers both; it does so too where only a decimal comma of feet, pounds or gallons
// is: whoever writes 1,200 ft never means 1.2 ft, which would pass in silence.
func understood(s *spec, text string) (sense, *finding.Fault) {
	all, bad := s.form.read(s, text)
	if bad != nil {
		return sense{}, bad
	}
	if len(all) == 1 {
		return sense{Value: all[0].Value}, outside(s, text, all[0].Value)
	}
	first, second := outside(s, text, all[0].Value), outside(s, text, all[1].Value)
	switch {
	case second == nil && (first == nil || all[1].Foot):
		return sense{}, fault("unit.fault.two_ways", "Text", clip(text), "First", all[0].Plain, "Second", all[1].Plain)
	case second == nil:
		return all[1], nil
	}
	return all[0], first
}

// formOf gives the form of a type. A type that the format does not know is a
// programmer's mistake, as in definition.
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
		reflect.TypeFor[unit.Length]():            quantity[unit.Length](unit.LengthKind, "mm"),
		reflect.TypeFor[unit.Volume]():            quantity[unit.Volume](unit.VolumeKind, "L"),
		reflect.TypeFor[unit.Mass]():              quantity[unit.Mass](unit.MassKind, "g"),
		reflect.TypeFor[unit.Density]():           quantity[unit.Density](unit.DensityKind, "g/mL"),
		reflect.TypeFor[unit.MassConcentration](): quantity[unit.MassConcentration](unit.ConcentrationKind, "mg/L"),
		reflect.TypeFor[unit.Conductivity]():      quantity[unit.Conductivity](unit.ConductivityKind, "mS/cm"),
		reflect.TypeFor[unit.Temperature]():       quantity[unit.Temperature](unit.TemperatureKind, "C"),
		reflect.TypeFor[unit.TemperatureStep]():   quantity[unit.TemperatureStep](unit.TemperatureStepKind, "C"),
		reflect.TypeFor[unit.Fraction]():          quantity[unit.Fraction](unit.FractionKind, "%"),
		reflect.TypeFor[unit.Speed]():             quantity[unit.Speed](unit.SpeedKind, "m/s"),
		reflect.TypeFor[unit.Flow]():              quantity[unit.Flow](unit.FlowKind, "L/min"),
		reflect.TypeFor[unit.PhotonFlux]():        quantity[unit.PhotonFlux](unit.PhotonFluxKind, "umol/m2/s"),
		reflect.TypeFor[unit.PhotonEfficacy]():    quantity[unit.PhotonEfficacy](unit.PhotonEfficacyKind, "umol/J"),
		reflect.TypeFor[unit.Duration]():          quantity[unit.Duration](unit.DurationKind, "h"),
		reflect.TypeFor[unit.DailyRadiation]():    quantity[unit.DailyRadiation](unit.RadiationKind, "MJ/m2"),
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
		reflect.TypeFor[Rate]():                   rateForm(),
	}
}

// quantity is a number with a unit; JSON has it in the unit shown.
func quantity[Q ~float64](k *unit.Kind, shown string) form {
	one := must(k.Parse("1 " + shown))
	return form{
		kind: k.Name,
		read: func(s *spec, text string) ([]sense, *finding.Fault) {
			all, err := k.Senses(text)
			return each(s, text, all, err, func(v float64) (any, *finding.Fault) { return Q(v), nil })
		},
		measure: func(v any) float64 { return float64(v.(Q)) },
		bound:   k.Parse,
		figure:  func(v any) (any, string) { return float64(v.(Q)) / one, shown },
		schema:  quantitySchema,
	}
}

func angleForm() form {
	return form{
		kind: "degrees",
		read: func(s *spec, text string) ([]sense, *finding.Fault) {
			if v, err := unit.ParseNumber(text); err == nil {
				return only(unit.Angle(v)*unit.Degree, nil)
			}
			v, err := unit.AngleKind.Parse(text)
			if err != nil {
				return nil, isNot(s, text)
			}
			return only(unit.Angle(v), nil)
		},
		measure: func(v any) float64 { return v.(unit.Angle).Degrees() },
		bound:   unit.ParseNumber,
		figure:  func(v any) (any, string) { return v.(unit.Angle).Degrees(), "deg" },
		schema: func(s *spec) object {
			return object{{"type", []string{"number", "string", "null"}}, {"pattern", number + `( *(deg|°))?$`},
				{"minimum", s.least.value}, {"maximum", s.most.value}}
		},
	}
}

func readingForm() form {
	return form{
		kind: "reading",
		read: func(s *spec, text string) ([]sense, *finding.Fault) {
			all, err := unit.ReadingSenses(text)
			return each(s, text, all, err, func(v unit.Reading) (any, *finding.Fault) { return s.counted(text, v) })
		},
		measure: func(v any) float64 { return v.(unit.Reading).Value },
		bound:   unit.ParseNumber,
		figure: func(v any) (any, string) {
			r := v.(unit.Reading)
			scale := map[unit.Scale]string{unit.MassScale: "mg/L", unit.EquivalentScale: "meq/L", unit.MoleScale: "mmol/L", unit.HardnessScale: "mg/L CaCO3"}[r.Scale]
			if r.Form != "" && r.Scale != unit.HardnessScale {
				scale += " " + r.Form
			}
			return r.Value, scale
		},
		schema: quantitySchema,
	}
}

// counted checks the form that a reading is counted as.
func (s *spec) counted(text string, v unit.Reading) (any, *finding.Fault) {
	hard := v.Scale == unit.HardnessScale
	switch written := plainForm(v.Form); {
	case v.IsRange() && !s.ranges:
		return nil, fault("brief.fault.span", "Text", clip(text), "Example", s.examples())
	case hard && (!slices.Contains(s.forms, "CaCO3") || v.Form != "" && !strings.EqualFold(v.Form, "CaCO3")):
		return nil, fault("brief.fault.hardness", "Text", clip(text), "Example", s.examples())
	case s.noMeq && v.Scale == unit.EquivalentScale:
		return nil, fault("brief.fault.charge", "Text", clip(text), "Example", s.examples())
	case v.Form != "":
		i := slices.IndexFunc(s.forms, func(f string) bool { return strings.EqualFold(f, written) })
		if i < 0 {
			return nil, fault("brief.fault.form", "Form", clip(v.Form), "Forms", finding.AnyOf(s.forms))
		}
		v.Form = s.forms[i]
	}
	return v, nil
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

// strange refuses what a text of a stranger may not hold, and letters that the
// paper lacks.
func strange(text string, lines bool) *finding.Fault {
	if r, at := gate.First(text, lines); at >= 0 {
		return fault("brief.fault.strange", "Character", fmt.Sprintf("U+%04X", r))
	}
	if r, at := gate.Lacking(text); at >= 0 {
		return fault("brief.fault.letter", "Letter", string(r), "Character", fmt.Sprintf("U+%04X", r))
	}
	return nil
}

func textForm() form {
	return form{
		kind: "text",
		read: func(s *spec, text string) ([]sense, *finding.Fault) {
			text = strings.TrimSpace(text)
			switch n := len([]rune(text)); {
			case text == "":
				return nil, fault("brief.fault.empty", "Example", s.examples())
			case n > longestText:
				return nil, fault("brief.fault.long", "Length", n, "Most", longestText)
			}
			if bad := strange(text, s.key == "note"); bad != nil || s.key != "currency" {
				return only(text, bad)
			}
			up := strings.ToUpper(text)
			if !isCurrency(up) {
				return nil, fault("brief.fault.currency", "Text", clip(text), "Example", s.examples())
			}
			return only(up, nil)
		},
		schema: func(*spec) object {
			return object{{"type", []string{"string", "number", "null"}}, {"minLength", 1}, {"maxLength", longestText}}
		},
	}
}

// pick finds the allowed word, in any case and by any of its names.
func pick(s *spec, text string) (string, *finding.Fault) {
	for _, w := range s.words {
		if means(text, w) {
			return w, nil
		}
	}
	return "", fault("brief.fault.word", "Text", clip(text), "Near", unit.Near(text, s.words), "Words", finding.AnyOf(s.words))
}

func wordForm(t reflect.Type) form {
	return form{
		kind: "word",
		read: func(s *spec, text string) ([]sense, *finding.Fault) {
			w, bad := pick(s, text)
			return only(reflect.ValueOf(w).Convert(t).Interface(), bad)
		},
		figure: func(v any) (any, string) { return reflect.ValueOf(v).String(), "" },
		schema: func(s *spec) object { return object{{"enum", append(anys(s.words), nil)}} },
	}
}

func yesForm() form {
	return form{
		kind: "yes_no", as: []string{"yes", "no"},
		read: func(s *spec, text string) ([]sense, *finding.Fault) {
			if yes := means(text, "yes"); yes || means(text, "no") {
				return only(yes, nil)
			}
			return nil, isNot(s, text)
		},
		figure: func(v any) (any, string) { return v, "" },
		schema: func(*spec) object { return object{{"enum", []any{"yes", "no", true, false, nil}}} },
	}
}

// numbers reads a plain number; value gives nil for one that cannot be meant.
func numbers(s *spec, text string, value func(float64) any) ([]sense, *finding.Fault) {
	all, err := unit.NumberSenses(text)
	if err != nil {
		return nil, isNot(s, text)
	}
	return each(s, text, all, nil, func(x float64) (any, *finding.Fault) {
		if v := value(x); v != nil {
			return v, nil
		}
		return nil, isNot(s, text)
	})
}

func whole(x float64) any {
	if x != math.Trunc(x) || math.Abs(x) > 1e15 {
		return nil
	}
	return int(x)
}

func wholeForm() form {
	return form{
		kind:    "whole",
		read:    func(s *spec, text string) ([]sense, *finding.Fault) { return numbers(s, text, whole) },
		measure: func(v any) float64 { return float64(v.(int)) },
		bound:   unit.ParseNumber,
		figure:  func(v any) (any, string) { return v, "" },
		schema: func(s *spec) object {
			return object{{"type", []string{"integer", "null"}}, {"minimum", s.least.value}, {"maximum", s.most.value}}
		},
	}
}

func numberForm() form {
	return form{
		kind: "number",
		read: func(s *spec, text string) ([]sense, *finding.Fault) {
			return numbers(s, text, func(x float64) any { return x })
		},
		measure: func(v any) float64 { return v.(float64) },
		bound:   unit.ParseNumber,
		figure:  func(v any) (any, string) { return v, "" },
		schema:  numberSchema,
	}
}

func ratioForm() form {
	f := numberForm()
	f.kind, f.as = "ratio", []string{"100", "1:100"}
	f.read = func(s *spec, text string) ([]sense, *finding.Fault) {
		v, err := unit.ParseNumber(strings.TrimPrefix(strings.ReplaceAll(text, " ", ""), "1:"))
		if err != nil {
			return nil, isNot(s, text)
		}
		return only(Ratio(v), nil)
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
	f.kind, f.as = "holds", []string{"auto", "none", "2"}
	f.read = func(s *spec, text string) ([]sense, *finding.Fault) {
		if auto := means(text, "auto"); auto || means(text, "none") {
			return only(Holds{Auto: auto}, nil)
		}
		return numbers(s, text, func(x float64) any {
			n, is := whole(x).(int)
			if !is {
				return nil
			}
			return Holds{Count: n}
		})
	}
	f.measure = func(v any) float64 { return float64(v.(Holds).Count) }
	f.figure = func(v any) (any, string) {
		if h := v.(Holds); !h.Auto {
			return h.Count, ""
		}
		return "auto", ""
	}
	f.schema = func(s *spec) object {
		return object{{"anyOf", []object{
			{{"type", "integer"}, {"minimum", s.least.value}, {"maximum", s.most.value}},
			{{"enum", []any{"auto", "none", nil}}}}}}
	}
	return f
}

func boardForm() form {
	return form{
		kind: "board",
		read: func(s *spec, text string) ([]sense, *finding.Fault) {
			name := strings.ToLower(strings.NewReplacer(" ", "", "×", "x").Replace(text))
			thick, wide, ok := strings.Cut(name, "x")
			if _, err := strconv.ParseUint(wide, 10, 8); !ok || err != nil || !boardThick(thick) {
				return nil, isNot(s, text)
			}
			return only(Board(name), nil)
		},
		figure: func(v any) (any, string) { return string(v.(Board)), "" },
		schema: texts(`^ *([1-9][0-9]?|5/4|6/4|8/4) *[xX×] *[1-9][0-9]? *$`),
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
