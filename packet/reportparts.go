package packet

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"raftwright/finding"
	"raftwright/page"
	"raftwright/programme"
	"raftwright/trial"
)

// about is section A: the range, the rules, what was read.
func (w reporter) about() []page.Block {
	e := w.e
	name := e.Funder.ID
	if label, ok := e.Source(e.Funder.Label); ok && label != "" {
		name += ", " + label
	}
	out := []page.Block{w.para("a_funder", finding.Args{"Name": page.Literal(name)}),
		w.para("range", w.days())}
	if e.Early() {
		out = append(out, w.para("a_early", nil))
	}
	out = append(out, w.para("a_rules", finding.Args{"Once": e.Funder.Series == "once", "OnceADay": e.Funder.SameDay == "once", "Least": e.Funder.Threshold}), w.para("a_all", nil))
	if len(e.Rates) == 0 {
		out = append(out, w.para("a_no_rate", nil))
	}
	out = append(append(append(out, w.rates("a_rate", e.Rates)...), w.rates("a_match", e.Matched)...), w.para("a_never", nil), w.rules())
	if !e.Public {
		t := page.Table{Compact: true, Stack: true, RowHead: true, Columns: w.columns("col_table", "+col_records", "+col_left", "col_sum"), Note: w.text("a_left_note", nil)}
		for _, of := range e.Tables() {
			left := page.Text("–")
			if of.Dated {
				left = page.Text(w.words.Fixed(float64(of.Left), 0))
			}
			t.Add(inBook(w.words, of.Name, ""), page.Text(w.words.Fixed(float64(of.Rows), 0)), left, page.Text(of.Mark))
		}
		out = append(out, t)
		if names := e.Unread(); len(names) > 0 {
			out = append(out, w.para("a_unread", finding.Args{"Names": page.Literal(strings.Join(names, ", "))}))
		}
	}
	return append(out, page.Fields{Lines: [][]page.Field{{{Label: w.say("a_made", nil)}, {Label: w.say("a_read_by", nil)}, {Label: w.say("a_on", nil)}}}})
}

// took is section D, with the steps taken to reach those who were missing.
func (w reporter) took() []page.Block {
	out := w.figures("D")()
	if w.e.Funder.Parity == "yes" && !w.e.Public && len(w.e.Parity) > 0 {
		t := page.Table{Caption: w.text("parity", nil), Compact: true, Stack: true, RowHead: true, Columns: w.columns("col_county", "col_group", "+col_need", "+col_met", "col_verdict", "col_source"), Note: w.text("parity_note", w.by())}
		t.Weigh(2, 4, 2, 3, 2, 3)
		percent := func(x float64) string { return w.words.Fixed(100*x, 1) }
		for _, p := range w.e.Parity {
			t.Add(w.county(p.County), page.Text(w.name(p.Group)), page.Text(percent(p.Need)), page.Text(percent(p.Low)+"–"+percent(p.High)), page.Text(w.name(p.Verdict)), page.Literal(p.Source))
		}
		out = append(out, t)
	}
	efforts := w.e.Efforts()
	if len(efforts) == 0 {
		return out
	}
	if w.e.Public {
		return append(out, w.para("efforts_count", finding.Args{"Count": len(efforts)}))
	}
	t := page.Table{Caption: w.text("efforts", nil), RowHead: true, Columns: w.columns("col_day", "col_what", "col_record")}
	for _, x := range efforts {
		t.Add(page.Text(w.words.Date(x.Date.Time())), page.Literal(x.What), page.Literal(cmp.Or(x.Event, x.County)))
	}
	return append(out, t)
}

// adopted is section F, with what silence and a wide interval mean.
func (w reporter) adopted() []page.Block {
	out := w.figures("F")()
	for _, q := range w.e.Questions(w.words.Language) {
		if q.Text != "" {
			out = append(out, w.para("f_question", finding.Args{"Wave": page.Literal(q.Wave), "Text": page.Literal(q.Text)}))
		}
	}
	for _, wave := range w.e.Waves() {
		if f, ok := w.find("wave " + wave + ": answer_rate"); ok && w.e.Report.Silent(f.Number) {
			out = append(out, w.para("f_silent", finding.Args{"Wave": wave, "Response": RuleValue(w.rule("response"), w.words)}))
		}
		low, ok := w.find("wave " + wave + ": low")
		high, also := w.find("wave " + wave + ": high")
		if ok && also && w.e.Report.Wide(programme.Interval{Low: low.Number, High: high.Number}) {
			out = append(out, w.para("f_wide", finding.Args{"Wave": wave, "Points": w.points(w.rule("wide").Value)}))
		}
	}
	return out
}

