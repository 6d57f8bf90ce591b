//go:build !js

package main

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"

	"raftwright/answer"
	"raftwright/cmd/forbrowser"
	"raftwright/finding"
	"raftwright/lang"
	"raftwright/plan"
)

// mostMegabytes is the most that the packed engine may weigh, in 10^6 bytes: on a
// line of 1.6 Mbit/s that is eight seconds, once.
const mostMegabytes = 1.6

// mostOfABundle is the most that the packed sentences of a language may weigh.
const mostOfABundle = 0.075

type built struct{ folder, needs string }

// once builds the engine for all tests.
var once = sync.OnceValues(func() (built, error) {
	folder, err := os.MkdirTemp("", "engine")
	if err != nil {
		return built{}, err
	}
	needs, err := forbrowser.Engine.Build(folder)
	return built{folder, needs}, err
})

func TestMain(m *testing.M) {
	code := m.Run()
	if !testing.Short() {
		e, _ := once()
		os.RemoveAll(e.folder)
	}
	os.Exit(code)
}

func theEngine(t *testing.T) built {
	t.Helper()
	if testing.Short() {
		t.Skip("building for the browser takes a minute")
	}
	e, err := once()
	if err != nil {
		t.Fatal(err)
	}
	return e
}

// One call of a method by its name, as templates make it, keeps every exported
// method of every type in the engine: the linker then marks what asks for it.
var reflects = regexp.MustCompile(`<ReflectMethod>`)

