package sky

import (
	"math"
	"slices"
	"strconv"

	"raftwright/finding"
	"raftwright/source"
	"raftwright/unit"
)

// MonthMean is the mean day of a month in the open, complete: what was not
// given is estimated by the procedures of FAO-56.
type MonthMean struct {
	Number     int
	Sun        Sun
	High, Low  unit.Temperature
	Mean       unit.Temperature
	HighSpread unit.TemperatureStep
	LowSpread  unit.TemperatureStep
	Radiation  unit.DailyRadiation
	Basis      Basis
	Dew        unit.Temperature
	Vapour     unit.Pressure
	Wind       unit.Speed // at 2 m
	Reference  Reference  // Penman–Monteith, with its steps
	Hargreaves unit.DailyDepth
	Light      unit.DailyLight
	Soil       unit.Temperature // half a meter down, in the open
}

// Year is a climate made complete, and its mean days.
type Year struct {
	Latitude    unit.Angle
	Elevation   unit.Length
	Pressure    unit.Pressure
	Months      [12]MonthMean
	SpreadKnown bool
	Climate     Climate

	Assumptions []finding.Assumption
	Findings    []finding.Finding

	high, low, lowSpread, radiation [365]float64 // °C, °C, °C, MJ/m2
	suns                            *[365]Sun
}

// Fill makes a climate complete. Each estimate is listed: radiation from
// sunshine or temperatures (never above a clear sky), humidity from the minimum
// temperature (2 °C less in dry places), wind 2 m/s, spread from day to day,
// elevation sea level. Faults that Check finds are not looked for again.
func (c Climate) Fill() Year { return c.FillLike(nil) }

// FillLike is Fill, quicker where another year is of the same latitude, and at once where it is of
// this very climate; it may be nil.
func (c Climate) FillLike(other *Year) Year {
	if other != nil && c.is(&other.Climate) {
		return *other
	}
	y := Year{Latitude: c.Place.Latitude, Climate: c, Elevation: 0}
	if c.Place.Elevation != nil {
		y.Elevation = *c.Place.Elevation
	} else {
		y.assume(AssumeElevation, source.OwnChoice, finding.Args{"Elevation": y.Elevation})
	}
	if c.Moved != 0 {
		y.assume(AssumeLapse, "iso2533", finding.Args{"Step": max(c.Moved, -c.Moved), "Cooler": c.Moved < 0, "Altitude": max(c.Rise, -c.Rise), "Station": c.Name})
	}
	if c.StationHeight {
		y.assume(AssumeHeight, source.OwnChoice, finding.Args{"Station": c.Name, "Altitude": y.Elevation})
	}
	y.Pressure = AirPressure(y.Elevation)
	c = c.dewed()
	for i := range c.Months {
		y.Months[i] = c.mean(i+1, y.Elevation)
	}
	y.spreads(c)
	for i := range y.Months {
		before := y.Months[(i+11)%12].Mean
		m := &y.Months[i]
		m.Reference = PenmanMonteith(Air{
			High: m.High, Low: m.Low, Vapour: m.Vapour, Wind: m.Wind, Radiation: m.Radiation, Ra: m.Sun.Ra,
			Elevation: y.Elevation, Ground: MonthGround(m.Mean, before),
		})
	}
	if other != nil && other.Latitude == y.Latitude {
		y.suns = other.suns
	} else {
		y.suns = sunsOf(y.Latitude)
	}
	y.warmSoil()
	y.tell(y.Climate)
	y.spreadDays(other)
	return y
}

// is says whether another climate is this one, not only one that is equal: its months point to the
// same figures.
func (c *Climate) is(other *Climate) bool {
	return c.Months == other.Months && c.Place == other.Place && c.Coast == other.Coast && c.Origin == other.Origin && c.ID == other.ID &&
		c.Name == other.Name && c.Years == other.Years && c.Away == other.Away && c.Rise == other.Rise && c.Moved == other.Moved &&
		c.StationHeight == other.StationHeight && slices.Equal(c.Others, other.Others)
}

// aridRain is the rain of a year below which a place counts as dry.
const aridRain = 250 * unit.Millimetre

