package tend

import (
	"fmt"
	"reflect"
	"slices"
	"testing"
	"time"

	"raftwright/bed"
	"raftwright/plan"
	ills "raftwright/trouble"
)

// What a log taught a plan is where the same log is followed on from for its state. What is not the same log of the same bed is followed from nothing.
func TestFollowedOnWhereItIsTheSameBed(t *testing.T) {
	p, log, now := invented(t, 12)
	var known Followed
	learned := known.Learn(&p, log)
	if got := Learn(&p, log); got != learned {
		t.Errorf("learns %v, else %v", learned, got)
	}
	before := func(change func(bed.Log) bed.Log) *estimate {
		v := slices.Clone(log)
		if change != nil {
			v = change(v)
		}
		return known.find(newHistory(&p, v, now), penOf(&p, v), v)
	}
	if before(nil) == nil {
		t.Fatal("the same log is not known")
	}
	for what, change := range map[string]func(bed.Log) bed.Log{
		"an earlier reading is another": func(v bed.Log) bed.Log { v[3].Read.PH.Value += 0.1; return v },
		"an earlier reading is gone":    func(v bed.Log) bed.Log { v[3].Read.Depth.Given = false; return v },
		"an earlier deed is another": func(v bed.Log) bed.Log {
			v[3].Done = append(slices.Clone(v[3].Done), bed.AddedWater{Volume: 1})
			return v
		},
		"a deed after the last reading is another": func(v bed.Log) bed.Log {
			v[len(v)-1].Done = append(slices.Clone(v[len(v)-1].Done), bed.AddedWater{Volume: 1})
			return v
		},
		"it is shorter":   func(v bed.Log) bed.Log { return v[:len(v)-1] },
		"it is longer":    func(v bed.Log) bed.Log { return append(v, bed.Visit{At: now}) },
		"it begins later": func(v bed.Log) bed.Log { return v[1:] },
	} {
		if before(change) != nil {
			t.Errorf("the log is known though %s", what)
		}
	}
	e := before(nil)
	got, faults := Make(Job{Plan: p, Log: log, Now: now, Followed: &known})
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	if before(nil) != e || !reflect.DeepEqual(got.estimate.shares, e.shares) {
		t.Error("a log that is known is followed from nothing")
	}
	water := *p.Water
	water.Solution.Totals.Ca *= 2
	p.Water = &water
	if before(nil) != nil {
		t.Error("the log is known though the bed has other water")
	}
}

// sameAtEachVisit wants of a log, cut after each of its visits, the same of it whether it is followed from nothing, or from where it taught the plan something,
// or with what every log before it told remembered; and the same stories an hour later.
func sameAtEachVisit(t *testing.T, p plan.Plan, log bed.Log, troubles ills.Book) (visits int) {
	t.Helper()
	var all Followed
	for n := 1; n <= len(log); n++ {
		visits++
		of := func(f *Followed, later time.Duration) *Tending {
			got, faults := Make(Job{Plan: p, Log: slices.Clone(log[:n]), Now: log[n-1].At.Add(time.Hour + later), Troubles: troubles, Followed: f})
			if len(faults) > 0 {
				t.Fatal(faults)
			}
			return got
		}
		var taught Followed
		taught.Learn(&p, slices.Clone(log[:n]))
		cold, hour := of(nil, 0), of(nil, time.Hour)
		for from, on := range map[string]*Tending{"what it taught": of(&taught, 0), "the visits before": of(&all, 0)} {
			if !reflect.DeepEqual(on.State, cold.State) || !reflect.DeepEqual(on.Leak, cold.Leak) || !reflect.DeepEqual(on.Actions, cold.Actions) || !reflect.DeepEqual(on.Readings, cold.Readings) {
				t.Errorf("visit %d: from %s EC %.4f, pH %.3f, a leak %.3f: %s; from nothing %.4f, %.3f, %.3f: %s", n, from, on.State.EC.Value, on.State.PH.Value, on.Leak.Probability, told(on.Actions),
					cold.State.EC.Value, cold.State.PH.Value, cold.Leak.Probability, told(cold.Actions))
			}
		}
		if !reflect.DeepEqual(hour.estimate.shares, cold.estimate.shares) || hour.Leak.Probability != cold.Leak.Probability || !reflect.DeepEqual(hour.Readings, cold.Readings) {
			t.Errorf("visit %d: an hour later the same log tells of a leak %.3f, before %.3f", n, hour.Leak.Probability, cold.Leak.Probability)
		}
	}
	return visits
}

// Logs in which several stories lie near each other tell the same however they came to be followed: once one of them had EC 0.74 and pH 7.3 by the way of the
// pages, and 0.70 and 6.5 from nothing.
func TestHostileLogsTellTheSameFromWhereverFollowed(t *testing.T) {
	visits := 0
	for n := 1; n <= 12; n++ {
		if testing.Short() && n%6 != 1 {
			continue // the check follows each
		}
		name := fmt.Sprintf("%02d", n)
		t.Run(name, func(t *testing.T) {
			p, log, troubles := hostileBed(t, name)
			visits += sameAtEachVisit(t, p, log, troubles)
		})
	}
	t.Log(visits, "visits")
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
