package packet

import (
	"fmt"
	"math"
	"strings"

	"raftwright/draw"
	"raftwright/finding"
	"raftwright/frame"
	"raftwright/page"
	"raftwright/plan"
	"raftwright/unit"
)

// Sizes of the cutting plan on paper.
const (
	cutWidth               draw.Points = 462
	cutBar                 draw.Points = 17
	barsFirst                          = 11 // bars on the page with the words
	barsAFigure                        = 14
	largeFirst, largeAfter             = 4, 8 // in large print
)

// cutFigures draws each way to cut a board as a bar, true to its length; what is
// left is hatched. Many bars go on several figures.
func (w writer) cutFigures(b plan.Boards) []page.Block {
	bars, longest := bars(&b), unit.Length(0)
	for _, x := range bars {
		longest = max(longest, x.Stock)
	}
	var out []page.Block
	first, after := barsFirst, barsAFigure
	if w.large {
		first, after = largeFirst, largeAfter
	}
	for start, n := 0, first; start < len(bars); start, n = start+n, after {
		id, some := fmt.Sprintf("cutting-%d", len(out)+1), bars[start:min(start+n, len(bars))]
		out = append(out, w.both(func(w writer) page.Figure {
			g := w.drawing(id, "packet.cut.caption", "alt.cut", finding.Args{"Count": b.Bought()})
			g.Bare = true
			y := draw.Points(0)
			for i, x := range some {
				g.Alt += " " + w.boardName(x.Board, x.size) + ": " + w.cuts(x.Board) + "."
				y = w.cutBoard(&g, x, start+i+1, longest, y-6*w.grow())
			}
			return figure(g, 600)
		}))
	}
	return out
}

// grow is how much larger words are in a bare drawing for large print; on a telephone there is
// less room for that.
func (w writer) grow() draw.Points {
	switch {
	case w.large && w.narrow:
		return 4. / 3
	case w.large:
		return 2
	}
	return 1
}

// tall gives how high a drawing may become, on a page of large print as much as it may fill.
func (w writer) tall(ordinary draw.Points) draw.Points {
	if w.large {
		return 500
	}
	return ordinary
}

// phoneWide is how wide a drawing for a telephone is.
const phoneWide draw.Points = 220

// across gives the width of a drawing that fills its room: so much on paper, or a telephone's.
func (w writer) across(paper draw.Points) draw.Points {
	if w.narrow {
		return phoneWide
	}
	return paper
}

// both gives a figure its drawing for a telephone, which is made when it is asked for.
func (w writer) both(make func(writer) page.Figure) page.Figure {
	f := make(w)
	w.narrow = true
	f.Narrow = func() draw.Drawing { return make(w).Drawing }
	return f
}

// cutBoard draws one board, of this number, with its top at y and gives the y below it.
func (w writer) cutBoard(g *draw.Drawing, b bar, number int, longest unit.Length, y draw.Points) draw.Points {
	k, kerf, name := w.grow(), b.plan.Kerf, w.boardName(b.Board, b.size)
	paper := func(l unit.Length) draw.Points { return w.across(cutWidth) * draw.Points(l/longest) }
	box := func(from, width draw.Points) draw.Path {
		return draw.Rect(draw.At(from.Length(), (y-4*k-cutBar*k).Length()), width.Length(), (cutBar * k).Length())
	}
	words := func(x, dy draw.Points, s string, size draw.Points, anchor draw.Anchor, halo bool) draw.Item {
		return draw.Text{At: draw.At(x.Length(), (y + dy).Length()), Text: s, Size: size * k, Anchor: anchor, Level: draw.Centred, Halo: halo}
	}
	text := func(x, dy draw.Points, s string, size draw.Points, anchor draw.Anchor, halo bool) {
		g.Add(words(x, dy, s, size, anchor, halo))
	}
	middle := -4*k - cutBar*k/2
	text(0, 2*k, name, 10, draw.Start, false)
	at, lines, free := draw.Points(0), 0, draw.Points(0) // of words under the bar, and where the last of them ends
	for i := 0; i < len(b.Cuts); {
		n := alike(b.Cuts[i:])
		from := at
		short, each := w.label(b.Cuts[i].Length), paper(b.Cuts[i].Length)
		long := strings.TrimSpace(letterOf(b.Cuts[i]) + " " + w.piece(b.Cuts[i].Name) + " " + short)
		room := each // for words
		if each > 34*k {
			room -= 11 * k // a box to tick
		}
		fits := draw.TextWidth(long, 9*k, false) < room-8*k
		for m := range n {
			items := []draw.Item{box(at, each)}
			if room < each {
				side := 7 * k
				items = append(items, draw.Rect(draw.At((at+each-side-3*k).Length(), (y+middle-side/2).Length()), side.Length(), side.Length()).In(draw.Thin, draw.Solid))
			}
			if fits {
				items = append(items, words(at+room/2, middle, long, 9, draw.Middle, false))
			} else if draw.TextWidth(short, 9*k, false) < room-3*k {
				items = append(items, words(at+room/2, middle, short, 9, draw.Middle, false))
			}
			g.Add(w.opensPart(partID("cut.piece", number, i+m+1), w.pieceName(b.Cuts[i]), 0, items...)...)
			at += each + paper(kerf)
		}
		if !fits {
			if n > 1 {
				long = fmt.Sprintf("%d × %s", n, long)
			}
			wide := draw.TextWidth(long, 9*k, false)
			from = max(0, min(from, w.across(cutWidth)-wide))
			if lines == 0 || from < free+6*k {
				lines++
			}
			text(from, -1*k-cutBar*k-10*k*draw.Points(lines), long, 9, draw.Start, true)
			free = from + wide
		}
		i += n
	}
	if rest := paper(b.Stock) - at; rest > 0.5 {
		items := []draw.Item{box(at, rest).Filled(draw.Rising).In(draw.Thin, draw.Solid)}
		left := w.say("packet.cut.left", finding.Args{"Length": b.Offcut})
		if wide := draw.TextWidth(left, 9*k, false) + 5*k; wide < rest { // no hatching behind words
			items = append(items, box(at+(rest-wide)/2, wide).Filled(draw.White).In(draw.Thin, draw.Solid), words(at+rest/2, middle, left, 9, draw.Middle, false))
		}
		g.Add(w.opensPart(partID("cut.left", number), left, 0, items...)...)
	}
	down := 10*k + cutBar*k + 10*k*draw.Points(lines)
	return draw.Points(math.Round(float64(y - down)))
}

// piece gives the translated name of a piece of wood, or the user's own.
func (w writer) piece(name string) string {
	for r := frame.SideBoard; r <= frame.BattenPiece; r++ {
		if r.String() == name {
			return w.say(string(r.Word()), nil)
		}
	}
	return name
}
