package main

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// promised lists the keys that scripts may rely on, with their kinds: one line a
// command, the plan's documents under their own names. [] stands for every item.
var promised = map[string]string{
	"water": `ec_mS_cm number, ph number, ionic_strength_mol_L number, alkalinity_mg_L_CaCO3 number, hardness_mg_L_CaCO3 number,
		charge_error_percent number, pco2_atm number, saturation_index map, saturation_index.calcite maybe, saturation_index.gypsum maybe,
		saturation_index.brushite maybe, saturation_index.hydroxyapatite maybe, acid.dose_mmol_L number, acid.dose_mL_L number, acid.dose_g_L number,
		acid.ph number, acid.alkalinity_left_mg_L_CaCO3 number, acid.ec_mS_cm number, acid.adds_mg_L map`,
	"mix": `doses list, doses.[].product text, doses.[].g_L number, doses.[].per_bucket_g number, doses.[].spoons number, doses.[].stock_tank text,
		target_mg_L map, achieved_mg_L map, achieved_mg_L.N number, achieved_mg_L.P number, achieved_mg_L.K number, achieved_mg_L.Ca number,
		misfit number, ec_mS_cm number, ph number, acid.adds_mg_L map, nitrogen.nitrate_percent number, nitrogen.ammonium_percent number,
		nitrogen.urea_percent number, saturation_index map, cost_per_1000L number`,
	"frame": `volume_L number, water_mass_kg number, floor_load_Pa number, boards list, boards.[].name text, boards.[].span_mm number,
		boards.[].bending_Pa number, boards.[].bending_allow_Pa number, boards.[].shear_Pa number, boards.[].shear_allow_Pa number,
		boards.[].deflection_short_mm number, boards.[].deflection_long_mm number, boards.[].deflection_limit_mm number, boards.[].use number,
		boards_brim list, boards_brim.[].name text, boards_brim.[].use number, holds_per_side int, hold_spacing_mm number, hold_force_N number,
		corner_pull_N number, screws_per_corner int, liner.length_mm number, liner.width_mm number, liner.buy text, verdict text`,
	"raft": `holes int, positions_mm list, positions_mm.[].0 number, positions_mm.[].1 number, least_spacing_mm number, least_edge_mm number,
		draft_mm number, draft_grown_mm number, freeboard_mm number, sheets int`,
	"cut": `boards list, boards.[].stock_mm number, boards.[].cuts_mm list, boards.[].cuts_mm.[] number, boards.[].waste_mm number, boards_bought int,
		lower_bound number, optimal bool, waste_percent number, price number, currency text`,
	"season": `months list, months.[].month int, months.[].ra_MJ_m2_day number, months.[].daylight_h number, months.[].et0_mm_day number,
		months.[].dli_mol_m2_day number, months.[].air_C number, months.[].pool_C number, months.[].pool_max_C number, months.[].oxygen_mg_L number,
		windows list, windows.[].crop text, windows.[].from text, windows.[].to text, windows.[].limit text, batches list, batches.[].sow text,
		batches.[].transplant text, batches.[].harvest text, batches.[].harvest_earliest text, batches.[].harvest_latest text,
		batches.[].plants int, batches.[].fresh_g_plant number, batches.[].water_L number`,
	"cost": `first_cost number, per_crop_cost number, per_head_cost number, break_even_price number, payback_crops maybe, lines list`,
	"plan": `shopping list, shopping.[].item text, shopping.[].quantity number, shopping.[].unit text, shopping.[].price number,
		shopping.[].once bool, shopping.[].life_years number`,
}

// told is in every document.
const told = `findings list, findings.[].id text, findings.[].severity severity, findings.[].text text, findings.[].figure text, findings.[].source text,
	assumptions list, assumptions.[].text text, assumptions.[].replace text, sources list, sources.[].id text`

// worked is there where the working was asked for.
const worked = `working list, working.[].symbol text, working.[].name text, working.[].formula text, working.[].inputs list, working.[].value maybe,
	working.[].unit text, working.[].source text`

