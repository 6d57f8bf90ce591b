package web

import (
	"bytes"
	"compress/gzip"
	"io"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"net/url"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"golang.org/x/net/html"

	"raftwright/brief"
	"raftwright/lang"
	"raftwright/plan"
)

// invented is the demonstration of these tests: an invented bed at an invented school.
const invented = `raftwright: 1
title: Invented bed
units: us
site: {kind: school, children: visit, latitude: 41}
bed: {length: 97 in, width: 49 in, depth: 6 in}
raft: {sheet: [4 ft, 8 ft], spacing: 12 in}
water: {kind: hard}
shelf:
  - {name: complete fertilizer, label: 5-12-26}
  - calcium nitrate
crop: {name: lettuce}
`

type answered struct {
	status int
	where  string // after all that led on
	header http.Header
	body   string
}

func get(t *testing.T, address string, header ...string) answered {
	t.Helper()
	r, err := http.NewRequest("GET", address, nil)
	if err != nil {
		t.Fatal(err)
	}
	for i := 0; i < len(header); i += 2 {
		r.Header.Set(header[i], header[i+1])
	}
	return do(t, r)
}

func post(t *testing.T, address string, form url.Values) answered {
	t.Helper()
	r, err := http.NewRequest("POST", address, strings.NewReader(asSent(form)))
	if err != nil {
		t.Fatal(err)
	}
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	return do(t, r)
}

// asSent writes a form as a browser sends it: each end of a line as a carriage return and a line feed (HTML Standard, form submission).
func asSent(form url.Values) string {
	return strings.NewReplacer("%0D%0A", "%0D%0A", "%0A", "%0D%0A", "%0D", "%0D%0A").Replace(form.Encode())
}

func do(t *testing.T, r *http.Request) answered {
	t.Helper()
	resp, err := http.DefaultClient.Do(r)
	if err != nil {
		t.Fatal(err)
	}
	defer resp.Body.Close()
	body, err := io.ReadAll(resp.Body)
	if err != nil {
		t.Fatal(err)
	}
	return answered{resp.StatusCode, resp.Request.URL.Path, resp.Header, string(body)}
}

// fieldsOf reads a form as a browser would send it.
func fieldsOf(t testing.TB, page string) url.Values {
	t.Helper()
	doc, err := html.Parse(strings.NewReader(page))
	if err != nil {
		t.Fatal(err)
	}
	form := url.Values{}
	attr := func(n *html.Node, key string) string {
		for _, a := range n.Attr {
			if a.Key == key {
				return a.Val
			}
		}
		return ""
	}
	has := func(n *html.Node, key string) bool {
		return slices.ContainsFunc(n.Attr, func(a html.Attribute) bool { return a.Key == key })
	}
	for n := range doc.Descendants() {
		switch {
		case n.Data == "input" && attr(n, "name") != "" && attr(n, "type") != "file":
			form.Set(attr(n, "name"), attr(n, "value"))
		case n.Data == "select":
			form.Set(attr(n, "name"), "")
			for o := range n.Descendants() {
				if o.Data == "option" && has(o, "selected") {
					form.Set(attr(n, "name"), attr(o, "value"))
				}
			}
		}
	}
	return form
}

