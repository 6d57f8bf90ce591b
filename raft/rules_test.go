package raft

import (
	"fmt"
	"math"
	"reflect"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"raftwright/finding"
	"raftwright/unit"
)

// On a clear rectangle the lattices hold what the formulas of structure METHODS,
// section 8, say: (floor(a/s)+1)(floor(b/s)+1), and rows s sqrt(3)/2 apart of n
// and n or n-1 by turns.
func TestLatticesAgainstFormulas(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.Float64Range(0.05, 0.5).Draw(t, "s")
		a, b := rapid.Float64Range(0, 2).Draw(t, "a"), rapid.Float64Range(0, 2).Draw(t, "b")
		if rapid.Bool().Draw(t, "whole") { // sides that are whole spacings, the usual case
			a, b = math.Floor(a/s)*s, math.Floor(b/s)*s
		}
		p := plot{w: a + 0.2, h: b + 0.2}.spaced(0.1, s)
		fits := func(length, step float64) int { return int(math.Floor(length/step+1e-7)) + 1 }
		near := func(length, step float64) bool { // too near to a jump to tell
			x := length / step
			return math.Abs(x-math.Round(x)) < 1e-6
		}
		want := fits(a, s) * fits(b, s)
		if got := len(squareLattice(p, s)); got != want {
			t.Fatalf("square: %d, formula %d", got, want)
		}
		dy := s * math.Sqrt(3) / 2
		if near(b, dy) || near(a-s/2, s) || b == 0 {
			return
		}
		rows, long, short := fits(b, dy), fits(a, s), 0
		if a >= s/2 {
			short = fits(a-s/2, s)
		}
		want = (rows+1)/2*long + rows/2*short
		if got := len(staggeredLattice(p, s)); got != want {
			t.Fatalf("staggered: %d, formula %d", got, want)
		}
	})
}

// A centred lattice on a clear rectangle leaves the same rest on both sides.
func TestLatticeIsCentred(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := unit.Length(rapid.Float64Range(0.08, 0.4).Draw(t, "s"))
		p := plot{w: rapid.Float64Range(0.5, 2).Draw(t, "w"), h: rapid.Float64Range(0.5, 2).Draw(t, "h")}.spaced(0.1, 0)
		l := layOut(p, Square, s, search{})
		first, last := l.Positions[0], l.Positions[len(l.Positions)-1]
		if math.Abs(float64(first.X+last.X)-p.w) > 1e-9 || math.Abs(float64(first.Y+last.Y)-p.h) > 1e-9 {
			t.Fatalf("from %v to %v on %v x %v", first, last, p.w, p.h)
		}
	})
}

// On a disc the chosen place of a lattice holds no fewer than the lattice with a
// hole in the middle, counted one by one.
func TestDiscLatticeAgainstCount(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, d := rapid.Float64Range(0.08, 0.4).Draw(t, "s"), rapid.Float64Range(0.3, 2).Draw(t, "d")
		p := plot{w: d, h: d, round: true}.spaced(0.05, s)
		square, hexagonal := 0, 0
		for i := -40; i <= 40; i++ {
			for k := -40; k <= 40; k++ {
				if x, y := float64(i)*s, float64(k)*s; math.Hypot(x, y) <= p.rho() {
					square++
				}
				if x, y := (float64(i)+0.5*float64(k&1))*s, float64(k)*s*math.Sqrt(3)/2; math.Hypot(x, y) <= p.rho() {
					hexagonal++
				}
			}
		}
		if got := len(squareLattice(p, s)); got < square {
			t.Fatalf("square: %d, centred %d", got, square)
		}
		if got := len(staggeredLattice(p, s)); got < hexagonal {
			t.Fatalf("staggered: %d, centred %d", got, hexagonal)
		}
	})
}

