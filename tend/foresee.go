package tend

import (
	"cmp"
	"math"
	"slices"

	"raftwright/chem"
)

// foreseen is a story told as if everything answered in proportion to how it does where nothing is off, so that nothing is lived through again: about
// how likely it is, as a logarithm, and where a search for it had better begin. Habits that a false story was driven to say less of a true one.
type foreseen struct {
	evidence float64
	x        []float64 // of each unknown of the story without it
	size     float64   // of the one unknown more
	reads    []reading // with how likely each is no slip; until something else is foreseen
}

// readsOf gives the numbers of some kinds of readings.
func (f *fitted) readsOf(kinds ...readingKind) (of []int) {
	for k := range f.reads {
		if slices.Contains(kinds, f.reads[k].kind) {
			of = append(of, k)
		}
	}
	return of
}

// begun gives where every search from the start begins under a supposal.
func (h *history) begun(k *chem.Equilibria, p pens, s supposal, reads []reading) (*fitted, error) {
	f := &fitted{supposal: s, list: h.unknowns(p, s, kinds(reads)), reads: append([]reading(nil), reads...), nears: make([]near, len(h.visits))}
	f.x = make([]float64, len(f.list))
	h.set(f.list, f.x, s, &f.setting)
	if err := f.dawns(h, k); err != nil {
		return nil, err
	}
	f.judge(h, 1)
	return f, nil
}

// foresee tells the story from there with one unknown more, thought to lie about a mean with a spread of one: by is what it does to each reading.
// All readings of some, by number, are heard before any is set aside, as in a late search, but one that is mistrusted; -1: none is.
func (f *fitted) foresee(h *history, of []int, moves []float64, mean float64, mistrust int) (out foreseen) {
	m := len(of)
	if len(h.told) < m {
		h.told, h.sums = make([]reading, m), make([]float64, 5*m)
	}
	list, room := h.told[:m], h.sums[:5*m]
	clear(room)
	root, off, moved, by, from := room[:m], room[m:2*m], room[2*m:3*m], room[3*m:4*m], room[4*m:] // from: what they are off with all unknowns at nothing
	for k, z := range of {
		list[k], by[k] = f.reads[z], moves[z]
		from[k] = list[k].off - mean*by[k]
		list[k].off = from[k]
	}
	out.evidence, out.reads = math.Inf(-1), list
	for pass := range len(calming) + foreseenPasses {
		wide, size, cost := 1.0, 0.0, 0.0
		if pass < len(calming) {
			wide = calming[pass]
		}
		for k := range list {
			r := &list[k]
			size += moved[k] * (from[k] - r.off) // the squares of all unknowns
			var c float64
			r.good, c = r.goodness(r.off, wide)
			cost += c + math.Log(r.sd)
			if of[k] == mistrust && wide > 1 {
				r.good = 0
			}
		}
		h.bracket = h.bracket.sized(m)
		for k := range list {
			root[k] = math.Sqrt(list[k].counts())
			off[k] = root[k] * from[k]
			row, common := h.bracket.row(k)[:k+1], f.common.row(of[k])
			for j := range row {
				row[j] = root[k] * (common[of[j]] + by[k]*by[j]) * root[j]
			}
			row[k]++
		}
		h.root = h.bracket.choleskyIn(h.root)
		if e := -cost - size/2 - h.root.logDet()/2; pass > len(calming) && e > out.evidence {
			out.evidence = e
			out.size = 0
			if out.x == nil {
				out.x = make([]float64, len(f.x))
			}
			clear(out.x)
			for k, w := range moved {
				out.size += w * by[k]
				for i, d := range f.jac[of[k]] {
					out.x[i] += w * d
				}
			}
		}
		h.root.solve(off)
		sum := 0.0
		for k := range off {
			moved[k] = root[k] * off[k]
			sum += moved[k] * by[k]
			list[k].off = from[k]
		}
		for k := range list {
			list[k].off -= sum * by[k]
			row := f.common.row(of[k])
			for j := range k {
				x := row[of[j]]
				list[k].off -= x * moved[j]
				list[j].off -= x * moved[k]
			}
			list[k].off -= row[of[k]] * moved[k]
		}
	}
	return out
}

// calming is how wide readings are in the first passes, and foreseenPasses how many are made with them as wide as they are.
var calming = [...]float64{12, 6, 3}

const foreseenPasses = 3

// start gives a story from which a search for what was foreseen begins.
func (s *foreseen) start(f *fitted, more unknown) *fitted {
	return &fitted{list: append(f.list[:len(f.list):len(f.list)], more), x: append(s.x[:len(s.x):len(s.x)], s.size), nears: f.nears, reads: slices.Clone(s.reads)}
}

// beside is by how much less likely than another, as a logarithm, a foreseen leak may be and is looked into.
const beside = 6.0

// glance is every how many spans a leak is looked for at first in a log of more than some: beside those in which one begins it is nearly as likely.
const glance, glanced = 3, 12

// leastDepths is how many depths sort leaks out by themselves.
const leastDepths = 6

// foresight is where all searches from the start begin, for what is foreseen from there, and how likely the story is without anything more.
type foresight struct {
	*fitted
	all  []int
	none float64
	told []guess // the likeliest leaks; nil until they are asked for

	hides  int  // a depth that may hide a leak; -1: none does
	lowers bool // the story beside it sets lower depths aside or is strained: a leak is looked into whatever is foreseen of it
}

