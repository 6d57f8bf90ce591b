package packet

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"raftwright/cost"
	"raftwright/finding"
	"raftwright/frame"
	"raftwright/lang"
	"raftwright/page"
	"raftwright/workshop"
)

// leader writes for who leads a workshop: its plan is that of one bed alone.
type leader struct {
	writer
	ws     workshop.Workshop
	begins int    // minute of the day
	older  bool   // slips of the standard of 1997
	asks   string // for whom
	size   int    // of the kits, from 1; 0: all
}

// usualBegin is the minute of the day at which a workshop begins where none is told: nine o'clock.
const usualBegin = 9 * 60

// Leader makes the document of who leads a workshop: the run of the day with its stations, what is bought,
// sawn and cut for all together, the kits, the labels, the sign-in sheet and the slips.
func Leader(ws workshop.Workshop, words *lang.Printer, o Options) page.Document {
	w := leader{onPaper(ws.Bed(), words, o), ws, cmp.Or(o.Begins, usualBegin), o.Older, o.For, 0}
	d := w.document(o)
	d.Title = w.say("leader.title", finding.Args{"Count": len(ws.Families)})
	d.Subtitle, d.Margin = ws.Title, FaceMargin
	for _, s := range []struct {
		id    string
		there bool
		fresh bool
		make  func() []page.Block
	}{
		{"glance", true, false, w.glance}, {"day", true, true, w.day}, {"buy", true, true, w.buyAll}, {"saw", ws.Boards != nil, true, w.saw},
		{"sheet", ws.Liners != nil || ws.Foam != nil, ws.Liners != nil, w.sheets}, {"kits", true, true, w.kits}, {"labels", true, true, w.kitLabels}, {"tags", ws.Boards != nil, true, w.tags},
		{"sign", true, true, w.signIn}, {"slip", true, true, w.slips},
	} {
		if s.there {
			d.Sections = append(d.Sections, page.Section{ID: s.id, Title: w.say("leader."+s.id+".title", nil), NewPage: s.fresh, Blocks: s.make()})
		}
	}
	d.Sections = append(d.Sections, w.otherSlips(o)...)
	return d
}

// otherSlips are the slips in the languages of the families that are not the leader's.
func (w leader) otherSlips(o Options) []page.Section {
	var out []page.Section
	known := []string{w.words.Language}
	for _, p := range w.ws.Each {
		if slices.Contains(known, p.Language()) {
			continue
		}
		known = append(known, p.Language())
		words, err := lang.For(p.Language(), w.words.Units)
		if err != nil {
			continue // a language without sentences: its packet is in another too
		}
		theirs := leader{onPaper(w.p, words, o), w.ws, w.begins, w.older, w.asks, 0}
		out = append(out, page.Section{ID: "slip-" + words.Language, Title: theirs.say("leader.slip.title", nil), NewPage: true, Blocks: theirs.slips(),
			Speaks: page.Speech{Language: words.Language, Words: theirs.document(o).Words.Words}})
	}
	return out
}

// number prints a count.
func (w leader) number(n int) page.Text { return page.Text(w.words.Number(float64(n))) }

// clock prints the time so many minutes after the doors open.
func (w leader) clock(minutes int) string {
	at := w.begins + minutes
	id, hour := "leader.clock_am", at/60%24
	if hour >= 12 {
		id = "leader.clock_pm"
	}
	return w.say(id, finding.Args{"Hour": strconv.Itoa((hour+11)%12 + 1), "Minute": fmt.Sprintf("%02d", at%60)})
}

// glance is the first page: the day in figures, what is read aloud, what is done before.
func (w leader) glance() []page.Block {
	ws := w.ws
	figures := page.KeyFigures{Columns: 4}
	add := func(id, value, note string) {
		figures.Items = append(figures.Items, page.KeyFigure{Label: w.say("leader.glance."+id, nil), Value: value, Note: note})
	}
	add("families", w.words.Number(float64(len(ws.Families))), "")
	add("hours", w.say("leader.glance.lasts", finding.Args{"Hours": ws.Lasts() / 60, "Minutes": ws.Lasts() % 60}), w.say("leader.glance.from_to", finding.Args{"From": w.clock(0), "To": w.clock(ws.Lasts())}))
	add("helpers", w.words.Number(float64(ws.Helpers())), w.say("leader.glance.grown", nil))
	add("total", string(w.sum(ws.Total)), w.say(w.bySize("leader.glance.each"), finding.Args{"Money": ws.PerFamily()}))
	out := []page.Block{page.Para{Text: w.text(w.bySize("leader.glance.lead"), nil) + w.alike()}, figures}
	out = append(out, w.sizes()...)
	if saved, ok := ws.Saved(); ok {
		out = append(out, w.para("leader.glance.saved", finding.Args{"Saved": saved, "Apart": ws.Apart}))
	}
	if ws.Unpriced > 0 {
		out = append(out, w.para("leader.glance.unpriced", nil))
	}
	out = append(out, w.boxes(nil, w.stopsOf())...)
	aloud := w.each("leader.aloud", nil)
	if w.pumped() {
		aloud = append(aloud, w.text("packet.safety.power.1", nil))
	}
	return append(out, w.heading("leader.glance.warn"), w.warning(aloud...), w.heading("leader.glance.before"),
		page.List{Kind: page.Boxes, Items: w.each("leader.before", nil)})
}

