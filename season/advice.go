package season

import (
	"raftwright/pool"
	"raftwright/sky"
	"raftwright/unit"
)

// Heating gives what a heater needs in each month to hold the mean of the
// solution; zero where it is warm enough. Cost is the energy times a price.
func (s Season) Heating(hold unit.Temperature) [12]pool.Heating {
	var out [12]pool.Heating
	for i, m := range s.Sky.Months {
		out[i] = s.Bed.Heat(m, s.Screen, hold)
	}
	return out
}

// Cooling gives the ice a day that holds the mean of the solution in each month;
// zero where it is cool enough.
func (s Season) Cooling(hold unit.Temperature) [12]unit.Mass {
	var out [12]unit.Mass
	for i, m := range s.Sky.Months {
		out[i] = s.Bed.DailyIce(m, s.Screen, hold)
	}
	return out
}

// Lamp is what lamps must do in a month.
type Lamp struct {
	Month  int
	Add    unit.DailyLight // to bring the day to the crop's target
	On     unit.Duration   // a day
	Energy unit.Energy     // a month, over the whole bed
	Enough bool            // false: even burning all day would not do
}

// Lamps gives what lamps of a level at the plants, and of an efficacy in
// micromoles a joule (2.5 is a good lamp, memory), must do in the months that are
// darker than the crop needs. It is empty where none is.
func (s Season) Lamps(level unit.PhotonFlux, micromolesPerJoule float64) []Lamp {
	var out []Lamp
	for _, m := range s.Months {
		if m.Light >= s.Crop.Light.Min {
			continue
		}
		l := Lamp{Month: m.Number, Add: s.Crop.Light.Max - m.Light, Enough: true}
		on, energy := sky.LampHours(l.Add, level, s.Bed.Area, micromolesPerJoule*1e-6)
		if on > 24*unit.Hour {
			l.Enough = false
			energy *= unit.Energy(24 * unit.Hour / on)
			on = 24 * unit.Hour
		}
		l.On, l.Energy = on, energy*unit.Energy(sky.DaysIn(m.Number))
		out = append(out, l)
	}
	return out
}
