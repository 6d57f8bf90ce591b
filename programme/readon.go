package programme

import (
	"encoding/csv"
	"reflect"
	"strings"

	"raftwright/finding"
)

// Book is records that were read, so that reading goes on from there: a row more, or one that was written anew, is read by itself.
type Book struct {
	Records Records
	ids     known
}

// ReadBook reads a folder as Read does.
func ReadBook(files map[string]string) (*Book, finding.Faults) {
	b := &Book{ids: known{}}
	faults := b.Records.read(files, b.ids)
	b.leaveNames()
	return b, faults
}

// leaveNames leaves out the names of wide tables: nobody asks for them unless something is written.
func (b *Book) leaveNames() {
	for name := range wide {
		delete(b.ids, name)
	}
}

// names makes the names of a wide table that were left out.
func (b *Book) names(s sheet) {
	if b.ids[s.name] != nil || !wide[s.name] {
		return
	}
	rows := s.rows(&b.Records)
	ids := make(map[string]bool, rows.Len())
	for i := range rows.Len() {
		ids[rows.Index(i).Field(0).String()] = true
	}
	b.ids[s.name] = ids
}

// Later is a row that came to a table, or that was written anew.
type Later struct {
	Table string
	At    int      // the row in whose place it stands; as many as the table has by then: a new one
	Row   []string // a text for each field of the form
}

// bearsOnOthers are tables of which a row may make another wrong: the words of a story are counted over its parts.
var bearsOnOthers = map[string]bool{"stories": true}

// ReadOn reads what came later, in the order in which it came, and gives the book with it: the same as one read from nothing. False where a row is
// wrong, or bears on whether others are: then all must be read anew, for every fault with its place, and b holds nothing any more.
func (b *Book) ReadOn(list []Later) bool {
	by := map[string][]Later{}
	for _, l := range list {
		by[l.Table] = append(by[l.Table], l)
	}
	for _, s := range inOrder() {
		if rows := by[s.name]; rows != nil && !s.readOn(b, rows) {
			return false
		}
		delete(by, s.name)
	}
	return len(by) == 0 && b.Records.reversed() == nil
}

func (s sheet) readOn(b *Book, list []Later) bool {
	have := s.rows(&b.Records)
	for _, other := range sheets {
		if other.name == s.name || restsOnWide[s.name] {
			b.names(other)
		}
	}
	var file strings.Builder
	out := csv.NewWriter(&file)
	var head []string
	for _, c := range s.columns {
		head = append(head, c.name)
	}
	err := out.Write(head)
	next, written := have.Len(), false
	for _, l := range list {
		switch {
		case len(l.Row) != len(head), bearsOnOthers[s.name], l.At < 0, l.At > next, strings.HasPrefix(strings.TrimSpace(l.Row[0]), "#"):
			return false
		case l.At == next:
			next++
		case l.At >= have.Len(), s.id != 0, l.Row[0] != have.Index(l.At).Field(0).String(), s.name == "consents":
			return false // of a table without names nobody knows what the row before it said to others
		default:
			written = true
			delete(b.ids[s.name], l.Row[0])
		}
		if e := out.Write(l.Row); e != nil {
			err = e
		}
	}
	out.Flush()
	var some Records
	if faults := s.read(&some, file.String(), b.ids, storyWords{}); err != nil || len(faults) > 0 {
		return false
	}
	rows := s.rows(&some)
	if rows.Len() != len(list) {
		return false
	}
	if written { // reports that were made hold the rows of before
		own := reflect.MakeSlice(have.Type(), have.Len(), have.Len())
		reflect.Copy(own, have)
		have.Set(own)
	}
	for i, l := range list {
		if l.At < have.Len() {
			have.Index(l.At).Set(rows.Index(i))
		} else {
			have.Set(reflect.Append(have, rows.Index(i)))
		}
	}
	return true
}
