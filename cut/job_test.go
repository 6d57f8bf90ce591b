package cut

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"

	"raftwright/finding"
	"raftwright/source"
	"raftwright/unit"
)

func oneBed() Job { return lumberCases()[2].job(true) }

func TestFaultsAreNamed(t *testing.T) {
	wide := 2 * unit.Inch
	nan := unit.Length(math.NaN())
	for _, c := range []struct {
		name string
		spot func(*Job)
		say  string
	}{
		{"no pieces", func(j *Job) { j.Pieces = nil }, "cut.fault.none at cut.pieces"},
		{"no stock", func(j *Job) { j.Stock = nil }, "cut.fault.stock at cut.stock"},
		{"zero length", func(j *Job) { j.Pieces[0].Length = 0 }, "fault.range at cut.pieces[0].length"},
		{"negative length", func(j *Job) { j.Pieces[1].Length = -1 }, "fault.range at cut.pieces[1].length"},
		{"no number", func(j *Job) { j.Pieces[0].Length = nan }, "fault.range at cut.pieces[0].length"},
		{"endless board", func(j *Job) { j.Stock[0].Length = unit.Length(math.Inf(1)) }, "fault.range at cut.stock[0].length"},
		{"a board of 4 km", func(j *Job) { j.Stock[2].Length = 4 * unit.Kilometre }, "fault.range at cut.stock[2].length"},
		{"a billion pieces", func(j *Job) { j.Pieces[0].Count = 1_000_000_000 }, "cut.fault.pieces at cut.pieces"},
		{"counts that overflow", func(j *Job) { j.Pieces[0].Count, j.Pieces[1].Count = math.MaxInt, math.MaxInt }, "cut.fault.pieces at cut.pieces"},
		{"no count", func(j *Job) { j.Pieces[0].Count = 0 }, "cut.fault.count at cut.pieces[0].count"},
		{"wide kerf", func(j *Job) { j.Kerf = &wide }, "fault.range at cut.kerf"},
		{"kerf no number", func(j *Job) { j.Kerf = &nan }, "fault.range at cut.kerf"},
		{"negative trim", func(j *Job) { j.Trim = -1 }, "fault.range at cut.trim"},
		{"trim no number", func(j *Job) { j.Trim = nan }, "fault.range at cut.trim"},
		{"negative price", func(j *Job) { j.Stock[0].Price = -1 }, "cut.fault.price at cut.stock[0].price"},
		{"half priced", func(j *Job) { j.Stock[0].Price = 0 }, "cut.fault.priced at cut.stock"},
		{"negative stock", func(j *Job) { j.Stock[0].Count = -2 }, "cut.fault.count at cut.stock[0].count"},
		{"too many lines", func(j *Job) { j.Pieces = make([]Piece, MaxKinds+1) }, "cut.fault.lines at cut.pieces"},
	} {
		j := oneBed()
		c.spot(&j)
		if _, err := Boards(context.Background(), j); err == nil || !strings.Contains(err.Error(), c.say) {
			t.Errorf("%s: %v, want %q in it", c.name, err, c.say)
		}
	}
	j := oneBed()
	j.Pieces[0].Length, j.Stock[1].Length = 0, 0
	if _, err := Boards(context.Background(), j); err == nil || strings.Count(err.Error(), "\n") != 1 {
		t.Errorf("two faults must be two lines: %v", err)
	}
}

// A piece longer than every board stops the plan; the rest is still planned.
func TestTooLong(t *testing.T) {
	j := oneBed()
	j.Pieces = append(j.Pieces, Piece{Name: "rail", Length: 17 * unit.Foot, Count: 3})
	p, err := Boards(context.Background(), j)
	if err != nil {
		t.Fatal(err)
	}
	checkPlan(t, j, p)
	f := p.Findings[0]
	if f.ID != FindTooLong || f.Severity != finding.Stop || math.Abs(float64(f.Args["Longest"].(unit.Length)-16*unit.Foot)) > 1e-9 || p.Optimal || len(p.Missing) != 1 || p.Price != 3750 {
		t.Errorf("%+v %+v", p, f)
	}
	j.Pieces = j.Pieces[2:]
	if p, err = Boards(context.Background(), j); err != nil || len(p.Boards) != 0 || finding.Worst(p.Findings) != finding.Stop {
		t.Errorf("%+v %v", p, err)
	}
}

