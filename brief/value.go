package brief

import (
	"fmt"
	"strings"
	"time"

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

func readDay(s *spec, text string) (Date, *wrong) {
	text = strings.TrimSpace(text)
	t, err := time.Parse("2006-01-02", text)
	if err != nil {
		var y, m, d int
		if n, _ := fmt.Sscanf(text, "%4d-%2d-%2d", &y, &m, &d); n == 3 && len(text) == 10 {
			return Date{}, wrongf(forExample(s), "%s %s is not a day of the calendar", s.key, clip(text))
		}
		return Date{}, wrongf("write year-month-day, for example "+s.eg, "%s %q is not a date", s.key, clip(text))
	}
	if t.Year() < firstYear || t.Year() > lastYear {
		return Date{}, wrongf(forExample(s), "%s %s is in a year that cannot be meant", s.key, clip(text))
	}
	return dateOf(t), nil
}

func dateForm() form {
	return form{
		wanted: "a date",
		read: func(s *spec, text string) (any, *wrong) {
			d, bad := readDay(s, text)
			if bad != nil {
				return nil, bad
			}
			return d, nil
		},
		schema: func(*spec) object {
			return object{{"type", []string{"string", "null"}}, {"pattern", `^ *[0-9]{4}-[0-9]{2}-[0-9]{2} *$`}}
		},
	}
}

func momentForm() form {
	return form{
		wanted: "a day and time",
		read: func(s *spec, text string) (any, *wrong) {
			text = strings.TrimSpace(text)
			if len(text) < 10 {
				return nil, wrongf(forExample(s), "%s %q is not a day and time", s.key, clip(text))
			}
			day, bad := readDay(&spec{key: s.key, eg: s.eg}, text[:10])
			if bad != nil {
				return nil, bad
			}
			clock := text[10:]
			if clock == "" {
				return Moment{Date: day}, nil
			}
			for _, layout := range []string{"T15:04", " 15:04", "T15:04:05", " 15:04:05"} {
				if t, err := time.Parse(layout, clock); err == nil {
					return Moment{day, t.Hour(), t.Minute()}, nil
				}
			}
			return nil, wrongf("write the time on the bed's own clock, for example "+s.eg, "%s %q has a time that is not understood", s.key, clip(text))
		},
		schema: func(*spec) object {
			return object{{"type", []string{"string", "null"}}, {"pattern", `^ *[0-9]{4}-[0-9]{2}-[0-9]{2}([T ][0-9]{2}:[0-9]{2}(:[0-9]{2})?)? *$`}}
		},
	}
}

var weekdays = []string{"Sun", "Mon", "Tue", "Wed", "Thu", "Fri", "Sat"}

func weekdayForm() form {
	return form{
		wanted: "a day of the week",
		read: func(s *spec, text string) (any, *wrong) {
			for i, w := range weekdays {
				if t := strings.TrimSpace(text); strings.EqualFold(t, w) || strings.EqualFold(t, time.Weekday(i).String()) {
					return time.Weekday(i), nil
				}
			}
			return nil, wrongf("write "+list(weekdays), "%q is not a day of the week", clip(text))
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
	f := quantity[unit.Length](unit.LengthKind)
	one := f.schema
	f.wanted = "two lengths"
	f.schema = func(s *spec) object {
		return object{{"type", []string{"array", "null"}}, {"items", one(s)}, {"minItems", 2}, {"maxItems", 2}}
	}
	return f
}

func acidForm() form {
	f := quantity[unit.Fraction](unit.FractionKind)
	share := f.read
	f.wanted = "an acid and its strength"
	f.read = func(s *spec, text string) (any, *wrong) {
		name, strength, _ := strings.Cut(strings.TrimSpace(text), " ")
		word, bad := pick(s, name)
		if bad != nil {
			return nil, bad
		}
		strength = strings.TrimSpace(strings.TrimPrefix(strings.TrimSpace(strength), "acid"))
		acid := AcidProduct{Name: AcidName(word)}
		if strength == "" {
			if acid.Name == Citric {
				return acid, nil
			}
			return nil, wrongf("write it as on the bottle, for example "+s.eg, "%s %q has no strength", s.key, clip(text))
		}
		v, bad := share(s, strength)
		if bad != nil {
			return nil, bad
		}
		acid.Strength = v.(unit.Fraction)
		return acid, nil
	}
	f.measure = func(v any) float64 {
		if a := v.(AcidProduct); a.Strength != 0 || a.Name != Citric {
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
		wanted: "the three numbers of a label",
		read: func(s *spec, text string) (any, *wrong) {
			fail := func() (any, *wrong) {
				return nil, wrongf("write N-P2O5-K2O in percent, for example 20-20-20 or 15.5-0-0", "%s %q is not three numbers with dashes between", s.key, clip(text))
			}
			parts := strings.Split(strings.ReplaceAll(text, "–", "-"), "-")
			if len(parts) != 3 {
				return fail()
			}
			var g [3]unit.Fraction
			var sum unit.Fraction
			for i, p := range parts {
				v, err := unit.ParseNumber(p)
				if err != nil || v < 0 {
					return fail()
				}
				g[i] = unit.Fraction(v) * unit.Percent
				sum += g[i]
			}
			if sum > 1+1e-9 {
				return nil, wrongf("the three are percent of the whole and add to at most 100", "%s %q adds to %.4g %%", s.key, clip(text), sum.Percents())
			}
			return Grade{g[0], g[1], g[2]}, nil
		},
		schema: func(*spec) object {
			return object{{"type", []string{"string", "null"}}, {"pattern", `^ *[0-9.]+ *[-–] *[0-9.]+ *[-–] *[0-9.]+ *$`}}
		},
	}
}

// String gives the label as it is printed on the bag.
func (g Grade) String() string {
	return fmt.Sprintf("%.4g-%.4g-%.4g", g.N.Percents(), g.P2O5.Percents(), g.K2O.Percents())
}

func amountForm() form {
	return form{
		wanted: "a mass or a volume",
		read: func(s *spec, text string) (any, *wrong) {
			m, err := unit.ParseMass(text)
			if err == nil {
				return Amount{Mass: m}, nil
			}
			v, err2 := unit.ParseVolume(text)
			if err2 == nil {
				return Amount{Volume: v}, nil
			}
			bad := unread(s, text, err)
			if strings.Contains(bad.what, "not a mass") {
				bad.what = fmt.Sprintf("%s %q is neither a mass nor a volume", s.key, clip(text))
			}
			bad.right = "write for example 30 g, 25 lb or 2 L"
			return nil, bad
		},
		measure: func(v any) float64 {
			a := v.(Amount)
			return float64(a.Mass) + float64(a.Volume) // one of them is 0
		},
		bound:  unit.ParseNumber,
		schema: func(*spec) object { return quantitySchema() },
	}
}

func doseForm() form {
	return form{
		wanted: "a dose for each litre",
		read: func(s *spec, text string) (any, *wrong) {
			mass, err := unit.ParseConcentration(text)
			if err == nil {
				return Dose{Mass: mass}, nil
			}
			if part, err := unit.PartKind.Parse(text); err == nil {
				return Dose{Volume: unit.Fraction(part)}, nil
			}
			if moles, err := unit.MolarKind.Parse(text); err == nil {
				return Dose{Moles: unit.MolarConcentration(moles)}, nil
			}
			bad := unread(s, text, err)
			if strings.Contains(bad.what, "not a mass") {
				bad.what = fmt.Sprintf("%s %q is no dose for each litre", s.key, clip(text))
			}
			bad.right = "write for example 0.37 g/L, 0.05 mL/L or 0.87 mmol/L"
			return nil, bad
		},
		measure: func(v any) float64 {
			d := v.(Dose)
			return float64(d.Mass) + float64(d.Volume) + float64(d.Moles) // two of them are 0
		},
		bound:  unit.ParseNumber,
		schema: func(*spec) object { return quantitySchema() },
	}
}

func measureForm() form {
	f := quantity[unit.Mass](unit.MassKind)
	mass := f.read
	f.wanted = "scale and its step, spoons or packs"
	f.read = func(s *spec, text string) (any, *wrong) {
		text = strings.TrimSpace(text)
		if strings.EqualFold(text, "spoons") {
			return Measure{Spoons: true}, nil
		}
		if strings.EqualFold(text, "packs") {
			return Measure{Packs: true}, nil
		}
		word, step, _ := strings.Cut(text, " ")
		if !strings.EqualFold(word, "scale") || strings.TrimSpace(step) == "" {
			return nil, wrongf("write scale and its smallest step, for example scale 1 g, or spoons, or packs", "%s %q is not understood", s.key, clip(text))
		}
		v, bad := mass(s, step)
		if bad != nil {
			return nil, bad
		}
		return Measure{Step: v.(unit.Mass)}, nil
	}
	f.measure = func(v any) float64 {
		if m := v.(Measure); !m.Spoons && !m.Packs {
			return float64(m.Step)
		}
		return float64(unit.Gram)
	}
	f.schema = func(*spec) object {
		return object{{"type", []string{"string", "null"}}, {"pattern", `^ *([Ss]poons|[Pp]acks|[Ss]cale +[0-9./]+.*) *$`}}
	}
	return f
}
