package brief

import (
	"regexp"
	"testing"

	"pgregory.net/rapid"
)

// A reading in ppm is what this expression says.
func TestPPMText(t *testing.T) {
	says := regexp.MustCompile(`(?i)^\s*([0-9][0-9.]*)\s*ppm(?:\s*\(?(500|640|700)\)?)?\s*$`)
	check := func(t interface{ Fatalf(string, ...any) }, text string) {
		number, scale, ok := ppmText(text)
		m := says.FindStringSubmatch(text)
		if ok != (m != nil) || ok && (number != m[1] || scale != m[2]) {
			t.Fatalf("%q: %q %q %v, want %q", text, number, scale, ok, m)
		}
	}
	for _, s := range []string{"", "ppm", "700 ppm", "700ppm(640)", " 7.5 PPM 500 ", "700 ppm (500", "700 ppm ()", "700 ppm (", ".5 ppm", "-1 ppm", "700 ppm 600", "700 ppm ppm", "700", "700 ppm\n", "1.2.3 ppm 700)"} {
		check(t, s)
	}
	parts := rapid.SampledFrom([]string{"700", "1.5", " ", "ppm", "PPM", "500", "640", "700", "(", ")", ".", "-", "x", "\n"})
	rapid.Check(t, func(t *rapid.T) {
		text := ""
		for _, p := range rapid.SliceOfN(parts, 0, 6).Draw(t, "parts") {
			text += p
		}
		check(t, text)
	})
}
