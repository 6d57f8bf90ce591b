package programme

import (
	"encoding/csv"
	"reflect"
	"strings"

	"raftwright/finding"
)

// Form is a table of Records for who shows its rows and takes new ones.
type Form struct {
	Table  string
	Fields []Field
	Named  bool // the first field names the row
	Told   bool // what happened: a row is never written over, a correction is added
}

// Field is a column of a table.
type Field struct {
	Name        string
	Kind        FieldKind
	Need        bool
	Of          string   // the table in which what it says must stand
	Words       []string // what it may say
	Least, Most float64  // of a number
}

// FieldKind is what a field holds.
type FieldKind int

// Kinds of fields.
const (
	TextField FieldKind = iota
	WordField           // one of its Words
	YesNoField
	DayField
	WholeField
	NumberField
)

// FaultNote is a name that begins as a note in a file does.
const FaultNote finding.ID = "programme.fault.note"

// told are the tables of what happened and was counted. The others say what there is, and a row of theirs may be
// written anew: a site closes, a consent is withdrawn, a price gets its source.
var told = map[string]bool{"events": true, "signins": true, "slips": true, "visits": true, "inquiries": true, "indirect": true, "answers": true, "replies": true, "harvests": true, "hours": true, "trials": true, "corrections": true, "published": true, "destroyed": true, "settings": true, "funders": true, "classes": true}

// Forms lists the tables in the order in which they rest on each other.
func Forms() []Form { return formsIn(sheets) }

// FormOf gives one of them by its name.
func FormOf(table string) (Form, bool) {
	at := place(table)
	if at < 0 {
		return Form{}, false
	}
	return formsIn(sheets[at : at+1])[0], true
}

func formsIn(sheets []sheet) []Form {
	var out []Form
	for _, s := range sheets {
		f := Form{Table: s.name, Named: s.id == 0, Told: told[s.name]}
		for _, c := range s.columns {
			f.Fields = append(f.Fields, Field{Name: c.name, Kind: kindOf(s.row.Field(c.field).Type, c.words), Need: c.need, Of: c.of, Words: c.words, Least: c.least, Most: c.most})
		}
		out = append(out, f)
	}
	return out
}

// Rows gives the rows of a table as texts, one for each field of its form.
func (r Records) Rows(table string) (out [][]string) {
	at := place(table)
	if at < 0 {
		return nil
	}
	s := sheets[at]
	rows := s.rows(&r)
	for i := range rows.Len() {
		line := make([]string, len(s.columns))
		for j, c := range s.columns {
			line[j] = c.text(rows.Index(i))
		}
		out = append(out, line)
	}
	return out
}

func kindOf(t reflect.Type, words []string) FieldKind {
	switch reflect.Zero(t).Interface().(type) {
	case bool:
		return YesNoField
	case Day:
		return DayField
	case int, Maybe:
		return WholeField
	case Decimal:
		return NumberField
	}
	if words != nil {
		return WordField
	}
	return TextField
}

// Check tells what is wrong in one row of a table, a text for each column. The column of a fault is the number
// of the field, from 1. Stands tells whether a table has a row of a name.
func Check(table string, row []string, stands func(table, name string) bool) finding.Faults {
	at := place(table)
	if at < 0 {
		return finding.Faults{{ID: FaultTable, Args: finding.Args{"Text": table}}}
	}
	s := sheets[at]
	all := known{}
	note := func(table, name string) {
		if place(table) >= 0 && name != "" && stands(table, name) {
			if all[table] == nil {
				all[table] = map[string]bool{}
			}
			all[table][name] = true
		}
	}
	text := func(name string) string {
		for i, c := range s.columns {
			if c.name == name && i < len(row) {
				return row[i]
			}
		}
		return ""
	}
	var file strings.Builder
	out := csv.NewWriter(&file)
	head := make([]string, len(s.columns))
	for i, c := range s.columns {
		head[i] = c.name
		if c.of != "" {
			note(c.of, text(c.name))
		}
	}
	if table == "holds" {
		note(listOf(text("table")), text("record"))
	}
	if table == "corrections" {
		note(text("table"), text("record"))
		if at := place(text("table")); at >= 0 { // and what the corrected field would name
			if c, ok := sheets[at].column(text("field")); ok {
				note(c.of, text("new"))
			}
		}
	}
	line := make([]string, len(head))
	copy(line, row)
	if strings.HasPrefix(strings.TrimSpace(line[0]), "#") { // a file would take the line for a note
		return finding.Faults{{ID: FaultNote, Column: 1, Args: finding.Args{"Name": head[0]}}}
	}
	_, _ = out.Write(head), out.Write(line) // memory takes all
	out.Flush()
	var kept Records
	faults := s.read(&kept, file.String(), all, storyWords{})
	if s.id == 0 && len(row) > 0 && stands(table, row[0]) {
		faults = append(faults, finding.Fault{ID: FaultTwice, Line: 2, Column: 1, Args: finding.Args{"Name": head[0], "Text": row[0]}})
	}
	for i := range faults {
		faults[i].Line, faults[i].Column = 0, fieldAt(file.String(), faults[i].Line, faults[i].Column)+1
	}
	return faults
}

// fieldAt gives the number of the field of the row under the head that begins at a place of the text.
func fieldAt(text string, line, column int) int {
	r := csv.NewReader(strings.NewReader(text))
	var fields []string
	for range 2 {
		var err error
		if fields, err = r.Read(); err != nil {
			return 0
		}
	}
	for i := range fields {
		if l, c := r.FieldPos(i); l == line && c == column {
			return i
		}
	}
	return 0
}
