package main

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	ics "github.com/arran4/golang-ical"
)

// normalsFile writes a monthly-normals file of one station as the archive lays it
// out: quoted, padded with blanks, °F and inches. The figures are those of station
// USW00094765 in noaa_checks.csv (NOAA 1991-2020).
func normalsFile(t *testing.T, change func(string) string) string {
	t.Helper()
	var b strings.Builder
	b.WriteString(`"STATION","DATE","LATITUDE","LONGITUDE","ELEVATION","NAME","MLY-PRCP-NORMAL","meas_flag_MLY-PRCP-NORMAL","comp_flag_MLY-PRCP-NORMAL","years_MLY-PRCP-NORMAL","MLY-TMAX-NORMAL","meas_flag_MLY-TMAX-NORMAL","comp_flag_MLY-TMAX-NORMAL","MLY-TMIN-NORMAL"` + "\n")
	for _, row := range reference(t, "climate/noaa_checks.csv") {
		var month int
		if n, _ := fmt.Sscanf(row["inputs"], "month=%d", &month); n != 1 || !strings.HasPrefix(row["check"], "leb-m") {
			continue
		}
		var hi, lo, rain float64
		if n, _ := fmt.Sscanf(strings.ReplaceAll(row["value"], ";", " "), "%g %g %g", &hi, &lo, &rain); n < 3 {
			t.Fatalf("%s reads %q", row["check"], row["value"])
		}
		fmt.Fprintf(&b, "\"USW00094765\",\"%02d\",\"   43.6264\",\"  -72.3050\",\"  182.0\",\"A STATION\",\"  %7.2f\",\" \",\"S\",\"30\",\"  %7.2f\",\" \",\"S\",\"  %7.2f\"\n",
			month, rain/25.4, hi*1.8+32, lo*1.8+32)
	}
	text := b.String()
	if strings.Count(text, "\n") != 13 {
		t.Fatalf("the reference has not twelve months of the station:\n%s", text)
	}
	if change != nil {
		text = change(text)
	}
	dir := t.TempDir()
	write(t, dir, "normals.csv", text)
	return filepath.Join(dir, "normals.csv")
}

// A normals file through the program: the means to 0.1 °C, the freeze dates of the
// annual normals at 32 °F within 6 days at 50 % (METHODS section 9; NOAA 1991-2020:
// 9 May and 6 October).
func TestNormalsFile(t *testing.T) {
	file := normalsFile(t, nil)
	d := ask(t, fmt.Sprintf("site: {latitude: 43.7, longitude: -72.3, elevation: 200 m, climate: ['%s']}\n", file), "season")
	for _, row := range reference(t, "climate/noaa_checks.csv") {
		var month int
		var hi, lo float64
		if n, _ := fmt.Sscanf(row["inputs"], "month=%d", &month); n != 1 || !strings.HasPrefix(row["check"], "leb-m") {
			continue
		}
		if _, err := fmt.Sscanf(strings.ReplaceAll(row["value"], ";", " "), "%g %g", &hi, &lo); err != nil {
			t.Fatal(err)
		}
		if got := d.number(t, fmt.Sprintf("months.%d.air_C", month-1)); math.Abs(got-(hi+lo)/2) > 0.05 {
			t.Errorf("month %d: %.2f C, not %.2f", month, got, (hi+lo)/2)
		}
	}
	for key, want := range map[string]string{"last_50_percent": "05-09", "first_50_percent": "10-06"} {
		got, _ := d.at("freezes.0." + key)
		if n := daysApart(t, got.(string), want); n > 6 {
			t.Errorf("%s is %v, the normals say %s", key, got, want)
		}
	}
	if got, _ := d.at("place.origin"); got != "normals" {
		t.Errorf("the place is from %v", got)
	}
	if away := d.number(t, "place.away_km"); math.Abs(away-8.2) > 0.3 {
		t.Errorf("%v km away", away)
	}
	for _, id := range []string{"sky.station", "sky.spread", "sky.solar_from_temperature", "sky.dew_from_tmin", "sky.wind_unknown"} {
		if !d.tells(t, id) {
			t.Errorf("%s is not told", id)
		}
	}
	// without a longitude it is at least as far as the latitudes are apart
	far := tell(fmt.Sprintf("site: {latitude: 40, climate: ['%s']}\n", file), "season", "-")
	if far.code != exitFaults || !strings.Contains(far.err, "251 mi away") {
		t.Errorf("exit %d: %s", far.code, far.err)
	}
}

