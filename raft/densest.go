package raft

import (
	"cmp"
	"math"
	"runtime"
	"slices"

	"raftwright/internal/inorder"
)

// Size of the search: beyond mostSearched holes only lattices are tried.
const (
	mostSearched = 700
	usualSteps   = 13_000_000 // steps of all searches for one raft
	mostStarts   = 32         // attempts at one number of holes
	mostField    = 8          // of which so many are followed
	turnSteps    = 4000       // steps a hole of a first turn
)

// seed is the first of some eighty with which no count of the published tables
// that a search seven times as long had found is missed.
const seed = 85

// dice is a small generator with a fixed seed (Steele, Lea & Flood, SplitMix64,
// 2014), so that the same job gives the same raft everywhere.
type dice uint64

func (d *dice) next() uint64 {
	*d += 0x9e3779b97f4a7c15
	z := uint64(*d)
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return z ^ z>>31
}

// float gives a number from 0 to 1, 1 left out.
func (d *dice) float() float64 { return float64(d.next()>>11) / (1 << 53) }

// below gives a whole number from 0 to n-1.
func (d *dice) below(n int) int { return int(d.next() % uint64(n)) }

// hunt is the search for one more hole.
type hunt struct {
	*swarm
	search
	crew *crew
	dice dice
	last float64 // overlap energy after the last descent

	field []state
	each  []float64 // overlap of each point
	spots []spot
	best  []xy // the densest layout so far
	bestN int
}

// state is a relaxed state and what is left of its overlaps.
type state struct {
	v []xy
	e float64
}

type spot struct{ x, y, room float64 }

// densest looks for more holes than the better lattice has, one at a time, until
// no more are known to fit or the steps are spent (a step looks at one pair of
// holes, so that the answer does not depend on the speed of the machine). It says
// whether it searched, and whether the steps ended the search.
func densest(p plot, s float64, lattice []xy, by search) (holes []xy, searched, spent bool) {
	most := p.bound(s)
	if len(lattice) >= most {
		return lattice, len(lattice) > 0, false
	}
	if most > mostSearched {
		return lattice, false, false
	}
	if p.round && len(p.boxes) == 0 {
		if known := by.known.Known(2*p.rho()/s + 1); known > 0 {
			most = min(most, known)
		}
	}
	g := groundOf(p, s)
	h := newHunt(&g, most+1, by)
	for i, q := range lattice {
		h.best[i] = xy{q.x / s, q.y / s}
	}
	h.bestN = len(lattice)
	for h.bestN < most && h.find(h.bestN+1) {
	}
	spent = h.bestN < most && h.over()
	if h.bestN == len(lattice) {
		return lattice, true, spent
	}
	h.loosen()
	out := make([]xy, h.bestN)
	for i := range out {
		out[i] = xy{h.best[i].x * s, h.best[i].y * s}
	}
	return out, true, spent
}

// loosen spreads the layout found while its holes stay as many, so that marks
// rounded to a tape still keep the distance: the first of a few shares by which
// all distances can grow.
func (h *hunt) loosen() {
	h.n = h.bestN
	for _, more := range []float64{0.02, 0.015, 0.01, 0.007, 0.005, 0.003, 0.002, 0.001} {
		copy(h.v, h.best[:h.n])
		h.target = 1 + more
		if _, stands := h.relax(); stands {
			h.take()
			return
		}
	}
}

// newHunt makes room for so many holes.
func newHunt(g *ground, capacity int, by search) *hunt {
	hands := min(2, runtime.GOMAXPROCS(0)) // the raft is the same with one
	return &hunt{swarm: newSwarm(g, capacity), search: by, dice: seed, crew: newCrew(g, capacity, hands),
		best: make([]xy, capacity), each: make([]float64, capacity)}
}

// over says whether the search must end.
func (h *hunt) over() bool { return h.work >= h.steps || h.ctx.Err() != nil }

