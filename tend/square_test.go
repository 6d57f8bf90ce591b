package tend

import (
	"math"
	"testing"
)

// A root that is made several rows and columns at a time is to the last digit that of the schoolbook, one sum after the other (Cholesky's method, Golub & Van Loan,
// Matrix Computations, section 4.2, from memory).
func TestRootBySeveralRows(t *testing.T) {
	for n := range 23 {
		m := square{}.sized(n)
		for k := range 2 * n {
			for i := range n {
				for j := range i + 1 {
					m.row(i)[j] += math.Sin(float64(k*k+7*i)) * math.Sin(float64(k*k+7*j))
				}
			}
		}
		want := square{}.sized(n)
		for i := range n {
			for j := range i + 1 {
				s := m.row(i)[j]
				for k := range j {
					s -= want.row(i)[k] * want.row(j)[k]
				}
				if want.row(i)[j] = s / want.row(j)[j]; i == j {
					want.row(i)[i] = math.Sqrt(math.Max(1e-12, s))
				}
			}
		}
		got := m.cholesky()
		for i := range n {
			for j := range i + 1 {
				if got.row(i)[j] != want.row(i)[j] {
					t.Fatalf("%d rows: row %d, column %d: %v, want %v", n, i, j, got.row(i)[j], want.row(i)[j])
				}
			}
		}
	}
}
