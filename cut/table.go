package cut

import (
	"cmp"
	"context"
	"slices"

	"raftwright/finding"
	"raftwright/internal/inorder"
	"raftwright/source"
)

// Findings of the sheet table.
const (
	FindSheetTooBig   finding.ID = "cut.panel_too_big"
	FindSheetUnproven finding.ID = "cut.sheets_unproven"
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
	job    SheetJob
	kerf   int64
	build  *builder
	kinds  []int // panel (index in job) by kind
	tooBig []int
	w, h   int64 // of a sheet and a kerf
	t      *task // pieces are panels by count; widths and rooms are areas
	blocks []*block
	pats   []pattern
	whole  bool // pats are all there are
	start  []use
	answer answer
	work   *effort
}

func newTable(ctx context.Context, j SheetJob) *table {
	s := &table{job: j, kerf: nano(j.Kerf), work: &effort{ctx: ctx, limit: cmp.Or(j.Steps, sheetWork)}}
	s.w, s.h = nano(j.Length)+s.kerf, nano(j.Width)+s.kerf
	s.build = &builder{work: s.work}
	for i, p := range j.Panels {
		s.addPanel(i, p)
	}
	s.setTask()
	return s
}

func (s *table) addPanel(i int, p Panel) {
	w, h := nano(p.Length)+s.kerf, nano(p.Width)+s.kerf
	if (w > s.w || h > s.h) && (h > s.w || w > s.h) {
		s.tooBig = append(s.tooBig, i)
		return
	}
	b := s.build
	b.w, b.h, b.need = append(b.w, w), append(b.h, h), append(b.need, int64(p.Count))
	s.kinds = append(s.kinds, i)
}

// setTask makes the task. Widths and rooms are areas in square 0.1 mm, panels rounded down and sheets up, so that
// the area rule never forbids what fits.
func (s *table) setTask() {
	const tenth = 100_000
	s.t = &task{need: slices.Clone(s.build.need), cost: []int64{1}, room: []int64{(s.w/tenth + 1) * (s.h/tenth + 1)}}
	for i := range s.kinds {
		s.t.width = append(s.t.width, max(1, s.build.w[i]/tenth*(s.build.h[i]/tenth)))
	}
	s.t.limit = []int64{s.t.pieces()}
}

func (s *table) solve() {
	if len(s.kinds) == 0 {
		s.answer = answer{found: true, proven: true}
		return
	}
	s.patterns()
	s.choose()
	s.answer.uses = merged(s.answer.uses)
}

// patterns builds what can be cut from one sheet: all of it where that is possible.
func (s *table) patterns() {
	seen := map[string]bool{}
	s.start = s.byHand(0, seen)
	list, all := s.build.all(s.w, s.h)
	best := greatest(list)
	s.whole = all && len(best) < mostLayouts
	for _, b := range best {
		s.offer(b, seen)
	}
	if !s.whole {
		s.byHand(shuffles, seen)
	}
}

// byHand plans the whole job by simple rules, for some orders of the panels and as many more that are shuffled. It
// adds the patterns that they give, and gives the plan of fewest sheets.
func (s *table) byHand(more int, seen map[string]bool) (best []use) {
	for _, order := range s.build.orders(more) {
		for _, right := range []bool{false, true} {
			if uses := s.byRule(rule{order, right}, seen); best == nil || s.t.total(uses) < s.t.total(best) {
				best = uses
			}
			if more > 0 && (len(seen) > mostLayouts || s.work.over()) {
				return best
			}
		}
	}
	return best
}

func (s *table) byRule(by rule, seen map[string]bool) (uses []use) {
	left := slices.Clone(s.build.need)
	for b := s.build.fill(s.w, s.h, left, by); b != nil; b = s.build.fill(s.w, s.h, left, by) {
		s.offer(b, seen)
		uses = append(uses, use{takesOf(b), 1})
	}
	return merged(uses)
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
	inorder.Put(sorted, func(a, b *block) int { return int(total(b) - total(a)) })
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

func takesOf(b *block) (p pattern) {
	for i, n := range b.count {
		if n > 0 {
			p.takes = append(p.takes, take{i, n})
		}
	}
	return p
}

func (s *table) offer(b *block, seen map[string]bool) {
	p := takesOf(b)
	if key := p.key(); !seen[key] {
		seen[key] = true
		s.pats, s.blocks = append(s.pats, p), append(s.blocks, b)
	}
}

// choose picks the fewest patterns that cut everything.
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

// plan turns the answer back into layouts.
func (s *table) plan() SheetPlan {
	p := SheetPlan{Length: s.job.Length, Width: s.job.Width, LowerBound: s.answer.bound, Optimal: s.answer.proven && len(s.tooBig) == 0}
	extra := make([]int64, len(s.t.need))
	for i, d := range s.t.need {
		extra[i] = -d
	}
	for _, u := range s.answer.uses {
		for _, k := range u.takes {
			extra[k.kind] += k.n * u.times
		}
	}
	for _, u := range s.answer.uses {
		b := s.blockOf(u.pattern)
		for u.times > 0 {
			takes, times := dropExtra(u, extra)
			u.times -= times
			if len(takes) > 0 {
				p.Layouts = append(p.Layouts, s.layout(b, takes, int(times)))
				p.Bought += int(times)
			}
		}
	}
	for _, i := range s.tooBig {
		panel := s.job.Panels[i]
		p.Missing = append(p.Missing, panel)
		p.Findings = append(p.Findings, finding.Finding{ID: FindSheetTooBig, Severity: finding.Stop, Hurts: finding.Purse, Figure: panel.Length, Source: source.Given,
			Args: finding.Args{"Panel": panel.Name, "Length": panel.Length, "Width": panel.Width}})
	}
	if !p.Optimal && len(p.Findings) == 0 {
		p.Findings = append(p.Findings, finding.Finding{ID: FindSheetUnproven, Severity: finding.Note, Figure: p.LowerBound, Source: source.OwnChoice})
	}
	return p
}

func (s *table) blockOf(p pattern) *block {
	key := p.key()
	return s.blocks[slices.IndexFunc(s.pats, func(q pattern) bool { return q.key() == key })]
}

// layout lays a block out on a sheet, without the panels that are more than wanted.
func (s *table) layout(b *block, takes []take, times int) Layout {
	l, quota := Layout{Repeat: times}, make([]int64, len(s.kinds))
	for _, k := range takes {
		quota[k.kind] = k.n
	}
	var place func(b *block, x, y int64)
	place = func(b *block, x, y int64) {
		switch {
		case b.a == nil && quota[b.kind] > 0:
			quota[b.kind]--
			l.Parts = append(l.Parts, Part{s.job.Panels[s.kinds[b.kind]].Name, length(x), length(y), length(b.w - s.kerf), length(b.h - s.kerf)})
		case b.a == nil: // one more than wanted
		case b.above:
			place(b.a, x, y)
			place(b.b, x, y+b.a.h)
		default:
			place(b.a, x, y)
			place(b.b, x+b.a.w, y)
		}
	}
	place(b, 0, 0)
	return l
}
