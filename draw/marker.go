package draw

import (
	"cmp"

	"raftwright/unit"
)

// rectMoves gives a rectangle on paper.
func rectMoves(x, y, w, h Points) []Move {
	return closed(Place{x, y}, Place{x + w, y}, Place{x + w, y + h}, Place{x, y + h})
}

func closed(at ...Place) []Move {
	return append(open(at...), Move{Kind: Close})
}

func open(at ...Place) []Move {
	out := make([]Move, 0, len(at)+1)
	for i, p := range at {
		kind := LineTo
		if i == 0 {
			kind = MoveTo
		}
		out = append(out, Move{Kind: kind, To: p})
	}
	return out
}

// discMoves gives a circle on paper.
func discMoves(c Place, r Points) []Move {
	from := Circle(At(c.X.Length(), c.Y.Length()), r.Length()).Steps
	to := func(s Spot) Place { return Place{OnPaper(s.X), OnPaper(s.Y)} }
	out := make([]Move, len(from))
	for i, s := range from {
		out[i] = Move{Kind: s.Kind, C1: to(s.C1), C2: to(s.C2), To: to(s.To)}
	}
	return out
}

// marker draws a sign of fixed size.
func (in *inker) marker(m Marker, shift Spot) {
	r := cmp.Or(m.Size, 5) / 2 * in.grow
	c := in.place(m.At, shift)
	at := func(x, y Points) Place { return Place{c.X + x*r, c.Y + y*r} }
	mark := Mark{ID: m.ID, Title: m.Title, Width: Normal.Width() * in.grow, Fill: White}
	switch m.Shape {
	case Disc, Ring:
		mark.Moves = discMoves(c, r)
	case BoxFull:
		mark.Moves = closed(at(-0.9, -0.9), at(0.9, -0.9), at(0.9, 0.9), at(-0.9, 0.9))
	case Triangle:
		mark.Moves = closed(at(-1, -0.8), at(1, -0.8), at(0, 1))
	case Plus:
		mark.Moves = append(open(at(-1, 0), at(1, 0)), open(at(0, -1), at(0, 1))...)
		mark.Fill = Empty
	case Register:
		mark.Moves = append(discMoves(c, r*0.6), append(open(at(-1, 0), at(1, 0)), open(at(0, -1), at(0, 1))...)...)
		mark.Fill, mark.Width = Empty, Thin.Width()*in.grow
	}
	if m.Shape == Disc || m.Shape == BoxFull {
		mark.Fill = Black
	}
	in.outline(mark)
}

// advance holds the widths of the printable ASCII letters of the upright sans
// serif face that press embeds, in thousandths of the size.
var advance = [95]uint16{
	200, 289, 426, 497, 497, 824, 609, 249, 303, 303, 418, 497, 249, 311, 249, 350,
	497, 497, 497, 497, 497, 497, 497, 497, 497, 497, 249, 249, 497, 497, 497, 425,
	847, 543, 588, 571, 615, 527, 494, 617, 652, 263, 479, 579, 486, 727, 647, 664,
	566, 664, 569, 534, 536, 645, 515, 786, 513, 476, 539, 303, 350, 303, 497, 500,
	542, 504, 553, 456, 555, 496, 292, 504, 544, 246, 247, 495, 255, 829, 547, 542,
	555, 555, 347, 419, 338, 544, 467, 719, 446, 467, 425, 303, 241, 303, 497,
}

// TextWidth gives the width of a line of text: exact for ASCII in the face that
// press embeds, within about a tenth for other letters.
func TextWidth(s string, size Points, bold bool) Points {
	sum := 0
	for _, r := range s {
		switch {
		case r >= ' ' && int(r-' ') < len(advance):
			sum += int(advance[r-' '])
		case r >= 0x300 && r < 0x370: // combining accents
		default:
			sum += 540
		}
	}
	w := Points(sum) * size / 1000
	if bold {
		w *= 1.035
	}
	return w
}

// Stack sets bare drawings (charts) one above another on the same left edge,
// the first on top.
func Stack(d Drawing, gap Points, parts ...Drawing) Drawing {
	d.Bare, d.Scale = true, 0
	y := unit.Length(0)
	for _, p := range parts {
		in := &inker{scale: Full, grow: 1}
		in.items(p.Items, Spot{})
		box := bounds(in.marks)
		if box.empty() {
			continue
		}
		y -= box.y1.Length()
		d.Add(Group{ID: p.ID, Title: p.Title, Alt: p.Alt, Shift: At(0, y), Items: p.Items})
		y += (box.y0 - gap).Length()
	}
	return d
}
