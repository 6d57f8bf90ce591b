package workshop

import (
	"fmt"
	"strings"
	"testing"

	"raftwright/cost"
	"raftwright/plan"
)

// mixedTable has so many families with the bed of the brief, and so many with a small one, by turns.
func mixedTable(large, small int) string {
	text := "kit,language,water.ph,bed.length,bed.width\n"
	for i := range max(large, small) {
		if i < large {
			text += fmt.Sprintf("L%d,es,7.8,,\n", i+1)
		}
		if i < small {
			text += fmt.Sprintf("S%d,,,49 in,25 in\n", i+1)
		}
	}
	return text
}

func tabled(t *testing.T, text, table string) Workshop {
	t.Helper()
	b := parsed(t, text)
	families, faults := Read("f.csv", []byte(table), b)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	w, faults := Make(plan.Job{Brief: b, Book: plan.DefaultBook()}, families)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	return w
}

const sizesBrief = "bed: {length: 97 in, width: 49 in, depth: 6 in}\n"

// Twelve beds of 97 by 49 in and eight of 49 by 25 in on one day: each piece of each frame is sawn once, each liner and each raft cut once,
// screws and pots are those of all kits with one spare over their sum, and boards and foam cost no more than for two days apart.
func TestTwoSizesAreOneDay(t *testing.T) {
	const large, small = 12, 8
	w := tabled(t, sizesBrief, mixedTable(large, small))
	if len(w.Sizes) != 2 || len(w.Sizes[0].Families) != large || len(w.Sizes[1].Families) != small {
		t.Fatalf("%d sizes", len(w.Sizes))
	}
	left := map[string]int{}
	for _, s := range w.Sizes {
		for _, p := range s.Bed().Frame.Pieces {
			left[key(p.Size.String(), p.Role.String(), p.Length)] += p.Count * len(s.Families)
		}
		for i, f := range s.Families {
			if at := w.SizeOf(indexOf(w, f.Code)); !sameKit(w.Sizes[at].Bed(), s.Each[i]) {
				t.Errorf("%s has the kit of another", f.Code)
			}
		}
	}
	for _, j := range w.Boards.Jobs {
		for _, x := range j.Plan.Boards {
			for _, c := range x.Cuts {
				left[key(j.Size, c.Name, c.Length)] -= x.Repeat
			}
		}
	}
	for k, n := range left {
		if n != 0 {
			t.Errorf("%d of %s are not sawn", n, k)
		}
	}
	liners, rafts, pieces := 0, 0, 0
	for _, n := range w.Liners {
		for _, l := range n.Layouts {
			liners += l.Repeat * len(l.Parts)
		}
	}
	for _, f := range w.Foam {
		for _, l := range f.Layouts {
			rafts += l.Repeat * len(l.Parts)
		}
	}
	for _, p := range w.Each {
		pieces += len(p.Raft.Pieces)
	}
	if liners != large+small || rafts != pieces {
		t.Errorf("%d liners, %d of %d pieces of foam", liners, rafts, pieces)
	}
	for _, n := range w.Liners {
		for _, l := range w.Lines {
			if l.Name == linerLine && l.Args["StockWidth"] == n.Sheet.Width && l.Args["StockLength"] == n.Sheet.Length && l.Args["Material"] == n.Sheet.Word() {
				n.Bought -= int(l.Wanted)
			}
		}
		if n.Bought != 0 {
			t.Errorf("%d sheets of liner are cut and not bought", n.Bought)
		}
	}
	one, two := tabled(t, sizesBrief, mixedTable(large, 0)), tabled(t, sizesBrief, mixedTable(0, small))
	for _, name := range []string{"need.board", "need.foam", "need.liner"} {
		if a, b, c := spent(w, name), spent(one, name), spent(two, name); a.Amount == 0 || a.Amount > b.Add(c).Amount {
			t.Errorf("%s: %v together, %v and %v apart", name, a, b, c)
		}
	}
	if w.Total.Sub(w.Spare).Amount > one.Total.Sub(one.Spare).Add(two.Total.Sub(two.Spare)).Amount || w.Apart != one.Apart.Add(two.Apart) {
		t.Errorf("%v for %v and %v; alone %v", w.Total, one.Total, two.Total, w.Apart)
	}
	for _, l := range w.Lines {
		if l.Name != potLine && l.Name != screwLine {
			continue
		}
		need := 0.0
		for _, p := range w.Each {
			for _, x := range p.Cost.Lines {
				if x.Name == l.Name && fmt.Sprint(x.Args) == fmt.Sprint(l.Args) {
					need += x.Quantity
				}
			}
		}
		if l.Wanted != need || l.Spare != spare(l.Name, need) || l.Buy < need+l.Spare {
			t.Errorf("%s: %v wanted, %v to spare, %v bought for %v", l.Name, l.Wanted, l.Spare, l.Buy, need)
		}
	}
}

func indexOf(w Workshop, code string) int {
	for i, f := range w.Families {
		if f.Code == code {
			return i
		}
	}
	return -1
}

func spent(w Workshop, name string) cost.Money {
	sum := cost.Money{Currency: w.Total.Currency}
	for _, l := range w.Lines {
		if string(l.Name) == name {
			sum = sum.Add(priced(l, l.Wanted).Price)
		}
	}
	return sum
}

// A table whose rows all say one size is a day of that size, whatever the brief has.
func TestATableMaySayTheSizeOfAll(t *testing.T) {
	w := tabled(t, sizesBrief, mixedTable(0, 5))
	if v := w.Bed().Frame.Job.Vessel; len(w.Sizes) != 1 || v.Length.Inches() > 50 {
		t.Fatalf("%v", v)
	}
	for _, j := range w.Boards.Jobs {
		for _, x := range j.Plan.Boards {
			for _, c := range x.Cuts {
				if c.Length.Inches() > 60 {
					t.Errorf("%s of %v for small beds", c.Name, c.Length)
				}
			}
		}
	}
}

// A day has one kind of vessel: a tub among frames is told at its row.
func TestATubAmongFramesIsAnotherDay(t *testing.T) {
	b := parsed(t, sizesBrief)
	families, faults := Read("f.csv", []byte("kit,bed.vessel\nA,\nB,tub\n"), b)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	if _, faults = Make(plan.Job{Brief: b, Book: plan.DefaultBook()}, families); len(faults) != 1 || faults[0].ID != FaultOtherBed || faults[0].Line != 3 || !strings.HasPrefix(faults[0].File, "f.csv") {
		t.Errorf("%v", faults)
	}
}
