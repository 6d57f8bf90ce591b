package chem

import (
	"encoding/csv"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// reference opens a table of ../shared/reference/chemistry, rows as maps by
// column. The tables were computed with a public geochemical code (editions
// 3.8.8 and 3.7.3) and published conductivities; they are read, not copied.
func reference(t testing.TB, name string) []map[string]string {
	t.Helper()
	path := filepath.Join("..", "..", "shared", "reference", "chemistry", name)
	data, err := os.ReadFile(path)
	if err != nil {
		if os.Getenv("CI") != "" {
			t.Fatalf("reference table %s is needed here: %v", name, err)
		}
		t.Skipf("reference table %s is not on this machine: %v", name, err)
	}
	var lines []string
	for line := range strings.Lines(string(data)) {
		if !strings.HasPrefix(line, "#") {
			lines = append(lines, line)
		}
	}
	all, err := csv.NewReader(strings.NewReader(strings.Join(lines, ""))).ReadAll()
	if err != nil || len(all) < 2 {
		t.Fatalf("%s: %v, %d lines", name, err, len(all))
	}
	var out []map[string]string
	for _, rec := range all[1:] {
		m := map[string]string{}
		for i, head := range all[0] {
			m[head] = rec[i]
		}
		out = append(out, m)
	}
	return out
}

func num(t testing.TB, row map[string]string, column string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(row[column], 64)
	if err != nil {
		t.Fatalf("column %s: %v", column, err)
	}
	return x
}
