package packet

import (
	"fmt"
	"slices"
	"strings"

	"raftwright/cost"
	"raftwright/cut"
	"raftwright/finding"
	"raftwright/mix"
	"raftwright/page"
	"raftwright/plan"
	"raftwright/source"
	"raftwright/unit"
)

// groups is the order of the shopping list.
var groups = []string{"frame", "liner", "raft", "plants", "feed", "tools", cost.Work}

// shopping lists what to buy, what is bought once apart from what a crop uses up.
func (w writer) shopping() []page.Block {
	out := []page.Block{page.Para{Text: w.paperOnly("packet.shop.tick") + w.text("packet.shop.lead", nil) + w.cite(source.FromMemory)}}
	if on := w.p.Brief.Prices.On; on.Given {
		out = append(out, page.Para{Text: w.text("packet.shop.own", finding.Args{"Place": w.p.Brief.Prices.Place.Value, "On": w.words.Date(w.p.PricedOn())}) + w.cite(source.Given)})
	}
	for _, f := range w.told() {
		if f.ID == mix.FindBuy || plan.BesideList(f.ID) { // beside the list: it is in no sum
			out = append(out, page.Para{Text: page.Text(w.words.Finding(f))})
		}
	}
	out = append(out, w.preservative()...)
	for _, once := range []bool{true, false} {
		heading, sum := "packet.shop.once", "packet.shop.total_once"
		if !once {
			heading, sum = "packet.shop.crop", "packet.shop.total_crop"
		}
		if t, ok := w.shopTable(once, sum); ok {
			out = append(out, w.heading(heading), t)
		}
	}
	return out
}

// shopTable is one of the two lists, group by group, with its sum.
func (w writer) shopTable(once bool, sum string) (page.Table, bool) {
	t := page.Table{Compact: true, Stack: true, Columns: w.columns("packet.shop.col.item", "+packet.shop.col.quantity", "+packet.shop.col.unit_price", "+packet.shop.col.price", "+packet.shop.col.life")}
	t.Weigh(3.6, 1, 1, 1, 1)
	var lines []cost.Line
	for _, l := range w.p.Cost.Lines {
		if l.Once == once && !(l.Price.Amount == 0 && l.Quantity == 0) {
			lines = append(lines, l)
		}
	}
	slices.SortStableFunc(lines, func(a, b cost.Line) int { return slices.Index(groups, a.Group) - slices.Index(groups, b.Group) })
	total, group := cost.Money{Currency: w.p.Cost.FirstCost.Currency}, ""
	for _, l := range lines {
		if l.Group != group && l.Group != "" {
			group = l.Group
			t.Group(w.text("word.group."+group, nil))
		}
		t.Add(w.shopLine(l)...)
		total = total.Add(l.Price)
	}
	t.Rows = append(t.Rows, page.Row{Strong: true, Cells: []page.Text{w.text(sum, nil), "", "", w.sum(total), ""}})
	if once {
		for _, g := range w.lacking() {
			t.Add(page.Text(g.name), page.Text(g.much), "–", "–", "")
		}
	}
	return t, len(lines) > 0
}

// lack is a line of what the shelf lacks.
type lack struct{ name, much string }

// lacking lists what is to be bought before the feed is mixed, for all beds: under the sum,
// for the mix that this plan prints goes without.
func (w writer) lacking() []lack {
	m := w.p.Mix
	if m == nil || m.Buy == nil || w.p.Frame == nil {
		return nil
	}
	var out []lack
	for _, d := range m.Buy.Goods {
		box := ""
		if w.onPaper {
			box = "☐ "
		}
		out = append(out, lack{box + w.say("packet.shop.lacks", finding.Args{"Product": w.words.Product(d.Product)}),
			w.label(unit.Bought(d.Strength.In(w.p.Frame.Volume) * unit.Mass(w.p.Beds)))})
	}
	return out
}

func (w writer) shopLine(l cost.Line) []page.Text {
	mark := ""
	if !l.From.Own && !l.Unknown {
		mark = " *"
	}
	life := w.text("packet.shop.crop_life", nil)
	switch {
	case l.Once && l.Life > 0:
		life = w.text("packet.shop.years", finding.Args{"Count": max(1, int(l.Life+0.5))})
	case l.Once:
		life = ""
	}
	quantity, each := w.quantity(l)
	box := ""
	if w.onPaper && l.Group != cost.Work {
		box = "☐ "
	}
	each += page.Text(mark)
	price := w.value(l.Price)
	if l.Unknown {
		each, price = "–", "–"
	}
	return []page.Text{page.Text(box + w.say(string(l.Name), l.Args)), page.Text(quantity), each, price, life}
}