// alike says that nothing is known of each family's water.
func (w leader) alike() page.Text {
	if !w.ws.Alike() {
		return ""
	}
	return " " + w.text("leader.glance.alike", nil)
}

// stopsOf gives what forbids to build the bed, of any size.
func (w leader) stopsOf() []finding.Finding {
	var out []finding.Finding
	for _, one := range w.ofEach() {
		for _, f := range one.told() {
			if f.Severity == finding.Stop && !slices.ContainsFunc(out, func(g finding.Finding) bool { return w.words.Finding(g) == w.words.Finding(f) }) {
				out = append(out, f)
			}
		}
	}
	return out
}

// day is the run of the day and its stations.
func (w leader) day() []page.Block {
	t := page.Table{RowHead: true, Compact: true, Stack: true, Columns: w.columns("leader.day.col_time", "leader.day.col_what", "leader.day.col_minutes", "leader.day.col_who")}
	t.Weigh(1.2, 2.6, 1.5, 3)
	var cards []page.Block
	for _, s := range w.ws.Day {
		title := w.text("leader.step."+s.ID+".title", nil)
		last := w.number(s.Lasts())
		if s.Turns > 1 {
			last += ": " + w.text("leader.day.turns", finding.Args{"Turns": s.Turns, "Minutes": s.Turn})
		}
		who := page.Text("")
		if len(s.Stations) == 1 {
			who = w.who(s.Stations[0])
		} else {
			cards = append(cards, w.station(s.ID, title+page.Text(", "+w.clock(s.Begins))))
		}
		t.Add(page.Text(w.clock(s.Begins)), title, last, who)
		for _, st := range s.Stations {
			name := w.text("leader.step."+st.ID+".title", nil)
			if len(s.Stations) > 1 {
				t.Add("", "– "+name, "", w.who(st))
			} else {
				name += page.Text(", " + w.clock(s.Begins))
			}
			cards = append(cards, w.station(st.ID, name))
		}
	}
	t.Rows = append(t.Rows, page.Row{Strong: true, Cells: []page.Text{page.Text(w.clock(w.ws.Lasts())), w.text("leader.day.ends", nil), w.number(w.ws.Lasts()), ""}})
	out := []page.Block{w.para("leader.day.lead", nil), t, w.para("leader.day.borrow", finding.Args{"Drills": w.ws.Drills(), "Saws": w.ws.Saws()}), w.heading("leader.day.stations")}
	return append(out, cards...)
}

func (w leader) who(s workshop.Station) page.Text {
	if s.Families == len(w.ws.Families) {
		return w.text("leader.day.all", finding.Args{"Helpers": s.Helpers})
	}
	return w.text("leader.who", finding.Args{"Count": s.Families, "Helpers": s.Helpers})
}

// cares are the cautions of a step, by their sentences.
var cares = map[string][]string{
	"build": {"face.frame.gear"}, "raft": {"face.raft.gear", "packet.raft.drill", "packet.safety.saw.2"}, "feed": {"leader.step.feed.care"}, "liner": {"packet.fill.children.1", "packet.fill.children.2"},
	"load": {"leader.step.load.care"}, "carry": {"leader.step.carry.care"},
}

// station is the card of a station: what stands there, what is done, and what can hurt.
func (w leader) station(id string, title page.Text) page.Block {
	key := "leader.step." + id
	do := w.text(key+".do", nil)
	if w.words.Can(key + ".check") {
		args := finding.Args{}
		do += " " + page.Bold(w.say("face.check", nil))
		if id != "build" || !w.mixed() {
			if w.p.Frame.Job.Vessel.Shape == frame.FrameShape {
				args["Diagonal"] = w.diagonal()
			}
			do += " " + w.text(key+".check", args)
		} else {
			for _, one := range w.ofEach() {
				do += " " + one.of() + w.text(key+".check", finding.Args{"Diagonal": one.diagonal()})
			}
		}
	}
	out := []page.Block{page.Heading{Level: 2, Text: title.Plain()}}
	var care []page.Text
	for _, c := range cares[id] {
		care = append(care, w.text(c, finding.Args{"Mass": w.heaviest()}))
	}
	if care != nil {
		out = append(out, w.warning(care...))
	}
	place := page.Para{Text: page.Bold(w.say("leader.day.where", nil)) + " " + w.text(key+".where", finding.Args{"Area": w.ws.Place()})}
	return together(append(out, place, page.Para{Text: page.Bold(w.say("leader.day.stands", nil)) + " " + w.text(key+".stands", nil)}, page.Para{Text: do})...)
}

