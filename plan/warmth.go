package plan

import (
	"math"

	"raftwright/cost"
	"raftwright/finding"
	"raftwright/source"
	"raftwright/unit"
	"raftwright/usual"
)

// Findings about warmth and light that is bought.
const (
	FindHeater   finding.ID = "plan.heater"
	FindIce      finding.ID = "plan.ice"
	FindLamps    finding.ID = "plan.lamps"
	FindDimLamps finding.ID = "plan.dim_lamps"
	FindSunless  finding.ID = "plan.no_lamps_needed"
)

// AssumePower is the price of electricity, where the brief has none.
const AssumePower finding.ID = "plan.power_price"

// Warmth is what holding the solution and lighting the plants takes, by month,
// for one bed; months without a crop count nothing.
type Warmth struct {
	HeatTo, CoolTo unit.Temperature
	Months         [12]Burn
	PowerPrice     cost.Money // of a kilowatt hour
}

// Burn is what one month takes.
type Burn struct {
	Heater       unit.Power // steady
	HeaterEnergy unit.Energy
	Ice          unit.Mass // a day
	Lamps        unit.Duration
	LampEnergy   unit.Energy
}

// priceWarmth says what a heater, ice and lamps would take in the months with a
// crop, and what it costs.
func (m *maker) priceWarmth() {
	if m.Season == nil {
		return
	}
	bed := m.Brief.Bed
	w := &Warmth{HeatTo: bed.HeatTo.Or(usual.HeatTo), CoolTo: bed.CoolTo.Or(usual.CoolTo), PowerPrice: m.power.price}
	for i, x := range m.Season.Months {
		if !x.Planted && len(m.Season.Batches) > 0 {
			continue
		}
		share := unit.Energy(x.Stands)
		if len(m.Season.Batches) == 0 {
			share = 1
		}
		heat := m.Season.Heating(i, w.HeatTo)
		w.Months[i] = Burn{heat.Power, heat.Energy * share, m.Season.Cooling(i, w.CoolTo), x.Lamp.On, x.Lamp.Energy * share}
	}
	m.Warmth = w
	m.tellHeat()
	m.tellLamps()
	if m.power.guessed && w.takesPower() {
		m.assume(finding.Assumption{ID: AssumePower, Args: finding.Args{"Price": w.PowerPrice}, Source: source.FromMemory})
	}
}

// takesPower tells whether a cost of electricity is printed at all.
func (w Warmth) takesPower() bool {
	for _, x := range w.Months {
		if x.Heater >= usual.LeastHeater || x.LampEnergy > 0 {
			return true
		}
	}
	return false
}

// tellHeat names the month that takes most of each.
func (m *maker) tellHeat() {
	w, cold, hot := m.Warmth, 0, 0
	var year unit.Energy
	for i, x := range w.Months {
		year += x.HeaterEnergy
		if x.HeaterEnergy > w.Months[cold].HeaterEnergy {
			cold = i
		}
		if x.Ice > w.Months[hot].Ice {
			hot = i
		}
	}
	if x := w.Months[cold]; x.Heater >= usual.LeastHeater {
		args := finding.Args{"Hold": w.HeatTo, "Month": monthName(cold + 1), "Power": unit.Power(10 * math.Ceil(float64(x.Heater)/10)), "Energy": whole(x.HeaterEnergy), "Year": whole(year)}
		if w.priced() {
			args["Cost"], args["YearCost"] = cost.About(w.Price(x.HeaterEnergy)), cost.About(w.Price(year))
		}
		m.find(finding.Finding{ID: FindHeater, Severity: finding.Note, Figure: x.Heater, Source: "lump", Args: args})
	}
	if x := w.Months[hot]; x.Ice >= unit.Kilogram {
		m.find(finding.Finding{ID: FindIce, Severity: finding.Note, Figure: x.Ice, Source: "lump",
			Args: finding.Args{"Hold": w.CoolTo, "Month": monthName(hot + 1), "Ice": m.wholeMass(x.Ice)}})
	}
}

// tellLamps says what the lamps of the brief do.
func (m *maker) tellLamps() {
	if !m.Brief.Site.Lamp.Level.Given {
		return
	}
	var year unit.Energy
	longest, lit, dim := unit.Duration(0), 0, 0
	for i, x := range m.Warmth.Months {
		year, longest = year+x.LampEnergy, max(longest, x.Lamps)
		if x.Lamps > 0 {
			lit++
			if !m.Season.Months[i].Lamp.Enough {
				dim++
			}
		}
	}
	if lit == 0 {
		m.find(finding.Finding{ID: FindSunless, Severity: finding.Note, Source: source.OwnChoice, Args: finding.Args{"Crop": m.Crop.Word()}})
		return
	}
	args := finding.Args{"Count": lit, "On": longest, "Energy": whole(year)}
	if m.Warmth.priced() {
		args["Cost"] = cost.About(m.Warmth.Price(year))
	}
	m.find(finding.Finding{ID: FindLamps, Severity: finding.Note, Figure: year, Source: "lamps", Args: args})
	if dim > 0 {
		m.find(finding.Finding{ID: FindDimLamps, Severity: finding.Note, Figure: dim, Source: "lamps",
			Args: finding.Args{"Count": dim, "Light": m.Crop.Light.Max, "Crop": m.Crop.Word()}})
	}
}

