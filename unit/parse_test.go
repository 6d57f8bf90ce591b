package unit

import (
	"errors"
	"math"
	"strings"
	"testing"
	"unicode/utf8"
)

// Signs as web pages, word processors, phones and laboratories write them
// (The Unicode Standard 17.0, names list), in each the value in inches.
func TestWhatPeoplePasteIsRead(t *testing.T) {
	for text, inch := range map[string]float64{
		"8\u00a0ft": 96, "8\u202fft": 96, "8\u2009ft": 96, "8\u2003ft": 96, "8\tft": 96, "  8   ft  ": 96,
		"6 1/2\u201d": 6.5, "6-1/2\u2033": 6.5, "8\u2019": 96, "8\u2032": 96, "4\u20196\u201d": 54, "4'6''": 54, "4\u2032\u00a06\u2033": 54,
		"5⅞ in": 5.875, "5 ⅞ in": 5.875, "5-⅞ in": 5.875, "⅞\u201d": 0.875, "5⅝\"": 5.625, "2⅜ in": 2.375, "1⅛ in": 1.125,
		"1¼ in": 1.25, "1½ in": 1.5, "¾ in": 0.75, "3⅓ ft": 40, "⅔ ft": 8, "5\u20447/8 in": -1, "5-7\u20448 in": 5.875, "5 7\u22158 in": 5.875,
		"\u22122 in": -2, "\u20132 in": -2, "1\u20111/2 in": 1.5, "6-inch": 6, "6-mil": 0.006, "6 in.": 6, "4 ft. 6 in.": 54, "4 ft, 6 in": 54,
		"1,5 ft": 18, "1,25 ft": 15, "0,125 in": 0.125, "1 200 ft": -1, "1\u202f200 ft": 14400, "1\u00a0200 in": 1200,
		"1,200.5 in": 1200.5, "1.200,5 in": 1200.5, "1,200,000 in": 1.2e6, "1,200-1/2 in": 1200.5, "1,2000 ft": 14.4, "1234,567 in": 1234.567,
		"1\u202f200,5 in": 1200.5, "12\u202f345\u202f678 in": 12345678, "9/8 in": 1.125, "0 ft 6 in": 6, "5-0/8 in": 5, "1 yd 2 ft 3 in": 63, "1e1 in": 10,
		"1 m 20 cm": 1.2 / 0.0254, "+6 in": 6,
	} {
		got, err := ParseLength(text)
		if inch < 0 && !strings.HasPrefix(Plain(text), "-") {
			if err == nil {
				t.Errorf("%q is read as %v", text, got)
			}
			continue
		}
		if err != nil || math.Abs(got.Inches()-inch) > 1e-9*math.Max(1, math.Abs(inch)) {
			t.Errorf("%q = %v in, %v; want %v", text, got.Inches(), err, inch)
		}
	}
	for text, celsius := range map[string]float64{"25 ℃": 25, "25℃": 25, "77 ℉": 25, "25 ºC": 25, "25 ° C": 25, "25 ˚C": 25, "\u22124\u00a0°C": -4, "300.15 \u212a": 27} {
		if got, err := ParseTemperature(text); err != nil || math.Abs(got.Celsius()-celsius) > 1e-9 {
			t.Errorf("%q = %v, %v; want %v", text, got, err, celsius)
		}
	}
	for text, square := range map[string]float64{"3 m²": 3, "3\u00a0m2": 3, "32 ft²": 32 * 0.3048 * 0.3048} {
		if got, err := AreaKind.Parse(text); err != nil || math.Abs(got-square) > 1e-9 {
			t.Errorf("%q = %v, %v; want %v", text, got, err, square)
		}
	}
	for text, want := range map[string]Reading{
		"300 \u00b5g/L": {Value: 0.3}, "300 \u03bcg/L": {Value: 0.3}, "40\u201360 mg/L": {Value: 50, Low: 40, High: 60}, "1\u00a0200 mg/l": {Value: 1200},
		"5 mg/L SO₄²⁻": {Value: 5, Form: "SO₄²⁻"}, "5 mg/L as Mg²⁺": {Value: 5, Form: "Mg²⁺"}, "1,5 mmol/L": {Value: 1.5, Scale: MoleScale},
	} {
		if got, err := ParseReading(text); err != nil || got != want {
			t.Errorf("%q = %+v, %v; want %+v", text, got, err, want)
		}
	}
}

