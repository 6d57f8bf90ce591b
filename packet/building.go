package packet

import (
	"fmt"
	"strings"

	"raftwright/brief"
	"raftwright/cost"
	"raftwright/finding"
	"raftwright/frame"
	"raftwright/page"
	"raftwright/raft"
	"raftwright/unit"
)

// glance is the first page: the plan in a dozen figures and what was noticed.
func (w writer) glance() (page.Section, bool) {
	var items []page.KeyFigure
	add := func(id string, v any) {
		items = append(items, page.KeyFigure{Label: w.say("packet.glance."+id, nil), Value: fmt.Sprint(w.words.Value(v))})
	}
	p := w.p
	if d := p.Frame; d != nil {
		v := d.Job.Vessel
		size := w.label(v.Length) + " × " + w.label(v.Width)
		if v.Shape == frame.RoundShape {
			size = "Ø " + w.label(v.Diameter)
		}
		add("inside", size)
		add("depth", d.Job.Depth)
		add("volume", d.Volume)
		add("weight", d.Mass)
		add("floor", d.Floor.Water)
	}
	if p.Raft != nil {
		add("heads", p.Raft.Holes)
	}
	if p.Mix != nil {
		add("ec", p.Mix.EC)
		add("ph", w.words.Fixed(p.Mix.PH, 1))
	}
	if s := p.NextBatch(); s != nil {
		add("sow", s.Sow)
		add("transplant", s.SetOut)
		add("harvest", s.Harvest)
	}
	if p.Cost != nil {
		add("first_cost", p.Cost.FirstCost)
		add("head_cost", p.Cost.PerHead)
		add("break_even", p.Cost.BreakEven)
	}
	s := w.section("glance", page.KeyFigures{Items: items})
	if p.Beds > 1 {
		s.Blocks = append(s.Blocks, w.para("packet.glance.one_bed", finding.Args{"Count": p.Beds}))
	}
	if p.Worst() == finding.Stop {
		s.Blocks = append(s.Blocks, w.para("packet.glance.stop", nil))
	} else {
		s.Blocks = append(s.Blocks, w.para("packet.glance.ok", nil))
	}
	s.Blocks = append(s.Blocks, w.heading("packet.glance.findings"))
	s.Blocks = append(s.Blocks, w.urgent()...)
	return s, true
}

// safety is the page to read to everyone who works at the bed.
func (w writer) safety() (page.Section, bool) {
	b := w.p.Brief.Site
	s := w.section("safety", w.para("packet.safety.lead", nil))
	box := func(id string, level finding.Severity, sentences ...page.Text) {
		s.Blocks = append(s.Blocks, w.heading("packet.safety."+id+".title"), w.caution(level, sentences...))
	}
	list := func(id string, sentences ...page.Text) {
		s.Blocks = append(s.Blocks, w.heading("packet.safety."+id+".title"), page.List{Kind: page.Bullets, Items: sentences})
	}
	box("children", finding.Caution, w.each("packet.safety.children", nil)...)
	power := w.each("packet.safety.power", nil)
	if b.Pump.Value == brief.NoPump || !b.Pump.Given {
		power = append([]page.Text{w.text("packet.safety.power.none", nil)}, power...)
	}
	box("power", finding.Caution, power...)
	if d := w.p.Frame; d != nil {
		args := finding.Args{"Load": d.Floor.Full, "Mass": d.Floor.Mass, "Support": finding.Word("word.support." + string(b2support(d.Job.Support)))}
		load := w.text("packet.safety.load.ground", args)
		level := finding.Note
		if d.Job.Support != frame.Ground && d.Job.Support != frame.UnknownSupport {
			load, level = w.text("packet.safety.load.deck", args), finding.Caution
		}
		box("load", level, append([]page.Text{load}, w.each("packet.safety.lift", nil)...)...)
	}
	list("saw", w.each("packet.safety.saw", nil)...)
	list("feed", w.each("packet.safety.feed", nil)...)
	if w.p.Brief.Acid.Given {
		box("acid", finding.Caution, w.each("packet.safety.acid", nil)...)
	}
	list("food", w.each("packet.safety.food", nil)...)
	s.NewPage = true
	return s, w.p.Frame != nil
}

