package sky

import (
	"math"
	"strconv"
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

// Numbered is one month as typed, in any order.
type Numbered struct {
	Number int
	Month
}

// FromMonths makes a climate of typed months: each of 1 to 12 once. All faults
// are returned together, at the keys of site.
func FromMonths(p Place, months []Numbered) (Climate, finding.Faults) {
	c := Climate{Place: p, Origin: Typed}
	var faults finding.Faults
	var place [13]int // in the list, from 0
	var seen [13]bool
	for i, m := range months {
		at := finding.Path("site.months").Item(i).Key("month")
		switch {
		case m.Number < 1 || m.Number > 12:
			faults = append(faults, finding.Fault{ID: FaultMonth, Path: at, Args: finding.Args{"Month": m.Number}})
		case seen[m.Number]:
			faults = append(faults, finding.Fault{ID: FaultTwice, Path: at, Args: finding.Args{"Month": m.Number}})
		default:
			seen[m.Number], place[m.Number] = true, i
			c.Months[m.Number-1] = m.Month
		}
	}
	if missing := unseen(seen[1:]); missing != "" {
		return c, append(faults, finding.Fault{ID: FaultMissing, Path: "site.months", Args: finding.Args{"Months": missing}})
	}
	return c, append(faults, c.check(typedMonths(place))...)
}

// unseen lists the months that were not seen, by number.
func unseen(seen []bool) string {
	var missing []string
	for i, is := range seen {
		if !is {
			missing = append(missing, strconv.Itoa(i+1))
		}
	}
	return strings.Join(missing, ", ")
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

// check gives what cannot be in the figures of a climate: swapped extremes, °F
// typed as °C, radiation above what the sun sends.
func (c Climate) check(at where) finding.Faults {
	out := ranged(at, 0, "latitude", c.Place.Latitude.Degrees(), -90, 90, 42.4)
	if out != nil {
		return out
	}
	if e := c.Place.Elevation; e != nil {
		out = append(out, ranged(at, 0, "elevation", *e, -450, 9000, 250)...)
	}
	hottest, swapped := 1, 0
	top := func(n int) unit.Temperature { return max(c.Months[n-1].High, c.Months[n-1].Low) }
	for n := 1; n <= 12; n++ {
		if top(n) > top(hottest) {
			hottest = n
		}
		if c.Months[n-1].Low > c.Months[n-1].High {
			swapped++
		}
	}
	switch {
	case top(hottest) > hottestMonth:
		return append(out, at.hot(hottest, top(hottest)))
	case swapped >= 6:
		return append(out, at.wrong(FaultSwappedMost, 1, "tmax", nil))
	}
	for i, m := range c.Months {
		out = append(out, m.check(at, i+1, SunOn(c.Place.Latitude, MidMonth(i+1)))...)
	}
	return out
}

func (m Month) check(at where, n int, sun Sun) finding.Faults {
	var out finding.Faults
	add := func(id finding.ID, field string, args finding.Args) { out = append(out, at.wrong(id, n, field, args)) }
	finite := func(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }
	extremes := func() finding.Args {
		return finding.Args{"High": m.High, "Low": m.Low, "Apart": unit.TemperatureStep(m.High - m.Low)}
	}
	switch hi, lo := m.High.Celsius(), m.Low.Celsius(); {
	case !finite(hi) || !finite(lo) || lo < coldestMonth:
		add(FaultTemperature, "tmin", extremes())
	case lo > hi:
		add(FaultSwapped, "tmax", extremes())
	case hi-lo > 35:
		add(FaultApart, "tmin", extremes())
	}
	if s := m.Solar; s != nil {
		switch {
		case !(*s >= 0 && *s <= sun.Ra+0.5*unit.MegajoulePerSquareMetre):
			add(FaultBright, "solar", finding.Args{"Solar": *s, "Sun": sun.Ra})
		case sun.Ra > leastSun && *s < leastShare*sun.Ra:
			add(FaultDark, "solar", finding.Args{"Solar": *s, "Sun": sun.Ra})
		}
	}
	if h := m.Sunshine; h != nil && !(*h >= 0 && *h <= sun.Daylight+unit.Hour) {
		add(FaultSunshine, "sunshine", finding.Args{"Sunshine": *h, "Day": sun.Daylight})
	}
	if m.Dew != nil && !(m.Dew.Celsius() >= -90 && *m.Dew <= m.High+1) {
		add(FaultDew, "dewpoint", finding.Args{"Dew": *m.Dew, "High": m.High})
	}
	if m.Wind != nil {
		out = append(out, ranged(at, n, "wind", *m.Wind, 0, windiestMonth, 2)...)
	}
	if m.HighSpread != nil {
		out = append(out, ranged(at, n, "tmax sd", *m.HighSpread, 0, 20, 5)...)
	}
	if m.LowSpread != nil {
		out = append(out, ranged(at, n, "tmin sd", *m.LowSpread, 0, 20, 5)...)
	}
	if m.Rain != nil {
		out = append(out, ranged(at, n, "rain", *m.Rain, 0, 5, 70*unit.Millimetre)...)
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
