package workshop

import (
	"fmt"
	"math"
	"slices"

	"raftwright/cost"
	"raftwright/finding"
	"raftwright/plan"
	"raftwright/unit"
)

// Line is one line of what is bought for all families.
type Line struct {
	cost.Line
	Wanted float64 // in the unit of the line, without what is to spare
	Spare  float64
}

// The lines that are reckoned anew for many beds.
const (
	linerLine   finding.Word = "need.liner"
	boardLine   finding.Word = "need.board"
	screwLine   finding.Word = "need.screw"
	foamLine    finding.Word = "need.foam"
	paintLine   finding.Word = "need.paint"
	potLine     finding.Word = "need.pot"
	holeSawLine finding.Word = "need.hole_saw"
)

// spares are what is bought besides, as a share: a screw drops in the grass, a pot cracks, a board is split
// or a piece is sawn too short (common practice, no source). Of boards and foam the nearest whole number,
// so that a few beds have none; seed and plugs have their own.
var spares = map[finding.Word]float64{screwLine: 0.10, potLine: 0.05, boardLine: 0.05, foamLine: 0.05}

// spare gives how many are to spare of so many.
func spare(name finding.Word, wanted float64) float64 {
	share := spares[name]
	if name == boardLine || name == foamLine {
		return math.Floor(wanted*share + 0.5)
	}
	return math.Ceil(wanted*share - 1e-9)
}

// together are the groups that are bought for the beds of all, as one job; the rest is what each family
// takes home, added up.
var together = []string{"frame", "liner", "raft"}

// buy adds up what is bought for all.
func (w *Workshop) buy(all []plan.Plan, foams []int) {
	var lines []Line
	at := map[string]int{}
	for i, p := range all {
		for _, l := range p.Cost.Lines {
			if !slices.Contains(together, l.Group) || i > 0 && l.Name == boardLine || cutOfFoam(l) && !slices.Contains(foams, i) {
				continue
			}
			key := fmt.Sprint(l.Name, l.Args, l.Unit)
			if of := w.linersOf(i); l.Name == linerLine && of != nil {
				l = of.line(l)
				if key = fmt.Sprint(l.Name, l.Args, l.Unit); at[key] > 0 { // all liners stand in it
					continue
				}
			}
			if n := at[key]; n > 0 {
				lines[n-1].Wanted += l.Quantity
				continue
			}
			lines = append(lines, Line{Line: l, Wanted: l.Quantity})
			at[key] = len(lines)
		}
	}
	at = map[string]int{}
	for _, p := range w.Each {
		for _, l := range p.Cost.Lines {
			if !taken(l) {
				continue
			}
			w.Apart = w.Apart.Add(l.Price)
			if slices.Contains(together, l.Group) {
				continue
			}
			key := fmt.Sprint(l.Name, l.Args, l.Unit)
			i, met := at[key]
			if !met {
				i = len(lines)
				at[key] = i
				lines = append(lines, Line{Line: l})
				lines[i].Mass = 0
			}
			lines[i].Wanted += l.Quantity
			lines[i].Mass += l.Mass
		}
	}
	w.Total = cost.Money{Currency: all[0].Cost.FirstCost.Currency}
	w.Spare = w.Total
	for _, l := range lines {
		switch pack, packed := l.Args["Pack"].(unit.Mass); {
		case l.Name == holeSawLine: // one at each place where holes are drilled
			l.Wanted = float64(w.places())
		case packed && l.Mass > 0: // weighed out into the kits
			l.Wanted = math.Ceil(float64(l.Mass/pack) - 1e-9)
		}
		l.Spare = spare(l.Name, l.Wanted)
		bare := priced(l, l.Wanted).Price
		l = priced(l, l.Wanted+l.Spare)
		w.Total, w.Spare = w.Total.Add(l.Price), w.Spare.Add(l.Price.Sub(bare))
		if l.Unknown {
			w.Unpriced++
		}
		w.Lines = append(w.Lines, l)
	}
}

// taken says whether a line is bought at a store: work and power are not.
func taken(l cost.Line) bool {
	return l.Group != cost.Work && l.Unit != "kilowatt hour" && !(l.Price.Amount == 0 && l.Quantity == 0)
}

// priced gives a line for a quantity, in whole packs.
func priced(l Line, quantity float64) Line {
	l.Quantity, l.Buy = quantity, quantity
	if l.Pack > 0 {
		l.Buy = math.Ceil(quantity/l.Pack-1e-9) * l.Pack
	}
	l.Price = l.UnitPrice.Times(l.Buy).Rounded()
	return l
}

// cutOfFoam says whether a line goes by the sheets of foam that are cut.
func cutOfFoam(l cost.Line) bool { return l.Name == foamLine || l.Name == paintLine }

// linersOf gives the liners among which those of a size are cut, of the material that one bed takes; nil where there are none.
func (w *Workshop) linersOf(size int) *Liners {
	n := w.Sizes[size].Bed().Frame.Liner
	for i, x := range w.Liners {
		if len(n.Options) > 0 && x.Sheet.Material == n.Options[0].Sheet.Material && x.Sheet.Thickness == n.Options[0].Sheet.Thickness {
			return &w.Liners[i]
		}
	}
	return nil
}

// line gives the line of the liners as all of them are cut.
func (n Liners) line(l cost.Line) cost.Line {
	s := n.Sheet
	l.Args = finding.Args{"Material": s.Word(), "StockWidth": s.Width, "StockLength": s.Length, "Thickness": s.Thickness}
	l.Quantity, l.Life = float64(n.Bought), s.Life()
	l.UnitPrice = cost.Cents(int64(math.Round(n.Each*100)), l.UnitPrice.Currency)
	l.Unknown = n.Each == 0
	return l
}