var commands = []string{"plan", "water", "mix", "frame", "raft", "cut", "season", "cost"}

// lacks returns what a document lacks of a list of promises.
func lacks(d any, promises string) []string {
	var out []string
	for p := range strings.SplitSeq(promises, ",") {
		path, kind, _ := strings.Cut(strings.TrimSpace(p), " ")
		out = append(out, lack(d, path, strings.Split(path, "."), kind)...)
	}
	return out
}

func lack(v any, path string, keys []string, kind string) []string {
	if len(keys) == 0 {
		if isA(v, kind) {
			return nil
		}
		return []string{fmt.Sprintf("%s is %T (%.40v), not a %s", path, v, v, kind)}
	}
	if keys[0] == "[]" {
		list, ok := v.([]any)
		if !ok {
			return []string{path + " is not in a list"}
		}
		for _, x := range list {
			if out := lack(x, path, keys[1:], kind); out != nil {
				return out
			}
		}
		return nil
	}
	if pair, ok := v.([]any); ok && len(keys[0]) == 1 && len(pair) == 2 {
		return lack(pair[keys[0][0]-'0'], path, keys[1:], kind)
	}
	m, ok := v.(map[string]any)
	if !ok {
		return []string{path + " is not in a map"}
	}
	x, ok := m[keys[0]]
	if !ok {
		return []string{path + " is missing"}
	}
	return lack(x, path, keys[1:], kind)
}

func isA(v any, kind string) bool {
	switch x := v.(type) {
	case nil:
		return kind == "maybe"
	case float64:
		return kind == "number" || kind == "maybe" || kind == "int" && x == math.Trunc(x)
	case string:
		return kind == "text" || kind == "severity" && slices.Contains([]string{"note", "caution", "stop"}, x)
	case bool:
		return kind == "bool"
	case []any:
		return kind == "list"
	case map[string]any:
		return kind == "map"
	}
	return false
}

// mayBeNull are the figures for which there may be no number: never, a solid of
// which an element is missing altogether, a line that nobody published, and a help
// without a price.
var mayBeNull = regexp.MustCompile(`(^|\.)payback_crops$|(^|\.)cost\.per_(bed|head|100_gal)$|\.alternatives\.\d+\.cost_per_1000L$|^alternatives\.\d+\.cost_per_1000L$|(^|\.)saturation_index\.\w+$|(^|\.)fit\.\d+\.(high|harm)$|(^|\.)shortfall\.helps\.\d+\.cost$|^working\.\d+\.(value|inputs\.\d+\.value)$`)

// left is what a sentence shows when a template or a catalogue let it down.
var left = regexp.MustCompile(`<no value>|%!|\{\{|\[[a-z_]+\.[a-z_.]+\]|\bNaN\b|\bInf\b|word\.[a-z]|need\.[a-z]`)

// flaws walks a document: no null, no unfinished sentence, every source resolved,
// a stop where and only where the exit status is 2.
func flaws(d document, code int) []string {
	var out []string
	var walk func(v any, path string)
	walk = func(v any, path string) {
		switch x := v.(type) {
		case nil:
			if !mayBeNull.MatchString(path) {
				out = append(out, path+" is null")
			}
		case string:
			if left.MatchString(x) {
				out = append(out, fmt.Sprintf("%s is unfinished: %q", path, x))
			}
		case []any:
			for i, y := range x {
				walk(y, fmt.Sprintf("%s.%d", path, i))
			}
		case map[string]any:
			for k, y := range x {
				walk(y, strings.TrimPrefix(path+"."+k, "."))
			}
		}
	}
	walk(map[string]any(d), "")
	known := map[string]bool{}
	for _, s := range d["sources"].([]any) {
		known[s.(map[string]any)["id"].(string)] = true
	}
	stop := false
	for _, key := range []string{"findings", "assumptions", "working"} {
		list, _ := d[key].([]any)
		for i, f := range list {
			m := f.(map[string]any)
			if s, _ := m["source"].(string); !known[s] {
				out = append(out, fmt.Sprintf("%s.%d: the source %q is not in sources: %.80v", key, i, s, m))
			}
			if text, ok := m["text"].(string); ok && strings.TrimSpace(text) == "" {
				out = append(out, fmt.Sprintf("%s.%d says nothing", key, i))
			}
			stop = stop || m["severity"] == "stop"
		}
	}
	if stop != (code == exitStop) {
		out = append(out, fmt.Sprintf("exit %d, but a stop finding: %v", code, stop))
	}
	slices.Sort(out)
	return out
}

