package sky

import (
	"fmt"
	"math"
	"strings"

	"raftwright/finding"
	"raftwright/source"
	"raftwright/unit"
)

// Place is where a bed stands. Latitude is north positive. Longitude (east
// positive) and elevation may be unknown (nil); 0 is a real place.
type Place struct {
	Latitude  unit.Angle
	Longitude *unit.Angle
	Elevation *unit.Length
}

// Month is what a climate knows of the mean day of a month. Only High and Low
// are needed; nil is not given.
type Month struct {
	High, Low             unit.Temperature      // mean daily maximum and minimum
	HighSpread, LowSpread *unit.TemperatureStep // standard deviation of single days in the month
	Solar                 *unit.DailyRadiation  // mean daily radiation on the flat
	Sunshine              *unit.Duration        // bright hours a day
	Dew                   *unit.Temperature     // mean dew point
	Wind                  *unit.Speed           // at 2 m
	Rain                  *unit.Length          // in the month
}

// Origin says where a climate comes from.
type Origin string

// Origins.
const (
	Typed   Origin = "typed"   // twelve months in the brief
	Station Origin = "station" // a stations file and its normals
	Normals Origin = "normals" // a NOAA monthly-normals file
	Weather Origin = "weather" // a daily weather file of the user's own
)

// Climate is twelve months of a place.
type Climate struct {
	Place  Place
	Coast  bool // within some 20 km of a coast: radiation from temperatures takes 0.19
	Months [12]Month
	Origin Origin
	Name   string               // of the station, "" when typed
	Years  float64              // of record, 0 unknown
	Away   unit.Length          // distance from the bed, 0 when typed
	Rise   unit.Length          // station above the bed, signed
	ID     string               // of the station in the atlas, else ""
	Moved  unit.TemperatureStep // what the height of the bed moved the station's temperatures by
	Others []Neighbour          // the next stations, which could stand in for it
	// StationHeight says that the height of the bed was not given and that of the
	// station stands in for it.
	StationHeight bool
}

// Fault is a mistake in climate figures, said to the person who can mend it.
type Fault struct {
	Month int    // 1 to 12; 0 for all or none
	Field string // "tmax", "tmin", "solar", ...; "" for the whole
	What  string // what is wrong
	Right string // what would be right
	// File, Line and Column are set by the readers of files; empty for typed values.
	File         string
	Line, Column int
}

// Error joins the parts.
func (f Fault) Error() string {
	var b strings.Builder
	if f.File != "" {
		b.WriteString(f.File + ":")
		if f.Line > 0 {
			fmt.Fprintf(&b, "%d:%d:", f.Line, max(1, f.Column))
		}
		b.WriteString(" ")
	}
	if f.Month > 0 {
		fmt.Fprintf(&b, "month %d: ", f.Month)
	}
	b.WriteString(f.What)
	if f.Right != "" {
		b.WriteString("; " + f.Right)
	}
	return b.String()
}

// Numbered is one month as typed, in any order.
type Numbered struct {
	Number int
	Month
}

// FromMonths makes a climate of typed months: each of 1 to 12 once. All faults
// are returned together.
func FromMonths(p Place, months []Numbered) (Climate, []Fault) {
	c := Climate{Place: p, Origin: Typed}
	var faults []Fault
	var seen [13]bool
	for _, m := range months {
		switch {
		case m.Number < 1 || m.Number > 12:
			faults = append(faults, Fault{Field: "month", What: fmt.Sprintf("there is no month %d", m.Number), Right: "number the months 1 to 12"})
		case seen[m.Number]:
			faults = append(faults, Fault{Month: m.Number, Field: "month", What: "stands twice", Right: "give each month once"})
		default:
			seen[m.Number] = true
			c.Months[m.Number-1] = m.Month
		}
	}
	var missing []string
	for m := 1; m <= 12; m++ {
		if !seen[m] {
			missing = append(missing, fmt.Sprint(m))
		}
	}
	if len(missing) > 0 {
		faults = append(faults, Fault{Field: "month", What: "months are missing: " + strings.Join(missing, ", "), Right: "give tmax and tmin for all twelve"})
		return c, faults
	}
	return c, append(faults, c.Check()...)
}

