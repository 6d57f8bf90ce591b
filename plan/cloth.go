package plan

import (
	"raftwright/cost"
	"raftwright/finding"
	"raftwright/season"
	"raftwright/source"
	"raftwright/unit"
)

// FindShadeBuy says what to buy for the shade that the calendar hangs; it is in no sum, since
// the bed may stand where a house or a tree gives it.
const FindShadeBuy finding.ID = "plan.shade_buy"

// tellShade lists the cloth for the strongest shade that the season told of, for all beds.
func (m *maker) tellShade() {
	strongest := unit.Fraction(0)
	for _, f := range m.Season.Findings {
		if shade, ok := f.Args["Shade"].(unit.Fraction); ok && f.ID == season.FindShade {
			strongest = max(strongest, shade)
		}
	}
	if strongest == 0 {
		return
	}
	area := m.job.Bed.Area * unit.Area(coveringShare*float64(m.Beds))
	args := finding.Args{"Shade": strongest, "Area": area, "Priced": false}
	if price := priced(m.buys.cloth, area.SquareFeet()); price != nil {
		args["Priced"], args["Cost"], args["Guess"] = true, cost.About(*price), !m.buys.ownCloth
	}
	m.find(finding.Finding{ID: FindShadeBuy, Act: finding.AtMoney, Severity: finding.Note, Source: source.OwnChoice, Args: args})
}

// BesideList tells whether a finding says what to buy that stands in no sum.
func BesideList(id finding.ID) bool { return id == FindAirBuy || id == FindShadeBuy }
