package plan

import (
	"cmp"
	"strings"

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
	for _, p := range b.Shelf {
		known := len(m.faults)
		material := m.product(p)
		if !p.Formula.Given || p.Label.Given || len(m.faults) > known {
			continue
		}
		if _, err := material.Contents(); err != nil {
			what, right, _ := strings.Cut(err.Error(), "; ")
			m.fault(p.Formula.At, what, cmp.Or(right, "write for example MgSO4.7H2O"))
		}
	}
	return m.faults
}