// Limited stock that cannot cover is answered with what is missing.
func TestShort(t *testing.T) {
	j := Job{Stock: []Stock{{Length: 8 * unit.Foot, Price: 900, Count: 2}, {Length: 10 * unit.Foot, Price: 1300, Count: 1}},
		Pieces: []Piece{{"side", 60 * unit.Inch, 5}}}
	p, err := Boards(context.Background(), j)
	if err != nil {
		t.Fatal(err)
	}
	checkPlan(t, j, p)
	f := p.Findings[0]
	if f.ID != FindShort || f.Severity != finding.Stop || f.Args["Count"] != 2 || f.Args["Length"] != 8*unit.Foot || p.Optimal {
		t.Errorf("%+v", p.Findings)
	}
}

// Trim is lost on every sold board, not on a piece from the shed.
func TestTrim(t *testing.T) {
	kerf := unit.Inch / 8
	j := Job{Kerf: &kerf, Trim: unit.Inch / 4, Stock: []Stock{{Length: 96 * unit.Inch}}, Pieces: []Piece{{"end", 47.9375 * unit.Inch, 2}}}
	p, err := Boards(context.Background(), j)
	if err != nil || p.Bought != 2 {
		t.Fatal(p.Bought, err)
	}
	j.OnHand, j.Stock = j.Stock, nil
	if p, err = Boards(context.Background(), j); err != nil || p.Bought != 0 || p.Used != 1 || !p.Optimal {
		t.Fatal(p, err)
	}
	checkPlan(t, j, p)
	if p.Findings[0].ID != FindNoSlack {
		t.Errorf("a board used to the last must be said: %+v", p.Findings)
	}
}

// A full-width blade takes an eighth of an inch (common practice, no source): of 8 ft two pieces of 47-15/16 in are cut, and of 47-31/32 in one.
func TestLineKerf(t *testing.T) {
	for sixteenths, want := range map[float64]int{15: 1, 15.5: 2} {
		j := Job{Stock: []Stock{{Length: 96 * unit.Inch}}, Pieces: []Piece{{"half", unit.Length(47+sixteenths/16) * unit.Inch, 2}}}
		if p, err := Boards(context.Background(), j); err != nil || p.Bought != want {
			t.Errorf("two of 47-%v/16 in: %d boards, %v; want %d", sixteenths, p.Bought, err, want)
		}
	}
}

// The assumed kerf is listed; a kerf of zero is legal and assumes nothing.
func TestKerfAssumption(t *testing.T) {
	j := oneBed()
	j.Kerf = nil
	p, err := Boards(context.Background(), j)
	if err != nil || len(p.Assumptions) != 1 || p.Assumptions[0].ID != AssumeKerf || p.Kerf != DefaultKerf {
		t.Fatal(p.Assumptions, err)
	}
	zero := unit.Length(0)
	j = Job{Kerf: &zero, Stock: []Stock{{Length: 96 * unit.Inch}}, Pieces: []Piece{{"half", 48 * unit.Inch, 2}}}
	if p, err = Boards(context.Background(), j); err != nil || p.Bought != 1 || len(p.Assumptions) != 0 {
		t.Fatal(p, err)
	}
}

// Millimetres and sixty-fourths of an inch meet exactly: 25.4 mm and 1 in are one length.
func TestMixedUnitsAreExact(t *testing.T) {
	kerf := 3 * unit.Millimetre
	j := Job{Kerf: &kerf, Stock: []Stock{{Length: 2438.4*unit.Millimetre + kerf}}, Pieces: []Piece{{"a", 48 * unit.Inch, 1}, {"b", 1219.2 * unit.Millimetre, 1}}}
	p, err := Boards(context.Background(), j)
	if err != nil || p.Bought != 1 || len(p.Boards) != 1 {
		t.Fatal(p, err)
	}
	j.Stock[0].Length -= unit.Millimetre / 1000
	if p, err = Boards(context.Background(), j); err != nil || p.Bought != 2 {
		t.Fatal(p, err)
	}
}

