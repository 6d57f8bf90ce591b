package packet

import (
	"fmt"
	"math"
	"raftwright/draw"
	"slices"
	"strings"

	"raftwright/finding"
	"raftwright/frame"
	"raftwright/mix"
	"raftwright/page"
	"raftwright/plan"
	"raftwright/raft"
	"raftwright/unit"
	"raftwright/water"
)

// frame tells how to build the frame, with its drawings and how hard it works.
func (w writer) frame() []page.Block {
	d := w.p.Frame
	size := finding.Args{"Length": d.Job.Vessel.Length, "Width": d.Job.Vessel.Width, "Gap": d.Job.Raft.Gap}
	if r := w.p.Raft; r != nil && max(r.Play.X, r.Play.Y)-d.Job.Raft.Gap > unit.Inch/32 {
		size["Wide"] = max(r.Play.X, r.Play.Y)
	}
	act := at(finding.AtFrame, finding.AtCorner).prints(frame.FindLocalCode)
	out := slices.Concat([]page.Block{w.para("packet.frame.lead", size), w.framePlan(), w.sectionThrough()}, w.cautions(act))
	if !d.Reckoned() {
		return slices.Concat(out, []page.Block{w.para("packet.frame.unreckoned", nil)}, w.notes(at(finding.AtFrame, finding.AtCorner).prints(frame.FindLocalCode)))
	}
	out = slices.Concat(out, []page.Block{w.steps("packet.frame.step", w.site(finding.Args{"Screws": d.Corner.Screws}))})
	corner := slices.Concat([]page.Block{w.holds()}, w.notes(at(finding.AtCorner)))
	return slices.Concat(out, []page.Block{page.Beside{Columns: [][]page.Block{{w.corner()}, corner}, Weights: []float64{10, 11}}, w.rim(), w.strength()},
		w.notes(at(finding.AtFrame).prints(frame.FindLocalCode)))
}

// site adds what a step says of the place to its figures.
func (w writer) site(args finding.Args) finding.Args {
	d := w.p.Frame
	args["Level"], args["Ground"], args["Support"] = w.levelTo(), w.onGround(), d.Job.Support.Word()
	return args
}

// levelTo is how level the ground is made: in metric whole millimeters, which a tape shows, and never more than was reckoned with.
func (w writer) levelTo() unit.Length {
	to := w.p.Frame.LevelTo()
	if w.metric() {
		to = unit.Length(math.Floor(float64(to/unit.Millimetre)+1e-9)) * unit.Millimetre
	}
	return to
}

// holds tells how many stakes or ties a side takes.
func (w writer) holds() page.Para {
	d := w.p.Frame
	if d.Side.Holds == 0 {
		return w.para("packet.frame.holds_none", nil)
	}
	return w.para("packet.frame.hold_each", finding.Args{"Count": d.Side.Holds, "Spacing": d.Side.Spacing, "Force": d.Side.HoldForceBrim})
}

// strength is the table of how hard the boards work.
func (w writer) strength() page.Table {
	d := w.p.Frame
	t := page.Table{Caption: w.text("packet.frame.table", nil) + w.cite("nds2018"), RowHead: true, Compact: true, Stack: true, Note: w.text("packet.frame.certify", nil),
		Columns: w.columns("packet.frame.col.board", "+packet.frame.col.span", "+packet.frame.col.strength", "+packet.frame.col.brim", "+packet.frame.col.bulge", "+packet.frame.col.later")}
	for i, b := range d.Boards {
		t.Add(w.text("word.piece_"+b.Part.String(), nil)+page.Text(" "+b.Size.String()), w.value(b.Span), w.opens("frame.use", w.value(b.Use)), w.opens("frame.use", w.value(d.BrimBoards[i].Use)),
			w.opens("frame.bulge", w.value(b.DeflectionShort)), w.opens("frame.bulge_years", w.value(b.DeflectionLong)))
	}
	return t
}

// vessel tells how to set up a tank or tub that is bought ready-made.
func (w writer) vessel() []page.Block {
	out := []page.Block{w.vesselSection()}
	if load, level := w.load(); level == finding.Note { // a deck, floor or roof has findings of its own
		out = append(out, page.Para{Text: load})
	}
	return slices.Concat(out, w.cautions(at(finding.AtFrame)), []page.Block{w.steps("packet.vessel.step", w.site(finding.Args{}))}, w.notes(at(finding.AtFrame)))
}

// liner tells how large the sheet is and how to lay it.
func (w writer) liner() []page.Block {
	d := w.p.Frame
	lead := w.para("packet.liner.lead_none", finding.Args{"Length": d.Liner.Length, "Width": d.Liner.Width})
	if len(d.Liner.Options) > 0 {
		best := d.Liner.Options[0]
		lead = w.para("packet.liner.lead", finding.Args{"Length": d.Liner.Length, "Width": d.Liner.Width, "Count": best.Buy, "Size": w.sheetSize(best.Sheet)})
	}
	out := []page.Block{lead}
	if d.Job.Vessel.Shape == frame.FrameShape {
		out = append(out, w.flatLiner())
	}
	act := at(finding.AtLiner).prints(frame.FindLinerBuy)
	// with the fourth step water comes in
	return slices.Concat(out, w.cautions(act), []page.Block{w.warning(w.each("packet.fill.children", nil)...), w.steps("packet.liner.step", nil)}, w.notes(act))
}

