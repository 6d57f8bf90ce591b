package brief

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"

	"raftwright/finding"
	"raftwright/unit"
)

// documents are briefs of every style: the examples, the sample of the contract,
// JSON on one line and on many, and small ones with notes in odd places.
func documents(t testing.TB) map[string]string {
	t.Helper()
	out := map[string]string{"everything": everything, "empty": "", "notes": "# only a note\n", "dashes": "---\n", "null": "null\n", "blank": "bed:\nraft:   # none yet\n  # sheet: [4 ft, 8 ft]\n",
		"braces": "{}", "json": `{"raftwright": 1, "bed": {"length": "8 ft", "count": 2}, "shelf": [{"name": "a", "label": "1-1-1"}], "title": null}`,
		"json lines": "{\n  \"title\": \"x\",\n  \"site\": {\n    \"climate\": [\"a.csv\", \"b.csv\"]\n  },\n  \"log\": [\n    {\n      \"at\": \"2027-05-03\"\n    }\n  ]\n}\n",
		"tight":      "bed: {length: 8 ft,width: 4 ft,}\ncut: {on hand: [30 in,{length: 20 in}], stock: []}\nsite: {climate: a.csv}",
		"noted":      "# head\n\n# of the title\ntitle: x # behind\n\nbed: # the bed\n  # its length\n  length: 8 ft # long\n\n  # apart\n\n  # its depth\n  depth: 6 in\n  # width: 4 ft\n\n# the shelf\nshelf: # all\n# first\n- name: a # one\n  label: 1-1-1\n\n# second\n-   name: b\n\n    label: 2-2-2 # two\n    spoon weights:\n    - 1 g\n    - 2 g\nlog:\n- at: 2027-05-03\n  planted: 32\n  added:\n    a: 1 g\n    \"b.c\": 2 g\n# end\n",
		"folded":     "title: >-\n  two\n  lines\ncrop:\n  name:\n    lettuce\nwater:\n  name: |\n    a\n    b\n", "quoted": "title: 'it''s'\nwater: {\"name\": \"a\\tb\", 'ph': '7'}\n",
		"twice": "bed: {depth: 6 in, depth: 7 in}\ntitle: a\ntitle: b\n", "wrong": "bed: 8 ft\nshelf: {name: a}\nsite: [a]\nraft: {sheet: 4 ft}\nnothing: 1\n? odd\n: key\nacid: &a {}\nmix: !!map {}\n",
		"pairs in a list": "shelf: [fname: a, label: 20-20-20, formula: KNO3]\n", "cross": "raft: {sheet: 4 ft x 8 ft}\n", "list": "- a\n- b\n", "text": "just a text", "no end": "title: a\nbed:\n  depth: 6 in", "deep": "   bed:\n      depth: 6 in\n      length: 97 in\n   title: a\n"}
	files, _ := filepath.Glob("../examples/*.yaml")
	for _, f := range append(files, "testdata/sample.yaml") {
		data, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		out[f] = string(data)
	}
	if len(out) < 30 {
		t.Fatalf("only %d documents", len(out))
	}
	return out
}

var samePlaces = cmp.Options{cmpopts.IgnoreUnexported(Brief{}), cmpopts.IgnoreTypes(Place{}), cmpopts.IgnoreFields(Brief{}, "File")}

// codes tells faults without their places, for a change moves what stands behind it.
func codes(all finding.Faults) []string {
	var out []string
	for _, f := range all {
		args := fmt.Sprint(f.Path, " ", f.ID)
		for _, k := range []string{"Text", "Key", "First", "Count", "Example"} {
			args += fmt.Sprintf(" %s=%v", k, f.Args[k])
		}
		out = append(out, args)
	}
	slices.Sort(out)
	return out
}

// differs tells how a brief differs from that which its own text gives.
func differs(b *Brief, faults finding.Faults) string {
	text := b.Encode()
	again, told := Parse(b.File, text)
	return cmp.Diff(b, again, samePlaces) + cmp.Diff(codes(faults), codes(told)) + cmp.Diff(heard(b), heard(again))
}

func heard(b *Brief) []string {
	var out []string
	for _, v := range b.Values() {
		out = append(out, fmt.Sprintf("%s = %q %v %v %s", v.Path, v.Text, v.Plain, v.Value, v.Unit))
	}
	return out
}

