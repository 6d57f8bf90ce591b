package packet_test

import (
	"cmp"
	"fmt"
	"path/filepath"
	"strings"
	"testing"

	"raftwright/brief"
	"raftwright/draw"
	"raftwright/lang"
	"raftwright/packet"
	"raftwright/page"
	"raftwright/plan"
	"raftwright/press"
)

// shape is a closed piece of a sheet, its curves as short straight pieces.
type shape struct {
	mark draw.Mark
	line [][2]draw.Place
}

// shapes gives the outlines of a sheet in the order in which they are painted; words are shapes
// without lines.
func shapes(s draw.Sheet) []shape {
	var out []shape
	for _, m := range s.Marks {
		q := shape{mark: m}
		if m.Kind == draw.Outline {
			q.line = straight(m.Moves)
		}
		if m.Kind == draw.Outline || m.Kind == draw.Lettering {
			out = append(out, q)
		}
	}
	return out
}

// straight gives the pieces of an outline.
func straight(moves []draw.Move) [][2]draw.Place {
	var out [][2]draw.Place
	var start, now draw.Place
	for _, v := range moves {
		switch v.Kind {
		case draw.MoveTo:
			start, now = v.To, v.To
		case draw.LineTo:
			out, now = append(out, [2]draw.Place{now, v.To}), v.To
		case draw.Close:
			out, now = append(out, [2]draw.Place{now, start}), start
		case draw.CurveTo:
			from := now
			for k := 1; k <= 8; k++ {
				u := draw.Points(k) / 8
				o := 1 - u
				at := func(a, b, c, d draw.Points) draw.Points { return o*o*o*a + 3*o*o*u*b + 3*o*u*u*c + u*u*u*d }
				to := draw.Place{X: at(from.X, v.C1.X, v.C2.X, v.To.X), Y: at(from.Y, v.C1.Y, v.C2.Y, v.To.Y)}
				out, now = append(out, [2]draw.Place{now, to}), to
			}
		}
	}
	return out
}

// holds tells whether a place lies inside a shape.
func (s shape) holds(p draw.Place) bool {
	in := false
	for _, l := range s.line {
		a, b := l[0], l[1]
		if (a.Y > p.Y) != (b.Y > p.Y) && p.X < a.X+(p.Y-a.Y)/(b.Y-a.Y)*(b.X-a.X) {
			in = !in
		}
	}
	return in
}

// faults tells what is wrong with the words of a sheet: too small, cut off, struck by a line, on a
// hatching or on other words.
func faults(s draw.Sheet, least draw.Points) []string {
	var out []string
	list := shapes(s)
	for i, q := range list {
		if q.mark.Kind != draw.Lettering || q.mark.Text == "" {
			continue
		}
		m := q.mark
		if m.Size < least-0.01 {
			out = append(out, fmt.Sprintf("%q has %.2f points", m.Text, m.Size))
		}
		x0, y0, x1, y1, ok := box(m)
		if !ok {
			out = append(out, fmt.Sprintf("%q is turned by %v", m.Text, m.Turn))
			continue
		}
		if x0 < -0.5 || y0 < -0.5 || x1 > s.Width+0.5 || y1 > s.Height+0.5 {
			out = append(out, fmt.Sprintf("%q leaves the sheet", m.Text))
		}
		a := rect{x0 + 0.4, y0 + 0.4, x1 - 0.4, y1 - 0.4}
		for j, o := range list {
			switch {
			case j == i:
			case o.mark.Kind == draw.Lettering:
				c0, d0, c1, d1, _ := box(o.mark)
				if j < i && o.mark.Text != "" && min(x1, c1)-max(x0, c0) > 0.8 && min(y1, d1)-max(y0, d0) > 0.8 {
					out = append(out, fmt.Sprintf("%q lies on %q", m.Text, o.mark.Text))
				}
			case (o.mark.Width > 0 && o.mark.Gray < 1 || o.mark.Fill == draw.Black) && struck(a, o, list[j+1:]):
				out = append(out, fmt.Sprintf("%q is struck", m.Text))
			}
		}
		if hatched(a, list) {
			out = append(out, fmt.Sprintf("%q stands on hatching", m.Text))
		}
	}
	return out
}

// rect is a box of words.
type rect struct{ x0, y0, x1, y1 draw.Points }

