package programme

import (
	"encoding/csv"
	"io"
	"reflect"
	"slices"
	"strings"
	"unicode/utf8"
)

// Write gives the records as the files of a folder, by their names: what Read reads. Tables without a row are left out, and columns that a
// folder may be without where no row says anything in them.
func Write(r Records) map[string]string {
	return write(r, func(s sheet, rows reflect.Value) []column { return s.saying(rows) })
}

// saying gives the columns that are written: all but those of which a folder may be without, where no row says anything in them.
func (s sheet) saying(rows reflect.Value) []column {
	return slices.DeleteFunc(slices.Clone(s.columns), func(c column) bool { return c.added && !said(rows, c) })
}

// said tells whether any row says something in a column.
func said(rows reflect.Value, c column) bool {
	for i := range rows.Len() {
		if !rows.Index(i).Field(c.field).IsZero() {
			return true
		}
	}
	return false
}

// write writes the tables with the columns that are wanted.
func write(r Records, wanted func(sheet, reflect.Value) []column) map[string]string {
	files := map[string]string{}
	for _, s := range sheets {
		rows := s.rows(&r)
		columns := wanted(s, rows)
		if rows.Len() == 0 || len(columns) == 0 {
			continue
		}
		var text strings.Builder
		s.write(rows, columns, &text)
		files[s.name+".csv"] = text.String()
	}
	return files
}

// write writes the rows of a table under their heads to what takes all that it is given.
func (s sheet) write(rows reflect.Value, columns []column, to io.Writer) {
	out, line := csv.NewWriter(to), make([]string, len(columns))
	for j, c := range columns {
		line[j] = c.name
	}
	out.Write(line)
	out.Flush()
	var plain []byte // rows that need no quotes, of which most are: encoding/csv would write them as they are
	flush := func() {
		to.Write(plain)
		plain = plain[:0]
	}
	for i := range rows.Len() {
		row, begin := rows.Index(i), len(plain)
		quotes := len(columns) == 1 // a blank alone in its row has some
		for j, c := range columns {
			if j > 0 {
				plain = append(plain, ',')
			}
			from := len(plain)
			plain = c.append(plain, row)
			quotes = quotes || c.texts && needsQuotes(plain[from:])
		}
		plain = append(plain, '\n')
		if quotes {
			plain = plain[:begin]
			flush()
			for j, c := range columns {
				line[j] = c.text(row)
			}
			out.Write(line)
			out.Flush()
		} else if len(plain) > 1<<14 {
			flush()
		}
	}
	flush()
}

// needsQuotes tells whether encoding/csv may put a field into quotes.
func needsQuotes(field []byte) bool {
	for _, c := range field {
		if c == ',' || c == '"' || c == '\n' || c == '\r' {
			return true
		}
	}
	return len(field) > 0 && (field[0] == '\\' || field[0] <= ' ' || field[0] >= utf8.RuneSelf)
}
