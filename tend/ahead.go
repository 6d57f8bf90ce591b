package tend

import (
	"math"
	"time"

	"raftwright/bed"
)

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
		m := &f.ends[j]
		t := d / nudge
		lnV += t * (math.Log(math.Max(1, m.after.volume)) - math.Log(math.Max(1, w.volume)))
		lnH += t * (math.Log(m.hAfter) - math.Log(base.hAfter))
		for i := range ions {
			ln[i] += t * (math.Log(math.Max(1e-6, m.after.in[i])) - math.Log(math.Max(1e-6, w.in[i])))
		}
		inertSum += t * (m.after.in[inert] - w.in[inert])
	}
	var s setting
	h.set(f.list, x, f.supposal, &s)
	out := draw{story: f, h: math.Exp(math.Max(math.Log(lowestH), math.Min(math.Log(highestH), lnH))), habits: s.habits, area: s.area, leak: s.leak}
	out.water.volume = math.Exp(lnV)
	for i := range ions {
		out.water.in[i] = math.Exp(ln[i])
	}
	out.water.in[inert] = inertSum
	// carbon follows from the pH that was drawn
	out.water.in[carbon] = out.water.carbonFor(&f.nears[at], out.h)
	return out
}

// carbonFor gives the carbon with which the water has an H+ activity; at least a trace.
func (w *water) carbonFor(n *near, h float64) float64 {
	c := w.litre()
	c[carbon] = 0
	rest, _ := n.charge(&c, c.strong(), h, -1)
	r, q := n.k1/h, n.k2/h
	charge := r * (1 + 2*q) / (1 + r*(1+q))
	return math.Max(1e-3, rest/charge) * w.volume
}

var primes = [...]int{2, 3, 5, 7, 11, 13, 17, 19, 23, 29, 31, 37, 41, 43, 47, 53, 59, 61, 67, 71, 73, 79, 83, 89, 97, 101, 103, 107, 109, 113}

// normal gives the standard normal quantile.
func normal(p float64) float64 {
	return math.Sqrt2 * math.Erfinv(2*p-1)
}

// point is a bed at the end of a day ahead.
type point struct {
	volume, ec, pH float64
	in             amounts // mmol/L
}

// days makes the days ahead from a moment.
func (h *history) days(from time.Time, n int) []day {
	var none bed.Readings
	out := make([]day, 0, n)
	for i := range n {
		a := from.Add(time.Duration(i) * 24 * time.Hour)
		s := h.between(a, a.Add(24*time.Hour), &none)
		out = append(out, s.steps...)
	}
	return out
}

// ahead lives a drawn bed through days; rain is in mm, by day. Its own water is left as it is.
func (h *history) ahead(d *draw, days []day, rain []float64, sinceFill float64, out []point) []point {
	w, H := d.water, d.h
	n := &d.story.nears[len(d.story.nears)-1]
	var l ledger
	var at way
	brim := h.area * d.area * h.brim
	out = out[:0]
	for i, x := range days {
		x.lively(&d.habits)
		if i < len(rain) {
			x.rain = rain[i] * h.area * d.area
		}
		x.leak = d.leak * x.days
		x.since = sinceFill + float64(i) + 0.5
		H = w.step(&l, &x, &d.habits, brim, n, H, &at)
		c := w.litre()
		out = append(out, point{volume: w.volume, ec: n.conducts(&c), pH: -math.Log10(H), in: c})
	}
	return out
}
