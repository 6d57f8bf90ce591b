package tend

import (
	"math"
	"slices"

	"raftwright/unit"
)

// reading is one reading of a meter, beside what the bed should have shown.
type reading struct {
	visit int
	kind  readingKind
	value float64 // of the logarithm for EC
	sd    float64
	pen   int     // 1: read after the pens were set within the log
	twice bool    // read again, and the same
	good  float64 // posterior that it is no slip
	off   float64 // from what it should show
}

type readingKind int

const (
	readEC readingKind = iota
	readPH
	readDepth
	readNitrate
	readAmmonium
)

// tell gives what a reading should show in a run.
func (h *history) tell(r *reading, s *setting, out *run, nears []near) float64 {
	m := &out.moments[r.visit]
	litre := func(i ion) float64 { return m.before.in[i] / max(1e-6, m.before.volume) }
	switch r.kind {
	case readEC:
		c := m.before.litre()
		return math.Log(nears[r.visit].conducts(&c)) + s.gain[r.pen]
	case readPH:
		return pHof(m.h) + s.tilt + s.bias[r.pen]
	case readDepth:
		return m.before.volume/(h.area*s.area) + s.datum
	case readNitrate:
		return math.Log(max(0.01, litre(nitrate)))
	case readAmmonium:
		return math.Log(max(0.01, litre(ammonium)))
	}
	return 0
}

// inch is in mm, as depths are here.
const inch = float64(unit.Inch / unit.Millimetre)

// Slips (reference methods, section 10): four readings in a hundred are nothing to go by, and spread
// fifteen times as wide.
const (
	slipShare  = 0.04
	slipSpread = 15.0
	slipInch   = inch // of a ruler (its meter_errors.csv)
)

// slipTwice is the share of slips among readings that were taken again and read the same.
const slipTwice = 1e-9

func (r *reading) slips() float64 {
	if r.twice {
		return slipTwice
	}
	return slipShare
}

// agreeing marks readings that were taken again within some hours, nothing done between them, and read the same: two slips do not agree.
func (h *history) agreeing(reads []reading) {
	for i := range reads {
		for k := i + 1; k < len(reads); k++ {
			a, b := &reads[i], &reads[k]
			apart := h.visits[b.visit].at.Sub(h.visits[a.visit].at).Hours()
			if a.kind != b.kind || a.pen != b.pen || apart <= 0 || apart > againWithin || math.Abs(a.value-b.value) > 2*a.sd { // of one minute it is one reading, written twice
				continue
			}
			acted := false
			for v := a.visit; v < b.visit; v++ {
				acted = acted || len(h.visits[v].acts) > 0
			}
			if !acted {
				a.twice, b.twice = true, true
			}
		}
	}
}

// goodness gives the posterior that a reading which is off by so much is no slip, and the cost of it; wide is how much wider it is taken.
// Half of the slips of a ruler are of an inch.
func (r *reading) goodness(off, wide float64) (good, cost float64) {
	per, slips := 1/(r.sd*wide), r.slips()
	z := off * per
	a := (1 - slips) * bell(z)
	b := slips / slipSpread * stays(z*z*(1/(2*slipSpread*slipSpread)))
	if r.kind == readDepth {
		b = b/2 + slips/4*(bell((off-slipInch)*per)+bell((off+slipInch)*per))
	}
	return a / (a + b), -math.Log(a + b)
}

// bell is the normal curve, 1 at its middle; nothing where it is less than any slip.
func bell(z float64) float64 {
	if x := z * z / 2; x < 40 {
		return math.Exp(-x)
	}
	return 0
}

// fitted is the most likely story of a log under one supposal.
type fitted struct {
	supposal
	list     []unknown
	x        []float64
	setting  setting
	run      run
	nears    []near
	reads    []reading
	evidence float64     // log
	spread   square      // the inverse of the curvature at the story
	jac      [][]float64 // of each reading, by unknown
	taken    []float64   // x where the tangents were taken
	times    int         // how often they were
	common   square      // of each two readings, what of them all unknowns have in common
	end      moment      // of the log when the tangents were found
	ends     []moment    // the same with each unknown a little off
	root     square      // of spread; empty until it is needed
	lower    square      // root of the curvature
	stopped  bool        // before it was found
	borrows  bool        // its tangents are those of a dawn
	open     float64     // what the last step promised that could not be taken
}

// variance gives how surely something is known, from what each unknown does to it, which is used up.
func (f *fitted) variance(by []float64) (sum float64) {
	f.lower.forward(by)
	for _, x := range by {
		sum += x * x
	}
	return sum
}

// settle works out the curvature at the story, and how surely it is known.
func (f *fitted) settle(h *history) {
	if f.lower.n > 0 {
		return
	}
	h.bracket = f.bend(h.bracket)
	f.lower = h.bracket.cholesky()
	f.spread = f.lower.inverse(h.bracket)
}

// kinds says what kinds of readings there are.
func kinds(reads []reading) (has readings) {
	for i := range reads {
		has.ec = has.ec || reads[i].kind == readEC
		has.ph = has.ph || reads[i].kind == readPH
	}
	return has
}

