package web

import (
	"archive/zip"
	"bytes"
	"encoding/csv"
	"errors"
	"io"
	"net/http"
	"net/url"
	"path"
	"slices"
	"strconv"
	"strings"
	"time"

	"raftwright/brief"
	"raftwright/finding"
	"raftwright/programme"
	"raftwright/store"
)

// The book of a program: its records, a table each, as room programme defines them. What happened is written once,
// where it happens; a report reads it.

// Faults of the book.
const (
	FaultTable   finding.ID = "web.fault.table"    // no table of the book
	FaultRow     finding.ID = "web.fault.row"      // a row is not as its table wants it
	FaultZip     finding.ID = "web.fault.zip"      // no archive with tables
	FaultNoEmpty finding.ID = "web.fault.no_empty" // the book is not empty
)

// bookGroups are the tables in the order in which a reader looks for them, by what they are about.
var bookGroups = []struct {
	name   string
	tables []string
}{
	{"happened", []string{"events", "visits", "inquiries", "indirect", "harvests", "hours"}},
	{"asked", []string{"signins", "slips", "answers", "waves", "replies", "trials"}},
	{"stands", []string{"counties", "sites", "beds", "people", "consents"}},
	{"rules", []string{"funders", "rates", "prices", "audience", "efforts", "stories"}},
	{"watch", []string{"corrections", "cleared", "must_vanish", "published"}},
}

// bookRows is how many rows of a table a page shows; mostOffers how many names are offered to choose from.
const (
	bookRows   = 50
	mostOffers = 500
)

// theBook refuses who may not read the records.
func (v *visit) theBook() error {
	if !v.who.Accounts() {
		return v.notYours("store.word.record", "")
	}
	return nil
}

// book shows what there is: the tables with how many rows each has, and the way to the report.
func (v *visit) book() error {
	if err := v.theBook(); err != nil {
		return err
	}
	counts, err := v.Store.RecordCounts(v.context(), v.who)
	if err != nil {
		return err
	}
	type row struct {
		Name, To, Help string
		Count          int
	}
	type group struct {
		Name string
		Rows []row
	}
	var groups []group
	n := 0
	for _, g := range bookGroups {
		out := group{Name: v.say("web.book.group." + g.name)}
		for _, t := range g.tables {
			out.Rows = append(out.Rows, row{v.say("web.book.table." + t), "/program/" + t, v.say("web.book.table_help." + t), counts[t]})
			n += counts[t]
		}
		groups = append(groups, out)
	}
	return v.show("book", sheet{Title: v.say("web.book.title"), Of: v.say("web.book.of"), Body: struct {
		Groups []group
		Empty  bool
		Begin  bool // counties and funders are wanted first
	}{groups, n == 0, counts["counties"] == 0 || counts["funders"] == 0}})
}

func bookForm(table string) (programme.Form, bool) {
	for _, f := range programme.Forms() {
		if f.Table == table {
			return f, true
		}
	}
	return programme.Form{}, false
}

func (v *visit) ledger() (programme.Form, error) {
	if err := v.theBook(); err != nil {
		return programme.Form{}, err
	}
	f, ok := bookForm(v.PathValue("ledger"))
	if !ok {
		return f, finding.Fault{ID: FaultTable, Args: finding.Args{"Name": v.PathValue("ledger")}}
	}
	return f, nil
}

// bookField is a field of a row with what is typed in it.
type bookField struct {
	Name, ID, Label, Kind string // Kind: text | long | word | day | whole | number
	Text                  string
	Options               []option
	Offers                []string // names to choose from while one types
	Need                  bool
	Wrong                 []wrong
}

// columnName is what a reader calls a column.
func (v *visit) columnName(table, column string) string {
	if id := "web.book.column_of." + table + "." + column; v.words.Can(id) {
		return v.say(id)
	}
	return v.say("web.book.column." + column)
}

// longTexts are columns that hold sentences.
var longTexts = map[string]bool{"note": true, "text": true, "reason": true, "what": true}

