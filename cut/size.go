package cut

import (
	"math/bits"
	"slices"
)

// lengthBound is the least cost of boards that are together as long as all pieces end to end (of sheets: with as
// much area as all panels), rounded up to a possible total.
func (t *task) lengthBound() int64 {
	left := int64(0)
	for i, w := range t.width {
		hi, lo := bits.Mul64(uint64(w), uint64(t.need[i]))
		if left += int64(lo); hi > 0 || left < 0 || left > 1<<62 {
			return 0 // beyond whole numbers of 64 bits: no bound
		}
	}
	var order []int
	for k, room := range t.room {
		if room > 0 && t.limit[k] > 0 {
			order = append(order, k)
		}
	}
	slices.SortStableFunc(order, func(a, b int) int { return compareRate(t.cost[a], t.room[a], t.cost[b], t.room[b]) })
	cost := int64(0)
	for _, k := range order {
		n := min(t.limit[k], left/t.room[k])
		cost += n * t.cost[k]
		left -= n * t.room[k]
		if n < t.limit[k] {
			hi, lo := bits.Mul64(uint64(left), uint64(t.cost[k]))
			if hi < uint64(t.room[k]) {
				q, _ := bits.Div64(hi, lo, uint64(t.room[k]))
				if left > 0 && t.cost[k] > 0 {
					q++
				}
				cost += int64(q)
			}
			break
		}
	}
	step := t.costStep()
	return (cost + step - 1) / step * step
}

// compareRate compares a/b with c/d exactly.
func compareRate(a, b, c, d int64) int {
	h1, l1 := bits.Mul64(uint64(a), uint64(d))
	h2, l2 := bits.Mul64(uint64(c), uint64(b))
	switch {
	case h1 < h2 || h1 == h2 && l1 < l2:
		return -1
	case h1 == h2 && l1 == l2:
		return 0
	}
	return 1
}