// priced tells whether a price of electricity is known.
func (w Warmth) priced() bool { return w.PowerPrice.Currency != "" }

// Price gives what energy costs.
func (w Warmth) Price(e unit.Energy) cost.Money { return w.PowerPrice.Times(e.KilowattHours()) }

// power is the price of a kilowatt hour: the grower's own, or guessed; no money where
// neither is known.
type power struct {
	price   cost.Money
	guessed bool
}

func (m *maker) pricePower() {
	p, _, ok := m.prices.Find(powerKey)
	m.power = power{p.Amount, ok && !p.Own}
}

const powerKey = "electricity"

// powerNeeds is the electricity that the heater and the lamps of the brief take
// for one crop on all beds; what is only advised costs nothing.
func (m *maker) powerNeeds(crops float64) []cost.Need {
	if m.Warmth == nil || crops <= 0 {
		return nil
	}
	var year unit.Energy
	for _, x := range m.Warmth.Months {
		if m.Brief.Bed.HeatTo.Given {
			year += x.HeaterEnergy
		}
		year += x.LampEnergy
	}
	if year <= 0 {
		return nil
	}
	return []cost.Need{{Keys: []string{powerKey}, Name: "need.electricity", Quantity: year.KilowattHours() * float64(m.Beds) / crops, Unit: "kilowatt hour", Group: "tools"}}
}

// whole rounds energy to what a forecast bears.
func whole(e unit.Energy) unit.Energy {
	return unit.Energy(math.Ceil(e.KilowattHours()-1e-9)) * unit.KilowattHour
}

// wholeMass rounds a mass up to whole pounds or kilograms, as the reader weighs.
func (m *maker) wholeMass(x unit.Mass) unit.Mass {
	one := unit.Mass(unit.Pound)
	if m.Metric() {
		one = unit.Kilogram
	}
	return unit.Mass(math.Ceil(float64(x/one)-1e-9)) * one
}

func monthName(n int) finding.Word {
	return finding.Word("month." + []string{"", "1", "2", "3", "4", "5", "6", "7", "8", "9", "10", "11", "12"}[n])
}

// Working gives the derivation of what heater and lamps take in the month that
// takes most, and in the year.
func (w Warmth) Working() []finding.Step {
	in := func(symbol string, value float64, unit string) finding.Input {
		return finding.Input{Symbol: symbol, Value: value, Unit: unit}
	}
	var out []finding.Step
	for i, x := range w.Months {
		month := []any{monthName(i + 1)}
		price := in("price", w.PowerPrice.Float(), w.PowerPrice.Currency+"/kWh")
		if x.Heater > 0 {
			out = append(out, finding.Step{Symbol: "P", Name: "work.season.heater", Of: month, Formula: "work.season.heater_how",
				Inputs: []finding.Input{in("T_hold", w.HeatTo.Celsius(), "C")}, Value: float64(x.Heater), Unit: "W", Source: "lump"},
				finding.Step{Symbol: "E", Name: "work.season.heater_energy", Of: month, Formula: "work.season.heater_energy_how",
					Inputs: []finding.Input{in("P", float64(x.Heater), "W")}, Value: x.HeaterEnergy.KilowattHours(), Unit: "kWh", Source: "lump"},
				finding.Step{Symbol: "c", Name: "work.season.heater_cost", Of: month, Formula: "E price", Inputs: []finding.Input{in("E", x.HeaterEnergy.KilowattHours(), "kWh"), price},
					Value: w.Price(x.HeaterEnergy).Float(), Unit: w.PowerPrice.Currency, Source: source.OwnChoice})
		}
		if x.Ice > 0 {
			out = append(out, finding.Step{Symbol: "m_ice", Name: "work.season.ice", Of: month, Formula: "work.season.ice_how",
				Inputs: []finding.Input{in("T_hold", w.CoolTo.Celsius(), "C")}, Value: x.Ice.Kilograms(), Unit: "kg/day", Source: "lump"})
		}
		if x.Lamps > 0 {
			out = append(out, finding.Step{Symbol: "E_lamp", Name: "work.season.lamps", Of: month, Formula: "work.season.lamps_how",
				Inputs: []finding.Input{in("hours", x.Lamps.Hours(), "h/day")}, Value: x.LampEnergy.KilowattHours(), Unit: "kWh", Source: "lamps"},
				finding.Step{Symbol: "c_lamp", Name: "work.season.lamps_cost", Of: month, Formula: "E_lamp price", Inputs: []finding.Input{in("E_lamp", x.LampEnergy.KilowattHours(), "kWh"), price},
					Value: w.Price(x.LampEnergy).Float(), Unit: w.PowerPrice.Currency, Source: source.OwnChoice})
		}
	}
	return out
}
