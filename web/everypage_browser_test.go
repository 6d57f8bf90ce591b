package web

import (
	"context"
	"fmt"
	"maps"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"

	"raftwright/plan"
	"raftwright/store"
)

// everywhere is a server with its pages, by their names.
type everywhere struct {
	server *httptest.Server
	pages  map[string]string
}

// everyPage is everyOffice, its educator signed in in the browser.
func everyPage(t *testing.T, ctx context.Context) (server *httptest.Server, pages map[string]string) {
	t.Helper()
	office := everyOffice(t)
	return office.signIn(t, ctx), office.pages
}

// signIn signs the educator in in a browser.
func (office everywhere) signIn(t *testing.T, ctx context.Context) *httptest.Server {
	t.Helper()
	run(t, ctx, chromedp.Navigate(office.server.URL+"/sign-in"))
	ask[bool](t, ctx, `fetch("/sign-in", {method: "POST", body: new URLSearchParams({name: "Invented educator", password: "invented words"})}).then(r => r.ok)`)
	return office.server
}

// everyOffice is an office in which something of everything is kept: a bed that grows, beds that need attention, the book of a year, a trial, sheets keyed by
// two people, a follow-up under way.
func everyOffice(t *testing.T) everywhere {
	t.Helper()
	server, kept, askers, _ := staffedYear(t)
	educator, volunteer := askers[0], askers[1]
	demo, err := os.ReadFile("../examples/demo.yaml")
	if err != nil {
		t.Fatal(err)
	}
	own := store.NewID()
	if _, err := kept.PutBed(t.Context(), store.Holder(), own, string(demo), plan.Code); err != nil {
		t.Fatal(err)
	}
	sheet := busy(t, kept, own)
	gone := store.NewID()
	if _, err := kept.PutBed(t.Context(), store.Holder(), gone, "raftwright: 1\ntitle: Invented bed that was removed\nsite: {place: Alder Town ME}\n", "1"); err != nil {
		t.Fatal(err)
	}
	if err := kept.RemoveBed(t.Context(), store.Holder(), store.NewID(), gone, 1); err != nil {
		t.Fatal(err)
	}
	bed := "/beds/" + own
	sent := func(path string, form url.Values) {
		t.Helper()
		if status, page := educator.page(t, "POST", server.URL+path, form); status >= 400 {
			t.Fatal(path, status, page)
		}
	}
	visit := "0197f000-0000-7000-8000-000000000009"
	sent(bed+"/log", url.Values{"at": {"2027-05-04T08:00"}, "filled": {"yes"}, "planted.heads": {"32"}})
	for at, deep := range map[string]string{"2027-05-05T08:00": "5-1/2", "2027-05-08T08:00": "5", "2027-05-10T07:55": "4-1/2"} {
		sent(bed+"/log", url.Values{"at": {at}, "depth": {deep}, "ec": {"1.9"}, "ph": {"6.9"}, "water temperature": {"64"}, "note": {"clear; " + strings.Repeat("longword", 10)}})
	}
	sent(bed+"/log", url.Values{"at": {"2027-05-11T07:56"}, "id": {visit}, "ec": {"1.8"}})
	trial := store.NewID()
	sent(bed+"/trials", url.Values{"id": {trial}, "of": {"variety"}, "first": {"Green"}, "other": {"Red"}, "spread": {"18 g"}})
	pile := strings.TrimPrefix(newPile(t, volunteer, server.URL, "E002", "slips", true), server.URL)
	key(t, volunteer, server.URL+pile, map[string]string{"row1:groups": "47", "row1:sex": "w", "row1:item.build": "24", "row2:groups": "8", "row2:sex": "m"})
	key(t, educator, server.URL+pile+"?turn=2", map[string]string{"row1:groups": "4", "row1:sex": "w", "row1:item.build": "25", "row2:groups": "8", "row2:sex": "m"})
	signed := strings.TrimPrefix(newPile(t, educator, server.URL, "E002", "signins", false), server.URL)
	sent("/program/waves", url.Values{"id": {store.NewID()}, "wave": {"N1"}, "question": {"Is it growing?"}, "sent": {"0"}, "undeliverable": {"0"}, "planned_on": {"2027-05-01"}})
	_, wave := educator.page(t, "GET", server.URL+"/program/wave/N1", nil)
	_, wave = educator.page(t, "POST", server.URL+"/program/wave/N1", url.Values{"saw": {fieldsOf(t, wave).Get("saw")}})
	people, err := kept.People(t.Context(), store.Holder())
	if err != nil {
		t.Fatal(err)
	}
	q := "?funder=BOARD&day=2027-07-05"
	return everywhere{server, map[string]string{
		"start": "/", "beds": "/beds", "people": "/people", "person": "/people/" + people[1].Account, "looks": "/people/looks", "account": "/account", "labels": "/labels", "shared": "/shared", "sheet": "/shared/" + sheet, "sheet_new": "/shared/new/shelf",
		"today": bed + "/today", "today_kept": bed + "/today?kept=" + visit, "did": bed + "/did", "seen": bed + "/seen", "seen_some": bed + "/seen?seen=young_interveinal&seen=aphids&roots=brown", "brief": bed + "/brief", "plan": bed + "/plan", "section": bed + "/plan/raft", "working": bed + "/working", "worked": bed + "/working/frame.use", "history": bed + "/history", "entry": bed + "/log/" + visit,
		"dates": bed + "/dates", "photos": bed + "/photos", "share": bed + "/share", "fill": bed + "/fill", "next": bed + "/next", "packet": bed + "/packet", "step": bed + "/packet/frame", "step_buy": bed + "/packet/buy", "step_card": bed + "/packet/card", "bed_labels": bed + "/labels", "versions": bed + "/versions", "remove": bed + "/remove", "removed": "/removed", "import": bed + "/import",
		"paper_log": bed + "/paper", "papers": bed + "/papers", "garden": bed + "/papers/garden", "selling": bed + "/papers/selling", "season": bed + "/papers/season", "workshop": bed + "/workshop?families=2",
		"trials": bed + "/trials", "trial": bed + "/trials/" + trial, "weights": bed + "/trials/" + trial + "/weights",
		"question": "/question", "asked": "/question?begun=yes&seen=young_interveinal",
		"book": "/program", "events": "/program/events", "people_rows": "/program/people", "report": "/program/report" + q, "public": "/program/report" + q + "&edition=public", "figures": "/program/figures" + q, "figure": "/program/figure" + q + "&name=direct_contacts&county=all",
		"keying": "/keying", "pile": pile + "?turn=2", "signins": signed, "apart": pile + "/apart", "due": "/keeping/due", "consents": "/keeping/consents?code=P2339", "words": "/keeping/words", "copy": "/keeping/copy", "codes": "/codes", "code": "/codes/P2339",
		"wave": "/program/wave/N1", "answer": answerLink.FindString(wave), "answer_none": "/answer/AAAAAAAAAAAAAAAAAAAAAA", "nowhere": "/nowhere",
	}}
}

