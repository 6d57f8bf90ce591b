package tend

import "math"

// figures are what is told of a bed, as logarithms but for pH.
type figures struct {
	volume, ec, pH float64
	in             amounts // mmol/L; nitrogen of all forms stands under citrate
}

// nitrogen is where figures keep the nitrogen of all forms.
const nitrogen = citrate

const least = 1e-3 // mmol/L: less counts as so much

func (f *fitted) figures(m *moment) (out figures) {
	out.volume = math.Log(math.Max(1, m.before.volume))
	c := m.before.litre()
	out.ec = math.Log(f.nears[len(f.nears)-1].conducts(&c))
	out.pH = pHof(m.h) + f.setting.tilt
	n := c[nitrate] + c[ammonium] + c[urea]
	for i := range c {
		out.in[i] = math.Log(math.Max(least, c[i]))
	}
	out.in[nitrogen] = math.Log(math.Max(least, n))
	return out
}

// unknownUptake widens what plants took by what no uptake model knows: this share of what was taken over what is left
// (the reference methods, section 15, have 0.11, with which the bands of its own beds held in 85 % on day 28).
const unknownUptake = 0.20

// band gives the figures at the end of the log and their variances under one supposal, of a bed with so many L in a mm.
func (f *fitted) band(area float64) (mean, variance figures) {
	end := &f.run.moments[len(f.run.moments)-1]
	mean = f.figures(end)
	base := f.figures(&f.end)
	n := len(f.list)
	cols := make([]figures, n)
	for j := range n {
		c := f.figures(&f.ends[j])
		cols[j].volume, cols[j].ec, cols[j].pH = (c.volume-base.volume)/nudge, (c.ec-base.ec)/nudge, (c.pH-base.pH)/nudge
		if f.list[j].kind == unTilt {
			cols[j].pH = sdTilt
		}
		for i := range c.in {
			cols[j].in[i] = (c.in[i] - base.in[i]) / nudge
		}
	}
	for a := range n {
		for b, s := range f.spread.row(a)[:a+1] {
			if b < a {
				s *= 2 // what stands over it is the same
			}
			variance.volume += s * cols[a].volume * cols[b].volume
			variance.ec += s * cols[a].ec * cols[b].ec
			variance.pH += s * cols[a].pH * cols[b].pH
			for i := range variance.in {
				variance.in[i] += s * cols[a].in[i] * cols[b].in[i]
			}
		}
	}
	eaten, left := f.run.ledger.eaten, end.before.in
	eaten[nitrogen], left[nitrogen] = eaten[nitrate]+eaten[ammonium]+eaten[urea], left[nitrate]+left[ammonium]+left[urea]
	for i := range ions {
		if i != carbon && i != inert {
			share := unknownUptake
			if i == sodium || i == chloride {
				share = sdPassive
			}
			x := share * eaten[i] / math.Max(1, left[i])
			variance.in[i] += min(mostUsed, x*x) + sdModelIon*sdModelIon
		}
	}
	variance.volume += sdModelVolume * sdModelVolume
	variance.ec += sdToldEC * sdToldEC
	variance.shallow(end.before.volume / area)
	return mean, variance
}

// What stands in a bed that is nearly dry lies in its folds and at its lower end: a floor that is a quarter inch out of level (what plans allow for) is dry at
// the other end below that, and a depth tells of it no better than to that over the root of twelve (own judgement).
const (
	shallow = inch // of water over the floor, below which this counts
	unlevel = 1.8  // mm
)

// shallow widens what is told of water that is only so many mm deep: how much it is, and with that how strong.
func (v *figures) shallow(depth float64) {
	if depth >= shallow {
		return
	}
	x := min(mostUsed, math.Pow(unlevel/math.Max(1e-3, depth), 2))
	v.volume, v.ec, v.pH = v.volume+x, v.ec+x, v.pH+x/(math.Ln10*math.Ln10)
	for i := range v.in {
		v.in[i] += x
	}
}

// mostUsed is the most that this adds for what is nearly used up, to the variance of the logarithm.
const mostUsed = 4

// What the models themselves leave open (own judgement).
const (
	sdModelIon    = 0.02
	sdPassive     = 0.7 // of the log of what comes with the water drunk (reference tables of uptake: 0.5, of one bed against another)
	sdModelVolume = 0.005
	sdToldEC      = 0.02 // of EC reckoned from ions (reference methods, section 4: 1.5 to 2 %)
)

// told joins the stories: the mean of each figure and its variance, within and between.
func (e *estimate) told() (mean, variance figures) {
	var square figures
	for k, f := range e.stories {
		w := e.shares[k]
		if w < 1e-4 {
			continue
		}
		m, v := f.band(e.h.area)
		add := func(to, sq *float64, x, vx float64) { *to += w * x; *sq += w * (x*x + vx) }
		add(&mean.volume, &square.volume, m.volume, v.volume)
		add(&mean.ec, &square.ec, m.ec, v.ec)
		add(&mean.pH, &square.pH, m.pH, v.pH)
		for i := range m.in {
			add(&mean.in[i], &square.in[i], m.in[i], v.in[i])
		}
	}
	total := 0.0
	for _, w := range e.shares {
		if w >= 1e-4 {
			total += w
		}
	}
	fix := func(m, s *float64) float64 { *m /= total; return math.Max(0, *s/total-*m**m) }
	variance.volume, variance.ec, variance.pH = fix(&mean.volume, &square.volume), fix(&mean.ec, &square.ec), fix(&mean.pH, &square.pH)
	for i := range mean.in {
		variance.in[i] = fix(&mean.in[i], &square.in[i])
	}
	return mean, variance
}
