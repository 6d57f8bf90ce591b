package web

import (
	"bytes"
	"encoding/csv"
	"html/template"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"raftwright/bed"
	"raftwright/brief"
	"raftwright/draw"
	"raftwright/finding"
	"raftwright/lang"
	"raftwright/mix"
	"raftwright/page"
	"raftwright/store"
	"raftwright/tend"
	"raftwright/unit"
)

// Bounds of a page of history: visits in its table, days in its charts.
const mostVisits, mostDays = 28, 84

// course is one reading through time, for a chart and a column.
type course struct {
	key       string
	low, high float64 // between which it is wanted; NaN: no such end
	of        func(*bed.Readings) (float64, bool)
	ahead     func(*tend.Forecast) tend.Range
	print     func(float64) string
	unit      string
	shown     func(float64) float64 // of tend's unit, the chart's
}

// courses are the readings of which there are bands.
func (t tended) courses() []course {
	metric := t.words.Units == lang.Metric
	same := func(x float64) float64 { return x }
	inch, degree := same, same
	depthUnit, warmUnit := "mm", "°C"
	if !metric {
		inch, depthUnit = func(x float64) float64 { return x / 25.4 }, t.words.Say("class.unit.in", nil)
		degree, warmUnit = func(x float64) float64 { return x*1.8 + 32 }, "°F"
	}
	ec := mix.Band{Low: t.plan.Crop.EC.Min.MillisiemensPerCentimetre(), High: t.plan.Crop.EC.Max.MillisiemensPerCentimetre()}
	if m := t.plan.Mix; m != nil && len(m.Doses) > 0 { // as on its card
		ec = m.Meters.Well
	}
	none := math.NaN()
	deep, top, full := none, t.plan.TopUpAt().Millimetres(), t.plan.Depth().Millimetres()
	if t.plan.Frame != nil && full > 0 {
		deep = full / t.plan.Frame.Volume.Litres() // mm of a liter
	}
	fixed := func(x float64) string { return t.words.Fixed(x, 1) }
	return []course{
		{"depth", top, none, readers[0].of,
			func(f *tend.Forecast) tend.Range {
				return tend.Range{Value: f.Volume.Value * deep, Low: f.Volume.Low * deep, High: f.Volume.High * deep}
			},
			func(x float64) string { return t.words.Value(unit.Length(x) * unit.Millimetre) }, depthUnit, inch},
		{"ec", ec.Low, ec.High, readers[1].of,
			func(f *tend.Forecast) tend.Range { return f.EC }, fixed, "mS/cm", same},
		{"ph", mix.LeastWellPH, mix.MostWellPH, readers[2].of,
			func(f *tend.Forecast) tend.Range { return f.PH }, fixed, "", same},
		{"water temperature", none, t.plan.Crop.Watch().Celsius(), readers[3].of,
			func(f *tend.Forecast) tend.Range { return f.Warmth }, func(x float64) string { return t.words.Value(unit.Temperature(x)) }, warmUnit, degree},
	}
}

// out tells whether a reading lies outside of what is wanted.
func (c course) out(x float64) bool { return x < c.low || x > c.high }

// unused finds the readings of a log that were set aside, with what was expected in their place.
func (t tended) unused() map[finding.Path]float64 {
	if t.Tending == nil {
		return t.aside
	}
	out := map[finding.Path]float64{}
	for _, r := range t.Readings {
		if !r.Used {
			out[r.Path] = r.Value
		}
	}
	return out
}

