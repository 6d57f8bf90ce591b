package packet

import (
	"slices"
	"strconv"
	"strings"

	"raftwright/finding"
	"raftwright/page"
	"raftwright/programme"
)

// find gives a figure of all counties, false where it is not shown.
func (w reporter) find(name string) (programme.Figure, bool) {
	for _, f := range w.e.Figures {
		if f.Name() == name && f.County == programme.All {
			return f, f.Why == ""
		}
	}
	return programme.Figure{}, false
}

// first is page one: at most seven figures, what is not known, and the story.
func (w reporter) first() []page.Block {
	figures := page.KeyFigures{Columns: 3}
	add := func(id, value, note string, f programme.Figure) {
		at := w.say("at", finding.Args{"Mark": w.marks[f.Name()], "Records": len(f.From)})
		if len(f.From) == 0 {
			at = w.say("at_mark", finding.Args{"Mark": w.marks[f.Name()]})
		}
		figures.Items = append(figures.Items, page.KeyFigure{Label: w.say(id, nil), Value: value, Note: note, At: at, To: w.rowOf(f.Name())})
	}
	if f, ok := w.find("direct_contacts"); ok {
		add("reach", w.value(f), "", f)
	}
	if f, ok := w.find("people_known"); ok {
		low, _ := w.find("people_at_least")
		high, _ := w.find("people_at_most")
		add("people", w.value(f), w.say("between", finding.Args{"Low": w.value(low), "High": w.value(high)}), f)
	}
	if f, ok := w.find("direct_contacts"); ok {
		n := 0
		for _, g := range w.e.Report.Figures {
			if g.Measure == f.Measure && g.County != programme.All && g.Number > 0 {
				n++
			}
		}
		add("counties", strconv.Itoa(n), "", f)
	}
	w.rose(add)
	for _, wave := range w.e.Waves() {
		f, ok := w.find("wave " + wave + ": share")
		if !ok {
			continue
		}
		asked := ""
		if sent, ok := w.find("wave " + wave + ": sent"); ok {
			asked = w.value(sent)
		}
		add("doing", w.ofAll(wave), w.say("yes_in", finding.Args{"Wave": wave, "Sent": asked, "Level": w.level(), "Low": w.shown("wave " + wave + ": low"), "High": w.shown("wave " + wave + ": high")}), f)
		break
	}
	if f, ok := w.find("pounds_given"); ok {
		add("grown", w.value(f), w.say("eaten", finding.Args{"Home": w.shown("pounds_kitchen"), "School": w.shown("pounds_cafeteria"), "Sold": w.shown("pounds_sold")}), f)
	}
	if f, ok := w.find("hours_service"); ok {
		add("hours", w.value(f), "", f)
	}
	out := []page.Block{figures, page.Heading{Text: w.say("not_known", nil)}, page.List{Kind: page.Bullets, Items: w.unknown()}, page.Heading{Text: w.say("story", nil)}}
	return append(out, w.story()...)
}

// shown gives a figure as it is printed.
func (w reporter) shown(name string) string {
	f, _ := w.find(name)
	switch {
	case f.Text == "":
		return "?"
	case f.Why != "":
		return w.say("not_shown", nil)
	}
	return w.value(f)
}

// ofAll gives how many of those who answered a wave said yes.
func (w reporter) ofAll(wave string) string {
	return w.say("of", finding.Args{"Yes": w.shown("wave " + wave + ": yes"), "All": w.shown("wave " + wave + ": answered")})
}

// rose adds the first question of which it is shown how many rose; without one, the first that classes of pupils were asked.
func (w reporter) rose(add func(id, value, note string, f programme.Figure)) {
	for _, f := range w.e.Figures {
		id, _ := w.id(f)
		if f.Section != "E" || id != "rose" || f.Why != "" {
			continue
		}
		_, of := w.id(f)
		pairs := w.shown(f.Of[:len(f.Of)-len("rose")] + "pairs")
		add("learned", w.say("of", finding.Args{"Yes": w.value(f), "All": pairs}), w.say("rose_in", finding.Args{"Item": of}), f)
		return
	}
	for _, f := range w.e.Figures {
		if id, of := w.id(f); f.Section == "E" && f.Why == "" && (id == "right_after" || id == "right_after_alone") {
			add("learned", w.value(f), w.say("right_in", finding.Args{"Item": of}), f)
			return
		}
	}
}