// check runs a command with its working and holds the answer to the promises.
func check(t *testing.T, name, command, brief string) document {
	t.Helper()
	got := tell(brief, command, "-", "--json", "--working")
	if got.code != exitDone && got.code != exitStop {
		t.Errorf("%s %s: exit %d: %s", command, name, got.code, got.err)
		return nil
	}
	var d document
	if err := json.Unmarshal([]byte(got.out), &d); err != nil {
		t.Errorf("%s %s: %v", command, name, err)
		return nil
	}
	wants := []string{told, worked, promised[command]}
	missing := []string{}
	for _, w := range wants {
		missing = append(missing, lacks(map[string]any(d), w)...)
	}
	if command == "plan" {
		for part, w := range promised {
			if part != "plan" {
				for _, l := range lacks(d[part], w) {
					missing = append(missing, part+": "+l)
				}
			}
		}
	}
	for _, m := range append(missing, flaws(d, got.code)...) {
		t.Errorf("%s %s: %s", command, name, m)
	}
	return d
}

// briefs reads the examples with the paths of their climate files made whole. The
// search for the densest raft takes half a second each time, so it is left to the
// tests of the raft.
func briefs(t testing.TB) map[string]string {
	t.Helper()
	names, err := filepath.Glob("../../examples/*.yaml")
	if err != nil || len(names) < 5 {
		t.Fatalf("saw only %d examples: %v", len(names), err)
	}
	dir, err := filepath.Abs("../../examples")
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]string{}
	for i, n := range names {
		if testing.Short() && i%5 != 0 {
			continue // the check takes all
		}
		data, err := os.ReadFile(n)
		if err != nil {
			t.Fatal(err)
		}
		text := strings.ReplaceAll(string(data), "market-stations.csv", "'"+dir+"/market-stations.csv'")
		text = strings.ReplaceAll(text, "market-normals.csv", "'"+dir+"/market-normals.csv'")
		out[filepath.Base(n)] = strings.Replace(text, "pattern: best", "pattern: staggered", 1)
	}
	return out
}

// has says whether a brief has what a command needs.
func has(brief, command string) bool {
	for _, section := range map[string][]string{"water": {"water|bed"}, "mix": {"water|shelf|target|bed"}, "season": {"site"}}[command] {
		if !regexp.MustCompile(`(?m)^(` + section + `):`).MatchString(brief) {
			return false
		}
	}
	return true
}

// Every example goes through every command that has what it needs; the others
// say what is missing.
func TestExamplesThroughEveryCommand(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	for name, brief := range briefs(t) {
		for _, c := range commands {
			if has(brief, c) {
				check(t, name, c, brief)
			} else if got := tell(brief, c, "-"); got.code != exitFaults || got.out != "" || !strings.Contains(got.err, "is missing; add for example") {
				t.Errorf("%s %s: exit %d: %s", c, name, got.code, got.err)
			}
		}
		if got := tell(brief, "plan", "-", "--working"); got.code == exitOurs || got.out == "" || left.MatchString(got.out) {
			t.Errorf("plan %s for a person: exit %d: %q", name, got.code, left.FindString(got.out))
		}
	}
}

