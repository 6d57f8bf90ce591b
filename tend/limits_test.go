package tend

import (
	"fmt"
	"math"
	"testing"
	"time"

	"raftwright/mix"
	"raftwright/usual"
)

// Each limit a person acts on (shared reference, tend/limits.csv, with the sources named there): the
// figure just inside is left alone, the one just outside is acted on.
func TestLimits(t *testing.T) {
	for _, c := range []struct {
		what         Limit
		below, above float64 // 0: no such end
	}{
		{LimitBand, 0.8, 1.1}, {LimitEC, 0, 3}, {LimitPH, 5.2, 6.95}, {LimitLevel, 0.7, 0}, {LimitWarmth, 8, 26}, {LimitOxygen, 3, 0},
		{LimitAmmonium, 0, 20}, {LimitAmmonia, 0, 1}, {LimitNitrate, 20, 0}, {LimitPotassium, 25, 0}, {LimitCalcium, 30, 0},
		{LimitSodium, 0, 115}, {LimitChloride, 0, 355}, {LimitSulfate, 0, 500}, {LimitBlind, 0, 0.45}, {LimitImbalance, 0.4, 2.5},
	} {
		b, ok := limits()[c.what]
		if !ok {
			t.Errorf("%s: no such limit", c.what)
			continue
		}
		if c.below > 0 && (b.side(c.below*0.999) != -1 || b.side(c.below*1.001) != 0) {
			t.Errorf("%s: not acted on below %v alone", c.what, c.below)
		}
		if c.above > 0 && (b.side(c.above*1.001) != 1 || b.side(c.above*0.999) != 0) {
			t.Errorf("%s: not acted on above %v alone", c.what, c.above)
		}
		for x := 0.01; x < 600; x *= 1.1 {
			if k := b.cost(x); k < 0 || b.side(x) != 0 && k < costAct || b.side(x) == 0 && k > costAmber {
				t.Errorf("%s at %v costs %v", c.what, x, k)
			}
		}
	}
	if len(limits()) != len(watched)+2 { // warmth and oxygen are not the water's own
		t.Errorf("%d limits, %d watched", len(limits()), len(watched))
	}
	if w := limits()[LimitWarmth]; !w.stops(28.1) || w.stops(27.9) {
		t.Error("28 °C is where shade is not enough")
	}
}

// What is good for a bed that is tended is what its plan is judged by and what a heater and ice are reckoned for.
func TestLimitsAreThoseOfThePlan(t *testing.T) {
	for _, c := range []struct {
		what      Limit
		got, want float64
	}{
		{LimitPH, limits()[LimitPH].goodFrom, mix.LeastWellPH}, {LimitPH, limits()[LimitPH].goodTo, mix.MostWellPH},
		{LimitWarmth, limits()[LimitWarmth].goodFrom, usual.HeatTo.Celsius()}, {LimitWarmth, limits()[LimitWarmth].goodTo, usual.CoolTo.Celsius()},
		{LimitAmmonium, limits()[LimitAmmonium].actAbove, mix.StandingAmmonium.MilligramsPerLitre()},
	} {
		if c.got != c.want {
			t.Errorf("%s: %v, in the plan %v", c.what, c.got, c.want)
		}
	}
}

func TestLimitsOfAnother(t *testing.T) {
	const head = "what,unit,stop_below,act_below,good_from,good_to,act_above,stop_above,source\n"
	if got, faults := readLimits("x.csv", head+"ph,,,5,,,7,,given\n"); len(faults) > 0 || got[LimitPH].actAbove != 7 {
		t.Error(got, faults)
	}
	if _, faults := readLimits("x.csv", head+"ph,,,five,,,7,,given\n"); len(faults) != 1 || faults[0].Line != 2 {
		t.Error(faults)
	}
}

// A pH under 4.5 that was read cannot wait: lettuce at pH 4 is stunted, and at 3 it dies (Arnon and Johnson 1942, Plant Physiology 17:525, from memory). Of a bed that was given too much acid it was
// said to do nothing, for a week at pH 4. What is only foreseen so by sums is no stop, and the side on which a limit stops is the one that it is on.
func TestASourBedCannotWait(t *testing.T) {
	sour := func(ph string, acid int) *Tending {
		return hungry(t, fmt.Sprintf(`
bed: {length: 8 ft, width: 4 ft, depth: 9 in}
crop: {name: butterhead}
water: {ph: 7.8, alkalinity: 170 mg/L, calcium: 60 mg/L, magnesium: 10 mg/L, sodium: 12 mg/L}
acid: {product: citric}
shelf: [{name: hydroponic base, label: 5-12-26}, {name: calcium nitrate}, {name: Epsom salt}]
log:
  - {at: 2027-05-01T09:00, filled: yes, planted: {heads: 24, age: 22 d}, depth: 9 in, ec: 1.7 mS/cm, ph: 5.9, rain: 0 in}
  - {at: 2027-05-08T09:00, depth: 8-3/4 in, ec: 1.7 mS/cm, ph: 7.6, rain: 0 in, added acid: %d g}
  - {at: 2027-05-09T09:00, depth: 8-3/4 in, ec: 1.9 mS/cm, ph: %s, rain: 0 in}
`, acid, ph), time.Date(2027, 5, 9, 11, 0, 0, 0, time.UTC))
	}
	if got := sour("3.9", 400); !does(got, DoBase, DoRefill, DoDump) {
		t.Errorf("pH 3.9: %+v", got.Actions)
	}
	a := func(ph float64, acid int) float64 {
		got := sour(fmt.Sprint(ph), acid)
		return newAdviser(got.estimate, If{}, 7).bounds[onPH].stopBelow
	}
	if got := a(3.9, 400); got != 4.5 {
		t.Errorf("at pH 3.9 it stops under %v", got)
	}
	if got := a(5.4, 120); !math.IsInf(got, -1) {
		t.Errorf("at pH 5.4 it stops under %v", got)
	}
}
