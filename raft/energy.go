package raft

import "math"

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

// swarm is n points in motion: x0, y0, x1, y1 ... and what the descent needs.
type swarm struct {
	g      *ground
	n      int
	target float64 // distance wanted, 1 and a little
	v      []float64

	pairs      []pair
	overlap    []pair
	ref        []float64 // where the points stood when pairs was made
	heads, nxt []int32
	cols, rows int
	work       int // pair visits so far: the only clock of the search

	grad, dir, trial, trialGrad []float64
	hist                        [memory]step
}

// pair is where two near points begin in a list of coordinates.
type pair struct{ i, j int32 }

// memory is the number of steps the descent remembers.
const memory = 4

type step struct {
	s, y       []float64
	rho, scale float64
}

func newSwarm(g *ground, capacity int) *swarm {
	w := &swarm{g: g, target: 1 + 1e-10}
	make2 := func() []float64 { return make([]float64, 2*capacity) }
	w.v, w.ref, w.grad, w.dir, w.trial, w.trialGrad = make2(), make2(), make2(), make2(), make2(), make2()
	for i := range w.hist {
		w.hist[i] = step{s: make2(), y: make2()}
	}
	w.cols = int((g.x1-g.x0)/(1+skin)) + 3
	w.rows = int((g.y1-g.y0)/(1+skin)) + 3
	w.heads = make([]int32, w.cols*w.rows)
	w.nxt = make([]int32, capacity)
	return w
}

// cell gives the cell of a point; points outside count to the border cells.
func (w *swarm) cell(x, y float64) (cx, cy int) {
	cx = min(max(int((x-w.g.x0)/(1+skin))+1, 0), w.cols-1)
	cy = min(max(int((y-w.g.y0)/(1+skin))+1, 0), w.rows-1)
	return cx, cy
}

// link sorts points into cells.
func (w *swarm) link(v []float64) {
	for i := range w.heads {
		w.heads[i] = -1
	}
	for i := range w.n {
		cx, cy := w.cell(v[2*i], v[2*i+1])
		c := cy*w.cols + cx
		w.nxt[i] = w.heads[c]
		w.heads[c] = int32(i)
	}
}

// pair makes the list of near pairs.
func (w *swarm) pair(v []float64) {
	copy(w.ref[:2*w.n], v[:2*w.n])
	w.link(v)
	w.pairs = w.pairs[:0]
	reach := (w.target + skin) * (w.target + skin)
	for i := range w.n {
		x, y := v[2*i], v[2*i+1]
		cx, cy := w.cell(x, y)
		for gy := max(cy-1, 0); gy <= min(cy+1, w.rows-1); gy++ {
			for gx := max(cx-1, 0); gx <= min(cx+1, w.cols-1); gx++ {
				for k := w.heads[gy*w.cols+gx]; int(k) > i; k = w.nxt[k] { // the last come first in a cell
					dx, dy := x-v[2*k], y-v[2*k+1]
					if float64(dx*dx)+float64(dy*dy) < reach {
						w.pairs = append(w.pairs, pair{int32(2 * i), 2 * k})
					}
				}
			}
		}
	}
	w.work += 8 * w.n
}

// moved says whether the list of near pairs has aged.
func (w *swarm) moved(v []float64) bool {
	const limit = skin * skin / 4
	for i := 0; i < 2*w.n; i += 2 {
		dx, dy := v[i]-w.ref[i], v[i+1]-w.ref[i+1]
		if float64(dx*dx)+float64(dy*dy) > limit {
			return true
		}
	}
	return false
}