// What cannot be meant is refused, each with its reason.
func TestParseErrors(t *testing.T) {
	for text, code := range map[string]string{
		"": "unit.fault.empty", "  \u00a0": "unit.fault.empty", "in": "unit.fault.no_number", "NaN in": "unit.fault.no_number", "-": "unit.fault.no_number", "--1 in": "unit.fault.no_number",
		"6": "unit.fault.no_unit", "6 in 4": "unit.fault.no_unit", "6 in tall": "unit.fault.rest", "6\u200b in": "unit.fault.not_unit",
		"6 gal": "unit.fault.other_kind", "8 m2": "unit.fault.other_kind", "6 inchs": "unit.fault.near_unit", "6 furlongs": "unit.fault.not_unit",
		"1/0 in": "unit.fault.not_unit", "1.2.3 m": "unit.fault.not_unit", "1.5/2 in": "unit.fault.not_unit", "5² in": "unit.fault.not_unit",
		"1e999 m": "unit.fault.not_finite", "9e307 mi": "unit.fault.not_finite",
		"5-9/8 ft": "unit.fault.fraction", "5 8/8 in": "unit.fault.fraction", "4 ft 5-9/8 in": "unit.fault.fraction",
		"8 ft 8 ft": "unit.fault.order", "6 in 4 ft": "unit.fault.order", "4 ft 2 feet": "unit.fault.order", "1 ft 1 yd": "unit.fault.order",
		"2 ft 3 m": "unit.fault.mixed", "2 m 3 in": "unit.fault.mixed", "1 m 1 ft": "unit.fault.mixed",
		"4 ft 12 in": "unit.fault.over", "1 m 150 cm": "unit.fault.over",
		"1 ft -2 in": "unit.fault.minus_inside", "1 ft +2 in": "unit.fault.minus_inside",
		"1 mi 1 yd 1 ft 1 in 1 mil": "unit.fault.many_parts",
		"1,2,3 ft":                  "unit.fault.comma", "12,34,567 ft": "unit.fault.comma", "1,20,5 ft": "unit.fault.comma", "1.20.3,5 ft": "unit.fault.comma", "1,200\u202f000 ft": "unit.fault.comma",
		"1,200 ft": "unit.fault.two_ways", "-12,500 mm": "unit.fault.two_ways",
		strings.Repeat("1", 101): "unit.fault.long",
	} {
		_, err := ParseLength(text)
		var p *ParseError
		if !errors.As(err, &p) || p.Code != code {
			t.Errorf("%q: %v; want %s", text, err, code)
			continue
		}
		if said, ok := p.Args["Text"].(string); !ok || utf8.RuneCountInString(said) > 43 { // 40 letters and three points
			t.Errorf("%q: the error does not say what was written, or all of it: %q", text, said)
		}
	}
	if _, err := TemperatureKind.Parse("5 C 3 C"); code(err) != "unit.fault.two_numbers" {
		t.Error(err)
	}
	if _, err := VolumeKind.Parse("1 gal 1 L"); code(err) != "unit.fault.mixed" {
		t.Error(err)
	}
	for text, want := range map[string]string{"": "unit.fault.empty_reading", "78": "unit.fault.no_unit_reading", "<5 mg/L": "unit.fault.below_limit", "5 mg/M": "unit.fault.near_reading",
		"5 gpm": "unit.fault.near_reading", "5 ounces": "unit.fault.not_reading", "10- mg/L": "unit.fault.range_end", "60-40 mg/L": "unit.fault.range_falls", "1,200 mg/L": "unit.fault.two_ways"} {
		if _, err := ParseReading(text); code(err) != want {
			t.Errorf("%q: %v; want %s", text, err, want)
		}
	}
	for text, want := range map[string]string{"": "unit.fault.not_number", "8 ft": "unit.fault.not_number", "1-3/2": "unit.fault.fraction", "1,200": "unit.fault.two_ways"} {
		if _, err := ParseNumber(text); code(err) != want {
			t.Errorf("%q: %v; want %s", text, err, want)
		}
	}
}

