package packet

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"raftwright/brief"
	"raftwright/cost"
	"raftwright/finding"
	"raftwright/frame"
	"raftwright/mix"
	"raftwright/page"
	"raftwright/plan"
	"raftwright/raft"
	"raftwright/unit"
	"raftwright/water"
)

// mix is the mixing card, one page: what goes in, in which order, how it is
// measured, and a box to tick for each batch.
func (w writer) mix() []page.Block {
	m := w.p.Mix
	act := onMix
	if _, ok := w.mixedAcid(unit.Litre); ok {
		act = act.begins(w.each("packet.safety.acid", nil)[:2]...)
	}
	out := append(w.lead(m), w.cautions(act)...)
	out = append(out, w.check(w.keptApart()...), w.doses(m), w.order(m))
	return append(append(out, w.jugs(m)...), w.reads(m))
}

// onMix is the step of mixing.
var onMix = at(finding.AtMix).prints(mix.FindUrea)

// lead tells how the bed gets its feed.
func (w writer) lead(m *mix.Mix) []page.Block {
	f := m.Fill
	args := finding.Args{"Vessel": f.Vessel, "Full": f.Full}
	if f.Last > 0 {
		args["Part"] = f.Vessel * unit.Volume(f.Last)
	}
	carried := func(id string) []page.Block {
		text := w.text(id, args)
		if heavy(f.Vessel) {
			text += " " + w.text("packet.mix.lead_heavy", finding.Args{"Weight": frame.WaterDensity.Of(f.Vessel)})
		}
		return []page.Block{page.Para{Text: text}}
	}
	if w.p.Frame == nil || f.Method == mix.OneBucket {
		return carried("packet.mix.lead_one")
	}
	args["Volume"] = w.p.Frame.Volume
	if w.byPacks() {
		return []page.Block{w.para("packet.mix.lead_packs", args)}
	}
	switch f.Method {
	case mix.Carried:
		return carried("packet.mix.lead_carried")
	case mix.Injected:
		args["Ratio"], args["Each"] = w.words.Number(float64(f.Makes/f.Vessel)), f.Vessel*unit.Volume(f.Batches())
		if f.Batches() > 1 {
			args["Tanks"] = w.words.Number(f.Batches())
		}
		return []page.Block{w.para("packet.mix.lead_injected", args)}
	}
	id := "packet.mix.lead_stirred"
	if inTub(m) {
		id = "packet.mix.lead_tub"
	}
	text := w.text(id, args)
	if f.Full > 1 {
		text += " " + w.text("packet.mix.lead_rounds", finding.Args{"Rounds": f.Full})
	}
	return []page.Block{page.Para{Text: text}}
}

// heavy says whether a vessel full of water is more than one person lifts.
func heavy(v unit.Volume) bool { return frame.WaterDensity.Of(v) > raft.LoadConstant }

// inTub says whether the feed is dissolved in a vessel that nobody dips or lifts.
func inTub(m *mix.Mix) bool {
	return m.Fill.Method == mix.Stirred && (m.Fill.Vessel > m.Bucket || heavy(m.Fill.Vessel))
}

// jugs tells how the stock jugs are made.
func (w writer) jugs(m *mix.Mix) []page.Block {
	var out []page.Block
	for _, d := range m.Doses {
		if j := d.Jug; j.Take > 0 {
			out = append(out, w.para("packet.mix.jug", finding.Args{"Product": d.Product, "Amount": w.amount(j.Mass, j.Spoons), "Water": j.Water}))
		}
	}
	return out
}