// With SHOTS images of every page are left in that folder, to be looked at; PAGES narrows them, LOOKS is a list as in 360-en-light,1280-es-dark.
func TestImagesOfEveryPage(t *testing.T) {
	dir := os.Getenv("SHOTS")
	if dir == "" {
		t.Skip("SHOTS names no folder")
	}
	ctx := browser(t)
	server, pages := everyPage(t, ctx)
	for _, look := range strings.Split(os.Getenv("LOOKS"), ",") {
		var wide int64
		var tag, theme string
		if _, err := fmt.Sscanf(strings.ReplaceAll(look, "-", " "), "%d %s %s", &wide, &tag, &theme); err != nil {
			t.Fatal(look, err)
		}
		ask[bool](t, ctx, `fetch("/language", {method: "POST", redirect: "manual", body: new URLSearchParams({language: "`+tag+`", from: "/"})}).then(() => true)`)
		for name, path := range pages {
			if only := os.Getenv("PAGES"); only != "" && !strings.Contains(","+only+",", ","+name+",") {
				continue
			}
			run(t, ctx, chromedp.EmulateViewport(wide, 900), chromedp.Navigate(server.URL+path))
			ask[bool](t, ctx, `(document.documentElement.dataset.theme = "`+theme+`", document.fonts.ready.then(() => true))`)
			shot, err := chromedp.Run(ctx, chromedp.FullScreenshot(100))
			if err != nil {
				t.Fatal(err)
			}
			if err := os.WriteFile(filepath.Join(dir, name+"-"+look+".png"), shot, 0o600); err != nil {
				t.Fatal(err)
			}
		}
	}
}

