package programme

import (
	"cmp"
	"encoding/csv"
	"slices"
	"strconv"
	"strings"
)

// rulesIn are the rules that the figures of a section are made by.
var rulesIn = map[string][]string{
	"B": {"series", "same_day"}, "D": {"series", "same_day", "sex_answers", "parity_part", "parity_least"}, "E": {"answers", "level"}, "F": {"answers", "level", "wide", "response"},
	"G": {"price_days", "meal_pounds"}, "H": {"rate", "match_rate"}, "I": {"level", "power"}, "J": {"sites"}, "L": {"threshold"},
}

// unitsOf are the units of whole numbers that are no records.
var unitsOf = map[string]string{"visit_minutes": "min", "visit_miles": "mi", "bed_square_feet": "ft2", "map_sites": "sites", "beds_active": "beds"}

// unit gives the unit of a figure, as a table writes it.
func (f Figure) unit() string {
	switch f.Kind {
	case People:
		return "people"
	case Pounds:
		return "lb"
	case Meals:
		return "meals"
	case Hour:
		return "h"
	case Dollars:
		return "USD"
	case Share:
		return "share"
	case Average:
		return "number"
	case Change:
		return "steps"
	case Word:
		return "word"
	}
	if strings.HasPrefix(f.Measure, "heads_") {
		return "heads"
	}
	if f.Measure == "indirect: " {
		return f.Of
	}
	return cmp.Or(unitsOf[f.Measure], "records")
}

// AuditCSV gives the figures of an edition for who audits, a line a figure: section, figure, county, value, unit, n (records behind it; blank where the
// public may not have it), the rules it was made by with the day since when, and the mark of the list of its records (inside alone).
func (e *Edition) AuditCSV() string {
	rules := map[string]string{}
	for section, names := range rulesIn {
		var told []string
		for _, h := range e.Standing() {
			if slices.Contains(names, h.Name) && h.Value != "" {
				text := h.Name + "=" + h.Value
				if h.Since != 0 {
					text += "@" + h.Since.String()
				}
				told = append(told, text)
			}
		}
		rules[section] = strings.Join(told, "; ")
	}
	var text strings.Builder
	out := csv.NewWriter(&text)
	out.Write([]string{"section", "figure", "county", "value", "unit", "n", "rule", "ids_digest"})
	for _, f := range e.Figures {
		n, mark := "", ""
		if len(f.From) > 0 || !e.Public && f.Why == "" {
			n = strconv.Itoa(len(f.From))
		}
		if !e.Public {
			mark = e.Digest(f)
		}
		out.Write([]string{f.Section, f.Name(), f.County, f.Text, f.unit(), n, rules[f.Section], mark})
	}
	for _, t := range e.Weighed() {
		n, mark := "", ""
		if !e.Public {
			n, mark = strconv.Itoa(len(t.From)), e.digest(t.From)
		}
		for _, line := range t.lines() {
			out.Write([]string{"I", "trial " + t.ID + ": " + line[0], All, line[1], t.Unit, n, rules["I"], mark})
		}
	}
	out.Flush()
	return text.String()
}