// Alike patterns are one group, the longest cut first, and names survive where lengths are alike.
func TestGroups(t *testing.T) {
	kerf := unit.Inch / 8
	j := Job{Kerf: &kerf, Stock: []Stock{{Length: 10 * unit.Foot}}, Pieces: []Piece{{"stake", 20 * unit.Inch, 50}, {"side", 97 * unit.Inch, 50}, {"rail", 97 * unit.Inch, 10}}}
	p, err := Boards(context.Background(), j)
	if err != nil {
		t.Fatal(err)
	}
	checkPlan(t, j, p)
	if p.Bought != 60 || len(p.Boards) > 4 || p.Boards[0].Cuts[0].Length != 97*unit.Inch {
		t.Errorf("%d boards in %d groups: %+v", p.Bought, len(p.Boards), p.Boards)
	}
}

// Fifty beds from three lengths are proven, and the same again is the same plan.
func TestWorkshop(t *testing.T) {
	p, err := Boards(context.Background(), workshop())
	if err != nil || !p.Optimal || p.LowerBound != p.Price {
		t.Fatal(p.Optimal, p.Price, p.LowerBound, err)
	}
	checkPlan(t, workshop(), p)
	if p.bounds.work > 300_000_000 {
		t.Errorf("took %d operations, which is more than a second on a slow core", p.bounds.work)
	}
	again, _ := Boards(context.Background(), workshop())
	if !reflect.DeepEqual(p, again) {
		t.Error("the same job gave another plan")
	}
}

// The working carries the figures of the plan, and every source is known.
func TestWorking(t *testing.T) {
	for _, c := range lumberCases() {
		p, err := Boards(context.Background(), c.job(true))
		if err != nil {
			t.Fatal(err)
		}
		steps := map[string]finding.Step{}
		for _, s := range p.Working() {
			if s.Symbol == "need" && s.Of[0] != 1 {
				continue
			}
			steps[s.Symbol] = s
			if _, ok := source.Find(s.Source); !ok {
				t.Errorf("source %q of %s is unknown", s.Source, s.Symbol)
			}
			if len(s.Inputs) == 0 || s.Name == "" || s.Formula == "" {
				t.Errorf("step %s has no words or inputs", s.Symbol)
			}
		}
		if steps["C"].Value != float64(c.price) || steps["N"].Value != float64(p.Bought) || steps["B"].Value != float64(c.price) {
			t.Errorf("%s: working %v %v %v", c.name, steps["C"].Value, steps["N"].Value, steps["B"].Value)
		}
		if z := steps["z"].Value; z > float64(c.price)+1e-6 || z <= 0 {
			t.Errorf("%s: worth %v above the price", c.name, z)
		}
		if need := steps["need"].Value; need > p.Boards[0].Stock.Millimetres()+1e-6 {
			t.Errorf("%s: cuts need %v", c.name, need)
		}
	}
}

// FuzzBoards gives any figures at all: an answer that holds or an error, never a panic or a long wait.
func FuzzBoards(f *testing.F) {
	f.Add(0.003175, 0.0, 2.4384, int64(950), 0, 3.048, int64(1250), 2, 1.2, 1, 2.4, 2, 1.3, 2)
	f.Add(0.0, 0.1, 2.0, int64(0), 0, 1.0, int64(0), 1, 0.7, 1, 1.5, 1_000_000_000, 0.4, 7)
	f.Add(math.NaN(), math.Inf(1), -2.0, int64(-1), -1, 1e300, int64(1)<<62, 1<<40, 1e-300, 0, math.NaN(), -5, 99.9999999, 50_000)
	f.Fuzz(func(t *testing.T, kerf, trim, l1 float64, p1 int64, c1 int, l2 float64, p2 int64, c2 int, shed float64, n int, a float64, na int, b float64, nb int) {
		k := unit.Length(kerf)
		j := Job{Kerf: &k, Trim: unit.Length(trim),
			Stock:  []Stock{{Length: unit.Length(l1), Price: p1, Count: c1}, {Length: unit.Length(l2), Price: p2, Count: c2}},
			OnHand: []Stock{{Length: unit.Length(shed), Count: n}},
			Pieces: []Piece{{"a", unit.Length(a), na}, {"b", unit.Length(b), nb}}}
		p, err := Boards(context.Background(), j)
		if err != nil {
			return
		}
		checkPlan(t, j, p)
		for _, s := range p.Working() {
			if math.IsNaN(s.Value) || math.IsInf(s.Value, 0) {
				t.Errorf("step %s is %v", s.Symbol, s.Value)
			}
		}
	})
}

