package pool

import (
	"math"

	"raftwright/chem"
	"raftwright/finding"
	"raftwright/sky"
	"raftwright/unit"
)

// Month is the solution in a month.
type Month struct {
	Number  int
	Usual   Course           // the typical day
	HotMax  unit.Temperature // third day of a hot spell, one day in ten is such
	ColdMin unit.Temperature // after a cold night, one in ten is such
	Oxygen  unit.MassConcentration
	// OxygenHot is the saturation at HotMax.
	OxygenHot unit.MassConcentration
}

// Balance gives the solution in a month as the heat balance has it: without an offset,
// without ice and without oxygen.
func (b Bed) Balance(m sky.MonthMean, s sky.Screen) Month {
	p := Month{Number: m.Number, Usual: b.Steady(TypicalDay(m, s))}
	p.HotMax = b.on(p.Usual, HotSpell(m, s), 3).Max
	p.ColdMin = b.on(p.Usual, ColdNight(m, s), 2).Min
	return p
}

// Shifted gives the solution in each month from the balances. Offset is what readings of
// the bed taught (Learn); 0 before that. Oxygen is the saturation of fresh water at the
// month's mean and the height of the place; a nutrient solution holds 1 % less.
// Below 0 °C the balance has no ice: such water is reported at 0 °C, freezing.
func Shifted(months [12]Month, offset unit.TemperatureStep, pressure unit.Pressure) [12]Month {
	out, add := months, unit.Temperature(offset)
	for i, p := range out {
		p.HotMax, p.ColdMin = p.HotMax+add, p.ColdMin+add
		p.Usual.Mean, p.Usual.Min, p.Usual.Max = p.Usual.Mean+add, p.Usual.Min+add, p.Usual.Max+add
		for h := range p.Usual.Hours {
			p.Usual.Hours[h] = math.Max(0, p.Usual.Hours[h]+float64(add))
		}
		p.Usual.Mean, p.Usual.Min, p.Usual.Max = max(0, p.Usual.Mean), max(0, p.Usual.Min), max(0, p.Usual.Max)
		p.HotMax, p.ColdMin = max(0, p.HotMax), max(0, p.ColdMin)
		p.Oxygen = chem.OxygenSaturation(p.Usual.Mean, pressure)
		p.OxygenHot = chem.OxygenSaturation(p.HotMax, pressure)
		out[i] = p
	}
	return out
}

// Change is one thing that could be done to the bed and what it would do to the
// solution in a month.
type Change struct {
	Way       finding.Word
	Mean, Max unit.TemperatureStep // of the typical day
	HotMax    unit.TemperatureStep // of the hot spell
}

// Changes gives what floor foam, deeper water, a white lid, closed gaps and
// shade would do in a month: the difference to the bed as it is. Ways that the
// bed already has are left out.
func Changes(m sky.MonthMean, s sky.Screen, b Bed) []Change {
	usual, spell := TypicalDay(m, s), HotSpell(m, s)
	now := b.Steady(usual)
	hot := b.on(now, spell, 3)
	var out []Change
	try := func(way finding.Word, c Bed, light unit.Fraction) {
		u, h := usual, spell
		if light < 1 {
			shaded := s
			shaded.Light *= light
			u, h = TypicalDay(m, shaded), HotSpell(m, shaded)
		}
		a := c.Steady(u)
		z := c.on(a, h, 3)
		out = append(out, Change{Way: way, Mean: warmer(a.Mean, now.Mean), Max: warmer(a.Max, now.Max), HotMax: warmer(z.Max, hot.Max)})
	}
	full := b.full()
	if b.FloorFoam <= 0 {
		c := b
		c.FloorFoam = 25 * unit.Millimetre
		try(finding.Word("pool.way.floor_foam"), c, 1)
	}
	deeper := b
	deeper.Depth *= 1.5
	deeper.Volume = full.Volume * 1.5
	try(finding.Word("pool.way.deeper"), deeper, 1)
	if full.Lid != WhiteLid {
		c := b
		c.Lid = WhiteLid
		try(finding.Word("pool.way.white_lid"), c, 1)
	}
	if full.Gap > 0.02 && full.Gap < 1 {
		c := b
		c.Gap = 0.01
		try(finding.Word("pool.way.close_gaps"), c, 1)
	}
	try(finding.Word("pool.way.shade"), b, 0.5)
	return out
}

// warmer gives a difference to a thousand-millionth of a degree: the digits below, which two
// nearly equal temperatures leave, are rounding, another on every machine.
func warmer(now, before unit.Temperature) unit.TemperatureStep {
	return unit.TemperatureStep(math.Round(float64(now-before)*1e9) / 1e9)
}

// Heating is what a heater would need.
type Heating struct {
	Power  unit.Power  // steady, in the mean day of the month
	Energy unit.Energy // a month
}

// Heat gives the power and the energy of a month that hold the mean of the
// solution, which is at still without, at a temperature; zero where it is warm enough.
func (b Bed) Heat(m sky.MonthMean, s sky.Screen, still, hold unit.Temperature) Heating {
	if still >= hold {
		return Heating{}
	}
	p := b.powerFor(TypicalDay(m, s), hold)
	return Heating{Power: p, Energy: unit.Energy(float64(p) * 86400 * float64(sky.DaysIn(m.Number)))}
}

// DailyIce gives the ice a day that keeps the mean of the solution, which is at still
// without, at a temperature in the month's typical day, as steady cooling; zero where it
// is cool enough.
func (b Bed) DailyIce(m sky.MonthMean, s sky.Screen, still, hold unit.Temperature) unit.Mass {
	if still <= hold {
		return 0
	}
	return unit.Mass(-float64(b.powerFor(TypicalDay(m, s), hold)) * 86400 / (meltingHeat + waterHeat*math.Max(0, hold.Celsius())))
}
