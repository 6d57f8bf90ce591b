package main

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"runtime/debug"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

func TestMain(m *testing.M) {
	debug.SetGCPercent(300) // a little memory for a little time
	testscript.Main(m, map[string]func(){"raftwright": main})
}

// TestScripts plays the whole program as a person at a terminal would.
func TestScripts(t *testing.T) {
	examples, err := filepath.Abs("../../examples")
	if err != nil {
		t.Fatal(err)
	}
	scripts, err := filepath.Glob("testdata/script/*.txtar")
	if err != nil || len(scripts) < 10 {
		t.Fatalf("%d scripts: %v", len(scripts), err)
	}
	if testing.Short() { // the check plays all
		scripts = []string{scripts[1], scripts[4], scripts[8]}
	}
	testscript.Run(t, testscript.Params{
		Files: scripts,
		Setup: func(e *testscript.Env) error {
			e.Setenv("EXAMPLES", examples)
			return nil
		},
	})
}

// said is what one run of the program left behind.
type said struct {
	code     int
	out, err string
}

// tell runs the program in this process with a brief on standard input.
func tell(brief string, args ...string) said {
	var out, err bytes.Buffer
	if strings.Contains(brief, "climate: ['/") || strings.Contains(brief, "climate: [/") { // files elsewhere
		args = append(slices.Clip(args), "--files", "/")
	}
	code := run(args, streams{strings.NewReader(brief), &out, &err, tongue{}})
	return said{code, out.String(), err.String()}
}

// document is a JSON document as a script sees it.
type document map[string]any

// ask runs a command on a brief and reads its JSON; it fails on any fault.
func ask(t testing.TB, brief string, command ...string) document {
	t.Helper()
	got := tell(brief, append(command, "-", "--json")...)
	if got.code != exitDone && got.code != exitStop {
		t.Fatalf("%v: exit %d: %s\nbrief:\n%s", command, got.code, got.err, brief)
	}
	d := document{}
	if err := json.Unmarshal([]byte(got.out), &d); err != nil {
		t.Fatalf("%v: %v", command, err)
	}
	return d
}

// at follows a path of keys and indexes, "boards.0.span_mm".
func (d document) at(path string) (any, bool) {
	var v any = map[string]any(d)
	for _, key := range strings.Split(path, ".") {
		switch x := v.(type) {
		case map[string]any:
			y, ok := x[key]
			if !ok {
				return nil, false
			}
			v = y
		case []any:
			i, err := strconv.Atoi(key)
			if err != nil || i >= len(x) {
				return nil, false
			}
			v = x[i]
		default:
			return nil, false
		}
	}
	return v, true
}

// number reads a figure that must be there.
func (d document) number(t testing.TB, path string) float64 {
	t.Helper()
	v, ok := d.at(path)
	x, isNumber := v.(float64)
	if !ok || !isNumber {
		t.Fatalf("%s is %T, not a number", path, v)
	}
	return x
}

// list reads a list that must be there.
func (d document) list(t testing.TB, path string) []any {
	t.Helper()
	v, _ := d.at(path)
	l, ok := v.([]any)
	if !ok {
		t.Fatalf("%s is %T, not a list", path, v)
	}
	return l
}

// within says whether two figures differ by no more than a share of the second.
func within(got, want, share float64) bool { return math.Abs(got-want) <= share*math.Abs(want) }

// reference reads a table of ../shared/reference. Where it is not there the test
// is left out, but not where everything must be there.
func reference(t testing.TB, name string) []map[string]string {
	t.Helper()
	data := referenceFile(t, name)
	var lines []string
	for _, l := range strings.Split(string(data), "\n") {
		if !strings.HasPrefix(l, "#") && strings.TrimSpace(l) != "" {
			lines = append(lines, l)
		}
	}
	r := csv.NewReader(strings.NewReader(strings.Join(lines, "\n")))
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	var out []map[string]string
	for _, row := range rows[1:] {
		m := map[string]string{}
		for i, key := range rows[0] {
			m[key] = row[i]
		}
		out = append(out, m)
	}
	if len(out) == 0 {
		t.Fatalf("%s has no rows", name)
	}
	return out
}

func referenceFile(t testing.TB, name string) []byte {
	t.Helper()
	data, err := os.ReadFile(referencePath(t, name))
	if err != nil {
		t.Fatal(err)
	}
	return data
}

func referencePath(t testing.TB, name string) string {
	t.Helper()
	path, err := filepath.Abs(filepath.Join("../../../shared/reference", name))
	if err != nil {
		t.Fatal(err)
	}
	if _, err := os.Stat(path); err != nil {
		if os.Getenv("CI") != "" {
			t.Fatalf("the reference tables are missing: %v", err)
		}
		t.Skip("the reference tables are not beside the repository: " + name)
	}
	return path
}

// figure reads a number of a table.
func figure(t testing.TB, row map[string]string, key string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(row[key], 64)
	if err != nil {
		t.Fatalf("%s: %v", key, err)
	}
	return x
}

func plain(x float64) string { return fmt.Sprintf("%.10g", x) }

func write(t testing.TB, dir, name, text string) {
	t.Helper()
	if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
}
