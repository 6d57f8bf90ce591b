// Package sky is the sun, the light and the thirst of the air at a place: sun
// geometry, radiation, daily light, reference evapotranspiration, the course of
// a typical day, freeze dates, and the climate files people have. It follows
// FAO Irrigation and Drainage Paper 56 (Allen et al. 1998), which it cites by
// equation; it covers every latitude, the poles and the equator included.
//
// Monthly means in, monthly means out: a forecast for a single day would need
// more than it has. The error of monthly radiation is 8 % where it was
// measured, 10 % from sunshine hours, 13 % from temperatures.
package sky

import (
	"math"

	"raftwright/unit"
)

// Sun is the geometry of the sun on one day at one latitude.
type Sun struct {
	Ra       unit.DailyRadiation // outside the atmosphere, on the flat
	Daylight unit.Duration       // sunrise to sunset, geometric
	sunset   float64             // hour angle, rad
}

// SunOn gives the sun's day: FAO-56 eqs 21 to 25 and 34, with the sunset angle
// clamped for days without sunset or sunrise. Day is the number in the year, 1
// to 366; latitude is north positive, -90 to 90 degrees. Against the tables of
// annex 2 it stays within 0.12 MJ/m2 and 0.15 h.
func SunOn(latitude unit.Angle, day int) Sun {
	const solar = 0.0820 // MJ/m2/min
	p := math.Max(-math.Pi/2, math.Min(math.Pi/2, float64(latitude)))
	j := 2 * math.Pi * float64(day) / 365
	declination := 0.409 * math.Sin(j-1.39)
	distance := 1 + 0.033*math.Cos(j)
	sinsin, coscos := math.Sin(p)*math.Sin(declination), math.Cos(p)*math.Cos(declination)
	var ws float64
	switch x := -math.Tan(p) * math.Tan(declination); {
	case x >= 1:
		ws = 0 // polar night
	case x <= -1:
		ws = math.Pi // the sun does not set
	default:
		ws = math.Acos(x)
	}
	ra := 24 * 60 / math.Pi * solar * distance * (ws*sinsin + coscos*math.Sin(ws))
	return Sun{
		Ra:       unit.DailyRadiation(max(0, ra)) * unit.MegajoulePerSquareMetre,
		Daylight: unit.Duration(24*ws/math.Pi) * unit.Hour,
		sunset:   ws,
	}
}

// MidMonth gives the day of the year of the 15th, the day that the tables of
// FAO-56 stand for.
func MidMonth(month int) int { return firstDay[month-1] + 15 }

// DaysAYear is the mean year of the calendar: every fourth has a day more.
const DaysAYear = 365.25

var firstDay = [13]int{0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334, 365}

// DaysIn gives the days of a month in a year without a leap day.
func DaysIn(month int) int { return firstDay[month] - firstDay[month-1] }

// ClearSky gives the radiation of a cloudless day: (0.75 + 2e-5 z) Ra, z metres
// (FAO-56 eq 37). No estimate of radiation may pass it.
func ClearSky(ra unit.DailyRadiation, elevation unit.Length) unit.DailyRadiation {
	return ra * unit.DailyRadiation(0.75+2e-5*elevation.Metres())
}

// Angstrom gives the radiation from hours of bright sunshine:
// (0.25 + 0.50 n/N) Ra (FAO-56 eq 35).
func (s Sun) Angstrom(sunshine unit.Duration) unit.DailyRadiation {
	share := 0.0
	if s.Daylight > 0 {
		share = math.Max(0, math.Min(1, float64(sunshine/s.Daylight)))
	}
	return s.Ra * unit.DailyRadiation(0.25+0.50*share)
}

// Hargreaves coefficients of radiation, 1/sqrt(°C) (FAO-56 eq 50).
const (
	Inland = 0.16
	Coast  = 0.19
)

// FromTemperatures gives the radiation from the daily swing of temperature:
// k sqrt(Tmax - Tmin) Ra (FAO-56 eq 50, Hargreaves & Samani), k Inland or Coast.
// On monthly means it is off by 13 % rms.
func (s Sun) FromTemperatures(high, low unit.Temperature, k float64) unit.DailyRadiation {
	return s.Ra * unit.DailyRadiation(k*math.Sqrt(math.Max(0, float64(high-low))))
}
