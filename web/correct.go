package web

import (
	"net/http"
	"slices"
	"strings"

	"raftwright/brief"
	"raftwright/finding"
	"raftwright/programme"
	"raftwright/store"
)

// mendedIn is the table in which it is written that a row is otherwise: of what happened the corrections, else its own.
func mendedIn(f programme.Form) string {
	if f.Told {
		return correctionsLedger
	}
	return f.Table
}

// correctionsLedger is the table of corrections.
const correctionsLedger = "corrections"

// otherDay is the other of the two days of a beginning and an end, which is corrected in the same step where one alone would put the end first.
type otherDay struct{ ID, Field, Name, Now string }

// besideOf gives it with what stands there, or with what was sent for it.
func (v *visit) besideOf(f programme.Form, r store.Record, column string) (*otherDay, error) {
	out := &otherDay{ID: store.NewIDIn(correctionsLedger), Field: column, Name: v.columnName(f.Table, column), Now: v.PostFormValue("beside_new")}
	var err error
	if out.Now == "" {
		out.Now, err = v.standsNow(r, column)
	}
	return out, err
}

// standsNow is what a field of a row says with the corrections of today.
func (v *visit) standsNow(r store.Record, field string) (text string, err error) {
	text = cellOf(r, field)
	err = v.withBook(func() error {
		if err := v.readBook(); err != nil {
			return err
		}
		if said, is := v.House.year.records.Corrected(r.Ledger, r.Name, field, v.dayNow()); is {
			text = said
		}
		return nil
	})
	return text, err
}

// addCorrection adds a correction of a row of what happened, or two of one step where an end moves with its beginning.
func (v *visit) addCorrection(f programme.Form, r store.Record, id, here string) error {
	action := "change"
	if v.PostFormValue("do") == "void" {
		action = "void"
	}
	first, second := v.PostFormValue("field"), v.PostFormValue("beside")
	if second == first || action == "void" {
		second = ""
	}
	var list []store.Record
	var rows [][]string
	var told []wrong
	cf, _ := programme.FormOf(correctionsLedger)
	for _, of := range [][3]string{{id, first, "new"}, {v.PostFormValue("beside_id"), second, "beside_new"}} {
		if of[0] != id && second == "" {
			continue
		}
		if _, err := v.Store.Record(v.context(), v.who, of[0]); err == nil { // sent before
			continue
		}
		c, err := v.correction(f, r, of[0], action, of[1], v.PostFormValue(of[2]))
		if err != nil {
			return err
		}
		row := textsIn(cf, c)
		list, rows = append(list, c), append(rows, row)
		for _, f := range programme.Check(correctionsLedger, row, v.stands) {
			what, right := v.words.Fault(f)
			told = append(told, wrong{what, right})
		}
	}
	if len(told) > 0 {
		return v.showRecord(http.StatusUnprocessableEntity, nil, nil, told, second)
	}
	other, err := v.reverses(rows...)
	if err != nil {
		if second == "" {
			second = other
		}
		return v.retell(func(status int, told []wrong) error {
			if other != "" {
				told[0].Right = v.say("web.book.both_days", "Name", v.columnName(f.Table, second))
			}
			return v.showRecord(status, nil, nil, told, second)
		}, err)
	}
	if err := v.Store.PutRecords(v.context(), v.who, list); err != nil {
		return v.retell(func(status int, told []wrong) error { return v.showRecord(status, nil, nil, told, second) }, err)
	}
	return v.to(here)
}

// correction is the record of one, of today.
func (v *visit) correction(f programme.Form, r store.Record, id, action, field, text string) (store.Record, error) {
	text = strings.TrimSpace(text)
	if action == "void" {
		field, text = "", ""
	}
	if i := slices.IndexFunc(f.Fields, func(c programme.Field) bool { return c.Name == field }); i >= 0 {
		text = asNumber(f.Fields[i], text)
	}
	old, err := "", error(nil)
	if field != "" {
		old, err = v.standsNow(r, field)
	}
	name := coded("x", id)
	row := []string{name, v.officeDay(), f.Table, r.Name, action, field, old, text, strings.TrimSpace(v.PostFormValue("reason"))}
	cf, _ := programme.FormOf(correctionsLedger)
	out := store.Record{ID: id, Ledger: correctionsLedger, Name: name}
	for i, c := range cf.Fields {
		out.Row = append(out.Row, brief.Pair{Path: finding.Path(c.Name), Text: row[i]})
	}
	return out, err
}

// reverses refuses corrections that would put an end before its beginning: the book would be read no more. beside is the column to move with them.
func (v *visit) reverses(rows ...[]string) (beside string, err error) {
	err = v.withBook(func() error {
		if err := v.readBook(); err != nil {
			return err
		}
		other, faults := v.House.year.records.Reverses(rows...)
		if beside = other; len(faults) > 0 {
			return faults[0]
		}
		return nil
	})
	return beside, err
}
