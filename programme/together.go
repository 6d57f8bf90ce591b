package programme

import "slices"

// together is how long after the end of its time a report is tried with what came after, in months.
var together = []int{3, 6, 12}

// Together gives the last day of a time that begins with that of the report and whose report shows every amount that this edition does not show for what went out
// before: with what came after, enough have given. ok tells whether such an amount waits at all; the day is 0 where none is found in the year after, or as yet. It
// works only while no edition of the time after alone has gone out: the two and the one before would tell the same.
func (e *Edition) Together() (last Day, ok bool) {
	var wait []string
	for _, n := range e.Near {
		if n.Amount && !slices.Contains(wait, n.Measure) {
			wait = append(wait, n.Measure)
		}
	}
	if !e.Public || len(wait) == 0 {
		return 0, false
	}
	for _, months := range together {
		f := e.Funder
		f.To = Day((e.Funder.To+1).Time().AddDate(0, months, 0).Unix()/(24*60*60)) - 1 // of the last day of a month to that of another
		if f.To > e.AsOf {
			break // what came after is not all there yet
		}
		other := e.whole.reportTo(e.stood, f).Public()
		shown := func(name string) bool {
			return slices.ContainsFunc(other.Figures, func(g Figure) bool { return g.Name() == name && g.County == All && g.Why == "" })
		}
		if !slices.ContainsFunc(wait, func(name string) bool { return !shown(name) }) {
			return f.To, true
		}
	}
	return 0, true
}
