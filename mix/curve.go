package mix

// term is one judged quantity of a program: level = at + row·x, and what it costs
// to lie on either side of its bends. Each bend adds weight x distance² / 2 beyond
// it, so that the whole is convex and smooth: a parabola in pieces.
type term struct {
	row   []float64
	at    float64
	bends []bend
	on    []int // where row is not zero: few products bring each nutrient

	level, curve float64 // at the point, and the weights that count there
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
	curve, ahead := least, p.ahead[:0]
	for i := range p.terms {
		t := &p.terms[i]
		rise := t.along(p.step)
		if rise == 0 {
			continue
		}
		for _, b := range t.bends {
			change, to := b.weight*sq(rise), b.from-t.level
			counts := b.below == (to > 0 || to == 0 && rise < 0)
			if counts {
				curve, change = curve+change, -change
			}
			if to*rise > 0 {
				ahead = append(ahead, corner{to / rise, change})
			}
		}
	}
	p.ahead = ahead
	for at := 0.0; ; {
		k := next(ahead)
		if k < 0 || fall+curve*(ahead[k].at-at) >= 0 {
			return at - fall/max(curve, least)
		}
		fall += curve * (ahead[k].at - at)
		at, curve = ahead[k].at, curve+ahead[k].change
		ahead[k] = ahead[len(ahead)-1]
		ahead = ahead[:len(ahead)-1]
	}
}

// corner is a bend on the way of a step, and what the curvature changes by beyond it.
type corner struct{ at, change float64 }

// next gives the nearest corner, -1 where there is none.
func next(ahead []corner) int {
	k := -1
	for i := range ahead {
		if k < 0 || ahead[i].at < ahead[k].at {
			k = i
		}
	}
	return k
}
