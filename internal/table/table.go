// Package table reads the tables that the trades carry, and a user's own on top of
// them: CSV, comment lines that begin with #, and a head row that names the columns,
// in any order. Everything wrong with a table is told at once, each at its line.
package table

import (
	"cmp"
	"encoding/csv"
	"encoding/hex"
	"errors"
	"hash"
	"hash/fnv"
	"io"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"raftwright/finding"
	"raftwright/source"
	"raftwright/unit"
)

// Faults of any table.
const (
	FaultFile   finding.ID = "table.fault.file"   // no CSV
	FaultEmpty  finding.ID = "table.fault.empty"  // no row
	FaultColumn finding.ID = "table.fault.column" // a column is missing
	FaultNumber finding.ID = "table.fault.number" // no number, or outside its range
	FaultWord   finding.ID = "table.fault.word"   // none of the words of its column
	FaultBlank  finding.ID = "table.fault.blank"  // nothing where something must stand
	FaultSource finding.ID = "table.fault.source" // a source that the bibliography does not have
	FaultUTF8   finding.ID = "table.fault.utf8"   // letters that are not written in UTF-8
	FaultParted finding.ID = "table.fault.parted" // columns that something else than a comma parts
	FaultTwice  finding.ID = "table.fault.twice"  // a column that stands twice in the head
)

// mostUneven is how many rows with too many or too few values are told of.
const mostUneven = 20

// unreadable tells what makes a text no table of commas at all, as another program may have saved it: its letters, or what parts its columns.
func unreadable(file, text string) (f finding.Fault, bad bool) {
	odd := !utf8.ValidString(text) || strings.IndexByte(text, 0) >= 0 || strings.Contains(text, string(utf8.RuneError)) // quickly, of a long one
	if odd {
		at := strings.IndexFunc(text, func(c rune) bool { return c == utf8.RuneError || c == 0 })
		line := text[strings.LastIndexByte(text[:at], '\n')+1 : at]
		return finding.Fault{ID: FaultUTF8, File: file, Line: 1 + strings.Count(text[:at], "\n"), Column: 1 + len(line)}, true
	}
	for line := range strings.Lines(strings.TrimPrefix(text, "\ufeff")) {
		if strings.HasPrefix(line, "#") || strings.TrimSpace(line) == "" {
			continue
		}
		if i := strings.IndexAny(line, ";\t"); i >= 0 && !strings.Contains(line, ",") {
			return finding.Fault{ID: FaultParted, File: file, Line: 1 + strings.Count(text[:strings.Index(text, line)], "\n"), Column: 1 + i, Args: finding.Args{"Sign": strings.ReplaceAll(line[i:i+1], "\t", "Tab")}}, true
		}
		break
	}
	return f, false
}

// Row is one row while it is read.
type Row struct {
	in      records
	file    string
	columns map[string]int
	asked   []bool // of each column, whether a reader asked for it
	fields  []string
	head    int            // the line of the head
	twice   finding.Faults // columns that stand twice in it
	faults  finding.Faults
}

// Read reads a table and gives each row to a function. file names it in the faults.
func Read(file, text string, each func(*Row)) finding.Faults {
	if f, bad := unreadable(file, text); bad {
		return finding.Faults{f}
	}
	uneven := 0
	r := &Row{in: records{text: strings.TrimPrefix(text, "\ufeff"), line: 1}, file: file, columns: map[string]int{}}
	for rows := 0; ; rows++ {
		fields, err := r.in.read()
		switch {
		case err == io.EOF && rows < 2:
			return append(r.faults, finding.Fault{ID: FaultEmpty, File: file, Line: 1, Column: 1})
		case err == io.EOF:
			return r.meant()
		case err != nil:
			at := finding.Fault{ID: FaultFile, File: file, Line: 1, Column: 1}
			var where *csv.ParseError
			if errors.As(err, &where) {
				at.Line, at.Column = where.Line, max(1, where.Column)
				if errors.Is(err, csv.ErrQuote) && where.StartLine < where.Line { // not shut: its end is that of the file
					at.Line, at.Column = where.StartLine, 1
				}
			}
			if uneven++; rows == 0 || !errors.Is(err, csv.ErrFieldCount) || uneven > mostUneven {
				return append(r.faults, at)
			}
			r.faults = append(r.faults, at) // the rows after it are read
		case rows == 0:
			r.head = r.in.number
			for i, name := range fields {
				name = strings.TrimSpace(name)
				if _, there := r.columns[name]; there {
					line, column := r.in.place(i)
					r.twice = append(r.twice, finding.Fault{ID: FaultTwice, File: file, Line: line, Column: column, Args: finding.Args{"Name": name}})
				}
				r.columns[name] = i
			}
			r.asked = make([]bool, len(fields))
		default:
			r.fields = fields
			each(r)
		}
	}
}

// Rows begins with a table whose rows come from elsewhere than a file, a text for each of its columns. Its faults have no place.
func Rows(file string, columns []string) *Row {
	r := &Row{file: file, columns: map[string]int{}, asked: make([]bool, len(columns))}
	for i, name := range columns {
		r.columns[name] = i
	}
	return r
}

// Next makes it the next of them. Its texts are the reader's until the one after it.
func (r *Row) Next(texts []string) { r.fields = texts }

// Faulty tells whether anything was wrong in one of them yet.
func (r *Row) Faulty() bool { return len(r.faults) > 0 }

