package raft

import (
	"context"
	"maps"
	"math"
	"os"
	"strings"
	"testing"
	"text/template"

	"github.com/pelletier/go-toml/v2"
	"pgregory.net/rapid"

	"raftwright/finding"
	"raftwright/source"
	"raftwright/unit"
)

// planned answers a job with the book that we carry.
func planned(j Job) (Raft, finding.Faults) { return Plan(context.Background(), j, DefaultBook()) }

func must(t *testing.T, j Job) Raft {
	t.Helper()
	r, err := planned(j)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func has(r Raft, id finding.ID) bool {
	for _, f := range r.Findings {
		if f.ID == id {
			return true
		}
	}
	return false
}

// The table of foam: rows and column sums, ASTM C578-10 as tabled in a bulletin
// (second-hand), so that a slipped digit fails.
func TestFoamTable(t *testing.T) {
	var n int
	var density, compressive, flexural, uptake float64
	for _, f := range DefaultBook().Foams.All() {
		n++
		density += float64(f.Density)
		compressive += float64(f.Compressive) / 1e3
		flexural += float64(f.Flexural) / 1e3
		uptake += f.Uptake.Percents()
		if _, ok := source.Find(f.Source); !ok {
			t.Errorf("type %s cites %q", f.Type, f.Source)
		}
	}
	if n != 12 || density != 338 || math.Abs(compressive-2818) > 1e-6 || math.Abs(flexural-4209) > 1e-6 || math.Abs(uptake-21.5) > 1e-9 {
		t.Errorf("%d rows, sums %v %v %v %v", n, density, compressive, flexural, uptake)
	}
	rows := shared(t, "foam.csv")
	if len(rows) != n {
		t.Fatalf("%d rows against %d", n, len(rows))
	}
	for _, row := range rows {
		f, _, known := DefaultBook().Foams.Find(row[1] + " " + row[0])
		if !known || float64(f.Density) != number(t, row[2]) || math.Abs(f.Compressive.Pascals()-1e3*number(t, row[4])) > 1e-6 ||
			math.Abs(f.Flexural.Pascals()-1e3*number(t, row[6])) > 1e-6 || math.Abs(f.Uptake.Percents()-number(t, row[8])) > 1e-9 {
			t.Errorf("%v: %+v, %v", row, f, known)
		}
	}
}

func TestFindFoam(t *testing.T) {
	for name, want := range map[string]string{"": "X", "xps": "X", "XPS": "X", "eps": "I", "type IX": "IX", "xps IV": "IV", "eps-ii": "II", "x": "X"} {
		f, _, known := DefaultBook().Foams.Find(name)
		if !known || f.Type != want {
			t.Errorf("%q is %q, %v", name, f.Type, known)
		}
	}
	for _, name := range []string{"wood", "eps X", "xps xps q"} {
		if _, _, known := DefaultBook().Foams.Find(name); known {
			t.Errorf("%q was found", name)
		}
	}
}

func FuzzFindFoam(f *testing.F) {
	foams := DefaultBook().Foams
	f.Add("xps IV")
	f.Add("type")
	f.Fuzz(func(t *testing.T, name string) {
		if foam, _, known := foams.Find(name); known && foam.Density <= 0 {
			t.Errorf("%q gave %+v", name, foam)
		}
	})
}

// A bed 97 x 49 in inside takes one 4 x 8 ft sheet with 1/2 in on each side
// (structure METHODS, section 9); a 4 x 16 ft bed takes two (common practice).
func TestFit(t *testing.T) {
	for _, c := range []struct {
		inside        Size
		pieces        int
		holes, sheets int
		playX, trimX  float64
		turned        bool
	}{
		{inside: sheet(49, 97), pieces: 1, holes: 32, sheets: 1, playX: 0.5},
		{inside: sheet(97, 49), pieces: 1, holes: 32, sheets: 1, playX: 0.5, turned: true},
		{inside: sheet(49, 193), pieces: 2, holes: 64, sheets: 2, playX: 0.5},
		{inside: sheet(97, 193), pieces: 4, holes: 128, sheets: 4, playX: 0.5},
		{inside: sheet(49, 145), pieces: 2, holes: 48, sheets: 2, playX: 0.5},
		{inside: sheet(48, 192), pieces: 2, holes: 42, sheets: 2, playX: 0.5, trimX: 1},
		{inside: sheet(48, 96), pieces: 1, holes: 21, sheets: 1, playX: 0.5, trimX: 1},
		{inside: sheet(25, 97), pieces: 1, holes: 16, sheets: 1, playX: 0.5, trimX: 24},
		{inside: sheet(25, 145), pieces: 2, holes: 24, sheets: 1, playX: 0.5, trimX: 24},
	} {
		r := must(t, Job{Inside: c.inside, Sheet: sheet(48, 96), Gap: inches(0.5), Spacing: inches(12), Edge: inches(6)})
		if len(r.Pieces) != c.pieces || r.Holes != c.holes || r.SheetsToBuy != c.sheets || r.Turned != c.turned ||
			math.Abs(r.Play.X.Inches()-c.playX) > 1e-9 || math.Abs(r.fit.Trimmed.X.Inches()-c.trimX) > 1e-9 {
			t.Errorf("%v: %d pieces, %d holes, %d sheets, play %v, trim %v, turned %v", c.inside, len(r.Pieces), r.Holes, r.SheetsToBuy, r.Play.X.Inches(), r.fit.Trimmed.X.Inches(), r.Turned)
		}
		if has(r, FindTrimmed) != (c.trimX > 0) {
			t.Errorf("%v: trimmed is not told", c.inside)
		}
	}
	if s := InsideFor(sheet(48, 96), inches(0.5)); math.Abs(s.X.Inches()-49)+math.Abs(s.Y.Inches()-97) > 1e-9 {
		t.Errorf("inside for a sheet: %v", s)
	}
}

// Trimming an inch off a trade sheet costs a row; an edge of 5-1/2 in brings it
// back, and the raft says so.
func TestTrimRemedy(t *testing.T) {
	r := must(t, Job{Inside: sheet(48, 96), Sheet: sheet(48, 96), Gap: inches(0.5), Spacing: inches(12), Edge: inches(6)})
	for _, f := range r.Findings {
		if f.ID == FindTrimEdge {
			if f.Args["Holes"] != 32 || math.Abs(f.Args["Edge"].(unit.Length).Inches()-5.5) > 1e-9 {
				t.Errorf("%+v", f.Args)
			}
			return
		}
	}
	t.Error("no remedy")
}

// Pieces fill the raft, holes keep their distance across the seams, sheets of
// one size are drilled alike.
func TestSeveralSheets(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		j := Job{Sheet: Size{unit.Length(rapid.Float64Range(0.4, 1.3).Draw(t, "x")), unit.Length(rapid.Float64Range(0.4, 1.3).Draw(t, "y"))},
			Inside:  Size{unit.Length(rapid.Float64Range(0.5, 3).Draw(t, "X")), unit.Length(rapid.Float64Range(0.5, 3).Draw(t, "Y"))},
			Spacing: unit.Length(rapid.Float64Range(0.1, 0.3).Draw(t, "s")), Edge: unit.Length(rapid.Float64Range(0.04, 0.15).Draw(t, "e")),
			Pattern: rapid.SampledFrom([]Pattern{Square, Staggered}).Draw(t, "pattern")}
		r, err := planned(j)
		if err != nil {
			return // too small for a hole
		}
		if d := leastSpacing(r.Positions); len(r.Positions) > 1 && float64(d) < float64(j.Spacing)*(1-1e-8) {
			t.Fatalf("%v apart over the seams, asked %v", d, j.Spacing)
		}
		area := unit.Area(0)
		for _, p := range r.Pieces {
			area += r.Layouts[p.Layout].Size.Area()
			if p.At.X < 0 || p.At.Y < 0 || p.At.X > r.Size.X || p.At.Y > r.Size.Y {
				t.Fatalf("piece at %v", p.At)
			}
		}
		if math.Abs(float64(area/r.Size.Area())-1) > 1e-9 {
			t.Fatalf("pieces cover %v of %v", area, r.Size.Area())
		}
		if r.Play.X < 0 || r.Play.Y < 0 || r.Holes > r.UpperBound || r.SheetsToBuy < 1 || r.SheetsToBuy > len(r.Pieces) {
			t.Fatalf("play %v, holes %d, bound %d, sheets %d for %d pieces", r.Play, r.Holes, r.UpperBound, r.SheetsToBuy, len(r.Pieces))
		}
		for i, q := range r.Positions {
			if q.X < 0 || q.Y < 0 || q.X > r.Size.X || q.Y > r.Size.Y {
				t.Fatalf("hole %d is off the raft", i)
			}
		}
	})
}

