package tend

import (
	"slices"
	"testing"
	"time"

	"raftwright/bed"
	"raftwright/brief"
	"raftwright/unit"
)

// Before a leak is told or let go the depth is measured again, from a chance of 0.15 on; read twice, it is looked for from 0.35 on. At 0.985 another reading would change
// nothing. What is to be poured waits behind it. (Own judgment; what comes of it docs/tend.md has.)
func TestLeakIsLookedForOnceTheDepthWasReadTwice(t *testing.T) {
	p, log, now := invented(t, 8)
	got, faults := Make(Job{Plan: p, Log: log, Now: now})
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	a := newAdviser(got.estimate, If{}, 2)
	asked := func() (read, look bool) {
		list := a.again(got.Leak, append([]Action{{Do: DoWater}}, a.besides(got, remedy{})...))
		at := slices.IndexFunc(list, func(x Action) bool { return x.Do == DoRead && x.Product == "depth" && x.Why == WhyMayLeak })
		return at == 0, slices.ContainsFunc(list, func(x Action) bool { return x.Do == DoLook })
	}
	got.Leak.Rate.Value = 7
	for _, c := range []struct{ chance, once, twice float64 }{{0.14, 0, 0}, {0.16, 1, 0}, {0.34, 1, 0}, {0.36, 1, 2}, {0.98, 1, 2}, {0.99, 2, 2}} {
		got.Leak.Probability = c.chance
		for _, hours := range [...]int{0, 2, 11} {
			end := a.h.visits[len(a.h.visits)-1].from
			end.Read.Depth, a.h.visits[len(a.h.visits)-2].at = brief.Field[unit.Length]{}, now.Add(-24*time.Hour)
			want := c.once
			if hours > 0 {
				end.Read.Depth, a.h.visits[len(a.h.visits)-2].at = log[1].Read.Depth, now.Add(-time.Duration(hours)*time.Hour)
				want = c.twice
			}
			if read, look := asked(); read != (want == 1) || look != (want == 2) {
				t.Errorf("a leak of chance %v, the depth read once more after %d hours: read again %v, looked for %v", c.chance, hours, read, look)
			}
		}
	}
}

// Rain that nobody wrote down between two readings of one hour is that of an hour: a bed whose depth is measured again holds no more than before.
func TestNoRainBetweenTwoReadings(t *testing.T) {
	p, log, _ := invented(t, 8)
	at := log[len(log)-1].At
	h := newHistory(&p, append(slices.Clone(log), bed.Visit{At: at.Add(5 * time.Minute)}), at.Add(time.Hour))
	if s := h.spans[len(log)]; s.rain.noted || s.rain.usual > 0.03*h.area {
		t.Errorf("%.2f mm in five minutes", s.rain.usual/h.area)
	}
	if s := h.between(at, at.AddDate(0, 0, 2), &bed.Readings{}); s.rain.usual < 1.8*h.area {
		t.Errorf("%.2f mm in two days", s.rain.usual/h.area)
	}
}
