package packet

import (
	"slices"
	"strconv"
	"strings"
	"unicode"

	"raftwright/draw"
	"raftwright/finding"
	"raftwright/lang"
	"raftwright/page"
	"raftwright/programme"
)

// reporter writes the report of a program year.
type reporter struct {
	e       *programme.Edition
	earlier *programme.Edition
	words   *lang.Printer
	marks   map[string]string // the mark of a figure in its section, by its name
}

// Report makes the document of an edition of a program's report: page one, to be read in two minutes, then the sections A to M, to be
// audited. With an earlier report of the same funder, what has changed since is told.
func Report(e, earlier *programme.Edition, words *lang.Printer, o Options) page.Document {
	e.Ahead()
	w := reporter{e, earlier, words, map[string]string{}}
	count := map[string]int{}
	for _, f := range e.Figures {
		if w.marks[f.Name()] == "" {
			count[f.Section]++
			w.marks[f.Name()] = f.Section + strconv.Itoa(count[f.Section])
		}
	}
	d := page.Document{
		Title: w.say("title", nil), Language: words.Language, Paper: o.Paper, Large: o.Large, Units: draw.US,
		Subtitle: w.say("range", w.days()),
		Words:    page.Words{Page: words.Say("press.page", nil), Contents: words.Say("press.contents", nil)},
	}
	edition := "subtitle_inside"
	if e.Public {
		edition = "subtitle_public"
	}
	d.Sections = append(d.Sections, page.Section{ID: "first", Blocks: append([]page.Block{w.para(edition, nil)}, w.first()...)})
	for _, s := range []struct {
		id   string
		make func() []page.Block
	}{
		{"a", w.about}, {"b", w.figures("B")}, {"c", w.heard}, {"d", w.took}, {"e", w.learned}, {"f", w.adopted}, {"g", w.grown}, {"h", w.figures("H")},
		{"i", w.compared}, {"j", w.where}, {"k", w.exceptions}, {"l", w.safe}, {"m", w.same}, {"n", w.records},
	} {
		if blocks := s.make(); blocks != nil {
			d.Sections = append(d.Sections, page.Section{ID: "report-" + s.id, Title: w.say(s.id+"_title", nil), NewPage: s.id == "a" || s.id == "n", Blocks: blocks})
		}
	}
	return d
}

// InBoth puts a report and the same in another language side by side, section by section.
func InBoth(first, second page.Document) page.Document {
	second.Sections[0].Title, second.Sections[0].NewPage = second.Title, true
	return page.Both(first, second)
}

// days gives the range and the as-of day in words.
func (w reporter) days() finding.Args {
	return finding.Args{"From": w.words.Date(w.e.Funder.From.Time()), "To": w.words.Date(w.e.Funder.To.Time()), "Day": w.words.Date(w.e.AsOf.Time())}
}

func (w reporter) say(id string, args finding.Args) string { return w.words.Say("report."+id, args) }

func (w reporter) text(id string, args finding.Args) page.Text {
	return page.Text(w.say(id, args))
}

func (w reporter) para(id string, args finding.Args) page.Para {
	return page.Para{Text: w.text(id, args)}
}

// slug makes the end of an ID of a name: letters and digits, joined by _.
func slug(name string) string {
	return strings.Join(strings.FieldsFunc(strings.ToLower(name), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) }), "_")
}

// name gives a name of the records in the reader's language where it is one of ours, else as it stands.
func (w reporter) name(text string) string {
	if id := "report.name." + slug(text); w.words.Can(id) {
		return w.words.Say(id, nil)
	}
	return text
}

