package answer_test

import (
	"encoding/json"
	"math"
	"reflect"
	"strings"
	"testing"
	"time"

	"raftwright/answer"
	"raftwright/bed"
	"raftwright/brief"
	"raftwright/finding"
	"raftwright/lang"
	"raftwright/plan"
	"raftwright/tend"
	"raftwright/trouble"
	"raftwright/unit"
)

// english prints in US units.
func english(t *testing.T) *lang.Printer {
	t.Helper()
	words, err := lang.For("en", lang.US)
	if err != nil {
		t.Fatal(err)
	}
	return words
}

// asJSON gives a document as a script sees it.
func asJSON(t *testing.T, document any) map[string]any {
	t.Helper()
	text, err := json.Marshal(document)
	if err != nil {
		t.Fatal(err)
	}
	var d map[string]any
	if err := json.Unmarshal(text, &d); err != nil {
		t.Fatal(err)
	}
	return d
}

// A tending with an invented figure at each place: each stands under its own key in its unit. The factors of the customary
// units are exact (NIST SP 811, Appendix B.8: 1 gal = 3.785 411 784 L, 1 fl oz = 29.573 529 562 5 mL, 1 oz = 28.349 523 125 g).
func TestTendDocument(t *testing.T) {
	at := func(day, hour int) time.Time { return time.Date(2027, 5, day, hour, 30, 0, 0, time.UTC) }
	d := asJSON(t, answer.Tend(&tend.Tending{
		State: tend.State{At: at(11, 8), Volume: tend.Range{Value: 400, Low: 390, High: 410}, Depth: tend.Range{Value: 120, Low: 1, High: 2}, EC: tend.Range{Value: 1.5, Low: 3, High: 4},
			PH: tend.Range{Value: 6.1, Low: 5, High: 6}, Temperature: unit.Fahrenheit(68), Plants: 28, Fresh: unit.Ounce, Oxygen: 7 * unit.MilligramPerLitre,
			Holds: map[tend.Substance]tend.Range{tend.Nitrogen: {Value: 150, Low: 140, High: 165}}},
		Readings: []tend.Reading{{At: at(11, 8), Kind: "ec", Read: 15, Range: tend.Range{Value: 1.51, Low: 1.4, High: 1.6}, Meant: 1.5}},
		Leak:     tend.Leak{Probability: 0.6, Rate: tend.Range{Value: 4, Low: 3, High: 6}},
		Learned:  bed.Learned{Growth: 1.1, GrowthSpread: 0.1, Water: 0.9, WaterSpread: 0.2, Warmth: -2, WarmthSpread: 0.5},
		Wrong: tend.Wrong{Causes: []trouble.Cause{{Trouble: "root_rot", Share: 0.7, For: []string{"brown_roots"}, Against: []string{"white_roots"}, Source: "own"}},
			Next: trouble.Question{Signs: []string{"smell"}, Fall: 0.4}},
		Actions: []tend.Action{
			{Do: tend.DoFeed, Product: "complete", Mass: unit.Ounce, Why: "tend.why.ask", Source: "own"},
			{Do: tend.DoAcid, Product: "citric", Liquid: unit.FluidOunce},
			{Do: tend.DoWater, Volume: 10 * unit.Gallon, Strength: 0.25},
		},
		After:     tend.After{Volume: 100 * unit.Gallon, EC: 1.6 * unit.MillisiemensPerCentimetre, PH: 5.9},
		IfNothing: tend.IfNothing{Limit: tend.LimitPH, At: at(14, 23)},
		NextCheck: at(13, 8), DumpFrom: at(20, 0), DumpBy: at(25, 0), DumpTo: at(31, 0), DumpReason: tend.DumpSodium,
		Ask: tend.Ask{Reading: "depth", Why: "tend.why.ask"},
		Forecast: []tend.Forecast{{At: at(12, 8), Volume: tend.Range{Value: 395, Low: 380, High: 400}, EC: tend.Range{Value: 1.55, Low: 1.45, High: 1.65}, PH: tend.Range{Value: 6.3, Low: 6, High: 6.6},
			Warmth: tend.Range{Value: 21, Low: 19, High: 23}, Oxygen: 6.5 * unit.MilligramPerLitre}},
	}, english(t)))

	one := func(list string) map[string]any { return d[list].([]any)[0].(map[string]any) }
	of := func(name string) map[string]any { return d[name].(map[string]any) }
	act := d["actions"].([]any)
	for _, c := range []struct {
		of   map[string]any
		key  string
		want any
	}{
		{of("state"), "at", "2027-05-11T08:30"}, {of("state"), "volume_L", 400.0}, {of("state"), "volume_low_L", 390.0}, {of("state"), "volume_high_L", 410.0}, {of("state"), "depth_mm", 120.0},
		{of("state"), "ec_mS_cm", 1.5}, {of("state"), "ph", 6.1}, {of("state"), "temperature_C", 20.0}, {of("state"), "oxygen_mg_L", 7.0}, {of("state"), "plants", 28.0}, {of("state"), "plant_fresh_g", 28.349523125},
		{of("state")["mg_L"].(map[string]any), string(tend.Nitrogen), 150.0}, {of("state")["mg_L_low"].(map[string]any), string(tend.Nitrogen), 140.0}, {of("state")["mg_L_high"].(map[string]any), string(tend.Nitrogen), 165.0},
		{one("readings"), "kind", "ec"}, {one("readings"), "value", 15.0}, {one("readings"), "expected", 1.51}, {one("readings"), "low", 1.4}, {one("readings"), "high", 1.6}, {one("readings"), "used", false}, {one("readings"), "meant", 1.5},
		{of("leak"), "probability", 0.6}, {of("leak"), "L_day", 4.0}, {of("leak"), "low_L_day", 3.0}, {of("leak"), "high_L_day", 6.0},
		{of("learned"), "growth", 1.1}, {of("learned"), "growth_sd", 0.1}, {of("learned"), "water", 0.9}, {of("learned"), "water_sd", 0.2}, {of("learned"), "temperature_C", -2.0}, {of("learned"), "temperature_sd_C", 0.5},
		{one("causes"), "id", "root_rot"}, {one("causes"), "share", 0.7}, {one("causes"), "for", []any{"brown_roots"}}, {one("causes"), "against", []any{"white_roots"}},
		{of("look_next"), "signs", []any{"smell"}}, {of("look_next"), "bits", 0.4},
		{act[0].(map[string]any), "do", "add_feed"}, {act[0].(map[string]any), "g", 28.349523125}, {act[0].(map[string]any), "mL", nil}, {act[0].(map[string]any), "why", "What it shows may change the advice."},
		{act[1].(map[string]any), "mL", 29.5735295625}, {act[1].(map[string]any), "g", nil}, {act[2].(map[string]any), "L", 37.85411784}, {act[2].(map[string]any), "strength_percent", 25.0},
		{of("after"), "volume_L", 378.5411784}, {of("after"), "ec_mS_cm", 1.6}, {of("after"), "ph", 5.9},
		{of("if_nothing"), "limit", "ph"}, {of("if_nothing"), "at", "2027-05-14T23:30"},
		{d, "next_check", "2027-05-13"}, {d, "dump_from", "2027-05-20"}, {d, "dump_by", "2027-05-25"}, {d, "dump_to", "2027-05-31"}, {d, "dump_reason", "sodium"},
		{of("ask"), "reading", "depth"}, {of("ask"), "why", "What it shows may change the advice."},
		{one("forecast"), "at", "2027-05-12T08:30"}, {one("forecast"), "volume_L", 395.0}, {one("forecast"), "ec_mS_cm", 1.55}, {one("forecast"), "ph", 6.3}, {one("forecast"), "temperature_C", 21.0}, {one("forecast"), "oxygen_mg_L", 6.5},
		{one("forecast")["low"].(map[string]any), "volume_L", 380.0}, {one("forecast")["low"].(map[string]any), "ec_mS_cm", 1.45}, {one("forecast")["low"].(map[string]any), "ph", 6.0}, {one("forecast")["low"].(map[string]any), "temperature_C", 19.0},
		{one("forecast")["high"].(map[string]any), "volume_L", 400.0}, {one("forecast")["high"].(map[string]any), "ec_mS_cm", 1.65}, {one("forecast")["high"].(map[string]any), "ph", 6.6}, {one("forecast")["high"].(map[string]any), "temperature_C", 23.0},
	} {
		got := c.of[c.key]
		if x, ok := got.(float64); ok {
			if want, ok := c.want.(float64); ok && math.Abs(x-want) <= 1e-9*math.Abs(want) {
				continue
			}
		}
		if !reflect.DeepEqual(got, c.want) {
			t.Errorf("%s is %v, not %v", c.key, got, c.want)
		}
	}
	if check, do := one("causes")["check"].(string), one("causes")["do"].(string); !strings.HasPrefix(check, "Pull one plant.") || do == "" || do == check {
		t.Errorf("the cause says %q and %q", check, do)
	}
}

