package sky

import (
	"math"

	"raftwright/unit"
)

// SaturationPressure gives the vapour pressure of saturated air, FAO-56 eq 11.
func SaturationPressure(t unit.Temperature) unit.Pressure {
	return unit.Pressure(e0(t.Celsius())) * unit.Kilopascal
}

// e0 in kPa of °C.
func e0(celsius float64) float64 { return 0.6108 * math.Exp(17.27*celsius/(celsius+237.3)) }

// AirPressure gives the mean pressure of the air at a height, FAO-56 eq 7.
// Range -500 to 9000 m; outside it the nearest end is taken.
func AirPressure(elevation unit.Length) unit.Pressure {
	z := math.Max(-500, math.Min(9000, elevation.Metres()))
	return unit.Pressure(101.3*math.Pow((293-0.0065*z)/293, 5.26)) * unit.Kilopascal
}

// Psychrometric gives 0.665e-3 P, kPa/°C (FAO-56 eq 8).
func Psychrometric(p unit.Pressure) float64 { return 0.665e-3 * p.Pascals() / 1000 }

// MeanSaturation gives the mean of the saturation pressures at the highest and
// the lowest temperature of a day (FAO-56 eq 12).
func MeanSaturation(high, low unit.Temperature) unit.Pressure {
	return (SaturationPressure(high) + SaturationPressure(low)) / 2
}

// WindAtTwoMetres brings wind measured at a height to 2 m over grass (FAO-56 eq
// 47). Heights under 0.5 m are taken as 0.5 m.
func WindAtTwoMetres(u unit.Speed, height unit.Length) unit.Speed {
	z := math.Max(0.5, height.Metres())
	return u * unit.Speed(4.87/math.Log(67.8*z-5.42))
}

// UnknownWind is the wind at 2 m that FAO-56 takes where none is known.
const UnknownWind unit.Speed = 2

// Air is what the Penman–Monteith equation needs of a day or of the mean day of
// a month.
type Air struct {
	High, Low unit.Temperature
	Vapour    unit.Pressure
	Wind      unit.Speed // at 2 m
	Radiation unit.DailyRadiation
	Ra        unit.DailyRadiation
	Elevation unit.Length
	// Ground is the heat that goes into the ground: 0 for a day, MonthGround
	// for a month.
	Ground unit.DailyRadiation
}

// MonthGround gives the heat into the ground in a month: 0.14 (T - T of the
// month before), FAO-56 eq 44.
func MonthGround(mean, before unit.Temperature) unit.DailyRadiation {
	return unit.DailyRadiation(0.14*float64(mean-before)) * unit.MegajoulePerSquareMetre
}

// Reference is the reference evapotranspiration and the steps on the way.
type Reference struct {
	ET0           unit.DailyDepth
	Slope         float64 // of the vapour pressure curve, kPa/°C
	Psychrometric float64 // kPa/°C
	Saturation    unit.Pressure
	ClearSky      unit.DailyRadiation
	NetShort      unit.DailyRadiation
	NetLong       unit.DailyRadiation
	Net           unit.DailyRadiation
	Ground        unit.DailyRadiation
}

// PenmanMonteith gives the FAO-56 reference evapotranspiration (eq 6, with net
// radiation by eqs 37 to 40), at least 0. With all inputs measured it agrees
// with the worked examples to 0.03 mm; with estimated humidity, wind and
// radiation monthly values were -0.5 ± 0.7 mm off at 77 US stations.
func PenmanMonteith(a Air) Reference {
	mean := (a.High.Celsius() + a.Low.Celsius()) / 2
	r := Reference{
		Slope:         4098 * e0(mean) / ((mean + 237.3) * (mean + 237.3)),
		Psychrometric: Psychrometric(AirPressure(a.Elevation)),
		Saturation:    MeanSaturation(a.High, a.Low),
		ClearSky:      ClearSky(a.Ra, a.Elevation),
		NetShort:      0.77 * a.Radiation,
		Ground:        a.Ground,
	}
	cloud := 0.0 // no sun, no clear sky to compare with: taken as covered
	if r.ClearSky > 0 {
		cloud = math.Max(0.05, 1.35*math.Min(1, float64(a.Radiation/r.ClearSky))-0.35)
	}
	ea := math.Max(0, float64(a.Vapour)/1000)
	t4 := (math.Pow(a.High.Celsius()+273.16, 4) + math.Pow(a.Low.Celsius()+273.16, 4)) / 2
	r.NetLong = unit.DailyRadiation(4.903e-9*t4*(0.34-0.14*math.Sqrt(ea))*cloud) * unit.MegajoulePerSquareMetre
	r.Net = r.NetShort - r.NetLong
	u := math.Max(0, float64(a.Wind))
	up := 0.408*r.Slope*(r.Net-r.Ground).Megajoules() + r.Psychrometric*900/(mean+273)*u*(float64(r.Saturation)/1000-ea)
	r.ET0 = unit.DailyDepth(math.Max(0, up/(r.Slope+r.Psychrometric*(1+0.34*u)))) * unit.MillimetrePerDay
	return r
}

// HargreavesET0 gives the reference evapotranspiration from temperatures alone:
// 0.0023 (Tmean + 17.8) sqrt(Tmax - Tmin) Ra, Ra in mm (FAO-56 eq 52).
func HargreavesET0(high, low unit.Temperature, ra unit.DailyRadiation) unit.DailyDepth {
	mean := (high.Celsius() + low.Celsius()) / 2
	swing := math.Sqrt(math.Max(0, float64(high-low)))
	return unit.DailyDepth(math.Max(0, 0.0023*(mean+17.8)*swing*0.408*ra.Megajoules())) * unit.MillimetrePerDay
}
