package tend

import (
	"math"

	"raftwright/chem"
)

// reading is one reading of a meter, beside what the bed should have shown.
type reading struct {
	visit int
	kind  readingKind
	value float64 // of the logarithm for EC
	sd    float64
	good  float64 // posterior that it is no slip
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
	c := m.before.litre()
	switch r.kind {
	case readEC:
		return math.Log(nears[r.visit].conducts(&c)) + s.gain
	case readPH:
		return -math.Log10(m.h) + s.bias
	case readDepth:
		return m.before.volume/(h.area*s.area) + s.datum
	case readNitrate:
		return math.Log(math.Max(0.01, c[nitrate]))
	case readAmmonium:
		return math.Log(math.Max(0.01, c[ammonium]))
	}
	return 0
}

// Slips (reference methods, section 10): four readings in a hundred are nothing to go by, and spread
// fifteen times as wide.
const (
	slipShare  = 0.04
	slipSpread = 15.0
)

// goodness gives the posterior that a reading at so many sd's is no slip, and the cost of it.
func goodness(z float64) (good, cost float64) {
	a := (1 - slipShare) * math.Exp(-z*z/2)
	b := slipShare / slipSpread * math.Exp(-z*z/2/slipSpread/slipSpread)
	return a / (a + b), -math.Log(a + b)
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
	evidence float64 // log
	spread   [][]float64
	jac      [][]float64 // of each reading, by unknown
	runs     []run       // the log with each unknown a little off
	root     [][]float64 // of spread; nil until it is needed
}

// annealed widens the readings in the first passes of a late start, so that none is set aside
// before all have had their say.
var annealed = [...]float64{12, 8, 5, 3, 2}

const nudge = 0.25 // of a standard deviation

// fit finds it: damped Gauss-Newton on the whole log.
func (h *history) fit(k *chem.Equilibria, p pens, s supposal, reads []reading, start *fitted, late bool) (*fitted, error) {
	has := readings{}
	for _, r := range reads {
		has.ec = has.ec || r.kind == readEC
		has.ph = has.ph || r.kind == readPH
	}
	f := &fitted{supposal: s, list: h.unknowns(p, s, has), reads: append([]reading(nil), reads...), nears: make([]near, len(h.visits))}
	n := len(f.list)
	f.x = make([]float64, n)
	if start != nil {
		f.begin(start)
	} else if err := f.beginPlanned(h, k); err != nil {
		return nil, err
	}
	h.set(f.list, f.x, s, &f.setting)
	f.runs = make([]run, n)
	f.jac = make([][]float64, n)
	for pass := range mostPasses {
		h.live(&f.setting, f.nears, &f.run, 0)
		if pass < 4 {
			if err := h.about(k, &f.run, f.nears, pass < 2 && start == nil); err != nil {
				return nil, err
			}
			h.live(&f.setting, f.nears, &f.run, 0)
		}
		if pass < 4 || pass == 6 || pass == 9 {
			h.tangents(f)
		}
		wide := 1.0
		if late && pass < len(annealed) {
			wide = annealed[pass]
		}
		f.judge(h, wide)
		step, spread := f.newton(h)
		f.spread = spread
		most := 0.0
		for i := range f.x {
			d := math.Max(-1.5, math.Min(1.5, step[i]))
			f.x[i] = math.Max(-6, math.Min(6, f.x[i]+d))
			most = math.Max(most, math.Abs(d))
		}
		h.set(f.list, f.x, s, &f.setting)
		if most < 0.03 && pass >= 3 && wide == 1 {
			break
		}
	}
	h.live(&f.setting, f.nears, &f.run, 0)
	f.weigh(h)
	return f, nil
}

const mostPasses = 12

// beginPlanned begins with the planned mix everywhere.
func (f *fitted) beginPlanned(h *history, k *chem.Equilibria) error {
	n, s, err := nearTo(k, h.planned)
	if err == nil {
		err = n.slopes(k, s.PH)
	}
	for i := range f.nears {
		f.nears[i] = n
	}
	return err
}

// begin takes over what another fit found.
func (f *fitted) begin(from *fitted) {
	for i, u := range f.list {
		for j, v := range from.list {
			if u.kind == v.kind && u.index == v.index {
				f.x[i] = from.x[j]
			}
		}
	}
	copy(f.nears, from.nears)
}

// tangents runs the log once more for each unknown, from where it begins to matter.
func (h *history) tangents(f *fitted) {
	var s setting
	x := append([]float64(nil), f.x...)
	base := make([]float64, len(f.reads))
	for i := range f.reads {
		base[i] = h.tell(&f.reads[i], &f.setting, &f.run, f.nears)
	}
	for j, u := range f.list {
		x[j] += nudge
		h.set(f.list, x, f.supposal, &s)
		r := &f.runs[j]
		r.moments = append(r.moments[:0], f.run.moments...)
		if u.from < len(h.visits) {
			h.live(&s, f.nears, r, u.from)
		}
		if f.jac[j] == nil {
			f.jac[j] = make([]float64, len(f.reads))
		}
		for i := range f.reads {
			f.jac[j][i] = (h.tell(&f.reads[i], &s, r, f.nears) - base[i]) / nudge
		}
		x[j] = f.x[j]
	}
}

