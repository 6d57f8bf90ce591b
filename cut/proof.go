package cut

import (
	"math"

	"raftwright/internal/lp"
)

// closed proves that the present branch holds no solution cheaper than the best: by the duals
// of the linear programme, with the ray of an infeasible one added until it is enough.
func (b *tree) closed(status lp.Status) bool {
	y := make([]float64, len(b.rows))
	for r := range y {
		y[r] = b.lp.Dual(r)
	}
	if status != lp.Infeasible {
		return b.exceeds(y)
	}
	z := make([]float64, len(y))
	for t := 1.0; t < 1e10; t *= 16 {
		for r := range z {
			z[r] = y[r] + t*b.lp.Ray[r]
		}
		if b.exceeds(z) {
			return true
		}
	}
	return false
}

// exceeds evaluates the bound that duals y give, in whole numbers, and says whether it
// passes every cost lower than the best (any cost at all when there is no best yet: then
// the branch is infeasible when the bound passes what all boards together cost).
//
// For multipliers y of the rows, cost >= sum over rows of the lesser of y*lo and y*up
// + sum over columns of the least of (cost - y*column) * x within the column's bounds
// (weak duality). It holds for every y, so rounding y to whole numbers costs only sharpness.
func (b *tree) exceeds(y []float64) bool {
	target := b.cost - b.step
	if b.cost == none {
		target = 0
		for k, n := range b.t.limit {
			target += n * b.t.cost[k]
		}
	}
	top := float64(target)/b.unit + 1
	for r := range b.rows {
		if b.rows[r].lo != -none {
			top += math.Abs(y[r]) * (math.Abs(b.rows[r].floatLo()) + 1)
		}
		if b.rows[r].up != none {
			top += math.Abs(y[r]) * math.Abs(b.rows[r].floatUp())
		}
	}
	scale := min(math.Exp2(math.Floor(57-math.Log2(top*b.unit))), math.Exp2(40))
	if scale < 1 {
		return false
	}
	whole := make([]int64, len(y))
	sum := int64(0)
	for r, row := range b.rows {
		w := int64(math.Round(y[r] * b.unit * scale / row.unit))
		switch {
		case w > 0 && row.lo == -none || w < 0 && row.up == none:
			w = 0
		case w > 0:
			sum += w * row.lo
		default:
			sum += w * row.up
		}
		whole[r] = w
	}
	return b.columnsExceed(whole, sum, target, int64(scale))
}

func (b *tree) columnsExceed(y []int64, sum, target, scale int64) bool {
	b.work.add(int64(len(b.cols)) * 6)
	for c, col := range b.cols {
		rc := b.t.cost[b.pats[c].board] * scale
		for _, e := range col {
			rc -= y[e.row] * e.val
		}
		lo, up := b.lp.ColBounds(c)
		x := lo
		if rc < 0 {
			x = up
		}
		if rc == 0 || x == 0 {
			continue
		}
		if math.Abs(float64(rc)*x) > 0x1p60 {
			return false
		}
		sum += rc * int64(x)
		if sum > 0x7<<59 || sum < -(0x7<<59) {
			return false
		}
	}
	return sum > target*scale
}