// arid says whether the rain is known and the place is dry.
func (c Climate) arid() bool {
	var year unit.Length
	for _, m := range c.Months {
		if m.Rain == nil {
			return false
		}
		year += *m.Rain
	}
	return year < aridRain
}

// dewed fills the dew points that are not given: the minimum temperature, in dry
// places 2 °C less (FAO-56 eq 48 and its annex 6).
func (c Climate) dewed() Climate {
	less := unit.Temperature(0)
	if c.arid() {
		less = 2
	}
	for i := range c.Months {
		if m := &c.Months[i]; m.Dew == nil {
			m.Dew = new(m.Low - less)
		}
	}
	return c
}

func (c Climate) mean(n int, elevation unit.Length) MonthMean {
	g := c.Months[n-1]
	m := MonthMean{Number: n, Sun: SunOn(c.Place.Latitude, MidMonth(n)), High: g.High, Low: g.Low, Mean: (g.High + g.Low) / 2}
	switch {
	case g.Solar != nil:
		m.Radiation, m.Basis = *g.Solar, Measured
	case g.Sunshine != nil:
		m.Radiation, m.Basis = m.Sun.Angstrom(*g.Sunshine), FromSunshine
	default:
		k := Inland
		if c.Coast {
			k = Coast
		}
		m.Radiation, m.Basis = m.Sun.FromTemperatures(g.High, g.Low, k), FromTemperature
	}
	m.Radiation = min(m.Radiation, ClearSky(m.Sun.Ra, elevation))
	m.Light = LightOf(m.Radiation)
	m.Dew = *g.Dew
	m.Vapour = min(SaturationPressure(m.Dew), MeanSaturation(m.High, m.Low))
	m.Wind = UnknownWind
	if g.Wind != nil {
		m.Wind = *g.Wind
	}
	m.Hargreaves = HargreavesET0(g.High, g.Low, m.Sun.Ra)
	return m
}

// spreads fills the standard deviations from day to day. The minimum's estimate
// is a fit on 135 stations (spread-fit); the maximum's the same plus 0.6 °C, the
// mean difference there.
func (y *Year) spreads(c Climate) {
	warm, cold := y.Months[0].Mean, y.Months[0].Mean
	for _, m := range y.Months {
		warm, cold = max(warm, m.Mean), min(cold, m.Mean)
	}
	y.SpreadKnown = true
	for i := range y.Months {
		m, g := &y.Months[i], c.Months[i]
		guess := math.Max(1, math.Min(10, 3.2-0.104*m.Low.Celsius()+0.074*float64(warm-cold)))
		m.LowSpread, m.HighSpread = unit.TemperatureStep(guess), unit.TemperatureStep(guess+0.6)
		if g.LowSpread != nil {
			m.LowSpread = *g.LowSpread
		} else {
			y.SpreadKnown = false
		}
		if g.HighSpread != nil {
			m.HighSpread = *g.HighSpread
		}
	}
}

func (y *Year) assume(id finding.ID, from source.ID, args finding.Args) {
	y.Assumptions = append(y.Assumptions, finding.Assumption{ID: id, Args: args, Source: from})
}

// tell lists what was estimated and what is odd about the place.
func (y *Year) tell(c Climate) {
	count := func(f func(Month) bool) (n int) {
		for _, m := range c.Months {
			if f(m) {
				n++
			}
		}
		return n
	}
	sunshine := count(func(m Month) bool { return m.Solar == nil && m.Sunshine != nil })
	neither := count(func(m Month) bool { return m.Solar == nil && m.Sunshine == nil })
	if sunshine > 0 {
		y.assume(AssumeSunshine, "fao56", finding.Args{"Count": sunshine, "Error": FromSunshine.Error()})
	}
	if neither > 0 {
		k := Inland
		if c.Coast {
			k = Coast
		}
		y.assume(AssumeSolar, "fao56", finding.Args{"Count": neither, "Error": FromTemperature.Error(), "Coefficient": k, "Inland": !c.Coast})
	}
	if n := count(func(m Month) bool { return m.Dew == nil }); n > 0 {
		y.assume(AssumeDew, "fao56", finding.Args{"Count": n, "Dry": c.arid()})
	}
	if n := count(func(m Month) bool { return m.Wind == nil }); n > 0 {
		y.assume(AssumeWind, "fao56", finding.Args{"Count": n, "Wind": UnknownWind})
	}
	if !y.SpreadKnown {
		y.assume(AssumeSpread, "spread-fit", finding.Args{})
	}
	y.tellBright(c)
	y.tellPlace(c)
}

