package sky

import (
	"math"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"raftwright/finding"
	"raftwright/internal/table"
	"raftwright/unit"
)

// shared opens a file of the reference data that is not part of the repository.
func shared(t *testing.T, name string) []byte {
	t.Helper()
	b, err := os.ReadFile("../../shared/reference/climate/" + name)
	if err != nil {
		if os.Getenv("CI") != "" {
			t.Fatalf("reference data is missing: %v", err)
		}
		t.Skip("reference data is not here: " + name)
	}
	return b
}

func library(t *testing.T) Library {
	t.Helper()
	l, faults := ReadFiles(File{"climate_stations.csv", shared(t, "climate_stations.csv")},
		File{"climate_normals.csv", shared(t, "climate_normals.csv")})
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	return l
}

func at(lat, lon float64, elevation float64) Place { return placed(lat, lon, elevation) }

func TestWholeStationFile(t *testing.T) {
	l := library(t)
	if len(l.stations) != 135 {
		t.Errorf("%d stations, not 135", len(l.stations))
	}
	for _, s := range l.stations {
		c, faults := l.At(s.place, false)
		if len(faults) > 0 {
			t.Errorf("%s: %v", s.id, faults)
			continue
		}
		if c.Away != 0 || c.Name != s.name {
			t.Errorf("%s: nearest to itself is %s, %v away", s.id, c.Name, c.Away)
		}
		y := c.Fill()
		for _, m := range y.Months {
			if e := m.Reference.ET0.Millimetres(); math.IsNaN(e) || e < 0 || e > 16 {
				t.Errorf("%s month %d: ET0 %v mm", s.id, m.Number, e)
			}
			if m.Radiation > ClearSky(m.Sun.Ra, y.Elevation)+1 {
				t.Errorf("%s month %d: more radiation than a clear sky gives", s.id, m.Number)
			}
		}
	}
}

// The spread from day to day that is taken where none is known, against the
// spreads of all stations: rms 0.8 °C, no bias (the fit is this project's own).
func TestSpreadFit(t *testing.T) {
	var bias, square, n float64
	for _, s := range library(t).stations {
		c, _ := l0(s).At(s.place, false)
		known := c.Months
		for i := range c.Months {
			c.Months[i].LowSpread = nil
		}
		y := c.Fill()
		for i, m := range y.Months {
			d := float64(m.LowSpread - *known[i].LowSpread)
			bias, square, n = bias+d, square+d*d, n+1
		}
	}
	within(t, "bias", bias/n, 0, 0.1)
	within(t, "rms", math.Sqrt(square/n), 0.8, 0.05)
}

func l0(s station) Library { return Library{stations: []station{s}, origin: Station} }

// noaa_checks.csv, rows nyc-*: means and day-to-day spreads of a coastal station
// from the NOAA daily normals 1991-2020. The spread that is taken without them
// lies within 1.6 °C, and the freeze dates within 8 days.
func TestSpreadOfACoastalStation(t *testing.T) {
	rows := [12][3]float64{{4.2, -2.3, 5.4}, {5.7, -1.4, 5.0}, {9.9, 2.1, 4.4}, {16.6, 7.5, 3.6}, {21.9, 12.8, 3.2}, {26.5, 18.0, 2.9},
		{29.4, 21.2, 2.6}, {28.5, 20.5, 2.6}, {24.6, 16.8, 3.3}, {18.1, 10.8, 3.7}, {12.2, 5.6, 4.2}, {6.8, 1.0, 4.7}}
	make := func(spread bool) Year {
		c, faults := FromMonths(at(40.779, -73.969, 42.7), months(func(m int, x *Month) {
			x.High, x.Low = unit.Temperature(rows[m-1][0]), unit.Temperature(rows[m-1][1])
			if spread {
				x.LowSpread = new(unit.TemperatureStep(rows[m-1][2]))
			}
		}))
		if len(faults) > 0 {
			t.Fatal(faults)
		}
		return c.Fill()
	}
	known, guess := make(true), make(false)
	for i := range rows {
		within(t, "spread", float64(guess.Months[i].LowSpread), rows[i][2], 1.6)
	}
	a, b := known.Freezes(0), guess.Freezes(0)
	within(t, "last freeze", float64(b.Last50), float64(a.Last50), 8)
	within(t, "first freeze", float64(b.First50), float64(a.First50), 8)
	if !known.SpreadKnown || guess.SpreadKnown {
		t.Error("known and guessed spreads are mixed up")
	}
}