// chart draws a reading through the days, with what is expected if nothing is done. What is
// not wanted is hatched, so that the good part is the clean one.
func (t tended) chart(c course) (draw.Drawing, int) {
	first, end := dayOf(t.log[0].At), dayOf(t.now)
	if from := end.AddDate(0, 0, -mostDays); first.Before(from) {
		first = from
	}
	now := days(first, end)
	var ahead []tend.Forecast
	if t.Tending != nil {
		ahead = t.Forecast
	}
	n := max(now+len(ahead)+1, 8)
	row := func() []float64 {
		out := make([]float64, n)
		for i := range out {
			out[i] = math.NaN()
		}
		return out
	}
	read, aside, mid, low, high := row(), row(), row(), row(), row()
	unused, count := t.unused(), 0
	for i := range t.log {
		x, ok := c.of(&t.log[i].Read)
		at := days(first, dayOf(t.log[i].At))
		if !ok || at < 0 || at >= n {
			continue
		}
		count++
		if _, set := unused[t.log[i].Path.Key(c.key)]; set {
			aside[at] = c.shown(x)
			continue
		}
		read[at] = c.shown(x)
	}
	if len(ahead) > 0 && !math.IsNaN(c.ahead(&ahead[0]).Value) {
		if f := c.ahead(t.asOf()); now < n { // what the bed is thought to hold, without the errors of the pens
			mid[now], low[now], high[now] = c.shown(f.Value), c.shown(f.Low), c.shown(f.High)
		}
		for i := range ahead {
			if f := c.ahead(&ahead[i]); now+1+i < n {
				mid[now+1+i], low[now+1+i], high[now+1+i] = c.shown(f.Value), c.shown(f.Low), c.shown(f.High)
			}
		}
	}
	name := t.words.Say("web.log."+strings.ReplaceAll(c.key, " ", "_"), nil)
	args := finding.Args{"Name": name, "Count": count, "Unit": c.unit}
	axis := name
	if c.unit != "" {
		axis = t.words.Say("web.history.axis", args)
	}
	chart := draw.Chart{ID: "history-" + idOf(finding.Path(c.key)), Title: axis, Alt: t.words.Say("web.history.alt", args), Axis: axis, Width: 340, Height: 150, Left: 38, Grow: 1.2, Slots: t.slots(first, n),
		Number: func(x float64) string { return t.words.Number(math.Round(x*100) / 100) }}
	chart.From, chart.To = c.extent(read, aside, low, high)
	flat := func(x float64) []float64 { return slices.Repeat([]float64{x}, n) }
	if !math.IsNaN(c.high) && c.shown(c.high) < chart.To {
		chart.Bands = append(chart.Bands, draw.Band{Low: flat(c.shown(c.high)), High: flat(math.Inf(1)), Fill: draw.Rising})
	}
	if !math.IsNaN(c.low) && c.shown(c.low) > chart.From {
		chart.Bands = append(chart.Bands, draw.Band{Low: flat(math.Inf(-1)), High: flat(c.shown(c.low)), Fill: draw.Rising})
	}
	chart.Series = []draw.Series{{Values: joined(read)}, {Values: read, Weight: draw.NoLine, Marked: true}, {Values: aside, Weight: draw.NoLine, Marked: true, Shape: draw.Ring},
		{Values: mid, Dash: draw.Dotted}, {Values: low, Weight: draw.Thin, Dash: draw.Dashed}, {Values: high, Weight: draw.Thin, Dash: draw.Dashed}}
	return chart.Drawing(), count
}

// asOf gives the bed at this moment as a day of the forecast.
func (t tended) asOf() *tend.Forecast {
	s, warm := t.State, t.State.Temperature.Celsius()
	return &tend.Forecast{At: s.At, Volume: s.Volume, EC: s.EC, PH: s.PH, Warmth: tend.Range{Value: warm, Low: warm, High: warm}}
}

// extent gives the ends of an axis: all that is read and expected, with some of what is not wanted.
func (c course) extent(rows ...[]float64) (lo, hi float64) {
	lo, hi = math.Inf(1), math.Inf(-1)
	see := func(x float64) {
		if !math.IsNaN(x) {
			lo, hi = math.Min(lo, x), math.Max(hi, x)
		}
	}
	see(c.shown(c.low))
	see(c.shown(c.high))
	for _, r := range rows {
		for _, x := range r {
			see(x)
		}
	}
	pad := math.Max((hi-lo)*0.15, 0.1)
	return math.Max(0, lo-pad), hi + pad
}

// slots names about five days under an axis.
func (t tended) slots(first time.Time, n int) []string {
	out := make([]string, n)
	for i := 0; i < n; i += max(1, (n+3)/4) {
		d := first.AddDate(0, 0, i)
		out[i] = t.words.MonthDay(int(d.Month()), d.Day())
	}
	return out
}

