package frame

import (
	"raftwright/finding"
	"raftwright/unit"
	"raftwright/usual"
)

// Wall is what a frame's walls are made of.
type Wall int

// Kinds of wall. Only graded lumber has a method and published values here.
const (
	LumberWall Wall = iota
	PlywoodWall
	BlockWall
	SalvageWall // landscape ties, pallets, fence pickets, used wood
)

// Support is what the bed stands on.
type Support int

// Supports. Unknown is taken as the ground, and that is listed.
const (
	UnknownSupport Support = iota
	Ground
	Deck
	SuspendedFloor
	Roof
)

// Word names what the bed stands on.
func (s Support) Word() finding.Word {
	return finding.Word("word.support." + [...]string{"ground", "ground", "deck", "floor", "roof"}[s])
}

// Soil is what stakes are driven into: a key of the table of soils.
type Soil string

// Soils. Unknown is taken as clay, the weakest listed.
const (
	UnknownSoil Soil = ""
	Clay        Soil = "clay"   // clay or silt, firm
	Sand        Soil = "sand"   // sand or silty sand
	Gravel      Soil = "gravel" // sandy gravel or gravel
	SoftSoil    Soil = "soft"   // mulch, fill, wet clay: no credit
)

// Holds says how many stakes or ties a side has.
type Holds struct {
	mode  int
	count int
}

// AutoHolds lets Design choose the least number that passes: the zero value.
func AutoHolds() Holds { return Holds{} }

// NoHolds leaves sides and ends unheld between the corners.
func NoHolds() Holds { return Holds{mode: 1} }

// HoldsASide puts n holds at equal spacing on each side; the ends get the least
// number that passes. n of 0 is NoHolds.
func HoldsASide(n int) Holds {
	if n == 0 {
		return NoHolds()
	}
	return Holds{mode: 2, count: n}
}

// HoldKind is what holds a board between its corners.
type HoldKind int

// Kinds of hold, best first; the zero value lets Design take the floor tie.
const (
	AnyHold HoldKind = iota
	FloorTie
	Stake
)

// Raft is what frame needs to know of the raft; zero values mean "not given".
type Raft struct {
	Gap       unit.Length // between raft and wall, each edge
	Thickness unit.Length
	Draft     unit.Length // how deep it sits in the water
	Hang      unit.Length // how far pots hang below its underside
	Rest      unit.Length // height of the blocks that it shall come to rest on
}

// LinerWish says what liner is wanted.
type LinerWish struct {
	Thickness unit.Length // 6 mil and so on; 0: none asked for
	Turn      unit.Length // turned over each rim; 0: 6 in, under a batten
}

// Job is one bed to be designed. Fields left at zero are assumed, and listed,
// unless their comment says otherwise.
type Job struct {
	Vessel       Vessel
	Depth        unit.Length // water, on level ground; needed
	Count        int         // beds alike, for the liner roll; 0: 1
	Wall         Wall
	Species      string // key of the lumber table; needed for a frame
	SideBoard    Size   // needed for a frame
	EndBoard     Size   // the ends cap the sides; not given: as the sides
	Courses      int    // boards on top of each other, 1 to 3; 0: 1
	Incised      bool
	Holds        Holds
	HoldBy       HoldKind
	PlainCorner  bool // no corner block: screws into end grain only
	Support      Support
	Soil         Soil
	LevelError   unit.Length // difference of ground level from one end to the other; 0: level
	Raft         Raft
	ExtraMass    unit.Mass // raft, pots and grown crop
	OpenToRain   bool
	Liner        LinerWish
	Longest      unit.Length // longest board of the sides' size to be had, its trimmed end off; 0: 20 ft
	LongestElse  unit.Length // the same of every other size; 0: as Longest
	LongestStrip unit.Length // the same of the strips over the liner's edge; 0: 8 ft
	Hose         unit.Flow   // 0: 5 gal a minute
	Bucket       unit.Volume // to fill by hand; 0: 5 gal
}

