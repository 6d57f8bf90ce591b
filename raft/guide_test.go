package raft

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"raftwright/unit"
)

// The trade's sheet is marked at 6, 18, 30 and 42 in from the left and every
// foot from 6 in up: all from the edge, all on whole inches (common practice).
func TestGuideOfTheTradeSheet(t *testing.T) {
	r, err := planned(Job{Sheet: sheet(48, 96), Spacing: inches(12), Edge: inches(6)})
	if err != nil {
		t.Fatal(err)
	}
	g := r.Layouts[0].Guide(r.Job.Spacing, r.Job.Edge)
	if !g.ByRows || len(g.Settings) != 1 || len(g.Rows) != 8 || len(g.Holes) != 32 {
		t.Fatalf("%d settings, %d rows", len(g.Settings), len(g.Rows))
	}
	for i, m := range g.Settings[0] {
		if want := []string{"6 in", "18 in", "30 in", "42 in"}[i]; m.Tape.Tape(16, unit.Nearest) != want {
			t.Errorf("mark %d is %s", i, m.Tape.Tape(16, unit.Nearest))
		}
	}
	if g.Rows[7].Y.Tape.Tape(16, unit.Nearest) != "90 in" || g.Rows[7].First != 29 {
		t.Errorf("last row %+v", g.Rows[7])
	}
	if g.InTape.SpacingShort != 0 || g.InTape.EdgeShort != 0 {
		t.Errorf("rounding costs %+v", g.InTape)
	}
	// a metre rule reads 152, 457, 762, 1067: 304.8 mm apart at heart
	if m := g.Settings[0][1].Metric; math.Abs(m.Millimetres()-457) > 1e-9 {
		t.Errorf("metric mark %v", m)
	}
}

// A staggered sheet needs two settings of the tape.
func TestGuideStaggered(t *testing.T) {
	r, err := planned(Job{Sheet: sheet(48, 96), Spacing: inches(8), Edge: inches(6), Pattern: Staggered})
	if err != nil {
		t.Fatal(err)
	}
	g := r.Layouts[0].Guide(r.Job.Spacing, r.Job.Edge)
	if r.Holes != 66 || len(g.Settings) != 2 || !g.ByRows {
		t.Errorf("%d holes, %d settings", r.Holes, len(g.Settings))
	}
	for i := 1; i < len(g.Rows); i++ {
		if g.Rows[i].Setting == g.Rows[i-1].Setting || g.Rows[i].First <= g.Rows[i-1].First {
			t.Errorf("rows do not take turns: %+v", g.Rows[i])
		}
	}
}

// No mark is farther from its hole than two sixteenths, marks are on the tape,
// and no distance falls short by more than the rounding of its marks: half a
// sixteenth at both ends and both ways.
func TestGuideRounding(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		e := rapid.Float64Range(0.05, 0.2).Draw(t, "edge")
		p := plot{w: rapid.Float64Range(0.5, 1.5).Draw(t, "w"), round: rapid.Bool().Draw(t, "round")}
		p.h = p.w
		s := unit.Length(rapid.Float64Range(0.1, 0.35).Draw(t, "s"))
		p = p.spaced(e, float64(s))
		l := layOut(p, rapid.SampledFrom([]Pattern{Square, Staggered, Best}).Draw(t, "pattern"), s, usualSearch)
		g := l.Guide(s, unit.Length(e))
		far := unit.Inch / 8
		for _, h := range g.Holes {
			for _, m := range []Mark{h.X, h.Y} {
				if n := m.Tape.Inches() * 16; math.Abs(n-math.Round(n)) > 1e-6 || math.Abs(float64(m.Tape-m.Exact)) > float64(far)*(1+1e-4) {
					t.Fatalf("mark %v for %v", m.Tape.Inches(), m.Exact.Inches())
				}
			}
		}
		if a := g.InTape; a.SpacingShort > math.Sqrt2*unit.Inch/16 || a.EdgeShort > 1.25*unit.Inch/16 {
			t.Fatalf("rounding costs %+v", a)
		}
		holes := 0
		for i, row := range g.Rows {
			if row.First != holes+1 {
				t.Fatalf("row %d starts at %d", i, row.First)
			}
			holes += len(g.Settings[row.Setting])
		}
		if holes != len(g.Holes) {
			t.Fatalf("rows hold %d of %d", holes, len(g.Holes))
		}
	})
}

