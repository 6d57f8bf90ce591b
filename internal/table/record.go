package table

import (
	"encoding/csv"
	"io"
	"strings"
)

// records reads CSV as encoding/csv does with # for notes, from a text that is in memory: a field without quotes is a part of the text, nothing is copied, and
// where it stands is looked for only when it is asked for. What is no CSV is read by encoding/csv, which says what is wrong.
type records struct {
	text   string
	at     int // where the next line begins
	line   int // its number, from 1
	width  int // fields of the first record; 0 before it
	begin  int // where the record that was read last begins
	number int // its line
	fields []string
	places []int // where each field begins
}

// read gives the next record. It is good until the next is read.
func (r *records) read() ([]string, error) {
	for {
		if r.at >= len(r.text) {
			return nil, io.EOF
		}
		line, after := r.text[r.at:], len(r.text)
		if i := strings.IndexByte(line, '\n'); i >= 0 {
			line, after = line[:i], r.at+i+1
		}
		line = strings.TrimSuffix(line, "\r")
		r.begin, r.number = r.at, r.line
		switch {
		case line == "" || line[0] == '#':
			r.at, r.line = after, r.line+1
			continue
		case strings.IndexByte(line, '"') >= 0:
			if !r.quoted() {
				return nil, r.wrong()
			}
		default:
			r.fields, r.places = r.fields[:0], r.places[:0]
			for from := 0; ; {
				r.places = append(r.places, r.begin+from)
				i := strings.IndexByte(line[from:], ',')
				if i < 0 {
					r.fields = append(r.fields, line[from:])
					break
				}
				r.fields = append(r.fields, line[from:from+i])
				from += i + 1
			}
			r.at, r.line = after, r.line+1
		}
		if r.width == 0 {
			r.width = len(r.fields)
		}
		if len(r.fields) != r.width {
			return r.fields, &csv.ParseError{StartLine: r.number, Line: r.number, Column: 1, Err: csv.ErrFieldCount}
		}
		return r.fields, nil
	}
}

// quoted reads a record with quotes. False where it is no CSV.
func (r *records) quoted() bool {
	r.fields, r.places = r.fields[:0], r.places[:0]
	for at := r.begin; ; {
		r.places = append(r.places, at)
		field, after, ok := field(r.text, at)
		if !ok {
			return false
		}
		r.fields = append(r.fields, field)
		rest := r.text[after:]
		if strings.HasPrefix(rest, ",") {
			at = after + 1
			continue
		}
		for _, end := range []string{"\n", "\r\n", "\r"} {
			if strings.HasPrefix(rest, end) {
				after += len(end)
				break
			}
		}
		r.line += strings.Count(r.text[r.begin:after], "\n")
		r.at = after
		return true
	}
}

// field gives the field that begins at a place, and where it ends.
func field(text string, at int) (field string, after int, ok bool) {
	if !strings.HasPrefix(text[at:], `"`) {
		after = len(text)
		if i := strings.IndexAny(text[at:], ",\n"); i >= 0 {
			after = at + i
		}
		if after == len(text) || text[after] == '\n' {
			after = at + len(strings.TrimSuffix(text[at:after], "\r"))
		}
		field = text[at:after]
		return field, after, strings.IndexByte(field, '"') < 0
	}
	var parts []string
	for from := at + 1; ; {
		i := strings.IndexByte(text[from:], '"')
		if i < 0 {
			return "", 0, false
		}
		after = from + i + 1
		if !strings.HasPrefix(text[after:], `"`) {
			parts = append(parts, text[from:after-1])
			break
		}
		parts = append(parts, text[from:after]) // with one of the two
		from = after + 1
	}
	field = strings.ReplaceAll(strings.Join(parts, ""), "\r\n", "\n")
	rest := text[after:]
	return field, after, rest == "" || rest == "\r" || rest[0] == ',' || rest[0] == '\n' || strings.HasPrefix(rest, "\r\n")
}

// wrong tells what encoding/csv finds wrong with the record that begins here.
func (r *records) wrong() error {
	in := csv.NewReader(strings.NewReader(r.text[r.begin:]))
	_, err := in.Read()
	r.at = len(r.text)
	if p, ok := err.(*csv.ParseError); ok {
		p.StartLine += r.number - 1
		p.Line += r.number - 1
	}
	return err
}

// place gives the line and the column in bytes, from 1, at which a field of the record begins; 0 of a row that stands in no file.
func (r *records) place(field int) (line, column int) {
	if field >= len(r.places) {
		return 0, 0
	}
	before := r.text[r.begin:r.places[field]]
	return r.number + strings.Count(before, "\n"), len(before) - strings.LastIndexByte(before, '\n')
}
