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
	"strings"
	"sync"
	"testing"
)

// mostMegabytes is the most that the packed engine may weigh, in 10^6 bytes: on a
// line of 1.6 Mbit/s that is eight seconds, once.
const mostMegabytes = 1.6

type built struct{ folder, needs string }

// engine is built once for all tests.
var engine = sync.OnceValues(func() (built, error) {
	folder, err := os.MkdirTemp("", "engine")
	if err != nil {
		return built{}, err
	}
	needs, err := build(folder)
	return built{folder, needs}, err
})

func TestMain(m *testing.M) {
	code := m.Run()
	if e, _ := engine(); e.folder != "" {
		os.RemoveAll(e.folder)
	}
	os.Exit(code)
}

func theEngine(t *testing.T) built {
	t.Helper()
	if testing.Short() {
		t.Skip("building for the browser takes a minute")
	}
	e, err := engine()
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
	if n := strings.Count(e.needs, "\n"); n < 10_000 || !strings.Contains(e.needs, "raftwright/plan.Make") {
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
	module := filepath.Join(theEngine(t).folder, "engine.wasm")
	script := `const z = require("zlib"), c = z.constants, b = require("fs").readFileSync(process.argv[1]);
		console.log(b.length, z.brotliCompressSync(b, {params: {[c.BROTLI_PARAM_QUALITY]: 11, [c.BROTLI_PARAM_LGWIN]: 24}}).length)`
	out, err := exec.Command(node(t), "-e", script, module).CombinedOutput()
	if err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	var plain, packed float64
	if n, err := fmt.Sscan(string(out), &plain, &packed); n != 2 {
		t.Fatalf("%v: %s", err, out)
	}
	t.Logf("%.3f MB, packed %.3f MB", plain/1e6, packed/1e6)
	if mb := packed / 1e6; mb > mostMegabytes || mb < 1 {
		t.Errorf("the packed engine is %.3f MB, over %v: see docs/offline.md for what weighs", mb, mostMegabytes)
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
	numbers := 0
	for i, b := range briefs {
		here, err := planned(b, texts[b], func(name string) (string, bool) { s, ok := texts[name]; return s, ok }, true)
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
		if _, faulty := two.(map[string]any)["faults"]; faulty != (b == "wrong.yaml") {
			t.Errorf("%s: %.300s", b, here)
		}
		agree(t, b, one, two, &numbers)
	}
	if numbers < 10_000 {
		t.Errorf("only %d numbers were compared", numbers)
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

// A file that the brief names and the page does not give is a fault at its place.
func TestFilesThatAreNotHere(t *testing.T) {
	text := "bed: {length: 97 in, width: 49 in, depth: 6 in}\nsite:\n  climate: [none.csv]\nshelf file: other.yaml\n"
	got, err := planned("a.yaml", text, func(string) (string, bool) { return "", false }, false)
	var doc struct{ Faults []fault }
	if err != nil || json.Unmarshal(got, &doc) != nil || len(doc.Faults) != 2 {
		t.Fatalf("%v: %s", err, got)
	}
	for i, want := range []string{"none.csv", "other.yaml"} {
		if f := doc.Faults[i]; f.Line != 3+i || f.File != "a.yaml" || !strings.Contains(f.What, want) || f.Code != string(FaultNotGiven) || f.Path != []string{"site.climate[0]", "shelf file"}[i] || f.Right == "" {
			t.Errorf("%+v", f)
		}
	}
}
