package web

import (
	"context"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"raftwright/plan"
	"raftwright/store"
)

// typedInto sets a field as a person leaves it, and sends its form.
func typedInto(t *testing.T, fields map[string]string, send string) string {
	t.Helper()
	var js strings.Builder
	js.WriteString("(")
	for id, text := range fields {
		js.WriteString(`(e => { e.value = ` + strconv.Quote(text) + `; e.dispatchEvent(new Event("input", {bubbles: true})) })(document.getElementById("` + id + `")), `)
	}
	js.WriteString(`document.querySelector(` + strconv.Quote(send) + `).click(), true)`)
	return js.String()
}

// The day of a workshop in a browser: it is planned for twenty families; four more come, and everything is for twenty-four; their beds are kept.
// Afterwards the day is written down, who signed and the slips are keyed in by the keyboard, and the report counts them.
func TestAWorkshopDay(t *testing.T) {
	ctx := browser(t)
	server := houseWithYear(t)
	made := post(t, server.URL+"/beds", map[string][]string{"id": {store.NewID()}, "copy": {demonstration}})
	bed := strings.TrimSuffix(made.where, "/brief")
	run(t, ctx, chromedp.Navigate(server.URL+bed+"/workshop"))
	until(t, ctx, `document.querySelector(".pressed") && `+el("families")+`.value === "20"`)
	buys := ask[string](t, ctx, `[...document.querySelectorAll(".pressed")].at(-1).textContent`)
	ask[bool](t, ctx, `(`+el("families")+`.focus(), `+el("families")+`.select(), true)`)
	run(t, ctx, chromedp.KeyEvent("24\r"))
	until(t, ctx, `location.search.includes("families=24") && document.querySelector(".pressed")`)
	if now := ask[string](t, ctx, `[...document.querySelectorAll(".pressed")].at(-1).textContent`); now == buys {
		t.Error("what is bought is for as many as before")
	}
	ask[bool](t, ctx, `(document.querySelector("form[method=post][action$='/workshop'] button").click(), true)`)
	until(t, ctx, `document.querySelector("main [role=status]")?.textContent.includes("24")`)
	for _, kit := range []string{"01", "24"} {
		list := get(t, server.URL+"/beds?after=").body + get(t, server.URL+"/beds").body
		if !strings.Contains(list, "· "+kit+"<") && !strings.Contains(list, " "+kit+"<") {
			t.Errorf("the bed of kit %s does not stand in the list", kit)
		}
	}
	// the day is written down
	down := ask[string](t, ctx, `document.querySelector("a[href^='/program/events?']").getAttribute("href")`)
	run(t, ctx, chromedp.Navigate(server.URL+down))
	written := ask[string](t, ctx, el("f-event")+`.value`) // in the corner of each sheet, before the row is kept
	ask[bool](t, ctx, typedInto(t, map[string]string{"f-date": "2027-05-08", "f-county": "NONE", "f-adults": "24", "f-youth": "11"}, "form.brief button.main"))
	until(t, ctx, `document.querySelector("main .wrong, main [role=alert]") && !document.querySelector("form.brief[data-busy]")`)
	ask[bool](t, ctx, typedInto(t, map[string]string{"f-county": "ALD"}, "form.brief button.main"))
	until(t, ctx, `document.querySelector("main p[role=status]")?.textContent.startsWith("Kept: ")`)
	name := ask[string](t, ctx, `document.querySelector("main p[role=status]").textContent.match(/E[0-9A-F]{7}/)[0]`)
	if name != written {
		t.Errorf("the day is kept as %s, its form said %s", name, written)
	}
	// who signed, with the keyboard
	run(t, ctx, chromedp.Navigate(server.URL+"/keying"))
	ask[bool](t, ctx, typedInto(t, map[string]string{"event": name, "kind": "signins"}, "form[action='/keying'] button.main"))
	until(t, ctx, `document.readyState === "complete" && `+el("row1:code"))
	ask[bool](t, ctx, `(`+el("row1:code")+`.focus(), true)`)
	for _, text := range []string{"P2339", "\t", "\t", "\t", "y", "\r", "\t", "Invented Neighbor", "\t", "at the desk", "\t", "n", "\r"} {
		run(t, ctx, chromedp.KeyEvent(text))
	}
	ask[bool](t, ctx, `(document.querySelector("button[value=settle]").click(), true)`)
	until(t, ctx, `document.readyState === "complete" && location.pathname === "/program/signins"`)
	if n := ask[float64](t, ctx, `[...document.querySelectorAll("tbody tr")].filter(r => r.textContent.includes("`+name+`")).length`); n != 2 {
		t.Errorf("%g stand on the list of the day", n)
	}
	// the slips
	run(t, ctx, chromedp.Navigate(server.URL+"/keying"))
	ask[bool](t, ctx, typedInto(t, map[string]string{"event": name, "kind": "slips"}, "form[action='/keying'] button.main"))
	until(t, ctx, `document.readyState === "complete" && `+el("row1:groups"))
	ask[bool](t, ctx, `(`+el("row1:groups")+`.focus(), true)`)
	for range 12 {
		for _, text := range []string{"7", "\t", "w", "\t", "25", "\t", "14", "\t", "23", "\t", "35", "\r"} {
			run(t, ctx, chromedp.KeyEvent(text))
		}
	}
	ask[bool](t, ctx, `(document.querySelector("button[value=settle]").click(), true)`)
	until(t, ctx, `document.readyState === "complete" && location.pathname === "/program/slips"`)
	report := get(t, server.URL+"/program/report.csv?funder=BOARD&day=2027-07-05").body
	if !strings.Contains(report, "looking back/build: pairs") && !strings.Contains(report, "looking back/build") {
		t.Error("what the slips say is not in the report")
	}
	afterTheDay(t, ctx, server.URL, name)
}

