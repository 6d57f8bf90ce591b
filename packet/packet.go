// Package packet turns a plan into the pages a grower holds in the hand: the
// plan at a glance, site and safety, shopping, cutting, frame, liner, raft,
// filling, water, mixing, seedlings, season, care, harvest, cleaning, money,
// what was assumed, and the sources. It reads a plan and computes nothing but
// where things stand on the page; every sentence comes from package lang.
package packet

import (
	"fmt"
	"slices"
	"time"

	"raftwright/brief"
	"raftwright/draw"
	"raftwright/finding"
	"raftwright/frame"
	"raftwright/lang"
	"raftwright/page"
	"raftwright/plan"
)

// Options are the wishes of the person at the printer.
type Options struct {
	Paper   page.Paper
	Large   bool
	Printed time.Time // the day that the first face bears; zero: none
	Address string    // that its code leads to; "": the code carries the brief
	Doors   string    // of a page: the address under which workings of figures stand; "": figures lead nowhere
	Begins  int       // of a workshop: the minute of the day at which it begins; 0: nine o'clock
	Screen  bool      // it is read where the brief is kept: no code carries it there
	Older   bool      // of slips: the two questions of the standard of 1997, for a funder whose form has them
	For     string    // of slips: the funders for whom they ask so; "": nobody said
}

// writer holds what every section needs.
type writer struct {
	p     plan.Plan
	asked plan.Part
	words *lang.Printer
	large bool
	// narrow makes a drawing for a telephone.
	narrow bool
	paper  page.Paper
	// of the first face
	printed time.Time
	address string
	screen  bool
	// onPaper adds what only paper can use: drawings, boxes to tick.
	onPaper bool
	// inPlace prints each finding at the step it is about; else they stand
	// together after the answer.
	inPlace bool
	// cites numbers the sources where a document has a list of them; else nil.
	cites *citations
	// doors names the figures that lead to their working; nil where none does.
	doors map[string]string
}

func onPaper(p plan.Plan, words *lang.Printer, o Options) writer {
	w := writer{p: p, asked: p.Asked, words: words, large: o.Large, paper: o.Paper, printed: o.Printed, address: o.Address, screen: o.Screen, onPaper: true, inPlace: true}
	if o.Doors != "" {
		w.doors = w.workings()
	}
	return w
}

// part is a section of the packet, which can stand alone.
type part struct {
	id    string
	there bool // this plan has something to say in it
	fresh bool // it begins on a new page
	make  func() []page.Block
}

// apart is how many parts at the end of the list are not in the packet: it tells
// what they tell at its steps.
const apart = 3

// parts lists the sections in their order.
func (w writer) parts() []part {
	p := w.p
	bed, raft, mix := p.Frame != nil, p.Raft != nil, p.Mix != nil
	built := bed && p.Frame.Job.Vessel.Shape == frame.FrameShape
	tested := p.Brief.Water.Given && (!raft || p.Raft.Nursery == nil)
	return []part{
		{"glance", true, false, w.cover}, {"safety", bed, true, w.safety}, {"shop", p.Cost != nil, true, w.shopping}, {"money", p.Cost != nil, false, w.money},
		{"cut", p.Boards != nil, true, w.cutting}, {"frame", built, true, w.frame}, {"vessel", bed && !built, false, w.vessel},
		{"liner", bed && p.Frame.Liner.Wanted, false, w.liner}, {"fill", bed, false, w.fill}, {"raft", raft, true, w.raft}, {"water", p.Water != nil, tested, w.water},
		{"mix", mix, true, w.mix}, {"content", mix, true, w.content}, {"found", p.Found != nil, true, w.found}, {"amiss", p.Amiss != nil, false, w.amiss},
		{"season", raft || p.Season != nil, w.hasYear(), w.season}, {"seed", raft, true, w.seedlings}, {"care", bed, false, w.care}, {"calendar", w.hasTasks(), true, w.calendar},
		{"card", bed, true, w.card}, {"log", bed, true, w.log}, {"watch", bed, true, w.watch}, {"harvest", raft, true, w.harvest}, {"clean", bed, false, w.cleaning},
		{"assume", len(p.Assumptions) > 0, false, w.assumptions}, {"source", len(p.Findings)+len(p.Assumptions) > 0, false, w.sources},
		{"first", true, false, func() []page.Block { return w.urgent(roomOnCover, "packet.glance.more") }}, {"findings", true, false, w.findings}, {"working", true, false, w.working},
	}
}

