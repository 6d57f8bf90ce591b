package packet_test

import (
	"strconv"
	"strings"
	"testing"

	"raftwright/lang"
	"raftwright/packet"
	"raftwright/press"
	"raftwright/programme"
)

// The printed log of a copy tells each reason by its number and name, in both languages, each name another.
func TestTheLogTellsReasons(t *testing.T) {
	for _, language := range []string{"en", "es"} {
		words, err := lang.For(language, lang.US)
		if err != nil {
			t.Fatal(err)
		}
		var log []programme.Withheld
		told := map[string]bool{}
		for _, r := range programme.Reasons() {
			log = append(log, programme.Withheld{Table: "events", Column: "site", Kind: programme.KindColumn, Reason: r, Count: 1})
			told[words.Say("keeping.reason."+string(r), nil)] = true
		}
		var out strings.Builder
		if err := press.Text(packet.WithheldLog(log, packet.Request{}, 1, words), &out, 200); err != nil {
			t.Fatal(err)
		}
		for i, r := range programme.Reasons() {
			if want := "R" + strconv.Itoa(i+1) + " " + words.Say("keeping.reason."+string(r), nil); !strings.Contains(strings.ReplaceAll(out.String(), "\u00a0", " "), want) {
				t.Errorf("%s: no %q", language, want)
			}
		}
		if len(told) != len(log) {
			t.Errorf("%s: %d names of %d reasons", language, len(told), len(log))
		}
	}
}

// The log of a copy names each table and column in the reader's language, and as the file has it.
func TestTheLogOfACopyIsInTheReadersLanguage(t *testing.T) {
	log := []programme.Withheld{{Table: "events", Column: "topic", Kind: programme.KindColumn, Reason: programme.ForUnread, Count: 3}, {Table: "beds", Kind: programme.KindPeople, Reason: programme.ForGroup, Count: 2}}
	for tag, want := range map[string][]string{"es": {"Actividades (events)", "Tema (topic)", "Camas del programa (beds)"}, "en": {"Events", "Topic"}} {
		words, err := lang.For(tag, lang.US)
		if err != nil {
			t.Fatal(err)
		}
		said := pressedWords(t, packet.WithheldLog(log, packet.Request{}, 1, words))
		for _, w := range want {
			if !strings.Contains(said, w) {
				t.Errorf("%s: no %q in\n%s", tag, w, said)
			}
		}
		if strings.Count(said, "(beds)") != 1 {
			t.Errorf("%s: a whole table has a column:\n%s", tag, said)
		}
	}
}

// Beside a form that asks for the request, its rule and who looked, the log does not ask for them once more; all else of it stands.
func TestTheLogBesideAFormAsksNothing(t *testing.T) {
	words, err := lang.For("en", lang.US)
	if err != nil {
		t.Fatal(err)
	}
	log := []programme.Withheld{{Table: "events", Column: "topic", Kind: programme.KindColumn, Reason: programme.ForUnread, Count: 3}}
	whole, beside := pressedWords(t, packet.WithheldLog(log, packet.Request{}, 1, words)), pressedWords(t, packet.WithheldBeside(log, 1, words))
	for _, id := range []string{"keeping.copy.asked", "keeping.copy.by_rule", "keeping.copy.looked"} {
		if label := words.Say(id, nil); !strings.Contains(whole, label) || strings.Contains(beside, label) {
			t.Errorf("%q: in the log %t, beside the form %t", label, strings.Contains(whole, label), strings.Contains(beside, label))
		}
	}
	for _, id := range []string{"keeping.copy.ask", "keeping.col.reason"} {
		if text := words.Say(id, nil); !strings.Contains(beside, text) {
			t.Errorf("no %q beside the form", text)
		}
	}
}
