package mix

import (
	"slices"
	"strings"

	"raftwright/finding"
	"raftwright/source"
	"raftwright/unit"
)

// Findings about trace elements, which feed by the milligram and poison by the
// spoon.
const (
	FindNotAsked finding.ID = "mix.not_asked"
	FindHarm     finding.ID = "mix.harm"
	FindMayHarm  finding.ID = "mix.may_harm"
	AssumeUntold finding.ID = "mix.assume_untold"
)

// traceSourceFrom is the share of trace elements from which a product is there
// for them: chelates and salts hold 5 % and more, a complete powder 0.5 %.
const traceSourceFrom = 0.02

// isTraceSource tells products that are bought for their trace elements from
// powders that have some by the way.
func (q product) isTraceSource() bool {
	sum := 0.0
	for n := Iron; n <= Molybdenum; n++ {
		sum += float64(q.contents.Shares[n])
	}
	return sum >= traceSourceFrom
}

// notAsked gives the trace element of a product that is there for trace
// elements none of which is wished for. Its sulfate or nitrate would mend the
// sum and its metal would poison the bed, so it is left out.
func (b *blend) notAsked(q product) (Nutrient, bool) {
	if !q.isTraceSource() {
		return 0, false
	}
	most := Iron
	for n := Iron; n <= Molybdenum; n++ {
		share := q.contents.Shares[n]
		if share >= traceSourceFrom && b.wished(n) > 0 {
			return 0, false
		}
		if share > q.contents.Shares[most] {
			most = n
		}
	}
	return most, true
}

// harm gives the band of a trace element, asked for or not.
func (b *blend) harm(n Nutrient) Bounds {
	for _, list := range [2][]Wish{b.wishes, b.unasked} {
		for _, w := range list {
			if w.Nutrient == n {
				return w.Bounds
			}
		}
	}
	return Bounds{}
}

func (b *blend) wished(n Nutrient) unit.MassConcentration {
	for _, w := range b.wishes {
		if w.Nutrient == n {
			return w.Level
		}
	}
	return 0
}

// traceRows hold what the trace sources bring: no more than harms nothing, or than
// is wished for. What a complete powder brings by the way is not held: it is
// weighed as harm beside the rest.
func (b *blend) traceRows() []heldLimit {
	var out []heldLimit
	for n := Iron; n <= Molybdenum; n++ {
		harm := b.harm(n)
		for _, q := range b.products {
			if harm.Harm > 0 && q.isTraceSource() && q.contents.Shares[n] > 0 {
				out = append(out, heldLimit{limit: Limit{Nutrient: n, Most: harm.Harm, MostGiven: true, Source: harm.HarmFrom}, most: harm.Harm, sources: true})
				break
			}
		}
	}
	return out
}

// tellUntold marks the wishes of which a label in use says nothing, and asks for the
// small print.
func (s *solver) tellUntold(wishes []Wish, doses []float64) {
	for j, q := range s.products {
		var symbols []string
		for i, w := range wishes {
			if doses[j] > 0 && slices.Contains(q.material.silent(), w.Nutrient) {
				wishes[i].Unknown, symbols = true, append(symbols, w.Nutrient.Symbol())
			}
		}
		if symbols != nil {
			s.assumptions = append(s.assumptions, finding.Assumption{ID: AssumeUntold, Path: q.material.Path, Source: source.OwnChoice,
				Args: finding.Args{"Product": q.material.Name, "Symbols": strings.Join(symbols, ", ")}})
		}
	}
}

// usual gives what the doses bring of each trace element that only the usual label of a
// grade tells of, since no bag was read for it, and the name of such a product.
func (s *solver) usual(doses []float64) (levels Levels, product string) {
	for j, q := range s.products {
		if q.material.Label == nil || !q.material.Label.Usual || doses[j] <= 0 {
			continue
		}
		product = q.material.Name
		for n := Iron; n <= Molybdenum; n++ {
			levels[n] += unit.MassConcentration(doses[j]) * unit.MassConcentration(q.contents.Shares[n])
		}
	}
	return levels, product
}

// judgeTraces tells of products left out because nobody asked for them, and of
// trace elements that nobody asked for in an amount that harms.
func (s *solver) judgeTraces(m *Mix) []finding.Finding {
	var out []finding.Finding
	for _, q := range s.products {
		if n, ok := s.blend.notAsked(q); ok && s.found == nil {
			out = append(out, finding.Finding{ID: FindNotAsked, Severity: finding.Note, Source: source.OwnChoice,
				Args: finding.Args{"Product": q.material.Name, "Nutrient": n.Word()}})
		}
	}
	return out
}
