package programme

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"raftwright/finding"
)

// Two keyings that say the same agree whatever the order of rows and columns and the spaces; each cell that differs is told
// with its lines.
func TestTwice(t *testing.T) {
	first := "slip,event,standard,groups,sex\nA1,E1,2024,White,\nB2,E1,2024,,female\nC3,E1,2024,Asian|White,male\n"
	second := "event,slip,standard,sex,groups\nE1,C3,2024,male,Asian|White\nE1, A1 ,2024,,White\nE1,B2,2024,female,\n"
	a, faults := Twice("slips", first, second)
	if len(faults) > 0 || a.Rows != 3 || len(a.Apart) != 0 || a.Cells != 13 {
		t.Errorf("%+v %v", a, faults)
	}
	a, _ = Twice("slips", first, strings.Replace(second, ",female,", ",male,", 1))
	if len(a.Apart) != 1 || a.Apart[0] != (Apart{"B2", "sex", "female", "male", 3, 4}) {
		t.Errorf("%+v", a.Apart)
	}
	a, _ = Twice("slips", first, strings.Replace(second, " A1 ", "A7", 1))
	if len(a.Apart) != 2 || a.Apart[0] != (Apart{Row: "A7", Other: 3}) || a.Apart[1] != (Apart{Row: "A1", Line: 2}) {
		t.Errorf("%+v", a.Apart)
	}
	for _, c := range []struct {
		table, text string
		want        finding.ID
	}{{"nothing", first, FaultSheet}, {"consents", first, FaultSheet}, {"slips", "event\nE1\n", "table.fault.column"}, {"slips", "", "table.fault.empty"}, {"slips", "slip\nA\nA\n", FaultTwice}, {"slips", "slip\n\"A\n", "table.fault.file"}} {
		if _, faults := Twice(c.table, c.text, first); len(faults) == 0 || faults[0].ID != c.want {
			t.Errorf("%s %q: %v", c.table, c.text, faults)
		}
	}
}

// Every slip of the fingers is found: so many cells are changed, so many are told.
func TestTwiceFindsEverySlip(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	for range 50 {
		rows := [][]string{{"form", "event", "kind", "code", "item", "before", "after"}}
		for i := range 20 {
			rows = append(rows, []string{fmt.Sprint("F", i), "E1", "looking back", fmt.Sprint("k", i), "I1", fmt.Sprint(1 + r.IntN(5)), fmt.Sprint(1 + r.IntN(5))})
		}
		text := func() string {
			var out []string
			for _, row := range rows {
				out = append(out, strings.Join(row, ","))
			}
			return strings.Join(out, "\n") + "\n"
		}
		first := text()
		changed := map[string]bool{}
		for range r.IntN(8) {
			i, c := 1+r.IntN(20), 5+r.IntN(2)
			rows[i][c] += "9"
			changed[rows[i][0]+rows[0][c]] = true
		}
		head := rows[0]
		r.Shuffle(20, func(i, j int) { rows[i+1], rows[j+1] = rows[j+1], rows[i+1] })
		rows[0] = head
		a, faults := Twice("answers", first, text())
		var told []string
		for _, x := range a.Apart {
			told = append(told, strings.Fields(x.Row)[0]+x.Column)
		}
		if len(faults) > 0 || len(told) != len(changed) || slices.ContainsFunc(told, func(x string) bool { return !changed[x] }) {
			t.Fatalf("%v, not %v %v", told, changed, faults)
		}
	}
}

func FuzzTwice(f *testing.F) {
	f.Add("slip,sex\nA,male\n", "slip,sex\nA,female\n")
	f.Fuzz(func(t *testing.T, a, b string) {
		one, faults := Twice("slips", a, b)
		other, back := Twice("slips", b, a)
		if len(faults) != len(back) || len(one.Apart) != len(other.Apart) || one.Rows != other.Rows {
			t.Errorf("%v %v", one, other)
		}
	})
}
