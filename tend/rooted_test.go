package tend

import (
	"testing"
	"time"

	"raftwright/bed"
)

// What turns urea and ammonium lives on roots and liner: in a bed filled anew under standing heads it goes on, in one whose heads were cut before it begins anew.
func TestRootsKeepWhatTurnsUrea(t *testing.T) {
	p, log, _ := hostileBed(t, "11")
	at := log[len(log)-1].At.AddDate(0, 0, 1)
	for _, c := range []struct {
		before []bed.Happening
		since  float64
	}{{nil, 17.5}, {[]bed.Happening{bed.Harvested{Heads: 14}}, 0.5}} {
		list := append(append(bed.Log{}, log...), bed.Visit{At: at.Add(-time.Hour), Done: c.before}, bed.Visit{At: at, Done: []bed.Happening{bed.Filled{}}})
		h := newHistory(&p, list, at.AddDate(0, 0, 3))
		close(t, "days since it began", h.spans[len(h.spans)-1].steps[0].since, c.since, 1e-9)
		close(t, "days since the filling", h.after(h.visits[len(h.visits)-1].at)-h.filled, 3, 1e-9)
		if ahead := h.ahead(at.AddDate(0, 0, 3), 1, If{}); ahead.since != c.since+2.5 {
			t.Errorf("%v days of it lie behind the days ahead", ahead.since)
		}
	}
}

// A bed that is filled anew with a mix which would rise out of the range of pH is soured at once and looked at the day after; where nobody reads the pH it is not.
func TestRefillIsSoured(t *testing.T) {
	got := hostile(t, "08", "2026-12-19", "2026-10-19", "2027-01-03", "2026-10-29")
	acid, soured := got.does(DoAcid)
	if !soured || !does(got, DoRefill) || acid.Why != WhySharpMix || got.After.PH < 5.2 || got.NextCheck.Sub(got.State.At).Hours() > 25 {
		t.Errorf("%+v, then %.2f, again %v", got.Actions, got.After.PH, got.NextCheck)
	}
	if got := hostile(t, "11"); !does(got, DoRefill) || does(got, DoAcid) {
		t.Errorf("%+v", got.Actions)
	}
}