func b2support(s frame.Support) brief.Support {
	switch s {
	case frame.Deck:
		return brief.Deck
	case frame.SuspendedFloor:
		return brief.Floor
	case frame.Roof:
		return brief.Roof
	}
	return brief.Ground
}

// shopping lists what to buy, what is bought once apart from what a crop uses up.
func (w writer) shopping() (page.Section, bool) {
	sheet := w.p.Cost
	if sheet == nil {
		return page.Section{}, false
	}
	s := w.section("shop", w.para("packet.shop.lead", nil))
	if on := w.p.Brief.Prices.On; on.Given {
		s.Blocks = append(s.Blocks, w.para("packet.shop.own", finding.Args{"Place": w.p.Brief.Prices.Place.Or("?"), "On": w.p.PricedOn()}))
	}
	for _, once := range []bool{true, false} {
		t := page.Table{Columns: w.columns("packet.shop.col.item", "+packet.shop.col.quantity", "+packet.shop.col.unit_price", "+packet.shop.col.price", "+packet.shop.col.life")}
		t.Columns[0].Weight = 3
		for i := 1; i < 5; i++ {
			t.Columns[i].Weight = 1
		}
		total, group := cost.Money{Currency: sheet.FirstCost.Currency}, ""
		for _, l := range sheet.Lines {
			if l.Once != once || l.Price.IsZero() && l.Quantity == 0 {
				continue
			}
			if l.Group != group && l.Group != "" {
				group = l.Group
				t.Rows = append(t.Rows, page.Row{Group: true, Cells: []page.Text{w.text("word.group."+group, nil)}})
			}
			t.Rows = append(t.Rows, page.Row{Cells: w.shopLine(l)})
			total = total.Add(l.Price)
		}
		heading, sum := "packet.shop.once", "packet.shop.total_once"
		if !once {
			heading, sum = "packet.shop.crop", "packet.shop.total_crop"
		}
		t.Rows = append(t.Rows, page.Row{Strong: true, Cells: []page.Text{w.text(sum, nil), "", "", w.value(total), ""}})
		s.Blocks = append(s.Blocks, w.heading(heading), t)
	}
	s.NewPage = true
	return s, true
}

func (w writer) shopLine(l cost.Line) []page.Text {
	mark := ""
	if !l.From.Own {
		mark = " *"
	}
	life := w.text("packet.shop.crop_life", nil)
	switch {
	case l.Once && l.Life == 1:
		life = w.text("packet.shop.year", nil)
	case l.Once && l.Life > 0:
		life = w.text("packet.shop.years", finding.Args{"Years": l.Life})
	case l.Once:
		life = ""
	}
	quantity := w.words.Number(l.Buy)
	if l.Unit != "each" {
		quantity += " " + w.say("word.unit."+strings.ReplaceAll(l.Unit, " ", "_"), nil)
	}
	return []page.Text{page.Text("☐ " + w.say(string(l.Name), l.Args)), page.Text(quantity), w.value(l.UnitPrice) + page.Text(mark), w.value(l.Price), life}
}

// cutting tells which boards to buy and where to saw.
func (w writer) cutting() (page.Section, bool) {
	b := w.p.Boards
	if b == nil {
		return page.Section{}, false
	}
	s := w.section("cut", w.para("packet.cut.lead", finding.Args{"Boards": b.Bought()}))
	t := page.Table{Columns: w.columns("packet.cut.col.board", "packet.cut.col.cuts", "+packet.cut.col.left"), Compact: true}
	t.Columns[0].Weight, t.Columns[1].Weight, t.Columns[2].Weight = 1.4, 4, 1
	for _, j := range b.Jobs {
		for _, x := range j.Plan.Boards {
			var cuts []string
			for i := 0; i < len(x.Cuts); {
				n := 1
				for i+n < len(x.Cuts) && x.Cuts[i+n] == x.Cuts[i] {
					n++
				}
				c := w.piece(x.Cuts[i].Name) + " " + w.label(x.Cuts[i].Length)
				if n > 1 {
					c = fmt.Sprintf("%d × %s", n, c)
				}
				cuts = append(cuts, c)
				i += n
			}
			t.Rows = append(t.Rows, page.Row{Cells: []page.Text{
				page.Text(fmt.Sprintf("%d × %s %s", x.Repeat, j.Size, w.words.Feet(x.Stock))), page.Text(strings.Join(cuts, ", ")), w.value(x.Offcut)}})
		}
	}
	kerf := unit.Length(0)
	if len(b.Jobs) > 0 {
		kerf = b.Jobs[0].Plan.Kerf
	}
	s.Blocks = append(s.Blocks, t, w.para("packet.cut.kerf", finding.Args{"Kerf": kerf}))
	if b.Optimal() {
		s.Blocks = append(s.Blocks, w.para("packet.cut.proven", nil))
	}
	s.Blocks = append(s.Blocks, w.cutFigure(*b), w.caution(finding.Caution, w.each("packet.safety.saw", nil)...))
	s.Blocks = append(s.Blocks, w.of("cut")...)
	return s, true
}

