package draw

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"raftwright/unit"
)

const (
	in = unit.Inch
	ft = unit.Foot
	mm = unit.Millimetre
)

func TestOnPaper(t *testing.T) {
	for _, c := range []struct {
		l    unit.Length
		want Points
	}{{in, 72}, {25.4 * mm, 72}, {100 * mm, 100 / 25.4 * 72}, {0, 0}} {
		if got := OnPaper(c.l); math.Abs(float64(got-c.want)) > 1e-9 {
			t.Errorf("OnPaper(%v) = %v, want %v", c.l, got, c.want)
		}
		if back := OnPaper(c.l).Length(); math.Abs(float64(back-c.l)) > 1e-12 {
			t.Errorf("%v comes back as %v", c.l, back)
		}
	}
}

func TestScaleNames(t *testing.T) {
	for _, c := range []struct {
		s    Scale
		sys  System
		want string
	}{
		{Full, US, "1 : 1"},
		{OneTo(24), US, "1/2 in = 1 ft"}, {OneTo(12), US, "1 in = 1 ft"}, {OneTo(8), US, "1-1/2 in = 1 ft"},
		{OneTo(96), US, "1/8 in = 1 ft"}, {OneTo(10), US, "1 : 10"}, {OneTo(20), Metric, "1 : 20"},
		{2, Metric, "2 : 1"}, {OneTo(24), Metric, "1 : 24"},
	} {
		if got := c.s.Name(c.sys, Words{}); got != c.want {
			t.Errorf("%v: %q, want %q", c.s, got, c.want)
		}
	}
	if got := OneTo(24).Name(US, Words{Foot: "pie", Inch: "pulg"}); got != "1/2 pulg = 1 pie" {
		t.Errorf("Spanish words: %q", got)
	}
}

// Each US step is what its name says: so many inches of paper to twelve inches.
func TestUSStepsAreTheirNames(t *testing.T) {
	seen := 0
	for _, s := range usSteps {
		if s.inch == "" {
			continue
		}
		seen++
		l, err := unit.ParseLength(s.inch + " in")
		if err != nil {
			t.Fatal(err)
		}
		if n := 12 / l.Inches(); math.Abs(n-s.n) > 1e-9 {
			t.Errorf("%s in = 1 ft is 1 : %v, the table has %v", s.inch, n, s.n)
		}
	}
	if seen < 10 {
		t.Fatalf("saw only %d", seen)
	}
}

func TestStepsRunFromLargeToSmall(t *testing.T) {
	for _, sys := range []System{US, Metric} {
		s := Steps(sys)
		for i := 1; i < len(s); i++ {
			if s[i] >= s[i-1] {
				t.Errorf("system %d: step %d does not shrink", sys, i)
			}
		}
	}
}

func bed(length, width unit.Length) Drawing {
	d := Drawing{ID: "bed", Title: "Bed"}
	d.Add(Rect(At(0, 0), length, width).Filled(Wood),
		Dimension{From: At(0, width), To: At(length, width), Offset: 18, Label: "length"},
		Dimension{From: At(0, 0), To: At(0, width), Offset: 18, Label: "width"},
		Callout{Tip: At(length/2, width/2), Dx: 30, Dy: 30, Text: "middle\nof the bed"},
		Text{At: At(0, 0), Text: "corner", Level: Hanging})
	return d
}

func TestLayChoosesTheLargestScaleThatFits(t *testing.T) {
	room := Fitting{Width: 468, Height: 320}
	for _, c := range []struct {
		l, w unit.Length
		sys  System
		want Scale
	}{
		// 97 in at 3/4 in = 1 ft is 436 points and leaves 32 for the dimension at the side; at 1 in it is 582.
		{97 * in, 49 * in, US, OneTo(16)},
		{40 * ft, 8 * ft, US, OneTo(96)},
		{2.4 * unit.Metre, 1.2 * unit.Metre, Metric, OneTo(20)},
	} {
		room.System = c.sys
		s := Lay(bed(c.l, c.w), room)
		if s.Loose || math.Abs(float64(s.Scale-c.want)) > 1e-9 {
			t.Errorf("%v by %v: scale 1 : %v, want 1 : %v", c.l, c.w, 1/float64(s.Scale), 1/float64(c.want))
		}
		for _, larger := range Steps(c.sys) {
			if larger > s.Scale && fits(finish(bed(c.l, c.w), room, larger, false, true), room) {
				t.Errorf("1 : %v would have fitted", 1/float64(larger))
			}
		}
	}
}

