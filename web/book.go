package web

import (
	"maps"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"raftwright/brief"
	"raftwright/finding"
	"raftwright/internal/table"
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
	FaultRenamed finding.ID = "web.fault.renamed"  // a row is written anew under another name
)

// bookGroups are the tables in the order in which a reader looks for them, by what they are about.
var bookGroups = []struct {
	name   string
	tables []string
}{
	{"happened", []string{"events", "visits", "inquiries", "indirect", "harvests", "hours"}},
	{"asked", []string{"signins", "slips", "answers", "classes", "waves", "replies", "trials", "questions"}},
	{"stands", []string{"counties", "sites", "beds", "people", "consents"}},
	{"rules", []string{"funders", "rates", "prices", "audience", "efforts", "stories", "settings"}},
	{"time", []string{"keeping", "holds", "destroyed", "repeats"}},
	{"watch", []string{"corrections", "cleared", "must_vanish", "published"}},
}

// bookRows is how many rows of a table a page shows; mostOffers how many names are offered to choose from; mostWith bounds a
// text that an address fills in.
const (
	bookRows   = 50
	mostOffers = 500
	mostWith   = 200
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
		Doors  []way
		Empty  bool
		Begin  bool // counties and funders are wanted first
	}{groups, v.programDoors(), n == 0, counts["counties"] == 0 || counts["funders"] == 0}})
}

func (v *visit) ledger() (programme.Form, error) {
	if err := v.theBook(); err != nil {
		return programme.Form{}, err
	}
	f, ok := programme.FormOf(v.PathValue("ledger"))
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
	if id := "report.rule." + w; v.words.Can(id) { // as the report calls it
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
	row := r.Row
	out := make([]string, len(f.Fields))
	for i, c := range f.Fields {
		if i < len(row) && string(row[i].Path) == c.Name { // as it was written by this program
			out[i] = row[i].Text
			continue
		}
		for _, p := range row {
			if string(p.Path) == c.Name {
				out[i] = p.Text
			}
		}
	}
	return out
}

// coded is a name for a row by the end of its id, which is by chance: its order tells nothing.
func coded(first, id string) string { return strings.ToUpper(first + id[max(0, len(id)-7):]) }

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
			row[i] = coded(f.Table[:1], id)
		case c.Name == "ask_again", c.Name == "asked_again": // of one question alone
		case before != nil && (c.Of != "" || c.Kind == programme.DayField || c.Kind == programme.WordField || c.Kind == programme.YesNoField):
			row[i] = before[i]
		case c.Kind == programme.DayField && c.Need:
			row[i] = v.officeDay()
		case c.Name == "education":
			row[i] = "yes"
		case f.Table == "funders" && usualRules[c.Name] != "":
			row[i] = usualRules[c.Name]
		}
	}
	return row
}

