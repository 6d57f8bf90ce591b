package packet

import (
	"math"
	"strconv"
	"strings"

	"raftwright/draw"
	"raftwright/finding"
	"raftwright/page"
	"raftwright/programme"
	"raftwright/unit"
)

// tile is the side of a county on the map; all counties are as large, so that none counts more for its acres.
const tile = 1.4 * unit.Inch

// classes are what the map tells of a county, with hatchings that a copier keeps and no color is needed for.
var classes = [...]draw.Fill{draw.White, draw.Dots, draw.Rising, draw.Crossed}

// class gives the class of a county: no site, fewer than may be told, up to twice as many, more.
func class(f programme.Figure, least int) int {
	switch {
	case f.Why != "":
		return 1
	case f.Number == 0:
		return 0
	case int(f.Number) < 2*least:
		return 2
	}
	return 3
}

// where is section J, with the map of the counties. The table under it tells the same.
func (w reporter) where() []page.Block {
	var places []programme.County
	var figures []programme.Figure
	all := w.e.Counties()
	for _, f := range w.e.Figures {
		if f.Measure == "map_sites" && f.County != programme.All {
			if len(figures) < len(all) { // one for each county, in their order
				places = append(places, all[len(figures)])
			}
			figures = append(figures, f)
		}
	}
	out := w.figures("J")()
	if len(figures) == 0 || len(figures) != len(all) {
		return out
	}
	drawn := w.counties(places, figures)
	return append(out[:1:1], append([]page.Block{drawn}, out[1:]...)...)
}

// counties draws a tile for each county where the office put it; those without a place stand in rows below, in the order of the records.
func (w reporter) counties(places []programme.County, figures []programme.Figure) page.Figure {
	least, _ := strconv.Atoi(w.rule("sites").Value)
	d := draw.Drawing{ID: "counties", Title: w.say("map.title", nil), Bare: true, Loose: true}
	spots, placed := programme.Tiles(places)
	right, bottom := 0, 0
	var told []string
	seen := [len(classes)]bool{}
	for i, f := range figures {
		at := spots[i]
		right, bottom = max(right, at.Across), max(bottom, at.Down)
		x, y := unit.Length(at.Across-1)*tile, unit.Length(-at.Down)*tile
		name, c := w.county(f.County).Plain(), class(f, least)
		seen[c] = true
		told = append(told, name+": "+w.value(f))
		d.Add(draw.Rect(draw.At(x, y), tile, tile).Filled(classes[c]).Named("county-"+strconv.Itoa(i+1), name+": "+w.value(f)))
		middle := draw.At(x+tile/2, y+tile/2)
		d.Add(draw.Text{At: middle, Dy: 9, Text: name, Anchor: draw.Middle, Level: draw.Centred, Bold: true, Halo: true, Size: fit(name, true)},
			draw.Text{At: middle, Dy: -9, Text: w.value(f), Anchor: draw.Middle, Level: draw.Centred, Halo: true, Size: fit(w.value(f), false)})
	}
	y := unit.Length(-bottom) * tile
	for c, fill := range classes {
		if !seen[c] {
			continue
		}
		y -= tile * 0.32
		d.Add(draw.Rect(draw.At(0, y), tile*0.3, tile*0.22).Filled(fill),
			draw.Text{At: draw.At(tile*0.38, y+tile*0.11), Text: w.say("map.class"+strconv.Itoa(c), finding.Args{"Least": least, "Most": 2*least - 1, "More": 2 * least}), Level: draw.Centred, Size: 9})
	}
	d.Alt = w.say("map.alt", finding.Args{"List": strings.Join(told, "; ")})
	caption := "map.caption"
	if !placed {
		caption = "map.unplaced"
	}
	return page.Figure{Drawing: d, Caption: w.text(caption, nil), Height: draw.Points(min(360, 100*float64(bottom)+24*float64(len(classes))))}
}

// fit gives the size of letters with which a line stays inside a tile.
func fit(text string, bold bool) draw.Points {
	const most, room = 10, 94
	return draw.Points(math.Max(5, math.Min(most, most*room/math.Max(room, float64(draw.TextWidth(text, most, bold))))))
}
