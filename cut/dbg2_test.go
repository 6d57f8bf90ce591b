package cut

import (
	"testing"
	"os"
	"math/rand/v2"
	"time"
)

func TestDbg2(t *testing.T) {
	f := os.Getenv("FAM")
	if f == "" { t.Skip() }
	for _, fam := range families() {
		if fam.name != f { continue }
		for s := range 4 {
			k := binsTask(fam.make(rand.New(rand.NewPCG(uint64(s), 7))))
			w := &effort{limit: 8_000_000_000}
			st := time.Now()
			uses, _ := k.first(w)
			m := newMaster(k, w)
			m.start(uses)
			bound, done := m.solve()
			t.Log("greedy", k.total(uses), "bound", bound, done, m.lp.Objective(), "cols", len(m.pats), "work", w.spent/1e6, "pivots", m.lp.Pivots, time.Since(st))
			a := answer{uses: uses, found: true, cost: k.total(uses), bound: bound}
			for d := range 4 {
				w0, p0, c0 := w.spent, m.lp.Pivots, len(m.pats)
				a = m.dive(a, uint64(d))
				t.Log("dive", d, a.cost, "work", (w.spent-w0)/1e6, "pivots", m.lp.Pivots-p0, "cols", len(m.pats)-c0, time.Since(st))
				if a.cost <= bound { break }
			}
		}
	}
}
