package crop

import (
	"bytes"
	"encoding/csv"
	"math"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"raftwright/finding"
	"raftwright/internal/table"
	"raftwright/source"
	"raftwright/unit"
)

func catalogue(t testing.TB) Catalogue {
	t.Helper()
	return Default()
}

// ByID finds a crop by its exact ID.
func (c Catalogue) ByID(id string) (Crop, bool) {
	i := slices.IndexFunc(c.crops, func(k Crop) bool { return k.ID == id })
	if i < 0 {
		return Crop{}, false
	}
	return c.crops[i], true
}

// A slipped digit in the table shows here.
func TestTableSums(t *testing.T) {
	crops := catalogue(t).Crops()
	if len(crops) != 25 {
		t.Fatalf("%d crops, not 25", len(crops))
	}
	var raft, plants, dli, mass, heat, nursery, kill, rating float64
	for _, k := range crops {
		raft += k.Raft.Min.Days() + k.Raft.Max.Days()
		nursery += k.Nursery.Min.Days() + k.Nursery.Max.Days()
		plants += float64(k.Plants.Min + k.Plants.Max)
		dli += float64(k.Light.Min + k.Light.Max)
		mass += k.Mass.Min.Grams() + k.Mass.Max.Grams()
		heat += k.HeatLimit.Celsius()
		kill += k.FrostKill.Celsius()
		rating += float64(k.Rating)
	}
	for _, c := range []struct {
		name      string
		got, want float64
	}{{"raft days", raft, sumRaft}, {"nursery days", nursery, sumNursery}, {"plants", plants, sumPlants}, {"light", dli, sumLight},
		{"mass", mass, sumMass}, {"heat", heat, sumHeat}, {"frost kill", kill, sumKill}, {"rating", rating, sumRating}} {
		if math.Abs(c.got-c.want) > 1e-6 {
			t.Errorf("sum of %s = %v, want %v", c.name, c.got, c.want)
		}
	}
}

func TestEveryRowIsSound(t *testing.T) {
	for _, k := range catalogue(t).Crops() {
		if k.AirLimit.Min > k.AirBest.Min || k.AirLimit.Max < k.AirBest.Max || k.RootUpper < k.RootBest.Max || k.Growth.Factor <= 0 {
			t.Errorf("%s: limits do not hold the best range, or no factor: %+v", k.ID, k)
		}
		cited := k.Cited
		for _, list := range [][]source.ID{cited.Spacing, cited.Nursery, cited.Raft, cited.EC, cited.PH, cited.Air, cited.Root, cited.Light, cited.Mass, cited.Storage} {
			if len(list) == 0 {
				t.Errorf("%s has values without a source", k.ID)
			}
			for _, id := range list {
				if _, ok := source.Find(id); !ok {
					t.Errorf("%s cites %q, which is not in the bibliography", k.ID, id)
				}
			}
		}
	}
}

func TestFind(t *testing.T) {
	cat := catalogue(t)
	for _, c := range []struct {
		name, cultivar, id string
		assumed            bool
	}{
		{"lettuce", "leaf", "lettuce_leaf", false}, {"lettuce", "", "lettuce_leaf", true}, {"Lettuce", "Romaine", "lettuce_romaine", false},
		{"lettuce_butterhead", "", "lettuce_butterhead", false}, {"Leaf lettuce", "", "lettuce_leaf", false}, {"bok choy", "", "pak_choi", false},
		{"Romaine / cos", "", "lettuce_romaine", false}, {"basil", "", "basil_sweet", false}, {"basil", "sweet", "basil_sweet", false},
		{"lettuce", "purple frilly", "lettuce_leaf", true}, {"basil", "leaf", "basil_sweet", true}, {"Mint", "", "spearmint", false},
		{"lettuce", "cos", "lettuce_romaine", false}, {"lettuce", "iceberg", "lettuce_crisphead", false}, {"lettuce", "kale", "lettuce_leaf", true},
		{"green onions", "", "green_onion", false}, {"butterhead", "", "lettuce_butterhead", false}, {"Butter lettuce", "", "lettuce_butterhead", false},
		{"Boston lettuce", "", "lettuce_butterhead", false}, {"lettuce", "boston", "lettuce_butterhead", false}, {"red leaf lettuce", "", "lettuce_leaf", false}, {"lettuce", "green leaf", "lettuce_leaf", false},
		{"batavia", "", "lettuce_batavia", false}, {"salad mix", "", "lettuce_baby", false}, {"collard greens", "", "kale", false}, {" kale ", "", "kale", false}, {"lettuce", "baby leaf", "lettuce_baby", false},
	} {
		k, assumed, err := cat.Find("crop.name", c.name, c.cultivar)
		if err != nil || k.ID != c.id || (len(assumed) > 0) != c.assumed {
			t.Errorf("%q %q = %q, assumed %v, %v; want %q, %v", c.name, c.cultivar, k.ID, assumed, err, c.id, c.assumed)
		}
	}
}