// sheetSize prints the size of a sheet as a shop of the reader's country sells it.
func (w writer) sheetSize(s frame.Sheet) string {
	return w.words.Feet(s.Width) + " × " + w.words.Feet(s.Length)
}

// fill tells how to fill the bed and what to watch while it fills.
func (w writer) fill() []page.Block {
	d := w.p.Frame
	act := at(finding.AtFill).prints(frame.FindFill, plan.FindCure, water.FindChlorine, water.FindChloramine, water.FindChlorineAsk)
	out := []page.Block{together(w.para("packet.fill.lead", finding.Args{"Depth": d.Job.Depth, "Volume": d.Volume, "Time": d.HoseTime}),
		w.warning(w.each("packet.fill.children", nil)...))}
	if w.pumped() {
		out = append(out, w.safe("power", finding.Caution, w.each("packet.safety.power", nil)...))
	}
	out = append(append(out, w.cautions(act)...), w.filling())
	if d.Job.OpenToRain && d.Rain[0].Depth <= 0 {
		out = append(out, w.para("packet.fill.rain", finding.Args{"Volume": d.Surface.Deep(unit.Inch)}))
	}
	out = append(out, w.notes(act)...)
	if !w.onPaper {
		out = append(out, w.dipstick(2)...)
	}
	return out
}

// filling lists the steps up to the feed: water, a leak night, chlorine out.
func (w writer) filling() page.List {
	out := w.steps("packet.fill.step", nil)
	if cure, ok := w.cure("packet.fill.cure"); ok {
		out.Items = append(out.Items, cure, w.text("packet.fill.cure_top_up", nil))
	}
	return out
}

// cure tells how the chlorine is taken out, in the sentences of this ID; false where there
// is none.
func (w writer) cure(id string) (page.Text, bool) {
	c, ok := w.p.Cure()
	if !ok {
		return "", false
	}
	switch {
	case c.Chlorine == 0:
		id += "_ask"
	case c.Filter:
		id += "_filter"
	}
	return w.text(id, finding.Args{"Chlorine": c.Chlorine, "Loss": c.Loss, "Dose": w.helping(c.Dose), "Stands": c.Stands, "Harmful": water.HarmfulChlorine,
		"Cost": water.ChlorineLoss(water.HarmfulChlorine)}), true
}

// helping prints an amount as the measure gives it.
func (w writer) helping(h mix.Helping) string {
	if j := h.Jug; j.Take > 0 {
		args := finding.Args{"Take": w.sipped(j.Take), "Amount": w.words.Grams(j.Mass), "Water": j.Water}
		if j.Spoons > 0 {
			args["Spoons"] = w.inKitchen(j.Spoons)
		}
		if n := math.Round(float64(j.Take / unit.Teaspoon)); !w.metric() && n <= mostSips {
			args["Sips"] = w.inKitchen(n)
		}
		return w.say("packet.fill.from_jug", args)
	}
	return w.amount(h.Mass, h.Spoons)
}

// mostMarks is how many lines a table of depths has (own choice: a card at the bed).
const mostMarks = 26

// dipstick is the table of how much water stands at each depth.
func (w writer) dipstick(fold int) []page.Block {
	step := unit.Inch
	if w.metric() {
		step = unit.Centimetre
	}
	for _, times := range []unit.Length{1, 2, 5} { // a deep tank is read in coarser steps
		if w.p.Frame.Brim/(step*times) <= mostMarks || times == 5 {
			step *= times
			break
		}
	}
	marks, err := w.p.Frame.Dipstick(step)
	if err != nil {
		return nil
	}
	t := page.Table{Caption: w.text("packet.fill.table", nil), Compact: true, Fold: fold,
		Columns: w.columns("+packet.fill.col.depth", "+packet.fill.col.volume")}
	for _, m := range marks {
		t.Add(w.value(m.Depth), w.value(m.Volume))
	}
	return []page.Block{t}
}

