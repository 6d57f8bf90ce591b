package crop

import (
	"math"
	"slices"

	"raftwright/unit"
)

// Day is one day of weather at the plants, hour by hour from midnight: PAR in
// W/m2 (energy, under the cover), air in °C, and the CO2 in ppm.
type Day struct {
	PAR, Air [24]float64
	CO2      float64
}

// MolesPerMegajoule is the light of PAR energy: 4.57 µmol a joule for sun and sky
// (Thimijan & Heins 1983, from memory).
const MolesPerMegajoule = 4.57

// Year is a run of days made ready for the models, each once and when it is first
// needed, for all crops. Runs longer than it start again at its first day. It is
// not to be shared between goroutines.
type Year struct {
	constants Constants
	weather   func(i int) Day
	days      []*prepared // nil until then
}

type prepared struct {
	drive [24]Drive
	mean  float64 // °C, 24 h
	light float64 // mol/m2
	rated rated
}

// rated is a day made ready for one crop: the last that stood in it.
type rated struct {
	factor, ramp float64 // what the rates are for; 0: none yet
	rates        [parts]rate
}

// Prepare makes a year of so many days, whose weather is asked for by its index
// when a crop stands in it.
func Prepare(days int, weather func(i int) Day) *Year {
	return &Year{constants: VanHenten1994(), weather: weather, days: make([]*prepared, max(0, days))}
}

// at gives a day made ready.
func (y *Year) at(i int) *prepared {
	if i < 0 || i >= len(y.days) {
		i = (i%len(y.days) + len(y.days)) % len(y.days)
	}
	if y.days[i] != nil {
		return y.days[i]
	}
	p, d := new(prepared), y.weather(i)
	y.days[i] = p
	for h := range 24 {
		p.drive[h] = y.constants.Drive(d.PAR[h], d.Air[h], d.CO2)
		p.mean += d.Air[h] / 24
		p.light += d.PAR[h] * 3600 * MolesPerMegajoule / 1e6
	}
	return p
}

// ratesFor gives the parts of a day for a crop.
func (y *Year) ratesFor(p *prepared, k *Crop) *[parts]rate {
	factor, ramp := k.Growth.Factor, k.Ramp(unit.Temperature(p.mean))
	if r := &p.rated; r.factor != factor || r.ramp != ramp {
		*r = rated{factor, ramp, y.constants.rates(&p.drive, factor, ramp)}
	}
	return &p.rated.rates
}

// Ramp gives the share of its speed at which a crop grows at a 24 h mean: none
// at or below its base, all from 8 °C above it, and falling to none over 8 °C in
// the heat, above what it still gains from: for lettuce from 28 to 36 °C (own judgement; the 1994 model has
// neither cold nor heat injury).
func (c *Crop) Ramp(mean unit.Temperature) float64 {
	top := max(36, c.AirLimit.Max.Celsius(), c.Rise.Celsius()+8)
	m := mean.Celsius()
	return max(0, min(1, (m-c.Growth.Base.Celsius())/8, (top-m)/8))
}

// usualHouse is the mean of the greenhouses in which the published days of the crops were
// counted (own judgement).
const usualHouse = unit.Temperature(22)

// warmthPower bends the gain of a crop with warmth. With it, brightHalf and seedlingShare the model
// gives back what seven trials of herbs gained in warmth and in light within 30 %
// (own fit on mortensen2014, currey2019, walters2018).
const warmthPower = 0.7

// gain gives the share of its dry gain that a crop makes at a 24 h mean: none at its base,
// all where growth stops rising, and less in the heat as Ramp has it. The two-state model
// has a response of its own.
func (c *Crop) gain(mean unit.Temperature) float64 {
	if mean <= c.Growth.Base {
		return 0
	}
	rise := 1.0
	if share := float64(mean-c.Growth.Base) / float64(c.Rise-c.Growth.Base); share < 1 {
		rise = math.Exp(warmthPower * math.Log(share))
	}
	if mean < c.Growth.Base+8 {
		return rise
	}
	return min(rise, c.Ramp(mean))
}

