package packet

import (
	"slices"
	"strconv"
	"strings"

	"raftwright/finding"
	"raftwright/page"
	"raftwright/programme"
)

// heard is section C: a line a unit, and inside each item with who counted it.
func (w reporter) heard() []page.Block {
	out := w.figures("C")()
	items := w.e.Heard()
	if w.e.Public || len(items) == 0 {
		return out
	}
	t := page.Table{Caption: w.text("c_items", nil), Compact: true, Stack: true, RowHead: true, Columns: w.columns("col_record", "col_day", "col_what", "+col_value", "col_source")}
	t.Weigh(2, 3, 6, 2, 6)
	for _, x := range items {
		t.Add(page.Literal(x.ID), page.Text(w.words.Date(x.Date.Time())), page.Literal(x.Title+", "+w.name(x.Unit)), page.Text(w.words.Fixed(float64(x.Count), 0)), page.Literal(x.Source))
	}
	return append(out, t)
}

// learned is section E, with the words of each item that was answered.
func (w reporter) learned() []page.Block {
	out := w.figures("E")()
	if !w.e.Public {
		out = append(out, w.classes()...)
	}
	items := w.e.Items()
	if len(items) == 0 {
		return out
	}
	t := page.Table{Caption: w.text("e_items", nil), Compact: true, RowHead: true, Columns: w.columns("col_item", "col_form", "col_text")}
	t.Weigh(2, 3, 8)
	for _, q := range items {
		t.Add(page.Literal(w.name(q.Item)), page.Text(w.name(q.Kind)), page.Literal(q.Text(w.words.Language)))
	}
	return append(out, t)
}

// classes lists what each class answered; not of a small one, which is known in its school by its faces.
func (w reporter) classes() []page.Block {
	results := w.e.ClassResults()
	if len(results) == 0 {
		return nil
	}
	t := page.Table{Caption: w.text("e_classes", nil), Note: w.text("e_classes_note", nil), Compact: true, Stack: true, RowHead: true,
		Columns: w.columns("col_record", "col_class", "col_grades", "col_item", "+figure.right_before", "+figure.right_after")}
	t.Weigh(2, 4, 2, 3, 3, 3)
	told := func(x programme.ClassResult, text string) page.Text {
		yes, all, ok := strings.Cut(text, " of ")
		switch {
		case !x.Told:
			return w.text("few_pupils", finding.Args{"Least": w.rule("pupils").Value})
		case !ok:
			return w.text("not_asked", nil)
		}
		return w.text("of", finding.Args{"Yes": yes, "All": all})
	}
	for _, x := range results {
		t.Add(page.Literal(x.ID), page.Literal(x.Group), page.Text(x.Grades), page.Literal(w.name(x.Item)), told(x, x.Before), told(x, x.After))
	}
	return []page.Block{t}
}

// mostPlots bounds how many plots of a trial the paper lists; the table of the records has all.
const mostPlots = 200

// plots lists the plots of the trials with what they weighed, and the lot by which they were drawn; inside only.
func (w reporter) plots(trials []programme.Trial) (out []page.Block) {
	if w.e.Public {
		return nil
	}
	for _, x := range trials {
		t := page.Table{Caption: w.text("i_plots", finding.Args{"Name": page.Literal(x.ID), "Unit": page.Literal(x.Unit), "Seed": x.Seed.String(), "Drawn": x.Seed.Given}), Compact: true, RowHead: true, Fold: 2,
			Columns: w.columns("col_plot", "col_block", "col_side", "+col_value")}
		list := w.e.Weights(x)
		for _, p := range list[:min(len(list), mostPlots)] {
			value := p.Value.String()
			if value == "" {
				value = "–"
			}
			t.Add(page.Literal(p.Name), page.Literal(p.Block), page.Literal(p.Treatment), page.Literal(value))
		}
		if more := len(list) - mostPlots; more > 0 {
			t.Note = w.text("n_more", finding.Args{"Count": strconv.Itoa(more)})
		}
		out = append(out, t)
	}
	return out
}

// beforeAndAfter shows the table of groups as it was counted, and as it may be published; inside only.
func (w reporter) beforeAndAfter() []page.Block {
	grid := func(caption string, g programme.Grid, hidden programme.Hidden) page.Block {
		t := page.Table{Caption: w.text(caption, nil), Compact: true, RowHead: true, Columns: w.columns("col_group")}
		for _, county := range g.Rows {
			t.Columns = append(t.Columns, page.Column{Title: w.county(county), Align: page.Right})
		}
		t.Weigh(append([]float64{4}, slices.Repeat([]float64{1}, len(g.Rows))...)...)
		for j, group := range g.Columns {
			row := []page.Text{page.Text(w.name(group))}
			for i := range g.Rows {
				cell := page.Text(w.words.Fixed(float64(g.Counts[i][j]), 0))
				if hidden != nil && hidden[i][j] {
					cell = w.text("not_shown", nil)
				}
				row = append(row, cell)
			}
			t.Add(row...)
		}
		return t
	}
	public := w.e.Report.Public()
	out := []page.Block{grid("l_before", w.e.Cells.Before, nil)}
	if public.Hidden == nil {
		return append(out, w.para("l_unsafe", nil))
	}
	return append(out, grid("l_after", public.Grid, public.Hidden))
}
