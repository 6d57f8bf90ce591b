package packet

import (
	"slices"
	"strings"

	"raftwright/cost"
	"raftwright/finding"
	"raftwright/mix"
	"raftwright/page"
	"raftwright/unit"
)

// feedMore is what the mixing pages say beyond the card: what this meter shows,
// first fill and top-up, what urea does to the readings, the two tanks, what it
// costs, and simpler mixes.
func (w writer) feedMore(m *mix.Mix) []page.Block {
	return slices.Concat(w.scales(m.Meters), w.fillAndTopUp(m), w.ureaPath(m), w.tanks(m.Stock), w.feedCosts(m.Cost), w.simpler(m))
}

// onMeter gives what the grower's own meter shows, "" where its scale is not known
// or is the one that is printed anyway.
func (w writer) onMeter(k unit.Conductivity) string {
	switch pen := w.p.Meter.Pen; pen {
	case mix.UnknownPen, mix.MilliSiemens:
		return ""
	case mix.ConductivityFactor:
		return w.words.Fixed(pen.Shows(k), 0) + " CF"
	case mix.MicroSiemens:
		return w.words.Fixed(tens(pen.Shows(k)), 0) + " µS/cm"
	default:
		return w.words.Fixed(tens(pen.Shows(k)), 0) + " ppm"
	}
}

// tens rounds to the ten: a pocket meter shows no less.
func tens(x float64) float64 { return float64(int(x/10+0.5)) * 10 }

// milliSiemens gives a conductivity from mS/cm.
func milliSiemens(x float64) unit.Conductivity {
	return unit.Conductivity(x) * unit.MillisiemensPerCentimetre
}

// tenth and shown print a figure in tenths, and a conductivity as the own meter shows it.
func (w writer) tenth(x float64) string { return w.words.Fixed(x, 1) }
func (w writer) shown(x float64) string { return w.onMeter(milliSiemens(x)) }

// band prints a band.
func (w writer) band(b mix.Band, print func(float64) string) string {
	return w.say("packet.mix.band", finding.Args{"Low": print(b.Low), "High": print(b.High)})
}

// withBand prints a value with its band.
func (w writer) withBand(value string, b mix.Band, print func(float64) string) string {
	return w.say("packet.mix.with_band", finding.Args{"Value": value, "Low": print(b.Low), "High": print(b.High)})
}

// scales tells what the meters show after ten minutes, after a day, and the band
// in which all is well, in EC and on the grower's own scale.
func (w writer) scales(m mix.Meters) []page.Block {
	if m.Fresh.EC <= 0 {
		return nil
	}
	t := page.Table{Compact: true, RowHead: true, Columns: w.columns("packet.mix.col.when", "packet.mix.col.ec", "packet.mix.col.ph")}
	own := w.onMeter(m.Fresh.EC) != ""
	if own {
		t.Columns = slices.Insert(t.Columns, 2, page.Column{Title: w.text("packet.mix.col.own", finding.Args{"Scale": w.p.Meter.Pen.String()})})
	}
	row := func(id, ec, shown, ph string) {
		if id == "well" && w.salty() {
			id = "salty"
		}
		cells := []page.Text{w.text("packet.mix.when."+id, nil), page.Text(ec), page.Text(shown), page.Text(ph)}
		if !own {
			cells = slices.Delete(cells, 2, 3)
		}
		t.Add(cells...)
	}
	open := w.p.Mix != nil && w.p.Mix.PHOpen
	read := func(id string, r mix.MeterReading) {
		ph := w.withBand(w.tenth(r.PH), r.PHBand, w.tenth)
		if open {
			ph = w.say("packet.mix.ph_open", nil)
		}
		row(id, w.withBand(w.words.EC(r.EC), r.ECBand, w.tenth), w.withBand(w.onMeter(r.EC), r.ECBand, w.shown), ph)
	}
	read("fresh", m.Fresh)
	read("day", m.Day)
	well := w.goodEC()
	row("well", w.band(well, w.tenth), w.band(well, w.shown), w.band(m.WellPH, w.tenth))
	blocks := []page.Block{w.heading("packet.mix.scales"), t, page.Para{Text: w.text("packet.mix.scales_note", nil), Small: true}}
	if id := [...]string{"packet.mix.again_low", "", "packet.mix.again"}[m.Drift()+1]; id != "" && !open {
		if _, acid := w.mixedAcid(unit.Litre); !acid && m.Drift() > 0 { // nothing was given before
			id = "packet.mix.again_first"
		}
		blocks = append(blocks, w.para(id, finding.Args{"DayPH": m.Day.PH}))
	}
	return []page.Block{together(blocks...)}
}

