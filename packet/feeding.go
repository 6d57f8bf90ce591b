package packet

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"raftwright/brief"
	"raftwright/finding"
	"raftwright/frame"
	"raftwright/mix"
	"raftwright/page"
	"raftwright/unit"
)

// mix is the mixing card, one page: what goes in, in which order, how it is
// measured, and a box to tick for each bucket.
func (w writer) mix() []page.Block {
	m := w.p.Mix
	var out []page.Block
	if d := w.p.Frame; d != nil && w.byPacks() {
		out = append(out, w.para("packet.mix.lead_packs", finding.Args{"Volume": d.Volume}))
	} else if d != nil {
		out = append(out, w.para("packet.mix.lead", finding.Args{"Volume": d.Volume, "Bucket": m.Bucket, "Count": frame.Buckets(d.Volume, m.Bucket)}))
	}
	cautions := []page.Text{w.text("packet.mix.apart", nil)}
	if _, ok := w.mixedAcid(unit.Litre); ok {
		cautions = append(cautions, w.each("packet.safety.acid", nil)[:2]...)
	} else {
		cautions = append(cautions, w.text("packet.mix.dry", nil))
	}
	out = append(out, w.doses(m), w.order(m), w.caution(finding.Caution, cautions...))
	if d := w.p.Frame; d != nil && m.Bucket > 0 && w.onPaper && !w.byPacks() {
		out = append(out, w.ticks(d.Volume, m.Bucket))
	}
	return append(out, w.reads(m))
}

// reads tells what the meters should show.
func (w writer) reads(m *mix.Mix) page.Para {
	well := w.goodEC()
	args := finding.Args{"EC": w.withShown(m.EC), "PH": w.words.Fixed(m.PH, 1), "Low": w.words.Fixed(well.Low, 1), "High": w.words.Fixed(well.High, 1)}
	if m.Acid.Dose > 0 && w.dosed() == nil {
		return w.para("packet.mix.reads_ec", args)
	}
	if m.Acid.Dose > 0 && w.p.Brief.Acid.Air.Value == brief.OpenAir { // that pH is reached once the gas has left
		args["Fresh"] = w.words.Fixed(m.Meters.Fresh.PH, 1)
		return w.para("packet.mix.reads_aired", args)
	}
	return w.para("packet.mix.reads", args)
}

// content tells what the plants get from the mix, and what was noticed about it.
func (w writer) content() []page.Block {
	m := w.p.Mix
	out := []page.Block{w.elements(w.text("packet.mix.table", nil), m, false)}
	if m.Achieved[mix.Nitrogen] > 0 {
		out = append(out, w.para("packet.mix.nitrogen", finding.Args{
			"Nitrate": m.Nitrogen.Nitrate, "Ammonium": m.Nitrogen.Ammonium, "Urea": m.Nitrogen.Urea}))
	}
	return slices.Concat(out, w.feedMore(m), w.of(at(finding.AtMix).prints(mix.FindUrea)))
}

// topUp tells with what to fill up, once the bed is full.
func (w writer) topUp(m *mix.Mix) page.Para {
	id := "packet.mix.topup"
	if m.TopUp.Share > 0 {
		id = "packet.mix.topup_share"
	}
	return w.para(id, finding.Args{"Low": w.withShown(milliSiemens(w.goodEC().Low)), "Share": m.TopUp.Share})
}

// byPacks says that whole packs go into the bed and no bucket is measured.
func (w writer) byPacks() bool { return w.p.Brief.Mix.Measure.Value.Packs }

