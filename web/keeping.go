package web

import (
	"archive/zip"
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"html/template"
	"io"
	"maps"
	"net/http"
	"slices"
	"strings"
	"time"

	"raftwright/answer"
	"raftwright/answer/yearly"
	"raftwright/brief"
	"raftwright/finding"
	"raftwright/packet"
	"raftwright/press"
	"raftwright/programme"
	"raftwright/store"
)

// Faults of keeping.
const (
	FaultAnother  finding.ID = "web.fault.another"   // what is due is another than what was looked at
	FaultNoReader finding.ID = "web.fault.no_reader" // nobody says who read it

	FaultNoRequest finding.ID = "web.fault.no_request" // nobody says what was asked for, by which rule, or who looked
)

// officeDay is the day by the clock of the office, which is that of the server (TZ), as records have it.
func (v *visit) officeDay() string { return v.Now().Local().Format(time.DateOnly) }

// dayNow is the same as a day.
func (v *visit) dayNow() programme.Day {
	d, _ := programme.ParseDay(v.officeDay())
	return d
}

// theRecords reads the records for who may read them, and shows what is wrong in them.
func (v *visit) theRecords(do func(r programme.Records) error) error {
	return v.withBook(func() error {
		if err := v.readBook(); err != nil {
			return err
		}
		missing := func(f finding.Fault) bool { return f.ID == programme.FaultNothing } // a table that a report needs, and this does not
		if wrong := slices.DeleteFunc(slices.Clone(v.House.year.faults), missing); len(wrong) > 0 {
			return v.bookFaults(wrong)
		}
		return do(v.House.year.records)
	})
}

// keepingSheets are the pages of keeping.
func (v *visit) keepingSheets(at string) (out []link) {
	out = append(out, link{v.say("web.book.title"), "/program"})
	for _, n := range []string{"due", "consents", "words", "copy"} {
		to := "/keeping/" + n
		if n == at {
			to = ""
		}
		out = append(out, link{v.say("web.keeping.sheet." + n), to})
	}
	return out
}

func (v *visit) keepingSheet(at string) sheet {
	return sheet{Title: v.say("web.keeping.title." + at), Of: v.say("web.keeping.of." + at), Sheets: v.keepingSheets(at)}
}

// markOf tells one list of what is due from another.
func markOf(list []programme.Due) string {
	sum := sha256.New()
	for _, d := range list {
		fmt.Fprintln(sum, d.Table, d.Record, d.Rule, d.Held)
	}
	return hex.EncodeToString(sum.Sum(nil)[:8])
}

// due lists what is kept too long.
func (v *visit) due() error { return v.showDue(http.StatusOK, nil, "") }

func (v *visit) showDue(status int, told []wrong, done string) error {
	return v.theRecords(func(r programme.Records) error {
		list, faults := r.DueOn(v.dayNow())
		type row struct{ Table, Record, On, Rule, Held string }
		body := struct {
			Mark, Done, By string
			Rows           []row
			Staff          []string
			Told           []wrong
			May, Some      bool
		}{Mark: markOf(list), Done: done, By: v.PostFormValue("by"), Told: told, May: v.who.Heads()}
		for _, f := range faults {
			what, right := v.words.Fault(f)
			body.Told = append(body.Told, wrong{what, right})
		}
		for _, d := range list {
			x := row{v.say("web.book.table." + d.Table), d.Record, v.words.Date(d.On.Time()), d.Rule, d.Held}
			if d.Rule == programme.Withdrawn {
				x.Rule = v.say("keeping.withdrawn")
			}
			switch {
			case d.Until != 0:
				x.Held = v.say("keeping.sealed", "Source", d.Held, "Day", v.words.Date(d.Until.Time()))
			case d.Held != "":
				x.Held = v.say("web.keeping.sealed", "Name", d.Held)
			}
			body.Some = body.Some || d.Held == ""
			body.Rows = append(body.Rows, x)
		}
		for _, p := range r.People {
			if p.Role == "staff" {
				body.Staff = append(body.Staff, p.ID)
			}
		}
		s := v.keepingSheet("due")
		s.Wide, s.Body = true, body
		return v.showAs(status, "due", s)
	})
}

// destroy empties what is due, once a person who looked at the list confirms it.
func (v *visit) destroy() error {
	if err := v.filled(); err != nil {
		return err
	}
	if err := v.theBook(); err != nil {
		return err
	}
	if !v.who.Heads() {
		return v.notYours("store.word.record", "")
	}
	if v.PostFormValue("looked") == "" || strings.TrimSpace(v.PostFormValue("by")) == "" {
		return v.showDue(http.StatusUnprocessableEntity, []wrong{{v.say("web.keeping.not_looked"), v.say("web.keeping.not_looked_right")}}, "")
	}
	n, sound := 0, false
	var faults finding.Faults
	err := v.theRecords(func(r programme.Records) (err error) {
		sound = true
		n, faults, err = v.emptied(r)
		return err
	})
	if err == nil && !sound { // what is wrong in the records was told
		return nil
	}
	if err == nil && len(faults) > 0 {
		err = faults[0]
	}
	if err != nil {
		return v.retell(func(status int, told []wrong) error { return v.showDue(status, told, "") }, err)
	}
	return v.showDue(http.StatusOK, nil, v.say("web.keeping.done", "Count", n))
}

