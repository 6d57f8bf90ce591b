package season

import (
	"math"
	"raftwright/pool"

	"raftwright/crop"
	"raftwright/finding"
	"raftwright/sky"
	"raftwright/unit"
)

// Thirst is the water that a bed takes in a day of a month: freshly planted and
// with the ground covered.
type Thirst struct {
	Young, Full unit.Volume // a day
	Drop        unit.Length // of the level a day, at full cover
	TopUp       unit.Duration
}

// Errors of water use (judgement): a day 25 to 30 %, a month or a crop 15 to 20 %.
const (
	dailyWaterBand = unit.Fraction(0.28)
	cropWaterBand  = unit.Fraction(0.18)
)

// AllowedDrop is how far the level may fall before it is topped up: about an
// inch, which keeps the net pots wet (common practice).
const AllowedDrop = 1 * unit.Inch

// openWater is the crop coefficient of open water (FAO-56 table 12, memory).
const openWater = 1.05

// need gives the crop coefficient of a raft with a share of its ground under
// leaves: from the basal start of the crop to its full value, and open water in
// the gaps that leaves do not shade. The raft itself does not evaporate.
func need(k crop.Coefficients, bed pool.Bed, cover float64) float64 {
	gap := float64(bed.Gap)
	if gap <= 0 {
		gap = 0.05
	}
	return k.BasalStart + (k.Full-k.BasalStart)*cover + openWater*gap*(1-cover)
}

// drinks gives the litres that the bed takes in a day: ET0 under the cover times
// the coefficient times the area, as this bed was seen to. Never a figure a head.
func (m *maker) drinks(et0 unit.DailyDepth, cover float64) unit.Volume {
	return (et0 * unit.DailyDepth(float64(m.Screen.Thirst)*m.Thirst*need(m.Crop.Water, m.Bed, cover))).Over(m.Bed.Area)
}

func (m *maker) thirst(et0 unit.DailyDepth) Thirst {
	t := Thirst{Young: m.drinks(et0, 0), Full: m.drinks(et0, 1)}
	t.Drop = unit.Length(float64(t.Full) / float64(m.Bed.Area))
	if t.Drop > 0 {
		t.TopUp = unit.Duration(float64(AllowedDrop/t.Drop)) * unit.Day
	}
	return t
}

// Water is what a planting drinks on the raft, two ways.
type Water struct {
	Volume  unit.Volume // by weather: ET0 × coefficient × area
	Growth  unit.Volume // by dry matter at 3 g a litre: the second opinion
	Band    unit.Fraction
	PerHead unit.Volume // Volume over the heads: a result, never an input
}

// water adds up what a stand drinks from a day of the year on, on the part of the
// raft that its plants take up at the spacing of each day.
func (m *maker) water(from int, run []crop.Standing, plants int) Water {
	w := Water{Band: m.Calendar.CropWater}
	cover := 0.0
	for i, s := range run {
		share := float64(plants) / float64(s.Plants) / m.Bed.Area.SquareMetres()
		et0 := unit.DailyDepth(m.days.et0[((from+i)%365+365)%365]) * unit.MillimetrePerDay
		if i > 0 {
			cover *= float64(s.Plants / run[i-1].Plants)
		}
		w.Volume += m.drinks(et0, (cover+float64(s.Cover))/2) * unit.Volume(share)
		cover = float64(s.Cover)
	}
	if n := len(run); n > 0 {
		dry := run[n-1].Dry/float64(run[n-1].Plants) - m.Crop.Growth.Seedling.Grams()
		w.Growth = crop.WaterForGrowth(unit.Mass(math.Max(0, dry)*float64(plants))*unit.Gram, crop.OpenAirWaterUse)
	}
	if plants > 0 {
		w.PerHead = w.Volume / unit.Volume(plants)
	}
	return w
}

// differs says whether both opinions of a planting's water lie over 40 % apart.
func (w Water) differs() bool {
	hi, lo := max(w.Volume, w.Growth), min(w.Volume, w.Growth)
	return hi > 0 && float64(lo/hi) < 0.6
}

// tellWater says it once, for the batch that differs most.
func (m *maker) tellWater() {
	worst, at := 1.0, -1
	for i, b := range m.Batches {
		if hi, lo := max(b.Water.Volume, b.Water.Growth), min(b.Water.Volume, b.Water.Growth); b.Water.differs() && float64(lo/hi) < worst {
			worst, at = float64(lo/hi), i
		}
	}
	if at < 0 {
		return
	}
	b := m.Batches[at]
	m.find(finding.Finding{ID: FindWaterDiffs, Severity: finding.Note, Figure: b.Water.Volume, Source: "langenfeld2022",
		Args: finding.Args{"Weather": b.Water.Volume, "Growth": b.Water.Growth, "Harvest": b.Harvest}})
}

// monthOf gives the month of a date.
func monthOf(d sky.DayOfYear) int { m, _ := d.Month(); return m }