func (v *visit) bookFields(f programme.Form, row []string, bad map[int][]wrong) (out []bookField, err error) {
	for i, c := range f.Fields {
		b := bookField{Name: c.Name, ID: "f-" + strings.ReplaceAll(c.Name, "_", "-"), Label: v.columnName(f.Table, c.Name), Need: c.Need, Wrong: bad[i]}
		if i < len(row) {
			b.Text = row[i]
		}
		words := c.Words
		switch c.Kind {
		case programme.YesNoField:
			words = []string{"yes", "no"}
			fallthrough
		case programme.WordField:
			b.Kind = "word"
			if !slices.Contains(words, "") {
				b.Options = append(b.Options, option{"", v.say("web.book.choose"), b.Text == ""})
			}
			for _, w := range words {
				b.Options = append(b.Options, option{w, v.bookWord(w), w == b.Text})
			}
		case programme.DayField:
			b.Kind = "day"
		case programme.WholeField:
			b.Kind = "whole"
		case programme.NumberField:
			b.Kind = "number"
		default:
			if b.Kind = "text"; longTexts[c.Name] {
				b.Kind = "long"
			}
		}
		if c.Of != "" {
			if b.Offers, err = v.namesOf(c.Of); err != nil {
				return nil, err
			}
		}
		out = append(out, b)
	}
	return out, nil
}

// bookWord says a word of a table as a reader reads it.
func (v *visit) bookWord(w string) string {
	if w == "" {
		return v.say("web.book.blank")
	}
	if id := "web.book.word." + strings.NewReplacer(" ", "_", "+", "").Replace(w); v.words.Can(id) {
		return v.say(id)
	}
	return w
}

func (v *visit) namesOf(table string) (out []string, err error) {
	list, err := v.Store.LastRecords(v.context(), v.who, table, 0, mostOffers)
	for _, r := range list {
		out = append(out, r.Name)
	}
	slices.Sort(out)
	return slices.Compact(out), err
}

// textsIn gives the row of a record by the columns of its table.
func textsIn(f programme.Form, r store.Record) []string {
	out := make([]string, len(f.Fields))
	for i, c := range f.Fields {
		for _, p := range r.Row {
			if string(p.Path) == c.Name {
				out[i] = p.Text
			}
		}
	}
	return out
}

// fresh is the row of a new record: a name that nobody has, today, and what is usually the same as in the row before.
func (v *visit) fresh(f programme.Form, id string, like *store.Record) []string {
	row := make([]string, len(f.Fields))
	var before []string
	if like != nil {
		before = textsIn(f, *like)
	}
	for i, c := range f.Fields {
		switch {
		case i == 0 && f.Named && f.Told:
			row[i] = strings.ToUpper(f.Table[:1] + strings.ReplaceAll(id, "-", "")[25:]) // by chance: its order tells nothing
		case before != nil && (c.Of != "" || c.Kind == programme.DayField || c.Kind == programme.WordField || c.Kind == programme.YesNoField):
			row[i] = before[i]
		case c.Kind == programme.DayField && c.Need:
			row[i] = v.Now().Format(time.DateOnly)
		case c.Name == "education":
			row[i] = "yes"
		}
	}
	return row
}

// bookRow is a row of a table on a page.
type bookRow struct {
	To, Name string
	Cells    []string
}

// ledgerPage shows a table: a form for a new row, and the rows, the latest first.
func (v *visit) ledgerPage() error {
	f, err := v.ledger()
	if err != nil {
		return err
	}
	id := store.NewID()
	var like *store.Record
	if of := v.URL.Query().Get("like"); of != "" {
		if r, err := v.Store.Record(v.context(), v.who, of); err == nil && r.Ledger == f.Table {
			like = &r
		}
	}
	return v.showLedger(http.StatusOK, f, id, v.fresh(f, id, like), nil, nil, like)
}

