package programme

import "math"

// Tile is the place of a county on the map: columns from the west and rows from the north, from 1.
type Tile struct{ Across, Down int }

// Tiles gives the place of each county: where the office put it, else in rows of their own below those, in the order of the records. Two
// counties never share a tile. Placed tells whether all stand where the office put them.
func Tiles(counties []County) (out []Tile, placed bool) {
	taken, below, wide := map[Tile]bool{}, 0, int(math.Ceil(math.Sqrt(float64(len(counties)))))
	out = make([]Tile, len(counties))
	for i, c := range counties {
		t := Tile{c.Across.N, c.Down.N}
		if t.Across < 1 || t.Down < 1 || taken[t] {
			continue
		}
		out[i], taken[t] = t, true
		below, wide = max(below, t.Down), max(wide, t.Across)
	}
	placed = true
	next := Tile{1, below + 1}
	for i := range out {
		if out[i] != (Tile{}) {
			continue
		}
		placed = false
		out[i] = next
		if next.Across++; next.Across > wide {
			next = Tile{1, next.Down + 1}
		}
	}
	return out, placed
}

// Counties gives the counties of the report, in their order.
func (r *Report) Counties() []County { return r.stood.Counties }
