package programme

import (
	"cmp"
	"slices"
)

// AskAgain is a question after which somebody is to ask again.
type AskAgain struct {
	Question string
	On       Day // by which it was to be asked after
	Referred string
	Open     bool
}

// AskAgainDue lists the questions whose day to be asked after has come and of which nobody wrote down since that it was done or that they are closed, the
// longest due first. Of whom nothing may be held any more, or whose row was emptied, nobody can ask.
func (r Records) AskAgainDue(day Day) (out []AskAgain) {
	s := Records{Inquiries: r.Inquiries, Corrections: r.Corrections, Consents: r.Consents}.stand(day)
	open, empty, who := map[string]bool{}, map[string]bool{}, map[string]string{}
	for _, d := range r.Destroyed {
		empty[d.Record] = empty[d.Record] || d.Table == "inquiries"
	}
	for _, x := range r.Inquiries {
		if x.Status == "open" {
			open[x.ID] = true
		}
		if x.Person != "" {
			who[x.ID] = x.Person
		}
	}
	for _, x := range s.Inquiries {
		closed := open[x.ID] && x.Status == "closed" // by a correction: who answers at once writes closed and a day to ask
		if x.AskAgain != 0 && x.AskAgain <= day && x.Date <= day && (x.AskedAgain == 0 || x.AskedAgain > day) && !closed && !empty[x.ID] && !s.gone[who[x.ID]] {
			out = append(out, AskAgain{x.ID, x.AskAgain, x.Referred, x.Status == "open"})
		}
	}
	slices.SortStableFunc(out, func(a, b AskAgain) int { return cmp.Compare(a.On, b.On) })
	return out
}
