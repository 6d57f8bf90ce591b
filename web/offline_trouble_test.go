package web

import (
	"context"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/cdproto/serviceworker"
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
	all := ownBrowser(t)
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
		quota := func(bytes *float64) {
			t.Helper()
			call(t, ctx, storage.OverrideQuotaForOrigin, storage.OverrideQuotaForOriginParams{Origin: o.url(""), QuotaSize: bytes})
		}
		room := 8e6 // from the start: a browser remembers for half a minute how much room there was
		quota(&room)
		o.signIn(ctx, "Invented Grower", "/beds/"+o.bed+today)
		o.held(ctx)
		o.off()
		full := func() int { // to the last bytes
			t.Helper()
			return ask[int](t, ctx, `(async () => {
				const db = await new Promise((yes, no) => { const r = indexedDB.open("raftwright"); r.onsuccess = () => yes(r.result); r.onerror = () => no(r.error); });
				const put = (size) => new Promise((yes) => { const t = db.transaction("facts", "readwrite"); t.objectStore("facts").put("x".repeat(size), "full " + Math.random()); t.oncomplete = () => yes(true); t.onabort = () => yes(false); });
				let n = 0;
				for (let size = 4e6; size >= 100; ) (await put(size)) ? n++ : (size = Math.floor(size / 2));
				db.close();
				return n;
			})()`)
		}
		if full() == 0 {
			t.Fatal("nothing was filled")
		}
		begun := time.Now()
		o.visit(ctx, "5.1") // what can be fetched again makes room
		until(t, ctx, el("said-here"))
		t.Logf("room was made and the visit kept in %v", time.Since(begun).Round(time.Millisecond))
		ask[bool](t, ctx, `caches.keys().then(all => Promise.all(all.map(async k => { const c = await caches.open(k); for (const f of await c.keys()) await c.delete(f); })).then(() => true))`)
		full()
		begun = time.Now()
		o.visit(ctx, "5.2") // there is no more
		until(t, ctx, el("waiting")+`.textContent.includes("NOT on the phone")`)
		t.Logf("told in %v", time.Since(begun).Round(time.Millisecond))
		obeyed(t, ctx, "a full phone")
		quota(nil)
		o.visit(ctx, "5.3")
		until(t, ctx, `document.documentElement.dataset.waits === "3" && !`+el("waiting")+`.textContent.includes("NOT on the phone")`)
		o.on()
		touch(t, ctx, "Send now")
		until(t, ctx, `document.documentElement.dataset.waits === "0"`)
		for range 100 { // the last may be on its way from the page to the phone's store when the others are counted
			if len(o.log("depth")) == 3 {
				break
			}
			time.Sleep(100 * time.Millisecond)
		}
		if got := strings.Join(o.log("depth"), ", "); got != "5.1 in, 5.2 in, 5.3 in" {
			t.Errorf("the log says %s; the page: %s", got, ask[string](t, ctx, el("waiting")+`.innerText`))
		}
	})

	t.Run("an answer that takes long", func(t *testing.T) {
		o := newOutpost(t)
		ctx := tab(t, all, `const swift = window.fetch; window.fetch = (to, ...more) => String(to).endsWith("/now") && window.slow ? new Promise((r) => setTimeout(r, 3000)).then(() => swift(to, ...more)) : swift(to, ...more);`)
		o.signIn(ctx, "Invented Grower", "/beds/"+o.bed+today)
		o.held(ctx)
		o.off()
		ask[bool](t, ctx, `window.slow = true`)
		o.visit(ctx, "5.1")
		until(t, ctx, `document.documentElement.dataset.waits === "1"`)
		o.visit(ctx, "5.2")                                                                 // before anything is known of the first
		ask[bool](t, ctx, `(document.querySelector("form.reads button.do").click(), true)`) // pressed twice
		until(t, ctx, `document.documentElement.dataset.waits === "2"`)
		run(t, ctx, chromedp.SetValue(chromedp.CSS(`input[name="depth"]`), "5.3"))
		until(t, ctx, `!(document.querySelector("form.reads").dataset.away > 0)`) // all is known
		if typed := ask[string](t, ctx, `document.querySelector('input[name="depth"]').value`); typed != "5.3" {
			t.Errorf("what was typed meanwhile became %q", typed)
		}
		run(t, ctx, chromedp.Click(chromedp.CSS(`form.reads button.do`)))
		until(t, ctx, `document.documentElement.dataset.waits === "3"`)
		o.on()
		for range 600 { // it is sent by itself, or when it is tried again
			if len(o.log("depth")) == 3 {
				break
			}
			time.Sleep(100 * time.Millisecond)
		}
		if got := strings.Join(o.log("depth"), ", "); got != "5.1 in, 5.2 in, 5.3 in" {
			t.Errorf("the log says %s", got)
		}
	})

	t.Run("storage that does not answer", func(t *testing.T) {
		o := newOutpost(t)
		ctx := tab(t, all, `IDBFactory.prototype.open = () => ({});`)
		o.signIn(ctx, "Invented Grower", "/beds/"+o.bed+today)
		o.off()
		begun := time.Now()
		o.visit(ctx, "5.1")
		until(t, ctx, el("waiting")+`.textContent.includes("NOT on the phone")`)
		t.Logf("told in %v", time.Since(begun).Round(time.Millisecond))
		o.on()
		touch(t, ctx, "Send now")
		until(t, ctx, `document.documentElement.dataset.waits === "unread"`)
		if got := o.log("depth"); len(got) != 1 {
			t.Errorf("the log says %v", got)
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
		// a visit as an older program kept it waits beside it
		ask[bool](t, ctx, `new Promise((yes, no) => { const r = indexedDB.open("raftwright"); r.onsuccess = () => {
			const t = r.result.transaction("visits", "readwrite"), who = JSON.parse(document.getElementById("away").dataset.told).who;
			t.objectStore("visits").put({id: "`+store.NewID()+`", who, to: "/beds/`+o.bed+`/log", bed: "`+o.bed+`", page: "today", title: "Invented bed", fields: [["id", ""], ["from", "today"], ["at", "2026-05-01T08:00"], ["depth", "5.6"]], said: [["Depth", "5.6 in"]], made: Date.now(), typed: true, sent: false, tries: 0, next: 0, state: "waits"});
			t.oncomplete = () => yes(true); t.onabort = () => no(t.error); }; })`)
		o.wrap = func(next http.Handler) http.Handler { // the program of tomorrow: another worker, other files
			return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
				switch {
				case r.URL.Path == "/sw.js":
					w.Header().Set("Content-Type", "text/javascript")
					script, _ := worker()
					w.Write([]byte(script + "// the next one\n"))
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
		until(t, ctx, `document.documentElement.dataset.waits === "2"`)
		o.off()
		run(t, ctx, chromedp.Navigate(o.url("/beds/"+o.bed+today))) // the page stands without signal
		until(t, ctx, `document.documentElement.dataset.away === "alone"`)
		o.wrap = nil
		o.on()
		touch(t, ctx, "Send now")
		until(t, ctx, `document.documentElement.dataset.waits === "0"`)
		if got := strings.Join(o.log("depth"), ", "); got != "5.6 in, 5.1 in" {
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

	t.Run("answers that are none", func(t *testing.T) {
		o := newOutpost(t)
		ctx := tab(t, all, `const most = AbortSignal.timeout.bind(AbortSignal); AbortSignal.timeout = (ms) => most(ms === 30000 ? 700 : ms);`)
		var answer http.HandlerFunc // to what is sent; nil: the server's
		held := make(chan struct{}, 1)
		o.wrap = func(next http.Handler) http.Handler {
			return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
				if answer == nil || !sends(r) {
					next.ServeHTTP(w, r)
					return
				}
				answer(w, r)
			})
		}
		o.off()
		o.on()
		o.signIn(ctx, "Invented Grower", "/beds/"+o.bed+today)
		o.held(ctx)
		with := func(status int, header, value, body string) http.HandlerFunc {
			return func(w http.ResponseWriter, _ *http.Request) {
				w.Header().Set("Content-Type", "text/html")
				if header != "" {
					w.Header().Set(header, value)
				}
				w.WriteHeader(status)
				w.Write([]byte(body))
				select {
				case held <- struct{}{}:
				default:
				}
			}
		}
		answer = with(http.StatusInternalServerError, "", "", "a mistake")
		o.visit(ctx, "5.1")
		until(t, ctx, el("said-here")+` && document.documentElement.dataset.waits === "1"`)
		for what, other := range map[string]http.HandlerFunc{
			"bad gateway": with(http.StatusBadGateway, "", "", "<p>bad gateway"), "sign in by a proxy": with(http.StatusFound, "Location", "/sign-in", ""), "a page of a hotel": with(http.StatusOK, "", "", "<h1>Welcome to our network</h1>"),
			"signed out": with(http.StatusUnauthorized, "", "", "<p>who are you"), "too many": with(http.StatusTooManyRequests, "", "", "later"), "not here": with(http.StatusNotFound, "", "", "<p>nothing"),
		} {
			answer = other
			for len(held) > 0 {
				<-held
			}
			touch(t, ctx, "Send now")
			select {
			case <-held:
			case <-time.After(time.Minute):
				t.Fatalf("%s: it was not sent", what)
			}
			until(t, ctx, `document.querySelector('[data-visit][data-state="waits"]') && document.documentElement.dataset.waits === "1"`)
			if what == "signed out" {
				until(t, ctx, el("waiting")+`.textContent.includes("You are not signed in")`)
			}
		}
		// something on the way lets nothing so large through: it is told, and not tried for ever
		answer = with(http.StatusRequestEntityTooLarge, "", "", "<p>too large")
		touch(t, ctx, "Send now")
		until(t, ctx, `document.querySelector('[data-state="never"]')?.textContent.includes("this large")`)
		obeyed(t, ctx, "too large")
		ask[bool](t, ctx, `(window.confirm = () => true, true)`)
		touch(t, ctx, "Throw it away")
		until(t, ctx, `!document.querySelector("[data-visit]:not(form)")`)
		// the answer comes after nobody waits for it any more
		answer = func(w http.ResponseWriter, r *http.Request) {
			if err := r.ParseMultipartForm(1 << 20); err != nil {
				return
			}
			id, at := r.PostFormValue("id"), r.PostFormValue("at")
			time.Sleep(1500 * time.Millisecond)
			when, err := time.Parse(clock, at)
			if err == nil {
				_, err = o.kept.Keep(context.Background(), store.Holder(), id, o.bed, when, []store.Pair{{Path: "depth", Text: r.PostFormValue("depth") + " in"}})
			}
			if err != nil {
				t.Error(err)
			}
			held <- struct{}{}
		}
		for len(held) > 0 {
			<-held
		}
		o.visit(ctx, "5.2")
		until(t, ctx, el("said-here"))
		<-held
		answer = nil
		touch(t, ctx, "Send now")
		until(t, ctx, `document.documentElement.dataset.waits === "0"`)
		if got := strings.Join(o.log("depth"), ", "); got != "5.2 in" {
			t.Errorf("the log says %s", got)
		}
	})

	t.Run("the page and its worker end while something is sent", func(t *testing.T) {
		o := newOutpost(t)
		ctx := tab(t, all)
		begun, end := make(chan struct{}, 9), make(chan struct{})
		o.wrap = func(next http.Handler) http.Handler {
			return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
				if sends(r) {
					body := &noted{header: http.Header{}}
					next.ServeHTTP(body, r) // it is kept
					begun <- struct{}{}
					<-end // and the answer waits
					w.WriteHeader(body.status)
					return
				}
				next.ServeHTTP(w, r)
			})
		}
		o.off()
		o.on()
		o.signIn(ctx, "Invented Grower", "/beds/"+o.bed+today)
		o.held(ctx)
		o.visit(ctx, "5.1")
		<-begun
		call(t, ctx, serviceworker.Enable, cdp.Empty{})
		call(t, ctx, serviceworker.StopAllWorkers, cdp.Empty{})
		run(t, ctx, chromedp.Navigate("about:blank"))
		close(end)
		o.off()
		o.wrap = nil
		o.on()
		o.open(ctx, "/beds/"+o.bed+today)
		until(t, ctx, `document.documentElement.dataset.waits === "0"`)
		if n := ask[int](t, ctx, `new Promise((yes) => { const r = indexedDB.open("raftwright"); r.onsuccess = () => { const t = r.result.transaction("visits").objectStore("visits").count(); t.onsuccess = () => yes(t.result); }; })`); n != 0 {
			t.Errorf("%d still wait", n)
		}
		if got := o.log("depth"); len(got) != 1 {
			t.Errorf("the log says %v", got)
		}
	})

	t.Run("a private window", func(t *testing.T) {
		o := newOutpost(t)
		ctx, stop := chromedp.NewContext(all, chromedp.WithNewBrowserContext())
		t.Cleanup(stop)
		o.signIn(ctx, "Invented Grower", "/beds/"+o.bed+today)
		o.held(ctx)
		o.off()
		o.visit(ctx, "5.1")
		until(t, ctx, el("said-here"))
		o.open(ctx, "/beds/"+o.bed+today) // as long as the window stands
		until(t, ctx, `document.documentElement.dataset.waits === "1"`)
		o.on()
		touch(t, ctx, "Send now")
		until(t, ctx, `document.documentElement.dataset.waits === "0"`)
		if got := o.log("depth"); len(got) != 1 {
			t.Errorf("the log says %v", got)
		}
	})

	t.Run("photos and rows whose answer is lost", func(t *testing.T) {
		o := newOutpost(t)
		who := o.person(store.Educator, "Invented Educator")
		o.row(who, "counties", "ALD", "county", "ALD", "name", "Invented county")
		ctx := tab(t, all)
		o.signIn(ctx, "Invented Educator", "/beds/"+o.bed+"/photos")
		o.off()
		o.wrap = loses
		o.on()
		picture := filepath.Join(t.TempDir(), "invented.jpg")
		if err := os.WriteFile(picture, exif(t, 300, 200, 6), 0o600); err != nil {
			t.Fatal(err)
		}
		run(t, ctx, chromedp.SetUploadFiles(chromedp.CSS("#photo"), []string{picture}))
		fill(t, ctx)
		waiting(t, ctx, 1)
		o.open(ctx, "/program/indirect")
		fill(t, ctx, "unit", "copies", "count", "40")
		waiting(t, ctx, 2)
		o.off()
		o.wrap = nil
		o.on()
		ask[bool](t, ctx, `([...document.querySelectorAll("#waiting li")].find(e => e.textContent.includes("copies")).querySelector("button").click(), true)`)
		until(t, ctx, `document.querySelector("form[data-visit]")?.elements.namedItem("count").value === "40"`)
		fill(t, ctx, "count", "44")
		until(t, ctx, `document.querySelector('[data-state="clash"]')?.textContent.includes("40") && document.querySelector('[data-state="clash"]').textContent.includes("44")`)
		touch(t, ctx, "Keep what is on the server")
		waiting(t, ctx, 0)
		if photos, err := o.kept.Photos(t.Context(), who, o.bed); err != nil || len(photos) != 1 {
			t.Errorf("%d photos, %v", len(photos), err)
		}
		if got := o.rows("indirect", "count"); len(got) != 1 || got[0] != "40" {
			t.Errorf("items: %v", got)
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
		until(t, ctx, `location.pathname === "/sign-in" && document.readyState === "complete"`)
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
