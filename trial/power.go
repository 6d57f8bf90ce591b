package trial

import (
	"math"

	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/stat/distuv"
)

// nodes and reach of the integral over the spread that a trial may happen to show: nine standard deviations of it.
const nodes, reach = 128, 9

// Chance is the power of a t test: how often a difference of so many standard errors is shown, with tail the share
// of each end that counts (0.025 for two-sided 95 percent). Of a two-sided test the far end is left out, as is usual.
// It is the upper tail of the noncentral t, as the normal curve averaged over the chi distribution of the spread.
func Chance(errors, df, tail float64) float64 {
	critical := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: df}.Quantile(1 - tail)
	gamma, _ := math.Lgamma(df / 2)
	scale := math.Ln2 + df/2*math.Log(df/2) - gamma
	wide := reach / math.Sqrt(2*df)
	return quad.Fixed(func(w float64) float64 {
		if w <= 0 {
			return 0
		}
		density := math.Exp(scale + (df-1)*math.Log(w) - df*w*w/2)
		return density * distuv.UnitNormal.CDF(errors-critical*w)
	}, math.Max(0, 1-wide), 1+wide, nodes, nil, 0)
}

// Detectable is the least difference that a trial shows with this power: its standard error and degrees of freedom go in.
func Detectable(standardError, df, power float64) float64 {
	return Rules{Level, power}.detectable(standardError, df)
}

func (r Rules) detectable(standardError, df float64) float64 {
	return standardError * bisect(0, 1e3, func(errors float64) bool { return Chance(errors, df, (1-r.Level)/2) >= r.Power })
}

// Needed is how many plots a side show a difference with this power where plots of one treatment have this standard
// deviation; it is to be rounded up. tail as in Chance. At least two, and at most a million.
func Needed(difference, sd, power, tail float64) float64 {
	return bisect(2, 1e6, func(n float64) bool {
		return Chance(difference/(sd*math.Sqrt(2/n)), 2*n-2, tail) >= power
	})
}

// bisect finds where a condition that stays true once it is begins to hold.
func bisect(low, high float64, holds func(float64) bool) float64 {
	if holds(low) {
		return low
	}
	for high-low > 1e-12*high {
		middle := (low + high) / 2
		if holds(middle) {
			high = middle
		} else {
			low = middle
		}
	}
	return high
}