func TestUnknownCropNamesTheNearest(t *testing.T) {
	cat := catalogue(t)
	for in, near := range map[string]string{"letuce leaf": "lettuce_leaf", "letuce": "lettuce", "spinnach": "spinach", "kalle": "kale", "parsly": "parsley"} {
		_, _, err := cat.Find("crop.name", in, "")
		if len(err) != 1 || err[0].ID != FaultUnknown || err[0].Path != "crop.name" || !slices.Contains(strings.Split(err[0].Args["Near"].(string), ", "), near) {
			t.Errorf("%q: %v, want %s among the nearest", in, err, near)
		}
	}
	for _, in := range []string{"", "hemp and more", strings.Repeat("x", 10000)} {
		if k, _, err := cat.Find("crop.name", in, ""); err == nil {
			t.Errorf("%.20q found %s", in, k.ID)
		}
	}
}

// A user's own crop stands in place of ours of the same name, and takes its factors from
// the user's own table of coefficients.
func TestOver(t *testing.T) {
	texts := Tables()
	head, _, _ := strings.Cut(cropsText[strings.Index(cropsText, "\nid,")+1:], "\n")
	at := strings.Index(cropsText, "\nlettuce_leaf,")
	row, _, _ := strings.Cut(cropsText[at+1:], "\n")
	own := head + "\n" + strings.Replace(row, "lettuce_leaf,", "lettuce_red,", 1) + "\n" + strings.Replace(row, "Leaf lettuce", "My lettuce", 1) + "\n"
	out, faults := ReadCatalogue(texts.With(texts.Of("crops.csv").Over(own)).With(texts.Of("kc.csv").Over("crop,kc_start,kc_full,kc_end,kcb_start,kcb_full,kcb_end\nlettuce,1,1,1,0.5,0.5,0.5\n")))
	if faults != nil {
		t.Fatal(faults)
	}
	if k, _ := out.ByID("lettuce_leaf"); k.Name != "My lettuce" || len(out.Crops()) != len(Default().Crops())+1 || k.Water.BasalFull != 0.5 {
		t.Errorf("%+v, %d crops", k, len(out.Crops()))
	}
	if k, _ := Default().ByID("lettuce_leaf"); k.Name == "My lettuce" {
		t.Error("our catalogue was changed")
	}
}

func factors() Factors { return table.Must(ReadFactors(waterText, emergenceText)) }

func TestReadSaysWhere(t *testing.T) {
	for _, c := range []struct {
		from, to string
		want     finding.ID
		says     any
	}{
		{",Lactuca sativa,5,7,", ",L,5,seven,", table.FaultNumber, "spacing_in_min"},
		{"two-state,1,4,50", "guess,1,4,50", table.FaultWord, "model"},
		{"two-state,1,4,50", "two-state,,4,50", FaultFit, nil},
		{"lettuce,lettuce,two-state", "moss,lettuce,two-state", FaultGroup, "moss"},
		{",plants_m2_min,", ",plants,", table.FaultColumn, "plants_m2_min"},
	} {
		_, faults := Read("mine.csv", strings.Replace(cropsText, c.from, c.to, 1), factors())
		if len(faults) == 0 || faults[0].ID != c.want || faults[0].Args["Name"] != c.says || faults[0].File != "mine.csv" || faults[0].Line < 2 {
			t.Errorf("%q: %v", c.to, faults)
		}
	}
}

