package unit

import (
	"math"
	"testing"
)

// A town prints ranges; a fraction is none.
func TestReadingRange(t *testing.T) {
	for text, want := range map[string]Reading{
		"40-60 mg/L":          {Value: 50, Low: 40, High: 60},
		"40 – 60 mg/L as NO3": {Value: 50, Low: 40, High: 60, Form: "NO3"},
		"0 to 5 mg/L":         {Value: 2.5, Low: 0, High: 5},
		"2-4 meq/L":           {Value: 3, Low: 2, High: 4, Scale: EquivalentScale},
		"1-1/2 mg/L":          {Value: 1.5},
		"100-200 ug/L":        {Value: 0.15, Low: 0.1, High: 0.2},
	} {
		got, err := ParseReading(text)
		if err != nil || math.Abs(got.Value-want.Value) > 1e-12 || math.Abs(got.High-want.High) > 1e-12 || math.Abs(got.Low-want.Low) > 1e-12 || got.Form != want.Form || got.Scale != want.Scale {
			t.Errorf("%q: %+v, %v; want %+v", text, got, err, want)
		}
		if got.IsRange() != (want.High > 0) {
			t.Errorf("%q is a range: %v", text, got.IsRange())
		}
	}
	for _, text := range []string{"60-40 mg/L", "10- mg/L", "10-x mg/L", "-5-10 mg/L", "5-9", "5-1e400 mg/L", "5 - 9 - 12 mg/L"} {
		if got, err := ParseReading(text); err == nil {
			t.Errorf("%q is read as %+v", text, got)
		}
	}
}
