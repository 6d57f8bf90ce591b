package cut

import (
	"raftwright/finding"
	"raftwright/source"
	"raftwright/unit"
)

// Findings of the saw bench.
const (
	FindTooLong  finding.ID = "cut.too_long"
	FindShort    finding.ID = "cut.short"
	FindUnproven finding.ID = "cut.unproven"
	FindNoSlack  finding.ID = "cut.no_slack"
)

// Assumptions of the saw bench.
const AssumeKerf finding.ID = "cut.kerf"

// lack is how many boards of one kind the plan needs beyond what there is.
type lack struct {
	Stock
	missing int
}

// short gives the boards that are missing, in the order of the job.
func (s *saw) short() []lack {
	missing := make([]int, len(s.boards))
	for _, u := range s.answer.uses {
		missing[u.board] += int(u.times)
	}
	var out []lack
	for k, f := range s.boards {
		if !f.extra || missing[k] == 0 {
			continue
		}
		list := s.job.Stock
		if f.onHand {
			list = s.job.OnHand
		}
		out = append(out, lack{list[f.stock], missing[k]})
	}
	return out
}

func (s *saw) findings(p Plan, short []lack) []finding.Finding {
	var out []finding.Finding
	for _, i := range s.tooLong {
		piece := s.job.Pieces[i]
		out = append(out, finding.Finding{ID: FindTooLong, Severity: finding.Stop, Figure: piece.Length, Source: source.Given,
			Args: finding.Args{"Piece": piece.Name, "Length": piece.Length, "Longest": s.longest()}})
	}
	for _, l := range short {
		out = append(out, finding.Finding{ID: FindShort, Severity: finding.Stop, Figure: l.missing, Source: source.Given,
			Args: finding.Args{"Length": l.Length, "Count": l.missing}})
	}
	if !p.Optimal && len(out) == 0 {
		out = append(out, finding.Finding{ID: FindUnproven, Severity: finding.Note, Figure: p.LowerBound, Source: source.OwnChoice,
			Args: finding.Args{"Bought": p.Bought, "Bound": p.LowerBound}})
	}
	if b, ok := tight(p); ok {
		out = append(out, finding.Finding{ID: FindNoSlack, Severity: finding.Caution, Figure: b.Stock, Source: source.CommonPractice,
			Args: finding.Args{"Board": b.Stock}})
	}
	finding.Hurting(out, finding.Purse, FindTooLong, FindShort, FindNoSlack)
	finding.Sort(out)
	return out
}

// tight finds a board whose cuts leave less than a sixteenth of an inch.
func tight(p Plan) (Board, bool) {
	for _, b := range p.Boards {
		used := unit.Length(len(b.Cuts)-1)*p.Kerf - b.Waste
		if !b.OnHand {
			used += p.Trim
		}
		if len(b.Cuts) > 1 && -used < unit.Inch/16 {
			return b, true
		}
	}
	return Board{}, false
}

func (s *saw) longest() unit.Length {
	l := unit.Length(0)
	for _, b := range s.job.Stock {
		l = max(l, b.Length-s.job.Trim)
	}
	for _, b := range s.job.OnHand {
		l = max(l, b.Length)
	}
	return l
}

func (s *saw) assumptions() []finding.Assumption {
	if s.assumedKerf {
		return []finding.Assumption{{ID: AssumeKerf, Source: source.CommonPractice, Args: finding.Args{"Kerf": DefaultKerf}}}
	}
	return nil
}
