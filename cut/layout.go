package cut

import (
	"cmp"
	"slices"

	"raftwright/finding"
	"raftwright/source"
	"raftwright/unit"
)

// Findings of the sheet table.
const (
	FindSheetTooBig   finding.ID = "cut.panel_too_big"
	FindSheetShort    finding.ID = "cut.sheets_short"
	FindSheetUnproven finding.ID = "cut.sheets_unproven"
)

// plan turns the answer back into layouts.
func (s *table) plan() SheetPlan {
	p := SheetPlan{Priced: s.priced(), Kerf: *s.job.Kerf, LowerBound: s.answer.bound, Optimal: s.answer.proven && len(s.tooBig) == 0}
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
				p.Layouts = append(p.Layouts, s.layout(u.board, b, takes, int(times)))
			}
		}
	}
	slices.SortStableFunc(p.Layouts, func(a, b Layout) int { return cmp.Compare(boolInt(a.OnHand), boolInt(b.OnHand)) })
	s.sum(&p)
	s.judge(&p)
	return p
}

func (s *table) blockOf(p pattern) *block {
	key := p.key()
	for i, q := range s.pats {
		if q.key() == key {
			return s.blocks[i]
		}
	}
	return nil
}

func (s *table) sum(p *SheetPlan) {
	for _, l := range p.Layouts {
		n := unit.Area(l.Repeat)
		p.bought += n * l.Sheet.Length.By(l.Sheet.Width)
		for _, q := range l.Parts {
			p.panels += n * q.Length.By(q.Width)
		}
		if l.OnHand {
			p.Used += l.Repeat
			continue
		}
		p.Bought += l.Repeat
		p.Price += int64(l.Repeat) * l.Sheet.Price
	}
	if p.bought > 0 {
		p.WasteShare = unit.Fraction((p.bought - p.panels) / p.bought)
	}
}

func (s *table) judge(p *SheetPlan) {
	for _, i := range s.tooBig {
		panel := s.job.Panels[i]
		p.Missing = append(p.Missing, panel)
		p.Findings = append(p.Findings, finding.Finding{ID: FindSheetTooBig, Severity: finding.Stop, Hurts: finding.Purse, Figure: panel.Length, Source: source.Given,
			Args: finding.Args{"Panel": panel.Name, "Length": panel.Length, "Width": panel.Width}})
	}
	for _, l := range s.lacking {
		p.Findings = append(p.Findings, finding.Finding{ID: FindSheetShort, Severity: finding.Stop, Hurts: finding.Purse, Figure: l.missing, Source: source.Given,
			Args: finding.Args{"Length": l.Length, "Width": l.Width, "Count": l.missing}})
	}
	if !p.Optimal && len(p.Findings) == 0 {
		p.Findings = append(p.Findings, finding.Finding{ID: FindSheetUnproven, Severity: finding.Note, Figure: p.LowerBound, Source: source.OwnChoice})
	}
	if s.assumedKerf {
		p.Assumptions = append(p.Assumptions, finding.Assumption{ID: AssumeKerf, Source: source.CommonPractice, Args: finding.Args{"Kerf": DefaultKerf}})
	}
}

// drawer lays a block out on a sheet.
type drawer struct {
	s     *table
	out   Layout
	quota []int64 // panels still wanted from this sheet, by kind
}

func (s *table) layout(sheet int, b *block, takes []take, times int) Layout {
	d := drawer{s: s, quota: make([]int64, len(s.kinds))}
	for _, k := range takes {
		d.quota[k.kind] = k.n
	}
	d.out = Layout{Sheet: s.sheet(sheet), OnHand: s.sheets[sheet].onHand, Repeat: times}
	d.place(b, field{0, 0, s.w[sheet], s.h[sheet]})
	slices.SortStableFunc(d.out.Offcuts, func(a, b Part) int {
		return cmp.Compare(b.Length.By(b.Width), a.Length.By(a.Width))
	})
	return d.out
}

// field is a rectangle of the sheet in nanometres, one kerf added each way.
type field struct{ x, y, w, h int64 }

// place cuts the field down to the block and then the block apart.
func (d *drawer) place(b *block, f field) {
	side := field{f.x + b.w, f.y, f.w - b.w, f.h}
	top := field{f.x, f.y + b.h, b.w, f.h - b.h}
	sideFirst := max(d.size(side), d.size(top))
	low, wide := side, top
	low.h, wide.w = b.h, f.w
	if max(d.size(low), d.size(wide)) > sideFirst { // first along the sheet: the larger offcut stays whole
		d.cutAcross(f, f.y+b.h, f.h > b.h)
		d.offcut(wide)
		f.h = b.h
		d.cutDown(f, f.x+b.w, f.w > b.w)
		d.offcut(low)
	} else {
		d.cutDown(f, f.x+b.w, f.w > b.w)
		d.offcut(side)
		f.w = b.w
		d.cutAcross(f, f.y+b.h, f.h > b.h)
		d.offcut(top)
	}
	f.w, f.h = b.w, b.h
	switch {
	case b.a == nil:
		d.part(b, f)
	case b.above:
		d.cutAcross(f, f.y+b.a.h, true)
		d.place(b.a, field{f.x, f.y, f.w, b.a.h})
		d.place(b.b, field{f.x, f.y + b.a.h, f.w, b.b.h})
	default:
		d.cutDown(f, f.x+b.a.w, true)
		d.place(b.a, field{f.x, f.y, b.a.w, f.h})
		d.place(b.b, field{f.x + b.a.w, f.y, b.b.w, f.h})
	}
}

func (d *drawer) size(f field) float64 {
	k := d.s.kerf
	if f.w <= k || f.h <= k {
		return 0
	}
	return float64(f.w-k) * float64(f.h-k)
}

// cutDown cuts a field from bottom to top; the saw takes the kerf just before x.
func (d *drawer) cutDown(f field, x int64, really bool) {
	if really {
		k := d.s.kerf
		d.out.Cuts = append(d.out.Cuts, Line{length(x - k), length(f.y), length(x - k), length(f.y + f.h - k)})
	}
}

// cutAcross cuts a field from left to right.
func (d *drawer) cutAcross(f field, y int64, really bool) {
	if really {
		k := d.s.kerf
		d.out.Cuts = append(d.out.Cuts, Line{length(f.x), length(y - k), length(f.x + f.w - k), length(y - k)})
	}
}

func (d *drawer) offcut(f field) {
	if d.size(f) > 0 {
		d.out.Offcuts = append(d.out.Offcuts, d.rect(f))
	}
}

func (d *drawer) rect(f field) Part {
	k := d.s.kerf
	return Part{X: length(f.x), Y: length(f.y), Length: length(f.w - k), Width: length(f.h - k)}
}

// part takes a panel, or leaves it as an offcut when it is one more than wanted.
func (d *drawer) part(b *block, f field) {
	r := d.rect(f)
	if d.quota[b.kind] == 0 {
		d.out.Offcuts = append(d.out.Offcuts, r)
		return
	}
	d.quota[b.kind]--
	r.Name, r.Turned = d.s.job.Panels[d.s.kinds[b.kind]].Name, b.turned
	d.out.Parts = append(d.out.Parts, r)
}
