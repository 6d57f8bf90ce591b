package raft

import (
	"math"
	"sync/atomic"
)

// The search for a denser layout works in spacings: every length is divided by
// the spacing, so that two holes must stand 1 apart. Products are rounded one by
// one (float64(x*y)), which keeps processors that fuse multiply and add from
// taking another path through the search.

// ground is the part of a piece where centres may stand, in spacings.
type ground struct {
	round          bool
	x0, x1, y0, y1 float64 // of a disc, the square around it
	cx, cy, rho    float64
	edge           float64
	boxes          []box
}

// groundOf scales a piece.
func groundOf(p plot, s float64) ground {
	g := ground{round: p.round, edge: p.edge / s}
	g.x0, g.x1, g.y0, g.y1 = p.reach()
	g.x0, g.x1, g.y0, g.y1 = g.x0/s, g.x1/s, g.y0/s, g.y1/s
	if p.round {
		g.cx, g.cy, g.rho = p.w/2/s, p.h/2/s, p.rho()/s
	}
	for _, b := range p.boxes {
		g.boxes = append(g.boxes, box{b.x0 / s, b.y0 / s, b.x1 / s, b.y1 / s})
	}
	return g
}

// outside gives how far a point stands outside the ground, 0 for inside.
func (g *ground) outside(x, y float64) float64 {
	worst := 0.0
	if g.round {
		worst = max(0, math.Hypot(x-g.cx, y-g.cy)-g.rho)
	} else {
		worst = max(0, g.x0-x, x-g.x1, g.y0-y, y-g.y1)
	}
	for _, b := range g.boxes {
		d, _, _ := b.away(x, y)
		worst = max(worst, g.edge-d)
	}
	return worst
}

// beyond gives how far x lies outside a span, negative below it.
func beyond(x, low, high float64) float64 {
	if x < low {
		return x - low
	}
	if x > high {
		return x - high
	}
	return 0
}

// push adds the penalty of a point outside the ground and its gradient.
func (g *ground) push(x, y float64) (e, gx, gy float64) {
	if g.round {
		dx, dy := x-g.cx, y-g.cy
		if r2 := float64(dx*dx) + float64(dy*dy); r2 > g.rho*g.rho {
			r := math.Sqrt(r2)
			over := r - g.rho
			e = over * over
			gx, gy = 2*over*dx/r, 2*over*dy/r
		}
	} else {
		if over := beyond(x, g.x0, g.x1); over != 0 {
			e, gx = over*over, 2*over
		}
		if over := beyond(y, g.y0, g.y1); over != 0 {
			e += float64(over * over)
			gy = 2 * over
		}
	}
	for _, b := range g.boxes {
		if d, nx, ny := b.away(x, y); d < g.edge {
			over := g.edge - d
			e += float64(over * over)
			gx -= float64(2 * over * nx)
			gy -= float64(2 * over * ny)
		}
	}
	return e, gx, gy
}

// skin is how much farther than the target a pair may be and still stand in the
// list of near pairs; the list holds until a point has moved half of it.
const skin = 0.35

// swarm is n points in motion and what the descent needs.
type swarm struct {
	g      *ground
	n      int
	target float64 // distance wanted, 1 and a little
	v      []xy

	pairs      []pair
	overlap    []pair
	ref        []xy // where the points stood when pairs was made
	cols, rows int
	first      []int32  // where the points of a cell begin in sorted; one more than there are cells
	in         []int32  // the cell of each point
	sorted     []placed // by cell, of a cell the last first
	work       int      // pair visits so far: the only clock of the search

	stop atomic.Bool // what comes out is not wanted any more

	grad, dir, trial, trialGrad []xy
	hist                        [memory]step
}

// pair is two near points.
type pair struct{ i, j int32 }

// placed is a point and where it stands.
type placed struct {
	xy
	i int32
}

// memory is the number of steps the descent remembers.
const memory = 4

type step struct {
	s, y       []xy
	rho, scale float64
}

