package paper

import (
	"cmp"
	"math"

	qr "github.com/piglig/go-qr"

	"raftwright/finding"
	"raftwright/internal/gate"
	"raftwright/page"
	"raftwright/press/paper/pdf"
)

// caution sets a warning in a ruled box: a sign, the word, the text. The heavier
// the rule, the graver the warning.
func (s *setter) caution(c page.Caution, width float64) []strip {
	size := s.style.body
	pad, sign := 0.7*size*(0.4+0.6*s.style.air), 2.5*size
	inner := width - sign - 2*pad
	rule := map[finding.Severity]float64{finding.Note: 0.5, finding.Caution: 1.1, finding.Stop: 2.4}[c.Severity]
	var rows []strip
	part := pdf.Block("Div")
	if s.doc.Margin > 0 && !s.style.large && c.Severity < finding.Stop && c.Word != "" && len(c.Text) > 0 { // on a face the word begins the first line
		list := append([]page.Text{page.Bold(c.Word+".") + " " + c.Text[0]}, c.Text[1:]...)
		c.Word, c.Text = "", list
	}
	if c.Word != "" {
		word := size * 1.05
		if c.Severity == finding.Stop { // as large as the title of the page
			word = s.style.heading[0]
		}
		rows = s.bold(part.Add("P"), c.Word, word, inner, 0)
	}
	for _, t := range c.Text {
		rows = append(rows, s.para(part.Add("P"), t, size, inner, 0.25*size)...)
	}
	if len(rows) == 0 {
		return nil
	}
	rows[0].before = 0
	body := stack(rows)
	whole := strip{before: 0.9 * size, height: max(body.height, sign*0.8) + 2*pad}
	whole.draw = func(p *pen, x, top float64) {
		p.out.Decor()
		p.out.Thick(rule)
		p.out.Rect(x+rule/2, top-whole.height+rule/2, width-rule, whole.height-rule)
		p.out.Stroke()
		p.sign(c.Severity, x+pad+0.72*size, top-pad-0.75*size, 1.5*size)
		body.draw(p, x+pad+sign-0.3*size, top-pad)
	}
	if whole.height < s.style.usable() {
		return []strip{whole, {height: 0.4 * size}}
	}
	return rows // longer than a page: set as plain text
}

// sign draws the sign of a severity about (x, y): an i in a ring, a mark in a
// triangle, a mark in an eight-sided plate. The word beside it says the same.
func (p *pen) sign(v finding.Severity, x, y, size float64) {
	r := size / 2
	p.out.Decor()
	p.out.Thick(size * 0.075)
	p.out.Join(1)
	mark, drop := "!", 0.0
	switch v {
	case finding.Note:
		p.out.Circle(x, y, r*0.92)
		p.out.Stroke()
		mark = "i"
	case finding.Caution:
		p.corners(x, y-r*0.12, r*1.12, 3, 90)
		p.out.Close()
		p.out.Stroke()
		drop = 0.12 * size
	case finding.Stop:
		p.corners(x, y, r, 8, 22.5)
		p.out.Close()
		p.out.Fill()
		p.out.Shade(1)
	}
	p.out.Join(0)
	em := size * 0.72
	p.text(nil, mark, true, x-p.width(mark, true)*em/2, y-0.33*em-drop, em, 0)
	p.out.Shade(0)
}

func (p *pen) corners(x, y, r float64, n int, from float64) {
	for i := range n {
		sin, cos := sincos(from + 360*float64(i)/float64(n))
		if i == 0 {
			p.out.Move(x+r*cos, y+r*sin)
		} else {
			p.out.Line(x+r*cos, y+r*sin)
		}
	}
}

// keyFigures sets figures in a grid, each under a rule.
func (s *setter) keyFigures(k page.KeyFigures, width float64) []strip {
	n := k.Columns
	if n <= 0 {
		n = 3
	}
	if s.style.large {
		n = min(n, 2)
	}
	room := (width - gutter*float64(n-1)) / float64(n)
	var out []strip
	list := pdf.Block("L")
	list.Marks = "None"
	for i := 0; i < len(k.Items); i += n {
		row := k.Items[i:min(i+n, len(k.Items))]
		cells := make([]strip, len(row))
		tall := 0.0
		for j, f := range row {
			cells[j] = s.keyFigure(list.Add("LI").Add("LBody"), f, room)
			tall = max(tall, cells[j].height)
		}
		before := 0.5 * s.style.body
		if i == 0 {
			before = 0.8 * s.style.body
		}
		out = append(out, strip{before: before, height: tall, keep: i+n < len(k.Items) && !s.style.large, draw: func(p *pen, x, top float64) {
			for j, c := range cells {
				at := x + float64(j)*(room+gutter)
				p.rule(at, at+room, top, 0.9)
				c.draw(p, at, top)
			}
		}})
	}
	return append(out, strip{height: 0.6 * s.style.body})
}

