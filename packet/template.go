package packet

import (
	"fmt"
	"math"

	"raftwright/draw"
	"raftwright/finding"
	"raftwright/lang"
	"raftwright/page"
	"raftwright/plan"
	"raftwright/raft"
	"raftwright/unit"
)

// FaultNoRaft is raised where a pattern is asked for and there is no raft.
const FaultNoRaft finding.ID = "packet.fault.no_raft"

// FaultNoFace is raised where a face is asked for that this plan has nothing to say on.
const FaultNoFace finding.ID = "packet.fault.no_face"

// Template makes the full-size paper pattern of the raft's holes: one cover with
// the steps and a map of the sheets, then a page at exact size for each part.
// The error says that there is no raft, or that it takes too many pages.
func Template(p plan.Plan, words *lang.Printer, o Options) (page.Document, error) {
	w := writer{p: p, words: words, large: o.Large, paper: o.Paper, onPaper: true}
	if p.Raft == nil {
		return page.Document{}, finding.Fault{ID: FaultNoRaft}
	}
	d := w.document(o)
	d.Subtitle = w.say("packet.template.subtitle", nil)
	paper := raft.Letter
	if o.Paper == page.A4 {
		paper = raft.A4
	}
	for i, l := range p.Raft.Layouts {
		t, err := l.Template(paper, p.Raft.Job.Hole)
		if err != nil {
			return page.Document{}, err
		}
		d.Sections = append(d.Sections, w.patternCover(l, t, i))
		pages := page.Section{ID: fmt.Sprintf("pattern-%d", i+1)}
		for k, p := range t.Pages {
			if empty(p) {
				continue
			}
			pages.Blocks = append(pages.Blocks, page.Figure{Drawing: w.patternPage(l, t, k, i), Exact: true})
		}
		d.Sections = append(d.Sections, pages)
	}
	return d, nil
}

// patternCover tells how to print, check and join the pages of one kind of sheet.
func (w writer) patternCover(l raft.Layout, t raft.Template, kind int) page.Section {
	s := page.Section{ID: fmt.Sprintf("template-%d", kind+1), NewPage: kind > 0}
	if len(w.p.Raft.Layouts) > 1 {
		s.Title = w.say("packet.template.kind", finding.Args{"Kind": kindName(kind)})
	}
	s.Blocks = []page.Block{
		w.para("packet.template.lead", finding.Args{"Count": printedPages(t), "Width": l.Size.X, "Length": l.Size.Y, "Holes": len(l.Positions)}),
		w.steps("packet.template.step", finding.Args{"Overlap": t.Overlap}),
		w.patternMap(l, t, kind),
		w.para("packet.template.tape", nil),
	}
	return s
}

// empty tells whether a page of the pattern shows no hole: it is not printed.
func empty(p raft.Page) bool { return p.Outside || len(p.Holes) == 0 }

// printedPages counts the pages that show a hole.
func printedPages(t raft.Template) int {
	n := 0
	for _, p := range t.Pages {
		if !empty(p) {
			n++
		}
	}
	return n
}

// patternMap draws which page shows which part of the sheet.
func (w writer) patternMap(l raft.Layout, t raft.Template, kind int) page.Figure {
	g := w.drawing(fmt.Sprintf("template-map-%d", kind+1), "packet.template.map", "alt.template_map", finding.Args{"Columns": t.Columns, "Rows": t.Rows})
	g.Plan = true
	w.sheet(&g, w.kindOfSheet(kind), w.p.Raft.Job.Hole, false)
	for _, p := range t.Pages {
		if empty(p) {
			continue
		}
		g.Add(draw.Rect(draw.At(p.From.X, p.From.Y), t.Window.X, t.Window.Y).In(draw.Thin, draw.Dashed),
			draw.Text{At: draw.At(p.From.X+t.Window.X/2, p.From.Y+t.Window.Y/2), Text: p.Name, Size: 9, Anchor: draw.Middle, Level: draw.Centred, Bold: true, Halo: true})
	}
	return figure(g, 330)
}

// onto turns places on a lying page to the upright sheet that is printed.
type onto struct {
	lying bool
	width unit.Length // of the upright sheet
}

func (o onto) spot(p raft.Point) draw.Spot {
	if o.lying {
		return draw.At(o.width-p.Y, p.X)
	}
	return draw.At(p.X, p.Y)
}

// turn gives an angle in degrees, as drawn on the upright sheet.
func (o onto) turn(degrees float64) float64 {
	if o.lying {
		return degrees + 90
	}
	return degrees
}

