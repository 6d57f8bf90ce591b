package packet

import (
	"fmt"
	"strings"

	"raftwright/answer"
	"raftwright/page"
	"raftwright/plan"
	"raftwright/source"
)

// assumptions lists what was taken for the grower and what would replace it.
func (w writer) assumptions() (page.Section, bool) {
	if len(w.p.Assumptions) == 0 {
		return page.Section{}, false
	}
	t := page.Table{Compact: true, Columns: w.columns("packet.assume.col.what", "packet.assume.col.instead")}
	t.Columns[0].Weight, t.Columns[1].Weight = 3, 2
	for _, a := range w.p.Assumptions {
		text, instead := w.words.Assumption(a)
		t.Rows = append(t.Rows, page.Row{Cells: []page.Text{page.Text(text), page.Text(instead)}})
	}
	return w.section("assume", w.para("packet.assume.lead", nil), t), true
}

// sources lists what the figures of this plan rest on.
func (w writer) sources() (page.Section, bool) {
	var notes []page.SourceNote
	for i, s := range answer.Cited(w.p.Findings, w.p.Assumptions, w.p.Working(plan.Everything)) {
		var parts []string
		for _, x := range []string{s.Author, s.Title, s.Where, s.Year} {
			if x != "" {
				parts = append(parts, x)
			}
		}
		text := strings.Join(parts, ". ")
		if s.Standing != source.Published {
			text += " (" + w.say(standings[s.Standing], nil) + ")"
		}
		notes = append(notes, page.SourceNote{Mark: fmt.Sprint(i + 1), Text: page.Text(strings.ReplaceAll(text, "*", `\*`))})
	}
	return w.section("source", w.para("packet.source.lead", nil), page.Notes{Items: notes}), len(notes) > 0
}

var standings = map[source.Standing]string{
	source.Published: "packet.source.published", source.Practice: "packet.source.practice",
	source.Memory: "packet.source.memory", source.Own: "packet.source.own",
}

// working prints the derivation of every figure, in order.
func (w writer) working(asked plan.Part) page.Section {
	s := page.Section{ID: "working", Title: w.say("packet.working.title", nil)}
	t := page.Table{Compact: true, Columns: w.columns("packet.working.col.what", "packet.working.col.formula", "+packet.working.col.value")}
	t.Columns[0].Weight, t.Columns[1].Weight, t.Columns[2].Weight = 2, 3, 1
	for _, x := range w.p.Working(asked) {
		var with []string
		for _, in := range x.Inputs {
			with = append(with, strings.TrimSpace(fmt.Sprintf("%s = %s %s", in.Symbol, w.words.Number(in.Value), in.Unit)))
		}
		name, formula := w.words.Step(x)
		if len(with) > 0 {
			formula += "; " + strings.Join(with, ", ")
		}
		if x.Symbol != "" {
			name = x.Symbol + ": " + name
		}
		t.Rows = append(t.Rows, page.Row{Cells: []page.Text{
			page.Text(name), page.Text(strings.ReplaceAll(formula, "*", "·")), page.Text(strings.TrimSpace(w.words.Number(x.Value) + " " + x.Unit))}})
	}
	s.Blocks = []page.Block{t}
	return s
}
