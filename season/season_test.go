package season

import (
	"fmt"
	"math"
	"os"
	"testing"
	"time"

	"pgregory.net/rapid"

	"raftwright/crop"
	"raftwright/finding"
	"raftwright/pool"
	"raftwright/sky"
	"raftwright/unit"
)

var covers = []sky.Cover{sky.Open, sky.Shade, sky.Tunnel, sky.Greenhouse}

func catalogue(t testing.TB) crop.Catalogue {
	t.Helper()
	return crop.Default()
}

func get(t testing.TB, id string) crop.Crop {
	t.Helper()
	for _, k := range catalogue(t).Crops() {
		if k.ID == id {
			return k
		}
	}
	t.Fatalf("no crop %s", id)
	return crop.Crop{}
}

// typed makes a climate whose mean swings by a cosine, warmest in July in the
// north and in January in the south.
func typed(t testing.TB, latitude, mean, swing float64) sky.Climate {
	t.Helper()
	var months []sky.Numbered
	warm := 7.0
	if latitude < 0 {
		warm = 1
	}
	for m := 1; m <= 12; m++ {
		x := mean + swing*math.Cos(2*math.Pi*(float64(m)-warm)/12)
		months = append(months, sky.Numbered{Number: m, Month: sky.Month{High: unit.Temperature(x + 5.5), Low: unit.Temperature(x - 5.5)}})
	}
	c, faults := sky.FromMonths(sky.Place{Latitude: unit.Angle(latitude) * unit.Degree, Elevation: new(250 * unit.Metre)}, months)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	return c
}

// reference reads the shared stations and their normals.
func reference(t testing.TB) sky.Library {
	t.Helper()
	read := func(name string) []byte {
		b, err := os.ReadFile("../../shared/reference/climate/" + name)
		if err != nil {
			if os.Getenv("CI") != "" {
				t.Fatalf("reference data is missing: %v", err)
			}
			t.Skip("reference data is not here: " + name)
		}
		return b
	}
	l, faults := sky.ReadFiles(sky.File{Name: "stations", Data: read("climate_stations.csv")}, sky.File{Name: "normals", Data: read("climate_normals.csv")})
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	return l
}

// place makes a place of a latitude, a longitude and a height in metres.
func place(p [3]float64) sky.Place {
	return sky.Place{Latitude: unit.Angle(p[0]) * unit.Degree, Longitude: new(unit.Angle(p[1]) * unit.Degree), Elevation: new(unit.Length(p[2]))}
}

// station gives the climate of the reference station nearest to a place.
func station(t testing.TB, lat, lon, elevation float64) sky.Climate {
	t.Helper()
	c, faults := reference(t).At(place([3]float64{lat, lon, elevation}), false)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	return c
}

func date(y, m, d int) time.Time { return time.Date(y, time.Month(m), d, 0, 0, 0, 0, time.UTC) }

func has(list []finding.Finding, id finding.ID) bool {
	for _, f := range list {
		if f.ID == id {
			return true
		}
	}
	return false
}

func assumed(list []finding.Assumption, id finding.ID) bool {
	for _, a := range list {
		if a.ID == id {
			return true
		}
	}
	return false
}

// The table of months is that of sky and pool: FAO-56 Ra at 40° N on 15 January
// and April (annex 2, table 2.6: 15.0, 34.7), DLI = 2.02 Rs × cover.
func TestMonths(t *testing.T) {
	s := Make(Job{Climate: typed(t, 40, 10, 12), Crop: get(t, "lettuce_leaf"), Holes: 32})
	if len(s.Months) != 12 {
		t.Fatalf("%d months", len(s.Months))
	}
	for _, c := range []struct {
		month int
		ra, n float64
	}{{1, 15.0, 9.5}, {4, 34.7, 13.1}} {
		m := s.Months[c.month-1]
		if math.Abs(m.Ra.Megajoules()-c.ra) > 0.12 || math.Abs(m.Daylight.Hours()-c.n) > 0.15 {
			t.Errorf("month %d: %v MJ, %v h", c.month, m.Ra.Megajoules(), m.Daylight.Hours())
		}
	}
	for i, m := range s.Months {
		if want := 2.02 * s.Sky.Months[i].Radiation.Megajoules(); math.Abs(float64(m.Light)-want) > 1e-9 {
			t.Errorf("month %d: %v mol, want %v", m.Number, m.Light, want)
		}
		if m.PoolMax < m.Pool || m.PoolHot < m.PoolMax || m.PoolCold > m.Pool || m.Pool < 0 {
			t.Errorf("month %d: %+v", m.Number, m)
		}
	}
	house := Make(Job{Climate: typed(t, 40, 10, 12), Cover: sky.Greenhouse, Crop: get(t, "lettuce_leaf"), Holes: 32})
	if a, b := house.Months[6], s.Months[6]; math.Abs(float64(a.Light/b.Light)-0.65) > 1e-9 || a.Air <= b.Air || a.ET0 != b.ET0 || a.Water.Full >= b.Water.Full {
		t.Errorf("under a house: %+v beside %+v", a, b)
	}
}

