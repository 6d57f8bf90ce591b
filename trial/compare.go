// Package trial lays two treatments out by a drawn lot, in the holes of a raft or over beds, and compares what was
// weighed: difference, interval, the least difference that such a trial can show, and one of a few verdicts. It
// never says that two treatments are the same.
//
// Methods: paired and Welch's t (df by Welch-Satterthwaite), all sign changes (Fisher 1935), power by the
// noncentral t. 95 percent, two-sided, a minus b throughout. Pure: the lot is drawn from a seed that is printed.
package trial

import (
	"math"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"

	"raftwright/finding"
)

// Level is the share of intervals that hold the true difference, Power the chance that the least detectable
// difference is shown (common choices, no source; both are said beside every figure).
const (
	Level = 0.95
	Power = 0.80
)

// Rules are a level and a power other than these, where an office has set them.
type Rules struct{ Level, Power float64 }

// usual are the common ones.
func usual() Rules { return Rules{Level, Power} }

// Verdict is what a comparison shows.
type Verdict string

// Verdicts.
const (
	Shown    Verdict = "shown"    // the interval is clear of zero
	NotShown Verdict = "notshown" // it is not: nothing is said of sameness
	TooFew   Verdict = "toofew"   // one plot a side: no spread, no interval
	NoSpread Verdict = "nospread" // all alike: the scale is to be checked
)

// Comparison is what two treatments weighed, a minus b, in the unit of the values.
type Comparison struct {
	Verdict    Verdict
	Paired     bool
	A, B       int     // plots of each; of pairs, the pairs
	MeanA      float64 // of the plots
	MeanB      float64
	Difference float64
	// with Shown and NotShown alone
	Low, High float64 // the interval
	T, DF, P  float64 // P is two-sided
	Error     float64 // standard error of the difference
	Least     float64 // detectable difference: shown with the power of the rules, usually four times in five
	Signs     Signs   // of pairs, where there are few enough to count all
}

// Faults of what is compared.
const (
	FaultPairs  finding.ID = "trial.fault.pairs"  // sides of unequal length
	FaultNumber finding.ID = "trial.fault.number" // a value that is no number
)

// Groups compares plots that nothing pairs (Welch). Plants that share a bed are averaged first, where the bed was
// what the lot was drawn for.
func Groups(a, b []float64) (Comparison, error) { return usual().Groups(a, b) }

// Groups compares by these rules.
func (r Rules) Groups(a, b []float64) (Comparison, error) {
	if !finite(a) || !finite(b) {
		return Comparison{}, finding.Fault{ID: FaultNumber}
	}
	meanA, sdA := spread(a)
	meanB, sdB := spread(b)
	c := r.summaries(Summary{len(a), meanA, sdA}, Summary{len(b), meanB, sdB})
	return c, nil
}

// Summary is a group by its figures.
type Summary struct {
	N        int
	Mean, SD float64
}

// Summaries compares two groups by their figures (Welch).
func Summaries(a, b Summary) Comparison { return usual().summaries(a, b) }

func (r Rules) summaries(a, b Summary) Comparison {
	c := Comparison{A: a.N, B: b.N, MeanA: a.Mean, MeanB: b.Mean, Difference: a.Mean - b.Mean}
	va, vb := a.SD*a.SD/float64(a.N), b.SD*b.SD/float64(b.N)
	switch {
	case a.N < 2 || b.N < 2:
		c.Verdict = TooFew
	case va+vb == 0:
		c.Verdict = NoSpread
	default:
		df := (va + vb) * (va + vb) / (va*va/float64(a.N-1) + vb*vb/float64(b.N-1))
		c.judge(math.Sqrt(va+vb), df, r.Level)
		c.Least = r.detectable(c.Error, c.DF)
	}
	return c
}

// Pairs compares plots of which each of a stands with one of b in a block: a bed, or a strip of a raft.
func Pairs(a, b []float64) (Comparison, error) { return usual().Pairs(a, b) }

// Pairs compares by these rules.
func (r Rules) Pairs(a, b []float64) (Comparison, error) {
	if len(a) != len(b) {
		return Comparison{}, finding.Fault{ID: FaultPairs}
	}
	if !finite(a) || !finite(b) {
		return Comparison{}, finding.Fault{ID: FaultNumber}
	}
	n := len(a)
	differences := make([]float64, n)
	for i := range a {
		differences[i] = a[i] - b[i]
	}
	c := Comparison{Paired: true, A: n, B: n}
	c.MeanA, _ = spread(a)
	c.MeanB, _ = spread(b)
	var sd float64
	c.Difference, sd = spread(differences)
	switch {
	case n < 2:
		c.Verdict = TooFew
	case sd == 0:
		c.Verdict = NoSpread
	default:
		c.judge(sd/math.Sqrt(float64(n)), float64(n-1), r.Level)
		c.Least = r.detectable(c.Error, c.DF)
		c.Signs = AllSigns(differences)
	}
	return c, nil
}

// judge fills in the interval and the verdict.
func (c *Comparison) judge(standardError, df, level float64) {
	student := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: df}
	half := student.Quantile(1-(1-level)/2) * standardError
	c.Error, c.DF, c.T = standardError, df, c.Difference/standardError
	c.P = 2 * student.CDF(-math.Abs(c.T))
	c.Low, c.High = c.Difference-half, c.Difference+half
	c.Verdict = NotShown
	if c.Low > 0 || c.High < 0 {
		c.Verdict = Shown
	}
}

// spread gives mean and standard deviation; of fewer than two values no deviation.
func spread(x []float64) (mean, sd float64) {
	switch len(x) {
	case 0:
		return 0, 0
	case 1:
		return x[0], 0
	}
	mean, sd = stat.MeanStdDev(x, nil)
	if sd < 1e-12*math.Abs(mean) { // what is left of rounding where all are alike
		sd = 0
	}
	return mean, sd
}

func finite(x []float64) bool {
	for _, v := range x {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return false
		}
	}
	return true
}

// Signs counts how the sum of the differences could have come out, had the lot fallen otherwise in each block.
type Signs struct {
	Arrangements int     // 2 for each pair; 0 where there are too many to count
	AsLarge      int     // of these, sums at least as large, in the direction seen
	P            float64 // two-sided
}

// mostSigns is how many pairs are counted out: a million arrangements.
const mostSigns = 20

// AllSigns counts all sign changes of differences: a check on t that needs no normal curve (Fisher 1935, chapter 3).
func AllSigns(differences []float64) Signs {
	n := len(differences)
	if n == 0 || n > mostSigns {
		return Signs{}
	}
	sum, size := 0.0, 0.0
	for _, d := range differences {
		sum += d
		size += math.Abs(d)
	}
	near := 1e-9 * size // sums that differ by rounding alone are even
	seen := math.Abs(sum)
	s := Signs{Arrangements: 1 << n}
	two := 0
	for set := range s.Arrangements {
		x := 0.0
		for i, d := range differences {
			if set>>i&1 == 1 {
				d = -d
			}
			x += d
		}
		if x >= seen-near {
			s.AsLarge++
		}
		if math.Abs(x) >= seen-near {
			two++
		}
	}
	s.P = float64(two) / float64(s.Arrangements)
	return s
}
