package programme

import (
	"encoding/csv"
	"reflect"
	"strings"
)

// Write gives the records as the files of a folder, by their names: what Read reads. Tables without a row are left out, and columns that a
// folder may be without where no row says anything in them.
func Write(r Records) map[string]string {
	return write(r, func(_ sheet, c column, rows reflect.Value) bool { return !c.added || said(rows, c) })
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
func write(r Records, wanted func(sheet, column, reflect.Value) bool) map[string]string {
	files := map[string]string{}
	for _, s := range sheets {
		rows := s.rows(&r)
		var columns []column
		var line []string
		for _, c := range s.columns {
			if wanted(s, c, rows) {
				columns, line = append(columns, c), append(line, c.name)
			}
		}
		if rows.Len() == 0 || len(columns) == 0 {
			continue
		}
		var text strings.Builder
		out := csv.NewWriter(&text)
		out.Write(line)
		for i := range rows.Len() {
			for j, c := range columns {
				line[j] = c.text(rows.Index(i))
			}
			out.Write(line)
		}
		out.Flush()
		files[s.name+".csv"] = text.String()
	}
	return files
}