func dayOf(t time.Time) time.Time {
	return time.Date(t.Year(), t.Month(), t.Day(), 0, 0, 0, 0, time.UTC)
}

func days(from, to time.Time) int { return int(math.Round(to.Sub(from).Hours() / 24)) }

// joined fills the days between two readings evenly, for a line from one to the next.
func joined(x []float64) []float64 {
	out := slices.Clone(x)
	before := -1
	for i := range x {
		if math.IsNaN(x[i]) {
			continue
		}
		for k := before + 1; before >= 0 && k < i; k++ {
			out[k] = x[before] + (x[i]-x[before])*float64(k-before)/float64(i-before)
		}
		before = i
	}
	return out
}

// ledgerRow is a visit in the table of a history.
type ledgerRow struct {
	When, To string
	Cells    []ledgerCell
	Did      []string
}

// ledgerCell is a reading: one outside of what is wanted, or one that was set aside.
type ledgerCell struct {
	Text       string
	Out, Aside bool
	Expected   string
}

// ledger lists the visits from so many before the last, the latest first.
func (t tended) ledger(v *visit, list []course, skip int) (rows []ledgerRow, more bool) {
	texts := map[finding.Path][]brief.Pair{} // what was done, by visit
	for _, x := range t.brief().Values() {
		if rest, ok := strings.CutPrefix(string(x.Path), "log["); ok {
			n, key, _ := strings.Cut(rest, "].")
			at := finding.Path("log[" + n + "]")
			if !slices.ContainsFunc(list, func(c course) bool { return c.key == key }) && key != "at" {
				texts[at] = append(texts[at], brief.Pair{Path: finding.Path(key), Text: x.Text})
			}
		}
	}
	entry := t.entryOf()
	unused := t.unused()
	for i := len(t.log) - 1 - skip; i >= 0; i-- {
		if len(rows) == mostVisits {
			return rows, true
		}
		x := &t.log[i]
		row := ledgerRow{When: t.words.MonthDay(int(x.At.Month()), x.At.Day()) + " " + x.At.Format("15:04"), To: entry[x.Path]}
		for _, c := range list {
			var one ledgerCell
			if value, ok := c.of(&x.Read); ok {
				one.Text, one.Out = c.print(value), c.out(value)
				if x, set := unused[x.Path.Key(c.key)]; set {
					one.Aside, one.Expected = true, c.print(x)
				}
			}
			row.Cells = append(row.Cells, one)
		}
		for _, c := range v.told(t.words, texts[x.Path]) {
			row.Did = append(row.Did, t.words.Say("web.history.did", finding.Args{"Name": c.Name, "Text": c.Value}))
		}
		rows = append(rows, row)
	}
	return rows, false
}

// entryOf gives the page of each visit that is kept beside the brief.
func (t tended) entryOf() map[finding.Path]string {
	out := map[finding.Path]string{}
	n := t.written
	for _, e := range t.entries {
		if len(e.Pairs) > 0 {
			out[finding.Path("log").Item(n)] = "/beds/" + t.ID + "/log/" + e.ID
			n++
		}
	}
	return out
}

// pastPage is what stands on a page of history, as it is kept.
type pastPage struct {
	Charts []template.HTML
	Heads  []string
	Rows   []ledgerRow
	Older  int
	Struck []link
	Cannot []wrong
	Aside  map[finding.Path]float64 // what was set aside in the whole log
}

// past makes a page of history from so many visits before the last.
func (v *visit) past(t tended, skip int) (out pastPage, err error) {
	list := t.courses()
	out.Cannot, out.Aside = v.cannot(t), t.unused()
	if len(t.log) > 0 {
		doc := page.Document{Language: t.words.Language}
		for _, c := range list {
			if d, n := t.chart(c); n > 0 {
				doc.Sections = append(doc.Sections, page.Section{ID: "chart-" + idOf(finding.Path(c.key)), Blocks: []page.Block{page.Figure{Drawing: d}}})
			}
		}
		if out.Charts, err = v.pressed(doc); err != nil {
			return out, err
		}
	}
	for _, c := range list {
		out.Heads = append(out.Heads, t.words.Say("web.log."+strings.ReplaceAll(c.key, " ", "_"), nil))
	}
	var more bool
	if out.Rows, more = t.ledger(v, list, skip); more {
		out.Older = skip + mostVisits
	}
	for _, e := range t.entries {
		if len(e.Pairs) == 0 {
			out.Struck = append(out.Struck, link{t.words.Date(e.At) + " " + e.At.Format("15:04"), "/beds/" + t.ID + "/log/" + e.ID})
		}
	}
	return out, nil
}

