package packet

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"unicode/utf8"

	"raftwright/draw"
	"raftwright/finding"
	"raftwright/mix"
	"raftwright/page"
	"raftwright/plan"
	"raftwright/raft"
	"raftwright/season"
	"raftwright/unit"
)

// faceRaft marks and drills the raft; the map numbers the holes by the batch that fills them
// first.
func (w writer) faceRaft() []page.Block {
	r := w.p.Raft
	steps := func(l raft.Layout) page.List {
		s := w.drilling(l)
		s.Items = append(s.Items, w.text("face.raft.lift", finding.Args{"Mass": r.Lift.Mass, "One": w.liftedByOne()}))
		return s
	}
	first := []page.Text{w.text("face.raft.gear", nil), w.text("packet.raft.drill", nil)}
	out := w.warnings(first, []finding.ID{raft.FindSparse, raft.FindCrowded}, finding.AtRaft, finding.AtLift)
	for i, l := range r.Layouts {
		narrow := l.Size.Y > 1.3*l.Size.X || l.Round && l.Guide(r.Job.Spacing, r.Job.Edge).ByRows // it can stand beside its steps
		high := draw.Points(230)
		if narrow && i == 0 && !w.large {
			high = 315
		} else if narrow {
			high = 330
		}
		f := w.plantingMap(l, i, w.tall(high))
		out = append(out, w.keptClear(l)...)
		var beside []page.Block
		if i == 0 {
			pot := w.potFigure()
			pot.Height = 122 * w.grow()
			pot.Caption = page.Bold(potLetter) + " " + pot.Caption
			pot.Caption += " " + w.text("face.raft.plug", nil)
			beside = []page.Block{steps(l), w.hookGauge(), pot}
			if w.large { // the steps fill the page under the warning, the plan of the sheet the next
				out, beside = append(out, beside[:2]...), beside[2:]
			}
		}
		if w.large || !l.Guide(r.Job.Spacing, r.Job.Edge).ByRows {
			beside = append(beside, w.marking(l)...)
		}
		if narrow && i == 0 && !w.large {
			out = append(out, page.Beside{Columns: [][]page.Block{{f}, beside}, Weights: []float64{6, 7}})
		} else {
			if out = append(out, f); i == 0 && len(beside) >= 3 {
				n := len(beside) - 2
				beside = []page.Block{page.Beside{Columns: [][]page.Block{beside[:n], beside[n:]}, Weights: []float64{7, 6}}}
			}
			out = append(out, beside...)
		}
	}
	if len(r.Pieces) > 1 {
		out = append(out, together(w.para("packet.raft.sheets", finding.Args{"Count": len(r.Pieces)}), w.assembly()))
	}
	return append(out, w.heading("packet.seed.title"), w.seedlings()[0])
}

// liftedByOne tells whether one person can carry the grown raft: it is light, and short enough to be held at both
// quarter points.
func (w writer) liftedByOne() bool {
	r := w.p.Raft
	return r.Lift.Mass <= r.Lift.OneLimit && max(r.Size.X, r.Size.Y) <= unit.Metre
}

// mapped tells whether the holes have numbers on the face: one sheet whose holes stand wide
// enough apart, and dates on which they are planted. In large print no task names them.
func (w writer) mapped() bool {
	r := w.p.Raft
	if w.large || r == nil || w.p.Season == nil || len(w.p.Season.Batches) == 0 || len(r.Pieces) != 1 {
		return false
	}
	l := r.Layouts[0]
	long := max(l.Size.Y, 1.4*l.Size.X) // takes about 255 points of the paper
	return l.LeastSpacing/long*255 >= 20
}

// plantingMap is the plan of a sheet; its holes have the numbers by which the calendar names
// them.
func (w writer) plantingMap(l raft.Layout, kind int, high draw.Points) page.Figure {
	return w.both(func(w writer) page.Figure { return w.mapDrawn(l, kind, high) })
}

func (w writer) mapDrawn(l raft.Layout, kind int, high draw.Points) page.Figure {
	f := w.raftDrawn(l, kind, high)
	if !w.mapped() || !l.Guide(w.p.Raft.Job.Spacing, w.p.Raft.Job.Edge).ByRows { // else they have them already
		return f
	}
	for i, q := range l.Positions {
		f.Drawing.Add(draw.Text{At: draw.At(q.X, q.Y+w.p.Raft.Job.Hole/2), Dy: 3.2, Text: fmt.Sprint(i + 1), Size: leastType, Bold: true, Anchor: draw.Middle, Halo: true})
	}
	f.Caption += " " + w.text("face.raft.map", nil)
	return f
}

