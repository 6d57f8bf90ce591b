package web

import (
	"regexp"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// The rules of the web find nothing on the pages of a program: its book, its report, a question, a workshop.
func TestRulesOfTheBook(t *testing.T) {
	ctx := browser(t)
	axe := rulesOfTheWeb(t)
	server := house(t)
	_, archive := inventedYear(t)
	q := "?funder=BOARD&day=2027-07-05"
	obeys(t, ctx, server.URL, axe, "/program", 320, "light", "en") // empty: where a beginner stands
	sendBook(t, server, archive)
	event := regexp.MustCompile(`/program/events/[0-9a-f-]{36}`).FindString(get(t, server.URL+"/program/events").body)
	site := regexp.MustCompile(`/program/sites/[0-9a-f-]{36}`).FindString(get(t, server.URL+"/program/sites").body)
	for _, path := range []string{"/program", "/program/events", "/program/slips", event, site, "/program/report", "/program/rules", "/program/report" + q, "/program/report" + q + "&edition=public",
		"/program/figures" + q, "/program/figure" + q + "&name=direct_contacts&county=all", "/question", "/question?begun=yes&seen=young_interveinal", "/beds/demonstration/workshop?families=2"} {
		obeysTwice(t, ctx, server.URL, axe, path)
	}
}

// The year-end in a browser, by the keyboard: an hour of a volunteer is written down, the report is made, a figure is opened
// to its rows, and the hour stands among them.
func TestAYearEnd(t *testing.T) {
	ctx := browser(t)
	server := houseWithYear(t)
	run(t, ctx, chromedp.Navigate(server.URL+"/program/hours"))
	ask[bool](t, ctx, `(document.querySelector("#f-date").value = "2027-05-04", document.querySelector("#f-person").focus(), true)`)
	run(t, ctx, chromedp.KeyEvent("V74D6"), chromedp.KeyEvent(kb.Tab), chromedp.KeyEvent(kb.Tab), chromedp.KeyEvent("help desk"), chromedp.KeyEvent(kb.Tab), chromedp.KeyEvent("s"), chromedp.KeyEvent(kb.Tab), chromedp.KeyEvent("2.25"), chromedp.KeyEvent("\r"))
	until(t, ctx, `document.querySelector("p[role=status]")`)
	name := strings.TrimSpace(strings.TrimSuffix(strings.TrimPrefix(strings.Split(ask[string](t, ctx, `document.querySelector("p[role=status]").textContent`), ".")[0], "Kept: "), "."))
	if name == "" {
		t.Fatal("nothing was kept")
	}
	run(t, ctx, chromedp.Navigate(server.URL+"/program/report"))
	ask[bool](t, ctx, `(document.querySelector("#day").value = "2027-07-05", document.querySelector("#funder").focus(), true)`)
	ask[bool](t, ctx, `(document.querySelector("#day").focus(), true)`)
	run(t, ctx, chromedp.KeyEvent("\r"))
	until(t, ctx, `document.querySelector(".pressed")`)
	if text := ask[string](t, ctx, `document.body.textContent`); !strings.Contains(text, "448") { // 445.75 hours and 2.25
		t.Error("the hour is not in the report")
	}
	opened := ask[string](t, ctx, `fetch("/program/figures?funder=BOARD&day=2027-07-05").then(r => r.text()).then(t => [...new DOMParser().parseFromString(t, "text/html").querySelectorAll("a[href*='name=volunteer_hours'], a[href*='name=hours']")].map(a => a.getAttribute("href")).join("\n"))`)
	found := false
	for to := range strings.Lines(opened) {
		for from := range 3 {
			page := get(t, server.URL+strings.TrimSpace(to)+"&from="+[]string{"0", "100", "200"}[from])
			found = found || strings.Contains(page.body, ">"+name+"<")
		}
	}
	if !found {
		t.Errorf("%s stands among the rows of no figure of hours: %s", name, opened)
	}
}
