package plan

import (
	"math"

	"raftwright/brief"
	"raftwright/cost"
	"raftwright/finding"
	"raftwright/mix"
	"raftwright/season"
	"raftwright/unit"
	"raftwright/usual"
	"raftwright/water"
)

// FindCure tells the chlorine of the water, what it costs, and what takes it out
// of this bed.
const FindCure finding.ID = "plan.cure"

// Measure gives what the grower measures powders with; where nothing is said, the scale on
// the shopping list.
func (p Plan) Measure() mix.Measure {
	switch f := p.Brief.Mix.Measure; {
	case f.Given && f.Value.Spoons:
		return mix.Measure{Kind: mix.Spoons}
	case f.Given && f.Value.Packs:
		return mix.Measure{Kind: mix.Packs}
	case f.Given:
		return mix.Measure{Kind: mix.Scale, Step: f.Value.Step}
	}
	return mix.Measure{Kind: mix.Scale, Step: usual.ScaleStep}
}

// Hand is what a single dose is measured with: as the feed, and where that goes in by whole
// packs, with the scale on the shopping list.
func (p Plan) Hand() mix.Measure {
	b := p.Measure()
	if b.Kind == mix.Packs {
		b = mix.Measure{Kind: mix.Scale, Step: usual.ScaleStep}
	}
	return b
}

// Jug is the water in a stock jug: a quart, or a liter.
func (p Plan) Jug() unit.Volume {
	if p.Brief.Units.Value == brief.Metric {
		return unit.Litre
	}
	return unit.Quart
}

// Cure is what takes the chlorine out of the fill of one bed, before any feed.
type Cure struct {
	Chlorine unit.MassConcentration // free and bound; 0: not tested, and Dose is for each mg/L that a strip shows
	Loss     unit.Fraction          // of the shoot, were it left in
	Dose     mix.Helping            // of ascorbic acid
	Stands   bool                   // standing open takes it out too: no chloramine
	Filter   bool                   // an injector mixes feed into the water as it fills: a carbon filter ahead of it
}

// Cure gives the cure of one fill; false where no chlorine can be in the water, or
// no bed is known.
func (p Plan) Cure() (Cure, bool) {
	if p.Water == nil || p.Frame == nil || !p.Water.MayHoldChlorine() {
		return Cure{}, false
	}
	return p.cure(p.Frame.Volume), true
}

func (p Plan) cure(bed unit.Volume) Cure {
	all := p.Water.FreeChlorine + p.Water.Chloramine
	c := Cure{Chlorine: all, Loss: water.ChlorineLoss(all), Stands: p.Water.Chloramine == 0 && all > 0, Filter: p.Brief.Mix.Stock.Volume.Given}
	per := all
	if all == 0 {
		per = unit.MilligramPerLitre
	}
	c.Dose = p.Hand().Helping(water.Ascorbic(per).In(bed), water.AscorbicSpoon, p.Jug(), true)
	return c
}

// tellOfChlorine says of the chlorine what the water room tells.
func (m *maker) tellOfChlorine() {
	if m.Water != nil {
		m.find(m.Water.Chlorine()...)
	}
}

// tellCure says the same with the dose of this bed, where it is known.
func (m *maker) tellCure() {
	w := m.Water
	if w == nil {
		return
	}
	if m.volume <= 0 || w.FreeChlorine+w.Chloramine == 0 || !w.MayHoldChlorine() {
		m.find(w.Chlorine()...)
		return
	}
	c := m.cure(m.volume)
	m.find(finding.Finding{ID: FindCure, Act: finding.AtFill, Severity: finding.Caution, Figure: c.Dose.Mass, Source: "chlorinelettuce",
		Args: finding.Args{"Chlorine": c.Chlorine, "Loss": c.Loss, "Dose": c.Dose.Mass, "Filter": c.Filter, "Bound": w.Chloramine > 0}})
}

// Tasks gives the calendar of the season with what is known of its water: the dose of each
// cure, and none for water that holds no chlorine.
func (p Plan) Tasks() []season.Task {
	if p.Season == nil {
		return nil
	}
	if p.Water == nil {
		return p.Season.Tasks
	}
	c, ok := p.Cure()
	args := finding.Args{"Filter": c.Filter}
	if c.Chlorine > 0 && c.Dose.Jug.Take == 0 { // what a jug measures, the page on filling tells
		args["Dose"] = c.Dose.Mass
	}
	out := make([]season.Task, 0, len(p.Season.Tasks))
	for _, t := range p.Season.Tasks {
		if t.Kind == season.TaskCure {
			if !ok {
				continue
			}
			t.Args = args
		}
		out = append(out, t)
	}
	return out
}

// cureNeed is the ascorbic acid that a crop of all beds takes: the fill and the water that
// is drunk; a jar that outlasts a crop is bought once, and opened it keeps a year. Where
// nobody tested for chlorine it is a jar at hand, for one fill of town water that holds as
// much as it may.
func (m *maker) cureNeed() []cost.Need {
	c, ok := m.Cure()
	if !ok || c.Chlorine > 0 && c.Filter {
		return nil
	}
	need := cost.Need{Keys: []string{"ascorbic acid"}, Name: "need.ascorbic", Args: finding.Args{"Pack": usual.Ascorbic}, Group: "feed", Unit: "each"}
	if c.Chlorine == 0 {
		need.Mass, need.Once, need.Life = water.Ascorbic(water.MostChlorine).In(m.Frame.Volume)*unit.Mass(m.Beds), true, 1
	} else {
		need.Mass = water.Ascorbic(c.Chlorine).In(m.Frame.Volume+m.drunk()) * unit.Mass(m.Beds)
	}
	need.Mass = max(need.Mass, c.Dose.Jug.Mass*unit.Mass(m.Beds)) // a jug is made whole, however little is taken of it
	jars := float64(need.Mass / usual.Ascorbic)
	need.Quantity = math.Ceil(jars)
	if crops := need.Quantity / jars; c.Chlorine > 0 && crops >= 2 {
		need.Once, need.Life = true, math.Min(crops/m.cropsPerYear(), 1)
	}
	return []cost.Need{need}
}
