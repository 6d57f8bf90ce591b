package paper

import (
	"strings"

	"raftwright/draw"
	"raftwright/page"
	"raftwright/press/paper/pdf"
)

// piece is a stretch of glyphs of one weight without a break in it. Widths are
// in ems, so that a piece is shaped once whatever its size.
type piece struct {
	text     string
	bold     bool
	language string // where it is not the document's
	width    float64
}

// word is pieces that stay together: "**5** in" is two words, "(**5**)" is one.
type word struct {
	pieces  []piece
	width   float64
	newline bool // starts a new line
}

type line struct {
	words []word
	width float64 // in ems, with the spaces
	more  bool    // the text goes on: a space is written at the end
}

// setter sets one document: it knows its faces and remembers what it measured.
type setter struct {
	memory   *Memory
	faces    [2]*face
	used     [2]map[rune]bool // the letters printed
	measured map[measureKey]float64
	kerns    map[uint32]int16
	style    style
	doc      page.Document
	level    int            // of the last heading
	drawn    draw.Words     // words on drawings, in the language of the section
	where    map[string]int // page of each section, once the pages are cut
	glyphs   []pdf.Glyph    // of the text being written
}

type measureKey struct {
	text string
	bold bool
}

func (s *setter) face(bold bool) *face {
	if bold {
		return s.faces[1]
	}
	return s.faces[0]
}

// kern gives the kerning of two glyphs in thousandths.
func (s *setter) kern(bold bool, a, b uint16) int16 {
	if a >= 0x8000 || b >= 0x8000 {
		return 0
	}
	key := uint32(a)<<16 | uint32(b)
	if bold {
		key |= 1 << 15
	}
	k, ok := s.kerns[key]
	if !ok {
		k = int16(s.face(bold).Kern(a, b))
		s.kerns[key] = k
	}
	return k
}

// width measures text in ems, kerning included.
func (s *setter) width(text string, bold bool) float64 {
	key := measureKey{text, bold}
	if w, ok := s.measured[key]; ok {
		return w
	}
	f := s.face(bold)
	sum, before := 0, uint16(0)
	for _, r := range text {
		g := f.glyph(r)
		sum += int(g.advance)
		if before != 0 {
			sum += int(s.kern(bold, before, g.id))
		}
		before = g.id
	}
	w := float64(sum) / 1000
	s.measured[key] = w
	return w
}

func (s *setter) space(bold bool) float64 { return s.width(" ", bold) }

// words cuts a text at its spaces; a no-break space does not cut.
func (s *setter) words(t page.Text, bold bool) []word {
	var out []word
	open := false // the last word may go on
	newline := false
	for _, r := range t.Runs() {
		heavy := bold || r.Bold
		rest := r.Text
		for rest != "" {
			i := strings.IndexAny(rest, " \n")
			part := rest
			if i >= 0 {
				part = rest[:i]
			}
			if part != "" {
				p := piece{part, heavy, r.Language, s.width(part, heavy)}
				if open {
					last := &out[len(out)-1]
					last.pieces = append(last.pieces, p)
					last.width += p.width
				} else {
					w := word{pieces: []piece{p}, width: p.width, newline: newline}
					if n := len(out); n > 0 && !newline && page.Glued(out[n-1].last(), part) {
						s.join(&out[n-1], w)
					} else {
						out = append(out, w)
					}
					newline = false
				}
				open = true
			}
			if i < 0 {
				break
			}
			open = false
			if rest[i] == '\n' {
				if newline { // an empty line
					out = append(out, word{newline: true})
				}
				newline = true
			}
			rest = rest[i+1:]
		}
	}
	return out
}

// last gives the letters that a word ends with.
func (w word) last() string {
	if len(w.pieces) == 0 {
		return ""
	}
	return w.pieces[len(w.pieces)-1].text
}

// join sets a word behind another with a space that does not break.
func (s *setter) join(w *word, next word) {
	gap := piece{text: page.Glue, bold: next.pieces[0].bold, language: next.pieces[0].language}
	gap.width = s.width(gap.text, gap.bold)
	w.pieces = append(append(w.pieces, gap), next.pieces...)
	w.width += gap.width + next.width
}

// wrap fills lines no wider than most (in ems). A word that is wider than a
// line is cut between letters.
func (s *setter) wrap(words []word, most float64) []line {
	var out []line
	now := line{}
	flush := func() {
		now.more = true
		out = append(out, now)
		now = line{}
	}
	for i := 0; i < len(words); i++ {
		w := words[i]
		if w.newline && (len(now.words) > 0 || i > 0) {
			flush()
		}
		gap := 0.0
		if len(now.words) > 0 {
			gap = s.gap(now.words[len(now.words)-1])
		}
		if len(now.words) > 0 && now.width+gap+w.width > most+1e-9 {
			flush()
			gap = 0
		}
		if w.width > most && len(now.words) == 0 {
			if head, tail, spaced, ok := s.cut(w, most); ok {
				now.words, now.width = append(now.words, head), head.width
				flush()
				out[len(out)-1].more = spaced
				words = append(append(append([]word(nil), words[:i+1]...), tail), words[i+1:]...)
				continue
			}
		}
		now.words = append(now.words, w)
		now.width += gap + w.width
	}
	if len(now.words) > 0 {
		out = append(out, now)
	}
	return out
}

