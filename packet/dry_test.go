package packet

import (
	"testing"

	"raftwright/unit"
)

// A bed into which no meter can be dipped is told as dry, one in which water stands a finger high is not.
func TestFromWhenABedIsDry(t *testing.T) {
	for deep, want := range map[unit.Length]bool{0: true, 0.05 * unit.Millimetre: true, 9.9 * unit.Millimetre: true, 10 * unit.Millimetre: false, 20 * unit.Millimetre: false} {
		if dries(deep) != want {
			t.Errorf("%v mm deep: dry is %v", float64(deep/unit.Millimetre), !want)
		}
	}
}
