package web

import (
	"regexp"
	"strings"
	"testing"

	"raftwright/plan"
)

// The gallery has every template that pages share, each kind of field in each state, and every section of the demonstration; without the flag there is none.
func TestGalleryHasEveryPart(t *testing.T) {
	server := serving(t, &House{Store: emptyStore(t), Book: plan.DefaultBook(), Own: true, Gallery: true})
	got := get(t, server.URL+"/gallery")
	if got.status != 200 {
		t.Fatal(got.status)
	}
	for _, id := range []string{"told", "once", "passes", "bedlist", "fault", "typed", "planned.bar", "planned.now", "planned.noticed", "waiting.faults", "waiting.bar", "waiting.now", "visitat", "visitat.wrong", "blank.empty", "blank.last", "blank.wrong", "blank.word",
		"field.line.empty", "field.line.understood", "field.line.assumed", "field.line.wrong", "field.word.empty", "field.word.filled", "field.list.empty", "field.list.assumed", "field.lines.filled", "field.names.filled",
		"book.text.empty", "book.text.wrong", "book.word.empty", "book.day.filled", "book.whole.filled", "book.number.filled", "book.long.empty", "pressed.raft", "pressed.mix", "pressed.frame"} {
		if !strings.Contains(got.body, `<section class="part" id="`+id+`">`) {
			t.Errorf("no %s", id)
		}
	}
	if missing := regexp.MustCompile(`\[(web|right|word)\.[a-z._]+\]|<no value>`).FindString(got.body); missing != "" {
		t.Error(missing)
	}
	if got := get(t, house(t).URL+"/gallery"); got.status != 404 {
		t.Error("shown to everybody:", got.status)
	}
}

// The rules of the web find nothing in the gallery, in both themes and languages.
func TestRulesOfTheGallery(t *testing.T) {
	ctx := browser(t)
	axe := rulesOfTheWeb(t)
	server := serving(t, &House{Store: emptyStore(t), Book: plan.DefaultBook(), Own: true, Gallery: true})
	obeysTwice(t, ctx, server.URL, axe, "/gallery")
}
