package lang

import (
	"math"
	"testing"
	"time"

	"raftwright/cost"
	"raftwright/finding"
	"raftwright/unit"
)

// Every kind of figure in both systems. The factors are those of NIST SP 811,
// worked by hand: 1 ft2 is 0.09290304 m2, 1 lb/ft3 16.01846 kg/m3, 1 lbf 4.448222 N,
// 1 lb/ft 14.59390 N/m, 1 mile an hour 0.44704 m/s, 1 gal 3.785412 L.
func TestEveryKindOfFigure(t *testing.T) {
	us, si := printer(t, US), printer(t, Metric)
	for _, c := range []struct {
		v      any
		us, si string
	}{
		{unit.Area(2.973), "32 ft²", "2.97 m²"},
		{unit.Density(400.46), "25 lb/ft³", "400 kg/m³"},
		{unit.Force(4448.22), "1,000 lb", "4,448 N"},
		{unit.LineLoad(1459.39), "100 lb/ft", "1,459 N/m"},
		{unit.TemperatureStep(10), "18 °F", "10 °C"}, {unit.TemperatureStep(1.5), "2.7 °F", "1.5 °C"}, {unit.TemperatureStep(-1), "-1.8 °F", "-1 °C"},
		{unit.MolarConcentration(1.5), "1.5 mmol/L", "1.5 mmol/L"}, {unit.Equivalents(4.3), "4.3 meq/L", "4.3 meq/L"},
		{unit.Speed(4.4704), "10 mph", "4.5 m/s"},
		{unit.DailyRadiation(7.2e6), "7.2 MJ/m²", "7.2 MJ/m²"}, {unit.DailyLight(17), "17 mol/m²", "17 mol/m²"}, {unit.DailyLight(4.25), "4.2 mol/m²", "4.2 mol/m²"},
		{unit.PhotonFlux(200e-6), "200 µmol/m²/s", "200 µmol/m²/s"}, {unit.PhotonEfficacy(2.5e-6), "2.5 µmol/J", "2.5 µmol/J"},
		{unit.DailyDepth(0.00508), "0.2 in", "5.08 mm"},
		{unit.Power(150), "150 W", "150 W"}, {unit.Energy(3.6e6 * 12.5), "12.5 kWh", "12.5 kWh"},
		{unit.Flow(5 * 3.785412e-3 / 60), "5 gal/min", "18.9 L/min"},
		{1200 * unit.Mile, "1,200 mi", "1,931 km"}, {3 * unit.Mile, "3 mi", "4.8 km"}, {150 * unit.Metre, "492 ft", "150 m"}, {0.002 * unit.Inch, "0.002 in", "0.05 mm"}, {0.03 * unit.Inch, "0.03 in", "0.76 mm"},
		{50 * unit.Gallon, "50 gal", "189 L"}, {0.2 * unit.Gallon, "757 mL", "757 mL"}, {3 * unit.Litre, "3.2 qt", "3.0 L"}, {unit.Quart, "1 qt", "946 mL"}, {0.9 * unit.Gallon, "3.6 qt", "3.4 L"}, {0.96 * unit.Gallon, "1.0 gal", "3.6 L"},
		{0.5 * unit.Kilogram, "1.1 lb", "500 g"}, {-2 * unit.Kilogram, "-4.41 lb", "-2 kg"}, {12.4 * unit.Gram, "12 g", "12 g"}, {3 * unit.Gram, "3 g", "3 g"},
		{unit.Pressure(3e6), "435 psi", "3 MPa"},
		{5.25 * unit.MilligramPerLitre, "5.25 mg/L", "5.25 mg/L"}, {0.25 * unit.MillisiemensPerCentimetre, "0.25 mS/cm", "0.25 mS/cm"},
		{unit.Fraction(0), "0 %", "0 %"}, {unit.Fraction(0.0034), "0.34 %", "0.34 %"}, {unit.Fraction(0.05), "5 %", "5 %"}, {unit.Fraction(-0.125), "-12 %", "-12 %"}, {unit.Fraction(0.0995), "10 %", "10 %"},
		{20 * unit.Minute, "20 min", "20 min"}, {36 * unit.Hour, "36 hours", "36 hours"}, {9 * unit.Day, "9 days", "9 days"},
		{cost.Cents(-1999, "USD"), "-$19.99", "-$19.99"}, {cost.Cents(123456, "CAD"), "1,234.56 CAD", "1,234.56 CAD"}, {cost.Cents(250, "USD").Over(20), "$0.13", "$0.13"},
		{cost.About(cost.Cents(1249, "USD")), "$12", "$12"}, {cost.About(cost.Cents(999, "USD")), "$9.99", "$9.99"}, {cost.About(cost.Cents(4000, "EUR")), "40 EUR", "40 EUR"},
		{time.Time{}, "?", "?"}, {math.NaN(), "?", "?"}, {math.Inf(-1), "∞", "∞"}, {-0.0001, "-0.0001", "-0.0001"}, {7, "7", "7"}, {true, "true", "true"},
	} {
		if got := us.Value(c.v); got != c.us {
			t.Errorf("US %T %v: %q, want %q", c.v, c.v, got, c.us)
		}
		if got := si.Value(c.v); got != c.si {
			t.Errorf("metric %T %v: %q, want %q", c.v, c.v, got, c.si)
		}
	}
	if a, b := us.Feet(100*unit.Inch), si.Feet(100*unit.Inch); a != "8 ft 4 in" || b != "2540 mm" {
		t.Error(a, b)
	}
	if a, b := us.Altitude(250*unit.Metre), si.Altitude(250*unit.Metre); a != "820 ft" || b != "250 m" {
		t.Error(a, b)
	}
	if got := us.Fixed(-0.001, 2); got != "0.00" {
		t.Error(got)
	}
}

