package programme

import (
	"math/rand/v2"
	"slices"
	"testing"
)

// What is like a row before it is found as by holding each row against all before it, and no row is looked at more than twice, also where all have one day and key: a table
// that was filled with one date must not hold up a report.
func TestAgainLooksAtARowTwiceAtMost(t *testing.T) {
	in := Range{1, 9}
	for seed := range uint64(300) {
		dice := rand.New(rand.NewPCG(seed, 1))
		type row struct{ day, key, rest int }
		rows := make([]row, 40)
		for i := range rows {
			rows[i] = row{dice.IntN(11), dice.IntN(1 + int(seed%4)), dice.IntN(3)}
		}
		var want []int
		for i, x := range rows {
			if in.Has(Day(x.day)) && slices.Contains(rows[:i], x) {
				want = append(want, i)
			}
		}
		looks := 0
		got := again(in, len(rows), func(i int) Day { return Day(rows[i].day) }, func(i int) int { return rows[i].key }, func(i int) row { looks++; return rows[i] })
		if !slices.Equal(got, want) {
			t.Fatalf("seed %d: %v, wanted %v", seed, got, want)
		}
		if looks > 2*len(rows) {
			t.Fatalf("seed %d: %d looks at %d rows", seed, looks, len(rows))
		}
	}
}