// A corner cut away on the trade's sheet: a 10 in square in the lower left
// corner keeps 6 in clear around it, so the corner hole goes and its neighbours
// at 18 in stay (18 - 10 = 8 in away).
func TestCornerCut(t *testing.T) {
	j := Job{Sheet: sheet(48, 96), Spacing: inches(12), Edge: inches(6), Obstacles: []Obstacle{{Point{}, sheet(10, 10)}}}
	r := must(t, j)
	if r.Holes != 31 {
		t.Errorf("%d holes", r.Holes)
	}
	for _, h := range r.Positions {
		if math.Abs(h.X.Inches()-6)+math.Abs(h.Y.Inches()-6) < 1e-6 {
			t.Error("a hole stands on the stone")
		}
	}
	if want := inches(48).By(inches(96)) - inches(10).By(inches(10)) - unit.Area(31*math.Pi/4*math.Pow(0.0635, 2)); math.Abs(float64(r.Float.NetArea-want)) > 1e-9 {
		t.Errorf("net area %v, want %v", r.Float.NetArea, want)
	}
	// a strip across the middle splits the sheet: rows within 6 in of it go
	j.Obstacles = []Obstacle{{Point{0, inches(44)}, sheet(48, 8)}}
	if r := must(t, j); r.Holes < 24 || r.LeastEdge < inches(6)*(1-1e-9) {
		t.Errorf("%d holes, edge %v", r.Holes, r.LeastEdge.Inches())
	}
	j.Pattern = Best
	if b := must(t, j); b.Holes < 24 || b.LeastSpacing < inches(12)*(1-1e-9) {
		t.Errorf("best: %d holes", b.Holes)
	}
}

// Obstacles are given on the whole raft; the sheet they lie on is drilled its
// own way, the others alike.
func TestObstacleOnOneOfThreeSheets(t *testing.T) {
	r := must(t, Job{Sheet: sheet(48, 96), Along: 3, Spacing: inches(12), Edge: inches(6), Obstacles: []Obstacle{{Point{inches(4), inches(100)}, sheet(4, 4)}}})
	if len(r.Pieces) != 3 || len(r.Layouts) != 2 || r.Holes != 95 || r.Pieces[0].Layout != r.Pieces[2].Layout {
		t.Errorf("%d pieces, %d layouts, %d holes", len(r.Pieces), len(r.Layouts), r.Holes)
	}
}

// Turning a piece by half twice changes nothing; a layout turned by half keeps
// the margins of the turned piece.
func TestHalfTurn(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := plot{w: rapid.Float64Range(0.5, 2).Draw(t, "w"), h: rapid.Float64Range(0.5, 2).Draw(t, "h"),
			seam: seams{rapid.Bool().Draw(t, "l"), rapid.Bool().Draw(t, "r"), rapid.Bool().Draw(t, "lo"), rapid.Bool().Draw(t, "hi")}}
		p = p.spaced(0.06, 0.2)
		x := rapid.Float64Range(0, 2).Draw(t, "x")
		p.boxes = []box{{x, 0.1, x + 0.2, 0.3}, {0.3, 0.4, 0.35, 0.6}}
		if !p.halfTurned().halfTurned().same(p) {
			t.Fatalf("%+v", p.halfTurned().halfTurned())
		}
		turned := p.halfTurned()
		for _, h := range layOut(p, Staggered, 0.2, search{}).Positions {
			if !turned.open(p.w-float64(h.X), p.h-float64(h.Y), 1e-9) {
				t.Fatalf("%v is closed on the turned piece", h)
			}
		}
	})
}

// Sheets fill the inside: play is the gap or a little more, nothing overlaps,
// no piece is larger than a sheet.
func TestFitFills(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := func(name string, least, most float64) unit.Length {
			return unit.Length(rapid.Float64Range(least, most).Draw(t, name))
		}
		stock, gap := Size{l("x", 0.3, 1.3), l("y", 0.3, 2.5)}, l("gap", 0, 0.03)
		inside := Size{l("X", 0.4, 6), l("Y", 0.4, 6)}
		f := Fit(inside, stock, gap)
		if f.Turned {
			inside = inside.Turned()
		}
		if f.Inside != inside {
			t.Fatalf("inside %v, want %v", f.Inside, inside)
		}
		for _, c := range []struct {
			pieces             []unit.Length
			inside, play, most unit.Length
		}{{f.Columns, inside.X, f.Play.X, stock.X}, {f.Rows, inside.Y, f.Play.Y, stock.Y}} {
			if math.Abs(float64(total(c.pieces)+2*c.play-c.inside)) > 1e-9 || c.play < gap-1e-9 || c.play > gap+leastStrip/2+1e-9 {
				t.Fatalf("%v in %v leaves %v, gap %v", c.pieces, c.inside, c.play, gap)
			}
			for _, p := range c.pieces {
				if p <= 0 || p > c.most*(1+1e-9) {
					t.Fatalf("a piece of %v from a sheet of %v", p, c.most)
				}
			}
		}
	})
}

