package plan

import (
	"testing"

	"raftwright/crop"
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
		s := p.Raft.Job.Spacing
		if s > max(k.Spacing.Max, 4*unit.Inch)+1e-9 || s < k.Spacing.Min-1e-9 || s < 4*unit.Inch-1e-9 {
			t.Errorf("%s stands %v in apart, outside of its row", k.ID, s.Inches())
		}
		if k.ID != "lettuce_baby" && !k.Plants.Holds(crop.Density(p.Raft.PerSquareMetre)) { // which grows in trays
			t.Errorf("%s stands %.1f to the square meter, outside of its row", k.ID, p.Raft.PerSquareMetre)
		}
		if p.Raft.Job.HeadMass != k.Mass.Max {
			t.Errorf("%s weighs %v on the raft", k.ID, p.Raft.Job.HeadMass)
		}
		if !assumes(p, AssumeSpacing) || !assumes(p, AssumeHeadMass) {
			t.Errorf("%s: spacing and weight are not told", k.ID)
		}
	}
}
