package tend

import (
	"slices"
	"testing"
	"time"

	"raftwright/bed"
	"raftwright/brief"
	"raftwright/unit"
)

// Before a leak is told or let go the depth is measured again, from a chance of 0.10 on; read twice, it is looked for from 0.30 on. At 0.985 another reading would change
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
	got.Leak.Probability, got.Leak.Worth = 0.37, 0.09 // what else it may lose is not worth a look
	if read, look := asked(); read || look {
		t.Errorf("of a leak that likely loses less than a gallon: read again %v, looked for %v", read, look)
	}
	for _, c := range []struct{ chance, once, twice float64 }{{0.09, 0, 0}, {0.11, 1, 0}, {0.29, 1, 0}, {0.31, 1, 2}, {0.98, 1, 2}, {0.99, 2, 2}} {
		got.Leak.Probability, got.Leak.Worth = c.chance, c.chance
		for _, hours := range [...]int{0, 2, 11} {
			end := a.h.visits[len(a.h.visits)-1].from
			end.Read.Depth, a.h.visits[len(a.h.visits)-2].at = brief.Field[unit.Length]{}, now.Add(-24*time.Hour)
			want := c.once
			if hours > 0 {
				end.Read.Depth, a.h.visits[len(a.h.visits)-2].at = log[len(log)-1].Read.Depth, now.Add(-time.Duration(hours)*time.Hour)
				want = c.twice
			}
			if read, look := asked(); read != (want == 1) || look != (want == 2) {
				t.Errorf("a leak of chance %v, the depth read once more after %d hours: read again %v, looked for %v", c.chance, hours, read, look)
			}
		}
	}
}

// Two readings of one depth a quarter inch apart and more do not tell which of them slipped: a third does. (Own judgment.)
func TestThirdReadingTellsWhichSlipped(t *testing.T) {
	for _, c := range []struct {
		mm    []float64
		twice bool
	}{{[]float64{120}, false}, {[]float64{120, 126}, true}, {[]float64{120, 113}, false}, {[]float64{120, 94.6}, false}, {[]float64{120, 94.6, 94}, true}, {[]float64{94, 120, 94.6}, true},
		{[]float64{120, 94.6, 107}, true}} {
		at := time.Date(2027, 5, 1, 8, 0, 0, 0, time.UTC)
		h := &history{}
		for k, mm := range append([]float64{121}, c.mm...) {
			v := &bed.Visit{}
			v.Read.Depth = brief.Field[unit.Length]{Value: unit.Length(mm) * unit.Millimetre, Given: true}
			when := at.Add(time.Duration(5*k) * time.Minute)
			if k == 0 {
				when = at.Add(-48 * time.Hour)
			}
			h.visits = append(h.visits, visit{at: when, from: v})
		}
		if got := h.depthTwice(); got != c.twice {
			t.Errorf("%v mm: measured often enough %v", c.mm, got)
		}
	}
}

// A leak that loses less than a gallon a day is not looked for, and one of two is, as likely as it loses one or more by the table of the normal distribution
// (below -1 standard deviation 0.1587; NIST/SEMATECH e-Handbook of Statistical Methods, section 1.3.6.7.1).
func TestLeakWorthLookingFor(t *testing.T) {
	p, log, now := invented(t, 8)
	got, faults := Make(Job{Plan: p, Log: log, Now: now})
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	drips := []draining{{share: 0.8, rate: leastWorth + 1, sd: 1}}
	close(t, "that loses less", below(drips, leastWorth), 0.8*0.1587, 1e-4)
	a := newAdviser(got.estimate, If{}, 2)
	for _, c := range []struct {
		worth float64
		look  bool
	}{{0.29, false}, {0.31, true}} {
		got.Leak = Leak{Probability: 0.995, Rate: Range{Value: 3}, Worth: c.worth}
		if look := slices.ContainsFunc(a.besides(got, remedy{}), func(x Action) bool { return x.Do == DoLook }); look != c.look {
			t.Errorf("a leak of a gallon or more of chance %v: looked for %v", c.worth, look)
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
