package paper

import (
	"slices"
	"strings"
	"unicode/utf8"

	"raftwright/page"
	"raftwright/press/paper/pdf"
)

// grid is a table being set.
type grid struct {
	*setter
	size, lead, pad float64
	gap             float64 // between columns
	width           float64
	cols            []page.Column
	x, w            []float64 // left edge and width of each column, without gutters
	caption         *pdf.Element
	single          int              // columns before the table is folded
	names           []*pdf.Element   // heads of the columns
	cellsOf         [][]*pdf.Element // of each row, as the table is read: a folded one stands otherwise on paper
}

const gutter = 12 // between columns

// A table in a column of a page has less between its own.
const narrow, narrowGutter = 300, 7

func (s *setter) table(t page.Table, width float64) []strip {
	g := &grid{setter: s, size: s.style.table, lead: s.style.tight, pad: 0.34 * s.style.table * (0.2 + 0.8*s.style.air), gap: gutter, cols: t.Columns}
	if width < narrow {
		g.gap = narrowGutter
	}
	if t.Compact {
		g.size, g.pad = s.style.compact, 0.16*s.style.compact*(0.2+0.8*s.style.air)
	}
	if len(t.Columns) == 0 {
		return nil
	}
	if s.style.large {
		return s.listed(t, width)
	}
	g.tag(t)
	folded := g.fold(&t, width)
	if !folded {
		g.measure(t, width)
	}
	var out []strip
	if t.Caption != "" {
		out = together(s.lines(g.caption, s.wrap(s.words(t.Caption, true), width/s.style.table), s.style.table, s.style.tight, 0, 0.8*s.style.body))
		out[len(out)-1].keep = true
	}
	head, hasHead := g.head(t)
	if hasHead {
		head.keep = true
		if len(out) == 0 {
			head.before = 0.8 * s.style.body
		} else {
			head.before = 0.25 * s.style.body
		}
		out = append(out, head)
	}
	repeated := again(head)
	for i, r := range t.Rows {
		row := g.row(t, i)
		row.name = r.Name
		if hasHead && i > 0 {
			row.head = []strip{repeated}
		}
		row.keep = folded && i < len(t.Rows)-1 || r.Group || i == 0 && len(t.Rows) > 1 || i == len(t.Rows)-2 || i == len(t.Rows)-1 && t.Note != ""
		if i == 0 && !hasHead && len(out) == 0 {
			row.before = 0.8 * s.style.body
		}
		out = append(out, row)
	}
	if t.Note != "" {
		out = append(out, together(s.para(pdf.Block("P"), t.Note, s.style.small, min(g.width, s.style.measure), 0.35*s.style.small))...)
	}
	return append(out, strip{height: 0.5 * s.style.body})
}

// listed sets a table as a list, for large print: each row by its first words, with the other
// cells under it, each after the head of its column.
func (s *setter) listed(t page.Table, width float64) []strip {
	size, room := s.style.body, min(width, s.style.measure)
	set := func(of *pdf.Element, text page.Text, bold bool, indent, before float64) []strip {
		return together(s.lines(of, s.wrap(s.words(text, bold), (room-indent)/size), size, s.style.tight, indent, before))
	}
	var out []strip
	title := func(text page.Text) {
		if out = append(out, set(pdf.Block("P"), text, true, 0, 0.9*size)...); len(out) > 0 {
			out[len(out)-1].keep = true
		}
	}
	title(t.Caption)
	list := pdf.Block("L")
	for _, r := range t.Rows {
		if r.Group && len(r.Cells) > 0 {
			title(r.Cells[0])
			list = pdf.Block("L")
			continue
		}
		list.Marks = "None"
		in := list.Add("LI").Add("LBody")
		if t.Line {
			line := page.Text("")
			for _, c := range r.Cells {
				line += c + " "
			}
			out = append(out, together(set(in.Add("P"), line, r.Strong, 0, 0.35*size))...)
			continue
		}
		name, rest := inWords(t, r)
		row := set(in.Add("P"), name, true, 0, 0.5*size)
		for _, c := range rest {
			row = append(row, set(in.Add("P"), c, r.Strong, 1.2*size, 0.1*size)...)
		}
		if len(row) > 0 {
			row[0].name = r.Name
		}
		out = append(out, together(row)...)
	}
	if t.Note != "" {
		out = append(out, s.para(pdf.Block("P"), t.Note, size, room, 0.5*size)...)
	}
	return append(out, strip{height: 0.5 * size})
}

// number tells whether words are a whole number, which names nothing alone.
func number(s string) bool {
	return s != "" && strings.Trim(s, "0123456789") == ""
}