func daysApart(t *testing.T, a, b string) int {
	t.Helper()
	x, err := time.Parse("01-02", a)
	if err != nil {
		t.Fatal(err)
	}
	y, err := time.Parse("01-02", b)
	if err != nil {
		t.Fatal(err)
	}
	return int(math.Abs(x.Sub(y).Hours()) / 24)
}

// tells says whether a document holds a finding or an assumption.
func (d document) tells(t *testing.T, id string) bool {
	t.Helper()
	for _, list := range []string{"findings", "assumptions"} {
		for _, x := range d.list(t, list) {
			if x.(map[string]any)["id"] == id {
				return true
			}
		}
	}
	return false
}

// dailyFile writes three years of days that swing by a cosine.
func dailyFile(t *testing.T, change func([]string)) string {
	t.Helper()
	rows := []string{"date,tmax_f,tmin_f,rain_in"}
	for day := time.Date(2019, 1, 1, 0, 0, 0, 0, time.UTC); day.Year() < 2025; day = day.AddDate(0, 0, 1) {
		mean := 12 - 10*math.Cos(2*math.Pi*float64(day.YearDay()-20)/365) + 3*math.Sin(float64(day.YearDay()))
		rows = append(rows, fmt.Sprintf("%s,%.1f,%.1f,0.1", day.Format("2006-01-02"), (mean+6)*1.8+32, (mean-6)*1.8+32))
	}
	if change != nil {
		change(rows)
	}
	dir := t.TempDir()
	write(t, dir, "own.csv", strings.Join(rows, "\n")+"\n")
	return filepath.Join(dir, "own.csv")
}

func TestDailyWeather(t *testing.T) {
	d := ask(t, fmt.Sprintf("site: {latitude: 42, elevation: 100 m, climate: ['%s']}\n", dailyFile(t, nil)), "season")
	if july := d.number(t, "months.6.air_C"); math.Abs(july-22) > 0.6 {
		t.Errorf("July averages %v C", july)
	}
	if d.tells(t, "sky.spread") || d.tells(t, "sky.elevation") || !d.tells(t, "sky.wind_unknown") {
		t.Error("what is known from days is assumed, or what is not is not")
	}
}

// Every mistake in a climate is said with its file, line and column; standard
// output stays empty.
func TestClimateFaults(t *testing.T) {
	bad := dailyFile(t, func(rows []string) {
		rows[40] = "2019-02-09,31,xx,0"
		rows[50] = "2019-13-45,31,20,0"
		rows[60] = "2019-03-01,20,31,0"
	})
	missing := normalsFile(t, func(s string) string { return strings.Replace(s, `"07"`, `"06"`, 1) })
	stations, normals := referencePath(t, "climate/climate_stations.csv"), referencePath(t, "climate/climate_normals.csv")
	dir := t.TempDir()
	write(t, dir, "s.csv", "station_id,name,lat_deg,lon_deg,elev_m,years\nA,A Hill,42,-76,250,30\n")
	rows := "station_id,month,tmax_c,tmin_c\n"
	for m := 1; m <= 12; m++ {
		if m == 4 {
			rows += "A,4,2,12\n"
			continue
		}
		rows += fmt.Sprintf("A,%d,12,2\n", m)
	}
	write(t, dir, "n.csv", rows)
	months := func(each func(m int) string) string {
		out := "site:\n  latitude: 42\n  months:\n"
		for m := 1; m <= 12; m++ {
			out += fmt.Sprintf("    - {month: %d, %s}\n", m, each(m))
		}
		return out
	}
	for name, c := range map[string]struct {
		brief string
		says  []string
	}{
		"row":        {fmt.Sprintf("site: {latitude: 42, longitude: -76, climate: ['%s/s.csv', '%s/n.csv']}\n", dir, dir), []string{"n.csv:5:5: ", "look swapped"}},
		"daily":      {fmt.Sprintf("site: {latitude: 42, climate: ['%s']}\n", bad), []string{"own.csv:41:15: ", "own.csv:51:1: ", "own.csv:61:12: the high, 20 °F"}},
		"month lost": {fmt.Sprintf("site: {latitude: 43.7, climate: ['%s']}\n", missing), []string{"normals.csv:8:", "stands twice"}},
		"swapped":    {months(func(int) string { return "tmax: 5 C, tmin: 15 C" }), []string{"-:4:24: ", "-:15:", "swap them"}},
		"fahrenheit": {months(func(m int) string { return fmt.Sprintf("tmax: %d C, tmin: 40 C", 60+m) }), []string{"-:4:24: ", "degrees Fahrenheit"}},
		"hot":        {months(func(m int) string { return "tmax: 53 C, tmin: 33 C" }), []string{"-:4:24: ", "°F typed as °C", "53 F"}},
		"bare":       {months(func(int) string { return "tmax: 15, tmin: 5 C" }), []string{"-:4:24: ", "has no unit"}},
		"nine":       {strings.Join(strings.SplitAfter(months(func(int) string { return "tmax: 15 C, tmin: 5 C" }), "\n")[:12], ""), []string{"9 months"}},
		"sunny":      {months(func(int) string { return "tmax: 15 C, tmin: 5 C, solar: 45 MJ/m2" }), []string{"more than the sun sends"}},
		"pole":       {"site: {latitude: 91, months: []}\n", []string{"-:1:18: ", "90"}},
		"at sea":     {fmt.Sprintf("site: {latitude: 40, longitude: -45, climate: ['%s', '%s']}\n", stations, normals), []string{"-:1:", "777 mi away", "open sea"}},
		"wrong sign": {fmt.Sprintf("site: {latitude: 42.4, longitude: 76.5, elevation: 250 m, climate: ['%s', '%s']}\n", stations, normals), []string{"1,469 mi away", "ft below", "other sign"}},
		"too high":   {fmt.Sprintf("site: {latitude: 42.4, longitude: -76.5, elevation: 1800 m, climate: ['%s', '%s']}\n", stations, normals), []string{"4,954 ft below the site", "far climate: yes"}},
		"no file":    {"site: {latitude: 42, climate: [nowhere.csv]}\n", []string{"-:1:32: ", "nowhere.csv"}},
	} {
		got := tell(c.brief, "season", "-", "--json")
		if got.code != exitFaults || got.out != "" {
			t.Errorf("%s: exit %d, output %q", name, got.code, got.out)
		}
		for _, s := range c.says {
			if !strings.Contains(got.err, s) {
				t.Errorf("%s: %q is not in %s", name, s, got.err)
			}
		}
	}
}