func TestWhatWasAssumedIsListed(t *testing.T) {
	s := Make(Job{Climate: typed(t, 40, 10, 12), Crop: get(t, "basil_sweet")})
	for _, id := range []finding.ID{AssumeBed, AssumeHoles, AssumeTarget, AssumeTray, AssumeYear, pool.AssumeModel, sky.AssumeSolar, crop.AssumeEmergence} {
		if !assumed(s.Assumptions, id) {
			t.Errorf("%s is not listed", id)
		}
	}
	if !has(s.Findings, FindForecast) || s.Calendar.Radiation != 0.13 {
		t.Errorf("no band: %+v", s.Calendar)
	}
	full := Make(Job{Climate: typed(t, 40, 10, 12), Crop: get(t, "lettuce_leaf"), Holes: 32, Schedule: Schedule{First: date(2030, 6, 3), HeadsPerWeek: 4},
		Bed: pool.Bed{Area: 3, Rim: 7, Depth: 0.13, Foam: pool.EPS, Thickness: 0.038}})
	for _, id := range []finding.ID{AssumeBed, AssumeHoles, AssumeYear} {
		if assumed(full.Assumptions, id) {
			t.Errorf("%s is listed though it was given", id)
		}
	}
	if full.Batches[0].Harvest.Year() != 2030 {
		t.Errorf("%v", full.Batches[0].Harvest)
	}
}

// Lettuce in a cool temperate place goes on from about the last killing freeze
// to late summer; in a desert from fall to spring; at the equator by the sea it is
// too warm (METHODS section 7: mean day 8 to 24 °C and nights above -2 °C).
func TestLettuceWindows(t *testing.T) {
	north := Make(Job{Climate: station(t, 42.4, -76.5, 250), Crop: get(t, "lettuce_leaf"), Holes: 32})
	w := north.Windows[0]
	if len(north.Windows) != 1 || monthOf(w.From) < 4 || monthOf(w.From) > 5 || monthOf(w.To) != 9 {
		t.Errorf("cool north: %+v", north.Windows)
	}
	desert := Make(Job{Climate: station(t, 33.4, -112, 330), Crop: get(t, "lettuce_leaf"), Holes: 32})
	if w := desert.Windows[0]; len(desert.Windows) != 1 || w.Limit != Heat || monthOf(w.From) != 10 || monthOf(w.To) > 4 || w.From < w.To {
		t.Errorf("desert: %+v", desert.Windows)
	}
	for i, b := range desert.Batches { // a season that crosses the New Year
		if !b.Sow.Before(b.SetOut) || !b.SetOut.Before(b.Harvest) || i > 0 && b.SetOut.Before(desert.Batches[i-1].Harvest) {
			t.Errorf("batch %d: %+v", i, b)
		}
	}
	hot := Make(Job{Climate: typed(t, 1, 27, 1), Crop: get(t, "lettuce_leaf"), Holes: 32})
	if hot.Windows[0].Open() || hot.Windows[0].Limit != Heat || !has(hot.Findings, FindNoWindow) || len(hot.Batches) != 0 || hot.CropsPerYear != 0 {
		t.Errorf("hot: %+v", hot.Windows)
	}
	mild := Make(Job{Climate: typed(t, 3, 16, 1), Crop: get(t, "lettuce_leaf"), Holes: 32})
	if w := mild.Windows[0]; w.From != 1 || w.To != 365 || w.Limit != None || mild.CropsPerYear < 8 {
		t.Errorf("mild: %+v, %v crops", w, mild.CropsPerYear)
	}
}

