package packet

import (
	"fmt"
	"slices"
	"strconv"

	"raftwright/brief"
	"raftwright/cost"
	"raftwright/draw"
	"raftwright/finding"
	"raftwright/lang"
	"raftwright/page"
	"raftwright/plan"
	"raftwright/pool"
	"raftwright/season"
	"raftwright/unit"
)

// FaultNoYear is raised where a letter of the season is asked for and the climate is not known.
const FaultNoYear finding.ID = "packet.fault.no_year"

// GardenSafety makes the food-safety plan of a school garden: what the plan knows stands there, the rest is to be
// written and ticked; the weekly check, the log of training and of what was mended, and who signs.
func GardenSafety(p plan.Plan, words *lang.Printer, o Options) page.Document {
	w := onPaper(p, words, o)
	d := w.document(o)
	d.Title, d.Subtitle, d.Margin = w.say("garden.title", nil), p.Title(), FaceMargin
	blank := func(ids ...string) page.Fields {
		var line []page.Field
		for _, id := range ids {
			line = append(line, page.Field{Label: w.say("garden.blank."+id, nil)})
		}
		return page.Fields{Lines: [][]page.Field{line}}
	}
	boxes := func(id string, args finding.Args) page.List {
		return page.List{Kind: page.Boxes, Items: w.each("garden."+id, args)}
	}
	what := []page.Block{w.para("garden.lead", nil), w.gardenFigures(), blank("school", "year"), blank("leader", "kitchen")}
	store := finding.Args{"Crop": p.Crop.Word(), "Days": w.span(p.Crop.Storage.For.Min.Days(), p.Crop.Storage.For.Max.Days()), "Cold": p.Crop.Storage.At.Max}
	rules := []page.Section{
		{ID: "what", Title: w.say("garden.what", nil), Blocks: what},
		{ID: "water", Title: w.say("garden.water_title", nil), Blocks: append(w.gardenWater(), page.Fields{Lines: [][]page.Field{{{Label: w.say("garden.blank.test_day", nil)}, {Label: w.say("garden.blank.test_by", nil), Weight: 1.5}, {Label: w.say("garden.blank.test_result", nil)}}}})},
		{ID: "people", Title: w.say("garden.people_title", nil), Blocks: []page.Block{boxes("people", nil)}},
		{ID: "bed", Title: w.say("garden.bed_title", nil), Blocks: []page.Block{w.warning(w.each("packet.safety.food", finding.Args{"Rain": w.rain()})...), boxes("bed", nil)}},
		{ID: "harvest", Title: w.say("garden.harvest_title", nil), Blocks: []page.Block{boxes("harvest", store), w.para("garden.label", nil), blank("wash_place", "store_place")}},
	}
	d.Sections = []page.Section{leaf("rules", w.say("garden.rules_title", nil), rules...),
		{ID: "weekly", Title: w.say("garden.weekly_title", nil), NewPage: true, Blocks: w.weekly()},
		{ID: "log", Title: w.say("garden.log_title", nil), NewPage: true, Blocks: w.gardenLogs()},
	}
	sign := page.Fields{}
	for _, id := range []string{"leader", "kitchen", "head"} {
		sign.Lines = append(sign.Lines, []page.Field{{Label: w.say("garden.blank."+id, nil), Weight: 3.4}, {Label: w.say("garden.blank.signed", nil), Weight: 2}, {Label: w.say("garden.blank.day", nil)}})
	}
	last := &d.Sections[len(d.Sections)-1]
	last.Blocks = append(last.Blocks, together(w.heading("garden.sign"), w.para("garden.sign_lead", nil), sign), page.Para{Text: w.text("garden.law", nil), Small: true})
	return d
}

// leaf joins sections to one, the first of its paper, so that each page of a paper has its other language behind it.
func leaf(id, title string, sections ...page.Section) page.Section {
	out := page.Section{ID: id, Title: title}
	for _, s := range sections {
		if s.Title != "" && s.Title != title {
			out.Blocks = append(out.Blocks, page.Heading{Level: 1, Text: s.Title})
		}
		out.Blocks = append(out.Blocks, s.Blocks...)
	}
	return out
}

