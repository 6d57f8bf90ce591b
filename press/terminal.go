package press

import (
	"bufio"
	"io"
	"strconv"
	"strings"
	"unicode"

	"golang.org/x/text/width"

	"raftwright/finding"
	"raftwright/internal/gate"
	"raftwright/page"
)

// Text writes the document as plain text of at most the given width in columns
// (0 counts as 80, the least is 40): for a terminal or a mail. There is no
// colour. Figures are told by their description. The only errors are those of w.
func Text(doc page.Document, w io.Writer, wide int) error {
	if wide <= 0 {
		wide = 80
	}
	t := &teller{out: bufio.NewWriter(w), width: max(wide, 40)}
	if doc.Title != "" {
		t.lines("", "", wrapColumns(doc.Title, t.width))
		if doc.Subtitle != "" {
			t.lines("", "", wrapColumns(doc.Subtitle, t.width))
		}
		t.line(strings.Repeat("═", min(t.width, max(columns(doc.Title), columns(doc.Subtitle)))))
	}
	for _, s := range doc.Sections {
		if s.Title != "" {
			t.blank(2)
			t.lines("", "", wrapColumns(s.Title, t.width))
			t.line(strings.Repeat("─", min(t.width, columns(s.Title))))
		}
		t.blocks(s.Blocks)
	}
	return t.out.Flush()
}

// teller writes plain text.
type teller struct {
	out    *bufio.Writer
	width  int
	indent string
	blanks int // empty lines just written; the start of the text counts as many
	some   bool
}

// columns gives how many columns of a terminal a text takes.
func columns(s string) int {
	n := 0
	for _, r := range s {
		n += runeColumns(r)
	}
	return n
}

// runeColumns gives 0 for marks set over another letter, 2 for wide letters
// (Unicode Standard Annex 11), else 1.
func runeColumns(r rune) int {
	switch {
	case r < 0x300:
		return 1
	case unicode.In(r, unicode.Mn, unicode.Me, unicode.Cf):
		return 0
	}
	switch width.LookupRune(r).Kind() {
	case width.EastAsianWide, width.EastAsianFullwidth:
		return 2
	}
	return 1
}

func (t *teller) line(s string) {
	s = strings.TrimRight(strings.ReplaceAll(gate.Clean(s), page.Glue, " "), " ")
	if s != "" {
		s = t.indent + s
	}
	t.out.WriteString(s) // a bufio.Writer keeps its error for Flush
	t.out.WriteByte('\n')
	t.blanks, t.some = 0, true
}

// blank leaves n empty lines, counting those that are there.
func (t *teller) blank(n int) {
	for t.some && t.blanks < n {
		t.out.WriteByte('\n')
		t.blanks++
	}
}

// lines writes lines, the first after one lead, the rest after another.
func (t *teller) lines(first, rest string, lines []string) {
	for i, l := range lines {
		if i == 0 {
			t.line(first + l)
		} else {
			t.line(rest + l)
		}
	}
}

// wrapColumns cuts words into lines; a figure and its unit stay together.
func wrapColumns(s string, wide int) []string {
	var out []string
	for _, part := range strings.Split(s, "\n") {
		out = append(out, wrapLine(strings.FieldsFunc(part, func(r rune) bool { return r == ' ' || r == '\t' }), max(wide, 1))...)
	}
	return out
}

func wrapLine(words []string, wide int) []string {
	for i := len(words) - 1; i > 0; i-- {
		if page.Glued(words[i-1], words[i]) {
			words[i-1] += page.Glue + words[i]
			words = append(words[:i], words[i+1:]...)
		}
	}
	var out []string
	var now []byte
	n := 0 // its columns
	for _, w := range words {
		switch more := columns(w); {
		case len(now) == 0:
			now, n = append(now, w...), more
		case n+1+more <= wide:
			now, n = append(append(now, ' '), w...), n+1+more
		default:
			out = append(out, string(now))
			now, n = append(now[:0], w...), more
		}
		for n > wide {
			head, tail := cutColumns(string(now), wide)
			out = append(out, head)
			now, n = append(now[:0], tail...), columns(tail)
		}
	}
	return append(out, string(now))
}

