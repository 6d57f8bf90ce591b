package web

import (
	"io"
	"net/http"
	"net/http/cookiejar"
	"net/http/httptest"
	"net/url"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"raftwright/plan"
	"raftwright/store"
)

// reach says of every address what whoever asks for it must be allowed (rights below). A new
// address needs a line here.
var reach = map[string]string{
	"GET /{$}": "open", "POST /language": "open", "GET /language": "open", "POST /here": "open",
	"GET /sign-in": "open", "POST /sign-in": "secret", "POST /first": "open",
	"POST /sign-out": "secret", "GET /join/{invitation}": "secret", "POST /join/{invitation}": "secret", "GET /with/{link}": "secret",

	"GET /labels": "anyone", "POST /labels.pdf": "account",
	"POST /sign-in/ask": "open", "POST /sign-in/passkey": "secret", "POST /join/{invitation}/ask": "secret", "POST /account/ask": "account",

	"GET /shared": "consult", "GET /shared/new/{kind}": "supply", "GET /shared/{sheet}": "consult", "POST /shared/{sheet}": "supply",
	"GET /beds/{bed}/import": "change", "POST /beds/{bed}/import": "change", "GET /beds/{bed}/next": "change",
	"GET /beds/{bed}/fill": "change", "POST /beds/{bed}/fill": "change",
	"GET /people": "people", "POST /people": "people", "GET /people/{account}": "people", "POST /people/{account}": "people", "GET /people/looks": "people",
	"GET /account": "account", "POST /account": "account", "POST /passes/{pass}": "account",
	"GET /beds/{bed}/share": "share", "POST /beds/{bed}/share": "share",
	"GET /now": "open", "GET /away": "open", "GET /held": "anyone", "GET /beds/{bed}/held": "see", "GET /beds/{bed}/aside": "see",

	"GET /beds/{bed}/remove": "change", "POST /beds/{bed}/remove": "change", "GET /removed": "anyone", "POST /removed": "anyone",
	"GET /question": "supply", "GET /question/letter.pdf": "supply",
	"GET /beds/{bed}/workshop": "see", "POST /beds/{bed}/workshop": "gather", "GET /beds/{bed}/workshop.pdf": "see", "GET /beds/{bed}/workshop.zip": "see",
	"GET /beds/{bed}/trials": "supply", "POST /beds/{bed}/trials": "supply", "GET /beds/{bed}/trials/{trial}": "supply", "POST /beds/{bed}/trials/{trial}": "supply", "GET /beds/{bed}/trials/{trial}/paper.pdf": "supply",
	"GET /beds/{bed}/trials/{trial}/weights": "supply", "POST /beds/{bed}/trials/{trial}/weights": "supply",
	"GET /keying": "supply", "GET /keying/tally.pdf": "supply", "GET /keying/slips.pdf": "supply", "POST /keying": "supply", "GET /keying/{pile}": "supply", "POST /keying/{pile}": "supply", "GET /keying/{pile}/apart": "supply", "POST /keying/{pile}/apart": "supply",
	"GET /keeping/due": "supply", "POST /keeping/due": "people", "GET /keeping/consents": "supply", "POST /keeping/consents": "supply", "GET /keeping/words": "supply", "POST /keeping/words": "people",
	"GET /keeping/copy": "supply", "GET /keeping/copy.zip": "people", "GET /codes": "people", "GET /codes/{code}": "people", "POST /codes/{code}": "people",
	"GET /beds/{bed}/papers": "see", "GET /beds/{bed}/papers/{paper}": "see", "POST /beds/{bed}/papers/{paper}": "see", "POST /beds/{bed}/papers/{paper}/paper.pdf": "see", "POST /beds/{bed}/papers/{paper}/paper.html": "see",
	"GET /program": "supply", "GET /program.zip": "supply", "POST /program/fill": "supply", "GET /program/{ledger}": "supply", "POST /program/{ledger}": "supply",
	"GET /program/report": "supply", "POST /program/report": "supply", "GET /program/report.pdf": "supply", "GET /program/report.html": "supply", "GET /program/report.csv": "supply", "GET /program/audit.csv": "supply",
	"GET /program/wave/{wave}": "supply", "POST /program/wave/{wave}": "supply", "GET /program/wave/{wave}/form.pdf": "supply", "GET /answer/{link}": "secret", "POST /answer/{link}": "secret",
	"GET /program/figures": "supply", "GET /program/figure": "supply", "GET /program/rules": "supply",
	"GET /program/{ledger}/{record}": "supply", "POST /program/{ledger}/{record}": "supply",

	"GET /first": "open", "GET /sign-in/passkey": "open", "GET /passes/{pass}": "anyone", "GET /labels.pdf": "anyone", "GET /program/fill": "anyone",
	"GET /beds/{bed}/labels.pdf": "see", "GET /beds/{bed}/papers/{paper}/paper.pdf": "see", "GET /beds/{bed}/papers/{paper}/paper.html": "see",
	"GET /waters": "anyone", "GET /shelves": "anyone", "GET /workshops": "anyone", "GET /questions": "anyone", "GET /report": "anyone",
	"GET /beds": "anyone", "POST /beds": "begin",
	"GET /beds/{bed}": "see", "GET /beds/{bed}/brief": "see", "POST /beds/{bed}/brief": "change",
	"POST /beds/{bed}/brief/look": "see", "GET /beds/{bed}/brief/look": "see", "POST /beds/{bed}/brief/matters": "see", "GET /beds/{bed}/brief/matters": "see", "GET /beds/{bed}/log": "see",
	"GET /beds/{bed}/brief.yaml": "see", "GET /beds/{bed}/versions": "see",
	"GET /beds/{bed}/today": "see", "POST /beds/{bed}/log": "log",
	"GET /beds/{bed}/did": "see", "GET /beds/{bed}/seen": "see", "GET /beds/{bed}/history": "see",
	"GET /beds/{bed}/log.csv": "see", "GET /beds/{bed}/bed.yaml": "see",
	"GET /beds/{bed}/log/{entry}": "see", "POST /beds/{bed}/log/{entry}": "log",
	"GET /beds/{bed}/dates": "see", "GET /beds/{bed}/dates.ics": "see", "GET /calendar/{feed}": "secret",
	"GET /beds/{bed}/photos": "see", "POST /beds/{bed}/photos": "log", "GET /beds/{bed}/photos/{photo}": "see", "POST /beds/{bed}/photos/{photo}": "log",
	"GET /beds/{bed}/paper": "see", "POST /beds/{bed}/paper": "log",
	"GET /beds/{bed}/labels": "see", "POST /beds/{bed}/labels": "share", "POST /beds/{bed}/labels.pdf": "see",
	"GET /beds/{bed}/plan": "see", "GET /beds/{bed}/plan/{section}": "see", "GET /beds/{bed}/working": "see", "GET /beds/{bed}/working/{figure}": "see",
	"GET /beds/{bed}/packet": "see", "GET /beds/{bed}/packet/{face}": "see", "GET /beds/{bed}/packet.pdf": "see", "GET /beds/{bed}/packet.html": "see",
}

