package unit

import (
	"math"
	"testing"
)

// A figure turned into another unit is that of NIST SP 811, appendix B.8 (2008; from
// memory, seven digits), and of the definitions of inch, pound, gallon and degree.
func TestFactors(t *testing.T) {
	for _, c := range []struct {
		what      string
		got, want float64
	}{
		{"inch in mm", Inch.Millimetres(), 25.4}, {"foot in m", Foot.Metres(), 0.3048}, {"foot in inches", Foot.Inches(), 12}, {"m in ft", Length(1).Feet(), 3.28084},
		{"square foot in m²", Foot.By(Foot).SquareMetres(), 0.09290304}, {"m² in ft²", Area(1).SquareFeet(), 10.76391},
		{"gallon in L", Gallon.Litres(), 3.785412}, {"gallon in mL", Gallon.Millilitres(), 3785.412}, {"gallon in m³", Gallon.CubicMetres(), 0.003785412},
		{"cubic foot in gallons", Foot.By(Foot).Deep(Foot).Gallons(), 7.480519},
		{"pound in kg", Pound.Kilograms(), 0.4535924}, {"pound in g", Pound.Grams(), 453.5924}, {"kg in pounds", Kilogram.Pounds(), 2.204623},
		{"pound-force in N", Pound.Weight().Newtons(), 4.448222}, {"N in pounds-force", Force(1).PoundsForce(), 0.2248089},
		{"pound-force a foot in N/m", PoundForcePerFoot.NewtonsPerMetre(), 14.59390}, {"N/m in pounds-force a foot", LineLoad(1).PoundsForcePerFoot(), 0.06852177},
		{"4 ft of one pound-force a foot", PoundForcePerFoot.Over(4 * Foot).PoundsForce(), 4},
		{"psi in Pa", PoundPerSquareInch.Pascals(), 6894.757}, {"psf in Pa", PoundPerSquareFoot.Pascals(), 47.88026},
		{"kPa in psi", (1000 * Pascal).PoundsPerSquareInch(), 0.1450377}, {"psi in psf", PoundPerSquareInch.PoundsPerSquareFoot(), 144},
		{"98.6 °F in °C", Fahrenheit(98.6).Celsius(), 37}, {"-40 °C in °F", Temperature(-40).Fahrenheit(), -40}, {"ice point in K", Temperature(0).Kelvin(), 273.15},
		{"kWh", Energy(3.6e6).KilowattHours(), 1}, {"MJ/m² a day", DailyRadiation(2.5e6).Megajoules(), 2.5}, {"hours", Duration(5400).Hours(), 1.5}, {"days", Day.Days(), 1},
		{"plants a ft²", PlantDensity(10.76391).PerSquareFoot(), 1}, {"right angle", Angle(math.Pi / 2).Degrees(), 90}, {"half in percent", Fraction(0.5).Percents(), 50},
		{"flow", LitrePerMinute.LitresPerMinute(), 1}, {"3 mm a day on 2 m² in L", DailyDepth(0.003).Over(2).Litres(), 6}, {"a day's depth in mm", DailyDepth(0.003).Millimetres(), 3},
		{"1 g/L in mg/L", GramPerLitre.MilligramsPerLitre(), 1000}, {"grams a liter", (250 * MilligramPerLitre).GramsPerLitre(), 0.25},
		{"grams in 100 gal of 150 mg/L", (150 * MilligramPerLitre).In(100 * Gallon).Grams(), 56.78118}, {"a pound in 100 gal, mg/L", Pound.Per(100 * Gallon).MilligramsPerLitre(), 1198.264},
		{"mmol/L", MolePerLitre.MillimolesPerLitre(), 1000}, {"1 meq/L as CaCO3", Equivalents(1).AsCaCO3(), 50.043}, {"100 mg/L CaCO3 in meq/L", float64(CaCO3(100)), 1.998281},
		{"S/m in mS/cm", Conductivity(1).MillisiemensPerCentimetre(), 10}, {"2 L of 1.2 kg/L", Density(1200).Of(2 * Litre).Kilograms(), 2.4},
	} {
		if math.Abs(c.got-c.want) > 1e-6*math.Abs(c.want) {
			t.Errorf("%s: %v, not %v", c.what, c.got, c.want)
		}
	}
}
