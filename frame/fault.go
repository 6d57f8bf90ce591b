package frame

import (
	"math"

	"raftwright/finding"
	"raftwright/unit"
	"raftwright/usual"
)

// Faults of a job: with these nothing can be computed. Their paths are keys of the
// brief.
const (
	FaultLean   finding.ID = "frame.fault.lean"   // above the height at which walls that lean inwards meet
	FaultTop    finding.ID = "frame.fault.top"    // where the upper measures of leaning walls were taken is not known
	FaultSize   finding.ID = "frame.fault.size"   // no name of a board
	FaultNoSize finding.ID = "frame.fault.nosize" // no board named
	FaultLumber finding.ID = "frame.fault.lumber" // not in the table
	FaultVolume finding.ID = "frame.fault.volume" // more than a vessel can hold
	FaultMarks  finding.ID = "frame.fault.marks"  // a dipstick that nobody could read
	FaultPine   finding.ID = "frame.fault.pine"   // southern pine by values no longer in force
	FaultSheet  finding.ID = "frame.fault.sheet"  // no size of a liner
	FaultBoard  finding.ID = "frame.fault.board"  // no length of a board
)

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }

// Bounds of what is computed at all.
const (
	absurd        = 100 * unit.Metre // no bed is as long
	leastInside   = 2 * unit.Inch    // a jar
	mostExtraMass = 100000 * unit.Kilogram
	mostBeds      = 10000
)

// optional gives the fault of a length that may be left out (0).
func optional(path finding.Path, l, example unit.Length) finding.Faults {
	if l == 0 {
		return nil
	}
	return finding.Within(path, l, unit.Mil, absurd, example)
}

// check gives the faults of a vessel.
func (v Vessel) check() (f finding.Faults) {
	inside := func(path finding.Path, l, example unit.Length) {
		f = append(f, finding.Within(path, l, leastInside, absurd, example)...)
	}
	if v.Shape == RoundShape {
		inside("bed.diameter", v.Diameter, 6*unit.Foot)
		f = append(f, optional("bed.base diameter", v.BaseDiameter, 5*unit.Foot)...)
	} else {
		inside("bed.length", v.Length, 97*unit.Inch)
		inside("bed.width", v.Width, 49*unit.Inch)
		f = append(f, optional("bed.base length", v.BaseLength, 30*unit.Inch)...)
		f = append(f, optional("bed.base width", v.BaseWidth, 20*unit.Inch)...)
	}
	f = append(f, optional("bed.wall height", v.Wall, unit.Foot)...)
	f = append(f, optional("bed", v.TopAt, unit.Foot)...)
	switch {
	case f != nil:
	case v.TopAt > 0 && float64(max(v.Wall, v.TopAt)) > v.highest():
		f = finding.Faults{{ID: FaultLean, Path: "bed.wall height", Args: finding.Args{"Most": unit.Length(v.highest())}}}
	case v.Tapered() && v.TopAt == 0:
		f = finding.Faults{{ID: FaultTop, Path: "bed"}}
	}
	return f
}

// faults lists everything with which nothing can be computed.
func (j Job) faults(l Yard) finding.Faults {
	probe := j.Vessel
	if probe.TopAt == 0 && finite(float64(j.Depth)) {
		probe.TopAt = j.Depth
	}
	f := append(probe.check(), finding.Within("bed.depth", j.Depth, unit.Mil, absurd, 6*unit.Inch)...)
	for _, o := range []struct {
		path    finding.Path
		l       unit.Length
		example unit.Length
	}{{"bed.level error", j.LevelError, unit.Inch / 4}, {"raft.gap", j.Raft.Gap, unit.Inch / 2}, {"raft.thickness", j.Raft.Thickness, 1.5 * unit.Inch},
		{"raft", j.Raft.Draft, unit.Inch / 2}, {"raft.pot dip", j.Raft.Hang, unit.Inch / 16}, {"raft.blocks", j.Raft.Rest, 3 * unit.Inch},
		{"bed.liner", j.Liner.Thickness, 6 * unit.Mil}, {"bed.turn over", j.Liner.Turn, usual.Turn},
		{"cut.stock", j.Longest, usual.Longest}, {"cut.stock", j.LongestElse, usual.Longest}, {"cut.stock", j.LongestStrip, longBatten}} {
		f = append(f, optional(o.path, o.l, o.example)...)
	}
	if f == nil && float64(j.Depth) > probe.highest() {
		f = append(f, finding.Fault{ID: FaultLean, Path: "bed.depth", Args: finding.Args{"Most": unit.Length(probe.highest())}})
	}
	f = append(f, finding.Within("raft", j.ExtraMass, 0, mostExtraMass, 40*unit.Pound)...)
	if j.Hose != 0 {
		f = append(f, finding.Within("bed.hose", j.Hose, 1e-9, math.MaxFloat64, usual.Hose)...)
	}
	if j.Bucket != 0 {
		f = append(f, finding.Within("mix.bucket", j.Bucket, 1e-5, math.MaxFloat64, usual.Bucket)...)
	}
	f = append(f, finding.Within("bed.count", j.Count, 0, mostBeds, 1)...)
	if j.Vessel.Shape == FrameShape {
		f = append(f, j.lumberFaults(l)...)
	}
	return f
}

func (j Job) lumberFaults(l Yard) (f finding.Faults) {
	if _, ok := j.SideBoard.Dry(); !ok {
		f = append(f, finding.Fault{ID: FaultNoSize, Path: "bed.side board"})
	}
	if _, ok := j.EndBoard.Dry(); !ok && j.EndBoard != (Size{}) {
		f = append(f, finding.Fault{ID: FaultNoSize, Path: "bed.end board"})
	}
	f = append(f, finding.Within("bed.boards", j.Courses, 0, 3, 1)...)
	f = append(f, finding.Within("bed.holds", j.Holds.count, 0, mostHolds, 1)...)
	return append(f, l.Known("bed.lumber", j.Species)...)
}