// faceTask prints a task for its cell: the day, the batch, and its holes or how many plants.
func (w writer) faceTask(x season.Task, batch string) string {
	args := finding.Args{"Weekday": w.words.Weekday(x.Day), "Batch": x.Batch, "Plants": x.Args["Count"]}
	at := slices.IndexFunc(w.p.Season.Batches, func(b season.Batch) bool { return b.Number == x.Batch })
	if at < 0 || x.Kind != season.TaskSetOut || !w.mapped() || len(w.p.Season.Batches[at].Nursery) > 0 {
		return w.say(batch, args)
	}
	var holes []string
	for _, s := range w.p.Season.Batches[at].Holes {
		span := fmt.Sprint(s.From)
		if s.To > s.From {
			span = w.say("word.range", finding.Args{"From": span, "To": fmt.Sprint(s.To)})
		}
		holes = append(holes, span)
	}
	args["Holes"] = strings.Join(holes, ", ")
	return w.say("face.calendar.planted", args)
}

// hookGauge is a ruler at full size, to see what the hook of a tape gives away.
func (w writer) hookGauge() page.Figure {
	g := w.drawing("gauge", "face.raft.gauge", "alt.gauge", nil)
	g.Scale, g.Bare = draw.Full, true
	step, n := unit.Inch, 3
	if w.metric() {
		step, n = unit.Centimetre, 8
	}
	long, tall := step*unit.Length(n), 0.4*unit.Inch
	if w.large {
		tall = 0.5 * unit.Inch
	}
	g.Add(draw.Rect(draw.At(0, 0), long, tall))
	for k := range n*4 + 1 {
		x, high := step*unit.Length(k)/4, 0.1*unit.Inch
		if k%4 == 0 {
			high = 0.2 * unit.Inch
			if k > 0 && k < n*4 {
				g.Add(draw.Text{At: draw.At(x, high), Dy: 3, Text: fmt.Sprint(k / 4), Size: 9.5 * w.grow(), Anchor: draw.Middle})
			}
		}
		g.Add(draw.Line(draw.At(x, 0), draw.At(x, high)).In(draw.Thin, draw.Solid))
	}
	return figure(g, 60)
}

// faceMix is the mixing card to laminate.
func (w writer) faceMix() []page.Block {
	m := w.p.Mix
	out := w.lead(m)
	out = append(out, page.Beside{Columns: [][]page.Block{{w.doses(m)}, {w.counts(m)}}, Weights: []float64{17, 10}})
	apart := w.keptApart()
	_, acid := w.mixedAcid(unit.Litre)
	var row []stripOf
	alt := "alt.step.apart"
	if w.p.Brief.Mix.Measure.Value.Spoons {
		row, alt = append(row, w.spoons()...), "alt.step.spoon"
	}
	if acid {
		apart = append(apart, w.each("packet.safety.acid", nil)[:2]...)
		row, alt = []stripOf{{name: "acid-gear"}, {name: "acid-in"}, {name: "acid-wrong", wrong: true}, {name: "acid-bleach", wrong: true}}, "alt.step.acid"
	}
	row = append(row, stripOf{name: "powders-in-cup", wrong: true})
	if f := w.row("apart", alt, nil, 15, 34.8, row); len(row) > 1 {
		out = append(out, w.warning(apart...), f)
	} else {
		out = append(out, page.Beside{Columns: [][]page.Block{{w.warning(apart...)}, {f}}, Weights: []float64{4, 1}})
	}
	if burns := w.inShort(func(f finding.Finding) bool { return f.ID == mix.FindAmmonia }); len(burns) > 0 {
		out = append(out, w.check(burns...))
	}
	return append(append(append(out, w.mixSteps(m)), w.jugs(m)...), w.readings())
}

// mostCounted is how many spoons are drawn one by one; more than that is written.
const mostCounted = 10

