package tend

import "math"

// square is a symmetric positive matrix of which the lower half counts, or the lower root of
// one.
type square struct {
	n int
	a []float64
}

func (m square) row(i int) []float64 { return m.a[i*m.n : (i+1)*m.n] }

// sized gives an empty matrix of a size, in the place of this one where it fits.
func (m square) sized(n int) square {
	if cap(m.a) < n*n {
		return square{n, make([]float64, n*n)}
	}
	m.n, m.a = n, m.a[:n*n]
	clear(m.a)
	return m
}

// cholesky gives the lower root.
func (m square) cholesky() square { return m.choleskyIn(square{}) }

// choleskyIn gives the lower root, in the place of another matrix where it fits.
func (m square) choleskyIn(l square) square {
	l = l.sized(m.n)
	for i := range m.n {
		from := 0
		if first := i / abreast * abreast; first+abreast <= m.n {
			if from = first; i == first {
				l.abreast(m, i)
			}
		}
		li, mi := l.row(i), m.row(i)
		for j := from; j <= i; j++ {
			lj := l.row(j)[:j]
			s := mi[j]
			for k, x := range lj {
				s -= li[k] * x
			}
			if i == j {
				li[i] = math.Sqrt(math.Max(1e-12, s))
			} else {
				li[j] = s / l.a[j*l.n+j]
			}
		}
	}
	return l
}

// abreast is how many rows are worked out side by side: the sums of one wait for each other,
// those of several need not.
const abreast = 4

// abreast works out of that many rows of a root, from a row on, what stands before their own square.
func (l square) abreast(m square, i int) {
	a, b, c, d := l.row(i), l.row(i+1), l.row(i+2), l.row(i+3)
	for j := range i {
		lj := l.row(j)[:j+1]
		w, x, y, z := m.a[i*m.n+j], m.a[(i+1)*m.n+j], m.a[(i+2)*m.n+j], m.a[(i+3)*m.n+j]
		a, b, c, d := a[:len(lj)], b[:len(lj)], c[:len(lj)], d[:len(lj)]
		for k, by := range lj[:j] {
			w -= a[k] * by
			x -= b[k] * by
			y -= c[k] * by
			z -= d[k] * by
		}
		by := lj[j]
		a[j], b[j], c[j], d[j] = w/by, x/by, y/by, z/by
	}
}

// solve solves with the root of a matrix, in place.
func (l square) solve(b []float64) {
	l.forward(b)
	l.backward(b)
}

// forward solves with the root alone.
func (l square) forward(b []float64) {
	for i := range l.n {
		row := l.row(i)
		s := b[i]
		for k, x := range row[:i] {
			s -= x * b[k]
		}
		b[i] = s / row[i]
	}
}

// backward solves with the root turned over.
func (l square) backward(b []float64) {
	for i := l.n - 1; i >= 0; i-- {
		row := l.row(i)
		b[i] /= row[i]
		for k, x := range row[:i] {
			b[k] -= x * b[i]
		}
	}
}

// inverse gives the inverse of the matrix of which this is the root, whole; it works in the place of another matrix where it fits.
func (l square) inverse(r square) square {
	n := l.n
	r = r.sized(n) // the inverse of the root, by rows, then its square
	for i := range n {
		ri, li := r.row(i), l.row(i)
		for k, x := range li[:i] {
			for j, y := range r.row(k)[:k+1] {
				ri[j] -= x * y
			}
		}
		d := 1 / li[i]
		for j := range i {
			ri[j] *= d
		}
		ri[i] = d
	}
	out := square{n, make([]float64, n*n)}
	for k := range n {
		rk := r.row(k)[:k+1]
		for i, x := range rk {
			if x != 0 {
				oi := out.row(i)
				for j, y := range rk[:i+1] {
					oi[j] += x * y
				}
			}
		}
	}
	for i := range n {
		for j := range i {
			out.a[j*n+i] = out.a[i*n+j]
		}
	}
	return out
}

// among gives the matrix of more things: those of this one where they stand now, and others (-1) that have nothing to do with them.
func (m square) among(at []int) square {
	out := square{}.sized(len(at))
	for i, from := range at {
		row := out.row(i)
		if from < 0 {
			row[i] = 1
			continue
		}
		old := m.row(from)
		for j, k := range at {
			if k >= 0 {
				row[j] = old[k]
			}
		}
	}
	return out
}

func (l square) logDet() float64 {
	s := 0.0
	for i := range l.n {
		s += 2 * math.Log(l.a[i*l.n+i])
	}
	return s
}