// The way of a person without script: the blanks of the first page, the form, a change,
// the plan, the paper, the versions, the file.
func TestPlanABed(t *testing.T) {
	s := house(t)
	first := get(t, s.URL+"/")
	form := fieldsOf(t, first.body)
	form.Set("bed.length", "8 ft")
	form.Set("bed.width", "4 ft")
	form.Set("site.place", "04473")
	form.Set("site.kind", "school")
	made := post(t, s.URL+"/beds", form)
	if made.status != 200 || !strings.HasSuffix(made.where, "/brief") {
		t.Fatalf("made: %d at %s\n%s", made.status, made.where, made.body)
	}
	bed := strings.TrimSuffix(made.where, "/brief")
	if again := post(t, s.URL+"/beds", form); again.where != made.where {
		t.Errorf("sent twice, the blanks made another bed: %s", again.where)
	}
	form = fieldsOf(t, made.body)
	if got := form.Get("bed.length"); got != "8 ft" {
		t.Errorf("the form lost what was typed: %q", got)
	}
	form.Set("bed.depth", "8 in")
	form.Set("title", "Porch")
	kept := post(t, s.URL+made.where, form)
	if kept.status != 200 || fieldsOf(t, kept.body).Get("bed.depth") != "8 in" || !strings.Contains(kept.body, "Porch") {
		t.Fatalf("kept: %d\n%.3000s", kept.status, kept.body)
	}
	if stale := post(t, s.URL+made.where, url.Values{"version": {"1"}, "bed.depth": {"9 in"}}); stale.status != http.StatusConflict {
		t.Errorf("written over a version that was not seen: %d, want 409", stale.status)
	}
	for _, page := range []string{"/plan", "/plan/raft", "/working", "/packet", "/versions", "/versions?from=1&to=2"} {
		if got := get(t, s.URL+bed+page); got.status != 200 {
			t.Errorf("%s: %d\n%.500s", page, got.status, got.body)
		}
	}
	if got := get(t, s.URL+bed+"/versions?from=1&to=2"); !strings.Contains(got.body, "8 in") {
		t.Errorf("what differs does not name the depth")
	}
	if got := get(t, s.URL+bed+"/packet.pdf?part=card&language=es&paper=a4"); got.status != 200 || !strings.HasPrefix(got.body, "%PDF-") {
		t.Errorf("paper: %d %.80s", got.status, got.body)
	}
	file := get(t, s.URL+bed+"/brief.yaml")
	b, faults := brief.Parse("brief.yaml", []byte(file.body))
	if len(faults) > 0 || b.Bed.Depth.Value.Inches() != 8 || b.Title.Value != "Porch" {
		t.Errorf("file: %v\n%s", faults, file.body)
	}
}

// A fault stands at its field with what was typed, and nothing of the rest is lost.
func TestAFaultStandsAtItsField(t *testing.T) {
	s := house(t)
	made := post(t, s.URL+"/beds", url.Values{"copy": {demonstration}})
	form := fieldsOf(t, made.body)
	form.Set("water.alkalinity", "180")
	form.Set("bed.depth", "5 in")
	looked := post(t, s.URL+made.where+"/look", form)
	if looked.status != 200 || !strings.Contains(looked.body, `href="#water.alkalinity"`) || !strings.Contains(looked.body, `<div id="water.alkalinity-said"><div class="wrong">`) {
		t.Errorf("look: %d, no fault at the field, or none that leads to it", looked.status)
	}
	drawn := regexp.MustCompile(`<div id="drawing" data-sum="([0-9a-f]+)"><figure>`).FindStringSubmatch(looked.body)
	if drawn == nil {
		t.Fatal("no drawing")
	}
	form.Set("drawing", drawn[1])
	if again := post(t, s.URL+made.where+"/look", form); strings.Contains(again.body, `id="drawing"`) || !strings.Contains(again.body, `href="#water.alkalinity"`) {
		t.Error("a drawing that is shown is sent again, or the rest is not")
	}
	form.Set("bed.depth", "9 in")
	form.Set("bed.length", "5 ft")
	if other := post(t, s.URL+made.where+"/look", form); !strings.Contains(other.body, `id="drawing"`) {
		t.Error("the drawing of another bed is not sent")
	}
	form.Set("bed.depth", "5 in")
	saved := post(t, s.URL+made.where, form)
	if now := fieldsOf(t, saved.body); now.Get("water.alkalinity") != "180" || now.Get("bed.depth") != "5 in" || !strings.Contains(saved.body, `aria-invalid="true"`) {
		t.Error("what was typed is lost")
	}
}

// Looking keeps nothing.
func TestLookingKeepsNothing(t *testing.T) {
	s := house(t)
	made := post(t, s.URL+"/beds", url.Values{"copy": {demonstration}})
	form := fieldsOf(t, made.body)
	form.Set("bed.depth", "5 in")
	if looked := post(t, s.URL+made.where+"/look", form); looked.status != 200 || !strings.Contains(looked.body, `<div id="bed.depth-said"><p class="said">5 in`) {
		t.Fatalf("%d: not looked at\n%s", looked.status, looked.body)
	}
	if now := fieldsOf(t, get(t, s.URL+made.where).body); now.Get("bed.depth") != "6 in" {
		t.Error("looking kept something")
	}
}

