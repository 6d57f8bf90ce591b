package programme_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"

	"raftwright/programme"
)

// changesOf are the sets of changes on a scale of five steps that a reader can tell apart by how many there are, what they sum to, and what their squares do.
type changesOf struct{ n, sum, squares int }

// most gives, of n changes of at most four steps with that sum and (from 0 on) those squares, the largest number that rose and that did not.
func (c changesOf) most() (rose, not int) {
	type state struct{ sum, squares int }
	const none = -1 << 30
	run := func(rises bool) int {
		at := map[state]int{{0, 0}: 0}
		for range c.n {
			next := map[state]int{}
			for s, k := range at {
				for d := -4; d <= 4; d++ {
					to, more := state{s.sum + d, s.squares + d*d}, k
					if c.squares < 0 {
						to.squares = 0
					} else if to.squares > c.squares {
						continue
					}
					if (d > 0) == rises {
						more++
					}
					if was, ok := next[to]; !ok || more > was {
						next[to] = more
					}
				}
			}
			at = next
		}
		if k, ok := at[state{c.sum, max(c.squares, 0)}]; ok {
			return k
		}
		return none
	}
	return run(true), run(false)
}

// The mean change and its interval give the sum of the changes and of their squares away: of 24 looking back, whose mean rose by 1.375 with an interval from 1.005 to 1.745, no more than
// six can be without a rise, where fewer than eleven are hidden. So what is public lets as many as the threshold be on either side, by all changes that fit it.
func TestAMeanTellsNotWhoRose(t *testing.T) {
	for seed := range uint64(12) {
		r := rand.New(rand.NewPCG(seed, 77))
		n := 12 + r.IntN(9)
		x := programme.Records{Counties: []programme.County{{ID: "A", Name: "A"}}, Funders: []programme.Funder{{ID: "F", From: on("2026-07-01"), To: on("2027-06-30"), Series: "each", SameDay: "once", Threshold: 11}},
			Events: []programme.Event{{ID: "E", Date: on("2026-08-01"), County: "A", Education: true, Adults: 40}}}
		for i := range n {
			before := 1 + r.IntN(2)
			after := min(5, before+[]int{0, 1, 2, 4, 4, 4, 4}[r.IntN(1+int(seed)%7)])
			x.Answers = append(x.Answers, programme.Answer{Form: fmt.Sprint("Q", i), Event: "E", Kind: "looking back", Item: "mix", Before: programme.Maybe{Given: true, N: before}, After: programme.Maybe{Given: true, N: after}})
		}
		shown := map[string]float64{}
		rep := report(t, x, "F", "2027-06-30")
		for _, f := range rep.Public().Figures {
			if f.Why == "" {
				shown[f.Name()] = f.Number
			}
		}
		in, _ := rep.Find("looking back/mix: rose", "all")
		rose := int(in.Number)
		mean, told := shown["looking back/mix: mean change"]
		if _, open := shown["looking back/mix: rose"]; !told || open {
			continue
		}
		c := changesOf{n, int(math.Round(mean * float64(n))), -1}
		if low, ok := shown["looking back/mix: low"]; ok {
			sd := (mean - low) * math.Sqrt(float64(n)) / distuv.StudentsT{Sigma: 1, Nu: float64(n - 1)}.Quantile(0.975)
			c.squares = int(math.Round(sd*sd*float64(n-1) + mean*mean*float64(n)))
		}
		mostRose, mostNot := c.most()
		if rose > 0 && rose < 11 && mostRose < 11 || n-rose > 0 && n-rose < 11 && mostNot < 11 {
			t.Errorf("year %d: %d of %d rose; the mean %g tells that at most %d did and %d did not", seed, rose, n, mean, mostRose, mostNot)
		}
	}
	if _, not := (changesOf{24, 33, 63}).most(); not != 6 {
		t.Error("of the practice year:", not)
	}
}
