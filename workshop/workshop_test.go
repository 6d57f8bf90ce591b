package workshop

import (
	"fmt"
	"os"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"raftwright/brief"
	"raftwright/frame"
	"raftwright/plan"
	"raftwright/unit"
)

func parsed(t interface{ Fatal(...any) }, text string) *brief.Brief {
	b, faults := brief.Parse("a.yaml", []byte(text))
	if len(faults) > 0 {
		t.Fatal(faults, text)
	}
	return b
}

func held(t interface{ Fatal(...any) }, text string, n int) Workshop {
	b := parsed(t, text)
	families, faults := Alike(b, n)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	w, faults := Make(plan.Job{Brief: b, Book: plan.DefaultBook()}, families)
	if len(faults) > 0 {
		t.Fatal(faults, text)
	}
	return w
}

// For any number of families and any bed: what is bought covers every kit; nothing is more than each
// family buying alone; the boards that are sawn give exactly the pieces of all kits, each as the frame of
// one bed has it; the day is in order and lasts what its steps add up to.
func TestAnyWorkshop(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	rapid.Check(t, func(rt *rapid.T) {
		n := rapid.IntRange(1, 40).Draw(rt, "families")
		text := "bed: {length: " + rapid.SampledFrom([]string{"97 in", "73 in", "1.8 m", "12 ft"}).Draw(rt, "length") + ", width: " +
			rapid.SampledFrom([]string{"49 in", "25 in"}).Draw(rt, "width") + ", depth: 6 in, liner: " + rapid.SampledFrom([]string{"6 mil", "20 mil"}).Draw(rt, "liner") + "}\n" +
			rapid.SampledFrom([]string{"", "water: {ph: 7.8, alkalinity: 180 mg/L CaCO3, free chlorine: 1 mg/L}\n", "mix: {measure: scale 1 g}\n"}).Draw(rt, "water")
		w := held(rt, text, n)
		bed := w.Bed()
		kit := map[string]int{}
		for _, p := range bed.Frame.Pieces {
			kit[key(p.Size.String(), p.Role.String(), p.Length)] += p.Count * n
		}
		for _, j := range w.Boards.Jobs {
			for _, x := range j.Plan.Boards {
				for _, c := range x.Cuts {
					kit[key(j.Size, c.Name, c.Length)] -= x.Repeat
				}
			}
		}
		for key, left := range kit {
			if left != 0 {
				rt.Fatalf("%d of %s are not sawn, for %d kits", left, key, n)
			}
		}
		if w.Total.Sub(w.Spare).Amount > w.Apart.Amount {
			rt.Fatalf("together %v less %v, apart %v", w.Total, w.Spare, w.Apart)
		}
		covers(rt, w)
		inOrder(rt, w)
	})
}

func key(size, name string, l unit.Length) string {
	return fmt.Sprintf("%s %s %.3f in", size, name, l.Inches())
}

// covers compares the list with those of the families, line by line, without a board or a sheet: these are
// compared by their price, and counted above.
func covers(t *rapid.T, w Workshop) {
	n := float64(len(w.Families))
	for _, one := range w.Bed().Cost.Lines {
		if !taken(one) || one.Name == boardLine || one.Name == linerLine || one.Name == foamLine || one.Name == holeSawLine {
			continue
		}
		found := false
		for _, l := range w.Lines {
			if l.Name != one.Name || l.Group != one.Group || one.Name == screwLine && l.Args["For"] != one.Args["For"] || one.Args["Product"] != l.Args["Product"] || one.Args["Bag"] != l.Args["Bag"] {
				continue
			}
			found = true
			if l.Wanted > n*one.Buy+1e-9 || l.Buy < l.Wanted {
				t.Fatalf("%s: %v wanted, %v bought, %v bought alone", l.Name, l.Wanted, l.Buy, one.Buy)
			}
			need := n * one.Quantity
			if one.Mass > 0 {
				need = l.Wanted // whole packs share what is over: they hold it all
				if pack, ok := l.Args["Pack"].(unit.Mass); ok && float64(pack)*l.Buy < float64(one.Mass)*n*(1-1e-9) {
					t.Fatalf("%s: %v packs of %v", l.Name, l.Buy, pack)
				}
			}
			if one.Name == "need.plug" && l.Wanted < n*float64(w.Bed().Raft.Holes) {
				t.Fatalf("%v plugs for %v holes", l.Wanted, n*float64(w.Bed().Raft.Holes))
			}
			if one.Name != "need.plug" && one.Name != "need.paint" && one.Name != "need.underlay" && one.Name != "need.seed" && l.Wanted < need-1e-6 {
				t.Fatalf("%s: %v wanted for %v of %v", l.Name, l.Wanted, n, one.Quantity)
			}
		}
		if !found {
			t.Fatalf("%s is not bought", one.Name)
		}
	}
	for _, n := range w.Liners {
		got := 0
		for _, l := range n.Layouts {
			got += l.Repeat * len(l.Parts)
		}
		if got != len(w.Families) || int64(n.Bought) < n.LowerBound || !n.Optimal {
			t.Fatalf("%d liners from %d sheets, at least %d", got, n.Bought, n.LowerBound)
		}
	}
}

