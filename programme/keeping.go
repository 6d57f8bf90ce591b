package programme

import (
	"cmp"
	"reflect"
	"slices"
	"strings"

	"raftwright/finding"
	"raftwright/internal/table"
)

// Keeping is how long the rows of a table are kept: so many months from a day that the row names, or from one day for
// all of them.
type Keeping struct {
	Table  string `key:"table" need:"yes"`
	Start  string `key:"start" need:"yes"` // a column with a day, or a day
	Months int    `key:"months" least:"1" most:"1200"`
	Source string `key:"source" need:"yes"`
}

// Hold stops every destroying of a table, or of one record of it, while it lasts.
type Hold struct {
	ID     string `key:"hold" id:"yes"`
	Table  string `key:"table" need:"yes"`
	Record string `key:"record"` // blank: all
	From   Day    `key:"from" need:"yes"`
	Until  Day    `key:"until"` // blank: it still stands
	Reason string `key:"reason" need:"yes"`
}

// check tells a hold that would stop nothing: of no table, or while it stands of a record that is not there. A hold of a list names its event.
func (h *Hold) check(at *table.Row, all known) {
	of := listOf(h.Table)
	if n := place(of); of != "" && (n < 0 || sheets[n].id < 0) {
		at.Wrong(FaultKept, "table", finding.Args{"Text": h.Table})
	} else if h.Record != "" && h.Until == 0 && !all[of][h.Record] {
		at.Wrong(FaultUnknown, "record", finding.Args{"Text": h.Record, "File": of + ".csv"})
	}
}

// listOf gives the table whose rows name those of a table that a hold is of.
func listOf(table string) string {
	if table == "signins" {
		return "events"
	}
	return table
}

// Destroyed says that a row was emptied of who and what was said, by whom it was confirmed and by which rule.
type Destroyed struct {
	Table  string `key:"table" need:"yes"`
	Record string `key:"record" need:"yes"`
	On     Day    `key:"on" need:"yes"`
	By     string `key:"confirmed_by" need:"yes"`
	Rule   string `key:"rule" need:"yes"`
}

// Faults of keeping.
const (
	FaultStart   finding.ID = "programme.fault.start"   // neither a column with a day nor a day
	FaultKept    finding.ID = "programme.fault.kept"    // no table whose rows have names
	FaultConfirm finding.ID = "programme.fault.confirm" // nobody confirmed
)

// Due is a row whose time is over.
type Due struct {
	Table, Record string
	On            Day // from which on it may go
	Rule          string
	Held          string // the hold that stops it, or the schedule that keeps it; "" where nothing does
	Until         Day    // the first day on which the schedule no longer keeps it; 0: a hold, or nothing
}

// Withdrawn is the rule of a row that goes because its person no longer wants to be held.
const Withdrawn = "withdrawn"

// DueOn lists the rows whose time is over on a day, the longest due first: by the rules of keeping, and all rows of persons
// who withdrew their consent to be held, from that day on. A code that stands on a list and has no row of its own is due like a row of people. What a hold stops, or of a withdrawn consent a schedule that still runs, is listed with it:
// it is sealed, not destroyed.
func (r Records) DueOn(day Day) (out []Due, faults finding.Faults) {
	gone := map[[2]string]bool{}
	for _, d := range r.Destroyed {
		gone[[2]string{d.Table, d.Record}] = true
	}
	now := r.amended(day)
	everybody, held := r.listedAlone(now, day)
	r.People = everybody
	add := func(table, record string, on Day, rule string) {
		key := [2]string{table, record}
		if on == 0 || on > day || gone[key] {
			return
		}
		gone[key] = true // the first rule that reaches it
		by := r.heldBy(table, record, day)
		if table == "people" {
			by = cmp.Or(by, held[record])
		}
		out = append(out, Due{table, record, on, rule, by, 0})
	}
	left := map[string]Day{}
	for _, c := range r.Consents {
		if c.Purpose == "keep" && c.Withdrawn != 0 {
			left[c.Person] = c.Withdrawn
		}
	}
	for _, s := range sheets {
		if s.id < 0 {
			continue
		}
		rows := s.rows(&r)
		for i := range rows.Len() {
			for _, who := range s.named(rows.Index(i), now.named) {
				if left[who] != 0 {
					n := len(out)
					add(s.name, s.record(rows.Index(i)), left[who], Withdrawn)
					if len(out) > n && out[n].Held == "" {
						out[n].Held, out[n].Until = r.schedule(s, now.row(s, rows.Index(i)), day)
					}
				}
			}
		}
	}
	for _, k := range r.Keepings {
		s, fault := k.sheet()
		if fault != nil {
			faults = append(faults, *fault)
			continue
		}
		rows := s.rows(&r)
		for i := range rows.Len() {
			add(k.Table, s.record(rows.Index(i)), k.over(s, now.row(s, rows.Index(i))), k.Source)
		}
	}
	slices.SortStableFunc(out, func(a, b Due) int { return cmp.Compare(a.On, b.On) })
	return out, faults
}