// Assumptions that Design may make.
const (
	AssumeEndBoard   finding.ID = "frame.assume_end_board"
	AssumeHoldKind   finding.ID = "frame.assume_hold_kind"
	AssumeEndHolds   finding.ID = "frame.assume_end_holds"
	AssumeSupport    finding.ID = "frame.assume_support"
	AssumeSoil       finding.ID = "frame.assume_soil"
	AssumeTurn       finding.ID = "frame.assume_turn"
	AssumeHose       finding.ID = "frame.assume_hose"
	AssumeBucket     finding.ID = "frame.assume_bucket"
	AssumeWallHeight finding.ID = "frame.assume_wall_height"
	AssumeTopAt      finding.ID = "frame.assume_top_at"
)

// complete checks a job and fills what was not given.
func (j Job) complete(l Yard) (Job, []finding.Assumption, finding.Faults) {
	if f := j.faults(l); f != nil {
		return j, nil, f
	}
	var as []finding.Assumption
	assume := func(id finding.ID, src sourceID, args finding.Args) {
		as = append(as, finding.Assumption{ID: id, Args: args, Source: src})
	}
	j.Count, j.Courses = max(1, j.Count), max(1, j.Courses)
	if j.Vessel.Shape == FrameShape {
		j = j.completeFrame(assume)
	} else {
		j = j.completeTub(assume)
	}
	if j.Support == UnknownSupport {
		j.Support = Ground
		assume(AssumeSupport, srcOwn, nil)
	}
	if j.Liner.Thickness > 0 && j.Liner.Turn == 0 {
		j.Liner.Turn = usual.Turn
		assume(AssumeTurn, srcPractice, finding.Args{"Turn": usual.Turn})
	}
	if j.Hose == 0 {
		j.Hose = usual.Hose
		assume(AssumeHose, srcPractice, finding.Args{"Flow": usual.Hose})
	}
	if j.Bucket == 0 {
		j.Bucket = usual.Bucket
		assume(AssumeBucket, srcPractice, finding.Args{"Bucket": usual.Bucket})
	}
	return j, as, nil
}

type assumeFunc func(finding.ID, sourceID, finding.Args)

func (j Job) completeFrame(assume assumeFunc) Job {
	j.Vessel.TopAt = j.Depth
	if j.EndBoard == (Size{}) {
		j.EndBoard = j.SideBoard
		assume(AssumeEndBoard, srcOwn, finding.Args{"Size": j.SideBoard.String()})
	}
	if j.Longest == 0 {
		j.Longest = usual.Longest
	}
	if j.LongestElse == 0 {
		j.LongestElse = j.Longest
	}
	if j.LongestStrip == 0 {
		j.LongestStrip = longBatten
	}
	if j.HoldBy == AnyHold && j.Holds != NoHolds() {
		j.HoldBy = FloorTie // listed once it is known that there are holds
	}
	if j.Holds.mode == 2 {
		assume(AssumeEndHolds, srcOwn, nil)
	}
	if j.Soil == UnknownSoil && j.HoldBy == Stake {
		j.Soil = Clay
		assume(AssumeSoil, "ibc1806", nil)
	}
	return j
}

func (j Job) completeTub(assume assumeFunc) Job {
	if j.Vessel.TopAt == 0 {
		j.Vessel.TopAt = j.Depth
		if j.Vessel.Tapered() {
			assume(AssumeTopAt, srcOwn, finding.Args{"Depth": j.Depth})
		}
	}
	if j.Vessel.Wall == 0 {
		j.Vessel.Wall = j.Depth + usual.Wall
		assume(AssumeWallHeight, srcOwn, finding.Args{"Height": j.Vessel.Wall})
	}
	return j
}

// section gives the actual size of a board of this job.
func (j Job) section(s Size) Section {
	a, _ := s.Dry()
	return a
}

// longest gives the longest board of a size to be had.
func (j Job) longest(s Size) unit.Length {
	if s == j.SideBoard {
		return j.Longest
	}
	return j.LongestElse
}

// service is how the boards of a bed are used: always wet, load permanent.
func (j Job) service(flat bool) Service {
	return Service{Duration: PermanentLoad, Wet: true, Incised: j.Incised, Flat: flat}
}
