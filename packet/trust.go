package packet

import (
	"fmt"

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
		t.Add(page.Text(text)+w.cite(a.Source), page.Text(instead))
	}
	return []page.Block{w.para("packet.assume.lead", nil), t}
}

// sources lists what the figures rest on: numbered as they are used in this document, else all.
func (w writer) sources() []page.Block {
	var list []source.Entry
	if w.cites != nil {
		for _, id := range w.cites.ids {
			e, _ := source.Find(id)
			list = append(list, e)
		}
	} else {
		list = answer.Cited(w.p.Findings, w.p.Assumptions, w.p.Working(plan.Everything))
	}
	var notes []page.SourceNote
	for i, s := range list {
		text := w.cited(s, w.cites != nil) // for who checks: how it was read, too
		if w.cites != nil || s.Standing != source.Published {
			text += page.Text(" (" + w.standing(s) + ")")
		}
		notes = append(notes, page.SourceNote{Mark: fmt.Sprint(i + 1), Text: text})
	}
	lead := "packet.source.lead"
	if w.cites != nil {
		lead = "packet.working.sources"
	}
	return []page.Block{w.para(lead, nil), page.Notes{Items: notes}}
}

// working prints the derivation of every figure, in order, one line a step.
func (w writer) working() []page.Block {
	t := page.Table{Compact: true, Columns: w.columns("packet.working.col.what", "packet.working.col.formula", "+packet.working.col.value")}
	t.Weigh(2, 3, 1)
	for _, s := range w.p.Working(w.asked) {
		s = w.words.Step(s)
		t.Add(named(s.Symbol, s.Name), w.rule(s.Formula, s.Inputs), w.figured(s.Value, s.Unit))
	}
	return []page.Block{t}
}