func TestHolesFor(t *testing.T) {
	// 8 heads a week, 4 weeks on the raft: 32 places, the trade's one sheet
	if n := HolesFor(8, 4*unit.Week, 0); n != 32 {
		t.Error(n)
	}
	if n := HolesFor(8, 4*unit.Week, 0.1); n != 36 { // 35.6
		t.Error(n)
	}
	for _, n := range []int{HolesFor(math.NaN(), unit.Week, 0), HolesFor(-1, unit.Week, 0), HolesFor(1, unit.Week, 1), HolesFor(1e300, unit.Week, 0)} {
		if n != 0 {
			t.Error(n)
		}
	}
	if SheetsFor(33, 32) != 2 || SheetsFor(32, 32) != 1 || SheetsFor(1, 0) != 0 {
		t.Error("sheets")
	}
}

// What is wrong is refused at once, all faults together, each with what would be
// right.
func TestFaults(t *testing.T) {
	nan := unit.Length(math.NaN())
	for _, c := range []struct {
		job    Job
		fields string
	}{
		{Job{Sheet: Size{4000, 4000}}, "raft.sheet"},
		{Job{Sheet: Size{nan, 1}}, "raft.sheet"},
		{Job{Sheet: sheet(-48, 96)}, "raft.sheet"},
		{Job{Sheet: sheet(48, 96), Spacing: inches(-1), Edge: nan, Hole: unit.Length(math.Inf(1))}, "raft.spacing raft.hole raft.edge"},
		{Job{Sheet: Size{30, 30}, Spacing: 0.05, Hole: 0.02}, "raft.spacing"},
		{Job{Spacing: inches(2)}, "raft.spacing raft.edge"},
		{Job{Edge: inches(1)}, "raft.edge"},
		{Job{Edge: inches(30)}, "raft.edge"},
		{Job{Foam: "cork", Pattern: "spiral"}, "raft.foam raft.pattern"},
		{Job{Obstacles: []Obstacle{{Point{}, sheet(48, 96)}}}, "raft.obstacles"},
		{Job{Obstacles: []Obstacle{{Point{nan, 0}, sheet(4, 4)}}}, "raft.obstacles[0].at"},
		{Job{Obstacles: make([]Obstacle, 101)}, "raft.obstacles"},
		{Job{Diameter: inches(58), Sheet: sheet(48, 96)}, "raft.diameter"},
		{Job{Diameter: nan}, "raft.diameter"},
		{Job{Across: 1000000, Along: 1000000}, "bed.space"},
		{Job{Inside: Size{25, 25}, Sheet: Size{0.1, 0.1}, Edge: 0.04, Spacing: 0.08, Hole: 0.03}, "raft.sheet"},
		{Job{PotMass: -1, HeadMass: unit.Mass(math.NaN()), Depth: -1, Block: nan}, "raft.pot.mass raft.head bed.depth raft.blocks"},
		{Job{NurserySpacing: inches(14)}, "raft.nursery spacing"},
		{Job{Published: Range{Least: 5, Most: 1}}, "crop.name"},
		{Job{Pot: Pot{Height: nan}}, "raft.pot.height"},
	} {
		_, faults := planned(c.job)
		var fields []string
		for _, f := range faults {
			fields = append(fields, string(f.Path))
		}
		if got := strings.Join(fields, " "); got != c.fields {
			t.Errorf("faults in %q, want %q: %v", got, c.fields, faults)
		}
	}
}

