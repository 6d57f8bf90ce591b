package tend

import "math"

// square is a symmetric positive matrix, or the lower root of one. Its lower half alone is kept, row after row.
type square struct {
	n int
	a []float64
}

// row gives a row up to and with its place on the diagonal.
func (m square) row(i int) []float64 { return m.a[i*(i+1)/2 : (i+1)*(i+2)/2] }

// sized gives an empty matrix of a size, in the place of this one where it fits.
func (m square) sized(n int) square {
	half := n * (n + 1) / 2
	if cap(m.a) < half {
		return square{n, make([]float64, half)}
	}
	m.n, m.a = n, m.a[:half]
	clear(m.a)
	return m
}

// cholesky gives the lower root.
func (m square) cholesky() square { return m.choleskyIn(square{}) }

// choleskyIn gives the lower root, in the place of another matrix where it fits.
func (m square) choleskyIn(l square) square {
	l = l.sized(m.n)
	i := 0
	for ; i+abreast <= m.n; i += abreast {
		l.abreast(m, i)
		l.corner(m, i)
	}
	for ; i < m.n; i++ {
		li, mi := l.row(i), m.row(i)
		for j := range i + 1 {
			lj := l.row(j)[:j]
			s := mi[j]
			for k, x := range lj {
				s -= li[k] * x
			}
			if i == j {
				li[i] = rootOf(s)
			} else {
				li[j] = s / l.row(j)[j]
			}
		}
	}
	return l
}

func rootOf(x float64) float64 { return math.Sqrt(math.Max(1e-12, x)) }

// abreast is how many rows are worked out side by side: the sums of one wait for each other,
// those of several need not.
const abreast = 4

// abreast works out of that many rows of a root, from a row on, what stands before their own square: two columns at a time, each sum in the order
// in which one alone would be made.
func (l square) abreast(m square, i int) {
	a, b, c, d := l.row(i), l.row(i+1), l.row(i+2), l.row(i+3)
	ma, mb, mc, md := m.row(i), m.row(i+1), m.row(i+2), m.row(i+3)
	for j := 0; j+1 < i; j += 2 {
		lj, lk := l.row(j)[:j], l.row(j+1)
		w, x, y, z := ma[j], mb[j], mc[j], md[j]
		s, t, u, v := ma[j+1], mb[j+1], mc[j+1], md[j+1]
		lk0, a0, b0, c0, d0 := lk[:len(lj)], a[:len(lj)], b[:len(lj)], c[:len(lj)], d[:len(lj)]
		for k, p := range lj {
			q, e, f, g, h := lk0[k], a0[k], b0[k], c0[k], d0[k]
			w -= e * p
			x -= f * p
			y -= g * p
			z -= h * p
			s -= e * q
			t -= f * q
			u -= g * q
			v -= h * q
		}
		p, q, r := l.row(j)[j], lk[j], lk[j+1]
		w, x, y, z = w/p, x/p, y/p, z/p
		a[j], b[j], c[j], d[j] = w, x, y, z
		a[j+1], b[j+1], c[j+1], d[j+1] = (s-w*q)/r, (t-x*q)/r, (u-y*q)/r, (v-z*q)/r
	}
}

// corner works out their own square.
func (l square) corner(m square, i int) {
	a, b, c, d := l.row(i), l.row(i+1), l.row(i+2), l.row(i+3)
	aa, ba, ca, da := m.row(i)[i], m.row(i + 1)[i], m.row(i + 2)[i], m.row(i + 3)[i]
	bb, cb, db := m.row(i + 1)[i+1], m.row(i + 2)[i+1], m.row(i + 3)[i+1]
	cc, dc, dd := m.row(i + 2)[i+2], m.row(i + 3)[i+2], m.row(i + 3)[i+3]
	a0 := a[:i]
	b0, c0, d0 := b[:len(a0)], c[:len(a0)], d[:len(a0)]
	for k, e := range a0 {
		f, g, h := b0[k], c0[k], d0[k]
		aa -= e * e
		ba -= f * e
		ca -= g * e
		da -= h * e
		bb -= f * f
		cb -= g * f
		db -= h * f
		cc -= g * g
		dc -= h * g
		dd -= h * h
	}
	aa = rootOf(aa)
	ba, ca, da = ba/aa, ca/aa, da/aa
	bb = rootOf(bb - ba*ba)
	cb, db = (cb-ca*ba)/bb, (db-da*ba)/bb
	cc = rootOf(cc - ca*ca - cb*cb)
	dc = (dc - da*ca - db*cb) / cc
	dd = rootOf(dd - da*da - db*db - dc*dc)
	a[i] = aa
	b[i], b[i+1] = ba, bb
	c[i], c[i+1], c[i+2] = ca, cb, cc
	d[i], d[i+1], d[i+2], d[i+3] = da, db, dc, dd
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

// inverse gives the inverse of the matrix of which this is the root; it works in the place of another matrix where it fits.
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
	out := square{}.sized(n)
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
		for j, k := range at[:i+1] {
			if k >= 0 {
				row[j] = m.row(max(from, k))[min(from, k)]
			}
		}
	}
	return out
}

func (l square) logDet() float64 {
	s := 0.0
	for i := range l.n {
		s += 2 * math.Log(l.row(i)[i])
	}
	return s
}
