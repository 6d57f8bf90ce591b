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
	works     bool // the rule of each length is gathered too
	rules     []lengthRule
}

// lengthRule is why a piece is as long as it is.
type lengthRule struct {
	formula string
	inputs  []finding.Input
}

// lengths are what goes into a length, by its symbol.
func lengths(pairs ...any) (out []finding.Input) {
	for i := 0; i+1 < len(pairs); i += 2 {
		symbol, _ := pairs[i].(string)
		switch x := pairs[i+1].(type) {
		case unit.Length:
			out = append(out, finding.In(symbol, x.Millimetres(), "mm"))
		case int:
			out = append(out, finding.In(symbol, float64(x), ""))
		}
	}
	return out
}

// why tells the rule of the length of the piece that was just cut; one that is cut again as long has it already.
func (c *cutting) why(formula string, pairs ...any) {
	if c.works && len(c.pieces) > len(c.rules) {
		c.rules = append(c.rules, lengthRule{formula, lengths(pairs...)})
	}
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
func cuttingOf(b *Bed) cutting { return cutting{}.of(b) }

// WorkingOf derives the length of each kind of piece, in the order of Pieces.
func (b *Bed) WorkingOf() []finding.Step {
	w := &finding.Working{}
	if len(b.Pieces) == 0 { // a vessel, which nobody saws
		return nil
	}
	c := cutting{works: true}.of(b)
	for i, p := range c.pieces {
		w.Of = []any{p.Role.Word()}
		w.Add("l", "work.frame.piece", c.rules[i].formula, p.Length.Millimetres(), "mm", srcOwn, c.rules[i].inputs...)
	}
	return w.Steps
}

func (c cutting) of(b *Bed) cutting {
	j := b.Job
	c.boards(j, b.Side, SideBoard)
	c.boards(j, b.End, EndBoard)
	if b.Corner.Block != (Size{}) && !b.Corner.Plain {
		c.piece(CornerBlock, b.Corner.Block, b.Corner.BlockLength, 4)
		rest := j.Depth - 1.5*unit.Inch
		if j.Raft.Rest > 0 {
			rest = j.Raft.Rest
		}
		if b.Corner.BlockLength < min(b.Side.Height, b.End.Height) {
			c.why("work.frame.block_under", "B", rest)
		} else {
			c.why("work.frame.block_wall", "h_wall", min(b.Side.Height, b.End.Height))
		}
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
		c.why("L + 2 t", "L", r.Length, "t", r.caps/2)
	} else {
		for i, m := range r.Segments {
			l := r.Spacing * unit.Length(m)
			if i == 0 || i == len(r.Segments)-1 {
				l += r.caps / 2
			}
			c.piece(role, r.Size, l, n)
			c.why("m s + e", "m", m, "s", r.Spacing, "e", l-r.Spacing*unit.Length(m))
		}
		splices := (len(r.Segments) - 1) * n
		c.piece(ScabPiece, r.Size, scabLength, splices)
		c.why("work.frame.scab_how")
		c.screws(ScabScrews, r.screw.through(r.Section.Thick, r.Section.Thick), 2*r.Scab.Screws*splices)
	}
	if j.Courses > 1 {
		cleats := 2 * (int(float64(r.Length/cleatEvery)) + 1)
		c.piece(CleatPiece, twoByFour, r.Height, cleats)
		c.why("work.frame.cleat_how", "h_wall", r.Height)
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
		c.why("work.frame.stake_how", "d", m.Embed, "h_wall", r.Height)
		c.screws(HoldScrews, r.screw.through(r.Section.Thick, j.section(m.Wood).Wide), 2*m.Screws*r.Holds)
		return
	}
	sec := j.section(m.Wood)
	lap := shorter(r.screw.through(sec.Thick, sec.Thick), r.screw.through(r.Section.Thick, sec.Wide)) // one length for laps and boards
	c.tie(m.Wood, lap, outside+2*sec.Wide, j.longest(m.Wood), r.Holds)
	c.why("work.frame.tie_how", "W_out", outside, "b", sec.Wide, "lap", tieLap)
	c.piece(UprightPiece, m.Wood, r.Height+r.under+sec.Wide, 2*m.Uprights*r.Holds)
	c.why("h_wall + z + b", "h_wall", r.Height, "z", r.under, "b", sec.Wide)
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
	c.why("min(L/n, longest)", "L", wall, "n", n, "longest", j.LongestStrip)
	c.screws(BattenScrews, Screw{Gauge: 8, Length: 1.25 * unit.Inch}, 2*(int(float64(wall/battenEvery))+1))
}