// house is the warmth at which a crop keeps its published days: of the usual house, or the
// end of its best air that lies nearest.
func (c Crop) house() unit.Temperature {
	return max(c.AirBest.Min, min(c.AirBest.Max, usualHouse))
}

// Speed gives, for a 24 h mean, how fast a crop goes through its published days, at most 1.
func (c *Crop) Speed() func(mean unit.Temperature) float64 {
	if c.Growth.Model == TwoState {
		return c.Ramp
	}
	usual := c.gain(c.house())
	return func(mean unit.Temperature) float64 { return min(1, c.gain(mean)/usual) }
}

// Stand is a planting to be grown: what, how close, from which day of the Year,
// for how many days at most, and the fresh mass of a plant at which to stop (0:
// grow on for all the days).
type Stand struct {
	Crop   *Crop
	Plants Density
	From   int
	Days   int
	Target unit.Mass
	Start  unit.Mass // dry mass of a seedling; 0: the crop's usual one
	// Nursery is a closer stand on the raft before the plants are moved to
	// Plants, once; 0 for none.
	Nursery     Density
	NurseryDays int
}

// spaced gives the density on a day, and the share by which a mass a square metre
// changes when the plants move that morning.
func (s Stand) spaced(day int) (plants Density, thinned float64) {
	if s.Nursery <= 0 || s.NurseryDays <= 0 || day > s.NurseryDays {
		return s.Plants, 1
	}
	if day == s.NurseryDays {
		return s.Plants, float64(s.Plants / s.Nursery)
	}
	return s.Nursery, 1
}

// Standing is a planting at the end of a day.
type Standing struct {
	Fresh unit.Mass     // harvested part of one plant
	Dry   float64       // whole plants, g/m2
	Cover unit.Fraction // of the ground under leaves
	// Plants is the density at which they stand that day.
	Plants Density
}

// Grow runs the crop's model and gives the standing at the end of each day from
// the first. The last one reaches the target, or the days ran out.
func (y *Year) Grow(s Stand) []Standing {
	r := y.Start(s)
	if s.Target <= 0 {
		return r.Days(0, s.Days)
	}
	n, _ := r.Until(0, s.Target, s.Days)
	return r.Days(0, n)
}

// Rows is the most plantings that are grown side by side: the sums of one wait for
// each other, those of several need not.
const Rows = 4

// Run is a few plantings as far as they were grown. They are grown on, all of them,
// when more is asked for. It is not to be shared between goroutines.
type Run struct {
	year   *Year
	stands []Stand
	state  [Rows]State   // of the two-state model
	dry    [Rows]float64 // of the other, g/m2
	days   [Rows][]mass
	stood  [Rows][]Standing // as far as they were asked for
}

// mass is a planting at the end of a day, g/m2 dry, how many plants a m2 there are, and
// what each weighs.
type mass struct {
	dry, structural, plants float64
	fresh                   unit.Mass
}

// Start begins plantings of one crop, as many as Rows at most; nothing grows yet.
// Their targets are not looked at.
func (y *Year) Start(stands ...Stand) *Run {
	r := &Run{year: y, stands: slices.Clone(stands[:min(Rows, len(stands))])}
	for i := range r.stands {
		s := &r.stands[i]
		if len(y.days) == 0 || s.Plants <= 0 {
			s.Days = 0
		}
		if s.Start <= 0 {
			s.Start = s.Crop.Growth.Seedling
		}
		first, _ := s.spaced(0)
		w := s.Start.Grams() * float64(first)
		r.dry[i], r.state[i] = w, State{w * nonStructuralShare, w * (1 - nonStructuralShare)}
	}
	return r
}

// nonStructuralShare is the stored sugar of a seedling: 0.72 of 3.42 g, the
// usual start of the model.
const nonStructuralShare = 0.72 / 3.42

