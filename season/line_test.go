package season

import (
	"math"
	"raftwright/sky"
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

// A stand ends in a freeze where that is likelier than the crop's own chance over the whole stand, and the days beyond the span that its window rests on bring it
// in more than one year of ten (own choice): a crop that is slower than its window is not planted into winter, and one that is not slower is as its window says.
func TestLineFreezeEndsASlowStand(t *testing.T) {
	j := Job{Climate: station(t, 42.4, -76.5, 250), Crop: get(t, "lettuce_leaf"), Holes: 64, Schedule: schoolYear()}
	m := NewGround(j).open(j)
	_, chance := m.Crop.Killing()
	ends, stays, late := 0, 0, 0
	for from := 0; from < 365; from += 7 {
		span := m.freeze.spans[from]
		for _, days := range []int{span, span + 14, span + 60} {
			whole, beyond := m.freeze.freeze.Chance(sky.DayOfYear(from+1), days), m.freeze.freeze.Chance(sky.DayOfYear(from+span+1), days-span)
			want := whole > chance && beyond > 0.1
			if got := m.kills(from, days); got != want {
				t.Errorf("day %d, %d days of %d: %v; a freeze in %v of the stand, %v of its end", from+1, days, span, got, whole, beyond)
			}
			switch {
			case want:
				ends++
			case whole > chance:
				late++ // killed in spring, or by the window
			default:
				stays++
			}
		}
	}
	if ends == 0 || stays == 0 || late == 0 {
		t.Errorf("%d end, %d stay, %d are not the stand's", ends, stays, late)
	}
}
