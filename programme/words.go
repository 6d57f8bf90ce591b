package programme

import (
	"reflect"
	"slices"
)

// Words are a text in somebody's words, which a copy for the public withholds until a person has read it.
type Words struct {
	Text          string
	Table, Column string // where it stands first
	Count         int    // in how many rows
}

// UnreadWords lists the texts that stand in columns that may go and that nobody has read by a day, as the tables have them.
func (r Records) UnreadWords(day Day) (out []Words) {
	s := r.stand(day)
	read, at := map[string]bool{}, map[string]int{}
	for _, c := range r.Cleared {
		if c.On <= day {
			read[c.Text] = true
		}
	}
	for _, t := range sheets {
		rows := t.rows(&s.Records)
		for i := range rows.Len() {
			for _, c := range t.columns {
				v := rows.Index(i).Field(c.field)
				if v.Kind() != reflect.String || !slices.Contains(allowed[t.name], c.name) || !t.anybodys(c) {
					continue
				}
				text := v.String()
				if text == "" || read[text] {
					continue
				}
				if _, known := at[text]; !known {
					at[text] = len(out)
					out = append(out, Words{Text: text, Table: t.name, Column: c.name})
				}
				out[at[text]].Count++
			}
		}
	}
	return out
}

// anybodys tells whether a column holds text that is neither a name of a row or of another, nor one of the program's own words.
func (s sheet) anybodys(c column) bool {
	return c.words == nil && c.of == "" && (s.id < 0 || c.field != s.columns[s.id].field) && c.name != "series" && c.name != "table"
}

// Groups are the groups of the slip of 2024, in the order in which they are printed (SPD 15, 89 FR 22182).
func Groups() []string { return slices.Clone(groupNames) }