// gardenFigures is what the plan knows of the bed.
func (w writer) gardenFigures() page.KeyFigures {
	p, f := w.p, page.KeyFigures{Columns: 2}
	add := func(id string, value page.Text) {
		f.Items = append(f.Items, page.KeyFigure{Label: w.say("garden.figure."+id, nil), Value: value.Plain()})
	}
	add("crop", w.capital(p.Crop.Word()))
	add("beds", page.Text(w.words.Number(float64(p.Beds))))
	if p.Frame != nil {
		add("water", w.value(p.Frame.Volume))
	}
	if p.Raft != nil {
		add("plants", page.Text(w.words.Number(float64(p.Raft.Holes))))
	}
	if n := p.NextBatch(); n != nil {
		add("first", page.Text(w.words.Date(n.Harvest)))
	}
	return f
}

// gardenWater is where the water comes from, and how it is known to be safe to drink.
func (w writer) gardenWater() []page.Block {
	var out []page.Block
	switch water := w.p.Water; {
	case w.p.Brief.Water.Kind.Value == brief.RainWater:
		out = append(out, w.warning(w.text("garden.water_rain", nil)))
	case water != nil && water.FreeChlorine+water.Chloramine > 0:
		out = append(out, w.para("garden.water_public", finding.Args{"Chlorine": water.FreeChlorine + water.Chloramine}))
	}
	return append(out, page.List{Kind: page.Boxes, Items: w.each("garden.water", nil)})
}

// weekly is the check of each week: a row for each thing, a column for each week, in large print a sheet for each.
func (w writer) weekly() []page.Block {
	const weeks = 8
	lead := "garden.weekly_lead"
	l := page.LogSheet{Height: draw.OnPaper(12 * unit.Millimetre), Columns: []page.LogColumn{{Title: w.say("garden.col.check", nil), Weight: 5}}, Names: []string{w.say("garden.weekly_day", nil)}}
	if w.large {
		lead, l.Columns[0].Title = "garden.weekly_lead_large", w.say("garden.col.thing", nil)
		l.Columns = append(l.Columns, page.LogColumn{Title: w.say("garden.col.answer", nil), Weight: 2})
	} else {
		for i := range weeks {
			l.Columns = append(l.Columns, page.LogColumn{Title: fmt.Sprint(i + 1)})
		}
	}
	for _, x := range w.each("garden.weekly", nil) {
		l.Names = append(l.Names, x.Plain())
	}
	l.Rows = len(l.Names)
	return []page.Block{w.para(lead, nil), l, w.para("garden.weekly_no", nil)}
}

// gardenLogs are the logs of training and of what was mended.
func (w writer) gardenLogs() []page.Block {
	sheet := func(rows int, columns ...string) page.LogSheet {
		l := page.LogSheet{Rows: rows, Height: 22}
		for i, c := range columns {
			l.Columns = append(l.Columns, page.LogColumn{Title: w.say("garden.col."+c, nil), Weight: []float64{1, 3, 2, 2}[i]})
		}
		return l
	}
	return []page.Block{w.heading("garden.training"), w.para("garden.training_lead", nil), sheet(7, "day", "taught", "group", "by"),
		w.heading("garden.mended"), w.para("garden.mended_lead", nil), sheet(7, "day", "wrong", "done", "by")}
}

// Seller is whose name stands on the label of what is sold.
type Seller struct {
	Name    string
	Address []string // the lines of the complete business address
	Year    int      // that the check is for, where no sales were entered; 0: it is left blank
}

