package packet

import (
	"fmt"
	"strings"

	"raftwright/brief"
	"raftwright/finding"
	"raftwright/frame"
	"raftwright/page"
	"raftwright/raft"
	"raftwright/unit"
)

// frame tells how to build the frame, with its drawings and how hard it works.
func (w writer) frame() (page.Section, bool) {
	d := w.p.Frame
	if d == nil || d.Job.Vessel.Shape != frame.FrameShape {
		return page.Section{}, false
	}
	s := w.section("frame",
		w.para("packet.frame.lead", finding.Args{"Length": d.Job.Vessel.Length, "Width": d.Job.Vessel.Width, "Gap": d.Job.Raft.Gap}),
		w.framePlan(), w.sectionThrough())
	s.Blocks = append(s.Blocks, w.steps("packet.frame.step", finding.Args{"Level": max(d.Job.LevelError, 3*unit.Millimetre), "Screws": d.Corner.Screws}))
	if d.SideHold.Kind == frame.Stake && d.Side.Holds > 0 {
		s.Blocks = append(s.Blocks, w.caution(finding.Caution, w.text("packet.frame.dig", nil)))
	}
	s.Blocks = append(s.Blocks, page.Beside{Columns: [][]page.Block{{w.corner()}, append([]page.Block{w.holds()}, w.of(at(finding.AtCorner))...)}, Weights: []float64{10, 11}},
		w.rim(), w.strength())
	s.Blocks = append(s.Blocks, w.of(at(finding.AtFrame).prints(frame.FindLocalCode))...)
	s.NewPage = true
	return s, true
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
	t := page.Table{Caption: w.text("packet.frame.table", nil), RowHead: true, Compact: true, Note: w.text("packet.frame.certify", nil),
		Columns: w.columns("packet.frame.col.board", "+packet.frame.col.span", "+packet.frame.col.strength", "+packet.frame.col.brim", "+packet.frame.col.bulge", "+packet.frame.col.later")}
	for i, b := range d.Boards {
		brim := d.BrimBoards[i]
		t.Rows = append(t.Rows, page.Row{Cells: []page.Text{
			page.Text(w.say("word.piece_"+b.Part.String(), nil) + " " + b.Size.String()), w.value(b.Span), w.value(b.Use), w.value(brim.Use),
			w.value(b.DeflectionShort), w.value(b.DeflectionLong)}})
	}
	return t
}

// vessel tells how to set up a tank or tub that is bought ready-made.
func (w writer) vessel() (page.Section, bool) {
	d := w.p.Frame
	if d == nil || d.Job.Vessel.Shape == frame.FrameShape {
		return page.Section{}, false
	}
	s := w.section("vessel", w.vesselSection())
	if load, level := w.load(); level == finding.Note { // a deck, floor or roof has findings of its own
		s.Blocks = append(s.Blocks, page.Para{Text: load})
	}
	s.Blocks = append(s.Blocks, w.steps("packet.vessel.step", finding.Args{"Level": max(d.Job.LevelError, 3*unit.Millimetre)}))
	s.Blocks = append(s.Blocks, w.of(at(finding.AtFrame).prints(frame.FindLocalCode))...)
	return s, true
}

// liner tells how large the sheet is and how to lay it.
func (w writer) liner() (page.Section, bool) {
	d := w.p.Frame
	if d == nil || !d.Liner.Wanted {
		return page.Section{}, false
	}
	lead := w.para("packet.liner.lead_none", finding.Args{"Length": d.Liner.Length, "Width": d.Liner.Width})
	if len(d.Liner.Options) > 0 {
		best := d.Liner.Options[0]
		lead = w.para("packet.liner.lead", finding.Args{"Length": d.Liner.Length, "Width": d.Liner.Width, "Count": best.Buy, "Size": w.sheetSize(best.Sheet)})
	}
	s := w.section("liner", lead)
	if d.Job.Vessel.Shape == frame.FrameShape {
		s.Blocks = append(s.Blocks, w.flatLiner())
	}
	s.Blocks = append(s.Blocks, w.steps("packet.liner.step", nil), w.para("packet.liner.leak", nil))
	s.Blocks = append(s.Blocks, w.of(at(finding.AtLiner).prints(frame.FindLinerBuy))...)
	return s, true
}

// sheetSize prints the size of a sheet as a shop of the reader's country sells it.
func (w writer) sheetSize(s frame.Sheet) string {
	if w.p.Metric() {
		return w.label(s.Width) + " × " + w.label(s.Length)
	}
	return strings.ReplaceAll(s.Name(), " x ", " × ")
}

// fill tells how to fill the bed and what to watch while it fills.
func (w writer) fill() (page.Section, bool) {
	d := w.p.Frame
	if d == nil {
		return page.Section{}, false
	}
	s := w.section("fill", page.Together{Blocks: []page.Block{w.para("packet.fill.lead", finding.Args{"Depth": d.Job.Depth, "Volume": d.Volume, "Time": d.HoseTime}),
		w.caution(finding.Caution, w.each("packet.fill.children", nil)...)}},
		w.steps("packet.fill.step", finding.Args{"Chlorine": 0.5 * unit.MilligramPerLitre}))
	if d.Job.OpenToRain && d.Rain[0].Depth <= 0 {
		s.Blocks = append(s.Blocks, w.para("packet.fill.rain", finding.Args{"Volume": d.Surface.Deep(unit.Inch)}))
	}
	if p := w.p.Brief.Site.Pump; p.Given && p.Value != brief.NoPump {
		c := w.caution(finding.Caution, w.each("packet.safety.power", nil)...)
		c.Word += ": " + w.say("packet.safety.power.title", nil)
		s.Blocks = append(s.Blocks, c)
	}
	s.Blocks = append(s.Blocks, w.of(at(finding.AtFill).prints(frame.FindFill))...)
	if !w.onPaper {
		if t, ok := w.dipstick(2); ok {
			s.Blocks = append(s.Blocks, t)
		}
	}
	return s, true
}