// A frame made to the size of the sheets costs no row of holes when the edge is
// ours to choose: 4 x 8 ft and 4 x 16 ft inside hold 32 a sheet, as the trade
// counts them (common practice).
func TestTrimmedSheetsKeepTheirRows(t *testing.T) {
	for _, c := range []struct {
		inside Size
		holes  int
	}{{sheet(48, 96), 32}, {sheet(48, 192), 64}, {sheet(96, 48), 32}, {sheet(49, 97), 32}, {sheet(96, 192), 128}} {
		r := must(t, Job{Inside: c.inside})
		if r.Holes != c.holes || r.LeastSpacing < inches(12)*(1-1e-9) {
			t.Errorf("%v x %v: %d holes, %v apart", c.inside.X.Inches(), c.inside.Y.Inches(), r.Holes, r.LeastSpacing.Inches())
		}
	}
}

// Archimedes for every type of foam and thickness: a bare sheet swims at its
// share of the water's density, a load adds mass over area.
func TestDraftOfEveryFoam(t *testing.T) {
	for _, f := range DefaultBook().Foams.All() {
		for _, thick := range stockThicknesses {
			r := must(t, Job{Foam: f.Kind + " " + f.Type, Thickness: thick})
			share := float64(f.Density) / 1000
			if math.Abs(float64(r.Float.DraftNew/thick)-share) > 1e-12 {
				t.Errorf("type %s: bare draft %v of %v", f.Type, r.Float.DraftNew, thick)
			}
			load := 32 * (0.06 + 0.25) / 1000 / float64(r.Float.NetArea)
			if math.Abs(float64(r.Float.DraftGrown-r.Float.DraftNew)-load) > 1e-12 {
				t.Errorf("type %s: the crop adds %v, want %v", f.Type, r.Float.DraftGrown-r.Float.DraftNew, load)
			}
			if soaked := float64(r.Float.DraftOld-r.Float.DraftGrown) / float64(thick); math.Abs(soaked-float64(f.Uptake)) > 1e-12 {
				t.Errorf("type %s: uptake deepens by %v", f.Type, soaked)
			}
		}
	}
}

// The weight that sinks a sheet evenly brings its top to the water.
func TestEvenSinking(t *testing.T) {
	r := must(t, Job{Sheet: sheet(48, 96)})
	l := r.fullest()
	if d := draft(r.grownMass(l)+r.Sink.Evenly, l.netArea(r.Job.Hole)); math.Abs(float64(d-r.Job.Thickness)) > 1e-12 {
		t.Errorf("draft %v of %v", d, r.Job.Thickness)
	}
	if !(r.Sink.OnCorner < r.Sink.OnRim && r.Sink.OnRim < r.Sink.Evenly) {
		t.Errorf("%+v", r.Sink)
	}
}

// Each remedy for pots that hang too high works alone.
func TestRemediesWork(t *testing.T) {
	j := Job{Sheet: sheet(48, 96), Pot: Pot{inches(1.25), inches(3)}, Thickness: inches(1.5), PotDip: inches(1. / 16)}
	m := must(t, j).Dip.Remedy
	taller := j
	taller.Pot.Height = m.PotHeight
	thinner := j
	thinner.Thickness = m.Foam
	for _, better := range []Job{taller, thinner} {
		if d := must(t, better).Dip; d.Remedy.Short > 1e-9 || d.Below < d.Asked-1e-9 {
			t.Errorf("%+v", d)
		}
	}
}

