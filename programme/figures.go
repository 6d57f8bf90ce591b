package programme

import (
	"encoding/csv"
	"strings"
)

// FiguresCSV gives the figures of a report as a table, a line a figure: scope, from, to, as_of, county, measure, value. With an
// earlier report of the same funder, a line tells in how many cells the two differ by little.
func (r *Report) FiguresCSV(earlier *Report) string {
	var text strings.Builder
	out := csv.NewWriter(&text)
	out.Write([]string{"scope", "from", "to", "as_of", "county", "measure", "value"})
	for _, f := range r.Figures {
		out.Write([]string{r.Funder.ID, r.Funder.From.String(), r.Funder.To.String(), r.AsOf.String(), f.County, f.Name(), f.Text})
	}
	if earlier != nil {
		out.Write(r.since(earlier))
	}
	out.Flush()
	return text.String()
}
