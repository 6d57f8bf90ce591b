package lang

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"raftwright/cost"
	"raftwright/finding"
	"raftwright/unit"
)

// Value prints any figure in the reader's units: a typed quantity of package
// unit, money, a day, a number, a word to be looked up, or a plain name.
func (p *Printer) Value(v any) string {
	switch x := v.(type) {
	case finding.Word:
		return p.Say(string(x), nil)
	case finding.AnyOf:
		return p.list(x, "word.or")
	case finding.Entries:
		return p.entries(x)
	case *unit.Kind:
		return p.Say("unit.kind."+x.Name, nil)
	case unit.Length:
		return p.Length(x)
	case unit.Area:
		return p.pick(x.SquareFeet(), "square_foot", float64(x), "square_meter")
	case unit.PlantDensity:
		if p.Units == US {
			return p.With(p.Fixed(x.PerSquareFoot(), 1), "plants_square_foot")
		}
		return p.With(p.Number(float64(x)), "plants_square_meter")
	case unit.Volume:
		return p.Volume(x)
	case unit.Mass:
		return p.Mass(x)
	case unit.Head:
		return p.Head(unit.Mass(x))
	case unit.Bought:
		return p.Head(unit.Mass(x))
	case unit.Density:
		return p.pick(float64(x/unit.PoundPerCubicFoot), "pound_cubic_foot", float64(x), "kilogram_cubic_meter")
	case unit.Force:
		return p.pick(x.PoundsForce(), "pound", float64(x), "newton")
	case unit.LineLoad:
		return p.pick(x.PoundsForcePerFoot(), "pound_foot", float64(x), "newton_meter")
	case unit.Pressure:
		return p.Pressure(x)
	case unit.Temperature:
		return p.Temperature(x)
	case unit.TemperatureStep:
		if p.Units == US {
			return p.step(float64(x)*1.8) + " °F"
		}
		return p.step(float64(x)) + " °C"
	case unit.MassConcentration:
		return p.Concentration(x)
	case unit.MolarConcentration:
		return p.Number(float64(x)) + " mmol/L"
	case unit.Equivalents:
		return p.Number(float64(x)) + " meq/L"
	case unit.Conductivity:
		return p.EC(x)
	case unit.Fraction:
		return p.Percent(x)
	case unit.Speed:
		if p.Units == US {
			return p.With(p.Fixed(float64(x/unit.MilePerHour), 0), "mile_hour")
		}
		return p.Number(math.Round(float64(x)*10)/10) + " m/s"
	case unit.Duration:
		return p.Duration(x)
	case unit.DailyRadiation:
		return p.Number(x.Megajoules()) + " MJ/m²"
	case unit.DailyLight:
		return p.step(float64(x)) + " mol/m²"
	case unit.PhotonFlux:
		return p.Fixed(float64(x)*1e6, 0) + " µmol/m²/s"
	case unit.PhotonEfficacy:
		return p.Number(float64(x)*1e6) + " µmol/J"
	case unit.DailyDepth:
		return p.pick(float64(x)/float64(unit.Inch), "inch", x.Millimetres(), "millimeter")
	case unit.Power:
		return p.Number(float64(x)) + " W"
	case unit.Energy:
		return p.Number(x.KilowattHours()) + " kWh"
	case unit.Flow:
		return p.pick(float64(x)/float64(unit.Gallon)*60, "gallon_minute", x.LitresPerMinute(), "litre_minute")
	case cost.Money:
		return p.Money(x)
	case cost.About:
		return p.About(x)
	case time.Time:
		return p.Day(x)
	case float64:
		return p.Number(x)
	case int:
		if a := max(x, -x); a >= 1000 && (a < firstYear || a > lastYear) { // a year is no count
			return p.Fixed(float64(x), 0)
		}
	}
	return fmt.Sprint(v)
}

// A whole number between these is written as a year is: without separators.
const firstYear, lastYear = 1900, 2199

// mostEntries is how many entries of a log a sentence names.
const mostEntries = 6

// entries names those of a log by their days, and where they stand.
func (p *Printer) entries(list finding.Entries) string {
	var out []string
	for _, e := range list[:min(mostEntries, len(list))] {
		out = append(out, p.Say("word.entry", finding.Args{"Day": e.Day, "Where": string(e.Path), "Line": e.Line}))
	}
	if more := len(list) - mostEntries; more > 0 {
		out = append(out, p.Say("word.entries_more", finding.Args{"Count": more}))
	}
	return strings.Join(out, "; ")
}

