package plan

import (
	"raftwright/brief"
	"raftwright/finding"
)

// Names looks up all that a brief names in the catalogues: its crop, lumber,
// recipe and products. The faults say what is not there and what is near to it,
// so that a brief with other faults too is told everything at once.
func Names(b *brief.Brief, book Book) finding.Faults {
	m := &maker{Plan: Plan{Brief: b}, book: book}
	m.chooseCrop()
	if f := b.Bed.Lumber; f.Given {
		m.wrong(book.Yard.Known("bed.lumber", f.Value)...)
	}
	m.target()
	for i := range b.Shelf {
		m.product(i)
	}
	for i, f := range m.faults {
		m.faults[i] = b.Locate(f)
	}
	return m.faults
}
