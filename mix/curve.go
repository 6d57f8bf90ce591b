package mix

import "math"

// term is one judged quantity of a program: level = at + row·x, and what it costs
// to lie on either side of its bends. Each bend adds weight x distance² / 2 beyond
// it, so that the whole is convex and smooth: a parabola in pieces.
type term struct {
	row   []float64
	at    float64
	bends []bend
	on    []int // where row is not zero: few products bring each nutrient

	level, rise, curve float64 // at the point, along the step, and the weights that count there
}

// along gives row·x.
func (t *term) along(x []float64) float64 {
	sum := 0.0
	for _, j := range t.on {
		sum += t.row[j] * x[j]
	}
	return sum
}

// bend is a line from which a term costs.
type bend struct {
	from, weight float64
	below        bool // it costs below the line; else above
}

func (b bend) counts(level float64) bool { return b.below == (level < b.from) }

// cost is what a level costs.
func (t *term) cost(level float64) float64 {
	sum := 0.0
	for _, b := range t.bends {
		if b.counts(level) {
			sum += b.weight * sq(level-b.from) / 2
		}
	}
	return sum
}

// bendTo moves the curvature of the program to the pieces that hold at x, and
// gives its slope there.
func (p *program) bendTo(x []float64) {
	n := p.n
	copy(p.slope, p.c)
	for j := p.firstSlack; j < n; j++ {
		p.slope[j] += p.h[j*n+j] * x[j]
	}
	for i := range p.terms {
		t := &p.terms[i]
		t.level = t.at + t.along(x)
		pull, curve := 0.0, 0.0
		for _, b := range t.bends {
			if b.counts(t.level) {
				pull += b.weight * (t.level - b.from)
				curve += b.weight
			}
		}
		for _, j := range t.on {
			p.slope[j] += pull * t.row[j]
		}
		if more := curve - t.curve; more != 0 {
			t.curve = curve
			for _, j := range t.on {
				r, h := more*t.row[j], p.h[j*n:]
				for _, k := range t.on {
					h[k] += r * t.row[k]
				}
			}
		}
	}
}

// reach is how far along the step the program falls: 1 within one piece; past a
// bend a little less or more. Each bend on the way is met in its turn.
func (p *program) reach() float64 {
	fall, least := 0.0, 0.0
	for _, j := range p.loose {
		fall += p.slope[j] * p.step[j]
		least += proximal * sq(p.step[j])
		if j >= p.firstSlack {
			least += p.h[j*p.n+j] * sq(p.step[j])
		}
	}
	curve := least
	for i := range p.terms {
		t := &p.terms[i]
		t.rise = t.along(p.step)
		for _, b := range t.bends {
			if under := t.level < b.from || t.level == b.from && t.rise < 0; under == b.below {
				curve += b.weight * sq(t.rise)
			}
		}
	}
	for at := 0.0; ; {
		next, change := p.nextBend(at)
		if math.IsInf(next, 1) || fall+curve*(next-at) >= 0 {
			return at - fall/max(curve, least)
		}
		fall += curve * (next - at)
		at, curve = next, curve+change
	}
}

// nextBend gives the next bend along the step, and what the curvature changes by
// beyond it.
func (p *program) nextBend(at float64) (next, change float64) {
	next = math.Inf(1)
	for i := range p.terms {
		t := &p.terms[i]
		if t.rise == 0 {
			continue
		}
		for _, b := range t.bends {
			x := (b.from - t.level) / t.rise
			if !(x > at && x <= next) {
				continue
			}
			if x < next {
				next, change = x, 0
			}
			if b.below == (t.rise < 0) { // it begins to count
				change += b.weight * sq(t.rise)
			} else {
				change -= b.weight * sq(t.rise)
			}
		}
	}
	return next, change
}
