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
func (w writer) assumptions() []page.Block {
	t := page.Table{Compact: true, Columns: w.columns("packet.assume.col.what", "packet.assume.col.instead")}
	t.Weigh(3, 2)
	for _, a := range w.p.Assumptions {
		text, instead := w.words.Assumption(a)
		if !w.onPaper && a.Path != "" { // whoever sits at the keyboard is told where to write it
			instead += " (" + string(a.Path) + ")"
		}
		t.Add(page.Text(text), page.Text(instead))
	}
	return []page.Block{w.para("packet.assume.lead", nil), t}
}

// sources lists what the figures of this plan rest on.
func (w writer) sources() []page.Block {
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
			text += " (" + w.say("packet.source."+strings.ReplaceAll(s.Standing.String(), " ", "_"), nil) + ")"
		}
		notes = append(notes, page.SourceNote{Mark: fmt.Sprint(i + 1), Text: page.Literal(text)})
	}
	return []page.Block{w.para("packet.source.lead", nil), page.Notes{Items: notes}}
}

// working prints the derivation of every figure, in order.
func (w writer) working() []page.Block {
	t := page.Table{Compact: true, Columns: w.columns("packet.working.col.what", "packet.working.col.formula", "+packet.working.col.value")}
	t.Weigh(2, 3, 1)
	for _, x := range w.p.Working(w.asked) {
		x = w.words.Step(x)
		var with []string
		for _, in := range x.Inputs {
			with = append(with, strings.TrimSpace(fmt.Sprintf("%s = %s %s", in.Symbol, w.words.Number(in.Value), in.Unit)))
		}
		name, formula := x.Name, x.Formula
		if len(with) > 0 {
			formula += "; " + strings.Join(with, ", ")
		}
		if x.Symbol != "" {
			name = x.Symbol + ": " + name
		}
		t.Add(page.Text(name), page.Text(strings.ReplaceAll(formula, "*", "·")), page.Text(strings.TrimSpace(w.words.Number(x.Value)+" "+x.Unit)))
	}
	return []page.Block{t}
}
