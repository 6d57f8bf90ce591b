package plan

import (
	"math"

	"raftwright/brief"
	"raftwright/finding"
	"raftwright/frame"
	"raftwright/raft"
	"raftwright/source"
	"raftwright/unit"
	"raftwright/usual"
)

const ownChoice = source.OwnChoice

// Findings and assumptions of the plan itself.
const (
	FindSpaceSmall  finding.ID = "plan.space_small"
	FindRaftTooBig  finding.ID = "plan.raft_too_big"
	FindHolesShort  finding.ID = "plan.holes_short"
	FaultNoDiameter finding.ID = "plan.fault.no_diameter"
	FaultSpace      finding.ID = "plan.fault.space"
	FaultNoLatitude finding.ID = "plan.fault.no_latitude"
	AssumeCrop      finding.ID = "plan.crop"
	AssumeVessel    finding.ID = "plan.vessel"
	AssumeDepth     finding.ID = "plan.depth"
	AssumeInside    finding.ID = "plan.inside"
	AssumeTub       finding.ID = "plan.tub"
	AssumeHeads     finding.ID = "plan.heads_per_person"
	AssumeSheets    finding.ID = "plan.sheets_for_heads"
	AssumeHeadMass  finding.ID = "plan.head_mass"
)

// vessel is the size of the bed as the plan takes it.
type vessel struct {
	kind       brief.Vessel
	length     unit.Length // inside, at the water line; the diameter of a round one
	width      unit.Length
	baseLength unit.Length // 0: straight
	baseWidth  unit.Length
	depth      unit.Length
	wall       unit.Length // of a round one or a tub; 0: not said
	given      bool        // the inside was said, not worked out from the raft
	across     int         // sheets side by side, where the inside follows from the raft
	along      int
	sheet      raft.Size
	gap        unit.Length
}

// usualSheet is the foam board that stores sell.
var usualSheet = raft.Size{X: usual.SheetWidth, Y: usual.SheetLength}

// size settles how big the bed is: as said, from the free space, from the heads
// wanted, or from the raft and its play.
func (m *maker) size() {
	b := m.Brief
	v := vessel{kind: b.Bed.Vessel.Value, depth: b.Bed.Depth.Value, wall: b.Bed.WallHeight.Value}
	if !b.Bed.Vessel.Given {
		v.kind = brief.Frame
		if b.Bed.Diameter.Given || b.Raft.Diameter.Given {
			v.kind = brief.Round
		}
		m.assume(finding.Assumption{ID: AssumeVessel, Args: finding.Args{"Vessel": finding.Word("word.vessel." + string(v.kind))}, Source: ownChoice})
	}
	if !b.Bed.Depth.Given {
		v.depth = usual.Depth
		if m.tubToBuy(v.kind) {
			v.depth = min(v.depth, m.usualTub(0).Height-tubRim)
		}
		m.assume(finding.Assumption{ID: AssumeDepth, Args: finding.Args{"Depth": v.depth}, Source: source.CommonPractice})
	}
	v.gap = b.Raft.Gap.Value
	if !b.Raft.Gap.Given {
		v.gap = usual.Gap // the raft assumes the same and lists it
	}
	v.sheet = raft.Size{X: b.Raft.Sheet.Value.X, Y: b.Raft.Sheet.Value.Y}
	if !b.Raft.Sheet.Given && v.kind != brief.Round {
		v.sheet = usualSheet // likewise
	}
	if v.kind == brief.Round {
		m.sizeRound(&v)
	} else {
		m.sizeRectangle(&v)
	}
	m.vessel = v
}

// countHeads settles how many heads are wanted each week.
func (m *maker) countHeads() {
	b := m.Brief.Schedule
	m.heads = b.HeadsPerWeek.Value
	if !b.HeadsPerWeek.Given && b.People.Given {
		each := m.Crop.HeadsPerPerson()
		m.heads = each * float64(b.People.Value)
		m.assume(finding.Assumption{ID: AssumeHeads, Args: finding.Args{"Heads": each, "Count": b.People.Value, "Crop": m.Crop.Word()}, Source: source.CommonPractice})
	}
}