// Whatever is asked, the answer is faults or whole numbers: never NaN, never a
// panic.
func TestAnyJob(t *testing.T) {
	length := rapid.OneOf(rapid.Just(0.), rapid.Float64Range(-1, 40), rapid.Float64(), rapid.Just(math.NaN()), rapid.Float64Range(0.02, 1.5), rapid.Float64Range(0.02, 1.5))
	rapid.Check(t, func(t *rapid.T) {
		l := func(name string) unit.Length { return unit.Length(length.Draw(t, name)) }
		j := Job{Sheet: Size{l("x"), l("y")}, Thickness: l("t"), Gap: l("gap"), Spacing: l("s"), Edge: l("e"), Hole: l("hole"),
			Pattern: rapid.SampledFrom([]Pattern{"", Square, Staggered}).Draw(t, "pattern"), Inside: Size{l("X"), l("Y")},
			Obstacles: []Obstacle{{Point{l("ox"), l("oy")}, Size{l("oa"), l("ob")}}}, Block: l("block"), Depth: l("depth"), NurserySpacing: l("n")}
		if rapid.Bool().Draw(t, "round") {
			j.Sheet, j.Inside, j.Diameter = Size{}, Size{}, l("d")
		}
		r, err := planned(j)
		if err != nil {
			return
		}
		for _, s := range r.Working() {
			if math.IsNaN(s.Value) || math.IsInf(s.Value, 0) {
				t.Fatalf("%s is %v", s.Name, s.Value)
			}
		}
	})
}