// struck tells whether a line can be seen inside of a box: what is painted over it hides it.
func struck(a rect, o shape, over []shape) bool {
	for _, l := range o.line {
		from, to := l[0], l[1]
		if max(from.X, to.X) < a.x0 || min(from.X, to.X) > a.x1 || max(from.Y, to.Y) < a.y0 || min(from.Y, to.Y) > a.y1 {
			continue
		}
		n := int(max(to.X-from.X, from.X-to.X, to.Y-from.Y, from.Y-to.Y)*2) + 1
		for k := range n + 1 {
			u := draw.Points(k) / draw.Points(n)
			p := draw.Place{X: from.X + u*(to.X-from.X), Y: from.Y + u*(to.Y-from.Y)}
			if p.X > a.x0 && p.X < a.x1 && p.Y > a.y0 && p.Y < a.y1 && !hidden(p, over) {
				return true
			}
		}
	}
	return false
}

// hidden tells whether something painted later covers a place.
func hidden(p draw.Place, over []shape) bool {
	for _, o := range over {
		if _, covers := o.mark.Fill.Ground(); covers && o.mark.Kind == draw.Outline && o.holds(p) {
			return true
		}
	}
	return false
}

// hatched tells whether a part of a box lies on a hatching.
func hatched(a rect, list []shape) bool {
	for i := range 12 {
		p := draw.Place{X: a.x0 + (a.x1-a.x0)*draw.Points(i%6)/5, Y: a.y0 + (a.y1-a.y0)*draw.Points(i/6)}
		top := draw.Empty
		for _, o := range list {
			if _, covers := o.mark.Fill.Ground(); covers && o.mark.Kind == draw.Outline && o.holds(p) {
				top = o.mark.Fill
			}
		}
		if top.Hatching() != nil || top == draw.Black || top == draw.MidGray {
			return true
		}
	}
	return false
}

// drawnPlans are the examples, and random briefs.
func drawnPlans(t *testing.T) map[string]plan.Plan {
	out := map[string]plan.Plan{}
	for _, path := range someExamples(t) {
		out[filepath.Base(path)] = planOf(t, path)
	}
	n := 6
	if testing.Short() {
		n = 0
	} else if everyWay() {
		n = 20
	}
	for seed := range uint64(n) {
		b, wrong := brief.Parse("brief.yaml", []byte(plausible(seed, cropNames())))
		if len(wrong) > 0 {
			continue
		}
		if p, wrong := plan.Make(b, bookWithPlaces(), plan.Files{}, plan.Everything); len(wrong) == 0 {
			out[fmt.Sprint("brief ", seed)] = p
		}
	}
	return out
}

// Words of drawings can be read and nothing strikes them: over all drawings of the examples and of
// random briefs, in both languages and units, as on paper, on a desk and on a telephone of 320
// pixels, where they have 9 points as well; in large print 18 points on paper and 12 on a desk.
func TestWordsOfDrawings(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	seen := 0
	for name, p := range drawnPlans(t) {
		n := 0 // tells plans apart
		for _, c := range name {
			n += int(c)
		}
		for i := range 8 {
			if testing.Short() && i != n%8 || !everyWay() && (i > 3 && i != 4+n%4 || i < 4 && i != n%4 && i != 3-n%4) {
				continue // both languages and both systems, one of these four in large print, by turns
			}
			tag, u := []string{"en", "es"}[i/2%2], []lang.Units{lang.US, lang.Metric}[i%2]
			w, err := lang.For(tag, u)
			if err != nil {
				t.Fatal(err)
			}
			o := packet.Options{Large: i > 3}
			for _, doc := range []page.Document{packet.Faces(p.In(tag), w, o), packet.Working(p.In(tag), w, o)} {
				walk(doc, func(s page.Section, b page.Block) {
					f, ok := b.(page.Figure)
					if !ok {
						return
					}
					laid := press.Lay(doc, s, f)
					const least = 9
					phone := max(1, laid.Phone.Width/222)
					found := map[string][]string{"phone": faults(laid.Phone, least*phone)}
					if o.Large {
						found["desk, large"] = faults(laid.Desk, 12)
						found["paper, large"] = faults(inLargePrint(doc, f), 18)
					} else {
						found["desk"] = faults(laid.Desk, least)
						found["paper"] = faults(draw.Lay(f.Drawing, draw.Fitting{Width: columnOf(f), Height: f.Height, System: doc.Units, Words: doc.Words.Words}), least)
					}
					for place, sheet := range found {
						seen++
						for _, fault := range sheet {
							t.Errorf("%s, %s, units %d, %s, %s: %s", f.Drawing.ID, place, u, tag, name, fault)
						}
					}
				})
			}
		}
	}
	if seen < 500 && !testing.Short() || seen < 100 {
		t.Errorf("only %d drawings", seen)
	}
}

