package tend

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"raftwright/bed"
	"raftwright/brief"
	"raftwright/chem"
	"raftwright/finding"
	"raftwright/plan"
	"raftwright/unit"
)

// What no bed can have is told at its place and left out: all is as without it. Just inside each threshold nothing is told. The
// bed is 5 in deep in boards of 7-1/4 in, 8 by 4 ft. 1500 mS/cm for 1500 uS/cm is the slip of the reference methods, section 10.
func TestALogThatCannotBe(t *testing.T) {
	const good = "  - {at: 2027-05-12T08:00, ph: 6.2, ec: 1.5 mS/cm, depth: 4.8 in}\n"
	without, err := tended(t, hardWater, good)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		log, path string
		id        finding.ID
	}{
		{"depth: 30 in", "depth", FindDeep}, {"depth: 9 in", "depth", FindDeep}, {"depth: 8.5 in", "", ""},
		{"added acid: 1300 g", "added acid", FindAcid},
		{"added water: 5000 gal", "added water", FindPoured}, {"added solution: 480 gal", "added solution", FindPoured},
		{"added: {calcium nitrate: 60 kg}", "added.calcium nitrate", FindFed},
		{"harvested: {heads: 33}", "harvested", FindHeads}, {"harvested: {heads: 32}", "", ""}, {"lost: 33", "lost", FindHeads},
		{"ec: 1500 mS/cm", "ec", FindScale}, {"ec: 20.1 mS/cm", "ec", FindScale}, {"ec: 19.9 mS/cm", "", ""}, {"ec: 0.0049 mS/cm", "ec", FindScale}, {"ec: 0.0051 mS/cm", "", ""},
	} {
		got, err := tended(t, hardWater, good+"  - {at: 2027-05-20, "+c.log+"}\n")
		switch {
		case err != nil:
			t.Errorf("%s: %v", c.log, err)
		case c.id == "" && len(got.Findings) > 0:
			t.Errorf("%s: finds %v", c.log, got.Findings)
		case c.id != "" && (len(got.Findings) != 1 || got.Findings[0].ID != c.id || got.Findings[0].Paths[0] != finding.Path("log[2]."+c.path)):
			t.Errorf("%s: finds %v", c.log, got.Findings)
		case c.id != "" && (math.Abs(got.State.EC.Value-without.State.EC.Value) > 0.01 || got.State.Plants != 32):
			t.Errorf("%s: is not left out: %+v", c.log, got.State)
		}
	}
}

// A slip between mS/cm and uS/cm is offered as what it would be; where that is no bed's either, nothing is.
func TestWhatAnECMeant(t *testing.T) {
	for got, want := range map[float64]float64{1500: 1.5, 0.0015: 1.5, 50: 0, 0: 0, 1e5: 0, 19e3: 19} {
		close(t, "meant", meant(unit.Conductivity(got)*unit.MillisiemensPerCentimetre).MillisiemensPerCentimetre(), want, 1e-9)
	}
}

// After 120 days without a visit a bed is followed from its next filling; without one, the gap is a fault at its place.
func TestALongGap(t *testing.T) {
	if got, err := tended(t, hardWater, "  - {at: 2026-12-30, filled: yes, planted: 20}\n  - {at: 2027-01-20, ph: 6}\n"); err != nil || len(got.Findings) != 1 || got.Findings[0].ID != FindUnordered {
		t.Errorf("100 days: %v", err) // the helper's own first visit is of May 1
	}
	got, err := tended(t, hardWater, "  - {at: 2026-12-30, filled: yes, planted: 20}\n")
	if err != nil || got.State.Plants != 32 || len(got.Findings) != 2 || got.Findings[1].ID != FindBegins {
		t.Errorf("121 days: %v, %+v", err, got)
	}
	log := bed.Log{{At: time.Date(2027, 1, 1, 0, 0, 0, 0, time.UTC)}, {At: time.Date(2027, 5, 2, 0, 0, 0, 0, time.UTC), Path: "log[1]"}}
	if _, _, faults := sinceGap(log); len(faults) != 1 || faults[0].Path != "log[1].at" {
		t.Errorf("121 days and no filling: %v", faults)
	}
}