// reads tells what the meters should show.
func (w writer) reads(m *mix.Mix) page.Para {
	well := w.goodEC()
	args := finding.Args{"EC": w.withShown(m.EC), "PH": w.words.Fixed(m.PH, 1), "Low": w.words.Fixed(well.Low, 1), "High": w.words.Fixed(well.High, 1)}
	if args["Buy"] = m.Buy != nil; !m.Works() {
		return w.para("packet.mix.reads_lacks", args)
	}
	if m.PHOpen {
		return w.para("packet.mix.reads_open", args)
	}
	if w.salty() {
		return w.para("packet.mix.reads_salty", args)
	}
	if m.Acid.Dose > 0 && w.dosed() == nil {
		return w.para("packet.mix.reads_ec", args)
	}
	if m.Acid.Dose > 0 && w.p.Brief.Acid.Air.Value == brief.OpenAir { // that pH is reached once the gas has left
		args["Fresh"] = w.words.Fixed(m.Meters.Fresh.PH, 1)
		return w.para("packet.mix.reads_aired", args)
	}
	text := w.text("packet.mix.reads", args)
	if day := m.Meters.Day.PH; math.Abs(day-m.PH) >= tellDrift {
		text += " " + w.text("packet.mix.drifts", finding.Args{"PH": w.words.Fixed(day, 1), "Up": day > m.PH})
	}
	return page.Para{Text: text}
}

// salty says that the mix holds more salt than the crop does well with, so that no reading of it is well.
func (w writer) salty() bool {
	return slices.ContainsFunc(w.p.Findings, func(f finding.Finding) bool { return f.ID == mix.FindSalty && f.Severity >= finding.Caution })
}

// tellDrift is by how much the pH must move in the first day to be told with the reading.
const tellDrift = 0.3

// content tells what the plants get from the mix, and what was noticed about it.
func (w writer) content() []page.Block {
	m := w.p.Mix
	out := []page.Block{w.elements(w.text("packet.mix.table", nil)+w.cite(m.Recipe.Source), m, false)}
	if m.Achieved[mix.Nitrogen] > 0 {
		out = append(out, w.para("packet.mix.nitrogen", finding.Args{
			"Nitrate": m.Nitrogen.Nitrate, "Ammonium": m.Nitrogen.Ammonium, "Urea": m.Nitrogen.Urea}))
	}
	if names := w.untested(); names != "" {
		out = append(out, w.para("packet.mix.untested", finding.Args{"Names": names}))
	}
	return slices.Concat(out, w.feedMore(m), w.notes(onMix))
}

// untested names what the water brings that is not from a test: of a typical water,
// or worked out to balance the test.
func (w writer) untested() string {
	var names []string
	for _, x := range []water.Analyte{water.Nitrate, water.Potassium, water.Calcium, water.Magnesium, water.Sulfate, water.Sodium, water.Chloride} {
		if s := w.p.Water.Standing(x); (s == water.Guessed || s == water.Filled) && w.p.Water.Figure(x) > unit.MilligramPerLitre {
			names = append(names, w.say(string(x.Word()), nil))
		}
	}
	return strings.Join(names, ", ")
}

// topUp tells with what to fill up, once the bed is full, and below which reading to feed, as in the table of
// good ranges: but for a mix that lacks something, which reads less than that with nothing left out.
func (w writer) topUp(m *mix.Mix) page.Para {
	id, low := "packet.mix.topup", w.goodEC().Low
	if m.TopUp.Share > 0 {
		id = "packet.mix.topup_share"
	}
	if w.readsLow(m) {
		return w.para(id+"_lacks", finding.Args{"EC": w.withShown(m.EC), "Share": m.TopUp.Share})
	}
	text := w.tenth(low) + " mS/cm"
	if own := w.onMeter(milliSiemens(low)); own != "" {
		text += " (" + own + ")"
	}
	return w.para(id, finding.Args{"Low": text, "Share": m.TopUp.Share})
}

// readsLow says that a mix that lacks something reads less than is well, with all in.
func (w writer) readsLow(m *mix.Mix) bool {
	return !m.Works() && min(m.EC, m.Meters.Day.EC).MillisiemensPerCentimetre() < w.goodEC().Low
}

