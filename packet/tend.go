package packet

import (
	"math"
	"slices"
	"strings"

	"raftwright/finding"
	"raftwright/lang"
	"raftwright/page"
	"raftwright/plan"
	"raftwright/tend"
	ills "raftwright/trouble"
	"raftwright/unit"
)

// Tending makes the page of a tended bed: what it holds, how sure that is, and the readings that
// were set aside.
func Tending(p plan.Plan, t *tend.Tending, words *lang.Printer) page.Document {
	w := writer{p: p, words: words}
	d := w.document(Options{})
	d.Subtitle = ""
	d.Sections = []page.Section{
		{ID: "do", Title: w.say("tend.title.do", nil), Blocks: w.toDo(t)},
		{ID: "state", Title: w.say("tend.title.state", finding.Args{"Day": t.State.At}), Blocks: w.bedState(t)},
		{ID: "ahead", Title: w.say("tend.title.ahead", nil), Blocks: w.ahead(t)},
		{ID: "readings", Title: w.say("tend.title.readings", nil), Blocks: w.aside(t)},
		{ID: "learned", Title: w.say("tend.title.learned", nil), Blocks: w.learned(t)},
	}
	if len(t.Wrong.Causes) > 0 {
		wrong := page.Section{ID: "causes", Title: w.say("tend.title.causes", nil), Blocks: w.causes(t)}
		d.Sections = slices.Insert(d.Sections, 1, wrong)
	}
	return d
}

// AtBed makes what stands on a page at the bed: what to do now, in buckets and spoons, as on the slip, and drawn; and all that it rests on.
// Under doors, where that is an address, each thing that is drawn leads to where it comes from.
func AtBed(p plan.Plan, t *tend.Tending, words *lang.Printer, doors string) (now, rest page.Document) {
	rest = Tending(p, t, words)
	now = rest
	now.Sections, now.Doors = []page.Section{rest.Sections[0]}, doors
	strip := writer{p: p, words: words}
	if doors != "" {
		strip.doors = map[string]string{} // no figure of the plan stands in it
	}
	now.Sections[0].Blocks = append(Slip(p, t, words)[1:], strip.drawn(t)...) // its title is the page's
	reasons := writer{p: p, words: words, cites: &citations{}}
	for _, a := range t.Actions {
		reasons.cite(a.Source)
	}
	rest.Sections[0].Blocks = append(slices.Clone(rest.Sections[0].Blocks), reasons.sources()[1:]...)
	rest.Sections[0].ID, rest.Sections[0].Title = "reasons", words.Say("tend.title.reasons", nil)
	return now, rest
}

// bedState is the table of the state.
func (w writer) bedState(t *tend.Tending) []page.Block {
	s := t.State
	table := page.Table{RowHead: true, Compact: true, Columns: w.columns("tend.col.what", "+tend.col.now", "+tend.col.low", "+tend.col.high")}
	row := func(name string, r tend.Range, say func(float64) page.Text) {
		table.Add(w.text(name, nil), say(r.Value), say(r.Low), say(r.High))
	}
	row("tend.row.volume", s.Volume, func(x float64) page.Text { return page.Text(w.ofBed(unit.Volume(x) * unit.Litre)) })
	row("tend.row.depth", s.Depth, func(x float64) page.Text { return w.value(unit.Length(x) * unit.Millimetre) })
	row("tend.row.ec", s.EC, func(x float64) page.Text { return w.value(unit.Conductivity(x) * unit.MillisiemensPerCentimetre) })
	row("tend.row.ph", s.PH, func(x float64) page.Text { return w.fixed(x, 1) })
	for _, name := range tend.Substances() {
		if r := s.Holds[name]; r.High >= leastTold {
			row("tend.row."+string(name), r, func(x float64) page.Text { return w.dissolved(x) })
		}
	}
	blocks := []page.Block{w.para("tend.lead", nil), table}
	if s.Plants > 0 {
		id := "tend.plants"
		if w.p.Ground == nil { // without a climate nobody knows what they weigh
			id = "tend.plants_only"
		}
		blocks = append(blocks, w.para(id, finding.Args{"Count": s.Plants, "Mass": unit.Head(s.Fresh), "Warmth": s.Temperature}))
	}
	for _, f := range t.Findings {
		if slices.Contains(ofState, f.ID) {
			blocks = append(blocks, w.check(w.text(string(f.ID), f.Args)))
		}
	}
	if l := t.Leak; l.Probability >= leakTold && leakBelieved(t) {
		id := "tend.leak"
		if slices.ContainsFunc(t.Actions, func(a tend.Action) bool { return a.Why == tend.WhyMayLeak }) { // it is not looked for yet
			id = "tend.leak_open"
		}
		blocks = append(blocks, w.check(w.text(id, finding.Args{"Share": unit.Fraction(min(mostSure, l.Probability)), "Rate": w.rate(l.Rate.Value),
			"Low": w.rate(l.Rate.Low), "High": w.rate(l.Rate.High)})))
	}
	return blocks
}