// history shows what was read and done, as charts and as a table, and what is expected. While the log is being followed the readings
// stand there, and nothing is expected yet.
func (v *visit) history() error {
	b, err := v.theBed()
	if err != nil {
		return err
	}
	body := struct {
		Bed string
		pastPage
		Late *late
	}{Bed: b.ID}
	k, err := told(v, b, knownHistory, func() (pastPage, error) {
		t, err := v.tend(b)
		if err != nil {
			return pastPage{}, err
		}
		return v.past(t, 0)
	})
	if err != nil {
		return err
	}
	body.pastPage = k.What
	skip, _ := strconv.Atoi(v.FormValue("before"))
	if k.Late {
		body.Late = &late{Told: []string{v.say("web.late.waits"), v.say("web.late.expected")}}
	}
	if k.Late || skip > 0 {
		v.plain = true
		done, err := v.turn()
		if err != nil {
			return err
		}
		defer done()
		t, err := v.logbook(b)
		if err != nil {
			return err
		}
		if !k.Late {
			t.aside = k.What.Aside
		}
		if body.pastPage, err = v.past(t, max(0, min(skip, len(t.log)))); err != nil {
			return err
		}
	}
	s := v.of(b, "history")
	s.Late, s.Body = body.Late != nil, body
	return v.show("history", s)
}

// takeLog gives the whole log as a table file, a column for each key.
func (v *visit) takeLog() error {
	b, err := v.theBed()
	if err != nil {
		return err
	}
	b, _, err = v.logged(b)
	if err != nil {
		return err
	}
	rows := map[int]map[string]string{}
	heads := []string{"at"}
	for _, x := range b.brief().Values() {
		rest, ok := strings.CutPrefix(string(x.Path), "log[")
		number, key, _ := strings.Cut(rest, "].")
		n, err := strconv.Atoi(number)
		if !ok || err != nil {
			continue
		}
		if !slices.Contains(heads, key) {
			heads = append(heads, key)
		}
		if rows[n] == nil {
			rows[n] = map[string]string{}
		}
		rows[n][key] = x.Text
	}
	list := make([][]string, 0, len(rows))
	for _, r := range rows {
		line := make([]string, len(heads))
		for i, h := range heads {
			line[i] = harmless(r[h])
		}
		list = append(list, line)
	}
	slices.SortFunc(list, func(x, y []string) int { return slices.Compare(x, y) })
	var out bytes.Buffer
	w := csv.NewWriter(&out)
	w.UseCRLF = true // RFC 4180
	if err := w.WriteAll(append([][]string{heads}, list...)); err != nil {
		return err
	}
	return v.attach("text/csv; charset=utf-8", v.say("web.file.log")+".csv", out.Bytes())
}

// harmless keeps a program for tables from taking a text for a formula.
func harmless(text string) string {
	if text != "" && strings.ContainsRune("=+@\t", rune(text[0])) {
		return "'" + text
	}
	return text
}

// takeBed gives the brief with the whole log in it, as the command line reads it.
func (v *visit) takeBed() error {
	b, err := v.theBed()
	if err != nil {
		return err
	}
	if b, _, err = v.logged(b); err != nil {
		return err
	}
	return v.attach("application/yaml; charset=utf-8", v.say("web.file.bed")+".yaml", b.brief().Encode())
}

// pastEntry is an entry as it stood once.
type pastEntry struct {
	When string
	What []cell
	Of   string // the time that it is about
}

// entry shows one visit, to be corrected.
func (v *visit) entry() error { return v.showEntry(nil) }