// What is given is not assumed, what is not given is.
func TestAssumptions(t *testing.T) {
	ids := func(j Job) []finding.ID {
		var out []finding.ID
		for _, a := range must(t, j).Assumptions {
			out = append(out, a.ID)
		}
		return out
	}
	all := ids(Job{})
	want := []finding.ID{AssumeSheet, AssumeThickness, AssumeFoam, AssumeGap, AssumeSpacing, AssumeHole, AssumeEdge, AssumePattern, AssumeDip, AssumePot, AssumePotMass, AssumeHeadMass}
	if !slices.Equal(all, want) {
		t.Errorf("%v", all)
	}
	if none := ids(Job{Sheet: sheet(48, 96), Thickness: inches(1.5), Foam: "xps X", Gap: inches(0.5), Spacing: inches(12), Hole: inches(2.5), Edge: inches(6),
		Pattern: Square, PotDip: inches(0.1), Pot: Pot{inches(2), inches(3)}, PotMass: 0.06, HeadMass: 0.2}); none != nil {
		t.Errorf("%v", none)
	}
	// a pot that nobody told of is one that stores sell: 2 in for foam of 1-1/2 in, 1-1/2 in for 1 in
	for thick, tall := range map[float64]float64{1.5: 2, 1: 1.5} {
		if p := must(t, Job{Thickness: inches(thick)}); math.Abs(float64(p.Job.Pot.Height-inches(tall))) > 1e-9 || math.Abs(float64(p.Dip.Below-inches(tall-thick))) > 1e-9 || p.Job.PotDip != p.Dip.Below {
			t.Errorf("%v in of foam: %+v, %+v", thick, p.Job.Pot, p.Dip)
		}
	}
	if half := must(t, Job{Pot: Pot{Rim: inches(3)}}); half.Job.Pot.Height != half.Job.Thickness+half.Job.PotDip || half.Job.Pot.Rim != inches(3) {
		t.Errorf("%+v", half.Job.Pot)
	}
}

// Planning does not change the job it was given, and twice is the same.
func TestPlanIsAFunction(t *testing.T) {
	for _, j := range tellingJobs() {
		if j.Pattern == Best {
			continue
		}
		before := fmt.Sprint(j)
		a, errA := planned(j)
		b, errB := planned(j)
		if fmt.Sprint(j) != before || (errA == nil) != (errB == nil) || !reflect.DeepEqual(a, b) {
			t.Errorf("%+v", j)
		}
	}
}

// Stops stand before cautions, cautions before notes.
func TestFindingsAreSorted(t *testing.T) {
	for _, j := range tellingJobs() {
		if j.Pattern == Best {
			continue
		}
		last := finding.Stop
		for _, f := range must(t, j).Findings {
			if f.Severity > last {
				t.Errorf("%s stands too low", f.ID)
			}
			last = f.Severity
		}
	}
}

// What stops a raft: foam that would sink, a disc too wide for its vessel.
func TestStops(t *testing.T) {
	for _, c := range []struct {
		job Job
		id  finding.ID
	}{
		{Job{Sheet: sheet(48, 96), Thickness: inches(0.75), Spacing: inches(3), Edge: inches(2), HeadMass: 2 * unit.Kilogram}, FindSinks},
		{Job{Diameter: inches(58), InsideDiameter: inches(57)}, FindTooBig},
	} {
		r := must(t, c.job)
		if finding.Worst(r.Findings) != finding.Stop || !has(r, c.id) {
			t.Errorf("%s is not a stop", c.id)
		}
	}
	if finding.Worst(must(t, Job{}).Findings) == finding.Stop {
		t.Error("the trade's raft is stopped")
	}
}