// leakBelieved says whether a leak is worth telling: what may be dry days, a depth from the rim or a bed that stands indoors is told as that.
func leakBelieved(t *tend.Tending) bool {
	return !slices.ContainsFunc(t.Actions, func(a tend.Action) bool { return a.Why == tend.WhyDryDays || a.Why == tend.WhyRim }) &&
		!slices.ContainsFunc(t.Findings, func(f finding.Finding) bool { return f.ID == tend.FindElsewhere })
}

// leastTold is the strength, mg/L, below which a substance is not worth a row; leakTold the chance
// of a leak from which on it is named (reference methods, section 8).
const leastTold, leakTold, mostSure = 0.5, 0.2, 0.99

// toDo lists what to do now, each with its reason, and when to look again.
func (w writer) toDo(t *tend.Tending) []page.Block {
	list, poured := w.deeds(t, true)
	blocks := append(append(append(w.hurts(t), w.absence(t)...), list), w.lawn(t)...)
	if poured {
		blocks = append(blocks, w.para("tend.after", finding.Args{"EC": t.After.EC, "PH": w.words.Fixed(t.After.PH, 1), "Volume": t.After.Volume}))
	}
	if n := t.IfNothing; n.Limit != "" {
		id := "tend.if_nothing"
		if !n.At.After(t.State.At) {
			id = "tend.if_now"
		}
		blocks = append(blocks, w.para(id, finding.Args{"Limit": finding.Word("tend.limit." + string(n.Limit)), "Day": n.At}))
	}
	blocks = append(blocks, w.para("tend.next_check", finding.Args{"Day": t.NextCheck}))
	if t.DumpReason != "" {
		blocks = append(blocks, page.Para{Text: w.emptied(t)})
	}
	if q := t.Ask; q.Reading != "" {
		blocks = append(blocks, w.para("tend.ask", finding.Args{"Reading": finding.Word("tend.kind." + q.Reading)}))
	}
	return blocks
}

// ofBed prints what stands in a bed: to whole gallons or liters, as nobody reads it finer, and of a bed that ran out no cups.
func (w writer) ofBed(v unit.Volume) string {
	one := unit.Litre
	if !w.p.Metric() {
		one = unit.Gallon
	}
	if v < one {
		return w.say("tend.under", finding.Args{"Volume": one})
	}
	digits, name := 0, "litre"
	if !w.p.Metric() {
		name = "gallon"
	}
	if v < 10*one {
		digits = 1
	}
	return w.words.With(w.words.Fixed(float64(v/one), digits), name)
}

// rate prints liters a day in one unit, so that its ends can be held beside each other.
func (w writer) rate(litres float64) string {
	if w.p.Metric() {
		return w.words.With(w.words.Fixed(litres, 1), "litre")
	}
	return w.words.With(w.words.Fixed((unit.Volume(litres)*unit.Litre).Gallons(), 1), "gallon")
}