// unknown lists what is not known, a line each.
func (w reporter) unknown() []page.Text {
	var out []page.Text
	if f, ok := w.find("unknown_share_race"); ok {
		out = append(out, w.text("unknown_race", finding.Args{"Share": w.value(f)}))
	}
	if f, ok := w.find("unknown_share_where_slips"); ok {
		out = append(out, w.text("unknown_slips", finding.Args{"Share": w.value(f)}))
	}
	for _, wave := range w.e.Waves() {
		if f, ok := w.find("wave " + wave + ": answered"); ok {
			sent, shown := w.find("wave " + wave + ": sent")
			switch {
			case !shown:
				out = append(out, w.text("silence_hidden", finding.Args{"Wave": wave, "Answered": w.value(f)}))
			case sent.Number > f.Number:
				out = append(out, w.text("silence", finding.Args{"Wave": wave, "Answered": w.value(f), "Sent": w.value(sent)}))
			}
		}
	}
	out = append(out, w.text("unweighed", finding.Args{"Count": w.shown("harvests_not_weighed"), "Unpriced": w.shown("harvests_without_valid_price")}))
	if f, ok := w.find("inquiries_open"); ok {
		out = append(out, w.text("open", finding.Args{"Count": w.value(f)}))
	}
	if rest, ok := w.find("people_known_without_staff"); ok {
		out = append(out, w.text("staff_counted", finding.Args{"Count": w.shown("staff_met"), "People": w.value(rest)}))
	}
	if f, ok := w.find("exceptions"); ok {
		n := int(f.Number)
		if !w.e.Public {
			n += len(w.e.Noticed)
		}
		if n > 0 {
			out = append(out, w.text("looked_at", finding.Args{"Count": strconv.Itoa(n)}))
		}
	}
	out = append(out, w.rungs())
	if w.e.Held > 0 {
		out = append(out, w.text("hidden", finding.Args{"Count": strconv.Itoa(w.e.Held)}))
	}
	return out
}

// rungs tells how far up the ladder from coming to gaining something was measured, so that no claim goes further. Liking and meaning to are asked
// for by no figure of ours.
func (w reporter) rungs() page.Text {
	above := func(f programme.Figure) bool { return f.Why == "" && f.Number > 0 }
	some := func(is func(programme.Figure) bool) bool {
		return slices.ContainsFunc(w.e.Figures, func(f programme.Figure) bool { return above(f) && is(f) })
	}
	measured := map[string]bool{
		"came": some(func(f programme.Figure) bool { return f.Measure == "direct_contacts" }),
		"learned": some(func(f programme.Figure) bool {
			id, _ := w.id(f)
			return f.Section == "E" && (id == "rose" || id == "right_after")
		}),
		"does": some(func(f programme.Figure) bool { id, _ := w.id(f); return id == "wave_answered" }),
		"gained": some(func(f programme.Figure) bool {
			return strings.HasPrefix(f.Measure, "pounds_") && f.Measure != "pounds_lost"
		}),
	}
	var steps, missing []string
	for _, step := range []string{"came", "liked", "learned", "means_to", "does", "gained"} {
		if name := w.say("rung."+step, nil); measured[step] {
			steps = append(steps, name)
		} else {
			missing = append(missing, name)
		}
	}
	if steps == nil {
		steps = []string{w.say("rung.none", nil)}
	}
	return w.text("rungs", finding.Args{"Steps": strings.Join(steps, ", "), "Missing": strings.Join(missing, ", ")})
}

// story is what was written of the year; else a sentence of what was measured.
func (w reporter) story() []page.Block {
	var out []page.Block
	for _, part := range w.e.Story(w.words.Language) {
		out = append(out, page.Para{Text: page.Literal(part)})
	}
	for _, wave := range w.e.Waves() {
		if _, ok := w.find("wave " + wave + ": share"); ok && out == nil {
			out = append(out, w.para("after", finding.Args{"Yes": w.shown("wave " + wave + ": yes"), "All": w.shown("wave " + wave + ": answered")}))
		}
	}
	if out == nil {
		out = append(out, w.para("no_story", nil))
	}
	return out
}