// sections makes the sections of these IDs that this plan has, in their order.
func (w writer) sections(ids []string) []page.Section {
	var out []page.Section
	parts := w.parts()
	for _, id := range ids {
		at := slices.IndexFunc(parts, func(q part) bool { return q.id == id && q.there })
		if at < 0 {
			continue
		}
		s := page.Section{ID: id, Title: w.say("packet."+id+".title", nil), NewPage: parts[at].fresh, Blocks: parts[at].make()}
		if id == "glance" && w.onPaper {
			s.Title = "" // the packet's own stands over it
		}
		if w.onPaper && w.mustWait(id) {
			s.Blocks = append([]page.Block{w.box(finding.Stop, finding.Person, w.text("packet.stop.here", nil))}, s.Blocks...)
		}
		out = append(out, s)
	}
	return out
}

// Sections lists the IDs of the sections of a plan's packet, in their order.
func Sections(p plan.Plan) []string {
	var out []string
	parts := writer{p: p}.parts()
	for _, q := range parts[:len(parts)-apart] {
		if q.there {
			out = append(out, q.id)
		}
	}
	return out
}

// Section makes one section alone, for a card or a page: one of Sections, or
// "first", what to know first, "findings", all that was noticed, or "working", the
// derivation of every figure. False where this plan has none of that ID.
func Section(p plan.Plan, words *lang.Printer, o Options, id string) (page.Document, bool) {
	w := onPaper(p, words, o)
	d := w.document(o)
	d.Sections = w.sections([]string{id})
	return d, len(d.Sections) > 0
}

// answers are the sections with which a command answers on the terminal.
var answers = []struct {
	part     plan.Part
	sections []string
}{
	{plan.Everything, []string{"glance", "first"}}, {plan.Frame, []string{"frame", "vessel", "liner", "fill"}}, {plan.Raft, []string{"raft"}}, {plan.Cut, []string{"cut"}},
	{plan.Water, []string{"water"}}, {plan.Mix, []string{"mix", "content"}}, {plan.Found, []string{"found"}}, {plan.Amiss, []string{"amiss"}},
	{plan.Season, []string{"season", "calendar"}}, {plan.Cost, []string{"shop", "money"}},
}

// Answer makes the short document that a command prints on the terminal: the
// asked parts, what was noticed, what was assumed, and the working if wanted.
func Answer(p plan.Plan, asked plan.Part, words *lang.Printer, working bool) page.Document {
	whole := asked.Has(plan.Everything)
	w := writer{p: p, asked: asked, words: words, inPlace: whole} // a whole plan tells each thing at its step, as on paper
	var ids []string
	for _, a := range answers {
		if whole || asked.Has(a.part) {
			ids = append(ids, a.sections...)
		}
	}
	if !whole {
		ids = append(ids, "findings")
	}
	ids = append(ids, "assume")
	if working {
		ids = append(ids, "working")
	}
	d := w.document(Options{})
	d.Sections = w.sections(ids)
	d.Subtitle = ""
	for i := range d.Sections {
		d.Sections[i].Blocks = withoutFigures(d.Sections[i].Blocks)
	}
	return d
}

// withoutFigures leaves out what a terminal cannot show.
func withoutFigures(blocks []page.Block) []page.Block {
	var out []page.Block
	for _, b := range blocks {
		switch b := b.(type) {
		case page.Figure, page.LogSheet, page.PageBreak, page.Code, page.Contents:
			continue
		case page.Together:
			out = append(out, withoutFigures(b.Blocks)...)
		case page.Beside:
			for _, c := range b.Columns {
				out = append(out, withoutFigures(c)...)
			}
		default:
			out = append(out, b)
		}
	}
	return out
}

// document makes a document of these sections.
func (w writer) document(o Options) page.Document {
	title := w.p.Title()
	if title == "" {
		title = w.say("packet.title", nil)
	}
	units := draw.US
	if w.metric() {
		units = draw.Metric
	}
	return page.Document{
		Title: title, Subtitle: w.say("packet.subtitle", finding.Args{"Title": title}), Language: w.words.Language,
		Paper: o.Paper, Large: o.Large, Units: units, Doors: o.Doors,
		Words: page.Words{
			Page: w.foot(), Contents: w.say("press.contents", nil),
			Words: draw.Words{Scale: w.say("press.scale", nil), NotToScale: w.say("press.not_to_scale", nil), FullSize: w.say("press.full_size", nil),
				Foot: w.say("word.unit.foot", finding.Args{"Count": 1}), Feet: w.say("word.unit.foot", nil), Inch: w.say("word.unit.inch", nil)},
		},
	}
}

