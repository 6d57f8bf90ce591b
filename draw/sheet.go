package draw

import (
	"math"
	"strings"
)

// Place is a place on paper in points, x to the right and y up from the lower
// left corner of the sheet.
type Place struct{ X, Y Points }

// MarkKind says what a mark is.
type MarkKind int

// Kinds of marks.
const (
	Outline   MarkKind = iota // a path, stroked and filled
	Lettering                 // a line of text; see Mark.Text
	Open                      // a group begins
	Shut                      // the last open group ends
)

// Move is a step of an outline on paper.
type Move struct {
	Kind       StepKind
	C1, C2, To Place
}

// Mark is one thing for a writer to put on paper.
type Mark struct {
	Kind           MarkKind
	ID, Title, Alt string

	// Outline
	Moves []Move
	Width Points // of the line; 0 draws none
	Dash  []Points
	Gray  float64
	Fill  Fill

	Door  Door   // of a group or of words
	Reach Points // of a group with a door: see Group

	// Lettering
	Text   string
	At     Place // on the baseline
	Size   Points
	Anchor Anchor
	Turn   float64 // degrees, counter-clockwise
	Bold   bool
}

// Sheet is a drawing laid on paper: what a writer needs and no more.
type Sheet struct {
	Title, Alt, ID string
	Width, Height  Points
	Scale          Scale // true scale of the figure
	Loose          bool  // the scale means nothing
	Plate          bool  // see Drawing.Plate
	Marks          []Mark
}

// LeastType gives the size of the smallest words; false where there are none.
func (s Sheet) LeastType() (size Points, ok bool) {
	for _, m := range s.Marks {
		if m.Kind == Lettering && m.Text != "" && (!ok || m.Size < size) {
			size, ok = m.Size, true
		}
	}
	return size, ok
}

// Fitting says what room a drawing has.
type Fitting struct {
	Width, Height Points  // 0: no limit
	Magnify       float64 // of words, lines and arrowheads, not of bare drawings; 0 counts as 1
	Larger        float64 // than it is may a bare drawing become, its words staying as they are; 0 counts as 1
	System        System
	Words         Words
}

func (f Fitting) magnify() Points {
	if f.Magnify <= 0 {
		return 1
	}
	return Points(f.Magnify)
}

// Lay puts a drawing on paper. It keeps the drawing's own scale where that fits
// the room, else chooses the largest engineering scale that fits; a loose
// drawing is as large as fits. Where no engineering scale fits, the sheet is
// Loose. A scale line with a bar is added under the figure unless the drawing
// is bare. Marks with a coordinate that is not a finite number are left out.
func Lay(d Drawing, f Fitting) Sheet {
	sheet := lay(d, f)
	if named(d.Items) {
		return finish(d, f, sheet.Scale, sheet.Loose, true)
	}
	return sheet
}

// lay chooses the scale; labels, callouts and tags are only given their room.
func lay(d Drawing, f Fitting) Sheet {
	if d.Scale > 0 {
		if sheet := finish(d, f, d.Scale, false, false); fits(sheet, f) {
			return sheet
		}
		d.Scale = 0
	}
	if d.Loose || d.Bare {
		return finish(d, f, loosest(d, f), true, false)
	}
	for _, s := range Steps(f.System) {
		if s > Full && !small(d) {
			continue
		}
		if sheet := finish(d, f, s, false, false); fits(sheet, f) {
			return sheet
		}
	}
	return finish(d, f, loosest(d, f), true, false)
}

// small tells whether a drawing shows something under 1 in, which alone is
// worth drawing larger than it is.
func small(d Drawing) bool {
	w, h := Extent(d)
	return max(OnPaper(w), OnPaper(h)) < 108
}

func fits(s Sheet, f Fitting) bool {
	const slack = 0.01
	return (f.Width <= 0 || s.Width <= f.Width+slack) && (f.Height <= 0 || s.Height <= f.Height+slack)
}

// loosest finds by bisection the largest scale that fits the room.
func loosest(d Drawing, f Fitting) Scale {
	lo, hi := math.Log(1e-5), math.Log(4.0)
	if d.Bare {
		hi = math.Log(max(1, f.Larger)) // a chart or symbol is drawn for its own size
	}
	if fits(finish(d, f, Scale(math.Exp(hi)), true, false), f) {
		return Scale(math.Exp(hi))
	}
	for range 17 { // to a few parts in ten thousand
		mid := (lo + hi) / 2
		if fits(finish(d, f, Scale(math.Exp(mid)), true, false), f) {
			lo = mid
		} else {
			hi = mid
		}
	}
	return Scale(math.Exp(lo))
}

