package packet_test

import (
	"regexp"
	"strings"

	"raftwright/draw"
	"raftwright/lang"
	"raftwright/page"
)

// checks are what every packet holds.
var checks = map[string]func(m made, fail func(format string, args ...any)){
	"other units": otherUnits,
	"unfinished":  unfinishedWords,
	"jargon":      jargon,
	"reading":     readingGrade,
	"cover":       coverRanks,
	"warnings":    warnings,
	"figures":     figures,
	"counts":      counts,
	"excluded":    excluded,
	"bands":       bands,
	"days":        days,
}

var (
	usUnits     = regexp.MustCompile(`\d(?:-\d/\d+)?[ \x{a0}](?:in|ft|ft²|gal|qt|quarts?|lb|lb/ft²|psi|oz|mil|°F|mph|mi|inch|inches|feet|gallons?|pounds?|quart)\b|\b\d+/\d+ in\b|\d x \d+ ft`)
	metricUnits = regexp.MustCompile(`\d[ \x{a0}](?:mm|cm|m|m²|km|kg|N|kPa|MPa)\b|\d[ \x{a0}]L\b`)
	lumberName  = regexp.MustCompile(`\b\d+x\d+\b`)
	// bothGiven is what may stand: a converted figure in brackets, "3 in half", a name such as "Town 2 N, MI".
	bothGiven = regexp.MustCompile(`\([^()]{0,40}\)|\d in (half|all|one|a|the|cold)\b|\d [NSEW], [A-Z]{2}\b`)
)

// prose gives the printed words of a document, block by block, without the sources, whose
// titles are others' words.
func prose(d page.Document) []string {
	var out []string
	add := func(texts ...page.Text) {
		for _, t := range texts {
			out = append(out, t.Plain())
		}
	}
	walk(d, func(s page.Section, b page.Block) {
		if s.ID == "source" {
			return
		}
		switch b := b.(type) {
		case page.Heading:
			out = append(out, b.Text)
		case page.Para:
			add(b.Text)
		case page.List:
			add(b.Items...)
		case page.Caution:
			out = append(out, b.Word)
			add(b.Text...)
		case page.Table:
			add(b.Caption, b.Note)
			for _, c := range b.Columns {
				add(c.Title)
			}
			for _, r := range b.Rows {
				add(r.Cells...)
			}
		case page.KeyFigures:
			for _, k := range b.Items {
				out = append(out, k.Label+" "+k.Value+" "+k.Note)
			}
		case page.Figure:
			add(b.Caption)
			out = append(out, b.Drawing.Title, b.Drawing.Alt)
			for _, mark := range draw.Lay(b.Drawing, draw.Fitting{Width: 468, Height: 600, System: d.Units, Words: d.Words.Words}).Marks {
				out = append(out, mark.Text)
			}
		}
	})
	return out
}

// otherUnits: a reader of one system meets no figure of the other.
func otherUnits(m made, fail func(string, ...any)) {
	other := usUnits
	if m.words.Units == lang.US {
		other = metricUnits
	}
	for _, text := range prose(m.doc) {
		if found := other.FindString(lumberName.ReplaceAllString(bothGiven.ReplaceAllString(text, ""), "")); found != "" {
			fail("%q in %q", found, text)
		}
	}
}

func unfinishedWords(m made, fail func(string, ...any)) {
	if found := missing.FindString(m.paper); found != "" {
		fail("%s", found)
	}
}

// wordsOfSoftware do not stand on paper: names of keys, of programs, of proofs.
var wordsOfSoftware = regexp.MustCompile(`(?i)\b(brief|yaml|json|key|keys|proven|the search|search ended|solver|optimum|optimal|mend the feed|beats a stake)\b|\b(?:bed|water|raft|site|mix|acid|shelf|target|crop|schedule|prices|cut|meter|found|amiss)(?:\.[a-z]+|: [a-z ]+:)`)

func jargon(m made, fail func(string, ...any)) {
	for _, text := range prose(m.doc) {
		if found := wordsOfSoftware.FindString(text); found != "" {
			fail("%q in %q", found, text)
		}
	}
}

// readingGrade: the whole packet reads at grade 8 or lower.
func readingGrade(m made, fail func(string, ...any)) {
	var all []string
	for _, text := range prose(m.doc) {
		if strings.HasSuffix(text, ".") {
			all = append(all, text)
		}
	}
	if g, ok := grade(strings.Join(all, " ")); !ok || g > 8 {
		fail("grade %.1f", g)
	}
}
