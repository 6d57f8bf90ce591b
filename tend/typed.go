package tend

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"unicode"

	"raftwright/brief"
	"raftwright/finding"
	"raftwright/plan"
	"raftwright/unit"
)

// bare are the units of numbers that are written alone, by the key of the log: US, then metric.
var bare = map[string][2]string{
	"depth": {" in", " cm"}, "ec": {" mS/cm", " mS/cm"}, "water temperature": {" F", " C"}, "rain": {" in", " mm"}, "air high": {" F", " C"}, "air low": {" F", " C"},
	"added water": {" gal", " L"}, "added solution.volume": {" gal", " L"}, "added solution.strength": {" %", " %"}, "dumped": {" gal", " L"}, "harvested.mass": {" lb", " kg"},
	"planted.age": {" d", " d"}, "shade": {" %", " %"}, "oxygen": {" mg/L", " mg/L"}, "nitrate-n": {" mg/L", " mg/L"}, "ammonium-n": {" mg/L", " mg/L"},
}

// Bare gives the unit in which a number alone under a key of the log is, with a space before it; "" where it has none.
func Bare(key string, metric bool) string {
	if metric {
		return bare[key][1]
	}
	return bare[key][0]
}

// NoUnit says whether the texts of a key of the log are words or counts.
func NoUnit(key string) bool {
	switch key {
	case "note", "ph", "roots", "filled", "air", "leak", "lost", "planted.heads", "planted.crop", "harvested.heads":
		return true
	}
	return strings.HasPrefix(key, "seen")
}

// underRim begins the unit of a depth that is read from the rim down.
const underRim = "rim-"

// Typed reads what a form says of a visit as keys of the log, each text in the unit that is meant: the one chosen beside
// it (under "unit:" and the key), or else the one of a number alone. Names that are not known as keys of the log are left out;
// planned makes the plan of the bed, for a depth that was read from the rim down.
func Typed(b *brief.Brief, form map[string][]string, known func(string) bool, planned func() *plan.Plan) (pairs []brief.Pair) {
	chosen := func(key string) string {
		if list := form["unit:"+key]; len(list) > 0 {
			return list[0]
		}
		return ""
	}
	for _, name := range slices.Sorted(maps.Keys(form)) {
		if !known(name) {
			continue
		}
		for i, text := range form[name] {
			if text = strings.TrimSpace(text); text == "" {
				continue
			}
			key := name
			if name == "seen" {
				key = fmt.Sprintf("seen[%d]", i)
			}
			text = inUnit(b, key, text, chosen(key))
			if strings.HasPrefix(chosen(key), underRim) {
				text = fromRim(planned(), text)
			}
			pairs = append(pairs, brief.Pair{Path: finding.Path(key), Text: text})
			if key != "seen" && !strings.HasPrefix(key, "seen[") {
				break
			}
		}
	}
	return pairs
}

// inUnit gives a text with the unit in which a number alone is.
func inUnit(b *brief.Brief, key, text, chosen string) string {
	if NoUnit(key) || strings.IndexFunc(text, func(c rune) bool { return unicode.IsLetter(c) || strings.ContainsRune(`"'%°′″`, c) }) >= 0 {
		return text
	}
	switch {
	case chosen != "":
		return text + " " + strings.TrimSpace(strings.TrimPrefix(chosen, underRim))
	case key == "added acid" && b.Acid.Product.Value.Name != brief.Citric:
		return text + " mL"
	case Bare(key, false) == "" && strings.HasPrefix(key, "added"): // a product, or an acid that is weighed
		return text + " g"
	}
	return text + Bare(key, b.Units.Value == brief.Metric)
}

// fromRim gives the depth of the water for what was read from the rim down. Where the wall
// is not known the text stays, and is a depth.
func fromRim(p *plan.Plan, text string) string {
	one, _ := brief.FromPairs("", []brief.Pair{{Path: "log[0].at", Text: "2000-01-01T00:00"}, {Path: "log[0].depth", Text: text}})
	if len(one.Log) == 0 || !one.Log[0].Depth.Given || p.Frame == nil {
		return text
	}
	return fmt.Sprintf("%.4g mm", (p.Frame.Brim - one.Log[0].Depth.Value).Millimetres())
}

// Done gives what was advised as an entry of the log: what was poured, in the amounts that were printed.
func Done(list []Action, metric bool) (out []brief.Pair) {
	put := func(path finding.Path, text string) { out = append(out, brief.Pair{Path: path, Text: text}) }
	for _, a := range list {
		switch a.Do {
		case DoDump:
			put("dumped", volumeText(a.Volume, metric))
		case DoRefill:
			with := brief.FilledMix
			if a.Strength == 0 {
				with = brief.FilledWater
			}
			put("filled", string(with))
		case DoWater:
			put("added water", volumeText(a.Volume, metric))
		case DoFeed:
			if a.Product != "" {
				put(finding.Path("added").Key(a.Product), amountText(a.Mass.Grams(), "g"))
				continue
			}
			put("added solution.volume", volumeText(a.Volume, metric))
			put("added solution.strength", amountText(a.Strength.Percents(), "%"))
		case DoBase:
			put(finding.Path("added").Key(a.Product), amountText(a.Mass.Grams(), "g"))
		case DoAcid:
			if a.Mass > 0 {
				put("added acid", amountText(a.Mass.Grams(), "g"))
			} else {
				put("added acid", amountText(a.Liquid.Millilitres(), "mL"))
			}
		}
	}
	return out
}

// amountText writes an amount as a key of the log takes it, rounded as it is printed.
func amountText(x float64, u string) string { return fmt.Sprintf("%.4g %s", x, u) }

// volumeText writes a volume in the units of a reader.
func volumeText(x unit.Volume, metric bool) string {
	if metric {
		return fmt.Sprintf("%.3g L", x.Litres())
	}
	return fmt.Sprintf("%.3g gal", x.Gallons())
}
