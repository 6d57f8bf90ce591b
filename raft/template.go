package raft

import (
	"math"
	"slices"
	"strconv"

	"raftwright/finding"
	"raftwright/unit"
)

// Paper is a size of printing paper, upright.
type Paper struct {
	Name string
	Size Size
}

// Papers that the template is cut for: US Letter (8-1/2 x 11 in) and ISO 216 A4.
var (
	Letter = Paper{"letter", Size{8.5 * unit.Inch, 11 * unit.Inch}}
	A4     = Paper{"a4", Size{210 * unit.Millimetre, 297 * unit.Millimetre}}
)

// Room on a page of the template: a margin no printer needs more than, a strip
// at the foot for the page's name and the check bar, and the overlap in which
// neighbouring pages are taped (our choice).
const (
	pageMargin  = 12 * unit.Millimetre
	pageFoot    = 14 * unit.Millimetre
	pageOverlap = 10 * unit.Millimetre
	checkBar    = 100 * unit.Millimetre
	mostPages   = 2000
)

// FaultTemplate is raised where a template would take too many pages.
const FaultTemplate finding.ID = "raft.fault.template"

// Template is the full-size paper pattern of one kind of sheet, cut into pages.
// All places on a page are from the lower left corner of the paper.
type Template struct {
	Paper   Size // as printed: upright or lying
	Lying   bool
	Window  Size // the part of the paper that shows the raft
	Overlap unit.Length
	Columns int
	Rows    int
	Pages   []Page // from the lower left of the raft, row by row
}

// Page is one sheet of paper of a template.
type Page struct {
	Column, Row int
	Name        string // "B3": column letter and row number, from the lower left
	From        Point  // the place on the raft at the window's lower left corner
	At          Point  // where on the paper the window's lower left corner is
	Blank       bool   // no hole, rim or obstacle
	Outside     bool   // blank and beside a round raft: not printed

	Holes []PageHole
	Rim   []Stroke // edge of the foam
	Keep  []Stroke // edges of obstacles

	Marks []Point  // registration crosses, each on both pages that share it
	Bars  []Stroke // 100 mm, one each way: measure them before cutting
}

// PageHole is a hole, or the part of one, on a page.
type PageHole struct {
	Number int   // of the hole, from 1
	Centre Point // on the paper; may lie off the window
	Shown  bool  // the centre is in the window
	Radius unit.Length
	Arcs   []Arc
}

// Arc is a part of a circle, counterclockwise; a whole one runs from 0 to 2 pi.
type Arc struct{ From, To unit.Angle }

// Stroke is a straight line, or an arc where Radius is given.
type Stroke struct {
	A, B   Point
	Centre Point
	Radius unit.Length
	Arc    Arc
}

// window is a page's view of the raft, in metres on the raft.
type window struct{ x0, y0, x1, y1 float64 }

// Template cuts the full-size pattern of the layout into pages, upright or lying
// whichever takes fewer. It refuses a raft that takes more than two thousand.
func (l Layout) Template(paper Paper, hole unit.Length) (Template, error) {
	upright, lying := tiling(l.Size, paper.Size), tiling(l.Size, paper.Size.Turned())
	lying.Lying = true
	t := upright
	if lying.Columns*lying.Rows < upright.Columns*upright.Rows {
		t = lying
	}
	if n := t.Columns * t.Rows; n > mostPages || n <= 0 {
		return Template{}, finding.Fault{ID: FaultTemplate, Args: finding.Args{"Pages": n}}
	}
	for row := range t.Rows {
		for column := range t.Columns {
			t.Pages = append(t.Pages, l.page(t, column, row, hole))
		}
	}
	return t, nil
}

// tiling counts the pages of one way to hold the paper. The pattern starts half
// an overlap outside the foam, so that the rim is drawn whole.
func tiling(raft, paper Size) Template {
	t := Template{Paper: paper, Overlap: pageOverlap,
		Window: Size{paper.X - 2*pageMargin, paper.Y - 2*pageMargin - pageFoot}}
	pages := func(length, window unit.Length) int {
		step := window - pageOverlap
		return max(1, int(math.Ceil(float64(length/step)-tolerance)))
	}
	t.Columns, t.Rows = pages(raft.X, t.Window.X), pages(raft.Y, t.Window.Y)
	return t
}

// page draws what one page shows.
func (l Layout) page(t Template, column, row int, hole unit.Length) Page {
	step := Size{t.Window.X - t.Overlap, t.Window.Y - t.Overlap}
	p := Page{Column: column, Row: row, Name: columnName(column) + strconv.Itoa(row+1),
		From: Point{unit.Length(column)*step.X - t.Overlap/2, unit.Length(row)*step.Y - t.Overlap/2},
		At:   Point{pageMargin, pageMargin + pageFoot}}
	v := window{p.From.X.Metres(), p.From.Y.Metres(), (p.From.X + t.Window.X).Metres(), (p.From.Y + t.Window.Y).Metres()}
	for i, h := range l.Positions {
		arcs := v.arcs(h.X.Metres(), h.Y.Metres(), hole.Metres()/2)
		shown := v.holds(h.X.Metres(), h.Y.Metres())
		if len(arcs) > 0 || shown {
			p.Holes = append(p.Holes, PageHole{Number: i + 1, Centre: p.onPaper(h), Shown: shown, Radius: hole / 2, Arcs: arcs})
		}
	}
	l.outline(&p, v)
	p.Blank = len(p.Holes) == 0 && len(p.Rim) == 0 && len(p.Keep) == 0
	if r := l.Size.X / 2; p.Blank && l.plot.round {
		middle := Point{p.From.X + t.Window.X/2, p.From.Y + t.Window.Y/2}
		p.Outside = math.Hypot(float64(middle.X-r), float64(middle.Y-r)) > float64(r)
	}
	p.register(t)
	foot := pageMargin + pageFoot/2
	side := pageMargin * 2 / 3
	p.Bars = []Stroke{
		{A: Point{t.Paper.X - pageMargin - checkBar, foot}, B: Point{t.Paper.X - pageMargin, foot}},
		{A: Point{side, p.At.Y}, B: Point{side, p.At.Y + checkBar}},
	}
	return p
}

