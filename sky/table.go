package sky

import (
	"bufio"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"raftwright/internal/gate"
	"raftwright/unit"
)

// File is a climate file: its name for messages, and its bytes. Nothing here
// opens anything.
type File struct {
	Name string
	Data io.Reader
}

// Bounds of a climate file, far beyond any real one.
const (
	mostBytes  = 64 << 20
	mostFaults = 20
)

// table reads a CSV file with a head row, one record at a time, and keeps the
// faults with their places.
type table struct {
	file    string
	in      *csv.Reader
	columns map[string]int
	head    []string
	rec     []string
	comma   bool // decimals are written with a comma
	faults  []Fault
}

// openTable reads the head row. Names are brought to lower case, and blanks and
// hyphens to underscores.
func openTable(f File) (*table, error) {
	buf := bufio.NewReader(io.LimitReader(f.Data, mostBytes))
	if mark, _ := buf.Peek(3); string(mark) == "\ufeff" {
		_, _ = buf.Discard(3)
	}
	t := &table{file: f.Name, in: csv.NewReader(buf), columns: map[string]int{}}
	if first, _ := buf.Peek(2048); semicolons(string(first)) {
		t.in.Comma, t.comma = ';', true
	}
	t.in.Comment, t.in.ReuseRecord, t.in.TrimLeadingSpace, t.in.FieldsPerRecord = '#', true, true, -1
	head, err := t.in.Read()
	if err == io.EOF {
		return nil, Fault{File: f.Name, Line: 1, What: "the file is empty", Right: "its first row names the columns"}
	}
	if err != nil {
		return nil, t.csvFault(err)
	}
	for i, name := range head {
		n := plainName(name)
		t.head = append(t.head, n)
		if _, twice := t.columns[n]; !twice && n != "" {
			t.columns[n] = i
		}
	}
	return t, nil
}

func semicolons(s string) bool {
	line, _, _ := strings.Cut(s, "\n")
	return strings.Count(line, ";") > strings.Count(line, ",")
}

func plainName(s string) string {
	f := strings.FieldsFunc(strings.ToLower(s), func(r rune) bool {
		return r == ' ' || r == '-' || r == '_' || r == '(' || r == ')' || r == '[' || r == ']' || r == '/' || r == '°' || r == '.'
	})
	return strings.Join(f, "_")
}

func (t *table) csvFault(err error) Fault {
	var p *csv.ParseError
	if errors.As(err, &p) {
		return Fault{File: t.file, Line: p.Line, Column: p.Column, What: "this is not a row of a CSV file (" + p.Err.Error() + ")", Right: "separate the columns with commas and close every quote"}
	}
	return Fault{File: t.file, What: "the file cannot be read: " + err.Error()}
}

// next moves to the next row; false at the end or when too much is wrong.
func (t *table) next() bool {
	if len(t.faults) >= mostFaults {
		return false
	}
	rec, err := t.in.Read()
	if err == io.EOF {
		if t.in.InputOffset() >= mostBytes {
			t.faults = append(t.faults, Fault{File: t.file, What: "the file is larger than 64 MB", Right: "keep the years and columns that are needed"})
		}
		return false
	}
	if err != nil {
		t.faults = append(t.faults, t.csvFault(err))
		return false
	}
	t.rec = rec
	return true
}

// has says whether the column exists.
func (t *table) has(name string) bool { _, ok := t.columns[name]; return ok }

// first gives the first of several names that is a column, "" if none.
func (t *table) first(names ...string) string {
	for _, n := range names {
		if t.has(n) {
			return n
		}
	}
	return ""
}

// text gives a field of the row, "" when the column or the field is missing.
func (t *table) text(name string) string {
	i, ok := t.columns[name]
	if !ok || i >= len(t.rec) {
		return ""
	}
	return gate.Clean(strings.TrimSpace(t.rec[i]))
}

// fault notes what is wrong with a field of this row.
func (t *table) fault(name, what, right string) {
	f := Fault{File: t.file, Field: name, What: what, Right: right}
	if i, ok := t.columns[name]; ok && i < len(t.rec) {
		f.Line, f.Column = t.in.FieldPos(i)
	} else if len(t.rec) > 0 {
		f.Line, f.Column = t.in.FieldPos(0)
	}
	t.faults = append(t.faults, f)
}

// number reads a field; given is false when it is blank or missing.
func (t *table) number(name string) (x float64, given bool) {
	s := t.text(name)
	if s == "" {
		return 0, false
	}
	if t.comma {
		s = strings.Replace(s, ",", ".", 1)
	}
	x, err := strconv.ParseFloat(s, 64)
	if err != nil || math.IsNaN(x) || math.IsInf(x, 0) || math.Abs(x) > 1e7 {
		t.fault(name, fmt.Sprintf("%q is not a number", clip(s)), "write for example 12.5, or leave it blank")
		return 0, false
	}
	return x, true
}

// need is number for a field that must be there.
func (t *table) need(name string) float64 {
	before := len(t.faults)
	x, given := t.number(name)
	if !given && len(t.faults) == before {
		t.fault(name, name+" is blank", "fill it in or take the station out")
	}
	return x
}

// missing faults the columns that the head row lacks.
func (t *table) missing(names ...string) bool {
	var out []string
	for _, n := range names {
		if !t.has(n) {
			out = append(out, n)
		}
	}
	if len(out) > 0 {
		what := "the head row lacks the columns " + strings.Join(out, ", ")
		if near := unit.Near(out[0], t.head); near != "" {
			what += " (it has " + near + ")"
		}
		t.faults = append(t.faults, Fault{File: t.file, Line: 1, Column: 1, Field: out[0], What: what, Right: "name the columns as the manual lists them"})
	}
	return len(out) > 0
}

func clip(s string) string {
	if r := []rune(s); len(r) > 24 {
		return string(r[:24]) + "..."
	}
	return s
}
