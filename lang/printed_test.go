package lang_test

import (
	"math"
	"testing"

	"raftwright/lang"
	"raftwright/unit"
)

// A quantity that is printed in either language may be typed as it is printed; so may the names that Spanish has for units.
func TestPrintedQuantitiesAreRead(t *testing.T) {
	for _, tag := range []string{"en", "es"} {
		for _, units := range []lang.Units{lang.US, lang.Metric} {
			w, err := lang.For(tag, units)
			if err != nil {
				t.Fatal(err)
			}
			near := func(printed string, k *unit.Kind, want float64) {
				t.Helper()
				if got, err := k.Parse(printed); err != nil || math.Abs(got-want) > 0.03*want {
					t.Errorf("%s: %q is read as %g, not %g: %v", tag, printed, got, want, err)
				}
			}
			for _, x := range []unit.Length{3 * unit.Inch, 5.25 * unit.Inch, 97 * unit.Inch, 49.5 * unit.Inch} {
				near(w.Value(x), unit.LengthKind, float64(x))
			}
			for _, x := range []unit.Volume{2 * unit.Gallon, 123 * unit.Gallon} {
				near(w.Value(x), unit.VolumeKind, float64(x))
			}
			for _, x := range []unit.Mass{2.5 * unit.Pound, 40 * unit.Pound} {
				near(w.Value(x), unit.MassKind, float64(x))
			}
			near(w.Value(32*unit.SquareFoot), unit.AreaKind, float64(32*unit.SquareFoot))
		}
	}
	for _, x := range []struct {
		typed string
		kind  *unit.Kind
		want  float64
	}{
		{"8 pies", unit.LengthKind, float64(8 * unit.Foot)}, {"8 pies 1 pulg", unit.LengthKind, float64(97 * unit.Inch)}, {"5-1/4 pulgadas", unit.LengthKind, float64(5.25 * unit.Inch)},
		{"2 galones", unit.VolumeKind, float64(2 * unit.Gallon)}, {"1.5 litros", unit.VolumeKind, float64(1.5 * unit.Litre)}, {"2 cucharaditas", unit.VolumeKind, float64(2 * unit.Teaspoon)},
		{"3 libras", unit.MassKind, float64(3 * unit.Pound)}, {"10 días", unit.DurationKind, 864000},
	} {
		if got, err := x.kind.Parse(x.typed); err != nil || math.Abs(got-x.want) > 1e-9*x.want {
			t.Errorf("%q is read as %g, not %g: %v", x.typed, got, x.want, err)
		}
	}
}
