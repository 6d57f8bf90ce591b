package packet

import (
	"math"

	"raftwright/finding"
	"raftwright/lang"
	"raftwright/mix"
	"raftwright/page"
	"raftwright/plan"
	"raftwright/tend"
	"raftwright/unit"
)

// BedCard is the card that hangs at a bed, from its plan and its pinned mix, with a side more by its log: what a reading of its meters
// calls for, and what to do where there is none.
func BedCard(p plan.Plan, t *tend.Tending, words *lang.Printer, o Options) page.Document {
	d := Faces(p, words, o, Side("bed")...)
	w := onPaper(p, words, o)
	d.Sections = append(d.Sections, page.Section{ID: "card-log", Title: w.say("tend.card.title", finding.Args{"Day": t.State.At}), NewPage: true, Blocks: w.byLog(t)})
	return d
}

// byLog is the side of the card that the log makes.
func (w writer) byLog(t *tend.Tending) []page.Block {
	ec := w.goodEC()
	ph := tend.Span{Low: mix.LeastWellPH, High: mix.MostWellPH}
	c := t.Card(tend.Span{Low: ec.Low, High: ec.High}, ph)
	out := []page.Block{w.para("tend.card.lead", nil)}
	table := func(head string, rows []tend.CardRow, good string, say func(float64) string) {
		tb := page.Table{Compact: true, RowHead: true, Columns: w.columns(head, "face.card.do")}
		tb.Weigh(1.1, 4)
		below := true
		for _, r := range rows {
			if below && r.Reads > middleOf(rows) {
				tb.Add(page.Text(good), w.text("tend.card.leave", nil))
				below = false
			}
			tb.Add(page.Text(say(r.Reads)), w.calls(r.Actions))
		}
		out = append(out, tb)
	}
	table("tend.card.ec_reads", c.EC, w.band(ec, w.tenth)+" mS/cm", func(x float64) string { return w.withShown(milliSiemens(x)) })
	if _, ok := w.mixedAcid(unit.Litre); ok {
		out = append(out, w.warning(w.text("tend.care.acid", nil)))
	}
	table("tend.card.ph_reads", c.PH, w.say("packet.mix.band", finding.Args{"Low": w.tenth(ph.Low), "High": w.tenth(ph.High)}), func(x float64) string { return w.tenth(x) })
	out = append(out, w.heading("tend.card.no_meter"), page.List{Items: w.withoutMeter(t, c)})
	return out
}

// middleOf gives the reading between those that are too low and those that are too high.
func middleOf(rows []tend.CardRow) float64 { return (rows[0].Reads + rows[len(rows)-1].Reads) / 2 }

// calls says what a reading calls for.
func (w writer) calls(list []tend.Action) page.Text {
	var add []string
	for _, a := range list {
		switch {
		case a.Do == tend.DoDump:
			return w.text("tend.card.thin", finding.Args{"Volume": w.inBuckets(a.Volume)})
		case a.Do == tend.DoRefill:
			return w.text("tend.do.refill", nil)
		case a.Do == tend.DoAcid:
			amount := w.handed(a)
			if a.Mass <= 0 {
				amount = w.label(a.Liquid)
			}
			return w.text("tend.card.acid", finding.Args{"Amount": amount, "Product": finding.Word("word.reagent." + a.Product)})
		case a.Do == tend.DoBase:
			return w.text("tend.card.base", finding.Args{"Mass": w.handed(a)})
		case a.Mass > 0:
			add = append(add, w.say("packet.mix.of", finding.Args{"Amount": w.handed(a), "Product": w.words.Product(a.Product)}))
		}
	}
	if len(add) == 0 {
		return w.text("tend.do.call_for_help", nil)
	}
	return w.text("tend.card.feed", finding.Args{"Amounts": w.words.Join(add)})
}

// withoutMeter tells how the bed is kept by counting alone.
func (w writer) withoutMeter(t *tend.Tending, c tend.Card) []page.Text {
	var out []page.Text
	if drop := w.deep(c.Day); drop > 0 {
		days := math.Max(1, math.Min(7, math.Floor(float64((w.p.Depth()-w.p.TopUpAt())/drop))))
		out = append(out, w.text("tend.card.drinks", finding.Args{"Volume": c.Day, "Drop": drop}),
			w.text("tend.card.fill", finding.Args{"Count": int(days), "Volume": w.inBuckets(c.Day * unit.Volume(days))}))
	}
	out = append(out, w.each("tend.card.count", nil)...)
	if t.DumpReason != "" {
		out = append(out, w.emptied(t))
	}
	return out
}
