package press

import (
	"bufio"
	"cmp"
	"io"
	"slices"
	"strconv"
	"strings"

	"raftwright/draw"
	"raftwright/internal/gate"
	"raftwright/page"
)

// SVG writes a drawing as a file that stands alone: its title and its
// description in words are in it, and the parts that have an id keep it. Width
// and height are those of the paper, at most as wide as the room that fit says, so
// that it prints to scale. The only errors are those of w.
func SVG(d draw.Drawing, fit draw.Fitting, w io.Writer) error {
	return writeSVG(draw.Lay(d, fit), inks{black: "#000", white: "#fff"}, "", "", w)
}

// inks are the words for black and white. In a page they are what the page writes with and on.
type inks struct{ black, white string }

var pageInks = inks{black: "currentColor", white: "var(--paper, #fff)"}

// narrowID ends the id of the second drawing of a figure, which is named by the first.
const narrowID = "-narrow"

// writeSVG writes a laid drawing; its words lead to the working of their figures where doors is an address.
func writeSVG(s draw.Sheet, ink inks, class, doors string, w io.Writer) error {
	b := bufio.NewWriter(w)
	v := &vector{out: b, high: s.Height, id: cmp.Or(page.PlainID(s.ID), "figure"), ink: ink, doors: doors}
	role := "img"
	if doors != "" && slices.ContainsFunc(s.Marks, func(m draw.Mark) bool { return m.Door.Of != "" }) {
		role = "group" // what is in a picture cannot be reached
	}
	named, second := strings.CutSuffix(v.id, narrowID)
	v.say(`<svg xmlns="http://www.w3.org/2000/svg" role="`, role, `" width="`, num(s.Width), `pt" height="`, num(s.Height), `pt" viewBox="0 0 `, num(s.Width), " ", num(s.Height), `"`)
	if class != "" {
		v.say(` class="`, class, `"`)
	}
	v.say(` id="`, v.id, `" aria-labelledby="`, named, `-title`)
	if s.Alt != "" {
		v.say(` `, named, `-desc`)
	}
	v.say(`" font-family="letters, 'Source Sans 3', 'Helvetica Neue', Arial, sans-serif" fill="none" stroke="none" stroke-linejoin="round">`, "\n")
	if !second {
		v.say(`<title id="`, v.id, `-title">`, esc(cmp.Or(s.Title, v.id)), "</title>\n")
		if s.Alt != "" {
			v.say(`<desc id="`, v.id, `-desc">`, esc(s.Alt), "</desc>\n")
		}
	}
	v.patterns(s.Marks)
	for i, m := range s.Marks {
		if m.Kind == draw.Open {
			v.open(m, s.Marks[i:])
			continue
		}
		v.mark(m)
	}
	v.say("</svg>\n")
	return b.Flush()
}

// vector writes SVG; y points down there, so heights are turned over.
type vector struct {
	out  *bufio.Writer
	high draw.Points
	id   string
	ink  inks
	// the address of the workings; empty: words lead nowhere
	doors   string
	opened  []string // the ends of the groups that are open
	reached bool     // a part that leads to where it comes from was written
}

func (v *vector) say(parts ...string) {
	for _, p := range parts {
		v.out.WriteString(p) // a bufio.Writer keeps its error for Flush
	}
}

func num[T ~float64](x T) string {
	s := strconv.FormatFloat(float64(x), 'f', 2, 64)
	s = strings.TrimRight(s, "0")
	s = strings.TrimSuffix(s, ".")
	if s == "-0" || s == "" {
		return "0"
	}
	return s
}

