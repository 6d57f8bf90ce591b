package season

import (
	"raftwright/chem"
	"raftwright/crop"
	"raftwright/finding"
	"raftwright/pool"
	"raftwright/sky"
	"raftwright/source"
	"raftwright/unit"
)

// Lighting is the lamps over a bed.
type Lighting struct {
	Level    unit.PhotonFlux     // at the plants
	On       unit.Duration       // at most, a day; 0: usualLampDay
	Efficacy unit.PhotonEfficacy // from the plug; 0: usualEfficacy
}

// Usual lamps (memory): 16 hours of light and 8 of dark for leaf crops; a white
// LED lamp gives 2 to 2.8 micromoles a joule.
const (
	usualLampDay  = 16 * unit.Hour
	usualEfficacy = 2.5 * unit.MicromolePerJoule
)

// Codes of lamps.
const (
	AssumeLampDay  finding.ID = "season.lamp_day"
	AssumeEfficacy finding.ID = "season.lamp_efficacy"
)

// Power gives what lamps over an area draw.
func (l Lighting) Power(area unit.Area) unit.Power {
	l = l.full()
	return unit.Power(float64(l.Level) * area.SquareMetres() / float64(l.Efficacy))
}

// lights says what was taken for lamps of which little is said.
func (m *maker) lights() {
	l := &m.job.Lamp
	if l.Level <= 0 {
		return
	}
	said := *l
	*l = said.full()
	if said.On <= 0 {
		m.assume(AssumeLampDay, source.CommonPractice, finding.Args{"On": l.On})
	}
	if said.Efficacy <= 0 {
		m.assume(AssumeEfficacy, "lamps", finding.Args{"Efficacy": l.Efficacy})
	}
}

// full gives the lamps with what was left open filled in.
func (l Lighting) full() Lighting {
	if l.On <= 0 {
		l.On = usualLampDay
	}
	if l.Efficacy <= 0 {
		l.Efficacy = usualEfficacy
	}
	return l
}

// hold lets a heater and ice hold the mean of the solution where the job asks for
// it. Constant power moves the whole day by about as much as its mean.
func (m *maker) hold() {
	for i := range m.Pool {
		p := &m.Pool[i]
		var by unit.Temperature
		switch mean := p.Usual.Mean; {
		case m.job.HeatTo > 0 && mean < m.job.HeatTo:
			by = m.job.HeatTo - mean
			p.ColdMin += by
			p.HotMax = max(p.HotMax, p.Usual.Max+by)
		case m.job.CoolTo > 0 && mean > m.job.CoolTo:
			by = m.job.CoolTo - mean
			p.HotMax += by
			p.ColdMin = min(p.ColdMin, p.Usual.Min+by)
		default:
			continue
		}
		p.Usual.Mean, p.Usual.Min, p.Usual.Max = p.Usual.Mean+by, p.Usual.Min+by, p.Usual.Max+by
		for h := range p.Usual.Hours {
			p.Usual.Hours[h] += float64(by)
		}
		p.Oxygen = chem.OxygenSaturation(p.Usual.Mean, m.Sky.Pressure)
		p.OxygenHot = chem.OxygenSaturation(p.HotMax, m.Sky.Pressure)
	}
}

// Heating gives what a heater needs in a month, counted from 0, to hold the mean of the
// solution; zero where it is warm enough. Cost is the energy times a price.
func (s *Season) Heating(month int, hold unit.Temperature) pool.Heating {
	return s.still[month].heating(hold - unit.Temperature(s.Offset))
}

// Cooling gives the ice a day that holds the mean of the solution in a month, counted from
// 0; zero where it is cool enough.
func (s *Season) Cooling(month int, hold unit.Temperature) unit.Mass {
	return s.still[month].cooling(hold - unit.Temperature(s.Offset))
}

// Lamp is what lamps must do in a month.
type Lamp struct {
	Month  int
	Add    unit.DailyLight // to bring the day to the crop's target
	On     unit.Duration   // a day
	Energy unit.Energy     // a month, over the whole bed
	Enough bool            // false: even burning as long as they may would not do
}

// month gives what the lamps do in a month that has less light than a crop needs:
// bring it to what the crop likes, as far as they may burn. Zero where it has enough.
func (l Lighting) month(number int, light unit.DailyLight, wanted crop.Range[unit.DailyLight], area unit.Area) Lamp {
	if light >= wanted.Min || l.Level <= 0 {
		return Lamp{}
	}
	out := Lamp{Month: number, Add: wanted.Max - light, Enough: true}
	on, energy := sky.LampHours(out.Add, l.Level, area, float64(l.Efficacy))
	if on > l.On {
		out.Enough = false
		energy *= unit.Energy(l.On / on)
		on = l.On
	}
	out.On, out.Energy = on, energy*unit.Energy(sky.DaysIn(number))
	return out
}