// grown is section G, with the prices that its values rest on.
func (w reporter) grown() []page.Block {
	out := w.figures("G")()
	for _, f := range w.e.Report.Figures {
		if (f.Name() == "pounds_given" || f.Name() == "heads_given") && f.County == programme.All && f.Number > 0 {
			out = append(out, w.para("g_giving", nil))
			break
		}
	}
	prices := w.e.Retail()
	if len(prices) == 0 {
		return out
	}
	t := page.Table{Caption: w.text("g_prices", nil), Compact: true, RowHead: true, Columns: w.columns("col_day", "+col_price", "col_source")}
	for _, p := range prices {
		source, ok := w.e.Source(p.Source)
		if !ok {
			source = w.say("withheld_source", nil)
		}
		what := "$" + p.Dollars.String() + "/" + p.Unit
		if crop, ok := w.e.Source(p.Crop); ok {
			what += " (" + crop + ")"
		}
		t.Add(page.Text(w.words.Date(p.Date.Time())), page.Literal(what), page.Literal(source))
	}
	return append(out, t)
}

// compared is section I: the trials.
func (w reporter) compared() []page.Block {
	trials := w.e.Weighed()
	if len(trials) == 0 {
		return []page.Block{w.para("i_no_trials", nil)}
	}
	out := []page.Block{w.para("i_lead", finding.Args{"Count": len(trials), "Usual": w.rule("level").Value == "0.95"})}
	number := func(x float64) string { return w.words.Fixed(x, 1) }
	for _, t := range trials {
		args := finding.Args{"Name": page.Literal(t.ID), "A": page.Literal(t.A), "B": page.Literal(t.B), "Plots": t.Comparison.A, "Others": t.Comparison.B, "Left": t.Left,
			"Difference": number(t.Difference), "Low": number(t.Low), "High": number(t.High), "Least": number(t.Least), "Level": w.level(), "Usual": w.rule("power").Value == "0.80", "Power": w.rule("power").Value}
		if t.Verdict != trial.Shown && t.Verdict != trial.NotShown {
			out = append(out, w.para("i_none", args))
			continue
		}
		sentence, verdict := "i_sites", "i_not_shown"
		if t.Paired {
			sentence = "i_pairs"
		}
		if t.Verdict == trial.Shown {
			verdict = "i_shown"
		}
		text := w.text(sentence, args) + " " + page.Bold(w.say(verdict, args))
		if t.Verdict == trial.Shown { // else the verdict says it
			text += " " + w.text("i_least", args)
		}
		out = append(out, page.Para{Text: text})
	}
	return append(out, w.plots(trials)...)
}

// exceptions is section K: exceptions, repeats, corrections, and what has changed.
func (w reporter) exceptions() []page.Block {
	e := w.e
	out := w.tables("K")
	noticed := append(slices.Clone(e.Exceptions), e.Noticed...)
	if e.Public {
		noticed = e.Exceptions // the public is told of these alone
	}
	if len(noticed) == 0 {
		out = append(out, w.para("k_none", nil))
	} else if !e.Public {
		t := page.Table{RowHead: true, Columns: w.columns("col_record", "col_what")}
		for _, x := range noticed {
			t.Add(page.Literal(x.ID), page.Text(w.name(x.What)))
		}
		out = append(out, t)
	}
	made := e.Corrections()
	switch {
	case e.Public:
		out = append(out, w.para("k_corrections_count", finding.Args{"Count": len(made)}))
	case len(made) > 0:
		t := page.Table{Caption: w.text("k_corrections", nil), RowHead: true, Columns: w.columns("col_day", "col_record", "col_change", "col_reason")}
		for _, c := range made {
			change := w.say("k_void", nil)
			if c.Action == "change" {
				field, _, _ := strings.Cut(nameInBook(w.words, c.Table, c.Field), " (") // without what helps who fills it in
				change = w.say("k_change", finding.Args{"Field": field, "Old": saidInBook(w.words, c.Table, c.Field, c.Old), "New": saidInBook(w.words, c.Table, c.Field, c.New)})
			}
			t.Add(page.Text(w.words.Date(c.MadeOn.Time())), page.Literal(nameInBook(w.words, c.Table, "")+" "+c.Record), page.Literal(change), page.Literal(c.Reason))
		}
		out = append(out, t)
	}
	if !e.Public && len(e.Removed) > 0 {
		t := page.Table{Caption: w.text("k_repeats", nil), Compact: true, RowHead: true, Fold: 2, Columns: w.columns("col_before", "col_now")}
		for _, x := range e.Removed {
			stayed := page.Literal(e.ID(x.Stayed))
			if x.Stayed == x.Ref {
				stayed = "–" // the code that told it was destroyed
			}
			t.Add(page.Literal(e.ID(x.Ref)), stayed)
		}
		out = append(out, t)
	}
	return append(out, w.changed()...)
}

