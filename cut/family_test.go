package cut

import (
	"context"
	"math/rand/v2"
	"slices"
	"testing"
)

// family makes instances as the published families were made (the definitions in the papers that
// the shared cutting README names), so that the method is tried on more than the shared files.
type family struct {
	name string
	make func(r *rand.Rand) (capacity int64, items []int64)
}

func uniform(n int, lo, up, capacity int64) func(r *rand.Rand) (int64, []int64) {
	return func(r *rand.Rand) (int64, []int64) {
		items := make([]int64, n)
		for i := range items {
			items[i] = lo + r.Int64N(up-lo+1)
		}
		return capacity, items
	}
}

// triplets: every board holds three pieces exactly (Falkenauer 1996).
func triplets(boards int) func(r *rand.Rand) (int64, []int64) {
	return func(r *rand.Rand) (int64, []int64) {
		var items []int64
		for range boards {
			a := 380 + r.Int64N(111)
			b := 250 + r.Int64N((1000-a)/2-250+1)
			items = append(items, a, b, 1000-a-b)
		}
		return 1000, items
	}
}

func families() []family {
	return []family{
		{"u120", uniform(120, 20, 100, 150)},
		{"u250", uniform(250, 20, 100, 150)},
		{"u500", uniform(500, 20, 100, 150)},
		{"u1000", uniform(1000, 20, 100, 150)},
		{"t60", triplets(20)},
		{"t120", triplets(40)},
		{"t249", triplets(83)},
		{"t501", triplets(167)},
		{"scholl1 N4C1W1", uniform(500, 1, 100, 100)},
		{"scholl1 N4C3W2", uniform(500, 20, 100, 150)},
		{"scholl1 N3C2W4", uniform(200, 30, 100, 120)},
		{"scholl2 N3W1B1", uniform(200, 266, 400, 1000)},
		{"scholl2 N4W1B1", uniform(500, 266, 400, 1000)},
		{"scholl2 N4W2B2", uniform(500, 100, 300, 1000)},
		{"scholl2 N4W3B3", uniform(500, 14, 270, 1000)},
		{"scholl2 N4W4B1", uniform(500, 88, 133, 1000)},
		{"scholl2 N2W2B1", uniform(100, 160, 240, 1000)},
		{"scholl2 N2W3B2", uniform(100, 71, 214, 1000)},
		{"scholl3", uniform(200, 20000, 35000, 100000)},
		{"schwerin1", uniform(100, 150, 200, 1000)},
		{"schwerin2", uniform(120, 150, 200, 1000)},
		{"hard28 160", uniform(160, 1, 800, 1000)},
		{"hard28 200", uniform(200, 1, 800, 1000)},
		{"waescher 2500", uniform(150, 1, 2500, 10000)},
		{"waescher 5000", uniform(110, 1, 5000, 10000)},
	}
}

func binsTask(capacity int64, items []int64) *task {
	slices.Sort(items)
	slices.Reverse(items)
	k := &task{room: []int64{capacity}, cost: []int64{1}, limit: []int64{int64(len(items))}}
	for i, w := range items {
		if i > 0 && items[i-1] == w {
			k.need[len(k.need)-1]++
			continue
		}
		k.width, k.need = append(k.width, w), append(k.need, 1)
	}
	return k
}

// TestFamilies tries instances that are made, not published: the bound and the plan must be true, and no more than one board apart.
func TestFamilies(t *testing.T) {
	long := []string{"t120", "t249", "t501", "hard28 200", "scholl2 N3W1B1", "scholl2 N4W2B2", "scholl2 N4W3B3", "scholl3", "waescher 2500", "waescher 5000"} // seconds each
	for i, f := range families() {
		t.Run(f.name, func(t *testing.T) {
			if testing.Short() && slices.Contains(long, f.name) {
				t.Skip("long")
			}
			t.Parallel()
			k := binsTask(f.make(rand.New(rand.NewPCG(uint64(100+i), 7))))
			a := k.solve(&effort{ctx: context.Background(), limit: jobWork})
			if !k.holds(a.uses) || k.total(a.uses) != a.cost || a.bound > a.cost || a.cost > a.bound+1 {
				t.Errorf("%d boards, bound %d", a.cost, a.bound)
			}
			if !a.proven {
				t.Logf("%d boards, bound %d: not proven", a.cost, a.bound)
			}
		})
	}
}
