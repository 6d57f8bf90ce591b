package tend_test

import (
	"os"
	"reflect"
	"slices"
	"testing"

	"raftwright/tend"
)

// A log that is followed on from what it taught tells at each visit what it tells from nothing, to the last digit: of strangers and of kin, sound and leaking.
func TestFollowedOnTellsTheSame(t *testing.T) {
	n, days := 3, 30.0
	switch {
	case os.Getenv("RAFTWRIGHT_BEDS") != "":
		n = 6
	case testing.Short():
		n, days = 1, 14
	}
	visits := 0
	for i := range n {
		for _, g := range []*grower{invent(t, 7000+i, i%3 == 0), inventKin(t, 7000+i, i%3 == 1)} {
			g.until(days, func() {
				visits++
				var known tend.Followed
				known.Learn(&g.plan, slices.Clone(g.log))
				job := tend.Job{Plan: g.plan, Log: slices.Clone(g.log), Now: g.log[len(g.log)-1].At}
				cold := tended(t, job)
				job.Log, job.Followed = slices.Clone(g.log), &known
				if on := tended(t, job); !reflect.DeepEqual(on.State, cold.State) || !reflect.DeepEqual(on.Leak, cold.Leak) || !reflect.DeepEqual(on.Actions, cold.Actions) {
					t.Errorf("bed %d, day %.0f: followed on %+v, from nothing %+v", 7000+i, g.day, on.State, cold.State)
				}
			})
		}
	}
	t.Log(visits, "visits")
}

// tended answers a question that has an answer.
func tended(t *testing.T, j tend.Job) *tend.Tending {
	t.Helper()
	got, faults := tend.Make(j)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	return got
}