func newSwarm(g *ground, capacity int) *swarm {
	w := &swarm{g: g, target: 1 + 1e-10}
	points := func() []xy { return make([]xy, capacity) }
	w.v, w.ref, w.grad, w.dir, w.trial, w.trialGrad = points(), points(), points(), points(), points(), points()
	for i := range w.hist {
		w.hist[i] = step{s: points(), y: points()}
	}
	w.cols = int((g.x1-g.x0)/(1+skin)) + 3
	w.rows = int((g.y1-g.y0)/(1+skin)) + 3
	w.first = make([]int32, w.cols*w.rows+1)
	w.in = make([]int32, capacity)
	w.sorted = make([]placed, capacity)
	return w
}

// cell gives the cell of a point; points outside count to the border cells.
func (w *swarm) cell(x, y float64) (cx, cy int) {
	cx = min(max(int((x-w.g.x0)*(1/(1+skin)))+1, 0), w.cols-1)
	cy = min(max(int((y-w.g.y0)*(1/(1+skin)))+1, 0), w.rows-1)
	return cx, cy
}

// link sorts points into cells.
func (w *swarm) link(v []xy) {
	clear(w.first)
	v = v[:w.n]
	for i, p := range v {
		cx, cy := w.cell(p.x, p.y)
		c := int32(cy*w.cols + cx)
		w.in[i] = c
		w.first[c]++
	}
	sum := int32(0)
	for c, n := range w.first {
		sum += n
		w.first[c] = sum // where the cell ends: each of its points steps back
	}
	for i, p := range v {
		c := w.in[i]
		w.first[c]--
		w.sorted[w.first[c]] = placed{p, int32(i)}
	}
}

// around gives the points of a row of cells in the cell of a point and in those beside it.
func (w *swarm) around(cx, row int) []placed {
	row *= w.cols
	return w.sorted[w.first[row+max(cx-1, 0)]:w.first[row+min(cx+1, w.cols-1)+1]]
}

// pair makes the list of near pairs.
func (w *swarm) pair(v []xy) {
	copy(w.ref[:w.n], v[:w.n])
	w.link(v)
	pairs, n := w.pairs[:cap(w.pairs)], 0
	reach := (w.target + skin) * (w.target + skin)
	for i, p := range v[:w.n] {
		cx, cy := int(w.in[i])%w.cols, int(w.in[i])/w.cols
		for gy := max(cy-1, 0); gy <= min(cy+1, w.rows-1); gy++ {
			near := w.around(cx, gy)
			if n+len(near) > len(pairs) {
				pairs = append(pairs, make([]pair, len(pairs)+len(near))...)
			}
			for _, q := range near { // without a branch, as in overlapping
				dx, dy := p.x-q.x, p.y-q.y
				pairs[n] = pair{int32(i), q.i}
				m := n + 1
				if float64(dx*dx)+float64(dy*dy) >= reach {
					m = n
				}
				if q.i <= int32(i) {
					m = n
				}
				n = m
			}
		}
	}
	w.pairs = pairs[:n]
	w.work += 8 * w.n
}

// moved says whether the list of near pairs has aged.
func (w *swarm) moved(v []xy) bool {
	const limit = skin * skin / 4
	ref := w.ref[:w.n]
	v = v[:len(ref)]
	for i, p := range v {
		dx, dy := p.x-ref[i].x, p.y-ref[i].y
		if float64(dx*dx)+float64(dy*dy) > limit {
			return true
		}
	}
	return false
}

// overlapping picks the near pairs that overlap, without a branch, which a processor would
// guess wrong for a third of them.
func (w *swarm) overlapping(v []xy) []pair {
	t2 := w.target * w.target
	if cap(w.overlap) < len(w.pairs) {
		w.overlap = make([]pair, 2*len(w.pairs))
	}
	out, n := w.overlap[:len(w.pairs)], 0
	for _, near := range w.pairs {
		p, q := v[near.i], v[near.j]
		dx, dy := p.x-q.x, p.y-q.y
		out[n] = near
		m := n + 1
		if float64(dx*dx)+float64(dy*dy) >= t2 {
			m = n
		}
		n = m
	}
	return out[:n]
}