func (p *Printer) pick(us float64, usUnit string, metric float64, metricUnit string) string {
	if p.Units == US {
		return p.With(p.Number(us), usUnit)
	}
	return p.With(p.Number(metric), metricUnit)
}

// With puts behind a printed number the unit as the language writes it: "1 ft", "1 pie", "8 pies".
func (p *Printer) With(number, unit string) string {
	count := 2
	if number == "1" || number == "-1" {
		count = 1
	}
	return number + " " + p.Say("word.unit."+unit, finding.Args{"Count": count})
}

// step prints what is not known closely: to a tenth below five, in whole numbers
// above.
func (p *Printer) step(x float64) string {
	if math.Abs(x) < 5 {
		return strings.TrimSuffix(p.Fixed(x, 1), ".0")
	}
	return p.Fixed(x, 0)
}

// Number prints a number to three significant figures, never in powers of ten,
// with thousands grouped as the language does.
func (p *Printer) Number(x float64) string {
	digits := 0
	if a := math.Abs(x); a > 0 && a < 1e12 {
		digits = max(0, 2-int(math.Floor(math.Log10(a)+1e-9)))
	}
	digits = min(digits, 6)
	for plain := strconv.FormatFloat(x, 'f', digits, 64); digits > 0 && strings.HasSuffix(plain, "0"); plain = plain[:len(plain)-1] {
		digits--
	}
	return p.Fixed(x, digits)
}

// Fixed prints a number with a fixed number of decimals.
func (p *Printer) Fixed(x float64, decimals int) string {
	if math.IsNaN(x) {
		return "?"
	}
	if math.IsInf(x, 0) {
		return "∞"
	}
	s := strconv.FormatFloat(x, 'f', decimals, 64)
	if strings.Trim(s, "-0.") == "" {
		s = strings.TrimPrefix(s, "-")
	}
	return p.marks.write(s)
}

// Length prints a length: tape fractions to a sixteenth in US units (thin films
// in mil). In metric it prints millimetres up to ten metres, for they are what a
// tape shows and what boards are cut to, and no finer than one can measure.
func (p *Printer) Length(l unit.Length) string {
	if p.Units == US {
		a := unit.Length(math.Abs(float64(l)))
		switch {
		case a > 0 && a < 0.005*unit.Inch:
			return p.With(p.Fixed(l.Inches(), 3), "inch")
		case a > 0 && a < unit.Inch/16:
			return p.With(p.Fixed(l.Inches(), 2), "inch")
		case a >= unit.Mile:
			return p.With(p.step(float64(l/unit.Mile)), "mile")
		case a >= 60*unit.Foot:
			return p.With(p.Fixed(l.Feet(), 0), "foot")
		}
		return p.Tape(l)
	}
	switch mm := l.Millimetres(); {
	case math.Abs(mm) < 1:
		return p.Number(math.Round(mm*100)/100) + " mm"
	case math.Abs(mm) < 10:
		return strings.TrimSuffix(p.Fixed(mm, 1), ".0") + " mm"
	case math.Abs(mm) < 10_000: // without a comma, which typed back in may be a point
		return strconv.FormatFloat(math.Round(mm), 'f', 0, 64) + " mm"
	}
	switch a := math.Abs(l.Metres()); {
	case a >= 2000:
		return p.step(l.Metres()/1000) + " km"
	case a >= 100:
		return p.Fixed(l.Metres(), 0) + " m"
	}
	return p.Fixed(l.Metres(), 2) + " m"
}

// Tape prints the mark of a tape in inches, in both systems: "49-1/2 in".
func (p *Printer) Tape(l unit.Length) string { return p.inUnits(l.Tape(16, unit.Nearest)) }

// Feet prints a longer length in feet and inches, metres in metric.
func (p *Printer) Feet(l unit.Length) string {
	if p.Units == US {
		return p.inUnits(l.FeetTape(16, unit.Nearest))
	}
	return p.Length(l)
}

