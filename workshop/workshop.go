// Package workshop plans a day on which many families each build the bed of one brief: what is bought
// and sawn for all of them together, what goes into each kit, and the run of the day. Each family has a
// plan of its own, with its own water and language; its bed may have another size. Like the plan it is a pure
// function of its arguments.
package workshop

import (
	"context"
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
	FaultOtherBed finding.ID = "workshop.fault.other_bed" // a family whose vessel is of another kind
	FaultNoKit    finding.ID = "workshop.fault.no_kit"    // nothing is built from parts
)

// Family is one that comes: what its kit and its papers are called by, no name, and its brief.
type Family struct {
	Code  string
	Brief *brief.Brief
	file  string // of the table where it stands, for faults
	row   int
	said  []brief.Pair // of it alone
}

// Workshop is the plan of the day.
type Workshop struct {
	Title    string // of the brief
	Families []Family
	Each     []plan.Plan // of each family, alone
	Boards   *plan.Boards
	Sizes    []Size // by whose kits are alike, in the order in which they are met
	Foam     []Foam
	Liners   []Liners
	Lines    []Line
	Total    cost.Money // of all lines, with what is to spare
	Spare    cost.Money // of that, what is to spare
	Apart    cost.Money // what the families would pay, each buying alone
	Unpriced int        // lines without a price
	Day      []Step
}

// Size is the families whose kits are alike.
type Size struct {
	Families []Family
	Each     []plan.Plan
}

// Bed is the plan of one bed alone.
func (s Size) Bed() plan.Plan { return s.Each[0] }

// Foam is the cutting of all rafts of one kind of foam.
type Foam struct {
	cut.SheetPlan
	Thickness unit.Length
}

// Bed is the plan of one bed alone, that of the first family.
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
	Sheet frame.Sheet
	Each  float64     // price of one; 0: not known
	Cuts  []cut.Panel // the liners, by size
}

// Alike says whether the plans of all families differ in nothing but their codes.
func (w Workshop) Alike() bool {
	return !slices.ContainsFunc(w.Families, func(f Family) bool { return len(f.said) > 0 })
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
		if f := families[i]; p.Frame == nil || p.Cost == nil || p.Frame.Job.Vessel.Shape != w.Bed().Frame.Job.Vessel.Shape || (p.Raft == nil) != (w.Bed().Raft == nil) {
			faults = append(faults, finding.Fault{ID: FaultOtherBed, File: f.file, Line: max(1, f.row), Column: 1})
		}
	}
	if len(faults) > 0 {
		return Workshop{}, faults
	}
	w.group()
	all := make([]plan.Plan, len(w.Sizes))
	for i, s := range w.Sizes {
		many, wrong := with(j.Brief, append(slices.Clone(s.Families[0].said), brief.Pair{Path: "bed.count", Text: strconv.Itoa(len(s.Families))}, brief.Pair{Path: "log"}, brief.Pair{Path: "cut.pieces"}))
		if len(wrong) > 0 {
			return Workshop{}, wrong
		}
		all[i] = planned(many, plan.Cut|plan.Cost, Family{})
		if len(faults) > 0 {
			return Workshop{}, faults
		}
	}
	foams := w.together(all, func(i int, others []plan.Plan) {
		one := j
		one.Brief, one.Asked, one.Wrong, one.Beside = all[i].Brief, plan.Cut|plan.Cost, nil, others
		all[i] = one.Make(memory)
		faults = append(faults, all[i].Faults...)
	})
	if len(faults) > 0 {
		return Workshop{}, faults
	}
	w.Boards = all[0].Boards
	for _, i := range foams {
		if f := all[i].Foam; f != nil && len(f.Missing) == 0 {
			w.Foam = append(w.Foam, Foam{*f, all[i].Raft.Job.Thickness})
		}
	}
	stop := j.Stop
	if stop == nil {
		stop = context.Background()
	}
	w.lineBeds(stop)
	w.buy(all, foams)
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