// fill gives the water that the bed takes: its measures are those at the water line.
func (m *maker) fill() {
	v := m.vessel.holds()
	v.TopAt = m.vessel.depth
	m.volume = v.VolumeAt(m.vessel.depth)
}

// holds describes the vessel to the frame room.
func (v vessel) holds() frame.Vessel {
	switch v.kind {
	case brief.Round:
		return frame.Vessel{Shape: frame.RoundShape, Diameter: v.length, BaseDiameter: v.baseLength, Wall: v.wall}
	case brief.Tub:
		return frame.Vessel{Shape: frame.TubShape, Length: v.length, Width: v.width, BaseLength: v.baseLength, BaseWidth: v.baseWidth, Wall: v.wall}
	}
	return frame.Vessel{Shape: frame.FrameShape, Length: v.length, Width: v.width}
}

func (m *maker) sizeRound(v *vessel) {
	b := m.Brief
	v.length, v.given = b.Bed.Diameter.Value, b.Bed.Diameter.Given
	if !v.given && b.Raft.Diameter.Given {
		v.length = b.Raft.Diameter.Value + 2*v.gap
		m.assume(finding.Assumption{ID: AssumeInside, Args: finding.Args{"Length": v.length, "Width": v.length}, Source: ownChoice})
	} else if !v.given {
		m.wrong(finding.Fault{ID: FaultNoDiameter, Path: "bed.diameter"})
	}
	v.width = v.length
	v.baseLength = b.Bed.BaseDiameter.Value
	v.baseWidth = v.baseLength
	if b.Raft.Diameter.Given && v.given && b.Raft.Diameter.Value > v.length {
		m.find(finding.Finding{ID: FindRaftTooBig, Severity: finding.Stop, Figure: b.Raft.Diameter.Value,
			Args: finding.Args{"Raft": b.Raft.Diameter.Value, "Inside": v.length}, Source: ownChoice})
	}
}

func (m *maker) sizeRectangle(v *vessel) {
	bed := m.Brief.Bed
	v.across, v.along = 1, 1
	switch {
	case bed.Length.Given || bed.Width.Given:
		v.given = true
	case m.tubToBuy(v.kind):
		m.soldTub(v)
		return
	case bed.Space.Given:
		m.fitSpace(v)
	case m.heads > 0:
		m.sheetsForHeads(v)
	}
	fromRaft := raft.InsideFor(raft.Size{X: v.sheet.X * unit.Length(v.across), Y: v.sheet.Y * unit.Length(v.along)}, v.gap)
	long, short := max(fromRaft.X, fromRaft.Y), min(fromRaft.X, fromRaft.Y)
	v.length, v.width = bed.Length.Or(long), bed.Width.Or(short)
	if !bed.Length.Given || !bed.Width.Given {
		m.assume(finding.Assumption{ID: AssumeInside, Args: finding.Args{"Length": v.length, "Width": v.width}, Source: ownChoice})
	}
	v.baseLength, v.baseWidth = bed.BaseLength.Value, bed.BaseWidth.Value
	if v.kind == brief.Tub && (bed.BaseLength.Given || bed.BaseWidth.Given) {
		v.baseLength, v.baseWidth = bed.BaseLength.Or(v.length), bed.BaseWidth.Or(v.width)
	}
}

// tubRim stays dry in a tub that is bought for the bed (own choice).
const tubRim = 3 * unit.Inch / 2

// tubToBuy says whether a tub is asked for without its size.
func (m *maker) tubToBuy(kind brief.Vessel) bool {
	b := m.Brief.Bed
	return kind == brief.Tub && !b.Length.Given && !b.Width.Given && !b.Space.Given && !m.Brief.Raft.Sheet.Given
}

// usualTub is a mixing tub that a person can empty (own choice), and where the bed stands on
// no ground the smallest that is sold, which any deck bears.
func (m *maker) usualTub(depth unit.Length) frame.Tub {
	long, wide := 36*unit.Inch, 24*unit.Inch
	if s := m.Brief.Bed.Support; s.Given && s.Value != brief.Ground {
		long, wide = 0, 0
	}
	t, _ := m.book.Yard.Sold(frame.TubShape, long, wide, depth)
	return t
}

