package tend

import (
	"errors"
	"testing"

	"raftwright/finding"
	"raftwright/unit"
)

// What may be supposed ends at a foot of rain and thirty days away, and the fault tells both ends (own choice: no forecast goes farther).
func TestHowFarItIsSupposed(t *testing.T) {
	for text, right := range map[string]bool{"away=30d": true, "away=31d": false, "rain=12in": true, "rain=12.1in": false, "rain=-1in": false, "power=off": true, "power=on": false} {
		_, err := Supposed([]string{text})
		if (err == nil) != right {
			t.Errorf("%s: %v", text, err)
		}
		var f finding.Fault
		if err != nil && (!errors.As(err, &f) || f.Args["Rain"] != unit.Foot || f.Args["Away"] != 30*unit.Day) {
			t.Errorf("%s: %+v", text, err)
		}
	}
}
