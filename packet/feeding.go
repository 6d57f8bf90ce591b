package packet

import (
	"fmt"
	"math"
	"strings"

	"raftwright/brief"
	"raftwright/finding"
	"raftwright/mix"
	"raftwright/page"
	"raftwright/unit"
)

// mix is the mixing card, one page: what goes in, in which order, how it is
// measured, and a box to tick for each bucket.
func (w writer) mix() (page.Section, bool) {
	m := w.p.Mix
	if m == nil {
		return page.Section{}, false
	}
	s := w.section("mix")
	if d := w.p.Frame; d != nil && w.byPacks() {
		s.Blocks = append(s.Blocks, w.para("packet.mix.lead_packs", finding.Args{"Volume": d.Volume}))
	} else if d != nil {
		s.Blocks = append(s.Blocks, w.para("packet.mix.lead", finding.Args{"Volume": d.Volume, "Bucket": m.Bucket, "Count": buckets(d.Volume, m.Bucket)}))
	}
	cautions := []page.Text{w.text("packet.mix.apart", nil)}
	if _, ok := w.mixedAcid(unit.Litre); ok {
		cautions = append(cautions, w.each("packet.safety.acid", nil)[:2]...)
	} else {
		cautions = append(cautions, w.text("packet.mix.dry", nil))
	}
	s.Blocks = append(s.Blocks, w.doses(m), w.order(m), w.caution(finding.Caution, cautions...))
	if d := w.p.Frame; d != nil && m.Bucket > 0 && w.onPaper && !w.byPacks() {
		s.Blocks = append(s.Blocks, w.boxes(d.Volume, m.Bucket))
	}
	s.Blocks = append(s.Blocks, w.reads(m))
	s.NewPage = true
	return s, true
}

// reads tells what the meters should show.
func (w writer) reads(m *mix.Mix) page.Para {
	args := finding.Args{"EC": w.withShown(m.EC), "PH": w.words.Fixed(m.PH, 1)}
	if well := m.Meters.Well; well.High > well.Low {
		args["Low"], args["High"] = w.words.Fixed(well.Low, 1), w.words.Fixed(well.High, 1)
	} else {
		ec := m.EC.MillisiemensPerCentimetre()
		args["Low"], args["High"] = w.words.Fixed(0.85*ec, 1), w.words.Fixed(1.15*ec, 1)
	}
	if m.Acid.Dose > 0 && w.p.PrintedAcid() == nil {
		return w.para("packet.mix.reads_ec", args)
	}
	if m.Acid.Dose > 0 && w.p.Brief.Acid.Air.Value == brief.OpenAir { // that pH is reached once the gas has left
		args["Fresh"] = w.words.Fixed(m.Meters.Fresh.PH, 1)
		return w.para("packet.mix.reads_aired", args)
	}
	return w.para("packet.mix.reads", args)
}

// content tells what the plants get from the mix, and what was noticed about it.
func (w writer) content() (page.Section, bool) {
	m := w.p.Mix
	if m == nil {
		return page.Section{}, false
	}
	s := w.section("content", w.elements(m))
	if m.Achieved[mix.Nitrogen] > 0 {
		s.Blocks = append(s.Blocks, w.para("packet.mix.nitrogen", finding.Args{
			"Nitrate": m.Nitrogen.Nitrate, "Ammonium": m.Nitrogen.Ammonium, "Urea": m.Nitrogen.Urea}))
	}
	s.Blocks = append(s.Blocks, w.feedMore(m)...)
	s.Blocks = append(s.Blocks, w.of(at(finding.AtMix).prints(mix.FindUrea))...)
	s.NewPage = w.onPaper
	return s, true
}

// topUp tells with what to fill up, once the bed is full.
func (w writer) topUp(m *mix.Mix) page.Para {
	if m.TopUp.Share > 0 {
		return w.para("packet.mix.topup_share", finding.Args{"Low": w.withShown(0.8 * m.EC), "Share": m.TopUp.Share})
	}
	return w.para("packet.mix.topup", finding.Args{"Low": w.withShown(0.8 * m.EC)})
}

// byPacks says that whole packs go into the bed and no bucket is measured.
func (w writer) byPacks() bool { return w.p.Brief.Mix.Measure.Value.Packs }

// packs is the table of what to open.
func (w writer) packs(m *mix.Mix) page.Table {
	t := page.Table{RowHead: true, Columns: w.columns("packet.mix.col.open", "+packet.mix.col.packs", "+packet.mix.col.bed")}
	for _, d := range m.Doses {
		t.Rows = append(t.Rows, page.Row{Cells: []page.Text{page.Literal(d.Product), page.Text(fmt.Sprint(d.Packs)), w.grams(d.PerBed)}})
	}
	if f := w.p.Frame; f != nil {
		if bed, ok := w.mixedAcid(f.Volume); ok {
			t.Rows = append(t.Rows, page.Row{Cells: []page.Text{w.acidName(), "–", bed}})
		}
	}
	return t
}

