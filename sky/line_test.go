package sky

import (
	"math"
	"testing"

	"raftwright/unit"
)

// What keeps the light off keeps only the part of the drying off that the sun does,
// taken as six tenths of it (own judgement; the radiation term of FAO-56's examples 17
// and 18 is about seven tenths of their ET0): half of the light, 0.7 of the thirst.
func TestLineDryingUnderShade(t *testing.T) {
	for light, want := range map[float64]float64{1: 1, 0.5: 0.7, 0.25: 0.55} {
		s, _ := Open.Screen(unit.Fraction(light))
		if math.Abs(float64(s.Thirst)-want) > 1e-9 {
			t.Errorf("%v of the light: %v of the thirst, want %v", light, float64(s.Thirst), want)
		}
	}
	if s, _ := Shade.Screen(0); math.Abs(float64(s.Thirst)-0.7) > 1e-9 {
		t.Errorf("a shade cloth nobody measured takes half of the light: %v of the thirst", float64(s.Thirst))
	}
}
