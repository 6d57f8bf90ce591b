package pdf

import (
	"math"
	"strconv"
)

// Page is a page being drawn. Lengths are points from its lower left corner. What is
// drawn belongs to the element of the last In, or is decoration after Decor and Foot.
type Page struct {
	file   *File
	index  int
	ops    []byte
	footed int // where the foot begins
	inked  state
	owner  *Element   // of the open sequence; nil: decoration
	ids    []*Element // owners by the number of their sequence
	links  []*link
}

// Speak says in which language what is drawn from now on is; empty: the document's.
func (p *Page) Speak(language string) { p.file.speaks = language }

// state tells what kind of sequence is open.
type state int

const (
	shut state = iota
	tagged
	decor
	foot
)

// In makes what is drawn next part of an element; of none, decoration.
func (p *Page) In(e *Element) {
	if e == nil {
		p.Decor()
		return
	}
	if p.inked == tagged && p.owner == e {
		return
	}
	p.close()
	p.file.join(e)
	e.kids = append(e.kids, kid{page: p.index, id: len(p.ids)})
	p.ops = append(append(p.ops, '/'), e.Kind...)
	p.ops = append(strconv.AppendInt(append(p.ops, " <</MCID "...), int64(len(p.ids)), 10), ">>BDC\n"...)
	p.ids = append(p.ids, e)
	p.inked, p.owner = tagged, e
}

// Decor makes what is drawn next decoration, which is not read aloud. In the foot of a
// page it stays the foot.
func (p *Page) Decor() {
	if p.inked == decor || p.inked == foot {
		return
	}
	p.close()
	p.ops = append(p.ops, "/Artifact BMC\n"...)
	p.inked = decor
}

// Foot makes what is drawn until the end of the page its foot.
func (p *Page) Foot() {
	p.close()
	p.footed = len(p.ops)
	p.ops = append(p.ops, "/Artifact <</Type/Pagination/Subtype/Footer/Attached[/Bottom]>>BDC\n"...)
	p.inked = foot
}

func (p *Page) close() {
	if p.inked != shut {
		p.ops = append(p.ops, "EMC\n"...)
	}
	p.inked, p.owner = shut, nil
}

// Ops gives the operators drawn so far.
func (p *Page) Ops() string { return string(p.ops) }

// decimal writes a number to a thousandth; what is no number or beyond any sheet is 0.
func decimal(b []byte, x float64) []byte {
	if !(math.Abs(x) < 1e7) {
		x = 0
	}
	n := int64(math.Round(x * 1000))
	if n < 0 {
		b, n = append(b, '-'), -n
	}
	b = strconv.AppendInt(b, n/1000, 10)
	if n %= 1000; n == 0 {
		return b
	}
	b = append(b, '.', byte('0'+n/100), byte('0'+n/10%10), byte('0'+n%10))
	for b[len(b)-1] == '0' {
		b = b[:len(b)-1]
	}
	return b
}

func (p *Page) op(name string, numbers ...float64) {
	for _, x := range numbers {
		p.ops = append(decimal(p.ops, x), ' ')
	}
	p.ops = append(append(p.ops, name...), '\n')
}

// Save keeps the state of the pen, Restore brings it back.
func (p *Page) Save() { p.op("q") }

// Restore brings back the state of the pen at Save.
func (p *Page) Restore() { p.op("Q") }

// Thick sets the width of lines.
func (p *Page) Thick(w float64) { p.op("w", w) }

// Cap sets the ends of lines: 0 cut, 1 round.
func (p *Page) Cap(kind int) { p.op("J", float64(kind)) }

// Join sets the corners of lines: 0 sharp, 1 round.
func (p *Page) Join(kind int) { p.op("j", float64(kind)) }

// Dash sets the dashes of lines and where in them a line starts; none: whole lines.
func (p *Page) Dash(dashes []float64, phase float64) {
	p.ops = append(p.ops, '[')
	for i, x := range dashes {
		if i > 0 {
			p.ops = append(p.ops, ' ')
		}
		p.ops = decimal(p.ops, x)
	}
	p.ops = append(p.ops, ']', ' ')
	p.op("d", phase)
}

// Shade sets the gray of areas and words: 0 black, 1 white.
func (p *Page) Shade(gray float64) { p.op("g", gray) }

// Ink sets the gray of lines: 0 black, 1 white.
func (p *Page) Ink(gray float64) { p.op("G", gray) }

// Move starts a path.
func (p *Page) Move(x, y float64) { p.op("m", x, y) }

// Line leads the path straight on.
func (p *Page) Line(x, y float64) { p.op("l", x, y) }

// Curve leads the path on along a cubic curve with two guides.
func (p *Page) Curve(ax, ay, bx, by, x, y float64) { p.op("c", ax, ay, bx, by, x, y) }

// Close leads the path back to its start.
func (p *Page) Close() { p.op("h") }

// Rect adds a rectangle to the path.
func (p *Page) Rect(x, y, w, h float64) { p.op("re", x, y, w, h) }

// Circle adds a circle to the path, as four curves: a cubic meets the circle at its
// ends and its middle where its guides are 4/3 (sqrt 2 - 1) of the radius long.
func (p *Page) Circle(x, y, r float64) {
	k := 4.0 / 3 * (math.Sqrt2 - 1)
	p.Move(x+r, y)
	for _, q := range [4][2]float64{{1, 0}, {0, 1}, {-1, 0}, {0, -1}} { // the corner from q to q turned left
		cos, sin := q[0]*r, q[1]*r
		p.Curve(x+cos-k*sin, y+sin+k*cos, x-sin+k*cos, y+cos+k*sin, x-sin, y+cos)
	}
	p.Close()
}

// Stroke draws the path as a line.
func (p *Page) Stroke() { p.op("S") }

// Fill fills the path.
func (p *Page) Fill() { p.op("f") }

// FillHoles fills the path; what lies inside twice stays empty.
func (p *Page) FillHoles() { p.op("f*") }

// Clip draws from here to Restore only inside the path.
func (p *Page) Clip() {
	p.op("W*")
	p.op("n")
}

// Glyph is one letter as its font numbers it, and how far to move before it, in
// thousandths of the size: kerning.
type Glyph struct {
	Code  uint16
	Shift int16
}

// Text writes glyphs of a font along a line through (x, y) that is turned by an angle
// given as its sine and cosine.
func (p *Page) Text(font string, size, x, y, sin, cos float64, glyphs []Glyph) {
	if len(glyphs) == 0 {
		return
	}
	p.ops = append(append(append(p.ops, "BT\n/"...), font...), ' ')
	p.op("Tf", size)
	if sin == 0 && cos == 1 {
		p.op("Td", x, y)
	} else {
		p.op("Tm", cos, sin, -sin, cos, x, y)
	}
	const hex = "0123456789ABCDEF"
	p.ops = append(p.ops, '[', '<')
	for i, g := range glyphs {
		if g.Shift != 0 && i > 0 {
			p.ops = append(strconv.AppendInt(append(p.ops, '>'), -int64(g.Shift), 10), '<')
		}
		p.ops = append(p.ops, hex[g.Code>>12], hex[g.Code>>8&15], hex[g.Code>>4&15], hex[g.Code&15])
	}
	p.ops = append(p.ops, ">] TJ\nET\n"...)
}