// On the US stations the temperature method with k = 0.16 was +0.3 ± 2.0 MJ off
// and Hargreaves' ET0 -0.3 ± 0.6 mm (METHODS of the reference, computed there).
func TestEstimatesAgainstStations(t *testing.T) {
	l := library(t)
	var bias, square, etBias, n float64
	for _, s := range l.stations {
		if s.place.Longitude.Degrees() > -60 || s.place.Latitude.Degrees() < 18 || s.months[0].Wind == nil {
			continue
		}
		c, _ := l.At(s.place, false)
		y := c.Fill()
		for _, m := range y.Months {
			d := m.Sun.FromTemperatures(m.High, m.Low, Inland).Megajoules() - m.Radiation.Megajoules()
			bias, square, n = bias+d, square+d*d, n+1
			etBias += m.Hargreaves.Millimetres() - m.Reference.ET0.Millimetres()
		}
	}
	if n < 70*12 {
		t.Fatalf("only %v months", n)
	}
	within(t, "bias of radiation", bias/n, 0.3, 0.3)
	within(t, "rms of radiation", math.Sqrt(square/n), 2.0, 0.3)
	within(t, "bias of Hargreaves", etBias/n, -0.3, 0.15)
}

func TestNearestStation(t *testing.T) {
	csv := func(rows string) Library {
		months := "station_id,month,tmax_c,tmin_c\n"
		for _, id := range []string{"a", "b", "c"} {
			for m := 1; m <= 12; m++ {
				months += id + "," + itoa(m) + ",20,10\n"
			}
		}
		l, faults := ReadFiles(File{"n.csv", []byte(months)}, File{"s.csv", []byte("station_id,name,lat_deg,lon_deg,elev_m\n" + rows)})
		if len(faults) > 0 {
			t.Fatal(faults)
		}
		return l
	}
	// a: 0.5° north (56 km), 300 m up = 86 km; b: 0.6° (67 km) at the same height
	l := csv("a,High,42.5,-76,400\nb,Level,42.6,-76,100\nc,Far,50,-76,100\n")
	c, faults := l.At(at(42, -76, 100), false)
	if len(faults) > 0 || c.Name != "Level" {
		t.Errorf("%s, %v", c.Name, faults)
	}
	within(t, "way, km", c.Away.Metres()/1000, 66.7, 0.3)
	// beyond 150 km: refused, unless far is said
	_, faults = l.At(at(46.5, -76, 100), false)
	if len(faults) != 1 || faults[0].ID != FaultFar || faults[0].Path != "site.climate[0]" {
		t.Errorf("%v", faults)
	}
	if c, faults = l.At(at(46.5, -76, 100), true); len(faults) > 0 || c.Name != "Far" {
		t.Errorf("%v %v", c.Name, faults)
	}
	if f := c.Fill().Findings; !has(f, FindFarStation) || !has(f, FindStation) {
		t.Errorf("%+v", f)
	}
	// a site 600 m above every station
	if _, faults = l.At(at(42.6, -76, 1000), false); len(faults) != 1 {
		t.Errorf("600 m below is taken: %v", faults)
	}
	// the minus sign forgotten
	if _, faults = l.At(at(42.6, 76, 100), false); len(faults) != 1 || faults[0].ID != FaultFar || faults[0].Args["Other"] == "" {
		t.Errorf("%v", faults)
	}
	// without a longitude
	if _, faults = l.At(Place{Latitude: 42 * unit.Degree}, false); len(faults) != 1 || faults[0].ID != FaultLongitude || faults[0].Path != "site.longitude" {
		t.Errorf("%v", faults)
	}
}

func itoa(m int) string { return string([]byte{byte('0' + m/10), byte('0' + m%10)}) }

func has(list []finding.Finding, id finding.ID) bool {
	for _, f := range list {
		if f.ID == id {
			return true
		}
	}
	return false
}

