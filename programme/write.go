package programme

import (
	"encoding/csv"
	"strings"
)

// Write gives the records as the files of a folder, by their names: what Read reads. Tables without a row are left out.
func Write(r Records) map[string]string {
	files := map[string]string{}
	for _, s := range sheets {
		rows := s.rows(&r)
		if rows.Len() == 0 {
			continue
		}
		var text strings.Builder
		out := csv.NewWriter(&text)
		line := make([]string, len(s.columns))
		for i, c := range s.columns {
			line[i] = c.name
		}
		out.Write(line)
		for i := range rows.Len() {
			for j, c := range s.columns {
				line[j] = c.text(rows.Index(i))
			}
			out.Write(line)
		}
		out.Flush()
		files[s.name+".csv"] = text.String()
	}
	return files
}

// columnsOf gives some columns of a text that Write wrote.
func columnsOf(text string, keep []int) string {
	rows, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	if err != nil {
		return "" // it was written just now
	}
	var some strings.Builder
	out := csv.NewWriter(&some)
	for _, row := range rows {
		var line []string
		for _, i := range keep {
			line = append(line, row[i])
		}
		out.Write(line)
	}
	out.Flush()
	return some.String()
}
