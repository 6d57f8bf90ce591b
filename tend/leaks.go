package tend

import (
	"cmp"
	"math"
	"slices"

	"raftwright/chem"
)

// guess is a supposal that may be looked into: how likely it is beforehand, and a hint of how much likelier the log makes it.
type guess struct {
	supposal
	prior, hint float64
	falls       fall    // of a hole
	seen        *fitted // where the search had better begin; nil: beside the story without it
}

// likeliest gives the likeliest few of a list, and none that is unlikely but where all are to be looked into.
func likeliest(list []guess, all bool) []guess {
	slices.SortStableFunc(list, func(x, y guess) int { return cmp.Compare(y.hint, x.hint) })
	list = list[:min(mostLooked, len(list))]
	if !all {
		list = slices.DeleteFunc(list, func(x guess) bool { return x.hint <= unlikely })
	}
	return list
}

// leaky lists the leaks that are worth to be looked into beside a story without one, of which is thought so much beforehand; far is what is foreseen, if it is.
func (h *history) leaky(a *fitted, far *foresight, thought float64) []guess {
	var list []guess
	if far != nil {
		list = far.leaks(h)
	} else {
		list = h.onsets(a.wrong)
		for i := range list {
			list[i].hint += a.hintLeak(h, list[i].supposal)
		}
		list = likeliest(list, false)
	}
	for i := range list {
		list[i].prior *= thought
	}
	return list
}

// onsets lists the leaks that may be, each with what is thought of it beforehand: of those that begin in one span one.
func (h *history) onsets(wrong int) (list []guess) {
	each := priorLeak * (1 - holes) / h.after(h.visits[len(h.visits)-1].at) // a day
	for i := max(1, h.emptied); i < len(h.visits); i++ {
		if h.spans[i].days >= leastOnset || i == h.emptied {
			begins := each * h.spans[i].days
			if i == h.emptied { // whenever before the filling it began, the readings are the same
				begins = each * (h.spans[i].from + h.spans[i].days)
			}
			begins *= h.heard(h.spans[i].from+h.spans[i].days/2, false)
			list = append(list, guess{supposal: supposal{leakFrom: h.spans[i].from + h.spans[i].days/2, wrong: wrong}, prior: begins, hint: math.Log(begins)})
		}
	}
	return list
}

// torn lists the holes that are worth to be looked into beside a story that is strained or sets lower depths aside.
func (h *history) torn(a *fitted, thought float64) (out []guess) {
	if !a.strained() && !a.sunk() {
		return nil
	}
	each := priorLeak * holes / h.after(h.visits[len(h.visits)-1].at) // a day
	for _, f := range h.falls(a) {
		begins := each * h.spans[f.span].days
		if f.span == h.emptied {
			begins = each * (h.spans[f.span].from + h.spans[f.span].days)
		}
		begins *= h.heard(h.spans[f.span].from+h.spans[f.span].days/2, true)
		s := supposal{leakFrom: h.spans[f.span].from + h.spans[f.span].days/2, wrong: a.wrong, hole: true}
		out = append(out, guess{supposal: s, prior: thought * begins, hint: f.gain + math.Log(begins), falls: f})
	}
	list := likeliest(out, false)
	return list[:min(mostHoles, len(list))]
}

// mostHoles is how many holes are looked into.
const mostHoles = 2

// sunk says whether a story sets depths aside that lie lower than it tells: a leak may be what lowered them.
func (f *fitted) sunk() bool {
	return slices.ContainsFunc(f.reads, func(r reading) bool { return r.kind == readDepth && r.good < 0.5 && r.off < 0 })
}

// look fits the log under some more supposals, beside a story without them: first each in the way that leads there most often, then
// those that may still be the likeliest in the other ways.
func (e *estimate) look(k *chem.Equilibria, looked []guess, reads []reading, beside *fitted) error {
	found, faults := make([][]*fitted, len(looked)), make([]error, len(looked))
	ways := make([][]opening, len(looked))
	e.h.twoAtOnce(len(looked), func(h *history, i int) {
		l := looked[i]
		ways[i] = []opening{{}}
		if l.leakFrom >= 0 {
			ways[i] = beside.leakOpenings(l)
		}
		f, err := h.fit(k, e.pens, l.supposal, reads, ways[i][0].from, ways[i][0])
		if found[i], faults[i] = []*fitted{f}, err; err == nil && l.leakFrom < 0 {
			if beside.doubtful() {
				ways[i] = append(ways[i], opening{from: beside})
			}
			ways[i] = append(ways[i], f.openings()...)
		}
	})
	top := e.top()
	for i, list := range found {
		if faults[i] != nil {
			return faults[i]
		}
		for _, f := range list {
			top = max(top, f.evidence+math.Log(looked[i].prior))
		}
	}
	type search struct {
		guess int
		opening
	}
	var more []search
	known := slices.ContainsFunc(found, func(list []*fitted) bool { return list[0].explains() })
	for i, list := range found {
		least := top - math.Log(looked[i].prior)
		if list[0].hopeless(least) || known && !list[0].explains() && list[0].evidence < least-untold-convergence {
			continue
		}
		others := ways[i][1:]
		if list[0].explains() {
			others = others[:min(1, len(others))]
			if looked[i].seen != nil {
				others = nil
			}
		}
		for _, w := range others {
			more = append(more, search{i, w})
		}
	}
	others, faults := make([]*fitted, len(more)), make([]error, len(more))
	e.h.twoAtOnce(len(more), func(h *history, i int) {
		others[i], faults[i] = h.fit(k, e.pens, looked[more[i].guess].supposal, reads, more[i].from, more[i].opening)
	})
	for i, f := range others {
		if faults[i] != nil {
			return faults[i]
		}
		found[more[i].guess] = append(found[more[i].guess], f)
	}
	for i, list := range found {
		e.tell(sorted(list), looked[i].prior)
	}
	return nil
}

