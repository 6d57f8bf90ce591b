package press

import (
	"cmp"
	"strconv"
	"strings"

	"raftwright/draw"
	"raftwright/page"
)

// Of a telephone of 320 pixels: how wide a drawing may be, and how high.
const (
	phoneWide draw.Points = 222
	phoneHigh draw.Points = 520
)

// leastType is the smallest type of a drawing on a screen.
const leastType draw.Points = 9

// fitsPhone tells whether a drawing can be read on a telephone as it is: made as narrow as that,
// its smallest words are large enough.
func fitsPhone(s draw.Sheet) bool {
	size, ok := s.LeastType()
	return s.Width <= phoneWide || ok && size*phoneWide/s.Width >= leastType-0.005
}

// Laid is a drawing as a page shows it: on a desk, and on a telephone, where it may be another one.
type Laid struct {
	Desk, Phone draw.Sheet
	Two         bool // the drawing of the desk could not be read on a telephone
}

// Lay lays a figure of a document for a page.
func Lay(doc page.Document, s page.Section, f page.Figure) Laid {
	h := web{doc: doc}
	h.drawn = h.wordsOf(s)
	return h.lay(f)
}

func (h *web) lay(f page.Figure) Laid {
	w, tall := h.doc.Paper.Size()
	d, room := f.Drawing, draw.Fitting{Width: w - 144, Height: cmp.Or(f.Height, 0.6*tall), System: h.doc.Units, Words: h.drawn}
	if h.doc.Large {
		room.Magnify = 2
	}
	if f.Exact { // its corner is the corner of the sheet, and a smaller one would be wrong
		d.Scale, d.Bare = draw.Full, true
		laid := draw.Lay(d, draw.Fitting{System: h.doc.Units})
		laid.Width, laid.Height = w, tall
		return Laid{Desk: laid, Phone: laid}
	}
	laid := draw.Lay(d, room)
	if fitsPhone(laid) {
		return Laid{Desk: laid, Phone: laid}
	}
	room.Width, room.Height = phoneWide, phoneHigh
	if f.Narrow != nil {
		if d = f.Narrow(); d.Bare { // it is as high as it is
			room.Height = 0
		}
	}
	if h.doc.Large {
		room.Magnify = 4. / 3 // there is less room than on paper
	}
	d.Plate = f.Drawing.Plate
	return Laid{Desk: laid, Phone: draw.Lay(draw.Upright(d), room), Two: true}
}

// write writes a drawing under an id, and a second one for a narrow place where the first could not be
// read there. The style sheet shows one of them; both have the name and the words of the first.
func (h *web) write(f page.Figure, id string) {
	laid := h.lay(f)
	laid.Desk.ID = id
	switch {
	case f.Exact:
		h.say("<figure class=\"exact\">\n")
		h.scroll(cmp.Or(f.Drawing.Title, f.Caption.Plain()))
		h.sheet(laid.Desk, "")
		h.say("</div>\n")
	case laid.Two:
		h.say("<figure>\n")
		h.sheet(laid.Desk, "wide")
		laid.Phone.ID = laid.Desk.ID + narrowID
		h.sheet(laid.Phone, "narrow")
	default:
		h.say("<figure>\n")
		h.sheet(laid.Desk, "")
	}
	if f.Caption != "" {
		h.say("<figcaption>", h.runs(f.Caption), "</figcaption>\n")
	}
	h.say("</figure>\n")
}

// sheet writes a laid drawing.
func (h *web) sheet(s draw.Sheet, class string) {
	if s.Plate {
		class = strings.TrimSpace(class + " plate")
	}
	_ = writeSVG(s, pageInks, class, h.doc.Doors, h.out) // the writer keeps its error for Flush
}

// uniqueID gives each figure its own id, however often a drawing is printed.
func (h *web) uniqueID(id string) string {
	id = cmp.Or(id, "figure")
	h.ids[id]++
	if n := h.ids[id]; n > 1 {
		return id + "-" + strconv.Itoa(n)
	}
	return id
}
