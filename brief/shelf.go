package brief

import (
	"fmt"
	"strings"

	"raftwright/finding"
)

// TakeShelf puts the products of a shelf file behind those of this brief. A
// product that the brief names itself is kept as the brief has it. What the file
// says wrong about its own products it told when it was parsed; faults here are
// those of the two together, at the key that names the file.
func (b *Brief) TakeShelf(from *Brief) finding.Faults {
	at := b.ShelfFile.At
	fault := func(what, right string) finding.Faults { return finding.Faults{b.Fault(at, what, right)} }
	if len(from.Shelf) == 0 {
		return fault(fmt.Sprintf("the shelf file %q names no product", clip(b.ShelfFile.Value)), "write in it for example shelf: [{name: complete fertiliser, label: 20-20-20}]")
	}
	for _, section := range []struct {
		name  string
		given bool
	}{{"site", from.Site.Given}, {"bed", from.Bed.Given}, {"raft", from.Raft.Given}, {"water", from.Water.Given}, {"target", from.Target.Given}, {"mix", from.Mix.Given}, {"shelf file", from.ShelfFile.Given}} {
		if section.given {
			return fault(fmt.Sprintf("the shelf file %q has the section %q", clip(b.ShelfFile.Value), section.name), "keep only shelf in it, and the rest in this brief")
		}
	}
	own, currency := map[string]bool{}, b.Prices.Currency.Value
	for _, p := range b.Shelf {
		own[strings.ToLower(p.Name.Value)] = true
		if currency == "" && p.Price.Given {
			currency = p.Price.Value.Currency
		}
	}
	for _, p := range from.Shelf {
		if own[strings.ToLower(p.Name.Value)] {
			continue
		}
		if p.Price.Given && currency != "" && p.Price.Value.Currency != currency {
			return fault(fmt.Sprintf("%s in the shelf file is priced in %s, this brief in %s", clip(p.Name.Value), p.Price.Value.Currency, currency), "write all prices in one currency")
		}
		p.At, p.Name.At, p.TenSpoons.At = at, at, at
		for i := range p.EachSpoon {
			p.EachSpoon[i].At = at
		}
		b.Shelf = append(b.Shelf, p)
	}
	return nil
}