// Selling makes the yearly check of a small grower, with the figures that were entered or blanks for them, and a sheet of
// labels with name and address. s is nil where no figures were entered.
func Selling(p plan.Plan, s *cost.SalesSheet, from Seller, words *lang.Printer, o Options) page.Document {
	w := onPaper(p, words, o)
	d := w.document(o)
	d.Title, d.Subtitle, d.Margin = w.say("selling.title", nil), p.Title(), FaceMargin
	d.Sections = []page.Section{
		{ID: "check", Title: w.say("selling.check", nil), Blocks: w.salesCheck(s, from.Year)},
		{ID: "label", Title: w.say("selling.label", nil), NewPage: true, Blocks: w.saleLabels(from)},
	}
	return d
}

// dollars prints an amount in whole dollars.
func (w writer) dollars(x float64) page.Text {
	return page.Text("$" + w.words.Fixed(x, 0))
}

// salesCheck is the sheet of the year.
func (w writer) salesCheck(s *cost.SalesSheet, year int) []page.Block {
	out := []page.Block{w.para("selling.lead", nil), w.warning(w.text("selling.food", nil))}
	t := page.Table{RowHead: true, Columns: w.columns("selling.col.year", "+selling.col.food", "+selling.col.produce", "+selling.col.users")}
	t.Weigh(2, 2, 2, 2.4)
	if s == nil {
		for i := range 3 { // the three calendar years before, as where sales were entered
			of := page.Text("")
			if year > 0 {
				of = page.Text(fmt.Sprint(year - 3 + i))
			}
			t.Add(of, "", "", "")
		}
		t.Rows = append(t.Rows, page.Row{Strong: true, Cells: []page.Text{w.text("selling.mean", nil), "", "", ""}}, page.Row{Cells: []page.Text{w.text("selling.limit", nil), "", "", w.text("selling.more_than_half", nil)}})
		out = append(out, t, page.Fields{Lines: [][]page.Field{{{Label: w.say("selling.limits_from", nil)}}}}, page.List{Kind: page.Boxes, Items: w.each("selling.rule", nil)})
	} else {
		var blank []string
		for _, y := range s.Years {
			if y.Blank {
				out := w.text("selling.left_out", nil)
				t.Add(page.Text(fmt.Sprint(y.Year)), out, out, out)
				blank = append(blank, fmt.Sprint(y.Year))
				continue
			}
			t.Add(page.Text(fmt.Sprint(y.Year)), w.dollars(y.Food), w.dollars(y.Produce), w.dollars(y.Qualified))
		}
		mean := w.text("selling.mean", nil)
		if len(blank) > 0 {
			mean = w.text("selling.mean_of", finding.Args{"Count": len(s.Years) - len(blank)})
		}
		t.Rows = append(t.Rows, page.Row{Strong: true, Cells: []page.Text{mean, w.dollars(s.Food), w.dollars(s.Produce), w.dollars(s.ToUsers)}},
			page.Row{Cells: []page.Text{w.text("selling.limit", nil), w.dollars(s.Limits.Food), w.dollars(s.Limits.Produce), w.text("selling.more_than_half", nil)}})
		share := unit.Fraction(0)
		if s.Food > 0 {
			share = unit.Fraction(s.ToUsers / s.Food)
		}
		out = append(out, t)
		if len(blank) > 0 {
			out = append(out, w.para("selling.blank_years", finding.Args{"Years": w.words.Join(blank)}))
		}
		out = append(out, page.Para{Text: w.text("selling.from", finding.Args{"From": string(page.Literal(s.Limits.From))}), Small: true},
			page.Para{Text: "**" + w.text("selling.standing."+string(s.Standing), finding.Args{"Year": fmt.Sprint(s.For), "Share": share}) + "**"})
	}
	sign := page.Fields{Lines: [][]page.Field{{{Label: w.say("selling.checked_by", nil), Weight: 2}, {Label: w.say("garden.blank.signed", nil), Weight: 2}, {Label: w.say("garden.blank.day", nil)}}}}
	return append(out, w.heading("selling.keep_title"), w.bullets("selling.keep", nil), w.bullets("selling.later", nil), together(sign), page.Para{Text: w.text("selling.law", nil), Small: true})
}