// counts draws for each product how much of it goes into a bucket: level spoons one by one, a
// part of one as a smaller spoon, or the scale with its reading.
func (w writer) counts(m *mix.Mix) page.Figure {
	p := &picture{Drawing: w.drawing("counts", "alt.step.counts", "alt.step.counts", nil), grow: w.grow()}
	p.mm = unit.Millimetre * unit.Length(p.grow)
	p.Bare = true
	spoons := w.p.Brief.Mix.Measure.Value.Spoons
	p.Add(draw.Line(p.at(0, 6.5), p.at(66, 6.5)).In(draw.NoLine, draw.Solid))
	y := 0.0
	for _, d := range m.Doses {
		amount, n := w.measured(d, d.PerBucket, d.Spoons), d.Spoons
		if m.Fill.Full == 0 && d.Last > 0 {
			amount, n = w.measured(d, d.Last, d.LastSpoons), d.LastSpoons
		}
		p.Add(draw.Text{At: p.at(0, y+6.3), Text: w.words.Product(d.Product), Size: 10 * p.grow, Bold: true})
		x := 0.0
		switch {
		case !spoons || d.Jug.Take > 0 || n <= 0:
			p.symbol("kitchen-scale", 0, y-0.5, 7)
			x = 9
		case n <= mostCounted:
			p.Add(draw.Text{At: p.at(32, y+2.5), Text: string(amount), Size: 10 * p.grow, Level: draw.Centred})
			amount = ""
			for i := 0; n > 0.1; n-- {
				high := 5.5
				if n < 0.9 {
					high *= math.Cbrt(n)
				}
				if i == 5 {
					x, y = 0, y-5
				}
				p.symbol("level-spoon", x, y, high)
				x, i = x+6, i+1
			}
		default:
			p.symbol("level-spoon", 0, y, 5.5)
			x = 8
		}
		p.Add(draw.Text{At: p.at(x+2, y+2.5), Text: string(amount), Size: 10 * p.grow, Level: draw.Centred})
		p.symbol("bucket", 60, y-0.5, 8)
		y -= 10.5
	}
	return page.Figure{Drawing: p.Drawing, Height: 300 * w.grow()}
}

// mixSteps is the order of mixing, with the cure of chlorine in the place of its short word.
func (w writer) mixSteps(m *mix.Mix) page.List {
	l := w.order(m)
	cure, ok := w.cure("face.mix.cure")
	if !ok {
		return l
	}
	short := w.text("packet.mix.do.take_the_chlorine_out", nil)
	if at := slices.Index(l.Items, short); at >= 0 {
		l.Items[at] = cure
	} else {
		l.Items = append([]page.Text{cure}, l.Items...)
	}
	return l
}

// spoons shows what a level spoon is.
func (w writer) spoons() []stripOf {
	return []stripOf{{name: "spoon-heap", words: w.say("face.mix.heap", nil)}, {name: "spoon-knife", words: w.say("face.mix.knife", nil)}, {name: "spoon-level", words: w.say("face.mix.level", nil)}}
}

// readings tells what the two meters should show, and what to do where they do not.
func (w writer) readings() page.Table {
	ec, ph, _, _ := w.bands()
	t := page.Table{RowHead: true, Columns: w.columns("packet.card.col.what", "packet.card.col.good", "face.mix.low", "face.mix.high")}
	t.Weigh(0.8, 1.2, 2.4, 2.4)
	low := w.text("face.mix.ec_low", nil)
	if m := w.p.Mix; m != nil && w.readsLow(m) {
		low = w.text("face.mix.ec_lacks", finding.Args{"EC": w.withShown(m.EC), "Buy": m.Buy != nil})
	}
	t.Add(w.text("packet.card.row.ec", nil), page.Bold(ec)+" mS/cm", low, w.text("face.mix.ec_high", nil))
	up := "face.mix.ph_high"
	if _, ok := w.mixedAcid(unit.Litre); ok {
		up = "face.mix.ph_high_acid"
	}
	t.Add(w.text("packet.card.row.ph", nil), page.Bold(ph), w.text("face.mix.ph_low", nil), w.text(up, nil))
	return t
}

