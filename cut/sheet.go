package cut

import (
	"errors"
	"fmt"

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
func Sheets(j SheetJob) (SheetPlan, error) {
	if err := j.check(); err != nil {
		return SheetPlan{}, err
	}
	s := newTable(j)
	s.solve()
	return s.plan(), nil
}

func (j SheetJob) check() error {
	var faults []error
	say := func(format string, args ...any) { faults = append(faults, fmt.Errorf(format, args...)) }
	if j.Kerf != nil && !(*j.Kerf >= 0 && *j.Kerf <= unit.Inch) {
		say("kerf: a saw cut is from 0 to 1 in wide, for example 1/8 in")
	}
	if len(j.Panels) == 0 {
		say("panels: give at least one, with its length, width and count")
	}
	if len(j.Sheets)+len(j.OnHand) == 0 {
		say("sheets: give at least one size that the store sells")
	}
	if len(j.Panels) > MaxPanelKinds || len(j.Sheets)+len(j.OnHand) > MaxStock {
		say("too many lines: at most %d panels and %d sheets can be planned", MaxPanelKinds, MaxStock)
	}
	total := 0
	for i, p := range j.Panels {
		if !sane(p.Length, longestSheet) || !sane(p.Width, longestSheet) {
			say("panel %d %q: length and width must be more than 0 and at most 100 m", i+1, p.Name)
		}
		if p.Count < 1 {
			say("panel %d %q: the count must be 1 or more", i+1, p.Name)
		}
		total = min(total+min(max(p.Count, 0), MaxPanels+1), MaxPanels+1)
	}
	if total > MaxPanels {
		say("panels: more than %d; split the job", MaxPanels)
	}
	checkSheets(j.Sheets, "sheet", say)
	checkSheets(j.OnHand, "sheet on hand", say)
	priced := 0
	for _, s := range j.Sheets {
		if s.Price > 0 {
			priced++
		}
	}
	if priced > 0 && priced < len(j.Sheets) {
		say("sheets: give every sheet a price or none; a free sheet is one on hand")
	}
	return errors.Join(faults...)
}

func checkSheets(list []Sheet, what string, say func(string, ...any)) {
	for i, s := range list {
		if !sane(s.Length, longestSheet) || !sane(s.Width, longestSheet) {
			say("%s %d %q: length and width must be more than 0 and at most 100 m, for example 8 ft by 4 ft", what, i+1, s.Name)
		}
		if s.Count < 0 || s.Price < 0 || s.Price > priciest {
			say("%s %d %q: count and price must be 0 or more and sensible", what, i+1, s.Name)
		}
	}
}
