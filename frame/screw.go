package frame

import (
	_ "embed"
	"math"

	"raftwright/finding"
	"raftwright/internal/table"
	"raftwright/source"
	"raftwright/unit"
)

// Screw is a wood screw by its gauge.
type Screw struct {
	Gauge    int
	Diameter unit.Length   // of the shank, D
	Root     unit.Length   // of the thread, Dr
	Yield    unit.Pressure // bending yield, Fyb
	Length   unit.Length   // as chosen for a joint
	Source   source.ID
}

//go:embed screw.csv
var screwTable string

// Screws is a table of wood screws by their gauge.
type Screws struct{ screws []Screw }

// ReadScrews reads a table with the columns of screw.csv.
func ReadScrews(file, text string) (n Screws, _ finding.Faults) {
	faults := table.Read(file, text, func(r *table.Row) {
		in := func(column string) unit.Length { return unit.Length(r.Number(column, 0.01, 1)) * unit.Inch }
		n.screws = append(n.screws, Screw{Gauge: int(r.Number("gauge", 1, 24)), Diameter: in("diameter_in"), Root: in("root_in"),
			Yield: unit.Pressure(r.Number("yield_psi", 1000, 1e6)) * unit.PoundPerSquareInch, Source: r.Source("source")})
	})
	return n, faults
}

// Screw gives the screw of a gauge, and whether the table has it.
func (n Screws) Screw(gauge int) (Screw, bool) {
	for _, s := range n.screws {
		if s.Gauge == gauge {
			return s, true
		}
	}
	return Screw{}, false
}

// frameScrew is the gauge used throughout a frame.
const frameScrew = 10

// Lengths of screws: sold by the quarter inch (ASME B18.6.1, from memory), none longer than
// anybody drives by hand. A point must stay inside the wood, or it cuts the liner (own
// choice). A screw holds nothing that is not six diameters deep in the second piece (NDS
// 2018 12.1.5.6, from memory); two thirds of it are thread.
const (
	screwStep    = unit.Inch / 4
	longestScrew = 3 * unit.Inch
	pointCover   = unit.Inch / 4
	leastDepths  = 6
	threaded     = 2. / 3
)

// through gives the screw in the greatest length that is sold whose point stays inside two
// pieces on top of each other.
func (s Screw) through(side, main unit.Length) Screw {
	s.Length = min(longestScrew, screwStep*unit.Length(math.Floor(float64((side+main-pointCover)/screwStep)+1e-6)))
	return s
}

// shorter gives the shorter of two screws, for a joint that takes one length.
func shorter(a, b Screw) Screw {
	if b.Length < a.Length {
		return b
	}
	return a
}

// Adjustments of a connection that stays wet under a permanent load: CD 0.9 and
// CM 0.7 (NDS 2018 tables 2.3.2 and 11.3.3, the latter from memory).
const (
	wetScrew    = 0.7
	endGrainLat = 0.67 // Ceg for lateral load, NDS 2018 12.5.2
)

// Withdrawal gives the reference withdrawal of a screw a metre of thread in side
// grain: W = 2850 G2 D in lb/in (NDS 2018 eq. 12.2-2). From end grain a wood
// screw has none (12.2.2).
func (s Screw) Withdrawal(g float64) unit.LineLoad {
	return unit.LineLoad(2850*g*g*s.Diameter.Inches()) * 12 * unit.PoundForcePerFoot
}

// Lateral gives the reference lateral value of a screw in single shear between
// two pieces of the same wood: the least of the six yield modes of NDS 2018
// 12.3.1, with Fe = 16600 G^1.84 psi and the root diameter. side is the
// thickness of the piece under the head, main the length in the other.
func (s Screw) Lateral(g float64, side, main unit.Length) unit.Force {
	d, fyb := s.Root.Inches(), s.Yield.PoundsPerSquareInch()
	fe := 16600 * math.Pow(g, 1.84)
	ls, lm := side.Inches(), main.Inches()
	kd := 2.2
	if d > 0.17 {
		kd = 10*d + 0.5
	}
	const re = 1.0 // both pieces of the same wood
	rt := lm / ls
	k1 := (math.Sqrt(re+2*re*re*(1+rt+rt*rt)+rt*rt*re*re*re) - re*(1+rt)) / (1 + re)
	bend := func(l float64) float64 { return 2 * fyb * (1 + re) * d * d / (3 * fe * l * l) }
	k2 := -1 + math.Sqrt(2*(1+re)+bend(lm)*(1+2*re)/(1+re))
	k3 := -1 + math.Sqrt(2*(1+re)/re+bend(ls)*(2+re)/(1+re))
	z := min(
		d*lm*fe/kd,                            // Im
		d*ls*fe/kd,                            // Is
		k1*d*ls*fe/kd,                         // II
		k2*d*lm*fe/((1+2*re)*kd),              // IIIm
		k3*d*ls*fe/((2+re)*kd),                // IIIs
		d*d/kd*math.Sqrt(2*fe*fyb/(3*(1+re))), // IV
	)
	return unit.Force(z) * unit.PoundForce
}

