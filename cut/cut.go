// Package cut says which boards and sheets to buy and where to saw them: least cost,
// then fewest boards, then the largest piece left over, proven where that can be done.
//
// Boards are the one-dimensional cutting stock problem with saw kerf, several stock
// lengths and prices, limited stock and pieces on hand. Method: linear programme over cutting
// patterns by column generation (Gilmore & Gomory 1961, Oper. Res. 9:849-859) with a
// bound in whole numbers (Farley 1990, Oper. Res. 38:922-923), then branch and bound over all patterns
// that a better plan could still use. Sheets are cut edge to edge (guillotine cuts).
//
// Everything that decides is exact: lengths are whole nanometres (an inch is 25,400,000, so
// that sixty-fourths and millimetres are both exact), prices whole minor units. A length is
// first rounded to the nearest nanometre, which no saw can see.
//
// The search has no clock. It counts its own work, so that the same job always gives
// the same answer, and says when the count ran out before the proof was complete.
//
// Range: boards up to 1 km, sheets up to 100 m, up to MaxPieces pieces of MaxKinds kinds.
package cut

import (
	"context"

	"raftwright/finding"
	"raftwright/unit"
)

// Bounds of a job. A larger one is refused with words.
const (
	MaxPieces = 100_000
	MaxKinds  = 1_000
	MaxStock  = 60
)

// DefaultKerf is assumed where no kerf is given: a full-width circular saw blade, 1/8 in
// (common practice, no source).
const DefaultKerf = unit.Inch / 8

// Piece is a length wanted.
type Piece struct {
	Name   string
	Length unit.Length
	Count  int
}

// Stock is a board as it is sold or lies in the shed.
type Stock struct {
	Name   string
	Length unit.Length
	// Price is what one costs in whole minor units of a currency (cents, or tenths of them:
	// the caller's choice). Left out on every board: only the number of boards counts.
	// Ignored for pieces on hand.
	Price int64
	// Count is how many there are. Left out: no limit where sold, one where on hand.
	Count int
	Path  finding.Path // its entry in the brief; "" where it has none
}

// Job is a cutting job.
type Job struct {
	// Kerf is the width of the saw cut; nil: DefaultKerf is assumed and said so. Zero is a legal value.
	Kerf *unit.Length
	// Trim is what is taken off every sold board before the first piece, its own saw cut included
	// (a split or unsquare end). Left out: none.
	Trim   unit.Length
	Stock  []Stock
	OnHand []Stock // offcuts in the shed: free, limited, not trimmed again
	Pieces []Piece
	// ByLength asks for the least wood where no board has a price: a foot of a long board
	// costs as much as one of a short board. Without it every board counts alike.
	ByLength bool
	Steps    int64 // elementary steps that the search may take; 0: as many as usual
}

// Cut is one piece on a board.
type Cut struct {
	Name   string
	Length unit.Length
}

// Board is one way to cut a board, and how many boards are cut so.
type Board struct {
	Name   string // of the stock
	Stock  unit.Length
	OnHand bool
	Price  int64 // of one
	Cuts   []Cut // in order of cutting, the longest first
	Repeat int
	// Offcut is what is left in one piece after the last cut.
	Offcut unit.Length
	// Waste is all of the board that is no piece: offcut, saw cuts and trim.
	Waste unit.Length
}

// Purchase is how many boards of one kind to buy.
type Purchase struct {
	Stock
	Buy int
}

// Plan is what to buy and how to cut it.
type Plan struct {
	Boards   []Board
	Purchase []Purchase // boards to buy, in the order of Job.Stock
	Bought   int        // boards to buy in all
	Used     int        // pieces on hand that are cut
	Priced   bool       // prices were given: the objective is Price
	ByLength bool       // the objective is the length of the boards, in whole millimeters; else, without prices, Bought
	Price    int64      // of all boards to buy
	// LowerBound is a cost that no plan undercuts, in the unit of the objective (minor units
	// of price, millimeters, or boards).
	LowerBound int64
	// Optimal says that no plan costs less, and none of that cost needs fewer boards: proven.
	Optimal bool
	// OffcutProven says that no plan as good leaves a larger offcut.
	OffcutProven bool
	// LargestOffcut is the longest piece left in one.
	LargestOffcut unit.Length
	Waste         unit.Length
	WasteShare    unit.Fraction // of the length of all boards cut
	Kerf, Trim    unit.Length
	Missing       []Piece // pieces that no board can give
	Findings      []finding.Finding
	Assumptions   []finding.Assumption
	bounds        bounds
}

// bounds are the figures behind LowerBound, for the working.
type bounds struct {
	total float64 // worth of all pieces, less what limited boards take off
	worth []pieceWorth
	work  int64
}

// pieceWorth is what a kind of piece adds to the cost at least.
type pieceWorth struct {
	length unit.Length
	need   int64
	each   float64
}

// Boards plans the cutting of boards. The faults are everything that is wrong with the job's figures;
// what is wrong with the world (a piece longer than every board, too few boards in the store) is a
// finding of severity stop in a plan for the rest.
func Boards(ctx context.Context, j Job) (Plan, finding.Faults) {
	if faults := j.check(); faults != nil {
		return Plan{}, faults
	}
	s := newSaw(ctx, j)
	s.solve()
	return s.plan(), stopped(ctx)
}
