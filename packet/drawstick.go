package packet

import (
	"fmt"
	"math"

	"raftwright/draw"
	"raftwright/finding"
	"raftwright/page"
	"raftwright/unit"
)

// stripLength is the longest piece of dipstick that fits on a page at full size.
const stripLength = 7.3 * unit.Inch

// strip is one piece of the dipstick.
type strip struct{ from, to unit.Length }

// strips cuts the dipstick into pieces that fit on a page.
func (w writer) strips() []strip {
	var out []strip
	long, top := 7*unit.Inch, w.p.Frame.Brim
	if w.metric() {
		long = 18 * unit.Centimetre
	}
	if top <= stripLength {
		long = top
	}
	for z := unit.Length(0); z < top-unit.Millimetre; z += long {
		out = append(out, strip{z, min(z+long, top)})
		if len(out) == 4 {
			break
		}
	}
	return out
}

// stripFigure draws the dipstick at full size: inches or centimetres at the
// left, the water below each at the right. More pieces are glued one above
// another.
func (w writer) stripFigure() page.Figure { return w.both(writer.stripsDrawn) }

func (w writer) stripsDrawn() page.Figure {
	d := w.p.Frame
	g := w.drawing("dipstick", "packet.card.caption", "alt.dipstick", finding.Args{"Top": d.Brim, "Volume": d.BrimVolume})
	g.Scale, g.Bare = draw.Full, true
	step, parts := unit.Inch, 4
	if w.metric() {
		step, parts = unit.Centimetre, 2
	}
	grow := w.grow()
	wide := 1.05 * unit.Inch * unit.Length(grow)
	for i, s := range w.strips() {
		x, y := unit.Length(i)*(wide+unit.Inch/4), -s.from
		if w.narrow { // one under another
			x, y = 0, -s.from-unit.Length(i)*(stripLength+unit.Inch/4)
		}
		g.Add(draw.Rect(draw.At(x, y+s.from), wide, s.to-s.from))
		from, to := int(math.Round(float64(s.from/step*unit.Length(parts)))), int(math.Floor(float64(s.to/step*unit.Length(parts))+1e-6))
		for k := from + 1; k <= to; k++ {
			z := step * unit.Length(k) / unit.Length(parts)
			long := 0.12 * unit.Inch
			if k%parts == 0 {
				long = 0.28 * unit.Inch
				text := draw.At(x+wide-unit.Inch/16, z+y)
				up := draw.Points(2)
				switch over := draw.Points((d.Job.Depth - z).Inches() * 72); { // the fill line would strike the words
				case over > -1 && over < 11*grow && draw.OnPaper(step) < 20*grow: // no room under it: the line says it
					up = draw.OnPaper(s.to - s.from)
				case over >= 0 && over < 1:
					up = 4
				case over >= 1 && over < 11*draw.Points(grow):
					up = -9 * draw.Points(grow)
				}
				if s.to-z > unit.Inch*unit.Length(10*grow+up)/72 { // room for words over the mark
					g.Add(draw.Text{At: draw.At(x+0.33*unit.Inch, z+y), Dy: up, Text: fmt.Sprint(k / parts), Size: 9.5 * grow, Bold: true},
						draw.Text{At: text, Text: w.label(d.Job.Vessel.VolumeAt(z)), Dy: up, Size: 9 * grow, Anchor: draw.End})
				}
			}
			g.Add(draw.Line(draw.At(x, z+y), draw.At(x+long, z+y)).In(draw.Thin, draw.Solid))
		}
		if depth := d.Job.Depth; depth > s.from && depth <= s.to {
			g.Add(draw.Line(draw.At(x, depth+y), draw.At(x+wide, depth+y)).In(draw.Heavy, draw.Solid),
				draw.Callout{Tip: draw.At(x+wide, depth+y), Dx: 12, Text: w.say("packet.card.line", nil), Size: 9 * grow})
		}
	}
	return figure(g, 560)
}