// Where nothing is in sight nothing is said: no day to empty the bed, no limit, no list that is null.
func TestTendDocumentOfAQuietBed(t *testing.T) {
	d := asJSON(t, answer.Tend(&tend.Tending{NextCheck: time.Date(2027, 5, 13, 8, 0, 0, 0, time.UTC)}, english(t)))
	for _, key := range []string{"dump_by", "dump_from", "dump_to", "dump_reason"} {
		if d[key] != "" {
			t.Errorf("%s is %v", key, d[key])
		}
	}
	if got := d["if_nothing"].(map[string]any); got["limit"] != "" || got["at"] != "" {
		t.Error(got)
	}
	if got := d["ask"].(map[string]any); len(got) > 0 {
		t.Error(got)
	}
	for _, key := range []string{"readings", "actions", "forecast", "causes"} {
		if list, ok := d[key].([]any); !ok || len(list) > 0 {
			t.Errorf("%s is %v", key, d[key])
		}
	}
}

// What was understood of a brief stands with its text, value, unit and place; what was assumed beside it has none of its own and does not
// stand where the brief says it. An inch is 25.4 mm (exact, NIST SP 811).
func TestReadDocument(t *testing.T) {
	b, faults := brief.Parse("bed.yaml", []byte("bed:\n  length: 97 in\n  depth: 10 ft\nraft: {spacing: 8 in}\n"))
	if len(faults) == 0 {
		t.Fatal("a bed of ten feet of water is taken")
	}
	assumed := []finding.Assumption{{ID: "plan.spacing", Args: finding.Args{"Spacing": 10 * unit.Inch}, Path: "raft.spacing"}, {ID: "raft.assume_edge", Args: finding.Args{"Edge": 4 * unit.Inch}, Path: "raft.edge"}}
	d := answer.Read(b, assumed, faults, english(t))
	at := map[finding.Path]answer.Understood{}
	for _, v := range d.Values {
		if _, twice := at[v.Path]; twice {
			t.Errorf("%s stands twice", v.Path)
		}
		at[v.Path] = v
	}
	if v := at["bed.length"]; v.Text != "97 in" || v.Unit != "mm" || math.Abs(v.Value.(float64)-97*25.4) > 1e-9 || v.Line != 2 || v.Column != 11 || v.Assumed {
		t.Errorf("%+v", v)
	}
	if v := at["raft.spacing"]; v.Assumed || v.Text != "8 in" || math.Abs(v.Value.(float64)-203.2) > 1e-9 || v.Line != 4 {
		t.Errorf("%+v", v)
	}
	if v := at["raft.edge"]; !v.Assumed || v.Line != 0 || v.Column != 0 || v.Text == "" || math.Abs(v.Value.(float64)-101.6) > 1e-9 {
		t.Errorf("%+v", v)
	}
	if len(d.Faults) != len(faults) || d.Faults[0].Path != "bed.depth" || d.Faults[0].Line != 3 || d.Faults[0].Right == "" {
		t.Errorf("%+v", d.Faults)
	}
	asJSON(t, d) // a figure that is none would not be JSON
}

// A plan with a wrong field tells what stands, what is wrong, and what waits for it.
func TestPartialDocument(t *testing.T) {
	b, faults := brief.Parse("bed.yaml", []byte("bed: {length: 97 in, width: 49 in}\nwater: {ph: 70}\n"))
	if len(faults) != 1 {
		t.Fatal(faults)
	}
	p := plan.Job{Brief: b, Wrong: faults, Book: book, Asked: plan.Everything}.Make(nil)
	d := asJSON(t, answer.Partial(p, faults, english(t), false))
	if f := d["faults"].([]any); len(f) != 1 || f[0].(map[string]any)["path"] != "water.ph" {
		t.Errorf("%v", d["faults"])
	}
	waits := map[any]any{}
	for _, w := range d["waits"].([]any) {
		w := w.(map[string]any)
		waits[w["part"]] = w["for"]
	}
	if !reflect.DeepEqual(waits["water"], []any{"water.ph"}) || waits["frame"] != nil || waits["raft"] != nil {
		t.Errorf("%v", waits)
	}
	if d["water"] != nil || d["frame"] == nil || d["raft"] == nil {
		t.Error("what stands and what waits are not told apart")
	}
}
