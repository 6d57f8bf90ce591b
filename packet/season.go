package packet

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"raftwright/draw"
	"raftwright/finding"
	"raftwright/page"
	"raftwright/plan"
	"raftwright/season"
	"raftwright/sky"
	"raftwright/source"
	"raftwright/unit"
)

// season prints the year of the place: light, air, solution and oxygen by month
// with the weeks in which the crop may go on the raft.
func (w writer) season() []page.Block {
	if !w.hasYear() {
		return slices.Concat([]page.Block{w.para("packet.season.none", nil)}, w.of(at(finding.AtSeason).prints(plan.FindNoClimate)))
	}
	return slices.Concat(w.windows(), w.yearFigures(), []page.Block{w.months()}, w.of(at(finding.AtSeason)))
}

// hasYear says whether the year of the place is known.
func (w writer) hasYear() bool { return w.p.Season != nil && len(w.p.Season.Months) > 0 }

// months is the table of the year.
func (w writer) months() page.Table {
	in, digits := unit.Inch, 2
	if w.metric() {
		in, digits = unit.Millimetre, 1
	}
	t := page.Table{Compact: true, Stack: true, RowHead: true, Columns: w.columns("packet.season.col.month", "+packet.season.col.air", "+packet.season.col.pool", "+packet.season.col.light", "+packet.season.col.et", "+packet.season.col.oxygen")}
	for i, from := range []source.ID{"lump", "faust2018", "fao56", "benson1984"} { // as the sums cite them
		t.Columns[i+2].Title += w.cite(from)
	}
	for _, m := range w.p.Season.Months {
		t.Add(w.partDoor(partID("season.month", m.Number), page.Text(w.words.Month(m.Number))), w.degrees(m.Air), w.degrees(m.Pool)+" / "+w.degrees(m.PoolMax),
			w.fixed(float64(m.Light), 0), w.fixed(float64(m.ET0)/float64(in), digits), w.fixed(m.Held.MilligramsPerLitre(), 1)+" / "+w.fixed(m.Oxygen.MilligramsPerLitre(), 1))
	}
	return t
}

// degrees prints a temperature without its unit twice: "64 °F" or "18 °C".
func (w writer) degrees(t unit.Temperature) page.Text {
	if w.metric() {
		return page.Text(w.words.Fixed(t.Celsius(), 0) + " °C")
	}
	return page.Text(w.words.Fixed(t.Fahrenheit(), 0) + " °F")
}

// reading gives a temperature in the reader's degrees.
func (w writer) reading(t unit.Temperature) float64 {
	if w.metric() {
		return t.Celsius()
	}
	return t.Fahrenheit()
}

// yearFigures stack light, temperature, oxygen and the open weeks on one axis of
// months, in large print, where the page is not high enough, on two.
func (w writer) yearFigures() []page.Block {
	if !w.large {
		return []page.Block{w.both(func(w writer) page.Figure { return w.yearDrawn("year", 0, 4) })}
	}
	return []page.Block{w.both(func(w writer) page.Figure { return w.yearDrawn("year", 0, 2) }),
		w.both(func(w writer) page.Figure { return w.yearDrawn("year-more", 2, 4) })}
}