// Odd places are computed all the same.
func TestOddPlaces(t *testing.T) {
	temperate := "tmax: 18 C, tmin: 8 C"
	for name, c := range map[string]struct {
		brief string
		tells string // "" nothing of its own
	}{
		"north pole":    {sameMonths(90, 0, "tmax: -5 C, tmin: -15 C", nil), "sky.polar"},
		"south pole":    {sameMonths(-90, 2800, "tmax: -25 C, tmin: -35 C", nil), "sky.polar"},
		"equator":       {sameMonths(0, 0, temperate, nil), ""},
		"south":         {sameMonths(-42, 0, temperate, nil), ""},
		"sea":           {strings.Replace(sameMonths(40, 0, temperate, nil), "  latitude: 40\n", "  latitude: 40\n  longitude: -45\n", 1), "sky.at_sea"},
		"mountain":      {sameMonths(-16, 4000, temperate, nil), ""},
		"below the sea": {sameMonths(31, -420, temperate, nil), ""},
	} {
		d := ask(t, c.brief, "season")
		if c.tells != "" && !d.tells(t, c.tells) {
			t.Errorf("%s: %s is not told", name, c.tells)
		}
		for i := range 12 {
			for _, key := range []string{"ra_MJ_m2_day", "daylight_h", "et0_mm_day", "dli_mol_m2_day", "pool_C", "oxygen_mg_L", "water_L_day"} {
				if x := d.number(t, fmt.Sprintf("months.%d.%s", i, key)); math.IsNaN(x) || x < 0 || x > 1000 {
					t.Errorf("%s, month %d: %s is %v", name, i+1, key, x)
				}
			}
		}
		if n := len(d.list(t, "windows")); n < 25 {
			t.Errorf("%s: %d windows of 25 crops", name, n)
		}
		if n := len(d.list(t, "weeks")); n != 25 {
			t.Errorf("%s: weeks of %d crops", name, n)
		}
	}
}

// Far from its station a place is used only on the grower's word, and that is said.
func TestFarClimate(t *testing.T) {
	stations, normals := referencePath(t, "climate/climate_stations.csv"), referencePath(t, "climate/climate_normals.csv")
	d := ask(t, fmt.Sprintf("site: {latitude: 42.4, longitude: -76.5, elevation: 1800 m, far climate: yes, climate: ['%s', '%s']}\n", stations, normals), "season")
	if !d.tells(t, "sky.far_station") || !d.tells(t, "sky.station") || math.Abs(d.number(t, "place.station_above_m")+1510) > 1 {
		t.Error("the far station is not told")
	}
}

