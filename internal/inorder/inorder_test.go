package inorder

import (
	"cmp"
	"math/rand/v2"
	"slices"
	"testing"
)

// The order is that of the standard library's generic stable sort.
func TestPut(t *testing.T) {
	type pair struct{ key, at int }
	dice := rand.New(rand.NewPCG(1, 2))
	for n := range 200 {
		var got []pair
		for i := range n {
			got = append(got, pair{dice.IntN(1 + n/3), i})
		}
		want := slices.Clone(got)
		by := func(a, b pair) int { return cmp.Compare(a.key, b.key) }
		Put(got, by)
		slices.SortStableFunc(want, by)
		if !slices.Equal(got, want) {
			t.Fatalf("%v, not %v", got, want)
		}
	}
}
