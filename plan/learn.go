package plan

import (
	"fmt"
	"math"
	"slices"
	"time"

	"raftwright/bed"
	"raftwright/brief"
	"raftwright/crop"
	"raftwright/finding"
	"raftwright/frame"
	"raftwright/mix"
	"raftwright/season"
	"raftwright/source"
	"raftwright/unit"
	"raftwright/water"
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

// studied is as much of a plan as its log is held against, and the same as a text, to compare: of a feed what a liter of it
// holds, of a frame its water, of the year the days of the log. What a price or a far month changes is not in it.
type studied struct {
	*Plan // nil: there is nothing to learn from
	text  string
}

// nearHarvest is how far from a harvest of the log a batch may lie that its heads are held against.
const nearHarvest = 10 * 24 * time.Hour

// study gathers what the log is held against.
func (m *maker) study() {
	if m.learner == nil || m.Ground == nil {
		return
	}
	log, _ := bed.FromBrief(m.Brief)
	if len(log) == 0 {
		return
	}
	p := Plan{Ground: m.Ground}
	from, to, weighed := log[0].At, log[0].At, []time.Time(nil)
	for _, v := range log {
		if v.At.Before(from) {
			from = v.At
		} else if v.At.After(to) {
			to = v.At
		}
		if slices.ContainsFunc(v.Done, func(d bed.Happening) bool { h, cut := d.(bed.Harvested); return cut && h.Mass > 0 }) {
			weighed = append(weighed, v.At)
		}
	}
	text := m.Ground.AppendDays(nil, from, to)
	expected := m.Ground.Expected(m.plainSeason(), len(weighed) > 0)
	near := slices.Clone(expected.Batches)
	expected.Batches = slices.DeleteFunc(near, func(b season.Batch) bool {
		return !slices.ContainsFunc(weighed, func(at time.Time) bool { return at.Sub(b.Harvest).Abs() < nearHarvest })
	})
	p.Season = &expected
	for _, v := range log {
		text = fmt.Append(text, ";", expected.Solution(v.At, v.At.Hour()).Celsius())
	}
	for _, b := range expected.Batches {
		text = fmt.Append(text, ";", b.Harvest.Unix(), b.Fresh.Grams())
	}
	held := fmt.Append(nil, expected.Fit, expected.Offset) // apart from the days and the harvests of the log
	if f := m.Frame; f != nil {
		p.Frame = &frame.Bed{Surface: f.Surface, Volume: f.Volume, Brim: f.Brim, Notch: frame.Notch{Possible: f.Notch.Possible, Sill: f.Notch.Sill}}
		p.Frame.Job.Depth = f.Job.Depth
		held = fmt.Append(held, ";", float64(f.Surface), float64(f.Volume), float64(f.Brim), f.Notch.Possible, float64(f.Notch.Sill), float64(f.Job.Depth))
	}
	for _, x := range m.Shelf {
		x.Path, x.Pack, x.PackVolume, x.Price, x.Currency = "", 0, 0, 0, ""
		p.Shelf = append(p.Shelf, x)
		c, _ := x.Contents()
		spoon, _ := x.Spoon()
		held = fmt.Appendf(held, ";%q %v %v %v %v", x.Name, float64(x.Density), c.Ions, float64(c.Shares[mix.UreaN]), float64(spoon.Mass))
	}
	if x := m.Mix; x != nil {
		p.Mix = &mix.Mix{}
		p.Mix.Acid.Dose = x.Acid.Dose
		held = fmt.Append(held, ";", float64(x.Acid.Dose))
		for _, d := range x.Doses {
			p.Mix.Doses = append(p.Mix.Doses, mix.Dose{Product: d.Product, Strength: d.Strength})
			held = fmt.Appendf(held, " %q %v", d.Product, float64(d.Strength))
		}
	}
	if d := m.Proposed; d != nil {
		p.Proposed = &water.Dose{Want: water.Want{Product: d.Want.Product}, Amount: d.Amount}
		held = fmt.Append(held, ";", d.Want.Product.Reagent, float64(d.Want.Product.Strength), float64(d.Amount))
	}
	if s := m.Safer; s != nil && s.Dose != nil {
		p.Safer = &SaferAcid{Dose: &water.Dose{Want: water.Want{Product: s.Dose.Want.Product}}}
		held = fmt.Append(held, "; safer ", s.Dose.Want.Product.Reagent, float64(s.Dose.Want.Product.Strength))
	}
	p.held = string(held)
	m.studied = studied{&p, string(text) + p.held}
}

// learn asks what the log teaches, where that is not known.
func (m *maker) learn() {
	if m.taught != nil {
		m.learned = *m.taught
		return
	}
	if m.studied.Plan == nil {
		return
	}
	log, _ := bed.FromBrief(m.Brief)
	p := *m.studied.Plan
	p.Brief, p.Crop, p.Water, p.Bottle = m.Brief, m.Crop, m.Water, m.Bottle
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

// HeldAgainst names as one text all that a log is held against in the plan that a Learn is given, but for the weather of its days and the
// batches near its harvests: of two plans with one text a log of the same bed teaches the same, as far as the plan goes.
func (p *Plan) HeldAgainst() string { return p.held }