// Pages of a template by arithmetic: a Letter page shows 8.5 in - 24 mm by 11 in
// - 38 mm and shares 10 mm; 24 x 48 in then takes 4 x 6 upright or 3 x 8 lying.
func TestTemplatePages(t *testing.T) {
	r := must(t, Job{Sheet: sheet(24, 48), Spacing: inches(8), Edge: inches(4)})
	tmpl, err := r.Layouts[0].Template(Letter, r.Job.Hole)
	if err != nil {
		t.Fatal(err)
	}
	across := func(length, paper, taken float64) int {
		return int(math.Ceil(length * 25.4 / (paper*25.4 - taken - 10)))
	}
	upright := across(24, 8.5, 24) * across(48, 11, 38)
	lying := across(24, 11, 24) * across(48, 8.5, 38)
	if len(tmpl.Pages) != min(upright, lying) || tmpl.Lying != (lying < upright) {
		t.Errorf("%d pages, lying %v; upright %d, lying %d", len(tmpl.Pages), tmpl.Lying, upright, lying)
	}
	if first := tmpl.Pages[0]; first.Name != "A1" || first.Blank || len(first.Rim) != 2 {
		t.Errorf("first page %+v", first)
	}
	rim := unit.Length(0)
	for _, p := range tmpl.Pages {
		for _, s := range p.Rim {
			rim += unit.Length(math.Hypot(float64(s.A.X-s.B.X), float64(s.A.Y-s.B.Y)))
			if s.A.X < p.At.X-1e-9 || s.B.X > p.At.X+tmpl.Window.X+1e-9 || s.A.Y < p.At.Y-1e-9 || s.B.Y > p.At.Y+tmpl.Window.Y+1e-9 {
				t.Errorf("page %s: rim leaves the window", p.Name)
			}
		}
	}
	if perimeter := inches(2 * (24 + 48)); rim < perimeter || rim > perimeter*1.2 {
		t.Errorf("rim of %v in on all pages, %v round the sheet", rim.Inches(), perimeter.Inches())
	}
}

// The part of a circle in a window by arcs is what points on it say.
func TestArcs(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := window{0, 0, rapid.Float64Range(0.1, 1).Draw(t, "w"), rapid.Float64Range(0.1, 1).Draw(t, "h")}
		x, y, r := rapid.Float64Range(-0.5, 1.5).Draw(t, "x"), rapid.Float64Range(-0.5, 1.5).Draw(t, "y"), rapid.Float64Range(0.01, 0.7).Draw(t, "r")
		arcs := v.arcs(x, y, r)
		for i := range 720 {
			a := (float64(i) + 0.5) * math.Pi / 360
			sin, cos := math.Sincos(a)
			inside, edge := v.holds(x+r*cos, y+r*sin), 1e-6
			if near := (window{v.x0 - edge, v.y0 - edge, v.x1 + edge, v.y1 + edge}).holds(x+r*cos, y+r*sin); near != (window{v.x0 + edge, v.y0 + edge, v.x1 - edge, v.y1 - edge}).holds(x+r*cos, y+r*sin) {
				continue // on the border
			}
			drawn := false
			for _, c := range arcs {
				drawn = drawn || a >= float64(c.From) && a <= float64(c.To) || a+2*math.Pi >= float64(c.From) && a+2*math.Pi <= float64(c.To)
			}
			if drawn != inside {
				t.Fatalf("at %v rad: drawn %v, inside %v; arcs %v", a, drawn, inside, arcs)
			}
		}
	})
}

// The bound is never below a layout that is known: every best-known packing of
// the table, and the trivial cases.
func TestBound(t *testing.T) {
	for _, row := range shared(t, "circle_packing.csv") {
		if n := int(number(t, row[0])); discOf(number(t, row[1])).bound(0.3) < n {
			t.Errorf("the bound is below %d", n)
		}
	}
	for _, c := range []struct {
		a, b float64
		want int
	}{{0, 0, 1}, {0.99, 0, 1}, {1, 0, 2}, {1, 1, 4}, {-0.1, 5, 0}} {
		if got := (plot{w: c.a + 1, h: c.b + 1}).spaced(0.5, 1).bound(1); got != c.want {
			t.Errorf("%v x %v: %d, want %d", c.a, c.b, got, c.want)
		}
	}
}

// The play beside a raft costs no row of holes: a bed of whole feet holds a plant in each square
// foot at the 12 in of the trade, whatever its size.
func TestPlayCostsNoRow(t *testing.T) {
	for _, feet := range [][2]float64{{3, 6}, {2, 4}, {3, 5}, {4, 6}, {4, 8}, {2, 3}} {
		r := must(t, Job{Inside: Size{inches(12 * feet[0]), inches(12 * feet[1])}, Gap: inches(0.5)})
		if got := len(r.Layouts[0].Positions); len(r.Layouts) == 1 && float64(got) != feet[0]*feet[1] {
			t.Errorf("%v ft: %d holes", feet, got)
		}
	}
}