func (s *setter) gap(after word) float64 {
	if n := len(after.pieces); n > 0 {
		return s.space(after.pieces[n-1].bold)
	}
	return 0
}

// part splits a word at the last of its spaces that leaves a fitting head.
func part(w word, most float64) (head, tail word, ok bool) {
	sum, at := 0.0, -1
	for i, p := range w.pieces {
		if p.text == page.Glue && i > 0 && sum <= most {
			at = i
		}
		sum += p.width
	}
	if at < 0 {
		return head, tail, false
	}
	head.pieces, tail.pieces = w.pieces[:at], w.pieces[at+1:]
	for _, p := range head.pieces {
		head.width += p.width
	}
	for _, p := range tail.pieces {
		tail.width += p.width
	}
	return head, tail, len(tail.pieces) > 0
}

// cut splits a word that is wider than a line, at a space where it has one.
func (s *setter) cut(w word, most float64) (head, tail word, spaced, ok bool) {
	if head, tail, ok = part(w, most); ok {
		return head, tail, true, true
	}
	for i, p := range w.pieces {
		if head.width+p.width <= most {
			head.pieces = append(head.pieces, p)
			head.width += p.width
			continue
		}
		runes := []rune(p.text)
		n := 0
		for n < len(runes) && head.width+s.width(string(runes[:n+1]), p.bold) <= most {
			n++
		}
		if n == 0 && len(head.pieces) == 0 {
			n = 1
		}
		if n > 0 {
			a := string(runes[:n])
			head.pieces = append(head.pieces, piece{a, p.bold, p.language, s.width(a, p.bold)})
			head.width += s.width(a, p.bold)
		}
		if rest := string(runes[n:]); rest != "" {
			tail.pieces = append(tail.pieces, piece{rest, p.bold, p.language, s.width(rest, p.bold)})
			tail.width += s.width(rest, p.bold)
		}
		for _, q := range w.pieces[i+1:] {
			tail.pieces = append(tail.pieces, q)
			tail.width += q.width
		}
		return head, tail, false, len(head.pieces) > 0 && len(tail.pieces) > 0
	}
	return head, tail, false, false
}

// pen writes on one page.
type pen struct {
	*setter
	out   *pdf.Page
	page  int // from 0
	pages int
	mute  bool // all words are decoration: a head that is repeated
}

func weight(bold bool) int {
	if bold {
		return 1
	}
	return 0
}

// line writes a wrapped line of an element with its baseline at (x, y).
func (p *pen) line(of *pdf.Element, l line, x, y, size float64) {
	var run strings.Builder
	var now piece
	start, at := x, x
	flush := func() {
		if run.Len() == 0 {
			return
		}
		to := of
		if now.language != "" && of != nil {
			to = of.Span(now.language)
		}
		p.text(to, run.String(), now.bold, start, y, size, 0)
		run.Reset()
	}
	for i, w := range l.words {
		if i > 0 {
			if run.Len() > 0 {
				run.WriteByte(' ')
			}
			at += p.gap(l.words[i-1]) * size
		}
		for _, q := range w.pieces {
			if q.bold != now.bold || q.language != now.language || run.Len() == 0 {
				flush()
				now, start = q, at
			}
			run.WriteString(q.text)
			at += q.width * size
		}
	}
	if l.more {
		run.WriteByte(' ')
	}
	flush()
}

// text writes words of an element from (x, y) on with their kerning, turned by an angle
// in degrees; words of no element are decoration.
func (p *pen) text(of *pdf.Element, t string, bold bool, x, y, size, turn float64) {
	if t == "" {
		return
	}
	if p.mute {
		of = nil
	}
	k := weight(bold)
	p.glyphs = p.glyphs[:0]
	before := uint16(0)
	for _, r := range t {
		g := p.faces[k].glyph(r)
		p.used[k][g.written] = true
		out := pdf.Glyph{Code: g.id}
		if before != 0 {
			out.Shift = p.kern(bold, before, g.id)
		}
		before = g.id
		p.glyphs = append(p.glyphs, out)
	}
	sin, cos := 0.0, 1.0
	if turn != 0 {
		sin, cos = sincos(turn)
	}
	p.out.In(of)
	p.out.Text(fontNames[k], size, x, y, sin, cos, p.glyphs)
}

// fontNames are what the pages call the regular and the bold face.
var fontNames = [2]string{"F1", "F2"}
