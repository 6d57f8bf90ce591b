package sky

import (
	"encoding/csv"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"raftwright/finding"
	"raftwright/sky/places"
	"raftwright/unit"
)

func atlas(t testing.TB) *Atlas {
	t.Helper()
	a, err := OpenAtlas(places.Packed)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// The middles are those of the US Census Bureau Gazetteer 2022.
func TestAPlaceIsFoundAsPeopleWriteIt(t *testing.T) {
	a := atlas(t)
	for _, c := range []struct {
		text, want string
		lat, lon   float64
	}{
		{"04473", "04473", 44.882, -68.739}, {"04473-1234", "04473", 44.882, -68.739}, {" 00601 ", "00601", 18.181, -66.750},
		{"Orono ME", "Orono ME", 44.878, -68.688}, {"orono, maine", "Orono ME", 44.878, -68.688}, {"ITHACA, New York", "Ithaca NY", 42.444, -76.503},
		{"Penobscot County ME", "Penobscot County ME", 45.409, -68.667}, {"Penobscot County, Maine", "Penobscot County ME", 45.409, -68.667},
		{"Dona Ana County NM", "Doña Ana County NM", 32.350, -106.835}, {"St. Louis MO", "St. Louis MO", 38.635, -90.245},
		{"Ventura CA", "San Buenaventura (Ventura) CA", 34.268, -119.254}, {"La Cañada Flintridge CA", "La Cañada Flintridge CA", 34.210, -118.200},
		{"Aroostook ME", "Aroostook County ME", 46.709, -68.612}, // no town has the name, so the county is meant
	} {
		found, near := a.Find(c.text)
		if len(found) != 1 {
			t.Errorf("%q: found %v, near %v", c.text, found, near)
			continue
		}
		s := found[0]
		if s.String() != c.want || math.Abs(s.Latitude.Degrees()-c.lat) > 0.02 || math.Abs(s.Longitude.Degrees()-c.lon) > 0.02 {
			t.Errorf("%q: %v at %.3f, %.3f", c.text, s, s.Latitude.Degrees(), s.Longitude.Degrees())
		}
	}
}

// A city that is one with its county is found by its own name and by the county's. The middles are
// those of the US Census Bureau Gazetteer 2022; Lexington KY is that of Fayette County, the same land.
func TestACityThatIsOneWithItsCounty(t *testing.T) {
	a := atlas(t)
	for _, c := range []struct {
		city, whole, county string
		lat, lon            float64
	}{
		{"Athens GA", "Athens-Clarke County, Georgia", "Clarke County GA", 33.95, -83.37},
		{"Augusta GA", "Augusta-Richmond County GA", "Richmond County GA", 33.37, -82.07},
		{"Nashville, Tennessee", "Nashville-Davidson TN", "Davidson County TN", 36.17, -86.78},
		{"Louisville KY", "Louisville/Jefferson County KY", "Jefferson County KY", 38.20, -85.70},
		{"Lexington KY", "Lexington-Fayette KY", "Fayette County KY", 38.04, -84.46},
		{"Indianapolis IN", "Indianapolis city IN", "Marion County IN", 39.78, -86.14},
	} {
		for _, text := range []string{c.city, c.whole, c.county} {
			found, near := a.Find(text)
			if len(found) != 1 || math.Abs(found[0].Latitude.Degrees()-c.lat) > 0.06 || math.Abs(found[0].Longitude.Degrees()-c.lon) > 0.06 {
				t.Errorf("%q: found %v, near %v", text, found, near)
			}
		}
	}
}

// A city whose name in the Gazetteer has a word more is found by what everybody calls it, before the county of that name: Boise is no town of Boise County, 60 km off in the mountains. A county is found
// where it is said, and where no city has its name.
func TestACityIsMeantBeforeACountyOfItsName(t *testing.T) {
	a := atlas(t)
	for text, c := range map[string]struct {
		kind     string
		lat, lon float64
	}{
		"Boise ID": {"town", 43.60, -116.23}, "Boise City ID": {"town", 43.60, -116.23}, "Boise County ID": {"county", 43.99, -115.72}, "Honolulu HI": {"town", 21.32, -157.85},
		"Butte MT": {"town", 45.90, -112.66}, "Salt Lake UT": {"town", 40.78, -111.93}, "Johnson TN": {"town", 36.34, -82.38}, "Penobscot ME": {"town", 44.46, -68.71},
		"Dutchess NY": {"county", 41.76, -73.74},
	} {
		found, near := a.Find(text)
		if len(found) != 1 || found[0].Kind != c.kind || math.Abs(found[0].Latitude.Degrees()-c.lat) > 0.06 || math.Abs(found[0].Longitude.Degrees()-c.lon) > 0.06 {
			t.Errorf("%q: found %v, near %v", text, found, near)
		}
	}
}

// Macon is one with Bibb County and no town of the table: with Macon County, 90 km off, it is asked which is meant.
func TestMaconIsAskedFor(t *testing.T) {
	found, _ := atlas(t).Find("Macon GA")
	if len(found) != 2 || found[0].Name != "Bibb County" || found[1].Name != "Macon County" {
		t.Errorf("found %v", found)
	}
}

// A name that stands more than once offers the states, or the counties; one that
// stands nowhere the nearest spellings.
func TestADoubtfulPlaceOffersWhatCouldBeMeant(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	a := atlas(t)
	found, _ := a.Find("Ithaca")
	var states []string
	for _, s := range found {
		states = append(states, s.State)
	}
	slices.Sort(states)
	if got := strings.Join(states, " "); got != "MI NE NY OH WI" {
		t.Errorf("Ithaca stands in %s", got)
	}
	for _, town := range []string{"Washington PA", "Kingman KS", "Leland MI"} { // two of each lie by one county
		twins, _ := a.Find(town)
		if len(twins) < 2 {
			t.Fatalf("%s: %v", town, twins)
		}
		found = append(found, twins...)
	}
	for _, s := range found[len(states):] {
		if s.County == "" {
			t.Errorf("%v has no county to tell it apart", s)
		}
		text := s.String() + " (" + s.County + ")" // what a fault offers is understood
		again, _ := a.Find(text)
		if len(again) != 1 || again[0] != s {
			t.Errorf("%q: %v", text, again)
		}
	}
	for text, want := range map[string]string{"Ithica NY": "Ithaca NY", "Orno ME": "Orono ME", "Penobscott County ME": "Penobscot County ME", "04470": "04468 04471"} {
		found, near := a.Find(text)
		var said []string
		for _, s := range near {
			said = append(said, s.String())
		}
		if len(found) > 0 || !strings.Contains(strings.Join(said, " "), want) && !strings.HasPrefix(strings.Join(said, " "), "044") {
			t.Errorf("%q: found %v, near %v", text, found, said)
		}
	}
	for _, text := range []string{"", "   ", "ME", "Qqqqqzzz ME", "00000", "99999", strings.Repeat("a", 500), "[2J"} {
		if found, near := a.Find(text); len(found) > 0 || len(near) > mostNear {
			t.Errorf("%q: %v, %v", text, found, near)
		}
	}
}

// Every row of the source tables is in the packed one.
func TestThePackedTableHoldsTheSource(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	table := func(name string) [][]string {
		f, err := os.Open("../../shared/data/climate/" + name)
		if err != nil {
			if os.Getenv("CI") != "" {
				t.Fatal(err)
			}
			t.Skip("the source of the places is not at hand: ", err)
		}
		defer f.Close()
		rows, err := csv.NewReader(f).ReadAll()
		if err != nil {
			t.Fatal(err)
		}
		return rows[1:]
	}
	a, stations := atlas(t), table("stations.csv")
	normals := map[string][]string{}
	for _, r := range table("normals.csv") {
		normals[r[0]+"/"+r[1]] = r
	}
	close := func(got *float64, want string, digits float64) bool {
		x, err := strconv.ParseFloat(want, 64)
		return err != nil && got == nil || err == nil && got != nil && math.Abs(*got-x) <= digits
	}
	for row, s := range stations {
		months := a.normals(row)
		for m, got := range months {
			want := normals[fmt.Sprintf("%s/%d", s[0], m+1)]
			high, low := float64(got.High), float64(got.Low)
			var solar, rain *float64
			if got.Solar != nil {
				solar = new(got.Solar.Megajoules())
			}
			if got.Rain != nil {
				rain = new(float64(*got.Rain / unit.Millimetre))
			}
			for k, ok := range []bool{close(&high, want[2], 1e-9), close(&low, want[3], 1e-9), close((*float64)(got.HighSpread), want[4], 1e-9),
				close((*float64)(got.LowSpread), want[5], 1e-9), close(solar, want[6], 1e-9), close((*float64)(got.Dew), want[7], 1e-9), close(rain, want[8], 0.051), close((*float64)(got.Wind), want[10], 1e-9)} {
				if !ok {
					t.Fatalf("%s month %d figure %d: %+v, want %v", s[0], m+1, k, got, want)
				}
			}
		}
	}
	count := map[string]int{}
	for _, s := range a.states {
		count["county"] += len(a.spots("county", s.Code))
		count["town"] += len(a.spots("town", s.Code))
	}
	for _, r := range table("places.csv") {
		if r[0] == "zip" {
			if found, _ := a.Find(r[1]); len(found) != 1 && len(r[1]) > 0 {
				t.Fatalf("ZIP %s is not found", r[1])
			}
			break
		}
	}
	if count["county"] != 3222 || count["town"] != 49073 {
		t.Errorf("%v", count)
	}
}

// A station that stands at the place itself gives its normals; at another height
// they move by 6.5 °C a kilometre (ISO 2533).
func TestTemperaturesMoveWithTheHeight(t *testing.T) {
	a := atlas(t)
	ithaca, _ := a.Find("Ithaca NY")
	at := ithaca[0].Place()
	n := a.Nearest(at, 3)
	if len(n) != 3 || n[0].Away > n[1].Away && n[0].Rise == 0 || n[0].Away > 30*unit.Kilometre {
		t.Fatalf("%+v", n)
	}
	same := a.ClimateAt(at, n[0])
	if !same.StationHeight || same.Moved != 0 || *same.Place.Elevation != *n[0].Place.Elevation {
		t.Errorf("without a height: %+v", same)
	}
	high := *n[0].Place.Elevation + unit.Kilometre
	at.Elevation = &high
	n = a.Nearest(at, 3)
	moved := a.ClimateAt(at, n[0])
	want := -LapseRate * (high - *n[0].Place.Elevation).Metres() / 1000
	if math.Abs(float64(moved.Moved)-want) > 1e-9 {
		t.Errorf("moved by %v, want %.3f", moved.Moved, want)
	}
	months := a.normals(n[0].row)
	for i, m := range moved.Months {
		if math.Abs(float64(m.High-months[i].High)-want) > 1e-9 || math.Abs(float64(m.Low-months[i].Low)-want) > 1e-9 || math.Abs(float64(*m.Dew-*months[i].Dew)-want) > 1e-9 || *m.Rain != *months[i].Rain {
			t.Errorf("month %d: %v from %v", i+1, m, months[i])
		}
	}
	if y := moved.Fill(); !slices.ContainsFunc(y.Assumptions, func(x finding.Assumption) bool { return x.ID == AssumeLapse }) {
		t.Error("the move is not told")
	}
}

// A search answers as the plain way does, which folds every name and counts the letters of each: over names of every kind, as they
// stand and with a letter left out, doubled, changed or moved.
func TestASearchAnswersAsTheLongWay(t *testing.T) {
	a := atlas(t)
	long := func(name string, asked []State) (found, near []Spot) {
		best := 1 + max(1, len(name)/3)
		for _, kind := range []string{"town", "county"} {
			for _, s := range asked {
				for _, spot := range a.spots(kind, s.Code) {
					switch d := closest(name, spot); {
					case d == 0:
						found = append(found, spot)
					case len(found) == 0 && d <= best:
						if d < best {
							near, best = near[:0], d
						}
						near = append(near, spot)
					}
				}
			}
			if len(found) > 0 {
				return found, nil
			}
		}
		return nil, near[:min(len(near), mostNear)]
	}
	names := []string{"x", "st", "ithica", "fort wroth", "saint loius", "lexingtn", "athens clark", "indianapolis cty", "dona anna", "o fallon", "carolna", "queens", "valdez cordova", strings.Repeat("a", 30)}
	r := rand.New(rand.NewPCG(1, 2))
	for _, code := range []string{"KY", "GA", "IN", "NM", "PR", "AK", "HI", "LA", "MO"} {
		if testing.Short() && code > "IN" {
			continue // the check searches in more of them
		}
		for _, kind := range []string{"town", "county"} {
			all := a.spots(kind, code)
			for range 3 {
				n := []byte(fold(all[r.IntN(len(all))].Name))
				k := r.IntN(len(n))
				names = append(names, string(n), string(slices.Delete(slices.Clone(n), k, k+1)), string(slices.Insert(slices.Clone(n), k, 'q')), string(n[:k])+"z"+string(n[k:]))
			}
		}
	}
	states := []string{"KY", "GA", "IN", "NM", "PR", "AK", "LA", "MO", "TN"}
	for i, name := range names {
		name = strings.Join(strings.Fields(name), " ")
		if name == "" {
			continue
		}
		asked := a.states[slices.IndexFunc(a.states, func(s State) bool { return s.Code == states[i%len(states)] }):][:1]
		if words := strings.Fields(name + " " + strings.ToLower(asked[0].Code)); fold(strings.Join(words, " ")) != strings.Join(words, " ") {
			continue // the long way takes it folded
		}
		found, near := a.Find(name + " " + asked[0].Code)
		wantFound, wantNear := long(name, asked)
		if len(wantFound) > 1 {
			a.tellApart(wantFound)
		}
		if !slices.Equal(found, wantFound) || !slices.Equal(near, wantNear) {
			t.Errorf("%q in %s: %v and %v, the long way %v and %v", name, asked[0].Code, found, near, wantFound, wantNear)
		}
	}
	for i, name := range []string{"ithicca", "x", "springfeild", "lexington"} {
		if testing.Short() && i > 0 {
			continue // every state is long to search
		}
		found, near := a.Find(name)
		if wantFound, wantNear := long(name, a.states); !slices.Equal(found, wantFound) || !slices.Equal(near, wantNear) {
			t.Errorf("%q: %v and %v, the long way %v and %v", name, found, near, wantFound, wantNear)
		}
	}
}

func FuzzFind(f *testing.F) {
	a := atlas(f)
	for _, s := range []string{"04473", "Ithaca NY", "St. Louis, Missouri", "ñ (x) ME", "County County ME"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		found, near := a.Find(text)
		for _, s := range append(found, near...) {
			if math.Abs(s.Latitude.Degrees()) > 90 || math.Abs(s.Longitude.Degrees()) > 180 || s.Name == "" {
				t.Errorf("%q: %+v", text, s)
			}
		}
	})
}

func BenchmarkFindTown(b *testing.B) {
	for b.Loop() {
		a := atlas(b)
		if found, _ := a.Find("Ithaca NY"); len(found) != 1 {
			b.Fatal(found)
		}
	}
}

func BenchmarkFindInEveryState(b *testing.B) {
	a := atlas(b)
	for b.Loop() {
		a.Find("Ithaca")
	}
}

func BenchmarkClimateOfAPlace(b *testing.B) {
	for b.Loop() {
		a := atlas(b)
		found, _ := a.Find("04473")
		a.ClimateAt(found[0].Place(), a.Nearest(found[0].Place(), 3)[0])
	}
}

func BenchmarkFindMisspelled(b *testing.B) {
	a := atlas(b)
	for b.Loop() {
		if found, near := a.Find("Ithicca"); len(found) > 0 || len(near) == 0 {
			b.Fatal(found, near)
		}
	}
}