// Extremes of mean monthly figures on this planet, with room to spare.
const (
	hottestMonth  = 50.0 // °C, mean daily maximum
	coldestMonth  = -75.0
	windiestMonth = 25.0 // m/s
)

// A share of Ra far below the darkest months of the station files, 0.28: a 0 that
// stands for no figure, or another unit. Where the sun hardly rises, nothing is
// looked for.
const (
	leastShare = 0.02
	leastSun   = 3 * unit.MegajoulePerSquareMetre
)

// Check gives what cannot be in the figures of a climate: swapped extremes, °F
// typed as °C, radiation above what the sun sends.
func (c Climate) Check() []Fault {
	var out []Fault
	if math.IsNaN(float64(c.Place.Latitude)) || math.Abs(c.Place.Latitude.Degrees()) > 90 {
		return []Fault{{Field: "latitude", What: fmt.Sprintf("latitude %.4g is not on the globe", c.Place.Latitude.Degrees()), Right: "give -90 to 90, south negative"}}
	}
	if e := c.Place.Elevation; e != nil && !(float64(*e) >= -450 && float64(*e) <= 9000) {
		out = append(out, Fault{Field: "elevation", What: fmt.Sprintf("elevation %.4g m is not on the globe", e.Metres()), Right: "give -450 to 9000 m"})
	}
	if f, ok := c.fahrenheit(); ok {
		return append(out, f)
	}
	swapped := 0
	for _, m := range c.Months {
		if m.Low > m.High {
			swapped++
		}
	}
	if swapped >= 6 {
		return append(out, Fault{Field: "tmax", What: "tmax is below tmin in most months: the two look swapped", Right: "tmax is the mean daily maximum, tmin the mean daily minimum"})
	}
	for i, m := range c.Months {
		out = append(out, c.checkMonth(i+1, m)...)
	}
	return out
}

func (c Climate) fahrenheit() (Fault, bool) {
	hottest, n := 0, 0
	for i, m := range c.Months {
		if max(m.High, m.Low) > max(c.Months[hottest].High, c.Months[hottest].Low) {
			hottest = i
		}
		if max(m.High, m.Low) > hottestMonth {
			n++
		}
	}
	if n == 0 {
		return Fault{}, false
	}
	t := max(c.Months[hottest].High, c.Months[hottest].Low)
	f := Fault{Month: hottest + 1, Field: "tmax", What: fmt.Sprintf("a mean of %.4g C is hotter than any place on earth", t.Celsius())}
	if t <= 130 {
		f.What += ": this looks like °F typed as °C"
		f.Right = fmt.Sprintf("write %.4g F, which is %.1f C", t.Celsius(), unit.Fahrenheit(t.Celsius()).Celsius())
	} else {
		f.Right = "give mean daily temperatures such as 24 C"
	}
	return f, true
}

