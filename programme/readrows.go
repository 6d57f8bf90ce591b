package programme

import (
	"encoding/csv"
	"maps"
	"slices"
	"strings"
	"unicode/utf8"

	"raftwright/finding"
	"raftwright/internal/table"
)

// Source gives the rows of tables to a function: of one table after the other, in the order in which they are asked for, the rows of each in theirs, a text for
// each field. The texts hold until the function ends. An error of the function ends it.
type Source func(tables []Form, row func(table string, texts []string) error) error

// ReadRows reads rows as ReadBook does the files of a folder that say the same, by the same rules. Where something is wrong, all is asked for a second time and written as
// such files, so that each fault has its file, line and column.
func ReadRows(from Source) (*Book, finding.Faults, error) {
	b := &Book{ids: known{}}
	fits, err := b.take(from)
	if err != nil || fits {
		b.leaveNames()
		return b, nil, err
	}
	files, err := FilesOf(from)
	if err != nil {
		return nil, nil, err
	}
	b, faults := ReadBook(files)
	return b, faults, nil
}

// take reads rows, the tables in the order in which the files of a folder are read. False where not all is right.
func (b *Book) take(from Source) (fits bool, err error) {
	r, story := &b.Records, storyWords{}
	var x *taking
	var row *table.Row
	missing, left := slices.Clone(needed), inOrder()
	begin := func(name string) bool {
		at := slices.IndexFunc(left, func(s sheet) bool { return s.name == name })
		if at < 0 {
			return false
		}
		if x != nil {
			x.done()
		}
		s := left[at]
		left, missing = left[at+1:], slices.DeleteFunc(missing, func(n string) bool { return n == name })
		x = s.taking(r, 0, b.ids, story)
		for j := range s.columns {
			x.places = append(x.places, j)
		}
		row = table.Rows(s.name+".csv", s.heads())
		return true
	}
	odd, ends := false, finding.Fault{ID: table.FaultFile} // whatever the source makes of it
	err = from(formsIn(left), func(name string, texts []string) error {
		if (x == nil || x.sheet.name != name) && !begin(name) || oddInFile(texts) {
			odd = true
			return ends
		}
		row.Next(texts)
		if x.take(row); row.Faulty() {
			odd = true
			return ends
		}
		return nil
	})
	switch {
	case odd:
		return false, nil
	case err != nil:
		return false, err
	case x != nil:
		x.done()
	}
	return len(missing) == 0 && len(r.reversed()) == 0, nil
}

// oddInFile tells whether a file would not say the same as these texts: a note, a letter that is none, an end of a line as another program writes it.
func oddInFile(texts []string) bool {
	if len(texts) == 0 || strings.HasPrefix(texts[0], "#") {
		return true
	}
	for _, t := range texts {
		for i := range len(t) {
			if c := t[i]; c == 0 || c == '\r' {
				return true
			} else if c >= utf8.RuneSelf {
				if !utf8.ValidString(t) || strings.ContainsRune(t, utf8.RuneError) || strings.ContainsAny(t, "\x00\r") {
					return true
				}
				break
			}
		}
	}
	return false
}

// FilesOf writes rows as the files of a folder, by their names.
func FilesOf(from Source) (map[string]string, error) {
	type file struct {
		text strings.Builder
		out  *csv.Writer
	}
	made := map[string]*file{}
	err := from(Forms(), func(name string, texts []string) error {
		f := made[name]
		if f == nil {
			at := place(name)
			if at < 0 {
				return nil
			}
			f = &file{}
			f.out = csv.NewWriter(&f.text)
			made[name] = f
			if err := f.out.Write(sheets[at].heads()); err != nil {
				return err
			}
		}
		return f.out.Write(texts)
	})
	files := map[string]string{}
	for _, name := range slices.Sorted(maps.Keys(made)) {
		made[name].out.Flush()
		files[name+".csv"] = made[name].text.String()
	}
	return files, err
}

// heads gives the names of the columns.
func (s sheet) heads() (out []string) {
	for _, c := range s.columns {
		out = append(out, c.name)
	}
	return out
}
