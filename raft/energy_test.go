package raft

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// grounds drawn for the tests of the search: rectangles and discs, some with an
// obstacle, in spacings.
func drawGround(t *rapid.T) ground {
	p := plot{w: rapid.Float64Range(2, 8).Draw(t, "w"), round: rapid.Bool().Draw(t, "round")}
	p.h = p.w
	if !p.round {
		p.h = rapid.Float64Range(2, 8).Draw(t, "h")
	}
	p = p.spaced(0.5, 1)
	if rapid.Bool().Draw(t, "obstacle") {
		x, y := rapid.Float64Range(0, 8).Draw(t, "x"), rapid.Float64Range(0, 8).Draw(t, "y")
		p.boxes = []box{{x, y, x + 1, y + 0.7}}
	}
	return groundOf(p, 1)
}

func drawSwarm(t *rapid.T, g *ground) *swarm {
	n := rapid.IntRange(2, 30).Draw(t, "n")
	w := newSwarm(g, n)
	w.n = n
	d := dice(rapid.Uint64().Draw(t, "seed"))
	for i := range n {
		w.v[i].x = g.x0 - 0.5 + d.float()*(g.x1-g.x0+1)
		w.v[i].y = g.y0 - 0.5 + d.float()*(g.y1-g.y0+1)
	}
	return w
}

// bruteEnergy sums the overlaps of every pair and wall without cells or lists.
func bruteEnergy(w *swarm, v []xy) float64 {
	e := 0.0
	square := func(x float64) {
		if x > 0 {
			e += x * x
		}
	}
	for i := range w.n {
		x, y := v[i].x, v[i].y
		if w.g.round {
			square(math.Hypot(x-w.g.cx, y-w.g.cy) - w.g.rho)
		} else {
			square(w.g.x0 - x)
			square(x - w.g.x1)
			square(w.g.y0 - y)
			square(y - w.g.y1)
		}
		for _, b := range w.g.boxes {
			d, _, _ := b.away(x, y)
			square(w.g.edge - d)
		}
		for k := range i {
			square(w.target - math.Hypot(x-v[k].x, y-v[k].y))
		}
	}
	return e
}

// The energy over cells is the energy over all pairs, and the gradient is its
// slope by differences.
func TestEnergyAndGradient(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := drawGround(t)
		w := drawSwarm(t, &g)
		w.pair(w.v)
		e := w.energy(w.v, w.grad)
		if want := bruteEnergy(w, w.v); math.Abs(e-want) > 1e-9*(1+want) {
			t.Fatalf("energy %v, by all pairs %v", e, want)
		}
		i := rapid.IntRange(0, 2*w.n-1).Draw(t, "i")
		const h = 1e-6
		at := func(v []xy) *float64 {
			if i%2 == 0 {
				return &v[i/2].x
			}
			return &v[i/2].y
		}
		up, down := slices.Clone(w.v), slices.Clone(w.v)
		*at(up) += h
		*at(down) -= h
		slope := (bruteEnergy(w, up) - bruteEnergy(w, down)) / (2 * h)
		if got := *at(w.grad); math.Abs(slope-got) > 1e-4*(1+math.Abs(slope)) && len(g.boxes) == 0 {
			t.Fatalf("slope %v, gradient %v", slope, got)
		}
	})
}

// A list of near pairs that has not aged still gives the right energy after
// points have moved a little.
func TestPairListHoldsAWhile(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := drawGround(t)
		w := drawSwarm(t, &g)
		w.pair(w.v)
		d := dice(rapid.Uint64().Draw(t, "shake"))
		for range 5 {
			for i := range w.n {
				w.v[i].x += 0.1 * (d.float() - 0.5)
				w.v[i].y += 0.1 * (d.float() - 0.5)
			}
			e := w.energy(w.v, w.grad)
			if want := bruteEnergy(w, w.v); math.Abs(e-want) > 1e-9*(1+want) {
				t.Fatalf("energy %v, by all pairs %v", e, want)
			}
		}
	})
}

// A descent never ends higher than it began, and what stands has no overlap.
func TestDescentGoesDown(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := drawGround(t)
		w := drawSwarm(t, &g)
		before := bruteEnergy(w, w.v)
		after := w.descend(200)
		if math.IsNaN(after) || after > before*(1+1e-12) || math.Abs(after-bruteEnergy(w, w.v)) > 1e-9*(1+after) {
			t.Fatalf("from %v to %v, by all pairs %v", before, after, bruteEnergy(w, w.v))
		}
		if w.stands() != (bruteStands(w)) {
			t.Fatalf("stands: %v, by all pairs %v", w.stands(), bruteStands(w))
		}
	})
}