func TestSouthIsTheNorthHalfAYearLater(t *testing.T) {
	n := Make(Job{Climate: typed(t, 42, 10, 11), Crop: get(t, "lettuce_leaf"), Holes: 32}).Windows
	s := Make(Job{Climate: typed(t, -42, 10, 11), Crop: get(t, "lettuce_leaf"), Holes: 32}).Windows
	if len(n) != 1 || len(s) != 1 {
		t.Fatalf("%+v %+v", n, s)
	}
	for _, d := range []int{int(s[0].From) - int(n[0].From), int(s[0].To) - int(n[0].To)} {
		if d = (d + 365) % 365; d < 172 || d > 192 {
			t.Errorf("%d days apart: %+v %+v", d, n, s)
		}
	}
}

func TestEveryCropHasWindows(t *testing.T) {
	cat := catalogue(t)
	s := Make(Job{Climate: typed(t, 42, 10, 12), Crop: get(t, "kale"), Others: cat.Crops(), Holes: 32})
	seen := map[string]bool{}
	for _, w := range s.Windows {
		seen[w.Crop] = true
		if w.Open() && w.Limit == None && w.Days() != 365 || !w.Open() && w.Limit == None {
			t.Errorf("%+v", w)
		}
		if w.SafeFrom != 0 && (!w.Holds(w.SafeFrom) || !w.Holds(w.SafeTo)) {
			t.Errorf("the safe part lies outside: %+v", w)
		}
	}
	if len(seen) != 25 || len(s.Weeks) != 25 {
		t.Errorf("%d crops, %d years", len(seen), len(s.Weeks))
	}
	// the weeks agree with the windows
	for _, y := range s.Weeks {
		for i, l := range y.Weeks {
			inside := false
			for _, w := range s.Windows {
				inside = inside || w.Crop == y.Crop && w.Holds(sky.DayOfYear(7*i+4))
			}
			if inside && l != None {
				t.Errorf("%s week %d: %q in a window", y.Crop, i+1, l)
			}
		}
	}
}

// Poles, dark and cold: nothing grows, nothing breaks.
func TestThePoles(t *testing.T) {
	for _, lat := range []float64{90, -90, 78} {
		s := Make(Job{Climate: typed(t, lat, -15, 15), Crop: get(t, "lettuce_leaf"), Others: catalogue(t).Crops(), Holes: 32})
		for _, w := range s.Windows {
			if w.Open() && lat != 78 {
				t.Errorf("at %v: %+v", lat, w)
			}
		}
		for _, m := range s.Months {
			if math.IsNaN(float64(m.ET0)) || math.IsNaN(float64(m.Pool)) || math.IsNaN(float64(m.Light)) {
				t.Errorf("at %v: %+v", lat, m)
			}
		}
	}
}

// Water goes by area: FACTS section 7 gives 4 to 16 L a plant over 28 days in an
// open bed at 10.8 plants a m2 and ET0 2 to 6 mm.
func TestWater(t *testing.T) {
	s := Make(Job{Climate: station(t, 42.4, -76.5, 250), Crop: get(t, "lettuce_leaf"), Holes: 32})
	july := s.Months[6]
	if want := july.ET0.Millimetres() * 1.0 * s.Bed.Area.SquareMetres(); math.Abs(july.Water.Full.Litres()-want) > 1e-9 {
		t.Errorf("full bed in July: %v L, ET0 × Kc × area is %v", july.Water.Full.Litres(), want)
	}
	if d := july.Water.TopUp.Days() * july.Water.Drop.Inches(); math.Abs(d-1) > 1e-9 {
		t.Errorf("topped up after %v in", d)
	}
	for _, b := range s.Batches {
		if l := b.Water.PerHead.Litres(); l < 2.5 || l > 16 {
			t.Errorf("%v: %v L a head", b.SetOut, l)
		}
		if b.Water.Growth <= 0 {
			t.Errorf("%v: no second opinion", b.SetOut)
		}
	}
	// twice the holes on the same area do not drink twice as much
	dense := Make(Job{Climate: station(t, 42.4, -76.5, 250), Crop: get(t, "lettuce_leaf"), Holes: 64})
	if a, b := dense.Batches[0].Water, s.Batches[0].Water; a.Volume > 1.8*b.Volume || a.Volume < b.Volume {
		t.Errorf("32 holes %v L, 64 holes %v L", b.Volume.Litres(), a.Volume.Litres())
	}
}

