package brief

import (
	"strings"

	"raftwright/finding"
)

// TakeShelf puts the products of a shelf file behind those of this brief. A
// product that the brief names itself is kept as the brief has it. What the file
// says wrong about its own products it told when it was parsed; faults here are
// those of the two together, at the key that names the file.
func (b *Brief) TakeShelf(from *Brief) finding.Faults {
	at := b.ShelfFile.At
	tell := func(f *finding.Fault) finding.Faults {
		f.Path, f.Args["File"] = "shelf file", clip(b.ShelfFile.Value)
		return finding.Faults{b.Locate(*f)}
	}
	if len(from.Shelf) == 0 {
		return tell(fault("brief.fault.shelf_empty"))
	}
	for _, key := range []string{"site", "bed", "raft", "water", "target", "mix", "shelf file"} {
		if n := from.doc.kid(key); n != nil && n.shape != blank {
			return tell(fault("brief.fault.shelf_section", "Section", key))
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
			return tell(fault("brief.fault.shelf_currency", "Product", clip(p.Name.Value), "This", p.Price.Value.Currency, "Other", currency))
		}
		p.At, p.Name.At, p.TenSpoons.At, p.Filed = at, at, at, true
		for i := range p.EachSpoon {
			p.EachSpoon[i].At = at
		}
		b.Shelf = append(b.Shelf, p)
	}
	return nil
}

// nameShelf gives each product without a name that of its grade or its formula, and
// reads a name that is a grade.
func (b *Brief) nameShelf() {
	for i := range b.Shelf {
		p := &b.Shelf[i]
		if grade, is := gradeOf(p.Name.Value); is && !p.Label.Given && !p.Formula.Given {
			p.Label = Field[Grade]{Value: grade, Given: true, At: p.Name.At}
		}
		switch {
		case p.Name.Value != "":
		case p.Label.Given:
			p.Name.Value = p.Label.Value.String()
		case p.Formula.Given:
			p.Name.Value = p.Formula.Value
		}
	}
}

// IsGrade says that three numbers are all that is known of the product.
func (p Product) IsGrade() bool {
	return p.Label.Given && !p.Formula.Given && len(p.Contents.Each()) == 0
}

// gradeOf reads a text as the three numbers of a label.
func gradeOf(text string) (Grade, bool) {
	if strings.Count(text, "-") != 2 && strings.Count(text, "–") == 0 {
		return Grade{}, false
	}
	s := &spec{form: gradeForm()}
	all, bad := s.form.read(s, text)
	if bad != nil || len(all) == 0 {
		return Grade{}, false
	}
	return all[0].Value.(Grade), true
}
