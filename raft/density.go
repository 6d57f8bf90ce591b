package raft

import (
	"context"

	"raftwright/unit"
)

// Nursery is the closer layout in which young plants stand before the one move
// to their final spacing, on a sheet like the fullest of the raft.
type Nursery struct {
	Layout         Layout
	PerSquareMetre float64
	Fills          float64 // final sheets that one nursery sheet fills
}

// nursery lays out the nursery sheet, nil where none is asked for. The edge
// shrinks with the spacing but keeps the foam around a hole.
func (r Raft) nursery() *Nursery {
	j := r.Job
	if j.NurserySpacing == 0 {
		return nil
	}
	final := r.fullest()
	p := final.plot
	edge := max(p.edge*float64(j.NurserySpacing/j.Spacing), min(p.edge, (j.Hole/2+j.Thickness/2).Metres()))
	p = p.spaced(edge, j.NurserySpacing.Metres())
	pattern := j.Pattern
	if pattern == Best {
		pattern = Staggered
		if p.square(j.NurserySpacing) > p.staggered(j.NurserySpacing) {
			pattern = Square
		}
	}
	n := Nursery{Layout: layOut(p, pattern, j.NurserySpacing, search{})}
	holes := float64(len(n.Layout.Positions))
	n.PerSquareMetre = holes / p.area().SquareMetres()
	n.Fills = holes / float64(len(final.Positions))
	return &n
}

func (p plot) square(spacing unit.Length) int { return len(squareLattice(p, spacing.Metres())) }

func (p plot) staggered(spacing unit.Length) int {
	return max(len(staggeredLattice(p, spacing.Metres())), len(staggeredLattice(p.turned(), spacing.Metres())))
}

// Alternative is what the same raft holds at another spacing, edge unchanged.
type Alternative struct {
	Spacing           unit.Length
	Square, Staggered int
	PerSquareMetre    float64 // of the better of the two
}

// Alternatives tries whole inches of spacing from 12 down to the closest that
// leaves foam of one thickness between the holes, no closer than 5 in, so that a
// reader sees what a denser layout would hold.
func (r Raft) Alternatives() []Alternative {
	var out []Alternative
	for in := 12; in >= 5; in-- {
		s := unit.Length(in) * unit.Inch
		if s < r.Job.Hole+r.Job.Thickness {
			break
		}
		a, foam := Alternative{Spacing: s}, unit.Area(0)
		for _, piece := range r.Pieces {
			p := r.Layouts[piece.Layout].plot
			p = p.spaced(p.edge, s.Metres())
			if p.bound(s.Metres()) > maxHoles {
				return out
			}
			a.Square += p.square(s)
			a.Staggered += p.staggered(s)
			foam += p.area()
		}
		a.PerSquareMetre = float64(max(a.Square, a.Staggered)) / foam.SquareMetres()
		out = append(out, a)
	}
	return out
}

// Held is what a raft would hold at a spacing.
type Held struct {
	Holes          int // 0 where the job is wrong at that spacing
	PerSquareMetre float64
	Floats         bool // with grown heads
}

// At gives what the raft of a job would hold at another spacing, in the lattice of its pattern; where the most is
// asked for, in the better of the two, which a search may beat by a few.
func (j Job) At(spacing unit.Length, foams Foams) Held {
	j.Spacing = spacing
	patterns := []Pattern{j.Pattern}
	if j.Pattern == Best {
		patterns = []Pattern{Square, Staggered}
	}
	out := Held{}
	for _, j.Pattern = range patterns {
		r := Raft{}
		r.Job = r.assume(j, foams)
		if r.Job.check(foams) != nil {
			return Held{}
		}
		r.Foam, _, _ = foams.Find(r.Job.Foam) // checked
		r.arrange()
		if r.layOut(context.Background(), Circles{}) == nil && r.Holes > out.Holes {
			out = Held{r.Holes, r.PerSquareMetre, r.floats().Freeboard > 0}
		}
	}
	return out
}