// overlapping picks the near pairs that overlap, without a branch, which a processor would
// guess wrong for a third of them.
func (w *swarm) overlapping(v []float64) []pair {
	t2 := w.target * w.target
	if cap(w.overlap) < len(w.pairs) {
		w.overlap = make([]pair, 2*len(w.pairs))
	}
	out, n := w.overlap[:len(w.pairs)], 0
	for _, near := range w.pairs {
		i, j := int(near.i), int(near.j)
		dx, dy := v[i]-v[j], v[i+1]-v[j+1]
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
func (w *swarm) energy(v, grad []float64) float64 {
	if w.moved(v) {
		w.pair(v)
	}
	e, g := 0.0, w.g
	easy := !g.round && len(g.boxes) == 0
	for i := 0; i < 2*w.n; i += 2 {
		x, y := v[i], v[i+1]
		if easy && x >= g.x0 && x <= g.x1 && y >= g.y0 && y <= g.y1 {
			grad[i], grad[i+1] = 0, 0
			continue
		}
		pe, gx, gy := g.push(x, y)
		e += pe
		grad[i], grad[i+1] = gx, gy
	}
	t := w.target
	for _, near := range w.overlapping(v) {
		i, j := int(near.i), int(near.j)
		dx, dy := v[i]-v[j], v[i+1]-v[j+1]
		d := math.Sqrt(float64(dx*dx) + float64(dy*dy))
		over := t - d
		e += float64(over * over)
		if d < 1e-9 {
			d = 1e-9
		}
		f := 2 * over / d
		fx, fy := float64(f*dx), float64(f*dy)
		grad[i] -= fx
		grad[i+1] -= fy
		grad[j] += fx
		grad[j+1] += fy
	}
	w.work += len(w.pairs) + 2*w.n*(1+len(g.boxes))
	return e
}

// dot sums in four strands, so that no addition waits for the one before.
func dot(a, b []float64) float64 {
	b = b[:len(a)]
	var s0, s1, s2, s3 float64
	i := 0
	for ; i+3 < len(a); i += 4 {
		s0 += float64(a[i] * b[i])
		s1 += float64(a[i+1] * b[i+1])
		s2 += float64(a[i+2] * b[i+2])
		s3 += float64(a[i+3] * b[i+3])
	}
	for ; i < len(a); i++ {
		s0 += float64(a[i] * b[i])
	}
	return s0 + s1 + s2 + s3
}

// change sets s to a move and y to the change of the slope, and gives what dot gives of
// s and y, and of y and y.
func change(s, y, to, from, slopeTo, slopeFrom []float64) (sy, yy float64) {
	n := len(s)
	y, to, from, slopeTo, slopeFrom = y[:n], to[:n], from[:n], slopeTo[:n], slopeFrom[:n]
	var p0, p1, p2, p3, q0, q1, q2, q3 float64
	i := 0
	for ; i+3 < n; i += 4 {
		y0, y1, y2, y3 := slopeTo[i]-slopeFrom[i], slopeTo[i+1]-slopeFrom[i+1], slopeTo[i+2]-slopeFrom[i+2], slopeTo[i+3]-slopeFrom[i+3]
		s0, s1, s2, s3 := to[i]-from[i], to[i+1]-from[i+1], to[i+2]-from[i+2], to[i+3]-from[i+3]
		y[i], y[i+1], y[i+2], y[i+3] = y0, y1, y2, y3
		s[i], s[i+1], s[i+2], s[i+3] = s0, s1, s2, s3
		p0, p1, p2, p3 = p0+float64(s0*y0), p1+float64(s1*y1), p2+float64(s2*y2), p3+float64(s3*y3)
		q0, q1, q2, q3 = q0+float64(y0*y0), q1+float64(y1*y1), q2+float64(y2*y2), q3+float64(y3*y3)
	}
	for ; i < n; i++ {
		s[i], y[i] = to[i]-from[i], slopeTo[i]-slopeFrom[i]
		p0, q0 = p0+float64(s[i]*y[i]), q0+float64(y[i]*y[i])
	}
	return p0 + p1 + p2 + p3, q0 + q1 + q2 + q3
}

// alongDot adds t times b to a, scales the sum, and gives what dot gives of c and a then.
func alongDot(a, b, c []float64, t, scale float64) float64 {
	b, c = b[:len(a)], c[:len(a)]
	var s0, s1, s2, s3 float64
	i := 0
	for ; i+3 < len(a); i += 4 {
		x0, x1, x2, x3 := scale*(a[i]+float64(t*b[i])), scale*(a[i+1]+float64(t*b[i+1])), scale*(a[i+2]+float64(t*b[i+2])), scale*(a[i+3]+float64(t*b[i+3]))
		a[i], a[i+1], a[i+2], a[i+3] = x0, x1, x2, x3
		s0 += float64(c[i] * x0)
		s1 += float64(c[i+1] * x1)
		s2 += float64(c[i+2] * x2)
		s3 += float64(c[i+3] * x3)
	}
	for ; i < len(a); i++ {
		a[i] = scale * (a[i] + float64(t*b[i]))
		s0 += float64(c[i] * a[i])
	}
	return s0 + s1 + s2 + s3
}

// direct turns the gradient into a direction by the limited-memory BFGS two-loop
// recursion (Nocedal 1980), and gives the slope along it; used is the number of
// remembered steps.
func (w *swarm) direct(used, newest int) float64 {
	m := 2 * w.n
	d, grad := w.dir[:m], w.grad[:m]
	if used == 0 {
		for i, g := range grad {
			d[i] = -0.25 * g
		}
		return dot(grad, d)
	}
	for i, g := range grad {
		d[i] = -g
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
	m := 2 * w.n
	w.pair(w.v)
	e := w.energy(w.v, w.grad)
	used, newest, mark := 0, -1, e
	for it := 1; it <= most && e > 1e-22; it++ {
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
	big := 0.0
	for _, d := range w.dir[:2*w.n] {
		if d > big {
			big = d
		} else if -d > big {
			big = -d
		}
	}
	return big
}

// search shortens the step until the energy falls enough (Armijo).
func (w *swarm) search(e, slope, length float64) (float64, bool) {
	m := 2 * w.n
	for range 12 {
		trial, v, dir := w.trial[:m], w.v[:m], w.dir[:m]
		for i := range trial {
			trial[i] = v[i] + float64(length*dir[i])
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
	for i := range w.n {
		if !(w.g.outside(w.v[2*i], w.v[2*i+1]) <= tolerance) { // so asked, NaN does not stand
			return false
		}
	}
	for _, near := range w.pairs {
		i, j := near.i, near.j
		if !(math.Hypot(w.v[i]-w.v[j], w.v[i+1]-w.v[j+1]) >= 1-tolerance) {
			return false
		}
	}
	return true
}
