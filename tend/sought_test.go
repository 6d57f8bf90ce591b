package tend

import (
	"math"
	"testing"
	"time"
)

// dripping is a bed of 4 x 8 ft that loses some 2 mm a day beside what is drunk, from the third day on, with what was done at its visits on day 6 and 8.
func dripping(t *testing.T, sixth, eighth string) *Tending {
	t.Helper()
	log := "  - {at: 2027-04-10T08:00, filled: yes, planted: {heads: 60, crop: lettuce, age: 21 d}}\n" +
		"  - {at: 2027-04-12T08:00, depth: 125 mm, ec: 1.9 mS/cm, ph: 6.3, rain: 0 mm}\n" +
		"  - {at: 2027-04-14T08:00, depth: 121 mm, ec: 1.9 mS/cm, ph: 6.3, rain: 0 mm}\n" +
		"  - {at: 2027-04-16T08:00, depth: 116 mm, ec: 1.9 mS/cm, ph: 6.3, rain: 0 mm" + sixth + "}\n" +
		"  - {at: 2027-04-18T08:00, depth: 112 mm, ec: 1.9 mS/cm, ph: 6.3, rain: 0 mm" + eighth + "}\n"
	p, visits := fallen{vessel: vessels[0], water: "hard"}.made(t, log)
	got, faults := Make(Job{Plan: p, Log: visits, Now: visits[len(visits)-1].At.Add(10 * time.Minute)})
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	return got
}

func odds(p float64) float64 { return p / (1 - p) }

// Who looked for a leak and found none has a leak that began before made as much less likely as a look misses one; who looked before it began, not. Who found
// one and patched it has none, and the days ahead lose nothing to it. (The shares are a judgment; that they are what counts is tested.)
func TestALeakThatWasLookedFor(t *testing.T) {
	plain := dripping(t, "", "")
	if p := plain.Leak.Probability; p < 0.3 || p > 0.999 {
		t.Fatalf("the bed that drips leaks by %.3f: no test of what a look tells", p)
	}
	none := dripping(t, "", ", leak: none")
	if got := odds(none.Leak.Probability) / odds(plain.Leak.Probability); math.Abs(got-missedDrip) > 0.05 {
		t.Errorf("nothing found: the odds of a leak are %.2f of what they were, wanted about %g (%.3f, %.3f)", got, missedDrip, plain.Leak.Probability, none.Leak.Probability)
	}
	twice := dripping(t, ", leak: none", ", leak: none")
	if a, b := twice.Leak.Probability, none.Leak.Probability; math.Abs(a-b) > 0.02 {
		t.Errorf("looked twice at the same places: %.3f, once %.3f", a, b)
	}
	if look, is := none.does(DoLook); is && look.Why != WhyLeakStill {
		t.Errorf("just looked, and asked to look again as if nobody had: %+v", look)
	}
	patched := dripping(t, "", ", leak: patched")
	if p := patched.Leak.Probability; p > 0.1 {
		t.Errorf("patched, and leaks by %.2f", p)
	}
	if _, is := patched.does(DoLook); is {
		t.Error("patched, and to be looked for")
	}
	n := min(4, len(plain.Forecast), len(patched.Forecast)) - 1
	if a, b := plain.Forecast[n].Volume.Value, patched.Forecast[n].Volume.Value; b < a+4 { // some 6 L a day
		t.Errorf("on day %d it holds %.0f L where the leak goes on, %.0f L where it was patched", n, a, b)
	}
}