// judge says of each reading how likely it is no slip, and gives the cost of it all.
func (f *fitted) judge(h *history, wide float64) float64 {
	cost := 0.0
	for _, v := range f.x {
		cost += v * v / 2
	}
	for i := range f.reads {
		r := &f.reads[i]
		z := (r.value - h.tell(r, &f.setting, &f.run, f.nears)) / r.sd
		var c float64
		r.good, c = goodness(z / wide)
		cost += c + math.Log(r.sd)
	}
	return cost
}

// newton gives the next step and the inverse of the curvature.
func (f *fitted) newton(h *history) (step []float64, inverse [][]float64) {
	n := len(f.list)
	a := make([][]float64, n)
	g := make([]float64, n)
	for i := range n {
		a[i] = make([]float64, n)
		a[i][i] = 1
		g[i] = -f.x[i]
	}
	for k := range f.reads {
		r := &f.reads[k]
		z := r.value - h.tell(r, &f.setting, &f.run, f.nears)
		w := (r.good + (1-r.good)/slipSpread/slipSpread) / (r.sd * r.sd)
		for i := range n {
			ji := f.jac[i][k]
			if ji == 0 {
				continue
			}
			g[i] += w * ji * z
			for j := range i + 1 {
				a[i][j] += w * ji * f.jac[j][k]
			}
		}
	}
	inverse = invert(a)
	step = make([]float64, n)
	for i := range n {
		for j := range n {
			step[i] += inverse[i][j] * g[j]
		}
	}
	return step, inverse
}

// weigh gives the evidence of the supposal (Laplace).
func (f *fitted) weigh(h *history) {
	cost := f.judge(h, 1)
	n := len(f.list)
	a := make([][]float64, n)
	for i := range n {
		a[i] = append([]float64(nil), f.spread[i]...)
	}
	f.evidence = -cost + logDet(a)/2
}

// invert gives the inverse of a symmetric positive matrix of which the lower half is
// given.
func invert(a [][]float64) [][]float64 {
	n := len(a)
	l := cholesky(a)
	inv := make([][]float64, n)
	for i := range n {
		inv[i] = make([]float64, n)
	}
	col := make([]float64, n)
	for c := range n {
		for i := range n {
			col[i] = 0
			if i == c {
				col[i] = 1
			}
			for k := range i {
				col[i] -= l[i][k] * col[k]
			}
			col[i] /= l[i][i]
		}
		for i := n - 1; i >= 0; i-- {
			for k := i + 1; k < n; k++ {
				col[i] -= l[k][i] * col[k]
			}
			col[i] /= l[i][i]
			inv[i][c] = col[i]
		}
	}
	return inv
}

func cholesky(a [][]float64) [][]float64 {
	n := len(a)
	l := make([][]float64, n)
	for i := range n {
		l[i] = make([]float64, n)
		for j := range i + 1 {
			s := a[i][j]
			for k := range j {
				s -= l[i][k] * l[j][k]
			}
			if i == j {
				l[i][i] = math.Sqrt(math.Max(1e-12, s))
			} else {
				l[i][j] = s / l[j][j]
			}
		}
	}
	return l
}

func logDet(a [][]float64) float64 {
	l := cholesky(a)
	s := 0.0
	for i := range l {
		s += 2 * math.Log(l[i][i])
	}
	return s
}

// hint tells about how much more likely a supposal is than the story without it, as a
// logarithm, from that story alone: the effect on all readings of its one more unknown, run once,
// beside what the other unknowns can explain.
func (f *fitted) hint(h *history, s supposal) float64 {
	var with setting
	x := append([]float64(nil), f.x...)
	list := append(append([]unknown(nil), f.list...), unknown{kind: unFirst, sd: sdWrong})
	x = append(x, nudge)
	share := nudge
	mean := 0.0
	if s.leakFrom >= 0 { // a run with the usual leak
		list[len(list)-1] = unknown{kind: unLeak, sd: 1}
		x[len(x)-1] = 0
		share = usualLeak / sdLeak
		mean = share
	}
	h.set(list, x, s, &with)
	r := run{moments: append([]moment(nil), f.run.moments...)}
	h.live(&with, f.nears, &r, 0)
	info, score := 0.0, 0.0
	n := len(f.list)
	cross := make([]float64, n)
	for k := range f.reads {
		q := &f.reads[k]
		told := h.tell(q, &f.setting, &f.run, f.nears)
		d := (h.tell(q, &with, &r, f.nears) - told) / share
		w := (q.good + (1-q.good)/(setAside*setAside)) / (q.sd * q.sd)
		info += w * d * d
		score += w * d * (q.value - told)
		for j := range n {
			cross[j] += w * d * f.jac[j][k]
		}
	}
	for i := range n {
		for j := range n {
			info -= cross[i] * f.spread[i][j] * cross[j]
		}
	}
	info = math.Max(0, info)
	g := score + mean
	return (g*g/(1+info) - mean*mean - math.Log(1+info)) / 2
}

// setAside is how much wider a reading counts in a hint that was set aside: a supposal may
// be what makes it good.
const setAside = 4.0
