package plan

import (
	"raftwright/brief"
	"raftwright/finding"
	"raftwright/frame"
	"raftwright/raft"
	"raftwright/source"
	"raftwright/unit"
)

// raftJob is the raft's job, but for the spacing.
func (m *maker) raftJob() raft.Job {
	b, v := m.Brief.Raft, m.vessel
	j := raft.Job{
		Thickness: b.Thickness.Value, Foam: string(b.Foam.Value), Gap: b.Gap.Value,
		Edge: b.Edge.Value, Hole: b.Hole.Value, Pattern: raft.Pattern(b.Pattern.Value),
		NurserySpacing: b.NurserySpacing.Value,
		Published:      m.published(),
		Pot:            raft.Pot{Height: b.Pot.Height.Value, Rim: b.Pot.Rim.Value}, PotDip: b.PotDip.Value,
		Depth: v.depth, Block: b.Blocks.Value, PotMass: b.Pot.Mass.Value, HeadMass: b.Head.Value,
	}
	if m.headOfCrop() {
		j.HeadMass = m.Crop.Mass.Max // a raft must float its heaviest crop
	}
	for _, o := range b.Obstacles {
		j.Obstacles = append(j.Obstacles, raft.Obstacle{At: raft.Point{X: o.Corner.Value.X, Y: o.Corner.Value.Y}, Size: raft.Size{X: o.Size.Value.X, Y: o.Size.Value.Y}})
	}
	switch {
	case v.kind == brief.Round:
		j.Diameter, j.InsideDiameter = b.Diameter.Value, v.length
	case v.given:
		j.Sheet, j.Inside = v.sheet, raft.Size{X: v.length, Y: v.width}
	default:
		j.Sheet, j.Across, j.Along = v.sheet, v.across, v.along
	}
	return j
}

// headOfCrop says that the heaviest head of the crop is taken; where no crop is named, the raft itself assumes a
// heavy head of lettuce.
func (m *maker) headOfCrop() bool { return !m.Brief.Raft.Head.Given && m.Brief.Crop.Name.Given }

// makeRaft lays out the raft that floats in the vessel.
func (m *maker) makeRaft() {
	j := m.raftJob()
	j.Spacing = m.apart.spacing
	if m.headOfCrop() {
		m.assume(finding.Assumption{ID: AssumeHeadMass, Args: finding.Args{"Crop": m.Crop.Word(), "Mass": unit.Head(j.HeadMass)}, Source: first(m.Crop.Cited.Mass)})
	}
	r, faults := raft.Plan(m.stop, j, m.book.Raft)
	if m.wrong(faults...); faults != nil {
		return
	}
	m.Raft = &r
	m.find(r.Findings...)
	m.assume(r.Assumptions...)
}

// afloat is what the frame wants to know of the raft.
type afloat struct {
	frame.Raft
	mass unit.Mass // with the crop on it, grown
}

func (m *maker) load() {
	r := m.Raft
	m.afloat = afloat{frame.Raft{Gap: min(r.Play.X, r.Play.Y), Thickness: r.Job.Thickness, Draft: r.Float.DraftGrown,
		Hang: max(0, r.Dip.Below), Rest: r.Job.Block}, r.Float.GrownMass}
}

func (m *maker) countHoles() { m.holes = m.Raft.Holes }

// first gives the first of the sources, or common practice.
func first(ids []source.ID) source.ID {
	if len(ids) == 0 {
		return source.CommonPractice
	}
	return ids[0]
}