// Of two readings of a minute the one written later is kept, and the other told.
func TestReadingsThatDiffer(t *testing.T) {
	plain, err := tended(t, hardWater, "  - {at: 2027-05-15T08:00, ph: 6.2, ec: 1.5 mS/cm, depth: 4.8 in}\n")
	if err != nil {
		t.Fatal(err)
	}
	more, err := tended(t, hardWater, "  - {at: 2027-05-15T08:00, ec: 2.5 mS/cm, ph: 6.2, depth: 3 in}\n  - {at: 2027-05-15T08:00, ph: 6.2, ec: 1.5 mS/cm, depth: 4.8 in}\n")
	if err != nil {
		t.Fatal(err)
	}
	if len(more.Findings) != 2 || more.Findings[0].ID != FindDiffers || more.Findings[0].Paths[0] != "log[1].ec" || more.Findings[1].Paths[0] != "log[1].depth" {
		t.Errorf("finds %v", more.Findings)
	}
	if math.Abs(plain.State.EC.Value-more.State.EC.Value) > 0.02 || math.Abs(plain.State.Depth.Value-more.State.Depth.Value) > 2 {
		t.Errorf("%v and %v", plain.State, more.State)
	}
}

// Visits after the moment are left out and told, and so are those that stand twice.
func TestVisitsThatDoNotCount(t *testing.T) {
	plain, err := tended(t, hardWater, "  - {at: 2027-05-15T08:00, ph: 6.5, ec: 1.4 mS/cm, depth: 4.8 in, added water: 20 L}\n")
	if err != nil {
		t.Fatal(err)
	}
	more, err := tended(t, hardWater, strings.Repeat("  - {at: 2027-05-15T08:00, ph: 6.5, ec: 1.4 mS/cm, depth: 4.8 in, added water: 20 L}\n", 2)+"  - {at: 2027-05-25T08:00, ph: 3}\n")
	if err != nil {
		t.Fatal(err)
	}
	if plain.State.Volume != more.State.Volume || plain.State.PH != more.State.PH {
		t.Errorf("%v and %v", plain.State, more.State)
	}
	for i, want := range []struct {
		id    finding.ID
		paths string
	}{{FindLater, "log[3]"}, {FindDoubled, "log[2]"}} {
		f := more.Findings[i]
		if f.ID != want.id || len(f.Paths) != 1 || string(f.Paths[0]) != want.paths || f.Args["Count"] != 1 || f.Args["Visits"].(finding.Entries)[0].Path != f.Paths[0] {
			t.Errorf("finds %v", more.Findings)
		}
	}
}

// Of visits out of order the fewest are named: one with a wrong year, and not those that stand under it. A line is given to what has one.
func TestVisitsOutOfOrderAreNamed(t *testing.T) {
	for _, c := range []struct{ log, want string }{
		{"  - {at: 2027-05-05}\n  - {at: 2026-05-08}\n  - {at: 2027-05-12}\n", "log[2]"},
		{"  - {at: 2027-05-05}\n  - {at: 2027-05-18}\n  - {at: 2027-05-08}\n  - {at: 2027-05-12}\n", "log[2]"},
		{"  - {at: 2027-05-12}\n  - {at: 2027-05-05}\n  - {at: 2027-05-05}\n  - {at: 2027-05-16}\n", "log[1]"},
		{"  - {at: 2027-05-05}\n  - {at: 2028-05-08}\n  - {at: 2027-05-12}\n", ""},
	} {
		got, err := tended(t, hardWater, c.log)
		if err != nil {
			t.Fatal(err)
		}
		Lined(got.Findings, func(at finding.Path) int { return 10 * len(at) })
		named := ""
		for _, f := range got.Findings {
			if f.ID == FindUnordered {
				for _, e := range f.Args["Visits"].(finding.Entries) {
					named += string(e.Path)
					if e.Line != 60 {
						t.Errorf("%s is on line %d", e.Path, e.Line)
					}
				}
			}
		}
		if named != c.want {
			t.Errorf("%s: names %q, want %q", c.log, named, c.want)
		}
	}
}

// A long log keeps what was done: heads and litres, and its last visits as they are.
func TestALongLogIsGathered(t *testing.T) {
	var log bed.Log
	for i := range 5000 {
		log = append(log, bed.Visit{Done: []bed.Happening{bed.AddedWater{Volume: 1}, bed.Planted{Heads: i % 3}}})
	}
	count := func(log bed.Log) (n, heads int) {
		for _, v := range log {
			for _, d := range v.Done {
				if p, ok := d.(bed.Planted); ok {
					heads += p.Heads
				}
				n++
			}
		}
		return n, heads
	}
	short := shorten(log)
	n, heads := count(log)
	if m, h := count(short); m != n || h != heads || len(short) != followed+gathered {
		t.Errorf("%d visits with %d acts and %d heads, of %d and %d", len(short), m, h, n, heads)
	}
}