// yearDrawn stacks the parts from one to another.
func (w writer) yearDrawn(id string, from, to int) page.Figure {
	e := w.p.Season
	n := len(e.Months)
	names := make([]string, n)
	light, air, water, hot, oxygen, held := make([]float64, n), make([]float64, n), make([]float64, n), make([]float64, n), make([]float64, n), make([]float64, n)
	low, high := make([]float64, n), make([]float64, n)
	for i, m := range e.Months {
		names[i] = w.words.Month(m.Number)
		light[i], oxygen[i], held[i] = float64(m.Light), m.Oxygen.MilligramsPerLitre(), m.Held.MilligramsPerLitre()
		air[i], water[i], hot[i] = w.reading(m.Air), w.reading(m.Pool), w.reading(m.PoolHot)
		low[i], high[i] = float64(w.p.Crop.Light.Min), float64(w.p.Crop.Light.Max)
	}
	degree := "°F"
	if w.metric() {
		degree = "°C"
	}
	left := 34 * w.grow()
	chart := func(height draw.Points, axis string) draw.Chart { // the months stand under the last line only
		return draw.Chart{Width: w.across(yearWide), Height: height * w.grow(), Left: left, Grow: w.grow(), Slots: make([]string, n), Axis: axis, Doors: w.monthDoors()}
	}
	sun := chart(86, w.say("packet.season.axis.light", nil))
	sun.Series = []draw.Series{{Label: w.say("word.light", nil), Values: light, Marked: true, Shape: draw.Disc}}
	if high[0] > low[0] {
		sun.Bands = []draw.Band{{Label: w.say("word.wanted", nil), Low: low, High: high, Fill: draw.Rising}}
	}
	limits := w.say("packet.season.limits", finding.Args{"Watch": string(w.degrees(w.p.Crop.Watch())), "Act": string(w.degrees(w.p.Crop.Act()))}) // beside the lines they would touch the key
	warm := chart(116, w.say("packet.season.axis.warmth", finding.Args{"Unit": degree})+" ("+limits+")")
	warm.Series = []draw.Series{
		{Label: w.say("word.air", nil), Values: air, Dash: draw.Dashed},
		{Label: w.say("word.pool_mean", nil), Values: water, Marked: true, Shape: draw.Disc},
		{Label: w.say("word.pool_hot", nil), Values: hot, Dash: draw.Dotted, Marked: true, Shape: draw.Triangle},
	}
	warm.Limits = []draw.Limit{{Value: w.reading(w.p.Crop.Watch()), Dash: draw.LongDash}, {Value: w.reading(w.p.Crop.Act()), Dash: draw.LongDash}}
	air2 := chart(66, w.say("packet.season.axis.oxygen", nil))
	air2.Series = []draw.Series{{Label: w.say("word.oxygen_most", nil), Values: oxygen, Dash: draw.Dashed}, {Label: w.say("word.oxygen_held", nil), Values: held, Marked: true, Shape: draw.Disc}}
	if to == 2 {
		warm.Slots = names
	}
	parts := []draw.Drawing{sun.Drawing(), warm.Drawing(), air2.Drawing(), w.openWeeks(left, names)}
	d := draw.Stack(draw.Drawing{ID: id, Title: w.say("packet.season.caption", nil), Alt: w.say("alt.season", w.yearInWords())}, 4, parts[from:to]...)
	return page.Figure{Drawing: d, Height: 420 * w.grow()}
}

// yearWide is how wide the year is drawn: an A4 page has this room between its margins.
const yearWide draw.Points = 450

// yearInWords gives the ends of the year for the description of the figure.
func (w writer) yearInWords() finding.Args {
	least, most := w.p.Season.Months[0], w.p.Season.Months[0]
	for _, m := range w.p.Season.Months {
		if m.Pool < least.Pool {
			least = m
		}
		if m.Pool > most.Pool {
			most = m
		}
	}
	return finding.Args{"Low": least.Pool, "LowMonth": w.words.Month(least.Number), "High": most.Pool, "HighMonth": w.words.Month(most.Number)}
}

// limitFills tell the limits apart on the line of the weeks.
var limitFills = map[season.Limit]draw.Fill{
	season.None: draw.Black, season.Frost: draw.Rising, season.Cold: draw.Falling, season.Heat: draw.Crossed, season.Solution: draw.MidGray, season.Light: draw.Dots,
}

// openWeeks draws the weeks in which the crop may go on the raft, and what
// keeps it off in the others.
func (w writer) openWeeks(left draw.Points, names []string) draw.Drawing {
	t := draw.Timeline{Width: w.across(yearWide), Left: left, Grow: w.grow(), Slots: names}
	used := map[season.Limit]bool{}
	for _, y := range w.p.Season.Weeks {
		if y.Crop != w.p.Crop.ID {
			continue
		}
		row := draw.TimelineRow{}
		for i := 0; i < len(y.Weeks); {
			j := i
			for j < len(y.Weeks) && y.Weeks[j] == y.Weeks[i] {
				j++
			}
			span := draw.Span{From: float64(i) * 12 / 52, To: float64(j) * 12 / 52, Fill: limitFills[y.Weeks[i]]}
			if w.doors != nil {
				span.Door = draw.Door{Of: partID("season.week", i+1), Name: w.weeksName(i, j, y.Weeks[i])}
			}
			row.Spans = append(row.Spans, span)
			used[y.Weeks[i]] = true
			i = j
		}
		t.Rows = append(t.Rows, row)
	}
	if len(t.Rows) == 0 {
		return draw.Drawing{}
	}
	for _, l := range []season.Limit{season.None, season.Frost, season.Cold, season.Heat, season.Solution, season.Light} {
		if used[l] {
			label := w.say(string(l.Word()), nil)
			if l == season.None {
				label = w.say("packet.season.open", nil)
			}
			t.Key = append(t.Key, draw.Span{Fill: limitFills[l], Label: label})
		}
	}
	return t.Drawing()
}

