package season

import (
	"encoding/binary"
	"math"
	"time"

	"raftwright/crop"
	"raftwright/sky"
	"raftwright/unit"
)

// Daily is what a mean day brings to the bed.
type Daily struct {
	ET0      unit.DailyDepth // of grass, under the cover
	Rain     unit.Length     // that reaches the bed; 0 under a roof
	Solution unit.Temperature
	Light    unit.DailyLight
}

// Daily gives the mean day of the year at the bed, before a log taught anything.
func (g *Ground) Daily(d sky.DayOfYear) Daily {
	i := int(d-1) % 365
	month := &g.sky.Months[monthOf(sky.DayOfYear(i+1))-1]
	out := Daily{ET0: unit.DailyDepth(g.days.et0[i]*float64(g.screen.Thirst)) * unit.MillimetrePerDay,
		Solution: g.months[month.Number-1].Usual.Mean, Light: unit.DailyLight(g.days.light[i])}
	if rain := g.job.Climate.Months[month.Number-1].Rain; rain != nil && !g.screen.Covered {
		out.Rain = *rain / unit.Length(sky.DaysIn(month.Number))
	}
	return out
}

// Grow grows a stand of any crop under the sky of the ground.
func (g *Ground) Grow(s crop.Stand) []crop.Standing {
	g.growth.weather.mutex.Lock()
	defer g.growth.weather.mutex.Unlock()
	return g.growth.weather.Grow(s)
}

// Drinks gives the water (L a day) that the plan's forecast has a bed take on a day with so much ET0 under the cover, with a
// share of it under leaves of a crop.
func (g *Ground) Drinks(k crop.Crop, et0 unit.DailyDepth, cover float64) unit.Volume {
	return (et0 * unit.DailyDepth(need(k.Water, g.bed, cover))).Over(g.bed.Area)
}

// Takes gives the water (L a day) that leaves and open water take on a day with so much ET0, with
// a share of the bed under leaves of a crop: the two parts of its thirst. Unlike the plan's
// forecast of what to top up, which begins with the start value of FAO-56, plants that
// cover nothing take nothing here: a bed's own readings tell the rest.
func (g *Ground) Takes(k crop.Crop, et0 unit.DailyDepth, cover float64) (leaves, open unit.Volume) {
	gap := float64(g.bed.Gap)
	if gap <= 0 {
		gap = 0.05
	}
	part := func(x float64) unit.Volume { return (et0 * unit.DailyDepth(x)).Over(g.bed.Area) }
	return part(k.Water.Full * cover), part(openWater * gap)
}

// AppendDays appends all that differs between grounds of one bed, crop and cover in the days from one to another: where that is
// the same, so is what a log of those days is held against.
func (g *Ground) AppendDays(out []byte, from, to time.Time) []byte {
	put := func(x float64) { out = binary.LittleEndian.AppendUint64(out, math.Float64bits(x)) }
	day := from.AddDate(0, 0, -1)
	for n := 0; n < 366 && !day.After(to.AddDate(0, 0, 2)); n++ {
		d := sky.DayOf(day)
		w, plants := g.Daily(d), g.hours(int(d)-1)
		put(float64(d))
		put(w.Solution.Celsius())
		put(w.ET0.Millimetres())
		put(w.Rain.Millimetres())
		for h := range plants.Air {
			put(float64(plants.Air[h]))
			put(float64(plants.PAR[h]))
		}
		day = day.AddDate(0, 0, 1)
	}
	return out
}
