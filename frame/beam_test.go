package frame

import (
	"math"
	"testing"

	"raftwright/unit"
)

// continuous solves n equal spans of length 1 under a load of 1 by the equations
// of three moments, an independent way to the coefficients of the table. It
// gives the reactions, the largest shear and moment, and the largest deflection
// times EI, found by integrating each span.
func continuous(n int) (reactions []float64, shear, moment, deflection float64) {
	m := make([]float64, n+1) // support moments, sagging positive
	// M[i-1] + 4 M[i] + M[i+1] = -1/2, tridiagonal.
	if n > 1 {
		c, d := make([]float64, n), make([]float64, n)
		for i := 1; i < n; i++ {
			den := 4.0
			if i > 1 {
				den -= c[i-1]
			}
			c[i] = 1 / den
			prev := 0.0
			if i > 1 {
				prev = d[i-1]
			}
			d[i] = (-0.5 - prev) / den
		}
		for i := n - 1; i >= 1; i-- {
			m[i] = d[i] - c[i]*m[i+1]
		}
	}
	reactions = make([]float64, n+1)
	for i := range n {
		left := 0.5 + m[i+1] - m[i]
		right := 1 - left
		reactions[i] += left
		reactions[i+1] += right
		shear = max(shear, left, right)
		moment = max(moment, math.Abs(m[i]), math.Abs(m[i+1]), m[i]+left*left/2)
		// EI y'' = -(m + left x - x2/2); y(0) = y(1) = 0.
		y := func(x float64) float64 {
			a, b := m[i], left
			f := func(x float64) float64 { return -(a*x*x/2 + b*x*x*x/6 - x*x*x*x/24) }
			return f(x) - f(1)*x
		}
		for k := range 1001 {
			deflection = max(deflection, math.Abs(y(float64(k)/1000)))
		}
	}
	return reactions, shear, moment, deflection
}

// Design Aid 6 prints its coefficients to three figures; the three-moment
// equations confirm them, and confirm the row that bounds five spans and more.
func TestBeamCoefficients(t *testing.T) {
	for n := 1; n <= 40; n++ {
		reactions, shear, moment, deflection := continuous(n)
		b := beamOf(n)
		inner := 0.0
		for _, r := range reactions[1:n] {
			inner = max(inner, r)
		}
		if n <= 4 {
			near(t, "end", b.end, reactions[0], 0.1)
			near(t, "inner", b.inner, inner, 0.1)
			near(t, "shear", b.shear, shear, 0.1)
			near(t, "moment", b.moment, moment, 0.2)
			near(t, "deflection", b.deflection, deflection, 1)
			continue
		}
		if reactions[0] > b.end || inner > b.inner || shear > b.shear || moment > b.moment || deflection > b.deflection {
			t.Errorf("%d spans: %.4f %.4f %.4f %.4f %.5f above the bound %+v", n, reactions[0], inner, shear, moment, deflection, b)
		}
	}
}

func TestSegments(t *testing.T) {
	for _, c := range []struct {
		spans         int
		span, longest float64
		want          []int
	}{{1, 97, 240, []int{1}}, {4, 48, 192, []int{4}}, {10, 48, 240, []int{5, 5}}, {5, 48, 192, []int{3, 2}}, {9, 53, 192, []int{3, 3, 3}}, {2, 97, 96, nil}} {
		got := segmentsOf(c.spans, unit.Length(c.span)*unit.Inch, unit.Length(c.longest)*unit.Inch)
		if len(got) != len(c.want) {
			t.Errorf("%+v: %v", c, got)
			continue
		}
		for i := range got {
			if got[i] != c.want[i] {
				t.Errorf("%+v: %v", c, got)
			}
		}
	}
}

// A lap of screws: the elastic method, checked by summing the screws' forces.
func TestLapForces(t *testing.T) {
	const force, moment, a = 100.0, 7.0, 0.05
	polar := 4*2*a*a + 4*a*a
	sum := 4*math.Hypot(a, a)*moment*math.Hypot(a, a)/polar + 4*a*moment*a/polar
	near(t, "the screws carry the moment", sum, moment, 1e-9)
	near(t, "no moment", lapForce(force, 0, a, 8), force/8, 1e-9)
	if lapForce(force, moment, a, 8) >= lapForce(force, moment, a, 4) {
		t.Error("more screws do not ease the worst one")
	}
}
