package cut

import (
	"os"
	"raftwright/internal/lp"
	"testing"
)

func TestDbg(t *testing.T) {
	f := os.Getenv("F")
	if f == "" {
		t.Skip()
	}
	k := readBins(t, f)
	w := &effort{limit: 4_000_000_000}
	uses, ok := k.first(w)
	t.Log("greedy", ok, k.total(uses))
	m := newMaster(k, w)
	m.start(uses)
	bound, done := m.solve()
	t.Log("bound", bound, done, m.lp.Objective(), "cols", len(m.pats), "work", w.spent/1e6, "pivots", m.lp.Pivots)
	board, _ := m.round(false)
	_, b := m.pricing(k.need)
	gap := (k.total(uses)-1)*int64(m.scale) - b
	t.Log("gap", float64(gap)/m.scale)
	w0 := w.spent
	pats, all := m.list(board, gap, 200000)
	t.Log("list", len(pats), all, "work", (w.spent-w0)/1e6)
	if !all {
		return
	}
	tr := newTree(k, w, pats)
	tr.floor = bound
	tr.offer(uses)
	tr.stop = 1
	tr.node()
	t.Log("root", tr.lp.Objective(), tr.cost, tr.proven)
	tr.run(3000)
	t.Log(tr.nodes, tr.proven, tr.cost, w.spent/1e6, lp.Optimal)
}