func FuzzRead(f *testing.F) {
	for _, text := range tables {
		f.Add(text)
	}
	factors := factors()
	f.Fuzz(func(t *testing.T, text string) {
		if crops, faults := asWritten("", text, factors); faults == nil && len(crops) == 0 {
			t.Error("no crops and no error")
		}
	})
}

// Whatever a sound table says, its crops are fitted in the end.
func FuzzFit(f *testing.F) {
	for _, text := range tables {
		f.Add(text)
	}
	factors := factors()
	f.Fuzz(func(t *testing.T, text string) { Read("", text, factors) })
}

var tables = []string{cropsText, "id,name\n,", ""}

// Harrington & Minges 1954 (through Knott's Handbook 1997): days to emergence
// and normal seedlings; -1 stands for no germination. At the cells the table is
// returned as it is.
func TestEmergenceTable(t *testing.T) {
	cat := catalogue(t)
	for _, c := range []struct {
		id             string
		celsius        float64
		days, normal   float64
		normalIsTabled bool
	}{
		{"lettuce_leaf", 0, 49, 98, true}, {"lettuce_leaf", 5, 15, 98, true}, {"lettuce_leaf", 10, 7, 98, true}, {"lettuce_romaine", 15, 4, 99, true},
		{"lettuce_leaf", 20, 3, 99, true}, {"lettuce_leaf", 25, 2, 99, true}, {"lettuce_leaf", 30, 3, 12, true}, {"lettuce_leaf", 35, -1, 0, true},
		{"lettuce_leaf", 40, -1, 0, true}, {"spinach", 0, 63, 83, true}, {"spinach", 10, 12, 91, true}, {"spinach", 20, 6, 52, true},
		{"spinach", 30, 6, 32, true}, {"spinach", 35, -1, 0, true}, {"spinach", 40, -1, 0, true}, {"parsley", 10, 29, 63, true}, {"parsley", 15, 17, 0, false},
		{"parsley", 20, 14, 69, true}, {"parsley", 30, 12, 50, true}, {"celery", 0, -1, 0, true}, {"celery", 10, 16, 70, true}, {"celery", 15, 12, 40, true},
		{"celery", 20, 7, 97, true}, {"celery", 25, -1, 0, false}, {"celery", 30, -1, 0, true}, {"kale", 15, 9, 93, true}, {"pak_choi", 25, 5, 99, true},
		{"chives", 5, 31, 98, true}, {"green_onion", 15, 7, 98, true}, {"green_onion", 25, 4, 97, true}, {"green_onion", 35, 13, 73, true},
		{"swiss_chard", 15, 15, 88, true}, {"swiss_chard", 25, 10, 97, true}, {"tomato", 10, 43, 82, true}, {"tomato", 30, 6, 83, true}, {"tomato", 40, -1, 0, true},
		{"cucumber", 30, 3, 99, true}, {"green_onion", 40, -1, 0, false}, {"tomato", 5, -1, 0, true}, {"tomato", 15, 14, 98, true},
		{"tomato", 25, 6, 97, true}, {"tomato", 35, 9, 46, true}, {"cucumber", 5, -1, 0, true}, {"cucumber", 15, 13, 95, true}, {"cucumber", 35, 3, 99, true},
	} {
		k, _ := cat.ByID(c.id)
		e, ok := k.Emerge(unit.Temperature(c.celsius))
		if !ok {
			t.Errorf("%s at %v: nothing", c.id, c.celsius)
			continue
		}
		if e.None != (c.days < 0) || (!e.None && math.Abs(e.After.Days()-c.days) > 1e-9) {
			t.Errorf("%s at %v °C: %v days, none %v; want %v", c.id, c.celsius, e.After.Days(), e.None, c.days)
		}
		if c.normalIsTabled && (!e.NormalKnown || math.Abs(e.Normal.Percents()-c.normal) > 1e-9) {
			t.Errorf("%s at %v °C: %v %% normal, want %v", c.id, c.celsius, e.Normal.Percents(), c.normal)
		}
	}
}

