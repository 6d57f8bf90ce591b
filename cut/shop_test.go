package cut

import (
	"context"
	"math/rand/v2"
	"os"
	"strconv"
	"testing"

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

// shops is how many invented jobs are tried: some, or as many as the long check asks for.
func shops() int {
	if n, err := strconv.Atoi(os.Getenv("RAFTWRIGHT_JOBS")); err == nil {
		return n
	}
	return 20
}

// TestShopJobs cuts lumber-yard jobs of all sizes: every plan is whole, and the cost proven in nearly all.
func TestShopJobs(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	jobs := shops()
	proven := 0
	for seed := range jobs {
		j := shop(rand.New(rand.NewPCG(uint64(seed), 3)))
		p, err := Boards(context.Background(), j)
		if err != nil {
			t.Fatal(err)
		}
		checkPlan(t, j, p)
		if p.Optimal {
			proven++
		}
	}
	if proven < jobs*95/100 {
		t.Errorf("%d of %d proven", proven, jobs)
	}
}
