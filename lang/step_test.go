package lang

import (
	"testing"

	"raftwright/finding"
	"raftwright/unit"
)

// A step of the working prints which of several it is before the phrase of its ID; a
// formula in symbols stands as it is.
func TestStepIsWorded(t *testing.T) {
	said := finding.Step{Of: []any{"2x8", 6 * unit.Inch}, Name: "work.frame.rain_depth", Formula: "h + rain",
		Inputs: []finding.Input{finding.In("h", 1, "m"), finding.In("work.frame.end_wall", 2, "work.cut.minor")}, Unit: "m"}
	s := printer(t, US).Step(said)
	if s.Name != "2x8, 6 in: depth after this rain" || s.Formula != "h + rain" || s.Unit != "m" || s.Inputs[0] != said.Inputs[0] ||
		s.Inputs[1] != finding.In("end wall", 2, "minor units of money") || said.Inputs[1].Symbol != "work.frame.end_wall" {
		t.Errorf("%+v", s)
	}
}
