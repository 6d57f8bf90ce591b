package programme_test

import (
	"slices"
	"strconv"
	"strings"
	"testing"

	"raftwright/programme"
)

// oddNames is the invented year with names that the public may not read: of waves, items, counties and ages.
func oddNames(t *testing.T) map[string]string {
	t.Helper()
	files := year(t)
	for name, text := range files {
		if name == "must_vanish.csv" {
			continue
		}
		for old, odd := range map[string]string{"A6": "Pat Sample's wave", "mix": "gloves of Pat Sample", "BIR": "Sample County"} {
			for _, at := range []string{",", "\n"} {
				for _, end := range []string{",", "\n", "\r\n"} {
					for strings.Contains(text, at+old+end) {
						text = strings.ReplaceAll(text, at+old+end, at+odd+end)
					}
				}
			}
		}
		files[name] = text
	}
	return files
}

// What went out before under a name of ours is held against what it is of: whoever subtracts two editions finds no small group of a wave, an item or a county
// whose own name the public may not read.
func TestRenamedFiguresCannotBeSubtracted(t *testing.T) {
	records := read(t, oddNames(t))
	went := report(t, records, "BOARD", "2027-08-31").Public().Remember()
	kinds := map[string]int{}
	for i, old := range went {
		kind := ""
		switch {
		case old.Hidden || old.Count < 40:
			continue
		case strings.HasPrefix(old.Measure, "wave W-") && strings.HasSuffix(old.Measure, ": answered"):
			kind = "wave"
		case strings.Contains(old.Measure, "/item-") && strings.HasSuffix(old.Measure, ": pairs"):
			kind = "item"
		case strings.HasPrefix(old.County, "C-") && (old.Measure == "direct_contacts" || strings.HasPrefix(old.Measure, "table: ")):
			kind = "county"
		default:
			continue
		}
		kinds[kind]++
		for _, fewer := range []int{3, 0, old.Count} {
			x := records
			x.Published = slices.Clone(went)
			x.Published[i].Count -= fewer
			e := report(t, x, "BOARD", "2027-08-31").Public()
			near := slices.Contains(e.Near, programme.Near{County: old.County, Measure: old.Measure, AsOf: old.AsOf})
			shown := false
			for _, f := range e.Figures {
				if f.Name() == old.Measure && f.County == old.County {
					shown = f.Why == ""
				}
			}
			if near != (fewer == 3) || shown == (fewer == 3) {
				t.Errorf("%s of %s was %d less: told to be near: %t; shown: %t", old.Measure, old.County, fewer, near, shown)
			}
		}
	}
	if kinds["wave"] == 0 || kinds["item"] == 0 || kinds["county"] < 2 {
		t.Error("this proves little:", kinds)
	}
}

// A name that somebody read and let go between two editions changes what a figure is called, not what it is of.
func TestClearedNamesCannotBeSubtracted(t *testing.T) {
	files := oddNames(t)
	went := report(t, read(t, files), "BOARD", "2027-08-31").Public().Remember()
	day, _ := programme.ParseDay("2027-09-02")
	for i, old := range went {
		number, odd := "", ""
		switch {
		case old.Hidden || old.Count < 40:
			continue
		case strings.HasPrefix(old.Measure, "wave W-") && strings.HasSuffix(old.Measure, ": answered"):
			number, odd = strings.TrimSuffix(strings.TrimPrefix(old.Measure, "wave "), ": answered"), "Pat Sample's wave"
		case strings.Contains(old.Measure, "/item-") && strings.HasSuffix(old.Measure, ": pairs"):
			number, odd = old.Measure[strings.Index(old.Measure, "item-"):len(old.Measure)-len(": pairs")], "gloves of Pat Sample"
		default:
			continue
		}
		x := read(t, files)
		x.Cleared = append(x.Cleared, programme.Cleared{Text: odd, On: day})
		x.Published = slices.Clone(went)
		x.Published[i].Count -= 3
		e := report(t, x, "BOARD", "2027-09-05").Public()
		name := strings.Replace(old.Measure, number, odd, 1)
		found := false
		for _, f := range e.Figures {
			if found = found || f.Name() == name; f.Name() == name && f.Why == "" {
				t.Errorf("%s is shown as %v, %s was %d", name, f.Number, old.Measure, x.Published[i].Count)
			}
		}
		if !found || !slices.ContainsFunc(e.Near, func(n programme.Near) bool { return n.Measure == old.Measure }) {
			t.Errorf("%s is in the edition: %t; near: %v", name, found, e.Near)
		}
	}
}