// inWords tells a row of a table without its columns: what names it, and the other cells, each
// after the head of its column, short ones in a line. A box to tick and a letter name nothing
// alone.
func inWords(t page.Table, r page.Row) (name page.Text, rest []page.Text) {
	short := true
	for i, c := range r.Cells[:min(len(r.Cells), len(t.Columns))] {
		switch n := utf8.RuneCountInString(name.Plain()); {
		case c == "":
		case n == 0 && number(c.Plain()) && t.Columns[i].Title != "":
			name = t.Columns[i].Title + " " + c
		case n == 0:
			name = c
		case n <= 2 && len(rest) == 0:
			name += " " + c
		default:
			if title := t.Columns[i].Title; title != "" {
				c = title + ": " + c
			}
			short = short && utf8.RuneCountInString(c.Plain()) <= 30
			rest = append(rest, c)
		}
	}
	if short && len(rest) > 1 {
		line := rest[0]
		for _, c := range rest[1:] {
			line += "; " + c
		}
		rest = []page.Text{line}
	}
	return name, rest
}

// fold sets a long narrow table side by side in as many parts as it asks for, or in fewer
// where words would be cut; it tells whether in more than one.
func (g *grid) fold(t *page.Table, width float64) bool {
	for one := *t; one.Fold > 1; one.Fold-- {
		wide := fold(one)
		g.cols = wide.Columns
		if g.measure(wide, width) >= 0 {
			*t = wide
			return true
		}
	}
	g.cols = t.Columns
	return false
}

// fold sets a long narrow table side by side: rows run down, then across.
func fold(t page.Table) page.Table {
	n, cols := t.Fold, len(t.Columns)
	deep := (len(t.Rows) + n - 1) / n
	rows := make([]page.Row, deep)
	var columns []page.Column
	for k := range n {
		if k > 0 {
			columns = append(columns, page.Column{})
		}
		columns = append(columns, t.Columns...)
		for i := range deep {
			if k > 0 {
				rows[i].Cells = append(rows[i].Cells, "")
			}
			for c := range cols {
				cell := page.Text("")
				if at := k*deep + i; at < len(t.Rows) && c < len(t.Rows[at].Cells) {
					cell = t.Rows[at].Cells[c]
				}
				rows[i].Cells = append(rows[i].Cells, cell)
			}
		}
	}
	t.Columns, t.Rows = columns, rows
	return t
}

// cellIn makes a cell of a row; with a scope it names its column or its row.
func cellIn(row *pdf.Element, scope string) *pdf.Element {
	kind := "TD"
	if scope != "" {
		kind = "TH"
	}
	c := row.Add(kind)
	c.Scope, c.Cell = scope, true
	return c
}

// tag makes the table as it is read, row by row.
func (g *grid) tag(t page.Table) {
	of := pdf.Block("Table")
	g.caption, g.single = of.Add("Caption"), len(t.Columns)
	titled := slices.ContainsFunc(t.Columns, func(c page.Column) bool { return c.Title != "" })
	if titled {
		row := of.Add("TR")
		for range t.Columns {
			g.names = append(g.names, cellIn(row, "Column"))
		}
	}
	for _, r := range t.Rows {
		row := of.Add("TR")
		if r.Group {
			name := cellIn(row, "Column")
			name.Across = len(t.Columns)
			g.cellsOf = append(g.cellsOf, []*pdf.Element{name})
			continue
		}
		cells := make([]*pdf.Element, len(t.Columns))
		for i := range cells {
			scope := ""
			if i == 0 && (t.RowHead || !titled) {
				scope = "Row"
			}
			cells[i] = cellIn(row, scope)
		}
		g.cellsOf = append(g.cellsOf, cells)
	}
}

// onPaper gives the cells of a row as it stands on paper, of so many rows: the row
// itself, or of a folded table one row of each part with an empty column between.
func (g *grid) onPaper(row, deep int) []*pdf.Element {
	out := make([]*pdf.Element, len(g.cols))
	for at := 0; at < len(out) && row < len(g.cellsOf); at, row = at+g.single+1, row+deep {
		copy(out[at:], g.cellsOf[row])
	}
	return out
}

