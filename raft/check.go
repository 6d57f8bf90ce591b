package raft

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"raftwright/finding"
	"raftwright/source"
	"raftwright/unit"
)

// Fault is one thing that is wrong with a Job.
type Fault struct {
	Field string // the field of the brief's raft section: "spacing", "obstacles"
	What  string // what is wrong, continuing "the <field>"
	Right string // what would be right
}

// Error makes one line of the fault.
func (f Fault) Error() string { return "the " + f.Field + " " + f.What + "; write " + f.Right }

// Faults are all the faults of a Job, in the order of its fields.
type Faults []Fault

// Error joins the faults, one a line.
func (f Faults) Error() string {
	lines := make([]string, len(f))
	for i := range f {
		lines[i] = f[i].Error()
	}
	return strings.Join(lines, "\n")
}

// What can be planned. Beyond it a figure is a slip of the pen.
const (
	maxHoles     = 20000
	maxPieces    = 400
	maxObstacles = 100
)

const (
	leastSheet, mostSheet         = 50 * unit.Millimetre, 30 * unit.Metre
	leastThickness, mostThickness = 5 * unit.Millimetre, 300 * unit.Millimetre
	leastSpacingAsked, mostSpan   = 10 * unit.Millimetre, 5 * unit.Metre
	leastHole, mostHole           = 5 * unit.Millimetre, 500 * unit.Millimetre
)

// Assumptions of this room.
const (
	AssumeSheet     finding.ID = "raft.assume_sheet"
	AssumeThickness finding.ID = "raft.assume_thickness"
	AssumeFoam      finding.ID = "raft.assume_foam"
	AssumeGap       finding.ID = "raft.assume_gap"
	AssumeSpacing   finding.ID = "raft.assume_spacing"
	AssumeEdge      finding.ID = "raft.assume_edge"
	AssumeHole      finding.ID = "raft.assume_hole"
	AssumePattern   finding.ID = "raft.assume_pattern"
	AssumePot       finding.ID = "raft.assume_pot"
	AssumeDip       finding.ID = "raft.assume_dip"
	AssumePotMass   finding.ID = "raft.assume_pot_mass"
	AssumeHeadMass  finding.ID = "raft.assume_head_mass"
)

// The trade's own figures (common practice, no source).
const (
	usualSpacing   = 12 * unit.Inch
	usualHole      = 2.5 * unit.Inch
	usualThickness = 1.5 * unit.Inch
	usualGap       = unit.Inch / 2
	usualDip       = unit.Inch / 16
	rimOverHole    = unit.Inch / 4
	usualPotMass   = 60 * unit.Gram
	usualHeadMass  = 250 * unit.Gram
)

var usualSheet = Size{4 * unit.Foot, 8 * unit.Foot}

// assume fills in what the job leaves out and notes each thing assumed.
func (r *Raft) assume(j Job) Job {
	note := func(id finding.ID, src source.ID, args finding.Args) {
		r.Assumptions = append(r.Assumptions, finding.Assumption{ID: id, Args: args, Source: src})
	}
	length := func(into *unit.Length, id finding.ID, usual unit.Length, arg string) {
		if *into == 0 {
			*into = usual
			note(id, source.CommonPractice, finding.Args{arg: usual})
		}
	}
	r.Round = j.Diameter != 0 || j.InsideDiameter != 0
	if j.Sheet == (Size{}) && !r.Round {
		j.Sheet = usualSheet
		note(AssumeSheet, source.CommonPractice, finding.Args{"Width": usualSheet.X, "Length": usualSheet.Y})
	}
	length(&j.Thickness, AssumeThickness, usualThickness, "Thickness")
	if foam, assumed, err := FindFoam(j.Foam); err == nil && assumed {
		note(AssumeFoam, "astm.c578", finding.Args{"Kind": foam.Kind, "Type": foam.Type, "Density": foam.Density})
	}
	length(&j.Gap, AssumeGap, usualGap, "Gap")
	if j.Diameter == 0 && j.InsideDiameter > 0 {
		j.Diameter = j.InsideDiameter - 2*j.Gap
	}
	length(&j.Spacing, AssumeSpacing, usualSpacing, "Spacing")
	length(&j.Hole, AssumeHole, usualHole, "Hole")
	length(&j.Edge, AssumeEdge, j.usualEdge(), "Edge")
	if j.Pattern == "" {
		j.Pattern = Square
		note(AssumePattern, source.CommonPractice, finding.Args{"Pattern": finding.Word("word.pattern_square")})
	}
	length(&j.PotDip, AssumeDip, usualDip, "Dip")
	if j.Pot.Height == 0 || j.Pot.Rim == 0 {
		if j.Pot.Height == 0 {
			j.Pot.Height = j.Thickness + j.PotDip
		}
		if j.Pot.Rim == 0 {
			j.Pot.Rim = j.Hole + rimOverHole
		}
		note(AssumePot, source.CommonPractice, finding.Args{"Height": j.Pot.Height, "Rim": j.Pot.Rim})
	}
	if j.PotMass == 0 {
		j.PotMass = usualPotMass
		note(AssumePotMass, source.CommonPractice, finding.Args{"Mass": usualPotMass})
	}
	if j.HeadMass == 0 {
		j.HeadMass = usualHeadMass
		note(AssumeHeadMass, source.CommonPractice, finding.Args{"Mass": usualHeadMass})
	}
	return j
}

