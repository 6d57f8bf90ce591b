package paper

import (
	"cmp"
	"io"
	"slices"
	"strconv"
	"strings"
	"time"

	"raftwright/internal/gate"
	"raftwright/page"
	"raftwright/press/paper/pdf"
)

// undated is the date written into a PDF: the first
// second of 2000, never the clock, so that the same document gives the same bytes.
var undated = time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)

// PDF writes the document as a tagged PDF file. The same document gives the same
// bytes. The only errors are those of w.
func PDF(doc page.Document, w io.Writer) error { return new(Memory).write(doc, w) }

func (m *Memory) write(doc page.Document, w io.Writer) error {
	s, err := newSetter(doc)
	if err != nil {
		return err
	}
	s.memory = m
	out := pdf.New(s.style.width, s.style.height)
	out.Packs = &m.packs
	out.Title = gate.Clean(cmp.Or(doc.Title, "raftwright")) // a reader shows it in place of the file's name
	out.Language = gate.Clean(cmp.Or(doc.Language, "en"))
	out.Creator, out.Created = "raftwright", undated
	pages := s.pages()
	s.bookmarks(out, pages)
	on := make([]*pdf.Page, len(pages))
	for i := range on {
		on[i] = out.Page()
	}
	for _, p := range pages { // as they are read
		s.draw(on[p.at], p, p.at, len(pages))
	}
	for k, f := range s.faces {
		out.Font(fontNames[k], embed(out, f, s.used[k]))
	}
	return out.Write(w)
}

func newSetter(doc page.Document) (*setter, error) {
	both, err := faces()
	if err != nil {
		return nil, err
	}
	return &setter{memory: &Memory{}, faces: both, used: [2]map[rune]bool{{}, {}}, measured: map[measureKey]float64{}, kerns: map[uint32]int16{}, style: styleFor(doc), doc: doc}, nil
}

// pages sets the whole document and cuts it into pages, a chapter at a time: a
// section that starts a page, and those that follow on. They come as they are read, each with its
// place in the file.
func (s *setter) pages() []sheet {
	var head []strip
	if s.doc.Title != "" {
		head = s.titleBlock()
	}
	var out []sheet
	list, before := s.doc.Sections, 0 // of the pages, where the last chapter begins
	for from := 0; from < len(list); {
		to := from + 1
		for to < len(list) && !list[to].NewPage {
			to++
		}
		if from == 0 && list[0].NewPage && len(head) > 0 { // a title page
			out, head = paginate(head, s.style.usable()), nil
		}
		pages := paginate(s.chapter(head, from, to), s.style.usable())
		if head = nil; list[from].Back {
			out = behind(out, before, pages)
		} else {
			before = len(out)
			for i := range pages {
				pages[i].at = before + i
			}
			out = append(out, pages...)
		}
		from = to
	}
	if len(out) == 0 {
		out = paginate(append(head, strip{height: 1, draw: func(*pen, float64, float64) {}}), s.style.usable())
	}
	return out
}

// behind lays pages on the backs of those from one on, so that front and back say the same in two
// languages; where one side has more of them, the other stays empty.
func behind(out []sheet, from int, backs []sheet) []sheet {
	fronts := len(out) - from
	for i := range fronts {
		out[from+i].at = from + 2*i
	}
	for i, b := range backs {
		b.at = from + 2*i + 1
		out = append(out, b)
	}
	for i := fronts; i < len(backs); i++ {
		out = append(out, sheet{at: from + 2*i})
	}
	for i := len(backs); i < fronts; i++ {
		out = append(out, sheet{at: from + 2*i + 1})
	}
	return out
}

// spill is the share of a page below which the last page of a chapter counts as
// spilled over; so does all of it within a tenth of one page less.
const spill = 0.4

// chapter sets the sections after the head. Where what spills over on a page of its own
// can be saved by less white, it is set closer, as little as will do; a face of a packet
// always is, large print never. Where pages are too many all the same, they are filled alike.
func (s *setter) chapter(head []strip, from, to int) []strip {
	out := s.chapterIn(s.style, head, from, to)
	usable := s.style.usable()
	pages := paginate(out, usable)
	n := len(pages)
	if n < 2 {
		if s.doc.Margin > 0 && n == 1 && !s.style.large && to < len(s.doc.Sections) {
			out = s.roomier(out, head, from, to)
		}
		return out
	}
	few := pages[n-1].depth() <= spill*usable || chainHeight(out, false) <= 1.1*float64(n-1)*usable
	if !s.style.large && (few || s.doc.Margin > 0) {
		closest := s.chapterIn(s.style.closer(leastAir), head, from, to)
		if least := len(paginate(closest, usable)); least < n {
			for _, air := range []float64{0.85, 0.7, 0.55, 0.4, 0.28, leastAir} {
				out = s.chapterIn(s.style.closer(air), head, from, to)
				if pages = paginate(out, usable); len(pages) == least {
					break
				}
			}
		}
	}
	if s.doc.Margin == 0 || len(pages) < 2 {
		return out
	}
	best, least := out, spread(out, pages, usable)
	for _, air := range []float64{1, mostAir} {
		wide := s.style.closer(air)
		wide.parted = true
		set := s.chapterIn(wide, head, from, to)
		if again := paginate(set, usable); len(again) <= len(pages) {
			if deep := spread(set, again, usable); deep > least {
				best, least, pages = set, deep, again
			}
		}
		if least > full*usable {
			break
		}
	}
	return best
}

