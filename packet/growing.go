package packet

import (
	"math"

	"raftwright/draw"
	"raftwright/finding"
	"raftwright/page"
	"raftwright/unit"
)

// seedlings tells how to raise and plant them.
func (w writer) seedlings() (page.Section, bool) {
	c := w.p.Crop
	args := finding.Args{
		"Germ": c.Germination.Best, "Days": int(math.Round(c.Germination.AtBest.Days())),
		"Nursery": w.span(c.Nursery.Min.Days(), c.Nursery.Max.Days()), "Dip": unit.Inch / 16,
	}
	if w.p.Raft != nil {
		args["Dip"] = max(0, w.p.Raft.Dip.WetPlanted)
	}
	s := w.section("seed", w.steps("packet.seed", args))
	return s, w.p.Raft != nil
}

// span prints a range of whole numbers: "12 to 28", or one number.
func (w writer) span(a, b float64) string {
	lo, hi := w.words.Fixed(a, 0), w.words.Fixed(b, 0)
	if lo == hi {
		return lo
	}
	return w.say("word.span", finding.Args{"From": lo, "To": hi})
}

// care is the weekly round and the log sheet with the wanted bands.
func (w writer) care() (page.Section, bool) {
	if w.p.Frame == nil {
		return page.Section{}, false
	}
	c := w.p.Crop
	low := w.p.Depth() - unit.Inch
	s := w.section("care", page.List{Kind: page.Bullets, Items: w.each("packet.care", finding.Args{
		"Low": max(low, w.p.Depth()/2), "PerInch": w.p.PerInch(),
	})})
	ecLow, ecHigh := c.EC.Min.MillisiemensPerCentimetre(), c.EC.Max.MillisiemensPerCentimetre()
	s.Blocks = append(s.Blocks, page.PageBreak{}, w.heading("packet.care.log"),
		w.para("packet.care.log_lead", finding.Args{"ECLow": ecLow, "ECHigh": ecHigh, "Warm": unit.Temperature(23)}))
	band := w.say("word.span", finding.Args{"From": w.words.Number(ecLow), "To": w.words.Number(ecHigh)})
	var cols []page.LogColumn
	for _, c := range []struct {
		id, hint string
		weight   float64
	}{{"date", "", 1}, {"who", "", 0.8}, {"depth", "", 0.8}, {"temp", "< 23 °C", 0.9}, {"ec", band, 0.9}, {"ph", "5.5–6.5", 0.8}, {"added", "", 1}, {"feed", "", 1}, {"note", "", 2.4}} {
		cols = append(cols, page.LogColumn{Title: w.say("packet.care.col."+c.id, nil), Hint: c.hint, Weight: c.weight})
	}
	rows := 20
	if w.large {
		rows = 14
	}
	s.Blocks = append(s.Blocks, page.LogSheet{Columns: cols, Rows: rows, Height: draw.OnPaper(10 * unit.Millimetre)})
	return s, true
}

// watch lists what goes wrong, mosquitoes, and times when nobody comes.
func (w writer) watch() (page.Section, bool) {
	args := finding.Args{"Watch": unit.Temperature(23), "Act": unit.Temperature(26)}
	var items []page.Text
	for _, id := range []string{"roots", "yellow", "brown", "long", "algae", "early", "spray"} {
		items = append(items, w.text("packet.watch."+id, args))
	}
	away := w.each("packet.watch.away", nil)
	if daily, drop, days, ok := w.p.Thirst(); ok {
		away = w.each("packet.watch.away", finding.Args{"Daily": daily, "Drop": drop, "Days": days})
	} else {
		away = []page.Text{w.text("packet.watch.away.plain", nil)}
	}
	return w.section("watch",
		page.List{Kind: page.Bullets, Items: items},
		w.heading("packet.watch.mosquito.title"), w.bullets("packet.watch.mosquito", nil),
		w.heading("packet.watch.away.title"), page.List{Kind: page.Bullets, Items: away},
	), w.p.Frame != nil
}

// harvest tells how to cut, wash and cool.
func (w writer) harvest() (page.Section, bool) {
	c := w.p.Crop
	s := w.section("harvest", w.steps("packet.harvest", finding.Args{
		"Crop": c.Word(), "Low": c.Mass.Min, "High": c.Mass.Max,
		"DaysLow": int(c.Storage.For.Min.Days()), "DaysHigh": int(c.Storage.For.Max.Days()), "Cold": c.Storage.At.Max,
	}))
	s.Blocks = append(s.Blocks, w.caution(finding.Caution, w.each("packet.safety.food", nil)...))
	if w.p.Sells() {
		s.Blocks = append(s.Blocks, w.para("packet.harvest.sell", nil))
	}
	return s, w.p.Raft != nil
}

// cleaning tells what to do between crops and with the old solution.
func (w writer) cleaning() (page.Section, bool) {
	s := w.section("clean", w.steps("packet.clean", nil))
	if nitrogen, lawn, ok := w.p.Spent(); ok {
		s.Blocks = append(s.Blocks, w.para("packet.clean.spent", finding.Args{"Nitrogen": nitrogen, "Area": lawn}))
	}
	s.Blocks = append(s.Blocks, w.caution(finding.Caution, w.text("packet.clean.never", nil)))
	return s, w.p.Frame != nil
}
