package sky

import (
	"math"
	"time"

	"raftwright/unit"
)

// DayOfYear is a day of any year, 1 (January 1) to 365, without leap days; 0 is
// no day.
type DayOfYear int

// DayOf gives the day of the year of a date; February 29 counts as the 28th.
func DayOf(t time.Time) DayOfYear {
	if t.IsZero() {
		return 0
	}
	m := int(t.Month())
	return DayOfYear(firstDay[m-1] + min(t.Day(), DaysIn(m)))
}

// Month gives the month, 1 to 12, and the day in it.
func (d DayOfYear) Month() (month, day int) {
	n := (int(d)-1)%365 + 1
	if n < 1 {
		n += 365
	}
	for m := 1; m <= 12; m++ {
		if n <= firstDay[m] {
			return m, n - firstDay[m-1]
		}
	}
	return 12, 31
}

// In gives the date in a year, UTC. The zero day gives the zero time.
func (d DayOfYear) In(year int) time.Time {
	if d == 0 {
		return time.Time{}
	}
	m, day := d.Month()
	return time.Date(year, time.Month(m), day, 0, 0, 0, 0, time.UTC)
}

// FreezeDates are the days of the year on which the chance of a freeze that is
// still to come (spring) or has come (fall) is 10, 50 and 90 %. A day is 0 when
// that chance is never reached; Always says that it freezes the year round.
type FreezeDates struct {
	Threshold                 unit.Temperature
	Last10, Last50, Last90    DayOfYear // in spring: Last10 is the late, safe date
	First10, First50, First90 DayOfYear // in fall: First10 is the early, safe date
	FreeDays10, FreeDays50    int       // from the last to the first at the same chance; 0 when Always
	Always, Never             bool
	SpreadKnown               bool // the day-to-day spread was given, not estimated
}

// Error of the freeze dates against published ones: about 4 days at 50 % and up
// to 11 at 10 %; cold hollows are worse.
const (
	FreezeBand50 = 4 * unit.Day
	FreezeBand10 = 11 * unit.Day
)

// freezeOffset is added to the threshold and pairPower stands for runs of two
// cold days: both were chosen on published freeze dates (own).
const (
	freezeOffset = 0.28
	pairPower    = 0.5
)

// chances gives, for each day, the natural log of the chance that it does not
// freeze at the threshold, halved for runs.
func chances(mean, spread *[365]float64, threshold float64) [365]float64 {
	var out [365]float64
	for d := range out {
		s := math.Max(0.5, spread[d])
		away := (mean[d] - threshold - freezeOffset) / s
		if away > 9 { // less than 1e-18
			continue
		}
		p := 0.5 * math.Erfc(away/math.Sqrt2)
		out[d] = pairPower * math.Log1p(-math.Min(p, 1-1e-12))
	}
	return out
}

// Freezes gives the freeze dates of a threshold from the daily means and spreads
// of the minimum: chance of a freeze on or after day d = 1 - product of
// (1 - p)^(1/2), spring counted back from 30 July, fall on from 1 August, half a
// year later in the south.
func (y *Year) Freezes(threshold unit.Temperature) FreezeDates {
	t := y.FreezeTable(threshold)
	return y.DatesOf(&t)
}

// DatesOf gives the freeze dates of a table of the year's.
func (y *Year) DatesOf(t *FreezeTable) FreezeDates {
	c := &t.days
	f := FreezeDates{Threshold: t.threshold, SpreadKnown: y.SpreadKnown}
	turn := 212 // index of 1 August
	if y.Latitude < 0 {
		turn = 31 // 1 February
	}
	f.Last10, f.Last50, f.Last90 = crossing(c, turn-1, -1)
	f.First10, f.First50, f.First90 = crossing(c, turn, +1)
	f.Never = f.Last10 == 0 && f.First10 == 0
	// freezing on the very first day that is counted: no season between
	f.Always = f.Last50 == DayOfYear(turn) && f.First50 == DayOfYear(turn+1)
	switch {
	case f.Always:
	case f.Never:
		f.FreeDays10, f.FreeDays50 = 365, 365
	default:
		f.FreeDays10, f.FreeDays50 = free(f.Last10, f.First10), free(f.Last50, f.First50)
	}
	return f
}

func free(last, first DayOfYear) int {
	if last == 0 || first == 0 {
		return 365
	}
	return (int(first) - int(last) + 365) % 365
}

// crossing walks half a year and more from an index (spring: back, fall: on)
// and gives the first days at which the chance of a freeze between here and the
// start reaches 10, 50 and 90 %.
func crossing(c *[365]float64, from, step int) (ten, fifty, ninety DayOfYear) {
	at := func(chance float64) float64 { return math.Log1p(-chance) }
	tenth, half, most, sum := at(0.1), at(0.5), at(0.9), 0.0
	for i := range 365 {
		d := ((from+i*step)%365 + 365) % 365
		sum += c[d]
		day := DayOfYear(d + 1)
		if ten == 0 && sum <= tenth {
			ten = day
		}
		if fifty == 0 && sum <= half {
			fifty = day
		}
		if sum <= most {
			return ten, fifty, day
		}
	}
	return ten, fifty, ninety
}

// FreezeTable gives the chance that it freezes at one threshold at least once in a span.
type FreezeTable struct {
	threshold unit.Temperature
	days      [365]float64 // log of the chance that it does not freeze
	sum       [366]float64 // of the days before
}

// FreezeTable prepares a threshold.
func (y *Year) FreezeTable(threshold unit.Temperature) FreezeTable {
	t := FreezeTable{threshold: threshold, days: chances(&y.low, &y.lowSpread, threshold.Celsius())}
	for d, c := range t.days {
		t.sum[d+1] = t.sum[d] + c
	}
	return t
}

// Chance gives the chance of a freeze in a span of days.
func (t *FreezeTable) Chance(from DayOfYear, days int) unit.Fraction {
	return unit.Fraction(-math.Expm1(t.LogOf(from, days)))
}

// LogOf gives the natural log of the chance that a span of days has no freeze.
func (t *FreezeTable) LogOf(from DayOfYear, days int) float64 {
	if days <= 0 {
		return 0
	}
	a, days := from.index(), min(days, 365)
	if b := a + days; b > 365 {
		return t.sum[365] - t.sum[a] + t.sum[b-365]
	}
	return t.sum[a+days] - t.sum[a]
}
