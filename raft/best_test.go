package raft

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"raftwright/unit"
)

// discOf gives a disc on which holes 0.3 m apart make the packing of a ratio of
// container to circle radius: 2 rho/s + 1 (structure METHODS, section 8).
func discOf(ratio float64) plot {
	rho := (ratio - 1) / 2 * 0.3 * (1 + 1e-4)
	d := 2 * (rho + 0.15)
	return plot{w: d, h: d, round: true}.spaced(0.15, 0.3)
}

// Best-known packings of circles in a circle: circle_packing.csv of the check
// tables (Graham, Lubachevsky, Nurmela & Ostergard 1998; Lubachevsky & Graham
// 1997; later contributors). Asked is within one of the best known; a fifth of
// the usual search must reach it.
func TestDiscsAgainstBestKnown(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	exact := 0
	for _, row := range shared(t, "circle_packing.csv") {
		want := int(number(t, row[0]))
		l := layOut(discOf(number(t, row[1])), Best, 0.3, searchWork/5)
		verify(t, l, 0.3, 0.15)
		if got := len(l.Positions); got < want-1 || got > want {
			t.Errorf("%d holes where %d are known", got, want)
		} else if got == want {
			exact++
		}
	}
	if exact < 14 {
		t.Errorf("only %d of 20 reach the best known count", exact)
	}
}

// Round rafts of structure METHODS, section 8: diameter, edge, spacing in inches
// and the best-known count (computed there from the ratios).
func TestDiscsOfMethods(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	for _, c := range []struct {
		d, e, s float64
		want    int
	}{{58, 4, 9, 33}, {58, 3, 8, 44}, {70, 5, 10, 38}, {94, 6, 12, 48}, {44, 4, 7, 29}} {
		p := plot{w: c.d * 0.0254, h: c.d * 0.0254, round: true}.spaced(c.e*0.0254, 0)
		l := layOut(p, Best, inches(c.s), searchWork/5)
		verify(t, l, inches(c.s), inches(c.e))
		if n := len(l.Positions); n < c.want-1 || n > c.want {
			t.Errorf("%+v: %d holes", c, n)
		}
	}
}

// Sheets whose denser layouts a search found before: raft_layouts.csv of the
// check tables; its figures are lower bounds, Oler's are upper ones.
func TestSheetsAgainstSearch(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	for _, row := range shared(t, "raft_layouts.csv") {
		if row[8] == "" || row[0] == "48" && row[1] == "48" {
			continue
		}
		e := number(t, row[2]) * 0.0254
		p := plot{w: number(t, row[0]) * 0.0254, h: number(t, row[1]) * 0.0254}.spaced(e, 0)
		s := inches(number(t, row[3]))
		l := layOut(p, Best, s, searchWork/5)
		verify(t, l, s, unit.Length(e))
		if got := len(l.Positions); got < int(number(t, row[8])) || got > int(number(t, row[9])) {
			t.Errorf("%v: %d holes", row, got)
		}
	}
}

// tester is what testing.T and rapid.T share.
type tester interface{ Errorf(string, ...any) }

// verify measures every distance of a layout again, by brute force.
func verify(t tester, l Layout, spacing, edge unit.Length) {
	slack := float64(spacing) * 2 * tolerance
	for i, a := range l.Positions {
		if d := l.plot.edgeAt(float64(a.X), float64(a.Y)); d < float64(edge)-slack {
			t.Errorf("hole %d is %v from the rim, asked %v", i, d, edge)
		}
		for k := range i {
			b := l.Positions[k]
			if d := math.Hypot(float64(a.X-b.X), float64(a.Y-b.Y)); d < float64(spacing)-slack {
				t.Errorf("holes %d and %d are %v apart, asked %v", i, k, d, spacing)
			}
		}
	}
}

// Every answer, in every pattern, on sheets and discs with and without
// obstacles, keeps the spacing and the edge; the best layout holds no fewer than
// either lattice and no more than Oler's bound.
func TestEveryLayoutKeepsItsDistances(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := unit.Length(rapid.Float64Range(0.08, 0.4).Draw(t, "spacing"))
		e := rapid.Float64Range(0.03, 0.3).Draw(t, "edge")
		p := plot{w: rapid.Float64Range(0.3, 2.5).Draw(t, "w"), round: rapid.Bool().Draw(t, "round")}
		p.h = p.w
		if !p.round {
			p.h = rapid.Float64Range(0.3, 2.5).Draw(t, "h")
			p.seam = seams{left: rapid.Bool().Draw(t, "left"), high: rapid.Bool().Draw(t, "high")}
		}
		p = p.spaced(e, float64(s))
		for range rapid.IntRange(0, 2).Draw(t, "obstacles") {
			x, y := rapid.Float64Range(-0.2, 2.5).Draw(t, "x"), rapid.Float64Range(-0.2, 2.5).Draw(t, "y")
			p.boxes = append(p.boxes, box{x, y, x + rapid.Float64Range(0, 0.6).Draw(t, "a"), y + rapid.Float64Range(0, 0.6).Draw(t, "b")})
		}
		lattice := 0
		for _, pattern := range []Pattern{Square, Staggered, Best} {
			l := layOut(p, pattern, s, 1_000_000)
			verify(t, l, s, unit.Length(e))
			n := len(l.Positions)
			if n > l.UpperBound {
				t.Errorf("%s: %d holes over the bound %d", pattern, n, l.UpperBound)
			}
			if pattern == Best && n < lattice {
				t.Errorf("best holds %d, a lattice %d", n, lattice)
			}
			lattice = max(lattice, n)
			if n > 0 && float64(l.LeastEdge) < e*(1-1e-8) || n > 1 && float64(l.LeastSpacing) < float64(s)*(1-1e-8) {
				t.Errorf("%s: reports spacing %v, edge %v", pattern, l.LeastSpacing, l.LeastEdge)
			}
		}
	})
}

// The search is a function of the job alone.
func TestBestIsDeterministic(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	j := Job{Sheet: sheet(24, 48), Edge: inches(4), Spacing: inches(9), Pattern: Best, Obstacles: []Obstacle{{Point{0, 0}, sheet(10, 10)}}}
	a, err := Plan(j)
	if err != nil {
		t.Fatal(err)
	}
	b, _ := Plan(j)
	if len(a.Positions) != len(b.Positions) {
		t.Fatal("two runs differ")
	}
	for i := range a.Positions {
		if a.Positions[i] != b.Positions[i] {
			t.Fatal("two runs differ")
		}
	}
	if a.Holes < max(a.Layouts[0].SquareHoles, a.Layouts[0].StaggeredAlongX) {
		t.Error("fewer than a lattice")
	}
}