var escaper = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", `"`, "&quot;")

// esc writes text safely in XML and HTML, between tags and in double quotes.
func esc(s string) string { return escaper.Replace(gate.Clean(s)) }

// names of the patterns by fill.
var patternNames = map[draw.Fill]string{draw.Wood: "wood", draw.Water: "water", draw.Foam: "foam", draw.Liner: "liner", draw.Soil: "soil",
	draw.Rising: "rising", draw.Falling: "falling", draw.Crossed: "crossed", draw.Dots: "dots", draw.Powder: "powder"}

// patterns defines the hatchings that the drawing uses, in a fixed order.
func (v *vector) patterns(marks []draw.Mark) {
	used := map[draw.Fill]bool{}
	for _, m := range marks {
		used[m.Fill] = true
	}
	open := false
	for f := draw.Empty; f <= draw.Powder; f++ {
		if !used[f] || f.Hatching() == nil {
			continue
		}
		if !open {
			v.say("<defs>\n")
			open = true
		}
		for i, h := range f.Hatching() {
			v.pattern(f, i, h)
		}
	}
	if open {
		v.say("</defs>\n")
	}
}

func (v *vector) patternID(f draw.Fill, i int) string {
	return v.id + "-" + patternNames[f] + strconv.Itoa(i)
}

// pattern writes one family of lines as a tile of two lines, the second
// staggered. y points down: angles turn the other way and the tile is turned over.
func (v *vector) pattern(f draw.Fill, i int, h draw.Hatch) {
	wide := h.Period()
	if wide == 0 {
		wide = 10
	}
	v.say(`<pattern id="`, v.patternID(f, i), `" patternUnits="userSpaceOnUse" width="`, num(wide), `" height="`, num(2*h.Gap),
		`" patternTransform="translate(0 `, num(v.high), `) rotate(`, num(-h.Angle), `)">`)
	for k := range 2 {
		y := h.Gap * (draw.Points(k) + 0.5)
		v.say(`<path d="M`, num(-wide), " ", num(y), "H", num(2*wide), `" stroke="`, v.ink.black, `" stroke-width="`, num(h.Width), `"`)
		if h.Round {
			v.say(` stroke-linecap="round"`)
		}
		if h.Dash != nil {
			v.say(` stroke-dasharray="`, dashes(h.Dash), `"`)
			if k == 1 && h.Stagger != 0 {
				v.say(` stroke-dashoffset="`, num(-h.Stagger), `"`)
			}
		}
		v.say("/>")
	}
	v.say("</pattern>\n")
}

func dashes(d []draw.Points) string {
	parts := make([]string, len(d))
	for i, x := range d {
		parts[i] = num(x)
	}
	return strings.Join(parts, " ")
}

func (v *vector) mark(m draw.Mark) {
	switch m.Kind {
	case draw.Shut:
		last := len(v.opened) - 1
		v.say(v.opened[last])
		v.opened = v.opened[:last]
	case draw.Lettering:
		v.words(m)
	case draw.Outline:
		v.outline(m)
	}
}

// open begins a group, or a part that leads to where it comes from. Only the first such part of a drawing is a stop of the
// keyboard: a sheet of foam has a hundred, and its page leads on to all of them. marks begin with the group's.
func (v *vector) open(m draw.Mark, marks []draw.Mark) {
	if m.Door.Of == "" || v.doors == "" {
		v.opened = append(v.opened, "</g>\n")
		v.say("<g")
		v.name(m)
		v.say(">\n")
		v.titles(m)
		return
	}
	v.opened = append(v.opened, "</a>\n")
	v.say(`<a class="whence"`)
	v.name(m)
	if v.reached {
		v.say(` tabindex="-1"`)
	}
	v.reached = true
	v.say(` href="`, esc(v.doors+m.Door.Of), `"><title>`, esc(m.Door.Name), "</title>\n")
	if m.Reach <= 0 {
		return
	}
	if i := slices.IndexFunc(marks, func(m draw.Mark) bool { return m.Kind == draw.Outline }); i > 0 {
		x, y := marks[i].Middle()
		v.say(`<circle cx="`, num(x), `" cy="`, num(v.high-y), `" r="`, num(m.Reach), "\"/>\n")
	}
}

// name writes the id, under the id of the drawing.
func (v *vector) name(m draw.Mark) {
	if m.ID != "" {
		v.say(` id="`, v.id, "-", page.PlainID(m.ID), `"`)
	}
}

func (v *vector) titles(m draw.Mark) {
	if m.Title != "" {
		v.say("<title>", esc(m.Title), "</title>")
	}
	if m.Alt != "" {
		v.say("<desc>", esc(m.Alt), "</desc>")
	}
}

