package packet

import (
	"math"
	"unicode"
	"unicode/utf8"

	"raftwright/brief"
	"raftwright/draw"
	"raftwright/finding"
	"raftwright/page"
	"raftwright/unit"
)

// seedlings tells how to raise and plant them.
func (w writer) seedlings() (page.Section, bool) {
	c := w.p.Crop
	if w.p.Raft == nil {
		return page.Section{}, false
	}
	args := finding.Args{
		"Germ": c.Germination.Best, "Days": max(1, int(math.Round(c.Germination.AtBest.Days()))),
		"Nursery": w.span(c.Nursery.Min.Days(), c.Nursery.Max.Days()), "Crop": c.Word(),
	}
	items := w.each("packet.seed", args)
	if !c.Germination.Given {
		items[0] = w.text("packet.seed.plant", args)
	}
	dip := w.text("packet.seed.dip", finding.Args{"Dip": w.p.Raft.Dip.WetPlanted})
	if w.p.Raft.Dip.WetPlanted <= 0 {
		dip = w.text("packet.seed.dry", nil)
	}
	s := w.section("seed", page.List{Kind: page.Numbered, Items: append(items, dip, w.text("packet.seed.shade", nil))})
	s.NewPage = true
	return s, true
}

// span prints a range of whole numbers: "12 to 28", or one number.
func (w writer) span(a, b float64) string {
	lo, hi := w.words.Fixed(a, 0), w.words.Fixed(b, 0)
	if lo == hi {
		return lo
	}
	return w.say("word.span", finding.Args{"From": lo, "To": hi})
}

// capital gives a word with a capital at its start, for the head of a row or a
// sentence.
func (w writer) capital(word finding.Word) string {
	s := w.say(string(word), nil)
	r, n := utf8.DecodeRuneInString(s)
	return string(unicode.ToUpper(r)) + s[n:]
}

// lowest is the depth at which to top up.
func (w writer) lowest() unit.Length { return max(w.p.Depth()-unit.Inch, w.p.Depth()/2) }

// care is the weekly round.
func (w writer) care() (page.Section, bool) {
	if w.p.Frame == nil {
		return page.Section{}, false
	}
	inch, per := unit.Inch, w.p.PerInch()
	if w.p.Metric() {
		inch, per = unit.Centimetre, w.p.PerInch()*unit.Volume(unit.Centimetre/unit.Inch)
	}
	return w.section("care", w.bullets("packet.care", finding.Args{"Low": w.lowest(), "Step": inch, "PerInch": per})), true
}

// bands are the good ranges that the card and the log sheet print.
func (w writer) bands() (ec, ph, warm, depth string) {
	low, high := w.goodEC()
	ec = w.say("word.range", finding.Args{"From": w.words.Fixed(low.MillisiemensPerCentimetre(), 1), "To": w.words.Fixed(high.MillisiemensPerCentimetre(), 1)})
	ph = w.say("word.range", finding.Args{"From": w.words.Fixed(5.5, 1), "To": w.words.Fixed(6.5, 1)})
	warm = w.say("word.below", finding.Args{"Value": string(w.degrees(23))})
	depth = w.say("word.range", finding.Args{"From": w.label(w.lowest()), "To": w.label(w.p.Depth())})
	return ec, ph, warm, depth
}

// goodEC is the range in which all is well: of this mix, as on its card, or of
// the crop where nothing was mixed.
func (w writer) goodEC() (low, high unit.Conductivity) {
	if m := w.p.Mix; m != nil && m.Meters.Well.High > m.Meters.Well.Low {
		return unit.Conductivity(m.Meters.Well.Low) * unit.MillisiemensPerCentimetre, unit.Conductivity(m.Meters.Well.High) * unit.MillisiemensPerCentimetre
	}
	return w.p.Crop.EC.Min, w.p.Crop.EC.Max
}