func TestLayKeepsItsOwnScaleWhereItFits(t *testing.T) {
	d := bed(97*in, 49*in)
	d.Scale = OneTo(48)
	if s := Lay(d, Fitting{Width: 468}); s.Scale != OneTo(48) {
		t.Errorf("scale %v", s.Scale)
	}
	d.Scale = Full
	if s := Lay(d, Fitting{Width: 468}); s.Width > 468.01 {
		t.Errorf("a drawing too large for its own scale is %v wide", s.Width)
	}
}

func TestLooseDrawingSaysSo(t *testing.T) {
	d := bed(8*ft, 4*ft)
	d.Loose = true
	s := Lay(d, Fitting{Width: 300, Height: 300, Words: Words{NotToScale: "Sin escala"}})
	if !s.Loose || !hasText(s, "Sin escala") {
		t.Error("a loose drawing must say that it is not to scale")
	}
	if s.Width < 280 && s.Height < 280 {
		t.Errorf("a loose drawing fills its room, this is %v by %v", s.Width, s.Height)
	}
}

func hasText(s Sheet, part string) bool {
	for _, m := range s.Marks {
		if m.Kind == Lettering && strings.Contains(m.Text, part) {
			return true
		}
	}
	return false
}

// The bar under a figure is as long on paper as it says.
func TestScaleBarIsTrue(t *testing.T) {
	for _, sys := range []System{US, Metric} {
		for _, s := range Steps(sys) {
			b := barFor(s, sys, Words{})
			named, err := unit.ParseLength(b.name)
			if err != nil {
				t.Fatal(err)
			}
			if math.Abs(float64(named-b.length)) > 1e-12 {
				t.Errorf("bar %q is %v long", b.name, b.length)
			}
			paper := float64(OnPaper(b.length)) * float64(s)
			if paper < 20 || paper > 400 {
				t.Errorf("at 1 : %v the bar %q is %.0f points", 1/float64(s), b.name, paper)
			}
		}
	}
}

func TestLayStaysInItsRoom(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := bed(unit.Length(rapid.Float64Range(0.05, 50).Draw(t, "length")), unit.Length(rapid.Float64Range(0.05, 50).Draw(t, "width")))
		d.Loose = rapid.Bool().Draw(t, "loose")
		f := Fitting{Width: Points(rapid.Float64Range(250, 600).Draw(t, "room")), Height: Points(rapid.Float64Range(200, 700).Draw(t, "height")),
			Magnify: rapid.Float64Range(1, 1.6).Draw(t, "magnify"), System: System(rapid.IntRange(0, 1).Draw(t, "system"))}
		s := Lay(d, f)
		if s.Width > f.Width+0.1 || s.Height > f.Height+0.1 {
			t.Fatalf("%v by %v in a room of %v by %v", s.Width, s.Height, f.Width, f.Height)
		}
		box := bounds(s.Marks)
		if box.x0 < -0.1 || box.y0 < -0.1 || box.x1 > s.Width+0.1 || box.y1 > s.Height+0.1 {
			t.Fatalf("ink at %v outside of a sheet of %v by %v", box, s.Width, s.Height)
		}
	})
}

// A length on the sheet is the length in the drawing times the scale.
func TestScaleIsTrue(t *testing.T) {
	s := Lay(bed(97*in, 49*in), Fitting{Width: 468, Height: 400})
	for _, m := range s.Marks {
		if m.Kind == Outline && m.Fill == Wood {
			a, b := m.Box()
			if got, want := float64(b.X-a.X), 97*72*float64(s.Scale); math.Abs(got-want) > 1e-6 {
				t.Errorf("97 in is %v points, want %v", got, want)
			}
			return
		}
	}
	t.Fatal("no outline of the bed")
}

