// Package page is the document model: what stands on the paper, in reading
// order, in words that are already in the reader's language. It holds no
// layout; room press turns the same Document into PDF, HTML and plain text.
package page

import (
	"raftwright/draw"
	"raftwright/finding"
)

// Paper is a sheet size.
type Paper int

// Papers. Letter is the zero value.
const (
	Letter Paper = iota
	A4
)

// Size gives the width and height of the upright sheet.
func (p Paper) Size() (width, height draw.Points) {
	if p == A4 {
		return 595.276, 841.89 // 210 x 297 mm, ISO 216
	}
	return 612, 792 // 8.5 x 11 in
}

// String gives the name a user types.
func (p Paper) String() string {
	if p == A4 {
		return "a4"
	}
	return "letter"
}

// Document is a whole printed thing: a packet, a card, a letter.
type Document struct {
	Title    string
	Subtitle string // under the title on the first page
	Language string // tag of BCP 47: "en", "es"
	Paper    Paper
	Large    bool        // large print: 18 point, re-flowed, no side-by-side blocks
	Dense    bool        // for who reads figures: 10.5 point, tables smaller; large print is that all the same
	Units    draw.System // for scales and scale bars
	Date     string      // printed in the foot of each page, already in words
	Words    Words       // the fixed words that press itself prints
	Margin   draw.Points // of the paper; 0 counts as 1 in
	Doors    string      // of a page: the address on its server, from /, to which the ID of a figure is added to read its working; empty: figures lead nowhere
	Sections []Section
}

// Words are the few words that press adds itself; an empty one is left out, and
// pages are then numbered as 1/9. Braces hold what is filled in.
type Words struct {
	Page       string // "Page {page} of {pages}"
	Contents   string // "What is in this packet"
	draw.Words        // on drawings
}

// Section is a chapter with a title: it makes a bookmark.
type Section struct {
	ID      string
	Title   string // empty: no heading (the first page of a card)
	NewPage bool   // start on a fresh page
	Back    bool   // with NewPage: its pages are the backs of those of the section before
	Blocks  []Block
	Speaks  Speech // where it is not the document's
}

// Speech is the language of a section, and the words of drawings in it.
type Speech struct {
	Language string // tag of BCP 47; empty: the document's
	Words    draw.Words
}

// Block is a part of a section.
type Block interface{ block() }

func (Heading) block()    {}
func (Para) block()       {}
func (List) block()       {}
func (Table) block()      {}
func (Figure) block()     {}
func (Caution) block()    {}
func (KeyFigures) block() {}
func (Fields) block()     {}
func (LogSheet) block()   {}
func (Code) block()       {}
func (Notes) block()      {}
func (PageBreak) block()  {}
func (Together) block()   {}
func (Beside) block()     {}
func (Slips) block()      {}
func (Contents) block()   {}

// Text is a run of words; **two stars** make bold, and [[es|dos]] is in another language.
// A backslash keeps a sign as it is: \*, \[, \\.
type Text string

// Heading is a heading inside a section. Level 1 is below the section's title;
// 1 to 3.
type Heading struct {
	Level int // 0 counts as 1
	Text  string
}

// Para is a paragraph.
type Para struct {
	Text  Text
	Small bool // a note in smaller type
}

// ListKind is the sign before each item.
type ListKind int

// Kinds of list.
const (
	Bullets ListKind = iota
	Numbered
	Boxes // empty boxes to tick
)

// List is a list of items.
type List struct {
	Kind  ListKind
	Items []Text
}

// Align is how the cells of a column stand.
type Align int

// Alignments. Numbers stand right, so that their digits line up.
const (
	Left Align = iota
	Right
	Centre
)

// Column is a column of a table.
type Column struct {
	Title  Text
	Align  Align
	Weight float64 // share of the width; 0: as wide as its words need
	Plain  bool    // says by itself what it is: where rows are stacked its head is not told again
}

