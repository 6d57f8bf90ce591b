package tend

import (
	"math"
	"slices"
	"testing"

	"raftwright/chem"
)

// A drip of 10 L a day that begins in the middle of a log of thirty visits is told by a story that believes every reading. Looked for from a story that takes it for slips of the
// ruler it began in the first days or set a depth aside, and was told as 8 L a day, at most 8.9.
func TestDripInALongLog(t *testing.T) {
	const visits = 30
	p, log, now := invented(t, visits)
	readAs(t, &p, log, now, supposal{leakFrom: visits, wrong: noProduct})
	got, faults := Make(Job{Plan: p, Log: log, Now: now})
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	aside := slices.ContainsFunc(got.Readings, func(r Reading) bool { return !r.Used })
	if l := got.Leak; l.Probability < 0.99 || l.Rate.High < 9.5 || aside {
		t.Errorf("a leak %.2f of %.1f (%.1f to %.1f) L a day, readings set aside: %v", l.Probability, l.Rate.Value, l.Rate.Low, l.Rate.High, aside)
	}
}

// What is foreseen of a story comes to what is found of it where little answers out of proportion, for a sound bed and for one with a drip.
func TestForeseenIsFound(t *testing.T) {
	const visits = 12
	for _, is := range []supposal{{leakFrom: -1, wrong: noProduct}, {leakFrom: 11, wrong: noProduct}} {
		p, log, now := invented(t, visits)
		readAs(t, &p, log, now, is)
		e, k, err := fitTo(&p, log, now, nil)
		if err != nil {
			t.Fatal(err)
		}
		h, reads := e.h, e.best.reads
		f, err := h.begun(k, e.pens, supposal{leakFrom: -1, wrong: noProduct}, reads)
		if err != nil {
			t.Fatal(err)
		}
		by, mean := make([]float64, len(reads)), 0.0
		if is.leakFrom >= 0 {
			by, mean = f.leakMoves(h, is), usualLeak/sdLeak
		}
		seen := f.foresee(h, f.readsOf(readEC, readPH, readDepth), by, mean, -1)
		found, err := h.fit(k, e.pens, is, reads, nil, opening{late: true})
		if err != nil {
			t.Fatal(err)
		}
		close(t, "as a logarithm", seen.evidence, found.evidence, 4)
	}
}

// A drip that is foreseen after the first steps of a story without it is told without that story, and as with it; the search of a sound log goes to its end.
func TestDripIsToldWithoutTheStoryWithoutIt(t *testing.T) {
	const visits = 30
	k, err := chem.At(standard)
	if err != nil {
		t.Fatal(err)
	}
	for _, is := range []supposal{{leakFrom: -1, wrong: noProduct}, {leakFrom: visits, wrong: noProduct}} {
		p, log, now := invented(t, visits)
		readAs(t, &p, log, now, is)
		pens := penOf(&p, log)
		h := newHistory(&p, log, log[len(log)-1].At)
		reads := readingsOf(log, pens)
		first, err := h.fit(k, pens, supposal{leakFrom: -1, wrong: noProduct}, reads, nil, opening{stops: true})
		if err != nil {
			t.Fatal(err)
		}
		if first.stopped != (is.leakFrom >= 0) {
			t.Errorf("leak from %g: stopped %v where it lacks %.0f", is.leakFrom, first.stopped, first.lacks())
		}
		if !first.stopped {
			continue
		}
		e := &estimate{h: h, pens: pens}
		told, err := e.drips(k, first.supposal, reads)
		if err != nil || !told || e.leaks().Probability < 0.999 || math.Abs(e.best.setting.leak-10) > 2 {
			t.Fatalf("told %v (%v), %.1f L a day", told, err, e.best.setting.leak)
		}
		whole, err := h.fit(k, pens, first.supposal, reads, nil, opening{})
		if err != nil || whole.evidence+math.Log((1-priorLeak)*(1-priorWrong)) > e.top()-unheard {
			t.Errorf("without a leak %.1f, with one %.1f (%v)", whole.evidence, e.top(), err)
		}
	}
}
