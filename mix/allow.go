package mix

import (
	"raftwright/finding"
	"raftwright/unit"
)

// Allow is what the same shelf does where one may weigh more products than the job allows.
type Allow struct {
	Most int  // products
	Mix  *Mix // what they give
}

// FindAllow says that the limit on products starves the crop of something that the shelf has.
const FindAllow finding.ID = "mix.allow"

// missed is the worst lack that a grower would see: a main element below its band, or iron.
func (m Mix) missed() (worst Wish, share float64, any bool) {
	share = weakBelow
	for _, w := range m.Wishes {
		if w.Unknown || w.Level <= 0 || !w.eaten() && w.Nutrient != Iron {
			continue
		}
		if s := float64(w.Achieved / w.Level); w.Short() && s < share {
			worst, share, any = w, s, true
		}
	}
	return worst, share, any
}

// allow finds the least number of products, above that of the job, with which what is missed
// most is missed no more, and the mix works if it did not; nil where there is none.
func (s *solver) allow(m *Mix) *Allow {
	j := s.job
	if s.found != nil || j.Pinned != nil || j.aside || j.MostProducts == 0 {
		return nil
	}
	worst, _, any := m.missed()
	if !any {
		return nil
	}
	j.aside = true
	for j.MostProducts++; j.MostProducts <= len(j.Shelf); j.MostProducts++ {
		then, err := j.solve(s.library)
		if err != nil {
			return nil
		}
		if next, _, still := then.missed(); then.Works() && (!still || next.Nutrient != worst.Nutrient) {
			return &Allow{Most: j.MostProducts, Mix: &then}
		}
	}
	return nil
}

// judgeAllowed says what the limit on products costs.
func (s *solver) judgeAllowed(m *Mix) []finding.Finding {
	if m.Allow == nil {
		return nil
	}
	worst, _, _ := m.missed()
	got := m.Allow.Mix.Achieved[worst.Nutrient]
	return []finding.Finding{{ID: FindAllow, Severity: finding.Caution, Figure: got, Source: ownRule, Args: finding.Args{"Nutrient": worst.Nutrient.Word(),
		"Most": s.job.MostProducts, "Allow": m.Allow.Most, "Got": got, "Share": unit.Fraction(got / worst.Level)}}}
}

// unbounded is the mix of the same shelf where money does not count, with what is to be bought beside it; nil where the budget
// keeps back nothing of what is missed most.
func (s *solver) unbounded(m *Mix) *Mix {
	j := s.job
	worst, share, any := m.missed()
	if s.found != nil || j.Pinned != nil || j.aside || j.Budget == 0 || !any {
		return nil
	}
	j.Budget = 0
	then, err := j.solve(s.library)
	if err != nil || float64(then.Achieved[worst.Nutrient]/worst.Level) <= share*heldBack {
		return nil
	}
	return &then
}

// heldBack is how many times more of what is missed most there must be without a budget, before the budget is what holds it
// back (own choice).
const heldBack = 1.1

// Missed gives the main element or the iron that falls shortest of what is wanted, and its share; false where none does.
func (m Mix) Missed() (worst Wish, share unit.Fraction, any bool) {
	w, part, any := m.missed()
	return w, unit.Fraction(part), any
}