// tellBright says where radiation that was given passes that of a cloudless sky,
// which is then used; the month that passes it most is named. A hundredth more is
// within its error.
func (y *Year) tellBright(c Climate) {
	count, most, worst := 0, 1.01, 0
	for i, m := range c.Months {
		clear := ClearSky(y.Months[i].Sun.Ra, y.Elevation)
		if m.Solar == nil || clear <= 0 || float64(*m.Solar/clear) <= 1.01 {
			continue
		}
		count++
		if over := float64(*m.Solar / clear); over > most {
			most, worst = over, i
		}
	}
	if count == 0 {
		return
	}
	y.note(FindBright, finding.Caution, "fao56", *c.Months[worst].Solar, finding.Args{"Count": count, "Month": finding.Word("month." + strconv.Itoa(worst+1)),
		"Given": *c.Months[worst].Solar, "Clear": ClearSky(y.Months[worst].Sun.Ra, y.Elevation)})
}

// tellPlace says what is odd about the place, and where its figures come from.
func (y *Year) tellPlace(c Climate) {
	if a := math.Abs(c.Place.Latitude.Degrees()); a > 66.5 {
		y.note(FindPolar, finding.Note, "fao56", nil, finding.Args{})
	}
	if c.Place.Longitude != nil && AtSea(c.Place.Latitude, *c.Place.Longitude) {
		y.note(FindAtSea, finding.Caution, "open-sea", nil, finding.Args{})
	}
	if c.Origin == Station || c.Origin == Normals {
		rise := max(c.Rise, -c.Rise)
		args := finding.Args{"Station": c.Name, "Away": c.Away, "Atleast": c.Place.Longitude == nil, "Here": c.Away < 50*unit.Metre && c.Place.Longitude != nil, "Level": rise < 5*unit.Metre, "Below": c.Rise < 0, "Altitude": rise}
		from := source.ID("cligen")
		if c.Origin == Normals {
			from = "noaa-normals"
		}
		y.note(FindStation, finding.Note, from, c.Away, args)
		if c.Away > NearStation || rise > StationRise {
			y.note(FindFarStation, finding.Caution, source.OwnChoice, c.Away, args)
		}
		if len(c.Others) == 2 {
			y.note(FindOtherStations, finding.Note, from, nil, finding.Args{"First": c.Others[0].Title(), "FirstAway": c.Others[0].Away, "Second": c.Others[1].Title(), "SecondAway": c.Others[1].Away})
		}
	}
	if c.Origin == Weather && c.Years < 5 {
		y.note(FindShort, finding.Caution, source.OwnChoice, c.Years, finding.Args{"Years": c.Years})
	}
}

func (y *Year) note(id finding.ID, s finding.Severity, from source.ID, figure any, args finding.Args) {
	y.Findings = append(y.Findings, finding.Finding{ID: id, Severity: s, Args: args, Figure: figure, Source: from})
}

func sunsOf(latitude unit.Angle) *[365]Sun {
	var out [365]Sun
	for d := range out {
		out[d] = SunOn(latitude, d+1)
	}
	return &out
}

// monthRows are the figures that the daily rows of a year are made of.
type monthRows struct{ high, low, spread, radiation [12]float64 }

func (y *Year) rows() (r monthRows) {
	for i := range y.Months {
		m := &y.Months[i]
		r.high[i], r.low[i], r.spread[i], r.radiation[i] = m.High.Celsius(), m.Low.Celsius(), float64(m.LowSpread), float64(m.Radiation)
	}
	return r
}

// spreadDays makes the daily rows; those of the same months are taken over from another year.
func (y *Year) spreadDays(other *Year) {
	r, was := y.rows(), monthRows{}
	if other != nil {
		was = other.rows()
	}
	row := func(to *[365]float64, months, before *[12]float64, known func(*Year) *[365]float64) {
		if other != nil && *months == *before {
			*to = *known(other)
		} else {
			*to = Days(*months)
		}
	}
	row(&y.high, &r.high, &was.high, func(o *Year) *[365]float64 { return &o.high })
	row(&y.low, &r.low, &was.low, func(o *Year) *[365]float64 { return &o.low })
	row(&y.lowSpread, &r.spread, &was.spread, func(o *Year) *[365]float64 { return &o.lowSpread })
	if other != nil && other.suns == y.suns && r.radiation == was.radiation {
		y.radiation = other.radiation
	} else {
		y.spreadRadiation()
	}
}