// A season over New Year and a leap day: the dates go on, and no day is lost.
func TestSeasonOverNewYear(t *testing.T) {
	south := sameMonths(-34, 6, "tmax: 22 C, tmin: 12 C", nil)
	d := ask(t, south+"schedule: {heads per week: 3, first harvest: 2027-11-16, last harvest: 2028-03-28}\n", "season")
	list := d.list(t, "batches")
	if len(list) != 20 {
		t.Fatalf("%d harvests in 20 weeks", len(list))
	}
	for i, x := range list {
		b := x.(map[string]any)
		want := time.Date(2027, 11, 16, 0, 0, 0, 0, time.UTC).AddDate(0, 0, 7*i).Format("2006-01-02")
		if b["harvest"] != want {
			t.Errorf("harvest %d on %v, not %s", i+1, b["harvest"], want)
		}
	}
	leap := ask(t, sameMonths(34, 6, "tmax: 22 C, tmin: 12 C", nil)+"schedule: {heads per week: 3, first harvest: 2028-02-29, last harvest: 2028-03-14}\n", "season")
	if got, _ := leap.at("batches.0.harvest"); got != "2028-02-29" || len(leap.list(t, "batches")) != 3 {
		t.Errorf("the leap day gives %v", got)
	}
	long := tell(sameMonths(34, 6, "tmax: 22 C, tmin: 12 C", nil)+"schedule: {heads per week: 3, first harvest: 2027-01-05, last harvest: 2035-01-05}\n", "season", "-")
	if long.code != exitFaults || !strings.Contains(long.err, "more than three years") {
		t.Errorf("eight years: exit %d, %s", long.code, long.err)
	}
	three := ask(t, sameMonths(34, 6, "tmax: 22 C, tmin: 12 C", nil)+"schedule: {heads per week: 3, first harvest: 2027-01-05, last harvest: 2030-01-05}\n", "season")
	if n := len(three.list(t, "batches")); n < 155 || n > 158 {
		t.Errorf("%d harvests in three years of weeks", n)
	}
}

