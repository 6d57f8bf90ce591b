package packet

import (
	"raftwright/draw"
	"raftwright/finding"
	"raftwright/page"
)

// flatLiner draws the sheet spread flat: the floor, the walls that fold up round
// it, and what is turned over the rim. In each corner the sheet is folded along
// the line that runs out from the corner of the floor.
func (w writer) flatLiner() page.Figure { return w.both(writer.flatDrawn) }

func (w writer) flatDrawn() page.Figure {
	d := w.p.Frame
	n, v := d.Liner, d.Job.Vessel
	side, end := d.Side.Height, d.End.Height
	g := w.drawing("liner-flat", "packet.liner.caption", "alt.liner", finding.Args{"Length": n.Length, "Width": n.Width, "Inside": v.Length, "Across": v.Width, "Turn": n.Turn})
	g.Plan = true
	floor := draw.At((n.Length-v.Length)/2, (n.Width-v.Width)/2)
	rim := floor.Plus(-end, -side)
	g.Add(
		draw.Rect(draw.At(0, 0), n.Length, n.Width).In(draw.Heavy, draw.Solid).Named("sheet", w.say("word.liner", nil)),
		draw.Rect(rim, v.Length+2*end, v.Width+2*side).In(draw.Thin, draw.DashDot).Named("rim", w.say("packet.liner.rim", nil)),
		draw.Rect(floor, v.Length, v.Width).In(draw.Normal, draw.Dashed).Named("floor", w.say("packet.liner.floor", nil)),
	)
	for _, c := range [][2]draw.Spot{
		{floor, draw.At(0, 0)}, {floor.Plus(v.Length, 0), draw.At(n.Length, 0)},
		{floor.Plus(0, v.Width), draw.At(0, n.Width)}, {floor.Plus(v.Length, v.Width), draw.At(n.Length, n.Width)},
	} {
		g.Add(draw.Line(c[0], c[1]).In(draw.Thin, draw.Solid))
	}
	g.Add(
		draw.Callout{Tip: draw.At(floor.X+v.Length*0.65, floor.Y+v.Width+side/2), Dx: 20, Dy: 34, Text: w.say("packet.liner.wall", finding.Args{"Height": side})},
		draw.Callout{Tip: draw.At(floor.X+v.Length*0.05, n.Width-n.Turn/2), Dx: 20, Dy: 26, Text: w.say("packet.liner.turn", finding.Args{"Turn": n.Turn})},
		w.leads(w.measure(draw.At(n.Length, 0), draw.At(0, 0), 14), "frame.liner_length"),
		w.leads(w.measure(draw.At(n.Length, n.Width), draw.At(n.Length, 0), 16), "frame.liner_width"),
	)
	if !w.large || !w.narrow { // else there is no room for the floor's own
		g.Add(w.measure(floor, floor.Plus(v.Length, 0), 10), w.measure(floor.Plus(0, v.Width), floor, 12))
	}
	g.Add(draw.Callout{Tip: floor.Plus(v.Length*0.3, v.Width*0.6), Dx: 16, Dy: 6, Text: w.say("packet.liner.floor", nil)})
	return figure(g, w.tall(260))
}