// leads sets where a figure is told in full, each line a link to there.
func (s *setter) leads(in *pdf.Element, f page.KeyFigure, width float64) []strip {
	if f.To != "" {
		in = in.Add("Link")
	}
	size := s.style.small
	lines := s.wrap(s.words(page.Literal(f.At), false), width/size)
	out := s.lines(in, lines, size, s.style.tight, 0, 0.15*size)
	for i := range out {
		inner, wide, h := out[i].draw, lines[i].width*size, out[i].height
		if f.To == "" {
			continue
		}
		out[i].draw = func(p *pen, x, top float64) {
			inner(p, x, top)
			p.rule(x, x+wide, top-h+0.1*size, 0.35)
			p.out.Link(in, x, top-h, wide, h, f.To, gate.Clean(f.At))
		}
	}
	return out
}

func (s *setter) keyFigure(in *pdf.Element, f page.KeyFigure, width float64) strip {
	rows := s.lines(in.Add("P"), s.wrap(s.words(page.Literal(f.Label), false), width/s.style.small), s.style.small, s.style.tight, 0, 0)
	value := s.style.body * 1.3
	rows = append(rows, s.bold(in.Add("P"), f.Value, value, width, 0.1*value)...)
	if f.Note != "" {
		rows = append(rows, s.lines(in.Add("P"), s.wrap(s.words(page.Literal(f.Note), false), width/s.style.small), s.style.small, s.style.tight, 0, 0.15*s.style.small)...)
	}
	if f.At != "" {
		rows = append(rows, s.leads(in.Add("P"), f, width)...)
	}
	rows = append([]strip{{height: 0.4 * s.style.body}}, rows...)
	return stack(rows)
}

// fields sets blanks to write on.
func (s *setter) fields(f page.Fields, width float64) []strip {
	size := s.style.body
	var out []strip
	for _, l := range f.Lines {
		if s.fieldWidths(l, width) == nil { // no room to write beside each other
			for _, b := range l {
				out = append(out, s.fieldLine([]page.Field{b}, []float64{width}))
			}
			continue
		}
		out = append(out, s.fieldLine(l, s.fieldWidths(l, width)))
	}
	return append(out, strip{height: 0.6 * size})
}

// leastBlank is the room to write that each field has, in letters' sizes: a number of three digits by hand.
const leastBlank = 3

// fieldWidths shares a line among its fields by their weights, or where that would leave one no room to write, what the words leave; nil where that is too little too.
func (s *setter) fieldWidths(l []page.Field, width float64) []float64 {
	size, sum, words := s.style.body, 0.0, 0.0
	room := width - gutter*float64(len(l)-1)
	need := make([]float64, len(l))
	for i, b := range l {
		sum += b.Share()
		if need[i] = (s.width(b.Label, false) + s.width(b.Unit, false)) * size; need[i] > 0 {
			need[i] += 0.8 * size
		}
		words += need[i]
	}
	w, enough := make([]float64, len(l)), true
	for i, b := range l {
		w[i] = room * b.Share() / sum
		enough = enough && w[i]-need[i] >= leastBlank*size
	}
	if enough || len(l) == 1 {
		return w
	}
	for i, b := range l {
		if w[i] = need[i] + (room-words)*b.Share()/sum; w[i]-need[i] < leastBlank*size {
			return nil
		}
	}
	return w
}

// fieldLine sets a line of fields, each so wide.
func (s *setter) fieldLine(l []page.Field, wide []float64) strip {
	size := s.style.body
	labels := make([]*pdf.Element, len(l))
	for i := range l {
		labels[i] = pdf.Block("P")
	}
	h := max(2.1*size, 27)
	return strip{height: h, draw: func(p *pen, x, top float64) {
		for i, b := range l {
			w := wide[i]
			label := s.width(b.Label, false) * size
			p.text(labels[i], b.Label, false, x, top-h+0.25*size, size, 0)
			if label > 0 {
				label += 0.5 * size
			}
			unit := s.width(b.Unit, false) * size
			p.text(labels[i], b.Unit, false, x+w-unit, top-h+0.25*size, size, 0)
			p.rule(x+label, x+w-unit-0.3*size*min(unit, 1), top-h+0.1*size, 0.5)
			x += w + gutter
		}
	}}
}

// logWidths shares the width among the columns of a log sheet, none narrower than its
// longest word. It gives how many columns fit, at least two where there are two.
func (s *setter) logWidths(l page.LogSheet, width float64) (w []float64, fit int) {
	size, sum, floor := s.style.compact, 0.0, 0.0
	for _, c := range l.Columns {
		sum += c.Share()
	}
	least := make([]float64, len(l.Columns))
	w = make([]float64, len(l.Columns))
	for i, c := range l.Columns {
		for _, word := range s.words(page.Literal(c.Title), true) {
			least[i] = max(least[i], word.width*size+7)
		}
		for _, word := range s.words(page.Literal(c.Hint), false) {
			least[i] = max(least[i], word.width*size+7)
		}
		w[i] = max(width*c.Share()/sum, least[i])
		if floor += least[i]; floor <= width || i < 2 {
			fit++
		}
	}
	return page.Squeeze(w, least, width), fit
}

