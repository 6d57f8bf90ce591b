package tend

import "math"

// draw is one bed that the log allows: its water as it stands and the habits that it has.
type draw struct {
	story  *fitted
	water  water
	h      float64 // activity of H+
	habits habits
	area   float64
	leak   float64 // L a day
}

// draws gives so many beds that stand for what the log leaves open, each as likely as
// another; always the same for the same log. They stand as after the last visit.
func (e *estimate) draws(n int) []draw {
	out := make([]draw, 0, n)
	var quota float64
	for k, f := range e.stories {
		quota += e.shares[k] * float64(n)
		for len(out) < int(math.Round(quota)) {
			out = append(out, e.h.draw(f, len(out)))
		}
	}
	return out
}

// draw makes the bed of a number: standard normal steps from a sequence that fills space evenly,
// through the root of the spread.
func (h *history) draw(f *fitted, number int) draw {
	n := len(f.list)
	if f.root.n == 0 {
		f.root = f.spread.cholesky()
	}
	z, x := make([]float64, n), append([]float64(nil), f.x...)
	for j := range z {
		// the fractional parts of multiples of square roots of primes, evenly spread
		u := math.Mod(0.5+float64(number+1)*math.Sqrt(float64(primes[j%len(primes)]))+float64(j/len(primes))*0.37, 1)
		z[j] = normal(math.Min(0.9995, math.Max(0.0005, u)))
	}
	at := len(f.run.moments) - 1
	base := &f.run.moments[at]
	w := base.after
	lnV, lnH := math.Log(math.Max(1, w.volume)), math.Log(base.hAfter)
	var ln amounts
	for i := range ions {
		ln[i] = math.Log(math.Max(1e-6, w.in[i]))
	}
	inertSum := w.in[inert]
	for j := range n {
		d := 0.0
		for k := range j + 1 {
			d += f.root.row(j)[k] * z[k]
		}
		x[j] += d
		m, was := &f.ends[j], &f.end
		t := d / nudge
		lnV += t * (math.Log(math.Max(1, m.after.volume)) - math.Log(math.Max(1, was.after.volume)))
		lnH += t * (math.Log(m.hAfter) - math.Log(was.hAfter))
		for i := range ions {
			ln[i] += t * (math.Log(math.Max(1e-6, m.after.in[i])) - math.Log(math.Max(1e-6, was.after.in[i])))
		}
		inertSum += t * (m.after.in[inert] - was.after.in[inert])
	}
	var s setting
	h.set(f.list, x, f.supposal, &s)
	leash := h.leash(f) * math.Ln10
	out := draw{story: f, h: base.hAfter * math.Exp(leash*math.Tanh((lnH-math.Log(base.hAfter))/leash)), habits: s.habits, area: s.area, leak: s.leak}
	out.water.volume = math.Exp(lnV)
	for i := range ions {
		was := math.Log(math.Max(1e-6, w.in[i]))
		out.water.in[i] = math.Exp(was + mostLn*math.Tanh((ln[i]-was)/mostLn))
	}
	out.water.in[inert] = inertSum
	// what the tangents miss of the charge goes to what is inert
	c := out.water.litre()
	left, _ := f.nears[at].charge(&c, c.strong(), out.h, -1)
	out.water.in[inert] -= left * out.water.volume
	return out
}

// mostLn is how far the logarithm of an ion may lie from the likeliest: beyond it a tangent tells nothing.
const mostLn = 1.5

// How far the pH of a drawn bed may lie from the likeliest: pens read it to a few tenths, and a titration curve
// is far from straight where little buffers it.
const (
	leashRead   = 0.5
	leashUnread = 1.0
)

// leash gives it, by whether the pH was read in the last days.
func (h *history) leash(f *fitted) float64 {
	const days = 4
	end := h.visits[len(h.visits)-1].at
	for _, r := range f.reads {
		if r.kind == readPH && r.good >= 0.5 && end.Sub(h.visits[r.visit].at).Hours() < days*24 {
			return leashRead
		}
	}
	return leashUnread
}

var primes = [...]int{2, 3, 5, 7, 11, 13, 17, 19, 23, 29, 31, 37, 41, 43, 47, 53, 59, 61, 67, 71, 73, 79, 83, 89, 97, 101, 103, 107, 109, 113}

// normal gives the standard normal quantile.
func normal(p float64) float64 {
	return math.Sqrt2 * math.Erfinv(2*p-1)
}
