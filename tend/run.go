package tend

import (
	"math"

	"raftwright/chem"
)

// moment is the bed as it stands at a visit, before and after what was done there.
type moment struct {
	before, after water
	h             float64 // activity of H+ before
	hAfter        float64
	ledger        ledger // up to the moment after
}

// run lives through a log once.
type run struct {
	moments []moment
	ledger  ledger
}

// live runs the log with a setting. near is the chemistry for each span.
func (h *history) live(s *setting, nears []near, out *run, from int) {
	if cap(out.moments) < len(h.visits) {
		out.moments = make([]moment, len(h.visits))
	}
	out.moments = out.moments[:len(h.visits)]
	var w water
	var l ledger
	H := 1e-6
	acts, last := 0, 0.0
	if from > 0 { // as before up to there
		m := &out.moments[from-1]
		w, l, H = m.after, m.ledger, m.hAfter
		for i := range from {
			acts += len(h.visits[i].acts)
			for _, a := range h.visits[i].acts {
				if a.kind == fills {
					last = h.after(h.visits[i].at)
				}
			}
		}
	}
	end := h.after(h.visits[len(h.visits)-1].at)
	brim := h.area * s.area * (h.brim + s.brim)
	for i := from; i < len(h.visits); i++ {
		v := &h.visits[i]
		n := &nears[i]
		if i == 0 {
			w = h.before(s)
			c := w.litre()
			H = n.hydrogen(&c, H, -1)
		} else {
			at := h.after(h.visits[i-1].at)
			span := &h.spans[i]
			for k := range span.steps {
				d := span.steps[k]
				d.lively(&s.habits)
				d.drinks *= s.air[i]
				d.dries *= s.air[i]
				rain := span.rain.usual
				if span.rain.noted {
					rain = span.rain.litres
				}
				d.rain = rain * s.rain[i] * d.days / span.days * s.area
				d.since = at + d.days/2 - last
				d.passing = (at - end/2) / 7
				if s.leak > 0 {
					d.leak = s.leak * math.Max(0, math.Min(d.days, at+d.days-s.leakFrom))
				}
				at += d.days
				H = w.step(&l, d, &s.habits, brim, n, H)
			}
		}
		m := &out.moments[i]
		m.before, m.h = w, H
		if len(v.acts) > 0 {
			for k := range v.acts {
				h.do(&w, &l, &v.acts[k], s, acts+k, i == 0)
				if v.acts[k].kind == fills {
					last = h.after(v.at)
				}
			}
			acts += len(v.acts)
			w.spill(&l, brim)
			c := w.litre()
			H = n.hydrogen(&c, H, -1)
		}
		m.after, m.hAfter, m.ledger = w, H, l
	}
	out.ledger = l
}

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
func (h *history) about(k *chem.Equilibria, r *run, nears []near, slopes bool) error {
	for i := range r.moments {
		w := &r.moments[i].before
		if i == 0 || w.volume < 1 {
			w = &r.moments[i].after
		}
		n, s, err := nearTo(k, w.litre())
		if err != nil {
			return err
		}
		n.slope = nears[i].slope
		if slopes && (i == 0 || i == len(r.moments)-1 || i%slopesEvery == 0) {
			if err := n.slopes(k, s.PH); err != nil {
				return err
			}
		} else if slopes {
			n.slope = nears[i-1].slope
		}
		nears[i] = n
	}
	return nil
}

// slopesEvery is how often on a log the slopes of EC are found: they change by less than 1 % over
// a few visits.
const slopesEvery = 4