// A gap of minus 1e11 m once filled all memory with pieces before it was refused.
func TestAbsurdGapIsRefusedAtOnce(t *testing.T) {
	_, err := planned(Job{Sheet: Size{1, 1}, Inside: Size{1e-100, 0.375}, Gap: -1.7e10, Spacing: 1})
	if err == nil {
		t.Error("a gap of minus ten million kilometres was planned")
	}
	if n := len(Fit(Size{1e12, 1e12}, Size{1, 1}, 0).Columns); n > maxPieces+2 {
		t.Errorf("%d columns", n)
	}
}

// jobs that between them raise every finding and assumption.
func tellingJobs() []Job {
	pot := Pot{inches(2), inches(2.75)}
	return []Job{
		{},
		{Sheet: sheet(48, 96), Thickness: inches(0.75), Spacing: inches(3), Edge: inches(2), HeadMass: 2 * unit.Kilogram},
		{Sheet: sheet(48, 96), Thickness: inches(0.75), Spacing: inches(6), Edge: inches(1.8), HeadMass: 110 * unit.Gram},
		{Sheet: sheet(48, 96), Thickness: inches(0.75), Spacing: inches(5), Edge: inches(2), HeadMass: 120 * unit.Gram},
		{Diameter: inches(58), InsideDiameter: inches(57), Spacing: inches(9), Edge: inches(4)},
		{Pot: Pot{inches(2), inches(2.25)}, Block: inches(3), Depth: inches(6)},
		{Pot: Pot{inches(1), inches(3)}, Thickness: inches(1.5), PotDip: inches(0.1)},
		{Pot: Pot{inches(0.5), inches(3)}, Thickness: inches(1.5), PotDip: inches(0.1)},
		{Pot: Pot{inches(1.2), inches(3)}, Thickness: inches(1.5), PotDip: inches(0.1)},
		{Pot: Pot{inches(1.5), inches(3)}, Thickness: inches(1.5), PotDip: inches(0.1)},
		{Pot: pot, Thickness: inches(1.5), PotDip: inches(0.1)},
		{Pot: Pot{inches(4), inches(3)}, Thickness: inches(1.5), Block: inches(6), Depth: inches(4)},
		{Pot: pot, Foam: "eps", Spacing: inches(8), NurserySpacing: inches(4)},
		{Inside: sheet(48, 96), Sheet: sheet(48, 96), Edge: inches(6)},
		{Inside: sheet(53, 97), Sheet: sheet(48, 96), Edge: inches(4), Spacing: inches(12)},
		{Sheet: sheet(48, 96), Edge: inches(3), Spacing: inches(8), Published: Range{13, 20, "practice"}},
		{Thickness: inches(1.5), Edge: inches(1.5), Spacing: inches(5)},
		{Published: Range{13, 38, "practice"}},
		{Pattern: Staggered, Spacing: inches(7), Edge: inches(6)},
		{Pattern: Best, Spacing: inches(7), Edge: inches(6), Steps: 1000},
		{Pattern: Square, Spacing: inches(8), Edge: inches(6)},
		{Pattern: Best, Sheet: Size{3, 3}, Spacing: inches(4), Edge: inches(3), Hole: inches(1.5)},
		{Pattern: Best, Diameter: inches(95), Spacing: inches(8), Edge: inches(5)},
	}
}