// dissolved prints mg/L of what a bed holds; what is not told from none is none, and under 10 there is one decimal.
func (w writer) dissolved(x float64) page.Text {
	switch x = math.Round(x*10) / 10; {
	case x < 1:
		return w.value(unit.MassConcentration(0))
	case x < 10:
		return w.text("tend.strength", finding.Args{"Value": w.words.Fixed(x, 1)})
	}
	return w.value(unit.MassConcentration(x) * unit.MilligramPerLitre)
}

// absence tells for which days of a break the advice is.
func (w writer) absence(t *tend.Tending) (out []page.Block) {
	for _, f := range t.Findings {
		if f.ID == tend.FindBreak {
			out = append(out, w.para(string(f.ID), f.Args))
		}
	}
	return out
}

// emptied tells by when the bed is to be emptied, and between which days that lies.
func (w writer) emptied(t *tend.Tending) page.Text {
	args := finding.Args{"Day": t.DumpBy, "Reason": finding.Word("tend.dump." + string(t.DumpReason))}
	if t.DumpFrom.Equal(t.DumpTo) {
		return w.text("tend.dump_by", args)
	}
	args["From"], args["To"] = t.DumpFrom, t.DumpTo
	return w.text("tend.dump_between", args)
}

// ahead is the table of the days ahead.
func (w writer) ahead(t *tend.Tending) []page.Block {
	table := page.Table{RowHead: true, Compact: true, Stack: true, Columns: w.columns("tend.col.day", "+tend.row.volume", "+tend.row.ec", "+tend.row.ph", "+tend.col.warmth")}
	for _, f := range t.Forecast {
		span := func(r tend.Range, say func(float64) string) page.Text {
			return w.text("tend.span", finding.Args{"Value": say(r.Value), "Low": say(r.Low), "High": say(r.High)})
		}
		warmth := page.Text("–")
		if w.p.Ground != nil {
			warmth = w.value(unit.Temperature(f.Warmth.Value))
		}
		table.Add(page.Text(w.words.Date(f.At)),
			span(f.Volume, func(x float64) string { return w.ofBed(unit.Volume(x) * unit.Litre) }),
			span(f.EC, func(x float64) string { return w.words.Fixed(x, 1) }),
			span(f.PH, func(x float64) string { return w.words.Fixed(x, 1) }),
			warmth)
	}
	return []page.Block{w.para("tend.ahead", nil), table}
}

// aside lists the readings that were set aside.
func (w writer) aside(t *tend.Tending) []page.Block {
	table := page.Table{RowHead: true, Compact: true, Stack: true, Columns: w.columns("tend.col.day", "tend.col.kind", "+tend.col.read", "+tend.col.expected", "+tend.col.meant")}
	for _, r := range t.Readings {
		if r.Used {
			continue
		}
		say := func(x float64) page.Text { return w.shows(r.Kind, x) }
		meant := page.Text("–")
		if r.Meant > 0 {
			meant = say(r.Meant)
		}
		table.Add(page.Text(w.words.Date(r.At)), w.text("tend.kind."+r.Kind, nil), say(r.Read), say(r.Value), meant)
	}
	var blocks []page.Block
	for _, f := range t.Findings {
		if f.ID != tend.FindAcid && f.ID != tend.FindBase && f.ID != tend.FindBreak && !slices.Contains(ofState, f.ID) && !slices.Contains(ofCauses, f.ID) {
			blocks = append(blocks, w.check(w.text(string(f.ID), f.Args)))
		}
	}
	if len(table.Rows) == 0 {
		return append(blocks, w.para("tend.all_used", finding.Args{"Count": len(t.Readings)}))
	}
	return append(blocks, w.para("tend.aside", nil), table)
}

// shows prints a reading of a kind, which is in the unit of its key.
func (w writer) shows(kind string, x float64) page.Text {
	switch kind {
	case "ec":
		return w.value(milliSiemens(x))
	case "depth":
		return w.value(unit.Length(x) * unit.Millimetre)
	case "ph":
		return w.fixed(x, 1)
	}
	return w.value(unit.MassConcentration(x) * unit.MilligramPerLitre)
}

