// Package unit holds the quantities of the trade, each a defined float64 in SI
// (temperature in degrees Celsius), so that a length cannot be passed where a
// mass is wanted. Named constants and methods do every conversion; Parse
// functions read what people write ("1-1/2 in", "78 mg/L") and say what would
// be right when they cannot.
//
// Exact factors: NIST Special Publication 811 (2008), appendix B (from memory).
// Never multiply two quantities with *; the physics has a method (Length.By,
// MassConcentration.In), because Go would call metre times metre a Length.
package unit

import "math"

// Length in metres.
type Length float64

// Units of length. Inch, foot and mil are exact by definition.
const (
	Metre      Length = 1
	Millimetre Length = 1e-3
	Centimetre Length = 1e-2
	Kilometre  Length = 1e3
	Inch       Length = 0.0254
	Foot       Length = 0.3048
	Yard       Length = 0.9144
	Mile       Length = 1609.344
	Mil        Length = 0.0254e-3
)

// Metres gives the length in metres.
func (l Length) Metres() float64 { return float64(l) }

// Millimetres gives the length in millimetres.
func (l Length) Millimetres() float64 { return float64(l) * 1e3 }

// Inches gives the length in inches.
func (l Length) Inches() float64 { return float64(l) / float64(Inch) }

// Feet gives the length in feet.
func (l Length) Feet() float64 { return float64(l) / float64(Foot) }

// By gives the area of a rectangle of l by w.
func (l Length) By(w Length) Area { return Area(float64(l) * float64(w)) }

// Area in square metres.
type Area float64

// Units of area.
const (
	SquareMetre Area = 1
	SquareFoot  Area = 0.3048 * 0.3048
	SquareInch  Area = 0.0254 * 0.0254
)

// SquareMetres gives the area in square metres.
func (a Area) SquareMetres() float64 { return float64(a) }

// SquareFeet gives the area in square feet.
func (a Area) SquareFeet() float64 { return float64(a) / float64(SquareFoot) }

// Deep gives the volume of a layer of this area and the given depth.
func (a Area) Deep(d Length) Volume { return Volume(float64(a) * float64(d)) }

// Volume in cubic metres.
type Volume float64

// Units of volume. Gallons, quarts and spoons are US customary (231 cubic
// inches a gallon); the imperial gallon is never meant.
const (
	CubicMetre Volume = 1
	Litre      Volume = 1e-3
	Millilitre Volume = 1e-6
	Gallon     Volume = 3.785411784e-3
	Quart      Volume = Gallon / 4
	Pint       Volume = Gallon / 8
	Cup        Volume = Gallon / 16
	FluidOunce Volume = Gallon / 128
	Tablespoon Volume = Gallon / 256
	Teaspoon   Volume = Gallon / 768
	CubicFoot  Volume = 0.3048 * 0.3048 * 0.3048
	CubicInch  Volume = 0.0254 * 0.0254 * 0.0254
)

// CubicMetres gives the volume in cubic metres.
func (v Volume) CubicMetres() float64 { return float64(v) }

// Litres gives the volume in litres.
func (v Volume) Litres() float64 { return float64(v) * 1e3 }

// Millilitres gives the volume in millilitres.
func (v Volume) Millilitres() float64 { return float64(v) * 1e6 }

// Gallons gives the volume in US gallons.
func (v Volume) Gallons() float64 { return float64(v) / float64(Gallon) }

// Mass in kilograms.
type Mass float64

// Units of mass. Pound and ounce are avoirdupois, exact.
const (
	Kilogram  Mass = 1
	Gram      Mass = 1e-3
	Milligram Mass = 1e-6
	Pound     Mass = 0.45359237
	Ounce     Mass = Pound / 16
)

// Head is the mass of a plant, told in ounces where pounds are used; what is weighed out to be mixed is told in
// grams there too.
type Head Mass

// Bought is the mass of goods to buy, told in ounces and pounds where bags are sold by them.
type Bought Mass

// Kilograms gives the mass in kilograms.
func (m Mass) Kilograms() float64 { return float64(m) }

// Grams gives the mass in grams.
func (m Mass) Grams() float64 { return float64(m) * 1e3 }

// Pounds gives the mass in pounds.
func (m Mass) Pounds() float64 { return float64(m) / float64(Pound) }

// Gravity is the standard acceleration of free fall, m/s2 (CGPM 1901, exact).
const Gravity = 9.80665

// Weight gives the force of standard gravity on the mass.
func (m Mass) Weight() Force { return Force(float64(m) * Gravity) }

// Density in kilograms per cubic metre.
type Density float64

