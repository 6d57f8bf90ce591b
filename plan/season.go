package plan

import (
	"math"
	"slices"
	"time"

	"raftwright/brief"
	"raftwright/crop"
	"raftwright/finding"
	"raftwright/frame"
	"raftwright/pool"
	"raftwright/season"
	"raftwright/sky"
	"raftwright/unit"
)

// Findings and assumptions about the place.
const (
	FindNoClimate finding.ID = "plan.no_climate"
	AssumeCover   finding.ID = "plan.cover"
	AssumePump    finding.ID = "plan.pump"
	AssumeFull    finding.ID = "plan.heads_full"
	AssumeStaged  finding.ID = "plan.staged"
	AssumeFirst   finding.ID = "plan.first_harvest"
	AssumeLast    finding.ID = "plan.last_harvest"
)

// lay lays the ground of the season: what neither a schedule nor a log changes. It begins
// with the ground that was laid last, if there is one.
func (m *maker) lay() {
	if m.climate == nil {
		m.Ground = nil
		return
	}
	m.Ground = m.Ground.Anew(m.seasonJob())
}

// seasonJob is the season's job without its schedule, with no other crops.
func (m *maker) seasonJob() season.Job {
	b := m.Brief.Site
	return season.Job{Climate: *m.climate, Cover: sky.Cover(b.Cover.Or(brief.Open)), Light: b.Light.Value, Crop: m.Crop,
		Lamp: season.Lighting{Level: b.Lamp.Level.Value, On: b.Lamp.Hours.Value, Efficacy: b.Lamp.Efficacy.Value},
		Bed:  m.pond.Bed, Head: m.pond.head, Holes: m.pond.holes, Nursery: m.pond.nursery}
}

// planSeason works out the year of the place, the windows and the dates.
func (m *maker) planSeason() {
	b := m.Brief.Site
	if !b.Pump.Given {
		m.assume(finding.Assumption{ID: AssumePump, Source: ownChoice})
	}
	if m.climate == nil {
		return
	}
	j := m.plainSeason()
	if j.Schedule.Given() {
		m.assumeHarvests(m.Brief.Schedule, j.Schedule)
	}
	if !b.Cover.Given {
		m.assume(finding.Assumption{ID: AssumeCover, Source: ownChoice})
	}
	m.teach(&j)
	j.Others = m.book.Crops.Crops()
	s := m.Ground.Season(j)
	m.Season, m.job = &s, &j
	m.find(s.Findings...)
	m.assume(s.Assumptions...)
}

// plainSeason is the season's job with its schedule, before a log taught anything.
func (m *maker) plainSeason() season.Job {
	j, b := m.seasonJob(), m.Brief
	j.Pump, j.AirGap, j.Schedule = b.Site.Pump.Given && b.Site.Pump.Value != brief.NoPump, b.Raft.Blocks.Value > 0, m.schedule()
	j.HeatTo, j.CoolTo = b.Bed.HeatTo.Value, b.Bed.CoolTo.Value
	return j
}

// readClimate reads the months or the files of the brief.
func (m *maker) readClimate() {
	b := m.Brief.Site
	place, known := m.where(b)
	if len(b.Months) == 0 && len(b.Climate) == 0 {
		switch {
		case !known && !b.Place.Given, known && m.book.Places == nil, known && place.Longitude == nil:
			m.find(finding.Finding{ID: FindNoClimate, Severity: finding.Note, Source: ownChoice, Paths: paths("site.place")})
		case known:
			m.fromAtlas(place, b.Coast.Value)
		}
		return
	}
	if !known {
		if !b.Place.Given || m.book.Places == nil { // else the name is the fault
			m.wrong(finding.Fault{ID: FaultNoLatitude, Path: "site.latitude"})
		}
		return
	}
	var c sky.Climate
	var faults finding.Faults
	if len(b.Months) > 0 {
		c, faults = sky.FromMonths(place, months(b.Months))
	} else {
		var files []sky.File
		for _, f := range b.Climate {
			files = append(files, sky.File{Name: f.Value, Data: m.files[f.Value]})
		}
		var library sky.Library
		library, faults = sky.ReadFiles(files...)
		if len(faults) == 0 {
			c, faults = library.At(place, b.FarClimate.Value)
		}
	}
	c.Coast = b.Coast.Value
	m.wrong(faults...)
	m.climate = &c
}

// months reads the typed months.
func months(list []brief.Month) []sky.Numbered {
	var out []sky.Numbered
	for _, x := range list {
		n := sky.Numbered{Number: x.Month.Value, Month: sky.Month{High: x.Tmax.Value, Low: x.Tmin.Value}}
		n.HighSpread, n.LowSpread = given(x.TmaxSD), given(x.TminSD)
		n.Solar, n.Sunshine, n.Dew = given(x.Solar), given(x.Sunshine), given(x.Dewpoint)
		n.Wind, n.Rain = given(x.Wind), given(x.Rain)
		out = append(out, n)
	}
	return out
}

