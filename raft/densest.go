package raft

import (
	"math"
	"slices"
)

// Size of the search: beyond mostSearched holes only lattices are tried.
const (
	mostSearched = 700
	searchWork   = 75_000_000 // pair visits of all searches for one raft
	mostStarts   = 90         // attempts at one number of holes; small rafts need few
)

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
	dice   dice
	budget int

	keep  []float64 // the state that hops start from
	each  []float64 // overlap of each point
	spots []spot
	best  []float64 // the densest layout so far
	bestN int
	last  float64 // overlap energy after the last descent
}

type spot struct{ x, y, room float64 }

// densest looks for more holes than the better lattice has. It adds one hole at
// a time: many starts, each relaxed by pushing overlapping holes apart; what
// still overlaps is taken out and put into the widest gap, over and over. The
// number of steps is fixed (work, in pair visits), so the answer does not depend on the machine's speed.
func densest(p plot, s float64, lattice []xy, work int) ([]xy, bool) {
	bound := p.bound(s)
	if len(lattice) >= bound {
		return lattice, len(lattice) > 0
	}
	if bound > mostSearched {
		return lattice, false
	}
	g := groundOf(p, s)
	h := newHunt(&g, bound+1, work)
	for i, q := range lattice {
		h.best[2*i], h.best[2*i+1] = q.x/s, q.y/s
	}
	h.bestN = len(lattice)
	for h.bestN < bound && h.find(h.bestN+1) {
	}
	if h.bestN == len(lattice) {
		return lattice, true
	}
	h.loosen()
	out := make([]xy, h.bestN)
	for i := range out {
		out[i] = xy{h.best[2*i] * s, h.best[2*i+1] * s}
	}
	return out, true
}

// loosen spreads the layout found while its holes stay as many, so that marks
// rounded to a tape still keep the distance: the first of a few shares by which
// all distances can grow.
func (h *hunt) loosen() {
	h.n = h.bestN
	for _, more := range []float64{0.02, 0.015, 0.01, 0.007, 0.005, 0.003, 0.002, 0.001} {
		copy(h.v, h.best[:2*h.n])
		h.target = 1 + more
		if h.descend(300, 0) < 1e-16 && h.stands() {
			copy(h.best, h.v[:2*h.n])
			return
		}
	}
}

// newHunt makes room for so many holes; the seed is fixed.
func newHunt(g *ground, capacity, work int) *hunt {
	return &hunt{swarm: newSwarm(g, capacity), dice: 20240229, budget: work,
		keep: make([]float64, 2*capacity), best: make([]float64, 2*capacity), each: make([]float64, capacity)}
}

// find tries to place n holes within what is left of the budget.
func (h *hunt) find(n int) bool {
	h.n = n
	for start := 0; start < mostStarts && h.work < h.budget; start++ {
		h.start(start)
		if h.relax(math.Inf(1)) || h.creep() || h.hop() {
			copy(h.best, h.v[:2*n])
			h.bestN = n
			return true
		}
	}
	return false
}

// relax lowers the overlaps of the present state; true when none is left.
func (h *hunt) relax(goal float64) bool {
	e := h.descend(80, goal)
	if e < 2e-3 {
		e = h.descend(500, 0)
	}
	h.last = e
	return e < 1e-16 && h.stands()
}

// creep goes on where hardly any overlap is left: near a regular pattern the way
// to none is long and flat.
func (h *hunt) creep() bool {
	if h.last > 2e-4 || h.last <= 1e-16 {
		return false
	}
	h.last = h.descend(1500, 0)
	return h.last < 1e-16 && h.stands()
}

// hop takes the worst hole out and puts it into a gap, keeps what is better, and
// gives up after a number of hops without gain.
func (h *hunt) hop() bool {
	m := 2 * h.n
	copy(h.keep[:m], h.v[:m])
	h.gaps()
	kept := h.last
	patience := 60 + h.n/2
	for fails := 0; fails < patience && h.work < h.budget; fails++ {
		copy(h.v[:m], h.keep[:m])
		h.move()
		if h.relax(kept) {
			return true
		}
		if h.last < kept*(1-1e-6) {
			if h.last < kept*(1-1e-3) {
				fails = -1
			}
			kept = h.last
			copy(h.keep[:m], h.v[:m])
			h.gaps()
		}
	}
	return false
}

// move changes the state at one place.
func (h *hunt) move() {
	if h.dice.below(8) == 0 { // shake a neighbourhood
		i := h.dice.below(h.n)
		x, y := h.v[2*i], h.v[2*i+1]
		reach := 1.2 + 1.5*h.dice.float()
		for k := range h.n {
			if math.Hypot(h.v[2*k]-x, h.v[2*k+1]-y) < reach {
				h.v[2*k] += 0.7 * (h.dice.float() - 0.5)
				h.v[2*k+1] += 0.7 * (h.dice.float() - 0.5)
			}
		}
		return
	}
	i := h.worst()
	if len(h.spots) == 0 {
		return
	}
	q := h.spots[h.dice.below(min(len(h.spots), 5))]
	h.v[2*i], h.v[2*i+1] = q.x, q.y
}

// worst picks one of the points that overlap most.
func (h *hunt) worst() int {
	for i := range h.n {
		h.each[i], _, _ = h.g.push(h.v[2*i], h.v[2*i+1])
	}
	h.pair(h.v)
	for k := 0; k < len(h.pairs); k += 2 {
		i, j := h.pairs[k], h.pairs[k+1]
		if d := math.Hypot(h.v[2*i]-h.v[2*j], h.v[2*i+1]-h.v[2*j+1]); d < 1 {
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
		for gx := max(cx-1, 0); gx <= min(cx+1, h.cols-1); gx++ {
			for k := h.heads[gy*h.cols+gx]; k >= 0; k = h.nxt[k] {
				dx, dy := x-h.v[2*k], y-h.v[2*k+1]
				least = min(least, float64(dx*dx)+float64(dy*dy))
			}
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
