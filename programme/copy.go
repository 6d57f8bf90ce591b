package programme

import (
	"cmp"
	"encoding/csv"
	"fmt"
	"reflect"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"

	"raftwright/finding"
)

// allowed are the columns that a copy for the public may hold, by table: a list of what may go, not of what may not. Days,
// counts, hours and money go; so do the program's own words. Text goes only where a person has read it. Everything
// else stays: people, consents, lists, slips and single answers (demographics below county), codes of persons, sites and
// beds of homes.
var allowed = map[string][]string{
	"counties":    {"county", "name"},
	"events":      {"event", "date", "county", "form", "topic", "series", "title", "education", "adults", "youth", "minutes"},
	"visits":      {"visit", "date", "mode", "education", "topic", "others_met", "minutes", "miles"},
	"inquiries":   {"inquiry", "date", "county", "mode", "education", "topic", "status", "minutes", "referred", "note"},
	"indirect":    {"item", "date", "form", "title", "unit", "count", "count_source"},
	"waves":       {"wave", "question", "sent_on", "sent", "undeliverable"},
	"harvests":    {"harvest", "date", "crop", "heads", "pounds", "fate", "receipts"},
	"prices":      {"price", "date", "crop", "unit", "dollars", "basis", "source"},
	"hours":       {"entry", "date", "kind", "hours", "task"},
	"rates":       {"rate", "year", "dollars_per_hour", "source"},
	"corrections": {"correction", "made_on", "table", "action", "reason"},
	"efforts":     {"date", "county", "what"},
}

// Withheld is what a copy does not hold, as its log says it: where, of what kind, for which reason, and how often. Never the text.
type Withheld struct {
	Table, Column string
	Kind          string
	Reason        Reason
	Count         int
}

// Kinds of what is withheld.
const (
	KindPerson  = "person"  // a code of a person
	KindPeople  = "people"  // a table of persons, consents, lists, slips or single answers
	KindUnread  = "unread"  // text that nobody has read
	KindPupils  = "pupils"  // fewer than ten pupils
	KindColumn  = "column"  // a column that is not on the list
	KindUnknown = "unknown" // a file or a column that no table of ours has
)

// Copy makes the copy of the records for the public, as they stand at the end of a day: files by name, and what it
// withholds. Names of rows are written anew, so that nothing hides in one. With it a second look is taken at the bytes: what
// must vanish and did not is a fault, and there is no copy.
func (r Records) Copy(day Day) (files map[string]string, log []Withheld, faults finding.Faults) {
	s := r.stand(day)
	read := map[string]bool{}
	for _, c := range r.Cleared {
		if c.On <= day {
			read[c.Text] = true
		}
	}
	c := copier{read: read, names: map[[2]string]string{}, count: map[Withheld]int{}, pupils: s.holds("pupils", "").whole()}
	more := strings.Split(s.holds("withheld", "").Value, "|") // columns that a State's rule keeps back too
	mayGo := func(of, column string) bool {
		return slices.Contains(allowed[of], column) && !slices.Contains(more, of+"."+column)
	}
	for _, t := range sheets {
		c.name(t, t.rows(&s.Records))
	}
	out := Records{}
	for _, t := range sheets {
		from, to := t.rows(&s.Records), t.rows(&out)
		columns := slices.DeleteFunc(slices.Clone(allowed[t.name]), func(column string) bool { return !mayGo(t.name, column) })
		if columns == nil {
			if t.name == "must_vanish" {
				for _, m := range s.MustVanish {
					c.count[Withheld{Table: t.name, Kind: KindPeople, Reason: m.vanishes()}]++
				}
			} else if from.Len() > 0 {
				c.count[Withheld{Table: t.name, Kind: KindPeople, Reason: reason(t.name, "", KindPeople)}] += from.Len()
			}
			continue
		}
		to.Set(reflect.MakeSlice(from.Type(), from.Len(), from.Len()))
		for i := range from.Len() {
			c.row(t, columns, from.Index(i), to.Index(i))
		}
		if told[t.name] || t.name == "efforts" {
			t.inNoOrder(to)
		}
	}
	for _, name := range r.Unread {
		_ = name // a name may tell of a person: only how many
		c.count[Withheld{Kind: KindUnknown, Reason: ForFile}]++
	}
	files = write(out, func(t sheet, _ reflect.Value) []column {
		return slices.DeleteFunc(slices.Clone(t.columns), func(c column) bool { return !mayGo(t.name, c.name) })
	})
	for w, n := range c.count {
		w.Count = n
		log = append(log, w)
	}
	slices.SortFunc(log, func(a, b Withheld) int {
		return cmp.Or(cmp.Compare(a.Table, b.Table), cmp.Compare(a.Column, b.Column), cmp.Compare(a.Kind, b.Kind), cmp.Compare(a.Reason.Number(), b.Reason.Number()))
	})
	if n := left(files, r.MustVanish); n > 0 {
		return nil, log, finding.Faults{{ID: FaultVanish, Args: finding.Args{"Count": n}}}
	}
	return files, log, nil
}

// FaultVanish is a copy in which something is left that must vanish.
const FaultVanish finding.ID = "programme.fault.vanish"

// copier copies what may go.
type copier struct {
	read  map[string]bool
	names map[[2]string]string // table and old name -> new name
	count map[Withheld]int

	pupils int // fewer are not told
}

