package sky

import (
	"math"

	"raftwright/unit"
)

// RadiationShape gives the share of a day's radiation that falls in each hour,
// from midnight, in solar time: Collares-Pereira & Rabl 1979, taken at the
// middle of each quarter of an hour, scaled so that the shares add to 1. In a
// polar night all are 0.
func (s Sun) RadiationShape() [24]float64 {
	var out [24]float64
	ws := s.sunset
	if ws <= 0 {
		return out
	}
	a := 0.409 + 0.5016*math.Sin(ws-math.Pi/3)
	b := 0.6609 - 0.4767*math.Sin(ws-math.Pi/3)
	cosws, sum := math.Cos(ws), 0.0
	for q := range 48 { // the forenoon; the afternoon is its mirror
		w := (float64(q)+0.5)*math.Pi/48 - math.Pi
		if -w >= ws {
			continue
		}
		c := math.Cos(w)
		r := math.Max(0, (a+b*c)*(c-cosws))
		out[q/4] += r
		out[23-q/4] += r
		sum += 2 * r
	}
	for h := range out {
		if sum > 0 {
			out[h] /= sum
		}
	}
	return out
}

// TemperatureShape gives the mean temperature of each hour of a day with these
// extremes (Parton & Logan 1981: a sine by day that peaks a = 1.86 h after noon,
// an exponential fall by night, b = 2.20, lowest c = 0.17 h before sunrise). The
// hours are shifted so that their mean is (high + low)/2, the mean that monthly
// tables mean. Days without sunset or sunrise swing as a sine with its peak at
// 14 h.
func (s Sun) TemperatureShape(high, low unit.Temperature) [24]float64 {
	var out [24]float64
	hi, lo := high.Celsius(), low.Celsius()
	day := s.Daylight.Hours()
	sum := 0.0
	for h := range out {
		t := float64(h) + 0.5
		if day < 4 || day > 22 {
			out[h] = (hi+lo)/2 + (hi-lo)/2*math.Cos(2*math.Pi*(t-14)/24)
		} else {
			out[h] = partonLogan(t, day, hi, lo)
		}
		sum += out[h] / 24
	}
	for h := range out {
		out[h] += (hi+lo)/2 - sum
	}
	return out
}

func partonLogan(t, day, hi, lo float64) float64 {
	const a, b, c = 1.86, 2.20, -0.17
	rise := 12 - day/2 + c // time of the minimum
	set := 12 + day/2
	sine := func(m float64) float64 { return lo + (hi-lo)*math.Sin(math.Pi*m/(day+2*a)) }
	if t >= rise && t <= set {
		return sine(t - rise)
	}
	since := t - set // hours since sunset
	if since < 0 {
		since += 24
	}
	dusk := sine(set - rise)
	return lo + (dusk-lo)*math.Exp(-b*since/(24-day-c))
}

// Days spreads twelve monthly means over 365 days: straight lines between
// mid-months, the knots shifted until each month keeps its mean (30 rounds,
// then the last difference goes to the month's days).
func Days(months [12]float64) [365]float64 {
	knots := months
	var out [365]float64
	for range 30 {
		spread(&out, &knots)
		for m := range knots {
			knots[m] += months[m] - monthMean(&out, m)
		}
	}
	spread(&out, &knots)
	for m := range months {
		rest := months[m] - monthMean(&out, m)
		for d := firstDay[m]; d < firstDay[m+1]; d++ {
			out[d] += rest
		}
	}
	return out
}

func monthMean(days *[365]float64, m int) float64 {
	sum := 0.0
	for d := firstDay[m]; d < firstDay[m+1]; d++ {
		sum += days[d]
	}
	return sum / float64(firstDay[m+1]-firstDay[m])
}

func spread(out *[365]float64, knots *[12]float64) {
	middle := func(m int) float64 { return float64(firstDay[m]+firstDay[m+1])/2 - 0.5 }
	for m := range 12 {
		next := (m + 1) % 12
		from, to := middle(m), middle(next)
		if next == 0 {
			to += 365
		}
		for d := int(math.Ceil(from)); float64(d) < to; d++ {
			f := (float64(d) - from) / (to - from)
			out[d%365] = knots[m] + f*(knots[next]-knots[m])
		}
	}
}