func (c Climate) checkMonth(n int, m Month) []Fault {
	var out []Fault
	add := func(field, what, right string) {
		out = append(out, Fault{Month: n, Field: field, What: what, Right: right})
	}
	finite := func(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }
	switch hi, lo := m.High.Celsius(), m.Low.Celsius(); {
	case !finite(hi) || !finite(lo) || lo < coldestMonth:
		add("tmin", fmt.Sprintf("%.4g and %.4g C are not temperatures of a month", hi, lo), "give mean daily temperatures such as 24 C")
	case lo > hi:
		add("tmax", fmt.Sprintf("tmax %.4g C is below tmin %.4g C: the two look swapped", hi, lo), "tmax is the higher one")
	case hi-lo > 35:
		add("tmin", fmt.Sprintf("tmax and tmin lie %.4g C apart", hi-lo), "give means of the month, not records")
	}
	sun := SunOn(c.Place.Latitude, MidMonth(n))
	if m.Solar != nil && !(float64(*m.Solar) >= 0 && float64(*m.Solar) <= 1.0*float64(sun.Ra)+5e5) {
		add("solar", fmt.Sprintf("%.4g MJ/m2 a day is more than the sun sends there in that month (%.3g)", m.Solar.Megajoules(), sun.Ra.Megajoules()), "give the mean of a day, not of the month, for this latitude")
	}
	if m.Solar != nil && *m.Solar >= 0 && sun.Ra > leastSun && *m.Solar < leastShare*sun.Ra {
		add("solar", fmt.Sprintf("%.4g MJ/m2 a day is less than passes the thickest cloud: the open sky sends %.3g there in that month", m.Solar.Megajoules(), sun.Ra.Megajoules()),
			"give the mean of a day in MJ/m2 (kWh/m2 also reads), or leave solar out where it is not known")
	}
	if m.Sunshine != nil && !(*m.Sunshine >= 0 && *m.Sunshine <= sun.Daylight+unit.Hour) {
		add("sunshine", fmt.Sprintf("%.4g h of sunshine a day is longer than the day (%.3g h)", m.Sunshine.Hours(), sun.Daylight.Hours()), "give hours a day, not a month")
	}
	if m.Dew != nil && !(m.Dew.Celsius() >= -90 && *m.Dew <= m.High+1) {
		add("dewpoint", fmt.Sprintf("a dew point of %.4g C lies above tmax", m.Dew.Celsius()), "a dew point is at most the air temperature")
	}
	if m.Wind != nil && !(*m.Wind >= 0 && float64(*m.Wind) <= windiestMonth) {
		add("wind", fmt.Sprintf("a mean wind of %.4g m/s is not of this earth", float64(*m.Wind)), "give the mean at 2 m, such as 2 m/s")
	}
	for _, s := range []struct {
		name string
		v    *unit.TemperatureStep
	}{{"tmax sd", m.HighSpread}, {"tmin sd", m.LowSpread}} {
		if s.v != nil && !(*s.v >= 0 && *s.v <= 20) {
			add(s.name, fmt.Sprintf("a spread of %.4g C from day to day is not of this earth", float64(*s.v)), "give 2 to 10 C")
		}
	}
	if m.Rain != nil && !(*m.Rain >= 0 && m.Rain.Metres() <= 5) {
		add("rain", fmt.Sprintf("%.4g mm of rain in a month is not of this earth", m.Rain.Millimetres()), "give mm in the month")
	}
	return out
}

// Codes of a climate.
const (
	AssumeElevation finding.ID = "sky.elevation"
	AssumeHeight    finding.ID = "sky.station_height"
	AssumeSolar     finding.ID = "sky.solar_from_temperature"
	AssumeSunshine  finding.ID = "sky.solar_from_sunshine"
	AssumeDew       finding.ID = "sky.dew_from_tmin"
	AssumeWind      finding.ID = "sky.wind_unknown"
	AssumeSpread    finding.ID = "sky.spread"
	FindAtSea       finding.ID = "sky.at_sea"
	FindFarStation  finding.ID = "sky.far_station"
	FindStation     finding.ID = "sky.station"
	FindPolar       finding.ID = "sky.polar"
	FindBright      finding.ID = "sky.too_bright"
	FindShort       finding.ID = "sky.short_record"
)

// Basis says what a month's radiation rests on.
type Basis string

// Bases of radiation, best first, with their errors on monthly means.
const (
	Measured        Basis = "measured"    // 8 %
	FromSunshine    Basis = "sunshine"    // 10 %
	FromTemperature Basis = "temperature" // 13 %
)

// Error gives the error of monthly radiation on this basis.
func (b Basis) Error() unit.Fraction {
	switch b {
	case Measured:
		return 0.08
	case FromSunshine:
		return 0.10
	}
	return 0.13
}

// Source gives what the basis rests on.
func (b Basis) Source() source.ID {
	switch b {
	case Measured:
		return source.Given
	case FromSunshine:
		return "fao56"
	}
	return "station-check"
}
