package mix

import "raftwright/finding"

// ownSpoons says whether the grower weighed the spoons of all powders that bring
// nitrogen, several at a time.
func ownSpoons(doses []Dose) bool {
	for _, d := range doses {
		if d.Brings[Nitrogen] > 0 && d.Spoon.Count < 2 {
			return false
		}
	}
	return len(doses) > 0
}

// Verdict is how a level stands beside its wish.
type Verdict int

// Verdicts, from little to much.
const (
	Missing Verdict = iota // less than a quarter of the wish
	Weak                   // less than four fifths
	Right
	TooStrong // more than recipes hold, or than harms nothing
	Untold    // a label in use says nothing of it
)

// String gives the word of the JSON.
func (v Verdict) String() string {
	return [...]string{"missing", "weak", "right", "strong", "not known"}[min(max(v, Missing), Untold)]
}

// Word gives the word to be printed.
func (v Verdict) Word() finding.Word {
	return [...]finding.Word{finding.Word("word.how.missing"), finding.Word("word.how.weak"), finding.Word("word.how.right"), finding.Word("word.how.strong"), finding.Word("word.how.untold")}[min(max(v, Missing), Untold)]
}

// Verdict judges what came of a wish, by its band.
func (w Wish) Verdict() Verdict {
	switch {
	case w.Level <= 0:
		return Right
	case w.Unknown && w.Short() || w.MayHarm():
		return Untold
	case w.Achieved < w.Level*missingBelow:
		return Missing
	case w.Short():
		return Weak
	case w.IsOver() || w.Harms():
		return TooStrong
	}
	return Right
}