// cutColumns cuts a word that is wider than a line, at a no-break space where
// there is one.
func cutColumns(s string, wide int) (head, tail string) {
	sum, cut := 0, 0
	for i, r := range s {
		sum += runeColumns(r)
		if sum > wide && i > 0 {
			break
		}
		cut = i + len(string(r))
	}
	if i := strings.LastIndex(s[:cut], page.Glue); i > 0 {
		return s[:i], s[i+len(page.Glue):]
	}
	return s[:cut], s[cut:]
}

func (t *teller) blocks(blocks []page.Block) {
	for _, b := range blocks {
		t.block(b)
	}
}

func (t *teller) para(s string) {
	t.blank(1)
	t.lines("", "", wrapColumns(s, t.room()))
}

// room is the width of running text: lines over 88 columns are hard to read.
func (t *teller) room() int { return min(t.width, 88) - columns(t.indent) }

func (t *teller) block(b page.Block) {
	switch b := b.(type) {
	case page.Heading:
		t.blank(2 - min(max(b.Level-1, 0), 1))
		t.lines("", "", wrapColumns(b.Text, t.room()))
	case page.Para:
		t.para(b.Text.Plain())
	case page.List:
		t.list(b)
	case page.Table:
		t.table(b)
	case page.Figure:
		t.para(strings.TrimSpace(b.Caption.Plain() + " " + b.Drawing.Alt))
	case page.Caution:
		t.caution(b)
	case page.KeyFigures:
		t.keyFigures(b)
	case page.Fields:
		t.fields(b)
	case page.LogSheet:
		t.logSheet(b)
	case page.Code:
		t.para(strings.TrimSpace(b.Caption.Plain() + " " + b.Text))
	case page.Notes:
		t.notes(b)
	case page.PageBreak:
		t.blank(1)
	case page.Together:
		t.blocks(b.Blocks)
	case page.Beside:
		for _, c := range b.Columns {
			t.blocks(c)
		}
	case page.Slips:
		for _, c := range b.Cells {
			t.blocks(c)
		}
	}
}

func (t *teller) list(l page.List) {
	t.blank(1)
	last := strconv.Itoa(len(l.Items))
	for i, it := range l.Items {
		sign := "•"
		switch l.Kind {
		case page.Numbered:
			sign = strconv.Itoa(i+1) + "."
			sign = strings.Repeat(" ", len(last)+1-len(sign)) + sign
		case page.Boxes:
			sign = "☐"
		}
		lead := "  " + sign + " "
		t.lines(lead, strings.Repeat(" ", columns(lead)), wrapColumns(it.Plain(), t.room()-columns(lead)))
	}
}

// caution sets a warning behind a bar: the graver, the heavier.
func (t *teller) caution(c page.Caution) {
	t.blank(1)
	bar := map[finding.Severity]string{finding.Note: "│ ", finding.Caution: "┃ ", finding.Stop: "█ "}[c.Severity]
	if c.Word != "" {
		t.line(bar + c.Word)
	}
	for _, p := range c.Text {
		t.lines(bar, bar, wrapColumns(p.Plain(), t.room()-2))
	}
}

func (t *teller) keyFigures(k page.KeyFigures) {
	t.blank(1)
	label, value := 0, 0
	for _, f := range k.Items {
		label, value = max(label, columns(f.Label)), max(value, columns(f.Value))
	}
	label = min(label, t.room()/2)
	value = min(value, t.room()/2)
	for _, f := range k.Items {
		note := strings.Trim(f.Note+"; "+f.At, "; ")
		if note != "" {
			note = strings.Repeat(" ", max(value-columns(f.Value), 0)) + "  " + note
		}
		lead := f.Label + strings.Repeat(" ", max(label-columns(f.Label), 0)+2)
		t.lines(lead, strings.Repeat(" ", columns(lead)), []string{f.Value + note})
	}
}

func (t *teller) fields(f page.Fields) {
	t.blank(1)
	for _, l := range f.Lines {
		sum := 0.0
		for _, b := range l {
			sum += b.Share()
		}
		var parts []string
		for _, b := range l {
			w := int(float64(t.room())*b.Share()/sum) - 2
			parts = append(parts, b.Label+" "+strings.TrimSpace(strings.Repeat("_", max(w-columns(b.Label)-columns(b.Unit)-2, 4))+" "+b.Unit))
		}
		t.line(strings.Join(parts, "  "))
	}
}