func TestExactDrawingKeepsItsCorner(t *testing.T) {
	d := Drawing{Bare: true, Scale: Full}
	d.Add(Rect(At(40*mm, 60*mm), 100*mm, 3*mm))
	s := Lay(d, Fitting{})
	a, b := s.Marks[0].Box()
	if math.Abs(float64(a.X-OnPaper(40*mm))) > 1e-9 || math.Abs(float64(b.X-a.X-OnPaper(100*mm))) > 1e-9 {
		t.Errorf("bar from %v to %v", a, b)
	}
}

func TestExtentCountsOutlinesOnly(t *testing.T) {
	w, h := Extent(bed(97*in, 49*in))
	if math.Abs(w.Inches()-97) > 1e-9 || math.Abs(h.Inches()-49) > 1e-9 {
		t.Errorf("%v by %v in", w.Inches(), h.Inches())
	}
	if w, h := Extent(Drawing{}); w != 0 || h != 0 {
		t.Error("an empty drawing has no extent")
	}
}

// Every spot of the cubic pieces of a circle is within 0.03 % of the radius.
func TestCircleIsRound(t *testing.T) {
	c := Circle(At(2*in, 3*in), 5*in)
	at := c.Steps[0].To
	for _, s := range c.Steps[1:] {
		if s.Kind != CurveTo {
			continue
		}
		for k := 0; k <= 20; k++ {
			u := unit.Length(k) / 20
			v := 1 - u
			x := v*v*v*at.X + 3*v*v*u*s.C1.X + 3*v*u*u*s.C2.X + u*u*u*s.To.X
			y := v*v*v*at.Y + 3*v*v*u*s.C1.Y + 3*v*u*u*s.C2.Y + u*u*u*s.To.Y
			if r := math.Hypot(float64(x-2*in), float64(y-3*in)) / float64(5*in); math.Abs(r-1) > 3e-4 {
				t.Fatalf("radius %v", r)
			}
		}
		at = s.To
	}
	if w, h := Extent(Drawing{Items: []Item{c}}); math.Abs(w.Inches()-10) > 1e-9 || math.Abs(h.Inches()-10) > 1e-9 {
		t.Errorf("a circle of 10 in is %v by %v", w.Inches(), h.Inches())
	}
}

func TestArcEndsWhereItShould(t *testing.T) {
	a := Arc(At(0, 0), in, 30, 200)
	last := a.Steps[len(a.Steps)-1].To
	sin, cos := math.Sincos(200 * math.Pi / 180)
	if math.Abs(last.X.Inches()-cos) > 1e-9 || math.Abs(last.Y.Inches()-sin) > 1e-9 {
		t.Errorf("ends at %v, %v", last.X.Inches(), last.Y.Inches())
	}
}

// A dimension can be read from below or from the right, whichever way it runs.
func TestDimensionsReadFromBelowOrTheRight(t *testing.T) {
	for k := range 24 {
		sin, cos := math.Sincos(float64(k) * math.Pi / 12)
		d := Drawing{Bare: true, Scale: Full}
		d.Add(Dimension{From: At(0, 0), To: At(unit.Length(cos)*4*in, unit.Length(sin)*4*in), Offset: 12, Label: "4 in"})
		for _, m := range Lay(d, Fitting{}).Marks {
			if m.Kind == Lettering && (m.Turn > 90.1 || m.Turn < -89.9) {
				t.Errorf("at %d degrees the label is turned by %v", k*15, m.Turn)
			}
		}
	}
}

func TestShortDimensionPutsItsLabelOutside(t *testing.T) {
	d := Drawing{Bare: true, Scale: Full}
	d.Add(Dimension{From: At(0, 0), To: At(0.1*in, 0), Label: "a long label"})
	for _, m := range Lay(d, Fitting{}).Marks {
		if m.Kind == Lettering && (m.Anchor != Start || m.At.X < 7.2) {
			t.Errorf("label at %v", m.At)
		}
	}
}

