package chem

import (
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"raftwright/unit"
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

func at(t testing.TB, celsius float64) *Equilibria {
	t.Helper()
	k, err := At(unit.Temperature(celsius))
	if err != nil {
		t.Fatal(err)
	}
	return k
}

// near fails unless got is within the tolerance of a column; an empty cell is
// nothing to compare with.
func near(t *testing.T, row map[string]string, column string, got, tolerance float64) {
	t.Helper()
	if row[column] == "" {
		return
	}
	want := num(t, row, column)
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s %s %s: %s = %.5g, want %.5g within %.3g", row["id"], row["water"], row["label"], column, got, want, tolerance)
	}
}

// nearPart is near with a relative tolerance.
func nearPart(t *testing.T, row map[string]string, column string, got, part float64) {
	t.Helper()
	if row[column] != "" {
		near(t, row, column, got, part*math.Abs(num(t, row, column)))
	}
}

// conducts compares a conductivity with the reference's mean of two forms,
// within max(3 %, half their distance + 2 %), the tolerance of its read-me;
// here half of that is asked.
func conducts(t *testing.T, row map[string]string, column, half string, got unit.Conductivity) {
	t.Helper()
	doubt := 3.0
	if row[half] != "" {
		doubt = max(3, num(t, row, half)+2)
	}
	nearPart(t, row, column, micro(got), doubt/2/100)
}

func micro(k unit.Conductivity) float64 { return k.MillisiemensPerCentimetre() * 1e3 }

func index(t *testing.T, row map[string]string, column string, s *Solution, m Mineral, tolerance float64) {
	t.Helper()
	if row[column] == "" {
		return
	}
	si, ok := s.SI(m)
	if !ok {
		t.Errorf("%s %s: no index of %s", row["id"], row["water"], m)
		return
	}
	near(t, row, column, si, tolerance)
}

// recipe reads a row of table b.
func recipe(t testing.TB, r map[string]string) Composition {
	t.Helper()
	m := func(column string) unit.MolarConcentration { return unit.MolarConcentration(num(t, r, column)) }
	return Composition{NH4: m("NH4_mM"), K: m("K_mM"), Ca: m("Ca_mM"), Mg: m("Mg_mM"), Na: m("Na_mM"),
		NO3: m("NO3_mM"), P: m("P_mM"), SO4: m("SO4_mM"), Cl: m("Cl_mM"), B: m("B_mM")}
}

// waters solves every water of table c.
func waters(t testing.TB) map[string]Solution {
	t.Helper()
	k := at(t, 25)
	out := map[string]Solution{"DI": {}}
	for _, r := range reference(t, "c_source_waters_public.csv") {
		m := func(column string, e Element) unit.MolarConcentration {
			return unit.MolarConcentration(num(t, r, column) / e.Weight())
		}
		c := Composition{Ca: m("Ca_mg_L", Calcium), Mg: m("Mg_mg_L", Magnesium), Na: m("Na_mg_L", Sodium), K: m("K_mg_L", Potassium),
			Cl: m("Cl_mg_L", Chlorine), NO3: m("NO3N_mg_L", Nitrogen), Fe: m("Fe2_mg_L", Iron), B: m("B_mg_L", Boron),
			SO4: unit.MolarConcentration(num(t, r, "SO4_mg_L") / (Sulfur.Weight() + 4*Oxygen.Weight()))}
		s, err := k.Titrated(c, num(t, r, "pH"), unit.CaCO3(num(t, r, "alkalinity_mg_CaCO3_L")))
		if err != nil {
			t.Fatalf("%s: %v", r["id"], err)
		}
		out[r["id"]] = s
	}
	if len(out) < 13 {
		t.Fatalf("only %d waters seen", len(out))
	}
	return out
}

func solved(t testing.TB) func(Solution, error) Solution {
	return func(s Solution, err error) Solution {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return s
	}
}
