package season

import (
	"math"
	"testing"

	"raftwright/pool"
	"raftwright/unit"
)

// What a raft drinks of the water use of grass: its basal start without leaves and
// FAO-56's full coefficient under them (tables 12 and 17: 0.15 and 1.00 for lettuce);
// open water, 1.05 (table 12), in the gaps that leaves do not shade.
func TestLineEvaporation(t *testing.T) {
	m := &maker{}
	m.Crop, m.Bed = get(t, "lettuce_leaf"), pool.Bed{Gap: 0.10}
	for cover, want := range map[float64]float64{0: 0.15 + 1.05*0.10, 0.5: 0.15 + 0.85*0.5 + 1.05*0.10*0.5, 1: 1.00} {
		if got := need(m.Crop.Water, m.Bed, cover); math.Abs(got-want) > 1e-9 {
			t.Errorf("with %v of the ground under leaves: %v, want %v", cover, got, want)
		}
	}
	m.Bed.Gap = 0 // not known: a twentieth
	if got := need(m.Crop.Water, m.Bed, 0); math.Abs(got-(0.15+1.05*0.05)) > 1e-9 {
		t.Errorf("gaps that nobody measured: %v", got)
	}
}

// The level may fall by an inch before the bed is topped up: it keeps the pots wet
// (common practice).
func TestLineTopUp(t *testing.T) {
	m := &maker{}
	m.Crop, m.Bed, m.Screen.Thirst = get(t, "lettuce_leaf"), pool.Bed{Area: 3 * unit.SquareMetre, Gap: 0.05}, 1
	m.Thirst = 1
	got := m.thirst(5.08 * unit.MillimetrePerDay) // a fifth of an inch a day
	if math.Abs(got.TopUp.Days()-5) > 1e-9 || math.Abs(got.Full.Litres()-5.08*3) > 1e-9 {
		t.Errorf("%v days between top-ups, %v L a day", got.TopUp.Days(), got.Full.Litres())
	}
}
