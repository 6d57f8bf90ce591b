package unit

// table pairs spellings with one factor to SI.
func table(factor float64, names ...string) []named {
	out := make([]named, 0, len(names))
	for _, n := range names {
		out = append(out, named{name: n, factor: factor})
	}
	return out
}

func join(groups ...[]named) []named {
	var out []named
	for _, g := range groups {
		out = append(out, g...)
	}
	return out
}

// metric marks units as of the metric system.
func metric(groups ...[]named) []named {
	all := join(groups...)
	for i := range all {
		all[i].metric = true
	}
	return all
}

// spanish marks units by the names that Spanish has for them. They are read in every language, and not offered to who slips.
func spanish(groups ...[]named) []named {
	all := join(groups...)
	for i := range all {
		all[i].spanish = true
	}
	return all
}

var lengths = join(
	table(float64(Inch), "in", "inch", "inches", `"`),
	table(float64(Foot), "ft", "foot", "feet", "'"),
	metric(table(float64(Metre), "m", "metre", "metres", "meter", "meters"), table(float64(Centimetre), "cm"),
		table(float64(Millimetre), "mm"), table(float64(Kilometre), "km")),
	table(float64(Yard), "yd", "yard", "yards"),
	table(float64(Mile), "mi", "mile", "miles"),
	table(float64(Mil), "mil", "mils"),
	spanish(table(float64(Inch), "pulg", "pulgada", "pulgadas"), table(float64(Foot), "pie", "pies"), table(float64(Yard), "yarda", "yardas"),
		table(float64(Mile), "milla", "millas"), metric(table(float64(Metre), "metro", "metros"))),
)

var masses = join(
	metric(table(float64(Gram), "g", "gram", "grams"), table(float64(Kilogram), "kg"), table(float64(Milligram), "mg")),
	table(float64(Pound), "lb", "lbs", "pound", "pounds"),
	table(float64(Ounce), "oz", "ounce", "ounces"),
	spanish(table(float64(Pound), "libra", "libras"), table(float64(Ounce), "onza", "onzas"),
		metric(table(float64(Gram), "gramo", "gramos"), table(float64(Kilogram), "kilo", "kilos"))),
)

var volumes = join(
	metric(table(float64(Litre), "L", "litre", "litres", "liter", "liters"), table(float64(Millilitre), "mL"), table(float64(CubicMetre), "m3")),
	table(float64(Gallon), "gal", "gallon", "gallons"),
	table(float64(Quart), "qt", "quart", "quarts"),
	table(float64(Pint), "pt", "pint", "pints"),
	table(float64(Cup), "cup", "cups"),
	table(float64(FluidOunce), "fl oz"),
	table(float64(Tablespoon), "tbsp", "tablespoon", "tablespoons"),
	table(float64(Teaspoon), "tsp", "teaspoon", "teaspoons"),
	table(float64(CubicFoot), "ft3", "cu ft"),
	table(float64(CubicInch), "in3", "cu in"),
	spanish(table(float64(Gallon), "galón", "galon", "galones"), table(float64(Cup), "taza", "tazas"), table(float64(FluidOunce), "oz líq", "oz liq"),
		table(float64(Tablespoon), "cda", "cdas", "cucharada", "cucharadas"), table(float64(Teaspoon), "cdta", "cdtas", "cucharadita", "cucharaditas"),
		table(float64(CubicFoot), "pie3", "pies3", "pie³"), metric(table(float64(Litre), "litro", "litros"))),
)