// onPaper moves a place on the raft to the page.
func (p Page) onPaper(q Point) Point {
	return Point{q.X - p.From.X + p.At.X, q.Y - p.From.Y + p.At.Y}
}

// outline adds the rim and the obstacles as far as the page shows them.
func (l Layout) outline(p *Page, v window) {
	if l.Round {
		r := l.Size.X.Metres() / 2
		for _, a := range v.arcs(r, r, r) {
			p.Rim = append(p.Rim, Stroke{Centre: p.onPaper(Point{l.Size.X / 2, l.Size.X / 2}), Radius: l.Size.X / 2, Arc: a})
		}
	} else {
		p.Rim = v.rectangle(p, box{0, 0, l.Size.X.Metres(), l.Size.Y.Metres()})
	}
	for _, b := range l.plot.boxes {
		p.Keep = append(p.Keep, v.rectangle(p, b)...)
	}
}

// rectangle gives the parts of a rectangle's sides in the window, on the paper.
func (v window) rectangle(p *Page, b box) []Stroke {
	var out []Stroke
	add := func(x0, y0, x1, y1 float64) {
		if x0 <= x1 && y0 <= y1 && (x0 < x1 || y0 < y1) {
			out = append(out, Stroke{A: p.onPaper(Point{unit.Length(x0), unit.Length(y0)}), B: p.onPaper(Point{unit.Length(x1), unit.Length(y1)})})
		}
	}
	left, right, low, high := max(b.x0, v.x0), min(b.x1, v.x1), max(b.y0, v.y0), min(b.y1, v.y1)
	for _, y := range []float64{b.y0, b.y1} {
		if v.y0 <= y && y <= v.y1 {
			add(left, y, right, y)
		}
	}
	for _, x := range []float64{b.x0, b.x1} {
		if v.x0 <= x && x <= v.x1 {
			add(x, low, x, high)
		}
	}
	return out
}

// register sets crosses into the middle of each overlap that a neighbour shares,
// two along every shared side.
func (p *Page) register(t Template) {
	step := Size{t.Window.X - t.Overlap, t.Window.Y - t.Overlap}
	for _, part := range []unit.Length{0.25, 0.75} {
		if p.Column > 0 {
			p.Marks = append(p.Marks, Point{p.At.X + t.Overlap/2, p.At.Y + part*t.Window.Y})
		}
		if p.Column < t.Columns-1 {
			p.Marks = append(p.Marks, Point{p.At.X + step.X + t.Overlap/2, p.At.Y + part*t.Window.Y})
		}
		if p.Row > 0 {
			p.Marks = append(p.Marks, Point{p.At.X + part*t.Window.X, p.At.Y + t.Overlap/2})
		}
		if p.Row < t.Rows-1 {
			p.Marks = append(p.Marks, Point{p.At.X + part*t.Window.X, p.At.Y + step.Y + t.Overlap/2})
		}
	}
}

// holds says whether a place is in the window.
func (v window) holds(x, y float64) bool { return x >= v.x0 && x <= v.x1 && y >= v.y0 && y <= v.y1 }

// arcs gives the parts of a circle in the window: the circle is cut where it
// crosses the window's four lines, and each piece whose middle is inside stays.
func (v window) arcs(cx, cy, r float64) []Arc {
	if cx+r < v.x0 || cx-r > v.x1 || cy+r < v.y0 || cy-r > v.y1 {
		return nil
	}
	var cuts []float64
	turn := func(a float64) float64 { return math.Mod(a+4*math.Pi, 2*math.Pi) }
	for _, x := range []float64{v.x0, v.x1} {
		if c := (x - cx) / r; c > -1 && c < 1 {
			cuts = append(cuts, turn(math.Acos(c)), turn(-math.Acos(c)))
		}
	}
	for _, y := range []float64{v.y0, v.y1} {
		if s := (y - cy) / r; s > -1 && s < 1 {
			cuts = append(cuts, turn(math.Asin(s)), turn(math.Pi-math.Asin(s)))
		}
	}
	if len(cuts) == 0 {
		if v.holds(cx+r, cy) {
			return []Arc{{0, 2 * math.Pi}}
		}
		return nil
	}
	slices.Sort(cuts)
	var out []Arc
	for i, from := range cuts {
		to := cuts[0] + 2*math.Pi
		if i+1 < len(cuts) {
			to = cuts[i+1]
		}
		sin, cos := math.Sincos((from + to) / 2)
		if to-from < 1e-12 || !v.holds(cx+r*cos, cy+r*sin) {
			continue
		}
		if n := len(out); n > 0 && float64(out[n-1].To) == from {
			out[n-1].To = unit.Angle(to)
			continue
		}
		out = append(out, Arc{unit.Angle(from), unit.Angle(to)})
	}
	return out
}

// columnName gives A, B ... Z, AA, AB ...
func columnName(i int) string {
	name := ""
	for i++; i > 0; i = (i - 1) / 26 {
		name = string(rune('A'+(i-1)%26)) + name
	}
	return name
}
