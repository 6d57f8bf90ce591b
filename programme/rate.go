package programme

import (
	"math"
	"strconv"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"
)

// Interval is a figure with its limits.
type Interval struct{ At, Low, High float64 }

// Level is the usual level of intervals.
const Level = 0.95

// normal gives the quantile of the standard normal distribution that leaves half of 1 - level above it.
func normal(level float64) float64 { return distuv.UnitNormal.Quantile(0.5 + level/2) }

// Wilson gives the share of yes among n answers with its limits (Wilson, JASA 22:209, 1927; no continuity correction). n
// may be effective, so not whole; with no answer there is no share, and all is NaN.
func Wilson(yes, n, level float64) Interval {
	z, p := normal(level), yes/n
	middle := (p + z*z/2/n) / (1 + z*z/n)
	half := z / (1 + z*z/n) * math.Sqrt(p*(1-p)/n+z*z/4/n/n)
	return Interval{p, math.Max(0, middle-half), math.Min(1, middle+half)}
}

// Newcombe gives the difference of two shares with its limits, by his hybrid of Wilson's (Stat. Med. 17:873, 1998,
// method 10).
func Newcombe(yes1, n1, yes2, n2, level float64) Interval {
	a, b := Wilson(yes1, n1, level), Wilson(yes2, n2, level)
	return Interval{a.At - b.At, a.At - b.At - math.Hypot(a.At-a.Low, b.High-b.At), a.At - b.At + math.Hypot(a.High-a.At, b.At-b.Low)}
}

// Exact gives the share with the exact limits of Clopper and Pearson, for who audits.
func Exact(yes, n, level float64) Interval {
	out := Interval{yes / n, 0, 1}
	if yes > 0 {
		out.Low = distuv.Beta{Alpha: yes, Beta: n - yes + 1}.Quantile(0.5 - level/2)
	}
	if yes < n {
		out.High = distuv.Beta{Alpha: yes + 1, Beta: n - yes}.Quantile(0.5 + level/2)
	}
	return out
}

// Small gives the limits where n of all asked answered, with the finite-population factor. It narrows honestly only
// where silence has nothing to do with the answer, so no report uses it unasked.
func Small(yes, n, all, level float64) Interval {
	factor := (all - n) / (all - 1)
	share := yes / n
	return Wilson(share*n/factor, n/factor, level)
}

// Needed gives how many answers make the limits lie within so much of a guessed share.
func Needed(within, guess, level float64) int {
	z := normal(level)
	return int(math.Ceil(z * z * guess * (1 - guess) / (within * within)))
}

// NobodySaid gives the largest share that n answers without a yes leave open, one-sided.
func NobodySaid(n, level float64) float64 { return 1 - math.Pow(1-level, 1/n) }

// Mean gives the mean of differences with the limits of Student's t. It needs two.
func Mean(differences []float64, level float64) Interval {
	mean, sd := stat.MeanStdDev(differences, nil)
	n := float64(len(differences))
	half := distuv.StudentsT{Sigma: 1, Nu: n - 1}.Quantile(0.5+level/2) * sd / math.Sqrt(n)
	return Interval{mean, mean - half, mean + half}
}

// Changers gives the probability that chance alone moves at least so many of those who changed their answer to one side:
// the exact binomial test of paired answers.
func Changers(toYes, toNo int) float64 {
	n, least := toYes+toNo, min(toYes, toNo)
	sum := 0.0
	for k := 0; k <= least; k++ {
		sum += math.Exp(logChoose(n, k) - float64(n)*math.Ln2)
	}
	return math.Min(1, 2*sum)
}

func logChoose(n, k int) float64 {
	a, _ := math.Lgamma(float64(n + 1))
	b, _ := math.Lgamma(float64(k + 1))
	c, _ := math.Lgamma(float64(n - k + 1))
	return a - b - c
}

// Clear tells whether an interval lies clear of zero.
func (i Interval) Clear() bool { return i.Low > 0 || i.High < 0 }

// Wide tells whether an interval is so wide, by the rule of the report, that a reader is told.
func (r *Report) Wide(i Interval) bool { return i.High-i.Low >= r.by.wide-1e-9 }

// Silent tells whether so few of those asked answered, by the rule of the report, that it must say what silence may hide.
func (r *Report) Silent(response float64) bool { return response < r.by.response-1e-9 }

// PupilsShown gives what a result of pupils may say: nothing of a small class, and neither all nor none.
func PupilsShown(rose, pupils, least int) string {
	switch share := float64(rose) / float64(max(1, pupils)); {
	case pupils < least:
		return fewPupilsNames[0] + strconv.Itoa(least) + fewPupilsNames[1]
	case share >= 0.95:
		return fewPupilsNames[2]
	case share <= 0.05:
		return fewPupilsNames[3]
	}
	return strconv.Itoa(rose) + " of " + strconv.Itoa(pupils)
}
