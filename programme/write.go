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