// An item is added to a list and taken away by the buttons of the form.
func TestListsGrowAndShrink(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	s := house(t)
	made := post(t, s.URL+"/beds", url.Values{"copy": {demonstration}})
	form := fieldsOf(t, made.body)
	if form.Get("shelf[1].name") != "calcium nitrate" {
		t.Fatalf("a bare name is not in its field: %q", form.Get("shelf[1].name"))
	}
	form.Set("add", "shelf")
	more := fieldsOf(t, post(t, s.URL+made.where, form).body)
	if _, ok := more["shelf[2].name"]; !ok {
		t.Fatal("no third product")
	}
	more.Set("shelf[2].name", "Epsom salt")
	more = fieldsOf(t, post(t, s.URL+made.where, more).body)
	more.Set("drop", "shelf[1]")
	less := fieldsOf(t, post(t, s.URL+made.where, more).body)
	if _, ok := less["shelf[2].name"]; ok || less.Get("shelf[0].name") != "complete fertilizer" || less.Get("shelf[1].name") != "Epsom salt" {
		t.Errorf("after taking away: %q, %q", less.Get("shelf[0].name"), less.Get("shelf[1].name"))
	}
}

// A form that is sent as it came changes nothing, whatever the brief holds.
func TestAnUntouchedFormChangesNothing(t *testing.T) {
	s := house(t)
	for _, text := range []string{invented, strings.Replace(invented, "{name: lettuce}", "lettuce", 1), string(mustRead(t, "../examples/demo.yaml")), string(mustRead(t, "../examples/hard-water.yaml"))} {
		made := sendFile(t, s.URL, text)
		bed := strings.TrimSuffix(made.where, "/brief")
		before := get(t, s.URL+bed+"/brief.yaml").body
		post(t, s.URL+made.where, fieldsOf(t, made.body))
		if after := get(t, s.URL+bed+"/brief.yaml").body; after != before {
			t.Errorf("an untouched form changed the brief:\n%s\n--- became\n%s", before, after)
		}
	}
}

func sendFile(t *testing.T, address, text string) answered {
	t.Helper()
	var body bytes.Buffer
	m := multipart.NewWriter(&body)
	f, err := m.CreateFormFile("file", "brief.yaml")
	if err != nil {
		t.Fatal(err)
	}
	io.WriteString(f, text)
	m.Close()
	r, err := http.NewRequest("POST", address+"/beds", &body)
	if err != nil {
		t.Fatal(err)
	}
	r.Header.Set("Content-Type", m.FormDataContentType())
	return do(t, r)
}

// A file that was meant to be a brief is told by the line that is wrong, not as another sort of file.
func TestAFileIsToldByItsLine(t *testing.T) {
	s := house(t)
	for text, want := range map[string]string{"title: a\nbed: {length: 8 ft\nsite: x\n": "Line 3: this is not YAML", "title: Jard\xedn\n": "UTF-8 as its encoding", "": "ends in .yaml"} {
		if got := sendFile(t, s.URL, text); got.status != http.StatusBadRequest || !strings.Contains(got.body, want) {
			t.Errorf("%q: %d, not %s", text, got.status, want)
		}
	}
	if got := sendFile(t, s.URL, "\xff\xfet\x00i\x00t\x00l\x00e\x00:\x00 \x00J\x00\xed\x00\r\x00\n\x00"); got.status != http.StatusOK || !strings.Contains(got.body, `value="Jí"`) {
		t.Errorf("UTF-16: %d", got.status)
	}
}