// Each command works with nothing but the sections that it needs.
func TestNeedsAreEnough(t *testing.T) {
	for command, list := range map[string][]string{
		"plan":  {"bed: {}", "bed: {length: 8 ft}", "bed: {vessel: round, diameter: 2 m}", "bed: {vessel: tub, length: 80 cm, width: 50 cm, depth: 20 cm}", "raft: {sheet: [2 ft, 4 ft]}"},
		"water": {"water: {}", "water: {ph: 7}", "water: {ec: 0.5 mS/cm}", "water: {alkalinity: 0 mg/L CaCO3}", "water: {hardness: 12 gr/gal}"},
		"mix":   {"water: {}\nshelf: [{name: a, label: 20-20-20}]\ntarget: {recipe: lettuce}", "water: {}\nshelf: [{name: a, formula: KNO3}]\ntarget: {potassium: 2 mmol/L}", "water: {ph: 8}\nshelf: [{name: a, formula: NaCl}]\ntarget: {ec: 1.6 mS/cm}"},
		"frame": {"bed: {}", "bed: {vessel: round, diameter: 10 ft, base diameter: 9 ft, depth: 30 cm}"},
		"raft":  {"raft: {}", "raft: {sheet: [1 m, 2 m]}", "raft: {diameter: 1 m}", "bed: {length: 4 m, width: 1 m}"},
		"cut":   {"bed: {}", "cut: {pieces: [{length: 1 m}]}", "cut: {pieces: []}", "cut: {stock: [{length: 16 ft}]}", "bed: {vessel: tub, length: 1 m, width: 1 m, depth: 20 cm}"},
		"season": {"site: {latitude: 42}", strings.TrimSpace(sameMonths(-42, 0, "tmax: 20 C, tmin: 10 C", nil)), strings.TrimSpace(sameMonths(90, 0, "tmax: -20 C, tmin: -30 C", nil)),
			strings.TrimSpace(sameMonths(0, 3000, "tmax: 45 C, tmin: 35 C", nil))},
		"cost": {"bed: {}", "bed: {count: 3}"},
	} {
		for i, brief := range list {
			if testing.Short() && i%2 != 0 {
				continue // the check takes all
			}
			check(t, brief, command, brief+"\n")
		}
	}
}

// The sample brief of the contract plans as it stands, once the names of its
// climate files are those of files that exist.
func TestSampleBrief(t *testing.T) {
	stations, normals := referencePath(t, "climate/climate_stations.csv"), referencePath(t, "climate/climate_normals.csv")
	text, err := os.ReadFile("../../brief/testdata/sample.yaml")
	if err != nil {
		t.Fatal(err)
	}
	brief := strings.NewReplacer("stations.csv", "'"+stations+"'", "normals.csv", "'"+normals+"'").Replace(string(text))
	for i, c := range commands {
		if testing.Short() && i%3 != 0 {
			continue // the check asks every one
		}
		check(t, "sample", c, brief)
	}
	d := ask(t, brief, "plan")
	if got := d.number(t, "raft.holes"); got != 32 { // common practice, no source: 4 x 8 ft at 12 in, 6 in from the edge
		t.Errorf("%g holes, not 32", got)
	}
	helps := d.list(t, "season.shortfall.helps")
	for _, x := range helps {
		h := x.(map[string]any)
		free := h["what"] == "kind" || h["what"] == "crop"
		if cost, known := h["cost"].(float64); free != (known && cost == 0) {
			t.Errorf("help %v costs %v", h["what"], h["cost"])
		}
	}
	if len(helps) == 0 {
		t.Error("nothing helps")
	}
	if got := d.number(t, "frame.volume_L") / 3.785411784; !within(got, 123.454, 0.001) {
		t.Errorf("%.2f gal, not 123.45", got)
	}
}

// The parts of a plan are the documents of the commands.
func TestPlanHoldsTheOtherDocuments(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	for name, brief := range briefs(t) {
		p := ask(t, brief, "plan")
		for _, c := range commands[1:] {
			if !has(brief, c) {
				continue
			}
			alone := ask(t, brief, c)
			for key, got := range p[c].(map[string]any) {
				if c == "season" && (key == "windows" || key == "weeks") || c == "water" && key == "safer_acid" {
					continue // the season by itself tells of every crop; the water by itself knows no bed to fill
				}
				a, _ := json.Marshal(got)
				b, _ := json.Marshal(alone[key])
				if string(a) != string(b) {
					t.Errorf("%s: %s.%s is %.60s in the plan, %.60s alone", name, c, key, a, b)
				}
			}
		}
	}
}