func TestWhatNobodyChangedIsWrittenAsItWasRead(t *testing.T) {
	for name, text := range documents(t) {
		b, faults := Parse("x", []byte(text))
		if got := string(b.Encode()); got != text {
			t.Errorf("%s: written as\n%s\nwas\n%s", name, got, text)
		}
		if d := differs(b, faults); d != "" {
			t.Errorf("%s: %s", name, d)
		}
	}
}

// change is one edit of a live form.
func change(t *rapid.T, b *Brief) (*Brief, finding.Faults, string) {
	paths := []finding.Path{"title", "units", "bed.length", "bed.side board", "raft.sheet", "raft.sheet[1]", "raft.pot.rim", "bed.space", "raft.obstacles[0].at", "site.climate", "site.climate[0]", "site.climate[1]", "site.months[3].tmax",
		"site.months[0].month", "water.calcium", "shelf[0]", "shelf[1]", "shelf[0].name", "shelf[2].label", "shelf[0].spoon weights[0]", "shelf[1].price", "target.least.calcium", "target.weights", "meter.shows", "meter.known.ec",
		"prices.items.foam board", `prices.items["2.5 in"]`, "prices.items", "cut.on hand[0]", "cut.on hand[0].length", "cut.on hand[1].count", "log[0].planted", "log[0].planted.heads", "log[0].planted.crop",
		"log[1].ec", "log[0].added.a", "log[0].seen[0]", "log[0].lab.ph", "schedule.harvest days[0]", "bed", "site.months", "log", "log[0]", "crop.name", "mix.doses.a", "raftwright", "title.x", "nothing", "bed[0]", "shelf[9].name", ""}
	for _, v := range b.Values() {
		paths = append(paths, v.Path)
	}
	path := rapid.SampledFrom(paths).Draw(t, "path")
	text := rapid.SampledFrom([]string{"", "", "8 ft", "1,200 ft", "97 in", "a: b", "it's # not", "  x ", "null", "ppm 500", "700 ppm", "20-20-20", "[4 ft, 8 ft]", "{heads: 3, crop: basil}", "{name: z, label: 1-1-1}", "-1/4 in",
		"2", "yes", "2027-05-03T08:00", "48 USD", "ünï — \"q\"", "{", "[[x]", "*a", "- x", "4 ft x 8 ft", "2x8", "true", "7.5", "{a.b: 1 g, c: 2 g}", "two\nlines"}).Draw(t, "text")
	switch rapid.IntRange(0, 5).Draw(t, "how") {
	case 0:
		next, faults := b.Add(path, text)
		return next, faults, fmt.Sprintf("Add %q %q", path, text)
	case 1:
		to := rapid.IntRange(0, 3).Draw(t, "to")
		next, faults := b.Move(path, to)
		return next, faults, fmt.Sprintf("Move %q %d", path, to)
	}
	next, faults := b.Set(path, text)
	return next, faults, fmt.Sprintf("Set %q %q", path, text)
}

// Whatever is changed, the brief is the one that its text gives, and the one
// before stays as it was.
func TestChangesAreWhatTheTextSays(t *testing.T) {
	all := documents(t)
	names := make([]string, 0, len(all))
	for name := range all {
		names = append(names, name)
	}
	slices.Sort(names)
	rapid.Check(t, func(rt *rapid.T) {
		b, _ := Parse("x", []byte(all[rapid.SampledFrom(names).Draw(rt, "document")]))
		for range rapid.IntRange(1, 6).Draw(rt, "changes") {
			before, was := b.Encode(), heard(b)
			next, faults, how := change(rt, b)
			if !bytes.Equal(before, b.Encode()) || !slices.Equal(was, heard(b)) {
				rt.Fatalf("%s changed the brief that it began with", how)
			}
			if next == nil {
				if len(faults) == 0 {
					rt.Fatalf("%s gives no brief and no fault", how)
				}
				continue
			}
			if d := differs(next, faults); d != "" {
				rt.Fatalf("%s of\n%s\ngives\n%s\nwhich says otherwise:\n%s", how, before, next.Encode(), d)
			}
			b = next
		}
	})
}

