package raft

import (
	"cmp"
	"math"

	"raftwright/finding"
	"raftwright/source"
	"raftwright/unit"
	"raftwright/usual"
)

// Faults of a job, each at the key of the brief that is meant.
const (
	FaultFoam      finding.ID = "raft.fault.foam"
	FaultRunIn     finding.ID = "raft.fault.run_in"
	FaultRim       finding.ID = "raft.fault.rim"
	FaultNursery   finding.ID = "raft.fault.nursery"
	FaultPattern   finding.ID = "raft.fault.pattern"
	FaultTwoShapes finding.ID = "raft.fault.two_shapes"
	FaultSheets    finding.ID = "raft.fault.sheets"
	FaultObstacles finding.ID = "raft.fault.obstacles"
	FaultNowhere   finding.ID = "raft.fault.nowhere"
	FaultPublished finding.ID = "raft.fault.published"
	FaultHoles     finding.ID = "raft.fault.holes"
	FaultBlocked   finding.ID = "raft.fault.blocked"
	FaultNoRoom    finding.ID = "raft.fault.no_room"
	FaultStopped   finding.ID = "raft.fault.stopped"
)

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

// usualSheet is the foam board that stores sell.
var usualSheet = Size{usual.SheetWidth, usual.SheetLength}

// assume fills in what the job leaves out and notes each thing assumed.
func (r *Raft) assume(j Job, foams Foams) Job {
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
	length(&j.Thickness, AssumeThickness, usual.Thickness, "Thickness")
	if foam, assumed, known := foams.Find(j.Foam); known && assumed {
		note(AssumeFoam, "astm.c578", finding.Args{"Kind": foam.Kind, "Type": foam.Type, "Density": foam.Density})
	}
	length(&j.Gap, AssumeGap, usual.Gap, "Gap")
	if j.Diameter == 0 && j.InsideDiameter > 0 {
		j.Diameter = j.InsideDiameter - 2*j.Gap
	}
	length(&j.Spacing, AssumeSpacing, usual.Spacing, "Spacing")
	length(&j.Hole, AssumeHole, usual.Hole, "Hole")
	length(&j.Edge, AssumeEdge, j.usualEdge(), "Edge")
	if j.Pattern == "" {
		j.Pattern = Square
		note(AssumePattern, source.CommonPractice, finding.Args{"Pattern": finding.Word("word.pattern_square")})
	}
	tall := j.Pot.Height
	if tall == 0 {
		tall = j.soldPot(cmp.Or(j.PotDip, usual.Dip))
	}
	dip := unit.Length(usual.Dip)
	if below := tall - j.Thickness; below > dip && tall <= mostHole {
		dip = below
	}
	length(&j.PotDip, AssumeDip, dip, "Dip")
	if j.Pot.Height == 0 || j.Pot.Rim == 0 {
		j.Pot.Height = tall
		if j.Pot.Rim == 0 {
			j.Pot.Rim = j.Hole + usual.RimOverHole
		}
		note(AssumePot, source.CommonPractice, finding.Args{"Height": j.Pot.Height, "Rim": j.Pot.Rim})
	}
	if j.PotMass == 0 {
		j.PotMass = usual.PotMass
		note(AssumePotMass, source.CommonPractice, finding.Args{"Mass": usual.PotMass})
	}
	if j.HeadMass == 0 {
		j.HeadMass = usual.HeadMass
		note(AssumeHeadMass, source.CommonPractice, finding.Args{"Mass": unit.Head(usual.HeadMass)})
	}
	return j
}

// soldPot gives the least height of a pot, of those that are sold, whose bottom stands so
// deep below the raft.
func (j Job) soldPot(dip unit.Length) unit.Length {
	return usual.PotStep * unit.Length(math.Ceil(float64((j.Thickness+dip)/usual.PotStep)-1e-6))
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
	cut := max(short.X, short.Y)
	if cut > 2*max(j.Gap, leastStrip) { // cut small: the play alone must not cost a row
		cut = max(j.lost(j.Inside.X), j.lost(j.Inside.Y))
	}
	return max(edge-cut/2, min(edge, j.Hole/2+j.Thickness/2))
}

// lost is how much a raft lacks, for the play beside it, of the last row of holes that
// would stand across this inside length.
func (j Job) lost(inside unit.Length) unit.Length {
	rows := unit.Length(math.Floor(float64(inside/j.Spacing) + 1e-6))
	return max(0, rows*j.Spacing-(inside-2*j.Gap))
}

// checker gathers faults.
type checker struct{ faults finding.Faults }

func (c *checker) fault(path finding.Path, id finding.ID, args finding.Args) {
	c.faults = append(c.faults, finding.Fault{ID: id, Path: path, Args: args})
}

// within checks a length or a mass.
func within[Q ~float64](c *checker, path finding.Path, q, least, most, eg Q) bool {
	f := finding.Within(path, q, least, most, eg)
	c.faults = append(c.faults, f...)
	return f == nil
}