// byPacks says that whole packs go into the bed and no bucket is measured.
func (w writer) byPacks() bool { return w.p.Brief.Mix.Measure.Value.Packs }

// packs is the table of what to open.
func (w writer) packs(m *mix.Mix) page.Table {
	t := page.Table{RowHead: true, Columns: w.columns("packet.mix.col.open", "+packet.mix.col.packs", "+packet.mix.col.bed")}
	for _, d := range m.Doses {
		t.Add(page.Literal(w.words.Product(d.Product)), page.Text(fmt.Sprint(d.Packs)), w.massed(d, d.PerBed))
	}
	if f := w.p.Frame; f != nil {
		if bed, ok := w.mixedAcid(f.Volume); ok {
			t.Add(w.acidRow(), "–", bed)
		}
	}
	return t
}

// doses is the table of what to weigh or measure, with a box for each batch: what
// is ticked adds up to what the bed shall get.
func (w writer) doses(m *mix.Mix) page.Table {
	if w.byPacks() {
		return w.packs(m)
	}
	f := m.Fill
	each := map[mix.Method]string{mix.Stirred: "+packet.mix.col.round", mix.Injected: "+packet.mix.col.tankful"}[f.Method]
	if each == "" {
		each = "+packet.mix.col.bucket"
	}
	once := f.Method == mix.Stirred && f.Full == 1
	part := (f.Method == mix.Carried || f.Method == mix.Injected) && f.Last > 0
	full := !once && f.Full > 0 || !part && !once // a bed that takes less than a tank has no full one
	ids := []string{"packet.mix.col.product"}
	if full {
		ids = append(ids, each)
	}
	t := page.Table{RowHead: true, Stack: true, Compact: len(m.Doses) > 4, Columns: w.columns(ids...)}
	if part {
		id := "packet.mix.col.last"
		if !full {
			id = "packet.mix.col.part"
		}
		t.Columns = append(t.Columns, page.Column{Title: w.text(id, finding.Args{"Part": f.Vessel * unit.Volume(f.Last)}), Align: page.Right})
	}
	t.Columns = append(t.Columns, w.columns("+packet.mix.col.bed")...)
	boxes := ""
	if w.onPaper && f.Method != mix.OneBucket {
		t.Columns = append(t.Columns, w.columns("packet.mix.col.tick")...)
		n := f.Full
		if f.Last > 0 {
			n++
		}
		boxes = strings.TrimSpace(strings.Repeat("☐ ", min(n, mostBoxes)))
	}
	add := func(name page.Text, batch, last, bed page.Text) {
		row := []page.Text{name}
		if full {
			row = append(row, batch)
		}
		if part {
			row = append(row, last)
		}
		if row = append(row, bed); boxes != "" {
			row = append(row, page.Text(boxes))
		}
		t.Add(row...)
	}
	for _, d := range m.Doses {
		batch, last, bed := w.measured(d, d.PerBucket, d.Spoons), w.measured(d, d.Last, d.LastSpoons), page.Text("")
		switch {
		case once:
			bed = batch
		case d.PerBed > 0:
			bed = w.massed(d, d.PerBed)
		}
		if d.Spoons > 0 && w.p.Brief.Mix.Measure.Value.Spoons {
			t.Note = w.text("packet.mix.spoons", nil)
		}
		dose := func(t page.Text) page.Text {
			if t == "–" {
				return t
			}
			return w.opens("mix.dose", t)
		}
		add(page.Literal(w.words.Product(d.Product)), dose(batch), dose(last), dose(bed))
	}
	if acid, ok := w.mixedAcid(f.Makes); ok {
		bed := page.Text("")
		if b := w.p.Frame; b != nil {
			bed, _ = w.mixedAcid(b.Volume)
		}
		last := page.Text("")
		if f.Method == mix.Injected || f.Method == mix.Stirred && full { // it goes into the bed, once
			acid, last, boxes = "–", "–", strings.TrimSpace(boxes[:min(len(boxes), len("☐"))])
		}
		add(w.acidRow(), acid, last, bed)
	}
	return t
}

