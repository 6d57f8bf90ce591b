package draw

import (
	"cmp"
	"math"

	"raftwright/unit"
)

// Extent gives the width and height of the outlines of a drawing in real
// lengths; words, arrowheads and markers, which have no real size, do not count.
func Extent(d Drawing) (width, height unit.Length) {
	in := &inker{scale: Full, grow: 1, bare: true}
	in.items(d.Items, Spot{})
	box := bounds(in.marks)
	if box.empty() {
		return 0, 0
	}
	return (box.x1 - box.x0).Length(), (box.y1 - box.y0).Length()
}

// inker turns items into marks at one scale.
type inker struct {
	scale Scale
	grow  Points
	bare  bool // outlines and the spots of dimensions only
	marks []Mark
	// set when all else stands
	labels []label
	flags  []flag
	tags   []Tag
}

func (in *inker) place(s, shift Spot) Place {
	return Place{OnPaper(s.X+shift.X) * Points(in.scale), OnPaper(s.Y+shift.Y) * Points(in.scale)}
}

func (in *inker) outline(m Mark) {
	m.Kind = Outline
	for _, v := range m.Moves {
		if !finite(v.C1) || !finite(v.C2) || !finite(v.To) {
			return
		}
	}
	in.marks = append(in.marks, m)
}

func (in *inker) words(m Mark) {
	m.Kind = Lettering
	if finite(m.At) {
		in.marks = append(in.marks, m)
	}
}

// finite tells whether a place can be printed at all: a number, and within a
// kilometre of paper.
func finite(p Place) bool {
	const far = 3e6
	return p.X > -far && p.X < far && p.Y > -far && p.Y < far
}

func (in *inker) items(items []Item, shift Spot) {
	for _, it := range items {
		switch v := it.(type) {
		case Path:
			in.path(v, shift)
		case Group:
			in.marks = append(in.marks, Mark{Kind: Open, ID: v.ID, Title: v.Title, Alt: v.Alt, Door: v.Door, Reach: OnPaper(v.Reach) * Points(in.scale)})
			in.items(v.Items, shift.Plus(v.Shift.X, v.Shift.Y))
			in.marks = append(in.marks, Mark{Kind: Shut})
		}
		if in.bare {
			continue
		}
		switch v := it.(type) {
		case Text:
			in.text(v, shift)
		case Dimension:
			in.dimension(v, shift)
		case Callout:
			in.flags = append(in.flags, in.flag(v, shift))
		case Marker:
			in.marker(v, shift)
		case Tag:
			in.tags = append(in.tags, v.moved(shift))
		}
	}
}

func (in *inker) path(p Path, shift Spot) {
	moves := make([]Move, len(p.Steps))
	for i, s := range p.Steps {
		moves[i] = Move{Kind: s.Kind, C1: in.place(s.C1, shift), C2: in.place(s.C2, shift), To: in.place(s.To, shift)}
	}
	in.outline(Mark{ID: p.ID, Title: p.Title, Moves: moves, Width: p.Stroke.Weight.Width() * in.grow,
		Dash: in.dash(p.Stroke.Dash), Gray: p.Stroke.Gray, Fill: p.Fill})
}

func (in *inker) dash(d Dash) []Points {
	from := d.Pattern()
	if from == nil {
		return nil
	}
	out := make([]Points, len(from))
	for i, x := range from {
		out[i] = x * in.grow
	}
	return out
}

// Sizes of words that do not give their own.
const (
	textSize  Points = 10
	labelSize Points = 9.5
)

// capital is the height of a capital letter as a share of the size.
const capital = 0.66

func (in *inker) text(t Text, shift Spot) {
	size := cmp.Or(t.Size, textSize) * in.grow
	at := in.place(t.At, shift)
	at.X, at.Y = at.X+t.Dx*in.grow, at.Y+t.Dy*in.grow
	drop := Points(0)
	switch t.Level {
	case Centred:
		drop = capital / 2 * size
	case Hanging:
		drop = capital * size
	}
	sin, cos := math.Sincos(t.Turn * math.Pi / 180)
	at.X, at.Y = at.X+drop*Points(sin), at.Y-drop*Points(cos)
	m := Mark{ID: t.ID, Door: t.Door, Text: t.Text, At: at, Size: size, Anchor: t.Anchor, Turn: t.Turn, Bold: t.Bold}
	if t.Halo {
		in.halo(m)
	}
	in.words(m)
}

