package paper

import (
	"raftwright/draw"
	"raftwright/press/paper/pdf"
)

// drawing puts a laid drawing with its lower left corner at (x, y), as an element.
func (p *pen) drawing(of *pdf.Element, d draw.Sheet, x, y float64) {
	if of != nil {
		of.Box = [4]float64{x, y, x + float64(d.Width), y + float64(d.Height)}
	}
	p.out.Save()
	p.out.Cap(0)
	p.out.Join(1)
	for _, m := range d.Marks {
		switch m.Kind {
		case draw.Outline:
			if len(m.Moves) > 0 {
				p.out.In(of)
				p.outline(m, x, y)
			}
		case draw.Lettering:
			w := p.width(m.Text, m.Bold) * float64(m.Size)
			from := 0.0
			switch m.Anchor {
			case draw.Middle:
				from = -w / 2
			case draw.End:
				from = -w
			}
			sin, cos := sincos(m.Turn)
			p.text(of, m.Text, m.Bold, round(x+float64(m.At.X)+from*cos), round(y+float64(m.At.Y)+from*sin), float64(m.Size), m.Turn)
		}
	}
	p.out.Restore()
	ink(p.out)
}

func (p *pen) trace(moves []draw.Move, x, y float64) {
	at := func(q draw.Place) (float64, float64) { return round(x + float64(q.X)), round(y + float64(q.Y)) }
	for _, v := range moves {
		tx, ty := at(v.To)
		switch v.Kind {
		case draw.MoveTo:
			p.out.Move(tx, ty)
		case draw.LineTo:
			p.out.Line(tx, ty)
		case draw.CurveTo:
			ax, ay := at(v.C1)
			bx, by := at(v.C2)
			p.out.Curve(ax, ay, bx, by, tx, ty)
		case draw.Close:
			p.out.Close()
		}
	}
}

// outline fills, hatches and strokes one path.
func (p *pen) outline(m draw.Mark, x, y float64) {
	if ground, ok := m.Fill.Ground(); ok {
		p.out.Shade(ground)
		p.trace(m.Moves, x, y)
		p.out.FillHoles()
		p.out.Shade(0)
		p.hatch(m, x, y)
	}
	if m.Width <= 0 {
		return
	}
	p.out.Thick(float64(m.Width))
	if m.Gray > 0 {
		p.out.Ink(m.Gray)
	}
	if len(m.Dash) > 0 {
		p.out.Dash(points(m.Dash), 0)
	}
	p.trace(m.Moves, x, y)
	p.out.Stroke()
	if len(m.Dash) > 0 {
		p.out.Dash(nil, 0)
	}
	if m.Gray > 0 {
		p.out.Ink(0)
	}
}

func points(d []draw.Points) []float64 {
	out := make([]float64, len(d))
	for i, x := range d {
		out[i] = float64(x)
	}
	return out
}

// hatch draws the lines of a fill inside the path.
func (p *pen) hatch(m draw.Mark, x, y float64) {
	families := m.Fill.Hatching()
	if families == nil {
		return
	}
	p.out.Save()
	p.trace(m.Moves, x, y)
	p.out.Clip()
	a, b := m.Box()
	a.X, a.Y = max(a.X, draw.Points(-x)), max(a.Y, draw.Points(-y)) // not past the sheet
	b.X, b.Y = min(b.X, draw.Points(p.style.width-x)), min(b.Y, draw.Points(p.style.height-y))
	for _, h := range families {
		p.out.Thick(float64(h.Width))
		if h.Round {
			p.out.Cap(1)
		}
		rays := h.Rays(a, b)
		dashes := points(h.Dash)
		phase := -1.0
		for _, r := range rays {
			if dashes != nil && float64(r.Phase) != phase {
				if phase >= 0 {
					p.out.Stroke()
				}
				phase = float64(r.Phase)
				p.out.Dash(dashes, round(phase))
			}
			p.out.Move(round(x+float64(r.From.X)), round(y+float64(r.From.Y)))
			p.out.Line(round(x+float64(r.To.X)), round(y+float64(r.To.Y)))
		}
		p.out.Stroke()
	}
	p.out.Restore()
}
