package programme

import (
	"reflect"
	"slices"
	"strconv"
	"strings"

	"raftwright/finding"
	"raftwright/internal/table"
)

// sheet is a table of Records as its tags define it.
type sheet struct {
	name    string
	field   int // of Records
	row     reflect.Type
	columns []column
	id      int // the column that names a row; -1 where none does
}

// column is a column of a table.
type column struct {
	name        string
	field       int
	need        bool
	optional    bool   // a file may be without it
	added       bool   // not written where no row says anything in it
	of          string // the table in which what it says must stand
	words       []string
	least, most float64
	texts       bool // its field is a text
	day         bool // its field is a day
}

var sheets = define()

func define() []sheet {
	var out []sheet
	all := reflect.TypeFor[Records]()
	for i := range all.NumField() {
		name, ok := all.Field(i).Tag.Lookup("file")
		if !ok {
			continue
		}
		s := sheet{name: name, field: i, row: all.Field(i).Type.Elem(), id: -1}
		for j := range s.row.NumField() {
			tag := s.row.Field(j).Tag
			c := column{name: tag.Get("key"), field: j, need: tag.Get("need") != "", of: tag.Get("of"), added: tag.Get("added") != ""}
			if w, ok := tag.Lookup("words"); ok {
				c.words = strings.Split(w, "|")
			}
			c.least, _ = strconv.ParseFloat(tag.Get("least"), 64)
			c.most, _ = strconv.ParseFloat(tag.Get("most"), 64)
			if tag.Get("id") != "" {
				s.id, c.need = j, true
			}
			c.texts = s.row.Field(j).Type.Kind() == reflect.String
			c.day = s.row.Field(j).Type == reflect.TypeFor[Day]()
			switch s.row.Field(j).Type.Kind() {
			case reflect.Bool:
			case reflect.Int:
				c.optional = !c.need && c.day
			default:
				c.optional = !c.need && (c.words == nil || slices.Contains(c.words, ""))
			}
			s.columns = append(s.columns, c)
		}
		out = append(out, s)
	}
	return out
}

// place gives the number of a table, -1 for none of ours.
func place(name string) int {
	for i, s := range sheets {
		if s.name == name {
			return i
		}
	}
	return -1
}

func (s sheet) column(name string) (column, bool) {
	for _, c := range s.columns {
		if c.name == name {
			return c, true
		}
	}
	return column{}, false
}

// rows gives the rows of a table.
func (s sheet) rows(r *Records) reflect.Value { return reflect.ValueOf(r).Elem().Field(s.field) }

// corrected tells whether a correction can name rows of the table: by their id, of answers by their form.
func (s sheet) corrected() bool { return s.id == 0 || s.name == "answers" }

// Faults of a field that no other table has.
const (
	FaultDay finding.ID = "programme.fault.day" // no day of the calendar
)

// set puts a text into a field. With something wrong it gives the fault and its figures.
func (c column) set(row reflect.Value, text string) (finding.ID, finding.Args) {
	if text == "" && c.need {
		return table.FaultBlank, c.args(text)
	}
	to := row.Field(c.field)
	switch {
	case c.texts && c.words == nil:
		to.SetString(text)
	case c.texts:
		for _, w := range c.words {
			if w == text {
				to.SetString(w) // shared by all rows
				return "", nil
			}
		}
		args := c.args(text)
		args["Words"] = finding.AnyOf(c.words)
		return table.FaultWord, args
	case c.day:
		d, ok := ParseDay(text)
		if text != "" && !ok {
			return FaultDay, c.args(text)
		}
		to.SetInt(int64(d))
	default:
		return c.setNumber(to, text)
	}
	return "", nil
}

// setNumber puts a text into a field that holds a number, or yes or no.
func (c column) setNumber(field reflect.Value, text string) (finding.ID, finding.Args) {
	switch to := field.Addr().Interface().(type) {
	case *bool:
		*to = text == "yes"
		if text != "yes" && text != "no" {
			args := c.args(text)
			args["Words"] = finding.AnyOf{"yes", "no"}
			return table.FaultWord, args
		}
	case *int:
		n, err := strconv.Atoi(text)
		if err != nil || float64(n) < c.least || float64(n) > c.most {
			return table.FaultNumber, c.bounded(text)
		}
		*to = n
	case *Maybe:
		*to = Maybe{}
		if text == "" {
			return "", nil
		}
		n, err := strconv.Atoi(text)
		if err != nil || float64(n) < c.least || float64(n) > c.most {
			return table.FaultNumber, c.bounded(text)
		}
		*to = Maybe{true, n}
	case *Decimal:
		*to = Decimal{}
		if text == "" {
			return "", nil
		}
		d, ok := ParseDecimal(text)
		if !ok || d.Float() < c.least || d.Float() > c.most {
			return table.FaultNumber, c.bounded(text)
		}
		*to = d
	}
	return "", nil
}

// args are the figures of a fault of a field.
func (c column) args(text string) finding.Args { return finding.Args{"Name": c.name, "Text": text} }

func (c column) bounded(text string) finding.Args {
	args := c.args(text)
	args["Least"], args["Most"] = c.least, c.most
	return args
}

// text writes a field as set reads it.
func (c column) text(row reflect.Value) string {
	if c.texts { // nothing is copied
		return row.Field(c.field).String()
	}
	return string(c.append(nil, row))
}

// append puts a field as set reads it behind what is there.
func (c column) append(to []byte, row reflect.Value) []byte {
	field := row.Field(c.field)
	switch {
	case c.texts:
		return append(to, field.String()...)
	case c.day:
		return Day(field.Int()).append(to)
	}
	switch x := field.Addr().Interface().(type) {
	case *bool:
		if *x {
			return append(to, "yes"...)
		}
		return append(to, "no"...)
	case *int:
		return strconv.AppendInt(to, int64(*x), 10)
	case *Maybe:
		return append(to, x.String()...)
	case *Decimal:
		return append(to, x.String()...)
	}
	return to
}
