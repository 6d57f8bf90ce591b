package tend

import (
	"math"
	"slices"
	"testing"

	"raftwright/chem"
)

// Between visits that were gathered three days are lived at once: nothing of what grows, is drunk or dries gets lost, and the bed comes out
// as it does by single days: the volume to a hundredth, pH to 0.03, ions to 3 in a hundred of what the mix has, or 0.06 mmol/L (own choice: a third of
// the band with which they are known at best). This bed is fed little and hungry, which is the hardest for it.
func TestGatheredDaysAreLivedAtOnce(t *testing.T) {
	p, log, now := invented(t, 64)
	short := shorten(log)
	h := newHistory(&p, short, now)
	single := *h
	single.spans = slices.Clone(h.spans)
	for i := 1; i < gathered; i++ {
		s := single.between(h.visits[i-1].at, h.visits[i].at, &h.visits[i].from.Read)
		single.spans[i] = s
		var one, other day
		for _, d := range s.steps {
			one.days, one.drinks, one.dries, one.grows.of[1] = one.days+d.days, one.drinks+d.drinks, one.dries+d.dries, one.grows.of[1]+d.grows.of[1]
		}
		for _, d := range h.spans[i].steps {
			other.days, other.drinks, other.dries, other.grows.of[1] = other.days+d.days, other.drinks+d.drinks, other.dries+d.dries, other.grows.of[1]+d.grows.of[1]
		}
		for _, x := range [][2]float64{{one.days, other.days}, {one.drinks, other.drinks}, {one.dries, other.dries}, {one.grows.of[1], other.grows.of[1]}} {
			close(t, "what the days of a span come to", x[1], x[0], 1e-9*(1+x[0]))
		}
		if want := (len(s.steps) + atOnce - 1) / atOnce; len(h.spans[i].steps) != want {
			t.Errorf("%d steps for %d days", len(h.spans[i].steps), len(s.steps))
		}
	}
	single.settle()
	k, err := chem.At(standard)
	if err != nil {
		t.Fatal(err)
	}
	end := func(h *history) moment {
		list := h.unknowns(pens{ecGain: 0.05, phBias: 0.2}, supposal{leakFrom: -1, wrong: noProduct}, readings{true, true})
		f := &fitted{list: list, x: make([]float64, len(list)), nears: make([]near, len(h.visits))}
		if err := f.beginPlanned(h, k); err != nil {
			t.Fatal(err)
		}
		h.set(list, f.x, supposal{leakFrom: -1, wrong: noProduct}, &f.setting)
		for range 2 {
			h.live(&f.setting, f.nears, &f.run, 0, nil)
			h.about(k, &f.run, f.nears, false)
		}
		h.live(&f.setting, f.nears, &f.run, 0, nil)
		return f.run.moments[gathered-1]
	}
	a, b := end(h), end(&single)
	close(t, "volume", a.before.volume, b.before.volume, 0.01*b.before.volume)
	close(t, "pH", pHof(a.h), pHof(b.h), 0.03)
	for i := range ions {
		close(t, "ion", a.before.in[i], b.before.in[i], 0.03*max(math.Abs(b.before.in[i]), math.Abs(h.planned[i]*b.before.volume), 2*b.before.volume))
	}
}