// faceCard is the card that hangs at the bed: the dipstick at full size, what to add, and whom
// to call.
func (w writer) faceCard() []page.Block {
	var good page.Block = w.bandTable()
	if w.p.Mix != nil && w.p.Measure().Kind == mix.Spoons {
		good = page.Beside{Columns: [][]page.Block{{good}, {w.spoonGauge()}}, Weights: []float64{5, 2}}
	}
	left := []page.Block{good, w.heading("face.card.top_up")}
	scales, sours := false, w.sours()
	if f, ok := w.nomogram(sours); ok && !w.large && len(w.strips()) == 1 {
		left, scales = append(left, f), true
	} else if t, jug, ok := w.topUpTable(); ok {
		left = append(left, t)
		if jug.Take > 0 {
			left = append(left, w.para("face.card.jug", finding.Args{"Amount": w.amount(jug.Mass, jug.Spoons), "Water": jug.Water}))
		}
	}
	if m := w.p.Mix; m != nil {
		if scales { // they say what the meter asks for
			left = append(left, w.para("face.card.share", finding.Args{"Share": m.TopUp.Share}))
			if len(sours) > 0 {
				left = append(left, w.para("face.card.sour", nil))
			}
		} else {
			left = append(left, w.topUp(m))
			if sour := w.sour(sours); sour != "" {
				left = append(left, w.para("face.card.sour_told", finding.Args{"Sour": sour}))
			}
		}
		if _, acid := w.mixedAcid(unit.Litre); acid && w.byQuarters() && !w.byPacks() {
			left = append(left, w.para("face.card.by_quarters", finding.Args{"Stop": w.words.Fixed(plan.StopPH, 1)}))
		}
	}
	left = append(left, w.heading("face.card.warmth"), w.warmthTable())
	call := []page.Block{w.para("packet.card.strip", nil), w.para("face.card.call", nil), page.Fields{Lines: [][]page.Field{{{Label: w.say("face.card.emergency", nil)}, {Label: w.say("face.card.poison", nil)}}}}}
	n := len(w.strips())
	if n > mostBeside || w.large || len(w.stops(actsToGrow)) > 0 { // on a face of its own, to be cut out
		return slices.Concat(left, call, []page.Block{page.PageBreak{}, w.stripFigure()})
	}
	return append([]page.Block{page.Beside{Columns: [][]page.Block{left, {w.stripFigure()}}, Weights: []float64{float64(11 - 2*n), float64(1 + 2*n)}}}, call...)
}

// mostBeside is how many pieces of the dipstick stand beside what else the card tells.
const mostBeside = 2

// bandTable is the table of the good ranges.
func (w writer) bandTable() page.Table {
	ec, ph, warm, depth := w.bands()
	own := ""
	if well := w.goodEC(); w.shown(well.Low) != "" {
		own = " (" + w.band(well, w.shown) + ")"
	}
	t := page.Table{Compact: true, RowHead: true, Columns: w.columns("packet.card.col.what", "packet.card.col.good")}
	for _, r := range [][2]string{{"depth", depth}, {"ec", ec + " mS/cm" + own}, {"ph", ph}, {"warm", warm}} {
		t.Add(w.text("packet.card.row."+r[0], nil), page.Text(r[1]))
	}
	return t
}

// bucketsRow is the row of the buckets in it.
const bucketsRow = 1

// topUpTable goes from how far the water fell to buckets and to feed, a column for each
// step down: names of products are long and stand at the rows. It gives the jug too that the least of them are taken from, if any is.
func (w writer) topUpTable() (t page.Table, jug mix.Jug, ok bool) {
	step, per := unit.Inch/2, w.p.PerInch()/2
	if w.metric() {
		step, per = unit.Centimetre, w.p.PerInch()*unit.Volume(unit.Centimetre/unit.Inch)
	}
	bucket := unit.Volume(5 * unit.Gallon)
	m := w.p.Mix
	if m != nil && m.Bucket > 0 {
		bucket = m.Bucket
	}
	var doses []mix.Dose
	if m != nil && m.TopUp.Share > 0 && !w.byPacks() {
		doses = m.Doses
	}
	t = page.Table{Compact: true, RowHead: true, Columns: w.columns("face.card.down")}
	rows := [][]page.Text{{w.text("face.card.water", nil)}, {w.text("face.card.buckets", finding.Args{"Bucket": bucket})}}
	for _, d := range doses {
		rows = append(rows, []page.Text{page.Literal(w.words.Product(d.Product))})
	}
	if _, acid := w.mixedAcid(unit.Litre); acid && !w.byPacks() {
		rows = append(rows, []page.Text{w.acidRow()})
	}
	deep, most := w.p.Depth()-w.p.TopUpAt(), unit.Volume(0)
	for i := 1; i <= 4 && unit.Length(i-1)*step < deep; i++ {
		v := per * unit.Volume(i)
		most = v
		t.Columns = append(t.Columns, page.Column{Title: w.value(step * unit.Length(i)), Align: page.Right})
		rows[0], rows[1] = append(rows[0], w.value(v)), append(rows[1], page.Text(quarters(float64(v/bucket))))
		for k, d := range doses {
			mass := (d.Strength * unit.MassConcentration(m.TopUp.Share)).In(v)
			h := w.p.Measure().Helping(mass, d.Spoon.Mass, w.p.Jug(), false)
			if h.Jug.Take > 0 { // no scale of the list shows so little
				rows[k+2] = append(rows[k+2], w.text("packet.mix.from_jug", finding.Args{"Take": w.sipped(h.Jug.Take)}))
				jug = h.Jug
				continue
			}
			rows[k+2] = append(rows[k+2], w.measured(mix.Dose{PerBucket: d.PerBucket}, h.Mass, h.Spoons))
		}
		if at := 2 + len(doses); at < len(rows) { // fresh water takes all its acid, however strong the feed
			acid, _ := w.mixedAcid(v)
			rows[at] = append(rows[at], acid)
		}
	}
	for i, row := range rows {
		if i == bucketsRow && most < bucket { // parts of one bucket: its marks and a jug measure the water
			continue
		}
		t.Add(row...)
	}
	return t, jug, per > 0 && len(t.Columns) > 1
}