func code(err error) string {
	var p *ParseError
	if errors.As(err, &p) {
		return p.Code
	}
	return ""
}

// A comma before three digits is between thousands or a decimal one; both are
// given, and each is written so that it reads back to itself alone.
func TestSenses(t *testing.T) {
	for _, c := range []struct {
		text  string
		feet  []float64
		plain []string
	}{
		{"1,200 ft", []float64{1200, 1.2}, []string{"1200 ft", "1.200 ft"}},
		{"-12,500 ft", []float64{-12500, -12.5}, []string{"-12500 ft", "-12.500 ft"}},
		{"1,200 ft 6 in", []float64{1200.5, 1.7}, []string{"1200 ft 6 in", "1.200 ft 6 in"}},
		{"0,200 ft", []float64{0.2}, []string{"0.200 ft"}},
		{"1200,500 ft", []float64{1200.5}, []string{"1200.500 ft"}},
		{"1,200.0 ft", []float64{1200}, []string{"1200.0 ft"}},
		{"1,200 ft 2,5 in", []float64{1.2 + 2.5/12}, []string{"1.200 ft 2.5 in"}},
		{"8 ft", []float64{8}, []string{"8 ft"}},
	} {
		all, err := LengthKind.Senses(c.text)
		if err != nil || len(all) != len(c.feet) {
			t.Errorf("%q: %v, %v", c.text, all, err)
			continue
		}
		for i, s := range all {
			if math.Abs(s.Value/0.3048-c.feet[i]) > 1e-9 || s.Plain != c.plain[i] {
				t.Errorf("%q: sense %d is %v (%q), want %v (%q)", c.text, i, s.Value/0.3048, s.Plain, c.feet[i], c.plain[i])
			}
			if back, err := LengthKind.Parse(s.Plain); err != nil || back != s.Value {
				t.Errorf("%q reads back as %v, %v; want %v", s.Plain, back, err, s.Value)
			}
		}
	}
	if all, err := NumberSenses("1,200"); err != nil || len(all) != 2 || all[0].Value != 1200 || all[1].Value != 1.2 {
		t.Error(all, err)
	}
	if all, err := ReadingSenses("1,200-1,500 mg/L"); err != nil || len(all) != 2 || all[0].Value.High != 1500 || all[1].Value.High != 1.5 {
		t.Error(all, err)
	}
}

// Two lengths joined by a cross.
func TestPair(t *testing.T) {
	for text, want := range map[string][2]string{
		"4 ft × 8 ft": {"4 ft", "8 ft"}, "4 ft x 8 ft": {"4 ft", "8 ft"}, "48 x 96 in": {"48 in", "96 in"}, "1.2m×2.4m": {"1.2m", "2.4m"}, "4' X 8'": {"4'", "8'"},
		"4 ft by 8 ft": {"4 ft", "8 ft"}, "1½×2 in": {"1½ in", "2 in"},
	} {
		if a, b, ok := Pair(text); !ok || a != want[0] || b != want[1] {
			t.Errorf("%q is %q and %q, %v; want %q", text, a, b, ok, want)
		}
	}
	for _, text := range []string{"", "8 ft", "x", "4 ft x", "x 8 ft", "2x4x8 ft", "4 ft 8 ft", "max"} {
		if a, b, ok := Pair(text); ok {
			t.Errorf("%q is taken for %q and %q", text, a, b)
		}
	}
}

