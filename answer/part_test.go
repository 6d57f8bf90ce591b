package answer_test

import (
	"bytes"
	"encoding/json"
	"flag"
	"math"
	"os"
	"path/filepath"
	"runtime/debug"
	"strings"
	"testing"

	"raftwright/answer"
	"raftwright/brief"
	"raftwright/finding"
	"raftwright/lang"
	"raftwright/plan"
	"raftwright/sky"
	"raftwright/sky/places"
	"raftwright/source"
	"raftwright/unit"
)

func TestMain(m *testing.M) {
	if flag.Parse(); testing.Short() {
		debug.SetGCPercent(400)            // a little memory for a little time
		_ = flag.Set("rapid.checks", "40") // of which a short run makes a fifth
	}
	os.Exit(m.Run())
}

// feeding is a bed with a recipe as found and a wrong dose, on a meter of a known scale.
const feeding = minimal + `shelf: [{name: complete fertiliser, label: 20-20-20, nitrate-n: 6 %, ammonium-n: 4 %, urea-n: 10 %, pack: 25 lb, price: 48 USD}, {name: Epsom salt, formula: MgSO4.7H2O}]
acid: {product: citric, target ph: 6}
mix: {stock: {volume: 5 gal, ratio: 100}}
meter: {shows: ppm 500}
found: {where: a neighbor, per: 1 gal, amounts: {complete fertiliser: 2 tsp, Epsom salt: 1 tsp}}
amiss: {volume: 100 gal, put in: {complete fertiliser: 900 g}}
`

// document reads the JSON of a part of a brief's plan.
func document(t *testing.T, text string, part plan.Part, working bool) (plan.Plan, map[string]any) {
	t.Helper()
	p, out, faults := written(t, text, part, working)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	var d map[string]any
	if err := json.Unmarshal(out, &d); err != nil {
		t.Fatal(err)
	}
	return p, d
}

// A command's document holds what the whole plan holds under its name.
func TestAPartIsThatOfTheWhole(t *testing.T) {
	_, whole := document(t, feeding, plan.Everything, false)
	for name, part := range map[string]plan.Part{"frame": plan.Frame, "raft": plan.Raft, "cut": plan.Cut, "water": plan.Water, "mix": plan.Mix, "cost": plan.Cost,
		"found": plan.Found, "amiss": plan.Amiss} {
		_, alone := document(t, feeding, part, true)
		if _, ok := alone["working"].([]any); !ok {
			t.Errorf("%s: no working", name)
		}
		group, ok := whole[name].(map[string]any)
		if !ok || len(group) < 5 {
			t.Errorf("%s: the whole plan holds %v", name, whole[name])
		}
		for key := range group {
			if _, ok := alone[key]; !ok {
				t.Errorf("%s: the key %s is in the whole plan only", name, key)
			}
		}
	}
	_, season := document(t, "site: {latitude: 42.4}\nbed: {}\n", plan.Season, false)
	if len(season["sun"].([]any)) != 12 || len(season["months"].([]any)) != 0 {
		t.Errorf("the latitude alone tells the sun of twelve months: %v", season["sun"])
	}
}