func TestSet(t *testing.T) {
	for _, c := range []struct{ text, path, value, want string }{
		{"bed:\n  length: 8 ft # long\n  depth: 6 in\n", "bed.length", "97 in", "bed:\n  length: 97 in # long\n  depth: 6 in\n"},
		{"bed:\n  length: 8 ft\n", "bed.depth", "6 in", "bed:\n  length: 8 ft\n  depth: 6 in\n"},
		{"bed: {length: 8 ft}\n", "bed.depth", "6 in", "bed: {length: 8 ft, depth: 6 in}\n"},
		{"title: a\nmix: !!map {}\n", "mix.bucket", "5 gal", "title: a\nmix:\n  bucket: 5 gal\n"},
		{"title: a\ncrop:\n  name:\n    lettuce\nunits: us\n", "crop.name", "", "title: a\ncrop:\nunits: us\n"}, // the value stands below its key
		{"raft: {sheet: [4 ft, 8 ft]}\n", "raft.sheet[0]", "12:30", "raft: {sheet: [\"12:30\", 8 ft]}\n"},       // bare it would be a key and its value
		{"bed: {}", "bed.depth", "6 in", "bed: {depth: 6 in}\n"},
		{"title: a", "bed.depth", "6 in", "title: a\nbed:\n  depth: 6 in\n"},
		{"# mine\n", "bed.depth", "6 in", "# mine\nbed:\n  depth: 6 in\n"},
		{"bed:   # the bed\n# end\n", "bed.depth", "6 in", "bed:   # the bed\n  depth: 6 in\n# end\n"},
		{"bed:\n  length: 8 ft\n  depth: 6 in\n", "bed.length", "", "bed:\n  depth: 6 in\n"},
		{"bed: {length: 8 ft, depth: 6 in}\n", "bed.length", "", "bed: {depth: 6 in}\n"},
		{"bed: {length: 8 ft, depth: 6 in}\n", "bed.depth", "", "bed: {length: 8 ft}\n"},
		{"title: a\n\n# the bed\nbed:\n  depth: 6 in\n", "bed", "", "title: a\n\n"},
		{"shelf:\n  - name: a\n    label: 1-1-1\n", "shelf[1].name", "b", "shelf:\n  - name: a\n    label: 1-1-1\n  - name: b\n"},
		{"shelf:\n- name: a\n  label: 1-1-1\n", "shelf[0].name", "", "shelf:\n- label: 1-1-1\n"},
		{"shelf:\n- name: a\n  label: 1-1-1\n- name: b\n", "shelf[0]", "", "shelf:\n- name: b\n"},
		{"", "shelf[0].name", "a", "shelf:\n  - name: a\n"},
		{"", "log[0].planted.heads", "3", "log:\n  - planted:\n      heads: 3\n"},
		{"log: [{at: 2027-05-03, planted: 32}]", "log[0].planted.crop", "basil", "log: [{at: 2027-05-03, planted: {heads: 32, crop: basil}}]\n"},
		{"log: [{at: 2027-05-03, planted: 32}]", "log[0].planted.heads", "33", "log: [{at: 2027-05-03, planted: 33}]\n"},
		{"site: {climate: a.csv}", "site.climate[1]", "b.csv", "site: {climate: [a.csv, b.csv]}\n"},
		{"", "raft.sheet", "[4 ft, 8 ft]", "raft:\n  sheet: [4 ft, 8 ft]\n"},
		{"raft: {sheet: [4 ft, 8 ft]}\n", "raft.sheet[1]", "2.4 m", "raft: {sheet: [4 ft, 2.4 m]}\n"},
		{"", `found.amounts["20.5-0-0"]`, "2 tsp", "found:\n  amounts:\n    20.5-0-0: 2 tsp\n"},
		{"", "title", "a: b", "title: \"a: b\"\n"},
		{"raft: {sheet: 4 ft x 8 ft}", "raft.sheet[1]", "10 ft", "raft: {sheet: [4 ft, 10 ft]}"},
		{`{"bed": {"length": "8 ft"}}`, "bed.depth", "6 in", `{"bed": {"length": "8 ft", "depth": "6 in"}}`},
		{"{\n  \"bed\": {\n    \"length\": \"8 ft\"\n  }\n}\n", "bed.depth", "6 in", "{\n  \"bed\": {\n    \"length\": \"8 ft\",\n    \"depth\": \"6 in\"\n  }\n}\n"},
	} {
		b, _ := Parse("x", []byte(c.text))
		b, _ = b.Set(finding.Path(c.path), c.value)
		if got := string(b.Encode()); strings.TrimSuffix(got, "\n") != strings.TrimSuffix(c.want, "\n") {
			t.Errorf("%q in %q gives\n%q, want\n%q", c.path+"="+c.value, c.text, got, c.want)
		}
	}
}