// sheet gives the table that a rule of keeping is about, or what is wrong with the rule.
func (k Keeping) sheet() (sheet, *finding.Fault) {
	n := place(k.Table)
	if n < 0 || sheets[n].id < 0 {
		return sheet{}, &finding.Fault{ID: FaultKept, Args: finding.Args{"Text": k.Table}}
	}
	_, isDay := ParseDay(k.Start)
	if c, known := sheets[n].column(k.Start); !isDay && (!known || sheets[n].row.Field(c.field).Type != reflect.TypeFor[Day]()) {
		return sheet{}, &finding.Fault{ID: FaultStart, Args: finding.Args{"Text": k.Start, "Table": k.Table}}
	}
	return sheets[n], nil
}

// over gives the day from which on a row need not be kept, 0 where its start is not known.
func (k Keeping) over(s sheet, row reflect.Value) Day {
	from, isDay := ParseDay(k.Start)
	if c, known := s.column(k.Start); !isDay && known {
		from = Day(row.Field(c.field).Int())
	}
	if from == 0 {
		return 0
	}
	return from.after(k.Months)
}

// schedule gives the schedule that still keeps a row on a day, of several the longest, and until when: a consent that is withdrawn does not end
// it sooner, and the row is sealed till then.
func (r Records) schedule(s sheet, row reflect.Value, day Day) (source string, until Day) {
	for _, k := range r.Keepings {
		if _, fault := k.sheet(); k.Table != s.name || fault != nil { // a fault is told
			continue
		}
		if over := k.over(s, row); over > day && over > until {
			source, until = k.Source, over
		}
	}
	return source, until
}

// after gives the day so many months later; of a day that its month does not have, the first of the next.
func (d Day) after(months int) Day {
	return Day(d.Time().AddDate(0, months, 0).Unix() / (24 * 60 * 60))
}

// amended is what corrections say of rows: made are those that stand on a day, named the codes that any of them writes or wrote, by table and record.
type amended struct {
	made  map[[2]string][]Correction
	named map[[2]string][]string
}

func (r Records) amended(day Day) amended {
	out := amended{map[[2]string][]Correction{}, map[[2]string][]string{}}
	var made []Correction
	for _, c := range r.Corrections {
		if personal(c.Field) {
			key := [2]string{c.Table, c.Record}
			out.named[key] = append(out.named[key], c.Old, c.New)
		}
		if c.MadeOn <= day {
			made = append(made, c)
		}
	}
	for _, c := range standingCorrections(inTheirOrder(made)) {
		key := [2]string{c.Table, c.Record}
		out.made[key] = append(out.made[key], c)
	}
	return out
}

// row gives a row as the corrections have it: a day that was wrong does not begin the time for which it is kept.
func (x amended) row(s sheet, row reflect.Value) reflect.Value {
	made := x.made[[2]string{s.name, s.record(row)}]
	if len(made) == 0 {
		return row
	}
	out := reflect.New(row.Type()).Elem()
	out.Set(row)
	for _, c := range made {
		if col, ok := s.column(c.Field); ok && c.Action == "change" {
			col.set(out, c.New) // read before: it fits
		}
	}
	return out
}

// sealed gives the codes in rows that may not go yet. Of those who withdrew the consent that ended stays beside them: without it they would be counted as known
// again, and nothing would say that the rows go once they may.
func (r Records) sealed(list []Due, day Day) map[string]bool {
	held, out, beside := map[[2]string]bool{}, map[string]bool{}, r.amended(0).named
	lists := r.heldLists(day)
	for _, i := range r.SignIns {
		if lists[i.Event] != "" {
			out[i.Person] = true
		}
	}
	for _, d := range list {
		if d.Held != "" {
			held[[2]string{d.Table, d.Record}] = true
		}
	}
	for _, s := range sheets {
		if s.id < 0 {
			continue
		}
		rows := s.rows(&r)
		for i := range rows.Len() {
			if held[[2]string{s.name, s.record(rows.Index(i))}] {
				for _, who := range s.named(rows.Index(i), beside) {
					out[who] = true
				}
			}
		}
	}
	return out
}

// named gives the codes of persons in a row, and those that corrections of it write or wrote: they would outlive it.
func (s sheet) named(row reflect.Value, beside map[[2]string][]string) (out []string) {
	for _, c := range s.columns {
		if who := row.Field(c.field); personal(c.name) && who.Kind() == reflect.String {
			out = append(out, who.String())
		}
	}
	return append(out, beside[[2]string{s.name, s.record(row)}]...)
}

// record is the name of a row.
func (s sheet) record(row reflect.Value) string { return row.Field(s.columns[s.id].field).String() }

// heldBy gives the hold that stands on a record on a day.
func (r Records) heldBy(table, record string, day Day) string {
	for _, h := range r.Holds {
		if h.Table == table && (h.Record == "" || h.Record == record) && h.From <= day && (h.Until == 0 || day < h.Until) {
			return h.ID
		}
	}
	return ""
}

