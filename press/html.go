package press

import (
	"bufio"
	"bytes"
	"cmp"
	_ "embed" // the style sheet
	"encoding/base64"
	"io"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	qr "github.com/piglig/go-qr"

	"raftwright/draw"
	"raftwright/finding"
	"raftwright/internal/gate"
	"raftwright/page"
	"raftwright/press/letters"
)

//go:embed sheet.css
var styleSheet string

// HTML writes the document as one file that needs nothing else, for a screen, a
// screen reader or a printer: headings in order, table heads with their scope,
// figures with captions and descriptions, the letters that it uses. The only errors are those
// of w.
func HTML(doc page.Document, w io.Writer) error {
	var body bytes.Buffer
	in := newWeb(&body, doc)
	in.body()
	_ = in.out.Flush() // a buffer takes everything
	h := newWeb(w, doc)
	h.head(runesOf(body.String()))
	h.say(body.String())
	return h.out.Flush()
}

func newWeb(w io.Writer, doc page.Document) *web {
	if !strings.HasPrefix(doc.Doors, "/") || strings.HasPrefix(doc.Doors, "//") { // not of the same server
		doc.Doors = ""
	}
	return &web{out: bufio.NewWriter(w), doc: doc, ids: map[string]int{}}
}

// runesOf gives the letters of a text, each once, in order.
func runesOf(s string) []rune {
	r := []rune(s)
	slices.Sort(r)
	return slices.Compact(r)
}

func (h *web) body() {
	doc := h.doc
	h.say("<main>\n")
	if doc.Title != "" {
		h.titled = true
		h.say("<header>\n<h1>", esc(doc.Title), "</h1>\n")
		if doc.Subtitle != "" {
			h.say(`<p class="subtitle">`, esc(doc.Subtitle), "</p>\n")
		}
		h.say("</header>\n")
	}
	for i, s := range doc.Sections {
		h.section(s, i)
	}
	if doc.Date != "" {
		h.say(`<footer><p class="small">`, esc(doc.Title), " · ", esc(doc.Date), "</p></footer>\n")
	}
	h.say("</main>\n</body>\n</html>\n")
}

// Style is the style sheet of HTML, for a page that shows fragments.
func Style() string { return styleSheet }

// Fragment writes one piece of a document as HTML without the page around it: the
// section of an anchor, or the drawing of an id with its caption, as both stand in
// HTML. It tells whether there is such a piece. The only errors are those of w.
func Fragment(doc page.Document, id string, w io.Writer) (found bool, err error) {
	return (*Memory)(nil).Fragment(doc, id, w)
}

// figureOf finds a drawing among blocks and the blocks in them.
func figureOf(blocks []page.Block, id string) (page.Figure, bool) {
	for _, b := range blocks {
		inner := [][]page.Block{}
		switch b := b.(type) {
		case page.Figure:
			if b.Drawing.ID == id {
				return b, true
			}
		case page.Together:
			inner = append(inner, b.Blocks)
		case page.Beside:
			inner = b.Columns
		case page.Slips:
			inner = b.Cells
		}
		for _, in := range inner {
			if f, ok := figureOf(in, id); ok {
				return f, true
			}
		}
	}
	return page.Figure{}, false
}

// web writes HTML.
type web struct {
	drawn  draw.Words // words on drawings, in the language of the section
	memory *Memory    // of drawings; nil: none
	out    *bufio.Writer
	doc    page.Document
	ids    map[string]int
	// level of the last heading: 1 is the title of the document
	level  int
	last   string // heading
	titled bool   // the title of the document, or of its first section, was written
	listed bool   // so were the contents
}

func (h *web) say(parts ...string) {
	for _, p := range parts {
		h.out.WriteString(p) // a bufio.Writer keeps its error for Flush
	}
}