// The largest job that is taken ends where its work is spent, with a plan and a bound.
func TestWorkIsBounded(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	r := rand.New(rand.NewPCG(1, 1))
	kerf := 3 * unit.Millimetre
	j := Job{Kerf: &kerf}
	for range MaxKinds {
		j.Pieces = append(j.Pieces, Piece{Name: "p", Length: unit.Length(0.1 + 2*r.Float64()), Count: MaxPieces / MaxKinds})
	}
	for i := range 40 {
		j.Stock = append(j.Stock, Stock{Length: unit.Length(2.5 + 0.1*float64(i)), Price: 900 + int64(i)*37})
	}
	if err := j.check(); err != nil {
		t.Fatal(err)
	}
	s := newSaw(context.Background(), j)
	s.work.limit = 200_000_000
	if testing.Short() {
		s.work.limit /= 4
	}
	s.solve()
	p := s.plan()
	if s.work.spent > 4*s.work.limit {
		t.Errorf("spent %d M of %d M", s.work.spent/1e6, s.work.limit/1e6)
	}
	if p.Optimal || p.LowerBound <= 0 || p.Price < p.LowerBound || !slices.ContainsFunc(p.Findings, func(f finding.Finding) bool { return f.ID == FindUnproven }) {
		t.Errorf("price %d, bound %d, optimal %v, %+v", p.Price, p.LowerBound, p.Optimal, p.Findings)
	}
}

// Steps bound the search, the same number gives the same plan, and it says that it
// is not proven; a search that is stopped says so.
func TestStepsAndStop(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 3))
	kerf := 3 * unit.Millimetre
	j := Job{Kerf: &kerf, Stock: []Stock{{Length: 3.6, Price: 1000}, {Length: 4.8, Price: 1370}}}
	for i := range 30 {
		j.Pieces = append(j.Pieces, Piece{Name: fmt.Sprint("p", i), Length: unit.Length(0.3 + 1.5*r.Float64()), Count: 7})
	}
	j.Steps = 500_000
	more, _ := Boards(context.Background(), j)
	j.Steps = 50_000
	few, faults := Boards(context.Background(), j)
	again, _ := Boards(context.Background(), j)
	unproven := func(list []finding.Finding) bool {
		return slices.ContainsFunc(list, func(f finding.Finding) bool { return f.ID == FindUnproven })
	}
	checkPlan(t, j, few)
	if faults != nil || few.Optimal || !unproven(few.Findings) || few.Price < more.Price || !reflect.DeepEqual(few, again) {
		t.Errorf("price %d after few steps, %d after more, optimal %v, %+v, the same %v, %v", few.Price, more.Price, few.Optimal, few.Findings, reflect.DeepEqual(few, again), faults)
	}
	for _, s := range few.Working() {
		if math.IsNaN(s.Value) || math.IsInf(s.Value, 0) {
			t.Errorf("step %s is %v", s.Symbol, s.Value)
		}
	}
	panels := SheetJob{Kerf: kerf, Steps: 1, Length: 2.4, Width: 1.2}
	for i := range 9 {
		panels.Panels = append(panels.Panels, Panel{Name: "q", Length: 0.31 + 0.07*unit.Length(i), Width: 0.27 + 0.05*unit.Length(i), Count: 3})
	}
	sheets, faults := Sheets(context.Background(), panels)
	if faults != nil || sheets.Optimal || len(sheets.Missing) > 0 || !slices.ContainsFunc(sheets.Findings, func(f finding.Finding) bool { return f.ID == FindSheetUnproven }) {
		t.Errorf("%d sheets after one step, %+v, %v", sheets.Bought, sheets.Findings, faults)
	}
	stopped, stop := context.WithCancel(context.Background())
	stop()
	if _, faults := Boards(stopped, j); len(faults) != 1 || faults[0].ID != FaultStopped {
		t.Error(faults)
	}
	if _, faults := Sheets(stopped, panels); len(faults) != 1 || faults[0].ID != FaultStopped {
		t.Error(faults)
	}
}

