package packet

import (
	"fmt"
	"slices"
	"strings"

	"raftwright/cost"
	"raftwright/cut"
	"raftwright/draw"
	"raftwright/finding"
	"raftwright/page"
	"raftwright/unit"
	"raftwright/workshop"
)

// sheets tells how the liners and the rafts are cut from rolls and sheets.
func (w leader) sheets() []page.Block {
	var out []page.Block
	for i, l := range w.ws.Liners {
		for _, c := range l.Cuts {
			out = append(out, page.Para{Text: w.lines(c) + w.text("leader.sheet.liner", finding.Args{"Length": c.Length, "Width": c.Width})})
		}
		drawn := w.layouts(l.SheetPlan, i)
		out = append(out, w.sheetTable(l.SheetPlan, func(p cut.Part) string {
			return w.say("face.part.liner", finding.Args{"Length": max(p.Length, p.Width), "Width": min(p.Length, p.Width)})
		}), drawn)
	}
	for i, f := range w.ws.Foam {
		if i == 0 {
			out = append(out, w.heading("leader.sheet.foam"))
		}
		out = append(out, w.sheetTable(f.SheetPlan, func(p cut.Part) string {
			said := w.say("face.part.raft", finding.Args{"Thickness": f.Thickness})
			if w.mixed() {
				said += ", " + w.label(max(p.Length, p.Width)) + " × " + w.label(min(p.Length, p.Width))
			}
			return said
		}))
	}
	return out
}

// sheetTable lists how many sheets are cut alike, and what each gives.
func (w leader) sheetTable(p cut.SheetPlan, what func(cut.Part) string) page.Block {
	t := page.Table{RowHead: true, Columns: w.columns("leader.sheet.col_sheet", "leader.sheet.col_gives")}
	t.Weigh(2, 3)
	for _, l := range p.Layouts {
		t.Add(page.Text("☐ ")+w.text("leader.sheet.from", finding.Args{"Count": l.Repeat, "StockWidth": p.Width, "StockLength": p.Length}),
			page.Text(strings.Join(counted(l.Parts, what), "; ")))
	}
	t.Note = w.text("leader.sheet.found", nil)
	if p.Optimal {
		t.Note = w.text("leader.sheet.proven", nil)
	}
	return t
}

// layouts draws the ways to cut a sheet one above the other, all to one scale.
func (w leader) layouts(p cut.SheetPlan, n int) page.Block {
	return w.both(func(w writer) page.Figure { return w.sheetsCut(p, n) })
}

func (w writer) sheetsCut(p cut.SheetPlan, n int) page.Figure {
	name := "leader-sheets"
	if n > 0 {
		name += fmt.Sprintf("-%d", n+1)
	}
	g := w.drawing(name, "leader.sheet.caption", "alt.leader_sheets", nil)
	g.Bare = true
	k := w.grow()
	across := w.across(440)
	paper := func(l unit.Length) unit.Length { return across.Length() * l / p.Length }
	y := draw.Points(0)
	for _, l := range p.Layouts {
		y -= 16 * k
		g.Add(draw.Text{At: draw.At(0, (y + 8*k).Length()), Size: 10 * k, Level: draw.Centred,
			Text: w.say("leader.sheet.from", finding.Args{"Count": l.Repeat, "StockWidth": p.Width, "StockLength": p.Length})})
		high := paper(p.Width)
		foot := y.Length() - high
		g.Add(draw.Rect(draw.At(0, foot), paper(p.Length), high).Filled(draw.Rising).In(draw.Thin, draw.Solid))
		for i, part := range l.Parts {
			at, long, wide := draw.At(paper(part.X), foot+paper(part.Y)), paper(part.Length), paper(part.Width)
			g.Add(draw.Rect(at, long, wide).Filled(draw.White).In(draw.Normal, draw.Solid))
			if text := w.label(part.Length) + " × " + w.label(part.Width); (i == 0 || part.Length != l.Parts[i-1].Length || part.Width != l.Parts[i-1].Width) && draw.TextWidth(text, 9*k, false) < draw.OnPaper(long)-6 && draw.OnPaper(wide) > 14*k {
				g.Add(draw.Text{At: at.Plus(long/2, wide/2), Text: text, Size: 9 * k, Anchor: draw.Middle, Level: draw.Centred})
			}
		}
		y -= draw.OnPaper(high) + 8*k
	}
	return figure(g, 420)
}

