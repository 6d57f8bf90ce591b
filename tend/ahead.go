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
	tilt   float64 // of pH over that of the sums
}

// draws gives so many beds that stand for what the log leaves open, each as likely as
// another; always the same for the same log. They stand as after the last visit.
func (e *estimate) draws(n int) []draw {
	out := make([]draw, 0, n)
	var quota float64
	for k, f := range e.stories {
		quota += e.shares[k] * float64(n)
		if most := int(math.Round(quota)); len(out) < most {
			d := e.h.drawer(f)
			for len(out) < most {
				out = append(out, d.draw(len(out)))
			}
		}
	}
	return out
}

// drift is how the end of a log moves: logarithms of volume, H+ and ions, and what is inert.
type drift struct {
	volume, h, inert float64
	in               amounts
}

// drawer draws beds of one story.
type drawer struct {
	*fitted
	of     *history
	last   *moment
	base   drift
	drifts []drift // with each unknown, for a standard deviation of it
	leash  float64
	z, x   []float64
}

func (m *moment) drift() (d drift) {
	d.volume, d.h, d.inert = math.Log(math.Max(1, m.after.volume)), math.Log(m.hAfter), m.after.in[inert]
	for i := range ions {
		d.in[i] = math.Log(math.Max(1e-6, m.after.in[i]))
	}
	return d
}

func (h *history) drawer(f *fitted) drawer {
	if f.root.n == 0 {
		f.root = f.spread.cholesky()
	}
	n := len(f.list)
	d := drawer{fitted: f, of: h, last: &f.run.moments[len(f.run.moments)-1], drifts: make([]drift, n), z: make([]float64, n), x: make([]float64, n)}
	d.base, d.leash = d.last.drift(), h.leash(f)*math.Ln10
	was := f.end.drift() // where the tangents were taken
	for j := range d.drifts {
		at := f.ends[j].drift()
		at.volume, at.h, at.inert = (at.volume-was.volume)/nudge, (at.h-was.h)/nudge, (at.inert-was.inert)/nudge
		at.in = at.in.plus(was.in, -1).times(1 / nudge)
		d.drifts[j] = at
	}
	return d
}

// draw makes the bed of a number: standard normal steps from a sequence that fills space evenly,
// through the root of the spread.
func (d *drawer) draw(number int) draw {
	for j := range d.z {
		d.z[j] = normal(math.Min(0.9995, math.Max(0.0005, even(number, j))))
	}
	var to drift
	for j := range d.x {
		t := 0.0
		for k, r := range d.root.row(j)[:j+1] {
			t += r * d.z[k]
		}
		d.x[j] = d.fitted.x[j] + t
		by := &d.drifts[j]
		to.volume, to.h, to.inert = to.volume+t*by.volume, to.h+t*by.h, to.inert+t*by.inert
		to.in = to.in.plus(by.in, t)
	}
	s := &d.of.beside[0].setting
	d.of.set(d.list, d.x, d.supposal, s)
	out := draw{story: d.fitted, h: d.last.hAfter * math.Exp(d.leash*math.Tanh(to.h/d.leash)), habits: s.habits, area: s.area, leak: d.of.leaksStill(s), tilt: s.tilt}
	out.water.volume = math.Exp(d.base.volume + to.volume)
	for i := range ions {
		out.water.in[i] = math.Exp(d.base.in[i] + mostLn*math.Tanh(to.in[i]/mostLn))
	}
	out.water.in[inert] = d.base.inert + to.inert
	// what the tangents miss of the charge goes to what is inert
	c := out.water.litre()
	left, _, _ := d.nears[len(d.nears)-1].charge(&c, c.strong(), out.h, -1)
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