func TestBatchDates(t *testing.T) {
	k := get(t, "lettuce_leaf")
	s := Make(Job{Climate: station(t, 42.4, -76.5, 250), Crop: k, Holes: 32})
	for _, b := range s.Batches {
		nursery := b.SetOut.Sub(b.Sow).Hours() / 24
		if math.Abs(nursery-(k.Nursery.Middle().Days()+3)) > 0.51 { // 3 days to emergence at 20 °C (Harrington & Minges), as at the tray's own
			t.Errorf("%v days in the nursery", nursery)
		}
		raft := b.Harvest.Sub(b.SetOut).Hours() / 24
		if raft < 20 || raft > 50 || b.Fresh < s.Target || b.Plants != 32 {
			t.Errorf("%v days on the raft, %v g", raft, b.Fresh.Grams())
		}
		early, late := b.Harvest.Sub(b.Earliest).Hours()/24, b.Latest.Sub(b.Harvest).Hours()/24
		if early != late || early < 3 || early > 8 {
			t.Errorf("band %v and %v days on %v", early, late, raft)
		}
	}
	if len(s.Batches) < 3 || len(s.Batches) > 6 { // FACTS section 10: north, unlit, 4 to 6 crops a year
		t.Errorf("%d crops a year", len(s.Batches))
	}
}

func TestFit(t *testing.T) {
	c := station(t, 42.4, -76.5, 250)
	k := get(t, "lettuce_leaf")
	usual := Make(Job{Climate: c, Crop: k, Holes: 32})
	light := Make(Job{Climate: c, Crop: k, Holes: 32, Fit: 0.7, FitBand: 0.15})
	if !light.Batches[0].Harvest.After(usual.Batches[0].Harvest) || light.Calendar.Weight >= usual.Calendar.Weight {
		t.Errorf("a bed that grows lighter heads is ready %v, else %v", light.Batches[0].Harvest, usual.Batches[0].Harvest)
	}
	if b := light.Calendar; b.Weight != 0.15 || b.Harvest != 3*unit.Day || usual.Calendar.Harvest != 5*unit.Day {
		t.Errorf("a weight may be %v off, a harvest %v", b.Weight, b.Harvest)
	}
}

// A bed that drinks half as much again is topped up half as much again, each day and over a crop.
func TestThirst(t *testing.T) {
	c, k := station(t, 42.4, -76.5, 250), get(t, "lettuce_leaf")
	usual, dry := Make(Job{Climate: c, Crop: k, Holes: 32}), Make(Job{Climate: c, Crop: k, Holes: 32, Thirst: 1.5, ThirstBand: 0.1})
	for _, x := range [][2]unit.Volume{{dry.Months[6].Water.Full, usual.Months[6].Water.Full}, {dry.Batches[0].Water.Volume, usual.Batches[0].Water.Volume}} {
		if got := float64(x[0] / x[1]); math.Abs(got-1.5) > 1e-9 {
			t.Errorf("it drinks %v times as much", got)
		}
	}
	if dry.Calendar.CropWater != 0.1 || usual.Calendar.CropWater != cropWaterBand {
		t.Errorf("the water of a crop may be %v off, else %v", dry.Calendar.CropWater, usual.Calendar.CropWater)
	}
}

func TestRandomPlaces(t *testing.T) {
	cat := catalogue(t)
	rapid.Check(t, func(r *rapid.T) {
		k := rapid.SampledFrom(cat.Crops()).Draw(r, "crop")
		c := typed(t, rapid.Float64Range(-90, 90).Draw(r, "lat"), rapid.Float64Range(-20, 28).Draw(r, "mean"), rapid.Float64Range(0, 16).Draw(r, "swing"))
		s := Make(Job{Climate: c, Crop: k, Cover: rapid.SampledFrom(covers).Draw(r, "cover"), Holes: rapid.IntRange(1, 300).Draw(r, "holes"),
			Light: unit.Fraction(rapid.Float64Range(0, 1).Draw(r, "light"))})
		for _, b := range s.Batches {
			if !b.Ready || b.Water.Volume < 0 || b.Water.Volume > 20*unit.CubicMetre {
				r.Fatalf("%+v", b)
			}
		}
		for i := 1; i < len(s.Tasks); i++ {
			if s.Tasks[i].Day.Before(s.Tasks[i-1].Day) {
				r.Fatal("tasks out of order")
			}
		}
		if len(s.Working()) < 96 {
			r.Fatal("the working is short")
		}
	})
}