// logSheet sets an empty ruled table to write in. One whose heads do not fit beside each
// other becomes two, the second with the first column again.
func (s *setter) logSheet(l page.LogSheet, width float64) []strip {
	if len(l.Columns) == 0 {
		return nil
	}
	size := s.style.compact
	widths, fit := s.logWidths(l, width)
	if fit < len(l.Columns) {
		a, b := l, l
		a.Columns = l.Columns[:fit]
		b.Columns = append([]page.LogColumn{l.Columns[0]}, l.Columns[fit:]...)
		return append(s.logSheet(a, width), s.logSheet(b, width)...)
	}
	table := pdf.Block("Table")
	titles := table.Add("TR")
	x := make([]float64, len(l.Columns)+1)
	heads := make([]strip, len(l.Columns))
	tall := 0.0
	for i, c := range l.Columns {
		w := widths[i]
		x[i+1] = x[i] + w
		cell := cellIn(titles, "Column")
		rows := s.lines(cell.Add("P"), s.wrap(s.words(page.Literal(c.Title), true), (w-6)/size), size, 1.15, 0, 0)
		if c.Hint != "" {
			rows = append(rows, s.lines(cell.Add("P"), s.wrap(s.words(page.Literal(c.Hint), false), (w-6)/size), size, 1.15, 0, 0)...)
		}
		heads[i] = stack(rows)
		tall = max(tall, heads[i].height)
	}
	bars := func(p *pen, at, top, h float64) {
		p.out.Decor()
		for _, b := range x {
			p.out.Thick(0.5)
			p.out.Move(at+b, top)
			p.out.Line(at+b, top-h)
			p.out.Stroke()
		}
	}
	head := strip{before: 0.8 * s.style.body, height: tall + 8, keep: true}
	head.draw = func(p *pen, at, top float64) {
		p.rule(at, at+width, top, 0.5)
		for i, h := range heads {
			if h.draw != nil {
				h.draw(p, at+x[i]+3, top-4)
			}
		}
		bars(p, at, top, head.height)
		p.rule(at, at+width, top-head.height, 1.1)
	}
	repeated := again(head)
	out := []strip{head}
	for i := range l.Rows {
		cells, h, name := table.Add("TR"), float64(l.RowHeight()), strip{}
		for c := range l.Columns {
			if text := l.Name(i); c == 0 && text != "" {
				name = stack(s.lines(cellIn(cells, "Row").Add("P"), s.wrap(s.words(page.Literal(text), false), (widths[0]-6)/size), size, 1.15, 0, 0))
				h = max(h, name.height+8)
				continue
			}
			cellIn(cells, "")
		}
		row := strip{height: h, draw: func(p *pen, at, top float64) {
			if name.draw != nil {
				name.draw(p, at+3, top-(h-name.height)/2)
			}
			bars(p, at, top, h)
			p.rule(at, at+width, top-h, 0.5)
		}}
		if i > 0 {
			row.head = []strip{repeated}
		}
		out = append(out, row)
	}
	return append(out, strip{height: 0.6 * s.style.body})
}

// code sets a QR code with its caption at its right.
func (s *setter) code(c page.Code, width float64) []strip {
	q, err := qr.EncodeText(c.Text, qr.Medium)
	if err != nil { // too long for a code: print the text itself
		return s.para(pdf.Block("P"), page.Literal(c.Text), s.style.small, min(width, s.style.measure), 0.5*s.style.body)
	}
	side := float64(c.Size)
	if side <= 0 {
		side = 72
	}
	module := side / float64(q.Size()+8) // with the quiet zone of four modules
	of := pdf.Block("Figure")
	of.Alt = cmp.Or(c.Alt, c.Text)
	caption := stack(s.para(pdf.Block("P"), c.Caption, s.style.body, min(width-side-gutter, s.style.measure), 0))
	h := max(side, caption.height)
	return []strip{{before: 0.8 * s.style.body, height: h, draw: func(p *pen, x, top float64) {
		of.Box = [4]float64{x, top - (h+side)/2, x + side, top - (h-side)/2}
		p.out.In(of)
		p.modules(q, x+4*module, top-(h-side)/2-4*module, module)
		if caption.draw != nil {
			caption.draw(p, x+side+gutter, top-(h-caption.height)/2)
		}
	}}}
}

// modules fills the dark modules of a code, a run at a time.
func (p *pen) modules(q *qr.QrCode, x, top, module float64) {
	p.out.Shade(0)
	for row := range q.Size() {
		for col := 0; col < q.Size(); {
			n := 0
			for col+n < q.Size() && q.Module(col+n, row) {
				n++
			}
			if n > 0 {
				p.out.Rect(round(x+float64(col)*module), round(top-float64(row+1)*module), round(float64(n)*module), round(module))
			}
			col += n + 1
		}
	}
	p.out.Fill()
}

// round keeps coordinates to a thousandth of a point.
func round(x float64) float64 { return math.Round(x*1000) / 1000 }
