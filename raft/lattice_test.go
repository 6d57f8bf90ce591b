package raft

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"

	"pgregory.net/rapid"

	"raftwright/unit"
)

// shared opens a check table beside the repository, or skips; on the machine
// that decides it must be there.
func shared(t *testing.T, name string) [][]string {
	t.Helper()
	f, err := os.Open("../../shared/reference/structure/" + name)
	if err != nil {
		if os.Getenv("CI") != "" {
			t.Fatal(err)
		}
		t.Skip("the check tables are not beside the repository: " + name)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil || len(rows) < 2 {
		t.Fatalf("%s: %d rows, %v", name, len(rows), err)
	}
	return rows[1:]
}

func number(t *testing.T, s string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return x
}

func inches(x float64) unit.Length { return unit.Length(x) * unit.Inch }

func sheet(w, h float64) Size { return Size{inches(w), inches(h)} }

// The trade's own figure (common practice, no source): a 4 x 8 ft sheet, 6 in
// from the edge and 12 in between plants, holds 32.
func TestTradeFigure(t *testing.T) {
	r, err := planned(Job{Sheet: sheet(48, 96), Spacing: inches(12), Edge: inches(6)})
	if err != nil {
		t.Fatal(err)
	}
	if r.Holes != 32 || r.UpperBound != 35 || r.SheetsToBuy != 1 || len(r.Pieces) != 1 {
		t.Errorf("%d holes, bound %d, %d sheets", r.Holes, r.UpperBound, r.SheetsToBuy)
	}
	first, last := r.Positions[0], r.Positions[31]
	if first != (Point{inches(6), inches(6)}) || math.Abs(float64(last.X-inches(42)))+math.Abs(float64(last.Y-inches(90))) > 1e-12 {
		t.Errorf("first %v, last %v", first, last)
	}
	if d := r.LeastSpacing - inches(12); math.Abs(float64(d)) > 1e-12 {
		t.Errorf("spacing off by %v", d)
	}
	if math.Abs(r.PerSquareMetre-10.764) > 0.01 {
		t.Errorf("%v plants/m2", r.PerSquareMetre)
	}
}

// Counts of the three lattices and Oler's bound on thirty sheets: raft_layouts.csv
// of the check tables (computed there by the formulas of structure METHODS, section 8).
func TestLatticeTable(t *testing.T) {
	for _, row := range shared(t, "raft_layouts.csv") {
		var v [10]float64
		for i := range v {
			v[i] = -1
			if row[i] != "" {
				v[i] = number(t, row[i])
			}
		}
		p := plot{w: v[0] * 0.0254, h: v[1] * 0.0254}.spaced(v[2]*0.0254, 0)
		l := layOut(p, Square, inches(v[3]), search{})
		if l.SquareHoles != int(v[4]) || l.StaggeredAlongY != int(v[5]) || l.StaggeredAlongX != int(v[6]) || l.UpperBound != int(v[9]) {
			t.Errorf("%v: square %d, along length %d, along width %d, bound %d", row, l.SquareHoles, l.StaggeredAlongY, l.StaggeredAlongX, l.UpperBound)
		}
	}
}

// Raft draft, case S6 of the check tables (Archimedes; foam density of
// ASTM C578-10 Type X), tolerances of the table.
func TestFlotationCase(t *testing.T) {
	r, err := planned(Job{Sheet: sheet(48, 96), Spacing: inches(12), Edge: inches(6), Thickness: inches(1.5), Foam: "xps",
		Hole: inches(2.5), PotMass: 60 * unit.Gram, HeadMass: 250 * unit.Gram})
	if err != nil {
		t.Fatal(err)
	}
	got := map[string]float64{"net_area": r.Float.NetArea.SquareMetres(), "foam_mass": r.Float.FoamMass.Kilograms(),
		"draft_planted": r.Float.Draft.Millimetres(), "draft_grown": r.Float.DraftGrown.Millimetres()}
	seen := 0
	for _, row := range shared(t, "examples.csv") {
		if row[0] != "S6" {
			continue
		}
		seen++
		want, tol := number(t, row[4]), number(t, row[6])
		if x, ok := got[row[3]]; !ok || math.Abs(x/want-1)*100 > tol {
			t.Errorf("%s = %v, want %v within %v %%", row[3], x, want, tol)
		}
	}
	if seen != 4 {
		t.Errorf("%d checks", seen)
	}
	if f := r.Float.Freeboard.Millimetres(); math.Abs(f-33.845) > 0.01 {
		t.Errorf("freeboard %v", f)
	}
}

// The quick search for the least distance agrees with looking at every pair
// (rows are told apart to a tenth of a micrometre).
func TestLeastSpacingAgainstAllPairs(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		coarse := rapid.Bool().Draw(t, "coarse")
		points := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) Point {
			p := Point{unit.Length(rapid.Float64Range(0, 1).Draw(t, "x")), unit.Length(rapid.Float64Range(0, 1).Draw(t, "y"))}
			if coarse {
				p.Y = unit.Length(math.Round(float64(p.Y) * 4))
			}
			return p
		}), 2, 40).Draw(t, "points")
		sortPoints(points)
		want := math.Inf(1)
		for i := range points {
			for k := range i {
				want = min(want, apart(points[i], points[k]))
			}
		}
		if got := leastSpacing(points); math.Abs(float64(got)-want) > 3e-7 {
			t.Fatalf("%v, want %v", got, want)
		}
	})
}
