package plan

import (
	"time"

	"raftwright/brief"
	"raftwright/cost"
	"raftwright/finding"
	"raftwright/sky"
	"raftwright/source"
	"raftwright/unit"
	"raftwright/usual"
)

// reckon prices the needs of all beds.
func (m *maker) reckon() {
	if ownPieces(m.Brief) {
		m.find(finding.Finding{ID: FindOwnPieces, Severity: finding.Note, Source: source.Given})
	}
	b := m.Brief.Prices
	heads := m.Raft.Holes * m.Beds
	j := cost.Job{
		Needs: m.needs(), Book: m.prices, Currency: m.Currency(), Rate: m.rate(), Day: m.startDay(), On: m.PricedOn(), Place: b.Place.Value, Heads: heads, Sold: usual.Sold,
		CropsPerYear: m.cropsPerYear(),
		LaborPerCrop: unit.Duration(m.Beds)*(usual.PlantTime+usual.WeeklyTime*unit.Duration(m.Crop.Raft.Middle().Days()/7)) + usual.HeadTime*unit.Duration(heads),
		LaborToBuild: unit.Duration(m.Beds) * usual.BuildTime,
	}
	j.PerCropExtras = m.powerNeeds(j.CropsPerYear)
	if m.Starves() { // no harvest, and no money for it
		j.Sold = 0
	} else if b.Head.Given {
		p := b.Head.Value.Money
		j.HeadPrice = &p
	}
	if b.Labor.Given {
		p := b.Labor.Value.Money
		j.LaborRate = &p
	}
	s := cost.Reckon(j)
	m.Cost = &s
	m.find(s.Findings...)
	m.assume(s.Assumptions...)
	if !b.Given {
		m.assume(finding.Assumption{ID: AssumeCurrency, Args: finding.Args{"Currency": m.Currency()}, Source: source.OwnChoice})
	}
}

// AssumeCurrency is raised when no prices were given at all.
const AssumeCurrency finding.ID = "plan.currency"

// startDay is the day the plan starts, by which prices are judged: the first
// sowing, else the first harvest wanted; zero where neither is known.
func (m *maker) startDay() time.Time {
	if s := m.NextBatch(); s != nil {
		return s.Sow
	}
	return day(m.Brief.Schedule.FirstHarvest.Value)
}

// cropsPerYear gives the crops that the calendar puts on a raft in a year, at least one;
// without a calendar, as many as usual.
func (m *maker) cropsPerYear() float64 {
	if m.Season == nil {
		return usual.CropsAYear
	}
	crops := m.Season.CropsPerYear
	if b := m.Season.Batches; len(b) > 0 { // a calendar may run for several years
		crops /= max(1, b[len(b)-1].Harvest.Sub(b[0].SetOut).Hours()/24/sky.DaysAYear)
	}
	return max(1, crops)
}

// PricedOn gives the day of the brief's prices.
func (p Plan) PricedOn() time.Time { return day(p.Brief.Prices.On.Value) }

// Sells says whether this is a bed that sells its heads.
func (p Plan) Sells() bool {
	return p.Brief.Site.Kind.Value == brief.Market || p.Brief.Prices.Head.Given && p.Brief.Site.Kind.Value != brief.Home
}
