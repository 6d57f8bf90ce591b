package paper

import (
	"cmp"
	"io"
	"strconv"
	"strings"
	"time"

	"github.com/carlos7ags/folio/content"
	"github.com/carlos7ags/folio/document"
	"github.com/carlos7ags/folio/font"
	"github.com/carlos7ags/folio/layout"

	"raftwright/internal/gate"
	"raftwright/page"
)

// undated is the date written into a PDF whose document gives none: the first
// second of 2000, never the clock, so that the same document gives the same bytes.
var undated = time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)

// PDF writes the document as a PDF file. The same document gives the same
// bytes. The only errors are those of w.
func PDF(doc page.Document, w io.Writer) error {
	s, err := newSetter(doc)
	if err != nil {
		return err
	}
	out := document.NewDocument(document.PageSize{Width: s.style.width, Height: s.style.height})
	out.SetMargins(layout.Margins{})
	created := doc.Created
	if created.IsZero() {
		created = undated
	}
	out.Info = document.Info{Title: gate.Clean(doc.Title), Language: gate.Clean(doc.Language), Creator: "raftwright", CreationDate: created, ModDate: created}
	out.SetTagged(false)
	pages := s.pages()
	for i, p := range pages {
		if i > 0 {
			out.Add(layout.NewAreaBreak())
		}
		out.Add(&leaf{setter: s, sheet: p, page: i, pages: len(pages)})
	}
	s.bookmarks(out, pages)
	_, err = out.WriteToWithOptions(w, document.WriteOptions{Deterministic: true, UseXRefStream: true, UseObjectStreams: true})
	return err
}

func newSetter(doc page.Document) (*setter, error) {
	both, err := faces()
	if err != nil {
		return nil, err
	}
	s := &setter{faces: both, measured: map[measureKey]float64{}, kerns: map[uint32]int16{}, style: styleFor(doc), doc: doc}
	for i, f := range both {
		s.fonts[i] = font.NewEmbeddedFont(f)
	}
	return s, nil
}

// pages sets the whole document and cuts it into pages, a chapter at a time: a
// section that starts a page, and those that follow on.
func (s *setter) pages() []sheet {
	var strips []strip
	if s.doc.Title != "" {
		strips = s.titleBlock()
	}
	if s.doc.Contents {
		strips = append(strips, s.contents()...)
	}
	list := s.doc.Sections
	for from := 0; from < len(list); {
		to := from + 1
		for to < len(list) && !list[to].NewPage {
			to++
		}
		if list[from].NewPage && len(strips) > 0 {
			strips = append(strips, strip{fresh: true})
		}
		var head []strip
		if from == 0 {
			head, strips = strips, nil
		}
		strips = append(strips, s.chapter(head, from, to)...)
		from = to
	}
	if len(strips) == 0 {
		strips = []strip{{height: 1, draw: func(*pen, float64, float64) {}}}
	}
	return paginate(strips, s.style.usable())
}

// spill is the share of a page below which a chapter's last page counts as
// spilled over; so does all of it within a tenth of one page less.
const spill = 0.4

// chapter sets the sections after the head. Where a few lines spill over on a
// page of their own, it is set a little smaller if that saves the page; never in
// large print.
func (s *setter) chapter(head []strip, from, to int) []strip {
	out := s.chapterIn(s.style, head, from, to)
	pages, usable := paginate(out, s.style.usable()), s.style.usable()
	n := float64(len(pages))
	if s.style.large || n < 2 || pages[len(pages)-1].depth() > spill*usable && chainHeight(out, false) > 1.1*(n-1)*usable {
		return out
	}
	for _, k := range []float64{0.97, 0.94, 0.91, 0.88} {
		if small := s.chapterIn(s.style.shrunk(k), head, from, to); len(paginate(small, usable)) < len(pages) {
			return small
		}
	}
	return out
}

// chapterIn sets the sections in a style.
func (s *setter) chapterIn(in style, head []strip, from, to int) []strip {
	whole := s.style
	defer func() { s.style = whole }()
	s.style = in
	out := append([]strip(nil), head...)
	for i := from; i < to; i++ {
		sec := s.doc.Sections[i]
		if sec.Title != "" {
			out = append(out, s.sectionHead(sec, sec.Anchor(i))...)
		}
		for k, b := range sec.Blocks {
			part := s.block(b, s.style.column())
			if _, ok := b.(page.Para); ok && k == 0 && sec.Title != "" && len(part) <= 3 {
				part = together(part)
				part[len(part)-1].keep = len(sec.Blocks) > 1 // a short lead stays with what it leads to
			}
			out = append(out, part...)
		}
	}
	return out
}

// contents lists the sections; their pages are known when the page is drawn.
func (s *setter) contents() []strip {
	size := s.style.body
	w := s.style.column()
	out := s.bold(s.doc.Words.Contents, s.style.heading[1], w, 1.2*size)
	for i, sec := range s.doc.Sections {
		if sec.Title == "" {
			continue
		}
		id, h := sec.Anchor(i), 1.55*size
		lines := s.wrap(s.words(page.Literal(sec.Title), false), (w-3*size)/size)
		out = append(out, strip{height: h * float64(len(lines)), draw: func(p *pen, x, top float64) {
			for k, l := range lines {
				p.line(l, x, top-float64(k)*h-baseline(h, size), size)
			}
			n := p.pageOf(id)
			y := top - float64(len(lines)-1)*h - baseline(h, size)
			p.text(n, false, x+w-p.width(n, false)*size, y, size, 0)
			p.rule(x, x+w, top-h*float64(len(lines)), 0.35)
			p.link(x, top-h*float64(len(lines)), w, h*float64(len(lines)), id)
		}})
	}
	return append(together(out), strip{height: size})
}

