package mix

import (
	"math"
	"slices"
)

// search finds the best point of a program with at most so many products in
// use, each at nothing or at least a weighable amount, or on a grid of steps. It
// is branch and bound: each node's relaxation bounds what its children can
// reach, so that what is left out is proven to be no better.
type search struct {
	p        *program
	products int       // the first variables are products, the rest slacks
	most     int       // products in use
	least    []float64 // smallest amount in use; 0: any
	grid     []float64 // steps; 0: any amount. nil: no grid
	maxNodes int

	best   []float64
	value  float64 // of best
	found  bool
	nodes  int
	proven bool
	cut    bool // a least amount decided something
	pool   [][]float64
	marks  [][]bool
}

const (
	unused = 1e-9 // a scaled dose below this is none
	onGrid = 1e-6 // distance from a whole step, in steps
	tie    = 1e-9 // values closer than this are equal; the minimum itself is found to 1e-10
	// gridTie is the same between measured doses: a millionth of the misfit's sum of
	// squares, where a scale is a hundred times coarser.
	gridTie = 4e-7
)

// node is a part of the space: bounds on each variable, and which products are
// decided to be in use.
type node struct {
	lower, upper, x []float64
	in              []bool
	inCount         int
	value           float64
	solved          bool // x and value are the parent's and still true
}

// run searches between the bounds, starting from what best already holds.
func (s *search) run(lower, upper []float64) {
	s.proven = true
	n := node{lower: slices.Clone(lower), upper: slices.Clone(upper), x: slices.Clone(lower), in: make([]bool, s.products)}
	s.visit(n)
}

func (s *search) offer(x []float64, value float64) {
	if s.found && value >= s.value-tie {
		return
	}
	s.best, s.value, s.found = append(s.best[:0], x...), value, true
}

func (s *search) visit(n node) {
	if !n.solved {
		if s.nodes++; s.nodes > s.maxNodes {
			s.proven = false
			return
		}
		if !s.p.minimise(n.lower, n.upper, n.x) {
			s.proven = s.proven && !s.p.gaveUp
			return
		}
		n.value = s.p.value(n.x)
	}
	if s.found && n.value >= s.value-s.equal() {
		return
	}
	if j := s.tooMany(n); j >= 0 {
		s.use(n, j)
		s.avoid(n, j)
		return
	}
	j, low, high := s.offGrid(n)
	if j < 0 {
		s.offer(n.x, n.value)
		return
	}
	if n.x[j]-low <= high-n.x[j] {
		s.atMost(n, j, low)
		s.atLeast(n, j, high)
	} else {
		s.atLeast(n, j, high)
		s.atMost(n, j, low)
	}
}

// tooMany gives the product to decide on when more are in use than allowed: the
// largest that is not decided yet.
func (s *search) tooMany(n node) int {
	used, pick := 0, -1
	for j := range s.products {
		if n.in[j] {
			used++
			continue
		}
		if n.x[j] > unused {
			used++
			if pick < 0 || n.x[j] > n.x[pick] {
				pick = j
			}
		}
	}
	if used <= s.most {
		return -1
	}
	return pick
}

// offGrid gives the product whose amount is furthest from one that can be
// measured, and the neighbours that can.
func (s *search) offGrid(n node) (pick int, low, high float64) {
	pick, worst := -1, 0.0
	for j := range s.products {
		x := n.x[j]
		if g := s.step(j); g > 0 {
			w := x / g
			off := math.Abs(w - math.Round(w))
			if off > onGrid && off > worst {
				pick, worst = j, off
				low, high = math.Floor(w)*g, math.Ceil(w)*g
			}
			continue
		}
		if l := s.least[j]; l > 0 && x > unused && x < l*(1-1e-9) {
			if off := min(x, l-x) / l; off > worst {
				pick, worst, low, high, s.cut = j, off, 0, l, true
			}
		}
	}
	return pick, low, high
}

// equal is how close two values count as one.
func (s *search) equal() float64 {
	if s.grid != nil {
		return gridTie
	}
	return tie
}