func TestNoMethodIsCalledByName(t *testing.T) {
	e := theEngine(t)
	if n := strings.Count(e.needs, "\n"); n < 10_000 || !strings.Contains(e.needs, "raftwright/plan.Job.Make") {
		t.Fatalf("saw only %d lines of what needs what", n)
	}
	for line := range strings.Lines(e.needs) {
		if reflects.MatchString(line) {
			t.Errorf("a method is called by its name: %s", line)
		}
	}
	// a program that does so is seen
	folder := t.TempDir()
	text := "package main\n\nimport (\"os\"; \"reflect\"; \"time\")\n\nfunc main() { reflect.ValueOf(time.Now()).MethodByName(os.Args[0]).Call(nil) }\n"
	if err := os.WriteFile(filepath.Join(folder, "main.go"), []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command("go", "build", "-ldflags=-dumpdep", "-o", filepath.Join(folder, "x"), filepath.Join(folder, "main.go"))
	if out, err := cmd.CombinedOutput(); err != nil || !reflects.Match(out) {
		t.Errorf("the guard does not see a method called by its name: %v", err)
	}
}

func TestEngineIsSmall(t *testing.T) {
	t.Parallel()
	folder := theEngine(t).folder
	sentences, err := filepath.Glob(filepath.Join(folder, "sentences.*.toml"))
	if err != nil || len(sentences) == 0 {
		t.Fatal(sentences, err)
	}
	light := func(file string, least, most float64) {
		plain, mb, err := forbrowser.Weigh(node(t), file)
		if err != nil {
			t.Fatal(err)
		}
		t.Logf("%s %.3f MB, packed %.3f MB", filepath.Base(file), plain, mb)
		if mb > most || mb < least {
			t.Errorf("%s is %.3f MB packed, not %v to %v: see docs/offline.md for what weighs", filepath.Base(file), mb, least, most)
		}
	}
	light(filepath.Join(folder, "engine.wasm"), 1, mostMegabytes)
	for _, file := range sentences {
		light(file, mostOfABundle/4, mostOfABundle)
	}
}

// node finds the program that runs the engine and packs it.
func node(t *testing.T) string {
	t.Helper()
	path, err := exec.LookPath("node")
	if err != nil {
		if os.Getenv("CI") != "" {
			t.Fatal("node is missing: ./check installs it")
		}
		t.Skip("node is missing; ./check installs it on Debian")
	}
	return path
}

// The browser and this machine agree on every example: the same sentences, and
// every number to twelve significant digits. (Go's Exp, Log and Hypot are written
// in assembly for some machines and differ in the last digit.)
func TestEngineAgreesWithThisMachine(t *testing.T) {
	t.Parallel()
	e := theEngine(t)
	program := node(t)
	texts := map[string]string{}
	var briefs []string
	names, err := filepath.Glob("../../examples/*")
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range names {
		data, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		texts[filepath.Base(name)] = string(data)
		if strings.HasSuffix(name, ".yaml") {
			briefs = append(briefs, filepath.Base(name))
		}
	}
	texts["wrong.yaml"] = "bed:\n  lenght: 8 ft\nsite: {climate: [none.csv]}\n"
	briefs = append(briefs, "wrong.yaml")
	if len(briefs) < 10 {
		t.Fatalf("only %d examples", len(briefs))
	}
	briefs = append(briefs, "home.yaml") // again, much of it remembered
	var asked [][]any
	for _, b := range briefs {
		asked = append(asked, []any{b, texts[b], texts, true})
	}
	questions := filepath.Join(t.TempDir(), "questions.json")
	data, _ := json.Marshal(asked)
	if err := os.WriteFile(questions, data, 0o644); err != nil {
		t.Fatal(err)
	}
	if out, err := exec.Command(program, "testdata/run.js", e.folder, questions).CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	data, err = os.ReadFile(questions)
	if err != nil {
		t.Fatal(err)
	}
	var answers []string
	if err := json.Unmarshal(data, &answers); err != nil {
		t.Fatal(err)
	}
	if i := slices.Index(briefs, "home.yaml"); answers[i] != answers[len(answers)-1] {
		t.Error("the engine gives another answer to the same question")
	}
	numbers, native := 0, native(t)
	for i, b := range briefs {
		here, err := native.plan(b, texts[b], func(name string) (string, bool) { s, ok := texts[name]; return s, ok }, true)
		if err != nil {
			t.Fatal(err)
		}
		var one, two any
		if err := json.Unmarshal([]byte(answers[i]), &one); err != nil {
			t.Fatalf("%s: %v", b, err)
		}
		if err := json.Unmarshal(here, &two); err != nil {
			t.Fatalf("%s: %v", b, err)
		}
		if faults := two.(map[string]any)["faults"].([]any); (len(faults) > 0) != (b == "wrong.yaml") {
			t.Errorf("%s: %v", b, faults)
		}
		agree(t, b, one, two, &numbers)
	}
	if numbers < 10_000 {
		t.Errorf("only %d numbers were compared", numbers)
	}
}

// native is the engine on this machine, with the English bundle.
func native(t *testing.T) *engine {
	t.Helper()
	bundles, err := lang.Bundles(forbrowser.Engine.Silent...)
	if err != nil {
		t.Fatal(err)
	}
	e := &engine{book: plan.DefaultBook()}
	if err := e.speak(bundles["en"]); err != nil {
		t.Fatal(err)
	}
	return e
}

// Without sentences the engine says which are missing; what is no bundle is refused,
// and the one before it stays.
func TestEngineWithoutSentences(t *testing.T) {
	e := &engine{book: plan.DefaultBook()}
	none := func(string) (string, bool) { return "", false }
	if got, err := e.plan("a.yaml", "", none, false); err == nil || !strings.Contains(err.Error(), "raftwright.speak") || got != nil {
		t.Errorf("%v: %s", err, got)
	}
	if err := e.speak("<!doctype html>"); err == nil {
		t.Errorf("a page was taken for sentences: %v", err)
	}
	e = native(t)
	if err := e.speak("word.and = \"y\"\n"); err == nil {
		t.Error("sentences without a language were taken for a bundle")
	}
	got, err := e.plan("a.yaml", "bed: {length: 97 in, width: 49 in, depth: 6 in}\n", none, true)
	if err != nil || strings.Contains(string(got), "[plan.") {
		t.Errorf("%v: %.500s", err, got)
	}
}

// agree compares two documents.
func agree(t *testing.T, at string, one, two any, numbers *int) {
	switch a := one.(type) {
	case map[string]any:
		b, ok := two.(map[string]any)
		if !ok || len(a) != len(b) {
			t.Errorf("%s: other keys", at)
			return
		}
		for k, v := range a {
			agree(t, at+"."+k, v, b[k], numbers)
		}
	case []any:
		b, ok := two.([]any)
		if !ok || len(a) != len(b) {
			t.Errorf("%s: a list of another length", at)
			return
		}
		for i, v := range a {
			agree(t, fmt.Sprintf("%s[%d]", at, i), v, b[i], numbers)
		}
	case float64:
		*numbers++
		b, ok := two.(float64)
		if !ok || math.Abs(a-b) > 1e-12*math.Max(math.Abs(a), math.Abs(b)) {
			t.Errorf("%s: %v in the browser, %v here", at, one, two)
		}
	default:
		if one != two {
			t.Errorf("%s: %v in the browser, %v here", at, one, two)
		}
	}
}

// A file that the brief names and the page does not give is a fault at its place;
// what does not rest on it stands.
func TestFilesThatAreNotHere(t *testing.T) {
	e := native(t)
	text := "bed: {length: 97 in, width: 49 in, depth: 6 in}\nsite:\n  climate: [none.csv]\n  latitude: 42\n  longitude: -76\nshelf file: other.yaml\n"
	none := func(string) (string, bool) { return "", false }
	got, err := e.plan("a.yaml", text, none, false)
	var doc struct {
		Faults []answer.Fault
		Frame  *struct{ Verdict string }
	}
	if err != nil || json.Unmarshal(got, &doc) != nil || len(doc.Faults) != 2 || doc.Frame == nil || doc.Frame.Verdict == "" {
		t.Fatalf("%v: %s", err, got)
	}
	for i, want := range []string{"none.csv", "other.yaml"} {
		f := doc.Faults[i]
		if f.Line != []int{3, 6}[i] || f.File != "a.yaml" || f.Code != FaultNotGiven || f.Path != []finding.Path{"site.climate[0]", "shelf file"}[i] || !strings.Contains(f.What, want) || f.Right == "" {
			t.Errorf("%+v", f)
		}
	}
	// given, they are read
	given := func(name string) (string, bool) {
		return map[string]string{"none.csv": "no,such,head\n", "other.yaml": "shelf: [{name: Epsom salt, formula: MgSO4.7H2O}]\n"}[name], true
	}
	if got, err = e.plan("a.yaml", text, given, false); err != nil || json.Unmarshal(got, &doc) != nil || len(doc.Faults) != 1 || doc.Faults[0].File != "none.csv" {
		t.Errorf("%v: %+v", err, doc.Faults)
	}
}

// No text stops the engine.
func TestNoTextStopsTheEngine(t *testing.T) {
	e := native(t)
	for _, text := range []string{"", "\x00", "bed", "- a\n- b", "bed: {", "raftwright: 9", "bed: {length: 0 in}\nraft: {spacing: -1 in}\nwater: {ph: 99}\n"} {
		got, err := e.plan("x", text, func(string) (string, bool) { return "", false }, true)
		if err != nil || !json.Valid(got) {
			t.Errorf("%q: %v %.200s", text, err, got)
		}
	}
}