func (h *web) head(said []rune) {
	d := h.doc
	size := "letter"
	if d.Paper == page.A4 {
		size = "A4"
	}
	h.say("<!doctype html>\n<html lang=\"", esc(cmp.Or(d.Language, "en")), "\"")
	if d.Large {
		h.say(` class="large"`)
	}
	h.say(">\n<head>\n<meta charset=\"utf-8\">\n<meta name=\"generator\" content=\"raftwright\">\n<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n<title>", esc(cmp.Or(d.Title, firstTitle(d), "raftwright")), "</title>\n<style>\n")
	for _, f := range []struct {
		face   []byte
		weight string
	}{{letters.Regular, "400"}, {letters.Bold, "600"}} {
		h.say("@font-face{font-family:letters;font-weight:", f.weight, ";src:url(data:font/woff;base64,", base64.StdEncoding.EncodeToString(letters.Woff(f.face, said)), ")}\n")
	}
	h.say(styleSheet)
	foot := cmp.Or(d.Words.Page, "{page}/{pages}")
	counter := `"` + strings.NewReplacer(cssText("{page}"), `" counter(page) "`, cssText("{pages}"), `" counter(pages) "`).Replace(cssText(foot)) + `"`
	name := strings.TrimPrefix(d.Title+" · "+d.Date, " · ")
	h.say("@page { size: ", size, "; margin: 1in; @bottom-left { content: \"", cssText(strings.TrimSuffix(name, " · ")), "\"; font-size: 9pt } @bottom-right { content: ", counter, "; font-size: 9pt } }\n")
	h.say("@page exact { margin: 0; @bottom-left { content: none } @bottom-right { content: none } }\n</style>\n</head>\n<body>\n")
}

