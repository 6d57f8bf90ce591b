package raft

import (
	"math"

	"raftwright/unit"
)

// tolerance is the share of the spacing by which floating-point dust may break
// a distance: a third of a nanometre at a foot.
const tolerance = 1e-9

// plot is one piece of foam and the part of it where a hole's centre may stand.
// All figures in metres.
type plot struct {
	w, h   float64 // outer size; of a disc, its diameter both ways
	round  bool
	edge   float64 // from rim and obstacles
	mx, my float64 // margin along X and Y: the edge, or half a spacing at a seam
	boxes  []box   // obstacles
}

// box is an obstacle: opposite corners.
type box struct{ x0, y0, x1, y1 float64 }

// away gives the distance of a point from the box, negative inside it, and the
// direction in which the distance grows.
func (b box) away(x, y float64) (d, nx, ny float64) {
	dx := math.Max(b.x0-x, x-b.x1)
	dy := math.Max(b.y0-y, y-b.y1)
	sx, sy := 1.0, 1.0
	if b.x0-x > x-b.x1 {
		sx = -1
	}
	if b.y0-y > y-b.y1 {
		sy = -1
	}
	switch {
	case dx > 0 && dy > 0:
		d = math.Sqrt(float64(dx*dx) + float64(dy*dy))
		return d, sx * dx / d, sy * dy / d
	case dx > dy:
		return dx, sx, 0
	}
	return dy, 0, sy
}

// inner gives the size of the rectangle that centres may use.
func (p plot) inner() (a, b float64) { return p.w - 2*p.mx, p.h - 2*p.my }

// rho gives the radius that centres may use on a disc.
func (p plot) rho() float64 { return p.w/2 - p.edge }

// area gives the foam of the piece before drilling, obstacles left in.
func (p plot) area() unit.Area {
	if p.round {
		return unit.Area(math.Pi / 4 * p.w * p.w)
	}
	return unit.Area(p.w * p.h)
}

// open says whether a hole's centre may stand here, with a slack in metres.
func (p plot) open(x, y, slack float64) bool {
	if p.round {
		dx, dy := x-p.w/2, y-p.h/2
		r := p.rho() + slack
		if r < 0 || float64(dx*dx)+float64(dy*dy) > r*r {
			return false
		}
	} else if x < p.mx-slack || x > p.w-p.mx+slack || y < p.my-slack || y > p.h-p.my+slack {
		return false
	}
	for _, b := range p.boxes {
		if d, _, _ := b.away(x, y); d < p.edge-slack {
			return false
		}
	}
	return true
}

// edgeAt gives the distance of a point from the rim or the nearest obstacle.
func (p plot) edgeAt(x, y float64) float64 {
	d := min(x, p.w-x, y, p.h-y)
	if p.round {
		d = p.w/2 - math.Hypot(x-p.w/2, y-p.h/2)
	}
	for _, b := range p.boxes {
		away, _, _ := b.away(x, y)
		d = min(d, away)
	}
	return d
}

// bound gives Oler's upper bound on the points at least s apart in the part
// where centres may stand: N <= 2A/(sqrt(3) s^2) + P/(2s) + 1 for a convex
// region of area A and perimeter P (Oler, Acta Math. 105:19, 1961). Obstacles
// only lower the true number.
func (p plot) bound(s float64) int {
	area, perimeter := 0.0, 0.0
	if p.round {
		r := p.rho()
		if r < -tolerance*s {
			return 0
		}
		r = max(r, 0)
		area, perimeter = math.Pi*r*r, 2*math.Pi*r
	} else {
		a, b := p.inner()
		if a < -tolerance*s || b < -tolerance*s {
			return 0
		}
		a, b = max(a, 0), max(b, 0)
		area, perimeter = a*b, 2*(a+b)
	}
	n := 2*area/(math.Sqrt(3)*s*s) + perimeter/(2*s) + 1
	return int(math.Min(math.Floor(n+1e-6), 1e12))
}