// name gives each row of a table a new name, in the order in which the rows stand.
func (c copier) name(t sheet, rows reflect.Value) {
	if t.id < 0 {
		return
	}
	for i := range rows.Len() {
		key := [2]string{t.name, t.record(rows.Index(i))}
		if c.names[key] == "" {
			c.names[key] = fmt.Sprintf("%s-%d", t.name, i+1)
		}
	}
}

// inNoOrder puts the rows of what happened in the order of their days and of what else the copy says, and numbers them so: the order in which they were keyed
// tells who was keyed after whom. Sessions of a series are numbered in that order too.
func (t sheet) inNoOrder(rows reflect.Value) {
	content := make([]string, rows.Len())
	var text []byte
	for i := range content {
		text = text[:0]
		for _, days := range []bool{true, false} {
			for j, c := range t.columns {
				if _, day := rows.Index(i).Field(c.field).Interface().(Day); day == days && j != t.id && c.name != "series" {
					text = append(c.append(text, rows.Index(i)), 0)
				}
			}
		}
		content[i] = string(text)
	}
	order := make([]int, len(content))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return strings.Compare(content[a], content[b]) })
	out := reflect.MakeSlice(rows.Type(), rows.Len(), rows.Len())
	series, named := map[string]string{}, -1
	if c, ok := t.column("series"); ok {
		named = c.field
	}
	for i, at := range order {
		row := out.Index(i)
		row.Set(rows.Index(at))
		if t.id >= 0 {
			row.Field(t.columns[t.id].field).SetString(fmt.Sprintf("%s-%d", t.name, i+1))
		}
		if named < 0 || row.Field(named).String() == "" {
			continue
		}
		was := row.Field(named).String()
		if series[was] == "" {
			series[was] = fmt.Sprintf("series-%d", len(series)+1)
		}
		row.Field(named).SetString(series[was])
	}
	rows.Set(out)
}

// row copies the allowed columns of a row.
func (c copier) row(t sheet, columns []string, from, to reflect.Value) {
	for i, col := range t.columns {
		v, out := from.Field(col.field), to.Field(col.field)
		held := func(kind string) {
			if !v.IsZero() {
				c.count[Withheld{Table: t.name, Column: col.name, Kind: kind, Reason: reason(t.name, col.name, kind)}]++
			}
		}
		switch {
		case !slices.Contains(columns, col.name):
			if personal(col.name) {
				held(KindPerson)
			} else {
				held(KindColumn)
			}
		case i == t.id:
			out.SetString(c.names[[2]string{t.name, v.String()}])
		case col.of != "":
			out.SetString(c.names[[2]string{col.of, v.String()}])
		case col.name == "series":
			if v.String() != "" { // sessions that belong together stay so
				key := [2]string{"series", v.String()}
				if c.names[key] == "" {
					c.names[key] = fmt.Sprintf("series-%d", len(c.names)+1)
				}
				out.SetString(c.names[key])
			}
		case col.name == "table":
			if place(v.String()) >= 0 {
				out.Set(v)
			}
		case col.name == "youth" && v.Int() > 0 && int(v.Int()) < c.pupils:
			held(KindPupils)
		case v.Kind() != reflect.String || col.words != nil || c.read[v.String()]:
			out.Set(v)
		default:
			held(KindUnread)
		}
	}
}

// left counts what must vanish and stands in the files all the same: as a word, without regard to case and accents; and what is
// long enough without regard to spaces and signs either, so that a telephone number is found by its digits.
func left(files map[string]string, must []MustVanish) int {
	const long = 7 // letters and digits; shorter ones would be found inside other words
	var cells, plain []string
	for _, name := range sorted(files) {
		rows, err := csv.NewReader(strings.NewReader(files[name])).ReadAll()
		if err != nil { // it was written just now; then all of it is one cell
			rows = [][]string{{files[name]}}
		}
		for _, cell := range slices.Concat(rows...) {
			cells = append(cells, unaccented(cell))
			plain = append(plain, plainly(cells[len(cells)-1]))
		}
	}
	n := 0
	for _, m := range must {
		sought := unaccented(strings.TrimSpace(m.Text))
		short := plainly(sought)
		if short == "" {
			continue
		}
		for i, cell := range cells {
			if word(cell, sought) || len(short) >= long && strings.Contains(plain[i], short) {
				n++
				break
			}
		}
	}
	return n
}

// word tells whether a text holds another with no letter or digit before or behind it.
func word(text, other string) bool {
	letter := func(r rune) bool { return unicode.IsLetter(r) || unicode.IsDigit(r) }
	for at := 0; other != ""; {
		i := strings.Index(text[at:], other)
		if i < 0 {
			return false
		}
		before, _ := utf8.DecodeLastRuneInString(text[:at+i])
		behind, _ := utf8.DecodeRuneInString(text[at+i+len(other):])
		if !letter(before) && !letter(behind) {
			return true
		}
		at += i + len(other)
	}
	return false
}

// unaccented is a text in small letters without their accents, as who types in a hurry leaves them out: Núñez is nunez.
func unaccented(text string) string {
	return strings.ToLower(strings.Map(func(r rune) rune {
		if unicode.Is(unicode.Mn, r) {
			return -1
		}
		return r
	}, norm.NFD.String(text)))
}

// plainly is a text of its letters and digits, small.
func plainly(text string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) {
			return unicode.ToLower(r)
		}
		return -1
	}, text)
}
