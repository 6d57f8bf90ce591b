package packet

import (
	"fmt"
	"math"
	"strings"

	"raftwright/draw"
	"raftwright/mix"
	"raftwright/page"
	"raftwright/tend"
	"raftwright/unit"
)

// The strip of what is poured: a row for each thing to do, in mm, and how many buckets are drawn
// side by side before their number stands beside one.
const (
	stripWide, stripRow, stripArt = 84, 16, 13
	mostBuckets                   = 4
)

// drawn draws what is poured, in the order of the list that it stands under: buckets by their number, a
// scale or spoon for powders, what acid asks for to be worn. It is nothing where nothing is poured.
func (w writer) drawn(t *tend.Tending) []page.Block {
	var rows []func(p *picture, y float64)
	var said []string
	for i, a := range t.Actions {
		row := w.drawnDeed(a)
		if row == nil {
			continue
		}
		rows = append(rows, func(p *picture, y float64) {
			first := len(p.Items)
			p.Add(draw.Rect(p.at(0, y), p.wide64(), stripRow*p.mm).In(draw.NoLine, draw.Solid)) // the whole row can be touched
			p.Add(draw.Text{At: p.at(4, y+stripRow/2), Text: fmt.Sprint(i + 1), Size: 14 * p.grow, Anchor: draw.Middle, Level: draw.Centred, Bold: true})
			row(p, y+(stripRow-stripArt)/2)
			p.Items = append(p.Items[:first:first], w.opensPart(deedPart(i), string(w.deed(a).Plain()), 0, p.Items[first:]...)...)
		})
		said = append(said, string(w.deed(a).Plain()))
	}
	if len(rows) == 0 {
		return nil
	}
	p := &picture{Drawing: draw.Drawing{ID: "poured", Title: w.say("tend.drawn", nil), Alt: strings.Join(said, " ")}, wide: stripWide, up: float64(stripRow * len(rows)), grow: w.grow()}
	p.mm, p.Bare = unit.Millimetre*unit.Length(p.grow), true
	p.Add(draw.Rect(p.at(0, 0), p.wide64(), p.high()).In(draw.Thin, draw.Solid))
	for i, row := range rows {
		row(p, p.up-float64(stripRow*(i+1)))
	}
	return []page.Block{page.Figure{Drawing: p.Drawing, Height: draw.Points(45 * len(rows)), Narrow: func() draw.Drawing { return p.Drawing }}}
}

// drawnDeed gives what draws one thing to do, nil where nothing is poured in.
func (w writer) drawnDeed(a tend.Action) func(p *picture, y float64) {
	set := func(names ...string) func(p *picture, y float64) {
		return func(p *picture, y float64) {
			for i, name := range names {
				p.symbol(name, 9+float64(i)*(stripArt+5), y, stripArt)
			}
		}
	}
	switch {
	case a.Do == tend.DoAcid && a.Mass > 0:
		return set("goggles", "gloves", w.weighedWith(), "bucket")
	case a.Do == tend.DoAcid:
		return set("goggles", "gloves", "jug-of-acid", "bucket")
	case (a.Do == tend.DoFeed || a.Do == tend.DoBase) && a.Mass > 0:
		return set("fertiliser-bag", w.weighedWith(), "bucket")
	case (a.Do == tend.DoWater || a.Do == tend.DoFeed || a.Do == tend.DoRefill) && a.Volume > 0:
		return func(p *picture, y float64) { w.buckets(p, y, a.Volume) }
	}
	return nil
}

// weighedWith is the picture of what this grower measures powders with.
func (w writer) weighedWith() string {
	if w.p.Measure().Kind == mix.Spoons {
		return "level-spoon"
	}
	return "kitchen-scale"
}

// buckets draws so many buckets, a part of one as a smaller one, and says how many there are.
func (w writer) buckets(p *picture, y float64, v unit.Volume) {
	bucket := w.bucket()
	n := math.Round(float64(v/bucket)*4) / 4
	x, step, side := 9.0, float64(stripArt+1), draw.End
	if n > mostBuckets || n < 0.25 {
		high := float64(stripArt)
		if n < 0.25 {
			high /= 2
		}
		p.symbol("bucket", x, y, high)
		x, side = x+step+1, draw.Start // beside it
	} else {
		for left := n; left > 0; left-- {
			part := min(1, left)
			p.symbol("bucket", x, y, stripArt*(0.4+0.6*part))
			x += step
		}
	}
	label := w.label(v)
	if n >= 0.25 {
		label = quarters(n) + " × " + w.label(bucket)
	}
	if side == draw.End {
		x = stripWide - 2
	}
	p.Add(draw.Text{At: p.at(x, y+stripArt/2), Text: label, Size: 11 * p.grow, Anchor: side, Level: draw.Centred})
}