// raft tells where to drill and how the raft floats.
func (w writer) raft() []page.Block {
	r := w.p.Raft
	out := []page.Block{w.para("packet.raft.lead", finding.Args{"Count": r.Holes, "Spacing": r.LeastSpacing, "Edge": r.LeastEdge})}
	if len(r.Pieces) > 1 {
		out = append(out, w.para("packet.raft.sheets", finding.Args{"Count": len(r.Pieces)}), w.assembly())
	}
	act := at(finding.AtRaft, finding.AtLift).begins(w.text("packet.raft.drill", nil)).prints(raft.FindSparse, raft.FindCrowded)
	out = append(out, w.cautions(act)...)
	for i, l := range r.Layouts {
		high := draw.Points(430)
		if l.Size.Y < l.Size.X {
			high = 330
		}
		f, mark := w.raftPlan(l, i, w.tall(high)), append(w.keptClear(l), w.marking(l)...)
		if len(r.Layouts) > 1 && !w.onPaper { // the drawing, with its caption, is not there
			mark = append([]page.Block{w.para("packet.raft.kind", finding.Args{"Kind": kindName(i), "Width": l.Size.X, "Length": l.Size.Y, "Holes": len(l.Positions)})}, mark...)
		}
		if i == 0 {
			mark = append(mark, w.drilling(l))
		}
		if narrow := l.Size.Y > 1.3*l.Size.X; narrow && i == 0 && !w.large && w.onPaper {
			out = append(out, page.Beside{Columns: [][]page.Block{{f}, mark}, Weights: []float64{6, 7}})
		} else {
			out = append(append(out, f), mark...)
		}
	}
	out = append(out, w.heading("packet.raft.float_title"), w.para("packet.raft.float", finding.Args{"Planted": r.Float.Draft, "Grown": r.Float.DraftGrown, "Freeboard": r.Float.Freeboard, "Under": r.Float.Freeboard <= 0}),
		w.para("packet.raft.density", finding.Args{"PerArea": unit.PlantDensity(r.PerSquareMetre), "Low": unit.PlantDensity(w.p.Crop.Plants.Min), "High": unit.PlantDensity(w.p.Crop.Plants.Max)}), w.potFigure())
	out = append(out, w.notes(act)...)
	if n := r.Nursery; n != nil {
		out = append(out, together(w.heading("packet.raft.nursery_title"), w.para("packet.raft.nursery", finding.Args{
			"Count": len(n.Layout.Positions), "Spacing": r.Job.NurserySpacing, "Fills": w.words.Fixed(n.Fills, 1)}), w.nurseryPlan()))
	}
	return out
}

// drilling lists the steps of marking and drilling, by rows or hole by hole.
func (w writer) drilling(l raft.Layout) page.List {
	job := w.p.Raft.Job
	out := w.steps("packet.raft.step", finding.Args{"Hole": job.Hole})
	if !l.Guide(job.Spacing, job.Edge).ByRows {
		out.Items = append(w.each("packet.raft.each", nil), out.Items[2:]...)
	}
	return out
}

// keptClear tells what of a sheet stays free of holes, as a tape reads it.
func (w writer) keptClear(l raft.Layout) (out []page.Block) {
	for _, o := range l.Obstacles() {
		out = append(out, w.para("packet.raft.clear", finding.Args{"Left": o.At.X, "Right": o.At.X + o.Size.X, "Near": o.At.Y, "Far": o.At.Y + o.Size.Y}))
	}
	return out
}

// marking prints the tape guide: marks along both edges, or a table of holes.
func (w writer) marking(l raft.Layout) []page.Block {
	r := w.p.Raft
	g := l.Guide(r.Job.Spacing, r.Job.Edge)
	if g.ByRows {
		var blocks []page.Block
		line := func(title string, marks []raft.Mark) {
			var list []string
			for _, m := range marks {
				list = append(list, w.mark(m))
			}
			blocks = append(blocks, page.Para{Text: page.Bold(title+":") + " " + page.Text(strings.Join(list, " · "))})
		}
		for i, set := range g.Settings {
			title := w.say("packet.raft.columns", nil)
			if len(g.Settings) > 1 {
				title += " " + w.say("packet.raft.rows_of", finding.Args{"Rows": w.rowsOf(g, i)})
			}
			line(title, set)
		}
		var rows []raft.Mark
		for _, y := range g.Rows {
			rows = append(rows, y.Y)
		}
		line(w.say("packet.raft.rows", nil), rows)
		return blocks
	}
	fold := 2
	if len(g.Holes) > 60 {
		fold = 3
	}
	t := page.Table{Caption: w.text("packet.raft.marks", nil), Compact: true, Fold: fold, Columns: w.columns("+packet.raft.col.hole", "+packet.raft.col.x", "+packet.raft.col.y")}
	for _, h := range g.Holes {
		t.Add(page.Text(fmt.Sprint(h.Number)), page.Text(w.mark(h.X)), page.Text(w.mark(h.Y)))
	}
	return []page.Block{t}
}

// mark prints a distance as the reader's tape shows it.
func (w writer) mark(m raft.Mark) string {
	if w.metric() {
		return w.words.Fixed(m.Metric.Millimetres(), 0) + " mm"
	}
	return w.words.Tape(m.Tape)
}

// rowsOf names the rows that use one set of marks: "1, 3, 5", or "all other".
func (w writer) rowsOf(g raft.Guide, setting int) string {
	var rows []string
	for i, r := range g.Rows {
		if r.Setting == setting {
			rows = append(rows, fmt.Sprint(i+1))
		}
	}
	if len(rows) > 8 {
		rows = append(rows[:7], "…")
	}
	return strings.Join(rows, ", ")
}
