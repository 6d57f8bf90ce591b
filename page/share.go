package page

import (
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"raftwright/draw"
)

// Anchor gives the name that a link leads to: the id of the section, plainly, or
// its place (counted from 0) in the document.
func (s Section) Anchor(i int) string {
	if s.ID != "" {
		return PlainID(s.ID)
	}
	return "section-" + strconv.Itoa(i+1)
}

// PlainID makes an id of letters, digits, dashes and underscores, so that a
// reference to it needs no quoting.
func PlainID(s string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r >= 'a' && r <= 'z', r >= 'A' && r <= 'Z', r >= '0' && r <= '9', r == '-', r == '_':
			return r
		}
		return '-'
	}, s)
}

// Share gives the share of the line that a blank takes.
func (f Field) Share() float64 { return weight(f.Weight) }

// Share gives the share of the width that a column takes.
func (c LogColumn) Share() float64 { return weight(c.Weight) }

func weight(w float64) float64 {
	if w > 0 {
		return w
	}
	return 1
}

// Squeeze fits columns that are w wide into a room: it takes what is too wide from
// the widest, none below its least, so that a short column keeps its words on one
// line; where even the longest words do not fit, all shrink alike.
func Squeeze(w, least []float64, room float64) []float64 {
	sum, floor := 0.0, 0.0
	for i := range w {
		sum += w[i]
		floor += least[i]
	}
	if sum <= room+0.01 {
		return w
	}
	out := make([]float64, len(w))
	if floor >= room {
		for i := range w {
			out[i] = least[i] * room / max(floor, 1)
		}
		return out
	}
	lo, hi := 0.0, sum // of the cap: no column is wider unless its longest word is
	for range 50 {
		limit, total := (lo+hi)/2, 0.0
		for i := range w {
			out[i] = max(min(w[i], limit), least[i])
			total += out[i]
		}
		if total > room {
			hi = limit
		} else {
			lo = limit
		}
	}
	for i := range w {
		out[i] = max(min(w[i], lo), least[i])
	}
	return out
}

// RowHeight gives the height of a row to write in: 10 mm where none is given.
func (l LogSheet) RowHeight() draw.Points {
	if l.Height > 0 {
		return l.Height
	}
	return 10 / 25.4 * 72
}

// Name gives what stands in the first column of a row.
func (l LogSheet) Name(row int) string {
	if row < len(l.Names) {
		return l.Names[row]
	}
	return ""
}

// Glue is the space that holds a figure and its unit together on a line.
const Glue = "\u00a0"

// units are the words that stay on the line of their figure.
var units = map[string]bool{"in": true, "ft": true, "mm": true, "cm": true, "m": true, "gal": true, "L": true, "mL": true, "lb": true, "oz": true,
	"g": true, "kg": true, "mg/L": true, "mS/cm": true, "%": true, "°F": true, "°C": true, "psf": true, "psi": true, "tsp": true, "tbsp": true,
	"mg": true, "h": true, "min": true, "USD": true, "qt": true, "ppm": true, "pulg": true, "pie": true, "pies": true, "pie²": true, "ft²": true, "lb/ft²": true, "lb/pie²": true, "galones": true, "galón": true, "pulgadas": true, "cdta": true, "cda": true, "lbf": true, "N": true}

// Glued tells whether a word is the unit of the figure before it.
func Glued(before, word string) bool {
	if !units[strings.TrimRight(word, ".,;:)")] {
		return false
	}
	last, _ := utf8.DecodeLastRuneInString(before)
	return unicode.IsNumber(last)
}

// Bind writes glue between each figure and its unit.
func Bind(s string) string {
	words := strings.Split(s, " ")
	var b strings.Builder
	for i, w := range words {
		switch {
		case i > 0 && Glued(words[i-1], w):
			b.WriteString(Glue)
		case i > 0:
			b.WriteByte(' ')
		}
		b.WriteString(w)
	}
	return b.String()
}