func (v *visit) showLedger(status int, f programme.Form, id string, row []string, bad map[int][]wrong, told []wrong, kept *store.Record) error {
	fields, err := v.bookFields(f, row, bad)
	if err != nil {
		return err
	}
	before, _ := strconv.ParseInt(v.URL.Query().Get("before"), 10, 64)
	list, err := v.Store.LastRecords(v.context(), v.who, f.Table, before, bookRows+1)
	if err != nil {
		return err
	}
	body := struct {
		Table, ID, Older string
		Fields           []bookField
		Heads            []string
		Rows             []bookRow
		Told             []wrong
		Kept             *bookRow
		More             []link
	}{Table: f.Table, ID: id, Fields: fields, Told: told}
	if len(list) > bookRows {
		list = list[:bookRows]
		body.Older = strconv.FormatInt(list[bookRows-1].Order, 10)
	}
	for _, c := range f.Fields {
		body.Heads = append(body.Heads, v.columnName(f.Table, c.Name))
	}
	for _, r := range list {
		body.Rows = append(body.Rows, v.bookRow(f, r))
	}
	if kept != nil {
		r := v.bookRow(f, *kept)
		body.Kept = &r
	}
	if f.Table == "events" {
		body.More = []link{{v.say("web.book.sign_in"), "/program/signins"}, {v.say("web.book.slips"), "/program/slips"}}
	}
	return v.showAs(status, "ledger", sheet{Title: v.say("web.book.table." + f.Table), Of: v.say("web.book.table_help." + f.Table), Sheets: v.bookSheets(f.Table), Body: body})
}

func (v *visit) bookRow(f programme.Form, r store.Record) bookRow {
	out := bookRow{To: "/program/" + f.Table + "/" + r.ID, Cells: textsIn(f, r)}
	for i, c := range f.Fields {
		if c.Kind == programme.WordField || c.Kind == programme.YesNoField {
			out.Cells[i] = v.bookWord(out.Cells[i])
		}
	}
	if out.Name = out.Cells[0]; out.Name == "" {
		out.Name = v.say("web.book.row")
	}
	return out
}

// bookSheets are the tables beside one.
func (v *visit) bookSheets(at string) (out []link) {
	out = append(out, link{v.say("web.book.title"), "/program"})
	for _, g := range bookGroups {
		if !slices.Contains(g.tables, at) {
			continue
		}
		for _, t := range g.tables {
			l := link{v.say("web.book.table." + t), "/program/" + t}
			if t == at {
				l.To = ""
			}
			out = append(out, l)
		}
	}
	return out
}

// typed gives the row that a form says, and its record.
func (v *visit) typed(f programme.Form, id string) ([]string, store.Record) {
	row := make([]string, len(f.Fields))
	r := store.Record{ID: id, Ledger: f.Table}
	for i, c := range f.Fields {
		row[i] = strings.TrimSpace(v.PostFormValue(c.Name))
		r.Row = append(r.Row, brief.Pair{Path: finding.Path(c.Name), Text: row[i]})
	}
	if f.Named {
		r.Name = row[0]
	}
	return row, r
}

// stands asks whether a table has a row of a name.
func (v *visit) stands(table, name string) bool {
	ok, err := v.Store.RecordStands(v.context(), v.who, table, name)
	return err == nil && ok
}

// badFields words faults by the number of their field.
func (v *visit) badFields(faults finding.Faults) map[int][]wrong {
	bad := map[int][]wrong{}
	for _, f := range faults {
		what, right := v.words.Fault(f)
		bad[max(0, f.Column-1)] = append(bad[max(0, f.Column-1)], wrong{what, right})
	}
	return bad
}

