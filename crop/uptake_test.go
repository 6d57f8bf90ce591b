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

// growth_checks.csv upt-2, computed there from uptake2024.
func TestMeasuredUptake(t *testing.T) {
	want := map[string]float64{"N": 187.7, "P": 53.3, "K": 398.8, "Ca": 125.4, "Mg": 20.9, "Fe": 1.55, "Mn": 0.31, "Zn": 0.36, "Cu": 0.046}
	seen := 0
	for _, u := range MeasuredUptake() {
		seen++
		if got := u.Concentration.MilligramsPerLitre(); math.Abs(got-want[u.Element]) > 0.011*want[u.Element] {
			t.Errorf("%s: %v mg/L, want %v", u.Element, got, want[u.Element])
		}
	}
	if seen != len(want) {
		t.Errorf("%d elements", seen)
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
