package season

import (
	"math"
	"slices"
	"sync"

	"raftwright/chem"
	"raftwright/crop"
	"raftwright/finding"
	"raftwright/pool"
	"raftwright/sky"
	"raftwright/source"
	"raftwright/unit"
)

// Ground is the year of a bed as it is before anything is scheduled and before a log
// taught anything: its sky, its light and lamps, its solution, and how the crop grows
// from each day. Seasons of one ground share that work. It may be used by several at
// once.
type Ground struct {
	job    Job
	sky    sky.Year
	screen sky.Screen
	bed    pool.Bed
	holes  int
	plants crop.Density
	lamps  [12]Lamp
	months [12]*month
	days   days // but for the solution

	findings    []finding.Finding
	assumptions []finding.Assumption

	nights   *nights
	course   *courses
	shutters *shutters
	growth   *growth

	calendars *calendars
}

// month is the bed in the mean days of a month, its solution neither heated nor cooled;
// several grounds may share it.
type month struct {
	pool.Month
	mean   sky.MonthMean
	screen sky.Screen
	bed    pool.Bed

	mutex   sync.Mutex
	changes []pool.Change
	held    [2]held // by a heater, by ice: what was asked last
}

// held is what it takes to hold the mean of the solution of a month.
type held struct {
	known bool
	to    unit.Temperature
	heat  pool.Heating
	ice   unit.Mass
}

// growth is how the crop grows from each day of a ground; several grounds may share it.
type growth struct {
	job     Job
	plants  crop.Density
	weather *weather
	grown   [365/crop.Rows + 1]*planting // by the day on which they start
}

// weather is the days as the plants have them; several crops may grow in them, one at a time.
type weather struct {
	*crop.Year
	mutex sync.Mutex
}

// days are what the windows and the water need of each day of the year.
type days struct {
	mean, pool, et0, light [365]float64 // °C, °C, mm, mol
}

// planting is the crop set out on a few days in a row.
type planting struct {
	run     *crop.Run
	nursery [crop.Rows]int // days at the nursery spacing
}

// longestStand bounds how long a planting is grown on, days.
const longestStand = 1200

// NewGround makes the ground of a job. Its schedule, target, fit, offset, heater and
// other crops are not looked at.
func NewGround(j Job) *Ground { return (*Ground)(nil).Anew(j) }

// Anew makes the ground of a job and takes over from another ground what rests on the
// same, which changes no figure. The other, of the same catalogue of crops, may be nil.
func (last *Ground) Anew(j Job) *Ground {
	g := &Ground{job: j, bed: j.Bed, holes: j.Holes}
	if last != nil {
		g.sky = j.Climate.FillLike(&last.sky)
	} else {
		g.sky = j.Climate.Fill()
	}
	g.findings, g.assumptions = slices.Clip(g.sky.Findings), slices.Clip(g.sky.Assumptions)
	screen, assumed := j.Cover.Screen(j.Light)
	if screen.Covered {
		screen.Night, screen.Day = screen.Night+j.Lift, screen.Day+j.Lift/2
	}
	g.screen = screen
	g.assumptions = append(g.assumptions, assumed...)
	if g.bed.Area <= 0 {
		g.bed = pool.Bed{Area: 32 * unit.SquareFoot, Rim: 24 * unit.Foot, Depth: 5 * unit.Inch, Foam: pool.XPS, Thickness: 1.5 * unit.Inch}
		g.assume(AssumeBed, finding.Args{"Area": g.bed.Area, "Depth": g.bed.Depth})
	}
	if g.bed.Canopy <= 0 {
		g.bed.Canopy = 0.5 // half of the raft in leaf, over a crop
	}
	if g.holes <= 0 {
		g.holes = max(1, int(float64(j.Crop.Plants.Middle())*g.bed.Area.SquareMetres()))
		g.assume(AssumeHoles, finding.Args{"Holes": g.holes, "Crop": j.Crop.Word()})
	}
	if g.plants = crop.Density(float64(g.holes) / g.bed.Area.SquareMetres()); g.plants > j.Crop.Plants.Max*1.2 {
		g.findings = append(g.findings, finding.Finding{ID: FindCrowded, Severity: finding.Note, Figure: float64(g.plants), Source: firstOf(j.Crop.Cited.Spacing),
			Args: finding.Args{"Crop": j.Crop.Word(), "Plants": unit.PlantDensity(g.plants), "Most": unit.PlantDensity(j.Crop.Plants.Max)}})
	}
	if l := j.Lamp.full(); l.Level > 0 {
		for i, s := range g.sky.Months {
			g.lamps[i] = l.month(s.Number, screen.Under(s.Light), j.Crop.Light, g.bed.Area)
		}
	}
	g.spread()
	g.balance(last)
	g.nights, g.course = &nights{of: map[unit.Temperature]*sky.FreezeTable{}}, &courses{of: map[string]*course{}}
	if last != nil {
		g.takeOver(last)
	} else {
		g.shutters, g.calendars = &shutters{of: map[string]*opened{}}, &calendars{}
	}
	if g.growth == nil {
		g.growth = &growth{job: j, plants: g.plants, weather: &weather{Year: crop.Prepare(365, g.hours)}}
	}
	return g
}