// The lay-out of a NOAA file; figures of station USW00094765, 1991-2020 (°F and
// inches as printed there for January to March, the rest from noaa_checks.csv).
func noaa() string {
	c := [12][3]float64{{-0.9, -12.6, 58}, {1.1, -11.7, 53}, {6.1, -6.3, 69}, {13.7, -0.1, 76}, {20.9, 6.5, 84}, {25.5, 11.3, 97},
		{28.2, 14.3, 101}, {27.3, 13.4, 92}, {22.7, 9.2, 87}, {15.4, 3.0, 102}, {8.2, -2.4, 76}, {1.9, -7.7, 72}}
	var b strings.Builder
	b.WriteString(`"STATION","DATE","LATITUDE","LONGITUDE","ELEVATION","NAME","MLY-PRCP-NORMAL","meas_flag_MLY-PRCP-NORMAL","MLY-TMAX-NORMAL","meas_flag_MLY-TMAX-NORMAL","comp_flag_MLY-TMAX-NORMAL","years_MLY-TMAX-NORMAL","MLY-TMIN-NORMAL","MLY-TMIN-STDDEV"` + "\n")
	for m, x := range c {
		f := func(v float64) string { return formatFixed(v) }
		b.WriteString(`"USW00094765","` + itoa(m+1) + `","  43.6264","  -72.3050"," 182.0","A STATION","  ` + f(x[2]/25.4) + `"," ","  ` + f(x[0]*1.8+32) + `"," ","S","30","  ` + f(x[1]*1.8+32) + `","  4.1"` + "\n")
	}
	return b.String()
}

func formatFixed(v float64) string { return strconv.FormatFloat(v, 'f', 4, 64) }

// noaa_checks.csv, rows leb-*: means to 0.1 °C and 1 mm, freeze dates of the
// annual normals 1991-2020 at 32 °F; the software is held to 6 days at 50 %.
func TestNOAAFile(t *testing.T) {
	l, faults := ReadFiles(File{"normals.csv", []byte(noaa())})
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	c, faults := l.At(at(43.7, -72.3, 200), false)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	within(t, "January tmax", c.Months[0].High.Celsius(), -0.9, 0.05)
	within(t, "July tmin", c.Months[6].Low.Celsius(), 14.3, 0.05)
	within(t, "October rain", c.Months[9].Rain.Millimetres(), 102, 0.5)
	within(t, "way, km", c.Away.Metres()/1000, 8.2, 0.2)
	y := c.Fill()
	f := y.Freezes(0)
	if f.SpreadKnown || !hasAssumed(y.Assumptions, AssumeSpread) {
		t.Error("the spread of a NOAA file is not known")
	}
	for _, d := range []struct {
		name       string
		got        DayOfYear
		month, day int
		tolerance  int
	}{{"last 50 %", f.Last50, 5, 9, 6}, {"first 50 %", f.First50, 10, 6, 6}, {"last 10 %", f.Last10, 5, 24, 11}, {"first 10 %", f.First10, 9, 23, 11},
		{"last 90 %", f.Last90, 4, 27, 11}, {"first 90 %", f.First90, 10, 19, 11}} {
		want := firstDay[d.month-1] + d.day
		if diff := int(d.got) - want; diff < -d.tolerance || diff > d.tolerance {
			m, day := d.got.Month()
			t.Errorf("%s: %d/%d, want %d/%d ± %d days", d.name, m, day, d.month, d.day, d.tolerance)
		}
	}
	if f.FreeDays50 < 148-10 || f.FreeDays50 > 148+10 {
		t.Errorf("%d freeze-free days, the normals say 148", f.FreeDays50)
	}
}

func hasAssumed(list []finding.Assumption, id finding.ID) bool {
	for _, a := range list {
		if a.ID == id {
			return true
		}
	}
	return false
}

func TestNOAAFileWithGaps(t *testing.T) {
	for _, c := range []struct {
		from, to string
		id       finding.ID
	}{
		{"  30.3800", "-9999", FaultNoFigure}, {`"08","`, `"07","`, FaultTwice}, {`"01","`, `"01-01","`, FaultMonth},
		{`"ELEVATION"`, `"HEIGHT"`, FaultColumns}, {"  30.3800", "warm", FaultNumber},
	} {
		text := strings.Replace(noaa(), c.from, c.to, 1)
		if text == noaa() {
			t.Fatalf("%q is not in the file", c.from)
		}
		_, faults := ReadFiles(File{"normals.csv", []byte(text)})
		if len(faults) == 0 || faults[0].ID != c.id || faults[0].File != "normals.csv" {
			t.Errorf("%q: %v", c.to, faults)
		}
	}
}

// Daily weather: one warm and one cold day a week make a known mean and spread.
func daily(years int) string {
	var b strings.Builder
	b.WriteString("Date, TMAX (F), TMIN (F), Rain in\n")
	for d := time.Date(2015, 1, 1, 0, 0, 0, 0, time.UTC); d.Year() < 2015+years; d = d.AddDate(0, 0, 1) {
		x := 68.0
		if d.Day()%2 == 0 {
			x = 86
		}
		b.WriteString(d.Format("2006-01-02") + "," + formatFixed(x) + "," + formatFixed(x-18) + ",0.1\n")
	}
	return b.String()
}

