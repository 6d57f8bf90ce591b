package proof

import (
	"fmt"
	"strings"
)

// sequence is what stands between the ends of one mark of a page.
type sequence struct {
	page, id    int
	text        string
	first, last float64 // height of its first and its last line of words
	least       float64 // its smallest type
	said        bool
	tagged      string // the kind that the page names
	owner       *element
}

// runsOn tells whether the words of b follow those of a without a space where a line or a
// page ends between them.
func runsOn(a, b *sequence) bool {
	if !a.said || !b.said || strings.HasSuffix(a.text, " ") || strings.HasPrefix(b.text, " ") {
		return false
	}
	return a.page != b.page || b.first < a.last-1
}

// letters is what the codes of a font mean.
type letters map[int]string

// widths reads how wide the glyphs of a font are, in thousandths (ISO 32000-1, 9.7.4.3).
func (c *checker) widths(font dict) map[int]float64 {
	out := map[int]float64{}
	for _, k := range c.list(font["DescendantFonts"]) {
		w := c.list(c.dict(k)["W"])
		for i := 0; i+1 < len(w); {
			from := int(number(c.get(w[i])))
			if each, ok := c.get(w[i+1]).(list); ok {
				for n, x := range each {
					out[from+n] = number(x)
				}
				i += 2
				continue
			}
			if i+2 < len(w) {
				for n := from; n <= int(number(c.get(w[i+1]))); n++ {
					out[n] = number(c.get(w[i+2]))
				}
			}
			i += 3
		}
	}
	return out
}

// font looks at a font once.
func (c *checker) font(v any, where string) letters {
	r, _ := v.(ref)
	if known, ok := c.fonts[r]; ok {
		return known
	}
	d := c.dict(v)
	out := letters{}
	c.fonts[r] = out
	where += ", font " + c.name(d["BaseFont"])
	for _, k := range c.list(d["DescendantFonts"]) {
		kid := c.dict(k)
		if _, ok := c.get(c.dict(kid["FontDescriptor"])["FontFile2"]).(*stream); !ok {
			c.say("font", where, "not embedded")
		}
		if kid["CIDToGIDMap"] == nil {
			c.say("font", where, "no way from codes to glyphs")
		}
	}
	if c.name(d["Encoding"]) != "Identity-H" {
		c.say("font", where, "codes of two bytes are expected")
	}
	s, ok := c.get(d["ToUnicode"]).(*stream)
	if !ok {
		c.say("font", where, "its codes have no meaning")
		return out
	}
	words := &scanner{b: s.data}
	var before list
	for {
		v := words.next()
		switch {
		case v == any(end{}):
			return out
		case v == any(operator("endbfchar")):
			for i := 0; i+1 < len(before); i += 2 {
				from, _ := before[i].(string)
				to, _ := before[i+1].(string)
				if len(from) == 2 {
					out[int(from[0])<<8|int(from[1])] = wide(to)
				}
			}
		}
		if _, ok := v.(operator); ok {
			before = nil
			continue
		}
		before = append(before, v)
	}
}

// said gives the words of the codes of a string.
func (c *checker) said(font letters, codes, where string) string {
	var b strings.Builder
	for i := 0; i+1 < len(codes); i += 2 {
		n := int(codes[i])<<8 | int(codes[i+1])
		word := font[n]
		switch {
		case n == 0:
			c.say("font", where, "a letter that the font lacks")
		case word == "" || word == "\x00":
			c.say("font", where, "code %d has no meaning", n)
		}
		b.WriteString(word)
	}
	return b.String()
}

// paints are the operators that leave ink, besides those for words.
var paints = map[operator]bool{"S": true, "s": true, "f": true, "F": true, "f*": true, "B": true, "B*": true, "b": true, "b*": true, "sh": true, "Do": true, "BI": true}

// content is the reading of one page.
type content struct {
	*checker
	page  int
	where string
	fonts dict
	marks []mark
	font  letters
	size  float64
	x, y  float64
	turn  [2]float64 // of the line of words: its sine and cosine
	long  float64    // the line
	now   map[int]float64
	words bool // inside a text object
}

// mark is an open sequence: of an element, or of decoration.
type mark struct {
	of    *sequence
	decor bool
	words bool
}

// read reads the operators of a page: all that leaves ink is in one sequence, once.
func (c *content) read(data []byte) {
	s := &scanner{b: data}
	var args list
	for {
		v := s.next()
		if v == any(end{}) {
			break
		}
		op, ok := v.(operator)
		if !ok {
			args = append(args, v)
			continue
		}
		c.operate(op, args)
		args = args[:0]
	}
	if len(c.marks) > 0 {
		c.say("content", c.where, "%d sequences do not end", len(c.marks))
	}
	if s.at < len(data) {
		c.say("content", c.where, "a bracket too much")
	}
}