// frame tells how to build the frame, with its drawings and how hard it works.
func (w writer) frame() (page.Section, bool) {
	d := w.p.Frame
	if d == nil || d.Job.Vessel.Shape != frame.FrameShape {
		return page.Section{}, false
	}
	gap := d.Job.Raft.Gap
	s := w.section("frame",
		w.para("packet.frame.lead", finding.Args{"Length": d.Job.Vessel.Length, "Width": d.Job.Vessel.Width, "Gap": gap}),
		w.framePlan(), w.sectionThrough(),
		w.steps("packet.frame.step", finding.Args{"Level": d.Job.LevelError, "Screws": d.Corner.Screws}))
	if d.Side.Holds > 0 {
		s.Blocks = append(s.Blocks, w.para("packet.frame.hold_each", finding.Args{"Count": d.Side.Holds, "Spacing": d.Side.Spacing, "Force": d.Side.HoldForceBrim}))
		if d.SideHold.Kind == frame.Stake {
			s.Blocks = append(s.Blocks, w.caution(finding.Caution, w.text("packet.frame.dig", nil)))
		}
	} else {
		s.Blocks = append(s.Blocks, w.para("packet.frame.holds_none", nil))
	}
	t := page.Table{Caption: w.text("packet.frame.table", nil), RowHead: true,
		Columns: w.columns("packet.frame.col.board", "+packet.frame.col.span", "+packet.frame.col.strength", "+packet.frame.col.bulge", "+packet.frame.col.brim")}
	for i, b := range d.Boards {
		brim := d.BrimBoards[i]
		t.Rows = append(t.Rows, page.Row{Cells: []page.Text{
			page.Text(w.say("word.piece_"+b.Part.String(), nil) + " " + b.Size.String()), w.value(b.Span), w.value(b.Use),
			w.value(b.DeflectionShort) + " / " + w.value(b.DeflectionLong), w.value(brim.Use)}})
	}
	s.Blocks = append(s.Blocks, w.corner(), t, page.Para{Text: w.text("packet.frame.certify", nil), Small: true})
	s.Blocks = append(s.Blocks, w.of("frame")...)
	s.NewPage = true
	return s, true
}

// liner tells how large the sheet is and how to lay it.
func (w writer) liner() (page.Section, bool) {
	d := w.p.Frame
	if d == nil || !d.Liner.Wanted {
		return page.Section{}, false
	}
	buy := d.Liner.Buy()
	if buy == "" {
		buy = "?"
	}
	return w.section("liner",
		w.para("packet.liner.lead", finding.Args{"Length": d.Liner.Length, "Width": d.Liner.Width, "Buy": buy}),
		w.steps("packet.liner.step", nil), w.para("packet.liner.leak", nil)), true
}

// raft tells where to drill and how the raft floats.
func (w writer) raft() (page.Section, bool) {
	r := w.p.Raft
	if r == nil {
		return page.Section{}, false
	}
	s := w.section("raft", w.para("packet.raft.lead", finding.Args{"Holes": r.Holes, "Spacing": r.LeastSpacing, "Edge": r.LeastEdge}))
	if len(r.Pieces) > 1 {
		s.Blocks = append(s.Blocks, w.para("packet.raft.sheets", finding.Args{"Count": len(r.Pieces)}))
	}
	for i, l := range r.Layouts {
		f := w.raftPlan(l)
		if i > 0 {
			f.Drawing.ID = fmt.Sprintf("raft-%d", i+1)
		}
		s.Blocks = append(s.Blocks, f)
		s.Blocks = append(s.Blocks, w.marking(l)...)
	}
	s.Blocks = append(s.Blocks, w.steps("packet.raft.step", finding.Args{"Hole": r.Job.Hole}),
		w.para("packet.raft.float", finding.Args{"Planted": r.Float.Draft, "Grown": r.Float.DraftGrown, "Freeboard": r.Float.Freeboard}),
		w.para("packet.raft.density", finding.Args{"PerArea": r.PerSquareMetre, "PerFoot": r.PerSquareMetre * unit.SquareFoot.SquareMetres(),
			"Low": float64(w.p.Crop.Plants.Min), "High": float64(w.p.Crop.Plants.Max)}),
		page.Para{Text: w.text("packet.raft.food", nil), Small: true})
	s.Blocks = append(s.Blocks, w.of("raft", "plan")...)
	s.NewPage = true
	return s, true
}