// kits is the list of what goes into each kit, with a box for each kit, and the feed of each.
func (w leader) kits() []page.Block {
	out := []page.Block{w.para("leader.kits.lead", nil)}
	for _, one := range w.ofEach() {
		if w.mixed() {
			out = append(out, page.Heading{Level: 2, Text: one.name().Plain()})
		}
		out = append(out, one.kit()...)
	}
	return out
}

// kit is the list of kits that are alike.
func (w leader) kit() []page.Block {
	items := w.kitItems()
	var out []page.Block
	sheets := slices.Collect(slices.Chunk(w.ws.Families, 10))
	if w.large { // columns become lines: one list for each kit
		out = append(out, w.para("leader.kits.copy", nil))
		sheets = [][]workshop.Family{nil}
	}
	for i, some := range sheets {
		t := page.Table{RowHead: true, Compact: true, Columns: w.columns("leader.kits.col_part", "+leader.kits.col_each")}
		weights := []float64{8, 1.6}
		for _, f := range some {
			t.Columns = append(t.Columns, page.Column{Title: page.Literal(f.Code), Align: page.Centre})
			weights = append(weights, 0.75)
		}
		t.Weigh(weights...)
		for _, it := range items {
			row := []page.Text{it[0], it[1]}
			for range some {
				row = append(row, "☐")
			}
			if len(some) == 0 {
				row[0] = "☐ " + row[0]
			}
			t.Add(row...)
		}
		if i > 0 {
			out = append(out, page.PageBreak{})
		}
		out = append(out, t)
	}
	return append(out, w.feedTable()...)
}

// kitItems lists the parts of a kit with how many there are: the pieces by their letters, as on the faces, then what
// is bought for each bed, then what is the family's own.
func (w leader) kitItems() [][2]page.Text {
	var out [][2]page.Text
	d := w.p.Frame
	for _, q := range d.Pieces {
		out = append(out, [2]page.Text{w.kitText(q), w.number(q.Count)})
	}
	if d.Liner.Wanted {
		out = append(out, [2]page.Text{page.Bold(linerLetter) + " " + w.text("leader.kits.liner", finding.Args{"Length": d.Liner.Length, "Width": d.Liner.Width}), "1"})
	}
	if r := w.p.Raft; r != nil {
		out = append(out, [2]page.Text{page.Bold(raftLetter) + " " + w.text("face.part.raft", finding.Args{"Thickness": r.Job.Thickness}), w.number(len(r.Pieces))})
	}
	for _, l := range w.p.Cost.Lines {
		switch l.Name {
		case "need.board", "need.liner", "need.liner_cut", "need.foam", "need.hole_saw", "need.paint":
			continue
		}
		if !slices.Contains(groups, l.Group) || l.Group == cost.Work || l.Group == "feed" || l.Unit == "kilowatt hour" {
			continue
		}
		l.Buy = l.Quantity // a kit holds what is used
		much, _ := w.quantity(l)
		name := page.Text("")
		if s := w.lettersOf(l, w.p.Boards); s != "" {
			name = page.Bold(s) + " "
		}
		out = append(out, [2]page.Text{name + w.text(string(l.Name), l.Args), page.Text(much)})
	}
	return append(out, [2]page.Text{w.text("leader.kits.feed_bags", nil), "1"}, [2]page.Text{w.text("leader.kits.packet", nil), "1"})
}

// feedTable lists the feed of each kit.
func (w leader) feedTable() []page.Block {
	var names []string
	amounts := make([]map[string]string, len(w.ws.Each))
	for i, p := range w.ws.Each {
		amounts[i] = map[string]string{}
		for _, l := range p.Cost.Lines {
			if l.Group != "feed" {
				continue
			}
			name := w.say(string(l.Name), l.Args)
			much, _ := w.quantity(l)
			if l.Mass > 0 {
				much = w.label(l.Mass)
				if product, ok := l.Args["Bag"]; ok {
					name = w.say("need.product", finding.Args{"Bag": product})
				}
			}
			if !slices.Contains(names, name) {
				names = append(names, name)
			}
			amounts[i][name] = much
		}
	}
	if names == nil {
		return nil
	}
	t := page.Table{RowHead: true, Compact: true, Columns: w.columns("leader.kits.col_kit")}
	weights := []float64{1}
	for _, n := range names {
		t.Columns = append(t.Columns, page.Column{Title: page.Literal(n), Align: page.Right})
		weights = append(weights, 1.6)
	}
	t.Weigh(weights...)
	for i, f := range w.ws.Families {
		row := []page.Text{page.Text("☐ ") + page.Literal(f.Code)}
		for _, n := range names {
			row = append(row, page.Text(amounts[i][n]))
		}
		t.Add(row...)
	}
	return []page.Block{w.heading("leader.kits.feed"), w.para("leader.kits.feed_lead", nil), w.warning(w.text("leader.step.feed.care", nil)), t}
}

