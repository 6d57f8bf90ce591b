package season

import (
	"math"

	"raftwright/finding"
	"raftwright/pool"
	"raftwright/unit"
)

// FindLowOxygen says that the plants of the calendar leave less oxygen in the water than
// their roots need.
const FindLowOxygen finding.ID = "season.low_oxygen"

// lowOxygen tells where planted months hold less oxygen than roots need (pool.OxygenWatch,
// under which one acts), with what keeps it in every one of them: air through stones, air
// under the raft, fewer heads. True where there are such months.
func (m *maker) lowOxygen(roots [12]unit.Mass, air unit.Flow) ([]finding.Finding, bool) {
	worst, well := -1, 0
	for i, x := range m.Months {
		if !x.Planted {
			continue
		}
		if x.Held >= pool.OxygenWatch {
			well++
			continue
		}
		if worst < 0 || x.Held < m.Months[worst].Held || x.Held == m.Months[worst].Held && x.Pool > m.Months[worst].Pool {
			worst = i
		}
	}
	if worst < 0 {
		return nil, false
	}
	keeps := func(share float64, air unit.Flow, clear bool) bool {
		for i, x := range m.Months {
			if x.Planted && m.Bed.Held(roots[i]*unit.Mass(share), x.Pool, m.Sky.Pressure, air, clear) < pool.OxygenWatch {
				return false
			}
		}
		return true
	}
	heads := m.Holes - 1
	for heads > 0 && !keeps(float64(heads)/float64(m.Holes), air, m.job.AirGap) {
		heads--
	}
	fine := m.Breath.Fine
	flow := math.Ceil(fine.Wanted().LitresPerMinute() - 1e-9)
	args := finding.Args{"Held": m.Months[worst].Held, "Least": pool.OxygenWatch, "Month": monthWord(worst + 1), "Heads": heads, "Some": heads > 1, "Well": well > 0,
		"Air": !m.job.Pump && keeps(1, fine.Wanted(), m.job.AirGap), "Gap": !m.job.AirGap && keeps(1, air, true),
		"Count": fine.Stones, "Liters": int(flow), "Gallons": 10 * int(math.Ceil(flow*60*float64(unit.Litre/unit.Gallon)/10-1e-9))}
	return []finding.Finding{{ID: FindLowOxygen, Act: finding.AtMix, Severity: finding.Caution, Hurts: finding.Harvest, Figure: m.Months[worst].Held, Source: "root-oxygen", Args: args}}, true
}