// packs is the table of what to open.
func (w writer) packs(m *mix.Mix) page.Table {
	t := page.Table{RowHead: true, Columns: w.columns("packet.mix.col.open", "+packet.mix.col.packs", "+packet.mix.col.bed")}
	for _, d := range m.Doses {
		t.Add(page.Literal(d.Product), page.Text(fmt.Sprint(d.Packs)), w.grams(d.PerBed))
	}
	if f := w.p.Frame; f != nil {
		if bed, ok := w.mixedAcid(f.Volume); ok {
			t.Add(w.acidName(), "–", bed)
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
	t.Weigh(2.4, 1.6, 1)
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
		t.Add(page.Literal(d.Product), page.Text(bucket), bed)
	}
	if bucket, ok := w.mixedAcid(m.Bucket); ok {
		bed := page.Text("")
		if f := w.p.Frame; f != nil {
			bed, _ = w.mixedAcid(f.Volume)
		}
		t.Add(w.acidName(), bucket, bed)
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

// mostBoxes is how many buckets the card has boxes for; more are mixed in a tank.
const mostBoxes = 120

// ticks prints a box to tick for each bucket that the bed takes.
func (w writer) ticks(volume, bucket unit.Volume) page.Block {
	n := frame.Buckets(volume, bucket)
	if n > mostBoxes {
		return w.para("packet.mix.count_many", finding.Args{"Count": n})
	}
	var b strings.Builder
	for i := 1; i <= n; i++ {
		fmt.Fprintf(&b, "☐\u00a0%d   ", i)
	}
	return together(w.heading("packet.mix.buckets"), page.Para{Text: page.Text(strings.TrimSpace(b.String()))})
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
		step := "packet.mix.do."
		if w.byPacks() && s.Do != mix.ReadMeters {
			step = "packet.mix.bed."
		}
		items = append(items, w.text(step+strings.ReplaceAll(s.Do.String(), " ", "_"), finding.Args{"Product": s.Product}))
	}
	if len(items) == 0 {
		items = []page.Text{w.text("packet.mix.order", nil)}
	}
	return page.List{Kind: page.Numbered, Items: items}
}

// elements is the table of what the plants get, and on request the verdict on each.
func (w writer) elements(caption page.Text, m *mix.Mix, verdicts bool) page.Table {
	t := page.Table{Caption: caption, Compact: true, RowHead: true,
		Columns: w.columns("packet.mix.col.element", "+packet.mix.col.target", "+packet.mix.col.water", "+packet.mix.col.reached", "+packet.mix.col.share")}
	if verdicts {
		t.Columns = append(t.Columns, w.columns("packet.found.col.verdict")...)
	}
	for _, n := range mix.Elements() {
		target, share, verdict := page.Text("–"), page.Text("–"), page.Text("–")
		at := slices.IndexFunc(m.Wishes, func(x mix.Wish) bool { return x.Nutrient == n && x.Level > 0 })
		if at >= 0 {
			x := m.Wishes[at]
			target, share, verdict = w.milligrams(x.Level), w.value(unit.Fraction(m.Achieved[n]/x.Level)), w.text(string(x.Verdict().Word()), nil)
		} else if m.Achieved[n] < 1e-9 {
			continue
		}
		t.Add([]page.Text{w.text("word.nutrient."+n.Symbol(), nil), target, w.milligrams(m.Water[n]), w.milligrams(m.Achieved[n]), share, verdict}[:len(t.Columns)]...)
	}
	return t
}

// milligrams prints mg/L without the unit, which the head of a table names.
func (w writer) milligrams(c unit.MassConcentration) page.Text {
	return page.Text(w.words.Number(c.MilligramsPerLitre()))
}

// money prints the reckoning.
func (w writer) money() []page.Block {
	c := w.p.Cost
	t := page.Table{Columns: w.columns("packet.money.col.what", "+packet.money.col.amount"), Note: w.text("packet.money.note", nil)}
	t.Weigh(3, 1)
	payback := page.Text(w.words.Number(c.PaybackCrops))
	switch {
	case c.HeadPrice == nil:
		payback = w.text("packet.money.unknown", nil)
	case math.IsInf(c.PaybackCrops, 1):
		payback = w.text("packet.money.never", nil)
	}
	for _, row := range []struct {
		id    string
		value page.Text
	}{{"first", w.value(c.FirstCost)}, {"cash", w.value(c.CashPerCrop)}, {"crop", w.value(c.PerCrop)}, {"head", w.value(c.PerHead)},
		{"break_even", w.value(c.BreakEven)}, {"payback", payback}} {
		t.Add(w.text("packet.money."+row.id, nil), row.value)
	}
	return slices.Concat([]page.Block{t}, w.of(at(finding.AtMoney)))
}