// find tries to place n holes: many starts are relaxed, and those with the least
// overlap are followed by turns, which grow longer while the field grows smaller.
func (h *hunt) find(n int) bool {
	h.crew.open()
	defer h.crew.close()
	h.n, h.field = n, h.field[:0]
	k := 0
	begin := func() bool {
		if k == mostStarts {
			return false
		}
		h.start(k)
		k++
		return true
	}
	if h.try(func() bool { return !h.over() }, begin, h.enter) {
		return h.take()
	}
	if h.over() {
		return false
	}
	for turn := turnSteps * n; turn <= 8*turnSteps*n; turn *= 2 {
		for i := range h.field {
			if h.follow(&h.field[i], turn) {
				return h.take()
			}
		}
		inorder.Put(h.field, func(a, b state) int { return cmp.Compare(a.e, b.e) })
		h.field = h.field[:max(min(2, len(h.field)), len(h.field)*2/3)]
	}
	return false
}

// take keeps the present state as the densest layout.
func (h *hunt) take() bool {
	copy(h.best, h.v[:h.n])
	h.bestN = h.n
	return true
}

// try prepares a state and relaxes it, again and again, until nothing overlaps (true), until
// it may not go on, or until there is no state to prepare. Of each that still overlaps weigh
// says whether the next is to be prepared otherwise because of it. Where there are two hands
// the next ones are prepared and relaxed ahead, as if weigh had said no; if it says yes
// they are thrown away. So the answer is that of one hand.
func (h *hunt) try(on, prepare, weigh func() bool) bool {
	defer h.crew.drop()
	dice, more := h.dice, true // as the last state that was prepared left them
	for on() {
		for more && !h.crew.full() {
			now, work := h.dice, h.work
			h.dice = dice
			if more = prepare(); more {
				h.crew.give(h.swarm, h.dice, h.work-work)
			}
			dice, h.dice, h.work = h.dice, now, work
		}
		if len(h.crew.line) == 0 {
			return false
		}
		d := h.crew.next()
		h.v, d.v = d.v, h.v
		h.dice, h.work, h.last = d.dice, h.work+d.prepared+d.work, d.e
		if d.stands {
			return true
		}
		if weigh() {
			h.crew.drop()
			dice, more = h.dice, true
		}
	}
	return false
}

// enter puts the present state into the field, if it is among the best and new. The next
// start is the same in any case.
func (h *hunt) enter() bool {
	at, _ := slices.BinarySearchFunc(h.field, h.last, func(s state, e float64) int { return cmp.Compare(s.e, e) })
	if at == mostField || at < len(h.field) && h.field[at].e < h.last*(1+1e-6) {
		return false
	}
	h.field = slices.Insert(h.field, at, state{slices.Clone(h.v[:h.n]), h.last})
	h.field = h.field[:min(len(h.field), mostField)]
	return false
}

// relax lowers the overlaps of the present state and gives what is left of them; true when
// none is.
func (w *swarm) relax() (float64, bool) {
	e := w.descend(2000)
	return e, e < 1e-16 && w.stands()
}

// follow moves a state and keeps what is better, for a turn of so many steps and
// as many again after each gain.
func (h *hunt) follow(s *state, turn int) bool {
	copy(h.v, s.v)
	h.gaps()
	end := h.work + turn
	on := func() bool { return h.work < end && !h.over() }
	moved := func() bool {
		copy(h.v, s.v)
		h.move(s.e)
		return true
	}
	return h.try(on, moved, func() bool {
		if h.last >= s.e*(1-1e-6) {
			return false
		}
		if h.last < s.e*(1-1e-3) {
			end = h.work + turn
		}
		s.e = h.last
		copy(s.v, h.v)
		h.gaps()
		return true
	})
}

// move changes the state: mostly it takes one of the worst holes out and puts it
// into a gap; now and then it shakes a neighbourhood. Where hardly any overlap is
// left, as near a regular pattern, every other time it turns a part of the whole.
func (h *hunt) move(overlap float64) {
	switch {
	case h.dice.below(16) == 0:
		h.shake()
	case overlap < 1e-3 && h.dice.below(2) == 0:
		h.twist()
	case len(h.spots) > 0:
		i, q := h.worst(), h.spots[h.dice.below(min(len(h.spots), 5))]
		h.v[i] = xy{q.x, q.y}
	}
}