// cssText makes words safe inside a string of a style sheet in HTML: whatever is
// no letter, digit or space is written by its number, so that nothing ends the
// string or the style sheet (CSS Syntax Module Level 3, section 4.3.7).
func cssText(s string) string {
	var b strings.Builder
	for _, r := range gate.Clean(s) {
		switch {
		case unicode.IsLetter(r) || unicode.IsDigit(r) || strings.ContainsRune(" ,.-·–", r):
			b.WriteRune(r)
		case r == '\n' || r == '\t':
			b.WriteByte(' ')
		default:
			b.WriteString(`\` + strconv.FormatInt(int64(r), 16) + " ")
		}
	}
	return b.String()
}

func (h *web) contents() {
	if h.listed { // in two languages: it names the sections of both
		return
	}
	h.listed = true
	h.say("<nav aria-labelledby=\"contents\">\n<h2 id=\"contents\">", esc(h.doc.Words.Contents), "</h2>\n<ol>\n")
	for i, s := range h.doc.Sections {
		if s.Title != "" {
			h.say(`<li><a href="#`, s.Anchor(i), `">`, esc(s.Title), "</a></li>\n")
		}
	}
	h.say("</ol>\n</nav>\n")
}

// wordsOf gives the words on the drawings of a section, in its language.
func (h *web) wordsOf(s page.Section) draw.Words {
	if s.Speaks.Language != "" {
		return s.Speaks.Words
	}
	return h.doc.Words.Words
}

// firstTitle gives the title of the first section that has one.
func firstTitle(d page.Document) string {
	for _, s := range d.Sections {
		if s.Title != "" {
			return s.Title
		}
	}
	return ""
}

func (h *web) section(s page.Section, i int) {
	h.say("<section id=\"", s.Anchor(i), "\"")
	if s.NewPage {
		h.say(` class="new"`)
	}
	h.drawn = h.wordsOf(s)
	if l := s.Speaks.Language; l != "" {
		h.say(` lang="`, esc(l), `"`)
	}
	h.say(">\n")
	h.level = 1
	switch {
	case s.Title == "":
	case !h.titled: // a face by itself
		h.titled, h.last = true, s.Title
		h.say("<h1>", esc(s.Title), "</h1>\n")
	default:
		h.level, h.last = 2, s.Title
		h.say("<h2>", esc(s.Title), "</h2>\n")
	}
	h.blocks(s.Blocks)
	h.say("</section>\n")
}

func (h *web) blocks(blocks []page.Block) {
	for _, b := range blocks {
		h.block(b)
	}
}

func (h *web) block(b page.Block) {
	switch b := b.(type) {
	case page.Heading:
		h.level = min(min(max(b.Level, 1), 3)+2, h.level+1) // no level is skipped
		n := strconv.Itoa(h.level)
		h.last = b.Text
		h.say("<h", n, ">", esc(b.Text), "</h", n, ">\n")
	case page.Para:
		h.say("<p")
		if b.Small {
			h.say(` class="small"`)
		}
		h.say(">", h.runs(b.Text), "</p>\n")
	case page.List:
		h.list(b)
	case page.Table:
		h.table(b)
	case page.Figure:
		h.memory.figure(h, b)
	case page.Caution:
		h.caution(b)
	case page.KeyFigures:
		h.keyFigures(b)
	case page.Fields:
		h.fields(b)
	case page.LogSheet:
		h.logSheet(b)
	case page.Code:
		h.code(b)
	case page.Notes:
		h.notes(b)
	case page.PageBreak:
		h.say("<div class=\"new\"></div>\n")
	case page.Contents:
		h.contents()
	case page.Together:
		h.say("<div class=\"keep\">\n")
		h.blocks(b.Blocks)
		h.say("</div>\n")
	case page.Beside:
		h.beside("beside", b.Columns)
	case page.Slips:
		h.beside("slips", b.Cells)
	}
}

// beside writes blocks side by side.
func (h *web) beside(class string, columns [][]page.Block) {
	h.say(`<div class="`, class, "\">\n")
	for _, c := range columns {
		h.say("<div>\n")
		h.blocks(c)
		h.say("</div>\n")
	}
	h.say("</div>\n")
}

// whole keeps numbers with a fraction on one line: broken at its dash, 5-1/4 reads as 5.
func whole(text string) string {
	var out strings.Builder
	digits := func(from, step int) int { // where the digits end that begin here
		for from >= 0 && from < len(text) && text[from] >= '0' && text[from] <= '9' {
			from += step
		}
		return from
	}
	done := 0
	for i := range len(text) {
		if text[i] != '/' || i == 0 {
			continue
		}
		dash, end := digits(i-1, -1), digits(i+1, 1)
		if dash < 1 || dash == i-1 || end == i+1 || text[dash] != '-' {
			continue
		}
		if start := digits(dash-1, -1) + 1; start < dash && start >= done {
			out.WriteString(text[done:start] + `<span class="short">` + text[start:end] + "</span>")
			done = end
		}
	}
	out.WriteString(text[done:])
	return out.String()
}

// runs writes a text with its bold stretches, those in another language, and its doors.
func (h *web) runs(t page.Text) string {
	var b strings.Builder
	for _, r := range t.Runs() {
		text := strings.ReplaceAll(esc(page.Bind(r.Text)), "\n", "<br>")
		if strings.Contains(text, "/") {
			text = whole(text)
		}
		if r.Language != "" {
			text = `<span lang="` + r.Language + `">` + text + "</span>"
		}
		if r.Bold {
			text = "<strong>" + text + "</strong>"
		}
		if r.Of != "" && h.doc.Doors != "" {
			text = `<a class="door" href="` + esc(h.doc.Doors+r.Of) + `">` + text + "</a>"
		}
		b.WriteString(text)
	}
	return b.String()
}

func (h *web) list(l page.List) {
	open, shut := "<ul>", "</ul>"
	switch l.Kind {
	case page.Numbered:
		open, shut = "<ol>", "</ol>"
	case page.Boxes:
		open = `<ul class="boxes">`
	}
	h.say(open, "\n")
	for _, it := range l.Items {
		h.say("<li>", h.runs(it), "</li>\n")
	}
	h.say(shut, "\n")
}

// columnClasses gives the class of the cells of each column: how they stand, and
// whether they are so short that they stay on one line.
func columnClasses(t page.Table) []string {
	out := make([]string, len(t.Columns))
	for i, c := range t.Columns {
		var names []string
		switch c.Align {
		case page.Right:
			names = append(names, "right")
		case page.Centre:
			names = append(names, "centre")
		}
		longest := 0
		for _, r := range t.Rows {
			if i < len(r.Cells) && !r.Group {
				longest = max(longest, utf8.RuneCountInString(r.Cells[i].Plain()))
			}
		}
		if longest <= 14 {
			names = append(names, "short")
		}
		if len(names) > 0 {
			out[i] = ` class="` + strings.Join(names, " ") + `"`
		}
	}
	return out
}

// scroll opens a place that scrolls sideways where it is wider than the screen: it has a name
// and can be reached with the keyboard (WCAG 2.2, 1.4.10 and 2.1.1).
func (h *web) scroll(name string) {
	h.say(`<div class="scroll" role="group" tabindex="0" aria-label="`, esc(cmp.Or(name, h.last, h.doc.Title, "raftwright")), "\">\n")
}

func (h *web) table(t page.Table) {
	h.scroll(t.Caption.Plain())
	h.say("<table")
	switch {
	case t.Stack && t.Compact:
		h.say(` class="compact stack" role="table"`)
	case t.Stack:
		h.say(` class="stack" role="table"`)
	case t.Compact:
		h.say(` class="compact"`)
	}
	h.say(">\n")
	role := rolesOf(t)
	if t.Caption != "" {
		h.say("<caption>", h.runs(t.Caption), "</caption>\n")
	}
	h.say("<thead", role.group, ">\n<tr", role.row, ">")
	classes := columnClasses(t)
	for i, c := range t.Columns {
		h.say(`<th scope="col"`, role.head, classes[i], ">", h.runs(c.Title), "</th>")
	}
	h.say("</tr>\n</thead>\n<tbody", role.group, ">\n")
	for i, r := range t.Rows {
		if r.Group && i > 0 {
			h.say("</tbody>\n<tbody", role.group, ">\n")
		}
		h.row(t, r, classes)
	}
	h.say("</tbody>\n</table>\n")
	if t.Note != "" {
		h.say("<p class=\"note\">", h.runs(t.Note), "</p>\n")
	}
	h.say("</div>\n")
}

// roles are written where the style sheet takes the rows of a table apart: some browsers then no longer tell that they are a table.
type roles struct{ group, row, head, rowHead, cell string }

func rolesOf(t page.Table) roles {
	if !t.Stack {
		return roles{}
	}
	return roles{` role="rowgroup"`, ` role="row"`, ` role="columnheader"`, ` role="rowheader"`, ` role="cell"`}
}

func (h *web) row(t page.Table, r page.Row, classes []string) {
	role := rolesOf(t)
	if r.Group {
		text := page.Text("")
		if len(r.Cells) > 0 {
			text = r.Cells[0]
		}
		h.say("<tr", role.row, `><th scope="rowgroup"`, role.rowHead, ` class="group" colspan="`, strconv.Itoa(max(len(t.Columns), 1)), `">`, h.runs(text), "</th></tr>\n")
		return
	}
	h.say("<tr", role.row)
	if r.Name != "" {
		h.say(` id="`, page.PlainID(r.Name), `"`)
	}
	if r.Strong {
		h.say(` class="strong"`)
	}
	h.say(">")
	for i := range t.Columns {
		cell := page.Text("")
		if i < len(r.Cells) {
			cell = r.Cells[i]
		}
		if i == 0 && t.RowHead && cell != "" {
			h.say(`<th scope="row"`, role.rowHead, classes[i], ">", h.runs(cell), "</th>")
			continue
		}
		h.say("<td", role.cell, classes[i])
		if t.Stack && i > 0 && !t.Columns[i].Plain && cell != "" {
			h.say(` data-head="`, esc(t.Columns[i].Title.Plain()), `"`)
		}
		h.say(">", h.runs(cell), "</td>")
	}
	h.say("</tr>\n")
}

// signs are the signs of the severities, as in the PDF.
var signs = map[finding.Severity]string{
	finding.Note:    `<circle cx="12" cy="12" r="10" fill="none" stroke="currentColor" stroke-width="1.8"/><path d="M12 7v1.6M12 11v6.5" stroke="currentColor" stroke-width="2.2"/>`,
	finding.Caution: `<path d="M12 2.5 22.5 21h-21Z" fill="none" stroke="currentColor" stroke-width="1.8" stroke-linejoin="round"/><path d="M12 9v6M12 17v1.8" stroke="currentColor" stroke-width="2"/>`,
	finding.Stop:    `<path d="M8 2h8l6 6v8l-6 6H8l-6-6V8Z" fill="currentColor"/><path d="M12 6v8M12 16v2.4" stroke="var(--paper, #fff)" stroke-width="2.6"/>`,
}

func (h *web) caution(c page.Caution) {
	class := map[finding.Severity]string{finding.Note: "info", finding.Caution: "care", finding.Stop: "stop"}[c.Severity]
	h.say(`<aside class="caution `, class, "\">\n<p class=\"word\"><svg viewBox=\"0 0 24 24\" aria-hidden=\"true\">", signs[c.Severity], "</svg>", esc(c.Word), "</p>\n")
	for _, t := range c.Text {
		h.say("<p>", h.runs(t), "</p>\n")
	}
	h.say("</aside>\n")
}

func (h *web) keyFigures(k page.KeyFigures) {
	h.say("<dl class=\"key\">\n")
	for _, f := range k.Items {
		h.say("<div><dt>", esc(f.Label), "</dt><dd><span class=\"value\">", h.runs(page.Door(f.Of, page.Literal(f.Value))), "</span>")
		if f.Note != "" {
			h.say("<br><span class=\"small\">", esc(f.Note), "</span>")
		}
		switch {
		case f.At == "":
		case f.To == "":
			h.say("<br><span class=\"small\">", esc(f.At), "</span>")
		default:
			h.say(`<br><a class="small" href="#`, page.PlainID(f.To), `">`, esc(f.At), "</a>")
		}
		h.say("</dd></div>\n")
	}
	h.say("</dl>\n")
}

func (h *web) fields(f page.Fields) {
	for _, l := range f.Lines {
		h.say("<p class=\"line\">")
		for _, b := range l {
			h.say(`<span style="--share:`, num(b.Share()), `">`, esc(b.Label), "</span>")
			if b.Unit != "" {
				h.say("<span class=\"unit\">", esc(b.Unit), "</span>")
			}
		}
		h.say("</p>\n")
	}
}

func (h *web) logSheet(l page.LogSheet) {
	h.scroll("")
	named := ""
	if len(l.Names) > 0 {
		named = " named" // no word of a name is broken on a telephone
	}
	h.say(`<table class="log`, named, `" style="--row:`, num(l.RowHeight()), "pt\">\n<thead><tr>")
	sum := 0.0
	for _, c := range l.Columns {
		sum += c.Share()
	}
	for _, c := range l.Columns {
		h.say(`<th scope="col" style="width:`, num(100*c.Share()/sum), `%">`, esc(c.Title))
		if c.Hint != "" {
			h.say(`<span class="hint">`, esc(c.Hint), "</span>")
		}
		h.say("</th>")
	}
	h.say("</tr></thead>\n<tbody>\n")
	for i := range l.Rows {
		h.say("<tr>")
		for c := range l.Columns {
			if name := l.Name(i); c == 0 && name != "" {
				h.say(`<th scope="row">`, esc(name), "</th>")
				continue
			}
			h.say("<td></td>")
		}
		h.say("</tr>\n")
	}
	h.say("</tbody></table></div>\n")
}

func (h *web) code(c page.Code) {
	side := float64(c.Size)
	if side <= 0 {
		side = 72
	}
	h.say("<div class=\"code\">\n")
	if q, err := qr.EncodeText(c.Text, qr.Medium); err == nil {
		n := q.Size() + 8
		h.say(`<svg role="img" aria-label="`, esc(cmp.Or(c.Alt, c.Text)), `" width="`, num(side), `pt" height="`, num(side), `pt" viewBox="0 0 `, strconv.Itoa(n), " ", strconv.Itoa(n), `"><path d="`)
		for y := range q.Size() {
			for x := 0; x < q.Size(); x++ {
				if q.Module(x, y) {
					h.say("M", strconv.Itoa(x+4), " ", strconv.Itoa(y+4), "h1v1h-1z")
				}
			}
		}
		h.say("\"/></svg>\n")
	}
	text := esc(c.Text)
	if c.Alt != "" {
		text = ""
	}
	if strings.HasPrefix(c.Text, "https://") || strings.HasPrefix(c.Text, "http://") {
		text = `<a href="` + esc(c.Text) + `">` + esc(c.Text) + "</a>"
	}
	h.say("<p>", h.runs(c.Caption), "<br>", text, "</p>\n</div>\n")
}

func (h *web) notes(n page.Notes) {
	h.say("<ul class=\"notes\">\n")
	for _, it := range n.Items {
		h.say("<li><strong>", esc(it.Mark), "</strong><span>", h.runs(it.Text), "</span></li>\n")
	}
	h.say("</ul>\n")
}
