package web

import (
	"context"
	"encoding/json"
	"io/fs"
	"net"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"

	"raftwright/brief"
	"raftwright/finding"
	"raftwright/plan"
	"raftwright/store"
)

// outpost is an office that can be switched off and on again at one address, with a grower who is signed in and has a bed.
type outpost struct {
	t       *testing.T
	folder  string
	at, bed string
	now     func() time.Time
	engine  fs.FS
	wrap    func(http.Handler) http.Handler
	server  *http.Server
	kept    *store.Store
}

func newOutpost(t *testing.T, engine ...fs.FS) *outpost {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	o := &outpost{t: t, folder: filepath.Join(t.TempDir(), "kept"), at: l.Addr().String(), now: time.Now}
	o.engine = fstest.MapFS{}
	if len(engine) > 0 {
		o.engine = engine[0]
	}
	l.Close()
	o.on()
	t.Cleanup(o.off)
	who := o.grower("Invented Grower")
	o.bed = store.NewID()
	if _, err := o.kept.PutBed(t.Context(), who, o.bed, invented, plan.Code); err != nil {
		t.Fatal(err)
	}
	if _, err := o.kept.Keep(t.Context(), who, store.NewID(), o.bed, time.Now().Add(-48*time.Hour), []store.Pair{{Path: "filled", Text: "yes"}, {Path: "planted.heads", Text: "32"}}); err != nil {
		t.Fatal(err)
	}
	return o
}

func (o *outpost) grower(name string) store.Who {
	o.t.Helper()
	ctx := o.t.Context()
	if err := o.kept.AddAccount(ctx, store.Holder(), store.NewID(), store.Grower, name, "invented@example.org", "invented words"); err != nil {
		o.t.Fatal(err)
	}
	_, who, err := o.kept.SignIn(ctx, name, "invented words")
	if err != nil {
		o.t.Fatal(err)
	}
	return who
}

// on starts the server on what it kept; off ends it in the middle of whatever it does.
func (o *outpost) on() {
	o.t.Helper()
	s, err := store.Open(context.Background(), store.InFolder(o.folder))
	if err != nil {
		o.t.Fatal(err)
	}
	l, err := net.Listen("tcp", o.at)
	if err != nil {
		o.t.Fatal(err)
	}
	h := &House{Store: s, Book: plan.DefaultBook(), Demo: []byte(invented), Now: func() time.Time { return o.now() }, Engine: o.engine}
	handler := h.Handler()
	if o.wrap != nil {
		handler = o.wrap(handler)
	}
	o.kept, o.server = s, &http.Server{Handler: handler}
	go o.server.Serve(l)
}

func (o *outpost) off() {
	if o.server == nil {
		return
	}
	o.server.Close()
	o.kept.Close()
	o.server = nil
}

func (o *outpost) url(path string) string { return "http://" + o.at + path }

// log gives what the log of the bed says under a key, visit by visit.
func (o *outpost) log(key string) (out []string) {
	o.t.Helper()
	all, err := o.kept.Log(o.t.Context(), store.Holder(), o.bed)
	if err != nil {
		o.t.Fatal(err)
	}
	for _, e := range all {
		for _, p := range e.Pairs {
			if string(p.Path) == key {
				out = append(out, p.Text)
			}
		}
	}
	return out
}

// call gives the browser a command.
func call[P, R any](t *testing.T, ctx context.Context, c cdp.Command[P, R], params P) {
	t.Helper()
	if _, err := chromedp.Call(ctx, c, params); err != nil {
		t.Fatal(err)
	}
}

// shown writes an image of the page where RAFTWRIGHT_IMAGES names a folder, for a person to look at.
func shown(t *testing.T, ctx context.Context, name string) {
	t.Helper()
	folder := os.Getenv("RAFTWRIGHT_IMAGES")
	if folder == "" {
		return
	}
	image, err := chromedp.Run(ctx, chromedp.FullScreenshot(100))
	if err == nil {
		err = os.WriteFile(filepath.Join(folder, name+".png"), image, 0o644)
	}
	if err != nil {
		t.Error(err)
	}
}

// touch touches a button of what waits.
func touch(t *testing.T, ctx context.Context, name string) {
	t.Helper()
	until(t, ctx, `[...document.querySelectorAll("#waiting button")].some(b => b.textContent === "`+name+`")`)
	ask[bool](t, ctx, `([...document.querySelectorAll("#waiting button")].find(b => b.textContent === "`+name+`").click(), true)`)
}