// personal tells whether a column names a person by code.
func personal(column string) bool {
	return slices.Contains([]string{"person", "host", "staff", "staff_lead", "staff_with", "answered_by", "code", "read_by"}, column)
}

// nobody stands where a row must name a person and may no longer, and where it is counted that a row says something.
const nobody = "gone"

// counted is the column of words of which a report counts how many rows have any.
const counted = "referred"

// Destroy empties the rows that are due of who and what was said: codes of persons and all text in nobody's words but the
// program's. Days, counts, hours and pounds stay, and with them every total of contacts: a repeat of the same day that the code told is
// written down without it. What is held stays as it is. Rows of people go
// altogether, and with them their consents, the stories that tell their words, and their codes
// on lists. What must vanish is no longer written down of a row that was emptied. A person confirms, by code; each row is written down.
func (r Records) Destroy(day Day, by string) (Records, []Due, finding.Faults) {
	if strings.TrimSpace(by) == "" {
		return r, nil, finding.Faults{{ID: FaultConfirm}}
	}
	list, faults := r.DueOn(day)
	if len(faults) > 0 {
		return r, nil, faults
	}
	at := map[string]map[string]bool{}
	sealed := r.sealed(list, day)
	list = slices.DeleteFunc(list, func(d Due) bool { return d.Held != "" })
	out := r
	out.Destroyed = slices.Clone(r.Destroyed)
	for _, d := range list {
		if at[d.Table] == nil {
			at[d.Table] = map[string]bool{}
		}
		at[d.Table][d.Record] = true
		name := d.Record
		if d.Table == "people" {
			name = nobody // its name is the code
		}
		out.Destroyed = append(out.Destroyed, Destroyed{d.Table, name, day, by, d.Rule})
	}
	for _, s := range sheets {
		if s.id < 0 || at[s.name] == nil || s.name == "people" {
			continue
		}
		old := s.rows(&out)
		rows := reflect.MakeSlice(old.Type(), old.Len(), old.Len())
		reflect.Copy(rows, old)
		old.Set(rows)
		for i := range rows.Len() {
			if row := rows.Index(i); at[s.name][s.record(row)] {
				s.empty(row)
			}
		}
	}
	gone := at["people"]
	of := func(code string) bool { return gone[code] }
	out.People = slices.DeleteFunc(slices.Clone(r.People), func(p Person) bool { return of(p.ID) })
	known := map[string]bool{}
	for _, p := range out.People {
		known[p.ID] = true
	}
	out.Consents = slices.DeleteFunc(slices.Clone(r.Consents), func(c Consent) bool {
		ended := c.Purpose == "keep" && c.Withdrawn != 0 && c.Withdrawn <= day
		return of(c.Person) && !(ended && sealed[c.Person]) || ended && !known[c.Person] && !sealed[c.Person]
	})
	out.Stories = slices.DeleteFunc(slices.Clone(r.Stories), func(x Story) bool { return of(x.Person) })
	out.SignIns = r.unlist(gone, day)
	out.MustVanish = slices.DeleteFunc(slices.Clone(r.MustVanish), func(m MustVanish) bool { return at[m.Table][m.Record] }) // it would outlive what it was found in
	out.Cleared = slices.Clone(r.Cleared)
	for i, c := range out.Cleared {
		if of(c.By) {
			out.Cleared[i].By = nobody
		}
	}
	out.Corrections = slices.Clone(out.Corrections)
	for i, c := range out.Corrections { // what a correction took away is not kept in it
		if at[c.Table][c.Record] {
			if n := place(c.Table); n >= 0 {
				if col, ok := sheets[n].column(c.Field); ok && sheets[n].told(col) {
					out.Corrections[i].Old, out.Corrections[i].New = "", ""
					if (col.need || col.name == counted && c.New != "") && c.Action == "change" {
						out.Corrections[i].New = nobody
					}
				}
			}
			out.Corrections[i].Reason = ""
		}
	}
	out.Repeats = append(slices.Clip(out.Repeats), r.kept(out, day)...)
	return out, list, nil
}

// told tells whether a column holds somebody's words or code: text that is no name of a row, no reference and none of
// the program's own words.
func (s sheet) told(c column) bool {
	return s.row.Field(c.field).Type.Kind() == reflect.String && c.words == nil && c.of == "" && c.field != s.columns[max(s.id, 0)].field
}

// empty blanks what a row tells of persons and in words; what a table cannot do without says nobody.
func (s sheet) empty(row reflect.Value) {
	for _, c := range s.columns {
		switch {
		case !s.told(c):
		case c.need && personal(c.name), c.name == counted && row.Field(c.field).String() != "":
			row.Field(c.field).SetString(nobody)
		case !c.need && (personal(c.name) || free(c.name)):
			row.Field(c.field).SetString("")
		}
	}
}

// free tells whether a column is text in anybody's words.
func free(column string) bool {
	return slices.Contains([]string{"note", "title", "referred", "question", "place", "reason", "old", "new", "label", "source", "count_source", "text", "what"}, column)
}
