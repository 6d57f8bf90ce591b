package frame

import (
	"math"
	"strings"

	"raftwright/finding"
	"raftwright/unit"
)

// Role says what a piece of wood is for.
type Role int

// Roles of the pieces of a frame.
const (
	SideBoard Role = iota
	EndBoard
	CornerBlock
	TiePiece
	UprightPiece
	StakePiece
	CleatPiece
	ScabPiece
	BattenPiece
)

var roleNames = [...]string{"side", "end", "corner block", "floor tie", "upright", "stake", "cleat", "scab", "batten"}

// String gives the name of the piece in the JSON and on the cut list.
func (r Role) String() string { return roleNames[r] }

// Word gives the translatable name of the piece.
func (r Role) Word() finding.Word {
	return finding.Word("word.piece_" + strings.ReplaceAll(roleNames[r], " ", "_"))
}

// Piece is wood to be cut, alike pieces counted.
type Piece struct {
	Role   Role
	Size   Size
	Length unit.Length
	Count  int // for one bed
}

// FastenerKind says what a fastener is.
type FastenerKind int

// Fasteners of a frame.
const (
	CornerScrews FastenerKind = iota
	HoldScrews
	CleatScrews
	ScabScrews
	BattenScrews
)

var fastenerNames = [...]string{"corner screw", "hold screw", "cleat screw", "splice screw", "batten screw"}

// String gives the name of the fastener.
func (k FastenerKind) String() string { return fastenerNames[k] }

// Word gives the translatable name of the fastener.
func (k FastenerKind) Word() finding.Word {
	return finding.Word("word." + strings.ReplaceAll(fastenerNames[k], " ", "_"))
}

// Fastener is screws of one kind, for one bed.
type Fastener struct {
	Kind   FastenerKind
	Gauge  int
	Length unit.Length
	Count  int
}

const (
	scabLength  = 28 * unit.Inch
	cleatEvery  = 24 * unit.Inch
	longBatten  = 8 * unit.Foot
	battenShort = 1.5 * unit.Inch // a batten may end this far from a corner, so that a strip of 8 ft does for 97 in
	battenEvery = 12 * unit.Inch
	tieLap      = 24 * unit.Inch // where a long tie is made of two pieces
)

// cutting gathers pieces and fasteners.
type cutting struct {
	pieces    []Piece
	fasteners []Fastener
}

func (c *cutting) piece(role Role, s Size, l unit.Length, n int) {
	if n <= 0 {
		return
	}
	for i, p := range c.pieces {
		if p.Role == role && p.Size == s && math.Abs(float64(p.Length-l)) < 1e-9 {
			c.pieces[i].Count += n
			return
		}
	}
	c.pieces = append(c.pieces, Piece{role, s, l, n})
}

func (c *cutting) screws(kind FastenerKind, s Screw, n int) {
	if n <= 0 {
		return
	}
	for i, f := range c.fasteners {
		if f.Kind == kind && f.Length == s.Length {
			c.fasteners[i].Count += n
			return
		}
	}
	c.fasteners = append(c.fasteners, Fastener{kind, s.Gauge, s.Length, n})
}

// cuttingOf lists the wood and screws of one frame. The ends cap the sides: a
// side is as long as the inside, an end two board thicknesses longer.
func cuttingOf(b *Bed) cutting {
	var c cutting
	j := b.Job
	c.boards(j, b.Side, SideBoard)
	c.boards(j, b.End, EndBoard)
	if b.Corner.Block != (Size{}) && !b.Corner.Plain {
		c.piece(CornerBlock, b.Corner.Block, b.Corner.BlockLength, 4)
	}
	c.screws(CornerScrews, b.Corner.Screw, 4*b.Corner.Screws)
	outsideW := j.Vessel.Width + 2*b.Side.Section.Thick
	outsideL := j.Vessel.Length + 2*b.End.Section.Thick
	c.holds(j, b.Side, b.SideHold, outsideW)
	c.holds(j, b.End, b.EndHold, outsideL)
	if b.Liner.Wanted {
		c.battens(j, j.Vessel.Length)
		c.battens(j, outsideW)
	}
	return c
}

// boards cuts both walls alike, spliced at holds where a board is too short,
// with cleats where boards are stacked.
func (c *cutting) boards(j Job, r Row, role Role) {
	n := 2 * j.Courses
	if r.Segments == nil || len(r.Segments) == 1 {
		c.piece(role, r.Size, r.Length+r.caps, n)
	} else {
		for i, m := range r.Segments {
			l := r.Spacing * unit.Length(m)
			if i == 0 || i == len(r.Segments)-1 {
				l += r.caps / 2
			}
			c.piece(role, r.Size, l, n)
		}
		splices := (len(r.Segments) - 1) * n
		c.piece(ScabPiece, r.Size, scabLength, splices)
		c.screws(ScabScrews, r.screw.through(r.Section.Thick, r.Section.Thick), 2*r.Scab.Screws*splices)
	}
	if j.Courses > 1 {
		cleats := 2 * (int(float64(r.Length/cleatEvery)) + 1)
		c.piece(CleatPiece, twoByFour, r.Height, cleats)
		c.screws(CleatScrews, r.screw.through(r.Section.Thick, j.section(twoByFour).Thick), 3*j.Courses*cleats)
	}
}

// holds cuts the holds of both walls of a row. A floor tie serves both.
func (c *cutting) holds(j Job, r Row, m HoldMake, outside unit.Length) {
	if r.Holds == 0 || m.Wood == (Size{}) {
		return
	}
	if m.Kind == Stake {
		c.piece(StakePiece, m.Wood, m.StakeLength, 2*r.Holds)
		c.screws(HoldScrews, r.screw.through(r.Section.Thick, j.section(m.Wood).Wide), 2*m.Screws*r.Holds)
		return
	}
	sec := j.section(m.Wood)
	lap := shorter(r.screw.through(sec.Thick, sec.Thick), r.screw.through(r.Section.Thick, sec.Wide)) // one length for laps and boards
	c.tie(m.Wood, lap, outside+2*sec.Wide, j.longest(m.Wood), r.Holds)
	c.piece(UprightPiece, m.Wood, r.Height+r.under+sec.Wide, 2*m.Uprights*r.Holds)
	c.screws(HoldScrews, lap, 2*m.Uprights*(m.Screws+2*j.Courses)*r.Holds)
}

// tie cuts a tie in as few pieces as the boards allow, lapped where joined.
func (c *cutting) tie(s Size, lap Screw, length, longest unit.Length, n int) {
	parts := 1
	for parts < 100 && (length+unit.Length(parts-1)*tieLap)/unit.Length(parts) > longest {
		parts++
	}
	c.piece(TiePiece, s, (length+unit.Length(parts-1)*tieLap)/unit.Length(parts), n*parts)
	c.screws(HoldScrews, lap, 8*(parts-1)*n)
}

// battens cuts the strips that hold the liner's edge along two walls.
func (c *cutting) battens(j Job, wall unit.Length) {
	n := max(1, int(math.Ceil(float64((wall-2*battenShort)/j.LongestStrip)-1e-9)))
	c.piece(BattenPiece, batten, min(wall/unit.Length(n), j.LongestStrip), 2*n)
	c.screws(BattenScrews, Screw{Gauge: 8, Length: 1.25 * unit.Inch}, 2*(int(float64(wall/battenEvery))+1))
}
