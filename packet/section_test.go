package packet_test

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"raftwright/draw"
	"raftwright/lang"
	"raftwright/mix"
	"raftwright/packet"
	"raftwright/page"
	"raftwright/plan"
	"raftwright/press"
	"raftwright/unit"
)

// Each section of a plan stands alone, and so does what to know first, all that was noticed and
// the working.
func TestEachSectionStandsAlone(t *testing.T) {
	for _, path := range someExamples(t) {
		p, w := planOf(t, path), words(t, lang.US)
		ids := packet.Sections(p)
		for _, id := range []string{"first", "findings", "working"} {
			if alone, ok := packet.Section(p, w, packet.Options{}, id); !ok || slices.Contains(ids, id) || told(t, alone) == "" {
				t.Errorf("%s: no %q", path, id)
			}
		}
		if _, ok := packet.Section(p, w, packet.Options{}, "nothing"); ok {
			t.Errorf("%s: there is a section of no name", path)
		}
	}
	if _, ok := packet.Section(planOf(t, "../examples/tub.yaml"), words(t, lang.US), packet.Options{}, "frame"); ok {
		t.Error("a tub has a frame to build")
	}
}

// What a person acts on is the line of the trade, and no number of the paper's own: in
// every example, in both units, what stands between these words is that line.
func TestLinesAreThoseOfTheTrades(t *testing.T) {
	well := func(p plan.Plan, w *lang.Printer, to string) string {
		return w.Fixed(p.Mix.Meters.Well.Low, 1) + to + w.Fixed(p.Mix.Meters.Well.High, 1)
	}
	say := func(w *lang.Printer, v any) string { return fmt.Sprint(w.Value(v)) }
	warm := func(p plan.Plan, w *lang.Printer) string {
		return strings.Fields(say(w, p.Crop.Watch()))[0] // the number: a card has no room for both scales
	}
	met := map[string]int{}
	for _, c := range []struct {
		section, before, after string
		want                   func(p plan.Plan, w *lang.Printer) string
	}{
		{"card", "pH | ", "", func(_ plan.Plan, w *lang.Printer) string {
			return w.Fixed(mix.LeastWellPH, 1) + "–" + w.Fixed(mix.MostWellPH, 1)
		}},
		{"card", "EC | ", " mS/cm", func(p plan.Plan, w *lang.Printer) string { return well(p, w, "–") }},
		{"card", "Depth of water | ", "–", func(p plan.Plan, w *lang.Printer) string { return say(w, p.TopUpAt()) }},
		{"card", "Water temperature | below ", " ", warm},
		{"card", "when the EC falls below ", " mS/cm.", func(p plan.Plan, w *lang.Printer) string { return w.Fixed(p.Mix.Meters.Well.Low, 1) }},
		{"log", "EC (", ")", func(p plan.Plan, w *lang.Printer) string { return well(p, w, "–") }},
		{"log", "pH (", ")", func(_ plan.Plan, w *lang.Printer) string {
			return w.Fixed(mix.LeastWellPH, 1) + "–" + w.Fixed(mix.MostWellPH, 1)
		}},
		{"log", "Water temp. (below ", " ", warm},
		{"content", "All is well between | ", " | ", func(p plan.Plan, w *lang.Printer) string { return well(p, w, " to ") }},
		{"mix", "All is well from EC ", ". Outside", func(p plan.Plan, w *lang.Printer) string { return well(p, w, " to ") }},
		{"fill", "That is ", ". A garden hose", func(p plan.Plan, w *lang.Printer) string { return say(w, p.Frame.Volume) }},
		{"fill", "Fill to ", ". That is", func(p plan.Plan, w *lang.Printer) string { return say(w, p.Depth()) }},
		{"frame", ": at most ", " out from", func(p plan.Plan, w *lang.Printer) string {
			if w.Units == lang.Metric { // whole millimeters, none more than was reckoned with
				return w.Number(math.Floor(float64(p.Frame.LevelTo()/unit.Millimetre)+1e-9)) + " mm"
			}
			return say(w, p.Frame.LevelTo())
		}},
		{"watch", "Above ", " look daily", func(p plan.Plan, w *lang.Printer) string { return say(w, p.Crop.Watch()) }},
		{"watch", "look daily; above ", " act today", func(p plan.Plan, w *lang.Printer) string { return say(w, p.Crop.Act()) }},
		{"care", "Top up before the depth falls under ", ": ", func(p plan.Plan, w *lang.Printer) string { return say(w, p.TopUpAt()) }},
		{"care", " is ", ". Stay a little", func(p plan.Plan, w *lang.Printer) string {
			if w.Units == lang.Metric {
				return say(w, unit.Volume(float64(p.PerInch())/25.4*10))
			}
			return say(w, p.PerInch())
		}},
	} {
		for _, path := range someExamples(t) {
			p := planOf(t, path)
			for _, u := range []lang.Units{lang.US, lang.Metric} {
				w := words(t, u)
				d, ok := packet.Section(p, w, packet.Options{}, c.section)
				if !ok {
					continue
				}
				for _, line := range lines(made{doc: d}) {
					_, rest, found := strings.Cut(line, c.before)
					if !found || c.after != "" && !strings.Contains(rest, c.after) {
						continue
					}
					if c.after != "" {
						rest, _, _ = strings.Cut(rest, c.after)
					}
					met[c.section+c.before]++
					if want := c.want(p, w); rest != want {
						t.Errorf("%s, units %d, %s: %q between %q and %q, not %q", path, u, c.section, rest, c.before, c.after, want)
					}
				}
			}
		}
		if n := met[c.section+c.before]; n < 6 && !testing.Short() || n < 2 {
			t.Errorf("%s: %q stands on %d pages only", c.section, c.before, met[c.section+c.before])
		}
	}
}

