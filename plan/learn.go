package plan

import (
	"math"
	"slices"

	"raftwright/bed"
	"raftwright/brief"
	"raftwright/crop"
	"raftwright/finding"
	"raftwright/season"
	"raftwright/source"
	"raftwright/unit"
)

// What the log of a bed taught its forecasts.
const (
	FindFitted  finding.ID = "plan.fitted"
	FindThirst  finding.ID = "plan.learned_thirst"
	FindLearned finding.ID = "plan.learned_offset"
	FindLost    finding.ID = "plan.learned_nothing"
)

// Learner tells what a log teaches of a bed, from a plan whose season knows of no log (tend.Learn).
type Learner func(*Plan, bed.Log) bed.Learned

func hasLog(b *brief.Brief) bool { return len(b.Log) > 0 }

// learn asks what the log teaches.
func (m *maker) learn() {
	if m.learner == nil || m.Ground == nil {
		return
	}
	log, _ := bed.FromBrief(m.Brief)
	if len(log) == 0 {
		return
	}
	p := m.Plan
	weighed := slices.ContainsFunc(log, func(v bed.Visit) bool {
		return slices.ContainsFunc(v.Done, func(d bed.Happening) bool { h, cut := d.(bed.Harvested); return cut && h.Mass > 0 })
	})
	expected := m.Ground.Expected(m.plainSeason(), weighed)
	p.Season = &expected
	m.learned = m.learner(&p, log)
}

// leastWaterBand is the share by which a crop's water may be off however long its bed is known: its weather (own judgement).
const leastWaterBand = 0.08

// leastWarmthBand is by how much weather alone moves the solution from its mean (judgement).
const leastWarmthBand = unit.TemperatureStep(0.7)

// teach puts what was learned into a season's job.
func (m *maker) teach(j *season.Job) {
	l := m.learned
	tell := func(id finding.ID, figure float64, args finding.Args) {
		m.find(finding.Finding{ID: id, Severity: finding.Note, Figure: figure, Source: source.Given, Args: args})
	}
	moved := func(factor float64) unit.Fraction { return unit.Fraction(math.Round(math.Abs(factor-1)*100) / 100) }
	if l.Growth > 0 && l.Growth != 1 {
		j.Fit, j.FitBand = l.Growth, max(crop.WeightBandFitted, min(crop.WeightBand, unit.Fraction(l.GrowthSpread)))
		tell(FindFitted, l.Growth, finding.Args{"Lighter": l.Growth < 1, "Share": moved(l.Growth), "Band": j.FitBand})
	}
	if l.Water > 0 && l.Water != 1 {
		j.Thirst, j.ThirstBand = l.Water, max(leastWaterBand, unit.Fraction(l.WaterSpread))
		tell(FindThirst, l.Water, finding.Args{"Less": l.Water < 1, "Share": moved(l.Water), "Band": j.ThirstBand})
	}
	if l.Warmth != 0 {
		j.Offset, j.Band = l.Warmth, max(leastWarmthBand, l.WarmthSpread)
		tell(FindLearned, float64(l.Warmth), finding.Args{"Offset": max(l.Warmth, -l.Warmth), "Cooler": l.Warmth < 0, "Count": l.Read, "Band": j.Band})
	}
	if l.Lost {
		tell(FindLost, 0, nil)
	}
}
