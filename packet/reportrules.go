package packet

import (
	"strconv"
	"strings"

	"raftwright/finding"
	"raftwright/lang"
	"raftwright/page"
	"raftwright/programme"
)

// rule gives a rule by which the report was made.
func (w reporter) rule(name string) programme.Held {
	for _, h := range w.e.Rules {
		if h.Name == name {
			return h
		}
	}
	return programme.Held{}
}

// level gives the level of intervals.
func (w reporter) level() string { return RuleValue(w.rule("level"), w.words) }

// by are the rules that sentences speak of.
func (w reporter) by() finding.Args {
	return finding.Args{"Level": w.level(), "Days": w.rule("price_days").Value, "Answers": w.rule("answers").Value, "Sites": w.rule("sites").Value, "Pounds": w.rule("meal_pounds").Value, "Pupils": w.rule("pupils").Value,
		"Part": RuleValue(w.rule("parity_part"), w.words), "From": RuleValue(w.rule("parity_least"), w.words)}
}

// points says a share in points of a percent.
func (w reporter) points(share string) string {
	n, _ := strconv.ParseFloat(share, 64)
	return w.words.Fixed(100*n, max(0, len(share)-len("0.30")))
}

// rates cites each rate of the hours: its figure, year, source and day, and how many hours it was put on.
func (w reporter) rates(id string, rates []programme.Rated) []page.Block {
	var out []page.Block
	for _, x := range rates {
		source, ok := w.e.Source(x.Source)
		if !ok {
			source = w.say("withheld_source", nil)
		}
		args := finding.Args{"Money": "$" + x.Dollars.String(), "Year": strconv.Itoa(x.Year), "Source": page.Literal(source), "Hours": x.Hours.String(), "Released": x.Released != 0, "Late": x.Late, "Scope": ""}
		if x.Released != 0 {
			args["Day"] = w.words.Date(x.Released.Time())
		}
		if x.Scope != "" {
			args["Scope"] = w.name(x.Scope)
		}
		out = append(out, w.para(id, args))
	}
	return out
}

// rules is the table of all rules: what holds on the as-of day, since when, and by which source.
func (w reporter) rules() page.Block {
	t := page.Table{Caption: w.text("a_held", nil), Compact: true, Stack: true, RowHead: true, Columns: w.columns("col_rule", "col_value", "col_since", "col_source"), Note: w.text("a_held_note", nil)}
	t.Weigh(5, 3, 3, 4)
	for _, h := range w.e.Standing() {
		source := h.Source
		if h.Withheld {
			source = w.say("withheld_source", nil)
		}
		t.Add(page.Text(w.say("rule."+h.Name, nil)), page.Literal(RuleValue(h, w.words)), page.Text(RuleSince(h, w.words)), page.Literal(source))
	}
	return t
}

// RuleValue says what a rule of counting is set to, in the reader's language.
func RuleValue(h programme.Held, words *lang.Printer) string {
	if day, ok := programme.ParseDay(h.Value); ok {
		return words.Date(day.Time())
	}
	if id := "report.held." + slug(h.Value); h.Value != "" && words.Can(id) {
		return words.Say(id, nil)
	}
	n, err := strconv.ParseFloat(h.Value, 64)
	switch {
	case h.Value == "" && h.Name == "parity":
		return words.Say("report.held.no", nil)
	case h.Value == "":
		return words.Say("report.held.none", nil)
	case err != nil:
		return strings.ReplaceAll(h.Value, "|", ", ")
	case h.Name == "level", h.Name == "parity_part", h.Name == "parity_least", h.Name == "response":
		return words.Fixed(100*n, max(0, len(h.Value)-len("0.95"))) + page.Glue + "%"
	case strings.HasSuffix(h.Name, "_limit"):
		return "$" + words.Fixed(n, 0)
	}
	_, after, _ := strings.Cut(h.Value, ".")
	return words.Fixed(n, len(after))
}

// RuleSince says since when a rule holds.
func RuleSince(h programme.Held, words *lang.Printer) string {
	switch {
	case h.Since != 0:
		return words.Date(h.Since.Time())
	case h.Standard:
		return words.Say("report.held.standard", nil)
	}
	return words.Say("report.held.beginning", nil)
}