// The oxygen of a state is that of the plants that stand: by the balance of roots against the water's surface a bed
// without plants holds all that fresh water can (Benson & Krause 1984, as chem has it), and one with more plants less.
func TestOxygenIsOfThePlantsThatStand(t *testing.T) {
	p, log, now := invented(t, 7)
	of := func(heads int) State {
		v := append(bed.Log{}, log...)
		v[0].Done = []bed.Happening{bed.Filled{}}
		if heads > 0 {
			v[0].Done = append(v[0].Done, bed.Planted{Heads: heads, Age: 21 * unit.Day})
		}
		got, faults := Make(Job{Plan: p, Log: v, Now: now})
		if len(faults) > 0 {
			t.Fatal(faults)
		}
		return got.State
	}
	none, few, many := of(0), of(10), of(60)
	full := chem.OxygenSaturation(none.Temperature, p.Season.Sky.Pressure)
	close(t, "oxygen without plants", none.Oxygen.MilligramsPerLitre(), full.MilligramsPerLitre(), 1e-6)
	if !(none.Oxygen > few.Oxygen && few.Oxygen > many.Oxygen) {
		t.Errorf("oxygen with none %v, few %v, many %v", none.Oxygen, few.Oxygen, many.Oxygen)
	}
}

// Where a strong acid stays off the paper the planned mix holds what is printed; what the brief pins was poured. In the
// helper's bed nitric acid would bring nitrate, and citric acid, in its place, citrate and none.
func TestThePlannedMixHasThePrintedAcid(t *testing.T) {
	of := func(acid, children string) (*history, plan.Plan) {
		months := ""
		b, faults := brief.Parse("bed.yaml", []byte(strings.Replace(strings.Replace(fmt.Sprintf(bedText, months, "  - {at: 2027-04-10T08:00, filled: yes}"),
			"acid: {product: citric, target ph: 5.8}", "acid: {"+acid+"}", 1), "children: none", "children: "+children, 1)))
		if len(faults) > 0 {
			t.Fatal(faults)
		}
		log, _ := bed.FromBrief(b)
		p, faults := plan.Make(b, plan.DefaultBook(), nil, plan.Everything)
		if len(faults) > 0 {
			t.Fatal(faults)
		}
		return newHistory(&p, log, log[0].At), p
	}
	for _, c := range []struct {
		acid, children string
		nitrate        bool
	}{{"product: nitric 60 %", "none", true}, {"product: nitric 60 %", "live here", false}, {"product: nitric 60 %, dose: 0.1 mL/L", "live here", true}} {
		h, p := of(c.acid, c.children)
		brings := h.acid(&p)
		if got := brings[nitrate] > 0; got != c.nitrate || brings == (amounts{}) {
			t.Errorf("%s, children %s: %v", c.acid, c.children, brings)
		}
	}
}

// Acid that was left out may have gone in: no acid is advised until the pH is read. An EC that was left out now is read again.
func TestNothingIsPouredOnAnEntryLeftOut(t *testing.T) {
	const high = "  - {at: 2027-05-16T08:00, ph: 7.6, depth: 4.8 in}\n  - {at: 2027-05-18T08:00, ph: 7.6, depth: 4.8 in}\n"
	const acid = "  - {at: 2027-05-19T08:00, added acid: 2 kg}\n"
	for _, c := range []struct {
		log, again string
		doses      bool
	}{{high, "", true}, {high + acid, "ph", false}, {high + acid + "  - {at: 2027-05-20T08:00, ph: 7.6}\n", "", true},
		{high + "  - {at: 2027-05-20T08:00, ec: 1500 mS/cm}\n", "ec", true}, {high + "  - {at: 2027-05-19T08:00, ec: 1500 mS/cm}\n", "", true}, {high + "  - {at: 2027-05-20T08:00, depth: 30 in}\n", "depth", true}} {
		got, err := tended(t, hardWater, c.log)
		if err != nil {
			t.Fatal(err)
		}
		again, doses := "", false
		for _, a := range got.Actions {
			doses = doses || a.Do == DoAcid
			if a.Do == DoRead && a.Why == WhyLeftOut {
				again = a.Product
			}
		}
		if again != c.again || doses != c.doses {
			t.Errorf("%s: %v", c.log, got.Actions)
		}
	}
}