func TestGroupsNestAndShift(t *testing.T) {
	inner := Group{ID: "b", Shift: At(in, 0), Items: []Item{Line(At(0, 0), At(in, 0))}}
	d := Drawing{Bare: true, Scale: Full, Items: []Item{Group{ID: "a", Shift: At(in, in), Items: []Item{inner}}}}
	open, deepest := 0, 0
	for _, m := range Lay(d, Fitting{}).Marks {
		switch m.Kind {
		case Open:
			open++
			deepest = max(deepest, open)
		case Shut:
			open--
		case Outline:
			if m.Moves[0].To.X != 144 || m.Moves[0].To.Y != 72 {
				t.Errorf("line starts at %v", m.Moves[0].To)
			}
		}
	}
	if open != 0 || deepest != 2 {
		t.Errorf("open %d, deepest %d", open, deepest)
	}
}

func TestOddNumbersLeaveNoInk(t *testing.T) {
	nan := unit.Length(math.NaN())
	d := Drawing{ID: "odd"}
	d.Add(Line(At(0, 0), At(nan, 0)), Line(At(0, 0), At(unit.Length(math.Inf(1)), 0)), Circle(At(0, 0), nan),
		Text{At: At(nan, 0), Text: "nowhere"}, Marker{At: At(0, nan)}, Rect(At(0, 0), in, in))
	s := Lay(d, Fitting{Width: 400, Height: 400})
	if box := bounds(s.Marks); box.empty() || math.IsNaN(float64(box.x1)) || s.Width > 400 {
		t.Errorf("box %v", box)
	}
	if hasText(s, "nowhere") {
		t.Error("a text without a place was printed")
	}
	Lay(Drawing{}, Fitting{Width: 10}) // nothing at all
}

func TestEveryShapeAndFillHasInk(t *testing.T) {
	for s := Disc; s <= Register; s++ {
		d := Drawing{Bare: true, Items: []Item{Marker{Shape: s}}}
		if l := Lay(d, Fitting{}); len(l.Marks) == 0 || len(l.Marks[0].Moves) == 0 {
			t.Errorf("shape %d has no outline", s)
		}
	}
	for f := White; f <= Dots; f++ {
		if _, ok := f.Ground(); !ok {
			t.Errorf("fill %d has no ground", f)
		}
	}
	if _, ok := Empty.Ground(); ok {
		t.Error("an empty fill has a ground")
	}
}

// The lines of a hatching lie a gap apart, cross the whole box, and their
// dashes do not depend on the box: neighbours join.
func TestRays(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h := Hatch{Angle: rapid.Float64Range(-90, 90).Draw(t, "angle"), Gap: 4, Width: 0.5, Dash: []Points{3, 2}, Stagger: 2}
		x, y := Points(rapid.Float64Range(-200, 200).Draw(t, "x")), Points(rapid.Float64Range(-200, 200).Draw(t, "y"))
		rays := h.Rays(Place{x, y}, Place{x + 50, y + 30})
		sin, cos := math.Sincos(h.Angle * math.Pi / 180)
		for _, r := range rays {
			v := float64(r.From.Y)*cos - float64(r.From.X)*sin
			k := v / 4
			if math.Abs(k-math.Round(k)) > 1e-6 {
				t.Fatalf("a line at %v gaps", k)
			}
			u := float64(r.From.X)*cos + float64(r.From.Y)*sin
			want := u
			if math.Mod(math.Round(k), 2) != 0 {
				want -= 2
			}
			off := math.Mod(want-float64(r.Phase), 5)
			if math.Abs(off) > 1e-6 && math.Abs(math.Abs(off)-5) > 1e-6 {
				t.Fatalf("phase %v at %v", r.Phase, u)
			}
		}
		least := int((50*math.Abs(sin)+30*math.Abs(cos))/4) - 1
		if len(rays) < least {
			t.Fatalf("%d lines, want at least %d", len(rays), least)
		}
	})
	if (Hatch{}).Rays(Place{0, 0}, Place{1, 1}) != nil {
		t.Error("a hatching without a gap has no lines")
	}
}

func TestTextWidth(t *testing.T) {
	if w := TextWidth("100", 10, false); math.Abs(float64(w)-14.91) > 1e-9 {
		t.Errorf("100 is %v wide", w)
	}
	if TextWidth("iii", 10, true) <= TextWidth("iii", 10, false) {
		t.Error("bold is wider")
	}
}