func bruteStands(w *swarm) bool {
	for i := range w.n {
		if w.g.outside(w.v[i].x, w.v[i].y) > tolerance {
			return false
		}
		for k := range i {
			if math.Hypot(w.v[i].x-w.v[k].x, w.v[i].y-w.v[k].y) < 1-tolerance {
				return false
			}
		}
	}
	return true
}

// Every start sets all points, none of them NaN, and repeats itself.
func TestStarts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := drawGround(t)
		n := rapid.IntRange(1, 40).Draw(t, "n")
		k := rapid.IntRange(0, 40).Draw(t, "k")
		run := func() []xy {
			h := newHunt(&g, 41, usualSearch)
			h.n = n
			for i := range h.v {
				h.v[i] = xy{math.NaN(), math.NaN()}
			}
			h.start(k)
			return h.v[:n]
		}
		a, b := run(), run()
		for i := range a {
			if math.IsNaN(a[i].x) || math.IsNaN(a[i].y) || a[i] != b[i] {
				t.Fatalf("start %d: %v and %v", k, a[i], b[i])
			}
		}
	})
}

// The widest gap of a full lattice with one point missing is where it was.
func TestGapIsFound(t *testing.T) {
	g := groundOf(plot{w: 6, h: 6}.spaced(0.5, 1), 1)
	h := newHunt(&g, 40, usualSearch)
	for y := range 6 {
		for x := range 6 {
			if x == 2 && y == 3 {
				continue
			}
			h.v[h.n] = xy{g.x0 + float64(x), g.y0 + float64(y)}
			h.n++
		}
	}
	h.gaps()
	if len(h.spots) == 0 || math.Hypot(h.spots[0].x-g.x0-2, h.spots[0].y-g.y0-3) > 0.15 {
		t.Fatalf("%+v", h.spots)
	}
	for i := 1; i < len(h.spots); i++ {
		if h.spots[i].room > h.spots[i-1].room {
			t.Error("gaps are not in order")
		}
	}
}

// Curved hexagonal packings of 7, 19, 37, 61 and 91 points: shells that are
// regular 6k-gons of side 1, radius 1/(2 sin(pi/6k)) (Lubachevsky & Graham 1997;
// the ratio of the outermost is the table's 2 rho + 1).
func TestCurvedHexagonalRatio(t *testing.T) {
	seen := 0
	for _, row := range shared(t, "circle_packing.csv") {
		k := map[string]float64{"7": 1, "19": 2, "37": 3, "61": 4, "91": 5}[row[0]]
		if k == 0 {
			continue
		}
		seen++
		rho := 1 / (2 * math.Sin(math.Pi/(6*k)))
		if ratio := number(t, row[1]); math.Abs(2*rho+1-ratio) > 1e-9 {
			t.Errorf("%s: %v, table %v", row[0], 2*rho+1, ratio)
		}
	}
	if seen != 5 {
		t.Errorf("%d rows", seen)
	}
}

// The generator is SplitMix64: its first numbers from seed 0 and 1234567
// (published test values of the generator, from memory).
func TestDice(t *testing.T) {
	d := dice(1234567)
	for i, want := range []uint64{6457827717110365317, 3203168211198807973, 9817491932198370423} {
		if got := d.next(); got != want {
			t.Errorf("number %d is %d, want %d", i, got, want)
		}
	}
	for range 1000 {
		if x := d.float(); x < 0 || x >= 1 {
			t.Fatal(x)
		}
		if n := d.below(7); n < 0 || n > 6 {
			t.Fatal(n)
		}
	}
}

// Away is the distance to a rectangle, negative inside, and its direction has
// length one.
func TestAway(t *testing.T) {
	b := box{1, 1, 3, 2}
	for _, c := range []struct{ x, y, d float64 }{{0, 1.5, 1}, {4, 1.5, 1}, {2, 3, 1}, {2, 0, 1}, {4, 3, math.Sqrt2}, {0, 0, math.Sqrt2}, {2, 1.75, -0.25}, {1.1, 1.5, -0.1}, {1, 1, 0}} {
		d, nx, ny := b.away(c.x, c.y)
		if math.Abs(d-c.d) > 1e-12 || math.Abs(math.Hypot(nx, ny)-1) > 1e-12 {
			t.Errorf("(%v, %v): %v along (%v, %v), want %v", c.x, c.y, d, nx, ny, c.d)
		}
		if e, _, _ := b.away(c.x+1e-6*nx, c.y+1e-6*ny); e < d {
			t.Errorf("(%v, %v): the distance does not grow along its direction", c.x, c.y)
		}
	}
}