// id gives the sentence of a figure, and what it is of.
func (w reporter) id(f programme.Figure) (id, of string) {
	switch {
	case f.Measure == "wave ":
		wave, what, _ := strings.Cut(f.Of, ": ")
		return "wave_" + slug(what), wave
	case f.Section == "E", f.Measure == "" && strings.Contains(f.Of, "/"):
		kind, item, _ := strings.Cut(f.Of, "/")
		item, what := item[:strings.LastIndex(item, ": ")], item[strings.LastIndex(item, ": ")+2:]
		if id = slug(what); f.Section == "F" {
			id = "wave_" + id
		}
		return id, w.name(item) + ", " + w.name(kind)
	case strings.HasPrefix(f.Measure, "parity"):
		return "parity", w.name(f.Of)
	case f.Measure == "month: ":
		year, month, _ := strings.Cut(f.Of, "-")
		n, _ := strconv.Atoi(month)
		return "month", w.words.Say("month."+strconv.Itoa(n), nil) + " " + year
	}
	for _, of := range []string{"heads_", "pounds_", "value_"} {
		if fate, ok := strings.CutPrefix(f.Measure, of); ok {
			return strings.TrimSuffix(of, "_"), w.name(fate)
		}
	}
	if f.Of != "" {
		return slug(f.Measure), w.name(f.Of)
	}
	return slug(f.Measure), ""
}

// label gives what a figure is called.
func (w reporter) label(f programme.Figure) string {
	id, of := w.id(f)
	label := w.say("figure."+id, w.by())
	if of != "" {
		label += ": " + of
	}
	return label
}

// value prints a figure, or why there is none.
func (w reporter) value(f programme.Figure) string {
	if f.Why == programme.Covered {
		return w.say("not_shown", nil)
	}
	if f.Why != "" {
		return w.words.Say(string(f.Why), f.Args)
	}
	if fate, ok := strings.CutPrefix(f.Measure, "value_"); ok && f.Number == 0 { // pounds without a price are no value of nothing
		if pounds, ok := w.find("pounds_" + fate); ok && pounds.Number > 0 {
			return w.say("no_price", nil)
		}
	}
	switch f.Kind {
	case programme.Dollars:
		return "$" + w.places(f)
	case programme.Pounds, programme.Hour, programme.Meals:
		return w.places(f)
	case programme.Share:
		return w.words.Fixed(100*f.Number, 1) + page.Glue + "%"
	case programme.Change, programme.Average:
		return w.words.Fixed(f.Number, 2)
	case programme.Word:
		if yes, all, ok := strings.Cut(f.Text, " of "); ok {
			return w.say("of", finding.Args{"Yes": yes, "All": all})
		}
		parts := strings.Split(f.Text, " / ")
		for i, p := range parts {
			parts[i] = w.name(p)
		}
		return strings.Join(parts, " / ")
	}
	return w.words.Fixed(f.Number, 0)
}

// places prints a figure with the places that it has.
func (w reporter) places(f programme.Figure) string {
	_, after, _ := strings.Cut(f.Text, ".")
	return w.words.Fixed(f.Number, len(after))
}

// county gives the head of a column.
func (w reporter) county(id string) page.Text {
	if id == programme.All || id == "others" || id == programme.NoCounty {
		return page.Text(w.name(id))
	}
	return page.Literal(w.e.County(id))
}

func (w reporter) columns(ids ...string) []page.Column {
	var out []page.Column
	for _, id := range ids {
		c := page.Column{}
		if id[0] == '+' {
			id, c.Align = id[1:], page.Right
		}
		c.Title = w.text(id, nil)
		out = append(out, c)
	}
	return out
}

// figures gives the maker of a section: what is to be known first, and its tables.
func (w reporter) figures(section string) func() []page.Block {
	return func() []page.Block {
		var out []page.Block
		if id := strings.ToLower(section) + "_lead"; w.words.Can("report." + id) {
			out = append(out, w.para(id, nil))
		}
		return append(out, w.tables(section)...)
	}
}

// behind tells how many records a figure opens to; a number that the public may not have is a dash.
func (w reporter) behind(f programme.Figure) page.Text {
	if len(f.From) == 0 && (w.e.Public || f.Why != "") {
		return noCount
	}
	return page.Text(w.words.Fixed(float64(len(f.From)), 0))
}