func TestDailyFile(t *testing.T) {
	l, faults := ReadFiles(File{"own.csv", []byte(daily(6))})
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	c, faults := l.At(at(42, -76, 250), false)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	within(t, "April tmax", c.Months[3].High.Celsius(), 25, 0.01)
	within(t, "April tmin", c.Months[3].Low.Celsius(), 15, 0.01)
	within(t, "April spread", float64(*c.Months[3].LowSpread), 5, 0.05)
	within(t, "April rain", c.Months[3].Rain.Millimetres(), 30*2.54, 0.01)
	y := c.Fill()
	if has(y.Findings, FindShort) || !y.SpreadKnown || len(y.Assumptions) != 3 {
		t.Errorf("%+v %+v", y.Findings, y.Assumptions)
	}
	l, _ = ReadFiles(File{"own.csv", []byte(daily(2))})
	if c, _ = l.At(at(42, -76, 250), false); !has(c.Fill().Findings, FindShort) {
		t.Error("two years are not called short")
	}
}

// Every quantity that a daily file may hold, in both unit systems.
func TestDailyFileUnits(t *testing.T) {
	file := func(head, row string) Climate {
		var b strings.Builder
		b.WriteString(head + "\n")
		for d := time.Date(2015, 1, 1, 0, 0, 0, 0, time.UTC); d.Year() < 2021; d = d.AddDate(0, 0, 1) {
			b.WriteString(d.Format("1/2/2006") + "," + row + "\n")
		}
		l, faults := ReadFiles(File{"own.csv", []byte(b.String())})
		if len(faults) > 0 {
			t.Fatal(faults)
		}
		c, faults := l.At(at(42, -76, 250), false)
		if len(faults) > 0 {
			t.Fatal(faults)
		}
		return c
	}
	us := file("Date,High F,Low F,Precip in,Solar kWh/m2,Dewpoint F,Wind mph", "68,50,0.1,2.5,46.4,4.4739")
	si := file("date,tmax_c,tmin_c,rain_mm,solar_mj_m2,dew_point_c,wind_m_s", "20,10,2.54,9,8,2")
	for i := range us.Months {
		a, b := us.Months[i], si.Months[i]
		for _, x := range [][2]float64{{float64(a.High), float64(b.High)}, {float64(a.Low), float64(b.Low)}, {float64(*a.Rain), float64(*b.Rain)},
			{float64(*a.Solar), float64(*b.Solar)}, {float64(*a.Dew), float64(*b.Dew)}, {float64(*a.Wind), float64(*b.Wind)}} {
			if math.Abs(x[0]-x[1]) > 1e-4*math.Abs(x[1]) {
				t.Errorf("month %d: %v and %v", i+1, x[0], x[1])
			}
		}
	}
	y := si.Fill()
	if y.Months[3].Basis != Measured || y.Error() != 0.08 || len(y.Assumptions) != 0 {
		t.Errorf("%+v %v", y.Assumptions, y.Error())
	}
}