// label is a label to cut out: a large sign, words behind it, and a small line under these.
type label struct{ large, words, small string }

// halfSheet is the height of labels that fill half a page.
const halfSheet draw.Points = 410

// sheetOfLabels draws labels in rows, so many across and so many on a page at most; few of them are higher, and many are shared
// out so that no page is nearly empty.
func (w leader) sheetOfLabels(id string, list []label, across, down int, high draw.Points) []page.Block {
	if w.large {
		across, down = max(1, across/2), down/2 // all is twice as large
	} else if rows := (len(list) + across - 1) / across; rows > 0 {
		pages := (rows + down - 1) / down
		down = (rows + pages - 1) / pages
		high = max(high, halfSheet/draw.Points(down))
	}
	wide := 500 / draw.Points(across)
	var out []page.Block
	for n := 0; n*across*down < len(list); n++ {
		name, some := fmt.Sprintf("%s-%d", id, n+1), list[n*across*down:min((n+1)*across*down, len(list))]
		out = append(out, w.both(func(w writer) page.Figure {
			beside, room := across, wide
			if w.narrow {
				beside = max(1, int(phoneWide/wide))
				room = phoneWide / draw.Points(beside)
			}
			g := w.drawing(name, "leader."+id+".alt", "leader."+id+".alt", nil)
			g.Bare = true
			for i, l := range some {
				w.oneLabel(&g, l, draw.At((room*draw.Points(i%beside)).Length(), (-high*w.grow()*draw.Points(i/beside+1)).Length()), room, high)
			}
			return page.Figure{Drawing: g, Height: 640}
		}))
	}
	return out
}

// oneLabel draws a label so wide and so high.
func (w writer) oneLabel(g *draw.Drawing, l label, at draw.Spot, wide, high draw.Points) {
	k := w.grow()
	behind := 28 * k
	if l.words == "" {
		behind = 6 * k
	}
	g.Add(draw.Rect(at, wide.Length(), (high*k).Length()).In(draw.Thin, draw.Dashed),
		draw.Text{At: at, Dx: 6 * k, Dy: high * k * 0.58, Text: l.large, Size: min(30, high*0.6) * k, Bold: true, Level: draw.Centred},
		draw.Text{At: at, Dx: behind, Dy: high * k * 0.7, Text: l.words, Size: 10 * k, Level: draw.Centred})
	if draw.TextWidth(l.small, 9*k, false) < wide-behind-3 {
		g.Add(draw.Text{At: at, Dx: behind, Dy: 7 * k, Text: l.small, Size: 9 * k, Level: draw.Centred})
	}
}

// kitLabels draws a label for each kit.
func (w leader) kitLabels() []page.Block {
	var list []label
	for i, f := range w.ws.Families {
		small := w.ws.Title
		if w.mixed() {
			small = w.say("leader.size.short", finding.Args{"Number": w.ws.SizeOf(i) + 1})
		}
		list = append(list, label{large: f.Code, small: small})
	}
	return append([]page.Block{w.para("leader.labels.lead", nil)}, w.sheetOfLabels("labels", list, 3, 10, 60)...)
}

// tags draws a label for each piece of each kit.
func (w leader) tags() []page.Block {
	var list []label
	for i, f := range w.ws.Families {
		for _, q := range w.ws.Each[i].Frame.Pieces {
			for range q.Count {
				list = append(list, label{letters[q.Role], w.label(q.Length), w.say("leader.kit", finding.Args{"Code": f.Code})})
			}
		}
	}
	return append([]page.Block{w.para("leader.tags.lead", nil)}, w.sheetOfLabels("tags", list, 5, 22, 27)...)
}

// A page of the sign-in sheet holds so many rows, and is half full with so many.
const signRows, signHalf = 24, 15

