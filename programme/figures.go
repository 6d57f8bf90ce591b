package programme

import (
	"encoding/csv"
	"strings"
)

// FiguresCSV gives the figures of an edition as a table, a line a figure: scope, from, to, as_of, county, measure, value. With an
// earlier report of the same funder, a line tells in how many cells the two differ by little.
func (e *Edition) FiguresCSV(earlier *Report) string {
	var text strings.Builder
	out := csv.NewWriter(&text)
	out.Write([]string{"scope", "from", "to", "as_of", "county", "measure", "value"})
	for _, f := range e.Figures {
		out.Write([]string{e.Funder.ID, e.Funder.From.String(), e.Funder.To.String(), e.AsOf.String(), f.County, f.Name(), f.Text})
	}
	if earlier != nil && !e.Public {
		out.Write(e.since(earlier))
	}
	for _, t := range e.Weighed() {
		for _, line := range t.lines() {
			out.Write([]string{"trial " + t.ID, "", "", "", "", line[0], line[1]})
		}
	}
	out.Flush()
	return text.String()
}
