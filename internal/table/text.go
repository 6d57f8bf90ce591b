package table

import (
	"encoding/csv"
	"slices"
	"strings"

	"raftwright/finding"
)

// Text is a table as it stands in its file.
type Text struct {
	File string
	Text string
	Key  []string // the columns that name what a row is of; none: the table is one whole
}

// Texts are tables by their files.
type Texts []Text

// Of gives the table of a file, an empty one where there is none.
func (t Texts) Of(file string) Text {
	for _, x := range t {
		if x.File == file {
			return x
		}
	}
	return Text{File: file}
}

// With gives the tables with another in place of that of the same file.
func (t Texts) With(x Text) Texts {
	out := slices.Clone(t)
	for i := range out {
		if out[i].File == x.File {
			out[i] = x
		}
	}
	return out
}

// Read reads the table of a file and gives each row to a function.
func (t Texts) Read(file string, each func(*Row)) finding.Faults {
	return Read(file, t.Of(file).Text, each)
}

// Over gives a table with a user's own on top: what a row of theirs is of, only their
// rows tell. Columns stand in any order; theirs may have some that ours has not.
func (t Text) Over(own string) Text {
	head, rows, ok := cells(own)
	if len(t.Key) == 0 || !ok {
		t.Text = own
		return t
	}
	ours, all, _ := cells(t.Text)
	name := func(head, row []string) (out string) {
		for _, k := range t.Key {
			if i := slices.Index(head, k); i >= 0 {
				out += strings.ToLower(strings.TrimSpace(row[i])) + "\x00"
			}
		}
		return out
	}
	taken := map[string]bool{}
	for _, r := range rows {
		taken[name(head, r)] = true
	}
	all = slices.DeleteFunc(all, func(r []string) bool { return taken[name(ours, r)] })
	columns := slices.Clone(ours)
	for _, c := range head {
		if !slices.Contains(ours, c) {
			columns = append(columns, c)
		}
	}
	var out strings.Builder
	w := csv.NewWriter(&out)
	_ = w.Write(columns) // a builder takes all that it is given
	for _, r := range all {
		_ = w.Write(append(r, make([]string, len(columns)-len(ours))...))
	}
	for _, r := range rows {
		line := make([]string, len(columns))
		for i, c := range columns {
			if at := slices.Index(head, c); at >= 0 {
				line[i] = r[at]
			}
		}
		_ = w.Write(line)
	}
	w.Flush()
	t.Text = out.String()
	return t
}

// cells gives the names of the columns and the rows of a table.
func cells(text string) (head []string, rows [][]string, ok bool) {
	in := csv.NewReader(strings.NewReader(strings.TrimPrefix(text, "\ufeff")))
	in.Comment = '#'
	rows, err := in.ReadAll()
	if err != nil || len(rows) == 0 {
		return nil, nil, false
	}
	for i, c := range rows[0] {
		rows[0][i] = strings.TrimSpace(c)
	}
	return rows[0], rows[1:], true
}
