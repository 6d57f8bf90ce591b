package sky

import (
	"encoding/csv"
	"errors"
	"math"
	"strconv"
	"strings"

	"raftwright/finding"
	"raftwright/internal/gate"
	"raftwright/internal/table"
	"raftwright/unit"
)

// File is a climate file: its name for messages, and its bytes, which whoever opened
// it has bounded.
type File struct {
	Name string
	Data []byte
}

// mostFaults of a file are told, no more.
const mostFaults = 20

// sheet reads a CSV file with a head row, one record at a time, and keeps the
// faults with their places.
type sheet struct {
	file    string
	in      *csv.Reader
	columns map[string]int
	head    []string
	rec     []string
	comma   bool // decimals are written with a comma
	faults  finding.Faults
}

// openSheet reads the head row. Names are brought to lower case, and blanks and
// hyphens to underscores.
func openSheet(f File) (*sheet, finding.Faults) {
	text := strings.TrimPrefix(string(f.Data), "\ufeff")
	t := &sheet{file: f.Name, in: csv.NewReader(strings.NewReader(text)), columns: map[string]int{}}
	if line, _, _ := strings.Cut(text, "\n"); strings.Count(line, ";") > strings.Count(line, ",") {
		t.in.Comma, t.comma = ';', true
	}
	t.in.Comment, t.in.ReuseRecord, t.in.TrimLeadingSpace, t.in.FieldsPerRecord = '#', true, true, -1
	if !t.next() {
		if t.faults == nil {
			return nil, t.only(table.FaultEmpty, nil)
		}
		return nil, t.faults
	}
	for i, name := range t.rec {
		n := plainName(gate.Clean(name))
		t.head = append(t.head, n)
		if _, twice := t.columns[n]; !twice && n != "" {
			t.columns[n] = i
		}
	}
	return t, nil
}

func plainName(s string) string {
	f := strings.FieldsFunc(strings.ToLower(s), func(r rune) bool {
		return r == ' ' || r == '-' || r == '_' || r == '(' || r == ')' || r == '[' || r == ']' || r == '/' || r == '°' || r == '.'
	})
	return strings.Join(f, "_")
}

// next moves to the next row; false at the end or when too much is wrong.
func (t *sheet) next() bool {
	if len(t.faults) >= mostFaults {
		return false
	}
	rec, err := t.in.Read()
	var where *csv.ParseError
	if errors.As(err, &where) {
		t.faults = append(t.faults, finding.Fault{ID: table.FaultFile, File: t.file, Line: where.Line, Column: max(1, where.Column)})
	}
	t.rec = rec
	return err == nil
}

// only gives one fault of the file as a whole.
func (t *sheet) only(id finding.ID, args finding.Args) finding.Faults {
	return finding.Faults{{ID: id, Args: args, File: t.file, Line: 1, Column: 1}}
}

// has says whether the column exists.
func (t *sheet) has(name string) bool { _, ok := t.columns[name]; return ok }

// first gives the first of several names that is a column, "" if none.
func (t *sheet) first(names ...string) string {
	for _, n := range names {
		if t.has(n) {
			return n
		}
	}
	return ""
}

// text gives a field of the row, "" when the column or the field is missing.
func (t *sheet) text(name string) string {
	i, ok := t.columns[name]
	if !ok || i >= len(t.rec) {
		return ""
	}
	return gate.Clean(strings.TrimSpace(t.rec[i]))
}

// wrong notes what is wrong with a field of this row.
func (t *sheet) wrong(id finding.ID, name string, args finding.Args) {
	f := finding.Fault{ID: id, Args: args, File: t.file}
	column := t.columns[name] // of a column that is not there: the first
	if column >= len(t.rec) {
		column = 0
	}
	f.Line, f.Column = t.in.FieldPos(column)
	t.faults = append(t.faults, f)
}

// number reads a field; given is false when it is blank or missing.
func (t *sheet) number(name string) (x float64, given bool) {
	s := t.text(name)
	if s == "" {
		return 0, false
	}
	if t.comma {
		s = strings.Replace(s, ",", ".", 1)
	}
	x, err := strconv.ParseFloat(s, 64)
	if err != nil || math.IsNaN(x) || math.IsInf(x, 0) || math.Abs(x) > 1e7 {
		t.wrong(FaultNumber, name, finding.Args{"Text": clip(s)})
		return 0, false
	}
	return x, true
}

// need is number for a field that must be there.
func (t *sheet) need(name string) float64 {
	before := len(t.faults)
	x, given := t.number(name)
	if !given && len(t.faults) == before {
		t.wrong(table.FaultBlank, name, finding.Args{"Name": name})
	}
	return x
}

// between is need for a figure with bounds.
func (t *sheet) between(name string, least, most float64) float64 {
	x := t.need(name)
	if x < least || x > most {
		t.wrong(table.FaultNumber, name, finding.Args{"Name": name, "Text": t.text(name), "Least": least, "Most": most})
	}
	return x
}

// missing faults the columns that the head row lacks.
func (t *sheet) missing(names ...string) bool {
	var out []string
	for _, n := range names {
		if !t.has(n) {
			out = append(out, n)
		}
	}
	if len(out) > 0 {
		t.faults = append(t.faults, t.only(FaultColumns, finding.Args{"Columns": strings.Join(out, ", "), "Near": unit.Near(out[0], t.head)})...)
	}
	return len(out) > 0
}