// addRow keeps a new row and shows the form again, filled with what is usually the same.
func (v *visit) addRow() error {
	f, err := v.ledger()
	if err != nil {
		return err
	}
	if err := v.filled(); err != nil {
		return err
	}
	id := v.PostFormValue("id")
	row, r := v.typed(f, id)
	if _, err := v.Store.Record(v.context(), v.who, id); err != nil { // not sent before
		if faults := programme.Check(f.Table, row, v.stands); len(faults) > 0 {
			return v.showLedger(http.StatusUnprocessableEntity, f, id, row, v.badFields(faults), []wrong{{v.say("web.fault.row"), v.say("right.web.fault.row")}}, nil)
		}
	}
	if _, err := v.Store.PutRecord(v.context(), v.who, id, 0, r); err != nil {
		return v.retell(func(status int, told []wrong) error { return v.showLedger(status, f, id, row, nil, told, nil) }, err)
	}
	return v.to("/program/" + f.Table + "?like=" + url.QueryEscape(id))
}

// record shows a row with who wrote it and what was corrected, and a form for what is to change.
func (v *visit) record() error { return v.showRecord(http.StatusOK, nil, nil, nil) }

func (v *visit) showRecord(status int, row []string, bad map[int][]wrong, told []wrong) error {
	f, err := v.ledger()
	if err != nil {
		return err
	}
	r, err := v.Store.Record(v.context(), v.who, v.PathValue("record"))
	if err != nil {
		return err
	}
	if r.Ledger != f.Table {
		return finding.Fault{ID: store.FaultNotFound, Args: finding.Args{"Thing": finding.Word("store.word.record"), "Name": r.ID}}
	}
	past, err := v.Store.RecordHistory(v.context(), v.who, r.ID)
	if err != nil {
		return err
	}
	type version struct {
		When  string
		Cells []string
	}
	type pair struct{ Name, Text string }
	body := struct {
		Table, Record, ID string
		Saw               int
		Pairs             []pair
		Past              []version
		Heads             []string
		Fields            []bookField // of a row that is written anew
		Columns           []option    // of a correction
		Told              []wrong
		Corrected         []bookRow
		Correctable       bool
	}{Table: f.Table, Record: r.ID, ID: store.NewID(), Saw: r.Version, Told: told, Correctable: f.Told && f.Named && f.Table != "corrections"}
	shown := v.bookRow(f, r)
	for i, c := range f.Fields {
		body.Heads = append(body.Heads, v.columnName(f.Table, c.Name))
		body.Pairs = append(body.Pairs, pair{body.Heads[i], shown.Cells[i]})
		if i > 0 {
			body.Columns = append(body.Columns, option{c.Name, body.Heads[i], v.PostFormValue("field") == c.Name})
		}
	}
	for _, p := range past {
		body.Past = append(body.Past, version{v.moment(p.Recorded), v.bookRow(f, p).Cells})
	}
	if !f.Told {
		if row == nil {
			row = textsIn(f, r)
		}
		if body.Fields, err = v.bookFields(f, row, bad); err != nil {
			return err
		}
	} else if body.Correctable {
		corrections, err := v.Store.LastRecords(v.context(), v.who, "corrections", 0, mostOffers)
		if err != nil {
			return err
		}
		cf, _ := bookForm("corrections")
		for _, c := range corrections {
			if of := textsIn(cf, c); of[2] == f.Table && of[3] == r.Name {
				body.Corrected = append(body.Corrected, v.bookRow(cf, c))
			}
		}
	}
	s := sheet{Title: shown.Name, Of: v.say("web.book.table." + f.Table), Sheets: append(v.bookSheets(f.Table), link{shown.Name, ""}), Body: body}
	for i := range s.Sheets {
		if s.Sheets[i].To == "" && i < len(s.Sheets)-1 {
			s.Sheets[i].To = "/program/" + f.Table
		}
	}
	return v.showAs(status, "record", s)
}