// Row is a row of a table.
type Row struct {
	Cells  []Text
	Name   string // what a figure in front leads to; "" where nothing leads here
	Strong bool   // totals: bold, with a rule above
	Group  bool   // a heading inside the table: the first cell spans the row
}

// Table is a table; its head is repeated on every page.
type Table struct {
	Caption Text
	Columns []Column
	Rows    []Row
	Compact bool // less space between rows
	RowHead bool // the first column names the row
	Line    bool // in large print a row is one line, without the heads of its columns
	Stack   bool // on a screen as narrow as a telephone each row stands as lines under one another, each cell with the head of its column
	Fold    int  // a long narrow table is cut into so many side by side on paper; 0 counts as 1
	Note    Text // small print under the table
}

// Add appends a row.
func (t *Table) Add(cells ...Text) { t.Rows = append(t.Rows, Row{Cells: cells}) }

// Group appends a heading inside the table.
func (t *Table) Group(name Text) {
	t.Rows = append(t.Rows, Row{Group: true, Cells: []Text{name}})
}

// Weigh gives the columns their shares of the width, from the first.
func (t *Table) Weigh(weights ...float64) {
	for i, w := range weights {
		t.Columns[i].Weight = w
	}
}

// Figure is a drawing with its caption.
type Figure struct {
	Drawing draw.Drawing
	Caption Text
	Height  draw.Points // most height; 0: half of a page
	// Narrow makes the same drawing for a screen as wide as a telephone, where one is
	// wanted; nil: the drawing is only laid anew.
	Narrow func() draw.Drawing
	// Exact prints the drawing at full size on a page of its own, without
	// margins, its lower left corner at the lower left of the sheet.
	Exact bool
}

// Caution is a warning in a ruled box, with a sign and a word, never a colour.
type Caution struct {
	Severity finding.Severity
	Word     string // "Caution", in the reader's language
	Text     []Text // paragraphs
}

// KeyFigure is one figure that matters.
type KeyFigure struct {
	Label string
	Value string
	Note  string
	Of    string // the ID of its working; "" where it has none
	At    string // where in the document it is told in full, in words
	To    string // the name of the row that At leads to; "" where it leads nowhere
}

// KeyFigures is a small grid of figures: the plan at a glance.
type KeyFigures struct {
	Items   []KeyFigure
	Columns int // 0 counts as 3
}

// Field is a blank to fill in.
type Field struct {
	Label  string
	Unit   string  // behind the blank; may be empty
	Weight float64 // share of the line; 0 counts as 1
}

// Fields are blanks to write on: each inner slice is one line.
type Fields struct {
	Lines [][]Field
}

// LogSheet is an empty table to write in.
type LogSheet struct {
	Columns []LogColumn
	Rows    int
	Height  draw.Points // of a row; 0 counts as 10 mm
	Names   []string    // stand in the first column, from the first row on
}

// LogColumn is a column of a log sheet; Hint is printed under the title: the
// wanted band.
type LogColumn struct {
	Title, Hint string
	Weight      float64 // 0 counts as 1
}

// Code is a QR code with what it says beside it.
type Code struct {
	Text    string // what the code holds
	Alt     string // what it is, in words; empty: the text itself
	Caption Text
	Size    draw.Points // 0 counts as 1 in
}

// SourceNote is one entry of Notes.
type SourceNote struct {
	Mark string // "1", "a"
	Text Text
}

// Notes are notes or sources in small print.
type Notes struct{ Items []SourceNote }

// PageBreak starts a new page.
type PageBreak struct{}

// Contents lists the sections with their pages where it stands, in columns.
type Contents struct{}

// Together keeps its blocks on one page where they fit on one.
type Together struct{ Blocks []Block }

// Beside sets blocks in columns side by side; in large print one under another.
type Beside struct {
	Columns [][]Block
	Weights []float64 // shares of the width; empty: equal
	Whole   bool      // no page begins in it: its columns are read one after the other
}

// Slips are pieces to cut out, two beside each other and three under one another: each is a sixth of
// the paper, one that holds more a third. In large print they stand one under another.
type Slips struct{ Cells [][]Block }
