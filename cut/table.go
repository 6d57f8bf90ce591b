package cut

import (
	"cmp"
	"context"
	"slices"
)

// Bounds of the search for layouts.
const (
	sheetWork   = 800_000_000
	sheetNodes  = 5_000
	shuffles    = 150
	mostLayouts = 6_000
)

// table turns a sheet job into patterns of panels and a choice of them back into layouts.
type table struct {
	job         SheetJob
	assumedKerf bool
	kerf        int64
	build       *builder
	kinds       []int // panel (index in job) by kind
	tooBig      []int
	sheets      []origin
	w, h        []int64
	t           *task // pieces are panels by count; widths and rooms are areas
	blocks      []*block
	pats        []pattern
	whole       bool // pats are all there are
	start       []use
	answer      answer
	lacking     []lackingSheet
	work        *effort
}

type lackingSheet struct {
	Sheet
	missing int
}

func newTable(ctx context.Context, j SheetJob) *table {
	s := &table{job: j, work: &effort{ctx: ctx, limit: cmp.Or(j.Steps, sheetWork)}}
	if j.Kerf == nil {
		k := DefaultKerf
		s.job.Kerf, s.assumedKerf = &k, true
	}
	s.kerf = nano(*s.job.Kerf)
	s.build = &builder{work: s.work}
	s.t = &task{}
	for i, b := range j.Sheets {
		s.addSheet(origin{stock: i}, b)
	}
	for i, b := range j.OnHand {
		s.addSheet(origin{stock: i, onHand: true}, b)
	}
	for i, p := range j.Panels {
		s.addPanel(i, p)
	}
	s.setLimits()
	return s
}

func (s *table) addSheet(f origin, b Sheet) {
	cost := int64(1)
	switch {
	case f.onHand:
		cost = 0
	case s.priced():
		cost = b.Price
	}
	s.sheets = append(s.sheets, f)
	s.w, s.h = append(s.w, nano(b.Length)+s.kerf), append(s.h, nano(b.Width)+s.kerf)
	s.t.cost = append(s.t.cost, cost)
}

func (s *table) priced() bool { return len(s.job.Sheets) > 0 && s.job.Sheets[0].Price > 0 }

func (s *table) sheet(k int) Sheet {
	if f := s.sheets[k]; f.onHand {
		return s.job.OnHand[f.stock]
	}
	return s.job.Sheets[s.sheets[k].stock]
}

func (s *table) addPanel(i int, p Panel) {
	w, h := nano(p.Length)+s.kerf, nano(p.Width)+s.kerf
	fits := false
	for k := range s.sheets {
		fits = fits || w <= s.w[k] && h <= s.h[k] || !p.Fixed && h <= s.w[k] && w <= s.h[k]
	}
	if !fits {
		s.tooBig = append(s.tooBig, i)
		return
	}
	b := s.build
	b.w, b.h, b.turn, b.need = append(b.w, w), append(b.h, h), append(b.turn, !p.Fixed && w != h), append(b.need, int64(p.Count))
	s.kinds = append(s.kinds, i)
}

// setLimits completes the task. Widths and rooms are areas in square 0.1 mm, panels rounded down and sheets up, so that
// the area rule never forbids what fits.
func (s *table) setLimits() {
	const tenth = 100_000
	for i := range s.kinds {
		s.t.width = append(s.t.width, max(1, s.build.w[i]/tenth*(s.build.h[i]/tenth)))
	}
	s.t.need = slices.Clone(s.build.need)
	n := s.t.pieces()
	for k, f := range s.sheets {
		s.t.room = append(s.t.room, (s.w[k]/tenth+1)*(s.h[k]/tenth+1))
		limit := n
		if c := s.sheet(k).Count; c > 0 {
			limit = min(n, int64(c))
		} else if f.onHand {
			limit = min(n, 1)
		}
		s.t.limit = append(s.t.limit, limit)
	}
}

func (s *table) solve() {
	if len(s.kinds) == 0 {
		s.answer = answer{found: true, proven: true}
		return
	}
	s.patterns()
	s.choose()
	if !s.answer.found {
		s.lift()
	}
	s.answer.uses = merged(s.answer.uses)
}

// patterns builds what can be cut from one sheet: all of it where that is possible.
func (s *table) patterns() {
	s.whole = true
	seen := map[string]bool{}
	s.start = s.handmade(seen)
	for k := range s.sheets {
		list, all := s.build.all(s.w[k], s.h[k])
		best := greatest(list)
		all = all && len(best) < mostLayouts
		s.whole = s.whole && all
		for _, b := range best {
			s.offer(k, b, seen)
		}
		if !all {
			s.byHand(k, seen)
		}
	}
}

