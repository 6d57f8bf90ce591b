package crop

import (
	"math"
	"slices"
	"testing"

	"raftwright/finding"
	"raftwright/unit"
)

// Langenfeld et al. 2022: refill = tissue × water use; tissue N 45, K 60, P 6
// mg/g at 3 g/L give 135, 180, 18 mg/L (growth_checks.csv upt-3).
func TestRefill(t *testing.T) {
	for _, c := range []struct{ percent, mg float64 }{{4.5, 135}, {6, 180}, {0.6, 18}} {
		if got := Refill(unit.Fraction(c.percent/100), OpenAirWaterUse).MilligramsPerLitre(); math.Abs(got-c.mg) > 0.001*c.mg {
			t.Errorf("%v %%: %v mg/L, want %v", c.percent, got, c.mg)
		}
	}
}

// A 200 g head at 5 % dry matter and 3 g/L: 10 g, with roots 11.5 g, 3.8 L.
func TestWaterForGrowth(t *testing.T) {
	if got := WaterForGrowth(11.5*unit.Gram, OpenAirWaterUse).Litres(); math.Abs(got-3.83) > 0.01 {
		t.Errorf("%v L", got)
	}
}

func TestRisks(t *testing.T) {
	k, _ := catalogue(t).ByID("lettuce_leaf")
	if got := k.Risks(Weather{LastLight: 12, LastAir: 18, Roots: 20}); len(got) != 0 {
		t.Errorf("calm weather: %+v", got)
	}
	hot := k.Risks(Weather{DegreeDaysOverHeat: 60, LastLight: 40, LastAir: 27, Roots: 29, LongestDay: 15 * unit.Hour})
	for _, id := range []finding.ID{FindBolt, FindTipburn, FindRoots} {
		i := slices.IndexFunc(hot, func(f finding.Finding) bool { return f.ID == id })
		if i < 0 || hot[i].Severity != finding.Caution {
			t.Errorf("%s is missing or mild: %+v", id, hot)
		}
	}
	spinach, _ := catalogue(t).ByID("spinach")
	if got := spinach.Risks(Weather{LongestDay: 15 * unit.Hour, LastAir: 22}); len(got) != 1 || got[0].ID != FindBoltLong {
		t.Errorf("spinach in June: %+v", got)
	}
}

func TestSuitability(t *testing.T) {
	for id, want := range map[string]finding.ID{"tomato": FindNotRaft, "water_spinach": FindLegal, "kale": ""} {
		k, _ := catalogue(t).ByID(id)
		got := k.Suitability()
		if (want == "") != (len(got) == 0) || want != "" && got[0].ID != want {
			t.Errorf("%s: %+v", id, got)
		}
	}
}
