package main

import (
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

func TestChanges(t *testing.T) {
	const src = `package p

const limit = 0.5 // of something

var table = []float64{1, 2, 3}

var share = 2 * limit

func f(x float64, n int) bool {
	for i := 0; i < n; i++ {
		if x > 12 {
			return true
		}
	}
	if x <= 0 || float64(n)*1.5 < x {
		return false
	}
	return n == 3
}
`
	want := []string{
		"p.go:3: 0.5 -> 0.55 in: const limit = 0.5 // of something", "p.go:7: 2 -> 3 in: var share = 2 * limit",
		"p.go:11: 12 -> 13 in: if x > 12 {", "p.go:11: > -> <= in: if x > 12 {",
		"p.go:15: <= -> > in: if x <= 0 || float64(n)*1.5 < x {", "p.go:15: 1.5 -> 1.6500000000000001 in: if x <= 0 || float64(n)*1.5 < x {",
		"p.go:15: < -> >= in: if x <= 0 || float64(n)*1.5 < x {",
	}
	got, err := changes("p.go", []byte(src))
	if err != nil {
		t.Fatal(err)
	}
	for i, c := range got {
		if i >= len(want) || c.String() != want[i] {
			t.Errorf("change %d: %v", i, c)
		}
		if _, err := parser.ParseFile(token.NewFileSet(), "p.go", c.apply([]byte(src)), 0); err != nil {
			t.Errorf("%v: %v", c, err)
		}
	}
	if len(got) != len(want) {
		t.Errorf("%d changes, want %d", len(got), len(want))
	}
}

// Every line of the list stands where it says, and so does the test that must see it.
func TestLinesStandWhereTheListSays(t *testing.T) {
	t.Chdir("../..")
	all, err := lines()
	if err != nil {
		t.Fatal(err)
	}
	if len(all) < 19 {
		t.Errorf("only %d lines", len(all))
	}
	for _, l := range all {
		files, err := filepath.Glob(filepath.Join(l.room, "*_test.go"))
		if err != nil {
			t.Fatal(err)
		}
		name, _, _ := strings.Cut(l.test, "/")
		if !slices.ContainsFunc(files, func(f string) bool {
			src, err := os.ReadFile(f)
			return err == nil && regexp.MustCompile(`\nfunc `+name+`\([tf] \*testing\.[TF]\)`).Match(src)
		}) {
			t.Errorf("%s: there is no %s in %s", l.figure, l.test, l.room)
		}
	}
}