// A figure prints by its name where the name says what it is.
func TestFiguresByName(t *testing.T) {
	p := printer(t, US)
	args := finding.Args{"PH": 6.26, "Thickness": 6 * unit.Mil, "Altitude": 300 * unit.Metre}
	if got := p.fill("{{.PH}} {{.Thickness}} {{.Altitude}} {{.Other}}", args); got != "6.3 6 mil 984 ft <no value>" {
		t.Error(got)
	}
}

func TestSentencesOfARoom(t *testing.T) {
	p := printer(t, US)
	if got := p.Finding(finding.Finding{ID: "cost.loss", Args: finding.Args{"Price": cost.Cents(50, "USD"), "BreakEven": cost.Cents(191, "USD")}}); got != p.Say("cost.loss", finding.Args{"Price": cost.Cents(50, "USD"), "BreakEven": cost.Cents(191, "USD")}) || capital("añil") != "Añil" || capital("ñu") != "Ñu" || capital("") != "" {
		t.Error(got)
	}
	text, replace := p.Assumption(finding.Assumption{ID: "crop.kind", Args: finding.Args{"Cultivar": "", "Crop": "leaf lettuce"}})
	if text != "No kind was given, so we planned for leaf lettuce." || replace != "The kind that you grow, such as leaf, butterhead or romaine." {
		t.Errorf("%q, %q", text, replace)
	}
	what, right := p.Fault(finding.Fault{ID: "cost.fault.negative", Args: finding.Args{"Text": "-2 USD", "Example": "2 USD"}})
	if what != `"-2 USD" is negative` || right != "write for example 2 USD" {
		t.Errorf("%q, %q", what, right)
	}
	for _, c := range []struct {
		words []string
		want  string
	}{{nil, ""}, {[]string{"a"}, "a"}, {[]string{"a", "b"}, "a and b"}, {[]string{"a", "b", "c"}, "a, b and c"}} {
		if got := p.Join(c.words); got != c.want {
			t.Errorf("%v: %q", c.words, got)
		}
	}
}

// A plant is weighed in ounces where pounds are used, from 10 g up, so that a light head and a heavy one are told alike (1 oz is 28.349523 g: NIST Handbook 44, appendix C); a seedling, and
// what is mixed, in grams.
func TestHeadsAreInOunces(t *testing.T) {
	us, err := For("en", US)
	if err != nil {
		t.Fatal(err)
	}
	metric, err := For("en", Metric)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		grams      float64
		us, metric string
	}{{143, "5 oz", "143 g"}, {220, "7.8 oz", "220 g"}, {283.4, "10 oz", "283 g"}, {320, "11 oz", "320 g"}, {28.5, "1 oz", "28 g"}, {28, "1 oz", "28 g"}, {20, "0.7 oz", "20 g"}, {10, "0.4 oz", "10 g"}, {9.9, "9.9 g", "9.9 g"}, {0.4, "0.4 g", "0.4 g"}, {500, "1.1 lb", "500 g"}, {1200, "2.65 lb", "1.2 kg"}} {
		m := unit.Mass(c.grams) * unit.Gram
		if a, b := us.Value(unit.Head(m)), metric.Value(unit.Head(m)); a != c.us || b != c.metric {
			t.Errorf("%v g: %q and %q, not %q and %q", c.grams, a, b, c.us, c.metric)
		}
		if a, b := us.Value(unit.Bought(m)), metric.Value(unit.Bought(m)); a != c.us || b != c.metric { // as bags are sold
			t.Errorf("%v g to buy: %q and %q, not %q and %q", c.grams, a, b, c.us, c.metric)
		}
		if got := us.Value(m); c.grams < 400 && got != us.Grams(m) {
			t.Errorf("a dose of %v g is %q", c.grams, got)
		}
	}
}

// From a thousand on a count has its separator, as other figures have; a year has none.
func TestLongCountsAreParted(t *testing.T) {
	p, err := For("en", US)
	if err != nil {
		t.Fatal(err)
	}
	for n, want := range map[int]string{20400: "20,400", -20400: "-20,400", 10000: "10,000", 9999: "9,999", 1276: "1,276", 999: "999", 1900: "1900", 2027: "2027", 2199: "2199", 2200: "2,200"} {
		if got := p.Value(n); got != want {
			t.Errorf("%d is %q, want %q", n, got, want)
		}
	}
}

// What weighs less than a scale of a tenth of a gram shows is told in milligrams: "0 g" of iron for a gallon stood in a recipe.
func TestSmallMassesAreNotNothing(t *testing.T) {
	p, err := For("en", US)
	if err != nil {
		t.Fatal(err)
	}
	for grams, want := range map[float64]string{0: "0 g", 0.0004: "0 g", 0.02: "20 mg", 0.049: "49 mg", 0.05: "0.1 g", 0.12: "0.1 g", 9.94: "9.9 g", 12.4: "12 g"} {
		if got := p.Grams(unit.Mass(grams) * unit.Gram); got != want {
			t.Errorf("%v g prints as %q, not %q", grams, got, want)
		}
	}
}
