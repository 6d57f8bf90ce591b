package packet

import (
	"raftwright/finding"
	"raftwright/lang"
	"raftwright/page"
	"raftwright/programme"
)

// tallyRows is how many questions fit on a tally sheet, with room for the strokes of a class.
const tallyRows = 8

// Tally makes the sheet on which a grown-up counts how many of a class were right: before, where the class was asked then, and now. Strokes stand for
// pupils: it has room for the name of the group and for no pupil's. The items are those that were thought of before; there may be none.
func Tally(event string, items []programme.Asked, words *lang.Printer, o Options) page.Document {
	w, d := alone(words, o, "form.tally_title")
	d.Subtitle = event
	blocks := []page.Block{w.para("form.tally_lead", nil),
		page.Fields{Lines: [][]page.Field{{{Label: w.say("form.tally_group", nil), Weight: 2}, {Label: w.say("form.day", nil)}}, {{Label: w.say("form.tally_pupils", nil)}, {Label: w.say("form.counted_by", nil), Weight: 2}}}},
		w.para("form.tally_grades", nil)}
	l := page.LogSheet{Rows: tallyRows, Height: 44, Columns: []page.LogColumn{{Title: w.say("form.tally_item", nil)},
		{Title: w.say("form.tally_before", nil), Hint: w.say("form.tally_right", nil), Weight: 1.5}, {Title: w.say("form.tally_before", nil), Hint: w.say("form.tally_not", nil), Weight: 1.5},
		{Title: w.say("form.tally_now", nil), Hint: w.say("form.tally_right", nil), Weight: 1.5}, {Title: w.say("form.tally_now", nil), Hint: w.say("form.tally_not", nil), Weight: 1.5}}}
	if o.Large {
		l.Rows = tallyRows / 2
	}
	if len(items) > 0 { // each stands in its line, so that no stroke goes to another; a line or more is left for what was not thought of
		l.Columns[0].Weight, l.Rows = 3, max(len(items), l.Rows-1)
	}
	for _, q := range items {
		l.Names = append(l.Names, w.say("form.tally_line", finding.Args{"Item": q.Item, "Text": q.Text(w.words.Language)}))
	}
	d.Sections = []page.Section{{ID: "tally", Blocks: append(blocks, l, together(page.Para{Text: w.text("form.tally_foot", nil), Small: true}))}}
	return d
}