// roomier sets a face that would be less than half full with more white, as little as will do.
func (s *setter) roomier(out, head []strip, from, to int) []strip {
	for _, air := range []float64{1.25, mostAir, 1.75, 2, 2.5} {
		pages := paginate(out, s.style.usable())
		if len(pages) != 1 || pages[0].whole || pages[0].depth() > full*s.style.usable() {
			break
		}
		in := s.style.closer(air)
		in.parted = true
		out = s.chapterIn(in, head, from, to)
	}
	return out
}

// leastAir is the least share of the white space that is kept, mostAir what a page that is
// short of words takes.
const leastAir, mostAir = 0.1, 1.5

// full is the share of a page that no page of a face should fall under: half, and what white
// its last block ends in.
const full = 0.53

// spread fills pages better where one would be less than half full: of all ways to break
// them, the one whose emptiest page is the fullest. It gives how deep that is.
func spread(strips []strip, pages []sheet, usable float64) float64 {
	n, least := len(pages), usable
	for _, p := range pages {
		if !p.whole {
			least = min(least, p.depth())
		}
	}
	if least > full*usable || slices.ContainsFunc(pages, func(p sheet) bool { return p.whole }) {
		return least
	}
	cuts := []int{0}
	for i := 0; i < len(strips); {
		i = chain(strips, i)
		cuts = append(cuts, i)
	}
	// best tells of the strips up to each cut, on so many pages, how full the emptiest can be
	type way struct {
		least float64
		from  int
	}
	best := make([][]way, n+1)
	for k := range best {
		best[k] = make([]way, len(cuts))
	}
	best[0][0].least = usable
	for k := 1; k <= n; k++ {
		for from := range cuts[:len(cuts)-1] {
			if best[k-1][from].least == 0 {
				continue
			}
			for to := from + 1; to < len(cuts); to++ {
				part := paginate(strips[cuts[from]:cuts[to]], usable)
				if len(part) > 1 {
					break
				}
				if len(part) == 1 {
					if least := min(best[k-1][from].least, part[0].depth()); least > best[k][to].least {
						best[k][to] = way{least, from}
					}
				}
			}
		}
	}
	for k, at := n, len(cuts)-1; k > 1 && best[k][at].least > 0; k-- {
		at = best[k][at].from
		strips[cuts[at]].fresh = true
	}
	return max(least, best[n][len(cuts)-1].least)
}

// chapterIn sets the sections in a style.
func (s *setter) chapterIn(in style, head []strip, from, to int) []strip {
	whole := s.style
	defer func() { s.style = whole }()
	s.style = in
	out := append([]strip(nil), head...)
	for i := from; i < to; i++ {
		sec := s.doc.Sections[i]
		s.level, s.drawn = s.title(), s.doc.Words.Words
		if sec.Speaks.Language != "" {
			s.drawn = sec.Speaks.Words
		}
		begun := len(out)
		if sec.Title != "" {
			out = append(out, s.spaced(s.sectionHead(sec, sec.Anchor(i)))...)
		}
		for k, b := range sec.Blocks {
			part := s.block(b, s.style.column())
			if _, ok := b.(page.Para); ok && k == 0 && sec.Title != "" && len(part) <= 3 {
				part = together(part)
				part[len(part)-1].keep = len(sec.Blocks) > 1 // a short lead stays with what it leads to
			}
			out = append(out, part...)
		}
		speak(out[begun:], sec.Speaks.Language)
	}
	return out
}

// speak marks what strips say as being in a language.
func speak(strips []strip, language string) {
	if language == "" {
		return
	}
	for i := range strips {
		strips[i].speaks = language
		speak(strips[i].head, language)
	}
}