// usualEdge is half the spacing, so that the trade's 12 in goes with its 6 in; on
// sheets trimmed to leave play it gives way by half of what was cut, so that no
// row of holes is lost to the saw.
func (j Job) usualEdge() unit.Length {
	edge := j.Spacing / 2
	for _, wide := range []unit.Length{j.Diameter, min(j.Sheet.X, j.Sheet.Y), min(j.Inside.X, j.Inside.Y) - 2*j.Gap} {
		if wide > 0 { // one row of holes still stands in the middle of a narrow raft
			edge = min(edge, wide/2)
		}
	}
	if j.Inside == (Size{}) || !(j.Inside.X > 2*j.Gap && j.Inside.Y > 2*j.Gap && max(j.Inside.X, j.Inside.Y) <= mostSheet && min(j.Sheet.X, j.Sheet.Y) >= leastSheet) {
		return edge
	}
	short := Fit(j.Inside, j.Sheet, j.Gap).Short
	if cut := max(short.X, short.Y); cut <= 2*max(j.Gap, leastStrip) {
		return max(edge-cut/2, min(edge, j.Hole/2+j.Thickness/2))
	}
	return edge
}

// checker gathers faults.
type checker struct{ faults Faults }

func (c *checker) fault(field, what, right string) {
	c.faults = append(c.faults, Fault{field, what, right})
}

// within checks a length; NaN fails every comparison.
func (c *checker) within(field string, l, least, most unit.Length, right string) bool {
	if l >= least && l <= most {
		return true
	}
	if math.IsNaN(float64(l)) || math.IsInf(float64(l), 0) {
		c.fault(field, "is not a finite number", right)
		return false
	}
	c.fault(field, "is "+both(l), "a length from "+both(least)+" to "+both(most)+", such as "+right)
	return false
}

// both prints a length in inches and millimetres, for messages only.
func both(l unit.Length) string {
	return fmt.Sprintf("%.4g in (%.4g mm)", l.Inches(), l.Millimetres())
}

func count(n int) string { return strconv.Itoa(n) }

// check finds everything that is wrong with a completed job.
func (j Job) check() error {
	c := &checker{}
	j.checkSize(c)
	c.within("thickness", j.Thickness, leastThickness, mostThickness, "1-1/2 in")
	if _, _, err := FindFoam(j.Foam); err != nil {
		c.fault("foam", "is not known: "+err.Error(), "xps or eps")
	}
	spacing := c.within("spacing", j.Spacing, leastSpacingAsked, mostSpan, "8 in")
	hole := c.within("hole", j.Hole, leastHole, mostHole, "2-1/2 in")
	edge := c.within("edge", j.Edge, 0, mostSpan, "6 in")
	if spacing && hole && j.Spacing <= j.Hole {
		c.fault("spacing", "of "+both(j.Spacing)+" makes holes of "+both(j.Hole)+" run into each other", "a spacing wider than the hole")
	}
	if edge && hole && j.Edge <= j.Hole/2 {
		c.fault("edge", "of "+both(j.Edge)+" lets a hole of "+both(j.Hole)+" break through the rim", "more than half the hole, best half of it and the thickness of the foam")
	}
	if j.NurserySpacing != 0 && c.within("nursery spacing", j.NurserySpacing, leastSpacingAsked, mostSpan, "4 in") {
		if spacing && j.NurserySpacing >= j.Spacing {
			c.fault("nursery spacing", "is not closer than the final spacing of "+both(j.Spacing), "a closer one, or leave it out")
		}
		if hole && j.NurserySpacing <= j.Hole {
			c.fault("nursery spacing", "of "+both(j.NurserySpacing)+" makes holes of "+both(j.Hole)+" run into each other", "a spacing wider than the hole")
		}
	}
	if j.Pattern != Square && j.Pattern != Staggered && j.Pattern != Best {
		c.fault("pattern", fmt.Sprintf("%.30q is not known", string(j.Pattern)), "square, staggered or best")
	}
	j.checkObstacles(c)
	j.checkPots(c, hole)
	if c.faults != nil {
		return c.faults
	}
	return nil
}