// marking prints the tape guide: marks along both edges, or a table of holes.
func (w writer) marking(l raft.Layout) []page.Block {
	r := w.p.Raft
	g := l.Guide(r.Job.Spacing, r.Job.Edge)
	mark := func(m raft.Mark) string {
		if w.p.Metric() {
			return w.label(m.Metric)
		}
		return m.Tape.Tape(16, unit.Nearest)
	}
	if g.ByRows {
		var blocks []page.Block
		var rows []string
		for _, y := range g.Rows {
			rows = append(rows, mark(y.Y))
		}
		for _, set := range g.Settings {
			var xs []string
			for _, x := range set {
				xs = append(xs, mark(x))
			}
			blocks = append(blocks, page.Para{Text: page.Text("**" + w.say("packet.raft.columns", nil) + ":** " + strings.Join(xs, " · "))})
		}
		return append(blocks, page.Para{Text: page.Text("**" + w.say("packet.raft.rows", nil) + ":** " + strings.Join(rows, " · "))})
	}
	t := page.Table{Caption: w.text("packet.raft.marks", nil), Compact: true,
		Columns: w.columns("+packet.raft.col.hole", "+packet.raft.col.x", "+packet.raft.col.y", "+packet.raft.col.hole", "+packet.raft.col.x", "+packet.raft.col.y")}
	half := (len(g.Holes) + 1) / 2
	for i := range half {
		cells := []page.Text{page.Text(fmt.Sprint(g.Holes[i].Number)), page.Text(mark(g.Holes[i].X)), page.Text(mark(g.Holes[i].Y)), "", "", ""}
		if i+half < len(g.Holes) {
			h := g.Holes[i+half]
			cells[3], cells[4], cells[5] = page.Text(fmt.Sprint(h.Number)), page.Text(mark(h.X)), page.Text(mark(h.Y))
		}
		t.Rows = append(t.Rows, page.Row{Cells: cells})
	}
	return []page.Block{t}
}

// fill tells how to fill the bed, with the dipstick table.
func (w writer) fill() (page.Section, bool) {
	d := w.p.Frame
	if d == nil {
		return page.Section{}, false
	}
	s := w.section("fill", w.para("packet.fill.lead", finding.Args{"Depth": d.Job.Depth, "Volume": d.Volume}),
		w.steps("packet.fill.step", finding.Args{"Chlorine": 0.5 * unit.MilligramPerLitre}))
	step := unit.Inch
	if w.p.Metric() {
		step = unit.Centimetre
	}
	if marks, err := d.Dipstick(step); err == nil {
		t := page.Table{Caption: w.text("packet.fill.table", nil), Compact: true,
			Columns: w.columns("+packet.fill.col.depth", "+packet.fill.col.volume", "+packet.fill.col.depth", "+packet.fill.col.volume")}
		half := (len(marks) + 1) / 2
		for i := range half {
			cells := []page.Text{w.value(marks[i].Depth), w.value(marks[i].Volume), "", ""}
			if i+half < len(marks) {
				cells[2], cells[3] = w.value(marks[i+half].Depth), w.value(marks[i+half].Volume)
			}
			t.Rows = append(t.Rows, page.Row{Cells: cells})
		}
		s.Blocks = append(s.Blocks, t)
	}
	if d.Job.OpenToRain {
		s.Blocks = append(s.Blocks, w.para("packet.fill.rain", finding.Args{"Volume": d.Surface.Deep(unit.Inch)}))
	}
	return s, true
}
