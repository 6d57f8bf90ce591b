package paper

import (
	"cmp"
	"strconv"

	"raftwright/draw"
	"raftwright/page"
	"raftwright/press/paper/pdf"
)

// blocks sets blocks in a column of the given width.
func (s *setter) blocks(blocks []page.Block, width float64) []strip {
	var out []strip
	for _, b := range blocks {
		out = append(out, s.block(b, width)...)
	}
	return out
}

// block sets a block, with the white space of the style around its strips.
func (s *setter) block(b page.Block, width float64) []strip {
	switch b := b.(type) {
	case page.Together:
		return together(s.blocks(b.Blocks, width))
	case page.Beside:
		return s.beside(b, width)
	case page.Slips:
		return s.slips(b, width)
	}
	return s.spaced(s.alone(b, width))
}

// spaced gives strips their share of white space.
func (s *setter) spaced(strips []strip) []strip {
	for i := range strips {
		strips[i].before *= s.style.air
		if strips[i].draw == nil {
			strips[i].height *= s.style.air
		}
	}
	return strips
}

// alone sets a block that holds no others.
func (s *setter) alone(b page.Block, width float64) []strip {
	switch b := b.(type) {
	case page.Heading:
		return s.heading(b, width)
	case page.Para:
		size := s.style.body
		if b.Small {
			size = s.style.small
		}
		return s.para(pdf.Block("P"), b.Text, size, min(width, s.style.measure), 0.55*size)
	case page.List:
		return s.list(b, width)
	case page.Table:
		return s.table(b, width)
	case page.Figure:
		return s.figure(b, width)
	case page.Caution:
		return s.caution(b, width)
	case page.KeyFigures:
		return s.keyFigures(b, width)
	case page.Fields:
		return s.fields(b, width)
	case page.LogSheet:
		return s.logSheet(b, width)
	case page.Code:
		return s.code(b, width)
	case page.Notes:
		return s.notes(b, width)
	case page.PageBreak:
		return []strip{{fresh: true}}
	case page.Contents:
		return s.index(width)
	}
	return nil
}

// lines makes a strip of each line of an element, at least two at either end of a page.
func (s *setter) lines(of *pdf.Element, lines []line, size, lead, indent, before float64) []strip {
	out := make([]strip, len(lines))
	for i, l := range lines {
		h := size * lead
		out[i] = strip{height: h, draw: func(p *pen, x, top float64) {
			p.line(of, l, x+indent, top-baseline(h, size), size)
		}}
		out[i].keep = i == 0 && len(lines) > 1 || i == len(lines)-2
	}
	if len(out) > 0 {
		out[0].before = before
	}
	return out
}

// baseline gives how far under the top of a line of height h its baseline lies.
func baseline(h, size float64) float64 { return h/2 + 0.33*size }

func (s *setter) para(of *pdf.Element, t page.Text, size, width, before float64) []strip {
	return s.lines(of, s.wrap(s.words(t, false), width/size), size, s.style.lead, 0, before)
}

func (s *setter) bold(of *pdf.Element, t string, size, width, before float64) []strip {
	return s.lines(of, s.wrap(s.words(page.Literal(t), true), width/size), size, s.style.tight, 0, before)
}

// title gives the level of the document's title, 0 where it has none.
func (s *setter) title() int {
	if s.doc.Title == "" {
		return 0
	}
	return 1
}

// headed makes the element of a heading so many levels under the title; no level is
// skipped.
func (s *setter) headed(under int) *pdf.Element {
	s.level = min(s.title()+under, s.level+1)
	return pdf.Block("H" + strconv.Itoa(s.level))
}

func (s *setter) heading(h page.Heading, width float64) []strip {
	level := min(max(h.Level, 1), 3)
	size := s.style.heading[level]
	out := together(s.bold(s.headed(level+1), h.Text, size, width, 1.25*size))
	if len(out) > 0 {
		out[len(out)-1].keep = true
		out[0].outline = &outline{title: h.Text, level: level + 1}
	}
	return out
}

// sectionHead sets the title of a section.
func (s *setter) sectionHead(sec page.Section, id string) []strip {
	size := s.style.heading[0]
	out := together(s.bold(s.headed(1), sec.Title, size, s.style.column(), 1.7*size))
	if len(out) == 0 {
		return nil
	}
	out[0].outline = &outline{title: sec.Title, level: 1, id: id}
	rule := strip{height: 0.45 * size, keep: true, draw: func(p *pen, x, top float64) {
		p.rule(x, x+s.style.column(), top-0.2*size, 1.1)
	}}
	out[len(out)-1].keep = true
	return append(out, rule)
}

// titleBlock sets the title of the document.
func (s *setter) titleBlock() []strip {
	w := s.style.column()
	out := s.bold(pdf.Block("H1"), s.doc.Title, s.style.title, w, 0)
	if s.doc.Subtitle != "" {
		out = append(out, s.para(pdf.Block("P"), page.Literal(s.doc.Subtitle), s.style.subtitle, w, 0.25*s.style.subtitle)...)
	}
	out = append(out, strip{height: 0.6 * s.style.body, draw: func(p *pen, x, top float64) {
		p.rule(x, x+w, top-0.35*s.style.body, 2.2)
	}})
	out = together(out)
	out[len(out)-1].keep = true
	return out
}