// A pot whose foot nobody told of stands a sixteenth of an inch in the water, so that a plug drinks from the first day (common practice, no source): one as high as
// its foam is thick is that much too short.
func TestLineDip(t *testing.T) {
	for tall, want := range map[float64]float64{1.5: 0.0625, 1.5625: 0.0625, 2: 0.5} {
		r := must(t, Job{Sheet: sheet(48, 96), Thickness: inches(1.5), Pot: Pot{Height: inches(tall), Rim: inches(3)}})
		if got := r.Job.PotDip.Inches(); math.Abs(got-want) > 1e-9 {
			t.Errorf("a pot of %v in: %v in below the raft, want %v", tall, got, want)
		}
		if short := r.Dip.Remedy.Short.Inches(); math.Abs(short-max(0, 0.0625-(tall-1.5))) > 1e-9 {
			t.Errorf("a pot of %v in is %v in too short", tall, short)
		}
	}
}

// From a quarter of an inch on it is told that a pot hangs deeper than was asked, and that a raft has more play at a wall than keeps the light out (our choice,
// common practice: algae grow where light falls on the solution).
func TestLinePlayAndDepth(t *testing.T) {
	told := func(r *Raft, id finding.ID) bool {
		return slices.ContainsFunc(r.Findings, func(f finding.Finding) bool { return f.ID == id })
	}
	for over, want := range map[unit.Length]bool{0.23: false, 0.27: true} {
		r := Raft{Dip: Dip{WetPlanted: 0.01, WetGrown: 0.01, Deepest: 1, Asked: unit.Inch, Below: (1 + over) * unit.Inch}}
		if r.findPots(); told(&r, FindPotDeeper) != want {
			t.Errorf("%v in deeper: %v", float64(over), r.Findings)
		}
		r = Raft{Layouts: []Layout{{Size: Size{unit.Metre, unit.Metre}, Positions: []Point{{}}}}, Play: Size{over * unit.Inch, 0}}
		if r.findRoom(); told(&r, FindPlayOpen) != want {
			t.Errorf("%v in of play: %v", float64(over), r.Findings)
		}
	}
}

// Foam between two holes, and beside the outermost, is as thick as the board at least, else it breaks out; a board thinner than an inch and a half bends where it is
// longer than 1.3 m; of a pot no more than six tenths stand in the water under full heads (common practice, no source; the last our choice).
func TestLineFoam(t *testing.T) {
	told := func(r *Raft, id finding.ID) bool {
		return slices.ContainsFunc(r.Findings, func(f finding.Finding) bool { return f.ID == id })
	}
	made := func(web, rim, thick, long float64) *Raft {
		r := &Raft{Job: Job{Hole: inches(2), Thickness: inches(thick)}, LeastSpacing: inches(2 + web), LeastEdge: inches(1 + rim), Layouts: []Layout{{Size: Size{unit.Length(long), 1}}}}
		r.findFoam()
		return r
	}
	for _, c := range []struct {
		id                    finding.ID
		web, rim, thick, long float64
		want                  bool
	}{
		{FindWeb, 1.45, 9, 1.5, 1, true}, {FindWeb, 1.5, 9, 1.5, 1, false}, {FindRim, 9, 1.45, 1.5, 1, true}, {FindRim, 9, 1.5, 1.5, 1, false},
		{FindThinFoam, 9, 9, 1, 1.29, false}, {FindThinFoam, 9, 9, 1, 1.31, true}, {FindThinFoam, 9, 9, 1.5, 2.4, false},
	} {
		if r := made(c.web, c.rim, c.thick, c.long); told(r, c.id) != c.want {
			t.Errorf("%+v: %v", c, r.Findings)
		}
	}
	r := must(t, Job{Sheet: sheet(48, 96), Thickness: inches(1.5), Pot: Pot{Height: inches(3), Rim: inches(3)}})
	if got := r.Dip.Deepest.Inches(); math.Abs(got-1.8) > 1e-9 {
		t.Errorf("a pot of 3 in may stand %v in deep", got)
	}
}
