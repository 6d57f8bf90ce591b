// Package packet turns a plan into the pages a grower holds in the hand: the
// plan at a glance, site and safety, shopping, cutting, frame, liner, raft,
// filling, water, mixing, seedlings, season, care, harvest, cleaning, money,
// what was assumed, and the sources. It reads a plan and computes nothing but
// where things stand on the page; every sentence comes from package lang.
package packet

import (
	"fmt"

	"raftwright/draw"
	"raftwright/finding"
	"raftwright/lang"
	"raftwright/page"
	"raftwright/plan"
)

// Options are the wishes of the person at the printer.
type Options struct {
	Paper page.Paper
	Large bool
}

// writer holds what every section needs.
type writer struct {
	p     plan.Plan
	words *lang.Printer
	large bool
	paper page.Paper
	// onPaper adds what only paper can use: drawings, boxes to tick.
	onPaper bool
	// inPlace prints each finding at the step it is about; else they stand
	// together after the answer.
	inPlace bool
}

// For makes the whole packet of a plan.
func For(p plan.Plan, words *lang.Printer, o Options) page.Document {
	w := writer{p: p, words: words, large: o.Large, paper: o.Paper, onPaper: true, inPlace: true}
	d := w.document(o)
	sections := []func() (page.Section, bool){
		w.cover, w.safety, w.shopping, w.money, w.cutting, w.frame, w.vessel, w.liner, w.fill, w.raft, w.water, w.mix, w.content, w.found, w.amiss,
		w.season, w.seedlings, w.care, w.calendar, w.card, w.log, w.watch, w.harvest, w.cleaning, w.assumptions, w.sources,
	}
	for _, make := range sections {
		if s, ok := make(); ok {
			d.Sections = append(d.Sections, s)
		}
	}
	return d
}

// Answer makes the short document that a command prints on the terminal: the
// asked parts, what was noticed, what was assumed, and the working if wanted.
func Answer(p plan.Plan, asked plan.Part, words *lang.Printer, working bool) page.Document {
	w := writer{p: p, words: words}
	w.inPlace = asked.Has(plan.Everything) // a whole plan tells each thing at its step, as on paper
	d := w.document(Options{})
	d.Subtitle = ""
	parts := []struct {
		part plan.Part
		make func() (page.Section, bool)
	}{
		{plan.Everything, w.cover}, {plan.Everything, w.first}, {plan.Frame, w.frame}, {plan.Frame, w.vessel}, {plan.Frame, w.liner}, {plan.Frame, w.fill}, {plan.Raft, w.raft},
		{plan.Cut, w.cutting}, {plan.Water, w.water}, {plan.Mix, w.mix}, {plan.Mix, w.content},
		{plan.Everything, w.found}, {plan.Found, w.found}, {plan.Everything, w.amiss}, {plan.Amiss, w.amiss}, {plan.Season, w.season}, {plan.Season, w.calendar},
		{plan.Cost, w.shopping}, {plan.Cost, w.money},
	}
	for _, q := range parts {
		if !asked.Has(q.part) {
			continue
		}
		if s, ok := q.make(); ok {
			s.Blocks = withoutFigures(s.Blocks)
			d.Sections = append(d.Sections, s)
		}
	}
	if !asked.Has(plan.Everything) {
		s, _ := w.noticed()
		d.Sections = append(d.Sections, s)
	}
	if s, ok := w.assumptions(); ok {
		d.Sections = append(d.Sections, s)
	}
	if working {
		d.Sections = append(d.Sections, w.working(asked))
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

func (w writer) document(o Options) page.Document {
	title := w.p.Title()
	if title == "" {
		title = w.say("packet.title", nil)
	}
	units := draw.US
	if w.words.Units == lang.Metric {
		units = draw.Metric
	}
	return page.Document{
		Title: title, Subtitle: w.say("packet.subtitle", finding.Args{"Title": title}), Language: w.words.Language,
		Paper: o.Paper, Large: o.Large, Units: units,
		Words: page.Words{
			Page: w.say("press.page", nil), Contents: w.say("press.contents", nil), Scale: w.say("press.scale", nil),
			NotToScale: w.say("press.not_to_scale", nil), FullSize: w.say("press.full_size", nil),
			Foot: w.say("press.foot", nil), Inch: w.say("press.inch", nil),
		},
	}
}

// say gives a sentence as plain text.
func (w writer) say(id string, args finding.Args) string { return w.words.Say(id, args) }

// text gives a sentence as a run of words.
func (w writer) text(id string, args finding.Args) page.Text {
	return page.Text(w.words.Say(id, args))
}

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
func (w writer) value(v any) page.Text {
	return page.Text(fmt.Sprint(w.words.Value(v)))
}

// heading gives a heading inside a section.
func (w writer) heading(id string) page.Heading {
	return page.Heading{Level: 1, Text: w.say(id, nil)}
}

// section starts a section with its title.
func (w writer) section(id string, blocks ...page.Block) page.Section {
	return page.Section{ID: id, Title: w.say("packet."+id+".title", nil), Blocks: blocks}
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

// severity gives the page's severity and its word.
func (w writer) severity(s finding.Severity) (page.Severity, string) {
	switch s {
	case finding.Stop:
		return page.Stop, w.say("severity.stop", nil)
	case finding.Caution:
		return page.Care, w.say("severity.caution", nil)
	}
	return page.Note, w.say("severity.note", nil)
}

// caution makes a ruled box of the sentences.
func (w writer) caution(s finding.Severity, sentences ...page.Text) page.Caution {
	level, word := w.severity(s)
	return page.Caution{Severity: level, Word: word, Text: sentences}
}
