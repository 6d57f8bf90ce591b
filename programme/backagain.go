package programme

import (
	"slices"

	"raftwright/finding"
	"raftwright/internal/table"
)

// FaultBackAgain is a new yes to be held for a code whose person took one back.
const FaultBackAgain finding.ID = "programme.fault.back_again"

// BackAgain tells each new yes to be held of a code whose person took one back by its day, at its place in the text of consents.csv: one of no day too, since nobody knows that it
// came before. A report counts such a code as unnamed all the same; into a book it does not go, since its rows name nobody and are emptied. An earlier yes
// that was not ended with the other is no new one.
func (r Records) BackAgain(text string) finding.Faults {
	ended := map[string]Day{}
	for _, c := range r.Consents {
		if c.Purpose == "keep" && c.Withdrawn != 0 && (ended[c.Person] == 0 || c.Withdrawn < ended[c.Person]) {
			ended[c.Person] = c.Withdrawn
		}
	}
	if len(ended) == 0 {
		return nil
	}
	n := -1
	faults := table.Read("consents.csv", text, func(row *table.Row) {
		if n++; n >= len(r.Consents) {
			return
		}
		c := r.Consents[n]
		ends := ended[c.Person]
		if c.Purpose == "keep" && c.Withdrawn == 0 && ends != 0 && (c.Given == 0 || c.Given >= ends) {
			row.Wrong(FaultBackAgain, "person", finding.Args{"Name": c.Person, "Day": ends.Time()})
		}
	})
	return slices.DeleteFunc(faults, func(f finding.Fault) bool { return f.ID != FaultBackAgain })
}
