package cut

import (
	"context"
	"math"
	"math/rand/v2"
	"reflect"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"raftwright/finding"
	"raftwright/unit"
)

type failer interface {
	Helper()
	Errorf(string, ...any)
	Fatalf(string, ...any)
}

// checkSheets proves from the layouts alone that every panel is cut once, lies on the sheet, is a kerf apart from all others,
// and that straight cuts from edge to edge separate them.
func checkLayouts(t failer, j SheetJob, p SheetPlan) {
	t.Helper()
	got := map[string]int{}
	for _, l := range p.Layouts {
		for _, q := range l.Parts {
			got[q.Name] += l.Repeat
			if q.X < -1e-9 || q.Y < -1e-9 || q.X+q.Length > l.Sheet.Length+1e-9 || q.Y+q.Width > l.Sheet.Width+1e-9 {
				t.Errorf("%+v lies outside the sheet %+v", q, l.Sheet)
			}
		}
		if !separable(append(append([]Part{}, l.Parts...), l.Offcuts...), p.Kerf) {
			t.Errorf("no straight cuts separate %+v", l.Parts)
		}
	}
	for _, want := range j.Panels {
		n := want.Count
		for _, m := range p.Missing {
			if m.Name == want.Name {
				n -= m.Count
			}
		}
		if got[want.Name] != n {
			t.Errorf("%q cut %d times, wanted %d", want.Name, got[want.Name], n)
		}
	}
}

// separable says whether straight cuts of a kerf's width take the parts apart one after the other.
func separable(parts []Part, kerf unit.Length) bool {
	if len(parts) <= 1 {
		return true
	}
	for _, p := range parts {
		for _, down := range []bool{true, false} {
			at := p.X + p.Length
			if !down {
				at = p.Y + p.Width
			}
			var one, two []Part
			clear := true
			for _, q := range parts {
				lo, up := q.X, q.X+q.Length
				if !down {
					lo, up = q.Y, q.Y+q.Width
				}
				switch {
				case up <= at+1e-9:
					one = append(one, q)
				case lo >= at+kerf-1e-9:
					two = append(two, q)
				default:
					clear = false
				}
			}
			if clear && len(two) > 0 && len(one) > 0 {
				return separable(one, kerf) && separable(two, kerf)
			}
		}
	}
	return false
}

func inches(x float64) unit.Length { return unit.Length(x) * unit.Inch }

// Two small rafts come out of one 4 x 8 ft sheet of foam where the kerf allows, never two exact halves.
func TestTwoRaftsFromOneSheet(t *testing.T) {
	foam := []Sheet{{Name: "foam board", Length: 8 * unit.Foot, Width: 4 * unit.Foot, Price: 3200}}
	kerf := inches(0.125)
	for _, c := range []struct {
		length, width float64
		count, sheets int
	}{
		{47.9375, 48, 2, 1}, {48, 48, 2, 2}, {47, 23, 4, 1}, {47.9375, 23.9375, 4, 1}, {48, 24, 4, 2}, {60, 30, 2, 2}, {30, 60, 1, 1}, {36, 30, 2, 1},
	} {
		j := SheetJob{Kerf: &kerf, Sheets: foam, Panels: []Panel{{Name: "raft", Length: inches(c.length), Width: inches(c.width), Count: c.count}}}
		p, err := Sheets(context.Background(), j)
		if err != nil {
			t.Fatal(err)
		}
		if p.Bought != c.sheets || !p.Optimal || p.Price != int64(c.sheets)*3200 {
			t.Errorf("%v x %v in, %d: %d sheets, optimal %v, price %d; want %d", c.length, c.width, c.count, p.Bought, p.Optimal, p.Price, c.sheets)
		}
		checkLayouts(t, j, p)
	}
}

// A panel with a grain is not turned.
func TestFixedPanels(t *testing.T) {
	kerf := unit.Length(0)
	j := SheetJob{Kerf: &kerf, Sheets: []Sheet{{Length: 96 * unit.Inch, Width: 48 * unit.Inch}},
		Panels: []Panel{{Name: "side", Length: 48 * unit.Inch, Width: 96 * unit.Inch, Count: 1}}}
	if p, err := Sheets(context.Background(), j); err != nil || p.Bought != 1 || !p.Layouts[0].Parts[0].Turned {
		t.Fatal(p, err)
	}
	j.Panels[0].Fixed = true
	p, err := Sheets(context.Background(), j)
	if err != nil || finding.Worst(p.Findings) != finding.Stop || len(p.Missing) != 1 {
		t.Fatal(p, err)
	}
}

