package water

import (
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"raftwright/finding"
	"raftwright/lang"
	"raftwright/unit"
)

// reference opens a table of ../shared/reference/chemistry (computed with a
// public geochemical code), rows as maps by column.
func reference(t testing.TB, name string) []map[string]string {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("..", "..", "shared", "reference", "chemistry", name))
	if err != nil {
		if os.Getenv("CI") != "" {
			t.Fatalf("reference table %s is needed here: %v", name, err)
		}
		t.Skipf("reference table %s is not on this machine: %v", name, err)
	}
	r := csv.NewReader(strings.NewReader(string(data)))
	r.Comment = '#'
	all, err := r.ReadAll()
	if err != nil || len(all) < 2 {
		t.Fatalf("%s: %v", name, err)
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

func within(t *testing.T, name string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s = %.6g, want %.6g within %.3g", name, got, want, tolerance)
	}
}

// mg is a figure in mg/L, with a form.
func mg(x float64, form ...string) unit.Reading {
	return unit.Reading{Value: x, Scale: unit.MassScale, Form: strings.Join(form, "")}
}

// labTest reads a row of table c as a laboratory prints it.
func labTest(t testing.TB, r map[string]string) Test {
	t.Helper()
	return Test{Name: r["label"], PH: num(t, r, "pH"), Readings: map[Analyte]unit.Reading{
		Alkalinity: mg(num(t, r, "alkalinity_mg_CaCO3_L"), "CaCO3"), Calcium: mg(num(t, r, "Ca_mg_L")), Magnesium: mg(num(t, r, "Mg_mg_L")),
		Sodium: mg(num(t, r, "Na_mg_L")), Potassium: mg(num(t, r, "K_mg_L")), Sulfate: mg(num(t, r, "SO4_mg_L")), Chloride: mg(num(t, r, "Cl_mg_L")),
		Nitrate: mg(num(t, r, "NO3N_mg_L")), Iron: mg(num(t, r, "Fe2_mg_L")), Boron: mg(num(t, r, "B_mg_L")),
	}}
}

var book = DefaultHandbook()

func assess(t testing.TB, j Job) Assessment {
	t.Helper()
	j.Book = book
	r, faults := Assess(j)
	if faults != nil {
		t.Fatal(faults)
	}
	return r
}

// raised gives the first finding with an ID.
func raised(r *Assessment, id finding.ID) (finding.Finding, bool) {
	for _, f := range r.Findings {
		if f.ID == id {
			return f, true
		}
	}
	return finding.Finding{}, false
}

func wants(t *testing.T, r *Assessment, ids ...finding.ID) {
	t.Helper()
	for _, id := range ids {
		if _, ok := raised(r, id); !ok {
			t.Errorf("%s: %s was not found", r.Name, id)
		}
	}
}

func lacks(t *testing.T, r *Assessment, ids ...finding.ID) {
	t.Helper()
	for _, id := range ids {
		if f, ok := raised(r, id); ok {
			t.Errorf("%s: %s should not be there: %v", r.Name, id, f.Args)
		}
	}
}

func assumed(r *Assessment, id finding.ID) (finding.Assumption, bool) {
	for _, a := range r.Assumptions {
		if a.ID == id {
			return a, true
		}
	}
	return finding.Assumption{}, false
}

// speaks fails on a sentence that is missing or has a hole in it.
func speaks(t *testing.T, r *Assessment) []string {
	t.Helper()
	var out []string
	for _, units := range []lang.Units{lang.US, lang.Metric} {
		p, err := lang.For("en", units)
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range r.Findings {
			out = append(out, p.Finding(f))
		}
		for _, a := range r.Assumptions {
			text, replace := p.Assumption(a)
			out = append(out, text, replace)
		}
	}
	for _, s := range out {
		if strings.Contains(s, "<no value>") || strings.HasPrefix(s, "[") || strings.Contains(s, "NaN") || s == "" {
			t.Errorf("%s: sentence with a hole: %q", r.Name, s)
		}
	}
	return out
}
