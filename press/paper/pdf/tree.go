package pdf

import (
	"cmp"
	"strconv"
)

// Element is an element of the structure tree: what a screen reader announces. A block
// makes its whole subtree in reading order; the block joins the tree where the first of
// it is drawn, so that what is set twice and drawn once is read once.
type Element struct {
	Kind     string // H1, P, L, LI, Lbl, LBody, Table, TR, TH, TD, Figure, Link, Caption …
	Language string // where it is not the document's
	Alt      string // of a figure: what it shows, in words
	Actual   string // what a drawn sign stands for: "•"
	Scope    string // of a TH: Column or Row
	Marks    string // of an L: Disc, Square, Decimal, None
	Across   int    // columns of a cell; 0 counts as 1
	Cell     bool   // in the tree though nothing is drawn: a cell of a table
	Box      [4]float64

	up     *Element
	kids   []kid
	ref    int
	joined bool
}

// kid is a child: an element, a link, or a sequence of a page.
type kid struct {
	of   *Element
	link *link
	page int
	id   int
}

// Block makes an element that joins the document when it is drawn.
func Block(kind string) *Element { return &Element{Kind: kind} }

// Add makes an element at the end of another; of none, a block.
func (e *Element) Add(kind string) *Element {
	n := Block(kind)
	if e != nil {
		n.up = e
		e.kids = append(e.kids, kid{of: n})
	}
	return n
}

// Span gives the element for a stretch of words in another language: the last child,
// where it is in that language already.
func (e *Element) Span(language string) *Element {
	if n := len(e.kids); n > 0 && e.kids[n-1].of != nil {
		if last := e.kids[n-1].of; last.Kind == "Span" && last.Language == language {
			return last
		}
	}
	n := e.Add("Span")
	n.Language = language
	return n
}

// join hangs the block of an element into the document.
func (f *File) join(e *Element) {
	for e.up != nil {
		e = e.up
	}
	if e != f.root && !e.joined {
		e.joined, e.up = true, f.root
		e.Language = cmp.Or(e.Language, f.speaks)
		f.root.kids = append(f.root.kids, kid{of: e})
	}
}

// idle tells whether nothing of the element is drawn.
func (e *Element) idle() bool {
	for _, k := range e.kids {
		if k.of == nil || !k.of.idle() {
			return false
		}
	}
	return !e.Cell
}

// link is an area that leads to a named place.
type link struct {
	area      [4]float64
	to, words string
	of        *Element
	ref, key  int
}

// Link lays a link over what an element of kind Link shows; words say where it leads.
func (p *Page) Link(e *Element, x, y, w, h float64, to, words string) {
	p.file.join(e)
	l := &link{area: [4]float64{x, y, x + w, y + h}, to: to, words: words, of: e}
	p.links = append(p.links, l)
	e.kids = append(e.kids, kid{link: l, page: p.index})
}

// element writes an element with all under it and gives its number.
func (f *File) element(e *Element, up int) int {
	e.ref = f.reserve()
	var kids []byte
	count, home := 0, -1
	for _, k := range e.kids {
		if k.of != nil && k.of.idle() {
			continue
		}
		if count++; count > 1 {
			kids = append(kids, ' ')
		}
		switch {
		case k.of != nil:
			kids = refer(kids, f.element(k.of, e.ref))
		case k.link != nil:
			kids = append(refer(append(kids, "<</Type/OBJR/Obj "...), k.link.ref), "/Pg "...)
			kids = append(refer(kids, f.pages[k.page].ref), ">>"...)
		case home < 0 || home == k.page:
			home = k.page
			kids = strconv.AppendInt(kids, int64(k.id), 10)
		default: // goes on on another page
			kids = append(refer(append(kids, "<</Type/MCR/Pg "...), f.pages[k.page].ref), "/MCID "...)
			kids = append(strconv.AppendInt(kids, int64(k.id), 10), ">>"...)
		}
	}
	b := append(append([]byte("<</S/"), e.Kind...), "/P "...)
	b = refer(b, up)
	if home >= 0 {
		b = refer(append(b, "/Pg "...), f.pages[home].ref)
	}
	for _, s := range [][2]string{{"/Lang", e.Language}, {"/Alt", e.Alt}, {"/ActualText", e.Actual}} {
		if s[1] != "" {
			b = text(append(b, s[0]...), s[1])
		}
	}
	b = e.attributes(b)
	switch count {
	case 0:
	case 1:
		b = append(append(b, "/K "...), kids...)
	default:
		b = append(append(append(b, "/K["...), kids...), ']')
	}
	f.fill(e.ref, append(b, ">>"...))
	return e.ref
}

// attributes writes what the element says about itself: of a cell, a list or a figure,
// which have one group of attributes each.
func (e *Element) attributes(b []byte) []byte {
	switch {
	case e.Scope != "" || e.Across > 1:
		b = append(b, "/A<</O/Table"...)
		if e.Scope != "" {
			b = append(append(b, "/Scope/"...), e.Scope...)
		}
		if e.Across > 1 {
			b = strconv.AppendInt(append(b, "/ColSpan "...), int64(e.Across), 10)
		}
	case e.Marks != "":
		b = append(append(b, "/A<</O/List/ListNumbering/"...), e.Marks...)
	case e.Kind == "Figure":
		b = append(b, "/A<</O/Layout/Placement/Block/BBox["...)
		for i, x := range e.Box {
			if i > 0 {
				b = append(b, ' ')
			}
			b = decimal(b, x)
		}
		b = append(b, ']')
	default:
		return b
	}
	return append(b, ">>"...)
}