func TestWorkingGivesThePrintedFigures(t *testing.T) {
	s := Make(Job{Climate: typed(t, 40, 10, 12), Crop: get(t, "lettuce_leaf"), Holes: 32})
	type key struct {
		name string
		of   string
	}
	steps := map[key]float64{}
	for _, st := range s.Working() {
		if st.Name == "" || st.Formula == "" || st.Unit == "" || st.Source == "" || math.IsNaN(st.Value) {
			t.Errorf("%+v", st)
		}
		steps[key{st.Name, fmt.Sprint(st.Of...)}] = st.Value
	}
	seen := func(name string) float64 { return steps[key{"work.season." + name, ""}] }
	if math.Abs(seen("tau")*3600*(seen("ua_raft")+seen("ua_gap")+seen("ua_side")+seen("ua_floor"))-seen("capacity")) > 1 || seen("tau") == 0 {
		t.Error("the heat of the bed does not add up")
	}
	if steps[key{"work.season.outside", "month.4"}] != s.Months[3].Ra.Megajoules() || steps[key{"work.season.solution", "month.7"}] != s.Months[6].Pool.Celsius() ||
		seen("water") != s.Batches[0].Water.Volume.Litres() {
		t.Error("the working does not lead to the figures")
	}
}

func BenchmarkOneCrop(b *testing.B) {
	c, k := typed(b, 42, 10, 12), get(b, "lettuce_leaf")
	for b.Loop() {
		Make(Job{Climate: c, Crop: k, Holes: 32})
	}
}

func BenchmarkAllCrops(b *testing.B) {
	c, k, all := typed(b, 42, 10, 12), get(b, "lettuce_leaf"), catalogue(b).Crops()
	for b.Loop() {
		Make(Job{Climate: c, Crop: k, Holes: 32, Others: all})
	}
}

func BenchmarkSteady(b *testing.B) {
	c, k := typed(b, 42, 10, 12), get(b, "lettuce_leaf")
	for b.Loop() {
		Make(Job{Climate: c, Crop: k, Holes: 64, Schedule: Schedule{HeadsPerWeek: 8, First: date(2027, 6, 1), Last: date(2027, 10, 1)}})
	}
}

// A mild winter in which plants get nowhere is skipped and does not end the year:
// where the window is open all year, crops go on from spring (Melbourne, station
// file).
func TestYearGoesOnAfterWinter(t *testing.T) {
	for _, id := range []string{"lettuce_leaf", "lettuce_butterhead", "lettuce_romaine", "dill"} {
		s := Make(Job{Climate: station(t, -37.83, 144.75, 31), Crop: get(t, id), Holes: 32})
		last := s.Batches[len(s.Batches)-1]
		if last.Harvest.Before(date(s.Year, 11, 25)) {
			t.Errorf("%s: %d crops, the last cut on %v", id, len(s.Batches), last.Harvest)
		}
		for i, b := range s.Batches {
			if !b.Ready || i > 0 && b.SetOut.Before(addDays(s.Batches[i-1].Harvest, turnaroundDays)) {
				t.Errorf("%s: batch %d, set out %v, ready %v", id, b.Number, b.SetOut, b.Ready)
			}
		}
	}
}

// One raft is not planted twice: where two windows lie close (Las Vegas under glass,
// station file), the crops of the second wait for those of the first.
func TestWindowsShareTheRaft(t *testing.T) {
	for _, place := range [][3]float64{{36.08, -115.17, 658}, {38.53, -121.77, 15}, {42.45, -76.45, 290}} {
		for _, cover := range covers {
			s := Make(Job{Climate: station(t, place[0], place[1], place[2]), Cover: cover, Crop: get(t, "lettuce_leaf"), Holes: 32})
			for i, b := range s.Batches {
				if i > 0 && b.SetOut.Before(addDays(s.Batches[i-1].Harvest, turnaroundDays)) {
					t.Errorf("%v under %s: set out %v, the one before cut %v", place, cover, b.SetOut, s.Batches[i-1].Harvest)
				}
			}
			if len(s.Batches) == 0 {
				t.Errorf("%v under %s: no crop", place, cover)
			}
		}
	}
}
