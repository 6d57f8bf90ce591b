package packet

import (
	"fmt"
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
	blocks := w.scales(m.Meters)
	blocks = append(blocks, w.fillAndTopUp(m)...)
	blocks = append(blocks, w.ureaPath(m.Urea)...)
	blocks = append(blocks, w.tanks(m.Stock)...)
	blocks = append(blocks, w.feedCosts(m.Cost)...)
	return append(blocks, w.simpler(m)...)
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

// ownRange gives a range as the own meter shows it, in brackets behind the EC.
func (w writer) ownRange(low, high unit.Conductivity) string {
	if w.onMeter(low) == "" {
		return ""
	}
	return " (" + w.say("packet.mix.band", finding.Args{"Low": w.onMeter(low), "High": w.onMeter(high)}) + ")"
}

// tens rounds to the ten: a pocket meter shows no less.
func tens(x float64) float64 { return float64(int(x/10+0.5)) * 10 }

// ecBand prints a band of conductivity in mS/cm, or as the own meter shows it.
func (w writer) ecBand(b mix.Band, own bool) string {
	print := func(mS float64) string {
		if k := unit.Conductivity(mS) * unit.MillisiemensPerCentimetre; own {
			return w.onMeter(k)
		}
		return w.words.Fixed(mS, 1)
	}
	return w.say("packet.mix.band", finding.Args{"Low": print(b.Low), "High": print(b.High)})
}

// scales tells what the meters show after ten minutes, after a day, and the band
// in which all is well, in EC and on the grower's own scale.
func (w writer) scales(m mix.Meters) []page.Block {
	if m.Fresh.EC <= 0 {
		return nil
	}
	t := page.Table{Compact: true, RowHead: true, Columns: w.columns("packet.mix.col.when", "packet.mix.col.ec")}
	own := w.onMeter(m.Fresh.EC) != ""
	if own {
		t.Columns = append(t.Columns, page.Column{Title: w.text("packet.mix.col.own", finding.Args{"Scale": w.p.Meter.Pen.String()})})
	}
	t.Columns = append(t.Columns, w.columns("packet.mix.col.ph")...)
	row := func(id string, ec, shown, ph string) {
		cells := []page.Text{w.text(id, nil), page.Text(ec)}
		if own {
			cells = append(cells, page.Text(shown))
		}
		t.Rows = append(t.Rows, page.Row{Cells: append(cells, page.Text(ph))})
	}
	read := func(id string, r mix.MeterReading) {
		with := func(value, low, high string) string {
			return w.say("packet.mix.with_band", finding.Args{"Value": value, "Low": low, "High": high})
		}
		ec := func(mS float64) unit.Conductivity { return unit.Conductivity(mS) * unit.MillisiemensPerCentimetre }
		row(id, with(w.words.EC(r.EC), w.words.Fixed(r.ECBand.Low, 1), w.words.Fixed(r.ECBand.High, 1)),
			with(w.onMeter(r.EC), w.onMeter(ec(r.ECBand.Low)), w.onMeter(ec(r.ECBand.High))),
			with(w.words.Fixed(r.PH, 1), w.words.Fixed(r.PHBand.Low, 1), w.words.Fixed(r.PHBand.High, 1)))
	}
	read("packet.mix.when.fresh", m.Fresh)
	read("packet.mix.when.day", m.Day)
	row("packet.mix.when.well", w.ecBand(m.Well, false), w.ecBand(m.Well, true), w.say("packet.mix.band", finding.Args{
		"Low": w.words.Fixed(m.WellPH.Low, 1), "High": w.words.Fixed(m.WellPH.High, 1)}))
	blocks := []page.Block{w.heading("packet.mix.scales"), t, page.Para{Text: w.text("packet.mix.scales_note", nil), Small: true}}
	args := finding.Args{"DayPH": m.Day.PH}
	switch {
	case m.Day.PH > m.WellPH.High+0.5: // alkalinity is left in, and lifts the pH as the gas leaves
		blocks = append(blocks, w.para("packet.mix.again", args))
	case m.Day.PH < m.WellPH.Low-0.5:
		blocks = append(blocks, w.para("packet.mix.again_low", args))
	}
	return []page.Block{page.Together{Blocks: blocks}}
}

// fillAndTopUp tells the amounts of the first fill and of a top-up side by side.
func (w writer) fillAndTopUp(m *mix.Mix) []page.Block {
	if m.TopUp.Share <= 0 || len(m.Doses) == 0 || w.byPacks() {
		return nil
	}
	t := page.Table{Compact: true, RowHead: true, Columns: w.columns("packet.mix.col.product", "+packet.mix.col.first", "+packet.mix.col.topup", "+packet.mix.col.hundred")}
	for _, d := range m.Doses {
		fill, more := w.grams(d.PerBucket), w.grams(d.PerBucket*unit.Mass(m.TopUp.Share))
		if d.ForBed {
			fill, more = "–", "–"
		}
		t.Rows = append(t.Rows, page.Row{Cells: []page.Text{page.Literal(d.Product), fill, more, w.grams(d.Per100Gallon)}})
	}
	if fill, ok := w.mixedAcid(m.Bucket); ok { // fresh water needs it all, however strong the feed
		hundred, _ := w.mixedAcid(100 * unit.Gallon)
		t.Rows = append(t.Rows, page.Row{Cells: []page.Text{w.acidName(), fill, fill, hundred}})
	}
	return []page.Block{page.Together{Blocks: []page.Block{w.heading("packet.mix.first"), t,
		page.Para{Text: w.text("packet.mix.top_up_note", finding.Args{"Share": m.TopUp.Share, "Nitrogen": m.TopUp.Nitrogen}), Small: true}}}}
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
func (w writer) ureaPath(path []mix.UreaStage) []page.Block {
	t := page.Table{Compact: true, RowHead: true, Columns: w.columns("packet.mix.col.when", "+packet.mix.col.ec", "+packet.mix.col.ph", "+packet.mix.col.ammonium")}
	for _, row := range ureaRows {
		i := slices.IndexFunc(path, func(s mix.UreaStage) bool { return s.Hydrolysed == row.hydrolysed && s.Nitrified == row.nitrified })
		if i < 0 {
			continue
		}
		s := path[i]
		t.Rows = append(t.Rows, page.Row{Cells: []page.Text{w.text(row.id, nil), page.Text(w.withShown(s.EC)), page.Text(w.words.Fixed(s.PH, 1)), w.value(s.Ammonium)}})
	}
	if len(t.Rows) == 0 || path[0].Urea.MilligramsPerLitre() < 1 {
		return nil
	}
	return []page.Block{page.Together{Blocks: []page.Block{w.heading("packet.mix.urea_title"), w.para("packet.mix.urea_lead", nil), t}}, w.para("packet.mix.urea_note", nil)}
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
	t := page.Table{Compact: true, Columns: w.columns("packet.mix.col.tank", "packet.mix.col.product", "+packet.mix.col.into", "+packet.mix.col.full20", "+packet.mix.col.full10")}
	t.Columns[0].Weight, t.Columns[1].Weight, t.Columns[2].Weight, t.Columns[3].Weight, t.Columns[4].Weight = 0.5, 2, 1, 1, 1
	full := func(f unit.Fraction) page.Text {
		if f == 0 {
			return "–"
		}
		return page.Text(w.words.Percent(f))
	}
	var clouds []page.Block
	for _, tank := range p.Tanks {
		for _, i := range tank.Items {
			t.Rows = append(t.Rows, page.Row{Cells: []page.Text{page.Text(tank.Name), page.Literal(i.Product), w.grams(i.Mass), full(i.Full20), full(i.Full10)}})
		}
		if tank.Clouds {
			clouds = append(clouds, w.caution(finding.Caution, w.text("packet.mix.stock_clouds", finding.Args{"Tank": tank.Name})))
		}
	}
	blocks := []page.Block{page.Together{Blocks: []page.Block{w.heading("packet.mix.stock_title"), w.para(lead, args), t}}}
	switch {
	case p.Fits:
		blocks = append(blocks, w.para("packet.mix.stock_fits", nil))
	case len(clouds) > 0:
		blocks = append(blocks, clouds...)
	default:
		blocks = append(blocks, w.caution(finding.Caution, w.text("packet.mix.stock_not", args)))
	}
	return blocks
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
	args := finding.Args{"Hundred": money(c.Per100Gal), "Gallons": 100 * unit.Gallon, "Bed": money(c.PerBed), "Head": money(c.PerHead)}
	blocks := []page.Block{w.heading("packet.mix.costs_title"), w.para("packet.mix.costs", args)}
	if len(c.Unpriced) > 0 {
		blocks = append(blocks, page.Para{Text: w.text("packet.mix.costs_part", finding.Args{"Products": w.words.Join(c.Unpriced)}), Small: true})
	}
	return blocks
}

// simpler tells what is lost with fewer products.
func (w writer) simpler(m *mix.Mix) []page.Block {
	var items []page.Text
	for _, a := range m.Alternatives {
		var products, lost []string
		for _, d := range a.Doses {
			products = append(products, fmt.Sprintf("%s %s", w.words.Grams(d.PerBucket), d.Product))
		}
		for _, x := range a.Lost {
			lost = append(lost, w.say("word.nutrient."+x.Nutrient.Symbol(), nil))
		}
		if len(products) == 0 {
			continue
		}
		items = append(items, w.text("packet.mix.simpler_row", finding.Args{"Products": w.words.Join(products), "Misfit": unit.Fraction(a.Misfit),
			"Was": unit.Fraction(m.Misfit), "Lost": strings.Join(lost, ", ")}))
	}
	if len(items) == 0 {
		return nil
	}
	return []page.Block{w.heading("packet.mix.simpler"), page.List{Kind: page.Bullets, Items: items}}
}
