package cut

import (
	"context"
	"testing"

	"raftwright/unit"
)

// The eight lumber cases are this project's own; each optimum was proven by listing all
// maximal patterns and solving with two integer solvers that agree (shared reference
// cutting/lumber.json). Lengths in inches, prices in cents.
type lumberCase struct {
	name   string
	kerf   float64
	stock  []lumberBoard
	pieces []lumberPiece
	price  int64 // least price
	boards int64 // fewest boards when all cost the same
}

type lumberBoard struct {
	in    float64
	cents int64
	count int
}

type lumberPiece struct {
	name  string
	in    float64
	count int
}

func lumberCases() []lumberCase {
	many := []lumberPiece{{"a", 41.5, 7}, {"b", 33.25, 11}, {"c", 27.75, 9}, {"d", 22.5, 13}, {"e", 18.125, 10}, {"f", 11, 17}, {"g", 7.5, 8}}
	return []lumberCase{
		{"P1 exact halves fail", 0.125, []lumberBoard{{96, 950, 0}}, []lumberPiece{{"end", 48, 2}}, 1900, 2},
		{"P2 exact halves fit", 0.125, []lumberBoard{{96, 950, 0}}, []lumberPiece{{"end", 47.9375, 2}}, 950, 1},
		{"P3 one bed", 0.125, []lumberBoard{{96, 950, 0}, {120, 1250, 0}, {144, 1575, 0}, {192, 2150, 0}},
			[]lumberPiece{{"side", 97, 2}, {"end", 52, 2}}, 3750, 2},
		{"P4 twenty beds", 0.125, []lumberBoard{{96, 825, 0}, {120, 1100, 0}, {144, 1325, 0}, {192, 1875, 0}},
			[]lumberPiece{{"end", 51, 40}, {"corner block", 7.25, 80}, {"stake", 24, 40}, {"top rail", 30.5, 20}}, 38500, 22},
		{"P5 limited stock", 0.125, []lumberBoard{{96, 950, 0}, {120, 1250, 0}, {192, 1800, 5}},
			[]lumberPiece{{"side", 97, 6}, {"end", 52, 6}, {"brace", 18, 12}}, 11200, 7},
		{"P6 many lengths", 0.125, []lumberBoard{{96, 100, 0}}, many, 1800, 18},
		{"P7 metric", 0.125, []lumberBoard{{94.46875, 720, 0}, {118.09375, 940, 0}, {141.71875, 1110, 0}},
			[]lumberPiece{{"side", 64, 8}, {"end", 40.5, 8}, {"stake", 20, 14}}, 9210, 9},
		{"P8 thin kerf", 0.09375, []lumberBoard{{96, 100, 0}}, many, 1800, 18},
	}
}

func (c lumberCase) job(priced bool) Job {
	kerf := unit.Length(c.kerf) * unit.Inch
	j := Job{Kerf: &kerf}
	for _, b := range c.stock {
		s := Stock{Length: unit.Length(b.in) * unit.Inch, Count: b.count}
		if priced {
			s.Price = b.cents
		}
		j.Stock = append(j.Stock, s)
	}
	for _, p := range c.pieces {
		j.Pieces = append(j.Pieces, Piece{p.name, unit.Length(p.in) * unit.Inch, p.count})
	}
	return j
}

func TestLumber(t *testing.T) {
	for _, c := range lumberCases() {
		t.Run(c.name, func(t *testing.T) {
			p, err := Boards(context.Background(), c.job(true))
			if err != nil {
				t.Fatal(err)
			}
			if p.Price != c.price || !p.Optimal || p.LowerBound != c.price {
				t.Errorf("price %d bound %d optimal %v, want %d proven", p.Price, p.LowerBound, p.Optimal, c.price)
			}
			checkPlan(t, c.job(true), p)
			p, err = Boards(context.Background(), c.job(false))
			if err != nil {
				t.Fatal(err)
			}
			if int64(p.Bought) != c.boards || !p.Optimal || p.LowerBound != c.boards {
				t.Errorf("%d boards, bound %d, optimal %v, want %d proven", p.Bought, p.LowerBound, p.Optimal, c.boards)
			}
			checkPlan(t, c.job(false), p)
		})
	}
}

// checkPlan proves from the plan alone that every piece is cut once, that nothing is cut
// from more board than there is, and that the sums are right.
func checkPlan(t interface {
	Helper()
	Errorf(string, ...any)
}, j Job, p Plan) {
	t.Helper()
	got := map[string]int{}
	bought, used := 0, 0
	price := int64(0)
	for _, b := range p.Boards {
		sum := unit.Length(0)
		for i, c := range b.Cuts {
			got[c.Name] += b.Repeat
			sum += c.Length
			if i > 0 {
				sum += p.Kerf
				if c.Length > b.Cuts[i-1].Length+unit.Length(1e-9) {
					t.Errorf("cuts not longest first: %v", b.Cuts)
				}
			}
		}
		usable := b.Stock
		if b.OnHand {
			used += b.Repeat
		} else {
			usable -= p.Trim
			bought += b.Repeat
			price += b.Price * int64(b.Repeat)
		}
		if sum > usable+unit.Length(1e-9) {
			t.Errorf("cuts of %v from a board of %v", sum, usable)
		}
		if len(b.Cuts) == 0 || b.Repeat < 1 {
			t.Errorf("empty board %+v", b)
		}
	}
	for _, piece := range j.Pieces {
		want := piece.Count
		for _, m := range p.Missing {
			if m.Name == piece.Name {
				want -= m.Count
			}
		}
		if got[piece.Name] != want {
			t.Errorf("%q cut %d times, wanted %d", piece.Name, got[piece.Name], want)
		}
	}
	if bought != p.Bought || used != p.Used || price != p.Price {
		t.Errorf("plan says %d bought %d used %d price; boards say %d, %d, %d", p.Bought, p.Used, p.Price, bought, used, price)
	}
	if p.Priced && p.Price < p.LowerBound || !p.Priced && int64(p.Bought) < p.LowerBound {
		t.Errorf("bound %d above the plan", p.LowerBound)
	}
}