// warmthTable is the ladder of the water's temperature.
func (w writer) warmthTable() page.Table {
	t := page.Table{Compact: true, RowHead: true, Columns: w.columns("packet.card.row.warm", "face.card.do")}
	t.Weigh(1.3, 3)
	t.Add(w.text("face.card.above", finding.Args{"Value": string(w.degrees(w.p.Crop.Act()))}), w.text("face.card.act", nil))
	t.Add(w.text("face.card.between", finding.Args{"Low": string(w.degrees(w.p.Crop.Watch())), "High": string(w.degrees(w.p.Crop.Act()))}), w.text("face.card.watch", nil))
	t.Add(w.text("face.card.below", finding.Args{"Value": string(w.degrees(w.p.Crop.Watch()))}), w.text("face.card.well", nil))
	return t
}

// faceCalendar is the work by weeks, with the harvest as pictures.
func (w writer) faceCalendar() []page.Block {
	boxes := w.warnings(nil, nil, finding.AtSeason)
	lead, batch, args := "face.calendar.lead", "face.calendar.batch", finding.Args{}
	if n, ok := w.alike(); ok && !w.large {
		lead, batch, args = "face.calendar.alike", "face.calendar.batch_alike", finding.Args{"Count": n}
	}
	if w.mapped() {
		lead += "_holes"
	}
	told, weeks := w.text(lead, args), []page.Block{w.taskTable()}
	if !w.large {
		t := w.weeks(batch)
		if t.Rows[0].Group && !slices.ContainsFunc(t.Rows[1:], func(r page.Row) bool { return r.Group && len(r.Cells[0]) == len(t.Rows[0].Cells[0]) }) { // one year
			told, t.Rows = page.Bold(string(t.Rows[0].Cells[0]))+". "+told, t.Rows[1:]
		}
		weeks = inHalves(t, linesBeside-linesOfBox*(len(boxes)+len(w.stops([]finding.Act{finding.AtSeason}))))
	}
	out := slices.Concat(boxes, []page.Block{page.Para{Text: told}}, weeks)
	if !w.large {
		out = append(out, page.Para{Text: w.alsoDo(), Small: true})
	}
	keep := w.p.Crop.Storage.At
	cold := finding.Args{"Low": string(w.degrees(keep.Min)), "High": string(w.degrees(keep.Max))}
	return append(out, together(page.Para{Text: page.Bold(w.say("face.calendar.harvest", nil)+".") + " " + w.ofTheCrop(), Small: true}, w.row("harvest", "alt.step.harvest", cold, 11, 43, []stripOf{
		{name: "gloves", words: w.say("face.harvest.hands", nil)}, {name: "head", words: w.say("face.harvest.cut", nil)}, {name: "hose", words: w.say("face.harvest.wash", nil)},
		{name: "thermometer", words: w.say("face.harvest.cool", cold)}})))
}

// Of a calendar in two columns: it is shorter than one of so many weeks, and a face holds so many lines
// of it, in both, fewer by so many for each box of cautions.
const fewWeeks, linesBeside, linesOfBox = 16, 60, 16

