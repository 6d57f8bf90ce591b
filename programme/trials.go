package programme

import (
	"cmp"
	"maps"
	"slices"
	"strconv"

	"raftwright/trial"
)

// Trial is a comparison of two treatments, or of two sites, as it was weighed.
type Trial struct {
	ID, Design, Unit string
	A, B             string // the treatments, in their order; the difference is a minus b
	trial.Comparison
	Left int   // blocks with one side missing: counted and left out
	Seed Maybe // of the lot
	From []Ref // its plots
	Why  bool
}

// designNames are the designs of a trial.
var designNames = []string{"both in every bed", "two sites"}

// compared compares what was weighed in each trial.
func (r *Report) compared() {
	by, from := map[string][]Plot{}, map[string][]Ref{}
	for i, p := range r.stood.Plots {
		by[p.Trial], from[p.Trial] = append(by[p.Trial], p), append(from[p.Trial], inPlots(i))
	}
	for _, id := range sorted(by) {
		t := compare(id, by[id], trial.Rules{Level: r.by.level, Power: r.by.power})
		if t.From = from[id]; t.B == "" {
			r.noticed("treatments", id, t.From[0])
		}
		r.Trials = append(r.Trials, t)
	}
}

// mean is the mean of what was weighed in one unit of a trial.
type mean struct {
	sum float64
	n   int
}

func (m mean) at() float64 { return m.sum / float64(m.n) }

// compare compares two treatments. What was weighed several times in one unit is averaged first: a treatment's plots in one block, where both are in each; else the
// plants of one plot. Of one treatment, or of three, nothing is compared.
func compare(id string, plots []Plot, by trial.Rules) Trial {
	t := Trial{ID: id, Design: plots[0].Design, Unit: plots[0].Unit}
	paired := t.Design == designNames[0]
	type unit struct{ block, plot string }
	values := map[string]map[unit]mean{}
	for _, p := range plots {
		if p.Seed.Given {
			t.Seed = p.Seed
		}
		if values[p.Treatment] == nil {
			values[p.Treatment] = map[unit]mean{}
		}
		if !p.Value.Given {
			continue
		}
		at := unit{p.Block, p.Name}
		if paired {
			at.plot = ""
		}
		m := values[p.Treatment][at]
		values[p.Treatment][at] = mean{m.sum + p.Value.Float(), m.n + 1}
	}
	treatments := sorted(values)
	if len(treatments) != twoTreatments {
		t.Why = true
		return t
	}
	t.A, t.B = treatments[0], treatments[1]
	inOrder := func(of map[unit]mean) []unit {
		return slices.SortedFunc(maps.Keys(of), func(a, b unit) int { return cmp.Or(cmp.Compare(a.block, b.block), cmp.Compare(a.plot, b.plot)) })
	}
	var a, b []float64
	for _, at := range inOrder(values[t.A]) {
		other, both := values[t.B][at]
		if paired && !both {
			t.Left++
			continue
		}
		a = append(a, values[t.A][at].at())
		if paired {
			b = append(b, other.at())
		}
	}
	for _, at := range inOrder(values[t.B]) {
		if _, both := values[t.A][at]; paired && !both {
			t.Left++
		} else if !paired {
			b = append(b, values[t.B][at].at())
		}
	}
	var err error
	if paired {
		t.Comparison, err = by.Pairs(a, b)
	} else {
		t.Comparison, err = by.Groups(a, b)
	}
	t.Why = err != nil
	return t
}

// twoTreatments is how many a trial compares.
const twoTreatments = 2

// lines gives the figures of a trial: measure and value.
func (t Trial) lines() [][2]string {
	real := func(x float64) string { return strconv.FormatFloat(x, 'f', 6, 64) }
	var out [][2]string
	if t.Design == designNames[0] {
		out = append(out, [2]string{"pairs", strconv.Itoa(t.Comparison.A)}, [2]string{"blocks_left_out", strconv.Itoa(t.Left)})
	} else {
		out = append(out, [2]string{"n " + t.A, strconv.Itoa(t.Comparison.A)}, [2]string{"n " + t.B, strconv.Itoa(t.Comparison.B)})
	}
	if !slices.Contains([]trial.Verdict{trial.Shown, trial.NotShown}, t.Verdict) {
		return append(out, [2]string{"difference", notGivenNames})
	}
	verdict := verdictNames[0]
	if t.Verdict == trial.NotShown {
		verdict = verdictNames[1]
	}
	return append(out, [2]string{"difference", real(t.Difference)}, [2]string{"df", real(t.DF)}, [2]string{"low", real(t.Low)}, [2]string{"high", real(t.High)},
		[2]string{"least_detectable", real(t.Least)}, [2]string{"verdict", verdict})
}

// unnamed gives a trial as the public may read it: its own name where that can only be a code, its sides as a and b.
func (t Trial) unnamed(place int) Trial {
	if !code(t.ID, 3, 1) {
		t.ID = "T-" + strconv.Itoa(place+1)
	}
	if !code(t.A, 1, 0) || !code(t.B, 1, 0) || len(t.A) != 1 || len(t.B) != 1 {
		t.A, t.B = "a", "b"
	}
	t.Unit, t.Seed, t.From = "", Maybe{}, nil
	return t
}

// Weighed gives the trials as the readers of this edition may have them.
func (e *Edition) Weighed() []Trial {
	if !e.Public {
		return e.Trials
	}
	var out []Trial
	for i, t := range e.Trials {
		out = append(out, t.unnamed(i))
	}
	return out
}
