package frame

import (
	_ "embed"

	"raftwright/finding"
	"raftwright/internal/inorder"
	"raftwright/internal/table"
	"raftwright/unit"
)

//go:embed tub.csv
var tubTable string

// Tub is a ready-made vessel as stores sell it.
type Tub struct {
	Shape                 Shape
	Length, Width, Height unit.Length // nominal; a round one has its diameter for both
}

// Tubs is a table of ready-made vessels.
type Tubs struct{ tubs []Tub }

// ReadTubs reads a table with the columns of tub.csv.
func ReadTubs(file, text string) (n Tubs, _ finding.Faults) {
	faults := table.Read(file, text, func(r *table.Row) {
		in := func(column string) unit.Length { return unit.Length(r.Number(column, 4, 600)) * unit.Inch }
		t := Tub{Shape: TubShape, Length: in("length_in"), Width: in("width_in"), Height: in("height_in")}
		if r.Need("shape") == RoundShape.String() {
			t.Shape = RoundShape
		}
		r.Source("source")
		n.tubs = append(n.tubs, t)
	})
	inorder.Put(n.tubs, func(a, b Tub) int {
		return int((a.Length*a.Width - b.Length*b.Width) / (unit.Inch * unit.Inch))
	})
	return n, faults
}

// Sold gives the smallest vessel of a shape that is at least so large, and whether there is one.
func (n Tubs) Sold(shape Shape, length, width, height unit.Length) (Tub, bool) {
	const dust = unit.Inch / 100
	for _, t := range n.tubs {
		if t.Shape == shape && t.Length >= length-dust && t.Width >= width-dust && t.Height >= height-dust {
			return t, true
		}
	}
	return Tub{}, false
}