// Every finding and assumption has its sentence, the sentence uses only what is
// passed to it, and every source is known; all of them are raised by some job.
func TestEverySentence(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	text, err := os.ReadFile("../lang/en/raft.toml")
	if err != nil {
		t.Fatal(err)
	}
	var words map[string]any
	if err := toml.Unmarshal(text, &words); err != nil {
		t.Fatal(err)
	}
	sentences := map[string][]string{}
	flatten("", words, sentences)
	raised := map[string]bool{}
	say := func(id string, args finding.Args, src source.ID) {
		raised[id] = true
		if _, ok := source.Find(src); !ok {
			t.Errorf("%s cites %q", id, src)
		}
		for _, s := range sentences[id] {
			tmpl, err := template.New(id).Option("missingkey=error").Parse(s)
			if err == nil {
				with := maps.Clone(args)
				if with == nil {
					with = finding.Args{}
				}
				with["US"] = true // the reader's units, which every sentence may ask for
				err = tmpl.Execute(&strings.Builder{}, with)
			}
			if err != nil {
				t.Error(err)
			}
		}
		if len(sentences[id]) == 0 {
			t.Errorf("%s has no sentence", id)
		}
	}
	for i, j := range tellingJobs() {
		r, err := planned(j)
		if err != nil {
			t.Errorf("job %d: %v", i, err)
		}
		for _, f := range r.Findings {
			say(string(f.ID), f.Args, f.Source)
		}
		for _, a := range r.Assumptions {
			say(string(a.ID), a.Args, a.Source)
			if len(sentences["replace."+string(a.ID)]) == 0 {
				t.Errorf("%s has no replacement", a.ID)
			}
		}
		for _, s := range r.Working() {
			if _, ok := source.Find(s.Source); !ok || s.Name == "" || s.Formula == "" {
				t.Errorf("step %+v", s)
			}
		}
	}
	for id := range sentences {
		if strings.HasPrefix(id, "raft.") && !raised[id] {
			t.Errorf("no job raises %s", id)
		}
	}
	if len(raised) < 40 {
		t.Errorf("only %d sentences were tried", len(raised))
	}
}

// flatten gives the sentences under their dotted names; forms of a plural share one.
func flatten(prefix string, in map[string]any, out map[string][]string) {
	for k, v := range in {
		switch v := v.(type) {
		case string:
			name := prefix + k
			if k == "one" || k == "other" {
				name = strings.TrimSuffix(prefix, ".")
			}
			out[name] = append(out[name], v)
		case map[string]any:
			flatten(prefix+k+".", v, out)
		}
	}
}

// A figure in the working is the one in the answer.
func TestWorkingAgrees(t *testing.T) {
	r := must(t, Job{Sheet: sheet(48, 96), Spacing: inches(12), Edge: inches(6), Block: inches(3), Depth: inches(6)})
	want := map[string]float64{"N": 32, "N_max": 35, "N_square": 32, "d": r.Float.Draft.Millimetres(), "d_grown": r.Float.DraftGrown.Millimetres(),
		"f": r.Float.Freeboard.Millimetres(), "s_least": r.LeastSpacing.Millimetres(), "e_least": r.LeastEdge.Millimetres(), "L_ground": r.Rest.GroundsGrown.Millimetres()}
	for _, s := range r.Working() {
		if w, ok := want[s.Symbol]; ok {
			if math.Abs(s.Value-w) > 1e-12 {
				t.Errorf("%s = %v, want %v", s.Symbol, s.Value, w)
			}
			delete(want, s.Symbol)
		}
	}
	if len(want) > 0 {
		t.Errorf("missing: %v", want)
	}
}

// A raft narrower than the assumed edge on both sides has one row in its middle:
// what was assumed is no fault of the grower's. An edge that was given stays.
func TestNarrowRaftHasOneRow(t *testing.T) {
	for name, j := range map[string]Job{
		"sheet":  {Sheet: sheet(11, 96)},
		"vessel": {Inside: sheet(11.5, 97), Sheet: sheet(48, 96), Gap: inches(0.5)},
		"disc":   {Diameter: inches(11)},
	} {
		r := must(t, j)
		if r.Holes < 1 || math.Abs(min(float64(r.Job.Edge.Inches()), 5.5)-r.Job.Edge.Inches()) > 1e-9 {
			t.Errorf("%s: %d holes, edge %v in", name, r.Holes, r.Job.Edge.Inches())
		}
		j.Edge = inches(6)
		if _, err := planned(j); err == nil {
			t.Errorf("%s: an edge of 6 in was taken", name)
		}
	}
}