// signIn signs a browser in and opens a page.
func (o *outpost) signIn(ctx context.Context, name, page string) {
	o.t.Helper()
	run(o.t, ctx, chromedp.Navigate(o.url("/sign-in")),
		chromedp.SendKeys(chromedp.CSS(`main input[name="name"]`), name), chromedp.SendKeys(chromedp.CSS(`main input[name="password"]`), "invented words\r"))
	until(o.t, ctx, `location.pathname === "/"`)
	run(o.t, ctx, chromedp.Navigate(o.url(page)))
	until(o.t, ctx, `document.documentElement.dataset.away`)
}

// held waits until the phone holds the pages of the bed.
func (o *outpost) held(ctx context.Context) {
	o.t.Helper()
	for range 3 { // on a busy machine a browser may take longer than one page stays
		if ask[bool](o.t, ctx, `new Promise(yes => { let n = 0; const look = () => navigator.serviceWorker?.controller ? yes(true) : ++n > 200 ? yes(false) : setTimeout(look, 100); look(); })`) {
			break
		}
		run(o.t, ctx, chromedp.Reload())
	}
	until(o.t, ctx, `navigator.serviceWorker?.controller && document.documentElement.dataset.away`)
	if !ask[bool](o.t, ctx, `(async () => { for (let i = 0; i < 600; i++) { if (await caches.match("/beds/`+o.bed+`/history")) return true; await new Promise(r => setTimeout(r, 100)); } return false; })()`) {
		o.t.Fatal("the phone holds no pages")
	}
}

// visit writes a depth down on the page of the bed.
func (o *outpost) visit(ctx context.Context, depth string) {
	o.t.Helper()
	run(o.t, ctx, chromedp.SetValue(chromedp.CSS(`input[name="depth"]`), depth), chromedp.Click(chromedp.CSS(`form.reads button.do`)))
}

// Five visits are written down while the server is gone, over a reload and in two tabs; the page says how many wait. When
// the server is back each is in the log, once.
func TestVisitsWaitForSignal(t *testing.T) {
	ctx := ownBrowser(t)
	o := newOutpost(t)
	page := "/beds/" + o.bed + "/today"
	o.signIn(ctx, "Invented Grower", page)
	o.held(ctx)
	o.off()
	for i, depth := range []string{"5.1", "5.2", "5.3", "5.4", "5.5"} {
		if i == 2 || i == 3 { // the page comes from the phone
			run(t, ctx, chromedp.Navigate(o.url(page)))
			until(t, ctx, `document.documentElement.dataset.away === "alone"`)
			until(t, ctx, el("waiting")+`.textContent.includes("No signal")`)
		}
		o.visit(ctx, depth)
		until(t, ctx, `document.documentElement.dataset.waits === "`+string(rune('1'+i))+`" && document.getElementById("said-here")`)
		until(t, ctx, el("waits")+`.textContent.includes("`+string(rune('1'+i))+` entr")`)
	}
	// what waits is shown by the rules of the web, on a small phone
	run(t, ctx, chromedp.EmulateViewport(320, 700))
	ask[bool](t, ctx, `(document.querySelectorAll("#waiting details").forEach(d => d.open = true), true)`)
	shown(t, ctx, "waiting")
	ask[bool](t, ctx, rulesOfTheWeb(t)+`; true`)
	for _, f := range breaks(t, ctx, "document") {
		t.Error(f)
	}
	if side := ask[float64](t, ctx, `document.documentElement.scrollWidth - innerWidth`); side > 0 {
		t.Errorf("the page moves sideways by %g px", side)
	}
	second, stop := chromedp.NewContext(ctx)
	defer stop()
	run(t, second, chromedp.Navigate(o.url("/beds/"+o.bed+"/history")))
	until(t, second, `document.documentElement.dataset.waits === "5"`)
	o.on()
	touch(t, second, "Send now")
	touch(t, ctx, "Send now")
	until(t, ctx, `document.documentElement.dataset.waits === "0"`)
	until(t, second, `document.documentElement.dataset.waits === "0"`)
	if got := strings.Join(o.log("depth"), ", "); got != "5.1 in, 5.2 in, 5.3 in, 5.4 in, 5.5 in" {
		t.Errorf("the log says %s", got)
	}
	obeys(t, ctx, o.url(""), rulesOfTheWeb(t), "/away", 320, "dark", "es")
}