func TestAddAndMove(t *testing.T) {
	b := mustParse(t, "cut:\n  stock:\n    - 8 ft   # short\n    - 10 ft\nprices: {items: {a: 1 USD, b: 2 USD, c: 3 USD}}\n")
	b, _ = b.Move("cut.stock[0]", 1)
	b, _ = b.Add("cut.stock[1]", "12 ft")
	b, _ = b.Move("prices.items.c", 0)
	b, faults := b.Set("prices.items.b", "")
	want := "cut:\n  stock:\n    - 10 ft\n    - 12 ft\n    - 8 ft   # short\nprices: {items: {c: 3 USD, a: 1 USD}}\n"
	if got := string(b.Encode()); got != want || len(faults) > 0 || len(b.Cut.Stock) != 3 || b.Prices.Items[0].Name != "c" {
		t.Errorf("%v gives\n%s\nwant\n%s", faults, got, want)
	}
	if b, faults := b.Add("cut.stock[3]", ""); len(faults) != 1 || faults[0].ID != "brief.fault.missing" || len(b.Cut.Stock) != 4 {
		t.Errorf("an empty item gives %v", faults)
	}
}

func TestPathsThatAreNone(t *testing.T) {
	b := mustParse(t, everything)
	for path, id := range map[finding.Path]finding.ID{"": "brief.fault.no_key", "bed.dept": "brief.fault.unknown", "bed[0]": "brief.fault.no_key", "shelf": "brief.fault.not", "shelf[5].name": "brief.fault.no_item", "title.x": "brief.fault.no_key",
		"raft.sheet[0][1]": "brief.fault.no_key", "prices.items.a.b": "brief.fault.no_key", "raft.sheet[5]": "brief.fault.no_item", "[": "brief.fault.no_key"} {
		next, faults := b.Set(path, "{")
		if next != nil || len(faults) != 1 || faults[0].ID != id {
			t.Errorf("%q gives %v, want %s", path, codes(faults), id)
		}
	}
	for _, path := range []finding.Path{"bed", "bed.length", "shelf[7]", "log[1]"} {
		if next, faults := b.Move(path, 9); next != nil || len(faults) != 1 || faults[0].ID != "brief.fault.no_item" {
			t.Errorf("%q is moved: %v", path, faults)
		}
	}
	for _, path := range []finding.Path{"bed.length", "site.climate[0]"} {
		if next, faults := b.Add(path, ""); next != nil || len(faults) != 1 || faults[0].ID != "brief.fault.no_item" {
			t.Errorf("%q is added: %v", path, faults)
		}
	}
	broken, told := Parse("x", []byte("bed: {"))
	if next, faults := broken.Set("title", "x"); next != nil || len(faults) != len(told) || broken.Encode() != nil {
		t.Errorf("a file that cannot be read is written over: %v", faults)
	}
}

func TestAFaultIsFoundByItsPath(t *testing.T) {
	b := mustParse(t, "title: x\nbed: {depth: 6 in}\nraft: {sheet: [4 ft, 8 ft]}\nprices: {items: {\"a.b\": 2 USD}}\nshelf:\n  - name: a\n    label: 1-1-1\n")
	for path, want := range map[finding.Path]Place{"title": {1, 8}, "bed": {2, 1}, "bed.depth": {2, 14}, "bed.width": {2, 1}, "raft.sheet[1]": {3, 15}, `prices.items["a.b"]`: {4, 25}, "prices.items.c": {4, 1},
		"shelf[0].label": {7, 12}, "shelf[0].price": {6, 5}, "shelf[9]": {}, "water": {}, "": {}, "nothing": {}} {
		if got := b.PlaceOf(path); got != want {
			t.Errorf("%q stands at %v, want %v", path, got, want)
		}
	}
	if f := b.Locate(finding.Fault{ID: "x", Path: "water"}); f.Line != 1 || f.Column != 1 || f.File != "test.yaml" {
		t.Errorf("what was not written stands at %v", f)
	}
	if f := b.Locate(finding.Fault{File: "months.csv", Line: 7, Column: 2}); f.Line != 7 || f.File != "months.csv" {
		t.Errorf("a fault of another file is moved: %v", f)
	}
}