// What a person would act on is the plan's own figure, in the unit of the key.
func TestFeedingFigures(t *testing.T) {
	p, d := document(t, feeding, plan.Everything, false)
	at := func(path string) float64 {
		var v any = d
		for key := range strings.SplitSeq(path, ".") {
			if list, ok := v.([]any); ok && key == "0" {
				v = list[0]
				continue
			}
			m, ok := v.(map[string]any)
			if !ok {
				t.Fatalf("no %s", path)
			}
			v = m[key]
		}
		x, ok := v.(float64)
		if !ok {
			t.Fatalf("%s is %v", path, v)
		}
		return x
	}
	f, a := p.Found, p.Amiss
	for path, want := range map[string]float64{
		"found.per_L": 3.785411784, "found.doses.0.per_bucket_g": f.Doses[0].PerBucket.Grams(), "found.ec_mS_cm": f.EC.MillisiemensPerCentimetre(),
		"found.mend.misfit": f.Mend.Misfit, "found.mend.doses.0.g": f.Mend.Doses[0].Mass.Grams(),
		"amiss.volume_L": 378.5411784, "amiss.replace_L": a.Replace.Litres(), "amiss.ec_after_mS_cm": a.Right.MillisiemensPerCentimetre(),
		"amiss.now_mg_L.N": a.Before[0].MilligramsPerLitre(), "amiss.after_mg_L.N": a.After[0].MilligramsPerLitre(),
		"mix.meter.shown_per_mS_cm":         500, // the scale of 0.5 ppm for 1 uS/cm
		"mix.meters.after_10_minutes.shown": 500 * p.Mix.EC.MillisiemensPerCentimetre(),
		"mix.acid.dose_mmol_L":              p.Mix.Acid.Dose.MillimolesPerLitre(),
		"mix.acid.dose_g_L":                 p.Mix.Acid.Dose.MillimolesPerLitre() * 0.192124, // citric acid, 192.124 g/mol (IUPAC 2021)
		"mix.stock.tanks.0.items.0.g":       p.Mix.Stock.Tanks[0].Items[0].Mass.Grams(),
		"water.acid.dose_mmol_L":            p.Water.Acid.Amount.MillimolesPerLitre(),
		"water.hardness_mg_L_CaCO3":         78*100.086/40.078 + 11*100.086/24.305, // Ca and Mg as CaCO3 (IUPAC 2021)
		"frame.volume_L":                    97 * 49 * 6 * 0.016387064,
		"frame.dipstick.0.volume_L":         97 * 49 * 0.016387064, // an inch deep
		"cost.first_cost":                   p.Cost.FirstCost.Float(),
		"shopping.0.price":                  p.Cost.Lines[0].Price.Float(),
		"raft.positions_mm.0.0":             p.Raft.Positions[0].X.Millimetres(),
		"found.meters.after_a_day.ec_mS_cm": f.Mix.Meters.Day.EC.MillisiemensPerCentimetre(),
		"found.nitrogen_percent.urea":       100 * float64(f.Nitrogen.Urea),
		"water.aired.ph":                    p.Water.Aired.PH,
		"frame.floor_load_Pa":               float64(p.Frame.Floor.Water),
		"mix.meters.well_ec_mS_cm.0":        p.Mix.Meters.Well.Low,
	} {
		if got := at(path); math.Abs(got-want) > 1e-3*math.Abs(want) {
			t.Errorf("%s is %g, not %g", path, got, want)
		}
	}
}

// The dose of the acid asked for is always in the document; what may stand on
// paper in its place stands beside it.
func TestAcidAsAsked(t *testing.T) {
	_, d := document(t, minimal+"acid: {product: sulfuric 93 %, target ph: 6}\nsite: {kind: school}\n", plan.Everything, false)
	w := d["water"].(map[string]any)
	acid, safer := w["acid"].(map[string]any), w["safer_acid"].(map[string]any)
	if acid["product"] != "sulfuric 93 %" || acid["dose_mL_L"].(float64) <= 0 || acid["dose_g_L"].(float64) != 0 {
		t.Errorf("the acid asked for: %v", acid)
	}
	if safer["product"] != "citric 100 %" || safer["dose_g_L"].(float64) <= 0 || safer["dose_mL_L"].(float64) != 0 {
		t.Errorf("the safer acid: %v", safer)
	}
}

// The year of the demonstration: what the season tells is in the document.
func TestSeasonDocument(t *testing.T) {
	brief, err := os.ReadFile("../examples/demo.yaml")
	if err != nil {
		t.Fatal(err)
	}
	files := plan.Files{}
	names, err := filepath.Glob("../examples/*.csv")
	if err != nil {
		t.Fatal(err)
	}
	for _, n := range names {
		if files[filepath.Base(n)], err = os.ReadFile(n); err != nil {
			t.Fatal(err)
		}
	}
	p, out, faults := writtenWith(t, string(brief), files, plan.Everything, true)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	var d struct {
		Season answer.Season `json:"season"`
	}
	if err := json.Unmarshal(out, &d); err != nil {
		t.Fatal(err)
	}
	s, got := p.Season, d.Season
	if len(got.Months) != 12 || len(got.Batches) != len(s.Batches) || len(got.Tasks) != len(s.Tasks) || len(s.Batches) == 0 || len(got.Warmth.Months) != 12 {
		t.Fatalf("%d months, %d batches, %d tasks", len(got.Months), len(got.Batches), len(got.Tasks))
	}
	first := s.Batches[0]
	if b := got.Batches[0]; b.Sow != first.Sow.Format("2006-01-02") || b.Plants != first.Plants || b.Low >= b.Fresh || b.High <= b.Fresh {
		t.Errorf("the first batch: %+v", b)
	}
	for i, m := range got.Months {
		if m.Month != i+1 || math.Abs(m.Pool-s.Months[i].Pool.Celsius()) > 1e-9 || (m.TopUp != nil) != (s.Months[i].Water.Drop > 0) {
			t.Errorf("month %d: %+v", i+1, m)
		}
	}
	if got.Steady == nil || got.Steady.Peak != s.Steady.Peak {
		t.Errorf("steady: %+v", got.Steady)
	}
}

