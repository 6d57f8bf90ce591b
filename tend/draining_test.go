package tend

import (
	"math"
	"testing"
)

// Where nine of ten rates lie of a drip, of a hole, and of both, by the table of the normal distribution (its 95 % point is 1.6449, its 90 % point 1.2816,
// its median 0; NIST/SEMATECH e-Handbook of Statistical Methods, section 1.3.6.7.1).
func TestRatesOfALeak(t *testing.T) {
	drip, hole := draining{1, 6, 2, false}, draining{1, 40, 0.5, true}
	half := func(x draining) draining { x.share = 0.5; return x }
	for _, c := range []struct {
		name  string
		told  []draining
		share float64
		want  float64
	}{
		{"drip, low", []draining{drip}, 0.05, 6 - 1.6449*2},
		{"drip, high", []draining{drip}, 0.95, 6 + 1.6449*2},
		{"a drip that may be none", []draining{{1, 1, 2, false}}, 0.05, 0},
		{"hole, low", []draining{hole}, 0.05, 40 * math.Exp(-1.6449*0.5)},
		{"hole, high", []draining{hole}, 0.95, 40 * math.Exp(1.6449*0.5)},
		{"both, low: the drip's tenth", []draining{half(drip), half(hole)}, 0.05, 6 - 1.2816*2},
		{"both, high: the hole's tenth", []draining{half(drip), half(hole)}, 0.95, 40 * math.Exp(1.2816*0.5)},
		{"half as likely as not", []draining{half(hole)}, 0.25, 40},
	} {
		if got := within(c.told, c.share, 1000); math.Abs(got-c.want) > 0.002*max(1, c.want) {
			t.Errorf("%s: %.4f, want %.4f", c.name, got, c.want)
		}
	}
}
