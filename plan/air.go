package plan

import (
	"math"
	"slices"

	"raftwright/cost"
	"raftwright/finding"
	"raftwright/season"
	"raftwright/unit"
	"raftwright/usual"
)

// FindAirBuy says what to buy for more air at the roots; it is in no sum, since a still bed
// grows heads too.
const FindAirBuy finding.ID = "plan.air_buy"

// tellAir lists pump, stones and line, or the blocks for an air gap (5 cm high, kratky2005), where the season told
// that the roots have too little oxygen.
func (m *maker) tellAir() {
	i := slices.IndexFunc(m.Season.Findings, func(f finding.Finding) bool { return f.ID == season.FindLowOxygen })
	if i < 0 {
		return
	}
	told := m.Season.Findings[i].Args
	if told["Air"] == false && told["Gap"] == false {
		return
	}
	beds := float64(m.Beds)
	stones := beds * float64(m.Season.Breath.Fine.Stones)
	args := finding.Args{"Air": told["Air"], "Gap": told["Gap"], "Pumps": m.Beds, "Count": int(stones), "Feet": int(usual.AirLine * stones), "Meters": int(math.Ceil(usual.AirLine * stones * float64(unit.Foot/unit.Metre)))}
	sum, known := cost.Money{}, true
	for _, p := range []*cost.Money{priced(m.buys.pump, beds), priced(m.buys.stone, stones), priced(m.buys.line, usual.AirLine*stones)} {
		switch {
		case p == nil:
			known = false
		case sum.Currency == "":
			sum = *p
		default:
			sum = sum.Add(*p)
		}
	}
	args["Priced"], args["Guess"] = known, known && !m.buys.ownAir
	if known {
		args["Cost"] = cost.About(sum)
	}
	m.find(finding.Finding{ID: FindAirBuy, Act: finding.AtMoney, Severity: finding.Note, Source: "kratky2005", Args: args})
}
