package web

import (
	"context"
	"flag"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"runtime/debug"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
)

// atOnce is how many tests run at once: a browser waits for its server, and the server for a browser.
const atOnce = "5"

// started is the browser of all tests of this room, without a window, and where it keeps things.
var started struct {
	sync.Mutex
	ctx    context.Context
	folder string
	stop   context.CancelFunc
}

func TestMain(m *testing.M) {
	if flag.Parse(); testing.Short() {
		debug.SetGCPercent(400)                                           // a little memory for a little time
		http.DefaultTransport.(*http.Transport).DisableCompression = true // the check packs each page and unpacks it again
	} else if err := flag.Set("test.parallel", atOnce); err != nil {
		panic(err)
	}
	code := m.Run()
	if started.stop != nil {
		started.stop()
		os.RemoveAll(started.folder)
	}
	os.Exit(code)
}

// browser gives a test a private window of the one browser, with nothing in its memory, beside those of other tests.
func browser(t *testing.T) context.Context {
	t.Helper()
	path := chromium(t)
	beside(t)
	ctx, stop := chromedp.NewContext(theBrowser(t, path), chromedp.WithNewBrowserContext())
	t.Cleanup(stop)
	ctx = soon(t, ctx)
	call(t, ctx, emulation.SetFocusEmulationEnabled, emulation.SetFocusEmulationEnabledParams{Enabled: true}) // each is typed into as if it were in front
	return ctx
}

// theBrowser starts the one browser, where there is none or it crashed.
func theBrowser(t *testing.T, path string) context.Context {
	t.Helper()
	started.Lock()
	defer started.Unlock()
	if started.ctx == nil || started.ctx.Err() != nil {
		folder, err := os.MkdirTemp("", "browser")
		if err != nil {
			t.Fatal(err)
		}
		started.folder = folder
		started.ctx, started.stop = begin(path, folder)
		run(t, started.ctx, chromedp.Navigate("about:blank"))
	}
	return started.ctx
}

// ownBrowser starts a browser for one test, with a memory as that of a phone: that of a private window is smaller.
func ownBrowser(t *testing.T) context.Context {
	t.Helper()
	path := chromium(t)
	beside(t)
	ctx, stop := begin(path, t.TempDir())
	t.Cleanup(stop)
	return soon(t, ctx)
}

func soon(t *testing.T, ctx context.Context) context.Context {
	ctx, stop := context.WithTimeout(ctx, 10*time.Minute)
	t.Cleanup(stop)
	return ctx
}

// chromium gives the browser that was made to have no window, since it needs half of the work, or the one with windows, told to open none.
func chromium(t *testing.T) string {
	t.Helper()
	if testing.Short() {
		t.Skip("a browser takes long to start")
	}
	for _, name := range []string{"chromium-headless-shell", "chromium"} {
		if path, err := exec.LookPath(name); err == nil {
			return path
		}
	}
	if os.Getenv("CI") != "" {
		t.Fatal("chromium-headless-shell is missing: ./check installs it")
	}
	t.Skip("chromium-headless-shell is missing: ./check installs it")
	return ""
}

func begin(path, folder string) (context.Context, context.CancelFunc) {
	o := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(path), chromedp.NoSandbox, chromedp.DisableGPU, chromedp.UserDataDir(folder), chromedp.Flag("disable-quic", true), chromedp.Flag("disable-dev-shm-usage", true), chromedp.Flag("disable-component-update", true), chromedp.Flag("font-render-hinting", "none"))
	ctx, stop := chromedp.NewExecAllocator(context.Background(), o...)
	ctx, last := chromedp.NewContext(ctx)
	return ctx, func() { last(); stop() }
}

// run does steps in the browser.
func run(t *testing.T, ctx context.Context, steps ...chromedp.Action[chromedp.Void]) {
	t.Helper()
	if err := chromedp.Do(ctx, steps...); err != nil {
		t.Fatal(err)
	}
}

// ask gives the value of an expression in the page.
func ask[T any](t *testing.T, ctx context.Context, expression string) T {
	t.Helper()
	v, err := chromedp.Run(ctx, chromedp.Evaluate[T](expression, chromedp.EvalAwaitPromise))
	if err != nil {
		t.Fatalf("%s: %v", expression, err)
	}
	return v
}

// until waits until an expression holds in the page, two minutes at most.
func until(t *testing.T, ctx context.Context, expression string) {
	t.Helper()
	within(t, ctx, 2*time.Minute, expression)
}

// within waits for an expression as long as it is told.
func within(t *testing.T, ctx context.Context, most time.Duration, expression string) {
	t.Helper()
	for end := time.Now().Add(most); ; time.Sleep(50 * time.Millisecond) {
		if v, err := chromedp.Run(ctx, chromedp.Evaluate[bool](`Boolean(`+expression+`)`)); err == nil && v {
			return
		}
		if time.Now().After(end) {
			t.Fatalf("never: %s\n%s", expression, ask[string](t, ctx, `[location.href, document.readyState, document.activeElement?.id, document.querySelector("main")?.innerText.slice(0, 600)].join(" | ")`))
		}
	}
}

