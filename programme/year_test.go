package programme_test

import (
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"raftwright/programme"
)

// year reads the invented year: every person, place and figure in it is made up.
func year(t testing.TB) map[string]string {
	t.Helper()
	files := map[string]string{}
	for _, path := range must(filepath.Glob("testdata/demo_year/*.csv"))(t) {
		text, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		if name := filepath.Base(path); name != "expected.csv" {
			files[name] = string(text)
		}
	}
	return files
}

func must[T any](v T, err error) func(testing.TB) T {
	return func(t testing.TB) T {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
}

func read(t testing.TB, files map[string]string) programme.Records {
	t.Helper()
	r, faults := programme.Read(files)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	return r
}

func report(t testing.TB, r programme.Records, funder, asOf string) *programme.Report {
	t.Helper()
	day, ok := programme.ParseDay(asOf)
	if !ok {
		t.Fatal(asOf)
	}
	out, faults := programme.Make(r, funder, day)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	return out
}

// The expected figures were computed by another program, in another language, from the same files and rules
// (testdata/demo_year/README.md).
func TestFiguresOfTheInventedYear(t *testing.T) {
	r := read(t, year(t))
	got := map[string]string{}
	for _, f := range []string{"BOARD", "SCHOOLFUND"} {
		var earlier *programme.Report
		for _, asOf := range []string{"2027-07-05", "2027-08-31"} {
			now := report(t, r, f, asOf)
			rows := must(csv.NewReader(strings.NewReader(now.Inside().FiguresCSV(earlier))).ReadAll())(t)
			earlier = now
			for _, row := range rows[1:] {
				key := strings.Join(row[:6], ",")
				if old, twice := got[key]; twice && old != row[6] {
					t.Errorf("%s stands twice: %s, %s", key, old, row[6])
				}
				got[key] = row[6]
			}
		}
	}
	text, err := os.ReadFile("testdata/demo_year/expected.csv")
	if err != nil {
		t.Fatal(err)
	}
	checked := 0
	for _, row := range must(csv.NewReader(strings.NewReader(string(text))).ReadAll())(t)[1:] {
		value, ok := got[strings.Join(row[:6], ",")]
		same := value == row[6]
		if row[7] != "exact" {
			want, _ := strconv.ParseFloat(row[6], 64)
			have, err := strconv.ParseFloat(value, 64)
			within, _ := strconv.ParseFloat(row[7], 64)
			same = err == nil && math.Abs(have-want) <= within
		}
		if !ok || !same {
			t.Errorf("%s: %q (there: %v), expected %q within %s", strings.Join(row[:6], ","), value, ok, row[6], row[7])
		}
		checked++
	}
	t.Log(checked, "figures checked")
}