// signIn is the sheet on which families sign in: what is asked is a name at most, and whether they may be asked later.
func (w leader) signIn() []page.Block {
	rows := len(w.ws.Families) + 3
	if over := rows % signRows; over < signHalf {
		rows += signHalf - over
	}
	l := page.LogSheet{Rows: rows, Height: 24, Columns: []page.LogColumn{
		{Title: w.say("leader.sign.kit", nil), Weight: 0.7}, {Title: w.say("leader.sign.name", nil), Weight: 3}, {Title: w.say("leader.sign.adults", nil), Weight: 0.8},
		{Title: w.say("leader.sign.children", nil), Weight: 0.9}, {Title: w.say("leader.sign.reach", nil), Weight: 2.6},
		{Title: w.say("form.ask_later", nil), Weight: 1.5}}} // as it is keyed in: who says nothing is not asked
	return []page.Block{w.para("leader.sign.lead", nil), page.Para{Text: w.text("form.sign_foot", nil), Small: true}, l}
}

// OlderBoxes names the boxes of the two questions of a slip of the standard of 1997 (62 FR 58782: ethnicity first where two are asked; one or more races), in
// their printed order; the last of each is "rather not say".
func OlderBoxes() (ethnicity, race []string) {
	return []string{"leader.slip.who_4", "leader.slip.older_not", "leader.slip.who_8"},
		[]string{"leader.slip.who_1", "leader.slip.who_2", "leader.slip.who_3", "leader.slip.older_islander", "leader.slip.who_7", "leader.slip.who_8"}
}

// olderWho are the two questions of the standard of 1997 beside each other, and sex.
func (w leader) olderWho() page.Block {
	boxes := func(ids []string) page.Block {
		l := page.List{Kind: page.Boxes}
		for _, id := range ids {
			l.Items = append(l.Items, w.text(id, nil))
		}
		return l
	}
	ethnicity, race := OlderBoxes()
	return page.Beside{Columns: [][]page.Block{{w.para("leader.slip.older_ethnicity", nil), boxes(ethnicity)}, {w.para("leader.slip.older_race", nil), boxes(race)},
		{w.para("leader.slip.older_sex", nil), boxes([]string{"leader.slip.who_9", "leader.slip.who_10", "leader.slip.who_11", "leader.slip.who_12"})}}}
}

// slips are two slips without a name, in large print one. The groups are those of the federal standard for such questions
// (OMB Statistical Policy Directive 15 as revised in 2024, from memory), or of the one before it.
func (w leader) slips() []page.Block {
	standard := "2024"
	if w.older {
		standard = "1997"
	}
	head := page.Heading{Level: 1, Text: w.say("leader.slip.head", finding.Args{"Standard": standard})}
	copies := func(id string) page.Block {
		text := w.text(id, nil)
		if w.asks != "" {
			text += " " + w.text("leader.slip.for", finding.Args{"Standard": standard, "Names": w.asks})
		}
		return page.Para{Text: text, Small: true}
	}
	slip := func() []page.Block {
		t := page.Table{RowHead: true, Compact: true, Columns: w.columns("leader.slip.col_can", "leader.slip.col_after", "leader.slip.col_before")} // looking back: now first
		t.Weigh(2.8, 2, 2)
		for _, id := range []string{"build", "line", "mix", "safe"} {
			t.Add(w.text("leader.slip.can_"+id, nil), oneToFive, oneToFive)
		}
		who := func(from, to int) []page.Block {
			l := page.List{Kind: page.Boxes}
			for i := from; i <= to; i++ {
				l.Items = append(l.Items, w.text(fmt.Sprintf("leader.slip.who_%d", i), nil))
			}
			return []page.Block{l}
		}
		asked := together(w.para("leader.slip.who", nil), page.Beside{Columns: [][]page.Block{who(1, 4), who(5, 8), append([]page.Block{w.para("leader.slip.older_sex", nil)}, who(9, 12)...)}})
		if w.older {
			asked = together(w.olderWho())
		}
		return []page.Block{head, w.para("leader.slip.lead", nil), w.para("leader.slip.sure", nil), t, asked}
	}
	if w.large { // one is both sides of a sheet
		return append([]page.Block{copies("leader.slip.copy_large")}, slip()...)
	}
	return []page.Block{copies("leader.slip.copy"), together(slip()...), together(slip()...)}
}