// measure chooses the widths: weighted columns share what the others leave;
// without weights, columns are as wide as their words need, squeezed or
// stretched to the page. It gives the room that is left beside the longest words, below
// 0 where not even those fit.
func (g *grid) measure(t page.Table, width float64) (spare float64) {
	n := len(g.cols)
	natural, least := make([]float64, n), make([]float64, n)
	look := func(i int, text page.Text, bold bool) {
		words := g.words(text, bold)
		for _, l := range g.wrap(words, 1e6) {
			natural[i] = max(natural[i], l.width*g.size)
		}
		for _, w := range words {
			least[i] = max(least[i], w.width*g.size)
		}
	}
	for i, c := range g.cols {
		look(i, c.Title, true)
	}
	for _, r := range t.Rows {
		if r.Group {
			continue
		}
		for i := range min(n, len(r.Cells)) {
			look(i, r.Cells[i], r.Strong)
		}
	}
	room := width - g.gap*float64(n-1)
	spare = room
	for _, w := range least {
		spare -= w
	}
	g.w = share(g.cols, natural, least, room)
	g.x = make([]float64, n)
	x := 0.0
	for i, w := range g.w {
		g.x[i] = x
		x += w + g.gap
	}
	g.width = x - g.gap
	return spare
}

// share divides the room among the columns.
func share(cols []page.Column, natural, least []float64, room float64) []float64 {
	w := append([]float64(nil), natural...)
	weights, fixed, sum := 0.0, 0.0, 0.0
	for i, c := range cols {
		weights += c.Weight
		sum += natural[i]
		if c.Weight == 0 {
			fixed += natural[i]
		}
	}
	if weights > 0 {
		left := room - fixed
		for i, c := range cols {
			if c.Weight > 0 {
				w[i] = max(left*c.Weight/weights, least[i])
			}
		}
		return page.Squeeze(w, least, room)
	}
	if sum > room {
		return page.Squeeze(w, least, room)
	}
	grow := min(room/max(sum, 1), 1.5)
	for i := range w {
		w[i] *= grow
	}
	return w
}

func (g *grid) head(t page.Table) (strip, bool) {
	some := false
	cells := make([]page.Text, len(g.cols))
	for i, c := range g.cols {
		cells[i] = c.Title
		some = some || c.Title != ""
	}
	of := make([]*pdf.Element, len(g.cols)) // of a folded table only the first head is read
	copy(of, g.names)
	s := g.cells(cells, of, true, true)
	inner := s.draw
	s.draw = func(p *pen, x, top float64) {
		inner(p, x, top)
		p.rule(x, x+g.width, top-s.height, 1)
	}
	return s, some
}

// row sets a row; the rule under it is thin between rows and heavier at the end.
func (g *grid) row(t page.Table, i int) strip {
	r := t.Rows[i]
	if r.Group {
		return g.group(r, i)
	}
	cells := append([]page.Text(nil), r.Cells...)
	s := g.cells(cells, g.onPaper(i, len(t.Rows)), r.Strong, false)
	inner, last := s.draw, i == len(t.Rows)-1
	before := i+1 < len(t.Rows) && (t.Rows[i+1].Strong && !r.Strong)
	s.draw = func(p *pen, x, top float64) {
		inner(p, x, top)
		switch {
		case last || before:
			p.rule(x, x+g.width, top-s.height, 1)
		default:
			p.rule(x, x+g.width, top-s.height, 0.35)
		}
	}
	return s
}

func (g *grid) group(r page.Row, i int) strip {
	text := page.Text("")
	if len(r.Cells) > 0 {
		text = r.Cells[0]
	}
	lines := g.wrap(g.words(text, true), g.width/g.size)
	h := g.size*g.lead*float64(len(lines)) + 2*g.pad
	top0 := 0.0
	if i > 0 {
		top0 = 0.5 * g.size * g.style.air
	}
	return strip{height: h + top0, draw: func(p *pen, x, top float64) {
		for k, l := range lines {
			p.line(g.cellsOf[i][0], l, x, top-top0-g.pad-float64(k)*g.size*g.lead-baseline(g.size*g.lead, g.size), g.size)
		}
		p.rule(x, x+g.width, top-top0-h, 0.7)
	}}
}

// cells sets one row of cells; the head stands on its foot, the others hang
// from their top.
func (g *grid) cells(cells []page.Text, of []*pdf.Element, bold, foot bool) strip {
	set := make([][]line, len(g.cols))
	most := 1
	for i := range min(len(cells), len(g.cols)) {
		set[i] = g.wrap(g.words(cells[i], bold), (g.w[i]+0.01)/g.size)
		most = max(most, len(set[i]))
	}
	step := g.size * g.lead
	h := float64(most)*step + 2*g.pad
	return strip{height: h, draw: func(p *pen, x, top float64) {
		for i, lines := range set {
			y := top - g.pad
			if foot {
				y -= float64(most-len(lines)) * step
			}
			for _, l := range lines {
				at := x + g.x[i]
				switch g.cols[i].Align {
				case page.Right:
					at += g.w[i] - l.width*g.size
				case page.Centre:
					at += (g.w[i] - l.width*g.size) / 2
				}
				p.line(of[i], l, at, y-baseline(step, g.size), g.size)
				y -= step
			}
		}
	}}
}
