package paper

import (
	"raftwright/draw"
)

// drawing puts a laid drawing with its lower left corner at (x, y).
func (p *pen) drawing(d draw.Sheet, x, y float64) {
	p.out.SaveState()
	p.out.SetLineCap(0)
	p.out.SetLineJoin(1)
	for _, m := range d.Marks {
		switch m.Kind {
		case draw.Outline:
			p.outline(m, x, y)
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
			p.text(m.Text, m.Bold, round(x+float64(m.At.X)+from*cos), round(y+float64(m.At.Y)+from*sin), float64(m.Size), m.Turn)
		}
	}
	p.out.RestoreState()
	ink(p.out)
}

func (p *pen) trace(moves []draw.Move, x, y float64) {
	at := func(q draw.Place) (float64, float64) { return round(x + float64(q.X)), round(y + float64(q.Y)) }
	for _, v := range moves {
		tx, ty := at(v.To)
		switch v.Kind {
		case draw.MoveTo:
			p.out.MoveTo(tx, ty)
		case draw.LineTo:
			p.out.LineTo(tx, ty)
		case draw.CurveTo:
			ax, ay := at(v.C1)
			bx, by := at(v.C2)
			p.out.CurveTo(ax, ay, bx, by, tx, ty)
		case draw.Close:
			p.out.ClosePath()
		}
	}
}

// outline fills, hatches and strokes one path.
func (p *pen) outline(m draw.Mark, x, y float64) {
	if len(m.Moves) == 0 {
		return
	}
	if ground, ok := m.Fill.Ground(); ok {
		p.out.SetFillColorGray(ground)
		p.trace(m.Moves, x, y)
		p.out.FillEvenOdd()
		p.out.SetFillColorGray(0)
		p.hatch(m, x, y)
	}
	if m.Width <= 0 {
		return
	}
	p.out.SetLineWidth(float64(m.Width))
	if m.Gray > 0 {
		p.out.SetStrokeColorGray(m.Gray)
	}
	if len(m.Dash) > 0 {
		p.out.SetDashPattern(points(m.Dash), 0)
	}
	p.trace(m.Moves, x, y)
	p.out.Stroke()
	if len(m.Dash) > 0 {
		p.out.SetDashPattern(nil, 0)
	}
	if m.Gray > 0 {
		p.out.SetStrokeColorGray(0)
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
	p.out.SaveState()
	p.trace(m.Moves, x, y)
	p.out.ClipEvenOdd()
	p.out.EndPath()
	a, b := m.Box()
	a.X, a.Y = max(a.X, draw.Points(-x)), max(a.Y, draw.Points(-y)) // not past the sheet
	b.X, b.Y = min(b.X, draw.Points(p.style.width-x)), min(b.Y, draw.Points(p.style.height-y))
	for _, h := range families {
		p.out.SetLineWidth(float64(h.Width))
		if h.Round {
			p.out.SetLineCap(1)
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
				p.out.SetDashPattern(dashes, round(phase))
			}
			p.out.MoveTo(round(x+float64(r.From.X)), round(y+float64(r.From.Y)))
			p.out.LineTo(round(x+float64(r.To.X)), round(y+float64(r.To.Y)))
		}
		p.out.Stroke()
	}
	p.out.RestoreState()
}