// A form and a database give the same brief as the file.
func TestPairsGiveTheSameBrief(t *testing.T) {
	for name, text := range documents(t) {
		b, faults := Parse("x", []byte(text))
		if len(faults) > 0 {
			continue
		}
		var pairs []Pair
		for _, v := range b.Values() {
			pairs = append(pairs, Pair{v.Path, v.Text}, Pair{"water.name", " "})
		}
		again, told := FromPairs("x", pairs)
		if d := cmp.Diff(heard(b), heard(again)); d != "" || len(told) > 0 {
			t.Errorf("%s: %v\n%s", name, told, d)
		}
		if d := differs(again, told); d != "" {
			t.Errorf("%s: %s", name, d)
		}
	}
}

func TestPairsThatAreWrong(t *testing.T) {
	b, faults := FromPairs("form", []Pair{{"title", "x"}, {"bed.dept", "6 in"}, {"bed.depth", "6"}, {"shelf[4].name", "a"}, {"shelf[7].name", "b"}, {"shelf[4].label", "1-1-1"}, {"", "x"}})
	if want := []string{"form:2:1: brief.fault.unknown at bed.dept", "form:3:1: unit.fault.no_unit at bed.depth", "form:7:1: brief.fault.no_key at "}; faults.Error() != strings.Join(want, "\n") {
		t.Errorf("%v", faults)
	}
	if len(b.Shelf) != 2 || !b.Shelf[0].Label.Given || b.Title.Value != "x" {
		t.Errorf("%s", b.Encode())
	}
	if _, faults := FromPairs("form", make([]Pair, mostLines+1)); len(faults) != 1 || faults[0].ID != "brief.fault.crowded" {
		t.Errorf("%v", faults)
	}
}

func TestValuesTellWhatWasUnderstood(t *testing.T) {
	b, _ := Parse("x", []byte("title: A bed\nbed: {length: '1,200 mm', depth: 6, holds: auto, side board: 2 x 8}\nraft: {sheet: [4 ft, 8 ft]}\nwater: {calcium: 78 mg/L, nitrate-n: 40 mg/L NO3, hardness: 5 gr/gal, ec: 700 ppm 500}\nacid: {product: nitric 60 %, dose: 1 mmol/L}\n"+
		"schedule: {staged: yes, people: 3, first harvest: 2027-04-15}\nprices: {labor: 15 USD/h, items: {a: 2 EUR}}\nsite: {kind: HOME, latitude: 42.4}\nmix: {measure: Spoons}\nlog: [{at: 2027-05-03, planted: 32, added: {a: 1 tsp, b: 2 g}}]\nnothing: 1\nmeter: {shows: ppm 700}\n"))
	want := []string{`title = "A bed"  A bed `, `bed.length = "1,200 mm" 1200 mm 1200 mm`, `bed.depth = "6"  <nil> `, `bed.holds = "auto"  auto `, `bed.side board = "2 x 8"  2x8 `, `raft.sheet[0] = "4 ft"  1219.2 mm`, `raft.sheet[1] = "8 ft"  2438.4 mm`,
		`water.calcium = "78 mg/L"  78 mg/L`, `water.nitrate-n = "40 mg/L NO3"  40 mg/L NO3`, `water.hardness = "5 gr/gal"  85.5903 mg/L CaCO3`, `water.ec = "700 ppm 500"  1.4 mS/cm`, `acid.product = "nitric 60 %"  nitric 60 % `, `acid.dose = "1 mmol/L"  1 mmol/L`,
		`schedule.staged = "yes"  true `, `schedule.people = "3"  3 `, `schedule.first harvest = "2027-04-15"  2027-04-15 `, `prices.labor = "15 USD/h"  15 USD/h`, `prices.items.a = "2 EUR"  2 EUR`, `site.kind = "HOME"  home `, `site.latitude = "42.4"  42.4 deg`, `mix.measure = "Spoons"  Spoons `,
		`log[0].at = "2027-05-03"  2027-05-03T00:00 `, `log[0].planted = "32"  32 `, `log[0].added.a = "1 tsp"  4.92892 mL`, `log[0].added.b = "2 g"  2 g`, `meter.shows = "ppm 700"  ppm 700 `}
	var got []string
	for _, v := range b.Values() {
		value := v.Value
		if x, is := value.(float64); is {
			value = fmt.Sprintf("%.6g", x)
		}
		got = append(got, fmt.Sprintf("%s = %q %s %v %s", v.Path, v.Text, v.Plain, value, v.Unit))
	}
	if d := cmp.Diff(want, got); d != "" {
		t.Error(d)
	}
}