// tangents runs the log once more for each unknown, from where it begins to matter.
func (h *history) tangents(f *fitted) {
	base := make([]float64, len(f.reads))
	for i := range f.reads {
		base[i] = h.tell(&f.reads[i], &f.setting, &f.run, f.nears)
	}
	if f.borrows {
		f.jac, f.taken, f.common, f.borrows = nil, nil, square{}, false
	}
	if f.jac == nil {
		f.jac, f.ends = make([][]float64, len(f.reads)), make([]moment, len(f.list))
		all := make([]float64, len(f.list)*len(f.reads))
		for k := range f.jac {
			f.jac[k] = all[k*len(f.list) : (k+1)*len(f.list)]
		}
	}
	h.nudges(f, base)
	f.join()
	f.taken = append(f.taken[:0], f.x...)
	f.times++
}

// nudges finds what each unknown does to the end of the log, and to its readings where it is given what they are told as.
func (h *history) nudges(f *fitted, base []float64) {
	f.end = f.run.moments[len(f.run.moments)-1]
	h.alive = h.lives(&f.setting.habits, h.alive)
	h.hands(len(h.beside), func(_, i int) { h.nudge(f, base, i) })
}

// aside is a setting beside that of a fit, and how the log goes with it.
type aside struct {
	setting setting
	run     run
}

// nudge finds the tangents of every second unknown, from the first or from the second on: the others
// are found meanwhile.
func (h *history) nudge(f *fitted, base []float64, first int) {
	to := &h.beside[first]
	s, r := &to.setting, &to.run
	h.set(f.list, f.x, f.supposal, s)
	for j := first; j < len(f.list); j += len(h.beside) {
		u := f.list[j]
		h.give(s, u, f.x[j]+nudge)
		s.lively = nil
		if u.kind != unGrowth && u.kind != unSize && u.kind != unBreath {
			s.lively = h.alive
		}
		r.moments = append(r.moments[:0], f.run.moments...)
		if u.from < len(h.visits) {
			h.live(s, f.nears, r, u.from, &f.run)
		}
		for i := range base {
			f.jac[i][j] = 0
			if f.reads[i].visit >= u.from || u.from == math.MaxInt32 {
				f.jac[i][j] = (h.tell(&f.reads[i], s, r, f.nears) - base[i]) / nudge
			}
		}
		f.ends[j] = r.moments[len(r.moments)-1]
		h.give(s, u, f.x[j])
	}
}

// judge says of each reading how likely it is no slip, and gives the cost of it all.
func (f *fitted) judge(h *history, wide float64) float64 {
	cost := f.asks()
	for i := range f.reads {
		r := &f.reads[i]
		r.off = r.value - h.tell(r, &f.setting, &f.run, f.nears)
		var c float64
		r.good, c = r.goodness(r.off, wide)
		cost += c + math.Log(r.sd)
	}
	return cost
}

// counts is how much a reading counts, for each square of what it is off.
func (r *reading) counts() float64 {
	return (r.good + (1-r.good)/slipSpread/slipSpread) / (r.sd * r.sd)
}

// bend works out the curvature, in the place of another matrix where it fits.
func (f *fitted) bend(curve square) square {
	n := len(f.list)
	curve = curve.sized(n)
	for i := range n {
		curve.row(i)[i] = 1
	}
	for k := range f.reads {
		w, d := f.reads[k].counts(), f.jac[k]
		for i, x := range d {
			if x == 0 {
				continue
			}
			by := w * x
			row := curve.row(i)[:i+1]
			for j, y := range d[:i+1] {
				row[j] += by * y
			}
		}
	}
	return curve
}

// stride gives the next step. It is found among the readings, which are fewer than the unknowns: with J the tangents, W what the
// readings count and r what they are off with all unknowns at nothing, the unknowns that fit best are J'√W (1 + √W J J' √W)⁻¹ √W r.
// The determinant of what is in brackets is that of the curvature.
func (f *fitted) stride(h *history, step []float64) {
	m := len(f.reads)
	root, off := make([]float64, m), make([]float64, m)
	h.bracket = h.bracket.sized(m)
	for k := range f.reads {
		r := &f.reads[k]
		root[k], off[k] = math.Sqrt(r.counts()), r.off
		for i, x := range f.jac[k] {
			off[k] += x * f.x[i]
		}
		off[k] *= root[k]
		row, common := h.bracket.row(k)[:k+1], f.common.row(k)[:k+1]
		for j, x := range common {
			row[j] = root[k] * x * root[j]
		}
		row[k]++
	}
	h.root = h.bracket.choleskyIn(h.root)
	h.root.solve(off)
	for i, x := range f.x {
		step[i] = -x
	}
	for k, d := range f.jac {
		by := root[k] * off[k]
		for i, x := range d {
			step[i] += by * x
		}
	}
}

