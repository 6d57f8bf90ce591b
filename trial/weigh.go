package trial

import (
	"slices"
	"strconv"

	"raftwright/finding"
	"raftwright/internal/table"
)

// Faults of a table of weights.
const (
	FaultPlot  finding.ID = "trial.fault.plot"  // a plot that the layout does not have
	FaultTwice finding.ID = "trial.fault.twice" // a hole that was weighed twice
	FaultSide  finding.ID = "trial.fault.side"  // a bed of two sites that names neither
)

// Plot is what the lot was drawn for, or a hole in it.
type Plot struct {
	Name  string
	Block int // plots of one block are compared with each other
	First bool
	many  bool // a bed: several plants of it may be weighed
}

// Plots are the holes that are weighed, in the order of the sheet.
func (l Layout) Plots() []Plot {
	var out []Plot
	for _, s := range l.Spots {
		if s.Weighed() {
			out = append(out, Plot{Name: s.Name(), Block: s.Strip, First: s.First})
		}
	}
	slices.SortStableFunc(out, func(a, b Plot) int { return a.Block - b.Block })
	return out
}

// Plots are the beds.
func (b Beds) Plots() []Plot {
	var out []Plot
	for i, first := range b.First {
		out = append(out, Plot{Name: strconv.Itoa(i + 1), Block: i/2 + 1, First: first, many: true})
	}
	return out
}

// Result is what was weighed, compared.
type Result struct {
	Comparison
	Plants int      // weighed
	Left   int      // blocks left out: one side of them was not weighed
	Not    []string // plots that were not weighed
	Means  []Mean   // what was compared, and what was left out
}

// Mean is the mean head of one treatment in one block: a strip or a pair of beds; of two sites, in one bed.
type Mean struct {
	Block string
	First bool
	Grams float64
}

// heaviest is the most that a head can weigh, g: a slip of the pen is told.
const heaviest = 5000

// Read reads a table with the columns plot and weight_g, and compares by the layout: the plants of each treatment in a
// block are averaged first, then the blocks are pairs. A weight left blank was not weighed.
func Read(file, text string, plots []Plot) (Result, finding.Faults) {
	at := map[string]int{}
	for i, p := range plots {
		at[p.Name] = i
	}
	weights := make([][]float64, len(plots))
	faults := table.Read(file, text, func(r *table.Row) {
		name := r.Need("plot")
		i, known := at[name]
		if name != "" && !known {
			r.Wrong(FaultPlot, "plot", finding.Args{"Text": name})
			return
		}
		g := r.Maybe("weight_g", 0, heaviest)
		switch {
		case !known || r.Text("weight_g") == "":
		case len(weights[i]) > 0 && !plots[i].many:
			r.Wrong(FaultTwice, "plot", finding.Args{"Text": name})
		default:
			weights[i] = append(weights[i], g)
		}
	})
	if len(faults) > 0 {
		return Result{}, faults
	}
	return compared(plots, weights)
}

// compared averages within blocks and compares these.
func compared(plots []Plot, weights [][]float64) (out Result, _ finding.Faults) {
	type side struct{ sum, n float64 }
	blocks := map[int]*[2]side{}
	var order []int
	for i, p := range plots {
		b := blocks[p.Block]
		if b == nil {
			b = &[2]side{}
			blocks[p.Block], order = b, append(order, p.Block)
		}
		if len(weights[i]) == 0 {
			out.Not = append(out.Not, p.Name)
			continue
		}
		s := &b[1]
		if p.First {
			s = &b[0]
		}
		mean, _ := spread(weights[i])
		s.sum += mean
		s.n++
		out.Plants += len(weights[i])
	}
	var first, other []float64
	for _, k := range order {
		b := blocks[k]
		for i, side := range b {
			if side.n > 0 {
				out.Means = append(out.Means, Mean{strconv.Itoa(k), i == 0, side.sum / side.n})
			}
		}
		if b[0].n == 0 || b[1].n == 0 {
			out.Left++
			continue
		}
		first, other = append(first, b[0].sum/b[0].n), append(other, b[1].sum/b[1].n)
	}
	out.Comparison, _ = Pairs(first, other) // as many of each, and numbers: read above
	return out, nil
}

// ReadSites reads a table with the columns plot and weight_g of beds at two sites: A1, A2, B1 and so on, several plants of
// a bed each in a row of its own. The plants of a bed are averaged first; the beds are the plots.
func ReadSites(file, text string) (Result, finding.Faults) {
	var out Result
	beds := map[string][]float64{}
	var order []string
	faults := table.Read(file, text, func(r *table.Row) {
		name := r.Need("plot")
		if name != "" && (len(name) < 2 || name[0] != 'A' && name[0] != 'B') {
			r.Wrong(FaultSide, "plot", finding.Args{"Text": name})
			return
		}
		if beds[name] == nil {
			order = append(order, name)
			beds[name] = []float64{}
		}
		if g := r.Maybe("weight_g", 0, heaviest); r.Text("weight_g") != "" {
			beds[name] = append(beds[name], g)
			out.Plants++
		}
	})
	if len(faults) > 0 {
		return Result{}, faults
	}
	var sides [2][]float64
	for _, name := range order {
		if len(beds[name]) == 0 {
			out.Not = append(out.Not, name)
			continue
		}
		mean, _ := spread(beds[name])
		out.Means = append(out.Means, Mean{name, name[0] == 'A', mean})
		sides[name[0]-'A'] = append(sides[name[0]-'A'], mean)
	}
	out.Comparison, _ = Groups(sides[0], sides[1]) // numbers: read above
	return out, nil
}
