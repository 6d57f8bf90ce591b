package web

import (
	"context"
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/cdproto/storage"
	"github.com/chromedp/chromedp"

	"raftwright/store"
)

// tab opens a page of a browser for one trial. Every trial has an address of its own, and so nothing of another's.
func tab(t *testing.T, ctx context.Context, before ...string) context.Context {
	t.Helper()
	ctx, stop := chromedp.NewContext(ctx)
	t.Cleanup(stop)
	run(t, ctx, chromedp.Navigate("about:blank"))
	for _, script := range before {
		call(t, ctx, page.AddScriptToEvaluateOnNewDocument, page.AddScriptToEvaluateOnNewDocumentParams{Source: script})
	}
	return ctx
}

const today = "/today"

// sends tells whether an outbox sends something.
func sends(r *http.Request) bool {
	return r.Method == "POST" && r.Header.Get("Accept") == "application/json"
}

// What a phone may be like, tried one after the other in one browser.
func TestPhonesInTrouble(t *testing.T) {
	all := browser(t)
	run(t, all, chromedp.Navigate("about:blank"))

	t.Run("storage denied", func(t *testing.T) {
		o := newOutpost(t)
		ctx := tab(t, all, `Object.defineProperty(window, "indexedDB", { get() { throw new DOMException("denied", "SecurityError"); } });`)
		o.signIn(ctx, "Invented Grower", "/beds/"+o.bed+today)
		until(t, ctx, el("waiting")+`.textContent.includes("does not let us keep anything")`)
		o.visit(ctx, "5.1")
		until(t, ctx, `new URLSearchParams(location.search).get("kept")`)
		if got := o.log("depth"); len(got) != 1 {
			t.Errorf("with signal the visit is not kept: %v", got)
		}
		until(t, ctx, `document.documentElement.dataset.away === "met"`)
		o.off()
		o.visit(ctx, "5.2")
		until(t, ctx, el("waiting")+`.textContent.includes("NOT on the phone")`)
		if ask[bool](t, ctx, `Boolean(document.getElementById("said-here"))`) {
			t.Error("the page says that it is kept")
		}
		o.on()
		touch(t, ctx, "Send now")
		until(t, ctx, `document.documentElement.dataset.waits === "0"`)
		if got := o.log("depth"); len(got) != 2 {
			t.Errorf("held by the page alone, it was not sent: %v", got)
		}
	})

	t.Run("a full phone", func(t *testing.T) {
		o := newOutpost(t)
		ctx := tab(t, all)
		o.signIn(ctx, "Invented Grower", "/beds/"+o.bed+today)
		o.held(ctx)
		o.off()
		none := 1.0
		call(t, ctx, storage.OverrideQuotaForOrigin, storage.OverrideQuotaForOriginParams{Origin: o.url(""), QuotaSize: &none})
		o.visit(ctx, "5.1")
		// the browser's storage stops answering for a while after this; several waits for it may come together
		within(t, ctx, 4*time.Minute, el("waiting")+`.textContent.includes("NOT on the phone")`)
		call(t, ctx, storage.OverrideQuotaForOrigin, storage.OverrideQuotaForOriginParams{Origin: o.url("")})
		o.visit(ctx, "5.2")
		within(t, ctx, 4*time.Minute, el("said-here")+` && `+el("waits")+`?.textContent.includes("2 entries")`)
		o.on()
		touch(t, ctx, "Send now")
		until(t, ctx, `document.documentElement.dataset.waits === "0"`)
		if got := strings.Join(o.log("depth"), ", "); got != "5.1 in, 5.2 in" {
			t.Errorf("the log says %s", got)
		}
	})

	t.Run("a clock wrong by a year", func(t *testing.T) {
		o := newOutpost(t)
		ctx := tab(t, all)
		o.signIn(ctx, "Invented Grower", "/beds/"+o.bed+today)
		o.held(ctx)
		o.off()
		call(t, ctx, page.AddScriptToEvaluateOnNewDocument, page.AddScriptToEvaluateOnNewDocumentParams{Source: `
			const Right = Date, year = 365 * 24 * 3600e3;
			Date = class extends Right { constructor(...a) { a.length ? super(...a) : super(Right.now() - year); } static now() { return Right.now() - year; } };`})
		run(t, ctx, chromedp.Navigate(o.url("/beds/"+o.bed+today)))
		until(t, ctx, `document.documentElement.dataset.away === "alone"`)
		o.visit(ctx, "5.1")
		until(t, ctx, el("said-here"))
		o.on()
		touch(t, ctx, "Send now")
		until(t, ctx, `document.documentElement.dataset.waits === "0"`)
		o.visit(ctx, "5.2") // now it is known how wrong the clock is
		until(t, ctx, `new URLSearchParams(location.search).get("kept")`)
		list, err := o.kept.Log(t.Context(), store.Holder(), o.bed)
		if err != nil || len(list) != 3 {
			t.Fatal(err, list)
		}
		now := time.Now()
		now = time.Date(now.Year(), now.Month(), now.Day(), now.Hour(), now.Minute(), 0, 0, time.UTC)
		for _, e := range list[1:] {
			if off := now.Sub(e.At).Abs(); off > 5*time.Minute {
				t.Errorf("%v is off by %v", e.Pairs, off)
			}
		}
	})

	t.Run("an update while visits wait", func(t *testing.T) {
		o := newOutpost(t)
		ctx := tab(t, all)
		o.signIn(ctx, "Invented Grower", "/beds/"+o.bed+today)
		o.held(ctx)
		o.off()
		o.visit(ctx, "5.1")
		until(t, ctx, el("said-here"))
		o.wrap = func(next http.Handler) http.Handler { // the program of tomorrow: another worker, other files
			return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
				switch {
				case r.URL.Path == "/sw.js":
					w.Header().Set("Content-Type", "text/javascript")
					w.Write([]byte(worker + "// the next one\n"))
				case sends(r):
					w.WriteHeader(http.StatusServiceUnavailable) // not yet
				default:
					next.ServeHTTP(w, r)
				}
			})
		}
		o.on()
		run(t, ctx, chromedp.Navigate(o.url("/beds/"+o.bed+today)))
		until(t, ctx, `document.documentElement.dataset.away`) // the page has asked for its own worker, which would take its place again
		ask[bool](t, ctx, `navigator.serviceWorker.register("/sw.js?next").then(() => true)`)
		if !ask[bool](t, ctx, `(async () => { for (let i = 0; i < 600; i++) { if ((await navigator.serviceWorker.getRegistration()).active?.scriptURL.endsWith("?next")) return true; await new Promise(r => setTimeout(r, 100)); } return false; })()`) {
			t.Fatal("the new worker does not take over")
		}
		until(t, ctx, `document.documentElement.dataset.waits === "1"`)
		o.off()
		run(t, ctx, chromedp.Navigate(o.url("/beds/"+o.bed+today))) // the page stands without signal
		until(t, ctx, `document.documentElement.dataset.away === "alone"`)
		o.wrap = nil
		o.on()
		touch(t, ctx, "Send now")
		until(t, ctx, `document.documentElement.dataset.waits === "0"`)
		if got := o.log("depth"); len(got) != 1 {
			t.Errorf("the log says %v", got)
		}
	})

	t.Run("an answer that is lost, and a change", func(t *testing.T) {
		o := newOutpost(t)
		ctx := tab(t, all)
		o.signIn(ctx, "Invented Grower", "/beds/"+o.bed+today)
		o.off()
		o.wrap = func(next http.Handler) http.Handler {
			return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
				if !sends(r) {
					next.ServeHTTP(w, r)
					return
				}
				next.ServeHTTP(&noted{header: http.Header{}}, r) // it is kept, and nobody hears of it
				panic(http.ErrAbortHandler)
			})
		}
		o.on()
		o.visit(ctx, "5.1")
		until(t, ctx, el("said-here"))
		if got := o.log("depth"); len(got) != 1 {
			t.Fatalf("the log says %v", got)
		}
		o.off()
		o.wrap = nil
		o.on()
		touch(t, ctx, "Change it")
		until(t, ctx, `document.querySelector("form[data-visit]") && document.querySelector('input[name="depth"]').value === "5.1"`)
		o.visit(ctx, "4.9")
		until(t, ctx, `document.querySelector('[data-state="clash"]')?.textContent.includes("5.1 in") && document.querySelector('[data-state="clash"]').textContent.includes("4.9")`)
		touch(t, ctx, "Add mine as a visit of its own")
		until(t, ctx, `document.documentElement.dataset.waits === "0" && !document.querySelector("[data-visit]:not(form)")`)
		if got := strings.Join(o.log("depth"), ", "); got != "5.1 in, 4.9 in" {
			t.Errorf("the log says %s", got)
		}
		// what cannot be read comes back with the form, and is still on the phone
		o.visit(ctx, "much")
		until(t, ctx, `document.querySelector('input[name="depth"][aria-invalid="true"]')?.value === "much" && document.querySelector('[data-state="refused"]')`)
		o.visit(ctx, "4.7")
		until(t, ctx, `new URLSearchParams(location.search).get("kept")`)
		if got := strings.Join(o.log("depth"), ", "); got != "5.1 in, 4.9 in, 4.7 in" {
			t.Errorf("the log says %s", got)
		}
	})

	t.Run("another person", func(t *testing.T) {
		o := newOutpost(t)
		o.grower("Another Invented")
		ctx := tab(t, all, `window.confirm = () => window.name === "yes";`)
		o.signIn(ctx, "Invented Grower", "/beds/"+o.bed+today)
		o.held(ctx)
		o.off()
		o.visit(ctx, "5.1")
		until(t, ctx, el("said-here"))
		leave := `(document.querySelector('form[action="/sign-out"]').requestSubmit(), true)`
		ask[bool](t, ctx, leave)
		time.Sleep(time.Second)
		until(t, ctx, `document.documentElement.dataset.waits === "1"`) // asked, and stayed
		o.on()
		ask[bool](t, ctx, leave) // what waits goes first
		until(t, ctx, `location.pathname === "/sign-in"`)
		if got := o.log("depth"); len(got) != 1 {
			t.Errorf("the log says %v", got)
		}
		if n := ask[int](t, ctx, `caches.match("/beds/`+o.bed+`/today").then(x => x ? 1 : 0)`); n != 0 {
			t.Error("signed out, the pages are still held")
		}
		o.signIn(ctx, "Another Invented", "/beds")
		o.off()
		run(t, ctx, chromedp.Navigate(o.url("/beds/"+o.bed+today)))
		until(t, ctx, `!document.body.innerText.includes("Invented bed")`)
		if ask[bool](t, ctx, `document.documentElement.innerHTML.includes("5.1")`) {
			t.Error("another person reads the bed")
		}
	})
}