// saleLabels are labels to cut out.
func (w writer) saleLabels(from Seller) []page.Block {
	lines := []string{from.Name}
	lines = append(lines, from.Address...)
	cell := []page.Block{page.Heading{Level: 1, Text: string(w.capital(w.p.Crop.Word()))}}
	if from.Name == "" || len(from.Address) == 0 {
		for _, id := range []string{"name", "street", "town"} {
			cell = append(cell, page.Fields{Lines: [][]page.Field{{{Label: w.say("selling.blank."+id, nil)}}}})
		}
	} else {
		for i, l := range lines {
			text := page.Literal(l)
			if i == 0 {
				text = page.Bold(l)
			}
			cell = append(cell, page.Para{Text: text})
		}
	}
	cell = append(cell, page.Fields{Lines: [][]page.Field{{{Label: w.say("selling.blank.harvested", nil)}}}}, page.Para{Text: w.text("selling.wash", nil), Small: true})
	var cells [][]page.Block
	for range 4 {
		cells = append(cells, cell)
	}
	return []page.Block{w.para("selling.label_lead", nil), page.Slips{Cells: cells}}
}

// SeasonLetter makes the letter of a season for a county: when to sow, when to shade, what to watch and what to test in so many
// months from one on, by the climate of the brief, and what was asked most in these months before. It holds no name.
func SeasonLetter(p plan.Plan, county string, month, months int, asked []string, words *lang.Printer, o Options) (page.Document, error) {
	w := onPaper(p, words, o)
	if !w.hasYear() {
		return page.Document{}, finding.Fault{ID: FaultNoYear}
	}
	d := w.document(o)
	last := (month+months-2)%12 + 1
	d.Title = w.say("letter.title", finding.Args{"From": monthWord(month), "To": monthWord(last)})
	d.Subtitle, d.Margin = county, FaceMargin
	var some []season.Month
	for i := range months {
		some = append(some, p.Season.Months[(month-1+i)%12])
	}
	var parts []page.Section
	for _, s := range []struct {
		id     string
		blocks []page.Block
	}{{"sow", w.letterSow(some)}, {"shade", w.letterShade(some)}, {"watch", w.letterWatch(some)}, {"test", []page.Block{page.List{Kind: page.Boxes, Items: w.each("letter.test", nil)}}}} {
		parts = append(parts, page.Section{ID: s.id, Title: w.say("letter."+s.id+"_title", nil), Blocks: s.blocks})
	}
	end := &parts[len(parts)-1]
	if len(asked) > 0 {
		end.Blocks = append(end.Blocks, w.heading("letter.asked"), w.para("letter.asked_lead", finding.Args{"Topics": w.topics(asked)}))
	}
	end.Blocks = append(end.Blocks, together(page.Fields{Lines: [][]page.Field{{{Label: w.say("letter.office", nil), Weight: 2}, {Label: w.say("letter.phone", nil)}}}}, page.Para{Text: w.text("letter.basis", nil), Small: true}))
	d.Sections = []page.Section{leaf("letter", w.say("letter.section", nil), parts...)}
	return d, nil
}

// monthWord is the name of a month in a sentence.
func monthWord(m int) finding.Word { return finding.Word("month." + strconv.Itoa(m)) }

// topics joins what was asked, in words where there are some.
func (w writer) topics(asked []string) string {
	var out []string
	for _, t := range asked {
		if id := "letter.topic." + t; w.words.Can(id) {
			out = append(out, w.say(id, nil))
		} else {
			out = append(out, string(page.Literal(t)))
		}
	}
	return w.words.Join(out)
}

