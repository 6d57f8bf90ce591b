package crop

import (
	"fmt"

	"raftwright/finding"
	"raftwright/internal/table"
	"raftwright/source"
	"raftwright/unit"
)

// Findings of the seed tray.
const (
	FindNoGermination finding.ID = "crop.no_germination"
	FindWarmTray      finding.ID = "crop.warm_tray"
	FindColdTray      finding.ID = "crop.cold_tray"
)

// AssumeEmergence is raised when a crop has no row in the published table.
const AssumeEmergence finding.ID = "crop.emergence"

// Emergence is what seed does at one tray temperature.
type Emergence struct {
	None        bool          // no germination at this temperature
	After       unit.Duration // from sowing; 0 when None
	Normal      unit.Fraction // of the seedlings, normal ones
	NormalKnown bool
	Tabled      bool // from the table; otherwise thermal time from one point
	Findings    []finding.Finding
}

// emergenceRow holds one group of the table at 0, 5 ... 40 °C.
type emergenceRow struct {
	days   [9]float64 // 0: no germination, -1: not in the copy read
	normal [9]float64 // -1: not in the copy read
}

func (f Factors) readEmergence(r *table.Row) {
	name := r.Text("group")
	row := f.emergence[name]
	if row == nil {
		row = &emergenceRow{}
		for i := range row.days {
			row.days[i], row.normal[i] = -1, -1
		}
		f.emergence[name] = row
	}
	cells := &row.days
	if r.Word("measure", "days", "normal") == 1 {
		cells = &row.normal
	}
	for i := range cells {
		switch column := fmt.Sprintf("t%d", 5*i); r.Text(column) {
		case "":
		case "NG":
			cells[i] = 0
		default:
			cells[i] = r.Number(column, 0, 400)
		}
	}
}

// Emerge gives the days from sowing to emergence at a tray temperature. Between
// the cells of the table (5 °C apart) it interpolates the speed, 1/days, as the
// table's temperatures ask; a cell without germination has no speed, and stays
// without. ok is false outside the cells of a crop, and for a crop that is not
// raised from seed. Source: Harrington & Minges 1954; crops without a row use
// thermal time above their base temperature from one point (memory).
func (c Crop) Emerge(t unit.Temperature) (e Emergence, ok bool) {
	row := c.Germination.row
	if !c.Germination.Given {
		return Emergence{}, false
	}
	if row == nil {
		return c.thermalEmergence(t), true
	}
	speeds := row.days
	for i, d := range speeds {
		if d > 0 {
			speeds[i] = 1 / d
		}
	}
	v, ok := between5(speeds, t.Celsius())
	if !ok {
		return Emergence{}, false
	}
	e = Emergence{Tabled: true, None: v <= 0}
	if !e.None {
		e.After = unit.Duration(1/v) * unit.Day
	}
	normal, known := between5(row.normal, t.Celsius())
	if known && !(e.None && normal > 0) { // where the source disagrees with itself, its days are followed
		e.Normal, e.NormalKnown = unit.Fraction(normal/100), true
	}
	e.Findings = c.trayFindings(e, t)
	return e, true
}

// between5 interpolates between the known cells, at 0, 5 ... 40 °C; one below 0 is
// not known. ok is false outside them.
func between5(cells [9]float64, celsius float64) (x float64, ok bool) {
	lo, hi := -1, -1
	for i, c := range cells {
		if c < 0 {
			continue
		}
		if float64(5*i) <= celsius {
			lo = i
		}
		if float64(5*i) >= celsius && hi < 0 {
			hi = i
		}
	}
	if lo < 0 || hi < 0 {
		return 0, false
	}
	x = cells[lo]
	if hi > lo {
		x += (cells[hi] - x) * (celsius - float64(5*lo)) / float64(5*(hi-lo))
	}
	return x, true
}

// thermalEmergence takes a constant sum of degree days above the growth base
// from the one known point; nothing below Min or above Max.
func (c Crop) thermalEmergence(t unit.Temperature) Emergence {
	g := c.Germination
	if t < g.Min || t > g.Max || t <= c.Growth.Base || g.Best <= c.Growth.Base {
		e := Emergence{None: true}
		e.Findings = c.trayFindings(e, t)
		return e
	}
	speed := min(1, float64(t-c.Growth.Base)/float64(g.Best-c.Growth.Base)) / g.AtBest.Days()
	return Emergence{After: unit.Duration(1/speed) * unit.Day}
}

func (c Crop) trayFindings(e Emergence, t unit.Temperature) []finding.Finding {
	args := finding.Args{"Crop": c.Word(), "Tray": t, "Best": c.Germination.Best, "Normal": e.Normal}
	var src source.ID = "harrington1954"
	switch {
	case e.None:
		return []finding.Finding{{ID: FindNoGermination, Severity: finding.Caution, Args: args, Figure: t, Source: src}}
	case t > 27 && e.NormalKnown && e.Normal < 0.8:
		// lettuce and spinach above 27 °C: thermal dormancy
		return []finding.Finding{{ID: FindWarmTray, Severity: finding.Caution, Args: args, Figure: t, Source: src}}
	case e.After > 14*unit.Day && t < c.Germination.Best:
		args["After"] = e.After
		return []finding.Finding{{ID: FindColdTray, Severity: finding.Note, Args: args, Figure: e.After, Source: src}}
	}
	return nil
}

// EmergenceAssumption is what to tell when Emerge was not from the table.
func (c Crop) EmergenceAssumption() finding.Assumption {
	return finding.Assumption{ID: AssumeEmergence, Source: source.FromMemory,
		Args: finding.Args{"Crop": c.Word(), "After": c.Germination.AtBest, "At": c.Germination.Best}}
}
