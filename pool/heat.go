package pool

import (
	"math"

	"raftwright/sky"
	"raftwright/unit"
)

// Day is one day of weather on the bed, hour by hour from midnight.
type Day struct {
	Air, Sun [24]float64 // °C; W/m2 on the flat under the cover
	Vapour   float64     // kPa
	Wind     float64     // m/s at the bed
	Clear    float64     // 0 overcast or under a roof, 1 a clear sky above
	Ground   float64     // °C of the soil under the bed
	House    bool        // under a cover: still air, a roof for a sky
}

// TypicalDay gives the mean day of a month under a screen.
func TypicalDay(m sky.MonthMean, s sky.Screen) Day {
	return day(m, weather{m.High, m.Low, m.Radiation, m.Vapour, m.Wind}, clearness(m), s)
}

type weather struct {
	high, low unit.Temperature
	radiation unit.DailyRadiation
	vapour    unit.Pressure
	wind      unit.Speed
}

func day(m sky.MonthMean, w weather, clear float64, s sky.Screen) Day {
	sun := m.Sun
	d := Day{
		Air:    sun.TemperatureShape(w.high+unit.Temperature(s.Day), w.low+unit.Temperature(s.Night)),
		Vapour: float64(w.vapour) / 1000,
		Wind:   float64(w.wind) * float64(s.Wind),
		Clear:  clear,
		House:  s.Covered,
		Ground: m.Soil.Celsius() + float64(s.Day+s.Night)/2,
	}
	for h, share := range sun.RadiationShape() {
		d.Sun[h] = share * float64(w.radiation) * float64(s.Light) / 3600
	}
	if d.House {
		d.Clear = 0
	}
	return d
}

// clearness is the cloud term of FAO-56 eq 39: 1 under a clear sky.
func clearness(m sky.MonthMean) float64 {
	if m.Reference.ClearSky <= 0 {
		return 0.5
	}
	return math.Max(0, math.Min(1, 1.35*float64(m.Radiation/m.Reference.ClearSky)-0.35))
}

// Course is the solution through one day, hour by hour.
type Course struct {
	Hours          [24]float64 // °C at the end of each hour
	Mean, Min, Max unit.Temperature
}

// balance is the bed's heat balance on one day with all that the solution does not change.
type balance struct {
	gain     [24]float64 // W, of each hour, but for what evaporates, for the ground and for a heater
	floor    float64     // W/K, of the floor to the soil just below it
	slow     float64     // the part of it that reaches the soil that follows the year
	below    float64     // °C of that soil, or of the air under a deck
	loss     float64     // W/K, but for what evaporates
	drying   float64     // W/kPa
	capacity float64     // J/K
}

// newBalance follows METHODS of the reference, section 3: outside film 5.7 + 3.8 v
// (convection, v up to 5 m/s) + 5.7 (radiation), in a house 9; gaps lie sheltered
// below the rim, so still air there: convection 5.7, evaporation 89 W/m2 a kPa
// (ASHRAE pools).
func newBalance(b Bed, d *Day) balance {
	b = b.full()
	convection := 5.7 + 3.8*math.Min(5, d.Wind)
	if d.House {
		convection = houseFilm - radiative
	}
	outside := convection + radiative
	c := b.Conductances(Films{Outside: outside}, 0)
	open := 1 - math.Max(0, math.Min(1, float64(b.Canopy)))
	sheltered := 0.0
	if b.Gap >= 1 { // no raft: the wind is on the water
		sheltered = math.Min(5, d.Wind)
	}
	below := d.Ground
	if b.OffGround { // the air of the day
		below = mean(&d.Air)
	}
	gap := b.Area.SquareMetres() * float64(b.Gap)
	convects := 5.7 + 3.8*sheltered
	k := balance{floor: c.Floor, slow: c.Ground / c.Floor, below: below, loss: c.Raft + c.Sides + c.Floor + gap*(convects+radiative), drying: gap * (89 + 78*sheltered), capacity: c.Capacity}
	for h, air := range d.Air {
		sun, kelvin := d.Sun[h], unit.Temperature(air).Kelvin()
		toSky := d.Clear * (kelvin - 0.0552*kelvin*math.Sqrt(kelvin))
		lid := air + (b.Lid.absorbed()*open*sun-radiative*toSky)/outside
		wall := air + woodAbsorbs*wallSun*sun/outside
		k.gain[h] = c.Raft*lid + c.Sides*wall +
			gap*(gapAbsorbs*open*sun+convects*air+radiative*(air-toSky)) + k.drying*d.Vapour
	}
	return k
}

// step moves the solution on by an hour, with heat from the ground and from a heater, W. The
// balance is linear but for the vapour pressure, which is taken with its slope at t; the
// linear equation is then solved exactly, so that shallow beds stay stable. Stays is the share
// of a difference at t that is left, and warms what a watt more brings.
func (k *balance) step(t, heat float64, hour int) (after, stays, warms float64) {
	pw := saturation(t)
	slope := 4098 * pw / ((t + 237.3) * (t + 237.3))
	sum := k.loss + k.drying*slope
	end := (k.gain[hour] + heat - k.drying*(pw-slope*t)) / sum
	stays = math.Exp(-sum * 3600 / k.capacity)
	return end + (t-end)*stays, stays, (1 - stays) / sum
}

func mean(hours *[24]float64) float64 {
	sum := 0.0
	for _, x := range hours {
		sum += x
	}
	return sum / 24
}

