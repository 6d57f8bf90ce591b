package programme_test

import (
	"math"
	"strings"
	"testing"

	"raftwright/internal/lp"
	"raftwright/programme"
)

// attack plays who reads the public table: it knows the shown cells and all totals, and asks by linear programming how
// large each hidden small cell may be. It shares nothing with the search that hid them.
func attack(t testing.TB, g programme.Grid, h programme.Hidden, threshold int) {
	t.Helper()
	for i, row := range g.Counts {
		for j, v := range row {
			if v < 1 || v >= threshold {
				continue
			}
			if !h[i][j] {
				t.Errorf("%s/%s = %d is shown", g.Rows[i], g.Columns[j], v)
				continue
			}
			if high := highest(g, h, i, j); high < float64(threshold)-1e-6 {
				t.Errorf("%s/%s = %d is known to be at most %v, from %v hidden as %v", g.Rows[i], g.Columns[j], v, high, g.Counts, h)
			}
		}
	}
}

func highest(g programme.Grid, h programme.Hidden, i, j int) float64 {
	m := &lp.Model{}
	for a := range g.Rows {
		sum := 0.0
		for b, v := range g.Counts[a] {
			if h[a][b] {
				sum += float64(v)
			}
		}
		m.AddRow(sum, sum, nil, nil)
	}
	for b := range g.Columns {
		sum := 0.0
		for a := range g.Rows {
			if h[a][b] {
				sum += float64(g.Counts[a][b])
			}
		}
		m.AddRow(sum, sum, nil, nil)
	}
	at := -1
	for a := range g.Rows {
		for b := range g.Columns {
			if h[a][b] {
				c := m.AddCol(0, 0, math.Inf(1), []int32{int32(a), int32(len(g.Rows) + b)}, []float64{1, 1})
				if a == i && b == j {
					at = c
				}
			}
		}
	}
	// The largest whole number that is possible: every one is asked for.
	for x := g.Counts[i][j] + 1; ; x++ {
		m.SetColBounds(at, float64(x), math.Inf(1))
		if m.SolveDual(math.Inf(1)) != lp.Optimal || x > 1000 {
			return float64(x - 1)
		}
	}
}

func TestPublicTableOfTheInventedYearWithstandsAnAttack(t *testing.T) {
	r := read(t, year(t))
	for _, f := range []string{"BOARD", "SCHOOLFUND"} {
		e := report(t, r, f, "2027-07-05").Public()
		if e.Hidden == nil {
			t.Fatalf("%s: no table", f)
		}
		attack(t, e.Grid, e.Hidden, e.Funder.Threshold)
		if e.Hidden.Count() == 0 || e.Secrets == 0 {
			t.Errorf("%s: %d hidden, %d secrets: the year has small cells", f, e.Hidden.Count(), e.Secrets)
		}
	}
}

// Where both editions show a figure, it is the same.
func TestEditionsAgree(t *testing.T) {
	r := report(t, read(t, year(t)), "BOARD", "2027-08-31")
	shown := 0
	for _, f := range r.Public().Figures {
		if f.Why != "" || strings.HasPrefix(f.Measure, "table: ") {
			continue
		}
		inside, ok := r.Find(f.Name(), f.County)
		if !ok {
			continue // an item under another name
		}
		shown++
		if inside.Text != f.Text {
			t.Errorf("%s %s: %s outside, %s inside", f.County, f.Name(), f.Text, inside.Text)
		}
	}
	if shown < 80 {
		t.Errorf("only %d figures are in both", shown)
	}
}
