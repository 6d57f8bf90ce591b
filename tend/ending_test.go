package tend

import (
	"math"
	"testing"

	"raftwright/chem"
)

// A search ends where a step gains nothing that is told: another that goes on from there finds a story likelier by less than half a unit of its logarithm, and of which volume and EC
// are told within half a percent of it, and potassium, which is known to some 15 %, within five.
func TestSearchEndsWhereNothingIsGained(t *testing.T) {
	k, err := chem.At(standard)
	if err != nil {
		t.Fatal(err)
	}
	none := supposal{leakFrom: -1, wrong: noProduct}
	for _, is := range []supposal{none, {leakFrom: 7, wrong: noProduct}, {leakFrom: -1, wrong: 0}} {
		p, log, now := invented(t, 14)
		readAs(t, &p, log, now, is)
		pens := penOf(&p, log)
		h, reads := newHistory(&p, log, log[len(log)-1].At), readingsOf(log, pens)
		f, err := h.fit(k, pens, is, reads, nil, opening{})
		if err != nil {
			t.Fatal(err)
		}
		g, err := h.fit(k, pens, is, reads, f, opening{})
		if err != nil {
			t.Fatal(err)
		}
		a, b := f.figures(&f.run.moments[len(f.run.moments)-1]), g.figures(&g.run.moments[len(g.run.moments)-1])
		if g.evidence > f.evidence+hopes/2 || f.open >= hopes || math.Abs(a.volume-b.volume) > 0.005 || math.Abs(a.ec-b.ec) > 0.005 || math.Abs(a.in[potassium]-b.in[potassium]) > 0.05 {
			t.Errorf("%+v: evidence %.2f, then %.2f; open %.2f; volume %.3f, EC %.3f, potassium %.3f off", is, f.evidence, g.evidence, f.open, b.volume-a.volume, b.ec-a.ec, b.in[potassium]-a.in[potassium])
		}
	}
}

// A hole that explains a log ends the search: nobody would hear of a story without one, which is not told; that of a sound log goes on.
func TestHoleEndsTheSearch(t *testing.T) {
	k, err := chem.At(standard)
	if err != nil {
		t.Fatal(err)
	}
	const visits = 30
	none := supposal{leakFrom: -1, wrong: noProduct}
	for _, is := range []supposal{none, {leakFrom: 2*visits - 7, wrong: noProduct, hole: true}} {
		p, log, now := invented(t, visits)
		readAs(t, &p, log, now, is)
		pens := penOf(&p, log)
		h, reads := newHistory(&p, log, log[len(log)-1].At), readingsOf(log, pens)
		first, err := h.fit(k, pens, none, reads, nil, opening{stops: true})
		if err != nil {
			t.Fatal(err)
		}
		e := &estimate{h: h, pens: pens}
		told := false
		if first.stopped {
			if told, err = e.drips(k, none, reads); err == nil && !told {
				told, err = e.gapes(k, first, reads)
			}
		}
		if err != nil || told != is.hole {
			t.Fatalf("%+v: stopped %v, told %v (%v)", is, first.stopped, told, err)
		}
		if !told {
			continue
		}
		whole, err := h.fit(k, pens, none, reads, nil, opening{})
		if err != nil || !e.best.hole || whole.evidence+math.Log((1-priorLeak)*(1-priorWrong)) > e.top()-unheard {
			t.Errorf("without a hole %.1f, with one %.1f (%v)", whole.evidence, e.top(), err)
		}
	}
}

// Neighbors whose EC differs by a hundredth at most share their chemistry, and are then told within a thousandth of EC and a hundredth of pH of what the room has for each;
// those that differ by more do not.
func TestNeighborsShareTheirChemistry(t *testing.T) {
	k, err := chem.At(standard)
	if err != nil {
		t.Fatal(err)
	}
	p, log, now := invented(t, 4)
	mix := newHistory(&p, log, now).planned
	n, s, err := nearTo(k, mix)
	if err == nil {
		err = n.slopes(k, s.PH)
	}
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		more  float64
		share bool
	}{{1.009, true}, {0.992, true}, {1.013, false}, {0.987, false}} {
		other := mix.times(c.more)
		if n.holds(&other, nearBeside) != c.share {
			t.Errorf("%v times the mix: shared %v", c.more, !c.share)
		}
		own, is, err := nearTo(k, other)
		if err != nil {
			t.Fatal(err)
		}
		if pH := pHof(n.hydrogen(&other, 1e-6, -1)); c.share && (math.Abs(n.conducts(&other)/own.ec-1) > 0.001 || math.Abs(pH-is.PH) > 0.01) {
			t.Errorf("%v times the mix: EC %.4f and pH %.3f, by itself %.4f and %.3f", c.more, n.conducts(&other), pH, own.ec, is.PH)
		}
	}
}

// Of stories that set the same readings aside the likeliest is kept, one that has no evidence never, and the likeliest of all stands first; what is ten thousand times less likely is not told.
func TestStoriesThatAreKept(t *testing.T) {
	story := func(evidence float64, good ...float64) *fitted {
		f := &fitted{evidence: evidence, lower: square{n: 1, a: []float64{1}}}
		for _, g := range good {
			f.reads = append(f.reads, reading{good: g})
		}
		return f
	}
	list := sorted([]*fitted{story(-3, 1, 0.2), story(-1, 0.9, 0.1), story(math.NaN(), 0, 0), story(0, 1, 1), story(-2, 1, 0.4)})
	if len(list) != 2 || list[0].evidence != 0 || list[1].evidence != -1 {
		t.Errorf("%d are kept", len(list))
	}
	e := &estimate{h: &history{alone: true}, stories: []*fitted{story(0), story(-9.1), story(-9.3)}}
	if e.conclude(); len(e.stories) != 2 || e.best != e.stories[0] || math.Abs(e.shares[0]+e.shares[1]-1) > 1e-12 || e.shares[1] < 1e-4 {
		t.Errorf("shares %v", e.shares)
	}
}