// changed tells what differs from the earlier report.
func (w reporter) changed() []page.Block {
	if w.earlier == nil {
		return nil
	}
	day := finding.Args{"Day": w.words.Date(w.earlier.AsOf.Time())}
	changes := w.e.Changes(w.earlier)
	if len(changes) == 0 {
		return []page.Block{w.para("k_same", day)}
	}
	if w.e.Public { // two values side by side would do the subtraction
		day["Count"] = len(changes)
		return []page.Block{w.para("k_changed_count", day)}
	}
	t := page.Table{Caption: w.text("k_changed", day), Compact: true, RowHead: true, Columns: w.columns("col_mark", "col_figure", "+col_before", "+col_now")}
	t.Weigh(1, 6, 2, 2)
	for _, c := range changes {
		label := w.label(c.Now)
		if c.Now.County != programme.All {
			label += " (" + w.county(c.Now.County).Plain() + ")"
		}
		t.Add(page.Text(w.marks[c.Now.Name()]), page.Literal(label), page.Literal(w.value(c.Before)), page.Literal(w.value(c.Now)))
	}
	return []page.Block{t}
}

// safe is section L: what was done so that no small group shows.
func (w reporter) safe() []page.Block {
	e := w.e
	out := []page.Block{w.para("l_lead", finding.Args{"Most": e.Funder.Threshold - 1})}
	if !e.Public {
		return append(append(out, w.tables("L")...), w.beforeAndAfter()...)
	}
	if e.Hidden == nil {
		out = append(out, w.para("l_unsafe", nil))
	}
	out = append(out, w.para("l_attack", finding.Args{"Count": strconv.Itoa(e.Secrets), "Least": e.Funder.Threshold, "Held": strconv.Itoa(e.Held)}))
	if len(e.Near) == 0 {
		return append(out, w.para("l_no_near", nil))
	}
	out = append(out, w.para("l_near", finding.Args{"Count": strconv.Itoa(len(e.Near)), "Least": e.Funder.Threshold}))
	switch last, wait := e.Together(); {
	case last != 0:
		out = append(out, w.para("l_together", finding.Args{"From": w.words.Date(e.Funder.From.Time()), "To": w.words.Date(last.Time())}))
	case wait:
		out = append(out, w.para("l_wait", finding.Args{"From": w.words.Date(e.Funder.From.Time()), "Least": w.rule("sites").Value}))
	}
	return out
}

// mostNamed bounds how many records of a figure the paper names; the JSON names all.
const mostNamed = 60

// same is section M: how the same figures are had as a file; inside with a mark of each list of records.
func (w reporter) same() []page.Block {
	out := []page.Block{w.para("m_lead", nil)}
	if w.e.Public {
		return out
	}
	t := page.Table{Compact: true, RowHead: true, Fold: 3, Columns: w.columns("col_mark", "+col_records", "col_sum")}
	w.each(func(f programme.Figure) {
		t.Add(page.Text(w.marks[f.Name()]), page.Text(w.words.Fixed(float64(len(f.From)), 0)), page.Text(w.e.Digest(f)))
	})
	return append(out, t)
}

// each gives the figures of all counties that open to records.
func (w reporter) each(do func(programme.Figure)) {
	for _, f := range w.e.Figures {
		if f.County == programme.All && len(f.From) > 0 {
			do(f)
		}
	}
}

// records names the records of each figure; inside only.
func (w reporter) records() []page.Block {
	if w.e.Public {
		return nil
	}
	t := page.Table{Compact: true, RowHead: true, Columns: w.columns("col_mark", "col_ids")}
	t.Weigh(1, 11)
	told, cut := map[string]bool{}, false
	w.each(func(f programme.Figure) {
		of := w.e.Digest(f)
		if told[of] { // another figure opens to the same records
			return
		}
		told[of] = true
		names, more := w.e.IDs(f, mostNamed), len(f.From)-mostNamed
		for _, l := range w.e.Open(f, 0, 0) { // slips, by county
			n, _ := strconv.Atoi(l.Values[1])
			names, more = append(names, w.county(l.ID).Plain()+": "+l.Values[1]+";"), more-n
		}
		text := page.Literal(strings.TrimSuffix(strings.Join(names, " "), ";"))
		if more > 0 {
			cut = true
			text += " " + w.text("n_more", finding.Args{"Count": strconv.Itoa(more)})
		}
		t.Add(page.Text(w.marks[f.Name()]), text)
	})
	if cut {
		return []page.Block{w.para("n_cut", finding.Args{"Most": mostNamed}), t}
	}
	return []page.Block{t}
}
