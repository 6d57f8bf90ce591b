package web

import (
	"net/url"
	"slices"
	"strconv"
	"strings"
	"time"

	"raftwright/brief"
	"raftwright/finding"
	"raftwright/store"
)

// keyedRows is how many days a face of the paper log holds.
const keyedRows = 28

// keyedColumns are the columns of the paper log, as they stand on it, but for who wrote.
var keyedColumns = []string{"day", "depth", "water temperature", "ec", "ph", "added water", "added solution.volume", "note"}

// keyedCell is a cell to be keyed in.
type keyedCell struct {
	Name, Text, Label string
	Wrong             []wrong
	Plain             bool
}

// keyedRow is a row of the paper log.
type keyedRow struct {
	Number int
	ID     string
	Cells  []keyedCell
	Kept   string // what was kept of it, in words
	To     string // the page on which that is corrected
	Wrong  []wrong
}

// Orders in which a day is written on paper.
const (
	monthFirst = "month"
	dayFirst   = "day"
)

// keyed shows the paper log to be keyed in.
func (v *visit) keyed() error { return v.showKeyed(url.Values{}, nil) }

// showKeyed shows the rows with what was typed; those that are kept stand as they were kept.
func (v *visit) showKeyed(form url.Values, rows []keyedRow) error {
	b, err := v.theBed()
	if err != nil {
		return err
	}
	words, err := v.wordsFor(b.reading)
	if err != nil {
		return err
	}
	t := tended{aBed: b, words: words}
	body := struct {
		Bed            string
		Demo           bool
		Year           string
		Order          []option
		Heads          []string
		Units          []blank
		Rows           []keyedRow
		Kept, Faults   int
		First          string // the cell of the first fault
		History, Today string
	}{Bed: b.ID, Demo: b.ID == demonstration, Year: form.Get("year"), Rows: rows}
	if body.Year == "" {
		body.Year = strconv.Itoa(v.Now().Year())
	}
	order := form.Get("order")
	if order == "" {
		if order = monthFirst; v.words.Language == "es" {
			order = dayFirst
		}
	}
	for _, o := range []string{monthFirst, dayFirst} {
		body.Order = append(body.Order, option{Value: o, Name: v.say("web.keyed.order_" + o), Chosen: o == order})
	}
	for _, c := range keyedColumns {
		body.Heads = append(body.Heads, v.say("web.keyed.col."+strings.ReplaceAll(c, " ", "_")))
	}
	for _, x := range v.blanks(t, nil, large) {
		if len(x.Units) > 0 {
			for i := range x.Units {
				x.Units[i].Chosen = x.Units[i].Value == form.Get("unit:"+x.Key)
			}
			body.Units = append(body.Units, x)
		}
	}
	if rows == nil {
		for i := range keyedRows {
			body.Rows = append(body.Rows, v.emptyRow(i))
		}
	}
	for _, r := range body.Rows {
		if r.Kept != "" {
			body.Kept++
		}
		for _, c := range r.Cells {
			if len(c.Wrong) > 0 {
				body.Faults++
				if body.First == "" {
					body.First = c.Name
				}
			}
		}
	}
	s := v.of(b, "keyed")
	s.Wide, s.Body = true, body
	if body.Faults > 0 {
		return v.showAs(422, "keyed", s)
	}
	return v.show("keyed", s)
}

// emptyRow is a row with nothing in it yet.
func (v *visit) emptyRow(i int) keyedRow {
	r := keyedRow{Number: i + 1, ID: store.NewID()}
	for _, c := range keyedColumns {
		r.Cells = append(r.Cells, keyedCell{Name: cellName(i, c), Plain: c == "note" || c == "day", Label: v.cellLabel(i, c)})
	}
	return r
}

func cellName(i int, column string) string { return "row" + strconv.Itoa(i) + ":" + column }

// cellLabel names a cell for who cannot see where it stands.
func (v *visit) cellLabel(i int, column string) string {
	return v.say("web.keyed.cell", "Column", v.say("web.keyed.col."+strings.ReplaceAll(column, " ", "_")), "Number", i+1)
}

// keepKeyed keeps the rows that were keyed in: each by itself, once however often it is
// sent. A row with a fault comes back with what was typed; the others are kept.
func (v *visit) keepKeyed() error {
	if err := v.filled(); err != nil {
		return err
	}
	b, err := v.theBed()
	if err != nil {
		return err
	}
	if b.ID == demonstration {
		return finding.Fault{ID: FaultReadOnly}
	}
	year, err := strconv.Atoi(strings.TrimSpace(v.PostFormValue("year")))
	if err != nil || year < 1970 || year > 2200 {
		year = v.Now().Year()
	}
	above := map[string]string{}
	var rows []keyedRow
	last := time.Time{}
	for i := range keyedRows {
		row := v.emptyRow(i)
		if id := v.PostFormValue("row" + strconv.Itoa(i)); id != "" {
			row.ID = id
		}
		if v.PostFormValue("kept"+strconv.Itoa(i)) != "" {
			at, pairs, err := v.keptRow(row.ID)
			if err != nil {
				return err
			}
			if len(pairs) > 0 {
				row.Kept, row.To, last = v.inShort(b, at, pairs), "/beds/"+b.ID+"/log/"+row.ID, at
				for _, p := range pairs {
					above[string(p.Path)] = p.Text
				}
				rows = append(rows, row)
				continue
			}
		}
		row, last, err = v.keepRow(b, row, i, year, above, last)
		if err != nil {
			return err
		}
		rows = append(rows, row)
	}
	return v.showKeyed(v.PostForm, rows)
}