// The answers that an outbox is given: kept, kept before, refused with the form again, another text under its id, and no.
func TestWhatBecameOfAVisit(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	o := newOutpost(t)
	jar, _ := cookiejar.New(nil)
	me := &http.Client{Jar: jar}
	sign := func(name string) {
		resp, err := me.PostForm(o.url("/sign-in"), url.Values{"name": {name}, "password": {"invented words"}})
		if err != nil || resp.StatusCode != 200 {
			t.Fatal(err, resp)
		}
		resp.Body.Close()
	}
	sign("Invented Grower")
	send := func(id, depth string) (int, sentAnswer) {
		t.Helper()
		req, _ := http.NewRequest("POST", o.url("/beds/"+o.bed+"/log"), strings.NewReader(url.Values{"id": {id}, "at": {"2027-05-11T08:00"}, "depth": {depth}}.Encode()))
		req.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		req.Header.Set("Accept", "application/json")
		resp, err := me.Do(req)
		if err != nil {
			t.Fatal(err)
		}
		defer resp.Body.Close()
		var a sentAnswer
		if err := json.NewDecoder(resp.Body).Decode(&a); err != nil {
			t.Fatal(resp.Status, err)
		}
		return resp.StatusCode, a
	}
	id := store.NewID()
	for range 2 {
		if status, a := send(id, "5 in"); status != 200 || a.State != sentKept || a.To != "/beds/"+o.bed+"/today?kept="+id {
			t.Errorf("%d %+v", status, a)
		}
	}
	if got := o.log("depth"); len(got) != 1 {
		t.Errorf("kept %v", got)
	}
	if status, a := send(id, "4 in"); status != 409 || a.State != sentClash || a.Theirs == nil || a.Theirs.At != "2027-05-11T08:00" || len(a.Theirs.Said) != 1 || a.Theirs.Said[0][1] != "5 in" {
		t.Errorf("%d %+v", status, a)
	}
	if status, a := send(store.NewID(), "much"); status != 422 || a.State != sentRefused || !strings.Contains(a.Page, `aria-invalid="true"`) || !strings.Contains(a.Page, `value="much"`) {
		t.Errorf("%d %s", status, a.State)
	}
	o.grower("Another Invented")
	sign("Another Invented")
	if status, a := send(store.NewID(), "4 in"); status != 404 || a.State != sentNever || a.What == "" || a.Right == "" {
		t.Errorf("%d %+v", status, a)
	}
	if got := o.log("depth"); len(got) != 1 {
		t.Errorf("kept %v", got)
	}
}

// What a phone is given to work with is the brief and its whole log, and reads as the same brief.
func TestWhatIsSetAside(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	o := newOutpost(t)
	var got struct{ Brief [][2]string }
	h := &House{Store: o.kept, Book: plan.DefaultBook(), Demo: []byte(invented), Own: true}
	server := &http.Server{Handler: h.Handler()}
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	go server.Serve(l)
	t.Cleanup(func() { server.Close() })
	if err := json.Unmarshal([]byte(get(t, "http://"+l.Addr().String()+"/beds/"+o.bed+"/aside").body), &got); err != nil {
		t.Fatal(err)
	}
	var pairs []brief.Pair
	for _, p := range got.Brief {
		pairs = append(pairs, brief.Pair{Path: finding.Path(p[0]), Text: p[1]})
	}
	b, faults := brief.FromPairs(briefName, pairs)
	if len(faults) > 0 || len(b.Log) != 1 || b.Title.Value != "Invented bed" || len(b.Shelf) != 2 {
		t.Errorf("%v %+v", faults, got.Brief)
	}
}