// windows tells when the crop may go on the raft; the season by itself tells of
// every crop.
func (w writer) windows() []page.Block {
	var blocks []page.Block
	t := page.Table{Compact: true, Stack: true, RowHead: true, Columns: w.columns("packet.season.col.crop", "packet.season.col.from", "packet.season.col.to", "packet.season.col.limit")}
	for _, x := range w.p.Season.Windows {
		limit := w.say(string(x.Limit.Word()), nil)
		from, to := page.Text("–"), page.Text("–")
		if x.Open() {
			from, to = w.dayOfYear(x.From), w.dayOfYear(x.To)
		}
		t.Add(w.text("crop.name."+x.Crop, nil), from, to, page.Text(limit))
		if x.Crop != w.p.Crop.ID {
			continue
		}
		args := finding.Args{"Crop": string(w.capital(w.p.Crop.Word())), "Limit": limit}
		id := "packet.season.window"
		switch {
		case !x.Open():
			id = "packet.season.window_none"
		case x.Days() >= 365:
			id = "packet.season.window_all"
		default:
			args = finding.Args{"Crop": w.p.Crop.Word(), "Limit": limit, "From": string(from), "To": string(to)}
		}
		blocks = append(blocks, w.para(id, args))
	}
	if w.asked == plan.Season && len(t.Rows) > 1 {
		blocks = append(blocks, t)
	}
	return blocks
}

// dayOfYear prints a day without its year: "Apr 5".
func (w writer) dayOfYear(d sky.DayOfYear) page.Text {
	return w.monthDay(d.Month())
}

func (w writer) monthDay(month, day int) page.Text {
	return page.Text(w.words.MonthDay(month, day))
}

// mostWeeks bounds the calendar on paper: two years.
const mostWeeks = 104

// columnsOf says in which column of the calendar a task stands; the weekly check
// stands over the table.
var columnsOf = map[season.TaskKind]int{
	season.TaskSow: 1, season.TaskSetOut: 2, season.TaskHarvest: 3,
	season.TaskMove: 4, season.TaskClean: 4, season.TaskShade: 4, season.TaskUnshade: 4, season.TaskFrost: 4,
	season.TaskLeave: 4, season.TaskEmpty: 4, season.TaskCover: 4, season.TaskTrays: 4, season.TaskRefill: 4,
	season.TaskFill: 4, season.TaskCure: 4, season.TaskFeed: 4, season.TaskFetch: 4,
}

// calendar is the work of the season for the wall: one line a week, in large
// print one line a task.
func (w writer) calendar() []page.Block {
	t := w.taskTable()
	if !w.large {
		t = w.weekTable(w.task)
	}
	out := []page.Block{page.Para{Text: w.paperOnly("packet.calendar.wall") + w.text("packet.calendar.lead", nil)}, t}
	if text, ok := w.yields(); ok {
		out = append(out, page.Para{Text: text, Small: true})
	}
	return out
}

// hasTasks says whether there is anything for the calendar.
func (w writer) hasTasks() bool {
	return w.p.Season != nil && slices.ContainsFunc(w.p.Tasks(), func(x season.Task) bool { return columnsOf[x.Kind] > 0 })
}

