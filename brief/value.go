package brief

import (
	"fmt"
	"strings"
	"time"

	"raftwright/finding"
	"raftwright/unit"
)

// The years that a date may lie in; anything else is a slip of the finger.
const (
	firstYear = 1990
	lastYear  = 2199
)

// Time gives the beginning of the day in UTC, for reckoning with days.
func (d Date) Time() time.Time { return time.Date(d.Year, d.Month, d.Day, 0, 0, 0, 0, time.UTC) }

// IsZero tells whether no day was said.
func (d Date) IsZero() bool { return d == Date{} }

// Before tells whether the day is earlier than the other.
func (d Date) Before(o Date) bool { return d.Time().Before(o.Time()) }

// String gives the day as it is written in a brief, "2027-04-15".
func (d Date) String() string { return fmt.Sprintf("%04d-%02d-%02d", d.Year, d.Month, d.Day) }

// Time gives the moment as if the bed's clock showed UTC, for reckoning with hours.
func (m Moment) Time() time.Time {
	return m.Date.Time().Add(time.Duration(m.Hour)*time.Hour + time.Duration(m.Minute)*time.Minute)
}

// String gives the moment as it is written in a brief, "2027-05-03T08:00".
func (m Moment) String() string { return fmt.Sprintf("%vT%02d:%02d", m.Date, m.Hour, m.Minute) }

func dateOf(t time.Time) Date { return Date{t.Year(), t.Month(), t.Day()} }

func readDay(s *spec, text string) (Date, *finding.Fault) {
	text = strings.TrimSpace(text)
	t, err := time.Parse("2006-01-02", text)
	if err != nil {
		if len(text) == 10 && strings.Trim(text[:4]+text[5:7]+text[8:], "0123456789") == "" && text[4] == '-' && text[7] == '-' {
			return Date{}, fault("brief.fault.day", "Text", clip(text), "Example", s.examples())
		}
		return Date{}, isNot(s, text)
	}
	if t.Year() < firstYear || t.Year() > lastYear {
		return Date{}, fault("brief.fault.year", "Text", clip(text), "Example", s.examples())
	}
	return dateOf(t), nil
}

func asText(v any) (any, string) { return fmt.Sprint(v), "" }

func dateForm() form {
	return form{
		kind: "date", figure: asText,
		read: func(s *spec, text string) ([]sense, *finding.Fault) {
			d, bad := readDay(s, text)
			return only(d, bad)
		},
		schema: texts(`^ *[0-9]{4}-[0-9]{2}-[0-9]{2} *$`),
	}
}

func momentForm() form {
	return form{
		kind: "moment", figure: asText,
		read: func(s *spec, text string) ([]sense, *finding.Fault) {
			text = strings.TrimSpace(text)
			if len(text) < 10 {
				return nil, isNot(s, text)
			}
			day, bad := readDay(s, text[:10])
			clock := text[10:]
			if bad != nil || clock == "" {
				return only(Moment{Date: day}, bad)
			}
			for _, layout := range []string{"T15:04", " 15:04", "T15:04:05", " 15:04:05"} {
				if t, err := time.Parse(layout, clock); err == nil {
					return only(Moment{day, t.Hour(), t.Minute()}, nil)
				}
			}
			return nil, fault("brief.fault.clock", "Text", clip(text), "Example", s.examples())
		},
		schema: texts(`^ *[0-9]{4}-[0-9]{2}-[0-9]{2}([T ][0-9]{2}:[0-9]{2}(:[0-9]{2})?)? *$`),
	}
}

var weekdays = []string{"Sun", "Mon", "Tue", "Wed", "Thu", "Fri", "Sat"}

func weekdayForm() form {
	return form{
		kind: "weekday", as: weekdays, figure: asText,
		read: func(s *spec, text string) ([]sense, *finding.Fault) {
			for i, w := range weekdays {
				if means(text, w) {
					return only(time.Weekday(i), nil)
				}
			}
			return nil, isNot(s, text)
		},
		schema: func(*spec) object {
			var all []any
			for i, w := range weekdays {
				all = append(all, w, time.Weekday(i).String())
			}
			return object{{"enum", all}}
		},
	}
}

// sizeForm reads one of the two numbers; the reader puts them together.
func sizeForm() form {
	f := quantity[unit.Length](unit.LengthKind, "mm")
	one := f.schema
	f.kind = "pair"
	f.schema = func(s *spec) object {
		return object{{"type", []string{"array", "null"}}, {"items", one(s)}, {"minItems", 2}, {"maxItems", 2}}
	}
	return f
}

func acidForm() form {
	f := quantity[unit.Fraction](unit.FractionKind, "%")
	f.kind, f.figure = "acid", asText
	f.read = func(s *spec, text string) ([]sense, *finding.Fault) {
		word, strength := "", ""
		for _, w := range s.words {
			if rest, ok := starts(text, w); ok {
				word, strength = w, rest
			}
		}
		if word == "" {
			name, _, _ := strings.Cut(strings.TrimSpace(text), " ")
			_, bad := pick(s, name)
			return nil, bad
		}
		if strength == "" {
			if n := AcidName(word); n != Citric && n != NoAcid {
				return nil, fault("brief.fault.strength", "Text", clip(text), "Example", s.examples())
			}
			return only(AcidProduct{Name: AcidName(word)}, nil)
		}
		all, err := unit.FractionKind.Senses(strength)
		return each(s, text, all, err, func(v float64) (any, *finding.Fault) { return AcidProduct{AcidName(word), unit.Fraction(v)}, nil })
	}
	f.measure = func(v any) float64 {
		if a := v.(AcidProduct); a.Strength != 0 || a.Name != Citric && a.Name != NoAcid {
			return float64(a.Strength)
		}
		return 1 // crystals
	}
	f.schema = func(s *spec) object {
		return object{{"type", []string{"string", "null"}}, {"pattern", "^ *(" + strings.Join(s.words, "|") + ")( .*)?$"}}
	}
	return f
}