// shake throws the points around one of them about.
func (h *hunt) shake() {
	i := h.dice.below(h.n)
	x, y := h.v[i].x, h.v[i].y
	reach := 1.2 + 1.5*h.dice.float()
	for k := range h.n {
		if p := &h.v[k]; math.Hypot(p.x-x, p.y-y) < reach {
			p.x += 0.7 * (h.dice.float() - 0.5)
			p.y += 0.7 * (h.dice.float() - 0.5)
		}
	}
}

// twist turns the points about one of them, the farther the less.
func (h *hunt) twist() {
	i := h.dice.below(h.n)
	x, y := h.v[i].x, h.v[i].y
	wide := 1 + 0.7*h.dice.float()*math.Sqrt(float64(h.n))
	turn := h.dice.float() - 0.5
	for k := range h.n {
		dx, dy := h.v[k].x-x, h.v[k].y-y
		sin, cos := math.Sincos(turn * math.Exp(-(float64(dx*dx)+float64(dy*dy))/(wide*wide)))
		h.v[k] = xy{x + float64(dx*cos) - float64(dy*sin), y + float64(dx*sin) + float64(dy*cos)}
	}
}

// worst picks one of the points that overlap most.
func (h *hunt) worst() int {
	for i := range h.n {
		h.each[i], _, _ = h.g.push(h.v[i].x, h.v[i].y)
	}
	h.pair(h.v)
	for _, near := range h.pairs {
		i, j := near.i, near.j
		if d := math.Hypot(h.v[i].x-h.v[j].x, h.v[i].y-h.v[j].y); d < 1 {
			h.each[i] += (1 - d) * (1 - d)
			h.each[j] += (1 - d) * (1 - d)
		}
	}
	if h.dice.below(5) == 0 {
		return h.dice.below(h.n)
	}
	rank := h.dice.below(min(h.n, 6))
	last := math.Inf(1)
	pick := 0
	for range rank + 1 {
		top := -1.0
		for i := range h.n {
			if h.each[i] < last && h.each[i] > top {
				top, pick = h.each[i], i
			}
		}
		if top < 0 {
			break
		}
		last = top
	}
	return pick
}

// gaps lists the widest gaps of the present state, widest first.
func (h *hunt) gaps() {
	const mesh = 0.2
	h.link(h.v)
	h.spots = h.spots[:0]
	nx, ny := int((h.g.x1-h.g.x0)/mesh)+1, int((h.g.y1-h.g.y0)/mesh)+1
	for b := 0; b <= ny; b++ {
		y := min(h.g.y0+float64(b)*mesh, h.g.y1)
		for a := 0; a <= nx; a++ {
			x := min(h.g.x0+float64(a)*mesh, h.g.x1)
			if h.g.outside(x, y) > 0 {
				continue
			}
			if room := h.room(x, y); room > 0.5 {
				h.offer(spot{x, y, room})
			}
		}
	}
	h.work += (nx + 1) * (ny + 1) * (1 + len(h.g.boxes))
}

// room gives the distance to the nearest point, at most 1.
func (h *hunt) room(x, y float64) float64 {
	cx, cy := h.cell(x, y)
	least := 1.0
	for gy := max(cy-1, 0); gy <= min(cy+1, h.rows-1); gy++ {
		for _, q := range h.around(cx, gy) {
			dx, dy := x-q.x, y-q.y
			least = min(least, float64(dx*dx)+float64(dy*dy))
		}
	}
	return math.Sqrt(least)
}

// offer keeps the ten widest gaps, one for each place.
func (h *hunt) offer(q spot) {
	for i := range h.spots {
		if math.Hypot(h.spots[i].x-q.x, h.spots[i].y-q.y) < 0.5 {
			if q.room <= h.spots[i].room {
				return
			}
			h.spots = slices.Delete(h.spots, i, i+1)
			break
		}
	}
	at := 0
	for at < len(h.spots) && h.spots[at].room >= q.room {
		at++
	}
	if at < 10 {
		h.spots = slices.Insert(h.spots, at, q)
		h.spots = h.spots[:min(len(h.spots), 10)]
	}
}