func (s *search) step(j int) float64 {
	if s.grid == nil {
		return 0
	}
	return s.grid[j]
}

// use decides that product j is in; when that is the last allowed, the others
// are out. Otherwise the relaxation is the parent's.
func (s *search) use(n node, j int) {
	c := s.child(n)
	c.in[j], c.inCount = true, n.inCount+1
	if c.inCount < s.most {
		c.solved, c.value = true, n.value
	} else {
		s.closeOthers(&c)
	}
	s.visit(c)
	s.free(c)
}

func (s *search) closeOthers(c *node) {
	for i := range s.products {
		if !c.in[i] {
			c.upper[i] = 0
			if c.lower[i] > 0 {
				c.upper[i] = -1 // decided twice: nothing is left
			}
		}
	}
}

func (s *search) avoid(n node, j int) { s.atMost(n, j, 0) }

func (s *search) atMost(n node, j int, x float64) {
	c := s.child(n)
	c.upper[j] = x
	if x >= c.lower[j] && !(x == 0 && n.in[j] && c.lower[j] > 0) {
		s.visit(c)
	}
	s.free(c)
}

func (s *search) atLeast(n node, j int, x float64) {
	c := s.child(n)
	c.lower[j] = x
	if x <= c.upper[j]*(1+1e-12) {
		if !c.in[j] {
			c.in[j], c.inCount = true, n.inCount+1
		}
		if c.inCount <= s.most {
			if c.inCount == s.most {
				s.closeOthers(&c)
			}
			s.visit(c)
		}
	}
	s.free(c)
}

// child copies a node's bounds into pooled room.
func (s *search) child(n node) node {
	take := func(from []float64) []float64 {
		var v []float64
		if k := len(s.pool); k > 0 {
			v, s.pool = s.pool[k-1], s.pool[:k-1]
		} else {
			v = make([]float64, len(from))
		}
		copy(v, from)
		return v
	}
	var in []bool
	if k := len(s.marks); k > 0 {
		in, s.marks = s.marks[k-1], s.marks[:k-1]
	} else {
		in = make([]bool, s.products)
	}
	copy(in, n.in)
	return node{lower: take(n.lower), upper: take(n.upper), x: take(n.x), in: in, inCount: n.inCount}
}

func (s *search) free(n node) {
	s.pool = append(s.pool, n.lower, n.upper, n.x)
	s.marks = append(s.marks, n.in)
}

// polish improves a point of the grid by single steps and by trading one
// product's step for another's, until nothing helps. It gives the search a good
// start; the proof is the search's.
func (s *search) polish(x, upper []float64) {
	if !s.allowed(x, upper) {
		return
	}
	s.offer(x, s.p.value(x))
	var open []int
	for j := range s.products {
		if upper[j] > 0 {
			open = append(open, j)
		}
	}
	for rounds := 0; rounds < 200 && s.improve(open, upper); rounds++ {
	}
}

// improve tries every step and every trade of a step for another once.
func (s *search) improve(open []int, upper []float64) bool {
	y, improved := slices.Clone(s.best), false
	for a, i := range open {
		for _, di := range [2]float64{1, -1} {
			for _, j := range open[a:] {
				for _, dj := range [3]float64{0, 1, -1} {
					if (j == i) != (dj == 0) {
						continue
					}
					copy(y, s.best)
					y[i] += di * s.step(i)
					y[j] += dj * s.step(j)
					if !s.allowed(y, upper) {
						continue
					}
					if v := s.p.value(y); v < s.value-tie {
						s.offer(y, v)
						improved = true
					}
				}
			}
		}
	}
	return improved
}

func (s *search) allowed(x, upper []float64) bool {
	used := 0
	for j := range s.products {
		if x[j] < -unused || x[j] > upper[j]*(1+1e-12)+unused {
			return false
		}
		if x[j] < unused {
			x[j] = 0
			continue
		}
		used++
	}
	return used <= s.most && s.p.keepsRows(x)
}