func (s *setter) list(l page.List, width float64) []strip {
	size := s.style.body
	indent := 1.7 * size
	var out []strip
	list := pdf.Block("L")
	list.Marks = [...]string{page.Bullets: "Disc", page.Numbered: "Decimal", page.Boxes: "Square"}[l.Kind]
	for i, item := range l.Items {
		lines := s.wrap(s.words(item, false), (min(width, s.style.measure)-indent)/size)
		before := 0.32 * size
		if i == 0 {
			before = 0.5 * size
		}
		if len(lines) == 0 {
			continue
		}
		entry := list.Add("LI")
		sign := entry.Add("Lbl")
		item := s.lines(entry.Add("LBody"), lines, size, s.style.lead, indent, before)
		first, kind, down := item[0].draw, l.Kind, baseline(size*s.style.lead, size)
		item[0].draw = func(p *pen, x, top float64) {
			p.bullet(sign, kind, i+1, x, top-down, size)
			first(p, x, top)
		}
		out = append(out, item...)
	}
	return out
}

// bullet draws the sign of a list item with its baseline at y; a drawn sign is read as
// the letter that it looks like.
func (p *pen) bullet(of *pdf.Element, kind page.ListKind, n int, x, y, size float64) {
	switch kind {
	case page.Numbered:
		t := strconv.Itoa(n) + "."
		p.text(of, t, true, x+1.2*size-p.width(t, true)*size, y, size, 0)
	case page.Boxes:
		of.Actual = "☐"
		p.out.In(of)
		p.out.Thick(0.9)
		side := 0.78 * size
		p.out.Rect(x+0.25*size, y-0.06*size, side, side)
		p.out.Stroke()
	default:
		of.Actual = "•"
		p.out.In(of)
		p.out.Shade(0)
		p.out.Circle(x+0.75*size, y+0.27*size, 0.13*size)
		p.out.Fill()
	}
}

// rule draws a line across, as decoration.
func (p *pen) rule(x0, x1, y, width float64) {
	p.out.Decor()
	p.out.Thick(width)
	p.out.Move(x0, y)
	p.out.Line(x1, y)
	p.out.Stroke()
}

func (s *setter) notes(n page.Notes, width float64) []strip {
	size := s.style.small
	indent := 0.0
	for _, it := range n.Items {
		indent = max(indent, s.width(it.Mark, true)*size+0.9*size)
	}
	var out []strip
	list := pdf.Block("L")
	for _, it := range n.Items {
		set := s.wrap(s.words(it.Text, false), (min(width, s.style.measure)-indent)/size)
		if len(set) == 0 {
			continue
		}
		entry := list.Add("LI")
		sign := entry.Add("Lbl")
		lines := s.lines(entry.Add("LBody"), set, size, s.style.tight+0.06, indent, 0.35*size)
		first, mark := lines[0].draw, it.Mark
		lines[0].draw = func(p *pen, x, top float64) {
			p.text(sign, mark, true, x, top-baseline(size*(s.style.tight+0.06), size), size, 0)
			first(p, x, top)
		}
		out = append(out, lines...)
	}
	return out
}

func (s *setter) figure(f page.Figure, width float64) []strip {
	words := s.drawn
	var of *pdf.Element // without words for it a drawing is decoration
	if alt := cmp.Or(f.Drawing.Alt, f.Drawing.Title, f.Caption.Plain()); alt != "" {
		of = pdf.Block("Figure")
		of.Alt = alt
	}
	if f.Exact {
		d := f.Drawing
		d.Scale, d.Bare = draw.Full, true
		laid := s.memory.lay(d, draw.Fitting{System: s.doc.Units, Words: words})
		mark := &outline{title: d.Title, level: 2}
		return []strip{{whole: true, outline: mark, height: s.style.height, draw: func(p *pen, x, top float64) { p.drawing(of, laid, 0, 0) }}}
	}
	room := draw.Fitting{Width: draw.Points(width), Height: draw.Points(0.52 * s.style.usable()), Magnify: s.style.grow, System: s.doc.Units, Words: words}
	if s.style.parted {
		room.Larger = mostLarger
	}
	if f.Height > 0 {
		room.Height = min(f.Height, draw.Points(s.style.usable()-6*s.style.body))
	}
	laid := s.memory.lay(f.Drawing, room)
	out := []strip{{before: 0.9 * s.style.body, height: float64(laid.Height), draw: func(p *pen, x, top float64) {
		p.drawing(of, laid, x, top-float64(laid.Height))
	}}}
	if f.Caption != "" {
		out[0].keep = true
		out = append(out, together(s.para(pdf.Block("P"), f.Caption, s.style.small, min(width, s.style.measure), 0.5*s.style.small))...)
	}
	return append(out, strip{height: 0.5 * s.style.body})
}