// takeOver takes what another ground has of the same nights, days and plants.
func (g *Ground) takeOver(last *Ground) {
	g.shutters, g.calendars = last.shutters, last.calendars
	if last.sky.SameFreezes(&g.sky) {
		g.nights = last.nights
	}
	if last.job.Lamp != g.job.Lamp || last.lamps != g.lamps || last.screen != g.screen || !last.sky.SameDays(&g.sky) {
		return
	}
	g.course = last.course
	if last.job.Crop.ID == g.job.Crop.ID && last.plants == g.plants && last.job.Nursery == g.job.Nursery {
		g.growth = last.growth
	} else {
		g.growth = &growth{job: g.job, plants: g.plants, weather: last.growth.weather}
	}
}

// balance makes the heat balance of each month that is not as it was.
func (g *Ground) balance(last *Ground) {
	for i, m := range g.sky.Months {
		if last != nil && last.screen == g.screen && last.bed == g.bed && last.sky.Months[i] == m {
			g.months[i] = last.months[i]
		} else {
			g.months[i] = &month{Month: g.bed.Balance(m, g.screen), mean: m, screen: g.screen, bed: g.bed}
		}
	}
}

// ways gives what would change the solution of a month.
func (m *month) ways() []pool.Change {
	m.mutex.Lock()
	defer m.mutex.Unlock()
	if m.changes == nil {
		m.changes = pool.Changes(m.mean, m.screen, m.bed)
	}
	return m.changes
}

// heating gives what a heater needs that holds the mean of the solution.
func (m *month) heating(to unit.Temperature) pool.Heating {
	m.mutex.Lock()
	defer m.mutex.Unlock()
	h := &m.held[0]
	if !h.known || h.to != to {
		*h = held{known: true, to: to, heat: m.bed.Heat(m.mean, m.screen, m.Usual.Mean, to)}
	}
	return h.heat
}

// cooling gives the ice a day that holds the mean of the solution.
func (m *month) cooling(to unit.Temperature) unit.Mass {
	m.mutex.Lock()
	defer m.mutex.Unlock()
	h := &m.held[1]
	if !h.known || h.to != to {
		*h = held{known: true, to: to, ice: m.bed.DailyIce(m.mean, m.screen, m.Usual.Mean, to)}
	}
	return h.ice
}

func (g *Ground) assume(id finding.ID, args finding.Args) {
	g.assumptions = append(g.assumptions, finding.Assumption{ID: id, Source: source.OwnChoice, Args: args})
}

// spread makes the daily rows.
func (g *Ground) spread() {
	var thirst [12]float64
	for i := range 12 {
		thirst[i] = g.sky.Months[i].Reference.ET0.Millimetres()
	}
	g.days.et0 = sky.Days(thirst)
	for i := range 365 {
		d := g.sky.Day(sky.DayOfYear(i + 1))
		g.days.mean[i] = (d.High+d.Low).Celsius()/2 + float64(g.screen.Day+g.screen.Night)/2
		lamp := sky.Lamp(g.job.Lamp.Level, g.lamps[monthOf(sky.DayOfYear(i+1))-1].On)
		g.days.light[i] = float64(g.screen.Under(sky.LightOf(d.Radiation)) + lamp)
		g.days.et0[i] = max(0, g.days.et0[i])
	}
}