// inLargePrint lays a figure as it stands on paper in large print: in one column, words twice as
// large.
func inLargePrint(doc page.Document, f page.Figure) draw.Sheet {
	w, h := doc.Paper.Size()
	margin := cmp.Or(doc.Margin, 72)
	room := draw.Fitting{Width: w - 2*margin, Height: 0.52 * (h - 2*margin), Magnify: 2, System: doc.Units, Words: doc.Words.Words}
	if f.Height > 0 {
		room.Height = min(f.Height, h-2*margin-6*18)
	}
	return draw.Lay(f.Drawing, room)
}

// columnOf gives the width of the column in which a figure stands on paper.
func columnOf(f page.Figure) draw.Points {
	switch {
	case f.Drawing.ID == "exploded" || f.Drawing.ID == "corner" || strings.HasPrefix(f.Drawing.ID, "step-"):
		return 247
	case f.Drawing.ID == "nomogram": // beside the dipstick
		return 363
	}
	return 516
}

// What the test of words looks for is found: words that are too small, cut off, on others, struck by
// a leader or on a hatching; a white ground behind them hides what was painted before.
func TestFaultsOfWordsAreFound(t *testing.T) {
	word := func(x, y draw.Points, s string) draw.Mark {
		return draw.Mark{Kind: draw.Lettering, Text: s, At: draw.Place{X: x, Y: y}, Size: 10}
	}
	line := func(x0, y0, x1, y1 draw.Points) draw.Mark {
		return draw.Mark{Moves: []draw.Move{{Kind: draw.MoveTo, To: draw.Place{X: x0, Y: y0}}, {Kind: draw.LineTo, To: draw.Place{X: x1, Y: y1}}}, Width: 0.5}
	}
	box := func(x, y, w, h draw.Points, f draw.Fill) draw.Mark {
		m := line(x, y, x+w, y)
		m.Moves = append(m.Moves, draw.Move{Kind: draw.LineTo, To: draw.Place{X: x + w, Y: y + h}}, draw.Move{Kind: draw.LineTo, To: draw.Place{X: x, Y: y + h}}, draw.Move{Kind: draw.Close})
		m.Fill, m.Width = f, 0
		return m
	}
	small := word(10, 10, "word")
	small.Size = 8.9
	for name, c := range map[string]struct {
		marks []draw.Mark
		want  int
	}{
		"nothing":       {[]draw.Mark{word(10, 10, "word"), word(10, 30, "other"), line(0, 25, 99, 25)}, 0},
		"small":         {[]draw.Mark{small}, 1},
		"cut off":       {[]draw.Mark{word(90, 10, "word")}, 1},
		"struck":        {[]draw.Mark{word(10, 10, "word"), line(0, 0, 40, 30)}, 1},
		"struck before": {[]draw.Mark{line(0, 13, 40, 13), word(10, 10, "word")}, 1},
		"hidden":        {[]draw.Mark{line(0, 13, 40, 13), box(8, 6, 30, 14, draw.White), word(10, 10, "word")}, 0},
		"on another":    {[]draw.Mark{word(10, 10, "word"), word(20, 12, "other")}, 1},
		"on a hatching": {[]draw.Mark{box(0, 0, 90, 40, draw.Rising), word(10, 10, "word")}, 1},
		"on white":      {[]draw.Mark{box(0, 0, 90, 40, draw.Rising), box(8, 6, 30, 14, draw.White), word(10, 10, "word")}, 0},
	} {
		if got := faults(draw.Sheet{Width: 100, Height: 50, Marks: c.marks}, 9); len(got) != c.want {
			t.Errorf("%s: %q", name, got)
		}
	}
}
