package mix

import (
	"math"
	"testing"

	"raftwright/unit"
)

// An EC that the shelf cannot reach, or that the water has already passed, ends
// with the nearest mix and says so; it never hangs and never asks for thousands.
func TestECOutOfReach(t *testing.T) {
	water := Water{}
	water.Ions.Na, water.Ions.Cl = 3, 3 // about 0.37 mS/cm before anything is added
	for name, m := range map[string]Material{
		"potassium nitrate": {Name: "a", Formula: "KNO3"}, "table salt": {Name: "a", Formula: "NaCl"}, "boric acid": {Name: "a", Formula: "H3BO3"},
	} {
		for _, ec := range []float64{0.01, 0.2, 1.6, 20} {
			got, err := Solve(Job{Water: water, Shelf: []Material{m}, Measure: Measure{Kind: Scale, Step: unit.Gram}, Bucket: 20 * unit.Litre,
				Target: Target{Recipe: "lettuce", EC: unit.Conductivity(ec) * unit.MillisiemensPerCentimetre}}, library)
			if err != nil {
				t.Errorf("%s to %g mS/cm: %v", name, ec, err)
				continue
			}
			missed := false
			for _, f := range got.Findings {
				missed = missed || f.ID == FindNoEC
			}
			reached := math.Abs(got.EC.MillisiemensPerCentimetre()-ec) < 0.05*ec
			if missed == reached {
				t.Errorf("%s to %g mS/cm: EC %g, said to be missed: %v", name, ec, got.EC.MillisiemensPerCentimetre(), missed)
			}
			for _, w := range got.Wishes {
				if missed && ec < 2 && w.Level > 1000*unit.MilligramPerLitre {
					t.Errorf("%s to %g mS/cm: wants %g mg/L of %s", name, ec, w.Level.MilligramsPerLitre(), w.Nutrient)
				}
			}
		}
	}
}
