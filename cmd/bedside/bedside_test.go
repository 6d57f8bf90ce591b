//go:build !js

package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/andybalholm/brotli"

	"raftwright/brief"
	"raftwright/cmd/forbrowser"
	"raftwright/finding"
	"raftwright/lang"
	"raftwright/plan"
	"raftwright/tend"
)

// Bounds of what a phone loads, packed, in 10^6 bytes: nine seconds on a line of 1.6 Mbit/s, once.
const mostMegabytes, mostOfABundle = 1.95, 0.085

// once builds the program for all tests.
var once = sync.OnceValues(func() (string, error) {
	folder, err := os.MkdirTemp("", "bedside")
	if err == nil {
		_, err = forbrowser.Bedside.Build(folder)
	}
	return folder, err
})

func TestMain(m *testing.M) {
	code := m.Run()
	if !testing.Short() {
		folder, _ := once()
		os.RemoveAll(folder)
	}
	os.Exit(code)
}

func program(t *testing.T) string {
	t.Helper()
	if testing.Short() {
		t.Skip("building for the browser takes a minute")
	}
	folder, err := once()
	if err != nil {
		t.Fatal(err)
	}
	return folder
}

// demonstration gives the invented bed of the examples, as keys and texts.
func demonstration(t *testing.T) []brief.Pair {
	t.Helper()
	text, err := os.ReadFile("../../examples/demo.yaml")
	if err != nil {
		t.Fatal(err)
	}
	b, faults := brief.Parse("demo.yaml", text)
	if len(faults) > 0 || len(b.Log) < 4 {
		t.Fatal(faults)
	}
	var pairs []brief.Pair
	for _, x := range b.Values() {
		pairs = append(pairs, brief.Pair{Path: x.Path, Text: x.Text})
	}
	return pairs
}

// native is the program on this machine.
func native(t *testing.T, tag string) *bedside {
	t.Helper()
	bundles, err := lang.Bundles(forbrowser.Bedside.Silent...)
	if err != nil {
		t.Fatal(err)
	}
	e := &bedside{book: plan.DefaultBook()}
	if err := e.speak(bundles[tag]); err != nil {
		t.Fatal(err)
	}
	return e
}

var now = time.Date(2027, 5, 20, 8, 0, 0, 0, time.UTC)

// A visit that waits is one of the log: the answer is that of the brief with the visit written in it, by the rooms that the
// server asks; and it is another than without the visit.
func TestAVisitThatWaitsIsReckonedWith(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	pairs, e := demonstration(t), native(t, "en")
	before, err := e.tend(pairs, nil, now)
	if err != nil {
		t.Fatal(err)
	}
	got, err := e.tend(pairs, []map[string][]string{{"id": {"x"}, "from": {"today"}, "at": {"2027-05-19T08:00"}, "depth": {"1-1/2"}, "unit:depth": {"rim-in"}, "ec": {"900"}, "unit:ec": {"ppm (500)"}, "ph": {"6.4"}, "seen": {"", ""}}}, now)
	if err != nil || got.now == before.now {
		t.Fatal(err, "the visit changes nothing")
	}
	if len(got.wrong) > 0 {
		t.Errorf("wrong: %v", got.wrong)
	}
	// the same by hand: the frame of the demonstration tells how deep 1-1/2 in under the rim is
	b, _ := brief.FromPairs("demo.yaml", pairs)
	p := plan.Job{Brief: b, Learn: tend.Learn, Book: plan.DefaultBook(), Files: plan.Files{}, Asked: plan.Everything}.Make(&plan.Memory{})
	depth := p.Frame.Brim.Millimetres() - 38.1
	for _, x := range [][2]string{{"at", "2027-05-19T08:00"}, {"depth", fmt.Sprintf("%.4g mm", depth)}, {"ec", "900 ppm (500)"}, {"ph", "6.4"}} {
		pairs = append(pairs, brief.Pair{Path: finding.Path("log[4]." + x[0]), Text: x[1]})
	}
	want, err := e.tend(pairs, nil, now)
	if err != nil || want.now != got.now || want.rest != got.rest {
		t.Errorf("%v: another answer than by hand", err)
	}
}