// A brief job reads as it is cut.
func ExampleBoards() {
	kerf := unit.Inch / 8
	p, _ := Boards(context.Background(), Job{Kerf: &kerf,
		Stock:  []Stock{{Length: 8 * unit.Foot, Price: 950}, {Length: 10 * unit.Foot, Price: 1250}},
		Pieces: []Piece{{"side", 97 * unit.Inch, 2}, {"end", 52 * unit.Inch, 2}}})
	for _, b := range p.Boards {
		fmt.Printf("%d x %s:", b.Repeat, b.Stock.FeetTape(16, unit.Nearest))
		for _, c := range b.Cuts {
			fmt.Printf(" %s %s", c.Name, c.Length.Tape(16, unit.Nearest))
		}
		fmt.Printf(", %s left\n", b.Offcut.Tape(16, unit.Down))
	}
	fmt.Println(p.Price, p.LowerBound, p.Optimal)
	// Output:
	// 2 x 10 ft: side 97 in, 22-7/8 in left
	// 1 x 10 ft: end 52 in end 52 in, 15-3/4 in left
	// 3750 3750 true
}

// Lengths as they are in public instances stay in range whatever their unit: a
// coil of 10 000 in is a board, one of 2 km a slip.
func TestLongStock(t *testing.T) {
	j := Job{Stock: []Stock{{Length: 10000 * unit.Inch, Price: 1}}, Pieces: []Piece{{Name: "a", Length: 4999 * unit.Inch, Count: 2}}}
	p, err := Boards(context.Background(), j)
	if err != nil || p.Bought != 1 {
		t.Errorf("%d boards, %v", p.Bought, err)
	}
	j.Stock[0].Length = 2 * unit.Kilometre
	if _, err := Boards(context.Background(), j); err == nil {
		t.Error("2 km of board were taken")
	}
}

// Two pieces of 50 in and one of 40 without prices: by the board one of 16 ft does, and
// wastes 52 in; by length 9 ft and 4 ft do.
func TestLeastWood(t *testing.T) {
	j := Job{Stock: []Stock{{Length: 4 * unit.Foot}, {Length: 9 * unit.Foot}, {Length: 16 * unit.Foot}}, Pieces: []Piece{{"a", 50 * unit.Inch, 2}, {"b", 40 * unit.Inch, 1}}}
	few, faults := Boards(context.Background(), j)
	j.ByLength = true
	least, more := Boards(context.Background(), j)
	if faults != nil || more != nil {
		t.Fatal(faults, more)
	}
	if few.Bought != 1 || least.Bought != 2 || least.Waste >= few.Waste || least.Priced || !least.ByLength || least.Price != 0 || !least.Optimal {
		t.Errorf("%d boards and %d, waste %v and %v in", few.Bought, least.Bought, few.Waste.Inches(), least.Waste.Inches())
	}
	if want := int64(3962); least.LowerBound > want || least.LowerBound < want-5 { // 13 ft
		t.Errorf("bound %d mm", least.LowerBound)
	}
	j.Stock[0].Price, j.Stock[1].Price, j.Stock[2].Price = 9, 9, 9
	if p, _ := Boards(context.Background(), j); !p.Priced || p.ByLength || p.Bought != 1 {
		t.Errorf("prices do not rule: %+v", p)
	}
}
