package packet

import (
	"math"
	"unicode"
	"unicode/utf8"

	"raftwright/crop"
	"raftwright/draw"
	"raftwright/finding"
	"raftwright/mix"
	"raftwright/page"
	"raftwright/unit"
)

// seedlings tells how to raise and plant them.
func (w writer) seedlings() []page.Block {
	c := w.p.Crop
	args := finding.Args{
		"Germ": c.Germination.Best, "Tray": c.Tray(), "Warmer": c.Germination.Best > c.Tray(), "Days": w.emergence(),
		"Nursery": w.span(c.Nursery.Min.Days(), c.Nursery.Max.Days()), "Crop": c.Word(),
	}
	sow := c.Sow(10, crop.Spare, c.Tray())
	args["Plugs"], args["Each"], args["Share"] = sow.Trays, sow.Each, sow.Share
	items := w.each("packet.seed", args)
	if !c.Germination.Given {
		items[0] = w.text("packet.seed.plant", args)
	}
	dip := w.text("packet.seed.dip", finding.Args{"Dip": w.p.Raft.Dip.WetPlanted})
	if w.p.Raft.Dip.WetPlanted <= 0 {
		dip = w.text("packet.seed.dry", nil)
	}
	return []page.Block{page.List{Kind: page.Numbered, Items: append(items, dip, w.text("packet.seed.shade", nil))}}
}

// emergence gives the days in which seed comes up in the tray, whole ones as in the calendar.
func (w writer) emergence() int {
	c := w.p.Crop
	after := c.Germination.AtBest
	if e, ok := c.Emerge(c.Tray()); ok && !e.None {
		after = e.After
	}
	if s := w.p.Season; s != nil && s.Emerge.After > 0 {
		after = s.Emerge.After
	}
	return max(1, int(math.Round(after.Days())))
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
func (w writer) capital(word finding.Word) page.Text {
	s := w.say(string(word), nil)
	r, n := utf8.DecodeRuneInString(s)
	return page.Text(string(unicode.ToUpper(r)) + s[n:])
}

// care is the weekly round.
func (w writer) care() []page.Block {
	inch, per := unit.Inch, w.p.PerInch()
	if w.metric() {
		inch, per = unit.Centimetre, w.p.PerInch()*unit.Volume(unit.Centimetre/unit.Inch)
	}
	return []page.Block{w.bullets("packet.care", finding.Args{"Low": w.p.TopUpAt(), "Step": inch, "PerInch": per})}
}

// bands are the good ranges that the card and the log sheet print.
func (w writer) bands() (ec, ph, warm, depth string) {
	span := func(from, to string) string { return w.say("word.range", finding.Args{"From": from, "To": to}) }
	well := w.goodEC()
	return span(w.tenth(well.Low), w.tenth(well.High)), span(w.tenth(mix.LeastWellPH), w.tenth(mix.MostWellPH)),
		w.say("word.below", finding.Args{"Value": string(w.degrees(w.p.Crop.Watch()))}), span(w.label(w.p.TopUpAt()), w.label(w.p.Depth()))
}

// goodEC is the range of EC, mS/cm, in which all is well: of this mix, as on its card, or of
// the crop where nothing was mixed.
func (w writer) goodEC() mix.Band {
	if m := w.p.Mix; m != nil && len(m.Doses) > 0 {
		return m.Meters.Well
	}
	return mix.Band{Low: w.p.Crop.EC.Min.MillisiemensPerCentimetre(), High: w.p.Crop.EC.Max.MillisiemensPerCentimetre()}
}

// card is the page that hangs at the bed: the good ranges, the dipstick table
// and a strip at full size to glue on a stick.
func (w writer) card() []page.Block {
	left := []page.Block{w.para("packet.card.lead", nil), w.bandTable()}
	if m := w.p.Mix; m != nil {
		left = append(left, w.topUp(m))
	}
	left = append(append(left, w.dipstick(1+len(w.strips())/2)...), w.para("packet.card.strip", nil))
	if len(w.strips()) > 1 {
		return append(left, w.stripFigure())
	}
	return []page.Block{page.Beside{Columns: [][]page.Block{left, {w.stripFigure()}}, Weights: []float64{5, 3}}}
}

// log is the sheet to write on, with the good ranges over its columns.
func (w writer) log() []page.Block {
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
	return []page.Block{w.para("packet.care.log_lead", nil), page.LogSheet{Columns: cols, Rows: rows, Height: draw.OnPaper(10 * unit.Millimetre)}}
}

// watch lists what goes wrong, mosquitoes, and times when nobody comes.
func (w writer) watch() []page.Block {
	args := finding.Args{"Watch": w.p.Crop.Watch(), "Act": w.p.Crop.Act()}
	var items []page.Text
	for _, id := range []string{"roots", "yellow", "brown", "long", "algae", "early", "spray"} {
		items = append(items, w.text("packet.watch."+id, args))
	}
	away := []page.Text{w.text("packet.watch.plain", nil)}
	if daily, drop, days, ok := w.p.Thirst(); ok {
		away = w.each("packet.watch.away", finding.Args{"Daily": daily, "Drop": drop, "Count": max(1, days)})
	}
	if w.pumped() {
		away = append(away, w.text("packet.watch.pump", nil))
	}
	return []page.Block{page.List{Kind: page.Bullets, Items: items},
		w.heading("packet.watch.mosquito.title"), w.bullets("packet.watch.mosquito", nil),
		w.heading("packet.watch.away.title"), page.List{Kind: page.Bullets, Items: away}}
}

// harvest tells how to cut, wash and cool.
func (w writer) harvest() []page.Block {
	c := w.p.Crop
	out := []page.Block{page.Para{Text: w.ofTheCrop()}, w.warning(w.each("packet.safety.food", finding.Args{"Rain": w.rain()})...), w.steps("packet.harvest", finding.Args{
		"Crop": c.Word(), "Name": string(w.capital(c.Word())), "Low": c.Mass.Min, "High": c.Mass.Max,
		"Days": w.span(c.Storage.For.Min.Days(), c.Storage.For.Max.Days()), "Cold": c.Storage.At.Max,
	})}
	if w.p.Sells() {
		out = append(out, w.para("packet.harvest.sell", nil))
	}
	return out
}

// ofTheCrop tells how the crop is cut, and what is to be known of it on a raft.
func (w writer) ofTheCrop() page.Text {
	c := w.p.Crop
	return w.text("packet.harvest.way", finding.Args{"Crop": c.Word(), "Way": c.HarvestWay()}) + " " + w.text(string(c.Remark()), nil)
}

// cleaning tells what to do between crops and with the old solution.
func (w writer) cleaning() []page.Block {
	out := []page.Block{w.warning(w.text("packet.clean.never", nil)), w.steps("packet.clean", nil)}
	if nitrogen, lawn, ok := w.p.Spent(); ok {
		out = append(out, w.para("packet.clean.spent", finding.Args{"Nitrogen": w.words.Grams(nitrogen), "Area": lawn, "Ground": w.onGround()}))
	}
	return out
}
