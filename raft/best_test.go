package raft

import (
	"context"
	"fmt"
	"math"
	"os"
	"slices"
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

// usualSearch is the search that a raft has.
var usualSearch = search{context.Background(), usualSteps, DefaultBook().Circles}

// laid keeps what the usual search laid out: several tests look at the same rafts.
var laid = map[string]Layout{}

func usuallyLaid(p plot, s float64) Layout {
	key := fmt.Sprint(p, s)
	if _, known := laid[key]; !known {
		laid[key] = layOut(p, Best, unit.Length(s), usualSearch)
	}
	return laid[key]
}

// The table of packings is that of circle_packing.csv of the check tables (Graham,
// Lubachevsky, Nurmela & Ostergard 1998; Lubachevsky & Graham 1997; later
// contributors), where that has a row; the small ones are the closed forms that
// are proved optimal (a regular polygon on the rim, or with one in the middle).
func TestTableOfPackings(t *testing.T) {
	known := DefaultBook().Circles
	if n := len(known.ratios); n != 200 {
		t.Fatalf("%d rows", n)
	}
	for _, row := range shared(t, "circle_packing.csv") {
		if n := int(number(t, row[0])); math.Abs(known.ratios[n-1]-number(t, row[1])) > 2e-10 {
			t.Errorf("%d: %v, want %v", n, known.ratios[n-1], row[1])
		}
	}
	for n, want := range map[int]float64{1: 1, 2: 2, 3: 1 + 2/math.Sqrt(3), 4: 1 + math.Sqrt2, 5: 1 + 1/math.Sin(math.Pi/5), 6: 3, 7: 3, 8: 1 + 1/math.Sin(math.Pi/7), 9: 1 + 1/math.Sin(math.Pi/8)} {
		if math.Abs(known.ratios[n-1]-want) > 1e-9 {
			t.Errorf("%d: %v, want %v", n, known.ratios[n-1], want)
		}
	}
	for ratio, want := range map[float64]int{0.9: 0, 1: 1, 1.99: 1, 2: 2, 3: 7, 3.3: 7, 13.4762: 151, 16: 0} {
		if got := known.Known(ratio); got != want {
			t.Errorf("%v holds %d, want %d", ratio, got, want)
		}
	}
}

// On a disc of the ratio of every best packing known of up to 200 circles (E.
// Specht's table) the search comes within one of the best known.
func TestDiscsAgainstBestKnown(t *testing.T) {
	exact, tried, step := 0, 0, 8 // every eighth: ./check --long tries every count
	switch {
	case os.Getenv("RAFTWRIGHT_DISCS") == "all":
		step = 1
	case testing.Short():
		step = 80
	}
	for i, ratio := range DefaultBook().Circles.ratios {
		if i%step != 0 {
			continue
		}
		tried++
		l := usuallyLaid(discOf(ratio), 0.3)
		verify(t, l, 0.3, 0.15)
		if got := len(l.Positions); got < i {
			t.Errorf("%d holes where %d are known", got, i+1)
		} else if got > i {
			exact++
		}
	}
	if exact < tried*2/5 && !testing.Short() {
		t.Errorf("only %d of %d reach the best known count", exact, tried)
	}
}

// Counts that a search seven times as long found before: no fewer.
func TestNoWorseThanBefore(t *testing.T) {
	for _, row := range shared(t, "circle_packing.csv") {
		want := int(number(t, row[0]))
		if testing.Short() && want%80 != 0 {
			continue // the check lays out every one
		}
		if want == 73 || want == 85 {
			want--
		}
		// the ratio of the book, which is the row's
		if got := len(usuallyLaid(discOf(DefaultBook().Circles.ratios[int(number(t, row[0]))-1]), 0.3).Positions); got < want {
			t.Errorf("%d circles: %d holes", want, got)
		}
	}
	before := []int{32, 44, 52, 66, 84, 112, 35, 50, 61, 74, 94, 125, 40, 52, 64, 81, 103, 140, 17, 23, 30, 36, 42, 60, 16, 20, 25, 30, 38, 49}
	for i, row := range shared(t, "raft_layouts.csv") {
		if testing.Short() && i%10 != 0 {
			continue
		}
		p := plot{w: number(t, row[0]) * 0.0254, h: number(t, row[1]) * 0.0254}.spaced(number(t, row[2])*0.0254, 0)
		s := inches(number(t, row[3]))
		l := usuallyLaid(p, float64(s))
		verify(t, l, s, unit.Length(p.edge))
		if got := len(l.Positions); got < before[i] {
			t.Errorf("%v: %d holes, %d before", row[:4], got, before[i])
		}
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
		l := layOut(p, Best, inches(c.s), usualSearch)
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
		l := usuallyLaid(p, float64(s))
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
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
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
			l := layOut(p, pattern, s, search{context.Background(), 300_000, Circles{}})
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
	a, err := planned(j)
	if err != nil {
		t.Fatal(err)
	}
	b, _ := planned(j)
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

// Steps bound the search, and the same number gives the same answer; a raft that
// they cut short says so. A search that is stopped gives no raft.
func TestStepsAndStop(t *testing.T) {
	j := Job{Sheet: sheet(48, 96), Spacing: inches(8), Edge: inches(4), Pattern: Best, Steps: 200}
	few := must(t, j)
	j.Steps = 1_000_000
	more, again := must(t, j), must(t, j)
	if few.Holes >= more.Holes || few.Holes < 72 || !slices.Equal(more.Positions, again.Positions) {
		t.Errorf("%d and %d holes", few.Holes, more.Holes)
	}
	for _, r := range []Raft{few, more} {
		if !has(r, FindSpent) || !r.Layouts[0].Spent {
			t.Error("nothing says that the steps ended the search")
		}
	}
	if j.Steps = 0; has(must(t, j), FindSpent) {
		t.Error("the usual search says that it was cut short")
	}
	stopped, stop := context.WithCancel(context.Background())
	stop()
	if _, faults := Plan(stopped, j, DefaultBook()); len(faults) != 1 || faults[0].ID != FaultStopped {
		t.Errorf("a search that was stopped gave %v", faults)
	}
}
