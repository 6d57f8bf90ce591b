package tend

import (
	"math"
	"slices"
	"time"

	"raftwright/unit"
)

// Forecast is the bed at the end of a day ahead, if nothing is done.
type Forecast struct {
	At             time.Time
	Volume, EC, PH Range // L, mS/cm, pH
	Warmth         Range // °C
	Oxygen         unit.MassConcentration
}

// point is a bed at the end of a day ahead.
type point struct {
	volume, ec, pH float64
	h              float64 // activity of H+
	in             amounts // mmol/L
}

// lived is a drawn bed with its days ahead.
type lived struct {
	draw
	of   *history
	days []day
	brim float64 // L
	near *near
}

// Rain that may come on a day of which nothing is said: three days in ten are wet, and then it rains as
// an exponential law has it (own judgement; the month's mean is kept).
const wetDays = 0.3

// even gives a number between 0 and 1 of an evenly spread sequence.
func even(number, of int) float64 {
	x := 0.5 + float64(number+1)*math.Sqrt(float64(primes[of%len(primes)])) + float64(of/len(primes))*0.37
	return x - math.Floor(x)
}

// prepare gives a drawn bed its days: growth and thirst as its habits are, weather and rain by its number;
// number 0 has a mean day's thirst and no rain of which nobody knows. The days are written where there is room for them.
func (h *history) prepare(d draw, f *future, number int, room []day) lived {
	out := lived{draw: d, of: h, days: append(room, f.days...), near: &d.story.nears[len(d.story.nears)-1]}
	out.brim = h.area * d.area * h.brim
	for i := range out.days {
		x := &out.days[i]
		x.lively(&d.habits)
		x.leak = d.leak * x.days
		x.since = f.since + float64(i) + 0.5
		rain := f.rain[i]
		if number > 0 {
			weather := math.Exp(sdAir * normal(max(0.001, min(0.999, even(number, 11+i)))))
			x.drinks, x.dries = x.drinks*weather, x.dries*weather
		}
		if !f.known {
			wet := even(number, 19+i)
			if number == 0 || wet >= wetDays {
				rain = 0
			} else {
				rain *= -math.Log(max(1e-6, wet/wetDays)) / wetDays
			}
		}
		x.rain = rain * h.area * d.area
	}
	return out
}

// through lives a bed's water through so many of its days.
func (b *lived) through(w water, H float64, out []point, days int) []point {
	var l ledger
	var at way
	out = append(out[:0], b.point(&w, H, at.acidity(H)))
	for i := range days {
		d := &b.days[i]
		parts := 1
		if w.in[ammonium] > soursFrom*w.volume && H < 1e-5 {
			parts = 4
		}
		part := d.part(parts, &b.habits)
		for k := range parts {
			part.since = d.since + ((float64(k)+0.5)/float64(parts)-0.5)*d.days
			was := at
			H = w.step(&l, &part, &b.habits, b.brim, b.near, H, &at)
			if was.h > 0 { // it is looked for where it goes on as it went
				at.open, at.h = at.open*at.open/was.open, at.h*at.h/was.h
			}
		}
		out = append(out, b.point(&w, H, at.acidity(H)))
	}
	return out
}

// soursFrom is the ammonium, mmol/L, from which on a day is lived in quarters: what becomes of it in a day can sour a
// bed that has little to hold against it, and stops as it does.
const soursFrom = 0.3

// part is one of so many equal parts of a day.
func (d *day) part(of int, b *habits) day {
	out, x := *d, 1/float64(of)
	if of == 1 {
		return out
	}
	for _, p := range [...]*float64{&out.days, &out.drinks, &out.dries, &out.rain, &out.leak, &out.gains} {
		*p *= x
	}
	out.breathes(b)
	return out
}

func (b *lived) point(w *water, H, pH float64) point {
	out := point{volume: w.volume, pH: pH + b.tilt, h: H, in: w.litre()}
	out.ec = b.near.conducts(&out.in)
	return out
}

// middle is the likeliest bed, as a draw.
func (e *estimate) middle() draw {
	f := e.best
	m := &f.run.moments[len(f.run.moments)-1]
	return draw{story: f, water: m.after, h: m.hAfter, habits: f.setting.habits, area: f.setting.area, leak: e.h.leaksStill(&f.setting), tilt: f.setting.tilt}
}

// quantile gives the figure below which a share of sorted ones lie.
func quantile(sorted []float64, share float64) float64 {
	x := share*float64(len(sorted)) - 0.5
	k := max(0, min(len(sorted)-2, int(x)))
	t := max(0, min(1, x-float64(k)))
	return sorted[k] + (sorted[k+1]-sorted[k])*t
}

// bandOf gives the median and the middle nine tenths.
func bandOf(x []float64) Range {
	slices.Sort(x)
	return Range{quantile(x, 0.5), quantile(x, 0.05), quantile(x, 0.95)}
}

// forecast tells the days ahead from what the drawn beds come to; courses[i] begins with the moment itself.
func (a *adviser) forecast(courses [][]point) []Forecast {
	var out []Forecast
	each := make([]float64, len(courses))
	band := func(day int, of func(*point) float64) Range {
		for i := range courses {
			each[i] = of(&courses[i][day])
		}
		return bandOf(each)
	}
	sd := ninety * math.Hypot(warmthSpread(len(a.h.offsets)), sdDayWarmth)
	for i, d := range a.future.days {
		f := Forecast{At: a.future.at.Add(time.Duration(i+1) * 24 * time.Hour)}
		f.Volume = band(i+1, func(p *point) float64 { return p.volume })
		f.EC = band(i+1, func(p *point) float64 { return p.ec })
		f.PH = band(i+1, func(p *point) float64 { return p.pH })
		w := d.warmth + a.e.warmthIn(float64(i)+1)
		f.Warmth = Range{w, w - sd, w + sd}
		f.Oxygen = a.h.breath(a.heads, a.e.fresh(a.h.after(f.At)), w, a.supposed)
		out = append(out, f)
	}
	return out
}

// sdDayWarmth is how far a day's solution lies from that of the mean day, °C (own judgement).
const sdDayWarmth = 1.2
