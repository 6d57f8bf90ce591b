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

// Panel is a rectangle wanted from a sheet. It may be turned a quarter.
type Panel struct {
	Name          string
	Length, Width unit.Length
	Count         int
}

// SheetJob is a job of cutting sheets of one size by straight cuts from edge to edge (guillotine
// cuts), as a knife, a track saw or a hot wire makes them.
type SheetJob struct {
	Kerf          unit.Length // 0: a knife
	Length, Width unit.Length // of a sheet
	Panels        []Panel
	Steps         int64 // elementary steps that the search may take; 0: as many as usual
}

// Part is a panel in its place on a sheet: X along the sheet's length, Y along its width, from the lower left corner.
type Part struct {
	Name          string
	X, Y          unit.Length
	Length, Width unit.Length // as it lies
}

// Layout is one way to cut a sheet, and how many sheets are cut so.
type Layout struct {
	Repeat int
	Parts  []Part
}

// SheetPlan is how many sheets to buy and how to cut them.
type SheetPlan struct {
	Length, Width unit.Length // of a sheet
	Layouts       []Layout
	Bought        int
	LowerBound    int64 // sheets
	Optimal       bool  // proven: no way of straight edge-to-edge cuts takes fewer
	Missing       []Panel
	Findings      []finding.Finding
}

// Sheets plans the cutting of the fewest sheets. Few panels of few kinds are solved exactly (all layouts are built up
// from their parts, Wang 1983); larger jobs by rules, with the bound stated.
func Sheets(ctx context.Context, j SheetJob) (SheetPlan, finding.Faults) {
	if faults := j.check(); faults != nil {
		return SheetPlan{}, faults
	}
	s := newTable(ctx, j)
	s.solve()
	return s.plan(), stopped(ctx)
}