// byHand adds the patterns that simple rules give when they cut the whole job from one kind of sheet.
func (s *table) byHand(sheet int, seen map[string]bool) {
	for _, order := range s.build.orders(shuffles) {
		for _, right := range []bool{false, true} {
			left := slices.Clone(s.build.need)
			by := rule{order, right}
			for b := s.build.fill(s.w[sheet], s.h[sheet], left, by); b != nil; b = s.build.fill(s.w[sheet], s.h[sheet], left, by) {
				s.offer(sheet, b, seen)
			}
			if len(seen) > mostLayouts || s.work.over() {
				return
			}
		}
	}
}

// handmade plans the whole job by rules, on the sheet that costs least for what it takes: a plan to start from.
func (s *table) handmade(seen map[string]bool) (best []use) {
	for _, order := range s.build.orders(0) {
		for _, right := range []bool{false, true} {
			uses, ok := s.byRule(rule{order, right}, seen)
			if ok && (best == nil || s.t.total(uses) < s.t.total(best)) {
				best = uses
			}
		}
	}
	return best
}

func (s *table) byRule(by rule, seen map[string]bool) (uses []use, ok bool) {
	left, limit := slices.Clone(s.build.need), slices.Clone(s.t.limit)
	for slices.Max(left) > 0 {
		sheet, best, rate := -1, (*block)(nil), 0.0
		for k := range s.sheets {
			if limit[k] == 0 {
				continue
			}
			b := s.build.fill(s.w[k], s.h[k], slices.Clone(left), by)
			if b == nil {
				continue
			}
			if r := (float64(s.t.cost[k]) + 1e-9) / float64(s.areaOf(b)); best == nil || r < rate {
				sheet, best, rate = k, b, r
			}
		}
		if best == nil {
			return nil, false
		}
		limit[sheet]--
		for i, n := range best.count {
			left[i] -= n
		}
		s.offer(sheet, best, seen)
		uses = append(uses, use{takesOf(sheet, best), 1})
	}
	return merged(uses), true
}

func (s *table) areaOf(b *block) (sum int64) {
	for i, n := range b.count {
		sum += n * s.t.width[i]
	}
	return sum
}

// greatest drops blocks whose panels are all in another one.
func greatest(list []*block) []*block {
	total := func(b *block) (n int64) {
		for _, c := range b.count {
			n += c
		}
		return n
	}
	sorted := slices.Clone(list)
	slices.SortStableFunc(sorted, func(a, b *block) int { return int(total(b) - total(a)) })
	var out []*block
	for _, b := range sorted {
		inside := slices.ContainsFunc(out, func(o *block) bool {
			for i, n := range b.count {
				if n > o.count[i] {
					return false
				}
			}
			return true
		})
		if !inside && len(out) < mostLayouts {
			out = append(out, b)
		}
	}
	return out
}

func takesOf(sheet int, b *block) pattern {
	p := pattern{board: sheet}
	for i, n := range b.count {
		if n > 0 {
			p.takes = append(p.takes, take{i, n})
		}
	}
	return p
}

func (s *table) offer(sheet int, b *block, seen map[string]bool) {
	p := takesOf(sheet, b)
	if key := p.key(); !seen[key] {
		seen[key] = true
		s.pats, s.blocks = append(s.pats, p), append(s.blocks, b)
	}
}

// choose picks the cheapest set of patterns that cuts everything.
func (s *table) choose() {
	b := newTree(s.t, s.work, s.pats)
	b.rigid, b.slicing = true, true
	b.floor = s.t.lengthBound()
	b.offer(s.start)
	b.run(sheetNodes)
	s.answer = answer{uses: b.best, cost: b.cost, bound: b.floor, found: b.best != nil}
	s.answer.proven = s.answer.found && (s.answer.cost <= b.floor || b.proven && s.whole)
	if s.answer.proven {
		s.answer.bound = s.answer.cost
	}
}

// lift plans with as many sheets as it takes and keeps account of those that are missing.
func (s *table) lift() {
	had := slices.Clone(s.t.limit)
	for k := range s.t.limit {
		s.t.limit[k] = s.t.pieces()
	}
	s.start = s.handmade(map[string]bool{})
	s.choose()
	s.answer.proven, s.answer.bound = false, 0
	used := make([]int64, len(had))
	for _, u := range s.answer.uses {
		used[u.board] += u.times
	}
	for k, n := range used {
		if n > had[k] {
			s.lacking = append(s.lacking, lackingSheet{s.sheet(k), int(n - had[k])})
		}
	}
}
