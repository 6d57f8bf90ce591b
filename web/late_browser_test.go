package web

import (
	"fmt"
	"net/http/httptest"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"raftwright/store"
)

// Somebody writes down a visit while the server is at other work: the page says at once that the advice is being worked out, what is
// typed meanwhile stays, and the new advice comes by itself. Without script the page looks again once.
func TestNewAdviceComesByItself(t *testing.T) {
	ctx := browser(t)
	w := wateredBed(t)
	h, at := w.server(time.Millisecond)
	server := httptest.NewServer(at)
	t.Cleanup(server.Close)
	h.follower.life()
	w.look(at, "today", "wait=10")
	goOn := engaged(t, h)
	defer goOn()
	w.visit(w.now.Add(-time.Minute), "depth", "5 in", "ec", "3.4 mS/cm", "ph", "5.8")
	page := server.URL + "/beds/" + w.bed + "/today?kept=" + store.NewID()
	run(t, ctx, chromedp.Navigate(page))
	until(t, ctx, `document.querySelector("#late [data-late]")`)
	for what, holds := range map[string]string{
		"the last reading": `document.querySelector("#late").innerText.includes("3.4 mS/cm")`,
		"no amounts":       `!document.querySelector(".once, section.answer")`,
		"a place to look":  `document.querySelector("#late a.touch")`,
	} {
		if !ask[bool](t, ctx, `Boolean(`+holds+`)`) {
			t.Errorf("the page of a late answer has not: %s", what)
		}
	}
	rules := rulesOfTheWeb(t)
	ask[bool](t, ctx, `document.fonts.ready.then(() => true)`)
	ask[bool](t, ctx, rules+`; true`)
	for _, theme := range []string{"light", "dark"} {
		for _, wide := range []int64{1280, 320} {
			run(t, ctx, chromedp.EmulateViewport(wide, 900))
			ask[bool](t, ctx, `(document.documentElement.dataset.theme = "`+theme+`", true)`)
			for _, f := range breaks(t, ctx, "document") {
				t.Errorf("late, at %d px, %s: %s", wide, theme, f)
			}
			shown(t, ctx, fmt.Sprintf("late-%s-%d", theme, wide))
		}
	}
	ask[bool](t, ctx, `(document.getElementById("log-ec").value = "1.7", true)`)
	goOn()
	until(t, ctx, `document.querySelector("#answer section.answer") && !document.querySelector("[data-late]")`)
	if got := ask[string](t, ctx, `document.getElementById("late").innerText`); got != "The new advice is here." {
		t.Errorf("it is told so: %q", got)
	}
	if got := ask[string](t, ctx, `document.getElementById("log-ec").value`); got != "1.7" {
		t.Errorf("what was typed became %q", got)
	}
}
