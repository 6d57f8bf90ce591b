package workshop

import (
	"context"
	"math"
	"slices"

	"raftwright/cut"
	"raftwright/frame"
	"raftwright/plan"
)

// group puts families whose kits are alike together.
func (w *Workshop) group() {
	for i, p := range w.Each {
		at := slices.IndexFunc(w.Sizes, func(s Size) bool { return sameKit(s.Bed(), p) })
		if at < 0 {
			at = len(w.Sizes)
			w.Sizes = append(w.Sizes, Size{})
		}
		s := &w.Sizes[at]
		s.Families, s.Each = append(s.Families, w.Families[i]), append(s.Each, p)
	}
}

// SizeOf gives the number of the size of a family, by its place.
func (w Workshop) SizeOf(family int) int {
	return slices.IndexFunc(w.Sizes, func(s Size) bool {
		return slices.ContainsFunc(s.Families, func(f Family) bool { return f.Code == w.Families[family].Code })
	})
}

// together has the beds of all sizes cut as one job: all boards with those of the first size, and the rafts of one foam with the first
// of that foam. It gives the sizes with which rafts are cut.
func (w *Workshop) together(all []plan.Plan, cut func(i int, others []plan.Plan)) (foams []int) {
	alone := slices.Clone(all)
	for i := range alone {
		at := slices.IndexFunc(foams, func(k int) bool { return plan.OneFoam(alone[k], alone[i]) })
		if at < 0 {
			foams = append(foams, i)
		}
	}
	for _, i := range foams {
		var others []plan.Plan
		for k := range alone {
			if k != i && (i == 0 || plan.OneFoam(alone[i], alone[k])) {
				others = append(others, alone[k])
			}
		}
		if len(others) > 0 {
			cut(i, others)
		}
	}
	return foams
}

// lineBeds cuts the liners of all beds of one material from the size of roll that costs least.
func (w *Workshop) lineBeds(stop context.Context) {
	var first []frame.Liner // of each material
	for _, s := range w.Sizes {
		n := s.Bed().Frame.Liner
		if !n.Wanted || len(n.Options) == 0 || slices.ContainsFunc(first, func(f frame.Liner) bool { return oneLiner(f, n) }) {
			continue
		}
		first = append(first, n)
	}
	for _, f := range first {
		var panels []cut.Panel
		var rolls []frame.Purchase
		for _, s := range w.Sizes {
			n := s.Bed().Frame.Liner
			if !n.Wanted || len(n.Options) == 0 || !oneLiner(f, n) {
				continue
			}
			panels = append(panels, cut.Panel{Name: "liner", Length: n.Length, Width: n.Width, Count: len(s.Families)})
			for _, o := range n.Options {
				if o.Sheet.Material == f.Options[0].Sheet.Material && o.Sheet.Thickness == f.Options[0].Sheet.Thickness &&
					!slices.ContainsFunc(rolls, func(r frame.Purchase) bool { return r.Sheet == o.Sheet }) {
					rolls = append(rolls, o)
				}
			}
		}
		w.lineFrom(stop, rolls, panels)
	}
}

// oneLiner says whether two liners are of one material.
func oneLiner(a, b frame.Liner) bool {
	return a.Options[0].Sheet.Material == b.Options[0].Sheet.Material && a.Options[0].Sheet.Thickness == b.Options[0].Sheet.Thickness
}

// lineFrom cuts liners of one material from the one of these rolls that costs least.
func (w *Workshop) lineFrom(stop context.Context, rolls []frame.Purchase, panels []cut.Panel) {
	least := math.Inf(1)
	var best *Liners
	for _, o := range rolls {
		p, faults := cut.Sheets(stop, cut.SheetJob{Length: o.Sheet.Length, Width: o.Sheet.Width, Panels: panels})
		if faults != nil || len(p.Missing) > 0 {
			continue
		}
		price := w.sheetPrice(o) * float64(p.Bought)
		if price == 0 { // not known: behind all that are, by what is bought
			price = 1e12 + float64(o.Sheet.Area())*float64(p.Bought)
		}
		if price < least {
			least, best = price, &Liners{SheetPlan: p, Sheet: o.Sheet, Each: w.sheetPrice(o), Cuts: panels}
		}
	}
	if best != nil {
		w.Liners = append(w.Liners, *best)
	}
}

// sheetPrice gives the price of one sheet: that of the list of one bed, where it buys this size.
func (w *Workshop) sheetPrice(o frame.Purchase) float64 {
	for _, s := range w.Sizes {
		for _, l := range s.Bed().Cost.Lines {
			if l.Name == linerLine && l.Args["StockWidth"] == o.Sheet.Width && l.Args["StockLength"] == o.Sheet.Length && l.Args["Thickness"] == o.Sheet.Thickness {
				return l.UnitPrice.Float()
			}
		}
	}
	return o.Cost / float64(o.Buy)
}
