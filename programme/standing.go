package programme

import (
	"reflect"
	"slices"
)

// standing is the records as they stood at the end of a day.
type standing struct {
	Records
	day  Day
	gone map[string]bool // codes that may no longer be held
	made []Correction    // the corrections that a report of that day sees, in their order
	ever everWritten
}

// everWritten are the names by which the public counts waves, counties and items, those of rows that were taken out too: a number that was given stays with
// what it was given to, so that what went out before can be held against it.
type everWritten struct{ waves, counties, items []string }

func (r Records) everWritten() (out everWritten) {
	for _, w := range r.Waves {
		out.waves = append(out.waves, w.ID)
	}
	for _, c := range r.Counties {
		out.counties = append(out.counties, c.ID)
	}
	seen := map[string]bool{}
	note := func(item string) {
		if !seen[item] {
			seen[item] = true
			out.items = append(out.items, item)
		}
	}
	for _, a := range r.Answers { // in the order in which they came, so that a later one takes no other's number
		note(a.Item)
	}
	for _, c := range r.Classes {
		note(c.Item)
	}
	return out
}

// stand applies the corrections made by the end of a day, on copies, and takes away the codes of those who withdrew
// their consent to be held. Their counts stay.
func (r Records) stand(day Day) standing {
	s := standing{Records: r, day: day, gone: map[string]bool{}, ever: r.everWritten()}
	for _, c := range r.Corrections {
		if c.MadeOn <= day {
			s.made = append(s.made, c)
		}
	}
	s.made = standingCorrections(inTheirOrder(s.made))
	of := map[string][]Correction{}
	for _, c := range s.made {
		of[c.Table] = append(of[c.Table], c)
	}
	for _, t := range sheets {
		if made := of[t.name]; made != nil {
			t.correct(&s.Records, made)
		}
	}
	for _, c := range s.Consents {
		if c.Purpose == "keep" && c.Withdrawn != 0 && c.Withdrawn <= day {
			s.gone[c.Person] = true
		}
	}
	s.answered()
	if len(s.gone) > 0 {
		s.SignIns, s.Visits, s.Inquiries = ownRows(s.SignIns, r.SignIns), ownRows(s.Visits, r.Visits), ownRows(s.Inquiries, r.Inquiries)
		for i := range s.SignIns {
			s.forget(&s.SignIns[i].Person)
		}
		for i := range s.Visits {
			s.forget(&s.Visits[i].Person)
		}
		for i := range s.Inquiries {
			s.forget(&s.Inquiries[i].Person)
		}
	}
	return s
}

// ownRows gives rows that may be written to: a copy, unless they are one of those that were read.
func ownRows[T any](rows, read []T) []T {
	if len(rows) > 0 && len(read) > 0 && &rows[0] != &read[0] {
		return rows
	}
	return slices.Clone(rows)
}

// standingCorrections leaves out those that a later one took out, unless that was taken out itself.
func standingCorrections(made []Correction) []Correction {
	void := map[string]bool{}
	for _, c := range slices.Backward(made) {
		if c.Table == "corrections" && c.Action == "void" && !void[c.ID] {
			void[c.Record] = true
		}
	}
	if len(void) == 0 {
		return made
	}
	return slices.DeleteFunc(made, func(c Correction) bool { return void[c.ID] })
}

// answered takes away what came back in waves after the day, and with replies that were taken out.
func (s *standing) answered() {
	back := map[string]bool{}
	for _, x := range s.Replies {
		back[x.ID] = x.Returned <= s.day
	}
	early := func(a Answer) bool { return a.Wave != "" && !back[a.Form] }
	if slices.ContainsFunc(s.Answers, early) {
		s.Answers = slices.DeleteFunc(slices.Clone(s.Answers), early)
	}
}

// Standing gives the records as they stood at the end of a day, with the corrections that were made by then.
func (r Records) Standing(day Day) Records { return r.stand(day).Records }

func (s standing) forget(code *string) {
	if s.gone[*code] {
		*code = ""
	}
}

// correct applies corrections to a copy of a table.
func (t sheet) correct(r *Records, made []Correction) {
	by := map[string][]Correction{}
	for _, c := range made {
		by[c.Record] = append(by[c.Record], c)
	}
	from := t.rows(r)
	to := reflect.MakeSlice(from.Type(), from.Len(), from.Len())
	reflect.Copy(to, from)
	n := 0
rows:
	for i := range to.Len() {
		row := to.Index(i)
		for _, c := range by[row.Field(0).String()] {
			if c.Action == "void" {
				continue rows
			}
			if col, ok := t.column(c.Field); ok {
				col.set(row, c.New) // read before: it fits
			}
		}
		if n < i {
			to.Index(n).Set(row)
		}
		n++
	}
	from.Set(to.Slice3(0, n, n))
}

// Corrected gives what a field of a row says by the corrections made by the end of a day; false where none of them is of it.
func (r Records) Corrected(table, record, field string, day Day) (text string, is bool) {
	var made []Correction
	for _, c := range r.Corrections {
		if c.MadeOn <= day {
			made = append(made, c)
		}
	}
	for _, c := range standingCorrections(inTheirOrder(made)) {
		if c.Table == table && c.Record == record && c.Action == "change" && c.Field == field {
			text, is = c.New, true
		}
	}
	return text, is
}
