package tend

import (
	"reflect"
	"slices"
	"testing"

	"raftwright/bed"
)

// What a log taught a plan is where the same log is followed from for its state, and a log with a visit more from there on: with one set of tangents
// where nothing changes much. What is not the same log of the same bed is followed from nothing.
func TestFollowedOnWhereItIsTheSameBed(t *testing.T) {
	p, log, now := invented(t, 12)
	short := log[:len(log)-1]
	var known Followed
	learned := known.Learn(&p, short)
	if got := Learn(&p, short); got != learned {
		t.Errorf("learns %v, else %v", learned, got)
	}
	before := func(change func(bed.Log) bed.Log) *former {
		v := slices.Clone(log)
		if change != nil {
			v = change(v)
		}
		h := newHistory(&p, v, now)
		f, _ := known.find(h, penOf(&p, v), v)
		return f
	}
	if f := before(nil); f == nil {
		t.Fatalf("a log with a visit more is not known: %v", f)
	}
	for what, change := range map[string]func(bed.Log) bed.Log{
		"an earlier reading is another": func(v bed.Log) bed.Log { v[3].Read.PH.Value += 0.1; return v },
		"an earlier reading is gone":    func(v bed.Log) bed.Log { v[3].Read.Depth.Given = false; return v },
		"an earlier deed is another": func(v bed.Log) bed.Log {
			v[3].Done = append(slices.Clone(v[3].Done), bed.AddedWater{Volume: 1})
			return v
		},
		"it is shorter":   func(v bed.Log) bed.Log { return v[:len(v)-2] },
		"it begins later": func(v bed.Log) bed.Log { return v[1:] },
	} {
		if before(change) != nil {
			t.Errorf("the log is known though %s", what)
		}
	}
	if f := before(func(v bed.Log) bed.Log {
		v[len(v)-2].Done = append(slices.Clone(v[len(v)-2].Done), bed.AddedWater{Volume: 1})
		return v
	}); f == nil {
		t.Error("the log is not known though only what was done after its last reading is another")
	}
	got, faults := Make(Job{Plan: p, Log: log, Now: now, Followed: &known})
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	if f := got.estimate.h.former; f == nil || len(got.estimate.h.talesOf(got.estimate.best.supposal)) == 0 {
		t.Error("a log with a visit more is followed from nothing")
	}
	water := *p.Water
	water.Solution.Totals.Ca *= 2
	p.Water = &water
	if before(nil) != nil {
		t.Error("the log is known though the bed has other water")
	}
}

// One hand and two tell the same to the last digit.
func TestOneHandTellsTheSame(t *testing.T) {
	p, log, now := invented(t, 12)
	told := func(f *Followed) State {
		got, faults := Make(Job{Plan: p, Log: log, Now: now, Followed: f})
		if len(faults) > 0 {
			t.Fatal(faults)
		}
		if f != nil && got.estimate.h.alone != f.Alone {
			t.Error("who is to work alone does not")
		}
		return got.State
	}
	if two, one := told(nil), told(&Followed{Alone: true}); !reflect.DeepEqual(two, one) {
		t.Errorf("%+v by two, %+v by one", two, one)
	}
}