// Every hole of a template is drawn whole: the arcs on all pages, taken once
// where pages overlap, make full circles; every centre is on a page; crosses of
// neighbours fall on the same place of the raft; bars are 100 mm.
func TestTemplate(t *testing.T) {
	for _, c := range []struct {
		job   Job
		paper Paper
	}{
		{Job{Sheet: sheet(48, 48), Spacing: inches(9), Edge: inches(5)}, Letter},
		{Job{Sheet: sheet(24, 48), Spacing: inches(8), Edge: inches(4), Pattern: Staggered, Obstacles: []Obstacle{{Point{inches(20), 0}, sheet(4, 5)}}}, A4},
		{Job{Diameter: inches(40), Spacing: inches(7), Edge: inches(4), Pattern: Staggered}, A4},
	} {
		r, faults := planned(c.job)
		if faults != nil {
			t.Fatal(faults)
		}
		l := r.Layouts[0]
		tmpl, err := l.Template(c.paper, r.Job.Hole)
		if err != nil {
			t.Fatal(err)
		}
		checkTemplate(t, l, tmpl)
	}
}

func checkTemplate(t *testing.T, l Layout, tmpl Template) {
	covered := make([]map[int]bool, len(l.Positions)) // degrees of each circle seen
	centres := make([]bool, len(l.Positions))
	marks := map[[2]int]int{}
	for _, p := range tmpl.Pages {
		for _, h := range p.Holes {
			i := h.Number - 1
			raft := Point{h.Centre.X - p.At.X + p.From.X, h.Centre.Y - p.At.Y + p.From.Y}
			if math.Hypot(float64(raft.X-l.Positions[i].X), float64(raft.Y-l.Positions[i].Y)) > 1e-9 {
				t.Fatalf("hole %d of page %s is off its place", h.Number, p.Name)
			}
			centres[i] = centres[i] || h.Shown
			if covered[i] == nil {
				covered[i] = map[int]bool{}
			}
			for _, a := range h.Arcs {
				for d := range 360 {
					for _, turn := range []float64{0, 360} {
						if x := (float64(d) + 0.5 + turn) * math.Pi / 180; x >= float64(a.From) && x <= float64(a.To) {
							covered[i][d] = true
						}
					}
				}
			}
		}
		for _, m := range p.Marks {
			marks[[2]int{int(math.Round((m.X - p.At.X + p.From.X).Millimetres() * 100)), int(math.Round((m.Y - p.At.Y + p.From.Y).Millimetres() * 100))}]++
			if m.X < 0 || m.Y < 0 || m.X > tmpl.Paper.X || m.Y > tmpl.Paper.Y {
				t.Errorf("a cross is off the paper")
			}
		}
		for _, b := range p.Bars {
			if n := math.Hypot(float64(b.A.X-b.B.X), float64(b.A.Y-b.B.Y)); math.Abs(n-0.1) > 1e-12 || b.A.X < 0 || b.B.Y > tmpl.Paper.Y {
				t.Errorf("bar of %v m", n)
			}
		}
		if p.Blank && len(p.Holes)+len(p.Rim) > 0 {
			t.Errorf("page %s is called blank", p.Name)
		}
	}
	for i := range l.Positions {
		if !centres[i] || len(covered[i]) != 360 {
			t.Errorf("hole %d: centre %v, %d degrees of its rim", i+1, centres[i], len(covered[i]))
		}
	}
	for at, n := range marks {
		if n != 2 {
			t.Errorf("a cross at %v stands on %d pages", at, n)
		}
	}
	if len(marks) == 0 || len(tmpl.Pages) != tmpl.Columns*tmpl.Rows {
		t.Errorf("%d crosses, %d pages", len(marks), len(tmpl.Pages))
	}
}

func TestTemplateRefusesAPark(t *testing.T) {
	l := Layout{Size: Size{30, 30}, plot: plot{w: 30, h: 30}}
	if _, err := l.Template(A4, inches(2)); err == nil {
		t.Error("thousands of pages were planned")
	}
}

func TestColumnNames(t *testing.T) {
	for i, want := range map[int]string{0: "A", 25: "Z", 26: "AA", 27: "AB", 701: "ZZ", 702: "AAA"} {
		if got := columnName(i); got != want {
			t.Errorf("%d is %s", i, got)
		}
	}
}