// rights say who is allowed what: to a bed that is theirs (or that their link or key is for) and to a stranger's, as the table of
// docs/store.md has it.
var rights = map[string]struct{ own, others string }{
	"open":    {"nobody educator volunteer grower link key", "nobody educator volunteer grower link key"},
	"anyone":  {"educator volunteer grower key", "educator volunteer grower key"},
	"begin":   {"educator volunteer grower", "educator volunteer grower"},
	"consult": {"educator volunteer grower", "educator volunteer grower"},
	"supply":  {"educator volunteer", "educator volunteer"},
	"people":  {"educator", "educator"},
	"account": {"educator volunteer grower", "educator volunteer grower"}, // one's own
	"see":     {"educator volunteer grower link key", "educator volunteer"},
	"log":     {"educator volunteer grower link key", "educator volunteer"},
	"change":  {"educator volunteer grower", "educator"},
	"share":   {"educator volunteer grower", "educator"},
	"gather":  {"educator volunteer grower", "educator volunteer"},
}

// asker is somebody who asks, with a bed of theirs.
type asker struct {
	name   string
	client *http.Client
	bearer string
	bed    string
}

var inBraces = regexp.MustCompile(`\{[^}]*\}`)

// Every address, asked for by every role, for a bed of their own and for a stranger's: whoever is not allowed is told
// so, and nothing is written.
func TestWhoReachesWhat(t *testing.T) {
	server, kept, askers, stranger := staffedHouse(t)
	if _, err := kept.GivePass(t.Context(), store.Holder(), store.NewID(), store.Key, "", "", "counts"); err != nil {
		t.Fatal(err)
	}
	shown, pressed := map[string]int{}, 0 // in haste, a page is shown to one or two of those who may see it, and few papers are pressed
	for _, r := range (&House{}).routes() {
		need := reach[r.pattern]
		if need == "" {
			t.Errorf("%s: say in reach who may ask for this", r.pattern)
			continue
		}
		if need == "secret" {
			continue // opened by what stands in it, or ends what is asked with: TestComingAndGoing
		}
		right, ok := rights[need]
		if !ok {
			t.Fatalf("%s: there is no right %q", r.pattern, need)
		}
		method, path, _ := strings.Cut(r.pattern, " ")
		for _, a := range askers {
			for _, others := range []bool{false, true} {
				bed, may := a.bed, right.own
				if others {
					if bed, may = stranger, right.others; !strings.Contains(path, "{bed}") {
						continue
					}
				}
				address := inBraces.ReplaceAllStringFunc(path, func(in string) string {
					switch in {
					case "{bed}":
						return bed
					case "{kind}":
						return "water"
					case "{section}":
						return "raft"
					case "{figure}":
						return "frame.volume"
					case "{paper}":
						return "garden"
					case "{ledger}":
						return "events"
					case "{$}":
						return ""
					}
					return store.NewID()
				})
				if strings.Contains(path, "/workshop") {
					address += "?families=1" // a whole day is long to plan
				}
				allowed := strings.Contains(" "+may+" ", " "+a.name+" ")
				if testing.Short() && allowed {
					if shown[r.pattern]++; shown[r.pattern] > 2 {
						continue
					}
					if strings.Contains(path, ".pdf") || strings.Contains(path, "packet") {
						if pressed++; pressed > 3 {
							continue
						}
					}
				}
				status := a.ask(t, method, server.URL+address)
				refused := status == http.StatusUnauthorized || status == http.StatusForbidden || status == http.StatusNotFound
				missing := status == http.StatusNotFound && strings.Count(path, "{") > strings.Count(path, "{bed}") // what the address names beside the bed
				if allowed && refused && !missing || !allowed && !refused || status >= 500 {
					t.Errorf("%s, %s, others %v: %d", r.pattern, a.name, others, status)
				}
			}
		}
	}
}

