package plan

import (
	"raftwright/cut"
	"raftwright/raft"
)

// cutFoam plans the foam of all beds from whole sheets, by straight cuts with a
// knife: two small rafts may come out of one sheet. A round raft wider than a
// sheet is glued from several, and is counted by the raft room alone.
func (m *maker) cutFoam() {
	r := m.Raft
	sheet := r.Job.Sheet
	if r.Round {
		sheet = usualSheet
		if r.Size.X > sheet.X || r.Size.Y > sheet.Y {
			return
		}
	}
	j := cut.SheetJob{Length: max(sheet.X, sheet.Y), Width: min(sheet.X, sheet.Y)}
	j.Panels = rafts(r, m.Beds)
	for _, o := range m.beside {
		if OneFoam(m.Plan, o) {
			j.Panels = append(j.Panels, rafts(o.Raft, o.Beds)...)
		}
	}
	p, err := cut.Sheets(m.stop, j)
	if err != nil {
		return // the raft room's own count stands
	}
	m.Foam = &p
	for _, f := range p.Findings {
		m.findOnce(f)
	}
}

type pieceSize struct {
	raft.Size
	count int
}

// pieceSizes counts the pieces of the raft by size, in the order they are met.
func pieceSizes(r *raft.Raft) []pieceSize {
	var out []pieceSize
next:
	for _, q := range r.Pieces {
		size := r.Layouts[q.Layout].Size
		for i := range out {
			if out[i].Size == size {
				out[i].count++
				continue next
			}
		}
		out = append(out, pieceSize{size, 1})
	}
	return out
}

// FoamSheets gives the whole sheets of foam to buy for all beds.
func (p Plan) FoamSheets() int {
	if p.Foam != nil && len(p.Foam.Missing) == 0 {
		return p.Foam.Bought
	}
	if p.Raft == nil {
		return 0
	}
	return p.Raft.SheetsToBuy * p.Beds
}
