package raft

import (
	"math"
	"testing"

	"raftwright/unit"
)

// A disc of 95 in takes two sheets of 48 by 96 in, whose one joint runs through
// its middle; one of 47 in takes one sheet and has no joint.
func TestJointOfADisc(t *testing.T) {
	for _, pattern := range []Pattern{Square, Staggered, Best} {
		r := must(t, Job{Diameter: inches(95), Spacing: inches(8), Edge: inches(5), Hole: inches(2.5), Pattern: pattern})
		onX, onY := 0, 0
		for _, p := range r.Layouts[0].Positions {
			if math.Abs(p.X.Inches()-47.5) < 1.25-1e-6 {
				onX++
			}
			if math.Abs(p.Y.Inches()-47.5) < 1.25-1e-6 {
				onY++
			}
		}
		if r.SheetsToBuy != 2 || r.jointHoles() != min(onX, onY) || has(r, FindJointHoles) != (min(onX, onY) > 0) || !has(r, FindRoundJoined) {
			t.Errorf("%v: %d sheets, %d holes on the joint, want %d or %d", pattern, r.SheetsToBuy, r.jointHoles(), onX, onY)
		}
	}
	if r := must(t, Job{Diameter: inches(47), Spacing: inches(8), Edge: inches(5)}); r.jointHoles() != 0 || has(r, FindRoundJoined) || has(r, FindJointHoles) {
		t.Error("a disc out of one sheet has a joint")
	}
}

// The pages beside a disc are not printed: those that no foam touches, counted
// here by trying a fine grid of points of each page.
func TestPagesBesideADisc(t *testing.T) {
	r := must(t, Job{Diameter: inches(95), Spacing: inches(8), Edge: inches(5), Pattern: Square})
	l := r.Layouts[0]
	tmpl, err := l.Template(Letter, r.Job.Hole)
	if err != nil {
		t.Fatal(err)
	}
	outside := 0
	for _, p := range tmpl.Pages {
		foam := false
		for i := range 41 {
			for k := range 41 {
				x, y := p.From.X+tmpl.Window.X*unit.Length(i)/40, p.From.Y+tmpl.Window.Y*unit.Length(k)/40
				foam = foam || math.Hypot(x.Inches()-47.5, y.Inches()-47.5) < 47.4
			}
		}
		if p.Outside && foam || !p.Outside && !foam && p.Blank {
			t.Errorf("page %s: outside %v, foam %v", p.Name, p.Outside, foam)
		}
		if p.Outside {
			outside++
		}
	}
	if outside < 4 {
		t.Errorf("only %d pages lie outside", outside)
	}
}

// A corner piece of 4 by 1 m out of a sheet of 5 by 3 m leaves 5 by 2 whole, not 1 by 3: the
// larger rest (10 m2, not 3); one of 1 by 2.5 m leaves 4 by 3 whole (12 m2, not 2.5). Worked by hand.
func TestTheLargerRestOfASheetStaysWhole(t *testing.T) {
	for _, c := range []struct {
		w, h  float64
		whole Size
	}{{4, 1, Size{5, 2}}, {1, 2.5, Size{4, 3}}} {
		rest := guillotine(Size{5, 3}, inches(c.w/0.0254), inches(c.h/0.0254))
		large := Size{}
		for _, s := range rest {
			if s.Area() > large.Area() {
				large = s
			}
		}
		if x, y := float64(large.X-c.whole.X), float64(large.Y-c.whole.Y); x*x+y*y > 1e-12 {
			t.Errorf("%v by %v m leaves %v, not %v whole", c.w, c.h, rest, c.whole)
		}
	}
}

// Both ways of laying sheets of 40 by 60 in into 80.9 by 40 in take two pieces: straight, 0.9 in
// is too narrow for a strip and is lost; turned, 60 and 20.9 in fill the length. Worked by hand.
func TestOfAsManyPiecesTheLargerRaft(t *testing.T) {
	f := Fit(Size{inches(80.9), inches(40)}, Size{inches(40), inches(60)}, 0)
	if got := f.Raft(); !f.Turned || len(f.Columns)*len(f.Rows) != 2 || math.Abs(got.X.Inches()-40) > 1e-9 || math.Abs(got.Y.Inches()-80.9) > 1e-9 {
		t.Errorf("%+v", f)
	}
	if f := Fit(Size{inches(80), inches(40)}, Size{inches(40), inches(60)}, 0); f.Turned {
		t.Errorf("turned for nothing: %+v", f)
	}
}

