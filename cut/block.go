package cut

import (
	"cmp"
	"math"
	"slices"
)

// block is a rectangle built from panels by straight cuts: one panel, or two blocks side
// by side or one above the other. Sizes are nanometres with one kerf added each way.
type block struct {
	w, h   int64
	count  []int64 // panels in it, by kind
	kind   int     // of a single panel
	turned bool
	a, b   *block // nil: a single panel
	above  bool   // b lies above a; else right of it
}

// builder makes blocks of panels for sheets no larger than w by h.
type builder struct {
	w, h []int64 // panel sizes by kind, kerf added
	turn []bool  // may be turned
	need []int64
	work *effort
}

const (
	mostBlocks = 5_000
	blockWork  = 60_000_000
)

func (b *builder) leaf(kind int, turned bool) *block {
	n := make([]int64, len(b.w))
	n[kind] = 1
	p := &block{w: b.w[kind], h: b.h[kind], count: n, kind: kind, turned: turned}
	if turned {
		p.w, p.h = p.h, p.w
	}
	return p
}

// join puts two blocks together, nil when the result is larger than w by h or has more panels than wanted.
func (b *builder) join(x, y *block, above bool, w, h int64) *block {
	p := &block{a: x, b: y, above: above, w: x.w + y.w, h: max(x.h, y.h)}
	if above {
		p.w, p.h = max(x.w, y.w), x.h+y.h
	}
	if p.w > w || p.h > h {
		return nil
	}
	p.count = make([]int64, len(x.count))
	for i := range p.count {
		if p.count[i] = x.count[i] + y.count[i]; p.count[i] > b.need[i] {
			return nil
		}
	}
	return p
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
			if p := b.leaf(k, turned); (!turned || b.turn[k]) && p.w <= w && p.h <= h {
				add(p)
			}
		}
	}
	work := b.work.part(1, 20)
	work.limit = min(work.limit, blockWork)
	for i := 0; i < len(list); i++ {
		for j := 0; j <= i; j++ {
			work.add(int64(10 + len(b.w)))
			for _, above := range []bool{false, true} {
				if p := b.join(list[i], list[j], above, w, h); p != nil {
					work.add(100)
					add(p)
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

// fill covers a w by h sheet with the panels left, the first in order that fits in each corner; right says whether what is beside a panel
// keeps the full height (else what is above keeps the full width).
func (b *builder) fill(w, h int64, left []int64, order []int, right bool) *block {
	for _, k := range order {
		if left[k] == 0 {
			continue
		}
		var p *block
		for _, turned := range []bool{false, true} {
			q := b.leaf(k, turned)
			if turned && !b.turn[k] || q.w > w || q.h > h {
				continue
			}
			if p == nil || min(w-q.w, h-q.h) < min(w-p.w, h-p.h) {
				p = q
			}
		}
		if p == nil {
			continue
		}
		left[k]--
		if right {
			p = b.beside(p, b.fill(p.w, h-p.h, left, order, right), true)
			return b.beside(p, b.fill(w-p.w, h, left, order, right), false)
		}
		p = b.beside(p, b.fill(w-p.w, p.h, left, order, right), false)
		return b.beside(p, b.fill(w, h-p.h, left, order, right), true)
	}
	return nil
}

func (b *builder) beside(x, y *block, above bool) *block {
	if y == nil {
		return x
	}
	return b.join(x, y, above, math.MaxInt64/4, math.MaxInt64/4)
}

// orders gives the orders in which fill may take panels: by area, longer side, shorter side.
func (b *builder) orders() [][]int {
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
	return out
}