// index lists the sections in columns of small type, for a first page that has
// more to say: three on paper, one in large print.
func (s *setter) index(width float64) []strip {
	size, columns := s.style.small, 3
	if s.style.large {
		columns = 1
	}
	type entry struct {
		title, id string
		of        *pdf.Element
	}
	var list []entry
	toc := pdf.Block("TOC")
	for i, sec := range s.doc.Sections {
		if sec.Title != "" {
			list = append(list, entry{sec.Title, sec.Anchor(i), toc.Add("TOCI").Add("Reference").Add("Link")})
		}
	}
	out := s.bold(s.headed(2), s.doc.Words.Contents, s.style.heading[2], width, 1.1*s.style.body)
	room, h := (width-gutter*float64(columns-1))/float64(columns), 1.5*size
	deep := (len(list) + columns - 1) / columns
	for row := range deep {
		out = append(out, strip{height: h, draw: func(p *pen, x, top float64) {
			for c := range columns {
				if k := c*deep + row; k < len(list) {
					p.entry(list[k].of, list[k].title, list[k].id, x+float64(c)*(room+gutter), top, room, h, size)
				}
			}
		}})
	}
	return append(together(out), strip{height: 0.5 * size})
}

// entry prints one line of the contents, cut where it is too long.
func (p *pen) entry(of *pdf.Element, title, id string, x, top, width, h, size float64) {
	n, whole := p.pageOf(id), title
	y := top - baseline(h, size)
	room := width - (p.width(n, false)+0.6)*size
	for r := []rune(title); p.width(title, false)*size > room && len(r) > 1; {
		r = r[:len(r)-1]
		title = strings.TrimRight(string(r), " ") + "…"
	}
	p.text(of, title+" ", false, x, y, size, 0)
	p.text(of, n, false, x+width-p.width(n, false)*size, y, size, 0)
	p.rule(x, x+width, top-h, 0.35)
	p.out.Link(of, x, top-h, width, h, id, gate.Clean(whole))
}

// draw draws one page of so many.
func (s *setter) draw(on *pdf.Page, page sheet, at, pages int) {
	p := &pen{setter: s, out: on, page: at, pages: pages}
	ink(p.out)
	top := s.style.height
	for _, st := range page.strips {
		p.out.Speak(st.speaks)
		switch {
		case st.draw == nil:
		case page.whole:
			st.draw(p, 0, top)
		default:
			st.draw(p, s.style.margin, top-s.style.margin-st.y)
		}
	}
	if !page.whole {
		p.foot()
	}
}

// ink sets black for lines and words.
func ink(out *pdf.Page) {
	out.Shade(0)
	out.Ink(0)
}

// foot prints the title, the date and the page under a thin rule.
func (p *pen) foot() {
	p.out.Foot()
	st := p.style
	size, left, right := st.foot, st.margin, st.width-st.margin
	y := st.margin * 0.55
	p.rule(left, right, y+1.5*size, 0.35)
	words := cmp.Or(p.doc.Words.Page, "{page}/{pages}")
	words = strings.NewReplacer("{page}", strconv.Itoa(p.page+1), "{pages}", strconv.Itoa(p.pages)).Replace(words)
	at := right - p.width(words, false)*size
	p.text(nil, words, false, at, y, size, 0)
	name := p.doc.Title
	if p.doc.Date != "" {
		name = strings.TrimPrefix(name+" · "+p.doc.Date, " · ")
	}
	most := (at - left - 2*size) / size
	if p.width(name, false) > most { // the first page bears the day
		name = p.doc.Title
	}
	for list := strings.Fields(name); p.width(name, false) > most; { // a word of a title says nothing: then none
		if list = list[:max(0, len(list)-1)]; 2*len(list) < len(strings.Fields(p.doc.Title)) {
			name = ""
			break
		}
		name = strings.Join(list, " ") + "…"
	}
	p.text(nil, name, false, left, y, size, 0)
}

// pageOf gives the number of the page where a section starts.
func (p *pen) pageOf(id string) string {
	if n, ok := p.where[id]; ok {
		return strconv.Itoa(n + 1)
	}
	return ""
}

// bookmarks lists the sections, and the headings under them, with their places; rows that a figure leads to get theirs.
func (s *setter) bookmarks(out *pdf.File, pages []sheet) {
	s.where = map[string]int{}
	for _, pg := range pages {
		i := pg.at
		for _, st := range pg.strips {
			if st.name != "" {
				out.Name(st.name, pdf.Place{Page: i, Top: s.style.height - s.style.margin - st.y + 12})
			}
			o := st.outline
			if o == nil || o.title == "" {
				continue
			}
			to := pdf.Place{Page: i, Top: s.style.height - s.style.margin - st.y + 12}
			if pg.whole {
				to.Top = s.style.height
			}
			if o.id != "" {
				s.where[o.id] = i
				out.Name(o.id, to)
			}
			mark := &pdf.Bookmark{Title: gate.Clean(o.title), To: to}
			switch n := len(out.Bookmarks); {
			case o.level == 1 || n == 0:
				out.Bookmarks = append(out.Bookmarks, mark)
			case o.level == 2:
				out.Bookmarks[n-1].Kids = append(out.Bookmarks[n-1].Kids, mark)
			}
		}
	}
}
