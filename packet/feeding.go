package packet

import (
	"fmt"
	"math"
	"strings"

	"raftwright/draw"
	"raftwright/finding"
	"raftwright/mix"
	"raftwright/page"
	"raftwright/unit"
)

// mix is the mixing card: what goes in, how it is measured, and what comes out.
func (w writer) mix() (page.Section, bool) {
	m := w.p.Mix
	if m == nil {
		return page.Section{}, false
	}
	s := w.section("mix")
	if d := w.p.Frame; d != nil {
		s.Blocks = append(s.Blocks, w.para("packet.mix.lead", finding.Args{"Volume": d.Volume, "Bucket": m.Bucket}))
	}
	s.Blocks = append(s.Blocks, w.doses(m))
	spoons := false
	for _, d := range m.Doses {
		spoons = spoons || d.Spoons > 0
	}
	if spoons {
		s.Blocks = append(s.Blocks, page.Para{Text: w.text("packet.mix.spoons", nil), Small: true})
	}
	if d := w.p.Frame; d != nil && m.Bucket > 0 {
		s.Blocks = append(s.Blocks, w.boxes(d.Volume, m.Bucket))
	}
	s.Blocks = append(s.Blocks, w.heading("packet.mix.order.title"), w.order(m),
		w.caution(finding.Caution, append(w.each("packet.mix.order", nil)[1:], w.each("packet.safety.feed", nil)...)...),
		w.para("packet.mix.reads", finding.Args{"EC": m.EC, "PH": w.words.Fixed(m.PH, 1)}))
	s.Blocks = append(s.Blocks, w.elements(m), w.para("packet.mix.nitrogen", finding.Args{
		"Nitrate": m.Nitrogen.Nitrate, "Ammonium": m.Nitrogen.Ammonium, "Urea": m.Nitrogen.Urea}))
	if m.Nitrogen.Urea > 0.01 {
		s.Blocks = append(s.Blocks, w.para("packet.mix.nitrogen_urea", nil))
	}
	s.Blocks = append(s.Blocks, w.para("packet.mix.topup", finding.Args{"Low": 0.8 * m.EC}))
	s.Blocks = append(s.Blocks, w.of("mix")...)
	if w.p.Raft != nil {
		s.NewPage = true
	}
	return s, true
}

// doses is the table of what to weigh or measure.
func (w writer) doses(m *mix.Mix) page.Table {
	t := page.Table{RowHead: true, Columns: w.columns("packet.mix.col.product", "+packet.mix.col.bucket", "+packet.mix.col.liter", "+packet.mix.col.bed")}
	t.Columns[0].Weight, t.Columns[1].Weight, t.Columns[2].Weight, t.Columns[3].Weight = 2.4, 1.6, 1, 1
	for _, d := range m.Doses {
		bucket := string(w.grams(d.PerBucket))
		if d.Spoons > 0 {
			bucket = w.say("packet.mix.teaspoons", finding.Args{"Spoons": quarters(d.Spoons), "Grams": bucket})
		}
		if d.Liquid > 0 {
			bucket = string(w.value(d.Liquid))
		}
		bed := page.Text("")
		if d.PerBed > 0 {
			bed = w.grams(d.PerBed)
		}
		t.Rows = append(t.Rows, page.Row{Cells: []page.Text{page.Text(d.Product), page.Text(bucket), page.Text(w.words.Number(d.Strength.GramsPerLitre()) + " g"), bed}})
	}
	return t
}

func (w writer) grams(m unit.Mass) page.Text { return page.Text(w.words.Grams(m)) }

// quarters prints level spoons to a quarter: "2-1/4".
func quarters(x float64) string {
	n := int(math.Round(x * 4))
	fraction := [...]string{"", "1/4", "1/2", "3/4"}[n%4]
	switch {
	case n < 4 && fraction != "":
		return fraction
	case fraction == "":
		return fmt.Sprint(n / 4)
	}
	return fmt.Sprintf("%d-%s", n/4, fraction)
}