// saturation gives the vapour pressure over water, kPa (FAO-56 eq 11).
func saturation(celsius float64) float64 {
	return 0.6108 * math.Exp(17.27*celsius/(celsius+237.3))
}

// plate gives the soil just below the floor of a bed that has long had a mean: warm or cold
// as it must be to pass on below what the floor passes to it. The day's swing it does not
// follow.
func (k *balance) plate(mean float64) float64 { return mean - k.slow*(mean-k.below) }

// response is how a day answers what it is begun and heated with.
type response struct {
	end                          float64 // °C, at midnight
	endByStart, endByHeat        float64 // °C a °C, °C/W
	meanByStart, meanByHeat, mid float64 // the same of the mean, and that itself
}

// day runs a day from its start, with the same heat in each hour.
func (k *balance) day(start, heat float64) (Course, response) {
	c := Course{Min: 1000, Max: -1000}
	t, by, r := start, [2]float64{1, 0}, response{}
	for h := range 24 {
		before, was := t, by
		after, stays, warms := k.step(t, heat, h)
		t, by = after, [2]float64{by[0] * stays, by[1]*stays + warms}
		c.Hours[h] = t
		r.mid += (before + t) / 2
		r.meanByStart, r.meanByHeat = r.meanByStart+(was[0]+by[0])/48, r.meanByHeat+(was[1]+by[1])/48
		c.Min, c.Max = min(c.Min, unit.Temperature(t)), max(c.Max, unit.Temperature(t))
	}
	r.mid /= 24
	r.end, r.endByStart, r.endByHeat = t, by[0], by[1]
	c.Mean = unit.Temperature(r.mid)
	return c, r
}

// again finds the day that comes again and again: it ends where it began, within a millionth of a
// degree, and its mean and its heat go together. Off says by how much they do not, and how
// that changes with each. The day is all but straight in its start and its heat, so Newton's
// method takes a few rounds.
func (k *balance) again(start, heat float64, off func(mean, heat float64) (by, byMean, byHeat float64)) (Course, float64) {
	for range 60 {
		c, r := k.day(start, heat)
		miss := r.end - start
		by, byMean, byHeat := off(r.mid, heat)
		if math.Abs(miss) < 1e-6 && math.Abs(by) < 1e-6 {
			return c, heat
		}
		a, b := r.endByStart-1, r.endByHeat
		d, e := byMean*r.meanByStart, byMean*r.meanByHeat+byHeat
		det := a*e - b*d
		start, heat = start-(miss*e-by*b)/det, heat-(by*a-miss*d)/det
	}
	c, _ := k.day(start, heat)
	return c, heat
}

// Steady gives the solution through a day that comes again and again: the
// typical day of a month.
func (b Bed) Steady(d Day) Course { return b.Heated(d, 0) }

// Heated is Steady with a heater (or, below zero, a chiller) of constant power.
func (b Bed) Heated(d Day, power unit.Power) Course {
	k := newBalance(b, &d)
	c, _ := k.again(d.Ground, float64(power)+k.floor*k.plate(d.Ground), func(mean, heat float64) (by, byMean, byHeat float64) {
		return k.plate(mean) + (float64(power)-heat)/k.floor, 1 - k.slow, -1 / k.floor
	})
	return c
}

// powerFor gives the constant power (below zero: cooling) that holds the mean of a day.
func (b Bed) powerFor(d Day, hold unit.Temperature) unit.Power {
	k := newBalance(b, &d)
	at := hold.Celsius()
	_, heat := k.again(at, k.floor*k.plate(at), func(mean, _ float64) (by, byMean, byHeat float64) { return mean - at, 1, 0 })
	return unit.Power(heat - k.floor*k.plate(at))
}

// on gives the last day of a spell that follows a day.
func (b Bed) on(c Course, spell Day, days int) Course {
	k := newBalance(b, &spell)
	t, heat := c.Hours[23], k.floor*k.plate(float64(c.Mean))
	for range days {
		next, r := k.day(t, heat)
		c, t = next, r.end
	}
	return c
}

// Bands of the forecast.
const (
	MeanBand = unit.TemperatureStep(2) // of a daily mean, judgement
)

// oneInTen is the standard normal value that one day in ten passes.
const oneInTen = 1.2816

// HotSpell gives the third of three hot, clear days, such as one day in ten is:
// both extremes up by 1.28 spreads, the sun near a clear sky's.
func HotSpell(m sky.MonthMean, s sky.Screen) Day {
	w := weather{m.High, m.Low, m.Radiation, m.Vapour, m.Wind}
	w.high += unit.Temperature(oneInTen * float64(m.HighSpread))
	w.low += unit.Temperature(oneInTen * float64(m.LowSpread))
	w.radiation = max(w.radiation, 0.95*m.Reference.ClearSky)
	return day(m, w, 1, s)
}

// ColdNight gives the day of a night such as one in ten is, after a dull day.
func ColdNight(m sky.MonthMean, s sky.Screen) Day {
	w := weather{m.High, m.Low, m.Radiation, m.Vapour, m.Wind}
	w.high -= unit.Temperature(oneInTen * float64(m.HighSpread))
	w.low -= unit.Temperature(oneInTen * float64(m.LowSpread))
	w.radiation *= 0.7
	w.vapour = min(w.vapour, sky.SaturationPressure(w.low))
	return day(m, w, 1, s)
}
