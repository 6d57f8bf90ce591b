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
		blocks = append(blocks, w.para(ownCode(kind), nil), page.Fields{Lines: [][]page.Field{{{Label: w.say("form.code_is", nil)}}}})
	}
	blocks = append(blocks, w.items(items, "form.col.before")...)
	d.Sections = []page.Section{{ID: "form", Blocks: append(blocks, page.Para{Text: w.text("form.box", nil), Small: true})}}
	return d
}

// oneToFive are the boxes of a scale.
var oneToFive = ticks("1", "2", "3", "4", "5")

// ticks are boxes side by side. Each holds close to its own word and stands well apart from the next, so that nobody ticks the wrong one.
func ticks(words ...string) page.Text {
	const apart = page.Glue + page.Glue + " "
	var out []string
	for _, x := range words {
		out = append(out, "☐"+page.Glue+x)
	}
	return page.Text(strings.Join(out, apart))
}

// items are the items of a form with the boxes to tick. Looking back, what is rated or said by yes or no is asked of now first, then of
// before: people judge the past by what they know now.
func (w writer) items(items []programme.Asked, before string) (blocks []page.Block) {
	for _, scale := range []struct {
		answer, lead, item string
		boxes              page.Text
	}{{"five", "form.five", "form.col.item", oneToFive}, {"yes", "", "form.col.do", ticks(w.say("form.yes", nil), w.say("form.no", nil))}} {
		t := page.Table{RowHead: true}
		for _, q := range items {
			back := q.Kind == "looking back"
			if q.Answer != scale.answer || scale.answer == "yes" && !back {
				continue
			}
			cells := []page.Text{page.Literal(q.Text(w.words.Language)), scale.boxes}
			if t.Columns = w.columns(scale.item, "form.col.now"); back {
				t.Columns = w.columns(scale.item, "form.col.now", before)
				cells = append(cells, scale.boxes)
			}
			t.Add(cells...)
		}
		if len(t.Rows) == 0 {
			continue
		}
		if t.Weigh(3, 2); len(t.Columns) > 2 {
			t.Weigh(3, 2, 2)
		}
		if scale.lead != "" {
			blocks = append(blocks, w.para(scale.lead, nil))
		}
		blocks = append(blocks, t)
	}
	for _, q := range items {
		text := page.Bold(q.Text(w.words.Language))
		switch {
		case q.Answer == "yes" && q.Kind != "looking back":
			blocks = append(blocks, w.yesOrNo(text))
		case q.Answer == "one of":
			var list []page.Text
			for _, c := range q.Options(w.words.Language) {
				list = append(list, page.Literal(strings.TrimSpace(c)))
			}
			blocks = append(blocks, together(page.Para{Text: text}, page.List{Kind: page.Boxes, Items: list}))
		case q.Answer == "number":
			blocks = append(blocks, together(page.Para{Text: text}, page.Fields{Lines: [][]page.Field{{{Label: w.say("form.number", nil)}}}}))
		}
	}
	return blocks
}

func (w writer) yesOrNo(text page.Text) page.Block {
	return together(page.Para{Text: text}, page.List{Kind: page.Boxes, Items: []page.Text{w.text("form.yes", nil), w.text("form.no", nil)}})
}

// ownCode is what a form says of the own code: the first asks to choose one, those that follow for the same again. Who chooses anew joins nothing.
func ownCode(kind string) string {
	if kind == "before" {
		return "form.code"
	}
	return "form.own_again"
}

// FollowUp is a wave on paper: what its link asks, for who answers by post. Consent to tell a story has a name, so that it stands on a slip of
// its own, which is cut off. At its end it says of which wave and letter it is, for who keys it.
func FollowUp(wave programme.Wave, items []programme.Asked, mailing int, words *lang.Printer, o Options) page.Document {
	kind := "later"
	if len(items) > 0 {
		kind = items[0].Kind
	}
	w, d := alone(words, o, "form.title_"+strings.ReplaceAll(kind, " ", "_"))
	blocks := []page.Block{w.para("form.lead", nil), w.para(ownCode(kind), nil), page.Fields{Lines: [][]page.Field{{{Label: w.say("form.code_is", nil)}}, {{Label: w.say("form.pounds", nil)}}}}}
	if question := wave.Asks(words.Language); question != "" {
		blocks = append(blocks, w.yesOrNo(page.Bold(question)))
	}
	if kind == "looking back" {
		blocks = append(blocks, w.para("web.answer.back", nil))
	}
	blocks = append(blocks, w.items(items, "web.answer.before")...)
	blocks = append(blocks, page.Para{Text: w.text("form.wave_is", finding.Args{"Name": page.Literal(wave.ID), "Number": mailing}), Small: true},
		together(page.Para{Text: w.text("form.cut", nil), Small: true}, page.Heading{Level: 1, Text: w.say("web.answer.story", nil)}, page.List{Kind: page.Boxes, Items: []page.Text{w.text("web.answer.tells", nil)}},
			page.Fields{Lines: [][]page.Field{{{Label: w.say("leader.sign.name", nil)}}, {{Label: w.say("leader.sign.reach", nil)}}}}, page.Para{Text: w.text("form.tells_foot", nil), Small: true}))
	d.Sections = []page.Section{{ID: "form", Blocks: blocks}}
	return d
}

// peopleRows is how many people fit on a sign-in sheet in either language.
const peopleRows = 16

// SignIn makes a sign-in sheet: a name at most, how to be reached, and consent to be asked later; nothing on groups. Heads are
// counted apart, since not everybody signs.
func SignIn(event string, words *lang.Printer, o Options) page.Document {
	w, d := alone(words, o, "leader.sign.title")
	d.Subtitle = event
	l := page.LogSheet{Rows: peopleRows, Height: 26, Columns: []page.LogColumn{{Title: w.say("leader.sign.name", nil), Weight: 3}, {Title: w.say("leader.sign.reach", nil), Weight: 3}, {Title: w.say("form.ask_later", nil), Weight: 1.2}}}
	if o.Large {
		l.Rows = peopleRows/2 - 3 // with the words below on one page
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
	d.Sections = []page.Section{{ID: "slips", Blocks: leader{writer: w, older: o.Older, asks: o.For}.slips()}}
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