func el(id string) string { return `document.getElementById("` + id + `")` }

// A person plans a bed with the keyboard: what they type stands at once in the plan beside
// it, is held by the browser until it is kept, and the field that they are in stays theirs.
func TestThePlanMovesWhileOneTypes(t *testing.T) {
	ctx := browser(t)
	s := house(t)
	run(t, ctx, chromedp.Navigate(s.URL+"/"), chromedp.SendKeys(chromedp.CSS(`[id="bed.length"]`), "8 ft"), chromedp.SendKeys(chromedp.CSS(`[id="bed.width"]`), "4 ft\r"))
	until(t, ctx, el("now")) // it stands after the form
	before := ask[string](t, ctx, el("now")+".textContent")
	run(t, ctx, chromedp.SendKeys(chromedp.CSS(`[id="bed.depth"]`), "10 in"))
	until(t, ctx, el("now")+`.textContent.includes("10 in")`)
	if after := ask[string](t, ctx, el("now")+".textContent"); after == before {
		t.Error("the plan did not move")
	}
	if ask[string](t, ctx, "document.activeElement.id") != "bed.depth" || ask[string](t, ctx, el("bed.depth")+".value") != "10 in" {
		t.Error("the field that was typed in was taken away")
	}
	if ask[bool](t, ctx, el("unkept")+".hidden") {
		t.Error("nothing says that this is not kept yet")
	}
	run(t, ctx, chromedp.Reload())
	until(t, ctx, el("bed.depth")+`?.value === "10 in"`)
	// a fault, and back
	run(t, ctx, chromedp.SendKeys(chromedp.CSS(`[id="water.alkalinity"]`), "180"))
	until(t, ctx, el("water.alkalinity")+`.getAttribute("aria-invalid") === "true" && `+el("faults")+`.textContent.length > 5`)
	run(t, ctx, chromedp.SendKeys(chromedp.CSS(`[id="water.alkalinity"]`), " mg/L CaCO3"))
	until(t, ctx, `!`+el("water.alkalinity")+`.hasAttribute("aria-invalid") && `+el("faults")+`.textContent.trim() === ""`)
	// kept by Enter, and there the next time
	run(t, ctx, chromedp.SendKeys(chromedp.CSS(`[id="bed.depth"]`), "\r"))
	until(t, ctx, el("unkept")+`?.hidden && `+el("bed.depth")+`.value === "10 in"`)
	run(t, ctx, chromedp.Reload())
	until(t, ctx, el("water.alkalinity")+`?.value === "180 mg/L CaCO3"`)
}

// rulesOfTheWeb gives axe-core.
func rulesOfTheWeb(t *testing.T) string {
	t.Helper()
	cache, err := os.UserCacheDir()
	if err != nil {
		t.Fatal(err)
	}
	axe, err := os.ReadFile(filepath.Join(cache, "raftwright", "node_modules", "axe-core", "axe.min.js"))
	if err != nil {
		if os.Getenv("CI") != "" {
			t.Fatal("axe-core is missing: ./check fetches it")
		}
		t.Skip("axe-core is missing: ./check fetches it")
	}
	return string(axe)
}

// breaks gives what the rules of the web find on a part of a page as it stands, "document" for all of it, all rules or these only; axe stands in the page. Of a selector
// nobody asks, and it takes half of the time; sheets of style are not fetched anew, since only a rule that is off by itself asks for them (css-orientation-lock).
func breaks(t *testing.T, ctx context.Context, part string, only ...string) []string {
	t.Helper()
	rules := ""
	if len(only) > 0 {
		rules = `, runOnly: ["` + strings.Join(only, `", "`) + `"]`
	}
	return ask[[]string](t, ctx, `axe.run(`+part+`, {resultTypes: ["violations"], selectors: false, preload: false`+rules+`}).then(r => r.violations.map(v => v.id + ": " + v.nodes.slice(0, 3).map(n => n.html.slice(0, 200)).join(" | ")))`)
}

// everyRow says whether the rules are held in every way, as ./check --long holds them.
func everyRow() bool { return os.Getenv("RAFTWRIGHT_RULES") == "all" }

// fewRows leaves of each table and list the first rows, since one template makes them all and the rules take seconds for a thousand elements.
// RAFTWRIGHT_RULES=all leaves all of them.
func fewRows(t *testing.T, ctx context.Context) {
	t.Helper()
	if !everyRow() {
		ask[bool](t, ctx, `(document.querySelectorAll("tbody tr:nth-child(n+9), li:nth-child(n+25)").forEach(e => e.style.setProperty("display", "none", "important")), true)`)
	}
}

// ofALook are the rules that may find another thing where a page is as wide, as colored or in the words of another look. The others ask for what one template says on all.
var ofALook = []string{"color-contrast", "target-size", "scrollable-region-focusable", "link-in-text-block", "link-name", "button-name", "label", "html-has-lang", "valid-lang"}

