package raft

import (
	"math"
	"slices"

	"raftwright/unit"
)

// tapeParts is the fineness of an inch tape: sixteenths. A metric tape is read
// to the millimetre.
const tapeParts = 16

// Mark is one distance from an edge of the sheet, measured from that edge and
// never from the mark before, so that errors do not add up.
type Mark struct {
	Exact  unit.Length
	Tape   unit.Length // a whole sixteenth of an inch
	Metric unit.Length // a whole millimetre
}

// GuideRow is one row of holes at a height above the bottom edge.
type GuideRow struct {
	Y       Mark
	Setting int // which of Guide.Settings gives the marks from the left edge
	First   int // number of the row's first hole, from 1
}

// GuideHole is one hole of the table, numbered in the order of the positions.
type GuideHole struct {
	Number int
	X, Y   Mark // from the left and from the bottom edge
}

// Accuracy is what is left of the distances once every mark is rounded.
type Accuracy struct {
	LeastSpacing unit.Length
	LeastEdge    unit.Length
	SpacingShort unit.Length // by how much the rounded spacing falls short of the one asked, 0 if not
	EdgeShort    unit.Length
}

// Guide tells a person with a tape where the holes go on one kind of sheet, from
// its left and bottom edge (of a disc: of the square around it, so that the
// holes are marked before the disc is cut).
type Guide struct {
	Rows     []GuideRow
	Settings [][]Mark    // marks from the left edge; a lattice needs one or two
	Holes    []GuideHole // every hole with its two distances
	ByRows   bool        // rows and settings are the short way; else use the table
	InTape   Accuracy
	InMetric Accuracy
}

// Guide works the marking guide out. asked is the spacing and edge the job set.
func (l Layout) Guide(spacing, edge unit.Length) Guide {
	g := Guide{}
	tape := l.round(unit.Inch/tapeParts, spacing, edge)
	metric := l.round(unit.Millimetre, spacing, edge)
	for i, p := range l.Positions {
		g.Holes = append(g.Holes, GuideHole{Number: i + 1,
			X: Mark{p.X, tape[i].X, metric[i].X}, Y: Mark{p.Y, tape[i].Y, metric[i].Y}})
	}
	g.rows()
	g.InTape = l.accuracy(tape, spacing, edge)
	g.InMetric = l.accuracy(metric, spacing, edge)
	return g
}

// rows groups the holes of equal height and the rows of equal marks.
func (g *Guide) rows() {
	for start := 0; start < len(g.Holes); {
		end := start + 1
		for end < len(g.Holes) && math.Abs(float64(g.Holes[end].Y.Exact-g.Holes[start].Y.Exact)) < 1e-6 {
			end++
		}
		var marks []Mark
		for _, h := range g.Holes[start:end] {
			marks = append(marks, h.X)
		}
		setting := slices.IndexFunc(g.Settings, func(s []Mark) bool {
			return slices.EqualFunc(s, marks, func(a, b Mark) bool {
				return math.Abs(float64(a.Exact-b.Exact)) < 1e-6 && a.Tape == b.Tape && a.Metric == b.Metric
			})
		})
		if setting < 0 {
			setting = len(g.Settings)
			g.Settings = append(g.Settings, marks)
		}
		g.Rows = append(g.Rows, GuideRow{Y: g.Holes[start].Y, Setting: setting, First: start + 1})
		start = end
	}
	g.ByRows = len(g.Settings) <= 2 || 2*len(g.Rows) <= len(g.Holes)
}

// round moves every hole to the tape's marks. On a lattice equal coordinates
// round alike. Elsewhere a hole may take any of the four marks around it, so
// that spacing and edge suffer least: few rounds of the best change for each
// hole in turn, which end when nothing gets better.
func (l Layout) round(step, spacing, edge unit.Length) []Point {
	out := make([]Point, len(l.Positions))
	mark := func(x unit.Length) unit.Length { return unit.Length(math.Round(float64(x/step)+1e-6)) * step }
	for i, p := range l.Positions {
		out[i] = Point{mark(p.X), mark(p.Y)}
	}
	if l.Pattern != Best || !l.Searched {
		return out
	}
	near := l.neighbours(spacing + 4*step)
	loss := func(i int, p Point) float64 {
		sum := squareOver(float64(edge) - l.plot.edgeAt(p.X.Metres(), p.Y.Metres()))
		for _, k := range near[i] {
			sum += squareOver(float64(spacing) - math.Hypot(float64(p.X-out[k].X), float64(p.Y-out[k].Y)))
		}
		return sum
	}
	for range 12 {
		moved := false
		for i, p := range l.Positions {
			low := Point{unit.Length(math.Floor(float64(p.X/step))) * step, unit.Length(math.Floor(float64(p.Y/step))) * step}
			best, least := out[i], loss(i, out[i])
			for k := range 4 {
				trial := Point{low.X + unit.Length(k&1)*step, low.Y + unit.Length(k>>1)*step}
				if v := loss(i, trial); v < least*(1-1e-6)-1e-18 {
					best, least, moved = trial, v, true
				}
			}
			out[i] = best
		}
		if !moved {
			break
		}
	}
	return out
}

func squareOver(x float64) float64 {
	if x <= 0 {
		return 0
	}
	return x * x
}

// neighbours lists for each hole those nearer than a reach. Positions are sorted
// by height, so only a band is looked at.
func (l Layout) neighbours(reach unit.Length) [][]int {
	out := make([][]int, len(l.Positions))
	for i, a := range l.Positions {
		for k := i + 1; k < len(l.Positions) && l.Positions[k].Y-a.Y <= reach; k++ {
			b := l.Positions[k]
			if math.Hypot(float64(b.X-a.X), float64(b.Y-a.Y)) <= float64(reach) {
				out[i], out[k] = append(out[i], k), append(out[k], i)
			}
		}
	}
	return out
}

// accuracy measures rounded marks.
func (l Layout) accuracy(marks []Point, spacing, edge unit.Length) Accuracy {
	sorted := slices.Clone(marks)
	sortPoints(sorted)
	a := Accuracy{LeastSpacing: leastSpacing(sorted)}
	for i, p := range marks {
		d := unit.Length(l.plot.edgeAt(p.X.Metres(), p.Y.Metres()))
		if i == 0 || d < a.LeastEdge {
			a.LeastEdge = d
		}
	}
	if a.LeastSpacing > 0 {
		a.SpacingShort = dustless(spacing - a.LeastSpacing)
	}
	a.EdgeShort = dustless(edge - a.LeastEdge)
	return a
}

// dustless gives 0 for what is less than a micrometre.
func dustless(l unit.Length) unit.Length {
	if l < 1e-6*unit.Metre {
		return 0
	}
	return l
}
