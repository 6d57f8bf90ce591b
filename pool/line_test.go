package pool

import (
	"math"
	"testing"

	"raftwright/finding"
	"raftwright/sky"
	"raftwright/unit"
)

// Each line by which somebody acts has a test of its own: one step of the figure
// away, and the test fails.

// Above 23 °C the solution of lettuce is watched, above 26 °C something is done; at 10 °C
// leaf crops stand all but still (solution-limits).
func TestLineSolution(t *testing.T) {
	for mean, want := range map[unit.Temperature]finding.ID{22.9: "", 23.1: FindWarmWatch, 25.9: FindWarmWatch, 26.1: FindWarmAct, 10.1: "", 9.9: FindCold} {
		var months [12]Month
		for i := range months {
			months[i] = Month{Number: i + 1, Usual: Course{Mean: mean}, HotMax: mean, ColdMin: 5}
		}
		list := Tell(months, [12]bool{}, lettuce(t))
		if want == "" && len(list) != 0 || want != "" && (len(list) != 1 || list[0].ID != want) {
			t.Errorf("%v °C: %v, want %q", float64(mean), list, want)
		}
	}
}

// A stone for each 4 L/min, and 3 L/min for each m2 of raft, the middle of 2 to 4 (memory):
// the shopping list and the season have one figure.
func TestLineStones(t *testing.T) {
	job := AirJob{Hold: OxygenGood, Temperature: 20, Pressure: 101325, Depth: 6 * unit.Inch, Stone: Fine}
	for area, want := range map[unit.Area]int{2.6: 2, 2.7: 3, 1.3: 1, 1.4: 2} {
		job.Area = area
		if got := job.Air().Stones; got != want {
			t.Errorf("%v m2: %d stones, want %d", float64(area), got, want)
		}
	}
	for flow, want := range map[unit.Flow]int{0: 1, 3.99: 1, 4.01: 2, 8.01: 3} {
		if got := StonesFor(flow * unit.LitrePerMinute); got != want {
			t.Errorf("%v L/min: %d stones, want %d", float64(flow), got, want)
		}
	}
}

// The cold night of one in ten follows a day with 70 % of the usual sun (own
// judgement), and both its ends lie 1.28 spreads down (one in ten of a normal
// distribution, Abramowitz & Stegun 26.2).
func TestLineDullDay(t *testing.T) {
	year := place(t)
	m := year.Months[6]
	screen, _ := sky.Open.Screen(0)
	usual, cold := TypicalDay(m, screen), ColdNight(m, screen)
	sum := func(d Day) (s float64) {
		for _, x := range d.Sun {
			s += x
		}
		return s
	}
	if got := sum(cold) / sum(usual); math.Abs(got-0.7) > 1e-9 {
		t.Errorf("the sun of the day before is %v of the usual", got)
	}
	low := func(d Day) float64 {
		least := math.Inf(1)
		for _, x := range d.Air {
			least = min(least, x)
		}
		return least
	}
	if got := (low(usual) - low(cold)) / float64(m.LowSpread); math.Abs(got-1.2816) > 0.02 {
		t.Errorf("the night lies %v spreads down", got)
	}
}

// Open water in the gaps loses 89 W/m2 for each kPa that the air lacks, and 78 more
// for each m/s of wind on it (ASHRAE Handbook, HVAC Applications, natatoriums:
// 0.089 + 0.0782 v).
func TestLineGapDrying(t *testing.T) {
	b := heatA()
	dries := func(gap unit.Fraction) float64 {
		return newBalance(b, &Day{Wind: 3}).drying / (b.Area.SquareMetres() * float64(gap))
	}
	if got := dries(b.full().Gap); math.Abs(got-89) > 1e-9 {
		t.Errorf("a sheltered gap dries at %v", got)
	}
	b.Foam = NoFoam
	if got := dries(1); math.Abs(got-(89+3*78)) > 1e-9 {
		t.Errorf("open water dries at %v", got)
	}
}
