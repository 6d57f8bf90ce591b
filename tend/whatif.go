package tend

import (
	"math"
	"time"

	"raftwright/bed"
	"raftwright/brief"
	"raftwright/pool"
	"raftwright/unit"
)

// If is what may come, over what the month brings; the zero value is an ordinary week.
type If struct {
	Rain      unit.Length // at once, on the first day; the days after it stay dry
	RainKnown bool
	Away      unit.Duration // that nobody comes
	PowerOff  bool          // the air pump stands still
	Hot, Cold bool          // the plan's hot spell, or its cold nights
}

// future is the days ahead of a bed.
type future struct {
	days  []day
	rain  []float64 // mm of a mean day
	known bool      // that the rain is as it stands there
	at    time.Time
	since float64 // days since the last filling of a bed without roots
}

// spellThirst is how much more leaves and open water take in a hot spell (own judgement: reference
// evapotranspiration rises by 4 to 5 % with each degree).
const spellThirst = 1.3

// longestAway is the longest absence that is looked at, days.
const longestAway = 30

// ahead makes the future of so many days.
func (h *history) ahead(from time.Time, n int, f If) future {
	var none bed.Readings
	out := future{at: from, known: f.RainKnown, rain: make([]float64, n)}
	out.since = h.after(from) - h.rooted
	for i := range n {
		a := from.Add(time.Duration(i) * 24 * time.Hour)
		s := h.between(a, a.Add(24*time.Hour), &none)
		d := s.steps[0]
		if f.Hot {
			d.drinks, d.dries = d.drinks*spellThirst, d.dries*spellThirst
		}
		d.warmth = h.spell(a, d.warmth, f)
		d.warm = math.Exp2((d.warmth - 22) / doubling)
		out.days = append(out.days, d)
		if h.plan.Ground != nil {
			out.rain[i] = math.Max(0, s.rain.usual/h.area-unnotedMore) / unnotedShare // as the month has it
		}
	}
	if f.RainKnown {
		clear(out.rain)
		out.rain[0] = f.Rain.Millimetres()
	}
	return out
}

// spell gives the warmth of the solution on a day, °C.
func (h *history) spell(at time.Time, usual float64, f If) float64 {
	s := h.plan.Season
	if s == nil || len(s.Months) != 12 {
		return usual
	}
	switch m := s.Months[at.Month()-1]; {
	case f.Hot:
		return math.Max(usual, m.PoolHot.Celsius())
	case f.Cold:
		return math.Min(usual, m.PoolCold.Celsius())
	}
	return usual
}

// breath gives the oxygen that roots of so many heads leave in the solution.
func (h *history) breath(heads int, fresh unit.Mass, warmth float64, f If) unit.MassConcentration {
	s := h.plan.Season
	if s == nil {
		return 0
	}
	air := unit.Flow(0)
	if pump := h.plan.Brief.Site.Pump; pump.Given && pump.Value != brief.NoPump && !f.PowerOff && h.pumped() {
		air = s.Breath.Fine.Wanted()
	}
	roots := pool.Roots(fresh, h.plan.Crop.Growth.DryMatter) * unit.Mass(heads)
	return s.Bed.Held(roots, unit.Temperature(warmth), s.Sky.Pressure, air, h.plan.Brief.Raft.Blocks.Value > 0)
}

// pumped says whether the log left the pump running.
func (h *history) pumped() bool {
	on := true
	for _, v := range h.visits {
		for _, d := range v.from.Done {
			if p, is := d.(bed.AirPump); is {
				on = p.On
			}
		}
	}
	return on
}