// inHalves sets the weeks side by side in two columns, where a week has a day of each work or little
// more: in a narrow column each day takes a line. More lines than there is room for stand in parts,
// between which a page can begin.
func inHalves(t page.Table, room int) []page.Block {
	lines := make([]int, len(t.Rows)+1) // before each row
	for i, r := range t.Rows {
		lines[i+1] = lines[i] + 1
		for k, c := range r.Cells[1:] {
			n, room := 0, [...]int{9, 15, 9}[k] // letters
			for day := range strings.SplitSeq(string(c), ";") {
				n += 1 + (utf8.RuneCountInString(day)-1)/room
			}
			lines[i+1] = max(lines[i+1], lines[i]+n)
		}
	}
	all := lines[len(t.Rows)]
	if len(t.Rows) <= fewWeeks || 2*all > 3*len(t.Rows) {
		return []page.Block{t}
	}
	part := func(from, to int) []page.Block { // the rows between these lines
		half := t
		half.Rows = nil
		for i, r := range t.Rows {
			if lines[i] >= from && lines[i] < to {
				half.Rows = append(half.Rows, r)
			}
		}
		return []page.Block{half}
	}
	var out []page.Block
	parts := 1
	if all > room {
		parts = 1 + 2*all/linesBeside
	}
	for k := range parts {
		from, to := k*all/parts, (k+1)*all/parts
		out = append(out, page.Beside{Whole: true, Columns: [][]page.Block{part(from, (from+to+1)/2), part((from+to+1)/2, to)}})
	}
	return out
}

// alike gives how many plants each batch of the calendar has, where all have as many.
func (w writer) alike() (n any, ok bool) {
	for _, x := range w.p.Tasks() {
		if c := columnsOf[x.Kind]; c == 0 || c == 4 {
			continue
		}
		if n == nil {
			n = x.Args["Count"]
		}
		if n == nil || x.Args["Count"] != n {
			return nil, false
		}
	}
	return n, n != nil
}

// weeks is the calendar by weeks as a face has it: a box to tick before each, and what has a day
// of its own stands under it.
func (w writer) weeks(batch string) page.Table {
	t := w.weekTable(func(x season.Task) string { return w.faceTask(x, batch) })
	var rows []page.Row
	for _, r := range t.Rows {
		if !r.Group {
			r.Cells[0] = page.Text(strings.ReplaceAll("☐ "+string(r.Cells[0]), " ", page.Glue))
			r.Cells = r.Cells[:4]
			for i, c := range r.Cells[1:] { // a narrow column may break before the plants or the holes
				r.Cells[i+1] = page.Text(strings.NewReplacer(page.Glue+"(", " (", ":"+page.Glue, ": ").Replace(string(c)))
			}
		}
		if r.Group || r.Cells[1]+r.Cells[2]+r.Cells[3] != "" {
			rows = append(rows, r)
		}
	}
	t.Columns, t.Rows, t.RowHead = w.columns("packet.calendar.col.week", "packet.calendar.col.sow", "packet.calendar.col.move", "packet.calendar.col.cut"), rows, true // as wide as their words need
	return t
}

// alsoDo lists what the calendar asks for beside sowing, planting and cutting: what falls on one day stands under it together.
func (w writer) alsoDo() page.Text {
	var list []string
	day := ""
	for _, x := range w.p.Tasks() {
		if columnsOf[x.Kind] != 4 {
			continue
		}
		do := w.say("packet.calendar.do."+string(x.Kind), x.Args)
		if d := string(w.monthDay(int(x.Day.Month()), x.Day.Day())); d != day {
			day, list = d, append(list, d+": "+do)
		} else {
			list[len(list)-1] += "; " + do
		}
	}
	if len(list) == 0 {
		return w.text("face.calendar.nothing", nil)
	}
	return page.Bold(w.say("packet.calendar.col.also", nil)) + " " + page.Text(strings.Join(list, ". ")) + "."
}

// logRows is how many days a face of the log holds.
const logRows = 28

// faceLog is the log, with the troubles of leaf and root under it.
func (w writer) faceLog() []page.Block {
	blocks := w.log()
	for i, b := range blocks {
		if l, ok := b.(page.LogSheet); ok {
			l.Rows, l.Height = logRows, 16.2
			if w.large {
				l.Rows, l.Height = 14, 30
			}
			blocks[i] = l
		}
	}
	var list []stripOf
	for _, s := range []string{"older-yellow-uniform", "older-interveinal", "young-interveinal", "inner-tipburn", "bolting", "holes-chewed", "roots-white", "roots-slimy"} {
		list = append(list, stripOf{name: s, words: w.say("sign."+s, nil)})
	}
	signs := w.row("signs", "alt.signs", nil, 15, 21.7, list)
	signs.Drawing.Plate = true // a pale leaf is pale in the dark too
	return append(blocks[1:], signs, page.Para{Text: w.text("face.log.signs", nil), Small: true})
}
