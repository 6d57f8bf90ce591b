// Package season says when: light, warmth, oxygen and thirst of a bed month by
// month; the weeks in which each crop can stand on the raft, and what closes
// the rest; the days to sow, move and cut; the water it drinks; a steady harvest
// and the calendar of the work. It joins sky, pool and crop, and is pure.
//
// Everything here is a forecast from monthly means. It carries bands: radiation
// 8, 10 or 13 %, solution ±2 °C, weight 25 %, days ±5 on a crop of 35, water 25 to
// 30 % a day and 15 to 20 % a month (judgement, until the bed's own log corrects
// them).
package season

import (
	"math"
	"slices"
	"time"

	"raftwright/crop"
	"raftwright/finding"
	"raftwright/pool"
	"raftwright/sky"
	"raftwright/source"
	"raftwright/unit"
)

// Job is what a season is made for. Only Climate and Crop are needed.
type Job struct {
	Climate sky.Climate
	Cover   sky.Cover
	Light   unit.Fraction // of the open sky's light that the surroundings leave; 0: not given

	Bed   pool.Bed // zero: a bed of 4 ft by 8 ft with 5 in of solution
	Holes int      // in the raft; 0: from the crop's density
	// Nursery is a closer spacing on the raft, from which plants are moved once;
	// 0: they are set out at their last spacing.
	Nursery crop.Density

	Crop       crop.Crop     // what is grown
	Others     []crop.Crop   // whose windows are wanted too
	Head       unit.Mass     // the heaviest that the raft floats in each hole; 0: the heaviest of the crop's range
	Fit        float64       // of the grower's own weights to the model's; 0: 1
	FitBand    unit.Fraction // of weights after it; 0: of the model alone
	Thirst     float64       // of the bed to the model's; 0: 1
	ThirstBand unit.Fraction // of a crop's water after it; 0: of the model alone

	Offset unit.TemperatureStep // of the solution, learned from readings
	Band   unit.TemperatureStep // of the solution after them; 0: of the model alone
	Pump   bool                 // air can be pumped
	AirGap bool                 // the raft comes to rest on blocks, and air stands under it

	Lamp   Lighting             // zero: none
	Lift   unit.TemperatureStep // by which a heater keeps the air under a cover warmer at night; 0: none
	HeatTo unit.Temperature     // a heater holds the mean of the solution there; 0: none
	CoolTo unit.Temperature     // ice or a chiller holds it there; 0: none

	Schedule Schedule
}

// NominalYear stands in where no date is known: it has no leap day and starts on
// a Friday.
const NominalYear = 2027

// Month is the bed in one month.
type Month struct {
	Number   int
	Ra       unit.DailyRadiation
	Daylight unit.Duration
	ET0      unit.DailyDepth // of grass in the open
	Light    unit.DailyLight // at the plants
	Air      unit.Temperature
	AirHigh  unit.Temperature
	AirLow   unit.Temperature
	Pool     unit.Temperature       // mean of the typical day
	PoolMax  unit.Temperature       // highest of the typical day
	PoolHot  unit.Temperature       // in a hot spell
	PoolCold unit.Temperature       // after a cold night
	Oxygen   unit.MassConcentration // that the solution can hold
	Held     unit.MassConcentration // that roots leave in it, with the batches of the month that takes most
	Shade    unit.Fraction          // cloth to hang; 0 none
	Basis    sky.Basis              // of its radiation
	Water    Thirst
	Lamp     Lamp          // what the lamps do; zero where they are off
	Breath   pool.Breath   // of the bed with a grown crop
	Planted  bool          // a batch stands on the raft
	Stands   unit.Fraction // of its days on which one does, in the year with most
}

// Season is the whole of it.
type Season struct {
	Sky      sky.Year
	Screen   sky.Screen
	Pool     [12]pool.Month
	Bed      pool.Bed
	Crop     crop.Crop
	Holes    int
	Plants   crop.Density
	Target   unit.Mass
	Year     int
	Emerge   crop.Emergence
	Months   []Month
	Frost    sky.FreezeDates // 0 °C at the plants
	Hard     sky.FreezeDates // -2.2 °C, 28 °F
	Windows  []Window
	Weeks    []CropYear
	Batches  []Batch
	Steady   *Steady    // nil without a schedule
	Short    *Shortfall // nil where all that was wanted can be had
	Leaves   []Leave    // absences longer than a weekend
	Whole    bool       // the raft is planted and cut at once
	Breath   pool.Breath
	Warmest  int                  // month number of the warmest solution with a crop
	Offset   unit.TemperatureStep // of the solution, learned from readings
	Fit      float64              // of the weights of its heads to the model's; 1: not learned
	Thirst   float64              // of this bed to the model's, learned from its log; 1: not learned
	Changes  []pool.Change
	Tasks    []Task
	Calendar Bands

	// CropsPerYear is how many crops the raft carries in a year of its windows.
	CropsPerYear float64

	pools [365]float64 // °C, mean of each day
	still [12]*month   // with neither a heater nor an offset

	Findings    []finding.Finding
	Assumptions []finding.Assumption
}