// parOfSun is the energy of photosynthetic light in a joule of sunlight.
const parOfSun = sky.MolesPerMegajoule / crop.MolesPerMegajoule

// airCO2 is the outdoor carbon dioxide, ppm.
const airCO2 = float64(chem.AirCO2 / unit.Atmosphere * 1e6)

// hours gives the hourly weather at the plants of a day, for the growth models.
func (g *Ground) hours(i int) crop.Day {
	mean, sun := g.sky.Day(sky.DayOfYear(i+1)), g.sky.Sun(sky.DayOfYear(i+1))
	d := crop.Day{CO2: airCO2}
	d.Air = sun.TemperatureShape(mean.High+unit.Temperature(g.screen.Day), mean.Low+unit.Temperature(g.screen.Night))
	for h, share := range sun.RadiationShape() {
		d.PAR[h] = share * float64(mean.Radiation) * float64(g.screen.Light) * parOfSun / 3600
	}
	g.burn(&d, monthOf(sky.DayOfYear(i+1)))
	return d
}

// burn adds the lamps to a day's hours, about noon. The energy of a micromole is
// taken as that of sunlight.
func (g *Ground) burn(d *crop.Day, month int) {
	on := g.lamps[month-1].On.Hours()
	if on <= 0 {
		return
	}
	from, to := 12-on/2, 12+on/2
	watts := float64(g.job.Lamp.Level) * 1e6 / 4.57
	for h := range d.PAR {
		d.PAR[h] += watts * math.Max(0, math.Min(to, float64(h+1))-math.Max(from, float64(h)))
	}
}

// touching is the share of the ground under leaves at which plants in the nursery
// begin to take each other's light.
const touching = 0.8

// mostDays is the longest that a crop may stand: 1.6 times its longest time on the raft.
func mostDays(k crop.Crop) int { return min(365, int(1.6*k.Raft.Max.Days())) }

// planted gives the crop set out on a day of the year (index from 0), with the days
// beside it. With a nursery spacing the plants move when they touch.
func (g *growth) planted(from int) (p *planting, row int) {
	block := from / crop.Rows
	if p := g.grown[block]; p != nil {
		return p, from % crop.Rows
	}
	p = &planting{}
	stands := make([]crop.Stand, 0, crop.Rows)
	for day := block * crop.Rows; day < min(365, (block+1)*crop.Rows); day++ {
		stands = append(stands, crop.Stand{Crop: &g.job.Crop, Plants: g.plants, From: day, Days: longestStand})
	}
	if g.job.Nursery > g.plants {
		close := slices.Clone(stands)
		for i := range close {
			close[i].Plants = g.job.Nursery
		}
		young := g.weather.Start(close...)
		for i := range stands {
			for p.nursery[i] < mostDays(g.job.Crop) && young.Cover(i, p.nursery[i]+1) < touching {
				p.nursery[i]++
			}
			stands[i].Nursery, stands[i].NurseryDays = g.job.Nursery, p.nursery[i]
		}
	}
	p.run = g.weather.Start(stands...)
	g.grown[block] = p
	return p, from % crop.Rows
}

// until gives the days that the crop set out on a day takes to a weight; ok is false
// where it never has that in the days that it may stand.
func (g *growth) until(from int, weight unit.Mass) (days int, ok bool) {
	g.weather.mutex.Lock()
	defer g.weather.mutex.Unlock()
	p, row := g.planted(from)
	return p.run.Until(row, weight, mostDays(g.job.Crop))
}

// fresh gives what a plant weighs after so many days from a day on.
func (g *growth) fresh(from, days int) unit.Mass {
	g.weather.mutex.Lock()
	defer g.weather.mutex.Unlock()
	p, row := g.planted(from)
	return p.run.Fresh(row, days)
}

// nursery gives the days that plants set out on a day stand at the nursery spacing.
func (g *growth) nursery(from int) int {
	g.weather.mutex.Lock()
	defer g.weather.mutex.Unlock()
	p, row := g.planted(from)
	return p.nursery[row]
}

// standing gives the run of the crop from a day over so many days.
func (g *growth) standing(from, n int) []crop.Standing {
	g.weather.mutex.Lock()
	defer g.weather.mutex.Unlock()
	p, row := g.planted(from)
	return p.run.Days(row, n)
}
