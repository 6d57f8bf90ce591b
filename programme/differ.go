package programme

import "strconv"

// Cell is a cell of the table of single groups, by county and column.
type Cell struct{ County, Column string }

// Differ gives the cells, before groups are joined, by which two reports of one funder differ by so little that who
// subtracts them finds a small group.
func Differ(a, b *Report) []Cell {
	var out []Cell
	before := map[Cell]int{}
	for i, row := range a.Cells.Before.Counts {
		for j, v := range row {
			before[Cell{a.Cells.Before.Rows[i], a.Cells.Before.Columns[j]}] = v
		}
	}
	for i, row := range b.Cells.Before.Counts {
		for j, v := range row {
			at := Cell{b.Cells.Before.Rows[i], b.Cells.Before.Columns[j]}
			if d := v - before[at]; small(max(d, -d), b.Funder.Threshold) {
				out = append(out, at)
			}
		}
	}
	return out
}

// since adds the lines of figures that compare a report with an earlier one of the same funder.
func (r *Report) since(earlier *Report) []string {
	return []string{r.Funder.ID, r.Funder.From.String(), r.Funder.To.String(), earlier.AsOf.String() + " and " + r.AsOf.String(), All, differNames, strconv.Itoa(len(Differ(earlier, r)))}
}