// Results are for one bed; cutting, shopping and money for all.
func TestBedsAlike(t *testing.T) {
	const one = "bed: {length: 97 in, width: 49 in, depth: 6 in}\n"
	const twenty = "bed: {length: 97 in, width: 49 in, depth: 6 in, count: 20}\n"
	a, b := ask(t, one, "plan"), ask(t, twenty, "plan")
	for _, same := range []string{"frame.volume_L", "frame.water_mass_kg", "frame.liner.length_mm", "raft.holes", "raft.sheets", "frame.corner_pull_N", "frame.screws_per_corner", "mix.doses.0.g_L", "mix.doses.0.per_bed_g"} {
		if x, y := a.number(t, same), b.number(t, same); x != y {
			t.Errorf("%s is %g for one bed, %g for twenty alike", same, x, y)
		}
	}
	pieces := func(d document) (n int) {
		for _, x := range d.list(t, "cut.boards") {
			n += len(x.(map[string]any)["cuts_mm"].([]any))
		}
		return n
	}
	if x, y := pieces(a), pieces(b); y != 20*x || x == 0 {
		t.Errorf("%d pieces for one bed, %d for twenty", x, y)
	}
	bought := func(d document, item string) float64 {
		for _, x := range d.list(t, "shopping") {
			if m := x.(map[string]any); strings.Contains(strings.ToLower(m["item"].(string)), item) {
				return m["quantity"].(float64)
			}
		}
		t.Fatalf("no %s on the shopping list", item)
		return 0
	}
	if x, y := bought(a, "pot"), bought(b, "pot"); y != 20*x {
		t.Errorf("%g pots for one bed, %g for twenty", x, y)
	}
	if x, y := a.number(t, "cost.first_cost"), b.number(t, "cost.first_cost"); y < 5*x || y > 20*x {
		t.Errorf("one bed costs %g, twenty %g", x, y)
	}
}

// The same brief gives the same bytes, whatever the order of its keys.
func TestSameBytes(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	for name, brief := range briefs(t) {
		first := tell(brief, "plan", "-", "--json", "--working")
		if again := tell(brief, "plan", "-", "--json", "--working"); again != first {
			t.Errorf("%s: the second run differs", name)
		}
	}
	a := tell("bed: {length: 97 in, width: 49 in, depth: 6 in}\nwater: {ph: 7, calcium: 40 mg/L, alkalinity: 100 mg/L CaCO3}\nunits: us\n", "plan", "-", "--json")
	b := tell("units: us\nwater:\n  alkalinity: 100 mg/L CaCO3\n  calcium: 40 mg/L\n  ph: 7\nbed:\n  depth: 6 in\n  width: 49 in\n  length: 97 in\n", "plan", "-", "--json")
	if a.out != b.out || a.code != exitDone {
		t.Error("the order of the keys changes the plan")
	}
}

// Units of the print do not change the figures.
func TestUnitsChangeNoFigure(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	for name, brief := range briefs(t) {
		us := regexp.MustCompile(`(?m)^units: \w+`).ReplaceAllString(brief, "units: us")
		a, b := ask(t, us, "plan"), ask(t, strings.Replace(us, "units: us", "units: metric", 1), "plan")
		for _, path := range []string{"frame.volume_L", "raft.holes", "mix.ec_mS_cm", "water.ec_mS_cm", "cost.first_cost", "cut.price", "frame.corner_pull_N"} {
			if x, y := a.number(t, path), b.number(t, path); x != y {
				t.Errorf("%s: %s is %g in US units, %g in metric", name, path, x, y)
			}
		}
	}
}
