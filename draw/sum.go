package draw

import (
	"hash/maphash"

	"raftwright/unit"
)

// Sum adds all that a drawing is to a sum, so that drawings with one sum are the same drawing.
func (d Drawing) Sum(to *maphash.Hash) {
	maphash.WriteComparable(to, struct {
		id, title, alt                   string
		scale                            Scale
		loose, bare, plate, framed, plan bool
	}{d.ID, d.Title, d.Alt, d.Scale, d.Loose, d.Bare, d.Plate, d.Framed, d.Plan})
	sum(to, d.Items)
}

func sum(to *maphash.Hash, items []Item) {
	maphash.WriteComparable(to, len(items))
	for _, item := range items {
		switch x := item.(type) {
		case Path:
			maphash.WriteComparable(to, struct {
				id, title string
				stroke    Stroke
				fill      Fill
				steps     int
			}{x.ID, x.Title, x.Stroke, x.Fill, len(x.Steps)})
			for _, s := range x.Steps {
				maphash.WriteComparable(to, s)
			}
		case Group:
			maphash.WriteComparable(to, struct {
				door           Door
				reach          unit.Length
				id, title, alt string
				shift          Spot
			}{x.Door, x.Reach, x.ID, x.Title, x.Alt, x.Shift})
			sum(to, x.Items)
		default: // without parts of its own
			maphash.WriteComparable(to, item)
		}
	}
}
