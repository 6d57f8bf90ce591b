package raft

import (
	"cmp"
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

// round moves every hole to the tape's marks: first to the nearest, then, where a
// distance suffers, to the mark on the other side. On a lattice holes of one
// column of marks or one row move together; elsewhere each hole moves alone.
// Rounds of the best change for each end when nothing gets better.
func (l Layout) round(step, spacing, edge unit.Length) []Point {
	r := rounding{l: l, step: step, spacing: float64(spacing), edge: float64(edge), out: make([]Point, len(l.Positions))}
	mark := func(x unit.Length) unit.Length { return unit.Length(math.Round(float64(x/step)+1e-6)) * step }
	for i, p := range l.Positions {
		r.out[i] = Point{mark(p.X), mark(p.Y)}
	}
	if len(l.Positions) > 3000 { // beyond a person with a tape
		return r.out
	}
	r.near = l.neighbours(spacing + 6*step)
	groups := l.together()
	for range 12 {
		moved := false
		for _, g := range groups {
			moved = r.improve(g) || moved
		}
		if l.Regular && !l.Round && len(l.plot.boxes) == 0 && len(l.Positions) <= 400 {
			moved = r.spread(groups) || moved
		}
		if !moved {
			break
		}
	}
	return r.out
}

// rounding is the search for the marks that hurt the distances least.
type rounding struct {
	l             Layout
	step          unit.Length
	spacing, edge float64
	near          [][]int
	out           []Point
}

// group is a set of holes whose marks move together, along X, Y or both.
type group struct {
	holes []int
	x, y  bool
}

// together lists the groups of a layout.
func (l Layout) together() []group {
	var out []group
	if !l.Regular {
		for i := range l.Positions {
			out = append(out, group{[]int{i}, true, true})
		}
		return out
	}
	gather := func(at func(Point) unit.Length, x bool) {
		order := make([]int, len(l.Positions))
		for i := range order {
			order[i] = i
		}
		slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(at(l.Positions[a]), at(l.Positions[b])) })
		for start, i := 0, 1; i <= len(order); i++ {
			if i == len(order) || at(l.Positions[order[i]])-at(l.Positions[order[i-1]]) > 1e-6 {
				out = append(out, group{order[start:i], x, !x})
				start = i
			}
		}
	}
	gather(func(p Point) unit.Length { return p.X }, true)
	gather(func(p Point) unit.Length { return p.Y }, false)
	return out
}

// spread moves a column or row of a lattice with all that follow it by one mark,
// where a gap before it has become too narrow and there is room at the far edge.
func (r *rounding) spread(groups []group) bool {
	all := group{holes: make([]int, len(r.out))}
	for i := range all.holes {
		all.holes[i] = i
	}
	least, moved := r.loss(all), false
	for k := range groups {
		if least == 0 {
			break
		}
		for _, way := range []unit.Length{1, -1} {
			r.shift(groups, k, way)
			if v := r.loss(all); v < least*(1-1e-6) && r.nearExact(groups[k:]) {
				least, moved = v, true
			} else {
				r.shift(groups, k, -way)
			}
		}
	}
	return moved
}

// shift moves the groups from k on that lie along the same axis.
func (r *rounding) shift(groups []group, k int, way unit.Length) {
	for _, g := range groups[k:] {
		if g.x != groups[k].x {
			break
		}
		for _, i := range g.holes {
			if g.x {
				r.out[i].X += way * r.step
			} else {
				r.out[i].Y += way * r.step
			}
		}
	}
}

// nearExact says whether no mark has gone farther than two from its hole.
func (r *rounding) nearExact(groups []group) bool {
	for _, g := range groups {
		p, q := r.out[g.holes[0]], r.l.Positions[g.holes[0]]
		if max(math.Abs(float64(p.X-q.X)), math.Abs(float64(p.Y-q.Y))) > 2*float64(r.step) {
			return false
		}
	}
	return true
}

// improve tries the marks around a group and says whether it moved.
func (r *rounding) improve(g group) bool {
	p := r.l.Positions[g.holes[0]]
	low := Point{unit.Length(math.Floor(float64(p.X/r.step)+1e-6)) * r.step, unit.Length(math.Floor(float64(p.Y/r.step)+1e-6)) * r.step}
	back, least, best := r.out[g.holes[0]], r.loss(g), -1
	set := func(k int) {
		for _, i := range g.holes {
			if g.x {
				r.out[i].X = low.X + unit.Length(k&1)*r.step
			}
			if g.y {
				r.out[i].Y = low.Y + unit.Length(k>>1)*r.step
			}
		}
	}
	if least == 0 {
		return false
	}
	for k := range 4 {
		if !g.x && k&1 == 1 || !g.y && k>>1 == 1 {
			continue
		}
		set(k)
		if v := r.loss(g); v < least*(1-1e-6) {
			least, best = v, k
		}
	}
	if best >= 0 {
		set(best)
		return true
	}
	for _, i := range g.holes {
		if g.x {
			r.out[i].X = back.X
		}
		if g.y {
			r.out[i].Y = back.Y
		}
	}
	return false
}

// loss sums the fourth powers of what the distances of a group fall short, so
// that the worst counts most.
func (r *rounding) loss(g group) float64 {
	sum := 0.0
	for _, i := range g.holes {
		p := r.out[i]
		sum += fourthOver(r.edge - r.l.plot.edgeAt(p.X.Metres(), p.Y.Metres()))
		for _, k := range r.near[i] {
			sum += fourthOver(r.spacing - apart(p, r.out[k]))
		}
	}
	return sum
}

func fourthOver(x float64) float64 {
	if x <= 1e-9 {
		return 0
	}
	return x * x * x * x
}

// neighbours lists for each hole those nearer than a reach. Positions are sorted
// by height, so only a band is looked at.
func (l Layout) neighbours(reach unit.Length) [][]int {
	out := make([][]int, len(l.Positions))
	for i, a := range l.Positions {
		for k := i + 1; k < len(l.Positions) && l.Positions[k].Y-a.Y <= reach; k++ {
			b := l.Positions[k]
			if apart(a, b) <= float64(reach) {
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
