// Package raft lays out, marks and floats the foam raft of a bed: how many
// sheets and how much play, where the holes go (square, staggered, or as many as
// the spacing and the edge allow), how to mark them with a tape or a full-size
// paper template, how deep the raft and its pots sit when new and when grown,
// what tilts it, what sinks its rim, and when it comes to rest on blocks.
//
// Methods: plane packings (Oler 1961; Graham, Lubachevsky, Nurmela & Ostergard
// 1998; Lubachevsky & Graham 1997) and Archimedes' principle; foam after
// ASTM C578. Range: sheets from 50 mm to 30 m, up to 20 000 holes. Everything is
// a pure function of its Job: no clock, no chance, same job, same raft.
package raft

import (
	"cmp"
	"context"

	"raftwright/finding"
	"raftwright/source"
	"raftwright/unit"
)

// Point is a place on a raft, from its lower left corner.
type Point struct{ X, Y unit.Length }

// Size is the extent of a rectangle along X and Y.
type Size struct{ X, Y unit.Length }

// Area gives the area of the rectangle.
func (s Size) Area() unit.Area { return s.X.By(s.Y) }

// Turned gives the rectangle turned by a quarter.
func (s Size) Turned() Size { return Size{s.Y, s.X} }

// Pattern is a way to set the holes out.
type Pattern string

// Patterns.
const (
	Square    Pattern = "square"    // rows and columns
	Staggered Pattern = "staggered" // every other row moved by half a space
	Best      Pattern = "best"      // as many as the spacing and the edge allow
)

// Obstacle is a rectangle of the raft to keep clear (a stone, a tube, a corner
// cut away). Holes keep the edge distance from it as from the rim.
type Obstacle struct {
	At   Point // its lower left corner
	Size Size
}

// Pot is a net pot that hangs by its rim in a hole.
type Pot struct {
	Height unit.Length // from under the rim to the bottom
	Rim    unit.Length // outer diameter of the rim
}

// Range is a published span of plants a square metre, passed in by the caller.
type Range struct {
	Least, Most float64 // plants a square metre
	Source      source.ID
}

// Job is what the raft is asked for. A zero value means "not given": it is
// assumed and listed, or left out of the answer where nothing needs it.
type Job struct {
	Sheet    Size        // of one sheet of foam; the axes of all positions
	Diameter unit.Length // of a round raft, in place of Sheet
	Across   int         // sheets side by side along X, where Inside is not given
	Along    int         // sheets end to end along Y, where Inside is not given

	Inside         Size        // inside of the frame: sheets are fitted to it
	InsideDiameter unit.Length // inside of a round vessel

	Thickness unit.Length
	Foam      string      // see Foams.Find
	Gap       unit.Length // play on each side of the raft

	Spacing   unit.Length // between centres of neighbouring holes, at least
	Edge      unit.Length // from the rim to a hole's centre, at least
	Hole      unit.Length // diameter
	Pattern   Pattern
	Obstacles []Obstacle
	Steps     int // most that the search for the best pattern may take; 0: as many as usual

	NurserySpacing unit.Length // closer spacing before the one move; 0 for none
	Published      Range       // plants a square metre that others report

	Pot      Pot
	PotDip   unit.Length // how far the pot's bottom should stand below the raft's underside
	PotMass  unit.Mass   // pot, plug and seedling in each hole
	HeadMass unit.Mass   // grown head in each hole

	Depth unit.Length // of the solution at the first fill
	Block unit.Length // height of blocks the raft may come to rest on
}

// Piece is one sheet as it floats: where its lower left corner lies on the raft
// and which layout it is drilled to.
type Piece struct {
	At         Point
	Layout     int  // index into Raft.Layouts
	HalfTurned bool // it lies turned by 180 degrees from its layout
}

