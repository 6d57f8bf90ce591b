package plan

import (
	"cmp"
	"slices"

	"raftwright/cost"
	"raftwright/finding"
	"raftwright/season"
	"raftwright/source"
	"raftwright/unit"
)

// FindShadeBuy says what to buy for the shade that the calendar hangs; it is in no sum, since
// the bed may stand where a house or a tree gives it.
const FindShadeBuy finding.ID = "plan.shade_buy"

// tellShade lists a cloth for each shade that the season told of, the strongest first, for all beds.
func (m *maker) tellShade() {
	var shades []unit.Fraction
	for _, f := range m.Season.Findings {
		if shade, ok := f.Args["Shade"].(unit.Fraction); ok && f.ID == season.FindShade && !slices.Contains(shades, shade) {
			shades = append(shades, shade)
		}
	}
	slices.SortFunc(shades, func(a, b unit.Fraction) int { return cmp.Compare(b, a) })
	area := m.job.Bed.Area * unit.Area(coveringShare*float64(m.Beds))
	for _, shade := range shades {
		args := finding.Args{"Shade": shade, "Area": area, "Priced": false}
		if price := priced(m.buys.cloth, area.SquareFeet()); price != nil {
			args["Priced"], args["Cost"], args["Guess"] = true, cost.About(*price), !m.buys.ownCloth
		}
		m.find(finding.Finding{ID: FindShadeBuy, Act: finding.AtMoney, Severity: finding.Note, Source: source.OwnChoice, Args: args})
	}
}

// BesideList tells whether a finding says what to buy that stands in no sum.
func BesideList(id finding.ID) bool { return id == FindAirBuy || id == FindShadeBuy }