func TestStationFileFaults(t *testing.T) {
	months := func(id string) string {
		var b strings.Builder
		b.WriteString("station_id,month,tmax_c,tmin_c\n")
		for m := 1; m <= 12; m++ {
			b.WriteString(id + "," + itoa(m) + ",20,10\n")
		}
		return b.String()
	}
	stations := "station_id,name,lat_deg,lon_deg,elev_m\na,A,42,-76,100\n"
	for _, c := range []struct {
		s, n string
		id   finding.ID
		at   string
	}{
		{stations + "a,A,42,-76,100\n", months("a"), FaultStation, "s.csv:3:1"},
		{stations, months("b"), FaultNoStation, "n.csv:2:1"},
		{stations, strings.Replace(months("a"), "a,05,20", "a,05,warm", 1), FaultNumber, "n.csv:6:6"},
		{stations, strings.Replace(months("a"), "a,05", "a,15", 1), FaultMonth, "n.csv:6:3"},
		{stations, strings.Replace(months("a"), "a,05", "a,04", 1), FaultTwice, "n.csv:6:3"},
		{stations, strings.Replace(months("a"), "a,05,20,", "a,05,,", 1), table.FaultBlank, "n.csv:6:6"},
		{strings.Replace(stations, "42,", "142,", 1), months("a"), table.FaultNumber, "s.csv:2:5"},
		{strings.Replace(stations, "elev_m", "height", 1), months("a"), FaultColumns, "s.csv:1:1"},
		{stations, "station_id,month,tmax\n", FaultColumns, "n.csv:1:1"},
		{"station_id,name,lat_deg,lon_deg,elev_m\n", months("a"), table.FaultEmpty, "s.csv:1:1"},
		{stations + ",B,42,-76,100\n", months("a"), table.FaultBlank, "s.csv:3:1"},
	} {
		_, faults := ReadFiles(File{"s.csv", []byte(c.s)}, File{"n.csv", []byte(c.n)})
		if len(faults) == 0 || faults[0].ID != c.id || !strings.HasPrefix(faults[0].Error(), c.at+":") {
			t.Errorf("want %s %s: %v", c.at, c.id, faults)
		}
	}
	if _, faults := ReadFiles(File{"s.csv", []byte(stations)}, File{"n.csv", []byte("station_id,month,tmax\n")}); faults[0].Args["Columns"] != "tmax_c, tmin_c" || faults[0].Args["Near"] != "tmax" {
		t.Errorf("%+v", faults)
	}
	for id, files := range map[finding.ID][]File{
		FaultNoNormals: {{"s.csv", []byte(stations)}}, FaultNoStations: {{"n.csv", []byte(months("a"))}}, FaultFiles: nil,
		FaultAlone: {{"a.csv", []byte(noaa())}, {"s.csv", []byte(stations)}},
	} {
		if _, faults := ReadFiles(files...); len(faults) != 1 || faults[0].ID != id || id != FaultAlone && faults[0].Path != "site.climate[0]" {
			t.Errorf("want %s: %v", id, faults)
		}
	}
	// °F in a file that says °C, found by the extremes of the planet
	l, _ := ReadFiles(File{"s.csv", []byte(stations)}, File{"n.csv", []byte(strings.ReplaceAll(months("a"), ",20,10", ",80,60"))})
	if _, faults := l.At(at(42, -76, 100), false); len(faults) != 1 || faults[0].Right != rightFahrenheit || !strings.HasPrefix(faults[0].Error(), "n.csv:2:6:") {
		t.Errorf("%v", faults)
	}
}

// Of a file that is wrong in every row no more is told than anybody reads.
func TestManyFaults(t *testing.T) {
	_, faults := ReadFiles(File{"big.csv", []byte("date,tmax_c,tmin_c\n" + strings.Repeat("x\n", 1000))})
	if len(faults) < mostFaults || len(faults) > mostFaults+1 {
		t.Errorf("%d faults", len(faults))
	}
}

func TestDailyFileFaults(t *testing.T) {
	for in, id := range map[string]finding.ID{
		"date,tmax,tmin\n2027-01-01,5,1\n":         FaultUnit,
		"date,tmax_c,tmin_c\n2027-13-01,5,1\n":     FaultDate,
		"date,tmax_c,tmin_c\n2027-01-01,1,5\n":     FaultSwapped,
		"date,tmax_c,tmin_c\n2027-01-01,x,5\n":     FaultNumber,
		"":                                         table.FaultEmpty,
		"a,b,c\n1,2,3\n":                           FaultHead,
		"date;tmax_c;tmin_c\n2027-01-01;5,5;1,2\n": "",
		"\"date,tmax_c":                            table.FaultFile,
	} {
		_, faults := ReadFiles(File{"own.csv", []byte(in)})
		if id == "" && faults == nil {
			continue
		}
		if len(faults) == 0 || faults[0].ID != id || faults[0].File != "own.csv" || faults[0].Line < 1 || faults[0].Column < 1 {
			t.Errorf("%q: %v, want %s", in, faults, id)
		}
	}
	l, _ := ReadFiles(File{"own.csv", []byte("date,tmax_c,tmin_c\n2027-01-01,5,1\n")})
	if _, faults := l.At(at(42, -76, 0), false); len(faults) != 1 || faults[0].ID != FaultMissing || faults[0].Args["Months"] != "1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12" {
		t.Errorf("%v", faults)
	}
}

func months(change func(m int, x *Month)) []Numbered {
	var out []Numbered
	for m := 1; m <= 12; m++ {
		swing := 12 * math.Cos(2*math.Pi*float64(m-7)/12)
		x := Month{High: unit.Temperature(15 + swing), Low: unit.Temperature(5 + swing)}
		if change != nil {
			change(m, &x)
		}
		out = append(out, Numbered{m, x})
	}
	return out
}