// emptied empties what is due in the store: each row as the records without it have it, the names behind the codes that go, and a line
// for each that says so.
func (v *visit) emptied(r programme.Records) (n int, faults finding.Faults, err error) {
	day := v.dayNow()
	list, faults := r.DueOn(day)
	if len(faults) > 0 {
		return 0, faults, nil
	}
	if markOf(list) != v.PostFormValue("mark") {
		return 0, nil, finding.Fault{ID: FaultAnother}
	}
	out, done, faults := r.Destroy(day, strings.TrimSpace(v.PostFormValue("by")))
	if len(faults) > 0 || len(done) == 0 {
		return 0, faults, nil
	}
	gone := map[string]bool{}
	for _, d := range done {
		if d.Table == "people" {
			gone[d.Record] = true
		}
	}
	var empty []store.Emptied
	was, is := map[string]int{}, map[string]int{} // how many rows of a table were seen
	tables := map[string][2][][]string{}
	err = v.Store.EachRecord(v.context(), v.who, func(x store.Record) error {
		f, ok := programme.FormOf(x.Ledger)
		if !ok || x.Ledger == "destroyed" || x.Ledger == "repeats" {
			return nil
		}
		pair, ok := tables[x.Ledger]
		if !ok {
			pair = [2][][]string{r.Rows(x.Ledger), out.Rows(x.Ledger)}
			tables[x.Ledger] = pair
		}
		i := was[x.Ledger]
		if was[x.Ledger]++; i >= len(pair[0]) {
			return nil
		}
		old := pair[0][i]
		k := is[x.Ledger]
		same := k < len(pair[1]) && slices.Equal(old, pair[1][k])
		if !same && slices.Contains([]string{"people", "consents", "stories", "must_vanish"}, x.Ledger) { // of these rows go, and none is written anew: those behind it move up
			empty = append(empty, store.Emptied{ID: x.ID})
			return nil
		}
		if is[x.Ledger]++; !same && k < len(pair[1]) {
			row := store.Emptied{ID: x.ID}
			for n, c := range f.Fields {
				row.Row = append(row.Row, brief.Pair{Path: finding.Path(c.Name), Text: pair[1][k][n]})
			}
			empty = append(empty, row)
		}
		return nil
	})
	if err != nil {
		return 0, nil, err
	}
	var said []store.Record
	for table, had := range map[string]int{"destroyed": len(r.Destroyed), "repeats": len(r.Repeats)} { // what the program itself writes down
		f, _ := programme.FormOf(table)
		for _, row := range out.Rows(table)[had:] {
			x := store.Record{ID: store.NewID(), Ledger: table}
			for k, c := range f.Fields {
				x.Row = append(x.Row, brief.Pair{Path: finding.Path(c.Name), Text: row[k]})
			}
			said = append(said, x)
		}
	}
	return len(done), nil, v.Store.EmptyRecords(v.context(), v.who, empty, slices.Sorted(maps.Keys(gone)), said)
}

// wordsToRead lists the texts that the copy for the public withholds until somebody has read them.
func (v *visit) wordsToRead() error { return v.showWords(http.StatusOK, nil) }

// mostWords is how many texts a page shows to be read.
const mostWords = 40

func (v *visit) showWords(status int, told []wrong) error {
	return v.theRecords(func(r programme.Records) error {
		type row struct{ Number, Text, Where, Count string }
		body := struct {
			By    string
			Rows  []row
			Staff []string
			More  int
			Told  []wrong
			May   bool
		}{By: v.PostFormValue("by"), Told: told, May: v.who.Heads()}
		list := r.UnreadWords(v.dayNow())
		body.More = max(0, len(list)-mostWords)
		for i, w := range list[:min(mostWords, len(list))] {
			body.Rows = append(body.Rows, row{fmt.Sprint(i), w.Text, v.say("web.book.table."+w.Table) + ", " + v.columnName(w.Table, w.Column), v.say("web.book.rows", "Count", w.Count)})
		}
		for _, p := range r.People {
			if p.Role == "staff" {
				body.Staff = append(body.Staff, p.ID)
			}
		}
		s := v.keepingSheet("words")
		s.Body = body
		return v.showAs(status, "words", s)
	})
}