// Days gives the standing of a planting at the end of so many days, at most those of
// its stand. The list is shared: nobody may change it.
func (r *Run) Days(row, n int) []Standing {
	n = max(0, min(n, r.stands[row].Days))
	for i := len(r.stood[row]); i < n; i++ {
		r.stood[row] = append(r.stood[row], r.standing(row, *r.at(row, i)))
	}
	return r.stood[row][:n:n]
}

// Fresh gives what a plant weighs at the end of so many days, from 1 to those of its stand.
func (r *Run) Fresh(row, n int) unit.Mass {
	return r.at(row, min(n, r.stands[row].Days)-1).fresh
}

// Until gives the days to the first end of one on which a plant has a fresh mass; ok is false
// where it never has in so many, which are given then.
func (r *Run) Until(row int, mass unit.Mass, most int) (days int, ok bool) {
	most = min(most, r.stands[row].Days)
	for n := 1; n <= most; n++ {
		if r.Fresh(row, n) >= mass {
			return n, true
		}
	}
	return most, false
}

// at gives a planting at the end of a day, counted from 0.
func (r *Run) at(row, day int) *mass {
	for len(r.days[row]) <= day {
		r.grow()
	}
	return &r.days[row][day]
}

// Cover gives the share of the ground under the leaves of a planting at the end of so many
// days, from 1.
func (r *Run) Cover(row, n int) unit.Fraction { return r.standing(row, *r.at(row, n-1)).Cover }

// grow lets a day go by.
func (r *Run) grow() {
	day := len(r.days[0])
	two := r.stands[0].Crop.Growth.Model == TwoState
	var rates [Rows]*[parts]rate
	var density [Rows]float64
	for i := range r.stands {
		s := &r.stands[i]
		weather := r.year.at(s.From + day)
		plants, thinned := s.spaced(day)
		density[i] = float64(plants)
		if two {
			rates[i] = r.year.ratesFor(weather, s.Crop)
			r.state[i].NonStructural *= thinned
			r.state[i].Structural *= thinned
			continue
		}
		mean := unit.Temperature(weather.mean)
		r.dry[i] = growExpolinear(r.dry[i]*thinned, density[i], dailyGain(weather.light)*s.Crop.Growth.Factor*s.Crop.gain(mean), earlyGrowth*s.Crop.Ramp(mean))
	}
	n := len(r.stands)
	if two {
		r.year.constants.day(r.state[:n], rates[:n], density[:n])
	}
	for i := range r.stands {
		m := mass{dry: r.dry[i], plants: density[i]}
		if two {
			m.dry, m.structural = r.state[i].Total(), r.state[i].Structural
		}
		m.fresh = r.stands[i].fresh(m.dry, m.plants)
		if r.days[i] == nil {
			r.days[i] = make([]mass, 0, 48)
		}
		r.days[i] = append(r.days[i], m)
	}
}

// standing gives a planting with the ground that its leaves cover (extinction 0.7, memory).
func (r *Run) standing(row int, m mass) Standing {
	s := &r.stands[row]
	var cover, leaf float64
	if s.Crop.Growth.Model == TwoState {
		cover, leaf = r.year.constants.cover(m.structural, m.plants)
	} else {
		cover = spread(m.dry, m.plants)
		leaf = leafPerGram * m.dry / cover
	}
	return Standing{Fresh: m.fresh, Dry: m.dry, Cover: unit.Fraction(cover * (1 - math.Exp(-0.7*leaf))), Plants: Density(m.plants)}
}

// fresh gives the harvested part of one plant of a dry mass, g/m2.
func (s *Stand) fresh(dry, plants float64) unit.Mass {
	g := &s.Crop.Growth
	return unit.Mass(float64(g.Shoot)*dry/plants/float64(g.DryMatter)) * unit.Gram
}

// Published and judged errors of a forecast: weight 25 % (20 to 30) before any
// harvest of the grower's own was weighed, 12 % after two; days ±5 on a crop of
// 35, ±3 after two (own judgement).
const (
	WeightBand        = unit.Fraction(0.25)
	WeightBandFitted  = unit.Fraction(0.12)
	HarvestBand       = 5 * unit.Day
	HarvestBandFitted = 3 * unit.Day
)
