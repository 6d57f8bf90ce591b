package packet_test

import (
	"regexp"
	"slices"
	"strings"
	"testing"

	"raftwright/lang"
	"raftwright/packet"
	"raftwright/page"
	"raftwright/programme"
)

// A questionnaire is printed from its own definition in either language; it asks for no name, before and after by an own
// code, looking back with now before then.
func TestQuestionnaires(t *testing.T) {
	items := func(kind string) []programme.Asked {
		return []programme.Asked{{Form: "F", Kind: kind, Item: "I1", English: "mix the feed by my card", Spanish: "mezclar según la tarjeta", Answer: "five"},
			{Form: "F", Kind: kind, Item: "I2", English: "Do you grow now?", Spanish: "¿Cultiva ahora?", Answer: "yes"},
			{Form: "F", Kind: kind, Item: "I3", English: "Where?", Spanish: "¿Dónde?", Answer: "one of", Choices: "home|school", Elegir: "casa|escuela"},
			{Form: "F", Kind: kind, Item: "I4", English: "How many heads?", Spanish: "¿Cuántas cabezas?", Answer: "number"}}
	}
	for _, language := range []string{"en", "es"} {
		words, _ := lang.For(language, lang.US)
		for _, kind := range []string{"before", "after", "looking back", "later"} {
			d := packet.Questionnaire(items(kind), words, packet.Options{})
			all := d.Title + allWords(d)
			if strings.Contains(all, "[form") || strings.Contains(all, "<no value>") {
				t.Error(all)
			}
			for _, q := range items(kind) {
				if !strings.Contains(all, q.Text(language)) {
					t.Errorf("%s, %s: no %q", language, kind, q.Text(language))
				}
			}
			now := strings.Index(all, words.Say("form.col.now", nil))
			if again := strings.Contains(all, words.Say("form.own_again", nil)); again != (kind == "after" || kind == "later") || strings.Contains(all, words.Say("form.code", nil)) != (kind == "before") {
				t.Errorf("%s: the same code again is asked for: %t", kind, again)
			}
			if code := strings.Contains(all, words.Say("form.code_is", nil)); code == (kind == "looking back") {
				t.Errorf("%s: an own code stands: %t", kind, code)
			}
			if kind == "looking back" && (now < 0 || strings.Count(all, "☐\u00a04\u00a0\u00a0 ☐\u00a05") != 2 || now > strings.Index(all, words.Say("form.col.before", nil))) {
				t.Errorf("%s: %d", kind, now)
			}
			if regexp.MustCompile(`(?i)label:(name|nombre)`).MatchString(all) {
				t.Error("a name is asked for")
			}
		}
		d := packet.SignIn("Garden day", words, packet.Options{})
		if all := allWords(d); strings.Contains(all, "[form") || strings.Contains(all, words.Say("leader.slip.who_4", nil)) {
			t.Error("a sign-in sheet asks for groups, or lacks words")
		}
		if all := allWords(packet.BlankSlips(words, packet.Options{})); strings.Contains(all, "[leader") || !strings.Contains(all, words.Say("leader.slip.who_4", nil)) {
			t.Error(all)
		}
		tally := packet.Tally("Garden day", items("before")[:2], words, packet.Options{})
		if all := allWords(tally); strings.Contains(all, "[form") || !strings.Contains(all, "I2") || !strings.Contains(all, items("")[1].Text(language)) || regexp.MustCompile(`(?i)label:(name|nombre)( |$)`).MatchString(all) {
			t.Error("the tally sheet lacks words or a question, or asks for a name:", all)
		}
		for _, large := range []bool{false, true} {
			rows := 0
			for _, b := range packet.Tally("", nil, words, packet.Options{Large: large}).Sections[0].Blocks {
				if l, ok := b.(page.LogSheet); ok {
					rows += l.Rows
					if len(l.Columns) != 5 {
						t.Error("a tally sheet counts otherwise than right and not right, before and now:", l.Columns)
					}
				}
			}
			if rows != map[bool]int{false: 8, true: 4}[large] {
				t.Errorf("large %t: %d lines", large, rows)
			}
			many := slices.Repeat(items("before")[:2], 5)
			for _, b := range packet.Tally("", many, words, packet.Options{Large: large}).Sections[0].Blocks {
				if l, ok := b.(page.LogSheet); ok && (l.Rows < len(many) || len(l.Names) != len(many) || !strings.HasPrefix(l.Name(9), many[9].Item+". ")) {
					t.Errorf("large %t: of %d items %d have a line of their own, in %d lines", large, len(many), len(l.Names), l.Rows)
				}
			}
		}
		slips := allWords(packet.BlankSlips(words, packet.Options{}))
		if now, then := strings.Index(slips, words.Say("leader.slip.col_after", nil)), strings.Index(slips, words.Say("leader.slip.col_before", nil)); now < 0 || then < now {
			t.Errorf("%s: a slip looks back, so now stands before then: %d, %d", language, now, then)
		}
		older := allWords(packet.BlankSlips(words, packet.Options{Older: true, For: "BOARD"}))
		if !strings.Contains(slips, "2024)") || strings.Contains(slips, "1997") || !strings.Contains(older, "1997)") || strings.Contains(older, "2024") || !strings.Contains(older, "BOARD") {
			t.Errorf("%s: a slip does not say by which standard it asks", language)
		}
		at := -1
		ethnicity, race := packet.OlderBoxes()
		for _, id := range slices.Concat([]string{"leader.slip.older_ethnicity"}, ethnicity, []string{"leader.slip.older_race"}, race) { // as they are printed, ethnicity first
			next := strings.Index(older[at+1:], words.Say(id, nil))
			if at += 1 + next; next < 0 {
				t.Fatalf("%s: %s is not there, or not in its place", language, id)
			}
		}
		if strings.Contains(older, words.Say("leader.slip.who_5", nil)) || strings.Contains(older, words.Say("leader.slip.who", nil)) || strings.Contains(older, "[leader") {
			t.Errorf("%s: a slip of 1997 asks what is of 2024", language)
		}
		if names, races := programme.OlderAnswers(); language == "en" {
			for i, name := range slices.Concat(names, races) {
				if got := words.Say(slices.Concat(ethnicity[:2], race[:5])[i], nil); got != name {
					t.Errorf("box %q is kept as %q", got, name)
				}
			}
		}
		a := programme.Agreement{Rows: 3, Cells: 9, Apart: []programme.Apart{{Row: "A1", Column: "sex", First: "x", Second: "y", Line: 2, Other: 3}, {Row: "B", Line: 4}}}
		if all := allWords(packet.KeyedApart(a, words)); strings.Contains(all, "[twice") || !strings.Contains(all, words.Say("twice.whole", nil)) {
			t.Error(all)
		}
	}
}