// dipstick is the table of how much water stands at each depth.
func (w writer) dipstick(fold int) (page.Table, bool) {
	step := unit.Inch
	if w.p.Metric() {
		step = unit.Centimetre
	}
	marks, err := w.p.Frame.Dipstick(step)
	if err != nil {
		return page.Table{}, false
	}
	t := page.Table{Caption: w.text("packet.fill.table", nil), Compact: true, Fold: fold,
		Columns: w.columns("+packet.fill.col.depth", "+packet.fill.col.volume")}
	for _, m := range marks {
		t.Rows = append(t.Rows, page.Row{Cells: []page.Text{w.value(m.Depth), w.value(m.Volume)}})
	}
	return t, true
}

// raft tells where to drill and how the raft floats.
func (w writer) raft() (page.Section, bool) {
	r := w.p.Raft
	if r == nil {
		return page.Section{}, false
	}
	s := w.section("raft", w.para("packet.raft.lead", finding.Args{"Count": r.Holes, "Spacing": r.LeastSpacing, "Edge": r.LeastEdge}))
	if len(r.Pieces) > 1 {
		s.Blocks = append(s.Blocks, w.para("packet.raft.sheets", finding.Args{"Count": len(r.Pieces)}), w.assembly())
	}
	for i, l := range r.Layouts {
		f := w.raftPlan(l, i)
		if narrow := l.Size.Y > 1.3*l.Size.X; narrow && i == 0 && !w.large && w.onPaper {
			s.Blocks = append(s.Blocks, page.Beside{Columns: [][]page.Block{{f}, append(w.marking(l, i), w.drilling(l))}, Weights: []float64{6, 7}})
			continue
		}
		s.Blocks = append(s.Blocks, f)
		s.Blocks = append(s.Blocks, w.marking(l, i)...)
		if i == 0 {
			s.Blocks = append(s.Blocks, w.drilling(l))
		}
	}
	s.Blocks = append(s.Blocks, w.of(at(finding.AtRaft).begins(w.text("packet.raft.drill", nil)).prints(raft.FindSparse, raft.FindCrowded))...)
	s.Blocks = append(s.Blocks, w.heading("packet.raft.float_title"), w.para("packet.raft.float", finding.Args{"Planted": r.Float.Draft, "Grown": r.Float.DraftGrown, "Freeboard": r.Float.Freeboard}),
		w.density(), w.potFigure())
	s.Blocks = append(s.Blocks, w.of(at(finding.AtLift))...)
	if n := r.Nursery; n != nil {
		s.Blocks = append(s.Blocks, page.Together{Blocks: []page.Block{w.heading("packet.raft.nursery_title"), w.para("packet.raft.nursery", finding.Args{
			"Count": len(n.Layout.Positions), "Spacing": r.Job.NurserySpacing, "Fills": w.words.Fixed(n.Fills, 1)}), w.nurseryPlan()}})
	}
	s.NewPage = true
	return s, true
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

// density tells how close the plants stand, beside what others report.
func (w writer) density() page.Para {
	r, c := w.p.Raft, w.p.Crop
	return w.para("packet.raft.density", finding.Args{"PerArea": unit.PlantDensity(r.PerSquareMetre),
		"Low": unit.PlantDensity(c.Plants.Min), "High": unit.PlantDensity(c.Plants.Max)})
}

// marking prints the tape guide: marks along both edges, or a table of holes.
func (w writer) marking(l raft.Layout, kind int) []page.Block {
	r := w.p.Raft
	g := l.Guide(r.Job.Spacing, r.Job.Edge)
	if g.ByRows {
		var blocks []page.Block
		for i, set := range g.Settings {
			var xs []string
			for _, x := range set {
				xs = append(xs, w.mark(x))
			}
			title := w.say("packet.raft.columns", nil)
			if len(g.Settings) > 1 {
				title += " " + w.say("packet.raft.rows_of", finding.Args{"Rows": w.rowsOf(g, i)})
			}
			blocks = append(blocks, page.Para{Text: page.Bold(title+":") + " " + page.Text(strings.Join(xs, " · "))})
		}
		var rows []string
		for _, y := range g.Rows {
			rows = append(rows, w.mark(y.Y))
		}
		return append(blocks, page.Para{Text: page.Bold(w.say("packet.raft.rows", nil)+":") + " " + page.Text(strings.Join(rows, " · "))})
	}
	fold := 2
	if len(g.Holes) > 60 {
		fold = 3
	}
	t := page.Table{Caption: w.text("packet.raft.marks", nil), Compact: true, Fold: fold, Columns: w.columns("+packet.raft.col.hole", "+packet.raft.col.x", "+packet.raft.col.y")}
	for _, h := range g.Holes {
		t.Rows = append(t.Rows, page.Row{Cells: []page.Text{page.Text(fmt.Sprint(h.Number)), page.Text(w.mark(h.X)), page.Text(w.mark(h.Y))}})
	}
	return []page.Block{t}
}

// mark prints a distance as the reader's tape shows it.
func (w writer) mark(m raft.Mark) string {
	if w.p.Metric() {
		return w.words.Fixed(m.Metric.Millimetres(), 0) + " mm"
	}
	return m.Tape.Tape(16, unit.Nearest)
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
