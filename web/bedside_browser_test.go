package web

import (
	"context"
	"net/url"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// speak chooses the language of the pages.
func speak(t *testing.T, ctx context.Context, address, tag string) {
	t.Helper()
	run(t, ctx, chromedp.Navigate(address+"/"))
	ask[bool](t, ctx, `fetch("/language", {method: "POST", body: new URLSearchParams({language: "`+tag+`", from: "/"})}).then(() => true)`)
}

// The life of a bed after its plan, with the keyboard alone, in both languages: filled and
// planted, read, advised, done, harvested, corrected, taken away as a file.
func TestLifeAtTheBed(t *testing.T) {
	ctx := browser(t)
	for _, tag := range []string{"en", "es"} {
		s := house(t)
		made := sendFile(t, s.URL, invented+"acid: {product: citric, target ph: 5.8}\n")
		bed := s.URL + strings.TrimSuffix(made.where, "/brief")
		speak(t, ctx, s.URL, tag)
		// type goes from field to field as a person does, by their names, and Enter keeps the form
		typed := func(page string, pairs ...string) {
			t.Helper()
			run(t, ctx, chromedp.Navigate(page))
			for i := 0; i < len(pairs); i += 2 {
				field := `document.querySelector('form[method=post] [name="` + pairs[i] + `"]')`
				if pairs[i] == "at" {
					ask[bool](t, ctx, `(`+field+`.value = "`+pairs[i+1]+`", true)`)
					continue
				}
				ask[bool](t, ctx, `(`+field+`.closest("details")?.setAttribute("open", ""), `+field+`.focus(), document.activeElement === `+field+`)`)
				if ask[string](t, ctx, `document.activeElement.tagName`) == "SELECT" || ask[string](t, ctx, `document.activeElement.type`) == "checkbox" {
					run(t, ctx, chromedp.KeyEvent(pairs[i+1]))
					continue
				}
				run(t, ctx, chromedp.KeyEvent(pairs[i+1]))
			}
			run(t, ctx, chromedp.KeyEvent("\r"))
			until(t, ctx, `document.readyState === "complete" && location.search.startsWith("?kept=")`)
		}
		typed(bed+"/did", "at", "2027-05-01T08:00", "filled", map[string]string{"en": "w", "es": "c"}[tag], "planted.heads", "32")
		for at, deep := range map[string]string{"2027-05-04T08:00": "5-1/2", "2027-05-07T08:00": "5"} {
			typed(bed+"/today", "at", at, "ec", "1.6", "ph", "6.2", "depth", deep)
		}
		typed(bed+"/today", "at", "2027-05-11T07:50", "depth", "4-1/2", "ec", "1.6", "ph", "6.2", "water temperature", "66")
		// the answer stands at once: what to do, and Done under it
		if n := ask[int](t, ctx, `document.querySelectorAll(".answer ol > li").length`); n < 1 {
			t.Fatalf("%s: nothing is advised", tag)
		}
		ask[bool](t, ctx, `(document.querySelector(".once button").focus(), true)`)
		run(t, ctx, chromedp.KeyEvent("\r"))
		until(t, ctx, `document.querySelector("[role=status]") && !document.querySelector(".once [name='added water']")`)
		typed(bed+"/did", "at", "2027-05-11T08:05", "harvested.heads", "4", "harvested.mass", "2.1")
		rows := logOf(t, bed)
		last := rows[len(rows)-1]
		if len(rows) != 6 || last["harvested.heads"] != "4" || last["harvested.mass"] != "2.1 lb" || rows[4]["added water"]+rows[4]["added solution.volume"] == "" {
			t.Errorf("%s: %d visits are kept: %v", tag, len(rows), rows)
		}
		// a visit is opened from the history and put right
		run(t, ctx, chromedp.Navigate(bed+"/history"))
		if n := ask[int](t, ctx, `document.querySelectorAll(".charts svg").length`); n < 3 {
			t.Errorf("%s: %d charts", tag, n)
		}
		ask[bool](t, ctx, `(document.querySelector("table.history tbody a").focus(), true)`)
		run(t, ctx, chromedp.KeyEvent("\r"))
		until(t, ctx, `location.pathname.includes("/log/") && document.querySelector("[name='harvested.heads']")`)
		ask[bool](t, ctx, `(document.querySelector("[name='harvested.heads']").select(), document.querySelector("[name='harvested.heads']").focus(), true)`)
		run(t, ctx, chromedp.KeyEvent("5\r"))
		until(t, ctx, `document.querySelector("[name='harvested.heads']")?.value === "5" && document.querySelectorAll("main section:last-of-type li").length === 2`)
		if rows = logOf(t, bed); rows[len(rows)-1]["harvested.heads"] != "5" {
			t.Errorf("%s: not put right: %v", tag, rows[len(rows)-1])
		}
	}
}

// The paper log goes by its keys: Enter to the next row, arrows along the column, " for the
// cell above, Alt F to the next fault.
func TestKeysOfThePaperLog(t *testing.T) {
	ctx := browser(t)
	s := house(t)
	bed := planted(t, s.URL)
	run(t, ctx, chromedp.Navigate(bed+"/paper"))
	until(t, ctx, `document.readyState === "complete"`)
	at := func(want string) {
		t.Helper()
		if got := ask[string](t, ctx, `document.activeElement.id`); got != want {
			t.Errorf("the caret is in %q, not in %q", got, want)
		}
	}
	ask[bool](t, ctx, `(`+el("row0:day")+`.focus(), true)`)
	run(t, ctx, chromedp.KeyEvent("5/4\t5-3/4\t64\t1.6\r"))
	at("row1:day")
	run(t, ctx, chromedp.KeyEvent("5/6\t\"\t65\t1.5\t620"))
	if got := ask[string](t, ctx, el("row1:depth")+`.value`); got != "5-3/4" {
		t.Errorf("the same as above: %q", got)
	}
	run(t, ctx, chromedp.KeyEvent(kb.ArrowUp))
	at("row0:ph")
	run(t, ctx, chromedp.KeyEvent(kb.ArrowDown))
	at("row1:ph")
	ask[bool](t, ctx, `(document.querySelector("form.paper button").focus(), true)`)
	run(t, ctx, chromedp.KeyEvent("\r"))
	until(t, ctx, `document.readyState === "complete" && document.querySelectorAll(".keptrow").length === 1 && `+el("row1:ph")+`?.value === "620"`)
	ask[bool](t, ctx, `(`+el("row5:day")+`.focus(), `+el("row5:day")+`.dispatchEvent(new KeyboardEvent("keydown", {key: "f", altKey: true, bubbles: true})), true)`)
	at("row1:ph")
	run(t, ctx, chromedp.KeyEvent("6.2"))
	ask[bool](t, ctx, `(document.querySelector("form.paper button").focus(), true)`)
	run(t, ctx, chromedp.KeyEvent("\r"))
	until(t, ctx, `document.querySelectorAll(".keptrow").length === 2`)
}

// The rules of the web find nothing on the pages at the bed, on a telephone and on a desk, in
// both themes and both languages; no page moves sideways; what is touched at the bed is 48 px
// high, its words 16 px or more.
func TestRulesAtTheBed(t *testing.T) {
	ctx, rules := browser(t), rulesOfTheWeb(t)
	s := house(t)
	bed := planted(t, s.URL)
	for at, deep := range map[string]string{"2027-05-05T08:00": "5-1/2", "2027-05-08T08:00": "5", "2027-05-11T07:55": "4-1/2"} {
		post(t, bed+"/log", url.Values{"at": {at}, "depth": {deep}, "ec": {"1.9"}, "ph": {"6.9"}, "water temperature": {"64"}, "note": {"clear"}})
	}
	id := "0197f000-0000-7000-8000-000000000009"
	post(t, bed+"/log", url.Values{"at": {"2027-05-11T07:56"}, "id": {id}, "ec": {"1.8"}})
	sendPhoto(t, bed, exif(t, 60, 40, 1))
	paths := []string{"/today", "/today?kept=" + id, "/did", "/seen?seen=young_interveinal&seen=aphids&roots=brown", "/history", "/log/" + id, "/dates", "/photos", "/paper", "/labels"}
	looked := 0
	type look struct {
		wide  int64
		theme string
		rules []string // all of them where there are none
	}
	for tag, looks := range map[string][]look{"en": {{1280, "light", nil}, {320, "dark", ofALook}}, "es": {{320, "light", nil}, {1280, "dark", []string{"color-contrast"}}}} {
		speak(t, ctx, s.URL, tag)
		for _, path := range paths {
			run(t, ctx, chromedp.EmulateViewport(looks[0].wide, 900), chromedp.Navigate(bed+path))
			ask[bool](t, ctx, `(document.querySelectorAll("details").forEach(d => d.open = true), document.fonts.ready.then(() => true))`)
			ask[bool](t, ctx, rules+`; true`)
			for _, k := range looks {
				run(t, ctx, chromedp.EmulateViewport(k.wide, 900))
				ask[bool](t, ctx, `(document.documentElement.dataset.theme = "`+k.theme+`", true)`)
				if side := ask[float64](t, ctx, `document.documentElement.scrollWidth - innerWidth`); side > 0 {
					t.Errorf("%s at %d px moves sideways by %g px", path, k.wide, side)
				}
				if k.wide == 320 {
					small := ask[[]string](t, ctx, `[...document.querySelectorAll("main :is(button, select, input:not([type=hidden], [type=checkbox], [type=radio]), summary, .do, .touch, .doors a, .choice label, label.pick), nav a")]
						.filter(e => { const r = e.getBoundingClientRect(); return r.width > 0 && r.height < 47.5 }).map(e => e.outerHTML.slice(0, 120))`)
					if path != "/paper" || len(small) > 8*28 { // its rows are as low as those on paper for a mouse; a finger has 48 px
						for _, e := range small {
							t.Errorf("%s: under 48 px high: %s", path, e)
						}
					}
				}
				for _, f := range breaks(t, ctx, "document", k.rules...) {
					t.Errorf("%s at %d px, %s, %s: %s", path, k.wide, k.theme, tag, f)
				}
				looked++
			}
		}
	}
	if looked != 40 {
		t.Fatalf("%d pages were looked at", looked)
	}
}
