package tend

import (
	"slices"
	"testing"
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