// inUnits says the units of a tape ("8 ft 4 in") as the language does.
func (p *Printer) inUnits(tape string) string {
	parts := strings.Fields(tape)
	for i := 1; i < len(parts); i += 2 {
		if name := (map[string]string{"in": "inch", "ft": "foot", "m": "meter"})[parts[i]]; name != "" {
			parts[i-1], parts[i] = p.With(parts[i-1], name), ""
		}
	}
	return strings.Join(slices.DeleteFunc(parts, func(s string) bool { return s == "" }), " ")
}

// Altitude prints a height above the sea, or between two places, in whole feet or
// metres.
func (p *Printer) Altitude(l unit.Length) string {
	if p.Units == US {
		return p.With(p.Fixed(l.Feet(), 0), "foot")
	}
	return p.Fixed(l.Metres(), 0) + " m"
}

// Volume prints gallons or litres; small amounts in spoons or millilitres.
func (p *Printer) Volume(v unit.Volume) string {
	if p.Units == US {
		switch g := v.Gallons(); {
		case g >= 50:
			return p.Fixed(g, 0) + " gal"
		case g >= 0.95:
			return p.Fixed(g, 1) + " gal"
		case g >= 0.24: // a quart is a measure that people have; 0.2 gal would be a fifth short of it
			return p.With(strings.TrimSuffix(p.Fixed(4*g, 1), ".0"), "quart_full")
		}
		return p.Number(v.Millilitres()) + " mL"
	}
	if v < unit.Litre {
		return p.Number(v.Millilitres()) + " mL"
	}
	if v >= 50*unit.Litre {
		return p.Fixed(v.Litres(), 0) + " L"
	}
	return p.Fixed(v.Litres(), 1) + " L"
}

// Mass prints pounds or kilograms; small amounts in grams in both systems,
// because a kitchen scale has them.
func (p *Printer) Mass(m unit.Mass) string {
	switch a := unit.Mass(math.Abs(float64(m))); {
	case p.Units == US && a >= unit.Pound:
		return p.Number(m.Pounds()) + " lb"
	case p.Units == Metric && a >= unit.Kilogram:
		return p.Number(m.Kilograms()) + " kg"
	}
	return p.Grams(m)
}

// Head prints what a plant weighs: ounces in US units from 10 g up, a tenth below ten; else as Mass does.
func (p *Printer) Head(m unit.Mass) string {
	oz := float64(m / unit.Ounce)
	switch {
	case p.Units != US || m < 10*unit.Gram || m >= unit.Pound:
		return p.Mass(m)
	case oz < 10:
		return strings.TrimSuffix(p.Fixed(oz, 1), ".0") + " oz"
	}
	return p.Fixed(oz, 0) + " oz"
}

// Grams prints a mass in grams: whole grams from 10 up, a tenth below; what a tenth would show as nothing in milligrams.
func (p *Printer) Grams(m unit.Mass) string {
	switch g := math.Abs(m.Grams()); {
	case g < 0.05 && g >= 0.0005:
		return p.Fixed(1000*m.Grams(), 0) + " mg"
	case g < 10:
		g = m.Grams()
		return strings.TrimSuffix(p.Fixed(g, 1), ".0") + " g"
	}
	return p.Fixed(m.Grams(), 0) + " g"
}

// Pressure prints a floor load in psf and a stress in psi, or in pascals.
func (p *Printer) Pressure(x unit.Pressure) string {
	if p.Units == US {
		if x < 20*unit.Kilopascal {
			return p.With(p.Number(x.PoundsPerSquareFoot()), "pound_square_foot")
		}
		return p.Fixed(x.PoundsPerSquareInch(), 0) + " psi"
	}
	if x < 1e6 {
		return p.Number(float64(x)/1e3) + " kPa"
	}
	return p.Number(float64(x)/1e6) + " MPa"
}

// Temperature prints °F with °C beside it, or °C alone.
func (p *Printer) Temperature(t unit.Temperature) string {
	c := p.Fixed(t.Celsius(), 0) + " °C"
	if p.Units == US {
		return p.Fixed(t.Fahrenheit(), 0) + " °F (" + c + ")"
	}
	return c
}

// Concentration prints mg/L, or g/L from one gram up.
func (p *Printer) Concentration(c unit.MassConcentration) string {
	if c >= unit.GramPerLitre {
		return p.Number(c.GramsPerLitre()) + " g/L"
	}
	mg := c.MilligramsPerLitre()
	if math.Abs(mg) >= 10 {
		return p.Fixed(mg, 0) + " mg/L"
	}
	return p.Number(mg) + " mg/L"
}