// ofState are the findings told beside what the bed holds.
var ofState = []finding.ID{tend.FindOrganic, tend.FindSalty, tend.FindElsewhere}

// ofCauses are the findings told beside what may be wrong; the others are of the log.
var ofCauses = []finding.ID{tend.FindUnsure, tend.FindCall, tend.FindLabel}

// learned tells what this bed taught.
func (w writer) learned(t *tend.Tending) []page.Block {
	l := t.Learned
	return []page.Block{page.List{Items: []page.Text{
		w.text("tend.learned.growth", finding.Args{"Factor": w.words.Fixed(l.Growth, 2)}),
		w.text("tend.learned.water", finding.Args{"Factor": w.words.Fixed(l.Water, 2)}),
	}}}
}

// mostCauses is how many causes the page tells.
const mostCauses = 3

// unplain gives the causes beside those that a sign is by itself, with their shares of what is left.
func unplain(t *tend.Tending) (out []ills.Cause) {
	left := 1.0
	for _, c := range t.Wrong.Causes {
		if slices.Contains(t.Wrong.Plain, c.Trouble) {
			left -= c.Share
		} else {
			out = append(out, c)
		}
	}
	for i := range out {
		out[i].Share /= math.Max(left, 0.01)
	}
	return out
}

// causes tells what may be wrong.
func (w writer) causes(t *tend.Tending) []page.Block {
	var blocks []page.Block
	if t.Wrong.Rest {
		blocks = append(blocks, w.para("tend.causes.lead", nil))
	}
	for _, f := range t.Findings {
		if !slices.Contains(ofCauses, f.ID) {
			continue
		}
		blocks = append(blocks, w.check(w.text(string(f.ID), f.Args)))
	}
	signs := func(keys []string) string {
		var out []string
		for _, k := range keys[:min(4, len(keys))] {
			out = append(out, w.say("trouble.sign."+k, nil))
		}
		return strings.Join(out, "; ")
	}
	for _, x := range t.Wrong.Plain {
		blocks = append(blocks, w.para("tend.causes.plain", finding.Args{"Name": finding.Word("word.trouble." + x), "Do": w.say("trouble.do."+x, nil)}))
	}
	list := unplain(t)
	if !t.Wrong.Rest {
		return blocks
	}
	list = list[:min(mostCauses, len(list))]
	known := 0.0
	for _, c := range list {
		known += c.Share
		items := []page.Text{w.text("tend.causes.check", finding.Args{"Check": w.say("trouble.check."+c.Trouble, nil)}), w.text("tend.causes.do", finding.Args{"Do": w.say("trouble.do."+c.Trouble, nil)})}
		items = append(items, w.portions(c, unit.Volume(t.State.Volume.Value)*unit.Litre)...)
		if len(c.For) > 0 {
			items = append(items, w.text("tend.causes.for", finding.Args{"Signs": signs(c.For)}))
		}
		if len(c.Against) > 0 {
			items = append(items, w.text("tend.causes.against", finding.Args{"Signs": signs(c.Against)}))
		}
		blocks = append(blocks, w.para("tend.causes.one_of_them", finding.Args{"Name": finding.Word("word.trouble." + c.Trouble), "Share": unit.Fraction(c.Share)}), page.List{Items: items})
	}
	blocks = append(blocks, w.para("tend.causes.rest", finding.Args{"Share": unit.Fraction(max(0, 1-known))}))
	if q := t.Wrong.Next; len(q.Signs) > 0 {
		blocks = append(blocks, w.para("tend.causes.next", finding.Args{"Signs": signs(q.Signs)}))
	}
	return blocks
}

// portions tells how much is added against a want.
func (w writer) portions(c ills.Cause, volume unit.Volume) (out []page.Text) {
	for _, p := range tend.Portions(c, volume) {
		id, args := p.Said()
		out = append(out, w.text(id, args))
	}
	return out
}