// mostBoxes is how many boxes a row of the card has room for.
const mostBoxes = 12

// measured prints a dose as the measure gives it.
func (w writer) measured(d mix.Dose, m unit.Mass, spoons float64) page.Text {
	switch {
	case m <= 0:
		return "–"
	case d.Jug.Take > 0:
		return w.text("packet.mix.from_jug", finding.Args{"Take": w.sipped(d.Jug.Take * unit.Volume(m/d.PerBucket))})
	case d.Liquid > 0:
		return w.massed(d, m)
	case spoons > 0 && w.p.Brief.Mix.Measure.Value.Spoons:
		return page.Text(w.spooned(spoons, w.words.Grams(m)))
	}
	return w.grams(m)
}

// sipped prints what is taken out of a stock jug, in the level teaspoons by which it was
// chosen; what is too many to count in mL, which a kitchen measure shows as well.
func (w writer) sipped(v unit.Volume) string {
	n := math.Round(float64(v / unit.Teaspoon))
	if w.metric() || n > mostSips {
		return w.words.Volume(v)
	}
	return w.spooned(n, w.words.Volume(v))
}

// mostSips is how many teaspoons of a liquid are counted (own choice: half a cup).
const mostSips = 24

func (w writer) grams(m unit.Mass) page.Text { return page.Text(w.words.Grams(m)) }

// massed prints so much of a product: what a scale shows, of a liquid what a measuring cup does.
func (w writer) massed(d mix.Dose, m unit.Mass) page.Text {
	if v := d.Poured(m); v > 0 {
		return w.value(v)
	}
	return w.grams(m)
}

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

// order lists the steps of mixing in their order; acid that may not be printed
// is left out.
func (w writer) order(m *mix.Mix) page.List {
	_, acid := w.mixedAcid(unit.Litre)
	var items []page.Text
	for i, s := range m.Order {
		if s.Do == mix.AddAcid && !acid || s.Do == mix.ReadMeters && w.onPaper { // what they read stands at the foot of the card
			continue
		}
		step := "packet.mix.do."
		switch inBed := m.Fill.Method == mix.Stirred; {
		case s.Do == mix.AddAcid && w.byQuarters() && m.Fill.Method == mix.Injected:
			step = "packet.mix.first_guess."
		case s.Do == mix.AddAcid && w.byQuarters():
			step = "packet.mix.guess."
		case inBed && s.Do == mix.Dissolve && i > 0 && m.Order[i-1].Do == mix.Dissolve: // told in full once, the card stands on one sheet
			step = "packet.mix.again."
		case inTub(m) && (s.Do == mix.Dissolve || s.Do == mix.DissolveApart):
			step = "packet.mix.tub."
		case inBed && (s.Do == mix.Dissolve || s.Do == mix.DissolveApart || s.Do == mix.AddAcid):
			step = "packet.mix.bed."
		case s.Do == mix.AddAcid && m.Fill.Method == mix.Injected:
			step = "packet.mix.first."
		}
		if w.byPacks() && s.Do == mix.Dissolve {
			items = append(items, w.text("packet.mix.bed.dissolve_packs", finding.Args{"Product": s.Product}))
			continue
		}
		items = append(items, w.text(step+strings.ReplaceAll(s.Do.String(), " ", "_"), finding.Args{"Product": s.Product, "Vessel": m.Fill.Vessel, "Stop": w.words.Fixed(plan.StopPH, 1), "PH": w.words.Fixed(m.PH, 1)}))
	}
	if len(items) == 0 {
		items = []page.Text{w.text("packet.mix.order", nil)}
	}
	return page.List{Kind: page.Numbered, Items: items}
}