// card is the page that hangs at the bed: the good ranges, the dipstick table
// and a strip at full size to glue on a stick.
func (w writer) card() (page.Section, bool) {
	if w.p.Frame == nil {
		return page.Section{}, false
	}
	ec, ph, warm, depth := w.bands()
	t := page.Table{RowHead: true, Columns: w.columns("packet.card.col.what", "packet.card.col.good")}
	for _, r := range [][2]string{{"depth", depth}, {"ec", ec + " mS/cm" + w.ownRange(w.goodEC())}, {"ph", ph}, {"warm", warm}} {
		t.Rows = append(t.Rows, page.Row{Cells: []page.Text{w.text("packet.card.row."+r[0], nil), page.Text(r[1])}})
	}
	left := []page.Block{w.para("packet.card.lead", nil), t}
	if m := w.p.Mix; m != nil {
		left = append(left, w.topUp(m))
	}
	if d, ok := w.dipstick(1 + len(w.strips())/2); ok {
		left = append(left, d)
	}
	left = append(left, w.para("packet.card.strip", nil))
	s := w.section("card")
	if len(w.strips()) > 1 {
		s.Blocks = append(left, w.stripFigure())
	} else {
		s.Blocks = []page.Block{page.Beside{Columns: [][]page.Block{left, {w.stripFigure()}}, Weights: []float64{5, 3}}}
	}
	s.NewPage = true
	return s, true
}

// log is the sheet to write on, with the good ranges over its columns.
func (w writer) log() (page.Section, bool) {
	if w.p.Frame == nil {
		return page.Section{}, false
	}
	ec, ph, warm, _ := w.bands()
	var cols []page.LogColumn
	for _, c := range []struct {
		id, hint string
		weight   float64
	}{{"date", "", 1}, {"who", "", 0.7}, {"depth", "", 0.8}, {"temp", warm, 1}, {"ec", ec, 0.9}, {"ph", ph, 0.9}, {"added", "", 0.9}, {"feed", "", 0.9}, {"note", "", 2.2}} {
		cols = append(cols, page.LogColumn{Title: w.say("packet.care.col."+c.id, nil), Hint: c.hint, Weight: c.weight})
	}
	rows := 18
	switch {
	case w.large:
		rows = 13
	case w.paper == page.A4:
		rows = 19
	}
	s := w.section("log", w.para("packet.care.log_lead", nil), page.LogSheet{Columns: cols, Rows: rows, Height: draw.OnPaper(10 * unit.Millimetre)})
	s.NewPage = true
	return s, true
}

// watch lists what goes wrong, mosquitoes, and times when nobody comes.
func (w writer) watch() (page.Section, bool) {
	if w.p.Frame == nil {
		return page.Section{}, false
	}
	args := finding.Args{"Watch": unit.Temperature(23), "Act": unit.Temperature(26)}
	var items []page.Text
	for _, id := range []string{"roots", "yellow", "brown", "long", "algae", "early", "spray"} {
		items = append(items, w.text("packet.watch."+id, args))
	}
	away := []page.Text{w.text("packet.watch.plain", nil)}
	if daily, drop, days, ok := w.p.Thirst(); ok {
		away = w.each("packet.watch.away", finding.Args{"Daily": daily, "Drop": drop, "Count": max(1, days)})
	}
	if p := w.p.Brief.Site.Pump; p.Given && p.Value != brief.NoPump {
		away = append(away, w.text("packet.watch.pump", nil))
	}
	s := w.section("watch",
		page.List{Kind: page.Bullets, Items: items},
		w.heading("packet.watch.mosquito.title"), w.bullets("packet.watch.mosquito", nil),
		w.heading("packet.watch.away.title"), page.List{Kind: page.Bullets, Items: away})
	s.NewPage = true
	return s, true
}

// harvest tells how to cut, wash and cool.
func (w writer) harvest() (page.Section, bool) {
	c := w.p.Crop
	if w.p.Raft == nil {
		return page.Section{}, false
	}
	s := w.section("harvest", w.steps("packet.harvest", finding.Args{
		"Crop": c.Word(), "Name": w.capital(c.Word()), "Low": c.Mass.Min, "High": c.Mass.Max,
		"Days": w.span(c.Storage.For.Min.Days(), c.Storage.For.Max.Days()), "Cold": c.Storage.At.Max,
	}))
	s.Blocks = append(s.Blocks, w.caution(finding.Caution, w.each("packet.safety.food", nil)...))
	if w.p.Sells() {
		s.Blocks = append(s.Blocks, w.para("packet.harvest.sell", nil))
	}
	s.NewPage = true
	return s, true
}

// cleaning tells what to do between crops and with the old solution.
func (w writer) cleaning() (page.Section, bool) {
	s := w.section("clean", w.steps("packet.clean", nil))
	if nitrogen, lawn, ok := w.p.Spent(); ok {
		s.Blocks = append(s.Blocks, w.para("packet.clean.spent", finding.Args{"Nitrogen": w.words.Grams(nitrogen), "Area": lawn}))
	}
	s.Blocks = append(s.Blocks, w.caution(finding.Caution, w.text("packet.clean.never", nil)))
	return s, w.p.Frame != nil
}
