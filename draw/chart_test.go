package draw

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func TestRoundTicks(t *testing.T) {
	for _, c := range []struct {
		lo, hi float64
		want   []float64
	}{
		{0, 41, []float64{0, 20, 40, 60}},
		{0, 30, []float64{0, 10, 20, 30}},
		{-3, 7, []float64{-5, 0, 5, 10}},
		{0, 1, []float64{0, 0.5, 1}},
		{5.5, 6.5, []float64{5.5, 6, 6.5}},
	} {
		got := RoundTicks(c.lo, c.hi)
		if len(got) != len(c.want) {
			t.Errorf("%v to %v: %v, want %v", c.lo, c.hi, got, c.want)
			continue
		}
		for i := range got {
			if math.Abs(got[i]-c.want[i]) > 1e-9 {
				t.Errorf("%v to %v: %v, want %v", c.lo, c.hi, got, c.want)
			}
		}
	}
}

func TestRoundTicksSpanAndStayFew(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lo := rapid.Float64Range(-1e6, 1e6).Draw(t, "lo")
		hi := lo + rapid.Float64Range(1e-3, 1e6).Draw(t, "span")
		got := RoundTicks(lo, hi)
		n := len(got)
		if n < 2 || n > 8 || got[0] > lo+1e-6*(hi-lo) || got[n-1] < hi-1e-6*(hi-lo) {
			t.Fatalf("%v to %v: %v", lo, hi, got)
		}
	})
	for _, odd := range [][2]float64{{1, 1}, {2, 1}, {math.NaN(), 1}, {0, math.Inf(1)}} {
		if n := len(RoundTicks(odd[0], odd[1])); n != 2 {
			t.Errorf("%v: %d ticks", odd, n)
		}
	}
}

func lines(d Drawing, title string) (paths, markers int) {
	for _, it := range d.Items {
		if g, ok := it.(Group); ok && g.Title == title {
			for _, in := range g.Items {
				switch in.(type) {
				case Path:
					paths++
				case Marker:
					markers++
				}
			}
		}
	}
	return paths, markers
}

func TestChartLeavesGaps(t *testing.T) {
	nan := math.NaN()
	c := Chart{Slots: []string{"J", "F", "M", "A", "M"}, Series: []Series{{Label: "light", Values: []float64{1, 2, nan, 4, nan}, Marked: true}}}
	if paths, markers := lines(c.Drawing(), "light"); paths != 2 || markers != 3 {
		t.Errorf("%d stretches and %d markers, want 2 and 3", paths, markers)
	}
}

func TestChartStaysInItsFrame(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		values := rapid.SliceOfN(rapid.Float64Range(-1e4, 1e4), 0, 14).Draw(t, "values")
		low := make([]float64, len(values))
		high := make([]float64, len(values))
		for i, v := range values {
			low[i], high[i] = v-10, v+10
		}
		c := Chart{Slots: []string{"1", "2", "3", "4", "5", "6", "7", "8", "9", "10", "11", "12"}, Axis: "what",
			Series: []Series{{Label: "a", Values: values, Marked: true}}, Bands: []Band{{Label: "b", Low: low, High: high, Fill: Rising}},
			Limits: []Limit{{Label: "limit", Value: 3}}}
		if rapid.Bool().Draw(t, "own axis") {
			c.From, c.To = 0, 10
		}
		s := Lay(c.Drawing(), Fitting{})
		if s.Width > 475 || s.Height > 180 {
			t.Fatalf("%v by %v", s.Width, s.Height)
		}
	})
}

func TestChartAxisStartsAtNoughtWhereThatIsNear(t *testing.T) {
	for _, c := range []struct {
		values []float64
		lo     float64
	}{{[]float64{10, 40}, 0}, {[]float64{35, 40}, 35}, {[]float64{-5, 5}, -5}, {nil, 0}} {
		if lo, _ := (Chart{Series: []Series{{Values: c.values}}}).extent(); lo != c.lo {
			t.Errorf("%v: axis from %v, want %v", c.values, lo, c.lo)
		}
	}
}