func TestTypedMonths(t *testing.T) {
	p := at(42.4, -76.5, 250)
	c, faults := FromMonths(p, months(nil))
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	y := c.Fill()
	for _, id := range []finding.ID{AssumeSolar, AssumeDew, AssumeWind, AssumeSpread} {
		if !hasAssumed(y.Assumptions, id) {
			t.Errorf("%s is not listed", id)
		}
	}
	if y.Error() != 0.13 {
		t.Errorf("error %v", y.Error())
	}
	for _, w := range []struct {
		name   string
		months []Numbered
		id     finding.ID
		path   finding.Path
	}{
		{"a month short", months(nil)[:11], FaultMissing, "site.months"},
		{"a month twice", append(months(nil), months(nil)[3]), FaultTwice, "site.months[12].month"},
		{"no such month", append(months(nil), Numbered{13, Month{}}), FaultMonth, "site.months[12].month"},
		{"swapped", months(func(_ int, x *Month) { x.High, x.Low = x.Low, x.High }), FaultSwappedMost, "site.months[0].tmax"},
		{"one swapped", months(func(m int, x *Month) {
			if m == 5 {
				x.High, x.Low = x.Low, x.High
			}
		}), FaultSwapped, "site.months[4].tmax"},
		{"in another order", slices.Concat(months(func(m int, x *Month) {
			if m == 5 {
				x.High, x.Low = x.Low, x.High
			}
		})[4:], months(nil)[:4]), FaultSwapped, "site.months[0].tmax"},
		{"°F as °C", months(func(_ int, x *Month) { x.High, x.Low = x.High*1.8+32, x.Low*1.8+32 }), FaultHot, "site.months[6].tmax"},
		{"not a number", months(func(_ int, x *Month) { x.Low = unit.Temperature(math.NaN()) }), FaultTemperature, "site.months[0].tmin"},
		{"records", months(func(_ int, x *Month) { x.Low = x.High - 36 }), FaultApart, "site.months[0].tmin"},
		{"solar of a month", months(func(m int, x *Month) { x.Solar = new(300 * unit.MegajoulePerSquareMetre) }), FaultBright, "site.months[0].solar"},
		{"solar of none", months(func(m int, x *Month) { x.Solar = new(0.1 * unit.MegajoulePerSquareMetre) }), FaultDark, "site.months[0].solar"},
		{"sunshine of a month", months(func(m int, x *Month) { x.Sunshine = new(120 * unit.Hour) }), FaultSunshine, "site.months[0].sunshine"},
		{"dew", months(func(m int, x *Month) { x.Dew = new(x.High + 9) }), FaultDew, "site.months[0].dewpoint"},
		{"wind", months(func(m int, x *Month) { x.Wind = new(unit.Speed(90)) }), finding.FaultRange, "site.months[0].wind"},
		{"spread", months(func(m int, x *Month) { x.LowSpread = new(unit.TemperatureStep(30)) }), finding.FaultRange, "site.months[0].tmin sd"},
		{"rain", months(func(m int, x *Month) { x.Rain = new(-1 * unit.Millimetre) }), finding.FaultRange, "site.months[0].rain"},
	} {
		_, faults := FromMonths(p, w.months)
		if len(faults) == 0 || faults[0].ID != w.id || faults[0].Path != w.path {
			t.Errorf("%s: %v, want %s at %s", w.name, faults, w.id, w.path)
		}
	}
	if _, faults := FromMonths(at(142, 0, 0), months(nil)); len(faults) != 1 || faults[0].Path != "site.latitude" {
		t.Errorf("%v", faults)
	}
}

// FAO-56 eq 48: without a dew point the minimum stands in, 2 °C less where it is dry.
func TestDewOfDryPlaces(t *testing.T) {
	for _, c := range []struct{ rain, below float64 }{{10, 2}, {80, 0}} {
		clim, _ := FromMonths(at(33, -112, 300), months(func(_ int, x *Month) { x.Rain = new(unit.Length(c.rain) * unit.Millimetre) }))
		y := clim.Fill()
		for _, m := range y.Months {
			within(t, "dew", float64(m.Low-m.Dew), c.below, 1e-9)
		}
		if !hasAssumed(y.Assumptions, AssumeDew) {
			t.Error("the dew point is not listed")
		}
		if clim.Months[0].Dew != nil {
			t.Error("Fill changed the climate")
		}
	}
}