// Faults counts what was wrong in them so far.
func (r *Row) Faults() int { return len(r.faults) }

// meant gives the faults; beside a column that is missing stands the one that nobody asks for and that is spelled
// nearly so.
func (r *Row) meant() finding.Faults {
	var spare []string
	for name, i := range r.columns {
		if i >= 0 && !r.asked[i] {
			spare = append(spare, name)
		}
	}
	slices.Sort(spare)
	r.twice = slices.DeleteFunc(r.twice, func(f finding.Fault) bool { return !r.asked[r.columns[f.Args["Name"].(string)]] }) // which nobody reads
	r.faults = append(r.twice, r.faults...)
	for _, f := range r.faults {
		if f.ID == FaultColumn {
			f.Args["Near"] = unit.Near(f.Args["Name"].(string), spare)
		}
	}
	return r.faults
}

// Has tells whether the table has a column.
func (r *Row) Has(column string) bool {
	i, ok := r.columns[column]
	if ok && i >= 0 {
		r.asked[i] = true
	}
	return ok && i >= 0
}

// Place gives the number of a column for At, below 0 where the table has none of that name. It is the same in every row.
func (r *Row) Place(column string) int {
	if i, ok := r.columns[column]; ok {
		return i
	}
	return -1
}

// At gives a field by the number of its column.
func (r *Row) At(place int) string { return strings.TrimSpace(r.fields[place]) }

// Wrong keeps a fault of a field of this row.
func (r *Row) Wrong(id finding.ID, column string, args finding.Args) {
	f := finding.Fault{ID: id, Args: args, File: r.file}
	if id == FaultColumn {
		f.Line, f.Column = r.head, 1
		r.faults = append(r.faults, f)
		return
	}
	f.Line, f.Column = r.in.place(max(0, min(r.columns[column], len(r.fields)-1)))
	r.faults = append(r.faults, f)
}

// Text gives a field. A column that is missing is told once.
func (r *Row) Text(column string) string {
	i, ok := r.columns[column]
	if !ok {
		r.Wrong(FaultColumn, column, finding.Args{"Name": column, "Near": ""})
		r.columns[column] = -1
	}
	if !ok || i < 0 {
		return ""
	}
	r.asked[i] = true
	return strings.TrimSpace(r.fields[i])
}

// Need gives a field that must not be empty.
func (r *Row) Need(column string) string {
	text := r.Text(column)
	if text == "" && r.Has(column) {
		r.Wrong(FaultBlank, column, finding.Args{"Name": column})
	}
	return text
}

// Number gives a number between two bounds, ends included.
func (r *Row) Number(column string, least, most float64) float64 {
	text := r.Text(column)
	x, err := strconv.ParseFloat(text, 64)
	if err == nil && x >= least && x <= most { // which no NaN is
		return x
	}
	if r.Has(column) {
		r.Wrong(FaultNumber, column, finding.Args{"Name": column, "Text": text, "Least": least, "Most": most})
	}
	return least
}

// Maybe gives a number between two bounds, 0 where the field is empty.
func (r *Row) Maybe(column string, least, most float64) float64 {
	if r.Text(column) == "" {
		return 0
	}
	return r.Number(column, least, most)
}

// Word gives the place of a field among the words that its column may hold; 0 with
// a fault for another word.
func (r *Row) Word(column string, words ...string) int {
	text := r.Text(column)
	for i, w := range words {
		if w == text {
			return i
		}
	}
	if r.Has(column) {
		r.Wrong(FaultWord, column, finding.Args{"Name": column, "Text": text, "Words": strings.Join(words, ", ")})
	}
	return 0
}

// Yes tells whether a field says yes; no or empty is no.
func (r *Row) Yes(column string) bool { return r.Word(column, "no", "", "yes") == 2 }

// Sources gives the IDs of sources in a field, parted by spaces.
func (r *Row) Sources(column string) (ids []source.ID) {
	for _, id := range strings.Fields(r.Text(column)) {
		ids = append(ids, source.ID(id))
	}
	return ids
}

// Source gives the ID of a source, that of the user's own figures where there is none.
// One that the bibliography does not have is told.
func (r *Row) Source(column string) source.ID {
	id := source.ID(cmp.Or(r.Text(column), string(source.Given)))
	if _, known := source.Find(id); !known {
		r.Wrong(FaultSource, column, finding.Args{"Text": string(id)})
	}
	return id
}

// Must gives a table that we carry ourselves. A mistake in one stops the program.
func Must[T any](t T, faults finding.Faults) T {
	if faults != nil {
		panic(faults.Error())
	}
	return t
}

// Hash tells tables apart, in 32 hexadecimal digits. It is no proof against forgery.
func Hash(texts ...string) string {
	h := NewHash()
	for _, text := range texts {
		_, _ = io.WriteString(h, text) // a hash takes all that it is given
		h.end()
	}
	return hex.EncodeToString(h.Sum(nil))
}

// Hashing makes the hash of a text that comes in pieces.
type Hashing struct{ hash.Hash }

// NewHash begins the hash of a text.
func NewHash() Hashing { return Hashing{fnv.New128a()} }

// end ends a text.
func (h Hashing) end() { _, _ = h.Write([]byte{0}) }

// Text gives the hash of all that was written, as Hash gives it. Nothing is written after it.
func (h Hashing) Text() string {
	h.end()
	return hex.EncodeToString(h.Sum(nil))
}
