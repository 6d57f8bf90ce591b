package web

import "raftwright/store"

// again is a question after which to ask again, with what writes down that it was done.
type again struct{ Name, To, On, Referred, ID, Day string }

// askAgain lists the questions after which to ask again: those whose day has come, the longest due first.
func (v *visit) askAgain() (out []again, err error) {
	err = v.withBook(func() error {
		if err := v.readBook(); err != nil {
			return err
		}
		for _, q := range v.House.year.records.AskAgainDue(v.dayNow()) {
			to, err := v.addressOf("inquiries", q.Question)
			if err != nil {
				return err
			}
			if to == "" { // rows before it were not read: they are told of where the report is made
				continue
			}
			if out = append(out, again{q.Question, to, v.words.Date(q.On.Time()), q.Referred, store.NewIDIn(correctionsLedger), v.officeDay()}); len(out) == bookRows {
				break
			}
		}
		return nil
	})
	return out, err
}