func TestAtSea(t *testing.T) {
	for _, c := range []struct {
		lat, lon float64
		sea      bool
	}{{0, 0, true}, {40, -40, true}, {30, -140, true}, {-40, -120, true}, {0, -140, true}, {42.4, -76.5, false}, {64, -20, false}, {20, -157, false}, {88, 10, true}, {-88, 0, false}, {40, 320, true}} {
		if got := AtSea(unit.Angle(c.lat)*unit.Degree, unit.Angle(c.lon)*unit.Degree); got != c.sea {
			t.Errorf("%v, %v: at sea %v", c.lat, c.lon, got)
		}
	}
	// no station of the reference lies in the sea
	for _, s := range library(t).stations {
		if AtSea(s.place.Latitude, *s.place.Longitude) {
			t.Errorf("%s is said to lie at sea", s.id)
		}
	}
	c, _ := FromMonths(at(0, -140, 0), months(nil))
	if y := c.Fill(); !has(y.Findings, FindAtSea) || y.Months[0].Light <= 0 {
		t.Error("a place at sea is a caution, and computed all the same")
	}
}

func TestFreezesTheWorldOver(t *testing.T) {
	north, _ := FromMonths(at(42, -76, 250), months(nil))
	south, _ := FromMonths(at(-42, 76, 250), months(func(m int, x *Month) {
		swing := 12 * math.Cos(2*math.Pi*float64(m-1)/12)
		x.High, x.Low = unit.Temperature(15+swing), unit.Temperature(5+swing)
	}))
	yn, ys := north.Fill(), south.Fill()
	a, b := yn.Freezes(0), ys.Freezes(0)
	if a.Always || a.Never || a.Last10 < a.Last50 || a.Last50 < a.Last90 || a.First10 > a.First50 || a.First50 > a.First90 {
		t.Errorf("north: %+v", a)
	}
	if d := int(b.Last50) - int(a.Last50); d < 178 || d > 187 {
		t.Errorf("the south's last freeze is %d days after the north's: %+v %+v", d, a, b)
	}
	warm, _ := FromMonths(at(10, 0, 0), months(func(_ int, x *Month) { x.High, x.Low = 31, 23 }))
	yw := warm.Fill()
	if f := yw.Freezes(0); !f.Never || f.FreeDays50 != 365 {
		t.Errorf("tropics: %+v", f)
	}
	cold, _ := FromMonths(at(89, 0, 0), months(func(_ int, x *Month) { x.High, x.Low = -10, -20 }))
	yc := cold.Fill()
	if f := yc.Freezes(0); !f.Always || f.FreeDays50 != 0 {
		t.Errorf("pole: %+v", f)
	}
	if !has(yc.Findings, FindPolar) {
		t.Error("the pole is not said")
	}
	freeze := yn.FreezeTable(0)
	// the chance of a span agrees with the dates: from the last 50 % date on it is about half
	if p := freeze.Chance(a.Last50, 213-int(a.Last50)); p < 0.5 || p > 0.6 {
		t.Errorf("chance %v after the 50 %% date", p)
	}
	if p := freeze.Chance(360, 20); p < 0.99 {
		t.Errorf("chance %v over the New Year", p)
	}
}

func TestDayOfYear(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := DayOfYear(rapid.IntRange(1, 365).Draw(t, "day"))
		year := rapid.IntRange(1900, 2100).Draw(t, "year")
		if back := DayOf(d.In(year)); back != d {
			t.Fatalf("%d in %d reads back as %d", d, year, back)
		}
	})
	if DayOf(time.Date(2028, 2, 29, 0, 0, 0, 0, time.UTC)) != 59 || DayOf(time.Date(2028, 3, 1, 0, 0, 0, 0, time.UTC)) != 60 || DayOf(time.Time{}) != 0 {
		t.Error("leap day")
	}
}

func TestYearDaysKeepTheMonths(t *testing.T) {
	c, _ := FromMonths(at(69, 20, 10), months(nil))
	y := c.Fill()
	for m := 1; m <= 12; m++ {
		sum, high := 0.0, 0.0
		for d := firstDay[m-1] + 1; d <= firstDay[m]; d++ {
			x := y.Day(DayOfYear(d))
			sum, high = sum+x.Radiation.Megajoules(), high+x.High.Celsius()
			if x.Radiation < 0 {
				t.Fatalf("day %d: %v", d, x)
			}
		}
		n := float64(DaysIn(m))
		within(t, "radiation", sum/n, y.Months[m-1].Radiation.Megajoules(), 1e-6)
		within(t, "high", high/n, y.Months[m-1].High.Celsius(), 1e-9)
	}
}