// join works out what the readings have in common by the tangents: J J'.
func (f *fitted) join() {
	m := len(f.reads)
	f.common = f.common.sized(m)
	by := make([][abreast]float64, m)
	for i := 0; i < len(f.list); i += abreast { // some unknowns at a time: the sums are fetched less often
		from, many := m, min(abreast, len(f.list)-i)
		for k := range by {
			by[k] = [abreast]float64{}
			for z, x := range f.jac[k][i : i+many] {
				if by[k][z] = x; x != 0 && from == m {
					from = k
				}
			}
		}
		for k := from; k < m; k++ {
			w, row := &by[k], f.common.row(k)[from:k+1]
			for j := range row {
				y := &by[from+j]
				row[j] += w[0]*y[0] + w[1]*y[1] + w[2]*y[2] + w[3]*y[3]
			}
		}
	}
}

// pull is what one more unknown of a supposal does to a story without it, from that story alone: run once, beside what the other unknowns can explain.
// Sizes are in the unit of that unknown.
type pull struct {
	info, score float64
	by          []float64 // what it does to each reading
	cross       []float64 // what the other unknowns do to the same readings
	again       []int     // readings that were set aside, and that the supposal may make good
}

// hintDose tells about how much more likely a wrong dose is than the story without it, as a logarithm.
func (f *fitted) hintDose(h *history, s supposal) float64 {
	return f.weigh(f.pull(s, f.moves(h, s, unknown{kind: unFirst, sd: sdWrong}, nudge, nudge, 0)), 0)
}

// hintLeak tells the same of a leak.
func (f *fitted) hintLeak(h *history, s supposal) float64 {
	return f.weigh(f.pull(s, f.leakMoves(h, s)), usualLeak/sdLeak)
}

// moves gives what one unknown more does to each reading, run once: at x, which is that share of its unit from a story without it; from is the span from
// which on it counts.
func (f *fitted) moves(h *history, s supposal, more unknown, x, share float64, from int) []float64 {
	with, r := &h.beside[0].setting, &h.beside[0].run
	h.set(f.list, f.x, s, with)
	h.give(with, more, x)
	r.moments = append(r.moments[:0], f.run.moments...)
	h.live(with, f.nears, r, from, &f.run)
	by := make([]float64, len(f.reads))
	for k := range f.reads {
		if q := &f.reads[k]; q.visit >= from { // before it nothing has happened yet
			by[k] = (h.tell(q, with, r, f.nears) - h.tell(q, &f.setting, &f.run, f.nears)) / share
		}
	}
	return by
}

// leakMoves gives the same of a leak.
func (f *fitted) leakMoves(h *history, s supposal) []float64 {
	return f.moves(h, s, unknown{kind: unLeak, sd: 1}, 0, usualLeak/sdLeak, h.spanOf(s.leakFrom))
}

// pull takes what one unknown more does to the readings beside what the others can explain.
func (f *fitted) pull(s supposal, by []float64) pull {
	p := pull{cross: make([]float64, len(f.list)), by: by}
	for k, d := range by {
		q := &f.reads[k]
		if d == 0 {
			continue
		}
		if q.good < 0.5 && s.leakFrom >= 0 && q.kind == readDepth && q.off < 0 && d < 0 {
			p.again = append(p.again, k)
			continue
		}
		w := (q.good + (1-q.good)/(setAside*setAside)) / (q.sd * q.sd)
		if s.leakFrom >= 0 && q.kind == readDepth && q.off*d < 0 { // no leak makes good what lies too high
			w = q.counts()
		}
		p.info += w * d * d
		p.score += w * d * q.off
		for j, y := range f.jac[k] {
			p.cross[j] += w * d * y
		}
	}
	f.lower.forward(p.cross)
	for _, y := range p.cross {
		p.info -= y * y
	}
	p.info = max(0, p.info)
	return p
}

// weigh tells how much more likely a supposal is by what it does, as a logarithm, where its size is thought to lie about a mean with a spread of one.
func (f *fitted) weigh(p pull, mean float64) float64 {
	g := p.score + mean
	hint := (g*g/(1+p.info) - mean*mean - math.Log(1+p.info)) / 2
	if len(p.again) == 0 {
		return hint
	}
	f.lower.backward(p.cross)
	return hint + f.regain(p.again, p.by, p.cross, g/(1+p.info), 1+p.info)
}

// regain is how much likelier readings that were set aside become by a supposal: by is what it does to each reading, moved
// what it does to the other unknowns, at its likeliest size and with how much is known of that.
func (f *fitted) regain(list []int, by, moved []float64, size, known float64) (gain float64) {
	for _, k := range list {
		q := &f.reads[k]
		effect, open := by[k], q.sd*q.sd+f.variance(slices.Clone(f.jac[k]))
		for i, x := range f.jac[k] {
			effect -= x * moved[i]
		}
		left := q.off - effect*size
		wide := open + effect*effect/known
		_, aside := q.goodness(q.off, 1)
		if more := aside + math.Log(1-slipShare) - (left*left/wide+math.Log(wide/(q.sd*q.sd)))/2; more > 0 {
			gain += more
			size += effect / known / wide * left
			known += effect * effect / open
		}
	}
	return gain
}

// setAside is how much wider a reading counts in a hint that was set aside: a supposal may
// be what makes it good.
const setAside = 4.0
