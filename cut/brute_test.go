package cut

import (
	"context"
	"math"
	"testing"

	"pgregory.net/rapid"

	"raftwright/finding"
	"raftwright/unit"
)

const eighth = unit.Inch / 8

// tiny draws a job small enough to try every plan, in eighths of an inch.
func tiny(t *rapid.T) Job {
	kerf := unit.Length(rapid.IntRange(0, 2).Draw(t, "kerf")) * eighth
	j := Job{Kerf: &kerf, Trim: unit.Length(rapid.IntRange(0, 2).Draw(t, "trim")) * eighth}
	priced := rapid.Bool().Draw(t, "priced")
	for range rapid.IntRange(1, 3).Draw(t, "stock") {
		s := Stock{Length: unit.Length(rapid.IntRange(12, 60).Draw(t, "board")) * eighth}
		if priced {
			s.Price = int64(rapid.IntRange(1, 12).Draw(t, "price"))
		}
		if rapid.Bool().Draw(t, "limited") {
			s.Count = rapid.IntRange(1, 3).Draw(t, "count")
		}
		j.Stock = append(j.Stock, s)
	}
	for range rapid.IntRange(0, 2).Draw(t, "on hand") {
		j.OnHand = append(j.OnHand, Stock{Length: unit.Length(rapid.IntRange(5, 40).Draw(t, "scrap")) * eighth})
	}
	left := 6
	for i := 0; i < 3 && left > 0; i++ {
		n := rapid.IntRange(1, min(3, left)).Draw(t, "count")
		left -= n
		j.Pieces = append(j.Pieces, Piece{string(rune('a' + i)), unit.Length(rapid.IntRange(3, 40).Draw(t, "piece")) * eighth, n})
	}
	return j
}

// brute is every plan tried: the least (cost, boards, -offcut).
type brute struct {
	rooms  []int64 // usable nanometres by board kind
	cost   []int64
	limit  []int
	pieces []int64
	kerf   int64
	kind   []int
	full   []int64 // nanometres of pieces
	count  []int
	best   [3]int64
	found  bool
}

func newBrute(j Job) *brute {
	b := &brute{kerf: nano(*j.Kerf)}
	priced := j.Stock[0].Price > 0
	for _, s := range j.Stock {
		c, l := int64(1), math.MaxInt
		if priced {
			c = s.Price
		}
		if s.Count > 0 {
			l = s.Count
		}
		b.rooms, b.cost, b.limit = append(b.rooms, nano(s.Length)-nano(j.Trim)), append(b.cost, c), append(b.limit, l)
	}
	for _, s := range j.OnHand {
		b.rooms, b.cost, b.limit = append(b.rooms, nano(s.Length)), append(b.cost, 0), append(b.limit, 1)
	}
	for _, p := range j.Pieces {
		for range p.Count {
			b.pieces = append(b.pieces, nano(p.Length))
		}
	}
	b.try(0, 0)
	return b
}

func (b *brute) try(i int, cost int64) {
	if b.found && cost > b.best[0] {
		return
	}
	if i == len(b.pieces) {
		off := int64(0)
		for k, f := range b.full {
			off = max(off, b.rooms[b.kind[k]]-f-int64(b.count[k])*b.kerf)
		}
		now := [3]int64{cost, int64(len(b.kind)), -off}
		if !b.found || less(now, b.best) {
			b.best, b.found = now, true
		}
		return
	}
	w := b.pieces[i]
	for k := range b.kind {
		if b.full[k]+w+int64(b.count[k])*b.kerf <= b.rooms[b.kind[k]] {
			b.full[k] += w
			b.count[k]++
			b.try(i+1, cost)
			b.full[k] -= w
			b.count[k]--
		}
	}
	for kind, room := range b.rooms {
		if w > room || b.limit[kind] == 0 {
			continue
		}
		b.limit[kind]--
		b.kind, b.full, b.count = append(b.kind, kind), append(b.full, w), append(b.count, 1)
		b.try(i+1, cost+b.cost[kind])
		n := len(b.kind) - 1
		b.kind, b.full, b.count = b.kind[:n], b.full[:n], b.count[:n]
		b.limit[kind]++
	}
}

func less(a, b [3]int64) bool {
	for i := range a {
		if a[i] != b[i] {
			return a[i] < b[i]
		}
	}
	return false
}

func TestBruteForceAgrees(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		j := tiny(t)
		want := newBrute(j)
		p, err := Boards(context.Background(), j)
		if err != nil {
			t.Fatal(err)
		}
		checkPlan(t, j, p)
		if stop := finding.Worst(p.Findings) == finding.Stop; stop == want.found {
			t.Fatalf("stop %v, but a plan exists: %v", stop, want.found)
		}
		if !want.found {
			if p.Optimal {
				t.Fatal("optimal without a plan")
			}
			return
		}
		cost := p.Price
		if !p.Priced {
			cost = int64(p.Bought)
		}
		got := [3]int64{cost, int64(p.Bought + p.Used), -nano(p.LargestOffcut)}
		if got != want.best || !p.Optimal || !p.OffcutProven || p.LowerBound != cost {
			t.Fatalf("cost, boards, -offcut %v (optimal %v, offcut proven %v, bound %d), want %v", got, p.Optimal, p.OffcutProven, p.LowerBound, want.best)
		}
	})
}