// Bands are the errors of the forecast.
type Bands struct {
	Radiation  unit.Fraction
	Solution   unit.TemperatureStep
	Weight     unit.Fraction
	DailyWater unit.Fraction
	CropWater  unit.Fraction
	Harvest    unit.Duration // on a crop of 35 days
}

// Codes of a season.
const (
	AssumeYear   finding.ID = "season.year"
	AssumeBed    finding.ID = "season.bed"
	AssumeTray   finding.ID = "season.tray"
	AssumeHoles  finding.ID = "season.holes"
	AssumeTarget finding.ID = "season.target"

	FindNoWindow   finding.ID = "season.no_window"
	FindWaterDiffs finding.ID = "season.water_differs"
	FindShade      finding.ID = "season.shade"
	FindForecast   finding.ID = "season.forecast"
	FindUnused     finding.ID = "season.window_unused"
	FindSlow       finding.ID = "season.never_ready"
	FindFrost      finding.ID = "season.frost"
	FindRareFrost  finding.ID = "season.rare_frost"
	FindCrowded    finding.ID = "season.crowded"
	FindCooler     finding.ID = "season.cooler"
)

// maker carries a season while it is made.
type maker struct {
	Season
	job    Job
	ground *Ground
	lamps  [12]Lamp
	days   days
	freeze *calendar  // of the crop that is grown
	limit  [365]Limit // what keeps it off the raft; None in its windows
	own    []Window
	roster roster
	laid   *laid // the calendar of a steady harvest; nil where there is none
}

// Make makes a season. With the windows of one crop and no schedule it takes
// about a millisecond.
func Make(j Job) Season { return NewGround(j).Season(j) }

// Season makes a season on its ground: that of a job with the same climate, cover,
// light, lamps, bed, holes, nursery and crop.
func (g *Ground) Season(j Job) Season {
	m := g.open(j)
	wait := m.othersWindows()
	if f := m.plant(); f != nil {
		m.sumUp(f)
	}
	m.months()
	m.frost()
	m.breathe()
	m.attend()
	m.tasks()
	wait()
	m.tell()
	return m.Season
}

// Expected makes as much of a season as readings of the bed are held against: the
// solution of each day, and the batches where some were weighed.
func (g *Ground) Expected(j Job, weighed bool) Season {
	j.Others = nil
	m := g.open(j)
	if weighed {
		m.plant()
	}
	return m.Season
}

// open makes a season up to the windows of its crop.
func (g *Ground) open(j Job) *maker {
	m := &maker{job: j, ground: g, lamps: g.lamps, days: g.days}
	m.settle()
	m.still = g.months
	for i, still := range m.still {
		m.Pool[i] = still.Month
	}
	m.Pool = pool.Shifted(m.Pool, j.Offset, m.Sky.Pressure)
	m.hold()
	m.lights()
	m.spread()
	m.ownWindows()
	return m
}

// plant makes the batches: those of a schedule, with how they were found where it has days
// of harvest, or one after the other.
func (m *maker) plant() *fit {
	if m.job.Schedule.Given() {
		return m.steady()
	}
	m.fill(monthStart(m.Year-1, 6), monthStart(m.Year+3, 0))
	m.sequence()
	return nil
}

// monthStart gives the first day of a month, counted from 0.
func monthStart(year, month int) time.Time {
	return time.Date(year, time.Month(month+1), 1, 0, 0, 0, 0, time.UTC)
}

func (m *maker) find(f ...finding.Finding) { m.Findings = append(m.Findings, f...) }

func (m *maker) assume(id finding.ID, from source.ID, args finding.Args) {
	m.Assumptions = append(m.Assumptions, finding.Assumption{ID: id, Source: from, Args: args})
}

// settle fills what the job left open and says so.
func (m *maker) settle() {
	j, g := m.job, m.ground
	m.Sky, m.Screen, m.Crop, m.Bed, m.Holes, m.Plants = g.sky, g.screen, j.Crop, g.bed, g.holes, g.plants
	m.Sky.Findings, m.Sky.Assumptions = nil, nil // they are the season's
	m.Findings, m.Assumptions = slices.Clone(g.findings), slices.Clone(g.assumptions)
	if m.job.Head <= 0 {
		m.job.Head = m.Crop.Mass.Max
	}
	m.Target = min(m.Crop.Mass.Middle(), headroom*m.job.Head)
	m.assume(AssumeTarget, source.OwnChoice, finding.Args{"Crop": m.Crop.Word(), "Mass": unit.Head(m.Target), "Most": unit.Head(m.job.Head)})
	if m.job.Fit <= 0 {
		m.job.Fit = 1
	}
	if m.Thirst = j.Thirst; m.Thirst <= 0 {
		m.Thirst = 1
	}
	m.Fit = m.job.Fit
	m.Offset, m.Whole = j.Offset, j.Schedule.Whole
	if !j.Schedule.First.IsZero() {
		m.Year = j.Schedule.First.Year()
	}
	if m.Year == 0 {
		m.Year = NominalYear
		m.assume(AssumeYear, source.OwnChoice, finding.Args{"Year": NominalYear})
	}
	m.tray()
	m.bands()
}