// An assumption names the keys that it stands in for, and the value that it took.
func TestAssumedTellsTheKey(t *testing.T) {
	for _, c := range []struct {
		a    finding.Assumption
		want string
	}{
		{finding.Assumption{ID: "plan.depth", Args: finding.Args{"Depth": 6 * unit.Inch}}, "[{bed.depth   152.39999999999998 mm {0 0}}]"},
		{finding.Assumption{ID: "plan.inside", Args: finding.Args{"Length": 8 * unit.Foot, "Width": unit.Metre}}, "[{bed.length   2438.4 mm {0 0}} {bed.width   1000 mm {0 0}}]"},
		{finding.Assumption{ID: "plan.lumber", Args: finding.Args{"Lumber": "southern-pine-2"}}, "[{bed.lumber   southern-pine-2  {0 0}}]"},
		{finding.Assumption{ID: "mix.assume_teaspoon", Args: finding.Args{"Mass": 5 * unit.Gram}}, "[{shelf   <nil>  {0 0}}]"},
		{finding.Assumption{ID: "water.temperature", Args: finding.Args{"Temperature": unit.Temperature(25)}}, "[{water.temperature   25 C {0 0}}]"},
		{finding.Assumption{ID: "raft.assume_pot", Args: finding.Args{"Depth": unit.Inch, "Rim": unit.Inch}}, "[{raft.pot.height   <nil>  {0 0}} {raft.pot.rim   25.4 mm {0 0}}]"},
		{finding.Assumption{ID: "plan.nothing"}, "[]"},
	} {
		if got := fmt.Sprint(Assumed(c.a)); got != c.want {
			t.Errorf("%s stands in for %s, want %s", c.a.ID, got, c.want)
		}
	}
	for _, k := range Keys() {
		for _, id := range k.Assumed {
			if strings.HasPrefix(say(id, nil), "[") || strings.HasPrefix(say("replace."+id, nil), "[") {
				t.Errorf("%s: the assumption %s has no sentence", k.Path, id)
			}
		}
	}
}

// Any file, any form and any change: a brief, sound faults, and what is written
// says the same again.
func FuzzDocument(f *testing.F) {
	for _, text := range documents(f) {
		f.Add(text, "bed.length", "8 ft", 0)
	}
	for _, c := range faultCases {
		f.Add(strings.Replace(c.text, "§", "", 1), "shelf[0].name", "a: b", 1)
	}
	f.Fuzz(func(t *testing.T, text, path, value string, to int) {
		b, faults := Parse("f.yaml", []byte(text))
		if b.doc == nil {
			return
		}
		if got := string(b.Encode()); got != strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(strings.TrimPrefix(text, "\ufeff")) && !strings.Contains(text, "&") && !strings.Contains(text, "*") && !strings.Contains(text, "!") {
			t.Fatalf("%q is written as %q", text, got)
		}
		_ = faults
		for _, change := range []func() (*Brief, finding.Faults){
			func() (*Brief, finding.Faults) { return b.Set(finding.Path(path), value) },
			func() (*Brief, finding.Faults) { return b.Add(finding.Path(path), value) },
			func() (*Brief, finding.Faults) { return b.Move(finding.Path(path), to) },
		} {
			next, faults := change()
			for _, f := range faults {
				if what(f) == "" || right(f) == "" || f.Line < 1 || f.Column < 1 {
					t.Fatalf("%v", f)
				}
			}
			if next != nil {
				if d := differs(next, faults); d != "" {
					t.Fatalf("%q=%q in %q gives %q: %s", path, value, text, next.Encode(), d)
				}
			}
		}
	})
}

func FuzzPairs(f *testing.F) {
	f.Add("bed.length=8 ft\nshelf[3].name=a\nprices.items[\"a.b\"]=2 USD\nraft.sheet=[4 ft, 8 ft]\nlog[0].planted=3\nlog[0].planted.crop=kale")
	f.Fuzz(func(t *testing.T, text string) {
		var pairs []Pair
		for line := range strings.Lines(text) {
			path, value, _ := strings.Cut(strings.TrimSuffix(line, "\n"), "=")
			pairs = append(pairs, Pair{finding.Path(path), value})
		}
		b, faults := FromPairs("form", pairs)
		for _, f := range faults {
			if what(f) == "" || right(f) == "" || f.Line < 1 || f.Line > len(pairs) {
				t.Fatalf("%v", f)
			}
		}
		again, _ := Parse("x", b.Encode())
		if d := cmp.Diff(heard(b), heard(again)); d != "" {
			t.Fatalf("%q gives %q: %s", text, b.Encode(), d)
		}
	})
}