// Units of density.
const (
	GramPerMillilitre Density = 1e3
	PoundPerCubicFoot Density = Density(float64(Pound) / (0.3048 * 0.3048 * 0.3048))
)

// Of gives the mass of a volume at this density.
func (d Density) Of(v Volume) Mass { return Mass(float64(d) * float64(v)) }

// Force in newtons.
type Force float64

// Units of force. The pound-force is exact.
const (
	Newton     Force = 1
	PoundForce Force = 4.4482216152605
)

// Newtons gives the force in newtons.
func (f Force) Newtons() float64 { return float64(f) }

// PoundsForce gives the force in pounds-force.
func (f Force) PoundsForce() float64 { return float64(f) / float64(PoundForce) }

// LineLoad is a force spread along a length, in newtons per metre.
type LineLoad float64

// PoundForcePerFoot is one pound-force on each foot.
const PoundForcePerFoot LineLoad = 4.4482216152605 / 0.3048

// NewtonsPerMetre gives the load in newtons per metre.
func (w LineLoad) NewtonsPerMetre() float64 { return float64(w) }

// PoundsForcePerFoot gives the load in pounds-force per foot.
func (w LineLoad) PoundsForcePerFoot() float64 { return float64(w) / float64(PoundForcePerFoot) }

// Over gives the whole force of the load over a length.
func (w LineLoad) Over(l Length) Force { return Force(float64(w) * float64(l)) }

// Moment in newton metres.
type Moment float64

// Pressure, also a stress, in pascals.
type Pressure float64

// Units of pressure and stress.
const (
	Pascal             Pressure = 1
	Kilopascal         Pressure = 1e3
	PoundPerSquareInch Pressure = 4.4482216152605 / (0.0254 * 0.0254)
	PoundPerSquareFoot Pressure = 4.4482216152605 / (0.3048 * 0.3048)
	Atmosphere         Pressure = 101325
)

// Pascals gives the pressure in pascals.
func (p Pressure) Pascals() float64 { return float64(p) }

// PoundsPerSquareInch gives the stress in psi.
func (p Pressure) PoundsPerSquareInch() float64 { return float64(p) / float64(PoundPerSquareInch) }

// PoundsPerSquareFoot gives the load in psf.
func (p Pressure) PoundsPerSquareFoot() float64 { return float64(p) / float64(PoundPerSquareFoot) }

// Temperature in degrees Celsius.
type Temperature float64

// Fahrenheit gives the temperature of a Fahrenheit reading.
func Fahrenheit(f float64) Temperature { return Temperature((f - 32) / 1.8) }

// Celsius gives the temperature in degrees Celsius.
func (t Temperature) Celsius() float64 { return float64(t) }

// Fahrenheit gives the temperature in degrees Fahrenheit.
func (t Temperature) Fahrenheit() float64 { return float64(t)*1.8 + 32 }

// Kelvin gives the thermodynamic temperature in kelvins.
func (t Temperature) Kelvin() float64 { return float64(t) + 273.15 }

// TemperatureStep is a difference of two temperatures, in kelvins: a spread or
// a rise, never a reading.
type TemperatureStep float64

// MassConcentration in kilograms per cubic metre, which is grams per litre.
type MassConcentration float64

// Units of mass concentration.
const (
	GramPerLitre      MassConcentration = 1
	MilligramPerLitre MassConcentration = 1e-3
	MicrogramPerLitre MassConcentration = 1e-6
)

// MilligramsPerLitre gives the concentration in mg/L.
func (c MassConcentration) MilligramsPerLitre() float64 { return float64(c) * 1e3 }

// GramsPerLitre gives the concentration in g/L.
func (c MassConcentration) GramsPerLitre() float64 { return float64(c) }

// In gives the mass dissolved in a volume at this concentration.
func (c MassConcentration) In(v Volume) Mass { return Mass(float64(c) * float64(v)) }

// Per gives the concentration of this mass dissolved to the given volume.
func (m Mass) Per(v Volume) MassConcentration { return MassConcentration(float64(m) / float64(v)) }

// MolarConcentration in moles per cubic metre, which is millimoles per litre.
type MolarConcentration float64

// Units of molar concentration.
const (
	MillimolePerLitre MolarConcentration = 1
	MolePerLitre      MolarConcentration = 1e3
)

// MillimolesPerLitre gives the concentration in mmol/L.
func (c MolarConcentration) MillimolesPerLitre() float64 { return float64(c) }

// Equivalents is a concentration of charge or of acid capacity, in equivalents
// per cubic metre, which is meq/L.
type Equivalents float64

