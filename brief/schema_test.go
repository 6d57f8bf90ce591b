package brief

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/goccy/go-yaml"
	"github.com/santhosh-tekuri/jsonschema/v6"
	"pgregory.net/rapid"

	"raftwright/finding"
	"raftwright/unit"
)

// compiled has the schema read by a validator of JSON Schema that is not ours.
func compiled(t *testing.T) *jsonschema.Schema {
	t.Helper()
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(Schema(say)))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	c.DefaultDraft(jsonschema.Draft2020)
	if err := c.AddResource("brief.json", doc); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile("brief.json")
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// plainValue reads YAML as JSON would be read.
func plainValue(t *testing.T, text []byte) any {
	t.Helper()
	raw, err := yaml.YAMLToJSON(text)
	if err != nil {
		t.Fatalf("%v in %s", err, text)
	}
	v, err := jsonschema.UnmarshalJSON(bytes.NewReader(raw))
	if err != nil {
		t.Fatalf("%v in %s", err, raw)
	}
	return v
}

func TestSchemaAllowsWhatIsRight(t *testing.T) {
	s := compiled(t)
	texts := map[string][]byte{"everything": []byte(everything)}
	files, _ := filepath.Glob("../examples/*.yaml")
	if len(files) < 8 {
		t.Fatalf("only %d examples", len(files))
	}
	for _, f := range files {
		data, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		texts[f] = data
	}
	for _, u := range []Units{US, Metric} {
		data, _ := New(u, nil, say)
		texts["new "+string(u)] = data
	}
	for name, text := range texts {
		if err := s.Validate(plainValue(t, text)); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func TestSchemaRefusesWhatIsWrong(t *testing.T) {
	s := compiled(t)
	for _, text := range []string{
		"bed: {depth: 6}", "bed: {dept: 6 in}", "nothing: 1", "site: {kind: hme}", "bed: {count: 1.5}", "bed: {count: 5000}", "raftwright: 2", "units: imperial",
		"raft: {sheet: [4 ft]}", "water: {ph: 15}", "site: {latitude: 95}", "shelf: [{name: a, label: 20-20}]", "cut: {stock: [{price: 3 USD}]}",
		"schedule: {first harvest: tomorrow}", "prices: {head: 2.50}", "mix: {measure: 1 g}", "bed: {holds: lots}", "log: [{ph: 6}]", "acid: {product: vinegar 5 %}",
		"bed: {side board: plank}", "title: ''", "site: {climate: [a, b, c]}", "bed: [8 ft]", "log: [{at: noon}]", "schedule: {staged: maybe}", "prices: {items: {a: 2}}",
	} {
		if s.Validate(plainValue(t, []byte(text))) == nil {
			t.Errorf("the schema allows %s", text)
		}
		if _, faults := Parse("x", []byte(text)); len(faults) == 0 {
			t.Errorf("the parser allows %s", text)
		}
	}
}

// Every example of the definition is right in its own place, for the parser and
// for the schema.
func TestEveryExampleIsRight(t *testing.T) {
	s := compiled(t)
	n := 0
	var walk func(sp *spec, wrap func(string) string)
	walk = func(sp *spec, wrap func(string) string) {
		for _, f := range sp.fields {
			if k := f.described(); strings.HasPrefix(say(string(k.Help), nil), "[") || strings.HasPrefix(say(string(k.Label), nil), "[") {
				t.Errorf("%s has no help or no label: %s, %s", f.path, k.Help, k.Label)
			}
			within := func(v string) string { return wrap(f.key + ": " + v) }
			switch f.class {
			case section:
				walk(f, func(v string) string { return within("{" + v + "}") })
				continue
			case items:
				walk(f, func(v string) string { return within("[{" + v + "}]") })
				continue
			}
			for _, u := range []Units{US, Metric} {
				value := f.in(u)
				if value == "" {
					t.Errorf("%s has no example", f.key)
				}
				if f.class == table {
					value = "{a name: " + value + "}"
				}
				text := within(value)
				_, faults := Parse("x", []byte(text))
				for _, fault := range faults { // other keys of the group may be missing
					if !slices.Contains([]finding.ID{"brief.fault.missing", "brief.fault.months", "brief.fault.month_number", "brief.fault.vessel", "brief.fault.purity"}, fault.ID) {
						t.Errorf("%s: %v", text, fault)
					}
				}
				if err := s.Validate(plainValue(t, []byte(text))); err != nil && !strings.Contains(err.Error(), "missing propert") {
					t.Errorf("%s: %v", text, err)
				}
				n++
			}
		}
	}
	walk(definition(), func(v string) string { return v })
	if n < 250 {
		t.Errorf("only %d examples were tried", n)
	}
}

func TestSchemaIsTheSameEveryTime(t *testing.T) {
	if !bytes.Equal(Schema(say), Schema(say)) {
		t.Error("the schema changes")
	}
	var doc struct {
		Schema     string         `json:"$schema"`
		Properties map[string]any `json:"properties"`
	}
	if err := json.Unmarshal(Schema(say), &doc); err != nil || doc.Schema != "https://json-schema.org/draft/2020-12/schema" || len(doc.Properties) != 21 {
		t.Errorf("%v %s %d", err, doc.Schema, len(doc.Properties))
	}
}

// A quantity that the parser reads must not be underlined in an editor.
func TestSchemaIsNoStricterThanTheParser(t *testing.T) {
	pattern := regexp.MustCompile(quantitySchema(nil)[1].value.(string))
	numbers := []string{"8", "-2.5", "1e3", "3/4", "1-1/2", "1 1/2", "1½", "½", ".5", "+4", "1-1/2 ", "1,5", "1.200,5", "1\u00a0200,5", "\u22124", "5 ⅞", "1\u20112/3"}
	rapid.Check(t, func(rt *rapid.T) {
		k := rapid.SampledFrom(unit.Kinds()).Draw(rt, "kind")
		text := rapid.SampledFrom(numbers).Draw(rt, "number") + rapid.SampledFrom([]string{"", " ", "  ", "\u00a0", "-"}).Draw(rt, "gap") + rapid.SampledFrom(k.Units()).Draw(rt, "unit")
		if rapid.Bool().Draw(rt, "two") {
			text += " " + rapid.SampledFrom(numbers).Draw(rt, "second") + " " + rapid.SampledFrom(k.Units()).Draw(rt, "unit of it")
		}
		if _, err := k.Parse(text); err == nil && !pattern.MatchString(text) {
			rt.Errorf("%q is read as a %s, but the schema refuses it", text, k.Name)
		}
	})
}

func TestKeysListEverything(t *testing.T) {
	keys := Keys()
	paths := map[string]Key{}
	for _, k := range keys {
		if _, twice := paths[k.Path]; twice {
			t.Errorf("%s is listed twice", k.Path)
		}
		paths[k.Path] = k
	}
	for _, want := range []string{"raftwright", "bed.length", "raft.pot.rim", "site.months[].tmax sd", "shelf[].level teaspoon", "target.weights.potassium", "prices.items", "log[].harvested.mass", "cut.on hand[].length"} {
		if _, ok := paths[want]; !ok {
			t.Errorf("%s is not listed", want)
		}
	}
	if k := paths["bed.length"]; k.Example != "97 in" || k.Metric != "2460 mm" || k.Least+" to "+k.Most != "6 in to 60 m" {
		t.Errorf("bed.length is %+v", k)
	}
	if k := paths["site.kind"]; !slices.Equal(k.Words, []string{"home", "school", "community", "market"}) {
		t.Errorf("site.kind is %+v", k)
	}
	for _, c := range []struct{ path, kind, each, unit string }{
		{"bed", "group", "", ""}, {"shelf", "list", "", ""}, {"bed.length", "length", "", "mm"}, {"site.light", "share", "", "%"}, {"site.kind", "word", "", ""}, {"raft.sheet", "pair", "", "mm"},
		{"water.calcium", "reading", "", "mg/L"}, {"site.climate", "values", "text", ""}, {"prices.items", "table", "money", ""}, {"mix.doses", "table", "dose", "g/L"}, {"log[].planted", "group", "", ""},
		{"shelf[].spoon weights", "values", "mass", "g"}, {"bed.count", "whole", "", ""}, {"water.temperature", "temperature", "", "C"}, {"schedule.first harvest", "date", "", ""},
	} {
		if k := paths[c.path]; k.Kind != c.kind || k.Each != c.each || k.Unit != c.unit {
			t.Errorf("%s is %s of %s in %q, want %s of %s in %q", c.path, k.Kind, k.Each, k.Unit, c.kind, c.each, c.unit)
		}
	}
	if paths["log[].planted"].Short != "heads" || paths["shelf"].Max != 200 || !slices.Equal(paths["bed.depth"].Assumed, []string{"plan.depth"}) {
		t.Error("what a bare text fills, the most items or what is assumed is lost")
	}
	if !paths["site.months[].tmax"].Required || paths["bed.length"].Required {
		t.Error("what is required is mixed up")
	}
}

// The labels of a form tell its keys apart: no two of one group have the same.
func TestLabelsTellKeysApart(t *testing.T) {
	seen := map[string]string{}
	for _, k := range Keys() {
		group := k.Path[:strings.LastIndex(k.Path, ".")+1]
		label := group + say(string(k.Label), nil)
		if other := seen[label]; other != "" {
			t.Errorf("%s and %s are both %q", other, k.Path, label)
		}
		seen[label] = k.Path
	}
	if len(seen) < 300 {
		t.Errorf("only %d labels", len(seen))
	}
}