// weekTable sets a line a week, each task in these words.
func (w writer) weekTable(words func(season.Task) string) page.Table {
	t := page.Table{Compact: true, Stack: true, Columns: w.columns("packet.calendar.col.week", "packet.calendar.col.sow", "packet.calendar.col.move", "packet.calendar.col.cut", "packet.calendar.col.also")}
	t.Weigh(1.1, 1.5, 1.5, 1.5, 1.8)
	if w.onPaper {
		t.Columns = append(t.Columns, page.Column{Title: w.text("packet.calendar.col.done", nil), Weight: 0.5})
	}
	breaks := w.breaks()
	away := func(before time.Time) { // a line of its own, where a week of work would stand
		for ; len(breaks) > 0 && breaks[0].From.Before(before); breaks = breaks[1:] {
			t.Group(w.breakLine(breaks[0]))
		}
	}
	var last time.Time
	weeks := 0
	for _, x := range w.p.Tasks() {
		column := columnsOf[x.Kind]
		if column == 0 {
			continue
		}
		monday := x.Day.AddDate(0, 0, -(int(x.Day.Weekday())+6)%7)
		if !monday.Equal(last) {
			if weeks++; weeks > mostWeeks {
				break
			}
			away(monday)
			if monday.Year() != last.Year() {
				t.Group(page.Text(fmt.Sprint(monday.Year())))
			}
			last = monday
			t.Add(w.monthDay(int(monday.Month()), monday.Day()), "", "", "", "")
			if w.onPaper {
				row := &t.Rows[len(t.Rows)-1]
				row.Cells = append(row.Cells, "☐")
			}
		}
		cell := &t.Rows[len(t.Rows)-1].Cells[column]
		if *cell != "" {
			*cell += "; "
		}
		*cell += page.Text(words(x))
	}
	for _, b := range breaks { // after the last week of work
		t.Group(w.breakLine(b))
	}
	return t
}

// breakLine is the line of a break in the calendar.
func (w writer) breakLine(b season.Break) page.Text {
	return w.text("packet.calendar.break", finding.Args{"From": w.words.MonthDay(int(b.From.Month()), b.From.Day()), "To": w.words.MonthDay(int(b.To.Month()), b.To.Day())})
}

// breaks are the times in which nobody comes, in order.
func (w writer) breaks() []season.Break {
	var out []season.Break
	for _, b := range w.p.Brief.Schedule.Breaks {
		out = append(out, season.Break{From: b.From.Value.Time(), To: b.To.Value.Time()})
	}
	slices.SortFunc(out, func(a, b season.Break) int { return a.From.Compare(b.From) })
	return out
}

// taskTable sets a line a task, for large print.
func (w writer) taskTable() page.Table {
	t := page.Table{Compact: true, Line: true, Columns: w.columns("packet.calendar.col.done", "packet.calendar.col.day", "packet.calendar.col.task")}
	t.Weigh(0.9, 1.2, 4)
	month, breaks := time.Month(0), w.breaks()
	for _, x := range w.p.Tasks() {
		if columnsOf[x.Kind] == 0 {
			continue
		}
		for ; len(breaks) > 0 && !breaks[0].From.After(x.Day); breaks = breaks[1:] {
			t.Group(w.breakLine(breaks[0]))
			month = 0
		}
		if x.Day.Month() != month {
			month = x.Day.Month()
			t.Group(page.Text(fmt.Sprintf("%s %d", w.words.Month(int(month)), x.Day.Year())))
		}
		t.Add("☐", page.Bold(strings.ReplaceAll(w.words.Weekday(x.Day), " ", page.Glue)+page.Glue+fmt.Sprint(x.Day.Day())), page.Text(w.say(string(x.Kind.Word()), x.Args)))
	}
	for _, b := range breaks {
		t.Group(w.breakLine(b))
	}
	return t
}

// task prints a task for its cell: the day, and the batch with its plants.
func (w writer) task(x season.Task) string {
	day := w.words.Weekday(x.Day) + " " + fmt.Sprint(x.Day.Day())
	if columnsOf[x.Kind] == 4 {
		return day + ": " + w.say("packet.calendar.do."+string(x.Kind), x.Args)
	}
	return w.say("packet.calendar.batch", finding.Args{"Day": day, "Batch": x.Batch, "Plants": x.Args["Count"]})
}

// yields tells what the batches weigh and drink.
func (w writer) yields() (page.Text, bool) {
	b := w.p.Season.Batches
	if len(b) == 0 || w.p.Starves() {
		return "", false
	}
	light, heavy := b[0].Fresh, b[0].Fresh
	water := unit.Volume(0)
	for _, x := range b {
		light, heavy, water = min(light, x.Fresh), max(heavy, x.Fresh), water+x.Water.Volume
	}
	args := finding.Args{"Count": len(b), "Light": w.words.Head(light), "Heavy": w.words.Head(heavy), "Water": water,
		"WeightBand": w.p.Season.Calendar.Weight, "WaterBand": w.p.Season.Calendar.CropWater}
	id := "packet.calendar.yields"
	if math.Abs(float64(heavy-light)) < 0.5e-3 {
		id = "packet.calendar.yield"
	}
	return w.text(id, args), true
}