// afterTheDay follows the workshop up in the browser: a wave of its event is written down, its link is made and answered, and the report of
// the year shows the response; the figure opens to the reply, and the public edition holds no code of it.
func afterTheDay(t *testing.T, ctx context.Context, address, event string) {
	t.Helper()
	run(t, ctx, chromedp.Navigate(address+"/program/waves"))
	ask[bool](t, ctx, typedInto(t, map[string]string{"f-wave": "W9", "f-question": "Is it growing now?", "f-sent": "0", "f-undeliverable": "0", "f-planned-on": "2027-05-10", "f-event": event}, "form.brief button.main"))
	until(t, ctx, `document.querySelector("main p[role=status]")?.textContent.startsWith("Kept: ")`)
	run(t, ctx, chromedp.Navigate(address+"/program/wave/W9"))
	ask[bool](t, ctx, `(document.querySelector("form button.main").click(), true)`)
	until(t, ctx, `document.querySelector("table.dense td")`)
	link := ask[string](t, ctx, `document.querySelector("table.dense td").textContent`)
	if n := ask[float64](t, ctx, `document.querySelectorAll("table.dense tbody tr").length`); n != 1 { // P2339 agreed, who came anew did not
		t.Errorf("%g links are made", n)
	}
	run(t, ctx, chromedp.Navigate(address+link[strings.Index(link, "/answer/"):]))
	ask[bool](t, ctx, `(document.querySelector("input[name=answer][value=yes]").click(), document.getElementById("pounds").value = "7.5", document.querySelector("button.main").click(), true)`)
	until(t, ctx, `document.querySelector("main [role=status]") && !document.querySelector("main form")`)
	reply := ask[string](t, ctx, `document.querySelector("main").textContent.match(/R[0-9A-F]{7}/)[0]`)
	year := ask[string](t, ctx, `new Date().toISOString().slice(0, 10)`)
	q := "?funder=BOARD&day=" + max(year, "2027-07-05")
	run(t, ctx, chromedp.Navigate(address+"/program/figure"+q+"&county=all&name="+url.QueryEscape("wave W9: returned")))
	if sentIn := year >= "2026-07-01" && year <= "2027-06-30"; sentIn && !strings.Contains(ask[string](t, ctx, `document.querySelector("main").textContent`), reply) {
		t.Error("the figure does not open to the reply")
	}
	run(t, ctx, chromedp.Navigate(address+"/program/report"+q+"&edition=public"))
	until(t, ctx, `document.querySelector(".pressed")`)
	if text := ask[string](t, ctx, `document.body.textContent`); strings.Contains(text, reply) || strings.Contains(text, "P2339") {
		t.Error("the public edition names a record")
	}
}

// BenchmarkWorkshopDay changes how many families come, by one each time: the page with the day, its purchase and its cuts; the document of who leads;
// and a packet for each family.
func BenchmarkWorkshopDay(b *testing.B) {
	demo, err := os.ReadFile("../examples/demo.yaml")
	if err != nil {
		b.Fatal(err)
	}
	s, err := store.Open(b.Context(), store.InFolder(filepath.Join(b.TempDir(), "kept")))
	if err != nil {
		b.Fatal(err)
	}
	b.Cleanup(func() { s.Close() })
	at := (&House{Store: s, Book: plan.DefaultBook(), Demo: demo, Own: true}).Handler()
	for _, what := range []string{"workshop", "workshop.pdf", "workshop.zip"} {
		b.Run(what, func(b *testing.B) {
			n := 20
			for b.Loop() {
				n = 20 + (n+1)%5
				w, r := httptest.NewRecorder(), httptest.NewRequest("GET", "/beds/demonstration/"+what+"?families="+strconv.Itoa(n), nil)
				r.Host = "127.0.0.1"
				if at.ServeHTTP(w, r); w.Code != 200 {
					b.Fatal(w.Code)
				}
			}
		})
	}
}