// TestEveryPage goes through every page by Tab alone, with letters twice as large and on paper. A page is opened once for all three, in one of three windows;
// what is kept is filled once for them, and they only look. PAGES narrows the pages.
func TestEveryPage(t *testing.T) {
	beside(t)
	chromium(t)
	office := everyOffice(t)
	names := slices.Sorted(maps.Keys(office.pages))
	for _, name := range largePages {
		if office.pages[name] == "" {
			t.Fatal("no page", name)
		}
	}
	const windows = 3
	for window := range windows {
		t.Run(strconv.Itoa(window), func(t *testing.T) {
			t.Parallel()
			ctx := browser(t)
			server := office.signIn(t, ctx)
			for i, name := range names {
				if only := os.Getenv("PAGES"); i%windows != window || only != "" && !strings.Contains(","+only+",", ","+name+",") {
					continue
				}
				wide := []int64{1280, 320}[i/windows%2]
				run(t, ctx, chromedp.EmulateViewport(wide, 900), chromedp.Navigate(server.URL+office.pages[name]))
				if slices.Contains(keyboardPages, name) {
					everyControlByTabAlone(t, ctx, name, wide)
				}
				if slices.Contains(largePages, name) {
					lettersTwiceAsLarge(t, ctx, name)
				}
				prints(t, ctx, name)
			}
		})
	}
}

// keyboardPages are walked by Tab alone.
var keyboardPages = []string{"start", "beds", "people", "person", "account", "share", "today", "did", "seen", "brief", "history", "packet", "paper_log", "papers", "selling", "workshop", "trials", "trial", "weights", "question", "asked", "book", "events", "report", "keying", "pile", "signins", "apart", "due", "consents", "words", "copy", "code", "wave", "answer", "plan", "section"}

// Whoever has no mouse reaches every control of a page by Tab, in the order in which they are read, and sees where they are (WCAG 2.2, 2.1.1, 2.1.2, 2.4.3, 2.4.7, 2.4.11).
func everyControlByTabAlone(t *testing.T, ctx context.Context, name string, wide int64) {
	t.Helper()
	stops := ask[int](t, ctx, `document.fonts.ready.then(() => {
		const group = new Set();
		window.stops = [...document.querySelectorAll("a[href], button, input:not([type=hidden]), select, textarea, summary, [tabindex]")].filter(e => {
			if (!e.checkVisibility({visibilityProperty: true}) || e.disabled || e.tabIndex < 0) return false;
			if (e.type !== "radio") return true;
			const of = e.form?.action + " " + e.name; // Tab comes to one of a group, arrows to the others
			return !group.has(of) && group.add(of);
		});
		window.walked = [];
		window.unseen = [];
		addEventListener("focusin", e => {
			const f = e.target, ring = (x) => { const s = x && getComputedStyle(x); return s && s.outlineStyle !== "none" && parseFloat(s.outlineWidth) >= 2; };
			walked.push(f);
			if (!ring(f) && !ring(f.closest(".blank, .pick, .need > li"))) unseen.push("no ring: " + f.outerHTML.slice(0, 120));
			requestAnimationFrame(() => {
				const r = f.getBoundingClientRect();
				if (f !== document.activeElement) return;
				if (r.bottom <= 0 || r.top >= innerHeight || r.right <= 0 || r.left >= innerWidth) unseen.push("outside of the window: " + f.outerHTML.slice(0, 120));
			});
		});
		return stops.reduce((n, e) => n + (e.type === "date" ? 4 : e.type === "datetime-local" ? 7 : 1), 0); // a date has a stop for each of its parts
	})`)
	for range stops { // the browser goes on when the key is down
		call(t, ctx, input.DispatchKeyEvent, input.DispatchKeyEventParams{Type: input.DispatchKeyEventTypeRawKeyDown, Key: "Tab", Code: "Tab", WindowsVirtualKeyCode: 9, NativeVirtualKeyCode: 9})
	}
	told := ask[[]string](t, ctx, `(() => {
		const same = (a, b) => a === b || a.type === "radio" && b.type === "radio" && a.name === b.name && a.form === b.form;
		const short = e => e.outerHTML.slice(0, 120), out = [...unseen];
		for (const e of stops) if (!walked.some(w => same(w, e))) out.push("never reached: " + short(e));
		for (let i = 1; i < walked.length; i++) {
			const [a, b] = [walked[i - 1], walked[i]];
			if (!(a.compareDocumentPosition(b) & Node.DOCUMENT_POSITION_FOLLOWING)) out.push("goes back: " + short(b));
			const [p, q] = [a.getBoundingClientRect(), b.getBoundingClientRect()];
			if (a.closest(".block") && b.closest(".block") && q.bottom <= p.top && q.left < p.right) out.push("jumps up: " + short(b));
		}
		return out.slice(0, 6);
	})()`)
	for _, x := range told {
		t.Errorf("%s at %d px: %s", name, wide, x)
	}
	if stops < 4 {
		t.Errorf("%s: only %d controls", name, stops)
	}
}