// finish lays the drawing at one scale and moves it to the corner of its sheet. Labels, callouts
// and tags are set, which takes long, or are only given room around the figure.
func finish(d Drawing, f Fitting, s Scale, loose, set bool) Sheet {
	in := &inker{scale: s, grow: f.magnify()}
	if d.Bare { // a chart is built with the words it has: see Chart.Grow
		in.grow = 1
	}
	in.items(d.Items, Spot{})
	room := in.setNotes(set, d.Framed)
	if set {
		in.setTags(room)
	}
	box := bounds(in.marks)
	if set || len(in.tags) > 0 {
		box = box.with(room)
	}
	sheet := Sheet{ID: d.ID, Title: d.Title, Alt: d.Alt, Scale: s, Loose: loose, Plate: d.Plate}
	if !d.Bare {
		in.scaleLine(box, f, s, loose)
		box = box.with(bounds(in.marks))
	}
	if box.empty() {
		return sheet
	}
	const margin = 1 // half of the heaviest line
	dx, dy := margin-box.x0, margin-box.y0
	if d.Scale == Full && d.Bare { // an exact sheet keeps its own corner
		dx, dy = 0, 0
		sheet.Width, sheet.Height = box.x1, box.y1
	} else {
		sheet.Width, sheet.Height = box.x1-box.x0+2*margin, box.y1-box.y0+2*margin
	}
	shift(in.marks, dx, dy)
	sheet.Marks = in.marks
	return sheet
}

// scaleLine writes the scale and its bar under the figure.
func (in *inker) scaleLine(box area, f Fitting, s Scale, loose bool) {
	size := 9 * in.grow
	y := box.y0 - 2.4*size
	if loose {
		in.words(Mark{Text: f.Words.NotToScale, At: Place{box.x0, y}, Size: size})
		return
	}
	b := barFor(s, f.System, f.Words)
	whole := OnPaper(b.length) * Points(s)
	h := 2.6 * in.grow
	for i := range 4 {
		fill := White
		if i%2 == 0 {
			fill = Black
		}
		x := box.x0 + Points(i)*whole/4
		in.outline(Mark{Moves: rectMoves(x, y, whole/4, h), Width: 0.6 * in.grow, Fill: fill})
	}
	x := box.x0 + whole + 6*in.grow
	in.words(Mark{Text: b.name, At: Place{x, y - 0.2*size}, Size: size})
	x += TextWidth(b.name, size, false) + 12*in.grow
	name := strings.TrimSpace(f.Words.Scale + " " + s.Name(f.System, f.Words))
	if f.Width > 0 && x+TextWidth(name, size, false) > box.x0+f.Width-2 { // no figure is smaller for its words
		x, y = box.x0, y-1.3*size
	}
	in.words(Mark{Text: name, At: Place{x, y - 0.2*size}, Size: size})
}

// shift moves all marks.
func shift(marks []Mark, dx, dy Points) {
	for i := range marks {
		m := &marks[i]
		m.At.X, m.At.Y = m.At.X+dx, m.At.Y+dy
		for j := range m.Moves {
			v := &m.Moves[j]
			for _, p := range []*Place{&v.C1, &v.C2, &v.To} {
				p.X, p.Y = p.X+dx, p.Y+dy
			}
		}
	}
}

// area is a box on paper.
type area struct{ x0, y0, x1, y1 Points }

func none() area {
	inf := Points(math.Inf(1))
	return area{inf, inf, -inf, -inf}
}

func (a area) empty() bool { return a.x0 > a.x1 }

// with gives the box around two.
func (a area) with(b area) area {
	return area{min(a.x0, b.x0), min(a.y0, b.y0), max(a.x1, b.x1), max(a.y1, b.y1)}
}

func (a *area) add(p Place) {
	a.x0, a.x1 = min(a.x0, p.X), max(a.x1, p.X)
	a.y0, a.y1 = min(a.y0, p.Y), max(a.y1, p.Y)
}

// bounds gives the box around all marks. Control spots of curves count, which
// is exact for the quarter arcs of Arc along the axes and a little wide elsewhere.
func bounds(marks []Mark) area {
	a := none()
	for _, m := range marks {
		switch m.Kind {
		case Outline:
			for _, v := range m.Moves {
				if v.Kind == Close {
					continue
				}
				a.add(v.To)
				if v.Kind == CurveTo {
					a.add(v.C1)
					a.add(v.C2)
				}
			}
		case Lettering:
			for _, p := range textBox(m) {
				a.add(p)
			}
		}
	}
	return a
}

// Middle gives the middle of the box around a mark.
func (m Mark) Middle() (x, y Points) {
	box := bounds([]Mark{m})
	return (box.x0 + box.x1) / 2, (box.y0 + box.y1) / 2
}

// textBox gives the corners of the box around a line of text.
func textBox(m Mark) [4]Place {
	w := TextWidth(m.Text, m.Size, m.Bold)
	from := Points(0)
	switch m.Anchor {
	case Middle:
		from = -w / 2
	case End:
		from = -w
	}
	up, down := 0.76*m.Size, -0.24*m.Size
	sin, cos := math.Sincos(m.Turn * math.Pi / 180)
	s, c := Points(sin), Points(cos)
	var out [4]Place
	for i, p := range [4]Place{{from, down}, {from + w, down}, {from + w, up}, {from, up}} {
		out[i] = Place{m.At.X + p.X*c - p.Y*s, m.At.Y + p.X*s + p.Y*c}
	}
	return out
}