// energy sums the squares of all overlaps and writes the gradient.
func (w *swarm) energy(v, grad []xy) float64 {
	if w.moved(v) {
		w.pair(v)
	}
	e, g := 0.0, w.g
	easy := !g.round && len(g.boxes) == 0
	v = v[:w.n]
	grad = grad[:len(v)]
	for i, p := range v {
		if easy && p.x >= g.x0 && p.x <= g.x1 && p.y >= g.y0 && p.y <= g.y1 {
			grad[i] = xy{}
			continue
		}
		pe, gx, gy := g.push(p.x, p.y)
		e += pe
		grad[i] = xy{gx, gy}
	}
	t := w.target
	for _, near := range w.overlapping(v) {
		p, q := v[near.i], v[near.j]
		dx, dy := p.x-q.x, p.y-q.y
		d := math.Sqrt(float64(dx*dx) + float64(dy*dy))
		over := t - d
		e += float64(over * over)
		if d < 1e-9 {
			d = 1e-9
		}
		f := 2 * over / d
		fx, fy := float64(f*dx), float64(f*dy)
		a, b := &grad[near.i], &grad[near.j]
		a.x -= fx
		a.y -= fy
		b.x += fx
		b.y += fy
	}
	w.work += len(w.pairs) + 2*w.n*(1+len(g.boxes))
	return e
}

// dot sums in four strands, so that no addition waits for the one before.
func dot(a, b []xy) float64 {
	b = b[:len(a)]
	var s0, s1, s2, s3 float64
	i := 0
	for ; i < len(a)-1; i += 2 {
		s0 += float64(a[i].x * b[i].x)
		s1 += float64(a[i].y * b[i].y)
		s2 += float64(a[i+1].x * b[i+1].x)
		s3 += float64(a[i+1].y * b[i+1].y)
	}
	if i < len(a) {
		s0 += float64(a[i].x * b[i].x)
		s0 += float64(a[i].y * b[i].y)
	}
	return s0 + s1 + s2 + s3
}

// change sets s to a move and y to the change of the slope, and gives what dot gives of
// s and y, and of y and y.
func change(s, y, to, from, slopeTo, slopeFrom []xy) (sy, yy float64) {
	n := len(s)
	y, to, from, slopeTo, slopeFrom = y[:n], to[:n], from[:n], slopeTo[:n], slopeFrom[:n]
	for i := range s {
		s[i] = xy{to[i].x - from[i].x, to[i].y - from[i].y}
		y[i] = xy{slopeTo[i].x - slopeFrom[i].x, slopeTo[i].y - slopeFrom[i].y}
	}
	return dot(s, y), dot(y, y)
}

// alongDot adds t times b to a, scales the sum, and gives what dot gives of c and a then.
func alongDot(a, b, c []xy, t, scale float64) float64 {
	b, c = b[:len(a)], c[:len(a)]
	var s0, s1, s2, s3 float64
	i := 0
	for ; i < len(a)-1; i += 2 {
		x0, x1, x2, x3 := scale*(a[i].x+float64(t*b[i].x)), scale*(a[i].y+float64(t*b[i].y)), scale*(a[i+1].x+float64(t*b[i+1].x)), scale*(a[i+1].y+float64(t*b[i+1].y))
		a[i], a[i+1] = xy{x0, x1}, xy{x2, x3}
		s0 += float64(c[i].x * x0)
		s1 += float64(c[i].y * x1)
		s2 += float64(c[i+1].x * x2)
		s3 += float64(c[i+1].y * x3)
	}
	if i < len(a) {
		a[i] = xy{scale * (a[i].x + float64(t*b[i].x)), scale * (a[i].y + float64(t*b[i].y))}
		s0 += float64(c[i].x * a[i].x)
		s0 += float64(c[i].y * a[i].y)
	}
	return s0 + s1 + s2 + s3
}

