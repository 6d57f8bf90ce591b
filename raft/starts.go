package raft

import (
	"cmp"
	"math"
	"slices"
)

// start sets the points for the k-th attempt at the present number.
func (h *hunt) start(k int) {
	switch {
	case k == 0:
		h.fromBest()
	case h.g.round && k%4 != 0:
		h.honeycomb(k - k/4 - 1)
	case h.g.round && k%16 != 0:
		h.rings(k)
	case !h.g.round && k%3 != 0:
		h.rowsStart(k)
	default:
		h.scatter()
	}
}

// fromBest takes the densest layout so far and fills up the widest gaps.
func (h *hunt) fromBest() {
	want := h.n
	copy(h.v, h.best[:h.bestN])
	for h.n = h.bestN; h.n < want; {
		h.gaps()
		q := spot{x: h.g.x0 + h.dice.float()*(h.g.x1-h.g.x0), y: h.g.y0 + h.dice.float()*(h.g.y1-h.g.y0)}
		if len(h.spots) > 0 {
			q = h.spots[0]
		}
		h.v[h.n] = xy{q.x, q.y}
		h.n++
	}
}

// scatter throws all points at random.
func (h *hunt) scatter() {
	for i := range h.n {
		h.throw(i)
	}
}

func (h *hunt) throw(i int) {
	for range 40 {
		p := &h.v[i]
		p.x = h.g.x0 + h.dice.float()*(h.g.x1-h.g.x0)
		p.y = h.g.y0 + h.dice.float()*(h.g.y1-h.g.y0)
		if h.g.outside(p.x, p.y) == 0 {
			return
		}
	}
}

// rings sets points on rings from the rim inwards, each ring some five to seven
// points shorter than the one outside it (hexagonal shells shrink by six).
func (h *hunt) rings(k int) {
	k /= 2
	full := int(math.Pi / math.Asin(min(1, 0.5/max(h.g.rho, 0.5))))
	on, r, i := max(1, full-(k/3)%2), h.g.rho, 0
	for i < h.n {
		turn := 2 * math.Pi * h.dice.float()
		if r < 0.4 {
			on, r = 1, 0
		}
		for a := 0; a < on && i < h.n; a++ {
			angle := turn + 2*math.Pi*float64(a)/float64(on)
			h.v[i] = xy{h.g.cx + r*math.Cos(angle), h.g.cy + r*math.Sin(angle)}
			i++
		}
		if r == 0 {
			break
		}
		on, r = max(1, on-5-h.dice.below(3)), max(0, r-0.86-0.1*h.dice.float())
	}
	for ; i < h.n; i++ {
		h.throw(i)
	}
}

// rowsStart sets points in rows that are squeezed to hold n, along X or along Y,
// and shakes them a little.
func (h *hunt) rowsStart(k int) {
	a, b := h.g.x1-h.g.x0, h.g.y1-h.g.y0
	flip := k&1 == 1
	if flip {
		a, b = b, a
	}
	ideal := b/(math.Sqrt(3)/2) + 1
	rows := max(1, int(ideal)+(k/3)%3-h.dice.below(2))
	longer := max(1, int(math.Ceil((float64(h.n)+float64(rows/2))/float64(rows))))
	i := 0
	for r := range rows {
		on := longer
		if r&1 == 1 && h.dice.below(3) > 0 {
			on--
		}
		y := b * float64(r) / float64(max(1, rows-1))
		for c := 0; c < on && i < h.n; c++ {
			x := a * (float64(c) + 0.5) / float64(on)
			if on == longer {
				x = a * float64(c) / float64(max(1, on-1))
			}
			x += 0.1 * (h.dice.float() - 0.5)
			px, py := h.g.x0+x, h.g.y0+y
			if flip {
				px, py = h.g.x0+y, h.g.y0+x
			}
			h.v[i] = xy{px, py}
			i++
		}
	}
	for ; i < h.n; i++ {
		h.throw(i)
	}
}

// honeycomb takes the n points of a hexagonal lattice nearest to the middle of a
// disc; the middle is a lattice point, the middle of a triangle or of an edge, or
// any place. Half of them are twisted: dense discs of this kind often are.
func (h *hunt) honeycomb(k int) {
	ox, oy := 0.5*h.dice.float(), math.Sqrt(3)/6*h.dice.float()
	switch {
	case k < 6:
		ox, oy = []float64{0, 0.5, 0.5}[k%3], []float64{0, math.Sqrt(3) / 6, 0}[k%3]
	case oy > ox/math.Sqrt(3): // into the triangle that repeats
		ox, oy = 0.5-ox, math.Sqrt(3)/6-oy
	}
	type near struct{ d2, x, y float64 }
	var all []near
	reach := int(h.g.rho) + 4
	for b := -reach; b <= reach; b++ {
		for a := -reach - reach/2; a <= reach+reach/2; a++ {
			x := float64(a) + 0.5*float64(b&1) - ox
			y := float64(b)*math.Sqrt(3)/2 - oy
			all = append(all, near{float64(x*x) + float64(y*y), x, y})
		}
	}
	slices.SortStableFunc(all, func(p, q near) int { return cmp.Compare(p.d2, q.d2) })
	twist := 0.25 * float64((k/3)%2) * (h.dice.float() - 0.2)
	scale := min(1, h.g.rho/math.Sqrt(max(all[h.n-1].d2, 1e-9)))
	for i := range h.n {
		x, y := all[i].x*scale, all[i].y*scale
		sin, cos := math.Sincos(twist * all[i].d2 / max(h.g.rho*h.g.rho, 1e-9)) // a disc may leave one place only
		h.v[i].x = h.g.cx + float64(x*cos) - float64(y*sin) + 0.05*(h.dice.float()-0.5)
		h.v[i].y = h.g.cy + float64(x*sin) + float64(y*cos) + 0.05*(h.dice.float()-0.5)
	}
}