// The two lines across the drawn warmth of the year stand at the limits of the
// solution, by the numbers at the axis.
func TestLinesOfTheYear(t *testing.T) {
	d, ok := packet.Section(planOf(t, "../examples/demo.yaml"), words(t, lang.Metric), packet.Options{}, "season")
	if !ok {
		t.Fatal("no season")
	}
	var lines, values []float64
	walk(d, func(_ page.Section, b page.Block) {
		f, ok := b.(page.Figure)
		if !ok || f.Drawing.ID != "year" {
			return
		}
		warmth := f.Drawing.Items[1].(draw.Group) // light, warmth, oxygen, weeks
		ticks := map[float64]float64{}            // the height of each number
		for _, i := range warmth.Items {
			switch i := i.(type) {
			case draw.Text:
				if v, err := strconv.ParseFloat(i.Text, 64); err == nil {
					ticks[v] = float64(i.At.Y)
				}
			case draw.Path:
				if i.Stroke.Dash == draw.LongDash {
					lines = append(lines, float64(i.Steps[0].To.Y))
				}
			}
		}
		for _, y := range lines {
			values = append(values, 30*(y-ticks[0])/(ticks[30]-ticks[0]))
		}
	})
	if len(values) != 2 || math.Abs(values[0]-23) > 1e-6 || math.Abs(values[1]-26) > 1e-6 {
		t.Errorf("lines at %v °C", values)
	}
}

// A part by itself is its sections, all that was noticed about it, what was assumed
// and, where it was asked for, the working.
func TestAnswerOfAPart(t *testing.T) {
	for part, first := range map[plan.Part]string{plan.Frame: "frame", plan.Raft: "raft", plan.Cut: "cut", plan.Water: "water", plan.Mix: "mix", plan.Season: "season", plan.Cost: "shop"} {
		d := packet.Answer(planOf(t, "../examples/demo.yaml"), part, words(t, lang.US), true)
		var ids []string
		for _, s := range d.Sections {
			ids = append(ids, s.ID)
		}
		if ids[0] != first || !slices.Contains(ids, "findings") || ids[len(ids)-1] != "working" {
			t.Errorf("%s: %v", first, ids)
		}
		if m := missing.FindString(told(t, d)); m != "" {
			t.Errorf("%s: %s", first, m)
		}
	}
}

// A section alone, or a drawing in it, is a piece of a page.
func TestASectionIsAPieceOfHTML(t *testing.T) {
	d, ok := packet.Section(planOf(t, "../examples/demo.yaml"), words(t, lang.US), packet.Options{}, "frame")
	if !ok {
		t.Fatal("no frame")
	}
	for _, id := range []string{"frame", "rim"} {
		var out strings.Builder
		found, err := press.Fragment(d, id, &out)
		if err != nil || !found || !strings.Contains(out.String(), "<svg") || strings.Contains(out.String(), "<html") {
			t.Errorf("%s: %v %v, %.200s", id, found, err, out.String())
		}
	}
}

// Without drawings each kind of sheet is named before its marks, with its size and its
// holes: 3 columns of 9 and of 2 rows in a bed of 10 by 3 ft, 33 in all.
func TestASheetIsNamedBeforeItsMarks(t *testing.T) {
	m, ok := printedPlan(t, 0, "bed: {length: 10 ft, width: 3 ft}\nraft: {spacing: 10 in, edge: 5 in}\n")
	if !ok {
		t.Fatal("no plan")
	}
	text := flat(told(t, packet.Answer(m.plan, plan.Everything, words(t, lang.US), false)))
	for _, want := range []string{"Sheet A, 35 in by 96 in. Holes: 27. Columns, from the left edge:", "Sheet B, 35 in by 23 in. Holes: 6. Columns, from the left edge:"} {
		if !strings.Contains(text, want) {
			t.Errorf("no %q", want)
		}
	}
}
