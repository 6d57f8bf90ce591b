package web

import (
	"math/rand/v2"
	"slices"
	"testing"
)

// The numbers of rows are found again as in a list of all of them, also where they do not follow each other and after all moved up.
func TestOrdersOfRows(t *testing.T) {
	chance := rand.New(rand.NewPCG(7, 11))
	for range 200 {
		var list []int64
		var o rowOrders
		next := int64(chance.IntN(5))
		for range chance.IntN(60) {
			list = append(list, next)
			o.add(next)
			next++
			if chance.IntN(4) == 0 {
				next += int64(chance.IntN(5))
			}
		}
		if by := int64(chance.IntN(1000)); len(list) > 0 {
			o.shift(by)
			for i := range list {
				list[i] += by
			}
			next += by
		}
		if o.n != len(list) {
			t.Fatalf("%d rows for %d", o.n, len(list))
		}
		for i, want := range list {
			if got := o.of(i); got != want {
				t.Fatalf("row %d of %v is %d", i, list, got)
			}
		}
		for order := int64(0); order < next+3; order++ {
			at, there := slices.BinarySearch(list, order)
			if got, is := o.find(order); got != at || is != there {
				t.Fatalf("%d in %v: %d %v for %d %v", order, list, got, is, at, there)
			}
		}
	}
}
