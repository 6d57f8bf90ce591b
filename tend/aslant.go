package tend

import "math"

// Slips lie to either side. Readings of one kind that are all set aside to one side, one after the other to the end of the log, are hardly as many slips: it is the meter that is off
// now, or the story. What the bed holds may then be what they say, and is told no surer than that.

// leastAslant is from how many on.
const leastAslant = 3

// aslant gives by how much the last reading of such a row is off; 0 where there is none.
func (e *estimate) aslant(kind readingKind) (off float64) {
	n := 0
	for i := len(e.best.reads) - 1; i >= 0; i-- {
		r := &e.best.reads[i]
		switch {
		case r.kind != kind:
			continue
		case r.good >= 0.5 || e.h.after(e.h.visits[r.visit].at) < e.h.filled || n > 0 && (r.off < 0) != (off < 0):
			i = 0
			continue
		case n == 0:
			off = r.off
		}
		n++
	}
	if n < leastAslant {
		return 0
	}
	return off
}

// reaches makes a band reach to a value.
func (r *Range) reaches(x float64) { r.Low, r.High = math.Min(r.Low, x), math.Max(r.High, x) }

// doubts widens what is told to what such readings say: of strength and of what is dissolved by the same share, since nobody knows what is missing.
func (e *estimate) doubts(s *State) {
	if off := e.aslant(readEC); off != 0 {
		s.EC.reaches(s.EC.Value * math.Exp(off))
		for name, r := range s.Holds {
			if name != Urea { // no pen shows it
				r.reaches(r.Value * math.Exp(off))
				s.Holds[name] = r
			}
		}
	}
	if off := e.aslant(readPH); off != 0 {
		s.PH.reaches(s.PH.Value + off)
	}
}
