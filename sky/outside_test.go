package sky

import (
	"math"
	"testing"

	"raftwright/unit"
)

// Los Angeles to New York in the worked example of a public formulary of aviation (E. Williams): 33°57'N 118°24'W to 40°38'N 73°47'W is 0.623585 of the
// radius; both ways round, and not by the difference of longitude alone.
func TestDistanceAgainstTheFormulary(t *testing.T) {
	at := func(lat, lon float64) Place {
		return Place{Latitude: unit.Angle(lat * math.Pi / 180), Longitude: new(unit.Angle(lon * math.Pi / 180))}
	}
	west, east := at(33+57./60, -118-24./60), at(40+38./60, -73-47./60)
	for _, way := range [][2]Place{{west, east}, {east, west}} {
		got, ok := Distance(way[0], way[1])
		if !ok {
			t.Fatal("no distance")
		}
		within(t, "km", got.Metres()/1000, 0.623585*6371, 0.02)
	}
	if _, ok := Distance(west, Place{}); ok {
		t.Error("a distance to a place without a longitude")
	}
}

// Factors to bring wind to 2 m: FAO-56, table 2.9 of its annex 2, from memory; its rows follow from equation 47.
func TestWindFactorsOfTheTable(t *testing.T) {
	for height, factor := range map[unit.Length]float64{1: 1.178, 1.2: 1.125, 1.4: 1.084, 1.6: 1.051, 1.8: 1.023, 2: 1.000, 4: 0.872, 10: 0.748} {
		within(t, "factor", float64(WindAtTwoMetres(1, height)), factor, 0.0011)
	}
}

// The year's wave of warmth in soil (Hillel 1982, and any textbook): A exp(-z/d) as wide and z/d later, d = sqrt(2 D/w). By hand with D = 0.065 m2 a day: d of the
// year is sqrt(2 x 0.065 x 365/(2 pi)) = 2.748 m, so at half a meter exp(-0.1819) = 0.8337 of it, 10.6 days late; d of the half year is 1.943 m: 0.7731 of it.
func TestSoilIsADampedWave(t *testing.T) {
	var y Year
	const turn = 2 * math.Pi / 12
	for i := range y.Months {
		at := (float64(i) + 0.5) * turn
		y.Months[i].Mean = unit.Temperature(11 - 9*math.Cos(at-0.4) + 2*math.Sin(2*at))
	}
	y.warmSoil()
	for i := range y.Months {
		at := (float64(i) + 0.5) * turn
		want := 11 - 9*0.83366*math.Cos(at-0.4-0.18193) + 2*0.77312*math.Sin(2*at-0.25729)
		within(t, "soil", y.Months[i].Soil.Celsius(), want, 0.002)
	}
}

// A day of 12 h between 10 and 20 °C by Parton and Logan (1981), the hours less that of 12:30, since all are shifted alike. By day a sine from 5:50 (0.17 h before
// sunrise) over 12 + 2 x 1.86 h; by night from 10 + 10 sin(pi 12.17/15.72) at sunset down with exp(-2.2 n/12), the length of the night, which may be told
// from the sunset to the sunrise or to the least warmth: 0.1 °C.
func TestHoursOfADayByHand(t *testing.T) {
	day := Sun{Daylight: 12 * unit.Hour}.TemperatureShape(20, 10)
	sine := func(hour float64) float64 { return 10 * math.Sin(math.Pi*(hour-5.83)/15.72) }
	for hour := 6; hour < 18; hour++ {
		within(t, "by day", day[hour]-day[12], sine(float64(hour)+0.5)-sine(12.5), 0.001)
	}
	for _, hour := range []int{18, 20, 23} {
		dusk := 10 * math.Sin(math.Pi*12.17/15.72)
		within(t, "by night", day[hour]-day[12], dusk*math.Exp(-2.2*(float64(hour)+0.5-18)/12)-sine(12.5), 0.1)
	}
	within(t, "after midnight", day[3]-day[12], 10*math.Sin(math.Pi*12.17/15.72)*math.Exp(-2.2*9.5/12)-sine(12.5), 0.1)
}
