package tend

import (
	"slices"
	"testing"

	"raftwright/bed"
	"raftwright/brief"
	"raftwright/unit"
)

// What was in a bed before it was filled anew shows in no reading after that: whatever was poured before, a log whose first reading comes
// after a filling tells the same. (A balance: what is emptied is gone.)
func TestWhatWasEmptiedIsGone(t *testing.T) {
	p, log, now := invented(t, 9)
	filled := bed.Visit{At: log[0].At, Done: log[0].Done}
	of := func(before ...bed.Happening) State {
		v := slices.Clone(log)
		v[0].Done = slices.Clone(v[0].Done)
		v[1].Read, v[1].Done = bed.Readings{}, before
		v[2].Read, v[2].Done = bed.Readings{}, filled.Done[:1]
		got, faults := Make(Job{Plan: p, Log: v, Now: now})
		if len(faults) > 0 {
			t.Fatal(faults)
		}
		for _, f := range got.estimate.stories {
			for _, u := range f.list {
				if u.from < 2 || u.kind == unAct && u.index < got.estimate.h.visits[2].first || u.kind == unAir && u.index <= 2 {
					t.Errorf("%v is open, which no reading shows", u)
				}
			}
			if f.wrong != noProduct {
				t.Error("a first dose that is gone is looked into")
			}
		}
		return got.State
	}
	plain := of()
	for _, before := range [][]bed.Happening{{bed.AddedWater{Volume: 60 * unit.Litre}}, {bed.AddedProduct{Product: "powder", Amount: brief.Amount{Mass: 300 * unit.Gram}}},
		{bed.Dumped{Volume: 100 * unit.Litre}, bed.AddedSolution{Volume: 40 * unit.Litre, Strength: 1}}} {
		got := of(before...)
		close(t, "volume", got.Volume.Value, plain.Volume.Value, 1e-4)
		close(t, "EC", got.EC.Value, plain.EC.Value, 1e-4)
		close(t, "pH", got.PH.Value, plain.PH.Value, 1e-4)
		for _, s := range Substances() {
			close(t, string(s), got.Holds[s].Value, plain.Holds[s].Value, 1e-4)
			close(t, "the least "+string(s), got.Holds[s].Low, plain.Holds[s].Low, 1e-3*plain.Holds[s].Value)
		}
	}
}

// A bed whose water is gone is past its level first: the strength of what is left in its folds is no figure to act on.
func TestEmptyBedIsPastItsLevel(t *testing.T) {
	for name, last := range map[string]string{"11": "depth: 7-3/8 in, added water: 5 gal, roots: white}\n", "10": "ph: 6.5, rain: 0 in}\n"} {
		for _, done := range []string{"dumped: 80 gal", "dumped: 200 gal"} {
			if got := hostile(t, name, last, last+"  - {at: 2027-04-29T08:00, "+done+"}\n").IfNothing; got.Limit != LimitLevel {
				t.Errorf("%s, %s: %s on %v", name, done, got.Limit, got.At)
			}
		}
	}
}