// index lists the sections in columns of small type, for a first page that has
// more to say: three on paper, one in large print.
func (s *setter) index(width float64) []strip {
	size, columns := s.style.small, 3
	if s.style.large {
		columns = 1
	}
	type entry struct{ title, id string }
	var list []entry
	for i, sec := range s.doc.Sections {
		if sec.Title != "" {
			list = append(list, entry{sec.Title, sec.Anchor(i)})
		}
	}
	out := s.bold(s.doc.Words.Contents, s.style.heading[2], width, 1.1*s.style.body)
	room, h := (width-gutter*float64(columns-1))/float64(columns), 1.5*size
	deep := (len(list) + columns - 1) / columns
	for row := range deep {
		out = append(out, strip{height: h, draw: func(p *pen, x, top float64) {
			for c := range columns {
				if k := c*deep + row; k < len(list) {
					p.entry(list[k].title, list[k].id, x+float64(c)*(room+gutter), top, room, h, size)
				}
			}
		}})
	}
	return append(together(out), strip{height: 0.5 * size})
}

// entry prints one line of the contents, cut where it is too long.
func (p *pen) entry(title, id string, x, top, width, h, size float64) {
	n := p.pageOf(id)
	y := top - baseline(h, size)
	room := width - (p.width(n, false)+0.6)*size
	for r := []rune(title); p.width(title, false)*size > room && len(r) > 1; {
		r = r[:len(r)-1]
		title = strings.TrimRight(string(r), " ") + "…"
	}
	p.text(title, false, x, y, size, 0)
	p.text(n, false, x+width-p.width(n, false)*size, y, size, 0)
	p.rule(x, x+width, top-h, 0.35)
	p.link(x, top-h, width, h, id)
}

// leaf is one page as an element of the PDF library's layout.
type leaf struct {
	*setter
	sheet sheet
	page  int
	pages int
}

// PlanLayout places the page as one block, with an anchor for each section.
func (l *leaf) PlanLayout(area layout.LayoutArea) layout.LayoutPlan {
	block := layout.PlacedBlock{Width: area.Width, Height: area.Height, Draw: l.draw}
	for _, st := range l.sheet.strips {
		if st.outline != nil && st.outline.id != "" {
			block.Children = append(block.Children, layout.PlacedBlock{Y: l.style.margin + st.y, AnchorName: st.outline.id})
		}
	}
	return layout.LayoutPlan{Status: layout.LayoutFull, Consumed: area.Height, Blocks: []layout.PlacedBlock{block}}
}

func (l *leaf) draw(ctx layout.DrawContext, x, top float64) {
	p := &pen{setter: l.setter, out: ctx.Stream, page: l.page, pages: l.pages}
	for i, f := range l.fonts {
		p.names[i] = "F" + strconv.Itoa(i+1)
		ctx.Page.Fonts = append(ctx.Page.Fonts, layout.FontEntry{Name: p.names[i], Embedded: f})
	}
	p.link = func(x, y, w, h float64, to string) {
		ctx.Page.Links = append(ctx.Page.Links, layout.LinkArea{X: x, Y: y, W: w, H: h, DestName: to})
	}
	ink(p.out)
	for _, st := range l.sheet.strips {
		switch {
		case st.draw == nil:
		case l.sheet.whole:
			st.draw(p, 0, top)
		default:
			st.draw(p, l.style.margin, top-l.style.margin-st.y)
		}
	}
	if !l.sheet.whole {
		p.foot()
	}
}

// ink sets black for lines and words.
func ink(out *content.Stream) {
	out.SetFillColorGray(0)
	out.SetStrokeColorGray(0)
}

// foot prints the title, the date and the page under a thin rule.
func (p *pen) foot() {
	st := p.style
	size, left, right := st.foot, st.margin, st.width-st.margin
	y := st.margin * 0.55
	p.rule(left, right, y+1.5*size, 0.35)
	words := cmp.Or(p.doc.Words.Page, "{page}/{pages}")
	words = strings.NewReplacer("{page}", strconv.Itoa(p.page+1), "{pages}", strconv.Itoa(p.pages)).Replace(words)
	at := right - p.width(words, false)*size
	p.text(words, false, at, y, size, 0)
	name := p.doc.Title
	if p.doc.Date != "" {
		name = strings.TrimPrefix(name+" · "+p.doc.Date, " · ")
	}
	for most := at - left - 2*size; p.width(name, false)*size > most; {
		r := []rune(strings.TrimSuffix(name, "…"))
		if len(r) == 0 {
			break
		}
		name = strings.TrimRight(string(r[:len(r)-1]), " ") + "…"
	}
	if name != "" {
		p.text(name, false, left, y, size, 0)
	}
}

// pageOf gives the number of the page where a section starts.
func (p *pen) pageOf(id string) string {
	if n, ok := p.where[id]; ok {
		return strconv.Itoa(n + 1)
	}
	return ""
}

// bookmarks writes the outline: sections, and the headings under them.
func (s *setter) bookmarks(out *document.Document, pages []sheet) {
	s.where = map[string]int{}
	var section *document.Outline
	for i, pg := range pages {
		for _, st := range pg.strips {
			o := st.outline
			if o == nil || o.title == "" {
				continue
			}
			if o.id != "" {
				s.where[o.id] = i
			}
			y := s.style.height - s.style.margin - st.y + 12
			if pg.whole {
				y = s.style.height
			}
			to := document.XYZDest(i, 0, y, 0)
			switch {
			case o.level == 1 || section == nil:
				section = out.AddOutline(gate.Clean(o.title), to)
			case o.level == 2:
				section.AddChild(gate.Clean(o.title), to)
			}
		}
	}
}
