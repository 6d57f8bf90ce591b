package web

import (
	"net/http"
	"net/url"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"raftwright/plan"
)

// A form that comes after its writer's session has ended is not lost, without script either: the page that says so holds it, every line of it,
// and sends it once somebody is signed in. What no page shall hold is not on it.
func TestWhatIsTypedOutlivesASession(t *testing.T) {
	server, _, askers, _ := staffedHouse(t)
	educator, nobody := askers[0], asker{client: &http.Client{CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}}
	sent := url.Values{"name": {`Invented "Late" Comer`}, "role": {"volunteer"}, "contact": {"one\ntwo"}}
	status, page := nobody.page(t, "POST", server.URL+"/people?from=here", sent)
	form := formIn(t, page, "/people?from=here")
	if status != http.StatusUnauthorized || form.Encode() != sent.Encode() || !strings.Contains(page, `target="_blank"`) {
		t.Fatalf("%d, held: %v", status, form)
	}
	if status, page = educator.page(t, "POST", server.URL+"/people", form); status != http.StatusOK || !strings.Contains(page, "Comer") {
		t.Errorf("sent again: %d", status)
	}
	if status, page = nobody.page(t, "POST", server.URL+"/account", url.Values{"old": {"invented words"}, "password": {"other invented words"}}); status != http.StatusUnauthorized || strings.Contains(page, "invented words") {
		t.Errorf("%d: a password stands on a page", status)
	}
}

// Where nothing can be kept, as on a full disk, the page that says so holds what was typed.
func TestWhatIsTypedOutlivesADisk(t *testing.T) {
	kept := emptyStore(t)
	s := serving(t, &House{Store: kept, Book: plan.DefaultBook(), Own: true})
	at := strings.TrimPrefix(planted(t, s.URL), s.URL) + "/log"
	kept.Close()
	sent := url.Values{"at": {"2027-05-05T08:00"}, "depth": {"5-1/2"}, "note": {"clear"}}
	if got := post(t, s.URL+at, sent); got.status < 500 || formIn(t, got.body, at).Encode() != sent.Encode() || strings.Contains(got.body, "/sign-in") {
		t.Errorf("%d: %.2000s", got.status, got.body)
	}
	r, _ := http.NewRequest("POST", s.URL+at, strings.NewReader(sent.Encode()))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	r.Header.Set("Accept", "application/json")
	if got := do(t, r); got.status < 500 || strings.Contains(got.body, sentNever) { // a phone sends it again
		t.Errorf("a phone is told %d: %.200s", got.status, got.body)
	}
}

// Where the database of an office fails, whoever looks is told that it is not their fault, and not where it lies.
func TestAFailingStoreIsNotTold(t *testing.T) {
	server, kept, askers, _ := staffedHouse(t)
	kept.Close()
	if status, page := askers[0].page(t, "GET", server.URL+"/beds", nil); status < 500 || strings.Contains(page, ".db") {
		t.Errorf("%d: %.600s", status, page)
	}
}

// Each address that shows a page with what is wrong can be loaded again: by its reader, and by who changes the language there.
func TestWhereAFormIsAnsweredThereIsAPage(t *testing.T) {
	var all []string
	for _, r := range (&House{}).routes() {
		all = append(all, r.pattern)
	}
	for _, pattern := range all {
		at, is := strings.CutPrefix(pattern, "POST ")
		if is && !slices.Contains(all, "GET "+at) && !slices.Contains([]string{"/language", "/here", "/sign-out"}, at) && !strings.HasSuffix(at, "/ask") { // which show none
			t.Errorf("%s: there is no page at this address", at)
		}
	}
}

// Whoever changes the language in the middle of a form finds there what they typed, what is refused and what is not yet sent.
func TestWhatIsTypedOutlivesALanguage(t *testing.T) {
	ctx := browser(t)
	s := house(t)
	bed := planted(t, s.URL)
	other := func(tag string) {
		t.Helper()
		run(t, ctx, chromedp.Click(chromedp.CSS(`form[action="/language"] button`)))
		until(t, ctx, `document.documentElement.lang === "`+tag+`" && document.documentElement.dataset.away`)
	}
	run(t, ctx, chromedp.Navigate(bed+"/did"))
	until(t, ctx, `document.documentElement.dataset.away`)
	run(t, ctx, chromedp.SendKeys(chromedp.CSS(`input[name="dumped"]`), "5 gal"), chromedp.Click(chromedp.CSS(`input[name="meter-set"]`)), chromedp.SetValue(chromedp.CSS(`select[name="filled"]`), "water"))
	other("es")
	typed := `[document.querySelector('input[name="dumped"]').value, document.querySelector('select[name="filled"]').value, String(document.querySelector('input[name="meter-set"]').checked)].join()`
	if got := ask[string](t, ctx, typed); got != "5 gal,water,true" {
		t.Errorf("after the language was changed: %q", got)
	}
	run(t, ctx, chromedp.Navigate(bed+"/did"))
	until(t, ctx, `document.documentElement.dataset.away`)
	if got := ask[string](t, ctx, typed); got != ",,false" {
		t.Errorf("a page that was opened later: %q", got)
	}
	run(t, ctx, chromedp.Navigate(bed+"/today")) // refused, it stands on the page and in what waits on the phone
	until(t, ctx, `document.documentElement.dataset.away`)
	run(t, ctx, chromedp.SetValue(chromedp.CSS(`input[name="ph"]`), "68"), chromedp.Click(chromedp.CSS(`form.reads button.do`)))
	until(t, ctx, `document.querySelector('#waiting [data-state="refused"]') && document.querySelector('input[name="ph"][aria-invalid]')`)
	other("en")
	until(t, ctx, `document.querySelector('#waiting [data-state="refused"]')`)
	if got := ask[string](t, ctx, `document.querySelector('#waiting').textContent`); !strings.Contains(got, "68") {
		t.Errorf("what was refused: %q", got)
	}
}

// A button that is pressed twice at once makes one thing, and the page tells its secret; without script each press makes a link that is told.
func TestPressedTwice(t *testing.T) {
	ctx := browser(t)
	s := house(t)
	bed := planted(t, s.URL)
	run(t, ctx, chromedp.Navigate(bed+"/labels"))
	until(t, ctx, `document.documentElement.dataset.away`)
	ask[bool](t, ctx, `(() => { const b = document.querySelector('form[action$="/labels"] button'); b.click(); b.click(); return true; })()`)
	until(t, ctx, `document.querySelector("main").innerText.includes("/with/")`)
	if n := strings.Count(get(t, bed+"/labels").body, `action="/passes/`); n != 1 {
		t.Errorf("%d links of one double click", n)
	}
	form := formIn(t, get(t, bed+"/labels").body, strings.TrimPrefix(bed, s.URL)+"/labels")
	for range 2 {
		if got := post(t, bed+"/labels", form); got.status != http.StatusOK || !strings.Contains(got.body, "/with/") {
			t.Errorf("%d: no link is told", got.status)
		}
	}
}
