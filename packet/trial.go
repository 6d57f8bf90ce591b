package packet

import (
	"fmt"
	"math"
	"strconv"

	"raftwright/draw"
	"raftwright/finding"
	"raftwright/lang"
	"raftwright/page"
	"raftwright/plan"
	"raftwright/trial"
	"raftwright/unit"
)

// trialist writes of two treatments.
type trialist struct {
	writer
	t trial.Trial
}

// Trial makes the paper of a trial: how it is done, where each treatment goes, the sheet on which it is weighed without
// knowing which is which, and, once there are weights, what they show.
func Trial(p plan.Plan, t trial.Trial, words *lang.Printer, o Options) page.Document {
	w := trialist{onPaper(p, words, o), t}
	d := w.document(o)
	d.Title, d.Subtitle = w.say("trial.title", nil), w.p.Title()
	if r := t.Result; r != nil {
		d.Sections = []page.Section{{ID: "result", Title: w.say("trial.result.title", nil), Blocks: w.result(*r)}}
		return d
	}
	for _, s := range []struct {
		id     string
		blocks []page.Block
	}{{"how", w.how()}, {"plant", w.plant()}, {"weigh", w.weigh()}} {
		d.Sections = append(d.Sections, page.Section{ID: s.id, Title: w.say("trial."+s.id+".title", nil), NewPage: len(d.Sections) > 0, Blocks: s.blocks})
	}
	return d
}

// names are the treatments and the sign of each.
func (w trialist) names() finding.Args {
	return finding.Args{"First": string(page.Literal(w.t.First)), "Other": string(page.Literal(w.t.Other))}
}

// grams prints a weight as a scale shows it.
func (w trialist) grams(g float64) string {
	return w.words.Grams(unit.Mass(math.Abs(g)) * unit.Gram)
}

// how is the first page: what is compared, the lot, and the steps.
func (w trialist) how() []page.Block {
	t, kind := w.t, w.kind()
	figures := page.KeyFigures{Columns: 2}
	add := func(id, value string) {
		figures.Items = append(figures.Items, page.KeyFigure{Label: w.say("trial.glance."+id, nil), Value: value})
	}
	seed, plans := uint64(0), ""
	if t.Layout != nil {
		seed, plans = t.Layout.Seed, w.many(t.Layout.Plans.String())
	} else {
		seed, plans = t.Beds.Seed, w.many(t.Beds.Plans.String())
	}
	add("a", t.First)
	add("b", t.Other)
	add("seed", strconv.FormatUint(seed, 10))
	add("plans", plans)
	out := []page.Block{w.para("trial.lead", nil), figures, w.para("trial.unit."+kind, nil)}
	if g, ok := t.Expected(); ok {
		out = append(out, w.para("trial.expected", finding.Args{"Least": w.grams(g), "Spread": w.grams(t.Spread)}))
	} else {
		out = append(out, w.para("trial.unexpected", nil))
	}
	out = append(out, w.heading("trial.steps"), w.steps("trial.step_"+kind, nil), w.warning(w.text("trial.care", nil)), w.heading("trial.rules"), w.bullets("trial.rule", nil))
	return append(out, page.Para{Text: w.text("trial.method", nil), Small: true})
}

// kind is where the plots are, as the sentences are named.
func (w trialist) kind() string {
	if w.t.Layout != nil {
		return "raft"
	}
	return "beds"
}

// many writes a whole number in parts of three, or says that there are more than can be told.
func (w trialist) many(digits string) string {
	if len(digits) > 12 {
		return w.say("trial.glance.more", nil)
	}
	n, err := strconv.ParseFloat(digits, 64)
	if err != nil {
		return digits
	}
	return w.words.Number(n)
}

