package plan_test

import (
	"testing"

	"raftwright/bed"
	"raftwright/brief"
	"raftwright/examples"
	"raftwright/finding"
	"raftwright/plan"
	"raftwright/unit"
)

// What a log taught is told the right way round: a bed that grows lighter heads and drinks more is told so, with how much, and one that is warmer not as cooler.
func TestWhatWasLearnedIsToldTheRightWay(t *testing.T) {
	demo, faults := brief.Parse("demo.yaml", examples.Demo)
	if len(faults) > 0 {
		t.Fatal(faults[0])
	}
	for _, c := range []struct {
		learned               bed.Learned
		lighter, less, cooler bool
	}{
		{bed.Learned{Growth: 0.9, GrowthSpread: 0.1, Water: 1.2, WaterSpread: 0.1, Warmth: 1.5, WarmthSpread: 0.8, Read: 5}, true, false, false},
		{bed.Learned{Growth: 1.1, GrowthSpread: 0.1, Water: 0.8, WaterSpread: 0.1, Warmth: -1.5, WarmthSpread: 0.8, Read: 5}, false, true, true},
	} {
		j := of(demo)
		j.Learn = func(*plan.Plan, bed.Log) bed.Learned { return c.learned }
		p := j.Make(nil)
		grown, drunk, warm := told(p, plan.FindFitted), told(p, plan.FindThirst), told(p, plan.FindLearned)
		if grown == nil || drunk == nil || warm == nil {
			t.Fatalf("%+v is not told", c.learned)
		}
		if grown.Args["Lighter"] != c.lighter || grown.Args["Share"] != unit.Fraction(0.1) || drunk.Args["Less"] != c.less || drunk.Args["Share"] != unit.Fraction(0.2) || warm.Args["Cooler"] != c.cooler || warm.Args["Offset"] != unit.TemperatureStep(1.5) {
			t.Errorf("%+v: %v, %v, %v", c.learned, grown.Args, drunk.Args, warm.Args)
		}
	}
}

// The heater is told of the month in which it takes most, with what it takes there. That is March: in the colder months before it no plants stand.
func TestHeaterIsToldOfItsDearestMonth(t *testing.T) {
	p := planned(t, "bed: {heat to: 20 C}\nsite: {latitude: 42, longitude: -76, elevation: 250 m, cover: greenhouse, months: ["+
		"{tmax: 14 C, tmin: 6 C}, {tmax: 2 C, tmin: -8 C}, {tmax: 15 C, tmin: 7 C}, {tmax: 16 C, tmin: 8 C}, {tmax: 20 C, tmin: 12 C}, {tmax: 25 C, tmin: 15 C}, "+
		"{tmax: 27 C, tmin: 17 C}, {tmax: 26 C, tmin: 16 C}, {tmax: 22 C, tmin: 12 C}, {tmax: 17 C, tmin: 9 C}, {tmax: 14 C, tmin: 7 C}, {tmax: 13 C, tmin: 6 C}]}\n", plan.Everything)
	f := told(p, plan.FindHeater)
	if f == nil {
		t.Fatal("no heater")
	}
	march := p.Warmth.Months[2]
	if f.Args["Month"] != finding.Word("month.3") || f.Figure != march.Heater || march.Heater < 5 {
		t.Errorf("the heater is told of %v, with %v", f.Args["Month"], f.Figure)
	}
	heated := 0
	for i, x := range p.Warmth.Months {
		if x.HeaterEnergy > march.HeaterEnergy {
			t.Errorf("month %d takes more: %v", i+1, x.HeaterEnergy)
		}
		if x.HeaterEnergy > 0 {
			heated++
		}
	}
	if heated < 3 {
		t.Errorf("only %d months are heated: this test looks at nothing", heated)
	}
}
