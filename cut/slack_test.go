package cut

import (
	"context"
	"math"
	"testing"

	"raftwright/finding"
	"raftwright/unit"
)

// A board that is cut to the last sixteenth of an inch is told (common practice, no source): of 8 ft, three pieces and two cuts of an eighth leave what is left of a
// third of the rest; trim is taken off before, of a bought board alone.
func TestLineSlack(t *testing.T) {
	kerf := unit.Inch / 8
	for _, c := range []struct {
		left, trim float64 // sixteenths of an inch
		onHand     bool
		told       bool
	}{{0.5, 0, false, true}, {0.9, 0, false, true}, {1.1, 0, false, false}, {3, 0, false, false}, {0.9, 4, false, true}, {1.1, 4, false, false}, {0.9, 0, true, true}, {1.1, 0, true, false}} {
		each := (96 - 2./8 - c.left/16 - c.trim/16) / 3
		stock := []Stock{{Length: 96 * unit.Inch}}
		j := Job{Kerf: &kerf, Trim: unit.Length(c.trim) * unit.Inch / 16, Stock: stock, Pieces: []Piece{{"third", unit.Length(each) * unit.Inch, 3}}}
		if c.onHand {
			j.Stock, j.OnHand = nil, stock
		}
		p, err := Boards(context.Background(), j)
		if err != nil || p.Used+p.Bought != 1 {
			t.Fatal(c, p.Used, p.Bought, err)
		}
		told := false
		for _, f := range p.Findings {
			told = told || f.ID == FindNoSlack
		}
		if told != c.told {
			t.Errorf("%v sixteenths left, %v trimmed, on hand %v: told %v", c.left, c.trim, c.onHand, told)
		}
	}
}

// The longest piece that a shop can give is the longest board less its trim, and that is what is told where a piece is longer.
func TestLineLongestPiece(t *testing.T) {
	j := Job{Trim: unit.Inch, Stock: []Stock{{Length: 96 * unit.Inch}, {Length: 144 * unit.Inch}}}
	for inches, right := range map[unit.Length]bool{143: true, 143.5: false} {
		j.Pieces = []Piece{{"side", inches * unit.Inch, 1}}
		p, err := Boards(context.Background(), j)
		if err != nil {
			t.Fatal(err)
		}
		stopped := false
		for _, f := range p.Findings {
			if f.ID == FindTooLong {
				stopped = f.Severity == finding.Stop
				if l, is := f.Args["Longest"].(unit.Length); is && math.Abs(l.Inches()-143) > 1e-9 {
					t.Errorf("the longest is told as %v in", l.Inches())
				}
			}
		}
		if stopped == right {
			t.Errorf("a piece of %v in of a board of 144: stopped %v", float64(inches), stopped)
		}
	}
}
