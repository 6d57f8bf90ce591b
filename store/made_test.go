package store

import (
	"crypto/sha256"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

var update = flag.Bool("update", false, "note what room rows was made from; go generate does so")

// Room rows is what go generate makes of the schema and the questions: none of them, nor what was made, has changed since.
func TestRowsAreMade(t *testing.T) {
	names := []string{"sqlc.yaml"}
	for _, of := range []string{"schema/*.sql", "query/*.sql", "rows/*.go"} {
		found, err := filepath.Glob(of)
		if err != nil || len(found) < 5 {
			t.Fatal(of, found, err)
		}
		names = append(names, found...)
	}
	names = slices.DeleteFunc(names, func(n string) bool { return n == filepath.Join("rows", "doc.go") }) // written by hand
	var sums strings.Builder
	for _, name := range names {
		text, err := os.ReadFile(name)
		must(t, err)
		fmt.Fprintf(&sums, "%x  %s\n", sha256.Sum256(text), filepath.ToSlash(name))
	}
	const noted = "testdata/rows.sum"
	if *update {
		must(t, os.WriteFile(noted, []byte(sums.String()), 0o644))
		return
	}
	was, err := os.ReadFile(noted)
	must(t, err)
	for line := range strings.Lines(sums.String()) {
		if !strings.Contains(string(was), line) {
			t.Errorf("%s has changed since room rows was made: go generate ./store", strings.TrimSpace(line[sha256.Size*2:]))
		}
	}
	if len(was) != sums.Len() && !t.Failed() {
		t.Error("a file is gone of which room rows was made: go generate ./store")
	}
}