// halo clears a white box behind words.
func (in *inker) halo(m Mark) {
	box := textBox(m)
	in.outline(Mark{Moves: closed(box[:]...), Fill: White})
}

// along is a direction on paper with its left normal.
type along struct{ dx, dy, nx, ny Points }

func heading(a, b Place) (along, Points) {
	dx, dy := float64(b.X-a.X), float64(b.Y-a.Y)
	l := math.Hypot(dx, dy)
	if l == 0 {
		return along{1, 0, 0, 1}, 0
	}
	x, y := Points(dx/l), Points(dy/l)
	return along{x, y, -y, x}, Points(l)
}

func (u along) from(p Place, ahead, left Points) Place {
	return Place{p.X + u.dx*ahead + u.nx*left, p.Y + u.dy*ahead + u.ny*left}
}

func (in *inker) line(a, b Place, w Points) {
	in.outline(Mark{Moves: open(a, b), Width: w})
}

// dimension draws extension lines and the dimension line with its tips; its label is set later.
func (in *inker) dimension(d Dimension, shift Spot) {
	a, b := in.place(d.From, shift), in.place(d.To, shift)
	u, span := heading(a, b)
	off := d.Offset * in.grow
	thin := Thin.Width() * in.grow
	p, q := u.from(a, 0, off), u.from(b, 0, off)
	in.marks = append(in.marks, Mark{Kind: Open, ID: d.ID, Title: d.Label})
	if off != 0 {
		sign := Points(math.Copysign(1, float64(off)))
		gap, past := min(2.5*in.grow, max(off, -off)/2)*sign, 3*in.grow*sign
		in.line(u.from(a, 0, gap), u.from(p, 0, past), thin)
		in.line(u.from(b, 0, gap), u.from(q, 0, past), thin)
	}
	in.tips(p, q, u, span, d.Tip)
	in.marks = append(in.marks, Mark{Kind: Shut})
	if d.Label != "" {
		in.labels = append(in.labels, label{d, p, q, u, span, cmp.Or(d.Size, labelSize) * in.grow})
	}
}

const arrow Points = 6.5 // length of an arrowhead

// tips draws the dimension line: arrowheads inside where there is room, else
// outside and pointing inward; or slanted ticks.
func (in *inker) tips(p, q Place, u along, span Points, tip Tip) {
	thin, head := Thin.Width()*in.grow, arrow*in.grow
	if tip == Ticks {
		t := 2.6 * in.grow
		in.line(u.from(p, -t, 0), u.from(q, t, 0), thin)
		for _, at := range []Place{p, q} {
			in.line(u.from(at, -t, -t), u.from(at, t, t), Normal.Width()*in.grow)
		}
		return
	}
	back := along{-u.dx, -u.dy, -u.nx, -u.ny}
	if span > 2.5*head {
		in.line(u.from(p, head/2, 0), u.from(q, -head/2, 0), thin)
		in.head(p, back)
		in.head(q, u)
		return
	}
	in.line(u.from(p, -2*head, 0), p, thin)
	in.line(q, u.from(q, 2*head, 0), thin)
	in.line(p, q, thin)
	in.head(p, u)
	in.head(q, back)
}

// head draws a filled arrowhead with its point at p, pointing along u.
func (in *inker) head(p Place, u along) {
	h := arrow * in.grow
	in.outline(Mark{Fill: Black, Moves: closed(p, u.from(p, -h, h*0.24), u.from(p, -h, -h*0.24))})
}

func (in *inker) leader(from, tip Place) {
	u, span := heading(from, tip)
	if span > arrow*in.grow {
		in.line(from, u.from(tip, -arrow*in.grow/2, 0), Thin.Width()*in.grow)
	}
	in.head(tip, u)
}
