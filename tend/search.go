package tend

import (
	"math"
	"slices"
	"sync"

	"raftwright/chem"
)

// opening is how a search begins: late, with all readings wide, or mistrusting some of them for the first passes; with ammonium that turns
// slowly (calm > 0) or soon (calm < 0), in standard deviations.
type opening struct {
	late     bool
	mistrust []int
	calm     float64
	from     *fitted // a story from which it goes on
	falls    fall    // the hole that it begins with
	stops    bool    // where so much is unusual or set aside after its first steps that a leak may be foreseen in its place
}

// stopsBy is before which pass.
const stopsBy = 2

// asks tells how unlikely beforehand all is together that a story asks for, as a logarithm.
func (f *fitted) asks() (sum float64) {
	for _, v := range f.x {
		sum += v * v / 2
	}
	return sum
}

// lacks tells by how much less likely that and what it sets aside make the story, as a logarithm.
func (f *fitted) lacks() float64 {
	sum := f.asks()
	for i := range f.reads {
		if r := &f.reads[i]; r.good < 0.5 {
			_, cost := r.goodness(r.off, 1)
			_, least := r.goodness(0, 1)
			sum += cost - least
		}
	}
	return sum
}

// mistrusted is for how many passes.
const mistrusted = 4

// others gives the readings of depth and strength that stand beside one that was set aside: is it they that are wrong?
func (f *fitted) others() (list []int) {
	for k := range f.reads {
		q := &f.reads[k]
		for i := range f.reads {
			if x := &f.reads[i]; x.visit == q.visit && x.good < 0.5 && q.good >= 0.5 && q.kind != readPH && x.kind != readPH {
				list = append(list, k)
				break
			}
		}
	}
	return list
}

// annealed widens the readings in the first passes of a late start, so that none is set aside
// before all have had their say.
var annealed = [...]float64{12, 8, 5, 3, 2}

const (
	nudge       = 0.25 // of a standard deviation, for tangents
	mostPasses  = 9
	leastPasses = 3   // and tangents
	hopes       = 1.0 // what a step promises that gained nothing, where the search ends with it
	longStep    = 1.5 // standard deviations, at most, in a pass
	farthest    = 6.0 // standard deviations from the start
	settled     = 0.1 // a pass by which a story is to become no more likelier, as a logarithm, ends the search
)

// Passes before which tangents are found anew: of a fit from the start, and of one that goes on from another.
var (
	freshTangents = [...]int{0, 2, 4}
	laterTangents = [...]int{0, 2}
)

// wantsTangents says whether tangents are found before a pass.
func wantsTangents(pass int, anew bool) bool {
	if anew {
		return slices.Contains(freshTangents[:], pass)
	}
	return slices.Contains(laterTangents[:], pass)
}

// fit finds it: Gauss-Newton on the whole log. Tangents are kept where they change little.
func (h *history) fit(k *chem.Equilibria, p pens, s supposal, reads []reading, start *fitted, as opening) (*fitted, error) {
	f := &fitted{supposal: s, list: h.unknowns(p, s, kinds(reads)), reads: append([]reading(nil), reads...), nears: make([]near, len(h.visits))}
	f.x = make([]float64, len(f.list))
	dawns := start == nil && as.calm == 0 && as.falls.rate == 0
	switch {
	case start != nil:
		f.begin(start)
	case !dawns:
		if err := f.beginPlanned(h, k); err != nil {
			return nil, err
		}
	}
	f.calmed(as.calm)
	if n := len(f.list) - 1; as.falls.rate > 0 {
		f.x[n] = math.Log(as.falls.rate/usualHole) / sdHole
		if n > 0 && f.list[n-1].kind == unOnset {
			f.x[n-1] = onsetAt[as.falls.onset]
		}
	}
	h.set(f.list, f.x, s, &f.setting)
	step := make([]float64, len(f.list))
	var stand footing
	for pass := range mostPasses {
		if as.stops && pass == stopsBy && f.lacks() >= 2*behind {
			f.stopped = true
			return f, nil
		}
		if pass == 0 && dawns {
			if err := f.dawns(h, k); err != nil {
				return nil, err
			}
		} else {
			f.lives(h, k, pass < 6 && pass%2 == 0, pass < 3 && start == nil)
		}
		wide, trusts := 1.0, pass >= mistrusted || len(as.mistrust) == 0
		if as.late && pass < len(annealed) {
			wide = annealed[pass]
		}
		cost := f.judge(h, wide)
		if wide == 1 && trusts {
			was, began := stand.cost, stand.x != nil
			cost = f.shorten(h, &stand, cost)
			if began && was-cost < settled && f.open < hopes && pass+f.times >= leastPasses {
				break
			}
		}
		if stand.stuck && f.here() {
			break
		}
		if f.times == 1 && pass == 0 {
			// they were taken at dawn
		} else if wantsTangents(pass, start == nil) || stand.stuck && f.times < mostTangents {
			h.tangents(f)
		} else if stand.stuck {
			break
		}
		if !trusts {
			for _, k := range as.mistrust {
				f.reads[k].good = 0
			}
		}
		f.stride(h, step)
		for i := range f.x {
			step[i] = max(-longStep, min(longStep, step[i]))
			f.x[i] = max(-farthest, min(farthest, f.x[i]+step[i]))
		}
		f.open = f.gains(step)
		h.set(f.list, f.x, s, &f.setting)
		if f.open < settled && pass+f.times >= leastPasses && wide == 1 && trusts {
			break
		}
	}
	h.live(&f.setting, f.nears, &f.run, 0, nil)
	cost := f.shorten(h, &stand, f.judge(h, 1))
	f.stride(h, step)
	f.evidence = -cost - h.root.logDet()/2
	return f, nil
}