func (j Job) checkSize(c *checker) {
	gap := c.within("gap", j.Gap, 0, unit.Metre, "1/2 in")
	if j.Diameter != 0 || j.InsideDiameter != 0 {
		if j.InsideDiameter != 0 {
			c.within("inside diameter", j.InsideDiameter, leastSheet, mostSheet, "60 in")
		}
		c.within("diameter", j.Diameter, leastSheet, mostSheet, "58 in")
		if j.Sheet != (Size{}) && j.Diameter != 0 {
			c.fault("diameter", "stands beside a sheet size", "one of them: a raft is round or made of sheets")
		}
		return
	}
	for _, l := range []unit.Length{j.Sheet.X, j.Sheet.Y} {
		if !c.within("sheet", l, leastSheet, mostSheet, "[4 ft, 8 ft]") {
			return
		}
	}
	if j.Across < 0 || j.Along < 0 || j.Across > maxPieces || j.Along > maxPieces || max(1, j.Across)*max(1, j.Along) > maxPieces {
		c.fault("sheets", "are too many or less than none", "at most "+count(maxPieces)+" sheets a bed")
		return
	}
	if j.Inside == (Size{}) || !gap {
		return
	}
	for _, l := range []unit.Length{j.Inside.X, j.Inside.Y} {
		if !c.within("inside", l, leastSheet+2*j.Gap, mostSheet, "97 in") {
			return
		}
	}
	if n := math.Ceil(float64(j.Inside.X/j.Sheet.X)) * math.Ceil(float64(j.Inside.Y/j.Sheet.Y)); n > maxPieces/2 {
		c.fault("sheet", "is so small that the bed takes more than "+count(maxPieces/2)+" of them", "[4 ft, 8 ft]")
	}
}

func (j Job) checkObstacles(c *checker) {
	if len(j.Obstacles) > maxObstacles {
		c.fault("obstacles", "are "+count(len(j.Obstacles)), "at most "+count(maxObstacles))
		return
	}
	for _, o := range j.Obstacles {
		for _, l := range []unit.Length{o.At.X, o.At.Y} {
			if !(l >= -mostSheet && l <= mostSheet) {
				c.fault("obstacles", "stand at a place that is not on any raft", "at: [12 in, 20 in], from the raft's lower left corner")
				return
			}
		}
		if !c.within("obstacles", o.Size.X, 0, mostSheet, "size: [6 in, 6 in]") || !c.within("obstacles", o.Size.Y, 0, mostSheet, "size: [6 in, 6 in]") {
			return
		}
	}
}

func (j Job) checkPots(c *checker, hole bool) {
	c.within("pot height", j.Pot.Height, leastHole, mostHole, "2 in")
	if hole {
		c.within("pot rim", j.Pot.Rim, leastHole, mostHole, "2-3/4 in")
	}
	c.within("pot dip", j.PotDip, -mostThickness, mostThickness, "1/16 in")
	if !(j.PotMass >= 0 && j.PotMass <= 10*unit.Kilogram) {
		c.fault("pot mass", "is not from 0 to 10 kg", "60 g")
	}
	if !(j.HeadMass >= 0 && j.HeadMass <= 20*unit.Kilogram) {
		c.fault("head mass", "is not from 0 to 20 kg", "250 g")
	}
	if !(j.Depth >= 0 && j.Depth <= 5*unit.Metre) {
		c.fault("depth", "is not from 0 to 5 m", "6 in")
	}
	if !(j.Block >= 0 && j.Block <= 5*unit.Metre) {
		c.fault("block", "is not from 0 to 5 m", "3 in")
	}
	if d := j.Published; !(d.Least >= 0 && d.Most >= d.Least && d.Most <= 1e5) {
		c.fault("published range", "is not a range of plants a square metre", "13 to 38")
	}
}

// noHole says why not one hole fits.
func (r *Raft) noHole() Fault {
	for _, l := range r.Layouts {
		if l.UpperBound > 0 {
			return Fault{"obstacles", "and the edge distance of " + both(r.Job.Edge) + " leave no place for a hole", "smaller obstacles or a smaller edge"}
		}
	}
	least := min(r.Size.X, r.Size.Y)
	return Fault{"edge", "of " + both(r.Job.Edge) + " from each side leaves no place for a hole on a raft " + both(least) + " wide", "an edge of at most half that width"}
}