// String gives the acid as it is written in a brief.
func (a AcidProduct) String() string {
	if a.Strength == 0 {
		return string(a.Name)
	}
	return fmt.Sprintf("%s %g %%", a.Name, a.Strength.Percents())
}

func gradeForm() form {
	return form{
		kind: "label", as: []string{"20-20-20", "15.5-0-0"}, figure: asText,
		read: func(s *spec, text string) ([]sense, *finding.Fault) {
			parts := strings.Split(strings.ReplaceAll(text, "–", "-"), "-")
			if len(parts) != 3 {
				return nil, isNot(s, text)
			}
			var g [3]unit.Fraction
			var sum unit.Fraction
			for i, p := range parts {
				v, err := unit.ParseNumber(p)
				if err != nil || v < 0 {
					return nil, isNot(s, text)
				}
				g[i] = unit.Fraction(v) * unit.Percent
				sum += g[i]
			}
			if sum > 1+1e-9 {
				return nil, fault("brief.fault.label_sum", "Text", clip(text), "Sum", sum)
			}
			return only(Grade{g[0], g[1], g[2]}, nil)
		},
		schema: texts(`^ *[0-9.]+ *[-–] *[0-9.]+ *[-–] *[0-9.]+ *$`),
	}
}

// String gives the label as it is printed on the bag.
func (g Grade) String() string {
	return fmt.Sprintf("%.4g-%.4g-%.4g", g.N.Percents(), g.P2O5.Percents(), g.K2O.Percents())
}

// oneOf reads a text as the first of some kinds that it fits.
func oneOf(s *spec, text string, kinds []*unit.Kind, value func(kind int, v float64) any) ([]sense, *finding.Fault) {
	var first error
	for i, k := range kinds {
		all, err := k.Senses(text)
		if err == nil {
			return each(s, text, all, nil, func(v float64) (any, *finding.Fault) { return value(i, v), nil })
		}
		if first == nil {
			first = err
		}
	}
	bad := unread(s, text, first)
	switch bad.ID {
	case "unit.fault.other_kind", "unit.fault.near_unit", "unit.fault.not_unit":
		return nil, isNot(s, text)
	}
	return nil, bad
}

func amountForm() form {
	return form{
		kind: "amount", as: []string{"30 g", "25 lb", "2 L"},
		read: func(s *spec, text string) ([]sense, *finding.Fault) {
			return oneOf(s, text, []*unit.Kind{unit.MassKind, unit.VolumeKind}, func(kind int, v float64) any {
				if kind == 0 {
					return Amount{Mass: unit.Mass(v)}
				}
				return Amount{Volume: unit.Volume(v)}
			})
		},
		measure: func(v any) float64 {
			a := v.(Amount)
			return float64(a.Mass) + float64(a.Volume) // one of them is 0
		},
		bound: unit.ParseNumber,
		figure: func(v any) (any, string) {
			if a := v.(Amount); a.Volume == 0 {
				return a.Mass.Grams(), "g"
			}
			return float64(v.(Amount).Volume / unit.Millilitre), "mL"
		},
		schema: quantitySchema,
	}
}

func doseForm() form {
	return form{
		kind: "dose",
		read: func(s *spec, text string) ([]sense, *finding.Fault) {
			kinds := []*unit.Kind{unit.ConcentrationKind, unit.PartKind, unit.MolarKind}
			if !s.moles { // a fertiliser is no single thing that could be counted
				kinds = kinds[:2]
			}
			return oneOf(s, text, kinds, func(kind int, v float64) any {
				return []any{Dose{Mass: unit.MassConcentration(v)}, Dose{Volume: unit.Fraction(v)}, Dose{Moles: unit.MolarConcentration(v)}}[kind]
			})
		},
		measure: func(v any) float64 {
			d := v.(Dose)
			return float64(d.Mass) + float64(d.Volume) + float64(d.Moles) // two of them are 0
		},
		bound: unit.ParseNumber,
		figure: func(v any) (any, string) {
			switch d := v.(Dose); {
			case d.Volume != 0:
				return float64(d.Volume) * 1e3, "mL/L"
			case d.Moles != 0:
				return d.Moles.MillimolesPerLitre(), "mmol/L"
			default:
				return d.Mass.GramsPerLitre(), "g/L"
			}
		},
		schema: quantitySchema,
	}
}

func measureForm() form {
	f := quantity[unit.Mass](unit.MassKind, "g")
	mass := f.read
	f.kind, f.as, f.figure = "measure", []string{"scale 1 g", "spoons", "packs"}, nil
	f.read = func(s *spec, text string) ([]sense, *finding.Fault) {
		text = strings.TrimSpace(text)
		if means(text, "spoons") {
			return only(Measure{Spoons: true}, nil)
		}
		if means(text, "packs") {
			return only(Measure{Packs: true}, nil)
		}
		step, ok := starts(text, "scale")
		if !ok || step == "" {
			return nil, isNot(s, text)
		}
		all, bad := mass(s, step)
		for i := range all {
			all[i].Value = Measure{Step: all[i].Value.(unit.Mass)}
		}
		return all, bad
	}
	f.measure = func(v any) float64 {
		if m := v.(Measure); !m.Spoons && !m.Packs {
			return float64(m.Step)
		}
		return float64(unit.Gram)
	}
	f.schema = texts(`^ *([Ss]poons|[Pp]acks|[Ss]cale +[0-9./]+.*) *$`)
	return f
}