// check finds everything that is wrong with a completed job.
func (j Job) check(foams Foams) finding.Faults {
	c := &checker{}
	j.checkSize(c)
	within(c, "raft.thickness", j.Thickness, leastThickness, mostThickness, usual.Thickness)
	if _, _, known := foams.Find(j.Foam); !known {
		c.fault("raft.foam", FaultFoam, finding.Args{"Name": j.Foam})
	}
	spacing := within(c, "raft.spacing", j.Spacing, leastSpacingAsked, mostSpan, usual.Spacing)
	hole := within(c, "raft.hole", j.Hole, leastHole, mostHole, usual.Hole)
	edge := within(c, "raft.edge", j.Edge, 0, mostSpan, usual.Spacing/2)
	if spacing && hole && j.Spacing <= j.Hole {
		c.fault("raft.spacing", FaultRunIn, finding.Args{"Spacing": j.Spacing, "Hole": j.Hole})
	}
	if edge && hole && j.Edge <= j.Hole/2 {
		c.fault("raft.edge", FaultRim, finding.Args{"Edge": j.Edge, "Hole": j.Hole})
	}
	if j.NurserySpacing != 0 && within(c, "raft.nursery spacing", j.NurserySpacing, leastSpacingAsked, mostSpan, usual.Spacing/2) {
		if spacing && j.NurserySpacing >= j.Spacing {
			c.fault("raft.nursery spacing", FaultNursery, finding.Args{"Nursery": j.NurserySpacing, "Spacing": j.Spacing})
		}
		if hole && j.NurserySpacing <= j.Hole {
			c.fault("raft.nursery spacing", FaultRunIn, finding.Args{"Spacing": j.NurserySpacing, "Hole": j.Hole})
		}
	}
	if j.Pattern != Square && j.Pattern != Staggered && j.Pattern != Best {
		c.fault("raft.pattern", FaultPattern, finding.Args{"Name": string(j.Pattern)})
	}
	j.checkObstacles(c)
	j.checkPots(c, hole)
	return c.faults
}

func (j Job) checkSize(c *checker) {
	gap := within(c, "raft.gap", j.Gap, 0, unit.Metre, usual.Gap)
	if j.Diameter != 0 || j.InsideDiameter != 0 {
		if j.InsideDiameter != 0 {
			within(c, "bed.diameter", j.InsideDiameter, leastSheet, mostSheet, 5*unit.Foot)
		}
		within(c, "raft.diameter", j.Diameter, leastSheet, mostSheet, 5*unit.Foot-2*usual.Gap)
		if j.Sheet != (Size{}) && j.Diameter != 0 {
			c.fault("raft.diameter", FaultTwoShapes, nil)
		}
		return
	}
	if !within(c, "raft.sheet", j.Sheet.X, leastSheet, mostSheet, usualSheet.X) || !within(c, "raft.sheet", j.Sheet.Y, leastSheet, mostSheet, usualSheet.Y) {
		return
	}
	if j.Across < 0 || j.Along < 0 || j.Across > maxPieces || j.Along > maxPieces || max(1, j.Across)*max(1, j.Along) > maxPieces {
		c.fault("bed.space", FaultSheets, finding.Args{"Most": maxPieces})
		return
	}
	if j.Inside == (Size{}) || !gap {
		return
	}
	least := leastSheet + 2*j.Gap
	if !within(c, "bed.length", j.Inside.X, least, mostSheet, 97*unit.Inch) || !within(c, "bed.width", j.Inside.Y, least, mostSheet, 49*unit.Inch) {
		return
	}
	if n := math.Ceil(float64(j.Inside.X/j.Sheet.X)) * math.Ceil(float64(j.Inside.Y/j.Sheet.Y)); n > maxPieces/2 {
		c.fault("raft.sheet", FaultSheets, finding.Args{"Most": maxPieces / 2})
	}
}

func (j Job) checkObstacles(c *checker) {
	if len(j.Obstacles) > maxObstacles {
		c.fault("raft.obstacles", FaultObstacles, finding.Args{"Given": len(j.Obstacles), "Most": maxObstacles})
		return
	}
	for i, o := range j.Obstacles {
		path := finding.Path("raft.obstacles").Item(i)
		on := func(l unit.Length) bool { return l >= -mostSheet && l <= mostSheet }
		if !on(o.At.X) || !on(o.At.Y) {
			c.fault(path.Key("at"), FaultNowhere, nil)
		}
		_ = within(c, path.Key("size"), o.Size.X, 0, mostSheet, 6*unit.Inch) && within(c, path.Key("size"), o.Size.Y, 0, mostSheet, 6*unit.Inch)
	}
}

func (j Job) checkPots(c *checker, hole bool) {
	within(c, "raft.pot.height", j.Pot.Height, leastHole, mostHole, 2*unit.Inch)
	if hole {
		within(c, "raft.pot.rim", j.Pot.Rim, leastHole, mostHole, usual.Hole+usual.RimOverHole)
	}
	within(c, "raft.pot dip", j.PotDip, -mostThickness, mostThickness, usual.Dip)
	within(c, "raft.pot.mass", j.PotMass, 0, 10*unit.Kilogram, usual.PotMass)
	within(c, "raft.head", j.HeadMass, 0, 20*unit.Kilogram, usual.HeadMass)
	within(c, "bed.depth", j.Depth, 0, 5*unit.Metre, 6*unit.Inch)
	within(c, "raft.blocks", j.Block, 0, 5*unit.Metre, 3*unit.Inch)
	if d := j.Published; !(d.Least >= 0 && d.Most >= d.Least && d.Most <= 1e5) {
		c.fault("crop.name", FaultPublished, nil)
	}
}

// noHole says why not one hole fits.
func (r *Raft) noHole() finding.Fault {
	for _, l := range r.Layouts {
		if l.UpperBound > 0 {
			return finding.Fault{ID: FaultBlocked, Path: "raft.obstacles", Args: finding.Args{"Edge": r.Job.Edge}}
		}
	}
	return finding.Fault{ID: FaultNoRoom, Path: "raft.edge", Args: finding.Args{"Edge": r.Job.Edge, "Width": min(r.Size.X, r.Size.Y)}}
}
