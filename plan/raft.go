package plan

import (
	"raftwright/brief"
	"raftwright/finding"
	"raftwright/frame"
	"raftwright/raft"
	"raftwright/source"
	"raftwright/unit"
	"raftwright/usual"
)

// makeRaft lays out the raft that floats in the vessel.
func (m *maker) makeRaft() {
	b, v := m.Brief.Raft, m.vessel
	j := raft.Job{
		Thickness: b.Thickness.Value, Foam: string(b.Foam.Value), Gap: b.Gap.Value,
		Spacing: b.Spacing.Value, Edge: b.Edge.Value, Hole: b.Hole.Value, Pattern: raft.Pattern(b.Pattern.Value),
		NurserySpacing: b.NurserySpacing.Value,
		Published:      raft.Range{Least: float64(m.Crop.Plants.Min), Most: float64(m.Crop.Plants.Max), Source: first(m.Crop.Cited.Spacing)},
		Pot:            raft.Pot{Height: b.Pot.Height.Value, Rim: b.Pot.Rim.Value}, PotDip: b.PotDip.Value,
		Depth: v.depth, Block: b.Blocks.Value, PotMass: b.Pot.Mass.Value, HeadMass: b.Head.Value,
	}
	if !b.Spacing.Given {
		j.Spacing = m.spacing()
		m.assume(finding.Assumption{ID: AssumeSpacing, Args: finding.Args{"Crop": m.Crop.Word(), "Spacing": j.Spacing}, Source: first(m.Crop.Cited.Spacing)})
	}
	if !b.Head.Given && m.Brief.Crop.Name.Given { // where no crop is named, the raft itself assumes a heavy head of lettuce
		j.HeadMass = m.Crop.Mass.Max // a raft must float its heaviest crop
		m.assume(finding.Assumption{ID: AssumeHeadMass, Args: finding.Args{"Crop": m.Crop.Word(), "Mass": unit.Head(j.HeadMass)}, Source: first(m.Crop.Cited.Mass)})
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
	r, faults := raft.Plan(m.stop, j, m.book.Raft)
	if m.wrong(faults...); faults != nil {
		return
	}
	m.Raft = &r
	m.find(r.Findings...)
	m.assume(r.Assumptions...)
}

// tellHoles says where the rafts have not the holes that the heads wanted take.
func (m *maker) tellHoles() {
	holes := m.Raft.Holes * m.Beds
	if wanted := raft.HolesFor(m.heads, m.Crop.Raft.Middle(), usual.Lost); m.heads > 0 && holes < wanted {
		m.find(finding.Finding{ID: FindHolesShort, Severity: finding.Caution, Figure: holes,
			Args: finding.Args{"Holes": holes, "Wanted": wanted}, Source: source.CommonPractice})
	}
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
