package cut

import (
	"cmp"
	"slices"
)

// block is a rectangle built from panels by straight cuts: one panel, or two blocks side
// by side or one above the other. Sizes are nanometres with one kerf added each way.
type block struct {
	w, h  int64
	count []int64 // panels in it, by kind
	kind  int     // of a single panel
	a, b  *block  // nil: a single panel
	above bool    // b lies above a; else right of it
}

// builder makes blocks of panels for sheets no larger than w by h.
type builder struct {
	w, h []int64 // panel sizes by kind, kerf added
	need []int64
	work *effort
}

const (
	mostBlocks = 20_000
	blockWork  = 250_000_000
)

func (b *builder) leaf(kind int, turned bool) *block {
	n := make([]int64, len(b.w))
	n[kind] = 1
	p := &block{w: b.w[kind], h: b.h[kind], count: n, kind: kind}
	if turned {
		p.w, p.h = p.h, p.w
	}
	return p
}

// join puts two blocks together.
func join(x, y *block, above bool) *block {
	p := &block{a: x, b: y, above: above, w: x.w + y.w, h: max(x.h, y.h)}
	if above {
		p.w, p.h = max(x.w, y.w), x.h+y.h
	}
	p.count = make([]int64, len(x.count))
	for i := range p.count {
		p.count[i] = x.count[i] + y.count[i]
	}
	return p
}

// joins gives the size of two blocks together.
func joins(x, y *block, above bool) (w, h int64) {
	if above {
		return max(x.w, y.w), x.h + y.h
	}
	return x.w + y.w, max(x.h, y.h)
}

// wanted says that two blocks together have no more panels of a kind than are needed.
func (b *builder) wanted(x, y *block) bool {
	for i, n := range b.need {
		if x.count[i]+y.count[i] > n {
			return false
		}
	}
	return true
}

func (p *block) name() string {
	key := make([]byte, 0, 2*len(p.count))
	for _, n := range p.count {
		key = append(key, byte(n), byte(n>>8))
	}
	return string(key)
}

// all builds every block that fits w by h (Wang 1983, Oper. Res. 31:573-586), of blocks with the same panels
// only those that no other is smaller than both ways. It reports false when there were too many.
func (b *builder) all(w, h int64) ([]*block, bool) {
	var list []*block
	best := map[string][]*block{}
	add := func(p *block) {
		key := p.name()
		for _, o := range best[key] {
			if o.w <= p.w && o.h <= p.h {
				return
			}
		}
		best[key] = append(slices.DeleteFunc(best[key], func(o *block) bool { return p.w <= o.w && p.h <= o.h }), p)
		list = append(list, p)
	}
	for k := range b.w {
		for _, turned := range []bool{false, true} {
			if p := b.leaf(k, turned); (!turned || p.w != p.h) && p.w <= w && p.h <= h {
				add(p)
			}
		}
	}
	work := b.work.upTo(min(b.work.limit/2, blockWork))
	for i := 0; i < len(list); i++ {
		for j := 0; j <= i; j++ {
			work.add(int64(2 + len(b.w)/4))
			if !b.wanted(list[i], list[j]) {
				continue
			}
			for _, above := range []bool{false, true} {
				if pw, ph := joins(list[i], list[j], above); pw <= w && ph <= h {
					work.add(100)
					add(join(list[i], list[j], above))
				}
			}
		}
		if len(list) > mostBlocks || work.over() {
			b.work.add(work.spent)
			return list, false
		}
	}
	b.work.add(work.spent)
	return list, true
}

// rule is a way to fill a sheet by hand: which panels first, and whether what is beside a panel keeps the full height
// (else what is above it keeps the full width).
type rule struct {
	order []int
	right bool
}

// fill covers a w by h sheet with the panels left, the first in order that fits in each corner.
func (b *builder) fill(w, h int64, left []int64, by rule) *block {
	for _, k := range by.order {
		if left[k] == 0 {
			continue
		}
		p := b.corner(w, h, k)
		if p == nil {
			continue
		}
		b.work.add(20)
		left[k]--
		if by.right {
			p = beside(p, b.fill(p.w, h-p.h, left, by), true)
			return beside(p, b.fill(w-p.w, h, left, by), false)
		}
		p = beside(p, b.fill(w-p.w, p.h, left, by), false)
		return beside(p, b.fill(w, h-p.h, left, by), true)
	}
	return nil
}

// corner lays a panel into a corner the way that wastes least, nil when it does not fit.
func (b *builder) corner(w, h int64, kind int) *block {
	var p *block
	for _, turned := range []bool{false, true} {
		q := b.leaf(kind, turned)
		if turned && q.w == q.h || q.w > w || q.h > h {
			continue
		}
		if p == nil || min(w-q.w, h-q.h) < min(w-p.w, h-p.h) {
			p = q
		}
	}
	return p
}

func beside(x, y *block, above bool) *block {
	if y == nil {
		return x
	}
	return join(x, y, above)
}

// orders gives orders in which fill may take panels: by area, longer side, shorter side, and as many more as wanted
// that are shuffled by a fixed sequence.
func (b *builder) orders(more int) [][]int {
	keys := []func(k int) int64{
		func(k int) int64 { return b.w[k] / 1000 * (b.h[k] / 1000) },
		func(k int) int64 { return max(b.w[k], b.h[k]) },
		func(k int) int64 { return min(b.w[k], b.h[k]) },
	}
	var out [][]int
	for _, key := range keys {
		order := make([]int, len(b.w))
		for i := range order {
			order[i] = i
		}
		slices.SortStableFunc(order, func(i, j int) int { return cmp.Compare(key(j), key(i)) })
		out = append(out, order)
	}
	seed := uint64(1)
	for range more {
		order := slices.Clone(out[0])
		for i := len(order) - 1; i > 0; i-- {
			j := int(next(&seed) % uint64(i+1))
			order[i], order[j] = order[j], order[i]
		}
		out = append(out, order)
	}
	return out
}