// plant is the page of who plants: which hole or bed gets which treatment.
func (w trialist) plant() []page.Block {
	out := []page.Block{w.para("trial.plant.lead", w.names())}
	if l := w.t.Layout; l != nil {
		t := page.Table{RowHead: true, Compact: true, Columns: w.columns("trial.col.strip", "trial.col.order")}
		t.Weigh(1, 5)
		signs := make([]string, l.Strips+1)
		for _, p := range l.Plots() {
			sign := " B"
			if p.First {
				sign = " A"
			}
			signs[p.Block] += sign
		}
		for i, s := range signs[1:] {
			t.Add(page.Text(strconv.Itoa(i+1)), page.Text(s[1:]))
		}
		return append(out, t, w.chart("trial-plant", "trial.plant.caption", func(s trial.Spot) string {
			if s.First {
				return "A"
			}
			return "B"
		}))
	}
	t := page.Table{RowHead: true, Compact: true, Columns: w.columns("trial.col.block", "trial.col.bed", "trial.col.gets")}
	for _, p := range w.t.Beds.Plots() {
		t.Add(page.Text(strconv.Itoa(p.Block)), page.Text(p.Name), w.gets(p.First))
	}
	return append(out, t)
}

func (w trialist) gets(first bool) page.Text {
	if first {
		return page.Bold("A") + page.Text(" – ") + page.Literal(w.t.First)
	}
	return page.Bold("B") + page.Text(" – ") + page.Literal(w.t.Other)
}

// weigh is the sheet of who weighs, who need not know which treatment a plant had.
func (w trialist) weigh() []page.Block {
	out := []page.Block{w.para("trial.weigh.lead", nil), w.para("trial.weigh.name_"+w.kind(), nil)}
	var t page.Table
	if l := w.t.Layout; l != nil {
		out = append(out, w.chart("trial-weigh", "trial.weigh.caption", func(s trial.Spot) string { return strconv.Itoa(s.Hole) }), page.PageBreak{})
		t = page.Table{RowHead: true, Columns: w.columns("trial.col.hole", "trial.col.weight", "trial.col.note")}
		if !w.large {
			t.Fold = 2
		}
		t.Weigh(1, 1.6, 2)
		for _, p := range l.Plots() {
			t.Add(page.Text(p.Name), "", "")
		}
	} else {
		t = page.Table{RowHead: true, Columns: w.columns("trial.col.bed", "trial.col.heads", "trial.col.all", "trial.col.each", "trial.col.note")}
		t.Weigh(1, 1.4, 1.6, 1.4, 2)
		for _, p := range w.t.Beds.Plots() {
			t.Add(page.Text(p.Name), "", "", "", "")
		}
	}
	return append(out, t, w.para("trial.weigh.after_"+w.kind(), nil), page.Fields{Lines: [][]page.Field{{{Label: w.say("trial.weigh.day", nil)}, {Label: w.say("trial.weigh.by", nil)}, {Label: w.say("trial.weigh.scale", nil)}}}})
}

// chart draws the raft with its strips one above the other, and in each hole that counts what is asked for.
func (w trialist) chart(id, title string, inHole func(trial.Spot) string) page.Figure {
	return w.both(func(n writer) page.Figure { return trialist{n, w.t}.charted(id, title, inHole) })
}

func (w trialist) charted(id, title string, inHole func(trial.Spot) string) page.Figure {
	r, l := w.p.Raft, w.t.Layout
	g := w.drawing(id, title, "trial.alt", finding.Args{"Count": l.Strips, "Seed": strconv.FormatUint(l.Seed, 10)})
	g.Plan = true
	lie, size := func(x, y unit.Length) draw.Spot { return draw.At(x, y) }, r.Size
	if !l.Along { // strips follow each other up the paper
		lie, size = func(x, y unit.Length) draw.Spot { return draw.At(r.Size.Y-y, x) }, r.Size.Turned()
	}
	if r.Round {
		g.Add(draw.Circle(draw.At(size.X/2, size.Y/2), size.X/2).In(draw.Heavy, draw.Solid).Filled(draw.White))
	} else {
		for _, p := range r.Pieces {
			of := r.Layouts[p.Layout].Size
			a, b := lie(p.At.X, p.At.Y), lie(p.At.X+of.X, p.At.Y+of.Y)
			g.Add(draw.Polygon(a, draw.At(b.X, a.Y), b, draw.At(a.X, b.Y)).In(draw.Heavy, draw.Solid).Filled(draw.White))
		}
	}
	type span struct{ low, high unit.Length }
	spans := make([]span, l.Strips+1)
	for i, s := range l.Spots {
		at := lie(unit.Length(s.X), unit.Length(s.Y))
		hole := draw.Circle(at, r.Job.Hole/2)
		if !s.Weighed() {
			g.Add(hole.In(draw.Thin, draw.Solid))
			continue
		}
		if spans[s.Strip] == (span{}) {
			spans[s.Strip] = span{at.Y, at.Y}
		}
		spans[s.Strip] = span{min(spans[s.Strip].low, at.Y), max(spans[s.Strip].high, at.Y)}
		g.Add(hole.In(draw.Normal, draw.Solid).Named(fmt.Sprintf("%s-%d", id, i+1), ""),
			draw.Text{At: at, Text: inHole(s), Size: leastType * w.grow(), Bold: true, Anchor: draw.Middle, Level: draw.Centred, Halo: true})
	}
	for i := 1; i <= l.Strips; i++ {
		name := w.say("trial.strip", finding.Args{"Number": i})
		g.Add(draw.Text{At: draw.At(0, (spans[i].low+spans[i].high)/2), Dx: -8, Text: name, Size: leastType * w.grow(), Anchor: draw.End, Level: draw.Centred})
		if i > 1 {
			between := (spans[i-1].high + spans[i].low) / 2
			g.Add(draw.Line(draw.At(0, between), draw.At(size.X, between)).In(draw.Thin, draw.Dashed))
		}
	}
	return figure(g, 560-draw.Points(14*l.Strips))
}