// Every way of straight cuts of tiny jobs is tried: the least number of sheets.
func TestSheetsAgainstBruteForce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		kerf := unit.Length(rapid.IntRange(0, 1).Draw(t, "kerf")) * unit.Inch
		j := SheetJob{Kerf: &kerf, Sheets: []Sheet{{Length: inches(float64(rapid.IntRange(6, 12).Draw(t, "l"))), Width: inches(float64(rapid.IntRange(6, 12).Draw(t, "w")))}}}
		var list [][3]int64
		for i := range rapid.IntRange(1, 3).Draw(t, "kinds") {
			l, w := rapid.IntRange(1, 8).Draw(t, "pl"), rapid.IntRange(1, 6).Draw(t, "pw")
			n := rapid.IntRange(1, 2).Draw(t, "n")
			fixed := rapid.Bool().Draw(t, "fixed")
			j.Panels = append(j.Panels, Panel{string(rune('a' + i)), inches(float64(l)), inches(float64(w)), n, fixed})
			for range n {
				turn := int64(1)
				if fixed {
					turn = 0
				}
				list = append(list, [3]int64{int64(l) + int64(kerf/unit.Inch), int64(w) + int64(kerf/unit.Inch), turn})
			}
		}
		p, err := Sheets(context.Background(), j)
		if err != nil {
			t.Fatal(err)
		}
		checkLayouts(t, j, p)
		if len(p.Missing) > 0 {
			return
		}
		w := int64(math.Round(float64((j.Sheets[0].Length + kerf) / unit.Inch)))
		h := int64(math.Round(float64((j.Sheets[0].Width + kerf) / unit.Inch)))
		want := leastSheets(list, w, h)
		if p.Bought != want || !p.Optimal {
			t.Fatalf("%d sheets, optimal %v, want %d", p.Bought, p.Optimal, want)
		}
	})
}

// leastSheets splits the panels into sets, each of which fits one sheet.
func leastSheets(list [][3]int64, w, h int64) int {
	n := len(list)
	fit := make([]bool, 1<<n)
	memo := map[[3]int64]bool{}
	for m := range fit {
		fit[m] = fitsSheet(list, m, w, h, memo)
	}
	least := make([]int, 1<<n)
	for m := 1; m < 1<<n; m++ {
		least[m] = n + 1
		for sub := m; sub > 0; sub = (sub - 1) & m {
			if fit[sub] && least[m^sub]+1 < least[m] {
				least[m] = least[m^sub] + 1
			}
		}
	}
	return least[1<<n-1]
}

// fitsSheet tries every first cut at a whole inch and every split of the panels.
func fitsSheet(list [][3]int64, set int, w, h int64, memo map[[3]int64]bool) bool {
	if set == 0 {
		return true
	}
	if w <= 0 || h <= 0 {
		return false
	}
	key := [3]int64{int64(set), w, h}
	if v, ok := memo[key]; ok {
		return v
	}
	ok := false
	if set&(set-1) == 0 {
		for i, p := range list {
			if set == 1<<i {
				ok = p[0] <= w && p[1] <= h || p[2] == 1 && p[1] <= w && p[0] <= h
			}
		}
	}
	for sub := (set - 1) & set; sub > 0 && !ok; sub = (sub - 1) & set {
		for x := int64(1); x < w && !ok; x++ {
			ok = fitsSheet(list, sub, x, h, memo) && fitsSheet(list, set^sub, w-x, h, memo)
		}
		for y := int64(1); y < h && !ok; y++ {
			ok = fitsSheet(list, sub, w, y, memo) && fitsSheet(list, set^sub, w, h-y, memo)
		}
	}
	memo[key] = ok
	return ok
}

// Larger jobs are whole plans with a true bound, and the same every time.
func TestManyPanels(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	r := rand.New(rand.NewPCG(1, 1))
	j := SheetJob{Sheets: []Sheet{{Length: 2.44, Width: 1.22, Price: 3000}, {Length: 1.22, Width: 1.22, Price: 1700}}, OnHand: []Sheet{{Length: 1.5, Width: 0.9}}}
	for i := range 8 {
		j.Panels = append(j.Panels, Panel{string(rune('a' + i)), unit.Length(0.1 + r.Float64()), unit.Length(0.1 + r.Float64()), 1 + r.IntN(6), i%3 == 0})
	}
	p, err := Sheets(context.Background(), j)
	if err != nil {
		t.Fatal(err)
	}
	checkLayouts(t, j, p)
	if p.Price < p.LowerBound || p.Bought == 0 || p.WasteShare < 0 || p.WasteShare > 0.5 {
		t.Errorf("price %d, bound %d, %d sheets, waste %v", p.Price, p.LowerBound, p.Bought, p.WasteShare)
	}
	if again, _ := Sheets(context.Background(), j); !reflect.DeepEqual(p, again) {
		t.Error("the same job gave another plan")
	}
	for _, s := range p.Working() {
		if math.IsNaN(s.Value) || s.Name == "" || s.Formula == "" || len(s.Inputs) == 0 && s.Symbol != "N" {
			t.Errorf("step %+v", s)
		}
	}
}

