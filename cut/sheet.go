package cut

import (
	"context"

	"raftwright/finding"
	"raftwright/unit"
)

// Bounds of a sheet job.
const (
	MaxPanels     = 2_000
	MaxPanelKinds = 60
)

// Panel is a rectangle wanted from a sheet.
type Panel struct {
	Name          string
	Length, Width unit.Length
	Count         int
	Fixed         bool // may not be turned a quarter (grain, face print)
}

// Sheet is a sheet as it is sold or lies in the shed.
type Sheet struct {
	Name          string
	Length, Width unit.Length
	Price         int64 // whole minor units; left out on all: the number of sheets counts
	Count         int   // how many there are; left out: no limit where sold, one where on hand
}

// SheetJob is a job of cutting sheets by straight cuts from edge to edge (guillotine cuts), as a
// table saw, a track saw or a hot wire makes them.
type SheetJob struct {
	Kerf   *unit.Length // nil: DefaultKerf is assumed; zero is legal (a knife)
	Sheets []Sheet
	OnHand []Sheet
	Panels []Panel
	Steps  int64 // elementary steps that the search may take; 0: as many as usual
}

// Part is a panel in its place on a sheet: X along the sheet's length, Y along its width, from the lower left corner.
type Part struct {
	Name          string
	X, Y          unit.Length
	Length, Width unit.Length // as it lies
	Turned        bool
}

// Line is a saw cut, from edge to edge of the piece that is then on the saw.
type Line struct {
	X1, Y1, X2, Y2 unit.Length
}

// Layout is one way to cut a sheet, and how many sheets are cut so.
type Layout struct {
	Sheet   Sheet
	OnHand  bool
	Repeat  int
	Parts   []Part
	Cuts    []Line // in order
	Offcuts []Part // rectangles left over, the largest first
}

// SheetPlan is which sheets to buy and how to cut them.
type SheetPlan struct {
	Layouts     []Layout
	Bought      int
	Used        int // sheets on hand that are cut
	Priced      bool
	Price       int64
	LowerBound  int64 // in minor units, or sheets where no prices are given
	Optimal     bool  // proven: no way of straight edge-to-edge cuts costs less
	WasteShare  unit.Fraction
	Kerf        unit.Length
	Missing     []Panel
	Findings    []finding.Finding
	Assumptions []finding.Assumption
	panels      unit.Area
	bought      unit.Area
}

// Sheets plans the cutting of sheets at least cost. Few panels of few kinds are solved exactly (all layouts are built up
// from their parts, Wang 1983); larger jobs by rules, with the bound stated.
func Sheets(ctx context.Context, j SheetJob) (SheetPlan, finding.Faults) {
	if faults := j.check(); faults != nil {
		return SheetPlan{}, faults
	}
	s := newTable(ctx, j)
	s.solve()
	return s.plan(), stopped(ctx)
}