// goods are what is sold by measure: how much one is, and the unit of its price for
// readers of each system.
var goods = map[string]struct {
	one              any
	usUnit, siUnit   string
	usParts, siParts float64 // of the priced unit in one
}{
	"foot":        {unit.Foot, "foot", "meter", 1, unit.Foot.Metres()},
	"square foot": {unit.SquareFoot, "square_foot", "square_meter", 1, unit.SquareFoot.SquareMetres()},
	"kilogram":    {unit.Kilogram, "pound", "kilogram", float64(unit.Kilogram / unit.Pound), 1},
	"litre":       {unit.Litre, "gallon", "litre", float64(unit.Litre / unit.Gallon), 1},
	"quart":       {unit.Quart, "quart", "litre", 1, unit.Quart.Litres()},
}

// quantity prints how much of a line is bought and what one unit of it costs, in the
// reader's units.
func (w writer) quantity(l cost.Line) (much string, each page.Text) {
	g, measured := goods[l.Unit]
	if !measured {
		much = w.words.Number(l.Buy)
		if l.Unit != "each" {
			much = w.words.With(much, strings.ReplaceAll(l.Unit, " ", "_"))
		}
		return much, w.value(l.UnitPrice)
	}
	name, parts := g.usUnit, g.usParts
	if w.metric() {
		name, parts = g.siUnit, g.siParts
	}
	switch one := g.one.(type) {
	case unit.Mass: // a little of it is weighed in grams
		much = w.label(one * unit.Mass(l.Buy))
	case unit.Volume:
		much = w.label(one * unit.Volume(l.Buy))
		if l.Unit == "quart" && !w.metric() { // a quart is a can, not a share of a gallon
			much = w.words.With(w.words.Number(l.Buy), name)
		}
	default:
		much = w.words.With(w.words.Number(l.Buy*parts), name)
	}
	return much, w.value(l.UnitPrice.Times(1/parts)) + "/" + w.text("word.unit."+name, finding.Args{"Count": 1})
}

// cutting tells which boards to buy and where to saw.
func (w writer) cutting() []page.Block {
	b := w.p.Boards
	out := []page.Block{w.para("packet.cut.lead", finding.Args{"Count": b.Bought()})}
	t := page.Table{Columns: w.columns("packet.cut.col.board", "packet.cut.col.cuts", "+packet.cut.col.left"), Compact: true}
	t.Weigh(1.4, 4, 1)
	kerf := unit.Length(0)
	for _, j := range b.Jobs {
		kerf = j.Plan.Kerf
		for _, x := range j.Plan.Boards {
			t.Add(page.Text(w.boardName(x, j.Size)), page.Text(w.cuts(x)), w.value(x.Offcut))
		}
	}
	if !w.onPaper || w.large || w.cites != nil { // on a face the drawing says the same
		out = append(out, t)
	}
	tell := w.text("packet.cut.kerf", finding.Args{"Kerf": kerf})
	if b.Optimal() {
		tell += " " + w.text("packet.cut.proven", nil)
	}
	out = append(append(out, page.Para{Text: tell}), w.of(at(finding.AtCut).begins(w.each("packet.safety.saw", nil)...))...)
	return append(out, w.cutFigures(*b)...)
}

// boardName says how many boards of which size and length are cut alike.
func (w writer) boardName(x cut.Board, size string) string {
	name := fmt.Sprintf("%d × %s %s", x.Repeat, size, w.words.Feet(x.Stock))
	if x.OnHand {
		name += ", " + w.say("packet.cut.on_hand", nil)
	}
	return name
}

// cuts lists the pieces of a board in the order of cutting, alike ones counted.
func (w writer) cuts(x cut.Board) string {
	var cuts []string
	for i := 0; i < len(x.Cuts); {
		n := alike(x.Cuts[i:])
		c := w.piece(x.Cuts[i].Name) + " " + w.label(x.Cuts[i].Length)
		if n > 1 {
			c = fmt.Sprintf("%d × %s", n, c)
		}
		cuts = append(cuts, c)
		i += n
	}
	return strings.Join(cuts, ", ")
}

// alike counts how many cuts at the start are the same.
func alike(cuts []cut.Cut) int {
	n := 1
	for n < len(cuts) && cuts[n] == cuts[0] {
		n++
	}
	return n
}