func (v *vector) words(m draw.Mark) {
	x, y := m.At.X, v.high-m.At.Y
	if leads := m.Door.Of != "" && v.doors != ""; leads {
		v.say(`<a class="door" href="`, esc(v.doors+m.Door.Of), `"><title>`, esc(m.Door.Name), "</title>")
		v.touched(m, x, y)
		defer v.say("</a>\n")
	}
	v.say("<text")
	v.name(m)
	v.say(` x="`, num(x), `" y="`, num(y), `" font-size="`, num(m.Size), `" fill="`, v.ink.black, `"`)
	if m.Bold {
		v.say(` font-weight="600"`)
	}
	switch m.Anchor {
	case draw.Middle:
		v.say(` text-anchor="middle"`)
	case draw.End:
		v.say(` text-anchor="end"`)
	}
	if m.Turn != 0 {
		v.say(` transform="rotate(`, num(-m.Turn), " ", num(x), " ", num(y), `)"`)
	}
	if wide := draw.TextWidth(m.Text, m.Size, m.Bold); wide > 0 { // in whatever face they are shown, they keep their place
		v.say(` textLength="`, num(wide), `" lengthAdjust="spacingAndGlyphs"`)
	}
	v.say(">", esc(m.Text), "</text>\n")
}

// touched writes a place around words that is large enough for a finger, which shows nothing.
func (v *vector) touched(m draw.Mark, x, y draw.Points) {
	wide, room := draw.TextWidth(m.Text, m.Size, m.Bold), m.Size*0.7
	left := map[draw.Anchor]draw.Points{draw.Middle: wide / 2, draw.End: wide}[m.Anchor]
	v.say(`<rect x="`, num(x-left-room), `" y="`, num(y-0.75*m.Size-room), `" width="`, num(wide+2*room), `" height="`, num(m.Size+2*room), `" pointer-events="all"`)
	if m.Turn != 0 {
		v.say(` transform="rotate(`, num(-m.Turn), " ", num(x), " ", num(y), `)"`)
	}
	v.say("/>")
}

// shade writes what a line or a ground is drawn with: a gray is a thin black.
func (v *vector) shade(of string, gray float64) {
	if gray >= 1 {
		v.say(` `, of, `="`, v.ink.white, `"`)
		return
	}
	v.say(` `, of, `="`, v.ink.black, `"`)
	if gray > 0 {
		v.say(` `, of, `-opacity="`, num(1-gray), `"`)
	}
}

// outline writes a path: its ground, each family of its hatching, its line.
func (v *vector) outline(m draw.Mark) {
	if len(m.Moves) == 0 {
		return
	}
	d := v.moves(m.Moves)
	hatching := m.Fill.Hatching()
	group := len(hatching) > 0
	if group {
		v.say("<g")
		v.name(m)
		v.say(">")
		v.titles(m)
	}
	v.say("<path")
	if !group {
		v.name(m)
	}
	v.say(` d="`, d, `"`)
	if ground, ok := m.Fill.Ground(); ok {
		v.shade("fill", ground)
		v.say(` fill-rule="evenodd"`)
	}
	if !group {
		v.line(m)
		v.finish(m)
		return
	}
	v.say("/>")
	for i := range hatching {
		v.say(`<path d="`, d, `" fill="url(#`, v.patternID(m.Fill, i), `)" fill-rule="evenodd"`)
		if i == len(hatching)-1 {
			v.line(m)
		}
		v.say("/>")
	}
	v.say("</g>\n")
}

// finish closes a path with its title, if it has one.
func (v *vector) finish(m draw.Mark) {
	if m.Title == "" && m.Alt == "" {
		v.say("/>\n")
		return
	}
	v.say(">")
	v.titles(m)
	v.say("</path>\n")
}

func (v *vector) line(m draw.Mark) {
	if m.Width <= 0 {
		return
	}
	v.shade("stroke", m.Gray)
	v.say(` stroke-width="`, num(m.Width), `"`)
	if len(m.Dash) > 0 {
		v.say(` stroke-dasharray="`, dashes(m.Dash), `"`)
	}
}

func (v *vector) moves(moves []draw.Move) string {
	var b strings.Builder
	at := func(p draw.Place) {
		b.WriteString(num(p.X))
		b.WriteByte(' ')
		b.WriteString(num(v.high - p.Y))
	}
	for _, m := range moves {
		switch m.Kind {
		case draw.MoveTo:
			b.WriteByte('M')
			at(m.To)
		case draw.LineTo:
			b.WriteByte('L')
			at(m.To)
		case draw.CurveTo:
			b.WriteByte('C')
			at(m.C1)
			b.WriteByte(' ')
			at(m.C2)
			b.WriteByte(' ')
			at(m.To)
		case draw.Close:
			b.WriteByte('Z')
		}
	}
	return b.String()
}