// CalciumCarbonateGramsPerMole is the molar mass behind "as CaCO3":
// Ca 40.078, C 12.011, O 15.999 (IUPAC 2021 abridged standard atomic weights).
const CalciumCarbonateGramsPerMole = 40.078 + 12.011 + 3*15.999

// AsCaCO3 gives the equivalents as milligrams of calcium carbonate a litre.
func (e Equivalents) AsCaCO3() float64 { return float64(e) * CalciumCarbonateGramsPerMole / 2 }

// CaCO3 gives the equivalents of a figure in mg/L as CaCO3.
func CaCO3(mgPerLitre float64) Equivalents {
	return Equivalents(mgPerLitre * 2 / CalciumCarbonateGramsPerMole)
}

// Conductivity in siemens per metre. A reading is at 25 C unless it says not.
type Conductivity float64

// Units of conductivity.
const (
	MillisiemensPerCentimetre Conductivity = 0.1
	MicrosiemensPerCentimetre Conductivity = 1e-4
)

// MillisiemensPerCentimetre gives the conductivity in mS/cm (= dS/m).
func (k Conductivity) MillisiemensPerCentimetre() float64 { return float64(k) * 10 }

// Fraction is a share of a whole: 1 is all of it.
type Fraction float64

// Percent is one hundredth.
const Percent Fraction = 0.01

// Percents gives the share in percent.
func (f Fraction) Percents() float64 { return float64(f) * 100 }

// Speed in metres per second.
type Speed float64

// Units of speed.
const (
	MetrePerSecond Speed = 1
	MilePerHour    Speed = 1609.344 / 3600
)

// Duration in seconds.
type Duration float64

// Units of time.
const (
	Second Duration = 1
	Minute Duration = 60
	Hour   Duration = 3600
	Day    Duration = 86400
	Week   Duration = 7 * Day
)

// Hours gives the time in hours.
func (d Duration) Hours() float64 { return float64(d) / 3600 }

// Days gives the time in days.
func (d Duration) Days() float64 { return float64(d) / 86400 }

// DailyRadiation is the energy of sunlight on a flat square metre in one day,
// in joules per square metre and day.
type DailyRadiation float64

// Units of daily radiation. One langley is 41.84 kJ/m2.
const (
	MegajoulePerSquareMetre DailyRadiation = 1e6
	Langley                 DailyRadiation = 41840
)

// Megajoules gives the radiation in MJ/m2 a day.
func (r DailyRadiation) Megajoules() float64 { return float64(r) / 1e6 }

// DailyLight is the daily light integral, moles of photons of photosynthetic
// light on a square metre in one day.
type DailyLight float64

// PhotonFlux is photosynthetic light at one moment, mol/m2/s.
type PhotonFlux float64

// MicromolePerSquareMetreSecond is the usual unit of PPFD.
const MicromolePerSquareMetreSecond PhotonFlux = 1e-6

// PhotonEfficacy is the photosynthetic light that a lamp gives for the energy it
// takes, mol/J.
type PhotonEfficacy float64

// MicromolePerJoule is the usual unit on a lamp's label.
const MicromolePerJoule PhotonEfficacy = 1e-6

// PlantDensity is how close plants stand: plants on a square metre.
type PlantDensity float64

// PerSquareFoot gives the plants on a square foot.
func (d PlantDensity) PerSquareFoot() float64 { return float64(d) * float64(SquareFoot) }

// DailyDepth is water gained or lost by a surface in a day, metres a day.
type DailyDepth float64

// MillimetrePerDay is the usual unit of evaporation.
const MillimetrePerDay DailyDepth = 1e-3

// Millimetres gives the depth in mm a day.
func (d DailyDepth) Millimetres() float64 { return float64(d) * 1e3 }

// Over gives the volume lost in a day by an area.
func (d DailyDepth) Over(a Area) Volume { return Volume(float64(d) * float64(a)) }

// Power in watts.
type Power float64

// Energy in joules.
type Energy float64

// KilowattHour in joules.
const KilowattHour Energy = 3.6e6

// KilowattHours gives the energy in kWh.
func (e Energy) KilowattHours() float64 { return float64(e) / 3.6e6 }

// Flow in cubic metres per second.
type Flow float64

// LitrePerMinute is the usual unit of a small air pump or a hose.
const LitrePerMinute Flow = 1e-3 / 60

// LitresPerMinute gives the flow in L/min.
func (f Flow) LitresPerMinute() float64 { return float64(f) / float64(LitrePerMinute) }

// Angle in radians.
type Angle float64

// Degree of arc.
const Degree Angle = math.Pi / 180

// Degrees gives the angle in degrees.
func (a Angle) Degrees() float64 { return float64(a) / float64(Degree) }