// release writes down which texts somebody has read and found fit for the public.
func (v *visit) release() error {
	if err := v.filled(); err != nil {
		return err
	}
	if err := v.theBook(); err != nil {
		return err
	}
	if !v.who.Heads() {
		return v.notYours("store.word.record", "")
	}
	by := strings.TrimSpace(v.PostFormValue("by"))
	if by == "" || len(by) > mostWith {
		return v.retell(v.showWords, finding.Fault{ID: FaultNoReader})
	}
	var list []store.Record
	sound := false
	err := v.theRecords(func(r programme.Records) error {
		sound = true
		unread := r.UnreadWords(v.dayNow())
		f, _ := programme.FormOf("cleared")
		for i := range min(mostWords, len(unread)) {
			text := v.PostFormValue(fmt.Sprintf("text%d", i)) // what was read, not what stands there now
			if v.PostFormValue(fmt.Sprintf("fit%d", i)) == "" || !slices.ContainsFunc(unread, func(w programme.Words) bool { return w.Text == text }) {
				continue
			}
			x := store.Record{ID: store.NewID(), Ledger: "cleared"}
			for _, c := range f.Fields {
				x.Row = append(x.Row, brief.Pair{Path: finding.Path(c.Name), Text: map[string]string{"text": text, "read_by": by, "read_on": v.officeDay()}[c.Name]})
			}
			list = append(list, x)
		}
		return nil
	})
	if err == nil && !sound {
		return nil
	}
	if err == nil && len(list) > 0 {
		err = v.Store.PutRecords(v.context(), v.who, list)
	}
	if err != nil {
		return v.retell(v.showWords, err)
	}
	return v.to("/keeping/words")
}

// copied shows what the copy for the public withholds, and asks for what stands in its log.
func (v *visit) copied() error { return v.showCopy(http.StatusOK, nil) }

func (v *visit) showCopy(status int, told []wrong) error {
	return v.theRecords(func(r programme.Records) error {
		day := v.dayNow()
		_, log, faults := r.Copy(day)
		body := struct {
			Told  []wrong
			May   bool
			Log   template.HTML
			Of    packet.Request
			Staff []string
		}{Told: told, May: v.who.Heads() && len(faults) == 0, Of: v.request()}
		for _, p := range r.People {
			if p.Role == "staff" {
				body.Staff = append(body.Staff, p.ID)
			}
		}
		for _, f := range faults {
			what, right := v.words.Fault(f)
			body.Told = append(body.Told, wrong{what, right})
		}
		doc := packet.WithheldBeside(log, day, v.words)
		var out bytes.Buffer
		if _, err := press.Fragment(doc, doc.Sections[0].Anchor(0), &out); err != nil {
			return err
		}
		body.Log = template.HTML(out.String())
		s := v.keepingSheet("copy")
		s.Body = body
		return v.showAs(status, "copy", s)
	})
}

// request reads why a copy is made.
func (v *visit) request() packet.Request {
	text := func(name string) string { return strings.TrimSpace(v.FormValue(name)) }
	return packet.Request{Asked: text("request"), Rule: text("rule"), Looked: text("looked")}
}

// takeCopy gives the copy for the public as an archive, and beside it its log, which stays with the office: without the request, the rule and who looked
// at it there is no copy.
func (v *visit) takeCopy() error {
	if err := v.theBook(); err != nil {
		return err
	}
	if !v.who.Heads() {
		return v.notYours("store.word.record", "")
	}
	of := v.request()
	if of.Asked == "" || of.Rule == "" || of.Looked == "" || len(of.Asked+of.Rule+of.Looked) > 3*mostWith {
		return v.retell(v.showCopy, finding.Fault{ID: FaultNoRequest})
	}
	return v.theRecords(func(r programme.Records) error {
		files, log, faults := r.Copy(v.dayNow())
		if len(faults) > 0 {
			return faults[0]
		}
		var out, told bytes.Buffer
		if err := press.Text(packet.WithheldLog(log, of, v.dayNow(), v.words), &told, 100); err != nil {
			return err
		}
		forPrograms := yearly.Log(log, v.dayNow())
		forPrograms.Request, forPrograms.Rule, forPrograms.Looked = of.Asked, of.Rule, of.Looked
		var plain bytes.Buffer
		if err := answer.Write(&plain, forPrograms); err != nil {
			return err
		}
		inside := map[string]string{"log.txt": told.String(), "log.json": plain.String()}
		for name, text := range files {
			inside["copy/"+name] = text
		}
		z := zip.NewWriter(&out)
		for _, name := range slices.Sorted(maps.Keys(inside)) {
			w, err := z.Create(name)
			if err == nil {
				_, err = io.WriteString(w, inside[name])
			}
			if err != nil {
				return err
			}
		}
		if err := z.Close(); err != nil {
			return err
		}
		return v.attach("application/zip", "copy.zip", out.Bytes())
	})
}