// obeysTwice holds a page to the rules on a telephone and on a desk, in Spanish and in English: on one of them to all, by turns of the addresses, and on the other
// to those of a look. RAFTWRIGHT_RULES=all holds it to all on both.
func obeysTwice(t *testing.T, ctx context.Context, address, axe, path string) {
	t.Helper()
	phone, desk := ofALook, ofALook
	if len(path)/2%2 == 0 || everyRow() {
		phone = nil
	}
	if phone != nil || everyRow() {
		desk = nil
	}
	obeys(t, ctx, address, axe, path, 320, "dark", "es", phone...)
	obeys(t, ctx, address, axe, path, 1280, "light", "en", desk...)
}

// obeys looks whether the rules of the web, all or these only, find nothing on a page, in a theme, and whether it does not move sideways. Callers ask for one
// theme on a telephone and the other on a desk; pages with an odd address change them, so that each is seen in both widths. RAFTWRIGHT_RULES=all
// holds the colors of every page in both themes.
func obeys(t *testing.T, ctx context.Context, address, axe, path string, wide int64, theme, tag string, only ...string) {
	t.Helper()
	run(t, ctx, chromedp.EmulateViewport(wide, 900))
	if ask[string](t, ctx, `location.origin`) != address {
		run(t, ctx, chromedp.Navigate(address+"/"))
	}
	ask[bool](t, ctx, `document.documentElement.lang === "`+tag+`" || fetch("/language", {method: "POST", redirect: "manual", body: new URLSearchParams({language: "`+tag+`", from: "/"})}).then(() => true)`)
	run(t, ctx, chromedp.Navigate(address+path))
	ask[bool](t, ctx, `(document.querySelectorAll("details").forEach(d => d.open = true), document.fonts.ready.then(() => true))`)
	if side := ask[float64](t, ctx, `document.documentElement.scrollWidth - innerWidth`); side > 0 {
		t.Errorf("%s at %d px moves sideways by %g px", path, wide, side)
	}
	broken := ask[[]string](t, ctx, `[...document.querySelectorAll("h1, h2, h3, main th")].flatMap(e => [...e.childNodes].filter(n => n.nodeType === 3 && e.checkVisibility()).flatMap(n => [...n.data.matchAll(/[\p{L}\p{N}]+/gu)].filter(m => {
		const r = document.createRange();
		return r.setStart(n, m.index), r.setEnd(n, m.index + m[0].length), r.getClientRects().length > 1;
	}).map(m => m[0])))`)
	for _, w := range broken {
		if len(w) < 25 { // no screen is wide enough for every word
			t.Errorf("%s at %d px breaks the word %q", path, wide, w)
		}
	}
	ask[bool](t, ctx, axe+`; true`)
	fewRows(t, ctx)
	other := map[string]string{"light": "dark", "dark": "light"}[theme]
	if len(path)%2 == 1 {
		theme, other = other, theme
	}
	looks := []struct {
		theme string
		rules []string
	}{{theme, only}, {other, []string{"color-contrast"}}}
	if !everyRow() {
		looks = looks[:1]
	}
	for _, look := range looks {
		ask[bool](t, ctx, `(document.documentElement.dataset.theme = "`+look.theme+`", true)`)
		for _, f := range breaks(t, ctx, "document", look.rules...) {
			t.Errorf("%s at %d px, %s, %s: %s", path, wide, look.theme, tag, f)
		}
	}
}

// What breaks a rule is found, also in the other theme alone.
func TestTheRulesAreHeld(t *testing.T) {
	ctx := browser(t)
	s := house(t)
	run(t, ctx, chromedp.Navigate(s.URL+"/"))
	ask[bool](t, ctx, rulesOfTheWeb(t)+`; (document.querySelector("main").insertAdjacentHTML("beforeend", "<button></button><p id=pale>pale</p>"), document.getElementById("pale").style.color = "#eee", document.documentElement.dataset.theme = "light", true)`)
	if got := strings.Join(breaks(t, ctx, "document"), "\n"); !strings.Contains(got, "button-name: <button></button>") || !strings.Contains(got, "color-contrast: <p id=\"pale\"") {
		t.Errorf("found %q", got)
	}
	if got := breaks(t, ctx, "document", "color-contrast"); len(got) != 1 || !strings.Contains(got[0], "pale") {
		t.Errorf("found %q", got)
	}
}

// The rules of the web find nothing on any page, on a telephone and on a desk, in light and
// in dark, in either language; no page moves sideways.
func TestRulesOfTheWeb(t *testing.T) {
	ctx := browser(t)
	axe := rulesOfTheWeb(t)
	s := house(t)
	made := sendFile(t, s.URL, strings.Replace(invented, "kind: hard", "alkalinity: 180", 1)) // with a fault at its field
	bed := strings.TrimSuffix(made.where, "/brief")
	form := fieldsOf(t, made.body)
	form.Set("bed.depth", "7 in")
	post(t, s.URL+made.where, form)
	paths := []string{"/", "/beds", bed + "/brief", bed + "/plan", bed + "/plan/raft", bed + "/plan/frame", "/beds/demonstration/plan/mix", "/beds/demonstration/working", bed + "/working/frame.use", bed + "/today", bed + "/packet", bed + "/versions?from=1&to=2", "/nowhere"}
	for _, path := range paths {
		obeysTwice(t, ctx, s.URL, axe, path)
	}
}
