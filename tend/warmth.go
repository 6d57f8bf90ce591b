package tend

import (
	"math"

	"raftwright/finding"
	"raftwright/source"
	"raftwright/unit"
)

// FindElsewhere tells that a bed does not stand in the weather of its place.
const FindElsewhere finding.ID = "tend.elsewhere"

// freshWarmth is for how many days what a thermometer showed is taken over what the weather usually makes of a bed; within that it fades
// with the days that a spell of weather lasts (own judgement).
const (
	freshWarmth = 3.0
	spellLasts  = 3.0
	alikeWarmth = 4.0 // °C by which two readings of a bed that does not stand in the weather may differ, each over the model
)

// overModel gives by how much the solution was read over the model at the last reading, and how many days ago that was. A reading that is farther off than any bed in
// the weather counts where the one before it is as far off: such a bed stands indoors.
func (e *estimate) overModel() (x, days float64, elsewhere, is bool) {
	h := e.h
	s := h.plan.Season
	if s == nil {
		return 0, 0, false, false
	}
	if b := h.plan.Brief.Bed; b.HeatTo.Given || b.CoolTo.Given { // what is held is held
		return 0, 0, false, false
	}
	now := h.visits[len(h.visits)-1].at
	for i := len(h.visits) - 1; i >= 0; i-- {
		v := &h.visits[i]
		f := v.from.Read.WaterTemperature
		if !f.Given {
			continue
		}
		over := float64(f.Value-s.Solution(v.at, v.at.Hour())) + float64(s.Offset)
		far := math.Abs(over) >= noThermometer
		switch {
		case !is && !far:
			return over, now.Sub(v.at).Hours() / 24, false, true
		case !is:
			x, days, is = over, now.Sub(v.at).Hours()/24, true
		case far && math.Abs(over-x) <= alikeWarmth:
			return x, days, true, true
		default: // a slip of the thermometer
			return 0, 0, false, false
		}
	}
	return 0, 0, false, false
}

// warmthIn gives by how much the solution is warmer than the model so many days from now: what was read in the last days, fading into what
// the log has taught.
func (e *estimate) warmthIn(days float64) float64 {
	x, ago, elsewhere, is := e.overModel()
	taught := e.warmth()
	switch {
	case elsewhere:
		return x
	case !is || ago > freshWarmth:
		return taught
	}
	fades := math.Exp(-math.Max(0, ago-0.5+days) / spellLasts)
	return taught + (x-taught)*fades
}

// readWarmth gives what was read of the solution in the last half day.
func (e *estimate) readWarmth() (unit.Temperature, bool) {
	if _, ago, _, is := e.overModel(); !is || ago >= 0.5 {
		return 0, false
	}
	h := e.h
	for i := len(h.visits) - 1; i >= 0; i-- {
		if f := h.visits[i].from.Read.WaterTemperature; f.Given {
			return f.Value, true
		}
	}
	return 0, false
}

// warmthNow gives the warmth of the solution: what was just read, else what the weather makes of it.
func (e *estimate) warmthNow() unit.Temperature {
	if x, read := e.readWarmth(); read {
		return x
	}
	return e.h.warmth(e.h.visits[len(e.h.visits)-1].at) + unit.Temperature(e.warmthIn(0))
}

// placed tells of a bed that its thermometer shows to stand elsewhere than in the weather of its place.
func (t *Tending) placed(e *estimate) {
	if x, _, elsewhere, _ := e.overModel(); elsewhere {
		t.Findings = append(t.Findings, finding.Finding{ID: FindElsewhere, Severity: finding.Caution, Figure: x, Source: source.OwnChoice,
			Args: finding.Args{"By": unit.TemperatureStep(math.Abs(x)), "Warmer": x > 0}})
	}
}