func (s *setter) beside(b page.Beside, width float64) []strip {
	if s.style.large || len(b.Columns) < 2 {
		var out []strip
		for _, c := range b.Columns {
			out = append(out, s.blocks(c, width)...)
		}
		return out
	}
	if s.style.parted && steps(b) {
		return s.single(b, width)
	}
	const gutter = 22
	sum := 0.0
	weights := make([]float64, len(b.Columns))
	for i := range weights {
		weights[i] = 1
		if i < len(b.Weights) && b.Weights[i] > 0 {
			weights[i] = b.Weights[i]
		}
		sum += weights[i]
	}
	room := width - gutter*float64(len(b.Columns)-1)
	var parts []strip
	var columns [][]strip
	var xs []float64
	x, tall, before := 0.0, 0.0, 0.0
	for i, c := range b.Columns {
		w := room * weights[i] / sum
		set := s.blocks(c, w)
		columns, xs = append(columns, set), append(xs, x)
		col := moved(stack(set), x)
		parts = append(parts, col)
		tall, before = max(tall, col.height), max(before, col.before)
		x += w + gutter
	}
	if s.style.parted && tall > mostWhole*s.style.usable() && pictured(b) {
		var out []strip
		for _, c := range b.Columns {
			out = append(out, s.blocks(c, width)...)
		}
		return out
	}
	if !b.Whole && (tall > s.style.usable() || s.style.parted && tall > mostWhole*s.style.usable()) && tables(b) {
		return s.inParts(columns, xs, before)
	}
	if tall > s.style.usable() {
		var out []strip
		for _, c := range b.Columns {
			out = append(out, s.blocks(c, width)...)
		}
		return out
	}
	return []strip{{before: before, height: tall, draw: side(parts)}}
}

// steps tells whether columns are steps, each a picture over its words.
func steps(b page.Beside) bool {
	for _, c := range b.Columns {
		if len(c) == 0 {
			continue
		}
		t, ok := c[0].(page.Together)
		if !ok || len(c) > 1 || len(t.Blocks) != 2 {
			return false
		}
		if f, ok := t.Blocks[0].(page.Figure); !ok || f.Caption != "" {
			return false
		}
	}
	return true
}

// single sets steps one under another, each picture larger and beside its words: for a face that
// takes several pages all the same.
func (s *setter) single(b page.Beside, width float64) []strip {
	const gutter = 18
	wide := 0.62 * width
	var out []strip
	for _, c := range b.Columns {
		if len(c) == 0 {
			continue
		}
		two := c[0].(page.Together).Blocks
		picture := stack(s.block(two[0], wide))
		words := moved(stack(s.block(two[1], width-wide-gutter)), wide+gutter)
		out = append(out, strip{before: 0.9 * s.style.body * s.style.air, height: max(picture.height, words.height), draw: side([]strip{picture, words})})
	}
	return out
}

// tables tells whether all columns are tables, between whose rows they can be cut.
func tables(b page.Beside) bool {
	for _, c := range b.Columns {
		for _, x := range c {
			if _, ok := x.(page.Table); !ok {
				return false
			}
		}
	}
	return true
}

// pictured tells whether columns are a picture and its list: where there is room they stand one
// under another, the picture as wide as the page.
func pictured(b page.Beside) bool {
	if len(b.Columns) != 2 || len(b.Columns[0]) != 1 || len(b.Columns[1]) != 1 {
		return false
	}
	_, picture := b.Columns[0][0].(page.Figure)
	_, list := b.Columns[1][0].(page.Table)
	return picture && list
}

// side draws strips side by side.
func side(parts []strip) func(p *pen, x, top float64) {
	return func(p *pen, x, top float64) {
		for _, c := range parts {
			if c.draw != nil {
				c.draw(p, x, top)
			}
		}
	}
}

// mostLarger is how much larger a picture becomes where its face takes several pages.
const mostLarger = 1.35

// mostWhole is the share of a page above which columns side by side are cut in parts where a
// chapter takes several pages.
const mostWhole = 0.2

// inParts cuts columns side by side in parts, so that a page can begin between them: what keeps
// together stays so, and a head is printed again over its rows.
func (s *setter) inParts(columns [][]strip, xs []float64, before float64) []strip {
	var out []strip
	at := make([]int, len(columns))
	for {
		var parts, heads []strip
		tall, gap := 0.0, 0.0
		for i, c := range columns {
			from := at[i]
			for at[i] < len(c) && chainHeight(c[from:at[i]], false) < mostWhole/2*s.style.usable() {
				at[i] = chain(c, at[i])
			}
			if at[i] == from {
				continue
			}
			part := moved(stack(c[from:at[i]]), xs[i])
			parts, tall, gap = append(parts, part), max(tall, part.height), max(gap, part.before)
			if len(c[from].head) > 0 {
				heads = append(heads, moved(stack(c[from].head), xs[i]))
			}
		}
		if len(parts) == 0 {
			return out
		}
		next := strip{before: gap, height: tall, draw: side(parts)}
		if len(out) == 0 {
			next.before = before
		}
		for _, h := range heads {
			if len(next.head) == 0 {
				next.head = []strip{{keep: true, draw: side(heads)}}
			}
			next.head[0].height = max(next.head[0].height, h.height)
		}
		out = append(out, next)
	}
}