// changeRecord writes a row anew where its table says what there is; of what happened it adds a correction.
func (v *visit) changeRecord() error {
	f, err := v.ledger()
	if err != nil {
		return err
	}
	if err := v.filled(); err != nil {
		return err
	}
	r, err := v.Store.Record(v.context(), v.who, v.PathValue("record"))
	if err != nil {
		return err
	}
	here := "/program/" + f.Table + "/" + r.ID
	id := v.PostFormValue("id")
	if f.Told {
		return v.addCorrection(f, r, id, here)
	}
	row, next := v.typed(f, r.ID)
	stands := func(table, name string) bool { return !(table == f.Table && name == r.Name) && v.stands(table, name) }
	if faults := programme.Check(f.Table, row, stands); len(faults) > 0 {
		return v.showRecord(http.StatusUnprocessableEntity, row, v.badFields(faults), []wrong{{v.say("web.fault.row"), v.say("right.web.fault.row")}})
	}
	saw, _ := strconv.Atoi(v.PostFormValue("saw"))
	if _, err := v.Store.PutRecord(v.context(), v.who, id, max(saw, 1), next); err != nil {
		return v.retell(func(status int, told []wrong) error { return v.showRecord(status, row, nil, told) }, err)
	}
	return v.to(here)
}

func (v *visit) addCorrection(f programme.Form, r store.Record, id, here string) error {
	field, text := v.PostFormValue("field"), strings.TrimSpace(v.PostFormValue("new"))
	action, old := "change", ""
	if v.PostFormValue("do") == "void" {
		action, field, text = "void", "", ""
	}
	for _, p := range r.Row {
		if string(p.Path) == field {
			old = p.Text
		}
	}
	name := "X" + strings.ToUpper(strings.ReplaceAll(id, "-", "")[min(25, len(strings.ReplaceAll(id, "-", ""))):])
	row := []string{name, v.Now().Format(time.DateOnly), f.Table, r.Name, action, field, old, text, strings.TrimSpace(v.PostFormValue("reason"))}
	cf, _ := bookForm("corrections")
	correction := store.Record{ID: id, Ledger: "corrections", Name: name}
	for i, c := range cf.Fields {
		correction.Row = append(correction.Row, brief.Pair{Path: finding.Path(c.Name), Text: row[i]})
	}
	fail := func(status int, told []wrong) error { return v.showRecord(status, nil, nil, told) }
	if _, err := v.Store.Record(v.context(), v.who, id); err != nil { // not sent before
		if faults := programme.Check("corrections", row, v.stands); len(faults) > 0 {
			var told []wrong
			for _, f := range faults {
				what, right := v.words.Fault(f)
				told = append(told, wrong{what, right})
			}
			return fail(http.StatusUnprocessableEntity, told)
		}
	}
	if _, err := v.Store.PutRecord(v.context(), v.who, id, 0, correction); err != nil {
		return v.retell(fail, err)
	}
	return v.to(here)
}

// bookFiles writes the records as the files of the open form.
func (v *visit) bookFiles() (map[string]string, error) {
	forms := map[string]programme.Form{}
	writers := map[string]*csv.Writer{}
	texts := map[string]*strings.Builder{}
	err := v.Store.EachRecord(v.context(), v.who, func(r store.Record) error {
		f, ok := forms[r.Ledger]
		if !ok {
			if f, ok = bookForm(r.Ledger); !ok {
				return nil // of a newer program
			}
			forms[r.Ledger], texts[r.Ledger] = f, &strings.Builder{}
			w := csv.NewWriter(texts[r.Ledger])
			writers[r.Ledger] = w
			var head []string
			for _, c := range f.Fields {
				head = append(head, c.Name)
			}
			if err := w.Write(head); err != nil {
				return err
			}
		}
		return writers[r.Ledger].Write(textsIn(f, r))
	})
	files := map[string]string{}
	for name, w := range writers {
		w.Flush()
		files[name+".csv"] = texts[name].String()
	}
	return files, err
}