func FuzzReadFiles(f *testing.F) {
	f.Add("station_id,name,lat_deg,lon_deg,elev_m\na,b,1,2,3\n", "station_id,month,tmax_c,tmin_c\na,1,5,1\n")
	f.Add(noaa(), "")
	f.Add("date,tmax_c,tmin_c\n2027-01-01,5,1\n", "")
	f.Add("\ufeffdate;tmax_f;tmin_f\n1/1/2027;5,5;1\n", "x")
	f.Fuzz(func(t *testing.T, a, b string) {
		files := []File{{"a", []byte(a)}}
		if b != "" {
			files = append(files, File{"b", []byte(b)})
		}
		l, faults := ReadFiles(files...)
		if len(faults) > 0 {
			for _, x := range faults {
				if x.ID == "" || x.Path == "" && (x.Line < 1 || x.Column < 1) {
					t.Errorf("a fault without a place: %v", x)
				}
			}
			return
		}
		c, faults := l.At(at(42, -76, 100), true)
		if len(faults) > 0 {
			return
		}
		y := c.Fill()
		for _, m := range y.Months {
			if e := float64(m.Reference.ET0); math.IsNaN(e) || math.IsInf(e, 0) || e < 0 {
				t.Fatalf("ET0 %v", e)
			}
		}
		y.Freezes(0)
	})
}

// FuzzTable is the small one: one table of a climate, read and no more.
func FuzzTable(f *testing.F) {
	for _, s := range []string{"station_id,name,lat_deg,lon_deg,elev_m\na,b,1,2,3\n", "station_id,month,tmax_c,tmin_c\na,1,5,1\n", "date,tmax_c,tmin_c\n2027-01-01,5,1\n", "\ufeffdate;tmax_f;tmin_f\n1/1/2027;5,5;1\n", "a,\"b"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		_, faults := ReadFiles(File{"a", []byte(s)})
		for _, x := range faults {
			if x.ID == "" || x.Path == "" && (x.Line < 1 || x.Column < 1) {
				t.Errorf("a fault without a place: %v", x)
			}
		}
	})
}

func BenchmarkReadFiles(b *testing.B) {
	stations, err := os.ReadFile("../../shared/reference/climate/climate_stations.csv")
	if err != nil {
		b.Skip("reference data is not here")
	}
	normals, _ := os.ReadFile("../../shared/reference/climate/climate_normals.csv")
	for b.Loop() {
		ReadFiles(File{"s", stations}, File{"n", normals})
	}
}

func BenchmarkFill(b *testing.B) {
	c, _ := FromMonths(at(42.4, -76.5, 250), months(nil))
	for b.Loop() {
		c.Fill()
	}
}

// A cloudless sky sends (0.75 + 2e-5 z) Ra (FAO-56 eq 37). What is given above it
// is not used in silence, and a 0 that stands for no figure is not taken for a
// month without light.
func TestRadiationThatCannotBe(t *testing.T) {
	sun := SunOn(42*unit.Degree, MidMonth(6))
	given := func(share float64) (Climate, finding.Faults) {
		return FromMonths(at(42, 0, 100), months(func(m int, x *Month) {
			if m == 6 {
				x.Solar = new(sun.Ra * unit.DailyRadiation(share))
			}
		}))
	}
	for _, c := range []struct {
		share         float64
		fault, bright bool
	}{{0, true, false}, {0.019, true, false}, {0.021, false, false}, {0.05, false, false}, {0.75, false, false}, {0.80, false, true}, {0.99, false, true}, {1.1, true, false}} {
		climate, faults := given(c.share)
		if (len(faults) > 0) != c.fault {
			t.Errorf("share %v: %v", c.share, faults)
		}
		if c.fault {
			continue
		}
		y := climate.Fill()
		if has(y.Findings, FindBright) != c.bright {
			t.Errorf("share %v: told too bright %v", c.share, !c.bright)
		}
		if y.Months[5].Radiation > ClearSky(sun.Ra, 100*unit.Metre)*(1+1e-12) {
			t.Errorf("share %v: %v used", c.share, y.Months[5].Radiation)
		}
	}
	dark, faults := FromMonths(at(78, 0, 0), months(func(m int, x *Month) { x.Solar = new(SunOn(78*unit.Degree, MidMonth(m)).Ra / 2) }))
	if len(faults) > 0 || has(dark.Fill().Findings, FindBright) {
		t.Errorf("polar night: %v", faults)
	}
}