func (a asker) ask(t *testing.T, method, address string) int {
	t.Helper()
	r, err := http.NewRequest(method, address, nil)
	if err != nil {
		t.Fatal(err)
	}
	if method == http.MethodPost {
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	}
	if a.bearer != "" {
		r.Header.Set("Authorization", "Bearer "+a.bearer)
	}
	resp, err := a.client.Do(r)
	if err != nil {
		t.Fatal(err)
	}
	defer resp.Body.Close()
	if _, err := io.Copy(io.Discard, resp.Body); err != nil {
		t.Fatal(err)
	}
	return resp.StatusCode
}

// The first account is opened once, from this computer or with the code; then one signs in, is somebody, and signs out. An invitation
// opens an account once; a link shows its bed and nothing else, and an invented one nothing.
func TestComingAndGoing(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	s, err := store.Open(t.Context(), store.InFolder(filepath.Join(t.TempDir(), "kept")))
	if err != nil {
		t.Fatal(err)
	}
	h := &House{Store: s, Book: plan.DefaultBook(), Demo: []byte(invented)}
	server := httptest.NewServer(h.Handler())
	t.Cleanup(func() { server.Close(); s.Close() })
	code, err := h.FirstCode(t.Context())
	if err != nil || len(code) != 16 {
		t.Fatal(code, err)
	}
	away := func(form url.Values) int { // through somebody: not from this computer itself
		r, _ := http.NewRequest("POST", server.URL+"/first", strings.NewReader(form.Encode()))
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		r.Header.Set("X-Forwarded-For", "192.0.2.7")
		resp, err := http.DefaultTransport.RoundTrip(r)
		if err != nil {
			t.Fatal(err)
		}
		resp.Body.Close()
		return resp.StatusCode
	}
	form := url.Values{"name": {"Invented Educator"}, "password": {"invented words"}}
	if got := away(form); got != http.StatusForbidden {
		t.Errorf("without the code: %d", got)
	}
	form.Set("code", "AAAAAAAAAAAAAAAA")
	if got := away(form); got != http.StatusForbidden {
		t.Errorf("with another code: %d", got)
	}
	jar, _ := cookiejar.New(nil)
	me := &http.Client{Jar: jar}
	read := func(resp *http.Response, err error) (int, string) {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		defer resp.Body.Close()
		body, _ := io.ReadAll(resp.Body)
		return resp.StatusCode, string(body)
	}
	if status, body := read(me.Get(server.URL + "/")); status != 200 || !strings.Contains(body, `action="/first"`) || strings.Contains(body, `id="code"`) {
		t.Errorf("the first page: %d", status)
	}
	if status, body := read(me.PostForm(server.URL+"/first", url.Values{"name": {"Invented Educator"}, "password": {"short"}})); status != http.StatusBadRequest || !strings.Contains(body, `value="Invented Educator"`) {
		t.Errorf("a short password: %d", status)
	}
	if status, body := read(me.PostForm(server.URL+"/first", form)); status != 200 || !strings.Contains(body, `action="/sign-out"`) {
		t.Errorf("opened: %d", status)
	}
	form.Set("code", code)
	if got := away(form); got != http.StatusSeeOther {
		t.Errorf("a second first account: %d", got)
	}
	if n, _ := s.Accounts(t.Context()); n != 1 {
		t.Fatalf("%d accounts", n)
	}
	u, _ := url.Parse(server.URL)
	before := jar.Cookies(u)[0].Value
	if status, _ := read(me.PostForm(server.URL+"/sign-in", url.Values{"name": {"invented educator"}, "password": {"invented words"}})); status != 200 {
		t.Errorf("signed in again: %d", status)
	}
	if _, err := s.BySession(t.Context(), before); !store.Is(err, store.FaultSignIn) || jar.Cookies(u)[0].Value == before {
		t.Error("the session before did not end")
	}
	token := jar.Cookies(u)[0].Value
	read(me.PostForm(server.URL+"/sign-out", nil))
	if _, err := s.BySession(t.Context(), token); !store.Is(err, store.FaultSignIn) {
		t.Error("signed out, the session goes on")
	}
	if status, body := read(me.Get(server.URL + "/beds")); status != 401 && !strings.Contains(body, `action="/sign-in"`) {
		t.Errorf("signed out, the beds are shown: %d", status)
	}
	for range mostTries {
		read(me.PostForm(server.URL+"/sign-in", url.Values{"name": {"Invented Educator"}, "password": {"wrong words"}}))
	}
	if status, _ := read(me.PostForm(server.URL+"/sign-in", url.Values{"name": {"Invented Educator"}, "password": {"invented words"}})); status != http.StatusTooManyRequests {
		t.Errorf("tried %d times: %d", mostTries, status)
	}
}

