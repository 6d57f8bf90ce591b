package web

import (
	"io"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"slices"
	"strings"
	"testing"

	"raftwright/plan"
	"raftwright/store"
)

// Many who sign in rightly behind one address keep nobody out; who guesses and mistypes there does, but not a browser with which the
// person has signed in before; and the page says when it may be tried again.
func TestAnOfficeLocksNobodyOut(t *testing.T) {
	s := emptyStore(t)
	server := serving(t, &House{Store: s, Book: plan.DefaultBook()})
	if err := s.AddAccount(t.Context(), store.Holder(), store.NewID(), store.Educator, "Invented Educator", "", "invented words"); err != nil {
		t.Fatal(err)
	}
	anybody := func() *http.Client {
		jar, _ := cookiejar.New(nil)
		return &http.Client{Jar: jar, CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
	}
	in := func(c *http.Client, name, password string) (status int, again, page string) {
		t.Helper()
		resp, err := c.PostForm(server.URL+"/sign-in", url.Values{"name": {name}, "password": {password}})
		if err != nil {
			t.Fatal(err)
		}
		defer resp.Body.Close()
		body, err := io.ReadAll(resp.Body)
		if err != nil {
			t.Fatal(err)
		}
		return resp.StatusCode, resp.Header.Get("Retry-After"), string(body)
	}
	desk := anybody()
	for range mostTries + 2 {
		if got, _, _ := in(desk, "Invented Educator", "invented words"); got != http.StatusSeeOther {
			t.Fatalf("the right password is counted as a guess: %d", got)
		}
	}
	for range mostTries {
		if got, _, _ := in(anybody(), "invented educator", "wrong words"); got != http.StatusUnauthorized {
			t.Fatalf("a wrong password: %d", got)
		}
	}
	got, again, page := in(anybody(), "Invented Educator", "invented words")
	if got != http.StatusTooManyRequests || again != "900" || !strings.Contains(page, "15 min") || !strings.Contains(page, `value="Invented Educator"`) {
		t.Errorf("a stranger: %d, again after %q\n%s", got, again, page)
	}
	for range mostTriesFrom { // a room of pupils, by other names
		in(anybody(), "somebody", "wrong words")
	}
	if got, _, _ := in(anybody(), "somebody else", "wrong words"); got != http.StatusTooManyRequests {
		t.Errorf("from there: %d", got)
	}
	if got, _, _ := in(desk, "Invented Educator", "invented words"); got != http.StatusSeeOther {
		t.Errorf("with a browser that is known: %d", got)
	}
	for range mostTries {
		in(desk, "Invented Educator", "wrong words")
	}
	if got, _, _ := in(desk, "Invented Educator", "invented words"); got != http.StatusTooManyRequests {
		t.Errorf("guessed with a browser that is known: %d", got)
	}
}

// Families behind one address do not use up each other's papers.
func TestLinksAreCountedByBed(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	server, kept, askers, _ := staffedHouse(t)
	link := askers[3]
	for _, what := range []string{"dear:127.0.0.1", "long:127.0.0.1"} {
		for range mostLong {
			kept.Attempt(t.Context(), what, mostLong, triesIn)
		}
	}
	if got := link.ask(t, "GET", server.URL+"/beds/"+link.bed+"/packet.html"); got != http.StatusOK {
		t.Errorf("by a link: %d", got)
	}
	for range mostDear * byLink {
		kept.Attempt(t.Context(), "dear:bed:"+link.bed, mostDear*byLink, triesIn)
	}
	if got := link.ask(t, "GET", server.URL+"/beds/"+link.bed+"/packet.html"); got != http.StatusTooManyRequests {
		t.Errorf("by a link, too often: %d", got)
	}
}

// Who ends an account is shown what of it still opens a bed, and whose the beds are, and ends that there.
func TestWhatAnAccountLeavesOpen(t *testing.T) {
	server, kept, askers, _ := staffedHouse(t)
	educator, grower := askers[0], askers[2]
	people, err := kept.People(t.Context(), store.Holder())
	if err != nil {
		t.Fatal(err)
	}
	at := slices.IndexFunc(people, func(p store.Person) bool { return p.Name == "Invented grower" })
	if status, body := grower.page(t, "POST", server.URL+"/beds/"+grower.bed+"/share", url.Values{"kind": {"key"}, "label": {"An invented probe"}}); status != http.StatusOK || !inBold.MatchString(body) {
		t.Fatal(status)
	}
	page := server.URL + "/people/" + people[at].Account
	if status, _ := educator.page(t, "POST", page, url.Values{"do": {"end"}}); status != http.StatusSeeOther {
		t.Fatal(status)
	}
	_, body := educator.page(t, "GET", page, nil)
	for _, want := range []string{"An invented probe", `action="/passes/`, "/beds/" + grower.bed + "/share"} {
		if !strings.Contains(body, want) {
			t.Errorf("not shown: %s", want)
		}
	}
	if strings.Contains(body, `value="role"`) {
		t.Error("an account that ended is given a role")
	}
	for i, a := range askers {
		if i == 0 {
			continue
		}
		if status, body := a.page(t, "GET", page, nil); strings.Contains(body, "An invented probe") {
			t.Errorf("%d sees it: %d", i, status)
		}
	}
	passes, err := kept.PassesGiven(t.Context(), store.Holder(), people[at].Account)
	if err != nil || len(passes) == 0 {
		t.Fatal(passes, err)
	}
	last := passes[len(passes)-1].ID
	educator.page(t, "POST", server.URL+"/passes/"+last, url.Values{"from": {"/people/" + people[at].Account}})
	if _, body := educator.page(t, "GET", page, nil); strings.Contains(body, "An invented probe") {
		t.Error("withdrawn, it is told to open still")
	}
}

// Who guesses the code of the first account from another computer does not keep its holder from opening it.
func TestTheFirstAccountIsNotLocked(t *testing.T) {
	s := emptyStore(t)
	h := &House{Store: s, Book: plan.DefaultBook(), Proxy: true}
	server := serving(t, h)
	code, err := h.FirstCode(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	open := func(from, code string) int {
		t.Helper()
		r, err := http.NewRequest("POST", server.URL+"/first", strings.NewReader(url.Values{"name": {"Invented Educator"}, "password": {"invented words"}, "code": {code}}.Encode()))
		if err != nil {
			t.Fatal(err)
		}
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		r.Header.Set("X-Forwarded-For", from)
		resp, err := http.DefaultTransport.RoundTrip(r)
		if err != nil {
			t.Fatal(err)
		}
		resp.Body.Close()
		return resp.StatusCode
	}
	for range mostTries {
		if got := open("192.0.2.1", "AAAAAAAAAAAAAAAA"); got != http.StatusForbidden {
			t.Fatal(got)
		}
	}
	if got := open("192.0.2.1", code); got != http.StatusTooManyRequests {
		t.Errorf("guessed too often: %d", got)
	}
	if got := open("192.0.2.2", code); got != http.StatusSeeOther {
		t.Errorf("its holder: %d", got)
	}
}
