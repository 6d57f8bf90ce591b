package tend

import (
	"fmt"
	"slices"
	"testing"
	"time"

	"raftwright/unit"
)

// stood is a bed of 4 x 8 ft that stood at 5 in and reads so many inches on the fifth day, twice where that is said.
func stood(t *testing.T, inches float64, twice bool) *Tending {
	t.Helper()
	log := "  - {at: 2027-04-10T08:00, filled: yes, planted: {heads: 60, crop: lettuce, age: 21 d}}\n" +
		"  - {at: 2027-04-12T08:00, depth: 5 in, ec: 1.85 mS/cm, ph: 6.2}\n  - {at: 2027-04-14T08:00, depth: 124 mm, ec: 1.85 mS/cm, ph: 6.2}\n" +
		fmt.Sprintf("  - {at: 2027-04-15T08:00, depth: %g in}\n", inches)
	if twice {
		log += fmt.Sprintf("  - {at: 2027-04-15T08:20, depth: %g in}\n", inches)
	}
	p, visits := fallen{vessel: vessels[0], water: "hard"}.made(t, log)
	got, faults := Make(Job{Plan: p, Log: visits, Now: visits[len(visits)-1].At.Add(time.Hour)})
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	return got
}

// does gives what is to be done, and why.
func (t *Tending) does(d Deed) (Action, bool) {
	at := slices.IndexFunc(t.Actions, func(a Action) bool { return a.Do == d })
	if at < 0 {
		return Action{}, false
	}
	return t.Actions[at], true
}

// poured says whether anything is to be poured in or out.
func poured(t *Tending) bool {
	return slices.ContainsFunc(t.Actions, func(a Action) bool { return a.Volume > 0 || a.Mass > 0 || a.Liquid > 0 })
}

// A bed that stands at nothing, or at less than a third, by the morning: the first such depth is read again, with what it means if it is so, or believed at once, and nothing is dosed
// for a full bed meanwhile. Read again and the same it is believed: the hole comes first, the roots are kept wet, and what would be gone by tomorrow is not poured.
func TestBedThatDrained(t *testing.T) {
	for _, inches := range [...]float64{0, 0.5, 1.5} {
		once := stood(t, inches, false)
		read, reads := once.does(DoRead)
		look, looks := once.does(DoLook)
		if !reads && !looks || reads && (read.Why != WhyLow || read.Product != "depth") || looks && look.Why != WhyDrained || poured(once) || once.NextCheck.Sub(once.Visit.At) > 26*time.Hour {
			t.Errorf("at %g in once: %+v, look again %v", inches, once.Actions, once.NextCheck)
		}
		if v, _ := read.Args["Volume"].(unit.Volume); reads && (v.Gallons() < 95*(5-inches)/5 || v.Gallons() > 107*(5-inches)/5) { // 102 gal stand in it at 5 in
			t.Errorf("at %g in it takes %.0f gal to the mark", inches, v.Gallons())
		}
		twice := stood(t, inches, true)
		if a, ok := twice.does(DoLook); !ok || a.Why != WhyDrained || len(twice.Actions) != 1 || twice.Leak.Probability < 0.95 || twice.State.Depth.Value > 25.4*inches+6 {
			t.Errorf("at %g in twice: %+v, a leak %.2f, it stands at %.0f mm", inches, twice.Actions, twice.Leak.Probability, twice.State.Depth.Value)
		}
		allFigures(t, once)
		allFigures(t, twice)
	}
}

// From an inch a day on a leak cannot wait: water keeps the roots wet, all else waits until the hole is shut. From half of the bed a day on water does not last.
func TestHowFastItRunsOut(t *testing.T) {
	x := fallen{vessels[0], "hard", 12.7, 3, 2, false}
	p, log := x.log(t, 8)
	got, faults := Make(Job{Plan: p, Log: log, Now: log[len(log)-1].At})
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	if a, ok := got.does(DoWater); !ok || a.Volume.Gallons() < 30 {
		t.Errorf("at half an inch a day: %+v", got.Actions)
	}
	for _, c := range []struct {
		share, mm  float64
		why        string
		water, not bool
	}{{0.51, 25.3, "leak", false, true}, {0.51, 25.5, "hole", true, false}, {0.49, 25.5, "", false, true}, {0.51, 63, "hole", true, false}, {0.51, 64, "drained", false, false}} {
		a := newAdviser(got.estimate, If{}, 2)
		a.wanted = map[trouble]bool{{LimitPH, 1}: true, {LimitLevel, -1}: true}
		l := Leak{Probability: c.share, Rate: Range{Value: c.mm * a.h.area}}
		r, waits := a.patch(l)
		if waits == c.not || (r.water > 0) != c.water || waits && (a.wanted[trouble{LimitPH, 1}] || !a.waits) {
			t.Errorf("%+v: %v, %.0f L of water, %v", c, waits, r.water, a.wanted)
		}
		if why := a.search(l).Why; c.why != "" && string(why) != "tend.why."+c.why {
			t.Errorf("%+v: %s", c, why)
		}
	}
}

// A depth that was set aside half an inch and more below what was expected is told as what may be a leak; doses wait where it is under three quarters of that.
func TestALowDepthIsReadAgain(t *testing.T) {
	got := stood(t, 1.5, false)
	a := newAdviser(got.estimate, If{}, 2)
	last := &a.e.best.reads[len(a.e.best.reads)-1]
	if last.kind != readDepth {
		t.Fatal("the last reading is no depth")
	}
	as := func(told, read float64) {
		last.value, last.off, last.good = read, read-told, 0.1
	}
	for by, want := range map[float64]string{12.5: "slip", 12.9: "low"} {
		as(120, 120-by)
		if why := a.reads("depth").Why; string(why) != "tend.why."+want {
			t.Errorf("%.1f mm lower: %s", by, why)
		}
	}
	if as(120, 140); a.reads("depth").Why != WhySlip {
		t.Error("a depth that lies higher is told as a leak")
	}
	for share, want := range map[float64]bool{0.74: true, 0.76: false} {
		as(120, 120*share)
		a.wanted = map[trouble]bool{{LimitPH, 1}: true}
		if _, waits := a.patch(Leak{}); waits != want || a.wanted[trouble{LimitPH, 1}] == want {
			t.Errorf("at %.2f of what was expected doses wait: %v", share, waits)
		}
	}
}
