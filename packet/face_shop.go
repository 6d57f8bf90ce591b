package packet

import (
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"raftwright/cost"
	"raftwright/cut"
	"raftwright/draw"
	"raftwright/finding"
	"raftwright/frame"
	"raftwright/mix"
	"raftwright/page"
	"raftwright/plan"
	"raftwright/unit"
)

// aisleOf says in which of two lists a group of things to buy stands.
var aisleOf = map[string]int{"frame": 0, "plants": 0, "feed": 0, "liner": 1, "raft": 1, "tools": 1}

// screwLine is the name of screws in the list.
const screwLine = "need.screw"

// faceBuy lists what to buy by aisle of the store, and what to borrow.
func (w writer) faceBuy() []page.Block {
	var aisles [2]page.Table // side by side
	for i := range aisles {
		aisles[i] = page.Table{Compact: true, RowHead: true, Columns: w.columns("packet.shop.col.item", "+face.buy.count", "+packet.shop.col.price")}
		aisles[i].Weigh(1) // the figures take what they need
	}
	once, crop := cost.Money{Currency: w.p.Cost.FirstCost.Currency}, cost.Money{Currency: w.p.Cost.FirstCost.Currency}
	lines := slices.DeleteFunc(slices.Clone(w.p.Cost.Lines), func(l cost.Line) bool {
		return l.Group == cost.Work || l.Price.Amount == 0 && l.Quantity == 0
	})
	slices.SortStableFunc(lines, func(a, b cost.Line) int { return slices.Index(groups, a.Group) - slices.Index(groups, b.Group) })
	group, t, screws := "", &aisles[0], false
	for _, l := range lines {
		if l.Group != group && l.Group != "" {
			group = l.Group
			t = &aisles[aisleOf[group]]
			t.Group(w.text("word.group."+group, nil))
		}
		cells := w.shopLine(l)
		price := cells[3]
		if !l.From.Own && !l.Unknown {
			price += " *"
		}
		name, much := cells[0], cells[1]
		switch {
		case l.Name == screwLine: // the lead says what of, the letter what for
			name, screws = page.Text("☐ "+w.say("face.buy.screw", l.Args)), true
		case l.Unit == "pack": // its name or its kind says what is in it
			much = page.Text(w.words.Number(l.Buy))
		case utf8.RuneCountInString(string(much)) > 8: // one wide figure would narrow every name
			name, much = name+": "+much, ""
		}
		if s := w.lettersOf(l, w.p.Boards); s != "" {
			name += " " + page.Bold(s)
		}
		t.Add(name, much, price)
		if l.Once {
			once = once.Add(l.Price)
		} else {
			crop = crop.Add(l.Price)
		}
	}
	for _, sum := range []struct {
		id    string
		money cost.Money
	}{{"face.buy.once", once}, {"face.buy.crop", crop}} {
		aisles[1].Rows = append(aisles[1].Rows, page.Row{Strong: true, Cells: []page.Text{w.text(sum.id, nil), "", w.sum(sum.money)}})
	}
	if work := w.p.Cost.FirstCost.Sub(once); work.Amount > 0 { // the first page counts them
		aisles[1].Add(w.text("face.buy.work", nil), "", w.sum(work))
	}
	for _, g := range w.lacking() {
		aisles[0].Add(page.Text(g.name), page.Text(g.much), "–")
	}
	lead := w.text("face.buy.lead", nil)
	if screws {
		lead += " " + w.text("face.buy.screws", nil)
	}
	var out []page.Block
	if w.p.Boards != nil { // a tub takes no boards
		out = append(out, w.warning(w.text("packet.safety.saw.3", nil)))
	}
	out = append(out, page.Para{Text: lead})
	for _, f := range w.told() {
		if f.ID == mix.FindBuy { // it is in no list and no sum; where the crop starves, the stop says it
			out = append(out, page.Para{Text: page.Text(w.words.Finding(f))})
		}
	}
	out = append(out, page.Beside{Columns: [][]page.Block{{aisles[0]}, {aisles[1]}}})
	for _, f := range w.told() {
		if plan.BesideList(f.ID) {
			out = append(out, page.Para{Text: page.Text(w.words.Finding(f))})
		}
	}
	out = append(out, w.preservative()...)
	return append(out, w.heading("face.buy.borrow"), w.tools(), page.Para{Text: w.alsoBorrow()})
}

// lettersOf names the parts of the bed that a line of the list becomes; boards, those that are cut from their length.
func (w writer) lettersOf(l cost.Line, boards *plan.Boards) string {
	switch l.Name {
	case "need.liner", "need.liner_cut":
		return linerLetter
	case "need.foam":
		return raftLetter
	case "need.pot":
		return potLetter
	case screwLine:
		return w.screwed(l.Args["For"])
	case "need.board":
	default:
		return ""
	}
	if boards == nil {
		return ""
	}
	var out []string
	for _, j := range boards.Jobs {
		for _, b := range j.Plan.Boards {
			for _, c := range b.Cuts {
				if s := letterOf(c); j.Size == l.Args["Size"] && b.Stock == l.Args["StockLength"] && !b.OnHand && s != "" && !slices.Contains(out, s) {
					out = append(out, s)
				}
			}
		}
	}
	slices.Sort(out)
	return strings.Join(out, " ")
}

