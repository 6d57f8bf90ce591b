package paper

import "raftwright/page"

// Slips stand two beside each other, three under one another; padding is the white within the line along which
// one is cut out.
const slipsAcross, slipsDown, slipPadding = 2, 3, 8

// slips sets pieces to cut out: all in a row are as high as a sixth of the page asks for, or twice that and more where
// one holds more.
func (s *setter) slips(b page.Slips, width float64) []strip {
	if s.style.large {
		var out []strip
		for _, c := range b.Cells {
			out = append(out, together(s.blocks(c, width))...)
		}
		return out
	}
	wide, high := width/slipsAcross, s.style.usable()/slipsDown
	usual := s.style
	s.style = s.style.slip()
	defer func() { s.style = usual }()
	var out []strip
	for i := 0; i < len(b.Cells); i += slipsAcross {
		row := b.Cells[i:min(i+slipsAcross, len(b.Cells))]
		cells := make([]strip, len(row))
		tall := high
		for k, c := range row {
			cells[k] = stack(s.blocks(c, wide-2*slipPadding))
			for cells[k].height+2*slipPadding > tall && tall < usual.usable()-1 {
				tall += high
			}
		}
		out = append(out, strip{height: tall, draw: func(p *pen, x, top float64) {
			for k, c := range cells {
				left := x + float64(k)*wide
				p.out.Decor()
				p.out.Thick(0.6)
				p.out.Dash([]float64{4, 3}, 0)
				p.out.Rect(left, top-tall, wide, tall)
				p.out.Stroke()
				p.out.Dash(nil, 0)
				if c.draw != nil { // an empty one keeps its place
					c.draw(p, left+slipPadding, top-slipPadding)
				}
			}
		}})
	}
	return out
}

// slip gives the style of a piece to cut out: it is read close by.
func (s style) slip() style {
	s.body, s.small, s.table, s.compact = 12, 12, 12, 12
	s.heading, s.lead, s.tight, s.air = [4]float64{13, 13, 12, 12}, 1.2, 1.15, 0.35
	s.measure = s.column()
	return s
}