// fillAndTopUp tells the amounts of a top-up: for the least water of which every
// dose can be measured.
func (w writer) fillAndTopUp(m *mix.Mix) []page.Block {
	if m.TopUp.Share <= 0 || len(m.Doses) == 0 || w.byPacks() {
		return nil
	}
	per, measure := m.Bucket, w.p.Measure()
	for _, d := range m.Doses {
		step := measure.Step
		if measure.Kind == mix.Spoons {
			step = d.Spoon.Mass / 4
		}
		for d.Jug.Take == 0 && step > 0 && (d.Strength*unit.MassConcentration(m.TopUp.Share)).In(per) < 2*step && per < 40*m.Bucket {
			per += m.Bucket
		}
	}
	t := page.Table{Compact: true, Stack: true, RowHead: true, Columns: w.columns("packet.mix.col.product")}
	t.Columns = append(t.Columns, page.Column{Title: w.text("packet.mix.col.topup", finding.Args{"Volume": per}), Align: page.Right})
	t.Columns = append(t.Columns, w.columns("+packet.mix.col.hundred")...)
	for _, d := range m.Doses {
		amount := (d.Strength * unit.MassConcentration(m.TopUp.Share)).In(per)
		h := mix.Helping{Mass: amount}
		if d.Jug.Take == 0 {
			h = measure.Helping(amount, d.Spoon.Mass, 0, false)
		}
		t.Add(page.Literal(w.words.Product(d.Product)), w.measured(mix.Dose{Jug: d.Jug, PerBucket: d.PerBucket, Liquid: d.Liquid}, h.Mass, h.Spoons), w.massed(d, d.Strength.In(w.hundred())))
	}
	if fill, ok := w.mixedAcid(per); ok { // fresh water needs it all, however strong the feed
		hundred, _ := w.mixedAcid(w.hundred())
		t.Add(w.acidRow(), fill, hundred)
	}
	return []page.Block{together(w.heading("packet.mix.first"), t,
		page.Para{Text: w.text("packet.mix.top_up_note", finding.Args{"Share": m.TopUp.Share, "Nitrogen": m.TopUp.Nitrogen}), Small: true})}
}

// hundred is a hundred gallons, or liters, of the reader's.
func (w writer) hundred() unit.Volume {
	if w.metric() {
		return 100 * unit.Litre
	}
	return 100 * unit.Gallon
}

// withShown prints a conductivity, and what the own meter shows behind it.
func (w writer) withShown(k unit.Conductivity) string {
	if own := w.onMeter(k); own != "" {
		return w.words.EC(k) + " (" + own + ")"
	}
	return w.words.EC(k)
}

// ureaRows are the stages that are told, by what has turned over.
var ureaRows = []struct {
	id                    string
	hydrolysed, nitrified unit.Fraction
}{{"packet.mix.urea.fresh", 0, 0}, {"packet.mix.urea.half", 0.5, 0}, {"packet.mix.urea.all", 1, 0}, {"packet.mix.urea.nitrate", 1, 0.5}}

// ureaPath tells what the meters do while the urea turns over.
func (w writer) ureaPath(m *mix.Mix) []page.Block {
	path := m.Urea
	t := page.Table{Compact: true, Stack: true, RowHead: true, Columns: w.columns("packet.mix.col.when", "+packet.mix.col.ec", "+packet.mix.col.ph", "+packet.mix.col.ammonium")}
	for _, row := range ureaRows {
		i := slices.IndexFunc(path, func(s mix.UreaStage) bool {
			return s.Hydrolysed == row.hydrolysed && s.Nitrified == row.nitrified && !s.Stopped
		})
		id := row.id
		if i < 0 && row.nitrified > 0 && len(path) > 0 && path[len(path)-1].Stopped {
			i, id = len(path)-1, "packet.mix.urea.sour"
		}
		if i < 0 {
			continue
		}
		s := path[i]
		pH := page.Text(w.words.Fixed(s.PH, 1))
		if m.PHOpen { // the label tells none
			pH = w.text("packet.mix.ph_open", nil)
		}
		t.Add(w.text(id, finding.Args{"Share": s.Nitrified}), page.Text(w.withShown(s.EC)), pH, w.value(s.Ammonium))
	}
	if len(t.Rows) == 0 || path[0].Urea.MilligramsPerLitre() < 1 {
		return nil
	}
	return []page.Block{together(w.heading("packet.mix.urea_title"), w.para("packet.mix.urea_lead", nil), t), w.para("packet.mix.urea_note", nil)}
}

