package sky

import (
	"math"
	"sync"

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
	for q, c := range forenoon() { // the afternoon is its mirror
		if -quarter(q) >= ws {
			continue
		}
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

// quarter is the hour angle of the middle of a quarter of an hour, from midnight.
func quarter(q int) float64 { return (float64(q)+0.5)*math.Pi/48 - math.Pi }

// forenoon is the cosine of each quarter's hour angle up to noon, the same on every day.
var forenoon = sync.OnceValue(func() *[48]float64 {
	var out [48]float64
	for q := range out {
		out[q] = math.Cos(quarter(q))
	}
	return &out
})

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
	sum, dusk := 0.0, lo+(hi-lo)*math.Sin(math.Pi*(day-partonC)/(day+2*partonA))
	for h := range out {
		t := float64(h) + 0.5
		if day < 4 || day > 22 {
			out[h] = (hi+lo)/2 + (hi-lo)/2*math.Cos(2*math.Pi*(t-14)/24)
		} else {
			out[h] = partonLogan(t, day, hi, lo, dusk)
		}
		sum += out[h] / 24
	}
	for h := range out {
		out[h] += (hi+lo)/2 - sum
	}
	return out
}

const partonA, partonB, partonC = 1.86, 2.20, -0.17

// partonLogan gives an hour of the day; dusk is what it gives at sunset.
func partonLogan(t, day, hi, lo, dusk float64) float64 {
	rise := 12 - day/2 + partonC // time of the minimum
	set := 12 + day/2
	if t >= rise && t <= set {
		return lo + (hi-lo)*math.Sin(math.Pi*(t-rise)/(day+2*partonA))
	}
	since := t - set // hours since sunset
	if since < 0 {
		since += 24
	}
	return lo + (dusk-lo)*math.Exp(-partonB*since/(24-day-partonC))
}

// woven is how the days of a year lie between the middles of its months, the same for all means.
type woven struct {
	after [365]int       // the mid-month up to which each day lies
	share [365]float64   // of the way to the next
	of    [12][3]float64 // a month's mean of the knots before it, of its own and after it
}

var weave = sync.OnceValue(func() *woven {
	w := &woven{}
	middle := func(m int) float64 { return float64(firstDay[m]+firstDay[m+1])/2 - 0.5 }
	month := [365]int{}
	for m := range 12 {
		for d := firstDay[m]; d < firstDay[m+1]; d++ {
			month[d] = m
		}
	}
	for m := range 12 {
		next := (m + 1) % 12
		from, to := middle(m), middle(next)
		if next == 0 {
			to += 365
		}
		for i := int(math.Ceil(from)); float64(i) < to; i++ {
			d, f := i%365, (float64(i)-from)/(to-from)
			w.after[d], w.share[d] = m, f
			at, days := month[d], float64(DaysIn(month[d]+1))
			if at == m { // the later half of its own month
				w.of[at][1] += (1 - f) / days
				w.of[at][2] += f / days
			} else {
				w.of[at][0] += (1 - f) / days
				w.of[at][1] += f / days
			}
		}
	}
	return w
})

// Days spreads twelve monthly means over 365 days: straight lines between
// mid-months, the knots shifted until each month keeps its mean (30 rounds,
// then the last difference goes to the month's days).
func Days(months [12]float64) [365]float64 {
	w := weave()
	knots := months
	for range 30 {
		now := knots
		for m, k := range &w.of {
			knots[m] += months[m] - k[0]*now[(m+11)%12] - k[1]*now[m] - k[2]*now[(m+1)%12]
		}
	}
	var out [365]float64
	for d, m := range &w.after {
		out[d] = knots[m] + w.share[d]*(knots[(m+1)%12]-knots[m])
	}
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