// page asks as somebody and gives what was answered.
func (a asker) page(t *testing.T, method, address string, form url.Values) (status int, body string) {
	t.Helper()
	r, err := http.NewRequest(method, address, strings.NewReader(asSent(form)))
	if err != nil {
		t.Fatal(err)
	}
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	resp, err := a.client.Do(r)
	if err != nil {
		t.Fatal(err)
	}
	defer resp.Body.Close()
	b, err := io.ReadAll(resp.Body)
	if err != nil {
		t.Fatal(err)
	}
	return resp.StatusCode, string(b)
}

var inBold = regexp.MustCompile(`<p class="secret"><b>([^<]+)</b>`)

// An educator lets somebody in: the invitation opens the account once. A link and a key of a bed are told once, open that bed, and
// nothing any more once they are withdrawn. What was done to people is noted, and a forgotten one is nameless.
func TestLettingIn(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	server, kept, askers, _ := staffedHouse(t)
	educator, grower := askers[0], askers[2]
	told := func(status int, body string) string {
		t.Helper()
		found := inBold.FindStringSubmatch(body)
		if status != 200 || found == nil {
			t.Fatalf("no secret is told: %d", status)
		}
		return found[1]
	}
	address := told(educator.page(t, "POST", server.URL+"/people", url.Values{"name": {"Invented Newcomer"}, "role": {"grower"}, "contact": {"at the desk"}}))
	if status, body := educator.page(t, "POST", server.URL+"/people", url.Values{"name": {"Invented Newcomer"}, "role": {"grower"}}); status != 400 || !strings.Contains(body, `value="Invented Newcomer"`) {
		t.Errorf("a second of one name: %d", status)
	}
	people, err := kept.People(t.Context(), store.Holder())
	if err != nil {
		t.Fatal(err)
	}
	second := ""
	for _, p := range people {
		switch p.Name {
		case "Invented Newcomer":
			second = told(educator.page(t, "POST", server.URL+"/people/"+p.Account, url.Values{"do": {"invite"}, "name": {p.Name}}))
		case "Invented educator":
			for _, do := range []string{"role", "end", "forget"} {
				if status, _ := educator.page(t, "POST", server.URL+"/people/"+p.Account, url.Values{"do": {do}, "role": {"grower"}}); status != http.StatusForbidden {
					t.Errorf("an educator does %s to themselves: %d", do, status)
				}
			}
		}
	}
	jar, _ := cookiejar.New(nil)
	newcomer := asker{client: &http.Client{Jar: jar}}
	if status, _ := newcomer.page(t, "GET", address, nil); status != 200 {
		t.Errorf("invited: %d", status)
	}
	if status, body := newcomer.page(t, "POST", address, url.Values{"password": {"new invented words"}}); status != 200 || !strings.Contains(body, "/sign-out") {
		t.Errorf("joined: %d", status)
	}
	for _, used := range []string{address, second} {
		if status, _ := newcomer.page(t, "POST", used, url.Values{"password": {"stolen invented words"}}); status != http.StatusNotFound {
			t.Errorf("joined twice: %d", status)
		}
	}
	if status, body := newcomer.page(t, "POST", server.URL+"/account", url.Values{"do": {"password"}, "old": {"wrong words"}, "password": {"stolen words"}}); status != http.StatusUnauthorized || strings.Contains(body, "stolen words") {
		t.Errorf("a password from who does not know the one before: %d", status)
	}
	if status, _ := newcomer.page(t, "POST", server.URL+"/account", url.Values{"do": {"password"}, "old": {"new invented words"}, "password": {"other invented words"}}); status != 200 {
		t.Errorf("another password: %d", status)
	}

	link := told(grower.page(t, "POST", server.URL+"/beds/"+grower.bed+"/share", url.Values{"kind": {"link"}, "label": {"invented host"}}))
	key := told(grower.page(t, "POST", server.URL+"/beds/"+grower.bed+"/share", url.Values{"kind": {"key"}}))
	jar, _ = cookiejar.New(nil)
	host := asker{client: &http.Client{Jar: jar}}
	if status, body := host.page(t, "GET", link, nil); status != 200 || !strings.Contains(body, "/beds/"+grower.bed+"/log") {
		t.Errorf("the link: %d", status)
	}
	if status, _ := host.page(t, "GET", server.URL+"/with/invented", nil); status != http.StatusNotFound {
		t.Errorf("a link that nobody gave: %d", status)
	}
	if status, body := host.page(t, "GET", server.URL+"/sign-in", nil); status != 200 || !strings.Contains(body, "/beds/"+grower.bed+"/today") {
		t.Errorf("the beds that one holds links of: %d", status)
	}
	if status, body := grower.page(t, "GET", server.URL+"/beds/"+grower.bed+"/share", nil); status != 200 || strings.Contains(body, key) || strings.Contains(body, link) {
		t.Errorf("a secret is shown again: %d", status)
	}
	session, _ := url.Parse(server.URL)
	who, err := kept.BySession(t.Context(), grower.client.Jar.Cookies(session)[0].Value)
	if err != nil {
		t.Fatal(err)
	}
	list, err := kept.Passes(t.Context(), who, grower.bed)
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range list {
		grower.page(t, "POST", server.URL+"/passes/"+p.ID, url.Values{"from": {"/beds"}})
	}
	if status, _ := host.page(t, "GET", server.URL+"/beds/"+grower.bed+"/today", nil); status != http.StatusUnauthorized {
		t.Errorf("withdrawn, the link opens: %d", status)
	}
	if _, err := kept.ByPass(t.Context(), key); !store.Is(err, store.FaultSignIn) {
		t.Error("withdrawn, the key opens")
	}

	if status, body := educator.page(t, "GET", server.URL+"/people/looks", nil); status != 200 || !strings.Contains(body, "Invented educator") {
		t.Errorf("who looked: %d", status)
	}
	for _, p := range people {
		if p.Name == "Invented Newcomer" {
			educator.page(t, "POST", server.URL+"/people/"+p.Account, url.Values{"do": {"forget"}})
		}
	}
	if _, body := educator.page(t, "GET", server.URL+"/people", nil); strings.Contains(body, "Newcomer") || strings.Contains(body, "at the desk") {
		t.Error("forgotten, a person has a name")
	}
	if status, body := newcomer.page(t, "GET", server.URL+"/account", nil); status == 200 && !strings.Contains(body, `action="/sign-in"`) {
		t.Errorf("forgotten, somebody is signed in: %d", status)
	}
}