// takeBook gives all records as the open form: a folder of CSV files in an archive.
func (v *visit) takeBook() error {
	if err := v.theBook(); err != nil {
		return err
	}
	files, err := v.bookFiles()
	if err != nil {
		return err
	}
	var out bytes.Buffer
	z := zip.NewWriter(&out)
	for _, f := range programme.Forms() {
		text, ok := files[f.Table+".csv"]
		if !ok {
			continue
		}
		w, err := z.Create("program/" + f.Table + ".csv")
		if err == nil {
			_, err = io.WriteString(w, text)
		}
		if err != nil {
			return err
		}
	}
	if err := z.Close(); err != nil {
		return err
	}
	h := v.out.Header()
	h.Set("Content-Type", "application/zip")
	h.Set("Content-Disposition", `attachment; filename="program.zip"`)
	_, err = v.out.Write(out.Bytes())
	return err
}

// mostUnpacked bounds what an archive unpacks to, in all.
const mostUnpacked = 64 << 20

// fillBook fills an empty book from such an archive, all of it or nothing.
func (v *visit) fillBook() error {
	if err := v.theBook(); err != nil {
		return err
	}
	if err := v.filled(); err != nil {
		return err
	}
	counts, err := v.Store.RecordCounts(v.context(), v.who)
	if err != nil {
		return err
	}
	if len(counts) > 0 {
		return finding.Fault{ID: FaultNoEmpty}
	}
	file, head, err := v.FormFile("file")
	if err != nil {
		return finding.Fault{ID: FaultZip}
	}
	defer file.Close()
	files, err := unpacked(file, head.Size)
	if err != nil {
		return err
	}
	if _, faults := programme.Read(files); len(faults) > 0 {
		return v.bookFaults(faults)
	}
	var list []store.Record
	for _, f := range programme.Forms() {
		rows, err := csv.NewReader(strings.NewReader(strings.TrimPrefix(files[f.Table+".csv"], "\ufeff"))).ReadAll()
		if err != nil || len(rows) == 0 {
			continue // read above; a table that is not there
		}
		for _, row := range rows[1:] {
			r := store.Record{ID: store.NewID(), Ledger: f.Table}
			for _, c := range f.Fields {
				text := ""
				if i := slices.Index(rows[0], c.Name); i >= 0 {
					text = strings.TrimSpace(row[i])
				}
				r.Row = append(r.Row, brief.Pair{Path: finding.Path(c.Name), Text: text})
			}
			if f.Named {
				r.Name = r.Row[0].Text
			}
			list = append(list, r)
		}
	}
	if err := v.Store.PutRecords(v.context(), v.who, list); err != nil {
		return err
	}
	return v.to("/program")
}

func unpacked(file io.ReaderAt, size int64) (map[string]string, error) {
	z, err := zip.NewReader(file, size)
	if err != nil {
		return nil, finding.Fault{ID: FaultZip}
	}
	files, left := map[string]string{}, int64(mostUnpacked)
	for _, f := range z.File {
		name := path.Base(f.Name)
		if _, ok := bookForm(strings.TrimSuffix(name, ".csv")); !ok || f.FileInfo().IsDir() {
			continue
		}
		r, err := f.Open()
		if err != nil {
			return nil, finding.Fault{ID: FaultZip}
		}
		text, err := io.ReadAll(io.LimitReader(r, left+1))
		if err = errors.Join(err, r.Close()); err != nil {
			return nil, finding.Fault{ID: FaultZip}
		}
		if left -= int64(len(text)); left < 0 {
			return nil, finding.Fault{ID: FaultTooLong}
		}
		files[name] = string(text)
	}
	if len(files) == 0 {
		return nil, finding.Fault{ID: FaultZip}
	}
	return files, nil
}

// bookFaults shows everything that is wrong in the files of an archive, at its line.
func (v *visit) bookFaults(faults finding.Faults) error {
	type at struct{ Where, What, Right string }
	var rows []at
	for _, f := range faults[:min(len(faults), 200)] {
		what, right := v.words.Fault(f)
		rows = append(rows, at{f.File + ":" + strconv.Itoa(f.Line) + ":" + strconv.Itoa(f.Column), what, right})
	}
	return v.showAs(http.StatusUnprocessableEntity, "bookfaults", sheet{Title: v.say("web.book.faults"), Of: v.say("web.book.faults_of", "Count", len(faults)), Body: rows})
}