// result is what the weights show: one sentence, and what it rests on.
func (w trialist) result(r trial.Result) []page.Block {
	names := w.names()
	args := finding.Args{"More": names["First"], "Less": names["Other"], "Low": w.grams(r.Low), "High": w.grams(r.High), "Least": w.grams(r.Least)}
	if r.Difference < 0 {
		args["More"], args["Less"], args["Low"], args["High"] = args["Less"], args["More"], args["High"], args["Low"]
	}
	out := []page.Block{page.Para{Text: "**" + w.text("trial.verdict."+string(r.Verdict), args) + "**"}}
	if w.t.Of == trial.Site {
		out = append(out, w.check(w.text("trial.sites", nil)))
	}
	t := page.Table{RowHead: true, Columns: w.columns("trial.col.treatment", "+trial.col.plots", "+trial.col.mean")}
	plots := func(n int) page.Text { return page.Text(w.words.Number(float64(n))) }
	t.Add(w.gets(true), plots(r.A), page.Text(w.grams(r.MeanA)))
	t.Add(w.gets(false), plots(r.B), page.Text(w.grams(r.MeanB)))
	out = append(out, t)
	if r.Verdict == trial.Shown || r.Verdict == trial.NotShown {
		id := "trial.interval.groups"
		if r.Paired {
			id = "trial.interval.pairs"
		}
		out = append(out, w.para(id, finding.Args{"First": names["First"], "Other": names["Other"], "Difference": w.signed(r.Difference), "Low": w.signed(r.Low), "High": w.signed(r.High), "T": w.words.Fixed(r.T, 2), "DF": w.words.Number(math.Round(r.DF*10) / 10),
			"P": w.chance(r.P), "Least": w.grams(r.Least)}))
		if r.Signs.Arrangements > 0 {
			out = append(out, w.para("trial.signs", finding.Args{"All": w.words.Number(float64(r.Signs.Arrangements)), "P": w.chance(r.Signs.P)}))
		}
	}
	out = append(out, w.para("trial.weighed", finding.Args{"Plants": w.words.Number(float64(r.Plants))}))
	if len(r.Not) > 0 {
		out = append(out, w.para("trial.not_weighed", finding.Args{"Names": w.words.Join(r.Not)}))
	}
	if r.Left > 0 {
		out = append(out, w.para("trial.left", finding.Args{"Count": r.Left}))
	}
	return append(out, page.Para{Text: w.text("trial.meaning", nil), Small: true})
}

// signed prints a weight with its sign.
func (w trialist) signed(g float64) string {
	if g < 0 {
		return "−" + w.grams(g)
	}
	return w.grams(g)
}

// chance prints a probability; one that is very small is said to be below.
func (w trialist) chance(p float64) string {
	if p < 0.001 {
		return w.say("trial.below", finding.Args{"P": w.words.Fixed(0.001, 3)})
	}
	return w.words.Fixed(p, 3)
}