// tanks tells the concentrates: what goes into which, how full it is of what
// dissolves, and whether it keeps.
func (w writer) tanks(p *mix.StockPlan) []page.Block {
	if p == nil || len(p.Tanks) == 0 {
		return nil
	}
	args := finding.Args{"Ratio": w.words.Number(p.Ratio), "Volume": p.Volume, "Most": w.words.Number(float64(int(p.Most)))}
	lead := "packet.mix.stock_lead"
	if len(p.Tanks) == 1 {
		lead = "packet.mix.stock_one"
	}
	t := page.Table{Compact: true, Stack: true, Columns: w.columns("packet.mix.col.tank", "packet.mix.col.product", "+packet.mix.col.into", "+packet.mix.col.full20", "+packet.mix.col.full10")}
	t.Weigh(0.5, 2, 1, 1, 1)
	full := func(f unit.Fraction) page.Text {
		if f == 0 {
			return "–"
		}
		return page.Text(w.words.Percent(f))
	}
	var clouds []page.Block
	for _, tank := range p.Tanks {
		for _, i := range tank.Items {
			t.Add(page.Text(tank.Name), page.Literal(w.words.Product(i.Product)), w.grams(i.Mass), full(i.Full20), full(i.Full10))
		}
		if tank.Clouds {
			clouds = append(clouds, w.check(w.text("packet.mix.stock_clouds", finding.Args{"Tank": tank.Name})))
		}
	}
	first := []page.Block{w.heading("packet.mix.stock_title"), w.para(lead, args)}
	switch {
	case p.Fits:
		return []page.Block{together(append(first, t)...), w.para("packet.mix.stock_fits", nil)}
	case len(clouds) == 0:
		clouds = []page.Block{w.check(w.text("packet.mix.stock_not", args))}
	}
	return []page.Block{together(append(append(first, clouds...), t)...)}
}

// feedCosts tells what the fertiliser costs by the hundred gallons and by the
// head.
func (w writer) feedCosts(c mix.Cost) []page.Block {
	if !c.PricedPart || c.Per100Gal <= 0 {
		return nil
	}
	money := func(x float64) string {
		if x <= 0 {
			return ""
		}
		return w.words.Money(cost.Cents(int64(x*100+0.5), c.Currency))
	}
	args := finding.Args{"Hundred": money(c.Per100Gal * float64(w.hundred()/(100*unit.Gallon))), "Volume": w.hundred(), "Bed": money(c.PerBed), "Head": money(c.PerHead)}
	blocks := []page.Block{w.heading("packet.mix.costs_title"), w.para("packet.mix.costs", args)}
	if len(c.Unpriced) > 0 {
		blocks = append(blocks, page.Para{Text: w.text("packet.mix.costs_part", finding.Args{"Products": w.words.Products(c.Unpriced)}), Small: true})
	}
	return blocks
}

// simpler tells what is lost with fewer products.
func (w writer) simpler(m *mix.Mix) []page.Block {
	var items []page.Text
	lead, volume := "packet.mix.simpler_bucket", m.Fill.Makes
	if w.p.Frame != nil && m.Fill.Method != mix.OneBucket {
		lead, volume = "packet.mix.simpler_bed", w.p.Frame.Volume
	}
	for _, a := range m.Alternatives {
		var products, lost []string
		for _, d := range a.Doses {
			products = append(products, w.say("packet.mix.of", finding.Args{"Amount": string(w.massed(d, d.Strength.In(volume))), "Product": d.Product}))
		}
		for _, x := range a.Lost {
			lost = append(lost, w.say("word.nutrient."+x.Nutrient.Symbol(), nil))
		}
		if len(products) == 0 {
			continue
		}
		items = append(items, w.text("packet.mix.simpler_row", finding.Args{"Products": w.words.Products(products), "Misfit": unit.Fraction(a.Misfit),
			"Was": unit.Fraction(m.Misfit), "Lost": strings.Join(lost, ", ")}))
	}
	if len(items) == 0 {
		return nil
	}
	return []page.Block{w.heading("packet.mix.simpler"), w.para(lead, finding.Args{"Volume": volume}), page.List{Kind: page.Bullets, Items: items}}
}