// given gives a pointer to the value of a field, nil where there is none.
func given[T any](f brief.Field[T]) *T {
	if !f.Given {
		return nil
	}
	v := f.Value
	return &v
}

// pond is the bed as the season sees it.
type pond struct {
	pool.Bed
	holes   int
	head    unit.Mass // that the raft floats in each of them
	nursery crop.Density
}

// expandedFoam names the types of ASTM C578 that are no extruded board to the heat balance.
var expandedFoam = map[string]pool.Foam{"I": pool.EPS1, "II": pool.EPS, "VIII": pool.EPS8, "IX": pool.EPS9, "XI": pool.EPS11, "XIV": pool.EPS14, "XV": pool.EPS15}

// describePond describes the bed to the heat balance.
func (m *maker) describePond() {
	d := m.Frame
	v := d.Job.Vessel
	rim := 2 * (v.Length + v.Width)
	if v.Shape == frame.RoundShape {
		rim = unit.Length(math.Pi) * v.Diameter
	}
	b := pool.Bed{Area: d.Surface, Rim: rim, Depth: d.Job.Depth, Volume: d.Volume, Thickness: m.Raft.Job.Thickness,
		Foam: pool.XPS, Side: d.Side.Section.Thick, OffGround: d.Job.Support != frame.Ground}
	if foam, expanded := expandedFoam[m.Raft.Foam.Type]; expanded {
		b.Foam = foam
	}
	foam := m.Raft.Size.Area()
	if m.Raft.Round {
		foam *= math.Pi / 4
	}
	b.Gap = unit.Fraction(math.Max(0.005, float64((d.Surface-foam)/d.Surface)))
	m.pond = pond{Bed: b, holes: m.Raft.Holes, head: m.Raft.Job.HeadMass}
	if n := m.Raft.Nursery; n != nil {
		m.pond.nursery = crop.Density(n.PerSquareMetre)
	}
}

// schedule reads what is wanted, and when.
func (m *maker) schedule() season.Schedule {
	b := m.Brief.Schedule
	s := season.Schedule{HeadsPerWeek: m.heads, Beds: m.Beds, First: day(b.FirstHarvest.Value), Last: day(b.LastHarvest.Value), Whole: b.Staged.Given && !b.Staged.Value}
	for _, d := range b.HarvestDays {
		s.Days = append(s.Days, d.Value)
	}
	if m.Brief.Site.Kind.Value == brief.School {
		for _, d := range []time.Weekday{time.Saturday, time.Sunday} {
			if !slices.Contains(s.Days, d) {
				s.Off = append(s.Off, d)
			}
		}
	}
	for _, x := range b.Breaks {
		s.Breaks = append(s.Breaks, season.Break{From: day(x.From.Value), To: day(x.To.Value)})
	}
	return s
}

// assumeHarvests lists what a schedule leaves open and is settled for it.
func (m *maker) assumeHarvests(b brief.Schedule, s season.Schedule) {
	for _, open := range []struct {
		is bool
		id finding.ID
	}{
		{s.HeadsPerWeek == 0 && !s.Whole, AssumeFull}, {!b.Staged.Given, AssumeStaged},
		{!b.FirstHarvest.Given, AssumeFirst}, {!b.LastHarvest.Given, AssumeLast},
	} {
		if open.is {
			m.assume(finding.Assumption{ID: open.id, Source: ownChoice})
		}
	}
}

// NextBatch gives the first batch of the season, nil where there is none.
func (p Plan) NextBatch() *season.Batch {
	if p.Season == nil || len(p.Season.Batches) == 0 {
		return nil
	}
	return &p.Season.Batches[0]
}

// Thirst gives the water that a grown bed drinks a day in its thirstiest month,
// the fall of the level, and the days until half of the depth is gone.
func (p Plan) Thirst() (daily unit.Volume, drop unit.Length, days int, ok bool) {
	if p.Season == nil || p.Frame == nil {
		return 0, 0, 0, false
	}
	for _, x := range p.Season.Months {
		if x.Water.Full > daily {
			daily, drop = x.Water.Full, x.Water.Drop
		}
	}
	if drop <= 0 {
		return 0, 0, 0, false
	}
	return daily, drop, int(p.Depth() / 2 / drop), true
}

// drunk gives the water that one crop drinks on one bed; half a bed where the
// season is not known.
func (m *maker) drunk() unit.Volume {
	if b := m.NextBatch(); b != nil {
		return b.Water.Volume
	}
	if m.Frame == nil {
		return 0
	}
	return m.Frame.Volume / 2
}

// Spent gives the nitrogen that a full bed holds and the lawn that can take it:
// one pound of nitrogen on 1000 square feet (common practice).
func (p Plan) Spent() (nitrogen unit.Mass, lawn unit.Area, ok bool) {
	if p.Mix == nil || p.Frame == nil {
		return 0, 0, false
	}
	nitrogen = p.Mix.Achieved[0].In(p.Frame.Volume)
	return nitrogen, unit.Area(float64(nitrogen/unit.Pound) * 1000 * float64(unit.SquareFoot)), true
}
