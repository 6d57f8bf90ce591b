package cut

import (
	"cmp"
	"math"
	"slices"

	"raftwright/internal/inorder"
	"raftwright/internal/lp"
)

// Multipliers of a slice are whole numbers over grain.
const (
	grain       = 1 << 20
	sliceRounds = 12
	slicesRound = 6
	smallKinds  = 9
)

// slice is a rule that every whole solution keeps and a broken one may not (Chvátal 1973, Gomory 1958): from
// sum over patterns of a x >= d for each piece follows, for multipliers u >= 0 and whole x,
// sum of ceil(u a) x >= ceil(u d).
type slice struct {
	u      []int64 // over grain, by kind
	rhs    int64
	strong float64 // by how far the present solution breaks it, measured across
}

// strengthen adds slices that the present solution of the root breaks, for some rounds.
func (b *tree) strengthen() {
	for range sliceRounds {
		if b.lp.Objective() > b.cutoff() || b.work.over() {
			return
		}
		found := b.slices()
		if len(found) == 0 {
			return
		}
		for _, s := range found {
			b.addSlice(s)
		}
		was := b.lp.Objective()
		if status := b.relax(); status != lp.Optimal || b.lp.Objective() < was+1e-7 {
			return
		}
	}
}

// slices finds the rules most broken by the present solution.
func (b *tree) slices() []slice {
	var basic []int
	for c := range b.pats {
		if b.lp.Value(c) > whole {
			basic = append(basic, c)
		}
	}
	var out []slice
	try := func(u []int64) {
		if s, ok := b.sliceOf(u, basic); ok {
			out = append(out, s)
		}
	}
	b.rowMultipliers(basic, try)
	if len(b.t.need) <= smallKinds {
		b.smallMultipliers(try)
	}
	inorder.Put(out, func(x, y slice) int { return cmp.Compare(y.strong, x.strong) })
	out = slices.CompactFunc(out, func(x, y slice) bool { return slices.Equal(x.u, y.u) })
	return out[:min(len(out), slicesRound)]
}

// rowMultipliers tries the broken parts of rows of the basis inverse, which cut the present
// solution off where it is broken.
func (b *tree) rowMultipliers(basic []int, try func([]int64)) {
	u := make([]int64, len(b.t.need))
	tried := 0
	for _, c := range basic {
		row := b.lp.InverseRow(c)
		v := b.lp.Value(c)
		if row == nil || math.Abs(v-math.Round(v)) < 0.01 {
			continue
		}
		if tried++; tried > 60 {
			return
		}
		for _, f := range []float64{1, -1, 2, -2, 3, -3} {
			for i := range u {
				x := f * row[i]
				x -= math.Floor(x)
				if x > 1-1e-6 || x < 1e-6 {
					x = 0
				}
				u[i] = int64(x * grain)
			}
			try(u)
		}
	}
}

// smallMultipliers tries halves, thirds and quarters of few kinds in every way.
func (b *tree) smallMultipliers(try func([]int64)) {
	n := len(b.t.need)
	for _, parts := range []int64{2, 3, 4} {
		if math.Pow(float64(parts), float64(n)) > 3000 {
			return
		}
		u := make([]int64, n)
		digit := make([]int64, n)
		for {
			i := 0
			for ; i < n; i++ {
				if digit[i]++; digit[i] < parts {
					break
				}
				digit[i] = 0
			}
			if i == n {
				break
			}
			for i := range u {
				u[i] = digit[i] * grain / parts
			}
			try(u)
		}
	}
}

func ceilGrain(x int64) int64 { return (x + grain - 1) / grain }

func sliceValue(u []int64, p pattern) int64 {
	sum := int64(0)
	for _, k := range p.takes {
		sum += u[k.kind] * k.n
	}
	return ceilGrain(sum)
}

// sliceOf makes the rule of multipliers and says whether the present solution breaks it.
func (b *tree) sliceOf(u []int64, basic []int) (slice, bool) {
	sum := int64(0)
	for i, d := range b.t.need {
		sum += u[i] * d
	}
	s := slice{rhs: ceilGrain(sum)}
	short, norm := float64(s.rhs), 1.0
	for _, c := range basic {
		v := float64(sliceValue(u, b.pats[c]))
		short -= v * b.lp.Value(c)
		norm += v * v
	}
	b.work.add(int64(len(basic) * 8))
	if s.strong = short / math.Sqrt(norm); short < 1e-3 || s.strong < 1e-4 {
		return s, false
	}
	s.u = slices.Clone(u)
	return s, true
}

// addSlice puts a rule into the programme.
func (b *tree) addSlice(s slice) {
	r := int32(len(b.rows))
	var cols []int
	var vals []float64
	for c, p := range b.pats {
		if v := sliceValue(s.u, p); v > 0 {
			cols, vals = append(cols, c), append(vals, float64(v))
			b.cols[c] = append(b.cols[c], entry{r, v})
		}
	}
	b.rows = append(b.rows, row{s.rhs, none, 1})
	b.lp.AddRow(float64(s.rhs), inf(), cols, vals)
	b.work.add(int64(len(b.pats) * 6))
}