// What the page shows is whole sentences, in both languages; what cannot be told is told as such.
func TestWhatIsSaid(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	for tag, want := range map[string]string{"en": "What to do now", "es": "Qué hacer ahora"} {
		got, err := native(t, tag).tend(demonstration(t), nil, now)
		if err != nil || !strings.Contains((got.now+got.rest), want) {
			t.Fatalf("%s: %v %.200s", tag, err, got.now)
		}
		if m := regexp.MustCompile(`\[[a-z_]+\.[a-z_.]+\]`).FindAllString((got.now + got.rest), -1); len(m) > 0 {
			t.Errorf("%s: sentences are missing: %v", tag, m)
		}
	}
	e := native(t, "en")
	for name, pairs := range map[string][]brief.Pair{"nothing": nil, "no log": {{Path: "bed.length", Text: "8 ft"}}, "no key": {{Path: "log[0].x", Text: "1"}}} {
		got, err := e.tend(pairs, []map[string][]string{{}}, now)
		if err != nil || got.now != "" || len(got.wrong) == 0 || got.wrong[0][0] == "" {
			t.Errorf("%s: %v %+v", name, err, got)
		}
	}
	if _, err := (&bedside{}).tend(nil, nil, now); err == nil {
		t.Error("without sentences nothing is said about it")
	}
}

// packed gives how heavy a file is as a server sends it.
func packed(t *testing.T, file string) float64 {
	t.Helper()
	plain, mb, err := forbrowser.Weigh(node(t), file)
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("%s %.3f MB, packed %.3f MB", filepath.Base(file), plain, mb)
	return mb
}

// node finds the program that runs the module and packs it.
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

func TestItIsSmall(t *testing.T) {
	folder := program(t)
	if mb := packed(t, filepath.Join(folder, "bedside.wasm")); mb > mostMegabytes || mb < 1 {
		t.Errorf("%.3f MB packed, not 1 to %v: see docs/offline.md for what weighs", mb, mostMegabytes)
	}
	for _, tag := range []string{"en", "es"} {
		if mb := packed(t, filepath.Join(folder, "sentences."+tag+".toml")); mb > mostOfABundle || mb < mostOfABundle/4 {
			t.Errorf("%s: %.3f MB packed", tag, mb)
		}
	}
}

// The browser and this machine give the same page for the demonstration, with and without a visit that waits.
func TestItAgreesWithThisMachine(t *testing.T) {
	folder := program(t)
	node := node(t)
	pairs := demonstration(t)
	var plain [][2]string
	for _, p := range pairs {
		plain = append(plain, [2]string{string(p.Path), p.Text})
	}
	visit := [][2]string{{"at", "2027-05-19T08:00"}, {"depth", "5"}, {"ec", "1.9"}, {"ph", "7.2"}}
	data, _ := json.Marshal([][]any{{plain, []any{}, "2027-05-20T08:00"}, {plain, []any{visit}, "2027-05-20T08:00"}})
	questions := filepath.Join(t.TempDir(), "questions.json")
	if err := os.WriteFile(questions, data, 0o644); err != nil {
		t.Fatal(err)
	}
	said, err := exec.Command(node, "testdata/run.js", folder, questions).CombinedOutput()
	if err != nil {
		t.Fatalf("%v: %s", err, said)
	}
	t.Logf("%s", said)
	var answers []struct {
		Now  string      `json:"now"`
		Rest string      `json:"rest"`
		Done [][2]string `json:"done"`
	}
	if data, err = os.ReadFile(questions); err == nil {
		err = json.Unmarshal(data, &answers)
	}
	if err != nil {
		t.Fatal(err)
	}
	e := native(t, "en")
	for i, visits := range [][]map[string][]string{nil, {{"at": {"2027-05-19T08:00"}, "depth": {"5"}, "ec": {"1.9"}, "ph": {"7.2"}}}} {
		here, err := e.tend(pairs, visits, now)
		if err != nil || here.now != answers[i].Now || here.rest != answers[i].Rest || here.now == "" || len(here.done) != len(answers[i].Done) {
			t.Errorf("%d: another answer in the browser (%v)", i, err)
		}
	}
}

// What is built into this house's program, where something is, was built from this source.
func TestWhatIsBuiltInIsOfThisSource(t *testing.T) {
	kept, err := os.ReadFile("../../web/engine/bedside.wasm.br")
	if err != nil {
		t.Skip("nothing is built in: go generate ./web")
	}
	plain, err := io.ReadAll(brotli.NewReader(bytes.NewReader(kept)))
	if err != nil {
		t.Fatal(err)
	}
	fresh, err := os.ReadFile(filepath.Join(program(t), "bedside.wasm"))
	if err != nil || !bytes.Equal(plain, fresh) {
		t.Error("what is built in is of another source: go generate ./web")
	}
}