// keepRow keeps one row. The day of a row that has none is that of the row above.
func (v *visit) keepRow(b aBed, row keyedRow, i, year int, above map[string]string, last time.Time) (keyedRow, time.Time, error) {
	form := url.Values{}
	filled := false
	for k, c := range keyedColumns {
		cell := &row.Cells[k]
		text := strings.TrimSpace(v.PostFormValue(cell.Name))
		if text == `"` || text == "″" || text == "''" { // the same as above
			text = above[c]
		}
		cell.Text = text
		if text != "" {
			above[c] = text
		}
		if text == "-" || text == "–" || text == "−" { // not read
			text = ""
		}
		if c != "day" {
			filled = filled || text != ""
			form.Set(c, text)
			form.Set("unit:"+c, v.PostFormValue("unit:"+c))
		}
	}
	day := row.Cells[0].Text
	if !filled {
		if day != "" {
			if at, ok := dayIn(day, v.PostFormValue("order"), year, last); ok {
				last = at
			}
		}
		return row, last, nil
	}
	at, ok := dayIn(day, v.PostFormValue("order"), year, last)
	if day == "" && !last.IsZero() {
		at, ok = last, true
	}
	if !ok {
		row.Cells[0].Wrong = []wrong{{v.say("web.keyed.no_day", "Text", day), v.say("web.keyed.no_day_right")}}
		return row, last, nil
	}
	last = at
	form.Set("at", at.Format(clock))
	e := v.readEntry(b, form)
	for key, list := range e.wrong {
		if k := slices.Index(keyedColumns, key); k >= 0 {
			row.Cells[k].Wrong = list
		} else {
			row.Cells[0].Wrong = append(row.Cells[0].Wrong, list...)
		}
	}
	if len(e.wrong) > 0 {
		return row, last, nil
	}
	_, err := v.Store.Keep(v.context(), v.who, row.ID, b.ID, e.at, e.pairs)
	if store.Is(err, store.FaultConflict) { // sent before with other readings: from the page before, in the browser
		row.Cells[0].Wrong = []wrong{{v.say("web.keyed.differs"), v.say("web.keyed.differs_right")}}
		row.To = "/beds/" + b.ID + "/log/" + row.ID
		return row, last, nil
	}
	if err != nil {
		return row, last, err
	}
	row.Kept, row.To = v.inShort(b, e.at, e.pairs), "/beds/"+b.ID+"/log/"+row.ID
	return row, last, nil
}

// keptRow gives a row that was kept before, nothing where there is none.
func (v *visit) keptRow(id string) (at time.Time, pairs []brief.Pair, err error) {
	past, err := v.Store.EntryHistory(v.context(), v.who, id)
	if store.Is(err, store.FaultNotFound) || err == nil && len(past) == 0 {
		return at, nil, nil
	}
	if err != nil {
		return at, nil, err
	}
	now := past[len(past)-1]
	return now.Happened, now.Pairs, nil
}

// inShort tells an entry on one line.
func (v *visit) inShort(b aBed, at time.Time, pairs []brief.Pair) string {
	words, err := v.wordsFor(b.reading)
	if err != nil {
		return ""
	}
	out := words.Date(at)
	for _, c := range v.told(words, pairs) {
		out += "; " + words.Say("web.history.did", finding.Args{"Name": c.Name, "Text": c.Value})
	}
	return out
}

// dayIn reads a day as it is written on paper: 5/3, 5/3/27, 2027-05-03, or 4 alone in the
// month of the row above. A visit of which only the day is known is put at eight in the morning.
func dayIn(text, order string, year int, last time.Time) (time.Time, bool) {
	parts := strings.FieldsFunc(text, func(c rune) bool { return strings.ContainsRune("/.- ", c) })
	var n []int
	for _, p := range parts {
		x, err := strconv.Atoi(p)
		if err != nil {
			return time.Time{}, false
		}
		n = append(n, x)
	}
	var month, day int
	switch {
	case len(n) == 1 && !last.IsZero():
		year, month, day = last.Year(), int(last.Month()), n[0]
	case len(n) == 3 && len(parts[0]) == 4:
		year, month, day = n[0], n[1], n[2]
	case len(n) == 2 || len(n) == 3:
		month, day = n[0], n[1]
		if order == dayFirst {
			month, day = day, month
		}
		if len(n) == 3 {
			if year = n[2]; year < 100 {
				year += 2000
			}
		}
	default:
		return time.Time{}, false
	}
	at := time.Date(year, time.Month(month), day, 8, 0, 0, 0, time.UTC)
	if at.Month() != time.Month(month) || at.Day() != day || month < 1 {
		return time.Time{}, false
	}
	if len(n) == 2 && !last.IsZero() && at.Before(last.AddDate(0, -6, 0)) { // a log that goes over the new year
		at = at.AddDate(1, 0, 0)
	}
	return at, true
}