// gains tells by how much likelier a step is to make the story, as a logarithm, by its tangents.
func (f *fitted) gains(step []float64) (sum float64) {
	for _, d := range step {
		sum += d * d
	}
	for k, row := range f.jac {
		moves := 0.0
		for i, x := range row {
			moves += x * step[i]
		}
		sum += f.reads[k].counts() * moves * moves
	}
	return sum / 2
}

// lives runs the log, with the chemistry about its moments solved anew where that is wanted.
func (f *fitted) lives(h *history, k *chem.Equilibria, about, slopes bool) {
	h.live(&f.setting, f.nears, &f.run, 0, nil)
	if about {
		h.about(k, &f.run, f.nears, slopes)
		h.live(&f.setting, f.nears, &f.run, 0, nil)
	}
}

// dawn is where every search from the start begins under a supposal: the log run once with nothing off, its tangents there.
type dawn struct {
	once  sync.Once
	fault error
	fitted
}

// dawns are those that were worked out of a log.
type dawns struct {
	mutex sync.Mutex
	of    map[supposal]*dawn
	far   []*foresight // what was foreseen
	none  float64      // how likely a log is foreseen to be without a leak, as a logarithm
}

// dawns is the first pass of a search from the start, worked out once for all of a supposal.
func (f *fitted) dawns(h *history, k *chem.Equilibria) error {
	h.dawns.mutex.Lock()
	d := h.dawns.of[f.supposal]
	if d == nil {
		d = &dawn{}
		h.dawns.of[f.supposal] = d
	}
	h.dawns.mutex.Unlock()
	d.once.Do(func() {
		if d.fault = f.beginPlanned(h, k); d.fault != nil {
			return
		}
		f.lives(h, k, true, true)
		h.tangents(f)
		d.take(f)
		f.borrows = true
	})
	if f.times == 0 && d.fault == nil {
		f.take(&d.fitted)
	}
	return d.fault
}

// take takes over where another search stands after a pass. Its tangents are borrowed.
func (f *fitted) take(g *fitted) {
	f.nears, f.end, f.ends, f.taken, f.times = append(f.nears[:0], g.nears...), g.end, g.ends, g.taken, g.times
	f.run.moments = append(f.run.moments[:0], g.run.moments...)
	f.run.ledger, f.run.ways = g.run.ledger, make([][]way, len(g.run.ways))
	for i, w := range g.run.ways {
		f.run.ways[i] = slices.Clone(w)
	}
	f.common, f.jac, f.borrows = g.common, g.jac, true
}

// footing is where a search stood last, what the story cost there, and whether the last step from it led nowhere.
type footing struct {
	x     []float64
	cost  float64
	stuck bool
}

// shorten halves a step to where the story costs more than where it stood, and takes it back where no part of it costs less. It gives the cost
// of the story where it then stands.
func (f *fitted) shorten(h *history, stand *footing, cost float64) float64 {
	stand.stuck = false
	for half := 0; stand.x != nil && !(cost <= stand.cost+uphill) && !stand.stuck; half++ {
		stand.stuck = half == mostHalves
		for i := range f.x {
			f.x[i] = (f.x[i] + stand.x[i]) / 2
			if stand.stuck {
				f.x[i] = stand.x[i]
			}
		}
		h.set(f.list, f.x, f.supposal, &f.setting)
		h.live(&f.setting, f.nears, &f.run, 0, nil)
		cost = f.judge(h, 1)
	}
	stand.x, stand.cost = append(stand.x[:0], f.x...), cost
	return cost
}

// here says whether the tangents were taken where the search stands.
func (f *fitted) here() bool { return slices.Equal(f.taken, f.x) }

const (
	mostHalves   = 3
	uphill       = 0.1 // by how much more a story may cost after a step: about the solution of another moment it is told a little differently
	mostTangents = 4
)

// calmed begins with ammonium that turns later and more slowly, by so many standard deviations.
func (f *fitted) calmed(by float64) {
	for i, u := range f.list {
		switch u.kind {
		case unNitrify:
			f.x[i] -= by
		case unBegins:
			f.x[i] += by
		}
	}
}

// calm gives how another search had better begin where readings of pH were set aside: a bed that turns sour at once is a story from which no
// small step leads to one that does not, and the other way round.
func (f *fitted) calm() float64 {
	off := 0.0
	for _, r := range f.reads {
		if r.kind == readPH && r.good < 0.5 {
			off += r.off
		}
	}
	switch {
	case off > 0:
		return 2
	case off < 0:
		return -1.5
	}
	return 0
}

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
	for i, j := range f.among(from) {
		if j >= 0 {
			f.x[i] = from.x[j]
		}
	}
	copy(f.nears, from.nears)
}

// among gives the number in another fit of each of the unknowns of this one; -1 where it has none.
func (f *fitted) among(from *fitted) []int {
	at, j := make([]int, len(f.list)), 0
	for i, u := range f.list { // both lists are in one order
		at[i] = -1
		for k := range from.list {
			if v := from.list[(j+k)%len(from.list)]; u.kind == v.kind && u.index == v.index {
				at[i] = (j + k) % len(from.list)
				j += k
				break
			}
		}
	}
	return at
}
