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
	seam   seams   // sides that lie against another sheet
	margin sides   // that centres keep: the edge, or half a spacing at a seam
	boxes  []box   // obstacles
}

// seams and sides hold something for each side of a piece.
type (
	seams struct{ left, right, low, high bool }
	sides struct{ left, right, low, high float64 }
)

// spaced sets the margins for an edge distance and a spacing. At a seam a hole
// keeps half the spacing, so that plants on two sheets are not closer than on one.
func (p plot) spaced(edge, s float64) plot {
	keep := func(seam bool) float64 {
		if seam {
			return max(edge, s/2)
		}
		return edge
	}
	p.edge = edge
	p.margin = sides{keep(p.seam.left), keep(p.seam.right), keep(p.seam.low), keep(p.seam.high)}
	return p
}

// halfTurned gives the piece turned by 180 degrees.
func (p plot) halfTurned() plot {
	p.seam = seams{p.seam.right, p.seam.left, p.seam.high, p.seam.low}
	p.margin = sides{p.margin.right, p.margin.left, p.margin.high, p.margin.low}
	boxes := make([]box, len(p.boxes))
	for i, b := range p.boxes {
		boxes[len(boxes)-1-i] = box{p.w - b.x1, p.h - b.y1, p.w - b.x0, p.h - b.y0}
	}
	p.boxes = boxes
	return p
}

// same says whether two pieces are drilled alike.
func (p plot) same(q plot) bool {
	const dust = 1e-9
	near := func(a, b float64) bool { return math.Abs(a-b) < dust }
	if !near(p.w, q.w) || !near(p.h, q.h) || p.margin != q.margin || len(p.boxes) != len(q.boxes) {
		return false
	}
	for i, b := range p.boxes {
		c := q.boxes[i]
		if !near(b.x0, c.x0) || !near(b.y0, c.y0) || !near(b.x1, c.x1) || !near(b.y1, c.y1) {
			return false
		}
	}
	return true
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
func (p plot) inner() (a, b float64) {
	return p.w - p.margin.left - p.margin.right, p.h - p.margin.low - p.margin.high
}

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
func (p *plot) open(x, y, slack float64) bool {
	if p.round {
		dx, dy := x-p.w/2, y-p.h/2
		r := p.rho() + slack
		if r < 0 || float64(dx*dx)+float64(dy*dy) > r*r {
			return false
		}
	} else if m := p.margin; x < m.left-slack || x > p.w-m.right+slack || y < m.low-slack || y > p.h-m.high+slack {
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
func (p *plot) edgeAt(x, y float64) float64 {
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

// Obstacles gives the rectangles of a sheet to keep clear, in its own axes.
func (l Layout) Obstacles() []Obstacle {
	var out []Obstacle
	for _, b := range l.plot.boxes {
		out = append(out, Obstacle{At: Point{unit.Length(b.x0), unit.Length(b.y0)}, Size: Size{unit.Length(b.x1 - b.x0), unit.Length(b.y1 - b.y0)}})
	}
	return out
}