// boxes prints a box to tick for each bucket that the bed takes.
func (w writer) boxes(volume, bucket unit.Volume) page.Block {
	n := int(math.Ceil(float64(volume/bucket) - 0.02))
	if n > 400 {
		return w.para("packet.mix.bed", nil)
	}
	var b strings.Builder
	for i := 1; i <= n; i++ {
		fmt.Fprintf(&b, "☐ %d   ", i)
	}
	return page.Together{Blocks: []page.Block{w.heading("packet.mix.buckets"), page.Para{Text: page.Text(strings.TrimSpace(b.String()))}}}
}

// orderSteps are the sentences of the steps of mixing.
var orderSteps = map[mix.OrderAction]string{
	mix.FillMost: "packet.mix.do.fill_most", mix.AddAcid: "packet.mix.do.add_acid", mix.Dissolve: "packet.mix.do.dissolve",
	mix.DissolveApart: "packet.mix.do.dissolve_apart", mix.FillUp: "packet.mix.do.fill_up", mix.ReadMeters: "packet.mix.do.read_meters",
}

// order lists the steps of mixing in their order.
func (w writer) order(m *mix.Mix) page.List {
	var items []page.Text
	for _, s := range m.Order {
		items = append(items, w.text(orderSteps[s.Do], finding.Args{"Product": s.Product}))
	}
	if len(items) == 0 {
		items = w.each("packet.mix.order", nil)[:1]
	}
	return page.List{Kind: page.Numbered, Items: items}
}

