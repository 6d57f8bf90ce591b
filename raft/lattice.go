package raft

import (
	"cmp"
	"context"
	"math"

	"raftwright/internal/inorder"
	"raftwright/unit"
)

// Layout is where the holes of one kind of piece go, from its lower left corner
// (of a disc: of the square around it).
type Layout struct {
	Pattern   Pattern
	Size      Size
	Round     bool
	Positions []Point // row by row from the bottom, left to right

	LeastSpacing unit.Length // 0 with fewer than two holes
	LeastEdge    unit.Length // from rim and obstacles

	SquareHoles     int  // what the square lattice holds
	StaggeredAlongX int  // what rows along X hold, every other one moved
	StaggeredAlongY int  // the same with rows along Y
	UpperBound      int  // no layout holds more (Oler 1961)
	Searched        bool // best: a search went beyond the lattices
	Spent           bool // best: the steps ended the search
	Regular         bool // the holes stand on a lattice, in rows

	plot plot
}

// xy is a point in metres, for the inner loops.
type xy struct{ x, y float64 }

// search is what a search for the best pattern may use.
type search struct {
	ctx   context.Context // that may end it
	steps int
	known Circles
}

// layOut sets the holes of one piece out in the pattern asked for.
func layOut(p plot, pattern Pattern, spacing unit.Length, by search) Layout {
	s := spacing.Metres()
	square := squareLattice(p, s)
	alongX := staggeredLattice(p, s)
	alongY := turnBack(staggeredLattice(p.turned(), s))
	l := Layout{Pattern: pattern, Size: Size{unit.Length(p.w), unit.Length(p.h)}, Round: p.round, plot: p,
		SquareHoles: len(square), StaggeredAlongX: len(alongX), StaggeredAlongY: len(alongY), UpperBound: p.bound(s)}
	staggered := alongX
	if len(alongY) > len(alongX) {
		staggered = alongY
	}
	chosen := square
	switch pattern {
	case Staggered:
		chosen = staggered
	case Best:
		if len(staggered) > len(chosen) {
			chosen = staggered
		}
		chosen, l.Searched, l.Spent = densest(p, s, chosen, by)
	}
	l.Regular = len(chosen) <= max(len(square), len(staggered))
	l.Positions = make([]Point, len(chosen))
	for i, q := range chosen {
		l.Positions[i] = Point{unit.Length(q.x), unit.Length(q.y)}
	}
	sortPoints(l.Positions)
	l.measure()
	return l
}

// measure finds the least distances that the layout really has.
func (l *Layout) measure() {
	l.LeastSpacing = leastSpacing(l.Positions)
	for i, q := range l.Positions {
		d := unit.Length(l.plot.edgeAt(q.X.Metres(), q.Y.Metres()))
		if i == 0 || d < l.LeastEdge {
			l.LeastEdge = d
		}
	}
}

// turned gives the piece mirrored about its diagonal, so that X and Y change places.
func (p plot) turned() plot {
	q := p
	q.w, q.h = p.h, p.w
	q.seam = seams{p.seam.low, p.seam.high, p.seam.left, p.seam.right}
	q.margin = sides{p.margin.low, p.margin.high, p.margin.left, p.margin.right}
	q.boxes = make([]box, len(p.boxes))
	for i, b := range p.boxes {
		q.boxes[i] = box{b.y0, b.x0, b.y1, b.x1}
	}
	return q
}

func turnBack(points []xy) []xy {
	for i, q := range points {
		points[i] = xy{q.y, q.x}
	}
	return points
}

// lattice is rows of points: every row dx apart, rows dy apart, every other row
// moved by shift, through the point (x, y).
type lattice struct{ x, y, dx, dy, shift float64 }

// steps gives how often the step fits in a length, with a little tolerance.
func steps(length, step float64) int {
	return int(math.Floor(length/step + tolerance))
}

// rest gives half of what a pattern leaves of a room, nothing for dust, so that a
// pattern that fits exactly starts exactly on its margin.
func rest(room, used float64) float64 {
	if half := (room - used) / 2; math.Abs(half) > tolerance*room {
		return half
	}
	return 0
}

// points gives the lattice's points on which a centre may stand.
func (g lattice) points(p plot, slack float64, out []xy) []xy {
	lowX, highX, lowY, highY := p.reach()
	first := int(math.Ceil((lowY-slack-g.y)/g.dy - tolerance))
	for k := first; ; k++ {
		y := g.y + float64(k)*g.dy
		if y > highY+slack {
			return out
		}
		x0 := g.x
		if k&1 != 0 {
			x0 += g.shift
		}
		left, right := lowX, highX
		if p.round { // the chord of the disc at this height
			half := math.Sqrt(max(0, (p.rho()+slack)*(p.rho()+slack)-(y-p.h/2)*(y-p.h/2)))
			left, right = p.w/2-half, p.w/2+half
		}
		for i := int(math.Ceil((left-slack-x0)/g.dx - tolerance)); ; i++ {
			x := x0 + float64(i)*g.dx
			if x > right+slack {
				break
			}
			if p.open(x, y, slack) {
				out = append(out, xy{x, y})
			}
		}
	}
}