// foresight is asked for beside a story that is strained, sets lower depths aside, or many readings: how such a bed answers tells little of others.
func (h *history) foresight(k *chem.Equilibria, p pens, a *fitted) (*foresight, error) {
	if !a.amiss() {
		return nil, nil
	}
	f, err := h.begun(k, p, a.supposal, a.reads)
	if err != nil {
		return nil, err
	}
	x := f.foresight(a)
	for _, y := range h.dawns.far { // the same was asked before
		if y.supposal == x.supposal && y.hides == x.hides && y.lowers == x.lowers {
			return y, nil
		}
	}
	x.none = x.without(h, x.all).evidence
	h.dawns.far = append(h.dawns.far, x)
	return x, nil
}

// dripping is foresight of a log of which nothing was told yet, where a leak is foreseen beside which nobody would hear of the story without, and that believes all
// readings and asks for little; else nil.
func (h *history) dripping(k *chem.Equilibria, p pens, s supposal, reads []reading) (*foresight, error) {
	f, err := h.begun(k, p, s, reads)
	if err != nil {
		return nil, err
	}
	none := f.foresight(f).without(h, f.readsOf(kindsOfReading...))
	h.dawns.none = none.evidence
	a := &fitted{list: f.list, x: none.x, reads: slices.Clone(none.reads)}
	if none.x == nil || a.lacks() < behind { // no leak makes good more than that
		return nil, nil
	}
	x := f.foresight(a)
	x.none = none.evidence
	h.dawns.far = append(h.dawns.far, x)
	if !x.drips(h) || !x.told[0].seen.explains() {
		return nil, nil
	}
	return x, nil
}

// amiss says whether a story is strained, sets lower depths aside, or many readings.
func (f *fitted) amiss() bool {
	aside := 0
	for i := range f.reads {
		if f.reads[i].good < 0.5 {
			aside++
		}
	}
	return f.strained() || f.sunk() || aside >= manyAside
}

// manyAside is how many.
const manyAside = 4

var kindsOfReading = []readingKind{readEC, readPH, readDepth, readNitrate, readAmmonium}

// foresight is that from where searches begin, beside a story without anything more.
func (f *fitted) foresight(a *fitted) *foresight {
	return &foresight{fitted: f, hides: a.hiding(), lowers: a.strained() || a.sunk(), all: f.readsOf(kindsOfReading...)}
}

// without tells the story by some readings without anything more.
func (x *foresight) without(h *history, of []int) foreseen {
	return x.foresee(h, of, make([]float64, len(x.reads)), 0, -1)
}

// dose tells by how much likelier a wrong dose makes the story, as a logarithm.
func (x *foresight) dose(h *history, s supposal) float64 {
	return x.foresee(h, x.all, x.moves(h, s, unknown{kind: unFirst, sd: sdWrong}, nudge, nudge, 0), 0, -1).evidence - x.none
}

// drips says whether a leak is foreseen beside which nobody would hear of the story without.
func (x *foresight) drips(h *history) bool {
	list := x.leaks(h)
	return len(list) > 0 && list[0].hint > behind
}

// leaks gives the likeliest leaks.
func (x *foresight) leaks(h *history) []guess {
	if x.told != nil {
		return slices.Clone(x.told)
	}
	list := h.onsets(x.wrong)
	some, depths := x.readsOf(readDepth, readEC), x.readsOf(readDepth)
	if len(depths) < leastDepths {
		depths = some
	}
	prior := make([]float64, len(list))
	for i := range list {
		prior[i] = list[i].hint
	}
	seen := make([]bool, len(list))
	look := func(of, by []int) {
		none := x.without(h, by).evidence
		h.twoAtOnce(len(of), func(h *history, k int) {
			g := &list[of[k]]
			moves := x.leakMoves(h, g.supposal)
			most := x.foresee(h, by, moves, usualLeak/sdLeak, -1).evidence
			if x.hides >= 0 {
				most = max(most, x.foresee(h, by, moves, usualLeak/sdLeak, x.hides).evidence)
			}
			g.hint = prior[of[k]] + most - none
		})
		for _, i := range of {
			seen[i] = true
		}
	}
	likelier := func() (of []int) {
		for i := range list {
			if seen[i] {
				of = append(of, i)
			}
		}
		slices.SortStableFunc(of, func(i, k int) int { return cmp.Compare(list[k].hint, list[i].hint) })
		return of
	}
	var glances, near []int
	for i := range list {
		if len(list) <= glanced || i%glance == 0 {
			glances = append(glances, i)
		}
	}
	x.told = []guess{}
	if len(glances) == 0 {
		return nil
	}
	look(glances, depths)
	best := likelier()[0]
	for i := max(0, best-glance+1); i < min(len(list), best+glance); i++ {
		if !seen[i] {
			near = append(near, i)
		}
	}
	look(near, depths)
	told := likelier()
	if len(list) > glanced || !x.lowers {
		told = told[:min(len(told), mostLooked+1)]
	}
	look(told, some) // by the depths alone they are only sorted out
	for _, i := range told {
		x.told = append(x.told, list[i])
	}
	x.told = likeliest(x.told, x.lowers && len(list) <= glanced)
	if len(list) > glanced {
		x.told = slices.DeleteFunc(x.told, func(g guess) bool { return g.hint < x.told[0].hint-beside })
	}
	for i := range x.told {
		by := x.leakMoves(h, x.told[i].supposal)
		s := x.foresee(h, x.all, by, usualLeak/sdLeak, -1)
		if x.hides >= 0 {
			s.reads = slices.Clone(s.reads)
			if y := x.foresee(h, x.all, by, usualLeak/sdLeak, x.hides); y.evidence > s.evidence {
				s = y
			}
		}
		x.told[i].seen = s.start(x.fitted, unknown{kind: unLeak, sd: 1})
	}
	return slices.Clone(x.told)
}