// The cheaper of two sheets is bought, and a sheet in the shed first.
func TestSheetPrices(t *testing.T) {
	j := SheetJob{Sheets: []Sheet{{Length: 96 * unit.Inch, Width: 48 * unit.Inch, Price: 3000}, {Length: 48 * unit.Inch, Width: 48 * unit.Inch, Price: 1400}},
		Panels: []Panel{{Name: "raft", Length: 47 * unit.Inch, Width: 47 * unit.Inch, Count: 3}}}
	p, err := Sheets(context.Background(), j)
	if err != nil || p.Price != 4200 || !p.Optimal || p.LowerBound != 4200 {
		t.Fatal(p.Price, p.LowerBound, p.Optimal, err)
	}
	j.OnHand = []Sheet{{Length: 50 * unit.Inch, Width: 50 * unit.Inch}}
	if p, err = Sheets(context.Background(), j); err != nil || p.Price != 2800 || p.Used != 1 {
		t.Fatal(p.Price, p.Used, err)
	}
	j.Sheets[0].Count, j.Sheets[1].Count = 1, 1
	j.Panels[0].Count = 9
	if p, err = Sheets(context.Background(), j); err != nil || finding.Worst(p.Findings) != finding.Stop || p.Optimal {
		t.Fatal(p.Findings, err)
	}
	checkLayouts(t, j, p)
}

func TestSheetFaults(t *testing.T) {
	nan := unit.Length(math.NaN())
	for name, spot := range map[string]func(*SheetJob){
		"cut.fault.none at cut.pieces":           func(j *SheetJob) { j.Panels = nil },
		"cut.fault.stock at cut.stock":           func(j *SheetJob) { j.Sheets = nil },
		"fault.range at cut.pieces[0].length":    func(j *SheetJob) { j.Panels[0].Width = nan },
		"cut.fault.count at cut.pieces[0].count": func(j *SheetJob) { j.Panels[0].Count = -3 },
		"cut.fault.pieces at cut.pieces[0]":      func(j *SheetJob) { j.Panels[0].Count = 1_000_000_000 },
		"at cut.stock[0].length":                 func(j *SheetJob) { j.Sheets[0].Length = -1 },
		"cut.fault.price at cut.stock[0].price":  func(j *SheetJob) { j.Sheets[0].Price = -1 },
		"fault.range at cut.kerf":                func(j *SheetJob) { j.Kerf = &nan },
		"cut.fault.priced at cut.stock":          func(j *SheetJob) { j.Sheets = append(j.Sheets, Sheet{Length: 1, Width: 1, Price: 5}) },
		"cut.fault.lines at cut.pieces":          func(j *SheetJob) { j.Panels = make([]Panel, MaxPanelKinds+1) },
		"fault.range at cut.stock[0]":            func(j *SheetJob) { j.Sheets[0].Length = 4 * unit.Kilometre },
	} {
		j := SheetJob{Sheets: []Sheet{{Length: 2, Width: 1}}, Panels: []Panel{{Name: "raft", Length: 1, Width: 1, Count: 1}}}
		spot(&j)
		if _, err := Sheets(context.Background(), j); err == nil || !strings.Contains(err.Error(), name) {
			t.Errorf("%v, want %q in it", err, name)
		}
	}
}

// FuzzSheets gives any figures at all: an answer that holds or an error.
func FuzzSheets(f *testing.F) {
	f.Add(0.003, 2.4384, 1.2192, 0, 1.2, 1.2, 3, 0.4, 0.3, 7)
	f.Add(math.NaN(), -1.0, math.Inf(1), -1, 1e300, 1e-300, 1_000_000_000, 0.0, 0.1, 0)
	f.Fuzz(func(t *testing.T, kerf, l, w float64, count int, al, aw float64, an int, bl, bw float64, bn int) {
		k := unit.Length(kerf)
		j := SheetJob{Kerf: &k, Sheets: []Sheet{{Length: unit.Length(l), Width: unit.Length(w), Count: count}},
			Panels: []Panel{{"a", unit.Length(al), unit.Length(aw), an, false}, {"b", unit.Length(bl), unit.Length(bw), bn, true}}}
		if an > 60 || bn > 60 {
			return // as large a job as a fuzz run can wait for
		}
		p, err := Sheets(context.Background(), j)
		if err == nil {
			checkLayouts(t, j, p)
		}
	})
}
