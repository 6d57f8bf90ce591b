package lang

import (
	"testing"

	"raftwright/finding"
	"raftwright/unit"
)

// A step of the working prints the phrase of its ID with its figures in place; a
// formula in symbols stands as it is.
func TestStepIsWorded(t *testing.T) {
	name, formula := printer(t, US).Step(finding.Step{Name: "work.frame.rain_depth", Formula: "h + rain", Args: finding.Args{"Rain": 6 * unit.Inch}})
	if name != "depth after 6 in of rain" || formula != "h + rain" {
		t.Errorf("%q, %q", name, formula)
	}
}