// direct turns the gradient into a direction by the limited-memory BFGS two-loop
// recursion (Nocedal 1980), and gives the slope along it; used is the number of
// remembered steps.
func (w *swarm) direct(used, newest int) float64 {
	m := w.n
	d, grad := w.dir[:m], w.grad[:m]
	if used == 0 {
		for i, g := range grad {
			d[i] = xy{-0.25 * g.x, -0.25 * g.y}
		}
		return dot(grad, d)
	}
	for i, g := range grad {
		d[i] = xy{-g.x, -g.y}
	}
	of := func(k int) *step { return &w.hist[(newest-k+memory)%memory] }
	var alpha [memory]float64
	alpha[0] = of(0).rho * dot(of(0).s[:m], d)
	for k := range used - 1 {
		next := of(k + 1)
		alpha[k+1] = next.rho * alongDot(d, of(k).y, next.s, -alpha[k], 1)
	}
	last := of(used - 1)
	left := alongDot(d, last.y, last.y, -alpha[used-1], of(0).scale)
	for k := used - 1; k > 0; k-- {
		left = alongDot(d, of(k).s, of(k-1).y, alpha[k]-float64(of(k).rho*left), 1)
	}
	return alongDot(d, of(0).s, grad, alpha[0]-float64(of(0).rho*left), 1)
}

// descend lowers the energy of the points, for at most so many steps, and gives
// what is left. It ends early when nothing overlaps, when eight steps gain less
// than a hundredth, and when much is left after eighty.
func (w *swarm) descend(most int) float64 {
	m := w.n
	w.pair(w.v)
	e := w.energy(w.v, w.grad)
	used, newest, mark := 0, -1, e
	for it := 1; it <= most && e > 1e-22 && !w.stop.Load(); it++ {
		slope := w.direct(used, max(newest, 0))
		if slope >= 0 {
			if used == 0 {
				break
			}
			used = 0
			continue
		}
		length := 1.0
		if biggest := w.longest(); biggest > 0.5 {
			length = 0.5 / biggest
		}
		next, ok := w.search(e, slope, length)
		if !ok {
			if used == 0 {
				break
			}
			used = 0
			continue
		}
		newest = (newest + 1) % memory
		h := &w.hist[newest]
		sy, yy := change(h.s[:m], h.y, w.trial, w.v, w.trialGrad, w.grad)
		w.v, w.trial, w.grad, w.trialGrad = w.trial, w.v, w.trialGrad, w.grad
		e = next
		if sy > 1e-300 {
			h.rho, h.scale = 1/sy, sy/yy
			used = min(used+1, memory)
		} else {
			used, newest = 0, -1
		}
		if it%8 == 0 {
			if e > 0.99*mark || it == 80 && e > 2e-3 {
				break
			}
			mark = e
		}
	}
	return e
}

// longest gives the largest move of a coordinate along the direction.
func (w *swarm) longest() float64 {
	x, y := uint64(0), uint64(0) // positive numbers stand in the order of their bits
	for _, d := range w.dir[:w.n] {
		x, y = max(x, math.Float64bits(math.Abs(d.x))), max(y, math.Float64bits(math.Abs(d.y)))
	}
	return math.Float64frombits(max(x, y))
}

// search shortens the step until the energy falls enough (Armijo).
func (w *swarm) search(e, slope, length float64) (float64, bool) {
	m := w.n
	for range 12 {
		trial, v, dir := w.trial[:m], w.v[:m], w.dir[:m]
		for i := range trial {
			trial[i] = xy{v[i].x + float64(length*dir[i].x), v[i].y + float64(length*dir[i].y)}
		}
		if next := w.energy(w.trial, w.trialGrad); next <= e+1e-4*length*slope {
			return next, true
		}
		length *= 0.4
	}
	return e, false
}

// stands says whether every distance holds, but for the tolerance.
func (w *swarm) stands() bool {
	w.pair(w.v)
	for _, p := range w.v[:w.n] {
		if !(w.g.outside(p.x, p.y) <= tolerance) { // so asked, NaN does not stand
			return false
		}
	}
	for _, near := range w.pairs {
		p, q := w.v[near.i], w.v[near.j]
		if !(math.Hypot(p.x-q.x, p.y-q.y) >= 1-tolerance) {
			return false
		}
	}
	return true
}