// EC prints a conductivity as a meter shows it.
func (p *Printer) EC(k unit.Conductivity) string {
	ms := k.MillisiemensPerCentimetre()
	if ms < 1 {
		return p.Fixed(ms, 2) + " mS/cm"
	}
	return p.Fixed(ms, 1) + " mS/cm"
}

// Percent prints a share.
func (p *Printer) Percent(f unit.Fraction) string {
	x := f.Percents()
	switch a := math.Abs(x); {
	case a == 0:
		return "0 %"
	case a < 1:
		return p.Number(x) + " %"
	case a < 9.95:
		return strings.TrimSuffix(p.Fixed(x, 1), ".0") + " %"
	}
	return p.Fixed(x, 0) + " %"
}

// Duration prints minutes, hours or days, whichever reads best.
func (p *Printer) Duration(d unit.Duration) string {
	switch {
	case d < unit.Hour:
		return p.With(p.Fixed(float64(d/unit.Minute), 0), "minutes")
	case d < 2*unit.Day:
		return p.With(p.step(d.Hours()), "hours")
	}
	return p.With(p.Fixed(d.Days(), 0), "days")
}

// Money prints an amount to the cent.
func (p *Printer) Money(m cost.Money) string {
	s := p.Fixed(m.Rounded().Float(), 2)
	if m.Currency == "USD" {
		if strings.HasPrefix(s, "-") {
			return "-$" + s[1:]
		}
		return "$" + s
	}
	return s + " " + m.Currency
}

// About prints an amount in running text, without cents from ten up.
func (p *Printer) About(m cost.About) string {
	x := cost.Money(m).Float()
	if math.Abs(x) < 10 {
		return p.Money(cost.Money(m))
	}
	if m.Currency == "USD" {
		return "$" + p.Fixed(x, 0)
	}
	return p.Fixed(x, 0) + " " + m.Currency
}

// Day prints a date with its weekday: "Wed, Mar 3, 2027", in Spanish "miércoles 3 de
// marzo de 2027".
func (p *Printer) Day(t time.Time) string {
	if t.IsZero() {
		return "?"
	}
	return p.Say("date.day", finding.Args{"Weekday": p.DayName(t), "Date": p.Date(t)})
}

// Date prints a date with the month as a word: "Mar 3, 2027".
func (p *Printer) Date(t time.Time) string {
	return p.Say("date.form", finding.Args{"Month": p.month("month.", int(t.Month())), "Day": strconv.Itoa(t.Day()), "Year": strconv.Itoa(t.Year())})
}

// MonthDay prints a date without its year, short, as tables hold it: "Mar 3".
func (p *Printer) MonthDay(month, day int) string {
	return p.Say("date.short", finding.Args{"Month": p.Month(month), "Day": strconv.Itoa(day)})
}

// Month gives the short name of a month, 1 to 12, for the head of a column. In a
// sentence a month is the word month.1 to month.12.
func (p *Printer) Month(m int) string { return p.month("month.short.", m) }

func (p *Printer) month(of string, m int) string { return p.Say(of+strconv.Itoa(m), nil) }

// Weekday gives the short name of a day of the week, for tables.
func (p *Printer) Weekday(t time.Time) string {
	return p.Say("weekday."+strconv.Itoa(int(t.Weekday())), nil)
}

// DayName gives the name of a day of the week where it stands by itself.
func (p *Printer) DayName(t time.Time) string {
	return p.Say("date.weekday."+strconv.Itoa(int(t.Weekday())), nil)
}

// Thickness prints the thickness of a film in US units in mil; where a language has no
// such word ("6 mil" is six thousand in Spanish), in inches, and beside them in millimetres.
func (p *Printer) Thickness(l unit.Length) string {
	if p.Units != US || l >= unit.Inch/8 {
		return p.Length(l)
	}
	if film, inch := p.Say("word.unit.film", nil), p.Say("word.unit.inch", nil); film == inch {
		return p.Fixed(l.Inches(), 3) + " " + inch + " (" + p.Number(math.Round(l.Millimetres()*100)/100) + " mm)"
	}
	return p.With(p.Number(float64(l/unit.Mil)), "film")
}
