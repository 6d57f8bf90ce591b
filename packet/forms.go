package packet

import (
	"strings"

	"raftwright/finding"
	"raftwright/lang"
	"raftwright/page"
	"raftwright/programme"
)

// Questionnaire makes a form from its own definition: before and after with an own code in place of a name, looking
// back on one form, or later. It asks for no name and leaves no room for free text.
func Questionnaire(items []programme.Asked, words *lang.Printer, o Options) page.Document {
	kind := items[0].Kind
	w, d := alone(words, o, "form.title_"+strings.ReplaceAll(kind, " ", "_"))
	blocks := []page.Block{w.para("form.lead", nil)}
	if kind == "looking back" {
		blocks = append(blocks, w.para("form.back", nil))
	} else {
		blocks = append(blocks, w.para("form.code", nil), page.Fields{Lines: [][]page.Field{{{Label: w.say("form.code_is", nil)}}}})
	}
	const five = "☐ 1  ☐ 2  ☐ 3  ☐ 4  ☐ 5"
	t := page.Table{RowHead: true, Columns: w.columns("form.col.item", "form.col.now")}
	t.Weigh(3, 2)
	if kind == "looking back" { // now first, then before: people judge the past by what they know now
		t.Columns = w.columns("form.col.item", "form.col.now", "form.col.before")
		t.Weigh(3, 2, 2)
	}
	for _, q := range items {
		if q.Answer != "five" {
			continue
		}
		cells := []page.Text{page.Literal(q.Text(words.Language)), five}
		if kind == "looking back" {
			cells = append(cells, five)
		}
		t.Add(cells...)
	}
	if len(t.Rows) > 0 {
		blocks = append(blocks, w.para("form.five", nil), t)
	}
	for _, q := range items {
		ask := page.Para{Text: page.Bold(q.Text(words.Language))}
		switch q.Answer {
		case "yes":
			blocks = append(blocks, together(ask, page.List{Kind: page.Boxes, Items: []page.Text{w.text("form.yes", nil), w.text("form.no", nil)}}))
		case "one of":
			var list []page.Text
			for _, c := range q.Options(words.Language) {
				list = append(list, page.Literal(strings.TrimSpace(c)))
			}
			blocks = append(blocks, together(ask, page.List{Kind: page.Boxes, Items: list}))
		case "number":
			blocks = append(blocks, together(ask, page.Fields{Lines: [][]page.Field{{{Label: w.say("form.number", nil)}}}}))
		}
	}
	d.Sections = []page.Section{{ID: "form", Blocks: append(blocks, page.Para{Text: w.text("form.box", nil), Small: true})}}
	return d
}

// peopleRows is how many people fit on a sign-in sheet.
const peopleRows = 17

// SignIn makes a sign-in sheet: a name at most, how to be reached, and consent to be asked later; nothing on groups. Heads are
// counted apart, since not everybody signs.
func SignIn(event string, words *lang.Printer, o Options) page.Document {
	w, d := alone(words, o, "leader.sign.title")
	d.Subtitle = event
	l := page.LogSheet{Rows: peopleRows, Height: 26, Columns: []page.LogColumn{{Title: w.say("leader.sign.name", nil), Weight: 3}, {Title: w.say("leader.sign.reach", nil), Weight: 3}, {Title: w.say("form.ask_later", nil), Weight: 1.2}}}
	if o.Large {
		l.Rows = peopleRows / 2
	}
	d.Sections = []page.Section{{ID: "sign", Blocks: []page.Block{w.para("leader.sign.lead", nil),
		page.Fields{Lines: [][]page.Field{{{Label: w.say("form.day", nil)}, {Label: w.say("form.counted_by", nil)}}, {{Label: w.say("form.grown", nil)}, {Label: w.say("form.youth", nil)}}}},
		l, page.Para{Text: w.text("form.sign_foot", nil), Small: true}}}}
	return d
}

// BlankSlips makes slips without a name, as the leader of a workshop has them.
func BlankSlips(words *lang.Printer, o Options) page.Document {
	w, d := alone(words, o, "leader.slip.title")
	d.Margin = FaceMargin
	d.Sections = []page.Section{{ID: "slips", Blocks: leader{writer: w}.slips()}}
	return d
}

// KeyedApart lists the places where two people keyed a sheet differently.
func KeyedApart(a programme.Agreement, words *lang.Printer) page.Document {
	w, d := alone(words, Options{}, "twice.title")
	blocks := []page.Block{w.para("twice.count", finding.Args{"Rows": w.words.Number(float64(a.Rows)), "Cells": w.words.Number(float64(a.Cells)), "Count": len(a.Apart)})}
	if len(a.Apart) > 0 {
		t := page.Table{RowHead: true, Compact: true, Columns: w.columns("twice.col.row", "twice.col.column", "twice.col.first", "twice.col.second", "+twice.col.line", "+twice.col.there")}
		t.Weigh(2, 1.5, 2, 2, 1, 1)
		line := func(n int) page.Text {
			if n == 0 {
				return "–"
			}
			return page.Text(w.words.Number(float64(n)))
		}
		for _, x := range a.Apart {
			column, first, second := page.Literal(x.Column), page.Literal(x.First), page.Literal(x.Second)
			if x.Column == "" {
				column = w.text("twice.whole", nil)
			}
			t.Add(page.Literal(x.Row), column, first, second, line(x.Line), line(x.Other))
		}
		blocks = append(blocks, t, w.para("twice.paper", nil))
	}
	d.Sections = []page.Section{{ID: "twice", Blocks: blocks}}
	return d
}
