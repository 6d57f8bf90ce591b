package plan

import (
	"math"

	"raftwright/brief"
	"raftwright/finding"
	"raftwright/raft"
	"raftwright/source"
	"raftwright/unit"
	"raftwright/usual"
)

// AssumeSpacing says how far apart the holes stand where the brief does not, and why.
const AssumeSpacing finding.ID = "plan.spacing"

// apart is how far the holes stand from each other.
type apart struct {
	spacing unit.Length
	meets   unit.Length // the widest in the crop's range that has the holes for the heads wanted; 0: none, or none are
	said    bool        // by the brief
}

// spacingStep is how finely a spacing is chosen: such marks are read off a tape without counting (own choice).
func (m *maker) spacingStep() unit.Length {
	if m.Brief.Units.Value == brief.Metric {
		return unit.Metre / 200
	}
	return unit.Inch / 2
}

// chooseSpacing settles how far apart the holes stand: as said, or the widest of the crop's published range at
// which the rafts have the holes for the heads wanted, in its slow weeks too.
func (m *maker) chooseSpacing() {
	said := m.Brief.Raft.Spacing
	m.apart = apart{spacing: said.Value, said: said.Given}
	// for the longest days that are published for the crop on the raft: its slow weeks are wanted too
	j, wanted := m.raftJob(), m.holesFor(m.Crop.Raft.Max)
	each := (wanted + m.Beds - 1) / m.Beds
	if said.Given && wanted == 0 {
		return
	}
	spacing, held := m.widest(j, each)
	if wanted > 0 && held.Holes >= each {
		m.apart.meets = spacing
	}
	if said.Given {
		return
	}
	m.apart.spacing = spacing
	d := m.published()
	inRange := held.PerSquareMetre >= d.Least && held.PerSquareMetre <= d.Most
	_, widest := m.widest(j, 0)
	m.assume(finding.Assumption{ID: AssumeSpacing, Source: d.Source, Args: finding.Args{"Crop": m.Crop.Word(), "Spacing": spacing,
		"Least": unit.PlantDensity(d.Least), "Most": unit.PlantDensity(d.Most), "Wanted": each, "InRange": inRange,
		"Wished": inRange && wanted > 0 && each > widest.Holes && held.Holes >= each, "Short": inRange && held.Holes < each}})
}

// holesWanted gives the holes of all rafts that the heads wanted take; 0 where none are.
func (m *maker) holesWanted() int { return m.holesFor(m.Crop.Raft.Middle()) }

// holesFor gives them for heads that stand on the raft for so long.
func (m *maker) holesFor(days unit.Duration) int { return raft.HolesFor(m.heads, days, usual.Lost) }

// published gives the plants of the crop on a square meter of raft that others report.
func (m *maker) published() raft.Range {
	return raft.Range{Least: float64(m.Crop.Plants.Min), Most: float64(m.Crop.Plants.Max), Source: first(m.Crop.Cited.Spacing)}
}

// widest gives the widest spacing of the crop's range at which a raft has so many holes; where none has, the
// widest of those with the most. It keeps to the plants a square meter that are published and to a raft that
// floats them, as far as the size of the raft lets it, and plants stand no closer than the foam between two holes bears.
func (m *maker) widest(j raft.Job, holes int) (unit.Length, raft.Held) {
	d := m.published()
	hole, thick := j.Hole, j.Thickness
	if hole == 0 {
		hole = usual.Hole
	}
	if thick == 0 {
		thick = usual.Thickness
	}
	least := max(m.Crop.Spacing.Min, hole+thick)
	most := max(m.Crop.Spacing.Max, least)
	type choice struct {
		spacing unit.Length
		raft.Held
		rank int
	}
	var best choice
	step, top := m.spacingStep(), most
	if mark := step * unit.Length(math.Floor(float64(most/step)+1e-9)); mark >= least { // the rows are in inches; one that holds no mark keeps its own widest
		top = mark
	}
	for k := 0; ; k++ {
		c := choice{spacing: top - unit.Length(k)*step}
		if c.spacing < least-unit.Millimetre/1000 {
			break
		}
		switch c.Held = j.At(c.spacing, m.book.Raft.Foams); {
		case c.Holes == 0:
			continue
		case !c.Floats:
			c.rank = 1
		case c.PerSquareMetre > d.Most:
			c.rank = 2
		case c.PerSquareMetre < d.Least:
			c.rank = 3
		default:
			c.rank = 4
		}
		if c.rank > best.rank || c.rank == best.rank && better(c.rank, c.Holes, best.Holes, holes) {
			best = c
		}
	}
	if best.rank == 0 {
		best.spacing = top // what is wrong with the raft is told of it
	}
	return best.spacing, best.Held
}

// better says whether a closer spacing is taken in place of a wider one of its rank: for holes that are wanted, and
// to come nearer to what is published; never where it stands too close or sinks as it is.
func better(rank, holes, has, wanted int) bool {
	switch rank {
	case 4:
		return has < wanted && holes > has
	case 3:
		return holes > has
	}
	return false
}

// tellHoles says where the rafts have not the holes that the heads wanted take, what they bring, and what would do.
func (m *maker) tellHoles() {
	holes, wanted := m.Raft.Holes*m.Beds, m.holesWanted()
	if wanted == 0 || holes >= wanted {
		return
	}
	m.find(finding.Finding{ID: FindHolesShort, Severity: finding.Caution, Figure: holes, Source: source.CommonPractice,
		Args: finding.Args{"Holes": holes, "Wanted": wanted, "Crop": m.Crop.Word(), "Brings": math.Round(10*m.heads*float64(holes)/float64(wanted)) / 10,
			"Beds": (wanted + m.Raft.Holes - 1) / m.Raft.Holes, "Closer": m.apart.meets > 0 && m.apart.meets < m.apart.spacing, "Spacing": m.apart.meets,
			"Closest": !m.apart.said}})
}