// order is the order of the work.
var order = []string{"welcome", "kits", "build", "vessel", "groups", "liner", "load", "carry", "close"}

func inOrder(t *rapid.T, w Workshop) {
	at, last := 0, -1
	for _, s := range w.Day {
		if s.Begins != at || s.Lasts() != s.Turn*s.Turns || s.Lasts() <= 0 {
			t.Fatalf("%s begins at %d, not %d", s.ID, s.Begins, at)
		}
		at += s.Lasts()
		if s.ID == "lunch" {
			continue
		}
		place := -1
		for i, id := range order {
			if id == s.ID {
				place = i
			}
		}
		if place <= last {
			t.Fatalf("%s is out of its order", s.ID)
		}
		last = place
		served := 0
		for _, st := range s.Stations {
			served = max(served, st.Families*s.Turns)
		}
		if served < len(w.Families) {
			t.Fatalf("%s: %d of %d families", s.ID, served, len(w.Families))
		}
	}
	if at != w.Lasts() {
		t.Fatalf("the day lasts %d, its steps %d", w.Lasts(), at)
	}
}

// By hand: 20 beds of 97 by 49 in take 40 sides of 97 in; a 10 ft board gives one, so that 40 boards have one each
// unless a 20 ft or 16 ft board is cheaper a piece. The liner of 123-1/2 by 75-1/2 in: a roll of 20 by 100 ft holds 3
// across (20 ft / 75.5 in) and 9 along, or 1 and 15 turned with 116 in over, so 27 and more.
func TestTwentyBeds(t *testing.T) {
	text, err := os.ReadFile("../examples/home.yaml")
	if err != nil {
		t.Fatal(err)
	}
	w := held(t, string(text), 20)
	sides := 0
	for _, j := range w.Boards.Jobs {
		if !j.Plan.Optimal {
			t.Errorf("%s is not proven", j.Size)
		}
		for _, x := range j.Plan.Boards {
			for _, c := range x.Cuts {
				if c.Name == frame.SideBoard.String() {
					sides += x.Repeat
				}
			}
		}
	}
	if sides != 40 || len(w.Liners) != 1 || !w.Liners[0].Optimal {
		t.Errorf("%d sides, %+v", sides, w.Liners)
	}
	if _, ok := w.Saved(); !ok {
		t.Errorf("nothing is saved: %v for %v", w.Total, w.Apart)
	}
	for _, l := range w.Lines {
		if l.Name == "need.pack" {
			if pack := l.Args["Pack"].(unit.Mass); l.Quantity >= 20 || float64(pack)*l.Quantity < float64(l.Mass) {
				t.Errorf("%v packs of %v for %v kg", l.Quantity, l.Args, l.Mass.Kilograms())
			}
		}
	}
}

