package packet

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"raftwright/finding"
	"raftwright/lang"
	"raftwright/page"
	"raftwright/programme"
)

// Due lists what is due on a day: rows whose time is over, the mailings of follow-ups, and questions after which to ask again.
func Due(list []programme.Due, askings []programme.Asking, again []programme.AskAgain, day programme.Day, words *lang.Printer) page.Document {
	d := KeptTooLong(list, day, words)
	w, _ := alone(words, Options{}, "keeping.title")
	if len(again) > 0 {
		t := page.Table{RowHead: true, Compact: true, Stack: true, Columns: w.columns("web.book.column.inquiry", "keeping.col.due", "web.book.column.referred")}
		for _, a := range again {
			t.Add(page.Literal(a.Question), page.Text(w.words.Date(a.On.Time())), page.Literal(a.Referred))
		}
		d.Sections = append(d.Sections, page.Section{ID: "again", Title: w.say("keeping.again", nil), Blocks: []page.Block{w.para("keeping.again_lead", nil), t}})
	}
	if len(askings) == 0 {
		return d
	}
	t := page.Table{RowHead: true, Compact: true, Stack: true, Columns: w.columns("wave.col.wave", "wave.col.mailing", "keeping.col.due", "+wave.col.people")}
	for _, a := range askings {
		t.Add(page.Literal(a.Wave), w.text("wave.mailing", finding.Args{"First": a.Mailing == 1, "Number": a.Mailing - 1}), page.Text(w.words.Date(a.On.Time())), page.Text(w.words.Number(float64(a.People))))
	}
	d.Sections = append(d.Sections, page.Section{ID: "asking", Title: w.say("wave.due", nil), Blocks: []page.Block{w.para("wave.due_lead", nil), t}})
	return d
}

// KeptTooLong lists the rows whose time is over, with the rule and, where one stands, the hold that stops it.
func KeptTooLong(list []programme.Due, day programme.Day, words *lang.Printer) page.Document {
	w, d := alone(words, Options{}, "keeping.title")
	d.Subtitle = w.words.Date(day.Time())
	if len(list) == 0 {
		d.Sections = []page.Section{{ID: "due", Blocks: []page.Block{w.para("keeping.none", nil)}}}
		return d
	}
	t := page.Table{RowHead: true, Compact: true, Stack: true, Columns: w.columns("keeping.col.table", "keeping.col.record", "keeping.col.due", "keeping.col.rule", "keeping.col.hold")}
	t.Weigh(1.5, 1.5, 1.5, 3, 1.2)
	for _, x := range list {
		rule := page.Literal(x.Rule)
		if x.Rule == programme.Withdrawn {
			rule = w.text("keeping.withdrawn", nil)
		}
		held := page.Literal(x.Held)
		if x.Until != 0 {
			held = w.text("keeping.sealed", finding.Args{"Source": page.Literal(x.Held), "Day": w.words.Date(x.Until.Time())})
		}
		t.Add(inBook(words, x.Table, ""), page.Literal(x.Record), page.Text(w.words.Date(x.On.Time())), rule, held)
	}
	d.Sections = []page.Section{{ID: "due", Blocks: []page.Block{w.para("keeping.lead", nil), t}}}
	return d
}

// inBook names a table of the book, or a column of one, as the pages do, and in brackets as its file does; without a name of its own as
// its file does.
func inBook(words *lang.Printer, table, column string) page.Text {
	name, code := nameInBook(words, table, column), cmp.Or(column, table)
	if strings.EqualFold(name, code) {
		return page.Literal(name)
	}
	return page.Literal(name + " (" + code + ")")
}

// nameInBook names a table of the book, or a column of one, as the pages do; without a name of its own as its file does.
func nameInBook(words *lang.Printer, table, column string) string {
	ids := []string{"web.book.table." + table}
	if column != "" {
		ids = []string{"web.book.column_of." + table + "." + column, "web.book.column." + column}
	}
	for _, id := range ids {
		if words.Can(id) {
			return words.Say(id, nil)
		}
	}
	return cmp.Or(column, table)
}

// saidInBook gives what a column of the book says as the pages do: a word of ours in the reader's language, a day as a day, blank as a dash.
func saidInBook(words *lang.Printer, table, column, text string) string {
	if text == "" {
		return "–"
	}
	f, _ := programme.FormOf(table)
	for _, c := range f.Fields {
		if c.Name != column {
			continue
		}
		day, ok := programme.ParseDay(text)
		id := "web.book.word." + strings.ReplaceAll(text, " ", "_")
		switch {
		case c.Kind == programme.DayField && ok:
			return words.Date(day.Time())
		case (c.Kind == programme.WordField || c.Kind == programme.YesNoField) && words.Can(id):
			return words.Say(id, nil)
		}
	}
	return text
}

// Request is why a copy for the public is made: what was asked for, by which rule it is given or kept back, and the code of who looked at the copy. What is
// blank is left to be written.
type Request struct{ Asked, Rule, Looked string }

// WithheldLog is the log of a copy for the public: the request, its day, the rule and who looked; then where something is withheld, of what kind, for which reason and how
// often, never what.
func WithheldLog(log []programme.Withheld, of Request, day programme.Day, words *lang.Printer) page.Document {
	w, d := alone(words, Options{}, "keeping.copy.title")
	d.Subtitle = w.words.Date(day.Time())
	var head []page.Block
	for _, x := range []struct{ id, text string }{{"asked", of.Asked}, {"by_rule", of.Rule}, {"looked", of.Looked}} {
		label := w.say("keeping.copy."+x.id, nil)
		if x.text == "" {
			head = append(head, page.Fields{Lines: [][]page.Field{{{Label: label}}}})
		} else {
			head = append(head, page.Para{Text: page.Bold(label) + ": " + page.Literal(x.text)})
		}
	}
	t := page.Table{RowHead: true, Compact: true, Stack: true, Columns: w.columns("keeping.col.table", "keeping.col.column", "keeping.col.reason", "keeping.col.kind", "+keeping.col.count")}
	t.Weigh(1.4, 1.4, 2.4, 3, 1)
	for _, x := range log {
		column := page.Text("") // of a whole table there is none
		if x.Column != "" {
			column = inBook(words, x.Table, x.Column)
		}
		t.Add(inBook(words, x.Table, ""), column, page.Text("R"+strconv.Itoa(x.Reason.Number())+page.Glue+w.say("keeping.reason."+string(x.Reason), nil)), w.text("keeping.kind."+x.Kind, nil), page.Text(w.words.Number(float64(x.Count))))
	}
	d.Sections = []page.Section{{ID: "log", Blocks: append(head, w.para("keeping.copy.lead", nil), t, w.para("keeping.copy.ask", nil))}}
	return d
}

// WithheldBeside is that log without the request, the rule and who looked, for a page that asks for them above it.
func WithheldBeside(log []programme.Withheld, day programme.Day, words *lang.Printer) page.Document {
	d := WithheldLog(log, Request{}, day, words)
	blocks := &d.Sections[0].Blocks
	*blocks = slices.DeleteFunc(*blocks, func(b page.Block) bool { _, asks := b.(page.Fields); return asks })
	return d
}
