package tend

import (
	"strings"
	"testing"

	"raftwright/bed"
)

// What no bed can have is told at its place; just inside each threshold nothing is. The bed is 5 in deep in
// boards of 7-1/4 in, 8 by 4 ft: about 370 L, so that 15 mmol/L of citric acid is about 1.1 kg (192.1 g/mol).
func TestALogThatCannotBe(t *testing.T) {
	for _, c := range []struct{ log, want string }{
		{"{at: 2027-05-20, depth: 30 in}", "tend.fault.deep at log[1].depth"}, {"{at: 2027-05-20, depth: 9 in}", "tend.fault.deep at log[1].depth"}, {"{at: 2027-05-20, depth: 8.5 in}", ""},
		{"{at: 2027-05-20, added acid: 1300 g}", "tend.fault.acid at log[1].added acid"}, {"{at: 2027-05-20, added acid: 900 g}", ""},
		{"{at: 2027-05-20, harvested: {heads: 33}}", "tend.fault.harvest at log[1].harvested"}, {"{at: 2027-05-20, harvested: {heads: 32}}", ""},
		{"{at: 2027-08-30, ph: 6}", "tend.fault.gap at log[1].at"}, {"{at: 2027-08-28, ph: 6}", ""},
	} {
		_, err := tended(t, hardWater, "  - "+c.log+"\n")
		switch {
		case c.want == "" && err != nil, c.want != "" && (err == nil || !strings.HasSuffix(err.Error(), c.want)):
			t.Errorf("%s gives %v, want %q", c.log, err, c.want)
		}
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
	for i, want := range []string{string(FindLater), string(FindDoubled)} {
		if string(more.Findings[i].ID) != want {
			t.Errorf("finds %v", more.Findings)
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
