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
	air                         float64 // share of the white space between blocks
	margin                      float64
	width, height               float64 // of the sheet
	grow                        float64 // of words in drawings
	large                       bool
	parted                      bool // long columns side by side are cut in parts
}

// styleFor gives 12 point text, or 18 point with lines under 6 in and 1.5 lines
// of leading for large print. On a face (a page with narrow margins) all that is read is 12
// point; in large print nothing is smaller than 18.
func styleFor(d page.Document) style {
	w, h := d.Paper.Size()
	s := style{width: float64(w), height: float64(h), margin: 72, air: 1, large: d.Large}
	if d.Margin > 0 {
		s.margin = float64(d.Margin)
	}
	if d.Large {
		s.body, s.small, s.table, s.compact = 18, 18, 18, 18
		s.title, s.subtitle, s.heading, s.foot = 32, 20, [4]float64{26, 22, 20, 19}, 18
		s.lead, s.tight, s.measure, s.grow = 1.5, 1.3, 430, 2
		return s
	}
	s.body, s.small, s.table, s.compact = 12, 10, 11, 10
	s.title, s.subtitle, s.heading, s.foot = 27, 14, [4]float64{20, 15, 13, 12}, 9
	s.lead, s.tight, s.measure, s.grow = 1.42, 1.26, 432, 1
	if d.Dense { // for who checks figures
		s.body, s.small, s.table, s.compact = 10.5, 10, 10, 10
		s.title, s.subtitle, s.heading, s.foot = 24, 12, [4]float64{17, 13, 11.5, 11}, 9
		s.margin, s.lead, s.tight = 45, 1.27, 1.17
		s.measure = s.column()
	}
	if d.Margin > 0 { // a face has short sentences and little room
		s.lead, s.measure = 1.3, s.column()
		s.small, s.table, s.compact = 12, 12, 12
	}
	return s
}

// closer gives the style with a share of the white between its lines and blocks; all that is read
// stays as large as it is.
func (s style) closer(air float64) style {
	s.air = air
	s.lead = min(s.lead, 1.2+(s.lead-1.2)*air)
	s.tight = min(s.tight, 1.17+(s.tight-1.17)*air)
	return s
}

func (s style) column() float64 { return s.width - 2*s.margin }
func (s style) usable() float64 { return s.height - 2*s.margin }