// A page keeps 12 mm free all around for printers that print no nearer to the edge, and 14 mm more
// at its foot; neighbours share 10 mm (own choice).
func TestRoomOnAPage(t *testing.T) {
	mm := func(l unit.Length) float64 { return float64(l / unit.Millimetre) }
	got := tiling(Size{inches(48), inches(96)}, A4.Size)
	if math.Abs(mm(got.Window.X)-(210-2*12)) > 1e-9 || math.Abs(mm(got.Window.Y)-(297-2*12-14)) > 1e-9 || math.Abs(mm(got.Overlap)-10) > 1e-9 {
		t.Errorf("the window is %v by %v mm", mm(got.Window.X), mm(got.Window.Y))
	}
	tmpl, err := must(t, Job{Diameter: inches(47), Spacing: inches(8), Edge: inches(5)}).Layouts[0].Template(Letter, inches(2))
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range tmpl.Pages {
		if math.Abs(mm(p.At.X)-12) > 1e-9 || math.Abs(mm(p.At.Y)-(12+14)) > 1e-9 {
			t.Errorf("page %s begins at %v, %v mm", p.Name, mm(p.At.X), mm(p.At.Y))
		}
	}
}

// A hole moves to other marks only where its distances suffer less there, and stays where none
// are better.
func TestMarksOnlyImprove(t *testing.T) {
	moved, stayed := 0, 0
	for _, spacing := range []float64{7.3, 8.1, 9.4} {
		r := must(t, Job{Diameter: inches(60), Spacing: inches(spacing), Edge: inches(5), Hole: inches(2), Pattern: Best})
		for _, l := range r.Layouts {
			for _, step := range []unit.Length{inches(0.25), inches(0.5), inches(1)} {
				s := rounding{l: l, step: step, spacing: inches(spacing).Metres(), edge: inches(5).Metres()}
				for _, p := range l.Positions {
					s.out = append(s.out, Point{unit.Length(math.Round(float64(p.X/step))) * step, unit.Length(math.Round(float64(p.Y/step))) * step})
				}
				s.near = l.neighbours(inches(spacing) + 6*step)
				for _, g := range l.together() {
					before := s.loss(g)
					is := s.improve(g)
					after := s.loss(g)
					switch {
					case is && after >= before, !is && after != before:
						t.Errorf("moved %v: %v after %v", is, after, before)
					case is:
						moved++
					case before > 0:
						stayed++
					}
				}
			}
		}
	}
	if moved < 10 || stayed < 10 {
		t.Errorf("%d moved, %d stayed", moved, stayed)
	}
}

// What is left of a sheet gives the next piece when both its sides are large enough, and
// not when one of them is short.
func TestSheetsToBuyByHand(t *testing.T) {
	for _, c := range []struct {
		columns, rows []unit.Length
		sheet         Size
		want          int
	}{{[]unit.Length{4, 4}, []unit.Length{4}, Size{8, 4}, 1}, {[]unit.Length{4, 4}, []unit.Length{4}, Size{7.9, 4}, 2}, {[]unit.Length{4}, []unit.Length{4, 4}, Size{4, 7.9}, 2},
		{[]unit.Length{4}, []unit.Length{4, 4}, Size{4, 8}, 1}, {[]unit.Length{3, 3}, []unit.Length{2, 2}, Size{4, 8}, 1}, {[]unit.Length{3}, []unit.Length{5, 5}, Size{4, 8}, 2}} {
		if got := sheetsToBuy(Fitting{Columns: c.columns, Rows: c.rows}, c.sheet); got != c.want {
			t.Errorf("%v by %v from %v: %d sheets, want %d", c.columns, c.rows, c.sheet, got, c.want)
		}
	}
}

// Less than a quarter inch of foam above the water, when the foam is old, is told (own choice).
func TestLineFreeboard(t *testing.T) {
	for free, want := range map[unit.Length]bool{0.24: true, 0.26: false} {
		var r Raft
		r.Job.Thickness, r.Float.Freeboard = inches(1.5), inches(1)
		r.Float.DraftOld = r.Job.Thickness - free*unit.Inch
		if r.findFloat(); has(r, FindLowFreeboard) != want {
			t.Errorf("%v in of foam above the water: %v", float64(free), r.Findings)
		}
	}
}