// headroom is the part of what the raft floats that a head is grown to: it may stand a day
// or two over (own judgement).
const headroom = 0.9

// bands gives the errors of the forecast; readings and harvests of the bed's own
// make them smaller.
func (m *maker) bands() {
	m.Calendar = Bands{Radiation: m.Sky.Error(), Solution: pool.MeanBand, Weight: crop.WeightBand, DailyWater: dailyWaterBand,
		CropWater: cropWaterBand, Harvest: crop.HarvestBand}
	if m.job.Band > 0 {
		m.Calendar.Solution = m.job.Band
	}
	if b := m.job.FitBand; b > 0 {
		m.Calendar.Weight = b
		m.Calendar.Harvest = max(crop.HarvestBandFitted, crop.HarvestBand*unit.Duration(b/crop.WeightBand))
	}
	if b := m.job.ThirstBand; b > 0 {
		m.Calendar.CropWater = min(cropWaterBand, b)
	}
	m.assume(pool.AssumeModel, "lump", finding.Args{"Band": m.Calendar.Solution})
}

// tray settles the seed tray and how long seed takes in it.
func (m *maker) tray() {
	g := m.Crop.Germination
	if !g.Given {
		return
	}
	t := m.Crop.Tray()
	m.assume(AssumeTray, source.OwnChoice, finding.Args{"Tray": t})
	e, ok := m.Crop.Emerge(t)
	if !ok || e.None { // the table is silent there: say it and take the best
		m.find(e.Findings...)
		if e, ok = m.Crop.Emerge(g.Best); !ok {
			e = crop.Emergence{After: g.AtBest}
		}
	}
	m.Emerge = e
	m.find(e.Findings...)
	if !e.Tabled {
		m.Assumptions = append(m.Assumptions, m.Crop.EmergenceAssumption())
	}
}

// spread makes the daily row of the solution.
func (m *maker) spread() {
	var pools [12]float64
	for i := range 12 {
		pools[i] = m.Pool[i].Usual.Mean.Celsius()
	}
	m.days.pool = sky.Days(pools)
	m.pools = m.days.pool
}

// months joins sky and pool into the table of months.
func (m *maker) months() {
	for i, s := range m.Sky.Months {
		p := m.Pool[i]
		light := m.Screen.Under(s.Light)
		out := Month{
			Number: s.Number, Ra: s.Sun.Ra, Daylight: s.Sun.Daylight, ET0: s.Reference.ET0, Light: light,
			AirHigh: s.High + unit.Temperature(m.Screen.Day), AirLow: s.Low + unit.Temperature(m.Screen.Night),
			Pool: p.Usual.Mean, PoolMax: p.Usual.Max, PoolHot: p.HotMax, PoolCold: p.ColdMin, Oxygen: p.Oxygen, Basis: s.Basis,
			Water: m.thirst(s.Reference.ET0), Lamp: m.lamps[i],
		}
		out.Air = (out.AirHigh + out.AirLow) / 2
		most := m.Crop.TipLight(out.Air, m.wind(s.Number))
		if m.Crop.Hot(out.AirHigh, out.Pool) {
			most = min(most, m.Crop.SunLight())
		}
		out.Shade = cloth(sky.ShadeFor(light, most))
		m.Months = append(m.Months, out)
		if m.Warmest == 0 || p.Usual.Mean > m.Pool[m.Warmest-1].Usual.Mean {
			m.Warmest = s.Number
		}
	}
}

// atHeads is the wind over heads, 0.2 m above the ground, of that at 2 m (FAO-56 eq 47).
const atHeads = 0.43

// wind gives the wind at the heads in a month.
func (m *maker) wind(month int) unit.Speed {
	return m.Sky.Months[month-1].Wind * unit.Speed(atHeads*float64(m.Screen.Wind))
}

// cloth rounds a shade to the cloths that are sold, in steps of ten from a fifth
// up (common practice); less than 15 % is not worth hanging.
func cloth(share unit.Fraction) unit.Fraction {
	if share < 0.15 {
		return 0
	}
	return unit.Fraction(math.Max(2, math.Round(float64(share)*10)) / 10)
}

// frost gives the freeze dates at the plants: a cover's warmth is taken off.
func (m *maker) frost() {
	night := unit.Temperature(m.Screen.Night)
	g := m.ground
	m.Frost, m.Hard = g.sky.DatesOf(g.freezes(-night)), g.sky.DatesOf(g.freezes(unit.Fahrenheit(28)-night))
	m.Frost.Threshold, m.Hard.Threshold = 0, unit.Fahrenheit(28)
	if !m.Frost.Never {
		m.Assumptions = append(m.Assumptions, m.Crop.SoftAssumption())
	}
}

// date gives a day of the season's first year.
func (m *maker) date(d sky.DayOfYear) time.Time { return d.In(m.Year) }

// Solution gives the forecast of the solution at an hour of a day: the day's mean
// and the swing of its month's typical day.
func (s Season) Solution(day time.Time, hour int) unit.Temperature {
	p := s.Pool[day.Month()-1].Usual
	return unit.Temperature(s.pools[index(day)]+p.Hours[(hour+23)%24]) - p.Mean
}
