package tend

import (
	"math"
	"slices"
	"time"

	"raftwright/finding"
	"raftwright/source"
	"raftwright/unit"
)

// FindBreak tells that nobody comes for some days, as the schedule has it, and that the advice is for them.
const FindBreak finding.ID = "tend.break"

// leastBreak is how long one is before it counts: a day off is no absence (own choice).
const leastBreak = 3

// absence gives how long nobody comes, where a break of the schedule begins before somebody would look again after now: to the morning after its last day.
func (h *history) absence(now time.Time, rest int) (away unit.Duration, from, to time.Time) {
	for _, b := range h.plan.Brief.Schedule.Breaks {
		if !b.From.Given || !b.To.Given {
			continue
		}
		first, back := b.From.Value.Time(), b.To.Value.Time().AddDate(0, 0, 1)
		if back.Sub(first).Hours() < 24*leastBreak || first.After(now.AddDate(0, 0, rest)) || !back.After(now) || first.Before(now.AddDate(0, 0, -1)) {
			continue
		}
		days := math.Min(longestAway, math.Ceil(back.Sub(now).Hours()/24))
		return unit.Duration(days) * unit.Day, first, back.AddDate(0, 0, -1)
	}
	return 0, time.Time{}, time.Time{}
}

// leaves takes a break of the schedule for an absence where nothing was said of one, and tells it.
func (t *Tending) leaves(f If, rest int) If {
	t.Findings = slices.DeleteFunc(slices.Clone(t.Findings), func(x finding.Finding) bool { return x.ID == FindBreak })
	if f.Away > 0 {
		return f
	}
	h := t.estimate.h
	away, from, to := h.absence(h.visits[len(h.visits)-1].at, rest)
	if away <= 0 {
		return f
	}
	f.Away = away
	t.Findings = append(t.Findings, finding.Finding{ID: FindBreak, Severity: finding.Note, Figure: away, Source: source.Given, Paths: []finding.Path{"schedule.breaks"},
		Args: finding.Args{"From": from, "To": to}})
	return f
}