// spreadRadiation spreads radiation as its share of Ra, which runs smoothly, then sets it so
// that each month keeps its mean.
func (y *Year) spreadRadiation() {
	var share [12]float64
	for i := range y.Months {
		if m := &y.Months[i]; m.Sun.Ra > 0 {
			share[i] = float64(m.Radiation / m.Sun.Ra)
		}
	}
	shares := Days(share)
	for m := range 12 {
		sum := 0.0
		for d := firstDay[m]; d < firstDay[m+1]; d++ {
			y.radiation[d] = math.Max(0, shares[d]) * y.suns[d].Ra.Megajoules()
			sum += y.radiation[d]
		}
		if sum > 0 {
			f := y.Months[m].Radiation.Megajoules() * float64(DaysIn(m+1)) / sum
			for d := firstDay[m]; d < firstDay[m+1]; d++ {
				y.radiation[d] *= f
			}
		}
	}
}

// DayMean is the mean weather of one day of the year, in the open.
type DayMean struct {
	High, Low unit.Temperature
	Radiation unit.DailyRadiation
}

// SameDays says whether the days of another year have the same air, radiation and sun;
// nights in which it freezes may be others.
func (y *Year) SameDays(other *Year) bool {
	return y.Latitude == other.Latitude && y.high == other.high && y.low == other.low && y.radiation == other.radiation
}

// SameFreezes says whether it freezes as in another year.
func (y *Year) SameFreezes(other *Year) bool {
	return y.low == other.low && y.lowSpread == other.lowSpread
}

// Sun gives the sun of a day of the year.
func (y *Year) Sun(d DayOfYear) Sun { return y.suns[d.index()] }

// index counts a day of any year from 0 to 364.
func (d DayOfYear) index() int { return ((int(d)-1)%365 + 365) % 365 }

// Day gives the mean weather of a day of the year.
func (y *Year) Day(d DayOfYear) DayMean {
	i := d.index()
	return DayMean{High: unit.Temperature(y.high[i]), Low: unit.Temperature(y.low[i]), Radiation: unit.DailyRadiation(y.radiation[i]) * unit.MegajoulePerSquareMetre}
}

// Error gives the error of this year's radiation: that of its worst month.
func (y *Year) Error() unit.Fraction {
	var worst unit.Fraction
	for _, m := range y.Months {
		worst = max(worst, m.Basis.Error())
	}
	return worst
}

// box is a rectangle in degrees, south, north, west, east.
type box struct{ s, n, w, e float64 }

// openSea lists rectangles that hold no land, from memory and with margins: it
// says only where a place is surely at sea.
func openSea() []box {
	return []box{
		{30, 49, -178, -150}, {19, 49, -150, -128}, {-6, 18, -148, -116}, {-60, -29, -165, -84}, {30, 42, 152, 178},
		{20, 45, -58, -33}, {45, 58, -45, -15}, {3, 14, -46, -28}, {-6, 3.5, -12, 4}, {-36, -22, -36, -16}, {-36, -18, -4, 8},
		{-50, -42, -52, 30}, {-35, -22, 66, 110}, {6, 18, 60, 70}, {8, 16, 85, 91}, {84, 90, -180, 180},
	}
}

// AtSea says whether a place is surely in the open sea or on the ice of the
// northern ocean. False does not mean that it is on land.
func AtSea(latitude, longitude unit.Angle) bool {
	lat, lon := latitude.Degrees(), math.Mod(longitude.Degrees()+540, 360)-180
	for _, b := range openSea() {
		if lat > b.s && lat < b.n && lon > b.w && lon < b.e {
			return true
		}
	}
	return false
}

// Reach of a station file.
const (
	NearStation  = 100 * unit.Kilometre // farther is told as a caution
	StationReach = 150 * unit.Kilometre // farther, in a file, needs the user's word
	StationRise  = 400 * unit.Metre
)