// usualRules are what a funder who says nothing else is given to begin with: one contact a person and day, and no count of people under 11 (the cell size suppression
// policy of CMS, 2024).
var usualRules = map[string]string{"same_day": "once", "threshold": "11"}

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
	id := store.NewIDIn(f.Table)
	var like *store.Record
	if of := v.URL.Query().Get("like"); of != "" {
		if r, err := v.Store.Record(v.context(), v.who, of); err == nil && r.Ledger == f.Table {
			like = &r
		}
	}
	row := v.fresh(f, id, like)
	for i, c := range f.Fields { // what another page knows already
		if text := v.URL.Query().Get("with." + c.Name); text != "" && len(text) <= mostWith {
			row[i] = text
		}
	}
	return v.showLedger(http.StatusOK, f, id, row, nil, nil, like)
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
		Again            []again // questions after which to ask again
	}{Table: f.Table, ID: id, Fields: fields, Told: told}
	if f.Table == "inquiries" {
		if body.Again, err = v.askAgain(); err != nil {
			return err
		}
	}
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
		body.More = []link{{v.say("web.book.sign_in"), "/program/signins"}, {v.say("web.book.slips"), "/program/slips"}, {v.say("web.book.table.classes"), "/program/classes"}}
	}
	if f.Table == "waves" {
		for _, r := range list {
			body.More = append(body.More, link{v.say("web.wave.title", "Name", r.Name), "/program/wave/" + url.PathEscape(r.Name)})
		}
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

// withPoint writes a decimal comma as a point, as records have it: 12,5. With three digits behind it a comma may part thousands, and stays.
func withPoint(text string) string {
	const digits = "0123456789"
	whole, part, comma := strings.Cut(text, ",")
	if !comma || whole == "" || part == "" || len(part) > 2 || strings.Trim(whole+part, digits) != "" {
		return text
	}
	return whole + "." + part
}

// asNumber writes what was typed in a field as records have it.
func asNumber(c programme.Field, text string) string {
	if c.Kind == programme.NumberField {
		return withPoint(text)
	}
	return text
}

// typed gives the row that a form says, and its record.
func (v *visit) typed(f programme.Form, id string) ([]string, store.Record) {
	row := make([]string, len(f.Fields))
	r := store.Record{ID: id, Ledger: f.Table}
	for i, c := range f.Fields {
		row[i] = asNumber(c, strings.TrimSpace(v.PostFormValue(c.Name)))
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

// badFields words faults by the number of their field, with the names that stand on the page and not those of the files. Of a field in which nothing was chosen it says that.
func (v *visit) badFields(form programme.Form, faults finding.Faults) map[int][]wrong {
	bad := map[int][]wrong{}
	for _, f := range faults {
		at := max(0, f.Column-1)
		if at < len(form.Fields) {
			f.Args = v.asShown(form, form.Fields[at], f.Args)
		}
		what, right := v.words.Fault(f)
		if (f.ID == table.FaultWord || f.ID == table.FaultNumber) && f.Args["Text"] == "" {
			what = v.say(string(table.FaultBlank), "Name", f.Args["Name"])
		}
		bad[at] = append(bad[at], wrong{what, right})
	}
	return bad
}

// asShown gives what a fault of a field tells, as the page calls it: the field, the words to choose from, the table in which a code should stand.
func (v *visit) asShown(form programme.Form, c programme.Field, args finding.Args) finding.Args {
	args = maps.Clone(args)
	if args["Name"] == c.Name {
		args["Name"] = v.columnName(form.Table, c.Name)
	}
	if words, ok := args["Words"].(finding.AnyOf); ok && (c.Kind == programme.WordField || c.Kind == programme.YesNoField) {
		shown := make(finding.AnyOf, len(words))
		for i, w := range words {
			shown[i] = v.bookWord(w)
		}
		args["Words"] = shown
	}
	if file, ok := args["File"].(string); ok {
		if of, is := programme.FormOf(strings.TrimSuffix(file, ".csv")); is {
			args["File"] = v.say("web.book.table." + of.Table)
		}
	}
	return args
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
	if err := v.pooled(f, row, &r); err != nil {
		return err
	}
	if _, err := v.Store.Record(v.context(), v.who, id); err != nil { // not sent before
		if faults := programme.Check(f.Table, row, v.stands); len(faults) > 0 {
			return v.showLedger(http.StatusUnprocessableEntity, f, id, row, v.badFields(f, faults), []wrong{{v.say("web.fault.row"), v.say("right.web.fault.row")}}, nil)
		}
	}
	if err = v.wasSent(f, r); err == nil {
		err = v.backAgain(r)
	}
	if err == nil {
		_, err = v.Store.PutRecord(v.context(), v.who, id, 0, r)
	}
	if err == nil {
		err = v.heldNoMore(r)
	}
	if err != nil {
		return v.retell(func(status int, told []wrong) error { return v.showLedger(status, f, id, row, nil, told, nil) }, err)
	}
	return v.to("/program/" + f.Table + "?like=" + url.QueryEscape(id))
}

// record shows a row with who wrote it and what was corrected, and a form for what is to change.
func (v *visit) record() error { return v.showRecord(http.StatusOK, nil, nil, nil, "") }

// showRecord shows it with what is wrong in what was sent; beside is the column that a correction must move in the same step.
func (v *visit) showRecord(status int, row []string, bad map[int][]wrong, told []wrong, beside string) error {
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
		New, Reason       string      // of one that was sent and is not kept
		Beside            *otherDay   // what is corrected in the same step
		Told              []wrong
		Corrected         []bookRow
		Correctable       bool
	}{Table: f.Table, Record: r.ID, ID: store.NewIDIn(mendedIn(f)), Saw: r.Version, Told: told, Correctable: f.Told && f.Named && f.Table != "corrections", New: v.PostFormValue("new"), Reason: v.PostFormValue("reason")}
	shown := v.bookRow(f, r)
	for i, c := range f.Fields {
		body.Heads = append(body.Heads, v.columnName(f.Table, c.Name))
		body.Pairs = append(body.Pairs, pair{body.Heads[i], shown.Cells[i]})
		if i > 0 {
			body.Columns = append(body.Columns, option{c.Name, body.Heads[i], v.PostFormValue("field") == c.Name})
		}
	}
	for _, p := range past {
		body.Past = append(body.Past, version{v.written(p), v.bookRow(f, p).Cells})
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
		if beside != "" {
			if body.Beside, err = v.besideOf(f, r, beside); err != nil {
				return err
			}
		}
		cf, _ := programme.FormOf("corrections")
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
		return v.showRecord(http.StatusUnprocessableEntity, row, v.badFields(f, faults), []wrong{{v.say("web.fault.row"), v.say("right.web.fault.row")}}, "")
	}
	saw, _ := strconv.Atoi(v.PostFormValue("saw"))
	if err = v.wasSent(f, r, next); err == nil && f.Named && next.Name != r.Name {
		err = finding.Fault{ID: FaultRenamed, Args: finding.Args{"Name": r.Name}}
	}
	if err == nil {
		err = v.backAgain(next)
	}
	if err == nil {
		_, err = v.Store.PutRecord(v.context(), v.who, id, max(saw, 1), next)
	}
	if err == nil {
		err = v.heldNoMore(next)
	}
	if err != nil {
		return v.retell(func(status int, told []wrong) error { return v.showRecord(status, row, nil, told, "") }, err)
	}
	return v.to(here)
}