// What is no brief is not taken; the demonstration is not changed; what is not there is said.
func TestRefusals(t *testing.T) {
	s := house(t)
	if got := sendFile(t, s.URL, "\x00\x01 no brief"); got.status != http.StatusBadRequest {
		t.Errorf("a file that is none: %d", got.status)
	}
	if got := post(t, s.URL+"/beds/demonstration/brief", url.Values{"bed.depth": {"9 in"}}); got.status != http.StatusForbidden {
		t.Errorf("the demonstration was changed: %d", got.status)
	}
	for _, page := range []string{"/nowhere", "/beds/none/plan", "/beds/demonstration/plan/none", "/static/none.css"} {
		if got := get(t, s.URL+page); got.status != http.StatusNotFound {
			t.Errorf("%s: %d, want 404", page, got.status)
		}
	}
	r, _ := http.NewRequest("POST", s.URL+"/beds", strings.NewReader("copy=demonstration"))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	r.Header.Set("Origin", "https://elsewhere.example")
	if got := do(t, r); got.status != http.StatusForbidden {
		t.Errorf("another site's page wrote here: %d", got.status)
	}
	r, _ = http.NewRequest("GET", s.URL+"/beds", nil)
	r.Host = "elsewhere.example"
	if got := do(t, r); got.status != http.StatusMisdirectedRequest {
		t.Errorf("another name was given this computer's number, and was answered: %d", got.status)
	}
}

// Each page is in the language that was chosen, else the one that the browser asks for.
func TestLanguages(t *testing.T) {
	s := house(t)
	for _, c := range []struct{ asks, cookie, want string }{{"", "", "en"}, {"es-MX,es;q=0.9", "", "es"}, {"fr", "", "en"}, {"es", "language=en", "en"}, {"en", "language=es", "es"}} {
		for _, page := range []string{"/", "/beds/demonstration/brief", "/beds/demonstration/plan", "/beds/demonstration/plan/mix", "/beds/demonstration/packet", "/nowhere"} {
			got := get(t, s.URL+page, "Accept-Language", c.asks, "Cookie", c.cookie)
			if !strings.Contains(got.body, `<html lang="`+c.want+`"`) {
				t.Errorf("%s asked in %q with %q: not in %s", page, c.asks, c.cookie, c.want)
			}
		}
	}
}

// No page asks another host, holds a script or a style of its own, or weighs too much.
func TestPagesStandAlone(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	s := house(t)
	outside := regexp.MustCompile(`(?:src|href|action|url\()\s*=?\s*["']?(?:https?:)?//`)
	for _, page := range []string{"/", "/beds", "/beds/demonstration/brief", "/beds/demonstration/plan", "/beds/demonstration/plan/raft", "/beds/demonstration/packet", "/beds/demonstration/versions"} {
		got := get(t, s.URL+page)
		if m := outside.FindString(got.body); m != "" {
			t.Errorf("%s asks another host: %s", page, m)
		}
		if regexp.MustCompile(`<script(?:[^>]*)>[^<]|<style|\sstyle="|\son[a-z]+="`).MatchString(got.body) {
			t.Errorf("%s holds a script or a style that the policy forbids", page)
		}
		if p := got.header.Get("Content-Security-Policy"); strings.Contains(strings.Replace(p, " 'wasm-unsafe-eval'", "", 1), "unsafe") || !strings.Contains(p, "default-src 'none'") {
			t.Errorf("%s: policy %q", page, p)
		}
	}
	// the whole first page with all that it loads: at most 60 KB as it goes over the wire
	page := get(t, s.URL+"/").body
	total := zipped(t, page)
	for _, m := range regexp.MustCompile(`/static/[^"&]+`).FindAllString(page, -1) {
		a := get(t, s.URL+m)
		total += zipped(t, a.body)
		for _, f := range regexp.MustCompile(`url\((/static/[^)]+)\)`).FindAllStringSubmatch(a.body, -1) {
			total += len(get(t, s.URL+f[1]).body) // a face is packed already
		}
	}
	if total > 60<<10 {
		t.Errorf("the first page weighs %d bytes, at most %d", total, 60<<10)
	}
	t.Logf("the first page weighs %d bytes", total)
}

func zipped(t *testing.T, text string) int {
	t.Helper()
	var out bytes.Buffer
	z := gzip.NewWriter(&out)
	io.WriteString(z, text)
	z.Close()
	return out.Len()
}

