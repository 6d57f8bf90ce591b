package tend

import (
	"cmp"
	"math"
	"slices"
)

// A hole lowers the level steadily and far beyond thirst. From a story that takes each lower depth for a slip of its own no small step leads there, so
// where holes are looked for is read off the depths themselves: the water is reckoned from visit to visit by what was poured and what is usually drunk, with a loss
// from some moment on, and held against what the ruler read.

// fall is a loss that would lower the bed as the ruler read it.
type fall struct {
	span  int
	onset float64 // share of the span after which it begins
	rate  float64 // L a day
	gain  float64 // by how much more likely the depths are than without it, as a logarithm
}

// Losses that are tried: shares of the planned water a day, and thirsts over the usual.
const (
	leastFall, mostFall, fallStep = 0.02, 2.0, 1.5
	fallSpread                    = 0.2 // of the log of what is drunk in all, beside the thirsts that are tried
)

var (
	fallOnsets  = [...]float64{0.5, 0.1, 0.9}
	onsetAt     = map[float64]float64{0.5: 0, 0.1: -1.2816, 0.9: 1.2816} // where the unknown stands that tells it
	fallFiner   = [...]float64{1, 0.76, 0.87, 1.15, 1.31}
	fallThirsts = [...]float64{1, 0.65, 1.5}
)

// reckoned is where depths are reckoned from: a visit, what stood in the bed after it, and what it loses in each span.
type reckoned struct {
	visit  int
	volume float64
	depths []reading
	losses []float64
}

// mostReckoned is over how many visits: what is drunk in weeks leaves more open than a hole takes in a day.
const mostReckoned = 8

// reckonedFrom begins at a visit with a volume, by some habits.
func (h *history) reckonedFrom(visit int, volume float64, b *habits, reads []reading) *reckoned {
	from := &reckoned{visit: visit, volume: volume, losses: h.losses(b)}
	for _, r := range reads {
		if r.kind == readDepth && r.visit > visit {
			from.depths = append(from.depths, r)
		}
	}
	return from
}

// falls gives the losses that make the depths likelier than none does, the likeliest first, one for each span in which they begin. It begins at the last filling,
// by what is usual; on a longer log also at a depth that a story believes, some visits ago, by what that tells.
func (h *history) falls(a *fitted) []fall {
	usual := h.usualHabits()
	out := h.fallsFrom(h.reckonedFrom(h.emptied, h.area*h.depth, &usual, a.reads))
	late := h.emptied
	for _, r := range a.reads {
		if r.kind == readDepth && r.good >= 0.5 && r.visit < len(h.visits)-mostReckoned {
			late = max(late, r.visit)
		}
	}
	if late > h.emptied {
		for _, f := range h.fallsFrom(h.reckonedFrom(late, a.run.moments[late].after.volume, &a.setting.habits, a.reads)) {
			if at := slices.IndexFunc(out, func(g fall) bool { return g.span == f.span }); at < 0 {
				out = append(out, f)
			} else if f.gain > out[at].gain {
				out[at] = f
			}
		}
		slices.SortStableFunc(out, likelierFall)
	}
	return out
}

func likelierFall(x, y fall) int { return cmp.Compare(y.gain, x.gain) }

// fallsFrom gives those that are reckoned from one visit.
func (h *history) fallsFrom(from *reckoned) (out []fall) {
	if len(from.depths) == 0 {
		return nil
	}
	none := math.Inf(1)
	for _, w := range fallThirsts {
		none = min(none, h.reckon(from, w, fall{span: len(h.spans)}, none))
	}
	tried := func(f fall, least float64) fall { // one that gains no more than the least is not looked at to its end
		f.gain = least
		for _, w := range fallThirsts {
			f.gain = max(f.gain, none-h.reckon(from, w, f, none-f.gain))
		}
		return f
	}
	first := max(1, h.emptied)
	if from.visit > h.emptied {
		first = from.visit + 1
	}
	for i := first; i < len(h.visits)-1; i++ {
		best := fall{}
		for x := leastFall; x < mostFall; x *= fallStep {
			if f := tried(fall{span: i, onset: fallOnsets[0], rate: x * h.area * h.depth}, best.gain); f.gain > best.gain {
				best = f
			}
		}
		if best.gain > 0 {
			out = append(out, best)
		}
	}
	slices.SortStableFunc(out, likelierFall)
	for i := range out[:min(mostHoles+1, len(out))] {
		for _, onset := range fallOnsets {
			for _, x := range fallFiner {
				f := out[i]
				f.onset, f.rate = onset, x*f.rate
				if f = tried(f, out[i].gain); f.gain > out[i].gain {
					out[i] = f
				}
			}
		}
	}
	slices.SortStableFunc(out, likelierFall)
	return out
}

// losses gives what leaves and open water take in each span of a bed with such habits, L.
func (h *history) losses(b *habits) []float64 {
	out := make([]float64, len(h.spans))
	for i := range h.spans {
		for _, d := range h.spans[i].steps {
			d.lively(b)
			out[i] += (d.drinks + d.dries) * b.thirst * max(0.1, 1+b.trend*d.passing)
		}
	}
	return out
}

// reckon gives what depths cost by a loss, with a thirst; where that is the most and more, it is not reckoned to the end: no depth lowers it.
func (h *history) reckon(from *reckoned, thirst float64, f fall, most float64) (cost float64) {
	depths, losses := from.depths, from.losses
	v, drunk := from.volume, 0.0
	brim := h.area * h.brim
	x := math.Log(thirst) / sdThirst
	cost = x * x / 2
	k := 0
	for i := from.visit; i < len(h.visits) && k < len(depths) && cost < most; i++ {
		if i > from.visit {
			s := &h.spans[i]
			days := 0.0
			switch {
			case i == f.span:
				days = s.days * (1 - f.onset)
			case i > f.span:
				days = s.days
			}
			rain := s.rain.usual
			if s.rain.noted {
				rain = s.rain.litres
			}
			v = max(0, min(brim, v+rain-thirst*losses[i]-f.rate*days))
			drunk += losses[i]
			for ; k < len(depths) && depths[k].visit == i; k++ {
				r := &depths[k]
				open := math.Hypot(math.Hypot(sdDatum, sdLevel), fallSpread*thirst*drunk/h.area)
				_, c := r.goodness(r.value-v/h.area, math.Hypot(1, open/r.sd))
				cost += c
			}
		}
		for _, a := range h.visits[i].acts {
			if i == from.visit && i > h.emptied { // it stands in the volume already
				break
			}
			switch a.kind {
			case dumps:
				v = max(0, v-a.volume)
			case fills:
				v, drunk = h.area*h.depth, 0
			case pours:
				v += a.volume
			}
		}
		v = min(v, brim)
	}
	return cost
}
