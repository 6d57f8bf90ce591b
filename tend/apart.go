package tend

import (
	"math"
	"slices"
	"time"

	"raftwright/bed"
	"raftwright/finding"
	"raftwright/source"
)

// Two pens that were held into one bed within hours, nothing done between, and that lie further apart than both may be off: one of them is wrong, and nobody knows which.

// besideHours is within how many hours readings tell of the same water, and standHours how long they stand for now (own judgement).
const (
	besideHours = 3.0
	standHours  = 12.0
)

// apart is two readings of pH that cannot both be right.
type apart struct{ low, high float64 }

// apartIn finds them at the end of a log, of readings of the same minute too. They stand no more once the pens were set, or where a third reading after them is as near to one of
// them as pens are to each other.
func apartIn(log bed.Log, now time.Time, p pens) *apart {
	log = slices.Clone(log)
	slices.SortStableFunc(log, func(a, b bed.Visit) int { return a.At.Compare(b.At) })
	var read []float64
	var last time.Time
	for i := len(log) - 1; i >= 0; i-- {
		v := &log[i]
		switch {
		case v.At.After(now):
			continue
		case last.IsZero() && now.Sub(v.At).Hours() >= standHours || !last.IsZero() && last.Sub(v.At).Hours() > besideHours:
			i = 0
			continue
		case len(v.Done) > 0 && !last.IsZero() && v.At.Before(last): // what was read before it was of other water
			i = 0
			continue
		}
		if !v.Read.PH.Given {
			continue
		}
		if last.IsZero() {
			if last = v.At; !p.set.IsZero() && afterSet(log, i, p.set) {
				return nil
			}
		}
		read = append(read, v.Read.PH.Value)
	}
	if len(read) < 2 {
		return nil
	}
	most := p.mostApart()
	out := &apart{slices.Min(read), slices.Max(read)}
	if out.high-out.low <= most || len(read) > 2 && slices.ContainsFunc(read[1:], func(x float64) bool { return math.Abs(x-read[0]) <= most/2 }) {
		return nil
	}
	return out
}

// mostApart is how far apart two pens may read that are each off as far as they may be (of two that are off by 0.2 three in a hundred lie further apart).
func (p *pens) mostApart() float64 { return 3 * p.phBias }

// ask is how it is decided which of them is right.
func (x *apart) ask() Action {
	return Action{Do: DoSetMeter, Product: "ph", Why: WhyApart, Args: finding.Args{"Low": math.Round(x.low*100) / 100, "High": math.Round(x.high*100) / 100}, Source: source.OwnChoice}
}