// elements is the table of what the plants get, and on request the verdict on each.
func (w writer) elements(caption page.Text, m *mix.Mix, verdicts bool) page.Table {
	t := page.Table{Caption: caption, Compact: true, Stack: true, RowHead: true,
		Columns: w.columns("packet.mix.col.element", "+packet.mix.col.target", "+packet.mix.col.water", "+packet.mix.col.reached", "+packet.mix.col.share")}
	if verdicts {
		t.Columns = append(t.Columns, w.columns("packet.found.col.verdict")...)
	}
	level := "mix.level"
	if verdicts { // of a recipe that was found
		level = "found.level"
	}
	for _, n := range mix.Elements() {
		target, share, verdict := page.Text("–"), page.Text("–"), page.Text("–")
		at := slices.IndexFunc(m.Wishes, func(x mix.Wish) bool { return x.Nutrient == n && x.Level > 0 })
		if at >= 0 {
			x := m.Wishes[at]
			target, share, verdict = w.milligrams(x.Level), w.value(unit.Fraction(m.Achieved[n]/x.Level)), w.text(string(x.Verdict().Word()), nil)
			if x.Verdict() == mix.Untold {
				share = verdict
			}
		} else if m.Achieved[n] < 1e-9 {
			continue
		}
		t.Add([]page.Text{w.text("word.nutrient."+n.Symbol(), nil), target, w.milligrams(m.Water[n]), w.opens(level, w.milligrams(m.Achieved[n])), share, verdict}[:len(t.Columns)]...)
	}
	return t
}

// milligrams prints mg/L without the unit, which the head of a table names.
func (w writer) milligrams(c unit.MassConcentration) page.Text {
	return page.Text(w.words.Number(c.MilligramsPerLitre()))
}

// sum prints a sum of the reckoning; where nothing in it has a price there is none, and
// nought would be a lie.
func (w writer) sum(m cost.Money) page.Text {
	if m.Amount == 0 && w.p.Cost.Unpriced > 0 {
		return "–"
	}
	return w.value(m)
}

// money prints the reckoning.
func (w writer) money() []page.Block {
	c := w.p.Cost
	t := page.Table{Columns: w.columns("packet.money.col.what", "+packet.money.col.amount"), Note: w.text("packet.money.note", nil)}
	t.Weigh(3, 1)
	payback, even := page.Text(w.words.Number(c.PaybackCrops)), w.sum(c.BreakEven)
	switch {
	case w.p.Starves():
		payback = w.text("packet.money.starves", nil)
		even = payback
	case c.Unpriced > 0:
		payback = w.text("packet.money.unpriced", finding.Args{"Count": c.Unpriced})
	case c.HeadPrice == nil:
		payback = w.text("packet.money.unknown", nil)
	case math.IsInf(c.PaybackCrops, 1):
		payback = w.text("packet.money.never", nil)
	}
	for _, row := range []struct {
		id    string
		value page.Text
	}{{"first", w.sum(c.FirstCost)}, {"cash", w.sum(c.CashPerCrop)}, {"crop", w.sum(c.PerCrop)}, {"head", w.sum(c.PerHead)},
		{"break_even", even}, {"payback", payback}} {
		t.Add(w.text("packet.money."+row.id, nil), w.opens("cost."+row.id, row.value))
	}
	return slices.Concat([]page.Block{t}, w.of(at(finding.AtMoney).prints(plan.FindAirBuy, plan.FindShadeBuy)))
}

// keptApart says what must not meet in a bucket or a cup, of what is mixed here.
func (w writer) keptApart() []page.Text {
	out := []page.Text{w.text("packet.mix.dry", nil)}
	var calcium []string
	for _, d := range w.p.Mix.Doses {
		if d.Brings[mix.Calcium] > 0 {
			calcium = append(calcium, d.Product)
		}
	}
	if len(calcium) > 0 {
		out = append([]page.Text{w.text("packet.mix.apart", finding.Args{"Products": w.words.Products(calcium)})}, out...)
	}
	return out
}
