package plan

import (
	"math"
	"testing"

	"raftwright/unit"
)

// Spacing, head and seed are of the crop's own row, for every crop: no spinach at the 12 in
// of a lettuce. Plants stand no closer than a hole and the foam's thickness between holes.
func TestRaftIsOfTheCrop(t *testing.T) {
	for _, k := range DefaultBook().Crops.Crops() {
		p := made(t, Raft|Frame|Cost, "crop: {name: "+k.ID+"}\nbed: {}\n")
		if p.Raft == nil || p.Cost == nil {
			t.Fatalf("%s: no raft or no cost: %v", k.ID, p.Findings)
		}
		if want := max(k.Spacing.Max, 4*unit.Inch); math.Abs(float64(p.Raft.Job.Spacing-want)) > 1e-9 {
			t.Errorf("%s stands %v in apart, want %v", k.ID, p.Raft.Job.Spacing.Inches(), want.Inches())
		}
		if p.Raft.Job.HeadMass != k.Mass.Max {
			t.Errorf("%s weighs %v on the raft", k.ID, p.Raft.Job.HeadMass)
		}
		if !assumes(p, AssumeSpacing) || !assumes(p, AssumeHeadMass) {
			t.Errorf("%s: spacing and weight are not told", k.ID)
		}
	}
}
