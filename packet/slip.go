package packet

import (
	"slices"
	"time"

	"raftwright/finding"
	"raftwright/lang"
	"raftwright/page"
	"raftwright/plan"
	"raftwright/tend"
	"raftwright/unit"
)

// Slip is what a grower takes from one visit, on a sixth of a page: the readings as they were understood, what to do now, what
// the meters then show, when to look again, and why.
func Slip(p plan.Plan, t *tend.Tending, words *lang.Printer) []page.Block {
	w := writer{p: p, words: words, onPaper: true}
	title := p.Title()
	if title == "" {
		title = w.say("packet.title", nil)
	}
	out := []page.Block{page.Heading{Level: 1, Text: w.say("tend.slip.title", finding.Args{"Bed": title, "Day": w.dayOf(t.State.At)})}, page.Para{Text: w.understood(t)}}
	list, poured := w.deeds(t, false)
	out = append(append(append(out, w.hurts(t)...), w.absence(t)...), list)
	out = append(out, w.lawn(t)...)
	if poured {
		out = append(out, w.para("tend.slip.after", finding.Args{"EC": w.withShown(t.After.EC), "PH": w.words.Fixed(t.After.PH, 1), "Depth": w.deep(t.After.Volume)}))
	} else if n := len(t.Forecast); n > 0 && !unread(t) {
		f := t.Forecast[n-1]
		id, deep := "tend.slip.expect", w.deep(unit.Volume(f.Volume.Value)*unit.Litre)
		if dries(deep) {
			id = "tend.slip.dry"
		}
		out = append(out, w.para(id, finding.Args{"Day": w.dayOf(f.At), "EC": w.withShown(milliSiemens(f.EC.Value)), "PH": w.words.Fixed(f.PH.Value, 1), "Depth": deep}))
	}
	why := t.Actions[0]
	if at := slices.IndexFunc(t.Actions, pours); at >= 0 {
		why = t.Actions[at]
	} else if at := slices.IndexFunc(t.Actions, tooVague); at >= 0 && why.Why == tend.WhyAskValue {
		why = t.Actions[at]
	}
	return append(out, page.Para{Text: page.Bold(w.say("tend.next_check", finding.Args{"Day": w.dayOf(t.NextCheck)})) + " " + w.because(why)})
}

// unread tells whether the last readings are too old to foretell anything by.
func unread(t *tend.Tending) bool {
	return slices.ContainsFunc(t.Actions, func(a tend.Action) bool { return tooVague(a) || a.Why == tend.WhySilent })
}

func tooVague(a tend.Action) bool { return a.Why == tend.WhyVague }

// because tells why, naming what "it" is where the deed does not stand before it.
func (w writer) because(a tend.Action) page.Text {
	id := ""
	switch a.Why {
	case tend.WhyVague:
		id = "tend.slip.why_vague"
	case tend.WhyPen:
		id = "tend.slip.why_pen"
	}
	if id != "" {
		return w.text(id, finding.Args{"Reading": finding.Word("tend.kind." + a.Product), "Low": a.Args["Low"], "High": a.Args["High"]})
	}
	return w.text("tend.slip.why", finding.Args{"Why": w.say(string(a.Why), a.Args)})
}

// dayOf prints a day without its year.
func (w writer) dayOf(t time.Time) string {
	return w.say("tend.slip.day", finding.Args{"Weekday": w.words.DayName(t), "Date": w.words.MonthDay(int(t.Month()), t.Day())})
}

// dry is how deep water must be for meters to be dipped into it (own choice); what is less is told as a bed that is dry, for
// a depth of hundredths of an inch and a strength of what is left there say nothing.
const dry = 10 * unit.Millimetre

// dries tells whether a bed is as good as empty at a depth.
func dries(deep unit.Length) bool { return deep < dry }

// deep gives how deep a volume stands in the bed.
func (w writer) deep(v unit.Volume) unit.Length { return w.p.Depth() * unit.Length(v/w.p.Frame.Volume) }

// understood tells what was read last and what of it was not used.
func (w writer) understood(t *tend.Tending) page.Text {
	v := t.Visit
	var read, aside []string
	add := func(given bool, id string, value string) {
		if given {
			read = append(read, w.say("tend.slip.read_"+id, finding.Args{"Value": value}))
		}
	}
	r := v.Read
	add(r.Depth.Given, "depth", w.label(r.Depth.Value))
	add(r.EC.Given, "ec", w.withShown(r.EC.Value))
	add(r.PH.Given, "ph", w.words.Fixed(r.PH.Value, 1))
	add(r.WaterTemperature.Given, "warmth", w.label(r.WaterTemperature.Value))
	if len(read) == 0 {
		return w.text("tend.slip.nothing_read", finding.Args{"Day": w.dayOf(v.At)})
	}
	for _, x := range t.Readings {
		if x.At.Equal(v.At) && !x.Used {
			name := w.say("tend.kind."+x.Kind, nil)
			if x.Meant > 0 {
				name = w.say("tend.slip.was", finding.Args{"Reading": name, "Value": string(w.shows(x.Kind, x.Meant))})
			}
			aside = append(aside, name)
		}
	}
	text := w.text("tend.slip.read", finding.Args{"Day": w.dayOf(v.At), "Readings": w.words.Join(read)})
	if len(aside) > 0 {
		text += " " + w.text("tend.slip.aside", finding.Args{"Readings": w.words.Join(aside)})
	}
	return text
}

// slipMargin is the margin of a sheet of slips, which every printer leaves.
const slipMargin = 30

// Slips sets slips on sheets, six to a sheet, to be cut apart. On the back of a sheet in another language the slips change
// sides, so that each has its own behind it.
func Slips(p plan.Plan, cells [][]page.Block, words *lang.Printer, o Options, back bool) page.Document {
	w := onPaper(p, words, o)
	d := w.document(o)
	d.Title, d.Subtitle, d.Margin, d.Words.Page = "", "", slipMargin, w.say("press.page", nil)
	if back {
		var turned [][]page.Block
		for i := 0; i < len(cells); i += 2 {
			var right []page.Block
			if i+1 < len(cells) {
				right = cells[i+1]
			}
			turned = append(turned, right, cells[i])
		}
		cells = turned
	}
	d.Sections = []page.Section{{ID: "slips", NewPage: true, Blocks: []page.Block{page.Slips{Cells: cells}}}}
	return d
}