func (o onto) stroke(s raft.Stroke) draw.Path {
	if s.Radius > 0 {
		return o.arc(s.Centre, s.Radius, s.Arc)
	}
	return draw.Line(o.spot(s.A), o.spot(s.B))
}

func (o onto) arc(centre raft.Point, radius unit.Length, a raft.Arc) draw.Path {
	degrees := func(x unit.Angle) float64 { return float64(x) * 180 / math.Pi }
	return draw.Arc(o.spot(centre), radius, o.turn(degrees(a.From)), o.turn(degrees(a.To)))
}

// patternPage draws one page of the pattern at full size.
func (w writer) patternPage(l raft.Layout, t raft.Template, k, kind int) draw.Drawing {
	p := t.Pages[k]
	o := onto{lying: t.Lying, width: t.Paper.Y}
	name := p.Name
	if len(w.p.Raft.Layouts) > 1 {
		name = kindName(kind) + " " + name
	}
	g := w.drawing(fmt.Sprintf("pattern-%d-%s", kind+1, p.Name), "packet.template.page", "alt.template", finding.Args{"Page": name, "Count": len(p.Holes)})
	g.Scale, g.Bare = draw.Full, true
	corner := func(dx, dy unit.Length) draw.Spot { return o.spot(raft.Point{X: p.At.X + dx, Y: p.At.Y + dy}) }
	g.Add(draw.Polygon(corner(0, 0), corner(t.Window.X, 0), corner(t.Window.X, t.Window.Y), corner(0, t.Window.Y)).In(draw.Thin, draw.Dotted))
	for _, s := range p.Rim {
		g.Add(o.stroke(s).In(draw.Heavy, draw.Solid))
	}
	for _, s := range p.Keep {
		g.Add(o.stroke(s).In(draw.Normal, draw.Dashed))
	}
	for _, h := range p.Holes {
		for _, a := range h.Arcs {
			g.Add(o.arc(h.Centre, h.Radius, a))
		}
		if h.Shown {
			g.Add(draw.Marker{At: o.spot(h.Centre), Shape: draw.Plus, Size: 20},
				draw.Text{At: o.spot(raft.Point{X: h.Centre.X + 5*unit.Millimetre, Y: h.Centre.Y + 4*unit.Millimetre}), Text: fmt.Sprint(h.Number), Size: 10, Turn: o.turn(0)})
		}
	}
	for _, m := range p.Marks {
		g.Add(draw.Marker{At: o.spot(m), Shape: draw.Register, Size: 14})
	}
	for _, b := range p.Bars {
		w.checkBar(&g, o, b)
	}
	foot := o.spot(raft.Point{X: p.At.X, Y: p.At.Y - 9*unit.Millimetre})
	g.Add(draw.Text{At: foot, Text: g.Title, Size: 11, Bold: true, Turn: o.turn(0)},
		draw.Text{At: o.spot(raft.Point{X: p.At.X, Y: p.At.Y - 14*unit.Millimetre}), Text: w.stopped(w.say("packet.template.foot", finding.Args{"Title": w.p.Title()})), Size: 9, Turn: o.turn(0)})
	return g
}

// checkBar draws a bar of 100 mm with a mark at each end and its name.
func (w writer) checkBar(g *draw.Drawing, o onto, b raft.Stroke) {
	g.Add(draw.Line(o.spot(b.A), o.spot(b.B)).In(draw.Heavy, draw.Solid))
	level := b.A.Y == b.B.Y
	for _, e := range []raft.Point{b.A, b.B} {
		from, to := raft.Point{X: e.X, Y: e.Y - 2*unit.Millimetre}, raft.Point{X: e.X, Y: e.Y + 2*unit.Millimetre}
		if !level {
			from, to = raft.Point{X: e.X - 2*unit.Millimetre, Y: e.Y}, raft.Point{X: e.X + 2*unit.Millimetre, Y: e.Y}
		}
		g.Add(draw.Line(o.spot(from), o.spot(to)))
	}
	text := draw.Text{Text: w.say("packet.template.bar", nil), Size: 9, Anchor: draw.Middle}
	mid := raft.Point{X: (b.A.X + b.B.X) / 2, Y: (b.A.Y+b.B.Y)/2 + 1.5*unit.Millimetre}
	text.Turn = o.turn(0)
	if !level {
		mid = raft.Point{X: (b.A.X+b.B.X)/2 - 1.5*unit.Millimetre, Y: (b.A.Y + b.B.Y) / 2}
		if text.Turn = o.turn(90); text.Turn >= 180 { // never upside down
			text.Turn -= 180
			mid.X += 3 * unit.Millimetre
		}
	}
	text.At = o.spot(mid)
	g.Add(text)
}