// The kinds of quantity a brief may hold. They are tables, never changed.
var (
	LengthKind = &Kind{Name: "length", sums: true, units: lengths}
	AreaKind   = &Kind{Name: "area", units: join(
		table(float64(SquareFoot), "ft2", "sq ft"), spanish(table(float64(SquareFoot), "pie2", "pies2", "pie²")), table(float64(SquareMetre), "m2"), table(float64(SquareInch), "in2", "sq in"))}
	VolumeKind  = &Kind{Name: "volume", sums: true, units: volumes}
	MassKind    = &Kind{Name: "mass", sums: true, units: masses}
	DensityKind = &Kind{Name: "density", units: join(
		table(float64(GramPerMillilitre), "g/mL", "kg/L"), table(1, "kg/m3", "g/L"), table(float64(PoundPerCubicFoot), "lb/ft3"))}
	ConcentrationKind = &Kind{Name: "mass_concentration", units: join(
		table(float64(MilligramPerLitre), "mg/L", "ppm"), table(1, "g/L", "kg/m3"), table(float64(MicrogramPerLitre), "ug/L", "ppb"),
		table(float64(Gram)/float64(Gallon), "g/gal"), table(float64(Ounce)/float64(Gallon), "oz/gal"))}
	ConductivityKind = &Kind{Name: "conductivity", units: join(
		table(0.1, "mS/cm", "dS/m", "mmho/cm", "mmhos/cm"), table(1e-4, "uS/cm", "umho/cm", "umhos/cm"), table(1, "S/m"), table(0.01, "CF"))}
	TemperatureKind = &Kind{Name: "temperature", units: join(
		table(1, "C", "°C", "degC"), []named{{name: "F", factor: 1 / 1.8, offset: -32 / 1.8}, {name: "°F", factor: 1 / 1.8, offset: -32 / 1.8},
			{name: "degF", factor: 1 / 1.8, offset: -32 / 1.8}, {name: "K", factor: 1, offset: -273.15}})}
	TemperatureStepKind = &Kind{Name: "temperature_step", units: join(
		table(1, "C", "°C", "K"), table(1/1.8, "F", "°F"))}
	FractionKind = &Kind{Name: "share", units: join(
		table(0.01, "%", "percent"))}
	SpeedKind = &Kind{Name: "speed", units: join(
		table(1, "m/s"), table(1/3.6, "km/h"), table(float64(MilePerHour), "mph", "mi/h"))}
	DurationKind = &Kind{Name: "time", sums: true, units: join(
		table(3600, "h", "hour", "hours"), table(60, "min", "minute", "minutes"), table(86400, "d", "day", "days"), table(604800, "week", "weeks"), table(1, "s"),
		spanish(table(3600, "hora", "horas"), table(60, "minuto", "minutos"), table(86400, "día", "días", "dia", "dias"), table(604800, "semana", "semanas")))}
	RadiationKind = &Kind{Name: "daily_radiation", units: join(
		table(1e6, "MJ/m2", "MJ/m2/d", "MJ/m2/day"), table(3.6e6, "kWh/m2", "kWh/m2/d", "kWh/m2/day"), table(float64(Langley), "langley", "langleys", "ly"), table(86400, "W/m2"))}
	PressureKind = &Kind{Name: "pressure", units: join(
		table(1, "Pa"), table(1e3, "kPa"), table(float64(PoundPerSquareInch), "psi"), table(float64(PoundPerSquareFoot), "psf", "lb/ft2"), table(101325, "atm"))}
	AngleKind = &Kind{Name: "angle", units: join(
		table(float64(Degree), "deg", "°"))}
	PhotonFluxKind = &Kind{Name: "photon_flux", units: join(
		table(1e-6, "umol/m2/s"))}
	PhotonEfficacyKind = &Kind{Name: "photon_efficacy", units: join(
		table(1e-6, "umol/J"), table(1.0/3.6e6, "mol/kWh"))}
	PowerKind = &Kind{Name: "power", units: join(table(1, "W"), table(1e3, "kW"))}
	FlowKind  = &Kind{Name: "flow", units: join(
		table(float64(LitrePerMinute), "L/min"), table(float64(Gallon)/60, "gal/min", "gpm"), table(1e-3/3600, "L/h"))}
	// so much of a liquid, and so many moles, in each litre
	PartKind = &Kind{Name: "part", units: join(
		table(1e-3, "mL/L", "L/m3"), table(float64(Millilitre)/float64(Gallon), "mL/gal"),
		table(float64(Teaspoon)/float64(Gallon), "tsp/gal"), table(float64(FluidOunce)/float64(Gallon), "fl oz/gal"))}
	MolarKind = &Kind{Name: "molar", units: join(
		table(float64(MillimolePerLitre), "mmol/L", "mol/m3"), table(float64(MolePerLitre), "mol/L"))}
)

// Kinds lists every kind, in a fixed order.
func Kinds() []*Kind {
	return []*Kind{LengthKind, AreaKind, VolumeKind, MassKind, DensityKind, ConcentrationKind, ConductivityKind,
		TemperatureKind, TemperatureStepKind, FractionKind, SpeedKind, DurationKind, RadiationKind, PressureKind,
		AngleKind, PhotonFluxKind, PhotonEfficacyKind, PowerKind, FlowKind, PartKind, MolarKind}
}

func parseAs[Q ~float64](k *Kind, s string) (Q, error) {
	v, err := k.Parse(s)
	return Q(v), err
}

// ParseLength reads "8 ft", "4 ft 6-1/2 in", "1.2 m".
func ParseLength(s string) (Length, error) { return parseAs[Length](LengthKind, s) }

// ParseTemperature reads "25 C", "77 F".
func ParseTemperature(s string) (Temperature, error) { return parseAs[Temperature](TemperatureKind, s) }