// screwing is what one screw of a frame may carry, wet and permanent.
type screwing struct {
	lateral    unit.Force // in side grain
	endLateral unit.Force // in end grain
	withdrawal unit.Force // from side grain, with the thread it has there
}

// screwingOf gives the allowed loads of a frame screw through a piece of thickness side.
func screwingOf(s Screw, g float64, side unit.Length) screwing {
	in := s.Length - side
	if in < leastDepths*s.Diameter {
		return screwing{}
	}
	z := s.Lateral(g, side, in) * PermanentLoad * wetScrew
	thread := min(threaded*s.Length, in)
	return screwing{lateral: z, endLateral: z * endGrainLat,
		withdrawal: unit.Force(float64(s.Withdrawal(g))*float64(thread)) * PermanentLoad * wetScrew}
}

// Corner is how a corner is fastened: the end's face screwed to the side's end
// grain (lateral load only) and both faces screwed to a block, so that no screw
// is pulled from end grain.
type Corner struct {
	Pull        unit.Force // the larger of the two walls' pulls, at the water line
	SidePull    unit.Force // of the side, across the screws in its end grain; to the brim
	EndPull     unit.Force // of the end, along the side: the block's; to the brim
	Block       Size
	BlockLength unit.Length
	Butt        int // screws through the end into the side's end grain, a corner
	BlockToEnd  int // screws through the end into the block, a corner
	BlockToSide int // screws through the side into the block, a corner
	Screws      int
	Needed      int // the screws that the forces alone ask for
	PerButt     unit.Force
	PerLateral  unit.Force
	PerPull     unit.Force
	Use         unit.Fraction // of what the screws may carry, to the brim
	Screw       Screw         // all of them
	Plain       bool          // no block was wanted: nothing is allowed to hold the end
	Bearing     unit.Fraction // wood on wood at the corner, of the allowed
}

// mostScrews is what fits on one face of a block.
const mostScrews = 8

// cornerOf fastens a corner for the brim: as many screws as the force asks, one
// spare for a split, and at least 3 a face (4 in boards 10 in and wider).
func cornerOf(j Job, side, end Row, brim unit.Length) Corner {
	c := Corner{Pull: max(side.EndForce, end.EndForce), SidePull: side.EndForceBrim, EndPull: end.EndForceBrim, Plain: j.PlainCorner}
	if !side.rated || !end.rated {
		c.Use = MostUse
		return c
	}
	least := 3
	if side.Size.Wide >= 10 || end.Size.Wide >= 10 && brim > 9*unit.Inch {
		least = 4
	}
	c.Block = twoByTwo
	if least == 4 {
		c.Block = fourByFour
	}
	c.BlockLength = blockLength(j, min(side.Height, end.Height))
	g := min(side.grade.Values.G, end.grade.Values.G)
	blockThick := j.section(c.Block).Thick
	c.Screw = shorter(side.screw.through(end.Section.Thick, blockThick), side.screw.through(side.Section.Thick, blockThick))
	butt, face := screwingOf(c.Screw, g, end.Section.Thick), screwingOf(c.Screw, g, side.Section.Thick)
	c.PerButt, c.PerLateral, c.PerPull = butt.endLateral, face.lateral, face.withdrawal
	count := func(f, per unit.Force) int {
		n := wholeUp(float64(f), float64(per))
		c.Needed += n
		return min(mostScrews, max(n+1, least)) * j.Courses
	}
	c.Butt = count(c.SidePull, c.PerButt)
	if !c.Plain {
		c.BlockToEnd = count(c.EndPull, c.PerPull)
		c.BlockToSide = count(c.EndPull, c.PerLateral)
	}
	c.Screws = c.Butt + c.BlockToEnd + c.BlockToSide
	c.Use = max(share(float64(c.SidePull), float64(c.PerButt)*float64(c.Butt)),
		share(float64(c.EndPull), float64(c.PerPull)*float64(c.BlockToEnd)),
		share(float64(c.EndPull), float64(c.PerLateral)*float64(c.BlockToSide)))
	area := float64(side.Section.Thick) * float64(min(side.Height, brim))
	c.Bearing = share(float64(c.EndPull), float64(end.allowed.FcPerp)*area)
	return c
}

// shortBlock is the shortest block that takes three screws a face: an inch and a
// half from each end grain, an inch apart by turns (common practice, no source).
const shortBlock = 3 * unit.Inch

// blockLength keeps the block under the raft: its top an inch and a half below
// the water, where the raft's corner passes over it. Without a raft, and in water
// too shallow for a block that takes its screws, it is as high as the lower wall.
// A raft that shall come to rest on blocks does so on these as well.
func blockLength(j Job, wall unit.Length) unit.Length {
	under := j.Depth - 1.5*unit.Inch
	if j.Raft.Rest > 0 {
		under = j.Raft.Rest
	}
	if j.Raft.Thickness == 0 || under < shortBlock {
		return wall
	}
	return min(wall, under)
}

// wholeUp gives the least whole number of pers that carry f; 0 of nothing.
func wholeUp(f, per float64) int {
	if f <= 0 {
		return 0
	}
	if !(per > 0) {
		return mostScrews + 1
	}
	return int(min(1e6, math.Ceil(f/per-1e-9)))
}
