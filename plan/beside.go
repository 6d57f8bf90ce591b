package plan

import (
	"fmt"

	"raftwright/cut"
	"raftwright/raft"
)

// OneFoam says whether the rafts of two plans may be cut from the same sheets.
func OneFoam(a, b Plan) bool {
	return a.Raft != nil && b.Raft != nil && !a.Raft.Round && !b.Raft.Round && a.Raft.Foam == b.Raft.Foam &&
		a.Raft.Job.Sheet == b.Raft.Job.Sheet && a.Raft.Job.Thickness == b.Raft.Job.Thickness
}

// added gives the pieces with others, one entry for those that are alike: what is alike is sawn alike.
func added(list []cut.Piece, p cut.Piece) []cut.Piece {
	for i := range list {
		if list[i].Name == p.Name && list[i].Length == p.Length {
			list[i].Count += p.Count
			return list
		}
	}
	return append(list, p)
}

// rafts gives the panels of foam for so many rafts.
func rafts(r *raft.Raft, beds int) (out []cut.Panel) {
	for _, size := range pieceSizes(r) {
		out = append(out, cut.Panel{Name: "raft", Length: max(size.X, size.Y), Width: min(size.X, size.Y), Count: size.count * beds})
	}
	return out
}

// beside writes what is cut together with the beds of the brief, for the memory.
func (w work) beside(out []byte) []byte {
	for _, p := range w.Beside {
		if out = fmt.Append(out, "beside ", p.Beds); p.Frame != nil {
			out = fmt.Append(out, p.Frame.Pieces)
		}
		if p.Raft != nil {
			out = fmt.Append(out, p.Raft.Foam, p.Raft.Job.Sheet, p.Raft.Job.Thickness, rafts(p.Raft, p.Beds))
		}
	}
	return out
}