// A fault is told by code, path, place and in words, a finding with what it rests
// on and what would end it.
func TestTold(t *testing.T) {
	words, err := lang.For("en", lang.US)
	if err != nil {
		t.Fatal(err)
	}
	faults := answer.Faults(words, finding.Faults{{ID: "fault.range", Path: "bed.length", Args: finding.Args{"Key": "length", "Least": 6 * unit.Inch, "Most": 8 * unit.Foot, "Example": "8 ft"}, File: "a.yaml", Line: 3, Column: 5}})
	if want := (answer.Fault{Code: "fault.range", Path: "bed.length", File: "a.yaml", Line: 3, Column: 5, What: "length must lie between 6 in and 96 in", Right: "write for example 8 ft"}); len(faults) != 1 || faults[0] != want {
		t.Errorf("%+v", faults)
	}
	told := answer.Tell(words, []finding.Finding{{ID: plan.FindCure, Source: source.OwnChoice, Paths: []finding.Path{"language"}, Mend: []finding.Change{{Path: "language", Value: "en"}}}}, nil, nil)
	out, err := json.Marshal(told)
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{`"paths":["language"]`, `"mend":[{"path":"language","value":"en"}]`, `"mend_cost":""`, `"assumptions":[]`, `"standing":"own"`} {
		if !strings.Contains(string(out), want) {
			t.Errorf("%s is not in %s", want, out)
		}
	}
	empty, err := json.Marshal(answer.Tell(words, []finding.Finding{{ID: plan.FindCure}}, []finding.Assumption{}, []finding.Step{{}}))
	if err != nil || !strings.Contains(string(empty), `"paths":[],"mend":[]`) || !strings.Contains(string(empty), `"inputs":[]`) || strings.Contains(string(empty), "null") {
		t.Errorf("%s %v", empty, err)
	}
}

// A plan of which nothing could be made is a document all the same.
func TestNothingMade(t *testing.T) {
	words, err := lang.For("en", lang.US)
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	if err := answer.Write(&out, answer.For(plan.Plan{Brief: &brief.Brief{}}, plan.Everything, words, true)); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{`"frame":null`, `"cost":null`, `"shopping":[]`, `"findings":[]`, `"working":[]`, `"months":[]`} {
		if !strings.Contains(out.String(), want) {
			t.Errorf("%s is not in %s", want, out.String())
		}
	}
}

// Where the town of Ithaca, New York, is: 42.44 N, 76.50 W (US Census Bureau's gazetteer).
func TestPlaces(t *testing.T) {
	atlas, err := sky.OpenAtlas(places.Packed)
	if err != nil {
		t.Fatal(err)
	}
	d := answer.Places(atlas, "Ithaca NY")
	if len(d.Places) == 0 {
		t.Fatal("not found")
	}
	p := d.Places[0]
	if p.Name != "Ithaca" || p.State != "NY" || math.Abs(p.Lat-42.44) > 0.1 || math.Abs(p.Lon+76.5) > 0.1 || len(p.Stations) != 3 || p.Stations[0].Away > p.Stations[1].Away {
		t.Errorf("%+v", p)
	}
	if d := answer.Places(atlas, "Ithacca NY"); len(d.Places) != 0 || len(d.Near) == 0 {
		t.Errorf("%+v", d)
	}
}