func TestEmergenceBetweenCells(t *testing.T) {
	cat := catalogue(t)
	k, _ := cat.ByID("lettuce_leaf")
	// half way between 10 °C (7 d) and 15 °C (4 d) the speed is (1/7 + 1/4)/2
	if e, _ := k.Emerge(12.5); math.Abs(e.After.Days()-2/(1./7+1./4)) > 1e-9 {
		t.Errorf("at 12.5: %v days", e.After.Days())
	}
	if e, _ := k.Emerge(29); len(e.Findings) == 0 || e.Findings[0].ID != FindWarmTray {
		t.Errorf("no warning for lettuce at 29 °C: %+v", e)
	}
	if e, _ := k.Emerge(36); !e.None || len(e.Findings) == 0 || e.Findings[0].ID != FindNoGermination {
		t.Errorf("lettuce at 36 °C: %+v", e)
	}
	for _, celsius := range []float64{-3, 50} {
		if e, ok := k.Emerge(unit.Temperature(celsius)); ok {
			t.Errorf("lettuce at %v °C: %+v, want an error", celsius, e)
		}
	}
	basil, _ := cat.ByID("basil_sweet")
	if e, _ := basil.Emerge(25); e.Tabled || math.Abs(e.After.Days()-6) > 1e-9 {
		t.Errorf("basil at 25: %+v", e)
	}
	if e, _ := basil.Emerge(12); !e.None {
		t.Errorf("basil at 12: %+v", e)
	}
	strawberry, _ := cat.ByID("strawberry")
	if _, ok := strawberry.Emerge(20); ok {
		t.Error("strawberry is not sown")
	}
}

// Sums of the columns of crops.csv, taken when the table was typed.
const (
	sumRaft    = 1860
	sumNursery = 1192
	sumPlants  = 4579
	sumLight   = 746
	sumMass    = 24797
	sumHeat    = 732
	sumKill    = -100
	sumRating  = 90
)

// The whole published table where it names a crop of the catalogue or its stand-in
// (germination.csv of the climate reference; Harrington & Minges 1954).
func TestEmergenceWholeTable(t *testing.T) {
	data, err := os.ReadFile("../../shared/reference/climate/germination.csv")
	if err != nil {
		if os.Getenv("CI") != "" {
			t.Fatalf("reference data is missing: %v", err)
		}
		t.Skip("reference data is not here")
	}
	rows, err := csv.NewReader(bytes.NewReader(data)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	ids, cells := map[string]string{"lettuce": "lettuce_leaf", "spinach": "spinach", "parsley": "parsley", "celery": "celery", "onion": "green_onion", "tomato": "tomato", "cucumber": "cucumber"}, 0
	for _, r := range rows[1:] {
		id, ok := ids[r[0]]
		celsius, err := strconv.ParseFloat(r[2], 64)
		if !ok || err != nil {
			continue
		}
		k, _ := catalogue(t).ByID(id)
		e, ok := k.Emerge(unit.Temperature(celsius))
		if !ok {
			t.Errorf("%s at %v: nothing", id, celsius)
			continue
		}
		cells++
		days, err := strconv.ParseFloat(r[3], 64)
		if none := err != nil; none != e.None || !none && math.Abs(e.After.Days()-days) > 1e-9 {
			t.Errorf("%s at %v °C: %v days (none %v), the table has %s", id, celsius, e.After.Days(), e.None, r[3])
		}
	}
	if cells < 25 {
		t.Errorf("%d cells were compared", cells)
	}
}
