// Package workshop plans a day on which many families each build the bed of one brief: what is bought
// and sawn for all of them together, what goes into each kit, and the run of the day. Each family has a
// plan of its own, with its own water and language; the bed is the same. Like the plan it is a pure
// function of its arguments.
package workshop

import (
	"context"
	"math"
	"slices"
	"strconv"

	"raftwright/brief"
	"raftwright/cost"
	"raftwright/cut"
	"raftwright/finding"
	"raftwright/frame"
	"raftwright/plan"
	"raftwright/unit"
)

// MostFamilies is how many one day may have.
const MostFamilies = 200

// Faults of the room.
const (
	FaultFamilies finding.ID = "workshop.fault.families"  // not a number from 1 to MostFamilies, nor a table
	FaultTwice    finding.ID = "workshop.fault.twice"     // a code that another family has
	FaultCode     finding.ID = "workshop.fault.code"      // no code, or one that cannot name a file
	FaultColumn   finding.ID = "workshop.fault.column"    // the first column is not the code
	FaultTable    finding.ID = "workshop.fault.table"     // no table of commas
	FaultOtherBed finding.ID = "workshop.fault.other_bed" // a family whose kit would differ
	FaultNoKit    finding.ID = "workshop.fault.no_kit"    // nothing is built from parts
)

// Family is one that comes: what its kit and its papers are called by, no name, and its brief.
type Family struct {
	Code  string
	Brief *brief.Brief
	file  string // of the table where it stands, for faults
	row   int
	own   bool // something is said of it alone
}

// Workshop is the plan of the day.
type Workshop struct {
	Title    string // of the brief
	Families []Family
	Each     []plan.Plan // of each family, alone
	Boards   *plan.Boards
	Foam     *cut.SheetPlan
	Liners   *Liners
	Lines    []Line
	Total    cost.Money // of all lines, with what is to spare
	Spare    cost.Money // of that, what is to spare
	Apart    cost.Money // what the families would pay, each buying alone
	Unpriced int        // lines without a price
	Day      []Step
}

// Bed is the plan of one bed alone, that of the first family: what all kits have in common.
func (w Workshop) Bed() plan.Plan { return w.Each[0] }

// PerFamily is each family's share of the total.
func (w Workshop) PerFamily() cost.Money { return w.Total.Over(float64(len(w.Families))) }

// Saved is what buying together saves, with what is to spare paid for; false where it saves nothing.
func (w Workshop) Saved() (cost.Money, bool) {
	m := w.Apart.Sub(w.Total)
	return m, m.Amount > 0 && w.Unpriced == 0
}

// Liners is the cutting of all liners from rolls or sheets of one size, and what one of these costs.
type Liners struct {
	cut.SheetPlan
	Sheet               frame.Sheet
	Each                float64     // price of one; 0: not known
	CutLength, CutWidth unit.Length // of one liner
}

// Alike says whether the plans of all families differ in nothing but their codes.
func (w Workshop) Alike() bool {
	return !slices.ContainsFunc(w.Families, func(f Family) bool { return f.own })
}

// Make plans the day for these families of the job's brief, each with its book and files.
func Make(j plan.Job, families []Family) (Workshop, finding.Faults) {
	var faults finding.Faults
	memory := &plan.Memory{}
	w := Workshop{Title: j.Brief.Title.Value, Families: families}
	planned := func(b *brief.Brief, asked plan.Part, of Family) plan.Plan {
		one := j
		one.Brief, one.Asked, one.Wrong = b, asked, nil
		p := one.Make(memory)
		for _, f := range p.Faults {
			if of.row > 0 {
				f.File, f.Line, f.Column = of.file, of.row, 1
			}
			faults = append(faults, f)
		}
		return p
	}
	for _, f := range families {
		w.Each = append(w.Each, planned(f.Brief, plan.Everything, f))
		if len(faults) > 0 {
			return Workshop{}, faults
		}
	}
	if w.Bed().Frame == nil || w.Bed().Cost == nil {
		return Workshop{}, finding.Faults{{ID: FaultNoKit}}
	}
	for i, p := range w.Each {
		if f := families[i]; !sameKit(w.Bed(), p) {
			faults = append(faults, finding.Fault{ID: FaultOtherBed, File: f.file, Line: max(1, f.row), Column: 1})
		}
	}
	if len(faults) > 0 {
		return Workshop{}, faults
	}
	many := j.Brief
	for _, c := range []brief.Pair{{Path: "bed.count", Text: strconv.Itoa(len(families))}, {Path: "log"}, {Path: "cut.pieces"}} {
		if many, faults = many.Set(c.Path, c.Text); len(faults) > 0 {
			return Workshop{}, faults
		}
	}
	all := planned(many, plan.Cut|plan.Cost, Family{})
	if len(faults) > 0 {
		return Workshop{}, faults
	}
	w.Boards, w.Foam = all.Boards, all.Foam
	stop := j.Stop
	if stop == nil {
		stop = context.Background()
	}
	w.lineBeds(stop)
	w.buy(all)
	w.run()
	return w, nil
}

// sameKit says whether two plans are built from the same parts.
func sameKit(a, b plan.Plan) bool {
	if a.Raft != nil && b.Raft != nil && (a.Raft.Holes != b.Raft.Holes || a.Raft.Job.Hole != b.Raft.Job.Hole || a.Raft.Job.Thickness != b.Raft.Job.Thickness) {
		return false
	}
	return (a.Raft == nil) == (b.Raft == nil) && slices.Equal(a.Frame.Pieces, b.Frame.Pieces) && slices.Equal(a.Frame.Fasteners, b.Frame.Fasteners) &&
		a.Frame.Job.Vessel == b.Frame.Job.Vessel && a.Frame.Liner.Length == b.Frame.Liner.Length && a.Frame.Liner.Width == b.Frame.Liner.Width
}

// lineBeds cuts the liners of all beds from the size of roll that costs least, of the material that one bed
// takes: proven, since all liners are alike.
func (w *Workshop) lineBeds(stop context.Context) {
	n := w.Bed().Frame.Liner
	if !n.Wanted || len(n.Options) == 0 {
		return
	}
	best, least := n.Options[0].Sheet, math.Inf(1)
	for _, o := range n.Options {
		if o.Sheet.Material != best.Material || o.Sheet.Thickness != best.Thickness {
			continue
		}
		p, faults := cut.Sheets(stop, cut.SheetJob{Length: o.Sheet.Length, Width: o.Sheet.Width,
			Panels: []cut.Panel{{Name: "liner", Length: n.Length, Width: n.Width, Count: len(w.Families)}}})
		if faults != nil || len(p.Missing) > 0 {
			continue
		}
		price := w.sheetPrice(o) * float64(p.Bought)
		if price == 0 { // not known: behind all that are, by what is bought
			price = 1e12 + float64(o.Sheet.Area())*float64(p.Bought)
		}
		if price < least {
			least, w.Liners = price, &Liners{SheetPlan: p, Sheet: o.Sheet, Each: w.sheetPrice(o), CutLength: n.Length, CutWidth: n.Width}
		}
	}
}

// sheetPrice gives the price of one sheet: that of the list of one bed, where it buys this size.
func (w *Workshop) sheetPrice(o frame.Purchase) float64 {
	for _, l := range w.Bed().Cost.Lines {
		if l.Name == linerLine && l.Args["StockWidth"] == o.Sheet.Width && l.Args["StockLength"] == o.Sheet.Length {
			return l.UnitPrice.Float()
		}
	}
	return o.Cost / float64(o.Buy)
}
