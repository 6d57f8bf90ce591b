package unit

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func TestParseLength(t *testing.T) {
	for _, c := range []struct {
		in   string
		inch float64
	}{
		{"8 ft", 96}, {"6 in", 6}, {"1-1/2 in", 1.5}, {"1 1/2 in", 1.5}, {"1½ in", 1.5}, {"½ in", 0.5},
		{"3/4 in", 0.75}, {"4 ft 6-1/2 in", 54.5}, {"4'6\"", 54}, {"4' 6 1/2\"", 54.5}, {"2.54 cm", 1},
		{"25.4mm", 1}, {"1.2 m", 1.2 / 0.0254}, {"6 mil", 0.006}, {"-1-1/2 in", -1.5}, {"8 FT", 96}, {"1e1 in", 10},
		{"8ft 1in", 97}, {".5 in", 0.5}, {"-1 ft 6 in", -18},
	} {
		got, err := ParseLength(c.in)
		if err != nil {
			t.Errorf("%q: %v", c.in, err)
			continue
		}
		if math.Abs(got.Inches()-c.inch) > 1e-9 {
			t.Errorf("%q = %v in, want %v", c.in, got.Inches(), c.inch)
		}
	}
}

func TestParseTemperature(t *testing.T) {
	for in, want := range map[string]float64{"86 F": 30, "25 C": 25, "-4 C": -4, "32 °F": 0, "273.15 K": 0} {
		got, err := ParseTemperature(in)
		if err != nil || math.Abs(got.Celsius()-want) > 1e-9 {
			t.Errorf("%q = %v, %v; want %v", in, got, err, want)
		}
	}
}

// Label and kitchen measures: NIST SP 811 appendix B (from memory) and the
// measures of the trade; grains per gallon 17.118 mg/L is the textbook figure.
func TestParseReading(t *testing.T) {
	for _, c := range []struct {
		in    string
		scale Scale
		value float64
		form  string
	}{
		{"78 mg/L", MassScale, 78, ""}, {"210 mg/L CaCO3", MassScale, 210, "CaCO3"}, {"40 ppm as NO3", MassScale, 40, "NO3"},
		{"4.2 meq/L", EquivalentScale, 4.2, ""}, {"12 gr/gal", HardnessScale, 12 * 17.1181, ""},
		{"10 °dH", HardnessScale, 178.48, ""}, {"0.1 mmol/L", MoleScale, 0.1, ""}, {"300 ug/L", MassScale, 0.3, ""},
	} {
		got, err := ParseReading(c.in)
		if err != nil || got.Scale != c.scale || got.Form != c.form || math.Abs(got.Value/c.value-1) > 1e-4 {
			t.Errorf("%q = %+v, %v; want %+v", c.in, got, err, c)
		}
	}
	for _, in := range []string{"78", "mg/L", "<5 mg/L", "78 mg/Ls", ""} {
		if got, err := ParseReading(in); err == nil {
			t.Errorf("%q = %+v, want an error", in, got)
		}
	}
}

func TestTape(t *testing.T) {
	for _, c := range []struct {
		l    Length
		way  Rounding
		want string
	}{
		{97 * Inch, Nearest, "97 in"}, {49.5 * Inch, Nearest, "49-1/2 in"}, {0.625 * Inch, Nearest, "5/8 in"},
		{47.99 * Inch, Down, "47-15/16 in"}, {47.99 * Inch, Up, "48 in"}, {Length(1.0), Nearest, "39-3/8 in"},
		{-1.5 * Inch, Nearest, "-1-1/2 in"}, {0, Nearest, "0 in"},
	} {
		if got := c.l.Tape(16, c.way); got != c.want {
			t.Errorf("%v: %q, want %q", c.l, got, c.want)
		}
	}
	if got := (97 * Inch).FeetTape(16, Nearest); got != "8 ft 1 in" {
		t.Error(got)
	}
	if got := (48 * Inch).FeetTape(16, Nearest); got != "4 ft" {
		t.Error(got)
	}
}

// A printed tape mark reads back to the same mark.
func TestTapeRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(0, 16*1200).Draw(t, "sixteenths")
		l := Length(n) * Inch / 16
		for _, s := range []string{l.Tape(16, Nearest), l.FeetTape(16, Nearest)} {
			back, err := ParseLength(s)
			if err != nil || math.Abs(float64(back-l)) > 1e-9 {
				t.Fatalf("%q reads back as %v (%v), want %v", s, back, err, l)
			}
		}
	})
}

// The base units are one, and the customary ones what NIST SP 811 (2008), appendix B,
// gives for them (from memory).
func TestUnitsInSI(t *testing.T) {
	for name, c := range map[string]struct{ got, want float64 }{
		"kilogram": {float64(Kilogram), 1}, "meter": {float64(Metre), 1}, "square meter": {float64(SquareMetre), 1},
		"pound": {float64(Pound), 0.45359237}, "ounce": {float64(Ounce), 0.028349523}, "foot": {float64(Foot), 0.3048},
		"pound-force on a foot": {float64(PoundForcePerFoot), 14.59390}, "square foot": {float64(SquareFoot), 0.09290304},
	} {
		if math.Abs(c.got-c.want) > 1e-6*c.want {
			t.Errorf("one %s is %v in SI units, not %v", name, c.got, c.want)
		}
	}
}
