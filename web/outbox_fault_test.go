package web

import (
	"context"
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"raftwright/store"
)

// onDisk counts what waits on the disk of a phone, whoever wrote it.
func onDisk(t *testing.T, ctx context.Context) int {
	t.Helper()
	return ask[int](t, ctx, `new Promise((yes) => { const r = indexedDB.open("raftwright"); r.onsuccess = () => { if (!r.result.objectStoreNames.contains("visits")) return r.result.close(), indexedDB.deleteDatabase("raftwright"), yes(0); const t = r.result.transaction("visits").objectStore("visits").count(); t.onsuccess = () => { r.result.close(); yes(t.result); }; }; })`)
}

// slowly is a way on which what is sent waits until it may go on, once.
func slowly(began chan<- struct{}, goes <-chan struct{}, status int) func(http.Handler) http.Handler {
	return func(next http.Handler) http.Handler {
		return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
			if sends(r) {
				select {
				case began <- struct{}{}:
					<-goes
					if status != 0 {
						w.WriteHeader(status)
						return
					}
				default:
				}
			}
			next.ServeHTTP(w, r)
		})
	}
}

// What goes wrong inside a phone at the worst moment: nothing that was kept is lost, and the page never says that nothing waits
// while something does.
func TestNothingLeavesAPhoneUnsent(t *testing.T) {
	all := ownBrowser(t)
	run(t, all, chromedp.Navigate("about:blank"))
	const hangs = `const really = IDBFactory.prototype.open; IDBFactory.prototype.open = function (...a) { return window.hangs ? ({}) : really.apply(this, a); };`

	t.Run("a disk that does not answer for a while", func(t *testing.T) {
		o := newOutpost(t)
		ctx := tab(t, all, hangs)
		o.signIn(ctx, "Invented Grower", "/beds/"+o.bed+today)
		o.off()
		o.visit(ctx, "5.1")
		until(t, ctx, el("said-here")+` && document.documentElement.dataset.waits === "1"`)
		o.on()
		ask[bool](t, ctx, `(window.hangs = true)`)
		ask[bool](t, ctx, `(window.saw = new Set(), new MutationObserver(() => window.saw.add(document.documentElement.dataset.waits)).observe(document.documentElement, { attributes: true }), true)`)
		o.off()
		ask[bool](t, ctx, `(dispatchEvent(new Event("online")), true)`)
		until(t, ctx, el("waiting")+`.textContent.includes("has not yet told whether")`)
		if said := ask[string](t, ctx, `[...window.saw].join()`); strings.Contains(said, "0") {
			t.Errorf("while one waits the page says %q", said)
		}
		obeyed(t, ctx, "a disk that does not answer")
		o.on()
		ask[bool](t, ctx, `(window.hangs = false, true)`)
		until(t, ctx, `document.documentElement.dataset.waits === "0"`) // by itself
		if got := strings.Join(o.log("depth"), ", "); got != "5.1 in" || onDisk(t, ctx) != 0 {
			t.Errorf("the log says %s, and %d are on the disk", got, onDisk(t, ctx))
		}
	})

	t.Run("a page that opens while the disk does not answer", func(t *testing.T) {
		o := newOutpost(t)
		ctx := tab(t, all, hangs)
		o.signIn(ctx, "Invented Grower", "/beds/"+o.bed+today)
		o.off()
		o.visit(ctx, "5.1")
		until(t, ctx, el("said-here")+` && document.documentElement.dataset.waits === "1"`)
		o.on()
		late := tab(t, all, `window.hangs = true;`+hangs)
		o.open(late, "/beds/"+o.bed+today)
		if said := ask[string](t, late, `document.documentElement.dataset.waits`); said != "unread" {
			t.Errorf("it says that %s wait", said)
		}
		if !ask[bool](t, late, `new Promise((yes) => { window.confirm = (text) => (yes(text.includes("has not told whether")), false); document.querySelector('form[action="/sign-out"]').requestSubmit(); setTimeout(() => yes(false), 20000); })`) {
			t.Error("signing out does not ask")
		}
		ask[bool](t, late, `(window.hangs = false, true)`)
		until(t, late, `document.documentElement.dataset.waits === "0"`)
		if got := strings.Join(o.log("depth"), ", "); got != "5.1 in" {
			t.Errorf("the log says %s", got)
		}
	})

	t.Run("written anew while it is sent", func(t *testing.T) {
		o := newOutpost(t)
		ctx, other := tab(t, all), tab(t, all)
		began, goes := make(chan struct{}, 1), make(chan struct{})
		o.signIn(ctx, "Invented Grower", "/beds/"+o.bed+today)
		o.off()
		o.visit(ctx, "5.1")
		until(t, ctx, el("said-here")+` && document.documentElement.dataset.waits === "1"`)
		o.wrap = slowly(began, goes, 0)
		o.on()
		touch(t, ctx, "Send now")
		for len(began) == 0 {
			time.Sleep(20 * time.Millisecond)
		}
		id := ask[string](t, ctx, `document.querySelector("[data-visit]").dataset.visit`)
		o.open(other, "/beds/"+o.bed+today+"#change="+id)
		until(t, other, `document.querySelector("form[data-visit]") && document.querySelector('input[name="depth"]').value === "5.1"`)
		o.visit(other, "4.9")
		if !ask[bool](t, other, `new Promise((yes) => { const look = () => { const r = indexedDB.open("raftwright"); r.onsuccess = () => { const g = r.result.transaction("visits").objectStore("visits").getAll(); g.onsuccess = () => { r.result.close(); g.result.some((v) => v.fields.some(([, x]) => x === "4.9")) ? yes(true) : setTimeout(look, 50); }; }; }; look(); })`) {
			t.Fatal("it was not written")
		}
		close(goes)
		until(t, other, `document.querySelector('[data-state="clash"]')?.textContent.includes("5.1 in") && document.querySelector('[data-state="clash"]').textContent.includes("4.9")`)
		touch(t, other, "Add mine as a visit of its own")
		until(t, other, `document.documentElement.dataset.waits === "0" && !document.querySelector("[data-visit]:not(form)")`)
		if got := strings.Join(o.log("depth"), ", "); got != "5.1 in, 4.9 in" {
			t.Errorf("the log says %s", got)
		}
	})

	t.Run("thrown away while it is sent in vain", func(t *testing.T) {
		o := newOutpost(t)
		ctx := tab(t, all)
		began, goes := make(chan struct{}, 1), make(chan struct{})
		o.signIn(ctx, "Invented Grower", "/beds/"+o.bed+today)
		o.off()
		o.visit(ctx, "5.1")
		until(t, ctx, el("said-here")+` && document.documentElement.dataset.waits === "1"`)
		o.wrap = slowly(began, goes, http.StatusServiceUnavailable)
		o.on()
		touch(t, ctx, "Send now")
		for len(began) == 0 {
			time.Sleep(20 * time.Millisecond)
		}
		ask[bool](t, ctx, `(window.confirm = () => true, true)`)
		touch(t, ctx, "Throw it away")
		until(t, ctx, `document.documentElement.dataset.waits === "0"`)
		close(goes)
		time.Sleep(time.Second) // the answer comes
		if n := onDisk(t, ctx); n != 0 {
			t.Errorf("%d came back", n)
		}
	})

	t.Run("another signs out", func(t *testing.T) {
		o := newOutpost(t)
		o.grower("Invented Second")
		ctx := tab(t, all)
		o.signIn(ctx, "Invented Grower", "/beds/"+o.bed+today)
		o.off()
		o.visit(ctx, "5.1")
		until(t, ctx, el("said-here")+` && document.documentElement.dataset.waits === "1"`)
		ask[bool](t, ctx, `new Promise((yes, no) => { const r = indexedDB.open("raftwright"); r.onsuccess = () => {
			const t = r.result.transaction("visits", "readwrite").objectStore("visits");
			t.put({id: "`+store.NewID()+`", who: "another", to: "/beds/`+o.bed+`/log", bed: "`+o.bed+`", title: "Invented bed", fields: [["depth", "5.6"]], said: [["Depth", "5.6 in"]], made: Date.now(), typed: true, sent: false, tries: 0, next: 0, state: "waits"});
			t.transaction.oncomplete = () => (r.result.close(), yes(true)); }; })`)
		o.on()
		o.open(ctx, "/beds/"+o.bed+today)
		until(t, ctx, `document.documentElement.dataset.waits === "0"`)
		ask[bool](t, ctx, `(document.querySelector('form[action="/sign-out"]').requestSubmit(), true)`)
		until(t, ctx, `location.pathname === "/sign-in" && document.readyState === "complete"`)
		if n := onDisk(t, ctx); n != 1 {
			t.Errorf("of another person %d wait, not 1", n)
		}
		if ask[bool](t, ctx, `caches.match("/beds/`+o.bed+`/today").then(Boolean)`) {
			t.Error("signed out, the pages are still held")
		}
	})
}