// soldTub takes a tub of which no size is said as one that stores sell: the usual one, or the
// smallest that has the holes for the heads wanted.
func (m *maker) soldTub(v *vessel) {
	t, ok := m.usualTub(v.depth), true
	holes := (m.holesWanted() + m.Beds - 1) / m.Beds
	for larger := t; ok && m.heads > 0 && m.holesOn(raft.Size{X: t.Length - 2*v.gap, Y: t.Width - 2*v.gap}) < holes; t = larger {
		if larger, ok = m.book.Yard.Sold(frame.TubShape, t.Length+unit.Inch, t.Width, v.depth); !ok {
			break // the largest: what it lacks is told
		}
	}
	v.length, v.width, v.given = t.Length, t.Width, true
	if v.wall == 0 {
		v.wall = t.Height
	}
	m.assume(finding.Assumption{ID: AssumeTub, Args: finding.Args{"Length": t.Length, "Width": t.Width, "Height": t.Height}, Source: source.CommonPractice})
}

// fitSpace lays as many whole sheets as the free space holds with the play and
// the boards around them.
func (m *maker) fitSpace(v *vessel) {
	space := m.Brief.Bed.Space.Value
	round := 2*v.gap + 2*usual.BoardThick
	best, across, along := 0, 0, 0
	for _, s := range []raft.Size{{X: space.X - round, Y: space.Y - round}, {X: space.Y - round, Y: space.X - round}} {
		a, l := int(math.Floor(float64(s.X/v.sheet.X)+1e-9)), int(math.Floor(float64(s.Y/v.sheet.Y)+1e-9))
		if a > 0 && l > 0 && a*l > best {
			best, across, along = a*l, a, l
		}
	}
	if best == 0 {
		// no whole sheet: one cut down to the space
		v.given = false
		v.sheet = raft.Size{X: min(v.sheet.X, min(space.X, space.Y)-round), Y: min(v.sheet.Y, max(space.X, space.Y)-round)}
		if v.sheet.X <= 0 || v.sheet.Y <= 0 {
			m.wrong(finding.Fault{ID: FaultSpace, Path: "bed.space", Args: finding.Args{"Least": round + unit.Foot}})
			v.sheet = usualSheet
			return
		}
		m.find(finding.Finding{ID: FindSpaceSmall, Severity: finding.Note, Args: finding.Args{"Width": v.sheet.X, "Length": v.sheet.Y}, Source: ownChoice})
		across, along = 1, 1
	}
	v.across, v.along = across, along
	m.assume(finding.Assumption{ID: AssumeSheets, Args: finding.Args{"Count": across * along}, Source: ownChoice})
}

// sheetsForHeads lays sheets end to end until there are holes enough for the
// heads wanted each week.
func (m *maker) sheetsForHeads(v *vessel) {
	holes, perSheet := m.holesWanted(), m.holesOn(v.sheet)
	n := max(1, raft.SheetsFor(holes, perSheet)/m.Beds)
	if n*m.Beds*perSheet < holes {
		n++
	}
	n = min(n, usual.MostSheets)
	v.along = n
	if v.sheet.Y > v.sheet.X && n > 5 { // longer than 40 ft: two rows
		v.across, v.along = 2, (n+1)/2
	}
	m.assume(finding.Assumption{ID: AssumeSheets, Args: finding.Args{"Count": v.across * v.along}, Source: ownChoice})
}

// holesOn gives the holes of a sheet at the spacing said, or at the widest that is published.
func (m *maker) holesOn(s raft.Size) int {
	b := m.Brief.Raft
	j := raft.Job{Sheet: s, Thickness: b.Thickness.Value, Edge: b.Edge.Value, Hole: b.Hole.Value, Pattern: raft.Pattern(b.Pattern.Value)}
	if b.Spacing.Given {
		return max(1, j.At(b.Spacing.Value, m.book.Raft.Foams).Holes)
	}
	_, held := m.widest(j, 0)
	return max(1, held.Holes)
}
