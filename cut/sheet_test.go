package cut

import (
	"context"
	"math"
	"math/rand/v2"
	"reflect"
	"strings"
	"testing"

	"pgregory.net/rapid"

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
			if q.X < -1e-9 || q.Y < -1e-9 || q.X+q.Length > j.Length+1e-9 || q.Y+q.Width > j.Width+1e-9 {
				t.Errorf("%+v lies outside the sheet", q)
			}
		}
		if !separable(l.Parts, j.Kerf) {
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
	for _, c := range []struct {
		length, width float64
		count, sheets int
	}{
		{47.9375, 48, 2, 1}, {48, 48, 2, 2}, {47, 23, 4, 1}, {47.9375, 23.9375, 4, 1}, {48, 24, 4, 2}, {60, 30, 2, 2}, {30, 60, 1, 1}, {36, 30, 2, 1},
	} {
		j := SheetJob{Kerf: inches(0.125), Length: 8 * unit.Foot, Width: 4 * unit.Foot, Panels: []Panel{{Name: "raft", Length: inches(c.length), Width: inches(c.width), Count: c.count}}}
		p, err := Sheets(context.Background(), j)
		if err != nil {
			t.Fatal(err)
		}
		if p.Bought != c.sheets || !p.Optimal {
			t.Errorf("%v x %v in, %d: %d sheets, optimal %v; want %d", c.length, c.width, c.count, p.Bought, p.Optimal, c.sheets)
		}
		checkLayouts(t, j, p)
	}
}

// Every way of straight cuts of tiny jobs is tried: the least number of sheets.
func TestSheetsAgainstBruteForce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		kerf := unit.Length(rapid.IntRange(0, 1).Draw(t, "kerf")) * unit.Inch
		j := SheetJob{Kerf: kerf, Length: inches(float64(rapid.IntRange(6, 12).Draw(t, "l"))), Width: inches(float64(rapid.IntRange(6, 12).Draw(t, "w")))}
		var list [][2]int64
		for i := range rapid.IntRange(1, 3).Draw(t, "kinds") {
			l, w := rapid.IntRange(1, 8).Draw(t, "pl"), rapid.IntRange(1, 6).Draw(t, "pw")
			n := rapid.IntRange(1, 2).Draw(t, "n")
			j.Panels = append(j.Panels, Panel{string(rune('a' + i)), inches(float64(l)), inches(float64(w)), n})
			for range n {
				list = append(list, [2]int64{int64(l) + int64(kerf/unit.Inch), int64(w) + int64(kerf/unit.Inch)})
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
		w := int64(math.Round(float64((j.Length + kerf) / unit.Inch)))
		h := int64(math.Round(float64((j.Width + kerf) / unit.Inch)))
		want := leastSheets(list, w, h)
		if p.Bought != want || !p.Optimal {
			t.Fatalf("%d sheets, optimal %v, want %d", p.Bought, p.Optimal, want)
		}
	})
}

// leastSheets splits the panels into sets, each of which fits one sheet.
func leastSheets(list [][2]int64, w, h int64) int {
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
func fitsSheet(list [][2]int64, set int, w, h int64, memo map[[3]int64]bool) bool {
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
				ok = p[0] <= w && p[1] <= h || p[1] <= w && p[0] <= h
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
	j := SheetJob{Length: 2.44, Width: 1.22}
	for i := range 8 {
		j.Panels = append(j.Panels, Panel{string(rune('a' + i)), unit.Length(0.1 + r.Float64()), unit.Length(0.1 + r.Float64()), 1 + r.IntN(6)})
	}
	p, err := Sheets(context.Background(), j)
	if err != nil {
		t.Fatal(err)
	}
	checkLayouts(t, j, p)
	area := 0.0
	for _, q := range j.Panels {
		if min(q.Length, q.Width) <= j.Width {
			area += float64(q.Count) * float64(q.Length.By(q.Width))
		}
	}
	if int64(p.Bought) < p.LowerBound || area > float64(p.Bought)*2.44*1.22 || area < float64(p.Bought)*2.44*1.22/2 {
		t.Errorf("%d sheets, bound %d, panels of %v m2", p.Bought, p.LowerBound, area)
	}
	if again, _ := Sheets(context.Background(), j); !reflect.DeepEqual(p, again) {
		t.Error("the same job gave another plan")
	}
}

func TestSheetFaults(t *testing.T) {
	nan := unit.Length(math.NaN())
	for name, spot := range map[string]func(*SheetJob){
		"cut.fault.none at cut.pieces":           func(j *SheetJob) { j.Panels = nil },
		"fault.range at cut.pieces[0].length":    func(j *SheetJob) { j.Panels[0].Width = nan },
		"cut.fault.count at cut.pieces[0].count": func(j *SheetJob) { j.Panels[0].Count = -3 },
		"cut.fault.pieces at cut.pieces[0]":      func(j *SheetJob) { j.Panels[0].Count = 1_000_000_000 },
		"fault.range at raft.sheet":              func(j *SheetJob) { j.Length = -1 },
		"fault.range at cut.kerf":                func(j *SheetJob) { j.Kerf = nan },
		"cut.fault.lines at cut.pieces":          func(j *SheetJob) { j.Panels = make([]Panel, MaxPanelKinds+1) },
	} {
		j := SheetJob{Length: 2, Width: 1, Panels: []Panel{{Name: "raft", Length: 1, Width: 1, Count: 1}}}
		spot(&j)
		if _, err := Sheets(context.Background(), j); err == nil || !strings.Contains(err.Error(), name) {
			t.Errorf("%v, want %q in it", err, name)
		}
	}
}

// FuzzSheets gives any figures at all: an answer that holds or an error.
func FuzzSheets(f *testing.F) {
	f.Add(0.003, 2.4384, 1.2192, 1.2, 1.2, 3, 0.4, 0.3, 7)
	f.Add(math.NaN(), -1.0, math.Inf(1), 1e300, 1e-300, 1_000_000_000, 0.0, 0.1, 0)
	f.Fuzz(func(t *testing.T, kerf, l, w, al, aw float64, an int, bl, bw float64, bn int) {
		j := SheetJob{Kerf: unit.Length(kerf), Length: unit.Length(l), Width: unit.Length(w),
			Panels: []Panel{{"a", unit.Length(al), unit.Length(aw), an}, {"b", unit.Length(bl), unit.Length(bw), bn}}}
		if an > 60 || bn > 60 {
			return // as large a job as a fuzz run can wait for
		}
		p, err := Sheets(context.Background(), j)
		if err == nil {
			checkLayouts(t, j, p)
		}
	})
}
