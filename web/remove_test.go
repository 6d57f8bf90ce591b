package web

import (
	"io"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"raftwright/store"
)

// A bed is removed from its page, after one that says what goes and what stays, by who may; then its pages and links are answered 410, it stands on no list, and it is
// brought back from the list of removed beds. What is sent meanwhile is not taken, and stands on the page that says so.
func TestABedIsRemovedAndBroughtBack(t *testing.T) {
	server, kept, askers, _ := staffedHouse(t)
	var grower, volunteer asker
	for _, a := range askers {
		switch a.name {
		case "grower":
			grower = a
		case "volunteer":
			volunteer = a
		}
	}
	bed := "/beds/" + grower.bed
	links := map[store.Kind]string{}
	for _, kind := range []store.Kind{store.Link, store.Feed} {
		secret, err := kept.GivePass(t.Context(), store.Holder(), store.NewID(), kind, grower.bed, "", "")
		if err != nil {
			t.Fatal(err)
		}
		links[kind] = secret
	}
	page := func(a asker, method, path string, form url.Values, want int) string {
		t.Helper()
		status, body := a.page(t, method, server.URL+path, form)
		if status != want {
			t.Fatalf("%s %s by %s: %d %.300s", method, path, a.name, status, body)
		}
		return body
	}
	for _, from := range []string{"/versions", "/brief"} {
		if body := page(grower, "GET", bed+from, nil, 200); !strings.Contains(body, `href="`+bed+`/remove"`) {
			t.Errorf("%s does not lead there", from)
		}
		if body := page(volunteer, "GET", bed+from, nil, 200); strings.Contains(body, `href="`+bed+`/remove"`) {
			t.Errorf("%s leads there who may not remove it", from)
		}
	}
	body := page(grower, "GET", bed+"/remove", nil, 200)
	for _, says := range []string{"leaves every list", "calendar addresses 1", "no figure changes", "there is no way back", "make new ones", bed + "/bed.yaml"} {
		if !strings.Contains(body, says) {
			t.Errorf("the page before does not say %q", says)
		}
	}
	page(volunteer, "POST", bed+"/remove", url.Values{"version": {"1"}}, 403)
	page(grower, "POST", bed+"/remove", url.Values{"version": {"7"}}, 409)
	form := fieldsOf(t, body)
	for range 2 { // pressed twice
		page(grower, "POST", bed+"/remove", form, 303)
	}
	if body := page(grower, "GET", "/removed", nil, 200); !strings.Contains(body, "Bring it back") {
		t.Errorf("after it: %.600s", body)
	}
	for _, path := range []string{bed, bed + "/today", bed + "/plan", bed + "/log.csv", bed + "/held", bed + "/aside", bed + "/remove"} {
		if body := page(grower, "GET", path, nil, 410); !strings.Contains(body, "was removed on") || !strings.Contains(body, `href="/removed"`) {
			t.Errorf("%s does not say so", path)
		}
	}
	if body := page(grower, "POST", bed+"/log", url.Values{"at": {"2027-05-10T08:00"}, "ec": {"1.6"}, "note": {"an invented note"}}, 410); !strings.Contains(body, "an invented note") {
		t.Error("what was sent is lost")
	}
	nobody := &http.Client{}
	for kind, path := range map[store.Kind]string{store.Link: "/with/" + links[store.Link], store.Feed: "/calendar/" + links[store.Feed]} {
		resp, err := nobody.Get(server.URL + path)
		if err != nil {
			t.Fatal(err)
		}
		said, _ := io.ReadAll(resp.Body)
		resp.Body.Close()
		if resp.StatusCode != 410 || !strings.Contains(string(said), "was removed on") {
			t.Errorf("the %s is answered %d", kind, resp.StatusCode)
		}
	}
	phone := &http.Client{CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
	for _, method := range []string{"GET", "POST"} { // by a phone that holds the link from before, its outbox too
		r, _ := http.NewRequest(method, server.URL+bed+"/log", strings.NewReader("ec=1.6"))
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		r.Header.Set("Accept", "application/json")
		r.AddCookie(&http.Cookie{Name: cookieLink + grower.bed, Value: links[store.Link]})
		resp, err := phone.Do(r)
		if err != nil {
			t.Fatal(err)
		}
		said, _ := io.ReadAll(resp.Body)
		resp.Body.Close()
		if resp.StatusCode != 410 || method == "POST" && !strings.Contains(string(said), `"state":"removed"`) {
			t.Errorf("a phone with the link, %s: %d %.200s", method, resp.StatusCode, said)
		}
	}
	for _, path := range []string{"/", "/beds", "/labels"} {
		if body := page(grower, "GET", path, nil, 200); strings.Contains(body, grower.bed) {
			t.Errorf("it stands on %s", path)
		}
	}
	if body := page(grower, "GET", "/labels?bed="+grower.bed, nil, 200); strings.Contains(body, `value="`+grower.bed+`"`) {
		t.Error("an address of labels that names it offers it")
	}
	if body := page(grower, "GET", "/beds", nil, 200); !strings.Contains(body, `href="/removed"`) {
		t.Error("the list of beds does not lead to those that were removed")
	}
	if body := page(volunteer, "GET", "/removed", nil, 200); !strings.Contains(body, "can be brought back until") || strings.Contains(body, "Bring it back") {
		t.Error("a volunteer is told of it, and may not bring it back")
	}
	page(volunteer, "POST", "/removed", url.Values{"bed": {grower.bed}}, 403)
	page(grower, "POST", "/removed", url.Values{"bed": {grower.bed}}, 303)
	page(grower, "GET", bed+"/today", nil, 200)
	page(grower, "GET", "/beds/demonstration/remove", nil, 403)
}

// The figures of a report are counted from the book: no removed bed changes one.
func TestReportsDoNotChangeWithARemovedBed(t *testing.T) {
	server, kept, askers, _ := staffedYear(t)
	report := server.URL + "/program/report.csv?funder=BOARD&day=2027-07-05"
	status, before := askers[0].page(t, "GET", report, nil)
	if status != http.StatusOK || len(before) < 200 {
		t.Fatal(status, before)
	}
	beds, err := kept.Beds(t.Context(), store.Holder(), "", 100)
	if err != nil || len(beds) == 0 {
		t.Fatal(beds, err)
	}
	for _, b := range beds {
		if err := kept.RemoveBed(t.Context(), store.Holder(), store.NewID(), b.ID, b.Version); err != nil {
			t.Fatal(err)
		}
	}
	if status, after := askers[0].page(t, "GET", report, nil); status != http.StatusOK || after != before {
		t.Errorf("%d, the report is another:\n%s\nwas\n%s", status, after, before)
	}
}