// elements is the table of what the plants get.
func (w writer) elements(m *mix.Mix) page.Table {
	t := page.Table{Caption: w.text("packet.mix.table", nil), Compact: true, RowHead: true,
		Columns: w.columns("packet.mix.col.element", "+packet.mix.col.target", "+packet.mix.col.water", "+packet.mix.col.reached", "+packet.mix.col.share")}
	wanted := map[mix.Nutrient]unit.MassConcentration{}
	for _, x := range m.Wishes {
		wanted[x.Nutrient] = x.Level
	}
	mg := func(c unit.MassConcentration) page.Text { return page.Text(w.words.Number(c.MilligramsPerLitre())) }
	for _, n := range mix.Elements() {
		target, reached := wanted[n], m.Achieved[n]
		if target == 0 && reached < 1e-9 {
			continue
		}
		row := page.Row{Cells: []page.Text{page.Text(w.say("word.nutrient."+n.Symbol(), nil)), "–", mg(m.Water[n]), mg(reached), "–"}}
		if target > 0 {
			row.Cells[1] = mg(target)
			row.Cells[4] = page.Text(w.words.Percent(unit.Fraction(reached / target)))
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// season prints the year of the place: light, air and solution by month, the
// window of the crop, and the dates of the batches.
func (w writer) season() (page.Section, bool) {
	e := w.p.Season
	if e == nil {
		return page.Section{}, false
	}
	s := w.section("season")
	if len(e.Months) == 0 {
		s.Blocks = append(s.Blocks, w.para("packet.season.none", nil))
		return s, true
	}
	s.Blocks = append(s.Blocks, w.para("packet.season.lead", nil))
	t := page.Table{Compact: true, RowHead: true, Columns: w.columns("packet.season.col.month", "+packet.season.col.air", "+packet.season.col.pool", "+packet.season.col.light", "+packet.season.col.et", "+packet.season.col.oxygen")}
	unitName := "mm"
	if !w.p.Metric() {
		unitName = "in"
	}
	t.Columns[4].Title = w.text("packet.season.col.et", finding.Args{"Unit": unitName})
	for _, m := range e.Months {
		et := w.words.Fixed(m.ET0.Millimetres(), 1)
		if !w.p.Metric() {
			et = w.words.Fixed(float64(m.ET0)/float64(unit.Inch), 2)
		}
		t.Rows = append(t.Rows, page.Row{Cells: []page.Text{page.Text(w.words.Month(m.Number)), w.degrees(m.Air), w.degrees(m.Pool) + " / " + w.degrees(m.PoolMax),
			page.Text(w.words.Number(float64(m.Light))), page.Text(et), page.Text(w.words.Fixed(m.Oxygen.MilligramsPerLitre(), 1))}})
	}
	s.Blocks = append(s.Blocks, t, w.yearChart())
	s.Blocks = append(s.Blocks, w.windows()...)
	if len(e.Batches) > 0 {
		b := page.Table{Compact: true, Columns: w.columns("packet.season.col.sow", "packet.season.col.move", "packet.season.col.cut", "+packet.season.col.plants", "+packet.season.col.head", "+packet.season.col.drink")}
		for _, x := range e.Batches {
			b.Rows = append(b.Rows, page.Row{Cells: []page.Text{w.value(x.Sow), w.value(x.SetOut), w.value(x.Harvest),
				page.Text(fmt.Sprint(x.Plants)), w.grams(x.Fresh), w.value(x.Water.Volume)}})
		}
		s.Blocks = append(s.Blocks, w.heading("packet.season.batches"), b)
	}
	s.Blocks = append(s.Blocks, page.Para{Text: w.text("packet.season.band", nil), Small: true})
	s.Blocks = append(s.Blocks, w.of("season", "pool", "sky", "crop")...)
	return s, true
}

// degrees prints a temperature without its unit twice: "64 °F" or "18 °C".
func (w writer) degrees(t unit.Temperature) page.Text {
	if w.p.Metric() {
		return page.Text(w.words.Fixed(t.Celsius(), 0) + " °C")
	}
	return page.Text(w.words.Fixed(t.Fahrenheit(), 0) + " °F")
}

// yearChart draws air, solution and light by month.
func (w writer) yearChart() page.Figure {
	months := w.p.Season.Months
	names := make([]string, len(months))
	air, pool, hot := make([]float64, len(months)), make([]float64, len(months)), make([]float64, len(months))
	for i, m := range months {
		names[i] = w.words.Month(m.Number)
		shown := func(t unit.Temperature) float64 {
			if w.p.Metric() {
				return t.Celsius()
			}
			return t.Fahrenheit()
		}
		air[i], pool[i], hot[i] = shown(m.Air), shown(m.Pool), shown(m.PoolMax)
	}
	degree := "°F"
	if w.p.Metric() {
		degree = "°C"
	}
	c := draw.Chart{ID: "year", Title: w.say("packet.season.caption", nil), Alt: w.say("alt.season", nil), Slots: names, Axis: degree, Large: w.large,
		Series: []draw.Series{
			{Label: w.say("word.air", nil), Values: air, Dash: draw.Dashed},
			{Label: w.say("word.pool_mean", nil), Values: pool, Marked: true, Shape: draw.Disc},
			{Label: w.say("word.pool_max", nil), Values: hot, Dash: draw.Dotted, Marked: true, Shape: draw.Triangle},
		}}
	return page.Figure{Drawing: c.Drawing(), Caption: page.Text(c.Title), Height: 200}
}

// money prints the reckoning.
func (w writer) money() (page.Section, bool) {
	c := w.p.Cost
	if c == nil {
		return page.Section{}, false
	}
	t := page.Table{Columns: w.columns("packet.money.col.what", "+packet.money.col.amount")}
	t.Columns[0].Weight, t.Columns[1].Weight = 3, 1
	row := func(id string, v page.Text) {
		t.Rows = append(t.Rows, page.Row{Cells: []page.Text{w.text(id, nil), v}})
	}
	row("packet.money.first", w.value(c.FirstCost))
	row("packet.money.cash", w.value(c.CashPerCrop))
	row("packet.money.crop", w.value(c.PerCrop))
	row("packet.money.head", w.value(c.PerHead))
	row("packet.money.break_even", w.value(c.BreakEven))
	switch {
	case math.IsNaN(c.PaybackCrops):
		row("packet.money.payback", w.text("packet.money.unknown", nil))
	case math.IsInf(c.PaybackCrops, 1):
		row("packet.money.payback", w.text("packet.money.never", nil))
	default:
		row("packet.money.payback", page.Text(w.words.Number(c.PaybackCrops)))
	}
	s := w.section("money", t, page.Para{Text: w.text("packet.money.note", nil), Small: true})
	s.Blocks = append(s.Blocks, w.of("cost")...)
	return s, true
}
