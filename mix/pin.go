package mix

import (
	"raftwright/finding"
	"raftwright/source"
)

// Findings about doses that were given.
const (
	FindPinned      finding.ID = "mix.pinned"
	FindPinnedLimit finding.ID = "mix.pinned_limit"
)

// pin takes the doses as they were given. The target is made as strong as an EC asks for, so that the mix is
// judged by what was wanted; a crop's range of strength does not move it.
func (s *solver) pin() error {
	doses := make([]float64, len(s.products))
	for j, q := range s.products {
		doses[j] = s.job.Pinned[q.index].GramsPerLitre()
	}
	if err := s.pose(1); err != nil {
		return err
	}
	if s.job.Acid != nil {
		if err := s.neutralise(doses); err != nil {
			return err
		}
	}
	scale := 1.0
	if s.spread = widely; s.job.Target.EC > 0 {
		asked, err := s.strengthFor(1, doses)
		if err != nil {
			return err
		}
		scale = asked
	}
	if err := s.pose(scale); err != nil {
		return err
	}
	s.exact = answer{doses: doses, misfit: s.blend.missed(s.blend.achieved(doses)), proven: true}
	s.rounded = s.exact
	switch {
	case s.fill.Method == Stirred && !s.carries(doses):
		s.fill = s.stirred(s.fill, doses)
	case s.fill.Method == Stirred:
		s.fill = Filling{Method: Carried, Vessel: s.bucket, Makes: s.bucket}
		s.fill.share(s.job.Bed)
	}
	return nil
}

// judgePinned tells which limits the doses that were given break. A limit that the person set stops.
func (s *solver) judgePinned(m *Mix) []finding.Finding {
	out := []finding.Finding{{ID: FindPinned, Severity: finding.Note, Source: source.Given}}
	for _, h := range s.blend.held {
		got, end := m.Achieved[h.limit.Nutrient], h.limit.Most
		if h.least {
			end = h.limit.Least
		}
		switch {
		case h.budget || h.sources:
			continue
		case h.least && float64(got) >= float64(end)*(1-pinnedNear), !h.least && float64(got) <= float64(end)*(1+pinnedNear):
			continue
		}
		f := finding.Finding{ID: FindPinnedLimit, Severity: finding.Caution, Figure: got, Source: h.limit.Source,
			Args: finding.Args{"Nutrient": h.limit.Nutrient.Word(), "Got": got, "End": end, "Least": h.least}}
		if h.limit.Source == source.Given {
			f.Severity = finding.Stop
		}
		out = append(out, f)
	}
	return out
}

// pinnedNear is how far beyond a limit a given dose may lie without a word: it was rounded when it was written.
const pinnedNear = 0.001
