package draw

import (
	"cmp"
	"math"
	"strings"
)

// label is the words of a dimension, to be set at its line from p to q.
type label struct {
	Dimension
	p, q Place
	u    along
	span Points
	size Points
}

// places gives where the words may stand, the best first: over the middle of the line; where the
// line is too short for them, past its end, or level beside it if it is upright. They can be read
// from below or from the right.
func (l label) places(grow Points) []Mark {
	turn := math.Atan2(float64(l.u.dy), float64(l.u.dx)) * 180 / math.Pi
	u, p, q := l.u, l.p, l.q
	if turn > 90.01 || turn <= -89.99 {
		turn -= math.Copysign(180, turn)
		u, p, q = along{-u.dx, -u.dy, -u.nx, -u.ny}, q, p
	}
	m := Mark{Door: l.Door, Text: l.Label, Size: l.size, Turn: turn, Anchor: Middle}
	lift, wide := 2.6*grow, TextWidth(l.Label, l.size, false)
	var out []Mark
	if wide <= l.span+2*grow {
		for _, share := range []Points{0.5, 0.3, 0.7, 0.2, 0.8} {
			if free := min(share, 1-share)*l.span - wide/2; share == 0.5 || free > 0 {
				m.At = u.from(p, share*l.span, lift)
				out = append(out, m)
			}
		}
		return out
	}
	var level []Mark
	if max(u.dx, -u.dx) < 0.3 {
		mid := Place{(p.X + q.X) / 2, (p.Y+q.Y)/2 - capital/2*l.size}
		right, left := m, m
		right.Turn, right.Anchor, right.At = 0, Start, Place{mid.X + 4.5*grow, mid.Y}
		left.Turn, left.Anchor, left.At = 0, End, Place{mid.X - 4.5*grow, mid.Y}
		if l.Offset*l.u.nx < 0 { // away from what is measured
			right, left = left, right
		}
		level = []Mark{right, left}
	}
	past := 2.4 * arrow * grow
	if l.Tip == Ticks {
		past = 5 * grow
	}
	for _, up := range []Points{-capital / 2, 0.8, -1.5} {
		m.Anchor, m.At = Start, u.from(q, past, up*l.size)
		out = append(out, m)
		m.Anchor, m.At = End, u.from(p, -past, up*l.size)
		out = append(out, m)
	}
	if l.Beside {
		return append(level, out...)
	}
	return append(out, level...)
}

// flag is a callout whose place may give way.
type flag struct {
	Callout
	tip  Place
	size Points
}

func (in *inker) flag(c Callout, shift Spot) flag {
	return flag{c, in.place(c.Tip, shift), cmp.Or(c.Size, labelSize) * in.grow}
}

// hung is a flag at a place: its lines of words, and where its leader begins.
type hung struct {
	lines []Mark
	from  Place
	box   area
}

func (f flag) hang(dx, dy, grow Points) hung {
	lines := strings.Split(f.Text, "\n")
	lead := 1.15 * f.size
	anchor, side := Start, -3*grow
	if dx < 0 {
		anchor, side = End, 3*grow
	}
	at := Place{f.tip.X + dx, f.tip.Y + dy}
	tall := lead*Points(len(lines)-1) + capital*f.size
	h := hung{from: Place{at.X + side, at.Y}}
	if dx == 0 { // straight above or below
		anchor = Middle
		h.from = Place{at.X, at.Y - tall/2 - 3*grow}
		if dy < 0 {
			h.from.Y = at.Y + tall/2 + 3*grow
		}
	}
	y := at.Y + tall/2 - capital*f.size
	for i, s := range lines {
		h.lines = append(h.lines, Mark{Kind: Lettering, Door: f.Door, Text: s, At: Place{at.X, y - Points(i)*lead}, Size: f.size, Anchor: anchor})
	}
	h.box = bounds(h.lines)
	return h
}

// fly inks a flag at a place.
func (in *inker) fly(f flag, h hung) {
	in.marks = append(in.marks, Mark{Kind: Open, ID: f.ID, Title: strings.ReplaceAll(f.Text, "\n", " ")})
	in.leader(h.from, f.tip)
	for _, m := range h.lines {
		in.halo(m)
		in.words(m)
	}
	in.marks = append(in.marks, Mark{Kind: Shut})
}

// setNotes sets the labels of dimensions and the callouts, each at the place that was wished or,
// where that would strike or cover something, at the best one near it, and gives the room in which
// tags may stand. Not to set them takes the places that were wished, for the size of the sheet.
func (in *inker) setNotes(set, framed bool) area {
	bare := len(in.marks)
	if framed && bare > 0 {
		frame := bounds(in.marks[:1])
		if set {
			in.seat(frame)
		}
		return frame
	}
	for _, l := range in.labels {
		in.label(l.places(in.grow)[0])
	}
	for _, f := range in.flags {
		in.fly(f, f.hang(f.Dx*in.grow, f.Dy*in.grow, in.grow))
	}
	room := in.tagRoom()
	if !set {
		return room
	}
	in.marks = in.marks[:bare]
	in.seat(room)
	return room
}

// seat sets the labels, then the callouts, within a room.
func (in *inker) seat(within area) {
	ink, words := inked(in.marks)
	for _, l := range in.labels {
		best, least := Mark{}, math.Inf(1)
		for i, m := range l.places(in.grow) {
			m.Kind = Lettering
			box := bounds([]Mark{m})
			if cost := float64(i)*2 + crowding(box, within, ink, words); cost < least {
				best, least = m, cost
			}
		}
		in.label(best)
		words = append(words, bounds([]Mark{best}))
	}
	for _, f := range in.flags {
		h := in.seek(f, within, ink, words)
		in.fly(f, h)
		words = append(words, h.box)
		ink = append(ink, segment{h.from, f.tip})
	}
}

func (in *inker) label(m Mark) {
	in.halo(m)
	in.words(m)
}

// seek finds the place of a flag.
func (in *inker) seek(f flag, within area, ink []segment, words []area) hung {
	dx, dy := f.Dx*in.grow, f.Dy*in.grow
	best, least := hung{}, math.Inf(1)
	try := func(x, y Points) {
		h := f.hang(x, y, in.grow)
		line := segment{h.from, f.tip}
		cost := math.Hypot(float64(x-dx), float64(y-dy))*0.04 + crowding(h.box, within, ink, words)
		for _, b := range words {
			if cost < least && b.cut(line) {
				cost += 80
			}
		}
		for _, s := range ink {
			if cost < least && s.crosses(line) {
				cost += 0.5
			}
		}
		if cost < least {
			best, least = h, cost
		}
	}
	try(dx, dy)
	for _, far := range []Points{14, 20, 28, 38, 50, 66, 86, 110, 140} {
		for k := range 24 {
			sin, cos := math.Sincos(float64(k) * math.Pi / 12)
			x, y := far*in.grow*Points(cos), far*in.grow*Points(sin)
			if k == 6 || k == 18 {
				x = 0
			}
			try(x, y)
		}
	}
	return best
}

// crowding is what it costs to set words into a box: out of the room, on other words, on ink.
func crowding(box, within area, ink []segment, words []area) float64 {
	cost := 0.
	if box.x0 < within.x0-0.1 || box.y0 < within.y0-0.1 || box.x1 > within.x1+0.1 || box.y1 > within.y1+0.1 {
		cost += 200
	}
	for _, b := range words {
		if box.x0 < b.x1 && b.x0 < box.x1 && box.y0 < b.y1 && b.y0 < box.y1 {
			cost += 100
		}
	}
	for _, s := range ink {
		if box.cut(s) {
			cost += 4
		}
	}
	return cost
}