// buyAll is the shopping list for all beds.
func (w leader) buyAll() []page.Block {
	t := page.Table{Compact: true, Stack: true, RowHead: true, Columns: w.columns("packet.shop.col.item", "+face.buy.count", "+leader.buy.col_spare", "+packet.shop.col.unit_price", "+packet.shop.col.price")}
	t.Weigh(4.2, 1.2, 1, 1.2, 1.2)
	liquid, shared := false, false
	for _, group := range groups {
		named := false
		for _, l := range w.ws.Lines {
			if l.Group != group {
				continue
			}
			if !named {
				t.Group(w.text("word.group."+group, nil))
				named = true
			}
			liquid = liquid || l.Name == "need.acid" && l.Unit == "litre"
			shared = shared || l.Mass > 0 && l.Unit == "pack"
			cells, spare := w.shopLine(l.Line), page.Text("")
			if l.Spare > 0 {
				spare = page.Text(w.words.Number(l.Spare))
			}
			name := cells[0]
			if s := w.lettersOf(l.Line, w.ws.Boards); s != "" {
				name += " " + page.Bold(s)
			}
			t.Add(name, cells[1], spare, cells[2], cells[3])
		}
	}
	for _, sum := range []struct {
		id    string
		money cost.Money
	}{{"leader.buy.total", w.ws.Total}, {w.bySize("leader.buy.each"), w.ws.PerFamily()}} {
		t.Rows = append(t.Rows, page.Row{Strong: true, Cells: []page.Text{w.text(sum.id, nil), "", "", "", w.sum(sum.money)}})
	}
	out := []page.Block{w.para("leader.buy.lead", finding.Args{"Count": len(w.ws.Families)})}
	var care []page.Text
	if liquid {
		care = append(care, w.text("leader.buy.liquid", nil))
	}
	if w.ws.Boards != nil {
		care = append(care, w.text("packet.safety.saw.3", nil))
	}
	if care != nil {
		out = append(out, w.warning(care...))
	}
	if out = append(append(out, t), w.preservative()...); shared {
		out = append(out, w.para("leader.buy.shared", nil))
	}
	return out
}

// saw is the list of who saws: each way to cut a board with how many are cut so, and the count at the end.
func (w leader) saw() []page.Block {
	b := w.ws.Boards
	out := []page.Block{w.warning(w.text("face.cut.saw", nil), w.text("packet.safety.saw.4", nil))}
	t := page.Table{RowHead: true, Compact: true, Stack: true, Columns: w.columns("leader.saw.boards", "leader.saw.col_cut", "+packet.cut.col.left")}
	t.Weigh(1.5, 4, 1)
	all := map[string]int{}
	for _, j := range b.Jobs {
		for _, x := range j.Plan.Boards {
			t.Add(page.Text("☐ "+w.boardName(x, j.Size)), page.Text(w.cuts(x)), w.value(x.Offcut))
			for _, c := range x.Cuts {
				all[c.Name+w.label(c.Length)] += x.Repeat
			}
		}
	}
	proven := "leader.saw.found"
	if b.Optimal() {
		proven = "leader.saw.proven"
	}
	kerf := w.text("packet.cut.kerf", finding.Args{"Kerf": b.Jobs[0].Plan.Kerf})
	out = append(out, t, page.Para{Text: kerf + " " + w.text(proven, nil)}, w.heading("leader.saw.count"))
	t = page.Table{RowHead: true, Compact: true, Stack: true, Columns: w.columns("face.part.letter", "leader.saw.col_piece", "+leader.saw.col_kit", "+leader.saw.col_all")}
	t.Weigh(0.8, 4, 1, 1)
	for _, one := range w.ofEach() {
		if w.mixed() {
			t.Group(one.name())
		}
		for _, q := range one.p.Frame.Pieces {
			name := w.say(string(q.Role.Word()), nil) + ", " + q.Size.String() + ", " + w.label(q.Length)
			count := all[q.Role.String()+w.label(q.Length)]
			if w.mixed() { // another size may have pieces of the same length
				count = q.Count * len(one.ws.Families)
			}
			t.Add(page.Bold(letters[q.Role]), page.Text("☐ "+name), w.number(q.Count), w.number(count))
		}
	}
	return append(append(out, t), w.cutFigures(*b)...)
}

// kitText joins the letter, the name and the size of a piece.
func (w leader) kitText(q frame.Piece) page.Text {
	return page.Bold(letters[q.Role]) + page.Text(" "+strings.Join([]string{w.say(string(q.Role.Word()), nil), q.Size.String(), w.label(q.Length)}, ", "))
}