// Raft is the answer to a Job.
type Raft struct {
	Job   Job // completed with what was assumed
	Foam  Foam
	Round bool
	Size  Size // of the whole raft; of the square around a round one

	Inside Size // inside of the frame it asks for, or the one given, in the raft's axes
	Play   Size // room on each side, between raft and frame
	Turned bool // the inside given was turned by a quarter to fit the sheets

	Pieces      []Piece
	Layouts     []Layout // one for each kind of piece
	SheetsToBuy int      // whole sheets of Job.Sheet (of 4 x 8 ft for a round raft)

	Holes        int
	Positions    []Point // of the whole raft, row by row from the bottom, left to right
	LeastSpacing unit.Length
	LeastEdge    unit.Length
	UpperBound   int // no layout holds more (Oler 1961)

	PerSquareMetre float64 // holes over the area of foam
	Nursery        *Nursery

	Float Flotation
	List  List
	Sink  Sink
	Lift  Lift
	Dip   Dip
	Rest  *Rest // nil without blocks

	fit Fitting // how the sheets lie

	Findings    []finding.Finding
	Assumptions []finding.Assumption
}

// Plan answers a job. The faults are everything that is wrong with it at once, each
// at its key of the brief. The context can stop a search for the best pattern.
func Plan(ctx context.Context, j Job, book Book) (Raft, finding.Faults) {
	r := Raft{}
	j = r.assume(j, book.Foams)
	if faults := j.check(book.Foams); faults != nil {
		return Raft{}, faults
	}
	r.Job = j
	r.Foam, _, _ = book.Foams.Find(j.Foam) // checked
	r.arrange()
	if faults := r.layOut(ctx, book.Circles); faults != nil {
		return Raft{}, faults
	}
	r.Float = r.floats()
	r.List = r.lists()
	r.Sink = r.sinks()
	r.Lift = r.lifts()
	r.Dip = r.dips()
	r.Rest = r.rests()
	r.Nursery = r.nursery()
	r.find()
	return r, nil
}

// layOut drills every kind of piece and gathers the holes of the whole raft.
func (r *Raft) layOut(ctx context.Context, known Circles) finding.Faults {
	plots := r.plots()
	total := 0
	for i := range r.Pieces {
		total += plots[r.Pieces[i].Layout].bound(r.Job.Spacing.Metres())
	}
	if total > maxHoles {
		return finding.Faults{{ID: FaultHoles, Path: "raft.spacing", Args: finding.Args{"Holes": total, "Most": maxHoles}}}
	}
	if ns := r.Job.NurserySpacing.Metres(); ns > 0 {
		for _, p := range plots {
			if n := p.bound(ns); n > maxHoles {
				return finding.Faults{{ID: FaultHoles, Path: "raft.nursery spacing", Args: finding.Args{"Holes": n, "Most": maxHoles}}}
			}
		}
	}
	steps := cmp.Or(r.Job.Steps, usualSteps)
	r.Layouts = make([]Layout, len(plots))
	for i, p := range plots {
		r.Layouts[i] = layOut(p, r.Job.Pattern, r.Job.Spacing, search{ctx, steps / len(plots), known})
	}
	if ctx.Err() != nil {
		return finding.Faults{{ID: FaultStopped, Path: "raft.pattern"}}
	}
	r.gather()
	if r.Holes == 0 {
		return finding.Faults{r.noHole()}
	}
	return nil
}

// gather puts the holes of all pieces into the raft's own axes and measures them.
func (r *Raft) gather() {
	r.LeastEdge = -1
	for _, p := range r.Pieces {
		l := r.Layouts[p.Layout]
		r.UpperBound += l.UpperBound
		for _, h := range l.Positions {
			if p.HalfTurned {
				h = Point{l.Size.X - h.X, l.Size.Y - h.Y}
			}
			r.Positions = append(r.Positions, Point{p.At.X + h.X, p.At.Y + h.Y})
		}
		if len(l.Positions) > 0 && (r.LeastEdge < 0 || l.LeastEdge < r.LeastEdge) {
			r.LeastEdge = l.LeastEdge
		}
	}
	sortPoints(r.Positions)
	r.Holes = len(r.Positions)
	r.LeastSpacing = leastSpacing(r.Positions)
	foam := unit.Area(0)
	for _, p := range r.Pieces {
		foam += r.Layouts[p.Layout].plot.area()
	}
	r.PerSquareMetre = float64(r.Holes) / foam.SquareMetres()
}