// reach gives the rectangle around the part where centres may stand.
func (p plot) reach() (lowX, highX, lowY, highY float64) {
	if p.round {
		return p.edge, p.w - p.edge, p.edge, p.h - p.edge
	}
	return p.margin.left, p.w - p.margin.right, p.margin.low, p.h - p.margin.high
}

// squareLattice gives (floor(a/s)+1)(floor(b/s)+1) holes on a clear rectangle,
// in the middle of it; elsewhere the best of many positions of the lattice.
func squareLattice(p plot, s float64) []xy {
	if p.bound(s) == 0 {
		return nil
	}
	a, b := p.inner()
	centred := lattice{x: p.margin.left + rest(a, float64(steps(a, s))*s), y: p.margin.low + rest(b, float64(steps(b, s))*s), dx: s, dy: s}
	if p.round {
		centred = lattice{x: p.w / 2, y: p.h / 2, dx: s, dy: s}
	}
	return bestPlaced(p, s, centred)
}

// staggeredLattice has rows along X, s*sqrt(3)/2 apart, every other row moved by
// s/2; in the middle of a clear rectangle, elsewhere where it holds most.
func staggeredLattice(p plot, s float64) []xy {
	if p.bound(s) == 0 {
		return nil
	}
	dy := s * math.Sqrt(3) / 2
	a, b := p.inner()
	extent := float64(steps(a, s)) * s
	if a+tolerance*s >= extent+s/2 { // both kinds of row are equally long
		extent += s / 2
	}
	centred := lattice{x: p.margin.left + rest(a, extent), y: p.margin.low + rest(b, float64(steps(b, dy))*dy), dx: s, dy: dy, shift: s / 2}
	if p.round {
		centred = lattice{x: p.w / 2, y: p.h / 2, dx: s, dy: dy, shift: s / 2}
	}
	return bestPlaced(p, s, centred)
}

// bestPlaced moves the lattice about and keeps the position with most holes; of
// equals the first, and the centred one comes first. On a clear rectangle the
// centred one cannot be beaten.
func bestPlaced(p plot, s float64, centred lattice) []xy {
	slack := tolerance * s
	best := centred.points(p, slack, nil)
	if !p.round && len(p.boxes) == 0 {
		return best
	}
	// as many positions as keep the whole search near 60 000 points
	grid := min(24, max(2, 2*int(math.Sqrt(6e4/float64((len(best)+1)*(8+len(p.boxes))/8))/2)))
	period := centred.dy
	if centred.shift != 0 {
		period = 2 * centred.dy
	}
	var trial []xy
	for i := range grid {
		for k := range grid {
			g := centred
			g.x += float64(i) / float64(grid) * g.dx
			g.y += float64(k) / float64(grid) * period
			trial = g.points(p, slack, trial[:0])
			if len(trial) > len(best) {
				best = append(best[:0], trial...)
			}
		}
	}
	return best
}

// sortPoints puts points in reading order from the bottom: by row (to a tenth of
// a micrometre), then from left to right.
func sortPoints(points []Point) {
	row := func(p Point) float64 { return math.Round(p.Y.Metres() * 1e7) }
	inorder.Put(points, func(a, b Point) int {
		if c := cmp.Compare(row(a), row(b)); c != 0 {
			return c
		}
		return cmp.Compare(a.X, b.X)
	})
}

// leastSpacing gives the least distance between two points, 0 for fewer than
// two. The points are sorted by row and in the row from left to right, so that
// for each only the next in its row and those within reach in the rows above are
// looked at.
func leastSpacing(points []Point) unit.Length {
	if len(points) < 2 {
		return 0
	}
	best := math.Inf(1)
	var rows []int // where each row starts
	for i := range points {
		if i == 0 || math.Abs(float64(points[i].Y-points[i-1].Y)) > 2e-7 || points[i].X < points[i-1].X {
			rows = append(rows, i)
		} else {
			best = min(best, apart(points[i], points[i-1]))
		}
	}
	rows = append(rows, len(points))
	for r := 0; r+2 < len(rows); r++ {
		for q := r + 1; q+1 < len(rows); q++ {
			if float64(points[rows[q]].Y-points[rows[r]].Y)-1e-6 > best {
				break
			}
			best = min(best, betweenRows(points[rows[r]:rows[r+1]], points[rows[q]:rows[q+1]], best))
		}
	}
	return unit.Length(best)
}

// betweenRows gives the least distance between two rows, if it is below best.
func betweenRows(low, high []Point, best float64) float64 {
	k := 0
	for _, a := range low {
		for k < len(high) && float64(a.X-high[k].X) > best {
			k++
		}
		for m := k; m < len(high) && float64(high[m].X-a.X) <= best; m++ {
			best = min(best, apart(a, high[m]))
		}
	}
	return best
}

// apart gives the distance of two points.
func apart(a, b Point) float64 {
	dx, dy := float64(a.X-b.X), float64(a.Y-b.Y)
	return math.Sqrt(dx*dx + dy*dy)
}