func (c *content) operate(op operator, args list) {
	last := func() any {
		if len(args) == 0 {
			return nil
		}
		return args[len(args)-1]
	}
	switch op {
	case "BT":
		c.words, c.x, c.y, c.turn = true, 0, 0, [2]float64{0, 1}
	case "ET":
		c.words = false
		if n := len(c.marks); n > 0 && c.marks[n-1].words {
			c.say("content", c.where, "a sequence starts in a text object and ends outside")
		}
	case "Tf":
		if len(args) == 2 {
			key, _ := args[0].(name)
			c.font, c.size = c.checker.font(c.fonts[key], c.where), number(args[1])
			if c.wide[key] == nil {
				c.wide[key] = c.widths(c.dict(c.fonts[key]))
			}
			c.now = c.wide[key]
		}
	case "Td", "TD":
		if len(args) == 2 {
			c.x += number(args[0])
		}
		c.y += number(last())
	case "Tm":
		if len(args) == 6 {
			c.turn, c.x = [2]float64{number(args[1]), number(args[0])}, number(args[4])
		}
		c.y = number(last())
	case "m", "l", "re":
		if len(args) >= 2 {
			c.points = append(c.points, point{c.page, number(args[0]), number(args[1])})
		}
	case "BMC", "BDC":
		c.open(op, args)
	case "EMC":
		if len(c.marks) == 0 {
			c.say("content", c.where, "a sequence ends that has not begun")
			return
		}
		c.marks = c.marks[:len(c.marks)-1]
	case "Tj", "'", `"`, "TJ":
		parts, ok := last().(list)
		if !ok {
			parts = list{last()}
		}
		var codes strings.Builder
		c.long = 0
		for _, p := range parts {
			s, _ := p.(string)
			codes.WriteString(s)
			for i := 0; i+1 < len(s); i += 2 {
				c.long += c.now[int(s[i])<<8|int(s[i+1])] * c.size / 1000
			}
			c.long -= number(p) * c.size / 1000
		}
		c.show(c.said(c.font, codes.String(), c.where))
	default:
		if paints[op] {
			c.one("the operator " + string(op))
		}
	}
}

func (c *content) open(op operator, args list) {
	if op == "BMC" && len(args) != 1 || op == "BDC" && len(args) != 2 {
		c.say("content", c.where, "%s after %d values", op, len(args))
	}
	m := mark{words: c.words}
	if len(args) > 0 {
		m.decor = args[0] == any(name("Artifact"))
	}
	if len(args) > 1 {
		props, _ := args[1].(dict)
		if id, ok := props["MCID"].(float64); ok && !m.decor {
			kind, _ := args[0].(name)
			m.of = &sequence{page: c.page, id: int(id), tagged: string(kind)}
			if c.sequences[spot{c.page, int(id)}] != nil {
				c.say("content", c.where, "sequence %v is there twice", id)
			}
			c.sequences[spot{c.page, int(id)}] = m.of
		}
	}
	c.marks = append(c.marks, m)
}

// one tells where ink is left outside of all sequences or in several, and gives the
// sequence.
func (c *content) one(what string) *sequence {
	var of *sequence
	n := 0
	for _, m := range c.marks {
		if m.of != nil || m.decor {
			n++
			of = m.of
		}
	}
	if n != 1 {
		c.say("content", c.where, "%s in %d sequences", what, n)
	}
	return of
}

func (c *content) show(words string) {
	of := c.one("words")
	c.lines = append(c.lines, written{page: c.page, x: c.x, y: c.y, size: c.size, long: c.long, sin: c.turn[0], cos: c.turn[1], words: words, of: of})
	if of == nil {
		c.decor = append(c.decor, typed{words, c.size})
		return
	}
	if !of.said || c.size < of.least {
		of.least = c.size
	}
	next := &sequence{page: of.page, text: words, first: c.y, said: true}
	if runsOn(of, next) && of.tagged != "Figure" {
		c.say("words", c.where, "%s runs on in %s", ending(of.text), words)
	}
	if !of.said {
		of.first = c.y
	}
	of.last, of.said = c.y, true
	of.text += words
}

func ending(s string) string {
	r := []rune(s)
	return fmt.Sprintf("%q", string(r[max(0, len(r)-20):]))
}