// Counties that were joined in an edition that went out, and stand apart in the next, are added up by whoever subtracts; so are those that are joined later.
func TestJoinedCountiesCannotBeSubtracted(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	records := read(t, year(t))
	first := report(t, records, "BOARD", "2027-08-31").Public()
	whole := map[string]programme.Published{}
	for _, p := range first.Remember() {
		if p.Measure == "direct_contacts" && p.County != programme.All {
			whole[p.County] = p
		}
	}
	if len(whole) != 3 {
		t.Fatal(whole)
	}
	for fewer, near := range map[int]bool{0: false, 3: true, 10: true, 11: false, -3: true} {
		joined := whole["BIR"]
		joined.County, joined.Count = "others", joined.Count+whole["CED"].Count-fewer
		x := records
		x.Published = []programme.Published{whole["ALD"], joined}
		e := report(t, x, "BOARD", "2027-08-31").Public()
		shown := 0
		for _, f := range e.Figures {
			if f.Measure == "direct_contacts" && (f.County == "BIR" || f.County == "CED") && f.Why == "" {
				shown++
			}
		}
		told := slices.ContainsFunc(e.Near, func(n programme.Near) bool { return n.County == "others" && n.Measure == "direct_contacts" })
		if told != near || near && shown == 2 || !near && shown != 2 {
			t.Errorf("two joined counties were %d less: near %t, %d of both shown", fewer, told, shown)
		}
	}
}

// A wave, a county or an item keeps its number when a row before it is taken out, and one that a correction names has a name too: else what went out of one would
// stand beside another.
func TestNumbersStayWhereRowsAreTakenOut(t *testing.T) {
	x := read(t, oddNames(t))
	day, _ := programme.ParseDay("2027-08-15")
	last := x.Waves[len(x.Waves)-1]
	first := last
	first.ID = "the first of Pat Sample"
	x.Waves = append([]programme.Wave{first}, x.Waves...)
	x.Counties = append([]programme.County{{ID: "the first county", Name: "invented"}}, x.Counties...)
	a := x.Answers[0]
	a.Item, a.Form = "the first item", "F0000"
	x.Answers = append([]programme.Answer{a}, x.Answers...)
	numbers := func(e *programme.Edition) (out []string) {
		for _, f := range e.Figures {
			if strings.HasSuffix(f.Name(), ": sent") || strings.HasSuffix(f.Name(), ": pairs") || f.Measure == "map_sites" {
				out = append(out, f.Name()+"|"+f.County+"|"+f.Text)
			}
		}
		return out
	}
	for i, of := range [][2]string{{"waves", first.ID}, {"counties", "the first county"}, {"answers", a.Form}} {
		x.Corrections = append(x.Corrections, programme.Correction{ID: "XX" + of[0], MadeOn: day, Table: of[0], Record: of[1], Action: "void", Reason: strconv.Itoa(i)})
	}
	x.Corrections = append(x.Corrections, programme.Correction{ID: "XXitem", MadeOn: day, Table: "answers", Record: x.Answers[1].Form, Action: "change", Field: "item", New: "an item of a correction"})
	then := numbers(report(t, x, "BOARD", "2027-08-31").Public())
	for _, f := range then {
		if strings.Contains(f, "/: pairs") || strings.Contains(f, "||") {
			t.Errorf("%s has no name", f)
		}
	}
	// the second of each, as it was before it was the only one
	for _, want := range []string{"map_sites|C-3|10", "looking back/item-2: pairs|all|24", "wave W-2: sent|all|84"} {
		if !slices.Contains(then, want) {
			t.Errorf("no %s: %q", want, then)
		}
	}
}

// A figure keeps its number when another item is answered for the first time later, whatever its name.
func TestNumbersOfItemsStay(t *testing.T) {
	files := oddNames(t)
	before := report(t, read(t, files), "BOARD", "2027-08-31").Public()
	x := read(t, files)
	a := x.Answers[0]
	a.Item, a.Form = "aprons of Pat Sample", "F9999"
	x.Answers = append(x.Answers, a)
	after := report(t, x, "BOARD", "2027-08-31").Public()
	for _, f := range before.Figures {
		if strings.Contains(f.Of, "/item-") && strings.HasSuffix(f.Of, ": pairs") && f.Why == "" {
			if got := of(after, f.Name()); got != f.Text {
				t.Errorf("%s was %s, is %s", f.Name(), f.Text, got)
			}
		}
	}
}