// Without signal the phone works out itself what to do, from the plan, the log and the visits that wait, with the engine that
// it holds; it says so, and says the same as the server when that has the visits.
func TestAdviceWithoutSignal(t *testing.T) {
	ctx := ownBrowser(t)
	o := newOutpost(t, forPhones(t))
	at := "/beds/" + o.bed + "/today"
	o.signIn(ctx, "Invented Grower", at)
	o.held(ctx)
	until(t, ctx, `document.documentElement.dataset.engine === "held"`)
	before := ask[string](t, ctx, `document.querySelector("section.answer .pressed").innerText`)
	o.off()
	call(t, ctx, network.ClearBrowserCache, cdp.Empty{})
	run(t, ctx, chromedp.Navigate(o.url(at)))
	until(t, ctx, el("by-phone")+`?.querySelector(".pressed")`)
	if got := ask[string](t, ctx, el("by-phone")+`.querySelector(".pressed").innerText`); got != before {
		t.Errorf("the phone says %q, the server said %q", got, before)
	}
	if got := ask[string](t, ctx, el("by-phone")+`.innerText`); !strings.HasPrefix(got, "Worked out on this phone at ") {
		t.Errorf("nothing says who worked it out: %.100s", got)
	}
	if !ask[bool](t, ctx, `document.querySelector("section.answer:not(#by-phone)").hidden`) {
		t.Error("the advice of before stands beside it")
	}
	shown(t, ctx, "by-phone")
	t.Logf("on this phone: %s", ask[string](t, ctx, `(async () => {
		const told = JSON.parse(document.getElementById("away").dataset.told), aside = await (await fetch("/beds/`+o.bed+`/aside")).json();
		const times = [], w = new Worker(told.files.phone), begun = performance.now();
		const ask = (n) => new Promise(yes => { const t = performance.now(); w.onmessage = e => { times.push((performance.now() - t).toFixed(0)); yes(e.data); }; w.postMessage({n, brief: aside.brief, visits: [], now: "2027-05-20T08:00"}); });
		w.postMessage({start: told.engine});
		for (let n = 1; n < 4; n++) await ask(n);
		return "first answer " + times[0] + " ms, then " + times.slice(1).join(" and ") + " ms";
	})()`))
	o.visit(ctx, "4")
	until(t, ctx, el("by-phone")+`?.innerText.includes("and 1 visit that waits here")`)
	phone := ask[string](t, ctx, el("by-phone")+`.querySelector(".pressed").innerText`)
	if phone == before {
		t.Error("the visit that waits changes nothing")
	}
	o.on()
	touch(t, ctx, "Send now")
	until(t, ctx, `document.documentElement.dataset.waits === "0"`)
	got := ""
	for end := time.Now().Add(time.Minute); got != phone && time.Now().Before(end); { // where the server is slow the page that the phone held is shown: opened again
		run(t, ctx, chromedp.Navigate(o.url(at)))
		until(t, ctx, `document.documentElement.dataset.away === "met" && document.querySelector("section.answer .pressed")`) // it is worked out behind
		got = ask[string](t, ctx, `document.querySelector("section.answer .pressed").innerText`)
	}
	if got != phone {
		t.Errorf("with the visit the phone said %q, the server says %q", phone, got)
	}
	// eight days without signal: the page and the advice say how old they are
	o.off()
	call(t, ctx, page.AddScriptToEvaluateOnNewDocument, page.AddScriptToEvaluateOnNewDocumentParams{Source: `
		const Right = Date, later = 8.2 * 24 * 3600e3;
		Date = class extends Right { constructor(...a) { a.length ? super(...a) : super(Right.now() + later); } static now() { return Right.now() + later; } };`})
	run(t, ctx, chromedp.Navigate(o.url(at)))
	until(t, ctx, el("by-phone")+`?.querySelector(".pressed")`)
	for part, want := range map[string]string{"by-phone": "What this phone knows of the bed is 8 days old.", "waiting": "This page is 8 days old."} {
		if got := ask[string](t, ctx, el(part)+`.innerText`); !strings.Contains(got, want) {
			t.Errorf("after eight days without signal: %.300s", got)
		}
	}
	obeyed(t, ctx, "eight days without signal")
}

// A page that the phone shows because the server takes long says of when it is and that a newer one is on its way, then that it came; in both languages.
func TestASlowServersPageIsMarked(t *testing.T) {
	o := newOutpost(t)
	ctx := ownBrowser(t)
	path := "/beds/" + o.bed + "/plan"
	o.signIn(ctx, "Invented Grower", "/beds/"+o.bed+"/today")
	o.held(ctx)
	for _, words := range []struct{ tag, waits, came, show string }{{"en", "A newer one is on its way", "A newer one is here", "Show the newer page"}, {"es", "Ya viene una más nueva", "Ya está aquí una más nueva", "Mostrar la página más nueva"}} {
		ask[bool](t, ctx, `fetch("/language", {method: "POST", redirect: "manual", body: new URLSearchParams({language: "`+words.tag+`", from: "/"})}).then(() => true)`)
		run(t, ctx, chromedp.Navigate(o.url(path)))
		until(t, ctx, `document.documentElement.lang === "`+words.tag+`" && caches.match(location.href)`)
		ask[bool](t, ctx, `new Promise(yes => { const look = () => caches.match(location.href).then(async x => x && (await x.text()).includes('<html lang="`+words.tag+`"') ? yes(true) : setTimeout(look, 100)); look(); })`)
		slow := make(chan struct{})
		o.off()
		o.wrap = func(next http.Handler) http.Handler {
			return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
				if r.URL.Path == path {
					<-slow
				}
				next.ServeHTTP(w, r)
			})
		}
		o.on()
		run(t, ctx, chromedp.Navigate(o.url(path)))
		until(t, ctx, el("waiting")+`.textContent.includes("`+words.waits+`")`)
		close(slow)
		until(t, ctx, el("waiting")+`.textContent.includes("`+words.came+`")`)
		ask[bool](t, ctx, `([...document.querySelectorAll("#waiting a")].find(a => a.textContent === "`+words.show+`").click(), true)`)
		until(t, ctx, el("waiting")+`.hidden && document.documentElement.dataset.away`)
		o.off()
		o.wrap = nil
		o.on()
	}
}
