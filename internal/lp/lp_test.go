package lp

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func rowBounds(m *Model, row int) (lo, up float64) {
	v := m.vars[m.rowVar[row]]
	return v.lo, v.up
}

// certify checks the conditions of optimality (Kuhn and Tucker) from outside the method: bounds kept,
// rows' activities right, each reduced cost of the sign that its place asks for.
func certify(t *rapid.T, m *Model) {
	act := make([]float64, m.Rows())
	for c := range m.Cols() {
		lo, up := m.ColBounds(c)
		x := m.Value(c)
		if x < lo-1e-6 || x > up+1e-6 {
			t.Fatalf("column %d at %v outside %v..%v", c, x, lo, up)
		}
		v := m.vars[m.colVar[c]]
		d := v.cost
		for k, r := range v.rows {
			act[r] += v.vals[k] * x
			d -= v.vals[k] * m.Dual(int(r))
		}
		if d > 1e-6 && x > lo+1e-6 || d < -1e-6 && x < up-1e-6 {
			t.Fatalf("column %d at %v of %v..%v has reduced cost %v", c, x, lo, up, d)
		}
	}
	for r, a := range act {
		lo, up := rowBounds(m, r)
		if a < lo-1e-6 || a > up+1e-6 || math.Abs(a-m.Activity(r)) > 1e-6 {
			t.Fatalf("row %d activity %v (said %v) outside %v..%v", r, a, m.Activity(r), lo, up)
		}
		if y := m.Dual(r); y > 1e-6 && a > lo+1e-6 || y < -1e-6 && a < up-1e-6 {
			t.Fatalf("row %d activity %v of %v..%v has dual %v", r, a, lo, up, y)
		}
	}
}

func draw(t *rapid.T) *Model {
	m := &Model{}
	rows := rapid.IntRange(1, 8).Draw(t, "rows")
	for range rows {
		lo := float64(rapid.IntRange(0, 20).Draw(t, "lo"))
		up := math.Inf(1)
		if rapid.Bool().Draw(t, "ranged") {
			up = lo + float64(rapid.IntRange(0, 9).Draw(t, "width"))
		}
		m.AddRow(lo, up, nil, nil)
	}
	for range rapid.IntRange(1, 15).Draw(t, "cols") {
		addColumn(t, m)
	}
	return m
}

func addColumn(t *rapid.T, m *Model) {
	var at []int32
	var vals []float64
	for r := range m.Rows() {
		if v := rapid.IntRange(-1, 4).Draw(t, "entry"); v != 0 {
			at, vals = append(at, int32(r)), append(vals, float64(v))
		}
	}
	up := math.Inf(1)
	if rapid.Bool().Draw(t, "boxed") {
		up = float64(rapid.IntRange(0, 12).Draw(t, "up"))
	}
	m.AddCol(float64(rapid.IntRange(0, 9).Draw(t, "cost")), 0, up, at, vals)
}

func TestSolveIsCertified(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := draw(t)
		for range 4 {
			switch m.SolvePrimal() {
			case Optimal:
				certify(t, m)
			case Infeasible:
				checkRay(t, m)
				return
			default:
				t.Fatalf("stuck")
			}
			change(t, m)
		}
	})
}

// change alters the programme the ways that a search does.
func change(t *rapid.T, m *Model) {
	switch rapid.IntRange(0, 3).Draw(t, "change") {
	case 0:
		for range 3 {
			addColumn(t, m)
		}
	case 1:
		c := rapid.IntRange(0, m.Cols()-1).Draw(t, "col")
		lo := float64(rapid.IntRange(0, 3).Draw(t, "lo"))
		m.SetColBounds(c, lo, lo+float64(rapid.IntRange(0, 5).Draw(t, "width")))
	case 2:
		r := rapid.IntRange(0, m.Rows()-1).Draw(t, "row")
		m.SetRowBounds(r, float64(rapid.IntRange(0, 9).Draw(t, "lo")), math.Inf(1))
	case 3:
		var cols []int
		var vals []float64
		for c := range m.Cols() {
			if v := rapid.IntRange(0, 2).Draw(t, "entry"); v != 0 {
				cols, vals = append(cols, c), append(vals, float64(v))
			}
		}
		m.AddRow(float64(rapid.IntRange(0, 9).Draw(t, "lo")), math.Inf(1), cols, vals)
	}
}

// checkRay proves infeasibility by the multipliers alone (Farkas): the least value that the combined
// row can be forced to have exceeds the greatest it can reach.
func checkRay(t *rapid.T, m *Model) {
	bound := 0.0
	for r := range m.Rows() {
		lo, up := rowBounds(m, r)
		switch y := m.Ray[r]; {
		case y > 1e-9:
			bound += y * lo
		case y < -1e-9:
			bound += y * up
		}
	}
	for c := range m.Cols() {
		v := m.vars[m.colVar[c]]
		d := 0.0
		for k, r := range v.rows {
			d -= v.vals[k] * m.Ray[r]
		}
		lo, up := m.ColBounds(c)
		switch {
		case d > 1e-9:
			bound += d * lo
		case d < -1e-9:
			bound += d * up
		}
	}
	if !(bound > 1e-9) {
		t.Fatalf("ray proves nothing: %v", bound)
	}
}

// Beale's example cycles under the plain rule of the most negative reduced cost
// (Beale 1955, Naval Res. Logist. Q. 2:269-275; figures from memory, optimum -1/20 checked by hand).
// Costs are shifted into bounds here, because columns of this package cost nothing less than zero at the start.
func TestBealeDoesNotCycle(t *testing.T) {
	m := &Model{}
	m.AddRow(math.Inf(-1), 0, nil, nil)
	m.AddRow(math.Inf(-1), 0, nil, nil)
	m.AddRow(math.Inf(-1), 1, nil, nil)
	rows := []int32{0, 1, 2}
	inf := math.Inf(1)
	m.AddCol(-0.75, 0, inf, rows, []float64{0.25, 0.5, 0})
	m.AddCol(150, 0, inf, rows, []float64{-60, -90, 0})
	m.AddCol(-0.02, 0, inf, rows, []float64{-0.04, -0.02, 1})
	m.AddCol(6, 0, inf, rows, []float64{9, 3, 0})
	if s := m.SolvePrimal(); s != Optimal || math.Abs(m.Objective()+0.05) > 1e-9 {
		t.Fatalf("status %v objective %v, want -0.05", s, m.Objective())
	}
}