// theEntry finds the entry of an address, with all that it was.
func (v *visit) theEntry(b aBed) ([]store.Past, error) {
	past, err := v.Store.EntryHistory(v.context(), v.who, v.PathValue("entry"))
	if err != nil {
		return nil, err
	}
	if len(past) == 0 || past[0].Bed != b.ID {
		return nil, finding.Fault{ID: FaultNowhere, Args: finding.Args{"Address": v.URL.Path}}
	}
	return past, nil
}

// showEntry shows a visit as it stands and as it was; with faults it shows what was typed again.
func (v *visit) showEntry(bad map[string][]wrong) error {
	b, err := v.theBed()
	if err != nil {
		return err
	}
	past, err := v.theEntry(b)
	if err != nil {
		return err
	}
	words, err := v.wordsFor(b.reading)
	if err != nil {
		return err
	}
	now := past[len(past)-1]
	body := struct {
		Bed, Entry, ID, At string
		Version            int
		WrongAt            []wrong
		Blanks             []blank
		Past               []pastEntry
		Struck             bool
	}{Bed: b.ID, Entry: v.PathValue("entry"), ID: store.NewID(), At: now.Happened.Format(clock), Version: now.Version, WrongAt: bad["at"], Struck: len(now.Pairs) == 0}
	shown := now.Pairs
	for i := len(past) - 1; i > 0 && len(shown) == 0; i-- { // struck out: what it was, to be put back
		shown = past[i-1].Pairs
	}
	keys := slices.Clone(large)
	for _, p := range shown {
		if !slices.Contains(keys, string(p.Path)) {
			keys = append(keys, string(p.Path))
		}
	}
	if !slices.Contains(keys, "note") {
		keys = append(keys, "note")
	}
	for _, x := range v.blanks(tended{aBed: b, words: words}, bad, keys) {
		x.Last = ""
		x.Words = v.wordsOf(x.Key, x.Text)
		for _, p := range shown {
			if bad == nil && string(p.Path) == x.Key {
				x.Text = p.Text
				x.Words = v.wordsOf(x.Key, x.Text)
			}
		}
		if len(x.Units) > 0 {
			x.Unit, x.Units = unitOf(words, strings.TrimSpace(tend.Bare(x.Key, words.Units == lang.Metric))), nil
		}
		body.Blanks = append(body.Blanks, x)
	}
	if bad != nil {
		body.At, body.ID = v.PostFormValue("at"), v.PostFormValue("id")
	}
	for _, p := range slices.Backward(past) {
		body.Past = append(body.Past, pastEntry{words.Date(p.Recorded.Local()) + " " + p.Recorded.Local().Format("15:04"), v.told(words, p.Pairs), words.Date(p.Happened) + " " + p.Happened.Format("15:04")})
	}
	s := v.of(b, "entry")
	s.AtBed, s.Body = true, body
	return v.showAs(statusWith(bad), "entry", s)
}

// correct gives a visit other readings, or strikes it out. What stood there stays in its history.
func (v *visit) correct() error {
	if err := v.filled(); err != nil {
		return err
	}
	b, err := v.theBed()
	if err != nil {
		return err
	}
	past, err := v.theEntry(b)
	if err != nil {
		return err
	}
	e := v.readEntry(b, v.PostForm)
	if v.PostFormValue("strike") != "" {
		e = sentEntry{at: past[len(past)-1].Happened}
	} else if len(e.pairs) == 0 && len(e.wrong) == 0 {
		e.wrong["depth"] = []wrong{{v.say("web.visit.nothing"), v.say("web.entry.strike_right")}}
	}
	if len(e.wrong) > 0 {
		return v.showEntry(e.wrong)
	}
	saw, _ := strconv.Atoi(v.PostFormValue("version"))
	id := v.PostFormValue("id")
	if id == "" {
		id = store.NewID()
	}
	if _, err := v.Store.Correct(v.context(), v.who, id, v.PathValue("entry"), saw, e.at, e.pairs); err != nil {
		return err
	}
	return v.to("/beds/" + b.ID + "/log/" + v.PathValue("entry"))
}
