package season

import (
	"math"
	"testing"

	"raftwright/sky"
	"raftwright/unit"
)

func TestHeatingAndCooling(t *testing.T) {
	s := Make(Job{Climate: station(t, 42.4, -76.5, 250), Cover: sky.Greenhouse, Crop: get(t, "lettuce_leaf"), Holes: 32})
	heat, ice := s.Heating(18), s.Cooling(20)
	for i, m := range s.Months {
		if (heat[i].Power > 0) != (m.Pool < 18) || (ice[i] > 0) != (m.Pool > 20) {
			t.Errorf("month %d at %.1f °C: %v W, %v kg of ice", m.Number, m.Pool, heat[i].Power, ice[i])
		}
	}
	if heat[0].Power <= heat[3].Power || heat[0].Energy.KilowattHours() < 50 {
		t.Errorf("January %+v, April %+v", heat[0], heat[3])
	}
}

func TestLamps(t *testing.T) {
	s := Make(Job{Climate: station(t, 42.4, -76.5, 250), Cover: sky.Greenhouse, Crop: get(t, "lettuce_leaf"), Holes: 32})
	lamps := s.Lamps(Lighting{200 * unit.MicromolePerSquareMetreSecond, unit.Day, 2.5 * unit.MicromolePerJoule})
	if len(lamps) < 3 || len(lamps) > 7 {
		t.Fatalf("%d dark months", len(lamps))
	}
	for _, l := range lamps {
		m := s.Months[l.Month-1]
		got := float64(m.Light) + 200*l.On.Hours()*0.0036 // definition: 1 µmol/m2/s for an hour is 0.0036 mol
		if !l.Enough || math.Abs(got-17) > 1e-9 {
			t.Errorf("month %d: %v mol with lamps", l.Month, got)
		}
		days := float64(sky.DaysIn(l.Month))
		if want := float64(l.Add) * s.Bed.Area.SquareMetres() / 2.5e-6 / 3.6e6 * days; math.Abs(l.Energy.KilowattHours()-want) > 1e-6 {
			t.Errorf("%v kWh, want %v", l.Energy.KilowattHours(), want)
		}
	}
	for _, l := range s.Lamps(Lighting{20 * unit.MicromolePerSquareMetreSecond, unit.Day, 2.5 * unit.MicromolePerJoule}) {
		if l.Enough && l.Add > 2 || l.On > 24*unit.Hour {
			t.Errorf("a weak lamp: %+v", l)
		}
	}
}
