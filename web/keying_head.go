package web

import (
	"slices"
	"strconv"
	"strings"

	"github.com/google/uuid"

	"raftwright/brief"
	"raftwright/finding"
	"raftwright/programme"
	"raftwright/store"
)

// headNumber is the number of the draft that holds the head of a sign-in sheet, headColumns are the columns of the event that stand on it.
const headNumber = "0"

var headColumns = []string{"adults", "youth", "minutes", "county", "asked_in", "served_in", "interpreter"}

// headField is a field of the head, with what the book says of the day.
type headField struct {
	Name, ID, Label, Text, Book string
	Wrong                       []wrong
}

// headColumns are the columns of the event that stand at the top of a pile's sheets.
func (p pile) headColumns() []string {
	switch p.kind {
	case signInSheet:
		return headColumns
	case tallySheet:
		return tallyHead
	}
	return nil
}

func isHead(d draft) bool { return d.number == headNumber }

// headID is the draft of the head of a keying.
func (p pile) headID(turn int) string {
	return uuid.NewSHA1(uuid.MustParse(p.ID), []byte("head "+strconv.Itoa(turn))).String()
}

// inBook gives what the book says of the day in a column.
func (p pile) inBook(column string) string {
	f, _ := programme.FormOf("events")
	row := programme.Records{Events: []programme.Event{p.of}}.Rows("events")[0]
	return row[slices.IndexFunc(f.Fields, func(c programme.Field) bool { return c.Name == column })]
}

// headFields gives the head of a sign-in sheet with what was keyed of it.
func (v *visit) headFields(p pile, list []draft) (out []headField) {
	kept := keyedCells{}
	if i := slices.IndexFunc(list, isHead); i >= 0 {
		kept = list[i].cells
	}
	for _, c := range p.headColumns() {
		f := headField{Name: "head:" + c, ID: "head-" + strings.ReplaceAll(c, "_", "-"), Label: v.columnName("events", c), Text: kept[c], Book: p.inBook(c)}
		if typed, ok := v.PostForm[f.Name]; ok {
			f.Text = strings.TrimSpace(typed[0])
			f.Wrong = v.headWrong(p, c, f.Text)
		}
		out = append(out, f)
	}
	return out
}

// headWrong tells what is wrong in a field of the head.
func (v *visit) headWrong(p pile, column, text string) []wrong {
	if text == "" {
		return nil
	}
	f, _ := programme.FormOf("events")
	row := programmeRow{"event": "-", "date": p.of.Date.String(), "county": p.of.County, "education": "yes", "adults": "0", "youth": "0"}
	row[column] = text
	faults := programme.Check("events", textsIn(f, rowOf("events", "", row)), func(table, name string) bool { return table != "events" && v.stands(table, name) })
	at := slices.IndexFunc(f.Fields, func(c programme.Field) bool { return c.Name == column })
	return v.badFields(f, faults)[at]
}

// keepHead keeps the head of a keying. It tells whether something is wrong with it.
func (v *visit) keepHead(p pile, turn int, kept map[string]*draft) (bool, error) {
	if len(p.headColumns()) == 0 {
		return false, nil
	}
	r := store.Record{ID: p.headID(turn), Ledger: p.ledgerOf(turn), Row: []brief.Pair{{Path: "number", Text: headNumber}}}
	some := false
	for _, c := range p.headColumns() {
		text := strings.TrimSpace(v.PostFormValue("head:" + c))
		if len(v.headWrong(p, c, text)) > 0 {
			return true, nil
		}
		if text != "" {
			some = true
			r.Row = append(r.Row, brief.Pair{Path: finding.Path(c), Text: text})
		}
	}
	saw := 0
	if old := kept[r.ID]; old != nil {
		if saw = old.Version; slices.Equal(old.Row, r.Row) {
			return false, nil
		}
	}
	if !some && saw == 0 {
		return false, nil
	}
	_, err := v.Store.PutRecord(v.context(), v.who, store.NewIDIn(r.Ledger), saw, r)
	return false, err
}

// headCorrections gives the corrections of the day that its sheet comes to: what the book says otherwise.
func (v *visit) headCorrections(p pile, cells keyedCells) (out []store.Record) {
	reason := v.say("web.keying.head_reason")
	if p.kind == tallySheet {
		reason = v.say("web.keying.tally_reason")
	}
	for _, c := range p.headColumns() {
		was := p.inBook(c)
		if cells[c] == "" || cells[c] == was {
			continue
		}
		r := p.asRecord("corrections", nil, "head "+c)
		out = append(out, rowOf("corrections", r.ID, programmeRow{"correction": coded("x", r.ID), "made_on": v.officeDay(), "table": "events", "record": p.event, "action": "change", "field": c, "old": was, "new": cells[c], "reason": reason}))
	}
	return out
}

// keepName keeps who a sheet says somebody is, apart from all drafts, where it can be forgotten: under the code of the person; where two key
// the same sheet, under a code of the keying until it is settled.
func (v *visit) keepName(p pile, id string, cells keyedCells, old *draft) error {
	code := cells["code"]
	if p.twice {
		code = ""
	}
	if code == "" || code == leftOut {
		code = coded("P", id)
	}
	there := store.Contact{Code: code}
	if _, typed := cells["who"]; old != nil && old.cells["fresh"]+old.cells["held"] != "" {
		var err error
		if _, also := cells["reach"]; !typed || !also { // one of both stays as it was written down
			if there, err = v.Store.ContactOf(v.context(), store.Holder(), code); err != nil {
				return err
			}
		}
	}
	said := false
	for name, to := range map[string]*string{"who": &there.Name, "reach": &there.Contact} {
		if text, typed := cells[name]; typed {
			if *to = text; text == leftOut {
				*to = ""
			}
			said = said || *to != "" || p.twice && old != nil && old.cells["held"] != ""
		}
		delete(cells, name)
	}
	if old != nil {
		cells["held"], cells["reached"] = old.cells["held"], old.cells["reached"]
	}
	if !said {
		return nil
	}
	cells["held"], cells["reached"] = "", ""
	if there.Contact != "" {
		cells["reached"] = "yes"
	}
	switch some := there.Name+there.Contact != ""; {
	case p.twice && some:
		cells["held"] = code
	case !p.twice && cells["code"] != code:
		cells["code"], cells["fresh"] = code, "yes"
	}
	return v.Store.PutContact(v.context(), v.who, there)
}