// screwed gives the letter of the part that screws hold.
func (w writer) screwed(kind any) string {
	c := w.p.Frame.Corner
	switch kind {
	case frame.CornerScrews.Word():
		if c.Plain || c.Block == (frame.Size{}) {
			return letters[frame.EndBoard]
		}
		return letters[frame.CornerBlock]
	case frame.HoldScrews.Word():
		return letters[frame.UprightPiece]
	case frame.CleatScrews.Word():
		return letters[frame.CleatPiece]
	case frame.ScabScrews.Word():
		return letters[frame.ScabPiece]
	}
	return letters[frame.BattenPiece]
}

// preservative says what the sawn ends of treated boards are brushed with: it is in no sum, for who buys boards that last by
// themselves takes none.
func (w writer) preservative() []page.Block {
	if w.p.Boards == nil {
		return nil
	}
	return []page.Block{w.para("packet.shop.preservative", nil)}
}

// alsoBorrow names the small things that the steps ask for.
func (w writer) alsoBorrow() page.Text {
	text := w.text("face.buy.also", nil)
	if w.p.Mix != nil {
		if _, acid := w.mixedAcid(unit.Litre); acid {
			text += " " + w.text("face.buy.acid", nil)
		}
	}
	return text
}

// tools shows what the steps ask for and nobody needs to buy.
func (w writer) tools() page.Figure {
	var list []stripOf
	for _, name := range []string{"tape", "level", "square", "saw", "drill", "staple-gun", "goggles", "mask", "gloves", "hose"} {
		if w.p.Boards == nil && (name == "square" || name == "staple-gun") {
			continue
		}
		list = append(list, stripOf{name: name, words: w.say("tool."+name, nil)})
	}
	return w.row("tools", "alt.tools", nil, 9.5, 17.4, list)
}

// faceCut tells where to saw, and prints labels for the pieces.
func (w writer) faceCut() []page.Block {
	b := w.p.Boards
	kerf := unit.Length(0)
	for _, j := range b.Jobs {
		kerf = j.Plan.Kerf
	}
	out := slices.Concat(w.warnings([]page.Text{w.text("face.cut.saw", nil), w.text("packet.safety.saw.4", nil)}, nil, finding.AtCut),
		[]page.Block{w.para("face.cut.lead", finding.Args{"Kerf": kerf})}, w.cutFigures(*b))
	if w.p.Frame != nil {
		out = append(out, w.heading("face.cut.labels"), w.labels())
	}
	return out
}

// labels draws a label with a letter for each piece, to be cut out and taped on.
func (w writer) labels() page.Figure { return w.both(writer.pieceLabels) }

func (w writer) pieceLabels() page.Figure {
	g := w.drawing("labels", "alt.labels", "alt.labels", nil)
	g.Bare = true
	k := w.grow()
	wide, high, x, y := draw.Points(84*k), draw.Points(26*k), draw.Points(0), draw.Points(0)
	across := draw.Points(504)
	if w.large {
		across, high = 500, 19*k
	}
	across = w.across(across)
	type label struct{ letter, text string }
	var list []label
	n := 0
	for _, q := range w.p.Frame.Pieces {
		n += q.Count
	}
	for _, q := range w.p.Frame.Pieces {
		if n > 30 { // of many alike one label with their number
			list = append(list, label{letters[q.Role], fmt.Sprintf("%d × %s", q.Count, w.label(q.Length))})
			continue
		}
		for range q.Count {
			list = append(list, label{letters[q.Role], w.label(q.Length)})
		}
	}
	for _, l := range list {
		wide = max(wide, draw.TextWidth(l.text, 10*k, false)+32*k)
	}
	for _, l := range list {
		if x+wide > across+1 {
			x, y = 0, y-high
		}
		at := draw.At(x.Length(), y.Length())
		g.Add(draw.Rect(at, wide.Length(), high.Length()).In(draw.Thin, draw.Dashed),
			draw.Text{At: at, Dx: 6 * k, Dy: high / 2, Text: l.letter, Size: 17 * k, Bold: true, Level: draw.Centred},
			draw.Text{At: at, Dx: 26 * k, Dy: high / 2, Text: l.text, Size: 10 * k, Level: draw.Centred})
		x += wide
	}
	return page.Figure{Drawing: g, Height: 400 * k}
}

// letterOf gives the letter of a piece on the cut list, "" for one of the user's own.
func letterOf(c cut.Cut) string {
	for r := frame.SideBoard; r <= frame.BattenPiece; r++ {
		if r.String() == c.Name {
			return letters[r]
		}
	}
	return ""
}