// hidden says under a public table why a cell is not shown, and what a dash means, where it has such.
func (w reporter) hidden(t *page.Table) page.Text {
	has := func(cell page.Text) bool {
		return slices.ContainsFunc(t.Rows, func(row page.Row) bool { return slices.Contains(row.Cells, cell) })
	}
	var notes []string
	if w.e.Public && has(page.Literal(w.say("not_shown", nil))) {
		notes = append(notes, w.say("not_shown_note", finding.Args{"Least": w.e.Funder.Threshold}))
	}
	if w.e.Public && has(noCount) {
		notes = append(notes, w.say("no_count_note", nil))
	}
	return page.Text(strings.Join(notes, " "))
}

// noCount stands where it is not told how many records a figure opens to.
const noCount = "–"

// unasked tells of a figure that stands on paper only where the funder asks for it.
func (w reporter) unasked(f programme.Figure) bool {
	return strings.HasPrefix(f.Measure, "parity") && w.e.Funder.Parity != "yes"
}

// rowOf names the row of a figure in its section, to which page one leads.
func (w reporter) rowOf(name string) string {
	if w.marks[name] == "" {
		return ""
	}
	return "row-" + strings.ToLower(w.marks[name])
}

// tables are the figures of a section: those by county in one table, the others in another, with what each means.
func (w reporter) tables(section string) []page.Block {
	var counties, names []string
	by := map[string]map[string]programme.Figure{}
	for _, f := range w.e.Figures {
		if f.Section != section || w.unasked(f) {
			continue
		}
		if by[f.Name()] == nil {
			by[f.Name()] = map[string]programme.Figure{}
			names = append(names, f.Name())
		}
		by[f.Name()][f.County] = f
		if f.County != programme.All && !slices.Contains(counties, f.County) {
			counties = append(counties, f.County)
		}
	}
	wide := page.Table{Compact: true, Stack: true, RowHead: true, Columns: w.columns("col_mark", "col_figure")}
	wide.Columns[1].Plain = true
	for _, c := range append(slices.Clone(counties), programme.All) {
		wide.Columns = append(wide.Columns, page.Column{Title: w.county(c), Align: page.Right})
	}
	long := page.Table{Compact: true, RowHead: true, Columns: w.columns("col_mark", "col_figure", "+col_value", "+col_records")}
	wide.Weigh(1, 4)
	long.Weigh(1, 6, 2.4, 1.2)
	var means []page.Text
	told := map[string]bool{}
	for _, name := range names {
		of := by[name]
		var any programme.Figure
		for _, c := range append(slices.Clone(counties), programme.All) {
			if f, ok := of[c]; ok {
				any = f
			}
		}
		id, _ := w.id(any)
		if !told[id] {
			told[id] = true
			means = append(means, page.Bold(w.say("figure."+id, w.by()))+": "+w.text("means."+id, w.by()))
		}
		mark, label := page.Text(w.marks[name]), page.Literal(w.label(any))
		if _, only := of[programme.All]; only && len(of) == 1 {
			long.Add(mark, label, page.Literal(w.value(any)), w.behind(any))
			long.Rows[len(long.Rows)-1].Name = w.rowOf(name)
			continue
		}
		row := []page.Text{mark, label}
		for _, c := range append(slices.Clone(counties), programme.All) {
			cell := page.Text("")
			if f, ok := of[c]; ok {
				cell = page.Literal(w.value(f))
			}
			row = append(row, cell)
		}
		wide.Add(row...)
		wide.Rows[len(wide.Rows)-1].Name = w.rowOf(name)
	}
	var out []page.Block
	wide.Note, long.Note = w.hidden(&wide), w.hidden(&long)
	if len(wide.Rows) > 0 {
		out = append(out, wide)
	}
	if len(long.Rows) > 0 {
		out = append(out, long)
	}
	if len(means) > 0 {
		out = append(out, page.Heading{Text: w.say("means_title", nil)}, page.List{Kind: page.Bullets, Items: means})
	}
	return out
}
