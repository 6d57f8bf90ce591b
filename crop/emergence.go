package crop

import (
	"bytes"
	_ "embed"
	"encoding/csv"
	"fmt"
	"strconv"
	"sync"

	"raftwright/finding"
	"raftwright/source"
	"raftwright/unit"
)

//go:embed emergence.csv
var emergenceCSV []byte

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

// Band is how far the time to emergence may be off: about one day between 10
// and 25 °C (own judgement on the table's rounding).
const Band = 1 * unit.Day

// emergenceRow holds one group of the table at 0, 5 ... 40 °C.
type emergenceRow struct {
	days   [9]float64 // 0: no germination, -1: not in the copy read
	normal [9]float64 // -1: not in the copy read
}

var emergenceTable = sync.OnceValues(func() (map[string]emergenceRow, error) {
	in := csv.NewReader(bytes.NewReader(emergenceCSV))
	in.Comment = '#'
	recs, err := in.ReadAll()
	if err != nil {
		return nil, fmt.Errorf("emergence: %w", err)
	}
	out := map[string]emergenceRow{}
	for _, rec := range recs[1:] {
		row, ok := out[rec[0]]
		if !ok {
			for i := range row.days {
				row.days[i], row.normal[i] = -1, -1
			}
		}
		cells := &row.days
		if rec[1] == "normal" {
			cells = &row.normal
		}
		for i := range cells {
			switch s := rec[2+i]; s {
			case "":
			case "NG":
				cells[i] = 0
			default:
				if cells[i], err = strconv.ParseFloat(s, 64); err != nil {
					return nil, fmt.Errorf("emergence: %s at %d C: %w", rec[0], 5*i, err)
				}
			}
		}
		out[rec[0]] = row
	}
	return out, nil
})

// Emerge gives the days from sowing to emergence at a tray temperature. Between
// the cells of the table (5 °C apart) it interpolates the speed, 1/days, as the
// table's temperatures ask; a cell without germination has no speed, and stays
// without. Outside the cells of a crop, and for a crop that is not raised from
// seed, the error says so. Source: Harrington & Minges 1954; crops without a row
// use thermal time above their base temperature from one point (memory).
func (c Crop) Emerge(t unit.Temperature) (Emergence, error) {
	if !c.Germination.Given {
		return Emergence{}, fmt.Errorf("%s is set out as a plant, not sown", c.Name)
	}
	table, err := emergenceTable()
	if err != nil {
		return Emergence{}, err
	}
	row, ok := table[c.Germination.Group]
	if !ok {
		return c.thermalEmergence(t), nil
	}
	e, err := row.at(t.Celsius())
	if err != nil {
		return Emergence{}, fmt.Errorf("%s: %w", c.Name, err)
	}
	e.Findings = c.trayFindings(e, t)
	return e, nil
}

func (r emergenceRow) at(celsius float64) (Emergence, error) {
	lo, hi := -1, -1
	for i, d := range r.days {
		if d < 0 {
			continue
		}
		if x := float64(5 * i); x <= celsius {
			lo = i
		}
		if x := float64(5 * i); x >= celsius && hi < 0 {
			hi = i
		}
	}
	if lo < 0 || hi < 0 {
		return Emergence{}, fmt.Errorf("the emergence table says nothing at %.0f °C", celsius)
	}
	speed := func(i int) float64 {
		if r.days[i] == 0 {
			return 0
		}
		return 1 / r.days[i]
	}
	v := speed(lo)
	if hi > lo {
		v += (speed(hi) - v) * (celsius - float64(5*lo)) / float64(5*(hi-lo))
	}
	e := Emergence{Tabled: true, None: v <= 0}
	if !e.None {
		e.After = unit.Duration(1/v) * unit.Day
	}
	e.Normal, e.NormalKnown = r.share(celsius)
	return e, nil
}

// share interpolates the normal seedlings between the cells that are known.
func (r emergenceRow) share(celsius float64) (unit.Fraction, bool) {
	lo, hi := -1, -1
	for i, n := range r.normal {
		if n < 0 {
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
	n := r.normal[lo]
	if hi > lo {
		n += (r.normal[hi] - n) * (celsius - float64(5*lo)) / float64(5*(hi-lo))
	}
	return unit.Fraction(n / 100), true
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