// letterSow tells when each crop may stand on the raft, and when it freezes.
func (w writer) letterSow(some []season.Month) []page.Block {
	t := page.Table{RowHead: true, Compact: true, Fold: 2, Columns: w.columns("packet.season.col.crop", "packet.season.col.from", "packet.season.col.to", "packet.season.col.limit")}
	if w.large {
		t.Fold = 1
	}
	for _, x := range w.p.Season.Windows {
		limit := w.text(string(x.Limit.Word()), nil)
		switch {
		case !opens(x, some):
		case x.Days() >= 365:
			t.Add(w.text("crop.name."+x.Crop, nil), w.text("letter.all_year", nil), "", "")
		default:
			t.Add(w.text("crop.name."+x.Crop, nil), w.dayOfYear(x.From), w.dayOfYear(x.To), limit)
		}
	}
	c := w.p.Crop
	out := []page.Block{w.para("letter.sow_none", nil)}
	if len(t.Rows) > 0 {
		out = []page.Block{w.para("letter.sow_lead", nil), t}
	}
	out = append(out, w.para("letter.sow", finding.Args{"Crop": c.Word(), "Days": w.span(c.Nursery.Min.Days(), c.Nursery.Max.Days()), "Raft": w.span(c.Raft.Min.Days(), c.Raft.Max.Days())}))
	if f := w.p.Season.Frost; !f.Always && !f.Never {
		out = append(out, w.para("letter.frost", finding.Args{"Last": string(w.dayOfYear(f.Last10)), "First": string(w.dayOfYear(f.First10)), "Cold": f.Threshold}))
	}
	return out
}

// opens tells whether a window is open on any day of some months.
func opens(x season.Window, some []season.Month) bool {
	if !x.Open() {
		return false
	}
	from, _ := x.From.Month()
	to, _ := x.To.Month()
	return slices.ContainsFunc(some, func(m season.Month) bool {
		if from <= to && x.From <= x.To {
			return from <= m.Number && m.Number <= to
		}
		return m.Number >= from || m.Number <= to // over the turn of the year
	})
}

// letterShade tells in which months cloth hangs, and how thick.
func (w writer) letterShade(some []season.Month) []page.Block {
	var items []page.Text
	for _, m := range some {
		if m.Shade > 0 {
			items = append(items, w.text("letter.shade", finding.Args{"Month": string(w.capital(monthWord(m.Number))), "Shade": m.Shade}))
		}
	}
	if items == nil {
		return []page.Block{w.para("letter.no_shade", nil)}
	}
	return []page.Block{page.List{Items: items}, w.para("letter.shade_how", nil)}
}

// letterWatch is the table of the months and what it calls for.
func (w writer) letterWatch(some []season.Month) []page.Block {
	t := page.Table{RowHead: true, Compact: true, Stack: true, Columns: w.columns("packet.season.col.month", "+letter.col.high", "+letter.col.low", "+letter.col.water", "+letter.col.hot", "+letter.col.drinks")}
	var items []page.Text
	for _, m := range some {
		name := string(w.capital(monthWord(m.Number)))
		t.Add(page.Text(name), w.degrees(m.AirHigh), w.degrees(m.AirLow), w.degrees(m.Pool), w.degrees(m.PoolHot), w.value(m.Water.Full*7))
		switch c := w.p.Crop; {
		case m.PoolHot > c.Act():
			items = append(items, w.text("letter.act", finding.Args{"Month": name, "Warmth": m.PoolHot}))
		case m.PoolHot > c.Watch():
			items = append(items, w.text("letter.warm", finding.Args{"Month": name, "Warmth": m.PoolHot}))
		}
		switch {
		case m.PoolCold < pool.Freezing:
			items = append(items, w.text("letter.ice", finding.Args{"Month": name}))
		case m.AirLow < w.p.Crop.Coldest():
			items = append(items, w.text("letter.cold", finding.Args{"Month": name, "Warmth": m.AirLow}))
		}
	}
	t.Note = w.text("letter.table_note", nil)
	return []page.Block{t, page.List{Items: append(items, w.each("letter.watch", nil)...)}, w.warning(w.text("letter.children", nil))}
}
