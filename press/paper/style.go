package paper

import (
	"math"

	"raftwright/page"
)

func sincos(degrees float64) (sin, cos float64) { return math.Sincos(degrees * math.Pi / 180) }

// style holds the sizes of a document in points.
type style struct {
	body, small, table, compact float64
	title, subtitle             float64
	heading                     [4]float64 // 0: section, 1 to 3: headings in it
	foot                        float64
	lead                        float64 // line height of running text, in sizes
	tight                       float64 // line height of headings and tables
	measure                     float64 // widest line of running text
	margin                      float64
	width, height               float64 // of the sheet
	grow                        float64 // of words in drawings
	large                       bool
}

// styleFor gives 12 point text, or 18 point with lines under 6 in and 1.5 lines
// of leading for large print.
func styleFor(d page.Document) style {
	w, h := d.Paper.Size()
	s := style{width: float64(w), height: float64(h), margin: 72, large: d.Large}
	if d.Margin > 0 {
		s.margin = float64(d.Margin)
	}
	if d.Large {
		s.body, s.small, s.table, s.compact = 18, 16, 17, 16
		s.title, s.subtitle, s.heading, s.foot = 32, 20, [4]float64{26, 22, 20, 18}, 14
		s.lead, s.tight, s.measure, s.grow = 1.5, 1.3, 430, 1.5
		return s
	}
	s.body, s.small, s.table, s.compact = 12, 10, 11, 10
	s.title, s.subtitle, s.heading, s.foot = 27, 14, [4]float64{20, 15, 13, 12}, 9
	s.lead, s.tight, s.measure, s.grow = 1.42, 1.26, 432, 1
	if d.Margin > 0 { // a face has short sentences and little room
		s.lead, s.measure = 1.3, s.column()
	}
	return s
}

// shrunk gives the style with its words in another size; the page stays.
func (s style) shrunk(k float64) style {
	for _, p := range []*float64{&s.body, &s.small, &s.table, &s.compact} {
		*p *= k
	}
	for i := range s.heading[1:] {
		s.heading[i+1] *= k
	}
	return s
}

func (s style) column() float64 { return s.width - 2*s.margin }
func (s style) usable() float64 { return s.height - 2*s.margin }
