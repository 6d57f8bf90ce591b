package season

import (
	"math"

	"raftwright/finding"
	"raftwright/pool"
	"raftwright/unit"
)

// FindLowOxygen says that the plants of the calendar leave so little oxygen in the water that
// they stay lighter.
const FindLowOxygen finding.ID = "season.low_oxygen"

// lowOxygen tells where planted months hold so little oxygen that plants stay lighter
// (pool.OxygenLoss), with what keeps more in every one of them: air through stones, air under
// the raft. Still beds grow heads all the same, 19 % lighter (kratky2005); where the solution
// is too warm for the crop besides, roots rot, and the crop may be lost. True where there are
// such months.
func (m *maker) lowOxygen(roots [12]unit.Mass, air unit.Flow) ([]finding.Finding, bool) {
	worst := -1
	for i, x := range m.Months {
		if !x.Planted || x.Held >= pool.OxygenLoss {
			continue
		}
		if worst < 0 || x.Held < m.Months[worst].Held || x.Held == m.Months[worst].Held && x.Pool > m.Months[worst].Pool {
			worst = i
		}
	}
	if worst < 0 {
		return nil, false
	}
	keeps := func(air unit.Flow, clear bool) bool {
		for i, x := range m.Months {
			if x.Planted && m.Bed.Held(roots[i], x.Pool, m.Sky.Pressure, air, clear) < pool.OxygenLoss {
				return false
			}
		}
		return true
	}
	low := m.Months[worst]
	fine := m.Breath.Fine
	flow := math.Ceil(fine.Wanted().LitresPerMinute() - 1e-9)
	f := finding.Finding{ID: FindLowOxygen, Act: finding.AtMix, Severity: finding.Caution, Figure: low.Held, Source: "kratky2005",
		Args: finding.Args{"Held": low.Held, "Month": monthWord(worst + 1), "Warm": low.Pool > m.Crop.Act(),
			"Air": !m.job.Pump && keeps(fine.Wanted(), m.job.AirGap), "Gap": !m.job.AirGap && keeps(air, true),
			"Count": fine.Stones, "Liters": int(flow), "Gallons": 10 * int(math.Ceil(flow*60*float64(unit.Litre/unit.Gallon)/10-1e-9))}}
	if low.Pool > m.Crop.Act() {
		f.Hurts = finding.Harvest
	}
	return []finding.Finding{f}, true
}