func demonstration(b *testing.B) *Brief {
	data, err := os.ReadFile("../examples/demo.yaml")
	if err != nil {
		b.Fatal(err)
	}
	brief, faults := Parse("demo.yaml", data)
	if len(faults) > 0 {
		b.Fatal(faults)
	}
	return brief
}

func BenchmarkParseDemo(b *testing.B) {
	data := demonstration(b).Encode()
	for b.Loop() {
		Parse("x", data)
	}
}

func BenchmarkSet(b *testing.B) {
	demo := demonstration(b)
	for _, c := range []struct{ path, text string }{{"title", "x"}, {"bed.length", "96 in"}, {"water.calcium", "80 mg/L"}, {"shelf[2].price", "7 USD"}, {"site.months[5].tmax", "26 C"}, {"log[3].ph", "6.1"}, {"prices.head", "2 USD"}, {"meter.shows", "ppm 700"}} {
		b.Run(c.path, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				demo.Set(finding.Path(c.path), c.text)
			}
		})
	}
}

func BenchmarkEncode(b *testing.B) {
	demo := demonstration(b)
	b.ReportAllocs()
	for b.Loop() {
		demo.Encode()
	}
}

func TestAShelfFileOnlyHoldsAShelf(t *testing.T) {
	for _, c := range []struct{ own, file, want string }{
		{"", "shelf: [{name: a, label: 1-1-1}]", ""},
		{"", "title: x", "brief.fault.shelf_empty"},
		{"", "shelf: [{name: a}]\nwater: {ph: 7}", "brief.fault.shelf_section"},
		{"prices: {currency: USD}", "shelf: [{name: a, price: 2 EUR}]", "brief.fault.shelf_currency"},
		{"shelf: [{name: b, price: 1 USD}, {name: A, price: 2 USD}]", "shelf: [{name: a, price: 2 EUR}]", ""},
	} {
		b := mustParse(t, "shelf file: own.yaml\n"+c.own)
		faults := b.TakeShelf(mustParse(t, c.file))
		if c.want == "" && (len(faults) > 0 || len(b.Shelf) == 0) || c.want != "" && (len(faults) != 1 || string(faults[0].ID) != c.want || faults[0].Line != 1 || faults[0].Path != "shelf file") {
			t.Errorf("%q and %q give %v", c.own, c.file, faults)
		}
	}
}

// A path with a mistake in it changes nothing, and not what lies around the mistake.
func TestSetRefusesWhatIsNoPath(t *testing.T) {
	b, faults := Parse("bed.yaml", []byte("shelf:\n  - calcium nitrate\n  - Epsom salt\nbed: {length: 8 ft}\n"))
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	for _, path := range []finding.Path{"shelf[-1].name", "shelf[", "shelf[]", "shelf[x]", "shelf[0].", "shelf[99999999999999999999]", "bed.", "bed..length", `shelf["`} {
		for _, text := range []string{"", "potassium nitrate"} {
			if next, faults := b.Set(path, text); next != nil || len(faults) == 0 {
				t.Errorf("%q = %q was taken: %v", path, text, faults)
			}
		}
	}
}

// A grade is asked for as label; who writes grade is told so.
func TestOtherNamesOfAKey(t *testing.T) {
	for _, c := range []struct{ text, path, near string }{
		{"shelf: [{name: a, grade: 20-20-20}]", "shelf[0].grade", "label"},
		{"shelf: [{name: a, NPK: 5-12-26}]", "shelf[0].NPK", "label"},
		{"acid: {product: citric acid, grade: 0-31-0}", "acid.grade", "label"},
		{"water: {chlorine: 1 mg/L}", "water.chlorine", "free chlorine"}, // not chloride, which is a salt
	} {
		_, faults := Parse("b.yaml", []byte("raftwright: 1\n"+c.text+"\n"))
		if len(faults) != 1 || faults[0].ID != "brief.fault.unknown" || string(faults[0].Path) != c.path || faults[0].Args["Near"] != c.near {
			t.Errorf("%s: %v", c.text, faults)
		}
	}
}
