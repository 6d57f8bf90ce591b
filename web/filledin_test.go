package web

import (
	"html"
	"net/http"
	"net/url"
	"regexp"
	"slices"
	"strings"
	"testing"

	"raftwright/store"
)

var keepingTo = regexp.MustCompile(`<noscript><p class="acts"><button class="do" formaction="(/language[^"]*)" formnovalidate lang="es">`)

// Without script a form is taken to another language with all that was written in it, kept nowhere, and folded parts stand open where something was written.
func TestTheLanguageKeepsWhatIsWritten(t *testing.T) {
	server, kept, askers, _ := staffedHouse(t)
	educator, link := askers[0], askers[3]
	bed := server.URL + "/beds/" + link.bed
	_, page := link.page(t, "GET", bed+"/did", nil)
	to := keepingTo.FindStringSubmatch(page)
	if to == nil {
		t.Fatal("no other language on the form")
	}
	before, _ := link.page(t, "GET", bed+"/today", nil)
	form := fieldsOf(t, page)
	form.Set("note", `roots "white" & <firm>`)
	form.Set("at", "2027-05-09T07:45")
	for name := range form {
		if name == "air" {
			form.Set(name, "on")
		}
	}
	status, got := link.page(t, "POST", server.URL+html.UnescapeString(to[1]), form)
	if status != http.StatusOK || before != status || !strings.Contains(got, `<html lang="es">`) || !strings.Contains(got, `action="/beds/`+link.bed+`/log"`) {
		t.Fatalf("%d\n%s", status, got)
	}
	again := fieldsOf(t, got)
	for _, name := range []string{"note", "at", "id", "from"} {
		if again.Get(name) != form.Get(name) {
			t.Errorf("%s: %q for %q", name, again.Get(name), form.Get(name))
		}
	}
	if log, err := kept.Log(t.Context(), store.Holder(), link.bed); err != nil || slices.ContainsFunc(log, func(e store.Entry) bool { return e.At.Day() == 9 }) {
		t.Error("it was kept", err)
	}
	if !strings.Contains(got, "&amp;to=en") {
		t.Error("no way back to the other language")
	}

	_, page = educator.page(t, "GET", bed+"/brief", nil)
	to = keepingTo.FindStringSubmatch(page)
	form = fieldsOf(t, page)
	form.Set("title", "An invented name, half written")
	form.Set("bed.level error", "1/4 in")
	form.Set("version", "1")
	status, got = educator.page(t, "POST", server.URL+html.UnescapeString(to[1]), form)
	again = fieldsOf(t, got)
	if status != http.StatusOK || again.Get("title") != form.Get("title") || again.Get("version") != "1" {
		t.Errorf("the brief: %d, %q, version %q", status, again.Get("title"), again.Get("version"))
	}
	for name, texts := range form {
		if again.Get(name) != texts[0] {
			t.Errorf("%s: %q for %q", name, again.Get(name), texts[0])
		}
	}
}

// What is no page leads there, and nothing leads elsewhere.
func TestTheLanguageOfWhatIsNoPage(t *testing.T) {
	server, _, askers, _ := staffedHouse(t)
	for from, want := range map[string]string{"/nowhere": "/nowhere", "/language": "/language", "/static/sheet.css": "/static/sheet.css", "/%zz": "/"} {
		r, err := http.NewRequest("POST", server.URL+"/language?"+url.Values{"to": {"es"}, "from": {from}}.Encode(), strings.NewReader("note=x"))
		if err != nil {
			t.Fatal(err)
		}
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		resp, err := askers[0].client.Do(r)
		if err != nil {
			t.Fatal(err)
		}
		resp.Body.Close()
		if got := resp.Header.Get("Location"); resp.StatusCode != http.StatusSeeOther || got != want {
			t.Errorf("%s leads to %q, %d", from, got, resp.StatusCode)
		}
	}
	for _, from := range []string{"https://elsewhere.example/", "//elsewhere.example", "%zz", ""} {
		if status, page := askers[0].page(t, "POST", server.URL+"/language?"+url.Values{"to": {"es"}, "from": {from}}.Encode(), url.Values{"note": {"x"}}); status != http.StatusOK || !strings.Contains(page, `<html lang="es">`) {
			t.Errorf("%q: %d", from, status)
		}
	}
}
