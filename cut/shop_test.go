package cut

import (
	"math/rand/v2"
	"os"
	"testing"
	"time"

	"raftwright/unit"
)

// shop draws a job like those of a lumber yard: a few lengths sold, priced roughly by length, some
// of them limited, a dozen pieces or several hundred.
func shop(r *rand.Rand) Job {
	var j Job
	for _, ft := range []int{8, 10, 12, 14, 16, 20} {
		if r.IntN(2) == 0 {
			continue
		}
		s := Stock{Length: unit.Length(ft) * unit.Foot, Price: int64(float64(ft) * (100 + 30*r.Float64()))}
		if r.IntN(4) == 0 {
			s.Count = 1 + r.IntN(20)
		}
		j.Stock = append(j.Stock, s)
	}
	j.Stock = append(j.Stock, Stock{Length: 16 * unit.Foot, Price: 1600 + r.Int64N(500)})
	for range r.IntN(3) {
		j.OnHand = append(j.OnHand, Stock{Length: unit.Length(20+r.IntN(100)) * unit.Inch})
	}
	scale := 1 + r.IntN(50)
	for i := range 2 + r.IntN(7) {
		l := unit.Length(6+r.IntN(100)) * unit.Inch
		if r.IntN(2) == 0 {
			l += unit.Length(r.IntN(16)) * unit.Inch / 16
		}
		j.Pieces = append(j.Pieces, Piece{string(rune('a' + i)), l, scale * (1 + r.IntN(4))})
	}
	return j
}

func TestShopStress(t *testing.T) {
	if os.Getenv("N") == "" {
		t.Skip()
	}
	unproven, off := 0, 0
	var worst time.Duration
	for s := range uint64(300) {
		j := shop(rand.New(rand.NewPCG(s, 3)))
		start := time.Now()
		p, err := Boards(j)
		el := time.Since(start)
		if err != nil {
			t.Fatal(err)
		}
		checkPlan(t, j, p)
		if el > 200*time.Millisecond {
			t.Log(s, "slow", el, p.Optimal, p.OffcutProven, p.Price, p.LowerBound, p.bounds.work/1e6)
		}
		worst = max(worst, el)
		if !p.Optimal {
			unproven++
			t.Log(s, "unproven", el, p.Price, p.LowerBound, p.Bought, p.Findings)
		}
		if !p.OffcutProven {
			off++
		}
	}
	t.Log("unproven", unproven, "offcut", off, "worst", worst)
}
