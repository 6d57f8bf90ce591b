package tend_test

import (
	"math"
	"slices"
	"testing"

	"raftwright/tend"
)

// A log that is followed on from where it was followed before tells what it tells from nothing. How near that is: a fit ends where a pass moves nothing
// by more than a twentieth of a standard deviation, and what forty passes with tangents of their own find lies as far from the one as from
// the other (middle of 144 visits: 0.05 and 0.07 of half the band, for the figure of each that is farthest off).
func TestFollowedOnTellsTheSame(t *testing.T) {
	n, days := 6, 30.0
	if testing.Short() {
		n, days = 1, 14
	}
	var off []float64 // each figure, over half its band
	visits, leaks, acts := 0, 0, 0
	for i := range n {
		g := invent(t, 7000+i, i%3 == 0)
		var known tend.Followed
		g.until(days, func() {
			job := tend.Job{Plan: g.plan, Log: slices.Clone(g.log), Now: g.log[len(g.log)-1].At}
			cold := tended(t, job)
			job.Log, job.Followed = slices.Clone(g.log), &known
			on := tended(t, job)
			visits++
			off = append(off, apart(&cold.State, &on.State)...)
			if math.Abs(cold.Leak.Probability-on.Leak.Probability) <= 0.1 {
				leaks++
			}
			if slices.EqualFunc(cold.Actions, on.Actions, func(x, y tend.Action) bool { return x.Do == y.Do && x.Product == y.Product }) {
				acts++
			}
		})
	}
	slices.Sort(off)
	at := func(share float64) float64 { return off[int(share*float64(len(off)-1))] }
	t.Logf("%d visits: of half their bands figures are apart %.3f in the middle, %.3f nine times in ten, %.3f at most; leaks alike %d, advice %d", visits, at(0.5), at(0.9), at(1), leaks, acts)
	if at(0.5) > 0.02 || at(0.9) > 0.15 || leaks < visits*93/100 || acts < visits*90/100 {
		t.Error("what is followed on tells something else")
	}
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

// apart gives by how much of the half of their bands the figures of two states differ.
func apart(a, b *tend.State) (off []float64) {
	hear := func(x, y tend.Range) {
		if half := (x.High - x.Low) / 2; half > 0 {
			off = append(off, math.Abs(x.Value-y.Value)/half, math.Abs(x.Low-y.Low)/half, math.Abs(x.High-y.High)/half)
		}
	}
	hear(a.Volume, b.Volume)
	hear(a.EC, b.EC)
	hear(a.PH, b.PH)
	for s, r := range a.Holds {
		hear(r, b.Holds[s])
	}
	return off
}
