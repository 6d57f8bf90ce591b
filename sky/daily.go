package sky

import (
	"math"
	"time"

	"raftwright/finding"
	"raftwright/unit"
)

// column is a quantity of a daily file: the names that its column may have, and
// how a figure becomes SI.
type column struct {
	name string
	to   func(float64) float64
}

func scale(factor float64) func(float64) float64 {
	return func(x float64) float64 { return x * factor }
}

func fahrenheit(x float64) float64 { return unit.Fahrenheit(x).Celsius() }

// spellings lists, for each quantity, the head names that say the unit.
func spellings(what string) []column {
	celsius, same := scale(1), scale(1)
	temperature := func(names ...string) []column {
		var out []column
		for _, n := range names {
			out = append(out, column{n + "_c", celsius}, column{n + "_degc", celsius}, column{n + "_f", fahrenheit}, column{n + "_degf", fahrenheit})
		}
		return out
	}
	switch what {
	case "tmax":
		return temperature("tmax", "max_temp", "temp_max", "high", "maximum_temperature", "temperature_max")
	case "tmin":
		return temperature("tmin", "min_temp", "temp_min", "low", "minimum_temperature", "temperature_min")
	case "dewpoint":
		return temperature("dewpoint", "dew_point", "dew")
	case "rain":
		return []column{{"rain_mm", scale(1e-3)}, {"precip_mm", scale(1e-3)}, {"precipitation_mm", scale(1e-3)}, {"prcp_mm", scale(1e-3)},
			{"rain_in", scale(0.0254)}, {"precip_in", scale(0.0254)}, {"precipitation_in", scale(0.0254)}, {"prcp_in", scale(0.0254)}}
	case "solar":
		return []column{{"solar_mj_m2", scale(1e6)}, {"solar_mj_m2_d", scale(1e6)}, {"radiation_mj_m2", scale(1e6)}, {"solar_kwh_m2", scale(3.6e6)}, {"solar_w_m2", scale(86400)}}
	}
	return []column{{"wind_m_s", same}, {"wind_mph", scale(float64(unit.MilePerHour))}, {"wind_km_h", scale(1 / 3.6)}}
}

// find gives the column of a quantity that the file has; ok is false when none.
func (t *sheet) find(what string) (column, bool) {
	for _, c := range spellings(what) {
		if t.has(c.name) {
			return c, true
		}
	}
	return column{}, false
}

// sums gathers one quantity of one month.
type sums struct {
	n             int
	total, square float64
}

func (s *sums) add(x float64) { s.n, s.total, s.square = s.n+1, s.total+x, s.square+x*x }

func (s sums) mean() float64 { return s.total / float64(s.n) }

func (s sums) spread() float64 {
	if s.n < 2 {
		return 0
	}
	m := s.mean()
	return math.Sqrt(math.Max(0, (s.square-float64(s.n)*m*m)/float64(s.n-1)))
}

// dailyQuantities are gathered in this order.
var dailyQuantities = [6]string{"tmax", "tmin", "rain", "solar", "dewpoint", "wind"}

// leastDays is how many days a month must have, over all years.
const leastDays = 15

// readDaily reads a daily weather file into monthly means and spreads.
func readDaily(t *sheet) (Library, finding.Faults) {
	var columns [6]column
	var have [6]bool
	for i, what := range dailyQuantities {
		columns[i], have[i] = t.find(what)
		if !have[i] && i < 2 {
			t.faults = append(t.faults, t.only(FaultUnit, finding.Args{"Name": what})...)
		}
	}
	if len(t.faults) > 0 {
		return Library{}, t.faults
	}
	var months [12][6]sums
	var first, last time.Time
	dateColumn := t.first("date", "day")
	for t.next() {
		day, ok := readDate(t.text(dateColumn))
		if !ok {
			t.wrong(FaultDate, dateColumn, finding.Args{"Text": clip(t.text(dateColumn))})
			continue
		}
		if first.IsZero() || day.Before(first) {
			first = day
		}
		if day.After(last) {
			last = day
		}
		t.gather(&months[day.Month()-1], columns, have)
	}
	if len(t.faults) > 0 {
		return Library{}, t.faults
	}
	s := station{id: t.file, name: t.file, file: t.file, noPlace: true}
	s.years = last.Sub(first).Hours() / 24 / DaysAYear
	for m := range months {
		s.seen[m] = months[m][0].n >= leastDays
		s.months[m] = monthOf(months[m], have, m+1)
	}
	return Library{stations: []station{s}, origin: Weather}, nil
}

// gather adds one row; days without both temperatures are left out.
func (t *sheet) gather(month *[6]sums, columns [6]column, have [6]bool) {
	var x [6]float64
	var given [6]bool
	for i, c := range columns {
		if !have[i] {
			continue
		}
		if x[i], given[i] = t.number(c.name); given[i] && x[i] <= -999 {
			given[i] = false // a usual mark of a missing value
		}
		x[i] = c.toSI(x[i])
	}
	if !given[0] || !given[1] {
		return
	}
	if x[1] > x[0] {
		t.wrong(FaultSwapped, columns[0].name, finding.Args{"High": unit.Temperature(x[0]), "Low": unit.Temperature(x[1])})
		return
	}
	for i := range x {
		if given[i] {
			month[i].add(x[i])
		}
	}
}

func (c column) toSI(x float64) float64 { return c.to(x) }

func monthOf(s [6]sums, have [6]bool, number int) Month {
	if s[0].n == 0 {
		return Month{}
	}
	m := Month{
		High: unit.Temperature(s[0].mean()), Low: unit.Temperature(s[1].mean()),
		HighSpread: new(unit.TemperatureStep(s[0].spread())), LowSpread: new(unit.TemperatureStep(s[1].spread())),
	}
	if have[2] && s[2].n >= leastDays {
		m.Rain = new(unit.Length(s[2].mean() * float64(DaysIn(number))))
	}
	if have[3] && s[3].n >= leastDays {
		m.Solar = new(unit.DailyRadiation(s[3].mean()))
	}
	if have[4] && s[4].n >= leastDays {
		m.Dew = new(unit.Temperature(s[4].mean()))
	}
	if have[5] && s[5].n >= leastDays {
		m.Wind = new(unit.Speed(s[5].mean()))
	}
	return m
}

// readDate reads 2027-05-03 (also with a time after it), 20270503 and 5/3/2027,
// month first.
func readDate(s string) (time.Time, bool) {
	if len(s) > 10 && (s[10] == 'T' || s[10] == ' ') {
		s = s[:10]
	}
	for _, layout := range []string{"2006-01-02", "2006/1/2", "20060102", "1/2/2006"} {
		if d, err := time.Parse(layout, s); err == nil && d.Year() >= 1800 && d.Year() <= 2200 {
			return d, true
		}
	}
	return time.Time{}, false
}