// doses is the table of what to weigh or measure.
func (w writer) doses(m *mix.Mix) page.Table {
	if w.byPacks() {
		return w.packs(m)
	}
	t := page.Table{RowHead: true, Compact: len(m.Doses) > 4, Columns: w.columns("packet.mix.col.product", "+packet.mix.col.bucket", "+packet.mix.col.bed")}
	t.Columns[0].Weight, t.Columns[1].Weight, t.Columns[2].Weight = 2.4, 1.6, 1
	for _, d := range m.Doses {
		bucket := string(w.grams(d.PerBucket))
		if d.ForBed {
			bucket = w.say("packet.mix.for_bed", nil)
		}
		if d.Spoons > 0 {
			bucket = w.say("packet.mix.teaspoons", finding.Args{"Spoons": quarters(d.Spoons), "Grams": bucket})
			t.Note = w.text("packet.mix.spoons", nil)
		}
		if d.Liquid > 0 && !d.ForBed {
			bucket = string(w.value(d.Liquid))
		}
		bed := page.Text("")
		if d.PerBed > 0 {
			bed = w.grams(d.PerBed)
		}
		t.Rows = append(t.Rows, page.Row{Cells: []page.Text{page.Literal(d.Product), page.Text(bucket), bed}})
	}
	if bucket, ok := w.mixedAcid(m.Bucket); ok {
		bed := page.Text("")
		if f := w.p.Frame; f != nil {
			bed, _ = w.mixedAcid(f.Volume)
		}
		t.Rows = append(t.Rows, page.Row{Cells: []page.Text{w.acidName(), bucket, bed}})
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

// buckets counts the buckets that fill a volume; a last splash is no bucket.
func buckets(volume, bucket unit.Volume) int {
	if bucket <= 0 {
		return 0
	}
	return int(math.Ceil(float64(volume/bucket) - 0.02))
}

// mostBoxes is how many buckets the card has boxes for; more are mixed in a tank.
const mostBoxes = 120

// boxes prints a box to tick for each bucket that the bed takes.
func (w writer) boxes(volume, bucket unit.Volume) page.Block {
	n := buckets(volume, bucket)
	if n > mostBoxes {
		return w.para("packet.mix.count_many", finding.Args{"Count": n})
	}
	var b strings.Builder
	for i := 1; i <= n; i++ {
		fmt.Fprintf(&b, "☐\u00a0%d   ", i)
	}
	return page.Together{Blocks: []page.Block{w.heading("packet.mix.buckets"), page.Para{Text: page.Text(strings.TrimSpace(b.String()))}}}
}

// orderSteps are the sentences of the steps of mixing.
var orderSteps = map[mix.OrderAction]string{
	mix.FillMost: "packet.mix.do.fill_most", mix.AddAcid: "packet.mix.do.add_acid", mix.Dissolve: "packet.mix.do.dissolve",
	mix.DissolveApart: "packet.mix.do.dissolve_apart", mix.FillUp: "packet.mix.do.fill_up", mix.OnceForBed: "packet.mix.do.for_bed", mix.ReadMeters: "packet.mix.do.read_meters",
}

// intoBed are the same where whole packs go into the bed.
var intoBed = map[mix.OrderAction]string{
	mix.FillMost: "packet.mix.bed.fill_most", mix.AddAcid: "packet.mix.bed.add_acid", mix.Dissolve: "packet.mix.bed.dissolve",
	mix.DissolveApart: "packet.mix.bed.dissolve_apart", mix.FillUp: "packet.mix.bed.fill_up", mix.ReadMeters: "packet.mix.do.read_meters",
}

// order lists the steps of mixing in their order; acid that may not be printed
// is left out.
func (w writer) order(m *mix.Mix) page.List {
	_, acid := w.mixedAcid(unit.Litre)
	var items []page.Text
	for _, s := range m.Order {
		if s.Do == mix.AddAcid && !acid || s.Do == mix.ReadMeters && w.onPaper { // what they read stands at the foot of the card
			continue
		}
		step := orderSteps[s.Do]
		if w.byPacks() {
			step = intoBed[s.Do]
		}
		items = append(items, w.text(step, finding.Args{"Product": s.Product}))
	}
	if len(items) == 0 {
		items = []page.Text{w.text("packet.mix.order", nil)}
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

// money prints the reckoning.
func (w writer) money() (page.Section, bool) {
	c := w.p.Cost
	if c == nil {
		return page.Section{}, false
	}
	t := page.Table{Columns: w.columns("packet.money.col.what", "+packet.money.col.amount"), Note: w.text("packet.money.note", nil)}
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
	s := w.section("money", t)
	s.Blocks = append(s.Blocks, w.of(at(finding.AtMoney))...)
	return s, true
}