// metric says whether the reader measures in metres.
func (w writer) metric() bool { return w.words.Units == lang.Metric }

// pumped says whether a pump stands at the bed.
func (w writer) pumped() bool {
	p := w.p.Brief.Site.Pump
	return p.Given && p.Value != brief.NoPump
}

// powered says whether something at the bed runs on electricity: a pump, lamps or a heater.
func (w writer) powered() bool {
	b := w.p.Brief
	return w.pumped() || b.Site.Lamp.Given || b.Bed.HeatTo.Given || b.Bed.CoolTo.Given
}

// say gives a sentence as plain text.
func (w writer) say(id string, args finding.Args) string { return w.words.Say(id, args) }

// text gives a sentence as a run of words.
func (w writer) text(id string, args finding.Args) page.Text { return w.opened(id, args) }

// paperOnly gives a sentence with a space behind it, nothing on a terminal.
func (w writer) paperOnly(id string) page.Text {
	if !w.onPaper {
		return ""
	}
	return w.text(id, nil) + " "
}

// para gives a sentence as a paragraph.
func (w writer) para(id string, args finding.Args) page.Para {
	return page.Para{Text: w.text(id, args)}
}

// each gives the numbered sentences id.1, id.2, ... until one is missing.
func (w writer) each(id string, args finding.Args) []page.Text {
	var out []page.Text
	for i := 1; w.words.Can(fmt.Sprintf("%s.%d", id, i)); i++ {
		out = append(out, w.text(fmt.Sprintf("%s.%d", id, i), args))
	}
	return out
}

// steps gives the numbered sentences as a list of steps.
func (w writer) steps(id string, args finding.Args) page.List {
	return page.List{Kind: page.Numbered, Items: w.each(id, args)}
}

// bullets gives the numbered sentences as a list without numbers.
func (w writer) bullets(id string, args finding.Args) page.List {
	return page.List{Kind: page.Bullets, Items: w.each(id, args)}
}

// value prints a typed figure in the reader's units.
func (w writer) value(v any) page.Text { return page.Text(w.label(v)) }

// label prints a typed figure for a drawing.
func (w writer) label(v any) string { return w.words.Value(v) }

// fixed prints a number with so many decimals.
func (w writer) fixed(x float64, decimals int) page.Text {
	return page.Text(w.words.Fixed(x, decimals))
}

// together keeps blocks on one page.
func together(blocks ...page.Block) page.Block { return page.Together{Blocks: blocks} }

// heading gives a heading inside a section.
func (w writer) heading(id string) page.Heading {
	return page.Heading{Level: 1, Text: w.say(id, nil)}
}

// columns makes the heads of a table: words by ID, "+" before an ID sets it right.
func (w writer) columns(ids ...string) []page.Column {
	var out []page.Column
	for _, id := range ids {
		c := page.Column{}
		if id[0] == '+' {
			id, c.Align = id[1:], page.Right
		}
		c.Title = w.text(id, nil)
		out = append(out, c)
	}
	return out
}

// rank gives the word that stands before a finding: a caution is a warning only where a
// person can be hurt, else something to check.
func (w writer) rank(s finding.Severity, h finding.Harm) string {
	if s == finding.Caution && h == finding.Person {
		return w.say("severity.warning", nil)
	}
	return w.say("severity."+s.String(), nil)
}

// box makes a ruled box of sentences of one rank.
func (w writer) box(s finding.Severity, h finding.Harm, sentences ...page.Text) page.Caution {
	return page.Caution{Severity: s, Word: w.rank(s, h), Text: sentences}
}

// warning and check make a box of what can hurt a person, and of what can hurt the crop.
func (w writer) warning(sentences ...page.Text) page.Caution {
	return w.box(finding.Caution, finding.Person, sentences...)
}
func (w writer) check(sentences ...page.Text) page.Caution {
	return w.box(finding.Caution, finding.Growth, sentences...)
}
