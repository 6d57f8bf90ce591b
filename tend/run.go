package tend

import (
	"raftwright/chem"
)

// moment is the bed as it stands at a visit, before and after what was done there.
type moment struct {
	before, after water
	h, hAfter     float64 // activity of H+
}

// run is a log lived through once.
type run struct {
	moments []moment
	ledger  ledger
	ways    [][]way // of each step
}

// live runs the log with a setting, from a visit on; what came before stands in out already. Beside
// another run that is near it is quick.
func (h *history) live(s *setting, nears []near, out *run, from int, beside *run) {
	if cap(out.moments) < len(h.visits) {
		out.moments = make([]moment, len(h.visits))
	}
	out.moments = out.moments[:len(h.visits)]
	var w water
	l := &out.ledger
	H := 1e-6
	if from == 0 {
		*l = ledger{}
	} else {
		m := &out.moments[from-1]
		w, H = m.after, m.hAfter
	}
	if beside == nil && out.ways == nil {
		out.ways = make([][]way, len(h.spans))
		for i := range h.spans {
			out.ways[i] = make([]way, len(h.spans[i].steps))
		}
	}
	brim := h.area * s.area * (h.brim + s.brim)
	for i := from; i < len(h.visits); i++ {
		v := &h.visits[i]
		n := &nears[i]
		if i == 0 {
			w = h.before(s)
			c := w.litre()
			H = n.hydrogen(&c, H, -1)
		} else if i == from && i == h.emptied && beside != nil { // all of it goes
			w, H = out.moments[i].before, out.moments[i].h
		} else {
			var along []way
			if beside != nil {
				along = beside.ways[i]
			}
			H = h.pass(&w, out, s, n, i, brim, H, along)
		}
		m := &out.moments[i]
		m.before, m.h = w, H
		if len(v.acts) > 0 {
			for k := range v.acts {
				h.do(&w, l, &v.acts[k], s, v.first+k, i == 0)
			}
			w.spill(l, brim)
			c := w.litre()
			H = n.hydrogen(&c, H, -1)
		}
		m.after, m.hAfter = w, H
	}
}

// pass lives through the span that ends at a visit.
func (h *history) pass(w *water, out *run, s *setting, n *near, i int, brim, H float64, along []way) float64 {
	span := &h.spans[i]
	rain := span.rain.usual
	if span.rain.noted {
		rain = span.rain.litres
	}
	rain *= s.rain[i] * s.area
	now, leak := span.from, s.leak
	if h.patched(s.leakFrom) <= now {
		leak = 0
	}
	for k := range span.steps {
		d := span.steps[k]
		if live := s.lively; live != nil {
			x := &live[i][k]
			d.gains, d.drinks, d.airs, d.rots = x.gains, x.drinks, x.airs, x.rots
		} else {
			d.lively(&s.habits)
		}
		d.drinks *= s.air[i]
		d.dries *= s.air[i]
		d.rain = rain * d.days / span.days
		if at := s.burst[i]; at > 0 { // on one day
			began := now - span.from
			d.rain = rain * max(0, min(began+d.days, at+0.5)-max(began, at-0.5))
		}
		if leak > 0 {
			d.leak = leak * max(0, min(d.days, now+d.days-s.leakFrom))
		}
		if s.sour[i] != 0 {
			w.drift(&out.ledger, s.sour[i]*d.days/span.days)
		}
		now += d.days
		var near way
		at := &near
		if along != nil {
			near = along[k]
			near.near = true
		} else {
			at = &out.ways[i][k]
		}
		H = w.step(&out.ledger, &d, &s.habits, brim, n, H, at)
	}
	return H
}

// lives works out once what goes on in each day, for runs that do not change it.
func (h *history) lives(b *habits, out [][]alive) [][]alive {
	if out == nil {
		out = make([][]alive, len(h.spans))
	}
	for i := range h.spans {
		out[i] = out[i][:0]
		for _, d := range h.spans[i].steps {
			d.lively(b)
			out[i] = append(out[i], alive{d.gains, d.drinks, d.airs, d.rots})
		}
	}
	return out
}

// alive is what of a step follows from habits alone.
type alive struct{ gains, drinks, airs, rots float64 }

// before is the bed before the log began: filled with the planned mix.
func (h *history) before(s *setting) water {
	v := h.area * s.area * (h.depth + s.level)
	return water{volume: v, in: h.planned.times(v)}
}

// do does one act.
func (h *history) do(w *water, l *ledger, a *act, s *setting, index int, first bool) {
	free := 1.0
	if a.free > 0 {
		free = s.act[index]
	}
	switch a.kind {
	case dumps:
		w.dump(l, a.volume)
	case fills:
		w.dump(l, w.volume)
		w.pour(l, h.area*s.area*(h.depth+s.level), a.what.times(s.source))
	case pours:
		w.pour(l, a.volume*free, a.what)
	case dissolves:
		if a.by == nil {
			if first && s.wrong == allProducts {
				free *= s.first
			}
			w.add(l, a.what.times(free))
			return
		}
		for _, b := range a.by {
			free := free * s.dose[b.product]
			if first && (s.wrong == allProducts || s.wrong == b.product) {
				free *= s.first
			}
			w.add(l, b.mmol.times(free))
		}
	}
}

// about solves each moment with the chemistry room, for the spans that lead there; where
// only their balances changed a little, the slopes of EC are kept.
func (h *history) about(k *chem.Equilibria, r *run, nears []near, slopes bool) {
	for i := range r.moments {
		h.aboutOne(k, r, nears, i, slopes)
	}
}

// aboutOne does so with one moment.
func (h *history) aboutOne(k *chem.Equilibria, r *run, nears []near, i int, slopes bool) {
	w := &r.moments[i].before
	if i == 0 || w.volume < 1 {
		w = &r.moments[i].after
	}
	c := w.litre()
	if !slopes && nears[i].holds(&c, nearBy) {
		return
	}
	if i > 0 && i < len(r.moments)-1 && nears[i-1].holds(&c, nearBeside) {
		nears[i] = nears[i-1]
		return
	}
	n, s, err := nearTo(k, c)
	if err != nil { // a bed that the search only passes through: what stood there is near enough
		return
	}
	n.slopesAre(nears[i].slope)
	if slopes && (i == 0 || i == len(r.moments)-1 || i%slopesEvery == 0) {
		if n.slopes(k, s.PH) != nil {
			return
		}
	} else if slopes {
		n.slopesAre(nears[i-1].slope)
	}
	nears[i] = n
}

// slopesEvery is how often on a log the slopes of EC are found: they change by less than 1 % over
// a few visits.
const slopesEvery = 4

// workroom is what the sums of one fit after the other are written in.
type workroom struct {
	beside  [2]aside // used by two at once
	alive   [][]alive
	bracket square
	root    square
	told    []reading // of what is foreseen
	sums    []float64
}