// Every key of the brief has a place in the form, but those that are kept elsewhere.
func TestTheFormHasEveryKey(t *testing.T) {
	words, err := lang.For("en", lang.US)
	if err != nil {
		t.Fatal(err)
	}
	b, _ := brief.Parse("", nil)
	shown := map[string]bool{}
	var walk func([]field)
	walk = func(list []field) {
		for _, f := range list {
			shown[f.Path] = true
			walk(f.Kids)
		}
	}
	for _, g := range readForm(b.Values(), besideForm{}, words, words).groups() {
		walk(g.Open)
		walk(g.More)
	}
	n := 0
	for _, k := range brief.Keys() {
		if strings.Contains(k.Path, "[]") || k.Kind == "group" || slices.Contains(apart, k.Path) {
			continue // what is in a list is shown with its items
		}
		n++
		if !shown[k.Path] {
			t.Errorf("%s is nowhere in the form", k.Path)
		}
	}
	if n < 100 {
		t.Fatalf("saw %d keys", n)
	}
}

// Every word that a key can have has a name in both languages.
func TestWordsHaveNames(t *testing.T) {
	asTyped := []string{"CF", "DTPA", "EDDHA", "EDTA", "HEDTA", "dS/m", "mS/cm", "uS/cm", "ppm 500", "ppm 640", "ppm 700", "xps", "eps"}
	for _, tag := range lang.Languages() {
		words, err := lang.For(tag, lang.US)
		if err != nil {
			t.Fatal(err)
		}
		for _, k := range brief.Keys() {
			if k := k.Path; strings.HasPrefix(k, "log") {
				continue
			}
			for _, word := range k.Words {
				if wordOf(words, word) == word && !slices.Contains(asTyped, word) && (tag == "es" || !words.Can("web.word."+strings.ReplaceAll(word, " ", "_"))) {
					t.Errorf("%s: %s of %s has no name", tag, word, k.Path)
				}
			}
		}
	}
}

// A visit is kept once however often it is sent; a reading that cannot be meant stands at its
// blank with what was typed; the bed says what to do.
func TestAVisit(t *testing.T) {
	s := house(t)
	made := sendFile(t, s.URL, invented+"log:\n  - {at: 2027-05-03T08:00, filled: yes, planted: 32}\n")
	bed := strings.TrimSuffix(made.where, "/brief")
	form := fieldsOf(t, get(t, s.URL+bed+"/today").body)
	form.Set("at", "2027-05-10T08:00")
	form.Set("ph", "62")
	if got := post(t, s.URL+bed+"/log", form); got.status != 422 || fieldsOf(t, got.body).Get("ph") != "62" || !strings.Contains(got.body, `aria-invalid="true"`) {
		t.Fatalf("a pH of 62 was taken, or lost: %d", got.status)
	}
	for from, page := range map[string]string{"": "today", "did": "did"} { // in another language it stands where it was typed
		form.Set("from", from)
		if got := post(t, s.URL+bed+"/log", form); !strings.Contains(got.body, `name="from" value="`+bed+"/"+page+`"`) {
			t.Errorf("a visit of %q that was not kept does not lead back to %s", from, page)
		}
	}
	form.Del("from")
	form.Set("ph", "6.2")
	form.Set("ec", "1.4")
	form.Set("depth", "5-1/2")
	for range 2 {
		if got := post(t, s.URL+bed+"/log", form); got.status != 200 || !strings.HasSuffix(got.where, "/today") {
			t.Fatalf("keeping: %d at %s\n%.1500s", got.status, got.where, got.body)
		}
	}
	page := get(t, s.URL+bed+"/today").body
	if n := strings.Count(get(t, s.URL+bed+"/log.csv").body, "5-1/2 in"); n != 1 {
		t.Errorf("the visit stands %d times", n)
	}
	if strings.Count(page, `<div class="pressed">`) < 3 {
		t.Error("the page does not say what to do and what the bed holds")
	}
	if main, sheets := strings.Index(page, "</main>"), strings.Index(page, `class="sheets"`); sheets < main {
		t.Error("at the bed the other sheets stand above what is read and done")
	}
	if got := get(t, s.URL+bed+"/log"); got.status != 200 || got.where != bed+"/history" || !strings.Contains(got.body, "5-1/2 in") {
		t.Errorf("the log leads to %s (%d)", got.where, got.status)
	}
	if got := post(t, s.URL+"/beds/demonstration/log", form); got.status != http.StatusForbidden {
		t.Errorf("a visit at the demonstration was kept: %d", got.status)
	}
}