// likeliest gives the likeliest story that was found so far; nil where there is none.
func (e *estimate) likeliest() (best *fitted) {
	for _, f := range e.stories {
		if best == nil || f.evidence > best.evidence {
			best = f
		}
	}
	return best
}

// explained says whether that one does.
func (e *estimate) explained() bool {
	best := e.likeliest()
	return best != nil && best.explains()
}

// explains says whether a story believes all readings and asks for nothing unusual: another way to it leads to nothing else.
func (f *fitted) explains() bool {
	return !f.strained() && !slices.ContainsFunc(f.reads, func(r reading) bool { return r.good < 0.5 })
}

// hopeless says of a story that was looked for in one way whether no other way makes it as likely as the likeliest: it would be far less so, and it is still
// where all that it sets aside were believed.
func (f *fitted) hopeless(top float64) bool {
	if f.evidence < top-hopeless {
		return true
	}
	could := f.evidence + convergence
	for i := range f.reads {
		if r := &f.reads[i]; r.good < 0.5 {
			_, cost := r.goodness(r.off, 1)
			could += cost
		}
	}
	return f.evidence < top-behind && could < top
}

// By how much less likely a story may be, as a logarithm, to be looked for in other ways all the same, and how much likelier one may become that believes the
// same readings (own judgement, by simulated beds).
const behind, convergence = 25.0, 8.0

// sound looks for a story without a leak once more where one with a leak is likelier, from there: what else that one told may be all that was
// amiss.
func (e *estimate) sound(k *chem.Equilibria, wrong int, prior float64, reads []reading, far *foresight) error {
	var leaks *fitted
	none := math.Inf(-1)
	for _, f := range e.stories {
		switch {
		case f.wrong != wrong:
		case f.leakFrom < 0:
			none = max(none, f.evidence)
		case leaks == nil || f.evidence > leaks.evidence:
			leaks = f
		}
	}
	if far != nil {
		none = max(none, far.none+math.Log(prior))
	}
	if leaks == nil || leaks.evidence < none || far != nil && leaks.evidence > none+unheard {
		return nil
	}
	list, err := e.h.several(k, e.pens, supposal{leakFrom: -1, wrong: wrong}, reads, []opening{{from: leaks}, {from: leaks, late: true}})
	if err != nil {
		return err
	}
	for _, f := range list {
		same := slices.IndexFunc(e.stories, func(g *fitted) bool { return g.supposal == f.supposal && g.alike(f) })
		if same < 0 {
			e.tell([]*fitted{f}, prior)
		} else if f.evidence += math.Log(prior); f.evidence > e.stories[same].evidence {
			e.stories[same] = f
		}
	}
	return nil
}

// leakOpenings gives the ways in which the search for a leak begins beside a story without one: where that sets readings aside or is
// strained, it may be the leak that they tell of, or one of those that it believes may be what hides it. With no such story it is as foreseen.
func (f *fitted) leakOpenings(l guess) []opening {
	if falls := l.falls; falls.rate > 0 {
		return []opening{{falls: falls}, {falls: falls, late: true}, {falls: falls, from: f}, {falls: falls, from: f, late: true}}
	}
	if f == nil {
		return []opening{{from: l.seen}}
	}
	out := []opening{{from: f}}
	if l.seen != nil {
		out = []opening{{from: l.seen}, {from: f}}
	}
	if f.doubtful() || f.strained() {
		out = append(out, opening{from: f, late: true})
	}
	if f.strained() {
		out = append(out, opening{}, opening{late: true})
	}
	if k := f.hiding(); k >= 0 {
		out = append(out, opening{from: f, mistrust: []int{k}})
	}
	return out
}

// hiding gives the last depth that is believed before one that lies lower than told and is set aside; -1 where there is none.
func (f *fitted) hiding() int {
	before := -1
	for i, r := range f.reads {
		switch {
		case r.kind != readDepth:
		case r.good >= 0.5:
			before = i
		case r.off < 0:
			return before
		}
	}
	return -1
}