// logSheet names what is written down; the empty rows are for paper.
func (t *teller) logSheet(l page.LogSheet) {
	heads := make([]string, len(l.Columns))
	for i, c := range l.Columns {
		heads[i] = c.Title
		if c.Hint != "" {
			heads[i] += " (" + c.Hint + ")"
		}
	}
	t.para(strings.Join(heads, " | "))
	for _, name := range l.Names {
		t.para(name)
	}
}

func (t *teller) notes(n page.Notes) {
	t.blank(1)
	wide := 0
	for _, it := range n.Items {
		wide = max(wide, columns(it.Mark))
	}
	for _, it := range n.Items {
		lead := it.Mark + strings.Repeat(" ", wide-columns(it.Mark)+2)
		t.lines(lead, strings.Repeat(" ", wide+2), wrapColumns(it.Text.Plain(), t.room()-wide-2))
	}
}

// table sets columns with two spaces between them.
func (t *teller) table(b page.Table) {
	n := len(b.Columns)
	if n == 0 {
		return
	}
	t.blank(1)
	if b.Caption != "" {
		t.lines("", "", wrapColumns(b.Caption.Plain(), t.room()))
	}
	w := t.shares(b)
	whole := 2 * (n - 1)
	heads, some := make([]page.Text, n), false
	for i, c := range b.Columns {
		whole += w[i]
		heads[i] = c.Title
		some = some || c.Title != ""
	}
	rule := strings.Repeat("─", whole)
	if some {
		t.cells(b.Columns, heads, w)
		t.line(rule)
	}
	for i, r := range b.Rows {
		switch {
		case r.Group && len(r.Cells) > 0:
			if i > 0 {
				t.line("")
			}
			t.lines("", "", wrapColumns(r.Cells[0].Plain(), whole))
			continue
		case r.Strong && i > 0 && !b.Rows[i-1].Strong:
			t.line(rule)
		}
		t.cells(b.Columns, r.Cells, w)
	}
	if b.Note != "" {
		t.lines("", "", wrapColumns(b.Note.Plain(), t.room()))
	}
}

// shares gives the widths of the columns of a table in columns of the terminal.
func (t *teller) shares(b page.Table) []int {
	n := len(b.Columns)
	natural, least := make([]float64, n), make([]float64, n)
	look := func(i int, s string) {
		for _, l := range wrapColumns(s, 1e6) {
			natural[i] = max(natural[i], float64(columns(l)))
		}
		for _, f := range strings.Fields(s) {
			least[i] = max(least[i], float64(columns(f)))
		}
	}
	for i, c := range b.Columns {
		look(i, c.Title.Plain())
	}
	for _, r := range b.Rows {
		for i := range min(n, len(r.Cells)) {
			if !r.Group {
				look(i, r.Cells[i].Plain())
			}
		}
	}
	room := float64(t.width - columns(t.indent) - 2*(n-1))
	out := make([]int, n)
	for i, w := range page.Squeeze(natural, least, room) {
		out[i] = max(int(w), 1)
	}
	return out
}

func (t *teller) cells(cols []page.Column, cells []page.Text, w []int) {
	set := make([][]string, len(cols))
	most := 1
	for i := range min(len(cells), len(cols)) {
		set[i] = wrapColumns(cells[i].Plain(), w[i])
		most = max(most, len(set[i]))
	}
	for k := range most {
		parts := make([]string, len(cols))
		for i, c := range cols {
			s := ""
			if k < len(set[i]) {
				s = set[i][k]
			}
			gap := max(w[i]-columns(s), 0)
			switch c.Align {
			case page.Right:
				parts[i] = strings.Repeat(" ", gap) + s
			case page.Centre:
				parts[i] = strings.Repeat(" ", gap/2) + s + strings.Repeat(" ", gap-gap/2)
			default:
				parts[i] = s + strings.Repeat(" ", gap)
			}
		}
		t.line(strings.Join(parts, "  "))
	}
}