// Boards in a shed are cut once, and pieces of the brief's own are no part of a kit.
func TestWhatIsNoPartOfAKit(t *testing.T) {
	const bed = "bed: {length: 97 in, width: 49 in, depth: 6 in}\n"
	w := held(t, bed+"cut: {on hand: [{length: 12 ft, count: 2}], pieces: [{name: shelf, length: 30 in, count: 3}]}\n", 6)
	used := 0
	for _, j := range w.Boards.Jobs {
		used += j.Plan.Used
		for _, x := range j.Plan.Boards {
			for _, c := range x.Cuts {
				if c.Name == "shelf" {
					t.Error("a shelf is sawn for the kits")
				}
			}
		}
	}
	if used < 1 || used > 2 {
		t.Errorf("%d of 2 boards on hand", used)
	}
	for _, j := range w.Bed().Boards.Jobs {
		if j.Plan.Used > 0 {
			t.Error("one family alone has the boards of the shed")
		}
	}
}

// Each row of a table has its own water, language and place; what is wrong is told where it stands.
func TestReadFamilies(t *testing.T) {
	b := parsed(t, "title: Bed\nbed: {length: 97 in, width: 49 in, count: 5}\nwater: {ph: 7, alkalinity: 90 mg/L CaCO3}\ncut: {on hand: [61 in]}\n")
	families, faults := Read("f.csv", []byte("\ufeff# invented\nkit,language,water.ph,water.alkalinity\nA1,es,8.1,210 mg/L CaCO3\nA2,,,\n\"A3\", en ,6.5,\n"), b)
	if len(faults) > 0 || len(families) != 3 {
		t.Fatal(families, faults)
	}
	one, two, three := families[0].Brief, families[1].Brief, families[2].Brief
	if one.Language.Value != brief.Spanish || one.Water.PH.Value != 8.1 || one.Title.Value != "Bed · A1" || one.Bed.Count.Given || len(one.Cut.OnHand) > 0 {
		t.Errorf("%+v", one.Title)
	}
	if two.Language.Given || two.Water.PH.Value != 7 {
		t.Errorf("%+v", two.Water.PH)
	}
	if three.Water.Alkalinity.Given {
		t.Error("the alkalinity of another water was kept")
	}
	for text, want := range map[string]string{
		"family,language\nA,es\n":                       "f.csv:1:1: workshop.fault.column",
		"kit,language\nA,es\nB,xx\n":                    "f.csv:3:2: ",
		"kit,water.pH2\nA,7\n":                          "f.csv:2:2: ",
		"kit\nA\na\n":                                   "f.csv:3:1: workshop.fault.twice",
		"kit\n../x\n":                                   "f.csv:2:1: workshop.fault.code",
		"kit,language\n":                                "f.csv:1:1: workshop.fault.families",
		"kit\n\"A\n":                                    "workshop.fault.table",
		"kit\n" + strings.Repeat("x", 9) + "\n":         "workshop.fault.code",
		"kit,water.ph,water.alkalinity\nA,7.0,ninety\n": "f.csv:2:3: ",
	} {
		_, faults := Read("f.csv", []byte(text), b)
		if len(faults) == 0 || !strings.Contains(faults[0].Error(), want) {
			t.Errorf("%q: %v", text, faults)
		}
	}
	for _, n := range []int{0, -1, MostFamilies + 1} {
		if _, faults := Alike(b, n); len(faults) != 1 {
			t.Errorf("%d families were taken", n)
		}
	}
}

// A table that is read has families with codes of their own, each with a brief that holds.
func FuzzReadFamilies(f *testing.F) {
	f.Add("kit,language,water.ph\nA,es,7\n")
	f.Add("kit,water\n1,{ph: 7}\n")
	b, _ := brief.Parse("a.yaml", []byte("bed: {length: 97 in, width: 49 in}\n"))
	f.Fuzz(func(t *testing.T, text string) {
		families, faults := Read("f.csv", []byte(text), b)
		if len(faults) > 0 {
			return
		}
		codes := map[string]bool{}
		for _, x := range families {
			code := strings.ToLower(x.Code)
			if x.Brief == nil || codes[code] || strings.ContainsAny(code, "/\\.") {
				t.Fatalf("%q: %+v", text, x)
			}
			codes[code] = true
		}
	})
}