// Whatever is written, it is read in bounded time into a finite number or refused
// with a code; what is read reads back from its plain form.
func FuzzParse(f *testing.F) {
	for i, s := range []string{"1-1/2 in", "4 ft 6 in", "86 F", "12 gr/gal", "1e400 m", "½", "1/0 in", "--1 in", "5 %", "1,200 ft", "1.200,5 m", "4’6”", "5\u00a0℃", "1 200 L", "40–60 mg/L as NO3", "4 ft × 8 ft"} {
		f.Add(s, byte(i))
	}
	kinds := Kinds()
	f.Fuzz(func(t *testing.T, s string, which byte) {
		k := kinds[int(which)%len(kinds)]
		all, err := k.Senses(s)
		sound(t, s, all, err, k.Parse)
		for _, v := range all {
			if !finite(v.Value) {
				t.Fatalf("%q gave %v", s, v)
			}
		}
	})
}

// FuzzNumber reads what has no unit, and pairs.
func FuzzNumber(f *testing.F) {
	for _, s := range []string{"1-1/2", "½", "1e400", "--1", "1,200", "1.200,5", "1 200", "4 ft × 8 ft", "48 x 96 in"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		all, err := NumberSenses(s)
		sound(t, s, all, err, ParseNumber)
		for _, v := range all {
			if !finite(v.Value) {
				t.Fatalf("%q gave %v", s, v)
			}
		}
		Pair(s)
	})
}

// FuzzReading reads what a laboratory prints.
func FuzzReading(f *testing.F) {
	for _, s := range []string{"12 gr/gal", "40–60 mg/L as NO3", "5 mg/L SO₄²⁻", "1\u00a0200 mg/l", "1,5 mmol/L", "<5 mg/L", "210 mg/L CaCO3"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		all, err := ReadingSenses(s)
		sound(t, s, all, err, ParseReading)
		for _, r := range all {
			if v := r.Value; !finite(v.Value, v.Low, v.High) {
				t.Fatalf("%q gave %+v", s, v)
			}
		}
	})
}

// FuzzQuantity is the small one: one quantity, read once.
func FuzzQuantity(f *testing.F) {
	kinds := Kinds()
	for i, s := range []string{"1-1/2 in", "4 ft 6 in", "86 F", "12 gr/gal", "1e400 m", "½ cup", "1/0 in", "-0 C", "5 %", "1,200 ft"} {
		f.Add(byte(i), s)
	}
	f.Fuzz(func(t *testing.T, which byte, s string) {
		v, err := kinds[int(which)%len(kinds)].Parse(s)
		if bad := (*ParseError)(nil); err != nil && (!errors.As(err, &bad) || bad.Code == "") || err == nil && !finite(v) {
			t.Fatalf("%q gave %v, %v", s, v, err)
		}
	})
}

func finite(all ...float64) bool {
	for _, v := range all {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return false
		}
	}
	return true
}

func sound[V comparable](t *testing.T, s string, all []Sense[V], err error, parse func(string) (V, error)) {
	t.Helper()
	if err != nil {
		if len(all) > 0 || code(err) == "" || utf8.RuneCountInString(err.(*ParseError).Args["Text"].(string)) > 43 {
			t.Fatalf("%q: %v with %v", s, err, all)
		}
		return
	}
	if len(all) < 1 || len(all) > 2 {
		t.Fatalf("%q has %d senses", s, len(all))
	}
	for _, v := range all {
		if back, err := parse(v.Plain); err != nil || back != v.Value {
			t.Fatalf("%q reads as %v, but its plain form %q as %v, %v", s, v.Value, v.Plain, back, err)
		}
	}
}

// Two letters swapped are one slip: the worked pairs of the edit distance ("kitten" and "sitting" 3, "saturday" and "sunday" 3:
// Wagner and Fischer 1974, from memory), and of the distance with swaps ("ca" and "abc" 3 where no letter moves twice).
func TestLettersThatDiffer(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want int
	}{{"kitten", "sitting", 3}, {"saturday", "sunday", 3}, {"ca", "abc", 3}, {"depht", "depth", 1}, {"lenght", "length", 1}, {"", "abc", 3}, {"same", "same", 0}} {
		if got, back := Letters(c.a, c.b), Letters(c.b, c.a); got != c.want || back != c.want {
			t.Errorf("%q and %q: %d and %d, want %d", c.a, c.b, got, back, c.want)
		}
	}
}