// The calendar holds the tasks of the JSON, each an all-day event of one day, in
// the form of RFC 5545: lines end with CRLF and are folded at 75 octets (3.1), a
// date end is exclusive (3.6.1), names and stamps stand once for each (3.8.4.7,
// 3.8.7.2). It is read back with the library.
func TestCalendarFile(t *testing.T) {
	dir := t.TempDir()
	brief := "title: A bed, with a long name; and signs\n" + sameMonths(42, 100, "tmax: 22 C, tmin: 12 C", nil) +
		"schedule: {heads per week: 4, first harvest: 2027-12-14, last harvest: 2028-03-07, breaks: [{from: 2027-12-20, to: 2028-01-02}]}\n"
	file := filepath.Join(dir, "tasks.ics")
	if got := tell(brief, "season", "-", "--ics", file, "--json"); got.code != exitDone {
		t.Fatal(got.err)
	}
	raw, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	text := string(raw)
	if strings.Count(text, "\n") != strings.Count(text, "\r\n") || !strings.HasSuffix(text, "END:VCALENDAR\r\n") {
		t.Error("a line does not end with CRLF")
	}
	for _, line := range strings.Split(text, "\r\n") {
		if len(line) > 75 {
			t.Errorf("%d octets: %s", len(line), line)
		}
	}
	cal, err := ics.ParseCalendar(strings.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	tasks := ask(t, brief, "season").list(t, "tasks")
	events := cal.Events()
	if len(events) != len(tasks) || len(tasks) < 40 {
		t.Fatalf("%d events for %d tasks", len(events), len(tasks))
	}
	seen := map[string]bool{}
	for i, e := range events {
		task := tasks[i].(map[string]any)
		start, err := e.GetAllDayStartAt()
		if err != nil {
			t.Fatal(err)
		}
		end, err := e.GetAllDayEndAt()
		if err != nil {
			t.Fatal(err)
		}
		if start.Format("2006-01-02") != task["day"] || end.Sub(start) != 24*time.Hour {
			t.Errorf("event %d runs from %v to %v, the task is on %v", i, start, end, task["day"])
		}
		if got := e.GetProperty(ics.ComponentPropertySummary).Value; got != task["text"] {
			t.Errorf("event %d says %q, the task %q", i, got, task["text"])
		}
		if id := e.Id(); seen[id] || id == "" {
			t.Errorf("the name %q stands twice", id)
		} else {
			seen[id] = true
		}
		if e.GetProperty(ics.ComponentPropertyDtstamp) == nil {
			t.Errorf("event %d has no stamp", i)
		}
	}
	other := filepath.Join(dir, "other.ics")
	if got := tell(strings.Replace(brief, "A bed", "Another bed", 1), "season", "-", "--ics", other); got.code != exitDone {
		t.Fatal(got.err)
	}
	second, err := os.ReadFile(other)
	if err != nil {
		t.Fatal(err)
	}
	for id := range seen {
		if strings.Contains(string(second), id) {
			t.Errorf("two beds share the name %s", id)
		}
	}
}

// Lamps, a heater and ice of a brief: their energy and what it costs. By hand:
// 16 hours of 200 micromoles are 11.52 mol (definition); at 2.5 micromoles a joule
// a square metre takes 11.52/2.5e-6 J a day; the heater's energy is its power
// times the hours of the days with plants.
func TestLampsAndHeaterOfABrief(t *testing.T) {
	brief := "units: metric\n" + strings.Replace(sameMonths(52, 10, "tmax: 14 C, tmin: 6 C, solar: 3 MJ/m2", nil), "site:\n", "site:\n  lamp: {level: 200 umol/m2/s}\n", 1) +
		"bed: {length: 97 in, width: 49 in, depth: 6 in, heat to: 18 C}\nprices: {currency: EUR, items: {electricity: 0.30 EUR}}\n"
	d := ask(t, brief, "season")
	area := (97 * 0.0254) * (49 * 0.0254)
	if on := d.number(t, "months.0.lamps_h_day"); on <= 0 || on > 16 {
		t.Fatalf("lamps burn %v h", on)
	}
	found := false
	for i := range 12 {
		at := fmt.Sprintf("warmth.months.%d.", i)
		on, kwh := d.number(t, at+"lamps_h_day"), d.number(t, at+"lamps_kWh")
		if light := d.number(t, at+"lamps_mol_m2_day"); math.Abs(light-200*on*0.0036) > 1e-9 {
			t.Errorf("month %d: %v mol in %v h", i+1, light, on)
		}
		days := []float64{31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31}[i]
		most := 200 * on * 0.0036 * area / 2.5e-6 / 3.6e6 * days
		if kwh > most*1.001 {
			t.Errorf("month %d: lamps take %v kWh of at most %v", i+1, kwh, most)
		}
		if math.Abs(kwh-most) < 1e-6*most && kwh > 0 {
			found = true // a month with plants on all its days
		}
		if c := d.number(t, at+"lamps_cost"); math.Abs(c-0.30*kwh) > 1e-8 { // money is kept to that
			t.Errorf("month %d: %v for %v kWh", i+1, c, kwh)
		}
		if w := d.number(t, at+"heater_W"); w*24*days/1000 < d.number(t, at+"heater_kWh")-1e-9 {
			t.Errorf("month %d: a heater of %v W takes %v kWh", i+1, w, d.number(t, at+"heater_kWh"))
		}
		if pool := d.number(t, fmt.Sprintf("months.%d.pool_C", i)); math.Abs(pool-18) > 0.01 {
			t.Errorf("month %d: the heater holds %v", i+1, pool)
		}
	}
	if !found || !d.tells(t, "plan.lamps") || !d.tells(t, "plan.heater") || !d.tells(t, "season.lamp_day") || !d.tells(t, "season.lamp_efficacy") {
		t.Error("lamps and heater are not told, or no month is whole")
	}
	dark := ask(t, strings.Replace(brief, "  lamp: {level: 200 umol/m2/s}\n", "", 1), "season")
	if a, b := len(d.list(t, "batches")), len(dark.list(t, "batches")); a <= b {
		t.Errorf("%d crops with lamps, %d without", a, b)
	}
	bill := func(doc document) float64 {
		for _, x := range doc.list(t, "lines") {
			if l := x.(map[string]any); strings.Contains(l["item"].(string), "Electricity") {
				return l["price"].(float64)
			}
		}
		return 0
	}
	if bill(ask(t, brief, "cost")) <= 0 {
		t.Error("a crop's cost leaves the electricity out")
	}
	bare := strings.Replace(strings.Replace(brief, "  lamp: {level: 200 umol/m2/s}\n", "", 1), ", heat to: 18 C", "", 1)
	if bill(ask(t, bare, "cost")) != 0 {
		t.Error("electricity is paid for what is only advised")
	}
}

// The bed's own thermometer moves the forecast, by less than it differs: three
// readings 3 °C below it.
func TestReadingsMoveTheForecast(t *testing.T) {
	site := sameMonths(42, 100, "tmax: 22 C, tmin: 12 C", nil)
	before := ask(t, site, "season").number(t, "months.5.pool_C")
	log := "log:\n"
	for day := 10; day <= 12; day++ {
		log += fmt.Sprintf("  - {at: 2027-06-%dT09:00, water temperature: %.1f C}\n", day, before-3)
	}
	d := ask(t, site+log, "season")
	offset := d.number(t, "rests_on.solution_offset_C")
	if offset > -1.5 || offset < -3.5 || !d.tells(t, "plan.learned_offset") {
		t.Errorf("an offset of %v", offset)
	}
	if after := d.number(t, "months.5.pool_C"); math.Abs(after-before-offset) > 1e-9 {
		t.Errorf("%v after %v with %v", after, before, offset)
	}
	if d.number(t, "rests_on.solution_band_C") >= 2 {
		t.Error("readings leave the band as wide as it was")
	}
	one := strings.Join(strings.SplitAfter(log, "\n")[:2], "")
	if ask(t, site+one, "season").tells(t, "plan.learned_offset") {
		t.Error("one reading is enough")
	}
}

// Ten beds alike keep one promise together: the heads of a week are those of all,
// the plants of a batch those of one bed, and together no more are set out than
// each bed for itself would need.
func TestBedsShareAHarvest(t *testing.T) {
	site := sameMonths(42, 100, "tmax: 22 C, tmin: 12 C", nil)
	with := func(count, heads int) document {
		return ask(t, site+fmt.Sprintf("bed: {length: 97 in, width: 49 in, depth: 6 in, count: %d}\nraft: {spacing: 12 in}\nschedule: {heads per week: %d, first harvest: 2027-05-03, last harvest: 2027-07-05}\n", count, heads), "season")
	}
	one, ten := with(1, 4), with(10, 40)
	if a, b := ten.number(t, "batches.0.plants"), one.number(t, "batches.0.plants"); a > b {
		t.Errorf("%v plants in each of ten beds, %v in one", a, b)
	}
	if got := ten.number(t, "batches.0.heads"); got != 40 {
		t.Errorf("ten beds promise %v heads", got)
	}
	if got := ten.number(t, "steady.beds"); got > 10 || ten.tells(t, "season.shortfall") {
		t.Errorf("it takes %v beds", got)
	}
	if few := with(2, 40); !few.tells(t, "season.shortfall") || few.number(t, "shortfall.possible_per_week") > 0.5*few.number(t, "shortfall.asked_per_week") {
		t.Error("two beds carry what takes four")
	}
}

// Harvests that were weighed move the forecast of the days, by the mean ratio drawn
// towards the model as if two harvests had agreed with it; an air gap under a raft
// on blocks takes the place of the pump's figures.
func TestHarvestsAndBlocksAreHeard(t *testing.T) {
	site := sameMonths(42, 100, "tmax: 22 C, tmin: 12 C", nil) + "schedule: {heads per week: 4, first harvest: 2027-06-01, last harvest: 2027-07-27}\n"
	before := ask(t, site, "season")
	model := before.number(t, "batches.0.fresh_g_plant")
	log := fmt.Sprintf("log:\n  - {at: 2027-06-01T09:00, harvested: {heads: 4, mass: %.1f g}}\n  - {at: 2027-06-09T09:00, harvested: {heads: 4, mass: %.1f g}}\n", 4*0.6*model, 4*0.6*model)
	after := ask(t, site+log, "season")
	if !after.tells(t, "plan.fitted") || after.number(t, "rests_on.weight_band_share") >= before.number(t, "rests_on.weight_band_share") {
		t.Error("two harvests are not heard, or leave the band as wide")
	}
	a, _ := before.at("batches.0.transplant")
	b, _ := after.at("batches.0.transplant")
	if b.(string) >= a.(string) {
		t.Errorf("lighter heads go on the raft on %v, before on %v", b, a)
	}
	blocks := ask(t, site+"raft: {blocks: 3 in}\n", "season")
	if !blocks.tells(t, "pool.air_gap") || blocks.tells(t, "pool.still") {
		t.Error("the air gap is not told")
	}
	if pump := ask(t, strings.Replace(site, "site:\n", "site:\n  pump: mains\n", 1), "season"); !pump.tells(t, "pool.air") {
		t.Error("the pump is not told its size")
	}
}