// Signs of open pages are remembered while they are new, and only so many.
func TestSignsOfPages(t *testing.T) {
	now := time.Date(2027, 5, 11, 8, 0, 0, 0, time.UTC)
	h := &House{Own: true, Now: func() time.Time { return now }}
	handler := h.Handler()
	sign := func(form url.Values) {
		r := httptest.NewRequest("POST", "http://127.0.0.1/here", strings.NewReader(form.Encode()))
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		handler.ServeHTTP(httptest.NewRecorder(), r)
	}
	for i := range 3 * mostPages {
		sign(url.Values{"page": {strconv.Itoa(i)}})
	}
	if n := h.Open(now.Add(-signs)); n != mostPages {
		t.Errorf("%d pages are remembered, at most %d", n, mostPages)
	}
	sign(url.Values{"page": {"0"}, "left": {"yes"}})
	if n := h.Open(now.Add(-signs)); n != mostPages-1 {
		t.Errorf("%d pages after one left", n)
	}
	now = now.Add(2 * signs)
	if n := h.Open(now.Add(-signs)); n != 0 {
		t.Errorf("%d pages are open that gave no sign", n)
	}
}

// Every sentence that a page says by its name is written.
func TestSentencesOfPages(t *testing.T) {
	words, err := lang.For("en", lang.US)
	if err != nil {
		t.Fatal(err)
	}
	looked, said := 0, regexp.MustCompile(`(?:\.Say|\.say|fixed\(w,) ?\(?"([a-z][^" ]*)"( \+|\+)?`)
	for _, kind := range []string{"pages/*.html", "*.go"} {
		files, err := filepath.Glob(kind)
		if err != nil {
			t.Fatal(err)
		}
		for _, name := range files {
			if strings.HasSuffix(name, "_test.go") {
				continue
			}
			for _, id := range said.FindAllStringSubmatch(string(mustRead(t, name)), -1) {
				if looked++; id[2] == "" && !words.Can(id[1]) {
					t.Errorf("%s says %s, which is no sentence", name, id[1])
				}
			}
		}
	}
	if looked < 900 {
		t.Errorf("only %d sentences were looked for", looked)
	}
}

// On one's own computer the program ends two minutes after the last page has gone, however soon that is, and not between two pages: one that is on its way
// gives no sign yet. Whose browser runs no script has an hour with a page, and the first page is waited for for ten minutes.
func TestWhenNobodyIsThere(t *testing.T) {
	begun := time.Date(2027, 5, 11, 8, 0, 0, 0, time.UTC)
	now := begun
	s := emptyStore(t)
	h := &House{Store: s, Book: plan.DefaultBook(), Own: true, Now: func() time.Time { return now }}
	at := serving(t, h).URL
	after := func(d time.Duration) bool { now = now.Add(d); return h.Deserted(begun, now) }
	sign := func(pairs url.Values) { t.Helper(); post(t, at+"/here", pairs) }
	if after(9*time.Minute) || !after(2*time.Minute) {
		t.Error("the first page is not waited for for ten minutes")
	}
	now = begun
	get(t, at+"/")
	sign(url.Values{"page": {"one"}})
	for range 60 { // a quarter of an hour with one page
		if after(15 * time.Second) {
			t.Fatal("it ends beside an open page")
		}
		sign(url.Values{"page": {"one"}})
	}
	sign(url.Values{"page": {"one"}, "left": {"yes"}})
	if after(10 * time.Second) {
		t.Error("it ends between two pages")
	}
	get(t, at+"/beds")
	sign(url.Values{"page": {"two"}})
	sign(url.Values{"page": {"two"}, "left": {"yes"}})
	if after(119*time.Second) || !after(2*time.Second) {
		t.Error("it does not end two minutes after the last page")
	}
	now = now.Add(time.Second)
	get(t, at+"/beds") // without script
	if after(59*time.Minute) || !after(2*time.Minute) {
		t.Error("a page without script is not read for an hour")
	}
}