func TestStackSetsOneUnderAnother(t *testing.T) {
	chart := Chart{Title: "a", Slots: []string{"J"}, Series: []Series{{Label: "x", Values: []float64{1}}}}.Drawing()
	line := Timeline{Title: "b", Slots: []string{"J"}, Rows: []TimelineRow{{Label: "lettuce", Spans: []Span{{From: 0, To: 1, Fill: MidGray, Label: "now"}}}},
		Key: []Span{{Label: "grows", Fill: MidGray}}}.Drawing()
	d := Stack(Drawing{ID: "both"}, 8, chart, line, Drawing{})
	if len(d.Items) != 2 {
		t.Fatalf("%d parts", len(d.Items))
	}
	a, b := d.Items[0].(Group), d.Items[1].(Group)
	one, two := Lay(chart, Fitting{}), Lay(line, Fitting{})
	both := Lay(d, Fitting{})
	if a.Shift.Y <= b.Shift.Y {
		t.Error("the first part stands on top")
	}
	if want := one.Height + two.Height + 8; math.Abs(float64(both.Height-want)) > 4 {
		t.Errorf("together %v high, want about %v", both.Height, want)
	}
}

func TestTimelineSkipsEmptySpans(t *testing.T) {
	d := Timeline{Slots: []string{"J", "F"}, Rows: []TimelineRow{{Label: "a", Spans: []Span{{From: 1, To: 1}, {From: 2, To: 1}, {From: -3, To: 9, Fill: Dots}}}}}.Drawing()
	paths, _ := lines(d, "a")
	if paths != 1 {
		t.Errorf("%d spans drawn, want 1", paths)
	}
	if s := Lay(d, Fitting{}); s.Width > 470 {
		t.Errorf("a span outside of the slots makes the figure %v wide", s.Width)
	}
}

// The name of a limit stands where no line runs through it.
func TestLimitNameIsWhereThereIsRoom(t *testing.T) {
	for _, c := range []struct {
		values []float64
		want   Anchor
	}{{[]float64{30, 30, 25, 20, 11, 10, 11}, Start}, {[]float64{10, 11, 10, 20, 25, 30, 30}, End}} {
		d := Chart{Slots: []string{"1", "2", "3", "4", "5", "6", "7"}, Series: []Series{{Values: c.values}}, Limits: []Limit{{Label: "least", Value: 9}}, From: 0, To: 40}.Drawing()
		for _, it := range d.Items {
			if x, ok := it.(Text); ok && x.Text == "least" && x.Anchor != c.want {
				t.Errorf("%v: anchor %v", c.values, x.Anchor)
			}
		}
	}
}

// Words for large print do not run into each other: the same chart is set with
// more room, and stays as wide.
func TestLargeChartKeepsItsWidth(t *testing.T) {
	c := Chart{Slots: []string{"J", "F"}, Axis: "light", Series: []Series{{Label: "sky", Values: []float64{1, 2}}}, Height: 200}
	normal := Lay(c.Drawing(), Fitting{})
	c.Grow = 1.5
	large := Lay(c.Drawing(), Fitting{Magnify: 1.5})
	if large.Width > normal.Width+15 || large.Height > normal.Height+15 {
		t.Errorf("%v by %v became %v by %v", normal.Width, normal.Height, large.Width, large.Height)
	}
	for _, m := range large.Marks {
		if m.Kind == Lettering && m.Size < 12 {
			t.Errorf("%q is printed at %v points", m.Text, m.Size)
		}
	}
}

// A chart without names and without slot names gives their room to the plot.
func TestChartWithoutNames(t *testing.T) {
	top := func(c Chart) (high, low Points) {
		for _, m := range Lay(c.Drawing(), Fitting{}).Marks {
			if m.Kind == Outline && len(m.Moves) == 3 { // the axes
				a, b := m.Box()
				return b.Y, a.Y
			}
		}
		t.Fatal("no axes")
		return 0, 0
	}
	named := Chart{Slots: []string{"J", "F"}, Axis: "m", Series: []Series{{Label: "x", Values: []float64{1, 3}}}}
	bare := Chart{Slots: []string{"", ""}, Axis: "m", Series: []Series{{Values: []float64{1, 3}}}}
	h1, l1 := top(named)
	h2, l2 := top(bare)
	if h2-l2 < h1-l1+20 {
		t.Errorf("the plot is %v high, with names %v", h2-l2, h1-l1)
	}
}
