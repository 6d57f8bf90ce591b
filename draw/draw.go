// Package draw is the display list of the project: what a figure shows, in real
// lengths, black on white, with its description in words. It knows nothing of
// PDF or SVG; room press writes both from the same Sheet.
//
// Coordinates are real lengths, x to the right and y up, as on a builder's
// drawing. Line weights, text and arrowheads are in points of the paper, so
// that they stay legible at any scale. Nothing depends on colour: materials are
// told apart by hatching, series by dash and marker.
package draw

import "raftwright/unit"

// Points is a length on paper; 72 points are one inch.
type Points float64

// Point is one point in units of Points: 1/72 in.
const Point Points = 1

// OnPaper gives a real length as points of paper at full size.
func OnPaper(l unit.Length) Points { return Points(l.Inches() * 72) }

// Length gives the points as a length on the paper.
func (p Points) Length() unit.Length { return unit.Length(p) / 72 * unit.Inch }

// Spot is a place in a drawing: x to the right, y up.
type Spot struct{ X, Y unit.Length }

// At gives the spot (x, y).
func At(x, y unit.Length) Spot { return Spot{x, y} }

// Plus gives the spot moved by (dx, dy).
func (s Spot) Plus(dx, dy unit.Length) Spot { return Spot{s.X + dx, s.Y + dy} }

// Drawing is one figure.
type Drawing struct {
	ID    string // unique in a document; ids in the SVG start with it
	Title string // short name, in the reader's language
	Alt   string // the figure in words: what a person who cannot see it must know

	// Scale fixes the scale of the paper; the zero Scale lets Lay choose the
	// largest engineering scale that fits.
	Scale Scale
	// Loose draws as large as fits and says that the figure is not to scale.
	Loose bool
	// Bare leaves out the scale line (charts, symbols, templates). A bare
	// drawing without a Scale is fitted loosely.
	Bare bool
	// Plate says that its light and dark mean something, as on a pale leaf: it stays
	// black on white where the page is dark.
	Plate bool
	// Framed says that the first item is a frame which holds all the others, words too.
	Framed bool
	// Plan says that it is seen from above and may be turned: see Upright.
	Plan bool

	Items []Item
}

// Add appends items to the drawing.
func (d *Drawing) Add(items ...Item) { d.Items = append(d.Items, items...) }

// Item is a part of a drawing: Path, Text, Dimension, Callout, Marker, Tag or Group.
type Item interface{ item() }

func (Path) item()      {}
func (Text) item()      {}
func (Dimension) item() {}
func (Callout) item()   {}
func (Marker) item()    {}
func (Tag) item()       {}
func (Group) item()     {}

// Weight is the weight of a line.
type Weight int

// Line weights. The zero value is the normal weight.
const (
	Normal Weight = iota
	Thin          // dimensions, hidden edges, grids
	Heavy         // cut outlines, the thing that matters
	NoLine        // fill only
)

// Width gives the width of the line on paper.
func (w Weight) Width() Points {
	switch w {
	case Thin:
		return 0.5
	case Heavy:
		return 1.6
	case NoLine:
		return 0
	}
	return 0.9
}

// Dash is the pattern of a line.
type Dash int

// Dashes.
const (
	Solid Dash = iota
	Dashed
	Dotted
	DashDot
	LongDash
)

// Pattern gives the lengths of ink and gap in points; nil is a solid line.
func (d Dash) Pattern() []Points {
	switch d {
	case Dashed:
		return []Points{4, 2.5}
	case Dotted:
		return []Points{1, 2}
	case DashDot:
		return []Points{7, 2, 1.2, 2}
	case LongDash:
		return []Points{10, 3}
	}
	return nil
}

// Stroke is how a line is drawn. The zero value is a normal solid black line.
type Stroke struct {
	Weight Weight
	Dash   Dash
	Gray   float64 // 0 black to 1 white
}

// Fill is what a closed path is filled with.
type Fill int

// Fills. Each hatch stays legible on a 1-bit printer and a photocopy.
const (
	Empty Fill = iota
	White
	MidGray // screened; never the only sign of anything
	Black
	Wood    // long grain lines
	Water   // broken level lines
	Foam    // staggered dots
	Liner   // close diagonal lines
	Soil    // crossing short ticks
	Rising  // diagonal lines, upward: first band of a chart
	Falling // diagonal lines, downward: second band
	Crossed // both: third band
	Dots    // fine dots: fourth band
	Powder  // close dots: a powder, a leaf that is pale
)

// Path is a line or a closed shape.
type Path struct {
	ID, Title string // for the SVG; Title names the part on pointing
	Steps     []Step
	Stroke    Stroke
	Fill      Fill
}

// StepKind is what one step of a path does.
type StepKind int

// Steps of a path.
const (
	MoveTo StepKind = iota
	LineTo
	CurveTo // cubic: two control spots, then the end
	Close
)

// Step is one step of a path. To is the end; C1 and C2 are the control spots of
// a curve.
type Step struct {
	Kind       StepKind
	C1, C2, To Spot
}

// Anchor says which part of a text sits at its spot.
type Anchor int

// Anchors.
const (
	Start Anchor = iota
	Middle
	End
)

// Level says how a text sits on its spot vertically.
type Level int

// Levels. Baseline is the zero value.
const (
	Baseline Level = iota
	Centred        // the middle of the capitals at the spot
	Hanging        // the top of the capitals at the spot
)

// Door is where words or a part of a drawing lead on a page that is touched. On paper it is nothing.
type Door struct {
	Of   string // the ID of the working of the figure or the part; empty: nowhere
	Name string // what it is, in the reader's language
}

// Text is one line of words.
type Text struct {
	Door
	ID     string
	At     Spot
	Dx, Dy Points // moved on the paper, after scaling
	Text   string
	Size   Points  // 0 is 10 points
	Anchor Anchor  //
	Level  Level   //
	Turn   float64 // degrees, counter-clockwise
	Bold   bool
	Halo   bool // clear a white box behind the words
}

// Tip is how a dimension line ends.
type Tip int

// Tips.
const (
	Arrows Tip = iota
	Ticks      // slanted strokes: for chains of short dimensions
)

// Dimension is a measured distance with extension lines and a label. The line
// lies Offset to the left of the way From → To (negative: to the right). The
// label is a given string: room lang prints lengths.
type Dimension struct {
	Door
	ID       string
	From, To Spot
	Offset   Points // on paper; 0 draws on the spots themselves
	Label    string
	Size     Points // 0 is 9.5 points
	Tip      Tip
	Beside   bool // the label of an upright line that is too short for it stands level beside the line, not past its end
}

// Callout points at a place: words, a leader line and an arrowhead at Tip. The
// words sit at Tip moved by (Dx, Dy) on the paper.
type Callout struct {
	Door
	ID     string
	Tip    Spot
	Dx, Dy Points
	Text   string // "\n" starts a new line
	Size   Points // 0 is 9.5 points
}

// Shape is the form of a marker.
type Shape int

// Shapes of markers.
const (
	Disc Shape = iota
	Ring
	BoxFull
	Triangle
	Plus
	Register // a ring with a cross through it: lays sheets over each other
)

// Marker is a small sign of fixed size on paper.
type Marker struct {
	ID, Title string
	At        Spot
	Shape     Shape
	Size      Points // width; 0 is 5 points
}

// Group holds items together under one name. One with a door is a part that leads to where it comes from:
// a hole, a board, a month.
type Group struct {
	Door
	Reach          unit.Length // from the middle of its first outline, how far a finger may miss it; 0: not at all
	ID, Title, Alt string
	Shift          Spot // moves all items of the group
	Items          []Item
}
